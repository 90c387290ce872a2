"""Room round the pages: what advise_room says is held against the layout itself."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.press.layout import arrange_pages
from doublure.trade.press.marks import lay_out_sheet
from doublure.trade.press.records import Folding, Lacking, MarkName
from doublure.trade.press.room import advise_room


def lacking(
    sheet: tuple[float, float], leaf: tuple[float, float], folding: Folding, pairs: int, bleed: float
) -> tuple[Lacking, ...]:
    return lay_out_sheet(arrange_pages(sheet, leaf, folding, pairs, bleed), pairs, None).lacking


def test_room_by_hand() -> None:
    """A leaf pair of 240 x 200 mm on 297 x 206: 3 mm above, all for the bleed; a mark takes 1 mm more and its 2."""
    found = advise_room((297, 206), (120, 200), Folding.FOLIO, 1, 3.0)
    assert {(one.what, one.edge) for one in found.lacking} == {
        (what, edge) for what in (MarkName.CUT, MarkName.FOLD) for edge in ("top", "bottom")
    }
    assert found.sheet_mm == (297, 200 + 2 * (3 + 1 + 2))
    assert found.bare == ()


def test_without_bleed_there_may_still_be_too_little_room() -> None:
    found = advise_room((250, 204), (120, 200), Folding.FOLIO, 1, 3.0)
    # 5 mm beside and 2 mm above: a cross takes 6, a mark 3, a label 3.5 above or 21 beside.
    assert {(one.what, one.edge) for one in found.bare or ()} == {
        *((what, edge) for what in (MarkName.CUT, MarkName.FOLD) for edge in ("top", "bottom")),
        (MarkName.CROSS, ""),
        (MarkName.LABEL, ""),
    }
    assert advise_room((240, 200), (120, 200), Folding.FOLIO, 1, 3.0).bare is None


def test_a_sheet_that_is_too_small_for_its_pages_is_refused() -> None:
    with pytest.raises(DomainError):
        advise_room((230, 200), (120, 200), Folding.FOLIO, 1, 3.0)


@given(
    st.tuples(st.floats(0, 40), st.floats(0, 40)),
    st.tuples(st.integers(50, 250), st.integers(50, 350)),
    st.sampled_from(
        [
            (Folding.FOLIO, 1, 2, 1),
            (Folding.QUARTO, 1, 2, 2),
            (Folding.OCTAVO, 1, 4, 2),
            (Folding.FOLIO, 2, 2, 2),
        ]
    ),
    st.sampled_from([0.0, 2.0, 3.0, 5.0]),
)
def test_the_sheet_that_is_named_has_room_and_a_smaller_one_has_not(
    more: tuple[float, float], leaf: tuple[int, int], way: tuple[Folding, int, int, int], bleed: float
) -> None:
    folding, pairs, across, down = way
    sheet = (leaf[0] * across + more[0], leaf[1] * down + more[1])
    found = advise_room(sheet, leaf, folding, pairs, bleed)
    assert found.lacking == lacking(sheet, leaf, folding, pairs, bleed)
    if not found.lacking:
        assert (found.sheet_mm, found.bare) == (None, None)
        return
    assert found.sheet_mm is not None
    width, height = found.sheet_mm
    assert width >= sheet[0] - 1e-6
    assert height >= sheet[1] - 1e-6
    assert lacking(found.sheet_mm, leaf, folding, pairs, bleed) == ()
    for smaller in ((width - 1, height), (width, height - 1)):
        if smaller[0] >= sheet[0] and smaller[1] >= sheet[1]:
            assert lacking(smaller, leaf, folding, pairs, bleed)
    if found.bare is not None:
        assert found.bare == lacking(sheet, leaf, folding, pairs, 0.0)
