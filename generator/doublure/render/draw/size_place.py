"""The page that an insert lies on, with the insert on it: the second view of its size drawing.

In: PlaceOnPage (lengths in mm), a scale. Out: scene items. Never: a dimension that nobody gave.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.render.draw.dimension import across, upright
from doublure.render.draw.figures import mm_words
from doublure.render.draw.hatch import hatch
from doublure.render.draw.standing_line import rect_points, standing_outline
from doublure.render.scene import HAIR, Group, Item, Line, Move, Path, Pen, Rect, Step, Straight, Tone

#: How far a dimension line stands from what it measures, mm.
DIM_MM = 6.0


@dataclass(frozen=True, slots=True)
class PlaceOnPage:
    """Where the insert lies, as it lies there (folded, turned).

    Attributes:
        page: Name of the page ("page 34").
        page_width_mm, page_height_mm: Size of the leaf.
        gutter: Which side of the page the gutter is on, "left" or "right".
        width_mm, height_mm: Size of the insert as it lies.
        from_gutter_mm, from_head_mm: From the gutter and the head of the page to its nearest edges; negative
            where it stands out; None where open, then it is drawn in the middle without a dimension.
    """

    page: str
    page_width_mm: float
    page_height_mm: float
    gutter: str
    width_mm: float
    height_mm: float
    from_gutter_mm: float | None = None
    from_head_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Lie:
    """The page and the top left of the insert on it, real mm, the page's top left at (0, 0)."""

    place: PlaceOnPage
    left: float
    top: float


def lie_on_page(place: PlaceOnPage) -> Lie:
    gap = place.from_gutter_mm
    if gap is None:
        left = (place.page_width_mm - place.width_mm) / 2
    else:
        left = gap if place.gutter == "left" else place.page_width_mm - gap - place.width_mm
    top = (
        place.from_head_mm if place.from_head_mm is not None else (place.page_height_mm - place.height_mm) / 2
    )
    return Lie(place, left, top)


def _standing_out(lie: Lie, x: float, y: float, scale: float) -> list[Item]:
    """Return hatching over what lies beyond the edges of the page; none where that side is open."""
    p = lie.place
    left, top, right, bottom = lie.left, lie.top, lie.left + p.width_mm, lie.top + p.height_mm
    low, high = max(0.0, top), min(p.page_height_mm, bottom)
    parts = []
    if p.from_head_mm is not None:
        parts.append((left, top, right, min(0.0, bottom)))
        parts.append((left, max(p.page_height_mm, top), right, bottom))
    if p.from_gutter_mm is not None:
        fore = (
            (max(p.page_width_mm, left), low, right, high)
            if p.gutter == "left"
            else (left, low, min(0.0, right), high)
        )
        parts.append(fore)
    items: list[Item] = []
    for x1, y1, x2, y2 in parts:
        if x2 > x1 and y2 > y1:
            pen = Pen(0.16, Tone.ACCENT)
            strokes = hatch(x + x1 * scale, y + y1 * scale, (x2 - x1) * scale, (y2 - y1) * scale, pen)
            items += [strokes] if strokes else []
    return items


def _hidden_edges(lie: Lie, x: float, y: float, scale: float) -> list[Item]:
    """Return the edges of the page where the insert covers them, dashed as hidden edges are."""
    p = lie.place
    left, right = max(0.0, lie.left), min(p.page_width_mm, lie.left + p.width_mm)
    top, bottom = max(0.0, lie.top), min(p.page_height_mm, lie.top + p.height_mm)
    pen = Pen(0.18, Tone.SOFT, (1.2, 0.9))
    edges = []
    if right > left:
        levels = (level for level in (0.0, p.page_height_mm) if lie.top < level < lie.top + p.height_mm)
        edges += [(left, level, right, level) for level in levels]
    if bottom > top:
        sides = (side for side in (0.0, p.page_width_mm) if lie.left < side < lie.left + p.width_mm)
        edges += [(side, top, side, bottom) for side in sides]
    return [Line(x + a * scale, y + b * scale, x + c * scale, y + d * scale, pen) for a, b, c, d in edges]


def page_items(title: str, standing: str, lie: Lie, x: float, y: float, scale: float) -> list[Item]:
    """Return the page with the insert on it; x, y is the top left of the page."""
    p = lie.place
    page_w, page_h = p.page_width_mm * scale, p.page_height_mm * scale
    left, top = x + lie.left * scale, y + lie.top * scale
    width, height = p.width_mm * scale, p.height_mm * scale
    gutter = x if p.gutter == "left" else x + page_w
    outward = -1.0 if p.gutter == "left" else 1.0
    steps: list[Step] = []
    for i in range(int(page_h / 2.2) + 1):
        steps += [Move(gutter, y + i * 2.2), Straight(gutter + outward * 1.3, y + i * 2.2)]
    items: list[Item] = [
        Rect(x, y, page_w, page_h, Pen(0.24), Tone.PAPER),
        Line(gutter, y - 1.5, gutter, y + page_h + 1.5, Pen(0.45)),
        Path(tuple(steps), Pen(0.16, Tone.SOFT)),
        Rect(left, top, width, height, None, Tone.PAPER2),
        *_standing_out(lie, x, y, scale),
    ]
    words = f"{title} as it lies on {p.page}"
    items.append(
        Group(
            standing_outline(rect_points(left, top, width, height), standing),
            words,
            standing=standing,
        )
    )
    items += _hidden_edges(lie, x, y, scale)
    if p.from_gutter_mm:
        edge = left if p.gutter == "left" else left + width
        a, b = sorted((gutter, edge))
        level = max(y + page_h, top + height) + DIM_MM
        items.append(Line(edge, top + height, edge, max(y + page_h, top + height) + 0.9, HAIR))
        items += across(a, b, level, level - DIM_MM, mm_words(abs(p.from_gutter_mm)))
    if p.from_head_mm:
        a, b = sorted((y, top))
        free = x + page_w if p.gutter == "left" else x
        far = max(free, left + width) if p.gutter == "left" else min(free, left)
        outward = 1.0 if p.gutter == "left" else -1.0
        items.append(Line(left + width if outward > 0 else left, top, far + outward * 0.9, top, HAIR))
        items += upright(a, b, far + outward * DIM_MM, far, mm_words(abs(p.from_head_mm)))
    return items
