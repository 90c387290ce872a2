"""Width, height and lengths on a plane that a picture shows, with their uncertainty and how they hang together.

In: PlaneFit, points wanted in px. Out: Lengths, each with its standard uncertainty and its 95 % interval.
Never: fitting the plane, display text.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats  # type: ignore[import-untyped]
from scipy.optimize import brentq  # type: ignore[import-untyped]

from doublure.errors import DomainError
from doublure.trade.imaging.plane_fit import PlaneFit, slope_of

Array = NDArray[np.float64]
Formula = Callable[[Array], Array]

_SAME_PX = 1e-6
COVERED = 0.95


@dataclass(frozen=True, slots=True)
class Lengths:
    """Lengths on the plane.

    Attributes:
        values_mm: The lengths.
        covariance: Of them, mm²; from picking, the known size, and the lens, bias of an uncorrected lens included.
        half_mm: Half width of the interval of each that holds 95 %.
        shares: Variance of each by where it comes from, mm²: picking, known size and lens, bias.
        biases_mm: What the uncorrected lens is taken to add to each; zeros where it was corrected.
        freedom: Effective degrees of freedom of each; math.inf where nothing was estimated from few points.
    """

    values_mm: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    half_mm: tuple[float, ...]
    shares: tuple[tuple[float, float, float], ...]
    biases_mm: tuple[float, ...]
    freedom: tuple[float, ...]

    @property
    def u_mm(self) -> tuple[float, ...]:
        """Standard uncertainty of each."""
        return tuple(math.sqrt(self.covariance[i][i]) for i in range(len(self.values_mm)))

    def correlation(self, first: int = 0, second: int = 1) -> float:
        """Return the coefficient of correlation of two of the lengths; 0 where one of them is exact."""
        product = self.u_mm[first] * self.u_mm[second]
        return self.covariance[first][second] / product if product > 0 else 0.0


def sides_of(corners_mm: Array) -> Array:
    """Return the four sides of a figure: head, right, foot, left of corners named in turn from the head's left."""
    return np.asarray(np.linalg.norm(np.roll(corners_mm, -1, axis=0) - corners_mm, axis=1))


def width_and_height(corners_mm: Array) -> Array:
    """Return width and height of four corners: the means of opposite sides."""
    sides = sides_of(corners_mm)
    return np.array([(sides[0] + sides[2]) / 2, (sides[1] + sides[3]) / 2])


def distance(points_mm: Array) -> Array:
    """Return the distance of two points."""
    return np.array([float(np.linalg.norm(points_mm[1] - points_mm[0]))])


