"""Numeric readings of one attribute, combined: first within each stem, then over the independent witnesses.

In: values with standard uncertainties and stems, all in one unit. Out: Witness, CombinedValue.
Never: units, standing (standing.py), words (wordings.py).
Sums are exact (fsum) and readings are sorted first, so that the order of the notes never matters.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum

from doublure.errors import DomainError
from doublure.trade.evidence.chisquare import compute_chi2_sf, compute_coverage_factor

#: Witnesses whose chi-square test comes out below this probability are in dispute.
SIGNIFICANCE = 0.01
#: Share of a normal distribution that the stated interval holds.
LEVEL = 0.95
#: Relative difference in chi-square below which two witnesses are equally odd.
_TIE = 1e-9


@dataclass(frozen=True, slots=True, order=True)
class NumericReading:
    """One observed number.

    Attributes:
        stem: Name of the stem of its source.
        source: Identifier of the source.
        value: What was read.
        u: Its standard uncertainty, > 0, in the unit of the value.
    """

    stem: str
    source: str
    value: float
    u: float


@dataclass(frozen=True, slots=True)
class Witness:
    """What all the readings on one stem say together.

    Attributes:
        stem: Name of the stem.
        readings: Every reading on it, sorted.
        value: Inverse-variance weighted mean of the distinct readings.
        u: Standard uncertainty, the greater of the two below.
        u_shared: Mean of the uncertainties with the same weights: what is shared does not shrink.
        u_scatter: How far the readings' scatter leaves their mean open; 0 where there is only one.
        distinct: How many different readings there are; a figure repeated on one stem counts once.
    """

    stem: str
    readings: tuple[NumericReading, ...]
    value: float
    u: float
    u_shared: float
    u_scatter: float
    distinct: int


class ScaleRule(Enum):
    """Which witnesses the scale factor is computed from.

    EVERY_WITNESS is the Birge ratio. PRECISE_WITNESSES leaves out those with u ≥ 3 √N times the internal
    uncertainty of the mean, which hardly pull the mean but would hide the scatter of the others.
    """

    EVERY_WITNESS = "every witness"
    PRECISE_WITNESSES = "precise witnesses"


@dataclass(frozen=True, slots=True)
class CombinedValue:
    """The independent witnesses of one attribute, combined.

    Attributes:
        value: Inverse-variance weighted mean.
        u: Standard uncertainty: u_internal times the scale factor.
        u_internal: What the stated uncertainties alone would give.
        low, high: The interval of `level` coverage, value ± k u.
        level: Share that the interval holds, such as 0.95.
        chi2: Sum of the squared deviations in units of each witness's u.
        dof: Witnesses less one.
        p: Probability of a chi-square as great or greater; None for a single witness.
        birge_ratio: √(chi2/dof); None for a single witness.
        scale_factor: By how much u_internal was enlarged, ≥ 1.
        scale_rule: Which witnesses the scale factor was computed from.
        witnesses: By stem.
        weights: Share of each witness in the mean; they sum to 1.
        chi2_without: For each witness, chi-square of the others alone; empty below three witnesses.
        odd: Stems whose omission lowers chi-square most: one, or several where they tie. Below three
            witnesses nobody can say, and it is empty.
    """

    value: float
    u: float
    u_internal: float
    low: float
    high: float
    level: float
    chi2: float
    dof: int
    p: float | None
    birge_ratio: float | None
    scale_factor: float
    scale_rule: ScaleRule
    witnesses: tuple[Witness, ...]
    weights: tuple[float, ...]
    chi2_without: tuple[float, ...]
    odd: tuple[str, ...]

    @property
    def is_disputed(self) -> bool:
        """True where the witnesses differ by more than their uncertainties allow."""
        return self.p is not None and self.p < SIGNIFICANCE

    def holds(self, value: float) -> bool:
        """Return whether the value lies in the interval, its ends included."""
        slack = 1e-12 * max(abs(self.low), abs(self.high))
        return self.low - slack <= value <= self.high + slack


def combine_stem(readings: Iterable[NumericReading]) -> Witness:
    """Combine the readings on one stem, which share whatever went wrong with it, into one witness.

    A figure that several sources of one stem repeat (same value, same uncertainty) counts once, since it is
    copied far more often than measured again: repeating it changes nothing.

    Args:
        readings: Readings with one and the same stem, at least one.

    Returns:
        The witness.

    Raises:
        DomainError: No reading, more than one stem, or a value or uncertainty that cannot be used.

    Source:
        JCGM 100:2008, 5.2.2, note 1 (from memory): with correlation +1 the combined uncertainty is the
        linear sum Σ wᵢ uᵢ. Scatter of the mean: √(Σ wᵢ (xᵢ - x̄)² / (n - 1)), wᵢ ∝ 1/uᵢ² summing to 1, the
        uncertainty by external consistency (R. T. Birge, Phys. Rev. 40 (1932) 207, from memory).
        Counting a repeated figure once: the project's own rule.

    Examples:
        >>> combine_stem([NumericReading("film", f"frame-{i}", 100.0, 2.0) for i in range(10)]).u
        2.0
    """
    ordered = tuple(sorted(readings))
    if not ordered:
        raise DomainError("a witness needs at least one reading", "readings")
    if ordered[0].stem != ordered[-1].stem:
        raise DomainError("the readings of one witness must be on one stem", "readings")
    for reading in ordered:
        _require_reading(reading)
    distinct = sorted({(reading.value, reading.u) for reading in ordered})
    values = [value for value, _ in distinct]
    us = [u for _, u in distinct]
    weights = _compute_weights(us)
    mean = _compute_mean(values, weights)
    u_shared = math.fsum(w * u for w, u in zip(weights, us, strict=True))
    u_scatter = 0.0
    if len(distinct) > 1:
        squares = math.fsum(w * (x - mean) * (x - mean) for w, x in zip(weights, values, strict=True))
        u_scatter = math.sqrt(squares / (len(distinct) - 1))
        if not math.isfinite(u_scatter):
            raise DomainError("the readings lie too far apart to be one quantity", "readings")
    return Witness(
        stem=ordered[0].stem,
        readings=ordered,
        value=mean,
        u=max(u_shared, u_scatter),
        u_shared=u_shared,
        u_scatter=u_scatter,
        distinct=len(distinct),
    )


def combine_witnesses(
    witnesses: Iterable[Witness], scale_rule: ScaleRule = ScaleRule.EVERY_WITNESS, level: float = LEVEL
) -> CombinedValue:
    """Combine independent witnesses into one value, enlarging its uncertainty where they disagree.

    Args:
        witnesses: One for each stem, at least one.
        scale_rule: Which of them the scale factor is computed from.
        level: Share that the interval is to hold, above 0 and below 1.

    Returns:
        The combined value.

    Raises:
        DomainError: No witness, two on one stem, or a level outside 0 to 1.

    Source:
        Weighted mean and Birge ratio: R. T. Birge, Phys. Rev. 40 (1932) 207 (from memory); scale factor and
        the choice of precise witnesses: Particle Data Group, Review of Particle Physics 2024, Introduction,
        5.2, unconstrained averaging; interval: JCGM 100:2008, 6.2 and 6.3 (from memory), normal factor,
        the stated uncertainties being taken as known.
    """
    ordered = tuple(sorted(witnesses, key=lambda witness: witness.stem))
    if not ordered:
        raise DomainError("there must be at least one witness", "witnesses")
    stems = [witness.stem for witness in ordered]
    if len(set(stems)) < len(stems):
        raise DomainError("each stem is one witness, and one is given twice", "witnesses")
    values = [witness.value for witness in ordered]
    us = [witness.u for witness in ordered]
    weights = _compute_weights(us)
    mean = _compute_mean(values, weights)
    u_internal = compute_internal_u(us)
    chi2 = _compute_chi2(values, us)
    if not math.isfinite(chi2):
        raise DomainError("the readings lie too far apart to be one quantity", "witnesses")
    dof = len(ordered) - 1
    birge_ratio = math.sqrt(chi2 / dof) if dof else None
    scale = birge_ratio or 0.0
    if scale_rule is ScaleRule.PRECISE_WITNESSES:
        limit = 3 * math.sqrt(len(ordered)) * u_internal
        kept = [_square((x - mean) / u) for x, u in zip(values, us, strict=True) if u < limit]
        scale = math.sqrt(math.fsum(kept) / (len(kept) - 1)) if len(kept) > 1 else 0.0
    scale_factor = max(1.0, scale)
    u = u_internal * scale_factor
    reach = compute_coverage_factor(level) * u
    chi2_without: tuple[float, ...] = ()
    odd: tuple[str, ...] = ()
    if dof > 1:
        chi2_without = tuple(
            _compute_chi2(values[:i] + values[i + 1 :], us[:i] + us[i + 1 :]) for i in range(len(ordered))
        )
        least = min(chi2_without)
        if least < chi2:
            reach_of_tie = least + _TIE * chi2
            odd = tuple(stem for stem, rest in zip(stems, chi2_without, strict=True) if rest <= reach_of_tie)
    return CombinedValue(
        value=mean,
        u=u,
        u_internal=u_internal,
        low=mean - reach,
        high=mean + reach,
        level=level,
        chi2=chi2,
        dof=dof,
        p=compute_chi2_sf(chi2, dof) if dof else None,
        birge_ratio=birge_ratio,
        scale_factor=scale_factor,
        scale_rule=scale_rule,
        witnesses=ordered,
        weights=tuple(weights),
        chi2_without=chi2_without,
        odd=odd,
    )


def combine_readings(
    readings: Iterable[NumericReading],
    scale_rule: ScaleRule = ScaleRule.EVERY_WITNESS,
    level: float = LEVEL,
) -> CombinedValue:
    """Combine readings of one attribute: within each stem first, then over the witnesses.

    Args:
        readings: At least one, all in one unit.
        scale_rule: As for combine_witnesses.
        level: As for combine_witnesses.

    Returns:
        The combined value, with the witnesses in it.

    Raises:
        DomainError: As for combine_stem and combine_witnesses.

    Examples:
        >>> one, other = NumericReading("a", "a1", 10.0, 0.3), NumericReading("b", "b1", 10.3, 0.4)
        >>> both = combine_readings([one, other])
        >>> round(both.value, 3), round(both.u, 3)
        (10.108, 0.24)
    """
    by_stem: dict[str, list[NumericReading]] = {}
    for reading in readings:
        by_stem.setdefault(reading.stem, []).append(reading)
    return combine_witnesses((combine_stem(group) for group in by_stem.values()), scale_rule, level)


def compute_internal_u(us: Sequence[float]) -> float:
    """Return the uncertainty of the inverse-variance weighted mean, 1/√(Σ 1/uᵢ²).

    Args:
        us: Standard uncertainties, at least one, each > 0.

    Returns:
        Standard uncertainty in the same unit, at most the smallest of them.

    Source:
        JCGM 100:2008, 5.1.2, applied to the weighted mean (from memory).

    Examples:
        >>> round(compute_internal_u([3.0, 4.0]), 6)
        2.4
    """
    smallest = min(us)
    return smallest / math.sqrt(math.fsum(_square(smallest / u) for u in us))


def _square(x: float) -> float:
    # A product overflows to infinity where a power would raise.
    return x * x


def _compute_weights(us: Sequence[float]) -> list[float]:
    """Return inverse-variance weights that sum to 1, safe for very small and very different u."""
    smallest = min(us)
    raw = [_square(smallest / u) for u in us]
    total = math.fsum(raw)
    return [w / total for w in raw]


def _compute_chi2(values: Sequence[float], us: Sequence[float]) -> float:
    mean = _compute_mean(values, _compute_weights(us))
    return math.fsum(_square((x - mean) / u) for x, u in zip(values, us, strict=True))


def _compute_mean(values: Sequence[float], weights: Sequence[float]) -> float:
    # Taken about one of the values, so that readings that are all equal give exactly that value.
    origin = values[0]
    return origin + math.fsum(w * (x - origin) for w, x in zip(weights, values, strict=True))


def _require_reading(reading: NumericReading) -> None:
    if not math.isfinite(reading.value):
        raise DomainError(f"the reading from {reading.source} must be a finite number", "value")
    if not 0 < reading.u < math.inf:
        message = f"the reading from {reading.source} needs a standard uncertainty above 0, not {reading.u:g}"
        raise DomainError(message, "u")
