"""Pixels in other forms: colours as grey, ink as pixels, a scan laid as its master lies.

In: arrays. Out: arrays. Never: judging.
"""

from __future__ import annotations

import cv2
import numpy as np

from doublure.trade.imaging.cleaning_lie import lay_page
from doublure.trade.imaging.cleaning_paper import Bytes, Ink

#: A strip shows no more of a scan than this, px.
_SHOWN_PX = 2400


def as_grey(pixels: Bytes) -> Bytes:
    """Return RGB pixels as grey by their brightness (ITU-R BT.601, from memory); grey ones as they are."""
    return pixels if pixels.ndim == 2 else np.asarray(cv2.cvtColor(pixels, cv2.COLOR_RGB2GRAY), np.uint8)


def as_pixels(ink: Ink) -> Bytes:
    """Return ink as black on white."""
    return np.where(ink, np.uint8(0), np.uint8(255))


def as_scanned(pixels: Bytes, turn_rad: float, page: tuple[int, int, int, int]) -> Bytes:
    """Return a scan set straight and cut as its master was, in no more pixels than a strip shows."""
    top, left, bottom, right = page
    scale = min(1.0, _SHOWN_PX / max(bottom - top, right - left))
    return lay_page(pixels, turn_rad, page, scale, 128)[0]
