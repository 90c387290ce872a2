"""What a measured size may have been: known formats, named sheets and their folds, by how well they fit.

In: a size with its uncertainty; records of formats and sizes. Out: candidates with distance and probability.
Never: deciding which it was; formats are evidence of practice, not of the artefact.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.trade.paper.limits import check_folds, check_not_negative, check_positive
from doublure.trade.paper.records import PaperSize, PeriodFormat, Source
from doublure.trade.paper.sizes import fold_sheet

# A format without a stated tolerance: a sixteenth of an inch either way, common practice, no published
# source.
UNSTATED_TOLERANCE_MM = 1.5875
# How far a piece may be off when cut by hand or on a small guillotine: common practice, no published source.
CUTTING_TOLERANCE_MM = 0.5
_KINDS_FOLDED = ("sheet",)


@dataclass(frozen=True, slots=True)
class KnownFormat:
    """A size that something was made in.

    Attributes:
        id: Identifier of the first record that it comes from, with "/" and the number of folds for a folded
            sheet.
        category: "postcard", "ticket" …; for a named size what it is made as: "sheet", "cut", "page" …
        name: Its name.
        lists: Titles of the lists of named sizes that agree on it; empty for a period format.
        folds: How many times the sheet is folded: 0 flat, 1 folio, 2 quarto, 3 octavo.
        country: Where; "" where it was general.
        from_year: First year of use; None where not known.
        to_year: Last year of use; None where not known or still in use.
        listed_years: Years of the lists, as far as they have one.
        years_approximate: Whether the years stand for a decade.
        short_mm: Short side, mm.
        long_mm: Long side, mm.
        tolerance_mm: Stated half widths for the short and the long side, mm; None where none is stated.
        note: What to beware of; "" for nothing.
        sources: Where the format was found.
    """

    id: str
    category: str
    name: str
    lists: tuple[str, ...]
    folds: int
    country: str
    from_year: int | None
    to_year: int | None
    listed_years: tuple[int, ...]
    years_approximate: bool
    short_mm: float
    long_mm: float
    tolerance_mm: tuple[float, float] | None
    note: str
    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class FormatMatch:
    """How well a known format fits a measured size.

    Attributes:
        format: The format.
        turned: True where its long side lies along the measured width.
        difference_mm: Measured less nominal, width and height, mm.
        z: The two differences in their standard uncertainties.
        distance2: Sum of the squares of z: the squared normalised distance.
        p: Probability of so great a distance or a greater one, if the piece was made in this format.
    """

    format: KnownFormat
    turned: bool
    difference_mm: tuple[float, float]
    z: tuple[float, float]
    distance2: float
    p: float


def gather_formats(
    formats: Iterable[PeriodFormat] = (), sizes: Iterable[PaperSize] = (), most_folds: int = 3
) -> tuple[KnownFormat, ...]:
    """Return period formats, named sizes and the folds of named sheets as one list to match against.

    Where several lists give one name the same sides, they are one format.

    Args:
        formats: Period formats.
        sizes: Named sizes; those made as sheets are folded too.
        most_folds: Folds of a sheet to include, 0 to 8.

    Raises:
        DomainError: The number of folds is out of range.
    """
    check_folds(most_folds, "most_folds")
    known = [
        KnownFormat(
            id=record.id,
            category=record.category,
            name=record.item,
            lists=(),
            folds=0,
            country=record.country,
            from_year=record.from_year,
            to_year=record.to_year,
            listed_years=(),
            years_approximate=record.years_approximate,
            short_mm=record.short_mm,
            long_mm=record.long_mm,
            tolerance_mm=None if record.tolerance_mm is None else (record.tolerance_mm, record.tolerance_mm),
            note=record.note,
            sources=(record.source,),
        )
        for record in formats
    ]
    alike: dict[tuple[str, str, float, float], list[PaperSize]] = {}
    for size in sizes:
        key = (size.family.made_as, size.name.lower().replace("-", " "), size.short_mm, size.long_mm)
        alike.setdefault(key, []).append(size)
    for group in alike.values():
        folded = group[0].family.made_as in _KINDS_FOLDED
        known += [_fold(group, folds) for folds in range(most_folds + 1 if folded else 1)]
    return tuple(known)


def match_formats(
    width: Measured,
    height: Measured,
    formats: Iterable[KnownFormat],
    *,
    cutting_tolerance_mm: float = CUTTING_TOLERANCE_MM,
    unstated_tolerance_mm: float = UNSTATED_TOLERANCE_MM,
    unstated_u_mm: float = 1.0,
    years: tuple[int, int] | None = None,
    least_p: float = 0.01,
    most: int | None = None,
) -> tuple[FormatMatch, ...]:
    """Return the known formats that a measured size is consistent with, best first.

    For each side z = (measured - nominal) / sqrt(u² + t²/3 + c²/3), where u is the standard uncertainty of
    the side, t the tolerance of the format and c that of cutting, both half widths of a rectangular
    distribution. The sum d² of both z² is compared with chi-square of two degrees of freedom, whose upper
    tail is exp(-d²/2). Each format is tried both ways round and the better one kept.

    A high probability says that nothing speaks against the format, not that it is likely: a size known only
    to 20 mm fits very many formats.

    Args:
        width: Measured width, mm.
        height: Measured height, mm.
        formats: Formats to try, from gather_formats.
        cutting_tolerance_mm: Half width of the error of cutting, mm, >= 0.
        unstated_tolerance_mm: Half width for a format whose source states none, mm, >= 0.
        unstated_u_mm: Standard uncertainty of a side without one, mm, > 0.
        years: First and last year that the artefact may be of; formats known to be out of use in all of them
            are left out. None for all.
        least_p: Leave out what fits worse than this. 0 keeps everything, to see what is nearest.
        most: Greatest number of candidates; None for all.

    Returns:
        Candidates by falling probability, then by nearness in mm, then by identifier.

    Raises:
        DomainError: A side or tolerance is out of range, or the years are the wrong way round.

    Source:
        JCGM 100:2008, 4.3.7 and 5.1.2 (from memory); the tail of chi-square with two degrees of freedom is
        the exponential, any textbook of statistics.
    """
    _check_side(width, "width")
    _check_side(height, "height")
    check_not_negative(cutting_tolerance_mm, "cutting_tolerance_mm")
    check_not_negative(unstated_tolerance_mm, "unstated_tolerance_mm")
    check_positive(unstated_u_mm, "unstated_u_mm")
    if years is not None and years[0] > years[1]:
        raise DomainError(f"the years run from {years[0]} back to {years[1]}", "years")
    u2 = [(unstated_u_mm if side.u is None else side.u) ** 2 for side in (width, height)]
    cut2 = cutting_tolerance_mm**2
    # With least_p > 0 the greatest distance that still counts; a journal has many pieces, and formats are many.
    farthest2 = -2 * math.log(least_p) if least_p > 0 else math.inf
    unstated = (unstated_tolerance_mm, unstated_tolerance_mm)
    near_mm: dict[tuple[float, float], float] = {}
    matches = []
    for known in formats:
        tolerances = known.tolerance_mm or unstated
        near = near_mm.get(tolerances)
        if near is None:
            # No side further off than this can belong to a format that still counts; most fall out here.
            near = math.sqrt(farthest2 * (max(u2) + (max(tolerances) ** 2 + cut2) / 3)) * (1 + 1e-9)
            near_mm[tolerances] = near
        if abs(width.value - known.short_mm) > near and abs(width.value - known.long_mm) > near:
            continue
        if years is not None and not _may_be_of(known, years):
            continue
        short_tolerance, long_tolerance = tolerances
        short, long = (known.short_mm, short_tolerance), (known.long_mm, long_tolerance)
        best: FormatMatch | None = None
        for turned, across, along in ((False, short, long), (True, long, short)):
            gap_x, gap_y = width.value - across[0], height.value - along[0]
            variance_x = u2[0] + (across[1] * across[1] + cut2) / 3
            variance_y = u2[1] + (along[1] * along[1] + cut2) / 3
            distance2 = gap_x * gap_x / variance_x + gap_y * gap_y / variance_y
            if distance2 > farthest2 or (best is not None and distance2 >= best.distance2):
                continue
            z = (gap_x / math.sqrt(variance_x), gap_y / math.sqrt(variance_y))
            best = FormatMatch(known, turned, (gap_x, gap_y), z, distance2, math.exp(-distance2 / 2))
        if best is not None:
            matches.append(best)
    matches.sort(key=lambda match: (match.distance2, math.hypot(*match.difference_mm), match.format.id))
    return tuple(matches[:most])


def _fold(group: Sequence[PaperSize], folds: int) -> KnownFormat:
    """Return the format of sizes that agree, folded so many times."""
    first = group[0]
    families = [size.family for size in group]
    short_mm, long_mm = fold_sheet(first.short_mm, first.long_mm, folds)
    begun = [family.from_year for family in families if family.from_year is not None]
    ended = [family.to_year for family in families if family.to_year is not None]
    return KnownFormat(
        id=f"{first.id}/{folds}" if folds else first.id,
        category=first.family.made_as,
        name=first.name,
        lists=tuple(family.title for family in families),
        folds=folds,
        country="/".join(sorted({family.country for family in families if family.country})),
        from_year=min(begun, default=None),
        # One list that knows no end of use leaves the end open.
        to_year=max(ended) if len(ended) == len(families) else None,
        listed_years=tuple(sorted({family.listed_year for family in families if family.listed_year})),
        years_approximate=False,
        short_mm=short_mm,
        long_mm=long_mm,
        tolerance_mm=first.tolerance_mm if not folds else None,
        note="; ".join(dict.fromkeys(size.note for size in group if size.note)),
        sources=tuple(dict.fromkeys(size.source for size in group)),
    )


def _may_be_of(known: KnownFormat, years: tuple[int, int]) -> bool:
    """Whether a format was, for all that is known, in use in one of the years; ten more if approximate."""
    slack = 10 if known.years_approximate else 0
    begun = known.from_year is None or known.from_year - slack <= years[1]
    ended = known.to_year is not None and known.to_year + slack < years[0]
    return begun and not ended


def _check_side(side: Measured, argument: str) -> None:
    check_positive(side.value, argument)
    if side.u is not None:
        check_positive(side.u, f"the uncertainty of {argument}")
