"""A scan becomes a master in greys or colours: paper evened to white, pictures and coloured ink kept.

In: pixels, the scan's resolution, what is wished. Out: ToneMaster. Never: files, words for the maker.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np

from doublure.errors import DomainError
from doublure.trade.imaging.cleaning_lie import find_beyond, find_page, find_skew, lay_page
from doublure.trade.imaging.cleaning_paper import (
    CURVE,
    SURVEY_PIXELS,
    Bytes,
    Floats,
    Ink,
    Survey,
    as_floats,
    box,
    survey_page,
    to_light,
)
from doublure.trade.imaging.cleaning_screen import Screen, find_screen, remove_screen

METHOD = "tones 1"
MOST_PIXELS = 150_000_000
MOST_ENLARGEMENT = 4.0
_LEAST_SIDE_PX = 16
_ROWS = 512
#: Darker than this share below the page's own light, over a large place: a picture, whose tones stay.
_PICTURE = 0.25
_PICTURE_SHARE = 0.04
#: Light that counts as white paper.
_WHITE = 0.9
_CODED = (np.round(255 * (np.arange(4097) / 4096) ** (1 / CURVE))).astype(np.uint8)


@dataclass(frozen=True, slots=True)
class ToneWish:
    """What is wished: least resolution (None for the scan's), the screen taken out, set straight, trimmed."""

    ppi: float | None = None
    without_screen: bool = False
    straighten: bool = True
    trim: bool = True


@dataclass(frozen=True, slots=True)
class ToneMaster:
    """A master in greys or colours and what was done for it.

    Attributes:
        pixels: Grey, shape (height, width), or RGB.
        ppi: Its resolution.
        enlargement: Its pixels over those of the scan.
        skew_rad, skew_is_clear, page, trimmed, survey: As in LineMaster.
        blotch_share: How much darker the darkest twentieth of the paper was than the lightest half.
        picture_share: Of the page that was taken for pictures, whose tones were left.
        screen: Halftone screen that shows in the scan, or None.
        screen_removed: True where it was taken out.
    """

    pixels: Bytes
    ppi: float
    enlargement: float
    skew_rad: float
    skew_is_clear: bool
    page: tuple[int, int, int, int]
    trimmed: bool
    survey: Survey
    blotch_share: float
    picture_share: float
    screen: Screen | None
    screen_removed: bool


def clean_tones(pixels: Bytes, scan_ppi: float, wish: ToneWish | None = None) -> ToneMaster:
    """Return a master in greys or colours.

    Args:
        pixels: Of a scan, grey or RGB; colours stay colours.
        scan_ppi: Its resolution.
        wish: What is wished.

    Raises:
        DomainError: The scan is too small, or the master would be too large.
    """
    wish = wish or ToneWish()
    height, width = pixels.shape[:2]
    if min(height, width) < _LEAST_SIDE_PX:
        raise DomainError(f"a scan of {width} x {height} pixels shows no page", "pixels")
    enlargement = max(1.0, (wish.ppi or scan_ppi) / scan_ppi)
    if enlargement > MOST_ENLARGEMENT or height * width * enlargement**2 > MOST_PIXELS:
        raise DomainError(
            f"{wish.ppi:g} ppi from a scan of {scan_ppi:g} ppi would make {height * width * enlargement**2 / 1e6:.0f} "
            f"million pixels, {enlargement:.1f} times as fine; at most {MOST_PIXELS / 1e6:.0f} million and "
            f"{MOST_ENLARGEMENT:g} times are made",
            "ppi",
        )
    scale = min(1.0, math.sqrt(SURVEY_PIXELS / (height * width)))
    size = (max(8, round(width * scale)), max(8, round(height * scale)))
    copy = to_light(np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), np.uint8))
    planes = [copy] if copy.ndim == 2 else [np.ascontiguousarray(copy[..., k]) for k in range(3)]
    grey = copy if copy.ndim == 2 else np.asarray(copy @ np.array([0.2126, 0.7152, 0.0722], np.float32))
    survey, paper = survey_page(grey)
    beyond = find_beyond(grey)
    picture = _find_pictures(grey, paper, beyond)
    ground = [_find_ground(plane, picture) for plane in planes]
    ink = (1 - grey / np.maximum(paper, 1e-3)) > 0.5 * survey.contrast
    if beyond is not None:
        ink &= ~beyond
    skew = find_skew(np.asarray(ink)) if not survey.blank else find_skew(np.zeros_like(grey, np.bool_))
    screen = find_screen(_middle_light(pixels), scan_ppi)
    wide_picture = None
    if picture.any():
        wide_picture = as_floats(cv2.resize(picture, (width, height), interpolation=cv2.INTER_LINEAR))
    laid = _even_out(pixels, ground, screen if wish.without_screen else None, wide_picture)
    if beyond is not None and wish.trim:
        outside = cv2.resize(beyond.astype(np.uint8), (width, height), interpolation=cv2.INTER_NEAREST) > 0
        laid[outside] = 255
    page = find_page(beyond if wish.trim else None, (grey.shape[0], grey.shape[1]))
    in_scan = tuple(round(side / scale) for side in page)
    box_px = (in_scan[0], in_scan[1], min(height, in_scan[2]), min(width, in_scan[3]))
    turn = skew.angle_rad if wish.straighten else 0.0
    tones = np.percentile(paper, [5, 75])
    return ToneMaster(
        pixels=lay_page(laid, turn, box_px, enlargement, 255)[0],
        ppi=scan_ppi * enlargement,
        enlargement=enlargement,
        skew_rad=turn,
        skew_is_clear=skew.is_clear,
        page=box_px,
        trimmed=wish.trim and beyond is not None,
        survey=survey,
        blotch_share=max(0.0, 1 - float(tones[0]) / max(float(tones[1]), 1e-3)),
        picture_share=float(picture.mean()),
        screen=screen,
        screen_removed=wish.without_screen and screen is not None,
    )


