"""All open questions, ranked.

In: SiteContext. Out: SitePage values. Never: ranking (trade/evidence).
"""

from __future__ import annotations

from doublure.render.html import Link, render_answer, render_questions, render_working
from doublure.render.plan import SitePage
from doublure.render.site.context import SiteContext
from doublure.render.site.first_page import question_item
from doublure.render.site.frame import PageFrame
from doublure.render.site.wordings import count_words

GROUPS = (
    ("BLOCKING", "Holding up the making", "blocking"),
    ("REQUIRED", "About what is required", "required"),
    ("FURTHER", "The rest", "further"),
)


def pages(ctx: SiteContext) -> list[SitePage]:
    """Return the page of open questions."""
    frame = PageFrame("questions.md", "Open questions", kind="questions")
    questions = ctx.work.questions
    blocking = sum(one.ranked.bearing.name == "BLOCKING" for one in questions)
    frame.add(
        render_answer(
            f"{count_words(len(questions), 'open question')}, {blocking} of them holding up the making."
        )
    )
    for name, title, ident in GROUPS:
        group = [one for one in questions if one.ranked.bearing.name == name]
        if group:
            frame.heading(title, ident)
            frame.add(render_questions([question_item(ctx, frame, one) for one in group]))
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
