"""Spares by the maker's rule."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.making.spares import (
    FixedSpares,
    RuleFrom,
    ShareSpares,
    SpareNeed,
    SpareRule,
    compute_spares,
    plan_spares,
)


@pytest.mark.parametrize(
    ("wanted", "rule", "spares"),
    [
        (6, None, 0),
        (6, FixedSpares(2), 2),
        (6, FixedSpares(0), 0),
        (0, FixedSpares(2), 0),
        (6, ShareSpares(0.5), 3),
        (7, ShareSpares(0.5), 4),
        (0, ShareSpares(0.5), 0),
        (1, ShareSpares(0.01), 1),
        (6, ShareSpares(0), 0),
        (6, ShareSpares(Decimal("1.5")), 9),
        # As floats 30 · 0.1 and 50 · 0.14 come out a hair above the whole number.
        (30, ShareSpares(0.1), 3),
        (50, ShareSpares(0.14), 7),
        (3, ShareSpares(1e-5), 1),
    ],
)
def test_each_rule(wanted: int, rule: SpareRule | None, spares: int) -> None:
    assert compute_spares(wanted, rule) == spares


def test_the_hair_is_real() -> None:
    """Without the decimal reading of a share one piece too many would be made."""
    assert math.ceil(50 * 0.14) == 8


def test_a_thing_goes_by_its_own_rule_else_by_the_editions() -> None:
    needs = [SpareNeed("pass", 2, FixedSpares(1)), SpareNeed("chart"), SpareNeed("label", 0)]
    own, edition, none_wanted = plan_spares(needs, 6, ShareSpares(0.5))
    assert (own.wanted, own.spares, own.to_make, own.rule_from) == (12, 1, 13, RuleFrom.THING)
    assert (edition.wanted, edition.spares, edition.to_make) == (6, 3, 9)
    assert (edition.rule, edition.rule_from) == (ShareSpares(0.5), RuleFrom.EDITION)
    assert none_wanted.to_make == 0


def test_without_any_rule_there_are_no_spares() -> None:
    (plan,) = plan_spares([SpareNeed("chart", 3)], 6)
    assert (plan.spares, plan.to_make, plan.rule, plan.rule_from) == (0, 18, None, RuleFrom.NONE)


@pytest.mark.parametrize(
    ("wanted", "rule", "argument"),
    [
        (-1, None, "wanted"),
        (1, FixedSpares(-1), "count"),
        (1, ShareSpares(-0.5), "share"),
        (1, ShareSpares(math.nan), "share"),
        (1, ShareSpares(Decimal("Infinity")), "share"),
    ],
)
def test_what_makes_no_sense_is_refused(wanted: int, rule: SpareRule | None, argument: str) -> None:
    with pytest.raises(DomainError) as caught:
        compute_spares(wanted, rule)
    assert caught.value.argument == argument


def test_a_plan_refuses_what_makes_no_sense() -> None:
    for needs, edition in (([], -1), ([SpareNeed("a", -1)], 1), ([SpareNeed("a"), SpareNeed("a")], 1)):
        with pytest.raises(DomainError):
            plan_spares(needs, edition)


@settings(deadline=None)
@given(st.integers(0, 5000), st.decimals(0, 3, places=3))
def test_a_share_is_the_smallest_whole_number_that_is_enough(wanted: int, share: Decimal) -> None:
    spares = compute_spares(wanted, ShareSpares(share))
    assert spares >= wanted * Fraction(share)
    assert spares - 1 < wanted * Fraction(share)
    assert compute_spares(wanted, ShareSpares(float(share))) == spares
