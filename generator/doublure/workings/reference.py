"""Reference facts that ship with the package, as the workings use them.

In: rows of the package's tables. Out: Reference. Never: opening the tables (store/data_files does).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from doublure.trade.paper.formats import KnownFormat, gather_formats
from doublure.trade.paper.records import TradeWeights, decode_equivalence, decode_formats, decode_sizes

Rows = Iterable[Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class Reference:
    """What was published.

    Attributes:
        formats: Period formats, named sizes, and named sheets folded once or twice.
        trade_weights: The trade's table of equal weights.
    """

    formats: tuple[KnownFormat, ...] = ()
    trade_weights: tuple[TradeWeights, ...] = ()


def gather_reference(formats: Rows, sizes: Rows, families: Rows, equivalence: Rows) -> Reference:
    """Return the reference facts from the rows of their tables."""
    named = decode_sizes(sizes, families)
    return Reference(
        formats=gather_formats(decode_formats(formats), named, most_folds=2),
        trade_weights=decode_equivalence(equivalence),
    )
