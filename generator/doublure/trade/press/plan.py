"""The plan of the press: every plate with all its places, every stack, at true size.

In: PressSpec (sizes, folding, masters of the pages, creep steps). Out: PressPlan. Never: copies, printers, files.
A plate is the masters of its pages, their creep steps and, where they are wanted, its collation marks.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Side, check_fit
from doublure.trade.book.limits import check_count, check_gatherings, check_positive
from doublure.trade.press.folding import FormeCell, ImposedForme, describe_folding, fold_sheets
from doublure.trade.press.layout import SheetGrid, arrange_pages, count_steps, step_mark
from doublure.trade.press.marks import lay_out_sheet
from doublure.trade.press.records import (
    Folding,
    Pairing,
    PlacedPage,
    PressPlace,
    PressPlan,
    PressPlate,
    PressStack,
)
from doublure.trade.press.sheet_way import WayChoice, choose_way

MOST_PAIRS = 64
"""More leaf pairs on one sheet are refused: it can only be a slip of the pen."""


@dataclass(frozen=True, slots=True)
class PressSpec:
    """What a plan of the press is made from.

    Attributes:
        leaf_width_mm, leaf_height_mm: A trimmed leaf of an outermost sheet, spine to fore-edge and head to tail.
        sheet_width_mm, sheet_height_mm: The sheet as it is printed, the spine folds upright.
        folding: How often a sheet is folded.
        pairs: Leaf pairs that a sheet is cut into before it is folded; only with FOLIO more than 1.
        pairing: What a sheet with several leaf pairs carries.
        rtl: True for a book read from right to left.
        leaf_pairs_in_gatherings: Leaf pairs in each gathering; with QUARTO and OCTAVO multiples of 2 and 4.
        masters: For each page of the book its master, None where it is blank.
        page_numbers: The page of the book at each folded position, None for a proposed blank; what is missing
            at the end is proposed blanks too.
        creep_steps: By leaf pair in its gathering (1 the outermost) the steps by which its artwork is moved
            towards the fold. May be empty where creep_step_mm is 0.
        creep_step_mm: Size of a step, mm; 0 switches creep off.
        held_pages: Pages whose artwork stays at the fold whatever the creep, since it goes on across the gutter:
            moved, each half would lose there what it is moved by.
        bleed_mm: Bleed round every trim where there is room, mm, >= 0.
        collation: True where the outermost sheet of each gathering gets a step mark on its spine fold.
        grain_along: Grain of the sheet as it is printed: "width", "height", or "" where it is open.
    """

    leaf_width_mm: float
    leaf_height_mm: float
    sheet_width_mm: float
    sheet_height_mm: float
    leaf_pairs_in_gatherings: tuple[int, ...]
    masters: Mapping[int, str | None]
    page_numbers: tuple[int | None, ...]
    folding: Folding = Folding.FOLIO
    pairs: int = 1
    pairing: Pairing = Pairing.ALIKE
    rtl: bool = False
    creep_steps: Mapping[int, int] | None = None
    creep_step_mm: float = 0.0
    bleed_mm: float = 3.0
    collation: bool = False
    grain_along: str = ""
    held_pages: frozenset[int] = frozenset()


class _Fold(NamedTuple):
    """The spine fold of a leaf pair that lies outermost in its gathering, on a front.

    Attributes:
        row, column: Of the leaf pair on the sheet, from 0.
        turned: True where its pages lie head down.
        number: Of the gathering; of the step, once that is known.
    """

    row: int
    column: int
    turned: bool
    number: int


@dataclass(frozen=True, slots=True)
class _Sheet:
    """One printed sheet: what is in the cells of either side, which sheets of the book it gives.

    Attributes:
        front, back: Row by row; None where nothing was left to put.
        gives: (gathering, sheet) of each, in sewing order.
        outermost: Folds that get a collation mark, where there are to be any.
        weight: Printed sheets for one copy of the book.
    """

    front: tuple[FormeCell | None, ...]
    back: tuple[FormeCell | None, ...]
    gives: tuple[tuple[int, int], ...]
    outermost: tuple[_Fold, ...]
    weight: Fraction


_CellKey = tuple[str | None, int]
_PlateKey = tuple[tuple[_CellKey, ...], tuple[_Fold, ...]]


def plan_press(spec: PressSpec) -> PressPlan:
    """Return the distinct plates and stacks of a book, laid out at true size.

    Args:
        spec: Sizes, folding, masters.

    Raises:
        DomainError: The sheet is too small (argument "sheet"); the gatherings do not go with the folding or do
            not hold the pages; a page has no entry among the masters; a leaf pair has no creep step; a size is
            not finite and positive.

    Source:
        Plates: as trade/book/plates. Creep: the artwork of an inner sheet moves towards the fold, Cowie's
        Printer's Pocket-book and Manual, p. 31, note.

    Examples:
        >>> spec = PressSpec(105, 148, 297, 210, (2, 2), {p: "ruled" for p in range(1, 17)}, tuple(range(1, 17)))
        >>> plan = plan_press(spec)
        >>> [(stack.front, stack.back, stack.per_copy) for stack in plan.stacks]
        [(1, 1, 4.0)]
    """
    _check(spec)
    sheet_mm, leaf_mm = (spec.sheet_width_mm, spec.sheet_height_mm), (spec.leaf_width_mm, spec.leaf_height_mm)
    grid = arrange_pages(sheet_mm, leaf_mm, spec.folding, spec.pairs, spec.bleed_mm)
    sheets = _list_sheets(spec, grid)
    plain, collated = (_Collector(spec, sheets, collation) for collation in (False, True))
    chosen = collated if spec.collation else plain
    grain = describe_folding(spec.folding, spec.rtl).grain_along
    fold_grain_ok = None if not spec.grain_along else spec.grain_along == grain
    return PressPlan(
        layout=lay_out_sheet(grid, spec.pairs, fold_grain_ok),
        plates=tuple(
            _lay_out_plate(number, key, chosen, spec, grid) for number, key in enumerate(chosen.places, 1)
        ),
        stacks=chosen.list_stacks(),
        creep_step_mm=spec.creep_step_mm,
        collation=spec.collation,
        stacks_plain=len(plain.sheets),
        stacks_collated=len(collated.sheets),
    )


def find_sheet_way(spec: PressSpec) -> WayChoice:
    """Return which way the sheet is printed, and why (choose_way).

    Raises:
        DomainError: A size is not finite and positive.
    """
    _check(spec)
    return choose_way(
        (spec.sheet_width_mm, spec.sheet_height_mm),
        (spec.leaf_width_mm, spec.leaf_height_mm),
        spec.folding,
        spec.pairs,
        spec.bleed_mm,
        spec.grain_along,
    )


def choose_sheet_way(spec: PressSpec) -> PressSpec:
    """Return the same with the sheet as it is printed: turned or not, as find_sheet_way says.

    Raises:
        DomainError: A size is not finite and positive.

    Examples:
        >>> spec = PressSpec(120, 148, 210, 297, (1,), {1: "title"}, (1,))
        >>> choose_sheet_way(spec).sheet_width_mm
        297
    """
    if not find_sheet_way(spec).reason.is_turned:
        return spec
    return replace(
        spec,
        sheet_width_mm=spec.sheet_height_mm,
        sheet_height_mm=spec.sheet_width_mm,
        grain_along={"width": "height", "height": "width"}.get(spec.grain_along, ""),
    )


def _check(spec: PressSpec) -> None:
    check_positive(spec.leaf_width_mm, "leaf_width_mm", "width of a leaf")
    check_positive(spec.leaf_height_mm, "leaf_height_mm", "height of a leaf")
    check_positive(spec.sheet_width_mm, "sheet", "width of the sheet")
    check_positive(spec.sheet_height_mm, "sheet", "height of the sheet")
    for value, argument, what in (
        (spec.bleed_mm, "bleed_mm", "bleed"),
        (spec.creep_step_mm, "creep_step_mm", "creep step"),
    ):
        if not math.isfinite(value) or value < 0:
            raise DomainError(f"{what}: {value!r} mm cannot be; 0 or more is right", argument)
    check_count(spec.pairs, "pairs", "leaf pairs on a sheet", most=MOST_PAIRS)
    if spec.pairs > 1 and spec.folding is not Folding.FOLIO:
        raise DomainError(
            f"leaf pairs: a sheet that is folded as {spec.folding.value} is not cut before; 1 is right",
            "pairs",
        )
    if spec.grain_along not in ("width", "height", ""):
        raise DomainError(f"grain: {spec.grain_along!r} is neither width nor height", "grain_along")
    gatherings = check_gatherings(spec.leaf_pairs_in_gatherings)
    for number, pairs in enumerate(gatherings, 1):
        if pairs % spec.folding.pairs:
            raise DomainError(
                f"gathering {number}: {pairs} leaf pairs cannot come of sheets folded as {spec.folding.value},"
                f" which give {spec.folding.pairs} each",
                "leaf_pairs_in_gatherings",
            )
    check_fit(len(spec.page_numbers), gatherings)


def _list_sheets(spec: PressSpec, grid: SheetGrid) -> tuple[_Sheet, ...]:
    """Return every printed sheet of one copy of the book."""
    m = spec.folding.pairs
    formes = fold_sheets([pairs // m for pairs in spec.leaf_pairs_in_gatherings], spec.folding, spec.rtl)
    both = list(zip(formes[::2], formes[1::2], strict=True))
    if spec.pairs == 1:
        return tuple(
            _Sheet(
                front.cells,
                back.cells,
                ((front.gathering, front.sheet),),
                _find_outermost(front),
                Fraction(1),
            )
            for front, back in both
        )
    if spec.pairing is Pairing.ALIKE:
        return tuple(_gang([sheet] * spec.pairs, grid, Fraction(1, spec.pairs)) for sheet in both)
    sheets = [
        _gang(both[start : start + spec.pairs], grid, Fraction(1))
        for start in range(0, len(both) - spec.pairs + 1, spec.pairs)
    ]
    if rest := both[len(both) - len(both) % spec.pairs :]:
        # What is left over is put on the last sheet as often as there is room, so that it serves more copies.
        times = spec.pairs // len(rest)
        sheets.append(_gang(rest * times, grid, Fraction(1, times)))
    return tuple(sheets)


def _gang(units: Sequence[tuple[ImposedForme, ImposedForme]], grid: SheetGrid, weight: Fraction) -> _Sheet:
    """Put leaf pairs on one sheet, row by row as one looks at the front; on the back they lie as in a mirror."""
    front: list[FormeCell | None] = [None] * (grid.rows * grid.columns)
    back = front.copy()
    outermost: list[_Fold] = []
    for number, unit in enumerate(units):
        row, column = divmod(number, grid.across)
        outermost += [fold._replace(row=row, column=column) for fold in _find_outermost(unit[0])]
        for cells, forme, at in ((front, unit[0], column), (back, unit[1], grid.across - 1 - column)):
            start = row * grid.columns + 2 * at
            cells[start : start + 2] = forme.cells
    gives = tuple(dict.fromkeys((forme.gathering, forme.sheet) for forme, _ in units))
    return _Sheet(tuple(front), tuple(back), gives, tuple(outermost), weight)


def _find_outermost(front: ImposedForme) -> tuple[_Fold, ...]:
    """Return the fold on a front that lies outermost in its gathering; () on inner sheets."""
    return tuple(
        _Fold(cell.row, cell.column // 2, cell.turned, front.gathering)
        for cell in front.cells
        if cell.pair == 1 and cell.column % 2 == 0
    )


class _Collector:
    """Brings sheets together that are printed alike."""

    def __init__(self, spec: PressSpec, sheets: Sequence[_Sheet], collation: bool) -> None:
        """Sort every side of every sheet to its plate, every sheet to its stack."""
        self._spec = spec
        self._steps = count_steps(spec.leaf_height_mm)
        #: Every place of each plate; order of first place.
        self.places: dict[_PlateKey, list[PressPlace]] = {}
        #: What lies in each cell, for each side that the plate serves.
        self.cells: dict[_PlateKey, list[tuple[FormeCell | None, ...]]] = {}
        self.sheets: dict[tuple[_PlateKey, _PlateKey], list[_Sheet]] = {}
        for sheet in sheets:
            keys = (
                self._key(sheet.front, sheet.outermost if collation else ()),
                self._key(sheet.back, ()),
            )
            for key, side, cells in zip(keys, Side, (sheet.front, sheet.back), strict=True):
                places = self.places.setdefault(key, [])
                places += [PressPlace(gathering, number, side) for gathering, number in sheet.gives]
                self.cells.setdefault(key, []).append(cells)
            self.sheets.setdefault(keys, []).append(sheet)

    def page_of(self, cell: FormeCell | None) -> int | None:
        """Return the page of the book in a cell, None for a proposed blank or an empty cell."""
        if cell is None or cell.position > len(self._spec.page_numbers):
            return None
        return self._spec.page_numbers[cell.position - 1]

    def _key(self, cells: Sequence[FormeCell | None], outermost: Sequence[_Fold]) -> _PlateKey:
        steps = tuple(fold._replace(number=(fold.number - 1) % self._steps + 1) for fold in outermost)
        return tuple(self._cell_key(cell) for cell in cells), steps

    def _cell_key(self, cell: FormeCell | None) -> _CellKey:
        page = self.page_of(cell)
        if cell is None or page is None:
            return None, 0
        if page not in self._spec.masters:
            raise DomainError(f"page {page} has neither a master nor a blank", "masters")
        master = self._spec.masters[page]
        # Where there is nothing to shift, the place in the gathering makes no difference.
        if master is None or self._spec.creep_step_mm == 0 or page in self._spec.held_pages:
            return master, 0
        steps = (self._spec.creep_steps or {}).get(cell.pair)
        if steps is None:
            raise DomainError(f"leaf pair {cell.pair} of a gathering has no creep step", "creep_steps")
        return master, check_count(steps, "creep_steps", "creep steps", least=0)

    def list_stacks(self) -> tuple[PressStack, ...]:
        """Return the stacks, in the order of their first sheet."""
        numbers = {key: number for number, key in enumerate(self.places, 1)}
        return tuple(
            PressStack(
                number=number,
                front=numbers[front],
                back=numbers[back],
                sheets=tuple(place for sheet in sheets for place in sheet.gives),
                per_copy=float(sum(sheet.weight for sheet in sheets)),
            )
            for number, ((front, back), sheets) in enumerate(self.sheets.items(), 1)
        )


def _lay_out_plate(
    number: int, key: _PlateKey, found: _Collector, spec: PressSpec, grid: SheetGrid
) -> PressPlate:
    cells_of, steps = key
    pages: list[PlacedPage] = []
    for index, (master, creep) in enumerate(cells_of):
        row, column = divmod(index, grid.columns)
        used = [cells[index] for cells in found.cells[key]]
        first = next((cell for cell in used if cell is not None), None)
        shift = creep * spec.creep_step_mm
        if shift >= spec.leaf_width_mm:
            raise DomainError(
                f"creep: artwork would be moved {shift:.3g} mm on a leaf of {spec.leaf_width_mm:.3g} mm;"
                " use fewer sheets in a gathering or a smaller step",
                "creep_step_mm",
            )
        pages.append(
            PlacedPage(
                master=master,
                trim=grid.trim(row, column),
                artwork=grid.artwork(row, column, shift),
                clip=grid.clip(row, column),
                turned=first is not None and first.turned,
                spine=grid.spine(column),
                creep_shift_mm=shift,
                pages=tuple(sorted({page for cell in used if (page := found.page_of(cell)) is not None})),
            )
        )
    marks = [step_mark(grid, fold.row, fold.column, fold.turned, fold.number) for fold in steps]
    return PressPlate(
        number=number,
        pages=tuple(pages),
        places=tuple(sorted(found.places[key], key=_sewing_order)),
        collation_step=steps[0].number if steps else 0,
        collation=marks[0] if marks else None,
        more_collation=tuple(marks[1:]),
    )


def _sewing_order(place: PressPlace) -> tuple[int, int, bool]:
    return place.gathering, place.sheet, place.side is Side.BACK
