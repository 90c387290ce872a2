"""Things that lie about: rulers, pencils, bone folder, brush, bottle, dividers, thread, swatches, piles.

In: sizes. Out: RGBA pictures of things seen from above, or things drawn into a Scene. Never: papers' artwork, files.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from lettering import set_line
from papers import clouds, grain, paper, stained, washed
from PIL import Image, ImageDraw, ImageFilter
from scene import Scene, place_corners
from sheet import Sheet

K = 7.0


def _picture(array: np.ndarray) -> Image.Image:
    return Image.fromarray((np.clip(array, 0, 1) * 255).astype(np.uint8))


def ruler(length_mm: float = 200.0, width_mm: float = 26.0, k: float = K) -> Image.Image:
    """Return a steel rule, millimetres on one edge; its zero stands 5 mm in from the end."""
    size = (round((length_mm + 10) * k), round(width_mm * k))
    brushed = (
        0.72 + 0.03 * grain((size[1], size[0]), 5, 0.5) + 0.05 * np.sin(np.linspace(0, 7, size[0]))[None, :]
    )
    image = _picture(brushed[..., None] * np.array([1.0, 1.0, 0.99])).convert("RGBA")
    draw = ImageDraw.Draw(image)
    dark = (40, 42, 46, 255)
    figures = Image.new("L", size, 0)
    for mm in range(int(length_mm) + 1):
        x = (mm + 5) * k
        reach = 9.0 if mm % 10 == 0 else 6.4 if mm % 5 == 0 else 4.2
        draw.line([(x, 0), (x, reach * k)], fill=dark, width=max(1, round(0.22 * k)))
        if mm % 10 == 0:
            set_line(figures, str(mm // 10), (x, 15.0 * k), "sans", round(4.6 * k), anchor="m")
    image.paste(dark, (0, 0), figures)
    draw.ellipse(
        (size[0] - 9 * k, size[1] / 2 + 1 * k, size[0] - 4 * k, size[1] / 2 + 6 * k), fill=(0, 0, 0, 0)
    )
    return image


def rod(
    length_mm: float,
    width_mm: float,
    colours: Sequence[tuple[float, tuple[int, int, int]]],
    point: float = 0.0,
    k: float = K,
) -> Image.Image:
    """Return a round stick seen from the side: bands of colour by share of length, perhaps a point on the right."""
    size = (round(length_mm * k), round(width_mm * k))
    xs = np.linspace(0, 1, size[0])
    ys = np.linspace(-1, 1, size[1])
    tone = 0.55 + 0.5 * np.exp(-(((ys + 0.3) / 0.45) ** 2)) - 0.25 * np.clip(ys, 0, 1)
    out = np.zeros((size[1], size[0], 4))
    for start, colour in colours:
        out[:, xs >= start, :3] = np.array(colour) / 255
    out[..., :3] *= tone[:, None, None]
    half = np.ones(size[0])
    if point:
        half = np.clip((1 - xs) * length_mm / point, 0.06, 1)
    out[..., 3] = (np.abs(ys)[:, None] <= half[None, :]) * 1.0
    return Image.fromarray((np.clip(out, 0, 1) * 255).astype(np.uint8))


def pencil() -> Image.Image:
    """Return a dark red pencil."""
    return rod(
        150,
        7.2,
        [(0.0, (70, 60, 56)), (0.05, (128, 36, 36)), (0.88, (206, 170, 120)), (0.965, (40, 38, 40))],
        18,
    )


def brush() -> Image.Image:
    """Return a flat wash brush."""
    return rod(190, 14, [(0.0, (96, 58, 34)), (0.62, (170, 150, 96)), (0.76, (64, 46, 34))])


def bone_folder() -> Image.Image:
    """Return a bone folder."""
    k = K
    size = (round(150 * k), round(20 * k))
    mask = Image.new("L", size, 0)
    ImageDraw.Draw(mask).polygon(
        [
            (0, size[1] * 0.3),
            (size[0] * 0.12, size[1] * 0.06),
            (size[0] * 0.8, size[1] * 0.16),
            (size[0] - 2, size[1] * 0.52),
            (size[0] * 0.8, size[1] * 0.84),
            (size[0] * 0.1, size[1] * 0.94),
            (0, size[1] * 0.7),
        ],
        fill=255,
    )
    mask = mask.filter(ImageFilter.GaussianBlur(5)).point(lambda v: 255 if v > 128 else 0)
    ys = np.linspace(-1, 1, size[1])[:, None]
    tone = (
        0.9
        + 0.1 * np.exp(-(((ys + 0.35) / 0.3) ** 2))
        - 0.22 * ys**2
        + 0.03 * clouds((size[1], size[0]), 3, 200)
    )
    image = _picture(tone[..., None] * np.array([0.93, 0.88, 0.76])).convert("RGBA")
    image.putalpha(mask)
    return image


def dividers() -> Image.Image:
    """Return brass dividers, opened."""
    size = (round(60 * K), round(120 * K))
    image = Image.new("RGBA", size, (0, 0, 0, 0))
    draw = ImageDraw.Draw(image)
    for side in (-1, 1):
        foot = size[0] / 2 + side * size[0] * 0.4
        draw.polygon(
            [
                (size[0] / 2 - 14, 60),
                (size[0] / 2 + 14, 60),
                (foot + 5 * side, size[1] * 0.66),
                (foot - 6 * side, size[1] * 0.66),
            ],
            fill=(176, 140, 66, 255) if side < 0 else (148, 114, 50, 255),
        )
        draw.polygon(
            [(foot - 6, size[1] * 0.66), (foot + 6, size[1] * 0.66), (foot + 4 * side, size[1] - 2)],
            fill=(120, 124, 130, 255),
        )
    draw.ellipse((size[0] / 2 - 30, 6, size[0] / 2 + 30, 66), fill=(190, 152, 74, 255))
    draw.ellipse((size[0] / 2 - 13, 23, size[0] / 2 + 13, 49), fill=(120, 92, 40, 255))
    return image


def bottle_top(radius_mm: float = 26.0, ink: tuple[int, int, int] = (24, 22, 30)) -> Image.Image:
    """Return an ink bottle seen from above."""
    size = round(radius_mm * 2 * K)
    ys, xs = np.mgrid[0:size, 0:size]
    reach = np.hypot(xs - size / 2, ys - size / 2) / (size / 2)
    shine = np.exp(-(((xs / size - 0.34) / 0.1) ** 2 + ((ys / size - 0.3) / 0.08) ** 2))
    base = np.where(reach[..., None] < 0.42, np.array(ink) / 255, np.array([0.16, 0.2, 0.22]))
    base = np.where((np.abs(reach - 0.5) < 0.075)[..., None], np.array([0.34, 0.38, 0.38]), base)
    base = base * (1 - 0.3 * reach[..., None]) + 0.5 * shine[..., None]
    out = np.dstack([np.clip(base, 0, 1), (reach < 0.98) * 1.0])
    return Image.fromarray((out * 255).astype(np.uint8))


def dish(radius_mm: float = 46.0, liquid: tuple[int, int, int] = (122, 66, 30)) -> Image.Image:
    """Return a white dish with something in it, from above."""
    size = round(radius_mm * 2 * K)
    ys, xs = np.mgrid[0:size, 0:size]
    reach = np.hypot(xs - size / 2, ys - size / 2) / (size / 2)
    side = (xs + ys - size) / size
    china = np.array([0.9, 0.89, 0.85]) * (0.92 - 0.16 * side * np.sign(0.86 - reach))[..., None]
    pool = (
        np.array(liquid)
        / 255
        * (0.8 + 0.5 * np.exp(-(((xs / size - 0.36) / 0.2) ** 2 + ((ys / size - 0.33) / 0.12) ** 2)))[
            ..., None
        ]
    )
    base = np.where((reach < 0.74)[..., None], pool, china)
    out = np.dstack([np.clip(base, 0, 1), (reach < 0.99) * 1.0])
    return Image.fromarray((out * 255).astype(np.uint8))


def swatch(
    kind: str,
    size_mm: tuple[float, float],
    label: str,
    seed: int,
    *,
    wash: float = 0.0,
    mark: bool = False,
    k: float = K,
) -> Image.Image:
    """Return a labelled piece of a stock, perhaps washed."""
    size = (round(size_mm[0] * k), round(size_mm[1] * k))
    ground = paper(kind, size, k, seed, 0.05)
    if wash:
        ground = washed(ground, seed, wash)
    if mark:
        ground = stained(ground, (size[0] * 0.5, size[1] * 0.42), size[0] * 0.3, seed, 0.32)
    note = Sheet(f"swatch {label}", *size_mm, round(k * 25.4), 1)
    note.ink((52, 48, 58))
    note.write(label, 3.5, size_mm[1] - 4, 2.0, contrast=0.2, pen=0.12)
    ink = np.asarray(note.colour().resize(size), dtype=np.float64) / 255
    return _picture(ground * ink).convert("RGBA")


def pile(
    scene: Scene,
    image: Image.Image,
    centre: tuple[float, float],
    size_mm: tuple[float, float],
    turn_deg: float,
    height: float,
    colour: tuple[float, float, float],
    seed: int = 1,
    layers: int = 9,
) -> None:
    """Stack cut sheets; the top one shows the picture."""
    rng = np.random.default_rng(seed)
    base = place_corners(centre, size_mm, turn_deg, height)
    scene.shadow(base, 2.0 + height * 0.25, 0.5)
    for layer in range(layers):
        z = height * layer / layers
        spot = (centre[0] + rng.normal(0, 0.25), centre[1] + rng.normal(0, 0.25))
        tone = 0.62 + 0.2 * (layer % 2)
        scene.polygon(
            place_corners(spot, size_mm, turn_deg + rng.normal(0, 0.15), z),
            (colour[0] * tone, colour[1] * tone, colour[2] * tone),
        )
    scene.lay(image, centre, size_mm, turn_deg, height, shadow=0.0)


def thread(
    scene: Scene,
    points: Sequence[tuple[float, float]],
    z: float = 0.8,
    width: float = 0.7,
    colour: tuple[float, float, float] = (0.86, 0.8, 0.66),
) -> None:
    """Let a thread lie on the table with its shadow."""
    smooth: list[tuple[float, float]] = []
    for (x0, y0), (x1, y1) in zip(points, points[1:], strict=False):
        for step in range(8):
            t = step / 8
            smooth.append((x0 + (x1 - x0) * t + 0.4 * math.sin(t * math.pi * 2), y0 + (y1 - y0) * t))
    scene.path([(x + 1.0, y + 1.0, 0.0) for x, y in smooth], width * 1.4, (0.0, 0.0, 0.0), 0.35, 3)
    scene.path([(x, y, z) for x, y in smooth], width, colour)


def halftone(
    image: Image.Image, pitch: float, angle: float = 45.0, tint: tuple[int, int, int] = (34, 28, 26)
) -> Image.Image:
    """Return a picture as it looks printed through a screen: dots of one ink."""
    grey = np.asarray(image.convert("L"), dtype=np.float64) / 255
    height, width = grey.shape
    ys, xs = np.mgrid[0:height, 0:width]
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    u, v = (xs * cos + ys * sin) / pitch * math.pi, (-xs * sin + ys * cos) / pitch * math.pi
    screen = (np.cos(u * 2) + np.cos(v * 2)) / 4 + 0.5
    ink = np.clip((screen - grey * 1.02) * 3.2 + 0.5, 0, 1)
    colour = np.array(tint) / 255
    return _picture(1 - ink[..., None] * (1 - colour))
