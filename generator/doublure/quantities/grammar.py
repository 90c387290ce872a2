"""The one grammar that all measured quantities share: number, uncertainty or range, unit.

In: text and a family of units. Out: an exact value in the family's base unit with its uncertainty.
Never: what a quantity is for (lengths.py, weights.py and amounts.py decide that).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from doublure.measured import Measured
from doublure.problems import nearest_name
from doublure.quantities.failure import QuantityError
from doublure.quantities.numbers import Number, lower_each, make_plain, read_number, skip_spaces

_PLUS_MINUS = re.compile(r"±|\+/-|\+-")
_RANGE = re.compile(r"–|-|to(?![a-z])", re.IGNORECASE)
_WORD = re.compile(r"[^\s0-9()±–\u202f]+")
_VAGUE = re.compile(r"(~|≈|ca?\.|circa|about|approx\.?|approximately|roughly|some)(?![a-z])", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Family:
    """Units that convert into each other.

    Attributes:
        noun: What is measured, with its article: "a length".
        base: The unit to suggest: "mm".
        factors: Every spelling of a unit, in lower case, and how many base units it is, exactly.
        refused: Spellings that are understood but not accepted, and the hint that says what to
            write (or what makes it from the number).
        follows: Which unit may follow another in one quantity (5 ft 3 in), by factor.
        percent: Whether the uncertainty may be given as a percentage of the value.
    """

    noun: str
    base: str
    factors: Mapping[str, Fraction]
    refused: Mapping[str, str | Callable[[Fraction], str]] = field(default_factory=dict)
    follows: Mapping[Fraction, tuple[Fraction, ...]] = field(default_factory=dict)
    percent: bool = True


@dataclass(frozen=True, slots=True)
class Reading:
    """A quantity as read.

    Attributes:
        value: In base units, exact.
        u: Standard uncertainty in base units; None where none was given.
        unit: Spelling of the last unit, as written; "" where it was borrowed.
        rest: Offset just after the quantity.
    """

    value: Fraction
    u: float | None
    unit: str
    rest: int

    def measured(self, text: str) -> Measured:
        """Return the reading in floats, keeping the author's text."""
        return Measured(float(self.value), self.u, text)


@dataclass(frozen=True, slots=True)
class _Term:
    """One number with its unit; factor None where the unit is still to come."""

    number: Number
    negative: bool
    more: Fraction
    factor: Fraction | None
    unit: str
    start: int
    end: int


def read_quantity(text: str, family: Family, borrowed: str = "") -> Reading:
    """Read a whole text as one quantity.

    Args:
        text: What the author wrote.
        family: The units that it may be in.
        borrowed: Spelling of the unit to use where the text has none (the first side of a size).

    Raises:
        QuantityError: The text is not a quantity of this family.
    """
    reading = read_quantity_part(text, family, borrowed)
    plain = make_plain(text)
    at = skip_spaces(plain, reading.rest)
    if at < len(plain):
        shown = text[at:].strip()
        raise QuantityError(f'"{shown}" is more than {family.noun}', "leave it out", at, len(shown))
    return reading


def read_quantity_part(text: str, family: Family, borrowed: str = "") -> Reading:
    """Read a quantity from the beginning of a text, leaving what follows it (Reading.rest)."""
    plain = make_plain(text)
    at = skip_spaces(plain, 0)
    if at == len(plain):
        raise QuantityError("nothing is written here", f"write {family.noun}, such as 12 {family.base}", 0, 1)
    if vague := _VAGUE.match(plain, at):
        raise QuantityError(
            f'"{text[at : vague.end()]}" does not say how well it is known',
            f"write how far it may be off, such as 63.5 ± 1.5 {family.base}, or a range: 62–65 {family.base}",
            at,
            vague.end() - at,
        )
    opening = at
    bracketed = plain[opening] == "("
    first = _read_term(text, plain, skip_spaces(plain, at + 1) if bracketed else at, family)
    at = skip_spaces(plain, first.end)
    second: _Term | None = None
    if plus_minus := _PLUS_MINUS.match(plain, at):
        if first.number.u is not None:
            raise QuantityError("the uncertainty is given twice", "keep one of the two", at, 1)
        second = _read_term(text, plain, skip_spaces(plain, plus_minus.end()), family, allow_percent=True)
    elif between := _RANGE.match(plain, at):
        second = _read_term(text, plain, skip_spaces(plain, between.end()), family)
    end = second.end if second else first.end
    outer, unit = None, (second or first).unit or first.unit
    if bracketed:
        end = skip_spaces(plain, end)
        if plain[end : end + 1] != ")":
            raise QuantityError("the bracket is not closed", 'add ")"', opening, 1)
        outer, unit, end = _read_unit(text, plain, skip_spaces(plain, end + 1), family, first.number.value)
    fallback = outer
    if fallback is None and second is not None and second.unit != "%":
        fallback = second.factor
    # A first side takes the unit at the end of the size only where nothing else stands in its place.
    if fallback is None and borrowed and skip_spaces(plain, end) == len(plain):
        fallback = family.factors[borrowed.lower().rstrip(".")]
    value = _value(first, fallback, text, family)
    if second is None:
        u = None if first.number.u is None else float(first.number.u * _factor(first, fallback, text, family))
    elif plus_minus and second.unit == "%":
        u = float(abs(value) * second.number.value / 100)
    elif plus_minus:
        u = float(_value(second, outer or (fallback if not first.unit else None), text, family))
    else:
        return _read_range(first, second, value, outer or fallback, text, family, unit, end)
    if u is not None and u <= 0:
        raise QuantityError(
            "an uncertainty of zero says that nothing can be wrong",
            "leave it out, or say how far the value may be off",
            (second or first).start,
            (second or first).end - (second or first).start,
        )
    return Reading(value, u, unit, end)


