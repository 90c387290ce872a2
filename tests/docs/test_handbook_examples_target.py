"""The worked examples of the page on the register target are what the program gives."""

from __future__ import annotations

import math
import re

import pytest

from doublure.trade.press.target import (
    BACK_LINES_MM,
    CODE_STEP_MM,
    FRONT_LINES_MM,
    INSET_MM,
    STEP_MM,
    design_target,
)
from handbook_pages import read_page

PAGE = read_page("handbook/methods/target.md")


def section(anchor: str) -> str:
    """The text of a section on one line."""
    return " ".join(PAGE.sections[anchor].split())


def test_the_grid_of_an_upright_a4() -> None:
    target = design_target(210, 297)
    assert f"{target.columns} columns and {target.rows} rows" in section("printing-it")
    assert f"{target.pitch_x_mm:.2f} mm and {target.pitch_y_mm:.2f} mm apart" in section("printing-it")
    assert f"210 − 2 × {INSET_MM} = {210 - 2 * INSET_MM:.1f} mm" in section("printing-it")


def test_the_least_sheet() -> None:
    assert "102 × 99 mm" in section("printing-it")
    assert len(design_target(102, 99).marks) == 9


def test_the_scales() -> None:
    words = section("by-eye")
    assert f"stand {FRONT_LINES_MM:g} mm apart, the back's {BACK_LINES_MM:g} mm" in words
    lines = [k * BACK_LINES_MM + 0.4 for k in range(-4, 5)]
    fronts = [k * FRONT_LINES_MM for k in range(-4, 5)]
    assert lines[0] == pytest.approx(-7.2 + 0.4)
    met = min(range(9), key=lambda i: abs(lines[i] - fronts[i]))
    assert fronts[met] == pytest.approx(4.0)
    assert "They meet at 4.0 mm" in words


def test_the_pixels_of_a_picture() -> None:
    assert f"= {4000 * 0.9 / 297:.1f} pixels a millimetre" in section("against-the-light")


def test_the_places_of_a_mark() -> None:
    words = section("from-the-picture")
    mark = design_target(210, 297).mark("A1")
    assert mark is not None
    assert f"disc at {mark.front_x_mm:g}, {mark.front_y_mm:g} mm".replace("-", "−") in words
    assert f"lie at {mark.x_mm:g}, {mark.y_mm:g}.".replace("-", "−") in words
    assert (-75.18 - mark.x_mm, -121.17 - mark.y_mm) == pytest.approx((0.42, -0.57))
    assert f"{STEP_MM[0]:g} mm to the right of its disc and {STEP_MM[1]:g} mm below" in words
    assert f"{CODE_STEP_MM:g} mm from the marks" in words


def test_the_shift_of_an_oblique_view() -> None:
    whole = 0.1 * math.tan(math.radians(20))
    numbers = [float(n) for n in re.findall(r"0\.0\d+(?= mm)", section("oblique").split("Worked example")[1])]
    assert numbers == pytest.approx([whole, whole / 2, whole / math.sqrt(12)], abs=5e-4)
