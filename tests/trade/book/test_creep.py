"""Creep: against folds drawn point by point, carried uncertainty, calibration, refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.trade.book.creep import (
    CreepRule,
    calibrate_creep_step,
    compute_creep,
    compute_creep_step,
    trim_leaves,
)
from doublure.trade.book.imposition import lay_pages
from fold_simulator import bind

calipers = st.floats(0.02, 0.6)


def fore_edge_of_bent_sheet(sheets: int, sheet: int, caliper_mm: float, width_mm: float) -> float:
    """Bend a strip round a half circle in short chords, then on in a straight line; return where its end
    lies.

    The innermost strip lies on a circle of half a caliper, each further one a caliper outside it. The
    distance is taken from the common centre, away from the fold.
    """
    radius = (sheets - sheet + 0.5) * caliper_mm
    chords = 20_000
    used = 0.0
    before = (radius, 0.0)
    # From the middle of the fold a quarter circle leads into the straight part of one leaf.
    for step in range(1, chords + 1):
        angle = math.pi / 2 * step / chords
        here = (radius * math.cos(angle), radius * math.sin(angle))
        used += math.dist(before, here)
        before = here
    return width_mm / 2 - used


@pytest.mark.parametrize(("sheets", "caliper_mm"), [(2, 0.1), (4, 0.11), (7, 0.3)])
def test_the_round_rule_against_bent_strips(sheets: int, caliper_mm: float) -> None:
    """Push-outs by the round rule are the differences between the ends of strips bent point by point."""
    creep = compute_creep(sheets, compute_creep_step(Measured(caliper_mm), CreepRule.ROUND))
    outermost = fore_edge_of_bent_sheet(sheets, 1, caliper_mm, 200)
    for each in creep.sheets:
        end = fore_edge_of_bent_sheet(sheets, each.sheet, caliper_mm, 200)
        assert each.push_out_mm.value == pytest.approx(end - outermost, abs=1e-6)


@settings(deadline=None)
@given(st.integers(1, 40), calipers, st.sampled_from([CreepRule.FLAT, CreepRule.ROUND]))
def test_push_out_grows_by_one_step_a_sheet(sheets: int, caliper_mm: float, rule: CreepRule) -> None:
    """The outermost sheet does not push out; each further one by one step, one to pi/2 calipers."""
    creep = compute_creep(sheets, compute_creep_step(Measured(caliper_mm), rule))
    out = [each.push_out_mm.value for each in creep.sheets]
    assert out[0] == 0
    assert creep.total_mm.value == out[-1]
    for outer, inner in zip(out, out[1:], strict=False):
        assert caliper_mm * (1 - 1e-9) <= inner - outer <= caliper_mm * 1.571
    assert creep.step.is_usual
    assert not creep.is_beyond_dummy


@settings(deadline=None)
@given(st.integers(1, 10))
def test_leaves_push_out_as_their_sheet_does(sheets: int) -> None:
    """Leaf by leaf, the sheet named is the one that a folded gathering shows."""
    creep = compute_creep(sheets, compute_creep_step(Measured(0.1), CreepRule.FLAT))
    book = bind(lay_pages(4 * sheets, sheets).as_record()["sheets"], spine_at_right=False)
    assert [leaf.sheet for leaf in creep.leaves] == [panel.sheet for panel in book]
    assert [leaf.leaf for leaf in creep.leaves] == list(range(1, 2 * sheets + 1))
    by_sheet = {each.sheet: each.push_out_mm for each in creep.sheets}
    assert all(leaf.push_out_mm == by_sheet[leaf.sheet] for leaf in creep.leaves)


@settings(deadline=None)
@given(st.integers(2, 12), st.floats(1.0, math.pi / 2), calipers)
def test_a_dummy_gives_back_the_factor_that_it_was_folded_with(
    sheets: int, factor: float, caliper_mm: float
) -> None:
    """A dummy made to a known factor gives that factor, and a gathering like it pushes out as it did."""
    measured = Measured(factor * (sheets - 1) * caliper_mm)
    step = calibrate_creep_step(Measured(caliper_mm), sheets, measured)
    assert step.factor.value == pytest.approx(factor)
    assert step.is_usual
    creep = compute_creep(sheets, step)
    assert creep.total_mm.value == pytest.approx(measured.value)
    assert not creep.is_beyond_dummy
    assert compute_creep(sheets + 1, step).is_beyond_dummy


@pytest.mark.parametrize(
    ("push_out_mm", "is_usual"), [(0.29, False), (0.30, True), (0.40, True), (0.471, True), (0.48, False)]
)
def test_a_factor_outside_the_limits_is_flagged(push_out_mm: float, is_usual: bool) -> None:
    """Four sheets of 0.1 mm push out 0.3 mm to 0.471 mm; what was measured beyond is used, but flagged."""
    step = calibrate_creep_step(Measured(0.1), 4, Measured(push_out_mm))
    assert step.is_usual is is_usual
    assert compute_creep(4, step).total_mm.value == pytest.approx(push_out_mm)


def test_uncertainty_is_carried() -> None:
    """By a rule the caliper's uncertainty counts; calibrated, only that of the dummy does."""
    flat = compute_creep(5, compute_creep_step(Measured(0.1, 0.003), CreepRule.FLAT))
    assert [s.push_out_mm.u for s in flat.sheets] == pytest.approx([0, 0.003, 0.006, 0.009, 0.012])
    round_total = compute_creep(5, compute_creep_step(Measured(0.1, 0.003), CreepRule.ROUND)).total_mm
    assert round_total.u == pytest.approx(4 * 0.003 * 1.5707963, abs=1e-8)
    step = calibrate_creep_step(Measured(0.1, 0.003), 5, Measured(0.5, 0.04))
    assert compute_creep(5, step).total_mm.u == pytest.approx(0.04)
    # Relative parts 0.08 and 0.03, added as squares: 1.25 * sqrt(0.0073).
    assert step.factor.u == pytest.approx(0.106800, abs=5e-7)
    assert compute_creep(3, compute_creep_step(Measured(0.1), CreepRule.FLAT)).total_mm.u is None
    assert calibrate_creep_step(Measured(0.1), 5, Measured(0.5, 0.04)).factor.u is None
    assert calibrate_creep_step(Measured(0.1, 0.003), 5, Measured(0.5)).step_mm.u is None


