"""Reads where the print sits on its sheet, from the sheet's edges in a picture of a register target.

In: a grey picture, a view, the target. Out: SeatReading. Never: guessing; what is not clearly seen is None.
"""

from __future__ import annotations

import math

import cv2
import numpy as np
from numpy.typing import NDArray

from doublure.trade.book.gatherings import Side
from doublure.trade.imaging.target_view import View
from doublure.trade.press.register.records import SeatReading
from doublure.trade.press.target import Edge, Target

Array = NDArray[np.float64]

#: How far from its place an edge is looked for, and in what steps, mm.
_REACH_MM, _STEP_MM = 6.0, 0.1
#: Stations along an edge; corners and rulers are left out.
_STATION_MM, _CORNER_MM, _RULER_MM = 1.5, 10.0, 4.5
#: Least step of the light across an edge, as a share of the lighter side, and of stations that agree.
_LEAST_CONTRAST, _LEAST_SHARE, _LEAST_STATIONS = 0.08, 0.6, 12
#: Stations agree with a straight edge within this.
_STRAIGHT_MM = 0.15
#: Edges of one sheet are square to each other within this; else no turn is told.
_SQUARE_RAD = 0.004


def read_seat(grey: NDArray[np.float32], view: View, target: Target) -> SeatReading:
    """Return where the front sits on its sheet, as far as the edges of the sheet show it.

    A shift needs both edges across it, since sheets are cut a little larger or smaller than they are called; a
    turn needs two edges that agree.

    Args:
        grey: The picture.
        view: Of the front's print.
        target: The target.
    """
    found = {edge: _find_edge(grey, view, target, edge) for edge in Edge}
    left, right, head, foot = (found[edge] for edge in (Edge.LEFT, Edge.RIGHT, Edge.HEAD, Edge.FOOT))
    dx = -(left[0] + right[0]) / 2 if left and right else None
    dy = -(head[0] + foot[0]) / 2 if head and foot else None
    # An edge's slope as a turn of the sheet against the print, clockwise with y downwards.
    turns = [-edge[1] for edge in (left, right) if edge] + [edge[1] for edge in (head, foot) if edge]
    turn = None
    if len(turns) >= 2 and max(turns) - min(turns) < _SQUARE_RAD:
        turn = -sum(turns) / len(turns)
    return SeatReading(dx, dy, turn)


def _find_edge(
    grey: NDArray[np.float32], view: View, target: Target, edge: Edge
) -> tuple[float, float] | None:
    """Return how far an edge lies right of or below its place at its middle, mm, and its slope; None if unseen."""
    upright = edge in (Edge.LEFT, Edge.RIGHT)
    length = target.sheet_height_mm if upright else target.sheet_width_mm
    place = (target.sheet_width_mm if upright else target.sheet_height_mm) / 2
    outwards = -1.0 if edge in (Edge.LEFT, Edge.HEAD) else 1.0
    stations = _stations(target, edge, length)
    if len(stations) < _LEAST_STATIONS:
        return None
    depths = np.arange(-_REACH_MM, _REACH_MM + _STEP_MM / 2, _STEP_MM)
    aside = np.linspace(-0.5, 0.5, 5)
    along = (stations[:, None, None] + aside[None, None, :]) + 0 * depths[None, :, None]
    across = outwards * (place + depths[None, :, None]) + 0 * along
    points = np.stack([across, along] if upright else [along, across], axis=-1)
    places = view.to_px(points)
    # Grey 0 outside the picture is as good as unseen: such stations fail by NaN.
    u, v = places[..., 0].astype(np.float32), places[..., 1].astype(np.float32)
    shape = (u.shape[0] * u.shape[1], u.shape[2])
    seen = cv2.remap(grey, u.reshape(shape), v.reshape(shape), cv2.INTER_LINEAR)
    inside = (u > 1) & (v > 1) & (u < grey.shape[1] - 2) & (v < grey.shape[0] - 2)
    profiles = np.where(inside, np.asarray(seen).reshape(u.shape), np.nan).mean(axis=2)
    steps = [_find_step(profile) for profile in profiles.astype(np.float64)]
    kept = [(s, depths[0] + at * _STEP_MM, rise) for s, (at, rise) in zip(stations, steps, strict=True) if rise]
    if not kept:
        return None
    rising = np.median([math.copysign(1, rise) for _, _, rise in kept])
    points_on = np.array([(s, outwards * depth) for s, depth, rise in kept if rise * rising > 0])
    if len(points_on) < max(_LEAST_STATIONS, _LEAST_SHARE * len(stations)):
        return None
    return _fit_line(points_on, len(stations))


def _stations(target: Target, edge: Edge, length_mm: float) -> Array:
    count = int((length_mm / 2 - _CORNER_MM) / _STATION_MM)
    stations = np.arange(-count, count + 1) * _STATION_MM
    free = np.ones(len(stations), bool)
    mirrored = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT}
    for ruler in target.rulers:
        seen = ruler.edge if ruler.side is Side.FRONT else mirrored.get(ruler.edge, ruler.edge)
        if seen is edge:
            turned = ruler.side is Side.BACK and edge in (Edge.HEAD, Edge.FOOT)
            free &= np.abs(stations - (-ruler.along_mm if turned else ruler.along_mm)) > _RULER_MM
    if edge in (Edge.HEAD, Edge.FOOT):
        free &= np.abs(stations) > 1.0  # the fold line
    return np.asarray(stations[free])


def _find_step(profile: Array) -> tuple[float, float]:
    """Return where the light steps most, in samples, and by how much; (0, 0) where there is no clear step."""
    half, far = 3, 25
    if not np.isfinite(profile).all():
        return 0.0, 0.0
    rise = profile[2 * half :] - profile[: -2 * half]
    peak = int(np.abs(rise).argmax()) + half
    if peak < far // 2 or peak > len(profile) - far // 2 - 1:
        return 0.0, 0.0
    before = float(np.median(profile[max(0, peak - far) : peak - 6]))
    after = float(np.median(profile[peak + 7 : peak + far + 1]))
    step = after - before
    if abs(step) < _LEAST_CONTRAST * max(before, after, 1e-6):
        return 0.0, 0.0
    middle = (before + after) / 2
    part = (profile[peak - 6 : peak + 7] - middle) * math.copysign(1, step)
    crossing = np.flatnonzero((part[:-1] <= 0) & (part[1:] > 0))
    if not len(crossing):
        return 0.0, 0.0
    i = int(crossing[np.abs(crossing - 6).argmin()])
    return peak - 6 + i + float(-part[i] / (part[i + 1] - part[i])), step


def _fit_line(points: Array, stations: int) -> tuple[float, float] | None:
    kept = np.abs(points[:, 1] - np.median(points[:, 1])) < 1.5
    offset = slope = 0.0
    for reach in (0.6, 0.3, _STRAIGHT_MM, _STRAIGHT_MM):
        if kept.sum() < _LEAST_STATIONS:
            return None
        slope, offset = (float(value) for value in np.polyfit(points[kept, 0], points[kept, 1], 1))
        kept = np.abs(points[:, 1] - offset - slope * points[:, 0]) < reach
    if kept.sum() < max(_LEAST_STATIONS, _LEAST_SHARE * stations):
        return None
    return offset, slope
