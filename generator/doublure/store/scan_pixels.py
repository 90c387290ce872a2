"""Reads a scan to be cleaned: all of its pixels, upright, 8 bits, and the resolution that its file states.

In: a path. Out: Scan. Never: making it smaller, writing, guessing a resolution.
"""

from __future__ import annotations

import hashlib
import io
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from doublure.errors import UsageError
from doublure.store.picture_pixels import FORMATS, PictureError, decode, read_header

#: Larger files are not opened.
MAX_BYTES = 1_000_000_000
#: Programs write 72 or 96 where they know nothing; no scan for a master is that coarse.
_LEAST_PPI, _MOST_PPI = 100.0, 10_000.0
_UNEQUAL = 0.01


@dataclass(frozen=True, slots=True)
class Scan:
    """A scan.

    Attributes:
        pixels: Grey, shape (height, width), or RGB, shape (height, width, 3).
        ppi: Resolution that the file states; None where it states none that can be believed.
        sha256: Of the file.
    """

    pixels: NDArray[np.uint8]
    ppi: float | None
    sha256: str


def read_scan(path: Path) -> Scan:
    """Read a scan.

    Raises:
        UsageError: It cannot be read or is no single picture; the message says why, without the path.
    """
    try:
        if path.is_dir():
            raise UsageError("is a folder; name the scans in it")
        if path.stat().st_size > MAX_BYTES:
            raise UsageError(f"has more than {MAX_BYTES // 1_000_000} MB, which are not read")
        content = path.read_bytes()
    except OSError as error:
        words = error.strerror or "cannot be read"
        raise UsageError(words[:1].lower() + words[1:]) from error
    except ValueError as error:  # a name that no file can have
        raise UsageError("is no name of a file") from error
    try:
        read_header(content)
        ppi = _look_inside(content)
        picture = decode(content)
    except PictureError as error:
        raise UsageError(_explain(error)) from error
    except MemoryError as error:
        raise UsageError("is too large for this computer's memory") from error
    if picture.mode == "RGBA":
        # What is clear is taken for paper.
        picture = Image.alpha_composite(Image.new("RGBA", picture.size, "white"), picture).convert("RGB")
    return Scan(np.asarray(picture), ppi, hashlib.sha256(content).hexdigest())


def _look_inside(content: bytes) -> float | None:
    """Return the stated resolution of a single picture.

    Raises:
        UsageError: There are more pictures than one in it.
    """
    try:
        with Image.open(io.BytesIO(content), formats=FORMATS) as image:
            count = int(getattr(image, "n_frames", 1))
            said = image.info.get("dpi")
    except Exception as error:  # decoders raise whatever their damaged input drives them into
        raise PictureError("unreadable", "the picture is damaged or cut short") from error
    if count > 1:
        raise UsageError(f"holds {count} pictures; save the one that is meant by itself")
    try:
        across, down = (float(value) for value in said) if said is not None else (0.0, 0.0)
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    if not _LEAST_PPI <= across <= _MOST_PPI or abs(across - down) > _UNEQUAL * across:
        return None
    # JPEG and PNG keep pixels a metre or a centimetre: 299.9994 was 300.
    return float(round(across)) if abs(across - round(across)) < 0.05 else across


def _explain(error: PictureError) -> str:
    if error.reason == "not a picture":
        return (
            f"is {error.detail}"
            if error.detail
            else "is not a picture that can be read; save it as TIFF or PNG"
        )
    if error.reason == "too large":
        return f"has {error.detail}"
    return error.detail or "cannot be read"
