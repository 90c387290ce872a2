"""Sizes of paper against published tables, folds and pieces of a sheet, and the probability of a match.

Sources, seen when the facts were collected (2026) unless said otherwise; only figures are taken from them:
    ISO 216:2007 as tabulated in Wikipedia, "ISO 216" (the standard itself not seen).
    Britannica: Encyclopaedia Britannica, 11th edition (1911), vol. 20, "Paper", p. 735; public domain.
    Cockerell: D. Cockerell, Bookbinding, and the Care of Books (1901), ch. XX, printed p. 283; public domain.
    Zaehnsdorf: J. W. Zaehnsdorf, The Art of Bookbinding, printed pp. 4-5; public domain.
    GPO: Government Paper Specification Standards No. 11, US Joint Committee on Printing, GPO, 1 Feb 1999.
    The upper tail of chi-square: scipy.stats (BSD).
    Others beside their rows.
Tolerance: none, sizes are exact; the mean of ISO A sizes to the rounding of the standard.
"""

from __future__ import annotations

import math

import pytest
from scipy import stats

from doublure.measured import Measured
from doublure.quantities import parse_size
from doublure.store.data_files import read_rows
from doublure.trade.cutting.fit import count_straight_cuts
from doublure.trade.paper.formats import gather_formats, match_formats
from doublure.trade.paper.records import decode_formats, decode_sizes
from doublure.trade.paper.sizes import find_sizes, fold_sheet

SIZES = decode_sizes(read_rows("paper_sizes"), read_rows("paper_families"))
KNOWN = gather_formats(decode_formats(read_rows("period_formats")), SIZES)


def get_size(name: str) -> tuple[float, float]:
    """Return short and long of the one size with this name and list."""
    (size,) = find_sizes(name, SIZES)
    return size.short_mm, size.long_mm


ISO_A = [
    (841, 1189),
    (594, 841),
    (420, 594),
    (297, 420),
    (210, 297),
    (148, 210),
    (105, 148),
    (74, 105),
    (52, 74),
]
ISO_B = [
    (1000, 1414),
    (707, 1000),
    (500, 707),
    (353, 500),
    (250, 353),
    (176, 250),
    (125, 176),
    (88, 125),
    (62, 88),
]


