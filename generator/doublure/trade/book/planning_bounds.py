"""How few plates a plan can still take from a place on: the bounds with which the search is cut short.

In: Network. Out: Way, PlaceBounds. Never: choosing a plan.
Distinct plates do not add up gathering by gathering, for a plate that was printed before costs nothing more.
Three bounds hold all the same, and the largest is used; docs/handbook/methods/planning.md says why they hold.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from doublure.trade.book.planning_graph import FilledGathering, Network
from doublure.trade.book.planning_shares import Shares, share_plates
from doublure.trade.book.planning_steps import Place

_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Way:
    """One gathering as the search sees it.

    Attributes:
        gathering: The gathering.
        single: How many of its plates no plan can hold a second time.
        plates: Bit p is set for each other plate.
        carried: What its plates carry.
        share: Sum of the shares of its plates.
    """

    gathering: FilledGathering
    single: int
    plates: int
    carried: int
    share: float


@dataclass(frozen=True, slots=True)
class PlaceBounds:
    """What every way from a place to the end has in common.

    Attributes:
        forced: Plates, of those that may come more than once, that every way takes.
        needed: What every way carries: masters with their creep steps, each in one cell.
        possible: Plates, of those that may come more than once, that some way takes.
        share: Least sum of the shares of the plates of a way.
        shares: For each possible plate, the most that it can add to such a sum from here on.
        fewest_blanks: Least number of blanks put in, those before the place included.
    """

    forced: int
    needed: int
    possible: int
    share: float
    shares: dict[int, float]
    fewest_blanks: int

    def fewest_plates(self, used: int, single: int, carried: int, families: tuple[int, ...]) -> int:
        """Return a number of plates that no plan with such a beginning falls short of.

        Args:
            used: Plates of the beginning that may come more than once.
            single: How many other plates it has.
            carried: What all of them carry.
            families: Masks of what plates can carry, one of each family to a plate.
        """
        count = used.bit_count()
        lacking = self.needed & ~carried
        bound = max(
            (used | self.forced).bit_count(),
            count + max((lacking & family).bit_count() for family in families),
        )
        again = sum([self.shares.get(plate, 0.0) for plate in _each(used & self.possible)])
        return single + max(bound, math.ceil(count + self.share - again - _ROUNDING))


def _each(mask: int) -> Iterator[int]:
    """Yield the number of every bit that is set."""
    while mask:
        last = mask & -mask
        yield last.bit_length() - 1
        mask ^= last


@dataclass(frozen=True, slots=True)
class BoundedNetwork:
    """A network with what the search needs to know of it.

    Attributes:
        ways: From every place from which the end can be reached.
        bounds: Of these places.
        families: As PlaceBounds.fewest_plates wants them.
    """

    ways: dict[Place, tuple[Way, ...]]
    bounds: dict[Place, PlaceBounds]
    families: tuple[int, ...]


def bound_network(network: Network) -> BoundedNetwork:
    """Return the ways and bounds of every place of a network from which the end can be reached."""
    shares = share_plates(network)
    bits = {plate: number for number, plate in enumerate(sorted(shares.repeated))}
    ways: dict[Place, tuple[Way, ...]] = {}
    bounds: dict[Place, PlaceBounds] = {}
    most: dict[Place, Any] = {}
    for place in reversed(network.places):
        is_end = place in network.ends
        here = [
            (_way(one, shares, bits), bounds[one.end])
            for one in network.gatherings[place]
            if one.end in bounds
        ]
        if not here and not is_end:
            continue
        forced = needed = 0 if is_end else -1
        share = 0.0 if is_end else math.inf
        blanks = place[1] if is_end else 2**31
        possible = 0
        for way, behind in here:
            forced &= way.plates | behind.forced
            needed &= way.carried | behind.needed
            possible |= way.plates | behind.possible
            blanks = min(blanks, behind.fewest_blanks)
            share = min(share, behind.share + way.share)
        ways[place] = tuple(way for way, _ in here)
        most[place] = _most_shares(ways[place], most, shares, bits)
        by_bit = {int(bit): float(most[place][bit]) for bit in most[place].nonzero()[0]}
        bounds[place] = PlaceBounds(forced, needed, possible, share, by_bit, blanks)
    return BoundedNetwork(ways, bounds, network.plates.families or (0,))


def _way(one: FilledGathering, shares: Shares, bits: dict[int, int]) -> Way:
    plates = single = 0
    share = 0.0
    for use in zip(one.sheets.plates, one.sheets.anchors, strict=True):
        share += shares.of[use]
        if use[0] in bits:
            plates |= 1 << bits[use[0]]
        else:
            single += 1
    return Way(one, single, plates, one.sheets.carried, share)


def _most_shares(
    ways: tuple[Way, ...], behind: dict[Place, Any], shares: Shares, bits: dict[int, int]
) -> Any:
    """Return the most that each plate which may come again can add to the sum of shares along a way.

    Args:
        ways: From a place.
        behind: The same of every place behind it, float array, shape (repeated plates,).
        shares: Of the plates.
        bits: Bits of the repeated plates.
    """
    import numpy as np

    by_end: dict[Place, dict[int, float]] = {}
    for way in ways:
        first = by_end.setdefault(way.gathering.end, {})
        sheets = way.gathering.sheets
        for use in zip(sheets.plates, sheets.anchors, strict=True):
            if use[0] in bits:
                bit = bits[use[0]]
                first[bit] = max(first.get(bit, 0.0), shares.of[use])
    most = np.zeros(len(bits))
    for end, first in by_end.items():
        there = behind[end].copy()
        there[list(first)] += list(first.values())
        np.maximum(most, there, out=most)
    return most
