"""The table of fields: for each kind of note its fields, with type, help and example.

In: nothing. Out: KINDS. Never: decoding.
This one table drives the decoder, the JSON Schemas and the handbook's page of fields.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from doublure.notes import insert_fields
from doublure.notes.book_fields import Gatherings, SequenceEntry, build_creep, lengthen_creep
from doublure.notes.builders import build_publish, build_rights, build_stack
from doublure.notes.fieldtypes import Choice, Day, File, Money, Name, YesNo
from doublure.notes.press_fields import CHOOSE, PRESS, PRINTER_FIELDS, REGISTER_FIELDS
from doublure.notes.shapes import Either, Field, Many, Record
from doublure.notes.vocabulary import (
    AMOUNT,
    ATTRIBUTE_LIST,
    BLEED_MM,
    COUNT,
    COUNT_OR_NONE,
    CREEP_STEP_MM,
    DURATION,
    EVIDENCE,
    GRAIN_WAYS,
    GRAMMAGE,
    LENGTH,
    LINE,
    MAKEABLE,
    MINUTES,
    PACK,
    PICTURE,
    SHEETS,
    SHOWN,
    SIZE,
    SPARES,
    STOCK,
    TOLERANCES,
    WORDS,
    WORK,
    question_type,
)


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of note.

    Attributes:
        name: As in Replica: "replica", "book", or a folder such as "inserts".
        noun: One of it, with its article, for messages and the handbook.
        help: One sentence on what it is for.
        fields: Its fields, the common ones included.
        by_name: The same by name.
    """

    name: str
    noun: str
    help: str
    fields: tuple[Field, ...]
    by_name: dict[str, Field] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_name", {one.name: one for one in self.fields})


def _kind(
    name: str, noun: str, help_text: str, own: tuple[Field, ...], attributes: tuple[str, ...] = (), *,
    titled: bool = True, example: str = "Tide pass",
) -> Kind:  # fmt: skip
    about = attributes or tuple(one.name for one in own)
    common_first = (
        Field("title", LINE, "What it is called on the pages.", example, required=titled),
        Field("picture", PICTURE, "A picture of it.", "pictures/tide-pass.jpg"),
        Field("pictures", Many(PICTURE), "Pictures of it; the first is its face in the gallery.",
              "[pictures/front.jpg, {file: pictures/back.jpg, caption: The back}]"),
    )  # fmt: skip
    common_last = (
        Field("open", Many(question_type(about)), "Open questions.", "['Is the back printed?']"),
        Field(
            "cautions", Many(LINE), "What to be careful of, shown beside the work.", "[The dye stains hands]"
        ),
    )
    return Kind(name, noun, help_text, (*common_first, *own, *common_last))


