"""Sizes from photographs against real photographs, published worked examples, and libraries for any purpose.

Sources:
  The calibration photographs left01.jpg to left14.jpg of OpenCV (Debian package opencv-doc, examples/data): a flat
    chessboard, 9 x 6 inner corners, squares of 25 mm. Square, camera matrix and distortion: left_intrinsics.yml of the
    same package, text seen. Corners: measured with OpenCV's detector, as collected in
    reference/pictures/chessboard.json; three views are quoted here. One of them, left02.jpg, has wrong corners.
  JCGM 100:2008 (GUM), annex H.1 to H.3: inputs and results as collected in reference/sums/uncertainty.json, which
    says what was seen and what is from memory; all recomputed.
  OpenCV (findHomography, undistortPoints, fitEllipse), scikit-image (ProjectiveTransform): run here.
Where the whole collection is beside the project, all its views are held against the stated intervals.
"""

from __future__ import annotations

import itertools
import json
import math
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np
import pytest
from skimage.transform import ProjectiveTransform

from doublure.trade.imaging.plane_edges import fit_edges
from doublure.trade.imaging.plane_fit import KnownPoints, PlaneFit, fit_plane
from doublure.trade.imaging.plane_lengths import measure_lengths
from doublure.trade.imaging.plane_lens import AnyLens, BrownLens, unknown_lens
from doublure.trade.imaging.plane_propagation import draw_lots, propagate
from doublure.trade.imaging.plane_scale import fit_ellipse
from needs import COLLECTION_ABSENT

