"""From notes to the bill: what each part needs of each stock, what is bought, what was spent."""

from __future__ import annotations

from decimal import Decimal

import pytest

from doublure.trade.making.bill import Missing
from doublure.workings.all import Workings, work_up
from doublure.workings.reference import Reference
from journal_samples import decode_well, note


def work(files: dict[str, str]) -> Workings:
    """Work up a journal without pictures and reference facts."""
    return work_up(decode_well(files), {}, Reference())


REPLICA = "title: R\nedition: 6\nspares: half again\nmoney: marks\n"


def test_pieces_of_an_insert_are_rounded_up_to_sheets_and_packs() -> None:
    found = work(
        {
            "replica.yml": REPLICA,
            "stocks/card.md": note(sheet="210 x 297 mm", pack="10 sheets", price="4.00", on_hand="1 sheet"),
            "inserts/pass.md": note(size="64 x 121 mm", stock="card"),
        }
    ).bill
    assert found.bill is not None
    # By hand: 6 copies and 3 spares; upright 3 by 2 with 3 mm between; 9 pieces take 2 sheets, 1 is there.
    assert found.plans["pass"].to_make == 9
    assert found.fits["pass"].pieces == 6
    line = found.bill.stocks[0]
    assert (line.needed, line.to_get, line.packs, line.cost, line.left_over) == (2, 1, 1, Decimal("4.00"), 9)


def test_grain_keeps_pieces_from_lying_the_other_way() -> None:
    def pieces(grain: str) -> int:
        found = work(
            {
                "replica.yml": REPLICA,
                "stocks/card.md": note(sheet="200 x 300 mm", grain="long"),
                "inserts/pass.md": note(size="97 x 195 mm", stock="card", grain=grain),
            }
        )
        return found.bill.fits["pass"].pieces

    # By hand, 3 mm between: along the long side two by one upright; across it one by three.
    assert (pieces("height"), pieces("width")) == (2, 3)


def test_a_ribbon_is_bought_by_the_metre() -> None:
    found = work(
        {
            "replica.yml": REPLICA,
            "stocks/ribbon.md": note(kind="cloth", sheet="6 x 5000 mm", pack="2 m", price="1.50"),
            "inserts/mark.md": note(size="6 x 240 mm", stock="ribbon"),
        }
    ).bill.bill
    assert found is not None
    line = found.stocks[0]
    assert line.needed == pytest.approx(Decimal("2.187"))
    assert (line.packs, line.cost) == (2, Decimal("3.00"))


def test_the_book_and_its_spares_are_in_the_bill() -> None:
    found = work(
        {
            "replica.yml": REPLICA,
            "stocks/laid.md": note(sheet="420 x 297 mm", grain="short", pack="100 sheets", price="9.00"),
            "book.yml": "title: B\nleaf: 105 x 148 mm\nstock: laid\nsequence: [{blank: 16}]\ngatherings: 4 sheets\n",
        }
    ).bill
    assert found.bill is not None
    # By hand: 4 sheets a copy, 24 and 12 spare; the grain must run along the fold, 148 mm: 2 by 2 from one sheet.
    assert found.spare_sheets == 12
    assert found.book_fit is not None
    assert found.book_fit.pieces == 4
    assert found.bill.stocks[0].needed == 9


@pytest.mark.parametrize(
    ("folding", "sheet", "sheets", "from_one"),
    [
        # By hand: 16 pages of 105 by 148 mm are 4 folio sheets of 210 by 148, 2 quarto sheets of 210 by 296, or
        # one octavo sheet of 420 by 296; the grain runs along the spine.
        ("folio", "420 x 297 mm", 4, 4),
        ("quarto", "420 x 297 mm", 2, 2),
        ("octavo", "420 x 297 mm", 1, 1),
    ],
)
def test_a_sheet_folded_more_often_takes_more_of_the_stock(
    folding: str, sheet: str, sheets: int, from_one: int
) -> None:
    found = work(
        {
            "replica.yml": REPLICA,
            "stocks/laid.md": note(sheet=sheet, grain="short", pack="100 sheets", price="9.00"),
            "book.yml": "title: B\nleaf: 105 x 148 mm\nstock: laid\nsequence: [{blank: 16}]\n"
            f"gatherings: {sheets} sheets\npress: {{folding: {folding}}}\n",
        }
    )
    assert found.book is not None
    assert (found.book.folded_sheets, found.book.leaves) == (sheets, 8)
    assert found.bill.book_fit is not None
    assert found.bill.book_fit.pieces == from_one
    assert found.bill.bill is not None
    assert found.bill.bill.stocks[0].needed == -(-sheets * 9 // from_one)


def test_what_is_missing_is_named_and_never_counted_as_nothing() -> None:
    found = work(
        {
            "replica.yml": REPLICA,
            "stocks/card.md": note(),
            "inserts/pass.md": note(stock="card"),
            "inserts/slip.md": note(),
        }
    ).bill.bill
    assert found is not None
    assert found.total is None
    assert {one.kind for one in found.stocks[0].missing} >= {Missing.FIT}
    assert [line.need.thing for line in found.unassigned] == ["inserts/slip"]


def test_without_an_edition_there_is_no_bill_and_the_log_still_adds_up() -> None:
    found = work(
        {"log/2031-01-02-a.md": note(minutes="30", spent="2.50"), "log/2031-01-03-b.md": note(spent="0.70")}
    )
    assert found.bill.bill is None
    assert (found.bill.totals.total.minutes, found.bill.totals.total.money) == (30, Decimal("3.20"))


def test_pieces_made_are_counted_where_an_entry_is_about_one_insert() -> None:
    found = work(
        {
            "replica.yml": REPLICA,
            "inserts/pass.md": note(),
            "inserts/slip.md": note(),
            "log/2031-01-02-a.md": note(about="pass", made="4", spoiled="1"),
            "log/2031-01-03-b.md": note(about="[pass, slip]", made="9"),
        }
    )
    one = next(one for one in found.inserts if one.note.id == "pass")
    assert (one.made, one.spoiled, one.state.value) == (4, 1, "in making")
    assert [entry.id for entry in one.entries] == ["2031-01-03-b", "2031-01-02-a"]
