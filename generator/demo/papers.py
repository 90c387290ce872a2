"""What sheets look like before anything is printed on them: texture, laid lines, toning, stains, cloth, wood.

In: a kind of material, a size in pixels, a seed. Out: RGB arrays of 0 to 1. Never: artwork, files.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Array = NDArray[np.float64]

#: Ground colour, strength of the cloudiness, strength of the fibre, per kind.
GROUNDS: dict[str, tuple[tuple[int, int, int], float, float]] = {
    "text-wove": ((236, 224, 196), 0.035, 0.028),
    "bank-thin": ((238, 232, 212), 0.03, 0.02),
    "tracing": ((222, 221, 204), 0.05, 0.012),
    "waxed": ((226, 214, 176), 0.07, 0.012),
    "blotting": ((206, 138, 132), 0.05, 0.06),
    "pasteboard": ((196, 164, 108), 0.03, 0.05),
    "manila-tag": ((210, 176, 118), 0.03, 0.06),
    "ivory-board": ((240, 232, 212), 0.02, 0.02),
    "laid-cream": ((234, 222, 192), 0.03, 0.02),
    "news": ((216, 204, 174), 0.05, 0.06),
    "photo-card": ((226, 214, 190), 0.02, 0.012),
    "gummed-white": ((234, 226, 206), 0.03, 0.02),
    "buff-form": ((226, 200, 146), 0.03, 0.04),
    "receipt-blue": ((196, 206, 206), 0.03, 0.03),
    "drab-cover": ((150, 134, 104), 0.04, 0.06),
    "coated": ((240, 236, 226), 0.015, 0.008),
}


def clouds(shape: tuple[int, int], seed: int, scale: float, octaves: int = 4) -> Array:
    """Return smooth noise of mean 0 and about unit spread; `scale` is the largest blob in pixels."""
    rng = np.random.default_rng(seed)
    out = np.zeros(shape)
    for octave in range(octaves):
        cell = max(1.5, scale / 2**octave)
        small = (max(2, int(shape[0] / cell) + 3), max(2, int(shape[1] / cell) + 3))
        grid = rng.normal(0, 1, small)
        zoomed = ndimage.zoom(grid, (shape[0] / (small[0] - 2), shape[1] / (small[1] - 2)), order=1)
        out += zoomed[: shape[0], : shape[1]] * 0.6**octave
    spread = float(out.std()) or 1.0
    return (out - float(out.mean())) / spread


def grain(shape: tuple[int, int], seed: int, blur: float = 0.7) -> Array:
    """Return fine noise of unit spread."""
    noise = ndimage.gaussian_filter(np.random.default_rng(seed).normal(0, 1, shape), blur)
    result: Array = noise / (float(noise.std()) or 1.0)
    return result


def fibres(shape: tuple[int, int], seed: int, count: int, length: float) -> Array:
    """Return short soft dark strokes, 0 to 1."""
    from PIL import Image, ImageDraw

    rng = np.random.default_rng(seed)
    image = Image.new("L", (shape[1], shape[0]), 0)
    draw = ImageDraw.Draw(image)
    for x, y, angle, size in zip(
        rng.uniform(0, shape[1], count),
        rng.uniform(0, shape[0], count),
        rng.uniform(0, 6.28, count),
        rng.uniform(0.3, 1, count),
        strict=True,
    ):
        dx, dy = np.cos(angle) * length * size, np.sin(angle) * length * size
        draw.line([(x, y), (x + dx, y + dy), (x + dx * 1.6 - dy * 0.4, y + dy * 1.6 + dx * 0.4)], fill=255)
    return np.asarray(image, dtype=np.float64) / 255


def paper(kind: str, size: tuple[int, int], px_per_mm: float, seed: int, age: float = 0.5) -> Array:
    """Return a piece of paper.

    Args:
        kind: A key of GROUNDS.
        size: Width and height, pixels.
        px_per_mm: Resolution.
        seed: Source of the differences from piece to piece.
        age: 0 fresh, 1 old: toned edges, foxing.

    Returns:
        Array of height x width x 3, 0 to 1.
    """
    ground, cloudy, rough = GROUNDS[kind]
    shape = (size[1], size[0])
    tone = 1 + cloudy * 0.5 * clouds(shape, seed, 22 * px_per_mm) + rough * 0.55 * grain(shape, seed + 1)
    if kind in ("manila-tag", "news", "blotting", "drab-cover", "buff-form", "pasteboard"):
        area_mm2 = shape[0] * shape[1] / px_per_mm**2
        tone -= 0.09 * fibres(shape, seed + 2, int(area_mm2 * 0.35), 1.1 * px_per_mm)
    if kind == "laid-cream":
        ys, xs = np.mgrid[0 : shape[0], 0 : shape[1]]
        tone += 0.016 * np.sin(2 * np.pi * ys / max(2.2, 1.0 * px_per_mm))
        tone -= 0.035 * np.exp(-((((xs % (25 * px_per_mm)) - 12 * px_per_mm) / (0.3 * px_per_mm)) ** 2))
    colour = np.array(ground) / 255.0
    out = tone[..., None] * colour
    if age:
        out = toned_edges(out, px_per_mm, seed + 3, age)
        out = foxed(out, px_per_mm, seed + 4, age)
    result: Array = np.clip(out, 0, 1)
    return result


def toned_edges(rgb: Array, px_per_mm: float, seed: int, strength: float) -> Array:
    """Return the sheet browned along its edges, unevenly."""
    height, width = rgb.shape[:2]
    ys, xs = np.mgrid[0:height, 0:width]
    edge = np.minimum(np.minimum(xs, width - 1 - xs), np.minimum(ys, height - 1 - ys)) / px_per_mm
    uneven = 1 + 0.45 * clouds((height, width), seed, 30 * px_per_mm, 3)
    burn = strength * np.exp(-edge / (7 * np.clip(uneven, 0.3, 2.2))) * 0.34
    tint = np.array([0.35, 0.62, 1.0])
    result: Array = rgb * (1 - burn[..., None] * tint)
    return result


def foxed(rgb: Array, px_per_mm: float, seed: int, strength: float) -> Array:
    """Return the sheet with a few brown spots."""
    height, width = rgb.shape[:2]
    rng = np.random.default_rng(seed)
    spots = np.zeros((height, width))
    for _ in range(int(strength * height * width / px_per_mm**2 / 900)):
        y, x = rng.integers(0, height), rng.integers(0, width)
        spots[y, x] += rng.uniform(0.3, 1.0) * (2 * px_per_mm) ** 2
    soft = ndimage.gaussian_filter(spots, 0.7 * px_per_mm) + 0.4 * ndimage.gaussian_filter(
        spots, 1.8 * px_per_mm
    )
    result: Array = rgb * (1 - np.clip(soft, 0, 1.2)[..., None] * np.array([0.10, 0.2, 0.32]))
    return result


def stained(
    rgb: Array, centre: tuple[float, float], radius: float, seed: int, strength: float = 0.3
) -> Array:
    """Return the sheet with a dried tide mark: pale inside, dark at its rim. Pixels."""
    height, width = rgb.shape[:2]
    ys, xs = np.mgrid[0:height, 0:width]
    warp = 0.12 * clouds((height, width), seed, radius, 3)
    reach = np.hypot(xs - centre[0], ys - centre[1]) / radius + warp
    rim = np.exp(-(((reach - 1) / 0.035) ** 2)) + 0.35 * np.exp(-np.clip(1 - reach, 0, 9) / 0.16) * (
        reach < 1
    )
    inside = 0.3 * (reach < 1)
    burn = strength * np.clip(rim + inside, 0, 1.3)
    result: Array = rgb * (1 - burn[..., None] * np.array([0.28, 0.5, 0.8]))
    return result


def washed(rgb: Array, seed: int, strength: float) -> Array:
    """Return the sheet after a tea wash: browner, cloudy, darker where it pooled."""
    cloud = clouds(rgb.shape[:2], seed, rgb.shape[1] / 3.0, 4)
    burn = np.clip(strength * (1 + 0.35 * cloud), 0, 1)
    result: Array = rgb * (1 - burn[..., None] * np.array([0.22, 0.42, 0.66]))
    return result


def cloth(size: tuple[int, int], px_per_mm: float, seed: int, colour: tuple[int, int, int]) -> Array:
    """Return book cloth: a plain weave, a little faded."""
    shape = (size[1], size[0])
    ys, xs = np.mgrid[0 : shape[0], 0 : shape[1]]
    pitch = max(2.5, 0.5 * px_per_mm)
    weave = np.sin(2 * np.pi * xs / pitch) * np.sin(2 * np.pi * ys / pitch)
    tone = 1 + 0.09 * weave + 0.06 * clouds(shape, seed, 40 * px_per_mm) + 0.05 * grain(shape, seed + 1, 0.6)
    result: Array = np.clip(tone[..., None] * np.array(colour) / 255, 0, 1)
    return result


def wood(
    size: tuple[int, int], seed: int, colour: tuple[int, int, int] = (112, 78, 48), plank: int = 0
) -> Array:
    """Return a wooden table: long grain, planks of a given width in pixels (0: one board)."""
    height, width = size[1], size[0]
    coarse = clouds((height, max(8, width // 14)), seed, max(6.0, height / 60), 4)
    long_grain = ndimage.zoom(coarse, (1, width / coarse.shape[1]), order=1)[:, :width]
    rings = np.sin(
        ndimage.gaussian_filter1d(long_grain, 2, axis=0) * 5.0 + np.linspace(0, 26, height)[:, None]
    )
    tone = 0.92 + 0.1 * long_grain + 0.07 * rings + 0.03 * grain((height, width), seed + 1, 0.8)
    if plank:
        for index in range(height // plank + 2):
            top = index * plank
            tone[top : top + plank] *= 1 + 0.1 * np.sin(index * 2.4 + seed)
            tone[top : top + 3] *= 0.45
    result: Array = np.clip(tone[..., None] * np.array(colour) / 255, 0, 1)
    return result


def slate(size: tuple[int, int], seed: int, colour: tuple[int, int, int] = (60, 70, 68)) -> Array:
    """Return a dark even bench top."""
    shape = (size[1], size[0])
    tone = 1 + 0.06 * clouds(shape, seed, size[0] / 4, 5) + 0.03 * grain(shape, seed + 1, 0.8)
    result: Array = np.clip(tone[..., None] * np.array(colour) / 255, 0, 1)
    return result


def cutting_mat(size: tuple[int, int], px_per_mm: float, seed: int) -> Array:
    """Return a green bench mat ruled in centimetres."""
    out = slate(size, seed, (52, 84, 74))
    height, width = out.shape[:2]
    for along, length in ((0, width), (1, height)):
        for index in range(int(length / px_per_mm / 10) + 1):
            at = int(index * 10 * px_per_mm)
            strength = 0.3 if index % 5 == 0 else 0.13
            band = out[:, at : at + 2] if along == 0 else out[at : at + 2, :]
            band += (np.array([0.8, 0.86, 0.78]) - band) * strength
    return out


def ink_on(rgb: Array, artwork: Array, strength: float = 0.94) -> Array:
    """Return the paper with artwork (RGB on white, 0 to 1, same size) printed on it."""
    return rgb * (1 - strength * (1 - artwork))
