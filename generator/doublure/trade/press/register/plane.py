"""Errors in a plane, normal or Student's: the share within a circle, the length that a share stays below.

In: mean, covariance, degrees of freedom. Out: shares, lengths. Never: where they come from.
Student's t in the plane is the normal whose variance was itself estimated; one degree of freedom for both axes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any

from doublure.trade.press.register.roots import find_root

_NODES = 12
"""Of a Gauss rule on each piece."""


@dataclass(frozen=True, slots=True)
class PlaneError:
    """An error in a plane.

    Attributes:
        mean_x_mm, mean_y_mm: Mean (centre).
        xx_mm2, xy_mm2, yy_mm2: Squares of the scale: the covariance, for the normal.
        degrees: Of freedom of the scale, > 0; infinite for the normal.
    """

    mean_x_mm: float
    mean_y_mm: float
    xx_mm2: float
    xy_mm2: float
    yy_mm2: float
    degrees: float = math.inf


def share_within(error: PlaneError, radius_mm: float) -> float:
    """Return the probability that the error is no longer than a radius.

    Along the principal axes the two coordinates are uncorrelated. The share is the integral over the first, u
    from -R to R, of its density times the share of the second within ±√(R² - u²), which for Student's t, given
    u, is a t with one degree more whose scale has grown by √((n + (u - mean)²/s²)/(n + 1)). With u = R sin a the
    integrand is smooth; it is cut where the density changes fast and summed by Gauss's rule.

    Args:
        error: The error.
        radius_mm: R, mm.

    Source:
        Conditional distribution of the bivariate t: any handbook of multivariate t distributions, from memory;
        the tests compare with simulation and with the noncentral chi-square distribution of scipy.

    Examples:
        >>> round(share_within(PlaneError(0, 0, 1, 0, 1), 2), 6)  # 1 - exp(-2)
        0.864665
    """
    import numpy as np
    from scipy.special import ndtr, stdtr  # type: ignore[import-untyped]

    if radius_mm <= 0:
        return 0.0
    half, off = (error.xx_mm2 + error.yy_mm2) / 2, (error.xx_mm2 - error.yy_mm2) / 2
    apart = math.hypot(off, error.xy_mm2)
    angle = math.atan2(error.xy_mm2, off) / 2
    sd_u, sd_v = math.sqrt(max(half + apart, 0.0)), math.sqrt(max(half - apart, 0.0))
    mean_u = error.mean_x_mm * math.cos(angle) + error.mean_y_mm * math.sin(angle)
    mean_v = error.mean_y_mm * math.cos(angle) - error.mean_x_mm * math.sin(angle)
    if sd_u <= 1e-9 * radius_mm:
        return 1.0 if math.hypot(mean_u, mean_v) <= radius_mm else 0.0
    normal = math.isinf(error.degrees)
    n = error.degrees
    # A width below this is none: the share does not know it from a line.
    sd_v = max(sd_v, 1e-9 * radius_mm)
    steps = (0.5, 1.5, 3.0, 5.0, 9.0) if normal else (0.5, 1.5, 4.0, 12.0, 40.0, 150.0, 600.0)
    cuts = {-math.pi / 2, 0.0, math.pi / 2}
    for at in (0.0, *steps, *(-step for step in steps)):
        if abs(mean_u + at * sd_u) < radius_mm:
            cuts.add(math.asin((mean_u + at * sd_u) / radius_mm))
    # The other coordinate changes fast where the circle passes its mean.
    for at in (0.0, 1.0, 3.0, -1.0, -3.0):
        if 0 < abs(mean_v) + at * sd_v < radius_mm:
            turn = math.acos((abs(mean_v) + at * sd_v) / radius_mm)
            cuts |= {turn, -turn}
    edges = np.array(sorted(cuts))
    nodes, weights = _gauss_rule()
    middle, width = (edges[1:] + edges[:-1]) / 2, (edges[1:] - edges[:-1]) / 2
    a = (middle[:, None] + width[:, None] * nodes).ravel()
    w = (width[:, None] * weights).ravel()
    u, reach = radius_mm * np.sin(a), radius_mm * np.cos(a)
    z = (u - mean_u) / sd_u
    if normal:
        density = np.exp(-z * z / 2) / math.sqrt(math.tau)
        inner = ndtr((reach - mean_v) / sd_v) - ndtr((-reach - mean_v) / sd_v)
    else:
        log_top = math.lgamma((n + 1) / 2) - math.lgamma(n / 2) - math.log(n * math.pi) / 2
        density = np.exp(log_top - (n + 1) / 2 * np.log1p(z * z / n))
        scale = sd_v * np.sqrt((n + z * z) / (n + 1))
        inner = stdtr(n + 1, (reach - mean_v) / scale) - stdtr(n + 1, (-reach - mean_v) / scale)
    share = float(np.sum(w * density * inner * reach)) / sd_u
    return min(max(share, 0.0), 1.0)


@cache
def _gauss_rule() -> tuple[Any, Any]:
    """Return nodes and weights of the rule on -1 to 1, worked out once."""
    import numpy as np

    return np.polynomial.legendre.leggauss(_NODES)


def length_below(error: PlaneError, share: float) -> float:
    """Return the length, mm, that the error stays below with a probability.

    Args:
        error: The error.
        share: Probability, above 0 and below 1.

    Examples:
        >>> round(length_below(PlaneError(0, 0, 1, 0, 1), 0.95), 4)  # √(-2 ln 0.05)
        2.4477
    """
    shift = math.hypot(error.mean_x_mm, error.mean_y_mm)
    spread = math.sqrt(max(error.xx_mm2 + error.yy_mm2, 0.0))
    if spread <= 1e-9 * max(shift, 1e-6):
        return shift
    high = shift + 2 * spread
    while share_within(error, high) < share:
        high = shift + 2 * (high - shift)
    return find_root(lambda radius: share_within(error, radius) - share, 0.0, high, 1e-7 * high)


def expect_length(error: PlaneError) -> float:
    """Return the expected length, mm, of an error whose covariance is known, as for the normal.

    The mean over all directions: |d| = π/2 times the mean over the half circle of |d·e|, and the mean of
    |d·e| is that of a folded normal. For Student's t its scale is taken for the standard deviation: what is
    expected does not grow because the spread is known less well.

    Source:
        Folded normal: F. C. Leone, L. S. Nelson and R. B. Nottingham, Technometrics 3 (1961) 543-550, from
        memory. That of the direction: Cauchy's formula for lengths.

    Examples:
        >>> round(expect_length(PlaneError(0, 0, 1, 0, 1)), 6)  # √(π/2)
        1.253314
    """
    import numpy as np
    from scipy.special import ndtr

    shift = math.hypot(error.mean_x_mm, error.mean_y_mm)
    if error.xx_mm2 + error.yy_mm2 <= (1e-9 * max(shift, 1e-6)) ** 2:
        return shift
    a = np.arange(720) * (math.pi / 720)
    mean = error.mean_x_mm * np.cos(a) + error.mean_y_mm * np.sin(a)
    square = error.xx_mm2 * np.cos(a) ** 2 + error.xy_mm2 * np.sin(2 * a) + error.yy_mm2 * np.sin(a) ** 2
    sd = np.sqrt(np.maximum(square, 1e-18))
    z = mean / sd
    folded = sd * math.sqrt(2 / math.pi) * np.exp(-z * z / 2) + mean * (2 * ndtr(z) - 1)
    return float(np.mean(folded)) * math.pi / 2
