"""How well each attribute of each insert is known, from the readings of the notes.

In: a Replica. Out: StandingWorking. Never: the rule itself (trade/evidence), display text.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from doublure.measured import Measured
from doublure.model.insert import ATTRIBUTES, NUMBER_ATTRIBUTES, Face, InsertNote, Place, Reading
from doublure.model.notes import EvidenceNote
from doublure.model.replica import Replica
from doublure.trade.evidence.assess import (
    AttributeStanding,
    BasisKind,
    BasisSpec,
    DecidedSpec,
    ReadingSpec,
    assess_attribute,
)
from doublure.trade.evidence.standing import OPEN, InsertStanding, assess_insert
from doublure.trade.evidence.stems import SourceSpec, StemTree, resolve_stems

#: Uncertainties below this (mm, g/m²) are taken as this: nobody reads a picture better, and a weight of a
#: reading must stay finite.
LEAST_U = 0.05
#: Taken for a grammage read without an uncertainty, g/m²: 5 % of an ordinary paper, which government
#: specifications allow (JCP/GPO Government Paper Specification Standards No. 11).
UNSTATED_GSM = 5.0
LENGTHS = tuple(name for name in NUMBER_ATTRIBUTES if name != "grammage")


@dataclass(frozen=True, slots=True)
class AttributeWorking:
    """One attribute of one insert.

    Attributes:
        attribute: One of ATTRIBUTES.
        required: True where the insert cannot stand without it.
        decided: The decided number, where the attribute is a number and something is decided.
        decided_words: The decided wording, likewise for words.
        status: The standing with all that it rests on.
        readings: The readings as they stand in the note.
    """

    attribute: str
    required: bool
    decided: Measured | None
    decided_words: str
    status: AttributeStanding
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class InsertStandingWorking:
    """All attributes of one insert that are required or of which anything is known, and how it stands."""

    insert: str
    attributes: tuple[AttributeWorking, ...]
    overall: InsertStanding

    def find(self, attribute: str) -> AttributeWorking | None:
        """Return one attribute, or None where it is neither required nor read nor decided."""
        for one in self.attributes:
            if one.attribute == attribute:
                return one
        return None


@dataclass(frozen=True, slots=True)
class StandingWorking:
    """The standing of everything.

    Attributes:
        stems: The stems of all evidence.
        inserts: By identifier.
    """

    stems: StemTree
    inserts: Mapping[str, InsertStandingWorking]


def work_standing(replica: Replica) -> StandingWorking:
    """Work out the stems and the standing of every attribute of every insert."""
    stems = resolve_stems(
        SourceSpec(note.id, note.copied_from or None, note.stem or None) for note in replica.evidence.values()
    )
    stem_of = {source.identifier: stem.name for stem in stems.stems for source in stem.sources}
    return StandingWorking(
        stems=stems,
        inserts={ident: _work_insert(replica, note, stem_of) for ident, note in replica.inserts.items()},
    )


def _work_insert(replica: Replica, note: InsertNote, stem_of: Mapping[str, str]) -> InsertStandingWorking:
    required = replica.replica.required
    basis = {name: BasisSpec(BasisKind.ASSUMED, reason) for name, reason in note.assumed}
    basis.update((name, BasisSpec(BasisKind.CHOSEN, reason)) for name, reason in note.chosen)
    by_attribute: dict[str, list[Reading]] = {}
    for reading in note.readings:
        if reading.source in stem_of:
            by_attribute.setdefault(reading.attribute, []).append(reading)
    works = []
    for name in ATTRIBUTES:
        number, words = decided_value(replica, note, name)
        readings = tuple(by_attribute.get(name, ()))
        if not (readings or name in required or name in basis or number is not None or words):
            continue
        decided = None
        if number is not None or words:
            decided = DecidedSpec(number.value if number is not None else None, words)
        elif not readings and (bare := _bare_decision(note, name)):
            # A master that says nothing of what it shows cannot be held against readings.
            decided = DecidedSpec(words=bare)
        status = assess_attribute(
            [_spec(reading, replica.evidence, stem_of) for reading in readings],
            decided,
            basis.get(name),
            same_wordings=note.same,
            tolerance=replica.replica.tolerances.cut_mm * 2 if name in LENGTHS else None,
            unstated_u=UNSTATED_GSM if name == "grammage" else replica.replica.tolerances.unstated_mm,
        )
        works.append(AttributeWorking(name, name in required, number, words, status, readings))
    overall = assess_insert(
        required, {work.attribute: work.status.standing for work in works if work.status.standing is not OPEN}
    )
    return InsertStandingWorking(note.id, tuple(works), overall)


def _spec(reading: Reading, evidence: Mapping[str, EvidenceNote], stem_of: Mapping[str, str]) -> ReadingSpec:
    source = evidence[reading.source]
    u = None
    if reading.number is not None and reading.number.u is not None:
        u = max(reading.number.u, LEAST_U)
    return ReadingSpec(
        source=source.id,
        stem=stem_of[source.id],
        to_scale=reading.stated or bool(source.scale) or source.kind == "measurement",
        original=source.kind == "original",
        value=reading.number.value if reading.number is not None else None,
        u=u,
        words=reading.words,
    )


def decided_value(replica: Replica, note: InsertNote, attribute: str) -> tuple[Measured | None, str]:
    """Return what the maker decided of one attribute: a number, or words to hold readings against."""
    stock = replica.stocks.get(note.stock)
    match attribute:
        case "width":
            return (note.size.width_mm if note.size else None), ""
        case "height":
            return (note.size.height_mm if note.size else None), ""
        case "folded_width":
            return (note.folded.width_mm if note.folded else None), ""
        case "folded_height":
            return (note.folded.height_mm if note.folded else None), ""
        case "paper":
            if stock is None:
                return None, note.stock
            return None, " ".join(
                part for part in (stock.title, stock.kind, stock.colour, stock.surface) if part
            )
        case "front":
            return None, _face_words(note.front)
        case "back":
            return None, _face_words(note.back)
        case "place":
            return None, _place_words(note.place)
        case "held":
            return None, note.held.by if note.held else ""
    return None, ""


def _face_words(face: Face | None) -> str:
    if face is None:
        return ""
    return "blank" if face.blank else face.shows


def _bare_decision(note: InsertNote, attribute: str) -> str:
    face = {"front": note.front, "back": note.back}.get(attribute)
    return face.master if face is not None else ""


def _place_words(place: Place | None) -> str:
    """Return a place as what any wording of it must contain: the page numbers, or the pocket's name."""
    if place is None:
        return ""
    if place.between is not None:
        return f"{place.between[0]} {place.between[1]}"
    return str(place.on) if place.on is not None else place.pocket
