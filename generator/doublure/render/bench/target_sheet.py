"""The two sides of the register target as drawings in true size.

In: Target. Out: a Scene for the front and one for the back. Never: computing where things lie
(trade/press/target.py), PDF.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

from doublure.render.bench.target_shapes import (
    draw_arrow,
    draw_back_scale,
    draw_bar,
    draw_disc,
    draw_edge_ruler,
    draw_fold_ruler,
    draw_front_scale,
    draw_ring,
)
from doublure.render.lettering import text_width_mm
from doublure.render.scene import (
    Anchor,
    Circle,
    Item,
    Line,
    Pen,
    Polyline,
    Rect,
    Scene,
    Text,
)
from doublure.trade.book.gatherings import Side
from doublure.trade.press.target import BLOCK_LEFT_MM, BLOCK_RIGHT_MM, INSET_MM, Edge, Target

_NAME_MM = 3.2
#: Where marks stand closer than this the scales have fewer figures.
_TIGHT_MM = 29.0
_FOLD = Pen(0.18, dash_mm=(2.0, 1.6))
_HOW_FRONT = (
    "Hold the sheet against the light, this side towards you.",
    "The figure whose line goes on in a line of the back is",
    "the offset in mm: + to the right, + downwards.",
    "Photograph it so, the whole sheet, from straight before it.",
)
_HOW_RULERS = "At the edge, every ruler should come to 0: measure from its 10 to the edge of the sheet."
_NOT_TRIED = "Not yet tried on paper."


def target_scenes(target: Target, title: str = "", turned: bool = False) -> tuple[Scene, Scene]:
    """Return the front and the back of a target, each as one looks at it.

    Args:
        target: What to draw.
        title: Words for the sheet, such as "A4, 210 × 297 mm"; its size where nothing is said.
        turned: True to turn the back half round, for sheets that are turned about the other edge.

    Returns:
        Front and back, the size of the sheet.
    """
    words = title or f"{target.sheet_width_mm:g} × {target.sheet_height_mm:g} mm"
    front = tuple(_draw_side(target, Side.FRONT, words))
    back = tuple(_draw_side(target, Side.BACK, words))
    if turned:
        back = tuple(_turn(item, target.sheet_width_mm, target.sheet_height_mm) for item in back)
    return (
        Scene(
            target.sheet_width_mm,
            target.sheet_height_mm,
            f"Register target, front, {words}",
            f"{len(target.marks)} solid discs with their names, a scale to the right and below each, rulers at "
            "the edges and at the fold, and an arrow to the head.",
            front,
        ),
        Scene(
            target.sheet_width_mm,
            target.sheet_height_mm,
            f"Register target, back, {words}",
            f"{len(target.marks)} rings beside the places of the front's discs, seen from the back"
            f"{', turned half round' if turned else ''}.",
            back,
        ),
    )


def _draw_side(target: Target, side: Side, words: str) -> Iterator[Item]:
    width, height = target.sheet_width_mm, target.sheet_height_mm
    front = side is Side.FRONT

    def across(x_mm: float) -> float:
        return width / 2 + x_mm if front else width / 2 - x_mm

    def down(y_mm: float) -> float:
        return height / 2 + y_mm

    yield from _draw_fold_line(target, front)
    for ruler in target.rulers:
        if ruler.side is side:
            middle = width / 2 if ruler.edge in (Edge.HEAD, Edge.FOOT) else height / 2
            yield from draw_edge_ruler(ruler.edge, middle + ruler.along_mm, width, height)
    for fold in target.folds:
        if fold.side is side:
            yield from draw_fold_ruler(width / 2, down(fold.y_mm), fold.half_mm)
    for scale in target.scales:
        at = across(scale.x_mm), down(scale.y_mm)
        if front:
            yield from draw_front_scale(*at, scale.across, target.pitch_x_mm < _TIGHT_MM)
        else:
            yield from draw_back_scale(*at, scale.across)
    for mark in target.marks:
        x, y = mark.middle
        if front:
            yield draw_disc(across(mark.front_x_mm), down(mark.front_y_mm))
            yield Text(across(x + 0.3), down(y - 2.6), mark.name, _NAME_MM, bold=True)
        else:
            yield draw_ring(across(mark.x_mm), down(mark.y_mm))
            yield Text(across(x - 3.6), down(y + 4.0), mark.name, _NAME_MM, Anchor.MIDDLE, bold=True)
    if front:
        for point in target.code:
            yield draw_disc(across(point[0]), down(point[1]))
    yield from _draw_words(target, side, words)


def _draw_fold_line(target: Target, front: bool) -> Iterator[Item]:
    """Yield the dashed fold line, left out where a mark with its scales lies on it."""
    middle, top = target.sheet_width_mm / 2, target.sheet_height_mm / 2
    left, right = (BLOCK_LEFT_MM, BLOCK_RIGHT_MM) if front else (BLOCK_RIGHT_MM, BLOCK_LEFT_MM)
    on_line = any(
        -left <= (x if front else -x) <= 0 or 0 <= (x if front else -x) <= right
        for x in (-mark.middle[0] for mark in target.marks[: target.columns])
    )
    stretches = [(0.0, target.sheet_height_mm)]
    if on_line:
        stretches = [(0.0, INSET_MM - 9)]
        stretches += [(top + start, top + end) for start, end in target.bands if end - start > 3]
        stretches += [(target.sheet_height_mm - INSET_MM + 16, target.sheet_height_mm)]
    taken = _words_on_line(target, front)
    for start, end in stretches:
        for gone, again in taken:
            if gone < end and start < again:
                if gone - start > 1:
                    yield Line(middle, start, middle, gone, _FOLD)
                start = again
        if end - start > 1:
            yield Line(middle, start, middle, end, _FOLD)


def _bar_top_mm(target: Target, front: bool) -> float:
    """Return where the scale bar begins, mm from the head."""
    bands = target.bands
    index = -1 if front else -2 if len(bands) > 2 else 0
    return bands[index][0] + target.sheet_height_mm / 2 + 1.8


def _words_on_line(target: Target, front: bool) -> list[tuple[float, float]]:
    """Return the heights at which words or the scale bar lie on the fold line: (from, to), mm."""
    taken = []
    if target.bar_mm:
        top = _bar_top_mm(target, front)
        taken.append((top - 0.6, top + 5.0))
        if front and target.bands[0][1] - target.bands[0][0] >= 14:
            taken.append((top + 6.5, top + 10.5))
    if not front and target.bands[0][1] - target.bands[0][0] < 6:
        taken.append((target.sheet_height_mm - 9.6, target.sheet_height_mm - 4.0))
    if front and target.bands[0][1] - target.bands[0][0] < 6:
        taken.append((5.6, 11.0))
    return sorted(taken)


def _draw_words(target: Target, side: Side, words: str) -> Iterator[Item]:
    """Yield the name of the side, the arrow to the head, the scale bar, and how to read the sheet."""
    front = side is Side.FRONT
    name = "FRONT" if front else "BACK"
    width, top = target.sheet_width_mm, target.sheet_height_mm / 2
    bands = [(start + top, end + top) for start, end in target.bands]
    room = bands[0][1] - bands[0][0]
    if room < 6:
        # No room between the rows: between the two rulers at the head or, on the back, at the foot.
        y = 6.0 if front else target.sheet_height_mm - 9.2
        middle = width / 2 - 4.5
        yield draw_arrow(middle - 3.5, y, 4.6)
        yield Text(middle - 1.2, y + 1.9, "HEAD", 2.5, bold=True)
        yield Text(middle - 1.2, y + 4.6, name, 2.5, bold=True)
        return
    band = bands[0] if front else bands[-1]
    left = INSET_MM - BLOCK_LEFT_MM
    size = min(14.0, room * 0.62, (width / 2 - left) * 0.17)
    y = (band[0] + band[1]) / 2
    yield draw_arrow(left + 0.4 * size, y - 0.62 * size, 1.24 * size)
    yield Text(left + 1.1 * size, y - 0.16 * size, "HEAD", 0.48 * size, bold=True)
    yield Text(left + 1.1 * size, y + 0.62 * size, name, 0.92 * size, bold=True)
    if target.bar_mm:
        yield from draw_bar(width / 2, _bar_top_mm(target, front), target.bar_mm)
    if room >= 14:
        head = [f"Register target · {words}", _NOT_TRIED]
        lines = [*head, *_HOW_FRONT] if front else [*head, "Seen from the back."]
        yield from _draw_lines(target, bands, lines, front)


def _draw_lines(
    target: Target, bands: list[tuple[float, float]], lines: list[str], front: bool
) -> Iterator[Item]:
    """Yield small print to the right of the fold on the front's first band, and on the back's last."""
    band = bands[0] if front else bands[-1]
    left = target.sheet_width_mm / 2 + 4
    room = target.sheet_width_mm - INSET_MM + BLOCK_LEFT_MM + 6 - left
    widest = max(text_width_mm(line, 1.0) for line in lines)
    size = min(2.9, room / widest, (band[1] - band[0] - 1.0) / (1.4 * len(lines)))
    y = (band[0] + band[1]) / 2 - 0.7 * size * (len(lines) - 1) + 0.36 * size
    for line in lines:
        yield Text(left, y, line, size)
        y += 1.4 * size
    if front:
        wide = target.sheet_width_mm - 2 * (INSET_MM - BLOCK_LEFT_MM)
        size = min(2.6, wide / text_width_mm(_HOW_RULERS, 1.0))
        low = _bar_top_mm(target, True) + 9.4
        yield Text(target.sheet_width_mm / 2, low, _HOW_RULERS, size, Anchor.MIDDLE)


def _turn(item: Item, width_mm: float, height_mm: float) -> Item:
    """Return a thing turned half round about the middle of the sheet."""
    if isinstance(item, Line):
        return Line(
            width_mm - item.x1_mm,
            height_mm - item.y1_mm,
            width_mm - item.x2_mm,
            height_mm - item.y2_mm,
            item.pen,
        )
    if isinstance(item, Circle | Text):
        # A turned text keeps its anchor, and is written the other way.
        turned = dataclasses.replace(item, x_mm=width_mm - item.x_mm, y_mm=height_mm - item.y_mm)
        if isinstance(turned, Text):
            turned = dataclasses.replace(turned, turn_deg=(turned.turn_deg + 180) % 360)
        return turned
    if isinstance(item, Rect):
        return dataclasses.replace(
            item, x_mm=width_mm - item.x_mm - item.width_mm, y_mm=height_mm - item.y_mm - item.height_mm
        )
    assert isinstance(item, Polyline)  # the target is drawn of nothing else
    points = tuple((width_mm - x, height_mm - y) for x, y in item.points_mm)
    return dataclasses.replace(item, points_mm=points)
