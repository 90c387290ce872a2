"""Lengths and sizes from text.

In: text such as "63.5 ± 1.5 mm", "2 1/2 in", "64 x 121 mm". Out: Measured, in mm.
Never: lists of named sheets (the caller hands those over), judging whether a length is sensible.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from doublure.measured import Measured
from doublure.problems import nearest_name
from doublure.quantities.failure import QuantityError
from doublure.quantities.grammar import Family, Reading, read_quantity
from doublure.quantities.numbers import lower_each, make_plain, skip_spaces

# Exact by definition: the international inch is 25.4 mm (1959), the thou or mil a thousandth of it.
INCH_MM = Fraction(254, 10)
FOOT_MM = 12 * INCH_MM
THOU_MM = INCH_MM / 1000


def _explain_points(points: Fraction) -> str:
    board, type_mm = f"{float(points):g} thou", f"{float(points * INCH_MM / 72):.2f} mm"
    return f"a point is 1/72 in of type but 0.001 in of board: write {board} or {type_mm}, whichever is meant"


LENGTH = Family(
    noun="a length",
    base="mm",
    factors={
        "mm": Fraction(1),
        "cm": Fraction(10),
        "m": Fraction(1000),
        "µm": Fraction(1, 1000),
        "um": Fraction(1, 1000),
        "millimetre": Fraction(1), "millimetres": Fraction(1),
        "millimeter": Fraction(1), "millimeters": Fraction(1),
        "centimetre": Fraction(10), "centimetres": Fraction(10),
        "centimeter": Fraction(10), "centimeters": Fraction(10),
        "metre": Fraction(1000), "metres": Fraction(1000), "meter": Fraction(1000), "meters": Fraction(1000),
        "in": INCH_MM, "inch": INCH_MM, "inches": INCH_MM, '"': INCH_MM, "''": INCH_MM,
        "ft": FOOT_MM, "foot": FOOT_MM, "feet": FOOT_MM, "'": FOOT_MM,
        "yd": 3 * FOOT_MM, "yard": 3 * FOOT_MM, "yards": 3 * FOOT_MM,
        "thou": THOU_MM, "mil": THOU_MM, "mils": THOU_MM,
    },
    refused={
        "pt": _explain_points, "pts": _explain_points, "point": _explain_points, "points": _explain_points,
        "px": "pixels have no length: give the resolution as well, or measure in mm",
    },
    follows={FOOT_MM: (INCH_MM,), 3 * FOOT_MM: (FOOT_MM, INCH_MM)},
)  # fmt: skip


def parse_length(text: str, *, positive: bool = True) -> Measured:
    """Read a length.

    Understood are decimals (63.5, and 63,5 where the comma cannot mean thousands), fractions (2 1/2, 2-1/2,
    2½, 5/8), feet with inches (5 ft 3 in, 5' 3"), an uncertainty (63.5 ± 1.5 mm, 63.5 +/- 1.5 mm,
    (63.5 ± 1.5) mm, 63.5(15) mm, 63.5 mm ± 2 %) and a range (3–5 mm, 3-5 mm, 3 to 5 mm).

    What stands after ± is taken as the standard uncertainty, one standard deviation; who means "certainly
    within" writes a range.

    Args:
        text: What the author wrote.
        positive: Refuse zero and negative lengths.

    Returns:
        Length in mm with its standard uncertainty, and the author's text.

    Raises:
        QuantityError: The text is no length; its attributes say where and what would be right.

    Source:
        JCGM 100:2008, 7.2.2 (brackets) and 4.3.7 (a range as a rectangular distribution: its middle,
        u = half width / sqrt(3)); from memory.

    Examples:
        >>> parse_length("2 1/2 in").value
        63.5
        >>> parse_length("63.5(15) mm")
        Measured(value=63.5, u=1.5, text='63.5(15) mm')
    """
    reading = read_quantity(text, LENGTH)
    if positive:
        _require_positive(reading, text)
    return reading.measured(text.strip())


def parse_size(
    text: str, *, named: Mapping[str, tuple[float, float]] | None = None, positive: bool = True
) -> tuple[Measured, Measured]:
    """Read width and height: "64 x 121 mm", "2 1/2 × 4 in", "64 ± 1 x 121 ± 2 mm", "64 mm x 4 3/4 in", "A4".

    A unit at the end counts for both sides; a unit after the first side alone does not.

    Args:
        text: What the author wrote.
        named: Sizes with a name, (width, height) in mm; names are compared without regard to case. After a
            name, "landscape" puts the longer side across, "portrait" upright.
        positive: Refuse zero and negative sides.

    Returns:
        Width and height, mm. A named size has no uncertainty here.

    Raises:
        QuantityError: The text is no size; its attributes say where and what would be right.
    """
    if named and (found := _find_named(text, named)):
        return found
    plain = lower_each(make_plain(text))
    start = skip_spaces(plain, 0)
    if start < len(plain) and plain[start].isalpha() and not plain[start:].startswith("ca."):
        raise _explain_name(text.strip(), start, named or {})
    crosses = [i for i, c in enumerate(plain) if c == "x"]
    if len(crosses) != 1:
        raise _not_two_sides(text, plain, crosses)
    middle = crosses[0]
    left, right = text[:middle], text[middle + 1 :]
    try:
        second = read_quantity(right, LENGTH)
    except QuantityError as error:
        raise _explain_second(error, text, middle) from None
    borrowed = second.unit
    first = read_quantity(left, LENGTH, borrowed)
    if positive:
        _require_positive(first, left)
        try:
            _require_positive(second, right)
        except QuantityError as error:
            raise error.moved(middle + 1) from None
    left_text = left.strip() if first.unit else f"{left.strip()} {borrowed}"
    return first.measured(left_text), second.measured(right.strip())


def _require_positive(reading: Reading, text: str) -> None:
    if reading.value <= 0:
        shown = text.strip()
        raise QuantityError(
            f'"{shown}" is not more than zero',
            "write a length above zero",
            len(text) - len(text.lstrip()),
            len(shown),
        )


def _explain_second(error: QuantityError, text: str, middle: int) -> QuantityError:
    if "has no unit" in error.message:
        number = text[middle + 1 :].strip()
        return QuantityError(
            f'"{number}" has no unit',
            f"write the unit at the end, such as {text.strip()} mm",
            middle + 1 + error.offset,
            error.length,
        )
    # Where nothing follows the cross, the cross itself is what to point at.
    return error.moved(min(middle + 1, max(0, len(text) - 1)) if not text[middle + 1 :].strip() else middle + 1)


def _not_two_sides(text: str, plain: str, crosses: list[int]) -> QuantityError:
    shown = text.strip()
    offset = len(text) - len(text.lstrip())
    if not shown:
        return QuantityError("nothing is written here", "write width x height, such as 64 x 121 mm")
    if crosses:
        return QuantityError(
            f'"{shown}" has {len(crosses) + 1} sides',
            "write width x height only, such as 64 x 121 mm",
            crosses[1],
            len(plain.rstrip()) - crosses[1],
        )
    return QuantityError(
        f'"{shown}" has only one side', "write width x height, such as 64 x 121 mm", offset, len(shown)
    )


def _find_named(text: str, named: Mapping[str, tuple[float, float]]) -> tuple[Measured, Measured] | None:
    """Return the named size, turned as the word after it says, or None where the name is not known."""
    wanted = " ".join(text.lower().split())
    folded = {" ".join(name.lower().split()): size for name, size in named.items()}
    if wanted in folded:
        width, height = folded[wanted]
        return Measured(width, None, text.strip()), Measured(height, None, text.strip())
    name, _, turn = wanted.rpartition(" ")
    if turn in ("landscape", "portrait") and name in folded:
        short, long = sorted(folded[name])
        width, height = (long, short) if turn == "landscape" else (short, long)
        return Measured(width, None, text.strip()), Measured(height, None, text.strip())
    return None


def _explain_name(shown: str, offset: int, named: Mapping[str, tuple[float, float]]) -> QuantityError:
    """Say which names are meant by a name that is not known, or that several lists give differently."""
    wanted = shown.lower()
    longer = sorted(name for name in named if name.lower().startswith(f"{wanted} ("))
    if longer:
        return QuantityError(
            f'"{shown}" is more than one size', f"write which one: {', '.join(longer)}", offset, len(shown)
        )
    known = {name.lower(): name for name in named}
    near = nearest_name(wanted, known)
    hint = f"did you mean {known[near]}?" if near else "write width x height, such as 64 x 121 mm"
    return QuantityError(f'"{shown}" is not a known size', hint, offset, len(shown))
