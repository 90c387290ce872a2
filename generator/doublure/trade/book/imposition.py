"""Imposition: which pages are printed side by side on each side of each sheet.

In: page numbers in reading order, sheets per gathering. Out: Imposition. Never: masters, creep, drawing.
Blanks that would fill the last sheet are counted and shown as None; they are proposed, the caller adds them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypedDict

from doublure.errors import DomainError
from doublure.trade.book.gatherings import (
    Half,
    Side,
    check_fit,
    choose_gatherings,
    fold_gathering,
)
from doublure.trade.book.limits import check_gatherings


class SheetRecord(TypedDict):
    """One sheet of the imposition table, ready for JSON."""

    gathering: int
    sheet: int
    front: list[int | None]
    back: list[int | None]


class ImpositionRecord(TypedDict):
    """The imposition table, ready for JSON."""

    pages: int
    blanks: int
    sheets: list[SheetRecord]


@dataclass(frozen=True, slots=True)
class ImposedSheet:
    """One sheet with the pages printed on it.

    Attributes:
        gathering: From 1, in sewing order.
        sheet: From 1, the outermost of its gathering.
        front: Left and right page of the side that is outermost when folded; None for a blank.
        back: Left and right page of the other side; None for a blank.
    """

    gathering: int
    sheet: int
    front: tuple[int | None, int | None]
    back: tuple[int | None, int | None]

    def side(self, side: Side) -> tuple[int | None, int | None]:
        """Return the left and the right page of one side."""
        return self.front if side is Side.FRONT else self.back


@dataclass(frozen=True, slots=True)
class Imposition:
    """A whole book, imposed.

    Attributes:
        pages: How many pages were given.
        blanks: How many pages at the end of the last gatherings were not given; they are None in the sheets.
        rtl: True where the book is read from right to left.
        sheets_in_gatherings: Sheets in each gathering.
        sheets: Every sheet, by gathering, outermost first.
    """

    pages: int
    blanks: int
    rtl: bool
    sheets_in_gatherings: tuple[int, ...]
    sheets: tuple[ImposedSheet, ...]

    def as_record(self) -> ImpositionRecord:
        """Return the table as plain lists and dictionaries, in the form that `lay` writes as JSON."""
        return {
            "pages": self.pages,
            "blanks": self.blanks,
            "sheets": [
                {"gathering": s.gathering, "sheet": s.sheet, "front": list(s.front), "back": list(s.back)}
                for s in self.sheets
            ],
        }


def impose(
    page_numbers: Sequence[int | None], sheets_in_gatherings: Sequence[int], rtl: bool = False
) -> Imposition:
    """Return the imposition of pages on gatherings of given sizes.

    Args:
        page_numbers: The number of each page that lies on a folded sheet, in reading order; numbers may be
            left out (pages on tipped-in leaves), None is a page without a number. No number may come twice.
        sheets_in_gatherings: Folded sheets in each gathering, such as (4, 4, 3, 4).
        rtl: True for a book read from right to left.

    Raises:
        DomainError: There is no page, a number comes twice, the pages are more than the gatherings hold, or a
            gathering has less than one sheet.

    Source:
        As fold_gathering.

    Examples:
        >>> impose(range(1, 7), (1, 1)).sheets[1].front, impose(range(1, 7), (1, 1)).blanks
        ((None, 5), 2)
    """
    pages = tuple(page_numbers)
    gatherings = check_gatherings(sheets_in_gatherings)
    if not pages:
        raise DomainError("pages: there must be at least one", "page_numbers")
    numbered = [page for page in pages if page is not None]
    if len(set(numbered)) != len(numbered):
        twice = next(page for page in numbered if numbered.count(page) > 1)
        raise DomainError(f"pages: page {twice} is listed twice", "page_numbers")
    blanks = check_fit(len(pages), gatherings)
    folds = {count: fold_gathering(count, rtl) for count in set(gatherings)}
    filled = iter((*pages, *[None] * blanks))
    sheets: list[ImposedSheet] = []
    for gathering, count in enumerate(gatherings, 1):
        fronts: list[list[int | None]] = [[None, None] for _ in range(count)]
        backs: list[list[int | None]] = [[None, None] for _ in range(count)]
        for sheet, side, half in folds[count]:
            (fronts if side is Side.FRONT else backs)[sheet - 1][half is Half.RIGHT] = next(filled)
        for number, (front, back) in enumerate(zip(fronts, backs, strict=True), 1):
            sheets.append(ImposedSheet(gathering, number, (front[0], front[1]), (back[0], back[1])))
    return Imposition(len(pages), blanks, rtl, gatherings, tuple(sheets))


def lay_pages(pages: int, sheets_per_gathering: int, rtl: bool = False) -> Imposition:
    """Return the imposition of pages 1 to n in equal gatherings, the last one short where need be.

    Args:
        pages: Number of pages, 1 to MAX_PAGES.
        sheets_per_gathering: Sheets in a full gathering, at least 1.
        rtl: True for a book read from right to left.

    Returns:
        The imposition; its blanks (0 to 3, at the end) fill the last sheet.

    Raises:
        DomainError: An argument is not a whole number within its limits.

    Source:
        As fold_gathering.

    Examples:
        >>> [(s.front, s.back) for s in lay_pages(12, 3).sheets]
        [((12, 1), (2, 11)), ((10, 3), (4, 9)), ((8, 5), (6, 7))]
    """
    gatherings = choose_gatherings(pages, sheets_per_gathering)
    return impose(range(1, pages + 1), gatherings, rtl)
