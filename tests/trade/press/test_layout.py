"""The layout of a sheet: true size, marks that never touch a page, crosses that coincide seen through."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.trade.book.gatherings import Half
from doublure.trade.press.layout import SheetGrid, arrange_pages, count_steps, step_mark
from doublure.trade.press.marks import CLEAR_MM, CROSS_ARM_MM, MARK_MM, lay_out_sheet
from doublure.trade.press.records import Box, Folding, Lacking, MarkKind, MarkLine, MarkName

ACROSS_DOWN = {Folding.FOLIO: (1, 1), Folding.QUARTO: (1, 2), Folding.OCTAVO: (2, 2)}


@st.composite
def grids(draw: st.DrawFn) -> tuple[SheetGrid, int]:
    """Return a grid of any folding, leaf pairs and spare room, and its leaf pairs."""
    folding = draw(st.sampled_from(Folding))
    pairs = draw(st.integers(1, 6)) if folding is Folding.FOLIO else 1
    across, down = ACROSS_DOWN[folding]
    if pairs > 1:
        across = draw(st.sampled_from([n for n in range(1, pairs + 1) if pairs % n == 0]))
        down = pairs // across
    leaf = draw(st.floats(15, 250)), draw(st.floats(15, 350))
    spare = st.one_of(st.just(0.0), st.floats(0, 150))
    sheet = 2 * across * leaf[0] + draw(spare), down * leaf[1] + draw(spare)
    return arrange_pages(sheet, leaf, folding, pairs, draw(st.sampled_from([0.0, 3.0, 5.0]))), pairs


def cells(grid: SheetGrid) -> list[tuple[int, int]]:
    """Return every row and column."""
    return [(row, column) for row in range(grid.rows) for column in range(grid.columns)]


def box_of(line: MarkLine) -> Box:
    """Return the box that a mark fills."""
    (x, y), (x2, y2) = line.start, line.end
    return Box(min(x, x2), min(y, y2), abs(x2 - x), abs(y2 - y))


def apart(one: Box, other: Box) -> float:
    """Return how far two boxes are apart along the axis that parts them the most; negative where they overlap."""
    return max(
        one.left_mm - other.right_mm,
        other.left_mm - one.right_mm,
        one.top_mm - other.bottom_mm,
        other.top_mm - one.bottom_mm,
    )


@settings(max_examples=200)
@given(grids())
def test_pages_lie_at_true_size_in_the_middle(grid_and_pairs: tuple[SheetGrid, int]) -> None:
    """Trims are apart, on the sheet, of the leaf's size, symmetrical about both middles of the sheet."""
    grid, pairs = grid_and_pairs
    trims = {at: grid.trim(*at) for at in cells(grid)}
    assert len(trims) == 2 * pairs * grid.folding.pairs
    width, height = grid.sheet_width_mm, grid.sheet_height_mm
    for (row, column), trim in trims.items():
        assert (trim.width_mm, trim.height_mm) == (grid.leaf_width_mm, grid.leaf_height_mm)
        across = trims[row, grid.columns - 1 - column]
        down = trims[grid.rows - 1 - row, column]
        assert trim.left_mm + across.right_mm == pytest.approx(width)
        assert trim.top_mm + down.bottom_mm == pytest.approx(height)
        assert trim.left_mm >= -1e-6
        assert trim.top_mm >= -1e-6
    for one, other in combinations(trims.values(), 2):
        assert apart(one, other) >= -1e-6
    whole = grid.trim_box
    assert whole.left_mm == pytest.approx(min(t.left_mm for t in trims.values()))
    assert whole.right_mm == pytest.approx(max(t.right_mm for t in trims.values()))
    assert whole.top_mm == pytest.approx(min(t.top_mm for t in trims.values()))
    assert whole.bottom_mm == pytest.approx(max(t.bottom_mm for t in trims.values()))


