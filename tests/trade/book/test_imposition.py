"""Gatherings and imposition: every page once, page sums, agreement with folded paper, refusals."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.book.gatherings import (
    Half,
    Side,
    check_fit,
    choose_gatherings,
    count_folded_pages,
    fold_gathering,
    place_folded_pages,
)
from doublure.trade.book.imposition import Imposition, impose, lay_pages
from doublure.trade.book.limits import MAX_PAGES
from fold_simulator import bind, find_faults

gatherings = st.lists(st.integers(1, 8), min_size=1, max_size=9).map(tuple)


def pages_of(imposition: Imposition) -> list[int | None]:
    """Return what is printed in every half of every side."""
    return [page for sheet in imposition.sheets for page in (*sheet.front, *sheet.back)]


@pytest.mark.parametrize("rtl", [False, True])
@pytest.mark.parametrize("sheets", range(1, 9))
def test_lay_agrees_with_folded_paper(sheets: int, rtl: bool) -> None:
    """From 4 to 400 pages, the folded, sewn and read book is in order, blanks only at the end."""
    wrong = {
        pages: faults
        for pages in range(4, 401)
        if (faults := find_faults(lay_pages(pages, sheets, rtl).as_record(), rtl, sheets))
    }
    assert wrong == {}


@settings(deadline=None)
@given(st.integers(1, 3))
def test_fewer_pages_than_a_sheet_holds(pages: int) -> None:
    """One to three pages make one sheet."""
    assert find_faults(lay_pages(pages, 4).as_record(), rtl=False, sheets_per_gathering=4) == []


@settings(deadline=None)
@given(st.data(), gatherings, st.booleans())
def test_listed_gatherings_agree_with_folded_paper(
    data: st.DataObject, sizes: tuple[int, ...], rtl: bool
) -> None:
    """Any listed gatherings, filled or not, read in order."""
    pages = data.draw(st.integers(1, 4 * sum(sizes)))
    imposition = impose(range(1, pages + 1), sizes, rtl)
    assert imposition.blanks == 4 * sum(sizes) - pages
    assert imposition.sheets_in_gatherings == sizes
    assert find_faults(imposition.as_record(), rtl) == []


@settings(deadline=None)
@given(st.data(), st.integers(4, 200), st.integers(1, 8), st.booleans())
def test_one_wrong_sheet_never_reads_well(data: st.DataObject, pages: int, sheets: int, rtl: bool) -> None:
    """Exchanging two unequal entries anywhere in a right layout is noticed on folded paper."""
    record = lay_pages(pages, sheets, rtl).as_record()
    slots = [
        (s, side, half) for s in range(len(record["sheets"])) for side in ("front", "back") for half in (0, 1)
    ]
    first, second = data.draw(st.lists(st.sampled_from(slots), min_size=2, max_size=2, unique=True))
    one = record["sheets"][first[0]]["front" if first[1] == "front" else "back"]
    other = record["sheets"][second[0]]["front" if second[1] == "front" else "back"]
    differ = one[first[2]] != other[second[2]]
    one[first[2]], other[second[2]] = other[second[2]], one[first[2]]
    assert bool(find_faults(record, rtl, sheets)) == differ


@settings(deadline=None)
@given(st.integers(1, MAX_PAGES), st.integers(1, 2000), st.booleans())
def test_each_page_once_and_blanks_only_to_a_multiple_of_four(pages: int, sheets: int, rtl: bool) -> None:
    """Every page is printed exactly once; blanks are what a multiple of four needs."""
    imposition = lay_pages(pages, sheets, rtl)
    printed = pages_of(imposition)
    assert sorted(page for page in printed if page is not None) == list(range(1, pages + 1))
    assert printed.count(None) == imposition.blanks == -pages % 4
    assert len(printed) == pages + imposition.blanks


@settings(deadline=None)
@given(st.integers(1, 12), st.integers(1, 12), st.booleans())
def test_neighbours_sum_to_the_pages_of_the_gathering_and_one(sheets: int, count: int, rtl: bool) -> None:
    """In equal gatherings of n pages the two pages of a side, counted within the gathering, sum to n + 1."""
    per_gathering = 4 * sheets
    for sheet in lay_pages(per_gathering * count, sheets, rtl).sheets:
        before = (sheet.gathering - 1) * per_gathering
        for left, right in (sheet.front, sheet.back):
            assert left is not None
            assert right is not None
            assert (left - before) + (right - before) == per_gathering + 1


@settings(deadline=None)
@given(gatherings)
def test_right_to_left_is_the_mirror_image(sizes: tuple[int, ...]) -> None:
    """Reading from right to left exchanges left and right on every side, and nothing else."""
    pages = range(1, 4 * sum(sizes) + 1)
    for ltr, rtl in zip(impose(pages, sizes).sheets, impose(pages, sizes, rtl=True).sheets, strict=True):
        assert (ltr.gathering, ltr.sheet) == (rtl.gathering, rtl.sheet)
        assert (ltr.front, ltr.back) == (rtl.front[::-1], rtl.back[::-1])


@settings(deadline=None)
@given(gatherings, st.booleans())
def test_places_agree_with_the_sheets_and_with_folded_paper(sizes: tuple[int, ...], rtl: bool) -> None:
    """The place of a page is where the table prints it, its leaf the one where folded paper shows it."""
    places = place_folded_pages(sizes, rtl)
    imposition = impose(range(1, len(places) + 1), sizes, rtl)
    sheets = {(s.gathering, s.sheet): s for s in imposition.sheets}
    book = bind(imposition.as_record()["sheets"], spine_at_right=rtl)
    before = {g: 2 * sum(sizes[: g - 1]) for g in range(1, len(sizes) + 1)}
    for place in places:
        pair = sheets[place.gathering, place.sheet].side(place.side)
        assert pair[0 if place.half is Half.LEFT else 1] == place.position
        leaf = book[place.folded_leaf - 1]
        assert place.position in (leaf.up, leaf.down)
        assert (leaf.gathering, leaf.sheet) == (place.gathering, place.sheet)
        assert place.leaf_in_gathering == place.folded_leaf - before[place.gathering]


@settings(deadline=None)
@given(st.integers(1, MAX_PAGES), st.integers(1, 1300))
def test_gatherings_are_full_but_for_the_last(pages: int, sheets: int) -> None:
    """The chosen gatherings hold the pages with less than one sheet to spare; only the last may be short."""
    chosen = choose_gatherings(pages, sheets)
    assert 0 <= count_folded_pages(chosen) - pages < 4
    assert all(size == sheets for size in chosen[:-1])
    assert 1 <= chosen[-1] <= sheets


def test_the_table_as_json() -> None:
    """The form that `lay` promises, to the letter."""
    assert lay_pages(10, 2).as_record() == {
        "pages": 10,
        "blanks": 2,
        "sheets": [
            {"gathering": 1, "sheet": 1, "front": [8, 1], "back": [2, 7]},
            {"gathering": 1, "sheet": 2, "front": [6, 3], "back": [4, 5]},
            {"gathering": 2, "sheet": 1, "front": [None, 9], "back": [10, None]},
        ],
    }


def test_fifty_two_pages_in_gatherings_of_four_sheets() -> None:
    """52 pages: three gatherings of four sheets and one of one sheet, no blanks."""
    imposition = lay_pages(52, 4)
    assert imposition.sheets_in_gatherings == (4, 4, 4, 1)
    assert imposition.blanks == 0
    assert imposition.sheets[0].front == (16, 1)
    assert imposition.sheets[-1].front == (52, 49)
    assert imposition.sheets[-1].back == (50, 51)


def test_page_numbers_may_skip_and_pages_may_have_none() -> None:
    """Numbers are carried as they are: pages of a tipped-in leaf are left out, a page may have no number."""
    imposition = impose([1, 2, None, 6], [1])
    assert (imposition.sheets[0].front, imposition.sheets[0].back) == ((6, 1), (2, None))
    assert (imposition.pages, imposition.blanks) == (4, 0)


def test_one_sheet_folded_from_right_to_left() -> None:
    """Spine at the right: page 1 is the left half of the front."""
    assert fold_gathering(1, rtl=True) == (
        (1, Side.FRONT, Half.LEFT),
        (1, Side.BACK, Half.RIGHT),
        (1, Side.BACK, Half.LEFT),
        (1, Side.FRONT, Half.RIGHT),
    )
    assert Half.LEFT.other is Half.RIGHT
    assert Half.RIGHT.other is Half.LEFT


@pytest.mark.parametrize(
    ("pages", "sheets", "argument"),
    [
        (0, 4, "folded_pages"),
        (-3, 4, "folded_pages"),
        (MAX_PAGES + 1, 4, "folded_pages"),
        (True, 4, "folded_pages"),
        (16, 0, "sheets_per_gathering"),
        (16, -1, "sheets_per_gathering"),
    ],
)
def test_lay_refuses(pages: int, sheets: int, argument: str) -> None:
    """Impossible numbers are refused, and the argument at fault is named."""
    with pytest.raises(DomainError) as caught:
        lay_pages(pages, sheets)
    assert caught.value.argument == argument
    assert caught.value.message


def test_lay_refuses_what_is_not_a_whole_number() -> None:
    """Half a page is no page."""
    with pytest.raises(DomainError, match="whole number"):
        lay_pages(10.5, 4)  # type: ignore[arg-type]


def test_impose_refuses() -> None:
    """No page, no gathering, an empty gathering, too many pages, a doubled page, absurd gatherings."""
    with pytest.raises(DomainError, match="at least one"):
        impose([], [1])
    with pytest.raises(DomainError, match="at least one"):
        impose([1], [])
    with pytest.raises(DomainError, match="gathering 2"):
        impose([1], [4, 0])
    with pytest.raises(DomainError, match="61 do not fit into gatherings that hold 60; take out 1") as caught:
        impose(range(1, 62), [4, 4, 3, 4])
    assert caught.value.argument == "sheets_in_gatherings"
    with pytest.raises(DomainError, match="page 2 is listed twice"):
        impose([1, 2, 2], [1])
    with pytest.raises(DomainError, match="at most 5000"):
        impose([1], [10**9])


def test_blanks_are_counted_not_added() -> None:
    """58 pages in gatherings that hold 60 want two blanks; the pages given stay 58."""
    assert check_fit(58, (4, 4, 3, 4)) == 2
    imposition = impose(range(1, 59), (4, 4, 3, 4))
    assert (imposition.pages, imposition.blanks) == (58, 2)
    assert imposition.sheets[11].front == (None, 45)
    assert imposition.sheets[11].back == (46, None)
