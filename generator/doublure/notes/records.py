"""From the decoded fields of a note to its record.

In: values by field, the note's identifier, body and origin. Out: one record. Never: nodes, problems but one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from datetime import date
from typing import Any

from doublure.model.book import BookNote
from doublure.model.insert import InsertNote
from doublure.model.notes import (
    EvidenceNote,
    FinishNote,
    LogNote,
    MasterNote,
    Note,
    PrinterNote,
    RegisterNote,
    ReplicaNote,
    StockNote,
    TrialNote,
)
from doublure.model.origin import Origin
from doublure.notes.decoding import Values

#: Fields whose record attribute has another name.
_RENAMED = {
    "open": "questions",
    "next": "next_steps",
    "grammage": "grammage_gsm",
    "caliper": "caliper_mm",
    "drying": "drying_minutes",
    "finish": "finishes",
    "bleed": "bleed_mm",
    "uncertainty": "u_mm",
    "fold": "fold_right_mm",
}


@dataclass(frozen=True, slots=True)
class Head:
    """What a note has apart from its fields.

    Attributes:
        id: Its identifier.
        title: Its title, or what serves as one.
        body: Its Markdown.
        origin: Where its values came from.
        date: The day of a log entry; None in other notes.
    """

    id: str
    title: str
    body: str
    origin: Origin
    date: date | None = None


def _build_book(values: Values) -> Values:
    reading = values.pop("reading", None)
    if reading is not None:
        values["right_to_left"] = reading == "right to left"
    gatherings = values.pop("gatherings", None)
    if isinstance(gatherings, tuple):
        values["gathering_sheets"] = gatherings
    elif gatherings is not None:
        values["sheets_per_gathering"] = gatherings
    return values


def _build_stock(values: Values) -> Values:
    stack = values.pop("stack", None)
    if stack is not None:
        values["stack_mm"], values["stack_sheets"] = stack["height"], stack["sheets"]
    on_hand = values.pop("on_hand", None)
    if on_hand is not None:
        values["on_hand"] = on_hand[0]
    return values


def _build_insert(values: Values) -> Values:
    values["readings"] = tuple(one for entry in values.get("readings", ()) for one in entry)
    wording = values.pop("wording", None) or {}
    values["wording_front"] = wording.get("front", "")
    values["wording_back"] = wording.get("back", "")
    return values


def _build_printer(values: Values) -> Values:
    reach = values.pop("reach", None) or {}
    return values | {f"reach_{edge}_mm": length for edge, length in reach.items()}


def _build_register(values: Values) -> Values:
    front = values.pop("front", None) or {}
    for name, attribute in (("right", "front_right_mm"), ("down", "front_down_mm"), ("turn", "front_turn_rad")):
        if name in front:
            values[attribute] = front[name]
    return values


def _keep(values: Values) -> Values:
    return values


_RECORDS: dict[str, tuple[type[Note], Callable[[Values], Values]]] = {
    "replica": (ReplicaNote, _keep),
    "book": (BookNote, _build_book),
    "inserts": (InsertNote, _build_insert),
    "evidence": (EvidenceNote, _keep),
    "masters": (MasterNote, _keep),
    "stocks": (StockNote, _build_stock),
    "finishes": (FinishNote, _keep),
    "trials": (TrialNote, _keep),
    "printers": (PrinterNote, _build_printer),
    "register": (RegisterNote, _build_register),
    "log": (LogNote, _keep),
}


def build_note(kind: str, values: Values, head: Head) -> Note:
    """Return the record of a note of one kind.

    Args:
        kind: A key of schema.KINDS.
        values: Decoded values by field; "pictures" already holds pictures.
        head: What it has apart from its fields.
    """
    record, arrange = _RECORDS[kind]
    arranged = {_RENAMED.get(name, name): value for name, value in arrange(dict(values)).items()}
    arranged.pop("title", None)
    if kind == "log":
        arranged["date"] = head.date
    made: Any = record
    note: Note = made(id=head.id, title=head.title, body=head.body, origin=head.origin, **arranged)
    return note


def record_attributes(kind: str) -> frozenset[str]:
    """Return the names of the attributes of the record of a kind."""
    return frozenset(one.name for one in fields(_RECORDS[kind][0]))
