"""Pieces from a sheet by straight cuts: they lie on the sheet, apart, keep the grain, and waste adds up."""

from __future__ import annotations

import doctest
import math
from collections.abc import Iterator
from functools import cache

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.cutting import fit
from doublure.trade.cutting.fit import SheetFit, count_straight_cuts

Rectangle = tuple[float, float, float, float]


def list_pieces(found: SheetFit, piece: tuple[float, float], gap: float) -> Iterator[Rectangle]:
    """Yield left, top, right and bottom of every piece."""
    for block in found.blocks:
        wide, high = piece[::-1] if block.turned else piece
        for row in range(block.rows):
            for column in range(block.columns):
                left = block.left_mm + column * (wide + gap)
                top = block.top_mm + row * (high + gap)
                yield left, top, left + wide, top + high


def can_be_cut(pieces: list[Rectangle], slack: float = 1e-6) -> bool:
    """Say whether straight cuts from edge to edge free every piece (knows nothing of the code under test)."""
    if len(pieces) < 2:
        return True
    for first, last in ((0, 2), (1, 3)):
        for cut in {piece[last] for piece in pieces}:
            below = [piece for piece in pieces if piece[last] <= cut + slack]
            above = [piece for piece in pieces if piece[first] >= cut - slack]
            if above and len(below) + len(above) == len(pieces):
                return can_be_cut(below) and can_be_cut(above)
    return False


