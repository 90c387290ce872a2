"""Standing is a line: seven lines that can be told apart by their geometry alone."""

from __future__ import annotations

import math
import re
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.render.draw.standing_line import (
    LINE_WORDS,
    STANDINGS,
    inset,
    rect_points,
    split_at_corners,
    standing_outline,
    standing_stroke,
)
from doublure.render.extent import extent_of
from doublure.render.scene import Item, Line, Path, Polyline, Scene
from doublure.render.svg import render_svg

CARD = rect_points(5, 5, 30, 20)
ROUND = tuple(
    (20 + 10 * math.cos(math.tau * i / 48), 20 + 10 * math.sin(math.tau * i / 48)) for i in range(48)
)
BENT = ((0.0, 0.0), (0.0, 10.0), (8.0, 10.0))


def geometry(items: tuple[Item, ...]) -> str:
    """Return the drawing as SVG without any class, so without any colour."""
    svg = render_svg(Scene(60, 60, "x", "", items), "x")
    return re.sub(r' class="[^"]*"', "", svg)


def drawn_length(items: tuple[Item, ...]) -> float:
    """Return how long the lines are together, dashes counted as drawn in full."""
    total = 0.0
    for item in items:
        if isinstance(item, Line):
            total += math.dist((item.x1_mm, item.y1_mm), (item.x2_mm, item.y2_mm))
        elif isinstance(item, Polyline):
            points = (*item.points_mm, item.points_mm[0]) if item.closed else item.points_mm
            total += sum(math.dist(a, b) for a, b in pairwise(points))
        else:
            assert isinstance(item, Path)
    return total


@pytest.mark.parametrize("outline", [CARD, ROUND], ids=["card", "round"])
def test_seven_outlines_differ_without_colour(outline: tuple[tuple[float, float], ...]) -> None:
    drawn = {word: geometry(standing_outline(outline, word)) for word in STANDINGS}
    for a, b in combinations(STANDINGS, 2):
        assert drawn[a] != drawn[b]


def test_seven_strokes_differ_without_colour() -> None:
    drawn = {word: geometry(standing_stroke(BENT, word)) for word in STANDINGS}
    assert len(set(drawn.values())) == 7


def test_each_line_is_what_its_words_say() -> None:
    by = {word: standing_outline(CARD, word) for word in STANDINGS}
    settled, supported = by["settled"][0], by["supported"][0]
    assert isinstance(settled, Polyline)
    assert isinstance(supported, Polyline)
    assert settled.pen is not None
    assert supported.pen is not None
    assert settled.pen.width_mm > 1.8 * supported.pen.width_mm
    assert settled.pen.dash_mm == supported.pen.dash_mm == ()
    for side in by["thin"]:
        assert isinstance(side, Line)
        dash, gap = side.pen.dash_mm
        # A whole number of dashes, the last one ending at the corner.
        count = (drawn_length((side,)) + gap) / (dash + gap)
        assert count == pytest.approx(round(count))
    for side in by["assumed"]:
        assert isinstance(side, Line)
        assert side.pen.dash_mm[0] == 0
        assert side.pen.round_ends
        assert drawn_length((side,)) / side.pen.dash_mm[1] == pytest.approx(
            round(drawn_length((side,)) / side.pen.dash_mm[1])
        )
    assert len(by["chosen"]) == 2
    assert isinstance(by["disputed"][0], Path)
    assert len(by["disputed"][0].steps) > 50
    assert drawn_length(by["open"]) < 0.25 * drawn_length(by["supported"])
    assert set(LINE_WORDS) == set(STANDINGS)


def test_corner_ticks_stand_at_the_corners() -> None:
    ends = set()
    for tick in standing_outline(CARD, "open"):
        assert isinstance(tick, Line)
        ends |= {(tick.x1_mm, tick.y1_mm), (tick.x2_mm, tick.y2_mm)}
    assert set(CARD) <= ends


@given(st.floats(3, 300), st.floats(3, 300), st.sampled_from(STANDINGS), st.floats(0.4, 1.0))
def test_outlines_keep_to_their_edge(width: float, height: float, standing: str, size: float) -> None:
    box = extent_of(standing_outline(rect_points(10, 10, width, height), standing, size))
    assert box is not None
    for edge, true in (
        (box.left_mm, 10),
        (box.top_mm, 10),
        (box.right_mm, 10 + width),
        (box.bottom_mm, 10 + height),
    ):
        assert abs(edge - true) <= 0.75


@given(st.sampled_from(STANDINGS), st.floats(0.3, 1.5), st.floats(0.05, 40))
def test_strokes_of_any_length_can_be_drawn(standing: str, size: float, length: float) -> None:
    items = standing_stroke(((1.0, 1.0), (1.0 + length, 1.0)), standing, size)
    box = extent_of(items)
    assert box is not None
    assert box.left_mm >= 0.5
    assert box.right_mm <= 1.5 + length


def test_inset_goes_inwards_either_way_round() -> None:
    clockwise, other = inset(CARD, 2.0), inset(tuple(reversed(CARD)), 2.0)
    assert clockwise == rect_points(7, 7, 26, 16)
    assert set(other) == set(clockwise)
    assert inset(CARD, -2.0) == rect_points(3, 3, 34, 24)


def test_runs_between_corners() -> None:
    assert len(split_at_corners(CARD, closed=True)) == 4
    assert len(split_at_corners(ROUND, closed=True)) == 1
    assert [len(run) for run in split_at_corners(BENT, closed=False)] == [2, 2]


@pytest.mark.parametrize("word", ["", "Settled", "known"])
def test_other_words_are_refused(word: str) -> None:
    for draw in (standing_outline, standing_stroke):
        with pytest.raises(DomainError, match="is no standing; one of settled, supported"):
            draw(CARD, word)
