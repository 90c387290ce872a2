"""Creep: how far the inner sheets of a gathering push out at the fore-edge.

In: caliper, sheets in a gathering, a rule or a measured dummy. Out: push-out of sheets and leaves, widths
left. Never: where artwork is shifted to, drawing. Steps count from 0 for the outermost sheet, sheets from 1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.trade.book.limits import MAX_PAGES, check_count, check_measured, check_positive

FLAT_FACTOR = 1.0
"""Push-out per sheet in calipers, sharp creases lying on each other: the least that nested paper can do."""

ROUND_FACTOR = math.pi / 2
"""Push-out per sheet in calipers, half-round folds about one centre."""


class CreepRule(Enum):
    """How the push-out per sheet was found."""

    FLAT = "flat"
    ROUND = "round"
    CALIBRATED = "calibrated"


@dataclass(frozen=True, slots=True)
class CreepStep:
    """How far each sheet pushes out beyond the one around it.

    Attributes:
        rule: How it was found.
        factor: Push-out per sheet, in calipers (no unit).
        step_mm: Push-out per sheet, mm.
        is_usual: False where a calibrated factor lies outside FLAT_FACTOR to ROUND_FACTOR: the dummy or the
            caliper should be measured again.
        dummy_sheets: Sheets of the measured dummy; None where nothing was measured.
    """

    rule: CreepRule
    factor: Measured
    step_mm: Measured
    is_usual: bool
    dummy_sheets: int | None = None

    def push_out_mm(self, steps: int) -> Measured:
        """Return the push-out, mm, of a sheet with so many sheets outside it (0: the outermost).

        Raises:
            DomainError: The number of steps is not a whole number of at least 0.
        """
        check_count(steps, "steps", "sheets outside it", least=0)
        u = self.step_mm.u
        return Measured(steps * self.step_mm.value, None if u is None else steps * u)


@dataclass(frozen=True, slots=True)
class SheetCreep:
    """Push-out of one sheet.

    Attributes:
        sheet: From 1, the outermost.
        push_out_mm: How far its fore-edges stand out beyond those of the outermost sheet, mm.
    """

    sheet: int
    push_out_mm: Measured


@dataclass(frozen=True, slots=True)
class LeafCreep:
    """Push-out of one leaf.

    Attributes:
        leaf: From 1, within the gathering.
        sheet: Sheet of which it is a half, from 1, the outermost.
        push_out_mm: As its sheet, mm.
    """

    leaf: int
    sheet: int
    push_out_mm: Measured


@dataclass(frozen=True, slots=True)
class GatheringCreep:
    """Push-out within one gathering.

    Attributes:
        step: Push-out per sheet and how it was found.
        sheets: Each sheet, the outermost first.
        leaves: Each leaf, in reading order.
        total_mm: Push-out of the innermost sheet, mm.
        is_beyond_dummy: True where the gathering has more sheets than the dummy that was measured.
    """

    step: CreepStep
    sheets: tuple[SheetCreep, ...]
    leaves: tuple[LeafCreep, ...]
    total_mm: Measured
    is_beyond_dummy: bool


@dataclass(frozen=True, slots=True)
class TrimmedLeaf:
    """One leaf of a gathering whose fore-edge was trimmed flush with the outermost sheet.

    Attributes:
        leaf: From 1, within the gathering.
        sheet: Sheet of which it is a half, from 1, the outermost.
        lost_mm: Width that it loses more than the outermost leaf does, mm.
        width_mm: Width that it keeps, fold to fore-edge, mm.
    """

    leaf: int
    sheet: int
    lost_mm: Measured
    width_mm: Measured


def compute_creep_step(caliper_mm: Measured, rule: CreepRule) -> CreepStep:
    """Return the push-out per sheet by the flat or the round rule.

    Flat: each sheet lies one caliper t further out. Round: the k-th sheet from the inside is bent round a
    half circle of radius (k - 1/2) t, which takes pi times that radius of its width, half of it from each
    leaf; so neighbouring sheets differ by (pi/2) t.

    Args:
        caliper_mm: Thickness of one sheet, mm, > 0.
        rule: FLAT or ROUND.

    Raises:
        DomainError: The caliper is not finite and positive, or the rule is CALIBRATED.

    Source:
        Flat: a stack of nested sheets of .005 in stands .005, .010, .015 in out (colorvisionprinting.com, a
        printer's page). Round: closed-form geometry, no published source. Pressed folds lie between the two.

    Examples:
        >>> round(compute_creep_step(Measured(0.1), CreepRule.ROUND).push_out_mm(3).value, 4)
        0.4712
    """
    check_measured(caliper_mm, "caliper_mm", "caliper")
    if rule is CreepRule.CALIBRATED:
        raise DomainError("creep: to calibrate, a folded dummy must be measured", "rule")
    factor = FLAT_FACTOR if rule is CreepRule.FLAT else ROUND_FACTOR
    u = None if caliper_mm.u is None else factor * caliper_mm.u
    return CreepStep(rule, Measured(factor, 0.0), Measured(factor * caliper_mm.value, u), is_usual=True)


def calibrate_creep_step(caliper_mm: Measured, dummy_sheets: int, push_out_mm: Measured) -> CreepStep:
    """Return the push-out per sheet from a folded dummy of the book's own stock.

    The total push-out D of m sheets makes m - 1 equal steps. The caliper serves only to say how many calipers
    a step is; the step itself, D / (m - 1), does not depend on it, and neither does its uncertainty.

    Args:
        caliper_mm: Thickness of one sheet, mm, > 0.
        dummy_sheets: Sheets nested in the dummy, at least 2.
        push_out_mm: How far the fore-edge of the innermost stands out beyond that of the outermost, mm, > 0.

    Raises:
        DomainError: An argument lies outside its limits.

    Source:
        Measuring a folded dummy of the real stock: Nies/Artcraft answers on creep, quoted 2006. Uncertainty
        of a
        quotient: JCGM 100:2008, 5.1.2 (clause from memory).

    Examples:
        >>> step = calibrate_creep_step(Measured(0.1), 5, Measured(0.5))
        >>> round(step.factor.value, 4), round(step.step_mm.value, 4), step.is_usual
        (1.25, 0.125, True)
    """
    check_measured(caliper_mm, "caliper_mm", "caliper")
    check_count(dummy_sheets, "dummy_sheets", "sheets of the dummy", most=MAX_PAGES // 4, least=2)
    check_measured(push_out_mm, "push_out_mm", "push-out of the dummy")
    steps = dummy_sheets - 1
    step = push_out_mm.value / steps
    factor = step / caliper_mm.value
    step_u = None if push_out_mm.u is None else push_out_mm.u / steps
    factor_u = None
    if step_u is not None and caliper_mm.u is not None:
        factor_u = factor * math.hypot(step_u / step, caliper_mm.u / caliper_mm.value)
    rounding = 1e-9
    return CreepStep(
        rule=CreepRule.CALIBRATED,
        factor=Measured(factor, factor_u),
        step_mm=Measured(step, step_u),
        is_usual=FLAT_FACTOR - rounding <= factor <= ROUND_FACTOR + rounding,
        dummy_sheets=dummy_sheets,
    )


def compute_creep(sheets: int, step: CreepStep) -> GatheringCreep:
    """Return the push-out of every sheet and leaf of a gathering.

    Args:
        sheets: Sheets nested in the gathering, at least 1.
        step: Push-out per sheet.

    Raises:
        DomainError: The number of sheets is not a whole number within its limits.

    Examples:
        >>> creep = compute_creep(4, compute_creep_step(Measured(0.1), CreepRule.FLAT))
        >>> [round(s.push_out_mm.value, 3) for s in creep.sheets]
        [0.0, 0.1, 0.2, 0.3]
    """
    check_count(sheets, "sheets", "sheets in a gathering", most=MAX_PAGES // 4)
    each = tuple(SheetCreep(sheet, step.push_out_mm(sheet - 1)) for sheet in range(1, sheets + 1))
    leaves = tuple(
        LeafCreep(leaf, creep.sheet, creep.push_out_mm) for leaf, creep in enumerate((*each, *each[::-1]), 1)
    )
    is_beyond = step.dummy_sheets is not None and sheets > step.dummy_sheets
    return GatheringCreep(step, each, leaves, each[-1].push_out_mm, is_beyond)


def round_to_steps(creep: GatheringCreep, step_mm: float) -> dict[int, int]:
    """Return by how many steps the artwork of each sheet is shifted, its push-out rounded to the nearest step.

    Args:
        creep: The gathering.
        step_mm: Size of one step, mm, > 0.

    Returns:
        The steps by sheet, 1 the outermost, which has 0.

    Raises:
        DomainError: The step is not finite and positive.

    Examples:
        >>> creep = compute_creep(4, compute_creep_step(Measured(0.12), CreepRule.FLAT))
        >>> round_to_steps(creep, 0.2)
        {1: 0, 2: 1, 3: 1, 4: 2}
    """
    check_positive(step_mm, "step_mm", "creep step")
    return {sheet.sheet: math.floor(sheet.push_out_mm.value / step_mm + 0.5) for sheet in creep.sheets}


def trim_leaves(creep: GatheringCreep, leaf_width_mm: float) -> tuple[TrimmedLeaf, ...]:
    """Return the width of each leaf of a gathering trimmed flush with its outermost sheet.

    Args:
        creep: The gathering.
        leaf_width_mm: Width of the outermost leaf after trimming, fold to fore-edge, mm, > 0.

    Raises:
        DomainError: The width is not finite and positive, or the innermost leaf would lose all of it.

    Source:
        Follows from equal flat widths: what stands out is cut off. Common practice, no published source.
    """
    check_positive(leaf_width_mm, "leaf_width_mm", "width of a leaf")
    if creep.total_mm.value >= leaf_width_mm:
        raise DomainError(
            f"creep: the innermost leaf would lose {creep.total_mm.value:.3g} of its {leaf_width_mm:.3g} mm;"
            " use fewer sheets in a gathering",
            "leaf_width_mm",
        )
    return tuple(
        TrimmedLeaf(
            leaf.leaf,
            leaf.sheet,
            lost_mm=leaf.push_out_mm,
            width_mm=Measured(leaf_width_mm - leaf.push_out_mm.value, leaf.push_out_mm.u),
        )
        for leaf in creep.leaves
    )
