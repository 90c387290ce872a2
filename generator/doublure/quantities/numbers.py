"""Numbers as people write them, read exactly: 63.5, 63,5, 2 1/2, 2½, 5/8, 100.021 47(35).

In: text and a position. Out: fractions.Fraction with the place where each number stood.
Never: units, floats (the caller rounds once, at the very end).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from doublure.quantities.failure import QuantityError

NARROW_SPACE = "\u202f"
MOST_DIGITS = 24

# Every replacement is one character for one, so that offsets hold for the author's text as well.
_PLAIN = str.maketrans(
    {
        "\u00a0": NARROW_SPACE, "\u2009": NARROW_SPACE, "\u2007": NARROW_SPACE, "\u2008": NARROW_SPACE,
        "\t": " ", "\n": " ", "\r": " ",
        "\u2212": "-", "\u2010": "-", "\u2011": "-", "\u2012": "–", "\u2014": "–",
        "×": "x", "\u2715": "x", "\u2a2f": "x",
        "\u2033": '"', "\u201d": '"', "\u201c": '"', "\u2032": "'", "\u2019": "'",
        "\u03bc": "µ", "²": "2", "\u2044": "/", "\u2215": "/",
    }
)  # fmt: skip
_VULGAR = {
    "½": Fraction(1, 2), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3), "¼": Fraction(1, 4), "¾": Fraction(3, 4),
    "⅕": Fraction(1, 5), "⅖": Fraction(2, 5), "⅗": Fraction(3, 5), "⅘": Fraction(4, 5), "⅙": Fraction(1, 6),
    "⅚": Fraction(5, 6), "⅛": Fraction(1, 8), "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip
_V = "".join(_VULGAR)
_S = f"[ {NARROW_SPACE}]"
_FRACTION = re.compile(
    rf"(?:(?P<whole>[0-9]+)(?:{_S}+|(?P<hyphen>-)))?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)(?![0-9])"
)
_GLYPH = re.compile(rf"(?:(?P<whole>[0-9]+){_S}*)?(?P<glyph>[{_V}])")
# Narrow spaces may group digits anywhere, ordinary ones only after the decimal sign (ISO 80000-1, 7.3.1).
_DECIMAL = re.compile(
    rf"(?P<whole>[0-9]{{1,3}}(?:{NARROW_SPACE}[0-9]{{3}})+(?![0-9/])|[0-9]+)?"
    rf"(?:(?P<sign>[.,])(?P<part>[0-9]{{3}}(?:{_S}[0-9]{{3}})*{_S}[0-9]{{1,4}}(?![0-9/.,{_V}])|[0-9]+))?"
)
_BRACKET = re.compile(rf"\((?P<u>[0-9]+(?:\.[0-9]+(?:{_S}[0-9]+)*)?)\)")


@dataclass(frozen=True, slots=True)
class Number:
    """A number and where it stood.

    Attributes:
        value: Its exact value.
        u: Standard uncertainty given in brackets after the last digit, exact; None where there was none.
        start: Offset of its first character.
        end: Offset just after its last character.
    """

    value: Fraction
    u: Fraction | None
    start: int
    end: int


def make_plain(text: str) -> str:
    """Return the text with typographic signs replaced by plain ones, each character by exactly one."""
    return text.translate(_PLAIN)


def lower_each(plain: str) -> str:
    """Return the text in lower case with every character in its place (some would become two)."""
    return "".join(c.lower() if len(c.lower()) == 1 else c for c in plain)


def skip_spaces(plain: str, at: int) -> int:
    """Return the offset of the first character at or after `at` that is no space."""
    while at < len(plain) and plain[at] in (" ", NARROW_SPACE):
        at += 1
    return at


def read_number(plain: str, at: int) -> Number | None:
    """Return the unsigned number that begins at an offset, or None where none begins there.

    Args:
        plain: Text from make_plain.
        at: Offset, from 0.

    Raises:
        QuantityError: A number begins there but is ambiguous ("1,500"), endless or divides by zero.

    Source:
        Brackets: JCGM 100:2008, 7.2.2 (the digits in brackets apply to the last digits of the value; a
        figure with a decimal point in brackets is the uncertainty in the unit of the value). From memory.
    """
    if found := _GLYPH.match(plain, at):
        whole = _read_digits(found["whole"] or "0", at, found.group())
        return Number(whole + _VULGAR[found["glyph"]], None, at, found.end())
    if (found := _FRACTION.match(plain, at)) and not _is_range(found):
        bottom = _read_digits(found["bottom"], at, found.group())
        if bottom == 0:
            raise QuantityError(f'"{found.group()}" divides by zero', "", at, len(found.group()))
        top = _read_digits(found["top"], at, found.group())
        if found["whole"] and top >= bottom:
            raise QuantityError(
                f'"{found.group()}" has a fraction that is not smaller than 1',
                "write a whole number and a proper fraction, such as 2 1/2",
                at,
                len(found.group()),
            )
        return Number(
            _read_digits(found["whole"] or "0", at, found.group()) + top / bottom, None, at, found.end()
        )
    found = _DECIMAL.match(plain, at)
    if not found or not (found["whole"] or found["part"]):
        return None
    return _read_decimal(plain, at, found)


def _is_range(found: re.Match[str]) -> bool:
    """A hyphen joins a whole number to its fraction (2-1/2); after a zero it can only mean a range."""
    return bool(found["hyphen"]) and int(found["whole"]) == 0


def _read_decimal(plain: str, at: int, found: re.Match[str]) -> Number:
    whole, part = _close_up(found["whole"] or ""), _close_up(found["part"] or "")
    shown = found.group()
    if found["sign"] == ",":
        after = plain[found.end() : found.end() + 1]
        grouped = len(part) == 3 and whole.strip("0") != ""
        if grouped or after in (",", "."):
            raise QuantityError(
                f'"{shown}" could mean thousands or a decimal',
                f"write {whole}{part} or {whole}.{part}",
                at,
                len(shown),
            )
    value = _read_digits(whole + part, at, shown) / 10 ** len(part)
    end, u = found.end(), None
    bracket = _BRACKET.match(plain, end)
    if bracket:
        given = _close_up(bracket["u"])
        u = Fraction(given) if "." in given else Fraction(given) / 10 ** len(part)
        end = bracket.end()
    return Number(value, u, at, end)


def _close_up(digits: str) -> str:
    return digits.replace(" ", "").replace(NARROW_SPACE, "")


def _read_digits(digits: str, at: int, shown: str) -> Fraction:
    if len(digits) > MOST_DIGITS:
        raise QuantityError(
            f"the number has {len(digits)} digits", f"write at most {MOST_DIGITS} of them", at, len(shown)
        )
    return Fraction(int(digits))
