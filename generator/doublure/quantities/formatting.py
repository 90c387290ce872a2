"""Quantities as text for the maker: the uncertainty fixes the digits, narrow spaces keep them together.

In: numbers in the units used inside, or Measured. Out: text that the parsers read back.
Never: deciding what to show.
"""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from doublure.measured import Measured
from doublure.quantities.numbers import NARROW_SPACE as NS

_INCH = 25.4


def format_length_mm(length: float | Measured, u_mm: float | None = None) -> str:
    """Return "63.5 ± 1.5 mm".

    Args:
        length: Length, mm, or a Measured in mm.
        u_mm: Standard uncertainty, mm; left out where `length` is a Measured.

    Returns:
        Text. The uncertainty is shown with two digits where it begins with 1 or 2, else with one, and the
        value is rounded to the same place. Without an uncertainty: to 0.1 mm from 10 mm up, to 0.01 mm from
        1 mm, to 0.001 mm below (three digits at least).
    """
    value, u = _split(length, u_mm)
    if u is not None:
        return _join(*_round_pair(value, u), "mm")
    size = abs(value)
    return _join(_round_plain(value, 1 if size >= 10 else 2 if size >= 1 else 3), None, "mm")


def format_length_in(length: float | Measured, u_mm: float | None = None) -> str:
    """Return "2 1/2 in", or decimals where no fraction is near enough.

    Args:
        length: Length, mm, or a Measured in mm.
        u_mm: Standard uncertainty, mm; left out where `length` is a Measured.

    Returns:
        Text. The coarsest fraction, down to 1/16 in, that lies within half the uncertainty; without an
        uncertainty within 0.1 mm or 1 % of the length, whichever is less. Else decimals: as many as the
        uncertainty allows, or three (four below 1 in).
    """
    value, u = _split(length, u_mm)
    fraction = _near_fraction(value, u / 2 if u is not None else min(0.1, abs(value) / 100))
    if fraction is not None:
        shown_u = None if u is None else _round_pair(value / _INCH, u / _INCH)[1]
        return _join(_show_fraction(fraction), shown_u, "in")
    inches = value / _INCH
    if u is not None:
        return _join(*_round_pair(inches, u / _INCH), "in")
    return _join(_round_plain(inches, 3 if abs(inches) >= 1 else 4), None, "in")


def format_both(length: float | Measured, u_mm: float | None = None) -> str:
    """Return "63.5 ± 1.5 mm (2 1/2 in)"; the uncertainty is said once."""
    value, u = _split(length, u_mm)
    inches = format_length_in(value, u)
    if u is not None and "±" in inches:
        inches = inches.split(f"{NS}±")[0] + f"{NS}in"
    return f"{format_length_mm(value, u)} ({inches})"


def format_written(length: Measured) -> str:
    """Return what the author wrote, with mm after another unit; computed where text is empty."""
    if not length.text:
        return format_length_mm(length)
    written = length.text.strip()
    if written.endswith("mm"):
        return written
    return f"{written} ({format_length_mm(length)})"


def format_size(width: float | Measured, height: float | Measured, *, inches: bool = False) -> str:
    """Return "64 × 121 mm", or "2 1/2 × 4 3/4 in"; each side keeps its uncertainty.

    In inches both sides are fractions or neither is: a size half in fractions reads badly.
    """
    if not inches:
        return f"{format_length_mm(width).removesuffix(f'{NS}mm')}{NS}×{NS}{format_length_mm(height)}"
    shown = [format_length_in(side) for side in (width, height)]
    if any("/" in side for side in shown) and any("." in side for side in shown):
        shown = [_join(*_decimal_inches(side), "in") for side in (width, height)]
    return f"{shown[0].removesuffix(f'{NS}in')}{NS}×{NS}{shown[1]}"


def _decimal_inches(length: float | Measured) -> tuple[str, str | None]:
    value, u = _split(length, None)
    if u is not None:
        return _round_pair(value / _INCH, u / _INCH)
    return _round_plain(value / _INCH, 3 if abs(value) >= _INCH else 4), None


def format_grammage(grammage: float | Measured, u_gsm: float | None = None) -> str:
    """Return "90 ± 2 g/m²"; without an uncertainty to 0.1 g/m² below 100 g/m², else whole."""
    value, u = _split(grammage, u_gsm)
    if u is not None:
        return _join(*_round_pair(value, u), "g/m²")
    return _join(_round_plain(value, 1 if abs(value) < 100 else 0), None, "g/m²")


def format_angle(angle: float | Measured, u_rad: float | None = None) -> str:
    """Return radians as degrees: "0.40 ± 0.12°"; without an uncertainty to 0.01°."""
    value, u = _split(angle, u_rad)
    if u is not None:
        shown, shown_u = _round_pair(math.degrees(value), math.degrees(u))
        return f"{shown}{NS}±{NS}{shown_u}°"
    return f"{_round_plain(math.degrees(value), 2)}°"


