"""The record of the book: leaf, stock, page sequence, gatherings.

In: values decoded by notes/. Out: frozen records. Never: computing.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.measured import Measured
from doublure.model.notes import Note
from doublure.model.parts import SizeMm


@dataclass(frozen=True, slots=True)
class MasterPage:
    """A page that carries a master, so many times in a row."""

    master: str
    times: int = 1
    path: tuple[str | int, ...] = ()


@dataclass(frozen=True, slots=True)
class BlankPages:
    """So many blank pages."""

    count: int
    path: tuple[str | int, ...] = ()


@dataclass(frozen=True, slots=True)
class Run:
    """Items in a row, the whole row so many times."""

    items: tuple[SequenceItem, ...]
    times: int = 1
    path: tuple[str | int, ...] = ()


@dataclass(frozen=True, slots=True)
class TippedLeaf:
    """A single leaf tipped in: its first and second page ("" blank), its stock ("" the book's)."""

    first: str
    second: str
    stock: str = ""
    path: tuple[str | int, ...] = ()


SequenceItem = MasterPage | BlankPages | Run | TippedLeaf


@dataclass(frozen=True, slots=True)
class Creep:
    """How creep is reckoned.

    Attributes:
        rule: "none", "one caliper", "rounded fold" or "measured".
        push_out_mm: Measured push-out of the innermost sheet of a folded dummy, for "measured".
        dummy_sheets: Sheets in that dummy.
        step_mm: Creep is corrected in steps of this; 0 switches the correction of plates off.
    """

    rule: str = "one caliper"
    push_out_mm: Measured | None = None
    dummy_sheets: int | None = None
    step_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Press:
    """How the sheets are printed and folded (field `press`).

    Attributes:
        folding: "folio", "quarto" or "octavo".
        pairs: Leaf pairs that one printed sheet is cut into before folding; 1 where it is not cut. More than 1
            only with "folio".
        pairing: "alike" or "in turn": what a sheet with several leaf pairs carries.
        sheet: Size of the sheet as it is fed, width by height with the pages' heads up; None: as the stock is sold.
        grain: Grain of that sheet, "long", "short" or "none"; "" for that of the stock.
        printer: Identifier of the printer; "" where there is only one, or none.
        bleed_mm: Bleed that is printed where the artwork has it.
        collation: True for step marks on the spine folds.
    """

    folding: str = "folio"
    pairs: int = 1
    pairing: str = "alike"
    sheet: SizeMm | None = None
    grain: str = ""
    printer: str = ""
    bleed_mm: float = 3.0
    collation: bool = False


@dataclass(frozen=True, slots=True)
class GatheringWish:
    """What is asked of the gatherings that are to be chosen (field `choose`).

    Attributes:
        fewest_sheets, most_sheets: Sheets in a gathering, from and to.
        blanks: Where blanks may be put in: "end", "gatherings" (before the first page and after the last page
            of a gathering) or "anywhere" (but never within a crossover).
        most_blanks: How many, at most.
        fixed: Spreads that must lie in the middle of a gathering, by their left and right page of the sequence.
        weights: Weight of a crossover by the identifier of the master of either half; 1 where not said.
        most_plates: How many different plates are acceptable; None for any number.
    """

    fewest_sheets: int
    most_sheets: int
    blanks: str = "end"
    most_blanks: int = 3
    fixed: tuple[tuple[int, int], ...] = ()
    weights: tuple[tuple[str, float], ...] = ()
    most_plates: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BookNote(Note):
    """journal/book.yml.

    Attributes:
        leaf: Trimmed size of a leaf.
        stock: Identifier of the stock of the leaves.
        right_to_left: True for books read from right to left.
        sequence: The page sequence.
        gathering_sheets: Sheets in each gathering where they are listed, else ().
        sheets_per_gathering: Sheets in every gathering where they are equal, else None.
        press: How the sheets are printed and folded.
        choose: What the gatherings are to be chosen by; None where they are given.
        printing, sewing, case: In the maker's words.
    """

    leaf: SizeMm | None = None
    stock: str = ""
    right_to_left: bool = False
    sequence: tuple[SequenceItem, ...] = ()
    gathering_sheets: tuple[int, ...] = ()
    sheets_per_gathering: int | None = None
    creep: Creep = Creep()
    press: Press = Press()
    choose: GatheringWish | None = None
    printing: str = ""
    sewing: str = ""
    case: str = ""
