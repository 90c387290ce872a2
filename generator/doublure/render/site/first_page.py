"""The first page and the gallery: what this replica is, how much is settled, what comes next.

In: SiteContext. Out: SitePage. Never: computing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from doublure.model.replica import ImageFact
from doublure.quantities import format_hours
from doublure.render.draw.progress import ProgressItem, ProgressSpec, draw_progress
from doublure.render.gallery import Card, Choice, Filter, render_gallery
from doublure.render.html import (
    Fact,
    Html,
    Link,
    Question,
    Shown,
    escape_text,
    join_html,
    render_answer,
    render_facts,
    render_link,
    render_place,
    render_questions,
    render_state,
)
from doublure.render.logcards import render_log
from doublure.render.pictures import Picture, Thumbnail, render_image, render_picture, render_pictures
from doublure.render.plan import PICTURE_WIDTHS_PX, SitePage, page_path, picture_path
from doublure.render.site.context import SiteContext
from doublure.render.site.drawings import draw_both, face_picture, fore_edge_html, strip_html
from doublure.render.site.frame import PageFrame
from doublure.render.site.log_cards import log_card
from doublure.render.site.wordings import STATE_WORDS, count_words, place_words
from doublure.trade.evidence.questions import Bearing
from doublure.trade.evidence.standing import SCALE, Standing
from doublure.workings.inserts import InsertWorking, WorkState
from doublure.workings.questions import QuestionWorking

LATEST = 3
QUESTIONS = 5
MOST_EVIDENCE = 6
#: So many pieces a strip holds while it can still be looked over; the gallery's is for looking closely.
MOST_ON_FIRST, MOST_IN_GALLERY = 60, 200


def first_page(ctx: SiteContext) -> SitePage:
    """Return the first page."""
    replica = ctx.work.replica.replica
    frame = PageFrame("index.md", replica.title, kind="first", description=replica.object)
    frame.add(_opening(ctx, frame))
    scale: Shown = "Every piece to one scale. Choose one to see what is known of it."
    inserts = ctx.work.inserts
    if len(inserts) > MOST_ON_FIRST:
        gallery = render_link(Link("the gallery", frame.href("inserts/index.md")))
        scale = join_html(
            [f"The first {MOST_ON_FIRST} of {len(inserts)} inserts, to one scale; all are in ", gallery, "."]
        )
    frame.add(strip_html(ctx, frame, inserts[:MOST_ON_FIRST], scale))
    if ctx.work.inserts:
        frame.add(
            draw_both(lambda width: draw_progress(_progress(ctx, frame), width), "progress", wide_px=1000)
        )
    frame.add(fore_edge_html(ctx, frame, caption="The book from its head, with what lies in it and where."))
    _next(ctx, frame)
    if ctx.work.log.newest_first:
        frame.heading("Last at the bench", "log")
        latest = ctx.work.log.newest_first[:LATEST]
        frame.add(render_log([log_card(ctx, frame, note, brief=True) for note in latest]))
        everything = Link("The whole log", frame.href("log/index.md"))
        frame.add(f"<p>{render_link(everything)}</p>")
    pictures = _some_evidence(ctx, frame)
    if pictures or replica.source:
        frame.heading("Known from", "pictures")
        if replica.source:
            frame.add(f"<p>{escape_text(_sentence(replica.source))}</p>")
        frame.add(render_pictures(pictures))
        if ctx.work.replica.evidence:
            count = count_words(len(ctx.work.replica.evidence), "source")
            frame.add(f"<p>{render_link(Link(f'All {count}', frame.href('evidence/index.md')))}</p>")
    frame.body(replica.body)
    return frame.finish()


def _opening(ctx: SiteContext, frame: PageFrame) -> Html:
    """Return the title and what the thing is, the finished piece beside them where there is a picture of it."""
    replica = ctx.work.replica.replica
    title = f'<h1 class="db-title">{escape_text(replica.title)}</h1>'
    words = title + render_answer(_sentence(replica.object or _default_object(ctx)))
    pictures = ctx.pictures_of(frame, "replica")[:1]
    facts = render_facts(_facts(ctx, frame))
    if not pictures:
        return Html(words + facts)
    picture = render_picture(pictures[0], sizes="(min-width: 62em) 540px, 92vw", lazy=False)
    return Html(
        f'<div class="db-opening db-wide"><div class="db-opening__words">{words}</div>{picture}{facts}</div>'
    )


def _sentence(text: str) -> str:
    """Return a sentence of the maker's with its stop, which notes often leave off."""
    return text if text.endswith((".", "!", "?", "…")) else f"{text}."