def format_duration(minutes: float) -> str:
    """Return minutes as "40 min", "1 h 20 min", "2 d 3 h"; rounded to the minute, to the second below one.

    Raises:
        ValueError: The duration is negative.
    """
    if minutes < 0:
        raise ValueError("a duration cannot be negative")
    if 0 < minutes < 1:
        return f"{max(1, round(minutes * 60))}{NS}s"
    left = int(Decimal(repr(float(minutes))).quantize(Decimal(1), ROUND_HALF_UP))
    days, left = divmod(left, 1440)
    hours, left = divmod(left, 60)
    parts = [f"{n}{NS}{unit}" for n, unit in ((days, "d"), (hours, "h"), (left, "min")) if n]
    return NS.join(parts) or f"0{NS}min"


def format_hours(minutes: float) -> str:
    """Return working time in hours and minutes: "49 h 55 min", never days."""
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest}{NS}min"
    return f"{hours}{NS}h{NS}{rest}{NS}min" if rest else f"{hours}{NS}h"


def format_money(amount: Decimal, currency: str = "", decimals: int = 2) -> str:
    """Return "3.20 marks", rounded half up to so many decimals."""
    shown = format(amount.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP), "f")
    return f"{shown}{NS}{currency}" if currency else shown


def format_share(share: Fraction | float) -> str:
    """Return "50 %", to a tenth of a per cent."""
    return _join(_round_plain(float(share) * 100, 1), None, "%")


def round_uncertainty(u: float) -> Decimal:
    """Return an uncertainty with the digits to show: two where it begins with 1 or 2, else one.

    Args:
        u: Standard uncertainty, any unit, finite and > 0.

    Raises:
        ValueError: Not finite and positive.

    Source:
        JCGM 100:2008, 7.2.6 asks for at most two digits; when one is enough is common practice, no published
        source.
    """
    if not (math.isfinite(u) and u > 0):
        raise ValueError("an uncertainty must be finite and more than zero")
    exact = Decimal(repr(float(u)))
    two = _round_digits(exact, 2)
    if two.as_tuple().digits[0] in (1, 2):
        return two
    one = _round_digits(exact, 1)
    # 0.96 rounds up to 1, which begins with 1: so it needs its second digit again.
    return _round_digits(one, 2) if one.as_tuple().digits[0] == 1 else one


def _round_digits(exact: Decimal, digits: int) -> Decimal:
    rounded = exact.quantize(Decimal(1).scaleb(exact.adjusted() - digits + 1), ROUND_HALF_UP)
    if rounded.adjusted() > exact.adjusted():
        rounded = rounded.quantize(Decimal(1).scaleb(rounded.adjusted() - digits + 1), ROUND_HALF_UP)
    return rounded


def _round_pair(value: float, u: float) -> tuple[str, str]:
    shown_u = round_uncertainty(u)
    exponent = shown_u.as_tuple().exponent
    assert isinstance(exponent, int)  # round_uncertainty refuses what is not finite
    shown = Decimal(repr(float(value))).quantize(Decimal(1).scaleb(exponent), ROUND_HALF_UP)
    return _sign(format(shown, "f")), format(shown_u, "f")


def _round_plain(value: float, decimals: int) -> str:
    shown = format(Decimal(repr(float(value))).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP), "f")
    return _sign(shown.rstrip("0").rstrip(".") if "." in shown else shown)


def _sign(shown: str) -> str:
    """A zero has no sign, and a minus is a minus."""
    if not shown.strip("-0."):
        shown = shown.lstrip("-")
    return shown.replace("-", "\u2212")


def _near_fraction(value_mm: float, tolerance_mm: float) -> Fraction | None:
    inches = value_mm / _INCH
    # A finer fraction than a sixteenth is nothing that anybody rules or reads; decimals say it better.
    for bottom in (1, 2, 4, 8, 16):
        top = round(inches * bottom)
        if top and abs(top / bottom - inches) * _INCH <= tolerance_mm:
            return Fraction(top, bottom)
    return None


def _show_fraction(fraction: Fraction) -> str:
    sign = "\u2212" if fraction < 0 else ""
    whole, part = divmod(abs(fraction), 1)
    if not part:
        return f"{sign}{whole}"
    return f"{sign}{whole}{NS}{part}" if whole else f"{sign}{part}"


def _join(shown: str, u: str | None, unit: str) -> str:
    return f"{shown}{NS}{unit}" if u is None else f"{shown}{NS}±{NS}{u}{NS}{unit}"


def _split(quantity: float | Measured, u: float | None) -> tuple[float, float | None]:
    return (quantity.value, quantity.u) if isinstance(quantity, Measured) else (quantity, u)