def measure_lengths(
    fit: PlaneFit, wanted_px: Array, formula: Formula, reference: PlaneFit | None = None
) -> Lengths:
    """Return lengths between points of the plane, by a formula of their places in mm.

    The law of propagation of uncertainty of the first order, in all of: the picks of the known points, those of
    the wanted points (a wanted point that is a known point is one pick), the known size, the lens.

    Args:
        fit: The plane.
        wanted_px: Points in the picture, shape (n, 2).
        formula: From their places in mm, shape (n, 2), to the lengths, shape (k,).
        reference: Where fit left the lens uncorrected, the fit that did not: its lengths less those of fit are
            the bias that is left in; they stay as they are, and the interval is widened to hold it.

    Raises:
        DomainError: A wanted point lies where the plane is not to be seen.

    Source:
        JCGM 100:2008, 5.2.2 equation 13 and G.4.1 (effective degrees of freedom), JCGM 102:2011, 6.2; the
        interval around a value with a known bias: S. D. Phillips, K. R. Eberhardt, B. Parry, J. Res. Natl.
        Inst. Stand. Technol. 102 (1997) 577-585 treat the case; here the half width is that of the folded normal
        distribution. From memory. Worked in docs/handbook/methods/measuring.md.
    """
    values = formula(_on_plane(fit, wanted_px))
    source = fit if reference is None else reference
    likely = values if reference is None else formula(_on_plane(source, wanted_px))
    biases = values - likely
    numbers = source.numbers
    by_numbers = slope_of(
        lambda some: formula(source.to_mm(wanted_px, some)), numbers, np.full(len(numbers), 1e-6)
    )
    by_picks = _by_picks(source, wanted_px, formula)
    by_known = by_numbers @ source.gain
    for wanted, point in enumerate(wanted_px):
        for known in np.flatnonzero(np.abs(source.points_px - point).max(axis=1) < _SAME_PX)[:1]:
            by_known[:, 2 * known : 2 * known + 2] += by_picks[:, 2 * wanted : 2 * wanted + 2]
            by_picks[:, 2 * wanted : 2 * wanted + 2] = 0
    picking = source.u_pick_px**2 * (by_known @ by_known.T + by_picks @ by_picks.T)
    rest = by_numbers @ source.rest @ by_numbers.T
    noise = np.maximum(np.diag(picking + rest), 0.0)
    covariance = picking + rest + np.outer(biases, biases)
    freedom = tuple(
        source.freedom * (total / share) ** 2 if share > 0 and math.isfinite(source.freedom) else math.inf
        for total, share in zip(noise, np.diag(picking), strict=True)
    )
    half = tuple(
        half_width(math.sqrt(variance), abs(bias), nu)
        for variance, bias, nu in zip(noise, biases, freedom, strict=True)
    )
    shares = tuple(
        (float(picking[i, i]), float(rest[i, i]), float(biases[i] ** 2)) for i in range(len(values))
    )
    return Lengths(
        tuple(map(float, values)), tuple(tuple(map(float, row)) for row in covariance), half, shares,
        tuple(map(float, biases)), freedom,
    )  # fmt: skip


def half_width(u: float, bias: float = 0.0, freedom: float = math.inf, covered: float = COVERED) -> float:
    """Return the half width of the interval about a value with a bias that covers so much of what it may be.

    Args:
        u: Standard uncertainty without the bias.
        bias: What the value is off, >= 0.
        freedom: Degrees of freedom of u.
        covered: Share that the interval covers.

    Examples:
        >>> round(half_width(1.0), 3), round(half_width(1.0, 10.0), 3)
        (1.96, 11.645)
    """
    if u <= 0:
        return bias
    law = stats.norm if math.isinf(freedom) or freedom > 1e6 else stats.t(freedom)
    z = bias / u
    two_sided = float(law.ppf((1 + covered) / 2))
    if z == 0:
        return two_sided * u
    found = brentq(lambda k: law.cdf(k - z) - law.cdf(-k - z) - covered, 0.0, z + two_sided + 1)
    return float(found) * u


def _by_picks(fit: PlaneFit, wanted_px: Array, formula: Formula) -> Array:
    """Return the derivative of the lengths by the wanted picks: each moves but its own place on the plane."""
    step = 1e-3
    moved = [
        (fit.to_mm(wanted_px + shift) - fit.to_mm(wanted_px - shift)) / (2 * step)
        for shift in (np.array([step, 0.0]), np.array([0.0, step]))
    ]
    places = fit.to_mm(wanted_px)
    size = float(np.ptp(places, axis=0).max()) or 1.0
    by_places = slope_of(
        lambda some: formula(some.reshape(-1, 2)), places.ravel(), np.full(places.size, 1e-6 * size)
    )
    found = np.zeros_like(by_places)
    for axis in (0, 1):
        found[:, axis::2] = by_places[:, ::2] * moved[axis][:, 0] + by_places[:, 1::2] * moved[axis][:, 1]
    return found


def _on_plane(fit: PlaneFit, wanted_px: Array) -> Array:
    """Return places on the plane, mm, of points on this side of its horizon."""
    places = fit.to_mm(wanted_px)
    if not np.isfinite(places).all():
        raise DomainError("a point that is wanted lies where the plane cannot be seen", "wanted")
    bottom = fit.homography[2]
    depths = places @ bottom[:2] + bottom[2]
    known = fit.to_mm(fit.points_px) @ bottom[:2] + bottom[2]
    if (np.sign(depths) != np.sign(known[0])).any():
        raise DomainError("a point that is wanted lies beyond the horizon of the plane", "wanted")
    return places
