"""Finds round dark spots in a picture of a register target, and tells solid discs from rings.

In: a grey picture as an array. Out: the picture with its light evened out, Spot values. Never: which mark a
spot is (target_match.py), positions better than a fraction of a pixel (target_fit.py).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]

#: Shares of the light by which a spot may be darker than what is round it; each is tried.
_LEVELS = (0.03, 0.05, 0.08, 0.12, 0.17, 0.23, 0.3, 0.4, 0.52, 0.66)
#: The light is taken from a picture of this many pixels along its longer side.
_LIGHT_PX = 400
#: Nothing wider than this share of the longer side is a mark.
_LIGHT_SHARE = 0.1
_LEAST_AREA_PX = 28.0
#: A spot whose area differs more from the ellipse with its moments is none.
_ELLIPSE_SLACK = 0.12
_LEAST_ASPECT = 0.55
_UNIT = np.stack([np.cos(np.arange(24) * math.pi / 12), np.sin(np.arange(24) * math.pi / 12)])


@dataclass(frozen=True, slots=True)
class Spot:
    """A round dark spot.

    Attributes:
        x_px, y_px: Its middle; the middle of the first pixel is 0.
        size_px: Diameter of a circle with the area of its outline.
        is_ring: True where its middle is lighter than what is round the middle.
        contrast: Share of the light that it takes away.
    """

    x_px: float
    y_px: float
    size_px: float
    is_ring: bool
    contrast: float


@dataclass(frozen=True, slots=True)
class _Outline:
    spot: Spot
    off_half: float
    """How far the level of the outline is from halfway between the spot and its surroundings, as a share."""


def even_out(image: Floats) -> Floats:
    """Return the picture divided by the light behind it, so that blank paper is about 1.

    Dark things narrower than a tenth of the longer side do not count as light.

    Args:
        image: Grey, any positive scale, shape (height, width).

    Returns:
        The same shape, 0 to 4.

    Source:
        Closing as an estimate of the background: J. Serra, Image Analysis and Mathematical Morphology, 1982;
        from memory.
    """
    height, width = image.shape
    scale = min(1.0, _LIGHT_PX / max(height, width))
    small = cv2.resize(
        image, (max(1, round(width * scale)), max(1, round(height * scale))), interpolation=cv2.INTER_AREA
    )
    small = cv2.GaussianBlur(small, (0, 0), 1.0)
    reach = max(3, 2 * int(max(small.shape) * _LIGHT_SHARE / 2) + 1)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach))
    light = cv2.morphologyEx(small, cv2.MORPH_CLOSE, disc, borderType=cv2.BORDER_REPLICATE)
    light = cv2.GaussianBlur(light, (0, 0), reach / 6)
    light = np.maximum(light, max(1e-4, 0.02 * float(light.max())))
    back = cv2.resize(light, (width, height), interpolation=cv2.INTER_CUBIC)
    return np.clip(image / np.maximum(back, 1e-6), 0, 4).astype(np.float32)


def find_spots(even: Floats) -> tuple[Spot, ...]:
    """Return the round dark spots of an evened picture, larger ones first.

    Args:
        even: As even_out returns it, or a smaller version of it.

    Returns:
        Spots at least about 6 px wide.
    """
    dark = np.asarray(1 - cv2.GaussianBlur(even, (0, 0), 0.8), dtype=np.float32)
    found: list[_Outline] = []
    for level in _LEVELS:
        found.extend(_outlines(dark, level))
    # An outline halfway up the edge of its spot has the spot's own size.
    found.sort(key=lambda outline: outline.off_half)
    kept: list[Spot] = []
    cells: dict[tuple[int, int], list[Spot]] = {}
    for outline in found:
        spot = outline.spot
        cell = (int(spot.x_px) // 16, int(spot.y_px) // 16)
        near = (
            other
            for i in (-1, 0, 1)
            for j in (-1, 0, 1)
            for other in cells.get((cell[0] + i, cell[1] + j), ())
        )
        reach = 0.35 * spot.size_px
        if any(math.hypot(other.x_px - spot.x_px, other.y_px - spot.y_px) < reach for other in near):
            continue
        kept.append(spot)
        cells.setdefault(cell, []).append(spot)
    return tuple(sorted(kept, key=lambda spot: -spot.size_px))


def _outlines(dark: Floats, level: float) -> Iterator[_Outline]:
    height, width = dark.shape
    outlines, tree = cv2.findContours(
        (dark > level).astype(np.uint8), cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE
    )
    if tree is None:
        return
    for outline, links in zip(outlines, tree[0], strict=True):
        if links[3] >= 0 or len(outline) < 16:
            continue  # the outline of a hole, or of a speck
        moments = cv2.moments(outline)
        area = moments["m00"]
        if area < _LEAST_AREA_PX or area > 0.01 * width * height:
            continue
        x, y = moments["m10"] / area, moments["m01"] / area
        xx, yy, xy = moments["mu20"] / area, moments["mu02"] / area, moments["mu11"] / area
        middle, half = (xx + yy) / 2, math.hypot((xx - yy) / 2, xy)
        if middle <= half:
            continue
        long, short = 2 * math.sqrt(middle + half), 2 * math.sqrt(middle - half)
        if short < _LEAST_ASPECT * long or abs(area / (math.pi * long * short) - 1) > _ELLIPSE_SLACK:
            continue
        # The outline runs through the middles of the outermost pixels, half a pixel within the edge.
        long, short = long + 0.5, short + 0.5
        turn = 0.5 * math.atan2(2 * xy, xx - yy)
        seen = _look_round(dark, x, y, long, short, turn)
        if seen is None:
            continue
        core, band, outside = seen
        contrast = max(core, band) - outside
        if contrast < 0.02:
            continue
        is_ring = core - outside < 0.8 * (band - outside)
        size = 2 * math.sqrt(long * short)
        yield _Outline(Spot(x, y, size, is_ring, contrast), abs((level - outside) / contrast - 0.5))


def _look_round(
    dark: Floats, x: float, y: float, long: float, short: float, turn: float
) -> tuple[float, float, float] | None:
    """Return the mean darkness of the core, of the band about it and outside; None at the picture's edge."""
    height, width = dark.shape
    c, s = math.cos(turn), math.sin(turn)
    along, aside = _UNIT[0] * long, _UNIT[1] * short
    dx, dy = c * along - s * aside, s * along + c * aside
    reach = 1.35
    if not (
        x - reach * long > 0
        and y - reach * long > 0
        and x + reach * long < width - 1
        and y + reach * long < height - 1
    ):
        return None
    means = []
    for share in (0.2, 0.72, reach):
        u, v = x + share * dx, y + share * dy
        i, j = np.floor(u).astype(np.intp), np.floor(v).astype(np.intp)
        fu, fv = u - i, v - j
        values = (1 - fv) * ((1 - fu) * dark[j, i] + fu * dark[j, i + 1]) + fv * (
            (1 - fu) * dark[j + 1, i] + fu * dark[j + 1, i + 1]
        )
        means.append(float(np.median(values)) if share == reach else float(values.mean()))
    return means[0], means[1], means[2]
