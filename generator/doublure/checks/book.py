"""The book: gatherings that its pages do not fill, tipped leaves and crossovers gone astray, its stock.

In: a Replica and its pages. Out: problems. Never: filling anything in.
"""

from __future__ import annotations

from collections.abc import Iterator

from doublure.checks.finding import find, show_size
from doublure.checks.gatherings import pages_in_sheet
from doublure.checks.inserts import fits, is_smaller
from doublure.checks.pages import Pages
from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.model.book import BookNote
from doublure.model.parts import SizeMm
from doublure.model.replica import Replica
from doublure.problems import Problem
from doublure.trade.book.gatherings import choose_gatherings, count_folded_pages


def check_book(replica: Replica, pages: Pages | None) -> Iterator[Problem]:
    """Yield what cannot be in the book."""
    book = replica.book
    if book is None:
        return
    yield from _check_stock(book, replica)
    if pages is None:
        return
    if pages.fault:
        yield find(
            "B107",
            pages.fault,
            book.origin.key_span("sequence"),
            "look for a repeat within a repeat",
        )
        return
    for page, leaf in pages.tipped:
        if page % 2 == 0:
            yield find(
                "B107",
                f"tipped: this leaf would begin on page {page}, the back of another leaf",
                book.origin.span(*leaf.path),
                f"put a page before it, or take one away: {page - 1} pages stand before it",
            )
    yield from _check_gatherings(book, pages)
    yield from _check_crossovers(replica, pages)
    yield from _check_artwork(replica, book, pages)


def _check_gatherings(book: BookNote, pages: Pages) -> Iterator[Problem]:
    folded, sheet = pages.folded, pages_in_sheet(book)
    try:
        if book.gathering_sheets:
            held = count_folded_pages(book.gathering_sheets) // 4 * sheet
            if folded > held:
                over = folded - held
                yield find(
                    "B102",
                    f"gatherings: they hold {held} pages, and the sequence has {folded}",
                    book.origin.span("gatherings"),
                    f"add {-(-over // sheet)} to the sheets, or take {over} pages out",
                )
            elif folded < held:
                yield _unfilled(folded, held, f"the gatherings hold {held}", _ask_for_blanks(held - folded), book)
        elif book.sheets_per_gathering is not None and folded:
            each = book.sheets_per_gathering
            # Whole printed sheets: in pages of a sheet that is folded once, a sheet folded oftener is several.
            sheets = choose_gatherings(-(-folded * 4 // sheet), each)
            full = sheet * each * len(sheets)
            if folded < full:
                blanks = sheet * sum(sheets) - folded
                shorter = f"gatherings: {list(sheets)}" + (f" with {_ask_for_blanks(blanks)}" if blanks else "")
                is_short = sheets[-1] < each and len(sheets) <= 12
                listed = f", or write {shorter}" if is_short else ""
                held_words = f"{len(sheets)} gatherings of {each} sheets hold {full}"
                yield _unfilled(folded, full, held_words, _ask_for_blanks(full - folded) + listed, book)
    except DomainError as error:
        span = book.origin.span("gatherings") if book.gathering_sheets else book.origin.key_span("sequence")
        yield find("B108", error.message, span, "write the sheets of a gathering, not its pages")


def _ask_for_blanks(blanks: int) -> str:
    """Return what to add to the sequence for so many blanks."""
    return f"add - blank: {blanks}"


def _unfilled(folded: int, held: int, held_words: str, hint: str, book: BookNote) -> Problem:
    return find(
        "B101",
        f"sequence: it has {folded} pages on folded sheets, and {held_words}: {held - folded} are left over",
        book.origin.key_span("sequence"),
        hint,
    )


def _check_crossovers(replica: Replica, pages: Pages) -> Iterator[Problem]:
    told: set[frozenset[str]] = set()
    for master in replica.masters.values():
        pair = frozenset((master.id, master.crossover))
        own = master.origin.key_spans.get(("crossover",))
        if not master.crossover or own is None or pair in told:
            continue
        partner = {master.id: master.crossover, master.crossover: master.id}
        for page, carried in enumerate(pages.masters, 1):
            if carried not in partner:
                continue
            facing = page + 1 if page % 2 == 0 else page - 1
            across = pages.masters[facing - 1] if 1 <= facing <= len(pages.masters) else None
            if across == partner[carried]:
                continue
            told.add(pair)
            seen = "no page faces it" if across is None else f"the facing page carries {across or 'nothing'}"
            yield find(
                "B106",
                f'crossover: on page {page} stands "{carried}", and {seen}',
                master.origin.span("crossover"),
                f'put "{partner[carried]}" on page {facing}' if facing >= 1 else "move it to an opening",
            )
            break


def _check_stock(book: BookNote, replica: Replica) -> Iterator[Problem]:
    stock = replica.stocks.get(book.stock)
    if book.leaf is None or stock is None or stock.sheet is None:
        return
    opened = open_leaf(book.leaf)
    if not fits(opened, stock.sheet):
        yield find(
            "S104",
            f"leaf: two leaves side by side, {show_size(opened)}, do not come out of a sheet of {stock.id}, "
            f"{show_size(stock.sheet)}",
            book.origin.span("leaf"),
            "correct one of the two, or choose another stock",
            ((stock.origin.span("sheet"), "the sheet as sold"),),
        )


def open_leaf(leaf: SizeMm) -> SizeMm:
    """Return the size of two leaves side by side."""
    width = Measured(2 * leaf.width_mm.value, None if leaf.width_mm.u is None else 2 * leaf.width_mm.u)
    return SizeMm(width, leaf.height_mm)


def _check_artwork(replica: Replica, book: BookNote, pages: Pages) -> Iterator[Problem]:
    if book.leaf is None:
        return
    for name in sorted({one for one in pages.masters if one}):
        master = replica.masters.get(name)
        if master is not None and master.size is not None and is_smaller(master.size, book.leaf):
            yield find(
                "S110",
                f"size: the artwork is printed {show_size(master.size)}, "
                f"smaller than a leaf of the book, {show_size(book.leaf)}",
                master.origin.span("size"),
                "correct one of the two sizes",
                ((book.origin.span("leaf"), "the leaf"),),
            )
