"""The map from a plane to a picture of it, fitted to known points, with the uncertainty of all its numbers.

In: known points in mm and px, a lens, the error of picking. Out: PlaneFit. Never: lengths, finding points.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats  # type: ignore[import-untyped]
from scipy.optimize import least_squares  # type: ignore[import-untyped]

from doublure.errors import DomainError
from doublure.trade.imaging.plane_lens import AnyLens
from doublure.trade.imaging.target_view import fit_homography

Array = NDArray[np.float64]

#: Points, shape (n, 2), for those who hold no arrays of their own.
Points = Array

#: Standard uncertainty of a point picked by eye on a screen, where nobody states it: common practice, no
#: published source.
USUAL_PICK_PX = 1.0
#: Residuals of few points promise less than this; what a lens without fault, a flat sheet and a good detector of
#: corners leave. Settled on photographs of a chessboard, whose corners lie off by 0.10 to 0.13 px.
LEAST_PICK_PX = 0.12
#: From so many degrees of freedom the error of picking is taken from the points, where nobody states it.
ENOUGH_FREEDOM = 6
#: Chance that points which fit are called misfits.
_FALSE_ALARM = 0.001
#: What is called a misfit lies off by so many pixels at the least.
LEAST_MISFIT_PX = 0.5
_STEP = 1e-6


@dataclass(frozen=True, slots=True)
class KnownPoints:
    """Points of something of known size.

    Attributes:
        points_mm: Where they lie on the plane, shape (n, 2), n >= 4.
        points_px: Where they show, shape (n, 2).
        u_relative: Relative standard uncertainty of the size along x and along y.
        correlation: Between the two; 1 where both come from one length.
    """

    points_mm: Array
    points_px: Array
    u_relative: tuple[float, float] = (0.0, 0.0)
    correlation: float = 0.0


@dataclass(frozen=True, slots=True)
class PlaneFit:
    """A plane as a picture shows it.

    Attributes:
        plane: Eight numbers of the homography from the scaled plane to the scaled picture without distortion.
        lens: The lens; in a joint fit, as the points leave it.
        frame: Middle of the points, mm, and their reach, mm; middle of the picture's points, px, and their reach.
        gain: What a pixel's error of each known point, flat, adds to the numbers of plane and lens.
        rest: Covariance of those numbers from the size and from what is known of the lens beforehand.
        points_px: The known points.
        residuals_px: Of each, seen less fitted.
        u_pick_px: Standard uncertainty of a picked point.
        freedom: Degrees of freedom of that uncertainty; math.inf where it was stated or assumed.
        spread_px: Root mean square of the residuals over their degrees of freedom; 0 where none is left over.
        misfits: Indices of points that fit far worse than others.
        chance: Of so great residuals or greater ones, if picking is as good as was stated; None where not stated.
    """

    plane: Array
    lens: AnyLens
    frame: tuple[float, float, float, float, float, float]
    gain: Array
    rest: Array
    points_px: Array
    residuals_px: Array
    u_pick_px: float
    freedom: float
    spread_px: float
    misfits: tuple[int, ...]
    chance: float | None

    @property
    def numbers(self) -> Array:
        """The numbers of plane and lens."""
        return np.concatenate([self.plane, self.lens.numbers])

    @property
    def fits(self) -> bool:
        """False where the points do not fit a plane as well as they were picked."""
        return not self.misfits and (self.chance is None or self.chance >= _FALSE_ALARM)

    @property
    def homography(self) -> Array:
        """The homography from mm to px without distortion, shape (3, 3), the last number 1."""
        found = _homography(self.plane, self.frame)
        return np.asarray(found / found[2, 2])

    def to_mm(self, points_px: Array, numbers: Array | None = None) -> Array:
        """Return where points of the picture, shape (n, 2), lie on the plane, mm, with these or other numbers."""
        plane, lens = self.plane, self.lens
        if numbers is not None:
            plane, lens = numbers[:8], self.lens.with_numbers(numbers[8:])
        back = np.asarray(np.linalg.inv(_homography(plane, self.frame)), dtype=np.float64)
        return project(back, lens.straighten(points_px))

    def to_px(self, points_mm: Array) -> Array:
        """Return where points of the plane, shape (n, 2), show in the picture, px."""
        return self.lens.bend(project(_homography(self.plane, self.frame), points_mm))


def fit_plane(
    known: KnownPoints, lens: AnyLens, u_pick_px: float | None = None, with_lens: bool = False
) -> PlaneFit:
    """Fit the plane by the normalised direct linear transformation, refined by least squares in the picture.

    Args:
        known: The known points.
        lens: The lens with the covariance of its numbers.
        u_pick_px: Standard uncertainty of each coordinate of a point, px; None to take it from the residuals,
            where the points are enough, and USUAL_PICK_PX where not.
        with_lens: True to let the known points, too, say what the lens does; what is known of it before enters
            as observations.

    Raises:
        DomainError: Fewer than four points, or points that span no plane.

    Source:
        R. Hartley, A. Zisserman, Multiple View Geometry in Computer Vision, 2nd ed. 2004, algorithms 4.2 and
        4.3, covariance 5.2.2 to 5.2.6, from memory; JCGM 102:2011, propagation through an implicit model.
        Worked in docs/handbook/methods/measuring.md.
    """
    check_points(known.points_mm, known.points_px)
    spreads = np.sqrt(np.diag(lens.covariance_of_numbers))
    free = spreads > 0 if with_lens else np.zeros(len(spreads), dtype=bool)
    frame = _frame(known)
    plane = _start(known, lens, frame)
    start = np.concatenate([plane, lens.numbers])
    scale = np.concatenate([np.ones(8), spreads[free]])
    chosen = np.concatenate([np.ones(8, dtype=bool), free])
    weight = USUAL_PICK_PX if u_pick_px is None else u_pick_px
    freedom = 2 * len(known.points_px) - 8
    from_points = u_pick_px is None and freedom - int(free.sum()) >= ENOUGH_FREEDOM

    def split(steps: Array) -> tuple[Array, AnyLens]:
        numbers = start.copy()
        numbers[chosen] += steps * scale
        return numbers[:8], lens.with_numbers(numbers[8:])

    def seen(steps: Array, points_mm: Array) -> Array:
        eight, bent = split(steps)
        return np.asarray(bent.bend(project(_homography(eight, frame), points_mm)).ravel())

    goal = known.points_px.ravel()
    steps = np.zeros(8 + int(free.sum()))

    def misses(steps: Array) -> Array:
        return np.concatenate([(seen(steps, known.points_mm) - goal) / weight, steps[8:]])

    for _ in range(4 if from_points and free.any() else 1):
        steps = least_squares(misses, steps, method="lm", xtol=1e-12, ftol=1e-12).x
        residuals = goal - seen(steps, known.points_mm)
        spread = math.sqrt(float(residuals @ residuals) / freedom) if freedom > 0 else 0.0
        if from_points:
            weight = max(math.sqrt(float(residuals @ residuals) / (freedom - int(free.sum()))), LEAST_PICK_PX)
    slope = _slopes(misses, steps)
    gain_all = np.linalg.solve(slope.T @ slope, slope.T)
    whole = np.zeros((len(start), gain_all.shape[1]))
    whole[chosen] = gain_all * scale[:, None]
    picks = len(goal)
    gain = whole[:, :picks] / weight
    rest = whole[:, picks:] @ whole[:, picks:].T
    eight, fitted = split(steps)
    numbers = np.concatenate([eight, fitted.numbers])
    if len(spreads) and not with_lens and spreads.any():
        rest = rest + _held_lens(numbers, lens, known, frame, gain)
    rest = rest + _size(known, lambda points: seen(steps, points), gain)
    misfits = _find_misfits(residuals.reshape(-1, 2), slope[:picks], freedom, weight)
    chance = None
    if u_pick_px is not None and freedom > 0:
        chance = float(stats.chi2.sf(float(residuals @ residuals) / u_pick_px**2, freedom))
    return PlaneFit(
        plane=eight,
        lens=fitted,
        frame=frame,
        gain=gain,
        rest=rest,
        points_px=known.points_px,
        residuals_px=residuals.reshape(-1, 2),
        u_pick_px=weight,
        freedom=float(freedom - int(free.sum())) if from_points else math.inf,
        spread_px=spread,
        misfits=misfits,
        chance=chance,
    )


def points_of(pairs: Sequence[Sequence[float]]) -> Points:
    """Return pairs of numbers as points, shape (n, 2)."""
    return np.array(pairs, dtype=np.float64).reshape(-1, 2)


def check_points(points_mm: Array, points_px: Array) -> None:
    """Raise DomainError where points cannot carry a plane."""
    if points_mm.shape != points_px.shape or points_mm.ndim != 2 or points_mm.shape[1] != 2:
        raise DomainError("every known point takes one place in mm and one in px", "known")
    if len(points_px) < 4:
        raise DomainError(f"a plane takes at least four known points; here are {len(points_px)}", "known")
    if not (np.isfinite(points_mm).all() and np.isfinite(points_px).all()):
        raise DomainError("the known points must be finite numbers", "known")
    for points, unit in ((points_mm, "mm"), (points_px, "px")):
        sizes = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
        if sizes[1] <= 1e-3 * sizes[0] or sizes[0] == 0:
            raise DomainError(
                f"the known points lie on one line in {unit}; a plane takes four corners", "known"
            )
    if len(points_px) == 4:
        for left_out in range(4):
            kept = np.delete(points_px, left_out, axis=0)
            area = abs(_area(kept))
            if area < 1e-3 * abs(_hull_size(points_px)) ** 2:
                raise DomainError("three of the four known corners lie on one line", "known")


def project(matrix: Array, points: Array) -> Array:
    """Return points, shape (n, 2), through a homography."""
    x, y = points[..., 0], points[..., 1]
    bottom = matrix[2, 0] * x + matrix[2, 1] * y + matrix[2, 2]
    top = [matrix[row, 0] * x + matrix[row, 1] * y + matrix[row, 2] for row in (0, 1)]
    return np.stack([top[0] / bottom, top[1] / bottom], axis=-1)


def slope_of(function: Callable[[Array], Array], at: Array, steps: Array) -> Array:
    """Return the derivative of a function of several numbers by central differences, one column a number."""
    columns = []
    for number, step in enumerate(steps):
        ahead, behind = at.copy(), at.copy()
        ahead[number] += step
        behind[number] -= step
        columns.append((function(ahead) - function(behind)) / (2 * step))
    return np.stack(columns, axis=-1) if columns else np.zeros((len(function(at)), 0))


def _slopes(function: Callable[[Array], Array], at: Array) -> Array:
    return slope_of(function, at, np.full(len(at), _STEP * 10))


def _frame(known: KnownPoints) -> tuple[float, float, float, float, float, float]:
    numbers = []
    for points in (known.points_mm, known.points_px):
        middle = points.mean(axis=0)
        numbers += [float(middle[0]), float(middle[1]), float(np.linalg.norm(points - middle, axis=1).mean())]
    return tuple(numbers)  # type: ignore[return-value]


def _homography(eight: Array, frame: tuple[float, float, float, float, float, float]) -> Array:
    """Return the homography from mm to px of its eight numbers in scaled coordinates."""
    x_mm, y_mm, reach_mm, x_px, y_px, reach_px = frame
    into = np.array([[1 / reach_mm, 0, -x_mm / reach_mm], [0, 1 / reach_mm, -y_mm / reach_mm], [0, 0, 1]])
    out = np.array([[reach_px, 0, x_px], [0, reach_px, y_px], [0, 0, 1]])
    return np.asarray(out @ np.append(eight, 1.0).reshape(3, 3) @ into)


def _start(
    known: KnownPoints, lens: AnyLens, frame: tuple[float, float, float, float, float, float]
) -> Array:
    x_mm, y_mm, reach_mm, x_px, y_px, reach_px = frame
    source = (known.points_mm - (x_mm, y_mm)) / reach_mm
    goal = (lens.straighten(known.points_px) - (x_px, y_px)) / reach_px
    found = fit_homography(source, goal)
    return np.asarray(found.ravel()[:8])


def _held_lens(
    numbers: Array,
    lens: AnyLens,
    known: KnownPoints,
    frame: tuple[float, float, float, float, float, float],
    gain: Array,
) -> Array:
    """Return what the doubt about a lens that the fit held fast adds to the covariance of plane and lens."""
    homography = _homography(numbers[:8], frame)
    straight = project(homography, known.points_mm)
    moved = slope_of(
        lambda some: lens.with_numbers(some).bend(straight).ravel(),
        lens.numbers,
        np.full(len(lens.numbers), 1e-5),
    )
    answer = -gain @ moved
    answer[8:] += np.eye(len(lens.numbers))
    return np.asarray(answer @ lens.covariance_of_numbers @ answer.T)


def _size(known: KnownPoints, seen: Callable[[Array], Array], gain: Array) -> Array:
    """Return what the doubt about the known size adds to the covariance of plane and lens."""
    u_x, u_y = known.u_relative
    if u_x == 0 and u_y == 0:
        return np.zeros((len(gain), len(gain)))
    both = np.array([[u_x**2, known.correlation * u_x * u_y], [known.correlation * u_x * u_y, u_y**2]])
    moved = slope_of(lambda grown: seen(known.points_mm * (1 + grown)), np.zeros(2), np.full(2, 1e-5))
    answer = -gain @ moved
    return np.asarray(answer @ both @ answer.T)


def _find_misfits(residuals: Array, slope: Array, freedom: int, weight: float) -> tuple[int, ...]:
    """Return points that fit far worse than the others do, by deleted residuals, both coordinates together.

    Source:
        R. D. Cook, S. Weisberg, Residuals and Influence in Regression, 1982, externally studentised residuals;
        from memory. Shared out over the points by Bonferroni.
    """
    if freedom < ENOUGH_FREEDOM:
        return ()
    hat = slope @ np.linalg.solve(slope.T @ slope, slope.T)
    total = float((residuals**2).sum())
    found = []
    for number, own in enumerate(residuals):
        at = slice(2 * number, 2 * number + 2)
        left = np.eye(2) - hat[at, at]
        if np.linalg.cond(left) > 1e8:
            continue  # a point that the fit passes through whatever it is
        lost = float(own @ np.linalg.solve(left, own))
        without = max(total - lost, 1e-12) / (freedom - 2)
        chance = float(stats.f.sf(lost / 2 / without, 2, freedom - 2))
        if chance * len(residuals) < _FALSE_ALARM and float(np.hypot(*own)) > LEAST_MISFIT_PX:
            found.append(number)
    return tuple(found)


def _area(corners: Array) -> float:
    x, y = corners[:, 0], corners[:, 1]
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum() / 2)


def _hull_size(points: Array) -> float:
    return float(np.linalg.norm(np.ptp(points, axis=0)))
