"""Planning gatherings: so many sheets in each, and blanks, that artwork across the gutter lies in the middles.

In: PlanningSpec, the present gatherings. Out: GatheringProposal. Never: notes, changing a sequence.
First the most weight in the middle of a gathering, where both halves are on one side of one sheet and no register
error exists; then the fewest distinct plates; then the fewest blanks; then the present gatherings, or the most even.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from doublure.errors import DomainError
from doublure.trade.book.limits import check_gatherings
from doublure.trade.book.planning_graph import Weights, build_network, weigh_plans
from doublure.trade.book.planning_plates import PlateBook
from doublure.trade.book.planning_records import (
    GatheringPlan,
    GatheringProposal,
    InsertedBlanks,
    Meeting,
    PlannedCrossover,
    PlanningSpec,
)
from doublure.trade.book.planning_search import MOST_EXAMINED, SearchResult, search_network
from doublure.trade.book.planning_steps import BookPath
from doublure.trade.book.planning_wishes import check_spec, explain_no_plan


def plan_gatherings(
    spec: PlanningSpec, present: Sequence[int] | None = None, most_examined: int = MOST_EXAMINED
) -> GatheringProposal:
    """Return the best plan of the gatherings.

    Args:
        spec: What is asked.
        present: Leaf pairs in each gathering as they are now, to be set beside it; None for none.
        most_examined: Beginnings of plans to look at before the search gives up proving; the result then says
            that it is not proven, and how few plates there might be.

    Raises:
        DomainError: A wish is wrong in itself, or no plan meets them all; the message says what would do.

    Source:
        That only the middle opening of a gathering is printed on one side of one sheet follows from the folding;
        methods in docs/handbook/methods/planning.md.

    Examples:
        >>> from doublure.trade.book.planning_records import WeightedCrossover
        >>> pages = tuple(f"page-{number}" for number in range(1, 29))
        >>> proposal = plan_gatherings(PlanningSpec(pages, 1, 4, (WeightedCrossover(20),)))
        >>> proposal.plan.sheets_in_gatherings, proposal.plan.centred_weight, proposal.is_optimal
        ((3, 4), 1.0, True)
    """
    check_spec(spec)
    path = BookPath(spec)
    weights = weigh_plans(spec, path)
    if not weights.is_feasible:
        raise DomainError(explain_no_plan(spec), "choose")
    result = _search(spec, path, weights, most_examined)
    assert result.gatherings is not None
    pairs = tuple(one.pairs for one in result.gatherings)
    filling = [page for one in result.gatherings for page in one.filling]
    proposal = GatheringProposal(
        plan=_describe(spec, path, pairs, filling),
        is_optimal=result.is_proven,
        most_weight=float(result.most_weight * weights.unit),
        fewest_plates=result.fewest_plates,
        examined=result.examined,
    )
    return proposal if present is None else set_beside(spec, proposal, present)


def set_beside(spec: PlanningSpec, proposal: GatheringProposal, present: Sequence[int]) -> GatheringProposal:
    """Return a proposal with the present plan beside it; where that is as good, it is what is proposed.

    Args:
        spec: What was asked.
        proposal: Of plan_gatherings.
        present: Leaf pairs in each gathering as they are now.

    Raises:
        DomainError: As assess_plan.
    """
    now = assess_plan(spec, present)
    # Nobody is to change what is as good as it can be.
    plan = now if _is_as_good(spec, now, proposal.plan) else proposal.plan
    return replace(proposal, plan=plan, present=now)


def _is_as_good(spec: PlanningSpec, present: GatheringPlan, plan: GatheringPlan) -> bool:
    """True where the present plan meets every wish and is no worse than the one found."""
    ours, theirs = ((-one.centred_weight, one.plates, one.blanks) for one in (present, plan))
    sheets = present.sheets_in_gatherings
    middles = {
        4 * sum(present.leaf_pairs_in_gatherings[:number]) + 2 * pairs
        for number, pairs in enumerate(present.leaf_pairs_in_gatherings)
    }
    return (
        ours <= theirs
        and spec.fewest_sheets <= min(sheets)
        and max(sheets) <= spec.most_sheets
        and present.blanks <= spec.most_blanks
        and (spec.most_plates is None or present.plates <= spec.most_plates)
        and all(one.meeting is not Meeting.NOT_FACING for one in present.crossovers)
        and all(page - 2 * sum(first < page for first in spec.tipped_at) in middles for page in spec.fixed)
    )


def _search(spec: PlanningSpec, path: BookPath, weights: Weights, most_examined: int) -> SearchResult:
    """Search the plans with the most weight; where they all take too many plates, those with less weight too."""
    network = build_network(spec, path, weights, weights.most)
    result = search_network(network, weights, None, most_examined)
    fewest_blanks = min(place[1] for place in network.ends)
    if not network.is_complete:
        result = _without_some(spec, result, fewest_blanks)
    if spec.most_plates is None or result.plates <= spec.most_plates:
        return result
    heavy = result
    network = build_network(spec, path, weights, 0)
    result = search_network(network, weights, spec.most_plates, most_examined)
    if result.gatherings is None:
        # A search that dropped nothing has looked at every plan.
        proven = network.is_complete and result.is_proven
        found = "no plan comes out" if proven else "no plan was found that comes out"
        raise DomainError(
            f"plates: {found} with {spec.most_plates} different plates; the plan with the most artwork in the"
            f" middles takes {heavy.plates}. Write plates: {heavy.plates}, or allow other numbers of sheets",
            "choose",
        )
    return result if network.is_complete else _without_some(spec, result, fewest_blanks, weights.most)


def _without_some(
    spec: PlanningSpec, result: SearchResult, fewest_blanks: int, most_weight: int | None = None
) -> SearchResult:
    """Return a result as it stands where some plans were left out: with a bound that holds for these, too."""
    cells = 2 * spec.folding.pairs
    tipped = {page for first in spec.tipped_at for page in (first, first + 1)}
    distinct = {m for page, m in enumerate(spec.masters, 1) if m is not None and page not in tipped}
    # Every master must be on some plate, and a plate has so many cells.
    fewest = -(-len(distinct) // cells)
    most = result.weight if most_weight is None else most_weight
    return SearchResult(
        gatherings=result.gatherings,
        weight=result.weight,
        plates=result.plates,
        blanks=result.blanks,
        most_weight=most,
        fewest_plates=fewest,
        is_proven=(result.weight, result.plates, result.blanks) == (most, fewest, fewest_blanks),
        examined=result.examined,
    )


def assess_plan(spec: PlanningSpec, leaf_pairs_in_gatherings: Sequence[int]) -> GatheringPlan:
    """Return the figures of given gatherings, blanks filling the last of them, whatever the limits asked.

    Args:
        spec: The book; of the wishes only the crossovers and their weights count.
        leaf_pairs_in_gatherings: Leaf pairs in each gathering.

    Raises:
        DomainError: The pages do not fit, the leaf pairs do not make whole sheets, or creep steps are missing.
    """
    check_spec(spec)
    path = BookPath(spec)
    pairs = check_gatherings(leaf_pairs_in_gatherings)
    if any(number % spec.folding.pairs for number in pairs):
        raise DomainError(
            f"gatherings: a sheet of this folding has {spec.folding.pairs} leaf pairs, so each gathering must have"
            " a multiple of that",
            "leaf_pairs_in_gatherings",
        )
    if spec.creep_steps and max(pairs) > len(spec.creep_steps):
        raise DomainError(f"creep: no step is given for leaf pair {max(pairs)}", "creep_steps")
    over = path.folded - 4 * sum(pairs)
    if over > 0:
        raise DomainError(f"gatherings: {over} pages do not fit into them", "leaf_pairs_in_gatherings")
    filling = [token for token in path.tokens if token > 0] + [~len(path.tokens)] * -over
    return _describe(spec, path, pairs, filling)


def _describe(
    spec: PlanningSpec, path: BookPath, pairs: tuple[int, ...], filling: Sequence[int]
) -> GatheringPlan:
    """Return a plan with its figures."""
    book = PlateBook(spec)
    plates: set[int] = set()
    stacks: set[int] = set()
    begins: list[int] = []
    at = 0
    for number in pairs:
        middle, end = at + 2 * number, at + 4 * number
        sheets = book.fill(tuple(filling[at:middle]), tuple(filling[middle:end]))
        plates.update(sheets.plates)
        stacks.update(sheets.stacks)
        begins.append(at)
        at = end
    position = {page: index for index, page in enumerate(filling) if page > 0}
    counts: dict[int, int] = {}
    for blank in filling:
        if blank < 0:
            after = path.page_before(blank)
            counts[after] = counts.get(after, 0) + 1
    inserted = tuple(InsertedBlanks(after, counts[after]) for after in sorted(counts))

    def shift(page: int) -> int:
        return sum(one.count for one in inserted if one.after_page < page)

    crossovers = []
    for one in sorted(spec.crossovers, key=lambda crossover: crossover.page):
        first = position.get(one.page, position.get(one.page + 1))
        gathering = None if one.page not in position else _gathering_of(position[one.page], begins)
        if first is None or one.page not in position or one.page + 1 not in position:
            meeting = Meeting.TIPPED
        else:
            meeting = _meeting(spec, position[one.page], pairs, begins)
        crossovers.append(
            PlannedCrossover(
                page=one.page,
                weight=one.weight,
                meeting=meeting,
                gathering=None if gathering is None else gathering + 1,
                planned_page=one.page + shift(one.page),
                is_fixed=one.page in spec.fixed,
            )
        )

    def weigh(*meetings: Meeting) -> float:
        return float(sum(Fraction(repr(float(c.weight))) for c in crossovers if c.meeting in meetings))

    return GatheringPlan(
        sheets_in_gatherings=tuple(number // spec.folding.pairs for number in pairs),
        leaf_pairs_in_gatherings=pairs,
        inserted=inserted,
        crossovers=tuple(crossovers),
        centred_weight=weigh(Meeting.CENTRE),
        one_side_weight=weigh(Meeting.ONE_SIDE),
        total_weight=weigh(*Meeting),
        plates=len(plates),
        stacks=len(stacks),
        turned_pages=sum(shift(page) % 2 for page in range(1, len(spec.masters) + 1)),
        pages_in_gatherings=tuple(
            tuple(max(page, 0) for page in filling[begin : begin + 4 * number])
            for begin, number in zip(begins, pairs, strict=True)
        ),
    )


def _gathering_of(position: int, begins: Sequence[int]) -> int:
    return max(number for number, begin in enumerate(begins) if begin <= position)


def _meeting(spec: PlanningSpec, first: int, pairs: tuple[int, ...], begins: Sequence[int]) -> Meeting:
    """Return where two pages that follow each other on folded leaves are printed; first counts from 0."""
    if first % 2 == 0:
        return Meeting.NOT_FACING
    gathering = _gathering_of(first, begins)
    leaves = 2 * pairs[gathering]
    leaf = (first - begins[gathering]) // 2 + 1
    if leaf == leaves:
        return Meeting.TWO_GATHERINGS
    if leaf == leaves // 2:
        return Meeting.CENTRE
    sheets = {(min(number, leaves + 1 - number) - 1) // spec.folding.pairs for number in (leaf, leaf + 1)}
    # Two leaves that follow each other and come of one sheet were folded face to face, so from one side of it.
    return Meeting.ONE_SIDE if len(sheets) == 1 else Meeting.TWO_SHEETS
