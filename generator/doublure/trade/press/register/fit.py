"""The register of a printer from the marks of its test sheets: the map of each sheet, and of the machine.

In: readings. Out: SheetFit, MachineFit. Never: predictions (predict.py), the correction (correct.py).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.trade.press.affine import Affine
from doublure.trade.press.register.blunders import find_blunders
from doublure.trade.press.register.distributions import fisher_tail
from doublure.trade.press.register.least_squares import find_residuals, solve_map, sum_squares
from doublure.trade.press.register.parts import split_map
from doublure.trade.press.register.records import (
    FitModel,
    MachineFit,
    MapParts,
    MarkReading,
    MarkSpread,
    SheetFit,
    SheetReadings,
)
from doublure.trade.press.register.spread import (
    LEAST_MARKS,
    PARAMETERS,
    carries,
    invert_spread,
    relate_points,
    shared_sigma,
    spread_marks,
    weigh_marks,
)

CARRIED = 0.05
"""Shear and unequal scales are fitted where data without any would look so at most this often."""

NO_PARTS = MapParts(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def fit_sheet(readings: SheetReadings, model: FitModel | None = None) -> SheetFit:
    """Return the map of one sheet, by least squares.

    Args:
        readings: Its marks, at least one, of any order; weighted by 1/u² where uncertainties are stated.
        model: What to fit. None takes what the sheet carries: one mark a shift, two or more a similarity,
            and unequal scales and shear only where an F test tells them from nothing. Sheets of one printer
            should be fitted together, by `fit_machine`.

    Returns:
        The fit. Its sigma is √(RSS/(2N - p)), without bias, p being 2, 3, 4 or 6 for the four models.

    Raises:
        DomainError: No mark, numbers that are not finite, or marks that do not carry the model.

    Source:
        docs/handbook/methods/register.md. Shares of the degrees of freedom: R. Sibson, J. R. Stat. Soc. B 41
        (1979) 217-229, from memory.

    Examples:
        >>> marks = [MarkReading(f"A{x}{y}", x, y, 0.3 - 0.001 * y, 0.001 * x)
        ...          for x in (-100.0, 100.0) for y in (-70.0, 70.0)]
        >>> fit = fit_sheet(SheetReadings("one", tuple(marks)))
        >>> fit.model.value, round(fit.map.x_mm, 6), round(fit.map.yx, 6)
        ('shift, rotation and scale', 0.3, 0.001)
    """
    kept = _leave_out((readings,))[0]
    if model is None:
        model = _choose_model((kept,))
    elif not kept.carries(model):
        raise DomainError(_explain_too_little(kept, model), "readings")
    return kept.fit(model)


def fit_machine(sheets: Sequence[SheetReadings], model: FitModel | None = None) -> MachineFit:
    """Return what a printer does to its backs, from one or more sheets of one stock.

    The systematic map is the mean of the maps of the sheets, each sheet counting alike: what differs from
    sheet to sheet is, on ordinary machines, more than what the marks of one sheet leave open. Unequal scales
    and shear are fitted to all sheets or to none (`shear_carried`). What readings state of their uncertainty is
    a floor: where the marks agree better than that, the rest may be shared by all of them (`unseen_mm`).

    Args:
        sheets: The readings, at least one sheet.
        model: What to fit to each sheet; None to choose.

    Raises:
        DomainError: No sheet, two sheets of one name, or as `fit_sheet`.

    Source:
        docs/handbook/methods/register.md.
    """
    if not sheets:
        raise DomainError("no test sheet was read; at least one is needed", "sheets")
    names = [sheet.name for sheet in sheets]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise DomainError(f"test sheet {twice[0]} is given twice", "sheets")
    kept = _leave_out(sheets)
    model = model or _choose_model(kept)
    counted = tuple(sheet for sheet in kept if sheet.carries(model))
    if not counted:
        raise DomainError(_explain_too_little(kept[0], model), "sheets")
    fits = tuple(sheet.fit(model) for sheet in counted)
    degrees = sum(sheet.degrees(model) for sheet in counted)
    squares = math.fsum(sheet.squares(model) for sheet in counted)
    sigma = math.sqrt(squares / degrees) if degrees > 0 else None
    systematic = average_maps([fit.map for fit in fits])
    unseen = _find_unseen(fits, sigma)
    parts_u, random = _spread_parts(fits, sigma, unseen)
    return MachineFit(
        model=model,
        systematic=systematic,
        parts=split_map(systematic),
        parts_u=parts_u,
        sheets=fits,
        sigma_mm=sigma,
        shear_carried=model is FitModel.AFFINE,
        random=random,
        left_out=tuple(sheet.name for sheet in kept if not sheet.carries(model)),
        unseen_mm=unseen,
    )


def average_maps(maps: Sequence[Affine]) -> Affine:
    """Return the map that takes each point to the mean of where the maps take it."""

    def mean(pick: Callable[[Affine], float]) -> float:
        return math.fsum(map(pick, maps)) / len(maps)

    return Affine(
        1 + mean(lambda m: m.xx - 1), mean(lambda m: m.xy), mean(lambda m: m.yx), 1 + mean(lambda m: m.yy - 1),
        mean(lambda m: m.x_mm), mean(lambda m: m.y_mm),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A sheet with the marks that are left."""

    name: str
    marks: tuple[MarkReading, ...]
    weights: tuple[float, ...]
    spread: MarkSpread
    left_out: tuple[str, ...]

    def carries(self, model: FitModel) -> bool:
        return carries(self.spread, len(self.marks), model)

    def degrees(self, model: FitModel) -> int:
        return 2 * len(self.marks) - PARAMETERS[model]

    def solve(self, model: FitModel) -> Affine:
        return solve_map(model, self.marks, self.weights, self.spread)

    def squares(self, model: FitModel) -> float:
        return sum_squares(find_residuals(self.solve(model), self.marks), self.weights)

    def fit(self, model: FitModel) -> SheetFit:
        register = self.solve(model)
        residuals = find_residuals(register, self.marks)
        degrees = self.degrees(model)
        squares = sum_squares(residuals, self.weights)
        return SheetFit(
            name=self.name,
            model=model,
            map=register,
            marks=len(self.marks),
            sigma_mm=math.sqrt(squares / degrees) if degrees > 0 else None,
            rms_residual_mm=math.sqrt(math.fsum(x * x + y * y for x, y in residuals) / len(residuals)),
            left_out=self.left_out,
            spread=self.spread,
        )


