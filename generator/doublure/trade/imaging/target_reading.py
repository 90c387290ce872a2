"""Reads a register target from a photograph against the light, or a scan of one.

In: a grey picture as an array, the target. Out: TargetReading. Never: files, colour, fitting a machine's error
(trade/press/register/).
Front marks are printed by the same imperfect machine as those of the back; their places are taken as true. What
is read is therefore the back against the front.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import cv2
import numpy as np
from numpy.typing import NDArray

from doublure.errors import DomainError
from doublure.trade.imaging.target_edges import read_seat
from doublure.trade.imaging.target_fit import ShapeFit, fit_shape
from doublure.trade.imaging.target_match import Match, match_target, pair_spots
from doublure.trade.imaging.target_spots import Spot, even_out, find_spots
from doublure.trade.imaging.target_view import CameraPlace, View, find_camera, fit_view
from doublure.trade.press.register.records import MarkReading, SeatReading
from doublure.trade.press.target import DISC_RADIUS_MM, RING_INNER_MM, RING_OUTER_MM, Target

Array = NDArray[np.float64]

#: Spots are looked for in a picture of at most so many pixels along its longer side.
_SPOTS_PX = 2400
#: Marks are fitted at no more than this: finer detail is lost in the paper anyway.
_FINEST_PX_PER_MM = 8.0
#: Coarser pictures are refused.
LEAST_PX_PER_MM = 2.5
_LEAST_AGREEMENT = 0.25
#: Discs without a ring this far from their places mean another sheet's target.
_CODE_SLACK_MM = 0.3
_LEAST_MARKS = 6
#: A back mark may lie so far off; further, and it would touch its neighbour.
_MOST_OFF_MM = 4.0


class ReadingWarning(Enum):
    """What a reader of a reading should know."""

    FROM_BEHIND = "from behind"
    """The picture was taken from the back's side, or is mirrored; the readings were put right."""
    FEW_MARKS = "few marks"
    """Less than nine tenths of the marks could be read."""
    COARSE = "coarse"
    """Less than 5 pixels a mm."""
    OBLIQUE = "oblique"
    """More than 25 degrees off the sheet's normal."""
    UNEVEN_FRONT = "uneven front"
    """The front's own marks do not lie flat on a plane: the sheet was not flat, or the print is uneven."""


@dataclass(frozen=True, slots=True)
class TargetReading:
    """A target as it was read.

    Attributes:
        target: The target.
        marks: Back against front at each mark that was found, seen from the front.
        found_share: Share of the marks of which both sides were found.
        missing: Names of the others.
        front_rms_mm: How far the front's marks lie from where they should, root mean square of a coordinate.
        px_per_mm: In the middle of the sheet, of the picture as it was given.
        tilt_rad: Camera's axis against the sheet's normal; None where the perspective does not carry it.
        lens: Radial distortion that was taken out, share of the distance at the picture's corner.
        oblique_mm: Largest shift that was added at any mark for the thickness of the paper.
        seat: Where the front sits on its sheet, where the sheet's edges are to be seen.
        warnings: In the order of the enumeration.
    """

    target: Target
    marks: tuple[MarkReading, ...]
    found_share: float
    missing: tuple[str, ...]
    front_rms_mm: float
    px_per_mm: float
    tilt_rad: float | None
    lens: float
    oblique_mm: float
    seat: SeatReading
    warnings: tuple[ReadingWarning, ...]


