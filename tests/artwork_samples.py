"""Artwork files for tests: letters and marks that are alike under no turn or mirroring, as any kind of file."""

from __future__ import annotations

import io
import random
import struct
import zlib
from typing import Any

import pikepdf
from PIL import Image, ImageCms, ImageDraw


def encode(image: Image.Image, format: str, **settings: Any) -> bytes:
    """Return an image as a file."""
    out = io.BytesIO()
    image.save(out, format, **settings)
    return out.getvalue()


def bilevel(width: int = 240, height: int = 360, seed: int = 1) -> Image.Image:
    """Return a page of blocks in the manner of lines of text, with a big corner mark upper left."""
    chance = random.Random(seed)
    image = Image.new("1", (width, height), 1)
    draw = ImageDraw.Draw(image)
    draw.rectangle((4, 4, width // 4, height // 12), fill=0)
    draw.polygon(((4, height - 5), (width // 3, height - 5), (4, height - height // 6)), fill=0)
    for y in range(height // 8, height - height // 5, max(6, height // 40)):
        x = width // 10
        while x < width * 9 // 10:
            length = chance.randint(2, 12) * width // 240
            draw.rectangle((x, y, x + max(1, length), y + max(2, height // 90)), fill=0)
            x += length + chance.randint(3, 8) * max(1, width // 240)
    return image


def grey(width: int = 120, height: int = 90, seed: int = 2) -> Image.Image:
    """Return greys: a slope with grain on it."""
    chance = random.Random(seed)
    slope = bytes(
        min(255, x * 255 // width // 2 + y * 255 // height // 3 + chance.randint(0, 20))
        for y in range(height)
        for x in range(width)
    )
    return Image.frombytes("L", (width, height), slope)


def colour(width: int = 120, height: int = 90) -> Image.Image:
    """Return three different slopes."""
    base = grey(width, height)
    return Image.merge("RGB", [base, base.transpose(Image.Transpose.FLIP_LEFT_RIGHT), grey(width, height, 3)])


def g4_tiff(image: Image.Image, **tags: Any) -> bytes:
    """Return a bilevel image as a TIFF of one Group 4 strip."""
    return encode(image, "TIFF", compression="group4", tiffinfo={278: image.height}, **tags)


def tagged_tiff(image: Image.Image, *tags: tuple[int, int], mirror_bits: bool = False) -> bytes:
    """Return a bilevel image as a TIFF of one Group 4 strip made by hand, with further short tags."""
    made = g4_tiff(image)
    known = Image.open(io.BytesIO(made)).tag_v2  # type: ignore[attr-defined]
    strip = made[known[273][0] : known[273][0] + known[279][0]]
    if mirror_bits:
        strip = bytes(int(f"{byte:08b}"[::-1], 2) for byte in strip)
    short, long = 3, 4
    rows = [
        (256, short, image.width), (257, short, image.height), (258, short, 1), (259, short, 4),
        (262, short, known[262]), (273, long, 0), (277, short, 1), (278, long, image.height),
        (279, long, len(strip)), *((tag, short, value) for tag, value in tags),
    ]  # fmt: skip
    begin = 8 + 2 + 12 * len(rows) + 4
    out = b"II*\0" + struct.pack("<IH", 8, len(rows))
    for tag, kind, value in sorted(rows):
        out += struct.pack("<HHII", tag, kind, 1, begin if tag == 273 else value)
    return out + bytes(4) + strip


def png(
    header: tuple[int, int, int, int, int], rows: bytes, *chunks: tuple[bytes, bytes], interlace: int = 0
) -> bytes:
    """Return a PNG made by hand: (width, height, bits, colour type, spare), filtered rows, chunks before IDAT."""
    width, height, bits, kind, _ = header
    head = width.to_bytes(4, "big") + height.to_bytes(4, "big") + bytes((bits, kind, 0, 0, interlace))
    parts = [(b"IHDR", head), *chunks, (b"IDAT", zlib.compress(rows)), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        len(data).to_bytes(4, "big") + name + data + zlib.crc32(name + data).to_bytes(4, "big")
        for name, data in parts
    )


def vector_pdf(
    content: str,
    media: tuple[float, float, float, float] = (0, 0, 300, 420),
    pages: int = 1,
    encryption: pikepdf.Encryption | None = None,
    **entries: Any,
) -> bytes:
    """Return a PDF whose pages all draw the same content stream."""
    pdf = pikepdf.Pdf.new()
    for _ in range(pages):
        page = pdf.add_blank_page(page_size=(media[2] - media[0], media[3] - media[1]))
        page.MediaBox = pikepdf.Array(list(media))
        page.Contents = pdf.make_stream(content.encode("ascii"))
        for name, value in entries.items():
            page[f"/{name}"] = value
    out = io.BytesIO()
    if encryption is None:
        pdf.save(out)
    else:
        pdf.save(out, encryption=encryption)
    return out.getvalue()


def swapped_profile() -> bytes:
    """Return a colour profile that holds red and green the wrong way round, which shows whether it was obeyed."""
    content = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    tags = {}
    for index in range(struct.unpack_from(">I", content, 128)[0]):
        name, offset, size = struct.unpack_from(">4sII", content, 132 + 12 * index)
        tags[name] = (132 + 12 * index, offset, size)
    red, green = tags[b"rXYZ"], tags[b"gXYZ"]
    struct.pack_into(">II", content, red[0] + 4, green[1], green[2])
    struct.pack_into(">II", content, green[0] + 4, red[1], red[2])
    # The description must not say sRGB, or it is taken at its word.
    return bytes(content).replace("sRGB".encode("utf-16-be"), "swap".encode("utf-16-be"))
