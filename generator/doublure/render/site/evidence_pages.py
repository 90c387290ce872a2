"""The evidence: its stems drawn, each source with what it shows and what was read from it.

In: SiteContext. Out: SitePage values. Never: computing.
"""

from __future__ import annotations

from doublure.model.notes import EvidenceNote
from doublure.render.draw.stems import StemGrowth, StemSource, StemsSpec, draw_stems
from doublure.render.gallery import Card, Choice, Filter, render_gallery
from doublure.render.html import (
    Html,
    Link,
    render_answer,
    render_caution,
    render_link,
    render_pager,
    render_rows,
    render_working,
)
from doublure.render.pictures import render_image, render_pictures
from doublure.render.plan import SitePage, page_path
from doublure.render.site.context import SiteContext
from doublure.render.site.drawings import draw_both
from doublure.render.site.frame import PageFrame
from doublure.render.site.log_cards import show_date
from doublure.render.site.note_parts import add_log, add_notes_questions
from doublure.render.site.wordings import EVIDENCE_KIND_WORDS, attribute_word, count_words
from doublure.render.table import Cell, Column, Table, render_table_html

WITHHELD = (
    "The picture is kept back: the rights in it do not allow publishing it, or nobody has been asked yet."
)


def pages(ctx: SiteContext) -> list[SitePage]:
    """Return the page of all evidence and one for each source."""
    notes = list(ctx.work.replica.evidence.values())
    found = [_index(ctx, notes)]
    for number, note in enumerate(notes):
        before = notes[number - 1] if number else None
        after = notes[number + 1] if number + 1 < len(notes) else None
        found.append(_page(ctx, note, before, after))
    return found


def _index(ctx: SiteContext, notes: list[EvidenceNote]) -> SitePage:
    frame = PageFrame("evidence/index.md", "Evidence", kind="evidence-index")
    if not notes:
        frame.add(render_answer("No evidence has a note yet. The first goes into journal/evidence/."))
        return frame.finish()
    stems = ctx.work.standing.stems.stems
    frame.add(
        render_answer(
            f"{count_words(len(notes), 'source')} on {count_words(len(stems), 'stem')}: what was copied from one "
            "thing counts as one witness."
        )
    )
    frame.add(draw_both(lambda width: draw_stems(_stems_spec(ctx, frame), width), "stems"))
    frame.add(
        render_working(
            ["Each source is followed to what it was copied from; all that meet at one root are one stem."],
            summary="How stems are found",
            method=Link("Stems and witnesses", frame.href("handbook/methods/evidence.md#stems")),
        )
    )
    kinds = sorted({note.kind for note in notes})
    by_source = ctx.stem_of
    cards = []
    for note in notes:
        shown = ctx.pictures_of(frame, f"evidence/{note.id}")
        cards.append(
            Card(
                link=Link(note.title, frame.href(page_path("evidence", note.id))),
                visual=render_image(shown[0], "(min-width: 62em) 260px, 44vw") if shown else Html(""),
                lines=(
                    EVIDENCE_KIND_WORDS[note.kind],
                    f"stem: {by_source.get(note.id, note.id)}",
                    "to scale" if _is_to_scale(note) else "not to scale",
                ),
                filed_under={
                    "kind": (note.kind or "none",),
                    "stem": (by_source.get(note.id, note.id),),
                    "scale": ("yes" if _is_to_scale(note) else "no",),
                },
            )
        )
    filters = (
        Filter("kind", "Kind", tuple(Choice(kind or "none", EVIDENCE_KIND_WORDS[kind]) for kind in kinds)),
        Filter("stem", "Stem", tuple(Choice(stem.name, stem.name) for stem in stems)),
        Filter("scale", "Scale", (Choice("yes", "to scale"), Choice("no", "not to scale"))),
    )
    frame.heading("Every source", "sources")
    frame.add(render_gallery(cards, filters, noun="sources"))
    return frame.finish()


def _is_to_scale(note: EvidenceNote) -> bool:
    return bool(note.scale) or note.kind in ("original", "measurement")


