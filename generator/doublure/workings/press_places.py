"""Where each page of the book is printed: sheet, side, and the place on it.

In: the book, the plates. Out: PrintedPage by page. Never: folding anything itself (trade/press/folding.py).
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.trade.book.gatherings import Half, Side
from doublure.trade.press.folding import fold_sheets
from doublure.trade.press.records import Box, PlacedPage, PressPlan, PressPlate
from doublure.workings.book import BookWorking


@dataclass(frozen=True, slots=True)
class PrintedPage:
    """Where one page is printed.

    Attributes:
        page: Its number in the book.
        gathering, sheet: Of the printed sheet, from 1, the outermost.
        side: Side of that sheet.
        pair: Leaf pair in its gathering, from 1, the outermost.
        placed: The page on its plate, the first where a sheet carries it several times.
        stack: Number of its stack.
    """

    page: int
    gathering: int
    sheet: int
    side: Side
    pair: int
    placed: PlacedPage
    stack: int

    @property
    def trim(self) -> Box:
        """Where its leaf lies on the side, seen from that side."""
        return self.placed.trim

    @property
    def fold_x_mm(self) -> float:
        """Where its fold lies on the side, from the left edge of the sheet as one looks at that side."""
        trim = self.placed.trim
        return trim.left_mm if self.placed.spine is Half.LEFT else trim.right_mm


def locate_pages(book: BookWorking, plan: PressPlan) -> dict[int, PrintedPage]:
    """Return where every page on folded sheets is printed, by page; tipped leaves are not in it."""
    m = plan.layout.folding.pairs
    folded = book.page_map.split.folded_pages
    sheets = [pairs // m for pairs in book.page_map.sheets_in_gatherings]
    stacks = {place: stack for stack in plan.stacks for place in stack.sheets}
    found = {}
    for forme in fold_sheets(sheets, plan.layout.folding, book.page_map.rtl):
        stack = stacks[forme.gathering, forme.sheet]
        plate = plan.plate(stack.front if forme.side is Side.FRONT else stack.back)
        for cell in forme.cells:
            if cell.position > len(folded):
                continue
            page = folded[cell.position - 1]
            placed = _find_on(plate, page)
            if placed is not None:
                found[page] = PrintedPage(
                    page, forme.gathering, forme.sheet, forme.side, cell.pair, placed, stack.number
                )
    return found


def _find_on(plate: PressPlate, page: int) -> PlacedPage | None:
    return next((placed for placed in plate.pages if page in placed.pages), None)
