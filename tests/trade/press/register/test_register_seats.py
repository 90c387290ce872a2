"""The seat of the print: what of it is told from nothing, and what is left at the fold when both sides are moved by it.

Sheets are printed, folded edge to edge and opened one by one by a simulation that knows nothing of the sums: two
passes lay points on the paper, the paper is folded where the fold falls, and one looks at the sides.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy import stats

from doublure.trade.book.crossovers import CrossoverKind
from doublure.trade.book.gatherings import Side
from doublure.trade.press.affine import IDENTITY, Affine
from doublure.trade.press.register.correct import (
    correction_of,
    join_back,
    keeps_inside,
    seat_correction_of,
)
from doublure.trade.press.register.crossovers import CrossoverHalf, CrossoverSpec, Handwork, predict_crossover
from doublure.trade.press.register.fit import fit_machine
from doublure.trade.press.register.records import CrossoverMisfit, MarkReading, SeatReading, SheetReadings
from doublure.trade.press.register.seats import SeatMean, SeatMeans, counts_fold, mean_seats

LENGTH = 148.0
MARKS = [(x, y) for x in (-123.0, 0.0, 123.0) for y in (-80.0, 0.0, 80.0)]
EXACT = Handwork(0.0, 0.0, 0.0, 0.0, 0.0)
FRONT, BACK = Side.FRONT, Side.BACK
SPREADS = [
    (CrossoverKind.TWO_SHEETS, BACK, FRONT),
    (CrossoverKind.TWO_SHEETS, FRONT, BACK),
    (CrossoverKind.TWO_GATHERINGS, FRONT, FRONT),
]
ids = ["back then front", "front then back", "two fronts"]


@dataclass(frozen=True)
class Printed:
    """One sheet: where the pass of the front puts its print, where its back comes to lie against it, the fold.

    Attributes:
        dx, dy, turn: Of the front on the paper.
        back: From where the back should lie on the front to where it lies.
        spine: Where the fold falls, right of the middle of the paper; made edge to edge, whatever is printed.
    """

    dx: float = 0.0
    dy: float = 0.0
    turn: float = 0.0
    back: Affine = IDENTITY
    spine: float = 0.0

    def lay(self, x: float, y: float) -> tuple[float, float]:
        """Return where a point of the front's file lands on the paper."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return cos * x - sin * y + self.dx, sin * x + cos * y + self.dy

    def read(self, name: str) -> SheetReadings:
        """Return what is read of it by a careful eye."""
        marks = []
        for number, (x, y) in enumerate(MARKS):
            to_x, to_y = self.back.apply(x, y)
            marks.append(MarkReading(f"M{number}", x, y, to_x - x, to_y - y))
        seat = SeatReading(self.dx, self.dy, self.turn, self.spine - self.dx)
        return SheetReadings(name, tuple(marks), seat)

    def see(self, side: Side, y: float, front: Affine, back: Affine) -> tuple[float, float]:
        """Return where a point of the printed fold line is: right of the fold and down, as one looks at its side."""
        if side is FRONT:
            at_x, at_y = self.lay(*front.apply(0.0, y))
            return at_x - self.spine, at_y
        at_x, at_y = self.lay(*self.back.apply(*back.apply(0.0, y)))
        return -(at_x - self.spine), at_y


def meet(
    left: Printed, right: Printed, sides: tuple[Side, Side], y: float, front: Affine, back: Affine
) -> tuple[float, float]:
    """Return gap and step of two halves at one height."""
    (ul, vl), (ur, vr) = left.see(sides[0], y, front, back), right.see(sides[1], y, front, back)
    return ur - ul, vr - vl


def spec_of(kind: CrossoverKind, left: Side, right: Side) -> CrossoverSpec:
    """Return a crossover on the middle of the sheet."""
    halves = [
        CrossoverHalf(page, side, (0.0, -LENGTH / 2), (0.0, LENGTH / 2))
        for page, side in ((2, left), (3, right))
    ]
    return CrossoverSpec(kind, halves[0], halves[1], handwork=EXACT, tolerance_mm=1.0)


MACHINE = Affine(0.9988, -0.0024, 0.0021, 0.9991, 0.95, -0.6)
"""What is done to the backs of every sheet: moved by 1.1 mm, turned by 0.13°, shrunk, a little sheared."""

EVERY = Printed(0.8, -0.7, 0.004, MACHINE, 0.35)