_REPLICA = _kind(
    "replica", "the replica note", "What is being replicated, for whom, and what of the work is published.",
    (
        Field("object", WORDS, "One sentence that tells a stranger what the artefact is.",
              "A tidal surveyor's field notebook with the papers that she kept in it"),
        Field("source", WORDS, "What it is known from.", "The stage play in which it is carried"),
        Field("maker", LINE, "Whom to name as maker.", "The workshop at the slip"),
        Field("edition", COUNT, "Copies to be made.", "6"),
        Field("units", Choice(("mm", "in")), "Which unit comes first on the pages.", "mm"),
        Field("money", LINE, "Name of the money, as it stands behind an amount.", "marks"),
        Field("jurisdictions", Many(LINE), "Where the replica is made or sent, for the cautions.",
              "[the harbour state]"),
        Field("tolerances", TOLERANCES, "What misses are accepted.",
              "{crossover: 1.6 mm, cut: 0.5 mm, unstated: 2 mm}"),
        Field("required", ATTRIBUTE_LIST, "Attributes that an insert must know to stand at all.",
              "[width, height, paper, front, back, place]"),
        Field("spares", SPARES, "Spares of inserts and sheets that have no rule of their own.", "half again"),
        Field("publish",
              Record("what is published",
                     (Field("print_files", YesNo(), "Print files go into the site.", "no"),
                      Field("prices", YesNo(), "Prices are shown.", "yes")),
                     build_publish),
              "What of the work goes into the site.", "{print_files: no, prices: yes}"),
        Field("next", Many(LINE), "What is to be done next.", "[Print the tide tables]"),
    ), example="The tidal surveyor's notebook",
)  # fmt: skip
_BOOK = _kind(
    "book", "the book note", "The sewn book: its leaf, page sequence, gatherings, printing, sewing and case.",
    (
        Field("leaf", SIZE, "Trimmed size of a leaf.", "105 x 165 mm", unit="mm"),
        Field("stock", STOCK, "Stock of the leaves.", "thin-laid"),
        Field("reading", Choice(("left to right", "right to left")), "Which way the book is read.",
              "left to right"),
        Field("sequence", Many(SequenceEntry(), "entries in the order of the pages", whole=True),
              "What is on each page, runs and repeats for short.",
              "[title-page, blank, {run: [ruled, grid], times: 24}, {master: ruled, times: 2}, {blank: 2}]"),
        Field("gatherings", Gatherings(), "Sheets in every gathering, or in each.", "4 sheets"),
        Field("creep",
              Either(Choice(("none", "one caliper", "rounded fold")),
                     Record("a rule for creep",
                            (Field("rule", Choice(("none", "one caliper", "rounded fold", "measured")),
                                   "How creep is reckoned.", "rounded fold"),
                             Field("push_out",
                                   LENGTH, "How far the innermost sheet of a folded dummy stands out.",
                                   "0.9 mm", unit="mm"),
                             Field("dummy", SHEETS, "Sheets in that dummy.", "4 sheets", unit="sheets"),
                             Field("step",
                                   CREEP_STEP_MM, "Plates are corrected in steps of this; 0 for no correction.",
                                   "0.1 mm", unit="mm")),
                            build_creep),
                     lengthen_creep),
              "How far inner leaves stand out, and in what steps it is corrected.",
              "{rule: one caliper, step: 0.1 mm}"),
        Field("press", PRESS, "How the sheets are printed and folded.",
              "{folding: quarto, sheet: 420 x 297 mm, printer: bench-laser, collation: yes}"),
        Field("choose", CHOOSE,
              "What gatherings are wanted; they are proposed beside the given ones, and used where none are given.",
              "{sheets: 3 to 5, blanks: gatherings, most_blanks: 4}"),
        Field("printing", WORDS, "How the sheets are printed.", "Laser printer, fed by hand"),
        Field("sewing", WORDS, "How the gatherings are sewn.", "Two tapes, five stations"),
        Field("case", WORDS, "How the case is made.", "Quarter cloth, drawn-on liners"),
    ), example="The notebook",
)  # fmt: skip
_EVIDENCE = _kind(
    "evidence", "an evidence note", "One source: what it is, what it was copied from, whose it is.",
    (
        Field("kind",
              Choice(("original", "frame", "spread", "photograph", "scan", "copy", "description",
                      "measurement")),
              "What kind of source it is.", "frame"),
        Field("stem", LINE, "Name of what it was copied from; sources on one stem are one witness.",
              "second-act"),
        Field("copied_from", EVIDENCE, "The evidence that it was copied from.", "frame-12"),
        Field("held", WORDS, "Where it is kept, or was found.", "The company's store, box 4"),
        Field("seen", Day(), "When the maker saw it.", "2031-02-03"),
        Field("dated", LINE, "When it was made.", "the first season"),
        Field("scale", WORDS, "The known length in the picture.", "a 150 mm rule beside it"),
        Field("rights",
              Record("rights",
                     (Field("holder", LINE, "Whose it is.", "The company"),
                      Field("credit", LINE, "How to name them.", "By kindness of the company"),
                      Field("publish", Choice(("yes", "ask", "no")),
                            "Whether its picture may be published.", "ask")),
                     build_rights),
              "Whose it is, and what may be done with it.", "{holder: The company, publish: ask}"),
        Field("shows", Many(SHOWN), "What it shows: inserts, masters, pages such as page-12.", "[tide-pass]"),
    ), example="Frame from the second act",
)  # fmt: skip
_STOCKS = _kind(
    "stocks", "a stock", "Any bought material with sheets or area.",
    (
        Field("kind", Choice(("paper", "card", "board", "leather", "cloth", "film", "thread", "adhesive",
              "other")),
              "What kind of material it is.", "paper"),
        Field("grammage", GRAMMAGE, "Mass of a square metre, or a pound weight with its grade.", "90 g/m²",
              unit="g/m²"),
        Field("caliper", LENGTH, "Thickness of one sheet.", "0.11 mm", unit="mm"),
        Field("stack",
              Record("a measured stack",
                     (Field("height", LENGTH, "Its height.", "47 mm", required=True, unit="mm"),
                      Field("sheets", SHEETS, "Its sheets.", "500", required=True, unit="sheets")),
                     build_stack),
              "A measured stack, from which the caliper follows.", "{height: 47 mm, sheets: 500}"),
        Field("sheet", SIZE, "Size as sold, width by height.", "420 x 297 mm", unit="mm"),
        Field("grain", GRAIN_WAYS, "Along which side the fibres run.", "long"),
        Field("colour", LINE, "Its colour.", "cream"),
        Field("surface", LINE, "Its surface.", "laid, unsized"),
        Field("price", Money(), "Price of one pack.", "12.50"),
        Field("pack", PACK, "What it is sold in.", "100 sheets"),
        Field("on_hand", AMOUNT, "What is there already, counted as the pack is.", "37"),
        Field("supplier", WORDS, "Where to buy it.", "The paper stall at the north gate"),
    ), example="Thin laid",
)  # fmt: skip
_MASTERS = _kind(
    "masters", "a master", "The finished artwork of a page, or of one side of an insert.",
    (
        Field("artwork", File(), "The artwork file, a path from the journal folder.", "artwork/ruled.png"),
        Field("state", Choice(("wanted", "draft", "final")), "State of the artwork.", "draft"),
        Field("size", SIZE, "Size at which it is printed; that of its leaf or insert where not said.",
              "105 x 165 mm",
              unit="mm"),
        Field("bleed", BLEED_MM, "How far the artwork runs beyond that size on every side.", "3 mm", unit="mm"),
        Field("evidence", Many(EVIDENCE), "What it was drawn from.", "[frame-12]"),
        Field("crossover", Name(("masters",), "a master"),
              "The master with the other half of artwork across the gutter.",
              "chart-right"),
        Field("process", WORDS, "How it is to be printed.", "laser, then one rubber stamp"),
    ), example="Ruled page",
)  # fmt: skip
_FINISHES = _kind(
    "finishes", "a finish", "A recipe: what it contains, how wet it is, what stands it.",
    (
        Field("contains", Many(LINE), "What it is made of.", "[strong tea, a spoon of vinegar]"),
        Field("wetness", Choice(("dry", "damp", "wet")), "How wet it makes the paper.", "wet"),
        Field("drying", DURATION, "How long it dries.", "12 h", unit="min"),
        Field("survives", Many(LINE), "Printing processes that stand it.", "[laser, screen print]"),
    ), example="Tea wash",
)  # fmt: skip
_TRIALS = _kind(
    "trials", "a trial", "A proof or a swatch: what was tried, beside what, with which verdict.",
    (
        Field("date", Day(), "When it was made.", "2031-03-02"),
        Field("about", Many(WORK), "What it was made for.", "[tide-pass]"),
        Field("beside", Many(EVIDENCE), "The evidence that it was held against.", "[frame-12]"),
        Field("stock", STOCK, "The stock it was made on.", "buff-card"),
        Field("tried", WORDS, "What was tried.", "Two washes, dried flat"),
        Field("verdict", Choice(("approved", "rejected", "undecided")), "The verdict.", "approved"),
        Field("approves", Many(MAKEABLE), "What may now be made.", "[tide-pass]"),
    ), example="Buff card, two washes",
)  # fmt: skip
_LOG = _kind(
    "log", "a log entry", "What was done on a day; the file name gives the date.",
    (
        Field("about", Many(WORK), "What it was about: any note, gathering-3, stack-7, plate-12, a page.",
              "[tide-pass, gathering-3]"),
        Field("step", LINE, "The step of the work.", "printing"),
        Field("minutes", MINUTES, "Time it took.", "40", unit="min"),
        Field("spent", Money(), "Money it took.", "3.20"),
        Field("made", COUNT_OR_NONE, "Pieces that came out good.", "9"),
        Field("spoiled", COUNT_OR_NONE, "Pieces that came out bad.", "2"),
        Field("photos", Many(PICTURE), "Photographs of the work.", "[pictures/2031-03-14-press.jpg]"),
    ), titled=False, example="First sheets of the tide tables",
)  # fmt: skip
_INSERTS = _kind(
    "inserts", "an insert", "A loose or pasted paper: what was read of it, what was decided, where it lies.",
    insert_fields.INSERT_FIELDS, insert_fields.ATTRIBUTES,
)  # fmt: skip
_PRINTERS = _kind(
    "printers", "a printer", "A printer or copier, and how sheets go through it.",
    PRINTER_FIELDS, example="Laser printer on the bench",
)  # fmt: skip
_REGISTER = _kind(
    "register", "a reading of register",
    "One printed target: how far its back lies from its front. The program writes these; one may as well.",
    REGISTER_FIELDS, titled=False, example="First target on thin laid",
)  # fmt: skip

#: Every kind of note by name, in the order of the handbook.
KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        _REPLICA, _BOOK, _INSERTS, _EVIDENCE, _MASTERS, _STOCKS, _FINISHES, _TRIALS, _PRINTERS, _REGISTER, _LOG,
    )
}  # fmt: skip
