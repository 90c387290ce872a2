"""Fits every mark of a register target, the front's discs and the back's rings, on the sheet's plane.

In: an evened picture, a first view, spots already seen. Out: FrontFit, and the rings' places. Never: finding
spots, the thickness of the paper.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from doublure.errors import DomainError
from doublure.trade.imaging.target_fit import ShapeFit, fit_shape
from doublure.trade.imaging.target_view import View, fit_view
from doublure.trade.press.target import DISC_RADIUS_MM, RING_INNER_MM, RING_OUTER_MM, Target

Array = NDArray[np.float64]
Image = NDArray[np.float32]
Place = tuple[float, float]

LEAST_MARKS = 6
_LEAST_AGREEMENT, _LEAST_CONTRAST = 0.25, 0.008
#: A disc lies at most so far from where the first view has it; a ring from where a printer may put it.
_DISC_OFF_MM, _RING_OFF_MM = 3.0, 4.0
#: Discs without a ring this far from their places mean another sheet's target; on a bent sheet they may be further.
_CODE_SLACK_MM, _BENT_CODE_SLACK_MM = 0.3, 1.2
#: From here on, what the discs leave beside the view is looked at for a bent sheet, and taken out if that halves it.
_BENT_MM = 0.03


@dataclass(frozen=True, slots=True)
class FrontFit:
    """The front's discs, and what they say of the view.

    Attributes:
        view: Of a flat sheet.
        discs: Numbers of the marks whose discs were found and agree.
        rms_mm: How far the discs lie from their places, root mean square of a coordinate, with the bend taken out.
        bend: Coefficients of how far a bent sheet shows its points off, right and down, by powers of the place
            over half the sheet; () for a flat sheet.
        half_mm: Half of the sheet, width and height.
    """

    view: View
    discs: frozenset[int]
    rms_mm: float
    bend: tuple[tuple[float, float], ...]
    half_mm: Place

    def straighten(self, x_mm: float, y_mm: float) -> Place:
        """Return the place on the sheet of a point that the view shows at (x, y), mm."""
        if not self.bend:
            return x_mm, y_mm
        off = _powers(np.array([(x_mm, y_mm)]), self.half_mm, len(self.bend)) @ np.array(self.bend)
        return x_mm - float(off[0, 0]), y_mm - float(off[0, 1])


def fit_fronts(even: Image, view: View, target: Target, seen: Mapping[int, Place]) -> FrontFit:
    """Fit the front's discs, then the view, then the bend of the sheet where the discs show one.

    Args:
        even: The picture, its light evened out.
        view: A first view.
        target: The target.
        seen: About where a disc is, mm, as the first view has it, by the number of its mark.

    Raises:
        DomainError: Too few discs can be made out.
    """
    height, width = even.shape
    fits: dict[int, ShapeFit] = {}
    for i, mark in enumerate(target.marks):
        start = seen.get(i, (mark.front_x_mm, mark.front_y_mm))
        fit = fit_shape(even, view, *start, DISC_RADIUS_MM)
        if fit is not None and is_good(fit) and off_mm(fit, mark.front_x_mm, mark.front_y_mm) < _DISC_OFF_MM:
            fits[i] = fit
    fits = _of_one_kind(fits)
    if len(fits) < LEAST_MARKS:
        raise DomainError(f"only {len(fits)} marks of the front can be made out", "image")
    names = sorted(fits)
    points_mm = np.array([(target.marks[i].front_x_mm, target.marks[i].front_y_mm) for i in names])
    points_px = view.to_px(np.array([(fits[i].x_mm, fits[i].y_mm) for i in names]))
    kept = np.ones(len(names), bool)
    for _ in range(4):
        view = fit_view(points_mm[kept], points_px[kept], width, height)
        off = np.linalg.norm(view.to_mm(points_px) - points_mm, axis=1)
        again = off < max(0.08, 4 * float(np.median(off[kept])))
        if again.sum() < LEAST_MARKS or (again == kept).all():
            break
        kept = again
    half = (target.sheet_width_mm / 2, target.sheet_height_mm / 2)
    offs = (view.to_mm(points_px) - points_mm)[kept]
    # Eight numbers of the homography, and the lens's where it is carried, are taken from the same marks.
    rms = _root_mean(offs, 9 if view.lens else 8)
    bend, bent_rms = _fit_bend(points_mm[kept], offs, half, rms)
    discs = frozenset(i for i, k in zip(names, kept, strict=True) if k)
    return FrontFit(view, discs, bent_rms if bend else rms, bend, half)


def _fit_bend(points_mm: Array, offs: Array, half_mm: Place, rms: float) -> tuple[tuple[Place, ...], float]:
    """Return the bend of a sheet and what it leaves, root mean square; () where it does not explain much."""
    terms = 10 if len(points_mm) >= 20 else 6
    if rms < _BENT_MM or len(points_mm) < terms + 6:
        return (), rms
    powers = _powers(points_mm, half_mm, terms)
    found, *_ = np.linalg.lstsq(powers, offs, rcond=None)
    left = _root_mean(offs - powers @ found, 2 * terms)
    return (tuple((float(x), float(y)) for x, y in found), left) if left < rms / 2 else ((), rms)


def _powers(points_mm: Array, half_mm: Place, terms: int) -> Array:
    x, y = points_mm[:, 0] / half_mm[0], points_mm[:, 1] / half_mm[1]
    rows = [np.ones_like(x), x, y, x * x, x * y, y * y, x**3, x * x * y, x * y * y, y**3]
    return np.stack(rows[:terms], axis=1)


def _root_mean(offs: Array, taken: int) -> float:
    return math.sqrt(float((offs**2).sum()) / max(1, offs.size - taken))


def check_code(even: Image, front: FrontFit, target: Target) -> None:
    """Hold the discs without a ring against their places, which tell the sheet that the target is for.

    Raises:
        DomainError: They are not there.
    """
    offs = []
    for x, y in target.code:
        fit = fit_shape(even, front.view, x, y, DISC_RADIUS_MM)
        if fit is not None and is_good(fit):
            offs.append(math.dist(front.straighten(fit.x_mm, fit.y_mm), (x, y)))
    if len(offs) < 2 or max(offs) > (_BENT_CODE_SLACK_MM if front.bend else _CODE_SLACK_MM):
        size = f"{target.sheet_width_mm:g} x {target.sheet_height_mm:g} mm"
        raise DomainError(
            f"the three discs at the corner of head and left are not where those of a target for {size} are: "
            "it was made for another sheet, or that corner is not in the picture",
            "image",
        )


def fit_backs(even: Image, front: FrontFit, target: Target, seen: Mapping[int, Place]) -> dict[int, ShapeFit]:
    """Fit the back's rings, looked for where those already seen say; places as the flat view has them.

    Raises:
        DomainError: Too few rings were seen.
    """
    offs = {i: np.array(place) - (target.marks[i].x_mm, target.marks[i].y_mm) for i, place in seen.items()}
    if len(offs) < 3:
        raise DomainError("the marks of the back can hardly be seen through the sheet", "image")
    usual = np.median(np.array(list(offs.values())), axis=0)
    fits: dict[int, ShapeFit] = {}
    for i, mark in enumerate(target.marks):
        start = offs.get(i, usual)
        if np.linalg.norm(start - usual) > 1.5:
            start = usual
        fit = fit_shape(
            even, front.view, mark.x_mm + start[0], mark.y_mm + start[1], RING_OUTER_MM, RING_INNER_MM
        )
        if fit is not None and is_good(fit) and off_mm(fit, mark.x_mm, mark.y_mm) < _RING_OFF_MM:
            fits[i] = fit
    return _without_strays(_of_one_kind(fits), front, target)


def _of_one_kind(fits: dict[int, ShapeFit]) -> dict[int, ShapeFit]:
    """Leave out what is far fainter or less like a mark than most: a stain, or nothing."""
    if not fits:
        return fits
    contrast = float(np.median([fit.contrast for fit in fits.values()]))
    agreement = float(np.median([fit.agreement for fit in fits.values()]))
    return {
        i: fit for i, fit in fits.items() if fit.contrast > 0.4 * contrast and fit.agreement > 0.6 * agreement
    }


def _without_strays(fits: dict[int, ShapeFit], front: FrontFit, target: Target) -> dict[int, ShapeFit]:
    """Leave out what lies far from an affine map through most of the rings."""
    names = sorted(fits)
    if len(names) < LEAST_MARKS:
        return fits
    points, offs = _offsets(fits, front, target)
    kept = np.ones(len(names), bool)
    for _ in range(5):
        solution, *_ = np.linalg.lstsq(points[kept], offs[kept], rcond=None)
        away = np.linalg.norm(offs - points @ solution, axis=1)
        again = away < max(0.25, 6 * float(np.median(away[kept])))
        if again.sum() < LEAST_MARKS or (again == kept).all():
            break
        kept = again
    return {i: fits[i] for i, k in zip(names, kept, strict=True) if k}


def scatter_mm(fits: dict[int, ShapeFit], front: FrontFit, target: Target) -> float:
    """Return the root mean square of what an affine map leaves of the rings' places, a coordinate, mm."""
    if len(fits) < LEAST_MARKS:
        return 0.0
    points, offs = _offsets(fits, front, target)
    solution, *_ = np.linalg.lstsq(points, offs, rcond=None)
    return _root_mean(offs - points @ solution, solution.size)


def _offsets(fits: dict[int, ShapeFit], front: FrontFit, target: Target) -> tuple[Array, Array]:
    """Return rows (1, x, y) of the rings' due places, and how far each ring is off."""
    names = sorted(fits)
    points = np.array([(1.0, target.marks[i].x_mm, target.marks[i].y_mm) for i in names])
    found = np.array([front.straighten(fits[i].x_mm, fits[i].y_mm) for i in names])
    return points, found - points[:, 1:]


def is_good(fit: ShapeFit) -> bool:
    """True where a shape was found, and not noise."""
    return fit.agreement > _LEAST_AGREEMENT and fit.contrast > _LEAST_CONTRAST


def off_mm(fit: ShapeFit, x_mm: float, y_mm: float) -> float:
    """Return how far a shape lies from a point, mm."""
    return math.hypot(fit.x_mm - x_mm, fit.y_mm - y_mm)
