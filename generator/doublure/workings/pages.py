"""The page sequence of the book written out, page by page.

In: the book's note. Out: PageEntry for every page. Never: gatherings, sheets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from doublure.model import book as model
from doublure.trade.book import sequence as trade


@dataclass(frozen=True, slots=True)
class PageEntry:
    """One page of the book.

    Attributes:
        page: Its number, from 1.
        master: Identifier of its master; "" where it is blank.
        tipped: 0 on a folded leaf; 1 and 2 for the first and second page of a leaf tipped in.
        stock: Identifier of the stock of a leaf tipped in, "" for the book's.
    """

    page: int
    master: str
    tipped: int = 0
    stock: str = ""


def work_pages(book: model.BookNote) -> tuple[PageEntry, ...]:
    """Write out the page sequence.

    Raises:
        DomainError: The sequence is too long or nested too deeply.
    """
    # The trade repeats labels; a label stands for what the page carries, tipped leaves included.
    carried: list[tuple[str, int, str]] = []

    def label(master: str, tipped: int = 0, stock: str = "") -> trade.MasterPage:
        carried.append((master, tipped, stock))
        return trade.MasterPage(str(len(carried) - 1))

    def convert(items: Sequence[model.SequenceItem]) -> tuple[trade.SequenceItem, ...]:
        converted: list[trade.SequenceItem] = []
        for item in items:
            match item:
                case model.MasterPage():
                    converted.append(trade.Run((label(item.master),), item.times))
                case model.BlankPages():
                    converted.append(trade.BlankPages(item.count))
                case model.Run():
                    converted.append(trade.Run(convert(item.items), item.times))
                case model.TippedLeaf():
                    converted.append(label(item.first, 1, item.stock))
                    converted.append(label(item.second, 2, item.stock))
        return tuple(converted)

    if not book.sequence:
        return ()
    entries = []
    for page, name in enumerate(trade.expand_sequence(convert(book.sequence)), 1):
        master, tipped, stock = carried[int(name)] if name is not None else ("", 0, "")
        entries.append(PageEntry(page, master, tipped, stock))
    return tuple(entries)
