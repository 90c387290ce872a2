"""The worked examples of docs/handbook/methods/run.md, worked out again."""

from __future__ import annotations

from dataclasses import replace

import pytest

from doublure.trade.making.spares import ShareSpares
from doublure.trade.press.run import (
    is_last_on_top,
    lay_pile,
    plan_run,
    same_edge_first,
    time_side,
    turns_over,
)
from doublure.trade.press.run_records import PrinterSpec
from doublure.trade.press.run_tally import BACKS, FRONTS, PrintedFigure
from handbook_pages import expect
from press_samples import PLAN

DESK = PrinterSpec("", (5, 5, 5), True, True, False, True, True, False, 0, True)
ABOUT_LONG = PrinterSpec("", (5, 5, 5), True, True, False, False, True, False, 0, True)


def test_spares_of_two_stacks() -> None:
    twice, once = PLAN.stacks[0], PLAN.stacks[1]
    plan = replace(PLAN, stacks=(replace(twice, per_copy=2.0), replace(once, per_copy=1.0)))
    failing = {1: 0.1, 2: 0.6}
    found = plan_run(plan, 6, DESK, spare_rule=ShareSpares(0.5), failing=failing)
    assert [(one.wanted, one.spares, one.total) for one in found.stacks] == [(12, 6, 18), (6, 4, 10)]
    expect(
        "run",
        "stacks",
        "12 are wanted",
        "6 spares, and 1.2",
        "18 are printed",
        "3.6 are expected",
        "4 spares",
    )


def test_spoiled_sheets() -> None:
    plan = replace(PLAN, stacks=(replace(PLAN.stacks[0], per_copy=1.0),))
    fronts = PrintedFigure(((1, FRONTS),), 7, 2)
    (one,) = plan_run(plan, 6, DESK, spare_rule=ShareSpares(0.5), printed=[fronts]).stacks
    assert (one.total, one.fronts.left, one.backs.left) == (9, 0, 7)
    both = [fronts, PrintedFigure(((1, BACKS),), 5, 2)]
    (one,) = plan_run(plan, 6, DESK, spare_rule=ShareSpares(0.5), printed=both).stacks
    assert (one.fronts.left, one.backs.left) == (1, 1)
    expect("run", "stacks", "Of 9 fronts 7 came out well", "7 backs", "one more front and one more back")


def test_how_a_lying_sheet_goes_in() -> None:
    fronts, backs = lay_pile(DESK, 297, 210)
    assert (fronts.head_towards, backs.head_towards, backs.page_turned) == ("left", "left", False)
    assert not same_edge_first(DESK)
    fronts, backs = lay_pile(ABOUT_LONG, 297, 210)
    assert (fronts.head_towards, backs.head_towards, backs.page_turned) == ("left", "right", True)
    assert same_edge_first(ABOUT_LONG)
    assert (turns_over(True, False), is_last_on_top(True, False)) == (False, True)
    expect(
        "run", "pile", "The head points to the left", "the head points to the right", "the last sheet on top"
    )


def test_time_of_a_side() -> None:
    entries = [PrintedFigure((), 50, 0, 100.0), PrintedFigure((), 100, 0, 240.0)]
    time = time_side(entries, [100, 200])
    assert time is not None
    assert time.u is not None
    assert (time.minutes, time.u) == (pytest.approx(1.133, abs=5e-4), pytest.approx(0.089, abs=5e-4))
    misses = [abs(minutes - time.minutes * sides) for minutes, sides in ((100, 100), (240, 200))]
    assert misses == pytest.approx([13.3, 13.3], abs=0.05)
    assert (30 * time.minutes, 30 * time.u) == (pytest.approx(34), pytest.approx(2.7, abs=0.05))
    expect("run", "time", "1.133", "13.3", "0.089", "34 minutes", "2.7")