def _default_object(ctx: SiteContext) -> str:
    inserts = count_words(len(ctx.work.inserts), "insert")
    return f"A replica with {inserts}; replica.yml does not yet say what it is (object:)."


def _progress(ctx: SiteContext, frame: PageFrame) -> ProgressSpec:
    return ProgressSpec(
        tuple(
            ProgressItem(
                title=one.note.title,
                standing=one.standing.overall.standing.value,
                key=str(one.number),
                href=frame.href(page_path("inserts", one.note.id)),
            )
            for one in ctx.work.inserts
        )
    )


def _facts(ctx: SiteContext, frame: PageFrame) -> list[Fact]:
    work = ctx.work
    replica = work.replica.replica
    standings = Counter(one.standing.overall.standing for one in work.inserts)
    firm = standings[Standing.SETTLED] + standings[Standing.SUPPORTED]
    disputed = standings[Standing.DISPUTED]
    made = sum(one.state is WorkState.MADE for one in work.inserts)
    facts = []
    if work.inserts:
        facts.append(
            Fact(
                "Inserts settled or supported",
                f"{firm} of {len(work.inserts)}",
                f"{disputed} disputed" if disputed else "none disputed",
                frame.href("inserts/index.md"),
            )
        )
    asked = [one for one in work.questions if one.reason != "missing"]
    blocking = sum(one.ranked.bearing is Bearing.BLOCKING for one in asked)
    facts.append(
        Fact(
            "Open questions",
            str(len(asked)),
            f"{blocking} holding up the making" if blocking else "none holding up the making",
            frame.href("questions.md"),
        )
    )
    if work.inserts:
        facts.append(
            Fact("Inserts made", f"{made} of {len(work.inserts)}", "", frame.href("inserts/index.md"))
        )
    if work.book is not None:
        gatherings = count_words(len(work.book.page_map.sheets_in_gatherings), "gathering")
        facts.append(Fact("Pages", str(work.book.pages), f"in {gatherings}", frame.href("book/index.md")))
    run = work.press.run
    if run is not None and any(one.fronts.made or one.backs.made for one in run.stacks):
        # The title block names the edition; what the maker looks for now is where the printing stands.
        done = sum(not one.fronts.left and not one.backs.left for one in run.stacks)
        if run.resume is not None:
            then = f"next: {run.resume[1]} of stack {run.resume[0]}"
        else:
            then = "the rest waits for artwork" if run.sides_waiting else "all printed"
        facts.append(Fact("Stacks printed", f"{done} of {len(run.stacks)}", then, frame.href("book/run.md")))
    elif replica.edition is not None:
        facts.append(Fact("Edition", str(replica.edition), "copies", frame.href("bill.md")))
    minutes = work.bill.totals.total.minutes
    if minutes:
        entries = count_words(len(work.log.newest_first), "log entry", "log entries")
        facts.append(Fact("At the bench", format_hours(minutes), entries, frame.href("log/index.md")))
    return facts


def _next(ctx: SiteContext, frame: PageFrame) -> None:
    steps = ctx.work.replica.replica.next_steps
    ready = [one for one in ctx.work.inserts if one.state is WorkState.READY]
    if steps or ready:
        frame.heading("Next", "next")
        items = [escape_text(step) for step in steps]
        if ready:
            links = [
                render_link(Link(one.note.title, frame.href(page_path("inserts", one.note.id))))
                for one in ready
            ]
            items.append(join_html(["Ready to make: ", join_html(links, ", "), "."]))
        frame.add(f'<ul class="db-next">{"".join(f"<li>{item}</li>" for item in items)}</ul>')
    asked = [one for one in ctx.work.questions if one.reason != "missing"]
    if asked:
        frame.heading("What an answer would change most", "open")
        frame.add(render_questions(question_items(ctx, frame, asked)[:QUESTIONS]))
        every = Link(f"All {count_words(len(asked), 'open question')}", frame.href("questions.md"))
        frame.add(f"<p>{render_link(every)}</p>")


