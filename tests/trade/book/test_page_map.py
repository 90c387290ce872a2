"""Tipped leaves, the page map and crossovers, against what is seen in a folded book with tipped leaves."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.book.crossovers import CrossoverKind, classify_crossover
from doublure.trade.book.gatherings import Half, Side
from doublure.trade.book.imposition import impose
from doublure.trade.book.limits import MAX_PAGES
from doublure.trade.book.page_map import build_page_map
from doublure.trade.book.tipped import place_tipped_leaves, split_tipped_leaves
from fold_simulator import NOTHING, Panel, Seen, bind, openings, tip_in


@st.composite
def books(draw: st.DrawFn) -> tuple[int, tuple[int, ...], tuple[int, ...], bool]:
    """Return pages, gatherings, first pages of tipped leaves, and the direction, such that all fits."""
    gatherings = tuple(draw(st.lists(st.integers(1, 5), min_size=1, max_size=4)))
    tipped = draw(st.integers(0, 4))
    pages = draw(st.integers(1, 4 * sum(gatherings))) + 2 * tipped
    odd = st.integers(0, pages // 2 - 1).map(lambda k: 2 * k + 1)
    first = draw(st.lists(odd, min_size=tipped, max_size=tipped, unique=True)) if tipped else []
    return pages, gatherings, tuple(first), draw(st.booleans())


def make_book(pages: int, gatherings: tuple[int, ...], tipped_at: tuple[int, ...], rtl: bool) -> list[Panel]:
    """Fold the sheets, then open the book at each tipped leaf's page and put the leaf in."""
    folded = split_tipped_leaves(pages, tipped_at).folded_pages
    book = bind(impose(folded, gatherings, rtl).as_record()["sheets"], spine_at_right=rtl)
    for page in sorted(tipped_at):
        book = tip_in(book, (page - 1) // 2, page, page + 1)
    return book


@settings(deadline=None)
@given(books())
def test_the_map_says_what_is_seen_in_the_made_up_book(
    book: tuple[int, tuple[int, ...], tuple[int, ...], bool],
) -> None:
    """Facing pages, left and right, leaf, gathering and sheet are those of the folded book."""
    pages, gatherings, tipped_at, rtl = book
    leaves = make_book(pages, gatherings, tipped_at, rtl)
    page_map = build_page_map(pages, gatherings, tipped_at, rtl)
    assert [p.page for p in page_map.pages] == list(range(1, pages + 1))
    assert page_map.blanks == 4 * sum(gatherings) + 2 * len(tipped_at) - pages
    seen_at: dict[Seen, tuple[Half, Seen]] = {}
    for left, right in openings(leaves, spine_at_right=rtl):
        seen_at[left] = (Half.LEFT, right)
        seen_at[right] = (Half.RIGHT, left)
    for mapped in page_map.pages:
        half, across = seen_at[mapped.page]
        assert mapped.half is half
        assert mapped.facing == (None if across in (NOTHING, None) else across)
        leaf = leaves[mapped.leaf - 1]
        assert (leaf.up if mapped.is_recto else leaf.down) == mapped.page
        # The bench marks a single leaf with sheet 0 of gathering 0.
        assert mapped.is_tipped == (leaf.sheet == 0)
        if not mapped.is_tipped:
            assert (mapped.gathering, mapped.sheet) == (leaf.gathering, leaf.sheet)


@settings(deadline=None)
@given(books())
def test_tipped_leaves_lie_between_the_leaves_seen_before_and_behind_them(
    book: tuple[int, tuple[int, ...], tuple[int, ...], bool],
) -> None:
    """Walking from a tipped leaf to the next folded ones gives their number, gathering, and the fold."""
    pages, gatherings, tipped_at, rtl = book
    leaves = make_book(pages, gatherings, tipped_at, rtl)
    split = split_tipped_leaves(pages, tipped_at)
    places = place_tipped_leaves(split, gatherings)
    assert [p.tipped.recto_page for p in places] == sorted(tipped_at)
    assert sorted([*split.folded_pages, *tipped_at, *(page + 1 for page in tipped_at)]) == list(
        range(1, pages + 1)
    )
    for place in places:
        at = place.tipped.leaf - 1
        assert leaves[at].up == place.tipped.recto_page
        before = [leaf for leaf in leaves[:at] if leaf.sheet]
        behind = [leaf for leaf in leaves[at + 1 :] if leaf.sheet]
        neighbours = 0
        while neighbours < at and leaves[at - 1 - neighbours].sheet == 0:
            neighbours += 1
        assert place.tipped.order == neighbours + 1
        assert place.tipped.after_folded_leaf == len(before)
        assert place.after_folded_leaf == (len(before) or None)
        assert place.before_folded_leaf == (len(before) + 1 if behind else None)
        last = before[-1] if before else None
        following = behind[0] if behind else None
        assert place.gathering_before == (last.gathering if last else None)
        assert place.gathering_after == (following.gathering if following else None)
        one_sheet = bool(last and following and last[2:] == following[2:])
        assert place.at_fold == one_sheet
        assert place.gathering == (last.gathering if last and following and last[2] == following[2] else None)


@settings(deadline=None)
@given(books())
def test_every_opening_is_the_kind_of_crossover_that_the_paper_shows(
    book: tuple[int, tuple[int, ...], tuple[int, ...], bool],
) -> None:
    """Where the halves of each opening lie is seen in the made-up book."""
    pages, gatherings, tipped_at, rtl = book
    leaves = make_book(pages, gatherings, tipped_at, rtl)
    page_map = build_page_map(pages, gatherings, tipped_at, rtl)
    for index, (left, right) in enumerate(openings(leaves, spine_at_right=rtl)):
        if not isinstance(left, int) or not isinstance(right, int):
            continue
        found = classify_crossover(page_map, left, right)
        turned, still = leaves[index - 1], leaves[index]
        singles = (turned.sheet == 0) + (still.sheet == 0)
        if singles:
            wanted = CrossoverKind.BOTH_TIPPED if singles == 2 else CrossoverKind.ONE_TIPPED
        elif turned.gathering != still.gathering:
            wanted = CrossoverKind.TWO_GATHERINGS
            assert (found.left.side, found.right.side) == (Side.FRONT, Side.FRONT)
            assert (found.left.sheet, found.right.sheet) == (1, 1)
        elif turned.sheet != still.sheet:
            wanted = CrossoverKind.TWO_SHEETS
            assert {found.left.side, found.right.side} == {Side.FRONT, Side.BACK}
        else:
            wanted = CrossoverKind.ONE_SHEET
            assert (found.left.side, found.right.side) == (Side.BACK, Side.BACK)
        assert found.kind is wanted
        assert (found.left.page, found.right.page) == (left, right)
        with pytest.raises(DomainError):
            classify_crossover(page_map, right, left)


def test_a_gathering_has_one_middle_spread() -> None:
    """Of the spreads of a 24-page book in two gatherings, exactly two lie on one sheet: 6-7 and 18-19."""
    page_map = build_page_map(24, (3, 3))
    kinds = {page: classify_crossover(page_map, page, page + 1).kind for page in range(2, 24, 2)}
    assert [page for page, kind in kinds.items() if kind is CrossoverKind.ONE_SHEET] == [6, 18]
    assert [page for page, kind in kinds.items() if kind is CrossoverKind.TWO_GATHERINGS] == [12]
    assert list(kinds.values()).count(CrossoverKind.TWO_SHEETS) == 8


def test_a_leaf_tipped_into_the_middle_parts_the_middle_spread() -> None:
    """Pages 7-8 on a single leaf in the fold: 6 then faces 7, and 8 faces 9, each across its edge."""
    page_map = build_page_map(14, (3,), tipped_at=[7])
    assert page_map.tipped[0].at_fold
    assert page_map.find(7).gathering == 1
    assert (page_map.find(7).sheet, page_map.find(7).side, page_map.find(7).folded_leaf) == (None, None, None)
    assert classify_crossover(page_map, 6, 7).kind is CrossoverKind.ONE_TIPPED
    assert classify_crossover(page_map, 8, 9).kind is CrossoverKind.ONE_TIPPED


@pytest.mark.parametrize(
    ("left", "right", "rtl", "said"),
    [
        (1, 2, False, "page 1 stands alone"),
        (12, 1, False, "page 12 stands alone"),
        (3, 4, False, "page 2 is at the left and page 3 at the right"),
        (3, 2, False, "page 2 is at the left and page 3 at the right"),
        (2, 3, True, "page 3 is at the left and page 2 at the right"),
        (4, 9, False, "page 4 is at the left and page 5 at the right"),
        (0, 1, False, "pages 1 to 12"),
        (12, 13, False, "pages 1 to 12"),
    ],
)
def test_pages_that_do_not_face_each_other(left: int, right: int, rtl: bool, said: str) -> None:
    """The refusal says which pages do face each other."""
    with pytest.raises(DomainError, match=said):
        classify_crossover(build_page_map(12, (3,), rtl=rtl), left, right)


def test_facing_pages_from_right_to_left() -> None:
    """Page 2 is at the right of the gutter and page 3 at its left."""
    found = classify_crossover(build_page_map(12, (3,), rtl=True), 3, 2)
    assert (found.left.page, found.right.page) == (3, 2)
    assert found.kind is CrossoverKind.TWO_SHEETS


@pytest.mark.parametrize(
    ("pages", "tipped_at", "said"),
    [
        (12, [4], "name the odd page"),
        (12, [3, 5, 3], "page 3 is listed twice"),
        (11, [11], "takes pages 11 and 12"),
        (12, [13], "takes pages 13 and 14"),
        (12, [-1], "too few"),
        (0, [], "too few"),
        (MAX_PAGES + 1, [], "at most"),
    ],
)
def test_leaves_that_cannot_be_tipped_in(pages: int, tipped_at: list[int], said: str) -> None:
    """Half a leaf, a leaf twice, a leaf outside the book."""
    with pytest.raises(DomainError, match=said):
        split_tipped_leaves(pages, tipped_at)


def test_pages_that_do_not_fit_beside_tipped_leaves() -> None:
    """Only folded pages must fit into the gatherings."""
    assert build_page_map(14, (3,), tipped_at=[1]).blanks == 0
    with pytest.raises(DomainError, match="13 do not fit"):
        build_page_map(15, (3,), tipped_at=[1])
    with pytest.raises(DomainError, match="gathering 1"):
        build_page_map(15, (0,))
