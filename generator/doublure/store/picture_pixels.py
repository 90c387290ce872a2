"""Turns the bytes of a picture file into pixels that can be published: upright, sRGB, 8 bits, nothing else.

In: bytes. Out: format and size from the header, or a clean Pillow image. Never: metadata in what comes out,
decoding before the size is known to be sane, paths.
"""

from __future__ import annotations

import io
import threading
import warnings
from contextlib import nullcontext
from dataclasses import dataclass

from PIL import Image, ImageCms, features
from PIL import __version__ as pillow_version

#: Formats that are read; the first ones need no further plugin of Pillow's.
FORMATS = ("JPEG", "PNG", "GIF", "BMP", "PPM", "WEBP", "TIFF", "AVIF", "JPEG2000")
MAX_PIXELS = 150_000_000
#: WebP knows no picture with a longer side.
MAX_WEBP_SIDE_PX = 16_383
#: Versions of what shapes the pixels, for the keys of the cache.
LIBRARIES = (pillow_version, features.version("webp") or "", features.version("littlecms2") or "")

# Every picture is held against MAX_PIXELS before it is decoded; Pillow's own limit is smaller.
Image.MAX_IMAGE_PIXELS = None
# Damaged metadata is no business of anybody's here: it is thrown away.
warnings.filterwarnings("ignore", category=UserWarning, module=r"PIL\.")

_ORIENTATION = 0x0112
#: ISO/IEC 23008-12 names these brands for pictures coded by HEVC, and for sequences of them (from memory).
_HEIC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
#: Above this, pictures that cannot be decoded at a smaller scale go one at a time, to spare memory.
_LARGE_PX = 30_000_000
_one_large = threading.Lock()


class PictureError(Exception):
    """A picture that cannot be used.

    Attributes:
        reason: "not a picture", "too large" or "unreadable", as in FileFault.
        detail: A few words for the maker.
    """

    def __init__(self, reason: str, detail: str = "") -> None:
        super().__init__(f"{reason}: {detail}")
        self.reason = reason
        self.detail = detail


@dataclass(frozen=True, slots=True)
class Header:
    """What the header says: Pillow's name of the format, and the size as one sees it upright, px."""

    format: str
    width_px: int
    height_px: int


def read_header(content: bytes) -> Header:
    """Read format and size without decoding any pixel.

    Raises:
        PictureError: Not a picture of a known format, or one with more than MAX_PIXELS.
    """
    with _open(content) as image:
        width, height = image.size
        if orientation(image) >= 5:
            width, height = height, width
        return Header(image.format or "", width, height)


def decode(content: bytes, max_width_px: int | None = None) -> Image.Image:
    """Decode a picture upright, in sRGB, as "L", "RGB" or "RGBA", without any metadata.

    Args:
        content: The file.
        max_width_px: Width of the result where the picture is wider; None keeps the size. With it the
            height, too, stays within what WebP can hold.

    Raises:
        PictureError: As for read_header, or the pixels are damaged.
    """
    with _open(content) as image:
        large = image.format != "JPEG" and image.width * image.height > _LARGE_PX
        with _one_large if large else nullcontext():
            try:
                return _clean(_decode(image, max_width_px))
            except Exception as error:  # decoders raise whatever their damaged input drives them into
                raise PictureError("unreadable", "the picture is damaged or cut short") from error


def _open(content: bytes) -> Image.Image:
    try:
        image = Image.open(io.BytesIO(content), formats=FORMATS)
    except Exception as error:  # as above
        raise PictureError("not a picture", _guess(content)) from error
    if image.width * image.height > MAX_PIXELS:
        size = f"{image.width} x {image.height} pixels; at most {MAX_PIXELS // 1_000_000} million are read"
        image.close()
        raise PictureError("too large", size)
    return image


def _guess(content: bytes) -> str:
    """Say what the file seems to be instead."""
    if content[4:8] == b"ftyp" and content[8:12] in _HEIC_BRANDS:
        return "HEIC, which cannot be read here; save it as JPEG first"
    if content.startswith(b"%PDF-"):
        return "a PDF; save the page as PNG or JPEG"
    if b"<svg" in content[:1000]:
        return "an SVG; save it as PNG"
    if content.startswith(b"version https://git-lfs"):
        return "only a pointer to the picture, which Git has not fetched"
    return "" if content else "the file is empty"


