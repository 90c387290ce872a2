"""The fields of an insert: readings, decided size and paper, sides, folds, place, wording, what varies.

In: the types of vocabulary.py. Out: INSERT_FIELDS for schema.py. Never: decoding.
"""

from __future__ import annotations

from doublure.model.insert import ATTRIBUTES, NUMBER_ATTRIBUTES, WORD_ATTRIBUTES
from doublure.notes import builders
from doublure.notes.book_fields import FacingPages
from doublure.notes.fieldtypes import Choice, Name, Wording, YesNo
from doublure.notes.shapes import Either, Field, Groups, Many, Reasons, Record
from doublure.notes.vocabulary import (
    COUNT,
    DISTANCE,
    EVIDENCE,
    FINISH,
    GRAMMAGE,
    LENGTH,
    LINE,
    SIZE,
    SPARES,
    STOCK,
)

__all__ = ["ATTRIBUTES", "INSERT_FIELDS"]

_WORD_EXAMPLES = {
    "paper": "thin buff card", "front": "printed heading, two lines written", "back": "blank",
    "place": "between pages 22 and 23", "colour": "buff", "wording": "TIDE PASS No. 123",
    "lettering": "a wide grotesque", "folds": "once across", "printing": "letterpress, black",
    "held": "loose", "finish": "stained at the lower edge",
}  # fmt: skip


def _number_attribute(name: str) -> Field:
    said = name.replace("_", " ")
    if name == "grammage":
        return Field(name, GRAMMAGE, "The grammage that was read.", "90 ± 5 g/m²", unit="g/m²")
    return Field(name, LENGTH, f"The {said} that was read.", "63.5 ± 1.5 mm", unit="mm")


_READING = Record(
    "a reading",
    (
        Field("from", EVIDENCE, "The evidence it was read from.", "frame-12", required=True),
        Field("size", SIZE, "Width and height in one.", "64 ± 1 x 121 ± 2 mm", unit="mm"),
        *(_number_attribute(name) for name in NUMBER_ATTRIBUTES),
        *(Field(name, LINE, f"What was seen: {name}.", _WORD_EXAMPLES[name]) for name in WORD_ATTRIBUTES),
        Field("stated", YesNo(), "The source itself states the measurement.", "yes"),
        Field("remark", LINE, "How it was read.", "against the rule in the picture"),
    ),
    builders.build_readings,
)
_SIDE = Either(
    Name(("masters",), "a master, or blank", blank=True),
    Record(
        "a side of an insert",
        (
            Field("master", Name(("masters",), "a master"), "Its artwork.", "tide-pass-front"),
            Field("printing", LINE, "By what process.", "laser"),
            Field("shows", LINE, "What is on it.", "printed heading, number"),
            Field("blank", YesNo(), "It carries nothing.", "yes"),
        ),
        builders.build_face,
    ),
    builders.lengthen_face,
)
_FOLD = Record(
    "a fold",
    (
        Field(
            "along",
            Choice(("height", "width")),
            "The side of the flat piece it runs along.",
            "height",
            required=True,
        ),
        Field("at", LENGTH, "How far from the left edge, or from the head.", "40 mm", unit="mm"),
        Field("way", Choice(("in", "out")), "Towards the reader (in) or away (out).", "in"),
    ),
    builders.build_fold,
)
_PLACE = Record(
    "a place",
    (
        Field("between", FacingPages(), "The two facing pages it lies between.", "[22, 23]"),
        Field("on", COUNT, "The page it is fixed to, or lies on.", "24"),
        Field("pocket", LINE, "The pocket it is in.", "back pocket"),
        Field("order", COUNT, "Its turn among several in one place, the first met by a reader being 1.", "1"),
        Field("way_up", Choice(("upright", "turned left", "turned right", "upside down")),
              "Which way up it lies.",
              "upright"),
        Field("face_down", YesNo(), "Its front lies away from the reader.", "no"),
        Field("sticks_out", LENGTH, "How far it stands out of the closed book.", "6 mm", unit="mm"),
        Field("sticks_out_at", Choice(("head", "tail", "fore-edge")), "Where it stands out.", "fore-edge"),
        Field("from_gutter", DISTANCE, "Its nearest edge from the gutter.", "8 mm", unit="mm"),
        Field("from_head", DISTANCE, "Its nearest edge from the head.", "20 mm", unit="mm"),
    ),
    builders.build_place,
)  # fmt: skip
_WAYS_HELD = Choice(("loose", "tipped", "pasted", "corners", "pocket", "sewn"))
_HELD = Either(
    _WAYS_HELD,
    Record(
        "how it is held",
        (
            Field("by", _WAYS_HELD, "How it is held.", "tipped"),
            Field("edge", Choice(("left", "right", "head", "tail")), "At which of its edges.", "left"),
            Field("adhesive", LINE, "With what.", "wheat paste"),
        ),
        builders.build_held,
    ),
    builders.lengthen_held,
)
_WORDING = Record(
    "the wording of both sides",
    (
        Field("front", Wording(), "What stands on the front.", "'No. [12]3'"),
        Field("back", Wording(), "What stands on the back.", "'void aft<er> noon'"),
    ),
    builders.build_wording,
)
_LETTERING = Record(
    "a lettering",
    (
        Field("use", LINE, "What it is used for.", "heading"),
        Field("face", LINE, "Its name, or what it is like.", "a wide grotesque"),
        Field("licence", LINE, "Under which licence it is used.", "open font licence"),
    ),
    builders.build_lettering,
)
_VARYING = Record(
    "what varies",
    (
        Field("kind", Choice(("serial number", "perforation", "punch", "strike", "other")),
              "What kind of thing it is.",
              "serial number", required=True),
        Field("text", LINE, "What it says.", "No."),
        Field("first", LINE, "The first of the edition.", "'0417'"),
        Field("last", LINE, "The last of the edition.", "'0422'"),
        Field("where", LINE, "Where on the piece.", "upper right, front"),
    ),
    builders.build_varying,
)  # fmt: skip

