"""Pictures that show which way up they are, and carry what must not be published."""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image, ImageDraw

MARKER = b"LEFT-BEHIND-7153"
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/">' + MARKER + b"</x:xmpmeta>"


def sketch(mode: str = "RGB", size: tuple[int, int] = (64, 40)) -> Image.Image:
    """A picture whose corners tell which way up it is: red, green, blue, black from top left clockwise."""
    image = Image.new("RGB", size, "white")
    draw = ImageDraw.Draw(image)
    w, h = size
    for box, colour in (
        ((0, 0, w // 4, h // 4), "red"),
        ((w - w // 4, 0, w, h // 4), "lime"),
        ((w - w // 4, h - h // 4, w, h), "blue"),
        ((0, h - h // 4, w // 4, h), "black"),
    ):
        draw.rectangle(box, fill=colour)
    return image.convert(mode)


def encode(image: Image.Image, form: str, **options: object) -> bytes:
    out = io.BytesIO()
    image.save(out, form, **options)  # type: ignore[arg-type]
    return out.getvalue()


def put(root: Path, file: str, content: bytes) -> str:
    path = root / "journal" / file
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    return file


def exif(orientation: int = 1) -> Image.Exif:
    tags = Image.Exif()
    tags[0x0112] = orientation
    tags[0x010F] = MARKER.decode()  # maker of the camera
    tags[0x9286] = MARKER  # comment
    place = tags.get_ifd(0x8825)
    place[1], place[2] = "N", (47.0, 8.0, 1.0)
    place[29] = MARKER.decode()
    return tags


def opened(content: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(content))
    image.load()
    return image


def corner_names(image: Image.Image) -> list[str]:
    rgb = image.convert("RGB")
    w, h = rgb.size
    names = []
    for x, y in ((w // 10, h // 10), (w - 1 - w // 10, h // 10), (w - 1 - w // 10, h - 1 - h // 10),
                 (w // 10, h - 1 - h // 10)):  # fmt: skip
        pixel = rgb.getpixel((x, y))
        assert isinstance(pixel, tuple)
        strong = [channel > 128 for channel in pixel]
        names.append({(1, 0, 0): "red", (0, 1, 0): "green", (0, 0, 1): "blue"}.get(tuple(strong), "black"))  # type: ignore[call-overload]
    return names


UPRIGHT = ["red", "green", "blue", "black"]