def read_target(
    image: NDArray[np.generic],
    target: Target | Sequence[Target],
    caliper_mm: float = 0.1,
    focal_px: float | None = None,
) -> TargetReading:
    """Read how far each mark of the back lies from where it should, against the front.

    Light that shines through paper is scattered on its way, so that in an oblique view the back's marks show
    shifted by something between nothing and caliper times the tangent of the view's angle. Half of that is
    taken out, and the rest is in the uncertainty as a rectangular distribution.

    Args:
        image: Grey, shape (height, width), uint8 or floats; the scale does not matter, but more is lighter.
        target: The target, or several of which the picture shows one.
        caliper_mm: Thickness of the paper, mm, >= 0.
        focal_px: Focal length over the pitch of the pixels where the picture's file states it.

    Raises:
        DomainError: The picture holds no target that can be read; the message says why, as far as it is known.

    Source:
        Worked in docs/handbook/methods/target.md.
    """
    targets = [target] if isinstance(target, Target) else list(target)
    grey = np.asarray(image, dtype=np.float32)
    if grey.ndim != 2 or min(grey.shape) < 100:
        raise DomainError("the picture is too small to hold a target", "image")
    if not targets or not (math.isfinite(caliper_mm) and 0 <= caliper_mm <= 5):
        raise DomainError("the caliper is a thickness from 0 to 5 mm", "caliper_mm")
    match, chosen = _find(grey, targets)
    given_px_per_mm = match.view.px_per_mm()
    if given_px_per_mm < LEAST_PX_PER_MM:
        raise DomainError(
            f"the picture has only {given_px_per_mm:.1f} pixels a millimetre; {LEAST_PX_PER_MM:g} are needed, "
            "and 6 or more are good",
            "image",
        )
    scale = min(1.0, _FINEST_PX_PER_MM / given_px_per_mm)
    fine = _shrink(grey, scale)
    even = even_out(fine)
    view, fronts = _fit_fronts(even, _scaled_view(match, grey.shape, even.shape), chosen)
    _check_code(even, view, chosen)
    backs = _fit_backs(even, view, match, chosen, grey.shape)
    return _sum_up(
        chosen,
        view,
        fronts,
        backs,
        caliper_mm,
        None if focal_px is None else focal_px * even.shape[1] / grey.shape[1],
        given_px_per_mm,
        read_seat(fine, view, chosen),
    )


def _shrink(grey: NDArray[np.float32], scale: float) -> NDArray[np.float32]:
    if scale >= 1:
        return grey
    height, width = grey.shape
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    return np.asarray(cv2.resize(grey, size, interpolation=cv2.INTER_AREA), dtype=np.float32)


def _find(grey: NDArray[np.float32], targets: Sequence[Target]) -> tuple[Match, Target]:
    """Return the match with the target that fits best, in pixels of the whole picture."""
    small = _shrink(grey, _SPOTS_PX / max(grey.shape))
    spots = find_spots(even_out(small))
    fx, fy = grey.shape[1] / small.shape[1], grey.shape[0] / small.shape[0]
    spots = tuple(
        Spot(
            (spot.x_px + 0.5) * fx - 0.5,
            (spot.y_px + 0.5) * fy - 0.5,
            spot.size_px * math.sqrt(fx * fy),
            spot.is_ring,
            spot.contrast,
        )
        for spot in spots
    )
    groups = pair_spots(spots)
    if not groups:
        discs = sum(not spot.is_ring for spot in spots)
        seen = "solid discs, but no rings beside them" if discs >= _LEAST_MARKS else "no pairs of disc and ring"
        raise DomainError(
            f"{seen} are to be seen: the light has to come from behind the sheet. On paper that lets no light "
            "through, read the scales by eye",
            "image",
        )
    best: tuple[Match, Target] | None = None
    for target in targets:
        match = match_target(spots, groups, target, grey.shape[1], grey.shape[0])
        if match is not None and (best is None or _fits_better(match, best[0])):
            best = match, target
    if best is None:
        raise DomainError("discs and rings are there, but not in the grid of the target", "image")
    return best


def _fits_better(match: Match, other: Match) -> bool:
    code = [sum(spot is not None for spot in each.code) for each in (match, other)]
    return code[0] > code[1] or (code[0] == code[1] and match.code_off_mm < other.code_off_mm)


def _scaled_view(match: Match, given: tuple[int, ...], now: tuple[int, ...]) -> View:
    """Return the first view in pixels of the picture that the marks are fitted in."""
    fx, fy = now[1] / given[1], now[0] / given[0]
    to_now = np.array([[fx, 0, 0.5 * fx - 0.5], [0, fy, 0.5 * fy - 0.5], [0, 0, 1]])
    rows = (to_now @ np.array(match.view.homography)).tolist()
    return View(
        tuple((a, b, c) for a, b, c in rows),
        match.view.lens,
        ((now[1] - 1) / 2, (now[0] - 1) / 2),
        math.hypot(now[1], now[0]) / 2,
    )


