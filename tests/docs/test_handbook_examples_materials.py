"""The worked examples on paper and materials, recomputed: the package gives every figure printed.

Each test holds the inputs of one example and looks for the figures in the section that prints them.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from doublure.measured import Measured
from doublure.model.replica import ImageFact
from doublure.model.source import SourceText
from doublure.notes.journal import decode_journal
from doublure.notes.packs import NAMED_SIZES, parse_size_mm
from doublure.quantities import index_grades
from doublure.store.data_files import read_rows
from doublure.trade.cutting.fit import count_straight_cuts
from doublure.trade.making import (
    BookNeed,
    FixedSpares,
    LogEntrySpec,
    PieceNeed,
    ShareSpares,
    SpareNeed,
    StockSpec,
    compute_spares,
    plan_spares,
    sum_log,
    work_bill,
)
from doublure.trade.paper import caliper as paper
from doublure.trade.paper.formats import CUTTING_TOLERANCE_MM, UNSTATED_TOLERANCE_MM, match_formats
from doublure.trade.paper.weights import (
    compute_grammage,
    compute_ream_mass,
    compute_sheet_mass,
    compute_weights,
    find_trade_weights,
)
from doublure.workings.bill import GAP_MM
from doublure.workings.inserts import MOST_FORMATS
from doublure.workings.reference import gather_reference
from doublure.workings.resolution import work_resolutions
from handbook_pages import expect, row

REFERENCE = gather_reference(
    read_rows("period_formats"),
    read_rows("paper_sizes"),
    read_rows("paper_families"),
    read_rows("paper_equivalence"),
)


def test_weights() -> None:
    """Pounds and grams, a sheet and a ream."""
    grades = index_grades()
    for first in ("bond", "book", "cover", "tag", "index", "bristol", "blotting", "paperboard"):
        grade = grades[first]
        sides = f"{float(grade.short_in):g} × {float(grade.long_in):g}"
        expect("paper", "weights", row(sides, grade.sheets, f"{float(grade.gsm_per_lb):.4f}"))
    weights = compute_weights(Measured(90.0))
    trade = find_trade_weights(90.0, REFERENCE.trade_weights)
    assert trade is not None
    expect("paper", "weights", f"= {compute_grammage(20, grades['bond']):.1f} g/m²",
           ", ".join(f"{weights.in_grade(name).pounds:.1f} lb {name}" for name in ("bond", "text", "cover")),
           f"calls it {dict(trade.pounds)['bond']} lb bond",
           f"weighs {compute_sheet_mass((420, 297), 90):.2f} g",
           f"{compute_ream_mass((420, 297), 90):.2f} kg")  # fmt: skip


def test_bulk() -> None:
    """A stack, its bulk, a slip, and a stated caliper."""
    stack = Measured(55.0, 0.5)
    caliper = paper.compute_caliper(stack, 500)
    check = paper.check_bulk(caliper, Measured(90.0, 2.0))
    slip = paper.check_bulk(Measured(0.011), Measured(90.0))
    assert check.verdict is paper.BulkVerdict.USUAL
    assert slip.verdict is paper.BulkVerdict.IMPOSSIBLE
    wrong = paper.check_stack(Measured(0.100, 0.002), stack, 500)
    right = paper.check_stack(Measured(0.108, 0.002), stack, 500)
    assert (wrong.contradicts, right.contradicts) == (True, False)
    expect("paper", "bulk", f"{caliper.value:.3f} ± {caliper.u:.3f} mm",
           f"{check.bulk.value:.2f} ± {check.bulk.u:.2f} cm³/g: usual",
           f"the bulk is {slip.bulk.value:.2f}: it cannot be",
           f"({wrong.z:.1f} standard uncertainties)", f"would not ({right.z:.1f})",
           f"{paper.USUAL_BULK.low_cm3_g:g} to {paper.USUAL_BULK.high_cm3_g:g} usual",
           f"{paper.POSSIBLE_BULK.low_cm3_g:g} to {paper.POSSIBLE_BULK.high_cm3_g:g} can be")  # fmt: skip


def test_matching_formats() -> None:
    """A card ticket, worked through."""
    found = match_formats(Measured(57.0, 0.5), Measured(31.0, 0.5), REFERENCE.formats, most=MOST_FORMATS)[0]
    assert found.format.id == "f047"
    variance = 0.5**2 + (UNSTATED_TOLERANCE_MM**2 + CUTTING_TOLERANCE_MM**2) / 3
    minus = str.maketrans("-", "−")
    expect("paper", "matching-formats",
           f"{found.format.long_mm:.2f} × {found.format.short_mm:.2f} mm",
           f"0.5² + {UNSTATED_TOLERANCE_MM:g}²/3 + {CUTTING_TOLERANCE_MM:g}²/3 = {variance:.3f}",
           f"differences are {found.difference_mm[0]:.2f} and {found.difference_mm[1]:.2f} mm".translate(minus),
           f"z is {found.z[0]:.2f} and {found.z[1]:.2f}".translate(minus),
           f"d² is {found.distance2:.2f} and p is {found.p:.2f}",
           f"at most {MOST_FORMATS} are shown")  # fmt: skip


def test_named_sizes() -> None:
    """Names that sizes have, and three of them."""
    assert {name for name in NAMED_SIZES if name[0] not in "AB"} == {"Letter", "Legal", "Ledger"}
    assert {f"A{n}" for n in range(11)} | {f"B{n}" for n in range(11)} < set(NAMED_SIZES)
    shown = []
    for name in ("A3", "A3 landscape", "Letter"):
        size = parse_size_mm(name)
        says = " is " if name == "A3" else " "
        shown.append(f"{name}{says}{size.width_mm.value:g} × {size.height_mm.value:g} mm")
    expect("paper", "named-sizes", *shown)


def test_pieces_from_a_sheet() -> None:
    """Passes from a sheet, with the grain and without."""
    sheet, piece = (420.0, 297.0), (64.0, 121.0)
    free = count_straight_cuts(sheet, piece, GAP_MM)
    kept = count_straight_cuts(sheet, piece, GAP_MM, 0.0, "along-height", "long")
    upright, turned = free.blocks[0], kept.blocks[0]
    assert turned.turned
    assert not kept.upright_allowed
    expect("materials", "pieces-from-a-sheet", f"{GAP_MM:g} mm are left",
           f"{upright.columns} columns, (297 + 3) / 124 gives {upright.rows} rows",
           f"Turned: {turned.columns} columns, {turned.rows} rows",
           f"Either way {free.pieces} pieces, and {free.waste:.0%}".replace("%", " %"),
           f"There are still {kept.pieces}")  # fmt: skip


def test_spares() -> None:
    """Half again, a count, and rounding up."""
    plans = plan_spares(
        [SpareNeed("tide-pass"), SpareNeed("tide-leaf", 3, FixedSpares(4))], 6, ShareSpares(0.5)
    )
    expect("materials", "spares",
           *(f"{p.wanted} wanted, {p.spares} spare, {p.to_make} to make" for p in plans),
           f"Of 7, half again would be {compute_spares(7, ShareSpares(0.5))}")  # fmt: skip


def test_the_bill() -> None:
    """The book and the passes."""
    spare = compute_spares(28 * 6, ShareSpares(0.5))
    bill = work_bill(
        [BookNeed("book", "thin-laid", 28, 6, spare), PieceNeed("tide-pass", "buff-card", 9, 12)],
        [
            StockSpec("thin-laid", per_pack=Decimal(100), price_per_pack=Decimal("12.50"),
                      on_hand=Decimal(37)),
            StockSpec("buff-card", per_pack=Decimal(1), price_per_pack=Decimal("0.80")),
        ],
    )  # fmt: skip
    laid, buff = bill.stocks
    expect("materials", "the-bill", f"6 copies are {28 * 6} sheets, half again {spare} spare: {laid.needed} sheets",
           f"so {laid.to_get} are to be got", f"{laid.packs} packs at 12.50: {laid.cost} marks",
           f"and {laid.left_over} sheets will be left over", f"come out of {buff.needed} sheet",
           f"Together {bill.total} marks")  # fmt: skip


def test_sums_of_the_log() -> None:
    """Three entries, one of them about two things."""
    totals = sum_log(
        [
            LogEntrySpec(date(2031, 3, 14), ("tide-pass",), 40, Decimal("3.20"), 9, 2),
            LogEntrySpec(date(2031, 3, 15), ("tide-pass", "book"), 90, Decimal("0.05")),
            LogEntrySpec(date(2031, 4, 2), ("book",), made=12, spoiled=1),
        ]
    )
    named = [(thing.thing, thing.sums) for thing in totals.things] + [("in all", totals.total)]
    expect("materials", "sums-of-the-log",
           *(row(name, f"{s.minutes:g}", s.money, s.made, s.spoiled) for name, s in named),
           f"March came to {totals.months[0].sums.minutes:g} minutes",
           f"{totals.total.spoiled} of {totals.total.made + totals.total.spoiled} pieces were spoiled: "
           f"{100 * (totals.total.spoiled_share or 0):.1f} %")  # fmt: skip
    assert totals.total.untimed == 1


def test_resolution() -> None:
    """One file at two printed sizes."""
    notes = {
        "replica.yml": "title: My replica\n",
        "masters/pass-front.yml": "title: Pass\nartwork: artwork/pass.png\nsize: 64 x 121 mm\n",
        "masters/leaf.yml": "title: Leaf\nartwork: artwork/pass.png\nsize: 105 x 165 mm\n",
    }
    replica, problems = decode_journal(
        tuple(SourceText(f"journal/{name}", name, text) for name, text in sorted(notes.items()))
    )
    assert replica is not None
    assert problems == ()
    found = work_resolutions(replica, {"artwork/pass.png": ImageFact("artwork/pass.png", 1512, 2859, "")})
    expect("materials", "resolution", f"1512 / (64 / 25.4) = {found['pass-front'].ppi:.1f}",
           f"counts: {found['leaf'].ppi:.0f}", f"{2859 / (121 / 25.4):.1f} pixels an inch",
           f"has {1512 / (105 / 25.4):.1f} and {2859 / (165 / 25.4):.1f}")  # fmt: skip
    assert min(2859 / (121 / 25.4), 1512 / (64 / 25.4)) == pytest.approx(found["pass-front"].ppi)
