"""The corrections: what brings the backs onto the fronts, and what brings the print of both onto the fold.

In: MachineFit, SeatMeans. Out: Affine. Never: applying it to a page (render/pdf), the random part, which nothing
undoes.
"""

from __future__ import annotations

import itertools
import math

from doublure.errors import DomainError
from doublure.trade.press.affine import Affine
from doublure.trade.press.register.records import MachineFit
from doublure.trade.press.register.seats import SeatMeans

MOST_SHARE = 0.1
"""A printer that stretches or turns by more than this was read wrongly; no correction is made from it."""

_ROUNDING_MM = 1e-6


def correction_of(fit: MachineFit) -> Affine:
    """Return the map to apply to the backs before they are printed, register coordinates.

    The exact inverse of the systematic map, not its negative: print it corrected, and the machine puts the
    back where it should lie; invert it, and the machine's own map is there again.

    Raises:
        DomainError: The map is no register map but a slip: it stretches or turns by more than a tenth.

    Source:
        docs/handbook/methods/register.md.
    """
    found = fit.systematic
    if max(abs(found.xx - 1), abs(found.xy), abs(found.yx), abs(found.yy - 1)) > MOST_SHARE:
        raise DomainError(
            "the readings say that the backs are stretched or turned by more than a tenth:"
            " check which mark is which, and which way right and down are counted",
            "fit",
        )
    return found.inverse()


def seat_correction_of(seats: SeatMeans, along: bool = True) -> Affine:
    """Return the map to apply to the fronts before they are printed, register coordinates; see `join_back`.

    The print lies across right of the fold, along below its place, and is turned: x -> R x + (across, along), held
    against the fold where that was read, else against the middle of the sheet, where a fold made edge to edge
    falls. The correction is the exact inverse of that, with nothing for a mean that is not told from nothing. Where
    the fold goes by the print, neither a shift across nor a turn would change how halves meet, and none is made.

    Args:
        seats: Where the print lies in the mean.
        along: False to leave out the shift along the fold, which only the margins need.

    Examples:
        >>> from doublure.trade.press.register.seats import SeatMean
        >>> told = SeatMean(0.3, 0.05, 0.1, 5, True)
        >>> seat_correction_of(SeatMeans(told, SeatMean(), SeatMean(), True)).apply(0.0, 100.0)
        (-0.3, 100.0)

    Source:
        docs/handbook/methods/register.md.
    """
    across, turn = seats.across.mean, seats.turn.mean
    if seats.follows_print or not seats.across.is_told:
        across = 0.0
    if seats.follows_print or not seats.turn.is_told:
        turn = 0.0
    down = seats.along.mean if along and seats.along.is_told else 0.0
    # By hand and not by inverse(): so that what is nought stays nought without a sign.
    cos, sin = math.cos(turn), math.sin(turn)
    return Affine(
        cos, sin + 0.0, 0.0 - sin, cos, 0.0 - cos * across - sin * down, sin * across - cos * down + 0.0
    )


def join_back(correction: Affine, front: Affine) -> Affine:
    """Return the map to apply to the backs where the fronts are moved too, register coordinates.

    With F what a pass does to the print of a front, and M where a back lies against it, a back comes to lie at
    F(M(x)). Printed through M⁻¹ after the front's correction C it lies at F(M(M⁻¹(C(x)))) = F(C(x)): on its front.

    Args:
        correction: Of the backs on the fronts, M⁻¹.
        front: Of the fronts, C.
    """
    return correction if front.is_identity else correction.after(front)


def keeps_inside(
    move: Affine, half_width_mm: float, half_height_mm: float, sheet_mm: tuple[float, float]
) -> bool:
    """Return whether a box about the middle of the sheet is still on the sheet when it has been moved.

    Args:
        move: Register coordinates.
        half_width_mm, half_height_mm: How far the box reaches from the middle, either way.
        sheet_mm: Width and height of the sheet.
    """
    corners = itertools.product((-half_width_mm, half_width_mm), (-half_height_mm, half_height_mm))
    return all(
        abs(place) <= side / 2 + _ROUNDING_MM
        for corner in corners
        for place, side in zip(move.apply(*corner), sheet_mm, strict=True)
    )
