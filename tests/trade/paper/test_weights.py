"""Weights: both ways exact, masses, the table as paper is sold."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.quantities import POUND_GRADES, PoundGrade, index_grades, parse_grammage
from doublure.store.data_files import read_rows
from doublure.trade.paper.records import decode_equivalence
from doublure.trade.paper.weights import (
    compute_grammage,
    compute_pounds,
    compute_ream_area,
    compute_ream_mass,
    compute_sheet_mass,
    compute_weights,
    find_trade_weights,
)


@settings(deadline=None)
@given(st.floats(0.1, 1000), st.sampled_from(POUND_GRADES))
def test_there_and_back(pounds: float, grade: PoundGrade) -> None:
    """Pounds to grammage and back are the pounds."""
    assert compute_pounds(compute_grammage(pounds, grade), grade) == pytest.approx(pounds, rel=1e-14)


@settings(deadline=None)
@given(st.floats(1, 1000), st.sampled_from(POUND_GRADES))
def test_a_ream_weighs_its_pounds(pounds: float, grade: PoundGrade) -> None:
    """A ream of the basic size at the computed grammage weighs those pounds on a scale."""
    size_mm = (float(grade.short_in) * 25.4, float(grade.long_in) * 25.4)
    mass_kg = compute_ream_mass(size_mm, compute_grammage(pounds, grade), grade.sheets)
    assert mass_kg / 0.45359237 == pytest.approx(pounds, rel=1e-12)


def test_every_grade() -> None:
    """All grades at once, the uncertainty alike, each found by any of its names."""
    weights = compute_weights(parse_grammage("20 ± 1 lb bond"))
    assert [weight.grade for weight in weights.pounds] == list(POUND_GRADES)
    assert weights.in_grade("bond").pounds == pytest.approx(20, rel=1e-14)
    assert weights.in_grade("writing").u_lb == pytest.approx(1, rel=1e-14)
    for weight in weights.pounds:
        assert weight.u_lb is not None
        assert weight.u_lb / weight.pounds == pytest.approx(0.05, rel=1e-12)
    assert compute_weights(Measured(80)).pounds[0].u_lb is None
    with pytest.raises(DomainError, match="not a grade"):
        weights.in_grade("vellum")


def test_masses_and_areas() -> None:
    """Sheets and reams of plain sizes."""
    assert compute_sheet_mass((1000, 1000), 80) == pytest.approx(80)
    assert compute_ream_mass((1000, 500), 80, 250) == pytest.approx(10)
    assert compute_ream_area((1000, 500), 4) == pytest.approx(2)


def test_weights_as_sold() -> None:
    """The nearest row within five per cent, else none."""
    table = decode_equivalence(read_rows("paper_equivalence"))
    found = find_trade_weights(75.2, table)
    assert found is not None
    assert dict(found.pounds)["bond"] == 20
    assert find_trade_weights(30, table) is None
    assert find_trade_weights(60 / 1.051, table) is None
    assert find_trade_weights(80, ()) is None


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_refusals(bad: float) -> None:
    """Nothing weighs nothing, less than nothing, or without end."""
    bond = index_grades()["bond"]
    table = decode_equivalence(read_rows("paper_equivalence"))
    for attempt in (
        lambda: compute_grammage(bad, bond),
        lambda: compute_pounds(bad, bond),
        lambda: compute_weights(Measured(bad)),
        lambda: find_trade_weights(bad, table),
        lambda: compute_sheet_mass((bad, 1), 80),
        lambda: compute_sheet_mass((1, 1), bad),
        lambda: compute_ream_area((1, bad)),
    ):
        with pytest.raises(DomainError, match="more than zero"):
            attempt()
    with pytest.raises(DomainError, match="at least one sheet"):
        compute_ream_mass((1, 1), 80, 0)
    with pytest.raises(DomainError, match="at least one sheet"):
        compute_ream_area((1, 1), 0)
