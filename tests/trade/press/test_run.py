"""The run: how the pile is laid in, against a card that is turned in space; stacks, spares, pages, time, progress.

The card is an independent simulation: rotations of three axes, a tray, an output pile. It shares no formula
with run.py.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Half, Side
from doublure.trade.making.spares import FixedSpares, ShareSpares
from doublure.trade.press.records import (
    Box,
    Folding,
    PlacedPage,
    PressPlace,
    PressPlan,
    PressPlate,
    PressStack,
    SheetLayout,
)
from doublure.trade.press.run import (
    count_fillings,
    count_wanted,
    is_last_on_top,
    lay_pile,
    order_backs,
    plan_run,
    same_edge_first,
    time_side,
    turns_over,
)
from doublure.trade.press.run_records import Joining, PrinterSpec, RunPlan
from doublure.trade.press.run_tally import BACKS, BOTH, FRONTS, PrintedFigure

Vector = npt.NDArray[np.float64]

DESK = PrinterSpec("desk", (5, 5, 5), True, True, False, False, True, False, 0, True)
KINDS = [
    PrinterSpec("", (5, 5, 5), feeds, prints, lands, turn, pile, False, 0, True)
    for feeds, prints, lands, turn, pile in itertools.product((True, False), repeat=5)
]
SHEETS = [(210.0, 297.0), (297.0, 210.0)]
# The tray: x to the right, y the way the sheets go, z upwards.
TOWARDS = {"in": (0, 1, 0), "out": (0, -1, 0), "left": (-1, 0, 0), "right": (1, 0, 0)}


def vector(*values: float) -> Vector:
    return np.array(values, dtype=float)


def turn_about(axis: Vector, angle: float) -> npt.NDArray[np.float64]:
    """Return the rotation about a unit axis (Rodrigues)."""
    x, y, z = axis
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross


@dataclass(frozen=True)
class Card:
    """A sheet: its own x (right), y (head) and z (out of the front), each as a vector in the tray."""

    right: Vector
    head: Vector
    out: Vector
    width: float
    height: float

    def turned(self, axis: Vector) -> Card:
        matrix = turn_about(axis, np.pi)
        return replace(self, right=matrix @ self.right, head=matrix @ self.head, out=matrix @ self.out)

    def edge_axis(self, is_short: bool) -> Vector:
        """Return the direction of the short or of the long edges."""
        along_head_is_short = self.height < self.width
        return self.head if along_head_is_short == is_short else self.right

    def leading_edge_is_short(self) -> bool:
        # The edge that leads is the one whose outward direction is the way of the sheets.
        ahead_is_head = abs(float(self.head @ vector(0, 1, 0))) > 0.5
        length = self.width if ahead_is_head else self.height
        return length == min(self.width, self.height)

    def leading(self) -> Vector:
        """Return in the card's own axes which edge is ahead."""
        way = vector(0, 1, 0)
        return vector(float(self.right @ way), float(self.head @ way)).round(6)


def laid(head: Vector, face_up: bool, width: float, height: float) -> Card:
    """Return a card in the tray with its head in a direction and its front up or down."""
    out = vector(0, 0, 1 if face_up else -1)
    return Card(np.cross(head, out), head, out, width, height)


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("printer", KINDS)
def test_a_card_through_the_machine_comes_out_with_its_heads_together(
    printer: PrinterSpec, sheet: tuple[float, float]
) -> None:
    fronts, backs = lay_pile(printer, *sheet)
    assert (fronts.blank, backs.blank, fronts.page_turned) == (True, False, False)
    up = vector(0, 0, 1 if printer.prints_upper else -1)
    first = laid(vector(*TOWARDS[fronts.head_towards]), fronts.print_up, *sheet)
    # The side to be printed is the one that the machine prints, and the right kind of edge goes in first.
    assert np.allclose(first.out, up)
    assert first.leading_edge_is_short() == printer.feeds_short_edge
    # Where the machine puts the head of a page in the tray: as it did for the front, in every pass.
    machine_head = first.head
    second = first.turned(first.edge_axis(printer.turns_short_edge))
    assert second.leading_edge_is_short() == printer.feeds_short_edge
    assert np.allclose(-second.out, up), "the blank side must be where the machine prints"
    # The pile as the plan says: the head of the fronts, and the printed side away from the machine's.
    assert np.allclose(second.head, vector(*TOWARDS[backs.head_towards]))
    assert backs.print_up == printer.prints_upper
    # What is printed on the back, as the file turns it: its head must be at the head of the front.
    back_head = -machine_head if backs.page_turned else machine_head
    assert np.allclose(back_head, second.head)
    # Not mirrored: seen on the back with the head up, its right is the front's left.
    assert np.allclose(np.cross(back_head, up), -second.right)
    assert np.array_equal(first.leading(), second.leading()) == same_edge_first(printer)


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("printer", KINDS)
def test_a_driver_that_puts_heads_the_other_way_changes_nothing_that_matters(
    printer: PrinterSpec, sheet: tuple[float, float]
) -> None:
    fronts, backs = lay_pile(printer, *sheet)
    first = laid(-vector(*TOWARDS[fronts.head_towards]), fronts.print_up, *sheet)
    second = first.turned(first.edge_axis(printer.turns_short_edge))
    back_head = -first.head if backs.page_turned else first.head
    assert np.allclose(back_head, second.head)
    assert np.allclose(second.head, -vector(*TOWARDS[backs.head_towards]))


