"""Whether a machine's true map lies in the 95 % region of the systematic map that was fitted.

In: MachineFit, a map. Out: RegionPlace. Never: prediction of single sheets (predict.py).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from doublure.errors import DomainError
from doublure.trade.press.affine import Affine
from doublure.trade.press.register.distributions import fisher_quantile, student_quantile
from doublure.trade.press.register.records import FitModel, MachineFit
from doublure.trade.press.register.spread import PARAMETERS, relate_points, shared_sigma

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_PLACES = {
    FitModel.SHIFT: ((0.0, 0.0),),
    FitModel.RIGID: ((-100.0, 0.0), (100.0, 0.0)),
    FitModel.SIMILARITY: ((-100.0, 0.0), (100.0, 0.0)),
    FitModel.AFFINE: ((-100.0, -70.0), (100.0, -70.0), (0.0, 70.0)),
}
"""Where the figures of each model are read off, mm; of a rigid map, its shift and what one side comes down."""


@dataclass(frozen=True, slots=True)
class RegionPlace:
    """Where a map lies against the region of the systematic part.

    Attributes:
        method: "hotelling" (T² of all figures together), "bonferroni" (Student's t of each figure) or "marks"
            (one sheet: the region of its own map, which says nothing of the next sheet).
        distance: The statistic.
        limit: Where the region ends; within it, `distance` is not larger.
    """

    method: str
    distance: float
    limit: float

    @property
    def is_inside(self) -> bool:
        """True where the map lies in the region."""
        return self.distance <= self.limit


def locate_systematic(fit: MachineFit, register: Affine, share: float = 0.95) -> RegionPlace:
    """Return where a map lies against the region that holds the machine's systematic part in that share.

    The figures of the map are compared as offsets at three places a sheet's reach apart (two for a similarity,
    one for a shift), which says the same as its coefficients, in mm. With S sheets and p figures:

    - S > p: T² = S·(m - μ)' C⁻¹ (m - μ), within p(S - 1)/(S - p) · F(p, S - p);
    - 1 < S <= p: the largest |m - μ|/(s/√S), within Student's t of S - 1 at 0.05/p;
    - S = 1: (m - μ)' V⁻¹ (m - μ)/(p σ²), within F(p, 2N - p), V from the places of the marks.

    What a model leaves out (the shear of a similarity) is not looked at.

    Raises:
        DomainError: One sheet without marks to spare.

    Source:
        H. Hotelling, Ann. Math. Stat. 2 (1931) 360-378, from memory. docs/handbook/methods/register.md.
    """
    import numpy as np

    count, figures = len(fit.sheets), PARAMETERS[fit.model]
    off = _offsets(fit.systematic, fit.model) - _offsets(register, fit.model)
    if count == 1:
        sheet = fit.sheets[0]
        if sheet.spread is None or sheet.sigma_mm is None:
            raise DomainError(
                f"test sheet {sheet.name}: its marks are too few to tell the error of reading", "fit"
            )
        places = _PLACES[fit.model]
        spread = np.block(
            [
                [np.reshape(relate_points(sheet.spread, fit.model, p, q), (2, 2)) for q in places]
                for p in places
            ]
        )
        if fit.model is FitModel.RIGID:
            reduce = np.array([[0.5, 0.0, 0.5, 0.0], [0.0, 1.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0]])
            spread = reduce @ spread @ reduce.T
        distance = float(off @ np.linalg.solve(spread, off)) / figures
        distance /= sheet.sigma_mm**2 + shared_sigma(sheet.spread, fit.unseen_mm) ** 2
        return RegionPlace("marks", distance, fisher_quantile(share, figures, 2 * sheet.marks - figures))
    values = np.array([_offsets(sheet.map, fit.model) for sheet in fit.sheets])
    if count > figures:
        covariance = np.atleast_2d(np.cov(values, rowvar=False))
        distance = count * float(off @ np.linalg.solve(covariance, off))
        limit = figures * (count - 1) / (count - figures) * fisher_quantile(share, figures, count - figures)
        return RegionPlace("hotelling", distance, limit)
    distance = float(np.max(np.abs(off) / np.std(values, axis=0, ddof=1))) * math.sqrt(count)
    return RegionPlace("bonferroni", distance, student_quantile(1 - (1 - share) / (2 * figures), count - 1))


def _offsets(register: Affine, model: FitModel) -> NDArray[np.float64]:
    import numpy as np

    found: list[float] = []
    for x, y in _PLACES[model]:
        to_x, to_y = register.apply(x, y)
        found += [to_x - x, to_y - y]
    return np.array(_reduce(found, model))


def _reduce(found: list[float], model: FitModel) -> list[float]:
    """Return three figures of the four of a rigid map: the two ends stay equally far apart."""
    if model is not FitModel.RIGID:
        return found
    return [(found[0] + found[2]) / 2, found[1], found[3]]
