"""How the two halves of a crossover meet at the gutter: by cause, in length, and how often not well enough.

In: CrossoverSpec. Out: CrossoverMisfit. Never: artwork, drawing, pages of the notes.

**What is compared.** A point of the picture on the gutter is printed twice, at the edge of each half. Each lands
on its leaf away from where it should, held against the leaf's fold (across the gutter) and against the head to
which the sheets are knocked up (along it). Let u be how far it lands to the right on the open page, and v how far
down. Then gap = u_right - u_left (positive: paper shows, negative: picture is lost), step = v_right - v_left.

**From the sheet to the page.** Register coordinates are seen from the front. With (c, s) the direction from head
to tail of the page on the sheet, right on the page is (s, -c) on the front and, seen through, (-s, c) on the back.
An upright page on the front has its right at +x, on the back at -x. So the same error of all sheets

- across the gutter adds on a front and a back (a print that sits e too far right, or a fold too far left, opens
  or closes by 2e), and cancels on two fronts or two backs;
- along the gutter cancels on both, where both pages are upright or both turned;
- of turn opens the gutter like a wedge on a front and a back (2·turn·y across it), and cancels on two fronts.

The back lies where the front does plus the error of back against front at its place, which counts once. To bring
backs onto fronts by the correction therefore leaves twice the seat of the fronts across the gutter. That is what
the correction of the fronts takes away, which moves both sides alike. What differs from sheet to sheet never cancels
between two sheets: variances add. On one sheet the same error counts for both halves, and the differences are taken
first.

**Handwork.** The fold (or the edge of a leaf tipped in) across the gutter, once for each sheet. Knock-up along it,
once for each sheet. Two gatherings, or a leaf tipped in, lie against each other with an error of their own.
Trimming takes the same off both halves and does not come in.

**Creep.** Held against its own fold, artwork that is moved towards the fold loses a strip as wide as it is moved,
on the middle spread as well. Of two nested sheets the inner one's fold stands further out by the difference of the
push-outs, and the outer one's artwork is hidden to that depth. So
gap = - shift_left - shift_right - |push-out_left - push-out_right|.

**One side of one sheet** is printed in one pass: whatever the printer does, the halves are one picture. A fold
beside its place moves the join off the gutter and opens nothing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from doublure.errors import DomainError
from doublure.trade.book.crossovers import CrossoverKind
from doublure.trade.book.gatherings import Side
from doublure.trade.press.affine import IDENTITY, Affine
from doublure.trade.press.register import assumed
from doublure.trade.press.register.distributions import count_degrees
from doublure.trade.press.register.plane import PlaneError, expect_length, length_below, share_within
from doublure.trade.press.register.records import CrossoverMisfit, MachineFit, MisfitPart, SheetReadings
from doublure.trade.press.register.sheet_errors import (
    BACK,
    FIGURES,
    FOLD_X,
    FOLD_Y,
    SEAT_TURN,
    SEAT_X,
    SEAT_Y,
    ReadBlock,
    SheetErrors,
    gather_errors,
)

if TYPE_CHECKING:
    from doublure.trade.press.register.sheet_errors import Array

ALONG = (0.0, 0.5, 1.0)
"""Where along the gutter the misfit is worked out: head, middle, tail."""

HELD = 0.95


@dataclass(frozen=True, slots=True)
class CrossoverHalf:
    """One half of a crossover, where it is printed.

    Attributes:
        page: Its page.
        side: Side of the printed sheet.
        head_mm, tail_mm: Where the gutter's edge of the page begins and ends, at its fold (or, of a leaf that
            is tipped in, at its edge), register coordinates; see `locate_gutter`.
        push_out_mm: Of its leaf beyond the outermost of its gathering.
        push_out_u_mm: Standard uncertainty of that.
        shift_mm: How far the artwork is moved towards the fold for the creep.
        is_tipped: True on a single leaf that is tipped in, cut at its own marks.
    """

    page: int
    side: Side
    head_mm: tuple[float, float]
    tail_mm: tuple[float, float]
    push_out_mm: float = 0.0
    push_out_u_mm: float = 0.0
    shift_mm: float = 0.0
    is_tipped: bool = False


@dataclass(frozen=True, slots=True)
class Handwork:
    """Standard deviations of what is done by hand, mm; those of assumed.py unless the maker measured their own."""

    fold_mm: float = assumed.FOLD_MM.value
    cut_mm: float = assumed.CUT_MM.value
    knock_up_mm: float = assumed.KNOCK_UP_MM.value
    gathering_mm: float = assumed.GATHERING_MM.value
    tipping_mm: float = assumed.TIPPING_MM.value


@dataclass(frozen=True, slots=True)
class CrossoverSpec:
    """A crossover, and what is known of the printer.

    Attributes:
        kind: How its halves lie; ONE_SHEET is one side of one leaf pair.
        left, right: The halves, as the book is open.
        fit: Of the printer; None while nobody has read it.
        sheets: The readings of the test sheets: where their fronts sit. Paired with the fit by their names.
        corrected: True where the backs are printed with the correction.
        same_sheet: True where two leaf pairs of one printed sheet carry the halves (folded twice or more).
        head_is_folded: True where the head of the leaves is a fold of the sheet (quarto, octavo).
        tolerance_mm: How far the halves may miss each other.
        handwork: Folding, knocking up and so on.
        front: What fronts and backs are both moved by before they are printed (`correct.seat_correction_of`).
    """

    kind: CrossoverKind
    left: CrossoverHalf
    right: CrossoverHalf
    fit: MachineFit | None = None
    sheets: tuple[SheetReadings, ...] = ()
    corrected: bool = False
    same_sheet: bool = False
    head_is_folded: bool = False
    tolerance_mm: float = assumed.TOLERANCE_MM.value
    handwork: Handwork = Handwork()
    front: Affine = IDENTITY


def locate_gutter(
    side: Side,
    fold_x_mm: float,
    top_mm: float,
    bottom_mm: float,
    turned: bool,
    sheet_width_mm: float,
    sheet_height_mm: float,
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return head and tail of a page's gutter in register coordinates, from where it is on its side.

    Args:
        side: Side of the sheet.
        fold_x_mm: Where the fold is, mm from the left edge of the sheet, as one looks at that side.
        top_mm, bottom_mm: Where the page begins and ends, mm from the upper edge of the sheet.
        turned: True where the page's head is down.
        sheet_width_mm, sheet_height_mm: The sheet.

    Examples:
        >>> locate_gutter(Side.BACK, 150.0, 10.0, 158.0, False, 297.0, 210.0)
        ((-1.5, -95.0), (-1.5, 53.0))
    """
    from_middle = fold_x_mm - sheet_width_mm / 2
    x = -from_middle if side is Side.BACK else from_middle
    top, bottom = top_mm - sheet_height_mm / 2, bottom_mm - sheet_height_mm / 2
    return ((x, bottom), (x, top)) if turned else ((x, top), (x, bottom))