@settings(max_examples=200)
@given(grids())
def test_clips_keep_to_fold_neighbour_and_sheet(grid_and_pairs: tuple[SheetGrid, int]) -> None:
    """A clip holds its trim, ends at its fold, is no more than the bleed larger, and meets no other."""
    grid, _ = grid_and_pairs
    clips = {at: grid.clip(*at) for at in cells(grid)}
    for at, clip in clips.items():
        trim = grid.trim(*at)
        if grid.spine(at[1]) is Half.RIGHT:
            assert clip.right_mm == pytest.approx(trim.right_mm, abs=1e-9)
        else:
            assert clip.left_mm == trim.left_mm
        for grown in (
            trim.left_mm - clip.left_mm,
            clip.right_mm - trim.right_mm,
            trim.top_mm - clip.top_mm,
            clip.bottom_mm - trim.bottom_mm,
        ):
            assert -1e-9 <= grown <= grid.bleed_mm + 1e-9
        assert apart(clip, Box(0, 0, grid.sheet_width_mm, grid.sheet_height_mm)) < 0
        assert clip.left_mm >= -1e-6
        assert clip.top_mm >= -1e-6
        assert clip.right_mm <= grid.sheet_width_mm + 1e-6
        assert clip.bottom_mm <= grid.sheet_height_mm + 1e-6
    for one, other in combinations(clips.values(), 2):
        assert apart(one, other) >= -1e-6


@settings(max_examples=300)
@given(grids())
def test_marks_keep_clear_of_bleeds_of_each_other_and_on_the_sheet(
    grid_and_pairs: tuple[SheetGrid, int],
) -> None:
    """No mark, cross or label touches a trim with its bleed, another mark, or leaves the sheet."""
    grid, pairs = grid_and_pairs
    layout = lay_out_sheet(grid, pairs, None)
    arm = CROSS_ARM_MM
    lines = [box_of(line) for line in layout.lines]
    crosses = [Box(x - arm, y - arm, 2 * arm, 2 * arm) for x, y in layout.crosses]
    label = [layout.label] if layout.label is not None else []
    clips = [grid.clip(*at) for at in cells(grid)]
    for mark in (*lines, *crosses, *label):
        assert all(apart(mark, clip) >= CLEAR_MM - 1e-6 for clip in clips)
        assert mark.left_mm >= -1e-6
        assert mark.top_mm >= -1e-6
        assert mark.right_mm <= grid.sheet_width_mm + 1e-6
        assert mark.bottom_mm <= grid.sheet_height_mm + 1e-6
    for one, other in combinations((*crosses, *label), 2):
        assert apart(one, other) >= CLEAR_MM - 1e-6
    for one in (*crosses, *label):
        assert all(apart(one, line) >= CLEAR_MM - 1e-6 for line in lines)


@settings(max_examples=200)
@given(grids())
def test_marks_are_the_same_seen_through(grid_and_pairs: tuple[SheetGrid, int]) -> None:
    """Mirrored about the upright middle, the marks are the same set, and so are the crosses."""
    grid, pairs = grid_and_pairs
    layout = lay_out_sheet(grid, pairs, None)
    width = grid.sheet_width_mm
    crosses = {(round(x, 6), round(y, 6)) for x, y in layout.crosses}
    mirrored = {(round(width - x, 6), round(y, 6)) for x, y in layout.crosses}
    assert len(crosses) == len(layout.crosses)
    for x, y in mirrored:
        assert any(abs(x - x2) < 1e-5 and abs(y - y2) < 1e-5 for x2, y2 in crosses)
    ends = sorted((line.kind.value, *sorted((line.start, line.end))) for line in layout.lines)
    through = [
        (line.kind.value, *((width - x, y) for x, y in (line.start, line.end))) for line in layout.lines
    ]
    for kind, *points in through:
        assert any(
            kind == other and _near(sorted(points), sorted(there))  # type: ignore[arg-type]
            for other, *there in ends
        )


def _near(one: list[tuple[float, float]], other: list[tuple[float, float]]) -> bool:
    return all(abs(a - b) < 1e-6 for p, q in zip(one, other, strict=True) for a, b in zip(p, q, strict=True))


