"""How a page lies in its scan: turned by how much, and where it ends against a dark lid or table.

In: a small copy of the light, the ink of a page. Out: an angle, what is beyond the page, the page laid straight.
Never: judging ink, files.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from doublure.trade.imaging.cleaning_paper import Bytes, Floats, Ink

#: Pages that lie askew by more are turned by hand first.
MOST_SKEW_RAD = math.radians(8)
_COARSE_RAD, _FINE_RAD = math.radians(0.2), math.radians(0.01)
_POINTS = 150_000
#: How much more uneven the sums of rows must be in the best direction than they mostly are.
_CLEAR = 1.35
#: Darker than this share of the paper, and grown together with the rim of the picture: beyond the page.
_BEYOND = 0.42
_SMALL_PX = 700


@dataclass(frozen=True, slots=True)
class Skew:
    """How a page is turned.

    Attributes:
        angle_rad: Clockwise; turning it back by as much sets it straight. 0 where not clear.
        is_clear: False where rows of ink tell no direction.
    """

    angle_rad: float
    is_clear: bool


def find_skew(ink: Ink) -> Skew:
    """Return how the rows and columns of ink lie.

    The ink is summed along parallels in each direction; in that of the lines these sums are the most uneven.

    Source:
        W. Postl, Detection of linear oblique structures and skew scan in digitized documents, ICPR 1986,
        687-689; from memory. Rows and columns taken together, and when the answer is clear, are ours.
    """
    rows, columns = np.nonzero(ink)
    if len(rows) < 200:
        return Skew(0.0, False)
    few = np.linspace(0, len(rows) - 1, min(_POINTS, len(rows))).astype(np.int64)
    y, x = rows[few] - ink.shape[0] / 2, columns[few] - ink.shape[1] / 2
    # A step must show at the ends of a line: no direction is finer than half a pixel there.
    coarse = max(_COARSE_RAD, 1.0 / max(ink.shape))
    angles = np.arange(-MOST_SKEW_RAD, MOST_SKEW_RAD + coarse / 2, coarse)
    uneven = np.array([_unevenness(y, x, float(angle)) for angle in angles])
    best = int(uneven.argmax())
    if best in (0, len(angles) - 1) or uneven[best] < _CLEAR * float(np.median(uneven)):
        return Skew(0.0, False)
    fine = np.arange(angles[best] - coarse, angles[best] + coarse, max(_FINE_RAD, coarse / 20))
    closer = np.array([_unevenness(y, x, float(angle)) for angle in fine])
    # The middle of all directions that are nearly as good.
    good = closer - (closer.max() + float(np.median(closer))) / 2
    good = np.clip(good, 0, None)
    return Skew(
        float((fine * good).sum() / good.sum()) if good.sum() > 0 else float(fine[closer.argmax()]), True
    )


def _unevenness(y: NDArray[np.float64], x: NDArray[np.float64], angle: float) -> float:
    cos, sin = math.cos(angle), math.sin(angle)
    total = 0.0
    for across in (y * cos - x * sin, x * cos + y * sin):
        sums = np.bincount((across - across.min() + 0.5).astype(np.int64)).astype(np.float64)
        steps = np.diff(sums)
        total += float((steps * steps).sum())
    return total


def find_beyond(light: Floats) -> Ink | None:
    """Return what lies beyond the page's edges, in the light's shape, or None where the page fills the scan.

    Only what is much darker than the paper counts: a lid of the paper's own tone has no edge to go by.
    """
    height, width = light.shape
    scale = min(1.0, _SMALL_PX / max(height, width))
    size = (max(4, round(width * scale)), max(4, round(height * scale)))
    small = cv2.resize(light, size, interpolation=cv2.INTER_AREA)
    paper = float(np.percentile(small, 75))
    dark = (small < _BEYOND * paper).astype(np.uint8)
    # Text that runs to the rim is thinner than what lies beyond a page.
    thick = max(3, round(max(size) * 0.008)) | 1
    ringed = cv2.copyMakeBorder(dark, thick, thick, thick, thick, cv2.BORDER_REPLICATE)
    ringed = cv2.morphologyEx(ringed, cv2.MORPH_OPEN, np.ones((thick, thick), np.uint8))
    count, found = cv2.connectedComponents(ringed[thick:-thick, thick:-thick], connectivity=4)
    labels = np.asarray(found)
    if count < 2:
        return None
    rim = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    sides = [
        np.bincount(side, minlength=count) for side in (labels[0], labels[-1], labels[:, 0], labels[:, -1])
    ]
    beyond = np.zeros(labels.shape, np.uint8)
    for label in set(rim.tolist()) - {0}:
        # A stain at the rim is round; a lid runs along most of a side.
        shares = [side[label] / side.sum() for side in sides]
        if max(shares) > 0.5:
            beyond[labels == label] = 1
    share = float(beyond.mean())
    if not 0.002 < share < 0.8:
        return None
    grown = cv2.dilate(beyond, np.ones((5, 5), np.uint8))
    return np.asarray(cv2.resize(grown, (width, height), interpolation=cv2.INTER_NEAREST) > 0)


def find_page(beyond: Ink | None, shape: tuple[int, int]) -> tuple[int, int, int, int]:
    """Return top, left, bottom and right of the page, px; all of the scan where nothing is beyond it."""
    if beyond is None:
        return 0, 0, shape[0], shape[1]
    # Rows and columns that are mostly page.
    rows = np.flatnonzero(beyond.mean(axis=1) < 0.6)
    columns = np.flatnonzero(beyond.mean(axis=0) < 0.6)
    if not len(rows) or not len(columns):
        return 0, 0, shape[0], shape[1]
    return int(rows[0]), int(columns[0]), int(rows[-1]) + 1, int(columns[-1]) + 1


def lay_page(
    pixels: Bytes, turn_rad: float, page: tuple[int, int, int, int], scale: float, around: int
) -> tuple[Bytes, NDArray[np.float64]]:
    """Set a page straight, cut it out and enlarge it, in one step.

    Args:
        pixels: Grey or RGB.
        turn_rad: How far the page is turned clockwise.
        page: Top, left, bottom and right, px.
        scale: Pixels of the result to one of these.
        around: Value where nothing was scanned.

    Returns:
        The page; and the affine map, shape (2, 3), from its pixels to those of the scan.
    """
    top, left, bottom, right = page
    width, height = round((right - left) * scale), round((bottom - top) * scale)
    cos, sin = math.cos(turn_rad) / scale, math.sin(turn_rad) / scale
    u0, v0 = (width - 1) / 2, (height - 1) / 2
    x0, y0 = (left + right - 1) / 2, (top + bottom - 1) / 2
    back = np.array([[cos, -sin, x0 - cos * u0 + sin * v0], [sin, cos, y0 - sin * u0 - cos * v0]], np.float64)
    if scale == 1 and turn_rad == 0:
        return pixels[top:bottom, left:right], back
    laid = cv2.warpAffine(
        pixels,
        back,
        (width, height),
        flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=(around, around, around),
    )
    return np.asarray(laid, np.uint8), back
