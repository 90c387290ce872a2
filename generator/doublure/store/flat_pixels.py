"""Reads a photograph in its colours, and writes a flat piece with its resolution; whole or not at all.

In: paths, pixels. Out: pixels, a new file. Never: writing over a picture that was read, metadata beyond ppi.
"""

from __future__ import annotations

import contextlib
import io
import os
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from doublure.errors import UsageError
from doublure.store.photo_pixels import read_grey
from doublure.store.picture_pixels import PictureError, decode, read_header

_FORMATS = {".png": "PNG", ".tif": "TIFF", ".tiff": "TIFF", ".jpg": "JPEG", ".jpeg": "JPEG"}
_OPTIONS: dict[str, dict[str, Any]] = {
    "JPEG": {"quality": 95, "subsampling": 0},
    "TIFF": {"compression": "tiff_lzw"},
}
#: A colour picture with more pixels is not flattened: all of it lies in memory.
_MAX_PIXELS = 100_000_000


def read_size(path: Path) -> tuple[int, int, float | None]:
    """Return width and height of a picture, upright, and its focal length where its file states it, all in px.

    All of it is decoded, so that a damaged picture is told; a large one is measured in its own pixels all the same.

    Raises:
        UsageError: It cannot be read; the message says why, without the path.
    """
    grey = read_grey(path)
    header = read_header(path.read_bytes())
    factor = header.width_px / grey.pixels.shape[1]
    return header.width_px, header.height_px, None if grey.focal_px is None else grey.focal_px * factor


def read_colour(path: Path) -> NDArray[np.uint8]:
    """Return the pixels of a picture, upright, grey or RGB, at its full size.

    Raises:
        UsageError: It cannot be read; the message says why, without the path.
    """
    try:
        content = path.read_bytes()
        header = read_header(content)
        if header.width_px * header.height_px > _MAX_PIXELS:
            raise UsageError(
                f"has more than {_MAX_PIXELS // 1_000_000} million pixels, which are not flattened"
            )
        picture = decode(content)
    except (OSError, ValueError, PictureError, MemoryError):
        read_grey(path)  # says in words what is wrong
        raise UsageError("cannot be read") from None
    if picture.mode == "RGBA":
        picture = Image.alpha_composite(Image.new("RGBA", picture.size, "white"), picture).convert("RGB")
    return np.asarray(picture)


def check_output(path: Path, photo: Path, replace: bool) -> None:
    """Refuse, before any work, a place where no piece can be written.

    Raises:
        UsageError: The place is the photograph, taken, no picture, or has no folder.
    """
    if path.suffix.lower() not in _FORMATS:
        raise UsageError(f"{path}: a piece is written as .png, .tif or .jpg")
    if path.is_dir():
        raise UsageError(f"{path} is a folder; name a file in it")
    if not path.parent.is_dir():
        raise UsageError(f"there is no folder {path.parent}")
    if os.path.realpath(path) == os.path.realpath(photo) or (
        path.exists() and photo.exists() and path.samefile(photo)
    ):
        raise UsageError(f"{path} is the photograph itself, which is never written over")
    if path.exists() and not replace:
        raise UsageError(f"{path} is there already; name another file, or say --replace")


def write_piece(path: Path, pixels: NDArray[np.uint8], ppi: float) -> None:
    """Write the piece with its resolution.

    Raises:
        OSError: The disk refused; an earlier file is as it was.
    """
    picture = Image.fromarray(pixels)
    buffer = io.BytesIO()
    kind = _FORMATS[path.suffix.lower()]
    options = _OPTIONS.get(kind, {})
    picture.save(buffer, kind, dpi=(ppi, ppi), **options)
    fresh = path.with_name(f".{os.urandom(6).hex()}.new")
    try:
        with fresh.open("xb") as stream:
            stream.write(buffer.getvalue())
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(fresh, path)
    finally:
        with contextlib.suppress(OSError):
            fresh.unlink(missing_ok=True)
