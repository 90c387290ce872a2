"""How many pieces of one size a sheet gives by straight cuts, keeping the grain.

In: sizes, gap, margin in mm; directions of the grain. Out: counts and where the pieces lie.
Never: several sizes on one sheet, outlines that are no rectangles, the order of the cuts at the guillotine.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from doublure.errors import DomainError

# Sides come from fractions of an inch in float mm; a hair's breadth must not cost a row.
_SLACK_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Block:
    """Rows and columns of pieces that all lie the same way.

    Attributes:
        left_mm: Left edge of the first piece, mm from the left edge of the sheet.
        top_mm: Top edge of the first piece, mm from the top edge of the sheet.
        columns: Pieces side by side.
        rows: Pieces one above the other.
        turned: True where the pieces lie on their side.
    """

    left_mm: float
    top_mm: float
    columns: int
    rows: int
    turned: bool

    @property
    def pieces(self) -> int:
        """Number of pieces in the block."""
        return self.columns * self.rows


@dataclass(frozen=True, slots=True)
class SheetFit:
    """How pieces of one size come out of a sheet.

    Attributes:
        upright: Pieces if all lie upright, as plain rows and columns, whatever the grain.
        turned: Pieces if all lie on their side, whatever the grain.
        upright_allowed: Whether the grain allows pieces to lie upright.
        turned_allowed: Whether it allows them on their side.
        grain_known: False where the piece asks for a grain but the sheet's is not known, so that both ways
            are counted and the answer holds only if the grain is no matter.
        pieces: Most pieces found in the allowed ways.
        blocks: Where they lie: one block, or two where the strip beside the first takes pieces the other way.
        waste: Share of the sheet's area that is in no piece, 0 to 1; 1 where none fits.
    """

    upright: int
    turned: int
    upright_allowed: bool
    turned_allowed: bool
    grain_known: bool
    pieces: int
    blocks: tuple[Block, ...]
    waste: float


def count_straight_cuts(
    sheet_mm: tuple[float, float],
    piece_mm: tuple[float, float],
    gap_mm: float = 0.0,
    margin_mm: float = 0.0,
    grain: str | None = None,
    sheet_grain: str | None = None,
) -> SheetFit:
    """Return how many pieces of one size a sheet gives by straight cuts from edge to edge.

    The sheet is cut once from edge to edge into two blocks, of which the first holds pieces one way and the
    second the other way, in rows and columns; every place of that cut is tried, both across and along. Mixing
    more finely can at times give a piece or two more.

    Args:
        sheet_mm: Width and height of the sheet, mm, each > 0.
        piece_mm: Width and height of the piece as it will be used, mm, each > 0.
        gap_mm: Waste between neighbouring pieces, mm, >= 0 (twice the bleed, for printed pieces cut apart).
        margin_mm: Waste along every edge of the sheet, mm, >= 0.
        grain: How the fibres must run in the piece: "along-height", "along-width", or None where it is no
            matter.
        sheet_grain: How they run in the sheet: along its "long" or its "short" side; None where not known.

    Returns:
        The counts and the best layout.

    Raises:
        DomainError: A length is out of range, a direction is no direction, or "long" is said of a square
            sheet.

    Examples:
        >>> count_straight_cuts((412.75, 336.55), (160.3375, 68.2625)).pieces
        12
    """
    _check(sheet_mm, piece_mm, gap_mm, margin_mm)
    upright_allowed, turned_allowed, grain_known = _allow(sheet_mm, grain, sheet_grain)
    room = (sheet_mm[0] - 2 * margin_mm, sheet_mm[1] - 2 * margin_mm)
    ways = [turned for turned, allowed in ((False, upright_allowed), (True, turned_allowed)) if allowed]
    layouts = [
        layout for turned in ways for layout in _lay(room, piece_mm, gap_mm, turned, mixed=len(ways) == 2)
    ]
    # The plainest layout wins among equals: fewer blocks; then the first, which lies upright.
    best = max(layouts, key=lambda blocks: (sum(block.pieces for block in blocks), -len(blocks)))
    blocks = tuple(replace(b, left_mm=b.left_mm + margin_mm, top_mm=b.top_mm + margin_mm) for b in best)
    pieces = sum(block.pieces for block in blocks)
    used = pieces * piece_mm[0] * piece_mm[1] / (sheet_mm[0] * sheet_mm[1])
    return SheetFit(
        upright=math.prod(_grid(room, piece_mm, gap_mm)),
        turned=math.prod(_grid(room, piece_mm[::-1], gap_mm)),
        upright_allowed=upright_allowed,
        turned_allowed=turned_allowed,
        grain_known=grain_known,
        pieces=pieces,
        blocks=blocks,
        waste=min(1.0, max(0.0, 1 - used)),
    )


def _lay(
    room: tuple[float, float], piece_mm: tuple[float, float], gap_mm: float, turned: bool, mixed: bool
) -> list[tuple[Block, ...]]:
    """Every layout that begins with a block lying one way: alone, or with the other beside or below it."""
    cell = (piece_mm[1], piece_mm[0]) if turned else piece_mm
    columns, rows = _grid(room, cell, gap_mm)
    layouts: list[tuple[Block, ...]] = [(Block(0.0, 0.0, columns, rows, turned),)]
    other = cell[::-1]
    for kept in range(columns + 1 if mixed else 0):
        left = kept * (cell[0] + gap_mm)
        beside = _grid((room[0] - left, room[1]), other, gap_mm)
        layouts.append((Block(0.0, 0.0, kept, rows, turned), Block(left, 0.0, *beside, not turned)))
    for kept in range(rows + 1 if mixed else 0):
        top = kept * (cell[1] + gap_mm)
        below = _grid((room[0], room[1] - top), other, gap_mm)
        layouts.append((Block(0.0, 0.0, columns, kept, turned), Block(0.0, top, *below, not turned)))
    return [tuple(block for block in layout if block.pieces) for layout in layouts]


def _grid(room: tuple[float, float], cell: tuple[float, float], gap_mm: float) -> tuple[int, int]:
    """Columns and rows of a cell in a room; n cells need n - 1 gaps."""
    columns, rows = (
        max(0, math.floor((space + gap_mm + _SLACK_MM) / (side + gap_mm)))
        for space, side in zip(room, cell, strict=True)
    )
    return (columns, rows) if columns and rows else (0, 0)


def _allow(
    sheet_mm: tuple[float, float], grain: str | None, sheet_grain: str | None
) -> tuple[bool, bool, bool]:
    """Return whether upright and turned pieces are allowed, and whether that is known."""
    if grain not in (None, "along-height", "along-width"):
        raise DomainError(f'the grain of a piece is "along-height" or "along-width", not "{grain}"', "grain")
    if sheet_grain not in (None, "long", "short"):
        raise DomainError(f'the grain of a sheet is "long" or "short", not "{sheet_grain}"', "sheet_grain")
    if grain is None:
        return True, True, True
    if sheet_grain is None:
        return True, True, False
    if abs(sheet_mm[0] - sheet_mm[1]) <= _SLACK_MM:
        raise DomainError(
            "a square sheet has no long side: the direction of its grain is not known", "sheet_grain"
        )
    upright_sheet = sheet_mm[1] > sheet_mm[0]
    along_height = upright_sheet == (sheet_grain == "long")
    upright = along_height == (grain == "along-height")
    return upright, not upright, True


def _check(
    sheet_mm: tuple[float, float], piece_mm: tuple[float, float], gap_mm: float, margin_mm: float
) -> None:
    for sides, argument in ((sheet_mm, "sheet_mm"), (piece_mm, "piece_mm")):
        for side in sides:
            if not (math.isfinite(side) and side > 0):
                raise DomainError(f"{argument} must be more than zero, not {side:g}", argument)
    for length, argument in ((gap_mm, "gap_mm"), (margin_mm, "margin_mm")):
        if not (math.isfinite(length) and length >= 0):
            raise DomainError(f"{argument} must not be negative, not {length:g}", argument)
