"""Parts of the register target: marks, scales read by eye, rulers, the scale bar.

In: places on a side of the sheet, mm from its upper left corner. Out: drawing items. Never: layout.
"""

from __future__ import annotations

from collections.abc import Iterator

from doublure.render.scene import Anchor, Circle, Item, Line, Pen, Polyline, Rect, Text, Tone
from doublure.trade.press.target import (
    BACK_LINES_MM,
    DISC_RADIUS_MM,
    FRONT_LINES_MM,
    LINES_BESIDE,
    RING_INNER_MM,
    RING_OUTER_MM,
    RULER_MM,
    SCALE_BACK_MM,
    SCALE_FRONT_MM,
    Edge,
)

_THIN, _PLAIN, _BOLD = Pen(0.15), Pen(0.25), Pen(0.4)
_FIGURES_MM = 2.2
_SCALE_FIGURES_MM = 1.9
_SMALL_MM = 2.0


def draw_disc(x_mm: float, y_mm: float) -> Item:
    """Return the mark of the front."""
    return Circle(x_mm, y_mm, DISC_RADIUS_MM, fill=Tone.INK)


def draw_ring(x_mm: float, y_mm: float) -> Item:
    """Return the mark of the back."""
    width = RING_OUTER_MM - RING_INNER_MM
    return Circle(x_mm, y_mm, (RING_OUTER_MM + RING_INNER_MM) / 2, pen=Pen(width))


def draw_front_scale(x_mm: float, y_mm: float, across: bool, is_tight: bool) -> Iterator[Item]:
    """Yield the numbered lines of a scale; each figure is the offset where the back's line goes on in it.

    Args:
        x_mm, y_mm: Its zero.
        across: True for the offset to the right.
        is_tight: True to leave the figures at its ends out, for want of room.
    """
    reach = LINES_BESIDE * FRONT_LINES_MM
    yield _ruled(x_mm, y_mm, across, -reach - 0.6, reach + 0.6, 0.0, _THIN)
    for k in range(-LINES_BESIDE, LINES_BESIDE + 1):
        at = k * FRONT_LINES_MM
        # Across: lines stand above the axis; along the height: to its right, the figures outermost.
        end = -SCALE_FRONT_MM if across else SCALE_FRONT_MM
        yield _crossing(x_mm, y_mm, across, at, 0.0, end, _BOLD if k == 0 else _PLAIN)
        if k % 2 == 0 and not (is_tight and abs(k) == LINES_BESIDE):
            words = "0" if k == 0 else f"{'+' if k > 0 else '−'}.{abs(2 * k)}"
            if across:
                yield Text(x_mm + at, y_mm - SCALE_FRONT_MM - 0.5, words, _SCALE_FIGURES_MM, Anchor.MIDDLE)
            else:
                low = y_mm + at + 0.36 * _SCALE_FIGURES_MM
                yield Text(x_mm + SCALE_FRONT_MM + 0.5, low, words, _SCALE_FIGURES_MM)


def draw_back_scale(x_mm: float, y_mm: float, across: bool) -> Iterator[Item]:
    """Yield the lines of the back, as seen from the back."""
    for k in range(-LINES_BESIDE, LINES_BESIDE + 1):
        end = SCALE_BACK_MM + (0.8 if k == 0 else 0.0)
        # To the left of the axis seen from the front is to its right seen from the back.
        yield _crossing(x_mm, y_mm, across, k * BACK_LINES_MM, 0.0, end, _BOLD if k == 0 else _PLAIN)


