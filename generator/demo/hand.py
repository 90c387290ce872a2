"""Writing with a pen: words as strokes whose width follows the direction and the pressure.

In: text, a place in pixels, a random generator. Out: ink on a grey Pillow mask. Never: colour, files.
Letters inside a word are joined into one path, so that no two letters come out alike.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from glyphs import GLYPHS, JOINING
from PIL import ImageDraw

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Hand:
    """A way of writing; lengths in units of the x-height.

    Attributes:
        x_height: x-height, pixels.
        slant: Shift to the right for each unit upwards.
        pen: Width of the pen on a full downstroke.
        contrast: 0 for a pencil, near 1 for a pointed pen.
        wobble: Random displacement of the control points.
        spacing: Extra space between letters.
    """

    x_height: float
    slant: float = 0.42
    pen: float = 0.2
    contrast: float = 0.6
    wobble: float = 0.05
    spacing: float = 0.0


def smooth_path(points: list[Point], step: float) -> list[Point]:
    """Return a Catmull-Rom curve through the points, sampled about every `step` units."""
    if len(points) < 3:
        return list(points)
    padded = [points[0], *points, points[-1]]
    out: list[Point] = []
    for p0, p1, p2, p3 in zip(padded, padded[1:], padded[2:], padded[3:], strict=False):
        count = max(2, int(math.dist(p1, p2) / step))
        for index in range(count):
            t = index / count
            t2, t3 = t * t, t * t * t
            a, b, c, d = -t3 + 2 * t2 - t, 3 * t3 - 5 * t2 + 2, -3 * t3 + 4 * t2 + t, t3 - t2
            out.append(
                (
                    0.5 * (a * p0[0] + b * p1[0] + c * p2[0] + d * p3[0]),
                    0.5 * (a * p0[1] + b * p1[1] + c * p2[1] + d * p3[1]),
                )
            )
    out.append(points[-1])
    return out


def draw_pen_path(draw: ImageDraw.ImageDraw, path: list[Point], widths: list[float], ink: int = 255) -> None:
    """Draw a path whose width changes along it, with round joints."""
    for (x0, y0), (x1, y1), w0, w1 in zip(path, path[1:], widths, widths[1:], strict=False):
        length = math.hypot(x1 - x0, y1 - y0)
        if length < 1e-6:
            continue
        nx, ny = -(y1 - y0) / length / 2, (x1 - x0) / length / 2
        draw.polygon(
            [
                (x0 + nx * w0, y0 + ny * w0),
                (x1 + nx * w1, y1 + ny * w1),
                (x1 - nx * w1, y1 - ny * w1),
                (x0 - nx * w0, y0 - ny * w0),
            ],
            fill=ink,
        )
        draw.ellipse((x1 - w1 / 2, y1 - w1 / 2, x1 + w1 / 2, y1 + w1 / 2), fill=ink)
    if path:
        (x, y), w = path[0], widths[0]
        draw.ellipse((x - w / 2, y - w / 2, x + w / 2, y + w / 2), fill=ink)


def _widths(path: list[Point], hand: Hand, rng: Random) -> list[float]:
    """Return the pen's width at each point of a path in pixels (y downwards)."""
    phase, full = rng.uniform(0, 6.3), hand.pen * hand.x_height
    raw: list[float] = []
    for index, (x, y) in enumerate(path):
        x1, y1 = path[min(index + 1, len(path) - 1)]
        x0, y0 = path[max(index - 1, 0)]
        length = math.hypot(x1 - x0, y1 - y0) or 1.0
        down = max(0.0, (y1 - y0) / length)
        pressure = 1.0 + 0.12 * math.sin(phase + (x + y) / (5 * hand.x_height))
        raw.append(full * pressure * (1 - hand.contrast + hand.contrast * down))
    smooth: list[float] = []
    for index in range(len(raw)):
        window = raw[max(0, index - 2) : index + 3]
        smooth.append(max(1.0, sum(window) / len(window)))
    return smooth


def _words_strokes(word: str, hand: Hand, rng: Random) -> tuple[list[list[Point]], float]:
    """Return the strokes of one word in units of the x-height and its width."""
    strokes: list[list[Point]] = []
    joined: list[Point] = []
    pen_x = 0.0

    def shaken(points: tuple[Point, ...], scale: float, lift: float) -> list[Point]:
        return [
            (
                pen_x + x * scale + rng.gauss(0, hand.wobble),
                y * scale * (1.0 + lift) + rng.gauss(0, hand.wobble) * 0.8,
            )
            for x, y in points
        ]

    for letter in word:
        glyph = GLYPHS.get(letter)
        if glyph is None:
            continue
        advance, main, lifted = glyph
        scale = 1.0 + rng.gauss(0, 0.03)
        lift = rng.gauss(0, 0.03)
        points = shaken(main, scale, lift)
        if letter in JOINING:
            joined.extend(points)
        else:
            if joined:
                strokes.append(joined)
                joined = []
            strokes.append(points)
        strokes.extend(shaken(extra, scale, lift) for extra in lifted)
        pen_x += advance * scale + hand.spacing
    if joined:
        strokes.append(joined)
    return strokes, pen_x


def write(
    draw: ImageDraw.ImageDraw,
    text: str,
    at: Point,
    hand: Hand,
    rng: Random,
    *,
    ink: int = 255,
    turn: float = 0.0,
) -> float:
    """Write one line from a point on its base line.

    Args:
        draw: Where; a grey mask.
        text: One line.
        at: Start of the base line, pixels.
        hand: The way of writing.
        rng: Source of the small differences.
        ink: Value to draw with.
        turn: Rotation of the base line, radians, clockwise on the page.

    Returns:
        Width written, pixels.
    """
    size = hand.x_height
    pen_x = 0.0
    cos, sin = math.cos(turn), math.sin(turn)
    for word in text.split(" "):
        drift = rng.gauss(0, 0.05)
        strokes, width = _words_strokes(word, hand, rng)
        for stroke in strokes:
            path: list[Point] = []
            for x, y in smooth_path(stroke, 0.12):
                px = (pen_x + x + y * hand.slant) * size
                py = -(y + drift) * size
                path.append((at[0] + px * cos - py * sin, at[1] + px * sin + py * cos))
            draw_pen_path(draw, path, _widths(path, hand, rng), ink)
        pen_x += width + 0.55 + rng.gauss(0, 0.05)
    return pen_x * size


def written_width(text: str, hand: Hand) -> float:
    """Return about how wide a line comes out, pixels."""
    units = sum(GLYPHS[c][0] + hand.spacing if c in GLYPHS else 0.55 for c in text)
    return units * hand.x_height
