"""The register target: enough marks on any sheet, nothing on top of anything else, places told apart."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Side
from doublure.trade.press.target import (
    BLOCK_ABOVE_MM,
    BLOCK_BELOW_MM,
    BLOCK_LEFT_MM,
    BLOCK_RIGHT_MM,
    DISC_RADIUS_MM,
    INSET_MM,
    RING_OUTER_MM,
    RULER_MM,
    STEP_MM,
    Edge,
    Target,
    design_target,
)

USUAL = [
    (210, 297),
    (297, 210),
    (148, 210),
    (210, 148),
    (297, 420),
    (420, 297),
    (215.9, 279.4),
    (279.4, 215.9),
]
SMALL = [(105, 148), (148, 105), (101.6, 152.4)]

Block = tuple[float, float, float, float]  # left, top, right, bottom


def blocks(target: Target) -> list[Block]:
    """The room of each mark with its scales."""
    return [
        (x - BLOCK_LEFT_MM, y - BLOCK_ABOVE_MM, x + BLOCK_RIGHT_MM, y + BLOCK_BELOW_MM)
        for x, y in (mark.middle for mark in target.marks)
    ]


def ruler_box(target: Target, ruler_index: int) -> Block:
    """The room of a ruler, seen from the front."""
    ruler = target.rulers[ruler_index]
    half_w, half_h = target.sheet_width_mm / 2, target.sheet_height_mm / 2
    back = ruler.side is Side.BACK
    low, high = ruler.along_mm - 1.4, ruler.along_mm + 4.6
    if ruler.edge in (Edge.HEAD, Edge.FOOT):
        if back:
            low, high = -high, -low
        return (low, -half_h, high, RULER_MM - half_h) if ruler.edge is Edge.HEAD else (
            low, half_h - RULER_MM, high, half_h
        )  # fmt: skip
    at_left = (ruler.edge is Edge.LEFT) != back
    return (-half_w, low, RULER_MM - half_w, high) if at_left else (half_w - RULER_MM, low, half_w, high)


def overlap(one: Block, other: Block) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


@pytest.mark.parametrize(("width", "height"), [*USUAL, *SMALL])
def test_fifteen_to_twenty_five_marks_an_inch_in_from_the_corners(width: float, height: float) -> None:
    target = design_target(width, height)
    assert (12 if (width, height) in SMALL else 15) <= len(target.marks) <= 25
    corners = [
        target.marks[0],
        target.marks[target.columns - 1],
        target.marks[-target.columns],
        target.marks[-1],
    ]
    places = [
        (x, y)
        for y in (INSET_MM - height / 2, height / 2 - INSET_MM)
        for x in (INSET_MM - width / 2, width / 2 - INSET_MM)
    ]
    for mark, (x, y) in zip(corners, places, strict=True):
        assert mark.middle == pytest.approx((x, y))
    assert [mark.name for mark in corners] == [
        "A1", f"A{target.columns}", f"{chr(64 + target.rows)}1", f"{chr(64 + target.rows)}{target.columns}"
    ]  # fmt: skip
    assert len({mark.name for mark in target.marks}) == len(target.marks)


@pytest.mark.parametrize(("width", "height"), USUAL)
def test_the_fold_runs_between_the_marks(width: float, height: float) -> None:
    for mark in design_target(width, height).marks:
        assert abs(mark.middle[0]) > 10


@given(st.floats(101.7, 700), st.floats(98.9, 700))
def test_nothing_lies_on_anything_else(width: float, height: float) -> None:
    target = design_target(width, height)
    assert 9 <= len(target.marks) <= 25
    rooms = blocks(target)
    for one, other in itertools.combinations(rooms, 2):
        assert not overlap(one, other)
    for room in rooms:
        assert -width / 2 + 5 <= room[0] < room[2] <= width / 2 - 5
        assert -height / 2 + 5 <= room[1] < room[3] <= height / 2 - 5
    rulers = [ruler_box(target, i) for i in range(len(target.rulers))]
    for one, other in itertools.combinations(rulers, 2):
        assert not overlap(one, other)
    for scale in target.scales:
        reach = (-8.4, -5.0, 8.4, 3.9) if scale.across else (-3.9, -8.4, 6.0, 8.4)
        room = tuple(at + by for at, by in zip((scale.x_mm, scale.y_mm) * 2, reach, strict=True))
        assert not any(overlap(ruler, room) for ruler in rulers)
    clear = DISC_RADIUS_MM + 0.8
    rounds = [(x - clear, y - clear, x + clear, y + clear) for x, y in target.code]
    for ruler in rulers:
        for mark in target.marks:
            ring = (
                mark.x_mm - RING_OUTER_MM,
                mark.y_mm - RING_OUTER_MM,
                mark.x_mm + RING_OUTER_MM,
                mark.y_mm + RING_OUTER_MM,
            )
            assert not overlap(ruler, ring)
        assert not any(overlap(ruler, disc) for disc in rounds)
    for disc in rounds:
        assert not any(overlap(disc, room) for room in rooms)


@given(st.floats(102, 700), st.floats(99, 700))
def test_no_turn_and_no_mirror_image_looks_like_the_sheet_itself(width: float, height: float) -> None:
    target = design_target(width, height)
    ways = []
    for a, b in itertools.product((1, -1), repeat=2):
        for swap in (False, True):
            step = (a * STEP_MM[0], b * STEP_MM[1])
            ways.append(step[::-1] if swap else step)
    for one, other in itertools.combinations(ways, 2):
        assert math.dist(one, other) > 4
    for mark in target.marks:
        assert (mark.x_mm - mark.front_x_mm, mark.y_mm - mark.front_y_mm) == pytest.approx(STEP_MM)


def test_the_discs_of_the_corner_tell_sheets_apart() -> None:
    """Scaled to the same grid, the discs without a ring of two usual sheets lie apart."""
    targets = [design_target(*size) for size in [*USUAL, *SMALL]]
    for one, other in itertools.combinations(targets, 2):
        if (one.columns, one.rows) != (other.columns, other.rows):
            continue
        apart = max(
            abs(
                (p[0] - one.marks[0].middle[0]) / one.pitch_x_mm
                - (q[0] - other.marks[0].middle[0]) / other.pitch_x_mm
            )
            * one.pitch_x_mm
            + abs(
                (p[1] - one.marks[0].middle[1]) / one.pitch_y_mm
                - (q[1] - other.marks[0].middle[1]) / other.pitch_y_mm
            )
            * one.pitch_y_mm
            for p, q in zip(one.code, other.code, strict=True)
        )
        assert apart > 0.6, (one.sheet_width_mm, other.sheet_width_mm)


@pytest.mark.parametrize(
    ("width", "height"),
    [
        (80, 120),
        (120, 80),
        (101.5, 200),
        (0, 100),
        (-210, 297),
        (math.nan, 297),
        (210, math.inf),
        (5000, 297),
    ],
)
def test_a_sheet_that_will_not_do_is_refused_in_words(width: float, height: float) -> None:
    with pytest.raises(DomainError, match=r"at least 102 x 99 mm") as caught:
        design_target(width, height)
    assert caught.value.argument in ("sheet_width_mm", "sheet_height_mm")


def test_marks_are_found_by_name_in_either_case() -> None:
    target = design_target(210, 297)
    assert target.mark(" b3 ") is target.marks[6]
    assert target.mark("Z9") is None


def test_rulers_run_from_every_edge_on_both_sides() -> None:
    target = design_target(210, 297)
    for side in Side:
        for edge in Edge:
            assert sum(ruler.side is side and ruler.edge is edge for ruler in target.rulers) == 2
        assert any(fold.side is side for fold in target.folds)
    assert target.bar_mm == 100
