"""Room for marks and bleed: what finds none on a sheet, and which sheet, or which bleed, would do.

In: sizes of sheet and leaf, folding, bleed. Out: RoomAdvice. Never: placing marks (marks.py), display text.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.trade.press.layout import arrange_pages
from doublure.trade.press.marks import lay_out_sheet
from doublure.trade.press.records import Folding, Lacking, MarkName, Point

MOST_MORE_MM = 80
"""A sheet that is this much larger each way has room for everything round its trims."""


@dataclass(frozen=True, slots=True)
class RoomAdvice:
    """What finds no room on a sheet, and what would help.

    Attributes:
        lacking: As SheetLayout.lacking has it; () where there is room for everything.
        sheet_mm: The least sheet, in whole mm and no smaller than the one in use, that has room for everything;
            None where there is room already, or where no sheet of a sensible size has it.
        bare: Marks that would find no room with no bleed either; None where bleed takes room from none of them.
    """

    lacking: tuple[Lacking, ...]
    sheet_mm: Point | None
    bare: tuple[Lacking, ...] | None


def advise_room(sheet_mm: Point, leaf_mm: Point, folding: Folding, pairs: int, bleed_mm: float) -> RoomAdvice:
    """Return what finds no room on a sheet, and what would help.

    Args:
        sheet_mm: Width and height of the sheet, mm, as it is printed.
        leaf_mm: Width and height of a trimmed leaf, mm.
        folding: How often it is folded.
        pairs: Leaf pairs that it is cut into before.
        bleed_mm: Bleed that is wanted, mm, >= 0.

    Raises:
        DomainError: The sheet is too small for its pages.

    Source:
        By search over the layout itself, no published source.

    Examples:
        >>> advise_room((297, 210), (120, 200), Folding.FOLIO, 1, 3).sheet_mm
        (297.0, 212.0)
        >>> advise_room((297, 210), (105, 148), Folding.FOLIO, 1, 3)
        RoomAdvice(lacking=(), sheet_mm=None, bare=None)
    """

    def find_lacking(width: float, height: float, bleed: float) -> tuple[Lacking, ...]:
        grid = arrange_pages((width, height), leaf_mm, folding, pairs, bleed)
        return lay_out_sheet(grid, pairs, None).lacking

    def has_room(width: float, height: float) -> bool:
        try:
            return not find_lacking(width, height, bleed_mm)
        except DomainError:
            return False

    lacking = find_lacking(*sheet_mm, bleed_mm)
    if not lacking:
        return RoomAdvice((), None, None)
    names = {(one.what, one.edge) for one in lacking if one.what is not MarkName.BLEED}
    bare: tuple[Lacking, ...] | None = find_lacking(*sheet_mm, 0.0)
    if names == {(one.what, one.edge) for one in bare or ()}:
        bare = None
    least = (math.ceil(sheet_mm[0] - 1e-6), math.ceil(sheet_mm[1] - 1e-6))
    for more in range(MOST_MORE_MM + 1):
        width, height = least[0] + more, least[1] + more
        if not has_room(width, height):
            continue
        # What is larger than it need be in one direction alone is taken back.
        width = next(one for one in range(least[0], width + 1) if has_room(one, height))
        height = next(one for one in range(least[1], height + 1) if has_room(width, one))
        return RoomAdvice(lacking, (float(width), float(height)), bare)
    return RoomAdvice(lacking, None, bare)
