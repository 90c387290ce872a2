"""A root of a function between two places where its signs differ, without waiting for scipy.optimize to load.

In: a function of one number, the two places. Out: the root. Never: a root outside them.
Loading scipy.optimize takes longer than all sums of a book's register; this is all that they need of it.
"""

from __future__ import annotations

from collections.abc import Callable

_MOST = 200


def find_root(function: Callable[[float], float], low: float, high: float, width: float) -> float:
    """Return where a continuous function is 0, by the false position of Illinois: safe as halving, and fast.

    Where one end stays for a second time, the value at it counts half, so that both ends close in. A step that
    leaves more than half of what was there three steps ago is followed by halving.

    Args:
        function: Of opposite signs at the two places, or 0 at one of them.
        low, high: The two places, low < high.
        width: How near the root is to be, > 0, in the unit of the places.

    Raises:
        ValueError: The signs are the same.

    Source:
        M. Dowell and P. Jarratt, BIT 11 (1971) 168-174, from memory; the tests compare with scipy's brentq.

    Examples:
        >>> round(find_root(lambda x: x * x - 2, 0, 2, 1e-9), 6)
        1.414214
    """
    at_low, at_high = function(low), function(high)
    if at_low == 0 or at_high == 0:
        return low if at_low == 0 else high
    if (at_low > 0) == (at_high > 0):
        raise ValueError("the function has the same sign at both places")
    stayed, widths = 0, [high - low] * 3
    for _ in range(_MOST):
        if high - low > widths[-3] / 2:
            place, stayed = (low + high) / 2, 0
        else:
            place = high - at_high * (high - low) / (at_high - at_low)
            # Not on an end itself, where rounding may put it: from a place just inside, both ends can close in.
            place = min(max(place, low + width / 2), high - width / 2)
        value = function(place)
        if value == 0:
            return place
        if (value > 0) == (at_low > 0):
            low, at_low = place, value
            at_high = at_high / 2 if stayed == 1 else at_high
            stayed = 1
        else:
            high, at_high = place, value
            at_low = at_low / 2 if stayed == -1 else at_low
            stayed = -1
        if high - low <= width:
            break
        widths.append(high - low)
    return high - at_high * (high - low) / (at_high - at_low)