INSERT_FIELDS: tuple[Field, ...] = (
    Field("readings", Many(_READING, tell_paths=True), "What was read from the evidence, source by source.",
          "[{from: frame-12, size: 64 x 121 mm, paper: thin buff card}]"),
    Field("size", SIZE, "Decided size, flat.", "64 x 121 mm", unit="mm"),
    Field("stock", STOCK, "Decided stock.", "buff-card"),
    Field("per_copy", COUNT, "Pieces of it in one copy; 1 where not said.", "1"),
    Field("front", _SIDE, "Its front: a master, or blank.", "tide-pass-front"),
    Field("back", _SIDE, "Its back: a master, or blank.", "blank"),
    Field("folds", Many(_FOLD), "Its folds, in the order of folding.",
          "[{along: height, at: 32 mm, way: in}]"),
    Field("folded", SIZE, "Size when folded.", "32 x 121 mm", unit="mm"),
    Field("place", _PLACE, "Where it lies in the book.", "{between: [22, 23], order: 1}"),
    Field("held", _HELD, "How it is held.", "loose"),
    Field("wording", _WORDING, "Transcription in the Leiden conventions: [abc] lost and restored, [...] lost, "
          "a dot below uncertain, "
          "‹abc› left out and supplied, (abc) abbreviation resolved, ⟦abc⟧ struck out.", "{front: 'No. [12]3'}"),
    Field("lettering", Many(_LETTERING), "Lettering and typefaces identified.",
          "[{use: heading, face: a wide grotesque}]"),
    Field("varying", Many(_VARYING), "What differs from copy to copy.",
          "[{kind: serial number, first: '0417'}]"),
    Field("finish", Many(FINISH), "Finishes, in the order of application.", "[tea-wash]"),
    Field("assumed", Reasons(ATTRIBUTES), "Attributes taken from the practice of the period.",
          "{paper: harbour offices used buff card}"),
    Field("chosen", Reasons(ATTRIBUTES), "Attributes that are the maker's own choice.",
          "{colour: the stock at hand}"),
    Field("same", Groups(), "Wordings that say the same.", "[[buff, sand-coloured]]"),
    Field("reproduces", Choice(("money", "stamp", "identity paper")),
          "What calls for a caution beside it.", "stamp"),
    Field("spares", SPARES, "Its own rule for spares.", "4"),
    Field("grain", Choice(("height", "width")), "Which way the piece needs the grain.", "height"),
)  # fmt: skip
