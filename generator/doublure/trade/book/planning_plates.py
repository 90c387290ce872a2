"""Plates of the gatherings that a plan may be made of: each distinct plate is one bit of a whole number.

In: PlanningSpec, fillings. Out: PlateBook, masks of plates and of what they carry. Never: searching.
Two sides are one plate where every cell carries the same master with the same creep step; a blank has no step.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.trade.book.gatherings import Side
from doublure.trade.book.planning_records import PlanningSpec
from doublure.trade.book.planning_steps import Filling
from doublure.trade.press.folding import fold_sheets

_Cells = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class FilledSheets:
    """What one filled gathering prints.

    Attributes:
        plates: Bit p is set where it takes plate p.
        carried: Bit c is set where one of its plates carries c: a master with its creep step in one cell.
        stacks: Numbers of its sheets, alike where both plates are alike.
    """

    plates: int
    carried: int
    stacks: tuple[int, ...]


class PlateBook:
    """The plates met so far, numbered in the order in which they were met."""

    def __init__(self, spec: PlanningSpec) -> None:
        names: dict[str, int] = {}
        #: Number of the master of each page, from 1; 0 for a blank, and for "page 0", which a blank put in counts as.
        self._masters = [0]
        for name in spec.masters:
            self._masters.append(0 if name is None else names.setdefault(name, len(names) + 1))
        self._pairs = spec.folding.pairs
        self._steps = spec.creep_steps
        self._cells = [
            [(cell.position - 1, cell.pair - 1) for cell in forme.cells]
            for side in Side
            for forme in fold_sheets((1,), spec.folding)
            if forme.side is side
        ]
        self._plates: dict[_Cells, int] = {}
        self._carried_by: list[int] = []
        self._carried: dict[tuple[int, tuple[int, int]], int] = {}
        self._stacks: dict[tuple[int, int], int] = {}
        self._sheets: dict[tuple[int, tuple[int, ...]], FilledSheets] = {}
        self._families = [0] * len(self._cells[0])

    @property
    def families(self) -> tuple[int, ...]:
        """Masks of what plates can carry, one for each cell: no plate carries two of one family."""
        return tuple(family for family in self._families if family)

    @property
    def count(self) -> int:
        """How many distinct plates were met."""
        return len(self._carried_by)

    def carried_by(self, plates: int) -> int:
        """Return what the plates of a mask carry."""
        carried = 0
        while plates:
            last = plates & -plates
            carried |= self._carried_by[last.bit_length() - 1]
            plates ^= last
        return carried

    def fill(self, first: Filling, second: Filling) -> FilledSheets:
        """Return what a gathering prints whose first and second half are filled so."""
        plates, carried = 0, 0
        stacks: list[int] = []
        pages = 2 * self._pairs
        for sheet in range(len(first) // pages):
            at, end = sheet * pages, len(second) - sheet * pages
            laid = tuple(
                self._masters[max(p, 0)] for p in (*first[at : at + pages], *second[end - pages : end])
            )
            one = self._sheets.get((sheet, laid)) or self._print(sheet, laid)
            plates |= one.plates
            carried |= one.carried
            stacks += one.stacks
        return FilledSheets(plates, carried, tuple(stacks))

    def _print(self, sheet: int, laid: tuple[int, ...]) -> FilledSheets:
        plates, carried, both = 0, 0, []
        for side in self._cells:
            cells = tuple((laid[page], self._step(laid[page], sheet, pair)) for page, pair in side)
            number = -1
            if any(master for master, _ in cells):
                number = self._plates.setdefault(cells, len(self._plates))
                if number == len(self._carried_by):
                    self._carried_by.append(self._carry(cells))
                plates |= 1 << number
                carried |= self._carried_by[number]
            both.append(number)
        stack = self._stacks.setdefault((both[0], both[1]), len(self._stacks))
        self._sheets[sheet, laid] = FilledSheets(plates, carried, (stack,))
        return self._sheets[sheet, laid]

    def _step(self, master: int, sheet: int, pair: int) -> int:
        if not master or not self._steps:
            return 0
        return self._steps[sheet * self._pairs + pair]

    def _carry(self, cells: _Cells) -> int:
        carried = 0
        for place, cell in enumerate(cells):
            if cell[0]:
                bit = 1 << self._carried.setdefault((place, cell), len(self._carried))
                self._families[place] |= bit
                carried |= bit
        return carried
