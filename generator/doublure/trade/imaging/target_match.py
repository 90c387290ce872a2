"""Tells which spot of a picture is which mark of a register target.

In: spots, a target. Out: Match (marks of the front with their places in the picture). Never: the pixels.
Each pair of a disc and a ring tells how the sheet is turned and whether it is seen from behind; from one disc
to the next the grid grows over the picture, following perspective as it goes; the solid discs without a ring
say which corner is which and which sheet the target was made for.
"""

from __future__ import annotations

import itertools
import math
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from doublure.trade.imaging.target_spots import Spot
from doublure.trade.imaging.target_view import View, fit_view
from doublure.trade.press.target import DISC_RADIUS_MM, RING_OUTER_MM, STEP_MM, Target

Array = NDArray[np.float64]
Cell = tuple[int, int]  # column, row

#: A ring's diameter and its distance over the diameter of its disc, and by what factor they may be off.
_RING_RATIO = RING_OUTER_MM / DISC_RADIUS_MM
_STEP_RATIO = math.hypot(*STEP_MM) / (2 * DISC_RADIUS_MM)
_RING_SLACK, _STEP_SLACK = 1.45, 1.6
#: How far a pair's direction and length may lie from those of most pairs.
_TURN_SLACK_RAD, _LENGTH_SLACK = math.radians(28), 1.4
#: A neighbour is looked for within this share of the shorter pitch.
_REACH = 0.34
_LEAST_PAIRS = 4
_LEAST_CELLS = 6
_SEEDS = 4
#: A spot this near its place belongs there.
_NEAR_MM = 1.2


@dataclass(frozen=True, slots=True)
class Match:
    """Which spots are the front's marks.

    Attributes:
        view: A first view of the sheet, from the front's marks of the grid.
        fronts: Spot of each mark found, by its number in the target.
        code: Spot of each solid disc without a ring, None where there is none at its place.
        rings: Spot of each back mark found near where it should lie, by its number in the target.
        code_off_mm: How far the discs without a ring lie from their places, root mean square.
    """

    view: View
    fronts: dict[int, Spot]
    code: tuple[Spot | None, ...]
    rings: dict[int, Spot]
    code_off_mm: float


@dataclass(frozen=True, slots=True)
class SpotPairs:
    """Discs that have a ring beside them as the target's have.

    Attributes:
        discs: Each once.
        step_px: From disc to ring, the median.
    """

    discs: tuple[Spot, ...]
    step_px: tuple[float, float]


def pair_spots(spots: Sequence[Spot]) -> tuple[SpotPairs, ...]:
    """Return the discs with a ring beside them, together where the rings lie the same way.

    A name that is blurred to a blob may stand beside every ring as well; which of the ways is the target's own
    is for the grid to tell.

    Args:
        spots: All spots.

    Returns:
        The likeliest first, at most three; () where there are no pairs.
    """
    found: list[tuple[Spot, Spot, complex, float]] = []
    rings = [spot for spot in spots if spot.is_ring]
    for disc in spots:
        if disc.is_ring:
            continue
        for ring in rings:
            ratio = ring.size_px / disc.size_px / _RING_RATIO
            step = complex(ring.x_px - disc.x_px, ring.y_px - disc.y_px)
            length = abs(step) / disc.size_px / _STEP_RATIO
            if 1 / _RING_SLACK < ratio < _RING_SLACK and 1 / _STEP_SLACK < length < _STEP_SLACK:
                off = abs(math.log(ratio)) / 0.12 + abs(math.log(length)) / 0.25
                found.append((disc, ring, step, math.exp(-off)))
    groups: list[SpotPairs] = []
    while found and len(groups) < 3:
        steps = np.array([step for _, _, step, _ in found])
        weights = np.array([weight for *_, weight in found])
        votes = [float(weights[_alike(steps, step)].sum()) for step in steps]
        best = int(np.argmax(votes))
        is_like = _alike(steps, steps[best])
        if pairs := _gather([one for one, like in zip(found, is_like, strict=True) if like], steps[best]):
            groups.append(pairs)
        found = [one for one, like in zip(found, is_like, strict=True) if not like]
    return tuple(groups)


