"""The plan of the press: plates at true size, printed, folded and bound, give the book back."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Half, Side
from doublure.trade.book.imposition import impose
from doublure.trade.book.plates import plan_plates
from doublure.trade.press.plan import PressSpec, choose_sheet_way, find_sheet_way, plan_press
from doublure.trade.press.records import Folding, MarkName, Pairing, PressPlace, PressPlan
from doublure.trade.press.sheet_way import WayReason
from plate_binding import FOLDS, bind_plan, take_sheets
from sheet_folder import Bound, Rect, bind_gathering, cut_out, find_joined

A6 = (105.0, 148.0)
SHEETS = {Folding.FOLIO: (297.0, 210.0), Folding.QUARTO: (297.0, 420.0), Folding.OCTAVO: (450.0, 320.0)}


def spec_of(
    entries: tuple[str | None, ...],
    gatherings: tuple[int, ...],
    folding: Folding = Folding.FOLIO,
    sheet_mm: tuple[float, float] | None = None,
    **more: object,
) -> PressSpec:
    """Return a spec of A6 leaves, a page for each entry."""
    width, height = sheet_mm or SHEETS[folding]
    spec = PressSpec(
        leaf_width_mm=A6[0],
        leaf_height_mm=A6[1],
        sheet_width_mm=width,
        sheet_height_mm=height,
        leaf_pairs_in_gatherings=tuple(folding.pairs * count for count in gatherings),
        masters=dict(enumerate(entries, 1)),
        page_numbers=tuple(range(1, len(entries) + 1)),
        folding=folding,
    )
    return replace(spec, **more)  # type: ignore[arg-type]


@st.composite
def specs(draw: st.DrawFn) -> PressSpec:
    """Return a spec with a few masters and blanks, of any folding and size."""
    folding = draw(st.sampled_from(Folding))
    gatherings = tuple(draw(st.lists(st.integers(1, 3), min_size=1, max_size=4)))
    held = 4 * folding.pairs * sum(gatherings)
    entries = tuple(draw(st.lists(st.sampled_from(["a", "b", None]), min_size=1, max_size=held)))
    width, height = draw(st.floats(20, 300)), draw(st.floats(20, 400))
    across, down = {Folding.FOLIO: (2, 1), Folding.QUARTO: (2, 2), Folding.OCTAVO: (4, 2)}[folding]
    extra_x, extra_y = draw(st.floats(0, 90)), draw(st.floats(0, 90))
    steps = {pair: draw(st.integers(0, 3)) for pair in range(1, folding.pairs * max(gatherings) + 1)}
    return PressSpec(
        leaf_width_mm=width,
        leaf_height_mm=height,
        sheet_width_mm=across * width + extra_x,
        sheet_height_mm=down * height + extra_y,
        leaf_pairs_in_gatherings=tuple(folding.pairs * count for count in gatherings),
        masters=dict(enumerate(entries, 1)),
        page_numbers=tuple(range(1, len(entries) + 1)),
        folding=folding,
        rtl=draw(st.booleans()),
        creep_steps=steps,
        creep_step_mm=draw(st.sampled_from([0.0, 0.1, 0.25])),
        bleed_mm=draw(st.sampled_from([0.0, 2.0, 3.0, 5.0])),
        collation=draw(st.booleans()),
    )


@settings(max_examples=150)
@given(specs())
def test_bound_plates_read_as_the_book(spec: PressSpec) -> None:
    """Every page carries its master, upright, its trim from the fold to the width of a leaf, to a nanometre."""
    plan = plan_press(spec)
    pages = bind_plan(plan, spec.rtl)
    held = 4 * sum(spec.leaf_pairs_in_gatherings)
    entries = [spec.masters[page] for page in spec.page_numbers if page is not None]
    assert [page["trim"].what[1] for page in pages] == entries + [None] * (held - len(entries))
    assert all(read.upright for page in pages for read in page.values())
    top = pages[0]["trim"].top
    for page in pages:
        trim = page["trim"]
        wanted = (0, spec.leaf_width_mm, top, top + spec.leaf_height_mm)
        assert (trim.near, trim.far, trim.top, trim.bottom) == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize("rtl", [False, True])
@pytest.mark.parametrize("folding", Folding)
def test_a_book_of_208_pages_reads_from_first_to_last(folding: Folding, rtl: bool) -> None:
    """Thirteen gatherings of 16 pages: 1 to 208 in order, upright, each trim in its place."""
    entries = tuple(f"page {page}" for page in range(1, 209))
    spec = spec_of(entries, (4 // folding.pairs,) * 13, folding, rtl=rtl)
    pages = bind_plan(plan_press(spec), rtl)
    assert [page["trim"].what[1] for page in pages] == list(entries)
    for page in pages:
        trim = page["trim"]
        assert trim.upright
        assert (trim.near, trim.far, trim.bottom - trim.top) == pytest.approx((0, *A6), abs=1e-6)
        assert trim.top == pytest.approx(pages[0]["trim"].top, abs=1e-6)


@settings(max_examples=100)
@given(specs())
def test_trimmed_or_slit_the_leaves_hang_together_at_the_spine_alone(spec: PressSpec) -> None:
    """Folded, put into each other and trimmed, leaves are joined at the spine; where the gap at a head or fore-edge is
    nothing, at that fold too, which then lies on the trim and is slit.
    """
    plan = plan_press(spec)
    sheets = take_sheets(plan, spec.pairing)
    trims = [page.trim for page in plan.plates[0].pages]
    gaps = {
        "head": trims[-1].top_mm - trims[0].bottom_mm if plan.layout.rows > 1 else None,
        "fore-edge": trims[2].left_mm - trims[1].right_mm if plan.layout.columns > 2 else None,
    }
    # The tail edges of all packets lie at 0, as far below the trims as the sheet leaves there.
    bottom = -plan.layout.room_mm[3]
    top = bottom - spec.leaf_height_mm
    x = (-spec.leaf_width_mm, 0.0) if spec.rtl else (0.0, spec.leaf_width_mm)
    for number, pairs in enumerate(spec.leaf_pairs_in_gatherings, 1):
        own = [sheets[place] for place in sorted(sheets) if place[0] == number]
        bound = bind_gathering(own, FOLDS[spec.folding], spec.rtl)
        leaves = cut_out(list(bound.leaves), Rect(x[0], top, x[1], bottom))
        assert len(leaves) == 2 * pairs
        joined = find_joined(Bound(tuple(leaves), bound.spine))
        assert joined.pop("spine") == {(leaf, 2 * pairs + 1 - leaf) for leaf in range(1, pairs + 1)}
        for edge, gap in gaps.items():
            if gap is None or gap > 1e-6:
                assert not joined[edge]
            elif abs(gap) < 1e-9:
                assert joined[edge]


@settings(max_examples=150)
@given(specs())
def test_creep_moves_artwork_towards_the_fold_of_inner_pairs(spec: PressSpec) -> None:
    """When each leaf pair stands out by its shift and the gathering is trimmed flush, every page shows its artwork
    right up to the trimmed fore-edge, at the same height.
    """
    plan = plan_press(spec)
    pages = bind_plan(plan, spec.rtl)
    steps = spec.creep_steps or {}
    start = 0
    for pairs in spec.leaf_pairs_in_gatherings:
        own = pages[start : start + 4 * pairs]
        start += 4 * pairs
        for leaf in range(1, 2 * pairs + 1):
            stands_out = steps[min(leaf, 2 * pairs + 1 - leaf)] * spec.creep_step_mm
            for page in own[2 * leaf - 2 : 2 * leaf]:
                if page["artwork"].what[1] is None:
                    continue
                # The fold of the pair lies as much further out as it is pushed; so does all that is on it.
                assert page["artwork"].far + stands_out == pytest.approx(spec.leaf_width_mm, abs=1e-6)
                assert page["artwork"].top == pytest.approx(page["trim"].top, abs=1e-6)


@settings(max_examples=100)
@given(specs())
def test_every_side_of_every_sheet_is_served_once(spec: PressSpec) -> None:
    """Places, pages and stacks are shared out without gap or overlap."""
    plan = plan_press(spec)
    m = spec.folding.pairs
    served = Counter(place for plate in plan.plates for place in plate.places)
    assert served == Counter(
        PressPlace(gathering, sheet, side)
        for gathering, pairs in enumerate(spec.leaf_pairs_in_gatherings, 1)
        for sheet in range(1, pairs // m + 1)
        for side in Side
    )
    pages = Counter(number for plate in plan.plates for page in plate.pages for number in page.pages)
    assert pages == Counter(number for number in spec.page_numbers if number is not None)
    assert sum(stack.per_copy for stack in plan.stacks) * m == sum(spec.leaf_pairs_in_gatherings)
    for stack in plan.stacks:
        assert stack.per_copy == len(stack.sheets)
        for gathering, sheet in stack.sheets:
            assert PressPlace(gathering, sheet, Side.FRONT) in plan.plate(stack.front).places
            assert PressPlace(gathering, sheet, Side.BACK) in plan.plate(stack.back).places
    assert [plate.number for plate in plan.plates] == list(range(1, len(plan.plates) + 1))
    for plate in plan.plates:
        assert list(plate.places) == sorted(
            plate.places, key=lambda p: (p.gathering, p.sheet, p.side is Side.BACK)
        )


def keys_of(plan: PressPlan) -> list[tuple[object, ...]]:
    """Return what each plate of a folio carries: left and right master, and its creep in steps."""
    step = plan.creep_step_mm or 1.0
    return [
        (*(page.master for page in plate.pages), round(max(p.creep_shift_mm for p in plate.pages) / step))
        for plate in plan.plates
    ]


@settings(max_examples=150)
@given(specs(), st.booleans())
def test_a_plain_folio_agrees_with_the_plates_of_the_book(spec: PressSpec, creep: bool) -> None:
    """Plates, places and stacks are those of trade/book/plates, in the same order."""
    step_mm = 0.1 if creep else 0.0
    spec = replace(
        spec,
        folding=Folding.FOLIO,
        sheet_width_mm=2 * spec.leaf_width_mm,
        sheet_height_mm=spec.leaf_height_mm,
        creep_step_mm=step_mm,
        collation=False,
    )
    plan = plan_press(spec)
    imposition = impose(spec.page_numbers, spec.leaf_pairs_in_gatherings, spec.rtl)
    wanted = plan_plates(imposition, spec.masters, creep, spec.creep_steps)
    assert keys_of(plan) == [(use.plate.left, use.plate.right, use.plate.creep_step) for use in wanted.plates]
    assert [[(p.gathering, p.sheet, p.side) for p in plate.places] for plate in plan.plates] == [
        [(p.gathering, p.sheet, p.side) for p in use.places] for use in wanted.plates
    ]
    assert [stack.sheets for stack in plan.stacks] == [stack.sheets for stack in wanted.stacks]
    assert [plate.is_blank for plate in plan.plates] == [use.plate.is_blank for use in wanted.plates]
    assert plan.stacks_plain == len(wanted.stacks)
    for stack, other in zip(plan.stacks, wanted.stacks, strict=True):
        plates = [use.plate for use in wanted.plates]
        assert (stack.front - 1, stack.back - 1) == (plates.index(other.front), plates.index(other.back))


def test_a_repeat_is_one_plate_on_either_side_of_the_sheet() -> None:
    """Ruled throughout, a book takes one plate; the plate is printed on both sides and names every place."""
    plan = plan_press(spec_of(("ruled",) * 16, (2, 2)))
    (plate,) = plan.plates
    assert len(plate.places) == 8
    assert plate.pages[0].pages == (2, 4, 6, 8, 10, 12, 14, 16)
    assert plate.pages[1].pages == (1, 3, 5, 7, 9, 11, 13, 15)
    (stack,) = plan.stacks
    assert (stack.front, stack.back, stack.sheets, stack.per_copy) == (
        1,
        1,
        ((1, 1), (1, 2), (2, 1), (2, 2)),
        4,
    )


def test_the_same_master_twice_on_a_plate() -> None:
    """It is named once among the masters, and has both its places."""
    plan = plan_press(spec_of(("a", "b", "b", "a"), (1,)))
    assert [plate.masters for plate in plan.plates] == [("a",), ("b",)]
    assert [[page.pages for page in plate.pages] for plate in plan.plates] == [[(4,), (1,)], [(2,), (3,)]]


def test_blanks_are_plates_that_print_nothing() -> None:
    """Blank sides of all sheets are one plate, whatever their creep; pages of the book are named, filled up ones
    not.
    """
    plan = plan_press(
        spec_of(("a", None, None, None, None), (2,), creep_steps={1: 0, 2: 1}, creep_step_mm=0.1)
    )
    assert [plate.is_blank for plate in plan.plates] == [False, True]
    blank = plan.plate(2)
    assert [(p.sheet, p.side) for p in blank.places] == [(1, Side.BACK), (2, Side.FRONT), (2, Side.BACK)]
    assert [page.pages for page in blank.pages] == [(2, 4), (3, 5)]
    assert all(page.creep_shift_mm == 0 and page.artwork == page.trim for page in blank.pages)


def test_pages_on_tipped_leaves_are_passed_over() -> None:
    """Page numbers may have gaps; masters of other pages may be there."""
    spec = replace(spec_of(("a", "b", "x", "y", "c", "d"), (1,)), page_numbers=(1, 2, 5, 6))
    assert [plate.masters for plate in plan_press(spec).plates] == [("d", "a"), ("b", "c")]


@given(specs())
def test_collation_marks_tell_gatherings_apart(spec: PressSpec) -> None:
    """The outermost front of each gathering has one mark on its fold, one step lower than the one before."""
    plan = plan_press(replace(spec, collation=True))
    plain = plan_press(replace(spec, collation=False))
    assert (plan.stacks_plain, plan.stacks_collated) == (len(plain.stacks), len(plan.stacks))
    assert (plain.stacks_plain, plain.stacks_collated) == (len(plain.stacks), len(plan.stacks))
    assert len(plan.stacks) >= len(plain.stacks)
    assert all(plate.collation is None and plate.collation_step == 0 for plate in plain.plates)
    marked = {}
    for plate in plan.plates:
        for place in plate.places:
            if place.sheet == 1 and place.side is Side.FRONT:
                marked[place.gathering] = plate
        if plate.collation is not None:
            assert all(place.sheet == 1 and place.side is Side.FRONT for place in plate.places)
            assert not plate.is_blank
    steps = max(1, int(spec.leaf_height_mm / (24 * 25.4 / 72) + 1e-9) - 2)
    tops = []
    for gathering, plate in sorted(marked.items()):
        assert plate.collation is not None
        assert plate.collation_step == (gathering - 1) % steps + 1
        inside = [page for page in plate.pages if not page.turned]
        left = next(
            page
            for page in inside
            if page.spine is Half.RIGHT
            and abs(page.trim.right_mm - plate.collation.left_mm - plate.collation.width_mm / 2) < 1e-6
        )
        assert left.trim.top_mm - 1e-9 <= plate.collation.top_mm
        assert plate.collation.bottom_mm <= left.trim.bottom_mm + 1e-9
        tops.append((plate.collation_step, plate.collation.top_mm))
    for (step, top), (after, below) in zip(tops, tops[1:], strict=False):
        if after == step + 1:
            assert below - top == pytest.approx(24 * 25.4 / 72)


def test_a_blank_front_with_a_mark_is_printed() -> None:
    """With collation marks a blank outside prints its mark; without, nothing."""
    spec = spec_of((None, "a", "a", None), (1,))
    assert [plate.is_blank for plate in plan_press(spec).plates] == [True, False]
    assert [plate.is_blank for plate in plan_press(replace(spec, collation=True)).plates] == [False, False]


def test_a_long_book_is_planned() -> None:
    """2000 pages; 4 pages."""
    many = tuple(f"m{page}" for page in range(1, 2001))
    plan = plan_press(spec_of(many, (4,) * 125))
    assert (len(plan.plates), len(plan.stacks)) == (1000, 500)
    few = plan_press(spec_of(("a", "b", "c", "d"), (1,)))
    assert (len(few.plates), len(few.stacks)) == (2, 1)


def test_the_sheet_is_turned_where_only_that_fits() -> None:
    """A folio of A6 leaves goes on A4 lying down only; whichever way it is given."""
    upright = spec_of(("a",), (1,), sheet_mm=(200, 297), grain_along="height")
    turned = choose_sheet_way(upright)
    assert (turned.sheet_width_mm, turned.sheet_height_mm, turned.grain_along) == (297, 200, "width")
    assert choose_sheet_way(turned) == turned
    assert plan_press(turned).layout.fold_grain_ok is False


def test_the_sheet_is_turned_to_bring_the_grain_along_the_fold() -> None:
    """Where both ways fit, the grain decides; where it is open or right, the sheet stays."""
    spec = spec_of(("a",), (1,), sheet_mm=(297, 297), grain_along="width")
    assert plan_press(spec).layout.fold_grain_ok is False
    turned = choose_sheet_way(spec)
    assert turned.grain_along == "height"
    assert plan_press(turned).layout.fold_grain_ok is True
    for stays in (replace(spec, grain_along=""), turned):
        assert choose_sheet_way(stays) is stays
    assert plan_press(replace(spec, grain_along="")).layout.fold_grain_ok is None


def test_a_sheet_too_small_either_way_stays_and_is_refused() -> None:
    """The error says what the pages take."""
    spec = spec_of(("a",), (1,), sheet_mm=(150, 200))
    assert choose_sheet_way(spec) is spec
    with pytest.raises(
        DomainError, match=r"150 x 200 mm is too small: its pages take 210 x 148 mm"
    ) as caught:
        plan_press(spec)
    assert caught.value.argument == "sheet"
    with pytest.raises(DomainError, match="laid the other way it is large enough"):
        plan_press(replace(spec, sheet_width_mm=148, sheet_height_mm=210))


@pytest.mark.parametrize(
    ("change", "words", "argument"),
    [
        (
            {"leaf_pairs_in_gatherings": (3,)},
            "3 leaf pairs cannot come of sheets folded as quarto",
            "leaf_pairs",
        ),
        ({"pairs": 2}, "not cut before; 1 is right", "pairs"),
        ({"pairs": 0}, "0 is too few", "pairs"),
        ({"bleed_mm": -1.0}, "bleed: -1.0 mm cannot be", "bleed_mm"),
        ({"bleed_mm": float("nan")}, "bleed: nan mm cannot be", "bleed_mm"),
        ({"creep_step_mm": -0.1}, "creep step: -0.1 mm cannot be", "creep_step_mm"),
        ({"creep_step_mm": 0.1}, "leaf pair 2 of a gathering has no creep step", "creep_steps"),
        ({"creep_step_mm": 200.0, "creep_steps": {1: 0, 2: 1}}, "would be moved 200 mm", "creep_step_mm"),
        ({"leaf_width_mm": 0.0}, "must be greater than 0", "leaf_width_mm"),
        ({"sheet_width_mm": float("inf")}, "must be greater than 0", "sheet"),
        ({"masters": {1: "a"}}, "has neither a master nor a blank", "masters"),
        ({"page_numbers": tuple(range(1, 10))}, "9 do not fit into gatherings that hold 8", "sheets_in"),
        ({"grain_along": "diagonal"}, "neither width nor height", "grain_along"),
    ],
)
def test_wrong_specs_are_refused(change: dict[str, object], words: str, argument: str) -> None:
    """Each with what would be right, and the argument that is to blame."""
    spec = replace(spec_of(("a",) * 8, (1,), Folding.QUARTO), creep_steps={1: 0})
    with pytest.raises(DomainError, match=words) as caught:
        plan_press(replace(spec, **change))  # type: ignore[arg-type]
    assert caught.value.argument.startswith(argument)


def test_pairing_makes_no_difference_to_single_pairs() -> None:
    """One leaf pair a sheet: alike and in turn are the same."""
    spec = spec_of(("a", "b", "c", "d"), (1,))
    assert plan_press(spec) == plan_press(replace(spec, pairing=Pairing.IN_TURN))


def test_a_sheet_that_would_lose_marks_or_bleed_stays_as_it_is_given() -> None:
    """Two leaf pairs of A6 leaves on A3: 43 mm beside upright; turned, 296 of 297 mm are taken from head to tail."""
    spec = replace(spec_of(("a",), (1,), sheet_mm=(297, 420), grain_along="width"), pairs=2)
    choice = find_sheet_way(spec)
    assert choice.reason is WayReason.KEPT
    assert {one.what for one in choice.costs} >= {MarkName.BLEED, MarkName.CUT, MarkName.FOLD}
    assert choose_sheet_way(spec) is spec
    plan = plan_press(spec)
    assert (plan.layout.lacking, plan.layout.fold_grain_ok) == ((), False)
    # With room both ways the grain decides, and nothing is lost by it.
    wide = replace(spec, leaf_width_mm=100, leaf_height_mm=130)
    assert find_sheet_way(wide).reason is WayReason.GRAIN
    assert plan_press(choose_sheet_way(wide)).layout.lacking == ()
    for along in ("height", ""):
        assert find_sheet_way(replace(spec, grain_along=along)).reason is WayReason.AS_GIVEN
    # As given the pages do not fit at all: turned, whatever that costs.
    assert find_sheet_way(replace(spec, sheet_width_mm=415, sheet_height_mm=290)).reason is WayReason.ROOM
