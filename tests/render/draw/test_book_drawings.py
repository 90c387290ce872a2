"""Gathering, sheet and block: every page once, in true proportion, as thick as it is."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.render.draw.block import BlockLayer, BlockSpec, draw_block
from doublure.render.draw.figures import plain
from doublure.render.draw.gathering import GatheringInsert, draw_gathering
from doublure.render.draw.sheet import draw_sheet
from doublure.render.extent import walk
from doublure.render.scene import (
    Image,
    Line,
    Move,
    Path,
    Polyline,
    Rect,
    Text,
    Tone,
)
from drawing_reading import groups, inside, words
from drawing_samples import BLOCK, SHEET, gathering


def test_gathering_shows_every_page_in_order() -> None:
    scene = draw_gathering(gathering(4), 760)
    numbers = [(t.y_mm, t.content) for t in walk(scene.items) if isinstance(t, Text) and t.bold]
    assert [n for _, n in sorted(numbers)] == [str(n) for n in range(33, 49)]
    assert words(scene).count("sheet 1") == words(scene).count("sheet 4") == 2
    assert words(scene).count("tipped in") == 1
    assert words(scene).count("centre spread") == 1
    crossing = [g.title for g in groups(scene) if g.title.startswith("Crossover")]
    assert len(crossing) == 2
    assert scene.description == "4 folded sheets, 18 pages, 1 leaf tipped in, 3 inserts, 2 crossovers."


def test_centre_spread_lies_between_the_leaves_of_the_innermost_sheet() -> None:
    scene = draw_gathering(gathering(3), 760)
    level = {t.content: t.y_mm for t in walk(scene.items) if isinstance(t, Text) and (t.bold or t.italic)}
    # Six folded leaves from page 33: the innermost sheet carries 37, 38, 39 and 40.
    assert level["38"] < level["centre spread"] < level["39"]


def test_gathering_refuses_pages_that_it_has_not() -> None:
    far = dataclasses.replace(gathering(1), inserts=(GatheringInsert("1", "Pass", "thin", 7),))
    with pytest.raises(DomainError, match="no page 7 in this gathering, only 1 to 6"):
        draw_gathering(far)
    with pytest.raises(DomainError, match="even page"):
        draw_gathering(dataclasses.replace(gathering(1), crossovers=(3,)))
    with pytest.raises(DomainError, match="needs leaves"):
        draw_gathering(dataclasses.replace(gathering(1), leaves=(), inserts=(), crossovers=()))


@pytest.mark.parametrize("width_px", [280, 390, 760, 1200])
@pytest.mark.parametrize("sheets", [1, 3, 8])
def test_gatherings_of_any_size_fit(sheets: int, width_px: float) -> None:
    assert inside(draw_gathering(gathering(sheets), width_px))


@pytest.mark.parametrize("width_px", [180, 340, 700])
def test_sheet_keeps_its_proportion(width_px: float) -> None:
    scene = draw_sheet(SHEET, width_px)
    sides = [i for i in walk(scene.items) if isinstance(i, Rect) and i.fill is Tone.PAPER2]
    assert len(sides) == 2
    for side in sides:
        assert side.width_mm / side.height_mm == pytest.approx(2 * 98 / 158)
    folds = [i for i in walk(scene.items) if isinstance(i, Line) and i.pen.dash_mm]
    assert [f.x1_mm for f in folds] == pytest.approx([s.x_mm + s.width_mm / 2 for s in sides])


def test_sheet_says_what_lies_where_and_which_way_up() -> None:
    scene = draw_sheet(SHEET, 340)
    place = {t.content: t.x_mm for t in walk(scene.items) if isinstance(t, Text)}
    assert place["48"] < place["33"] < place["34"] < place["47"]
    assert scene.description.startswith("Front: 48 and 33. Back: 34 and 47.")
    assert [g.title for g in groups(scene) if "head downwards" in g.title] == [
        "Page 47: notes taken at the gauge on the harbour wall, its head downwards"
    ]
    wedges = [i for i in walk(scene.items) if isinstance(i, Polyline)]
    pointing_up = [w.points_mm[2][1] < w.points_mm[0][1] for w in wedges]
    assert pointing_up == [True, True, True, False]
    assert sum(isinstance(i, Image) for i in walk(scene.items)) == 1
    with pytest.raises(DomainError, match="wider and higher than 0"):
        draw_sheet(dataclasses.replace(SHEET, page_width_mm=0))


def test_block_is_as_thick_as_its_layers() -> None:
    scene = draw_block(BLOCK, 760)
    total = sum(layer.thickness_mm for layer in BLOCK.layers)
    boards = [
        i for i in scene.items if isinstance(i, Polyline) and i.fill is Tone.PAPER and len(i.points_mm) == 4
    ]
    thick = [b.points_mm[2][1] - b.points_mm[0][1] for b in boards]
    assert thick[0] == pytest.approx(thick[1])
    scale = thick[0] / BLOCK.board_mm
    between = boards[1].points_mm[0][1] - boards[0].points_mm[2][1]
    assert between == pytest.approx(total * scale)
    assert f"drawn {plain(scale)} times as thick as it is" in words(scene)
    assert "2.91 mm" in words(scene)
    names = [
        t.content
        for t in walk(scene.items)
        if isinstance(t, Text) and t.content in {la.name for la in BLOCK.layers}
    ]
    assert names == [layer.name for layer in BLOCK.layers]


def test_gathering_folds_are_nested() -> None:
    spec = BlockSpec((BlockLayer("Gathering 1", 5.0, 4),))
    folds = [i for g in groups(draw_block(spec, 760)) for i in g.items if isinstance(i, Path)]
    assert len(folds) == 4
    starts = [p.steps[0].y_mm for p in folds if isinstance(p.steps[0], Move)]
    assert starts == sorted(starts)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 6), st.integers(0, 8)), min_size=1, max_size=50), st.floats(0, 5),
    st.sampled_from([280, 390, 760]),
)  # fmt: skip
def test_any_block_fits(layers: list[tuple[float, int]], board: float, width_px: float) -> None:
    made = tuple(BlockLayer(f"Layer {i}", t + 0.01, s) for i, (t, s) in enumerate(layers))
    scene = draw_block(BlockSpec(made, board), width_px)
    assert inside(scene)


def test_blocks_that_cannot_be_drawn() -> None:
    for spec, text in (
        (BlockSpec(()), "at least one layer"),
        (BlockSpec((BlockLayer("a", -1.0),)), "cannot be negative"),
        (BlockSpec((BlockLayer("a", 0.0),)), "no thickness at all"),
    ):
        with pytest.raises(DomainError, match=text):
            draw_block(spec)
