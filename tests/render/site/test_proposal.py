"""The proposal on the page of the gatherings: figures, signs, what to write, how sure it is."""

from __future__ import annotations

import dataclasses
import html
import re

import pytest

from doublure.model.replica import Replica
from doublure.render.plan import SitePage
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.proposal import (
    add_proposal,
    proposal_crossover_table,
    proposal_table,
    snippet,
)
from doublure.render.table import Cell, render_table_json
from doublure.workings.all import Workings, work_up
from doublure.workings.pages import work_pages
from doublure.workings.planning import ProposalWorking, work_proposal
from doublure.workings.reference import Reference
from journal_samples import decode_well, note

MASTERS = {
    "masters/soundings.md": note(title="Soundings"),
    "masters/haven-left.md": note(title="Plan of the haven", crossover="haven-right"),
    "masters/haven-right.md": note(title="Plan of the haven, right"),
    "masters/shore-left.md": note(title="The shore", crossover="shore-right"),
    "masters/shore-right.md": note(title="The shore, right"),
}
#: 28 pages; the haven on 8 and 9, the shore on 20 and 21.
BOOK = (
    "title: Low water\nleaf: 100 x 150 mm\nstock: laid\n"
    "sequence: [{master: soundings, times: 7}, haven-left, haven-right, {master: soundings, times: 10},"
    " shore-left, shore-right, {master: soundings, times: 7}]\n"
)


def work(more: str) -> Workings:
    """Return workings of the book with these further lines in its note."""
    return work_up(
        decode_well({**MASTERS, "stocks/laid.md": note(), "book.yml": BOOK + more}), {}, Reference()
    )


def planned(more: str, present: tuple[int, ...] | None = None) -> tuple[SiteContext, ProposalWorking]:
    """Return a context that holds the proposal for these lines."""
    found = work(more)
    replica: Replica = found.replica
    assert replica.book is not None
    if present is None:
        present = found.book.page_map.sheets_in_gatherings if found.book is not None else ()
    proposal = work_proposal(replica, work_pages(replica.book), present)
    assert proposal is not None
    return SiteContext(dataclasses.replace(found, proposal=proposal)), proposal


def section(ctx: SiteContext) -> str:
    """Return the text of the section."""
    frame = PageFrame("book/gatherings.md", "Gatherings", kind="gatherings")
    add_proposal(ctx, frame)
    page: SitePage = frame.finish()
    return page.text


def code(text: str) -> list[str]:
    """Return what stands as code, unescaped."""
    return [html.unescape(found) for found in re.findall("<code>(.*?)</code>", text)]


def plain(text: str) -> str:
    """Return what a reader sees of HTML."""
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<svg.*?</svg>|<[^>]+>", " ", text, flags=re.DOTALL)))


def test_nothing_is_said_where_nothing_is_wished() -> None:
    """No section, no table."""
    found = work("gatherings: 4\n")
    text = section(SiteContext(dataclasses.replace(found, proposal=None)))
    assert "proposal" not in text.lower()


def test_a_better_plan_stands_beside_the_present_one() -> None:
    """Both are drawn and counted; the line to write is the plan; the proof is said."""
    ctx, proposal = planned("gatherings: [3, 4]\nchoose: {sheets: 3 to 4, weights: {haven-left: 2.5}}\n")
    text = section(ctx)
    assert "{#proposal}" in text
    assert text.count("<svg") == 3
    said = plain(text)
    assert "with 1 of 2 crossovers lying in the middle" in said
    assert "1 of 2 in the middle." in said
    assert "gatherings: [4, 3]" in code(text)
    assert "in place of what stands under gatherings: now" in said
    assert "Proven best" in said
    assert "Plan of the haven 2.5; others 1" in said
    assert "Plan of the haven, pages 8 and 9: in the middle" in html.unescape(text)
    assert "../handbook/methods/planning.html" in text
    frame = PageFrame("book/gatherings.md", "Gatherings", kind="gatherings")
    table = proposal_table(frame, proposal)
    assert [column.key for column in table.columns][3:5] == ["weight_centred", "weight_total"]
    now, then = ([cell.value if isinstance(cell, Cell) else cell for cell in row] for row in table.rows)
    assert (now[0], now[3], then[0], then[3], then[4]) == ("now", 1.0, "proposed", 2.5, 3.5)
    assert '"weight_centred": 2.5' in render_table_json(table)
    rows = proposal_crossover_table(ctx, frame, proposal).rows
    assert [row[4:] for row in rows] == [
        ("on two sheets", "in the middle"),
        ("in the middle", "on two sheets"),
    ]


