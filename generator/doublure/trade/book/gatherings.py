"""Gatherings of folded sheets, and where each folded page comes to lie.

In: numbers of pages and sheets. Out: sheets per gathering; gathering, sheet, side, half, leaf of each page.
Never: page numbers or masters; a position here only counts the pages on folded sheets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from doublure.errors import DomainError
from doublure.trade.book.limits import MAX_PAGES, check_count, check_gatherings


class Side(Enum):
    """One of the two sides of a sheet. The front is the one that is outermost when the sheet is folded."""

    FRONT = "front"
    BACK = "back"


class Half(Enum):
    """Left or right of the fold, looking at the side (or at the open spread) with its heads up."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def other(self) -> Half:
        """The half beside this one."""
        return Half.RIGHT if self is Half.LEFT else Half.LEFT


@dataclass(frozen=True, slots=True)
class FoldedPlace:
    """Where one page of the folded sheets lies.

    Attributes:
        position: Counts the pages of all folded sheets in reading order, from 1.
        gathering: From 1, in sewing order.
        sheet: From 1, the outermost of its gathering.
        side: Side of the sheet.
        half: Left or right half of that side.
        leaf_in_gathering: From 1 to twice the number of sheets.
        folded_leaf: Counts the leaves of all folded sheets, from 1.
    """

    position: int
    gathering: int
    sheet: int
    side: Side
    half: Half
    leaf_in_gathering: int
    folded_leaf: int


def count_folded_pages(sheets_in_gatherings: Sequence[int]) -> int:
    """Return how many pages the gatherings hold: four to a sheet.

    Raises:
        DomainError: As check_gatherings.

    Examples:
        >>> count_folded_pages((4, 4, 3, 4))
        60
    """
    return 4 * sum(check_gatherings(sheets_in_gatherings))


def choose_gatherings(folded_pages: int, sheets_per_gathering: int) -> tuple[int, ...]:
    """Return the sheets of each gathering: full gatherings, then a short one for what is left over.

    Args:
        folded_pages: Pages that lie on folded sheets, 1 to MAX_PAGES. Where they are not a multiple of four,
            the last sheet keeps up to three pages over, which the caller must fill or propose as blanks.
        sheets_per_gathering: Sheets in a full gathering, at least 1.

    Raises:
        DomainError: An argument is not a whole number within its limits.

    Examples:
        >>> choose_gatherings(52, 4)
        (4, 4, 4, 1)
    """
    check_count(folded_pages, "folded_pages", "pages", most=MAX_PAGES)
    check_count(sheets_per_gathering, "sheets_per_gathering", "sheets per gathering")
    full, rest = divmod(-(-folded_pages // 4), sheets_per_gathering)
    return (sheets_per_gathering,) * full + ((rest,) if rest else ())


def fold_gathering(sheets: int, rtl: bool = False) -> tuple[tuple[int, Side, Half], ...]:
    """Return where each page of one gathering is printed: sheet, side and half, in reading order.

    Of the 2n leaves of a gathering of n sheets, leaf l and leaf 2n + 1 - l are the two halves of sheet l.
    A leaf of the first n shows its recto on the front of the sheet, a leaf of the second n on the back.

    Args:
        sheets: Folded sheets, at least 1.
        rtl: True for a book read from right to left (spine at the right): left and right change places.

    Raises:
        DomainError: The number of sheets is not a whole number of at least 1.

    Source:
        Quired sections: any two pages that lie side by side sum to one more than the pages of the gathering.
        Cowie's Printer's Pocket-book and Manual, p. 31.

    Examples:
        >>> [(sheet, side.value, half.value) for sheet, side, half in fold_gathering(1)]
        [(1, 'front', 'right'), (1, 'back', 'left'), (1, 'back', 'right'), (1, 'front', 'left')]
    """
    check_count(sheets, "sheets", "sheets in a gathering")
    # Read from left to right, a recto has the spine at its left, so it is the right half of its side.
    recto, verso = (Half.LEFT, Half.RIGHT) if rtl else (Half.RIGHT, Half.LEFT)
    first = ((Side.FRONT, recto), (Side.BACK, verso))
    second = ((Side.BACK, recto), (Side.FRONT, verso))
    inwards = [(sheet, side, half) for sheet in range(1, sheets + 1) for side, half in first]
    outwards = [(sheet, side, half) for sheet in range(sheets, 0, -1) for side, half in second]
    return (*inwards, *outwards)


def place_folded_pages(sheets_in_gatherings: Sequence[int], rtl: bool = False) -> tuple[FoldedPlace, ...]:
    """Return the place of every page that the gatherings hold, in reading order.

    Args:
        sheets_in_gatherings: Folded sheets in each gathering, each at least 1.
        rtl: True for a book read from right to left.

    Raises:
        DomainError: As check_gatherings.

    Source:
        As fold_gathering.

    Examples:
        >>> place = place_folded_pages((3, 3))[17]
        >>> place.position, place.gathering, place.sheet, place.side.value, place.leaf_in_gathering
        (18, 2, 3, 'back', 3)
    """
    places: list[FoldedPlace] = []
    for gathering, sheets in enumerate(check_gatherings(sheets_in_gatherings), 1):
        for page, (sheet, side, half) in enumerate(fold_gathering(sheets, rtl)):
            position = len(places) + 1
            leaf_in_gathering, folded_leaf = page // 2 + 1, (position + 1) // 2
            places.append(FoldedPlace(position, gathering, sheet, side, half, leaf_in_gathering, folded_leaf))
    return tuple(places)


def check_fit(folded_pages: int, sheets_in_gatherings: Sequence[int]) -> int:
    """Return how many blanks would fill the last pages that the gatherings hold.

    Args:
        folded_pages: Pages that lie on folded sheets, 0 or more.
        sheets_in_gatherings: Folded sheets in each gathering, each at least 1.

    Raises:
        DomainError: The pages do not fit, or as check_gatherings.

    Examples:
        >>> check_fit(58, (4, 4, 3, 4))
        2
    """
    held = count_folded_pages(sheets_in_gatherings)
    if folded_pages > held:
        over = folded_pages - held
        raise DomainError(
            f"pages: {folded_pages} do not fit into gatherings that hold {held}; take out {over},"
            f" or add {-(-over // 4)} to the sheets",
            "sheets_in_gatherings",
        )
    return held - folded_pages
