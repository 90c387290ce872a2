"""Caliper and bulk: stacks there and back, verdicts with the benefit of the doubt."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.store.data_files import read_rows
from doublure.trade.paper.caliper import (
    BulkVerdict,
    check_bulk,
    check_stack,
    compute_bulk,
    compute_caliper,
    compute_caliper_from_bulk,
    compute_pages_per_inch,
    compute_stack_height,
    list_bulks,
)
from doublure.trade.paper.records import decode_calipers


@settings(deadline=None)
@given(st.floats(0.01, 5), st.none() | st.floats(1e-4, 0.5), st.integers(1, 5000))
def test_stack_there_and_back(caliper: float, u: float | None, sheets: int) -> None:
    """A stack of a caliper gives the caliper back, with its uncertainty."""
    back = compute_caliper(compute_stack_height(Measured(caliper, u), sheets), sheets)
    assert back.value == pytest.approx(caliper, rel=1e-14)
    assert back.u is None if u is None else back.u == pytest.approx(u, rel=1e-14)


@settings(deadline=None)
@given(st.floats(0.01, 5), st.floats(5, 1000))
def test_bulk_there_and_back(caliper: float, grammage: float) -> None:
    """A bulk gives its caliper back."""
    bulk = compute_bulk(Measured(caliper), Measured(grammage))
    assert compute_caliper_from_bulk(grammage, bulk.value) == pytest.approx(caliper, rel=1e-14)


def test_uncertainty_of_bulk_by_drawing() -> None:
    """The uncertainty of a bulk is the spread over what caliper and grammage may be (a fixed seed)."""
    draw = random.Random(20)
    bulk = compute_bulk(Measured(0.1, 0.003), Measured(80.0, 2.0))
    drawn = [1000 * draw.gauss(0.1, 0.003) / draw.gauss(80, 2) for _ in range(3000)]
    mean = sum(drawn) / len(drawn)
    spread = math.sqrt(sum((x - mean) ** 2 for x in drawn) / (len(drawn) - 1))
    assert bulk.u == pytest.approx(spread, rel=0.05)
    assert compute_bulk(Measured(0.1, 0.003), Measured(80.0)).u == pytest.approx(1.25 * 0.03)
    assert compute_bulk(Measured(0.1), Measured(80.0)).u is None


@pytest.mark.parametrize(
    ("caliper", "grammage", "verdict"),
    [
        (Measured(0.1), Measured(80), BulkVerdict.USUAL),
        (Measured(0.2), Measured(80), BulkVerdict.UNUSUAL),
        (Measured(0.2, 0.02), Measured(80), BulkVerdict.USUAL),
        (Measured(0.06), Measured(80), BulkVerdict.UNUSUAL),
        (Measured(0.04), Measured(90), BulkVerdict.IMPOSSIBLE),
        (Measured(0.04, 0.01), Measured(90), BulkVerdict.UNUSUAL),
        (Measured(1.1), Measured(80), BulkVerdict.IMPOSSIBLE),
    ],
)
def test_verdicts(caliper: Measured, grammage: Measured, verdict: BulkVerdict) -> None:
    """A bulk is outside only where two standard uncertainties cannot bring it in."""
    assert check_bulk(caliper, grammage).verdict is verdict


def test_likely_caliper() -> None:
    """The usual calipers of a grammage are those of the usual bulks."""
    low, high = check_bulk(Measured(1.1), Measured(80)).likely_caliper_mm
    assert (low, high) == (pytest.approx(0.072), pytest.approx(0.176))


def test_a_stack_that_contradicts() -> None:
    """The level of one in a hundred, on either side of it."""
    stated, sheets = Measured(0.1, 0.001), 100
    assert not check_stack(stated, Measured(10.35, 0.1), sheets).contradicts
    found = check_stack(stated, Measured(10.37, 0.1), sheets)
    assert found.contradicts
    assert found.z == pytest.approx(0.0037 / math.hypot(0.001, 0.001))
    assert found.difference_mm == pytest.approx(0.0037)
    assert check_stack(stated, Measured(9.6, 0.1), sheets).contradicts
    assert not check_stack(Measured(0.1), Measured(11.5), sheets).contradicts
    assert check_stack(Measured(0.1), Measured(13.0), sheets).contradicts


def test_pages_per_inch() -> None:
    """Two pages to a leaf: leaves of a hundredth of an inch make 200 pages an inch."""
    assert compute_pages_per_inch(0.254) == pytest.approx(200)


def test_published_bulks() -> None:
    """Every published paper passes its own check, densest first."""
    facts = list_bulks(decode_calipers(read_rows("paper_calipers")))
    assert len(facts) > 40
    bulks = [bulk for _, bulk in facts]
    assert bulks == sorted(bulks)
    for fact, bulk in facts:
        assert fact.grammage_gsm is not None
        checked = check_bulk(Measured(fact.thickness_mm), Measured(fact.grammage_gsm))
        assert checked.bulk.value == pytest.approx(bulk)
        assert checked.verdict is BulkVerdict.USUAL


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_refusals(bad: float) -> None:
    """No paper has no thickness."""
    for attempt in (
        lambda: compute_caliper(Measured(bad), 1),
        lambda: compute_stack_height(Measured(bad), 1),
        lambda: compute_pages_per_inch(bad),
        lambda: compute_bulk(Measured(bad), Measured(1)),
        lambda: compute_bulk(Measured(1), Measured(bad)),
        lambda: compute_caliper_from_bulk(bad, 1),
        lambda: compute_caliper_from_bulk(1, bad),
        lambda: check_stack(Measured(bad), Measured(1), 1),
        lambda: check_stack(Measured(1), Measured(1), 1, bad),
    ):
        with pytest.raises(DomainError, match="more than zero"):
            attempt()
    with pytest.raises(DomainError, match="at least one sheet"):
        compute_caliper(Measured(1), 0)
    with pytest.raises(DomainError, match="at least one sheet"):
        compute_stack_height(Measured(1), 0)
