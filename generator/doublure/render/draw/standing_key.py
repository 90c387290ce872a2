"""The key to the lines of standing: each line with its word, and a swatch for use before a word.

In: a standing word, a width. Out: Scenes. Never: deciding a standing.
"""

from __future__ import annotations

from doublure.errors import DomainError
from doublure.render.draw.standing_line import (
    LINE_WORDS,
    STANDINGS,
    check_standing,
    rect_points,
    standing_outline,
    standing_stroke,
)
from doublure.render.lettering import wrap_or_shorten
from doublure.render.scene import Group, Item, Rect, Scene, Text, Tone, px_to_mm

#: What each standing rests on, in the fewest words; the handbook prints the whole rule.
MEANINGS = {
    "settled": "in hand, or two witnesses to scale agree",
    "supported": "one witness to scale, or two without",
    "thin": "one picture or description, not to scale",
    "assumed": "period practice",
    "chosen": "the maker's own choice",
    "disputed": "witnesses contradict each other",
    "open": "nothing known yet",
}

_CARD_MM = (10.0, 7.0)
_WORD_MM = 3.4
_SMALL_MM = 2.9


def draw_swatch(standing: str) -> Scene:
    """Draw the line of a standing as a swatch of 26 × 8 px, to stand before its word.

    Args:
        standing: One of STANDINGS.

    Returns:
        A scene of 26 × 8 px; render it hidden, since the word is beside it.

    Raises:
        DomainError: The word is no standing.
    """
    check_standing(standing)
    width, height = px_to_mm(26), px_to_mm(8)
    middle = height / 2
    line: tuple[Item, ...]
    if standing == "open":
        line = standing_outline(rect_points(0.35, 0.3, width - 0.7, height - 0.6), "open", 0.7)
    else:
        line = standing_stroke(((0.4, middle), (width - 0.4, middle)), standing, 0.85)
    return Scene(width, height, standing, "", (Group(line, standing=standing),))


def draw_standing_key(width_px: float = 700) -> Scene:
    """Draw the key to all standings, in as many columns as fit.

    Args:
        width_px: Width in CSS px, >= 220.

    Returns:
        The scene, width_px wide.

    Raises:
        DomainError: The width is under 220 px.
    """
    if width_px < 220:
        raise DomainError("The key needs a width of at least 220 px", "width_px")
    width = px_to_mm(width_px)
    columns = max(1, min(4, int(width / 62)))
    column = width / columns
    rows = -(-len(STANDINGS) // columns)
    words_x = 0.8 + _CARD_MM[0] + 3.2
    room = column - words_x - 2.0
    meanings = {word: wrap_or_shorten(MEANINGS[word], _SMALL_MM, room, 3) for word in STANDINGS}
    lines = max(len(words) for words in meanings.values())
    pitch = 7.4 + 3.7 * lines
    items: list[Item] = []
    for i, standing in enumerate(STANDINGS):
        x, y = (i // rows) * column, 0.9 + (i % rows) * pitch
        card = rect_points(x + 0.8, y, *_CARD_MM)
        parts: list[Item] = [] if standing == "open" else [Rect(x + 0.8, y, *_CARD_MM, None, Tone.PAPER2)]
        parts += standing_outline(card, standing)
        parts.append(Text(x + words_x, y + 2.7, standing, _WORD_MM, bold=True))
        for n, line in enumerate(meanings[standing]):
            parts.append(Text(x + words_x, y + 6.6 + n * 3.7, line, _SMALL_MM, tone=Tone.SOFT))
        items.append(Group(tuple(parts), f"{standing}: {LINE_WORDS[standing]}", standing=standing))
    looks = "; ".join(f"{word} is {LINE_WORDS[word]}" for word in STANDINGS)
    height = 0.9 + (rows - 1) * pitch + max(_CARD_MM[1] + 0.6, 6.6 + (lines - 1) * 3.7 + 1.2)
    return Scene(
        width,
        height,
        "Standing is a line",
        f"How well a thing is known shows in its line: {looks}.",
        tuple(items),
    )