def _leave_out(sheets: Sequence[SheetReadings]) -> tuple[_Sheet, ...]:
    for sheet in sheets:
        try:
            weigh_marks(sheet.marks)
        except DomainError as error:
            raise DomainError(f"test sheet {sheet.name}: {error.message}", error.argument) from None
    kept = []
    blunders = find_blunders([sheet.marks for sheet in sheets])
    for sheet, gone in zip(sheets, blunders, strict=True):
        marks = tuple(mark for index, mark in enumerate(sheet.marks) if index not in gone)
        weights = weigh_marks(marks)
        names = tuple(sheet.marks[index].name for index in sorted(gone))
        kept.append(_Sheet(sheet.name, marks, weights, spread_marks(marks, weights), names))
    return tuple(kept)


def _choose_model(sheets: Sequence[_Sheet]) -> FitModel:
    """Return a similarity where at least half of the sheets carry it, more only where it is told from nothing.

    Two F tests against what the affine fits leave over, since either kind of shear spoils a prediction: the
    shear and the difference of scales of each sheet, and their mean over all sheets.
    """
    able = [sheet for sheet in sheets if sheet.carries(FitModel.SIMILARITY)]
    if 2 * len(able) < len(sheets):
        return FitModel.SHIFT
    able = [sheet for sheet in sheets if sheet.carries(FitModel.AFFINE)]
    free = sum(sheet.degrees(FitModel.AFFINE) for sheet in able)
    if 2 * len(able) < len(sheets) or free <= 0:
        return FitModel.SIMILARITY
    rest = math.fsum(sheet.squares(FitModel.AFFINE) for sheet in able)
    taken = math.fsum(sheet.squares(FitModel.SIMILARITY) for sheet in able) - rest
    weights, scales, shears = [], [], []
    for sheet in able:
        xx, _, yy = invert_spread(sheet.spread)
        found = sheet.solve(FitModel.AFFINE)
        weights.append(1 / (xx + yy))
        scales.append((found.xx - found.yy) / (xx + yy))
        shears.append((found.xy + found.yx) / (xx + yy))
    shared = (math.fsum(scales) ** 2 + math.fsum(shears) ** 2) / math.fsum(weights)
    # What rounding alone would leave of readings without any error is no shear.
    least = 1e-16 * math.fsum(sheet.spread.xx_mm2 + sheet.spread.yy_mm2 for sheet in able)
    # Nor is what the readings themselves are stated to leave open, however well they agree.
    error = max(rest / free, _state_square([sheet.spread for sheet in able]), least)
    tests = [(taken, 2 * len(able)), (shared, 2)]
    carried = any(
        squares > least and fisher_tail(squares / count / error, count, free) < CARRIED
        for squares, count in tests
    )
    return FitModel.AFFINE if carried else FitModel.SIMILARITY


