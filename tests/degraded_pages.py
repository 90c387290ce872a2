"""Makes worn and badly scanned pages of which it is known, pixel by pixel, what is ink.

Written, and kept, apart from the cleaning that is measured with them. A page is drawn four times as fine as it is
scanned; a pixel is ink in the truth where at least half of it is covered. Then come, in the order of nature: paper
with its grain, foxing, stains with their tide lines, the other side showing through, ink that fades, uneven light,
the lens, the sensor, JPEG. Light is reckoned linear, and written with a curve of 1/2.2. Everything is invented.

The 60 pages that count are count_pages(); whoever tunes anything takes practice_page(), whose seeds are others.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

Floats = NDArray[np.float32]
Rng = np.random.Generator
FINE = 4  # samples a pixel, each way
WIDTH, HEIGHT = 880, 1200
SEVERITIES = ("light", "middle", "heavy")
PAGES_EACH = 20
KINDS = ("set", "written", "drawn")

_TEXT = (
    "tide ebb flood slack neap spring datum fathom sounding gauge lead line chart mark buoy beacon bank bar shoal "
    "reach mud sand shell gravel weed foam swell wind south west north east by half quarter past noon dawn stood "
    "fell rose turned at the of in on and with no we to from a it was is not seen boat rope staff post jetty light"
)
WORDS = _TEXT.split()
HERSHEY = (
    cv2.FONT_HERSHEY_SIMPLEX,
    cv2.FONT_HERSHEY_DUPLEX,
    cv2.FONT_HERSHEY_COMPLEX,
    cv2.FONT_HERSHEY_TRIPLEX,
    cv2.FONT_HERSHEY_SCRIPT_SIMPLEX,
    cv2.FONT_HERSHEY_SCRIPT_COMPLEX,
)


@dataclass(frozen=True)
class Wear:
    """How badly a page is worn and scanned; each pair is a range to draw from.

    Attributes:
        ink: Share of the light that full ink takes away.
        fade: How far the ink may fall below that from place to place, share of it.
        stains, stain: Number of stains, and the light that each takes away.
        spots, spot: Spots of foxing, and the light that each takes away.
        show, show_blur: Light that the other side takes away, and its spread in the paper, px.
        slope, corner, fold: Fall of the light along the page, to its corners, and into the gutter.
        blur: Of lens and scanner, standard deviation in px.
        noise, grain: Of sensor and paper, standard deviation, share of full light.
        jpeg: Quality.
    """

    ink: tuple[float, float]
    fade: tuple[float, float]
    stains: tuple[int, int]
    stain: tuple[float, float]
    spots: tuple[int, int]
    spot: tuple[float, float]
    show: tuple[float, float]
    show_blur: tuple[float, float]
    slope: tuple[float, float]
    corner: tuple[float, float]
    fold: tuple[float, float]
    blur: tuple[float, float]
    noise: tuple[float, float]
    grain: tuple[float, float]
    jpeg: tuple[int, int]


WEAR = {
    "light": Wear(
        ink=(0.85, 0.95), fade=(0.0, 0.15), stains=(0, 2), stain=(0.05, 0.2), spots=(0, 40), spot=(0.05, 0.2),
        show=(0.0, 0.1), show_blur=(1.5, 3.0), slope=(0.0, 0.2), corner=(0.0, 0.1), fold=(0.0, 0.15),
        blur=(0.5, 0.8), noise=(0.004, 0.012), grain=(0.005, 0.015), jpeg=(80, 95),
    ),
    "middle": Wear(
        ink=(0.75, 0.92), fade=(0.1, 0.3), stains=(1, 4), stain=(0.1, 0.4), spots=(20, 150), spot=(0.1, 0.35),
        show=(0.08, 0.25), show_blur=(1.3, 2.6), slope=(0.1, 0.4), corner=(0.0, 0.25), fold=(0.0, 0.35),
        blur=(0.7, 1.1), noise=(0.008, 0.02), grain=(0.01, 0.025), jpeg=(60, 85),
    ),
    "heavy": Wear(
        ink=(0.65, 0.9), fade=(0.2, 0.45), stains=(2, 7), stain=(0.2, 0.6), spots=(80, 400), spot=(0.15, 0.5),
        show=(0.15, 0.4), show_blur=(1.1, 2.2), slope=(0.2, 0.6), corner=(0.1, 0.4), fold=(0.1, 0.6),
        blur=(0.9, 1.4), noise=(0.012, 0.03), grain=(0.015, 0.035), jpeg=(40, 75),
    ),
}  # fmt: skip


@dataclass(frozen=True)
class Stop:
    """A full stop: its middle and radius, px of the page."""

    x: float
    y: float
    radius: float


@dataclass(frozen=True)
class Page:
    """A page as scanned, and the truth.

    Attributes:
        name: Severity, number and kind.
        pixels: Grey, shape (height, width), or RGB, (height, width, 3).
        truth: True where there is ink.
        stops: Every full stop.
    """

    name: str
    pixels: NDArray[np.uint8]
    truth: NDArray[np.bool_]
    stops: tuple[Stop, ...]

    @property
    def grey(self) -> NDArray[np.uint8]:
        """The page in grey, as the contests' thresholds take it."""
        if self.pixels.ndim == 2:
            return self.pixels
        return np.asarray(cv2.cvtColor(self.pixels, cv2.COLOR_RGB2GRAY), np.uint8)


