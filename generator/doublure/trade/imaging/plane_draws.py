"""The check of a measurement by drawing lots: points, size and lens drawn anew, the plane fitted anew.

In: what the measurement was made of. Out: Drawn. Never: lots without a seed.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from doublure.trade.imaging.plane_fit import KnownPoints, fit_plane
from doublure.trade.imaging.plane_lengths import Formula
from doublure.trade.imaging.plane_lens import AnyLens
from doublure.trade.imaging.plane_propagation import Drawn, draw_lots

Array = NDArray[np.float64]


def draw_measurements(
    known: KnownPoints,
    lens: AnyLens,
    u_pick_px: float,
    wanted_px: Array,
    formula: Formula,
    draws: int,
    seed: int,
    with_lens: bool = False,
) -> Drawn:
    """Measure again and again with drawn picks, sizes and lenses.

    Args:
        known, lens, with_lens: As for fit_plane.
        u_pick_px: Standard uncertainty of a pick.
        wanted_px, formula: As for measure_lengths.
        draws, seed: As for draw_lots.

    Raises:
        DomainError: As for draw_lots.
    """
    at, count = known.points_px.size, known.points_px.size + wanted_px.size
    numbers = lens.numbers
    inputs = np.concatenate([known.points_px.ravel(), wanted_px.ravel(), np.zeros(2), numbers])
    covariance = np.zeros((len(inputs), len(inputs)))
    covariance[:count, :count] = np.eye(count) * u_pick_px**2
    u_x, u_y = known.u_relative
    both = known.correlation * u_x * u_y
    covariance[count : count + 2, count : count + 2] = [[u_x**2, both], [both, u_y**2]]
    covariance[count + 2 :, count + 2 :] = lens.covariance_of_numbers

    def measure(some: Array) -> Array:
        grown = KnownPoints(known.points_mm * (1 + some[count : count + 2]), some[:at].reshape(-1, 2))
        fit = fit_plane(grown, lens.with_numbers(some[count + 2 :]), u_pick_px, with_lens)
        return formula(fit.to_mm(some[at:count].reshape(-1, 2)))

    return draw_lots(measure, inputs, covariance, draws, seed)
