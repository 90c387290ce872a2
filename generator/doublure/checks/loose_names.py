"""Gatherings, stacks, plates and pages that a log entry, a trial or a source names, held against the book.

In: a Replica and its pages. Out: problems. Never: names of notes (notes/links.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from doublure.checks.finding import find
from doublure.checks.gatherings import list_leaf_pairs, pages_in_sheet
from doublure.checks.pages import Pages
from doublure.model.loose_names import read_plate, read_stacks
from doublure.model.replica import Replica
from doublure.problems import Problem, Span

_NAME = re.compile(r"(gathering|pages?)[- ]([0-9]+)(?:[-–]([0-9]+))?", re.IGNORECASE)


def check_loose_names(replica: Replica, pages: Pages | None) -> Iterator[Problem]:
    """Yield gatherings and pages that the book does not have, and stacks and plates that it cannot have."""
    if pages is None or pages.fault or replica.book is None:
        return
    leaf_pairs = list_leaf_pairs(replica.book, pages)
    sheets = 4 * sum(leaf_pairs) // pages_in_sheet(replica.book)
    # How many stacks and plates there are only the whole plan tells; more than these there never are.
    most = {"page": len(pages.masters), "gathering": len(leaf_pairs), "stack": sheets, "plate": 2 * sheets}
    for name, span in _names(replica):
        named = _read(name)
        if named is None or not most[named[0]] or named[1] <= most[named[0]]:
            continue
        kind, count = named[0], most[named[0]]
        if kind in ("stack", "plate"):
            hint = f"a book of {sheets} {_count_words('sheet', sheets)} has {count} at most"
            yield find("B109", f'"{name}": the book has no such {kind}', span, hint)
        else:
            yield find(
                "B109",
                f'"{name}": the book has {count} {_count_words(kind, count)}',
                span,
                f"the last one is {kind}-{count}",
            )


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