def predict_crossover(spec: CrossoverSpec) -> CrossoverMisfit:
    """Return how the halves of a crossover meet; the module says how it is reckoned.

    Worked out at the head, the middle and the tail of the gutter; the worst counts, by the share that fails and
    then by the length that 95 % stay below. The misfit is a normal error in the plane; where its variances are
    estimated from few sheets it is Student's t, with the degrees of freedom of Welch and Satterthwaite for the
    sum of both variances. The share that fails counts in what few sheets leave open, so that it is said too high
    rather than too low (simulated: 23 % said of 16 % from 5 sheets, 17 % of 16 % from 20). The error of reading
    is left in the variances, to be careful.

    Raises:
        DomainError: A number is not finite or a tolerance not positive, a gutter has no length, or the halves
            of one sheet are not on one side of it.

    Source:
        Derived here, no published source; docs/handbook/methods/register.md. The tests fold sheets one by one
        in a simulation and compare. Effective degrees of freedom: JCGM 100:2008, G.4, clause from memory.
    """
    _check(spec)
    errors = gather_errors(spec.fit, spec.sheets, spec.handwork.fold_mm)
    found = [_meet_at(spec, errors, along) for along in ALONG]
    return max(found, key=lambda misfit: (round(misfit.failing_share, 12), round(misfit.p95_mm, 9)))


def _check(spec: CrossoverSpec) -> None:
    numbers = [spec.tolerance_mm]
    for half in (spec.left, spec.right):
        numbers += [*half.head_mm, *half.tail_mm, half.push_out_mm, half.push_out_u_mm, half.shift_mm]
        if half.head_mm == half.tail_mm:
            raise DomainError(f"page {half.page}: its gutter has no length", "spec")
    if not all(map(math.isfinite, numbers)):
        raise DomainError(
            f"pages {spec.left.page} and {spec.right.page}: places and creep must be finite numbers", "spec"
        )
    if spec.tolerance_mm <= 0:
        raise DomainError("the tolerance of a crossover must be greater than 0", "tolerance_mm")
    if spec.kind is CrossoverKind.ONE_SHEET and spec.left.side is not spec.right.side:
        raise DomainError("the two halves of one sheet must lie on one side of it", "spec")


