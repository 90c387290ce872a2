"""Kinds of paper: by name, and whether a grammage is usual for one.

In: records of kinds. Out: records and a comparison.
Never: forbidding an unusual paper.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum

from doublure.trade.paper.limits import check_not_negative, check_positive
from doublure.trade.paper.records import PaperKind


class Usual(Enum):
    """How a grammage lies to the usual ones of a kind."""

    LIGHTER = "lighter"
    WITHIN = "within"
    HEAVIER = "heavier"


def find_kind(name: str, kinds: Iterable[PaperKind]) -> PaperKind | None:
    """Return the kind of a name or further name, letter case aside; None where it is not known."""
    wanted = " ".join(name.lower().split())
    for kind in kinds:
        if wanted in (kind.kind, *kind.other_names):
            return kind
    return None


def compare_grammage(grammage_gsm: float, kind: PaperKind, slack: float = 0.05) -> Usual:
    """Return whether a grammage is usual for a kind, lighter or heavier.

    Args:
        grammage_gsm: g/m², > 0.
        kind: The kind.
        slack: Share by which it may be outside; the government specifications allow 5 % of a nominal
            grammage.

    Raises:
        DomainError: The grammage is not finite and positive, or the slack is negative.
    """
    check_positive(grammage_gsm, "grammage_gsm")
    check_not_negative(slack, "slack")
    if grammage_gsm < kind.usual_gsm[0] * (1 - slack):
        return Usual.LIGHTER
    if grammage_gsm > kind.usual_gsm[1] * (1 + slack):
        return Usual.HEAVIER
    return Usual.WITHIN
