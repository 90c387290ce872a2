"""Sizes from a plane: exact on drawn views, intervals that hold on drawn picks, lens, thickness, ratio, coin, piece."""

from __future__ import annotations

import math

import numpy as np
import pytest

from doublure.errors import DomainError
from doublure.trade.imaging.plane_draws import draw_measurements
from doublure.trade.imaging.plane_edges import fit_edges
from doublure.trade.imaging.plane_fit import KnownPoints, fit_plane, points_of, project
from doublure.trade.imaging.plane_flat import flatten, frame_of, resolution
from doublure.trade.imaging.plane_lengths import distance, half_width, measure_lengths, width_and_height
from doublure.trade.imaging.plane_lens import BrownLens, Lens, unknown_lens
from doublure.trade.imaging.plane_propagation import draw_lots, independent, propagate
from doublure.trade.imaging.plane_ratio import bound_bias, measure_ratio
from doublure.trade.imaging.plane_scale import fit_ellipse, measure_by_coin, measure_by_length

WIDTH, HEIGHT = 1600, 1200
MIDDLE = np.array([(WIDTH - 1) / 2, (HEIGHT - 1) / 2])
SHEET = points_of([(0, 0), (89, 0), (89, 127), (0, 127)])
CARD = points_of([(100, 10), (164, 10), (164, 131), (100, 131)])
EXACT = unknown_lens(WIDTH, HEIGHT, 0.0)


def camera(
    tilt_deg: float = 25, spin_deg: float = 15, focal: float = 1700, far_mm: float = 420
) -> np.ndarray:
    """Return the homography of a plane seen by a camera of square pixels and a centred principal point."""
    tilt, spin = math.radians(tilt_deg), math.radians(spin_deg)
    about_x = np.array([[1, 0, 0], [0, math.cos(tilt), -math.sin(tilt)], [0, math.sin(tilt), math.cos(tilt)]])
    about_z = np.array([[math.cos(spin), -math.sin(spin), 0], [math.sin(spin), math.cos(spin), 0], [0, 0, 1]])
    turn = about_x @ about_z
    place = np.array([0, 0, far_mm]) - turn @ np.array([82.0, 65.0, 0])
    inner = np.array([[focal, 0, MIDDLE[0]], [0, focal, MIDDLE[1]], [0, 0, 1]])
    return np.asarray(inner @ np.stack([turn[:, 0], turn[:, 1], place], axis=1))


def bulged(k1: float) -> Lens:
    """Return a lens of which only k1 differs from none."""
    return Lens(k1, 0.0, (0.0, 0.0), (float(MIDDLE[0]), float(MIDDLE[1])), math.hypot(WIDTH, HEIGHT) / 2)


def test_a_drawn_view_measures_back() -> None:
    view = camera()
    fit = fit_plane(KnownPoints(SHEET, project(view, SHEET)), EXACT, 0.5)
    found = measure_lengths(fit, project(view, CARD), width_and_height)
    assert found.values_mm == pytest.approx((64, 121), abs=1e-6)
    assert all(0.05 < u < 1 for u in found.u_mm)
    assert found.half_mm == pytest.approx([1.96 * u for u in found.u_mm], rel=1e-3)
    assert -1 < found.correlation() < 1
    diagonal = measure_lengths(fit, project(view, CARD[[0, 2]]), distance)
    assert diagonal.values_mm[0] == pytest.approx(math.hypot(64, 121), abs=1e-6)


def test_stated_intervals_hold_on_drawn_picks() -> None:
    """Picks, an uncertain sheet and an unknown lens drawn 300 times: 95 % within what the binomial allows."""
    lots, view = np.random.default_rng(11), camera()
    doubt, u_px, share = 0.03, 0.8, 0.004
    held = []
    for _ in range(300):
        lens = bulged(doubt * lots.standard_normal())
        grown = SHEET * (1 + share * lots.standard_normal(2))
        known_px = lens.bend(project(view, grown)) + u_px * lots.standard_normal((4, 2))
        wanted_px = lens.bend(project(view, CARD)) + u_px * lots.standard_normal((4, 2))
        known = KnownPoints(SHEET, known_px, (share, share))
        found = measure_lengths(
            fit_plane(known, unknown_lens(WIDTH, HEIGHT, doubt), u_px), wanted_px, width_and_height
        )
        held += [
            abs(value - size) <= half
            for value, size, half in zip(found.values_mm, (64, 121), found.half_mm, strict=True)
        ]
    assert 0.92 <= np.mean(held) <= 0.99


