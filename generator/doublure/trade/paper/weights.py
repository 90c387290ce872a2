"""Weights of paper: grammage and every pound grade, mass of sheets and reams.

In: grammage with its uncertainty, sizes, counts. Out: frozen results in g/m², pounds, grams, m².
Never: text (quantities.parse_grammage reads "20 lb bond"), where a grade's basic size was found.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.quantities import POUND_GRADES, PoundGrade
from doublure.trade.paper.limits import check_positive, check_sheets
from doublure.trade.paper.records import TradeWeights


@dataclass(frozen=True, slots=True)
class PoundWeight:
    """What a paper weighs in one grade.

    Attributes:
        grade: The grade.
        pounds: Pounds a ream of its basic size.
        u_lb: Standard uncertainty, pounds; None where the grammage has none.
    """

    grade: PoundGrade
    pounds: float
    u_lb: float | None


@dataclass(frozen=True, slots=True)
class PaperWeights:
    """One paper in every measure.

    Attributes:
        grammage: g/m², with its uncertainty.
        pounds: Its weight in each grade, in the order of the grades.
    """

    grammage: Measured
    pounds: tuple[PoundWeight, ...]

    def in_grade(self, name: str) -> PoundWeight:
        """Return the weight in the grade with this name (or further name), in lower case.

        Raises:
            DomainError: There is no such grade.
        """
        for weight in self.pounds:
            if name in (weight.grade.name, *weight.grade.others):
                return weight
        raise DomainError(f'"{name}" is not a grade', "name")


def compute_grammage(pounds: float, grade: PoundGrade) -> float:
    """Return the grammage of a paper of so many pounds a ream of its grade's basic size.

    Args:
        pounds: Weight of the ream, lb, > 0.
        grade: The grade.

    Returns:
        Grammage, g/m².

    Raises:
        DomainError: The weight is not finite and positive.

    Source:
        Definition of basis weight; 1 lb = 453.592 37 g and 1 in = 25.4 mm exactly.

    Examples:
        >>> from doublure.quantities import index_grades
        >>> round(compute_grammage(20, index_grades()["bond"]), 3)
        75.195
    """
    check_positive(pounds, "pounds")
    return pounds * float(grade.gsm_per_lb)


def compute_pounds(grammage_gsm: float, grade: PoundGrade) -> float:
    """Return the pounds a ream of a grade's basic size for a grammage; the inverse of compute_grammage.

    Raises:
        DomainError: The grammage is not finite and positive.
    """
    check_positive(grammage_gsm, "grammage_gsm")
    return grammage_gsm / float(grade.gsm_per_lb)


def compute_weights(grammage: Measured, grades: Sequence[PoundGrade] = POUND_GRADES) -> PaperWeights:
    """Return a paper's weight in every pound grade.

    Args:
        grammage: g/m², with its uncertainty.
        grades: The grades wanted.

    Returns:
        The grammage and the pounds in each grade, the uncertainty scaled alike.

    Raises:
        DomainError: The grammage is not finite and positive.
    """
    check_positive(grammage.value, "grammage")
    pounds = tuple(
        PoundWeight(
            grade,
            grammage.value / float(grade.gsm_per_lb),
            None if grammage.u is None else grammage.u / float(grade.gsm_per_lb),
        )
        for grade in grades
    )
    return PaperWeights(grammage, pounds)


def find_trade_weights(grammage_gsm: float, table: Sequence[TradeWeights]) -> TradeWeights | None:
    """Return the row of a table of equal weights that is nearest by ratio, or None where none is within 5 %.

    Five per cent is what the government specifications allow of a nominal grammage.

    Args:
        grammage_gsm: g/m², > 0.
        table: Rows of the table.

    Raises:
        DomainError: The grammage is not finite and positive.
    """
    check_positive(grammage_gsm, "grammage_gsm")
    if not table:
        return None
    nearest = min(table, key=lambda row: abs(math.log(row.grammage_gsm / grammage_gsm)))
    return nearest if abs(nearest.grammage_gsm / grammage_gsm - 1) <= 0.05 else None


def compute_sheet_mass(size_mm: tuple[float, float], grammage_gsm: float) -> float:
    """Return the mass of one flat sheet.

    Args:
        size_mm: Width and height, mm, each > 0.
        grammage_gsm: Mass by area, g/m², > 0.

    Returns:
        Mass, g.

    Raises:
        DomainError: An argument is not finite and positive.

    Source:
        ISO 536 defines grammage (not seen).

    Examples:
        >>> round(compute_sheet_mass((210, 297), 80), 4)
        4.9896
    """
    for side_mm in size_mm:
        check_positive(side_mm, "size_mm")
    check_positive(grammage_gsm, "grammage_gsm")
    return size_mm[0] * size_mm[1] * grammage_gsm * 1e-6


def compute_ream_mass(size_mm: tuple[float, float], grammage_gsm: float, sheets: int = 500) -> float:
    """Return the mass of so many sheets, in kilograms.

    Raises:
        DomainError: A side or the grammage is not finite and positive, or there are no sheets.
    """
    check_sheets(sheets)
    return compute_sheet_mass(size_mm, grammage_gsm) * sheets / 1000


def compute_ream_area(size_mm: tuple[float, float], sheets: int = 500) -> float:
    """Return the area of so many sheets, one side, in m².

    Raises:
        DomainError: A side is not finite and positive, or there are no sheets.
    """
    for side_mm in size_mm:
        check_positive(side_mm, "size_mm")
    check_sheets(sheets)
    return size_mm[0] * size_mm[1] * sheets * 1e-6
