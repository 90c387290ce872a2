"""Plates of the gatherings that a plan may be made of: each distinct plate has a number.

In: PlanningSpec, fillings. Out: PlateBook, plates and what they carry. Never: searching.
Two sides are one plate where every cell carries the same master with the same creep step; a blank has no step.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.trade.book.gatherings import Side
from doublure.trade.book.planning_records import PlanningSpec
from doublure.trade.book.planning_steps import Filling
from doublure.trade.press.folding import fold_sheets

_Cells = tuple[tuple[int, int], ...]
_Sheet = tuple[tuple[tuple[int, int], ...], int, int]
"""Of one sheet: each plate with the place of a page on it; what its plates carry; the number of its stack."""


@dataclass(frozen=True, slots=True)
class FilledSheets:
    """What one filled gathering, or one sheet, prints.

    Attributes:
        plates: Numbers of the distinct plates that print something, in the order of their first side.
        anchors: For each of these a page on the first side that it prints: since a page is printed once, no plan
            holds a plate twice at one anchor.
        carried: Bit c is set where one of the plates carries c: a master with its creep step in one cell.
        stacks: Numbers of the sheets, alike where both plates are alike.
    """

    plates: tuple[int, ...]
    anchors: tuple[int, ...]
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
        self._carried: dict[tuple[int, tuple[int, int]], int] = {}
        self._stacks: dict[tuple[int, int], int] = {}
        self._sheets: dict[tuple[int, tuple[int, ...]], _Sheet] = {}
        self._families = [0] * len(self._cells[0])

    @property
    def families(self) -> tuple[int, ...]:
        """Masks of what plates can carry, one for each cell: no plate carries two of one family."""
        return tuple(family for family in self._families if family)

    def fill(self, first: Filling, second: Filling) -> FilledSheets:
        """Return what a gathering prints whose first and second half are filled so."""
        anchors: dict[int, int] = {}
        carried = 0
        stacks: list[int] = []
        pages = 2 * self._pairs
        masters = self._masters
        for sheet in range(len(first) // pages):
            at, end = sheet * pages, len(second) - sheet * pages
            laid = first[at : at + pages] + second[end - pages : end]
            numbers = tuple([masters[page] if page > 0 else 0 for page in laid])
            sides, its_carried, stack = self._sheets.get((sheet, numbers)) or self._print(sheet, numbers)
            for plate, place in sides:
                anchors.setdefault(plate, laid[place])
            carried |= its_carried
            stacks.append(stack)
        return FilledSheets(tuple(anchors), tuple(anchors.values()), carried, tuple(stacks))

    def _print(self, sheet: int, laid: tuple[int, ...]) -> _Sheet:
        carried = 0
        sides: list[tuple[int, int]] = []
        both: list[int] = []
        for side in self._cells:
            cells = tuple((laid[page], self._step(laid[page], sheet, pair)) for page, pair in side)
            number = -1
            printed = [page for page, _ in side if laid[page]]
            if printed:
                number = self._plates.setdefault(cells, len(self._plates))
                carried |= self._carry(cells)
                sides.append((number, min(printed)))
            both.append(number)
        stack = self._stacks.setdefault((both[0], both[1]), len(self._stacks))
        self._sheets[sheet, laid] = (tuple(sides), carried, stack)
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
