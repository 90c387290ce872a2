"""The known size: typed, or of a thing whose size the notes have settled.

In: text, the folder one stands in. Out: KnownSize. Never: pictures, formulas.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from doublure.errors import JournalRejected, UsageError
from doublure.measured import Measured
from doublure.model.replica import Replica
from doublure.quantities import QuantityError, parse_length, parse_size

_Value = TypeVar("_Value")
#: Word for the leaf of the book in --known.
LEAF = "leaf"


@dataclass(frozen=True, slots=True)
class KnownSize:
    """Width and height, or one length twice, mm; and where it comes from: "" typed, else a note."""

    width: Measured
    height: Measured
    note: str = ""


def read_known_size(text: str, start: Path) -> KnownSize:
    """Return the size of what is known: "89 x 127 mm", "A4", the name of an insert, or "leaf".

    Raises:
        UsageError: It is no size, and nothing in the notes has a settled size under this name.
        JournalRejected: The notes cannot be used.
    """
    from doublure.notes.packs import NAMED_SIZES

    name = text.strip().removeprefix("inserts/")
    if name == LEAF or _is_insert(name, start):
        return _from_notes(name, start)
    width, height = parsed("known", text, lambda words: parse_size(words, named=NAMED_SIZES))
    return KnownSize(width, height)


def read_known_length(text: str, name: str = "known") -> Measured:
    """Return a known length or diameter.

    Raises:
        UsageError: It is none.
    """
    return parsed(name, text, parse_length)


def parsed(name: str, text: str, parse: Callable[[str], _Value]) -> _Value:
    """Return what a text of an option means.

    Raises:
        UsageError: It cannot be read; the message names the option and points at what is wrong.
    """
    try:
        return parse(text)
    except QuantityError as error:
        shown = text.replace("\n", " ").replace("\t", " ")
        caret = " " * error.offset + "^" * max(1, error.length)
        raise UsageError(f"{name}: {error.message}\n  {shown}\n  {caret} {error.hint}".rstrip()) from error


def read_replica(root: Path) -> Replica:
    """Return the notes of a project.

    Raises:
        JournalRejected: They hold no replica that can be used.
    """
    from doublure.notes.journal import decode_journal
    from doublure.store.journal_files import read_sources

    sources, faults = read_sources(root)
    replica, problems = decode_journal(sources, faults)
    if replica is None:
        raise JournalRejected(tuple(problems))
    return replica


def _is_insert(name: str, start: Path) -> bool:
    from doublure.errands import find_project, known_things

    try:
        return "inserts" in known_things(find_project(start)).get(name, ())
    except UsageError:
        return False


def _from_notes(name: str, start: Path) -> KnownSize:
    from doublure.errands import find_project
    from doublure.trade.evidence.standing import Standing
    from doublure.workings.standing import work_standing

    replica = read_replica(find_project(start))
    if name == LEAF:
        if replica.book is None or replica.book.leaf is None:
            raise UsageError("known: journal/book.yml has no size of a leaf yet")
        leaf = replica.book.leaf
        return KnownSize(leaf.width_mm, leaf.height_mm, "journal/book.yml")
    worked = work_standing(replica).inserts.get(name)
    sides = []
    for attribute in ("width", "height"):
        found = worked.find(attribute) if worked is not None else None
        if found is None or found.status.standing is not Standing.SETTLED:
            word = found.status.standing.value if found is not None else "open"
            raise UsageError(
                f"known: the {attribute} of {name} is {word}, not settled; "
                "measure by something whose size is sure, or write the size itself"
            )
        combined = found.status.combined
        value = found.decided or combined
        if value is None:
            raise UsageError(f"known: the {attribute} of {name} has no number")
        u = combined.u if combined is not None and combined.u is not None else value.u
        sides.append(Measured(value.value, u))
    return KnownSize(sides[0], sides[1], f"journal/inserts/{name}.md")
