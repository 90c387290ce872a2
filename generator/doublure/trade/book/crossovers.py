"""Crossovers: on how many sheets does artwork lie that runs across the gutter.

In: a page map and two facing pages. Out: Crossover. Never: artwork, register figures.
Only in the middle of a gathering are facing pages printed side by side, and so in line for certain.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Half
from doublure.trade.book.page_map import MappedPage, PageMap


class CrossoverKind(Enum):
    """Where the two halves of a crossover lie, from the easiest to keep in line to the hardest."""

    ONE_SHEET = "one_sheet"
    """Side by side on the back of the innermost sheet: the middle spread of a gathering."""
    TWO_SHEETS = "two_sheets"
    """On two sheets of one gathering, on the back of the one and on the front of the other."""
    TWO_GATHERINGS = "two_gatherings"
    """On the front of the outermost sheets of two gatherings that follow each other."""
    ONE_TIPPED = "one_tipped"
    """One half on a folded sheet, one on a leaf tipped in."""
    BOTH_TIPPED = "both_tipped"
    """On two leaves tipped in one behind the other."""


@dataclass(frozen=True, slots=True)
class Crossover:
    """Artwork across the gutter, with where its halves are printed.

    Attributes:
        kind: On how many sheets it lies.
        left: Page at the left of the gutter, with its gathering, sheet and side.
        right: Page at the right of the gutter.
    """

    kind: CrossoverKind
    left: MappedPage
    right: MappedPage


def classify_crossover(page_map: PageMap, left_page: int, right_page: int) -> Crossover:
    """Return where the two halves of artwork on facing pages are printed.

    Args:
        page_map: The book.
        left_page: Number of the page at the left of the gutter.
        right_page: Number of the page at the right of the gutter.

    Raises:
        DomainError: A page is not in the book, or the two do not face each other in this order.

    Source:
        Follows from the folding. That only the middle spread is aligned for certain: common practice, no
        published source.

    Examples:
        >>> from doublure.trade.book.page_map import build_page_map
        >>> classify_crossover(build_page_map(24, (3, 3)), 12, 13).kind.value
        'two_gatherings'
    """
    left, right = page_map.find(left_page), page_map.find(right_page)
    if left.facing != right.page or left.half is not Half.LEFT:
        raise DomainError(_explain_not_facing(page_map, left, right), "right_page")
    if left.is_tipped or right.is_tipped:
        both = left.is_tipped and right.is_tipped
        return Crossover(CrossoverKind.BOTH_TIPPED if both else CrossoverKind.ONE_TIPPED, left, right)
    if left.gathering != right.gathering:
        return Crossover(CrossoverKind.TWO_GATHERINGS, left, right)
    one_sheet = left.sheet == right.sheet
    return Crossover(CrossoverKind.ONE_SHEET if one_sheet else CrossoverKind.TWO_SHEETS, left, right)


def _explain_not_facing(page_map: PageMap, left: MappedPage, right: MappedPage) -> str:
    said = f"pages {left.page} (left) and {right.page} (right) do not face each other"
    if left.facing is None:
        return f"{said}: page {left.page} stands alone"
    pair = page_map.find(left.facing)
    on_left, on_right = (left, pair) if left.half is Half.LEFT else (pair, left)
    return f"{said}: page {on_left.page} is at the left and page {on_right.page} at the right"
