"""The steps of the cleaning, each on pixels whose truth is known because the test drew them."""

from __future__ import annotations

import math

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from degraded_pages import practice_page
from doublure.errors import DomainError
from doublure.trade.imaging.cleaning import LineWish, clean_lines, find_ink
from doublure.trade.imaging.cleaning_lie import find_beyond, find_page, find_skew
from doublure.trade.imaging.cleaning_paper import measure_stroke, survey_page, to_light
from doublure.trade.imaging.cleaning_screen import find_screen, remove_screen
from doublure.trade.imaging.cleaning_tone import ToneWish, clean_tones

Bytes = NDArray[np.uint8]


def written(high: int = 700, wide: int = 900, size: float = 0.8) -> Bytes:
    """Lines of words, black on white."""
    pixels = np.full((high, wide), 255, np.uint8)
    for y in range(60, high - 30, 40):
        cv2.putText(pixels, "neap tide. slack water at noon. ebb", (60, y), 0, size, 0, 2, cv2.LINE_AA)
    return pixels


def turned(pixels: Bytes, degrees: float, around: int = 255) -> Bytes:
    """Return pixels turned clockwise."""
    high, wide = pixels.shape
    turn = cv2.getRotationMatrix2D(((wide - 1) / 2, (high - 1) / 2), -degrees, 1.0)
    return np.asarray(
        cv2.warpAffine(pixels, turn, (wide, high), flags=cv2.INTER_CUBIC, borderValue=around), np.uint8
    )


@pytest.mark.parametrize("degrees", [-6.3, -2.0, -0.4, 0.0, 0.15, 1.0, 4.7])
def test_skew_is_found_to_a_twentieth_of_a_degree(degrees: float) -> None:
    skew = find_skew(turned(written(), degrees) < 128)
    assert skew.is_clear
    assert math.degrees(skew.angle_rad) == pytest.approx(degrees, abs=0.05)


def test_scattered_dots_tell_no_direction() -> None:
    rng = np.random.default_rng(3)
    ink = np.zeros((600, 600), bool)
    ink[rng.integers(0, 600, 3000), rng.integers(0, 600, 3000)] = True
    skew = find_skew(ink)
    assert not skew.is_clear
    assert skew.angle_rad == 0


@pytest.mark.parametrize("factor", [1, 2])
def test_a_master_is_straight_and_lies_where_its_scan_lay(factor: int) -> None:
    straight = clean_lines(written(), 300, LineWish(ppi=300 * factor))
    master = clean_lines(turned(written(), 2.5), 300, LineWish(ppi=300 * factor))
    assert math.degrees(master.skew_rad) == pytest.approx(2.5, abs=0.05)
    assert master.ink.shape == straight.ink.shape == (700 * factor, 900 * factor)
    # The words stand where they stood before they were turned, to a pixel or so.
    both = np.count_nonzero(master.ink & straight.ink)
    assert both > 0.8 * np.count_nonzero(straight.ink)


def test_a_dark_lid_is_found_and_cut_away() -> None:
    pixels = written()
    lid = np.full((800, 1000), 20, np.uint8)
    lid[:700, 40:940] = np.minimum(pixels, 210)
    beyond = find_beyond(to_light(lid))
    assert beyond is not None
    top, left, bottom, right = find_page(beyond, (800, 1000))
    assert (top, bottom) == (pytest.approx(0, abs=6), pytest.approx(700, abs=12))
    assert (left, right) == (pytest.approx(40, abs=12), pytest.approx(940, abs=12))
    master = clean_lines(lid, 600)
    assert master.trimmed
    assert master.ink_share == pytest.approx(np.mean(pixels < 128), rel=0.25)


def test_text_that_runs_to_the_rim_is_no_lid() -> None:
    pixels = written()
    pixels[:, 200:206] = 0
    pixels[300:306] = 0
    assert find_beyond(to_light(pixels)) is None


def test_a_survey_measures_stroke_blur_and_contrast() -> None:
    light = np.full((600, 600), 0.8, np.float32)
    for x in range(40, 560, 40):
        light[40:560, x : x + 6] = 0.16
    light = cv2.GaussianBlur(light, (0, 0), 1.5)
    survey, paper = survey_page(np.asarray(light, np.float32))
    # Crofton takes every direction for equally likely; upright strokes come out wider by 4/pi.
    assert survey.stroke_px == pytest.approx(6 * 4 / math.pi, rel=0.1)
    assert survey.blur_px == pytest.approx(1.6, rel=0.2)
    assert survey.contrast == pytest.approx(0.75, rel=0.15)
    assert np.allclose(paper, 0.8, atol=0.02)


