"""The chi-square distribution for whole degrees of freedom, central and non-central.

In: numbers. Out: probabilities and critical values. Never: estimating anything from readings (combine.py).
Closed forms with positive terms only, so that small probabilities keep their digits.
"""

from __future__ import annotations

import functools
import math
from statistics import NormalDist

from doublure.errors import DomainError

#: Terms smaller than this share of the sum no longer reach a double.
_NEGLIGIBLE = 1e-18


def compute_chi2_sf(x: float, dof: int) -> float:
    """Return the probability that a chi-square variable exceeds x.

    Every term is (x/2)^a e^(-x/2) / Γ(a+1), with a = 0, 1 … dof/2-1 for even dof (a Poisson sum), and
    a = 1/2, 3/2 … dof/2-1 on top of erfc(√(x/2)) for odd dof.

    Args:
        x: Value of the statistic; below 0 counts as 0; infinity is allowed.
        dof: Degrees of freedom, ≥ 1.

    Returns:
        Probability, 0 to 1.

    Raises:
        DomainError: x is not a number, or dof is below 1.

    Source:
        Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.4 (odd) and 26.4.5 (even), from
        memory; rederived here from sf(x, k+2) = sf(x, k) + (x/2)^(k/2) e^(-x/2) / Γ(k/2+1).

    Examples:
        >>> round(compute_chi2_sf(6.6349, 1), 6)
        0.01
    """
    _require_dof(dof)
    if math.isnan(x):
        raise DomainError("the chi-square statistic must be a number", "x")
    half = x / 2
    if half <= 0:
        return 1.0
    if math.isinf(half):
        return 0.0
    terms = [math.erfc(math.sqrt(half))] if dof % 2 else []
    log_half = math.log(half)
    total = sum(terms)
    exponent = 0.5 * (dof % 2)
    while exponent < dof / 2:
        term = math.exp(exponent * log_half - half - math.lgamma(exponent + 1))
        terms.append(term)
        total += term
        # Past the mode the terms only fall, so the rest of a long sum can be left out.
        if exponent > half and term < _NEGLIGIBLE * total:
            break
        exponent += 1
    return min(1.0, math.fsum(terms))


@functools.lru_cache(maxsize=1024)
def compute_chi2_critical(p: float, dof: int) -> float:
    """Return the value that a chi-square variable exceeds with probability p.

    Args:
        p: Probability, above 0 and below 1.
        dof: Degrees of freedom, ≥ 1.

    Returns:
        The critical value, ≥ 0.

    Raises:
        DomainError: p is not between 0 and 1, or dof is below 1.

    Source:
        The inverse of compute_chi2_sf by bisection down to neighbouring doubles.

    Examples:
        >>> round(compute_chi2_critical(0.01, 2), 4)
        9.2103
    """
    _require_dof(dof)
    if not 0 < p < 1:
        raise DomainError(f"the probability must lie between 0 and 1, not {p:g}", "p")
    low, high = 0.0, float(dof)
    while compute_chi2_sf(high, dof) > p:
        low, high = high, 2 * high
    while True:
        middle = (low + high) / 2
        if not low < middle < high:
            return middle
        if compute_chi2_sf(middle, dof) > p:
            low = middle
        else:
            high = middle


@functools.lru_cache(maxsize=1024)
def compute_noncentral_chi2_sf(x: float, dof: int, noncentrality: float) -> float:
    """Return the probability that a non-central chi-square variable exceeds x.

    Args:
        x: Value of the statistic; below 0 counts as 0.
        dof: Degrees of freedom, ≥ 1.
        noncentrality: λ, the sum of the squared shifts in units of their uncertainty, ≥ 0;
            infinity is allowed.

    Returns:
        Probability, 0 to 1.

    Raises:
        DomainError: An argument is not a number, dof is below 1, or the noncentrality is negative.

    Source:
        Abramowitz and Stegun, 26.4.25, from memory: a mixture of central distributions with dof + 2j
        degrees of freedom, j Poisson distributed with mean λ/2.
    """
    _require_dof(dof)
    if not noncentrality >= 0:
        raise DomainError("the noncentrality must be a number that is not negative", "noncentrality")
    mean = noncentrality / 2
    if mean == 0:
        return compute_chi2_sf(x, dof)
    if math.isinf(mean):
        return 1.0 if x < math.inf else compute_chi2_sf(x, dof)
    # Ten standard deviations and more on either side: what is left out weighs less than 1e-16.
    spread = math.sqrt(mean)
    first = max(0, math.floor(mean - 10 * spread - 20))
    last = math.ceil(mean + 12 * spread + 60)
    # Where even the least of the parts is certain but for rounding, so is the mixture.
    if compute_chi2_sf(x, dof + 2 * first) > 1 - 1e-15:
        return 1.0
    log_mean = math.log(mean)
    weights = [math.exp(j * log_mean - mean - math.lgamma(j + 1)) for j in range(first, last + 1)]
    parts = (
        weight * compute_chi2_sf(x, dof + 2 * j)
        for j, weight in enumerate(weights, first)
        if weight > _NEGLIGIBLE
    )
    return min(1.0, math.fsum(parts) / math.fsum(weights))


def compute_coverage_factor(level: float) -> float:
    """Return how many standard uncertainties on each side hold the given share of a normal distribution.

    Args:
        level: Share, above 0 and below 1, such as 0.95.

    Returns:
        The coverage factor k.

    Raises:
        DomainError: The level is not between 0 and 1.

    Source:
        JCGM 100:2008, 6.3.1 and Table G.1 (from memory).

    Examples:
        >>> round(compute_coverage_factor(0.95), 3)
        1.96
    """
    if not 0 < level < 1:
        raise DomainError(f"the level must lie between 0 and 1, not {level:g}", "level")
    return NormalDist().inv_cdf((1 + level) / 2)


def _require_dof(dof: int) -> None:
    if dof < 1:
        raise DomainError(f"there must be at least one degree of freedom, not {dof}", "dof")
