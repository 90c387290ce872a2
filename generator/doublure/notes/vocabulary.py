"""The kinds of values that several fields share: lengths, sizes, counts, pictures, names of notes.

In: parsers of quantities/ and packs.py, builders. Out: field types for schema.py. Never: which note
has which field.
"""

from __future__ import annotations

from doublure.model.insert import ATTRIBUTES
from doublure.model.replica import FOLDER_KINDS
from doublure.notes import builders, packs
from doublure.notes.fieldtypes import Choice, FieldType, File, Name, Quantity, Text
from doublure.notes.shapes import Attribute, Either, Field, Many, Record
from doublure.quantities import parse_duration, parse_grammage, parse_length

_DIGIT = "[0-9½⅓⅔¼¾⅛⅜⅝⅞]"
_LENGTH = _DIGIT + r".*([A-Za-zµμ\"'″′”’])"
_COUNT = r"^\s*[0-9]+\s*$"

LENGTH = Quantity("a length", parse_length, "mm", _LENGTH)
DISTANCE = Quantity("a length", packs.parse_distance, "mm", _LENGTH + r"|^\s*0\s*$", bare="zero")
PLAIN_LENGTH = Quantity("a length", packs.parse_length_mm, "mm", _LENGTH)
STEP = Quantity("a length", packs.parse_step_mm, "mm", _LENGTH + r"|^\s*0\s*$", bare="zero")
BLEED_MM = Quantity("a length", packs.parse_bleed_mm, "mm", _LENGTH + r"|^\s*0\s*$", bare="zero")
CREEP_STEP_MM = Quantity("a length", packs.parse_creep_step_mm, "mm", _LENGTH + r"|^\s*0\s*$", bare="zero")
#: A length that may be nothing, without its uncertainty.
DISTANCE_MM = STEP
SIZE = Quantity(
    "a size, width x height",
    packs.parse_size_mm,
    "mm",
    rf"{_DIGIT}.*[xX×✕].*{_LENGTH}|^\s*[A-Za-z]+\s*[0-9]*",
)
GRAMMAGE = Quantity("a grammage", parse_grammage, "g/m²", _DIGIT + r".*([A-Za-z#])")
DURATION = Quantity("a duration", parse_duration, "min", _DIGIT + r".*[A-Za-z]")
MINUTES = Quantity("a duration, in minutes where not said", packs.parse_minutes, "min", _DIGIT, bare="number")
COUNT = Quantity(
    "a whole number from 1", packs.parse_some, "", r"^\s*[1-9][0-9]*\s*$", bare="integer", least=1
)
COUNT_OR_NONE = Quantity("a whole number", packs.parse_any, "", _COUNT, bare="integer")
SHEETS = Quantity(
    "a number of sheets", packs.parse_sheets, "sheets", r"^\s*[1-9][0-9]*", bare="integer", least=1
)
PACK = Quantity("an amount, such as 100 sheets, 5 m or 1 piece", packs.parse_pack, "", r"[0-9]\s*[A-Za-z]")
AMOUNT = Quantity("an amount, such as 37", packs.parse_amount, "", r"^\s*[0-9]", bare="number")
SHARE = Quantity("a share, such as 50 %", packs.parse_share_of, "", r"%|/|[A-Za-z½⅓⅔¼¾]")
_SPARES_TEXT = Quantity(
    "spares, such as half again, 50 % or 4", packs.parse_spares, "", r"[0-9A-Za-z½⅓⅔¼¾]", bare="integer"
)

WORDS = Text()
LINE = Text(one_line=True)
STOCK = Name(("stocks",), "a stock")
EVIDENCE = Name(("evidence",), "an evidence note")
FINISH = Name(("finishes",), "a finish")
#: What an evidence note may show, what work may be about, what a trial may approve.
SHOWN = Name(("inserts", "masters"), "an insert, a master or a page", ("page",))
WORK = Name(
    FOLDER_KINDS, "any note, a gathering, a stack, a plate or a page", ("gathering", "stack", "plate", "page")
)
MAKEABLE = Name(
    ("inserts", "masters", "stocks", "finishes"),
    "an insert, a master, a stock, a finish, a gathering, a stack or a plate",
    ("gathering", "stack", "plate"),
)  # fmt: skip

PICTURE = Either(
    File(),
    Record(
        "a picture",
        (
            Field("file", File(), "Path from the journal folder.", "pictures/tide-pass.jpg", required=True),
            Field("caption", LINE, "What it shows.", "Front, seen in the second act"),
            Field("credit", LINE, "Whom to name beside it.", "Photograph: the maker"),
        ),
        builders.build_picture,
    ),
    builders.lengthen_picture,
)
SPARES = Either(
    _SPARES_TEXT,
    Record(
        "a rule for spares",
        (
            Field("count", COUNT_OR_NONE, "So many, whatever is wanted.", "4"),
            Field("share", SHARE, "A share of what is wanted.", "50 %"),
        ),
        builders.build_spares,
    ),
    lambda spares, path: spares,
)
TOLERANCES = Record(
    "tolerances",
    (
        Field("crossover",
              PLAIN_LENGTH, "How far the halves of artwork across the gutter may miss each other.",
              "1.6 mm", unit="mm"),
        Field("cut", PLAIN_LENGTH, "How far a cut may miss.", "0.5 mm", unit="mm"),
        Field("unstated", PLAIN_LENGTH, "Standard uncertainty of a reading that states none.", "2 mm",
              unit="mm"),
    ),
    builders.build_tolerances,
)  # fmt: skip


def question_type(attributes: tuple[str, ...]) -> FieldType:
    """Return the type of an open question that an answer about these attributes would settle."""
    return Either(
        LINE,
        Record(
            "an open question",
            (
                Field("question", LINE, "The question.", "Is the back printed?", required=True),
                Field(
                    "about",
                    Many(Attribute(attributes)),
                    "What an answer would settle.",
                    f"[{attributes[0]}]",
                ),
            ),
            builders.build_question,
        ),
        builders.lengthen_question,
    )


ATTRIBUTE_LIST = Many(Attribute(ATTRIBUTES))
GRAIN_WAYS = Choice(("long", "short", "none"))
