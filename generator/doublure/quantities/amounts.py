"""Durations, money, counts, angles, shares and resolutions from text.

In: text, or a number where a bare number means one thing only (money, counts). Out: numbers in fixed units.
Never: currencies' worth, calendars (a day is 24 hours).
"""

from __future__ import annotations

import math
import re
from decimal import Decimal
from fractions import Fraction

from doublure.measured import Measured
from doublure.quantities.failure import QuantityError
from doublure.quantities.grammar import Family, read_quantity
from doublure.quantities.numbers import lower_each, make_plain, read_number, skip_spaces

_H, _D = Fraction(60), Fraction(1440)
_S = Fraction(1, 60)
DURATION = Family(
    noun="a duration",
    base="min",
    factors={
        "min": Fraction(1), "mins": Fraction(1), "minute": Fraction(1), "minutes": Fraction(1),
        "h": _H, "hr": _H, "hrs": _H, "hour": _H, "hours": _H,
        "d": _D, "day": _D, "days": _D,
        "week": 7 * _D, "weeks": 7 * _D,
        "s": _S, "sec": _S, "second": _S, "seconds": _S,
    },
    refused={"m": "write min for minutes", "month": "write days or weeks", "months": "write days or weeks"},
    follows={7 * _D: (_D, _H, Fraction(1)), _D: (_H, Fraction(1)), _H: (Fraction(1), _S), Fraction(1): (_S,)},
    percent=False,
)  # fmt: skip
ANGLE = Family(
    noun="an angle",
    base="deg",
    factors={"°": Fraction(1), "deg": Fraction(1), "degree": Fraction(1), "degrees": Fraction(1)},
)
_RADIANS = Family(noun="an angle", base="rad", factors={"rad": Fraction(1), "mrad": Fraction(1, 1000)})
RESOLUTION = Family(
    noun="a resolution",
    base="ppi",
    factors={
        "ppi": Fraction(1), "dpi": Fraction(1),
        "px/mm": Fraction(254, 10), "px/cm": Fraction(254, 100), "px/in": Fraction(1),
    },
    refused={"lpi": "lines of a halftone are no pixels: write ppi"},
)  # fmt: skip


def parse_duration(text: str) -> float:
    """Read a duration: "40 min", "1 h 20 min", "1h20min", "1½ h", "12 h", "3 days".

    Returns:
        Minutes. A day is 24 hours, a week 7 days: drying and pressing go on at night.

    Raises:
        QuantityError: No unit, an unknown one, an uncertainty or range, a negative duration.

    Examples:
        >>> parse_duration("1 h 20 min")
        80.0
    """
    plain = make_plain(text)
    if found := re.search(r"[0-9]+:[0-9]+", plain):
        first, last = found.group().split(":")
        raise QuantityError(
            f'"{found.group()}" could be hours or minutes',
            f"write {first} h {last} min, or {first} min {last} s",
            found.start(),
            len(found.group()),
        )
    reading = read_quantity(text, DURATION)
    if reading.u is not None:
        raise _whole("a duration is one figure here", "write the longest that it takes", text)
    if reading.value < 0:
        raise _whole(f'"{text.strip()}" is less than nothing', "write a duration such as 40 min", text)
    return float(reading.value)


def parse_money(amount: str | int | float | Decimal, currency: str = "") -> Decimal:
    """Read an amount of money: 3.20, "3.20", "3,20", or with the currency's own name "3.20 marks".

    Args:
        amount: Text or number.
        currency: Name or sign that may stand before or after the number; "" for none.

    Returns:
        The amount with as many decimals as were written.

    Raises:
        QuantityError: No number, an ambiguous comma, a negative amount, more text than the currency.
    """
    if isinstance(amount, bool) or not isinstance(amount, (str, int, float, Decimal)):
        raise QuantityError(f'"{amount}" is no amount of money', "write a number, such as 3.20")
    if not isinstance(amount, str):
        value = Decimal(str(amount))
        if not value.is_finite():
            raise QuantityError(f'"{amount}" is no amount of money', "write a number, such as 3.20")
        text = str(amount)
    else:
        text = amount
        value = _read_money(text, currency)
    if value < 0:
        raise _whole(f'"{text.strip()}" is less than nothing', "write what was paid, such as 3.20", text)
    return value


def _read_money(text: str, currency: str) -> Decimal:
    plain = make_plain(text)
    at = skip_spaces(plain, 0)
    sign = lower_each(make_plain(currency)).strip()
    if sign and lower_each(plain).startswith(sign, at):
        at = skip_spaces(plain, at + len(sign))
    minus = plain[at : at + 1] == "-"
    if minus:
        at = skip_spaces(plain, at + 1)
    number = read_number(plain, at)
    if number is None or number.u is not None:
        raise _whole(f'"{text.strip()}" is no amount of money', "write a number, such as 3.20", text)
    shown = plain[number.start : number.end]
    if not re.fullmatch(r"[0-9 \u202f.,]+", shown):
        raise QuantityError(
            f'"{shown}" is a fraction', "write money with decimals, such as 3.50", number.start, len(shown)
        )
    end = skip_spaces(plain, number.end)
    if sign and lower_each(plain).startswith(sign, end):
        end = skip_spaces(plain, end + len(sign))
    if end < len(plain):
        rest = text[end:].strip()
        hint = (
            f"write a number of {currency}, such as 3.20"
            if currency
            else "write the number alone, such as 3.20"
        )
        raise QuantityError(f'"{rest}" is more than an amount of money', hint, end, len(rest))
    value = Decimal(shown.replace(" ", "").replace("\u202f", "").replace(",", "."))
    return -value if minus else value


