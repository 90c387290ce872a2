"""Chi-square outside its usual range, and the power of the test of agreement."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.evidence.chisquare import (
    compute_chi2_critical,
    compute_chi2_sf,
    compute_coverage_factor,
    compute_noncentral_chi2_sf,
)
from doublure.trade.evidence.power import DifferenceFrom, compute_power_of_test


def test_the_ends_of_the_distribution() -> None:
    assert compute_chi2_sf(0.0, 3) == 1.0
    assert compute_chi2_sf(-1.0, 3) == 1.0
    assert compute_chi2_sf(5e-324, 3) == 1.0
    assert compute_chi2_sf(math.inf, 3) == 0.0
    assert compute_chi2_sf(1e9, 3) == 0.0


def test_two_degrees_of_freedom_are_an_exponential() -> None:
    """e^(-x/2), exactly by definition."""
    assert compute_chi2_sf(7.0, 2) == pytest.approx(math.exp(-3.5), rel=1e-15)


@settings(deadline=None)
@given(st.floats(0.0, 200.0), st.integers(1, 60))
def test_the_probability_falls_with_x_and_rises_with_dof(x: float, dof: int) -> None:
    p = compute_chi2_sf(x, dof)
    assert 0.0 <= p <= 1.0
    assert compute_chi2_sf(x + 0.5, dof) <= p * (1 + 1e-12)
    assert compute_chi2_sf(x, dof + 1) >= p * (1 - 1e-12)


@settings(deadline=None)
@given(st.floats(1e-12, 0.999999), st.integers(1, 40))
def test_the_critical_value_is_the_inverse(p: float, dof: int) -> None:
    assert compute_chi2_sf(compute_chi2_critical(p, dof), dof) == pytest.approx(p, rel=1e-9)


def test_the_noncentral_distribution_at_its_ends() -> None:
    assert compute_noncentral_chi2_sf(4.0, 3, 0.0) == compute_chi2_sf(4.0, 3)
    assert compute_noncentral_chi2_sf(4.0, 3, math.inf) == 1.0
    assert compute_noncentral_chi2_sf(math.inf, 3, math.inf) == 0.0
    assert compute_noncentral_chi2_sf(4.0, 3, 1e12) == 1.0
    assert compute_noncentral_chi2_sf(0.0, 3, 2.0) == pytest.approx(1.0, abs=1e-15)


@pytest.mark.parametrize("dof", [0, -1])
def test_degrees_of_freedom_begin_at_one(dof: int) -> None:
    with pytest.raises(DomainError) as caught:
        compute_chi2_sf(1.0, dof)
    assert caught.value.argument == "dof"
    with pytest.raises(DomainError):
        compute_chi2_critical(0.1, dof)
    with pytest.raises(DomainError):
        compute_noncentral_chi2_sf(1.0, dof, 1.0)


def test_what_is_no_number_is_refused() -> None:
    with pytest.raises(DomainError):
        compute_chi2_sf(math.nan, 1)
    for p in (0.0, 1.0, -0.1, math.nan):
        with pytest.raises(DomainError):
            compute_chi2_critical(p, 1)
        with pytest.raises(DomainError):
            compute_coverage_factor(p)
    for noncentrality in (-1.0, math.nan):
        with pytest.raises(DomainError):
            compute_noncentral_chi2_sf(1.0, 1, noncentrality)


def test_without_a_difference_the_test_reports_by_chance_alone() -> None:
    found = compute_power_of_test([1.0, 2.0, 3.0], 0.0)
    assert found.by_witness == pytest.approx((0.01, 0.01, 0.01))
    assert found.dof == 2
    assert found.critical_chi2 == pytest.approx(9.21034, abs=1e-5)


def test_the_difference_is_two_combined_u_unless_stated() -> None:
    """Two equal witnesses: the combined u is u/√2, so the difference is √2 u and λ is exactly 1."""
    found = compute_power_of_test([1.5, 1.5])
    assert found.difference == pytest.approx(1.5 * math.sqrt(2))
    assert found.difference_from is DifferenceFrom.TWO_COMBINED_U
    assert found.least == pytest.approx(compute_noncentral_chi2_sf(found.critical_chi2, 1, 1.0))
    assert compute_power_of_test([1.5, 1.5], 4.0).difference_from is DifferenceFrom.STATED


def test_the_least_precise_witness_is_the_hardest_to_catch() -> None:
    found = compute_power_of_test([1.0, 1.0, 4.0], 5.0)
    assert found.least == found.by_witness[2]
    assert found.by_witness[0] == pytest.approx(found.by_witness[1])
    assert found.by_witness[0] > found.by_witness[2]


@settings(deadline=None)
@given(st.lists(st.floats(0.1, 10.0), min_size=2, max_size=6), st.floats(0.0, 20.0))
def test_a_greater_difference_is_noticed_more_often(us: list[float], difference: float) -> None:
    small, great = compute_power_of_test(us, difference), compute_power_of_test(us, difference + 1.0)
    for one, other in zip(small.by_witness, great.by_witness, strict=True):
        assert 0.01 - 1e-9 <= one <= other + 1e-12 <= 1.0 + 1e-12


@settings(deadline=None)
@given(st.lists(st.floats(0.1, 10.0), min_size=2, max_size=6), st.floats(0.0, 20.0))
def test_another_unit_leaves_the_power_as_it_is(us: list[float], difference: float) -> None:
    plain = compute_power_of_test(us, difference)
    inches = compute_power_of_test([u / 25.4 for u in us], difference / 25.4)
    assert inches.by_witness == pytest.approx(plain.by_witness, rel=1e-9)


def test_the_power_refuses_what_it_has_no_answer_to() -> None:
    with pytest.raises(DomainError):
        compute_power_of_test([1.0], 1.0)
    with pytest.raises(DomainError):
        compute_power_of_test([1.0, 0.0], 1.0)
    with pytest.raises(DomainError):
        compute_power_of_test([1.0, math.inf], 1.0)
    with pytest.raises(DomainError):
        compute_power_of_test([1.0, 1.0], -1.0)
    with pytest.raises(DomainError):
        compute_power_of_test([1.0, 1.0], 1.0, significance=0.0)
