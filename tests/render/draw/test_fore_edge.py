"""The fore-edge: every leaf once, sheets nested, inserts in the right gap, tabs apart from each other."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.render.draw.fore_edge import (
    BoundGathering,
    BoundLeaf,
    CrossoverArc,
    ForeEdgeSpec,
    Here,
    InsertTab,
    draw_fore_edge,
    page_label,
)
from doublure.render.draw.leaf_curves import conjugates, split_evenly, spread
from doublure.render.draw.tab import TAB_MM
from doublure.render.extent import extent, walk
from doublure.render.scene import Curve, Group, Item, Line, Move, Path, Polyline, Rect, Scene, Tone
from drawing_samples import fore_edge


def book(gatherings: int, sheets: int, **more: object) -> ForeEdgeSpec:
    """Return a plain book of equal gatherings."""
    page = iter(range(1, 8 * gatherings * sheets))
    bound = tuple(
        BoundGathering(
            str(g + 1), tuple(BoundLeaf(str(next(page)), str(next(page))) for _ in range(2 * sheets))
        )
        for g in range(gatherings)
    )
    return dataclasses.replace(ForeEdgeSpec(bound), **more)


def sheet_ends(scene: Scene) -> list[tuple[float, float]]:
    """Return the two free ends of every folded sheet."""
    ends = []
    for item in walk(scene.items):
        if (
            isinstance(item, Path)
            and len(item.steps) == 5
            and all(isinstance(s, Curve) for s in item.steps[1:])
        ):
            start, last = item.steps[0], item.steps[-1]
            assert isinstance(start, Move)
            assert isinstance(last, Curve)
            ends.append((start.x_mm, last.x_mm))
    return ends


@pytest.mark.parametrize(("gatherings", "sheets"), [(1, 1), (7, 4), (19, 4), (25, 3), (2, 20)])
@pytest.mark.parametrize("width_px", [390, 1400])
def test_every_leaf_once(gatherings: int, sheets: int, width_px: float) -> None:
    scene = draw_fore_edge(book(gatherings, sheets), width_px)
    ends = sheet_ends(scene)
    assert len(ends) == gatherings * sheets
    assert f"{2 * gatherings * sheets} leaves in {gatherings} gathering" in scene.description


def test_sheets_nest_about_their_centre() -> None:
    ends = sheet_ends(draw_fore_edge(book(1, 5), 1400))
    centres = {round((a + b) / 2, 6) for a, b in ends}
    assert len(centres) == 1
    widths = [b - a for a, b in ends]
    assert widths == sorted(widths, reverse=True)


def tabs(scene: Scene) -> list[tuple[str, Rect]]:
    found = []
    for item in walk(scene.items):
        if isinstance(item, Group) and ", number " in item.title:
            box = [i for i in item.items if isinstance(i, Rect) and i.fill is Tone.PAPER]
            found.append((item.title, box[0]))
    return found


@settings(max_examples=40, deadline=None)
@given(
    st.integers(1, 20), st.integers(1, 8), st.lists(st.integers(0, 10_000), max_size=45),
    st.sampled_from([390, 800, 1400]), st.booleans(),
)  # fmt: skip
def test_any_book_fits_and_its_tabs_stand_apart(
    gatherings: int, sheets: int, places: list[int], width_px: float, rtl: bool
) -> None:
    pages = 4 * gatherings * sheets
    inserts = tuple(
        InsertTab(str(i + 1), "Pass", "thin", "x.html", place % (pages + 1), fixed=i % 2 == 0)
        for i, place in enumerate(places)
    )
    spec = book(gatherings, sheets, inserts=inserts, right_to_left=rtl)
    scene = draw_fore_edge(spec, width_px)
    for item in walk(scene.items):
        box = extent(item)
        assert box is None or (box.left_mm >= -1e-9 and box.top_mm >= -1e-9)
        assert box is None or (
            box.right_mm <= scene.width_mm + 1e-9 and box.bottom_mm <= scene.height_mm + 1e-9
        )
    placed = [box for _, box in tabs(scene)]
    assert len(placed) == len(places)
    assert all(box.height_mm == TAB_MM for box in placed)
    # More than 36 at one gathering cannot stand apart on a phone; no book in the trade comes near that.
    if width_px > 390 or len(places) <= 30:
        boxes = [extent(box) for box in placed]
        for i, one in enumerate(boxes):
            assert one is not None
            assert not any(other is not None and one.overlaps(other) for other in boxes[i + 1 :])


@pytest.mark.parametrize("rtl", [False, True])
@pytest.mark.parametrize("page", [0, 1, 7, 8, 9, 16, 17, 31, 32])
def test_inserts_lie_in_their_gap(page: int, rtl: bool) -> None:
    spec = book(2, 4, inserts=(InsertTab("1", "Pass", "settled", "", page),), right_to_left=rtl)
    scene = draw_fore_edge(spec, 1400)
    free = sorted(x for pair in sheet_ends(scene) for x in pair)
    ordered = free[::-1] if rtl else free
    group = next(i for i in walk(scene.items) if isinstance(i, Group) and i.title.startswith("Pass"))
    stem = next(i for i in group.items if isinstance(i, Polyline) and len(i.points_mm) > 4)
    x = stem.points_mm[-1][0]
    gap = page // 2
    sign = -1 if rtl else 1
    if gap > 0:
        assert sign * (x - ordered[gap - 1]) > 0
    if gap < len(ordered):
        assert sign * (ordered[gap] - x) > 0


def test_fixed_inserts_lie_nearer_to_their_page() -> None:
    def x(page: int) -> float:
        spec = book(1, 4, inserts=(InsertTab("1", "Pass", "settled", "", page, True),))
        group = next(
            i
            for i in walk(draw_fore_edge(spec, 1400).items)
            if isinstance(i, Group) and i.title.startswith("Pass")
        )
        return next(i for i in group.items if isinstance(i, Polyline)).points_mm[-1][0]

    # Pages 4 and 5 face each other: what is fixed to 4 lies left of what is fixed to 5.
    free = sorted(v for pair in sheet_ends(draw_fore_edge(book(1, 4), 1400)) for v in pair)
    assert free[1] < x(4) < (free[1] + free[2]) / 2 < x(5) < free[2]


def test_crossovers_bridge_the_two_leaves() -> None:
    spec = book(2, 4, crossovers=(CrossoverArc(16, "Chart over the gutter", "c.html"),))
    scene = draw_fore_edge(spec, 1400)
    free = sorted(x for pair in sheet_ends(scene) for x in pair)
    group = next(i for i in walk(scene.items) if isinstance(i, Group) and i.title == "Chart over the gutter")
    arch = next(i for i in group.items if isinstance(i, Path))
    start, end = arch.steps[0], arch.steps[-1]
    assert isinstance(start, Move)
    assert isinstance(end, Curve)
    assert (start.x_mm, end.x_mm) == pytest.approx((free[7], free[8]))
    assert group.href == "c.html"


def accents(items: tuple[Item, ...]) -> int:
    return sum(isinstance(i, Path) and i.pen is not None and i.pen.tone is Tone.ACCENT for i in walk(items))


def test_where_one_is() -> None:
    assert accents(draw_fore_edge(book(3, 4), 1400).items) == 0
    scene = draw_fore_edge(book(3, 4, here=Here(17, 32, "gathering 2")), 1400)
    assert accents(scene.items) == 8
    current = [i for i in walk(scene.items) if isinstance(i, Group) and i.role == "current"]
    assert [g.title for g in current] == ["Gathering 2, pages 17–32, where you are"]
    assert "you are at gathering 2" in scene.description
    assert accents(draw_fore_edge(book(3, 4, here=Here(17, 18)), 1400).items) == 1


def test_boards_close_the_first_and_the_last_row_only() -> None:
    for width_px in (390, 1400):
        scene = draw_fore_edge(book(19, 4), width_px)
        boards = [
            i for i in scene.items if isinstance(i, Line) and i.x1_mm == i.x2_mm and i.pen.tone is Tone.SOFT
        ]
        assert len(boards) == 2


def test_tipped_leaves_and_what_lies_nowhere() -> None:
    spec = fore_edge(7, 4, 18, None)
    scene = draw_fore_edge(spec, 1400)
    dashed = [i for i in walk(scene.items) if isinstance(i, Polyline) and i.pen and len(i.pen.dash_mm) == 4]
    assert len(dashed) == 1
    titles = [title for title, _ in tabs(scene)]
    assert any("in a pocket" in title for title in titles)
    assert any("place open" in title for title in titles)
    assert page_label(spec, 1) == "1"
    assert page_label(spec, 23) == ""
    assert page_label(spec, 24) == ""
    assert page_label(spec, 25) == "23"


def test_conjugate_leaves_of_a_twelve_page_gathering() -> None:
    # 12–1, 10–3, 8–5 on the outer sides of three nested sheets: common practice, no published source.
    assert conjugates([False] * 6) == ((0, 5), (1, 4), (2, 3))
    assert conjugates([False, True, False]) == ((0, 2),)
    with pytest.raises(DomainError, match="even number"):
        conjugates([False] * 3)


@given(st.lists(st.floats(0, 100), max_size=20).map(sorted), st.floats(0.1, 5))
def test_spread_keeps_order_and_distance(wanted: list[float], apart: float) -> None:
    at = spread(wanted, apart, 0.0, 100.0)
    assert len(at) == len(wanted)
    for a, b in zip(at, at[1:], strict=False):
        assert b - a >= apart - 1e-9
    assert all(-1e-9 <= x <= 100 + 1e-9 for x in at)
    if all(b - a >= apart for a, b in zip(wanted, wanted[1:], strict=False)):
        assert at == pytest.approx(wanted)


@given(st.lists(st.floats(0.5, 20), min_size=1, max_size=30), st.integers(1, 8))
def test_rows_hold_everything_in_order(weights: list[float], rows: int) -> None:
    shared = split_evenly(weights, rows)
    assert [i for row in shared for i in row] == list(range(len(weights)))
    assert len(shared) <= rows
    assert all(shared)


@pytest.mark.parametrize(
    ("spec", "words"),
    [
        (ForeEdgeSpec(()), "at least one gathering"),
        (ForeEdgeSpec((BoundGathering("1", ()),)), "leaves in each"),
        (ForeEdgeSpec((BoundGathering("1", (BoundLeaf("1", "2"),)),)), "even number of leaves"),
        (book(1, 2, inserts=(InsertTab("1", "Pass", "thin", page=9),)), "no page 9, only 1 to 8"),
        (book(1, 2, inserts=(InsertTab("1", "Pass", "sure", page=1),)), "is no standing"),
        (book(1, 2, crossovers=(CrossoverArc(3),)), "begins on an even page before the last, not on 3"),
        (book(1, 2, crossovers=(CrossoverArc(8),)), "not on 8"),
    ],
)
def test_what_cannot_be_drawn(spec: ForeEdgeSpec, words: str) -> None:
    with pytest.raises(DomainError, match=words):
        draw_fore_edge(spec, 1400)
    with pytest.raises(DomainError, match="at least 240 px"):
        draw_fore_edge(book(1, 1), 100)
