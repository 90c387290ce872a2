"""Folded sheets, marks and resolution against what others published.

Sources:
  Cowie's Printer's Pocket-book and Manual, p. 31 (transcription on Wikisource; edition not noted): seen.
  A printers' dictionary, by its wording W. Savage, A Dictionary of the Art of Printing, 1841, p. 329 (scan
    TFUyAQAAMAAJ): the passage seen, the title page not seen.
  J. B. Nicholson, A Manual of the Art of Bookbinding (year from memory: 1856), "Folding": the passage on the octavo
    seen in a transcription, up to the second fold.
  S. J. Vaughn, Printing and Bookbinding for Schools, "Imposition", on a form of eight pages: seen, cut off in the
    middle of its worked measures.
  O. L. Steele, Half-Sheet Imposition of Eight-Leaf Quires, Studies in Bibliography 15 (volume seen, year not): seen.
  D. Cockerell, Bookbinding, and the Care of Books, 1901, ch. II: seen.
  M. T. Roberts and D. Etherington, Bookbinding and the Conservation of Books, 1982, "black step": seen.
  facweb.cs.depaul.edu/sgrais and sidekickgraphics.com on screens and resolution: seen. Bilevel: from memory.
  A workshop's page on folding an octavo by hand (wsworkshop.org, 2011): seen.
Only bare figures are carried over.
"""

from __future__ import annotations

import pytest

from doublure.trade.book.gatherings import Half, Side
from doublure.trade.press.artwork_fit import WANTED_PPI
from doublure.trade.press.folding import FoldKind, ImposedForme, describe_folding, fold_sheets
from doublure.trade.press.layout import arrange_pages, step_mark
from doublure.trade.press.plan import PressSpec, plan_press
from doublure.trade.press.records import Folding
from sheet_folder import (
    Piece,
    Pile,
    Printed,
    Rect,
    extent,
    fold_head_over,
    fold_right_over,
    lay_down,
    turn_over,
)

MM_PER_INCH = 25.4


def across_folds(formes: tuple[ImposedForme, ...]) -> list[set[int]]:
    """Return every two pages that lie on both sides of a spine fold."""
    return [
        {left.position, right.position}
        for forme in formes
        for left, right in zip(forme.cells[::2], forme.cells[1::2], strict=True)
    ]


@pytest.mark.parametrize("pair", [{1, 32}, {19, 14}, {12, 21}])
def test_quired_sheets_of_32_pages_pair_to_33(pair: set[int]) -> None:
    """Cowie p. 31: eight sheets quired, any two pages whose numbers make 33 are imposed together."""
    pairs = across_folds(fold_sheets((8,), Folding.FOLIO))
    assert pair in pairs
    assert {sum(p) for p in pairs} == {33}


def test_forms_of_a_sheet_and_of_two_sheets_in_folio() -> None:
    """Cowie p. 31, outer and inner forms: 1 4 and 3 2; quired 1 8 and 7 2, 3 6 and 5 4.

    A form on the stone is the mirror image of its print: read from the right.
    """

    def forms(sheets: int) -> list[list[int]]:
        return [[c.position for c in reversed(f.cells)] for f in fold_sheets((sheets,), Folding.FOLIO)]

    assert forms(1) == [[1, 4], [3, 2]]
    assert forms(2) == [[1, 8], [7, 2], [3, 6], [5, 4]]


@pytest.mark.parametrize(
    ("folding", "pages", "total"),
    [(Folding.FOLIO, 4, 5), (Folding.QUARTO, 8, 9), (Folding.OCTAVO, 16, 17)],
)
def test_facing_pages_of_a_sheet(folding: Folding, pages: int, total: int) -> None:
    """Savage p. 329 (by the wording): 5 in folio, 9 in quarto, 17 in octavo; Cockerell ch. II: 4, 8, 16 pages."""
    formes = fold_sheets((1,), folding)
    assert sum(len(forme.cells) for forme in formes) == pages
    assert {sum(pair) for pair in across_folds(formes)} == {total}
    assert describe_folding(folding).page_sum == total


