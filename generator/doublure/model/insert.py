"""The record of an insert: what was read of it, what was decided, and how it lies in the book.

In: values decoded by notes/. Out: frozen records. Never: computing.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.measured import Measured
from doublure.model.notes import Note
from doublure.model.parts import SizeMm, Spares

#: Attributes read as numbers (mm, g/m²), and as words; both may be named in required, assumed and chosen.
NUMBER_ATTRIBUTES = ("width", "height", "thickness", "grammage", "folded_width", "folded_height")
WORD_ATTRIBUTES = ("paper", "front", "back", "place", "colour", "wording", "lettering", "folds", "printing",
                   "held", "finish")
ATTRIBUTES = NUMBER_ATTRIBUTES + WORD_ATTRIBUTES


@dataclass(frozen=True, slots=True)
class Reading:
    """One observed value of one attribute from one source.

    Attributes:
        source: Identifier of the evidence.
        attribute: One of ATTRIBUTES.
        number: The value in mm or g/m² for a number attribute, else None.
        words: The value for a word attribute, else "".
        stated: True where the source states the measurement itself, which makes it to scale.
        remark: A word of the maker's on how it was read.
        path: Path of the value in the note, for its origin.
    """

    source: str
    attribute: str
    number: Measured | None = None
    words: str = ""
    stated: bool = False
    remark: str = ""
    path: tuple[str | int, ...] = ()


@dataclass(frozen=True, slots=True)
class Face:
    """One side of an insert.

    Attributes:
        master: Identifier of the master; "" where none yet, or where the side is blank.
        blank: True where the maker says that this side carries nothing.
        printing: By what process, in words.
        shows: What is on it, in words, to hold the readings against.
    """

    master: str = ""
    blank: bool = False
    printing: str = ""
    shows: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """Where an insert lies in the book.

    Attributes:
        between: The two facing pages it lies between, or None.
        on: The page it is fixed to or lies on, or None.
        pocket: Name of the pocket it is in, or "".
        order: Its turn among several in one place, from 1, the first met by a reader; None where alone.
        way_up: "upright", "turned left", "turned right", "upside down".
        face_down: True where its front lies away from the reader.
        sticks_out_mm, sticks_out_at: How far it stands out of the closed book, and at "head", "tail",
            or "fore-edge".
        from_gutter_mm, from_head_mm: Where its own nearest edges lie on the page.
    """

    between: tuple[int, int] | None = None
    on: int | None = None
    pocket: str = ""
    order: int | None = None
    way_up: str = ""
    face_down: bool = False
    sticks_out_mm: Measured | None = None
    sticks_out_at: str = ""
    from_gutter_mm: Measured | None = None
    from_head_mm: Measured | None = None


@dataclass(frozen=True, slots=True)
class Held:
    """How an insert is held: by "loose", "tipped", "pasted", "corners", "pocket" or "sewn"; at which
    edge ("left", "right", "head", "tail"); with which adhesive, in words."""

    by: str = ""
    edge: str = ""
    adhesive: str = ""


@dataclass(frozen=True, slots=True)
class Fold:
    """One fold: parallel to the "height" or the "width" of the flat piece, so far from its left or head
    edge, towards the reader ("in") or away ("out")."""

    along: str
    at_mm: Measured | None = None
    way: str = ""


@dataclass(frozen=True, slots=True)
class Lettering:
    """A lettering or typeface identified: what it is used for, its name, its licence."""

    use: str = ""
    face: str = ""
    licence: str = ""


@dataclass(frozen=True, slots=True)
class Varying:
    """What differs from copy to copy: "serial number", "perforation", "punch", "strike" or "other"."""

    kind: str
    text: str = ""
    first: str = ""
    last: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class InsertNote(Note):
    """journal/inserts/*.md.

    Attributes:
        readings: Every reading, in the order of the note.
        size: Decided size, flat.
        stock: Identifier of the decided stock; "" while open.
        per_copy: Pieces of it in one copy.
        folded: Size when folded.
        wording_front, wording_back: Transcription in the Leiden conventions.
        finishes: Identifiers of finishes, in the order of application.
        assumed, chosen: Attributes taken from period practice, or from the maker's own choice,
            with the reason: (attribute, reason) pairs.
        same: Groups of wordings that the maker takes as saying the same.
        reproduces: "money", "stamp", "identity paper" or "": what kind of caution belongs beside it.
        spares: Its own rule for spares.
        grain: Which way the piece needs the grain: "height", "width" or "".
    """

    readings: tuple[Reading, ...] = ()
    size: SizeMm | None = None
    stock: str = ""
    per_copy: int = 1
    front: Face | None = None
    back: Face | None = None
    folds: tuple[Fold, ...] = ()
    folded: SizeMm | None = None
    place: Place | None = None
    held: Held | None = None
    wording_front: str = ""
    wording_back: str = ""
    lettering: tuple[Lettering, ...] = ()
    varying: tuple[Varying, ...] = ()
    finishes: tuple[str, ...] = ()
    assumed: tuple[tuple[str, str], ...] = ()
    chosen: tuple[tuple[str, str], ...] = ()
    same: tuple[tuple[str, ...], ...] = ()
    reproduces: str = ""
    spares: Spares | None = None
    grain: str = ""
