"""Readings before they are fitted: how far an eye can be trusted, and one sheet that is given twice.

In: readings. Out: uncertainties, names of twins. Never: fitting (fit.py).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from doublure.trade.press.register.records import SheetReadings

EYE_STEP_MM = 0.2
"""From line to line of the target's scales."""

BY_EYE_MM = EYE_STEP_MM / math.sqrt(12)
"""Standard uncertainty of the nearest line of such a scale: half a step either way, all places alike likely."""

_TENTH_MM = 0.1


def state_reading(u_mm: float | None, is_by_eye: bool) -> float | None:
    """Return the standard uncertainty of an offset, mm: what is stated, by eye at least what the scale leaves open.

    Args:
        u_mm: As stated; None where nothing is.
        is_by_eye: True where the lines of the target's scales were read.

    Source:
        Uniform distribution of half-width a: a/√3. JCGM 100:2008, 4.3.7, from memory.

    Examples:
        >>> round(state_reading(None, True), 3), state_reading(0.1, True), state_reading(None, False)
        (0.058, 0.1, None)
    """
    return max(u_mm or 0.0, BY_EYE_MM) if is_by_eye else u_mm


def find_twins(sheets: Sequence[SheetReadings], pictures: Mapping[str, str] | None = None) -> dict[str, str]:
    """Return the sheets that are an earlier one given again, and which.

    They are of one picture, or all their offsets are the same, mark by mark. Offsets that were read in a picture
    never repeat so. Those that all lie on tenths of a millimetre, as an eye reads them, may: they are no twins.

    Args:
        sheets: In the order in which they count.
        pictures: Of each sheet by its name, where it was read in one.

    Examples:
        >>> from doublure.trade.press.register.records import MarkReading
        >>> one = (MarkReading("A1", 0.0, 0.0, 0.213, -0.107),)
        >>> find_twins([SheetReadings("a", one), SheetReadings("b", one)])
        {'b': 'a'}
    """
    first: dict[object, str] = {}
    found = {}
    for sheet in sheets:
        signs: list[object] = [picture] if (picture := (pictures or {}).get(sheet.name)) else []
        if sheet.marks and not _is_coarse(sheet):
            signs.append(
                frozenset((one.name, round(one.dx_mm, 6), round(one.dy_mm, 6)) for one in sheet.marks)
            )
        earlier = next((first[sign] for sign in signs if sign in first), None)
        if earlier is not None:
            found[sheet.name] = earlier
        for sign in signs:
            first.setdefault(sign, earlier or sheet.name)
    return found


def _is_coarse(sheet: SheetReadings) -> bool:
    tenths = [value / _TENTH_MM for one in sheet.marks for value in (one.dx_mm, one.dy_mm)]
    return all(abs(value - round(value)) < 1e-6 for value in tenths)