def _explain_too_little(sheet: _Sheet, model: FitModel) -> str:
    need, have = LEAST_MARKS[model], len(sheet.marks)
    what = f"test sheet {sheet.name}: {model.value}"
    if have < need:
        return f"{what} needs at least {need} marks, and {have} {'is' if have == 1 else 'are'} left"
    if model is FitModel.AFFINE:
        return f"{what} needs marks that do not lie on one line"
    return f"{what} needs marks at different places"


def _state_square(spreads: Sequence[MarkSpread | None]) -> float:
    """Return the mean square of the uncertainties that were stated, mm²; 0 where none was."""
    stated = [spread.u_mm for spread in spreads if spread is not None and spread.u_mm is not None]
    return math.fsum(u * u for u in stated) / len(stated) if stated else 0.0


def _find_unseen(fits: Sequence[SheetFit], sigma: float | None) -> float:
    stated = _state_square([fit.spread for fit in fits])
    return math.sqrt(max(stated - (sigma or 0.0) ** 2, 0.0))


def _spread_parts(
    fits: Sequence[SheetFit], sigma: float | None, unseen: float
) -> tuple[MapParts, MapParts | None]:
    """Return the standard uncertainty of each part of the mean, and its standard deviation between sheets."""
    noise = [_read_parts(fit, sigma) for fit in fits]
    shared = [
        _read_parts(fit, shared_sigma(fit.spread, unseen)) if fit.spread is not None else NO_PARTS
        for fit in fits
    ]
    if len(fits) == 1:
        pairs_of_one = zip(_list_parts(noise[0]), _list_parts(shared[0]), strict=True)
        return MapParts(*(math.hypot(read, same) for read, same in pairs_of_one)), None
    parts = [split_map(fit.map) for fit in fits]

    def both(pick: Callable[[MapParts], float]) -> tuple[float, float]:
        values = [pick(part) for part in parts]
        mean = math.fsum(values) / len(values)
        square = math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1)
        read = math.fsum(pick(part) ** 2 for part in noise) / len(noise)
        same = math.fsum(pick(part) ** 2 for part in shared) / len(shared)
        return math.sqrt(max(square, read) / len(values) + same), math.sqrt(max(square - read, 0.0))

    pairs = [
        both(pick)
        for pick in (
            lambda p: p.shift_x_mm, lambda p: p.shift_y_mm, lambda p: p.rotation_rad,
            lambda p: p.scale_x, lambda p: p.scale_y, lambda p: p.shear_rad,
        )
    ]  # fmt: skip
    return MapParts(*(u for u, _ in pairs)), MapParts(*(sd for _, sd in pairs))


def _list_parts(parts: MapParts) -> tuple[float, ...]:
    return (
        parts.shift_x_mm, parts.shift_y_mm, parts.rotation_rad, parts.scale_x, parts.scale_y, parts.shear_rad
    )  # fmt: skip


def _read_parts(fit: SheetFit, sigma: float | None) -> MapParts:
    """Return the standard uncertainty of the parts of one sheet from the error of reading."""
    spread = fit.spread
    sigma = sigma if sigma is not None else (spread.u_mm if spread is not None else None)
    if spread is None or sigma is None:
        return NO_PARTS
    x, _, _, y = relate_points(spread, fit.model, (0.0, 0.0), (0.0, 0.0))
    shift_x, shift_y = sigma * math.sqrt(x), sigma * math.sqrt(y)
    if fit.model is FitModel.SHIFT:
        return MapParts(shift_x, shift_y, 0.0, 0.0, 0.0, 0.0)
    if fit.model is FitModel.AFFINE:
        xx, _, yy = (sigma * sigma * value for value in invert_spread(spread))
        return MapParts(
            shift_x, shift_y, math.sqrt((xx + yy) / 4), math.sqrt(xx), math.sqrt(yy), math.sqrt(xx + yy)
        )
    turn = sigma / math.sqrt(spread.xx_mm2 + spread.yy_mm2)
    scale = turn if fit.model is FitModel.SIMILARITY else 0.0
    return MapParts(shift_x, shift_y, turn, scale, scale, 0.0)
