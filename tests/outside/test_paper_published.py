"""Paper against published tables: weights, thicknesses, worked examples.

Sources, seen when the facts were collected (2026) unless said otherwise; only figures are taken from them:
    GPO: Government Paper Specification Standards No. 11, US Joint Committee on Printing, GPO,
        1 February 1999; JCP code beside each row; a US government work.
    PrintWiki, encyclopaedia of print, "Grammage".
    Dawe: E. A. Dawe, Paper and Its Uses (1914), pp. 92, 125-6 and the table of browns; public domain.
    Trade pages, each named beside its rows and asserted with a loose tolerance only.
Tolerance: half of the last published digit, or what the source itself allows, said beside the check.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from doublure.measured import Measured
from doublure.quantities import PoundGrade, index_grades, parse_grammage, parse_length
from doublure.store.data_files import read_rows
from doublure.trade.paper.caliper import (
    BulkVerdict,
    check_bulk,
    compute_bulk,
    compute_caliper_from_bulk,
    compute_pages_per_inch,
    compute_stack_height,
)
from doublure.trade.paper.records import decode_equivalence, decode_sizes
from doublure.trade.paper.sizes import find_sizes
from doublure.trade.paper.weights import (
    compute_grammage,
    compute_pounds,
    compute_ream_area,
    compute_sheet_mass,
)

GRADES = index_grades()
SIZES = decode_sizes(read_rows("paper_sizes"), read_rows("paper_families"))
INCH = 25.4
SQUARE_FOOT_M2 = 0.3048**2


def get_size(name: str) -> tuple[float, float]:
    """Return short and long of the one size with this name and list."""
    (size,) = find_sizes(name, SIZES)
    return size.short_mm, size.long_mm


# JCP code, grade, pounds, nominal g/m² as printed. Rows within 1 % of the exact value.
GPO_AGREES = [
    ("A10", "newsprint", 32, 52), ("A70", "offset", 45, 67), ("D10", "writing", 12, 45),
    ("D10", "writing", 16, 60), ("D10", "writing", 18, 68), ("D10", "writing", 20, 75),
    ("J10", "ledger", 24, 90), ("J10", "ledger", 28, 105), ("J10", "ledger", 32, 120),
    ("J10", "ledger", 44, 165), ("H20", "bond", 47, 177), ("K10", "index", 110, 200),
    ("K10", "index", 140, 255), ("K10", "index", 170, 305), ("L20", "cover", 50, 135),
    ("L20", "cover", 65, 175), ("L20", "cover", 80, 215), ("L40", "cover", 65, 175),
    ("L40", "cover", 80, 215), ("P20", "tag", 105, 170), ("P20", "tag", 150, 245), ("P20", "tag", 165, 270),
    ("P20", "tag", 250, 405), ("Q80", "tag", 160, 260),
    # A65 prints 24 x 36 in beside this row, which does not fit; read as 25 x 38 in it does.
    ("A65", "book", 35, 52),
]  # fmt: skip
# Rows that the specification rounds to a nominal weight, mostly to 5 g/m².
GPO_NOMINAL = [
    ("A10", "newsprint", 25, 40), ("A10", "newsprint", 28, 45), ("A10", "newsprint", 30, 50),
    ("A70", "offset", 40, 60), ("A70", "offset", 50, 75), ("A70", "offset", 60, 90), ("A91", "text", 70, 105),
    ("A91", "text", 80, 120), ("A91", "text", 100, 150), ("A175", "coated book", 38, 55),
    ("K10", "index", 90, 165),
]  # fmt: skip


@pytest.mark.parametrize(("code", "grade", "pounds", "gsm"), GPO_AGREES)
def test_government_weights(code: str, grade: str, pounds: int, gsm: int) -> None:
    """GPO, JCP code beside the row: pounds of the basic size and grammage agree, both ways."""
    assert parse_grammage(f"{pounds} lb {grade}").value == pytest.approx(gsm, rel=0.01, abs=0.5), code
    assert compute_pounds(gsm, GRADES[grade]) == pytest.approx(pounds, rel=0.01, abs=0.5)


@pytest.mark.parametrize(("code", "grade", "pounds", "gsm"), GPO_NOMINAL)
def test_government_nominal_weights(code: str, grade: str, pounds: int, gsm: int) -> None:
    """GPO: rounded nominal weights, within 2.6 %; the specification itself allows 5 %."""
    assert compute_grammage(pounds, GRADES[grade]) == pytest.approx(gsm, rel=0.026), code


def test_a_row_that_contradicts_itself() -> None:
    """GPO, JCP A65: 35 lb is 52 g/m² for 25 x 38 in but not for the 24 x 36 in printed there."""
    assert abs(compute_grammage(35, GRADES["tag"]) / 52 - 1) > 0.08
    assert compute_grammage(35, GRADES["book"]) == pytest.approx(52, abs=0.5)


@pytest.mark.parametrize(
    ("grade", "factor"), [("bond", 3.760), ("book", 1.480), ("cover", 2.704), ("tag", 1.627)]
)
def test_encyclopaedia_factors(grade: str, factor: float) -> None:
    """PrintWiki: grammage of one pound, to half of its third decimal."""
    assert compute_grammage(1, GRADES[grade]) == pytest.approx(factor, abs=0.0005)


def test_encyclopaedia_worked_examples() -> None:
    """PrintWiki: 20 lb bond is 75.2 g/m²; 103.6 g/m² book is 69.93 lb by a factor cut short (so 0.1 %)."""
    assert compute_grammage(20, GRADES["bond"]) == pytest.approx(75.2, abs=0.05)
    assert compute_pounds(103.6, GRADES["book"]) == pytest.approx(69.93, rel=0.001)


# Trade pages: paperspecs.com, timesprinters.com, clearprint.com, spectrumprintgroup.com, documentde.com.
TRADE = [
    ("bond", 20, 75), ("cover", 50, 135), ("text", 50, 74), ("book", 100, 150), ("bristol", 67, 145),
    ("index", 110, 200), ("cover", 65, 175), ("cover", 100, 275), ("cover", 130, 350), ("text", 50, 75),
    ("text", 60, 90), ("text", 70, 105), ("text", 17, 25), ("text", 20, 30), ("bond", 8, 30), ("bond", 9, 34),
    ("text", 24, 36), ("text", 30, 44), ("bond", 12, 45), ("text", 33, 49), ("bond", 13, 49),
    ("text", 35, 52), ("text", 40, 59), ("bond", 16, 60), ("text", 43, 64), ("text", 45, 67),
    ("text", 55, 81), ("text", 60, 89), ("bond", 24, 90), ("text", 70, 104), ("bond", 28, 105),
    ("cover", 40, 108), ("text", 75, 111), ("text", 80, 118), ("bond", 32, 120), ("bristol", 57, 125),
    ("text", 90, 133), ("bond", 36, 135), ("text", 97, 144), ("bristol", 67, 147), ("text", 100, 148),
    ("cover", 55, 149), ("bond", 40, 150), ("text", 105, 155),
]  # fmt: skip


@pytest.mark.parametrize(("grade", "pounds", "gsm"), TRADE)
def test_trade_weights(grade: str, pounds: int, gsm: int) -> None:
    """Trade pages: within 2.6 %, or half a gram where the paper is light."""
    assert compute_grammage(pounds, GRADES[grade]) == pytest.approx(gsm, rel=0.026, abs=0.5)


def test_table_of_equal_weights() -> None:
    """User guide of an office laser printer, table of equal weights (trade): whole pounds, within 2.6 %."""
    rows = decode_equivalence(read_rows("paper_equivalence"))
    assert len(rows) == 24
    for row in rows:
        for grade, pounds in row.pounds:
            assert compute_pounds(row.grammage_gsm, GRADES[grade]) == pytest.approx(
                pounds, rel=0.026, abs=0.5
            )


def test_bank_paper_is_one_substance() -> None:
    """Dawe p. 92: bank paper is 7 lb foolscap, 11 lb large post, 13 lb medium of 480: one grammage fits."""
    ranges = []
    for pounds, name in ((7, "foolscap 480"), (11, "large post 480"), (13, "medium 480")):
        ranges.append([compute_grammage(pounds + half, GRADES[name]) for half in (-0.5, 0.5)])
    assert max(low for low, _ in ranges) < min(high for _, high in ranges)


@pytest.mark.parametrize(
    ("short", "long", "pounds"),
    [
        ("17", "25", 11), ("19.5", "24", 12), ("21", "26", 14), ("20", "29", 15), ("20", "30", 15),
        ("22.5", "29", 17), ("24", "32", 19), ("25", "34", 22), ("24", "39", 24), ("30", "40", 31),
        ("29", "45", 33), ("31", "46", 37),
    ],
)  # fmt: skip
def test_browns_equal_to_demy_10_lb(short: str, long: str, pounds: int) -> None:
    """Dawe, table of browns: reams of 480 that equal demy of 10 lb, in whole pounds, up to one off."""
    grade = PoundGrade("brown", Fraction(short), Fraction(long), 480)
    same = compute_pounds(compute_grammage(10, GRADES["printing demy 480"]), grade)
    assert same == pytest.approx(pounds, abs=1)


def test_demy_in_double_crown() -> None:
    """Dawe, table of browns: demy 10 lb is double crown 15 lb, to the nearest pound."""
    grammage = compute_grammage(10, GRADES["printing demy 480"])
    assert round(compute_pounds(grammage, GRADES["double crown 480"])) == 15


@pytest.mark.parametrize(
    ("grade", "square_feet"),
    [("bond", 1299), ("book", 3299), ("bristol", 2227), ("cover", 1806), ("index", 2701), ("tag", 3000)],
)
def test_ream_areas(grade: str, square_feet: int) -> None:
    """ivexsp.com (trade): area of 500 sheets of the basic size, in whole square feet."""
    found = GRADES[grade]
    size_mm = (float(found.short_in) * INCH, float(found.long_in) * INCH)
    assert compute_ream_area(size_mm) / SQUARE_FOOT_M2 == pytest.approx(square_feet, abs=0.5)


def test_constants_and_slips_of_the_trade() -> None:
    """paperspecs.com prints the constant 1406.5, 0.03 % high; ehow.com 686 in² for bristol, not 641.25."""
    assert float(GRADES["bond"].gsm_per_lb * GRADES["bond"].area_in2) == pytest.approx(1406.5, rel=0.0003)
    assert float(GRADES["bristol"].area_in2) == 641.25


def test_mass_of_a4() -> None:
    """Wikipedia, "Grammage": a sheet of A4 of 80 g/m² weighs 5 g, a sixteenth of a square metre."""
    assert round(compute_sheet_mass(get_size("A4"), 80)) == 5
    assert compute_sheet_mass(get_size("A4"), 80) == pytest.approx(80 / 16, rel=0.003)


# JCP code, g/m², thickness as printed in mm and in inches; the specification allows 0.008 to 0.025 mm.
GPO_CALIPERS = [
    ("A10", 40, "0.070 mm", "0.0028 in"), ("A10", 45, "0.075 mm", "0.0030 in"),
    ("A10", 50, "0.080 mm", "0.0032 in"), ("A10", 52, "0.090 mm", "0.0035 in"),
    ("A65", 52, "0.065 mm", "0.0026 in"), ("A70", 60, "0.075 mm", "0.0030 in"),
    ("A70", 67, "0.090 mm", "0.0035 in"), ("A70", 75, "0.105 mm", "0.0041 in"),
    ("A70", 90, "0.130 mm", "0.0051 in"), ("A91", 105, "0.140 mm", "0.0055 in"),
    ("A91", 120, "0.160 mm", "0.0063 in"), ("A91", 150, "0.200 mm", "0.0079 in"),
    ("A175", 55, "0.055 mm", "0.0022 in"), ("D10", 60, "0.075 mm", "0.0030 in"),
    ("D10", 75, "0.095 mm", "0.0037 in"), ("J10", 90, "0.105 mm", "0.0041 in"),
    ("J10", 105, "0.120 mm", "0.0047 in"), ("J10", 120, "0.135 mm", "0.0053 in"),
    ("J10", 165, "0.185 mm", "0.0073 in"), ("K10", 165, "0.190 mm", "0.0075 in"),
    ("K10", 200, "0.230 mm", "0.0091 in"), ("K10", 255, "0.290 mm", "0.0114 in"),
    ("K10", 305, "0.350 mm", "0.0138 in"), ("P20", 170, "0.20 mm", "0.008 in"),
    ("P20", 245, "0.28 mm", "0.011 in"), ("P20", 270, "0.35 mm", "0.014 in"),
    ("P20", 405, "0.45 mm", "0.018 in"),
]  # fmt: skip


@pytest.mark.parametrize(("code", "gsm", "metric", "inches"), GPO_CALIPERS)
def test_government_calipers(code: str, gsm: int, metric: str, inches: str) -> None:
    """GPO: both printed thicknesses are one, to half a step of each, and the bulk is usual."""
    step_mm, step_in = (0.01, 0.001) if code == "P20" else (0.005, 0.0001)
    halves_mm = (step_mm + step_in * INCH) / 2
    assert parse_length(inches).value == pytest.approx(parse_length(metric).value, abs=halves_mm), code
    checked = check_bulk(parse_length(metric), Measured(gsm))
    assert checked.verdict is BulkVerdict.USUAL


@pytest.mark.parametrize(
    ("code", "low", "high"),
    [
        ("A10", 1.60, 1.75), ("A70", 1.25, 1.45), ("D10", 1.25, 1.27), ("J10", 1.12, 1.17),
        ("K10", 1.14, 1.15), ("P20", 1.1, 1.3), ("A175", 1.0, 1.0),
    ],
)  # fmt: skip
def test_government_bulks(code: str, low: float, high: float) -> None:
    """GPO, thickness by grammage: bulk of newsprint, offset, office bond, ledger, index, tag, coated book."""
    rows = [(gsm, metric) for row_code, gsm, metric, _ in GPO_CALIPERS if row_code == code]
    bulks = [compute_bulk(parse_length(metric), Measured(gsm)).value for gsm, metric in rows]
    assert min(bulks) >= low - 0.006
    assert max(bulks) <= high + 0.006


def test_ream_heights() -> None:
    """GPO, JCP D10: 500 sheets of 0.095 mm are 47.5 mm; a ream of 0.002 in sheets is 1 in (arithmetic)."""
    assert compute_stack_height(parse_length("0.095 mm"), 500).value == pytest.approx(47.5, rel=1e-12)
    assert compute_stack_height(parse_length("0.002 in"), 500).value == pytest.approx(INCH, rel=1e-12)


def test_pages_and_bulk_worked_examples() -> None:
    """Worked examples of trade pages, each named."""
    # rhollick.wordpress.com, "PPI" (2010): 840 pages of 86 micrometres.
    block = compute_stack_height(parse_length("86 µm"), 420).value
    assert block == pytest.approx(36.12, abs=0.005)
    assert block / INCH == pytest.approx(1.422, abs=0.0005)
    assert compute_pages_per_inch(0.086) == pytest.approx(590.697, abs=0.0015)
    # welbound.com: 500 pages an inch are 250 sheets; spectrumprintgroup.com: 400 pages of 400 an inch.
    leaf_500, leaf_400 = 2 * INCH / 500, 2 * INCH / 400
    assert compute_stack_height(Measured(leaf_500), 250).value == pytest.approx(INCH)
    assert compute_stack_height(Measured(leaf_400), 200).value == pytest.approx(INCH)
    # dcc-kaestl.com: 80 g/m² at volume 1.5 is 0.12 mm. Fifty leaves are then 6 mm, though the page prints 4.
    assert compute_caliper_from_bulk(80, 1.5) == pytest.approx(0.12)
    assert compute_stack_height(Measured(compute_caliper_from_bulk(80, 1.5)), 50).value == pytest.approx(6)
    # media54.com, definition of the volume factor: mm of 200 pages of 100 g/m²; 18 is a bulk of 1.8 cm³/g.
    assert compute_stack_height(Measured(compute_caliper_from_bulk(100, 1.8)), 100).value == pytest.approx(18)
    # sca.com, thickness and bulk: 100 micrometres of 80 g/m².
    assert compute_bulk(parse_length("100 µm"), parse_grammage("80 g/m²")).value == pytest.approx(1.25)


@pytest.mark.parametrize(
    ("four_sheets_in", "pages"),
    [
        (0.0055, 1454), (0.006, 1332), (0.0065, 1232), (0.007, 1142), (0.016, 500), (0.038, 212),
        (0.0385, 208), (0.039, 206), (0.0395, 202), (0.040, 200),
    ],
)  # fmt: skip
def test_pages_per_inch(four_sheets_in: float, pages: int) -> None:
    """gouldpaper.com, bulk determination (trade): thickness of four sheets to pages an inch, within 1 %."""
    assert compute_pages_per_inch(four_sheets_in * INCH / 4) == pytest.approx(pages, rel=0.01)
