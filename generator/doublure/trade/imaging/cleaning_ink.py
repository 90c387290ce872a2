"""Tells ink from paper, pixel by pixel: how dark against the ink near by, how sharp, what stands round it.

In: light, paper and survey of a page. Out: the odds of ink of each pixel. Never: the paper (cleaning_paper.py),
whole specks and strokes (cleaning_specks.py).

Each pixel that is at all darker than its paper is described by SEEN numbers, all relative to the paper and to the
ink near by: 37 pixels round it, 5 with their blur taken back, 24 means farther out, and 10 that say how strong and
sharp the ink of the place is.
A small network (two hidden layers) turns them into log odds. Its weights are ours, found on pages whose truth is
known (tests/train_cleaning.py); it knows nothing of letters, for it sees 17 pixels each way.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from doublure.trade.imaging.cleaning_paper import Bytes, Floats, Survey, as_floats, box, steepness
from doublure.trade.imaging.cleaning_weights import Weights

#: Log odds are kept as bytes: this many steps each, about the middle.
STEPS, MIDDLE = 10, 128
#: Rows worked on at once, and how many more are looked at above and below.
_ROWS, _ROUND = 512, 48
_LEAST = 0.15
_NEAR = tuple((y, x) for y in range(-3, 4) for x in range(-3, 4) if y * y + x * x <= 11)
_FAR = tuple((4 * y, 4 * x) for y in range(-2, 3) for x in range(-2, 3) if (y, x) != (0, 0))
_CROSS = ((0, 0), (-1, 0), (1, 0), (0, -1), (0, 1))
_EDGE = 8
SEEN = len(_NEAR) + len(_CROSS) + len(_FAR) + 10


@dataclass(frozen=True, slots=True)
class Place:
    """Pixels of a strip of a page, described.

    Attributes:
        rows, columns: Where they are in the strip.
        seen: What is seen at each, shape (n, SEEN).
    """

    rows: NDArray[np.int64]
    columns: NDArray[np.int64]
    seen: Floats


def weigh_ink(light: Floats, paper: Floats, survey: Survey, weights: Weights) -> Bytes:
    """Return the log odds of ink at each pixel, MIDDLE where it is as likely as not, STEPS for each unit.

    Args:
        light: Of the page, shape (height, width).
        paper: Of the paper, the same shape.
        survey: Of the page.
        weights: Of the network.
    """
    height, width = light.shape
    odds = np.zeros((height, width), np.uint8)
    for top in range(0, height, _ROWS):
        first, last = max(0, top - _ROUND), min(height, top + _ROWS + _ROUND)
        begin, end = top - first, min(height, top + _ROWS) - first
        place = describe(light[first:last], paper[first:last], survey, begin, end)
        told = weights.apply(place.seen)
        strip = odds[first:last]
        strip[place.rows, place.columns] = np.clip(np.round(told * STEPS) + MIDDLE, 1, 255).astype(np.uint8)
    return odds


def describe(light: Floats, paper: Floats, survey: Survey, begin: int = 0, end: int | None = None) -> Place:
    """Return what is seen at every pixel that may be ink, from row begin up to, not including, end."""
    darkness = as_floats(1 - light / np.maximum(paper, np.float32(1e-3)))
    sharp = _sharpen(darkness, survey.blur_px)
    ink_near = np.maximum(_power_mean(sharp, 61, 0.002, survey.contrast), np.float32(0.06))
    against_ink = as_floats(np.clip(darkness / ink_near, -0.5, 1.6))
    may_be = cv2.dilate((against_ink > _LEAST).astype(np.uint8), np.ones((3, 3), np.uint8))
    may_be[:begin] = 0
    may_be[end if end is not None else len(may_be) :] = 0
    rows, columns = np.nonzero(may_be)
    seen = np.empty((len(rows), SEEN), np.float32)
    padded = as_floats(cv2.copyMakeBorder(against_ink, _EDGE, _EDGE, _EDGE, _EDGE, cv2.BORDER_REFLECT_101))
    crisp = cv2.copyMakeBorder(sharp / ink_near, _EDGE, _EDGE, _EDGE, _EDGE, cv2.BORDER_REFLECT_101)
    wide = padded.shape[1]
    at = (rows + _EDGE) * wide + columns + _EDGE
    column = 0
    for values, steps in ((padded, _NEAR), (crisp, _CROSS), (box(padded, 4), _FAR)):
        flat = values.ravel()
        for y, x in steps:
            seen[:, column] = flat[at + (y * wide + x)]
            column += 1
    at = rows * darkness.shape[1] + columns
    for values in (
        _power_mean(sharp, 15, 0.0002, survey.contrast) / ink_near,
        cv2.dilate(steepness(darkness) / ink_near, np.ones((7, 7), np.uint8)),
        box(np.clip(against_ink, 0, 1.2), 31),
        ink_near,
        ink_near / (2 * max(survey.contrast, 0.05)),
        np.minimum(paper / max(survey.light, 1e-3), 1.3),
        box(np.abs(against_ink), 9),
    ):
        seen[:, column] = values.ravel()[at]
        column += 1
    seen[:, column] = survey.blur_px
    seen[:, column + 1] = 5 * survey.noise / max(survey.contrast, 0.05)
    seen[:, column + 2] = min(survey.stroke_px, 15) / 10
    return Place(rows, columns, seen)


def _sharpen(darkness: Floats, blur_px: float) -> Floats:
    """Return darkness with its blur taken back twice.

    Source:
        P. H. van Cittert, Zeitschrift für Physik 69 (1931), 298-308; from memory.
    """
    sigma = min(max(0.5, 0.8 * blur_px), 2.5)
    sharp = darkness
    for _ in range(2):
        sharp = np.clip(sharp + darkness - cv2.GaussianBlur(sharp, (0, 0), sigma), -0.1, 1.1)
    return np.asarray(np.clip(sharp, 0, 1), np.float32)


def _power_mean(values: Floats, side: int, weight: float, usual: float) -> Floats:
    """Return the mean of values near by in which the dark count most, and the usual value where all is light."""
    fourth = values * values
    fourth *= fourth
    return (box(fourth * values, side) + np.float32(weight * usual)) / (
        box(fourth, side) + np.float32(weight)
    )
