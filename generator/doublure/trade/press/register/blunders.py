"""Marks that were read wrongly, such as on the wrong dot, found by how badly they fit with all others.

In: marks of one or several sheets. Out: which marks to leave out. Never: the fit that is used in the end.
Few marks may go, each must stand out against every sheet of the machine, and each is named by the caller.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from doublure.trade.press.register.distributions import fisher_tail
from doublure.trade.press.register.least_squares import find_residuals, solve_map, sum_squares
from doublure.trade.press.register.records import FitModel, MarkReading
from doublure.trade.press.register.spread import PARAMETERS, carries, relate_points, spread_marks, weigh_marks

FALSE_ALARM = 0.001
"""How likely it is that any mark at all is left out where every one was read rightly."""

LEAST_BLUNDER_MM = 0.2
"""A mark that lies nearer than this to where the others put it is no blunder but the paper."""

MOST_BLUNDERS = 4
"""Of one sheet; never more than a quarter of its marks."""

LEAST_OWN_DEGREES = 6
"""From here a mark must also stand out against its own sheet, which may have been read less well than others."""


@dataclass(frozen=True, slots=True)
class _SheetState:
    """A sheet with the marks that are left: its sums, and what each mark would take off them."""

    kept: tuple[int, ...]
    squares: float
    degrees: int
    stated: float  # what its squares come to for each degree of freedom, by what was stated, mm²
    suspects: tuple[tuple[float, float, int], ...]  # (squares taken off, distance in mm, index)


def find_blunders(sheets: Sequence[Sequence[MarkReading]]) -> tuple[frozenset[int], ...]:
    """Return the indices of the marks to leave out, sheet by sheet.

    The mark that takes most off the sum of squares is set aside, then the next, until no other may go. Then
    all up to the last that was significant are left out: so two blunders that hide each other are both found.
    Significance: F = (taken off/2) / (rest/degrees) at FALSE_ALARM over the number of all marks, against the
    rest of all sheets together and, where it has enough marks, against the rest of its own sheet. The rest is
    not less than what the readings are stated to leave open: the next line of a coarse scale is no blunder.

    Source:
        Sequential outlier test: B. Rosner, Technometrics 25 (1983) 165-172, from memory; what deleting an
        observation takes off: any text on linear models.
    """
    states = [_examine(marks, tuple(range(len(marks)))) for marks in sheets]
    count = sum(map(len, sheets))
    gone: list[tuple[int, int]] = []
    significant = 0
    while True:
        squares = sum(state.squares for state in states)
        degrees = sum(state.degrees for state in states)
        found = max(
            ((*state.suspects[0], sheet) for sheet, state in enumerate(states) if state.suspects),
            default=None,
        )
        if found is None or degrees <= 2:
            break
        taken, _, index, sheet = found
        state = states[sheet]
        stated = sum(state.stated * state.degrees for state in states) / degrees
        tests = [(max(squares - taken, stated * (degrees - 2)), degrees - 2)]
        if (own := state.degrees - 2) >= LEAST_OWN_DEGREES:
            tests.append((max(state.squares - taken, state.stated * own), own))
        chance = max(
            fisher_tail(taken / 2 / (rest / free), 2, free) if rest > 1e-12 * taken else 0.0
            for rest, free in tests
        )
        gone.append((sheet, index))
        if chance * (count - len(gone) + 1) < FALSE_ALARM:
            significant = len(gone)
        states[sheet] = _examine(sheets[sheet], tuple(i for i in state.kept if i != index))
    return tuple(
        frozenset(index for at, index in gone[:significant] if at == sheet) for sheet in range(len(sheets))
    )


def _examine(marks: Sequence[MarkReading], kept: tuple[int, ...]) -> _SheetState:
    left = [marks[index] for index in kept]
    weights = weigh_marks(left)
    spread = spread_marks(left, weights)
    wanted = {FitModel.AFFINE: 6, FitModel.SIMILARITY: 3}
    model = next((m for m, n in wanted.items() if len(left) >= n and carries(spread, len(left), m)), None)
    if model is None:
        return _SheetState(kept, 0.0, 0, 0.0, ())
    residuals = find_residuals(solve_map(model, left, weights, spread), left)
    squares = sum_squares(residuals, weights)
    degrees = 2 * len(left) - PARAMETERS[model]
    stated = (spread.u_mm or 0.0) ** 2
    room = min(MOST_BLUNDERS, len(marks) // 4) - (len(marks) - len(kept))
    if room <= 0:
        return _SheetState(kept, squares, degrees, stated, ())
    suspects = []
    for index, mark, weight, (x, y) in zip(kept, left, weights, residuals, strict=True):
        place = (mark.x_mm, mark.y_mm)
        # For these two models the leverage is the same in both directions.
        free = 1 - weight * relate_points(spread, model, place, place)[0]
        distance = (x * x + y * y) ** 0.5 / free if free > 1e-9 else 0.0
        rest = [other for other in left if other is not mark]
        if distance >= LEAST_BLUNDER_MM and carries(spread_marks(rest, weigh_marks(rest)), len(rest), model):
            suspects.append((weight * (x * x + y * y) / free, distance, index))
    return _SheetState(kept, squares, degrees, stated, tuple(sorted(suspects, reverse=True)))