def test_the_width_of_a_stroke_is_twice_area_over_perimeter() -> None:
    """Of a disc of radius r that is r."""
    v, u = np.mgrid[-60:61, -60:61]
    assert measure_stroke(np.hypot(u, v) <= 50) == pytest.approx(50, rel=0.03)
    assert measure_stroke(np.zeros((20, 20), bool)) == 1.0


def test_a_large_stain_goes_but_for_its_hard_rim_and_the_writing_on_it_stays() -> None:
    pixels = written().astype(float)
    v, u = np.mgrid[0:700, 0:900]
    pixels *= 1 - 0.45 / (1 + np.exp((np.hypot(u - 450, v - 350) - 200) / 2))
    clean = find_ink(written())
    stained = find_ink(np.clip(pixels, 0, 255).astype(np.uint8))
    near = cv2.dilate((written() < 128).astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    assert np.count_nonzero((clean ^ stained) & near) < 0.03 * np.count_nonzero(clean)
    # Its hard rim may leave a line; of the stain itself next to nothing is left.
    rim = np.abs(np.hypot(u - 450, v - 350) - 200) < 10
    assert np.count_nonzero((clean ^ stained) & ~near & ~rim) < 0.01 * np.count_nonzero(clean)


def test_specks_go_and_full_stops_stay() -> None:
    page = written()
    stops = [(110 + 97 * k, 52 + 80 * k) for k in range(8)]
    for x, y in stops:
        cv2.circle(page, (x, y), 2, 0, -1, cv2.LINE_AA)
    rng = np.random.default_rng(5)
    for x, y in zip(rng.integers(5, 890, 300), rng.integers(5, 690, 300), strict=True):
        if page[y - 3 : y + 4, x - 3 : x + 4].min() > 250:
            page[y, x] = 170  # dust
    dusty = cv2.GaussianBlur(page, (0, 0), 0.7)
    ink = find_ink(np.asarray(dusty, np.uint8))
    assert all(ink[y - 1 : y + 2, x - 1 : x + 2].any() for x, y in stops)
    without = find_ink(
        np.asarray(cv2.GaussianBlur(np.where(page == 170, 255, page).astype(np.uint8), (0, 0), 0.7))
    )
    assert np.count_nonzero(ink ^ without) < 0.01 * np.count_nonzero(without)


def test_stronger_wishes_keep_less() -> None:
    grey = practice_page("heavy", 7).grey
    kept = [np.count_nonzero(find_ink(grey, LineWish(faint=faint))) for faint in ("keep", "usual", "drop")]
    assert kept[0] > kept[1] > kept[2]
    dropped = [clean_lines(grey, 600, LineWish(specks=specks)).specks for specks in ("keep", "usual", "drop")]
    assert dropped[0] < dropped[1] < dropped[2]
    strokes = ("thinner", "as they are", "bolder")
    wide = [np.count_nonzero(find_ink(grey, LineWish(strokes=one))) for one in strokes]
    assert wide[0] < wide[1] < wide[2]


def test_doubts_lie_in_the_master_worst_first() -> None:
    master = clean_lines(practice_page("heavy", 8).grey, 300)
    assert master.doubts
    assert [one.weight for one in master.doubts] == sorted(
        (one.weight for one in master.doubts), reverse=True
    )
    for one in master.doubts:
        assert 0 <= one.top < one.bottom <= master.ink.shape[0]
        assert 0 <= one.left < one.right <= master.ink.shape[1]
        assert 0 <= one.kept <= 1


def test_what_was_removed_is_told_by_place() -> None:
    page = written()
    v, u = np.mgrid[0:700, 0:900]
    blots = (0.5 * np.exp(-(((u % 60 - 30) ** 2 + (v % 60 - 30) ** 2) / 60)))[v < 350].reshape(350, 900)
    page[:350] = np.clip(page[:350] * (1 - blots), 0, 255)
    master = clean_lines(page, 600)
    upper, lower = sum(master.removed_by_cell[:24]), sum(master.removed_by_cell[24:])
    assert upper > 4 * lower
    assert master.removed_share == pytest.approx(np.mean(master.removed_by_cell), rel=0.02)


def screened(
    ruling: float, degrees: float, ppi: float = 600.0
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """A grey wedge, and its print by round dots of a screen."""
    v, u = np.mgrid[0:700, 0:900].astype(np.float32)
    wedge = 0.25 + 0.6 * u / 900
    turn, pitch = math.radians(degrees), ppi / ruling
    a = 2 * math.pi * (u * math.cos(turn) + v * math.sin(turn)) / pitch
    b = 2 * math.pi * (v * math.cos(turn) - u * math.sin(turn)) / pitch
    level = (np.cos(a) + np.cos(b)) / 4 + 0.5
    ranks = np.searchsorted(np.sort(level.ravel()[::97]), level) / len(level.ravel()[::97])
    dots = (ranks < wedge).astype(np.float32) * 0.85 + 0.05
    return np.asarray(cv2.GaussianBlur(dots, (0, 0), 0.8), np.float32), wedge * 0.85 + 0.05


@pytest.mark.parametrize(("ruling", "degrees"), [(65, 45), (85, 45), (133, 15), (150, 75), (100, 0)])
def test_the_ruling_of_a_screen_is_found(ruling: float, degrees: float) -> None:
    screen = find_screen(screened(ruling, degrees)[0], 600)
    assert screen is not None
    assert screen.ruling_lpi == pytest.approx(ruling, rel=0.01)
    off = (math.degrees(screen.angle_rad) - degrees) % 90
    assert min(off, 90 - off) < 1.0


def test_text_has_no_screen() -> None:
    assert find_screen(to_light(written(900, 1100)), 300) is None
    for number in (0, 3, 5):
        assert find_screen(to_light(practice_page("light", number).grey), 200) is None


def test_a_screen_is_taken_out_and_its_tones_stay() -> None:
    light, wedge = screened(85, 45)
    screen = find_screen(light, 600)
    assert screen is not None
    smooth = remove_screen(light, screen)
    inner = (slice(60, -60), slice(60, -60))
    assert np.std((smooth - wedge)[inner]) < 0.12 * np.std((light - wedge)[inner])
    assert np.abs((smooth - wedge)[inner]).mean() < 0.05


def test_letters_beside_a_screen_stay_sharp() -> None:
    light, _ = screened(85, 45)
    screen = find_screen(light, 600)
    assert screen is not None
    both = np.hstack([light, to_light(written())])
    smooth = remove_screen(both, screen)
    assert np.abs(smooth[:, 1000:] - both[:, 1000:]).mean() < 0.01


def test_tones_keep_colours_and_whiten_paper() -> None:
    v, u = np.mgrid[0:500, 0:700]
    paper = np.stack([235 - 40 * u / 700, 220 - 40 * u / 700, 180 - 50 * u / 700], axis=-1)
    pixels = np.ascontiguousarray(np.clip(paper, 0, 255).astype(np.uint8))
    pixels[200:300, 100:250] = (60, 90, 160)  # a blue plate
    for y in range(60, 180, 40):
        cv2.putText(pixels, "red ink here", (60, y), 0, 1.0, (170, 40, 40), 2, cv2.LINE_AA)
    master = clean_tones(pixels, 300, ToneWish(straighten=False))
    assert master.pixels.shape == (500, 700, 3)
    assert np.mean(master.pixels[400:] >= 250) > 0.98
    blue = master.pixels[250, 175].astype(int)
    assert blue[2] > blue[0] + 60
    assert master.screen is None


@pytest.mark.parametrize("shape", [(3, 3), (8, 400)])
def test_scans_that_are_too_small_are_refused(shape: tuple[int, int]) -> None:
    with pytest.raises(DomainError, match="shows no page"):
        clean_lines(np.full(shape, 255, np.uint8), 300)
    with pytest.raises(DomainError, match="shows no page"):
        clean_tones(np.full(shape, 255, np.uint8), 300)


def test_enlargements_beyond_reason_are_refused() -> None:
    with pytest.raises(DomainError, match="only looks sharp"):
        clean_lines(written(), 60)
    with pytest.raises(DomainError, match="million"):
        clean_lines(np.full((4000, 4000), 200, np.uint8), 150)
