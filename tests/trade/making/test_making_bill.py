"""The bill: sheets, what is on hand, what is sold, money, and what is unknown."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.making.bill import (
    AmountNeed,
    Bill,
    BookNeed,
    LengthNeed,
    Missing,
    MissingInput,
    Need,
    PieceNeed,
    StockLine,
    StockSpec,
    StockUnit,
    work_bill,
)

LAID = StockSpec("laid", per_pack=Decimal(50), price_per_pack=Decimal("12.40"))
CLOTH = StockSpec("cloth", StockUnit.METRE, per_pack=Decimal("0.5"), price_per_pack=Decimal("7.25"))


def _list(*figures: object) -> tuple[object, ...]:
    return figures


def _one(needs: list[Need], stock: StockSpec) -> StockLine:
    (line,) = work_bill(needs, [stock]).stocks
    return line


def test_sheets_are_rounded_up_for_each_use() -> None:
    """9 pieces at 4 a sheet are 3 sheets, twice: 6, not the 5 that 18 pieces together would take."""
    line = _one([PieceNeed("pass", "laid", 9, 4), PieceNeed("label", "laid", 9, 4)], LAID)
    assert [need.amount for need in line.lines] == [3, 3]
    assert line.needed == 6
    assert line.packs == 1
    assert line.cost == Decimal("12.40")
    assert line.left_over == 44
    assert line.missing == ()


def test_book_sheets_are_sheets_a_copy_times_the_edition_with_spares() -> None:
    line = _one([BookNeed("book", "laid", sheets_per_copy=28, copies=6, spare_sheets=12)], LAID)
    assert _list(line.needed, line.packs, line.bought, line.left_over) == (180, 4, 200, 20)
    assert line.cost == Decimal("49.60")
    halves = _one([BookNeed("book", "laid", 28, 6, 12, per_stock_sheet=2)], LAID)
    assert halves.needed == 90


@pytest.mark.parametrize(
    ("spare", "failing", "needed"), [(12, 5, 180), (12, 12, 180), (12, 15, 183), (0, 1, 169)]
)
def test_sheets_expected_to_fail_are_spoilage_that_the_spares_are_for(
    spare: int, failing: int, needed: int
) -> None:
    need = BookNeed("book", "laid", 28, 6, spare, failing_sheets=failing)
    line = _one([need], LAID)
    # By hand: 168 sheets, and the larger of the two on top.
    assert line.needed == need.sheets == needed


@pytest.mark.parametrize(("run", "needed"), [(0, 180), (180, 180), (181, 181)])
def test_the_run_takes_what_it_takes(run: int, needed: int) -> None:
    assert BookNeed("book", "laid", 28, 6, 12, failing_sheets=5, run_sheets=run).sheets == needed


def test_what_is_on_hand_comes_off_and_never_below_nothing() -> None:
    stock = StockSpec("laid", StockUnit.SHEET, Decimal(50), Decimal(10), on_hand=Decimal(7))
    short = _one([AmountNeed("book", "laid", Decimal(58))], stock)
    assert _list(short.to_get, short.beyond, short.packs, short.cost) == (51, 0, 2, 20)
    assert short.left_over == 49
    enough = _one([AmountNeed("book", "laid", Decimal(3))], stock)
    assert _list(enough.to_get, enough.beyond, enough.packs, enough.bought, enough.cost) == (0, 4, 0, 0, 0)
    assert enough.left_over == 4


def test_what_is_all_there_costs_nothing_even_without_a_price() -> None:
    line = _one([AmountNeed("book", "laid", Decimal(3))], StockSpec("laid", on_hand=Decimal(3)))
    assert _list(line.cost, line.missing) == (0, ())


def test_a_stock_without_a_need_is_listed_with_what_lies_there() -> None:
    bill = work_bill([], [StockSpec("laid", on_hand=Decimal(20))])
    assert _list(bill.stocks[0].needed, bill.stocks[0].beyond, bill.total) == (0, 20, 0)


def test_lengths_are_rows_across_the_roll() -> None:
    """7 pieces at 3 across are 3 rows of 254 mm: 0.762 m, sold by the half metre."""
    line = _one([LengthNeed("case", "cloth", 7, 3, 254.0)], CLOTH)
    assert line.needed == Decimal("0.762")
    assert _list(line.packs, line.bought, line.cost) == (2, 1, Decimal("14.50"))


def test_a_length_a_hair_over_buys_no_further_length() -> None:
    hair = 200.00000000000003
    assert hair > 200
    assert _one([LengthNeed("case", "cloth", 5, 1, hair)], CLOTH).packs == 2


def test_an_amount_of_sheets_is_rounded_up_and_of_metres_is_not() -> None:
    assert _one([AmountNeed("book", "laid", Decimal("2.1"))], LAID).needed == 3
    assert _one([AmountNeed("thread", "cloth", Decimal("2.1"))], CLOTH).needed == Decimal("2.1")
    hide = StockSpec("hide", StockUnit.PIECE, Decimal(1), Decimal(30))
    assert _one([AmountNeed("case", "hide", Decimal("1.5"))], hide).cost == 60
    assert _one([PieceNeed("corner", "hide", 9, 8)], hide).needed == 2


@pytest.mark.parametrize(
    ("need", "stock", "missing"),
    [
        (PieceNeed("pass", "laid", 9, None), LAID, [MissingInput(Missing.FIT, "pass")]),
        (PieceNeed("pass", "laid", 9, 0), LAID, [MissingInput(Missing.TOO_LARGE, "pass")]),
        (PieceNeed("pass", "cloth", 9, 4), CLOTH, [MissingInput(Missing.UNIT, "pass")]),
        (BookNeed("book", "laid", 28, 6, per_stock_sheet=None), LAID, [MissingInput(Missing.FIT, "book")]),
        (AmountNeed("thread", "laid", None), LAID, [MissingInput(Missing.AMOUNT, "thread")]),
        (
            LengthNeed("case", "laid", 7, None, None),
            LAID,
            [
                MissingInput(Missing.UNIT, "case"),
                MissingInput(Missing.FIT, "case"),
                MissingInput(Missing.LENGTH, "case"),
            ],
        ),
        (LengthNeed("case", "cloth", 7, 2, None), CLOTH, [MissingInput(Missing.LENGTH, "case")]),
    ],
)
def test_a_need_with_an_input_missing_is_unknown_and_says_which(
    need: Need, stock: StockSpec, missing: list[MissingInput]
) -> None:
    bill = work_bill([need, AmountNeed("other", stock.identifier, Decimal(2))], [stock])
    line = bill.stocks[0]
    assert line.lines[0].amount is None
    assert list(line.lines[0].missing) == list(line.missing) == missing
    assert _list(line.needed, line.needed_known) == (None, 2)
    assert (line.to_get, line.beyond, line.packs, line.bought, line.left_over, line.cost) == (None,) * 6
    assert _list(bill.total, bill.total_known, bill.unknown) == (None, 0, 1)


def test_nothing_wanted_needs_nothing_whatever_is_missing() -> None:
    for need in (
        PieceNeed("pass", "laid", 0, None),
        BookNeed("book", "laid", 28, 0, per_stock_sheet=None),
        LengthNeed("case", "laid", 0, None, None),
    ):
        line = _one([need], StockSpec("laid"))
        assert _list(line.needed, line.cost, line.missing) == (0, 0, ())


def test_without_a_price_the_packs_are_known_and_the_cost_is_not() -> None:
    line = _one([AmountNeed("book", "laid", Decimal(60))], StockSpec("laid", per_pack=Decimal(50)))
    assert _list(line.packs, line.bought, line.left_over, line.cost) == (2, 100, 40, None)
    assert line.missing == (MissingInput(Missing.PRICE, "laid"),)


def test_without_a_pack_the_need_is_known_and_nothing_else() -> None:
    line = _one([AmountNeed("book", "laid", Decimal(60))], StockSpec("laid", price_per_pack=Decimal(3)))
    assert (
        _list(line.needed, line.to_get, line.packs, line.bought, line.left_over, line.cost)
        == (60, 60) + (None,) * 4
    )
    assert line.missing == (MissingInput(Missing.PACK, "laid"),)


def test_a_price_of_nothing_is_a_price() -> None:
    stock = StockSpec("laid", per_pack=Decimal(50), price_per_pack=Decimal(0))
    assert _one([AmountNeed("book", "laid", Decimal(60))], stock).cost == 0


def test_totals_count_what_is_unknown() -> None:
    bill = work_bill(
        [
            AmountNeed("book", "laid", Decimal(60)),
            AmountNeed("wrapper", "kraft", Decimal(4)),
            PieceNeed("pass", None, 9, 4),
            PieceNeed("label", "", 9, 4),
        ],
        [LAID, StockSpec("kraft")],
    )
    assert [line.stock.identifier for line in bill.stocks] == ["laid", "kraft"]
    assert [line.need.thing for line in bill.unassigned] == ["pass", "label"]
    assert bill.unassigned[0].missing == (MissingInput(Missing.STOCK, "pass"),)
    assert bill.unassigned[0].amount is None
    assert (bill.total, bill.total_known, bill.unknown) == (None, Decimal("24.80"), 3)


def test_a_whole_bill_has_a_total() -> None:
    bill = work_bill(
        [AmountNeed("book", "laid", Decimal(60)), AmountNeed("case", "cloth", Decimal(1))], [LAID, CLOTH]
    )
    assert (bill.total, bill.total_known, bill.unknown) == (Decimal("39.30"), Decimal("39.30"), 0)


def test_every_line_keeps_what_it_came_from() -> None:
    need = PieceNeed("pass", "laid", 9, 4)
    line = _one([need], LAID)
    assert line.stock is LAID
    assert line.lines[0].need is need


@pytest.mark.parametrize(
    "stock",
    [
        StockSpec("laid", per_pack=Decimal(0)),
        StockSpec("laid", per_pack=Decimal("NaN")),
        StockSpec("laid", price_per_pack=Decimal(-1)),
        StockSpec("laid", price_per_pack=Decimal("Infinity")),
        StockSpec("laid", on_hand=Decimal(-1)),
        StockSpec("laid", on_hand=Decimal("NaN")),
    ],
)
def test_an_impossible_stock_is_refused(stock: StockSpec) -> None:
    with pytest.raises(DomainError, match="laid"):
        work_bill([], [stock])


@pytest.mark.parametrize(
    "need",
    [
        PieceNeed("pass", "laid", -1, 4),
        PieceNeed("pass", "laid", 1, -4),
        BookNeed("pass", "laid", -1, 6),
        BookNeed("pass", "laid", 1, -6),
        BookNeed("pass", "laid", 1, 6, -1),
        BookNeed("pass", "laid", 1, 6, 0, -1),
        BookNeed("pass", "laid", 1, 6, 0, 1, -1),
        LengthNeed("pass", "laid", -1, 1, 1.0),
        LengthNeed("pass", "laid", 1, -1, 1.0),
        LengthNeed("pass", "laid", 1, 1, 0.0),
        LengthNeed("pass", "laid", 1, 1, math.nan),
        AmountNeed("pass", "laid", Decimal(-1)),
        AmountNeed("pass", "laid", Decimal("NaN")),
        PieceNeed("pass", "unheard of", 1, 4),
    ],
)
def test_an_impossible_need_is_refused(need: Need) -> None:
    with pytest.raises(DomainError, match="pass"):
        work_bill([need], [LAID])


def test_a_stock_given_twice_is_refused() -> None:
    with pytest.raises(DomainError, match="laid is given twice"):
        work_bill([], [LAID, LAID])


_STOCKS = st.builds(
    StockSpec,
    st.just("laid"),
    st.just(StockUnit.SHEET),
    st.none() | st.integers(1, 500).map(Decimal),
    st.none() | st.decimals(0, 100, places=2),
    st.integers(0, 400).map(Decimal),
)
_NEEDS = st.lists(
    st.builds(
        PieceNeed,
        st.sampled_from(["pass", "chart", "label"]),
        st.sampled_from(["laid", None]),
        st.integers(0, 500),
        st.none() | st.integers(0, 16),
    ),
    max_size=5,
)


@settings(deadline=None)
@given(_NEEDS, _STOCKS)
def test_what_is_known_balances_and_what_is_unknown_is_named(needs: list[Need], stock: StockSpec) -> None:
    bill: Bill = work_bill(needs, [stock])
    (line,) = bill.stocks
    assert (line.cost is None) is bool(line.missing)
    assert (bill.total is None) is (bill.unknown > 0)
    if line.needed is not None and line.to_get is not None and line.beyond is not None:
        assert line.needed - stock.on_hand == line.to_get - line.beyond
        assert min(line.to_get, line.beyond) == 0
    if (
        line.needed is not None
        and line.packs is not None
        and line.bought is not None
        and line.to_get is not None
    ):
        assert line.left_over == stock.on_hand + line.bought - line.needed
        assert line.left_over >= 0
        assert line.bought >= line.to_get
        if line.packs and stock.per_pack is not None:
            assert line.bought - stock.per_pack < line.to_get
    for need_line in line.lines:
        assert (need_line.amount is None) is bool(need_line.missing)
        need = need_line.need
        if need_line.amount is not None and isinstance(need, PieceNeed) and need.per_sheet:
            assert need_line.amount * need.per_sheet >= need.pieces
            assert (need_line.amount - 1) * need.per_sheet < max(need.pieces, 1)
