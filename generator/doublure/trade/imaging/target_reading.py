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
from doublure.trade.imaging.target_fit import ShapeFit
from doublure.trade.imaging.target_marks import (
    LEAST_MARKS,
    FrontFit,
    check_code,
    fit_backs,
    fit_fronts,
    scatter_mm,
)
from doublure.trade.imaging.target_match import Match, match_target, pair_spots
from doublure.trade.imaging.target_spots import Spot, even_out, find_spots
from doublure.trade.imaging.target_view import CameraPlace, View, find_camera
from doublure.trade.press.register.records import MarkReading, SeatReading
from doublure.trade.press.target import Target

#: Spots are looked for in a picture of at most so many pixels along its longer side.
_SPOTS_PX = 2400
#: Marks are fitted at no more than this: finer detail is lost in the paper anyway.
_FINEST_PX_PER_MM = 8.0
#: Coarser pictures are refused.
LEAST_PX_PER_MM = 2.5
_LEAST_READINGS = 4


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
    BENT = "bent"
    """The sheet was not flat; its bend was taken out as far as the front's marks show it."""
    UNEVEN_FRONT = "uneven front"
    """The front's own marks do not lie where they should: the sheet was creased, or the print is uneven."""


@dataclass(frozen=True, slots=True)
class TargetReading:
    """A target as it was read.

    Attributes:
        target: The target.
        marks: Back against front at each mark that was found, seen from the front.
        found_share: Share of the marks of which both sides were found.
        missing: Names of the others.
        front_rms_mm: How far the front's marks lie from where they should, root mean square of a coordinate, the
            bend of the sheet taken out.
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
    first = _scaled_view(match, grey.shape, even.shape)
    front = fit_fronts(even, first, chosen, _places(match.fronts, first, grey.shape, even.shape))
    check_code(even, front, chosen)
    backs = fit_backs(even, front, chosen, _places(match.rings, front.view, grey.shape, even.shape))
    # Where the sheet is bent, its edges are not where the flat view has them.
    seat = SeatReading() if front.bend else read_seat(fine, front.view, chosen)
    focal = None if focal_px is None else focal_px * even.shape[1] / grey.shape[1]
    return _sum_up(chosen, front, backs, find_camera(front.view, focal), caliper_mm, given_px_per_mm, seat)


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
        seen = "solid discs, but no rings beside them" if discs >= LEAST_MARKS else "no pairs of disc and ring"
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


def _places(
    spots: dict[int, Spot], view: View, given: tuple[int, ...], now: tuple[int, ...]
) -> dict[int, tuple[float, float]]:
    """Return where spots of the whole picture lie on the sheet, mm."""
    fx, fy = now[1] / given[1], now[0] / given[0]
    placed = {}
    for i, spot in spots.items():
        x, y = view.to_mm(np.array([(spot.x_px + 0.5) * fx - 0.5, (spot.y_px + 0.5) * fy - 0.5]))
        placed[i] = (float(x), float(y))
    return placed


def _sum_up(
    target: Target,
    front: FrontFit,
    backs: dict[int, ShapeFit],
    camera: CameraPlace,
    caliper_mm: float,
    given_px_per_mm: float,
    seat: SeatReading,
) -> TargetReading:
    # Seen from behind, the back is the nearer side, and the shift goes the other way.
    way = -1.0 if front.view.is_mirrored else 1.0
    scatter = scatter_mm(backs, front, target)
    marks, largest = [], 0.0
    for i, fit in sorted(backs.items()):
        if i not in front.discs:
            continue
        mark = target.marks[i]
        x, y = front.straighten(fit.x_mm, fit.y_mm)
        across, along, doubt = _oblique(camera, x, y, caliper_mm)
        largest = max(largest, math.hypot(across, along))
        u = math.sqrt(max(fit.u_mm, scatter) ** 2 + front.rms_mm**2 + doubt**2)
        dx, dy = x + way * across - mark.x_mm, y + way * along - mark.y_mm
        marks.append(MarkReading(mark.name, mark.x_mm, mark.y_mm, float(dx), float(dy), u))
    read = {reading.name for reading in marks}
    missing = tuple(mark.name for mark in target.marks if mark.name not in read)
    if len(marks) < _LEAST_READINGS:
        raise DomainError(f"only {len(marks)} marks can be read on both sides; {_LEAST_READINGS} are needed", "image")
    share = len(marks) / len(target.marks)
    tilt = camera.tilt_rad if camera.is_known else None
    warnings = (
        (ReadingWarning.FROM_BEHIND, front.view.is_mirrored),
        (ReadingWarning.FEW_MARKS, share < 0.9),
        (ReadingWarning.COARSE, given_px_per_mm < 5),
        (ReadingWarning.OBLIQUE, tilt is not None and tilt > math.radians(25)),
        (ReadingWarning.BENT, bool(front.bend)),
        (ReadingWarning.UNEVEN_FRONT, front.rms_mm > 0.1),
    )
    return TargetReading(
        target,
        tuple(marks),
        share,
        missing,
        front.rms_mm,
        given_px_per_mm,
        tilt,
        front.view.lens,
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
