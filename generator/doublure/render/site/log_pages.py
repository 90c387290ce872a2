"""The log: by date, by thing, and its pictures.

In: SiteContext. Out: SitePage values, Table. Never: adding up.
"""

from __future__ import annotations

from itertools import groupby

from doublure.model.notes import LogNote
from doublure.quantities import format_hours
from doublure.render.html import Fact, Link, render_answer, render_facts, render_link, render_pager
from doublure.render.logcards import render_log
from doublure.render.pictures import render_pictures
from doublure.render.plan import SitePage
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.log_cards import MONTHS, log_card
from doublure.render.site.wordings import count_words
from doublure.render.table import Cell, Column, Row, Table, render_table_html

LATEST = 12


def pages(ctx: SiteContext) -> list[SitePage]:
    """Return the pages of the log: the latest, one for each month, by thing, and the pictures."""
    entries = ctx.work.log.newest_first
    months = [
        (month, list(group)) for month, group in groupby(entries, key=lambda note: f"{note.date:%Y-%m}")
    ]
    found = [_index(ctx, months), _things(ctx), _pictures(ctx)]
    for number, (month, notes) in enumerate(months):
        later = months[number - 1][0] if number else None
        earlier = months[number + 1][0] if number + 1 < len(months) else None
        found.append(_month(ctx, month, notes, earlier, later))
    return found


def _month_words(month: str) -> str:
    year, number = month.split("-")
    return f"{MONTHS[int(number) - 1]} {year}"


def _index(ctx: SiteContext, months: list[tuple[str, list[LogNote]]]) -> SitePage:
    frame = PageFrame("log/index.md", "Log", kind="log")
    total = ctx.work.bill.totals.total
    if not months:
        frame.add(
            render_answer('Nothing is logged yet. `doublure note "what you did"` writes the first entry.')
        )
        return frame.finish()
    words = f"{count_words(total.entries, 'entry', 'entries')}, {format_hours(total.minutes)} at the bench"
    if ctx.shows_prices:
        words += f", {ctx.money(total.money)} spent"
    frame.add(render_answer(words + "."))
    facts = [Fact("Made", str(total.made), "pieces"), Fact("Spoiled", str(total.spoiled), "pieces")]
    if total.untimed:
        facts.append(Fact("Without minutes", str(total.untimed), "entries"))
    frame.add(render_facts(facts))
    links = "".join(
        f"<li>{render_link(Link(_month_words(month), frame.href(f'log/{month}.md')))}: "
        f"{count_words(len(notes), 'entry', 'entries')}</li>"
        for month, notes in months
    )
    frame.heading("Latest", "latest")
    latest = ctx.work.log.newest_first[:LATEST]
    frame.add(render_log([log_card(ctx, frame, note) for note in latest]))
    frame.heading("By month", "months")
    frame.add(f"<ul>{links}</ul><p>{render_link(Link('Feed of the log (Atom)', frame.href('feed.xml')))}</p>")
    return frame.finish()


def _month(
    ctx: SiteContext, month: str, notes: list[LogNote], earlier: str | None, later: str | None
) -> SitePage:
    frame = PageFrame(f"log/{month}.md", f"Log, {_month_words(month)}", kind="log")
    minutes = sum(note.minutes or 0 for note in notes)
    frame.add(
        render_answer(f"{count_words(len(notes), 'entry', 'entries')}, {format_hours(minutes)} at the bench.")
    )
    frame.add(render_log([log_card(ctx, frame, note, anchor=True) for note in notes]))
    frame.add(
        render_pager(
            Link(_month_words(earlier), frame.href(f"log/{earlier}.md")) if earlier else None,
            Link(_month_words(later), frame.href(f"log/{later}.md")) if later else None,
            "Months",
        )
    )
    return frame.finish()


def thing_table(ctx: SiteContext, frame: PageFrame) -> Table:
    """Return what the log adds up to for each thing."""
    rows: list[Row] = []
    for one in ctx.work.bill.totals.things:
        link = ctx.thing_link(frame, one.thing)
        sums = one.sums
        rows.append(
            (
                Cell(one.thing, link.text, link.href),
                sums.entries,
                sums.minutes / 60,
                *((sums.money,) if ctx.shows_prices else ()),
                sums.made,
                sums.spoiled,
            )
        )
    money_name = ctx.work.replica.replica.money
    money = (
        (Column("spent_money", f"Spent, {money_name}" if money_name else "Spent", numeric=True, decimals=2),)
        if ctx.shows_prices
        else ()
    )
    return Table(
        name="log_by_thing",
        caption="Hours, money and pieces, by what they went into",
        columns=(
            Column("thing", "Thing"),
            Column("entries", "Entries", numeric=True),
            Column("time_h", "Time", "h", numeric=True, decimals=2),
            *money,
            Column("made", "Made", numeric=True),
            Column("spoiled", "Spoiled", numeric=True),
        ),
        rows=tuple(rows),
        method="An entry about several things is shared out equally among them.",
        method_link=Link("Sums of the log", frame.href("handbook/methods/materials.md#sums-of-the-log")),
        narrow="scroll",
    )


def _things(ctx: SiteContext) -> SitePage:
    frame = PageFrame("log/things.md", "Log by thing", kind="log-things")
    table = thing_table(ctx, frame)
    frame.add(render_answer(f"Where the time went: {count_words(len(table.rows), 'thing')} at the bench."))
    if table.rows:
        frame.add(
            render_table_html(
                table,
                csv_href=frame.href("data/log_by_thing.csv"),
                json_href=frame.href("data/log_by_thing.json"),
            )
        )
    return frame.finish()


def _pictures(ctx: SiteContext) -> SitePage:
    frame = PageFrame("log/pictures.md", "Pictures of the work", kind="pictures")
    shown = [
        picture for note in ctx.work.log.newest_first for picture in ctx.pictures_of(frame, f"log/{note.id}")
    ]
    frame.add(render_answer(f"{count_words(len(shown), 'picture')} from the bench, newest first."))
    frame.add(render_pictures(shown))
    return frame.finish()
