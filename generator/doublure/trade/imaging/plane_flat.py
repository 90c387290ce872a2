"""The flat piece out of a photograph, at true scale: each of its pixels fetched from where it shows.

In: pixels, the plane, corners, a resolution. Out: FlatPiece. Never: files, sharpening, inventing detail.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from doublure.errors import DomainError
from doublure.trade.imaging.plane_fit import PlaneFit, slope_of

Array = NDArray[np.float64]

_MM_PER_IN = 25.4
#: Larger pieces are not made.
MAX_PIECE_PIXELS = 120_000_000
#: Where the picture has more than this many of its pixels for one of the piece, they are averaged.
_AVERAGE_FROM = 1.5
_STRIP_ROWS = 256


@dataclass(frozen=True, slots=True)
class Frame:
    """A rectangle on the plane: its middle, mm, how it is turned, rad, and its size, mm."""

    x_mm: float
    y_mm: float
    turn_rad: float
    width_mm: float
    height_mm: float

    def places(self, x: Array, y: Array) -> Array:
        """Return places on the plane of points counted from the head's left corner, mm."""
        right, down = x - self.width_mm / 2, y - self.height_mm / 2
        cosine, sine = math.cos(self.turn_rad), math.sin(self.turn_rad)
        return np.stack(
            [self.x_mm + cosine * right - sine * down, self.y_mm + sine * right + cosine * down], axis=-1
        )


@dataclass(frozen=True, slots=True)
class FlatPiece:
    """The flat piece.

    Attributes:
        pixels: Shape (height, width) or (height, width, 3).
        ppi: Its resolution as asked for.
        present_ppi: The resolution that the picture has of it, where it is least and in the middle (median).
        outside_share: Share of the piece that lies outside the picture, and is left white.
    """

    pixels: NDArray[np.uint8]
    ppi: float
    present_ppi: tuple[float, float]
    outside_share: float


def frame_of(corners_mm: Array, margin_mm: float = 0.0) -> Frame:
    """Return the rectangle that lies best on four corners in turn: means of opposite sides, turned and moved only.

    Raises:
        DomainError: The margin leaves nothing, or the corners go round the other way than the known ones.
    """
    (ax, ay), (bx, by) = corners_mm[2] - corners_mm[0], corners_mm[3] - corners_mm[1]
    if ax * by - ay * bx <= 0:
        raise DomainError(
            "the corners go round the wrong way: head left, head right, foot right, foot left, known ones likewise",
            "corners",
        )
    head, right, foot, left = np.linalg.norm(np.roll(corners_mm, -1, axis=0) - corners_mm, axis=1)
    width, height = float(head + foot) / 2 + 2 * margin_mm, float(right + left) / 2 + 2 * margin_mm
    if width <= 0 or height <= 0:
        raise DomainError("the margin leaves nothing of the piece", "margin_mm")
    middle = corners_mm.mean(axis=0)
    ideal = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * ((head + foot) / 4, (right + left) / 4)
    away = corners_mm - middle
    sine = float((ideal[:, 0] * away[:, 1] - ideal[:, 1] * away[:, 0]).sum())
    cosine = float((ideal * away).sum())
    return Frame(float(middle[0]), float(middle[1]), math.atan2(sine, cosine), width, height)


def resolution(fit: PlaneFit, frame: Frame) -> tuple[float, float]:
    """Return how many pixels an inch the picture has of the piece, in the direction where it has fewer.

    Returns:
        The least over the piece, and the median.
    """
    grid = np.linspace(0.02, 0.98, 9)
    found = []
    for down in grid:
        for right in grid:
            at = np.array([right * frame.width_mm, down * frame.height_mm])
            slope = slope_of(
                lambda place: fit.to_px(frame.places(place[:1], place[1:2]))[0], at, np.full(2, 0.01)
            )
            found.append(float(np.linalg.svd(slope, compute_uv=False)[-1]) * _MM_PER_IN)
    return min(found), float(np.median(found))


def flatten(pixels: NDArray[np.uint8], fit: PlaneFit, frame: Frame, ppi: float) -> FlatPiece:
    """Return the flat piece.

    Args:
        pixels: Of the picture, grey or RGB.
        fit: The plane.
        frame: The rectangle on it.
        ppi: Resolution of the piece, pixels an inch.

    Raises:
        DomainError: The piece would be too large, or have no pixel, or lie wholly outside the picture.
    """
    width = round(frame.width_mm / _MM_PER_IN * ppi)
    height = round(frame.height_mm / _MM_PER_IN * ppi)
    if width < 1 or height < 1:
        raise DomainError("the piece would have no pixel; ask for more pixels an inch", "ppi")
    present = resolution(fit, frame)
    steps = max(1, math.ceil(max(present) / ppi / _AVERAGE_FROM)) if max(present) > _AVERAGE_FROM * ppi else 1
    if width * height > MAX_PIECE_PIXELS:
        raise DomainError(
            f"the piece would have {width} x {height} pixels; ask for fewer pixels an inch", "ppi"
        )
    piece = np.full((height, width, *pixels.shape[2:]), 255, dtype=np.uint8)
    outside = 0
    fine_width = width * steps
    x = (np.arange(fine_width) + 0.5) * (frame.width_mm / fine_width)
    for top in range(0, height, _STRIP_ROWS):
        rows = min(_STRIP_ROWS, height - top)
        fine_rows = rows * steps
        y = (top * steps + np.arange(fine_rows) + 0.5) * (frame.height_mm / (height * steps))
        across, down = np.meshgrid(x, y)
        seen = fit.to_px(frame.places(across.ravel(), down.ravel())).reshape(fine_rows, fine_width, 2)
        beyond = (
            (seen[..., 0] < -0.5) | (seen[..., 1] < -0.5)
            | (seen[..., 0] > pixels.shape[1] - 0.5) | (seen[..., 1] > pixels.shape[0] - 0.5)
        )  # fmt: skip
        outside += int(beyond.sum())
        strip: Any = cv2.remap(
            pixels, seen[..., 0].astype(np.float32), seen[..., 1].astype(np.float32), cv2.INTER_CUBIC,
            borderMode=cv2.BORDER_CONSTANT, borderValue=(255, 255, 255, 255),
        )  # fmt: skip
        if steps > 1:
            strip = cv2.resize(strip, (width, rows), interpolation=cv2.INTER_AREA)
        piece[top : top + rows] = strip
    share = outside / (fine_width * height * steps)
    if share > 0.99:
        raise DomainError("the piece lies outside the picture", "corners")
    return FlatPiece(piece, ppi, present, share)