@dataclass
class _Sheet:
    """Ink being laid on a page, FINE samples a pixel, 255 full."""

    ink: NDArray[np.uint8] = field(default_factory=lambda: np.zeros((HEIGHT * FINE, WIDTH * FINE), np.uint8))
    stops: list[Stop] = field(default_factory=list)

    def line(self, points: list[tuple[float, float]], width: float) -> None:
        """Draw a stroke with round ends."""
        fine = np.round(np.array(points) * FINE).astype(np.int32)
        cv2.polylines(
            self.ink, [fine.reshape(-1, 1, 2)], False, 255, max(1, round(width * FINE)), cv2.LINE_AA
        )

    def dot(self, x: float, y: float, radius: float) -> None:
        cv2.circle(
            self.ink, (round(x * FINE), round(y * FINE)), max(1, round(radius * FINE)), 255, -1, cv2.LINE_AA
        )

    def stop(self, x: float, y: float, radius: float) -> None:
        """Draw a full stop and remember it."""
        self.dot(x, y, radius)
        self.stops.append(Stop(x, y, radius))


def count_pages(each: int = PAGES_EACH) -> Iterator[tuple[str, Page]]:
    """Yield severity and page of the set that counts; the first `each` of every severity."""
    for rank, severity in enumerate(SEVERITIES):
        for number in range(each):
            yield severity, make_page(severity, number, 7_000 + 100 * rank + number)


def practice_page(severity: str, number: int) -> Page:
    """Return a page of the sort that counts, but never one of those that count."""
    return make_page(severity, number, 1_000_000 + 10_000 * SEVERITIES.index(severity) + number)


def make_page(severity: str, number: int, seed: int) -> Page:
    """Make one page; every second is grey, the kinds take turns."""
    rng = np.random.default_rng(seed)
    kind = KINDS[number % len(KINDS)]
    sheet = _draw(kind, rng)
    covered = _coarse(sheet.ink)
    behind = _coarse(_draw(KINDS[int(rng.integers(3))], rng).ink)[:, ::-1]
    pixels = _scan(covered, behind, WEAR[severity], rng, colour=number % 2 == 1)
    return Page(f"{severity} {number:02d} {kind}", pixels, covered >= 0.5, tuple(sheet.stops))