def _gather(found: Sequence[tuple[Spot, Spot, complex, float]], step: complex) -> SpotPairs | None:
    """Return the pairs that lie nearest a step, each spot once; None for too few."""
    chosen: dict[Spot, complex] = {}
    taken: set[Spot] = set()
    # The likeliest shapes first; among these, the nearest to the step of most.
    for disc, ring, own, _ in sorted(found, key=lambda one: abs(one[2] - step) / abs(step) - one[3]):
        if disc not in chosen and ring not in taken:
            chosen[disc] = own
            taken.add(ring)
    if len(chosen) < _LEAST_PAIRS:
        return None
    values = np.array(list(chosen.values()))
    return SpotPairs(tuple(chosen), (float(np.median(values.real)), float(np.median(values.imag))))


def _alike(steps: NDArray[np.complex128], step: complex) -> NDArray[np.bool_]:
    ratio = steps / step
    length = np.abs(ratio)
    return np.asarray(
        (np.abs(np.angle(ratio)) < _TURN_SLACK_RAD) & (length < _LENGTH_SLACK) & (length > 1 / _LENGTH_SLACK)
    )


def match_target(
    spots: Sequence[Spot], groups: Sequence[SpotPairs], target: Target, width_px: int, height_px: int
) -> Match | None:
    """Return the likeliest match of spots with a target, or None where its grid is not to be seen.

    Args:
        spots: All spots.
        groups: As pair_spots returns them.
        target: The target.
        width_px, height_px: Size of the picture.
    """
    best: Match | None = None
    for pairs, mirrored in itertools.product(groups, (False, True)):
        grid = _grow(pairs, target, mirrored)
        if len(grid) < _LEAST_CELLS:
            continue
        for placed in _placings(grid, target):
            match = _judge(placed, spots, target, width_px, height_px)
            if match is not None and match.view.is_mirrored == mirrored and _beats(match, best):
                best = match
    return best


def _beats(match: Match, best: Match | None) -> bool:
    if best is None:
        return True
    found = [sum(spot is not None for spot in each.code) for each in (match, best)]
    if found[0] != found[1]:
        return found[0] > found[1]
    counts = [len(each.fronts) + len(each.rings) for each in (match, best)]
    return counts[0] > counts[1] or (counts[0] == counts[1] and match.code_off_mm < best.code_off_mm)


def _grow(pairs: SpotPairs, target: Target, mirrored: bool) -> dict[Cell, Spot]:
    """Return the largest grid that grows from one of the discs near the middle."""
    places = np.array([(spot.x_px, spot.y_px) for spot in pairs.discs])
    towards = complex(-STEP_MM[0] if mirrored else STEP_MM[0], STEP_MM[1])
    turn = complex(*pairs.step_px) / towards
    sign = -1 if mirrored else 1
    # Columns: where a millimetre to the right and one downwards lead, px.
    start = np.array([[sign * turn.real, -turn.imag], [sign * turn.imag, turn.real]])
    middle = np.median(places, axis=0)
    order = np.argsort(np.linalg.norm(places - middle, axis=1))
    grids = [_grow_from(int(seed), places, start, target) for seed in order[:_SEEDS]]
    largest = max(grids, key=len)
    return {cell: pairs.discs[i] for cell, i in largest.items()}


