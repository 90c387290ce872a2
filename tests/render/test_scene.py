"""Units and curves of scenes, against CSS and against the circle that an arc stands for."""

from __future__ import annotations

import math

import pytest

from doublure.render.extent import extent, extent_of, text_box, walk
from doublure.render.scene import (
    FINE,
    Anchor,
    Box,
    Circle,
    Curve,
    Group,
    Line,
    Move,
    Path,
    Pen,
    Rect,
    Text,
    curve_points,
    half_ellipse,
    px_to_mm,
)


def test_pixels_are_those_of_css() -> None:
    # W3C CSS Values and Units Level 3, 6.2: 1 in = 2.54 cm = 96 px; from memory.
    assert px_to_mm(96) == 25.4
    assert px_to_mm(1) == pytest.approx(0.264583, abs=5e-7)


def test_half_ellipse_keeps_to_the_circle() -> None:
    start = (3.0, 5.0)
    points = [start]
    for curve in half_ellipse(start, 10.0, 5.0):
        points += curve_points(points[-1], curve, 50)
    assert points[-1] == pytest.approx((13.0, 5.0))
    # A quarter circle as one cubic is off by 0.027 % at most (common practice, no published source).
    assert all(math.dist(p, (8.0, 5.0)) == pytest.approx(5.0, rel=2.8e-4) for p in points)
    assert max(y for _, y in points) == pytest.approx(10.0)


def test_half_ellipse_may_arch_and_go_left() -> None:
    ends = half_ellipse((0.0, 0.0), -4.0, -1.0)
    assert (ends[0].x_mm, ends[0].y_mm) == (-2.0, -1.0)
    assert (ends[1].x_mm, ends[1].y_mm) == (-4.0, 0.0)


def test_curve_points_end_where_the_curve_ends() -> None:
    curve = Curve(0, 10, 10, 10, 10, 0)
    points = curve_points((0.0, 0.0), curve, 4)
    assert len(points) == 4
    assert points[1] == pytest.approx((5.0, 7.5))
    assert points[-1] == (10.0, 0.0)


def test_extent_counts_half_the_line_width() -> None:
    assert extent(Line(1, 2, 5, 2, Pen(0.5))) == Box(0.75, 1.75, 5.25, 2.25)
    assert extent(Circle(0, 0, 2, Pen(1.0))) == Box(-2.5, -2.5, 2.5, 2.5)
    assert extent(Rect(1, 1, 2, 3)) == Box(1, 1, 3, 4)


def test_extent_of_a_path_holds_its_curves() -> None:
    box = extent(Path((Move(0, 0), Curve(0, 10, 10, 10, 10, 0)), FINE))
    assert box is not None
    assert box.bottom_mm == pytest.approx(7.5 + FINE.width_mm / 2)


def test_turned_text_takes_its_room_upright() -> None:
    level = text_box(Text(10, 10, "mm", 3.0, Anchor.MIDDLE))
    turned = text_box(Text(10, 10, "mm", 3.0, Anchor.MIDDLE, turn_deg=-90))
    assert level.right_mm - level.left_mm == pytest.approx(turned.bottom_mm - turned.top_mm)
    assert level.bottom_mm - level.top_mm == pytest.approx(turned.right_mm - turned.left_mm)
    # Read from the right: what was above the baseline now lies to its left.
    assert turned.left_mm < 10 - 2.5 < 10 < turned.right_mm < 11


def test_empty_groups_have_no_extent() -> None:
    assert extent_of(()) is None
    assert extent(Group(())) is None
    inner = Rect(0, 0, 1, 1)
    group = Group((Group((inner,)), Group(())))
    assert extent(group) == Box(0, 0, 1, 1)
    assert list(walk((group,)))[2] is inner


def test_boxes_overlap_only_where_they_share_an_area() -> None:
    assert Box(0, 0, 2, 2).overlaps(Box(1, 1, 3, 3))
    assert not Box(0, 0, 2, 2).overlaps(Box(2, 0, 4, 2))
    assert Box(0, 0, 1, 1).joined(Box(5, -1, 6, 0)) == Box(0, -1, 6, 1)
