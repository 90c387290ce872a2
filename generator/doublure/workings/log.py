"""What the log says of each thing: entries, pieces made and spoiled, state of work.

In: a Replica. Out: LogWorking. Never: the clock; the sums are trade/making's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from doublure.model.notes import LogNote
from doublure.model.replica import Replica


@dataclass(frozen=True, slots=True)
class LogWorking:
    """The log, sorted by what it is about.

    Attributes:
        newest_first: All entries.
        by_thing: Entries about each thing, newest first, by "kind/identifier", or by the name itself for
            gatherings and plates.
        things: Of each entry, what it is about, in the same form.
    """

    newest_first: tuple[LogNote, ...]
    by_thing: Mapping[str, tuple[LogNote, ...]]
    things: Mapping[str, tuple[str, ...]]


def thing_key(replica: Replica, name: str) -> str:
    """Return "kind/identifier" for a name that a note is called by, else the name itself."""
    found = replica.find(name)
    return f"{found[0]}/{found[1].id}" if found is not None else name


def work_log(replica: Replica) -> LogWorking:
    """Sort the log by what it is about."""
    entries = sorted(replica.log.values(), key=lambda note: (note.date, note.id), reverse=True)
    by_thing: dict[str, list[LogNote]] = {}
    things: dict[str, tuple[str, ...]] = {}
    for note in entries:
        keys = tuple(dict.fromkeys(thing_key(replica, name) for name in note.about))
        things[note.id] = keys
        for key in keys:
            by_thing.setdefault(key, []).append(note)
    return LogWorking(tuple(entries), {key: tuple(notes) for key, notes in by_thing.items()}, things)
