"""How far and which way: "0.31 mm right, 0.12 mm up", "0.3 mm left", "0.12° clockwise".

In: what a maker or the program wrote, or numbers in mm and radians. Out: numbers, or text that reads back.
Never: what lies where (a reading of register, the front of a sheet, a fold).
"""

from __future__ import annotations

import math
import re

from doublure.problems import nearest_name
from doublure.quantities.amounts import parse_angle
from doublure.quantities.failure import QuantityError
from doublure.quantities.grammar import read_quantity
from doublure.quantities.lengths import LENGTH

#: Each direction: 0 across or 1 along the height, and its sign. Right and down count as more than nothing.
_WAYS = {"right": (0, 1), "left": (0, -1), "down": (1, 1), "up": (1, -1)}
_TURNS = {"clockwise": 1, "anticlockwise": -1, "counterclockwise": -1}
_PART = re.compile(r"(?:[^,;]|,(?=[0-9]))+")
_LAST_WORD = re.compile(r"(?P<before>.*?)(?P<word>[^\W\d_]+)\s*$", re.DOTALL)
_OFFSET_HINT = "write how far and which way, such as 0.31 mm right, 0.12 mm up"
_DECIMALS_MM = 3
_DECIMALS_DEGREE = 4


def parse_offset(text: str) -> tuple[float, float]:
    """Read how far something lies to the side and up or down: "0.31 mm right, 0.12 mm up".

    Either part may be left out, "0" says that it lies where it should, and one unit does for both parts.

    Returns:
        Right and down, mm; left and up are negative.

    Raises:
        QuantityError: A part has no direction, no number or no unit, or a direction comes twice.

    Examples:
        >>> parse_offset("0.31 mm right, 0.12 mm up")
        (0.31, -0.12)
        >>> parse_offset("0.2 mm left")
        (-0.2, 0.0)
        >>> parse_offset("0")
        (0.0, 0.0)
    """
    if text.strip() == "0":
        return 0.0, 0.0
    parts = [_read_part(found.group(), found.start(), text) for found in _PART.finditer(text) if found.group().strip()]
    if not parts:
        raise QuantityError("nothing is written here", _OFFSET_HINT, 0, len(text))
    unit = _borrowed_unit(parts, text)
    found_mm: dict[int, float] = {}
    for number, start, way in parts:
        axis, sign = _WAYS[way]
        if axis in found_mm:
            shown = text.strip()
            raise QuantityError(f'"{shown}" names two ways along one line', _OFFSET_HINT, start, len(number))
        found_mm[axis] = sign * _read_mm(number, start, unit)
    return found_mm.get(0, 0.0) + 0.0, found_mm.get(1, 0.0) + 0.0


def parse_sideways(text: str) -> float:
    """Read how far something lies right of where it should: "0.3 mm right", "0.3 mm left", "-0.3 mm", "0".

    Returns:
        mm; left is negative.

    Raises:
        QuantityError: The text is none of these.

    Examples:
        >>> parse_sideways("0.3 mm left"), parse_sideways("0.3 mm")
        (-0.3, 0.3)
    """
    found = _LAST_WORD.match(text)
    if found is not None and found["word"].casefold() in _WAYS:
        right, down = parse_offset(text)
        if down:
            raise QuantityError(
                f'"{text.strip()}" is not to the side', "write such as 0.3 mm right or 0.3 mm left", 0, len(text)
            )
        return right
    return parse_signed(text)


def parse_signed(text: str) -> float:
    """Read a length that may be less than nothing: "0.8 mm", "-0.4 mm", "0".

    Returns:
        mm.

    Raises:
        QuantityError: The text is no length.
    """
    return 0.0 if text.strip() == "0" else float(read_quantity(text, LENGTH).value)


def parse_turn(text: str) -> float:
    """Read how far something is turned: "0.12° clockwise", "0.12° anticlockwise", "-0.12°", "0".

    Returns:
        Radians; clockwise is positive.

    Raises:
        QuantityError: The text is no angle, or has a sign and a direction.

    Examples:
        >>> round(parse_turn("90° anticlockwise"), 4)
        -1.5708
    """
    if text.strip() == "0":
        return 0.0
    found = _LAST_WORD.match(text)
    sign = _TURNS.get(found["word"].casefold()) if found is not None else None
    if found is None or sign is None:
        return parse_angle(text).value
    angle = parse_angle(found["before"]).value
    if angle < 0:
        raise _two_signs(found["before"], 0, "clockwise or anticlockwise")
    return sign * angle


def format_offset(right_mm: float, down_mm: float) -> str:
    """Return how far and which way, to a thousandth of a millimetre, as parse_offset reads it.

    Examples:
        >>> format_offset(0.31, -0.12)
        '0.31 mm right, 0.12 mm up'
        >>> format_offset(0, 0)
        '0 mm right, 0 mm down'
    """
    across = _show(abs(right_mm), _DECIMALS_MM)
    along = _show(abs(down_mm), _DECIMALS_MM)
    side = "left" if right_mm < 0 and across != "0" else "right"
    way = "up" if down_mm < 0 and along != "0" else "down"
    return f"{across} mm {side}, {along} mm {way}"


def format_sideways(right_mm: float) -> str:
    """Return how far to the right or left, as parse_sideways reads it.

    Examples:
        >>> format_sideways(-0.3)
        '0.3 mm left'
    """
    return format_offset(right_mm, 0.0).partition(",")[0]


def format_turn(angle_rad: float) -> str:
    """Return a turn in degrees and its direction, as parse_turn reads it.

    Examples:
        >>> format_turn(-0.002)
        '0.1146° anticlockwise'
    """
    degrees = _show(abs(math.degrees(angle_rad)), _DECIMALS_DEGREE)
    return f"{degrees}° {'anticlockwise' if angle_rad < 0 and degrees != '0' else 'clockwise'}"


def _show(value: float, decimals: int) -> str:
    shown = f"{value:.{decimals}f}"
    return shown.rstrip("0").rstrip(".")


def _read_part(part: str, start: int, text: str) -> tuple[str, int, str]:
    """Return the number of a part as written, where it begins, and its direction."""
    found = _LAST_WORD.match(part)
    word = found["word"].casefold() if found is not None else ""
    if found is not None and word in _WAYS and found["before"].strip():
        return found["before"], start, word
    shown = part.strip()
    near = nearest_name(word, _WAYS) if word not in LENGTH.factors else None
    hint = f"did you mean {near}?" if near and word not in _WAYS else _OFFSET_HINT
    lead = len(part) - len(part.lstrip())
    said = "says no length" if word in _WAYS else "does not say which way"
    raise QuantityError(f'"{shown}" {said}', hint, start + lead, len(shown))


def _borrowed_unit(parts: list[tuple[str, int, str]], text: str) -> str:
    """Return the unit that a part without one takes from the other; "" where none has any."""
    for number, _, _ in parts:
        try:
            unit = read_quantity(number, LENGTH).unit
        except QuantityError:
            continue
        if unit:
            return unit
    return ""


def _read_mm(number: str, start: int, unit: str) -> float:
    try:
        value = float(read_quantity(number, LENGTH, unit).value)
    except QuantityError as error:
        raise error.moved(start) from None
    if value < 0:
        raise _two_signs(number, start, "right or left, up or down")
    return value


def _two_signs(number: str, start: int, ways: str) -> QuantityError:
    shown = number.strip()
    lead = len(number) - len(number.lstrip())
    return QuantityError(
        f'"{shown}" has a sign and a direction', f"leave the sign out: write {ways}", start + lead, len(shown)
    )
