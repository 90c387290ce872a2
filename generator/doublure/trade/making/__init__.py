"""Making: spares by the maker's rule, the bill of materials, and what the log adds up to.

In: counts, stocks, prices, log entries. Out: frozen results. Never: notes, files, display text.
"""

from __future__ import annotations

from doublure.trade.making.bill import (
    AmountNeed,
    Bill,
    BookNeed,
    LengthNeed,
    Missing,
    MissingInput,
    Need,
    NeedLine,
    PieceNeed,
    StockLine,
    StockSpec,
    StockUnit,
    work_bill,
)
from doublure.trade.making.spares import (
    FixedSpares,
    RuleFrom,
    ShareSpares,
    SpareNeed,
    SparePlan,
    SpareRule,
    compute_spares,
    plan_spares,
)
from doublure.trade.making.totals import (
    Comparison,
    LogEntrySpec,
    LogTotals,
    PeriodSums,
    Sums,
    ThingSums,
    compare_planned,
    sum_log,
)

__all__ = [
    "AmountNeed",
    "Bill",
    "BookNeed",
    "Comparison",
    "FixedSpares",
    "LengthNeed",
    "LogEntrySpec",
    "LogTotals",
    "Missing",
    "MissingInput",
    "Need",
    "NeedLine",
    "PeriodSums",
    "PieceNeed",
    "RuleFrom",
    "ShareSpares",
    "SpareNeed",
    "SparePlan",
    "SpareRule",
    "StockLine",
    "StockSpec",
    "StockUnit",
    "Sums",
    "ThingSums",
    "compare_planned",
    "compute_spares",
    "plan_spares",
    "sum_log",
    "work_bill",
]
