"""Parts that the pages of several kinds of note share: open questions, log entries, cautions.

In: SiteContext, a thing as "kind/identifier". Out: blocks added to a PageFrame. Never: computing.
"""

from __future__ import annotations

from doublure.render.html import Question, render_caution, render_questions
from doublure.render.logcards import render_log
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.log_cards import log_card
from doublure.render.site.wordings import DEFER_WORK


def add_notes_questions(ctx: SiteContext, frame: PageFrame, thing: str) -> None:
    """Add the open questions about one thing, if there are any."""
    own = ctx.questions_of.get(thing, [])
    if own:
        frame.heading("Open questions", "open")
        frame.add(render_questions([Question(ctx.question_text(question)) for question in own]))


def add_log(ctx: SiteContext, frame: PageFrame, thing: str) -> None:
    """Add the log entries about one thing, if there are any."""
    entries = ctx.work.log.by_thing.get(thing, ())
    if entries:
        frame.heading("From the log", "log")
        frame.add(render_log([log_card(ctx, frame, entry) for entry in entries]))


def add_cautions(frame: PageFrame, cautions: tuple[str, ...], title: str = "") -> None:
    """Add a note's own cautions, if there are any, deferring to data sheets and local rules."""
    if cautions:
        frame.add(render_caution(cautions, title=title, defer=DEFER_WORK))