def _fit_fronts(
    even: NDArray[np.float32], view: View, target: Target
) -> tuple[View, dict[int, tuple[float, float]]]:
    """Fit the front's discs, and the view to them; return both, the discs as they lie on the sheet, mm."""
    height, width = even.shape
    places: dict[int, Array] = {}
    for i, mark in enumerate(target.marks):
        fit = fit_shape(even, view, mark.front_x_mm, mark.front_y_mm, DISC_RADIUS_MM)
        if fit is not None and _is_good(fit) and _off(fit, mark.front_x_mm, mark.front_y_mm) < 1.5:
            places[i] = view.to_px(np.array([fit.x_mm, fit.y_mm]))
    if len(places) < _LEAST_MARKS:
        raise DomainError(f"only {len(places)} marks of the front can be made out", "image")
    names = sorted(places)
    points_mm = np.array([(target.marks[i].front_x_mm, target.marks[i].front_y_mm) for i in names])
    points_px = np.array([places[i] for i in names])
    kept = np.ones(len(names), bool)
    for _ in range(4):
        view = fit_view(points_mm[kept], points_px[kept], width, height)
        off = np.linalg.norm(view.to_mm(points_px) - points_mm, axis=1)
        again = off < max(0.08, 4 * float(np.median(off[kept])))
        if again.sum() < _LEAST_MARKS or (again == kept).all():
            break
        kept = again
    on_sheet = view.to_mm(points_px)
    return view, {i: (float(x), float(y)) for i, (x, y), k in zip(names, on_sheet, kept, strict=True) if k}


def _check_code(even: NDArray[np.float32], view: View, target: Target) -> None:
    """Hold the discs without a ring against their places, which tell the sheet that the target is for."""
    fits = [(fit_shape(even, view, x, y, DISC_RADIUS_MM), x, y) for x, y in target.code]
    offs = [_off(fit, x, y) for fit, x, y in fits if fit is not None and _is_good(fit)]
    if len(offs) < 2 or max(offs) > _CODE_SLACK_MM:
        size = f"{target.sheet_width_mm:g} x {target.sheet_height_mm:g} mm"
        raise DomainError(
            f"the three discs at the corner of head and left are not where those of a target for {size} are: "
            "it was made for another sheet, or that corner is not in the picture",
            "image",
        )


def _fit_backs(
    even: NDArray[np.float32], view: View, match: Match, target: Target, given: tuple[int, ...]
) -> dict[int, ShapeFit]:
    """Fit the back's rings, looked for where those already seen say."""
    fx, fy = even.shape[1] / given[1], even.shape[0] / given[0]
    offs: dict[int, Array] = {}
    for i, spot in match.rings.items():
        place = view.to_mm(np.array([(spot.x_px + 0.5) * fx - 0.5, (spot.y_px + 0.5) * fy - 0.5]))
        offs[i] = place - np.array([target.marks[i].x_mm, target.marks[i].y_mm])
    if len(offs) < 3:
        raise DomainError("the marks of the back can hardly be seen through the sheet", "image")
    usual = np.median(np.array(list(offs.values())), axis=0)
    fits: dict[int, ShapeFit] = {}
    for i, mark in enumerate(target.marks):
        start = offs.get(i, usual)
        if np.linalg.norm(start - usual) > 1.0:
            start = usual
        fit = fit_shape(even, view, mark.x_mm + start[0], mark.y_mm + start[1], RING_OUTER_MM, RING_INNER_MM)
        if fit is not None and _is_good(fit) and _off(fit, mark.x_mm, mark.y_mm) < _MOST_OFF_MM:
            fits[i] = fit
    return _without_strays(_of_one_kind(fits), target)


def _of_one_kind(fits: dict[int, ShapeFit]) -> dict[int, ShapeFit]:
    """Leave out what is far fainter or less like a ring than most: a stain, or nothing."""
    if not fits:
        return fits
    contrast = float(np.median([fit.contrast for fit in fits.values()]))
    agreement = float(np.median([fit.agreement for fit in fits.values()]))
    return {
        i: fit for i, fit in fits.items() if fit.contrast > 0.4 * contrast and fit.agreement > 0.6 * agreement
    }


def _without_strays(fits: dict[int, ShapeFit], target: Target) -> dict[int, ShapeFit]:
    """Leave out what lies far from an affine map through most of the rings."""
    names = sorted(fits)
    if len(names) < _LEAST_MARKS:
        return fits
    points, offs = _offsets(fits, target)
    kept = np.ones(len(names), bool)
    for _ in range(5):
        solution, *_ = np.linalg.lstsq(points[kept], offs[kept], rcond=None)
        away = np.linalg.norm(offs - points @ solution, axis=1)
        again = away < max(0.25, 6 * float(np.median(away[kept])))
        if again.sum() < _LEAST_MARKS or (again == kept).all():
            break
        kept = again
    return {i: fits[i] for i, k in zip(names, kept, strict=True) if k}


