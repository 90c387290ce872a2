"""Planning gatherings: the solver against every plan of small books, its figures against page map and plates."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.book import planning_graph
from doublure.trade.book.planning import assess_plan, plan_gatherings
from doublure.trade.book.planning_records import (
    BlankRule,
    GatheringPlan,
    InsertedBlanks,
    Meeting,
    PlanningSpec,
    WeightedCrossover,
)
from doublure.trade.book.planning_wishes import MOST_BLANKS, has_plan
from doublure.trade.press.records import Folding
from gathering_plans import Judged, best_plan

_WIDEST = {BlankRule.END: 6, BlankRule.GATHERINGS: 4, BlankRule.ANYWHERE: 3}


def unlike(pages: int) -> tuple[str, ...]:
    """Return a book of which no two pages carry the same master."""
    return tuple(f"page-{number}" for number in range(1, pages + 1))


def draw_spec(seed: int) -> PlanningSpec:
    """Return a small book with wishes, some of which cannot be met."""
    r = random.Random(seed)
    folding = r.choice([Folding.FOLIO] * 4 + [Folding.QUARTO, Folding.OCTAVO])
    pages = r.randint(4, 26 if folding is Folding.FOLIO else 32)
    rule = r.choice(list(BlankRule))
    widest = 16 if rule is BlankRule.END and folding is not Folding.FOLIO else _WIDEST[rule]
    fewest = r.randint(1, 2)
    most = fewest + r.randint(0, 3)
    names = [None, *(f"master-{number}" for number in range(r.randint(1, 12)))]
    tipped = r.sample(range(1, pages, 2), min(r.choice([0, 0, 0, 1, 2]), pages // 2 - 1))
    crossovers: list[WeightedCrossover] = []
    for _ in range(r.randint(0, 5)):
        # One in ten begins on a recto, so that only a blank before it makes its halves face each other.
        page = r.randint(1, pages - 1) if r.random() < 0.1 else r.randrange(2, max(3, pages), 2)
        taken = {one.page for one in crossovers}
        if page < pages and page not in tipped and not {page - 1, page, page + 1} & taken:
            crossovers.append(WeightedCrossover(page, r.choice([1, 1, 1, 2, 0.5, 0.1, 0])))
    return PlanningSpec(
        masters=tuple(r.choice(names) for _ in range(pages)),
        fewest_sheets=fewest,
        most_sheets=most,
        crossovers=tuple(crossovers),
        folding=folding,
        blanks=rule,
        most_blanks=r.randint(0, widest),
        fixed=tuple(one.page for one in crossovers[:1] if r.random() < 0.25),
        most_plates=r.choice([None, None, None, None, r.randint(1, 10)]),
        creep_steps=tuple(range(most * folding.pairs)) if r.random() < 0.3 else (),
        tipped_at=tuple(sorted(tipped)),
    )


@cache
def best_of(seed: int) -> Judged | None:
    """Return the best of all plans of a small book, listed once for all tests."""
    return best_plan(draw_spec(seed))


def judged(plan: GatheringPlan) -> Judged:
    """Return the figures of a plan as the list of all plans has them."""
    pairs = plan.leaf_pairs_in_gatherings
    weight = -Fraction(repr(plan.centred_weight))
    return Judged(weight, plan.plates, plan.blanks, max(pairs) - min(pairs))


@pytest.mark.parametrize("batch", range(20))
def test_no_plan_of_a_small_book_is_better(batch: int) -> None:
    """Of 300 small books with wishes: as good as the best of all plans, or refused where there is none."""
    for seed in range(batch * 15, batch * 15 + 15):
        spec = draw_spec(seed)
        best = best_of(seed)
        if best is None:
            with pytest.raises(DomainError):
                plan_gatherings(spec)
            continue
        proposal = plan_gatherings(spec)
        assert judged(proposal.plan) == best, seed
        assert proposal.is_optimal, seed
        assert (proposal.most_weight, proposal.fewest_plates) == (
            proposal.plan.centred_weight,
            proposal.plan.plates,
        )


def test_the_small_books_are_of_every_kind() -> None:
    """The comparison above would be worth little if all its books were alike."""
    solved = [draw_spec(seed) for seed in range(300) if best_of(seed) is not None]
    assert 100 < len(solved) < 250
    assert {spec.folding for spec in solved} == set(Folding)
    assert {spec.blanks for spec in solved} == set(BlankRule)
    assert any(spec.fixed for spec in solved)
    assert any(spec.tipped_at for spec in solved)
    assert any(spec.most_plates is not None for spec in solved)
    assert any(one.page % 2 for spec in solved for one in spec.crossovers)


def written_out(spec: PlanningSpec, plan: GatheringPlan) -> PlanningSpec:
    """Return the book with the plan's blanks written into its sequence."""
    number, pages = {}, []
    at = {one.after_page: one.count for one in plan.inserted}
    for page in range(len(spec.masters) + 1):
        if page:
            pages.append(spec.masters[page - 1])
            number[page] = len(pages)
        pages += [None] * at.get(page, 0)
    return replace(
        spec,
        masters=tuple(pages),
        crossovers=tuple(WeightedCrossover(number[one.page], one.weight) for one in spec.crossovers),
        fixed=tuple(number[page] for page in spec.fixed),
        tipped_at=tuple(number[page] for page in spec.tipped_at),
    )


