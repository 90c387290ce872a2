"""How few plates a plan can still take from a place on: the bounds with which the search is cut short.

In: Network. Out: PlaceBounds. Never: choosing a plan.
Distinct plates do not add up gathering by gathering, for a plate that was printed before costs nothing more.
Three bounds hold all the same, and the largest is used; docs/handbook/methods/planning.md says why they hold.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from doublure.trade.book.planning_graph import FilledGathering, Network
from doublure.trade.book.planning_steps import Place

_ROUNDING = 1e-6


def each_plate(plates: int) -> Iterator[int]:
    """Yield the number of every plate of a mask, ascending."""
    while plates:
        last = plates & -plates
        yield last.bit_length() - 1
        plates ^= last


@dataclass(frozen=True, slots=True)
class PlaceBounds:
    """What every way from a place to the end has in common.

    Attributes:
        forced: Plates that every way takes.
        forced_carried: What these carry.
        needed: What every way carries: masters with their creep steps, each in one cell.
        possible: Plates that some way takes.
        share: Least sum of the shares of the plates of a way, a share being 1 over the most gatherings of one
            plan that take the plate; so a plate adds 1 at most, however often it comes.
        shares: For each possible plate, the most that it can add to such a sum from here on.
        fewest_blanks: Least number of blanks put in, those before the place included.
    """

    forced: int
    forced_carried: int
    needed: int
    possible: int
    share: float
    shares: dict[int, float]
    fewest_blanks: int

    def fewest_plates(self, used: int, carried: int, families: tuple[int, ...]) -> int:
        """Return a number of plates that no plan with such a beginning falls short of.

        Args:
            used: Plates of the beginning.
            carried: What they carry.
            families: Masks of what plates can carry, one of each family to a plate.
        """
        bound = (used | self.forced).bit_count()
        lacking = self.needed & ~(carried | self.forced_carried)
        if lacking:
            bound += max((lacking & family).bit_count() for family in families)
        again = sum(self.shares[plate] for plate in each_plate(used & self.possible))
        return max(bound, math.ceil(used.bit_count() + self.share - again - _ROUNDING))


def bound_places(network: Network) -> dict[Place, PlaceBounds]:
    """Return the bounds of every place of a network from which the end can be reached."""
    most = _count_uses(network)
    whole = most[network.places[0]]
    share_of = {plate: 1.0 / uses for plate, uses in whole.items()}
    bounds: dict[Place, PlaceBounds] = {}
    for place in reversed(network.places):
        ways = [one for one in network.gatherings[place] if one.end in bounds]
        is_end = place in network.ends
        if not ways and not is_end:
            continue
        forced = needed = 0 if is_end else -1
        share = 0.0 if is_end else math.inf
        blanks = place[1] if is_end else 2**31
        possible = 0
        for one in ways:
            behind = bounds[one.end]
            forced &= one.sheets.plates | behind.forced
            needed &= one.sheets.carried | behind.needed
            possible |= one.sheets.plates | behind.possible
            blanks = min(blanks, behind.fewest_blanks)
            share = min(share, behind.share + _sum_shares(one, share_of))
        shares = {plate: uses * share_of[plate] for plate, uses in most[place].items()}
        carried = network.plates.carried_by(forced)
        bounds[place] = PlaceBounds(forced, carried, needed, possible, share, shares, blanks)
    return bounds


def _sum_shares(one: FilledGathering, share_of: dict[int, float]) -> float:
    return sum(share_of[plate] for plate in each_plate(one.sheets.plates))


def _count_uses(network: Network) -> dict[Place, dict[int, int]]:
    """Return, from every place on, in how many gatherings of one plan each plate can come at most."""
    most: dict[Place, dict[int, int]] = {}
    for place in reversed(network.places):
        by_end: dict[Place, int] = {}
        for one in network.gatherings[place]:
            if one.end in most:
                by_end[one.end] = by_end.get(one.end, 0) | one.sheets.plates
        if not by_end and place not in network.ends:
            continue
        uses: dict[int, int] = {}
        for end, plates in by_end.items():
            behind = most[end]
            for plate, count in behind.items():
                if count > uses.get(plate, 0):
                    uses[plate] = count
            for plate in each_plate(plates):
                count = behind.get(plate, 0) + 1
                if count > uses.get(plate, 0):
                    uses[plate] = count
        most[place] = uses
    return most
