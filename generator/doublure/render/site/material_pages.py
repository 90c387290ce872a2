"""Stocks, finishes, trials and masters: the page that lists them, and one page each.

In: SiteContext. Out: SitePage values. Never: computing.
"""

from __future__ import annotations

from doublure.model.notes import FinishNote, MasterNote, Note, StockNote, TrialNote
from doublure.quantities import format_duration
from doublure.render.gallery import Card, Choice, Filter, render_gallery
from doublure.render.html import (
    Html,
    Link,
    render_answer,
    render_link,
    render_rows,
    render_state,
    render_working,
)
from doublure.render.pictures import render_image, render_pictures
from doublure.render.plan import SitePage, page_path
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.log_cards import show_date
from doublure.render.site.note_parts import add_cautions, add_log, add_notes_questions
from doublure.render.site.stock_page import stock_page, stock_table
from doublure.render.site.wordings import count_words
from doublure.render.table import render_table_html

STATE_OF_ARTWORK = {"wanted": "artwork wanted", "draft": "artwork in draft", "final": "artwork final", "": ""}


def pages(ctx: SiteContext) -> list[SitePage]:
    """Return the lists and the pages of stocks, finishes, trials and masters."""
    replica = ctx.work.replica
    found = [_stocks(ctx), _finishes(ctx), _trials(ctx), _masters(ctx)]
    found.extend(stock_page(ctx, one) for one in ctx.work.stocks.values())
    found.extend(_finish(ctx, note) for note in replica.finishes.values())
    found.extend(_trial(ctx, note) for note in replica.trials.values())
    found.extend(_master(ctx, note) for note in replica.masters.values())
    return found


def _empty(path: str, title: str, kind: str, folder: str) -> SitePage:
    frame = PageFrame(path, title, kind=kind)
    frame.add(render_answer(f"Nothing here has a note yet. The first goes into journal/{folder}/."))
    return frame.finish()


def _stocks(ctx: SiteContext) -> SitePage:
    stocks: dict[str, StockNote] = dict(ctx.work.replica.stocks)
    if not stocks:
        return _empty("stocks/index.md", "Stocks", "stocks", "stocks")
    frame = PageFrame("stocks/index.md", "Stocks", kind="stocks")
    used = sum(bool(one.inserts) or one.in_book for one in ctx.work.stocks.values())
    frame.add(render_answer(f"{count_words(len(stocks), 'stock')}, {used} of them in use."))
    table = stock_table(ctx, frame)
    frame.add(
        render_table_html(
            table, csv_href=frame.href("data/stocks.csv"), json_href=frame.href("data/stocks.json"), wide=True
        )
    )
    return frame.finish()


def _card(
    ctx: SiteContext, frame: PageFrame, kind: str, note: Note, lines: tuple[str, ...], **filed: str
) -> Card:
    shown = ctx.pictures_of(frame, f"{kind}/{note.id}")
    return Card(
        link=Link(note.title, frame.href(page_path(kind, note.id))),
        visual=render_image(shown[0], "(min-width: 62em) 260px, 44vw") if shown else Html(""),
        lines=tuple(line for line in lines if line),
        filed_under={key: (value or "none",) for key, value in filed.items()},
    )


def _finishes(ctx: SiteContext) -> SitePage:
    notes: dict[str, FinishNote] = dict(ctx.work.replica.finishes)
    if not notes:
        return _empty("finishes/index.md", "Finishes", "finishes", "finishes")
    frame = PageFrame("finishes/index.md", "Finishes", kind="finishes")
    frame.add(render_answer(f"{count_words(len(notes), 'recipe')} for making paper look its age."))
    cards = []
    for note in notes.values():
        dries = f"dries {format_duration(note.drying_minutes)}" if note.drying_minutes is not None else ""
        cards.append(_card(ctx, frame, "finishes", note, (note.wetness, dries, ", ".join(note.contains))))
    frame.add(render_gallery(cards, noun="finishes"))
    return frame.finish()


