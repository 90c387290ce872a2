"""The Replica: every note, indexed by identifier.

In: records. Out: Replica and look-ups. Never: computing, reading files.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

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

#: Kinds of note that live in folders, in the order in which pages list them.
FOLDER_KINDS = (
    "inserts", "evidence", "masters", "stocks", "finishes", "trials", "printers", "register", "log",
)  # fmt: skip
#: Those of them whose notes have no page of their own under their name.
KINDS_WITHOUT_PAGE = ("log",)
#: Those whose notes are listed on a page of another folder: printers on that of the run, targets on the register's.
KINDS_LISTED_ELSEWHERE = ("printers", "register")


@dataclass(frozen=True, slots=True)
class ImageFact:
    """What was found of a picture file: path relative to the journal, pixels, and a hash of its bytes."""

    file: str
    width_px: int
    height_px: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Replica:
    """Every note of a journal, validated. Mappings are by identifier, in the order of the identifiers
    (the log: oldest first).

    Attributes:
        pictures: What was found of each picture file that a note names, by path relative to the journal.
    """

    replica: ReplicaNote
    book: BookNote | None = None
    inserts: Mapping[str, InsertNote] = field(default_factory=dict)
    evidence: Mapping[str, EvidenceNote] = field(default_factory=dict)
    masters: Mapping[str, MasterNote] = field(default_factory=dict)
    stocks: Mapping[str, StockNote] = field(default_factory=dict)
    finishes: Mapping[str, FinishNote] = field(default_factory=dict)
    trials: Mapping[str, TrialNote] = field(default_factory=dict)
    log: Mapping[str, LogNote] = field(default_factory=dict)
    printers: Mapping[str, PrinterNote] = field(default_factory=dict)
    register: Mapping[str, RegisterNote] = field(default_factory=dict)
    pictures: Mapping[str, ImageFact] = field(default_factory=dict)

    def folder(self, kind: str) -> Mapping[str, Note]:
        """Return the notes of one of FOLDER_KINDS.

        Raises:
            KeyError: kind is none of them.
        """
        if kind not in FOLDER_KINDS:
            raise KeyError(kind)
        notes: Mapping[str, Note] = getattr(self, kind)
        return notes

    def notes(self) -> Iterator[Note]:
        """Yield every note."""
        yield self.replica
        if self.book is not None:
            yield self.book
        for kind in FOLDER_KINDS:
            yield from self.folder(kind).values()

    def find(self, name: str) -> tuple[str, Note] | None:
        """Return (kind, note) for an identifier, plain ("tide-pass") or with its folder
        ("inserts/tide-pass"); None where there is none or where a plain one is not unique."""
        if "/" in name:
            kind, _, ident = name.partition("/")
            if kind not in FOLDER_KINDS:
                return None
            note = self.folder(kind).get(ident)
            return (kind, note) if note is not None else None
        hits = [(kind, self.folder(kind)[name]) for kind in FOLDER_KINDS if name in self.folder(kind)]
        return hits[0] if len(hits) == 1 else None
