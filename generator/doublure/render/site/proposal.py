"""The proposal of gatherings for the page about them: beside the present plan, with what to write to take it.

In: SiteContext. Out: blocks of a page; tables. Never: planning, computing.
"""

from __future__ import annotations

from typing import Any

from doublure.render.draw.figures import plain
from doublure.render.draw.plan_strips import Arch, PlanArch, PlanGathering, PlanStrip, draw_plan_strips
from doublure.render.html import Html, Link, escape_text, render_working
from doublure.render.site.context import SiteContext
from doublure.render.site.drawings import draw_both
from doublure.render.site.frame import PageFrame
from doublure.render.site.wordings import count_words
from doublure.render.table import Cell, Column, Table, render_table_html
from doublure.trade.book.planning_records import (
    GatheringPlan,
    GatheringProposal,
    InsertedBlanks,
    Meeting,
    PlannedCrossover,
)
from doublure.trade.press.records import Folding
from doublure.workings.planning import ProposalWorking

METHOD = "handbook/methods/planning.md"
MEETING_WORDS = {
    Meeting.CENTRE: "in the middle",
    Meeting.ONE_SIDE: "on one side of one sheet",
    Meeting.TWO_SHEETS: "on two sheets",
    Meeting.TWO_GATHERINGS: "in two gatherings",
    Meeting.TIPPED: "on a leaf tipped in",
    Meeting.NOT_FACING: "on the two sides of one leaf",
}
_LEGEND = (
    "From the head, under each gathering its sheets and its pages as numbered now. A closed arch with a plumb line to "
    "the fold: the crossover lies in the middle, both halves on one side of one sheet. A broken arch on open feet: "
    "on two sheets. "
)


def add_proposal(ctx: SiteContext, frame: PageFrame) -> None:
    """Add the proposal to a page; nothing where the notes wish for nothing.

    Args:
        ctx: The context; its workings hold the proposal.
        frame: The page.
    """
    work = ctx.work.proposal
    if work is None:
        return
    frame.heading("Proposal", "proposal")
    if work.proposal is None:
        fault = work.fault[:1].upper() + work.fault[1:].rstrip(".")
        frame.add(f"<p>No plan meets the wishes in <code>choose:</code>. {escape_text(fault)}.</p>")
        return
    proposal = work.proposal
    frame.add(f"<p>{escape_text(_answer(work, proposal))}</p>")
    strips = _strips(ctx, frame, work, proposal)
    is_rtl = ctx.work.replica.book is not None and ctx.work.replica.book.right_to_left
    caption = _LEGEND + _further_signs(proposal)
    frame.add(draw_both(lambda width: draw_plan_strips(strips, width, is_rtl), "proposal", caption=caption))
    for table in (proposal_table(frame, work), proposal_crossover_table(ctx, frame, work)):
        if table.rows:
            links = frame.href(f"data/{table.name}.csv"), frame.href(f"data/{table.name}.json")
            frame.add(render_table_html(table, csv_href=links[0], json_href=links[1]))
    frame.add(_how_to_take(ctx, work, proposal))
    frame.add(
        render_working(
            [_proof(proposal)],
            summary="How sure this is",
            inputs=_wishes(ctx, work),
            method=Link("Planning gatherings", frame.href(METHOD)),
        )
    )


def _answer(work: ProposalWorking, proposal: GatheringProposal) -> str:
    plan = proposal.plan
    total = len(plan.crossovers)
    if work.is_in_use:
        begin = "The gatherings in use are the best plan for the wishes"
        if not proposal.is_optimal:
            begin = "No better plan for the wishes was found than the gatherings in use"
        begin += "; the wishes alone give them." if work.is_chosen else "."
        if not total:
            return begin
        return f"{begin} {_of(len(plan.centred), total)} in the middle of a gathering."
    begin = f"{count_words(len(plan.sheets_in_gatherings), 'gathering')} would take "
    begin += f"{count_words(plan.plates, 'plate')} in {count_words(plan.stacks, 'stack')}"
    if total:
        begin += f", with {_of(len(plan.centred), total, 'lying')} in the middle of a gathering"
    if proposal.present is not None:
        now = proposal.present
        begin += f". Now: {count_words(now.plates, 'plate')} in {count_words(now.stacks, 'stack')}"
        begin += f", {len(now.centred)} of {total} in the middle" if total else ""
    return begin + "."


def _of(count: int, total: int, verb: str = "") -> str:
    """Return "5 of 8 crossovers lie" or, with a verb, "5 of 8 crossovers lying"."""
    what = f"{count} of {count_words(total, 'crossover')}"
    return f"{what} {verb or ('lies' if count == 1 else 'lie')}"


def _further_signs(proposal: GatheringProposal) -> str:
    plans = [proposal.plan, *([proposal.present] if proposal.present is not None else [])]
    meetings = {one.meeting for plan in plans for one in plan.crossovers}
    said = ""
    if Meeting.ONE_SIDE in meetings:
        said += "A closed arch on open feet: on one side of one sheet, across a fold that is slit. "
    if any(plan.blanks for plan in plans):
        said += "A hollow square: a blank page put in. "
    if meetings & {Meeting.TIPPED, Meeting.NOT_FACING}:
        said += "Crossovers that reach a leaf tipped in stand in the table alone. "
    return said.strip()