def _finish(ctx: SiteContext, note: FinishNote) -> SitePage:
    frame = PageFrame(page_path("finishes", note.id), note.title, kind="finish")
    dries = f", dries {format_duration(note.drying_minutes)}" if note.drying_minutes is not None else ""
    used = [f"inserts/{one.note.id}" for one in ctx.work.inserts if note.id in one.note.finishes]
    frame.add(
        render_answer(
            f"{(note.wetness or 'wetness not said').capitalize()}{dries}; "
            f"on {count_words(len(used), 'insert')}."
        )
    )
    frame.add(render_pictures(ctx.pictures_of(frame, f"finishes/{note.id}")))
    add_cautions(frame, note.cautions, f"with {note.title}")
    frame.body(note.body)
    frame.heading("Recipe", "recipe")
    frame.add(
        render_rows(
            [
                ("Contains", "; ".join(note.contains)),
                ("Wetness", note.wetness),
                (
                    "Drying time",
                    format_duration(note.drying_minutes) if note.drying_minutes is not None else "",
                ),
                ("Printing that stands it", ", ".join(note.survives)),
                ("Used on", ctx.links(frame, used)),
            ]
        )
    )
    add_notes_questions(ctx, frame, f"finishes/{note.id}")
    add_log(ctx, frame, f"finishes/{note.id}")
    frame.source(note.origin.file)
    return frame.finish()


def _trials(ctx: SiteContext) -> SitePage:
    notes: dict[str, TrialNote] = dict(ctx.work.replica.trials)
    if not notes:
        return _empty("trials/index.md", "Trials", "trials", "trials")
    frame = PageFrame("trials/index.md", "Trials", kind="trials")
    approved = sum(note.verdict == "approved" for note in notes.values())
    frame.add(render_answer(f"{count_words(len(notes), 'trial')}, {approved} approved."))
    verdicts = [
        verdict
        for verdict in ("approved", "rejected", "undecided")
        if any(note.verdict == verdict for note in notes.values())
    ]
    cards = [
        _card(
            ctx,
            frame,
            "trials",
            note,
            (note.verdict or "no verdict yet", show_date(note.date) if note.date else "", note.tried),
            verdict=note.verdict,
        )
        for note in notes.values()
    ]
    filters = (Filter("verdict", "Verdict", tuple(Choice(verdict, verdict) for verdict in verdicts)),)
    frame.add(render_gallery(cards, filters, noun="trials"))
    return frame.finish()


def _trial(ctx: SiteContext, note: TrialNote) -> SitePage:
    frame = PageFrame(page_path("trials", note.id), note.title, kind="trial")
    frame.add(
        render_answer(
            f"{(note.verdict or 'No verdict yet').capitalize()}"
            f"{f', {show_date(note.date)}' if note.date else ''}."
        )
    )
    frame.add(render_pictures(ctx.pictures_of(frame, f"trials/{note.id}")))
    add_cautions(frame, note.cautions)
    frame.body(note.body)
    beside = [f"evidence/{ident}" for ident in note.beside]
    frame.heading("What was tried", "tried")
    frame.add(
        render_rows(
            [
                ("Tried", note.tried),
                ("On", ctx.links(frame, [f"stocks/{note.stock}"]) if note.stock else ""),
                ("For", ctx.links(frame, [ctx.work.log_key(name) for name in note.about])),
                ("Held beside", ctx.links(frame, beside)),
                ("Verdict", render_state(note.verdict) if note.verdict else "none yet"),
                ("Approves", ctx.links(frame, [ctx.work.log_key(name) for name in note.approves])),
            ]
        )
    )
    beside_it = (ctx.evidence_picture(frame, ident) for ident in note.beside)
    pictures = [shown for shown in beside_it if shown is not None]
    if pictures:
        frame.heading("The evidence it imitates", "beside")
        frame.add(render_pictures(pictures))
    add_notes_questions(ctx, frame, f"trials/{note.id}")
    add_log(ctx, frame, f"trials/{note.id}")
    frame.source(note.origin.file)
    return frame.finish()


def _uses(ctx: SiteContext, note: MasterNote) -> tuple[tuple[int, ...], list[str]]:
    pages = ctx.work.book.places.get(note.id, ()) if ctx.work.book is not None else ()
    inserts = [
        f"inserts/{one.note.id}"
        for one in ctx.work.inserts
        if any(face is not None and face.master == note.id for face in (one.note.front, one.note.back))
    ]
    return pages, inserts