@pytest.mark.parametrize("printer", KINDS)
def test_the_pile_in_the_output(printer: PrinterSpec) -> None:
    # Sheets fall one on the other; True is "printed side up".
    pile = [(sheet, printer.lands_face_up) for sheet in (1, 2, 3)]
    if turns_over(printer.prints_upper, printer.lands_face_up):
        pile = [(sheet, not face) for sheet, face in reversed(pile)]
    # Laid in as it is, the side that the machine prints must be the blank one of every sheet.
    assert all(face != printer.prints_upper for _, face in pile)
    taken_first = pile[-1][0]
    assert (taken_first == 3) == is_last_on_top(printer.prints_upper, printer.lands_face_up)


def test_the_table_of_an_upright_and_a_lying_sheet() -> None:
    # Common practice, no published source: an upright page is turned like the leaf of a book, about its long
    # edge; a lying one about its short edge; the other edge puts the back on its head.
    upright, lying = SHEETS
    for turns_short in (True, False):
        printer = replace(DESK, turns_short_edge=turns_short)
        assert lay_pile(printer, *upright)[1].page_turned == turns_short
        assert lay_pile(printer, *lying)[1].page_turned != turns_short


@pytest.mark.parametrize("sheet", [(0, 297), (210, float("nan")), (float("inf"), 297)])
def test_a_sheet_has_two_sides(sheet: tuple[float, float]) -> None:
    with pytest.raises(DomainError):
        lay_pile(DESK, *sheet)


# Stacks.


def page(master: str | None, number: int) -> PlacedPage:
    box = Box(0, 0, 100, 150)
    return PlacedPage(master, box, box, box, False, Half.LEFT, 0.0, (number,))


def make_plan(stacks: list[tuple[str | None, str | None, float]]) -> PressPlan:
    """Return a plan with the master of each stack's front and back, and the sheets of one copy."""
    plates: list[PressPlate] = []
    made = []
    for number, (front, back, per_copy) in enumerate(stacks, 1):
        for master, side in ((front, Side.FRONT), (back, Side.BACK)):
            place = PressPlace(1, number, side)
            plates.append(PressPlate(len(plates) + 1, (page(master, len(plates)),), (place,)))
        made.append(PressStack(number, len(plates) - 1, len(plates), ((1, number),), per_copy))
    layout = SheetLayout(
        210,
        297,
        Folding.FOLIO,
        1,
        3,
        (),
        (),
        None,
        Box(5, 5, 200, 150),
        Box(5, 5, 200, 150),
        None,
        (5, 5, 5, 5),
    )
    return PressPlan(layout, tuple(plates), tuple(made), 0.0, False, len(made), len(made))


THREE = make_plan([("a", "b", 1), ("c", None, 2), (None, "d", 1)])


def run(**more: object) -> RunPlan:
    return plan_run(THREE, 6, DESK, **more)  # type: ignore[arg-type]


def test_wanted_sheets_are_rounded_up_after_the_copies() -> None:
    # By hand: half a sheet a copy is 4 sheets for 7 copies; a third of one for 6 copies is 2, and not 3.
    assert (count_wanted(0.5, 7), count_wanted(1 / 3, 6), count_wanted(2, 6), count_wanted(0.1 * 3, 10)) == (
        4,
        2,
        12,
        3,
    )


def test_spares_are_the_rule_or_what_is_expected_to_fail() -> None:
    found = run(spare_rule=ShareSpares(0.5), failing={1: 0.6, 2: 0.1})
    # By hand: 6 wanted, half again 3, but 0.6 of 6 is 3.6; 12 wanted, half again 6 against 1.2; 6 wanted, 3.
    assert [(one.wanted, one.spares, one.total) for one in found.stacks] == [
        (6, 4, 10),
        (12, 6, 18),
        (6, 3, 9),
    ]
    assert [one.spares for one in run(spare_rule=FixedSpares(2)).stacks] == [2, 2, 2]
    assert [one.spares for one in run().stacks] == [0, 0, 0]


