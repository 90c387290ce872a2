"""A sheet to draw on: millimetres outside, layers of ink inside.

In: lines, letters and areas in millimetres from the top left corner. Out: bilevel or coloured artwork.
Never: paper texture (papers.py), files. Everything is drawn at twice the finished resolution.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random

import numpy as np
from hand import Hand, draw_pen_path, smooth_path, write, written_width
from lettering import set_arc, set_line, set_turned
from PIL import Image, ImageChops, ImageDraw
from scipy import ndimage

Point = tuple[float, float]
Colour = tuple[int, int, int]

BLACK: Colour = (28, 26, 30)
SEPIA: Colour = (74, 50, 30)
RED: Colour = (168, 44, 34)
BLUE: Colour = (44, 70, 118)


class Sheet:
    """One side of a leaf or an insert, drawn in layers of ink.

    Attributes:
        size_mm: Width and height.
        k: Pixels to a millimetre while drawing.
        rng: Seeded from the name, so that each sheet always comes out alike.
    """

    def __init__(self, name: str, width_mm: float, height_mm: float, ppi: int = 300, scale: int = 2) -> None:
        self.name = name
        self.size_mm = (width_mm, height_mm)
        self.out_px = (round(width_mm * ppi / 25.4), round(height_mm * ppi / 25.4))
        self.scale = scale
        self.px = (self.out_px[0] * scale, self.out_px[1] * scale)
        self.k = ppi * scale / 25.4
        self.rng = Random(name)
        self.layers: list[tuple[Colour, Image.Image]] = []
        self.washes: Image.Image | None = None
        self.ink(BLACK)

    def ink(self, colour: Colour) -> None:
        """Go on in another ink, on a layer of its own."""
        for index, (known, mask) in enumerate(self.layers):
            if known == colour:
                self.layers.append(self.layers.pop(index))
                self.mask = mask
                self.draw = ImageDraw.Draw(mask)
                return
        self.mask = Image.new("L", self.px, 0)
        self.draw = ImageDraw.Draw(self.mask)
        self.layers.append((colour, self.mask))

    def at(self, x: float, y: float) -> Point:
        """Return pixels for millimetres."""
        return x * self.k, y * self.k

    def line(self, a: Point, b: Point, width: float = 0.15, ink: int = 255) -> None:
        """Rule a straight line."""
        self.draw.line([self.at(*a), self.at(*b)], fill=ink, width=max(1, round(width * self.k)))

    def pen(
        self,
        points: Sequence[Point],
        width: float = 0.2,
        wobble: float = 0.06,
        smooth: bool = True,
        taper: bool = False,
        ink: int = 255,
    ) -> None:
        """Draw by hand through points: a little unsteady, the width alive."""
        rng = self.rng
        shaken = [(x + rng.gauss(0, wobble), y + rng.gauss(0, wobble)) for x, y in points]
        path = smooth_path(shaken, 0.35) if smooth else shaken
        pixels = [self.at(*p) for p in path]
        phase, count = rng.uniform(0, 6.3), max(1, len(pixels) - 1)
        widths = []
        for index in range(len(pixels)):
            pressure = 1 + 0.22 * math.sin(phase + index * 0.23) + rng.gauss(0, 0.05)
            if taper:
                pressure *= 1.15 - index / count
            widths.append(max(1.0, width * self.k * pressure))
        draw_pen_path(self.draw, pixels, widths, ink)

    def dashes(self, points: Sequence[Point], width: float = 0.2, on: float = 2.0, off: float = 1.2) -> None:
        """Draw a dashed hand-drawn line through points."""
        path = smooth_path(list(points), 0.25)
        run: list[Point] = []
        travelled, drawing = 0.0, True
        for a, b in zip(path, path[1:], strict=False):
            travelled += math.dist(a, b)
            if drawing:
                run.append(a)
            if travelled > (on if drawing else off):
                if drawing and len(run) > 1:
                    self.pen(run, width, 0.02, smooth=False)
                run, travelled, drawing = [], 0.0, not drawing
        if drawing and len(run) > 1:
            self.pen(run, width, 0.02, smooth=False)

    def polygon(self, points: Sequence[Point], fill: int = 255) -> None:
        """Fill an area."""
        self.draw.polygon([self.at(*p) for p in points], fill=fill)

    def rect(self, x: float, y: float, w: float, h: float, width: float = 0.2) -> None:
        """Rule a rectangle."""
        a, b = self.at(x, y), self.at(x + w, y + h)
        self.draw.rectangle((*a, *b), outline=255, width=max(1, round(width * self.k)))

    def fill_rect(self, x: float, y: float, w: float, h: float, fill: int = 255) -> None:
        """Fill a rectangle."""
        self.draw.rectangle((*self.at(x, y), *self.at(x + w, y + h)), fill=fill)

    def circle(self, x: float, y: float, r: float, width: float = 0.2, fill: int | None = None) -> None:
        """Draw a circle."""
        cx, cy = self.at(x, y)
        box = (cx - r * self.k, cy - r * self.k, cx + r * self.k, cy + r * self.k)
        self.draw.ellipse(box, outline=255, width=max(1, round(width * self.k)), fill=fill)

    def text(
        self,
        text: str,
        x: float,
        y: float,
        size: float,
        role: str = "roman",
        *,
        anchor: str = "l",
        spacing: float = 0.0,
        ink: int = 255,
    ) -> float:
        """Set type; size is the body in mm. Return the width, mm."""
        width = set_line(
            self.mask,
            text,
            self.at(x, y),
            role,
            max(6, round(size * self.k)),
            anchor=anchor,
            spacing_px=spacing * self.k,
            ink=ink,
        )
        return width / self.k

    def text_turned(
        self, text: str, x: float, y: float, size: float, role: str, degrees: float, spacing: float = 0.0
    ) -> None:
        """Set type turned anticlockwise about its centre."""
        set_turned(
            self.mask, text, self.at(x, y), role, round(size * self.k), degrees, spacing_px=spacing * self.k
        )

    def text_arc(
        self,
        text: str,
        x: float,
        y: float,
        radius: float,
        size: float,
        role: str,
        *,
        middle: float = 90.0,
        spacing: float = 0.0,
        inside: bool = False,
    ) -> None:
        """Set type along an arc."""
        set_arc(
            self.mask,
            text,
            self.at(x, y),
            radius * self.k,
            role,
            round(size * self.k),
            middle_deg=middle,
            spacing_px=spacing * self.k,
            inside=inside,
        )

    def hand_style(self, x_height: float, **changes: float) -> Hand:
        """Return a way of writing with an x-height in mm."""
        style: dict[str, float] = {"pen": 0.165, "contrast": 0.6, "wobble": 0.045, "spacing": 0.06, **changes}
        return Hand(x_height * self.k, **style)

    def write(
        self,
        text: str,
        x: float,
        y: float,
        x_height: float = 1.5,
        *,
        turn: float = 0.0,
        anchor: str = "l",
        ink: int = 255,
        **changes: float,
    ) -> float:
        """Write by hand on a base line. Return the width, mm."""
        hand = self.hand_style(x_height, **changes)
        if anchor != "l":
            width = written_width(text, hand) / self.k
            x -= width / (2 if anchor == "m" else 1)
        return write(self.draw, text, self.at(x, y), hand, self.rng, ink=ink, turn=turn) / self.k

    def write_lines(
        self, lines: Sequence[str], x: float, y: float, pitch: float, x_height: float = 1.5, **changes: float
    ) -> float:
        """Write several lines; return the y of the base line after the last."""
        for line in lines:
            self.write(
                line,
                x + self.rng.gauss(0, 0.25),
                y + self.rng.gauss(0, 0.12),
                x_height,
                turn=self.rng.gauss(-0.004, 0.003),
                anchor="l",
                ink=255,
                **changes,
            )
            y += pitch
        return y

    def stamp(self, array: np.ndarray) -> None:
        """Add a grey array of 0 to 1, any resolution, to the present layer."""
        image = Image.fromarray((np.clip(array, 0, 1) * 255).astype(np.uint8))
        self.mask.paste(ImageChops.lighter(self.mask, image.resize(self.px, Image.Resampling.BILINEAR)))

    def wash(self, array: np.ndarray, colour: Colour) -> None:
        """Lay a transparent wash of colour under the inks; the array says how strong, 0 to 1."""
        image = Image.fromarray((np.clip(array, 0, 1) * 255).astype(np.uint8)).resize(self.out_px)
        ground = self.washes or Image.new("RGB", self.out_px, (255, 255, 255))
        tint = Image.composite(
            Image.new("RGB", self.out_px, colour), Image.new("RGB", self.out_px, (255,) * 3), image
        )
        self.washes = ImageChops.multiply(ground, tint)

    def bilevel(self, rough: float = 0.0) -> Image.Image:
        """Return the finished artwork in black and white; `rough` frays the edges of the ink."""
        grey = Image.new("L", self.px, 0)
        for _, mask in self.layers:
            grey = ImageChops.lighter(grey, mask)
        grey = grey.resize(self.out_px, Image.Resampling.BOX)
        values = np.asarray(grey, dtype=np.float32)
        if rough:
            noise = np.random.default_rng(hash_name(self.name)).normal(0, 220 * rough, values.shape)
            values = values + ndimage.gaussian_filter(noise, 1.0)
        return Image.fromarray(np.where(values > 118, 0, 255).astype(np.uint8)).convert("1")

    def colour(self) -> Image.Image:
        """Return the finished artwork in colour on white."""
        out = self.washes.copy() if self.washes else Image.new("RGB", self.out_px, (255, 255, 255))
        for colour, mask in self.layers:
            small = mask.resize(self.out_px, Image.Resampling.BOX)
            tint = Image.composite(
                Image.new("RGB", self.out_px, colour), Image.new("RGB", self.out_px, (255, 255, 255)), small
            )
            out = ImageChops.multiply(out, tint)
        return out


def hash_name(name: str) -> int:
    """Return a seed for numpy from a name, the same on every run."""
    value = 2166136261
    for byte in name.encode():
        value = (value ^ byte) * 16777619 % 2**32
    return value
