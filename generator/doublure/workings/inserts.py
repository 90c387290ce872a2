"""Each insert with all that hangs together with it: standing, place, pieces, state of work, evidence.

In: a Replica, standings, the log, plans of pieces. Out: InsertWorking. Never: display text.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum

from doublure.errors import DomainError
from doublure.leiden import WordingRun, parse_wording
from doublure.measured import Measured
from doublure.model.insert import InsertNote
from doublure.model.notes import LogNote
from doublure.model.replica import Replica
from doublure.trade.evidence.standing import OPEN, Standing
from doublure.trade.making.spares import SparePlan
from doublure.trade.paper.formats import FormatMatch, match_formats
from doublure.workings.log import LogWorking
from doublure.workings.reference import Reference
from doublure.workings.standing import InsertStandingWorking, StandingWorking

#: Candidates beyond these help nobody.
MOST_FORMATS = 8


class WorkState(Enum):
    """How far the making of an insert has come, from its notes and the log alone."""

    RESEARCH = "research"
    """A required attribute is open or disputed."""
    ARTWORK = "artwork"
    """All is known; the artwork of a side is not final."""
    READY = "ready to make"
    """Everything is there, nothing is made."""
    MAKING = "in making"
    """Some are made, fewer than the edition wants."""
    MADE = "made"
    """At least as many as the edition wants are made."""


@dataclass(frozen=True, slots=True)
class InsertWorking:
    """One insert.

    Attributes:
        note: Its note.
        number: Its number in the strip and along the fore-edge, from 1, in the order of the book.
        standing: Its standing with every attribute.
        state: State of work.
        plan: Pieces wanted and spare; None while the edition is open.
        made, spoiled: From the log.
        entries: Log entries about it or about its masters, newest first.
        evidence: Identifiers of evidence that reads it or says that it shows it.
        trials: Identifiers of trials about it, or that approve it.
        formats: Known formats that fit the size that was read, best first.
        front_runs, back_runs: The wording of each side as runs of letters.
    """

    note: InsertNote
    number: int
    standing: InsertStandingWorking
    state: WorkState
    plan: SparePlan | None
    made: int
    spoiled: int
    entries: tuple[LogNote, ...]
    evidence: tuple[str, ...]
    trials: tuple[str, ...]
    formats: tuple[FormatMatch, ...]
    front_runs: tuple[WordingRun, ...]
    back_runs: tuple[WordingRun, ...]


def reading_order(note: InsertNote) -> tuple[float, int, str]:
    """Return the key that puts inserts in the order in which a reader meets them; unplaced ones last."""
    place = note.place
    at = float("inf")
    if place is not None and place.between is not None:
        at = min(place.between) + 0.5
    elif place is not None and place.on is not None:
        at = float(place.on)
    elif place is not None and place.pocket:
        at = 1e9
    return at, (place.order if place is not None and place.order is not None else 0), note.id


def work_inserts(
    replica: Replica,
    standing: StandingWorking,
    log: LogWorking,
    plans: Mapping[str, SparePlan],
    reference: Reference,
) -> tuple[InsertWorking, ...]:
    """Bring together what is known of each insert, in the order of the book."""
    ordered = sorted(replica.inserts.values(), key=reading_order)
    shown_in = _by_insert((source.id, source.shows) for source in replica.evidence.values())
    tried_in = _by_insert((trial.id, (*trial.about, *trial.approves)) for trial in replica.trials.values())
    return tuple(
        _work(
            replica,
            note,
            number,
            standing.inserts[note.id],
            log,
            plans.get(note.id),
            reference,
            shown_in.get(note.id, ()),
            tried_in.get(note.id, ()),
        )
        for number, note in enumerate(ordered, 1)
    )


def _by_insert(notes: Iterable[tuple[str, tuple[str, ...]]]) -> dict[str, tuple[str, ...]]:
    """Return by the name of an insert the notes that name it, each once and in order."""
    found: dict[str, dict[str, None]] = {}
    for ident, names in notes:
        for name in names:
            found.setdefault(name.removeprefix("inserts/"), {})[ident] = None
    return {name: tuple(idents) for name, idents in found.items()}


def _work(
    replica: Replica,
    note: InsertNote,
    number: int,
    standing: InsertStandingWorking,
    log: LogWorking,
    plan: SparePlan | None,
    reference: Reference,
    shown_in: tuple[str, ...],
    trials: tuple[str, ...],
) -> InsertWorking:
    own = log.by_thing.get(f"inserts/{note.id}", ())
    faces = [face.master for face in (note.front, note.back) if face is not None and face.master]
    entries = {entry.id: entry for entry in own}
    for master in faces:
        entries.update((entry.id, entry) for entry in log.by_thing.get(f"masters/{master}", ()))
    # Pieces of an entry about several things belong to none of them, as in trade/making/totals.
    alone = [entry for entry in own if len(log.things[entry.id]) == 1]
    made = sum(entry.made or 0 for entry in alone)
    evidence = {one.source for one in note.readings if one.source in replica.evidence}
    return InsertWorking(
        note=note,
        number=number,
        standing=standing,
        state=_state(replica, note, standing, plan, made),
        plan=plan,
        made=made,
        spoiled=sum(entry.spoiled or 0 for entry in alone),
        entries=tuple(sorted(entries.values(), key=lambda entry: (entry.date, entry.id), reverse=True)),
        evidence=tuple(sorted(evidence.union(shown_in))),
        trials=trials,
        formats=_match(standing, reference),
        front_runs=parse_wording(note.wording_front)[0] if note.wording_front else (),
        back_runs=parse_wording(note.wording_back)[0] if note.wording_back else (),
    )


def _match(standing: InsertStandingWorking, reference: Reference) -> tuple[FormatMatch, ...]:
    """Match the size that was read; without readings of both sides there is nothing to match."""
    sides = []
    for name in ("width", "height"):
        attribute = standing.find(name)
        if attribute is None or attribute.status.combined is None:
            return ()
        sides.append(Measured(attribute.status.combined.value, attribute.status.combined.u))
    try:
        return match_formats(sides[0], sides[1], reference.formats, most=MOST_FORMATS)
    except DomainError:
        return ()


def _state(
    replica: Replica,
    note: InsertNote,
    standing: InsertStandingWorking,
    plan: SparePlan | None,
    made: int,
) -> WorkState:
    if plan is not None and plan.wanted and made >= plan.wanted:
        return WorkState.MADE
    if made:
        return WorkState.MAKING
    if standing.overall.standing in (OPEN, Standing.DISPUTED):
        return WorkState.RESEARCH
    for face in (note.front, note.back):
        if face is None or face.blank:
            continue
        master = replica.masters.get(face.master)
        if master is None or not master.artwork or master.state not in ("final", ""):
            return WorkState.ARTWORK
    return WorkState.READY