@dataclass(slots=True)
class _Sum:
    """Parts as they are added up: the whole mean, and squares with the degrees of freedom behind them."""

    mean: Array
    squares: list[tuple[Array, float]]
    parts: list[MisfitPart]

    def add(self, name: str, mean: Array, square: Array, is_assumed: bool) -> None:
        """Add a part that is independent of all others and rests on stated figures."""
        self.mean = self.mean + mean
        self.squares.append((square, math.inf))
        self.name(name, mean, square, is_assumed)

    def name(self, name: str, mean: Array, square: Array, is_assumed: bool) -> None:
        """List a part without adding it."""
        sd_x, sd_y = (math.sqrt(max(float(square[i, i]), 0.0)) for i in (0, 1))
        self.parts.append(MisfitPart(name, float(mean[0]), float(mean[1]), sd_x, sd_y, is_assumed))


def _meet_at(spec: CrossoverSpec, errors: SheetErrors, along: float) -> CrossoverMisfit:
    import numpy as np

    total = _Sum(np.zeros(2), [], [])
    if spec.kind is CrossoverKind.ONE_SHEET:
        total.name("fold", np.zeros(2), np.zeros((2, 2)), not errors.is_fold_read)
    else:
        _add_sheets(total, spec, errors, along)
        _add_handwork(total, spec)
    _add_creep(total, spec)
    square = np.zeros((2, 2))
    for one, _ in total.squares:
        square = square + one
    xx, xy, yy = float(square[0, 0]), float(square[0, 1]), float(square[1, 1])
    slack = math.fsum(float(np.trace(one)) ** 2 / degrees for one, degrees in total.squares)
    degrees = (xx + yy) ** 2 / slack if slack > 0 else math.inf
    mean_x, mean_y = float(total.mean[0]), float(total.mean[1])
    error = PlaneError(mean_x, mean_y, xx, xy, yy, degrees)
    read = errors.is_seat_read and (errors.is_back_read or not _has_back(spec))
    return CrossoverMisfit(
        left_page=spec.left.page,
        right_page=spec.right.page,
        parts=tuple(total.parts),
        mean_dx_mm=mean_x,
        mean_dy_mm=mean_y,
        sd_dx_mm=math.sqrt(xx),
        sd_dy_mm=math.sqrt(yy),
        expected_mm=expect_length(error),
        p95_mm=length_below(error, HELD),
        failing_share=1 - share_within(error, spec.tolerance_mm),
        tolerance_mm=spec.tolerance_mm,
        is_tried=spec.fit is not None if spec.kind is CrossoverKind.ONE_SHEET else read,
        worst_y_mm=along * math.dist(spec.right.head_mm, spec.right.tail_mm),
        correlation=xy / math.sqrt(xx * yy) if xx > 0 and yy > 0 else 0.0,
        degrees=0 if math.isinf(degrees) else max(1, math.floor(degrees + 1e-9)),
    )


def _has_back(spec: CrossoverSpec) -> bool:
    return Side.BACK in (spec.left.side, spec.right.side)


def _turn_to_page(half: CrossoverHalf, errors: SheetErrors, along: float, headed: bool) -> Array:
    """Return u and v of a half, by the figures of its sheet: 2 by 11."""
    import numpy as np

    (head_x, head_y), (tail_x, tail_y) = half.head_mm, half.tail_mm
    length = math.dist(half.head_mm, half.tail_mm)
    down = ((tail_x - head_x) / length, (tail_y - head_y) / length)
    right = (down[1], -down[0]) if half.side is Side.FRONT else (-down[1], down[0])
    x, y = head_x + along * (tail_x - head_x), head_y + along * (tail_y - head_y)
    placed = np.zeros((2, FIGURES))
    if not half.is_tipped:
        # Where the fold was read at its middle, the turn counts from there; else from the middle of the sheet.
        from_y = y - (head_y + tail_y) / 2 if errors.reads_fold else y
        placed[0, SEAT_X], placed[0, SEAT_TURN] = (0.0 if errors.reads_fold else 1.0), -from_y
        placed[1, SEAT_Y], placed[1, SEAT_TURN] = 1.0, x
        placed[0, FOLD_X] = -1.0
        placed[1, FOLD_Y] = -1.0 if headed else 0.0
    if half.side is Side.BACK:
        placed[0, BACK] = (1.0, x, y, 0.0, 0.0, 0.0)
        placed[1, BACK] = (0.0, 0.0, 0.0, 1.0, x, y)
    return np.array([right, down]) @ placed


