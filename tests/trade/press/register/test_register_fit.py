"""Fits of one sheet and of a machine: exact cases, sigma, weights, blunders, choice of model, refusals."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from doublure.errors import DomainError
from doublure.trade.press.affine import Affine
from doublure.trade.press.register.fit import fit_machine, fit_sheet
from doublure.trade.press.register.parts import join_parts, split_map
from doublure.trade.press.register.records import FitModel, MapParts, MarkReading, SheetReadings

PLACES = [(x, y) for x in (-123.0, 0.0, 123.0) for y in (-80.0, 0.0, 80.0)]
CORNERS = [(x, y) for x in (-123.0, 123.0) for y in (-80.0, 80.0)]
SHIFT = MapParts(0.4, -0.3, 0.0, 1.0, 1.0, 0.0)
RIGID = MapParts(0.4, -0.3, 0.004, 1.0, 1.0, 0.0)
SIMILAR = MapParts(0.4, -0.3, 0.004, 0.9985, 0.9985, 0.0)
SHEARED = MapParts(0.4, -0.3, 0.004, 0.9985, 1.0008, 0.0012)


def read_marks(
    register: Affine,
    places: list[tuple[float, float]] = PLACES,
    noise: np.ndarray | None = None,
    u_mm: float | None = None,
    name: str = "one",
) -> SheetReadings:
    """Return the readings that a map gives, with some noise."""
    marks = []
    for number, (x, y) in enumerate(places):
        to_x, to_y = register.apply(x, y)
        dx, dy = (0.0, 0.0) if noise is None else noise[number]
        marks.append(MarkReading(f"M{number}", x, y, to_x - x + dx, to_y - y + dy, u_mm))
    return SheetReadings(name, tuple(marks))


def as_tuple(register: Affine) -> tuple[float, ...]:
    """Return the six figures of a map."""
    return (register.xx, register.xy, register.yx, register.yy, register.x_mm, register.y_mm)


@pytest.mark.parametrize(
    ("model", "parts"),
    [
        (FitModel.SHIFT, SHIFT),
        (FitModel.RIGID, RIGID),
        (FitModel.SIMILARITY, SIMILAR),
        (FitModel.AFFINE, SHEARED),
    ],
)
@pytest.mark.parametrize("off", [(0.0, 0.0), (61.0, -37.0)])
def test_readings_without_error_give_the_map_back(
    model: FitModel, parts: MapParts, off: tuple[float, float]
) -> None:
    """Each model recovers its own kind of map, also from marks off the middle of the sheet."""
    truth = join_parts(parts)
    fit = fit_sheet(read_marks(truth, [(x + off[0], y + off[1]) for x, y in PLACES]), model)
    assert as_tuple(fit.map) == pytest.approx(as_tuple(truth), abs=1e-11)
    assert fit.rms_residual_mm < 1e-11
    assert fit.left_out == ()


def test_parts_and_map_are_each_others_inverse() -> None:
    """Splitting and joining change nothing, with every part at work."""
    again = split_map(join_parts(SHEARED))
    for name in MapParts.__slots__:
        assert getattr(again, name) == pytest.approx(getattr(SHEARED, name), abs=1e-15)


def test_one_mark_is_a_shift_and_two_a_similarity() -> None:
    """What so few marks carry is fitted; sigma stays open where nothing is left over."""
    one = fit_sheet(read_marks(join_parts(SIMILAR), [(30.0, 20.0)]))
    assert (one.model, one.sigma_mm) == (FitModel.SHIFT, None)
    two = fit_sheet(read_marks(join_parts(SIMILAR), [(-100.0, 0.0), (100.0, 50.0)]))
    assert (two.model, two.sigma_mm) == (FitModel.SIMILARITY, None)
    assert as_tuple(two.map) == pytest.approx(as_tuple(join_parts(SIMILAR)), abs=1e-12)


@pytest.mark.parametrize("model", list(FitModel))
def test_sigma_is_without_bias(model: FitModel) -> None:
    """The mean of sigma squared over many sheets is the variance of a reading, whatever the model."""
    rng = np.random.default_rng(11)
    truth = join_parts(SHIFT)
    squares = [
        fit_sheet(read_marks(truth, CORNERS, rng.normal(0, 0.05, (4, 2))), model).sigma_mm
        for _ in range(1500)
    ]
    mean = float(np.mean([(sigma or 0.0) ** 2 for sigma in squares]))
    degrees = 8 - {"SHIFT": 2, "RIGID": 3, "SIMILARITY": 4, "AFFINE": 6}[model.name]
    assert mean == pytest.approx(0.05**2, rel=4 * math.sqrt(2 / degrees / 1500))


def test_a_weight_counts_like_several_readings() -> None:
    """A mark with half the uncertainty pulls like four marks at its place."""
    rng = np.random.default_rng(2)
    noise = rng.normal(0, 0.05, (9, 2))
    sheet = read_marks(join_parts(SIMILAR), PLACES, noise, 0.1)
    sharp = replace(sheet.marks[0], u_mm=0.05)
    weighted = fit_sheet(SheetReadings("w", (sharp, *sheet.marks[1:])), FitModel.AFFINE)
    repeated = fit_sheet(SheetReadings("r", (sheet.marks[0],) * 4 + sheet.marks[1:]), FitModel.AFFINE)
    assert as_tuple(weighted.map) == pytest.approx(as_tuple(repeated.map), abs=1e-12)


def test_a_mark_without_uncertainty_counts_like_the_usual_one() -> None:
    """Where only some marks state an uncertainty, the others weigh as their root mean square."""
    rng = np.random.default_rng(3)
    sheet = read_marks(join_parts(SIMILAR), PLACES, rng.normal(0, 0.05, (9, 2)), 0.1)
    some = (replace(sheet.marks[0], u_mm=None), *sheet.marks[1:])
    assert fit_sheet(SheetReadings("s", some)).map == fit_sheet(sheet).map


@pytest.mark.parametrize("model", [FitModel.SIMILARITY, FitModel.AFFINE])
def test_marks_on_a_wrong_dot_are_left_out_and_named(model: FitModel) -> None:
    """Two of 13 marks are off by millimetres, to the same side, so that they back each other up."""
    rng = np.random.default_rng(4)
    places = PLACES + [(-60.0, 80.0), (60.0, 80.0), (-60.0, -80.0), (60.0, -80.0)]
    noise = rng.normal(0, 0.03, (13, 2))
    clean = fit_sheet(read_marks(join_parts(SIMILAR), places, noise), model)
    noise[2] += (2.5, 1.0)
    noise[5] += (2.4, 1.1)
    found = fit_sheet(read_marks(join_parts(SIMILAR), places, noise), model)
    assert clean.left_out == ()
    assert found.left_out == ("M2", "M5")
    assert found.marks == 11
    assert found.map.x_mm == pytest.approx(clean.map.x_mm, abs=0.05)
    assert found.sigma_mm == pytest.approx(0.03, abs=0.02)


def test_clean_marks_are_hardly_ever_left_out() -> None:
    """By-eye readings (0.15 mm): among 400 machines of three sheets less than a hundredth loses a mark."""
    rng = np.random.default_rng(5)
    lost = sum(
        any(
            sheet.left_out
            for sheet in fit_machine(
                [
                    read_marks(join_parts(RIGID), PLACES, rng.normal(0, 0.15, (9, 2)), name=str(s))
                    for s in range(3)
                ]
            ).sheets
        )
        for _ in range(400)
    )
    assert lost < 4


def test_the_other_sheets_show_up_what_four_marks_cannot() -> None:
    """A sheet of four marks cannot tell which is wrong to this degree of certainty; with nine beside it, it can."""
    rng = np.random.default_rng(6)
    sheets = []
    for number in range(10):
        noise = rng.normal(0, 0.1, (4, 2))
        if number == 3:
            noise[1] += (3.0, 0.0)
        sheets.append(read_marks(join_parts(SIMILAR), CORNERS, noise, name=f"t{number}"))
    assert fit_sheet(sheets[3]).left_out == ()
    machine = fit_machine(sheets)
    assert [fit.left_out for fit in machine.sheets] == [("M1",) if n == 3 else () for n in range(10)]


def test_no_more_than_a_quarter_of_the_marks_goes() -> None:
    """Where a third of the marks is wrong the sheet keeps them: it is not blunders then but a bad sheet."""
    rng = np.random.default_rng(7)
    noise = rng.normal(0, 0.02, (9, 2))
    noise[[0, 4, 8]] += ((2.0, 0.0), (0.0, 2.0), (-2.0, -2.0))
    fit = fit_sheet(read_marks(join_parts(SIMILAR), PLACES, noise))
    assert len(fit.left_out) <= 2
    assert fit.marks + len(fit.left_out) == 9


def test_cockled_paper_is_no_blunder() -> None:
    """A mark that lies a tenth of a millimetre off stays in, however sharply the others agree."""
    rng = np.random.default_rng(8)
    noise = rng.normal(0, 0.002, (9, 2))
    noise[4] += (0.1, 0.0)
    assert fit_sheet(read_marks(join_parts(SIMILAR), PLACES, noise)).left_out == ()


def test_shear_is_carried_only_where_the_data_carry_it() -> None:
    """Machines with shear get the affine map; of those without, few do (two tests at 5 %)."""
    rng = np.random.default_rng(9)

    def carried(parts: MapParts) -> int:
        return sum(
            fit_machine(
                [
                    read_marks(join_parts(parts), PLACES, rng.normal(0, 0.03, (9, 2)), name=str(s))
                    for s in range(4)
                ]
            ).shear_carried
            for _ in range(200)
        )

    assert carried(SHEARED) == 200
    assert carried(SIMILAR) <= 32


def test_readings_without_any_error_carry_no_shear_that_is_not_there() -> None:
    """Rounding is not shear; a shear that is there is found also where nothing is left over."""
    assert fit_machine([read_marks(join_parts(SIMILAR))]).model is FitModel.SIMILARITY
    assert fit_machine([read_marks(join_parts(SHEARED))]).model is FitModel.AFFINE


def test_a_machine_is_the_mean_of_its_sheets() -> None:
    """The systematic map takes each point to the mean; its uncertainty and the random part are those of the sheets."""
    shifts = [0.1, 0.4, 0.7, 1.0]
    sheets = [read_marks(Affine(x_mm=s, y_mm=-s / 2), CORNERS, name=str(s)) for s in shifts]
    fit = fit_machine(sheets)
    sd = float(np.std(shifts, ddof=1))
    assert (fit.parts.shift_x_mm, fit.parts.shift_y_mm) == pytest.approx((0.55, -0.275))
    assert (fit.parts_u.shift_x_mm, fit.parts_u.shift_y_mm) == pytest.approx((sd / 2, sd / 4))
    assert fit.random is not None
    assert fit.random.shift_x_mm == pytest.approx(sd)
    assert fit.random.rotation_rad == pytest.approx(0, abs=1e-9)
    assert [sheet.name for sheet in fit.sheets] == ["0.1", "0.4", "0.7", "1.0"]


def test_one_sheet_has_the_uncertainty_of_its_marks() -> None:
    """The stated u of the parts agrees with repeated readings of one sheet."""
    rng = np.random.default_rng(10)
    fits = [
        fit_machine([read_marks(join_parts(SHEARED), PLACES, rng.normal(0, 0.05, (9, 2)))], FitModel.AFFINE)
        for _ in range(1500)
    ]
    assert fits[0].random is None
    for name in MapParts.__slots__:
        found = float(np.std([getattr(fit.parts, name) for fit in fits], ddof=1))
        stated = math.sqrt(float(np.mean([getattr(fit.parts_u, name) ** 2 for fit in fits])))
        assert stated == pytest.approx(found, rel=0.08), name


def test_sheets_with_too_few_marks_are_named_and_not_counted() -> None:
    """One mark beside sheets of nine: the shift of one mark would take its rotation for a shift."""
    sheets = [
        read_marks(join_parts(SHEARED), name="a"),
        read_marks(join_parts(SHEARED), [(100.0, 0.0)], name="b"),
    ]
    fit = fit_machine(sheets)
    assert fit.left_out == ("b",)
    assert [sheet.name for sheet in fit.sheets] == ["a"]


def test_sheets_of_one_mark_each_make_a_shift() -> None:
    """Where no sheet has more than one mark, the shift is what can be known."""
    fit = fit_machine([read_marks(Affine(x_mm=s), [(0.0, 0.0)], name=str(s)) for s in (0.2, 0.4)])
    assert (fit.model, fit.sigma_mm) == (FitModel.SHIFT, None)
    assert fit.parts.shift_x_mm == pytest.approx(0.3)


@pytest.mark.parametrize(
    ("sheet", "model", "words"),
    [
        (SheetReadings("t", ()), None, "no mark was read"),
        (
            SheetReadings("t", (MarkReading("A", 0, 0, math.nan, 0),)),
            None,
            "mark A: its place and its offset",
        ),
        (SheetReadings("t", (MarkReading("A", 0, math.inf, 0, 0),)), None, "finite"),
        (SheetReadings("t", (MarkReading("A", 0, 0, 0, 0, 0.0),)), None, "greater than 0"),
        (
            SheetReadings("t", (MarkReading("A", 0, 0, 0, 0),)),
            FitModel.RIGID,
            "at least 2 marks, and 1 is left",
        ),
        (read_marks(Affine(), [(0, 0), (50, 50), (90, 90)]), FitModel.AFFINE, "do not lie on one line"),
        (read_marks(Affine(), [(5, 5), (5, 5), (5, 5)]), FitModel.SIMILARITY, "at different places"),
    ],
)
def test_what_cannot_be_fitted_is_refused_in_words(
    sheet: SheetReadings, model: FitModel | None, words: str
) -> None:
    """No marks, numbers that are none, marks that do not carry the model; the sheet is named."""
    with pytest.raises(DomainError, match=words) as caught:
        fit_sheet(sheet, model)
    assert f"test sheet {sheet.name}" in caught.value.message


def test_marks_on_one_line_are_no_hindrance_to_a_similarity() -> None:
    """Left to choose, the fit takes what the marks carry."""
    line = [(-100.0, -50.0), (0.0, 0.0), (60.0, 30.0), (100.0, 50.0)]
    fit = fit_sheet(read_marks(join_parts(SHEARED), line))
    assert fit.model is FitModel.SIMILARITY
    assert fit_sheet(read_marks(Affine(x_mm=1), [(5, 5), (5, 5)])).model is FitModel.SHIFT


def test_no_sheet_and_the_same_sheet_twice_are_refused() -> None:
    """A machine needs one sheet; a name given twice would count one sheet as two."""
    with pytest.raises(DomainError, match="no test sheet"):
        fit_machine([])
    with pytest.raises(DomainError, match="given twice"):
        fit_machine([read_marks(Affine()), read_marks(Affine())])
