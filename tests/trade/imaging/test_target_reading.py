"""Photographs of printed targets, simulated apart from the reading, give back what the machine did.

The suite reads a fixed set of 24 sheets. The whole set of 200 is read with

    DOUBLURE_TARGET_SHEETS=200 python -m pytest -s tests/trade/imaging/test_target_reading.py -k sheets

which prints the figures. Nothing here was tried on paper.
"""

from __future__ import annotations

import functools
import math
import os
from dataclasses import replace

import cv2
import numpy as np
import pytest

from doublure.errors import DomainError
from doublure.trade.imaging.target_reading import ReadingWarning, TargetReading, read_target
from doublure.trade.press.affine import Affine
from doublure.trade.press.target import design_target
from target_photographs import Photograph, Printed, Shot, photograph, random_shot

SHEETS = int(os.environ.get("DOUBLURE_TARGET_SHEETS", "24"))
A4, A4_ACROSS, A5, A6, LETTER = (210.0, 297.0), (297.0, 210.0), (148.0, 210.0), (105.0, 148.0), (215.9, 279.4)
#: The fixed set has mostly small sheets, which are drawn sooner; the whole set has those that people print.
SIZES = (A6, A5, A6, A6, A5, A6) if SHEETS <= 24 else (A4, A4_ACROSS, LETTER, A4, A5)
ERROR = Affine(1.0008, -0.0021, 0.0024, 0.9991, 0.42, -0.57)


@functools.cache
def printed(size: tuple[float, float]) -> Printed:
    return Printed(design_target(*size))


@functools.cache
def plain_photograph() -> Photograph:
    """A small sheet, photographed with some care."""
    return photograph(printed(A6), Shot(error=ERROR, ppi=180, tilt_deg=4, tilt_towards_deg=60, spin_deg=2), 5)


def fitted(reading: TargetReading) -> Affine:
    """The affine map through the readings, by plain least squares."""
    rows = np.array([(1.0, mark.x_mm, mark.y_mm) for mark in reading.marks])
    goals = np.array([(mark.x_mm + mark.dx_mm, mark.y_mm + mark.dy_mm) for mark in reading.marks])
    (x, y), (xx, yx), (xy, yy) = np.linalg.lstsq(rows, goals, rcond=None)[0].tolist()
    return Affine(xx, xy, yx, yy, x, y)


def turn_deg(affine: Affine) -> float:
    """The rotation of the map's nearest turn."""
    return math.degrees(math.atan2(affine.yx - affine.xy, affine.xx + affine.yy))


def worst_off_mm(reading: TargetReading, error: Affine) -> float:
    """How far the worst reading is from the truth."""
    return max(
        math.hypot(
            mark.x_mm + mark.dx_mm - error.apply(mark.x_mm, mark.y_mm)[0],
            mark.y_mm + mark.dy_mm - error.apply(mark.x_mm, mark.y_mm)[1],
        )
        for mark in reading.marks
    )


def test_marks_are_found_and_each_sheets_own_transform_recovered() -> None:
    found = total = 0
    shifts, turns, pulls = [], [], []
    for seed in range(SHEETS):
        sheet = printed(SIZES[seed % len(SIZES)])
        shot = random_shot(seed)
        picture = photograph(sheet, shot, seed)
        total += len(sheet.target.marks)
        reading = read_target(picture.pixels, sheet.target)
        found += len(reading.marks)
        assert (ReadingWarning.FROM_BEHIND in reading.warnings) == shot.from_back, seed
        own = fitted(reading)
        shifts.append(math.hypot(own.x_mm - shot.error.x_mm, own.y_mm - shot.error.y_mm))
        turns.append(abs(turn_deg(own) - turn_deg(shot.error)))
        print(
            f"{seed}: {len(reading.marks)} of {len(sheet.target.marks)} marks, shift off by {shifts[-1]:.4f} mm, turn by "
            f"{turns[-1]:.4f}°",
            flush=True,
        )
        for mark in reading.marks:
            x, y = shot.error.apply(mark.x_mm, mark.y_mm)
            assert mark.u_mm is not None
            pulls += [(mark.x_mm + mark.dx_mm - x) / mark.u_mm, (mark.y_mm + mark.dy_mm - y) / mark.u_mm]
    print(
        f"\n{SHEETS} sheets: {found} of {total} marks found ({100 * found / total:.2f} %); shift off by at most "
        f"{max(shifts):.4f} mm (rms {np.sqrt(np.mean(np.square(shifts))):.4f}), turn by at most {max(turns):.4f}° "
        f"(rms {np.sqrt(np.mean(np.square(turns))):.4f}); errors over stated uncertainty, rms "
        f"{np.sqrt(np.mean(np.square(pulls))):.2f}"
    )
    assert found >= 0.99 * total
    assert max(shifts) < 0.05
    assert max(turns) < 0.02
    # The stated uncertainty is neither a boast nor a guess on the safe side.
    assert 0.4 < np.sqrt(np.mean(np.square(pulls))) < 1.4


