"""Records of the run: a printer, and what is fed to it stack by stack.

In: numbers and words of the trade. Out: frozen records. Never: computing (run.py), sentences (render/).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


@dataclass(frozen=True, slots=True)
class PrinterSpec:
    """What of a printer matters to the run.

    Attributes:
        name: Identifier of its note; "" for a printer that nobody has described.
        reach_mm: What it cannot print at the leading edge, the trailing edge and each side, mm.
        feeds_short_edge: True where the short edge of the sheet goes in first.
        prints_upper: True where the side that lies upwards in the tray is printed.
        lands_face_up: True where sheets come out with the fresh print upwards.
        turns_short_edge: True where the pile is turned over about its short edge for the backs, False for the
            long edge (or the machine does so by itself).
        last_on_top: True where the last sheet printed lies on top of the pile when it is laid in again.
        by_machine: True where it prints both sides of a sheet by itself.
        holds: Sheets that its tray takes; 0 where not said.
        is_described: False for the stand-in that is used while there is no note.
    """

    name: str
    reach_mm: tuple[float, float, float]
    feeds_short_edge: bool
    prints_upper: bool
    lands_face_up: bool
    turns_short_edge: bool
    last_on_top: bool
    by_machine: bool
    holds: int
    is_described: bool


@dataclass(frozen=True, slots=True)
class Laying:
    """How the pile is laid into the tray for one pass.

    Attributes:
        print_up: True where the side to be printed lies upwards.
        blank: True where the other side is still blank (fronts), False where it carries the fronts.
        head_towards: Where the head of the pages points: "in" (goes in first), "out" (goes in last), "left"
            or "right", as one stands before the tray and looks the way that the sheets go.
        page_turned: True where the page in the file is turned half round, so that the same edge goes in first.
    """

    print_up: bool
    blank: bool
    head_towards: str
    page_turned: bool


class Joining(Enum):
    """Where fronts that are still to be printed go in the pile.

    Attributes:
        ON_TOP: On the fronts that were printed before, as they come.
        BETWEEN: To the other sheets of their stack, since fronts of later stacks lie on them already.
        APART: Nowhere in the pile: backs of the stack went through already, so that front and back of these
            sheets are printed by themselves.
    """

    ON_TOP = "on top"
    BETWEEN = "between"
    APART = "apart"


@dataclass(frozen=True, slots=True)
class SideState:
    """Where one side of a stack stands.

    Attributes:
        wanted: Sheets that go through on this side in all: made, spoiled and left.
        made, spoiled: From the log.
        left: Still to print.
        is_blank: True where there is nothing to print on this side.
        waits: True where it cannot be printed yet: its own artwork cannot be used, or that of the side that
            comes first.
        lying: Of the backs that are left, those whose sheets lie there: good fronts without a back, or sheets that
            have a blank front. 0 for fronts.
        joining: Where in the pile the fronts go that are left; backs stay where their sheet is.
    """

    wanted: int
    made: int
    spoiled: int
    left: int
    is_blank: bool
    waits: bool = False
    lying: int = 0
    joining: Joining = Joining.ON_TOP

    @property
    def ready(self) -> int:
        """Sheets left that can be printed with the artwork that there is."""
        return 0 if self.waits else self.left

    @property
    def is_begun(self) -> bool:
        """True where the log tells of sheets, good or spoiled."""
        return self.made + self.spoiled > 0


@dataclass(frozen=True, slots=True)
class StackRun:
    """One stack of the run.

    Attributes:
        number: Of the stack.
        front, back: Numbers of the plates.
        sheets: (gathering, sheet) that it gives in each copy.
        wanted: Printed sheets for the whole edition, spares not counted.
        spares: Printed sheets more, for what the register is expected to spoil and the maker's rule.
        front_page, back_page: Page of the fronts file and of the backs file (or of the one duplex file), from
            1; 0 where the side is blank or its artwork cannot be used.
        fronts, backs: Where each side stands.
        minutes: Forecast for what is left of both sides and does not wait; None where nothing is known of the time.
    """

    number: int
    front: int
    back: int
    sheets: tuple[tuple[int, int], ...]
    wanted: int
    spares: int
    front_page: int
    back_page: int
    fronts: SideState
    backs: SideState
    minutes: float | None

    @property
    def total(self) -> int:
        """Sheets to start with."""
        return self.wanted + self.spares

    @property
    def paper(self) -> int:
        """Sheets of paper that it takes by the log: those that went through and those that are left."""
        return max(self.total, self.fronts.wanted, self.backs.wanted)


@dataclass(frozen=True, slots=True)
class RunPlan:
    """The whole run on one printer.

    Attributes:
        printer: The printer.
        stacks: By number.
        fronts, backs: How the pile is laid in.
        minutes_per_side: Time of one printed side of one sheet, from the log; None where the log has none.
        minutes_u: Its standard uncertainty; None where unknown.
        timed_sides: On how many printed sides that rests.
        minutes: Forecast for what is left and does not wait; None where nothing is known.
        resume: (stack, "fronts" or "backs") to go on with; None where all is printed, or where the rest waits.
        copies: Copies of the edition that it is for.
        unassigned: Log entries on printing that name no stack or plate, so that they count for time alone.
        turned_over: True where the pile must be turned over, as it lies in the output, before it is laid in again.
        same_edge_first: True where the edge that went in first for the fronts goes in first for the backs too.
        minutes_left_u: Standard uncertainty of `minutes`, from that of a side; None where unknown.
    """

    printer: PrinterSpec
    stacks: tuple[StackRun, ...]
    fronts: Laying
    backs: Laying
    minutes_per_side: float | None
    minutes_u: float | None
    timed_sides: int
    minutes: float | None
    resume: tuple[int, str] | None
    copies: int
    unassigned: int
    turned_over: bool = False
    same_edge_first: bool = True
    minutes_left_u: float | None = None

    @property
    def sides_ready(self) -> int:
        """Printed sides that are left and can be printed."""
        return sum(one.fronts.ready + one.backs.ready for one in self.stacks)

    @property
    def sides_waiting(self) -> int:
        """Printed sides that are left and wait for artwork."""
        return sum(one.fronts.left + one.backs.left for one in self.stacks) - self.sides_ready
