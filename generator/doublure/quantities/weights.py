"""Grammage from text, in g/m² or in pounds of a grade.

In: text such as "90 g/m²" or "20 lb bond". Out: Measured, in g/m².
Never: reading tables (grades are units, so their exact table stands here; data/grades.csv has the sources).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from doublure.measured import Measured
from doublure.problems import nearest_name
from doublure.quantities.failure import QuantityError
from doublure.quantities.grammar import Family, Reading, read_quantity_part
from doublure.quantities.numbers import lower_each, make_plain, skip_spaces

# Exact by definition (1959): the pound in grams, the square inch in square metres.
POUND_G = Fraction(45359237, 100000)
SQUARE_INCH_M2 = Fraction(254, 10000) ** 2

GRAMMAGE = Family(
    noun="a grammage",
    base="g/m²",
    factors={
        "g/m2": Fraction(1), "gsm": Fraction(1), "g/sqm": Fraction(1), "g/sq m": Fraction(1),
        "g / m2": Fraction(1), "gm/m2": Fraction(1), "gr/m2": Fraction(1), "kg/m2": Fraction(1000),
    },
    refused={
        "g": "write g/m² for grammage", "grams": "write g/m² for grammage",
        "oz": "write the grammage in g/m², or pounds with the grade, such as 20 lb bond",
    },
)  # fmt: skip
_POUNDS = Family(
    noun="a weight in pounds",
    base="lb",
    factors={spelling: Fraction(1) for spelling in ("lb", "lbs", "#", "pound", "pounds")},
)


@dataclass(frozen=True, slots=True)
class PoundGrade:
    """A grade of paper whose weight is given in pounds a ream of its basic size.

    Attributes:
        name: The grade's first name: "bond".
        short_in: Short side of the basic size, inches, exact.
        long_in: Long side, inches, exact.
        sheets: Sheets in the ream.
        others: Further names of the same grade.
    """

    name: str
    short_in: Fraction
    long_in: Fraction
    sheets: int
    others: tuple[str, ...] = ()

    @property
    def area_in2(self) -> Fraction:
        """Area of the basic size, square inches."""
        return self.short_in * self.long_in

    @property
    def gsm_per_lb(self) -> Fraction:
        """Grammage of a paper of one pound in this grade, exact: pound / (sheets x area)."""
        return POUND_G / (self.sheets * self.area_in2 * SQUARE_INCH_M2)


def _grade(name: str, short_in: str, long_in: str, sheets: int, *others: str) -> PoundGrade:
    return PoundGrade(name, Fraction(short_in), Fraction(long_in), sheets, others)


POUND_GRADES: tuple[PoundGrade, ...] = (
    _grade("bond", "17", "22", 500, "writing", "ledger", "mimeo", "onionskin", "manifold"),
    _grade("book", "25", "38", 500, "text", "offset", "coated book"),
    _grade("cover", "20", "26", 500),
    _grade("tag", "24", "36", 500, "newsprint", "wrapping", "glassine", "board by weight"),
    _grade("index", "25.5", "30.5", 500),
    _grade("bristol", "22.5", "28.5", 500, "printing bristol", "vellum bristol"),
    _grade("blotting", "19", "24", 500),
    _grade("paperboard", "12", "12", 1000, "per 1000 ft2", "board per 1000 ft2"),
    _grade("writing foolscap 480", "13.25", "16.5", 480, "foolscap 480"),
    _grade("writing large post 480", "16.5", "21", 480, "large post 480"),
    _grade("writing medium 480", "18", "23", 480, "medium 480"),
    _grade("writing demy 480", "15.5", "20", 480, "drawing demy 480", "account book demy 480"),
    _grade("printing demy 480", "17.5", "22.5", 480),
    _grade("double crown 480", "20", "30", 480),
)


def index_grades(grades: tuple[PoundGrade, ...] = POUND_GRADES) -> dict[str, PoundGrade]:
    """Return every name of every grade, in lower case."""
    return {name: grade for grade in grades for name in (grade.name, *grade.others)}


def parse_grammage(text: str, grades: Mapping[str, PoundGrade] | None = None) -> Measured:
    """Read a grammage: "90 g/m²", "90 ± 2 gsm", "20 lb bond", "65# cover".

    Args:
        text: What the author wrote.
        grades: Grades by name, in lower case; index_grades() where None.

    Returns:
        Grammage in g/m² with its standard uncertainty (what stands after ±), and the author's text.

    Raises:
        QuantityError: No unit, an unknown one, pounds without a grade, or not more than zero.

    Examples:
        >>> round(parse_grammage("20 lb bond").value, 2)
        75.19
    """
    by_name = index_grades() if grades is None else grades
    plain = lower_each(make_plain(text))
    reading, factor = _read_pounds(text, plain, by_name)
    if reading is None:
        reading = read_quantity_part(text, GRAMMAGE)
        rest = skip_spaces(plain, reading.rest)
        if rest < len(plain):
            shown = text[rest:].strip()
            raise QuantityError(f'"{shown}" is more than a grammage', "leave it out", rest, len(shown))
    if reading.value <= 0:
        shown = text.strip()
        raise QuantityError(
            f'"{shown}" is not more than zero', "write a grammage such as 90 g/m²", 0, len(shown)
        )
    u = None if reading.u is None else reading.u * float(factor)
    return Measured(float(reading.value * factor), u, text.strip())


def _read_pounds(text: str, plain: str, by_name: Mapping[str, PoundGrade]) -> tuple[Reading | None, Fraction]:
    """Read pounds and their grade; (None, 1) where the text is not about pounds."""
    found = re.search(r"#|(?<![a-z])(?:lbs?|pounds?)(?![a-z])", plain)
    if not found:
        return None, Fraction(1)
    reading = read_quantity_part(text, _POUNDS)
    rest = skip_spaces(plain, reading.rest)
    name = " ".join(plain[rest:].replace(",", " ").split())
    name = name.removesuffix(" paper").removesuffix(" stock")
    if not name:
        shown = text.strip()
        raise QuantityError(
            f'"{shown}" does not say which grade',
            f"pounds mean something else in every grade: write {shown} bond, {shown} text or {shown} cover",
            found.start(),
            len(found.group()),
        )
    if name in by_name:
        return reading, by_name[name].gsm_per_lb
    reams = sorted(known for known in by_name if known.startswith(name + " ") or f" {name} " in f" {known} ")
    near = nearest_name(name, by_name)
    if reams:
        hint = f"write which one: {', '.join(reams)}"
    else:
        hint = f"did you mean {near}?" if near else f"the grades are {', '.join(sorted(by_name))}"
    raise QuantityError(f'"{name}" is not a known grade', hint, rest, len(text.rstrip()) - rest)