def parse_count(amount: str | int, *, minimum: int = 0) -> int:
    """Read a whole number of things.

    Args:
        amount: Text or number.
        minimum: Least number allowed.

    Raises:
        QuantityError: Not a whole number, or below the minimum.
    """
    if isinstance(amount, bool) or not isinstance(amount, (str, int)):
        raise QuantityError(f'"{amount}" is no whole number', "write a whole number, such as 12")
    text = str(amount)
    plain = make_plain(text).strip()
    if not re.fullmatch(r"-?[0-9]{1,12}", plain):
        raise _whole(f'"{text.strip()}" is no whole number', "write a whole number, such as 12", text)
    count = int(plain)
    if count < minimum:
        raise _whole(f'"{text.strip()}" is below {minimum}', f"write {minimum} or more", text)
    return count


def parse_angle(text: str) -> Measured:
    """Read an angle: "15°", "15 deg", "-0.4 ± 0.1°", "0.26 rad".

    Returns:
        Angle in radians with its standard uncertainty, and the author's text.

    Raises:
        QuantityError: No unit, an unknown one, or no number.
    """
    if re.search(r"(?<![a-z])m?rad(?![a-z])", text.lower()):
        return read_quantity(text, _RADIANS).measured(text.strip())
    reading = read_quantity(text, ANGLE)
    u = None if reading.u is None else math.radians(reading.u)
    return Measured(math.radians(float(reading.value)), u, text.strip())


def parse_share(text: str, *, most: Fraction | None = None) -> Fraction:
    """Read a share: "50 %", "1/2", "½", "half", "a third", "half again" (one half more).

    Args:
        text: What the author wrote.
        most: Largest share allowed; None for no limit.

    Returns:
        The exact share, so that rounding up a share of a count stays exact: 50 % is Fraction(1, 2).

    Raises:
        QuantityError: No share, a bare number (0.5 could be half or half a per cent), or above the limit.
    """
    words = " ".join(lower_each(make_plain(text)).split()).removesuffix(" again")
    words = words.removeprefix("a ").removeprefix("one ")
    share = _SHARES.get(words)
    if share is None:
        share = _read_share(text)
    if most is not None and share > most:
        raise _whole(f'"{text.strip()}" is more than {_show(most)}', f"write at most {_show(most)}", text)
    return share


_SHARES = {
    "half": Fraction(1, 2), "third": Fraction(1, 3), "quarter": Fraction(1, 4), "fifth": Fraction(1, 5),
    "tenth": Fraction(1, 10), "none": Fraction(0), "all": Fraction(1),
}  # fmt: skip


def _read_share(text: str) -> Fraction:
    plain = make_plain(text)
    number = read_number(plain, skip_spaces(plain, 0))
    if number is None or number.u is not None:
        raise _whole(f'"{text.strip()}" is no share', "write 50 % or 1/2", text)
    shown = plain[number.start : number.end]
    end = skip_spaces(plain, number.end)
    sign = re.compile(r"%|per ?cent|pct").match(lower_each(plain), end)
    if sign:
        end = skip_spaces(plain, sign.end())
        value = number.value / 100
    elif re.fullmatch(r"[0-9.,]+", shown) and end == len(plain):
        percent = Fraction(number.value * 100)
        raise _whole(
            f'"{shown}" has no unit', f"write {shown} %, or {float(percent):g} % if the whole is 1", text
        )
    else:
        value = number.value
    rest = lower_each(plain)[end:].strip()
    if rest and rest != "again":
        raise QuantityError(
            f'"{text[end:].strip()}" is more than a share', "write 50 % or 1/2", end, len(rest)
        )
    return value


def parse_resolution(text: str) -> Measured:
    """Read a resolution: "600 ppi", "600 dpi", "23.6 px/mm".

    Returns:
        Pixels an inch with their standard uncertainty, and the author's text.

    Raises:
        QuantityError: No unit, an unknown one, or not more than zero.
    """
    reading = read_quantity(text, RESOLUTION)
    if reading.value <= 0:
        raise _whole(f'"{text.strip()}" is not more than zero', "write a resolution such as 600 ppi", text)
    return reading.measured(text.strip())


def _whole(message: str, hint: str, text: str) -> QuantityError:
    """An error about the whole text."""
    # A text of blanks has nothing to point at but its beginning.
    shown = text.strip()
    return QuantityError(message, hint, len(text) - len(text.lstrip()) if shown else 0, len(shown))


def _show(share: Fraction) -> str:
    return f"{float(share * 100):g} %"
