"""The sums of the book against figures that others published.

Sources:
  Cowie's Printer's Pocket-book and Manual, p. 31 (transcription on Wikisource; edition not noted): seen.
  A printers' dictionary, by its wording W. Savage, A Dictionary of the Art of Printing, 1841, p. 329 (scan
    TFUyAQAAMAAJ): the passage seen, the title page not seen.
  A printer's page on creep (colorvisionprinting.com): seen. Nies/Artcraft answers on creep, quoted 2006:
  formula
    seen, its numbers chosen here.
  A printer's article on pages per inch (rhollick.wordpress.com, 2010) and a paper merchant's bulk table
    (gouldpaper.com): seen.
Only bare figures are carried over. Tolerance: half the last published digit, unless said
otherwise. Where nothing was published the test says so.
"""

from __future__ import annotations

import math

import pytest

from doublure.measured import Measured
from doublure.trade.book.creep import CreepRule, calibrate_creep_step, compute_creep, compute_creep_step
from doublure.trade.book.imposition import lay_pages
from doublure.trade.book.thickness import compute_block_thickness

MM_PER_INCH = 25.4


def pairs_of(pages: int, sheets: int) -> list[tuple[int | None, int | None]]:
    """Return the two pages of each side: front and back of the outermost sheet first."""
    return [pair for sheet in lay_pages(pages, sheets).sheets for pair in (sheet.front, sheet.back)]


@pytest.mark.parametrize("pair", [{1, 32}, {19, 14}, {12, 21}])
def test_a_section_of_32_pages_pairs_to_33(pair: set[int]) -> None:
    """Cowie p. 31: in a quired section of 32 pages any two pages whose numbers make 33 go together."""
    pairs = pairs_of(32, 8)
    assert pair in [set(p) for p in pairs]
    assert all(sum(page or 0 for page in p) == 33 for p in pairs)


def test_two_folio_sheets_quired() -> None:
    """Cowie p. 31: the outer sheet has 1 and 8, and 7 and 2; the inner one 3 and 6, and 5 and 4."""
    outer, inner = lay_pages(8, 2).sheets
    assert (set(outer.front), set(outer.back)) == ({1, 8}, {7, 2})
    assert (set(inner.front), set(inner.back)) == ({3, 6}, {5, 4})


@pytest.mark.parametrize(("pages", "total"), [(4, 5), (8, 9), (16, 17), (24, 25), (32, 33), (36, 37)])
def test_neighbouring_pages_sum_to_one_more_than_the_pages(pages: int, total: int) -> None:
    """Savage p. 329 (by the wording): 5 in folio, 9 quarto, 17 octavo, 25 duodecimo, 33 sixteens, 37
    eighteens.

    Folded more than once and cut, such a sheet is a section of as many pages, in which the same two leaves
    hang together at the back as in a nest of folio sheets.
    """
    assert {sum(page or 0 for page in pair) for pair in pairs_of(pages, pages // 4)} == {total}


def test_a_gathering_of_twelve_pages() -> None:
    """Three sheets pair 12-1, 2-11, 10-3, 4-9, 8-5, 6-7: common practice, no published source."""
    assert pairs_of(12, 3) == [(12, 1), (2, 11), (10, 3), (4, 9), (8, 5), (6, 7)]


@pytest.mark.parametrize(("sheet", "published_in"), [(2, 0.005), (3, 0.010), (4, 0.015)])
def test_a_stack_of_nested_sheets_by_the_flat_rule(sheet: int, published_in: float) -> None:
    """Printer's page on creep: paper of .005 in puts sheets two, three and four .005, .010, .015 in out."""
    creep = compute_creep(4, compute_creep_step(Measured(0.005 * MM_PER_INCH), CreepRule.FLAT))
    assert creep.sheets[sheet - 1].push_out_mm.value / MM_PER_INCH == pytest.approx(published_in, abs=0.0005)


def test_the_trade_formula_counts_one_step_more() -> None:
    """Nies/Artcraft: total = pages / 4 x caliper, step = total / sheets; for 32 pages of 0.1 mm, 0.8 and 0.1
    mm.

    The step is ours. Of the total one step is too much: eight sheets have only seven others around the
    innermost.
    """
    published_total_mm = 32 / 4 * 0.1
    creep = compute_creep(8, compute_creep_step(Measured(0.1), CreepRule.FLAT))
    assert creep.step.step_mm.value == pytest.approx(published_total_mm / 8)
    assert creep.total_mm.value == pytest.approx(published_total_mm - 0.1)


@pytest.mark.parametrize(
    ("sheets", "caliper_mm", "flat_mm", "round_mm"),
    [
        (2, 0.10, 0.100, 0.1571),
        (4, 0.10, 0.300, 0.4712),
        (8, 0.10, 0.700, 1.0996),
        (12, 0.12, 1.320, 2.0735),
        (16, 0.15, 2.250, 3.5343),
        (8, 0.095, 0.665, 1.045),
    ],
)
def test_the_two_bounds_of_creep(sheets: int, caliper_mm: float, flat_mm: float, round_mm: float) -> None:
    """Closed-form geometry worked out apart from this program, no published source: sharp and round folds."""
    for rule, total_mm in ((CreepRule.FLAT, flat_mm), (CreepRule.ROUND, round_mm)):
        creep = compute_creep(sheets, compute_creep_step(Measured(caliper_mm), rule))
        last_digit = 0.001 if sheets == 8 and caliper_mm == 0.095 else 0.0001
        assert creep.total_mm.value == pytest.approx(total_mm, abs=0.51 * last_digit)
        # A dummy that does just this is measured to the factor of its rule, and is not flagged.
        step = calibrate_creep_step(Measured(caliper_mm), sheets, creep.total_mm)
        assert step.factor.value == pytest.approx(1.0 if rule is CreepRule.FLAT else math.pi / 2)
        assert step.is_usual


def test_840_pages_of_86_micrometres() -> None:
    """Article on pages per inch: 840 pages on leaves of 86 micrometres make 36.12 mm, 1.422 in."""
    block_mm = compute_block_thickness({"text": 420}, {"text": Measured(0.086)}).leaves.thickness_mm.value
    assert block_mm == pytest.approx(36.12, abs=0.005)
    assert block_mm / MM_PER_INCH == pytest.approx(1.422, abs=0.0005)


def test_320_pages_when_four_sheets_measure_16_thousandths() -> None:
    """Paper merchant's bulk table: four sheets of .016 in, 320 pages, .64 in."""
    caliper = Measured(0.016 / 4 * MM_PER_INCH)
    block = compute_block_thickness({"text": 160}, {"text": caliper})
    assert block.leaves.thickness_mm.value / MM_PER_INCH == pytest.approx(0.64, abs=0.005)
