"""The distortion of a lens from points along edges that are straight in truth (plumb lines).

In: points along each edge, px, and what is known of the lens beforehand. Out: EdgeFit: a Lens with its covariance.
Never: finding edges in a picture, sizes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares  # type: ignore[import-untyped]

from doublure.errors import DomainError
from doublure.trade.imaging.plane_fit import LEAST_PICK_PX, USUAL_PICK_PX
from doublure.trade.imaging.plane_lens import Lens

Array = NDArray[np.float64]

#: Fewer points on an edge say nothing of its bend.
LEAST_POINTS = 3
#: From so many degrees of freedom the spread of the points is taken from themselves, where nobody states it.
ENOUGH_FREEDOM = 6


@dataclass(frozen=True, slots=True)
class EdgeFit:
    """A lens as straight edges show it.

    Attributes:
        lens: The lens, its covariance that of what is known with the edges.
        freedom: Points over what the edges themselves take, 2 each.
        spread_px: Root mean square by which points lie off their edges, over the degrees of freedom.
    """

    lens: Lens
    freedom: int
    spread_px: float


def fit_edges(edges: Sequence[Array], known: Lens, u_pick_px: float | None) -> EdgeFit:
    """Estimate the lens: the points of every edge on one line, as near to what is known before as may be.

    Least squares over the four numbers of the lens; each edge is the line of total least squares through its
    straightened points. What is known before enters as four more observations, so that edges which say little
    leave much uncertainty, and none fails.

    Args:
        edges: Points of each edge, shape (n, 2), n >= 3, px.
        known: What is known of the lens before, with its covariance (unknown_lens).
        u_pick_px: Standard uncertainty of a point, px; None to take it from the points, where they are enough.

    Raises:
        DomainError: There is no edge, or one with too few points or of no length.

    Source:
        D. C. Brown, Close-range camera calibration, Photogrammetric Engineering 37 (1971) 855-866 (plumb lines),
        from memory. Observations beforehand: JCGM 102:2011 and any text on adjustment of observations.
    """
    if not edges:
        raise DomainError("there is no straight edge", "edges")
    for number, points in enumerate(edges, start=1):
        if len(points) < LEAST_POINTS:
            raise DomainError(f"edge {number} has {len(points)} points; its bend shows from three", "edges")
        if float(np.ptp(points, axis=0).max()) < 3:
            raise DomainError(f"the points of edge {number} lie on one spot", "edges")
    spreads = np.sqrt(np.diag(known.covariance_of_numbers))
    freedom = sum(len(points) - 2 for points in edges)
    if not spreads.any():
        return EdgeFit(known, freedom, _spread(edges, known, freedom))
    u_px = USUAL_PICK_PX if u_pick_px is None else u_pick_px
    for _ in range(1 if u_pick_px is not None or freedom < ENOUGH_FREEDOM + 4 else 5):
        start, weight = known.numbers, u_px

        def misses(steps: Array, weight: float = weight, start: Array = start) -> Array:
            lens = known.with_numbers(start + steps * spreads)
            return np.concatenate([*(_off_line(points, lens) / weight for points in edges), steps])

        found = least_squares(misses, np.zeros(4), method="lm")
        lens = known.with_numbers(start + found.x * spreads)
        spread = _spread(edges, lens, freedom)
        if u_pick_px is None and freedom >= ENOUGH_FREEDOM + 4:
            # Four numbers come out of the points as well, at the most.
            u_px = max(spread * math.sqrt(freedom / (freedom - 4)), LEAST_PICK_PX)
    covariance = np.linalg.inv(found.jac.T @ found.jac) * np.outer(spreads, spreads)
    rows = tuple(tuple(float(value) for value in row) for row in covariance)
    return EdgeFit(replace(lens, covariance=rows), freedom, spread)


def _off_line(points: Array, lens: Lens) -> Array:
    """Return how far straightened points lie off their line, in pixels of the picture as it is."""
    straight = lens.straighten(points)
    away = straight - straight.mean(axis=0)
    _, _, axes = np.linalg.svd(away, full_matrices=False)
    # The sign of a normal is nobody's; held to one side, so that small steps make small changes.
    normal = axes[1] * (1 if axes[1][np.argmax(np.abs(axes[1]))] > 0 else -1)
    step = 0.5
    across = lens.straighten(points + step * normal) - lens.straighten(points - step * normal)
    return np.asarray((away @ normal) / np.maximum(across @ normal / (2 * step), 0.1))


def _spread(edges: Sequence[Array], lens: Lens, freedom: int) -> float:
    total = sum(float((_off_line(points, lens) ** 2).sum()) for points in edges)
    return math.sqrt(total / max(1, freedom))