@settings(deadline=None, max_examples=60)
@given(st.integers(1000, 10**6))
def test_taken_at_its_word_a_proposal_gives_its_own_figures(seed: int) -> None:
    """With the blanks written into the sequence, the proposed gatherings have the figures that were promised."""
    spec = draw_spec(seed)
    try:
        plan = plan_gatherings(spec).plan
    except DomainError:
        return
    taken = assess_plan(written_out(spec, plan), plan.leaf_pairs_in_gatherings)
    assert taken.inserted == ()
    figures = (
        "sheets_in_gatherings",
        "centred_weight",
        "one_side_weight",
        "total_weight",
        "plates",
        "stacks",
    )
    assert [getattr(taken, name) for name in figures] == [getattr(plan, name) for name in figures]
    assert [one.page for one in taken.crossovers] == [one.planned_page for one in plan.crossovers]
    assert [one.meeting for one in taken.crossovers] == [one.meeting for one in plan.crossovers]
    assert {one.page for one in plan.centred} >= {one.page for one in plan.crossovers if one.is_fixed}


@settings(deadline=None, max_examples=60)
@given(st.integers(1000, 10**6))
def test_more_freedom_never_makes_a_plan_worse(seed: int) -> None:
    """Wider limits, or blanks in more places, give a plan that is no worse."""
    spec = replace(draw_spec(seed), creep_steps=())
    try:
        plan = judged(plan_gatherings(spec).plan)
    except DomainError:
        return
    freer = [
        replace(spec, most_sheets=spec.most_sheets + 1),
        replace(spec, most_blanks=spec.most_blanks + 1),
        replace(spec, fixed=()),
        replace(spec, most_plates=None),
    ]
    if spec.most_blanks <= MOST_BLANKS[BlankRule.ANYWHERE]:
        freer.append(replace(spec, blanks=BlankRule.ANYWHERE))
    for wider in freer:
        assert judged(plan_gatherings(wider).plan) <= plan


@settings(deadline=None, max_examples=40)
@given(st.integers(1000, 10**6), st.integers(1, 40))
def test_a_search_cut_short_claims_no_more_than_is_true(seed: int, limit: int) -> None:
    """However early the search gives up: its bounds hold, and what it calls proven is the best plan."""
    spec = replace(draw_spec(seed), most_plates=None)
    try:
        short = plan_gatherings(spec, most_examined=limit)
    except DomainError:
        return
    full = plan_gatherings(spec)
    assert full.is_optimal
    assert short.plan.centred_weight == full.plan.centred_weight == short.most_weight
    assert short.fewest_plates <= full.plan.plates <= short.plan.plates
    if short.is_optimal:
        figures = ("plates", "blanks")
        assert [getattr(short.plan, f) for f in figures] == [getattr(full.plan, f) for f in figures]


def test_which_spreads_lie_on_one_side_of_a_sheet() -> None:
    """In one octavo sheet every opening lies on one side of the sheet, but only the middle one across the spine."""
    wishes = tuple(WeightedCrossover(page) for page in range(2, 31, 2))
    spec = PlanningSpec(unlike(32), 1, 2, wishes, Folding.OCTAVO)
    alone = {one.page: one.meeting for one in assess_plan(spec, (4, 4)).crossovers}
    assert alone[8] is alone[24] is Meeting.CENTRE
    assert alone[16] is Meeting.TWO_GATHERINGS
    assert all(meeting is Meeting.ONE_SIDE for page, meeting in alone.items() if page not in (8, 16, 24))
    # Two octavo sheets one in the other: pages 1–8 and 25–32 on the outer one.
    nested = {one.page: one.meeting for one in assess_plan(spec, (8,)).crossovers}
    assert nested[16] is Meeting.CENTRE
    assert nested[8] is nested[24] is Meeting.TWO_SHEETS
    assert all(meeting is Meeting.ONE_SIDE for page, meeting in nested.items() if page not in (8, 16, 24))
    folios = {
        one.page: one.meeting for one in assess_plan(replace(spec, folding=Folding.FOLIO), (8,)).crossovers
    }
    assert [page for page, meeting in folios.items() if meeting is not Meeting.TWO_SHEETS] == [16]


