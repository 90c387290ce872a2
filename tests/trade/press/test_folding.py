"""Folding: what the package derives by unfolding agrees with what a bench of plain geometry folds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Half, Side, place_folded_pages
from doublure.trade.press.folding import (
    FoldKind,
    ImposedForme,
    describe_folding,
    fold_sheets,
)
from doublure.trade.press.records import Folding
from sheet_folder import Printed, Rect, bind_gathering, find_joined, lay_down, read_gathering

FOLDS = {Folding.FOLIO: 1, Folding.QUARTO: 2, Folding.OCTAVO: 3}
foldings = st.sampled_from(Folding)
gatherings = st.lists(st.integers(1, 4), min_size=1, max_size=4)
LEAF = (50.0, 80.0)


def printed_cells(forme: ImposedForme) -> list[Printed]:
    """Return the cells of a forme as squares of leaf size, edge to edge."""
    width, height = LEAF
    return [
        Printed(
            cell.position,
            Rect(cell.column * width, cell.row * height, (cell.column + 1) * width, (cell.row + 1) * height),
            cell.turned,
        )
        for cell in forme.cells
    ]


@given(gatherings, foldings, st.booleans())
def test_folded_sheets_read_in_order_upright_and_in_place(
    sheets: list[int], folding: Folding, rtl: bool
) -> None:
    """Printed, folded half over half, put into each other and read, every page is in order and in its place."""
    formes = fold_sheets(sheets, folding, rtl)
    width, height = formes[0].columns * LEAF[0], formes[0].rows * LEAF[1]
    read = []
    for number, count in enumerate(sheets, 1):
        own = [forme for forme in formes if forme.gathering == number]
        assert [(f.sheet, f.side) for f in own] == [(s, side) for s in range(1, count + 1) for side in Side]
        flat = [
            lay_down(front.sheet, width, height, printed_cells(front), printed_cells(back))
            for front, back in zip(own[::2], own[1::2], strict=True)
        ]
        read += read_gathering(bind_gathering(flat, FOLDS[folding], rtl))
    assert [[page.what for page in pages] for pages in read] == [
        [number] for number in range(1, 4 * folding.pairs * sum(sheets) + 1)
    ]
    for (page,) in read:
        assert page.upright
        assert (page.near, page.far, page.top, page.bottom) == pytest.approx(
            (0, LEAF[0], -LEAF[1], 0), abs=1e-6
        )


@given(gatherings, foldings, st.booleans())
def test_each_position_once_and_pairs_across_each_spine_fold(
    sheets: list[int], folding: Folding, rtl: bool
) -> None:
    """Every position lies in one cell; beside each spine fold lie two pages of one leaf pair, which make the sum."""
    formes = fold_sheets(sheets, folding, rtl)
    positions = [cell.position for forme in formes for cell in forme.cells]
    assert sorted(positions) == list(range(1, 4 * folding.pairs * sum(sheets) + 1))
    before = 0
    for number, count in enumerate(sheets, 1):
        pages = 4 * folding.pairs * count
        for forme in (forme for forme in formes if forme.gathering == number):
            assert len(forme.cells) == forme.rows * forme.columns == 2 * folding.pairs
            for left, right in zip(forme.cells[::2], forme.cells[1::2], strict=True):
                assert (left.spine, right.spine) == (Half.RIGHT, Half.LEFT)
                assert left.row == right.row
                assert left.column + 1 == right.column
                assert left.turned == right.turned
                assert left.pair == right.pair
                assert left.position + right.position == 2 * before + pages + 1
                low = min(left.position, right.position) - before
                assert left.pair == (low + 1) // 2
                assert (forme.sheet - 1) * folding.pairs < left.pair <= forme.sheet * folding.pairs
        before += pages


@given(gatherings, st.booleans())
def test_a_folio_agrees_with_the_sums_of_the_book(sheets: list[int], rtl: bool) -> None:
    """Folded once, positions lie where trade/book/gatherings puts them."""
    found = {
        cell.position: (forme.gathering, forme.sheet, forme.side, cell.spine.other)
        for forme in fold_sheets(sheets, Folding.FOLIO, rtl)
        for cell in forme.cells
    }
    wanted = {p.position: (p.gathering, p.sheet, p.side, p.half) for p in place_folded_pages(sheets, rtl)}
    assert found == wanted


@pytest.mark.parametrize("rtl", [False, True])
@pytest.mark.parametrize("folding", Folding)
def test_which_leaves_are_to_be_slit_apart(folding: Folding, rtl: bool) -> None:
    """The leaves that hang together are those of the folded sheet on the bench; folio has none to slit."""
    front, back = fold_sheets((1,), folding, rtl)
    width, height = front.columns * LEAF[0], front.rows * LEAF[1]
    sheet = lay_down(1, width, height, printed_cells(front), printed_cells(back))
    joined = find_joined(bind_gathering([sheet], FOLDS[folding], rtl))
    pattern = describe_folding(folding, rtl)
    for kind in FoldKind:
        told = {leaves.leaves for leaves in pattern.joined if leaves.kind is kind}
        assert told == (set() if kind is FoldKind.SPINE else joined[kind.value])
    leaves = 2 * folding.pairs
    assert joined["spine"] == {(leaf, leaves + 1 - leaf) for leaf in range(1, folding.pairs + 1)}
    counts = {Folding.FOLIO: (0, 0), Folding.QUARTO: (2, 0), Folding.OCTAVO: (4, 2)}
    assert (pattern.slits(FoldKind.HEAD), pattern.slits(FoldKind.FORE_EDGE)) == counts[folding]


@pytest.mark.parametrize("rtl", [False, True])
def test_a_book_read_from_right_to_left_is_the_mirror_image(rtl: bool) -> None:
    """Left and right change places; rows, heads and folds stay."""
    for folding in Folding:
        one, other = describe_folding(folding, rtl), describe_folding(folding, not rtl)
        for side in Side:
            mirrored = {
                (c.row, one.columns - 1 - c.column, c.leaf, c.is_recto, c.turned, c.spine.other)
                for c in other.side(side)
            }
            assert {
                (c.row, c.column, c.leaf, c.is_recto, c.turned, c.spine) for c in one.side(side)
            } == mirrored
        assert one.folds == other.folds


def test_folds_in_the_order_in_which_they_are_made() -> None:
    """An octavo is folded at the fore-edge, at the head, then at the spine, where it lies twice side by side."""
    folds = [(f.kind.value, f.is_upright, f.after) for f in describe_folding(Folding.OCTAVO).folds]
    assert folds == [
        ("fore-edge", True, 2),
        ("head", False, 1),
        ("spine", True, 1),
        ("spine", True, 3),
    ]
    assert all(describe_folding(folding).grain_along == "height" for folding in Folding)


def test_too_many_pages_and_no_sheets_are_refused() -> None:
    """The limit counts the pages of folded sheets."""
    with pytest.raises(DomainError, match="at most 5000") as caught:
        fold_sheets((400,), Folding.OCTAVO)
    assert caught.value.argument == "sheets_in_gatherings"
    with pytest.raises(DomainError, match="at least one"):
        fold_sheets((), Folding.FOLIO)
