"""Dimension lines as on a drawing sheet: thin, ended by slender arrowheads, in one or two units.

In: two edges on the drawing and words. Out: scene items. Never: the sum behind the words.
"""

from __future__ import annotations

from doublure.render.lettering import centred_baseline_mm, text_width_mm
from doublure.render.scene import FINE, HAIR, Anchor, Item, Line, Polyline, Text, Tone

_WORDS_MM = 3.0
_HEAD_MM = 2.0


def _head(x: float, y: float, dx: float, dy: float) -> Polyline:
    """Return an arrowhead with its tip at (x, y), pointing along the unit vector (dx, dy)."""
    bx, by = x - dx * _HEAD_MM, y - dy * _HEAD_MM
    wing = 0.34
    points = ((x, y), (bx - dy * wing, by + dx * wing), (bx + dy * wing, by - dx * wing))
    return Polyline(points, None, Tone.INK, True)


def _fits(length_mm: float, *words: str) -> bool:
    return length_mm >= max(text_width_mm(word, _WORDS_MM) for word in words) + 1.0


def across(
    x1_mm: float, x2_mm: float, y_mm: float, from_y_mm: float, upper: str, lower: str = ""
) -> tuple[Item, ...]:
    """Draw a level dimension between two upright edges.

    Args:
        x1_mm, x2_mm: The edges, x1 < x2.
        y_mm: Height of the dimension line.
        from_y_mm: Where on the thing measured the witness lines begin.
        upper, lower: Words above and below the line; where they do not fit between the edges they stand to
            the right.

    Returns:
        Items; arrowheads point inwards from outside where there is no room between the edges.
    """
    down = 1.0 if y_mm > from_y_mm else -1.0
    items: list[Item] = [Line(x, from_y_mm + down * 0.9, x, y_mm + down * 1.2, HAIR) for x in (x1_mm, x2_mm)]
    inside = x2_mm - x1_mm >= 3 * _HEAD_MM
    middle, anchor = (x1_mm + x2_mm) / 2, Anchor.MIDDLE
    if not _fits(x2_mm - x1_mm, upper, lower):
        middle, anchor = x2_mm + (1.4 if inside else 5.2), Anchor.START
    if inside:
        items.append(Line(x1_mm, y_mm, x2_mm, y_mm, FINE))
        items += [_head(x1_mm, y_mm, -1, 0), _head(x2_mm, y_mm, 1, 0)]
    else:
        items.append(Line(x1_mm - 4.0, y_mm, x2_mm + 4.0, y_mm, FINE))
        items += [_head(x1_mm, y_mm, 1, 0), _head(x2_mm, y_mm, -1, 0)]
    if anchor is Anchor.START and not lower:
        items.append(Text(middle, centred_baseline_mm(y_mm, _WORDS_MM), upper, _WORDS_MM))
        return tuple(items)
    items.append(Text(middle, y_mm - 1.1, upper, _WORDS_MM, anchor))
    if lower:
        items.append(Text(middle, y_mm + 3.3, lower, _WORDS_MM, anchor, Tone.SOFT))
    return tuple(items)


def upright(
    y1_mm: float, y2_mm: float, x_mm: float, from_x_mm: float, left: str, right: str = ""
) -> tuple[Item, ...]:
    """Draw an upright dimension between two level edges, its words turned to be read from the right.

    Args:
        y1_mm, y2_mm: The edges, y1 < y2.
        x_mm: Where the dimension line stands.
        from_x_mm: Where on the thing measured the witness lines begin.
        left, right: Words on either side of the line; where they do not fit between the edges they stand
            level, beyond the line.

    Returns:
        Items; arrowheads point inwards from outside where there is no room between the edges.
    """
    beyond = 1.0 if x_mm > from_x_mm else -1.0
    items: list[Item] = [
        Line(from_x_mm + beyond * 0.9, y, x_mm + beyond * 1.2, y, HAIR) for y in (y1_mm, y2_mm)
    ]
    if y2_mm - y1_mm >= 3 * _HEAD_MM:
        items.append(Line(x_mm, y1_mm, x_mm, y2_mm, FINE))
        items += [_head(x_mm, y1_mm, 0, -1), _head(x_mm, y2_mm, 0, 1)]
    else:
        items.append(Line(x_mm, y1_mm - 4.0, x_mm, y2_mm + 4.0, FINE))
        items += [_head(x_mm, y1_mm, 0, 1), _head(x_mm, y2_mm, 0, -1)]
    middle = (y1_mm + y2_mm) / 2
    if _fits(y2_mm - y1_mm, left, right):
        items.append(Text(x_mm - 1.1, middle, left, _WORDS_MM, Anchor.MIDDLE, turn_deg=-90))
        if right:
            items.append(Text(x_mm + 3.3, middle, right, _WORDS_MM, Anchor.MIDDLE, Tone.SOFT, turn_deg=-90))
        return tuple(items)
    anchor = Anchor.START if beyond > 0 else Anchor.END
    baseline = centred_baseline_mm(middle - (2.0 if right else 0.0), _WORDS_MM)
    items.append(Text(x_mm + beyond * 1.6, baseline, left, _WORDS_MM, anchor))
    if right:
        items.append(Text(x_mm + beyond * 1.6, baseline + 4.0, right, _WORDS_MM, anchor, Tone.SOFT))
    return tuple(items)
