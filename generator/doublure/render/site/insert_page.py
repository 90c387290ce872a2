"""An insert's own page.

In: SiteContext, InsertWorking. Out: SitePage. Never: computing.
"""

from __future__ import annotations

from dataclasses import replace

from doublure.measured import Measured
from doublure.model.insert import Face, InsertNote
from doublure.quantities import format_length_mm
from doublure.render.draw.size import SizeSpec, draw_size
from doublure.render.html import (
    Html,
    Link,
    Question,
    join_html,
    render_answer,
    render_caution,
    render_link,
    render_pager,
    render_place,
    render_questions,
    render_rows,
    render_state,
)
from doublure.render.logcards import render_log
from doublure.render.pictures import Picture, render_pictures
from doublure.render.plan import SitePage, page_path
from doublure.render.site.context import SiteContext
from doublure.render.site.drawings import draw_both, fore_edge_html
from doublure.render.site.frame import PageFrame
from doublure.render.site.insert_known import known_table, reading_sections
from doublure.render.site.insert_wording import add_wording
from doublure.render.site.log_cards import log_card
from doublure.render.site.size_spec import size_spec
from doublure.render.site.wordings import (
    DEFER_LAW,
    DEFER_WORK,
    REPRODUCES_CAUTION,
    STATE_WORDS,
    attribute_word,
    count_words,
    place_words,
)
from doublure.render.table import Column, Table, render_table_html
from doublure.workings.inserts import InsertWorking

#: Categories of formats beside which the caution about money belongs.
LIKE_MONEY = frozenset({"banknote", "cheque"})


def insert_page(ctx: SiteContext, one: InsertWorking) -> SitePage:
    """Return the page of one insert."""
    note = one.note
    frame = PageFrame(page_path("inserts", note.id), note.title, kind="insert", description=_answer(ctx, one))
    frame.add(render_answer(_answer(ctx, one)))
    frame.add(_tags(ctx, frame, one))
    frame.add(_drawing(ctx, frame, one))
    frame.add(render_pictures(_pictures(ctx, frame, one)))
    frame.body(note.body)
    frame.heading("As decided", "decided")
    frame.add(_decided(ctx, frame, one))
    frame.add(_cautions(ctx, one))
    frame.heading("What is known", "known")
    frame.add(known_table(ctx, frame, one))
    sections = reading_sections(ctx, frame, one)
    if sections:
        frame.heading("Readings", "readings")
        frame.add(f'<div class="db-readings db-wide">{sections}</div>')
    add_wording(frame, one)
    _formats(ctx, frame, one)
    _questions(ctx, frame, one)
    if one.evidence or one.trials:
        frame.heading("Seen in, tried in", "seen")
        frame.add(
            render_rows(
                [
                    ("Evidence", ctx.links(frame, [f"evidence/{ident}" for ident in one.evidence])),
                    ("Trials", ctx.links(frame, [f"trials/{ident}" for ident in one.trials])),
                ]
            )
        )
    if one.entries:
        frame.heading("From the log", "log")
        frame.add(render_log([log_card(ctx, frame, entry) for entry in one.entries]))
    frame.add(_pager(ctx, frame, one))
    frame.source(note.origin.file)
    return frame.finish()


def _answer(ctx: SiteContext, one: InsertWorking) -> str:
    """Return the page's one-line answer: size, paper, place, how well known."""
    note = one.note
    parts = [ctx.size(note.size) or "size open"]
    parts.append(ctx.name_of(f"stocks/{note.stock}") if note.stock else "paper open")
    where = place_words(note.place)
    if where:
        parts.append(where)
    overall = one.standing.overall
    words = [attribute_word(name) for name in overall.deciding]
    deciding = " and ".join([part for part in (", ".join(words[:-1]), *words[-1:]) if part])
    everything = len(overall.deciding) == len(ctx.work.replica.replica.required)
    # Names of stocks hold commas, so semicolons stand between the parts.
    return f"{'; '.join(parts)}. {overall.standing.value.capitalize()}" + (
        "." if everything or not deciding else f" in {deciding}."
    )


def _tags(ctx: SiteContext, frame: PageFrame, one: InsertWorking) -> Html:
    tags: list[Html] = [
        ctx.standing(one.standing.overall.standing),
        render_state(STATE_WORDS[one.state.value]),
    ]
    where = place_words(one.note.place)
    if where:
        tags.append(render_place(Link(where, frame.href("book/pages.md"))))
    return Html(f'<p class="db-card__tags">{" ".join(tags)}</p>')


def _drawing(ctx: SiteContext, frame: PageFrame, one: InsertWorking) -> Html:
    drawings = ""
    spec: SizeSpec | None = size_spec(ctx, one)
    if spec is not None:
        drawn = spec
        drawings += draw_both(lambda width: draw_size(drawn, width), "size", wide_px=900)
    if (here := _opening(ctx, one)) is not None:
        drawings += fore_edge_html(ctx, frame, here=here, inserts=())
    return Html(drawings)


