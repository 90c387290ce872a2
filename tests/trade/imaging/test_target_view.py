"""Views and cameras, held against general-purpose libraries and against cameras whose place is known.

Homographies: OpenCV 5 (findHomography, calib3d) and scikit-image 0.26 (ProjectiveTransform), as installed.
"""

from __future__ import annotations

import math

import cv2
import numpy as np
import pytest
from skimage.transform import ProjectiveTransform

from doublure.trade.imaging.target_view import find_camera, fit_homography, fit_view

GRID = np.array([(x, y) for y in np.linspace(-120, 120, 6) for x in np.linspace(-80, 80, 4)])


def seen(
    tilt_deg: float, way_deg: float, spin_deg: float, focal: float, height_mm: float
) -> tuple[np.ndarray, np.ndarray]:
    """The homography of a camera over the middle of the sheet, 2000 x 2600 px, and where the camera is."""
    tilt, way, spin = (math.radians(a) for a in (tilt_deg, way_deg, spin_deg))
    lean = cv2.Rodrigues(tilt * np.array([math.cos(way), math.sin(way), 0.0]))[0]
    turn = cv2.Rodrigues(np.array([0.0, 0.0, spin]))[0]
    rotation = lean @ turn
    camera = np.array([[focal, 0, 999.5], [0, focal, 1299.5], [0, 0, 1]])
    matrix = camera @ np.column_stack([rotation[:, 0], rotation[:, 1], [0, 0, height_mm]])
    return matrix / matrix[2, 2], -rotation.T @ np.array([0, 0, height_mm])


def project(matrix: np.ndarray, points: np.ndarray) -> np.ndarray:
    return cv2.perspectiveTransform(points[None].astype(np.float64), matrix)[0]


def test_homographies_agree_with_two_libraries() -> None:
    rng = np.random.default_rng(4)
    for _ in range(20):
        matrix, _ = seen(*rng.uniform((0, 0, 0, 1500, 300), (25, 360, 360, 4000, 700)))
        exact = project(matrix, GRID)
        assert fit_homography(GRID, exact) == pytest.approx(matrix, rel=1e-6, abs=1e-9)
        noisy = exact + rng.normal(0, 0.3, exact.shape)
        ours = project(fit_homography(GRID, noisy), GRID)
        theirs = project(cv2.findHomography(GRID, noisy, 0)[0], GRID)
        other = ProjectiveTransform.from_estimate(GRID, noisy)(GRID)
        # The three minimise different sums; they differ by far less than the noise.
        assert np.abs(ours - theirs).max() < 0.15
        assert np.abs(ours - other).max() < 0.15
        refined = project(np.array(fit_view(GRID, noisy, 2000, 2600).homography), GRID)
        assert np.abs(refined - theirs).max() < 0.15


def test_the_view_minimises_what_opencv_minimises() -> None:
    rng = np.random.default_rng(5)
    matrix, _ = seen(18, 40, 10, 2400, 420)
    noisy = project(matrix, GRID) + rng.normal(0, 0.4, GRID.shape)
    view = fit_view(GRID, noisy, 2000, 2600)
    assert view.lens == 0  # nothing carries it
    theirs = project(cv2.findHomography(GRID, noisy, 0)[0], GRID)
    ours = view.to_px(GRID)
    assert ((ours - noisy) ** 2).sum() <= ((theirs - noisy) ** 2).sum() + 1e-6


@pytest.mark.parametrize("share", [-0.02, -0.004, 0.004, 0.02])
def test_a_lens_is_taken_out_and_put_back(share: float) -> None:
    """Points moved along the radius the way another program's camera model does it, OpenCV's with k1 alone."""
    matrix, _ = seen(14, 200, -5, 2600, 450)
    half = math.hypot(2000, 2600) / 2
    ideal = project(matrix, GRID) - np.array([999.5, 1299.5])
    square = (ideal**2).sum(axis=1, keepdims=True) / half**2
    moved = ideal * (1 + share * square) + np.array([999.5, 1299.5])
    view = fit_view(GRID, moved, 2000, 2600)
    assert view.lens == pytest.approx(-share, rel=0.1)
    assert np.abs(view.to_mm(moved) - GRID).max() < 0.02
    assert view.to_mm(view.to_px(GRID)) == pytest.approx(GRID, abs=1e-4)


@pytest.mark.parametrize("tilt", [5.0, 12.0, 25.0])
@pytest.mark.parametrize("way", [0.0, 65.0, 200.0])
def test_the_cameras_place_is_found_where_the_perspective_carries_it(tilt: float, way: float) -> None:
    matrix, place = seen(tilt, way, 30, 2500, 420)
    rng = np.random.default_rng(6)
    view = fit_view(GRID, project(matrix, GRID) + rng.normal(0, 0.03, GRID.shape), 2000, 2600)
    stated = find_camera(view, 2500)
    assert (stated.x_mm, stated.y_mm) == pytest.approx(tuple(place[:2]), abs=3)
    assert stated.height_mm == pytest.approx(abs(place[2]), rel=0.02)
    guessed = find_camera(view)
    assert guessed.is_known
    assert guessed.tilt_rad == pytest.approx(math.radians(tilt), abs=math.radians(2.5))
    # What matters is the slant at which each mark is seen.
    for x, y in GRID:
        due = np.array([x - place[0], y - place[1]]) / abs(place[2])
        found = np.array([x - guessed.x_mm, y - guessed.y_mm]) / guessed.height_mm
        assert np.abs(found - due).max() < 0.12


def test_a_flat_scan_has_no_known_camera() -> None:
    view = fit_view(GRID, GRID * 8 + np.array([1000, 1300]), 2000, 2600)
    assert not find_camera(view).is_known


def test_a_view_from_behind_is_mirrored() -> None:
    assert fit_view(GRID, GRID * (-8, 8) + np.array([1000, 1300]), 2000, 2600).is_mirrored
    assert not fit_view(GRID, GRID * (-8, -8) + np.array([1000, 1300]), 2000, 2600).is_mirrored
