"""Pixels as streams that PDF takes: copied from the file where that can be, encoded without loss elsewhere.

In: bytes of a picture, or pixels. Out: ArtworkStream. Never: loss, metadata of the file.
A stream is copied from a one-strip Group 4 TIFF, from a JPEG of greys or RGB that needs no turning and no other
colours (its picture data to the last bit; what it says of camera, place and software stays behind), and from a
PNG of 8-bit greys or RGB without interlacing and without anything clear.
"""

from __future__ import annotations

import io

from PIL import Image

from doublure.model.artwork import ArtworkStream
from doublure.store.artwork_pixels import is_srgb, walk_png
from doublure.store.artwork_tiff import find_strip, inflated_length
from doublure.store.picture_pixels import orientation

#: Zlib's level for what has to be encoded: higher ones take many times the time for a percent.
PNG_LEVEL = 6


def copy_stream(content: bytes, sha256: str, image: Image.Image) -> ArtworkStream | None:
    """Return the stream of a file as it lies in it, or None where it has to be encoded anew.

    Args:
        content: The file.
        sha256: Of it.
        image: Opened by Pillow, decoded or not.
    """
    if image.format == "TIFF":
        strip = find_strip(image, content)
        if strip is None:
            return None
        return _fax_stream(sha256, strip.width_px, strip.height_px, strip.black_is_1, strip.data)
    if orientation(image) != 1 or (image.mode != "L" and not is_srgb(image.info.get("icc_profile"))):
        return None
    if image.format == "JPEG":
        return _copy_jpeg(content, sha256, image)
    return None


def encode_stream(content: bytes, sha256: str, image: Image.Image, pixels: Image.Image) -> ArtworkStream:
    """Return pixels as a stream: Group 4 for bilevel, else the PNG's own data or Flate with PNG predictors.

    Args:
        content: The file that they came from.
        sha256: Of it.
        image: Opened by Pillow from it.
        pixels: As decode_artwork gives them.
    """
    if pixels.mode == "1":
        out = io.BytesIO()
        # A copy is no TIFF of its own, whose tags would be handed on.
        bare = pixels.copy()
        bare.info = {}
        bare.save(out, "TIFF", compression="group4", tiffinfo={278: pixels.height})
        made = out.getvalue()
        with Image.open(io.BytesIO(made), formats=("TIFF",)) as written:
            strip = find_strip(written, made)
        assert strip is not None  # that is what was asked for
        return _fax_stream(sha256, *pixels.size, strip.black_is_1, strip.data)
    kind, components = ("grey", 1) if pixels.mode == "L" else ("colour", 3)
    data = _copy_png(content, image, pixels)
    if data is None:
        out = io.BytesIO()
        pixels.save(out, "PNG", compress_level=PNG_LEVEL, icc_profile=None, exif=b"")
        data = _picture_data(out.getvalue())
    w, h = pixels.size
    return ArtworkStream(sha256, kind, w, h, "FlateDecode", 8, components, False, w, data)


def _fax_stream(sha256: str, width: int, height: int, black_is_1: bool, data: bytes) -> ArtworkStream:
    return ArtworkStream(sha256, "bilevel", width, height, "CCITTFaxDecode", 1, 1, black_is_1, 0, data)


def _picture_data(png: bytes) -> bytes:
    return b"".join(png[start:end] for kind, start, end in walk_png(png) if kind == b"IDAT")


def _copy_png(content: bytes, image: Image.Image, pixels: Image.Image) -> bytes | None:
    """Return a PNG's own data where they hold exactly the pixels, row by row, else None."""
    if image.format != "PNG" or orientation(image) != 1 or "transparency" in image.info:
        return None
    if pixels.mode == "RGB" and not is_srgb(image.info.get("icc_profile")):
        return None
    # Bit depth, colour type, compression, filter and interlace method (ISO/IEC 15948, 11.2.2; from memory).
    if tuple(content[24:29]) != (8, {"L": 0, "RGB": 2}[pixels.mode], 0, 0, 0):
        return None
    data = _picture_data(content)
    rows = pixels.height * (1 + pixels.width * len(pixels.getbands()))
    return data if inflated_length(data) == rows else None


def _copy_jpeg(content: bytes, sha256: str, image: Image.Image) -> ArtworkStream | None:
    """Return a JPEG without its metadata where every reader of PDF takes its colours alike, else None.

    Source:
        ISO/IEC 10918-1, annex B (markers); ISO 32000-1:2008, 7.4.8 (DCTDecode); from memory.
    """
    kept = [content[:2]]
    at, components, is_ycc = 2, 0, True
    while at + 4 <= len(content) and content[at] == 0xFF:
        marker = content[at + 1]
        if marker == 0xFF:  # padding
            at += 1
            continue
        end = at + 2 + int.from_bytes(content[at + 2 : at + 4], "big")
        data = content[at + 4 : end]
        if marker == 0xE0 and data[:5] == b"JFIF\0":
            # Without the small picture that it may carry.
            kept.append(b"\xff\xe0\x00\x10" + data[:12] + b"\0\0")
        elif marker == 0xEE and data[:5] == b"Adobe":
            kept.append(content[at:end])
            is_ycc = data[11:12] == b"\1"
        elif marker in (0xC0, 0xC1, 0xC2):
            components = data[5] if len(data) > 5 else 0
            if data[:1] != b"\x08" or components not in (1, 3):
                return None
            if components == 3 and data[6::3][:3] != b"\1\2\3" and b"JFIF" not in content[:20]:
                return None  # named otherwise, and readers may guess at its colours
            kept.append(content[at:end])
        elif 0xC3 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            return None  # lossless or arithmetic coding, which few readers know
        elif marker == 0xDA:
            if components == 0 or (components == 3 and not is_ycc):
                return None
            scans = _scans(content, at)
            if scans is None:
                return None
            kept.append(scans)
            kind = "grey" if components == 1 else "colour"
            w, h = image.size
            return ArtworkStream(sha256, kind, w, h, "DCTDecode", 8, components, False, 0, b"".join(kept))
        elif not (0xE0 <= marker <= 0xEF or marker == 0xFE):
            kept.append(content[at:end])
        at = end
    return None


def _scans(content: bytes, at: int) -> bytes | None:
    """Return everything from the first scan to the end of the picture, without comments between scans."""
    kept = []
    while content[at : at + 1] == b"\xff":
        marker = content[at + 1]
        if marker == 0xD9:
            kept.append(content[at : at + 2])
            return b"".join(kept)
        end = at + 2 + int.from_bytes(content[at + 2 : at + 4], "big")
        if marker == 0xDA:
            end = _end_of_scan(content, end)
        if not (0xE0 <= marker <= 0xEF or marker == 0xFE):
            kept.append(content[at:end])
        at = end
    return None


def _end_of_scan(content: bytes, at: int) -> int:
    """Return where the next marker after coded data stands; restarts and stuffed zeros belong to the data."""
    while (at := content.find(b"\xff", at)) >= 0 and at + 1 < len(content):
        if content[at + 1] == 0xFF:
            at += 1
        elif content[at + 1] == 0 or 0xD0 <= content[at + 1] <= 0xD7:
            at += 2
        else:
            return at
    return len(content)
