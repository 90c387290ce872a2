"""Records, one frozen class for each kind of note, except inserts (insert.py) and the book (book.py).

In: values decoded by notes/. Out: frozen records that know where each value came from.
Never: computing, reading files.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from doublure.measured import Measured
from doublure.model.origin import Origin
from doublure.model.parts import Pack, Picture, Question, Rights, SizeMm, Spares


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """What every note has.

    Attributes:
        id: File name without its ending; unique within a kind.
        title: Required in every note but a log entry, whose first line serves.
        body: Markdown after the front matter, without private passages.
        pictures: Pictures of the thing, the first one its face in galleries.
        questions: Open questions in the maker's words.
        cautions: Cautions in the maker's words, shown beside the work.
        origin: Where every value came from.
    """

    id: str
    title: str
    body: str = ""
    pictures: tuple[Picture, ...] = ()
    questions: tuple[Question, ...] = ()
    cautions: tuple[str, ...] = ()
    origin: Origin = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Tolerances:
    """What the maker accepts, mm.

    Attributes:
        crossover_mm: How far the halves of artwork across the gutter may miss each other
            (1.6 mm, 1/16 in: common practice, no published source).
        cut_mm: How far a cut may miss.
        unstated_mm: Standard uncertainty taken for a reading that states none.
    """

    crossover_mm: float = 1.6
    cut_mm: float = 0.5
    unstated_mm: float = 2.0


@dataclass(frozen=True, slots=True)
class Publish:
    """What of the work goes into the site."""

    print_files: bool = False
    prices: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class ReplicaNote(Note):
    """journal/replica.yml.

    Attributes:
        object: One sentence that tells a stranger what the artefact is.
        source: What it is known from, such as the play or the film.
        maker: Whom to name as maker; "" for nobody.
        edition: Copies to be made; None while open.
        units: "mm" or "in": which comes first on the pages.
        money: Name of the money, as it stands behind an amount.
        jurisdictions: Where the replica is made or sent, for the cautions.
        required: Attributes that an insert must know to stand at all.
        spares: Rule for inserts and sheets that have none of their own.
        next_steps: What the maker means to do next, in their words.
    """

    object: str = ""
    source: str = ""
    maker: str = ""
    edition: int | None = None
    units: str = "mm"
    money: str = ""
    jurisdictions: tuple[str, ...] = ()
    tolerances: Tolerances = Tolerances()
    required: tuple[str, ...] = ("width", "height", "paper", "front", "back", "place")
    spares: Spares | None = None
    publish: Publish = Publish()
    next_steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class EvidenceNote(Note):
    """journal/evidence/*.md: one source.

    Attributes:
        kind: "original", "frame", "spread", "photograph", "scan", "copy", "description" or "measurement".
        stem: Name of the stem, where the maker gives one.
        copied_from: Identifier of the evidence that this one was copied from.
        held: Where it is kept or was found.
        seen: When the maker saw it.
        dated: When it was made, in words.
        scale: The known length in the picture, in words ("a 150 mm rule beside it"); "" where none.
        shows: Identifiers of the inserts, masters or pages it shows.
    """

    kind: str = ""
    stem: str = ""
    copied_from: str = ""
    held: str = ""
    seen: date | None = None
    dated: str = ""
    scale: str = ""
    rights: Rights = Rights()
    shows: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StockNote(Note):
    """journal/stocks/*.md: any bought material with sheets or area.

    Attributes:
        kind: "paper", "card", "board", "leather", "cloth", "film", "thread", "adhesive" or "other".
        grammage_gsm: g/m².
        caliper_mm: Thickness of one sheet.
        stack_mm, stack_sheets: A measured stack, from which the caliper follows where none is given.
        sheet: Size as sold, width by height.
        grain: Direction of the fibres on the sheet as sold: "long", "short" or "none".
        colour, surface: In words.
        price: For one pack.
        pack: What it is sold in.
        on_hand: Sheets (or metres, pieces, as the pack counts) already there.
        supplier: Where to buy it.
    """

    kind: str = ""
    grammage_gsm: Measured | None = None
    caliper_mm: Measured | None = None
    stack_mm: Measured | None = None
    stack_sheets: int | None = None
    sheet: SizeMm | None = None
    grain: str = ""
    colour: str = ""
    surface: str = ""
    price: Decimal | None = None
    pack: Pack | None = None
    on_hand: Decimal | None = None
    supplier: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MasterNote(Note):
    """journal/masters/*.md: the finished artwork of a page, or of one side of an insert.

    Attributes:
        artwork: The artwork file, relative to the journal; "" while there is none.
        state: "wanted", "draft" or "final".
        size: Size at which it is printed; None: the leaf or the insert.
        evidence: Identifiers of what it was drawn from.
        crossover: Identifier of the master that carries the other half of artwork across the gutter.
        bleed_mm: How far the artwork runs beyond that size on every side.
        process: How it is to be printed, in words.
    """

    artwork: str = ""
    state: str = ""
    size: SizeMm | None = None
    bleed_mm: float = 0.0
    evidence: tuple[str, ...] = ()
    crossover: str = ""
    process: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialNote(Note):
    """journal/trials/*.md: a proof or a swatch.

    Attributes:
        date: When it was made.
        about: Identifiers of what it was made for.
        beside: Identifiers of the evidence that it was held against.
        stock: Identifier of the stock it was made on.
        tried: What was tried, in words.
        verdict: "approved", "rejected" or "undecided".
        approves: Identifiers of what may now be made.
    """

    date: date | None = None
    about: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    stock: str = ""
    tried: str = ""
    verdict: str = ""
    approves: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishNote(Note):
    """journal/finishes/*.md: a recipe.

    Attributes:
        contains: What it is made of, one thing an entry.
        wetness: "dry", "damp" or "wet".
        drying_minutes: How long it dries.
        survives: Printing processes that stand it, in words.
    """

    contains: tuple[str, ...] = ()
    wetness: str = ""
    drying_minutes: float | None = None
    survives: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LogNote(Note):
    """journal/log/DATE-*.md: what was done.

    Attributes:
        date: The day, from the file name.
        about: What it was about: identifiers, "gathering-3", or the label of a plate.
        step: The step of the work, such as "printing"; "" where not said.
        minutes: Time it took.
        spent: Money it took.
        made, spoiled: Pieces of what it is about that came out good, and bad.
    """

    date: date
    about: tuple[str, ...] = ()
    step: str = ""
    minutes: float | None = None
    spent: Decimal | None = None
    made: int | None = None
    spoiled: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PrinterNote(Note):
    """journal/printers/*.md: a printer or copier, and how sheets go through it.

    Attributes:
        process: "laser", "inkjet" or "other"; "" where not said.
        reach_leading_mm, reach_trailing_mm, reach_sides_mm: What it cannot print at the edge that goes in
            first, at the last edge and at each side.
        feeds: Edge that goes in first: "short edge" or "long edge".
        prints: Which side of a sheet in the tray is printed: "upper side" or "lower side".
        lands: How sheets come out: "face down" or "face up".
        turn: About which edge the sheet is turned for its back: "long edge" or "short edge".
        pile: Where the last sheet printed lies when the pile is laid in again: "last on top" or "first on top".
        both_sides: "by hand" or "by machine".
        holds: Sheets that the tray takes; None where not said.
    """

    process: str = ""
    reach_leading_mm: float | None = None
    reach_trailing_mm: float | None = None
    reach_sides_mm: float | None = None
    feeds: str = ""
    prints: str = ""
    lands: str = ""
    turn: str = ""
    pile: str = ""
    both_sides: str = ""
    holds: int | None = None


@dataclass(frozen=True, slots=True)
class MarkOffset:
    """How far a back mark lies from its front mark on a printed target, right and down, mm."""

    mark: str
    right_mm: float
    down_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisterNote(Note):
    """journal/register/*.md or *.yml: one printed target, read.

    Attributes:
        printer, stock: Identifiers.
        date: When it was printed.
        sheet: Size of the sheet, width by height, as the target was made for it.
        method: "against the light", "scan" or "by eye".
        photo: The picture it was read from, relative to the journal; "" for none. It is never published.
        offsets: Back minus front at each mark, seen from the front.
        u_mm: Standard uncertainty of each offset; None where not stated.
        front_right_mm, front_down_mm: How far the front sits right of and below where it should on the sheet.
        front_turn_rad: How far it is turned clockwise on the sheet.
        fold_right_mm: How far the fold lies right of where it is printed.
    """

    printer: str = ""
    stock: str = ""
    date: date | None = None
    sheet: SizeMm | None = None
    method: str = ""
    photo: str = ""
    offsets: tuple[MarkOffset, ...] = ()
    u_mm: float | None = None
    front_right_mm: float | None = None
    front_down_mm: float | None = None
    front_turn_rad: float | None = None
    fold_right_mm: float | None = None
