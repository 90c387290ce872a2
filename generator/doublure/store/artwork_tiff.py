"""TIFF files: decoding that hears what the decoder complains of, and strips of fax data as they lie in the file.

In: opened Pillow images, bytes. Out: decoded images, a strip. Never: words of a library on the user's screen.
"""

from __future__ import annotations

import contextlib
import os
import re
import sys
import tempfile
import threading
import zlib
from dataclasses import dataclass
from typing import Any

from PIL import Image

#: How lines begin by which libtiff complains of anything, and of the picture data in particular.
_COMPLAINT = re.compile(r"_?TIFF\w*:|MissingRequired:|tempfile\.tif:|(Fax|LZW|ZIP|JPEG|PackBits)\w*:")
_OF_DATA = re.compile(r"tempfile\.tif:|(Fax|LZW|ZIP|JPEG|PackBits)\w*:")
_one_listener = threading.Lock()


class TornTiffError(Exception):
    """The decoder found codes that cannot be."""


@dataclass(frozen=True, slots=True)
class FaxStrip:
    """A picture as one strip of Group 4 data.

    Attributes:
        data: The strip.
        width_px, height_px: Pixels.
        black_is_1: True where the file says that its black runs are to be seen as white.
    """

    data: bytes
    width_px: int
    height_px: int
    black_is_1: bool


def decode_loudly(image: Image.Image, content: bytes) -> None:
    """Decode a TIFF, and fail where its data are damaged.

    The decoders of libtiff, above all that of fax data, may go on after damage and say so on the error channel
    alone. So that channel is listened to while they work, one file at a time; what others write meanwhile is
    passed on. Flate data are held against their own check sum, which libtiff may leave unread.

    Args:
        image: Opened by Pillow.
        content: The file.

    Raises:
        TornTiffError: There are damaged codes.
        OSError: As Pillow raises it.
    """
    if image.info.get("compression") == "raw":  # Pillow reads it by itself
        image.load()
        return
    if image.info.get("compression") in ("tiff_deflate", "tiff_adobe_deflate"):
        _check_flate(image, content)
    with _one_listener:
        complaints = _listen_while_loading(image)
    if complaints:
        raise TornTiffError(complaints[0])


def _check_flate(image: Image.Image, content: bytes) -> None:
    tags: Any = getattr(image, "tag_v2", {})
    for starts, counts in ((273, 279), (324, 325)):  # strips, tiles
        for start, count in zip(tags.get(starts, ()), tags.get(counts, ()), strict=True):
            if count and inflated_length(content[start : start + count], alone=False) < 0:
                raise TornTiffError("damaged Flate data")


def inflated_length(data: bytes, alone: bool = True) -> int:
    """Return how many bytes whole Flate data hold, in little memory.

    Returns:
        -1 where they are damaged, cut short, or (with `alone`) followed by anything.
    """
    unpacker, length, rest = zlib.decompressobj(), 0, data
    try:
        while not unpacker.eof:
            part = unpacker.decompress(rest, 1 << 20)
            if not part and not unpacker.unconsumed_tail and not unpacker.eof:
                return -1
            length, rest = length + len(part), unpacker.unconsumed_tail
    except zlib.error:
        return -1
    return -1 if alone and unpacker.unused_data else length


def _listen_while_loading(image: Image.Image) -> list[str]:
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sys.stderr.flush()
    try:
        kept = os.dup(2)
    except OSError:  # there is no such channel
        image.load()
        return []
    with tempfile.TemporaryFile() as heard:
        try:
            os.dup2(heard.fileno(), 2)
            image.load()
        finally:
            os.dup2(kept, 2)
            os.close(kept)
            heard.seek(0)
            lines = heard.read().decode("utf-8", "replace").splitlines(keepends=True)
            others = "".join(line for line in lines if not _COMPLAINT.match(line))
            if others:
                sys.stderr.write(others)
    return [line.strip() for line in lines if _OF_DATA.match(line)]


def find_strip(image: Image.Image, content: bytes) -> FaxStrip | None:
    """Return the Group 4 data of a TIFF where they can go into a PDF unchanged, else None.

    That is so where there is one strip, of one bit, in the usual order of bits, upright, and without the
    uncompressed mode.

    Args:
        image: Opened by Pillow, decoded or not.
        content: The file.
    """
    tags: Any = getattr(image, "tag_v2", None)
    if image.format != "TIFF" or tags is None:
        return None
    usual = (
        (259, 4, None),  # Compression
        (258, (1,), (1,)),  # BitsPerSample
        (277, 1, 1),  # SamplesPerPixel
        (266, 1, 1),  # FillOrder
        (274, 1, 1),  # Orientation
        (293, 0, 0),  # T6Options
    )
    if any(tags.get(tag, default) != value for tag, value, default in usual):
        return None
    width, height = tags.get(256), tags.get(257)
    starts, counts = tags.get(273), tags.get(279)
    if not (isinstance(starts, tuple) and isinstance(counts, tuple) and len(starts) == len(counts) == 1):
        return None
    if tags.get(262) not in (0, 1) or (width, height) != image.size:
        return None
    data = content[starts[0] : starts[0] + counts[0]]
    if len(data) != counts[0]:
        return None
    return FaxStrip(data, width, height, tags.get(262) == 1)