def question_items(
    ctx: SiteContext, frame: PageFrame, questions: Sequence[QuestionWorking]
) -> list[Question]:
    """Return open questions as lists show them, in their rank; what is asked of several things is asked once."""
    alike: dict[tuple[str, str, str], list[QuestionWorking]] = {}
    for one in questions:
        # What a maker asked in words of their own stands by itself.
        key = ("", one.reason, one.attribute) if not one.text else (one.text, one.about, "")
        alike.setdefault(key, []).append(one)
    items = []
    for group in alike.values():
        pieces = sum(one.ranked.pieces for one in group)
        changes = []
        if group[0].ranked.bearing is Bearing.BLOCKING:
            changes.append("holds up the making")
        if pieces:
            changes.append(f"touches {count_words(pieces, 'piece')}")
        about = tuple(ctx.thing_link(frame, one.about) for one in group)
        items.append(Question(ctx.question_text(group[0]), about, ", ".join(changes)))
    return items


def _some_evidence(ctx: SiteContext, frame: PageFrame) -> list[Picture]:
    found: list[Picture] = []
    for stem in ctx.work.standing.stems.stems:
        # One of each stem: four frames of one film would tell a reader less.
        for source in stem.sources:
            shown = ctx.evidence_picture(frame, source.identifier)
            if shown is not None:
                found.append(shown)
                break
    return found[:MOST_EVIDENCE]


def gallery_page(ctx: SiteContext) -> SitePage:
    """Return the gallery of inserts."""
    frame = PageFrame("inserts/index.md", "Inserts", kind="gallery")
    work = ctx.work
    if not work.inserts:
        frame.add(render_answer("No insert has a note yet. The first goes into journal/inserts/."))
        return frame.finish()
    count = count_words(len(work.inserts), "insert")
    stocks = {one.note.stock for one in work.inserts if one.note.stock}
    frame.add(
        render_answer(
            f"{count} on {count_words(len(stocks), 'stock')}, in the order in which a reader meets them."
        )
    )
    cut = f"The first {MOST_IN_GALLERY} of {len(work.inserts)} inserts, to one scale; below are all of them."
    caption = cut if len(work.inserts) > MOST_IN_GALLERY else ""
    frame.add(strip_html(ctx, frame, work.inserts[:MOST_IN_GALLERY], caption))
    cards = [_card(ctx, frame, one) for one in work.inserts]
    frame.add(render_gallery(cards, _filters(ctx)))
    return frame.finish()


def _filters(ctx: SiteContext) -> tuple[Filter, ...]:
    inserts = ctx.work.inserts
    present = {one.standing.overall.standing.value for one in inserts}
    order = [*(standing.value for standing in SCALE), "disputed", "open"]
    standings = tuple(Choice(word, word, ctx.swatch(word)) for word in order if word in present)
    states = tuple(
        Choice(state.value, STATE_WORDS[state.value])
        for state in WorkState
        if any(one.state is state for one in inserts)
    )
    used = sorted({one.note.stock for one in inserts if one.note.stock})
    stocks = [Choice(ident, ctx.name_of(f"stocks/{ident}")) for ident in used]
    if any(not one.note.stock for one in inserts):
        stocks.append(Choice("open", "paper open"))
    return (
        Filter("standing", "Standing", standings),
        Filter("state", "State of work", states),
        Filter("stock", "Stock", tuple(stocks)),
    )


def _card(ctx: SiteContext, frame: PageFrame, one: InsertWorking) -> Card:
    fact = face_picture(ctx, one)
    lines = [ctx.size(one.note.size) or "size open"]
    lines.append(ctx.name_of(f"stocks/{one.note.stock}") if one.note.stock else "paper open")
    tags = [ctx.standing(one.standing.overall.standing), render_state(STATE_WORDS[one.state.value])]
    where = place_words(one.note.place)
    if where:
        tags.append(render_place(Link(where)))
    return Card(
        link=Link(f"{one.number}. {one.note.title}", frame.href(page_path("inserts", one.note.id))),
        visual=_card_picture(ctx, frame, one, fact) if fact is not None else Html(""),
        tags=tuple(tags),
        lines=tuple(lines),
        filed_under={
            "standing": (one.standing.overall.standing.value,),
            "state": (one.state.value,),
            "stock": (one.note.stock or "open",),
        },
    )


def _card_picture(ctx: SiteContext, frame: PageFrame, one: InsertWorking, fact: ImageFact) -> Html:
    ctx.published[fact.file] = None
    sizes = []
    for limit in PICTURE_WIDTHS_PX:
        width = min(limit, fact.width_px)
        height = max(1, round(fact.height_px * width / fact.width_px))
        sizes.append(Thumbnail(frame.href(picture_path(fact.file, limit)), width, height))
    return render_image(Picture("", sizes[0], sizes[1]), "(min-width: 62em) 260px, 44vw")
