"""The press: from the book's notes to plates, stacks, printer, artwork, register and the run.

In: a Replica, its book, facts of artwork files, the log. Out: PressWorking. Never: the formulas (trade/press).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from doublure.errors import DomainError
from doublure.model.artwork import ArtworkFact, ArtworkFault
from doublure.model.notes import StockNote
from doublure.model.parts import SizeMm
from doublure.model.replica import Replica
from doublure.trade.book.creep import round_to_steps
from doublure.trade.press.plan import PressSpec, choose_sheet_way, find_sheet_way, plan_press
from doublure.trade.press.records import Folding, Pairing, PressPlan
from doublure.trade.press.run import plan_run
from doublure.trade.press.run_records import PrinterSpec, RunPlan
from doublure.trade.press.sheet_way import WayChoice
from doublure.workings.book import BookWorking
from doublure.workings.log import LogWorking
from doublure.workings.press_artwork import (
    find_unprintable,
    sort_artwork,
    work_artwork_specs,
    work_findings,
)
from doublure.workings.press_crossovers import work_crossovers
from doublure.workings.press_failing import work_failing
from doublure.workings.press_log import work_printed
from doublure.workings.press_places import locate_pages
from doublure.workings.press_printer import find_printer, work_printer
from doublure.workings.press_records import PressWorking
from doublure.workings.press_register import work_register
from doublure.workings.spare_rules import convert_spares

#: Sizes nearer than this, mm, are the same sheet.
_SAME_MM = 0.5


@dataclass(frozen=True, slots=True)
class _Planned:
    """A plan, or what it lacks."""

    plan: PressPlan | None
    lacking: tuple[str, ...] = ()
    words: str = ""
    way: WayChoice | None = None


def work_press(
    replica: Replica,
    book: BookWorking | None,
    log: LogWorking,
    artwork: Mapping[str, ArtworkFact | ArtworkFault],
) -> PressWorking:
    """Work out the press.

    Args:
        replica: The notes.
        book: The book; None where there is none.
        log: The log.
        artwork: What was found of each artwork file, by its path relative to the journal.
    """
    planned = _plan(replica, book)
    plan = planned.plan
    is_lying = plan is not None and plan.layout.sheet_width_mm > plan.layout.sheet_height_mm
    printer = work_printer(find_printer(replica), is_lying)
    facts, faults = sort_artwork(replica, artwork)
    found = PressWorking(
        plan=plan,
        lacking=planned.lacking,
        lacking_words=planned.words,
        printer=printer,
        artwork=facts,
        faults=faults,
        unprintable=find_unprintable(plan, facts),
        register=work_register(replica, printer.name, plan),
        way=planned.way,
    )
    return found if plan is None or book is None else _fill_in(found, replica, book, plan, log)


def find_plan(replica: Replica, book: BookWorking | None) -> PressPlan | None:
    """Return the plates and stacks alone; None where something is missing or does not fit."""
    return _plan(replica, book).plan


def _fill_in(
    found: PressWorking, replica: Replica, book: BookWorking, plan: PressPlan, log: LogWorking
) -> PressWorking:
    """Add what rests on the plates."""
    specs = work_artwork_specs(replica, plan, found.artwork)
    places = locate_pages(book, plan)
    tolerance_mm = replica.replica.tolerances.crossover_mm
    before, after = (
        work_crossovers(book, plan, places, found.register, tolerance_mm, corrected)
        for corrected in (False, True)
    )
    failing = work_failing(plan, places, after)
    return replace(
        found,
        findings=work_findings(plan, book, specs, found.faults, found.printer),
        run=_work_run(replica, plan, found.printer, log, found.unprintable, failing.by_stack),
        crossovers=after,
        crossovers_before=before,
        failing_sheets=failing.per_copy,
        specs=specs,
    )


def _plan(replica: Replica, book: BookWorking | None) -> _Planned:
    """Plan the plates; what is missing is named, all of it."""
    if book is None:
        return _Planned(None, ("book",))
    note = book.note
    stock = replica.stocks.get(note.stock)
    sheet = note.press.sheet or (stock.sheet if stock is not None else None)
    if note.leaf is None or sheet is None:
        lacking = ["leaf"] if note.leaf is None else []
        if sheet is None:
            # A stock that is not named may say its sheet, or the book may: either is wanted.
            lacking += ["stock", "sheet"] if stock is None else ["sheet"]
        return _Planned(None, tuple(lacking))
    steps, step_mm = _creep_steps(book)
    spec = PressSpec(
        leaf_width_mm=note.leaf.width_mm.value,
        leaf_height_mm=note.leaf.height_mm.value,
        sheet_width_mm=sheet.width_mm.value,
        sheet_height_mm=sheet.height_mm.value,
        leaf_pairs_in_gatherings=book.page_map.sheets_in_gatherings,
        masters={entry.page: entry.master or None for entry in book.entries},
        page_numbers=book.page_map.split.folded_pages,
        folding=Folding(note.press.folding),
        pairs=note.press.pairs,
        pairing=Pairing(note.press.pairing),
        rtl=note.right_to_left,
        creep_steps=steps,
        creep_step_mm=step_mm,
        held_pages=frozenset(
            page.page for one in book.crossovers for page in (one.place.left, one.place.right)
        ),
        bleed_mm=note.press.bleed_mm,
        collation=note.press.collation,
        grain_along=_grain_along(note.press.grain, sheet, stock),
    )
    try:
        return _Planned(plan_press(choose_sheet_way(spec)), way=find_sheet_way(spec))
    except DomainError as error:
        return _Planned(None, ("room" if error.argument == "sheet" else "folding",), error.message)


def _creep_steps(book: BookWorking) -> tuple[dict[int, int], float]:
    """Return the steps of each leaf pair in its gathering and the size of a step; nothing where creep is off."""
    step_mm = book.note.creep.step_mm
    if book.creep is None or step_mm <= 0:
        return {}, 0.0
    # The largest gathering holds every place that a smaller one has, counted from the outermost leaf pair.
    return dict(round_to_steps(book.creep.gatherings[max(book.creep.gatherings)], step_mm)), step_mm


def _grain_along(own: str, sheet: SizeMm, stock: StockNote | None) -> str:
    """Return along which side of the printed sheet its fibres run; "" where that is open or there is no grain.

    A sheet that is cut out of the stock may have been cut either way, so that its grain is known only where
    the notes say it, or where it is the stock's whole sheet.
    """
    width, height = sheet.width_mm.value, sheet.height_mm.value
    grain = own or (stock.grain if stock is not None and _is_whole(sheet, stock.sheet) else "")
    if grain not in ("long", "short") or abs(width - height) < _SAME_MM:
        return ""
    return "width" if (width > height) == (grain == "long") else "height"


def _is_whole(sheet: SizeMm, sold: SizeMm | None) -> bool:
    if sold is None:
        return False
    sides = sorted((sheet.width_mm.value, sheet.height_mm.value))
    whole = sorted((sold.width_mm.value, sold.height_mm.value))
    return all(abs(a - b) < _SAME_MM for a, b in zip(sides, whole, strict=True))


def _work_run(
    replica: Replica,
    plan: PressPlan | None,
    printer: PrinterSpec,
    log: LogWorking,
    unprintable: tuple[int, ...],
    failing: Mapping[int, float],
) -> RunPlan | None:
    """Plan the run; None while there are no plates or no edition."""
    edition = replica.replica.edition
    if plan is None or edition is None:
        return None
    return plan_run(
        plan,
        edition,
        printer,
        spare_rule=convert_spares(replica.replica.spares),
        failing=failing,
        unprintable=unprintable,
        printed=work_printed(log, plan),
    )