def _grow_from(seed: int, places: Array, start: Array, target: Target) -> dict[Cell, int]:
    pitch = (target.pitch_x_mm, target.pitch_y_mm)
    grid: dict[Cell, int] = {(0, 0): seed}
    taken = {seed}
    queue: deque[tuple[Cell, Array]] = deque([((0, 0), start)])
    while queue:
        cell, local = queue.popleft()
        here = places[grid[cell]]
        reach = _REACH * min(np.linalg.norm(local[:, 0]) * pitch[0], np.linalg.norm(local[:, 1]) * pitch[1])
        # A step over a mark that was not found comes after the steps to neighbours.
        for way, axis in itertools.product((1, -1, 2, -2), (0, 1)):
            to = (cell[0] + way, cell[1]) if axis == 0 else (cell[0], cell[1] + way)
            between = (cell[0] + way // 2, cell[1]) if axis == 0 else (cell[0], cell[1] + way // 2)
            if to in grid or (abs(way) == 2 and between in grid):
                continue
            away = np.linalg.norm(places - (here + way * pitch[axis] * local[:, axis]), axis=1)
            near = int(away.argmin())
            if near in taken or away[near] > reach:
                continue
            grid[to] = near
            taken.add(near)
            turned = local.copy()
            turned[:, axis] = (places[near] - here) / (way * pitch[axis])
            queue.append((to, turned))
    return grid


def _placings(grid: dict[Cell, Spot], target: Target) -> Iterator[dict[int, Spot]]:
    """Yield each way in which most of a grown grid lies on the target's."""
    columns = [cell[0] for cell in grid]
    rows = [cell[1] for cell in grid]
    for left in range(-max(columns), target.columns - min(columns)):
        for top in range(-max(rows), target.rows - min(rows)):
            placed = {}
            for (column, row), spot in grid.items():
                i, j = column + left, row + top
                if 0 <= i < target.columns and 0 <= j < target.rows:
                    placed[j * target.columns + i] = spot
            if len(placed) >= max(_LEAST_CELLS, 0.8 * len(grid)):
                yield placed


def _judge(
    placed: dict[int, Spot], spots: Sequence[Spot], target: Target, width_px: int, height_px: int
) -> Match | None:
    """Fit a view to the placed discs, leave out those that do not agree, look for all other marks."""
    names = sorted(placed)
    points_mm = np.array([(target.marks[i].front_x_mm, target.marks[i].front_y_mm) for i in names])
    points_px = np.array([(placed[i].x_px, placed[i].y_px) for i in names])
    kept = np.ones(len(names), bool)
    for _ in range(4):
        if kept.sum() < _LEAST_CELLS or np.linalg.matrix_rank(points_mm[kept] - points_mm[kept].mean(0), 1.0) < 2:
            return None
        view = fit_view(points_mm[kept], points_px[kept], width_px, height_px)
        off = np.linalg.norm(view.to_mm(points_px) - points_mm, axis=1)
        again = off < max(0.5, 3.5 * float(np.median(off[kept])))
        if (again == kept).all():
            break
        kept = again
    if float(np.median(off[kept])) > _NEAR_MM:
        return None
    places = np.array([(spot.x_px, spot.y_px) for spot in spots])
    on_sheet = view.to_mm(places)
    discs = np.array([not spot.is_ring for spot in spots])
    sizes = np.array([spot.size_px for spot in spots])

    def nearest(x_mm: float, y_mm: float, radius_mm: float, want_disc: bool, within_mm: float) -> Spot | None:
        away = np.hypot(on_sheet[:, 0] - x_mm, on_sheet[:, 1] - y_mm)
        wide = 2 * radius_mm * view.px_per_mm(x_mm, y_mm)
        fits = (away < within_mm) & (discs == want_disc) & (sizes > wide / 1.4) & (sizes < wide * 1.4)
        if not fits.any():
            return None
        return spots[int(np.where(fits, away, np.inf).argmin())]

    fronts = {}
    rings = {}
    for i, mark in enumerate(target.marks):
        disc = nearest(mark.front_x_mm, mark.front_y_mm, DISC_RADIUS_MM, True, _NEAR_MM)
        if disc is not None:
            fronts[i] = disc
        ring = nearest(mark.x_mm, mark.y_mm, RING_OUTER_MM, False, 4.0)
        if ring is not None:
            rings[i] = ring
    code = tuple(nearest(x, y, DISC_RADIUS_MM, True, 2 * _NEAR_MM) for x, y in target.code)
    offs = [
        (view.to_mm(np.array([(spot.x_px, spot.y_px)]))[0] - np.array(point))
        for spot, point in zip(code, target.code, strict=True)
        if spot is not None
    ]
    off_mm = math.sqrt(float(np.mean([(off**2).sum() for off in offs]))) if offs else math.inf
    return Match(view, fronts, code, rings, off_mm)
