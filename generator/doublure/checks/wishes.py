"""Wishes for the gatherings that cannot be met one by one, or that contradict each other, at their own places.

In: a Replica and its pages. Out: problems. Never: searching for a plan; whether there is one for all wishes together
workings/planning.py says.
"""

from __future__ import annotations

from collections.abc import Iterator

from doublure.checks.finding import find
from doublure.checks.gatherings import pages_in_sheet
from doublure.checks.pages import Pages
from doublure.model.book import BookNote, GatheringWish
from doublure.model.replica import Replica
from doublure.problems import Problem


def check_wishes(replica: Replica, pages: Pages | None) -> Iterator[Problem]:
    """Yield what cannot be in the field choose of the book."""
    book = replica.book
    if book is None or book.choose is None:
        return
    yield from _check_weights(replica, book, book.choose)
    if pages is None or pages.fault or not pages.folded:
        return
    yield from _check_total(book, book.choose, pages)
    centres = []
    for number, (low, high) in enumerate(book.choose.fixed):
        problem = _check_spread(book, pages, number, low, high)
        if problem is not None:
            yield problem
        else:
            centres.append((number, low))
    yield from _check_distances(book, book.choose, pages, sorted(centres, key=lambda one: one[1]))


def _check_weights(replica: Replica, book: BookNote, wish: GatheringWish) -> Iterator[Problem]:
    seen: dict[frozenset[str], tuple[str, float]] = {}
    for name, weight in wish.weights:
        master = replica.masters.get(name)
        if master is None:
            continue
        span = book.origin.key_span("choose", "weights", name)
        if not master.crossover:
            yield find(
                "B115",
                f'weights: "{name}" has no artwork across the gutter, so that its weight says nothing',
                span,
                "take it away, or name the partner in the note of the master: crossover:",
            )
            continue
        pair = frozenset((name, master.crossover))
        first = seen.setdefault(pair, (name, weight))
        if first[1] != weight:
            yield find(
                "B115",
                f'weights: {weight:g} for "{name}", and {first[1]:g} for "{first[0]}", the other half',
                span,
                "give the two halves one weight; one of them is enough",
                ((book.origin.key_span("choose", "weights", first[0]), "the other half"),),
            )


def _check_total(book: BookNote, wish: GatheringWish, pages: Pages) -> Iterator[Problem]:
    """Is there any number of gatherings that holds the pages with the blanks allowed?"""
    sheet = pages_in_sheet(book)
    sheets = -(-pages.folded // sheet)
    if sheets * sheet - pages.folded > wish.most_blanks:
        blanks = sheets * sheet - pages.folded
        yield find(
            "B115",
            f"most_blanks: {pages.folded} pages on folded sheets leave {blanks} over on the last sheet, "
            f"and {wish.most_blanks} may be blank",
            book.origin.span("choose", "most_blanks")
            if ("choose", "most_blanks") in book.origin.spans
            else book.origin.key_span("choose"),
            f"write most_blanks: {blanks}",
        )
        return
    most = (pages.folded + wish.most_blanks) // sheet
    if any(-(-one // wish.most_sheets) <= one // wish.fewest_sheets for one in range(sheets, most + 1)):
        return
    span_words = _show_range(wish)
    yield find(
        "B115",
        f"sheets: no gatherings of {span_words} hold {pages.folded} pages, which are {sheets} sheets, "
        f"with {wish.most_blanks} blanks at most",
        book.origin.span("choose", "sheets"),
        "allow other gatherings, or more blanks",
    )


def _show_range(wish: GatheringWish) -> str:
    if wish.fewest_sheets == wish.most_sheets:
        return f"{wish.most_sheets} sheet{'' if wish.most_sheets == 1 else 's'}"
    return f"{wish.fewest_sheets} to {wish.most_sheets} sheets"


def _check_spread(book: BookNote, pages: Pages, number: int, low: int, high: int) -> Problem | None:
    span = book.origin.span("choose", "fixed", number)
    count = len(pages.masters)
    if high > count:
        return find("B103", f"fixed: the book has no page {high}", span, f"its pages are 1 to {count}")
    if low % 2 or high != low + 1:
        even = low if low % 2 == 0 else low - 1
        hint = f"write the two pages of one opening, such as [{max(2, even)}, {max(2, even) + 1}]"
        return find("B104", f"fixed: pages {low} and {high} do not face each other", span, hint)
    if any(page in (low, high) or page + 1 in (low, high) for page, _ in pages.tipped):
        return find(
            "B115",
            f"fixed: pages {low} and {high} are on a leaf tipped in, and cannot be the middle of a gathering",
            span,
            "take the pair away, or put these pages on folded sheets",
        )
    return None


def _check_distances(
    book: BookNote, wish: GatheringWish, pages: Pages, centres: list[tuple[int, int]]
) -> Iterator[Problem]:
    """The middle of a gathering has half of it before and behind: so far apart are two of them at least."""
    half = wish.fewest_sheets * pages_in_sheet(book) // 2
    # Blanks put in between, where that is allowed, move pages apart.
    slack = 0 if wish.blanks == "end" else wish.most_blanks
    before: tuple[int, int] | None = None
    for number, low in centres:
        span = book.origin.span("choose", "fixed", number)
        here = low - 2 * sum(page < low for page, _ in pages.tipped)
        if before is None and here + slack < half:
            yield find(
                "B115",
                f"fixed: {here} pages stand before the middle of pages {low} and {low + 1}, and half a gathering "
                f"of {wish.fewest_sheets} sheets has {half}",
                span,
                "allow smaller gatherings, or take the pair away",
                ((book.origin.span("choose", "sheets"), "the gatherings wished for"),),
            )
        elif before is not None and here - before[1] + slack < 2 * half:
            first = wish.fixed[before[0]]
            yield find(
                "B115",
                f"fixed: pages {low} and {low + 1} are {here - before[1]} pages from {first[0]} and {first[1]}, and the "
                f"middles of two gatherings of {wish.fewest_sheets} sheets are {2 * half} apart",
                span,
                "allow smaller gatherings, or take one of the two pairs away",
                ((book.origin.span("choose", "fixed", before[0]), "the other pair"),),
            )
        before = (number, here)
    if before is not None and pages.folded - before[1] + wish.most_blanks < half:
        low = wish.fixed[before[0]][0]
        yield find(
            "B115",
            f"fixed: {pages.folded - before[1]} pages stand behind the middle of pages {low} and {low + 1}, and half a "
            f"gathering of {wish.fewest_sheets} sheets has {half}",
            book.origin.span("choose", "fixed", before[0]),
            "allow smaller gatherings or more blanks, or take the pair away",
            ((book.origin.span("choose", "sheets"), "the gatherings wished for"),),
        )