def _masters(ctx: SiteContext) -> SitePage:
    notes: dict[str, MasterNote] = dict(ctx.work.replica.masters)
    if not notes:
        return _empty("masters/index.md", "Masters", "masters", "masters")
    frame = PageFrame("masters/index.md", "Masters", kind="masters")
    final = sum(note.state == "final" for note in notes.values())
    frame.add(render_answer(f"{count_words(len(notes), 'master')}, the artwork of {final} final."))
    cards = []
    for note in notes.values():
        pages, inserts = _uses(ctx, note)
        use = "page" if pages else "insert" if inserts else "nothing"
        shown = ctx.artwork(frame, note, "")
        lines = (
            STATE_OF_ARTWORK[note.state],
            f"{count_words(len(pages), 'page')} of the book" if pages else "",
            ", ".join(ctx.name_of(thing) for thing in inserts),
        )
        cards.append(
            Card(
                link=Link(note.title, frame.href(page_path("masters", note.id))),
                visual=render_image(shown, "(min-width: 62em) 260px, 44vw")
                if shown is not None
                else Html(""),
                lines=tuple(line for line in lines if line),
                filed_under={"use": (use,), "state": (note.state or "none",)},
            )
        )
    filters = (
        Filter(
            "use",
            "Used for",
            _choices(
                cards, "use", {"page": "pages of the book", "insert": "inserts", "nothing": "nothing yet"}
            ),
        ),
        Filter(
            "state",
            "Artwork",
            _choices(cards, "state", STATE_OF_ARTWORK),
        ),
    )
    frame.add(render_gallery(cards, filters, noun="masters"))
    return frame.finish()


def _choices(cards: list[Card], key: str, words: dict[str, str]) -> tuple[Choice, ...]:
    """Return the choices of a filter that some card answers to."""
    present = {value for card in cards for value in card.filed_under[key]}
    return tuple(Choice(value, word) for value, word in words.items() if value in present and word)


def _master(ctx: SiteContext, note: MasterNote) -> SitePage:
    frame = PageFrame(page_path("masters", note.id), note.title, kind="master")
    pages, inserts = _uses(ctx, note)
    if pages:
        where = f"on {count_words(len(pages), 'page')} of the book"
    elif inserts:
        where = f"for {', '.join(ctx.name_of(thing) for thing in inserts)}"
    else:
        where = "not used yet"
    state = STATE_OF_ARTWORK[note.state] or "state of the artwork not said"
    frame.add(render_answer(f"{state.capitalize()}; {where}."))
    shown = ctx.artwork(frame, note, "The artwork")
    pictures = [] if shown is None else [shown]
    for picture in ctx.pictures_of(frame, f"masters/{note.id}"):
        if all(picture.large.href != other.large.href for other in pictures):
            pictures.append(picture)
    frame.add(render_pictures(pictures))
    frame.body(note.body)
    frame.heading("What it is", "what")
    evidence = [f"evidence/{ident}" for ident in note.evidence]
    links = [render_link(Link(str(page), frame.href(f"book/pages.md#page-{page}"))) for page in pages]
    frame.add(
        render_rows(
            [
                ("Size", ctx.size(note.size)),
                ("Artwork", note.artwork or "none yet"),
                ("State", note.state),
                ("Printed by", note.process),
                ("Other half", ctx.links(frame, [f"masters/{note.crossover}"]) if note.crossover else ""),
                ("Drawn from", ctx.links(frame, evidence)),
                ("Pages", Html(", ".join(links))),
                ("Inserts", ctx.links(frame, inserts)),
            ]
        )
    )
    if note.artwork and shown is not None:
        _resolution(ctx, frame, note)
    add_notes_questions(ctx, frame, f"masters/{note.id}")
    add_log(ctx, frame, f"masters/{note.id}")
    frame.source(note.origin.file)
    return frame.finish()


def _resolution(ctx: SiteContext, frame: PageFrame, note: MasterNote) -> None:
    found = ctx.work.resolutions.get(note.id)
    if found is None:
        return
    frame.add(
        render_working(
            [
                f"{found.width_px} × {found.height_px} pixels over {ctx.size(found.size)}: "
                f"{found.ppi:.0f} pixels an inch on the coarser side."
            ],
            summary="Resolution at the printed size",
            method=Link("Resolution", frame.href("handbook/methods/materials.md#resolution")),
        )
    )
