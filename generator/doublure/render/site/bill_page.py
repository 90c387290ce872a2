"""The bill of materials, and what was spent so far.

In: SiteContext. Out: SitePage values, Table. Never: computing.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from doublure.render.html import (
    Fact,
    Html,
    Link,
    join_html,
    render_answer,
    render_facts,
    render_link,
    render_working,
)
from doublure.render.plan import SitePage, page_path
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.wordings import count_words
from doublure.render.table import Cell, Column, Row, Table, render_table_html
from doublure.trade.making.bill import (
    AmountNeed,
    Bill,
    BookNeed,
    LengthNeed,
    Missing,
    MissingInput,
    NeedLine,
    PieceNeed,
    StockLine,
    StockUnit,
)
from doublure.workings.bill import BillWorking

METHOD = "handbook/methods/materials.md"
MISSING_WORDS = {
    Missing.STOCK: "its stock is not decided",
    Missing.FIT: "how many fit a sheet is not known",
    Missing.LENGTH: "the length of a piece is not known",
    Missing.AMOUNT: "the amount is not known",
    Missing.UNIT: "it is sold in another unit",
    Missing.PACK: "what it is sold in is not known",
    Missing.PRICE: "its price is not known",
}


def _things(count: Decimal, unit: StockUnit) -> str:
    shown = f"{count:f}".rstrip("0").rstrip(".") if "." in f"{count:f}" else f"{count:f}"
    noun = {StockUnit.SHEET: "sheet", StockUnit.METRE: "m", StockUnit.PIECE: "piece"}[unit]
    return f"{shown} {noun}" + ("" if unit is StockUnit.METRE or count == 1 else "s")


def _in_money(ctx: SiteContext, title: str) -> str:
    money = ctx.work.replica.replica.money
    return f"{title}, {money}" if money else title


def _amounts(ctx: SiteContext, line: StockLine) -> tuple[int | Decimal | None, ...]:
    """Return a line's figures in the order of the columns."""
    money = (line.cost,) if ctx.shows_prices else ()
    stock = line.stock
    return (line.needed, stock.on_hand, line.to_get, line.packs, stock.per_pack, *money, line.left_over)


def bill_table(ctx: SiteContext, frame: PageFrame, bill: Bill) -> Table:
    """Return the bill, one row for each stock."""
    rows: list[Row] = []
    # What to buy comes first, then what is on hand already, last what nothing asks for in a counted amount.
    for line in sorted(bill.stocks, key=lambda one: (not one.packs, not one.needed)):
        stock = line.stock
        name = ctx.name_of(f"stocks/{stock.identifier}")
        rows.append(
            (
                Cell(stock.identifier, name, frame.href(page_path("stocks", stock.identifier))),
                stock.unit.value,
                *(Cell(value, "" if line.needed or line.packs else "–") for value in _amounts(ctx, line)),
            )
        )
    money = (
        (Column("cost_money", _in_money(ctx, "Cost"), numeric=True, decimals=2),) if ctx.shows_prices else ()
    )
    foot: tuple[Row, ...] = ()
    if ctx.shows_prices:
        foot = (("Together", None, None, None, None, None, None, bill.total_known, None),)
    return Table(
        name="bill",
        caption="What to buy for the whole edition",
        columns=(
            Column("stock", "Stock"),
            Column("unit", "Counted in"),
            Column("needed", "Needed", numeric=True, decimals=0),
            Column("on_hand", "On hand", numeric=True, decimals=0),
            Column("to_get", "To get", numeric=True, decimals=0),
            Column("packs", "Packs", numeric=True),
            Column("per_pack", "In one pack", numeric=True, decimals=0),
            *money,
            Column("left_over", "Left over", numeric=True, decimals=0),
        ),
        rows=tuple(rows),
        foot=foot,
        method="Pieces with spares, less what is on hand, rounded up to what is sold; a dash where no counted "
        "part asks for the stock.",
        method_link=Link("The bill", frame.href(f"{METHOD}#the-bill")),
        narrow="scroll",
    )