def _read_range(
    first: _Term,
    second: _Term,
    low: Fraction,
    fallback: Fraction | None,
    text: str,
    family: Family,
    unit: str,
    end: int,
) -> Reading:
    """All values equally likely: u = half width / sqrt(3) (JCGM 100:2008, 4.3.7; from memory)."""
    high = _value(second, fallback, text, family)
    if first.number.u is not None or second.number.u is not None:
        raise QuantityError(
            "a range with an uncertainty as well",
            "keep one of the two",
            first.start,
            second.end - first.start,
        )
    if high <= low:
        raise QuantityError(
            f'"{text[first.start : second.end]}" does not rise',
            "write the smaller end of the range first",
            first.start,
            second.end - first.start,
        )
    return Reading((low + high) / 2, float((high - low) / 2) / math.sqrt(3), unit, end)


def _value(term: _Term, fallback: Fraction | None, text: str, family: Family) -> Fraction:
    value = term.number.value * _factor(term, fallback, text, family) + term.more
    return -value if term.negative else value


def _factor(term: _Term, fallback: Fraction | None, text: str, family: Family) -> Fraction:
    factor = term.factor if term.factor is not None else fallback
    if factor is None:
        raise _explain_no_unit(term, text, family)
    return factor


def _explain_no_unit(term: _Term, text: str, family: Family) -> QuantityError:
    """Say why a number has no unit: there is none, it is unknown, or another number stands in its place."""
    shown = text[term.start : term.end].strip()
    plain = make_plain(text)
    at = skip_spaces(plain, term.end)
    if word := _WORD.match(plain, at):
        unit = text[at : word.end()]
        if not (_RANGE.match(plain, at) or _PLUS_MINUS.match(plain, at)):
            near = nearest_name(unit.lower().rstrip("."), family.factors)
            hint = f"did you mean {near}?" if near else f"the units are {', '.join(_first_spellings(family))}"
            noun = family.noun.split(" ", 1)[1]
            return QuantityError(f'"{unit}" is not a unit of {noun}', hint, at, len(unit))
    elif other := read_number(plain, at):
        shown = text[term.start : other.end].strip()
        return QuantityError(
            f'"{shown}" is two numbers', f"write one, such as 1500 {family.base}", term.start, len(shown)
        )
    hint = f"write {family.noun}, such as {shown} {family.base}"
    return QuantityError(f'"{shown}" has no unit', hint, term.start, len(shown))


def _read_term(text: str, plain: str, at: int, family: Family, allow_percent: bool = False) -> _Term:
    start, negative = at, False
    if plain[at : at + 1] in ("-", "+"):
        negative = plain[at] == "-"
        at = skip_spaces(plain, at + 1)
    number = read_number(plain, at)
    if number is None:
        raise _explain_no_number(text, at, family)
    at = skip_spaces(plain, number.end)
    if allow_percent and family.percent and plain[at : at + 1] == "%":
        return _Term(number, negative, Fraction(0), Fraction(1), "%", start, at + 1)
    factor, unit, end = _read_unit(text, plain, at, family, number.value)
    if factor is None:
        return _Term(number, negative, Fraction(0), None, "", start, number.end)
    more, smaller = Fraction(0), factor
    while chain := family.follows.get(smaller):
        following = read_number(plain, skip_spaces(plain, end))
        if following is None:
            break
        at = skip_spaces(plain, following.end)
        next_factor, unit, end = _read_unit(text, plain, at, family, following.value)
        if next_factor is None or next_factor not in chain or following.u is not None:
            number_text = text[following.start : following.end]
            raise QuantityError(
                f'"{number_text}" does not continue "{text[start : following.start].strip()}"',
                f"write the unit after {number_text} as well, or all in one unit, such as 12 {family.base}",
                following.start,
                max(end, following.end) - following.start,
            )
        more += following.value * next_factor
        smaller = next_factor
    return _Term(number, negative, more, factor, unit, start, end)


def _read_unit(
    text: str, plain: str, at: int, family: Family, number: Fraction
) -> tuple[Fraction | None, str, int]:
    """Return factor, spelling and end of the unit at an offset; (None, "", at) where no known one begins."""
    lower = lower_each(plain)
    for spelling in sorted((*family.factors, *family.refused), key=len, reverse=True):
        end = at + len(spelling)
        if not lower.startswith(spelling, at) or (spelling[-1].isalpha() and lower[end : end + 1].isalpha()):
            continue
        if spelling in family.refused:
            hint = family.refused[spelling]
            raise QuantityError(
                f'"{text[at:end]}" is not a unit to use here',
                hint if isinstance(hint, str) else hint(number),
                at,
                end - at,
            )
        if spelling[-1].isalpha() and plain[end : end + 1] == ".":
            end += 1
        return family.factors[spelling], spelling, end
    return None, "", at


def _explain_no_number(text: str, at: int, family: Family) -> QuantityError:
    rest = text[at:].strip()
    hint = f"write a number and a unit, such as 12 {family.base}"
    if not rest:
        return QuantityError("a number is missing here", hint, max(0, at - 1), 1)
    return QuantityError(f'"{rest}" is not {family.noun}', hint, at, len(rest))


def _first_spellings(family: Family) -> list[str]:
    """The first spelling of each unit, in the order of the table."""
    first: dict[Fraction, str] = {}
    for spelling, factor in family.factors.items():
        first.setdefault(factor, spelling)
    return list(first.values())
