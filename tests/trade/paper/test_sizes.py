"""Named sizes: found by name, offered to the parser only where they are unambiguous, folded."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.quantities import QuantityError, parse_size
from doublure.store.data_files import read_rows
from doublure.trade.paper.records import decode_sizes
from doublure.trade.paper.sizes import find_near_sizes, find_sizes, fold_sheet, name_sizes

SIZES = decode_sizes(read_rows("paper_sizes"), read_rows("paper_families"))
NAMED = name_sizes(SIZES)


def test_found_by_name() -> None:
    """Every list that has the name is found; a list's title narrows it down."""
    assert [size.id for size in find_sizes("a4", SIZES)] == ["iso216-a:a4"]
    assert {size.family.family for size in find_sizes("Super Royal", SIZES)} == {
        "uk-drawing-1911", "uk-printing-1901", "uk-wikipedia", "uk-writing-1854", "us-1854",
    }  # fmt: skip
    assert [size.id for size in find_sizes("foolscap (UK writing 1911)", SIZES)] == [
        "uk-writing-1911:foolscap"
    ]
    assert [size.id for size in find_sizes("Foolscap UK writing 1911", SIZES)] == ["uk-writing-1911:foolscap"]
    assert [size.id for size in find_sizes("ledger", SIZES)] == ["us-cut:tabloid-ledger"]
    assert find_sizes("A11", SIZES) == ()


def test_names_for_the_parser() -> None:
    """Sizes of today keep their plain name; a name that lists give differently must say which."""
    assert NAMED["A4"] == (210.0, 297.0)
    assert NAMED["Letter"] == (215.9, 279.4)
    assert NAMED["Letter (US stationery 1908)"] == (254.0, 406.4)
    assert "Foolscap" not in NAMED
    assert NAMED["Double royal"] == (635.0, 1016.0)
    with pytest.raises(QuantityError) as caught:
        parse_size("foolscap", named=NAMED)
    assert "Foolscap (UK writing 1911)" in caught.value.hint
    for name, size in NAMED.items():
        assert tuple(side.value for side in parse_size(name, named=NAMED)) == size


def test_near_sizes() -> None:
    """What lies within the distance on both sides, nearest first, either way round."""
    near = find_near_sizes(298.0, 211.0, SIZES, within_mm=6)
    assert near[0].size.name == "A4"
    assert near[0].turned
    assert near[0].difference_mm == (1.0, 1.0)
    assert "RA4" in {found.size.name for found in find_near_sizes(211.0, 298.0, SIZES, within_mm=8)}
    assert not find_near_sizes(211.0, 298.0, SIZES, within_mm=0.5)


@settings(deadline=None)
@given(st.floats(1, 2000), st.floats(1, 2000), st.integers(0, 8))
def test_folding_halves_the_area(a: float, b: float, folds: int) -> None:
    """Each fold halves the area, and the sides stay in order."""
    short, long = fold_sheet(a, b, folds)
    assert short <= long
    assert short * long * 2**folds == pytest.approx(a * b, rel=1e-12)


def test_refusals() -> None:
    """Sides and folds out of range are refused."""
    for attempt in (
        lambda: fold_sheet(0, 1, 1),
        lambda: fold_sheet(1, math.inf, 1),
        lambda: fold_sheet(1, 1, 9),
        lambda: fold_sheet(1, 1, -1),
        lambda: find_near_sizes(-1, 1, SIZES),
        lambda: find_near_sizes(1, math.nan, SIZES),
        lambda: find_near_sizes(1, 1, SIZES, within_mm=-1),
    ):
        with pytest.raises(DomainError):
            attempt()
