"""Matching known formats: the distance, both ways round, years, and that a fair piece is not thrown out."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.store.data_files import read_rows
from doublure.trade.paper.formats import KnownFormat, gather_formats, match_formats
from doublure.trade.paper.records import Source, decode_formats, decode_sizes

SIZES = decode_sizes(read_rows("paper_sizes"), read_rows("paper_families"))
FORMATS = decode_formats(read_rows("period_formats"))
KNOWN = gather_formats(FORMATS, SIZES)


def make_format(
    short: float = 100,
    long: float = 150,
    tolerance: float | None = None,
    years: tuple[int | None, int | None] = (None, None),
) -> KnownFormat:
    """Return a format of invented sides."""
    return KnownFormat(
        "x", "card", "x", (), 0, "", years[0], years[1], (), False, short, long,
        None if tolerance is None else (tolerance, tolerance), "", (Source("invented", "memory", False),),
    )  # fmt: skip


def test_distance_by_hand() -> None:
    """z = difference / sqrt(u² + t²/3 + c²/3), and p = exp(-d²/2)."""
    (match,) = match_formats(
        Measured(102, 1),
        Measured(147, 2),
        [make_format(tolerance=3)],
        cutting_tolerance_mm=math.sqrt(3),
        least_p=0,
    )
    assert match.z == (pytest.approx(2 / math.sqrt(1 + 3 + 1)), pytest.approx(-3 / math.sqrt(4 + 3 + 1)))
    assert match.distance2 == pytest.approx(4 / 5 + 9 / 8)
    assert match.p == pytest.approx(math.exp(-(4 / 5 + 9 / 8) / 2))
    assert match.difference_mm == (2, -3)
    assert not match.turned


def test_unstated_values() -> None:
    """A side without uncertainty and a format without tolerance take the caller's figures."""
    (match,) = match_formats(
        Measured(103),
        Measured(150),
        [make_format()],
        cutting_tolerance_mm=0,
        unstated_tolerance_mm=0,
        unstated_u_mm=2,
    )
    assert match.z == (1.5, 0)


def test_both_ways_round() -> None:
    """A piece lying across is found, and says so; a square fits upright."""
    (match,) = match_formats(Measured(150, 1), Measured(100, 1), [make_format()])
    assert match.turned
    assert match.p == 1
    (square,) = match_formats(Measured(100, 1), Measured(100, 1), [make_format(100, 100)])
    assert not square.turned


def test_ranking_and_limits() -> None:
    """Best first, nothing below the least probability, no more than asked for."""
    width, height = Measured(63.5, 1.5), Measured(101, 2)
    found = match_formats(width, height, KNOWN)
    assert found[0].format.name == "carte de visite, mount"
    assert all(a.p >= b.p for a, b in pairwise(found))
    assert all(match.p >= 0.01 for match in found)
    everything = match_formats(width, height, KNOWN, least_p=0)
    assert len(everything) == len(KNOWN)
    assert match_formats(width, height, KNOWN, least_p=0, most=3) == everything[:3]
    assert match_formats(Measured(5000, 1), Measured(9000, 1), KNOWN) == ()


@pytest.mark.parametrize(
    ("in_use", "asked", "kept"),
    [
        ((1900, 1920), (1910, 1915), True),
        ((1900, 1920), (1890, 1900), True),
        ((1900, 1920), (1880, 1899), False),
        ((1900, 1920), (1921, 1930), False),
        ((None, 1920), (1700, 1710), True),
        ((1900, None), (2000, 2000), True),
        ((None, None), (1500, 1500), True),
    ],
)
def test_years(in_use: tuple[int | None, int | None], asked: tuple[int, int], kept: bool) -> None:
    """What is known to be out of use in all the years is left out; what is not known stays."""
    found = match_formats(Measured(100, 1), Measured(150, 1), [make_format(years=in_use)], years=asked)
    assert bool(found) == kept


def test_approximate_years_have_slack() -> None:
    """The ticket of the 1840s may be of 1835, but not of 1820."""
    ticket = [known for known in KNOWN if known.id == "f047"]
    sides = Measured(57.2, 0.5), Measured(31, 0.5)
    assert match_formats(*sides, ticket, years=(1830, 1835))
    assert not match_formats(*sides, ticket, years=(1810, 1820))


def test_gathering() -> None:
    """Sheets are folded, cut sizes are not; lists that agree are one format with all their years."""
    by_id = {known.id: known for known in KNOWN}
    royal = by_id["uk-printing-1911:royal/3"]
    assert (royal.short_mm, royal.long_mm) == (158.75, 254.0)
    assert royal.lists == ("UK printing 1911", "UK printing 1901", "UK traditional", "US 1854")
    assert royal.listed_years == (1854, 1901, 1911)
    assert royal.country == "UK/US"
    assert len(royal.sources) == 4
    assert "iso216-a:a4" in by_id
    assert "iso216-a:a4/1" not in by_id
    assert by_id["iso216-a:a4"].tolerance_mm == (2, 2)
    assert len(by_id) == len(KNOWN)
    assert len(gather_formats(FORMATS)) == 90
    assert {known.folds for known in gather_formats(sizes=SIZES, most_folds=0)} == {0}
    with pytest.raises(DomainError, match="folds"):
        gather_formats(sizes=SIZES, most_folds=9)


def test_probabilities_are_fair() -> None:
    """Pieces drawn as the model says are thrown out at 10 % about 10 % of the time (a fixed seed)."""
    draw, thrown = random.Random(7), 0
    known = [make_format(tolerance=1.0)]
    for _ in range(2000):
        sides = [
            side + draw.uniform(-1, 1) + draw.uniform(-0.5, 0.5) + draw.gauss(0, 2) for side in (100.0, 150.0)
        ]
        thrown += not match_formats(Measured(sides[0], 2), Measured(sides[1], 2), known, least_p=0.1)
    assert thrown / 2000 == pytest.approx(0.1, abs=4 * math.sqrt(0.09 / 2000))


@settings(deadline=None)
@given(st.sampled_from(KNOWN), st.floats(0.1, 5), st.booleans())
def test_an_exact_piece_fits(known: KnownFormat, u: float, turned: bool) -> None:
    """A piece of exactly a format's size fits it with probability one, either way round."""
    sides = (known.long_mm, known.short_mm) if turned else (known.short_mm, known.long_mm)
    found = match_formats(Measured(sides[0], u), Measured(sides[1], u), KNOWN)
    assert found[0].p == 1
    assert known.id in {match.format.id for match in found if match.p == 1}


def test_refusals() -> None:
    """Sides, tolerances and years out of range are refused."""
    good = Measured(100, 1)
    for attempt in (
        lambda: match_formats(Measured(0), good, KNOWN),
        lambda: match_formats(good, Measured(100, 0), KNOWN),
        lambda: match_formats(good, good, KNOWN, cutting_tolerance_mm=-1),
        lambda: match_formats(good, good, KNOWN, unstated_tolerance_mm=math.nan),
        lambda: match_formats(good, good, KNOWN, unstated_u_mm=0),
        lambda: match_formats(good, good, KNOWN, years=(1920, 1910)),
    ):
        with pytest.raises(DomainError):
            attempt()
