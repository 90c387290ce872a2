"""Affine maps of the plane, mm to mm.

In: coefficients and points. Out: Affine, points. Never: fitting (register/), PDF operators (render/pdf).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from doublure.errors import DomainError


@dataclass(frozen=True, slots=True)
class Affine:
    """x' = xx·x + xy·y + x_mm, y' = yx·x + yy·y + y_mm.

    Attributes:
        xx, xy, yx, yy: The linear part, no unit.
        x_mm, y_mm: The shift, mm.
    """

    xx: float = 1.0
    xy: float = 0.0
    yx: float = 0.0
    yy: float = 1.0
    x_mm: float = 0.0
    y_mm: float = 0.0

    def apply(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """Return where a point goes, mm."""
        return (
            self.xx * x_mm + self.xy * y_mm + self.x_mm,
            self.yx * x_mm + self.yy * y_mm + self.y_mm,
        )

    def after(self, first: Affine) -> Affine:
        """Return the map that does `first`, then this one."""
        return Affine(
            self.xx * first.xx + self.xy * first.yx,
            self.xx * first.xy + self.xy * first.yy,
            self.yx * first.xx + self.yy * first.yx,
            self.yx * first.xy + self.yy * first.yy,
            *self.apply(first.x_mm, first.y_mm),
        )

    def inverse(self) -> Affine:
        """Return the map that undoes this one.

        Raises:
            DomainError: It flattens the plane to a line or is not finite.
        """
        det = self.xx * self.yy - self.xy * self.yx
        if not math.isfinite(det) or abs(det) < 1e-12:
            raise DomainError("the map flattens the sheet and cannot be undone", "self")
        xx, xy, yx, yy = self.yy / det, -self.xy / det, -self.yx / det, self.xx / det
        return Affine(xx, xy, yx, yy, -(xx * self.x_mm + xy * self.y_mm), -(yx * self.x_mm + yy * self.y_mm))

    @property
    def is_identity(self) -> bool:
        """True where nothing moves."""
        return self == IDENTITY


IDENTITY = Affine()