def test_pages_of_the_files_leave_out_blank_sides_and_what_cannot_be_printed() -> None:
    found = run()
    assert [(one.front_page, one.back_page) for one in found.stacks] == [(1, 2), (2, 0), (0, 1)]
    forwards = plan_run(THREE, 6, replace(DESK, last_on_top=False))
    assert [one.back_page for one in forwards.stacks] == [1, 0, 2]
    less = run(unprintable=[1])
    assert [one.front_page for one in less.stacks] == [0, 1, 0]
    # One file of a machine: two pages to every stack that prints anything.
    machine = replace(DESK, by_machine=True)
    assert [(o.front_page, o.back_page) for o in plan_run(THREE, 6, machine).stacks] == [
        (1, 2),
        (3, 0),
        (0, 6),
    ]
    rest = plan_run(THREE, 6, machine, unprintable=[1, 2])
    assert [(one.front_page, one.back_page) for one in rest.stacks] == [(0, 0), (1, 0), (0, 4)]


def test_backs_come_in_the_order_of_the_pile() -> None:
    stacks = run().stacks
    assert [one.number for one in order_backs(stacks, DESK)] == [3, 2, 1]
    assert [one.number for one in order_backs(stacks, replace(DESK, by_machine=True))] == [1, 2, 3]


def test_the_tray_is_filled_as_often_as_it_takes() -> None:
    small = replace(DESK, holds=25)
    assert [count_fillings(sheets, small) for sheets in (0, 1, 25, 26, 60)] == [0, 1, 1, 2, 3]
    assert [count_fillings(sheets, DESK) for sheets in (0, 60)] == [0, 1]


def states(found: RunPlan, number: int) -> tuple[tuple[int, int, int], tuple[int, int, int]]:
    one = found.stacks[number - 1]
    return (
        (one.fronts.made, one.fronts.spoiled, one.fronts.left),
        (one.backs.made, one.backs.spoiled, one.backs.left),
    )


def test_spoiled_sheets_come_out_of_the_spares() -> None:
    rule = FixedSpares(3)
    # Nine go in for six wanted: seven fronts good, two spoiled, is all of them.
    found = run(spare_rule=rule, printed=[PrintedFigure(((1, FRONTS),), 7, 2)])
    assert states(found, 1) == ((7, 2, 0), (0, 0, 7))
    # Two more are lost at the backs, which leaves five: one sheet more, both sides.
    found = run(
        spare_rule=rule, printed=[PrintedFigure(((1, FRONTS),), 7, 2), PrintedFigure(((1, BACKS),), 5, 2)]
    )
    assert states(found, 1) == ((7, 2, 1), (5, 2, 1))
    assert (found.stacks[0].fronts.joining, found.stacks[0].backs.lying) == (Joining.APART, 0)
    # What is printed anew by itself comes when everything else is through.
    assert found.resume == (2, FRONTS)
    rest = [
        PrintedFigure(((1, FRONTS),), 7, 2),
        PrintedFigure(((2, FRONTS),), 15),
        PrintedFigure(((3, BACKS),), 9),
        PrintedFigure(((1, BACKS),), 5, 2),
    ]
    assert run(spare_rule=rule, printed=rest).resume == (1, FRONTS)
    again = run(spare_rule=rule, printed=[*rest, PrintedFigure(((1, FRONTS),), 1)])
    assert (again.resume, again.stacks[0].backs.lying) == ((1, BACKS), 1)
    # Nine sheets were to go in; ten did.
    assert [one.paper for one in again.stacks] == [10, 15, 9]


def lying(found: RunPlan, number: int) -> tuple[int, int, int]:
    """Return the fronts left, the backs left, and those of them whose sheets lie there."""
    one = found.stacks[number - 1]
    return one.fronts.left, one.backs.left, one.backs.lying


