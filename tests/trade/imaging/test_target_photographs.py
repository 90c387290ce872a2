"""The simulated photographs themselves: marks where they should be, to 0.01 px; light as it should be."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from doublure.trade.press.affine import Affine
from doublure.trade.press.target import design_target
from target_photographs import Printed, Shot, photograph

PLAIN = Shot(
    error=Affine(1.001, -0.002, 0.003, 0.999, 0.4, -0.3), ppi=190,
    noise=0, cloud=0, slope=0, corners=0, veil=0, jpeg=0, lens_blur_px=0.5,
    caliper_mm=0, focal=1e5, scatter_mm=0.3,
)  # fmt: skip


@pytest.fixture(scope="module")
def printed() -> Printed:
    return Printed(design_target(105, 148))


def centroid(pixels: np.ndarray, x: float, y: float, reach: float) -> tuple[float, float]:
    """The grey-weighted middle of what is dark within reach, of light undone from its curve."""
    top, left = int(y - reach), int(x - reach)
    size = int(2 * reach) + 2
    part = (pixels[top : top + size, left : left + size] / 255.0) ** 2.2
    v, u = np.mgrid[top : top + size, left : left + size]
    inside = np.hypot(u - x, v - y) < reach
    dark = np.where(inside, part[inside].max() - part, 0.0)
    return float((dark * u).sum() / dark.sum()), float((dark * v).sum() / dark.sum())


@pytest.mark.parametrize("spin", [0.0, 3.7, 93.0])
def test_marks_lie_where_the_simulator_says_to_a_hundredth_of_a_pixel(printed: Printed, spin: float) -> None:
    # Seen from far away, so that the middle of a circle's picture is the picture of its middle. Eight bits of
    # a pixel leave a hundredth or so of their own: the mean over the marks is held, and each mark to 0.02.
    shot = photograph(printed, replace(PLAIN, spin_deg=spin), 1)
    scale = 190 / 25.4
    offs = []
    for name, place in shot.front_px.items():
        offs.append(np.subtract(centroid(shot.pixels, *place, 2.7 * scale), place))
        assert np.abs(offs[-1]).max() < 0.02, name
    assert np.abs(np.mean(offs, axis=0)).max() < 0.01


def test_the_back_is_moved_by_the_machines_error(printed: Printed) -> None:
    shot = photograph(printed, PLAIN, 1)
    scale = 190 / 25.4
    mark = printed.target.mark("C1")
    assert mark is not None
    ring = centroid(shot.pixels, *shot.back_px["C1"], 3.9 * scale)
    disc = shot.front_px["C1"]
    step = np.subtract(ring, disc) / scale
    x, y = PLAIN.error.apply(mark.x_mm, mark.y_mm)
    assert step == pytest.approx((x - mark.front_x_mm, y - mark.front_y_mm), abs=0.01)


def test_from_behind_the_sheet_shows_mirrored_and_the_front_is_the_blurred_side(printed: Printed) -> None:
    front = photograph(printed, PLAIN, 1)
    behind = photograph(printed, replace(PLAIN, from_back=True), 1)
    assert front.front_px["A1"][0] < front.front_px["A3"][0]
    assert behind.front_px["A1"][0] > behind.front_px["A3"][0]


def test_the_same_seed_gives_the_same_picture(printed: Printed) -> None:
    shot = Shot(ppi=100)
    assert (photograph(printed, shot, 3).pixels == photograph(printed, shot, 3).pixels).all()
    assert (photograph(printed, shot, 3).pixels != photograph(printed, shot, 4).pixels).any()
