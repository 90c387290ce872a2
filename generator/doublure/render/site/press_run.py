"""The page of the run: how to lay the pile in, stack by stack, where the printing stands, how long it takes.

In: SiteContext, PressWorking. Out: SitePage. Never: computing.
"""

from __future__ import annotations

from doublure.quantities import format_duration
from doublure.quantities.numbers import NARROW_SPACE as NS
from doublure.render.draw.laying import draw_laying
from doublure.render.draw.plate import StackSpec, draw_stack
from doublure.render.html import (
    Fact,
    Html,
    Link,
    escape_text,
    render_answer,
    render_facts,
    render_link,
    render_rows,
    render_working,
)
from doublure.render.plan import SitePage
from doublure.render.run_words import (
    check_words,
    counted,
    file_words,
    is_done,
    joining_words,
    laying_specs,
    order_words,
    pages_by_stack,
    print_folder,
    sheet_way_words,
    state_words,
)
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.press_downloads import add_downloads
from doublure.render.site.press_plates import lacking_answer, plate_side
from doublure.render.site.press_words import METHOD, UNTRIED, sheet_words
from doublure.render.svg import render_svg
from doublure.trade.press.records import PressPlan
from doublure.trade.press.run_records import RunPlan, SideState, StackRun
from doublure.workings.press_records import PressWorking

PATH = "book/run.md"
#: Stacks beyond these are listed without a drawing.
MOST_DRAWN = 120
STACK_PX = 330
LAYING_PX = 320


def run_page(ctx: SiteContext, press: PressWorking | None) -> SitePage:
    """Return the page of the run."""
    frame = PageFrame(PATH, "The run", kind="run")
    if press is None or press.plan is None:
        frame.add(lacking_answer(press))
        return frame.finish()
    if press.run is None:
        frame.add(
            render_answer(
                "Nobody has said yet how many copies are to be made (edition: in journal/replica.yml). "
                "The plates are ready."
            )
        )
        return frame.finish()
    run = press.run
    frame.add(render_answer(_answer(run)))
    frame.add(render_facts(_facts(run)))
    _laying(ctx, frame, press, press.plan, run)
    frame.heading("Stack by stack", "stacks")
    backs = (
        ""
        if run.printer.by_machine
        else " Print as many backs of a stack as good fronts of it lie there: one too many falls on the next stack."
    )
    frame.add(
        f"<p>{escape_text(order_words(run))} Look at the first sheet of each stack and at every twentieth; what is not "
        f"right comes out of the pile and is counted as spoiled.{backs}</p>"
    )
    own = pages_by_stack(ctx.work.book, press.plan)
    rows = "".join(_stack(ctx, frame, press, press.plan, run, one, own.get(one.number)) for one in run.stacks)
    frame.add(f'<ol class="db-run db-wide">{rows}</ol>')
    _log(frame, run)
    add_downloads(ctx, frame, "run")
    return frame.finish()


def _answer(run: RunPlan) -> str:
    sheets = sum(one.total for one in run.stacks)
    words = (
        f"{counted(len(run.stacks), 'stack')}, {counted(sheets, 'sheet')} with spares, for "
        f"{counted(run.copies, 'copy', 'copies')}. "
    )
    waiting = (
        f" {counted(run.sides_waiting, 'side waits', 'sides wait')} for artwork that cannot be used."
        if run.sides_waiting
        else ""
    )
    if run.resume is None:
        return words + (f"Nothing more can be printed now.{waiting}" if waiting else "All of it is printed.")
    number, side = run.resume
    done = sum(is_done(one) for one in run.stacks)
    begun = any(one.fronts.is_begun or one.backs.is_begun for one in run.stacks)
    words += (
        f"{_done_words(done)}; go on with the {side} of stack {number}."
        if begun
        else f"Nothing is printed yet; begin with the {side} of stack {number}."
    )
    words += waiting
    if run.minutes is not None:
        words += f" About {format_duration(run.minutes)} are left."
    return words


def _done_words(done: int) -> str:
    return f"{done} of them {'is' if done == 1 else 'are'} done" if done else "None of them is done"


def _facts(run: RunPlan) -> list[Fact]:
    spoiled = sum(one.fronts.spoiled + one.backs.spoiled for one in run.stacks)
    facts = [
        Fact("Stacks done", f"{sum(is_done(one) for one in run.stacks)} of {len(run.stacks)}"),
        Fact(
            "Sides left",
            str(run.sides_ready),
            f"and {run.sides_waiting} that wait for artwork"
            if run.sides_waiting
            else "one side of one sheet",
        ),
        Fact("Spoiled so far", str(spoiled), "out of the spares"),
    ]
    if run.minutes is not None:
        facts.append(
            Fact("Time left", format_duration(run.minutes), f"from {run.timed_sides} sides in the log")
        )
    if run.resume is not None:
        facts.append(Fact("Go on with", f"stack {run.resume[0]}", run.resume[1], f"#stack-{run.resume[0]}"))
    return facts


