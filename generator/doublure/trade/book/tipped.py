"""Single leaves tipped into a book: counted in its page numbers, but lying outside its folded sheets.

In: the number of pages, the first page of each tipped leaf, the gatherings. Out: which pages are folded, and
between which folded leaves each tipped leaf lies. Never: masters, inserts that carry no page numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.trade.book.gatherings import check_fit
from doublure.trade.book.limits import MAX_PAGES, check_count, check_gatherings


@dataclass(frozen=True, slots=True)
class TippedLeaf:
    """One single leaf, by its place among the pages.

    Attributes:
        leaf: Its number among all leaves of the book, from 1.
        recto_page: Page number of its first page.
        verso_page: Page number of its second page.
        after_folded_leaf: How many folded leaves lie before it; 0 where it comes first.
        order: From 1, among the tipped leaves that lie between the same two folded leaves.
    """

    leaf: int
    recto_page: int
    verso_page: int
    after_folded_leaf: int
    order: int


@dataclass(frozen=True, slots=True)
class SplitPages:
    """The pages of a book, parted into folded and tipped ones.

    Attributes:
        pages: How many pages the book has in all.
        folded_pages: Page numbers that lie on folded sheets, in reading order.
        tipped_leaves: The single leaves, in reading order.
    """

    pages: int
    folded_pages: tuple[int, ...]
    tipped_leaves: tuple[TippedLeaf, ...]


@dataclass(frozen=True, slots=True)
class TippedPlace:
    """Where a single leaf lies among the gatherings.

    Attributes:
        tipped: The leaf.
        after_folded_leaf: Number of the folded leaf before it, None where it comes first.
        before_folded_leaf: Number of the folded leaf behind it, None where it comes last.
        gathering_before: Gathering of the leaf before it, None where it comes first.
        gathering_after: Gathering of the leaf behind it, None where it comes last.
        at_fold: True where it lies in the middle of a gathering, between the two leaves of the innermost
            sheet, and so against the fold with its sewing.
    """

    tipped: TippedLeaf
    after_folded_leaf: int | None
    before_folded_leaf: int | None
    gathering_before: int | None
    gathering_after: int | None
    at_fold: bool

    @property
    def gathering(self) -> int | None:
        """The gathering inside which it lies; None before, between and behind gatherings."""
        return self.gathering_before if self.gathering_before == self.gathering_after else None


def split_tipped_leaves(pages: int, tipped_at: Sequence[int] = ()) -> SplitPages:
    """Part the pages of a book into those on folded sheets and those on single leaves tipped in.

    Every leaf, folded or single, carries an odd page and the even page behind it.

    Args:
        pages: Number of pages of the book, 1 to MAX_PAGES, tipped leaves included.
        tipped_at: The first page of each single leaf: odd numbers, in any order, each once.

    Raises:
        DomainError: A number lies outside the book, is even, comes twice, or its leaf has no second page.

    Examples:
        >>> split = split_tipped_leaves(10, [5])
        >>> split.folded_pages, split.tipped_leaves[0].after_folded_leaf
        ((1, 2, 3, 4, 7, 8, 9, 10), 2)
    """
    check_count(pages, "pages", "pages", most=MAX_PAGES)
    firsts = sorted(check_count(page, "tipped_at", "first page of a tipped leaf") for page in tipped_at)
    for index, page in enumerate(firsts):
        if page in firsts[index + 1 :]:
            raise DomainError(f"tipped leaf: page {page} is listed twice", "tipped_at")
        if page % 2 == 0:
            raise DomainError(
                f"tipped leaf: page {page} is the back of a leaf; name the odd page that the leaf begins on",
                "tipped_at",
            )
        if page + 1 > pages:
            raise DomainError(
                f"tipped leaf: it takes pages {page} and {page + 1}, but the book has {pages}", "tipped_at"
            )
    leaves: list[TippedLeaf] = []
    for number, page in enumerate(firsts):
        after = (page - 1) // 2 - number
        order = leaves[-1].order + 1 if leaves and leaves[-1].after_folded_leaf == after else 1
        leaves.append(TippedLeaf((page + 1) // 2, page, page + 1, after, order))
    taken = {page for leaf in leaves for page in (leaf.recto_page, leaf.verso_page)}
    folded = tuple(page for page in range(1, pages + 1) if page not in taken)
    return SplitPages(pages, folded, tuple(leaves))


def place_tipped_leaves(split: SplitPages, sheets_in_gatherings: Sequence[int]) -> tuple[TippedPlace, ...]:
    """Return where each tipped leaf lies among the folded leaves and the gatherings.

    Args:
        split: From split_tipped_leaves.
        sheets_in_gatherings: Folded sheets in each gathering, each at least 1.

    Raises:
        DomainError: The folded pages do not fit into the gatherings, or a gathering has less than one sheet.

    Examples:
        >>> place = place_tipped_leaves(split_tipped_leaves(10, [5]), (2,))[0]
        >>> place.after_folded_leaf, place.before_folded_leaf, place.gathering, place.at_fold
        (2, 3, 1, True)
    """
    gatherings = check_gatherings(sheets_in_gatherings)
    check_fit(len(split.folded_pages), gatherings)
    gathering_of = [number for number, sheets in enumerate(gatherings, 1) for _ in range(2 * sheets)]
    folds: set[int] = set()
    leaves = 0
    for sheets in gatherings:
        folds.add(leaves + sheets)
        leaves += 2 * sheets
    places: list[TippedPlace] = []
    for tipped in split.tipped_leaves:
        after = tipped.after_folded_leaf
        places.append(
            TippedPlace(
                tipped=tipped,
                after_folded_leaf=after if after > 0 else None,
                before_folded_leaf=after + 1 if after < leaves else None,
                gathering_before=gathering_of[after - 1] if after > 0 else None,
                gathering_after=gathering_of[after] if after < leaves else None,
                at_fold=after in folds,
            )
        )
    return tuple(places)