def _coarse(ink: NDArray[np.uint8]) -> Floats:
    small = cv2.resize(ink, (WIDTH, HEIGHT), interpolation=cv2.INTER_AREA)
    return np.asarray(small / 255, np.float32)


# What is drawn


def _draw(kind: str, rng: Rng) -> _Sheet:
    sheet = _Sheet()
    {"set": _draw_set, "written": _draw_written, "drawn": _draw_drawn}[kind](sheet, rng)
    return sheet


def _draw_set(sheet: _Sheet, rng: Rng) -> None:
    """Lines of words from a font, under a heading and a rule."""
    size = float(rng.uniform(17, 32))  # height of the line's letters with their ascenders, px
    typeface = int(rng.integers(0, len(HERSHEY) + 3))
    weight = float(rng.uniform(1.2, 2.4))
    y = 90.0
    _words(sheet, "TIDES AND SOUNDINGS", 120, y, size * 1.6, typeface, weight * 1.6)
    y += size
    sheet.line([(90, y), (WIDTH - 90, y)], float(rng.uniform(1.0, 2.0)))
    while (y := y + size * 1.9) < HEIGHT - 70:
        x, left = 80.0, int(rng.integers(4, 9))
        while x < WIDTH - 190:
            word = str(rng.choice(WORDS))
            x = _words(sheet, word, x, y, size, typeface, weight)
            left -= 1
            if left == 0:
                radius = max(1.2, size * float(rng.uniform(0.055, 0.085)))
                sheet.stop(x + radius + 1.5, y - radius, radius)
                x, left = x + size * 0.4, int(rng.integers(4, 9))
            elif rng.uniform() < 0.06:
                sheet.line([(x + 2, y - 1), (x + 1, y + size * 0.16)], weight * 1.2)
            x += size * 0.42
        if rng.uniform() < 0.12:
            y += size * 0.9


def _words(sheet: _Sheet, text: str, x: float, y: float, size: float, typeface: int, weight: float) -> float:
    """Set words with their baseline at y; return where they end."""
    if typeface < len(HERSHEY):
        scale = size * FINE / 22
        thick = max(1, round(weight * FINE))
        at = (round(x * FINE), round(y * FINE))
        cv2.putText(sheet.ink, text, at, HERSHEY[typeface], scale, 255, thick, cv2.LINE_AA)
        return x + cv2.getTextSize(text, HERSHEY[typeface], scale, thick)[0][0] / FINE
    font = ImageFont.load_default(size * FINE * 1.05)
    left, top, right, bottom = font.getbbox(text, anchor="ls")
    patch = Image.new("L", (math.ceil(right) + 4, math.ceil(bottom - top) + 4))
    ImageDraw.Draw(patch).text((0, -top + 2), text, fill=255, font=font, anchor="ls")
    px, py = round(x * FINE), round(y * FINE + top - 2)
    glyphs = np.asarray(patch)
    area = sheet.ink[max(0, py) : py + glyphs.shape[0], px : px + glyphs.shape[1]]
    np.maximum(area, glyphs[-area.shape[0] or None :, : area.shape[1]], out=area)
    return x + right / FINE


def _draw_written(sheet: _Sheet, rng: Rng) -> None:
    """Lines of a running hand: joined strokes that swell and thin, dots over some, stops at the ends."""
    size = float(rng.uniform(10, 18))  # height of the small letters
    thin, thick = float(rng.uniform(1.0, 1.5)), float(rng.uniform(2.2, 4.2))
    slant = float(rng.uniform(0.1, 0.5))
    y = 90.0
    while y < HEIGHT - 60:
        x, left = 70.0 + float(rng.uniform(0, 25)), int(rng.integers(3, 8))
        while x < WIDTH - 180:
            x = _written_word(sheet, rng, x, y + float(rng.normal(0, 1)), size, (thin, thick), slant)
            left -= 1
            if left == 0:
                radius = float(rng.uniform(1.3, 2.6))
                sheet.stop(x + radius + 3, y - radius, radius)
                x, left = x + size * 0.5, int(rng.integers(3, 8))
            x += size * 1.1
        y += size * 3.1


