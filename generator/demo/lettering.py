"""Printed letters: type faces by role, set with letter spacing, along lines and along arcs.

In: text, a role, a size in pixels. Out: letters on a grey Pillow mask. Never: handwriting (hand.py), colour.
Faces are looked for among the fonts installed where the pictures are drawn; Debian's packages
fonts-oldstandard, fonts-gfs-didot, fonts-bebas-neue and fonts-courier-prime hold the first choices (all OFL).
"""

from __future__ import annotations

import functools
import math

from PIL import Image, ImageDraw, ImageFont

Face = ImageFont.FreeTypeFont | ImageFont.ImageFont

ROLES: dict[str, tuple[str, ...]] = {
    "roman": ("OldStandard-Regular.ttf", "LiberationSerif-Regular.ttf", "DejaVuSerif.ttf"),
    "bold": ("OldStandard-Bold.ttf", "LiberationSerif-Bold.ttf", "DejaVuSerif-Bold.ttf"),
    "italic": ("OldStandard-Italic.ttf", "LiberationSerif-Italic.ttf", "DejaVuSerif.ttf"),
    "didone": ("GFSDidotBold.otf", "LiberationSerif-Bold.ttf", "DejaVuSerif-Bold.ttf"),
    "gothic": ("BebasNeue-Bold.otf", "LiberationSansNarrow-Bold.ttf", "DejaVuSansCondensed-Bold.ttf"),
    "gothic-light": ("BebasNeue-Book.otf", "LiberationSansNarrow-Regular.ttf", "DejaVuSansCondensed.ttf"),
    "typewriter": ("Courier Prime.otf", "LiberationMono-Regular.ttf", "DejaVuSansMono.ttf"),
    "sans": ("LiberationSans-Regular.ttf", "DejaVuSans.ttf"),
}


@functools.lru_cache(maxsize=256)
def find_face(role: str, size_px: int) -> tuple[Face, str]:
    """Return the first face found for a role and its file name, "" for the one that Pillow brings along."""
    for name in ROLES[role]:
        try:
            return ImageFont.truetype(name, size_px), name
        except OSError:
            continue
    return ImageFont.load_default(size_px), ""


def missing_faces() -> tuple[str, ...]:
    """Return the file names of first-choice faces that are not installed."""
    return tuple(names[0] for role, names in ROLES.items() if find_face(role, 20)[1] != names[0])


def text_width(text: str, role: str, size_px: int, spacing_px: float = 0.0) -> float:
    """Return the width of a line, pixels."""
    face = find_face(role, size_px)[0]
    if not spacing_px:
        return float(face.getlength(text))
    return float(sum(face.getlength(c) for c in text) + spacing_px * max(0, len(text) - 1))


def set_line(
    mask: Image.Image,
    text: str,
    at: tuple[float, float],
    role: str,
    size_px: int,
    *,
    spacing_px: float = 0.0,
    anchor: str = "l",
    ink: int = 255,
) -> float:
    """Set one line on its base line; anchor is l, m or r. Return the width, pixels."""
    draw = ImageDraw.Draw(mask)
    face = find_face(role, size_px)[0]
    width = text_width(text, role, size_px, spacing_px)
    x = at[0] - {"l": 0.0, "m": width / 2, "r": width}[anchor]
    freetype = isinstance(face, ImageFont.FreeTypeFont)
    top = 0.0 if freetype else size_px * 0.8
    if not spacing_px:
        draw.text((x, at[1] - top), text, fill=ink, font=face, anchor="ls" if freetype else None)
        return width
    for letter in text:
        draw.text((x, at[1] - top), letter, fill=ink, font=face, anchor="ls" if freetype else None)
        x += float(face.getlength(letter)) + spacing_px
    return width


def set_turned(
    mask: Image.Image,
    text: str,
    centre: tuple[float, float],
    role: str,
    size_px: int,
    degrees: float,
    *,
    spacing_px: float = 0.0,
) -> None:
    """Set one line centred on a point and turned anticlockwise."""
    width = int(text_width(text, role, size_px, spacing_px)) + 8
    height = int(size_px * 1.6)
    slip = Image.new("L", (width, height), 0)
    set_line(slip, text, (width / 2, height * 0.68), role, size_px, spacing_px=spacing_px, anchor="m")
    slip = slip.rotate(degrees, resample=Image.Resampling.BICUBIC, expand=True)
    corner = (int(centre[0] - slip.width / 2), int(centre[1] - slip.height / 2))
    mask.paste(255, (corner[0], corner[1], corner[0] + slip.width, corner[1] + slip.height), slip)


def set_arc(
    mask: Image.Image,
    text: str,
    centre: tuple[float, float],
    radius_px: float,
    role: str,
    size_px: int,
    *,
    middle_deg: float = 90.0,
    spacing_px: float = 0.0,
    inside: bool = False,
) -> None:
    """Set letters along an arc; `middle_deg` is where the middle stands, anticlockwise from the right."""
    face = find_face(role, size_px)[0]
    advances = [float(face.getlength(c)) + spacing_px for c in text]
    sign = 1.0 if inside else -1.0
    angle = math.radians(middle_deg) - sign * sum(advances) / radius_px / 2
    for letter, advance in zip(text, advances, strict=True):
        angle += sign * advance / radius_px / 2
        turn = math.degrees(angle) + (90 if inside else -90)
        x = centre[0] + radius_px * math.cos(angle)
        y = centre[1] - radius_px * math.sin(angle)
        set_turned(mask, letter, (x, y), role, size_px, turn)
        angle += sign * advance / radius_px / 2
