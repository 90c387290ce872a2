"""Uncertainty through any formula: the law of propagation of the first order, and by drawing lots.

In: a formula, its inputs with their covariance. Out: Propagated. Never: lots without a seed.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from doublure.errors import DomainError

Array = NDArray[np.float64]
Formula = Callable[[Array], Array]

#: Step of a difference, in standard uncertainties of its input.
_STEP = 1e-3


@dataclass(frozen=True, slots=True)
class Propagated:
    """What a formula makes of uncertain inputs.

    Attributes:
        values: Its results.
        covariance: Of the results.
        slopes: Of each result by each input; shape (results, inputs); empty for lots.
    """

    values: Array
    covariance: Array
    slopes: Array

    @property
    def u(self) -> Array:
        """Standard uncertainty of each result."""
        return np.asarray(np.sqrt(np.maximum(np.diag(self.covariance), 0.0)))

    @property
    def correlation(self) -> Array:
        """Coefficients of correlation of the results."""
        u = self.u
        return np.asarray(self.covariance / np.where(np.outer(u, u) > 0, np.outer(u, u), 1.0))


def propagate(formula: Formula, inputs: Array, covariance: Array) -> Propagated:
    """Carry uncertainty through a formula to the first order: the covariance of y is J C Jᵀ.

    Args:
        formula: From inputs, shape (n,), to results, shape (k,).
        inputs: Best estimates.
        covariance: Of the inputs, shape (n, n).

    Raises:
        DomainError: A result is not finite.

    Source:
        JCGM 100:2008, 5.1.2 equation 10 and 5.2.2 equation 13; for several results JCGM 102:2011, 6.2.1.3,
        from memory; its worked examples are recomputed in the tests.
    """
    values = np.atleast_1d(formula(inputs))
    spreads = np.sqrt(np.diag(covariance))
    slopes = np.zeros((len(values), len(inputs)))
    for number, spread in enumerate(spreads):
        if spread == 0:
            continue
        step = spread * _STEP
        ahead, behind = inputs.astype(float), inputs.astype(float)
        ahead[number] += step
        behind[number] -= step
        slopes[:, number] = (np.atleast_1d(formula(ahead)) - np.atleast_1d(formula(behind))) / (2 * step)
    carried = slopes @ covariance @ slopes.T
    if not (np.isfinite(values).all() and np.isfinite(carried).all()):
        raise DomainError("these points give no finite size; look at how they were picked")
    return Propagated(values, np.asarray(carried), slopes)


@dataclass(frozen=True, slots=True)
class Drawn:
    """What drawing lots gives.

    Attributes:
        mean, u: Of each result.
        low, high: Ends of the interval that holds 95 % of the draws, 2.5 % beyond either end.
        draws: How many were used.
        lost: How many gave no result.
    """

    mean: tuple[float, ...]
    u: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    draws: int
    lost: int


def draw_lots(formula: Formula, inputs: Array, covariance: Array, draws: int, seed: int) -> Drawn:
    """Carry uncertainty through a formula by drawing normal inputs.

    Args:
        formula, inputs, covariance: As for propagate.
        draws: How many, 100 to 1 000 000.
        seed: The same seed gives the same lots.

    Raises:
        DomainError: Too few or too many draws, or more than a tenth of them without result.

    Source:
        JCGM 101:2008, 5 and 7 (propagation of distributions), from memory.
    """
    if not 100 <= draws <= 1_000_000:
        raise DomainError("lots are drawn 100 to 1 000 000 times", "draws")
    lots = np.random.default_rng(seed)
    width, axes = np.linalg.eigh(covariance)
    root = axes * np.sqrt(np.maximum(width, 0.0))
    rows: list[Array] = []
    for _ in range(draws):
        try:
            row = np.atleast_1d(formula(inputs + root @ lots.standard_normal(len(inputs))))
        except (DomainError, np.linalg.LinAlgError):
            continue
        if np.isfinite(row).all():
            rows.append(row)
    if len(rows) < 0.9 * draws:
        raise DomainError("more than a tenth of the lots give no size; the points say too little")
    found = np.array(rows)
    low, high = np.quantile(found, (0.025, 0.975), axis=0)
    return Drawn(
        tuple(map(float, found.mean(axis=0))),
        tuple(map(float, found.std(axis=0, ddof=1))),
        tuple(map(float, low)),
        tuple(map(float, high)),
        len(rows),
        draws - len(rows),
    )


def independent(*variances: tuple[float, int]) -> Array:
    """Return the covariance of independent inputs: each variance for so many of them in turn.

    Examples:
        >>> independent((4.0, 2)).tolist()
        [[4.0, 0.0], [0.0, 4.0]]
    """
    flat = [variance for variance, count in variances for _ in range(count)]
    if any(not math.isfinite(value) or value < 0 for value in flat):
        raise DomainError("an uncertainty is not a number that can be used")
    return np.diag(np.array(flat, dtype=float))
