"""The correction of the backs: what undoes the systematic part of the register.

In: MachineFit. Out: Affine. Never: applying it to a page (render/pdf), the random part, which nothing undoes.
"""

from __future__ import annotations

from doublure.errors import DomainError
from doublure.trade.press.affine import Affine
from doublure.trade.press.register.records import MachineFit

MOST_SHARE = 0.1
"""A printer that stretches or turns by more than this was read wrongly; no correction is made from it."""


def correction_of(fit: MachineFit) -> Affine:
    """Return the map to apply to the backs before they are printed, register coordinates.

    The exact inverse of the systematic map, not its negative: print it corrected, and the machine puts the
    back where it should lie; invert it, and the machine's own map is there again.

    Raises:
        DomainError: The map is no register map but a slip: it stretches or turns by more than a tenth.

    Source:
        docs/handbook/methods/register.md.
    """
    found = fit.systematic
    if max(abs(found.xx - 1), abs(found.xy), abs(found.yx), abs(found.yy - 1)) > MOST_SHARE:
        raise DomainError(
            "the readings say that the backs are stretched or turned by more than a tenth:"
            " check which mark is which, and which way right and down are counted",
            "fit",
        )
    return found.inverse()
