"""Combining of readings against published averages, published tables and general-purpose statistics.

Publishers:
    Particle Data Group, S. Navas et al., Review of Particle Physics, 2024 and 2026 update, charged-kaon mass
    and mean life: measurements and averages seen in the database of the Python package pdg 2026.0 (Modified
    BSD); procedure: Introduction, 5.2, unconstrained averaging.
    Chi-square table: upper critical values as printed in the appendices of statistics textbooks (rows seen in
    a scanned appendix; those of NIST/SEMATECH e-Handbook 1.3.6.7.4 are the same, from memory).
    JCGM 100:2008, Table G.1 (coverage factors, from memory) and H.2 (the five voltages seen; mean and its
    standard uncertainty seen in the documentation of a metrology library).
    scipy.stats: chi2, ncx2, norm.
No expected value here was produced by the code under test.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats  # type: ignore[import-untyped]

from doublure.trade.evidence.chisquare import (
    compute_chi2_critical,
    compute_chi2_sf,
    compute_coverage_factor,
    compute_noncentral_chi2_sf,
)
from doublure.trade.evidence.combine import (
    NumericReading,
    ScaleRule,
    combine_readings,
    combine_stem,
)
from doublure.trade.evidence.power import compute_power_of_test

# Values and standard uncertainties; published mean, uncertainty and scale factor S.
KAON_MASS_MEV = (
    (493.696, 0.007),
    (493.636, 0.011),
    (493.640, 0.054),
    (493.670, 0.029),
    (493.657, 0.020),
    (493.691, 0.040),
)
KAON_MEAN_LIFE_10NS = (
    (1.2347, 0.0030),
    (1.2451, 0.0030),
    (1.2368, 0.0041),
    (1.2380, 0.0016),
    (1.2272, 0.0036),
    (1.2443, 0.0038),
)
PUBLISHED = [
    pytest.param(KAON_MASS_MEV, 493.6765994580406, 0.01297534229774416, 2.368831, id="kaon mass"),
    pytest.param(KAON_MEAN_LIFE_10NS, 1.237943561277378, 0.002134003680473026, 1.930947, id="kaon mean life"),
]


def _witnesses(data: tuple[tuple[float, float], ...]) -> list[NumericReading]:
    return [NumericReading(f"stem-{i}", f"source-{i}", value, u) for i, (value, u) in enumerate(data)]


@pytest.mark.parametrize(("data", "mean", "u", "scale"), PUBLISHED)
def test_weighted_mean_and_scale_factor_are_the_published_ones(
    data: tuple[tuple[float, float], ...], mean: float, u: float, scale: float
) -> None:
    """Particle Data Group: S is taken from the precise entries only, so that rule is asked for."""
    found = combine_readings(_witnesses(data), ScaleRule.PRECISE_WITNESSES)
    assert found.value == pytest.approx(mean, rel=1e-14)
    assert found.scale_factor == pytest.approx(scale, abs=5e-7)
    # S is printed with seven digits, and u agrees to as many.
    assert found.u == pytest.approx(u, rel=5e-8)
    assert found.u_internal == pytest.approx(u / scale, rel=5e-7 / scale)


def test_birge_ratio_over_every_entry_of_the_kaon_mass() -> None:
    """Over all six entries the ratio is smaller than the published S: the imprecise entry hides scatter."""
    found = combine_readings(_witnesses(KAON_MASS_MEV))
    assert found.birge_ratio == pytest.approx(2.14032, abs=5e-6)
    assert found.scale_factor == found.birge_ratio
    # np.average and scipy compute the same chi-square in another way.
    values, us = np.array(KAON_MASS_MEV).T
    mean = np.average(values, weights=us**-2.0)
    chi2 = float((((values - mean) / us) ** 2).sum())
    assert found.chi2 == pytest.approx(chi2, rel=1e-10)
    assert found.p == pytest.approx(stats.chi2.sf(chi2, 5), rel=1e-9)
    assert found.is_disputed


def test_kaon_masses_named_as_odd() -> None:
    """The review says that the two most precise masses disagree; the test finds the odd one among them."""
    found = combine_readings(_witnesses(KAON_MASS_MEV))
    values, us = np.array(KAON_MASS_MEV).T
    without = []
    for i in range(6):
        rest, rest_u = np.delete(values, i), np.delete(us, i)
        rest_mean = np.average(rest, weights=rest_u**-2.0)
        without.append(float((((rest - rest_mean) / rest_u) ** 2).sum()))
    assert found.chi2_without == pytest.approx(without, rel=1e-9)
    assert found.odd == (f"stem-{int(np.argmin(without))}",)
    assert found.odd[0] in {"stem-0", "stem-1"}


def test_readings_of_one_uncertainty_scatter_as_the_type_a_evaluation_says() -> None:
    """JCGM 100:2008, H.2: five voltages, mean 4.9990 V, standard uncertainty of the mean 0.0032 V.

    With a tiny stated uncertainty the scatter of the mean is all that is left, and must be s/√n.
    """
    voltages = (5.007, 4.994, 5.005, 4.990, 4.999)
    found = combine_stem(NumericReading("one", f"v{i}", v, 1e-5) for i, v in enumerate(voltages))
    assert found.value == pytest.approx(4.9990, abs=5e-5)
    assert found.u_scatter == pytest.approx(0.0032, abs=5e-5)
    assert found.u == found.u_scatter
    assert found.u_scatter == pytest.approx(stats.sem(voltages), rel=1e-9)


# Degrees of freedom: upper critical values at 0.05, 0.01 and 0.005, with five decimals.
CHI_SQUARE_TABLE = {
    1: (3.84146, 6.63490, 7.87944),
    2: (5.99146, 9.21034, 10.59663),
    3: (7.81473, 11.34487, 12.83816),
    4: (9.48773, 13.27670, 14.86026),
    5: (11.07050, 15.08627, 16.74960),
    6: (12.59159, 16.81189, 18.54758),
    8: (15.50731, 20.09024, 21.95495),
    10: (18.30704, 23.20925, 25.18818),
}


@pytest.mark.parametrize("dof", CHI_SQUARE_TABLE)
def test_critical_values_are_those_of_the_table(dof: int) -> None:
    """Upper critical values of chi-square; printed tables round their last digit either way."""
    for p, printed in zip((0.05, 0.01, 0.005), CHI_SQUARE_TABLE[dof], strict=True):
        assert compute_chi2_critical(p, dof) == pytest.approx(printed, abs=1.01e-5)


@pytest.mark.parametrize("dof", [1, 2, 3, 4, 5, 6, 7, 8, 11, 20, 33, 64, 101, 500, 1001])
def test_survival_function_is_scipys(dof: int) -> None:
    """scipy.stats.chi2.sf over the whole range, deep tails included."""
    for factor in (1e-9, 1e-3, 0.1, 0.3, 0.7, 0.95, 1.0, 1.05, 1.4, 2.0, 4.0, 10.0):
        x = dof * factor
        expected = float(stats.chi2.sf(x, dof))
        assert compute_chi2_sf(x, dof) == pytest.approx(expected, rel=3e-11, abs=1e-300)


@pytest.mark.parametrize("dof", [1, 2, 3, 7, 12, 25])
def test_critical_value_is_scipys(dof: int) -> None:
    """scipy.stats.chi2.isf."""
    for p in (0.999, 0.5, 0.1, 0.05, 0.01, 1e-3, 1e-9):
        assert compute_chi2_critical(p, dof) == pytest.approx(float(stats.chi2.isf(p, dof)), rel=1e-9)


@pytest.mark.parametrize("dof", [1, 2, 3, 4, 7, 12, 25])
@pytest.mark.parametrize("noncentrality", [1e-6, 0.2, 1.0, 5.0, 17.3, 60.0, 250.0])
def test_noncentral_survival_function_is_scipys(dof: int, noncentrality: float) -> None:
    """scipy.stats.ncx2.sf; its own accuracy is some 1e-12 absolute."""
    for x in (0.01, 0.5, 3.0, 6.6349, 11.3, 23.2, 60.0, 240.0):
        expected = float(stats.ncx2.sf(x, dof, noncentrality))
        assert compute_noncentral_chi2_sf(x, dof, noncentrality) == pytest.approx(
            expected, rel=1e-8, abs=1e-11
        )


@pytest.mark.parametrize("difference", [0.0, 0.5, 1.0, 2.0, 3.5, 8.0])
def test_power_between_two_witnesses_is_the_two_sided_normal_test(difference: float) -> None:
    """With two witnesses chi-square is the square of a normal deviate: scipy.stats.norm gives the power."""
    us = (1.2, 0.7)
    z = difference / math.hypot(*us)
    critical = stats.norm.isf(0.005)
    expected = float(stats.norm.sf(critical - z) + stats.norm.cdf(-critical - z))
    found = compute_power_of_test(us, difference)
    assert found.by_witness == pytest.approx((expected, expected), rel=1e-9)


def test_power_is_the_share_of_simulated_disputes() -> None:
    """Simulation with numpy, seed fixed: three witnesses, the last off by 4; 4 standard errors allowed."""
    us = np.array([1.0, 1.5, 0.8])
    runs = 40_000
    random = np.random.default_rng(20310402)
    values = random.normal(0.0, us, (runs, 3)) + np.array([0.0, 0.0, 4.0])
    means = np.average(values, axis=1, weights=us**-2.0)
    chi2 = (((values - means[:, None]) / us) ** 2).sum(axis=1)
    noticed = float((stats.chi2.sf(chi2, 2) < 0.01).mean())
    power = compute_power_of_test(us.tolist(), 4.0).by_witness[2]
    assert noticed == pytest.approx(power, abs=4 * math.sqrt(power * (1 - power) / runs))


@pytest.mark.parametrize(("level", "printed"), [(0.90, 1.645), (0.95, 1.960), (0.99, 2.576), (0.9973, 3.0)])
def test_coverage_factors_are_the_printed_ones(level: float, printed: float) -> None:
    """JCGM 100:2008, Table G.1 (from memory), and scipy.stats.norm.interval."""
    assert compute_coverage_factor(level) == pytest.approx(printed, abs=5e-4)
    assert compute_coverage_factor(level) == pytest.approx(stats.norm.interval(level)[1], rel=1e-9)


@pytest.mark.parametrize("witnesses", [1, 2, 5])
def test_interval_covers_the_truth_at_least_as_often_as_it_says(witnesses: int) -> None:
    """Coverage by simulation: honest uncertainties give 95 %, and enlarging can only add to it."""
    random = np.random.default_rng(1731 + witnesses)
    runs = 4000
    truth = 100.0
    covered = 0
    for _ in range(runs):
        us = random.uniform(0.5, 2.0, witnesses)
        values = random.normal(truth, us)
        readings = [
            NumericReading(str(i), str(i), v, u) for i, (v, u) in enumerate(zip(values, us, strict=True))
        ]
        covered += combine_readings(readings).holds(truth)
    margin = 4 * math.sqrt(0.95 * 0.05 / runs)
    assert covered / runs > 0.95 - margin
    # A single witness is never enlarged; more are enlarged about every third time, by little.
    assert covered / runs < (0.95 + margin if witnesses == 1 else 0.99)


def test_ten_frames_of_one_film_cover_as_one() -> None:
    """Coverage by simulation: ten readings share one error, and the interval must still hold the truth."""
    random = np.random.default_rng(7)
    runs, covered, naive = 3000, 0, 0
    for _ in range(runs):
        shared = random.normal(0.0, 2.0)
        values = 100.0 + shared + random.normal(0.0, 0.3, 10)
        readings = [NumericReading("film", f"frame-{i}", v, 2.02) for i, v in enumerate(values)]
        covered += combine_readings(readings).holds(100.0)
        apart = [NumericReading(f"film-{i}", f"frame-{i}", v, 2.02) for i, v in enumerate(values)]
        naive += combine_readings(apart).holds(100.0)
    assert covered / runs > 0.95 - 4 * math.sqrt(0.95 * 0.05 / runs)
    assert naive / runs < 0.6
