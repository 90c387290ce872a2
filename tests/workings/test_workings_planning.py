"""From the wishes in the book's note to a proposal, to gatherings in use, and to problems at `choose:`."""

from __future__ import annotations

import pytest

from doublure.checks import check_replica
from doublure.measured import Measured
from doublure.model.replica import Replica
from doublure.trade.book.planning_records import InsertedBlanks, WeightedCrossover
from doublure.workings.pages import PageEntry, work_pages
from doublure.workings.planning import (
    build_spec,
    chosen_gatherings,
    find_creep_step,
    find_plan_problem,
    work_proposal,
)
from journal_samples import decode_well, note

MASTERS = {
    "masters/one.md": note(),
    "masters/chart-left.md": note(crossover="chart-right"),
    "masters/chart-right.md": note(),
    "masters/haven-left.md": note(),
    "masters/haven-right.md": note(crossover="haven-left"),
}
#: 28 pages; the chart on 8 and 9, the haven on 20 and 21.
SEQUENCE = (
    "sequence: [{master: one, times: 7}, chart-left, chart-right, {master: one, times: 10}, haven-left,"
    " haven-right, {master: one, times: 7}]\n"
)


def read(choose: str, more: str = "", sequence: str = SEQUENCE) -> tuple[Replica, tuple[PageEntry, ...]]:
    """Return a replica with these wishes, and its pages."""
    book = f"title: B\nleaf: 100 x 150 mm\nstock: laid\n{sequence}{more}"
    book += f"choose: {choose}\n" if choose else ""
    replica = decode_well({**MASTERS, "stocks/laid.md": note(), "book.yml": book})
    assert replica.book is not None
    return replica, work_pages(replica.book)


def test_crossovers_and_weights_come_from_the_masters() -> None:
    """Either half may name the other, and either may carry the weight."""
    replica, entries = read("{sheets: 2 to 4, weights: {haven-right: 3}, fixed: [8, 9]}", "gatherings: 4\n")
    assert replica.book is not None
    assert replica.book.choose is not None
    spec = build_spec(replica, entries, replica.book.choose, None)
    assert spec.crossovers == (WeightedCrossover(8), WeightedCrossover(20, 3.0))
    assert spec.fixed == (8,)
    assert (spec.fewest_sheets, spec.most_sheets, spec.creep_steps) == (2, 4, ())


def test_the_proposal_stands_beside_the_present_gatherings() -> None:
    """Both with their figures; the proposal is not in use where other gatherings are written."""
    replica, entries = read("{sheets: 3 to 4, weights: {chart-left: 2}}", "gatherings: [3, 4]\n")
    work = work_proposal(replica, entries, (3, 4))
    assert work is not None
    assert work.proposal is not None
    assert work.proposal.plan.sheets_in_gatherings == (4, 3)
    assert work.proposal.present is not None
    # The present plan has the haven in the middle, and the proposal the chart: in this book, not both.
    assert (work.proposal.plan.centred_weight, work.proposal.present.centred_weight) == (2, 1)
    assert not work.is_in_use
    assert not work.is_chosen


@pytest.mark.parametrize("present", [(3, 4), (4, 3)])
def test_gatherings_that_are_as_good_are_kept(present: tuple[int, ...]) -> None:
    """With equal weights either crossover may lie in the middle: nothing is proposed but what is there."""
    replica, entries = read("{sheets: 3 to 4}", f"gatherings: {list(present)}\n")
    work = work_proposal(replica, entries, present)
    assert work is not None
    assert work.proposal is not None
    assert work.proposal.plan == work.proposal.present
    assert work.is_in_use


@pytest.mark.parametrize("blanks", ["end", "gatherings", "anywhere"])
def test_wishes_alone_give_the_gatherings(blanks: str) -> None:
    """Without `gatherings:`, the best plan with blanks at the end alone is the one in use."""
    replica, entries = read(
        f"{{sheets: 3 to 4, most_blanks: 6, weights: {{haven-left: 2}}, blanks: {blanks}}}"
    )
    pairs = chosen_gatherings(replica, entries, None)
    assert pairs == (3, 4)
    assert find_plan_problem(replica, entries) is None
    work = work_proposal(replica, entries, pairs)
    assert work is not None
    assert work.proposal is not None
    assert work.is_chosen
    inner = work.proposal.plan.inner_blanks(len(entries))
    assert work.is_in_use is (blanks == "end")
    assert bool(inner) is (blanks != "end")