@pytest.mark.parametrize(("pages", "total"), [(24, 25), (32, 33), (36, 37)])
def test_the_same_sums_where_a_section_is_made_of_quired_sheets(pages: int, total: int) -> None:
    """Savage p. 329: 25 in duodecimo, 33 in sixteens, 37 in eighteens. We fold no such sheets; a section of as many
    pages of folio sheets put into each other has the same leaves joined at the back.
    """
    assert {sum(pair) for pair in across_folds(fold_sheets((pages // 4,), Folding.FOLIO))} == {total}


def seen_from_above(pile: Pile) -> list[list[tuple[int, bool]]]:
    """Return what is seen of a pile, row by row: page and whether it stands upright."""
    found: list[tuple[float, float, int, bool]] = []
    for piece in reversed(pile):
        for printed in piece.front if piece.front_up else piece.back:
            rect = printed.rect
            if not piece.front_up:
                rect = Rect(piece.width - rect.right, rect.top, piece.width - rect.left, rect.bottom)
            lies, own = piece.to_table(rect), piece.lies
            inside = own.left - 1e-6 <= lies.left and lies.right <= own.right + 1e-6
            inside = inside and own.top - 1e-6 <= lies.top and lies.bottom <= own.bottom + 1e-6
            hidden = any(abs(lies.left - x) < 1e-6 and abs(lies.top - y) < 1e-6 for y, x, _, _ in found)
            if inside and not hidden:
                found.append((lies.top, lies.left, printed.what, (piece.sy > 0) != printed.on_its_head))
    rows: dict[float, list[tuple[int, bool]]] = {}
    for top, _, page, upright in sorted(found):
        rows.setdefault(round(top, 6), []).append((page, upright))
    return list(rows.values())


def flat_sheet(folding: Folding) -> Piece:
    """Return a printed sheet with cells of 4 by 7."""
    front, back = fold_sheets((1,), folding)

    def printed(forme: ImposedForme) -> list[Printed]:
        return [
            Printed(c.position, Rect(4 * c.column, 7 * c.row, 4 * c.column + 4, 7 * c.row + 7), c.turned)
            for c in forme.cells
        ]

    return lay_down(1, 4 * front.columns, 7 * front.rows, printed(front), printed(back))


def test_an_octavo_on_the_table_and_after_each_fold() -> None:
    """Nicholson, "Folding": first page turned towards the table at the left, the sheet shows 2, 15, 14, 3 below and
    7, 10, 11, 6 above with their heads reversed; folded 3 upon 2 and 6 upon 7 it shows 4, 13 and above 5, 12; the top
    brought down, 5 and 12 upon 4 and 13, it shows 8 and, as the sum has it, 9.
    """
    pile = turn_over([flat_sheet(Folding.OCTAVO)])
    up, down = True, False
    assert seen_from_above(pile) == [
        [(7, down), (10, down), (11, down), (6, down)],
        [(2, up), (15, up), (14, up), (3, up)],
    ]
    pile = fold_right_over(pile, (extent(pile).left + extent(pile).right) / 2)
    assert seen_from_above(pile) == [[(5, down), (12, down)], [(4, up), (13, up)]]
    pile = fold_head_over(pile, (extent(pile).top + extent(pile).bottom) / 2)
    assert seen_from_above(pile) == [[(8, up), (9, up)]]


def test_leaves_of_an_octavo_joined_at_the_fore_edge() -> None:
    """Steele on unopened quires of eight leaves: the fifth and sixth, and the seventh and eighth, hang together at
    their sides; of the first four none does.
    """
    joined = describe_folding(Folding.OCTAVO).joined
    assert [j.leaves for j in joined if j.kind is FoldKind.FORE_EDGE] == [(5, 6), (7, 8)]


def test_a_form_of_eight_pages() -> None:
    """Vaughn: type pages of 4 by 7 in, margins of 1 in after trimming. The backs of pages 8 and 5 are 2 in from
    those beside them (which are 1 and 4; the passage breaks off there), and the fold at the head wants room for
    trimming between the heads.
    """
    inch = MM_PER_INCH
    entries = {page: f"p{page}" for page in range(1, 9)}
    spec = PressSpec(
        leaf_width_mm=6 * inch,
        leaf_height_mm=9 * inch,
        sheet_width_mm=13 * inch,
        sheet_height_mm=19 * inch,
        leaf_pairs_in_gatherings=(2,),
        masters=entries,
        page_numbers=tuple(range(1, 9)),
        folding=Folding.QUARTO,
        bleed_mm=0.125 * inch,
    )
    outside = {page.master: page for page in plan_press(spec).plate(1).pages}
    assert set(outside) == {"p8", "p1", "p5", "p4"}
    for left, right in (("p8", "p1"), ("p5", "p4")):
        assert (outside[left].spine, outside[right].spine) == (Half.RIGHT, Half.LEFT)
        # The type stands 1 in inside each trim.
        assert (outside[right].trim.left_mm + inch) - (outside[left].trim.right_mm - inch) == pytest.approx(
            2 * inch
        )
    gap = outside["p8"].trim.top_mm - outside["p5"].trim.bottom_mm
    assert gap == pytest.approx(2 * 0.125 * inch)
    assert (outside["p5"].turned, outside["p8"].turned) == (True, False)


def test_the_grain_of_an_octavo_runs_the_short_way() -> None:
    """wsworkshop.org: the full sheet must have its grain along its short side, so that the folded leaf has it along
    its long one. Here: along the height of a sheet that is wider than high.
    """
    pattern = describe_folding(Folding.OCTAVO)
    width, height = 4 * 105.0, 2 * 148.0
    assert pattern.columns * 105.0 == width
    assert pattern.rows * 148.0 == height
    assert pattern.grain_along == "height"
    assert height < width


def test_black_steps() -> None:
    """Roberts and Etherington: about 6 by 24 points, each about 24 points lower than the one before."""
    point = MM_PER_INCH / 72
    grid = arrange_pages((297, 210), (105, 148), Folding.FOLIO, 1, 3)
    first, second = (step_mark(grid, 0, 0, False, step) for step in (1, 2))
    assert (first.width_mm, first.height_mm) == pytest.approx((6 * point, 24 * point))
    assert second.top_mm - first.top_mm == pytest.approx(24 * point)


def test_resolution_is_twice_the_screen() -> None:
    """Twice the ruling: 150 lpi wants 300 ppi. Line art at least 600 (from memory)."""
    assert WANTED_PPI["grey"] == WANTED_PPI["colour"] == 2 * 150
    assert WANTED_PPI["bilevel"] == 600


def test_sides_are_named_as_the_folded_sheet_shows_them() -> None:
    """The outer form holds the first page (Cowie p. 31: 1 stands in the outer form)."""
    for folding in Folding:
        front, back = fold_sheets((1,), folding)
        assert front.side is Side.FRONT
        assert 1 in {cell.position for cell in front.cells}
        assert 2 in {cell.position for cell in back.cells}