REFERENCE = Path(__file__).resolve().parents[3] / "shared" / "reference"
WIDTH_PX, HEIGHT_PX, SQUARE_MM = 640, 480, 25.0
FOCAL_PX, CENTRE_PX = 535.915733961632, (342.28315473308373, 235.57082909788173)
K1, K2, P1, P2, K3 = (
    -0.2663726090966068,
    -0.03858889892230465,
    0.0017831947042852964,
    -0.0002812210044111547,
    0.23839153,
)
BAD = "left02.jpg"
# fmt: off
QUOTED: dict[str, tuple[tuple[float, float], ...]] = {
    "left01.jpg": (
        (244.405, 94.137), (274.395, 92.211), (305.501, 90.317), (338.309, 88.793), (371.722, 87.875),
        (406.454, 86.711), (441.637, 86.247), (477.623, 86.222), (513.768, 86.529), (244.891, 126.182),
        (274.705, 124.874), (306.059, 123.964), (338.623, 123.086), (372.249, 122.286), (406.669, 122.143),
        (442.097, 122.085), (478.011, 122.238), (514.273, 122.783), (245.354, 158.276), (275.25, 158.049),
        (306.548, 157.649), (338.892, 157.398), (372.386, 157.417), (406.801, 157.497), (442.113, 157.886),
        (477.915, 158.322), (513.887, 159.373), (246.349, 190.39), (275.86, 190.522), (307.083, 191.064),
        (339.264, 191.561), (372.578, 192.052), (406.768, 192.522), (441.713, 193.621), (477.408, 194.334),
        (513.076, 195.625), (247.35, 222.271), (276.928, 223.406), (307.568, 224.259), (339.554, 225.402),
        (372.706, 226.322), (406.595, 227.648), (441.25, 228.633), (476.691, 230.004), (511.918, 231.578),
        (248.928, 253.592), (277.596, 255.093), (308.492, 256.516), (340.011, 258.242), (372.684, 259.91),
        (406.222, 261.701), (440.502, 263.233), (475.322, 264.625), (510.365, 266.202),
    ),
    "left02.jpg": (
        (256.439, 362.375), (255.238, 334.424), (254.305, 308.908), (253.286, 280.395), (252.633, 248.561),
        (251.751, 212.815), (251.26, 172.683), (251.097, 127.984), (251.463, 78.19), (291.008, 369.334),
        (292.615, 343.45), (293.634, 318.09), (295.149, 289.761), (296.853, 258.065), (298.763, 222.358),
        (301.108, 182.127), (303.756, 136.998), (307.066, 86.712), (327.492, 378.278), (330.834, 352.22),
        (334.245, 327.162), (338.071, 299.223), (342.267, 267.764), (347.087, 232.245), (352.378, 192.21),
        (358.424, 146.96), (365.127, 96.779), (363.316, 386.214), (369.522, 360.483), (375.277, 336.104),
        (381.593, 308.356), (388.453, 277.455), (396.136, 242.336), (404.605, 202.723), (413.967, 157.757),
        (424.132, 107.846), (401, 391.438), (408.461, 368.605), (416.431, 344.544), (425.239, 317.361),
        (434.801, 286.778), (445.284, 252.391), (456.842, 213.547), (469.52, 169.351), (483.137, 120.094),
        (435.283, 402.628), (446.714, 376.145), (456.984, 352.434), (468.08, 325.776), (480.23, 296.077),
        (493.468, 262.404), (507.86, 224.147), (523.489, 181.127), (540.102, 133.096),
    ),
    "left05.jpg": (
        (436.273, 49.716), (448.956, 77.816), (462.564, 108.738), (477.084, 142.888), (492.468, 180.428),
        (508.659, 221.371), (525.288, 265.941), (542.389, 313.812), (559.302, 364.595), (397.76, 57.835),
        (408.567, 86.377), (420.532, 117.967), (433.184, 152.892), (446.843, 191.201), (461.262, 233.171),
        (476.293, 278.67), (491.84, 327.824), (507.69, 379.709), (358.4, 66.665), (367.578, 95.667),
        (377.369, 127.792), (388.27, 163.42), (399.859, 202.296), (412.355, 245.017), (425.552, 291.527),
        (439.532, 341.589), (453.685, 394.322), (319.072, 76.258), (326.154, 105.717), (334.118, 138.265),
        (342.759, 174.436), (352.236, 213.819), (362.673, 257.189), (373.935, 304.142), (385.912, 354.802),
        (398.439, 407.919), (279.466, 86.412), (284.717, 116.29), (290.686, 149.287), (297.343, 185.717),
        (304.733, 225.608), (312.952, 269.155), (322.124, 316.363), (332.2, 367.219), (342.885, 420.653),
        (240.905, 96.93), (244.292, 127.003), (248.227, 160.482), (253.039, 197.07), (258.225, 237.175),
        (264.44, 280.783), (271.654, 328.046), (279.634, 378.692), (288.526, 431.676),
    ),
}
# fmt: on
PUBLISHED = BrownLens(FOCAL_PX, CENTRE_PX, (K1, K2, K3), (P1, P2))
BOARD_MM = np.array([(SQUARE_MM * (at % 9), SQUARE_MM * (at // 9)) for at in range(54)]).reshape(6, 9, 2)

Cell = tuple[int, int]


def views() -> dict[str, np.ndarray]:
    """Return the corners of all views that are here, shape (6, 9, 2)."""
    file = REFERENCE / "pictures" / "chessboard.json"
    found: dict[str, object] = dict(QUOTED)
    if file.is_file():
        collected = json.loads(file.read_text("utf-8"))["views"]
        found = {name: view["corners_px"] for name, view in collected.items()}
    return {name: np.array(corners).reshape(6, 9, 2) for name, corners in found.items()}


VIEWS = views()
GOOD = {name: corners for name, corners in VIEWS.items() if name != BAD}


def patches(size: int) -> Iterator[list[Cell]]:
    """Yield the corners of every patch of so many squares."""
    for row, column in itertools.product(range(6 - size), range(9 - size)):
        yield [(row + i, column + j) for i in range(size + 1) for j in range(size + 1)]


def known_of(corners: np.ndarray, cells: list[Cell]) -> KnownPoints:
    return KnownPoints(np.array([BOARD_MM[at] for at in cells]), np.array([corners[at] for at in cells]))


def edges_of(corners: np.ndarray, cells: list[Cell], whole: bool) -> list[np.ndarray]:
    """Return the rows and columns of a patch, or those of its sides across the whole board."""
    rows, columns = sorted({row for row, _ in cells}), sorted({column for _, column in cells})
    if whole:
        return [*(corners[row] for row in rows), *(corners[:, column] for column in columns)]
    return [
        *(corners[row, columns[0] : columns[-1] + 1] for row in rows),
        *(corners[rows[0] : rows[-1] + 1, column] for column in columns),
    ]


def unseen_sides(corners: np.ndarray, cells: list[Cell]) -> np.ndarray:
    """Return both ends of every side of a square that does not lie in the patch, shape (2 n, 2), px."""
    along = [((i, j), (i, j + 1)) for i in range(6) for j in range(8)]
    down = [((i, j), (i + 1, j)) for i in range(5) for j in range(9)]
    known = set(cells)
    return np.array([corners[at] for side in along + down if not known.issuperset(side) for at in side])


def repeatability(corners: np.ndarray) -> float:
    """Return how sure corners are, px: by their fourth differences, from which any smooth view drops out."""
    fourth = np.concatenate([np.diff(corners, 4, axis=0).ravel(), np.diff(corners, 4, axis=1).ravel()])
    return float(np.sqrt((fourth**2).mean() / 70))  # 1 + 16 + 36 + 16 + 1


def lengths_of(places: np.ndarray) -> np.ndarray:
    return np.asarray(np.linalg.norm(places[1::2] - places[::2], axis=1))


def predict(
    corners: np.ndarray, cells: list[Cell], way: str, u_px: float | None
) -> tuple[np.ndarray, np.ndarray]:
    """Return by how much predicted sides are off, as a share, and whether the stated interval holds each."""
    known, open_lens = known_of(corners, cells), unknown_lens(WIDTH_PX, HEIGHT_PX)
    lens: AnyLens = open_lens
    if way == "published":
        lens = PUBLISHED
    elif way == "edges":
        lens = fit_edges(edges_of(corners, cells, len(cells) == 4), open_lens, u_px).lens
    fit, reference = fit_plane(known, lens, u_px), None
    if way == "uncorrected" and len(cells) > 4:
        reference = fit_plane(known, lens, u_px, with_lens=True)
    found = measure_lengths(fit, unseen_sides(corners, cells), lengths_of, reference)
    off = np.abs(np.array(found.values_mm) - SQUARE_MM)
    return off / SQUARE_MM, off <= np.array(found.half_mm)


def predict_all(size: int, way: str, u_px: float | None, each: int = 1) -> tuple[float, float]:
    """Return the median error and the share that the intervals hold, over all good views and patches."""
    pairs = [
        predict(corners, cells, way, u_px)
        for corners in GOOD.values()
        for cells in itertools.islice(patches(size), 0, None, each)
    ]
    return float(np.median(np.concatenate([off for off, _ in pairs]))), float(
        np.mean(np.concatenate([held for _, held in pairs]))
    )


@pytest.mark.parametrize(("way", "most"), [("published", 0.005), ("edges", 0.01)])
def test_a_patch_predicts_unseen_squares(way: str, most: float) -> None:
    """From 5 x 5 known squares: median error under 0.5 % by the published lens, under 1 % by straight edges alone."""
    median, held = predict_all(5, way, None)
    assert median < most
    assert 0.92 <= held <= 0.98


def test_with_no_correction_the_interval_is_wide_enough() -> None:
    """The value is off by more than 2 % at the median, and its interval still holds."""
    median, held = predict_all(5, "uncorrected", None)
    assert median > 0.02
    assert 0.92 <= held <= 0.98


@pytest.mark.parametrize("way", ["published", "edges", "uncorrected"])
def test_a_single_square_says_less_and_says_so(way: str) -> None:
    """From one square out to the whole board; four corners cannot tell how sure they are, so that is stated."""
    u_px = math.sqrt(sum(repeatability(corners) ** 2 for corners in GOOD.values()) / len(GOOD))
    assert 0.06 < u_px < 0.11
    _, held = predict_all(1, way, u_px, each=5)
    assert 0.92 <= held <= 0.98


def test_the_bad_view_is_noticed_by_its_residuals() -> None:
    """Wrong corners are named, and no view that is good is called bad."""
    whole = [(row, column) for row in range(6) for column in range(9)]
    bad = fit_plane(known_of(VIEWS[BAD], whole), unknown_lens(WIDTH_PX, HEIGHT_PX), with_lens=True)
    assert bad.misfits
    assert not bad.fits
    assert bad.spread_px > 0.5
    for name, corners in GOOD.items():
        fit = fit_plane(known_of(corners, whole), unknown_lens(WIDTH_PX, HEIGHT_PX), with_lens=True)
        assert fit.fits, name
        assert fit.spread_px < 0.15


def test_the_bad_view_fails_a_stated_picking_error() -> None:
    """Against corners said to be sure to 0.15 px the chi-square of the bad view is out of all proportion."""
    whole = [(row, column) for row in range(6) for column in range(9)]
    for name, corners in VIEWS.items():
        fit = fit_plane(known_of(corners, whole), PUBLISHED, 0.15)
        assert fit.chance is not None
        assert (fit.chance < 1e-6) == (name == BAD), name


@pytest.mark.parametrize("name", sorted(QUOTED))
def test_the_plane_is_that_of_opencv_and_scikit_image(name: str) -> None:
    """Without a lens the refined homography puts corners where OpenCV's does; four corners likewise scikit-image."""
    corners = VIEWS[name]
    whole = [(row, column) for row in range(6) for column in range(9)]
    fit = fit_plane(known_of(corners, whole), unknown_lens(WIDTH_PX, HEIGHT_PX, 0.0))
    theirs, _ = cv2.findHomography(BOARD_MM.reshape(-1, 2), corners.reshape(-1, 2), 0)
    seen = cv2.perspectiveTransform(BOARD_MM.reshape(-1, 1, 2), theirs).reshape(-1, 2)
    assert np.abs(fit.to_px(BOARD_MM.reshape(-1, 2)) - seen).max() < 0.01
    four = [(0, 0), (0, 8), (5, 8), (5, 0)]
    known = known_of(corners, four)
    exact = fit_plane(known, unknown_lens(WIDTH_PX, HEIGHT_PX, 0.0))
    other = ProjectiveTransform.from_estimate(known.points_px, known.points_mm)
    inner = corners.reshape(-1, 2)
    assert np.abs(exact.to_mm(inner) - other(inner)).max() < 1e-6


def test_the_published_lens_is_straightened_as_opencv_does_it() -> None:
    """Brown's model, both ways."""
    matrix = np.array([[FOCAL_PX, 0, CENTRE_PX[0]], [0, FOCAL_PX, CENTRE_PX[1]], [0, 0, 1]])
    points = np.concatenate([corners.reshape(-1, 2) for corners in VIEWS.values()])
    numbers = np.array([K1, K2, P1, P2, K3])
    theirs = cv2.undistortPoints(
        points.reshape(-1, 1, 2), matrix, numbers, None, None, matrix, (3, 100, 1e-12)
    ).reshape(-1, 2)
    assert np.abs(PUBLISHED.straighten(points) - theirs).max() < 1e-6
    assert np.abs(PUBLISHED.bend(PUBLISHED.straighten(points)) - points).max() < 1e-6


def test_an_ellipse_is_that_of_opencv() -> None:
    """Points exactly on an ellipse give it back, as OpenCV's fit does."""
    angles = np.linspace(0, 2 * math.pi, 24, endpoint=False)
    turn = math.radians(25)
    x, y = 140 * np.cos(angles), 90 * np.sin(angles)
    points = np.stack(
        [x * math.cos(turn) - y * math.sin(turn) + 400, x * math.sin(turn) + y * math.cos(turn) + 300], 1
    )
    found = fit_ellipse(points)
    (cx, cy), sizes, _ = cv2.fitEllipse(points.astype(np.float32))
    assert found.centre_px == pytest.approx((cx, cy), abs=1e-3)
    assert sorted(sizes) == pytest.approx([180, 280], abs=1e-3)
    assert found.half_axes_px == pytest.approx((140, 90), abs=1e-9)


def test_gum_h1_end_gauge() -> None:
    """Annex H.1: the length of an end gauge is 50 000 838 nm with a standard uncertainty of 32 nm."""

    def length(some: np.ndarray) -> np.ndarray:
        standard, repeat, random, systematic, expansion, d_expansion, theta, d_theta = some
        return np.array(
            [standard + repeat + random + systematic - standard * (d_expansion * theta + expansion * d_theta)]
        )

    inputs = np.array([50_000_623, 215, 0, 0, 1.15e-5, 0, -0.1, 0], dtype=float)
    theta2 = 0.2**2 + 0.5**2 / 2
    variances = [25**2, 5.8**2, 3.9**2, 6.7**2, (2e-6) ** 2 / 3, (1e-6) ** 2 / 3, theta2, 0.05**2 / 3]
    found = propagate(length, inputs, np.diag(variances))
    assert found.values[0] == pytest.approx(50_000_838, abs=0.5)
    assert found.u[0] == pytest.approx(32, abs=0.5)
    components = np.abs(found.slopes[0]) * np.sqrt(variances)
    assert components[[0, 7]] == pytest.approx([25, 16.599], abs=0.0005)
    assert components[5] == pytest.approx(2.88679, abs=0.005)
    drawn = draw_lots(length, inputs, np.diag(variances), 20_000, 1)
    # The GUM names 34 nm with terms of the second order; lots hold them.
    assert drawn.u[0] == pytest.approx(34, abs=1)


def test_gum_h2_resistance_and_reactance() -> None:
    """Annex H.2: three correlated inputs, three correlated results."""
    volts = [5.007, 4.994, 5.005, 4.99, 4.999]
    amperes = [0.019663, 0.019639, 0.01964, 0.019685, 0.019678]
    phases = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]
    data = np.array([volts, amperes, phases])
    found = propagate(
        lambda some: np.array(
            [some[0] / some[1] * math.cos(some[2]), some[0] / some[1] * math.sin(some[2]), some[0] / some[1]]
        ),
        data.mean(axis=1),
        np.cov(data) / 5,
    )
    assert found.values == pytest.approx([127.732, 219.847, 254.260], abs=0.0005)
    # Its 0.295 comes from figures rounded on the way; unrounded it is 0.2956.
    assert found.u == pytest.approx([0.071, 0.295, 0.236], abs=0.0006)
    correlation = found.correlation
    assert [correlation[0, 1], correlation[0, 2], correlation[1, 2]] == pytest.approx(
        [-0.588, -0.485, 0.993], abs=0.0005
    )


def test_gum_h3_calibration_line() -> None:
    """Annex H.3: the correction at 30 °C from a fitted line is -0.1494 °C, uncertain by 0.0041 °C."""
    seen = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511]
    corrections = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16]
    rows = np.stack([np.ones(11), np.array(seen) - 20], axis=1)
    line, total, *_ = np.linalg.lstsq(rows, np.array(corrections), rcond=None)
    covariance = np.linalg.inv(rows.T @ rows) * float(total[0]) / 9
    found = propagate(lambda some: np.array([some[0] + some[1] * 10]), line, covariance)
    assert line == pytest.approx([-0.1712, 0.00218], abs=0.00005)
    assert np.sqrt(np.diag(covariance)) == pytest.approx([0.0029, 0.00067], abs=0.00005)
    assert (found.values[0], found.u[0]) == pytest.approx((-0.1494, 0.0041), abs=0.00005)


def test_the_collection_says_the_same() -> None:
    """The figures quoted here are those of the collection that they are from."""
    file = REFERENCE / "pictures" / "chessboard.json"
    if not file.is_file():
        pytest.skip(COLLECTION_ABSENT)
    data = json.loads(file.read_text("utf-8"))
    for name, corners in QUOTED.items():
        assert np.array(data["views"][name]["corners_px"]) == pytest.approx(np.array(corners), abs=0.005)
    assert data["published"]["distortion"] == pytest.approx([K1, K2, P1, P2, K3], abs=1e-8)
    assert data["published"]["camera_matrix"][0] == pytest.approx([FOCAL_PX, 0, CENTRE_PX[0]])


def spread_by_refitting(known: KnownPoints, wanted: np.ndarray, u_px: float, seed: int) -> np.ndarray:
    """Return the spread of lengths when all points are picked anew, the plane fitted by scikit-image."""
    lots = np.random.default_rng(seed)
    found = []
    for _ in range(1500):
        picked = known.points_px + u_px * lots.standard_normal(known.points_px.shape)
        plane = ProjectiveTransform.from_estimate(picked, known.points_mm)
        found.append(lengths_of(plane(wanted + u_px * lots.standard_normal(wanted.shape))))
    return np.asarray(np.std(found, axis=0, ddof=1))


def test_the_stated_uncertainty_is_that_of_refitting_by_another_library() -> None:
    """First order against lots drawn around a real view, with no lens: within the noise of 1500 lots."""
    corners = VIEWS["left05.jpg"]
    known = known_of(corners, [(0, 0), (0, 8), (5, 8), (5, 0)])
    fit: PlaneFit = fit_plane(known, unknown_lens(WIDTH_PX, HEIGHT_PX, 0.0), 0.3)
    wanted = np.array([corners[1, 1], corners[1, 3], corners[2, 2], corners[4, 2]])
    stated = measure_lengths(fit, wanted, lengths_of).u_mm
    assert stated == pytest.approx(spread_by_refitting(known, wanted, 0.3, 7), rel=0.07)