def _add_sheets(total: _Sum, spec: CrossoverSpec, errors: SheetErrors, along: float) -> None:
    """Add what the printer and the folding of the sheets do, and list it by cause."""
    import numpy as np

    right = _turn_to_page(spec.right, errors, along, spec.head_is_folded)
    left = -_turn_to_page(spec.left, errors, along, spec.head_is_folded)
    mean = errors.mean.copy()
    if spec.corrected:
        mean[BACK] = 0.0
    if not spec.front.is_identity:
        _move_seat(mean, errors.reads_fold, spec.front)
    total.mean = total.mean + (left + right) @ mean

    def spread(left: Array, right: Array) -> list[tuple[Array, float]]:
        both = left + right
        rows = [both] if spec.same_sheet else [left, right]
        squares = []
        for block in errors.blocks:
            square = both @ block.of_mean @ both.T
            for row in rows:
                square = square + row @ block.new @ row.T
            if np.any(square):
                squares.append((square, _degrees_of(block, rows, both)))
        return squares

    total.squares += spread(left, right)
    seats, folds = (SEAT_X, SEAT_Y, SEAT_TURN), (FOLD_X, FOLD_Y)
    listed = (
        ("seat of the left half", seats, (1.0, 0.0), not (errors.is_seat_read and errors.is_turn_read)),
        ("seat of the right half", seats, (0.0, 1.0), not (errors.is_seat_read and errors.is_turn_read)),
        ("back against front", range(BACK.start, BACK.stop), (1.0, 1.0), not errors.is_back_read),
        ("fold", folds, (1.0, 1.0), not errors.is_fold_read or spec.left.is_tipped or spec.right.is_tipped),
    )
    for name, figures, (of_left, of_right), is_assumed in listed:
        if name == "back against front" and not _has_back(spec):
            continue
        pick = np.zeros(FIGURES)
        pick[list(figures)] = 1.0
        part_left, part_right = of_left * left * pick, of_right * right * pick
        square = sum((one for one, _ in spread(part_left, part_right)), np.zeros((2, 2)))
        if name == "fold":
            square = square + _cut_square(spec) * np.eye(2)
        total.name(name, (part_left + part_right) @ mean, square, is_assumed)


def _move_seat(mean: Array, reads_fold: bool, front: Affine) -> None:
    """Replace the mean seat of the print by what it is when both sides are printed with a correction."""
    turn = float(mean[SEAT_TURN])
    across = -float(mean[FOLD_X]) if reads_fold else float(mean[SEAT_X])
    cos, sin = math.cos(turn), math.sin(turn)
    moved = Affine(cos, -sin, sin, cos, across, float(mean[SEAT_Y])).after(front)
    mean[FOLD_X if reads_fold else SEAT_X] = -moved.x_mm if reads_fold else moved.x_mm
    mean[SEAT_Y], mean[SEAT_TURN] = moved.y_mm, math.atan2(moved.yx, moved.xx)


def _degrees_of(block: ReadBlock, rows: Sequence[Array], both: Array) -> float:
    """Return the degrees of freedom of what a block adds to the variances of gap and step together."""
    import numpy as np

    if math.isinf(block.degrees):
        return math.inf
    picked = sum((row.T @ row for row in rows), both.T @ both / (block.degrees + 1)) @ block.new
    return count_degrees(
        float(np.trace(picked)) ** 2, float(np.trace(picked @ picked)), int(block.degrees), 2 * len(rows)
    )


def _cut_square(spec: CrossoverSpec) -> float:
    return (spec.left.is_tipped + spec.right.is_tipped) * spec.handwork.cut_mm**2


def _add_handwork(total: _Sum, spec: CrossoverSpec) -> None:
    """Add how leaves that are tipped in are cut and pasted, how gatherings lie, how sheets are knocked up."""
    import numpy as np

    none, hand = np.zeros(2), spec.handwork
    tipped = spec.left.is_tipped + spec.right.is_tipped
    if tipped:
        total.squares.append((_cut_square(spec) * np.eye(2), math.inf))
    apart = tipped * hand.tipping_mm**2
    if spec.kind is CrossoverKind.TWO_GATHERINGS:
        apart += hand.gathering_mm**2
    if apart:
        total.add("gathering", none, apart * np.eye(2), True)
    levelled = 0 if spec.same_sheet else 2 - tipped
    if levelled:
        total.add("knock-up", none, levelled * hand.knock_up_mm**2 * np.diag([0.0, 1.0]), True)


def _add_creep(total: _Sum, spec: CrossoverSpec) -> None:
    """Add what the shift of the artwork takes away, and what the outer of two nested sheets hides.

    Push-outs of one gathering rest on one measured step, so that their uncertainties are of one piece (JCGM
    100:2008, 5.2.2 note 1, from memory). Gatherings do not nest in each other, nor do leaves tipped in.
    """
    import numpy as np

    left, right = spec.left, spec.right
    nested = spec.kind is CrossoverKind.TWO_SHEETS
    hidden = abs(left.push_out_mm - right.push_out_mm) if nested else 0.0
    u = abs(left.push_out_u_mm - right.push_out_u_mm) if nested else 0.0
    mean = np.array([0.0 - left.shift_mm - right.shift_mm - hidden, 0.0])
    total.add("creep", mean, np.diag([u * u, 0.0]), False)
