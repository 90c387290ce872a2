"""How artwork fits its plates: every issue with its number and edge, none where there is none."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.trade.book.gatherings import Half
from doublure.trade.press.artwork_fit import (
    ArtworkIssue,
    ArtworkSpec,
    SheetReach,
    find_artwork,
    place_artwork,
    reach_on_side,
)
from doublure.trade.press.plan import PressSpec, plan_press
from doublure.trade.press.records import Box, Folding, PlacedPage, PressPlan

#: 105 by 148 mm at 600 ppi, without and with a bleed of 3 mm.
FULL = (2480, 3496)
BLED = (2622, 3638)
ALL = (0.0, 0.0, 1.0, 1.0)
#: Nothing within 10 mm of the trim.
INSIDE = (10 / 105, 10 / 148, 95 / 105, 138 / 148)


def plan_of(
    *entries: str | None, gatherings: tuple[int, ...] = (1,), sheet_mm: tuple[float, float] = (297.0, 210.0)
) -> PressPlan:
    """Return the plan of a folio of A6 leaves, with creep of 0.2 mm a pair."""
    return plan_press(
        PressSpec(
            leaf_width_mm=105,
            leaf_height_mm=148,
            sheet_width_mm=sheet_mm[0],
            sheet_height_mm=sheet_mm[1],
            leaf_pairs_in_gatherings=gatherings,
            masters=dict(enumerate(entries, 1)),
            page_numbers=tuple(range(1, len(entries) + 1)),
            creep_steps={pair: pair - 1 for pair in range(1, max(gatherings) + 1)},
            creep_step_mm=0.2,
        )
    )


def told(issues: tuple[ArtworkIssue, ...]) -> list[tuple[str, str]]:
    """Return kind and edge of each issue."""
    return [(issue.kind, issue.edge) for issue in issues]


def test_artwork_that_fits_raises_nothing() -> None:
    """Enough pixels, ink well inside; or ink everywhere, with the whole bleed; or a PDF page, whose ink is unknown."""
    plan = plan_of("a")
    reach = SheetReach((5, 5, 5, 5), (5, 5, 5, 5))
    for spec in (
        ArtworkSpec("bilevel", *FULL, ink=INSIDE),
        ArtworkSpec("bilevel", *BLED, bleed_mm=(3, 3, 3, 3), ink=ALL),
        ArtworkSpec("bilevel", *FULL, ink=None),
        ArtworkSpec("vector", width_mm=105, height_mm=148),
    ):
        assert find_artwork(plan, {"a": spec}, reach) == ()
    assert find_artwork(plan, {"other": ArtworkSpec("grey", 10, 10)}) == ()


@pytest.mark.parametrize(
    ("kind", "pixels", "ppi", "wanted"),
    [
        ("bilevel", (1240, 1748), 300, 600),
        ("grey", (827, 1165), 200, 300),
        ("colour", (1170, 1649), 283, 300),
        ("grey", (1240, 1748), None, 300),
        ("bilevel", (2468, 3479), None, 600),
        ("bilevel", (2460, 3468), 595, 600),
    ],
)
def test_resolution(kind: str, pixels: tuple[int, int], ppi: int | None, wanted: float) -> None:
    """Pixels over inches at the size printed, against what the kind needs; half a percent is forgiven."""
    issues = find_artwork(plan_of("a"), {"a": ArtworkSpec(kind, *pixels, ink=INSIDE)})
    if ppi is None:
        assert issues == ()
    else:
        (issue,) = issues
        assert (issue.kind, round(issue.value), issue.wanted, issue.plates) == (
            "resolution",
            ppi,
            wanted,
            (1,),
        )


def test_resolution_at_a_size_of_its_own() -> None:
    """A picture that is printed at half the width has twice the resolution."""
    spec = ArtworkSpec("grey", 620, 874, print_width_mm=52.5, print_height_mm=74, ink=(0.2, 0.2, 0.8, 0.8))
    assert find_artwork(plan_of("a"), {"a": spec}) == ()
    (issue,) = find_artwork(plan_of("a"), {"a": replace(spec, print_width_mm=None, print_height_mm=None)})
    assert issue.value == pytest.approx(150, abs=0.5)


def test_proportions() -> None:
    """A square picture on an A6 page; a PDF page that is too wide; the bleed counts with a picture."""
    plan = plan_of("a")
    (issue,) = find_artwork(plan, {"a": ArtworkSpec("colour", 3496, 3496, ink=(0.4, 0.4, 0.6, 0.6))})
    assert (issue.kind, issue.wanted, issue.edge) == ("size", 1.0, "")
    assert issue.value == pytest.approx(148 / 105)
    (issue,) = find_artwork(plan, {"a": ArtworkSpec("vector", width_mm=110, height_mm=148)})
    assert issue.value == pytest.approx(110 / 105)
    assert told(find_artwork(plan, {"a": ArtworkSpec("bilevel", *BLED, ink=INSIDE)})) == [("size", "")]


def test_ink_at_the_trim_wants_a_bleed_but_not_at_the_fold() -> None:
    """On a recto the fold is at the left, on a verso at the right; head and tail are always trimmed."""
    spec = ArtworkSpec("bilevel", *FULL, ink=ALL)
    recto = find_artwork(plan_of("a"), {"a": spec})
    assert told(recto) == [("bleed", "right"), ("bleed", "head"), ("bleed", "tail")]
    assert all((issue.value, issue.wanted, issue.plates) == (0.0, 3.0, (1,)) for issue in recto)
    assert told(find_artwork(plan_of(None, "a"), {"a": spec})) == [
        ("bleed", "left"), ("bleed", "head"), ("bleed", "tail")
    ]  # fmt: skip
    both = find_artwork(plan_of("a", "a", "b"), {"a": spec})
    assert [(i.edge, i.plates) for i in both] == [
        ("left", (2,)),
        ("right", (1,)),
        ("head", (1, 2)),
        ("tail", (1, 2)),
    ]


def test_a_bleed_that_is_too_short() -> None:
    """Two millimetres beyond the trim where three are wanted."""
    pixels = (round(109 / 25.4 * 600), round(152 / 25.4 * 600))
    spec = ArtworkSpec("bilevel", *pixels, bleed_mm=(2, 2, 2, 2), ink=ALL)
    issues = find_artwork(plan_of("a"), {"a": spec})
    assert told(issues) == [("bleed", "right"), ("bleed", "head"), ("bleed", "tail")]
    assert [issue.value for issue in issues] == pytest.approx([2, 2, 2], abs=0.05)


def test_a_bleed_that_the_sheet_has_no_room_for() -> None:
    """The artwork has its bleed, the sheet ends a millimetre beyond the trim."""
    spec = ArtworkSpec("bilevel", *BLED, bleed_mm=(3, 3, 3, 3), ink=ALL)
    issues = find_artwork(plan_of("a", sheet_mm=(212, 210)), {"a": spec})
    assert [(i.kind, i.edge, i.value) for i in issues] == [("bleed", "right", pytest.approx(1))]


def test_creep_takes_ink_across_the_fold() -> None:
    """Artwork that runs to the fold loses the shift there; the outermost pair loses nothing."""
    entries = ("a", None, "a", None, "a")
    to_fold = (0.0, INSIDE[1], INSIDE[2], INSIDE[3])
    spec = ArtworkSpec("bilevel", *FULL, ink=to_fold)
    assert find_artwork(plan_of("a"), {"a": spec}) == ()
    (issue,) = find_artwork(plan_of(*entries, gatherings=(3,)), {"a": spec})
    assert (issue.kind, issue.edge, issue.wanted) == ("creep", "left", 0.0)
    assert issue.value == pytest.approx(0.4)
    assert len(issue.plates) == 2
    # Ink that begins 0.3 mm from the fold loses what is left of 0.4 mm.
    near = ArtworkSpec("bilevel", *FULL, ink=(0.3 / 105, *to_fold[1:]))
    (issue,) = find_artwork(plan_of(*entries, gatherings=(3,)), {"a": near})
    assert issue.value == pytest.approx(0.1, abs=0.01)
    assert len(issue.plates) == 1


def test_ink_lost_at_the_fore_edge_where_the_creep_is_not_made_good() -> None:
    """Ink 0.5 mm from the fore-edge of a leaf that stands out 0.8 mm, its artwork moved by 0.2 mm."""
    entries = (None, None, "a")
    spec = ArtworkSpec("bilevel", *FULL, ink=(*INSIDE[:2], 1 - 0.5 / 105, INSIDE[3]))
    plan = plan_of(*entries, gatherings=(2,))
    assert find_artwork(plan, {"a": spec}) == ()
    (issue,) = find_artwork(plan, {"a": spec}, push_out_mm={3: 0.8})
    assert (issue.kind, issue.edge) == ("creep", "right")
    assert issue.value == pytest.approx(0.8 - 0.2 - 0.5, abs=0.01)


def test_ink_that_the_printer_cannot_reach() -> None:
    """The sheet is trimmed at its own edge; ink 2 mm inside is printed only by a printer that comes so near."""
    plan = plan_of("a", "b", sheet_mm=(210, 210))
    ink = (INSIDE[0], INSIDE[1], 1 - 2 / 105, INSIDE[3])
    spec = ArtworkSpec("bilevel", *FULL, ink=ink)
    reach = SheetReach(front=(4, 4, 6, 4), back=(1, 1, 1, 1))
    (issue,) = find_artwork(plan, {"a": spec}, reach)
    assert (issue.kind, issue.edge, issue.wanted, issue.plates) == ("reach", "right", 6, (1,))
    assert issue.value == pytest.approx(2, abs=0.03)
    # On the back, where page 2 lies at the left, the printer comes nearer.
    mirrored = replace(spec, ink=(2 / 105, INSIDE[1], INSIDE[2], INSIDE[3]))
    assert find_artwork(plan, {"b": mirrored}, reach) == ()
    (issue,) = find_artwork(plan, {"b": mirrored}, SheetReach(front=(1, 1, 1, 1), back=(3, 1, 1, 1)))
    assert (issue.kind, issue.edge, issue.wanted, issue.plates) == ("reach", "left", 3, (2,))


def test_edges_are_those_of_the_page_read_upright() -> None:
    """In a quarto, page 5 (a recto) lies head down at the upper left: its fore-edge is at the left of the plate."""
    plan = plan_press(
        PressSpec(
            105, 148, 210, 320, (2,), {n: "a" if n == 5 else None for n in range(1, 9)}, tuple(range(1, 9)),
            folding=Folding.QUARTO,
        )
    )  # fmt: skip
    page = next(p for p in plan.plate(1).pages if p.master == "a")
    assert page.turned
    assert page.spine is Half.RIGHT
    ink = (INSIDE[0], INSIDE[1], 1 - 2 / 105, 1 - 4 / 148)
    spec = ArtworkSpec("bilevel", *FULL, ink=ink)
    (issue,) = find_artwork(plan, {"a": spec}, SheetReach((5, 1, 1, 1), (0, 0, 0, 0)))
    assert (issue.kind, issue.edge) == ("reach", "right")
    assert issue.value == pytest.approx(2, abs=0.03)


def test_the_worst_placement_is_told() -> None:
    """Of several shifts the largest; masters come in the order of the plates, kinds and edges in theirs."""
    spec = ArtworkSpec("bilevel", 1240, 1748, ink=ALL)
    issues = find_artwork(plan_of("b", None, "a", None, "a", gatherings=(3,)), {"a": spec, "b": spec})
    assert [issue.master for issue in issues] == ["b"] * 4 + ["a"] * 5
    assert told(issues[4:]) == [
        ("resolution", ""), ("bleed", "right"), ("bleed", "head"), ("bleed", "tail"), ("creep", "left")
    ]  # fmt: skip
    assert issues[-1].value == pytest.approx(0.4)


@given(
    st.tuples(*[st.floats(0, 10)] * 4),
    st.integers(100, 5000),
    st.integers(100, 5000),
    st.floats(30, 200),
    st.floats(30, 200),
    st.booleans(),
)
def test_artwork_keeps_its_proportions_in_the_middle_of_its_area(
    bleed: tuple[float, float, float, float], wide: int, high: int, width: float, height: float, turned: bool
) -> None:
    """Pixels are square, or as good as that where the area is filled; the trimmed area fits into that of the page,
    and has its middle; head down, all turns.
    """
    area = Box(20, 30, width, height)
    page = PlacedPage("a", area, area, area, turned, Half.LEFT, 0.0, (1,))
    left, right, head, tail = bleed
    # Pixels that leave something inside the bleed.
    wide += round((left + right) * 100)
    high += round((head + tail) * 100)
    full = width + left + right, height + head + tail
    box = place_artwork(page, ArtworkSpec("grey", wide, high, bleed_mm=bleed))
    if abs(wide / high / (full[0] / full[1]) - 1) <= 0.005:
        assert (box.width_mm, box.height_mm) == pytest.approx(full)
    else:
        assert wide / box.width_mm == pytest.approx(high / box.height_mm)
    assert box.width_mm <= full[0] + 1e-9
    assert box.height_mm <= full[1] + 1e-9
    assert min(full[0] - box.width_mm, full[1] - box.height_mm) == pytest.approx(0, abs=1e-9)
    if turned:
        left, right, head, tail = right, left, tail, head
    middle = (box.left_mm + left + box.right_mm - right) / 2, (box.top_mm + head + box.bottom_mm - tail) / 2
    assert middle == pytest.approx((20 + width / 2, 30 + height / 2))


def test_a_pdf_page_lies_by_its_trim() -> None:
    """At its own size where it fits, its bleed outside; scaled with its bleed where it does not."""
    area = Box(50, 40, 105, 148)
    page = PlacedPage("a", area, area, area, False, Half.LEFT, 0.0, (1,))
    spec = ArtworkSpec("vector", width_mm=105, height_mm=148, bleed_mm=(2, 3, 4, 5))
    assert place_artwork(page, spec) == Box(48, 36, 110, 157)
    twice = replace(spec, width_mm=210, height_mm=296)
    assert place_artwork(page, twice) == Box(49, 38, 107.5, 152.5)


@pytest.mark.parametrize("print_up", [True, False])
@pytest.mark.parametrize(
    ("head_towards", "head"), [("in", (0, 1)), ("out", (0, -1)), ("left", (-1, 0)), ("right", (1, 0))]
)
def test_reach_by_turning_a_card(print_up: bool, head_towards: str, head: tuple[int, int]) -> None:
    """The edge of the page whose outward direction is the way of the sheets goes in first."""
    # Seen on the printed face, the right of a page is a quarter clockwise from its head; from below, the other way.
    right = (head[1], -head[0]) if print_up else (-head[1], head[0])
    outwards = {"left": (-right[0], -right[1]), "top": head, "right": right, "bottom": (-head[0], -head[1])}
    wanted = tuple(
        {(0, 1): 4, (0, -1): 6}.get(outwards[edge], 5) for edge in ("left", "top", "right", "bottom")
    )
    assert reach_on_side((4, 6, 5), print_up, head_towards) == wanted
