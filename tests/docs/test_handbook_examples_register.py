"""The worked examples on register, recomputed: the package gives every figure printed."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from doublure.trade.book.crossovers import CrossoverKind
from doublure.trade.book.gatherings import Side
from doublure.trade.press.affine import IDENTITY
from doublure.trade.press.register import assumed
from doublure.trade.press.register.blunders import FALSE_ALARM, LEAST_BLUNDER_MM
from doublure.trade.press.register.correct import correction_of, seat_correction_of
from doublure.trade.press.register.crossovers import CrossoverHalf, CrossoverSpec, predict_crossover
from doublure.trade.press.register.fit import CARRIED, fit_machine, fit_sheet
from doublure.trade.press.register.parts import split_map
from doublure.trade.press.register.predict import predict_misfit, target_error
from doublure.trade.press.register.records import FitModel, MarkReading, SeatReading, SheetReadings
from doublure.trade.press.register.seats import LEAST_MM, LEAST_RAD, TOLD, mean_seats
from doublure.trade.press.register.spread import LEAST_MARKS, PARAMETERS
from handbook_pages import HANDBOOK, expect, row

SEATS = ((0.3, 0.0014, -0.1), (0.6, 0.0016, 0.1), (0.7, 0.0, 0.6), (0.7, -0.0002, 0.2))
"""Down, turn and fold of the four sheets, as the text tells them."""


def minus(text: str) -> str:
    """Return a figure with the sign of minus that is printed."""
    return text.replace("-", "−")


def read_table() -> tuple[SheetReadings, ...]:
    """Return the readings as the page prints them."""
    source = (HANDBOOK / "methods" / "register.md").read_text("utf-8").replace("−", "-")
    lines = [line for line in source.splitlines() if re.match(r"\| (Sheet|[1-4]) \|", line)]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    marks = [(name[0], *map(float, name[3:].split(", "))) for name in cells[0][1:]]
    return tuple(
        SheetReadings(
            f"sheet {number}",
            tuple(
                MarkReading(name, x, y, *map(float, offset.split(", ")))
                for (name, x, y), offset in zip(marks, offsets, strict=True)
            ),
            SeatReading(None, down, turn, fold),
        )
        for (number, *offsets), (down, turn, fold) in zip(cells[1:], SEATS, strict=True)
    )


SHEETS = read_table()
FIT = fit_machine(SHEETS)


def test_fit() -> None:
    """The table of the maps, the limits, and the four sheets."""
    linear = ("none", "turned", "turned, one factor", "any")
    for (model, needed), words in zip(LEAST_MARKS.items(), linear, strict=True):
        more = ", not on one line" if model is FitModel.AFFINE else ""
        expect("register", "fit", row(model.value, words, PARAMETERS[model], f"{needed}{more}"))
    assert (FALSE_ALARM, CARRIED) == (1 / 1000, 0.05)
    expect("register", "fit", f"{LEAST_BLUNDER_MM} mm off", "in 1000 sets", "at 5 %")
    assert len(SHEETS) == 4
    assert FIT.model is FitModel.SIMILARITY
    assert FIT.random is not None
    parts, u = FIT.parts, FIT.parts_u
    expect(
        "register", "fit",
        f"standard deviation of {FIT.sigma_mm:.3f} mm",
        f"{parts.shift_x_mm:.2f} ± {u.shift_x_mm:.2f} mm too far right",
        f"{-parts.shift_y_mm:.2f} ± {u.shift_y_mm:.2f} mm too far up",
        f"{1e3 * parts.rotation_rad:.2f} ± {1e3 * u.rotation_rad:.2f} mrad ({math.degrees(parts.rotation_rad):.3f}°)",
        f"{parts.scale_x:.5f}",
        f"{FIT.random.shift_x_mm:.2f} mm across and {FIT.random.shift_y_mm:.2f} mm along",
    )  # fmt: skip


def test_prediction() -> None:
    """The error at a target, and the next sheet."""
    dots = tuple(MarkReading(f"{x}{y}", x, y, 0.0, 0.0) for x in (-138.5, 138.5) for y in (-95.0, 95.0))
    for model, before in ((FitModel.SIMILARITY, "similarity is "), (FitModel.AFFINE, "affine map ")):
        fit = fit_sheet(SheetReadings("dots", dots), model)
        found = [
            target_error(fit, x, y, math.hypot(0.05, 0.05)) for x, y in ((0, 0), (138.5, 95), (148.5, 105))
        ]
        words = (
            "{:.3f} mm in the middle, {:.3f} mm at a dot, {:.3f} mm at the corner"
            if model is FitModel.SIMILARITY
            else "{:.3f}, {:.3f} and {:.3f} mm"
        )
        expect("register", "prediction", before + words.format(*found))
    for name, x, y in (("middle", 0.0, 0.0), ("corner, 148.5 right, 105 down", 148.5, 105.0)):
        misfit = predict_misfit(FIT, x, y, corrected=False)
        expect(
            "register", "prediction",
            row(
                name,
                minus(f"{misfit.mean_dx_mm:.2f} ± {misfit.half_dx_mm:.2f} mm"),
                minus(f"{misfit.mean_dy_mm:.2f} ± {misfit.half_dy_mm:.2f} mm"),
                f"{misfit.p95_mm:.2f} mm",
            ),
        )  # fmt: skip


def test_correction() -> None:
    """What the backs are moved by, and what is left."""
    parts = split_map(correction_of(FIT))
    before, after = (predict_misfit(FIT, 0.0, 0.0, corrected=c).p95_mm for c in (False, True))
    expect(
        "register", "correction",
        f"{-parts.shift_x_mm:.2f} mm to the left and {parts.shift_y_mm:.2f} mm down",
        f"turned {-1e3 * parts.rotation_rad:.2f} mrad counter-clockwise and enlarged by {parts.scale_x:.5f}",
        f"stay below {after:.2f} mm instead of {before:.2f}",
    )  # fmt: skip


def test_seat() -> None:
    """Five folds and five seats: what is told, what is moved, what is left of a spread."""
    folds, downs = (-0.5, -0.4, -0.7, -0.3, -0.6), (0.1, -0.2, 0.3, 0.0, 0.2)
    sheets = tuple(
        SheetReadings(str(n), SHEETS[0].marks, SeatReading(None, down, 0.0, fold))
        for n, (down, fold) in enumerate(zip(downs, folds, strict=True))
    )
    seats = mean_seats(sheets)
    across, along = seats.across, seats.along
    assert (across.is_told, along.is_told, seats.from_fold) == (True, False, True)
    assert None not in (across.u, across.limit, along.u, along.limit)
    front = seat_correction_of(seats)
    assert front.y_mm == 0
    expect("register", "seat", f"{LEAST_MM} mm, or {1e3 * LEAST_RAD:g} mrad", f"at {100 * (1 - TOLD):.0f} %")
    expect(
        "register", "seat",
        f"{across.mean:.2f} ± {across.u:.2f} mm right of the fold; more than {across.limit:.2f} mm is told",
        f"{along.mean:.2f} ± {along.u:.2f} mm too low; {along.limit:.2f} mm would be told",
        f"moved {-front.x_mm:.2f} mm to the left and not along",
    )  # fmt: skip
    halves = (
        CrossoverHalf(page, side, (0.0, -74.0), (0.0, 74.0))
        for page, side in ((4, Side.BACK), (5, Side.FRONT))
    )
    spec = CrossoverSpec(CrossoverKind.TWO_SHEETS, *halves, fit_machine(sheets), sheets, corrected=True)
    before, after = (predict_crossover(replace(spec, front=one)) for one in (IDENTITY, front))
    expect(
        "register", "seat",
        f"opened by {before.mean_dx_mm:.2f} mm, and now by {after.mean_dx_mm + 0.0:.2f} ± {after.sd_dx_mm:.2f} mm",
    )  # fmt: skip


def test_the_seats_of_the_four_sheets() -> None:
    """What they tell of the fold, the turn and the margin."""
    seats = mean_seats(SHEETS)
    front = seat_correction_of(seats)
    assert (front.x_mm, front.xy) == (0.0, 0.0)
    assert seats.across.limit is not None
    assert seats.turn.limit is not None
    expect(
        "register", "crossovers",
        f"({seats.across.limit:.2f} mm and {1e3 * seats.turn.limit:.2f} mrad would be)",
        f"moved {-front.y_mm:.2f} mm up, for the margins",
    )  # fmt: skip


def test_crossovers() -> None:
    """The three spreads, and the same of a printer that nobody has read."""

    def meet(kind: CrossoverKind, left: Side, right: Side, read: bool) -> CrossoverSpec:
        return CrossoverSpec(
            kind,
            CrossoverHalf(4, left, (0.0, -74.0), (0.0, 74.0)),
            CrossoverHalf(5, right, (0.0, -74.0), (0.0, 74.0)),
            FIT if read else None,
            SHEETS if read else (),
            corrected=read,
        )

    spreads = {
        "back, then front": (CrossoverKind.TWO_SHEETS, Side.BACK, Side.FRONT),
        "two gatherings": (CrossoverKind.TWO_GATHERINGS, Side.FRONT, Side.FRONT),
    }
    for name, how in spreads.items():
        found = predict_crossover(meet(*how, read=True))
        assert found.is_tried
        expect(
            "register", "crossovers",
            row(
                name,
                minus(f"{found.mean_dx_mm:.2f} ± {found.sd_dx_mm:.2f} mm"),
                minus(f"{found.mean_dy_mm:.2f} ± {found.sd_dy_mm:.2f} mm"),
                f"{found.expected_mm:.2f} mm", f"{found.p95_mm:.2f} mm", f"{found.failing_share:.0%}".replace("%", " %"),
            ),
        )  # fmt: skip
    one = predict_crossover(meet(CrossoverKind.ONE_SHEET, Side.BACK, Side.BACK, read=True))
    assert (one.p95_mm, one.failing_share) == (0.0, 0.0)
    back = predict_crossover(meet(*spreads["back, then front"], read=True))
    fold = next(part for part in back.parts if part.name == "fold")
    expect("register", "crossovers", minus(f"{fold.mean_dx_mm:.2f} mm is the fold"))
    assert back.worst_y_mm == 148.0
    unread = [predict_crossover(meet(*how, read=False)).failing_share for how in spreads.values()]
    expect(
        "register", "crossovers",
        f"{100 * unread[0]:.0f} % of spreads on a back and a front",
        f"{100 * unread[1]:.0f} % of those on two gatherings",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("name", "figure"),
    [
        ("Shift of one pass, sheet to sheet", f"{assumed.SHEET_TO_SHEET_MM.value} mm"),
        ("Shift of one pass, on every sheet", f"{assumed.SYSTEMATIC_MM.value} mm"),
        ("Turn of one pass, sheet to sheet and on every sheet", f"{1e3 * assumed.TURN_RAD.value:g} mrad"),
        ("Scale of the back", f"{assumed.SCALE.value}"),
        ("Fold, or cut of a leaf tipped in", f"{assumed.FOLD_MM.value} mm"),
        ("Knock-up", f"{assumed.KNOCK_UP_MM.value} mm"),
        ("One gathering against the next", f"{assumed.GATHERING_MM.value} mm"),
        ("Pasting of a leaf tipped in", f"{assumed.TIPPING_MM.value} mm"),
    ],
)
def test_what_is_assumed(name: str, figure: str) -> None:
    """The table prints the figures that the sums take."""
    assert assumed.CUT_MM.value == assumed.FOLD_MM.value
    expect("register", "crossovers", row(name, figure))