def test_the_backs_are_as_many_as_good_fronts_lie_there() -> None:
    rule = FixedSpares(3)
    assert lying(run(spare_rule=rule), 1) == (9, 9, 0)
    # Nine go in, one of them spoils: eight lie there, not nine.
    found = run(spare_rule=rule, printed=[PrintedFigure(((1, FRONTS),), 8, 1)])
    assert lying(found, 1) == (0, 8, 8)
    assert (found.stacks[0].fronts.wanted, found.stacks[0].backs.wanted) == (9, 8)
    # Twelve fronts were made where nine would do: the pile holds twelve, and each goes through.
    assert lying(run(spare_rule=rule, printed=[PrintedFigure(((1, FRONTS),), 12)]), 1) == (0, 12, 12)
    # Half way through the fronts four lie there, five are to come.
    assert lying(run(spare_rule=rule, printed=[PrintedFigure(((1, FRONTS),), 4)]), 1) == (5, 9, 4)
    # Seven lay there; two backs are good, three spoiled: two lie there, and two are printed anew.
    printed = [PrintedFigure(((1, FRONTS),), 7, 2), PrintedFigure(((1, BACKS),), 2, 3)]
    found = run(spare_rule=rule, printed=printed)
    assert lying(found, 1) == (2, 4, 2)
    assert found.stacks[0].fronts.joining is Joining.APART
    # A sheet with a blank front lies there from the beginning.
    assert lying(run(spare_rule=rule, printed=[PrintedFigure(((3, BACKS),), 2, 1)]), 3) == (0, 6, 6)


def test_fronts_that_come_late_go_to_their_stack() -> None:
    first, second = PrintedFigure(((1, FRONTS),), 5, 1), PrintedFigure(((2, FRONTS),), 12)
    assert run(printed=[first]).stacks[0].fronts.joining is Joining.ON_TOP
    found = run(printed=[first, second])
    assert lying(found, 1) == (1, 6, 5)
    assert found.stacks[0].fronts.joining is Joining.BETWEEN
    assert found.resume == (1, FRONTS)
    assert run(printed=[second]).stacks[0].fronts.joining is Joining.BETWEEN


def test_what_waits_for_artwork_is_neither_begun_with_nor_counted() -> None:
    # Stack 1: plates 1 and 2; stack 2: plate 3, back blank; stack 3: front blank, plate 6.
    no_front = run(unprintable=[1])
    assert [(one.fronts.waits, one.backs.waits) for one in no_front.stacks[:2]] == [
        (True, True),
        (False, False),
    ]
    assert (no_front.resume, no_front.sides_ready, no_front.sides_waiting) == ((2, FRONTS), 18, 12)
    no_back = run(unprintable=[2])
    assert (no_back.resume, no_back.sides_waiting) == ((1, FRONTS), 6)
    fronts = [PrintedFigure(((1, FRONTS),), 6), PrintedFigure(((2, FRONTS),), 12, minutes=12)]
    last = [*fronts, PrintedFigure(((3, BACKS),), 6)]
    assert run(unprintable=[2], printed=fronts).resume == (3, BACKS)
    assert run(unprintable=[2], printed=last).resume is None
    assert run(unprintable=[2], printed=last).minutes == 0
    # A machine prints both sides or none.
    machine = plan_run(THREE, 6, replace(DESK, by_machine=True), unprintable=[2])
    assert (machine.resume, machine.sides_waiting) == ((2, FRONTS), 12)


def test_an_entry_on_both_sides_counts_a_spoiled_sheet_once() -> None:
    found = run(spare_rule=FixedSpares(3), printed=[PrintedFigure(((1, BOTH),), 9, 5, minutes=28)])
    assert states(found, 1) == ((9, 5, 0), (9, 0, 0))
    # 14 sheets, 28 sides.
    assert (found.minutes_per_side, found.timed_sides, found.minutes_u) == (1.0, 28, None)


def test_a_plate_on_several_stacks_fills_them_in_order() -> None:
    printed = [PrintedFigure(((1, FRONTS), (2, FRONTS)), 10, 1, minutes=11)]
    found = run(printed=printed)
    assert states(found, 1)[0] == (6, 0, 0)
    assert states(found, 2)[0] == (4, 1, 8)
    assert found.timed_sides == 11
    over = run(printed=[PrintedFigure(((1, FRONTS), (2, FRONTS)), 25)])
    assert (states(over, 1)[0], states(over, 2)[0]) == ((6, 0, 0), (19, 0, 0))


def test_a_blank_side_is_never_left_to_print() -> None:
    found = run(printed=[PrintedFigure(((2, BOTH),), 12, 0, minutes=24)])
    assert found.stacks[1].backs.is_blank
    assert states(found, 2) == ((12, 0, 0), (0, 0, 0))
    assert found.timed_sides == 12


