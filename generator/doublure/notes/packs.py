"""Amounts that only notes have: packs, what is on hand, sheets in gatherings, sizes by name.

In: text. Out: numbers and Pack; QuantityError where the text is none of these. Never: nodes.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from functools import partial

from doublure.measured import Measured
from doublure.model.parts import Pack, SizeMm, Spares
from doublure.quantities import (
    QuantityError,
    parse_count,
    parse_duration,
    parse_length,
    parse_share,
    parse_size,
)

_SHEETS, _METRES, _PIECES = "sheets", "metres", "pieces"
_UNITS = {
    "sheet": _SHEETS, "sheets": _SHEETS,
    "m": _METRES, "metre": _METRES, "metres": _METRES, "meter": _METRES, "meters": _METRES,
    "piece": _PIECES, "pieces": _PIECES,
}  # fmt: skip
_AMOUNT = re.compile(
    r"(?P<number>\d{1,9}(?:\.\d{1,6})?)(?:\s*(?P<unit>[^\W\d_]+))?", re.ASCII | re.IGNORECASE
)
_INCH_MM = 25.4


#: More than this, mm, is no bleed; 2 to 5 mm are usual (common practice, no published source).
MOST_BLEED_MM = 25.0
#: A dot at 2540 dots to the inch: what lies nearer than this, mm, no plate shows apart.
LEAST_STEP_MM = 0.01

def _iso_series(letter: str, width: int, height: int) -> dict[str, tuple[float, float]]:
    sizes: dict[str, tuple[float, float]] = {}
    for step in range(11):
        sizes[f"{letter}{step}"] = (float(width), float(height))
        width, height = height // 2, width
    return sizes


#: Sizes that may be named, mm, upright. ISO 216: each is half of the one before, rounded down to whole mm.
#: Letter, Legal and Ledger: 8 1/2 x 11, 8 1/2 x 14 and 11 x 17 in, common practice.
NAMED_SIZES: dict[str, tuple[float, float]] = {
    **_iso_series("A", 841, 1189),
    **_iso_series("B", 1000, 1414),
    "Letter": (8.5 * _INCH_MM, 11 * _INCH_MM),
    "Legal": (8.5 * _INCH_MM, 14 * _INCH_MM),
    "Ledger": (11 * _INCH_MM, 17 * _INCH_MM),
}


def parse_size_mm(text: str) -> SizeMm:
    """Read a size: "64 x 121 mm", "A3", "A3 landscape".

    Raises:
        QuantityError: The text is no size.
    """
    width, height = parse_size(text, named=NAMED_SIZES)
    return SizeMm(width, height)


def parse_distance(text: str) -> Measured:
    """Read a length that may be nothing: "8 mm", "0 mm", "0".

    Raises:
        QuantityError: The text is no length, or less than nothing.
    """
    if text.strip() == "0":
        return Measured(0.0, None, "0")
    found = parse_length(text, positive=False)
    if found.value < 0:
        raise QuantityError(
            f'"{text.strip()}" is less than nothing', "write how far, such as 8 mm", 0, len(text)
        )
    return found


def parse_length_mm(text: str) -> float:
    """Read a length where its uncertainty is of no use, mm.

    Raises:
        QuantityError: The text is no length above zero.
    """
    return parse_length(text).value


def parse_step_mm(text: str) -> float:
    """Read a step that may be nothing, mm.

    Raises:
        QuantityError: The text is no length, or less than nothing.
    """
    return parse_distance(text).value


def parse_bleed_mm(text: str) -> float:
    """Read a bleed, mm.

    Raises:
        QuantityError: The text is no length, or more than any bleed is.
    """
    bleed_mm = parse_step_mm(text)
    if bleed_mm > MOST_BLEED_MM:
        raise QuantityError(
            f'"{text.strip()}" is no bleed', f"it is what is cut off: {MOST_BLEED_MM:g} mm at most", 0, len(text)
        )
    return bleed_mm


def parse_creep_step_mm(text: str) -> float:
    """Read the step in which plates are corrected for creep, mm.

    Raises:
        QuantityError: The text is no length, or neither nothing nor a step that can be seen in print.
    """
    step_mm = parse_step_mm(text)
    if 0 < step_mm < LEAST_STEP_MM:
        raise QuantityError(
            f'"{text.strip()}" is finer than any printer prints',
            f"write {LEAST_STEP_MM:g} mm or more, or 0 for no correction",
            0,
            len(text),
        )
    return step_mm


def parse_amount(text: str) -> tuple[Decimal, str]:
    """Read an amount of a stock: "37", "37 sheets", "2.5 m".

    Returns:
        The number, and "sheets", "metres", "pieces" or "".

    Raises:
        QuantityError: The text is no such amount.
    """
    shown = text.strip()
    found = _AMOUNT.fullmatch(shown)
    offset = len(text) - len(text.lstrip())
    if not found:
        raise QuantityError(
            f'"{shown}" is no amount', "write how many, such as 37 sheets", offset, len(shown)
        )
    unit = found["unit"] or ""
    if unit and unit.lower() not in _UNITS:
        raise QuantityError(
            f'"{unit}" is not what stocks are counted in',
            "write sheets, m or pieces",
            offset + found.start("unit"),
            len(unit),
        )
    number = Decimal(found["number"])
    kind = _UNITS.get(unit.lower(), "")
    if kind in (_SHEETS, _PIECES) and number != number.to_integral_value():
        raise QuantityError(
            f'"{shown}" is no whole number of {kind}', "write a whole number", offset, len(shown)
        )
    return number, kind


def parse_pack(text: str) -> Pack:
    """Read what a stock is sold in: "100 sheets", "5 m", "1 piece".

    Raises:
        QuantityError: The text is no such amount, has no unit, or is nothing.
    """
    number, kind = parse_amount(text)
    shown = text.strip()
    if not kind:
        raise QuantityError(
            f'"{shown}" has no unit', f"write {shown} sheets, {shown} m or {shown} pieces", 0, len(text)
        )
    if number <= 0:
        raise QuantityError(
            f'"{shown}" is nothing', "write what one pack holds, such as 100 sheets", 0, len(text)
        )
    if kind == _METRES:
        return Pack(metres=number)
    return Pack(sheets=int(number)) if kind == _SHEETS else Pack(pieces=int(number))


def parse_minutes(text: str) -> float:
    """Read a time that is in minutes unless it says otherwise: "40", "1 h 20 min".

    Raises:
        QuantityError: The text is no duration.
    """
    shown = text.strip()
    if re.fullmatch(r"\d{1,7}(?:\.\d{1,4})?", shown, re.ASCII):
        return float(shown)
    return parse_duration(text)


#: Whole numbers, from nothing, and from one.
parse_number = partial(parse_count, minimum=0)
parse_positive = partial(parse_count, minimum=1)
#: More copies, pages or repeats than this are a slip of the pen.
MOST = 100_000


def parse_some(text: str) -> int:
    """Read a whole number from 1 to MOST.

    Raises:
        QuantityError: The text is none.
    """
    return _limit(parse_count(text, minimum=1), text)


def parse_any(text: str) -> int:
    """Read a whole number from 0 to MOST.

    Raises:
        QuantityError: The text is none.
    """
    return _limit(parse_count(text, minimum=0), text)


def _limit(count: int, text: str) -> int:
    if count > MOST:
        raise QuantityError(f'"{text.strip()}" is more than {MOST}', f"write at most {MOST}", 0, len(text))
    return count


def parse_sheets(text: str) -> int:
    """Read a number of sheets: "4", "4 sheets".

    Raises:
        QuantityError: The text is none.
    """
    plain = re.sub(r"\s*sheets?\s*$", "", text, flags=re.IGNORECASE)
    return parse_some(plain if plain.strip() else text)


_SHEET_RANGE = re.compile(
    r"\s*(?P<low>\d+)\s*(?:(?:to|-|–)\s*(?P<high>\d+))?\s*(?:sheets?)?\s*", re.ASCII | re.IGNORECASE
)


def parse_sheet_range(text: str) -> tuple[int, int]:
    """Read sheets from and to: "3 to 5", "3-5 sheets", "4".

    Raises:
        QuantityError: The text is neither a number of sheets nor a range of them.

    Examples:
        >>> parse_sheet_range("3 to 5 sheets"), parse_sheet_range("4")
        ((3, 5), (4, 4))
    """
    found = _SHEET_RANGE.fullmatch(text)
    shown = text.strip()
    if found is None:
        raise QuantityError(f'"{shown}" is no number of sheets', "write such as 3 to 5, or 4", 0, len(text))
    low, high = parse_some(found["low"]), parse_some(found["high"] or found["low"])
    if low > high:
        raise QuantityError(f'"{shown}" goes down', f"write {high} to {low}", 0, len(text))
    return low, high


_WEIGHT = re.compile(r"\s*\d{1,6}(?:\.\d{1,6})?\s*", re.ASCII)


def parse_weight(text: str) -> float:
    """Read a weight: a number from 0.

    Raises:
        QuantityError: The text is none.
    """
    if not _WEIGHT.fullmatch(text):
        raise QuantityError(f'"{text.strip()}" is no weight', "write a number such as 3, or 0.5", 0, len(text))
    return float(text)


def parse_spares(text: str) -> Spares:
    """Read a rule for spares: "half again", "50 %", "4".

    Raises:
        QuantityError: The text is neither a share nor a count.
    """
    if re.fullmatch(r"\s*-?\d+\s*", text, re.ASCII):
        return Spares(count=parse_any(text))
    return Spares(share=_share(text))


def parse_share_of(text: str) -> float:
    """Read a share of what is wanted: "50 %", "1/2", at most ten times as much.

    Raises:
        QuantityError: The text is no share.
    """
    return _share(text)


def _share(text: str) -> float:
    share = parse_share(text, most=Fraction(10))
    if share < 0:
        raise QuantityError(f'"{text.strip()}" is less than nothing', "write 50 % or 4", 0, len(text))
    return float(share)
