"""A register map in the words of the trade, and back.

In: Affine or MapParts. Out: the other. Never: fitting, uncertainty.
Angles are clockwise as seen from the front, since y points downwards.
"""

from __future__ import annotations

import math

from doublure.trade.press.affine import Affine
from doublure.trade.press.register.records import MapParts


def split_map(register: Affine) -> MapParts:
    """Return the shift, rotation, scales and shear of a map.

    The rotation is the mean of what the two axes are turned by, the shear their difference, so that neither
    axis is preferred. `join_parts` gives the map back exactly.

    Source:
        Follows from the images of the two unit vectors; no published source.

    Examples:
        >>> parts = split_map(Affine(xx=1.001, yy=0.999, x_mm=0.4))
        >>> parts.shift_x_mm, round(parts.scale_x, 6), round(parts.scale_y, 6)
        (0.4, 1.001, 0.999)
    """
    turn_x = math.atan2(register.yx, register.xx)
    turn_y = math.atan2(-register.xy, register.yy)
    shear = math.remainder(turn_y - turn_x, math.tau)
    return MapParts(
        shift_x_mm=register.x_mm,
        shift_y_mm=register.y_mm,
        rotation_rad=math.remainder(turn_x + shear / 2, math.tau),
        scale_x=math.hypot(register.xx, register.yx),
        scale_y=math.hypot(register.xy, register.yy),
        shear_rad=shear,
    )


def join_parts(parts: MapParts) -> Affine:
    """Return the map that has these parts.

    Examples:
        >>> parts = MapParts(0.3, -0.1, 0.002, 1.001, 0.999, 0.0005)
        >>> again = split_map(join_parts(parts))
        >>> round(again.rotation_rad, 9), round(again.shear_rad, 9)
        (0.002, 0.0005)
    """
    turn_x = parts.rotation_rad - parts.shear_rad / 2
    turn_y = parts.rotation_rad + parts.shear_rad / 2
    return Affine(
        xx=parts.scale_x * math.cos(turn_x),
        xy=-parts.scale_y * math.sin(turn_y),
        yx=parts.scale_x * math.sin(turn_x),
        yy=parts.scale_y * math.cos(turn_y),
        x_mm=parts.shift_x_mm,
        y_mm=parts.shift_y_mm,
    )