def _strips(
    ctx: SiteContext, frame: PageFrame, work: ProposalWorking, proposal: GatheringProposal
) -> tuple[PlanStrip, ...]:
    if proposal.present is None or work.is_in_use:
        name = "In use" if work.is_in_use else "Proposed"
        return (_strip(ctx, frame, name, proposal.plan),)
    return (
        _strip(ctx, frame, "Now", proposal.present),
        _strip(ctx, frame, "Proposed", proposal.plan),
    )


def _strip(ctx: SiteContext, frame: PageFrame, name: str, plan: GatheringPlan) -> PlanStrip:
    position = {}
    at = 0
    for pages in plan.pages_in_gatherings:
        for page in pages:
            position[page] = at
            at += 1
    arches = []
    for one in plan.crossovers:
        if one.meeting in (Meeting.TIPPED, Meeting.NOT_FACING):
            continue
        arch = {Meeting.CENTRE: Arch.CENTRE, Meeting.ONE_SIDE: Arch.ONE_SIDE}.get(one.meeting, Arch.APART)
        title = f"{_name(ctx, one)}, pages {one.page} and {one.page + 1}"
        arches.append(PlanArch(position[one.page] // 2, arch, title, frame.href("book/crossovers.md")))
    words = count_words(len(plan.sheets_in_gatherings), "gathering")
    words += f", {count_words(sum(plan.sheets_in_gatherings), 'sheet')}"
    if plan.blanks:
        words += f", {count_words(plan.blanks, 'blank')} put in"
    gatherings = tuple(
        PlanGathering(sheets, pages)
        for sheets, pages in zip(plan.sheets_in_gatherings, plan.pages_in_gatherings, strict=True)
    )
    return PlanStrip(name, words, gatherings, tuple(arches))


def _name(ctx: SiteContext, one: PlannedCrossover) -> str:
    """Return the title of the master on the lower page of a spread."""
    book = ctx.work.book
    if book is not None and one.page <= len(book.entries) and book.entries[one.page - 1].master:
        return ctx.name_of(f"masters/{book.entries[one.page - 1].master}")
    return "Crossover"


def proposal_table(frame: PageFrame, work: ProposalWorking) -> Table:
    """Return the figures of the present plan and of the proposal; no rows where there is none."""
    rows: list[tuple[Any, ...]] = []
    if work.proposal is not None:
        plans = [("proposed", work.proposal.plan)]
        if work.proposal.present is not None:
            plans.insert(0, ("now", work.proposal.present))
        rows = [
            (
                Cell(name, name.capitalize()),
                len(plan.sheets_in_gatherings),
                sum(plan.sheets_in_gatherings),
                plan.centred_weight,
                plan.one_side_weight,
                plan.total_weight,
                plan.plates,
                plan.stacks,
                plan.blanks,
                plan.turned_pages,
            )
            for name, plan in plans
        ]
    decimals = 2 if any(value != round(value) for row in rows for value in row[3:6]) else 0
    weights = [("weight_centred", "in the middle"), ("weight_total", "of all")]
    if any(row[4] for row in rows):
        weights.insert(1, ("weight_one_side", "on one side"))
    else:
        rows = [(*row[:4], *row[5:]) for row in rows]
    return Table(
        name="gathering_proposal",
        caption="The plans beside each other",
        columns=(
            Column("plan", "Plan"),
            Column("gatherings", "Gatherings", numeric=True),
            Column("sheets", "Sheets", numeric=True),
            *(
                Column(key, title, numeric=True, decimals=decimals, group="Weight of crossovers")
                for key, title in weights
            ),
            Column("plates", "Plates", numeric=True),
            Column("stacks", "Stacks", numeric=True),
            Column("blanks", "Blanks put in", numeric=True),
            Column("turned_pages", "Pages that change sides", numeric=True),
        ),
        rows=tuple(rows),
        row_heads=True,
        method="Most weight in the middles, then fewest plates, then fewest blanks.",
        method_link=Link("Planning gatherings", frame.href(METHOD)),
        narrow="cards",
    )


def proposal_crossover_table(ctx: SiteContext, frame: PageFrame, work: ProposalWorking) -> Table:
    """Return how each crossover meets, now and in the proposal; no rows where there is none."""
    rows = []
    if work.proposal is not None:
        present = work.proposal.present
        now = {} if present is None else {one.page: one.meeting for one in present.crossovers}
        rows = [
            (
                Cell(_name(ctx, one), href=frame.href("book/crossovers.md")),
                Cell(f"{one.page}–{one.page + 1}"),
                one.weight,
                "yes" if one.is_fixed else "",
                MEETING_WORDS[now[one.page]] if one.page in now else "",
                MEETING_WORDS[one.meeting],
            )
            for one in work.proposal.plan.crossovers
        ]
    return Table(
        name="gathering_proposal_crossovers",
        caption="Where each crossover comes to lie",
        columns=(
            Column("crossover", "Crossover"),
            Column("pages", "Pages"),
            Column(
                "weight", "Weight", numeric=True, decimals=2 if any(r[2] != round(r[2]) for r in rows) else 0
            ),
            Column("fixed", "Must lie in the middle"),
            Column("now", "Now"),
            Column("proposed", "Proposed"),
        ),
        rows=tuple(rows),
        method_link=Link("Planning gatherings", frame.href(METHOD)),
        narrow="cards",
    )


def snippet(plan: GatheringPlan) -> str:
    """Return the line of book.yml that takes a plan."""
    sheets = plan.sheets_in_gatherings
    return f"gatherings: [{', '.join(map(str, sheets))}]"


def _how_to_take(ctx: SiteContext, work: ProposalWorking, proposal: GatheringProposal) -> Html:
    plan = proposal.plan
    if work.is_in_use and not work.is_chosen:
        return Html("")
    into = "write into <code>journal/book.yml</code>"
    if work.is_in_use:
        begin = f"To keep these gatherings whatever is wished later, {into}:"
    elif work.is_chosen:
        begin = f"To take it, {into}:"
    else:
        begin = f"To take it, {into}, in place of what stands under <code>gatherings:</code> now:"
    code = f"<pre><code>{escape_text(snippet(plan))}</code></pre>"
    blanks = plan.inner_blanks(work.pages)
    said = ""
    if blanks:
        items = "".join(f"<li>{_blank_words(ctx, one)}</li>" for one in blanks)
        said = "<p>and these blanks into its <code>sequence:</code>, counting its pages as they are now:</p>"
        said += f"<ul>{items}</ul>"
        if plan.turned_pages:
            said += (
                f"<p>{count_words(plan.turned_pages, 'page')} between them change from recto to verso, or back:"
                " look whether all of these may.</p>"
            )
    end = plan.blanks - sum(one.count for one in blanks)
    if end:
        said += f"<p>{count_words(end, 'blank')} behind the last page fill the last gathering.</p>"
    return Html(f"<p>{begin}</p>{code}{said}")


def _blank_words(ctx: SiteContext, one: InsertedBlanks) -> Html:
    entry = f"<code>- {{blank: {one.count}}}</code>"
    if not one.after_page:
        return Html(f"{entry} before page 1")
    book = ctx.work.book
    master = book.entries[one.after_page - 1].master if book is not None else ""
    carried = f", {escape_text(ctx.name_of(f'masters/{master}'))}" if master else ""
    return Html(f"{entry} behind page {one.after_page}{carried}")


def _proof(proposal: GatheringProposal) -> str:
    plan = proposal.plan
    looked = f"{count_words(proposal.examined, 'beginning')} of plans were looked at."
    if proposal.is_optimal:
        return (
            "Proven best: no plan that meets the wishes has more weight in the middles, or as much with fewer plates,"
            f" or with as many plates and fewer blanks. {looked}"
        )
    weight = "Its weight in the middles is proven the most."
    if proposal.most_weight > plan.centred_weight:
        weight = f"No plan has a weight of more than {plain(proposal.most_weight, 2)} in the middles."
    plates = f"It takes {count_words(plan.plates, 'plate')}; that there is none with fewer is not proven"
    if proposal.fewest_plates < plan.plates:
        plates += f", but none has fewer than {proposal.fewest_plates}"
    return f"{weight} {plates}. {looked} Narrower limits of sheets, or blanks in fewer places, are sooner proven."


def _wishes(ctx: SiteContext, work: ProposalWorking) -> list[tuple[str, str | Html]]:
    wish = work.wish
    sheets = f"{wish.fewest_sheets} to {wish.most_sheets}"
    if wish.fewest_sheets == wish.most_sheets:
        sheets = str(wish.most_sheets)
    where = {
        "end": "behind the last page",
        "gatherings": "before and behind gatherings",
        "anywhere": "anywhere",
    }
    rows: list[tuple[str, str | Html]] = [
        ("Sheets in a gathering", sheets),
        ("Blanks", f"at most {wish.most_blanks}, {where[wish.blanks]}" if wish.most_blanks else "none"),
    ]
    book = ctx.work.replica.book
    if book is not None and Folding(book.press.folding) is not Folding.FOLIO:
        folding = Folding(book.press.folding)
        rows.append(("Folding", f"{folding.value}, {folding.pairs} leaf pairs a sheet"))
    if wish.fixed:
        rows.append(("Must lie in the middle", ", ".join(f"{low}–{high}" for low, high in wish.fixed)))
    if wish.weights:
        said = [f"{ctx.name_of(f'masters/{name}')} {plain(weight, 2)}" for name, weight in wish.weights]
        rows.append(("Weights", "; ".join(said) + "; others 1"))
    if wish.most_plates is not None:
        rows.append(("Plates", f"at most {wish.most_plates}"))
    return rows
