"""The computed tables of the press, for pages and for data files alike.

In: SiteContext, PressWorking. Out: Table. Never: computing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from doublure.errors import DomainError
from doublure.quantities.numbers import NARROW_SPACE
from doublure.render.html import Link
from doublure.render.plan import page_path
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.press_words import (
    FINDING_KINDS,
    METHOD,
    METHOD_REGISTER,
    finding_words,
    place_words,
    short_sheets,
)
from doublure.render.site.wordings import target_title
from doublure.render.table import Cell, Column, Row, Table
from doublure.trade.press.records import PressPlan
from doublure.trade.press.register.records import CrossoverMisfit, Misfit, MisfitPart
from doublure.trade.press.run_records import RunPlan
from doublure.trade.press.target import design_target
from doublure.workings.press_records import PressWorking, RegisterWorking


def _master(ctx: SiteContext, frame: PageFrame, ident: str) -> Link:
    return Link(ctx.name_of(f"masters/{ident}"), frame.href(page_path("masters", ident)))


def findings_table(ctx: SiteContext, frame: PageFrame, press: PressWorking) -> Table:
    """Return what is to be looked at in artwork, each with what was found and what is wanted."""
    rows: list[Row] = []
    for one in press.findings:
        title = ctx.name_of(f"masters/{one.master}")
        plates = ", ".join(map(str, one.plates[:8])) + (
            f" and {len(one.plates) - 8} more" if len(one.plates) > 8 else ""
        )
        rows.append(
            (
                Cell(one.master, title, frame.href(page_path("masters", one.master))),
                Cell(one.kind, FINDING_KINDS[one.kind][0]),
                one.edge,
                one.value,
                one.wanted,
                FINDING_KINDS[one.kind][1],
                Cell(one.plates, plates),
                finding_words(one),
            )
        )
    return Table(
        name="artwork",
        caption="What is to be looked at in the artwork before it is printed",
        columns=(
            Column("master", "Master"),
            Column("kind", "About"),
            Column("edge", "Edge"),
            Column("found", "Found", numeric=True, decimals=2),
            Column("wanted", "Wanted", numeric=True, decimals=2),
            Column("measured_in", "In"),
            Column("plates", "Plates"),
            Column("meaning", "What it means"),
        ),
        rows=tuple(rows),
        method="Each master is held against the plates that carry it, at its printed size.",
        method_link=Link("Artwork", frame.href(f"{METHOD}#artwork")),
        narrow="cards",
    )


def plates_table(ctx: SiteContext, frame: PageFrame, press: PressWorking, plan: PressPlan) -> Table:
    """Return every distinct plate with its masters, and every place that it serves."""
    totals = {one.number: one.total for one in press.run.stacks} if press.run is not None else {}
    per_copy: dict[int, float] = {}
    prints: dict[int, int] = {}
    for stack in plan.stacks:
        for number in (stack.front, stack.back):
            per_copy[number] = per_copy.get(number, 0.0) + stack.per_copy
            prints[number] = prints.get(number, 0) + totals.get(stack.number, 0)
    rows: list[Row] = []
    for plate in plan.plates:
        state = "blank" if plate.is_blank else "left out" if plate.number in press.unprintable else "to print"
        titles = ", ".join(ctx.name_of(f"masters/{ident}") for ident in plate.masters)
        pages = tuple(page for placed in plate.pages for page in placed.pages)
        shift = max((page.creep_shift_mm for page in plate.pages), default=0.0)
        rows.append(
            (
                plate.number,
                Cell(plate.masters, titles),
                pages,
                shift,
                per_copy.get(plate.number, 0.0),
                prints.get(plate.number) if totals else None,
                Cell(state, state.replace(" ", NARROW_SPACE)),
                ", ".join(place_words(place) for place in plate.places),
            )
        )
    return Table(
        name="plates",
        caption="The distinct plates, and where each is printed (gathering.sheet side)",
        columns=(
            Column("plate", "Plate", numeric=True),
            Column("masters", "Masters"),
            Column("pages", "Pages"),
            Column("creep_shift_mm", "Creep shift", "mm", numeric=True, decimals=2),
            Column("prints_per_copy", "Prints, one copy", numeric=True, decimals=2),
            Column("prints_in_edition", "Prints, edition with spares", numeric=True),
            Column("state", "State"),
            Column("places", "Places"),
        ),
        rows=tuple(rows),
        row_ids=tuple(f"plate-{plate.number}" for plate in plan.plates),
        method="A plate is one side of one imposed sheet: its masters and a creep step.",
        method_link=Link("Plates", frame.href(f"{METHOD}#plates")),
        narrow="scroll",
    )


def stacks_table(frame: PageFrame, plan: PressPlan, run: RunPlan | None) -> Table:
    """Return every stack: its plates, how many sheets, where it stands."""
    planned = {one.number: one for one in run.stacks} if run is not None else {}
    rows: list[Row] = []
    for stack in plan.stacks:
        one = planned.get(stack.number)
        rows.append(
            (
                stack.number,
                stack.front,
                stack.back,
                Cell(tuple(f"{g}.{s}" for g, s in stack.sheets), short_sheets(stack.sheets)),
                stack.per_copy,
                one.wanted if one is not None else None,
                one.spares if one is not None else None,
                (one.front_page or None) if one is not None else None,
                (one.back_page or None) if one is not None else None,
                one.fronts.made if one is not None else None,
                one.fronts.spoiled if one is not None else None,
                one.fronts.left if one is not None else None,
                one.backs.made if one is not None else None,
                one.backs.spoiled if one is not None else None,
                one.backs.left if one is not None else None,
                one.minutes if one is not None else None,
            )
        )
    return Table(
        name="stacks",
        caption="The stacks: sheets printed alike on both sides (gathering.sheet)",
        columns=(
            Column("stack", "Stack", numeric=True),
            Column("front_plate", "Plate", numeric=True, group="Front"),
            Column("back_plate", "Plate", numeric=True, group="Back"),
            Column("sheets", "Sheets of a copy"),
            Column("sheets_per_copy", "For one copy", numeric=True, decimals=2),
            Column("wanted", "Wanted", numeric=True),
            Column("spares", "Spares", numeric=True),
            Column("fronts_page", "Page in the file", numeric=True, group="Fronts"),
            Column("backs_page", "Page in the file", numeric=True, group="Backs"),
            Column("fronts_made", "Good", numeric=True, group="Fronts printed"),
            Column("fronts_spoiled", "Spoiled", numeric=True, group="Fronts printed"),
            Column("fronts_left", "Left", numeric=True, group="Fronts printed"),
            Column("backs_made", "Good", numeric=True, group="Backs printed"),
            Column("backs_spoiled", "Spoiled", numeric=True, group="Backs printed"),
            Column("backs_left", "Left", numeric=True, group="Backs printed"),
            Column("forecast_min", "Time left", "min", numeric=True),
        ),
        rows=tuple(rows),
        row_ids=tuple(f"row-stack-{stack.number}" for stack in plan.stacks),
        method="Wanted is what one copy takes times the edition, rounded up once; what is left follows from the log.",
        method_link=Link("Stacks", frame.href(f"{METHOD}#plates")),
        narrow="scroll",
    )


def register_table(frame: PageFrame, register: RegisterWorking) -> Table:
    """Return the misfit at each point, before and after the correction."""
    after = {(one.x_mm, one.y_mm): one for one in register.after}
    names = name_points([(one.x_mm, one.y_mm) for one in register.before])
    rows: list[Row] = []
    for one, name in zip(register.before, names, strict=True):
        rows.append(
            (
                name,
                one.x_mm,
                one.y_mm,
                *_misfit_cells(one),
                *_misfit_cells(after.get((one.x_mm, one.y_mm))),
            )
        )
    columns = [
        Column("point", "Mark, corner"),
        Column("x_mm", "Right of the middle", "mm", numeric=True, decimals=1),
        Column("y_mm", "Below the middle", "mm", numeric=True, decimals=1),
    ]
    for name, title in (("before", "As it prints"), ("after", "After the correction")):
        columns += [
            Column(f"{name}_right_mm", "To the right", "mm", numeric=True, decimals=3, group=title),
            Column(f"{name}_down_mm", "Down", "mm", numeric=True, decimals=3, group=title),
            Column(f"{name}_u_mm", "Uncertainty", "mm", numeric=True, decimals=3, group=title),
            Column(f"{name}_p95_mm", "95 of 100 within", "mm", numeric=True, decimals=3, group=title),
        ]
    return Table(
        name="register",
        caption="Misfit of the back against the front, seen from the front",
        columns=tuple(columns),
        rows=tuple(rows),
        method="The mean map of the sheets at that point, and the room that a new sheet needs about it.",
        method_link=Link("Register", frame.href(f"{METHOD_REGISTER}#prediction")),
        narrow="scroll",
    )


def name_points(points: Sequence[tuple[float, float]]) -> list[str]:
    """Return what points of a sheet are called: marks of its target, corners of the sheet; "" for others.

    Args:
        points: mm from the middle of the sheet; the corners are those furthest out.
    """
    if not points:
        return []
    half_width, half_height = max(abs(x) for x, _ in points), max(abs(y) for _, y in points)
    corners = {
        (_tenths(x), _tenths(y)): f"{up} {side}"
        for y, up in ((-half_height, "upper"), (half_height, "lower"))
        for x, side in ((-half_width, "left"), (half_width, "right"))
    }
    try:
        marks = design_target(2 * half_width, 2 * half_height).marks
    except DomainError:
        marks = ()
    names = {(_tenths(mark.x_mm), _tenths(mark.y_mm)): mark.name for mark in marks} | corners
    return [names.get((_tenths(x), _tenths(y)), "") for x, y in points]


def _tenths(length_mm: float) -> int:
    return round(10 * length_mm)


def _misfit_cells(one: Misfit | None) -> tuple[float | None, ...]:
    if one is None:
        return None, None, None, None
    return one.mean_dx_mm, one.mean_dy_mm, one.u_mean_mm, one.p95_mm


def register_sheets_table(ctx: SiteContext, frame: PageFrame, register: RegisterWorking) -> Table:
    """Return what was fitted to each printed target."""
    rows: list[Row] = []
    for one in register.fit.sheets if register.fit is not None else ():
        known = one.name in ctx.work.replica.register
        href = frame.href(page_path("register", one.name)) if known else ""
        rows.append(
            (
                Cell(one.name, ctx.name_of(f"register/{one.name}") if known else one.name, href),
                one.model.value,
                one.marks,
                one.map.x_mm,
                one.map.y_mm,
                math.degrees(math.atan2(one.map.yx - one.map.xy, one.map.xx + one.map.yy)),
                one.sigma_mm,
                one.rms_residual_mm,
                one.left_out,
            )
        )
    return Table(
        name="register_sheets",
        caption="Each printed target: its own map, and how well its marks follow it",
        columns=(
            Column("sheet", "Target"),
            Column("model", "Fitted"),
            Column("marks", "Marks", numeric=True),
            Column("right_mm", "To the right", "mm", numeric=True, decimals=3),
            Column("down_mm", "Down", "mm", numeric=True, decimals=3),
            Column("turned_deg", "Turned", "°", numeric=True, decimals=3),
            Column("reading_error_mm", "Reading error", "mm", numeric=True, decimals=3),
            Column("rms_residual_mm", "Left over", "mm", numeric=True, decimals=3),
            Column("left_out", "Marks left out"),
        ),
        rows=tuple(rows),
        method="Least squares over the marks of one sheet.",
        method_link=Link("Register", frame.href(f"{METHOD_REGISTER}#fit")),
        narrow="scroll",
    )


def register_readings_table(ctx: SiteContext, frame: PageFrame) -> Table:
    """Return every offset that was read, by target and mark."""
    rows: list[Row] = []
    for note in ctx.work.replica.register.values():
        for offset in note.offsets:
            rows.append(
                (
                    Cell(note.id, target_title(note), frame.href(page_path("register", note.id))),
                    note.printer,
                    note.stock,
                    offset.mark,
                    offset.right_mm,
                    offset.down_mm,
                    note.u_mm,
                )
            )
    return Table(
        name="register_readings",
        caption="How far the back’s mark lies from the front’s, seen from the front",
        columns=(
            Column("target", "Target"),
            Column("printer", "Printer"),
            Column("stock", "Stock"),
            Column("mark", "Mark"),
            Column("right_mm", "To the right", "mm", numeric=True, decimals=3),
            Column("down_mm", "Down", "mm", numeric=True, decimals=3),
            Column("u_mm", "Uncertainty", "mm", numeric=True, decimals=3),
        ),
        rows=tuple(rows),
        grouped_by="target",
        narrow="scroll",
    )


#: Why the whole of a crossover is not the root of the sum of the squares of its causes.
ADDING = (
    "What varies does not add up cause by cause: what all sheets have in common counts in both halves, where it cancels "
    "or counts double, and what was read on the same sheets goes together. The whole takes that into account."
)


def rests_on(part: MisfitPart) -> str:
    """Return what the figure of a cause rests on."""
    if part.name == "creep":
        return "worked out"
    return "assumed" if part.is_assumed else "readings"


def misfit_table(ctx: SiteContext, frame: PageFrame, press: PressWorking) -> Table:
    """Return what adds to the misfit of each crossover, by cause."""
    rows: list[Row] = []
    for one in press.crossovers:
        for part in one.parts:
            rows.append(
                (
                    Cell(f"{min(one.left_page, one.right_page)}–{max(one.left_page, one.right_page)}"),
                    part.name,
                    part.mean_dx_mm,
                    part.mean_dy_mm,
                    part.sd_dx_mm,
                    part.sd_dy_mm,
                    rests_on(part),
                )
            )
    return Table(
        name="crossover_parts",
        caption="What makes the halves miss each other, by cause",
        columns=(
            Column("pages", "Pages"),
            Column("cause", "Cause"),
            Column("gap_mm", "Opens the gutter", "mm", numeric=True, decimals=3, group="For certain"),
            Column("step_mm", "Lowers the right half", "mm", numeric=True, decimals=3, group="For certain"),
            Column("gap_sd_mm", "Across", "mm", numeric=True, decimals=3, group="Standard deviation"),
            Column("step_sd_mm", "Along", "mm", numeric=True, decimals=3, group="Standard deviation"),
            Column("rests_on", "Rests on"),
        ),
        rows=tuple(rows),
        grouped_by="pages",
        method=f"A negative opening is an overlap. What is certain adds up. {ADDING}",
        method_link=Link("Crossovers", frame.href(f"{METHOD_REGISTER}#crossovers")),
        narrow="scroll",
    )


def misfit_of(press: PressWorking | None) -> dict[int, tuple[CrossoverMisfit, CrossoverMisfit | None]]:
    """Return the misfit of each crossover, after and before the correction, by its left page."""
    if press is None:
        return {}
    before = {one.left_page: one for one in press.crossovers_before}
    return {one.left_page: (one, before.get(one.left_page)) for one in press.crossovers}