@cache
def most_by_any_cuts(width: int, height: int, wide: int, high: int) -> int:
    """Return the most pieces by straight cuts of whatever depth, whole numbers, by trying every cut."""
    if (width < wide or height < high) and (width < high or height < wide):
        return 0
    best = 1
    for cut in range(1, width // 2 + 1):
        best = max(
            best,
            most_by_any_cuts(cut, height, wide, high) + most_by_any_cuts(width - cut, height, wide, high),
        )
    for cut in range(1, height // 2 + 1):
        best = max(
            best, most_by_any_cuts(width, cut, wide, high) + most_by_any_cuts(width, height - cut, wide, high)
        )
    return best


sides = st.floats(20, 1000)


@settings(deadline=None, max_examples=200)
@given(
    st.tuples(sides, sides),
    st.tuples(sides, sides),
    st.sampled_from([0.0, 2.0, 6.0]),
    st.sampled_from([0.0, 5.0]),
    st.sampled_from([None, "along-height", "along-width"]),
    st.sampled_from([None, "long", "short"]),
)
@example((700.0, 500.0), (140.0, 90.0), 0.0, 0.0, None, None)
def test_layouts_can_be_cut(
    sheet: tuple[float, float],
    piece: tuple[float, float],
    gap: float,
    margin: float,
    grain: str | None,
    sheet_grain: str | None,
) -> None:
    """Pieces lie within the margins and apart by the gap, straight cuts free them, and the grain is kept."""
    if grain and sheet_grain and abs(sheet[0] - sheet[1]) <= 1e-6:
        return
    found = count_straight_cuts(sheet, piece, gap, margin, grain, sheet_grain)
    pieces = list(list_pieces(found, piece, gap))
    assert len(pieces) == found.pieces
    slack = 1e-3
    for left, top, right, bottom in pieces:
        assert margin - slack <= left
        assert margin - slack <= top
        assert right <= sheet[0] - margin + slack
        assert bottom <= sheet[1] - margin + slack
    grown = [(left, top, right + gap, bottom + gap) for left, top, right, bottom in pieces]
    assert can_be_cut(grown, slack)
    for block in found.blocks:
        assert found.turned_allowed if block.turned else found.upright_allowed
    used = found.pieces * piece[0] * piece[1]
    assert found.waste == pytest.approx(1 - used / (sheet[0] * sheet[1]), abs=1e-6)
    plain = [count for count, allowed in (
        (found.upright, found.upright_allowed), (found.turned, found.turned_allowed)
    ) if allowed]  # fmt: skip
    assert found.pieces >= max(plain)


@settings(deadline=None, max_examples=60)
@given(st.integers(4, 40), st.integers(4, 40), st.integers(2, 12), st.integers(2, 12))
def test_never_more_than_possible(width: int, height: int, wide: int, high: int) -> None:
    """No count beats trying every straight cut, and it falls short by at most a tenth and one piece."""
    best = most_by_any_cuts(width, height, wide, high)
    found = count_straight_cuts((width, height), (wide, high)).pieces
    assert found <= best
    assert found >= 0.9 * best - 1


def test_turning_the_sheet_changes_nothing() -> None:
    """Sheet and grain turned together give as many pieces."""
    for grain in (None, "along-height", "along-width"):
        turned = count_straight_cuts((500, 700), (90, 140), 3, 5, grain, "long")
        assert turned.pieces == count_straight_cuts((700, 500), (90, 140), 3, 5, grain, "long").pieces


def test_the_strip_is_used() -> None:
    """25 x 38 takes 14 of 9 x 7: a block of one way, and the strip beside it the other way."""
    found = count_straight_cuts((38, 25), (7, 9))
    assert (found.upright, found.turned) == (10, 12)
    assert found.pieces == 14
    assert len(found.blocks) == 2
    assert {block.turned for block in found.blocks} == {True, False}


@pytest.mark.parametrize(
    ("sheet", "grain", "sheet_grain", "upright", "turned"),
    [
        ((500, 700), "along-height", "long", True, False),
        ((500, 700), "along-height", "short", False, True),
        ((500, 700), "along-width", "long", False, True),
        ((500, 700), "along-width", "short", True, False),
        ((700, 500), "along-height", "long", False, True),
        ((700, 500), "along-height", "short", True, False),
        ((700, 500), None, "long", True, True),
    ],
)
def test_grain(
    sheet: tuple[float, float], grain: str | None, sheet_grain: str, upright: bool, turned: bool
) -> None:
    """Pieces lie so that their fibres run with the sheet's."""
    found = count_straight_cuts(sheet, (90, 140), grain=grain, sheet_grain=sheet_grain)
    assert (found.upright_allowed, found.turned_allowed) == (upright, turned)
    assert found.grain_known


def test_grain_of_the_sheet_not_known() -> None:
    """Both ways are counted, and the result says that it rests on nothing."""
    found = count_straight_cuts((500, 700), (90, 140), grain="along-height")
    assert not found.grain_known
    assert found.upright_allowed
    assert found.turned_allowed


def test_exact_fits() -> None:
    """Sides in fractions of an inch fill the sheet to the last piece, and gaps count between pieces only."""
    inch = 25.4
    assert count_straight_cuts((8.5 * inch, 11 * inch), (8.5 / 3 * inch, 11 / 7 * inch)).pieces == 21
    assert count_straight_cuts((100, 10), (32, 10), gap_mm=2).pieces == 3
    assert count_straight_cuts((100, 10), (32, 10), gap_mm=2.1).pieces == 2
    assert count_straight_cuts((110, 20), (32, 10), gap_mm=2, margin_mm=5).pieces == 3
    whole = count_straight_cuts((210, 297), (210, 297))
    assert (whole.pieces, whole.waste) == (1, 0)


def test_nothing_fits() -> None:
    """Too large a piece gives none, no blocks, and all waste."""
    found = count_straight_cuts((100, 100), (101, 50))
    assert (found.pieces, found.blocks, found.waste) == (0, (), 1.0)
    assert count_straight_cuts((100, 100), (50, 50), margin_mm=60).pieces == 0


def test_refusals() -> None:
    """Lengths and directions out of range are refused."""
    for attempt in (
        lambda: count_straight_cuts((0, 1), (1, 1)),
        lambda: count_straight_cuts((1, 1), (1, math.nan)),
        lambda: count_straight_cuts((1, 1), (1, 1), gap_mm=-1),
        lambda: count_straight_cuts((1, 1), (1, 1), margin_mm=math.inf),
        lambda: count_straight_cuts((1, 2), (1, 1), grain="across"),
        lambda: count_straight_cuts((1, 2), (1, 1), sheet_grain="none"),
        lambda: count_straight_cuts((2, 2), (1, 1), grain="along-width", sheet_grain="long"),
    ):
        with pytest.raises(DomainError):
            attempt()


def test_docstrings() -> None:
    """The examples in the docstrings run."""
    results = doctest.testmod(fit)
    assert results.attempted
    assert not results.failed
