"""Gatherings and pages that a log entry, a trial or a source names, held against the book.

In: a Replica and its pages. Out: problems. Never: names of notes (notes/links.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from doublure.checks.finding import find
from doublure.checks.pages import Pages
from doublure.errors import DomainError
from doublure.model.replica import Replica
from doublure.problems import Problem, Span
from doublure.trade.book.gatherings import choose_gatherings

_NAME = re.compile(r"(gathering|pages?)[- ]([0-9]+)(?:[-–]([0-9]+))?", re.IGNORECASE)


def check_loose_names(replica: Replica, pages: Pages | None) -> Iterator[Problem]:
    """Yield gatherings and pages that the book does not have."""
    if pages is None or pages.fault or replica.book is None:
        return
    most = {"page": len(pages.masters), "gathering": _count_gatherings(replica, pages)}
    for name, span in _names(replica):
        found = _NAME.fullmatch(name)
        if found is None:
            continue
        kind = "gathering" if found[1].lower() == "gathering" else "page"
        last = max(int(number) for number in found.groups()[1:] if number)
        if most[kind] and last > most[kind]:
            yield find(
                "B109",
                f'"{name}": the book has {most[kind]} {kind}{"" if most[kind] == 1 else "s"}',
                span,
                f"the last one is {kind}-{most[kind]}",
            )


def _count_gatherings(replica: Replica, pages: Pages) -> int:
    book = replica.book
    assert book is not None
    if book.gathering_sheets:
        return len(book.gathering_sheets)
    try:
        return len(choose_gatherings(pages.folded, book.sheets_per_gathering)) if book.sheets_per_gathering else 0
    except DomainError:
        return 0


def _names(replica: Replica) -> Iterator[tuple[str, Span]]:
    for entry in replica.log.values():
        yield from ((name, entry.origin.span("about", at)) for at, name in enumerate(entry.about))
    for trial in replica.trials.values():
        for field, names in (("about", trial.about), ("approves", trial.approves)):
            yield from ((name, trial.origin.span(field, at)) for at, name in enumerate(names))
    for source in replica.evidence.values():
        yield from ((name, source.origin.span("shows", at)) for at, name in enumerate(source.shows))
