"""Records of the press: boxes, marks, plates laid out on their sheet, stacks.

In: numbers. Out: frozen records. Never: computing them (folding.py, plan.py, layout.py), display text.
Coordinates on a side of a sheet: mm from its upper left corner, x to the right, y downwards, as one looks at
that side with the sheet's head up. The back is seen from the back.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from doublure.trade.book.gatherings import Half, Side

Point = tuple[float, float]


class Folding(Enum):
    """How often a printed sheet is folded: once, twice, three times. `pairs` leaf pairs come of one sheet."""

    FOLIO = "folio"
    QUARTO = "quarto"
    OCTAVO = "octavo"

    @property
    def pairs(self) -> int:
        """Leaf pairs (folded leaves that hang together at the spine) of one sheet: 1, 2 or 4."""
        return {"folio": 1, "quarto": 2, "octavo": 4}[self.value]


class Pairing(Enum):
    """What a sheet carries that is cut into several leaf pairs before it is folded."""

    ALIKE = "alike"
    """The same leaf pair as often as there is room: each stack is as many sheets fewer."""
    IN_TURN = "in turn"
    """The leaf pairs of the book one after the other."""


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle on a side of a sheet, mm."""

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float

    @property
    def right_mm(self) -> float:
        """Right edge, mm."""
        return self.left_mm + self.width_mm

    @property
    def bottom_mm(self) -> float:
        """Lower edge, mm."""
        return self.top_mm + self.height_mm


class MarkKind(Enum):
    """What a line beside the pages is for."""

    CUT = "cut"
    """Trim here."""
    FOLD = "fold"
    """The fold at the spine."""
    SLIT = "slit"
    """A fold at the head or fore-edge that is slit before or after sewing."""


@dataclass(frozen=True, slots=True)
class MarkLine:
    """A mark: a straight line outside every trim, mm."""

    kind: MarkKind
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class PressPlace:
    """One side of one printed sheet: gathering from 1, sheet from 1 (the outermost), side."""

    gathering: int
    sheet: int
    side: Side


@dataclass(frozen=True, slots=True)
class PlacedPage:
    """One page on a plate.

    Attributes:
        master: Identifier; None for a blank.
        trim: Where its leaf is after trimming (the trim of the outermost sheet, without creep).
        artwork: Where the trimmed area of its artwork goes: `trim`, moved towards the fold by the creep.
        clip: What of the artwork may show: `trim` grown by the bleed, never across the fold or a neighbour.
        turned: True where its head is down.
        spine: Edge of `trim`, as it lies on the plate, at which its fold is.
        creep_shift_mm: How far `artwork` is moved towards the fold, mm, >= 0.
        pages: Every page of the book that it serves, ascending; () for a blank that was filled up.
    """

    master: str | None
    trim: Box
    artwork: Box
    clip: Box
    turned: bool
    spine: Half
    creep_shift_mm: float
    pages: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class PressPlate:
    """One side of one imposed sheet, ready to print. Plates that print nothing are plates too, and no page
    of any print file: `is_blank`.

    Attributes:
        number: From 1, in the order of the first place.
        pages: Row by row from the head, left to right.
        places: Every place that it serves, in sewing order, fronts before backs.
        collation_step: Where collation marks are on: number of the step, from 1; 0 for none.
        collation: The step mark on the spine fold; None for none.
        more_collation: Further step marks, where a sheet is cut into several leaf pairs that lie outermost.
    """

    number: int
    pages: tuple[PlacedPage, ...]
    places: tuple[PressPlace, ...]
    collation_step: int = 0
    collation: Box | None = None
    more_collation: tuple[Box, ...] = ()

    @property
    def is_blank(self) -> bool:
        """True where no page carries a master and no fold a step mark: nothing is printed."""
        return self.collation is None and all(page.master is None for page in self.pages)

    @property
    def collation_marks(self) -> tuple[Box, ...]:
        """Every step mark on it."""
        return () if self.collation is None else (self.collation, *self.more_collation)

    @property
    def masters(self) -> tuple[str, ...]:
        """Masters on it, each once, in the order of the pages."""
        return tuple(dict.fromkeys(page.master for page in self.pages if page.master is not None))


@dataclass(frozen=True, slots=True)
class PressStack:
    """Sheets that are printed alike on both sides.

    Attributes:
        number: From 1, in the order of the first sheet.
        front, back: Numbers of the plates.
        sheets: (gathering, sheet) of each sheet of one copy of the book that it gives, in sewing order; with
            several pairs on a sheet that are alike, more of them than printed sheets.
        per_copy: Printed sheets that one copy of the book takes; a fraction where a printed sheet serves more
            than one copy. Round up only after multiplying by the copies.
    """

    number: int
    front: int
    back: int
    sheets: tuple[tuple[int, int], ...]
    per_copy: float


class MarkName(Enum):
    """What may find no room on a sheet."""

    BLEED = "bleed"
    CUT = "cut"
    FOLD = "fold"
    SLIT = "slit"
    CROSS = "cross"
    LABEL = "label"


@dataclass(frozen=True, slots=True)
class Lacking:
    """Something that found no room, or not all the room that it wants, and was left out rather than printed over
    the pages.

    Attributes:
        what: The mark, or the bleed.
        edge: Edge of the sheet, as one looks at the front: "left", "top", "right", "bottom"; "between" for the
            gap between pages; "" where it is about the whole sheet.
        has_mm: Room that there is, mm.
        wants_mm: Room that it takes, mm.
    """

    what: MarkName
    edge: str
    has_mm: float
    wants_mm: float


@dataclass(frozen=True, slots=True)
class SheetLayout:
    """What all plates of a book share.

    Attributes:
        sheet_width_mm, sheet_height_mm: The sheet as it is printed, head of the lowest row's pages up.
        folding, pairs: How it is folded, and into how many leaf pairs it is cut before.
        bleed_mm: Bleed round every trim where there is room.
        lines: Marks, the same on every plate.
        crosses: Centres of the register marks, the same places on both sides (seen through).
        label: Where the label goes, outside every trim; None where there is no room.
        trim_box: The smallest box that holds every trim (TrimBox).
        bleed_box: The same with the bleed (BleedBox).
        fold_grain_ok: False where the spine fold runs against the grain; None where the grain is open.
        room_mm: Least distance from a trim to the sheet's edge: left, top, right, bottom.
        lacking: Marks and bleeds that had to be left out or cut short.
        rows, columns: Pages on either side, from the head and from the left.
    """

    sheet_width_mm: float
    sheet_height_mm: float
    folding: Folding
    pairs: int
    bleed_mm: float
    lines: tuple[MarkLine, ...]
    crosses: tuple[Point, ...]
    label: Box | None
    trim_box: Box
    bleed_box: Box
    fold_grain_ok: bool | None
    room_mm: tuple[float, float, float, float]
    lacking: tuple[Lacking, ...] = ()
    rows: int = 1
    columns: int = 2


@dataclass(frozen=True, slots=True)
class PressPlan:
    """Every plate and stack of a book.

    Attributes:
        layout: What the plates share.
        plates: By number, blank ones included.
        stacks: By number.
        creep_step_mm: Step of the correction; 0 where it is off.
        collation: True where the plates carry collation marks.
        stacks_plain, stacks_collated: How many stacks there would be without and with collation marks.
    """

    layout: SheetLayout
    plates: tuple[PressPlate, ...]
    stacks: tuple[PressStack, ...]
    creep_step_mm: float
    collation: bool
    stacks_plain: int
    stacks_collated: int

    def plate(self, number: int) -> PressPlate:
        """Return a plate by its number."""
        return self.plates[number - 1]
