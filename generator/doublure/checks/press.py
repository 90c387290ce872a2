"""The press: folding against gatherings, leaf pairs, sheet, printer and grain; wishes that cannot be met.

In: a Replica and its pages. Out: problems. Never: the plan itself (trade/press), a proposal (trade/book/planning).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from doublure.checks.book import open_leaf
from doublure.checks.finding import find, show_size
from doublure.checks.gatherings import list_leaf_pairs
from doublure.checks.inserts import fits
from doublure.checks.pages import Pages
from doublure.errors import DomainError
from doublure.model.book import BookNote
from doublure.model.parts import SizeMm
from doublure.model.replica import Replica
from doublure.problems import Problem, Span
from doublure.trade.press.folding import describe_folding
from doublure.trade.press.layout import arrange_pages
from doublure.trade.press.records import Folding, Lacking, MarkName
from doublure.trade.press.room import advise_room
from doublure.trade.press.sheet_way import WayChoice, WayReason, choose_way

#: Leaf pairs in a gathering that still fold and sew well (common practice, no published source).
_MOST_LEAF_PAIRS = 12
#: Sizes nearer than this, mm, are the same sheet.
_SAME_MM = 0.5

_MARK_WORDS = {
    MarkName.BLEED: "all of the bleed",
    MarkName.CUT: "cut marks",
    MarkName.FOLD: "fold marks",
    MarkName.SLIT: "slit marks",
    MarkName.CROSS: "register crosses",
    MarkName.LABEL: "the label",
}


def check_press(replica: Replica, pages: Pages | None) -> Iterator[Problem]:
    """Yield what cannot be in the way that the book is printed and folded."""
    book = replica.book
    if book is None:
        return
    if book.press.pairs > 1 and book.press.folding != "folio":
        yield find(
            "B111",
            f"pairs: a sheet that is folded as {book.press.folding} is not cut before",
            book.origin.span("press", "pairs"),
            "leave pairs out, or write folding: folio",
            ((book.origin.span("press", "folding"), "the folding"),),
        )
    yield from _check_printer(replica, book)
    yield from _check_sheet(replica, book)
    if pages is not None and not pages.fault:
        yield from _check_thickness(book, pages)
        yield from _check_tipped(book, pages)


def _check_thickness(book: BookNote, pages: Pages) -> Iterator[Problem]:
    """A gathering that became several times as thick, since its number of sheets stayed and the folding did not."""
    folding = Folding(book.press.folding)
    if folding is Folding.FOLIO:
        return
    thickest = max(list_leaf_pairs(book, pages), default=0)
    if thickest <= _MOST_LEAF_PAIRS:
        return
    fewer = max(1, _MOST_LEAF_PAIRS // folding.pairs)
    yield find(
        "B110",
        f"folding: {thickest // folding.pairs} sheets folded as {folding.value} make a gathering of "
        f"{2 * thickest} leaves, {4 * thickest} pages",
        book.origin.span("press", "folding"),
        f"write gatherings: {fewer} sheet{'' if fewer == 1 else 's'}, since a sheet has {4 * folding.pairs} pages now",
        ((book.origin.span("gatherings"), "the gatherings"),),
    )


def _check_tipped(book: BookNote, pages: Pages) -> Iterator[Problem]:
    """A leaf tipped in where a folded edge closes the sheet."""
    folding = Folding(book.press.folding)
    if folding is Folding.FOLIO:
        return
    closed = _find_closed(list_leaf_pairs(book, pages), folding)
    for number, (page, leaf) in enumerate(pages.tipped):
        before = (page - 1) // 2 - number
        if before in closed:
            yield find(
                "B110",
                f"tipped: the leaf goes to where a sheet is closed at its {closed[before]} until that is slit",
                book.origin.span(*leaf.path),
                "slit that fold before the leaf is tipped in, or move it to where two sheets meet",
                ((book.origin.span("press", "folding"), "the folding"),),
            )


def _find_closed(leaf_pairs: tuple[int, ...], folding: Folding) -> dict[int, str]:
    """Return the leaves of the book, numbered from 1, behind which a sheet is closed, and at which folded edge.

    Sheet s of a gathering holds its leaves (s - 1)m + 1 to sm from the front, and as many from the back.
    """
    closed: dict[int, str] = {}
    m, start = folding.pairs, 0
    joins = sorted(describe_folding(folding).joined, key=lambda one: one.leaves[1] - one.leaves[0])
    for pairs in leaf_pairs:
        leaves = 2 * pairs
        for outside in range(0, pairs, m):
            for joined in joins:
                for leaf in range(*joined.leaves):
                    place = outside + leaf if leaf < m else leaves - outside - (2 * m - leaf)
                    closed.setdefault(start + place, joined.kind.value)
        start += leaves
    return closed


def _check_printer(replica: Replica, book: BookNote) -> Iterator[Problem]:
    if len(replica.printers) > 1 and not book.press.printer:
        names = " or ".join(replica.printers) if len(replica.printers) < 5 else "NAME"
        yield find(
            "B113",
            f"press: there are {len(replica.printers)} printers, and none is named",
            book.origin.key_span("press")
            if ("press",) in book.origin.key_spans
            else book.origin.key_span("title"),
            f"write press: {{printer: {names}}}" if "press" not in _keys(book) else f"add printer: {names}",
        )


def _keys(book: BookNote) -> set[str | int]:
    return {path[0] for path in book.origin.key_spans if len(path) == 1}


def _check_sheet(replica: Replica, book: BookNote) -> Iterator[Problem]:
    stock = replica.stocks.get(book.stock)
    own, sold = book.press.sheet, stock.sheet if stock is not None else None
    if sold is not None and book.leaf is not None and not fits(open_leaf(book.leaf), sold):
        return  # that is told at the leaf (S104)
    if own is not None and sold is not None and stock is not None and not fits(own, sold):
        yield find(
            "B112",
            f"sheet: {show_size(own)} does not come out of a sheet of {stock.id}, {show_size(sold)}",
            book.origin.span("press", "sheet"),
            "correct one of the two, or choose another stock",
            ((stock.origin.span("sheet"), "the sheet as sold"),),
        )
        return
    sheet = own or sold
    if book.leaf is None or sheet is None or (book.press.pairs > 1 and book.press.folding != "folio"):
        return
    ways = _fitting_ways(book, book.leaf, sheet)
    if not ways:
        yield from _too_small(book, book.leaf, sheet)
        return
    grain_along = _grain_along(replica, book, sheet)
    choice = choose_way(
        (sheet.width_mm.value, sheet.height_mm.value),
        (book.leaf.width_mm.value, book.leaf.height_mm.value),
        Folding(book.press.folding),
        book.press.pairs,
        book.press.bleed_mm,
        grain_along,
    )
    yield from _check_room(book, book.leaf, sheet, choice.reason.is_turned)
    if grain_along and not _runs_with_spine(grain_along, choice.reason.is_turned):
        yield _against_grain(book, sheet, grain_along, choice)


def _against_grain(book: BookNote, sheet: SizeMm, grain_along: str, choice: WayChoice) -> Problem:
    """The fold at the spine against the grain, and what keeps it so."""
    field, span = "stock", book.origin.span("stock")
    if ("press",) in book.origin.key_spans:
        field, span = "press", book.origin.key_span("press")
    if book.press.grain:
        field, span = "grain", book.origin.span("press", "grain")
    is_long = (grain_along == "width") == (sheet.width_mm.value > sheet.height_mm.value)
    if choice.reason is WayReason.KEPT:
        why = f"; turned, the sheet of {show_size(sheet)} has no room for {_list_names(choice.costs)}"
        other = "a larger sheet"
    else:
        why, other = f", whichever way the sheet of {show_size(sheet)} lies", "another folding"
    return find(
        "B114",
        f"{field}: the fold at the spine runs against the grain{why}",
        span,
        f"use a sheet whose grain runs along its {'shorter' if is_long else 'longer'} side, or {other}",
    )


def _list_names(lacking: Sequence[Lacking]) -> str:
    """Return what finds no room, each once: "fold marks, cut marks and the label"."""
    names = list(dict.fromkeys(_MARK_WORDS[one.what] for one in lacking))
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _check_room(book: BookNote, leaf: SizeMm, sheet: SizeMm, turned: bool) -> Iterator[Problem]:
    """Marks and bleed that find no room. Where the pages fill the sheet to its edges, none was meant to."""
    sides = (sheet.width_mm.value, sheet.height_mm.value)
    lying = (sides[1], sides[0]) if turned else sides
    leaf_mm = (leaf.width_mm.value, leaf.height_mm.value)
    folding, pairs, bleed_mm = Folding(book.press.folding), book.press.pairs, book.press.bleed_mm
    grid = arrange_pages(lying, leaf_mm, folding, pairs, bleed_mm)
    if max(grid.margin_x_mm, grid.margin_y_mm) < _SAME_MM:
        return
    advice = advise_room(lying, leaf_mm, folding, pairs, bleed_mm)
    if not advice.lacking:
        return
    field = "sheet" if ("press", "sheet") in book.origin.spans else "stock"
    span = book.origin.span("press", "sheet") if field == "sheet" else book.origin.span("stock")
    hints = []
    if advice.sheet_mm is not None:
        hints.append(f"a sheet of {advice.sheet_mm[0]:g} x {advice.sheet_mm[1]:g} mm has room for all of it")
    if advice.bare is not None:
        but = f" but {_list_names(advice.bare)}" if advice.bare else ""
        hints.append(f"bleed: 0 leaves room for all marks{but}, where no artwork runs to the trim")
    yield find(
        "B116",
        f"{field}: {lying[0]:.4g} x {lying[1]:.4g} mm has no room for {_list_names(advice.lacking)}",
        span,
        "; ".join(hints) or "use a larger sheet",
    )


def _fitting_ways(book: BookNote, leaf: SizeMm, sheet: SizeMm) -> list[bool]:
    """Return the ways in which the sheet has room for its pages: False as given, True turned."""
    return [turned for turned in (False, True) if _room_fault(book, leaf, sheet, turned) is None]


def _room_fault(book: BookNote, leaf: SizeMm, sheet: SizeMm, turned: bool) -> DomainError | None:
    width, height = sheet.width_mm.value, sheet.height_mm.value
    try:
        arrange_pages(
            (height, width) if turned else (width, height),
            (leaf.width_mm.value, leaf.height_mm.value),
            Folding(book.press.folding),
            book.press.pairs,
            book.press.bleed_mm,
        )
    except DomainError as error:
        return error
    return None


def _too_small(book: BookNote, leaf: SizeMm, sheet: SizeMm) -> Iterator[Problem]:
    fault = _room_fault(book, leaf, sheet, False)
    assert fault is not None
    message, _, hint = fault.message.partition("; ")
    field = next((one for one in ("sheet", "pairs", "folding") if ("press", one) in book.origin.spans), "")
    span: Span = book.origin.span("press", field) if field else book.origin.key_span("press")
    yield find(
        "B112", f"{field or 'press'}: {message}", span, hint or "use a larger sheet, or another folding"
    )


def _grain_along(replica: Replica, book: BookNote, sheet: SizeMm) -> str:
    """Return the side of the sheet along which its fibres run, "" where that is open.

    A sheet that was cut out of the stock may have been cut either way.
    """
    stock = replica.stocks.get(book.stock)
    grain = book.press.grain
    if not grain and stock is not None and _is_same(sheet, stock.sheet):
        grain = stock.grain
    width, height = sheet.width_mm.value, sheet.height_mm.value
    if grain not in ("long", "short") or abs(width - height) < _SAME_MM:
        return ""
    return "width" if (width > height) == (grain == "long") else "height"


def _is_same(sheet: SizeMm, sold: SizeMm | None) -> bool:
    if sold is None:
        return False
    one = sorted((sheet.width_mm.value, sheet.height_mm.value))
    other = sorted((sold.width_mm.value, sold.height_mm.value))
    return all(abs(a - b) < _SAME_MM for a, b in zip(one, other, strict=True))


def _runs_with_spine(grain_along: str, turned: bool) -> bool:
    """The spine folds stand upright: along the height of the sheet as given, or along its width once it is turned."""
    return grain_along == ("width" if turned else "height")