@pytest.mark.parametrize("spin", [0, 90, 180, 270, 37])
@pytest.mark.parametrize("behind", [False, True])
def test_any_turn_and_either_side_give_the_same_readings(spin: int, behind: bool) -> None:
    shot = Shot(
        error=ERROR,
        ppi=150,
        spin_deg=spin,
        from_back=behind,
        tilt_deg=5,
        depth=0.5,
        margin=1.4 if spin == 37 else 1.12,
    )
    reading = read_target(photograph(printed(A6), shot, 2).pixels, printed(A6).target)
    assert reading.found_share == 1
    assert worst_off_mm(reading, ERROR) < 0.06
    assert (ReadingWarning.FROM_BEHIND in reading.warnings) is behind


def test_a_mirrored_picture_is_put_right() -> None:
    reading = read_target(np.ascontiguousarray(plain_photograph().pixels[:, ::-1]), printed(A6).target)
    assert ReadingWarning.FROM_BEHIND in reading.warnings
    assert worst_off_mm(reading, ERROR) < 0.06


def test_the_sheet_is_told_from_the_picture() -> None:
    targets = [design_target(*size) for size in (A4, A4_ACROSS, LETTER, A5, A6, (A6[1], A6[0]))]
    reading = read_target(plain_photograph().pixels, targets)
    assert (reading.target.sheet_width_mm, reading.target.sheet_height_mm) == A6
    picture = photograph(printed(LETTER), Shot(error=ERROR, ppi=110, tilt_deg=8), 3)
    wide = read_target(picture.pixels, [design_target(*size) for size in (A4, (216.0, 279.0), LETTER)])
    assert wide.target.sheet_width_mm in (216.0, LETTER[0])


@pytest.mark.parametrize("size", [A5, (148.0, 105.0), (101.6, 152.4)])
def test_a_target_of_another_sheet_is_refused(size: tuple[float, float]) -> None:
    with pytest.raises(DomainError, match="another sheet|not in the grid"):
        read_target(plain_photograph().pixels, design_target(*size))