def test_leaves_are_trimmed_flush_with_the_outermost() -> None:
    """Three sheets of 0.2 mm, flat: leaves of 100 mm keep 100, 99.8, 99.6, 99.6, 99.8, 100 mm."""
    creep = compute_creep(3, compute_creep_step(Measured(0.2, 0.01), CreepRule.FLAT))
    trimmed = trim_leaves(creep, 100)
    assert [leaf.width_mm.value for leaf in trimmed] == pytest.approx([100, 99.8, 99.6, 99.6, 99.8, 100])
    assert [leaf.lost_mm.value for leaf in trimmed] == pytest.approx([0, 0.2, 0.4, 0.4, 0.2, 0])
    assert [leaf.sheet for leaf in trimmed] == [1, 2, 3, 3, 2, 1]
    assert trimmed[2].width_mm.u == pytest.approx(0.02)


@pytest.mark.parametrize("caliper", [0.0, -0.1, math.nan, math.inf])
def test_calipers_that_cannot_be(caliper: float) -> None:
    """A sheet has a thickness."""
    with pytest.raises(DomainError, match="caliper"):
        compute_creep_step(Measured(caliper), CreepRule.FLAT)
    with pytest.raises(DomainError, match="caliper"):
        calibrate_creep_step(Measured(caliper), 4, Measured(0.3))


def test_refusals() -> None:
    """No sheets, no dummy, a dummy of one sheet, no push-out, a bad uncertainty, a leaf that would vanish."""
    step = compute_creep_step(Measured(0.1), CreepRule.FLAT)
    for sheets in (0, -1, 1251):
        with pytest.raises(DomainError, match="sheets in a gathering"):
            compute_creep(sheets, step)
    with pytest.raises(DomainError, match="dummy must be measured"):
        compute_creep_step(Measured(0.1), CreepRule.CALIBRATED)
    with pytest.raises(DomainError, match="sheets of the dummy"):
        calibrate_creep_step(Measured(0.1), 1, Measured(0.3))
    with pytest.raises(DomainError, match="push-out of the dummy"):
        calibrate_creep_step(Measured(0.1), 4, Measured(0.0))
    with pytest.raises(DomainError, match="uncertainty"):
        compute_creep_step(Measured(0.1, -0.01), CreepRule.FLAT)
    with pytest.raises(DomainError, match="sheets outside it"):
        step.push_out_mm(-1)
    with pytest.raises(DomainError, match="width of a leaf"):
        trim_leaves(compute_creep(4, step), 0)
    with pytest.raises(DomainError, match="fewer sheets"):
        trim_leaves(compute_creep(11, step), 1.0)
