"""Each stock: its weights both ways, its caliper and where that comes from, its bulk.

In: a Replica. Out: StockWorking. Never: the formulas (trade/paper).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.model.notes import StockNote
from doublure.model.replica import Replica
from doublure.trade.paper.caliper import BulkCheck, check_bulk, compute_caliper
from doublure.trade.paper.records import TradeWeights
from doublure.trade.paper.weights import PaperWeights, compute_ream_mass, compute_weights, find_trade_weights


class CaliperFrom(Enum):
    """Where a caliper comes from."""

    STATED = "stated"
    STACK = "stack"


@dataclass(frozen=True, slots=True)
class StockWorking:
    """One stock.

    Attributes:
        note: Its note.
        weights: Grammage and every pound grade; None where the grammage is open.
        trade: The row of the trade's table of equal weights, where the grammage is in it.
        caliper: Thickness of one sheet, mm, stated or from a stack; None where open.
        caliper_from: Where it comes from.
        bulk: Bulk, and whether it is believable; None where caliper or grammage is open.
        ream_kg: Mass of 500 sheets as sold, kg; None where sheet or grammage is open.
        inserts: Identifiers of inserts on this stock.
        in_book: True where the book's leaves, or leaves tipped in, are of this stock.
    """

    note: StockNote
    weights: PaperWeights | None
    trade: TradeWeights | None
    caliper: Measured | None
    caliper_from: CaliperFrom | None
    bulk: BulkCheck | None
    ream_kg: float | None
    inserts: tuple[str, ...]
    in_book: bool


def work_stocks(
    replica: Replica, trade_weights: tuple[TradeWeights, ...], book_stocks: frozenset[str]
) -> dict[str, StockWorking]:
    """Work out every stock, by identifier."""
    return {
        ident: _work(replica, note, trade_weights, ident in book_stocks)
        for ident, note in replica.stocks.items()
    }


def find_caliper(note: StockNote) -> tuple[Measured | None, CaliperFrom | None]:
    """Return the caliper of a stock, stated or from its stack."""
    if note.caliper_mm is not None:
        return note.caliper_mm, CaliperFrom.STATED
    if note.stack_mm is not None and note.stack_sheets:
        return compute_caliper(note.stack_mm, note.stack_sheets), CaliperFrom.STACK
    return None, None


def _work(
    replica: Replica, note: StockNote, trade_weights: tuple[TradeWeights, ...], in_book: bool
) -> StockWorking:
    caliper, caliper_from = find_caliper(note)
    weights = trade = bulk = ream_kg = None
    if note.grammage_gsm is not None:
        weights = compute_weights(note.grammage_gsm)
        trade = find_trade_weights(note.grammage_gsm.value, trade_weights)
        if caliper is not None:
            try:
                bulk = check_bulk(caliper, note.grammage_gsm)
            except DomainError:
                bulk = None
        if note.sheet is not None:
            size = (note.sheet.width_mm.value, note.sheet.height_mm.value)
            ream_kg = compute_ream_mass(size, note.grammage_gsm.value)
    return StockWorking(
        note=note,
        weights=weights,
        trade=trade,
        caliper=caliper,
        caliper_from=caliper_from,
        bulk=bulk,
        ream_kg=ream_kg,
        inserts=tuple(one.id for one in replica.inserts.values() if one.stock == note.id),
        in_book=in_book,
    )