def test_missing_and_false_marks_do_no_harm() -> None:
    picture = plain_photograph()
    pixels = picture.pixels.copy()
    scale = 180 / 25.4
    paper = int(np.median(pixels))
    for name in ("A2", "D3"):  # a stain over the front's disc, light paper over the back's ring
        x, y = picture.front_px[name]
        cv2.circle(pixels, (round(x), round(y)), round(2.6 * scale), paper, -1)
    x, y = picture.back_px["C1"]
    cv2.circle(pixels, (round(x), round(y)), round(4 * scale), paper, -1)
    for dx in range(5):  # specks as large as discs, and a ring, where none belongs
        cv2.circle(pixels, (round(110 + 130 * dx), 70), round(2 * scale), paper // 4, -1)
    cv2.circle(pixels, (400, 70), round(2.5 * scale), paper // 3, round(1.6 * scale))
    reading = read_target(pixels, printed(A6).target)
    assert set(reading.missing) >= {"A2", "D3", "C1"}
    assert len(reading.missing) <= 4
    assert ReadingWarning.FEW_MARKS in reading.warnings
    assert worst_off_mm(reading, ERROR) < 0.06


def test_a_corner_that_is_cut_off_costs_only_its_marks() -> None:
    picture = plain_photograph()
    x, y = picture.back_px["E3"]
    reading = read_target(picture.pixels[: int(y), :].copy(), printed(A6).target)
    assert set(reading.missing) == {"E1", "E2", "E3"}
    assert worst_off_mm(reading, ERROR) < 0.06
    assert reading.seat.dy_mm is None  # the foot of the sheet is not in the picture


def test_half_the_shift_of_an_oblique_view_is_taken_out_and_the_rest_is_said() -> None:
    """With the whole shift in the picture, half of it is left in the readings, and stated."""
    thick = Shot(
        error=ERROR,
        ppi=170,
        tilt_deg=20,
        caliper_mm=0.3,
        depth=1.0,
        noise=0.002,
        cloud=0.002,
        back_ink=0.7,
        focal=0.8,
    )
    sheet = printed(A6)
    pixels = photograph(sheet, thick, 4).pixels
    plain = fitted(read_target(pixels, sheet.target, caliper_mm=0.0))
    halved_reading = read_target(pixels, sheet.target, caliper_mm=0.3)
    halved = fitted(halved_reading)
    whole = 0.3 * math.tan(math.radians(20))
    off_plain = math.hypot(plain.x_mm - ERROR.x_mm, plain.y_mm - ERROR.y_mm)
    off_halved = math.hypot(halved.x_mm - ERROR.x_mm, halved.y_mm - ERROR.y_mm)
    assert off_plain == pytest.approx(whole, abs=0.02)
    assert off_halved == pytest.approx(whole / 2, abs=0.02)
    assert np.mean([mark.u_mm or 0 for mark in halved_reading.marks]) > 0.8 * whole / math.sqrt(12)
    assert halved_reading.tilt_rad == pytest.approx(math.radians(20), abs=math.radians(2))


def test_a_scan_has_no_oblique_view() -> None:
    flat = Shot(error=ERROR, ppi=200, focal=500, lens=0.0, surround=0.05, tilt_deg=0, spin_deg=1)
    reading = read_target(photograph(printed(A6), flat, 6).pixels, printed(A6).target)
    assert reading.tilt_rad is None
    assert reading.oblique_mm == 0
    assert worst_off_mm(reading, ERROR) < 0.04


def test_the_seat_of_the_front_is_read_where_the_edges_show() -> None:
    for surround in (0.05, 1.35):
        shot = Shot(error=ERROR, ppi=160, surround=surround, seat=(0.7, -0.5, 0.003), tilt_deg=6, margin=1.2)
        seat = read_target(photograph(printed(A5), shot, 7).pixels, printed(A5).target).seat
        assert seat.dx_mm == pytest.approx(0.7, abs=0.06)
        assert seat.dy_mm == pytest.approx(-0.5, abs=0.06)
        assert seat.turn_rad == pytest.approx(0.003, abs=0.0005)
        assert seat.fold_dx_mm is None


def test_edges_that_do_not_show_are_not_guessed() -> None:
    pixels = plain_photograph().pixels
    blended = photograph(printed(A6), Shot(error=ERROR, ppi=180, surround=1.0, veil=0.0), 5).pixels
    assert read_target(blended, printed(A6).target).seat.dx_mm is None
    assert read_target(pixels, printed(A6).target).seat.dx_mm is not None


@pytest.mark.parametrize("depth", [np.uint16, np.float32, np.float64])
def test_the_scale_of_grey_does_not_matter(depth: type) -> None:
    pixels = plain_photograph().pixels
    factor = 257 if depth is np.uint16 else 1 / 255
    same = read_target((pixels.astype(np.float64) * factor).astype(depth), printed(A6).target)
    assert worst_off_mm(same, ERROR) < 0.06


def test_a_fine_scan_is_read_at_the_size_it_needs() -> None:
    pixels = cv2.resize(plain_photograph().pixels, None, fx=3, fy=3, interpolation=cv2.INTER_CUBIC)
    reading = read_target(pixels, printed(A6).target)
    assert reading.px_per_mm == pytest.approx(3 * 180 / 25.4, rel=0.03)
    assert worst_off_mm(reading, ERROR) < 0.06


def test_opaque_paper_is_refused_with_the_way_out() -> None:
    opaque = photograph(printed(A6), Shot(back_ink=0.0, ppi=150), 1)
    with pytest.raises(DomainError, match="light has to come from behind.*scales by eye"):
        read_target(opaque.pixels, printed(A6).target)


@pytest.mark.parametrize(
    ("image", "words"),
    [
        (np.full((900, 700), 200, np.uint8), "no pairs of disc and ring"),
        (np.zeros((900, 700), np.uint8), "no pairs of disc and ring"),
        (np.random.default_rng(1).integers(0, 255, (900, 700)).astype(np.uint8), "."),
        (np.zeros((20, 20), np.uint8), "too small"),
        (np.zeros((400, 400, 3), np.uint8), "too small"),
        (np.full((500, 400), np.nan, np.float32), "."),
    ],
)
def test_a_picture_without_a_target_is_refused_in_words(image: np.ndarray, words: str) -> None:
    with pytest.raises(DomainError, match=words):
        read_target(image, printed(A6).target)


def test_a_coarse_picture_is_refused_or_warned_of() -> None:
    sheet = printed(A6)
    coarse = read_target(photograph(sheet, Shot(error=ERROR, ppi=100, back_ink=0.7), 1).pixels, sheet.target)
    assert ReadingWarning.COARSE in coarse.warnings
    with pytest.raises(DomainError):
        read_target(photograph(sheet, Shot(ppi=45, back_ink=0.7), 1).pixels, sheet.target)


@pytest.mark.parametrize("caliper", [-0.1, math.nan, 9.0])
def test_a_caliper_that_is_none_is_refused(caliper: float) -> None:
    with pytest.raises(DomainError, match="caliper"):
        read_target(plain_photograph().pixels, printed(A6).target, caliper)


def test_targets_of_any_usual_sheet_can_be_read() -> None:
    for size, ppi in (((297.0, 420.0), 80), ((101.6, 152.4), 150), (A4_ACROSS, 100), ((120.0, 300.0), 110)):
        sheet = printed(size)
        shot = replace(
            random_shot(1), error=ERROR, ppi=ppi, cloud=0.02, back_ink=0.6, tilt_deg=8, from_back=False
        )
        reading = read_target(photograph(sheet, shot, 1).pixels, sheet.target)
        assert reading.found_share > 0.9, size
        own = fitted(reading)
        assert math.hypot(own.x_mm - ERROR.x_mm, own.y_mm - ERROR.y_mm) < 0.05, size


@pytest.mark.parametrize("bow_mm", [0.5, 2.0, -3.0])
def test_a_bent_sheet_is_read_as_if_it_were_flat(bow_mm: float) -> None:
    shot = Shot(
        error=ERROR,
        ppi=110,
        tilt_deg=12,
        tilt_towards_deg=90,
        bow_mm=bow_mm,
        back_ink=0.7,
        cloud=0.01,
        margin=1.25,
    )
    reading = read_target(photograph(printed(A4), shot, 8).pixels, printed(A4).target)
    assert ReadingWarning.BENT in reading.warnings
    assert reading.found_share == 1
    assert worst_off_mm(reading, ERROR) < 0.15
    own = fitted(reading)
    assert math.hypot(own.x_mm - ERROR.x_mm, own.y_mm - ERROR.y_mm) < 0.05
    assert abs(turn_deg(own) - turn_deg(ERROR)) < 0.02
    assert reading.seat.dx_mm is None


def test_the_grid_is_followed_over_a_column_that_is_missing() -> None:
    picture = plain_photograph()
    pixels = picture.pixels.copy()
    for name, (x, y) in picture.back_px.items():
        if name.endswith("2"):
            cv2.circle(pixels, (round(x), round(y)), round(3.8 * 180 / 25.4), int(np.median(pixels)), -1)
    reading = read_target(pixels, printed(A6).target)
    assert set(reading.missing) == {"A2", "B2", "C2", "D2", "E2"}
    assert worst_off_mm(reading, ERROR) < 0.06
