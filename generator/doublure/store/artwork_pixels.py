"""Turns the bytes of a master's picture into the pixels that are printed: bilevel, grey or RGB, upright, on white.

In: bytes. Out: a Pillow image of mode "1", "L" or "RGB", and where its ink is. Never: losing a pixel in silence.
Greys and black on white stay exactly what they are, whatever colour profile the file carries. Colours with a
profile other than sRGB are converted to sRGB, which is what drivers of printers take plain RGB for; without a
profile, or with sRGB, they stay as they are. Pixels of a file that carries no colour at all become grey, and
greys that are all black or white become bilevel, so that they are judged and printed as what they are.
"""

from __future__ import annotations

import io
import re
import threading
import zlib
from collections.abc import Iterator
from contextlib import AbstractContextManager, nullcontext
from typing import Any

from PIL import Image, ImageChops

from doublure.store.artwork_tiff import decode_loudly
from doublure.store.picture_pixels import LIBRARIES, MAX_PIXELS, TURNS, orientation, to_srgb

__all__ = [
    "LARGE_PX",
    "LIBRARIES",
    "MAX_PIXELS",
    "UnfitError",
    "count_pixels",
    "decode_artwork",
    "find_ink",
    "is_srgb",
    "open_artwork",
    "spare_memory",
]

#: What is printed from; the other formats that a site shows are for pictures of evidence.
FORMATS = ("PNG", "TIFF", "JPEG", "WEBP", "GIF", "BMP", "PPM")
#: A pixel counts as ink where a channel is darker than this of 255: JPEG leaves traces in the white.
INK_BELOW = 250
#: Above this, pictures are worked on one at a time.
LARGE_PX = 30_000_000
_one_large = threading.Lock()
_PPM_DEPTH = re.compile(rb"P[2356](?:\s|#[^\n]*\n)+\d+(?:\s|#[^\n]*\n)+\d+(?:\s|#[^\n]*\n)+(\d+)")
_TORN = "the picture is damaged or cut short"


class UnfitError(Exception):
    """Artwork that cannot be printed.

    Attributes:
        reason: As in ArtworkFault.
        detail: A few words for the maker.
    """

    def __init__(self, reason: str, detail: str = "") -> None:
        super().__init__(f"{reason}: {detail}")
        self.reason = reason
        self.detail = detail


def open_artwork(content: bytes) -> Image.Image:
    """Open a picture by its header and refuse what cannot be printed.

    Raises:
        UnfitError: "empty", "torn" (a PNG with damaged parts), "svg", "not a picture", "too large",
            "animated", "several", "cmyk" or "16 bit".
    """
    if not content:
        raise UnfitError("empty")
    try:
        image = Image.open(io.BytesIO(content), formats=FORMATS)
    except Exception as error:  # decoders raise whatever their damaged input drives them into
        raise _not_opened(content) from error
    if image.width * image.height > MAX_PIXELS:
        size = f"{image.width} x {image.height} pixels; at most {MAX_PIXELS // 1_000_000} million are read"
        raise UnfitError("too large", size)
    if image.format in ("GIF", "WEBP", "PNG") and getattr(image, "is_animated", False):
        raise UnfitError("animated", "save the one frame that is to be printed")
    if image.format == "TIFF" and (count := _count_pictures(content)) > 1:
        raise UnfitError("several", f"{count} pictures")
    if image.mode == "CMYK" or _tag(image, 262) == 5:
        raise UnfitError("cmyk", "save it as grey or RGB")
    if (depth := _depth(image, content)) > 8:
        raise UnfitError("16 bit", f"{depth} bits a channel; save it with 8")
    if image.format == "PNG" and not _is_whole_png(content):
        raise UnfitError("torn", _TORN)
    return image


def count_pixels(content: bytes) -> int:
    """Return how many pixels the header of a picture promises, 0 where it cannot be read."""
    try:
        with Image.open(io.BytesIO(content), formats=FORMATS) as image:
            return image.width * image.height
    except Exception:  # as below; who opens it in earnest says what is wrong
        return 0


def spare_memory(image: Image.Image) -> AbstractContextManager[object]:
    """Return what to hold while a picture is worked on: of large ones there is only one at a time."""
    return _one_large if image.width * image.height > LARGE_PX else nullcontext()