@settings(max_examples=200)
@given(grids())
def test_every_line_is_marked_at_both_ends_or_missed(grid_and_pairs: tuple[SheetGrid, int]) -> None:
    """Each trim, fold and slit has its mark where it leaves the work, unless the edge is listed as lacking it."""
    grid, pairs = grid_and_pairs
    layout = lay_out_sheet(grid, pairs, None)
    lacking = {(lack.what, lack.edge) for lack in layout.lacking}

    def marked(kind: MarkKind, edge: str, at: float) -> bool:
        for line in layout.lines:
            x, y = line.start
            where = {
                "top": (x, y < grid.sheet_height_mm / 2 and line.start[0] == line.end[0]),
                "bottom": (x, y > grid.sheet_height_mm / 2 and line.start[0] == line.end[0]),
                "left": (y, x < grid.sheet_width_mm / 2 and line.start[1] == line.end[1]),
                "right": (y, x > grid.sheet_width_mm / 2 and line.start[1] == line.end[1]),
            }[edge]
            if where[1] and abs(where[0] - at) < 1e-5 and line.kind is kind:
                return True
        return False

    slits_x = [grid.sheet_width_mm / 2] if grid.folding is Folding.OCTAVO else []
    slits_y = [] if grid.folding is Folding.FOLIO else [grid.sheet_height_mm / 2]
    wanted: list[tuple[MarkKind, str, float]] = []
    for edges, slits in ((("top", "bottom"), slits_x), (("left", "right"), slits_y)):
        wanted += [(MarkKind.SLIT, edge, at) for edge in edges for at in slits]
    for edge in ("top", "bottom"):
        wanted += [(MarkKind.FOLD, edge, grid.trim(0, c).right_mm) for c in range(0, grid.columns, 2)]
        for column in range(grid.columns):
            trim = grid.trim(0, column)
            at = trim.right_mm if column % 2 else trim.left_mm
            if all(abs(at - slit) > 1e-5 for slit in slits_x):
                wanted.append((MarkKind.CUT, edge, at))
    for edge in ("left", "right"):
        for row in range(grid.rows):
            trim = grid.trim(row, 0)
            wanted += [
                (MarkKind.CUT, edge, at)
                for at in (trim.top_mm, trim.bottom_mm)
                if all(abs(at - slit) > 1e-5 for slit in slits_y)
            ]
    for kind, edge, at in wanted:
        assert marked(kind, edge, at) or (MarkName(kind.value), edge) in lacking, (kind, edge, at)


@given(grids())
def test_what_lacks_room_is_listed_with_numbers(grid_and_pairs: tuple[SheetGrid, int]) -> None:
    """No cross without a word, no label without a word, no short bleed without a word; and the other way about."""
    grid, pairs = grid_and_pairs
    layout = lay_out_sheet(grid, pairs, None)
    names = {lack.what for lack in layout.lacking}
    assert (MarkName.CROSS in names) == (not layout.crosses)
    assert (MarkName.LABEL in names) == (layout.label is None)
    for lack in layout.lacking:
        assert lack.has_mm >= 0
        if lack.what is MarkName.BLEED:
            assert lack.has_mm < lack.wants_mm == grid.bleed_mm
    short = any(
        min(trim.top_mm - clip.top_mm, clip.bottom_mm - trim.bottom_mm) < grid.bleed_mm - 1e-5
        or (trim.left_mm - clip.left_mm) + (clip.right_mm - trim.right_mm) < grid.bleed_mm - 1e-5
        for at in cells(grid)
        for trim, clip in [(grid.trim(*at), grid.clip(*at))]
    )
    if short:
        assert MarkName.BLEED in names


@given(st.floats(20, 200), st.floats(20, 300), st.floats(0, 200), st.floats(0, 200))
def test_an_octavo_is_folded_edge_to_edge(
    width: float, height: float, extra_x: float, extra_y: float
) -> None:
    """Whatever the sheet, its folds are at its halves and quarters: the slit in the middle, the spines beside."""
    sheet = 4 * width + extra_x, 2 * height + extra_y
    grid = arrange_pages(sheet, (width, height), Folding.OCTAVO, 1, 3)
    assert grid.fold_x_mm(0) == pytest.approx(sheet[0] / 4)
    assert grid.fold_x_mm(1) == pytest.approx(3 * sheet[0] / 4)
    assert grid.gap_x_mm == pytest.approx(2 * grid.margin_x_mm)


def test_a6_folio_on_a4() -> None:
    """The plain case, by hand: 43.5 mm beside, 31 mm above; all marks, four crosses, a label below."""
    grid = arrange_pages((297, 210), (105, 148), Folding.FOLIO, 1, 3)
    layout = lay_out_sheet(grid, 1, True)
    assert layout.room_mm == (43.5, 31, 43.5, 31)
    assert layout.trim_box == Box(43.5, 31, 210, 148)
    assert layout.bleed_box == Box(40.5, 28, 216, 154)
    assert layout.lacking == ()
    kinds = [line.kind for line in layout.lines]
    assert (kinds.count(MarkKind.CUT), kinds.count(MarkKind.FOLD), kinds.count(MarkKind.SLIT)) == (8, 2, 0)
    top = min(layout.lines, key=lambda line: (line.end[1], line.end[0]))
    assert (top.start, top.end) == ((43.5, 27), (43.5, 27 - MARK_MM))
    assert layout.crosses == ((37, 24.5), (260, 24.5), (37, 185.5), (260, 185.5))
    assert layout.label == Box(43.5, 189, 210, 10)
    assert layout.fold_grain_ok is True
    assert (layout.rows, layout.columns) == (1, 2)


