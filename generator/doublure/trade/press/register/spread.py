"""How the marks of a sheet lie, and what the uncertainty of a fit is at any point for it.

In: places and weights of marks, a model. Out: MarkSpread, covariances per unit variance of a reading.
Never: the readings themselves.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from doublure.errors import DomainError
from doublure.trade.press.register.records import FitModel, MarkReading, MarkSpread

Matrix = tuple[float, float, float, float]
"""A 2 by 2 matrix, row by row."""

PARAMETERS = {FitModel.SHIFT: 2, FitModel.RIGID: 3, FitModel.SIMILARITY: 4, FitModel.AFFINE: 6}
"""How many figures each model fits."""

LEAST_MARKS = {FitModel.SHIFT: 1, FitModel.RIGID: 2, FitModel.SIMILARITY: 2, FitModel.AFFINE: 3}
"""How many marks each model needs."""

LEAST_EXTENT_MM = 1.0
"""Marks that lie closer about one place, or about one line, than this (root mean square) carry no more."""


def weigh_marks(marks: Sequence[MarkReading]) -> tuple[float, ...]:
    """Return the weight of each mark, mean 1: 1/u² where uncertainties are stated.

    A mark without a stated uncertainty beside marks that have one counts as their root mean square.

    Raises:
        DomainError: There is no mark, a number is not finite, or an uncertainty is not greater than 0.
    """
    if not marks:
        raise DomainError("no mark was read on this sheet; at least one is needed", "marks")
    for mark in marks:
        if not all(map(math.isfinite, (mark.x_mm, mark.y_mm, mark.dx_mm, mark.dy_mm))):
            raise DomainError(f"mark {mark.name}: its place and its offset must be finite numbers", "marks")
        if mark.u_mm is not None and not (math.isfinite(mark.u_mm) and mark.u_mm > 0):
            raise DomainError(
                f"mark {mark.name}: an uncertainty of {mark.u_mm!r} mm cannot be; it must be greater than 0",
                "marks",
            )
    usual = state_uncertainty(marks)
    if usual is None:
        return (1.0,) * len(marks)
    raw = [(usual / (mark.u_mm or usual)) ** 2 for mark in marks]
    mean = math.fsum(raw) / len(raw)
    return tuple(weight / mean for weight in raw)


def state_uncertainty(marks: Sequence[MarkReading]) -> float | None:
    """Return the root mean square of the stated uncertainties, mm; None where none is stated."""
    stated = [mark.u_mm for mark in marks if mark.u_mm is not None]
    return math.sqrt(math.fsum(u * u for u in stated) / len(stated)) if stated else None


def spread_marks(marks: Sequence[MarkReading], weights: Sequence[float]) -> MarkSpread:
    """Return how the marks lie about their weighted mean."""
    total = math.fsum(weights)
    x0 = math.fsum(w * m.x_mm for w, m in zip(weights, marks, strict=True)) / total
    y0 = math.fsum(w * m.y_mm for w, m in zip(weights, marks, strict=True)) / total
    xx = math.fsum(w * (m.x_mm - x0) ** 2 for w, m in zip(weights, marks, strict=True))
    xy = math.fsum(w * (m.x_mm - x0) * (m.y_mm - y0) for w, m in zip(weights, marks, strict=True))
    yy = math.fsum(w * (m.y_mm - y0) ** 2 for w, m in zip(weights, marks, strict=True))
    stated = (math.sqrt(w) * m.u_mm for w, m in zip(weights, marks, strict=True) if m.u_mm is not None)
    return MarkSpread(total, x0, y0, xx, xy, yy, next(stated, None))


def carries(spread: MarkSpread, marks: int, model: FitModel) -> bool:
    """Return whether so many marks that lie so determine a model."""
    if marks < LEAST_MARKS[model]:
        return False
    least = spread.weight * LEAST_EXTENT_MM**2
    if model is FitModel.SHIFT:
        return True
    if model is FitModel.AFFINE:
        half = (spread.xx_mm2 + spread.yy_mm2) / 2
        return half - math.hypot((spread.xx_mm2 - spread.yy_mm2) / 2, spread.xy_mm2) >= least
    return spread.xx_mm2 + spread.yy_mm2 >= least


def invert_spread(spread: MarkSpread) -> tuple[float, float, float]:
    """Return xx, xy and yy of the inverse of the sums of squares and products, 1/mm²."""
    det = spread.xx_mm2 * spread.yy_mm2 - spread.xy_mm2**2
    return spread.yy_mm2 / det, -spread.xy_mm2 / det, spread.xx_mm2 / det


def relate_points(
    spread: MarkSpread, model: FitModel, first: tuple[float, float], second: tuple[float, float]
) -> Matrix:
    """Return the covariance of the fitted misfits at two points, per unit variance of one coordinate read.

    With r and s the points seen from the centre of the marks, W the sum of the weights, m the sum of the
    squared distances from it, S the matrix of sums of squares and products, n = (-r_y, r_x):

        shift       I/W
        rigid       I/W + n(r) n(s)' / m
        similarity  I/W + [r·s, r_x s_y - r_y s_x; r_y s_x - r_x s_y, r·s] / m
        affine      (1/W + r' S⁻¹ s) I

    Args:
        spread: How the marks lie.
        model: What was fitted; the spread must carry it.
        first, second: Points, mm, register coordinates.

    Returns:
        Row by row: rows for the coordinates at the first point, columns for the second.

    Source:
        Linear least squares. The trace at one point is the target registration error of Fitzpatrick, West
        and Maurer, IEEE Trans. Med. Imaging 17 (1998) 694-702, in two dimensions; docs/handbook/methods/
        register.md.
    """
    rx, ry = first[0] - spread.centre_x_mm, first[1] - spread.centre_y_mm
    sx, sy = second[0] - spread.centre_x_mm, second[1] - spread.centre_y_mm
    one = 1 / spread.weight
    if model is FitModel.SHIFT:
        return one, 0.0, 0.0, one
    if model is FitModel.AFFINE:
        xx, xy, yy = invert_spread(spread)
        both = one + rx * (xx * sx + xy * sy) + ry * (xy * sx + yy * sy)
        return both, 0.0, 0.0, both
    square = spread.xx_mm2 + spread.yy_mm2
    if model is FitModel.RIGID:
        return one + ry * sy / square, -ry * sx / square, -rx * sy / square, one + rx * sx / square
    both, cross = one + (rx * sx + ry * sy) / square, (rx * sy - ry * sx) / square
    return both, cross, -cross, both


def shared_sigma(spread: MarkSpread, unseen_mm: float) -> float:
    """Return the standard deviation of a reading, mm, that makes all marks of a sheet together count as one.

    For an error that the marks share: a scale whose lines agree at every mark leaves the same open at every mark.
    With it, `relate_points` has nowhere a variance below that of one reading.
    """
    return unseen_mm * math.sqrt(spread.weight)
