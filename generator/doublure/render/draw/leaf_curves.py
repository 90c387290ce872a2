"""The shape of sewn leaves seen from the head: pinched together at the fold, fanned out at the fore-edge.

In: leaves of each gathering, room in mm. Out: where every leaf, gap and fold lies; curves between them.
Never: names, links, standing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.scene import Curve, Move, Path, Pen, Point, curve_points, half_ellipse


@dataclass(frozen=True, slots=True)
class LeafLine:
    """Where one leaf is drawn, mm: at its fold and at its free end."""

    fold_x_mm: float
    fold_y_mm: float
    end_x_mm: float
    end_y_mm: float


def leaf_curve(line: LeafLine) -> Curve:
    """Return the curve of a leaf from its fold to its free end."""
    height = line.fold_y_mm - line.end_y_mm
    return Curve(
        line.fold_x_mm,
        line.fold_y_mm - 0.5 * height,
        line.end_x_mm,
        line.end_y_mm + 0.55 * height,
        line.end_x_mm,
        line.end_y_mm,
    )


def leaf_points(line: LeafLine, steps: int = 14) -> tuple[Point, ...]:
    """Return a leaf as points from its fold to its free end, both included, mm."""
    start = (line.fold_x_mm, line.fold_y_mm)
    return (start, *curve_points(start, leaf_curve(line), steps))


def between(a: LeafLine, b: LeafLine, part: float) -> LeafLine:
    """Return the line that lies so far from a (0) to b (1)."""
    return LeafLine(
        a.fold_x_mm + part * (b.fold_x_mm - a.fold_x_mm),
        a.fold_y_mm + part * (b.fold_y_mm - a.fold_y_mm),
        a.end_x_mm + part * (b.end_x_mm - a.end_x_mm),
        a.end_y_mm + part * (b.end_y_mm - a.end_y_mm),
    )


def sheet_path(left: LeafLine, right: LeafLine, pen: Pen) -> Path:
    """Return a folded sheet: down one leaf, round the fold, up the other."""
    down = leaf_curve(left)
    width = right.fold_x_mm - left.fold_x_mm
    back = Curve(down.c2x_mm, down.c2y_mm, down.c1x_mm, down.c1y_mm, left.fold_x_mm, left.fold_y_mm)
    fold = half_ellipse((left.fold_x_mm, left.fold_y_mm), width, abs(width) / 2)
    return Path((Move(left.end_x_mm, left.end_y_mm), back, *fold, leaf_curve(right)), pen)


def leaf_path(line: LeafLine, pen: Pen) -> Path:
    """Return one leaf alone, from its fold to its free end."""
    return Path((Move(line.fold_x_mm, line.fold_y_mm), leaf_curve(line)), pen)


def fan_leaves(
    centre_mm: float, fold_y_mm: float, end_y_mm: float, count: int, pitch_mm: float
) -> tuple[LeafLine, ...]:
    """Return the leaves of one gathering, from left to right.

    Args:
        centre_mm: Where its fold lies.
        fold_y_mm: Height at which the folds begin to round off (they sag below it).
        end_y_mm: Height of the free ends.
        count: Number of leaves, >= 1.
        pitch_mm: From free end to free end.

    Returns:
        ``count`` lines.
    """
    # However many leaves there are, the fold stays within the spine.
    pinch = min(0.5, 0.2 * pitch_mm, 5.6 / max(1, count - 1))
    offsets = [i - (count - 1) / 2 for i in range(count)]
    return tuple(
        LeafLine(centre_mm + o * pinch, fold_y_mm, centre_mm + o * pitch_mm, end_y_mm) for o in offsets
    )


def conjugates(tipped: Sequence[bool]) -> tuple[tuple[int, int], ...]:
    """Return which leaves of a gathering are the two halves of one sheet, outermost sheet first.

    Args:
        tipped: For each leaf in order, whether it is a single leaf tipped in.

    Returns:
        Pairs of leaf indices from 0.

    Raises:
        DomainError: The leaves that are not tipped in are of an odd number.
    """
    folded = [i for i, single in enumerate(tipped) if not single]
    if len(folded) % 2:
        raise DomainError("A gathering has an even number of leaves besides those tipped in", "leaves")
    half = len(folded) // 2
    return tuple((folded[i], folded[-1 - i]) for i in range(half))


def split_evenly(weights: Sequence[float], rows: int) -> tuple[tuple[int, ...], ...]:
    """Share out things in order among at most so many rows, the heaviest row as light as can be.

    Args:
        weights: Weight of each, > 0.
        rows: How many rows there may be, >= 1.

    Returns:
        For each row the indices in it; no row is empty.
    """
    low, high = max(weights), sum(weights)

    def fill(limit: float) -> list[list[int]]:
        out: list[list[int]] = [[]]
        used = 0.0
        for i, weight in enumerate(weights):
            if out[-1] and used + weight > limit + 1e-9:
                out.append([])
                used = 0.0
            out[-1].append(i)
            used += weight
        return out

    for _ in range(60):
        middle = (low + high) / 2
        if len(fill(middle)) <= rows:
            high = middle
        else:
            low = middle
    return tuple(tuple(row) for row in fill(high))


def spread(wanted: Sequence[float], apart_mm: float, low_mm: float, high_mm: float) -> tuple[float, ...]:
    """Move points in order as little as needed so that none is nearer to the next than apart_mm.

    Args:
        wanted: Where they would stand, ascending, mm.
        apart_mm: Least distance, mm.
        low_mm, high_mm: Where they must stay; together wide enough for all.

    Returns:
        As many places, ascending, mm. Crowded neighbours are centred on where they wanted to stand.

    Source:
        Pool-adjacent-violators for least squares with an order; common practice, no published source.
    """
    if not wanted:
        return ()
    # With i * apart subtracted the wish "at least apart" becomes "never descending".
    blocks: list[list[float]] = []
    for i, at in enumerate(wanted):
        blocks.append([at - i * apart_mm, 1.0])
        while len(blocks) > 1 and blocks[-2][0] >= blocks[-1][0]:
            mean, count = blocks.pop()
            before = blocks[-1]
            before[0] = (before[0] * before[1] + mean * count) / (before[1] + count)
            before[1] += count
    flat = [mean for mean, count in blocks for _ in range(int(count))]
    top = high_mm - (len(wanted) - 1) * apart_mm
    return tuple(min(max(at, low_mm), max(low_mm, top)) + i * apart_mm for i, at in enumerate(flat))