def test_gatherings_that_are_written_are_not_chosen_over() -> None:
    """`gatherings:` has the last word; without wishes there is nothing to choose or propose."""
    for more in ("gatherings: [4, 3]\n", "gatherings: 4\n"):
        assert chosen_gatherings(*read("{sheets: 3 to 4}", more), None) == ()
    plain = read("", "gatherings: 4\n")
    assert chosen_gatherings(*plain, None) == ()
    assert work_proposal(*plain, (4, 3)) is None
    assert find_plan_problem(*plain) is None


def test_blanks_within_the_sequence_are_asked_for_and_not_put_in() -> None:
    """Where no plan does without them, the problem says where to write them."""
    # Halves on the two sides of one leaf: not a crossover as the pages stand, so only the fixed spread counts.
    sequence = "sequence: [{master: one, times: 26}]\n"
    replica, entries = read("{sheets: 3, blanks: gatherings, most_blanks: 10, fixed: [8, 9]}", "", sequence)
    assert chosen_gatherings(replica, entries, None) == ()
    problem = find_plan_problem(replica, entries)
    assert problem is not None
    assert (problem.code, problem.span.text) == ("B115", problem.span.text)
    assert problem.span.text.startswith("choose:")
    work = work_proposal(replica, entries, ())
    assert work is not None
    assert work.proposal is not None
    assert work.proposal.present is None
    assert not work.is_in_use
    inner = work.proposal.plan.inner_blanks(len(entries))
    assert sum(one.count for one in inner if one.after_page < 8) % 12 == 10
    for one in inner:
        assert isinstance(one, InsertedBlanks)
        assert f"{one.count} before page 1" in problem.hint or f"{one.count} behind page" in problem.hint


def test_wishes_that_no_plan_meets_are_said() -> None:
    """In the working for the page, and as a problem at `choose:` with what would do as its hint."""
    replica, entries = read("{sheets: 5, most_blanks: 3}", "gatherings: 4\n")
    work = work_proposal(replica, entries, (4, 3))
    assert work is not None
    assert work.proposal is None
    assert work.fault.startswith("28 pages and at most 3 blanks do not fill gatherings of 5 sheets")
    problem = find_plan_problem(replica, entries)
    assert problem is not None
    assert not problem.is_error
    assert problem.hint.startswith("One of these would do: blanks: 12")


def test_creep_steps_are_those_of_the_plates() -> None:
    """Rounded as plates are; none where the caliper is open, or the step or the rule says no."""
    laid = Measured(0.12, 0.001)
    creep = "gatherings: 4\ncreep: {rule: one caliper, step: 0.2 mm}\n"
    replica, entries = read("{sheets: 2 to 3}", creep)
    assert replica.book is not None
    assert replica.book.choose is not None
    spec = build_spec(replica, entries, replica.book.choose, laid, (4, 3))
    assert spec.creep_steps == (0, 1, 1, 2)
    assert build_spec(replica, entries, replica.book.choose, None).creep_steps == ()
    for rule in ("rounded fold", "none"):
        other, _ = read("", f"gatherings: 4\ncreep: {{rule: {rule}, step: 0.2 mm}}\n")
        assert other.book is not None
        step = find_creep_step(other.book.creep, laid)
        assert (step is None) is (rule == "none")


def test_a_folding_with_several_leaf_pairs_counts_sheets() -> None:
    """Quarto: gatherings in use count leaf pairs, the proposal says sheets."""
    replica, entries = read("{sheets: 1 to 2, most_blanks: 4}", "press: {folding: quarto}\n")
    pairs = chosen_gatherings(replica, entries, None)
    assert all(number % 2 == 0 for number in pairs)
    work = work_proposal(replica, entries, pairs)
    assert work is not None
    assert work.proposal is not None
    assert work.is_in_use
    assert work.proposal.plan.sheets_in_gatherings == tuple(number // 2 for number in pairs)


def test_pairs_that_do_not_face_are_left_to_the_checks() -> None:
    """They are told at the pair; to say it once more of all wishes is no help."""
    replica, entries = read("{sheets: 4, most_blanks: 8, fixed: [4, 6]}", "gatherings: 4\n")
    assert find_plan_problem(replica, entries) is None
    assert [one.code for one in check_replica(replica, (), {}) if "face" in one.message] == ["B104"]