def _stems_spec(ctx: SiteContext, frame: PageFrame) -> StemsSpec:
    growths = []
    for stem in ctx.work.standing.stems.stems:
        sources = []
        for placed in stem.sources:
            note = ctx.work.replica.evidence[placed.identifier]
            sources.append(
                StemSource(
                    ident=note.id,
                    title=note.title,
                    kind=EVIDENCE_KIND_WORDS[note.kind] if note.kind else "",
                    copied_from=placed.parent or "",
                    to_scale=_is_to_scale(note),
                    href=frame.href(page_path("evidence", note.id)),
                )
            )
        growths.append(StemGrowth(stem.name, tuple(sources)))
    return StemsSpec(tuple(growths))


def _page(
    ctx: SiteContext, note: EvidenceNote, before: EvidenceNote | None, after: EvidenceNote | None
) -> SitePage:
    frame = PageFrame(page_path("evidence", note.id), note.title, kind="evidence")
    stem = ctx.stem_of.get(note.id, note.id)
    scale = f"to scale: {note.scale}" if note.scale else "to scale" if _is_to_scale(note) else "not to scale"
    frame.add(render_answer(f"{EVIDENCE_KIND_WORDS[note.kind].capitalize()} on the stem “{stem}”, {scale}."))
    pictures = ctx.pictures_of(frame, f"evidence/{note.id}")
    frame.add(render_pictures(pictures))
    if note.pictures and not ctx.may_show(f"evidence/{note.id}"):
        frame.add(render_caution([WITHHELD], title="rights"))
    frame.body(note.body)
    frame.heading("What it is", "what")
    rights = note.rights
    publish = {"yes": "may be published", "ask": "ask before publishing", "no": "not to be published"}
    frame.add(
        render_rows(
            [
                ("Kind", EVIDENCE_KIND_WORDS[note.kind]),
                ("Stem", stem),
                ("Copied from", _link(ctx, frame, note.copied_from)),
                ("Copied on as", ctx.links(frame, ctx.copies_of.get(note.id, []))),
                ("Made", note.dated),
                ("Held", note.held),
                ("Seen", show_date(note.seen) if note.seen else ""),
                ("Known length in it", note.scale),
                (
                    "Rights",
                    "; ".join(
                        part
                        for part in (
                            rights.holder,
                            f"credit: {rights.credit}" if rights.credit else "",
                            publish.get(rights.publish or "", "not yet asked"),
                        )
                        if part
                    ),
                ),
            ]
        )
    )
    _readings(ctx, frame, note)
    shows = [ctx.work.log_key(name) for name in note.shows]
    masters = ctx.masters_from.get(note.id, [])
    trials = [f"trials/{one.id}" for one in ctx.work.replica.trials.values() if note.id in one.beside]
    if shows or masters or trials:
        frame.heading("Used for", "used")
        frame.add(
            render_rows(
                [
                    ("Shows", ctx.links(frame, shows)),
                    ("Masters drawn from it", ctx.links(frame, masters)),
                    ("Trials held beside it", ctx.links(frame, trials)),
                ]
            )
        )
    add_notes_questions(ctx, frame, f"evidence/{note.id}")
    add_log(ctx, frame, f"evidence/{note.id}")
    frame.add(
        render_pager(
            Link(before.title, frame.href(page_path("evidence", before.id))) if before else None,
            Link(after.title, frame.href(page_path("evidence", after.id))) if after else None,
            "Evidence",
        )
    )
    frame.source(note.origin.file)
    return frame.finish()


def _link(ctx: SiteContext, frame: PageFrame, ident: str) -> Html | str:
    return render_link(ctx.thing_link(frame, f"evidence/{ident}")) if ident else ""


def _readings(ctx: SiteContext, frame: PageFrame, note: EvidenceNote) -> None:
    rows = []
    for one, reading in ctx.read_from.get(note.id, ()):
        attribute = one.standing.find(reading.attribute)
        value = reading.words or (reading.number.text if reading.number is not None else "") or "seen"
        rows.append(
            (
                Cell(one.note.title, "", frame.href(page_path("inserts", one.note.id))),
                attribute_word(reading.attribute),
                value,
                Cell(attribute.status.standing.value, ctx.standing(attribute.status.standing))
                if attribute is not None
                else "",
            )
        )
    if not rows:
        return
    frame.heading("What was read from it", "read")
    frame.add(
        render_table_html(
            Table(
                name=f"readings-{note.id}",
                caption="Readings from this source",
                columns=(
                    Column("insert", "Insert"),
                    Column("attribute", "Attribute"),
                    Column("value", "Read"),
                    Column("standing", "The attribute now"),
                ),
                rows=tuple(rows),
            )
        )
    )