def need_table(ctx: SiteContext, frame: PageFrame, bill: Bill) -> Table:
    """Return every need of the bill, one row each."""
    rows: list[Row] = []
    for line in (*(one for stock in bill.stocks for one in stock.lines), *bill.unassigned):
        need = line.need
        stock = need.stock or ""
        rows.append(
            (
                Cell(need.thing, *_thing(ctx, frame, need.thing)),
                Cell(stock, ctx.name_of(f"stocks/{stock}") if stock else "open"),
                _pieces(need),
                _per_sheet(need),
                line.amount,
                _why(ctx, line.missing),
            )
        )
    return Table(
        name="needs",
        caption="Pieces, and the sheets, metres or pieces of stock that they take",
        columns=(
            Column("thing", "For"),
            Column("stock", "Stock"),
            Column("pieces", "Pieces, spares included", numeric=True),
            Column("per_sheet", "From one sheet", numeric=True),
            Column("amount", "Sheets, metres or pieces", numeric=True, decimals=0),
            Column("missing", "Not known because"),
        ),
        rows=tuple(rows),
        method="How many pieces come out of a sheet by straight cuts, with the grain as each piece needs it.",
        method_link=Link("Pieces from a sheet", frame.href(f"{METHOD}#pieces-from-a-sheet")),
        narrow="scroll",
    )


def _thing(ctx: SiteContext, frame: PageFrame, thing: str) -> tuple[Html | str, str]:
    link = ctx.thing_link(frame, thing)
    return link.text if isinstance(link.text, Html) else str(link.text), link.href


def _pieces(need: object) -> int | None:
    match need:
        case PieceNeed() | LengthNeed():
            return need.pieces
        case BookNeed():
            return need.sheets
        case AmountNeed():
            return int(need.amount) if need.amount is not None else None
    return None


def _per_sheet(need: object) -> int | None:
    match need:
        case PieceNeed():
            return need.per_sheet
        case BookNeed():
            return need.per_stock_sheet
        case LengthNeed():
            return need.per_row
    return None


def _why(ctx: SiteContext, missing: tuple[MissingInput, ...]) -> str:
    return "; ".join(MISSING_WORDS[one.kind] for one in missing)


def pages(ctx: SiteContext) -> list[SitePage]:
    """Return the bill."""
    frame = PageFrame("bill.md", "Bill of materials", kind="bill")
    work = ctx.work.bill
    if work.bill is None:
        frame.add(
            render_answer("The edition is open: say in journal/replica.yml how many copies (edition:).")
        )
        return [frame.finish()]
    bill = work.bill
    edition = ctx.work.replica.replica.edition
    to_buy = sum(1 for line in bill.stocks if line.packs)
    answer = f"For {count_words(edition or 0, 'copy', 'copies')}: {count_words(to_buy, 'stock')} to buy"
    if ctx.shows_prices:
        if bill.unknown:
            known = f", at least {ctx.money(bill.total_known)}" if bill.total_known else ""
            answer += f"{known}, and {count_words(bill.unknown, 'line')} whose cost is not known"
        else:
            answer += f", {ctx.money(bill.total_known)}"
    frame.add(render_answer(answer + "."))
    frame.add(render_facts(_facts(ctx)))
    table = bill_table(ctx, frame, bill)
    frame.add(
        render_table_html(
            table, csv_href=frame.href("data/bill.csv"), json_href=frame.href("data/bill.json"), wide=True
        )
    )
    unknown = [line for line in bill.stocks if line.missing]
    if unknown or bill.unassigned:
        frame.heading("Not known", "unknown")
        items = [_unknown(ctx, frame, line) for line in unknown]
        items += [_unassigned(ctx, frame, line) for line in bill.unassigned]
        frame.add(f"<ul>{''.join(f'<li>{item}</li>' for item in items)}</ul>")
    frame.heading("What each part needs", "needs")
    needs = need_table(ctx, frame, bill)
    frame.add(
        render_table_html(
            _without_empty_last(needs),
            csv_href=frame.href("data/needs.csv"),
            json_href=frame.href("data/needs.json"),
            wide=True,
        )
    )
    frame.add(
        render_working(
            [
                "Each part is rounded up to whole sheets by itself, since a sheet is cut up for one use. The sum on a "
                "stock, less what is on hand, is rounded up to whole packs. What an input is missing for stays "
                "unknown; it is never counted as nothing."
            ],
            inputs=[
                ("Edition", str(edition)),
                ("Spares of the book", count_words(work.spare_sheets, "sheet")),
                *_failing(work),
                *_run(work),
                ("Waste between pieces", "3 mm"),
            ],
            method=Link("The bill", frame.href(f"{METHOD}#the-bill")),
        )
    )
    return [frame.finish()]


