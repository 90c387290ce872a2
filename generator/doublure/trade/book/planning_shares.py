"""Sharing out the plates: how much of each plate every printed side must answer for.

In: Network. Out: a share for every use of a plate. Never: choosing a plan.
Where the shares of a plate add up to 1 at most along every plan, the sum of all shares along a plan is never more
than its distinct plates. The larger the least such sum, the better the bound; the shares are moved towards it.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.trade.book.planning_graph import Network
from doublure.trade.book.planning_steps import Place

_ROUNDS = 200
_VISITS = 1_500_000
"""Gatherings that are looked at in all rounds together, at most."""

_FASTER = 0.3
_FADING = 0.97


@dataclass(frozen=True, slots=True)
class Shares:
    """Shares of the uses of plates.

    Attributes:
        of: By plate and anchor.
        repeated: Plates that have more than one anchor, so that a plan may hold them more than once.
    """

    of: dict[tuple[int, int], float]
    repeated: frozenset[int]


def share_plates(network: Network) -> Shares:
    """Return shares by which the least sum along a plan is large.

    Round by round the plan with the least sum is found, and each plate on it moves some of its share to where that
    plan prints it (multiplicative weights). A plate with one anchor has the whole share there. Whatever the rounds
    come to, the shares of a plate add up to 1 over its anchors, and a plan prints it once at most at each.

    Args:
        network: The plans.

    Source:
        Linear programming bound of the covering problem, by multiplicative weights: S. Arora, E. Hazan and S. Kale,
        The Multiplicative Weights Update Method, Theory of Computing 8 (2012); from memory.
    """
    import numpy as np

    numbers: dict[tuple[int, int], int] = {}
    anchors: dict[int, int] = {}
    index = {place: number for number, place in enumerate(network.places)}
    uses: list[int] = []
    starts: list[int] = []
    ends: list[int] = []
    spans: dict[Place, tuple[int, int]] = {}
    for place in network.places:
        first = len(starts)
        for one in network.gatherings[place]:
            starts.append(len(uses))
            ends.append(index[one.end])
            for use in zip(one.sheets.plates, one.sheets.anchors, strict=True):
                if use not in numbers:
                    numbers[use] = len(numbers)
                    anchors[use[0]] = anchors.get(use[0], 0) + 1
                uses.append(numbers[use])
        spans[place] = (first, len(starts))
    repeated = frozenset(plate for plate, count in anchors.items() if count > 1)
    if not repeated:
        return Shares(dict.fromkeys(numbers, 1.0), repeated)
    plate_numbers = {plate: number for number, plate in enumerate(anchors)}
    plate_of = np.array([plate_numbers[plate] for plate, _ in numbers])
    used, begins, heads = np.array(uses), np.array(starts), np.array(ends)
    # A gathering that prints nothing has no uses; reduceat would give it those of the next.
    bounds = np.append(begins, len(used))
    is_bare = bounds[1:] == bounds[:-1]
    padded = np.append(used, 0)
    order = [(index[place], *spans[place]) for place in reversed(network.places)]
    is_end = {index[place] for place in network.ends}
    moved = np.zeros(len(numbers))
    best, best_sum = np.zeros(len(numbers)), -1.0
    for _ in range(max(8, min(_ROUNDS, _VISITS // len(starts)))):
        pull = np.exp(np.minimum(_FASTER * moved, 50.0))
        share = pull / np.bincount(plate_of, pull, len(anchors))[plate_of]
        sums = np.add.reduceat(np.append(share, 0.0)[padded], begins)
        sums[is_bare] = 0.0
        behind = np.full(len(index), np.inf)
        chosen: dict[int, int] = {}
        for number, low, high in order:
            if number in is_end:
                behind[number] = 0.0
            if high > low:
                way = sums[low:high] + behind[heads[low:high]]
                least = int(way.argmin())
                if way[least] < behind[number]:
                    behind[number] = way[least]
                    chosen[number] = low + least
        if behind[0] > best_sum:
            best, best_sum = share, float(behind[0])
        moved *= _FADING
        at = 0
        while at in chosen:
            gathering = chosen[at]
            moved[used[bounds[gathering] : bounds[gathering + 1]]] += 1.0
            at = int(heads[gathering])
    return Shares({use: float(best[number]) for use, number in numbers.items()}, repeated)
