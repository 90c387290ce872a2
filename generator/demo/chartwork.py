"""What charts are made of: coasts, water lines, soundings, roses, scales, borders, tide curves.

In: a Sheet and places in millimetres. Out: ink on it. Never: wording of a particular chart, files.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from random import Random

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage
from sheet import Point, Sheet

Outline = list[Point]


def rough_coast(points: Sequence[Point], rng: Random, roughness: float = 0.16, rounds: int = 5) -> Outline:
    """Return an outline broken up by midpoint displacement."""
    path = list(points)
    for _ in range(rounds):
        out: Outline = []
        for a, b in zip(path, path[1:], strict=False):
            length = math.dist(a, b)
            shift = rng.gauss(0, roughness * length)
            nx, ny = -(b[1] - a[1]) / (length or 1), (b[0] - a[0]) / (length or 1)
            out += [a, ((a[0] + b[0]) / 2 + nx * shift, (a[1] + b[1]) / 2 + ny * shift)]
        path = [*out, path[-1]]
    return path


def land_mask(sheet: Sheet, lands: Sequence[Outline], step: int = 2, shift: Point = (0.0, 0.0)) -> np.ndarray:
    """Return True where there is land, on a grid `step` drawing pixels wide."""
    size = (-(-sheet.px[0] // step), -(-sheet.px[1] // step))
    image = Image.new("1", size, 0)
    draw = ImageDraw.Draw(image)
    k = sheet.k / step
    for land in lands:
        draw.polygon([((x - shift[0]) * k, (y - shift[1]) * k) for x, y in land], fill=1)
    return np.asarray(image)


def distance_to(mask: np.ndarray, sheet: Sheet, step: int = 2) -> np.ndarray:
    """Return the distance of each point outside the mask from it, mm."""
    result: np.ndarray = ndimage.distance_transform_edt(~mask) * step / sheet.k
    return result


def water_lines(
    distance: np.ndarray, count: int = 7, first: float = 0.5, growth: float = 1.28, width: float = 0.11
) -> np.ndarray:
    """Return lines that follow the shore, further and further apart, as ink of 0 to 1."""
    ink = np.zeros_like(distance)
    at, gap = first, first
    for index in range(count):
        half = width * (1 - 0.5 * index / count) / 2
        ink = np.maximum(ink, np.clip((half - np.abs(distance - at)) / 0.05 + 0.5, 0, 1))
        gap *= growth
        at += gap
    return ink


def shore_line(mask: np.ndarray, sheet: Sheet, width: float = 0.28, step: int = 2) -> np.ndarray:
    """Return the coast itself as ink of 0 to 1."""
    inside = ndimage.distance_transform_edt(mask) * step / sheet.k
    ink: np.ndarray = np.clip((width - inside) / 0.05, 0, 1) * mask
    return ink


def hachures(sheet: Sheet, outline: Outline, length: float = 2.2, gap: float = 0.75, inward: int = 1) -> None:
    """Draw cliffs: short strokes at right angles to a coast, on its land side."""
    rng, travelled = sheet.rng, 0.0
    for a, b in zip(outline, outline[1:], strict=False):
        travelled += math.dist(a, b)
        if travelled < gap:
            continue
        travelled = rng.uniform(-0.15, 0.15)
        size = math.dist(a, b) or 1.0
        nx, ny = -(b[1] - a[1]) / size * inward, (b[0] - a[0]) / size * inward
        reach = length * rng.uniform(0.5, 1.15)
        lean = rng.gauss(0, 0.14)
        sheet.pen(
            [a, (a[0] + (nx + lean * ny) * reach, a[1] + (ny - lean * nx) * reach)],
            0.16,
            0.02,
            smooth=False,
            taper=True,
        )


def scatter(
    rng: Random,
    box: tuple[float, float, float, float],
    gap: float,
    allowed: Callable[[Point], bool],
    tries: int = 1500,
) -> list[Point]:
    """Return points in a box no nearer to each other than a gap."""
    points: list[Point] = []
    for _ in range(tries):
        point = (rng.uniform(box[0], box[2]), rng.uniform(box[1], box[3]))
        if allowed(point) and all(math.dist(point, other) > gap for other in points):
            points.append(point)
    return points


def soundings(
    sheet: Sheet,
    distance: np.ndarray,
    box: tuple[float, float, float, float],
    *,
    gap: float = 6.0,
    size: float = 1.9,
    step: int = 2,
    slope: float = 0.42,
    role: str = "italic",
    clear: Sequence[tuple[float, float, float]] = (),
) -> None:
    """Strew depths over the water, deeper away from the shore; `clear` holds circles to keep free."""

    def depth_at(point: Point) -> float:
        row, column = int(point[1] * sheet.k / step), int(point[0] * sheet.k / step)
        if not (0 <= row < distance.shape[0] and 0 <= column < distance.shape[1]):
            return 0.0
        return float(distance[row, column])

    def allowed(point: Point) -> bool:
        return depth_at(point) > 3.4 and all(math.dist(point, c[:2]) > c[2] for c in clear)

    for x, y in scatter(sheet.rng, box, gap, allowed):
        depth = depth_at((x, y)) * slope + sheet.rng.gauss(0, 0.5)
        whole = max(1, round(depth))
        width = sheet.text(str(whole), x, y + size * 0.35, size, role, anchor="m")
        if whole < 7 and sheet.rng.random() < 0.4:
            sheet.text(
                str(sheet.rng.choice((1, 2, 3))), x + width / 2 + 0.2, y + size * 0.6, size * 0.55, role
            )


def stipple(
    sheet: Sheet,
    where: Callable[[Point], bool],
    box: tuple[float, float, float, float],
    gap: float = 0.8,
    size: float = 0.11,
) -> None:
    """Dot an area, as for sand that dries."""
    rng = sheet.rng
    rows = int((box[3] - box[1]) / gap)
    columns = int((box[2] - box[0]) / gap)
    for row in range(rows):
        for column in range(columns):
            x = box[0] + (column + rng.uniform(0.05, 0.95)) * gap
            y = box[1] + (row + rng.uniform(0.05, 0.95)) * gap
            if where((x, y)):
                sheet.circle(x, y, size * rng.uniform(0.7, 1.3), fill=255)


def rose(
    sheet: Sheet, x: float, y: float, r: float, *, variation: float = 17.0, letters: bool = True
) -> None:
    """Draw a compass rose: a ring of degrees, eight points, the magnetic needle."""
    for radius, width in ((r, 0.22), (r * 0.93, 0.1), (r * 0.8, 0.12)):
        sheet.circle(x, y, radius, width)
    for degree in range(0, 360, 5):
        angle = math.radians(degree)
        inner = 0.86 if degree % 10 else 0.81
        sheet.line(
            (x + r * inner * math.sin(angle), y - r * inner * math.cos(angle)),
            (x + r * 0.93 * math.sin(angle), y - r * 0.93 * math.cos(angle)),
            0.1,
        )
    for step in (1, 2, 0):
        for index in range(16 if step == 1 else 4):
            turn = index * 22.5 if step == 1 else index * 90 + (45 if step == 2 else 0)
            reach = {1: 0.5, 2: 0.62, 0: 0.78}[step] * r
            if step == 1 and turn % 45 == 0:
                continue
            angle = math.radians(turn)
            tip = (x + reach * math.sin(angle), y - reach * math.cos(angle))
            for side in (-1, 1):
                other = angle + side * math.pi / (16 if step == 1 else 6)
                waist = r * (0.12 if step == 1 else 0.16)
                hip = (x + waist * math.sin(other), y - waist * math.cos(other))
                sheet.polygon([(x, y), tip, hip], 255 if side < 0 else 0)
                sheet.pen([(x, y), tip, hip], 0.1, 0.0, smooth=False)
    needle = math.radians(-variation)
    tip = (x + r * 1.12 * math.sin(needle), y - r * 1.12 * math.cos(needle))
    sheet.line((x - r * 0.7 * math.sin(needle), y + r * 0.7 * math.cos(needle)), tip, 0.14)
    for barb in (-0.09, 0.09):
        sheet.line(
            tip, (x + r * 0.98 * math.sin(needle + barb), y - r * 0.98 * math.cos(needle + barb)), 0.16
        )
    if letters:
        size = r * 0.24
        for name, dx, dy in (("N", 0, -1.1), ("E", 1.17, 0.08), ("S", 0, 1.27), ("W", -1.2, 0.08)):
            sheet.text(name, x + dx * r, y + dy * r, size, "bold", anchor="m")


def scale_bar(sheet: Sheet, x: float, y: float, unit: float, count: int, label: str) -> None:
    """Draw a scale of equal parts, filled by turns."""
    sheet.rect(x, y, unit * count, 1.1, 0.12)
    for index in range(count):
        if index % 2 == 0:
            sheet.fill_rect(x + unit * index, y, unit, 0.55)
        else:
            sheet.fill_rect(x + unit * index, y + 0.55, unit, 0.55)
    for index in range(count + 1):
        sheet.text(str(index), x + unit * index, y - 0.6, 1.8, "roman", anchor="m")
    sheet.text(label, x + unit * count / 2, y + 3.4, 1.9, "italic", anchor="m")


def graduated_border(
    sheet: Sheet, inset: float, *, sides: str = "tblr", step: float = 5.0, gap: float = 1.5
) -> None:
    """Draw a chart border of two rules with bars between, on some of the four sides."""
    w, h = sheet.size_mm
    x0 = inset if "l" in sides else -1.0
    x1 = w - inset if "r" in sides else w + 1.0
    y0, y1 = inset, h - inset
    for side in sides:
        for offset, width in ((0.0, 0.34), (gap, 0.14)):
            if side == "t":
                sheet.line((x0, y0 + offset), (x1, y0 + offset), width)
            elif side == "b":
                sheet.line((x0, y1 - offset), (x1, y1 - offset), width)
            elif side == "l":
                sheet.line((x0 + offset, y0), (x0 + offset, y1), width)
            else:
                sheet.line((x1 - offset, y0), (x1 - offset, y1), width)
        length = (x1 - x0) if side in "tb" else (y1 - y0)
        for index in range(int(length / step)):
            if index % 2:
                continue
            along = index * step
            if side == "t":
                sheet.fill_rect(x0 + along, y0 + gap * 0.3, step, gap * 0.4)
            elif side == "b":
                sheet.fill_rect(x0 + along, y1 - gap * 0.7, step, gap * 0.4)
            elif side == "l":
                sheet.fill_rect(x0 + gap * 0.3, y0 + along, gap * 0.4, step)
            else:
                sheet.fill_rect(x1 - gap * 0.7, y0 + along, gap * 0.4, step)


def tide_height(hour: float, *, spring: float = 1.0, phase: float = 0.0) -> float:
    """Return an invented tide between -1 and 1: the half-daily wave with a daily inequality."""
    half = math.cos(2 * math.pi * (hour - 3.2 - phase) / 12.42)
    daily = 0.22 * math.cos(2 * math.pi * (hour - 7.0) / 24.84)
    return spring * 0.76 * half + daily
