"""Among the plans of a network, the one with the fewest plates, then the fewest blanks: branch and bound.

In: Network, Weights. Out: SearchResult with what is proven. Never: display text.
Beginnings of plans grow gathering by gathering. One is dropped for good where another at the same place can do
nothing worse, or where its bound says that it cannot beat the best plan found. Only so many are kept at a place;
what else is dropped there counts with its bound, so that the result never claims more than was looked at.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from doublure.trade.book.planning_bounds import Way, bound_network
from doublure.trade.book.planning_graph import FilledGathering, Network, Weights
from doublure.trade.book.planning_steps import Place

MOST_EXAMINED = 40_000
"""Beginnings of plans that are looked at before the search gives up proving."""

_KEPT = (4, 40, 400, 4000)
"""Beginnings kept at a place, round by round."""

_COMPARED = 40
"""Beginnings at a place against which a further one is compared."""

_Rank = tuple[int, int, int, int]
"""Weight with the sign turned, plates, blanks, largest less smallest gathering: the smaller, the better."""


@dataclass(frozen=True, slots=True)
class _Beginning:
    """A plan as far as a place: its plates that may come again, how many others, how many in all, what they carry."""

    used: int
    single: int
    plates: int
    carried: int
    weight: int
    smallest: int
    largest: int
    rank: _Rank
    before: _Beginning | None
    last: Way | None

    def stands_for(self, other: _Beginning, possible: int) -> bool:
        """True where no way on makes of the other a better plan than of this one."""
        if self.weight < other.weight:
            return False
        ours = self.plates + (other.used & possible & ~self.used).bit_count()
        theirs = other.plates
        if ours > theirs:
            return False
        is_better = ours < theirs or self.weight > other.weight
        return is_better or (self.smallest >= other.smallest and self.largest <= other.largest)


@dataclass(frozen=True, slots=True)
class SearchResult:
    """What was found.

    Attributes:
        gatherings: The best plan found; None where there is none within the limits, or none was found.
        weight: Its weight in the middles, in units of the network.
        plates, blanks: Of it.
        most_weight: No plan has more.
        fewest_plates: No plan with this weight, or more, takes fewer.
        is_proven: True where no plan is better in weight, plates, blanks (in this order).
        examined: Beginnings that were looked at.
    """

    gatherings: tuple[FilledGathering, ...] | None
    weight: int
    plates: int
    blanks: int
    most_weight: int
    fewest_plates: int
    is_proven: bool
    examined: int


class _Search:
    """The search, round by round."""

    def __init__(
        self, network: Network, weights: Weights, most_plates: int | None, most_examined: int
    ) -> None:
        self.network = network
        self.weights = weights
        self.most_plates = most_plates
        self.left = most_examined
        self.examined = 0
        bounded = bound_network(network)
        self.bounds, self.families = bounded.bounds, bounded.families
        self.ways = {place: bounded.ways[place] for place in network.places if place in bounded.ways}
        self.best: _Beginning | None = None
        self.dropped: list[_Rank] = []

    def rank(self, place: Place, used: int, single: int, carried: int, weight: int, spread: int) -> _Rank:
        """Return the best rank that a plan with such a beginning can have."""
        bounds = self.bounds[place]
        most = weight + self.weights.behind[place]
        plates = bounds.fewest_plates(used, single, carried, self.families)
        return (-most, plates, bounds.fewest_blanks, spread)

    def is_hopeless(self, rank: _Rank) -> bool:
        """True where no plan of this rank is wanted any more."""
        if self.most_plates is not None and rank[1] > self.most_plates:
            return True
        return self.best is not None and rank >= self.best.rank

    def grow(self, place: Place, start: _Beginning, waiting: dict[Place, list[_Beginning]]) -> None:
        """Add every gathering to a beginning."""
        for way in self.ways[place]:
            self.examined += 1
            one = way.gathering
            used, single = start.used | way.plates, start.single + way.single
            carried, weight = start.carried | way.carried, start.weight + one.weight
            smallest, largest = min(start.smallest, one.pairs), max(start.largest, one.pairs)
            rank = self.rank(one.end, used, single, carried, weight, largest - smallest)
            if not self.is_hopeless(rank):
                grown = _Beginning(
                    used,
                    single,
                    used.bit_count() + single,
                    carried,
                    weight,
                    smallest,
                    largest,
                    rank,
                    start,
                    way,
                )
                waiting.setdefault(one.end, []).append(grown)

    def finish(self, place: Place, beginning: _Beginning) -> None:
        """Take a beginning as a plan, where it is a better one."""
        rank = (-beginning.weight, beginning.plates, place[1], beginning.largest - beginning.smallest)
        if not self.is_hopeless(rank):
            self.best = replace(beginning, rank=rank)

    def run(self, kept: int) -> None:
        """Go once through all places, keeping so many beginnings at each."""
        self.dropped = []
        first = self.network.places[0]
        rank = self.rank(first, 0, 0, 0, 0, 0)
        waiting = {first: [_Beginning(0, 0, 0, 0, 0, 2**31, 0, rank, None, None)]}
        for place in self.ways:
            here = sorted(
                (one for one in waiting.pop(place, ()) if not self.is_hopeless(one.rank)),
                key=lambda one: (one.rank, one.plates),
            )
            possible = self.bounds[place].possible if here else 0
            chosen: list[_Beginning] = []
            same: dict[int, list[_Beginning]] = {}
            for one in here:
                alike = same.setdefault(one.used & possible, [])
                if any(other.stands_for(one, possible) for other in alike) or any(
                    other.stands_for(one, possible) for other in chosen[:_COMPARED]
                ):
                    continue
                if len(chosen) >= (kept if self.examined < self.left else 1):
                    self.dropped.append(one.rank)
                    continue
                alike.append(one)
                chosen.append(one)
            for one in chosen:
                if place in self.network.ends and one.last is not None:
                    self.finish(place, one)
                self.grow(place, one, waiting)


def search_network(
    network: Network, weights: Weights, most_plates: int | None, most_examined: int = MOST_EXAMINED
) -> SearchResult:
    """Return the plan with the most weight, then the fewest plates, blanks, and the most even gatherings.

    Args:
        network: The plans.
        weights: By which it was built.
        most_plates: Plans with more plates are left out; None for any number.
        most_examined: Beginnings to look at before the search gives up proving.
    """
    search = _Search(network, weights, most_plates, most_examined)
    proven_plates, proven_weight, is_proven = 0, 2**62, False
    for kept in _KEPT:
        search.run(kept)
        best = search.best
        open_ranks = [rank for rank in search.dropped if best is None or rank[:3] < best.rank[:3]]
        most = max([-rank[0] for rank in open_ranks] + ([best.weight] if best is not None else []), default=0)
        proven_weight = min(proven_weight, most)
        floor = [rank[1] for rank in open_ranks] + ([best.rank[1]] if best is not None else [])
        proven_plates = max(proven_plates, min(floor, default=0))
        is_proven = not open_ranks
        if not [rank for rank in search.dropped if best is None or rank < best.rank]:
            break
        if search.examined >= search.left:
            break
    found: list[FilledGathering] = []
    at = search.best
    while at is not None and at.last is not None:
        found.append(at.last.gathering)
        at = at.before
    best = search.best
    return SearchResult(
        gatherings=tuple(reversed(found)) if best is not None else None,
        weight=best.weight if best is not None else 0,
        plates=best.rank[1] if best is not None else 0,
        blanks=best.rank[2] if best is not None else 0,
        most_weight=proven_weight,
        fewest_plates=proven_plates,
        is_proven=is_proven,
        examined=search.examined,
    )
