"""What lies behind the ink: light made linear, the paper and its blotches, how strong, wide and sharp the ink is.

In: a grey picture as an array. Out: the paper's light under every pixel, Survey. Never: deciding what is ink.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Bytes = NDArray[np.uint8]
Ink = NDArray[np.bool_]

#: A scanner writes light by a curve near to this power (sRGB, IEC 61966-2-1, is close to it; from memory).
CURVE = 2.2
_LIGHT = ((np.arange(256) / 255.0) ** CURVE).astype(np.float32)
_LEAST_LIGHT = np.float32(1e-3)
#: Blank paper is looked for within this share of the longer side; larger solid black counts as dark paper.
_REACH = 1 / 20
_CLOSING_PX = 600
#: A page is surveyed in a copy with no more pixels than this.
SURVEY_PIXELS = 2_500_000
_LEAST_CONTRAST = 0.1
#: How wide the places are, in stroke widths, whose blank pixels tell the paper: coarse, then fine.
_WIDE, _NARROW = 16.0, 6.0
#: Blurs over more are measured in a smaller copy.
_WIDEST_BLUR_PX = 1.7


@dataclass(frozen=True, slots=True)
class Survey:
    """What a page is like.

    Attributes:
        contrast: Share of the light that the ink takes away.
        stroke_px: Mean width of its strokes.
        blur_px: Standard deviation of the blur of its edges.
        noise: Standard deviation of the paper's grain, share of the light.
        light: Light of clean paper, 0 to 1.
        blank: True where nothing stands out as ink.
    """

    contrast: float
    stroke_px: float
    blur_px: float
    noise: float
    light: float
    blank: bool


def to_light(grey: Bytes) -> Floats:
    """Return the light of each pixel, 0 to 1: light is what a lens averages, the bytes are not."""
    return _LIGHT[grey]


def as_floats(values: object) -> Floats:
    """Return an array as what it is, for the sake of the types."""
    return np.asarray(values, np.float32)


def box(values: Floats, side: int) -> Floats:
    """Return the mean over squares."""
    return np.asarray(
        cv2.boxFilter(values, -1, (side, side), normalize=True, borderType=cv2.BORDER_REFLECT_101), np.float32
    )


def survey_page(light: Floats) -> tuple[Survey, Floats]:
    """Return what a page is like, and the light of its paper at each pixel.

    Args:
        light: Shape (height, width), at least 8 each way.

    Source:
        First estimate by closing: J. Serra, Image Analysis and Mathematical Morphology, 1982; threshold between
        ink and paper: N. Otsu, IEEE Trans. Syst. Man Cybern. 9 (1979), 62-66; stroke width from Crofton's
        perimeter; all from memory. That the paper is then the mean of the blank pixels near by is ours.
    """
    rough = _close(light)
    soft = as_floats(cv2.GaussianBlur(light, (0, 0), 0.8))
    dark = np.clip(1 - soft / np.maximum(rough, _LEAST_LIGHT), 0, 1).astype(np.float32)
    level, _ = cv2.threshold((dark * 255).astype(np.uint8), 0, 255, cv2.THRESH_OTSU)
    standing_out = dark > max(level / 255, _LEAST_CONTRAST)
    blank = int(np.count_nonzero(standing_out)) < 12
    contrast = 0.5 if blank else float(np.percentile(dark[standing_out], 70))
    stroke = measure_stroke(dark > 0.5 * contrast)
    inked = cv2.dilate((dark > 0.3 * contrast).astype(np.uint8), np.ones((3, 3), np.uint8))
    paper = _average_blank(soft, rough, inked == 0, max(stroke, 2.0))
    darkness = as_floats(1 - light / np.maximum(paper, _LEAST_LIGHT))
    return Survey(
        contrast=contrast,
        stroke_px=stroke,
        blur_px=_measure_blur(darkness, contrast),
        noise=float(np.median(np.abs(cv2.Laplacian(darkness, cv2.CV_32F)))) / 1.5,
        light=float(np.percentile(paper, 80)),
        blank=blank,
    ), paper


def measure_stroke(ink: Ink) -> float:
    """Return the mean width of strokes, px: twice the area over the perimeter, 1 where there are none."""
    crossings = int(np.count_nonzero(ink[:, 1:] != ink[:, :-1])) + int(np.count_nonzero(ink[1:] != ink[:-1]))
    return max(1.0, 2 * int(np.count_nonzero(ink)) / (math.pi / 4 * crossings)) if crossings else 1.0


def _close(light: Floats) -> Floats:
    """Return the paper as it shows between what is dark and narrow."""
    height, width = light.shape
    scale = min(1.0, _CLOSING_PX / max(height, width))
    small = light
    if scale < 1:
        size = (max(2, round(width * scale)), max(2, round(height * scale)))
        small = as_floats(cv2.resize(light, size, interpolation=cv2.INTER_AREA))
    small = as_floats(cv2.GaussianBlur(small, (0, 0), 0.8))
    side = 2 * round(max(small.shape) * _REACH / 2) + 1
    closed = cv2.morphologyEx(
        small, cv2.MORPH_CLOSE, np.ones((side, side), np.uint8), borderType=cv2.BORDER_REPLICATE
    )
    closed = cv2.GaussianBlur(closed, (0, 0), max(1.0, side / 6))
    if scale < 1:
        closed = cv2.resize(closed, (width, height), interpolation=cv2.INTER_LINEAR)
    return np.asarray(closed, np.float32)


def _average_blank(light: Floats, rough: Floats, blank: Ink, stroke: float) -> Floats:
    """Return the mean of blank pixels near by, of fewer the more of them there are."""
    clear = blank.astype(np.float32)
    counted = light * clear
    paper = rough
    for strokes in (_WIDE, _NARROW):
        side = 2 * round(strokes * stroke / 2) + 1
        share = box(clear, side)
        mean = box(counted, side) / np.maximum(share, np.float32(1e-4))
        trust = np.clip((share - 0.1) / 0.2, 0, 1).astype(np.float32)
        paper = trust * mean + (1 - trust) * paper
    return np.asarray(paper, np.float32)


def _measure_blur(darkness: Floats, contrast: float) -> float:
    """Return the blur of edges: a step of height C, blurred by a Gaussian of sigma, climbs by C/(sigma sqrt(2 pi))."""
    soft = as_floats(cv2.GaussianBlur(darkness, (0, 0), 0.5))
    slope = steepness(soft)
    square = np.ones((7, 7), np.uint8)
    step = cv2.dilate(soft, square) - cv2.erode(soft, square)
    crest = cv2.dilate(slope, np.ones((3, 3), np.uint8))
    edge = (slope >= crest - 1e-6) & (step > 0.7 * contrast)
    if np.count_nonzero(edge) < 50:
        return 1.0
    blurs = step[edge] / (slope[edge] * math.sqrt(2 * math.pi))
    return float(np.clip(np.percentile(blurs, 30), 0.5, 12.0))


def _measure_wide_blur(darkness: Floats, contrast: float) -> float:
    """Return the blur of edges that may be wider than the places in which a step is looked for."""
    blur, factor, seen = 1.0, 1, darkness
    while True:
        # A step that is blurred over more than the place shows too little of its height, or none.
        blur = _measure_blur(seen, contrast)
        if factor == 8 or (blur < _WIDEST_BLUR_PX and _has_edges(seen, contrast)):
            return blur * factor
        factor *= 2
        seen = as_floats(
            cv2.resize(darkness, None, fx=1 / factor, fy=1 / factor, interpolation=cv2.INTER_AREA)
        )


def _has_edges(darkness: Floats, contrast: float) -> bool:
    square = np.ones((7, 7), np.uint8)
    step = as_floats(cv2.dilate(darkness, square)) - as_floats(cv2.erode(darkness, square))
    ink = int(np.count_nonzero(darkness > 0.5 * contrast))
    return int(np.count_nonzero(step > 0.7 * contrast)) > 0.2 * ink


def steepness(values: Floats) -> Floats:
    """Return how much values climb in a pixel."""
    across = cv2.Sobel(values, cv2.CV_32F, 1, 0, ksize=3) / 8
    down = cv2.Sobel(values, cv2.CV_32F, 0, 1, ksize=3) / 8
    return np.asarray(cv2.magnitude(across, down), np.float32)


def find_stroke_and_blur(grey: Bytes, paper: Floats, survey: Survey) -> tuple[float, float, float]:
    """Return stroke width, blur and noise in pixels of a scan that was surveyed in a smaller copy.

    They are measured in the three places, of about a million pixels each, that have the most edges.

    Args:
        grey: The scan.
        paper: Of the copy.
        survey: Of the copy.
    """
    scale = grey.shape[1] / paper.shape[1]
    side = min(1000, *grey.shape)
    tops, lefts = (range(0, length - side + 1, max(1, (length - side) // 4 or 1)) for length in grey.shape)
    spans: list[tuple[float, int, int]] = []
    for top in tops:
        for left in lefts:
            few = grey[top : top + side : 4, left : left + side : 4].astype(np.int16)
            spans.append((float(np.abs(np.diff(few, axis=1)).mean()), top, left))
    found = []
    for _, top, left in sorted(spans)[-3:]:
        part = paper[
            int(top / scale) : int((top + side) / scale) + 1,
            int(left / scale) : int((left + side) / scale) + 1,
        ]
        under = cv2.resize(part, (side, side), interpolation=cv2.INTER_LINEAR)
        light = to_light(grey[top : top + side, left : left + side])
        darkness = np.asarray(1 - light / np.maximum(under, _LEAST_LIGHT), np.float32)
        found.append(
            (
                measure_stroke(cv2.GaussianBlur(darkness, (0, 0), 0.8) > 0.5 * survey.contrast),
                _measure_wide_blur(darkness, survey.contrast),
                float(np.median(np.abs(cv2.Laplacian(darkness, cv2.CV_32F)))) / 1.5,
            )
        )
    stroke, blur, noise = np.median(np.array(found), axis=0)
    return float(stroke), float(blur), float(noise)