def corrections(sheets: tuple[SheetReadings, ...]) -> tuple[Affine, Affine]:
    """Return what fronts and backs are moved by."""
    front = seat_correction_of(mean_seats(sheets))
    return front, join_back(correction_of(fit_machine(sheets)), front)


@pytest.mark.parametrize(("kind", "left", "right"), SPREADS, ids=ids)
@pytest.mark.parametrize("reads_fold", [True, False], ids=["fold read", "seat read"])
def test_a_machine_without_chance_meets_at_the_fold(
    kind: CrossoverKind, left: Side, right: Side, reads_fold: bool
) -> None:
    """Systematic seat, turn, fold and register: bad before, within 0.1 mm (the rounding of it) after, everywhere."""
    every = EVERY if reads_fold else replace(EVERY, spine=0.0)
    sheets = tuple(every.read(name) for name in "abc")
    if not reads_fold:
        sheets = tuple(replace(one, front=replace(one.front, fold_dx_mm=None)) for one in sheets)
    front, back = corrections(sheets)
    only_backs = correction_of(fit_machine(sheets))
    heights = (-LENGTH / 2, -20.0, 0.0, 50.0, LENGTH / 2)

    def worst(front: Affine, back: Affine) -> float:
        return max(math.hypot(*meet(every, every, (left, right), y, front, back)) for y in heights)

    assert worst(front, back) < 1e-9
    if left is not right:
        # Backs on their fronts alone leave twice what the fronts lie beside the fold, and the turn.
        assert worst(IDENTITY, only_backs) > 2 * abs(every.dx - every.spine)
    for y in heights:
        for side in (FRONT, BACK):
            right_of_fold, down = every.see(side, y, front, back)
            assert (right_of_fold, down) == pytest.approx((0.0, y), abs=1e-9)


def test_the_order_of_the_two_corrections_of_the_backs_matters() -> None:
    """The other way round the back would miss its front: the test above could fail."""
    every = replace(EVERY, turn=0.05)
    sheets = tuple(every.read(name) for name in "abc")
    front, back = corrections(sheets)
    wrong = front.after(correction_of(fit_machine(sheets)))
    assert math.hypot(*meet(every, every, (BACK, FRONT), 74.0, front, back)) < 1e-9
    assert math.hypot(*meet(every, every, (BACK, FRONT), 74.0, front, wrong)) > 0.03
    # Undone by their inverses, the files are what they were.
    for map_ in (front, back):
        assert map_.inverse().apply(*map_.apply(120.0, -90.0)) == pytest.approx((120.0, -90.0), abs=1e-9)


def draw_sheets(rng: np.random.Generator, count: int, mean: Printed) -> list[Printed]:
    """Return sheets of a printer that goes wrong a little differently each time, folded edge to edge."""
    return [
        Printed(
            mean.dx + rng.normal(0, 0.22),
            mean.dy + rng.normal(0, 0.2),
            mean.turn + rng.normal(0, 0.001),
            Affine(
                mean.back.xx, mean.back.xy, mean.back.yx, mean.back.yy,
                mean.back.x_mm + rng.normal(0, 0.15), mean.back.y_mm + rng.normal(0, 0.15),
            ),
            mean.spine + rng.normal(0, 0.15),
        )
        for _ in range(count)
    ]  # fmt: skip


@pytest.mark.parametrize(("kind", "left", "right"), SPREADS, ids=ids)
@pytest.mark.parametrize("reads_fold", [True, False], ids=["fold read", "seat read"])
def test_what_is_predicted_is_what_corrected_sheets_do(
    kind: CrossoverKind, left: Side, right: Side, reads_fold: bool
) -> None:
    """From 3000 read sheets: mean, spread and share of failures of 15,000 spreads printed with both corrections."""
    rng = np.random.default_rng(41)
    every = EVERY if reads_fold else replace(EVERY, spine=0.0)
    readings = tuple(sheet.read(str(n)) for n, sheet in enumerate(draw_sheets(rng, 3000, every)))
    if not reads_fold:
        readings = tuple(replace(one, front=replace(one.front, fold_dx_mm=None)) for one in readings)
    fit = fit_machine(readings)
    front, back = corrections(readings)
    handwork = replace(EXACT, fold_mm=0.15)
    spec = replace(
        spec_of(kind, left, right), fit=fit, sheets=readings, corrected=True, front=front, handwork=handwork
    )
    found = predict_crossover(spec)
    sheets = draw_sheets(rng, 30000, every)
    y = found.worst_y_mm - LENGTH / 2
    seen = np.array(
        [meet(a, b, (left, right), y, front, back) for a, b in zip(sheets[::2], sheets[1::2], strict=True)]
    )
    assert (found.mean_dx_mm, found.mean_dy_mm) == pytest.approx((0.0, 0.0), abs=1e-6)
    assert tuple(seen.mean(axis=0)) == pytest.approx((0.0, 0.0), abs=0.02)
    assert (found.sd_dx_mm, found.sd_dy_mm) == pytest.approx(tuple(seen.std(axis=0)), rel=0.03)
    assert found.failing_share == pytest.approx(float((np.hypot(*seen.T) > 1.0).mean()), abs=0.012)
    backs_only = predict_crossover(replace(spec, front=IDENTITY))
    if left is not right:
        assert backs_only.failing_share > found.failing_share + 0.3


