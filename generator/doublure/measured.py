"""A number with its standard uncertainty.

In: numbers. Out: Measured. Never: units as text (quantities.py parses and prints them).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Measured:
    """A measured quantity.

    Attributes:
        value: Best estimate, in the unit that the holding field's name gives (mm, g/m² …).
        u: Standard uncertainty (one standard deviation, JCGM 100:2008, 2.3.1) in the same unit;
            None where the author stated none.
        text: As the author wrote it, for display; "" where it was computed.
    """

    value: float
    u: float | None = None
    text: str = ""
