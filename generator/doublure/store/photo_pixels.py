"""Reads a photograph as grey pixels to measure in: upright, 8 bits, bounded in size, nothing else of it.

In: a path. Out: GreyPhoto. Never: colour, metadata beyond the focal length, measuring.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from doublure.errors import UsageError
from doublure.store.picture_pixels import FORMATS, PictureError, decode, read_header

#: Larger files are not opened.
MAX_BYTES = 400_000_000
#: Larger pictures are made smaller as they are read; an A3 sheet at 600 ppi is about as large.
MAX_GREY_PIXELS = 70_000_000
_EXIF, _FOCAL_35_MM, _WIDTH, _HEIGHT = 0x8769, 0xA405, 0xA002, 0xA003
#: Diagonal of the frame to which "focal length in 35 mm film" refers, 36 x 24 mm.
_FRAME_MM = math.hypot(36, 24)


@dataclass(frozen=True, slots=True)
class GreyPhoto:
    """A photograph, upright.

    Attributes:
        pixels: Grey, shape (height, width).
        focal_px: Focal length in these pixels where the file states it and was not cropped; else None.
    """

    pixels: NDArray[np.uint8]
    focal_px: float | None


def read_grey(path: Path) -> GreyPhoto:
    """Read a photograph.

    Raises:
        UsageError: It cannot be read or is no picture; the message says why, without the path.
    """
    try:
        if path.is_dir():
            raise UsageError("is a folder; name the pictures in it")
        if path.stat().st_size > MAX_BYTES:
            raise UsageError(f"has more than {MAX_BYTES // 1_000_000} MB, which are not read")
        content = path.read_bytes()
    except OSError as error:
        words = error.strerror or "cannot be read"
        raise UsageError(words[:1].lower() + words[1:]) from error
    except ValueError as error:  # a name that no file can have
        raise UsageError("is no name of a file") from error
    if not content:
        raise UsageError("is empty")
    try:
        header = read_header(content)
        pixels = header.width_px * header.height_px
        width = None
        if pixels > MAX_GREY_PIXELS:
            width = int(header.width_px * math.sqrt(MAX_GREY_PIXELS / pixels))
        picture = decode(content, width)
    except PictureError as error:
        raise UsageError(_explain(error)) from error
    except MemoryError as error:
        raise UsageError("is too large for this computer's memory") from error
    if picture.mode == "RGBA":
        # What is clear is taken for light.
        picture = Image.alpha_composite(Image.new("RGBA", picture.size, "white"), picture)
    grey = np.asarray(picture.convert("L"))
    return GreyPhoto(grey, _focal_px(content, header.width_px, header.height_px, grey.shape))


def _explain(error: PictureError) -> str:
    if error.reason == "not a picture":
        return f"is {error.detail}" if error.detail else "is not a picture that can be read; save it as JPEG or PNG"
    if error.reason == "too large":
        return f"has {error.detail}"
    return error.detail or "cannot be read"


def _focal_px(content: bytes, width_px: int, height_px: int, shape: tuple[int, ...]) -> float | None:
    """Return the focal length that the camera wrote down, in pixels of the picture as it was decoded."""
    try:
        with Image.open(io.BytesIO(content), formats=FORMATS) as image:
            if image.format not in ("JPEG", "WEBP", "TIFF", "AVIF"):
                return None  # asking a PNG for it would decode all of it
            said = image.getexif().get_ifd(_EXIF)
        focal = float(said.get(_FOCAL_35_MM, 0))
        sides = sorted((int(said.get(_WIDTH, 0)), int(said.get(_HEIGHT, 0))))
    except Exception:  # damaged metadata makes no picture unreadable
        return None
    # A cropped picture has another size than its camera said.
    if not 8 <= focal <= 1000 or sides != sorted((width_px, height_px)):
        return None
    return focal / _FRAME_MM * math.hypot(shape[0], shape[1])