def test_a_part_that_is_not_moved_stays_in_the_mean() -> None:
    """Moved by half of what it lies beside the fold, the other half opens the gutter, twice; the spread is the same."""
    every = Printed(dx=0.6)
    rng = np.random.default_rng(43)
    sheets = tuple(one.read(str(n)) for n, one in enumerate(draw_sheets(rng, 8, every)))
    given = replace(spec_of(*SPREADS[0]), fit=fit_machine(sheets), sheets=sheets, corrected=True)
    none, half = (predict_crossover(replace(given, front=front)) for front in (IDENTITY, Affine(x_mm=-0.3)))
    assert none.mean_dx_mm - half.mean_dx_mm == pytest.approx(0.6, abs=1e-6)
    assert (none.sd_dx_mm, none.sd_dy_mm, none.degrees) == (half.sd_dx_mm, half.sd_dy_mm, half.degrees)


def test_the_mean_of_the_correction_is_not_known_exactly() -> None:
    """Of few sheets the mean is uncertain, and printed with it, the spread of a new sheet holds that: √(1 + 2/S)."""
    rng = np.random.default_rng(44)
    sheets = tuple(one.read(str(n)) for n, one in enumerate(draw_sheets(rng, 5, Printed(dx=0.9))))
    front, _ = corrections(sheets)
    spec = replace(spec_of(*SPREADS[0]), fit=fit_machine(sheets), sheets=sheets, corrected=True, front=front)
    parts = {part.name: part for part in predict_crossover(spec).parts}
    sd = float(np.std([one.front.fold_dx_mm for one in sheets if one.front.fold_dx_mm is not None], ddof=1))
    # Two sheets, and the one mean twice.
    assert parts["fold"].sd_dx_mm == pytest.approx(sd * math.sqrt(2 + 4 / 5))
    assert parts["fold"].mean_dx_mm == pytest.approx(0.0, abs=1e-6)


# What is told.


def seats(*read: tuple[float | None, float | None, float | None, float | None]) -> tuple[SheetReadings, ...]:
    """Return sheets without marks."""
    return tuple(SheetReadings(str(number), (), SeatReading(*one)) for number, one in enumerate(read))


@pytest.mark.parametrize("seed", range(6))
def test_what_is_told_is_what_a_t_test_tells(seed: int) -> None:
    """scipy's one-sample test at 5 % says the same of each figure."""
    rng = np.random.default_rng(seed)
    values = rng.normal((0.2, -0.3, 0.001, 0.15), (0.25, 0.3, 0.001, 0.2), size=(6, 4))
    found = mean_seats(seats(*(tuple(map(float, row)) for row in values)))  # type: ignore[arg-type]
    for figure, column in (
        (found.across, -values[:, 3]),
        (found.along, values[:, 1]),
        (found.turn, values[:, 2]),
    ):
        test = stats.ttest_1samp(column, 0.0)
        assert figure.is_told == bool(test.pvalue < 0.05)
        assert figure.mean == pytest.approx(float(np.mean(column)))
        assert figure.limit == pytest.approx(
            float(abs(np.mean(column) / test.statistic) * stats.t.ppf(0.975, 5))
        )


def test_of_a_printer_that_sits_straight_one_figure_in_twenty_is_moved_in_vain() -> None:
    """Two thousand printers without any systematic seat, five sheets each."""
    rng = np.random.default_rng(45)
    told = [
        mean_seats(seats(*((float(x), None, None, None) for x in rng.normal(0, 0.25, 5)))).across.is_told
        for _ in range(2000)
    ]
    assert 0.035 <= float(np.mean(told)) <= 0.065


