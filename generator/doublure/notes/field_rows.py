"""The field tables as plain rows, for the handbook.

In: KINDS. Out: rows of text. Never: HTML.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from doublure.notes.book_fields import SEQUENCE_RECORD, SequenceEntry
from doublure.notes.fieldtypes import FieldType
from doublure.notes.schema import KINDS, Kind
from doublure.notes.shapes import Either, Field, Many, Record

FieldRow = tuple[str, str, str, str, bool]


@dataclass(frozen=True, slots=True)
class KindRows:
    """One kind: its name, one of it with its article, what it is for, where it lies, its fields as
    (name, takes, help, example, required), and the groups of fields inside them by the field's name."""

    name: str
    noun: str
    help: str
    place: str
    fields: tuple[FieldRow, ...]
    groups: tuple[tuple[str, tuple[FieldRow, ...]], ...]


def list_kinds() -> tuple[KindRows, ...]:
    """Return every kind of note with its fields."""
    return tuple(_list_kind(kind) for kind in KINDS.values())


def _list_kind(kind: Kind) -> KindRows:
    place = f"journal/{kind.name}.yml" if kind.name in ("replica", "book") else f"journal/{kind.name}/NAME.md"
    if kind.name == "log":
        place = "journal/log/DATE-NAME.md"
    groups = tuple(
        (name, tuple(_row(inner) for inner in fields)) for name, fields in _find_groups(kind.fields, "")
    )
    return KindRows(kind.name, kind.noun, kind.help, place, tuple(_row(one) for one in kind.fields), groups)


def _row(one: Field) -> FieldRow:
    return one.name, one.type.words(), one.help, one.example, one.required


def _find_groups(
    fields: tuple[Field, ...], above: str, told: frozenset[int] = frozenset()
) -> Iterator[tuple[str, tuple[Field, ...]]]:
    """Yield each group of fields once, under the first field that takes it."""
    seen = set(told)
    for one in fields:
        for record in _records(one.type):
            if id(record) in seen:
                continue
            seen.add(id(record))
            name = f"{above}{one.name}"
            yield name, record.fields
            yield from _find_groups(record.fields, f"{name} ", frozenset(seen))


def _records(kind: FieldType) -> Iterator[Record]:
    match kind:
        case Record():
            yield kind
        case SequenceEntry():
            # An entry may hold entries; the group stands for all of them.
            yield SEQUENCE_RECORD
        case Either():
            yield from _records(kind.short)
            yield kind.long
        case Many():
            yield from _records(kind.item)