def test_lots_agree_with_the_first_order() -> None:
    view = camera()
    known = KnownPoints(SHEET, project(view, SHEET), (0.004, 0.003), 0.5)
    lens = unknown_lens(WIDTH, HEIGHT, 0.02)
    wanted = project(view, CARD)
    stated = measure_lengths(fit_plane(known, lens, 0.6), wanted, width_and_height)
    drawn = draw_measurements(known, lens, 0.6, wanted, width_and_height, 600, 3)
    assert drawn.u == pytest.approx(stated.u_mm, rel=0.12)
    assert drawn.mean == pytest.approx(stated.values_mm, abs=0.2)
    assert drawn == draw_measurements(known, lens, 0.6, wanted, width_and_height, 600, 3)


def test_the_shares_of_a_variance_sum_to_it() -> None:
    view = camera()
    known = KnownPoints(SHEET, project(view, SHEET), (0.01, 0.0))
    found = measure_lengths(
        fit_plane(known, unknown_lens(WIDTH, HEIGHT, 0.05), 0.5), project(view, CARD), width_and_height
    )
    for shares, u in zip(found.shares, found.u_mm, strict=True):
        assert math.fsum(shares) == pytest.approx(u**2)


def test_a_wanted_corner_that_is_known_is_one_pick() -> None:
    """The known sheet measured by itself is as exact as its size."""
    view = camera()
    known = KnownPoints(SHEET, project(view, SHEET), (0.01, 0.02))
    found = measure_lengths(fit_plane(known, EXACT, 2.0), known.points_px, width_and_height)
    assert found.values_mm == pytest.approx((89, 127))
    assert found.u_mm == pytest.approx((0.89, 2.54), rel=1e-3)


def test_edges_show_the_lens() -> None:
    lens, view = bulged(0.08), camera()
    steps = np.linspace(0, 1, 9)[:, None]
    edges = [
        lens.bend(project(view, a + (b - a) * steps))
        for a, b in zip(SHEET * 1.2, np.roll(SHEET, -1, 0) * 1.2, strict=True)
    ]
    found = fit_edges(edges, unknown_lens(WIDTH, HEIGHT), 0.05)
    assert found.lens.corner_shift == pytest.approx(0.08, abs=4 * found.lens.u_corner_shift)
    assert found.lens.u_corner_shift < 0.8 * unknown_lens(WIDTH, HEIGHT).u_corner_shift
    assert found.freedom == 4 * 7
    rough = fit_edges(edges, unknown_lens(WIDTH, HEIGHT), 3.0)
    assert rough.lens.u_corner_shift > found.lens.u_corner_shift


def test_a_pattern_shows_the_lens_and_bad_points() -> None:
    lots, lens, view = np.random.default_rng(2), bulged(0.1), camera()
    places = np.array([(x, y) for x in range(0, 91, 15) for y in range(0, 121, 15)], dtype=float)
    seen = lens.bend(project(view, places)) + 0.2 * lots.standard_normal(places.shape)
    fit = fit_plane(KnownPoints(places, seen), unknown_lens(WIDTH, HEIGHT), with_lens=True)
    assert fit.fits
    assert fit.u_pick_px == pytest.approx(0.2, rel=0.25)
    found = measure_lengths(fit, lens.bend(project(view, CARD)), width_and_height)
    assert all(
        abs(value - size) <= 1.5 * half
        for value, size, half in zip(found.values_mm, (64, 121), found.half_mm, strict=True)
    )
    seen[10] += (4, -3)
    assert fit_plane(KnownPoints(places, seen), unknown_lens(WIDTH, HEIGHT), with_lens=True).misfits == (10,)