@pytest.mark.parametrize(
    "sheets",
    [
        (),
        seats((None, None, None, None), (None, None, None, None)),
        seats((0.8, -0.7, 0.004, -0.5)),
        seats((0.5, -0.4, 0.002, 0.3), (-0.4, 0.3, -0.003, -0.2), (0.1, 0.2, 0.001, 0.0)),
        seats((0.004, 0.003, 0.00001, None), (0.004, 0.003, 0.00001, None)),
    ],
    ids=["no sheet", "nothing read", "one sheet", "not told", "too small"],
)
def test_what_is_not_told_moves_nothing(sheets: tuple[SheetReadings, ...]) -> None:
    front = seat_correction_of(mean_seats(sheets))
    assert front.is_identity
    assert math.copysign(1, front.yx) == math.copysign(1, front.x_mm) == 1.0
    correction = Affine(1.001, 0.002, -0.002, 0.999, -0.4, 0.3)
    assert join_back(correction, front) is correction


def test_each_figure_is_moved_by_itself() -> None:
    """The fold takes the place of the seat across; a shift along can be left out; the turn turns it with it."""
    told, none = SeatMean(0.5, 0.1, 0.2, 5, True), SeatMean(0.1, 0.1, 0.2, 5)
    turned = SeatMean(0.01, 0.001, 0.002, 5, True)
    assert seat_correction_of(SeatMeans(told, none, none, True)) == Affine(x_mm=-0.5)
    assert seat_correction_of(SeatMeans(none, told, none, True)) == Affine(y_mm=-0.5)
    assert seat_correction_of(SeatMeans(none, told, none, True), along=False).is_identity
    whole = seat_correction_of(SeatMeans(told, told, turned, True))
    seat = Affine(math.cos(0.01), -math.sin(0.01), math.sin(0.01), math.cos(0.01), 0.5, 0.5)
    assert seat.after(whole).apply(100.0, -70.0) == pytest.approx((100.0, -70.0), abs=1e-12)


def test_the_fold_counts_where_it_was_read() -> None:
    read = seats((0.6, None, None, -0.1), (0.7, None, None, -0.2), (0.8, None, None, None))
    assert counts_fold(read)
    assert mean_seats(read).across.mean == pytest.approx(0.15)
    unread = seats((0.6, None, None, -0.1), (0.7, None, None, None), (0.8, None, None, None))
    assert not counts_fold(unread)
    assert mean_seats(unread).across.mean == pytest.approx(0.7)


def test_a_fold_that_goes_by_the_print_is_left_where_it_is() -> None:
    """Told by the readings: folded by the printed marks, the fold is steady against the print and not the sheet."""
    rng = np.random.default_rng(46)
    found = {"marks": 0, "edges": 0}
    for _ in range(300):
        seat = rng.normal(0.8, 0.5, 8)
        for how in found:
            fold = 0.4 + rng.normal(0, 0.1, 8) - (seat if how == "edges" else 0)
            means = mean_seats(
                seats(*((float(s), None, 0.004, float(f)) for s, f in zip(seat, fold, strict=True)))
            )
            found[how] += means.follows_print
            if means.follows_print:
                assert seat_correction_of(means).is_identity
    assert found["marks"] > 290
    assert found["edges"] == 0
    # Always the same distance from the print, however the print sits.
    assert mean_seats(seats(*((x, None, None, 0.3) for x in (0.1, 0.5, 0.9)))).follows_print
    assert not mean_seats(seats(*((0.5, None, None, x) for x in (0.1, 0.3, 0.2)))).follows_print


def test_the_pages_stay_on_their_sheet() -> None:
    sheet = (297.0, 210.0)
    assert keeps_inside(Affine(x_mm=0.5), 148.0, 100.0, sheet)
    assert not keeps_inside(Affine(x_mm=-0.6), 148.0, 100.0, sheet)
    assert not keeps_inside(Affine(y_mm=0.6), 100.0, 104.5, sheet)
    # A turn swings the corners out.
    assert not keeps_inside(Affine(1.0, -0.01, 0.01, 1.0), 148.0, 100.0, sheet)


def test_predictions_without_the_correction_do_not_change() -> None:
    """The default is what was: the same record to the last bit."""
    rng = np.random.default_rng(47)
    sheets = tuple(one.read(str(n)) for n, one in enumerate(draw_sheets(rng, 5, EVERY)))
    spec = replace(spec_of(*SPREADS[0]), fit=fit_machine(sheets), sheets=sheets, corrected=True)
    found = predict_crossover(spec)
    assert isinstance(found, CrossoverMisfit)
    assert predict_crossover(replace(spec, front=Affine())) == found
