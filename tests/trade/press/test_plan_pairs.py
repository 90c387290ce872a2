"""Sheets that are cut into several leaf pairs before they are folded."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Side
from doublure.trade.press.plan import PressSpec, plan_press
from doublure.trade.press.records import Folding, Pairing, PressPlace
from plate_binding import bind_plan

LEAF = (60.0, 90.0)


def spec_of(
    entries: tuple[str | None, ...], gatherings: tuple[int, ...], pairs: int, pairing: Pairing
) -> PressSpec:
    """Return a spec of small leaves on a large sheet."""
    return PressSpec(
        leaf_width_mm=LEAF[0],
        leaf_height_mm=LEAF[1],
        sheet_width_mm=pairs * 2 * LEAF[0] + 30,
        sheet_height_mm=pairs * LEAF[1] + 20,
        leaf_pairs_in_gatherings=gatherings,
        masters=dict(enumerate(entries, 1)),
        page_numbers=tuple(range(1, len(entries) + 1)),
        pairs=pairs,
        pairing=pairing,
    )


@st.composite
def specs(draw: st.DrawFn) -> PressSpec:
    """Return a spec with two to six leaf pairs on a sheet."""
    gatherings = tuple(draw(st.lists(st.integers(1, 4), min_size=1, max_size=4)))
    entries = draw(st.lists(st.sampled_from(["a", "b", None]), min_size=1, max_size=4 * sum(gatherings)))
    spec = spec_of(tuple(entries), gatherings, draw(st.integers(2, 6)), draw(st.sampled_from(Pairing)))
    return replace(
        spec,
        rtl=draw(st.booleans()),
        collation=draw(st.booleans()),
        creep_step_mm=draw(st.sampled_from([0.0, 0.1])),
        creep_steps={pair: pair // 2 for pair in range(1, 5)},
        bleed_mm=draw(st.sampled_from([0.0, 3.0])),
    )


@settings(max_examples=120)
@given(specs(), st.integers(0, 5))
def test_cut_folded_and_bound_they_read_as_the_book(spec: PressSpec, copy: int) -> None:
    """Whichever of its places on the sheet each leaf pair is taken from."""
    plan = plan_press(spec)
    pages = bind_plan(plan, spec.rtl, spec.pairing, copy)
    entries = [spec.masters[page] for page in spec.page_numbers if page is not None]
    blanks = 4 * sum(spec.leaf_pairs_in_gatherings) - len(entries)
    assert [page["trim"].what[1] for page in pages] == entries + [None] * blanks
    for page in pages:
        assert all(read.upright for read in page.values())
        trim = page["trim"]
        assert (trim.near, trim.far, trim.bottom - trim.top) == pytest.approx((0, *LEAF), abs=1e-6)
        assert trim.top == pytest.approx(pages[0]["trim"].top, abs=1e-6)


@settings(max_examples=120)
@given(specs())
def test_printed_sheets_of_a_copy(spec: PressSpec) -> None:
    """Every leaf pair comes of one stack; a copy takes as much paper as its leaf pairs, rounded up to a sheet's
    share.
    """
    plan = plan_press(spec)
    total = sum(spec.leaf_pairs_in_gatherings)
    places = [(g, s) for g, n in enumerate(spec.leaf_pairs_in_gatherings, 1) for s in range(1, n + 1)]
    assert sorted(place for stack in plan.stacks for place in stack.sheets) == places
    per_copy = math.fsum(stack.per_copy for stack in plan.stacks)
    if spec.pairing is Pairing.ALIKE:
        assert per_copy == pytest.approx(total / spec.pairs)
        for stack in plan.stacks:
            assert stack.per_copy == pytest.approx(len(stack.sheets) / spec.pairs)
    else:
        full, rest = divmod(total, spec.pairs)
        assert per_copy == pytest.approx(full + (Fraction(1, spec.pairs // rest) if rest else 0))
    served = {place for plate in plan.plates for place in plate.places}
    assert served == {PressPlace(g, s, side) for g, s in places for side in Side}


@given(specs())
def test_step_marks_of_every_outermost_pair(spec: PressSpec) -> None:
    """With collation, as many marks as outermost leaf pairs lie on the front, each on a spine fold."""
    spec = replace(spec, collation=True)
    plan = plan_press(spec)
    for plate in plan.plates:
        fronts = [p for p in plate.places if p.sheet == 1 and p.side is Side.FRONT]
        if not plate.collation_marks:
            continue
        assert fronts
        folds = {round(page.trim.right_mm, 6) for page in plate.pages[::2]}
        middles = Counter(round(box.left_mm + box.width_mm / 2, 6) for box in plate.collation_marks)
        assert set(middles) <= folds
        if spec.pairing is Pairing.ALIKE:
            assert len(plate.collation_marks) == spec.pairs
    marked = {p for plate in plan.plates if plate.collation_marks for p in plate.places}
    outermost = {PressPlace(g, 1, Side.FRONT) for g in range(1, len(spec.leaf_pairs_in_gatherings) + 1)}
    assert outermost <= marked


def test_alike_makes_as_many_plates_as_single_pairs() -> None:
    """The same leaf pair six times on a sheet takes no more plates than once; a sixth of the paper."""
    entries = tuple(f"m{page}" for page in range(1, 33))
    ganged = plan_press(spec_of(entries, (4, 4), 6, Pairing.ALIKE))
    single = plan_press(spec_of(entries, (4, 4), 1, Pairing.ALIKE))
    assert len(ganged.plates) == len(single.plates) == 16
    assert [stack.sheets for stack in ganged.stacks] == [stack.sheets for stack in single.stacks]
    assert [stack.per_copy for stack in ganged.stacks] == [pytest.approx(1 / 6)] * 8


def test_in_turn_takes_the_pairs_as_they_are_sewn() -> None:
    """Three to a sheet, eight leaf pairs: two full sheets; of the two left over one set and an empty place."""
    entries = tuple(f"m{page}" for page in range(1, 33))
    plan = plan_press(spec_of(entries, (4, 4), 3, Pairing.IN_TURN))
    assert [stack.sheets for stack in plan.stacks] == [
        ((1, 1), (1, 2), (1, 3)),
        ((1, 4), (2, 1), (2, 2)),
        ((2, 3), (2, 4)),
    ]
    assert [stack.per_copy for stack in plan.stacks] == [1, 1, 1]
    last = plan.plate(plan.stacks[-1].front)
    assert [page.pages for page in last.pages[4:]] == [(), ()]


def test_what_is_left_over_serves_more_copies() -> None:
    """Four to a sheet, five leaf pairs: the last is put on its sheet four times and serves four copies."""
    plan = plan_press(spec_of(("a",) * 12 + tuple("bcdefghi"), (5,), 4, Pairing.IN_TURN))
    assert [stack.per_copy for stack in plan.stacks] == [1, 0.25]
    assert plan.stacks[-1].sheets == ((1, 5),)


def test_on_the_back_the_pairs_lie_as_in_a_mirror() -> None:
    """Two leaf pairs beside each other: the left one of the front is the right one of the back."""
    spec = spec_of(tuple(f"m{page}" for page in range(1, 9)), (1, 1), 2, Pairing.IN_TURN)
    spec = replace(spec, sheet_width_mm=4 * LEAF[0], sheet_height_mm=LEAF[1])
    plan = plan_press(spec)
    assert [page.master for page in plan.plate(1).pages] == ["m4", "m1", "m8", "m5"]
    assert [page.master for page in plan.plate(2).pages] == ["m6", "m7", "m2", "m3"]


def test_too_many_pairs_for_the_sheet() -> None:
    """The error lists what would do."""
    spec = spec_of(("a",), (1,), 2, Pairing.ALIKE)
    with pytest.raises(DomainError, match=r"2 leaf pairs take 120 x 180 mm or 240 x 90 mm") as caught:
        plan_press(replace(spec, sheet_width_mm=200, sheet_height_mm=150))
    assert caught.value.argument == "sheet"
    with pytest.raises(DomainError, match="not cut before"):
        plan_press(replace(spec, folding=Folding.OCTAVO, leaf_pairs_in_gatherings=(4,)))


def test_artwork_that_crosses_the_gutter_stays_at_the_fold() -> None:
    """Pages 8 and 9 of a gathering of 16 are not moved, whatever their leaf pair is; their neighbours are."""
    pages = range(1, 17)
    spec = PressSpec(
        leaf_width_mm=105,
        leaf_height_mm=148,
        sheet_width_mm=297,
        sheet_height_mm=210,
        leaf_pairs_in_gatherings=(4,),
        masters={page: f"p{page}" for page in pages},
        page_numbers=tuple(pages),
        creep_steps={1: 0, 2: 1, 3: 2, 4: 3},
        creep_step_mm=0.25,
        held_pages=frozenset({8, 9}),
    )
    shifts = {
        placed.pages[0]: (placed.creep_shift_mm, placed.artwork == placed.trim)
        for plate in plan_press(spec).plates
        for placed in plate.pages
    }
    assert shifts[8] == shifts[9] == (0.0, True)
    assert shifts[7] == shifts[10] == (0.75, False)
    assert shifts[6] == shifts[11] == (0.5, False)
