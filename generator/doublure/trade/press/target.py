"""The two-sided register target: where each mark, scale and ruler of a test sheet lies.

In: the size of the sheet. Out: Target, in register coordinates (mm from the middle of the sheet, x to the
right, y downwards, seen from the front). Never: drawing (render/bench/target_sheet.py), pictures.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Side

Point = tuple[float, float]

#: The mark of the front: a solid disc. Blurred by the paper or not, it is darkest in the middle.
DISC_RADIUS_MM = 2.0
#: The mark of the back: a ring, whose middle stays light seen through.
RING_OUTER_MM, RING_INNER_MM = 3.3, 1.7
#: From the disc to where the ring should lie, seen from the front. Each turn and each mirror image of the
#: sheet shows these two numbers in another order or with other signs, so that every pair of marks tells them.
STEP_MM: Point = (8.0, 5.0)
#: The middle of a pair lies one inch in from the two edges of a corner.
INSET_MM = 25.4
#: A scale read by eye: lines of the front 2 mm apart, of the back 1.8 mm apart, so many to each side of the
#: middle. Line k of the back goes on in line k of the front where the back lies k × 0.2 mm off.
FRONT_LINES_MM, BACK_LINES_MM, LINES_BESIDE = 2.0, 1.8, 4
#: Lengths of a scale's lines, mm.
SCALE_FRONT_MM, SCALE_BACK_MM = 2.8, 3.0
#: How far a ruler at an edge reaches into the sheet; how wide it is with its figures, and by how much the middle
#: of that lies to the right of or below its line.
RULER_MM = 15.0
_RULER_WIDE_MM, _RULER_OFF_MM = 6.0, 1.6
#: The solid discs without a ring: how far from the middle of the first pairs, towards the edge.
CODE_STEP_MM = 13.4

#: A pair with its scales takes up so much, with a little room around it.
_LEAST_PITCH_X_MM, _LEAST_PITCH_Y_MM = 25.4, 24.0
#: How far a pair with its scales reaches above and below its middle.
BLOCK_ABOVE_MM, BLOCK_BELOW_MM = 8.2, 15.6
#: The same to the left and right.
BLOCK_LEFT_MM, BLOCK_RIGHT_MM = 6.6, 18.8
_MARKS = range(9, 26)
_MOST_MM = 1200.0
#: Where the scales of a pair have their zero, from the middle of the pair: across, and along the height.
_ACROSS_SCALE: Point = (0.0, 12.0)
_ALONG_SCALE: Point = (12.6, 0.0)


class Edge(Enum):
    """An edge of the sheet, as one looks at the side in question with the head up."""

    HEAD = "head"
    FOOT = "foot"
    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class TargetMark:
    """A disc on the front and a ring on the back.

    Attributes:
        name: Letter of the row from the head, number of the column from the left, seen from the front.
        x_mm, y_mm: Where the middle of the ring should lie; a reading is about this point.
        front_x_mm, front_y_mm: Where the middle of the disc is.
        row, column: From 0.
    """

    name: str
    x_mm: float
    y_mm: float
    front_x_mm: float
    front_y_mm: float
    row: int
    column: int

    @property
    def middle(self) -> Point:
        """The point halfway between disc and ring, mm."""
        return (self.x_mm + self.front_x_mm) / 2, (self.y_mm + self.front_y_mm) / 2


@dataclass(frozen=True, slots=True)
class EyeScale:
    """A scale by which one reads an offset against the light.

    Attributes:
        mark: Name of the mark beside it.
        across: True for the offset to the right, False for the offset downwards.
        x_mm, y_mm: Its zero, where lines of front and back meet.
    """

    mark: str
    across: bool
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class EdgeRuler:
    """A ruler from an edge into the sheet, its lines numbered by their distance from that edge.

    Attributes:
        side: The side that it is printed on.
        edge: The edge, as seen on that side.
        along_mm: Where it starts: mm from the middle of that edge, to the right or downwards on that side.
    """

    side: Side
    edge: Edge
    along_mm: float


@dataclass(frozen=True, slots=True)
class FoldRuler:
    """A ruler across the printed fold line, its zero on the line.

    Attributes:
        side: The side that it is printed on.
        y_mm: Its height on the sheet.
        half_mm: How far it reaches to each side.
    """

    side: Side
    y_mm: float
    half_mm: float


@dataclass(frozen=True, slots=True)
class Target:
    """A two-sided test sheet.

    Attributes:
        sheet_width_mm, sheet_height_mm: The sheet, its head up.
        columns, rows: Of the grid of marks.
        pitch_x_mm, pitch_y_mm: From mark to mark.
        marks: Row by row from the head, left to right.
        code: Middles of the solid discs without a ring, which tell the corner at the head and left, and by
            their fixed distances which sheet the target was made for.
        scales: Two beside each mark.
        rulers: At the edges, of both sides.
        folds: Across the printed fold line, of both sides.
        bar_mm: Length of the scale bar: 100, 50 on narrow sheets, 0 where there is no room for one.
    """

    sheet_width_mm: float
    sheet_height_mm: float
    columns: int
    rows: int
    pitch_x_mm: float
    pitch_y_mm: float
    marks: tuple[TargetMark, ...]
    code: tuple[Point, ...]
    scales: tuple[EyeScale, ...]
    rulers: tuple[EdgeRuler, ...]
    folds: tuple[FoldRuler, ...]
    bar_mm: float

    def mark(self, name: str) -> TargetMark | None:
        """Return a mark by its name, letter case aside; None where there is none."""
        wanted = name.strip().upper()
        return next((mark for mark in self.marks if mark.name == wanted), None)

    @property
    def bands(self) -> tuple[tuple[float, float], ...]:
        """Free heights between the rows of marks: (from, to), mm from the middle of the sheet."""
        return tuple(
            (y + BLOCK_BELOW_MM, y + self.pitch_y_mm - BLOCK_ABOVE_MM)
            for y in (self.marks[row * self.columns].middle[1] for row in range(self.rows - 1))
        )


def design_target(sheet_width_mm: float, sheet_height_mm: float) -> Target:
    """Lay out the target for a sheet.

    The grid has 15 to 25 marks, 9 at least on the smallest sheets, as nearly square as it can be, and an even
    number of columns where that costs nothing, so that the fold runs between them.

    Args:
        sheet_width_mm: Width of the sheet with its head up, mm.
        sheet_height_mm: Height, mm.

    Raises:
        DomainError: A side is not finite, too short for three marks a row, or longer than 2 m.

    Examples:
        >>> target = design_target(210, 297)
        >>> target.columns, target.rows, target.marks[0].name, target.marks[0].middle
        (4, 6, 'A1', (-79.6, -123.1))
    """
    width, height = float(sheet_width_mm), float(sheet_height_mm)
    least = (2 * (INSET_MM + _LEAST_PITCH_X_MM), 2 * (INSET_MM + _LEAST_PITCH_Y_MM))
    for side, least_mm, argument in (
        (width, least[0], "sheet_width_mm"),
        (height, least[1], "sheet_height_mm"),
    ):
        if not math.isfinite(side) or side < least_mm - 1e-6 or side > _MOST_MM:
            raise DomainError(
                f"the target needs a sheet of at least {math.ceil(least[0])} x {math.ceil(least[1])} mm and at "
                f"most {_MOST_MM:g} mm a side; {width:g} x {height:g} mm will not do",
                argument,
            )
    columns, rows = _choose_grid(width, height)
    pitch_x = (width - 2 * INSET_MM) / (columns - 1)
    pitch_y = (height - 2 * INSET_MM) / (rows - 1)
    marks = tuple(
        _place_mark(
            row, column, INSET_MM - width / 2 + column * pitch_x, INSET_MM - height / 2 + row * pitch_y
        )
        for row in range(rows)
        for column in range(columns)
    )
    first, below = marks[0].middle, marks[columns].middle
    code = (
        (first[0], first[1] - CODE_STEP_MM),
        (first[0] - CODE_STEP_MM, first[1]),
        (below[0] - CODE_STEP_MM, below[1]),
    )
    return Target(
        width,
        height,
        columns,
        rows,
        pitch_x,
        pitch_y,
        marks,
        code,
        _place_scales(marks),
        _place_rulers(width, height, columns, rows, pitch_x, pitch_y),
        _place_folds(height, rows, pitch_x, pitch_y),
        _choose_bar(width, pitch_y),
    )


def _choose_grid(width_mm: float, height_mm: float) -> tuple[int, int]:
    """Return columns and rows."""
    across, along = width_mm - 2 * INSET_MM, height_mm - 2 * INSET_MM
    choices = []
    for columns in range(3, 9):
        for rows in range(3, 9):
            pitch_x, pitch_y = across / (columns - 1), along / (rows - 1)
            fits = pitch_x > _LEAST_PITCH_X_MM - 1e-6 and pitch_y > _LEAST_PITCH_Y_MM - 1e-6
            if not fits or columns * rows not in _MARKS:
                continue
            few = max(0, 15 - columns * rows)
            cost = abs(math.log(pitch_x / pitch_y)) + 0.2 * few + (0.3 if columns % 2 else 0.0)
            choices.append((cost, -columns * rows, columns, rows))
    _, _, columns, rows = min(choices)  # three by three always fits
    return columns, rows


def _choose_bar(width_mm: float, pitch_y_mm: float) -> float:
    if pitch_y_mm - BLOCK_BELOW_MM - BLOCK_ABOVE_MM < 6.0:
        return 0.0
    return 100.0 if width_mm >= 125 else 50.0


def _place_mark(row: int, column: int, x_mm: float, y_mm: float) -> TargetMark:
    half_x, half_y = STEP_MM[0] / 2, STEP_MM[1] / 2
    name = f"{chr(ord('A') + row)}{column + 1}"
    # Rounded to a nanometre, so that sums of tenths print and compare as what they are.
    return TargetMark(
        name,
        round(x_mm + half_x, 6),
        round(y_mm + half_y, 6),
        round(x_mm - half_x, 6),
        round(y_mm - half_y, 6),
        row,
        column,
    )


def _place_scales(marks: tuple[TargetMark, ...]) -> tuple[EyeScale, ...]:
    scales = []
    for mark in marks:
        x, y = mark.middle
        scales.append(EyeScale(mark.name, True, x + _ACROSS_SCALE[0], y + _ACROSS_SCALE[1]))
        scales.append(EyeScale(mark.name, False, x + _ALONG_SCALE[0], y + _ALONG_SCALE[1]))
    return tuple(scales)


def _place_rulers(
    width_mm: float, height_mm: float, columns: int, rows: int, pitch_x_mm: float, pitch_y_mm: float
) -> tuple[EdgeRuler, ...]:
    """Two rulers an edge and side, one where there is no room, those of the two sides apart when seen through."""
    rulers: list[EdgeRuler] = []
    for edges, length, count, pitch in (
        ((Edge.HEAD, Edge.FOOT), width_mm, columns, pitch_x_mm),
        ((Edge.LEFT, Edge.RIGHT), height_mm, rows, pitch_y_mm),
    ):
        # Middles of the free room between two marks, whose scales reach 8.4 mm to each side.
        gaps = [INSET_MM - length / 2 + (gap + 0.5) * pitch for gap in range(count - 1)]
        apart = _RULER_WIDE_MM / 2 + 0.2
        if count >= 5:
            fronts, backs = [gaps[0], gaps[-1]], [gaps[1], gaps[-2]]
        elif pitch - 16.8 > 4 * apart:
            fronts, backs = ([gaps[0] + off, gaps[-1] + off] for off in (-apart, apart))
        else:
            fronts, backs = gaps[:1], gaps[-1:]
        for edge in edges:
            # Left and right of the back change places, seen through. A ruler's figures stand to one side.
            sign = -1 if edge in (Edge.HEAD, Edge.FOOT) else 1
            rulers += [EdgeRuler(Side.FRONT, edge, along - _RULER_OFF_MM) for along in fronts]
            rulers += [EdgeRuler(Side.BACK, edge, sign * along - _RULER_OFF_MM) for along in backs]
    return tuple(rulers)


def _place_folds(height_mm: float, rows: int, pitch_x_mm: float, pitch_y_mm: float) -> tuple[FoldRuler, ...]:
    """One at the foot of the front and the head of the back, and, where there is room, near the middle."""
    half = 10.0 if pitch_x_mm >= 30 else 7.0
    edge = height_mm / 2
    folds = [FoldRuler(Side.FRONT, edge - 6.0, half), FoldRuler(Side.BACK, 6.0 - edge, half)]
    room = pitch_y_mm - BLOCK_BELOW_MM - BLOCK_ABOVE_MM
    if room >= 6.0:
        gap = (rows - 1) // 2
        y = INSET_MM - edge + gap * pitch_y_mm + BLOCK_BELOW_MM + room / 2
        folds.append(FoldRuler(Side.FRONT, y, half))
        folds.append(FoldRuler(Side.BACK, y - pitch_y_mm, half))
    return tuple(folds)