def orientation(image: Image.Image) -> int:
    """Return the orientation tag, 1 to 8, that has yet to be obeyed."""
    # Pillow obeys the tag of a TIFF by itself. Asking a PNG for one that it lacks would decode all of it.
    if image.format == "TIFF" or (image.format == "PNG" and "exif" not in image.info):
        return 1
    try:
        value = image.getexif().get(_ORIENTATION, 1)
    except Exception:  # damaged metadata makes no picture unreadable
        return 1
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def _decode(image: Image.Image, max_width_px: int | None) -> Image.Image:
    turn = orientation(image)
    profile = image.info.get("icc_profile")
    size: tuple[int, int] | None = None
    if max_width_px is not None:
        width, height = image.size if turn < 5 else image.size[::-1]
        scale = min(1.0, max_width_px / width, MAX_WEBP_SIDE_PX / height)
        if scale < 1:
            size = (max(1, round(width * scale)), max(1, round(height * scale)))
            if turn >= 5:
                size = size[::-1]
            # A JPEG can be decoded at a half, a quarter or an eighth; twice the wanted size keeps it sharp.
            image.draft(image.mode, (size[0] * 2, size[1] * 2))
    image.load()
    pixels = _to_eight_bits(image)
    if size is not None:
        pixels = pixels.resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0)
    pixels = to_srgb(pixels, profile)
    return pixels.transpose(TURNS[turn]) if turn in TURNS else pixels


def _to_eight_bits(image: Image.Image) -> Image.Image:
    """Return the image as L, LA, RGB, RGBA, CMYK or LAB."""
    mode = image.mode
    if mode in ("L", "RGB") and "transparency" in image.info:
        return image.convert("RGBA")
    if mode in ("L", "LA", "RGB", "RGBA", "CMYK", "LAB"):
        return image
    if mode in ("P", "PA"):
        return image.convert("RGBA" if mode == "PA" or "transparency" in image.info else "RGB")
    if mode.startswith("I"):
        # Sixteen bits: the upper eight of them.
        return image.convert("I").point(lambda value: value * (1 / 257)).convert("L")
    if mode in ("La", "RGBa"):
        return image.convert("LA" if mode == "La" else "RGBA")
    return image.convert("L" if mode in ("1", "F") else "RGB")


def to_srgb(image: Image.Image, profile: object) -> Image.Image:
    """Return the image as L, RGB or RGBA in sRGB; a profile that does not fit its picture is left aside."""
    has_alpha = image.mode in ("LA", "RGBA")
    colours = image.convert(image.mode[:-1]) if has_alpha else image
    if isinstance(profile, bytes) and profile:
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            if not ImageCms.getProfileDescription(source).startswith("sRGB"):
                converted = ImageCms.profileToProfile(
                    colours,
                    source,
                    ImageCms.createProfile("sRGB"),
                    renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
                    outputMode="RGB",
                    flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
                )
                colours = converted if converted is not None else colours
        except (ImageCms.PyCMSError, OSError, ValueError):
            pass
    if colours.mode == "LAB":
        colours = _lab_to_srgb(colours)
    if colours.mode not in ("L", "RGB"):
        colours = colours.convert("RGB")
    if not has_alpha:
        return colours
    alpha = image.getchannel("A")
    if alpha.getextrema() == (255, 255):
        return colours
    colours = colours.convert("RGB")
    colours.putalpha(alpha)
    return colours


def _lab_to_srgb(image: Image.Image) -> Image.Image:
    lab, srgb = ImageCms.createProfile("LAB"), ImageCms.createProfile("sRGB")
    converted = ImageCms.profileToProfile(image, lab, srgb, outputMode="RGB")
    return converted if converted is not None else image.convert("L")


def _clean(image: Image.Image) -> Image.Image:
    """Return a new image that has nothing but the pixels."""
    return Image.frombytes(image.mode, image.size, image.tobytes())
