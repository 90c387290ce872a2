"""How far drawn things reach, so that nothing is ever cut off.

In: scene items. Out: boxes in mm, line widths and estimated lettering included. Never: drawing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from doublure.render.lettering import ASCENT, DESCENT, text_width_mm
from doublure.render.scene import (
    Anchor,
    Box,
    Circle,
    Close,
    Curve,
    Group,
    Image,
    Item,
    Line,
    Path,
    Pen,
    Point,
    Polyline,
    Rect,
    Text,
    curve_points,
)


def walk(items: Iterable[Item]) -> Iterator[Item]:
    """Yield every item, groups opened, in drawing order; a group comes before what it holds."""
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from walk(item.items)


def _box(points: Iterable[Point], pen: Pen | None) -> Box:
    listed = list(points)
    xs, ys = [p[0] for p in listed], [p[1] for p in listed]
    return Box(min(xs), min(ys), max(xs), max(ys)).grown(pen.width_mm / 2 if pen else 0.0)


def path_points(path: Path) -> tuple[Point, ...]:
    """Return the points of a path with its curves taken as 16 straight steps each, mm."""
    points: list[Point] = []
    for step in path.steps:
        if isinstance(step, Curve):
            points.extend(curve_points(points[-1], step))
        elif not isinstance(step, Close):
            points.append((step.x_mm, step.y_mm))
    return tuple(points)


def text_box(text: Text) -> Box:
    """Return the room of a line of text, turned as it is drawn."""
    width = text_width_mm(text.content, text.size_mm, text.bold)
    left = {Anchor.START: 0.0, Anchor.MIDDLE: -width / 2, Anchor.END: -width}[text.anchor]
    top, bottom = -ASCENT * text.size_mm, DESCENT * text.size_mm
    cos, sin = math.cos(math.radians(text.turn_deg)), math.sin(math.radians(text.turn_deg))
    corners = [(x, y) for x in (left, left + width) for y in (top, bottom)]
    return _box(((text.x_mm + x * cos - y * sin, text.y_mm + x * sin + y * cos) for x, y in corners), None)


def extent(item: Item) -> Box | None:
    """Return the box that an item fills, or None for an empty group.

    Args:
        item: Any scene item.

    Returns:
        Its box in mm: half the line width is added all round (a mitred point may reach a little further),
        text takes the room that lettering.py estimates.
    """
    match item:
        case Line():
            return _box(((item.x1_mm, item.y1_mm), (item.x2_mm, item.y2_mm)), item.pen)
        case Polyline():
            return _box(item.points_mm, item.pen)
        case Path():
            return _box(path_points(item), item.pen)
        case Rect() | Image():
            pen = item.pen if isinstance(item, Rect) else None
            far = (item.x_mm + item.width_mm, item.y_mm + item.height_mm)
            return _box(((item.x_mm, item.y_mm), far), pen)
        case Circle():
            r = item.radius_mm
            return _box(((item.x_mm - r, item.y_mm - r), (item.x_mm + r, item.y_mm + r)), item.pen)
        case Text():
            return text_box(item)
        case Group():
            return _group_extent(item)


def _group_extent(group: Group) -> Box | None:
    """Return what a group fills, its items turned, within its window."""
    box = extent_of(group.items)
    if box is None:
        return None
    if group.turned_about_mm is not None:
        x, y = group.turned_about_mm
        box = Box(2 * x - box.right_mm, 2 * y - box.bottom_mm, 2 * x - box.left_mm, 2 * y - box.top_mm)
    if group.window_mm is None:
        return box
    left, top, width, height = group.window_mm
    seen = Box(
        max(box.left_mm, left),
        max(box.top_mm, top),
        min(box.right_mm, left + width),
        min(box.bottom_mm, top + height),
    )
    return seen if seen.left_mm < seen.right_mm and seen.top_mm < seen.bottom_mm else None


def extent_of(items: Iterable[Item]) -> Box | None:
    """Return the box that several items fill together, or None where there are none."""
    whole: Box | None = None
    for item in items:
        box = extent(item)
        if box is not None:
            whole = box if whole is None else whole.joined(box)
    return whole