def test_a_bias_widens_the_interval_and_not_the_value() -> None:
    assert half_width(2.0) == pytest.approx(3.92, abs=0.001)
    assert half_width(1.0, 0.5) > half_width(1.0)
    assert half_width(1.0, 8.0) == pytest.approx(8 + 1.645, abs=0.001)
    assert half_width(0.0, 3.0) == 3.0
    assert half_width(1.0, freedom=4) == pytest.approx(2.776, abs=0.001)


def test_brown_and_radial_undo_themselves() -> None:
    points = np.array([(10.0, 20), (799, 600), (1500, 1100)])
    for lens in (
        bulged(0.12),
        bulged(-0.05),
        BrownLens(1500, (810, 590), (-0.2, 0.05, 0.0), (0.001, -0.002)),
    ):
        assert np.abs(lens.bend(lens.straighten(points)) - points).max() < 1e-8


@pytest.mark.parametrize(
    ("points_px", "words"),
    [
        ([(0, 0), (10, 0), (10, 10)], "at least four"),
        ([(0, 0), (10, 0), (20, 0), (30, 0)], "on one line"),
        ([(0, 0), (10, 0), (20, 0), (5, 30)], "three of the four"),
        ([(0, 0), (math.nan, 0), (20, 9), (5, 30)], "finite"),
    ],
)
def test_points_that_carry_no_plane_are_refused(points_px: list[tuple[float, float]], words: str) -> None:
    with pytest.raises(DomainError, match=words):
        fit_plane(KnownPoints(SHEET[: len(points_px)], points_of(points_px)), EXACT, 1.0)


def test_what_lies_beyond_the_horizon_is_refused() -> None:
    view = camera(tilt_deg=60)
    fit = fit_plane(KnownPoints(SHEET, project(view, SHEET)), EXACT, 0.5)
    with pytest.raises(DomainError, match="horizon"):
        measure_lengths(fit, project(view, points_of([(0, -4000), (50, -4000)])), distance)


def test_a_thing_above_the_plane_comes_out_too_large_by_the_bound() -> None:
    """A card 3 mm above the plane, the camera's focal length known: the bound is the bias."""
    focal, above, tilt, spin = 1700.0, 3.0, math.radians(25), math.radians(15)
    view = camera()
    inner = np.array([[focal, 0, MIDDLE[0]], [0, focal, MIDDLE[1]], [0, 0, 1]])
    columns = np.linalg.inv(inner) @ view
    normal = np.cross(columns[:, 0], columns[:, 1])
    assert math.isclose(float(np.linalg.norm(normal)), 1.0, rel_tol=1e-9), (tilt, spin)
    # Towards the camera, which looks along +z.
    lifted = np.stack(
        [columns[:, 0], columns[:, 1], columns[:, 2] - math.copysign(above, normal[2]) * normal], axis=1
    )
    fit = fit_plane(KnownPoints(SHEET, project(view, SHEET)), EXACT, 0.1)
    seen = measure_lengths(fit, project(inner @ lifted, CARD), width_and_height)
    share, camera_mm = bound_bias(fit.homography, WIDTH, HEIGHT, above, focal / 0.97)
    assert camera_mm == pytest.approx(420 * math.cos(tilt), rel=0.05)
    assert seen.values_mm[0] / 64 - 1 == pytest.approx(share, rel=0.08)
    assert bound_bias(fit.homography, WIDTH, HEIGHT, above)[0] >= share * 0.9
    with pytest.raises(DomainError, match="camera"):
        bound_bias(fit.homography, WIDTH, HEIGHT, 400.0)


@pytest.mark.parametrize("tilt_deg", [0.0, 12.0, 35.0])
def test_the_ratio_of_sides_alone(tilt_deg: float) -> None:
    corners = project(camera(tilt_deg=tilt_deg), CARD)
    found = measure_ratio(corners, WIDTH, HEIGHT, EXACT, 0.5)
    assert abs(found.ratio - 64 / 121) <= found.half
    known = measure_ratio(corners, WIDTH, HEIGHT, EXACT, 0.5, 1700.0)
    assert known.ratio == pytest.approx(64 / 121, rel=1e-4)
    assert known.u <= found.u * 1.001
    assert found.u < 0.06