def _written_word(
    sheet: _Sheet, rng: Rng, x: float, y: float, size: float, pen: tuple[float, float], slant: float
) -> float:
    thin, thick = pen
    path: list[tuple[float, float]] = [(x, y)]
    for _ in range(int(rng.integers(2, 8))):
        step = size * float(rng.uniform(0.55, 0.95))
        tall = rng.uniform()
        top = size * (2.1 if tall < 0.18 else 1.0)
        low = size * (-0.9 if tall > 0.85 else 0.0)
        path += [(x + step * 0.5, y - top), (x + step * 0.62, y - low), (x + step, y - size * 0.25)]
        if rng.uniform() < 0.1:
            sheet.dot(x + step * 0.5 + slant * size * 1.4, y - size * 1.5, float(rng.uniform(1.1, 2.0)))
        x += step
    smooth = _smooth(np.array(path))
    for (x1, y1), (x2, y2) in zip(smooth[:-1], smooth[1:], strict=True):
        # A pointed pen opens on the way down.
        down = max(0.0, y2 - y1) / (math.hypot(x2 - x1, y2 - y1) + 1e-6)
        lean1, lean2 = (y - y1) * slant, (y - y2) * slant
        sheet.line([(x1 + lean1, y1), (x2 + lean2, y2)], thin + (thick - thin) * down**2)
    return x + size * 0.2