def _middle_light(pixels: Bytes) -> Floats:
    """Return the light of the middle of a scan, where a screen is looked for; enough for some tiles."""
    height, width = pixels.shape[:2]
    high, wide = min(height, 4096), min(width, 4096)
    part = pixels[(height - high) // 2 :, (width - wide) // 2 :][:high, :wide]
    # The least of the three shows every coloured screen.
    return to_light(part if part.ndim == 2 else np.asarray(part.min(axis=2)))


def _find_pictures(grey: Floats, paper: Floats, beyond: Ink | None) -> Floats:
    """Return 1 where the page is dark over a large place, 0 elsewhere, with soft edges."""
    surface = _fit_surface(grey, np.ones_like(grey, np.bool_) if beyond is None else ~beyond)
    side = max(5, 2 * round(max(grey.shape) * 0.004) + 1)
    dark = (box(grey, side) < (1 - _PICTURE) * surface).astype(np.uint8)
    if beyond is not None:
        dark[beyond] = 0
    reach = max(5, round(max(grey.shape) * 0.012)) | 1
    closed = cv2.morphologyEx(dark, cv2.MORPH_CLOSE, np.ones((reach, reach), np.uint8))
    wide = max(9, round(min(grey.shape) * _PICTURE_SHARE)) | 1
    large = cv2.morphologyEx(closed, cv2.MORPH_OPEN, np.ones((wide, wide), np.uint8))
    return np.asarray(cv2.GaussianBlur(large.astype(np.float32), (0, 0), max(1.0, reach / 3)), np.float32)


def _fit_surface(light: Floats, use: Ink) -> Floats:
    """Return the light of the page as a surface of the second order through what is brightest.

    Fitted three times by least squares, each time to the points that lie less than an eighth below the last fit.
    """
    step = max(1, round(math.sqrt(light.size / 20_000)))
    v, u = np.mgrid[0 : light.shape[0] : step, 0 : light.shape[1] : step]
    height, width = light.shape

    def powers(y: Floats, x: Floats) -> Floats:
        y, x = 2 * y / height - 1, 2 * x / width - 1
        return np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)

    values = light[::step, ::step].ravel()
    usable = use[::step, ::step].ravel()
    base = powers(v.ravel().astype(np.float32), u.ravel().astype(np.float32))
    least = 0.75 * float(np.percentile(values[usable], 85)) if usable.any() else 0.0
    good = usable & (values >= least)
    fit = np.array([float(values.max()), 0, 0, 0, 0, 0])
    for _ in range(3):
        if np.count_nonzero(good) < 50:
            break
        fit = np.linalg.lstsq(base[good], values[good], rcond=None)[0]
        shown = base @ fit
        good = usable & (values > 0.875 * shown) & (values < 1.2 * shown)
    rows = np.arange(height, dtype=np.float32)[:, None] + np.zeros((1, width), np.float32)
    columns = np.arange(width, dtype=np.float32)[None, :] + np.zeros((height, 1), np.float32)
    surface = np.zeros(light.shape, np.float32)
    for first in range(0, height, _ROWS):
        part = slice(first, first + _ROWS)
        surface[part] = powers(rows[part], columns[part]) @ fit.astype(np.float32)
    return np.asarray(np.clip(surface, 0.02, 1.2), np.float32)


def _find_ground(plane: Floats, picture: Floats) -> Floats:
    """Return the paper of one colour: what lies near by, but under pictures the page's own light."""
    _, near = survey_page(plane)
    if not picture.any():
        return near
    surface = _fit_surface(plane, picture < 0.5)
    return np.asarray(picture * surface + (1 - picture) * near, np.float32)


def _even_out(pixels: Bytes, ground: list[Floats], screen: Screen | None, picture: Floats | None) -> Bytes:
    """Return pixels over their paper, a strip at a time; outside pictures nearly white becomes white."""
    height, width = pixels.shape[:2]
    out = np.empty_like(pixels)
    halo = 0 if screen is None else math.ceil(screen.pitch_px * 8)
    for top in range(0, height, _ROWS):
        first, last = max(0, top - halo), min(height, top + _ROWS + halo)
        light = to_light(pixels[first:last])
        if screen is not None:
            light = remove_screen(light, screen)
        rows = min(height, top + _ROWS) - top
        light = light[top - first : top - first + rows]
        white = as_floats(_WHITE)
        if picture is not None:
            white = as_floats(_WHITE + (1 - _WHITE) * picture[top : top + rows])
        for k, paper in enumerate(ground):
            under = _stretch(paper, top, rows, height, width)
            plane = light if light.ndim == 2 else light[..., k]
            share = np.clip(plane / (np.maximum(under, 1e-3) * white), 0, 1)
            coded = _CODED[(share * 4096).astype(np.int16)]
            if out.ndim == 2:
                out[top : top + rows] = coded
            else:
                out[top : top + rows, :, k] = coded
    return out


def _stretch(paper: Floats, top: int, rows: int, height: int, width: int) -> Floats:
    """Return some rows of a map that was made in a smaller copy."""
    fy, fx = paper.shape[0] / height, paper.shape[1] / width
    if fy == 1 and fx == 1:
        return paper[top : top + rows]
    back = np.array([[fx, 0, fx / 2 - 0.5], [0, fy, (top + 0.5) * fy - 0.5]], np.float64)
    return np.asarray(
        cv2.warpAffine(
            paper,
            back,
            (width, rows),
            flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
            borderMode=cv2.BORDER_REPLICATE,
        ),
        np.float32,
    )
