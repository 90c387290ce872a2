"""A printed book on the table: numbered masters, sheets as pictures of both sides, folding, reading.

Written without a formula of imposition. A sheet is two pictures of the same shape, what one sees from above and
what lies underneath; folding turns one part over onto the other, as a hand does. What comes out are leaves in
order from the top, whose pages are found and measured by the marks that their masters carry.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

Picture = NDArray[np.bool_]

LEAF_MM = (105.0, 148.0)
#: Discs by which a page is measured: x, y, radius. The first is larger, so that no turn or mirror looks alike.
DISCS_MM = ((12.0, 12.0, 3.5), (93.0, 12.0, 2.0), (12.0, 136.0, 2.0), (93.0, 136.0, 2.0))
_BITS, _BIT_X_MM, _BIT_Y_MM, _BIT_MM, _BIT_STEP_MM = 10, 15.0, 70.0, 4.0, 7.5
_SEARCH_MM = 5.0


def draw_master(number: int, ppi: float, leaf_mm: tuple[float, float] = LEAF_MM) -> Image.Image:
    """Return a bilevel page that says its number in squares, with a disc near each corner."""
    scale = ppi / 25.4
    picture = Image.new("1", (round(leaf_mm[0] * scale), round(leaf_mm[1] * scale)), 1)
    pen = ImageDraw.Draw(picture)
    for x, y, radius in DISCS_MM:
        # The last pixel of a box is still inside of it.
        box = [(x - radius) * scale, (y - radius) * scale, (x + radius) * scale - 1, (y + radius) * scale - 1]
        pen.ellipse(box, fill=0)
    for bit in range(_BITS):
        if number >> bit & 1:
            left, top = _BIT_X_MM + bit * _BIT_STEP_MM, _BIT_Y_MM
            pen.rectangle(
                [left * scale, top * scale, (left + _BIT_MM) * scale, (top + _BIT_MM) * scale], fill=0
            )
    return picture


@dataclass(frozen=True)
class Layer:
    """One thickness of paper: what is seen from above, and what is underneath as if seen through from above."""

    above: Picture
    below: Picture

    def turned_over(self) -> Layer:
        """Return it turned about its vertical middle."""
        return Layer(self.below[:, ::-1], self.above[:, ::-1])


def lay_down(front: Picture, back: Picture) -> Layer:
    """Return a sheet lying with its back up. Both pictures are as one sees them, the head away from one."""
    return Layer(back, front[:, ::-1])


def fold_left_over_right(pile: list[Layer], at_px: int) -> list[Layer]:
    """Return a pile (lowest layer first) after its left part was folded over onto its right part."""
    stay = [Layer(layer.above[:, at_px:], layer.below[:, at_px:]) for layer in pile]
    move = [Layer(layer.above[:, :at_px], layer.below[:, :at_px]).turned_over() for layer in reversed(pile)]
    width = max(stay[0].above.shape[1], move[0].above.shape[1])
    # Both parts begin at the fold; what is shorter is filled up with nothing.
    return [_widen(layer, width) for layer in (*stay, *move)]


def fold_right_over_left(pile: list[Layer], at_px: int) -> list[Layer]:
    """Return a pile after its right part was folded over onto its left part."""
    mirrored = [Layer(layer.above[:, ::-1], layer.below[:, ::-1]) for layer in pile]
    folded = fold_left_over_right(mirrored, pile[0].above.shape[1] - at_px)
    return [Layer(layer.above[:, ::-1], layer.below[:, ::-1]) for layer in folded]


def fold_top_over_bottom(pile: list[Layer], at_px: int) -> list[Layer]:
    """Return a pile after its upper part was folded over towards one."""
    standing = [Layer(layer.above.T, layer.below.T) for layer in pile]
    return [Layer(layer.above.T, layer.below.T) for layer in fold_left_over_right(standing, at_px)]


def _widen(layer: Layer, width: int) -> Layer:
    lacking = width - layer.above.shape[1]
    if not lacking:
        return layer
    grow = ((0, 0), (0, lacking))
    return Layer(np.pad(layer.above, grow), np.pad(layer.below, grow))


@dataclass(frozen=True)
class FoundPage:
    """A page as it was found.

    Attributes:
        number: What its squares say.
        shift_mm: By how much each disc lies off its place, x and y.
    """

    number: int
    shift_mm: tuple[tuple[float, float], ...]

    @property
    def place_mm(self) -> tuple[float, float]:
        """By how much the page as a whole lies off its place, x and y."""
        across, down = np.mean(self.shift_mm, axis=0)
        return float(across), float(down)

    @property
    def bent_mm(self) -> float:
        """How far a disc lies from where the page as a whole would have it: turn, scale, what the renderer does."""
        return float(np.abs(np.asarray(self.shift_mm) - self.place_mm).max())


def read_page(page: Picture, left_mm: float, top_mm: float, ppmm: float) -> FoundPage | None:
    """Read a page whose leaf begins at a place of a picture (True: ink); None for a blank one.

    Raises:
        AssertionError: It stands on its head, is mirrored, or a disc is not within 5 mm of its place.
    """
    shifts, inks = [], []
    for x, y, radius in DISCS_MM:
        reach = min(_SEARCH_MM, radius + 3)
        x_mm, y_mm = left_mm + x, top_mm + y
        first, top = max(0, round((x_mm - reach) * ppmm)), max(0, round((y_mm - reach) * ppmm))
        spot = page[top : round((y_mm + reach) * ppmm), first : round((x_mm + reach) * ppmm)]
        rows, columns = np.nonzero(spot)
        inks.append(len(rows))
        if len(rows):
            shifts.append(
                ((columns.mean() + 0.5 + first) / ppmm - x_mm, (rows.mean() + 0.5 + top) / ppmm - y_mm)
            )
    if not any(inks):
        return None
    assert all(inks), "a disc is missing"
    areas = [ink / ppmm**2 for ink in inks]
    for area, (_, _, radius) in zip(areas, DISCS_MM, strict=True):
        assert abs(area / (np.pi * radius**2) - 1) < 0.2, f"turned, mirrored or cut: {areas}"
    number = 0
    for bit in range(_BITS):
        x = left_mm + _BIT_X_MM + bit * _BIT_STEP_MM + _BIT_MM / 2
        y = top_mm + _BIT_Y_MM + _BIT_MM / 2
        number |= int(page[round(y * ppmm), round(x * ppmm)]) << bit
    return FoundPage(number, tuple((float(x), float(y)) for x, y in shifts))
