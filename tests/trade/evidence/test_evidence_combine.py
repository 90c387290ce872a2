"""Combining readings: one witness for each stem, chi-square over witnesses, and what both must keep to."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.evidence.combine import (
    NumericReading,
    ScaleRule,
    combine_readings,
    combine_stem,
    combine_witnesses,
    compute_internal_u,
)


def _read(*entries: tuple[str, float, float]) -> list[NumericReading]:
    return [NumericReading(stem, f"{stem}-{i}", value, u) for i, (stem, value, u) in enumerate(entries)]


def test_one_reading_stands_as_it_is() -> None:
    found = combine_readings(_read(("film", 63.5, 1.5)))
    assert (found.value, found.u, found.u_internal, found.scale_factor) == (63.5, 1.5, 1.5, 1.0)
    assert (found.chi2, found.dof, found.p, found.birge_ratio) == (0.0, 0, None, None)
    assert found.low == pytest.approx(63.5 - 1.959964 * 1.5, abs=1e-5)
    assert found.high == pytest.approx(63.5 + 1.959964 * 1.5, abs=1e-5)
    assert not found.is_disputed
    assert found.odd == ()
    assert found.chi2_without == ()


def test_ten_frames_of_one_film_are_one_witness() -> None:
    frames = _read(*[("film", 100.0 + 0.1 * i, 2.0) for i in range(10)])
    found = combine_readings(frames)
    assert len(found.witnesses) == 1
    assert found.u == pytest.approx(2.0)
    assert found.value == pytest.approx(100.45)
    assert found.witnesses[0].distinct == 10


def test_readings_on_one_stem_that_scatter_more_than_they_say() -> None:
    """Two readings 4 apart, each ±1: the mean is 2 off either, and its scatter √((2² + 2²)/2 /1) = 2."""
    witness = combine_stem(_read(("film", 98.0, 1.0), ("film", 102.0, 1.0)))
    assert witness.value == pytest.approx(100.0)
    assert witness.u_shared == pytest.approx(1.0)
    assert witness.u_scatter == pytest.approx(2.0)
    assert witness.u == witness.u_scatter


def test_shared_uncertainties_add_up_without_shrinking() -> None:
    """Weights 1/1² and 1/2² are 0.8 and 0.2: u = 0.8 · 1 + 0.2 · 2."""
    witness = combine_stem(_read(("film", 10.0, 1.0), ("film", 10.5, 2.0)))
    assert witness.u == pytest.approx(1.2)
    assert witness.value == pytest.approx(10.1)


def test_a_figure_repeated_on_one_stem_counts_once() -> None:
    twice = combine_stem(_read(("film", 10.0, 1.0), ("film", 10.0, 1.0), ("film", 12.0, 1.0)))
    assert twice.value == pytest.approx(11.0)
    assert twice.distinct == 2
    assert len(twice.readings) == 3


def test_two_independent_witnesses_by_hand() -> None:
    """Weights 16 : 9, u = 3 · 4 / 5 = 2.4; 5 apart gives chi-square 5²/(3² + 4²) = 1, and the ratio is 1."""
    found = combine_readings(_read(("a", 100.0, 3.0), ("b", 105.0, 4.0)))
    assert found.value == pytest.approx(101.8)
    assert found.u_internal == pytest.approx(2.4)
    assert found.chi2 == pytest.approx(1.0)
    assert found.birge_ratio == pytest.approx(1.0)
    assert found.u == pytest.approx(2.4)
    assert found.weights == pytest.approx((0.64, 0.36))
    assert found.p == pytest.approx(0.317310508)
    assert found.odd == ()


def test_disagreement_enlarges_by_the_birge_ratio() -> None:
    found = combine_readings(_read(("a", 100.0, 3.0), ("b", 115.0, 4.0)))
    assert found.birge_ratio == pytest.approx(3.0)
    assert found.u == pytest.approx(7.2)
    assert found.is_disputed


@pytest.mark.parametrize(("apart", "disputed"), [(2.5758 * 5, False), (2.5759 * 5, True)])
def test_two_witnesses_dispute_from_2_5758_standard_uncertainties_on(apart: float, disputed: bool) -> None:
    assert combine_readings(_read(("a", 0.0, 3.0), ("b", apart, 4.0))).is_disputed is disputed


def test_the_odd_one_of_three() -> None:
    found = combine_readings(_read(("a", 100.0, 1.0), ("b", 101.0, 1.0), ("c", 110.0, 1.0)))
    assert found.odd == ("c",)
    assert found.chi2_without == pytest.approx((40.5, 50.0, 0.5))


def test_two_that_are_equally_odd_are_both_named() -> None:
    found = combine_readings(_read(("a", 95.0, 1.0), ("b", 100.0, 1.0), ("c", 105.0, 1.0)))
    assert found.odd == ("a", "c")


def test_nobody_is_odd_where_all_say_the_same() -> None:
    assert combine_readings(_read(("a", 9.0, 1.0), ("b", 9.0, 2.0), ("c", 9.0, 1.0))).odd == ()


def test_the_scale_rule_leaves_imprecise_witnesses_out() -> None:
    """u_internal is about 0.707; the limit 3 √3 · 0.707 = 3.67 leaves out the third."""
    readings = _read(("a", 0.0, 1.0), ("b", 4.0, 1.0), ("c", 2.0, 50.0))
    every = combine_readings(readings)
    precise = combine_readings(readings, ScaleRule.PRECISE_WITNESSES)
    assert every.scale_factor == pytest.approx(2.0, abs=1e-3)
    assert precise.scale_factor == pytest.approx(math.sqrt(8.0), abs=1e-3)
    assert precise.birge_ratio == every.birge_ratio
    assert precise.scale_rule is ScaleRule.PRECISE_WITNESSES


def test_the_scale_rule_for_a_single_witness_changes_nothing() -> None:
    assert combine_readings(_read(("a", 1.0, 1.0)), ScaleRule.PRECISE_WITNESSES).scale_factor == 1.0


def test_the_interval_holds_its_ends() -> None:
    found = combine_readings(_read(("a", 100.0, 1.0)))
    assert found.holds(found.low)
    assert found.holds(found.high)
    assert found.holds(100.0)
    assert not found.holds(found.low - 1e-6)
    assert not found.holds(found.high + 1e-6)


@pytest.mark.parametrize("u", [0.0, -1.0, math.nan, math.inf])
def test_an_uncertainty_must_be_positive(u: float) -> None:
    with pytest.raises(DomainError, match="a-0") as caught:
        combine_readings(_read(("a", 1.0, u)))
    assert caught.value.argument == "u"


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_a_value_must_be_finite(value: float) -> None:
    with pytest.raises(DomainError, match="a-0") as caught:
        combine_readings(_read(("a", value, 1.0)))
    assert caught.value.argument == "value"


def test_nothing_cannot_be_combined() -> None:
    with pytest.raises(DomainError):
        combine_readings([])
    with pytest.raises(DomainError):
        combine_stem([])


def test_one_witness_cannot_be_on_two_stems_nor_two_on_one() -> None:
    with pytest.raises(DomainError):
        combine_stem(_read(("a", 1.0, 1.0), ("b", 1.0, 1.0)))
    witness = combine_stem(_read(("a", 1.0, 1.0)))
    with pytest.raises(DomainError):
        combine_witnesses([witness, witness])


@pytest.mark.parametrize("stems", [("a", "a"), ("a", "b")])
def test_absurd_distances_are_refused_plainly(stems: tuple[str, str]) -> None:
    with pytest.raises(DomainError, match="too far apart"):
        combine_readings(_read((stems[0], 1e200, 1e-3), (stems[1], -1e200, 1e-3)))


def test_a_level_must_be_a_share() -> None:
    with pytest.raises(DomainError):
        combine_readings(_read(("a", 1.0, 1.0)), level=1.0)


_READINGS = st.lists(
    st.builds(
        NumericReading,
        st.sampled_from("abcd"),
        st.sampled_from(["s1", "s2", "s3", "s4", "s5", "s6"]),
        st.floats(10.0, 1000.0),
        st.floats(0.05, 50.0),
    ),
    min_size=1,
    max_size=12,
)


@settings(deadline=None)
@given(_READINGS, st.randoms(use_true_random=False))
def test_order_does_not_matter_at_all(readings: list[NumericReading], random: Random) -> None:
    shuffled = list(readings)
    random.shuffle(shuffled)
    assert combine_readings(shuffled) == combine_readings(readings)


@settings(deadline=None)
@given(_READINGS, st.data())
def test_repeating_a_reading_on_its_stem_adds_no_witness_and_shrinks_nothing(
    readings: list[NumericReading], data: st.DataObject
) -> None:
    once = combine_readings(readings)
    repeated = replace(data.draw(st.sampled_from(readings)), source="a further copy")
    twice = combine_readings([*readings, repeated])
    assert [witness.stem for witness in twice.witnesses] == [witness.stem for witness in once.witnesses]
    assert (twice.value, twice.u, twice.chi2) == (once.value, once.u, once.chi2)


@settings(deadline=None)
@given(_READINGS, st.floats(10.0, 1000.0), st.data())
def test_no_further_reading_on_a_stem_shrinks_what_it_shares(
    readings: list[NumericReading], value: float, data: st.DataObject
) -> None:
    """However many readings there are on one stem, they come to no less than the best of them."""
    stem = data.draw(st.sampled_from(readings)).stem
    best = min(reading.u for reading in readings if reading.stem == stem)
    further = [NumericReading(stem, f"copy-{i}", value, best) for i in range(3)]
    found = combine_readings([*readings, *further])
    (witness,) = (witness for witness in found.witnesses if witness.stem == stem)
    assert witness.u >= best * (1 - 1e-12)


@settings(deadline=None)
@given(_READINGS)
def test_the_mean_lies_among_the_readings_and_u_below_the_best_witness(
    readings: list[NumericReading],
) -> None:
    found = combine_readings(readings)
    values = [reading.value for reading in readings]
    assert min(values) - 1e-9 <= found.value <= max(values) + 1e-9
    assert found.u_internal <= min(witness.u for witness in found.witnesses) * (1 + 1e-12)
    assert found.u >= found.u_internal
    assert math.fsum(found.weights) == pytest.approx(1.0)
    assert found.low < found.value < found.high


@settings(deadline=None)
@given(_READINGS, st.sampled_from([0.25, 2.0, 1024.0]))
def test_another_unit_gives_the_same_answer_in_that_unit(
    readings: list[NumericReading], factor: float
) -> None:
    """Factors are powers of two, so that only the formula is tested and not rounding."""
    plain = combine_readings(readings)
    scaled = combine_readings(
        replace(reading, value=reading.value * factor, u=reading.u * factor) for reading in readings
    )
    assert scaled.value == pytest.approx(plain.value * factor, rel=1e-12)
    assert scaled.u == pytest.approx(plain.u * factor, rel=1e-9)
    assert scaled.chi2 == pytest.approx(plain.chi2, rel=1e-9, abs=1e-12)
    assert scaled.odd == plain.odd


@settings(deadline=None)
@given(_READINGS, st.floats(-500.0, 500.0))
def test_another_origin_shifts_the_value_and_nothing_else(
    readings: list[NumericReading], shift: float
) -> None:
    moved = [replace(reading, value=reading.value + shift) for reading in readings]
    # A shift may round two values into one, which then is one figure.
    assume(len({(r.stem, r.value, r.u) for r in moved}) == len({(r.stem, r.value, r.u) for r in readings}))
    plain, shifted = combine_readings(readings), combine_readings(moved)
    assert shifted.value == pytest.approx(plain.value + shift, abs=1e-8)
    assert shifted.chi2 == pytest.approx(plain.chi2, rel=1e-6, abs=1e-8)


@settings(deadline=None)
@given(st.lists(st.floats(0.01, 100.0), min_size=1, max_size=8))
def test_internal_uncertainty_is_the_sum_of_inverse_squares(us: list[float]) -> None:
    assert compute_internal_u(us) == pytest.approx(1 / math.sqrt(sum(1 / u**2 for u in us)))


@settings(deadline=None)
@given(_READINGS)
def test_leaving_a_witness_out_never_raises_chi_square(readings: list[NumericReading]) -> None:
    found = combine_readings(readings)
    for rest in found.chi2_without:
        assert rest <= found.chi2 * (1 + 1e-9) + 1e-9