def _opening(ctx: SiteContext, one: InsertWorking) -> tuple[int, int, str] | None:
    """Return the pages to mark on the fore-edge, with the words for them; None where the place is open."""
    place, book = one.note.place, ctx.work.book
    if place is None or book is None:
        return None
    first = min(place.between) if place.between is not None else place.on
    last = max(place.between) if place.between is not None else place.on
    if first is None or last is None or not (1 <= first <= last <= book.pages):
        return None
    return first, last, f"pages {first} and {last}" if first != last else f"page {first}"


def _pictures(ctx: SiteContext, frame: PageFrame, one: InsertWorking) -> list[Picture]:
    own = ctx.pictures_of(frame, f"inserts/{one.note.id}")
    found = [picture if picture.caption else replace(picture, caption="As it is made") for picture in own]
    for side, face in (("Front", one.note.front), ("Back", one.note.back)):
        master = ctx.work.replica.masters.get(face.master) if face is not None else None
        if master is None or not master.artwork:
            continue
        shown = ctx.artwork(frame, master, f"{side}, the artwork")
        if shown is not None and all(shown.large.href != other.large.href for other in found):
            found.append(shown)
    for source in one.evidence:
        shown = ctx.evidence_picture(frame, source)
        if shown is not None:
            found.append(shown)
    return found


def _decided(ctx: SiteContext, frame: PageFrame, one: InsertWorking) -> Html:
    note = one.note
    rows: list[tuple[str, str | Html]] = [
        ("Size, flat", ctx.size(note.size) or "open"),
        ("Size, folded", ctx.size(note.folded)),
        ("Folds", "; ".join(_fold(fold.along, fold.at_mm, fold.way) for fold in note.folds)),
        ("Paper", render_link(ctx.thing_link(frame, f"stocks/{note.stock}")) if note.stock else "open"),
        ("Grain", f"along its {note.grain}" if note.grain else ""),
        ("Front", _face(ctx, frame, note.front)),
        ("Back", _face(ctx, frame, note.back)),
        ("Lettering", "; ".join(_lettering(one) for one in note.lettering)),
        ("Differs from copy to copy", "; ".join(_varying(one) for one in note.varying)),
        ("Where it lies", _place(ctx, note)),
        ("How it is held", _held(note)),
        ("Finish", ctx.links(frame, [f"finishes/{ident}" for ident in note.finishes])),
        ("Pieces", _pieces(ctx, one)),
    ]
    for label, pairs in (("Assumed", note.assumed), ("Chosen", note.chosen)):
        if pairs:
            rows.append((label, "; ".join(f"{attribute_word(name)}: {why}" for name, why in pairs)))
    return render_rows([row for row in rows if row[1]])


def _fold(along: str, at_mm: object, way: str) -> str:
    words = f"parallel to its {along}"
    if at_mm is not None:
        edge = "left" if along == "height" else "head"
        words += f", {format_length_mm(at_mm)} from its {edge}"  # type: ignore[arg-type]
    return words + (f", {'towards' if way == 'in' else 'away from'} the reader" if way else "")


def _face(ctx: SiteContext, frame: PageFrame, face: Face | None) -> str | Html:
    if face is None:
        return "open"
    if face.blank:
        return "blank"
    parts: list[str | Html] = []
    if face.master:
        parts.append(render_link(ctx.thing_link(frame, f"masters/{face.master}")))
    parts.extend(text for text in (face.shows, face.printing) if text)
    return join_html(parts, ", ")


def _lettering(lettering: object) -> str:
    use, face, licence = (getattr(lettering, name) for name in ("use", "face", "licence"))
    words = f"{use}: {face}" if use and face else use or face
    return f"{words} ({licence})" if licence else words


def _varying(varying: object) -> str:
    kind, text, first, last, where = (
        getattr(varying, name) for name in ("kind", "text", "first", "last", "where")
    )
    words: str = kind
    if text:
        words += f" {text}"
    if first or last:
        words += f", {first} to {last}" if first and last else f", {first or last}"
    return f"{words}, {where}" if where else words


def _place(ctx: SiteContext, note: InsertNote) -> str:
    place = note.place
    if place is None:
        return "open"
    parts = [place_words(place)]
    if place.order is not None:
        parts.append(f"number {place.order} there")
    if place.way_up:
        parts.append(place.way_up)
    if place.face_down:
        parts.append("face down")
    if place.from_gutter_mm is not None:
        parts.append(_away(ctx, place.from_gutter_mm, "the gutter"))
    if place.from_head_mm is not None:
        parts.append(_away(ctx, place.from_head_mm, "the head"))
    if place.sticks_out_mm is not None:
        parts.append(
            f"standing out {ctx.length(place.sticks_out_mm)} at the {place.sticks_out_at or 'fore-edge'}"
        )
    return ", ".join(part for part in parts if part)


