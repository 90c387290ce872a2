"""What is known of paper, as records, each with its source.

In: rows of the package's tables (text to text). Out: frozen records in mm and g/m².
Never: opening the tables (store/data_files.py does), judging a maker's own paper.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

Row = Mapping[str, str]

_INCH = Fraction(254, 10)


@dataclass(frozen=True, slots=True)
class Source:
    """Where a fact was found.

    Attributes:
        text: Work and place.
        quality: "standard", "government", "handbook", "encyclopaedia", "library" (a table in a
            general-purpose library), "trade", "web-weak" or "memory".
        seen: Whether the text was read; otherwise the fact is from memory.
    """

    text: str
    quality: str
    seen: bool


@dataclass(frozen=True, slots=True)
class GradeSource:
    """The source of a pound grade's basic size.

    Attributes:
        grade: Name as in quantities.POUND_GRADES.
        short_in: Short side, inches, exact.
        long_in: Long side, inches, exact.
        sheets: Sheets in the ream.
        note: What to beware of; "" for nothing.
        source: Where it was found.
    """

    grade: str
    short_in: Fraction
    long_in: Fraction
    sheets: int
    note: str
    source: Source


@dataclass(frozen=True, slots=True)
class SizeFamily:
    """A list of sizes that belong together.

    Attributes:
        family: Identifier, such as "uk-writing-1911".
        title: Name for people, such as "UK writing 1911".
        made_as: "sheet" (as made, to be folded or cut), "cut", "page", "envelope", "board" or "basis".
        country: Where it was in use.
        from_year: First year of use; None where not known.
        to_year: Last year of use; None where not known or still in use.
        listed_year: Year of the list that the sizes were taken from; None where it has none.
    """

    family: str
    title: str
    made_as: str
    country: str
    from_year: int | None
    to_year: int | None
    listed_year: int | None


@dataclass(frozen=True, slots=True)
class PaperSize:
    """A named size of paper.

    Attributes:
        id: Identifier, unique over all families.
        family: The list that it stands in.
        name: Its name there.
        other_names: Further names of the same size.
        short_mm: Short side, mm.
        long_mm: Long side, mm.
        unit: "in" or "mm": the unit that it is defined in.
        tolerance_mm: Half widths allowed by its standard for the short and the long side, mm; None where none
            is stated.
        note: What to beware of; "" for nothing.
        source: Where it was found.
    """

    id: str
    family: SizeFamily
    name: str
    other_names: tuple[str, ...]
    short_mm: float
    long_mm: float
    unit: str
    tolerance_mm: tuple[float, float] | None
    note: str
    source: Source


@dataclass(frozen=True, slots=True)
class PeriodFormat:
    """The usual size of a kind of artefact in its time.

    Attributes:
        id: Identifier.
        category: "postcard", "photograph", "ticket", "telegram", "banknote" …
        item: What it is.
        country: Where; "" where it was general.
        from_year: First year of use; None where not known.
        to_year: Last year of use; None where not known or still in use.
        years_approximate: Whether the years stand for a decade.
        short_mm: Short side, mm.
        long_mm: Long side, mm.
        tolerance_mm: Half width that the source states for both sides, mm; None where it states none.
        thickness_mm: Its thickness, mm; None where not known.
        note: What to beware of; "" for nothing.
        source: Where it was found.
    """

    id: str
    category: str
    item: str
    country: str
    from_year: int | None
    to_year: int | None
    years_approximate: bool
    short_mm: float
    long_mm: float
    tolerance_mm: float | None
    thickness_mm: float | None
    note: str
    source: Source


@dataclass(frozen=True, slots=True)
class CaliperFact:
    """The thickness of a paper as published.

    Attributes:
        id: Identifier.
        grade: The paper.
        basis_lb: Its pounds; None where not given.
        grammage_gsm: Its grammage, g/m²; None where not given.
        thickness_mm: Thickness of one sheet, mm.
        tolerance_mm: Half width allowed, mm; None where not given.
        note: What to beware of; "" for nothing.
        source: Where it was found.
    """

    id: str
    grade: str
    basis_lb: float | None
    grammage_gsm: float | None
    thickness_mm: float
    tolerance_mm: float | None
    note: str
    source: Source


@dataclass(frozen=True, slots=True)
class PaperKind:
    """A kind of paper.

    Attributes:
        kind: Its name.
        other_names: Further names.
        definition: What it is, in a sentence or two.
        usual_gsm: Least and greatest usual grammage, g/m².
        usual_thickness_mm: A usual thickness, mm; None where not known.
        grammage_seen: "yes", "partly", "derived" or "no": whether the grammages were read in a source.
        thickness_seen: Whether the thickness was.
        source: Where the definition comes from.
    """

    kind: str
    other_names: tuple[str, ...]
    definition: str
    usual_gsm: tuple[float, float]
    usual_thickness_mm: float | None
    grammage_seen: str
    thickness_seen: bool
    source: Source


@dataclass(frozen=True, slots=True)
class TradeWeights:
    """One row of a table of equal weights, in whole pounds as paper is sold.

    Attributes:
        grammage_gsm: Grammage, g/m².
        pounds: Grade and whole pounds.
        source: Where the table was found.
    """

    grammage_gsm: float
    pounds: tuple[tuple[str, int], ...]
    source: Source


def decode_grades(rows: Iterable[Row]) -> tuple[GradeSource, ...]:
    """Return the sources of the pound grades from the rows of paper_grades."""
    return tuple(
        GradeSource(
            row["grade"],
            Fraction(row["short_in"]),
            Fraction(row["long_in"]),
            int(row["sheets"]),
            row["note"],
            _source(row),
        )
        for row in rows
    )


def decode_sizes(rows: Iterable[Row], family_rows: Iterable[Row]) -> tuple[PaperSize, ...]:
    """Return the named sizes from the rows of paper_sizes and paper_families.

    Raises:
        KeyError: A size names a family that is not listed.
    """
    families = {
        row["family"]: SizeFamily(
            row["family"],
            row["title"],
            row["made_as"],
            row["country"],
            _year(row["from_year"]),
            _year(row["to_year"]),
            _year(row["listed_year"]),
        )
        for row in family_rows
    }
    sizes = []
    for row in rows:
        tolerance = None
        if row["tolerance_short_mm"]:
            tolerance = (float(row["tolerance_short_mm"]), float(row["tolerance_long_mm"]))
        sizes.append(
            PaperSize(
                row["id"],
                families[row["family"]],
                row["name"],
                _names(row["other_names"]),
                _mm(row["short"], row["unit"]),
                _mm(row["long"], row["unit"]),
                row["unit"],
                tolerance,
                row["note"],
                _source(row),
            )
        )
    return tuple(sizes)


def decode_formats(rows: Iterable[Row]) -> tuple[PeriodFormat, ...]:
    """Return the period formats from the rows of period_formats."""
    return tuple(
        PeriodFormat(
            row["id"],
            row["category"],
            row["item"],
            row["country"],
            _year(row["from_year"]),
            _year(row["to_year"]),
            row["years_approximate"] == "yes",
            _mm(row["short"], row["unit"]),
            _mm(row["long"], row["unit"]),
            _number(row["tolerance_mm"]),
            _number(row["thickness_mm"]),
            row["note"],
            _source(row),
        )
        for row in rows
    )


def decode_calipers(rows: Iterable[Row]) -> tuple[CaliperFact, ...]:
    """Return the published thicknesses from the rows of paper_calipers."""
    return tuple(
        CaliperFact(
            row["id"],
            row["grade"],
            _number(row["basis_lb"]),
            _number(row["grammage_gsm"]),
            _mm(row["thickness"], row["unit"]),
            _number(row["tolerance_mm"]),
            row["note"],
            _source(row),
        )
        for row in rows
    )


def decode_kinds(rows: Iterable[Row]) -> tuple[PaperKind, ...]:
    """Return the kinds of paper from the rows of paper_kinds."""
    return tuple(
        PaperKind(
            row["kind"],
            _names(row["other_names"]),
            row["definition"],
            (float(row["usual_min_gsm"]), float(row["usual_max_gsm"])),
            _number(row["usual_thickness_mm"]),
            row["grammage_seen"],
            row["thickness_seen"] == "yes",
            _source(row),
        )
        for row in rows
    )


def decode_equivalence(rows: Iterable[Row]) -> tuple[TradeWeights, ...]:
    """Return the table of equal weights from the rows of paper_equivalence."""
    grades = ("bond", "text", "cover", "bristol", "index", "tag")
    return tuple(
        TradeWeights(
            float(row["grammage_gsm"]),
            tuple((grade, int(row[f"{grade}_lb"])) for grade in grades),
            _source(row),
        )
        for row in rows
    )


def _source(row: Row) -> Source:
    return Source(row["source"], row["quality"], row["seen"] == "yes")


def _mm(number: str, unit: str) -> float:
    """Exact until the last step, so that 2 1/2 in is 63.5 mm and not a neighbour of it."""
    return float(Fraction(number) * (_INCH if unit == "in" else 1))


def _number(text: str) -> float | None:
    return float(text) if text else None


def _year(text: str) -> int | None:
    return int(text) if text else None


def _names(text: str) -> tuple[str, ...]:
    return tuple(name.strip() for name in text.split(";") if name.strip())