def decode_artwork(content: bytes, image: Image.Image, as_is: bool = False) -> Image.Image:
    """Decode a picture that open_artwork let pass.

    Args:
        content: The file.
        image: What open_artwork made of it.
        as_is: True for a picture whose stream is copied: what has a grey or RGB mode keeps it.

    Returns:
        "1" (255 is white), "L" or "RGB", upright.

    Raises:
        UnfitError: "torn".
    """
    profile = image.info.get("icc_profile")
    turn = orientation(image)
    try:
        if image.format == "TIFF":
            decode_loudly(image, content)
        else:
            image.load()
        pixels = _on_white(image)
        if not as_is:
            pixels = _without_needless_channels(pixels)
            if pixels.mode == "RGB" and profile:
                pixels = to_srgb(pixels, profile)
    except MemoryError as error:
        raise UnfitError("too large", "there is not enough memory to decode it") from error
    except Exception as error:  # as above
        raise UnfitError("torn", _TORN) from error
    return pixels.transpose(TURNS[turn]) if turn in TURNS else pixels


def find_ink(
    pixels: Image.Image,
) -> tuple[tuple[float, float, float, float] | None, tuple[float, float, float, float]]:
    """Return the box of everything that is not white, and the share of each edge that carries ink.

    Args:
        pixels: As decode_artwork gives them.

    Returns:
        Left, top, right, bottom as shares of width and height (None for an empty page); and of the first
        row or column of pixels along the left, top, right and bottom edge the share that carries ink.
    """
    if pixels.mode == "1":
        ink = ImageChops.invert(pixels)
    else:
        darkest = pixels
        if pixels.mode == "RGB":
            red, green, blue = pixels.split()
            darkest = ImageChops.darker(ImageChops.darker(red, green), blue)
        ink = darkest.point([255] * INK_BELOW + [0] * (256 - INK_BELOW))
    box = ink.getbbox()
    if box is None:
        return None, (0.0, 0.0, 0.0, 0.0)
    w, h = pixels.size
    edges = ((0, 0, 1, h), (0, 0, w, 1), (w - 1, 0, w, h), (0, h - 1, w, h))
    shares = tuple(
        sum(strip.histogram()[1:256]) / (strip.width * strip.height) for strip in map(ink.crop, edges)
    )
    return (box[0] / w, box[1] / h, box[2] / w, box[3] / h), (shares[0], shares[1], shares[2], shares[3])


def is_srgb(profile: object) -> bool:
    """True where a profile is missing, or says that it is sRGB."""
    from PIL import ImageCms

    if not isinstance(profile, bytes) or not profile:
        return True
    try:
        known = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        return ImageCms.getProfileDescription(known).startswith("sRGB")
    except (ImageCms.PyCMSError, OSError, ValueError):
        return True  # a profile that nobody can read is left aside, as to_srgb does


def _not_opened(content: bytes) -> UnfitError:
    if content.startswith((b"\x89PNG", b"\xff\xd8\xff", b"II*\0", b"MM\0*", b"II+\0", b"GIF8", b"BM")):
        return UnfitError("torn", _TORN)
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return UnfitError("torn", _TORN)
    if b"<svg" in content[:100_000]:
        return UnfitError("svg", "save it as PDF")
    if content.startswith(b"version https://git-lfs"):
        return UnfitError("not a picture", "only a pointer to the file, which Git has not fetched")
    if content[4:8] == b"ftyp" or content[4:8] == b"jP  ":
        return UnfitError("not a picture", "it cannot be printed from this format; save it as PNG or TIFF")
    return UnfitError("not a picture", "")


def _count_pictures(content: bytes) -> int:
    """Return how many pictures a TIFF holds, smaller copies of one, as scanners add them, left aside."""
    count = 0
    try:
        with Image.open(io.BytesIO(content), formats=("TIFF",)) as image:
            for frame in range(getattr(image, "n_frames", 1)):
                image.seek(frame)
                count += not (int(_tag(image, 254) or 0) & 1)
    except Exception:  # what is wrong with a later one does not hurt the first
        return max(count, 1)
    return count


def _tag(image: Image.Image, tag: int) -> Any:
    tags = getattr(image, "tag_v2", None)
    return tags.get(tag) if tags is not None else None


def _depth(image: Image.Image, content: bytes) -> int:
    """Return bits a channel, by the header: Pillow reads some deeper files as if they had 8."""
    if image.mode.startswith("I;16"):
        return 16
    if image.mode in ("I", "F"):
        return 32
    if image.format == "PNG":
        return content[24]
    if image.format == "TIFF":
        bits = _tag(image, 258) or (1,)
        return max(bits) if isinstance(bits, tuple) else int(bits)
    if image.format == "PPM" and (found := _PPM_DEPTH.match(content)):
        return 16 if int(found.group(1)) > 255 else 8
    return 8


