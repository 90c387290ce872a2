"""Sheets that are expected to fail because the halves of a crossover do not meet: which stack they belong to.

In: crossovers with the share that fails, the plates. Out: FailingWorking. Never: predicting a misfit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from doublure.trade.book.gatherings import Side
from doublure.trade.press.records import PressPlan
from doublure.trade.press.register.records import CrossoverMisfit
from doublure.workings.press_places import PrintedPage


@dataclass(frozen=True, slots=True)
class FailingWorking:
    """What is expected to fail.

    Attributes:
        by_stack: Share of the sheets of each stack, 0 to 1; stacks of which none fail are not in it.
        per_copy: Printed sheets in one copy of the book.
    """

    by_stack: Mapping[int, float] = field(default_factory=dict)
    per_copy: float = 0.0


def work_failing(
    plan: PressPlan, places: Mapping[int, PrintedPage], misfits: Iterable[CrossoverMisfit]
) -> FailingWorking:
    """Work out which sheets fail.

    A crossover that does not meet costs one sheet, printed again: the one that carries a half of it on its
    back, since the back is what misses its place; of two fronts the later one. A sheet with several crossovers
    fails where any of them does, taken as independent of each other. Leaves tipped in are on no plate.

    Args:
        plan: The plates.
        places: Where each page is printed, by page.
        misfits: The crossovers as they are predicted.
    """
    meets: dict[tuple[int, int], float] = {}
    for misfit in misfits:
        halves = [places[page] for page in (misfit.left_page, misfit.right_page) if page in places]
        if halves:
            one = max(halves, key=lambda half: (half.side is Side.BACK, half.gathering, half.sheet))
            place = one.gathering, one.sheet
            meets[place] = meets.get(place, 1.0) * (1.0 - misfit.failing_share)
    by_stack = {}
    for stack in plan.stacks:
        shares = [1.0 - meets.get(place, 1.0) for place in stack.sheets]
        if any(shares):
            by_stack[stack.number] = math.fsum(shares) / len(shares)
    per_copy = math.fsum(by_stack.get(stack.number, 0.0) * stack.per_copy for stack in plan.stacks)
    return FailingWorking(by_stack, per_copy)
