"""The worked examples on measuring, recomputed: the package gives every figure printed."""

from __future__ import annotations

import math

import numpy as np
import pytest

from doublure.trade.imaging import plane_fit, plane_lens
from doublure.trade.imaging.plane_edges import fit_edges
from doublure.trade.imaging.plane_fit import KnownPoints, fit_plane, points_of
from doublure.trade.imaging.plane_flat import frame_of, resolution
from doublure.trade.imaging.plane_lengths import (
    distance,
    half_width,
    measure_lengths,
    sides_of,
    width_and_height,
)
from doublure.trade.imaging.plane_lens import unknown_lens
from doublure.trade.imaging.plane_ratio import bound_bias, measure_ratio, shortest_focal
from doublure.trade.imaging.plane_scale import fit_ellipse, measure_by_coin, measure_by_length
from handbook_pages import HANDBOOK, expect, row

WIDTH, HEIGHT = 1600, 1200
U_PX = 0.5
SHEET = points_of([(0, 0), (89, 0), (89, 127), (0, 127)])
SHEET_PX = points_of([(200, 180), (696.8, 137.1), (671.9, 699), (239.7, 762.3)])
CARD_PX = points_of([(751.9, 181.9), (1071.7, 152.6), (1005.6, 664.9), (721.8, 707)])
KNOWN = KnownPoints(SHEET, SHEET_PX, (0.2 / 89, 0.2 / 127))
FIT = fit_plane(KNOWN, unknown_lens(WIDTH, HEIGHT), U_PX)


def test_plane() -> None:
    """The command is that of the example, and its sides are as printed."""
    source = (HANDBOOK / "methods" / "measuring.md").read_text("utf-8")
    for points in (SHEET_PX, CARD_PX):
        assert f'"{" ".join(f"{x:g},{y:g}" for x, y in points)}"' in source
    places = FIT.to_mm(CARD_PX)
    width, height = width_and_height(places)
    head, right, foot, left = sides_of(places)
    expect(
        "measuring",
        "plane",
        f"{width:.2f} × {height:.2f} mm",
        f"{head:.2f} and {foot:.2f} mm",
        f"{right:.2f} and {left:.2f} mm",
    )


def test_intervals() -> None:
    """The table of lenses, and half widths about a bias."""
    for words, doubt in (("not known", plane_lens.UNKNOWN_K1), ("2 %", 0.02), ("a scan", 0.0)):
        found = measure_lengths(
            fit_plane(KNOWN, unknown_lens(WIDTH, HEIGHT, doubt), U_PX), CARD_PX, width_and_height
        )
        cells = (
            f"{value:.2f} ± {half:.2f} mm" for value, half in zip(found.values_mm, found.half_mm, strict=True)
        )
        expect("measuring", "intervals", row(words, *cells, f"{found.correlation():.2f}"))
    expect("measuring", "intervals", *(f"± {half_width(0.2, bias):.2f} mm" for bias in (0.0, 0.3, 1.0)))
    expect(
        "measuring",
        "intervals",
        f"no better than {plane_fit.LEAST_PICK_PX:g} px",
        f"else {plane_fit.USUAL_PICK_PX:g} px",
    )
    assert plane_fit.ENOUGH_FREEDOM == 2 * 7 - 8


def test_lens() -> None:
    """Two bulging edges, and what is taken of a lens beforehand."""
    x = np.linspace(100, 1500, 8)
    bulge = 6 * (1 - ((x - 800) / 700) ** 2)
    edges = [np.round(np.stack([x, y], axis=1), 1) for y in (100 - bulge, 1100 + bulge)]
    found = fit_edges(edges, unknown_lens(WIDTH, HEIGHT), U_PX).lens
    expect(
        "measuring",
        "lens",
        f"{found.corner_shift * 100:.2f} ± {found.u_corner_shift * 100:.2f} %",
        f"k₁ is 0 ± {plane_lens.UNKNOWN_K1:g}, k₂ 0 ± {plane_lens.UNKNOWN_K2:g}",
        f"± {plane_lens.UNKNOWN_CENTRE:g} half diagonals",
    )


def test_one_length() -> None:
    found = measure_by_length(
        SHEET_PX[:2], 89, 0.2, CARD_PX, width_and_height, unknown_lens(WIDTH, HEIGHT, 0.02), U_PX
    )
    width, height = found.values_mm
    short = [f"{(1 - seen / true) * 100:.0f}" for seen, true in ((width, 64), (height, 121))]
    expect("measuring", "one-length", f"{width:.1f} × {height:.1f} mm", f"{short[0]} and {short[1]} %")


def test_coin() -> None:
    angles = np.arange(8) * math.pi / 4
    rim = np.round(np.stack([600 + 70 * np.cos(angles), 900 + 56 * np.sin(angles)], axis=1), 1)
    wanted = points_of([(640, 850), (800, 860)])
    ellipse = fit_ellipse(rim)
    found = measure_by_coin(
        rim,
        24,
        0.05,
        wanted,
        distance,
        unknown_lens(WIDTH, HEIGHT, 0.02),
        U_PX,
        shortest_focal(WIDTH, HEIGHT, None),
    )
    far = math.dist(ellipse.centre_px, wanted[1])
    expect(
        "measuring",
        "coin",
        f"{found.values_mm[0]:.1f} ± {found.half_mm[0]:.1f} mm",
        f"the tilt is {math.degrees(ellipse.tilt_rad):.0f}°",
        f"{far:.0f} px off",
    )
    assert ellipse.half_axes_px == pytest.approx((70, 56), abs=0.01)


def test_ratio() -> None:
    found = measure_ratio(CARD_PX, WIDTH, HEIGHT, unknown_lens(WIDTH, HEIGHT, 0.02), U_PX)
    expect("measuring", "ratio", f"{found.ratio:.3f} ± {found.half:.3f}", f"{64 / 121:.3f}")


def test_above() -> None:
    share, camera_mm = bound_bias(FIT.homography, WIDTH, HEIGHT, 2.0)
    expect("measuring", "above", f"at least {camera_mm:.0f} mm", f"up to {share * 100:.2g} %")


def test_flat_piece() -> None:
    least, median = resolution(FIT, frame_of(FIT.to_mm(CARD_PX)))
    expect("measuring", "flat-piece", f"{median:.0f} pixels an inch", f"{least:.0f} where it has least")