def _away(ctx: SiteContext, distance: Measured, edge: str) -> str:
    return f"{ctx.length(distance)} from {edge}" if distance.value else f"at {edge}"


def _held(note: InsertNote) -> str:
    held = note.held
    if held is None:
        return ""
    words = {
        "tipped": "tipped on",
        "pasted": "pasted down",
        "corners": "in corners",
        "pocket": "in a pocket",
    }.get(held.by, held.by)
    if held.edge:
        words += f" at its {held.edge}{' edge' if held.edge in ('left', 'right') else ''}"
    return words + (f", with {held.adhesive}" if held.adhesive else "")


def _pieces(ctx: SiteContext, one: InsertWorking) -> str:
    plan = one.plan
    if plan is None:
        return f"{one.note.per_copy} in each copy; the edition is open"
    words = f"{one.note.per_copy} in each copy: {plan.wanted} wanted and {count_words(plan.spares, 'spare')}"
    if one.made or one.spoiled:
        words += f"; made {one.made}, spoiled {one.spoiled}"
    return words


def _cautions(ctx: SiteContext, one: InsertWorking) -> Html:
    note = one.note
    blocks = []
    if note.reproduces:
        where = ", ".join(ctx.work.replica.replica.jurisdictions)
        text = REPRODUCES_CAUTION[note.reproduces]
        blocks.append(
            render_caution(
                [text + (f" It is made or sent in {where}." if where else "")],
                title=f"resembles {'a ' if note.reproduces != 'money' else ''}{note.reproduces}".replace(
                    "a identity", "an identity"
                ),
                defer=DEFER_LAW,
            )
        )
    if note.cautions:
        blocks.append(render_caution(note.cautions, defer=DEFER_WORK))
    for ident in note.finishes:
        finish = ctx.work.replica.finishes.get(ident)
        if finish is not None and finish.cautions:
            blocks.append(render_caution(finish.cautions, title=f"with {finish.title}", defer=DEFER_WORK))
    return Html("".join(blocks))


def _formats(ctx: SiteContext, frame: PageFrame, one: InsertWorking) -> None:
    if not one.formats:
        return
    frame.heading("Period formats that fit", "formats")
    if any(match.format.category in LIKE_MONEY for match in one.formats) and one.note.reproduces != "money":
        frame.add(render_caution([REPRODUCES_CAUTION["money"]], title="sizes of money", defer=DEFER_LAW))
    rows = []
    for match in one.formats:
        rows.append(
            (
                _format_name(match.format.name, match.format.folds),
                match.format.country or "general",
                _years(match.format.from_year, match.format.to_year),
                match.format.short_mm,
                match.format.long_mm,
                match.p,
                "; ".join(source.text for source in match.format.sources[:2]),
            )
        )
    frame.add(
        render_table_html(
            Table(
                name=f"formats-{one.note.id}",
                caption="Known formats whose size agrees with what was read, best first",
                columns=(
                    Column("format", "Format"),
                    Column("where", "Where"),
                    Column("years", "In use"),
                    Column("short_mm", "Short side", "mm", numeric=True, decimals=1),
                    Column("long_mm", "Long side", "mm", numeric=True, decimals=1),
                    Column("fit_p", "Fit, p", numeric=True, decimals=2),
                    Column("source", "Source"),
                ),
                rows=tuple(rows),
                method="p is the probability of a misfit this large or larger if it were that format.",
                method_link=Link(
                    "Matching formats", frame.href("handbook/methods/paper.md#matching-formats")
                ),
            )
        )
    )


def _format_name(name: str, folds: int) -> str:
    if not folds:
        return name
    return f"{name}, folded {'once' if folds == 1 else 'twice' if folds == 2 else f'{folds} times'}"


def _years(first: int | None, last: int | None) -> str:
    if first is None and last is None:
        return "not known"
    return f"{first if first is not None else '?'}–{last if last is not None else ''}"


def _questions(ctx: SiteContext, frame: PageFrame, one: InsertWorking) -> None:
    own = ctx.questions_of.get(f"inserts/{one.note.id}", [])
    if own:
        frame.heading("Open questions", "open")
        frame.add(render_questions([Question(ctx.question_text(question)) for question in own]))


def _pager(ctx: SiteContext, frame: PageFrame, one: InsertWorking) -> Html:
    every = ctx.work.inserts
    at = one.number - 1

    def link(index: int) -> Link | None:
        if not 0 <= index < len(every):
            return None
        other = every[index]
        return Link(f"{other.number}. {other.note.title}", frame.href(page_path("inserts", other.note.id)))

    return render_pager(link(at - 1), link(at + 1), "Inserts in the order of the book")
