"""Whole pieces of ink: which are kept, which are specks, and which a maker should look at.

In: the odds of ink of each pixel. Out: the kept ones, Doubt values. Never: the odds of a pixel (cleaning_ink.py).
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from doublure.trade.imaging.cleaning_ink import MIDDLE, STEPS
from doublure.trade.imaging.cleaning_paper import Bytes, Ink

#: Of these squares of the stroke's width: a dot, and a piece that tells where writing is.
_DOT, _WRITING = 1.5, 4.0
#: How far from writing a dot may stand, in stroke widths.
_NEAR = 10.0
_MOST_DOUBTS = 12
#: Side of a place to look at, in stroke widths.
_PLACE = 16.0


@dataclass(frozen=True, slots=True)
class Strictness:
    """What a piece must have to be kept.

    Attributes:
        mean: Mean log odds of its pixels.
        peak: Log odds of its surest pixel.
        lonely: What is added to the mean for a dot that stands apart.
    """

    mean: float
    peak: float
    lonely: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """A place to look at.

    Attributes:
        top, left, bottom, right: In pixels of the odds.
        weight: Pixels in it of which it is not clear whether they are ink, each by how unclear it is.
        kept: Share of what is in doubt that was kept as ink.
    """

    top: int
    left: int
    bottom: int
    right: int
    weight: float
    kept: float


def keep_ink(odds: Bytes, stroke_px: float, strict: Strictness) -> tuple[Bytes, int, tuple[Doubt, ...]]:
    """Take specks out of odds.

    A piece is what hangs together, corners included. It is kept where its odds are good in the mean and very good
    somewhere; a dot that stands apart from all writing must be surer than one beside it. So a full stop is judged by
    how dark and sharp it is against the ink near by, not by its size.

    Source:
        A weak threshold for what hangs together with what passes a strong one: J. Canny, IEEE Trans. Pattern Anal.
        Mach. Intell. 8 (1986), 679-698; from memory.

    Args:
        odds: As weigh_ink gives them; changed in place.
        stroke_px: Width of strokes in its pixels.
        strict: What is asked of a piece.

    Returns:
        The odds, in which no piece that was not kept reaches MIDDLE; how many pieces were dropped; doubts, worst
        first.
    """
    ink = (odds >= MIDDLE).astype(np.uint8)
    count, found, boxes, _ = cv2.connectedComponentsWithStats(ink, connectivity=8)
    labels, stats = np.asarray(found, np.int32), np.asarray(boxes, np.int32)
    if count < 2:
        return odds, 0, ()
    at = ink > 0
    label, odd = labels[at], odds[at]
    area = stats[:, cv2.CC_STAT_AREA].astype(np.float64)
    mean = (np.bincount(label, odd, count) / np.maximum(area, 1) - MIDDLE) / STEPS
    high = MIDDLE + round(strict.peak * STEPS)
    has_peak = np.bincount(label[odd >= high], minlength=count) > 0
    square = stroke_px * stroke_px
    kept = (mean >= strict.mean) & has_peak
    small = kept & (area < _DOT * square)
    weak = small & (mean < strict.mean + strict.lonely)
    if weak.any():
        kept &= ~(weak & _find_lonely(labels, kept & (area >= _WRITING * square), weak, _NEAR * stroke_px))
    kept[0] = True  # the paper
    doubts = _find_doubts(labels, stats, mean, area, kept, stroke_px)
    dropped = ~kept[labels]
    odds[dropped & at] = MIDDLE - 2 * STEPS
    return odds, int(np.count_nonzero(~kept)), doubts


def _find_lonely(labels: NDArray[np.int32], writing: Ink, small: Ink, reach_px: float) -> Ink:
    """Return which small pieces have no writing within reach."""
    scale = max(1, int(reach_px / 4))
    shape = (labels.shape[1] // scale + 1, labels.shape[0] // scale + 1)
    there = writing[labels].astype(np.uint8) * 255
    coarse = cv2.resize(there, shape, interpolation=cv2.INTER_AREA) > 0
    side = 2 * round(reach_px / scale) + 1
    near = cv2.dilate(coarse.astype(np.uint8), cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side)))
    rows, columns = np.nonzero(small[labels])
    y = np.minimum(rows * shape[1] // labels.shape[0], shape[1] - 1)
    x = np.minimum(columns * shape[0] // labels.shape[1], shape[0] - 1)
    lonely = np.ones(len(small), np.bool_)
    lonely[labels[rows, columns][near[y, x] > 0]] = False
    return lonely


def _find_doubts(
    labels: NDArray[np.int32],
    stats: NDArray[np.int32],
    mean: NDArray[np.float64],
    area: NDArray[np.float64],
    kept: Ink,
    stroke_px: float,
) -> tuple[Doubt, ...]:
    """Gather pieces whose odds are about even into places, worst first."""
    unclear = area * np.exp(-np.abs(mean - 1.2))
    unclear[0] = 0
    pick = np.flatnonzero(unclear >= max(3.0, 0.3 * stroke_px * stroke_px))
    pick = pick[np.exp(-np.abs(mean[pick] - 1.2)) > 0.3]
    if not len(pick):
        return ()
    cell = max(8, round(_PLACE * stroke_px))
    middle_y = (stats[pick, cv2.CC_STAT_TOP] + stats[pick, cv2.CC_STAT_HEIGHT] // 2) // cell
    middle_x = (stats[pick, cv2.CC_STAT_LEFT] + stats[pick, cv2.CC_STAT_WIDTH] // 2) // cell
    places, of_place = np.unique(np.stack([middle_y, middle_x]), axis=1, return_inverse=True)
    of_place = of_place.ravel()
    doubts = []
    for place in range(places.shape[1]):
        own = pick[of_place == place]
        top, left = stats[own, cv2.CC_STAT_TOP], stats[own, cv2.CC_STAT_LEFT]
        weight = float(unclear[own].sum())
        doubts.append(
            Doubt(
                int(top.min()),
                int(left.min()),
                int((top + stats[own, cv2.CC_STAT_HEIGHT]).max()),
                int((left + stats[own, cv2.CC_STAT_WIDTH]).max()),
                weight,
                float(unclear[own][kept[own]].sum()) / weight,
            )
        )
    doubts.sort(key=lambda doubt: -doubt.weight)
    return tuple(doubts[:_MOST_DOUBTS])