def test_where_to_go_on() -> None:
    assert run().resume == (1, FRONTS)
    fronts = [PrintedFigure(((1, FRONTS),), 6), PrintedFigure(((2, FRONTS),), 12)]
    # All fronts are done; the last stack lies on top.
    assert run(printed=fronts).resume == (3, BACKS)
    assert run(printed=[*fronts, PrintedFigure(((3, BACKS),), 6)]).resume == (1, BACKS)
    done = [*fronts, PrintedFigure(((3, BACKS),), 6), PrintedFigure(((1, BACKS),), 6)]
    assert run(printed=done).resume is None
    machine = replace(DESK, by_machine=True)
    assert plan_run(THREE, 6, machine, printed=fronts[:1]).resume == (1, BACKS)
    assert plan_run(THREE, 6, machine, printed=[PrintedFigure(((1, BOTH),), 6)]).resume == (2, FRONTS)
    assert plan_run(THREE, 0, DESK).resume is None


def test_time_is_minutes_over_sides_with_the_scatter_of_the_entries() -> None:
    entries = [PrintedFigure((), 50, 0, 100.0), PrintedFigure((), 100, 0, 240.0), PrintedFigure((), 10)]
    found = run(printed=entries)
    # By hand: 340 minutes over 300 sides; the entry without minutes tells nothing.
    assert found.minutes_per_side == pytest.approx(340 / 300)
    assert (found.timed_sides, found.unassigned) == (300, 3)
    ratio = 340 / 300
    scatter = (100 - ratio * 100) ** 2 + (240 - ratio * 200) ** 2
    assert found.minutes_u == pytest.approx((2 * scatter) ** 0.5 / 300)
    # 6 + 12 + 6 sheets: 12 + 12 + 6 sides.
    assert found.minutes == pytest.approx(30 * ratio)
    assert found.minutes_left_u == pytest.approx(30 * (2 * scatter) ** 0.5 / 300)
    assert run().minutes is None


def test_the_uncertainty_of_the_time_is_the_spread_of_the_ratio() -> None:
    """Against the scatter of 4,000 simulated logs of six entries, seeded."""
    rng = np.random.default_rng(3)
    sides = np.array([40, 80, 60, 100, 50, 70])
    ratios, stated = [], []
    for _ in range(4000):
        minutes = 1.2 * sides + rng.normal(0, 8, len(sides))
        entries = [PrintedFigure((), int(s), 0, float(m), 1) for s, m in zip(sides, minutes, strict=True)]
        time = time_side(entries, [int(s) for s in sides])
        assert time is not None
        assert time.u is not None
        ratios.append(time.minutes)
        stated.append(time.u**2)
    assert np.mean(ratios) == pytest.approx(1.2, rel=0.005)
    assert np.mean(stated) ** 0.5 == pytest.approx(np.std(ratios), rel=0.06)


@given(
    st.lists(
        st.tuples(
            st.sampled_from([1, 2, 3]),
            st.sampled_from([FRONTS, BACKS, BOTH]),
            st.integers(0, 30),
            st.integers(0, 9),
        ),
        max_size=12,
    ),
    st.integers(0, 9),
)
def test_nothing_is_left_once_enough_good_sheets_are_there(
    entries: list[tuple[int, str, int, int]], copies: int
) -> None:
    printed = [PrintedFigure(((number, side),), made, bad) for number, side, made, bad in entries]
    found = plan_run(THREE, copies, DESK, spare_rule=FixedSpares(1), printed=printed)
    for one in found.stacks:
        for state in (one.fronts, one.backs):
            assert state.left >= 0
            if not state.is_blank:
                assert state.made + state.left >= one.wanted
        if not (one.fronts.is_blank or one.backs.is_blank):
            assert one.fronts.made + one.fronts.left - one.backs.spoiled >= one.wanted
            # Each good front, there or to come, gets one back and no more; where the log tells of more backs than
            # fronts, none is left over.
            due = one.fronts.made + one.fronts.left - one.backs.made - one.backs.spoiled
            assert one.backs.left == max(0, due)
            assert one.backs.lying == max(0, one.fronts.made - one.backs.made - one.backs.spoiled)
        assert one.backs.lying <= one.backs.left
    left = sum(one.fronts.left + one.backs.left for one in found.stacks)
    assert (found.resume is None) == (left == 0)
    made = sum(m for n, s, m, _ in entries if (n, s) in ((1, FRONTS), (1, BOTH)))
    assert found.stacks[0].fronts.made == made


@pytest.mark.parametrize(
    "wrong",
    [
        {"failing": {1: 1.5}},
        {"printed": [PrintedFigure(((9, FRONTS),), 1)]},
        {"printed": [PrintedFigure(((1, "sides"),), 1)]},
        {"printed": [PrintedFigure((), -1)]},
    ],
)
def test_what_makes_no_sense_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(DomainError):
        run(**wrong)


def test_copies_are_no_negative_number() -> None:
    with pytest.raises(DomainError):
        plan_run(THREE, -1, DESK)
