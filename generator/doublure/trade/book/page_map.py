"""The page map: for every page its leaf, its facing page, and where it is printed.

In: number of pages, gatherings, tipped leaves, reading direction. Out: PageMap. Never: masters, drawing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Half, Side, check_fit, place_folded_pages
from doublure.trade.book.limits import check_gatherings
from doublure.trade.book.tipped import SplitPages, TippedPlace, place_tipped_leaves, split_tipped_leaves


@dataclass(frozen=True, slots=True)
class MappedPage:
    """One page of the book.

    Attributes:
        page: Its number, from 1.
        is_recto: True for the first page of its leaf (odd numbers), False for the verso.
        half: Left or right of the gutter in the open book; for a folded page also the half of that side.
        leaf: Number of its leaf among all leaves, folded and tipped, from 1.
        facing: The page across the gutter; None where there is none (page 1, the last verso).
        gathering: Gathering in which it lies; None on a leaf tipped in before, between or behind gatherings.
        sheet: Sheet on which it is printed, 1 the outermost of its gathering; None on a tipped leaf.
        side: Side of that sheet; None on a tipped leaf.
        folded_leaf: Number of its leaf among the folded leaves; None on a tipped leaf.
        is_tipped: True on a single leaf tipped in.
    """

    page: int
    is_recto: bool
    half: Half
    leaf: int
    facing: int | None
    gathering: int | None
    sheet: int | None
    side: Side | None
    folded_leaf: int | None
    is_tipped: bool


@dataclass(frozen=True, slots=True)
class PageMap:
    """Every page of a book.

    Attributes:
        pages: The pages given, in reading order. Proposed blanks are not among them.
        blanks: Blanks that would fill the last folded pages that the gatherings hold.
        rtl: True where the book is read from right to left.
        sheets_in_gatherings: Sheets in each gathering.
        split: Which pages are folded and which are tipped in.
        tipped: Where the tipped leaves lie.
    """

    pages: tuple[MappedPage, ...]
    blanks: int
    rtl: bool
    sheets_in_gatherings: tuple[int, ...]
    split: SplitPages
    tipped: tuple[TippedPlace, ...]

    def find(self, page: int) -> MappedPage:
        """Return one page by its number.

        Raises:
            DomainError: The book has no such page.
        """
        if not 1 <= page <= len(self.pages):
            raise DomainError(
                f"page {page} is not in the book, which has pages 1 to {len(self.pages)}", "page"
            )
        return self.pages[page - 1]


def build_page_map(
    pages: int, sheets_in_gatherings: Sequence[int], tipped_at: Sequence[int] = (), rtl: bool = False
) -> PageMap:
    """Return the page map of a book.

    Rectos carry the odd numbers. Page 2k faces page 2k + 1: read from left to right, the rectos are at the
    right of the gutter; read from right to left, at its left.

    Args:
        pages: Number of pages, 1 to MAX_PAGES, tipped leaves included.
        sheets_in_gatherings: Folded sheets in each gathering, each at least 1.
        tipped_at: The first page of each single leaf tipped in.
        rtl: True for a book read from right to left.

    Raises:
        DomainError: As split_tipped_leaves; or the folded pages do not fit into the gatherings.

    Source:
        Common practice, no published source.

    Examples:
        >>> page = build_page_map(12, (3,)).find(6)
        >>> page.is_recto, page.half.value, page.leaf, page.facing, page.sheet, page.side.value
        (False, 'left', 3, 7, 3, 'back')
    """
    split = split_tipped_leaves(pages, tipped_at)
    gatherings = check_gatherings(sheets_in_gatherings)
    blanks = check_fit(len(split.folded_pages), gatherings)
    tipped = place_tipped_leaves(split, gatherings)
    folded_at = dict(zip(split.folded_pages, place_folded_pages(gatherings, rtl), strict=False))
    tipped_in = {page: p for p in tipped for page in (p.tipped.recto_page, p.tipped.verso_page)}
    mapped: list[MappedPage] = []
    for page in range(1, pages + 1):
        is_recto = page % 2 == 1
        across = page - 1 if is_recto else page + 1
        place = folded_at.get(page)
        mapped.append(
            MappedPage(
                page=page,
                is_recto=is_recto,
                half=Half.LEFT if is_recto == rtl else Half.RIGHT,
                leaf=(page + 1) // 2,
                facing=across if 1 <= across <= pages else None,
                gathering=place.gathering if place else tipped_in[page].gathering,
                sheet=place.sheet if place else None,
                side=place.side if place else None,
                folded_leaf=place.folded_leaf if place else None,
                is_tipped=place is None,
            )
        )
    return PageMap(tuple(mapped), blanks, rtl, gatherings, split, tipped)
