"""The distributions that the sums of register need, from scipy, which is loaded on first use only.

In: numbers. Out: probabilities, quantiles. Never: a distribution of our own making where scipy has it.
"""

from __future__ import annotations

import math

from doublure.trade.press.register.roots import find_root


def fisher_tail(value: float, over: int, under: int) -> float:
    """Return how often F with `over` and `under` degrees of freedom exceeds a value."""
    from scipy.special import fdtrc  # type: ignore[import-untyped]

    return float(fdtrc(over, under, value))


def fisher_quantile(share: float, over: int, under: int) -> float:
    """Return the value that F with `over` and `under` degrees of freedom stays below in that share."""
    from scipy.special import fdtri

    return float(fdtri(over, under, share))


def student_quantile(share: float, degrees: float) -> float:
    """Return the value that Student's t stays below in that share; the normal's for infinite degrees."""
    from scipy.special import ndtri, stdtrit

    return float(ndtri(share) if math.isinf(degrees) else stdtrit(degrees, share))


def count_degrees(trace_square: float, square_trace: float, degrees: int, most: int) -> float:
    """Return the degrees of freedom of a sum of estimated variances: from once to `most` times those of each.

    For the trace of A, n·A being a Wishart matrix of n degrees of freedom and mean n·B, Welch and Satterthwaite
    give n·(trace B)²/trace(B²). Both are estimated without bias from those of A, whose means are
    (trace B)² + 2 trace(B²)/n and (1 + 1/n) trace(B²) + (trace B)²/n.

    Args:
        trace_square: (trace A)².
        square_trace: trace(A²).
        degrees: n, at least 1.
        most: How many variances there are.

    Source:
        Moments of a Wishart matrix: any handbook of multivariate analysis, from memory.
    """
    if square_trace <= 0:
        return degrees
    shrink = 1 + 1 / degrees - 2 / degrees**2
    square = (square_trace - trace_square / degrees) / shrink if degrees > 1 else square_trace
    whole = trace_square - 2 * square / degrees
    ratio = whole / square if square > 0 else most
    return degrees * min(max(ratio, 1.0), most)


def prediction_half(
    square: float, noise: float, count: int, share: float = 0.95, shared: float = 0.0
) -> float:
    """Return half the width of the interval of a new sheet's true misfit about the mean of those read.

    The variance of the misfits that were read, T = B + N, holds what truly differs between sheets, B, and the
    error of reading, N, which is known. Given T, a new sheet lies about the mean with the variance
    max(T - N, 0) + max(T, N)/S. Given the sheets, T is their variance times (S - 1) over a chi-square. The
    share within ±q is the mean over that chi-square; q makes it the share wanted. Without error of reading
    this is Student's t: q = t·s·√(1 + 1/S).

    Args:
        square: Variance of the misfits that were read, mm², divided by S - 1.
        noise: N, mm².
        count: S, at least 2.
        share: Of new sheets that the interval is to hold.
        shared: Variance of an error that the misfits of all sheets share, mm²: it is in the mean, undivided.

    Source:
        Generalised (fiducial) inference on variance components: S. Weerahandi, J. Am. Stat. Assoc. 88 (1993)
        899-905, from memory. Its coverage is simulated in the tests.
    """
    import numpy as np
    from scipy.special import gammaln, ndtr

    degrees = count - 1
    exact = student_quantile((1 + share) / 2, degrees) * math.sqrt(square * (1 + 1 / count))
    if max(noise, shared) <= 1e-6 * square:
        return exact
    if square <= 1e-6 * max(noise, shared):
        return student_quantile((1 + share) / 2, math.inf) * math.sqrt(noise / count + shared)
    # The density of the logarithm of chi-square is smooth and falls off on both sides: equal steps serve.
    log_chi = np.linspace(-18.0, 6.5, 141)
    weights = np.exp(degrees / 2 * (log_chi - math.log(2)) - np.exp(log_chi) / 2 - gammaln(degrees / 2))
    weights /= weights.sum()
    total = square * degrees / np.exp(log_chi)
    sd = np.sqrt(np.maximum(total - noise, 0.0) + np.maximum(total, noise) / count + shared)

    def missing(half: float) -> float:
        return float((weights * (2 * ndtr(half / sd) - 1)).sum()) - share

    high = exact + 4 * math.sqrt(noise + shared)
    while missing(high) < 0:
        high *= 2
    return find_root(missing, 0.0, high, 1e-7 * high)
