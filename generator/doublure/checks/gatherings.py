"""The gatherings of the book as far as checks need them: leaf pairs in each, for every folding.

In: the book's note and its pages. Out: numbers. Never: problems.
"""

from __future__ import annotations

from doublure.checks.pages import Pages
from doublure.errors import DomainError
from doublure.model.book import BookNote
from doublure.trade.book.gatherings import choose_gatherings
from doublure.trade.press.records import Folding


def pages_in_sheet(book: BookNote) -> int:
    """Return the pages of one printed sheet as it is folded: 4, 8 or 16."""
    return 4 * Folding(book.press.folding).pairs


def list_leaf_pairs(book: BookNote, pages: Pages) -> tuple[int, ...]:
    """Return the leaf pairs in each gathering; () where they are not given or cannot be.

    The notes count folded sheets. The last of equal gatherings may be short, and takes whole sheets.
    """
    pairs = Folding(book.press.folding).pairs
    if book.gathering_sheets:
        return tuple(sheets * pairs for sheets in book.gathering_sheets)
    if book.sheets_per_gathering is None or not pages.folded:
        return ()
    try:
        *full, last = choose_gatherings(pages.folded, book.sheets_per_gathering * pairs)
    except DomainError:
        return ()
    return (*full, -(-last // pairs) * pairs)
