"""The floor of readings: what is stated stays in the figures, however well readings agree; sheets given twice."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from doublure.trade.press.affine import Affine
from doublure.trade.press.register.correct import correction_of
from doublure.trade.press.register.fit import fit_machine
from doublure.trade.press.register.predict import predict_misfit
from doublure.trade.press.register.readings import BY_EYE_MM, find_twins, state_reading
from doublure.trade.press.register.records import FitModel, MapParts, MarkReading, SheetReadings
from doublure.trade.press.register.sheet_errors import BACK, gather_errors

CORNERS = [(x, y) for x in (-123.0, 123.0) for y in (-80.0, 80.0)]
PLACES = [(x, y) for x in (-123.0, 0.0, 123.0) for y in (-80.0, 0.0, 80.0)]


def agree(name: str, u_mm: float | None, places: list[tuple[float, float]] = CORNERS) -> SheetReadings:
    """Return a sheet on which an eye reads the same lines at every mark."""
    return SheetReadings(
        name, tuple(MarkReading(f"M{n}", x, y, 0.2, -0.2, u_mm) for n, (x, y) in enumerate(places))
    )


@pytest.mark.parametrize("u_mm", [0.1, BY_EYE_MM])
@pytest.mark.parametrize("count", [1, 2, 3, 10])
@pytest.mark.parametrize("places", [CORNERS, PLACES, CORNERS[:1]], ids=["four", "nine", "one"])
def test_readings_that_agree_are_not_certain(u_mm: float, count: int, places: list[tuple[float, float]]) -> None:
    """Neither more marks nor more sheets take the uncertainty of the mean below that of one reading."""
    fit = fit_machine([agree(str(n), u_mm, places) for n in range(count)])
    assert not fit.shear_carried
    assert fit.unseen_mm == pytest.approx(u_mm)
    assert fit.parts_u.shift_x_mm >= u_mm * (1 - 1e-12)
    for x, y in (*CORNERS, (0.0, 0.0), (148.5, 105.0)):
        after = predict_misfit(fit, x, y, corrected=True)
        assert after.u_mean_mm >= math.sqrt(2) * u_mm - 1e-12
        assert min(after.half_dx_mm, after.half_dy_mm) >= 1.95 * u_mm
        assert after.p95_mm >= math.sqrt(-2 * math.log(0.05)) * u_mm * 0.99


def test_turn_and_scale_are_not_certain_either() -> None:
    """A scale that hides its tenth at every mark hides a turn by so much at the marks."""
    fit = fit_machine([agree(str(n), 0.1) for n in range(3)])
    away = math.hypot(123.0, 80.0)
    # Less than if the three sheets and their marks were each another error, since they may be the same one.
    assert fit.parts_u.rotation_rad >= 0.1 / away
    assert fit.parts_u.scale_x >= 0.1 / away


def test_scatter_that_is_as_stated_adds_nothing() -> None:
    """Where the marks scatter as much as was stated, or more, the figures are those of readings without a floor."""
    rng = np.random.default_rng(1)
    sheets = []
    for number in range(5):
        noise = rng.normal(0, 0.1, (9, 2)) + rng.normal(0, 0.3, 2)
        marks = tuple(MarkReading(f"M{n}", x, y, *noise[n]) for n, (x, y) in enumerate(PLACES))
        sheets.append(SheetReadings(str(number), marks))
    plain = fit_machine(sheets)
    assert plain.sigma_mm is not None
    stated = [
        SheetReadings(one.name, tuple(replace(mark, u_mm=0.9 * plain.sigma_mm) for mark in one.marks)) for one in sheets
    ]
    found = fit_machine(stated)
    assert found.unseen_mm == 0
    assert found.parts_u == plain.parts_u
    assert predict_misfit(found, 50.0, 50.0, False) == predict_misfit(plain, 50.0, 50.0, False)


def test_what_is_stated_rightly_costs_little() -> None:
    """With honest uncertainties 93 to 98 % of new sheets lie within the interval, and the truth is not blown up."""
    rng = np.random.default_rng(5)
    held = total = 0
    for _ in range(150):
        mean = rng.normal(0, 0.5, 2)
        sheets = []
        for number in range(5):
            shift = mean + rng.normal(0, 0.2, 2)
            noise = rng.normal(0, 0.05, (9, 2))
            marks = tuple(MarkReading(f"M{n}", x, y, *(shift + noise[n]), 0.05) for n, (x, y) in enumerate(PLACES))
            sheets.append(SheetReadings(str(number), marks))
        fit = fit_machine(sheets)
        misfit = predict_misfit(fit, 60.0, 40.0, corrected=False)
        for _ in range(20):
            dx, dy = mean + rng.normal(0, 0.2, 2)
            held += abs(dx - misfit.mean_dx_mm) <= misfit.half_dx_mm
            held += abs(dy - misfit.mean_dy_mm) <= misfit.half_dy_mm
            total += 2
    assert 0.93 <= held / total <= 0.98


@pytest.mark.parametrize("varies", [0.0, 0.03, 0.1])
@pytest.mark.parametrize("count", [3, 5])
def test_true_sheets_lie_within_what_coarse_readings_predict(varies: float, count: int) -> None:
    """Printers whose true shift is read to the nearest line of a 0.2 mm scale: at least 93 % of new sheets are held.

    Without the floor nearly none would be where the printer is steady, since all its readings are the same.
    """
    rng = np.random.default_rng(6)
    held = total = 0
    for _ in range(150):
        mean = rng.uniform(-1, 1, 2)
        sheets = []
        for number in range(count):
            dx, dy = (float(round(v / 0.2) * 0.2) for v in mean + rng.normal(0, varies, 2))
            marks = tuple(MarkReading(f"M{n}", x, y, dx, dy, BY_EYE_MM) for n, (x, y) in enumerate(CORNERS))
            sheets.append(SheetReadings(str(number), marks))
        fit = fit_machine(sheets)
        undo = correction_of(fit)
        after = predict_misfit(fit, 0.0, 0.0, corrected=True)
        for _ in range(20):
            dx, dy = mean + rng.normal(0, varies, 2)
            off = Affine(x_mm=dx, y_mm=dy).apply(*undo.apply(0.0, 0.0))
            held += math.hypot(*off) <= after.p95_mm
            total += 1
    assert held / total >= 0.93


def test_the_next_line_of_the_scale_is_no_blunder() -> None:
    """Eight marks read +0.2 and one +0.4: a step of the scale, unless something finer is stated."""
    marks = list(agree("a", 0.1, PLACES).marks)
    marks[4] = replace(marks[4], dx_mm=0.4)
    assert fit_machine([SheetReadings("a", tuple(marks))]).sheets[0].left_out == ()
    marks[4] = replace(marks[4], dx_mm=1.4)
    assert fit_machine([SheetReadings("a", tuple(marks))]).sheets[0].left_out == ("M4",)


def test_crossovers_carry_the_floor() -> None:
    """The mean of the back's figures is not known exactly: at any point, as in the prediction."""
    fit = fit_machine([agree(str(n), 0.1) for n in range(3)])
    assert fit.model is FitModel.SIMILARITY
    errors = gather_errors(fit, (), 0.5)
    point = (100.0, -60.0)
    at = np.array([1.0, *point])
    found = sum(
        float(at @ block.of_mean[BACK, BACK][:3, :3] @ at + at @ block.of_mean[BACK, BACK][3:, 3:] @ at)
        for block in errors.blocks
    )
    unseen = 0.01 * 4 * 2 * (1 / 4 + (100.0**2 + 60.0**2) / (4 * (123.0**2 + 80.0**2)))
    assert found == pytest.approx(unseen, rel=1e-9)
    # And nothing of it differs from sheet to sheet.
    assert all(np.abs(block.new[BACK, BACK]).max() < 1e-20 for block in errors.blocks)


