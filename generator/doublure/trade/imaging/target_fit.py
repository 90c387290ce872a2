"""Fits a blurred disc or ring to the pixels round it, in the plane of the sheet.

In: an evened picture, a view, where a mark is about. Out: ShapeFit, its middle to a small part of a pixel.
Never: finding marks.
The shape is fitted where it is a circle, on the sheet, so that perspective, which moves the middle of a circle's
picture away from the picture of its middle, has no part in it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares  # type: ignore[import-untyped]
from scipy.special import erfc  # type: ignore[import-untyped]

from doublure.trade.imaging.target_view import View

Array = NDArray[np.float64]

#: How far beyond its edge a shape's surroundings are looked at, mm.
_ROUND_MM = 1.1
_BLUR_START_MM, _BLUR_MOST_MM = 0.25, 1.2
#: Pixels that one fit uses at the most; of finer pictures every second or third is taken.
_MOST_PIXELS = 9000
_LEAST_PIXELS = 60
#: Paper is cloudy over about this length, so neighbouring pixels err alike.
_CLOUD_MM = 0.8


@dataclass(frozen=True, slots=True)
class ShapeFit:
    """A shape as it was found.

    Attributes:
        x_mm, y_mm: Its middle on the sheet.
        u_mm: Standard uncertainty of each, from the pixels.
        contrast: Share of the light that it takes away.
        blur_mm: Standard deviation of its edge's blur.
        agreement: Share of the pixels' variance that the shape explains, beside an even slope, 0 to 1.
    """

    x_mm: float
    y_mm: float
    u_mm: float
    contrast: float
    blur_mm: float
    agreement: float


def fit_shape(
    even: NDArray[np.float32], view: View, x_mm: float, y_mm: float, outer_mm: float, inner_mm: float = 0.0
) -> ShapeFit | None:
    """Fit a disc (inner 0) or a ring; None where the picture does not hold it or the fit fails.

    Args:
        even: The picture, its light evened out.
        view: Of the sheet.
        x_mm, y_mm: Where its middle is, to about a millimetre.
        outer_mm, inner_mm: Radii.
    """
    centre = (x_mm, y_mm)
    found: ShapeFit | None = None
    for _ in range(3):
        pixels = _cut_out(even, view, *centre, outer_mm + _ROUND_MM)
        if pixels is None:
            return None
        found = _fit(*pixels, centre, outer_mm, inner_mm)
        if found is None:
            return None
        moved = math.hypot(found.x_mm - centre[0], found.y_mm - centre[1])
        centre = (found.x_mm, found.y_mm)
        if moved < 0.15:
            return found
    return found


def _cut_out(
    even: NDArray[np.float32], view: View, x_mm: float, y_mm: float, reach_mm: float
) -> tuple[Array, Array, Array] | None:
    """Return x and y on the sheet, mm, and value of each pixel within reach of a point."""
    round_mm = np.array([(math.cos(a), math.sin(a)) for a in np.arange(16) * math.pi / 8]) * reach_mm
    outline = view.to_px(round_mm + np.array([x_mm, y_mm]))
    if not np.isfinite(outline).all():
        return None
    (left, top), (right, bottom) = np.floor(outline.min(axis=0)), np.ceil(outline.max(axis=0))
    height, width = even.shape
    if left < 0 or top < 0 or right > width - 1 or bottom > height - 1 or right - left > 3000:
        return None
    step = max(1, math.ceil(math.sqrt((right - left) * (bottom - top) / _MOST_PIXELS)))
    v, u = np.mgrid[int(top) : int(bottom) + 1 : step, int(left) : int(right) + 1 : step]
    places = view.to_mm(np.stack([u, v], axis=-1).astype(np.float64))
    x, y = places[..., 0].ravel(), places[..., 1].ravel()
    near = np.hypot(x - x_mm, y - y_mm) < reach_mm
    if near.sum() < _LEAST_PIXELS:
        return None
    return x[near], y[near], even[v, u].ravel()[near].astype(np.float64)


def _shape(away: Array, outer_mm: float, inner_mm: float, blur_mm: float) -> Array:
    """Return how much of a blurred disc or ring is at a distance from its middle, 0 to 1."""
    soft = math.sqrt(2) * blur_mm
    ink = 0.5 * erfc((away - outer_mm) / soft)
    if inner_mm:
        ink = ink - 0.5 * erfc((away - inner_mm) / soft)
    return np.asarray(ink)


def _fit(
    x: Array, y: Array, value: Array, centre: tuple[float, float], outer_mm: float, inner_mm: float
) -> ShapeFit | None:
    flat = np.stack([np.ones_like(x), x - centre[0], y - centre[1]])

    def solve(numbers: Array, weights: Array) -> tuple[Array, Array, float]:
        """Return the residuals, the shape and its contrast; what enters evenly is solved for directly."""
        away = np.hypot(x - centre[0] - numbers[0], y - centre[1] - numbers[1])
        blur = min(_BLUR_MOST_MM, math.exp(min(1.0, float(numbers[2]))))
        # Toner spreads, or does not reach the edge: both edges of a ring move by the same.
        grown = float(np.clip(numbers[3], -0.4, 0.4))
        shape = _shape(away, outer_mm + grown, inner_mm - grown if inner_mm else 0.0, blur)
        rows = np.vstack([flat, shape])
        weighted = rows * weights
        solution = np.linalg.solve(weighted @ weighted.T, weighted @ (value * weights))
        return np.asarray((value - solution @ rows) * weights), shape, float(solution[3])

    weights = np.ones_like(value)
    numbers = np.array([0.0, 0.0, math.log(_BLUR_START_MM), 0.0])
    try:
        for _ in range(2):
            held = weights
            result = least_squares(lambda n, w=held: solve(n, w)[0], numbers, method="lm", max_nfev=60, xtol=1e-6)
            numbers = result.x
            residual, shape, solved = solve(numbers, np.ones_like(value))
            spread = 1.4826 * float(np.median(np.abs(residual))) + 1e-6
            # Pixels that something else lies on count for little.
            weights = np.sqrt(1 / (1 + (residual / (3 * spread)) ** 2))
    except (ValueError, np.linalg.LinAlgError):
        return None
    moved = math.hypot(float(numbers[0]), float(numbers[1]))
    contrast = -solved
    if not math.isfinite(moved) or moved > 2.0 or contrast <= 0:
        return None
    agreement = _agreement(value, flat, residual)
    covariance = np.linalg.pinv(result.jac.T @ result.jac)
    area = math.pi * (outer_mm + _ROUND_MM) ** 2 / len(value)
    alike = max(1.0, _CLOUD_MM**2 / area)
    u = math.sqrt(max(0.0, (covariance[0, 0] + covariance[1, 1]) / 2) * alike) * spread
    return ShapeFit(
        centre[0] + float(numbers[0]),
        centre[1] + float(numbers[1]),
        u,
        contrast,
        math.exp(min(1.0, float(numbers[2]))),
        agreement,
    )


def _agreement(value: Array, flat: Array, residual: Array) -> float:
    slope, *_ = np.linalg.lstsq(flat.T, value, rcond=None)
    before = value - slope @ flat
    total = float(before @ before)
    return max(0.0, 1 - float(residual @ residual) / total) if total > 0 else 0.0
