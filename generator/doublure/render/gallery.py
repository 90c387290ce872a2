"""Cards that can be filtered (theme/assets/gallery.js); without a script they are a plain list.

In: display text, pictures and swatches already made. Out: Html. Never: choosing or sorting cards.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from doublure.render.html import Html, Link, Shown, escape_href, escape_text, slug

#: With more options than this a filter is a list to choose from, not a row of boxes.
MOST_BOXES = 7
_BETWEEN = "|"


@dataclass(frozen=True, slots=True)
class Choice:
    """One option of a filter.

    Attributes:
        key: What the cards say of themselves, such as "settled".
        title: The words shown.
        swatch: A small drawing before the words, hidden from screen readers.
    """

    key: str
    title: str
    swatch: Html = Html("")


@dataclass(frozen=True, slots=True)
class Filter:
    """A filter over the cards.

    Attributes:
        key: Name, such as "stock"; cards answer to it in `Card.filed_under`.
        title: The words above the choices.
        choices: The options, in order.
    """

    key: str
    title: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Card:
    """One card.

    Attributes:
        link: Title and address.
        visual: Picture or outline drawing.
        tags: Small pieces below the title: standing, place, state.
        lines: Short lines of text below these.
        filed_under: For each filter the keys that the card answers to.
    """

    link: Link
    visual: Html = Html("")
    tags: tuple[Html, ...] = ()
    lines: tuple[Shown, ...] = ()
    filed_under: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def render_cards(cards: Sequence[Card]) -> Html:
    """Return the cards as a list."""
    return Html(f'<ul class="db-cards">{"".join(_card(card) for card in cards)}</ul>')


def render_gallery(cards: Sequence[Card], filters: Sequence[Filter] = (), *, noun: str = "inserts") -> Html:
    """Return cards with filters above them.

    Args:
        cards: In the order in which they are shown.
        filters: Each joins with the others by "and"; the choices within one join by "or".
        noun: What is counted, in the plural.

    Raises:
        ValueError: A key that holds the sign which separates keys.
    """
    for one in filters:
        for choice in one.choices:
            if _BETWEEN in choice.key:
                raise ValueError(f"a filter key cannot hold {_BETWEEN!r}: {choice.key!r}")
    useful = [one for one in filters if len(one.choices) > 1]
    counted = escape_text(noun)
    form = ""
    if useful:
        groups = "".join(_filter(one) for one in useful)
        form = (
            f'<form class="db-filters db-noprint" aria-label="Choose among the {counted}" hidden>{groups}'
            f'<p class="db-filters__count"><output aria-live="polite">{len(cards)} {counted}</output> '
            '<button type="reset" hidden>Show all</button></p></form>'
        )
    return Html(
        f'<div class="db-gallery" data-db-gallery data-noun="{counted}">{form}{render_cards(cards)}</div>'
    )


def _card(card: Card) -> str:
    filed = "".join(
        f' data-filed-{slug(key)}="{escape_text(_BETWEEN.join(values))}"'
        for key, values in sorted(card.filed_under.items())
    )
    visual = f'<div class="db-card__visual">{card.visual}</div>' if card.visual else ""
    tags = f'<p class="db-card__tags">{" ".join(card.tags)}</p>' if card.tags else ""
    lines = "".join(f'<p class="db-card__line">{escape_text(line)}</p>' for line in card.lines)
    title = escape_text(card.link.text)
    if card.link.href:
        title = Html(f'<a href="{escape_href(card.link.href)}">{title}</a>')
    return f'<li class="db-card"{filed}>{visual}<p class="db-card__title">{title}</p>{tags}{lines}</li>'


def _filter(one: Filter) -> str:
    name, title = slug(one.key), escape_text(one.title)
    if len(one.choices) > MOST_BOXES:
        options = "".join(
            f'<option value="{escape_text(choice.key)}">{escape_text(choice.title)}</option>'
            for choice in one.choices
        )
        return (
            f'<fieldset class="db-filter"><legend>{title}</legend><select name="{name}" aria-label="{title}">'
            f'<option value="">any</option>{options}</select></fieldset>'
        )
    boxes = ""
    for choice in one.choices:
        swatch = ""
        if choice.swatch:
            swatch = f'<span class="db-filter__swatch" aria-hidden="true">{choice.swatch}</span>'
        boxes += (
            f'<label><input type="checkbox" name="{name}" value="{escape_text(choice.key)}">{swatch}'
            f"<span>{escape_text(choice.title)}</span></label>"
        )
    return f'<fieldset class="db-filter"><legend>{title}</legend>{boxes}</fieldset>'