def test_a_blank_too_many_before_a_crossover_is_made_up() -> None:
    """One blank before a crossover would make its halves back to back: an even number goes in, or none."""
    spec = PlanningSpec(unlike(18), 2, 3, (WeightedCrossover(10),), blanks=BlankRule.ANYWHERE, most_blanks=2)
    plan = plan_gatherings(spec).plan
    before = sum(one.count for one in plan.inserted if one.after_page < 10)
    assert plan.blanks == 2
    assert before % 2 == 0
    # 20 pages in gatherings of 2 and 3 sheets have their middles at 4, 14 or 6, 16; none is reached.
    assert {one.page for one in plan.crossovers if one.is_centred} == set()
    wider = plan_gatherings(replace(spec, most_blanks=6)).plan
    assert wider.centred_weight == 1


def test_a_recto_is_made_a_verso_where_a_crossover_needs_it() -> None:
    """Halves on pages 5 and 6, the two sides of one leaf, face each other behind one blank."""
    spec = PlanningSpec(unlike(11), 1, 3, (WeightedCrossover(5),), blanks=BlankRule.GATHERINGS, most_blanks=1)
    plan = plan_gatherings(spec).plan
    assert plan.inserted == (InsertedBlanks(0, 1),)
    assert plan.crossovers[0].planned_page == 6
    assert plan.crossovers[0].is_centred
    assert plan.turned_pages == 11
    as_it_is = assess_plan(spec, (3,)).crossovers[0]
    assert as_it_is.meeting is Meeting.NOT_FACING
    with pytest.raises(DomainError, match="two sides of one leaf.*blanks put in between gatherings"):
        plan_gatherings(replace(spec, blanks=BlankRule.END))


def test_a_fixed_spread_outweighs_every_crossover() -> None:
    """A spread without a crossover may be fixed; what it costs is seen in the weight."""
    wishes = (WeightedCrossover(8, 5.0), WeightedCrossover(24, 5.0))
    spec = PlanningSpec(unlike(32), 2, 4, wishes)
    assert plan_gatherings(spec).plan.centred_weight == 10
    fixed = plan_gatherings(replace(spec, fixed=(20,))).plan
    assert fixed.centred_weight == 5
    assert 20 in fold_middles(fixed.leaf_pairs_in_gatherings)


def fold_middles(pairs: tuple[int, ...]) -> list[int]:
    """Return the last page before the middle of each gathering."""
    return [4 * sum(pairs[:number]) + 2 * pairs[number] for number in range(len(pairs))]


@pytest.mark.parametrize(
    ("spec", "words"),
    [
        (PlanningSpec(unlike(34), 4, 4), "34 pages and at most 3 blanks do not fill gatherings of 4 sheets.*blanks: 14"),
        (PlanningSpec(unlike(16), 2, 2, fixed=(8,)), "the spread 8–9 cannot lie .* fixed: without 8–9.*of 1 to 2 sheets"),
        (
            PlanningSpec(unlike(24), 2, 3, fixed=(4, 6)),
            "the spreads 4–5, 6–7 cannot all lie in the middle.*without 4–5.*without 6–7",
        ),
        (PlanningSpec(unlike(16), 3, 2), "wrong way round"),
        (PlanningSpec(unlike(16), 1, 2, most_blanks=-1), "blanks"),
        (PlanningSpec(unlike(16), 1, 2, blanks=BlankRule.ANYWHERE, most_blanks=13), "13 is too many"),
        (PlanningSpec(unlike(16), 1, 2, (WeightedCrossover(16),)), "no spread 16–17"),
        (PlanningSpec(unlike(16), 1, 2, (WeightedCrossover(4), WeightedCrossover(5))), "page 5 cannot face both"),
        (PlanningSpec(unlike(16), 1, 2, (WeightedCrossover(4), WeightedCrossover(4))), "listed twice"),
        (PlanningSpec(unlike(16), 1, 2, (WeightedCrossover(4, float("nan")),)), "weight of the crossover"),
        (PlanningSpec(unlike(16), 1, 2, fixed=(6,), tipped_at=(7,)), "on a leaf tipped in"),
        (PlanningSpec(unlike(16), 1, 2, (WeightedCrossover(7),), tipped_at=(7,)), "two sides of one leaf tipped in"),
        (PlanningSpec(unlike(2), 1, 2, tipped_at=(1,)), "every leaf is tipped in"),
        (PlanningSpec(unlike(16), 1, 2, creep_steps=(0,)), "steps are given for 1 leaf pairs"),
        (PlanningSpec(unlike(32), 4, 4, most_plates=15), "no plan comes out with 15 different plates.*plates: 16"),
    ],
)  # fmt: skip
def test_wishes_that_cannot_be_met_are_named(spec: PlanningSpec, words: str) -> None:
    """The maker reads which wish it is and what would do."""
    with pytest.raises(DomainError, match=words):
        plan_gatherings(spec)


