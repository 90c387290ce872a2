"""Pages of printers and of targets that were read.

In: SiteContext. Out: SitePage values. Never: computing.
"""

from __future__ import annotations

from doublure.model.notes import PrinterNote, RegisterNote
from doublure.render.html import Html, Link, render_answer, render_link, render_pager, render_rows
from doublure.render.pictures import render_pictures
from doublure.render.plan import SitePage, page_path
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.log_cards import show_date
from doublure.render.site.note_parts import add_cautions, add_log, add_notes_questions
from doublure.render.site.press_words import fine_mm, turn_words, way_words
from doublure.render.site.wordings import count_words, target_title
from doublure.render.table import Column, Table, render_table_html

METHOD_WORDS = {
    "against the light": "from a photograph against the light",
    "scan": "from a scan against the light",
    "by eye": "by eye",
    "": "how is not said",
}


def pages(ctx: SiteContext) -> list[SitePage]:
    """Return a page for each printer and for each target that was read."""
    replica = ctx.work.replica
    found = [_printer(ctx, note) for note in replica.printers.values()]
    readings = list(replica.register.values())
    for number, note in enumerate(readings):
        before = readings[number - 1] if number else None
        after = readings[number + 1] if number + 1 < len(readings) else None
        found.append(_reading(ctx, note, before, after))
    return found


def _mm(value: float | None) -> str:
    return f"{value:g} mm" if value is not None else ""


def _printer(ctx: SiteContext, note: PrinterNote) -> SitePage:
    frame = PageFrame(page_path("printers", note.id), note.title, kind="printer", section="book/run.md")
    readings = [one for one in ctx.work.replica.register.values() if one.printer == note.id]
    turns = {"by hand": "turned by hand", "by machine": "prints both sides by itself"}.get(
        note.both_sides, ""
    )
    known = [
        note.process,
        f"{note.feeds} first" if note.feeds else "",
        f"print comes out {note.lands}" if note.lands else "",
        turns,
    ]
    words = ", ".join(word for word in known if word) or "nothing said of it yet"
    frame.add(render_answer(f"{words[0].upper()}{words[1:]}."))
    frame.add(render_pictures(ctx.pictures_of(frame, f"printers/{note.id}")))
    add_cautions(frame, note.cautions)
    frame.body(note.body)
    frame.heading("How sheets go through it", "what")
    run = ctx.work.press.run
    here = run is not None and run.printer.name == note.id
    frame.add(
        render_rows(
            [
                ("Process", note.process),
                ("Cannot print at the first edge", _mm(note.reach_leading_mm)),
                ("At the last edge", _mm(note.reach_trailing_mm)),
                ("At each side", _mm(note.reach_sides_mm)),
                ("Goes in first", note.feeds),
                ("Prints", f"the {note.prints} of a sheet in the tray" if note.prints else ""),
                ("Comes out", note.lands),
                ("Turned for the back about", f"its {note.turn}" if note.turn else ""),
                ("The pile laid in again", note.pile),
                ("Both sides", note.both_sides),
                ("The tray holds", count_words(note.holds, "sheet") if note.holds else ""),
                (
                    "Targets read",
                    ctx.links(frame, [f"register/{one.id}" for one in readings]) if readings else "none yet",
                ),
                ("Prints the book", render_link(Link("the run", frame.href("book/run.md"))) if here else ""),
            ]
        )
    )
    add_notes_questions(ctx, frame, f"printers/{note.id}")
    add_log(ctx, frame, f"printers/{note.id}")
    frame.source(note.origin.file)
    return frame.finish()


def _reading(
    ctx: SiteContext, note: RegisterNote, before: RegisterNote | None, after: RegisterNote | None
) -> SitePage:
    frame = PageFrame(
        page_path("register", note.id), target_title(note), kind="reading", section="book/register.md"
    )
    day = f" on {show_date(note.date)}" if note.date else ""
    frame.add(
        render_answer(
            f"A target printed{day}, {count_words(len(note.offsets), 'mark')} read {METHOD_WORDS[note.method]}."
        )
    )
    frame.body(note.body)
    frame.heading("What it is", "what")
    frame.add(render_rows(_reading_rows(ctx, frame, note)))
    if note.offsets:
        frame.heading("What was read", "read")
        frame.add(render_table_html(_offsets(note)))
    add_notes_questions(ctx, frame, f"register/{note.id}")
    add_log(ctx, frame, f"register/{note.id}")
    frame.add(
        render_pager(
            Link(target_title(before), frame.href(page_path("register", before.id))) if before else None,
            Link(target_title(after), frame.href(page_path("register", after.id))) if after else None,
            "Targets",
        )
    )
    frame.source(note.origin.file)
    return frame.finish()


def _reading_rows(ctx: SiteContext, frame: PageFrame, note: RegisterNote) -> list[tuple[str, Html | str]]:
    fit = ctx.work.press.register.fit if ctx.work.press.register is not None else None
    used = fit is not None and any(one.name == note.id for one in fit.sheets)
    front = ""
    if note.front_right_mm is not None or note.front_down_mm is not None:
        front = way_words(note.front_right_mm or 0.0, note.front_down_mm or 0.0).replace(
            "nowhere", "where it should"
        )
    if note.front_turn_rad is not None:
        front += f"{', ' if front else ''}{turn_words(note.front_turn_rad)}"
    fold = ""
    if note.fold_right_mm is not None:
        fold = way_words(note.fold_right_mm, 0.0).replace("nowhere", "where it is printed")
    return [
        ("Printer", ctx.links(frame, [f"printers/{note.printer}"]) if note.printer else "not said"),
        ("Stock", ctx.links(frame, [f"stocks/{note.stock}"]) if note.stock else "not said"),
        ("Sheet", ctx.size(note.sheet)),
        ("Uncertainty of an offset", fine_mm(note.u_mm) if note.u_mm is not None else "not stated"),
        ("The front sits", front),
        ("The fold lies", fold),
        (
            "Used in",
            render_link(Link("the register of the book’s printer", frame.href("book/register.md")))
            if used
            else "",
        ),
    ]


def _offsets(note: RegisterNote) -> Table:
    return Table(
        name=f"offsets-{note.id}",
        caption="How far the back’s mark lies from the front’s, seen from the front",
        columns=(
            Column("mark", "Mark"),
            Column("right_mm", "To the right", "mm", numeric=True, decimals=3),
            Column("down_mm", "Down", "mm", numeric=True, decimals=3),
        ),
        rows=tuple((one.mark, one.right_mm, one.down_mm) for one in note.offsets),
    )