def _is_whole_png(content: bytes) -> bool:
    """True where every part of a PNG is there and matches its check sum (ISO/IEC 15948, 5.3; from memory)."""
    kinds = []
    for kind, start, end in walk_png(content):
        kinds.append(kind)
        if zlib.crc32(content[start - 4 : end]) != int.from_bytes(content[end : end + 4], "big"):
            return False
    return bool(kinds) and kinds[-1] == b"IEND"


def walk_png(content: bytes) -> Iterator[tuple[bytes, int, int]]:
    """Yield kind, start and end of the data of each chunk of a PNG that is wholly there."""
    at = 8
    while at + 12 <= len(content):
        length = int.from_bytes(content[at : at + 4], "big")
        start, end = at + 8, at + 8 + length
        if end + 4 > len(content):
            return
        yield content[at + 4 : at + 8], start, end
        if content[at + 4 : at + 8] == b"IEND":
            return
        at = end + 4


def _on_white(image: Image.Image) -> Image.Image:
    """Return the picture as "1", "L" or "RGB"; what shows through lies on white."""
    mode, clear = image.mode, image.info.get("transparency")
    if mode == "1":
        # The clear level is either white anyway, or black, and then nothing is left to see.
        return Image.new("1", image.size, 255) if clear == 0 else image
    if mode == "P":
        return _from_palette(image, clear)
    if mode == "L":
        if not isinstance(clear, int):
            return image
        levels = list(range(256))
        levels[clear] = 255
        return image.point(levels)
    if mode == "RGB" and clear is None:
        return image
    if mode in ("LA", "La"):
        veiled = image.convert("LA")
        grey, alpha = veiled.split()
        return grey if alpha.getextrema() == (255, 255) else _lay(grey, alpha, 255)
    if mode in ("RGB", "RGBA", "RGBa", "PA"):
        veiled = image.convert("RGBA")
        alpha = veiled.getchannel("A")
        colours = veiled.convert("RGB")
        return colours if alpha.getextrema() == (255, 255) else _lay(colours, alpha, (255, 255, 255))
    if mode == "LAB":
        return to_srgb(image, None)
    return image.convert("RGB")


def _lay(colours: Image.Image, alpha: Image.Image, white: int | tuple[int, int, int]) -> Image.Image:
    ground = Image.new(colours.mode, colours.size, white)
    ground.paste(colours, mask=alpha)
    return ground


def _from_palette(image: Image.Image, clear: object) -> Image.Image:
    """Return a picture of numbered colours as what its colours are: bilevel, grey or RGB."""
    flat = image.getpalette("RGB") or []
    flat += [0] * (768 - len(flat))
    alphas = [255] * 256
    if isinstance(clear, bytes):
        alphas[: len(clear)] = clear
    elif isinstance(clear, int):
        alphas[clear] = 0
    mixed = [
        (level * alphas[i // 3] + 255 * (255 - alphas[i // 3]) + 127) // 255 for i, level in enumerate(flat)
    ]
    used = [i for i, count in enumerate(image.histogram()) if count]
    channels = [mixed[0::3], mixed[1::3], mixed[2::3]]
    numbered = Image.frombytes("L", image.size, image.tobytes())
    if all(channels[0][i] == channels[1][i] == channels[2][i] for i in used):
        return numbered.point(channels[0])
    return Image.merge("RGB", [numbered.point(channel) for channel in channels])


def _without_needless_channels(pixels: Image.Image) -> Image.Image:
    if pixels.mode == "RGB":
        # Most coloured pictures show it in a few of their pixels.
        few = pixels.resize((32, 32), Image.Resampling.NEAREST)
        if _is_coloured(few) or _is_coloured(pixels):
            return pixels
        pixels = pixels.getchannel("R")
    if pixels.mode == "L" and not any(pixels.histogram()[1:255]):
        return pixels.convert("1", dither=Image.Dither.NONE)
    return pixels


def _is_coloured(pixels: Image.Image) -> bool:
    red, green, blue = pixels.split()
    return any(
        ImageChops.difference(one, other).getextrema() != (0, 0)
        for one, other in ((red, green), (green, blue))
    )