def _smooth(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return a Catmull-Rom curve through points, 8 steps between each."""
    padded = np.vstack([points[:1], points, points[-1:]])
    t = np.linspace(0, 1, 8, endpoint=False)[:, None]
    parts = []
    for p0, p1, p2, p3 in zip(padded[:-3], padded[1:-2], padded[2:-1], padded[3:], strict=True):
        square, cube = 2 * p0 - 5 * p1 + 4 * p2 - p3, 3 * p1 - p0 - 3 * p2 + p3
        parts.append(0.5 * (2 * p1 + (p2 - p0) * t + square * t**2 + cube * t**3))
    return np.vstack([*parts, points[-1:]])


def _draw_drawn(sheet: _Sheet, rng: Rng) -> None:
    """A plate of a chart: shores, soundings, hatching, a rose, a table, dashed lines, filled shapes."""
    thin = float(rng.uniform(0.9, 1.4))
    for k in range(int(rng.integers(4, 8))):
        xs = np.linspace(60, WIDTH - 60, 60)
        phase, high = rng.uniform(0, 6), rng.uniform(15, 60)
        ys = 130 + k * 62 + high * np.sin(xs / rng.uniform(60, 160) + phase) * 0.6
        sheet.line(list(zip(xs, ys, strict=True)), thin if k else thin * 2.2)
    for _ in range(int(rng.integers(60, 140))):  # soundings: figures, and stops for dry heights
        x, y = rng.uniform(70, WIDTH - 100), rng.uniform(80, 600)
        if rng.uniform() < 0.6:
            figure, size = str(rng.integers(1, 60)), float(rng.uniform(13, 20))
            _words(sheet, figure, x, y, size, int(rng.integers(0, 9)), thin + 0.3)
        else:
            sheet.stop(x, y, float(rng.uniform(1.2, 2.8)))
    cx, cy, r = float(rng.uniform(180, 300)), 800.0, float(rng.uniform(70, 110))
    for ring in (1.0, 0.93, 0.4):
        turn = np.linspace(0, 2 * math.pi, 90)
        sheet.line(list(zip(cx + r * ring * np.cos(turn), cy + r * ring * np.sin(turn), strict=True)), thin)
    for k in range(32):
        a, inner = k * math.pi / 16, 0.0 if k % 4 == 0 else 0.4 if k % 2 == 0 else 0.93
        ends = [(cx + r * f * math.cos(a), cy + r * f * math.sin(a)) for f in (inner, 1.0)]
        sheet.line(ends, thin)
    left, top = 480.0, 700.0
    for row in range(8):
        sheet.line([(left, top + row * 34), (WIDTH - 60, top + row * 34)], thin if row != 1 else thin * 1.8)
        for column in range(5):
            word = str(rng.choice(WORDS)) if row == 0 else f"{rng.integers(0, 100):d}"
            _words(sheet, word[:5], left + 8 + column * 66, top + row * 34 - 9, 16, 0, 1.3)
    pitch = float(rng.uniform(4.5, 8))
    for k in range(int(rng.integers(20, 50))):  # hatching
        x = 70 + k * pitch
        sheet.line([(x, 1130), (x + 34, 1010)], float(rng.uniform(0.9, 1.3)))
    for x in range(480, WIDTH - 60, 14):
        sheet.line([(x, 1020), (x + 7, 1020)], thin * 1.3)
    for k in range(5):
        corners = rng.uniform(-22, 22, (5, 2)) + [520 + k * 70, 1090]
        hull = cv2.convexHull(np.round(corners * FINE).astype(np.int32))
        cv2.fillPoly(sheet.ink, [hull], 255, cv2.LINE_AA)


# What happens to it


def _scan(covered: Floats, behind: Floats, wear: Wear, rng: Rng, colour: bool) -> NDArray[np.uint8]:
    """Return a page as a scanner gives it."""

    def pick(pair: tuple[float, float]) -> float:
        return float(rng.uniform(*pair))

    shape = covered.shape
    paper = (
        np.array([0.9, 0.86, 0.76]) * rng.uniform(0.85, 1.0) if colour else np.full(3, rng.uniform(0.7, 0.92))
    )
    brown = np.array([0.6, 0.9, 1.3]) if colour else np.ones(3)  # how much more blue light stains take away
    ink_colour = np.array([[1.0, 1.0, 1.0], [0.95, 1.0, 1.04], [1.04, 1.0, 0.9]][int(rng.integers(3))])
    tone = 1 + 0.04 * _cloud(shape, 120, rng) + pick(wear.grain) * _cloud(shape, 1.2, rng)
    worn = np.zeros(shape, np.float32)
    for _ in range(int(rng.integers(wear.stains[0], wear.stains[1] + 1))):
        worn += _stain(shape, rng) * pick(wear.stain)
    worn += _foxing(shape, wear, rng)
    shown = cv2.GaussianBlur(behind, (0, 0), pick(wear.show_blur)) * pick(wear.show)
    shown *= np.clip(1 + 0.5 * _cloud(shape, 90, rng), 0.2, 1.6)
    faded = pick(wear.ink) * (1 - pick(wear.fade) * np.clip(0.5 + 0.6 * _cloud(shape, 60, rng), 0, 1.3))
    faded *= 1 + 0.05 * _cloud(shape, 2.0, rng)
    light = _light(shape, wear, rng, pick)
    blur, noise = pick(wear.blur), pick(wear.noise)
    planes = []
    for channel in range(3 if colour else 1):
        left = np.clip(1 - worn * brown[channel], 0.12, 1) * (1 - shown * (0.5 + 0.5 * brown[channel]))
        plane = (
            paper[channel]
            * tone
            * left
            * (1 - np.clip(faded * ink_colour[channel], 0, 0.97) * covered)
            * light
        )
        plane = cv2.GaussianBlur(plane.astype(np.float32), (0, 0), blur)
        plane += rng.normal(0, 1, shape).astype(np.float32) * noise * np.sqrt(np.clip(plane, 0.02, 1))
        planes.append(np.round(255 * np.clip(plane, 0, 1) ** (1 / 2.2)).astype(np.uint8))
    pixels = np.dstack(planes[::-1]) if colour else planes[0]  # OpenCV codes blue first
    quality = int(rng.integers(wear.jpeg[0], wear.jpeg[1] + 1))
    _, coded = cv2.imencode(".jpg", pixels, [cv2.IMWRITE_JPEG_QUALITY, quality])
    back = cv2.imdecode(coded, cv2.IMREAD_UNCHANGED)
    assert back is not None
    return np.ascontiguousarray(back[..., ::-1]) if colour else np.asarray(back, np.uint8)


def _cloud(shape: tuple[int, ...], size: float, rng: Rng) -> Floats:
    """Return soft noise of a size in px, mean 0, standard deviation 1."""
    step = max(1, int(size / 3))
    small = rng.normal(0, 1, (shape[0] // step + 3, shape[1] // step + 3)).astype(np.float32)
    soft = cv2.GaussianBlur(small, (0, 0), size / step)
    big = cv2.resize(soft, None, fx=step, fy=step, interpolation=cv2.INTER_CUBIC)[: shape[0], : shape[1]]
    return np.asarray((big - big.mean()) / big.std(), np.float32)


def _stain(shape: tuple[int, ...], rng: Rng) -> Floats:
    """Return a stain: a ragged blot, full 1, mostly with a darker tide line."""
    v, u = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    x, y, r = rng.uniform(0, shape[1]), rng.uniform(0, shape[0]), rng.uniform(30, 260)
    away = np.hypot(u - x, (v - y) * float(rng.uniform(0.6, 1.6))) + r * 0.16 * _cloud(
        shape, float(r) * 0.35, rng
    )
    soft = float(rng.uniform(1.5, 14))
    inside = 1 / (1 + np.exp(np.clip((away - r) / soft, -40, 40)))
    rim = np.exp(-(((away - r) / float(rng.uniform(2, 7))) ** 2) / 2) * float(rng.choice([0.0, 0.3, 0.6]))
    return np.asarray(0.75 * inside * (1 + 0.15 * _cloud(shape, 25, rng)) + rim, np.float32)


def _foxing(shape: tuple[int, ...], wear: Wear, rng: Rng) -> Floats:
    spots = np.zeros(shape, np.float32)
    for _ in range(int(rng.integers(wear.spots[0], wear.spots[1] + 1))):
        x, y = rng.uniform(0, shape[1]), rng.uniform(0, shape[0])
        r = float(rng.gamma(2.0, 2.0)) + 0.8
        reach = math.ceil(r * 3)
        x0, x1 = max(0, int(x) - reach), min(shape[1], int(x) + reach + 1)
        y0, y1 = max(0, int(y) - reach), min(shape[0], int(y) + reach + 1)
        v, u = np.mgrid[y0:y1, x0:x1]
        depth = rng.uniform(*wear.spot)
        part = depth * np.exp(
            -((((u - x) ** 2 + (v - y) ** 2) / (2 * r * r)) ** float(rng.uniform(0.8, 2.0)))
        )
        np.maximum(spots[y0:y1, x0:x1], part.astype(np.float32), out=spots[y0:y1, x0:x1])
    return spots


def _light(shape: tuple[int, ...], wear: Wear, rng: Rng, pick: object) -> Floats:
    assert callable(pick)
    v, u = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    u, v = u / shape[1], v / shape[0]
    turn = float(rng.uniform(0, 2 * math.pi))
    along = (u - 0.5) * math.cos(turn) + (v - 0.5) * math.sin(turn)
    light = 1 - pick(wear.slope) * (along + 0.5)
    light *= 1 - pick(wear.corner) * (((u - 0.5) ** 2 + (v - 0.5) ** 2) * 2)
    side = u if rng.uniform() < 0.5 else 1 - u
    light *= 1 - pick(wear.fold) * np.exp(-side / float(rng.uniform(0.04, 0.12)))
    return np.asarray(np.clip(light, 0.08, 1.05), np.float32)