def test_a_sheet_just_large_enough_has_room_for_nothing() -> None:
    """A5 leaves on A4: no bleed, no marks, no label, and all of it said; the fold has no mark either."""
    grid = arrange_pages((296, 210), (148, 210), Folding.FOLIO, 1, 3)
    layout = lay_out_sheet(grid, 1, None)
    assert (layout.lines, layout.crosses, layout.label) == ((), (), None)
    assert {(lack.what.value, lack.edge) for lack in layout.lacking} == {
        ("bleed", "left"), ("bleed", "right"), ("bleed", "top"), ("bleed", "bottom"),
        ("cut", "top"), ("fold", "top"), ("cut", "bottom"), ("fold", "bottom"), ("cut", "left"), ("cut", "right"),
        ("cross", ""), ("label", ""),
    }  # fmt: skip
    assert Lacking(MarkName.CUT, "top", 0.0, 3.0) in layout.lacking


def test_room_at_one_pair_of_edges_alone() -> None:
    """Room only above and below, or only beside: crosses and label go where there is room."""
    above = lay_out_sheet(arrange_pages((210, 200), (105, 148), Folding.FOLIO, 1, 3), 1, None)
    assert above.label is not None
    assert above.label.top_mm > 174
    assert [y for _, y in above.crosses] == [19.5, 19.5, 180.5, 180.5]
    beside = lay_out_sheet(arrange_pages((297, 148), (105, 148), Folding.FOLIO, 1, 3), 1, None)
    assert beside.label is not None
    assert beside.label.left_mm > 253.5
    assert {y for _, y in beside.crosses} == {37, 111}


def test_of_several_ways_to_arrange_pairs_the_roomiest_is_taken() -> None:
    """Two on A3 upright stand one below the other, on A3 lying down side by side; four lie two by two."""

    def way(sheet: tuple[float, float], pairs: int) -> tuple[int, int]:
        grid = arrange_pages(sheet, (105, 148), Folding.FOLIO, pairs, 3)
        return grid.across, grid.down

    assert way((297, 420), 2) == (1, 2)
    assert way((450, 297), 2) == (2, 1)
    assert way((450, 320), 4) == (2, 2)
    assert way((230, 640), 4) == (1, 4)


def test_gap_between_leaf_pairs_is_twice_the_bleed_at_most() -> None:
    """With room, both neighbours have their bleed; without, they share what there is, down to one cut."""
    assert arrange_pages((297, 420), (105, 148), Folding.QUARTO, 1, 3).gap_y_mm == 6
    assert arrange_pages((297, 304), (105, 148), Folding.QUARTO, 1, 3).gap_y_mm == 4
    tight = arrange_pages((210, 296), (105, 148), Folding.FOLIO, 2, 3)
    assert (tight.gap_y_mm, tight.margin_y_mm) == (0, 0)
    kinds = [
        line.kind
        for line in lay_out_sheet(arrange_pages((260, 296), (105, 148), Folding.FOLIO, 2, 3), 2, None).lines
    ]
    assert kinds.count(MarkKind.CUT) == 6  # three cuts across, the one between the pairs once


@given(st.floats(15, 400))
def test_steps_of_the_collation_mark_stay_on_the_spine(height: float) -> None:
    """The first and the last step lie within the leaf; steps do not overlap."""
    grid = arrange_pages((240, height + 20), (105, height), Folding.FOLIO, 1, 3)
    boxes = [step_mark(grid, 0, 0, False, step) for step in range(1, count_steps(height) + 1)]
    for box in boxes:
        assert box.left_mm + box.width_mm / 2 == pytest.approx(120)
        assert grid.trim(0, 0).top_mm - 1e-9 <= box.top_mm
        assert box.bottom_mm <= grid.trim(0, 0).bottom_mm + 1e-9
    if len(boxes) > 1:
        point = 25.4 / 72
        assert boxes[0].top_mm - grid.trim(0, 0).top_mm == pytest.approx(24 * point)
        assert grid.trim(0, 0).bottom_mm - boxes[-1].bottom_mm >= 24 * point - 1e-6
    for one, other in zip(boxes, boxes[1:], strict=False):
        assert other.top_mm == pytest.approx(one.bottom_mm)
    turned = step_mark(grid, 0, 0, True, 1)
    trim = grid.trim(0, 0)
    assert turned.bottom_mm - trim.top_mm == pytest.approx(trim.bottom_mm - boxes[0].top_mm)
