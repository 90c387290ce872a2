"""The target as it is printed: marks in their places to 0.02 mm, sides and turns right, and it can be read."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pypdfium2
import pytest

from doublure.render.bench.target_sheet import target_scenes
from doublure.render.pdf.scene import render_scenes
from doublure.render.scene import Text
from doublure.trade.imaging.target_reading import read_target
from doublure.trade.press.affine import Affine
from doublure.trade.press.target import Target, design_target
from target_photographs import RASTER, Printed, Shot, photograph

SIZES = [
    (210.0, 297.0),
    (297.0, 210.0),
    (148.0, 210.0),
    (105.0, 148.0),
    (215.9, 279.4),
    (297.0, 420.0),
    (120.0, 300.0),
]


def rasters(target: Target, turned: bool = False) -> tuple[np.ndarray, np.ndarray]:
    """Both pages of the PDF, RASTER samples a mm, 255 where there is ink."""
    document = pypdfium2.PdfDocument(render_scenes(target_scenes(target, turned=turned), title="Target"))
    assert len(document) == 2
    pages = []
    for page in document:
        width, height = page.get_size()
        assert width / 72 * 25.4 == pytest.approx(target.sheet_width_mm, abs=0.01)
        assert height / 72 * 25.4 == pytest.approx(target.sheet_height_mm, abs=0.01)
        # The page is stretched to whole pixels, rounded up: a hair less keeps the scale.
        grey = page.render(scale=RASTER * 25.4 / 72 * (1 - 1e-5), grayscale=True).to_numpy()
        pages.append(255 - grey.reshape(grey.shape[0], grey.shape[1]))
    return pages[0], pages[1]


def middle_of_ink(page: np.ndarray, x_mm: float, y_mm: float, reach_mm: float) -> tuple[float, float, float]:
    """The middle of the ink round a point of the page, mm, and how dark the point itself is, 0 to 1."""
    x, y, reach = x_mm * RASTER - 0.5, y_mm * RASTER - 0.5, reach_mm * RASTER
    top, left, size = int(y - reach), int(x - reach), int(2 * reach) + 2
    v, u = np.mgrid[top : top + size, left : left + size]
    ink = page[top : top + size, left : left + size] / 255.0 * (np.hypot(u - x, v - y) < reach)
    middle = page[round(y) - 4 : round(y) + 5, round(x) - 4 : round(x) + 5].mean() / 255
    return (
        float((ink * u).sum() / ink.sum() + 0.5) / RASTER,
        float((ink * v).sum() / ink.sum() + 0.5) / RASTER,
        float(middle),
    )


@pytest.mark.parametrize("size", SIZES[:4])
@pytest.mark.parametrize("turned", [False, True])
def test_marks_are_printed_where_they_are_said_to_be(size: tuple[float, float], turned: bool) -> None:
    target = design_target(*size)
    width, height = size
    front, back = rasters(target, turned)
    for mark in target.marks:
        place = (width / 2 + mark.front_x_mm, height / 2 + mark.front_y_mm)
        x, y, dark = middle_of_ink(front, *place, 2.4)
        assert (x, y) == pytest.approx(place, abs=0.02)
        assert dark > 0.99
        place = (width / 2 - mark.x_mm, height / 2 + mark.y_mm)
        if turned:
            place = (width - place[0], height - place[1])
        x, y, dark = middle_of_ink(back, *place, 3.6)
        assert (x, y) == pytest.approx(place, abs=0.02)
        assert dark < 0.01
    for point in target.code:
        place = (width / 2 + point[0], height / 2 + point[1])
        assert middle_of_ink(front, *place, 2.4)[:2] == pytest.approx(place, abs=0.02)


@pytest.mark.parametrize("size", [(210.0, 297.0), (105.0, 148.0)])
def test_the_printed_target_is_read_from_a_photograph(size: tuple[float, float]) -> None:
    """The PDF's own pages, printed, moved, and photographed against the light."""
    target = design_target(*size)
    error = Affine(1.0012, 0.0018, -0.0022, 0.9994, -0.35, 0.6)
    sheet = Printed(target, rasters(target))
    shot = Shot(
        error=error, ppi=150, tilt_deg=9, tilt_towards_deg=130, spin_deg=92, margin=1.25, back_ink=0.5
    )
    reading = read_target(photograph(sheet, shot, 11).pixels, target)
    assert reading.found_share == 1
    for mark in reading.marks:
        x, y = error.apply(mark.x_mm, mark.y_mm)
        assert math.hypot(mark.x_mm + mark.dx_mm - x, mark.y_mm + mark.dy_mm - y) < 0.08


@pytest.mark.parametrize("size", SIZES)
def test_both_sides_say_which_they_are_and_where_the_head_is(size: tuple[float, float]) -> None:
    target = design_target(*size)
    front, back = target_scenes(target, "a sheet")
    for scene, name, other in ((front, "FRONT", "BACK"), (back, "BACK", "FRONT")):
        words = [item.content for item in scene.items if isinstance(item, Text)]
        assert words.count(name) == 1
        assert words.count("HEAD") == 1
        assert other not in words
        assert [word for word in words if word in {mark.name for mark in target.marks}] == [
            mark.name for mark in target.marks
        ]
        assert (scene.width_mm, scene.height_mm) == size
    if target.bands[0][1] - target.bands[0][0] >= 14:
        assert any("Not yet tried on paper" in item.content for item in front.items if isinstance(item, Text))


def test_a_turned_back_is_the_same_page_half_round() -> None:
    target = design_target(148, 210)
    upright, turned = rasters(target)[1], rasters(target, turned=True)[1]
    # Letters of a turned text fall differently on the pixels.
    assert np.abs(upright[::-1, ::-1].astype(int) - turned.astype(int)).mean() < 0.5


def test_lines_of_the_scales_meet_at_the_offset_that_their_figure_says() -> None:
    """A back that lies 0.4 mm to the right and 0.2 mm up: those lines, and no others, go on in each other."""
    front = [k * 2.0 for k in range(-4, 5)]
    for offset, expected in ((0.4, 2), (-0.2, -1), (0.8, 4), (0.0, 0)):
        back = [k * 1.8 + offset for k in range(-4, 5)]
        gaps = [abs(a - b) for a, b in zip(front, back, strict=True)]
        assert gaps.index(min(gaps)) - 4 == expected
        assert sorted(gaps)[1] - min(gaps) == pytest.approx(0.2)


def test_the_page_is_the_same_every_time_and_words_stay_on_it() -> None:
    for size, turned in itertools.product(SIZES, (False, True)):
        target = design_target(*size)
        once = render_scenes(target_scenes(target, turned=turned), title="Target")
        assert once == render_scenes(target_scenes(target, turned=turned), title="Target")
        for scene in target_scenes(target, turned=turned):
            for item in scene.items:
                if isinstance(item, Text):
                    assert 0 < item.x_mm < size[0]
                    assert 0 < item.y_mm < size[1]
