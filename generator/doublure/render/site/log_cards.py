"""A log entry as a card, wherever it is shown.

In: SiteContext, a log note. Out: LogCard. Never: adding up.
"""

from __future__ import annotations

import re

import markdown

from doublure.model.notes import LogNote
from doublure.quantities import format_duration
from doublure.render.html import Html, Link, Shown
from doublure.render.logcards import LogCard
from doublure.render.site.context import SiteContext, log_entry_path
from doublure.render.site.frame import PageFrame, clean_note_html
from doublure.render.site.wordings import MONTHS, show_date

__all__ = ["MONTHS", "entry_title", "log_card", "note_html", "plain_text", "show_date"]

#: A brief card holds this many characters of the entry at most.
SHORT_CHARACTERS = 240
#: A first line longer than this is shortened to its first sentence where it serves as a title.
MOST_TITLE = 72


def log_card(
    ctx: SiteContext, frame: PageFrame, note: LogNote, *, brief: bool = False, anchor: bool = False
) -> LogCard:
    """Return one entry as a card.

    Args:
        ctx: The context.
        frame: The page that holds it.
        note: The entry.
        brief: Only the first picture and the first sentences.
        anchor: True on the entry's own page, where links to it arrive.
    """
    text: Shown = _short(note) if brief else note_html(_without_title(note))
    figures = []
    if note.step:
        figures.append(note.step)
    if note.minutes is not None:
        figures.append(format_duration(note.minutes))
    if note.spent is not None and ctx.shows_prices:
        figures.append(f"{ctx.money(note.spent)} spent")
    if note.made is not None:
        figures.append(f"{note.made} made")
    if note.spoiled is not None:
        figures.append(f"{note.spoiled} spoiled")
    pictures = ctx.pictures_of(frame, f"log/{note.id}")
    return LogCard(
        date=note.date.isoformat(),
        shown_date=show_date(note.date),
        title=Link(entry_title(note), "" if anchor else frame.href(log_entry_path(ctx.work, note.id))),
        text=text,
        about=tuple(ctx.thing_link(frame, thing) for thing in ctx.work.log.things[note.id]),
        figures=tuple(figures),
        pictures=pictures[:1] if brief else pictures,
        ident=note.id if anchor else "",
    )


def entry_title(note: LogNote) -> str:
    """Return the title of an entry; where its first line serves, only the first sentence of that."""
    title = plain_text(note.title)
    if len(title) > MOST_TITLE and (sentence := re.match(r".{20,}?[.!?](?=\s)", title)):
        return sentence.group().rstrip(".")
    return title


def _without_title(note: LogNote) -> str:
    """Return the body without its beginning where that serves as the title."""
    body = note.body.strip()
    title = entry_title(note)
    rest = body.removeprefix(title)
    # Only a whole sentence or line serves: "Two cases" does not stand for "Two cases made, one hung."
    if rest != body and (not rest or rest[0] in ".!?\n"):
        return rest.lstrip(" .!?\n")
    first, _, rest = body.partition("\n")
    return rest if plain_text(first).rstrip(".!?") == title else note.body


def _short(note: LogNote) -> str:
    text = plain_text(_without_title(note))
    return text if len(text) <= SHORT_CHARACTERS else text[:SHORT_CHARACTERS].rsplit(" ", 1)[0] + " …"


_converter = markdown.Markdown(extensions=["sane_lists", "tables"])
_NOTE_LINK = re.compile(r'(href="(?!https?:|mailto:|#)[^"#]*)\.md((?:#[^"]*)?")')


def note_html(text: str) -> Html:
    """Return a note's Markdown as clean HTML; links to notes become links to their pages.

    All pages that show it lie one folder deep, as the notes do, so that relative links hold.
    """
    if not text.strip():
        return Html("")
    converted: str = _converter.reset().convert(text)
    return Html(_NOTE_LINK.sub(r"\1.html\2", clean_note_html(converted)))


_MARKS = re.compile(r"[*_`#>]+|!?\[([^\]]*)\]\([^)]*\)|<[^>]*>")


def plain_text(markdown: str) -> str:
    """Return Markdown without its marks, as one run of text."""
    text = _MARKS.sub(lambda found: found.group(1) or "", markdown)
    return " ".join(text.split())
