"""Pieces of HTML that every page is put together from. Pure functions; each escapes what it is given.

In: display text, addresses, drawings already made. Out: Html, one block without blank lines or indentation,
so that it stands in Markdown as it is. Never: reading notes, computing, rounding, deciding what is said.

Class names (the style sheets are in theme/assets; drawings wear dw-* and are not styled here):
    db-answer                  the one-line answer a page opens with
    db-drawing [--scroll]      a drawing across the sheet, its caption below
    db-facts                   a band of large figures, each with its label
    db-rows                    label and value, hairlines between
    db-standing                a standing word beside its line swatch
    db-state                   state of work, a plain word in a quiet frame
    db-place                   a place in the book
    db-caution                 a warning; hatched edge, printed too
    db-questions               open questions, what an answer would change beside each
    db-working                 how a figure was computed, folded away
    db-pager                   to the one before, to the next
    db-parts                   short list of the parts of this page, in a line
    db-table*, db-num, db-unit data tables (table.py)
    db-picture*, db-pictures   pictures and rows of them (pictures.py)
    db-gallery, db-card*, db-filter*   cards with filters (gallery.py)
    db-log*                    log entries (logcards.py)
On any block: db-wide takes the full width of the sheet, db-text the reading measure, db-noprint leaves it out
of print.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape


class Html(str):
    """Text that is HTML already and must not be escaped again."""

    __slots__ = ()


#: A value to display: plain text is escaped, Html is taken as it is.
Shown = str | Html

_ESCAPES = str.maketrans(
    {
        "&": "&amp;",
        "<": "&lt;",
        ">": "&gt;",
        '"': "&quot;",
        "'": "&#39;",
        # Inline pieces stand in Markdown text, where these would still be read as marks.
        "*": "&#42;",
        "_": "&#95;",
        "`": "&#96;",
        "[": "&#91;",
        "]": "&#93;",
        "\\": "&#92;",
    }
)
_SAFE_ADDRESS = re.compile(r"(?:https?://|mailto:|#|\.{0,2}/|[^:/?#]*(?:[/?#]|$))", re.IGNORECASE)
_ELSEWHERE = re.compile(r"[a-z][a-z0-9+.-]*:|//|\\\\", re.IGNORECASE)
#: Line ends and control characters: a blank line would end the block, and Markdown keeps some for itself.
_CONTROL = re.compile(r"[\x00-\x1f\x7f\x85\u2028\u2029]+")
_SLUG = re.compile(r"[^a-z0-9]+")


def escape_text(text: Shown) -> Html:
    """Return text safe between tags and within quoted attributes; Html comes back unchanged.

    Examples:
        >>> escape_text('a < b & "c"')
        'a &lt; b &amp; &quot;c&quot;'
        >>> escape_text(Html("<b>bold</b>"))
        '<b>bold</b>'
    """
    if isinstance(text, Html):
        return text
    return Html(_CONTROL.sub(" ", text).translate(_ESCAPES))


def escape_href(href: str) -> Html:
    """Return an address safe within a quoted attribute.

    Raises:
        ValueError: The address names a scheme other than http, https or mailto (a script, say).
    """
    plain = href.strip()
    if _CONTROL.search(plain) or not _SAFE_ADDRESS.match(plain):
        raise ValueError(f"this address cannot be linked to: {href!r}")
    return Html(escape(plain))


def escape_source(href: str) -> Html:
    """Return the address of something that the page itself loads: it must lie within the site.

    Raises:
        ValueError: The address leads to another host.
    """
    if _ELSEWHERE.match(href.strip()):
        raise ValueError(f"a page loads nothing from elsewhere: {href!r}")
    return escape_href(href)


def slug(text: str) -> str:
    """Return text as it may stand in a class or an id.

    Examples:
        >>> slug("Not begun")
        'not-begun'
    """
    return _SLUG.sub("-", text.lower()).strip("-") or "x"


def join_html(parts: Iterable[Shown], separator: str = "") -> Html:
    """Return the parts one after another, each escaped, with the separator (plain text) between."""
    return Html(escape_text(separator).join(escape_text(part) for part in parts))


@dataclass(frozen=True, slots=True)
class Link:
    """Words that lead somewhere; without an address they stand as they are."""

    text: Shown
    href: str = ""


def render_link(link: Link, css_class: str = "") -> Html:
    """Return a link, or its words alone where it has no address."""
    worn = f' class="{escape_text(css_class)}"' if css_class else ""
    if not link.href:
        return Html(f"<span{worn}>{escape_text(link.text)}</span>") if worn else escape_text(link.text)
    return Html(f'<a{worn} href="{escape_href(link.href)}">{escape_text(link.text)}</a>')


def render_answer(text: Shown) -> Html:
    """Return the one-line answer that a page opens with."""
    return Html(f'<p class="db-answer">{escape_text(text)}</p>')


def render_drawing(svg: Html, *, caption: Shown = "", label: str = "", scroll: bool = False) -> Html:
    """Return a drawing across the whole sheet.

    Args:
        svg: The drawing, with its own text alternative.
        caption: What stands below it.
        label: What the moving window is called to a screen reader; needed with `scroll`.
        scroll: On a narrow screen the drawing keeps its size and moves sideways instead of shrinking.

    Raises:
        ValueError: `scroll` without a label.
    """
    if scroll and not label:
        raise ValueError("a drawing that moves sideways needs a label")
    kind = "db-drawing db-drawing--scroll" if scroll else "db-drawing"
    window = f' tabindex="0" role="group" aria-label="{escape_text(label)}"' if scroll else ""
    below = f"<figcaption>{escape_text(caption)}</figcaption>" if caption else ""
    return Html(f'<figure class="{kind}"><div class="db-drawing__window"{window}>{svg}</div>{below}</figure>')


@dataclass(frozen=True, slots=True)
class Fact:
    """One figure of the band: its label, the figure, and a word or two below."""

    label: Shown
    value: Shown
    below: Shown = ""
    href: str = ""


def render_facts(facts: Sequence[Fact], label: str = "At a glance") -> Html:
    """Return a band of large figures with their labels."""
    cells = []
    for fact in facts:
        below = f'<span class="db-facts__below">{escape_text(fact.below)}</span>' if fact.below else ""
        cells.append(
            f'<div class="db-facts__cell"><dt>{escape_text(fact.label)}</dt>'
            f"<dd>{render_link(Link(fact.value, fact.href), 'db-facts__value')}{below}</dd></div>"
        )
    return Html(f'<dl class="db-facts" aria-label="{escape_text(label)}">{"".join(cells)}</dl>')


def render_rows(rows: Sequence[tuple[Shown, Shown]]) -> Html:
    """Return label and value, one pair a row; a row without a value is left out."""
    body = "".join(
        f'<div class="db-rows__row"><dt>{escape_text(label)}</dt><dd>{escape_text(value)}</dd></div>'
        for label, value in rows
        if value
    )
    return Html(f'<dl class="db-rows">{body}</dl>') if body else Html("")


def render_standing(word: str, swatch: Html) -> Html:
    """Return a standing word beside its line; the swatch is decoration, the word says it.

    Args:
        word: "settled", "supported", "thin", "assumed", "chosen" or "disputed".
        swatch: The line as SVG, hidden from screen readers.
    """
    return Html(
        f'<span class="db-standing db-standing--{slug(word)}">'
        f'<span class="db-standing__line" aria-hidden="true">{swatch}</span>'
        f'<span class="db-standing__word">{escape_text(word)}</span></span>'
    )


def render_state(word: str) -> Html:
    """Return the state of work as a plain word."""
    return Html(f'<span class="db-state">{escape_text(word)}</span>')


def render_place(link: Link) -> Html:
    """Return the tag for a place in the book, such as "between 34 and 35"."""
    return render_link(link, "db-place")


def render_caution(paragraphs: Sequence[Shown], *, title: Shown = "", defer: Shown = "") -> Html:
    """Return a caution: distinct on the screen and in print, without leaning on colour.

    Args:
        paragraphs: What can go wrong and what to do about it.
        title: What it is about, after the word Caution.
        defer: The sentence that gives precedence to local rules and licensed practice.
    """
    about = f' <span class="db-caution__about">{escape_text(title)}</span>' if title else ""
    body = "".join(f"<p>{escape_text(text)}</p>" for text in paragraphs)
    last = f'<p class="db-caution__defer">{escape_text(defer)}</p>' if defer else ""
    return Html(
        f'<div class="db-caution" role="note"><p class="db-caution__head"><strong>Caution</strong>{about}</p>'
        f"{body}{last}</div>"
    )


@dataclass(frozen=True, slots=True)
class Question:
    """An open question.

    Attributes:
        text: The question.
        about: What it is about, one thing or several.
        changes: What an answer would change, in a few words.
    """

    text: Shown
    about: tuple[Link, ...] = ()
    changes: Shown = ""


def render_questions(questions: Sequence[Question]) -> Html:
    """Return open questions as a list in the order given."""
    items = []
    for question in questions:
        below = ", ".join(str(render_link(link)) for link in question.about)
        if question.changes:
            changes = f'<span class="db-questions__changes">{escape_text(question.changes)}</span>'
            below = f"{below}; {changes}" if below else changes
        about = f'<span class="db-questions__about">{below}</span>' if below else ""
        items.append(f'<li><span class="db-questions__text">{escape_text(question.text)}</span>{about}</li>')
    return Html(f'<ol class="db-questions">{"".join(items)}</ol>') if items else Html("")


def render_working(
    body: Sequence[Shown],
    *,
    summary: Shown = "How this was computed",
    inputs: Sequence[tuple[Shown, Shown]] = (),
    method: Link | None = None,
    source: Shown = "",
) -> Html:
    """Return how a figure came about, folded away until asked for, opened in print.

    Args:
        body: The formula and what is to be said about it; blocks of Html stand as they are.
        summary: The words to click on.
        inputs: Each input with its value and where it comes from.
        method: The page of the handbook that gives the formula.
        source: The published source of the formula.
    """
    parts = [
        part if isinstance(part, Html) and part.startswith("<") else f"<p>{escape_text(part)}</p>"
        for part in body
    ]
    parts.append(render_rows(inputs))
    last = [render_link(method)] if method is not None else []
    if source:
        last.append(Html(f"Source: {escape_text(source)}"))
    if last:
        parts.append(f'<p class="db-working__source">{" · ".join(last)}</p>')
    return Html(
        f'<details class="db-working"><summary>{escape_text(summary)}</summary>'
        f'<div class="db-working__body">{"".join(parts)}</div></details>'
    )


def render_pager(before: Link | None, after: Link | None, label: str = "In order") -> Html:
    """Return the way to the one before and the one after; "" where there is neither."""
    cells = ""
    if before is not None:
        cells += (
            f'<a class="db-pager__link db-pager__link--before" rel="prev" href="{escape_href(before.href)}">'
            f'<span class="db-pager__way">Before</span> {escape_text(before.text)}</a>'
        )
    if after is not None:
        cells += (
            f'<a class="db-pager__link db-pager__link--after" rel="next" href="{escape_href(after.href)}">'
            f'<span class="db-pager__way">Next</span> {escape_text(after.text)}</a>'
        )
    if not cells:
        return Html("")
    return Html(f'<nav class="db-pager" aria-label="{escape_text(label)}">{cells}</nav>')


def render_parts(parts: Sequence[Link], label: str = "On this page") -> Html:
    """Return a short list of the parts of this page, in a line; "" for fewer than two."""
    if len(parts) < 2:
        return Html("")
    items = "".join(f"<li>{render_link(part)}</li>" for part in parts)
    return Html(f'<nav class="db-parts" aria-label="{escape_text(label)}"><ul>{items}</ul></nav>')
