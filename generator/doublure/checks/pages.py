"""The page sequence written out as far as checks need it: the master of each page, the tipped leaves.

In: the book's note. Out: Pages. Never: gatherings, sheets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.model import book as model
from doublure.trade.book import sequence as trade


@dataclass(frozen=True, slots=True)
class Pages:
    """Every page of the book.

    Attributes:
        masters: Master of each page, "" where it is blank; the first entry is page 1.
        tipped: Leaves tipped in, with the page on which each begins.
        fault: Why the sequence cannot be written out; "" where it can.
    """

    masters: tuple[str, ...] = ()
    tipped: tuple[tuple[int, model.TippedLeaf], ...] = ()
    fault: str = ""

    @property
    def folded(self) -> int:
        """Pages on folded sheets."""
        return len(self.masters) - 2 * len(self.tipped)


def write_out_pages(book: model.BookNote | None) -> Pages | None:
    """Return every page; None where there is no sequence."""
    if book is None or not book.sequence:
        return None
    leaves: list[model.TippedLeaf] = []
    try:
        labels = trade.expand_sequence(_label(book.sequence, leaves))
    except DomainError as error:
        return Pages(fault=error.message)
    masters: list[str] = []
    tipped: list[tuple[int, model.TippedLeaf]] = []
    for page, label in enumerate(labels, 1):
        side, _, rest = (label or "").partition(":")
        if side in ("first", "second"):
            leaf = leaves[int(rest)]
            masters.append(leaf.first if side == "first" else leaf.second)
            if side == "first":
                tipped.append((page, leaf))
        else:
            masters.append(rest)
    return Pages(tuple(masters), tuple(tipped))


def _label(
    items: Sequence[model.SequenceItem], leaves: list[model.TippedLeaf]
) -> tuple[trade.SequenceItem, ...]:
    """Return the sequence as the trade takes it, each page with a label for what it carries."""
    labelled: list[trade.SequenceItem] = []
    for item in items:
        if isinstance(item, model.MasterPage):
            labelled.append(trade.Run((trade.MasterPage(f"page:{item.master}"),), item.times))
        elif isinstance(item, model.BlankPages):
            labelled.append(trade.BlankPages(item.count))
        elif isinstance(item, model.Run):
            labelled.append(trade.Run(_label(item.items, leaves), item.times))
        else:
            number = len(leaves)
            leaves.append(item)
            labelled += [trade.MasterPage(f"first:{number}"), trade.MasterPage(f"second:{number}")]
    return tuple(labelled)
