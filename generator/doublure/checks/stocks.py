"""Stocks: caliper against grammage, stack against caliper, grain of a square sheet.

In: a Replica. Out: problems. Never: the limits themselves (trade/paper has them).
"""

from __future__ import annotations

from collections.abc import Iterator

from doublure.checks.finding import find, show_mm
from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.model.notes import StockNote
from doublure.model.replica import Replica
from doublure.problems import Problem
from doublure.trade.paper.caliper import BulkVerdict, check_bulk, check_stack, compute_caliper

#: Kinds of stock of whose bulk anything is known.
_PAPERS = ("", "paper", "card", "board")


def check_stocks(replica: Replica) -> Iterator[Problem]:
    """Yield what cannot be in the notes of stocks."""
    for stock in replica.stocks.values():
        yield from _check_bulk(stock)
        yield from _check_stack(stock)
        if stock.sheet is not None and stock.grain in ("long", "short"):
            width, height = stock.sheet.width_mm.value, stock.sheet.height_mm.value
            if abs(width - height) < 0.01:
                yield find(
                    "S109",
                    f"grain: {stock.grain}, but the sheet is square",
                    stock.origin.span("grain"),
                    "a square sheet has no longer side: write none, or correct the sheet",
                )


def _check_bulk(stock: StockNote) -> Iterator[Problem]:
    if stock.grammage_gsm is None or stock.kind not in _PAPERS:
        return
    field = "caliper"
    caliper: Measured | None = stock.caliper_mm
    try:
        if caliper is None and stock.stack_mm is not None and stock.stack_sheets:
            field = "stack"
            caliper = compute_caliper(stock.stack_mm, stock.stack_sheets)
        if caliper is None:
            return
        checked = check_bulk(caliper, stock.grammage_gsm)
    except DomainError:
        return
    if checked.verdict is BulkVerdict.USUAL:
        return
    code = "S101" if checked.verdict is BulkVerdict.IMPOSSIBLE else "S108"
    low, high = checked.likely_caliper_mm
    grammage = stock.grammage_gsm.text or f"{stock.grammage_gsm.value:.4g} g/m²"
    yield find(
        code,
        f"{field}: {show_mm(caliper.value)} and {grammage} make a bulk of {checked.bulk.value:.3g} cm³/g",
        stock.origin.span(field),
        f"paper of {grammage} is usually {low:.2g} to {high:.2g} mm thick",
        ((stock.origin.span("grammage"), "the grammage"),),
    )


def _check_stack(stock: StockNote) -> Iterator[Problem]:
    if stock.caliper_mm is None or stock.stack_mm is None or not stock.stack_sheets:
        return
    try:
        checked = check_stack(stock.caliper_mm, stock.stack_mm, stock.stack_sheets)
    except DomainError:
        return
    if checked.contradicts:
        yield find(
            "S102",
            f"stack: {stock.stack_sheets} sheets of {show_mm(checked.stated.value)} are "
            f"{show_mm(checked.stated.value * stock.stack_sheets)} high, not {show_mm(stock.stack_mm.value)}",
            stock.origin.span("stack"),
            f"the stack makes a sheet {show_mm(checked.from_stack.value)} thick",
            ((stock.origin.span("caliper"), "the stated caliper"),),
        )
