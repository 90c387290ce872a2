"""Artwork against the plates that carry it: resolution, proportions, bleed, creep, the printer's reach.

In: notes of masters, facts of their files, the plates. Out: ArtworkFinding values, specs. Never: the thresholds
(trade/press/artwork_fit.py), opening a file.
"""

from __future__ import annotations

from collections.abc import Mapping

from doublure.model.artwork import ArtworkFact, ArtworkFault
from doublure.model.notes import MasterNote
from doublure.model.replica import Replica
from doublure.trade.press.artwork_fit import ArtworkSpec, SheetReach, find_artwork, reach_on_side
from doublure.trade.press.records import PressPlan
from doublure.trade.press.run import lay_pile
from doublure.trade.press.run_records import PrinterSpec
from doublure.workings.book import BookWorking
from doublure.workings.press_records import ArtworkFinding

#: A PDF page whose size is that of its trim and bleed within this, mm, has the bleed around it.
_SAME_MM = 0.5


def sort_artwork(
    replica: Replica, artwork: Mapping[str, ArtworkFact | ArtworkFault]
) -> tuple[dict[str, ArtworkFact], dict[str, ArtworkFault]]:
    """Return by master what was found of its artwork, and what is wrong with it.

    Args:
        replica: The notes.
        artwork: By path relative to the journal.
    """
    facts: dict[str, ArtworkFact] = {}
    faults: dict[str, ArtworkFault] = {}
    for note in replica.masters.values():
        found = artwork.get(note.artwork) if note.artwork else None
        if isinstance(found, ArtworkFact):
            facts[note.id] = found
        elif found is not None:
            faults[note.id] = found
    return facts, faults


def find_unprintable(plan: PressPlan | None, facts: Mapping[str, ArtworkFact]) -> tuple[int, ...]:
    """Return the plates that carry a master whose artwork is not there or cannot be used."""
    if plan is None:
        return ()
    return tuple(
        plate.number for plate in plan.plates if any(master not in facts for master in plate.masters)
    )


def work_artwork_specs(
    replica: Replica, plan: PressPlan, facts: Mapping[str, ArtworkFact]
) -> dict[str, ArtworkSpec]:
    """Return by master how its artwork is placed, of those on the plates that can be printed."""
    on_plates = {master for plate in plan.plates for master in plate.masters}
    return {
        ident: _spec_of(replica.masters[ident], fact, plan)
        for ident, fact in facts.items()
        if ident in on_plates
    }


def work_findings(
    plan: PressPlan,
    book: BookWorking,
    specs: Mapping[str, ArtworkSpec],
    faults: Mapping[str, ArtworkFault],
    printer: PrinterSpec,
) -> tuple[ArtworkFinding, ...]:
    """Return what is to be known of the artwork of the plates, by the order of their masters.

    A printer that nobody has described has an ordinary reach.
    """
    issues: dict[str, list[ArtworkFinding]] = {}
    found = find_artwork(plan, specs, _reach_of(plan, printer), _push_out(book))
    for issue in found:
        finding = ArtworkFinding(
            issue.master, issue.kind, issue.value, issue.wanted, issue.edge, issue.plates
        )
        issues.setdefault(issue.master, []).append(finding)
    order: dict[str, list[int]] = {}
    for plate in plan.plates:
        for master in plate.masters:
            order.setdefault(master, []).append(plate.number)
    for master, plates in order.items():
        if master in faults:
            issues[master] = [ArtworkFinding(master, "unusable", 0.0, 0.0, "", tuple(plates))]
    return tuple(finding for master in order for finding in issues.get(master, ()))


def _spec_of(note: MasterNote, fact: ArtworkFact, plan: PressPlan) -> ArtworkSpec:
    width, height, bleed = fact.width_mm, fact.height_mm, note.bleed_mm
    if fact.kind == "vector":
        left, top, right, bottom = fact.bleed_mm
        if not any(fact.bleed_mm) and bleed and _is_with_bleed(note, fact, plan):
            # The page has no TrimBox of its own; the note says what lies beyond the trim.
            width, height = width - 2 * bleed, height - 2 * bleed
            left = top = right = bottom = bleed
    else:
        left = top = right = bottom = bleed
    return ArtworkSpec(
        kind=fact.kind,
        width_px=fact.width_px,
        height_px=fact.height_px,
        width_mm=width,
        height_mm=height,
        print_width_mm=note.size.width_mm.value if note.size is not None else None,
        print_height_mm=note.size.height_mm.value if note.size is not None else None,
        bleed_mm=(left, right, top, bottom),
        ink=fact.ink,
    )


def _is_with_bleed(note: MasterNote, fact: ArtworkFact, plan: PressPlan) -> bool:
    """True where a PDF page is as large as the printed size with its bleed."""
    if note.size is not None:
        width, height = note.size.width_mm.value, note.size.height_mm.value
    else:
        trim = plan.plates[0].pages[0].trim
        width, height = trim.width_mm, trim.height_mm
    return (
        abs(fact.width_mm - width - 2 * note.bleed_mm) < _SAME_MM
        and abs(fact.height_mm - height - 2 * note.bleed_mm) < _SAME_MM
    )


def _reach_of(plan: PressPlan, printer: PrinterSpec) -> SheetReach:
    layings = lay_pile(printer, plan.layout.sheet_width_mm, plan.layout.sheet_height_mm)
    front, back = (reach_on_side(printer.reach_mm, one.print_up, one.head_towards) for one in layings)
    return SheetReach(front, back)


def _push_out(book: BookWorking) -> dict[int, float] | None:
    """Return how far the leaf of each page stands out before it is trimmed; None where that is open."""
    if book.creep is None:
        return None
    sizes = book.page_map.sheets_in_gatherings
    return {
        page.page: book.creep.gatherings[sizes[page.gathering - 1]].sheets[page.sheet - 1].push_out_mm.value
        for page in book.page_map.pages
        if page.gathering is not None and page.sheet is not None
    }