@pytest.mark.parametrize(("series", "table"), [("A", ISO_A), ("B", ISO_B)])
def test_iso_216(series: str, table: list[tuple[int, int]]) -> None:
    """ISO 216: each size of the package is the table's, and the one before it halved, fractions dropped."""
    for number, size in enumerate(table):
        assert get_size(f"{series}{number}") == size
        assert size[1] / size[0] == pytest.approx(math.sqrt(2), abs=0.02)
    for larger, smaller in zip(table, table[1:], strict=False):
        assert smaller == (larger[1] // 2, larger[0])
        folded = fold_sheet(*larger, 1)
        assert (math.floor(folded[0]), folded[1]) == smaller


def test_iso_216_areas() -> None:
    """ISO 216: A0 is a square metre to the rounding of its sides; B(n) is the mean of A(n) and A(n - 1)."""
    width_m, height_m = (side / 1000 for side in get_size("A0"))
    assert width_m * height_m == pytest.approx(1, abs=0.0005 * (width_m + height_m))
    for number in range(1, 9):
        for side in range(2):
            mean = math.sqrt(ISO_A[number][side] * ISO_A[number - 1][side])
            assert ISO_B[number][side] == pytest.approx(mean, abs=1)


def test_iso_216_tolerances() -> None:
    """ISO 216 (as quoted in the same article): 1.5 mm up to 150 mm, 2 mm up to 600 mm, 3 mm above."""
    checked = 0
    for size in SIZES:
        if size.tolerance_mm is None:
            continue
        for side, tolerance in zip((size.short_mm, size.long_mm), size.tolerance_mm, strict=True):
            assert tolerance == (1.5 if side <= 150 else 2 if side <= 600 else 3), size.id
            checked += 1
    assert checked == 44


@pytest.mark.parametrize(
    ("name", "inches"),
    [
        # Britannica, writing papers
        ("Foolscap (UK writing 1911)", "13 1/4 x 16 1/2 in"),
        ("Large post (UK writing 1911)", "16 1/2 x 21 in"), ("Medium (UK writing 1911)", "18 x 23 in"),
        ("Pott (UK writing 1911)", "12 1/2 x 15 in"),
        # Britannica, drawing papers
        ("Demy (UK drawing 1911)", "15 1/2 x 20 in"), ("Imperial (UK drawing 1911)", "22 x 30 in"),
        ("Atlas (UK drawing 1911)", "26 x 34 in"), ("Antiquarian (UK drawing 1911)", "31 x 53 in"),
        # Britannica, printing papers
        ("Demy (UK printing 1911)", "17 1/2 x 22 1/2 in"), ("Double crown (UK printing 1911)", "20 x 30 in"),
        # Cockerell, printing papers
        ("Crown (UK printing 1901)", "15 x 20 in"), ("Post (UK printing 1901)", "15 1/2 x 19 1/4 in"),
        ("Super royal (UK printing 1901)", "21 x 27 in"), ("Royal (UK printing 1901)", "20 x 25 in"),
        # GPO, basic sizes
        ("Index basis", "25 1/2 x 30 1/2 in"), ("Cover basis", "20 x 26 in"), ("Text basis", "25 x 38 in"),
    ],
)  # fmt: skip
def test_traditional_sizes(name: str, inches: str) -> None:
    """Sizes as printed in handbook, encyclopaedia and government lists, read as a maker writes them."""
    width, height = parse_size(inches)
    assert get_size(name) == (width.value, height.value)


def test_lists_that_agree() -> None:
    """Britannica and Cockerell, ten years apart, print the same for these names."""
    for name in ("Demy", "Royal", "Imperial", "Double crown", "Double foolscap"):
        assert get_size(f"{name} (UK printing 1911)") == get_size(f"{name} (UK printing 1901)")


@pytest.mark.parametrize(
    ("double", "single"),
    [
        ("Double royal", "Royal"),
        ("Quad demy", "Double demy"),
        ("Quad crown", "Double crown"),
        ("Double demy", "Demy"),
    ],
)
def test_doubles(double: str, single: str) -> None:
    """Britannica, printing papers: a double sheet folded once is the single one, a quad the double."""
    assert fold_sheet(*get_size(f"{double} (UK printing 1911)"), 1) == get_size(
        f"{single} (UK printing 1911)"
    )


@pytest.mark.parametrize(
    ("sheet", "folds", "page"),
    [
        ("20 x 25 in", 3, "6 1/4 x 10 in"),  # royal octavo: Wikipedia, "Paper size"; Zaehnsdorf's small royal
        ("22 x 30 in", 3, "7 1/2 x 11 in"),  # imperial octavo: Zaehnsdorf p. 5
        ("15 x 20 in", 3, "5 x 7 1/2 in"),  # crown octavo: Zaehnsdorf p. 4
        ("20 x 25 in", 2, "10 x 12 1/2 in"),  # royal quarto: Zaehnsdorf p. 5
        ("22 x 30 in", 2, "11 x 15 in"),  # imperial quarto: Zaehnsdorf p. 5
        ("15 x 20 in", 1, "10 x 15 in"),  # crown folio: Zaehnsdorf p. 5
    ],
)
def test_folded_pages(sheet: str, folds: int, page: str) -> None:
    """Page sizes of folded sheets as the handbook prints them."""
    flat, folded = parse_size(sheet), parse_size(page)
    assert fold_sheet(flat[0].value, flat[1].value, folds) == (folded[0].value, folded[1].value)


@pytest.mark.parametrize(
    ("sheet", "piece", "count"),
    [
        # Treasury Department Appropriation Bill, 1929, p. 105, as cited by Wikipedia, "Federal Reserve Note".
        ("16 1/4 x 13 1/4 in", "6 5/16 x 2 11/16 in", 12),
        ("16 1/4 x 13 1/4 in", "7 7/16 x 3 9/64 in", 8),
        # ISO 216: two of the next size to a sheet.
        ("841 x 1189 mm", "594 x 841 mm", 2),
        ("297 x 420 mm", "210 x 297 mm", 2),
        ("210 x 297 mm", "148 x 210 mm", 2),
    ],
)
def test_pieces_on_a_sheet(sheet: str, piece: str, count: int) -> None:
    """Published numbers of pieces on a sheet by straight cuts."""
    sheet_mm, piece_mm = ((w.value, h.value) for w, h in (parse_size(sheet), parse_size(piece)))
    assert count_straight_cuts(sheet_mm, piece_mm).pieces == count


@pytest.mark.parametrize(
    ("sheet", "piece", "most"),
    [((22, 16), (5, 3), 23), ((46, 34), (11, 6), 23), ((53, 51), (9, 7), 42), ((76, 73), (13, 10), 42)],
)
def test_pieces_never_beat_the_optimum(sheet: tuple[int, int], piece: tuple[int, int], most: int) -> None:
    """K. A. Dowsland, J. Oper. Res. Soc. 35 (1984) 895-905: sizes seen, best counts from memory."""
    found = count_straight_cuts(sheet, piece).pieces
    assert most * 0.94 <= found <= most


def test_probability_is_the_tail_of_chi_square() -> None:
    """scipy.stats.chi2: the p of a match is the upper tail with two degrees of freedom."""
    matches = match_formats(Measured(90, 3), Measured(138, 4), KNOWN, least_p=1e-6)
    assert len(matches) > 10
    for match in matches:
        assert match.p == pytest.approx(stats.chi2.sf(match.distance2, 2), rel=1e-9)


@pytest.mark.parametrize(
    ("inches", "wanted"),
    [
        ("2 1/2 x 4 in", "carte de visite, mount"),  # modoc1873; sportscollectorsdaily.com (trade)
        (
            "4 1/4 x 6 1/2 in",
            "cabinet card, mount",
        ),  # thephotographystore.blogspot.com; photodetective.co.uk (trade)
        ("3 x 4 3/4 in", "official post card"),  # undividedbackpostcard.com (trade)
        ("1 7/32 x 2 1/4 in", "Edmondson card railway ticket"),  # Wikipedia, "Edmondson railway ticket"
        ("8 x 13 in", "foolscap folio typing sheet"),  # Wikipedia, "Foolscap folio"
    ],
)
def test_period_formats_are_known(inches: str, wanted: str) -> None:
    """A piece of a published period size is matched to that format among the best."""
    width, height = (Measured(side.value, 0.5) for side in parse_size(inches))
    best = match_formats(width, height, KNOWN)
    assert wanted in {match.format.name for match in best if match.p > 0.999}
