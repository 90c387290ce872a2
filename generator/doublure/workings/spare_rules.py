"""The maker's rule for spares, as the trade takes it.

In: the rule of a note. Out: SpareRule. Never: how many spares it gives (trade/making/spares.py).
"""

from __future__ import annotations

from doublure.model.parts import Spares
from doublure.trade.making.spares import FixedSpares, ShareSpares, SpareRule


def convert_spares(spares: Spares | None) -> SpareRule | None:
    """Return the trade's rule for the one of a note."""
    if spares is None:
        return None
    if spares.count is not None:
        return FixedSpares(spares.count)
    return ShareSpares(spares.share if spares.share is not None else 0.0)
