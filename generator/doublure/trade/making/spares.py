"""How many to make: what the edition wants, and the maker's own rule for spares on top.

In: pieces, rules. Out: SparePlan.
Never: statistics of spoilage; the rule is the maker's and taken at its word.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction

from doublure.errors import DomainError


@dataclass(frozen=True, slots=True)
class FixedSpares:
    """So many spares of each thing, however many of it are wanted."""

    count: int


@dataclass(frozen=True, slots=True)
class ShareSpares:
    """A share of what is wanted, rounded up to whole pieces; 0.5 is half again.

    A float is taken as the decimal that it is written as, so that a tenth of 30 is 3 and not a hair more.
    """

    share: Decimal | float


SpareRule = FixedSpares | ShareSpares


class RuleFrom(Enum):
    """Whose rule was used."""

    THING = "thing"
    EDITION = "edition"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class SpareNeed:
    """One kind of piece to be made.

    Attributes:
        thing: Identifier of the insert, or of whatever is made.
        per_copy: Pieces of it in one copy, ≥ 0.
        rule: Its own rule; None: the edition's.
    """

    thing: str
    per_copy: int = 1
    rule: SpareRule | None = None


@dataclass(frozen=True, slots=True)
class SparePlan:
    """How many of one thing to make.

    Attributes:
        thing: Its identifier.
        wanted: Pieces that the edition wants.
        spares: Pieces on top.
        to_make: Both together.
        rule: The rule used; None where there is none, and so no spares.
        rule_from: Whose rule it is.
    """

    thing: str
    wanted: int
    spares: int
    to_make: int
    rule: SpareRule | None
    rule_from: RuleFrom


def compute_spares(wanted: int, rule: SpareRule | None) -> int:
    """Return the spares that a rule gives.

    Args:
        wanted: Pieces wanted, ≥ 0. Of what is not wanted there are no spares.
        rule: The rule; None for no spares.

    Returns:
        Pieces on top of those wanted.

    Raises:
        DomainError: A negative number, or a share that is not finite.

    Source:
        Common practice, no published source: overs as a fixed count or a share of the run.

    Examples:
        >>> compute_spares(7, ShareSpares(0.5)), compute_spares(30, ShareSpares(0.1))
        (4, 3)
    """
    if wanted < 0:
        raise DomainError(f"the pieces wanted must be 0 or more, not {wanted}", "wanted")
    if rule is None:
        return 0
    if isinstance(rule, FixedSpares):
        if rule.count < 0:
            raise DomainError(f"the spares must be 0 or more, not {rule.count}", "count")
        return rule.count if wanted else 0
    if not (math.isfinite(rule.share) and rule.share >= 0):
        raise DomainError(f"the share of spares must be 0 or more, not {rule.share}", "share")
    return math.ceil(wanted * Fraction(str(rule.share)))


def plan_spares(
    needs: Iterable[SpareNeed], edition: int, edition_rule: SpareRule | None = None
) -> tuple[SparePlan, ...]:
    """Return how many of each thing to make for an edition.

    Args:
        needs: What one copy holds, each thing once.
        edition: Copies, ≥ 0.
        edition_rule: The rule for things that have none of their own.

    Returns:
        One plan for each need, in the order given.

    Raises:
        DomainError: A negative number, or a thing given twice.

    Examples:
        >>> plan_spares([SpareNeed("pass", per_copy=2)], 6, ShareSpares(0.25))[0].to_make
        15
    """
    if edition < 0:
        raise DomainError(f"the edition must be 0 copies or more, not {edition}", "edition")
    plans = []
    seen = set()
    for need in needs:
        if need.thing in seen:
            raise DomainError(f"{need.thing} is given twice", "needs")
        seen.add(need.thing)
        if need.per_copy < 0:
            raise DomainError(f"the pieces of {need.thing} in one copy must be 0 or more", "per_copy")
        rule, rule_from = need.rule, RuleFrom.THING
        if rule is None:
            rule, rule_from = edition_rule, RuleFrom.EDITION if edition_rule is not None else RuleFrom.NONE
        wanted = need.per_copy * edition
        spares = compute_spares(wanted, rule)
        plans.append(SparePlan(need.thing, wanted, spares, wanted + spares, rule, rule_from))
    return tuple(plans)
