"""The hand-feed plan on paper: how the pile goes in, then one row a stack with boxes to tick.

In: Workings. Out: Scenes of A4 or Letter. Never: computing, PDF.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from doublure.quantities import format_duration, format_length_in, format_length_mm
from doublure.render.bench.paper import (
    Paper,
    page_scene,
    paper_for,
    px_for_mm,
    shifted,
    tick_box,
    words_block,
    writing_line,
)
from doublure.render.draw.laying import draw_laying
from doublure.render.draw.plate import PlatePage, PlateSide, StackSpec, draw_stack
from doublure.render.lettering import shorten, text_width_mm
from doublure.render.run_words import (
    UP,
    amount_words,
    backs_order,
    check_words,
    counted,
    file_of,
    file_words,
    is_amount_open,
    joining_words,
    laying_specs,
    order_words,
    own_pages,
    pages_by_stack,
    print_folder,
    sheet_way_words,
)
from doublure.render.scene import FINE, Item, Line, Pen, Polyline, Scene, Text, Tone
from doublure.trade.press.records import PressPlan, PressPlate
from doublure.trade.press.run_records import RunPlan, SideState, StackRun
from doublure.workings.all import Workings
from doublure.workings.press_records import PressWorking

TITLE = "Hand-feed plan"
_NUMBER_MM = 12.0
_NUMBER_ROOM_MM = 23.0
_DRAWING_MM = 66.0
#: A row is at least so high; the page is shared out evenly among as many as it holds.
_LEAST_ROW_MM = 44.0
_NOTE_LINES = 7
_LINE_MM = 9.0


@dataclass(frozen=True, slots=True)
class _Row:
    """A block of the plan with its height, at the origin."""

    items: tuple[Item, ...]
    height_mm: float


def plan_scenes(work: Workings) -> tuple[Scene, ...]:
    """Return the pages of the plan; () while there are no plates or no edition.

    Args:
        work: Everything computed; its press and its notes count.
    """
    press = work.press
    if press.plan is None or press.run is None:
        return ()
    paper = paper_for(work.replica.replica.units)
    titles = {note.id: note.title for note in work.replica.masters.values()}
    printer = work.replica.printers.get(press.run.printer.name)
    rows = [_opening(press.plan, press.run, paper, sheet_way_words(press.way))]
    own = pages_by_stack(work.book, press.plan)
    show = format_length_in if work.replica.replica.units == "in" else format_length_mm
    rows += [
        _stack(press, press.plan, press.run, one, titles, paper, own.get(one.number), show)
        for one in press.run.stacks
    ]
    rows.append(_spoiled(paper))
    pages = _break_pages(rows, paper)
    tried = (
        "Its register is from readings."
        if press.register is not None and press.register.is_tried
        else "Not yet tried on paper."
    )
    foot = f"Print at 100 %, never fitted to the page. {tried} Files in {print_folder(press.run.printer)}."
    of = f"{printer.title if printer is not None else 'Any printer, none is described'}; " + counted(
        press.run.copies, "copy", "copies"
    )
    return tuple(
        page_scene(
            paper,
            items,
            title=TITLE,
            name=work.replica.replica.title,
            of=of,
            foot=foot,
            number=number,
            count=len(pages),
        )
        for number, items in enumerate(pages, 1)
    )


def _break_pages(rows: list[_Row], paper: Paper) -> list[list[Item]]:
    """Put the blocks onto pages, none cut in two."""
    pages: list[list[Item]] = [[]]
    y = paper.top_mm
    for row in rows:
        if y + row.height_mm > paper.bottom_mm and pages[-1]:
            pages.append([])
            y = paper.top_mm
        pages[-1] += shifted(row.items, 0.0, y)
        y += row.height_mm
    return pages


def _opening(plan: PressPlan, run: RunPlan, paper: Paper, way: str) -> _Row:
    """Return what comes first: how many, in which order, and how the pile is laid in."""
    left, room = paper.left_mm, paper.room_mm
    sheets = sum(one.total for one in run.stacks)
    words = f"{counted(len(run.stacks), 'stack')}, {counted(sheets, 'sheet')} with spares."
    if run.minutes:
        words += f" About {format_duration(run.minutes)} left."
    items, y = words_block(left, 0.0, room, words, 4.8, bold=True, lines=2)
    order = order_words(run) + (f" The sheet lies {way}." if way else "")
    more, y = words_block(left, y + 0.6, room, order, 4.2, lines=5)
    items += more
    specs = laying_specs(run, plan.layout)
    wide = min(84.0, (room - 10.0) / max(len(specs), 1))
    drawn = [draw_laying(spec, px_for_mm(wide)) for spec in specs]
    for number, scene in enumerate(drawn):
        items += shifted(scene.items, left + number * (wide + 10.0), y + 3.0)
    y += 3.0 + max(scene.height_mm for scene in drawn)
    hint = (
        "Send one sheet, marked with a pencil, through both passes first, and see that it comes out as drawn. What is "
        "spoiled comes out of the pile."
    )
    if not run.printer.by_machine:
        hint += " A back too many falls on the next stack."
    more, y = words_block(left, y + 2.0, room, hint, 3.6, lines=3)
    return _Row((*items, *more), y + 3.0)


def _side_spec(
    press: PressWorking, plate: PressPlate, side: str, titles: dict[str, str], own: frozenset[int] | None
) -> PlateSide:
    pages = tuple(
        PlatePage(
            titles.get(page.master or "", page.master or "blank"),
            own_pages(page.pages, own),
            page.trim,
            page.turned,
        )
        for page in plate.pages
    )
    instead = "left out" if plate.number in press.unprintable else "blank" if plate.is_blank else ""
    return PlateSide(f"{side}: plate {plate.number}", pages, instead, plate.collation_marks)


def _stack(
    press: PressWorking,
    plan: PressPlan,
    run: RunPlan,
    one: StackRun,
    titles: dict[str, str],
    paper: Paper,
    own: frozenset[int] | None,
    show: Callable[[float], str],
) -> _Row:
    """Return a stack: its number, both plates small, and what to do on either side."""
    left, right = paper.left_mm, paper.right_mm
    spec = StackSpec(
        "",
        plan.layout,
        _side_spec(press, plan.plate(one.front), "front", titles, own),
        _side_spec(press, plan.plate(one.back), "back", titles, own),
    )
    drawing = draw_stack(spec, px_for_mm(_DRAWING_MM), beside=True)
    items: list[Item] = [Line(left, 0.0, right, 0.0, Pen(0.4))]
    items.append(Text(left, 5.6, "stack", 3.2, tone=Tone.SOFT))
    number = str(one.number)
    size = _NUMBER_MM
    while size > 4.0 and text_width_mm(number, size, True) > _NUMBER_ROOM_MM - 2.0:
        size -= 1.0
    items.append(Text(left, 17.0, number, size, bold=True))
    items.append(Text(left, 23.4, counted(one.total, "sheet"), 3.6, bold=True))
    if one.spares:
        items.append(Text(left, 28.2, f"{one.spares} spare", 3.2, tone=Tone.SOFT))
    items += shifted(drawing.items, left + _NUMBER_ROOM_MM, 1.6)
    start = left + _NUMBER_ROOM_MM + _DRAWING_MM + 4.0
    gap = 4.0
    wide = (right - start - gap) / 2
    depth = drawing.height_mm + 3.0
    body = paper.bottom_mm - paper.top_mm
    row = body / int(body / _LEAST_ROW_MM) - 0.01
    for index, side in enumerate(("front", "back")):
        block, low = _side(plan, run, one, side, start + index * (wide + gap), wide, row, own, show)
        items += block
        depth = max(depth, low)
    return _Row(tuple(items), max(row, depth + 2.0))


def _side(
    plan: PressPlan,
    run: RunPlan,
    one: StackRun,
    side: str,
    x: float,
    wide: float,
    row: float,
    own: frozenset[int] | None,
    show: Callable[[float], str],
) -> tuple[list[Item], float]:
    """Return one side of a stack: box, page of the file in large figures, what to look at, room to write."""
    state: SideState = one.fronts if side == "front" else one.backs
    page = one.front_page if side == "front" else one.back_page
    name = "Fronts" if side == "front" else "Backs"
    items: list[Item] = []
    if state.is_blank or not page or state.waits:
        items.append(Text(x, 7.0, name, 4.6, bold=True, tone=Tone.SOFT))
        more, y = words_block(x, 9.0, wide, f"{file_words(one, side, run.printer)}.", 3.2, lines=7)
        return [*items, *more], y
    items += tick_box(x, 2.6, 7.4, done=not state.left)
    items.append(Text(x + 9.4, 8.4, name, 4.6, bold=True))
    is_up = side == "back" and not run.printer.by_machine and backs_order(run) == UP
    items += _way(x + wide - 1.6, 3.0, 9.6, is_up)
    items.append(Text(x, 19.0, f"p. {page}", 7.4, bold=True))
    items.append(Text(x, 23.6, shorten(file_of(side, run.printer), 3.0, wide), 3.0, tone=Tone.SOFT))
    more, y = words_block(x, 24.6, wide, _amount(run, one, side), 3.2, bold=True, lines=7)
    items += more
    said = f"First sheet: {check_words(plan, one, side, own, show)}."
    if side == "front" and (late := joining_words(run, one)):
        said = f"{late} {said}"
    check, y = words_block(x, y + 0.4, wide, said, 2.9, lines=14)
    items += check
    label = "spoiled" if not state.is_begun else f"{state.made} good, {state.spoiled} spoiled"
    label = shorten(label, 2.9, wide - 8.0)
    low = max(y + 5.4, row - 4.0)
    items += writing_line(x, x + wide, low, label, 2.9)
    return items, low + 1.0


def _amount(run: RunPlan, one: StackRun, side: str) -> str:
    """Return how many are to be printed; with room to write where it is known only when the fronts are done."""
    if is_amount_open(one, side, run.printer):
        return "as many backs as good fronts lie there: ____"
    return amount_words(one, side, run.printer) or "none left"


def _way(x: float, top: float, bottom: float, is_up: bool) -> list[Item]:
    """Return an arrow up or down the list: to the stack that comes next."""
    tip, tail, back = (top, bottom, 1.0) if is_up else (bottom, top, -1.0)
    head = ((x, tip), (x - 1.1, tip + back * 2.4), (x + 1.1, tip + back * 2.4))
    return [Line(x, tail, x, tip + back * 2.0, Pen(0.4)), Polyline(head, None, Tone.INK, True)]


def _spoiled(paper: Paper) -> _Row:
    """Return lines for what went wrong, for the log."""
    left, right = paper.left_mm, paper.right_mm
    items: list[Item] = [
        Line(left, 0.0, right, 0.0, Pen(0.4)),
        Text(left, 6.4, "For the log: stack and side, sheets good, sheets spoiled, minutes", 3.6, bold=True),
    ]
    y = 7.0
    for _ in range(_NOTE_LINES):
        y += _LINE_MM
        items.append(Line(left, y, right, y, FINE))
    return _Row(tuple(items), y + 2.0)
