"""Standing is a line: the one place that says how each standing is drawn.

In: a standing word and an outline or a stroke in mm. Out: items whose geometry alone tells the standing.
Never: deciding a standing, or leaving the difference to colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from doublure.errors import DomainError
from doublure.render.scene import Item, Line, Move, Path, Pen, Point, Polyline, Step, Straight, Tone

#: The standing words from strongest to weakest, then the two that stand outside the order.
STANDINGS = ("settled", "supported", "thin", "assumed", "chosen", "disputed", "open")

#: What the line of each looks like, for keys and for descriptions.
LINE_WORDS = {
    "settled": "full and heavy",
    "supported": "full",
    "thin": "dashed",
    "assumed": "dotted",
    "chosen": "double",
    "disputed": "zigzag",
    "open": "corner ticks only",
}

_CORNER_RAD = math.radians(25)


def check_standing(standing: str) -> str:
    """Return the word where it is a standing.

    Raises:
        DomainError: It is none of STANDINGS.
    """
    if standing not in STANDINGS:
        raise DomainError(f'"{standing}" is no standing; one of {", ".join(STANDINGS)}', "standing")
    return standing


def _length(run: Sequence[Point]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(run))


def _along(run: Sequence[Point], at_mm: float) -> tuple[Point, Point]:
    """Return the point so far along a run, and the unit direction there."""
    left = at_mm
    spans = [(a, b, math.dist(a, b)) for a, b in pairwise(run)]
    spans = [s for s in spans if s[2] > 0]
    for i, (a, b, d) in enumerate(spans):
        if left <= d or i == len(spans) - 1:
            t = min(1.0, left / d)
            ux, uy = (b[0] - a[0]) / d, (b[1] - a[1]) / d
            return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])), (ux, uy)
        left -= d
    return run[0], (1.0, 0.0)


def _cut(run: Sequence[Point], start_mm: float, end_mm: float) -> tuple[Point, ...]:
    """Return the stretch of a run between two distances along it."""
    points = [_along(run, start_mm)[0]]
    travelled = 0.0
    for a, b in pairwise(run):
        travelled += math.dist(a, b)
        if start_mm < travelled < end_mm:
            points.append(b)
    points.append(_along(run, end_mm)[0])
    return tuple(points)


def _turns(a: Point, b: Point, c: Point) -> bool:
    first = math.atan2(b[1] - a[1], b[0] - a[0])
    second = math.atan2(c[1] - b[1], c[0] - b[0])
    turn = abs(math.remainder(second - first, math.tau))
    return turn > _CORNER_RAD


def split_at_corners(points: Sequence[Point], closed: bool) -> tuple[tuple[Point, ...], ...]:
    """Return the runs between corners (turns of more than 25°); one run where there is no corner.

    Args:
        points: The outline or stroke, mm; a closed outline does not repeat its first point.
        closed: True for an outline.

    Returns:
        Runs, each of two points or more; those of an outline meet end to start.
    """
    n = len(points)
    if closed:
        corners = [i for i in range(n) if _turns(points[i - 1], points[i], points[(i + 1) % n])]
        if not corners:
            return ((*points, points[0]),)
        runs = []
        for here, there in zip(corners, [*corners[1:], corners[0] + n], strict=True):
            runs.append(tuple(points[i % n] for i in range(here, there + 1)))
        return tuple(runs)
    corners = [i for i in range(1, n - 1) if _turns(points[i - 1], points[i], points[i + 1])]
    edges = [0, *corners, n - 1]
    return tuple(tuple(points[a : b + 1]) for a, b in pairwise(edges))


def inset(points: Sequence[Point], by_mm: float) -> tuple[Point, ...]:
    """Return a closed outline moved inwards by mitred offsets (outwards for a negative by_mm).

    Args:
        points: Simple polygon, mm, either way round.
        by_mm: How far, mm; less than half the narrowest width.

    Returns:
        As many points, mm.
    """
    n = len(points)
    twice_area = sum(points[i - 1][0] * points[i][1] - points[i][0] * points[i - 1][1] for i in range(n))
    side = 1.0 if twice_area > 0 else -1.0
    moved = []
    for i in range(n):
        a, b, c = points[i - 1], points[i], points[(i + 1) % n]
        la, lc = math.dist(a, b) or 1.0, math.dist(b, c) or 1.0
        n1 = (-(b[1] - a[1]) / la * side, (b[0] - a[0]) / la * side)
        n2 = (-(c[1] - b[1]) / lc * side, (c[0] - b[0]) / lc * side)
        bx, by = n1[0] + n2[0], n1[1] + n2[1]
        # The mitre grows without bound at a needle point; three times the offset is far enough.
        scale = by_mm * 2 / max(bx * bx + by * by, 4 / 9)
        moved.append((b[0] + bx * scale, b[1] + by * scale))
    return tuple(moved)


def _stroke(run: Sequence[Point], pen: Pen) -> Item:
    if len(run) == 2:
        return Line(run[0][0], run[0][1], run[1][0], run[1][1], pen)
    return Polyline(tuple(run), pen)


def _dashes(run: Sequence[Point], size: float) -> Item:
    """Dashes fitted so that a run begins and ends with a whole one: corners stay drawn."""
    length = _length(run)
    dash, gap = 1.7 * size, 1.0 * size
    count = max(2, round((length + gap) / (dash + gap)))
    fit = length / (count * dash + (count - 1) * gap)
    return _stroke(run, Pen(0.3 * min(1.0, 0.4 + 0.6 * size), Tone.INK, (dash * fit, gap * fit)))


def _dots(run: Sequence[Point], size: float) -> Item:
    """Dots fitted so that one stands at each end of a run."""
    length = _length(run)
    count = max(2, round(length / (0.95 * size)))
    return _stroke(run, Pen(0.44 * min(1.0, 0.4 + 0.6 * size), Tone.INK, (0.0, length / count), True))


def _zigzag(run: Sequence[Point], size: float) -> list[Point]:
    """Return a zigzag about a run that begins and ends on it."""
    length = _length(run)
    count = max(4, 2 * round(length / (1.5 * size)))
    step, reach = length / count, 0.5 * size
    points = [run[0]]
    for i in range(count):
        (x, y), (ux, uy) = _along(run, (i + 0.5) * step)
        side = reach if i % 2 else -reach
        points.append((x - uy * side, y + ux * side))
    return [*points, run[-1]]


def _steps(points: Sequence[Point], closed: bool = False) -> tuple[Step, ...]:
    steps: list[Step] = [Move(*points[0])]
    steps += [Straight(*p) for p in points[1:]]
    if closed:
        steps.append(Straight(*points[0]))
    return tuple(steps)


def standing_outline(points: Sequence[Point], standing: str, size: float = 1.0) -> tuple[Item, ...]:
    """Draw a closed outline in the line of a standing.

    Args:
        points: The outline, mm, its first point not repeated; at least three.
        standing: One of STANDINGS.
        size: Size of dashes, gaps and zigzags against the usual, > 0; below 1 for small outlines.

    Returns:
        Items without fill. The true edge is the middle of a single line, the outer line of a double one, the
        middle of a zigzag.

    Raises:
        DomainError: The word is no standing.
    """
    check_standing(standing)
    weight = min(1.0, 0.4 + 0.6 * size)
    if standing == "settled":
        return (Polyline(tuple(points), Pen(0.62 * weight), closed=True),)
    if standing == "supported":
        return (Polyline(tuple(points), Pen(0.28 * weight), closed=True),)
    runs = split_at_corners(points, closed=True)
    if standing == "thin":
        return tuple(_dashes(run, size) for run in runs)
    if standing == "assumed":
        return tuple(_dots(run, size) for run in runs)
    if standing == "chosen":
        pen = Pen(0.22 * weight)
        inner = inset(points, 0.8 * size)
        return (Polyline(tuple(points), pen, closed=True), Polyline(inner, pen, closed=True))
    if standing == "disputed":
        zigzag = [p for run in runs for p in _zigzag(run, size)[:-1]]
        return (Path(_steps(zigzag, closed=True), Pen(0.24 * weight, round_ends=True)),)
    ticks: list[Item] = []
    for run in runs if len(runs) > 1 else _quarters(runs[0]):
        length = _length(run)
        tick = min(2.4 * size, 0.3 * length)
        ticks += [
            _stroke(_cut(run, 0, tick), Pen(0.3 * weight)),
            _stroke(_cut(run, length - tick, length), Pen(0.3 * weight)),
        ]
    return tuple(ticks)


def _quarters(run: Sequence[Point]) -> tuple[tuple[Point, ...], ...]:
    """Return a round run cut in four, so that it has places for ticks."""
    length = _length(run)
    return tuple(_cut(run, i * length / 4, (i + 1) * length / 4) for i in range(4))


def standing_stroke(points: Sequence[Point], standing: str, size: float = 1.0) -> tuple[Item, ...]:
    """Draw an open stroke in the line of a standing.

    Args:
        points: The stroke, mm; at least two.
        standing: One of STANDINGS.
        size: As for standing_outline.

    Returns:
        Items without fill, about the stroke; "open" gives a tick at each end only.

    Raises:
        DomainError: The word is no standing.
    """
    check_standing(standing)
    weight = min(1.0, 0.4 + 0.6 * size)
    if standing == "settled":
        return (_stroke(points, Pen(0.62 * weight)),)
    if standing == "supported":
        return (_stroke(points, Pen(0.28 * weight)),)
    runs = split_at_corners(points, closed=False)
    if standing == "thin":
        return tuple(_dashes(run, size) for run in runs)
    if standing == "assumed":
        return tuple(_dots(run, size) for run in runs)
    if standing == "chosen":
        return tuple(_stroke(_beside(points, side * 0.4 * size), Pen(0.22 * weight)) for side in (-1, 1))
    if standing == "disputed":
        zigzag = [p for run in runs for p in _zigzag(run, size)[:-1]]
        return (Path(_steps([*zigzag, points[-1]]), Pen(0.24 * weight, round_ends=True)),)
    length = _length(points)
    tick = min(2.4 * size, 0.3 * length)
    pen = Pen(0.3 * weight)
    return (_stroke(_cut(points, 0, tick), pen), _stroke(_cut(points, length - tick, length), pen))


def _beside(points: Sequence[Point], by_mm: float) -> tuple[Point, ...]:
    """Return a stroke moved sideways; its ends stay level with those of the stroke."""
    moved = []
    for i, (x, y) in enumerate(points):
        before, after = points[max(0, i - 1)], points[min(len(points) - 1, i + 1)]
        d = math.dist(before, after) or 1.0
        moved.append((x - (after[1] - before[1]) / d * by_mm, y + (after[0] - before[0]) / d * by_mm))
    return tuple(moved)


def rect_points(x_mm: float, y_mm: float, width_mm: float, height_mm: float) -> tuple[Point, ...]:
    """Return the four corners of an upright rectangle, clockwise from top left, mm."""
    right, bottom = x_mm + width_mm, y_mm + height_mm
    return ((x_mm, y_mm), (right, y_mm), (right, bottom), (x_mm, bottom))
