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
        printing, sewing, case: In the maker's words.
    """

    leaf: SizeMm | None = None
    stock: str = ""
    right_to_left: bool = False
    sequence: tuple[SequenceItem, ...] = ()
    gathering_sheets: tuple[int, ...] = ()
    sheets_per_gathering: int | None = None
    creep: Creep = Creep()
    printing: str = ""
    sewing: str = ""
    case: str = ""
