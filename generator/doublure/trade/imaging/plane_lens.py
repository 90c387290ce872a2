"""What a lens does to straight lines: a radial model with its uncertainty, or one that somebody published.

In: coefficients, points of the picture. Out: Lens, BrownLens; points as a lens without distortion shows them.
Never: estimating (plane_edges.py does), reading files.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Protocol, Self

import numpy as np
from numpy.typing import NDArray

from doublure.errors import DomainError

Array = NDArray[np.float64]

#: What the radial terms and the centre of a lens that nobody knows may be, one standard deviation: k1 and k2
#: over the half diagonal, the centre in half diagonals. Common practice, no published source: a wide lens
#: bends by 10 to 15 % in the corners. Looked over on photographs of a chessboard.
UNKNOWN_K1, UNKNOWN_K2, UNKNOWN_CENTRE = 0.12, 0.04, 0.03
#: How far a lens may bend before the model turns points about.
_LEAST_STRETCH = 0.05
#: Steps to find a point that a lens bends, at the most, and when they may end.
_STEPS, _CLOSE = 40, 1e-13


class AnyLens(Protocol):
    """What the fit of a plane asks of a lens."""

    @property
    def numbers(self) -> Array:
        """The uncertain numbers of the model."""

    @property
    def covariance_of_numbers(self) -> Array:
        """Their covariance."""

    def with_numbers(self, numbers: Array) -> Self:
        """Return the same lens with other numbers."""

    def straighten(self, points_px: Array) -> Array:
        """Return points, shape (n, 2), as a lens without distortion would show them, px."""

    def bend(self, points_px: Array) -> Array:
        """Return the points of the picture, shape (n, 2), that straighten would bring here, px."""


@dataclass(frozen=True, slots=True)
class Lens:
    """A radial model: a point d from the centre is moved to d (1 + k1 r² + k2 r⁴), r in half diagonals.

    Attributes:
        k1, k2: The radial terms; positive where straight edges bulge outwards in the picture.
        centre: Off the middle of the picture, in half diagonals, to the right and downwards.
        middle_px: Middle of the picture.
        half_px: Half its diagonal.
        covariance: Of k1, k2 and the centre's two numbers; zeros where they are taken for exact.
    """

    k1: float
    k2: float
    centre: tuple[float, float]
    middle_px: tuple[float, float]
    half_px: float
    covariance: tuple[tuple[float, ...], ...] = ((0.0,) * 4,) * 4

    @property
    def numbers(self) -> Array:
        """The four numbers of the model."""
        return np.array((self.k1, self.k2, *self.centre))

    @property
    def covariance_of_numbers(self) -> Array:
        """Their covariance, shape (4, 4)."""
        return np.array(self.covariance)

    @property
    def corner_shift(self) -> float:
        """How far a corner of the picture is moved, as a share of the half diagonal."""
        return self.k1 + self.k2

    @property
    def u_corner_shift(self) -> float:
        """Its standard uncertainty."""
        return math.sqrt(max(0.0, float(np.array(self.covariance)[:2, :2].sum())))

    def with_numbers(self, numbers: Array) -> Lens:
        """Return the same lens with other numbers."""
        k1, k2, right, down = (float(number) for number in numbers)
        return replace(self, k1=k1, k2=k2, centre=(right, down))

    def straighten(self, points_px: Array) -> Array:
        """Return points, shape (n, 2), as a lens without distortion would show them, px."""
        centre = np.array(self.middle_px) + self.half_px * np.array(self.centre)
        away = points_px - centre
        square = (away**2).sum(axis=-1, keepdims=True) / self.half_px**2
        return np.asarray(centre + away * (1 + square * (self.k1 + self.k2 * square)))

    def bend(self, points_px: Array) -> Array:
        """Return the points of the picture, shape (n, 2), that straighten would bring here, px."""
        centre = np.array(self.middle_px) + self.half_px * np.array(self.centre)
        away = (points_px - centre) / self.half_px
        goal = np.hypot(away[..., 0], away[..., 1])
        radius = goal.copy()
        for _ in range(_STEPS):
            square = radius**2
            stretch = 1 + square * (3 * self.k1 + 5 * self.k2 * square)
            step = (radius * (1 + square * (self.k1 + self.k2 * square)) - goal) / np.maximum(
                stretch, _LEAST_STRETCH
            )
            radius = np.maximum(radius - step, 0.0)
            if float(np.abs(step).max(initial=0.0)) < _CLOSE:
                break
        ratio = np.divide(radius, goal, out=np.ones_like(goal), where=goal > 0)
        return np.asarray(centre + away * ratio[..., None] * self.half_px)


@dataclass(frozen=True, slots=True)
class BrownLens:
    """A published lens in the model of D. C. Brown with a focal length and a centre, and no uncertainty.

    The model bends: with x, y from the centre over the focal length and r² = x² + y², x is shown at
    x (1 + k1 r² + k2 r⁴ + k3 r⁶) + 2 p1 x y + p2 (r² + 2 x²), and y likewise with p1 and p2 changed about.

    Attributes:
        focal_px: Focal length.
        centre_px: Principal point.
        radial: k1, k2, k3.
        tangential: p1, p2.

    Source:
        D. C. Brown, Photogrammetric Engineering 37 (1971) 855-866; the signs and order are those of
        OpenCV's calib3d, whose documentation states them; both from memory, and held against OpenCV.
    """

    focal_px: float
    centre_px: tuple[float, float]
    radial: tuple[float, float, float]
    tangential: tuple[float, float] = (0.0, 0.0)

    @property
    def numbers(self) -> Array:
        """None is uncertain."""
        return np.zeros(0)

    @property
    def covariance_of_numbers(self) -> Array:
        """Empty, shape (0, 0)."""
        return np.zeros((0, 0))

    def with_numbers(self, numbers: Array) -> BrownLens:
        """Return this lens: it has no uncertain number."""
        return self

    def bend(self, points_px: Array) -> Array:
        """Return where points, shape (n, 2), of a picture without distortion show in this one, px."""
        x, y = ((points_px - np.array(self.centre_px)) / self.focal_px).T
        dx, dy, stretch = self._moves(x, y)
        return np.asarray(
            np.stack([x * stretch + dx, y * stretch + dy], axis=-1) * self.focal_px + self.centre_px
        )

    def straighten(self, points_px: Array) -> Array:
        """Return points, shape (n, 2), as a lens without distortion would show them, px."""
        shown = ((points_px - np.array(self.centre_px)) / self.focal_px).T
        x, y = shown
        for _ in range(_STEPS):
            dx, dy, stretch = self._moves(x, y)
            stretch = np.maximum(stretch, _LEAST_STRETCH)
            before, (x, y) = x, ((shown[0] - dx) / stretch, (shown[1] - dy) / stretch)
            if float(np.abs(x - before).max(initial=0.0)) < _CLOSE:
                break
        return np.asarray(np.stack([x, y], axis=-1) * self.focal_px + np.array(self.centre_px))

    def _moves(self, x: Array, y: Array) -> tuple[Array, Array, Array]:
        k1, k2, k3 = self.radial
        p1, p2 = self.tangential
        square = x * x + y * y
        stretch = 1 + square * (k1 + square * (k2 + square * k3))
        return 2 * p1 * x * y + p2 * (square + 2 * x * x), p1 * (square + 2 * y * y) + 2 * p2 * x * y, stretch


def unknown_lens(width_px: int, height_px: int, doubt: float = UNKNOWN_K1) -> Lens:
    """Return a lens of which nothing is known: no distortion, and the doubt that it may have.

    Args:
        width_px, height_px: Size of the picture.
        doubt: Standard deviation of k1; that of k2 is half of it, that of the centre as usual. 0 for a scan.

    Raises:
        DomainError: The doubt is negative or more than a half, or the picture has no size.
    """
    if not 0 <= doubt <= 0.5:
        raise DomainError("the doubt about the lens lies between 0 and 0.5", "doubt")
    if width_px < 2 or height_px < 2:
        raise DomainError("the picture has no size", "width_px")
    spreads = np.array([doubt, doubt * UNKNOWN_K2 / UNKNOWN_K1, UNKNOWN_CENTRE, UNKNOWN_CENTRE])
    if doubt == 0:
        spreads = np.zeros(4)
    covariance = tuple(tuple(float(value) for value in row) for row in np.diag(spreads**2))
    middle = ((width_px - 1) / 2, (height_px - 1) / 2)
    return Lens(0.0, 0.0, (0.0, 0.0), middle, math.hypot(width_px, height_px) / 2, covariance)
