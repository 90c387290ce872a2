"""Inserts that are pictures: the photograph and the pressed weed.

In: a Sheet of the insert's size. Out: ink on it, both sides apart. Never: paper, files.
"""

from __future__ import annotations

import math

import numpy as np
from inserts_small import PENCIL
from papers import clouds, grain
from PIL import Image
from scipy import ndimage
from sheet import BLACK, BLUE, SEPIA, Colour, Sheet, hash_name


def photograph(width: int, height: int, seed: int) -> Image.Image:
    """Return the photograph itself: the tower on its rock at last light, in brown."""
    ys, xs = np.mgrid[0:height, 0:width]
    u, v = xs / width, ys / height
    sky = 0.9 - 0.5 * v + 0.09 * clouds((height, width), seed, width / 2.5, 5) * (0.4 + v)
    sky += 0.32 * np.exp(-(((u - 0.7) / 0.2) ** 2 + ((v - 0.52) / 0.1) ** 2))
    horizon = 0.6
    ripple = ndimage.gaussian_filter(
        np.random.default_rng(seed + 1).normal(0, 1, (height, width)), (0.8, width / 60)
    )
    ripple /= float(ripple.std())
    depth = np.clip((v - horizon) / (1 - horizon), 0, 1)
    sea = (
        0.46
        - 0.22 * depth
        + 0.11 * ripple * (0.3 + depth)
        + 0.3 * np.exp(-(((u - 0.7) / (0.05 + 0.14 * depth)) ** 2)) * (0.6 + 0.4 * ripple)
    )
    picture = np.where(v < horizon, sky, sea)
    coast = (
        horizon
        - 0.05 * np.clip(1 - u * 2.6, 0, 1)
        - 0.008 * clouds((height, width), seed + 2, width / 12, 4)[0][None, :]
    )
    picture = np.where((v > coast) & (v < horizon) & (u < 0.4), 0.34, picture)
    rock = (
        horizon
        + 0.05
        - 0.2 * np.exp(-(((u - 0.44) / 0.13) ** 2))
        + 0.012 * clouds((height, width), seed + 3, 60, 5)[0][None, :]
    )
    picture = np.where(
        (v > rock) & (v < horizon + 0.075 - 0.4 * (u - 0.44) ** 2) & (np.abs(u - 0.44) < 0.24), 0.13, picture
    )
    half = 0.016 + 0.014 * np.clip((v - 0.16) / 0.3, 0, 1)
    tower = (np.abs(u - 0.44) < half) & (v > 0.16) & (v < 0.46)
    picture = np.where(tower, 0.26 + 0.25 * (u > 0.445), picture)
    picture = np.where((np.abs(u - 0.44) < 0.024) & (v > 0.148) & (v < 0.166), 0.12, picture)
    picture = np.where((np.abs(u - 0.44) < 0.012) & (v > 0.098) & (v < 0.15), 0.95, picture)
    picture = np.where(
        (np.abs(u - 0.44) < 0.016 * np.clip((v - 0.068) / 0.03, 0, 1)) & (v > 0.068) & (v < 0.1),
        0.12,
        picture,
    )
    for step in range(6):
        y0 = 0.82 + step * 0.035
        inside = (v > y0) & (v < y0 + 0.035) & (u < 0.2 - step * 0.0 + 0.045 * step)
        picture = np.where(inside, 0.2 + 0.035 * step + 0.1 * (v - y0 < 0.009), picture)
    figure = (np.hypot((u - 0.255) * width / height, v - 0.79) < 0.016) | (
        (np.abs(u - 0.255) < 0.016 + 0.02 * np.clip((v - 0.81) * 5, 0, 1)) & (v > 0.805) & (v < 0.93)
    )
    picture = np.where(figure, 0.1, picture)
    picture = np.where((np.abs(u - 0.285) < 0.0022) & (v > 0.66) & (v < 0.93), 0.14, picture)
    picture = ndimage.gaussian_filter(picture, width / 900) + 0.028 * grain((height, width), seed + 4, 0.9)
    picture *= 1 - 0.5 * ((u - 0.5) ** 2 + (v - 0.5) ** 2)
    tone = np.clip(picture, 0, 1)[..., None]
    dark, light = np.array([0.16, 0.1, 0.07]), np.array([0.97, 0.91, 0.79])
    return Image.fromarray(((dark + (light - dark) * tone) * 255).astype(np.uint8))


def photo_front(s: Sheet) -> None:
    """Print the photograph with a pale border."""
    border = round(3.2 / 25.4 * s.out_px[0] / s.size_mm[0] * 25.4)
    ground = Image.new("RGB", s.out_px, (255, 253, 247))
    inner = photograph(s.out_px[0] - 2 * border, s.out_px[1] - 2 * border, hash_name("photo"))
    ground.paste(inner, (border, border))
    s.washes = ground


def photo_back(s: Sheet) -> None:
    """What is written behind it."""
    s.ink(BLUE)
    s.write_lines(["Lamp Rock from the Stairs,", "low water. He says no one", "is on them."], 10, 22, 11, 2.5)
    s.ink(PENCIL)
    s.write("look again", 64, 70, 2.4, turn=-0.12, contrast=0.1, pen=0.12)
    s.text("19", 98, 14, 5, "typewriter", anchor="r")


def _frond(s: Sheet, x: float, y: float, angle: float, length: float, width: float, level: int) -> None:
    """Grow one branch of weed."""
    rng = s.rng
    points = [(x, y)]
    for _ in range(5):
        angle += rng.gauss(0, 0.14)
        x += math.cos(angle) * length / 5
        y -= math.sin(angle) * length / 5
        points.append((x, y))
    s.pen(points, width, 0.05, taper=level == 0, ink=rng.randint(150, 235))
    if level == 0:
        return
    for index in range(1, 6):
        side = 1 if index % 2 else -1
        px, py = points[index]
        _frond(
            s,
            px,
            py,
            angle + side * rng.uniform(0.35, 0.8),
            length * rng.uniform(0.45, 0.68),
            width * 0.66,
            level - 1,
        )
    _frond(s, x, y, angle, length * 0.7, width * 0.72, level - 1)


def seaweed_front(s: Sheet) -> None:
    """A pressed seaweed on card, with its name."""
    colours: tuple[Colour, ...] = ((122, 38, 46), (88, 74, 34), (150, 64, 60))
    for colour, angle, length in zip(colours, (1.62, 1.95, 1.2), (35, 27, 25), strict=True):
        s.ink(colour)
        _frond(s, 45 + (angle - 1.6) * -10, 112, angle, length, 1.3, 3)
    s.ink(SEPIA)
    s.write("Gathered at the Stairs, 5th step", 10, 124, 1.9)
    s.write("at a tide that was not there.", 12, 132, 1.9)
    s.ink(BLACK)
    s.text("19", 82, 12, 4, "typewriter", anchor="r")