def test_what_is_advised_does() -> None:
    """Each number that an error advises makes the wishes come true."""
    spec = PlanningSpec(unlike(34), 4, 4, (WeightedCrossover(8),))
    with pytest.raises(DomainError, match="blanks: 14; or gatherings of 3 to 4 sheets"):
        plan_gatherings(spec)
    assert plan_gatherings(replace(spec, most_blanks=14)).plan.blanks == 14
    assert plan_gatherings(replace(spec, fewest_sheets=3)).plan.blanks == 2


def test_less_weight_is_taken_where_plates_are_limited() -> None:
    """A limit of plates is a limit: the heaviest plan within it is proposed, and the heaviest of all is said."""
    masters = ("ruled", "grid") * 18
    wishes = (WeightedCrossover(6), WeightedCrossover(20))
    spec = PlanningSpec(masters, 2, 4, wishes, creep_steps=(0, 1, 2, 3))
    free = plan_gatherings(spec)
    limited = plan_gatherings(replace(spec, most_plates=3))
    assert free.plan.centred_weight == 2
    assert (free.plan.sheets_in_gatherings, free.plan.plates) == ((3, 4, 2), 4)
    assert limited.plan.plates <= 3
    assert limited.plan.centred_weight == limited.most_weight == 1
    assert limited.is_optimal


def test_a_book_of_repeats_is_proven_at_once() -> None:
    """208 pages, thirteen times the same sixteen: every gathering alike, eight plates, proven."""
    masters = tuple(f"page-{number % 16}" for number in range(208))
    proposal = plan_gatherings(PlanningSpec(masters, 1, 8))
    assert proposal.plan.sheets_in_gatherings == (4,) * 13
    assert (proposal.plan.plates, proposal.plan.stacks) == (8, 4)
    assert proposal.is_optimal


def test_a_hard_book_says_what_is_not_proven() -> None:
    """Repeats at random and wide limits: the weight is proven all the same, the plates only down to a bound."""
    r = random.Random(7)
    masters = tuple(f"master-{r.randrange(12)}" for _ in range(400))
    wishes = tuple(WeightedCrossover(page) for page in (60, 190, 300))
    proposal = plan_gatherings(PlanningSpec(masters, 1, 8, wishes), most_examined=3000)
    assert proposal.plan.centred_weight == proposal.most_weight == 3
    assert not proposal.is_optimal
    assert 0 < proposal.fewest_plates < proposal.plan.plates
    again = plan_gatherings(PlanningSpec(masters, 1, 8, wishes), most_examined=3000)
    assert again == proposal


def test_the_present_plan_is_set_beside_the_proposal() -> None:
    """Its figures are those of the page map and the plates, its differences say what is gained."""
    wishes = (WeightedCrossover(8), WeightedCrossover(22, 2.0))
    proposal = plan_gatherings(PlanningSpec(unlike(32), 1, 5, wishes), present=(4, 4))
    change = proposal.compare()
    assert proposal.present is not None
    assert change is not None
    assert [one.meeting for one in proposal.present.crossovers] == [Meeting.CENTRE, Meeting.TWO_SHEETS]
    assert (proposal.present.centred_weight, proposal.plan.centred_weight) == (1, 3)
    assert (change.centred_weight, change.newly_centred, change.no_longer_centred) == (2, (22,), ())
    assert change.plates == change.blanks == 0
    assert plan_gatherings(PlanningSpec(unlike(32), 1, 5, wishes)).compare() is None


@pytest.mark.parametrize("most", [0, 30])
def test_blanks_left_untried_are_owned_up_to(monkeypatch: pytest.MonkeyPatch, most: int) -> None:
    """Where there are too many ways to lay blanks, the weight is proven all the same, and no more is claimed."""
    specs = [
        replace(draw_spec(seed), blanks=BlankRule.ANYWHERE, most_plates=None, fixed=())
        for seed in range(400, 440)
    ]
    whole = {}
    for spec in specs:
        if spec.most_blanks <= 3 and has_plan(spec):
            whole[spec] = plan_gatherings(spec)
    monkeypatch.setattr(planning_graph, "MOST_FILLINGS", most)
    weaker = 0
    for spec, full in whole.items():
        part = plan_gatherings(spec)
        assert full.is_optimal
        assert part.plan.centred_weight == part.most_weight == full.plan.centred_weight
        assert part.fewest_plates <= full.plan.plates <= part.plan.plates
        assert (part.plan.plates, part.plan.blanks) >= (full.plan.plates, full.plan.blanks)
        if part.is_optimal:
            assert (part.plan.plates, part.plan.blanks) == (full.plan.plates, full.plan.blanks)
        weaker += not part.is_optimal
    assert weaker
