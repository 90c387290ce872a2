"""Roots between two places, against scipy's brentq."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy.optimize import brentq

from doublure.trade.press.register.roots import find_root

FUNCTIONS: dict[str, tuple[Callable[[float], float], float, float]] = {
    "a square": (lambda x: x * x - 2, 0, 2),
    "falling": (lambda x: 2 - x * x, 0, 2),
    "steep at one end": (lambda x: math.exp(x) - 1e-3, -50, 5),
    "flat at one end": (lambda x: x**9 - 0.1, 0, 9),
    "flat at both": (lambda x: math.tanh((x - 3) * 50) - 0.3, 0, 100),
    "a share": (lambda x: math.erf(x) - 0.95, 0, 30),
    "a jump": (lambda x: -1.0 if x < 1 / 3 else 1.0, 0, 1),
}


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_root_is_as_near_as_was_asked_for(name: str) -> None:
    function, low, high = FUNCTIONS[name]
    width = 1e-8 * (high - low)
    calls: list[float] = []

    def told(x: float) -> float:
        calls.append(x)
        return function(x)

    assert find_root(told, low, high, width) == pytest.approx(brentq(function, low, high), abs=width, rel=0)
    assert all(low <= x <= high for x in calls)
    # Halving alone would take 27 steps; a bad step in between is paid for by at most three more each.
    assert len(calls) < 60


def test_a_root_at_an_end_is_that_end() -> None:
    assert find_root(lambda x: x, 0.0, 1.0, 1e-9) == 0.0
    assert find_root(lambda x: x - 1, 0.0, 1.0, 1e-9) == 1.0


def test_signs_that_are_the_same_are_refused() -> None:
    with pytest.raises(ValueError, match="same sign"):
        find_root(lambda x: x * x + 1, -1.0, 1.0, 1e-9)
