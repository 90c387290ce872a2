"""Least squares of a register map to marks, in closed form.

In: marks, weights, a model that they carry. Out: map, residuals. Never: choosing the model, leaving marks out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from doublure.trade.press.affine import Affine
from doublure.trade.press.register.records import FitModel, MarkReading, MarkSpread


def solve_map(
    model: FitModel, marks: Sequence[MarkReading], weights: Sequence[float], spread: MarkSpread
) -> Affine:
    """Return the map of a model that takes the marks nearest to where the back's marks lie.

    Both sets are centred first. Of the sums of products of nominal place (x, y) and offset (dx, dy), the
    similarity is 1 + (Σ x·dx + y·dy)/m and (Σ x·dy - y·dx)/m, the rotation is the angle of these two, and the
    affine map is I + D S⁻¹. Offsets, not places, are summed: nothing is lost to rounding.

    Args:
        model: What to fit; the spread must carry it.
        marks: The readings.
        weights: Their weights.
        spread: Of these marks with these weights.

    Source:
        S. Umeyama, IEEE Trans. Pattern Anal. Mach. Intell. 13 (1991) 376-380, in two dimensions without a
        mirrored solution (a back that lies mirrored is no register error); text not seen, its example is
        recomputed in the tests.
    """
    total, x0, y0 = spread.weight, spread.centre_x_mm, spread.centre_y_mm
    pairs = tuple(zip(weights, marks, strict=True))
    mean_dx = math.fsum(w * m.dx_mm for w, m in pairs) / total
    mean_dy = math.fsum(w * m.dy_mm for w, m in pairs) / total
    if model is FitModel.SHIFT:
        return Affine(x_mm=mean_dx, y_mm=mean_dy)
    x_dx = math.fsum(w * (m.x_mm - x0) * (m.dx_mm - mean_dx) for w, m in pairs)
    x_dy = math.fsum(w * (m.x_mm - x0) * (m.dy_mm - mean_dy) for w, m in pairs)
    y_dx = math.fsum(w * (m.y_mm - y0) * (m.dx_mm - mean_dx) for w, m in pairs)
    y_dy = math.fsum(w * (m.y_mm - y0) * (m.dy_mm - mean_dy) for w, m in pairs)
    if model is FitModel.AFFINE:
        det = spread.xx_mm2 * spread.yy_mm2 - spread.xy_mm2**2
        xx = 1 + (x_dx * spread.yy_mm2 - y_dx * spread.xy_mm2) / det
        xy = (y_dx * spread.xx_mm2 - x_dx * spread.xy_mm2) / det
        yx = (x_dy * spread.yy_mm2 - y_dy * spread.xy_mm2) / det
        yy = 1 + (y_dy * spread.xx_mm2 - x_dy * spread.xy_mm2) / det
    else:
        square = spread.xx_mm2 + spread.yy_mm2
        along, across = 1 + (x_dx + y_dy) / square, (x_dy - y_dx) / square
        if model is FitModel.RIGID:
            length = math.hypot(along, across)
            along, across = (along / length, across / length) if length > 0 else (1.0, 0.0)
        xx, xy, yx, yy = along, -across, across, along
    return Affine(
        xx, xy, yx, yy,
        x0 + mean_dx - xx * x0 - xy * y0,
        y0 + mean_dy - yx * x0 - yy * y0,
    )  # fmt: skip


def find_residuals(register: Affine, marks: Sequence[MarkReading]) -> tuple[tuple[float, float], ...]:
    """Return how far each mark of the back lies from where the map puts it, mm."""
    placed = [register.apply(mark.x_mm, mark.y_mm) for mark in marks]
    return tuple(
        (mark.x_mm + mark.dx_mm - x, mark.y_mm + mark.dy_mm - y)
        for mark, (x, y) in zip(marks, placed, strict=True)
    )


def sum_squares(residuals: Sequence[tuple[float, float]], weights: Sequence[float]) -> float:
    """Return the weighted sum of squared residuals, mm²."""
    return math.fsum(w * (x * x + y * y) for w, (x, y) in zip(weights, residuals, strict=True))
