"""The worked examples on planning gatherings, recomputed: the package gives every figure printed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Side
from doublure.trade.book.planning import assess_plan, plan_gatherings
from doublure.trade.book.planning_records import BlankRule, Meeting, PlanningSpec, WeightedCrossover
from doublure.trade.book.planning_search import _KEPT, MOST_EXAMINED
from doublure.trade.press.folding import fold_sheets
from doublure.trade.press.records import Folding
from handbook_pages import expect, row

PAGE = "planning"


def unlike(pages: int) -> tuple[str, ...]:
    """Return a book of which no two pages are alike."""
    return tuple(f"page-{number}" for number in range(1, pages + 1))


def meetings(sheets: int) -> dict[int, Meeting]:
    """Return where the halves of every spread of nested quarto sheets are printed."""
    spreads = tuple(WeightedCrossover(page) for page in range(2, 8 * sheets, 2))
    spec = PlanningSpec(unlike(8 * sheets), sheets, sheets, spreads, Folding.QUARTO)
    return {one.page: one.meeting for one in assess_plan(spec, (2 * sheets,)).crossovers}


def test_spreads_of_a_quarto() -> None:
    """One sheet, and two in each other."""
    sides = {
        forme.side: sorted(cell.position for cell in forme.cells)
        for forme in fold_sheets((1,), Folding.QUARTO)
    }
    assert sides == {Side.FRONT: [1, 4, 5, 8], Side.BACK: [2, 3, 6, 7]}
    assert meetings(1) == {2: Meeting.ONE_SIDE, 4: Meeting.CENTRE, 6: Meeting.ONE_SIDE}
    two = meetings(2)
    assert two[8] is Meeting.CENTRE
    assert [page for page, meeting in two.items() if meeting is Meeting.TWO_SHEETS] == [4, 12]
    expect(PAGE, "wishes", "pages 1, 4, 5 and 8 are on its front, 2, 3, 6 and 7 on its back")
    expect(PAGE, "wishes", "the middle is 8–9; the spreads 4–5 and 12–13 are on two sheets")


def test_weight_of_a_draft() -> None:
    """52 pages with three crossovers, without blanks and with four."""
    wishes = (WeightedCrossover(8, 2.0), WeightedCrossover(22, 3.0), WeightedCrossover(30, 1.0))
    spec = PlanningSpec(unlike(52), 3, 4, wishes)
    proposal = plan_gatherings(spec, present=(4, 4, 4, 1))
    assert proposal.present is not None
    assert (proposal.present.centred_weight, [one.page for one in proposal.present.centred]) == (2, [8])
    assert proposal.plan.sheets_in_gatherings == (4, 3, 3, 3)
    assert ([one.page for one in proposal.plan.centred], proposal.plan.total_weight) == ([8, 22], 6)
    blanks = plan_gatherings(replace(spec, blanks=BlankRule.GATHERINGS, most_blanks=4)).plan
    assert (blanks.sheets_in_gatherings, blanks.centred_weight, blanks.blanks) == ((4, 3, 3, 4), 6, 4)
    for words in ("The best plan is 4, 3, 3, 3", "5 of 6", "the plan 4, 3, 3, 4 has all three, 6 of 6"):
        expect(PAGE, "weight", words)


def test_plates_of_repeats() -> None:
    """Six masters in turn: the table, the bound, and that it is proven."""
    spec = PlanningSpec(("a", "b", "c", "d", "e", "f") * 8, 2, 4)
    for sheets in ((4,) * 3, (2,) * 6, (3,) * 4):
        plan = assess_plan(spec, sheets)
        name = ", ".join(map(str, sheets))
        expect(PAGE, "fewest-plates", row(name, str(plan.plates), str(plan.stacks)))
    proposal = plan_gatherings(spec)
    assert proposal.plan.sheets_in_gatherings == (3,) * 4
    assert (proposal.fewest_plates, proposal.is_optimal) == (3, True)
    expect(PAGE, "fewest-plates", f"{_KEPT[0]} at first, then {_KEPT[1]}, {_KEPT[2]} and {_KEPT[3]:,}")
    expect(PAGE, "fewest-plates", f"when {MOST_EXAMINED:,} beginnings were looked at")


def test_wishes_that_no_plan_meets() -> None:
    """What the problem advises is what the page says, and it does."""
    spec = PlanningSpec(unlike(34), 4, 4)
    with pytest.raises(DomainError, match="blanks: 14; or gatherings of 3 to 4 sheets"):
        plan_gatherings(spec)
    assert plan_gatherings(replace(spec, most_blanks=14)).plan.blanks == 14
    assert plan_gatherings(replace(spec, fewest_sheets=3)).plan.blanks == 2
    expect(PAGE, "no-plan", "three want 14 blanks")
    expect(PAGE, "no-plan", "gatherings of 3 to 4 sheets, which take 2 blanks")
