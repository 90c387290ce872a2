"""The gatherings as the wishes of the notes (field `choose`) would have them, beside those that are in use.

In: a Replica, its pages, the caliper of the stock. Out: ProposalWorking; gatherings; problems. Never: searching
(trade/book/planning.py), changing the page sequence: blanks within it are proposed, never put in.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass, replace

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.model.book import BookNote, Creep, GatheringWish
from doublure.model.replica import Replica
from doublure.problem_codes import CODES
from doublure.problems import Problem
from doublure.trade.book.creep import (
    CreepRule,
    CreepStep,
    calibrate_creep_step,
    compute_creep,
    compute_creep_step,
    round_to_steps,
)
from doublure.trade.book.planning import plan_gatherings, set_beside
from doublure.trade.book.planning_records import (
    BlankRule,
    GatheringProposal,
    PlanningSpec,
    WeightedCrossover,
)
from doublure.trade.press.records import Folding
from doublure.workings.pages import PageEntry


@dataclass(frozen=True, slots=True)
class ProposalWorking:
    """What the wishes for the gatherings come to.

    Attributes:
        wish: The wishes.
        proposal: The best plan, with the present one beside it; None where no plan meets the wishes.
        fault: Which wish is not met and what would do, as the trade says it; "" where there is a plan.
        pages: Pages of the sequence as given, so that blanks behind the last can be told from those within.
        is_in_use: True where the gatherings in use are those proposed, and no blanks within the sequence are
            missing to them.
        is_chosen: True where no `gatherings:` are written, so that `choose:` gives those in use.
    """

    wish: GatheringWish
    proposal: GatheringProposal | None
    fault: str
    pages: int
    is_in_use: bool
    is_chosen: bool


def find_creep_step(creep: Creep, caliper: Measured | None) -> CreepStep | None:
    """Return the push-out per sheet by which plates are corrected; None where they are not.

    Args:
        creep: How creep is reckoned.
        caliper: Of the stock of the leaves; None where it is open.
    """
    if caliper is None or creep.rule == "none" or creep.step_mm <= 0:
        return None
    try:
        if creep.rule == "measured" and creep.push_out_mm is not None and creep.dummy_sheets is not None:
            return calibrate_creep_step(caliper, creep.dummy_sheets, creep.push_out_mm)
        return compute_creep_step(
            caliper, CreepRule.ROUND if creep.rule == "rounded fold" else CreepRule.FLAT
        )
    except DomainError:
        return None


def build_spec(
    replica: Replica,
    entries: Sequence[PageEntry],
    wish: GatheringWish,
    caliper: Measured | None,
    present: Sequence[int] = (),
) -> PlanningSpec:
    """Return what is asked of the gatherings, in the words of the trade.

    Crossovers are the facing pages whose masters name each other as partners, as everywhere in the book. A weight
    is found under either half; where none is written, it is 1.

    Args:
        replica: The notes, with a book.
        entries: Every page.
        wish: The wishes.
        caliper: Of the stock of the leaves; None where it is open.
        present: Leaf pairs in each gathering as they are; creep steps reach as far as these.

    Raises:
        DomainError: A pair of `fixed` is not two facing pages.
    """
    note = replica.book
    assert note is not None
    weights = dict(wish.weights)
    partner = {master.id: master.crossover for master in replica.masters.values() if master.crossover}
    crossovers = []
    for first, second in zip(entries[1::2], entries[2::2], strict=False):
        one, two = first.master, second.master
        if one and two and (partner.get(one) == two or partner.get(two) == one):
            crossovers.append(WeightedCrossover(first.page, weights.get(one, weights.get(two, 1.0))))
    for low, high in wish.fixed:
        if not _face(low, high):
            raise DomainError(f"fixed: pages {low} and {high} do not face each other", "fixed")
    folding = Folding(note.press.folding)
    steps: tuple[int, ...] = ()
    creep = find_creep_step(note.creep, caliper)
    if creep is not None:
        most = max(wish.most_sheets * folding.pairs, *present, 1)
        by_pair = round_to_steps(compute_creep(most, creep), note.creep.step_mm)
        steps = tuple(by_pair[pair] for pair in range(1, most + 1))
    return PlanningSpec(
        masters=tuple(entry.master or None for entry in entries),
        fewest_sheets=wish.fewest_sheets,
        most_sheets=wish.most_sheets,
        crossovers=tuple(crossovers),
        folding=folding,
        blanks=BlankRule(wish.blanks),
        most_blanks=wish.most_blanks,
        fixed=tuple(low for low, _ in wish.fixed),
        most_plates=wish.most_plates,
        creep_steps=steps,
        tipped_at=tuple(entry.page for entry in entries if entry.tipped == 1),
    )


@functools.lru_cache(maxsize=16)
def _plan(spec: PlanningSpec) -> GatheringProposal:
    """Return the proposal; the gatherings in use, the problems and the page ask for the same one."""
    return plan_gatherings(spec)


def chosen_gatherings(
    replica: Replica, entries: Sequence[PageEntry], caliper: Measured | None
) -> tuple[int, ...]:
    """Return the leaf pairs in each gathering where `choose:` alone gives them; () where it does not.

    It does so where the book has `choose:` and no `gatherings:`. Blanks behind the last page fill the last sheets,
    as they always do, and may be used at once. Blanks within the sequence are for the maker to write: whatever
    `blanks:` allows, the gatherings in use are the best plan of the sequence as it stands, with blanks at the end
    alone. Where there is none, find_plan_problem says so, and what to write.

    For workings/book.py: call it in book_gatherings where neither gathering_sheets nor sheets_per_gathering is
    given; what it returns counts leaf pairs, as book_gatherings does.

    Args:
        replica: The notes.
        entries: Every page.
        caliper: Of the stock of the leaves; None where it is open.
    """
    note = replica.book
    if note is None or note.choose is None or not _is_chosen(note) or not entries:
        return ()
    try:
        spec = build_spec(replica, entries, replace(note.choose, blanks="end"), caliper)
        return _plan(spec).plan.leaf_pairs_in_gatherings
    except DomainError:
        return ()


def _is_chosen(note: BookNote) -> bool:
    return not note.gathering_sheets and note.sheets_per_gathering is None


def work_proposal(
    replica: Replica,
    entries: Sequence[PageEntry],
    present: tuple[int, ...],
    caliper: Measured | None = None,
) -> ProposalWorking | None:
    """Return the proposal beside the present gatherings; None where nothing is wished, or there are no pages.

    For workings/all.py: `work_proposal(replica, entries, book.page_map.sheets_in_gatherings, caliper)`; where the
    book is None, with work_pages(note) and () in their place. Workings.proposal is a ProposalWorking or None.

    Args:
        replica: The notes.
        entries: Every page.
        present: Leaf pairs in each gathering in use; () for none.
        caliper: Of the stock of the leaves; None where it is open.
    """
    note = replica.book
    if note is None or note.choose is None or not entries:
        return None
    is_chosen = _is_chosen(note)
    try:
        spec = build_spec(replica, entries, note.choose, caliper, present)
        proposal = _plan(spec)
        if present:
            proposal = set_beside(spec, proposal, present)
    except DomainError as error:
        return ProposalWorking(note.choose, None, error.message, len(entries), False, is_chosen)
    plan = proposal.plan
    is_in_use = plan.leaf_pairs_in_gatherings == present and not plan.inner_blanks(len(entries))
    return ProposalWorking(note.choose, proposal, "", len(entries), is_in_use, is_chosen)


def find_plan_problem(
    replica: Replica, entries: Sequence[PageEntry], caliper: Measured | None = None
) -> Problem | None:
    """Return a problem at `choose:` where no plan meets the wishes, or none that can be used as things stand.

    For the pipeline: to be added to the problems of the checks where these hold no B115 yet. It is a warning; with
    `gatherings:` written the book goes on with these.

    Args:
        replica: The notes.
        entries: Every page.
        caliper: Of the stock of the leaves; None where it is open.
    """
    note = replica.book
    if note is None or note.choose is None or not entries:
        return None
    if not all(_face(low, high) for low, high in note.choose.fixed):
        return None  # the checks tell it at the pair (B104)
    try:
        spec = build_spec(replica, entries, note.choose, caliper)
        plan = _plan(spec).plan
    except DomainError as error:
        reason, _, hint = error.message.partition(". ")
        return _problem(note, f"choose: {reason}", hint)
    if not _is_chosen(note) or chosen_gatherings(replica, entries, caliper):
        return None
    inner = plan.inner_blanks(len(entries))
    places = ", ".join(
        f"{one.count} behind page {one.after_page}" if one.after_page else f"{one.count} before page 1"
        for one in inner
    )
    return _problem(
        note,
        "choose: only a plan with blanks within the sequence meets the wishes, and these are not put in by themselves",
        f"write the blanks into the sequence ({places}), or write gatherings:",
    )


def _face(low: int, high: int) -> bool:
    return low % 2 == 0 and high == low + 1


def _problem(note: BookNote, message: str, hint: str) -> Problem:
    return Problem("B115", message, note.origin.key_span("choose"), hint, CODES["B115"].severity)