def _scatter(fits: dict[int, ShapeFit], target: Target) -> float:
    """Return the root mean square of what an affine map leaves of the rings' places, a coordinate, mm."""
    if len(fits) < _LEAST_MARKS:
        return 0.0
    points, offs = _offsets(fits, target)
    solution, *_ = np.linalg.lstsq(points, offs, rcond=None)
    left = offs - points @ solution
    return math.sqrt(float((left**2).sum()) / (left.size - solution.size))


def _offsets(fits: dict[int, ShapeFit], target: Target) -> tuple[Array, Array]:
    """Return rows (1, x, y) of the rings' due places, and how far each ring is off."""
    names = sorted(fits)
    points = np.array([(1.0, target.marks[i].x_mm, target.marks[i].y_mm) for i in names])
    found = np.array([(fits[i].x_mm, fits[i].y_mm) for i in names])
    return points, found - points[:, 1:]


def _sum_up(
    target: Target,
    view: View,
    fronts: dict[int, tuple[float, float]],
    backs: dict[int, ShapeFit],
    caliper_mm: float,
    focal_px: float | None,
    given_px_per_mm: float,
    seat: SeatReading,
) -> TargetReading:
    off = np.array(
        [(x - target.marks[i].front_x_mm, y - target.marks[i].front_y_mm) for i, (x, y) in fronts.items()]
    )
    # Eight numbers of the homography, and the lens's where it is carried, are taken from the same marks.
    freedom = max(1, off.size - (9 if view.lens else 8))
    front_rms = math.sqrt(float((off**2).sum()) / freedom)
    camera = find_camera(view, focal_px)
    # Seen from behind, the back is the nearer side, and the shift goes the other way.
    way = -1.0 if view.is_mirrored else 1.0
    scatter = _scatter(backs, target)
    marks, largest = [], 0.0
    for i, fit in sorted(backs.items()):
        if i not in fronts:
            continue
        mark = target.marks[i]
        across, along, doubt = _oblique(camera, fit.x_mm, fit.y_mm, caliper_mm)
        largest = max(largest, math.hypot(across, along))
        marks.append(
            MarkReading(
                mark.name,
                mark.x_mm,
                mark.y_mm,
                fit.x_mm + way * across - mark.x_mm,
                fit.y_mm + way * along - mark.y_mm,
                math.sqrt(max(fit.u_mm, scatter) ** 2 + front_rms**2 + doubt**2),
            )
        )
    read = {reading.name for reading in marks}
    missing = tuple(mark.name for mark in target.marks if mark.name not in read)
    if len(marks) < 4:
        raise DomainError(f"only {len(marks)} marks can be read on both sides; four are needed", "image")
    share = len(marks) / len(target.marks)
    tilt = camera.tilt_rad if camera.is_known else None
    warnings = (
        (ReadingWarning.FROM_BEHIND, view.is_mirrored),
        (ReadingWarning.FEW_MARKS, share < 0.9),
        (ReadingWarning.COARSE, given_px_per_mm < 5),
        (ReadingWarning.OBLIQUE, tilt is not None and tilt > math.radians(25)),
        (ReadingWarning.UNEVEN_FRONT, front_rms > 0.12),
    )
    return TargetReading(
        target,
        tuple(marks),
        share,
        missing,
        front_rms,
        given_px_per_mm,
        tilt,
        view.lens,
        largest,
        seat,
        tuple(warning for warning, holds in warnings if holds),
    )


def _oblique(camera: CameraPlace, x_mm: float, y_mm: float, caliper_mm: float) -> tuple[float, float, float]:
    """Return the shift to add to a back mark, right and down, and its standard uncertainty, mm."""
    across = (x_mm - camera.x_mm) / camera.height_mm * caliper_mm
    along = (y_mm - camera.y_mm) / camera.height_mm * caliper_mm
    whole = math.hypot(across, along)
    if not camera.is_known:
        # Perhaps a scan, which has no perspective: nothing is taken out.
        return 0.0, 0.0, whole / math.sqrt(3) / 2
    return across / 2, along / 2, whole / math.sqrt(12)


def _is_good(fit: ShapeFit) -> bool:
    return fit.agreement > _LEAST_AGREEMENT and fit.contrast > 4 * 0.002


def _off(fit: ShapeFit, x_mm: float, y_mm: float) -> float:
    return math.hypot(fit.x_mm - x_mm, fit.y_mm - y_mm)
