"""The misfit at points of the sheet, predicted when somebody looks at it: print files need none of it.

In: a fit or none, points. Out: a sequence of Misfit. Never: the sums (trade/press/register).
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import overload

from doublure.trade.press.register.predict import predict_misfit
from doublure.trade.press.register.records import MachineFit, Misfit


@dataclass(frozen=True, slots=True)
class PredictedMisfits(Sequence[Misfit]):
    """The misfit at some points, in their order; two are equal where what they rest on is.

    Attributes:
        fit: Of the machine; None where nobody has read it.
        points: Register coordinates, mm.
        corrected: True for what is left after the correction.
    """

    fit: MachineFit | None
    points: tuple[tuple[float, float], ...]
    corrected: bool

    def __len__(self) -> int:
        return len(self.points)

    @overload
    def __getitem__(self, index: int) -> Misfit: ...

    @overload
    def __getitem__(self, index: slice) -> tuple[Misfit, ...]: ...

    def __getitem__(self, index: int | slice) -> Misfit | tuple[Misfit, ...]:
        return _predict(self.fit, self.points, self.corrected)[index]


@functools.lru_cache(maxsize=8)
def _predict(
    fit: MachineFit | None, points: tuple[tuple[float, float], ...], corrected: bool
) -> tuple[Misfit, ...]:
    """Predict the misfit at some points; kept, since a live preview asks again and again for the same."""
    return tuple(predict_misfit(fit, x, y, corrected) for x, y in points)