def test_unequal_weights_state_the_uncertainty_of_weight_one() -> None:
    """A doubtful mark does not make the good ones doubtful."""
    rng = np.random.default_rng(2)
    marks = [
        MarkReading(f"M{n}", x, y, *rng.normal(0, 0.02, 2), 0.02) for n, (x, y) in enumerate(PLACES + CORNERS)
    ]
    marks[0] = replace(marks[0], u_mm=1.0)
    spread = fit_machine([SheetReadings("a", tuple(marks))]).sheets[0].spread
    assert spread is not None
    assert spread.u_mm == pytest.approx(1 / math.sqrt(np.mean([mark.u_mm**-2 for mark in marks if mark.u_mm])))


def test_a_sheet_given_twice_is_found() -> None:
    """By its offsets, in whatever order; not where an eye may well read the same lines again."""
    rng = np.random.default_rng(3)
    fine = tuple(MarkReading(f"M{n}", x, y, *rng.normal(0, 0.2, 2)) for n, (x, y) in enumerate(CORNERS))
    other = (replace(fine[0], dx_mm=fine[0].dx_mm + 0.001), *fine[1:])
    sheets = [SheetReadings("a", fine), SheetReadings("b", fine[::-1]), SheetReadings("c", other)]
    assert find_twins(sheets) == {"b": "a"}
    assert find_twins([agree("a", 0.1), agree("b", 0.1)]) == {}
    # One picture that was read twice, not quite alike.
    assert find_twins(sheets, {"a": "one.jpg", "c": "one.jpg", "b": ""}) == {"b": "a", "c": "a"}


def test_what_an_eye_leaves_open_is_the_half_step() -> None:
    """A stated uncertainty counts where it is larger; a scale cannot be read to a hundredth."""
    assert state_reading(None, True) == state_reading(0.01, True) == pytest.approx(0.2 / math.sqrt(12))
    assert state_reading(0.15, True) == 0.15
    assert (state_reading(0.01, False), state_reading(None, False)) == (0.01, None)


def test_the_parts_of_a_map_have_a_place_each() -> None:
    """One sheet whose marks agree: shift as one reading, no shear."""
    fit = fit_machine([agree("a", 0.1)])
    assert fit.parts_u == MapParts(*(pytest.approx(value) for value in (
        0.1, 0.1, 0.1 / math.hypot(123, 80), 0.1 / math.hypot(123, 80), 0.1 / math.hypot(123, 80), 0.0
    )))
