"""What is known of the press: plates, run, register, crossovers, with what is missing.

In: results of the trade. Out: PressWorking. Never: computing (press.py), display text.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from doublure.model.artwork import ArtworkFact, ArtworkFault
from doublure.model.notes import RegisterNote
from doublure.trade.press.affine import IDENTITY, Affine
from doublure.trade.press.artwork_fit import ArtworkSpec
from doublure.trade.press.records import PressPlan
from doublure.trade.press.register.correct import join_back
from doublure.trade.press.register.records import CrossoverMisfit, MachineFit, MapParts, Misfit, SheetReadings
from doublure.trade.press.register.seats import SeatMeans
from doublure.trade.press.run_records import PrinterSpec, RunPlan
from doublure.trade.press.sheet_way import WayChoice


@dataclass(frozen=True, slots=True)
class ArtworkFinding:
    """One thing to know of a master's artwork before it is printed.

    Attributes:
        master: Identifier.
        kind: "resolution" (too few pixels), "bleed" (ink at the trim, no bleed beyond it), "creep" (ink where
            the creep takes it across the fold or the trim), "reach" (ink where the printer cannot print),
            "size" (proportions other than the page's), "unusable" (a fault of the file).
        value: What was found: ppi, mm, or for "size" the ratio of the proportions.
        wanted: What it should be, in the same unit.
        edge: "left", "right", "head" or "tail" where it is about an edge; "" else.
        plates: Numbers of the plates that it concerns.
    """

    master: str
    kind: str
    value: float
    wanted: float
    edge: str = ""
    plates: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class RegisterWorking:
    """Register of one printer on one stock.

    Attributes:
        printer, stock: Identifiers; "" where none is described.
        notes: The readings it rests on.
        fit: None while there are none.
        correction: What the backs are moved by before they are printed: the inverse of the systematic part,
            register coordinates; the identity while there is no fit.
        before, after: The misfit at the marks and corners of the sheet, without and with the correction; worked
            out when it is looked at.
        is_tried: True where readings stand behind it.
        readings: What was read of each of the notes, at the places of the target's marks.
        other_sheets: Readings of the same printer and stock that are of no use here, since their target was made
            for another sheet, or for the same one lying the other way.
        correction_parts: The correction in words of the trade; None while there is no fit.
        trouble: Why there is no fit in spite of readings, as the trade said it; "" where there is none.
        front_correction: What the fronts, and with them the backs, are moved by before they are printed, so that the
            print lies on the fold; register coordinates; the identity where no mean seat is told from nothing.
        seats: Where the fronts lie in the mean, against the fold and the sheet; None while nothing was read.
        without_room: What of it was left out, since the pages would be moved off their sheet: "along", "all" or "".
    """

    printer: str
    stock: str
    notes: tuple[RegisterNote, ...]
    fit: MachineFit | None
    correction: Affine = IDENTITY
    before: Sequence[Misfit] = ()
    after: Sequence[Misfit] = ()
    is_tried: bool = False
    readings: tuple[SheetReadings, ...] = ()
    other_sheets: tuple[RegisterNote, ...] = ()
    correction_parts: MapParts | None = None
    trouble: str = ""
    front_correction: Affine = IDENTITY
    seats: SeatMeans | None = None
    without_room: str = ""

    @property
    def back_correction(self) -> Affine:
        """What the backs are moved by in all: with the fronts, then onto the fronts; register coordinates."""
        return join_back(self.correction, self.front_correction)


@dataclass(frozen=True, slots=True)
class PressWorking:
    """Everything computed of the press.

    Attributes:
        plan: Plates and stacks; None while something is missing.
        lacking: What is missing for it: "book", "leaf", "stock", "sheet", "room" (the sheet is too small),
            "folding" (tipped leaves or gatherings that do not go with the folding).
        lacking_words: The same for "room" and "folding" as the trade said it.
        printer: The printer, or the stand-in.
        artwork: What was found of each master's artwork that can be printed, by master.
        faults: Why a master's artwork cannot be printed, by master.
        findings: Warnings about artwork, in the order of the masters.
        unprintable: Numbers of the plates that cannot be made, because artwork is missing or cannot be used.
        run: None while there is no plan or no edition.
        register: Of the printer on the stock of the book.
        crossovers: In the order of the pages, after the correction.
        crossovers_before: The same without the correction.
        failing_sheets: Sheets of one copy that are expected to fail at a crossover.
        specs: How the artwork of each master is placed, by master, of those on the plates that can be printed.
        way: Whether the sheet is printed turned from the way in which it is written, and why; None without a plan.
    """

    plan: PressPlan | None
    lacking: tuple[str, ...]
    lacking_words: str
    printer: PrinterSpec
    artwork: Mapping[str, ArtworkFact] = field(default_factory=dict)
    faults: Mapping[str, ArtworkFault] = field(default_factory=dict)
    findings: tuple[ArtworkFinding, ...] = ()
    unprintable: tuple[int, ...] = ()
    run: RunPlan | None = None
    register: RegisterWorking | None = None
    crossovers: tuple[CrossoverMisfit, ...] = ()
    crossovers_before: tuple[CrossoverMisfit, ...] = ()
    failing_sheets: float = 0.0
    specs: Mapping[str, ArtworkSpec] = field(default_factory=dict)
    way: WayChoice | None = None
