"""Imposition: the table, the distinct plates, and the sheets drawn.

In: SiteContext. Out: SitePage values. Never: computing.
"""

from __future__ import annotations

from doublure.render.draw.sheet import SheetPage, SheetSpec, draw_sheet
from doublure.render.html import Html, Link, escape_text, render_answer, render_link, render_working
from doublure.render.plan import SitePage, page_path
from doublure.render.site.book_pages import NO_BOOK, data_links
from doublure.render.site.book_tables import METHOD, imposition_table, plate_table, plate_words
from doublure.render.site.context import SiteContext
from doublure.render.site.drawings import fore_edge_html
from doublure.render.site.frame import PageFrame
from doublure.render.site.wordings import count_words
from doublure.render.svg import render_svg
from doublure.render.table import render_table_html
from doublure.trade.book.gatherings import Side
from doublure.trade.book.imposition import ImposedSheet
from doublure.trade.book.plates import Plate
from doublure.workings.book import BookWorking

#: Drawn sheets beyond these are left to the table.
MOST_DRAWN = 120


def pages(ctx: SiteContext) -> list[SitePage]:
    """Return the imposition page."""
    frame = PageFrame("book/imposition.md", "Imposition", kind="imposition")
    book = ctx.work.book
    if book is None or book.imposition is None or book.counts is None or book.plates is None:
        frame.add(render_answer(NO_BOOK))
        return [frame.finish()]
    counts = book.counts
    used = len(book.plates.printed_plates)
    frame.add(
        render_answer(
            f"{count_words(book.folded_sheets, 'sheet')} a copy, from {count_words(used, 'distinct plate')} in "
            f"{count_words(len(book.plates.stacks), 'stack')}."
        )
    )
    frame.add(fore_edge_html(ctx, frame))
    frame.heading("Sheet by sheet", "sheets")
    frame.add(_sheets(ctx, frame, book))
    frame.heading("The table", "table")
    table = imposition_table(ctx, frame, book)
    csv, json = data_links(frame, table)
    frame.add(render_table_html(table, csv_href=csv, json_href=json, wide=True))
    frame.add(
        render_working(
            [
                "Sheet j of a gathering of n pages carries on its front the pages n − 2j + 2 and 2j − 1, on its back "
                "2j and n − 2j + 1; books read from right to left are mirrored."
            ],
            inputs=[("Gatherings, in sheets", ", ".join(map(str, book.page_map.sheets_in_gatherings)))],
            method=Link("Imposition", frame.href(f"{METHOD}#imposition")),
            source="Cowie’s Printer’s Pocket-book and Manual, p. 31, for the sums",
        )
    )
    frame.heading("Plates and stacks", "plates")
    frame.add(
        f"<p>Without creep {count_words(counts.plates, 'plate')} in {count_words(counts.stacks, 'stack')}; with creep "
        f"{count_words(counts.plates_with_creep, 'plate')} in {count_words(counts.stacks_with_creep, 'stack')}: the "
        "same two masters on an outer and on an inner sheet are then two plates.</p>"
    )
    if ctx.work.press.plan is not None:
        plates = render_link(Link("Every plate as it will print", frame.href("book/plates.md")))
        run = render_link(Link("the run, stack by stack", frame.href("book/run.md")))
        frame.add(f"<p>{plates}; {run}.</p>")
    else:
        _counted_plates(ctx, frame, book)
    return [frame.finish()]


def _counted_plates(ctx: SiteContext, frame: PageFrame, book: BookWorking) -> None:
    """Add the plates that are counted while the sheet is not known yet."""
    assert book.plates is not None
    table = plate_table(ctx, frame, book)
    csv, json = data_links(frame, table)
    frame.add(render_table_html(table, csv_href=csv, json_href=json, wide=True))
    stacks = "".join(
        f"<li>{count_words(stack.count, 'sheet')}: {_plate(ctx, stack.front)} / {_plate(ctx, stack.back)}</li>"
        for stack in book.plates.stacks
        if stack.count > 1
    )
    if stacks:
        frame.add(f"<p>Sheets printed alike on both sides, for one copy:</p><ul>{stacks}</ul>")


def _plate(ctx: SiteContext, plate: Plate) -> Html:
    return escape_text(plate_words(ctx, plate))


def _sheets(ctx: SiteContext, frame: PageFrame, book: BookWorking) -> Html:
    assert book.imposition is not None
    if book.imposition.sheets and len(book.imposition.sheets) > MOST_DRAWN:
        return Html(
            f"<p>{len(book.imposition.sheets)} sheets are too many to draw; the table has them all.</p>"
        )
    drawn = []
    for sheet in book.imposition.sheets:
        spec = _sheet_spec(ctx, frame, book, sheet)
        drawn.append(f"<li>{render_svg(draw_sheet(spec), f'sheet-{sheet.gathering}-{sheet.sheet}')}</li>")
    return Html(f'<ul class="db-sheets db-wide">{"".join(drawn)}</ul>')


def _sheet_spec(ctx: SiteContext, frame: PageFrame, book: BookWorking, sheet: ImposedSheet) -> SheetSpec:
    leaf = book.note.leaf
    sides = {side: tuple(_sheet_page(ctx, frame, book, page) for page in sheet.side(side)) for side in Side}
    return SheetSpec(
        title=f"Gathering {sheet.gathering}, sheet {sheet.sheet}",
        front=(sides[Side.FRONT][0], sides[Side.FRONT][1]),
        back=(sides[Side.BACK][0], sides[Side.BACK][1]),
        page_width_mm=leaf.width_mm.value if leaf is not None else 100.0,
        page_height_mm=leaf.height_mm.value if leaf is not None else 150.0,
    )


def _sheet_page(ctx: SiteContext, frame: PageFrame, book: BookWorking, page: int | None) -> SheetPage:
    master = book.entries[page - 1].master if page is not None else ""
    if not master:
        return SheetPage(str(page or ""), "blank" if page is not None else "proposed blank")
    return SheetPage(str(page), ctx.name_of(f"masters/{master}"), frame.href(page_path("masters", master)))
