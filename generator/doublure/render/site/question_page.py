"""All open questions, ranked.

In: SiteContext. Out: SitePage values. Never: ranking (trade/evidence).
"""

from __future__ import annotations

from doublure.render.html import (
    Link,
    render_answer,
    render_questions,
    render_rows,
    render_working,
)
from doublure.render.plan import SitePage
from doublure.render.site.context import SiteContext
from doublure.render.site.first_page import question_items
from doublure.render.site.frame import PageFrame
from doublure.render.site.wordings import FIELD_WORDS, attribute_word, count_words

GROUPS = (
    ("BLOCKING", "Holding up the making", "blocking"),
    ("REQUIRED", "About what is required", "required"),
    ("FURTHER", "The rest", "further"),
)


def _unsaid(ctx: SiteContext, frame: PageFrame) -> None:
    """Add what the notes leave unsaid, one line for all notes that lack the same: singly they would bury the rest."""
    fields: dict[str, list[str]] = {}
    for one in ctx.work.questions:
        if one.reason == "missing":
            fields.setdefault(one.about, []).append(
                FIELD_WORDS.get(one.attribute, attribute_word(one.attribute))
            )
    if not fields:
        return
    frame.heading("Left unsaid in the notes", "unsaid")
    alike: dict[tuple[str, str], list[str]] = {}
    for about in sorted(fields, key=lambda about: ctx.name_of(about).casefold()):
        kind = about.partition("/")[0]
        alike.setdefault((kind, ", ".join(fields[about])), []).append(about)
    rows = [
        (f"{kind.capitalize()}: {words}", ctx.links(frame, things))
        for (kind, words), things in sorted(alike.items())
    ]
    frame.add(render_rows(rows))


def pages(ctx: SiteContext) -> list[SitePage]:
    """Return the page of open questions."""
    frame = PageFrame("questions.md", "Open questions", kind="questions")
    questions = ctx.work.questions
    blocking = sum(one.ranked.bearing.name == "BLOCKING" for one in questions)
    unsaid = sum(one.reason == "missing" for one in questions)
    frame.add(
        render_answer(
            f"{count_words(len(questions) - unsaid, 'open question')}, {blocking} of them holding up the making; "
            f"{count_words(unsaid, 'detail')} left unsaid in the notes."
            if unsaid
            else f"{count_words(len(questions), 'open question')}, {blocking} of them holding up the making."
        )
    )
    for name, title, ident in GROUPS:
        group = [one for one in questions if one.ranked.bearing.name == name and one.reason != "missing"]
        if group:
            frame.heading(title, ident)
            frame.add(render_questions(question_items(ctx, frame, group)))
    _unsaid(ctx, frame)
    frame.add(
        render_working(
            [
                "First what holds up the making, then by pieces touched, by the steps of standing that an answer could "
                "win, by money and sheets at stake."
            ],
            summary="How questions are ranked",
            method=Link("Open questions", frame.href("handbook/methods/evidence.md#open-questions")),
        )
    )
    return [frame.finish()]