def test_blanks_within_the_sequence_come_with_their_places() -> None:
    """What to write, behind which page and what it carries, and how many pages change sides."""
    ctx, proposal = planned(
        "gatherings: [3, 4]\nchoose: {sheets: 3 to 4, blanks: gatherings, most_blanks: 4}\n"
    )
    assert proposal.proposal is not None
    inner = proposal.proposal.plan.inner_blanks(28)
    assert inner
    text = section(ctx)
    for one in inner:
        where = f"behind page {one.after_page}, Soundings" if one.after_page else "before page 1"
        assert f"<code>- {{blank: {one.count}}}</code> {where}" in text
    assert "A hollow square: a blank page put in." in plain(text)
    assert ("change from recto to verso" in text) is bool(proposal.proposal.plan.turned_pages)
    assert snippet(proposal.proposal.plan) in code(text)


def test_the_best_gatherings_are_called_so() -> None:
    """Written down, nothing is to be written; chosen, the line keeps them."""
    ctx, proposal = planned("gatherings: [4, 3]\nchoose: {sheets: 3 to 4}\n")
    assert proposal.is_in_use
    said = plain(section(ctx))
    assert "The gatherings in use are the best plan for the wishes." in said
    assert "To take it" not in said
    assert "To keep" not in said
    assert proposal.proposal is not None
    unproven = dataclasses.replace(
        proposal, proposal=dataclasses.replace(proposal.proposal, is_optimal=False)
    )
    ctx.work = dataclasses.replace(ctx.work, proposal=unproven)
    assert "No better plan for the wishes was found than the gatherings in use." in plain(section(ctx))
    ctx, proposal = planned("choose: {sheets: 3 to 4, weights: {haven-left: 2}}\n", present=(4, 3))
    assert proposal.is_chosen
    said = plain(section(ctx))
    assert "the wishes alone give them." in said
    assert "To keep these gatherings whatever is wished later" in said


def test_wishes_that_no_plan_meets_are_said_in_words() -> None:
    """The reason and what would do, and no drawing."""
    ctx, proposal = planned("gatherings: [4, 3]\nchoose: {sheets: 5}\n")
    assert proposal.proposal is None
    text = section(ctx)
    assert "<svg" not in text
    said = plain(text)
    assert (
        "No plan meets the wishes in choose: . 28 pages and at most 3 blanks do not fill gatherings of 5 sheets"
        in said
    )
    assert "One of these would do" in said
    frame = PageFrame("data/index.md", "Data", kind="data")
    assert proposal_table(frame, proposal).rows == proposal_crossover_table(ctx, frame, proposal).rows == ()


def test_what_is_not_proven_is_said_with_its_bound() -> None:
    """No more is claimed than was looked at."""
    ctx, proposal = planned("gatherings: [3, 4]\nchoose: {sheets: 3 to 4}\n")
    assert proposal.proposal is not None
    plates = proposal.proposal.plan.plates
    open_ = dataclasses.replace(
        proposal.proposal, is_optimal=False, fewest_plates=plates - 1, most_weight=1.5
    )
    ctx.work = dataclasses.replace(ctx.work, proposal=dataclasses.replace(proposal, proposal=open_))
    said = plain(section(ctx))
    assert "Proven best" not in said
    assert "No plan has a weight of more than 1.5 in the middles" in said
    assert f"but none has fewer than {plates - 1}" in said


@pytest.mark.parametrize(("folding", "pairs"), [("quarto", (4, 4)), ("octavo", (8,))])
def test_further_foldings_say_what_lies_on_one_side(folding: str, pairs: tuple[int, ...]) -> None:
    """Their weight stands in a column of its own, the sign in the legend, the leaf pairs with the wishes."""
    ctx, proposal = planned(
        f"press: {{folding: {folding}}}\nchoose: {{sheets: 1 to 2, most_blanks: 4}}\n", present=pairs
    )
    assert proposal.proposal is not None
    frame = PageFrame("book/gatherings.md", "Gatherings", kind="gatherings")
    keys = [column.key for column in proposal_table(frame, proposal).columns]
    plans = (proposal.proposal.plan, proposal.proposal.present)
    has_side = any(plan is not None and plan.one_side_weight for plan in plans)
    assert ("weight_one_side" in keys) is has_side
    said = plain(section(ctx))
    assert ("A closed arch on open feet" in said) is has_side
    assert f"{folding}, {2 if folding == 'quarto' else 4} leaf pairs a sheet" in said


def test_words_of_notes_are_escaped() -> None:
    """A title with signs of markup stays words."""
    sources = {**MASTERS, "masters/haven-left.md": note(title="'<b>Haven</b> & co'", crossover="haven-right")}
    text = BOOK + "gatherings: [3, 4]\nchoose: {sheets: 3 to 4, weights: {haven-left: 2}}\n"
    replica = decode_well({**sources, "stocks/laid.md": note(), "book.yml": text})
    found = work_up(replica, {}, Reference())
    assert replica.book is not None
    proposal = work_proposal(replica, work_pages(replica.book), (3, 4))
    said = section(SiteContext(dataclasses.replace(found, proposal=proposal)))
    assert "<b>Haven" not in said
    assert "&lt;b&gt;Haven" in said
