"""Every computed table as CSV and JSON, and the page that lists them.

In: SiteContext. Out: SiteFile values, SitePage. Never: computing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from doublure.render.html import Html, Link, escape_text, render_answer, render_link, render_rows
from doublure.render.plan import SiteFile, SitePage
from doublure.render.site.bill_page import bill_table, need_table
from doublure.render.site.book_tables import (
    creep_table,
    imposition_table,
    page_table,
    plate_table,
)
from doublure.render.site.context import SiteContext
from doublure.render.site.crossover_table import crossover_table
from doublure.render.site.frame import PageFrame
from doublure.render.site.insert_table import attribute_table, insert_table, reading_table
from doublure.render.site.log_pages import thing_table
from doublure.render.site.press_tables import (
    findings_table,
    misfit_table,
    plates_table,
    register_readings_table,
    register_sheets_table,
    register_table,
    stacks_table,
)
from doublure.render.site.proposal import proposal_crossover_table, proposal_table
from doublure.render.site.stock_page import stock_table
from doublure.render.site.wordings import count_words
from doublure.render.table import Table, render_table_csv, render_table_json
from doublure.workings.book import BookWorking


def tables(ctx: SiteContext) -> tuple[Table, ...]:
    """Return every table that has rows."""
    return tuple(table for table in _tables(ctx) if table.rows)


def _tables(ctx: SiteContext) -> Iterator[Table]:
    frame = PageFrame("data/index.md", "Data", kind="data")
    yield insert_table(ctx, frame)
    yield attribute_table(ctx)
    yield reading_table(ctx)
    book = ctx.work.book
    if book is not None:
        yield page_table(ctx, frame, book)
        yield imposition_table(ctx, frame, book)
        yield from _press_tables(ctx, frame, book)
        if book.creep is not None:
            for size in sorted(book.creep.gatherings):
                yield creep_table(book, size)
    proposal = ctx.work.proposal
    if proposal is not None and proposal.proposal is not None:
        yield proposal_table(frame, proposal)
        yield proposal_crossover_table(ctx, frame, proposal)
    yield register_readings_table(ctx, frame)
    yield stock_table(ctx, frame)
    if ctx.work.bill.bill is not None:
        yield bill_table(ctx, frame, ctx.work.bill.bill)
        yield need_table(ctx, frame, ctx.work.bill.bill)
    yield thing_table(ctx, frame)


def _press_tables(ctx: SiteContext, frame: PageFrame, book: BookWorking) -> Iterator[Table]:
    press = ctx.work.press
    if press.plan is None:
        yield plate_table(ctx, frame, book)
    else:
        yield plates_table(ctx, frame, press, press.plan)
        yield stacks_table(frame, press.plan, press.run)
        yield findings_table(ctx, frame, press)
    yield crossover_table(ctx, frame, book, press)
    yield misfit_table(ctx, frame, press)
    if press.register is not None:
        yield register_table(frame, press.register)
        yield register_sheets_table(ctx, frame, press.register)


def data_files(tables: Iterable[Table]) -> list[SiteFile]:
    """Return tables as CSV and as JSON."""
    files = []
    for table in tables:
        files.append(SiteFile(f"data/{table.name}.csv", render_table_csv(table)))
        files.append(SiteFile(f"data/{table.name}.json", render_table_json(table)))
    return files


def page(tables: Sequence[Table]) -> SitePage:
    """Return the page that lists the data files of tables."""
    frame = PageFrame("data/index.md", "Data", kind="data")
    frame.add(
        render_answer(
            f"{count_words(len(tables), 'table')}, each as CSV and JSON, with the units in the names of the columns."
        )
    )
    rows: list[tuple[str, Html]] = []
    for table in tables:
        csv = render_link(Link("CSV", frame.href(f"data/{table.name}.csv")))
        json = render_link(Link("JSON", frame.href(f"data/{table.name}.json")))
        columns = ", ".join(column.key for column in table.columns)
        words = (
            f"{escape_text(table.caption)}. {count_words(len(table.rows), 'row')}: {csv}, {json}"
            f'<span class="db-columns">{columns.replace("_", "&#95;")}</span>'
        )
        rows.append((table.name.replace("_", " ").capitalize(), Html(words)))
    frame.add(render_rows(rows))
    return frame.finish()
