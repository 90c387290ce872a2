"""Every plan of the gatherings as ways through a network: places between gatherings, gatherings between places.

In: PlanningSpec. Out: the most weight in the middles, by dynamic programming; a network of the plans that have it.
Never: choosing among them (planning_search.py).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from math import lcm

from doublure.trade.book.planning_plates import FilledSheets, PlateBook
from doublure.trade.book.planning_records import BlankRule, PlanningSpec
from doublure.trade.book.planning_steps import BEGIN, Arc, BookPath, Filling, Place

START: Place = (0, 0, BEGIN)

MOST_FILLINGS = 40_000
"""Filled gatherings that are looked at; beyond, blanks within a gathering are tried in fewer places."""


@dataclass(frozen=True, slots=True)
class FilledGathering:
    """One gathering with everything in it.

    Attributes:
        end: Place behind it.
        pairs: Its leaf pairs.
        weight: Weight in its middle, in units of the network.
        filling: Its pages in reading order, with the blanks put in.
        sheets: What it prints.
    """

    end: Place
    pairs: int
    weight: int
    filling: Filling
    sheets: FilledSheets


@dataclass(slots=True)
class Weights:
    """The most weight that can come before and behind every place.

    Attributes:
        unit: What one unit of weight is, so that all weights are whole numbers.
        arcs: Gatherings from every place that lies on a plan.
        before, behind: By place, in units.
    """

    unit: Fraction
    arcs: dict[Place, list[Arc]]
    before: dict[Place, int]
    behind: dict[Place, int]
    weight_at: dict[int, int] = field(default_factory=dict)

    @property
    def is_feasible(self) -> bool:
        """True where there is a plan at all."""
        return START in self.behind

    @property
    def most(self) -> int:
        """The most weight of any plan, in units."""
        return self.behind[START]

    def weight(self, arc: Arc) -> int:
        """Return the weight in the middle of a gathering, in units."""
        return self.weight_at.get(arc.middle[0], 0)

    def is_within(self, arc: Arc, least: int) -> bool:
        """True where a plan with at least so much weight holds the gathering."""
        return self.before[arc.start] + self.weight(arc) + self.behind[arc.end] >= least


def gathering_sizes(spec: PlanningSpec) -> tuple[int, ...]:
    """Return the sizes of a gathering in leaf pairs, the largest first."""
    pairs = spec.folding.pairs
    return tuple(pairs * sheets for sheets in range(spec.most_sheets, spec.fewest_sheets - 1, -1))


def weigh_plans(spec: PlanningSpec, path: BookPath) -> Weights:
    """Return the most weight before and behind every place that lies on a plan.

    A place is a number of pages passed and a number of blanks put in, so the parity of every page behind it is
    known; the weight that can still be had does not depend on how one came there (dynamic programming).
    """
    exact = {one.page: Fraction(repr(float(one.weight))) for one in spec.crossovers}
    scale = lcm(*(weight.denominator for weight in exact.values())) if exact else 1
    weight_at = {gap: int(exact[page] * scale) for gap, page in path.spread_at.items() if page in exact}
    sizes = gathering_sizes(spec)
    arcs: dict[Place, list[Arc]] = {}
    waiting = {START}
    order: list[Place] = []
    # Every gathering moves on in the book, so places are met in the order of their positions.
    by_position: dict[int, set[Place]] = {0: {START}}
    while by_position:
        position = min(by_position)
        for place in sorted(by_position.pop(position)):
            order.append(place)
            arcs[place] = list(path.arcs(place, sizes))
            for arc in arcs[place]:
                if arc.end not in waiting:
                    waiting.add(arc.end)
                    by_position.setdefault(path.position(arc.end), set()).add(arc.end)
    behind: dict[Place, int] = {}
    for place in reversed(order):
        best = [weight_at.get(a.middle[0], 0) + behind[a.end] for a in arcs[place] if a.end in behind]
        if path.is_end(place):
            best.append(0)
        if best:
            behind[place] = max(best)
    before = {START: 0}
    for place in order:
        arcs[place] = [a for a in arcs[place] if a.end in behind]
        if place not in before or place not in behind:
            continue
        for arc in arcs[place]:
            weight = before[place] + weight_at.get(arc.middle[0], 0)
            before[arc.end] = max(before.get(arc.end, 0), weight)
    kept = {place: arcs[place] for place in order if place in before and place in behind}
    return Weights(Fraction(1, scale), kept, before, behind, weight_at)


@dataclass(frozen=True, slots=True)
class Network:
    """Filled gatherings from place to place.

    Attributes:
        places: In the order of their positions, the start first.
        gatherings: From every place.
        ends: Places at which a plan may end.
        plates: The plates.
        is_complete: False where blanks within gatherings were tried in some places only.
    """

    places: tuple[Place, ...]
    gatherings: dict[Place, list[FilledGathering]]
    ends: frozenset[Place]
    plates: PlateBook
    is_complete: bool


def _in_one_run(filling: Filling) -> bool:
    """True where the blanks put in stand together."""
    blanks = [i for i, page in enumerate(filling) if page < 0]
    return not blanks or blanks[-1] - blanks[0] + 1 == len(blanks)


def _at_an_end(filling: Filling) -> bool:
    """True where they stand together at the beginning or at the end."""
    return _in_one_run(filling) and (min(filling) > 0 or filling[0] < 0 or filling[-1] < 0)


_LEVELS: tuple[Callable[[Filling], bool] | None, ...] = (None, _in_one_run, _at_an_end)


def _choose_level(spec: PlanningSpec, path: BookPath, kept: dict[Place, list[Arc]]) -> int:
    """Return by which of _LEVELS blanks are laid within gatherings, so that there are not too many fillings."""
    if spec.blanks is not BlankRule.ANYWHERE:
        return 0
    counted: dict[tuple[Place, Place, int], int] = {}

    def count(start: Place, end: Place, positions: int) -> int:
        if start[1] == end[1]:
            return 1
        key = (start, end, positions)
        if key not in counted:
            counted[key] = path.count_fillings(start, end, positions)
        return counted[key]

    ways = [0, 0]
    for arc in (arc for arcs in kept.values() for arc in arcs):
        half = 2 * arc.pairs
        ones = count(arc.start, arc.middle, half), count(arc.middle, arc.end, half)
        ways[0] += ones[0] * ones[1]
        ways[1] += min(ones[0], half + 1) * min(ones[1], half + 1)
    return sum(number > MOST_FILLINGS for number in ways)


def build_network(spec: PlanningSpec, path: BookPath, weights: Weights, least: int) -> Network:
    """Return the network of the plans that have at least so much weight in their middles.

    Args:
        spec: What is asked.
        path: Of the spec.
        weights: Of the path.
        least: Weight, in units of the weights.
    """
    kept = {
        place: [arc for arc in arcs if weights.is_within(arc, least)] for place, arcs in weights.arcs.items()
    }
    reached = {START}
    for place, arcs in kept.items():
        if place in reached:
            reached.update(arc.end for arc in arcs)
    kept = {place: arcs for place, arcs in kept.items() if place in reached}
    plates = PlateBook(spec)
    level = _choose_level(spec, path, kept)
    test = _LEVELS[level]
    gatherings: dict[Place, list[FilledGathering]] = {}
    halves: dict[tuple[Place, Place, int, int | None], list[Filling]] = {}

    def fillings(start: Place, end: Place, positions: int, phase: int | None) -> list[Filling]:
        key = (start, end, positions, phase)
        if key not in halves:
            found = path.fillings(start, end, positions, phase)
            halves[key] = found if test is None else [one for one in found if test(one)] or found[:1]
        return halves[key]

    for place, arcs in kept.items():
        found: dict[tuple[Place, int, int, tuple[int, ...]], FilledGathering] = {}
        for arc in arcs:
            weight = weights.weight(arc)
            for first in fillings(arc.start, arc.middle, 2 * arc.pairs, arc.middle[2]):
                for second in fillings(arc.middle, arc.end, 2 * arc.pairs, None):
                    sheets = plates.fill(first, second)
                    # Of fillings that print the same plates, the first stands for all.
                    found.setdefault(
                        (arc.end, arc.pairs, weight, sheets.plates),
                        FilledGathering(arc.end, arc.pairs, weight, first + second, sheets),
                    )
        gatherings[place] = list(found.values())
    ends = frozenset(place for place in kept if path.is_end(place) and weights.before[place] >= least)
    return Network(tuple(kept), gatherings, ends, plates, level == 0)
