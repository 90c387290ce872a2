"""The page sequence: runs and repeats of masters and blanks, written out page by page.

In: a tree of masters, blanks and runs. Out: one entry a page, in reading order. Never: gatherings, sheets.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from doublure.errors import DomainError
from doublure.trade.book.limits import MAX_PAGES, check_count

MAX_NESTING = 20
"""Runs within runs deeper than this are refused."""


@dataclass(frozen=True, slots=True)
class MasterPage:
    """One page that carries a master.

    Attributes:
        master: Identifier of the master.
    """

    master: str


@dataclass(frozen=True, slots=True)
class BlankPages:
    """Pages left empty on purpose.

    Attributes:
        count: How many, at least 1.
    """

    count: int = 1


@dataclass(frozen=True, slots=True)
class Run:
    """Items in their order, the whole of them so many times.

    Attributes:
        items: What is repeated; at least one item.
        times: How often, at least 1.
    """

    items: tuple[SequenceItem, ...]
    times: int = 1


SequenceItem: TypeAlias = MasterPage | BlankPages | Run


def count_sequence_pages(items: Sequence[SequenceItem]) -> int:
    """Return how many pages a sequence makes, without writing it out.

    Args:
        items: The sequence; at least one item.

    Raises:
        DomainError: The sequence or a run is empty, a count is not a whole number of at least 1, runs are
            nested deeper than MAX_NESTING, or the pages are more than MAX_PAGES.

    Examples:
        >>> count_sequence_pages([MasterPage("title"), Run((MasterPage("a"), MasterPage("b")), times=3)])
        7
    """
    return _count_pages(items, 0)


def _count_pages(items: Sequence[SequenceItem], depth: int) -> int:
    if not items:
        raise DomainError("sequence: a run must hold at least one page", "items")
    if depth > MAX_NESTING:
        raise DomainError(f"sequence: runs are nested deeper than {MAX_NESTING}", "items")
    pages = 0
    for item in items:
        if isinstance(item, MasterPage):
            pages += 1
        elif isinstance(item, BlankPages):
            pages += check_count(item.count, "count", "blank pages")
        else:
            pages += check_count(item.times, "times", "repeats of a run") * _count_pages(
                item.items, depth + 1
            )
        # Checked at every step, so that a repeat of a repeat is refused before it costs time or memory.
        if pages > MAX_PAGES:
            raise DomainError(
                f"sequence: it makes more than {MAX_PAGES} pages; look for a repeat within a repeat", "items"
            )
    return pages


def _write_out(items: Sequence[SequenceItem]) -> Iterator[str | None]:
    for item in items:
        if isinstance(item, MasterPage):
            yield item.master
        elif isinstance(item, BlankPages):
            yield from [None] * item.count
        else:
            yield from tuple(_write_out(item.items)) * item.times


def expand_sequence(items: Sequence[SequenceItem]) -> tuple[str | None, ...]:
    """Return the entry of every page in reading order: the master's identifier, or None for a blank.

    Args:
        items: The sequence; at least one item.

    Raises:
        DomainError: As count_sequence_pages.

    Examples:
        >>> expand_sequence([Run((MasterPage("a"), BlankPages(1)), times=2), MasterPage("end")])
        ('a', None, 'a', None, 'end')
    """
    count_sequence_pages(items)
    return tuple(_write_out(items))
