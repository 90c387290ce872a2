"""A scan becomes a master of lines: the order of the steps, from grey pixels to black on nothing.

In: grey pixels, the scan's resolution, what is wished. Out: LineMaster. Never: files, words for the maker.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from doublure.errors import DomainError
from doublure.trade.imaging.cleaning_ink import MIDDLE, STEPS, weigh_ink
from doublure.trade.imaging.cleaning_lie import find_beyond, find_page, find_skew, lay_page
from doublure.trade.imaging.cleaning_paper import (
    SURVEY_PIXELS,
    Bytes,
    Floats,
    Ink,
    Survey,
    find_stroke_and_blur,
    survey_page,
    to_light,
)
from doublure.trade.imaging.cleaning_specks import Doubt, Strictness, keep_ink
from doublure.trade.imaging.cleaning_weights import WEIGHTS

#: Version of the method, for records and caches.
METHOD = "lines 1"
#: Edges blurred by more, px, hold no more than a smaller copy of this blur.
_BLUR_PX = 1.15
_LEAST_STROKE_PX = 3.0
_LEAST_SHRINK, _MOST_SHRINK = 1.5, 4.0
MOST_ENLARGEMENT = 8.0
MOST_PIXELS = 150_000_000
_LEAST_SIDE_PX = 16
#: The removed are told in so many cells each way.
GRID = (8, 6)

STRICTNESS = {
    "keep": Strictness(mean=0.2, peak=0.5, lonely=0.0),
    "usual": Strictness(mean=0.4, peak=1.0, lonely=0.0),
    "drop": Strictness(mean=1.0, peak=2.5, lonely=1.5),
}
#: Log odds added for faint ink that is to be kept or dropped.
FAINTNESS = {"keep": 1.0, "usual": 0.0, "drop": -1.0}
#: Share of a pixel that must be covered for it to be black.
COVER = {"thinner": 0.73, "as they are": 0.5, "bolder": 0.27}


@dataclass(frozen=True, slots=True)
class LineWish:
    """What is wished of a master of lines.

    Attributes:
        ppi: Least resolution of the master.
        specks, faint: Keys of STRICTNESS and FAINTNESS.
        strokes: Key of COVER.
        straighten: Set it straight where its skew is clear.
        trim: Cut what is beyond the page's edges.
    """

    ppi: float = 600.0
    specks: str = "usual"
    faint: str = "usual"
    strokes: str = "as they are"
    straighten: bool = True
    trim: bool = True


@dataclass(frozen=True, slots=True)
class LineMaster:
    """A master of lines and what was done for it.

    Attributes:
        ink: True where it is black.
        ppi: Its resolution.
        enlargement: Its pixels over those of the scan.
        skew_rad: By how much the page was turned, clockwise, and set straight.
        skew_is_clear: False where no direction showed.
        page: Top, left, bottom and right of the page in the scan, px.
        trimmed: True where something was beyond it.
        survey: Of the page, in pixels of the scan.
        ink_share: Of the page that is ink now.
        removed_share: Of the page that was darker than paper and is none now, edges of ink apart.
        removed_by_cell: The same for each cell of GRID, row by row, in the scan as it lies.
        blotch_share: How much darker the darkest twentieth of the paper was than the lightest half.
        specks: Pieces that were dropped.
        doubts: Places to look at, worst first, in pixels of the master.
    """

    ink: Ink
    ppi: float
    enlargement: float
    skew_rad: float
    skew_is_clear: bool
    page: tuple[int, int, int, int]
    trimmed: bool
    survey: Survey
    ink_share: float
    removed_share: float
    removed_by_cell: tuple[float, ...]
    blotch_share: float
    specks: int
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True)
class Ready:
    """A scan, or a smaller copy of it, whose ink can be weighed.

    Attributes:
        light, paper: Of the copy.
        survey: In pixels of the scan.
        scaled: In pixels of the copy.
        shrink: Pixels of the scan to one of the copy.
    """

    light: Floats
    paper: Floats
    survey: Survey
    scaled: Survey
    shrink: float


@dataclass(frozen=True, slots=True)
class Sorted:
    """The odds of ink of a scan as it lies, and what came of finding them; see LineMaster.

    Attributes:
        odds: In a copy of the scan made smaller by `shrink`.
        shrink: Pixels of the scan to one of the odds.
        beyond: What is beyond the page, in the odds' shape, or None.
    """

    odds: Bytes
    shrink: float
    beyond: Ink | None
    survey: Survey
    removed_share: float
    removed_by_cell: tuple[float, ...]
    blotch_share: float
    specks: int
    doubts: tuple[Doubt, ...]


def clean_lines(grey: Bytes, scan_ppi: float, wish: LineWish | None = None) -> LineMaster:
    """Return a master of lines.

    Args:
        grey: Pixels of a scan, shape (height, width).
        scan_ppi: Its resolution.
        wish: What is wished.

    Raises:
        DomainError: The scan is too small, or the master would be too large.
    """
    wish = wish or LineWish()
    _check_size(grey)
    enlargement = max(1.0, wish.ppi / scan_ppi)
    if enlargement > MOST_ENLARGEMENT:
        raise DomainError(
            f"{wish.ppi:g} ppi from a scan of {scan_ppi:g} ppi is {enlargement:.1f} times as fine; more than "
            f"{MOST_ENLARGEMENT:g} times only looks sharp: scan it finer",
            "ppi",
        )
    if grey.size * enlargement**2 > MOST_PIXELS:
        raise DomainError(
            f"the master would have {grey.size * enlargement**2 / 1e6:.0f} million pixels; at most "
            f"{MOST_PIXELS / 1e6:.0f} million are made: ask for fewer ppi",
            "ppi",
        )
    found = sort_ink(grey, wish)
    skew = find_skew(found.odds >= MIDDLE)
    turn = skew.angle_rad if wish.straighten else 0.0
    page = find_page(found.beyond if wish.trim else None, (found.odds.shape[0], found.odds.shape[1]))
    cover = _to_cover(found.odds)
    scale = found.shrink * enlargement
    # Enlarged in grey, and only then made black or white.
    laid, place = lay_page(cover, turn, page, scale, 0)
    ink = laid >= round(255 * COVER[wish.strokes])
    doubts = tuple(_move(doubt, place, ink.shape) for doubt in found.doubts)
    return LineMaster(
        ink=ink,
        ppi=scan_ppi * enlargement,
        enlargement=enlargement,
        skew_rad=turn,
        skew_is_clear=skew.is_clear,
        page=(*(round(side * found.shrink) for side in page),),  # type: ignore[arg-type]
        trimmed=wish.trim and found.beyond is not None,
        survey=found.survey,
        ink_share=float(np.count_nonzero(ink)) / ink.size,
        removed_share=found.removed_share,
        removed_by_cell=found.removed_by_cell,
        blotch_share=found.blotch_share,
        specks=found.specks,
        doubts=doubts,
    )


def sort_ink(grey: Bytes, wish: LineWish) -> Sorted:
    """Return the odds of ink of a scan as it lies, its specks taken out."""
    ready = prepare_page(grey)
    light, scaled, shrink = ready.light, ready.scaled, ready.shrink
    odds = np.zeros(light.shape, np.uint8) if scaled.blank else weigh_ink(light, ready.paper, scaled, WEIGHTS)
    darker = odds > 0
    beyond = find_beyond(light)
    if beyond is not None:
        odds[beyond] = 0
        darker &= ~beyond
    shift = round(FAINTNESS[wish.faint] * STEPS)
    if shift:
        odds = np.where(odds > 0, np.clip(odds.astype(np.int16) + shift, 1, 255), 0).astype(np.uint8)
    odds, specks, doubts = keep_ink(odds, scaled.stroke_px, STRICTNESS[wish.specks])
    kept = cv2.dilate((odds >= MIDDLE).astype(np.uint8), np.ones((5, 5), np.uint8))
    removed = darker & (kept == 0)
    cells = _share_by_cell(removed)
    tones = np.percentile(ready.paper[::4, ::4], [5, 75])
    return Sorted(
        odds,
        shrink,
        beyond,
        ready.survey,
        float(np.count_nonzero(removed)) / removed.size,
        cells,
        max(0.0, 1 - float(tones[0]) / max(float(tones[1]), 1e-3)),
        specks,
        doubts,
    )


def find_ink(grey: Bytes, wish: LineWish | None = None) -> Ink:
    """Return the ink of a scan in its own pixels, as it lies: neither set straight nor cut nor enlarged.

    Raises:
        DomainError: As for clean_lines.
    """
    wish = wish or LineWish()
    _check_size(grey)
    found = sort_ink(grey, wish)
    cover = _to_cover(found.odds)
    if cover.shape != grey.shape:
        cover = np.asarray(cv2.resize(cover, grey.shape[::-1], interpolation=cv2.INTER_CUBIC), np.uint8)
    return cover >= round(255 * COVER[wish.strokes])


def _check_size(grey: Bytes) -> None:
    if min(grey.shape) < _LEAST_SIDE_PX:
        raise DomainError(f"a scan of {grey.shape[1]} x {grey.shape[0]} pixels shows no page", "grey")


def prepare_page(grey: Bytes) -> Ready:
    """Return a scan ready to have its ink weighed: in a smaller copy where its blur leaves nothing to lose."""
    height, width = grey.shape
    scale = math.sqrt(grey.size / SURVEY_PIXELS)
    if scale <= 1:
        light = to_light(grey)
        survey, paper = survey_page(light)
    else:
        size = (round(width / scale), round(height / scale))
        copy = cv2.resize(grey, size, interpolation=cv2.INTER_AREA)
        survey, paper = survey_page(to_light(np.asarray(copy, np.uint8)))
        if not survey.blank:
            stroke, blur, noise = find_stroke_and_blur(grey, paper, survey)
            survey = replace(survey, stroke_px=stroke, blur_px=blur, noise=noise)
        light = to_light(grey)
    shrink = min(survey.blur_px / _BLUR_PX, survey.stroke_px / _LEAST_STROKE_PX, _MOST_SHRINK)
    if shrink < _LEAST_SHRINK:
        shrink = 1.0
    else:
        size = (max(8, round(width / shrink)), max(8, round(height / shrink)))
        light = np.asarray(cv2.resize(light, size, interpolation=cv2.INTER_AREA), np.float32)
        shrink = width / size[0]
    if paper.shape != light.shape:
        paper = np.asarray(cv2.resize(paper, light.shape[::-1], interpolation=cv2.INTER_LINEAR), np.float32)
    scaled = replace(survey, stroke_px=survey.stroke_px / shrink, blur_px=max(0.5, survey.blur_px / shrink))
    return Ready(light, paper, survey, scaled, shrink)


def _share_by_cell(removed: Ink) -> tuple[float, ...]:
    rows, columns = GRID
    small = cv2.resize(removed.astype(np.float32), (columns * 8, rows * 8), interpolation=cv2.INTER_AREA)
    return tuple(float(share) for share in small.reshape(rows, 8, columns, 8).mean(axis=(1, 3)).ravel())


def _to_cover(odds: Bytes) -> Bytes:
    """Return how far each pixel is covered with ink, 255 for all of it."""
    table = 255 / (1 + np.exp(-(np.arange(256) - MIDDLE) / STEPS))
    table[0] = 0
    return np.asarray(np.round(table).astype(np.uint8)[odds])


def _move(doubt: Doubt, back: NDArray[np.float64], shape: tuple[int, ...]) -> Doubt:
    """Return a doubt in pixels of the master."""
    forth = cv2.invertAffineTransform(back)
    corners = np.array(
        [(x, y, 1) for x in (doubt.left, doubt.right) for y in (doubt.top, doubt.bottom)], np.float64
    )
    places = corners @ forth.T
    left, top = np.floor(places.min(axis=0)).astype(int)
    right, bottom = np.ceil(places.max(axis=0)).astype(int)
    return Doubt(
        int(np.clip(top, 0, shape[0] - 1)),
        int(np.clip(left, 0, shape[1] - 1)),
        int(np.clip(bottom, 1, shape[0])),
        int(np.clip(right, 1, shape[1])),
        doubt.weight,
        doubt.kept,
    )