def _failing(work: BillWorking) -> list[tuple[str, str]]:
    """Return the sheets that are expected to fail at crossovers, and what was made of them."""
    if not work.failing_per_copy:
        return []
    share = f"{work.failing_per_copy:.2f} a copy" + ("" if work.failing_tried else ", not yet tried on paper")
    taken = (
        "more than the spares, and taken instead"
        if work.failing_sheets > work.spare_sheets
        else "within the spares"
    )
    words = f"{count_words(work.failing_sheets, 'sheet')} ({share}), {taken}"
    return [("Sheets of the book expected to fail at crossovers", words)]


def _run(work: BillWorking) -> list[tuple[str, str]]:
    """Return what the run takes where that is more than was planned."""
    planned = work.copies_sheets + max(work.spare_sheets, work.failing_sheets)
    if work.run_sheets <= planned:
        return []
    words = (
        f"{count_words(work.run_sheets, 'sheet')}, used and left, {work.run_sheets - planned} more than planned: spares "
        "are rounded up stack by stack, and what spoils beyond them is printed again; taken instead"
    )
    return [("Sheets of the book that the run takes", words)]


def _without_empty_last(table: Table) -> Table:
    """Return the table for the page, without its last column where that says nothing anywhere."""
    last = [row[-1] for row in table.rows]
    if any(cell.value if isinstance(cell, Cell) else cell for cell in last):
        return table
    return replace(table, columns=table.columns[:-1], rows=tuple(row[:-1] for row in table.rows))


def _facts(ctx: SiteContext) -> list[Fact]:
    work = ctx.work.bill
    assert work.bill is not None
    facts = []
    if ctx.shows_prices:
        total, known = work.bill.total, work.bill.total_known
        at_least = f"at least {ctx.money(known)}" if known else "not known"
        facts.append(Fact("Still to buy", ctx.money(total) if total is not None else at_least))
        facts.append(Fact("Spent so far", ctx.money(work.comparison.spent), "from the log"))
    sheets = sum(line.to_get or 0 for line in work.bill.stocks if line.stock.unit is StockUnit.SHEET)
    facts.append(Fact("Sheets to get", str(sheets)))
    if work.book_fit is not None:
        facts.append(Fact("Book sheets from one stock sheet", str(work.book_fit.pieces)))
    return facts


def _unknown(ctx: SiteContext, frame: PageFrame, line: StockLine) -> Html:
    link = render_link(ctx.thing_link(frame, f"stocks/{line.stock.identifier}"))
    reasons = []
    for one in line.missing:
        own = one.of == line.stock.identifier
        reasons.append(MISSING_WORDS[one.kind] + ("" if own else f" ({ctx.name_of(one.of)})"))
    return join_html([link, ": ", "; ".join(reasons)])


def _unassigned(ctx: SiteContext, frame: PageFrame, line: NeedLine) -> Html:
    return join_html([render_link(ctx.thing_link(frame, line.need.thing)), ": ", _why(ctx, line.missing)])


__all__ = ["bill_table", "need_table", "pages"]
