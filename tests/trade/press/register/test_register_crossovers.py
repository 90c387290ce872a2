"""Crossovers against sheets that are printed, folded and opened one by one in a simulation of its own.

The simulation knows nothing of the sums: it moves points over a sheet of paper, folds it where the fold falls, looks
at the sides from where a reader would, and measures between the two halves.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import pytest

from doublure.errors import DomainError
from doublure.trade.book.crossovers import CrossoverKind
from doublure.trade.book.gatherings import Side
from doublure.trade.press.affine import IDENTITY, Affine
from doublure.trade.press.register import assumed
from doublure.trade.press.register.correct import correction_of
from doublure.trade.press.register.crossovers import (
    CrossoverHalf,
    CrossoverSpec,
    Handwork,
    locate_gutter,
    predict_crossover,
)
from doublure.trade.press.register.fit import fit_machine
from doublure.trade.press.register.records import CrossoverMisfit, MarkReading, SeatReading, SheetReadings

WIDTH, HEIGHT = 297.0, 210.0
LENGTH = 148.0
MARKS = [(x, y) for x in (-123.0, 0.0, 123.0) for y in (-80.0, 0.0, 80.0)]
EXACT = Handwork(0.0, 0.0, 0.0, 0.0, 0.0)
FRONT, BACK = Side.FRONT, Side.BACK


@dataclass(frozen=True)
class Pass:
    """How one pass lays its print on the paper: moved, then turned clockwise about the middle."""

    dx: float = 0.0
    dy: float = 0.0
    turn: float = 0.0
    scale: float = 1.0

    def lay(self, x: float, y: float) -> tuple[float, float]:
        """Return where a point lands on the paper."""
        cos, sin = self.scale * math.cos(self.turn), self.scale * math.sin(self.turn)
        return cos * x - sin * y + self.dx, sin * x + cos * y + self.dy


@dataclass(frozen=True)
class Sheet:
    """A sheet of paper: two passes, where it is folded, how high it stands when it is sewn."""

    front: Pass = Pass()
    back: Pass = Pass()
    spine: float = 0.0
    head: float = 0.0
    height: float = 0.0


def read_sheet(sheet: Sheet, name: str = "t") -> SheetReadings:
    """Return what a careful eye reads of it: marks against each other, front against the paper and the fold."""
    marks = []
    for number, (x, y) in enumerate(MARKS):
        # The offset is read beside the front's marks, whose turn is far too small to matter to it.
        (fx, fy), (bx, by) = sheet.front.lay(x, y), sheet.back.lay(x, y)
        marks.append(MarkReading(f"M{number}", x, y, bx - fx, by - fy))
    front = sheet.front
    return SheetReadings(
        name, tuple(marks), SeatReading(front.dx, front.dy, front.turn, sheet.spine - front.dx)
    )


def open_page(
    sheet: Sheet, half: CrossoverHalf, along: float, undo: Affine = IDENTITY
) -> tuple[float, float]:
    """Return where a point of the gutter's edge of a page lands: right of its fold and below the head, as read.

    The page's head is at the sheet's own head edge, or, for quarto, at the head fold of the sheet.
    """
    x = half.head_mm[0] + along * (half.tail_mm[0] - half.head_mm[0])
    y = half.head_mm[1] + along * (half.tail_mm[1] - half.head_mm[1])
    if half.side is FRONT:
        px, py = sheet.front.lay(x, y)
        seen, fold = px, sheet.spine
    else:
        px, py = sheet.back.lay(*undo.apply(x, y))
        seen, fold = -px, -sheet.spine
    across, down = seen - fold, py - sheet.head
    if half.tail_mm[1] < half.head_mm[1]:
        across, down = -across, -down
    return across, down + sheet.height - along * LENGTH


def meet(
    left: Sheet, right: Sheet, spec: CrossoverSpec, along: float, undo: Affine = IDENTITY
) -> tuple[float, float]:
    """Return gap and step of two halves."""
    (ul, vl), (ur, vr) = open_page(left, spec.left, along, undo), open_page(right, spec.right, along, undo)
    base = abs(spec.left.head_mm[1]) - abs(spec.right.head_mm[1])
    assert base == 0
    return ur - ul, vr - vl


def half(page: int, side: Side, top: float = -HEIGHT / 2 + 31.0) -> CrossoverHalf:
    """Return an upright half whose gutter lies on the middle of the sheet."""
    return CrossoverHalf(page, side, (0.0, top), (0.0, top + LENGTH))


def spec_of(kind: CrossoverKind, left: Side, right: Side, handwork: Handwork = EXACT) -> CrossoverSpec:
    """Return a crossover that nobody has read the printer for."""
    return CrossoverSpec(kind, half(2, left), half(3, right), handwork=handwork)


ORDINARY = [
    (CrossoverKind.TWO_SHEETS, BACK, FRONT),
    (CrossoverKind.TWO_SHEETS, FRONT, BACK),
    (CrossoverKind.TWO_GATHERINGS, FRONT, FRONT),
]
ids = ["back then front", "front then back", "two fronts"]


@pytest.mark.parametrize(("kind", "left", "right"), ORDINARY, ids=ids)
@pytest.mark.parametrize("corrected", [False, True])
@pytest.mark.parametrize(
    "sheet",
    [
        Sheet(front=Pass(dx=0.4)),
        Sheet(front=Pass(dy=0.4)),
        Sheet(front=Pass(turn=0.003)),
        Sheet(back=Pass(dx=0.4)),
        Sheet(back=Pass(dy=0.4, turn=0.003, scale=0.999)),
        Sheet(spine=0.4),
        Sheet(Pass(0.3, -0.2, 0.002), Pass(-0.4, 0.5, -0.001, 0.9990), spine=-0.35),
    ],
    ids=["front right", "front down", "front turned", "back right", "back down, turned", "fold", "all"],
)
def test_what_every_sheet_does_comes_out_as_on_paper(
    kind: CrossoverKind, left: Side, right: Side, corrected: bool, sheet: Sheet
) -> None:
    """Two sheets that the printer treats alike: gap and step at the worst place are those of the folded paper."""
    sheets = tuple(read_sheet(sheet, name) for name in ("a", "b", "c"))
    fit = fit_machine(sheets)
    spec = replace(spec_of(kind, left, right), fit=fit, sheets=sheets, corrected=corrected, tolerance_mm=5.0)
    undo = correction_of(fit) if corrected else IDENTITY
    found = predict_crossover(spec)
    on_paper = [meet(sheet, sheet, spec, along, undo) for along in (0.0, 0.5, 1.0)]
    along = found.worst_y_mm / LENGTH
    assert (found.mean_dx_mm, found.mean_dy_mm) == pytest.approx(
        meet(sheet, sheet, spec, along, undo), abs=0.003
    )
    assert math.hypot(found.mean_dx_mm, found.mean_dy_mm) == pytest.approx(
        max(math.hypot(*one) for one in on_paper), abs=0.004
    )
    assert found.is_tried
    assert (found.sd_dx_mm, found.sd_dy_mm) == pytest.approx((0, 0), abs=1e-9)


def test_which_errors_of_every_sheet_add_and_which_cancel() -> None:
    """The table of the module: across the gutter a front and a back add, two fronts cancel; along it both cancel."""
    sheets = tuple(read_sheet(Sheet(Pass(0.4, 0.3, 0.0), Pass(0.4, 0.3, 0.0)), name) for name in ("a", "b"))
    given = {"fit": fit_machine(sheets), "sheets": sheets}
    back_front, front_back, fronts = (
        predict_crossover(replace(spec_of(*one), **given))
        for one in ORDINARY  # type: ignore[arg-type]
    )
    assert (back_front.mean_dx_mm, back_front.mean_dy_mm) == pytest.approx((0.8, 0.0))
    assert (front_back.mean_dx_mm, front_back.mean_dy_mm) == pytest.approx((-0.8, 0.0))
    assert (fronts.mean_dx_mm, fronts.mean_dy_mm) == pytest.approx((0.0, 0.0))


def draw_sheets(rng: np.random.Generator, count: int, mean: Sheet = Sheet()) -> list[Sheet]:
    """Return sheets of a printer whose two passes know nothing of each other, folded edge to edge."""

    def lay(one: Pass) -> Pass:
        return Pass(
            one.dx + rng.normal(0, 0.30),
            one.dy + rng.normal(0, 0.20),
            one.turn + rng.normal(0, 0.0015),
            one.scale + rng.normal(0, 0.0001),
        )

    return [
        Sheet(lay(mean.front), lay(mean.back), mean.spine + rng.normal(0, 0.25), height=rng.normal(0, 0.15))
        for _ in range(count)
    ]


MEAN = Sheet(Pass(0.25, -0.3, 0.001), Pass(-0.3, 0.4, -0.001, 0.9992), spine=0.1)
LEVELLED = replace(EXACT, knock_up_mm=0.15)


@pytest.mark.parametrize(("kind", "left", "right"), ORDINARY, ids=ids)
@pytest.mark.parametrize("corrected", [False, True])
def test_spread_and_failing_share_are_those_of_simulated_spreads(
    kind: CrossoverKind, left: Side, right: Side, corrected: bool
) -> None:
    """From 3000 read sheets the printer is as good as known: mean, spread, correlation, lengths and the share
    that fails are those of 20,000 spreads that are printed, folded and opened."""
    rng = np.random.default_rng(30)
    readings = tuple(read_sheet(sheet, str(n)) for n, sheet in enumerate(draw_sheets(rng, 3000, MEAN)))
    fit = fit_machine(readings)
    spec = replace(
        spec_of(kind, left, right, LEVELLED), fit=fit, sheets=readings, corrected=corrected, tolerance_mm=1.0
    )
    found = predict_crossover(spec)
    undo = correction_of(fit) if corrected else IDENTITY
    sheets = draw_sheets(rng, 40000, MEAN)
    along = found.worst_y_mm / LENGTH
    seen = np.array([meet(a, b, spec, along, undo) for a, b in zip(sheets[::2], sheets[1::2], strict=True)])
    length = np.hypot(*seen.T)
    assert (found.mean_dx_mm, found.mean_dy_mm) == pytest.approx(tuple(seen.mean(axis=0)), abs=0.02)
    assert (found.sd_dx_mm, found.sd_dy_mm) == pytest.approx(tuple(seen.std(axis=0)), rel=0.03)
    assert found.correlation == pytest.approx(float(np.corrcoef(seen.T)[0, 1]), abs=0.06)
    assert found.expected_mm == pytest.approx(float(length.mean()), rel=0.03)
    assert found.p95_mm == pytest.approx(float(np.quantile(length, 0.95)), rel=0.03)
    assert found.failing_share == pytest.approx(float((length > 1.0).mean()), abs=0.015)


def test_few_sheets_give_a_share_that_is_right_on_the_whole() -> None:
    """120 printers, ten read sheets each: 95 % stay below what was said, and somewhat fewer fail than was said:
    the share counts in what ten sheets leave open, and so errs to the careful side."""
    rng = np.random.default_rng(31)
    said, failed, held = [], 0, 0
    for _ in range(120):
        front, back = (
            Pass(rng.normal(0, 0.4), rng.normal(0, 0.4), rng.normal(0, 0.001), 1 + rng.normal(0, 0.0005))
            for _ in "fb"
        )
        mean = Sheet(front, back, spine=rng.normal(0, 0.1))
        readings = tuple(read_sheet(sheet, str(n)) for n, sheet in enumerate(draw_sheets(rng, 10, mean)))
        fit = fit_machine(readings)
        spec = replace(
            spec_of(*ORDINARY[0], LEVELLED), fit=fit, sheets=readings, corrected=True, tolerance_mm=1.6
        )
        found = predict_crossover(spec)
        said.append(found.failing_share)
        sheets, undo = draw_sheets(rng, 60, mean), correction_of(fit)
        for a, b in zip(sheets[::2], sheets[1::2], strict=True):
            length = math.hypot(*meet(a, b, spec, found.worst_y_mm / LENGTH, undo))
            failed += length > 1.6
            held += length <= found.p95_mm
    assert 0.93 <= held / 3600 <= 0.97
    assert -0.01 <= float(np.mean(said)) - failed / 3600 <= 0.06


def test_a_printer_that_nobody_has_read_is_two_assumed_passes() -> None:
    """What is assumed of fronts and backs is one printer drawn at random, whose passes are alike and independent."""
    rng = np.random.default_rng(32)
    found = predict_crossover(spec_of(*ORDINARY[0]))
    seen = []
    shift, every = assumed.SHEET_TO_SHEET_MM.value, assumed.SYSTEMATIC_MM.value
    turn = assumed.TURN_RAD.value
    for _ in range(20000):
        systematic = [rng.normal(0, (every, every, turn)) for _ in "fb"]
        scale = rng.normal(1, assumed.SCALE.value)
        sheets = []
        for _ in "ab":
            front, back = (Pass(*(mean + rng.normal(0, (shift, shift, turn)))) for mean in systematic)
            sheets.append(Sheet(front, replace(back, scale=scale)))
        seen.append(meet(*sheets, spec_of(*ORDINARY[0]), found.worst_y_mm / LENGTH))
    assert (found.sd_dx_mm, found.sd_dy_mm) == pytest.approx(tuple(np.std(seen, axis=0)), rel=0.03)
    assert (found.mean_dx_mm, found.mean_dy_mm) == (0.0, 0.0)
    assert not found.is_tried
    assert found.degrees == 0
    assert all(part.is_assumed for part in found.parts if part.name != "creep")


def quarto(page: int, side: Side, turned: bool) -> CrossoverHalf:
    """Return a half on a quarto sheet: its head at the head fold in the middle of the sheet, its tail at the edge."""
    return CrossoverHalf(page, side, (0.0, 0.0), (0.0, -LENGTH if turned else LENGTH))


def test_two_halves_of_one_folded_sheet_share_its_errors() -> None:
    """Pages 2 and 3 of a quarto lie head to head on one side: what moves the whole side across moves both apart,
    what is read of the other sheets does not come in; compared with 20,000 folded sheets."""
    rng = np.random.default_rng(33)
    readings = tuple(read_sheet(sheet, str(n)) for n, sheet in enumerate(draw_sheets(rng, 3000, MEAN)))
    spec = CrossoverSpec(
        CrossoverKind.TWO_SHEETS, quarto(2, BACK, False), quarto(3, BACK, True), fit_machine(readings), readings,
        same_sheet=True, head_is_folded=True, tolerance_mm=1.0, handwork=replace(EXACT, fold_mm=0.25),
    )  # fmt: skip
    found = predict_crossover(spec)
    sheets = [replace(one, head=rng.normal(0, 0.25)) for one in draw_sheets(rng, 20000, MEAN)]
    seen = np.array([meet(one, one, spec, found.worst_y_mm / LENGTH) for one in sheets])
    assert (found.mean_dx_mm, found.mean_dy_mm) == pytest.approx(tuple(seen.mean(axis=0)), abs=0.05)
    assert (found.sd_dx_mm, found.sd_dy_mm) == pytest.approx(tuple(seen.std(axis=0)), rel=0.03)
    assert "knock-up" not in {part.name for part in found.parts}


def test_one_side_of_one_sheet_has_no_misfit() -> None:
    """However bad the printer and the folding, the middle spread meets; the parts say so."""
    rng = np.random.default_rng(34)
    readings = tuple(read_sheet(sheet, str(n)) for n, sheet in enumerate(draw_sheets(rng, 5, MEAN)))
    spec = replace(
        spec_of(CrossoverKind.ONE_SHEET, BACK, BACK, Handwork()), fit=fit_machine(readings), sheets=readings
    )
    found = predict_crossover(spec)
    assert (found.expected_mm, found.p95_mm, found.failing_share, found.sd_dx_mm) == (0.0, 0.0, 0.0, 0.0)
    assert {part.name for part in found.parts} == {"fold", "creep"}
    assert found.is_tried


def with_creep(one: CrossoverHalf, push_out: float, shift: float, u: float = 0.0) -> CrossoverHalf:
    """Return the half with its push-out and the shift of its artwork."""
    return replace(one, push_out_mm=push_out, push_out_u_mm=u, shift_mm=shift)


def test_creep_shifts_take_a_strip_of_the_picture() -> None:
    """Moved 0.3 mm towards the fold on both halves of a middle spread, 0.6 mm of the picture is lost in it."""
    spec = spec_of(CrossoverKind.ONE_SHEET, BACK, BACK)
    spec = replace(spec, left=with_creep(spec.left, 0.3, 0.3), right=with_creep(spec.right, 0.3, 0.3))
    found = predict_crossover(replace(spec, tolerance_mm=0.5))
    assert (found.mean_dx_mm, found.p95_mm, found.failing_share) == (
        pytest.approx(-0.6),
        pytest.approx(0.6),
        1.0,
    )


def test_of_two_nested_sheets_the_outer_one_hides_a_step() -> None:
    """Between neighbours of a gathering, one step of the push-out; between gatherings, none."""
    spec = spec_of(*ORDINARY[0])
    spec = replace(
        spec, left=with_creep(spec.left, 0.22, 0.2, 0.02), right=with_creep(spec.right, 0.33, 0.3, 0.03)
    )
    creep = {part.name: part for part in predict_crossover(spec).parts}["creep"]
    assert creep.mean_dx_mm == pytest.approx(-0.2 - 0.3 - 0.11)
    assert creep.sd_dx_mm == pytest.approx(0.01)
    apart = predict_crossover(replace(spec, kind=CrossoverKind.TWO_GATHERINGS))
    assert {part.name: part for part in apart.parts}["creep"].mean_dx_mm == pytest.approx(-0.5)


def test_handwork_adds_in_squares() -> None:
    """A printer without error: fold 0.5 mm twice, knock-up 0.25 mm twice, gatherings 0.25 mm once."""
    sheets = tuple(replace(read_sheet(Sheet(), n), front=SeatReading(0.0, 0.0, 0.0)) for n in ("a", "b", "c"))
    given = {"fit": fit_machine(sheets), "sheets": sheets}
    nested = predict_crossover(replace(spec_of(*ORDINARY[0], Handwork()), **given))  # type: ignore[arg-type]
    assert (nested.sd_dx_mm, nested.sd_dy_mm) == pytest.approx((math.sqrt(2) * 0.5, math.sqrt(2) * 0.25))
    apart = predict_crossover(replace(spec_of(*ORDINARY[2], Handwork()), **given))  # type: ignore[arg-type]
    assert (apart.sd_dx_mm, apart.sd_dy_mm) == pytest.approx((math.sqrt(0.5625), math.sqrt(0.1875)))
    names = [part.name for part in apart.parts]
    assert names == [
        "seat of the left half",
        "seat of the right half",
        "fold",
        "gathering",
        "knock-up",
        "creep",
    ]


def test_a_leaf_tipped_in_is_cut_at_its_marks_and_pasted() -> None:
    """Its seat on the sheet it was cut from does not come in; the cut and the paste do, in both directions."""
    spec = spec_of(CrossoverKind.ONE_TIPPED, FRONT, FRONT, Handwork())
    both = predict_crossover(
        replace(
            spec, kind=CrossoverKind.BOTH_TIPPED, left=replace(spec.left, is_tipped=True),
            right=replace(spec.right, is_tipped=True),
        )
    )  # fmt: skip
    assert (both.sd_dx_mm, both.sd_dy_mm) == pytest.approx((1.0, 1.0))
    one = predict_crossover(replace(spec, right=replace(spec.right, is_tipped=True)))
    parts = {part.name: part for part in one.parts}
    assert parts["seat of the right half"].sd_dx_mm == 0
    assert parts["fold"].sd_dx_mm == pytest.approx(math.sqrt(0.5))
    assert parts["fold"].sd_dy_mm == pytest.approx(0.5)
    assert parts["knock-up"].sd_dy_mm == pytest.approx(0.25)


def test_a_fold_that_was_read_takes_the_place_of_the_seat() -> None:
    """The halves are held against the fold: where that was read, the seat across it is not asked."""
    sheets = tuple(read_sheet(Sheet(Pass(dx=0.9), Pass(dx=0.9), spine=0.9), n) for n in ("a", "b", "c"))
    found = predict_crossover(replace(spec_of(*ORDINARY[0]), fit=fit_machine(sheets), sheets=sheets))
    assert found.mean_dx_mm == pytest.approx(0.0, abs=1e-9)
    assert {part.name: part.is_assumed for part in found.parts}["fold"] is False


@pytest.mark.parametrize("read", ["one sheet", "no seats", "no fit"])
def test_what_was_not_read_is_marked_as_assumed(read: str) -> None:
    """One sheet, or half of what is needed, does not make a crossover tried; more is then left open."""
    rng = np.random.default_rng(35)
    full = tuple(read_sheet(sheet, str(n)) for n, sheet in enumerate(draw_sheets(rng, 6, MEAN)))
    some = full[:1] if read == "one sheet" else full
    if read == "no seats":
        some = tuple(replace(one, front=SeatReading()) for one in some)
    fit = None if read == "no fit" else fit_machine(some)
    spec = spec_of(*ORDINARY[0])
    tried = predict_crossover(replace(spec, fit=fit_machine(full), sheets=full))
    found = predict_crossover(replace(spec, fit=fit, sheets=some))
    assert tried.is_tried
    assert not found.is_tried
    assert any(part.is_assumed for part in found.parts)
    assert math.hypot(found.sd_dx_mm, found.sd_dy_mm) > math.hypot(tried.sd_dx_mm, tried.sd_dy_mm)


def test_where_the_gutter_is_on_its_side() -> None:
    """Front and back, upright and turned: the back is seen through, and head and tail change places."""
    where = (150.0, 10.0, 158.0)
    assert locate_gutter(FRONT, *where, False, WIDTH, HEIGHT) == ((1.5, -95.0), (1.5, 53.0))
    assert locate_gutter(BACK, *where, False, WIDTH, HEIGHT) == ((-1.5, -95.0), (-1.5, 53.0))
    assert locate_gutter(FRONT, *where, True, WIDTH, HEIGHT) == ((1.5, 53.0), (1.5, -95.0))


def spoil(**changes: object) -> Callable[[], CrossoverMisfit]:
    """Return a call with a spoilt crossover."""
    return lambda: predict_crossover(replace(spec_of(*ORDINARY[0]), **changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (spoil(tolerance_mm=0.0), "greater than 0"),
        (spoil(left=half(2, BACK, math.nan)), "finite"),
        (spoil(left=CrossoverHalf(2, BACK, (0.0, 1.0), (0.0, 1.0))), "page 2: its gutter has no length"),
        (spoil(kind=CrossoverKind.ONE_SHEET), "one side"),
    ],
)
def test_what_is_no_crossover_is_refused(call: Callable[[], CrossoverMisfit], words: str) -> None:
    """Numbers that are none, gutters without length, one sheet with two sides."""
    with pytest.raises(DomainError, match=words):
        call()
