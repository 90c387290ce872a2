"""Figures for a printer that nobody has read, and for handwork that nobody has measured, with their sources.

In: nothing. Out: AssumedFigure constants. Never: a figure that readings of the maker's own could replace.
Every figure is a standard deviation; a stated tolerance "either way" is taken to hold in 95 of 100 cases, so that
half of it is one. Not one of them was tried on paper.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AssumedFigure:
    """A figure that stands in for readings.

    Attributes:
        value: In the unit that the name of the constant ends in.
        source: Where it is from.
        is_seen: False where it is common practice or from memory, and no text was seen.
    """

    value: float
    source: str
    is_seen: bool


SHEET_TO_SHEET_MM = AssumedFigure(
    0.5, "office duplex standard, 0 ± 1 mm either way, Canon GP160DF service manual, p. 2-20", True
)
"""Shift of one pass from sheet to sheet, in either direction: the whole of the standard, to be careful."""

SYSTEMATIC_MM = AssumedFigure(
    0.56,
    "what is missing to 1.5 mm either way, the middle of 1 to 2 mm for desktop printers, from memory",
    False,
)
"""Shift that a printer nobody has read has on every sheet, in either direction."""

TURN_RAD = AssumedFigure(0.001, "a millimetre in a metre: common practice, no published source", False)
"""Turn of one pass from sheet to sheet, and of a printer on every sheet."""

SCALE = AssumedFigure(
    0.0005, "shrinking in the heat of the first pass: common practice, no published source", False
)
"""Scale of the back against the front, of a printer on every sheet."""

FOLD_MM = AssumedFigure(0.5, "cut and fold tolerance, 1 mm either way, saal-digital.com", True)
"""How far a fold lies from where it should."""

CUT_MM = AssumedFigure(0.5, "cut and fold tolerance, 1 mm either way, saal-digital.com", True)
"""How far the edge of a leaf that is tipped in lies from where it should."""

KNOCK_UP_MM = AssumedFigure(0.25, "half a millimetre either way: common practice, no published source", False)
"""How far a sheet stands above or below where it should at the head when it is sewn."""

GATHERING_MM = AssumedFigure(
    0.25, "half a millimetre either way: common practice, no published source", False
)
"""How far a gathering lies from where it should against the one before, in either direction."""

TIPPING_MM = AssumedFigure(0.5, "one millimetre either way: common practice, no published source", False)
"""How far a leaf that is tipped in lies from where it should, in either direction."""

TOLERANCE_MM = AssumedFigure(1.6, "a sixteenth of an inch (1.6 mm), trade customs, from memory", False)
"""How far the halves of a crossover may miss each other, where the maker says nothing."""