def _laying(ctx: SiteContext, frame: PageFrame, press: PressWorking, plan: PressPlan, run: RunPlan) -> None:
    frame.heading("How the pile goes in", "pile")
    drawn = "".join(
        f"<li>{render_svg(draw_laying(spec, LAYING_PX), f'laying-{number}')}</li>"
        for number, spec in enumerate(laying_specs(run, plan.layout))
    )
    frame.add(f'<ul class="db-layings db-wide">{drawn}</ul>')
    printer, layout = run.printer, plan.layout
    sheet = f"{ctx.length(layout.sheet_width_mm)} × {ctx.length(layout.sheet_height_mm)}, the heads of the pages up"
    if way := sheet_way_words(press.way):
        sheet += f"; {way}"
    known = (
        render_link(ctx.thing_link(frame, f"printers/{printer.name}"))
        if printer.name in ctx.work.replica.printers
        else Html("")
    )
    caution = f"{UNTRIED} Mark one sheet with a pencil, send it through both passes, and see that it comes out as drawn."
    stand_in = (
        ""
        if printer.is_described
        else " No printer is described: this is how an ordinary one on a desk does it."
    )
    frame.add(f"<p>{caution}{stand_in}</p>")
    frame.add(
        render_rows(
            [
                ("Printer", known or "not described (journal/printers/)"),
                ("Sheet", sheet),
                (
                    "Cannot print",
                    "{} at the first edge, {} at the last, {} at the sides".format(
                        *map(ctx.length, printer.reach_mm)
                    ),
                ),
                ("The tray holds", f"{printer.holds} sheets" if printer.holds else ""),
                (
                    "Print files",
                    Html(
                        f"<code>{escape_text(print_folder(printer))}</code>, printed at 100 %, never fitted to the page"
                    ),
                ),
            ]
        )
    )


def _side(label: str, words: str, state: SideState, check: str, more: str, *, ends: bool) -> str:
    """Return one side of a stack: a box to tick, what to print, where it stands, what to look at."""
    can_print = not state.is_blank and not state.waits
    box = '<span class="db-tick" aria-hidden="true"></span>' if can_print else ""
    mark = " db-run__side--done" if not state.left else ""
    now = ' <strong class="db-run__now">go on here</strong>' if ends else ""
    looked = f'<span class="db-run__check">First sheet: {escape_text(check)}.</span>' if can_print else ""
    place = f" {escape_text(more)}" if more else ""
    return (
        f'<div class="db-run__side{mark}"><p>{box}<strong>{label}</strong> {escape_text(words)}{now}</p>'
        f'<p class="db-run__state">{escape_text(state_words(state))}.{place} {looked}</p></div>'
    )


def _stack(
    ctx: SiteContext,
    frame: PageFrame,
    press: PressWorking,
    plan: PressPlan,
    run: RunPlan,
    one: StackRun,
    own: frozenset[int] | None,
) -> str:
    """Return one stack as a row."""
    sides = "".join(
        _side(
            "Fronts" if side == "front" else "Backs",
            file_words(one, side, run.printer),
            one.fronts if side == "front" else one.backs,
            check_words(plan, one, side, own, ctx.length),
            joining_words(run, one) if side == "front" else "",
            ends=run.resume == (one.number, f"{side}s"),
        )
        for side in ("front", "back")
    )
    drawing = ""
    if one.number <= MOST_DRAWN:
        drawn = [
            plate_side(ctx, frame, press, plan.plate(number), side, pictures=False, own=own)
            for number, side in ((one.front, "front"), (one.back, "back"))
        ]
        spec = StackSpec("", plan.layout, drawn[0], drawn[1])
        drawing = render_svg(draw_stack(spec, STACK_PX, beside=True), f"run-{one.number}")
    spare = f", {one.spares} of them spare" if one.spares else ""
    left = f"; {format_duration(one.minutes)} left" if one.minutes else ""
    plates = render_link(Link(f"stack {one.number}", frame.href(f"book/plates.md#stack-{one.number}")))
    return (
        f'<li id="stack-{one.number}" class="db-run__stack"><p class="db-run__number"><span>Stack</span> {one.number}</p>'
        f'<div class="db-run__drawing">{drawing}</div><div class="db-run__words">'
        f"<p>{counted(one.total, 'sheet')}{spare}{left}. In each copy: {escape_text(sheet_words(one.sheets))}. "
        f"As it will print: {plates}.</p>{sides}</div></li>"
    )


def _log(frame: PageFrame, run: RunPlan) -> None:
    frame.heading("Keeping count", "count")
    first = run.resume[0] if run.resume is not None else 1
    words = (
        f"A log entry about <code>stack-{first}-front</code>, <code>stack-{first}-back</code> or "
        f"<code>stack-{first}</code> with <code>made:</code>, <code>spoiled:</code> and <code>minutes:</code> moves this "
        "page on."
    )
    if run.unassigned:
        entries = counted(run.unassigned, "log entry", "log entries")
        words += f" {entries} on printing name no stack and tell of time alone."
    frame.add(f"<p>{words}</p>")
    if run.minutes_per_side is None:
        frame.add("<p>No forecast of the time: the log has no minutes of printing yet.</p>")
        return
    spread = f"{NS}±{NS}{run.minutes_u:.2f}" if run.minutes_u is not None else ""
    frame.add(
        render_working(
            [
                "Minutes of all entries on printing over the sides that they printed, good and spoiled; times the "
                "sides left that can be printed.",
                render_rows(
                    [
                        ("One side takes", f"{run.minutes_per_side:.2f}{spread}{NS}min"),
                        ("From", counted(run.timed_sides, "printed side")),
                    ]
                ),
            ],
            summary="How the time was forecast",
            method=Link("The run", frame.href(METHOD)),
        )
    )
