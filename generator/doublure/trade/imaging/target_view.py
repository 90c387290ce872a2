"""How a camera sees a flat sheet: homography with one radial term, fitted to known points; where the camera was.

In: points of the sheet (mm) and of the picture (px). Out: View, the camera's place. Never: finding points.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares  # type: ignore[import-untyped]

Array = NDArray[np.float64]

#: The radial term is kept where it is so many times its own standard uncertainty.
_CARRIED = 4.0
#: Points that a view with its radial term takes at the least.
_POINTS_FOR_LENS = 8
#: What a camera's focal length is over the diagonal of its picture, and how far that may be off (as ln).
_USUAL_FOCAL, _USUAL_SPREAD = 0.8, 0.5
#: Tilt below which a picture may as well be a scan.
LEAST_TILT_RAD = math.radians(0.7)


@dataclass(frozen=True, slots=True)
class View:
    """The map from a plane, mm, to a picture, px.

    Points of the picture are moved along the radius from its middle, d' = d (1 + lens r²), r in half diagonals;
    the homography leads from the plane to the moved points.

    Attributes:
        homography: 3 rows of 3, from (x mm, y mm, 1) to px.
        lens: The radial term.
        middle_px: Middle of the picture.
        half_px: Half its diagonal.
        covariance: Of the first 8 numbers of the homography (the ninth is 1), flat; () where unknown.
    """

    homography: tuple[tuple[float, float, float], ...]
    lens: float
    middle_px: tuple[float, float]
    half_px: float
    covariance: tuple[tuple[float, ...], ...] = ()

    def straighten(self, points_px: Array) -> Array:
        """Return points of the picture as a lens without distortion would show them, px."""
        away = points_px - np.array(self.middle_px)
        square = (away**2).sum(axis=-1, keepdims=True) / self.half_px**2
        return np.asarray(np.array(self.middle_px) + away * (1 + self.lens * square))

    def to_mm(self, points_px: Array) -> Array:
        """Return where points of the picture, shape (..., 2), lie on the plane, mm."""
        return _apply(np.linalg.inv(np.array(self.homography)), self.straighten(points_px))

    def to_px(self, points_mm: Array) -> Array:
        """Return where points of the plane, shape (..., 2), show in the picture, px."""
        straight = _apply(np.array(self.homography), points_mm) - np.array(self.middle_px)
        away = straight
        for _ in range(6):
            square = (away**2).sum(axis=-1, keepdims=True) / self.half_px**2
            away = straight / (1 + self.lens * square)
        return np.asarray(away + np.array(self.middle_px))

    def px_per_mm(self, x_mm: float = 0.0, y_mm: float = 0.0) -> float:
        """Return the scale at a point: the root of the ratio of areas."""
        step = 0.5
        points = self.to_px(np.array([(x_mm, y_mm), (x_mm + step, y_mm), (x_mm, y_mm + step)]))
        across, along = points[1] - points[0], points[2] - points[0]
        return math.sqrt(abs(across[0] * along[1] - across[1] * along[0])) / step

    @property
    def is_mirrored(self) -> bool:
        """True where the plane shows as in a mirror, that is, from behind."""
        across, along = self.to_px(np.array([(1.0, 0.0), (0.0, 1.0)])) - self.to_px(np.array([(0.0, 0.0)]))
        return bool(across[0] * along[1] - across[1] * along[0] < 0)


@dataclass(frozen=True, slots=True)
class CameraPlace:
    """Where the camera was.

    Attributes:
        x_mm, y_mm: Foot of the perpendicular from the camera to the sheet, register coordinates.
        height_mm: Its distance from the sheet's plane.
        tilt_rad: Between the camera's axis and the sheet's normal.
        is_known: False where the picture shows so little perspective that it may be a scan.
    """

    x_mm: float
    y_mm: float
    height_mm: float
    tilt_rad: float
    is_known: bool


def fit_homography(points_mm: Array, points_px: Array) -> Array:
    """Return the homography of at least four points, by the normalised direct linear transformation.

    Source:
        R. Hartley, A. Zisserman, Multiple View Geometry in Computer Vision, 2nd ed. 2004, algorithm 4.2; from
        memory.
    """
    source, to_source = _normalise(points_mm)
    goal, to_goal = _normalise(points_px)
    rows = []
    for (x, y), (u, v) in zip(source, goal, strict=True):
        rows.append((x, y, 1, 0, 0, 0, -u * x, -u * y, -u))
        rows.append((0, 0, 0, x, y, 1, -v * x, -v * y, -v))
    _, _, turned = np.linalg.svd(np.array(rows))
    found = np.linalg.inv(to_goal) @ turned[-1].reshape(3, 3) @ to_source
    return np.asarray(found / found[2, 2])


def fit_view(points_mm: Array, points_px: Array, width_px: int, height_px: int) -> View:
    """Fit a view to known points by least squares, with the radial term where the points carry it.

    Args:
        points_mm: On the plane, shape (n, 2), n >= 4.
        points_px: In the picture, shape (n, 2).
        width_px, height_px: Size of the picture.
    """
    middle = ((width_px - 1) / 2, (height_px - 1) / 2)
    half = math.hypot(width_px, height_px) / 2
    start = fit_homography(points_mm, points_px).ravel()[:8]
    with_lens = len(points_mm) >= _POINTS_FOR_LENS
    # Each number is scaled so that a step of 1 moves points by about a pixel.
    reach = float(np.abs(points_mm).max()) or 1.0
    scale = np.array([1 / reach, 1 / reach, 1, 1 / reach, 1 / reach, 1, 1 / (reach * half), 1 / (reach * half)])

    def build(numbers: Array) -> View:
        eight = start + numbers[:8] * scale
        lens = float(numbers[8]) * 1e-3 if len(numbers) == 9 else 0.0
        return View(_three_rows(eight), lens, middle, half)

    def misses(numbers: Array) -> Array:
        view = build(numbers)
        seen = _apply(np.array(view.homography), points_mm)
        return np.asarray((seen - view.straighten(points_px)).ravel())

    plain = least_squares(misses, np.zeros(8), method="lm")
    best = plain
    if with_lens:
        lensed = least_squares(misses, np.append(plain.x, 0.0), method="lm")
        freedom = len(lensed.fun) - 9
        spread = float(lensed.fun @ lensed.fun) / freedom
        covariance = np.linalg.pinv(lensed.jac.T @ lensed.jac) * spread
        if abs(lensed.x[8]) > _CARRIED * math.sqrt(max(covariance[8, 8], 1e-30)):
            best = lensed
    view = build(best.x)
    freedom = max(1, len(best.fun) - len(best.x))
    spread = float(best.fun @ best.fun) / freedom
    covariance = np.linalg.pinv(best.jac.T @ best.jac)[:8, :8] * spread * np.outer(scale, scale)
    return View(view.homography, view.lens, middle, half, tuple(map(tuple, covariance.tolist())))


def find_camera(view: View, focal_px: float | None = None) -> CameraPlace:
    """Return where the camera was, under square pixels and a principal point in the middle of the picture.

    Two columns of the homography are two perpendicular directions of equal length as the camera sees them; that
    gives the focal length as far as the perspective carries it. A focal length that is usual fills in the rest.

    Args:
        view: Of the sheet.
        focal_px: Focal length where the picture's file states it, px; None otherwise.

    Source:
        The two constraints: Z. Zhang, IEEE TPAMI 22 (2000) 1330-1334, equations 3 and 4; from memory.
    """
    to_middle = np.array([[1, 0, -view.middle_px[0]], [0, 1, -view.middle_px[1]], [0, 0, 1]])
    seen = to_middle @ np.array(view.homography)
    focal = focal_px or _guess_focal(view, seen)
    columns = np.diag([1 / focal, 1 / focal, 1.0]) @ seen
    lengths = np.linalg.norm(columns[:, 0]), np.linalg.norm(columns[:, 1])
    columns = columns * (2 / (lengths[0] + lengths[1]))
    if columns[2, 2] < 0:  # the sheet is before the camera
        columns = -columns
    first, second, third = columns[:, 0], columns[:, 1], columns[:, 2]
    normal = np.cross(first, second)
    normal = normal / np.linalg.norm(normal)
    axes = np.stack([first, second, normal])
    x, y, z = -np.linalg.solve(axes @ axes.T, axes @ third)
    tilt = math.acos(min(1.0, abs(float(normal[2]))))
    known = focal_px is not None or tilt >= LEAST_TILT_RAD
    return CameraPlace(float(x), float(y), abs(float(z)), tilt, known)


def _guess_focal(view: View, seen: Array) -> float:
    """Return the most likely focal length, px: of the two constraints, and of what is usual."""
    usual = _USUAL_FOCAL * 2 * view.half_px
    choices = usual * np.exp(np.linspace(-1.5, 2.5, 161))
    # The principal point may be off by some per cent, and the front's print by some parts in a thousand.
    noise = _constraint_noise(view, seen)
    scale = (seen[0, 0] ** 2 + seen[1, 0] ** 2 + seen[0, 1] ** 2 + seen[1, 1] ** 2) / 2
    best, focal = math.inf, usual
    for choice in choices:
        gap = _constraints(seen, float(choice))
        doubt = noise(float(choice)) + (0.003 * scale / choice**2) ** 2
        cost = float((gap**2 / doubt).sum()) + (math.log(choice / usual) / _USUAL_SPREAD) ** 2
        if cost < best:
            best, focal = cost, float(choice)
    return focal


def _constraints(seen: Array, focal: float) -> Array:
    a, b = seen[:, 0], seen[:, 1]
    return np.array(
        [
            (a[0] * b[0] + a[1] * b[1]) / focal**2 + a[2] * b[2],
            (a[0] ** 2 + a[1] ** 2 - b[0] ** 2 - b[1] ** 2) / focal**2 + a[2] ** 2 - b[2] ** 2,
        ]
    )


def _constraint_noise(view: View, seen: Array) -> Callable[[float], Array]:
    """Return a function of the focal length that gives the variance of both constraints."""
    covariance = np.array(view.covariance) if view.covariance else np.zeros((8, 8))
    step = np.sqrt(np.maximum(np.diag(covariance), 1e-30))
    base = np.array(view.homography)

    def variance(focal: float) -> Array:
        slopes = []
        now = _constraints(seen, focal)
        for i in range(8):
            moved = base.ravel().copy()
            moved[i] += step[i]
            to_middle = np.array([[1, 0, -view.middle_px[0]], [0, 1, -view.middle_px[1]], [0, 0, 1]])
            slopes.append((_constraints(to_middle @ moved.reshape(3, 3), focal) - now) / step[i])
        slope = np.array(slopes)
        return np.asarray(np.einsum("ik,ij,jk->k", slope, covariance, slope))

    return variance


def _three_rows(eight: Array) -> tuple[tuple[float, float, float], ...]:
    a, b, c, d, e, f, g, h = (float(value) for value in eight)
    return (a, b, c), (d, e, f), (g, h, 1.0)


def _normalise(points: Array) -> tuple[Array, Array]:
    """Return points about their middle at a mean distance of √2, and the map that does it."""
    middle = points.mean(axis=0)
    away = float(np.linalg.norm(points - middle, axis=1).mean()) or 1.0
    scale = math.sqrt(2) / away
    return (points - middle) * scale, np.array(
        [[scale, 0, -scale * middle[0]], [0, scale, -scale * middle[1]], [0, 0, 1]]
    )


def _apply(matrix: Array, points: Array) -> Array:
    x, y = points[..., 0], points[..., 1]
    bottom = matrix[2, 0] * x + matrix[2, 1] * y + matrix[2, 2]
    return np.stack(
        [
            (matrix[0, 0] * x + matrix[0, 1] * y + matrix[0, 2]) / bottom,
            (matrix[1, 0] * x + matrix[1, 1] * y + matrix[1, 2]) / bottom,
        ],
        axis=-1,
    )
