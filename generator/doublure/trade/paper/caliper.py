"""Caliper and bulk: thickness from a stack, stacks from a thickness, and whether it can be true.

In: measured thicknesses, stacks, counts, grammages. Out: Measured results in mm and cm³/g, and verdicts.
Never: where the published thicknesses came from (records.py), the thickness of a bound book under pressure.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from doublure.measured import Measured
from doublure.trade.paper.limits import check_positive, check_sheets
from doublure.trade.paper.records import CaliperFact


@dataclass(frozen=True, slots=True)
class BulkRange:
    """Bounds on the bulk of paper.

    Attributes:
        low_cm3_g: Least, cm³/g.
        high_cm3_g: Greatest, cm³/g.
        source: Where the bounds come from.
    """

    low_cm3_g: float
    high_cm3_g: float
    source: str


# Dense glassine reaches the density of cellulose itself (1.5 g/cm³); the softest tissues have 0.25 g/cm³.
POSSIBLE_BULK = BulkRange(
    0.6,
    4.0,
    "apparent densities of 0.25 g/cm³ (tissue) to 1.5 g/cm³ (glassine, cellulose) in the articles on paper "
    "density of biologyinsights.com and probsee.com, seen, no standard; a tenth more for mineral coating",
)
# A tenth beyond the published rows on the dense side, and up to bulky book paper on the other.
USUAL_BULK = BulkRange(
    0.9,
    2.2,
    "1.0 (coated book) to 1.75 cm³/g (newsprint) in Government Paper Specification Standards No. 11 (1999); "
    "bulky book paper to about 2.2 cm³/g: common practice, no published source",
)

# A caliper written without an uncertainty. The government specifications allow 0.008 to 0.025 mm, 6 to 15 %
# of the thickness, as outermost bounds.
UNSTATED_RELATIVE_U = 0.05
_TWO_SIDED_99 = 2.5758293035489004


class BulkVerdict(Enum):
    """How believable a bulk is."""

    USUAL = "usual"
    UNUSUAL = "unusual"
    IMPOSSIBLE = "impossible"


@dataclass(frozen=True, slots=True)
class BulkCheck:
    """Whether a caliper can belong to a grammage.

    Attributes:
        bulk: cm³/g with its standard uncertainty.
        verdict: Usual, unusual, or impossible.
        likely_caliper_mm: Least and greatest usual caliper for the grammage, mm.
        usual: The bounds of what is usual.
        possible: The bounds of what is possible.
    """

    bulk: Measured
    verdict: BulkVerdict
    likely_caliper_mm: tuple[float, float]
    usual: BulkRange
    possible: BulkRange


@dataclass(frozen=True, slots=True)
class StackCheck:
    """Whether a stack agrees with a stated caliper.

    Attributes:
        from_stack: Caliper by the stack, mm.
        stated: Caliper as stated, mm.
        difference_mm: From the stack less as stated, mm.
        z: The difference in standard uncertainties of the difference.
        contradicts: True where so great a difference would come up by chance in less than 1 of 100 cases.
    """

    from_stack: Measured
    stated: Measured
    difference_mm: float
    z: float
    contradicts: bool


def compute_caliper(stack_height: Measured, sheets: int) -> Measured:
    """Return the thickness of one sheet from the height of a stack.

    A stack holds some air between its sheets, so the result is the bulking thickness, a little more than
    that of a single sheet under a micrometer; press the stack flat while measuring.

    Args:
        stack_height: Height, mm, > 0, with its standard uncertainty where known.
        sheets: Number of sheets (leaves) in it, at least 1.

    Returns:
        Caliper, mm; its uncertainty shrinks with the number of sheets.

    Raises:
        DomainError: The height is not finite and positive, or there are no sheets.

    Source:
        ISO 534 tells single-sheet from bulking thickness (abstract seen).

    Examples:
        >>> compute_caliper(Measured(55.0, 0.5), 500)
        Measured(value=0.11, u=0.001, text='')
    """
    check_positive(stack_height.value, "stack_height")
    check_sheets(sheets)
    return Measured(stack_height.value / sheets, None if stack_height.u is None else stack_height.u / sheets)


def compute_stack_height(caliper: Measured, sheets: int) -> Measured:
    """Return the height of a flat stack, such as a ream or the leaves of a book: caliper x sheets.

    The uncertainty grows with the number of sheets, for it is the same caliper that may be off in all of
    them.

    Raises:
        DomainError: The caliper is not finite and positive, or there are no sheets.
    """
    check_positive(caliper.value, "caliper")
    check_sheets(sheets)
    return Measured(caliper.value * sheets, None if caliper.u is None else caliper.u * sheets)


def compute_pages_per_inch(caliper_mm: float) -> float:
    """Return how many pages, two to a leaf, make an inch.

    Raises:
        DomainError: The caliper is not finite and positive.
    """
    check_positive(caliper_mm, "caliper_mm")
    return 2 * 25.4 / caliper_mm


def compute_bulk(caliper: Measured, grammage: Measured) -> Measured:
    """Return the bulk of a paper: volume by mass.

    Args:
        caliper: Thickness of one sheet, mm, > 0.
        grammage: g/m², > 0.

    Returns:
        Bulk, cm³/g; the relative uncertainties combine as independent (JCGM 100:2008, 5.1.6, from memory). An
        uncertainty that is not stated counts as none; both unstated give None.

    Raises:
        DomainError: An argument is not finite and positive.

    Source:
        Bulk in cm³/g is thickness in micrometres divided by grammage: a paper maker's page, seen; the inverse
        is the apparent density of the CoOL dictionary.

    Examples:
        >>> compute_bulk(Measured(0.1), Measured(80.0)).value
        1.25
    """
    check_positive(caliper.value, "caliper")
    check_positive(grammage.value, "grammage")
    bulk = 1000 * caliper.value / grammage.value
    if caliper.u is None and grammage.u is None:
        return Measured(bulk)
    relative = math.hypot((caliper.u or 0) / caliper.value, (grammage.u or 0) / grammage.value)
    return Measured(bulk, bulk * relative)


def compute_caliper_from_bulk(grammage_gsm: float, bulk_cm3_g: float) -> float:
    """Return the caliper in mm of a paper of known bulk.

    Raises:
        DomainError: An argument is not finite and positive.
    """
    check_positive(grammage_gsm, "grammage_gsm")
    check_positive(bulk_cm3_g, "bulk_cm3_g")
    return grammage_gsm * bulk_cm3_g / 1000


def check_bulk(
    caliper: Measured,
    grammage: Measured,
    usual: BulkRange = USUAL_BULK,
    possible: BulkRange = POSSIBLE_BULK,
) -> BulkCheck:
    """Return whether a caliper can belong to a grammage.

    Args:
        caliper: Thickness of one sheet, mm.
        grammage: g/m².
        usual: Bounds of what is usual.
        possible: Bounds beyond which caliper and grammage contradict each other.

    Returns:
        The bulk and the verdict. The benefit of the doubt is given: a bulk counts as outside only where it
        stays outside when moved by two standard uncertainties.

    Raises:
        DomainError: An argument is not finite and positive.
    """
    bulk = compute_bulk(caliper, grammage)
    doubt = 2 * (bulk.u or 0)

    def outside(bounds: BulkRange) -> bool:
        return bulk.value + doubt < bounds.low_cm3_g or bulk.value - doubt > bounds.high_cm3_g

    verdict = BulkVerdict.USUAL
    if outside(possible):
        verdict = BulkVerdict.IMPOSSIBLE
    elif outside(usual):
        verdict = BulkVerdict.UNUSUAL
    likely = (
        compute_caliper_from_bulk(grammage.value, usual.low_cm3_g),
        compute_caliper_from_bulk(grammage.value, usual.high_cm3_g),
    )
    return BulkCheck(bulk, verdict, likely, usual, possible)


def check_stack(
    stated: Measured, stack_height: Measured, sheets: int, unstated_relative_u: float = UNSTATED_RELATIVE_U
) -> StackCheck:
    """Return whether a stack's height agrees with a stated caliper.

    Args:
        stated: Caliper as stated, mm.
        stack_height: Height of the stack, mm.
        sheets: Sheets in the stack, at least 1.
        unstated_relative_u: Relative standard uncertainty of a caliper or stack written without one.

    Returns:
        The difference, and whether it is too great for chance at the 1 % level (two-sided, normal).

    Raises:
        DomainError: An argument is not finite and positive.
    """
    check_positive(stated.value, "stated")
    check_positive(unstated_relative_u, "unstated_relative_u")
    from_stack = compute_caliper(stack_height, sheets)
    u_mm = math.hypot(
        *(part.value * unstated_relative_u if part.u is None else part.u for part in (stated, from_stack))
    )
    difference_mm = from_stack.value - stated.value
    z = difference_mm / u_mm
    return StackCheck(from_stack, stated, difference_mm, z, abs(z) > _TWO_SIDED_99)


def list_bulks(facts: Iterable[CaliperFact]) -> tuple[tuple[CaliperFact, float], ...]:
    """Return the published papers with both thickness and grammage, with their bulk, cm³/g, densest first."""
    bulks = [
        (fact, 1000 * fact.thickness_mm / fact.grammage_gsm)
        for fact in facts
        if fact.grammage_gsm is not None
    ]
    return tuple(sorted(bulks, key=lambda pair: (pair[1], pair[0].id)))
