"""What the log says was printed, stack by stack and side by side, and what is left of each side.

In: a PressPlan, printed figures. Out: SideState. Never: notes, sentences.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.trade.press.records import PressPlan, PressStack
from doublure.trade.press.run_records import Joining, SideState

FRONTS, BACKS = "fronts", "backs"
BOTH = "both"


@dataclass(frozen=True, slots=True)
class PrintedFigure:
    """One entry of the log on printing.

    Attributes:
        targets: What was printed, in order: number of the stack, and FRONTS, BACKS or BOTH; () where the entry
            names no stack, so that it tells of time alone.
        made, spoiled: Sheets that came out good, and bad.
        minutes: Time it took; None where not said.
        sides: Printed sides of one sheet, 1 or 2, where there are no targets to tell.
    """

    targets: tuple[tuple[int, str], ...]
    made: int
    spoiled: int = 0
    minutes: float | None = None
    sides: int = 2


class Tally:
    """Counts what the log says was made and spoiled, by stack and side.

    Attributes:
        totals: Sheets to start with, by stack.
        is_blank: By stack and side, True where nothing is printed.
        made, spoiled: By stack and side.
    """

    def __init__(self, plan: PressPlan, totals: Mapping[int, int], blank: Collection[int]) -> None:
        """Start with nothing printed.

        Args:
            plan: Plates and stacks.
            totals: Sheets to start with, by stack.
            blank: Numbers of the plates that print nothing.
        """
        self.totals = totals
        self.is_blank = {
            (stack.number, side): plate in blank
            for stack in plan.stacks
            for side, plate in ((FRONTS, stack.front), (BACKS, stack.back))
        }
        self.made = dict.fromkeys(self.is_blank, 0)
        self.spoiled = dict.fromkeys(self.is_blank, 0)

    def add(self, figure: PrintedFigure) -> int:
        """Count one entry and return its printed sides.

        Raises:
            DomainError: A count below 0, or a stack or side that there is not.
        """
        if figure.made < 0 or figure.spoiled < 0:
            raise DomainError("sheets made and spoiled must be 0 or more", "printed")
        if not figure.targets:
            return (figure.made + figure.spoiled) * figure.sides
        over, sides, filled = figure.made, 0, figure.targets[0]
        for place, target in enumerate(figure.targets, 1):
            keys = self._keys(target)
            is_last = place == len(figure.targets)
            lacks = max(0, self.totals[target[0]] - min((self.made[key] for key in keys), default=0))
            given = over if is_last else min(over, lacks)
            if given:
                filled = target
            for key in keys:
                self.made[key] += given
            over -= given
            sides += given * len(keys)
        keys = self._keys(filled)
        if keys:
            # A sheet that is spoiled is one sheet, whichever side it happened on.
            self.spoiled[keys[0]] += figure.spoiled
        return sides + figure.spoiled * len(keys)

    def _keys(self, target: tuple[int, str]) -> tuple[tuple[int, str], ...]:
        """Return the sides of a stack that a target names and that are printed."""
        number, side = target
        if (number, FRONTS) not in self.is_blank:
            raise DomainError(f"there is no stack {number}", "printed")
        if side not in (FRONTS, BACKS, BOTH):
            raise DomainError(f'"{side}" is no side of a stack', "printed")
        named = (FRONTS, BACKS) if side == BOTH else (side,)
        return tuple((number, one) for one in named if not self.is_blank[number, one])

    def _is_begun(self, number: int, side: str) -> bool:
        return self.made[number, side] + self.spoiled[number, side] > 0

    def states(
        self, stack: PressStack, wanted: int, waits: tuple[bool, bool] = (False, False)
    ) -> tuple[SideState, SideState]:
        """Return where both sides of a stack stand.

        A sheet that is spoiled, at whichever side, is no longer in the pile. So the backs are as many as good
        fronts lie there without one, and one for each front that is still to come. Fronts are left until as many
        sheets went through as the stack has, and until enough are good for the sheets wanted and for those that
        spoiled at their backs. Where the front is blank every sheet is as good as printed there.

        Args:
            stack: The stack.
            wanted: Sheets of it that the edition takes.
            waits: For the fronts and the backs, True where they cannot be printed yet.
        """
        front, back, total = (stack.number, FRONTS), (stack.number, BACKS), self.totals[stack.number]
        good, bad = self.made[front], self.spoiled[front]
        through = self.made[back] + self.spoiled[back]
        if self.is_blank[front]:
            fronts = _blank()
            left = max(0, total - through, wanted - self.made[back])
            lying = left
        else:
            more = max(0, total - good - bad, wanted + self.spoiled[back] - good)
            fronts = SideState(
                wanted=good + bad + more,
                made=good,
                spoiled=bad,
                left=more,
                is_blank=False,
                waits=waits[0],
                joining=self._join(stack.number) if more else Joining.ON_TOP,
            )
            left, lying = max(0, good + more - through), max(0, good - through)
        if self.is_blank[back]:
            return fronts, _blank()
        backs = SideState(
            wanted=through + left,
            made=self.made[back],
            spoiled=self.spoiled[back],
            left=left,
            is_blank=False,
            waits=waits[1],
            lying=min(lying, left),
        )
        return fronts, backs

    def _join(self, number: int) -> Joining:
        """Return where in the pile the fronts of a stack go that are still to be printed."""
        if self._is_begun(number, BACKS):
            return Joining.APART
        later = (other for other, side in self.is_blank if side == FRONTS and other > number)
        return Joining.BETWEEN if any(self._is_begun(other, FRONTS) for other in later) else Joining.ON_TOP


def _blank() -> SideState:
    return SideState(0, 0, 0, 0, True)