def test_a_coin_and_a_length() -> None:
    view = camera(tilt_deg=20)
    angles = np.linspace(0, 2 * math.pi, 12, endpoint=False)
    rim = project(view, np.stack([80 + 12 * np.cos(angles), 60 + 12 * np.sin(angles)], axis=1))
    near = project(view, points_of([(60, 40), (100, 40), (100, 80), (60, 80)]))
    coin = measure_by_coin(rim, 24, 0.05, near, width_and_height, EXACT, 0.5, 1700)
    assert all(abs(value - 40) <= half for value, half in zip(coin.values_mm, coin.half_mm, strict=True))
    assert all(half < 4 for half in coin.half_mm)
    flat = camera(tilt_deg=0)
    wanted = project(flat, CARD)
    by_length = measure_by_length(project(flat, SHEET[:2]), 89, 0.2, wanted, width_and_height, EXACT, 0.5)
    assert by_length.values_mm == pytest.approx((64, 121), rel=1e-6)
    assert all(0.1 < u < 1 for u in by_length.u_mm)
    for bad in ([(0, 0), (1, 1), (2, 2), (3, 3), (4, 4)], [(0, 0), (9, 0), (0, 9)]):
        with pytest.raises(DomainError, match="ellipse"):
            fit_ellipse(points_of(bad))


def test_propagation_of_a_line_is_exact_and_lots_agree() -> None:
    def area(some: np.ndarray) -> np.ndarray:
        return np.array([some[0] * some[1], some[0] + some[1]])

    covariance = independent((0.04, 1), (0.09, 1))
    found = propagate(area, np.array([10.0, 20.0]), covariance)
    assert found.u == pytest.approx([math.hypot(20 * 0.2, 10 * 0.3), math.hypot(0.2, 0.3)])
    drawn = draw_lots(area, np.array([10.0, 20.0]), covariance, 4000, 5)
    assert drawn.u == pytest.approx(found.u, rel=0.05)
    with pytest.raises(DomainError, match="100"):
        draw_lots(area, np.array([10.0, 20.0]), covariance, 5, 1)


def test_the_flat_piece_is_to_scale_and_says_what_it_has() -> None:
    """A drawn pattern of squares of 10 mm comes back with squares of 10 mm."""
    view, scale = camera(), 4.0
    x, y = np.meshgrid(np.arange(WIDTH, dtype=float), np.arange(HEIGHT, dtype=float))
    places = project(np.linalg.inv(view), np.stack([x.ravel(), y.ravel()], axis=1)).reshape(HEIGHT, WIDTH, 2)
    squares = (np.floor(places[..., 0] / 10) + np.floor(places[..., 1] / 10)) % 2
    pixels = np.where(squares > 0, 230, 30).astype(np.uint8)
    fit = fit_plane(KnownPoints(SHEET, project(view, SHEET)), EXACT, 0.1)
    frame = frame_of(fit.to_mm(project(view, CARD)))
    least, median = resolution(fit, frame)
    assert least <= median
    assert median / 25.4 == pytest.approx(1700 / 420 * math.cos(math.radians(25)), rel=0.15)
    piece = flatten(pixels, fit, frame, scale * 25.4)
    assert piece.pixels.shape == (round(121 * scale), round(64 * scale))
    assert piece.outside_share == 0
    rows, columns = np.indices(piece.pixels.shape)
    at_x, at_y = 100 + (columns + 0.5) / scale, 10 + (rows + 0.5) / scale
    truth = np.where((np.floor(at_x / 10) + np.floor(at_y / 10)) % 2 > 0, 230, 30)
    inside = (np.abs(at_x / 10 - np.round(at_x / 10)) > 0.08) & (
        np.abs(at_y / 10 - np.round(at_y / 10)) > 0.08
    )
    assert (np.abs(piece.pixels.astype(int) - truth)[inside] < 40).mean() > 0.999
    coarse = flatten(pixels, fit, frame, 25.4)
    assert coarse.pixels.shape == (121, 64)
    with pytest.raises(DomainError, match="pixels"):
        flatten(pixels, fit, frame, 25.4 * 1e4)
