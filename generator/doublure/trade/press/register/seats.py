"""Where the print sits on the sheet and against the fold, in the mean of the test sheets, and whether that is told.

In: readings of test sheets. Out: SeatMeans. Never: the correction (correct.py), what differs from sheet to sheet
(sheet_errors.py).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import stdev

from doublure.trade.press.register.distributions import student_quantile
from doublure.trade.press.register.records import SheetReadings

TOLD = 0.95
"""A mean is told from nothing where nothing would look like it at most once in twenty times."""

LEAST_MM, LEAST_RAD = 0.02, 0.0001
"""What is smaller than this is as good as nothing: a fifth of what an eye reads, and the same over a sheet."""


@dataclass(frozen=True, slots=True)
class SeatMean:
    """The mean of one figure over the sheets on which it was read.

    Attributes:
        mean: mm or rad; 0 where nothing was read.
        u: Its standard uncertainty, from sheet to sheet; None from less than two sheets.
        limit: What the mean must exceed to be told from nothing; None from less than two sheets.
        count: Sheets on which it was read.
        is_told: True where it is told from nothing and not too small to matter.
    """

    mean: float = 0.0
    u: float | None = None
    limit: float | None = None
    count: int = 0
    is_told: bool = False


@dataclass(frozen=True, slots=True)
class SeatMeans:
    """Where the print of the fronts lies, in the mean of the sheets.

    Attributes:
        across: How far it lies right of the fold (`from_fold`) or of the middle of the sheet, mm.
        along: How far it lies below where it should on the sheet, mm.
        turn: How far it is turned on the sheet, clockwise, rad.
        from_fold: True where the fold was read, so that it counts and the seat across does not.
        follows_print: True where the readings tell that the fold goes by the print and not by the edges of the
            sheet: wherever the print is moved, the fold comes with it.
    """

    across: SeatMean
    along: SeatMean
    turn: SeatMean
    from_fold: bool
    follows_print: bool = False


def counts_fold(sheets: Sequence[SheetReadings]) -> bool:
    """Return whether the fold counts across the gutter: read twice, or once where the seat was not read twice."""
    folds = sum(sheet.front.fold_dx_mm is not None for sheet in sheets)
    seats = sum(sheet.front.dx_mm is not None for sheet in sheets)
    return folds >= 2 or (folds == 1 and seats < 2)


def mean_seats(sheets: Sequence[SheetReadings]) -> SeatMeans:
    """Return where the print lies in the mean, and what of it is told from nothing.

    Each figure by itself, by Student's t of its S - 1 degrees of freedom: |m| > t·s/√S at 5 %, both ways. One
    sheet says nothing of the next, so nothing is told by it.

    Examples:
        >>> from doublure.trade.press.register.records import SeatReading
        >>> sheets = [SheetReadings(str(x), (), SeatReading(x, 0.0)) for x in (0.4, 0.5, 0.6)]
        >>> found = mean_seats(sheets)
        >>> round(found.across.mean, 3), found.across.is_told, found.along.is_told, found.turn.count
        (0.5, True, False, 0)

    Source:
        W. S. Gosset ("Student"), Biometrika 6 (1908) 1-25, from memory. docs/handbook/methods/register.md.
    """
    seats = [sheet.front for sheet in sheets]
    from_fold = counts_fold(sheets)
    across = [-one.fold_dx_mm if one.fold_dx_mm is not None else None for one in seats]
    return SeatMeans(
        across=_mean(across if from_fold else [one.dx_mm for one in seats], LEAST_MM),
        along=_mean([one.dy_mm for one in seats], LEAST_MM),
        turn=_mean([one.turn_rad for one in seats], LEAST_RAD),
        from_fold=from_fold,
        follows_print=from_fold and _follows_print(sheets),
    )


def _mean(read: Sequence[float | None], least: float) -> SeatMean:
    values = [value for value in read if value is not None]
    count = len(values)
    if not count:
        return SeatMean()
    mean = math.fsum(values) / count
    if count == 1:
        return SeatMean(mean, count=1)
    u = stdev(values) / math.sqrt(count)
    limit = max(student_quantile((1 + TOLD) / 2, count - 1) * u, least)
    return SeatMean(mean, u, limit, count, abs(mean) > limit)


def _follows_print(sheets: Sequence[SheetReadings]) -> bool:
    """Return whether the fold is told to vary less against the print than against the sheet.

    With s the seat of the print on the sheet and f the fold right of where it is printed, the fold lies f + s
    from the middle of the sheet. The variances of f and of f + s differ where their sum 2f + s hangs together
    with their difference s; Student's t of the correlation r is r·√((n - 2)/(1 - r²)).

    Source:
        E. J. G. Pitman, Biometrika 31 (1939) 9-12, and W. A. Morgan, ibid. 13-19, from memory.
    """
    pairs = [
        (sheet.front.dx_mm, sheet.front.fold_dx_mm)
        for sheet in sheets
        if sheet.front.dx_mm is not None and sheet.front.fold_dx_mm is not None
    ]
    count = len(pairs)
    if count < 3:
        return False
    middle_seat = math.fsum(seat for seat, _ in pairs) / count
    middle_fold = math.fsum(fold for _, fold in pairs) / count
    apart = [seat - middle_seat for seat, _ in pairs]
    both = [2 * (fold - middle_fold) + off for (_, fold), off in zip(pairs, apart, strict=True)]
    seats, sums = math.fsum(one * one for one in apart), math.fsum(one * one for one in both)
    if seats <= count * LEAST_MM**2 / 4 or sums <= 0:
        return False
    r = math.fsum(one * other for one, other in zip(apart, both, strict=True)) / math.sqrt(seats * sums)
    if r >= 1 - 1e-12:
        return True
    return r > 0 and r * math.sqrt((count - 2) / (1 - r * r)) > student_quantile((1 + TOLD) / 2, count - 2)
