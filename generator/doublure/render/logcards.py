"""Entries of the log as cards, one below another, the date in the margin.

In: display text. Out: Html. Never: adding up minutes or money.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from doublure.render.html import Html, Link, Shown, escape_href, escape_text, render_link, slug
from doublure.render.pictures import Picture, render_picture


@dataclass(frozen=True, slots=True)
class LogCard:
    """One entry.

    Attributes:
        date: Date as in ISO 8601, such as "2031-03-09".
        shown_date: The date as it is read, such as "9 March".
        text: What was done; Html may hold several paragraphs.
        title: Heading with its address; a title of "" leaves it out.
        about: What it is about.
        figures: Minutes, money, made, spoiled, each as it is read, such as "40 min".
        pictures: Photographs.
        ident: Anchor; "" for none.
    """

    date: str
    shown_date: str
    text: Shown
    title: Link = Link("")
    about: tuple[Link, ...] = ()
    figures: tuple[Shown, ...] = ()
    pictures: tuple[Picture, ...] = ()
    ident: str = ""


def render_log(cards: Sequence[LogCard]) -> Html:
    """Return the entries in the order given; "" for none."""
    if not cards:
        return Html("")
    return Html(f'<ol class="db-log">{"".join(_entry(card) for card in cards)}</ol>')


def _entry(card: LogCard) -> str:
    ident = f' id="{slug(card.ident)}"' if card.ident else ""
    title = ""
    if card.title.text:
        title = f'<p class="db-log__title">{render_link(card.title)}</p>'
    text = escape_text(card.text)
    body = text if text.startswith("<") else f"<p>{text}</p>"
    notes = "".join(f"<li>{escape_text(figure)}</li>" for figure in card.figures)
    notes += "".join(f"<li>{_about(link)}</li>" for link in card.about)
    foot = f'<ul class="db-log__foot">{notes}</ul>' if notes else ""
    shots = ""
    if card.pictures:
        one = "".join(render_picture(shot, sizes="(min-width: 62em) 220px, 46vw") for shot in card.pictures)
        shots = f'<div class="db-log__pictures">{one}</div>'
    when = escape_text(card.date)
    return (
        f'<li class="db-log__entry"{ident}><time class="db-log__date" datetime="{when}">'
        f"{escape_text(card.shown_date)}</time> "
        f'<div class="db-log__body">{title}{body}{foot}</div>{shots}</li>'
    )


def _about(link: Link) -> str:
    if not link.href:
        return escape_text(link.text)
    return f'<a href="{escape_href(link.href)}">{escape_text(link.text)}</a>'
