"""The bill of materials: what the book and the inserts of the edition need, stock by stock.

In: a Replica, the book, fits. Out: BillWorking. Never: the sums (trade/making, trade/cutting), display text.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from doublure.errors import DomainError
from doublure.model.insert import InsertNote
from doublure.model.notes import StockNote
from doublure.model.replica import Replica
from doublure.trade.cutting.fit import SheetFit, count_straight_cuts
from doublure.trade.making.bill import (
    AmountNeed,
    Bill,
    BookNeed,
    LengthNeed,
    Need,
    PieceNeed,
    StockSpec,
    StockUnit,
    work_bill,
)
from doublure.trade.making.spares import (
    SpareNeed,
    SparePlan,
    SpareRule,
    compute_spares,
    plan_spares,
)
from doublure.trade.making.totals import Comparison, LogEntrySpec, LogTotals, compare_planned, sum_log
from doublure.trade.press.run import count_wanted
from doublure.workings.book import BookWorking
from doublure.workings.log import LogWorking
from doublure.workings.press_records import PressWorking
from doublure.workings.spare_rules import convert_spares

#: Left between pieces, mm, so that each has a cut of its own (our choice; artwork that bleeds needs more).
GAP_MM = 3.0
#: A ribbon as wide as its roll must not fail by a rounding.
_SLACK_MM = 1e-6


@dataclass(frozen=True, slots=True)
class BillWorking:
    """The bill with what it rests on.

    Attributes:
        bill: Line by line; None while the edition is open.
        fits: How many pieces of each insert one sheet of its stock gives, by insert.
        book_fit: How many sheets of the book one sheet of its stock gives; None where open.
        plans: Pieces to make of each insert; empty while the edition is open.
        spare_sheets: Spare sheets of the book for the whole edition.
        totals: The sums of the log.
        comparison: What is still to be bought against what was spent; unknown while a price is.
        failing_sheets: Sheets of the book that are expected to fail at crossovers, for the whole edition, rounded
            up. They are spoilage: the larger of these and of the spare sheets is bought.
        failing_per_copy: The same for one copy, as it was predicted.
        failing_tried: True where readings of the printer stand behind that.
        run_sheets: Sheets that the run takes, used and left, spares and what spoiled included; 0 without a run.
        copies_sheets: Sheets of the copies alone.
    """

    bill: Bill | None
    fits: Mapping[str, SheetFit]
    book_fit: SheetFit | None
    plans: Mapping[str, SparePlan]
    spare_sheets: int
    totals: LogTotals
    comparison: Comparison
    failing_sheets: int = 0
    failing_per_copy: float = 0.0
    failing_tried: bool = False
    run_sheets: int = 0
    copies_sheets: int = 0

    @property
    def sheets_on_top(self) -> int:
        """Sheets of the book that are bought beyond those of the copies."""
        return max(self.spare_sheets, self.failing_sheets, self.run_sheets - self.copies_sheets)


def work_plans(replica: Replica) -> dict[str, SparePlan]:
    """Work out how many of each insert to make; empty while the edition is open."""
    edition = replica.replica.edition
    if edition is None:
        return {}
    needs = [
        SpareNeed(note.id, note.per_copy, convert_spares(note.spares)) for note in replica.inserts.values()
    ]
    plans = plan_spares(needs, edition, convert_spares(replica.replica.spares))
    return {plan.thing: plan for plan in plans}


def work_bill_of(
    replica: Replica,
    book: BookWorking | None,
    log: LogWorking,
    plans: Mapping[str, SparePlan],
    press: PressWorking | None = None,
) -> BillWorking:
    """Work out the bill of materials and the sums of the log.

    Args:
        replica: The notes.
        book: The book; None where there is none.
        log: The log.
        plans: Pieces to make of each insert.
        press: The press, whose plates say what a printed sheet is and which sheets are expected to fail; None:
            a sheet for each folded one, and none fail.
    """
    fits = {}
    for note in replica.inserts.values():
        fit = _fit_insert(note, replica.stocks.get(note.stock))
        if fit is not None:
            fits[note.id] = fit
    book_fit = _fit_book(replica, book, press)
    edition = replica.replica.edition
    bill = None
    spare_sheets = failing_sheets = copies_sheets = 0
    run_sheets = _count_run(press)
    if edition is not None:
        needs: list[Need] = [
            _insert_need(replica, note, plans[note.id].to_make, fits.get(note.id))
            for note in replica.inserts.values()
        ]
        if book is not None:
            rule = convert_spares(replica.replica.spares)
            copies_sheets = _count_sheets(book, press, edition)
            spare_sheets = compute_spares(copies_sheets, rule)
            if press is not None:
                failing_sheets = count_wanted(press.failing_sheets, edition)
            sheets = _book_need(book, press, book_fit, edition, spare_sheets, failing_sheets, run_sheets)
            needs[:0] = [sheets, *_tipped_needs(replica, book, edition, rule)]
        bill = work_bill(needs, [_stock_spec(note) for note in replica.stocks.values()])
    totals = sum_log(
        LogEntrySpec(
            date=note.date,
            about=log.things[note.id],
            minutes=note.minutes,
            money=note.spent,
            made=note.made or 0,
            spoiled=note.spoiled or 0,
        )
        for note in replica.log.values()
    )
    planned = bill.total if bill is not None else None
    return BillWorking(
        bill=bill,
        fits=fits,
        book_fit=book_fit,
        plans=plans,
        spare_sheets=spare_sheets,
        totals=totals,
        comparison=compare_planned(planned, totals.total.money),
        failing_sheets=failing_sheets,
        failing_per_copy=press.failing_sheets if press is not None else 0.0,
        failing_tried=press is not None and press.register is not None and press.register.is_tried,
        run_sheets=run_sheets,
        copies_sheets=copies_sheets,
    )


def _stock_spec(note: StockNote) -> StockSpec:
    unit, per_pack = StockUnit.SHEET, None
    if note.pack is not None:
        if note.pack.metres is not None:
            unit, per_pack = StockUnit.METRE, note.pack.metres
        elif note.pack.pieces is not None:
            unit, per_pack = StockUnit.PIECE, Decimal(note.pack.pieces)
        elif note.pack.sheets is not None:
            per_pack = Decimal(note.pack.sheets)
    return StockSpec(note.id, unit, per_pack, note.price, note.on_hand or Decimal(0))


def _fit_insert(note: InsertNote, stock: StockNote | None) -> SheetFit | None:
    if note.size is None or stock is None or stock.sheet is None:
        return None
    grain = f"along-{note.grain}" if note.grain else None
    return _fit((note.size.width_mm.value, note.size.height_mm.value), stock, grain, GAP_MM)


def _fit_book(replica: Replica, book: BookWorking | None, press: PressWorking | None) -> SheetFit | None:
    if book is None or book.note.leaf is None:
        return None
    stock = replica.stocks.get(book.note.stock)
    if stock is None or stock.sheet is None:
        return None
    sheet, plan = book.note.press.sheet, press.plan if press is not None else None
    if plan is not None and (sheet is not None or plan.layout.pairs > 1):
        # Printed on what is cut out of the stock, or on a whole sheet of it. Grain that runs against the fold
        # there has been taken by the maker, who is told.
        layout = plan.layout
        along = None if layout.fold_grain_ok is False else "along-height"
        return _fit((layout.sheet_width_mm, layout.sheet_height_mm), stock, along, 0.0)
    width, height = book.note.leaf.width_mm.value, book.note.leaf.height_mm.value
    across, down = {1: (2, 1), 2: (2, 2), 4: (4, 2)}[book.pairs_in_sheet]
    # A sheet is as many leaves wide and high as it is folded from, and its grain runs along the spine.
    return _fit((across * width, down * height), stock, "along-height", 0.0)


def _count_run(press: PressWorking | None) -> int:
    """Return the sheets that the run takes, used and left; 0 without a run."""
    if press is None or press.run is None:
        return 0
    return sum(stack.paper for stack in press.run.stacks)


def _count_sheets(book: BookWorking, press: PressWorking | None, edition: int) -> int:
    """Return the printed sheets of all copies, without spares."""
    if press is None or press.plan is None or press.plan.layout.pairs == 1:
        return book.folded_sheets * edition
    return sum(count_wanted(stack.per_copy, edition) for stack in press.plan.stacks)


def _fit(
    piece_mm: tuple[float, float], stock: StockNote, grain: str | None, gap_mm: float
) -> SheetFit | None:
    assert stock.sheet is not None
    sheet_mm = (stock.sheet.width_mm.value, stock.sheet.height_mm.value)
    known = stock.grain if stock.grain in ("long", "short") and sheet_mm[0] != sheet_mm[1] else None
    if stock.grain == "none":
        grain = None
    try:
        return count_straight_cuts(sheet_mm, piece_mm, gap_mm, 0.0, grain, known)
    except DomainError:
        return None


def _insert_need(replica: Replica, note: InsertNote, pieces: int, fit: SheetFit | None) -> Need:
    thing, stock = f"inserts/{note.id}", replica.stocks.get(note.stock)
    if stock is not None and stock.pack is not None:
        if stock.pack.pieces is not None:
            return AmountNeed(thing, stock.id, Decimal(pieces))
        if stock.pack.metres is not None:
            return _length_need(thing, note, stock, pieces)
    per_sheet = fit.pieces if fit is not None and fit.pieces else None
    return PieceNeed(thing, note.stock or None, pieces, per_sheet)


def _length_need(thing: str, note: InsertNote, stock: StockNote, pieces: int) -> LengthNeed:
    """Return what pieces take of a stock on a roll; the width of its sheet is that of the roll."""
    if note.size is None or stock.sheet is None:
        return LengthNeed(thing, stock.id, pieces, None, None)
    width, height = note.size.width_mm.value, note.size.height_mm.value
    across = int((stock.sheet.width_mm.value + GAP_MM + _SLACK_MM) // (width + GAP_MM))
    return LengthNeed(thing, stock.id, pieces, across or None, height + GAP_MM)


def _book_need(
    book: BookWorking,
    press: PressWorking | None,
    book_fit: SheetFit | None,
    edition: int,
    spare_sheets: int,
    failing_sheets: int,
    run_sheets: int,
) -> Need:
    per_sheet = book_fit.pieces if book_fit is not None and book_fit.pieces else None
    stock = book.note.stock or None
    if press is not None and press.plan is not None and press.plan.layout.pairs > 1:
        # One copy may take half a printed sheet; whole sheets are counted stack by stack.
        pieces = _count_sheets(book, press, edition) + max(spare_sheets, failing_sheets)
        return PieceNeed("book", stock, max(pieces, run_sheets), per_sheet)
    return BookNeed(
        "book", stock, book.folded_sheets, edition, spare_sheets, per_sheet, failing_sheets, run_sheets
    )


def _tipped_needs(replica: Replica, book: BookWorking, edition: int, rule: SpareRule | None) -> list[Need]:
    needs: list[Need] = []
    leaf = book.note.leaf
    for ident, leaves in sorted(book.tipped_stocks.items()):
        stock = replica.stocks.get(ident or book.note.stock)
        fit = None
        if stock is not None and stock.sheet is not None and leaf is not None:
            fit = _fit((leaf.width_mm.value, leaf.height_mm.value), stock, "along-height", 0.0)
        pieces = leaves * edition
        pieces += compute_spares(pieces, rule)
        needs.append(
            PieceNeed(
                "book",
                stock.id if stock is not None else None,
                pieces,
                fit.pieces if fit is not None and fit.pieces else None,
            )
        )
    return needs