def draw_edge_ruler(
    edge: Edge, start_mm: float, sheet_width_mm: float, sheet_height_mm: float
) -> Iterator[Item]:
    """Yield a ruler from an edge into the sheet, every millimetre, numbered by the distance from the edge.

    Args:
        edge: The edge.
        start_mm: Where it starts: mm from the head for the edges at the sides, from the left for the others.
        sheet_width_mm, sheet_height_mm: The sheet.
    """
    upright = edge in (Edge.HEAD, Edge.FOOT)
    for mm in range(int(RULER_MM) + 1):
        length = 2.6 if mm % 5 == 0 else 1.5
        from_edge = float(mm)
        if edge is Edge.FOOT:
            from_edge = sheet_height_mm - mm
        elif edge is Edge.RIGHT:
            from_edge = sheet_width_mm - mm
        pen = _BOLD if mm in (0, 10) else _PLAIN if mm % 5 == 0 else _THIN
        if upright:
            yield Line(start_mm - 1.3, from_edge, start_mm - 1.3 + length, from_edge, pen)
            if mm % 5 == 0 and mm:
                yield Text(start_mm + 1.6, from_edge + 0.36 * _SMALL_MM, str(mm), _SMALL_MM)
        else:
            yield Line(from_edge, start_mm - 1.3, from_edge, start_mm - 1.3 + length, pen)
            if mm % 5 == 0 and mm:
                yield Text(from_edge, start_mm + 1.6 + 0.8 * _SMALL_MM, str(mm), _SMALL_MM, Anchor.MIDDLE)
    ends = (0.0, RULER_MM)
    if edge is Edge.FOOT:
        ends = (sheet_height_mm - RULER_MM, sheet_height_mm)
    elif edge is Edge.RIGHT:
        ends = (sheet_width_mm - RULER_MM, sheet_width_mm)
    side = start_mm - 1.3
    yield Line(side, ends[0], side, ends[1], _THIN) if upright else Line(ends[0], side, ends[1], side, _THIN)


def draw_fold_ruler(x_mm: float, y_mm: float, half_mm: float) -> Iterator[Item]:
    """Yield a ruler across the printed fold, its zero on the line."""
    yield Line(x_mm - half_mm, y_mm, x_mm + half_mm, y_mm, _THIN)
    for mm in range(-int(half_mm), int(half_mm) + 1):
        length = 2.4 if mm % 5 == 0 else 1.4
        pen = _BOLD if mm == 0 else _PLAIN if mm % 5 == 0 else _THIN
        yield Line(x_mm + mm, y_mm - length / 2, x_mm + mm, y_mm + length / 2, pen)
        if mm % 5 == 0 and mm:
            words = f"{'+' if mm > 0 else '−'}{abs(mm)}"
            yield Text(x_mm + mm, y_mm + 1.4 + 0.75 * _SMALL_MM, words, _SMALL_MM, Anchor.MIDDLE)


def draw_bar(x_mm: float, y_mm: float, length_mm: float) -> Iterator[Item]:
    """Yield a scale bar centred on x, its upper edge at y, light and dark in turn by the centimetre."""
    left, height = x_mm - length_mm / 2, 1.6
    steps = round(length_mm / 10)
    for step in range(steps):
        fill = Tone.INK if step % 2 == 0 else None
        yield Rect(left + 10 * step, y_mm, 10, height, fill=fill)
    yield Rect(left, y_mm, length_mm, height, pen=_THIN)
    for at, words in ((0.0, "0"), (length_mm / 2, f"{length_mm / 2:g}"), (length_mm, f"{length_mm:g} mm")):
        anchor = Anchor.END if at == length_mm else Anchor.START if at == 0 else Anchor.MIDDLE
        yield Text(left + at, y_mm + height + 0.95 * _FIGURES_MM, words, _FIGURES_MM, anchor)


def draw_arrow(x_mm: float, top_mm: float, height_mm: float) -> Item:
    """Return a solid arrow that points up, its middle at x."""
    half = height_mm * 0.36
    shaft, neck = height_mm * 0.15, top_mm + height_mm * 0.5
    points = (
        (x_mm, top_mm),
        (x_mm + half, neck),
        (x_mm + shaft, neck),
        (x_mm + shaft, top_mm + height_mm),
        (x_mm - shaft, top_mm + height_mm),
        (x_mm - shaft, neck),
        (x_mm - half, neck),
    )
    return Polyline(points, fill=Tone.INK, closed=True)


def _ruled(
    x_mm: float, y_mm: float, across: bool, start_mm: float, end_mm: float, off_mm: float, pen: Pen
) -> Line:
    """Return a line along a scale's axis."""
    if across:
        return Line(x_mm + start_mm, y_mm + off_mm, x_mm + end_mm, y_mm + off_mm, pen)
    return Line(x_mm + off_mm, y_mm + start_mm, x_mm + off_mm, y_mm + end_mm, pen)


def _crossing(
    x_mm: float, y_mm: float, across: bool, at_mm: float, start_mm: float, end_mm: float, pen: Pen
) -> Line:
    """Return a line across a scale's axis."""
    if across:
        return Line(x_mm + at_mm, y_mm + start_mm, x_mm + at_mm, y_mm + end_mm, pen)
    return Line(x_mm + start_mm, y_mm + at_mm, x_mm + end_mm, y_mm + at_mm, pen)
