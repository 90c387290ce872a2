"""The misfit of the next sheet, back against front, at any point: before the correction and after it.

In: MachineFit, a point. Out: Misfit. Never: fitting, crossovers, drawing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.trade.press.register import assumed
from doublure.trade.press.register.distributions import count_degrees, prediction_half, student_quantile
from doublure.trade.press.register.plane import PlaneError, length_below
from doublure.trade.press.register.records import MachineFit, Misfit, SheetFit
from doublure.trade.press.register.spread import relate_points, shared_sigma

HELD = 0.95
"""Share of the sheets that an interval is made for."""


def predict_misfit(fit: MachineFit | None, x_mm: float, y_mm: float, corrected: bool) -> Misfit:
    """Return the misfit to expect of a new sheet at one point.

    At the point, the fitted maps of the S sheets give S misfits, of mean m and variance s² in each coordinate.
    s² holds what truly differs from sheet to sheet and the error of reading, whose variance at the point is
    σ²h (`relate_points`). A new sheet differs by the first alone; the mean is uncertain by both, over S, and by
    what of the stated uncertainty the marks do not show (`MachineFit.unseen_mm`), which S does not divide. The
    95 % interval is m ± t·s·√(1 + 1/S), with S - 1 degrees of freedom, where reading is exact, and that of
    `prediction_half` where it is not. The length is that of both coordinates together, as Student's t in the
    plane. After the correction the mean is nought and the interval as wide as before: the uncertainty of what
    was corrected stays in.

    Args:
        fit: The printer's fit; None for a printer that nobody has read, on figures of assumed.py.
        x_mm, y_mm: The point, register coordinates.
        corrected: True where the systematic part is undone before printing.

    Returns:
        The misfit. `degrees` is 0 where the sheet-to-sheet part is assumed, because less than two sheets were
        read; intervals are then normal ones.

    Raises:
        DomainError: The point is not finite.

    Source:
        Prediction interval of a new observation: any handbook of statistics. docs/handbook/methods/register.md.
    """
    if not (math.isfinite(x_mm) and math.isfinite(y_mm)):
        raise DomainError("the place on the sheet must be two finite numbers", "x_mm")
    point = (x_mm, y_mm)
    mean_x, mean_y = (
        (0.0, 0.0) if fit is None or corrected else _misfit_of(fit.systematic.apply(*point), point)
    )
    several = fit if fit is not None and len(fit.sheets) > 1 else None
    found = _predict_assumed(fit, point) if several is None else _predict_read(several, point)
    error = PlaneError(mean_x, mean_y, found.xx_mm2, found.xy_mm2, found.yy_mm2, found.plane_degrees)
    return Misfit(
        x_mm=x_mm,
        y_mm=y_mm,
        mean_dx_mm=mean_x,
        mean_dy_mm=mean_y,
        u_mean_mm=math.sqrt(found.mean_mm2),
        half_dx_mm=found.half_x_mm,
        half_dy_mm=found.half_y_mm,
        p95_mm=length_below(error, HELD),
        degrees=found.degrees,
    )


def predict_map(
    fit: MachineFit | None,
    sheet_width_mm: float,
    sheet_height_mm: float,
    corrected: bool,
    columns: int = 13,
    rows: int = 9,
) -> tuple[tuple[Misfit, ...], ...]:
    """Return the misfit at the points of a grid that reaches to the edges of the sheet, row by row from the head.

    Raises:
        DomainError: The sheet has no size, or the grid less than two columns or rows.
    """
    for size, name in ((sheet_width_mm, "sheet_width_mm"), (sheet_height_mm, "sheet_height_mm")):
        if not (math.isfinite(size) and size > 0):
            raise DomainError("the sheet must have a width and a height greater than 0", name)
    if min(columns, rows) < 2:
        raise DomainError("a map needs at least two columns and two rows", "columns")
    across = [sheet_width_mm * (i / (columns - 1) - 0.5) for i in range(columns)]
    down = [sheet_height_mm * (i / (rows - 1) - 0.5) for i in range(rows)]
    return tuple(tuple(predict_misfit(fit, x, y, corrected) for x in across) for y in down)


def target_error(fit: SheetFit, x_mm: float, y_mm: float, sigma_mm: float | None = None) -> float:
    """Return the target registration error of one sheet's fit: root mean square length at a point, mm.

    √(σ² · trace of `relate_points` at the point). For a rigid fit in two dimensions that is
    TRE² = FLE²/N · (1 + |r|²/(2 m)), for a similarity FLE²/N · (1 + |r|²/m), for an affine map
    FLE²/N · (1 + r' S⁻¹ r), FLE² = 2σ², m the mean squared distance of the marks from their centre.

    Args:
        fit: The sheet's fit.
        x_mm, y_mm: The point, register coordinates.
        sigma_mm: Standard deviation of one coordinate of one reading; None for the fit's own.

    Raises:
        DomainError: Neither is known.

    Source:
        J. M. Fitzpatrick, J. B. West, C. R. Maurer, IEEE Trans. Med. Imaging 17 (1998) 694-702.
    """
    sigma = sigma_mm if sigma_mm is not None else _reading_sigma(fit, None)
    if sigma is None or fit.spread is None:
        raise DomainError(f"test sheet {fit.name}: its marks are too few to tell the error of reading", "fit")
    xx, _, _, yy = relate_points(fit.spread, fit.model, (x_mm, y_mm), (x_mm, y_mm))
    return sigma * math.sqrt(xx + yy)


@dataclass(frozen=True, slots=True)
class _Prediction:
    """A new sheet's misfit about the mean: interval of each axis, the same as an error in the plane, mm, mm²."""

    half_x_mm: float
    half_y_mm: float
    xx_mm2: float
    xy_mm2: float
    yy_mm2: float
    plane_degrees: float
    degrees: int
    mean_mm2: float


def _misfit_of(placed: tuple[float, float], point: tuple[float, float]) -> tuple[float, float]:
    return placed[0] - point[0], placed[1] - point[1]


def _reading_sigma(fit: SheetFit, pooled: float | None) -> float | None:
    """Return the pooled error of reading, else the sheet's own, else what was stated with its marks."""
    if pooled is not None:
        return pooled
    return fit.sigma_mm if fit.sigma_mm is not None or fit.spread is None else fit.spread.u_mm


def _read_noise(
    sheets: Sequence[SheetFit], pooled: float | None, point: tuple[float, float]
) -> tuple[float, float, float]:
    """Return the mean covariance of the fitted misfits at a point from the error of reading, mm²."""
    xx = xy = yy = 0.0
    for sheet in sheets:
        sigma = _reading_sigma(sheet, pooled)
        if sigma is not None and sheet.spread is not None:
            found = relate_points(sheet.spread, sheet.model, point, point)
            xx, xy, yy = (
                xx + sigma**2 * found[0], xy + sigma**2 * found[1], yy + sigma**2 * found[3]
            )  # fmt: skip
    return xx / len(sheets), xy / len(sheets), yy / len(sheets)


def _unseen_noise(fit: MachineFit, point: tuple[float, float]) -> tuple[float, float, float]:
    """Return the covariance at a point of what all readings may share, mm²; it does not average out."""
    if not fit.unseen_mm:
        return 0.0, 0.0, 0.0
    found = [
        [
            shared_sigma(sheet.spread, fit.unseen_mm) ** 2 * one
            for one in relate_points(sheet.spread, sheet.model, point, point)
        ]
        for sheet in fit.sheets
        if sheet.spread is not None
    ]
    xx, xy, _, yy = (math.fsum(values) / len(found) for values in zip(*found, strict=True))
    return xx, xy, yy


def _predict_read(fit: MachineFit, point: tuple[float, float]) -> _Prediction:
    count = len(fit.sheets)
    found = [_misfit_of(sheet.map.apply(*point), point) for sheet in fit.sheets]
    mean = [math.fsum(values) / count for values in zip(*found, strict=True)]
    xx, xy, yy = (
        math.fsum((v[i] - mean[i]) * (v[j] - mean[j]) for v in found) / (count - 1)
        for i, j in ((0, 0), (0, 1), (1, 1))
    )
    noise_xx, noise_xy, noise_yy = _read_noise(fit.sheets, fit.sigma_mm, point)
    shared_xx, _, shared_yy = _unseen_noise(fit, point)
    half_x = prediction_half(xx, noise_xx, count, shared=shared_xx)
    half_y = prediction_half(yy, noise_yy, count, shared=shared_yy)
    student = student_quantile((1 + HELD) / 2, count - 1)
    correlation = xy / math.sqrt(xx * yy) if xx > 0 and yy > 0 else 0.0
    return _Prediction(
        half_x_mm=half_x,
        half_y_mm=half_y,
        xx_mm2=(half_x / student) ** 2,
        xy_mm2=correlation * half_x * half_y / student**2,
        yy_mm2=(half_y / student) ** 2,
        plane_degrees=count_degrees((xx + yy) ** 2, xx * xx + 2 * xy * xy + yy * yy, count - 1, 2),
        degrees=count - 1,
        mean_mm2=(max(xx, noise_xx) + max(yy, noise_yy)) / count + shared_xx + shared_yy,
    )


def _predict_assumed(fit: MachineFit | None, point: tuple[float, float]) -> _Prediction:
    """Return the prediction from assumed figures: what one read sheet, or none, leaves open.

    Front and back are two passes, each with its own shift and turn, so that their variances add up. What a
    single read sheet shows is the machine's own map and that sheet's random part: as an estimate of the
    mean it is as uncertain as one sheet is random, and the error of reading comes on top.
    """
    x, y = point
    shift = 2 * assumed.SHEET_TO_SHEET_MM.value**2
    turn = 2 * assumed.TURN_RAD.value**2
    new = (shift + turn * y * y, -turn * x * y, shift + turn * x * x)
    if fit is None:
        # The systematic map of an unread printer: shift and turn of both passes, scale of the back.
        shift = 2 * assumed.SYSTEMATIC_MM.value**2
        scale = assumed.SCALE.value**2
        mean = (
            shift + turn * y * y + scale * x * x,
            (scale - turn) * x * y,
            shift + turn * x * x + scale * y * y,
        )
    else:
        noise = _read_noise(fit.sheets, fit.sigma_mm, point)
        shared = _unseen_noise(fit, point)
        mean = (
            new[0] + noise[0] + shared[0], new[1] + noise[1] + shared[1], new[2] + noise[2] + shared[2]
        )  # fmt: skip
    xx, xy, yy = (a + b for a, b in zip(new, mean, strict=True))
    normal = student_quantile((1 + HELD) / 2, math.inf)
    return _Prediction(
        normal * math.sqrt(xx), normal * math.sqrt(yy), xx, xy, yy, math.inf, 0, mean[0] + mean[2]
    )
