"""Lengths from a picture without a full reference plane: by one known length, or by a coin seen as an ellipse.

In: picked points, the known length or diameter, a lens, the error of picking. Out: Lengths.
Never: perspective, which these references cannot show; what that may cost is stated or added.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares  # type: ignore[import-untyped]

from doublure.errors import DomainError
from doublure.trade.imaging.plane_lengths import Formula, Lengths, half_width
from doublure.trade.imaging.plane_lens import AnyLens
from doublure.trade.imaging.plane_propagation import propagate

Array = NDArray[np.float64]

#: From known points, wanted points, known size and lens to lengths.
_Lengths = Callable[[Array, Array, float, AnyLens], Array]
#: Points that an ellipse takes at the least.
LEAST_RIM = 5


@dataclass(frozen=True, slots=True)
class Ellipse:
    """An ellipse: (p - centre)ᵀ shape (p - centre) = 1.

    Attributes:
        centre_px: Its centre.
        shape: Symmetric, 2 rows of 2, 1/px².
        half_axes_px: The longer and the shorter half axis.
        spread_px: Root mean square by which its points lie off it, over the degrees of freedom; 0 for five points.
    """

    centre_px: tuple[float, float]
    shape: tuple[tuple[float, float], tuple[float, float]]
    half_axes_px: tuple[float, float]
    spread_px: float

    @property
    def tilt_rad(self) -> float:
        """How far a circle that shows so is tilted, perspective left aside."""
        return math.acos(min(1.0, self.half_axes_px[1] / self.half_axes_px[0]))


def fit_ellipse(points_px: Array) -> Ellipse:
    """Fit an ellipse to at least five points by least squares of their distance from it, to the first order.

    Raises:
        DomainError: Too few points, or points that lie on no ellipse.

    Source:
        The distance: P. D. Sampson, Computer Graphics and Image Processing 18 (1982) 97-108, from memory.
    """
    if len(points_px) < LEAST_RIM:
        raise DomainError(
            f"an ellipse takes at least {LEAST_RIM} points of its rim; here are {len(points_px)}", "rim"
        )
    none = DomainError("these points lie on no ellipse; pick points all round the rim", "rim")
    middle = points_px.mean(axis=0)
    reach = float(np.linalg.norm(points_px - middle, axis=1).mean())
    if not reach > 0:
        raise none
    x, y = ((points_px - middle) / reach).T
    _, _, turned = np.linalg.svd(np.stack([x * x, x * y, y * y, x, y, np.ones_like(x)], axis=1))
    a, b, c, d, e, f = turned[-1]
    if 4 * a * c - b * b <= 1e-9:
        raise none
    quadric = np.array([[a, b / 2], [b / 2, c]])
    centre = -np.linalg.solve(2 * quadric, np.array([d, e]))
    size = float(centre @ quadric @ centre) - f
    shape = quadric / size
    if not (np.linalg.eigvalsh(shape) > 0).all():
        raise none
    start = np.concatenate([centre, np.linalg.cholesky(shape)[(0, 1, 1), (0, 0, 1)]])
    scaled = np.stack([x, y], axis=1)

    def misses(five: Array) -> Array:
        away = scaled - five[:2]
        root = np.array([[five[2], 0], [five[3], five[4]]])
        bent = away @ (root @ root.T)
        return np.asarray(
            ((bent * away).sum(axis=1) - 1) / np.maximum(2 * np.linalg.norm(bent, axis=1), 1e-9)
        )

    found = least_squares(misses, start, method="lm", xtol=1e-12, ftol=1e-12)
    root = np.array([[found.x[2], 0], [found.x[3], found.x[4]]])
    best = root @ root.T / reach**2
    widths = np.linalg.eigvalsh(best)
    if not (np.isfinite(widths).all() and widths[0] > 0):
        raise none
    at = middle + found.x[:2] * reach
    freedom = len(points_px) - 5
    spread = math.sqrt(float(found.fun @ found.fun) / freedom) * reach if freedom else 0.0
    rows = ((float(best[0, 0]), float(best[0, 1])), (float(best[1, 0]), float(best[1, 1])))
    axes = (1 / math.sqrt(widths[0]), 1 / math.sqrt(widths[1]))
    return Ellipse((float(at[0]), float(at[1])), rows, axes, spread)


def measure_by_length(
    known_px: Array,
    length_mm: float,
    u_length_mm: float,
    wanted_px: Array,
    formula: Formula,
    lens: AnyLens,
    u_pick_px: float,
) -> Lengths:
    """Return lengths by one known length, with the plane taken to lie parallel to the picture.

    Args:
        known_px: Its two ends, shape (2, 2).
        length_mm, u_length_mm: Its length and the standard uncertainty of that.
        wanted_px: Points wanted, shape (n, 2).
        formula: From their places in mm to lengths.
        lens: With the covariance of its numbers.
        u_pick_px: Standard uncertainty of a pick.

    Raises:
        DomainError: The ends lie on one spot.
    """
    if length_mm <= 0 or u_length_mm < 0:
        raise DomainError("a known length is above nought", "length_mm")
    if float(np.linalg.norm(known_px[1] - known_px[0])) < 2:
        raise DomainError("the two ends of the known length lie on one spot", "known")

    def lengths(known: Array, wanted: Array, size_mm: float, some: AnyLens) -> Array:
        ends = some.straighten(known)
        return formula(some.straighten(wanted) * (size_mm / float(np.linalg.norm(ends[1] - ends[0]))))

    return _carry(lengths, known_px, wanted_px, (length_mm, u_length_mm), lens, u_pick_px, 0.0)


def measure_by_coin(
    rim_px: Array,
    diameter_mm: float,
    u_diameter_mm: float,
    wanted_px: Array,
    formula: Formula,
    lens: AnyLens,
    u_pick_px: float,
    focal_px: float,
) -> Lengths:
    """Return lengths by a circle of known diameter that lies in their plane and shows as an ellipse.

    The ellipse is the measure: a vector d of the picture has the length (D/2)·√(dᵀ Q d), whichever way the plane
    is tilted. What perspective changes between the coin and the points wanted, the ellipse cannot show: along the
    tilt the scale changes by tan τ / f for each pixel, and foreshortening once more; twice that, over the way
    from the coin to the farthest point, is the half width of a rectangular distribution.

    Args:
        rim_px: Points of the rim, shape (n, 2), n >= 5.
        diameter_mm, u_diameter_mm: Of the coin.
        wanted_px, formula, lens, u_pick_px: As for measure_by_length.
        focal_px: Focal length, or the shortest that may be.

    Raises:
        DomainError: The points lie on no ellipse.

    Source:
        Derived in docs/handbook/methods/measuring.md; rectangular distribution: JCGM 100:2008, 4.3.7.
    """
    if diameter_mm <= 0 or u_diameter_mm < 0:
        raise DomainError("a diameter is above nought", "diameter_mm")

    def lengths(rim: Array, wanted: Array, size_mm: float, some: AnyLens) -> Array:
        ellipse = fit_ellipse(some.straighten(rim))
        root = np.linalg.cholesky(np.array(ellipse.shape))
        return formula(some.straighten(wanted) @ root * (size_mm / 2))

    ellipse = fit_ellipse(lens.straighten(rim_px))
    away = np.linalg.norm(lens.straighten(wanted_px) - np.array(ellipse.centre_px), axis=1)
    share = 2 * float(away.max()) * math.tan(ellipse.tilt_rad) / focal_px / math.sqrt(3)
    return _carry(lengths, rim_px, wanted_px, (diameter_mm, u_diameter_mm), lens, u_pick_px, share)


def _carry(
    call: _Lengths,
    known: Array,
    wanted: Array,
    size: tuple[float, float],
    lens: AnyLens,
    u_px: float,
    share: float,
) -> Lengths:
    """Return lengths with what picks, size, lens and perspective leave open."""
    count, picks = known.size, known.size + wanted.size
    inputs = np.concatenate([known.ravel(), wanted.ravel(), [size[0]], lens.numbers])
    covariance = np.zeros((len(inputs), len(inputs)))
    covariance[:picks, :picks] = np.eye(picks) * u_px**2
    covariance[picks, picks] = size[1] ** 2
    covariance[picks + 1 :, picks + 1 :] = lens.covariance_of_numbers

    def formula(some: Array) -> Array:
        given = some[:count].reshape(-1, 2), some[count:picks].reshape(-1, 2)
        return np.asarray(call(*given, float(some[picks]), lens.with_numbers(some[picks + 1 :])))

    found = propagate(formula, inputs, covariance)
    slopes = found.slopes[:, :picks]
    picking = u_px**2 * (slopes @ slopes.T)
    whole = found.covariance + share**2 * np.outer(found.values, found.values)
    u = np.sqrt(np.diag(whole))
    return Lengths(
        tuple(map(float, found.values)),
        tuple(tuple(map(float, row)) for row in whole),
        tuple(half_width(float(one)) for one in u),
        tuple((float(picking[i, i]), float(whole[i, i] - picking[i, i]), 0.0) for i in range(len(u))),
        (0.0,) * len(u),
        (math.inf,) * len(u),
    )
