"""Section hatching: slanting strokes that fill a rectangle.

In: a rectangle on the drawing. Out: one path. Never: saying what is hatched.
"""

from __future__ import annotations

from doublure.render.scene import Move, Path, Pen, Step, Straight


def hatch(
    x_mm: float, y_mm: float, width_mm: float, height_mm: float, pen: Pen, apart_mm: float = 1.3
) -> Path | None:
    """Fill a rectangle with strokes at 45°, rising to the right.

    Args:
        x_mm, y_mm, width_mm, height_mm: The rectangle.
        pen: What the strokes are drawn with.
        apart_mm: Distance along an edge from stroke to stroke, > 0.

    Returns:
        One path within the rectangle; None where it is too small for a stroke.
    """
    steps: list[Step] = []
    for i in range(1, int((width_mm + height_mm) / apart_mm) + 1):
        # The stroke on which x + y = c, from the left or lower edge to the upper or right one.
        c = i * apart_mm
        x1, y1 = (0.0, c) if c <= height_mm else (c - height_mm, height_mm)
        x2, y2 = (c, 0.0) if c <= width_mm else (width_mm, c - width_mm)
        if x2 > x1:
            steps += [Move(x_mm + x1, y_mm + y1), Straight(x_mm + x2, y_mm + y2)]
    return Path(tuple(steps), pen) if steps else None
