"""Finds the halftone screen of a printed picture in a scan, says its ruling, and takes it out.

In: light as an array, its resolution. Out: Screen, the light without it. Never: guessing a ruling from a faint peak.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np

from doublure.trade.imaging.cleaning_paper import Floats, box

#: Rulings that are looked for, lines an inch; newspapers have the coarsest, art prints the finest.
RULINGS_LPI = (45.0, 250.0)
_TILE = 512
_MOST_TILES = 24
#: How far a peak of the spectrum stands above the median of its ring.
_CLEAR = 30.0
#: And above the mean of what is next to it.
_LOCAL = 15.0
#: The weaker of the two peaks against the stronger.
_ALIKE = 0.15
#: Sine of the angle under which a peak lies along an axis.
_AXIS = 0.05


@dataclass(frozen=True, slots=True)
class Screen:
    """A halftone screen.

    Attributes:
        ruling_lpi: Lines an inch.
        angle_rad: Of one of its two directions from the horizontal, 0 to a right angle.
        pitch_px: Pixels a line.
    """

    ruling_lpi: float
    angle_rad: float
    pitch_px: float


def find_screen(light: Floats, ppi: float) -> Screen | None:
    """Return the screen of a page, or None where its spectrum shows none.

    A screen is a lattice of dots on squares; its spectrum has two equal peaks at a right angle.

    Args:
        light: Of the page, shape (height, width).
        ppi: Its resolution.

    Source:
        Spectra of lattices: R. N. Bracewell, Two-Dimensional Imaging, 1995; from memory.
    """
    height, width = light.shape
    if min(height, width) < 64:
        return None
    side = min(_TILE, 1 << (min(height, width).bit_length() - 1))
    lows = RULINGS_LPI[0] / ppi
    highs = min(RULINGS_LPI[1] / ppi, 0.46)
    if lows >= highs:
        return None
    window = np.outer(np.hanning(side), np.hanning(side)).astype(np.float32)
    tops = range(0, height - side + 1, max(side // 2, (height - side) // 4 or 1))
    lefts = range(0, width - side + 1, max(side // 2, (width - side) // 4 or 1))
    found = []
    for top, left in [(t, lft) for t in tops for lft in lefts][:_MOST_TILES]:
        tile = light[top : top + side, left : left + side]
        screen = _find_in_tile((tile - float(tile.mean())) * window, lows, highs)
        if screen is not None:
            found.append(screen)
    if not found:
        return None
    # The strongest tile speaks; it must not be alone where there are many.
    power, frequency, angle = max(found)
    alike = sum(abs(one[1] / frequency - 1) < 0.05 for one in found)
    if alike < 2 and len(tops) * len(lefts) > 8 and power < 4 * _CLEAR:
        return None
    return Screen(frequency * ppi, angle, 1 / frequency)


def _find_in_tile(tile: Floats, lows: float, highs: float) -> tuple[float, float, float] | None:
    side = tile.shape[0]
    power = np.abs(np.fft.rfft2(tile)) ** 2
    v = np.fft.fftfreq(side)[:, None]
    u = np.fft.rfftfreq(side)[None, :]
    radius = np.hypot(u, v)
    ring = (radius >= lows) & (radius <= highs)
    # Text has power along the axes that falls off with frequency; against that a peak is measured.
    smooth = cv2.blur(power, (15, 15))
    above = np.where(ring, power / np.maximum(smooth, 1e-12), 0)
    strong = np.where(ring, power, 0)
    row, column = np.unravel_index(int(strong.argmax()), strong.shape)
    usual = float(np.median(power[ring]))
    if power[row, column] < _CLEAR * usual or above[row, column] < _LOCAL:
        return None
    fv, fu = _refine(power, int(row), int(column), side)
    frequency = math.hypot(fu, fv)
    # Its partner, turned by a right angle.
    partner_v, partner_u = (fu, -fv) if fv <= 0 else (-fu, fv)
    pr, pc = round(partner_v * side) % side, round(abs(partner_u) * side)
    near = (-2, -1, 0, 1, 2)
    places = [((pr + a) % side, min(max(pc + b, 0), side // 2)) for a in near for b in near]
    partner, partner_above = max((float(power[at]), float(above[at])) for at in places)
    if partner < max(_CLEAR * usual, _ALIKE * float(power[row, column])) or partner_above < _LOCAL:
        return None
    # Lines of text and the blocks of JPEG lie along the axes; there only a perfect lattice counts.
    along = min(abs(fu), abs(fv)) / frequency
    eighths = abs(8 * frequency - round(8 * frequency))
    if along < _AXIS and (eighths < 0.06 or partner < 0.5 * float(power[row, column])):
        return None
    return float(power[row, column]) / usual, frequency, math.atan2(fv, fu) % (math.pi / 2)


def _refine(power: Floats, row: int, column: int, side: int) -> tuple[float, float]:
    """Return the frequency of a peak between the bins, by its centre of power."""
    total, sum_v, sum_u = 0.0, 0.0, 0.0
    for a in (-1, 0, 1):
        for b in (-1, 0, 1):
            if 0 <= column + b < power.shape[1]:
                weight = float(power[(row + a) % side, column + b])
                total, sum_v, sum_u = total + weight, sum_v + weight * a, sum_u + weight * b
    v = row + sum_v / total
    return (v if v <= side / 2 else v - side) / side, (column + sum_u / total) / side


def remove_screen(light: Floats, screen: Screen) -> Floats:
    """Return the light without its screen, and unchanged where there is none.

    The mean over one cell of the lattice takes out its frequency and all multiples. Where the screen shows is found
    by what is left of it when it is shifted to frequency nought.
    """
    smooth = _average_cells(light, screen)
    showing = _find_showing(light, screen)[..., None] if light.ndim == 3 else _find_showing(light, screen)
    return np.asarray(light + showing * (smooth - light), np.float32)


def _average_cells(light: Floats, screen: Screen) -> Floats:
    """Return the mean over a square of the screen's pitch that lies as the screen does."""
    reach = math.ceil(screen.pitch_px * 0.75) + 1
    fine = 8
    steps = (np.arange(-reach * fine, (reach + 1) * fine) + 0.5) / fine - 0.5
    v, u = np.meshgrid(steps, steps, indexing="ij")
    cos, sin = math.cos(screen.angle_rad), math.sin(screen.angle_rad)
    inside = (np.abs(u * cos + v * sin) <= screen.pitch_px / 2) & (
        np.abs(v * cos - u * sin) <= screen.pitch_px / 2
    )
    side = 2 * reach + 1
    kernel = inside.reshape(side, fine, side, fine).mean(axis=(1, 3))
    return np.asarray(
        cv2.filter2D(light, -1, kernel / kernel.sum(), borderType=cv2.BORDER_REFLECT_101), np.float32
    )


def _find_showing(light: Floats, screen: Screen) -> Floats:
    """Return 0 to 1: how much of the screen shows at each pixel."""
    grey = light if light.ndim == 2 else np.asarray(light.mean(axis=2), np.float32)
    v, u = (np.arange(side, dtype=np.float64) for side in grey.shape)
    side = 2 * round(2.5 * screen.pitch_px) + 1
    changing = grey - box(grey, side)
    spread = np.sqrt(np.maximum(box(changing * changing, side), 0)) + np.float32(0.01)
    total = np.zeros_like(grey)
    for turn in (0.0, math.pi / 2):
        fu = math.cos(screen.angle_rad + turn) / screen.pitch_px
        fv = math.sin(screen.angle_rad + turn) / screen.pitch_px
        for part in (np.cos, np.sin):
            # cos(a + b) from its rows and columns would need four products; one table of phases is enough.
            wave = part(2 * math.pi * (fu * u[None, :] + fv * v[:, None])).astype(np.float32)
            total += box(changing * wave, side) ** 2
    share = np.sqrt(total) / spread
    showing = np.clip((share - 0.18) / 0.12, 0, 1).astype(np.float32)
    return cv2.GaussianBlur(showing, (0, 0), screen.pitch_px)  # type: ignore[return-value]
