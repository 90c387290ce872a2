"""What differs from sheet to sheet, of all that decides where a printed point comes to lie on its leaf.

In: MachineFit, readings of the same sheets. Out: SheetErrors (mean and covariances of eleven figures of a sheet).
Never: crossovers (crossovers.py), distributions.

The eleven figures: seat of the front to the right, down and turned; the spine fold to the right of where it is
printed; the head fold below where it is printed; and dx, dy of the back against the front as a0 + a1·x + a2·y and
b0 + b1·x + b2·y. Lengths mm, angles and slopes without unit.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from doublure.trade.press.affine import Affine
from doublure.trade.press.register import assumed
from doublure.trade.press.register.records import MachineFit, SheetReadings
from doublure.trade.press.register.seats import counts_fold
from doublure.trade.press.register.spread import relate_points, shared_sigma

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

SEAT_X, SEAT_Y, SEAT_TURN, FOLD_X, FOLD_Y = range(5)
BACK = slice(5, 11)
FIGURES = 11


@dataclass(frozen=True, slots=True)
class ReadBlock:
    """Figures that were read on the same sheets, so that they hang together.

    Attributes:
        new: Covariance of a new sheet about the mean, 11 by 11, nought outside the block.
        of_mean: Covariance of the mean.
        degrees: Of freedom; infinite where assumed.
    """

    new: Array
    of_mean: Array
    degrees: float


@dataclass(frozen=True, slots=True)
class SheetErrors:
    """Mean and covariances of the figures of a sheet.

    Attributes:
        mean: Eleven figures, the systematic part of the back among them.
        blocks: Blocks that are independent of each other.
        reads_fold: True where the fold was read against the print, so that the seat across it does not count.
        is_seat_read, is_turn_read, is_fold_read, is_back_read: False where the figures are assumed, wholly or
            because less than two sheets were read.
    """

    mean: Array
    blocks: tuple[ReadBlock, ...]
    reads_fold: bool
    is_seat_read: bool
    is_turn_read: bool
    is_fold_read: bool
    is_back_read: bool


def gather_errors(fit: MachineFit | None, sheets: Sequence[SheetReadings], fold_mm: float) -> SheetErrors:
    """Return what is known of the sheets of a printer, and what is assumed where it is not.

    A figure read on two sheets or more has its mean and variance from them; on one sheet, its mean from there
    and the assumed variance; on none, both assumed. Where the fold was read, it counts and the seat across it
    does not: what the halves of a crossover are held against is the fold. Where it was not, the fold is taken
    to be made edge to edge, and lies fold_mm (standard deviation) beside the middle.

    Seat and back against front of the same sheets are kept together: where front and back are two passes
    that know nothing of each other, a front that sits too far right makes its back look too far left, and
    the place of the back on the sheet does not depend on it at all. Seats that were not read are taken so.

    Args:
        fit: The printer's fit; None while nobody has read it.
        sheets: Where the fronts sit; paired with the sheets of the fit by their names.
        fold_mm: Standard deviation of a fold that was not read.
    """
    import numpy as np

    reads_fold = counts_fold(sheets)
    across = FOLD_X if reads_fold else SEAT_X
    rows: dict[str, dict[int, float]] = {}
    for sheet in sheets:
        seat = sheet.front
        values = {
            across: seat.fold_dx_mm if reads_fold else seat.dx_mm, SEAT_Y: seat.dy_mm, SEAT_TURN: seat.turn_rad
        }  # fmt: skip
        rows[sheet.name] = {figure: value for figure, value in values.items() if value is not None}
    for one in fit.sheets if fit is not None else ():
        rows.setdefault(one.name, {}).update(enumerate(_slopes(one.map), BACK.start))
    mean = np.zeros(FIGURES)
    counts = dict.fromkeys((across, SEAT_Y, SEAT_TURN, *range(BACK.start, BACK.stop)), 0)
    for figure in counts:
        found = [row[figure] for row in rows.values() if figure in row]
        counts[figure] = len(found)
        mean[figure] = math.fsum(found) / len(found) if found else 0.0
    read = [figure for figure, count in counts.items() if count >= 2]
    blocks = _read_blocks(read, [row for row in rows.values() if row])
    if BACK.start not in read:
        blocks.append(_assume_back(counts[BACK.start]))
    unread = {figure: counts[figure] for figure in (across, SEAT_Y, SEAT_TURN) if figure not in read}
    if fit is not None and fit.unseen_mm > 0:
        blocks.append(_share_unseen(fit))
    blocks = _assume_passes(unread, blocks, keeps_mean=counts[BACK.start] > 0)
    if FOLD_X not in read:
        blocks.append(_single(FOLD_X, fold_mm**2, fold_mm**2 if reads_fold else 0.0))
    blocks.append(_single(FOLD_Y, fold_mm**2, 0.0))
    return SheetErrors(
        mean=mean,
        blocks=tuple(blocks),
        reads_fold=reads_fold,
        is_seat_read=SEAT_Y in read and across in read,
        is_turn_read=SEAT_TURN in read,
        is_fold_read=reads_fold and FOLD_X in read,
        is_back_read=BACK.start in read,
    )


def _slopes(register: Affine) -> tuple[float, ...]:
    return (
        register.x_mm, register.xx - 1, register.xy, register.y_mm, register.yx, register.yy - 1
    )  # fmt: skip


def _read_blocks(read: Sequence[int], rows: Sequence[dict[int, float]]) -> list[ReadBlock]:
    """Return one block where at least three sheets, and half of them, have every figure; else one a figure.

    The six figures of the back are always read together and are one block at least.
    """
    whole = [row for row in rows if all(figure in row for figure in read)]
    if len(whole) >= 3 and 2 * len(whole) >= len(rows):
        return [_sample(read, whole)] if read else []
    back = [figure for figure in read if figure >= BACK.start]
    groups = [[figure] for figure in read if figure < BACK.start] + ([back] if back else [])
    return [_sample(group, [row for row in rows if group[0] in row]) for group in groups]


def _sample(group: Sequence[int], rows: Sequence[dict[int, float]]) -> ReadBlock:
    import numpy as np

    values = np.array([[row[figure] for figure in group] for row in rows])
    values -= values.mean(axis=0)
    new = np.zeros((FIGURES, FIGURES))
    new[np.ix_(group, group)] = values.T @ values / (len(rows) - 1)
    return ReadBlock(new, new / len(rows), len(rows) - 1)


def _share_unseen(fit: MachineFit) -> ReadBlock:
    """Return what all readings of the back may be off by alike: it is in the mean and in no single sheet."""
    import numpy as np

    places = ((0.0, 0.0), (100.0, 0.0), (0.0, 100.0))
    # From dx and dy at the three places to a0, a1, a2, b0, b1, b2.
    one = np.array([[1.0, 0.0, 0.0], [-0.01, 0.01, 0.0], [-0.01, 0.0, 0.01]])
    figures = np.kron(np.eye(2), one)[:, [0, 3, 1, 4, 2, 5]]
    of_mean = np.zeros((FIGURES, FIGURES))
    for sheet in fit.sheets:
        if sheet.spread is not None:
            found = np.block(
                [
                    [np.reshape(relate_points(sheet.spread, sheet.model, p, q), (2, 2)) for q in places]
                    for p in places
                ]
            )
            of_mean[BACK, BACK] += (
                shared_sigma(sheet.spread, fit.unseen_mm) ** 2 * figures @ found @ figures.T
            )
    return ReadBlock(np.zeros((FIGURES, FIGURES)), of_mean / len(fit.sheets), math.inf)


def _single(figure: int, new: float, of_mean: float) -> ReadBlock:
    import numpy as np

    unit = np.zeros((FIGURES, FIGURES))
    unit[figure, figure] = 1.0
    return ReadBlock(new * unit, of_mean * unit, math.inf)


def _assume_passes(
    unread: Mapping[int, int], blocks: Sequence[ReadBlock], keeps_mean: bool
) -> list[ReadBlock]:
    """Return the blocks with seats that were not read, as those of passes like the one that prints the backs.

    If seat s and place of the back b vary alike, whatever they share, then the back against the front, m =
    b - s, has a covariance of -var(m)/2 with s: s = -m/2 + e with e independent of m, var(e) = var(s) -
    var(m)/4. The systematic seat stays unknown where the back was read: nothing is concluded from its mean.

    Args:
        unread: Figures of the seat with less than two readings, and how many they have.
        blocks: The others, the back's among them.
        keeps_mean: True where the back was read.
    """
    import numpy as np

    ties = np.eye(FIGURES)
    found = []
    for figure, count in unread.items():
        sign = 0.5 if figure == FOLD_X else -0.5
        back = np.zeros(FIGURES)
        if figure == SEAT_TURN:
            # The turn of the back against the front: half of b1 - a2.
            back[[BACK.start + 2, BACK.start + 4]] = (-0.5, 0.5)
            new = systematic = assumed.TURN_RAD.value
        else:
            back[BACK.start + (3 if figure == SEAT_Y else 0)] = 1.0
            new, systematic = assumed.SHEET_TO_SHEET_MM.value, assumed.SYSTEMATIC_MM.value
        tied = sum(float(back @ block.new @ back) for block in blocks) / 4
        tied_mean = 0.0 if keeps_mean else sum(float(back @ block.of_mean @ back) for block in blocks) / 4
        ties[figure] += sign * back
        of_mean = new**2 if count else systematic**2
        found.append(_single(figure, max(new**2 - tied, 0.0), max(of_mean - tied_mean, 0.0)))
    of_means = np.eye(FIGURES) if keeps_mean else ties
    tied_blocks = [
        ReadBlock(ties @ block.new @ ties.T, of_means @ block.of_mean @ of_means.T, block.degrees)
        for block in blocks
    ]
    return tied_blocks + found


def _assume_back(count: int) -> ReadBlock:
    """Return the assumed block of the back against the front, both of them passes of the printer."""
    import numpy as np

    shift_x, shift_y, turn, scale = np.zeros((4, 6))
    shift_x[0] = shift_y[3] = 1.0
    turn[[2, 4]] = (-1.0, 1.0)
    scale[[1, 5]] = 1.0

    def spread(shift_mm: float, scale_by: float) -> Array:
        found = np.zeros((FIGURES, FIGURES))
        found[BACK, BACK] = (
            2 * shift_mm**2 * (np.outer(shift_x, shift_x) + np.outer(shift_y, shift_y))
            + 2 * assumed.TURN_RAD.value**2 * np.outer(turn, turn)
            + scale_by**2 * np.outer(scale, scale)
        )
        return found

    new = spread(assumed.SHEET_TO_SHEET_MM.value, 0.0)
    return ReadBlock(
        new, new if count else spread(assumed.SYSTEMATIC_MM.value, assumed.SCALE.value), math.inf
    )
