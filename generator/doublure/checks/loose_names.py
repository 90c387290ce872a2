"""Gatherings, stacks, plates and pages that a log entry, a trial or a source names, held against the book.

In: a Replica and its pages. Out: problems. Never: names of notes (notes/links.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from doublure.checks.finding import find
from doublure.checks.gatherings import list_leaf_pairs, pages_in_sheet
from doublure.checks.pages import Pages, write_out_pages
from doublure.model.loose_names import read_plate, read_stacks
from doublure.model.replica import Replica
from doublure.problems import Problem, Span

_NAME = re.compile(r"(gathering|pages?)[- ]([0-9]+)(?:[-–]([0-9]+))?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Numbered:
    """How many of each the book has.

    Attributes:
        most: By "gathering", "page", "stack" and "plate"; 0 where nobody knows.
        sheets: Sheets of the book.
        is_planned: True where stacks and plates are those of the plan, so that there are just so many.
    """

    most: Mapping[str, int]
    sheets: int
    is_planned: bool = False


def count_numbered(replica: Replica, plan: tuple[int, int] | None = None) -> Numbered | None:
    """Return how many gatherings, pages, stacks and plates the book has; None where it has no pages yet.

    Args:
        replica: The notes.
        plan: How many stacks and plates the plan of the press has; None where there is none.
    """
    return _count(replica, write_out_pages(replica.book), plan)


def _count(replica: Replica, pages: Pages | None, plan: tuple[int, int] | None) -> Numbered | None:
    if pages is None or pages.fault or replica.book is None:
        return None
    leaf_pairs = list_leaf_pairs(replica.book, pages)
    sheets = 4 * sum(leaf_pairs) // pages_in_sheet(replica.book)
    # How many stacks and plates there are only the whole plan tells; more than these there never are.
    stacks, plates = plan or (sheets, 2 * sheets)
    most = {"page": len(pages.masters), "gathering": len(leaf_pairs), "stack": stacks, "plate": plates}
    return Numbered(most, sheets, plan is not None)


def explain_beyond(name: str, numbered: Numbered) -> tuple[str, str] | None:
    """Return what is wrong with a number beyond the last, and what would be right; None where nothing is."""
    named = _read(name)
    if named is None or not numbered.most[named[0]] or named[1] <= numbered.most[named[0]]:
        return None
    kind, count, sheets = named[0], numbered.most[named[0]], numbered.sheets
    if kind in ("stack", "plate") and not numbered.is_planned:
        hint = f"a book of {sheets} {_count_words('sheet', sheets)} has {count} at most"
        return f'"{name}": the book has no such {kind}', hint
    return f'"{name}": the book has {count} {_count_words(kind, count)}', f"the last one is {kind}-{count}"


def check_loose_names(replica: Replica, pages: Pages | None) -> Iterator[Problem]:
    """Yield gatherings and pages that the book does not have, and stacks and plates that it cannot have."""
    numbered = _count(replica, pages, None)
    if numbered is not None:
        for name, span in _names(replica):
            if (found := explain_beyond(name, numbered)) is not None:
                yield find("B109", found[0], span, found[1])


def names_stacks(replica: Replica) -> bool:
    """Return whether any note names a stack or a plate."""
    return any((named := _read(name)) is not None and named[0] in ("stack", "plate") for name, _ in _names(replica))


def check_stacks(replica: Replica, plan: tuple[int, int]) -> Iterator[Problem]:
    """Yield stacks and plates that the book could have and the plan has not, such as where sheets repeat.

    Args:
        replica: The notes.
        plan: How many stacks and plates it has.
    """
    could, has = count_numbered(replica), count_numbered(replica, plan)
    if could is None or has is None:
        return
    for name, span in _names(replica):
        if explain_beyond(name, could) is None and (found := explain_beyond(name, has)) is not None:
            yield find("B109", found[0], span, found[1])


def _count_words(noun: str, count: int) -> str:
    return noun if count == 1 else f"{noun}s"


def _read(name: str) -> tuple[str, int] | None:
    """Return what a name counts, and the last number in it; None for the name of a note."""
    if (stacks := read_stacks(name)) is not None:
        return "stack", stacks[0][-1]
    if (plate := read_plate(name)) is not None:
        return "plate", plate
    found = _NAME.fullmatch(name)
    if found is None:
        return None
    kind = "gathering" if found[1].lower() == "gathering" else "page"
    return kind, max(int(number) for number in found.groups()[1:] if number)


def _names(replica: Replica) -> Iterator[tuple[str, Span]]:
    for entry in replica.log.values():
        yield from ((name, entry.origin.span("about", at)) for at, name in enumerate(entry.about))
    for trial in replica.trials.values():
        for field, names in (("about", trial.about), ("approves", trial.approves)):
            yield from ((name, trial.origin.span(field, at)) for at, name in enumerate(names))
    for source in replica.evidence.values():
        yield from ((name, source.origin.span("shows", at)) for at, name in enumerate(source.shows))
