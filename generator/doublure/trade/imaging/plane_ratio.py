"""The ratio of the sides of a rectangle from its four corners alone, and the bias of what lies above the plane.

In: four corners in px, what is known of camera and lens; a plane's homography. Out: SideRatio; bounds of a bias.
Never: sizes, matching of formats.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares  # type: ignore[import-untyped]

from doublure.errors import DomainError
from doublure.trade.imaging.plane_fit import check_points
from doublure.trade.imaging.plane_lengths import half_width
from doublure.trade.imaging.plane_lens import AnyLens
from doublure.trade.imaging.plane_propagation import propagate
from doublure.trade.imaging.target_view import View, find_camera, fit_homography

Array = NDArray[np.float64]

#: What a focal length is over the diagonal of its picture where nobody knows, how far that may be off (as ln),
#: and how far one that the camera wrote down may be; how far the principal point lies off the middle, in
#: diagonals. Common practice, no published source.
USUAL_FOCAL, USUAL_SPREAD, STATED_SPREAD = 0.8, 0.5, 0.03
PRINCIPAL_SPREAD = 0.03
_UNIT = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])


@dataclass(frozen=True, slots=True)
class SideRatio:
    """Width over height of a rectangle.

    Attributes:
        ratio: Width over height.
        u: Its standard uncertainty.
        half: Half width of the interval that holds 95 %.
        focal_px: The focal length that goes with it.
    """

    ratio: float
    u: float
    half: float
    focal_px: float


def shortest_focal(width_px: int, height_px: int, focal_px: float | None) -> float:
    """Return the shortest focal length to reckon with: one spread below the usual one, or what is stated."""
    usual = USUAL_FOCAL * math.hypot(width_px, height_px)
    return focal_px * (1 - STATED_SPREAD) if focal_px is not None else usual * math.exp(-USUAL_SPREAD)


def measure_ratio(
    corners_px: Array,
    width_px: int,
    height_px: int,
    lens: AnyLens,
    u_pick_px: float,
    focal_px: float | None = None,
) -> SideRatio:
    """Return the ratio of the sides of a rectangle that a picture shows at an angle.

    Square pixels; the principal point about the middle of the picture. Unknown are the focal length, where the
    rectangle lies and how it is turned, and the ratio: nine numbers with the principal point's two, to the eight
    of the corners and three that are known about the camera. The uncertainty holds picks, camera and lens.

    Args:
        corners_px: In turn, from the head's left to its right; shape (4, 2).
        width_px, height_px: Size of the picture.
        lens: With the covariance of its numbers.
        u_pick_px: Standard uncertainty of a pick.
        focal_px: Where the picture's file states it.

    Raises:
        DomainError: The corners are no four corners of a rectangle that a camera could see.

    Source:
        That one view of a rectangle gives the ratio: Z. Zhang, L. He, Digital Signal Processing 17 (2007) 823-834,
        from memory; solved here as an adjustment with observations of the camera, so that a view from straight
        ahead, where the closed form divides by nought, needs no case of its own.
    """
    check_points(_UNIT, corners_px)
    diagonal = math.hypot(width_px, height_px)
    middle = np.array([(width_px - 1) / 2, (height_px - 1) / 2])
    expected = math.log(USUAL_FOCAL * diagonal if focal_px is None else focal_px)
    spread = USUAL_SPREAD if focal_px is None else STATED_SPREAD
    reach = float(np.linalg.norm(np.ptp(corners_px, axis=0)))

    def solve(corners: Array, log_focal: float, principal: Array) -> Array:
        """Return ratio (ln), focal length (ln) of the best rectangle."""
        start = _start(corners - middle - principal, math.exp(log_focal))

        def misses(numbers: Array) -> Array:
            seen = _show(numbers[:7], math.exp(numbers[7])) + middle + numbers[8:10] * diagonal
            return np.concatenate(
                [
                    (seen - corners).ravel() / u_pick_px,
                    [(numbers[7] - log_focal) / spread],
                    (numbers[8:10] * diagonal - principal) / (PRINCIPAL_SPREAD * diagonal),
                ]
            )

        first = np.concatenate([start, [log_focal], principal / diagonal])
        found = least_squares(misses, first, x_scale="jac", xtol=1e-12, ftol=1e-12, gtol=1e-12, max_nfev=400)
        if (
            not math.isfinite(found.cost)
            or math.sqrt(2 * found.cost) * u_pick_px > 0.05 * reach + 60 * u_pick_px
        ):
            raise DomainError("these are not the corners of a rectangle that a camera could see", "corners")
        return np.array([found.x[0], found.x[7]])

    def formula(some: Array) -> Array:
        corners = lens.with_numbers(some[11:]).straighten(some[:8].reshape(4, 2))
        return solve(corners, float(some[8]), some[9:11])

    inputs = np.concatenate([corners_px.ravel(), [expected], np.zeros(2), lens.numbers])
    covariance = np.zeros((len(inputs), len(inputs)))
    covariance[:8, :8] = np.eye(8) * u_pick_px**2
    covariance[8, 8] = spread**2
    covariance[9:11, 9:11] = np.eye(2) * (PRINCIPAL_SPREAD * diagonal) ** 2
    covariance[11:, 11:] = lens.covariance_of_numbers
    found = propagate(formula, inputs, covariance)
    ratio = math.exp(float(found.values[0]))
    u = float(found.u[0]) * ratio
    return SideRatio(ratio, u, half_width(u), math.exp(float(found.values[1])))


def bound_bias(
    homography: Array, width_px: int, height_px: int, above_mm: float, focal_px: float | None = None
) -> tuple[float, float]:
    """Return by what share lengths come out too large at the most, of a thing that lies above the known plane.

    What lies h above a plane is seen on it enlarged about the foot of the camera by H / (H - h), H the height of
    the camera; a thing below it is seen smaller.

    Args:
        homography: From mm of the known plane to px without distortion, shape (3, 3).
        width_px, height_px: Size of the picture.
        above_mm: How far above the plane, towards the camera; negative below.
        focal_px: Where the picture's file states it; else the height is that of a short focal length.

    Returns:
        The share, and the height of the camera that it goes with, mm.

    Raises:
        DomainError: The thing would reach up to the camera.
    """
    middle = ((width_px - 1) / 2, (height_px - 1) / 2)
    rows = tuple(tuple(float(value) for value in row) for row in homography / homography[2, 2])
    view = View(rows, 0.0, middle, math.hypot(width_px, height_px) / 2)  # type: ignore[arg-type]
    shortest = shortest_focal(width_px, height_px, focal_px)
    heights = [find_camera(view, shortest).height_mm]
    if focal_px is None:
        heights.append(find_camera(view).height_mm)
    height_mm = min(heights)
    if above_mm >= 0.5 * height_mm:
        raise DomainError(
            f"so far above the plane it would reach up to the camera, {height_mm:.0f} mm off", "above_mm"
        )
    return above_mm / (height_mm - above_mm), height_mm


def _show(seven: Array, focal: float) -> Array:
    """Return where the corners show about the principal point, px.

    The seven: ln of width over height, turn as a vector (rad), place of the middle: sideways and down over its
    distance, and ln of the distance in roots of the area.
    """
    ratio = math.exp(seven[0] / 2)
    flat = np.concatenate([(_UNIT - 0.5) * (ratio, 1 / ratio), np.zeros((4, 1))], axis=1)
    far = math.exp(seven[6])
    placed = flat @ _turn(seven[1:4]).T + np.array([seven[4], seven[5], 1.0]) * far
    return np.asarray(focal * placed[:, :2] / np.maximum(placed[:, 2:], 1e-6 * far))


def _turn(vector: Array) -> Array:
    angle = float(np.linalg.norm(vector))
    if angle < 1e-12:
        return np.eye(3)
    x, y, z = vector / angle
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.asarray(np.eye(3) + math.sin(angle) * cross + (1 - math.cos(angle)) * cross @ cross)


def _start(corners: Array, focal: float) -> Array:
    """Return seven numbers to begin with: the homography's columns made square to each other."""
    seen = fit_homography(_UNIT - 0.5, corners)
    columns = np.diag([1 / focal, 1 / focal, 1.0]) @ seen
    if columns[2, 2] < 0:
        columns = -columns
    lengths = np.linalg.norm(columns[:, 0]), np.linalg.norm(columns[:, 1])
    first = columns[:, 0] / lengths[0]
    second = columns[:, 1] / lengths[1]
    axes, _, other = np.linalg.svd(np.stack([first, second, np.cross(first, second)], axis=1))
    turned = axes @ np.diag([1, 1, np.linalg.det(axes @ other)]) @ other
    cosine = (np.trace(turned) - 1) / 2
    angle = math.acos(max(-1.0, min(1.0, float(cosine))))
    skew = np.array([turned[2, 1] - turned[1, 2], turned[0, 2] - turned[2, 0], turned[1, 0] - turned[0, 1]])
    sine = 2 * math.sin(angle)
    vector = skew / sine * angle if abs(sine) > 1e-9 else skew / 2
    place = columns[:, 2] / columns[2, 2]
    far = columns[2, 2] / math.sqrt(lengths[0] * lengths[1])
    return np.array([math.log(lengths[0] / lengths[1]), *vector, place[0], place[1], math.log(far)])
