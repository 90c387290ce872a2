"""How likely the test of agreement is to notice a stated difference between one witness and the others.

In: standard uncertainties of the witnesses, a difference in the same unit. Out: PowerOfTest.
Never: the readings' values: the power is known before anybody reads them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from doublure.errors import DomainError
from doublure.trade.evidence.chisquare import compute_chi2_critical, compute_noncentral_chi2_sf
from doublure.trade.evidence.combine import SIGNIFICANCE, compute_internal_u


class DifferenceFrom(Enum):
    """Where the difference of a power came from."""

    STATED = "stated"
    TWO_COMBINED_U = "two combined u"


@dataclass(frozen=True, slots=True)
class PowerOfTest:
    """How likely the test is to notice that one witness is off.

    Attributes:
        difference: Distance between one witness's true value and the others', in the unit of the values.
        difference_from: Whether it was stated or taken as two combined u.
        significance: The test reports a dispute below this probability.
        dof: Witnesses less one.
        critical_chi2: The chi-square at which that happens.
        by_witness: Probability of noticing, if the witness in this place is the one that is off.
        least: The smallest of them: the chance in the least favourable case.
    """

    difference: float
    difference_from: DifferenceFrom
    significance: float
    dof: int
    critical_chi2: float
    by_witness: tuple[float, ...]
    least: float


def compute_power_of_test(
    us: Sequence[float], difference: float | None = None, significance: float = SIGNIFICANCE
) -> PowerOfTest:
    """Return how likely the chi-square test is to notice that one witness differs from the others.

    If witness i is off by δ and the others agree, chi-square is non-central with
    λ = δ² / (uᵢ² + u_rest²), where u_rest is the internal uncertainty of the mean of the others.

    Args:
        us: Standard uncertainty of each witness, > 0, at least two.
        difference: δ, ≥ 0, in their unit, such as the maker's tolerance; None: two combined u.
        significance: The test reports a dispute below this probability.

    Returns:
        The power for each witness and the least of them.

    Raises:
        DomainError: Fewer than two witnesses, an uncertainty that is not finite and positive, a negative
            difference, or a significance outside 0 to 1.

    Source:
        Non-central chi-square: Abramowitz and Stegun, 26.4.25 (from memory); λ is the value of chi-square
        for noiseless readings, worked in docs/handbook/methods/evidence.md.

    Examples:
        >>> round(compute_power_of_test([1.0, 1.0], 5.0).least, 3)
        0.831
    """
    if len(us) < 2:
        raise DomainError("a test of agreement needs at least two witnesses", "us")
    for u in us:
        if not 0 < u < math.inf:
            raise DomainError(f"a standard uncertainty must be above 0, not {u:g}", "us")
    difference_from = DifferenceFrom.STATED
    if difference is None:
        difference = 2 * compute_internal_u(us)
        difference_from = DifferenceFrom.TWO_COMBINED_U
    if not 0 <= difference < math.inf:
        raise DomainError(f"the difference must be 0 or more, not {difference:g}", "difference")
    dof = len(us) - 1
    critical = compute_chi2_critical(significance, dof)
    by_witness = []
    for i, u in enumerate(us):
        u_rest = compute_internal_u([other for j, other in enumerate(us) if j != i])
        shift = difference / math.hypot(u, u_rest)
        by_witness.append(compute_noncentral_chi2_sf(critical, dof, shift * shift))
    return PowerOfTest(
        difference=difference,
        difference_from=difference_from,
        significance=significance,
        dof=dof,
        critical_chi2=critical,
        by_witness=tuple(by_witness),
        least=min(by_witness),
    )
