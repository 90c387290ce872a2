"""The paper kit: instructions, scale and reach, fold and creep, cutting, and the form to fill in.

In: Workings. Out: Scenes of A4 or Letter. Never: the register target (target_sheet.py), computing, PDF.
"""

from __future__ import annotations

from doublure.render.bench.kit_shapes import cut_test, edge_stairs, fold_dummy, scale_bar
from doublure.render.bench.paper import (
    Paper,
    page_scene,
    paper_for,
    tick_box,
    words_block,
    writing_line,
)
from doublure.render.draw.hatch import hatch
from doublure.render.kit_words import CAUTION_BLADE, CAUTION_LAMP, STEPS, KitField, KitStep, total_minutes
from doublure.render.lettering import shorten, text_width_mm
from doublure.render.scene import Anchor, Item, Line, Pen, Rect, Scene, Text, Tone
from doublure.workings.all import Workings

TITLE = "Paper kit"
#: The head of a step on the form.
_STEP_MM = 6.4
DEFER = "Follow the rules where you work; leave to a trained person what needs one."
_FOOT = "Print at 100 %, never fitted to the page, on the stock itself. Not yet tried on paper."


def kit_scenes(work: Workings) -> tuple[Scene, ...]:
    """Return the five sheets of the kit.

    Args:
        work: Everything computed; the title and the units of the replica count.
    """
    replica = work.replica.replica
    paper = paper_for(replica.units)
    sheets = (
        ("Paper kit", f"About {total_minutes()} minutes, thought out at a desk", _instructions(paper)),
        ("Scale and reach", "Print once", _scale(paper)),
        ("Fold and creep", "Print four", fold_dummy(paper)),
        ("Cutting", "Print once or more", _cutting(paper)),
        ("What was read", "Copy it into the notes", _form(paper)),
    )
    return tuple(
        page_scene(
            paper,
            items,
            title=title,
            name=replica.title,
            of=of,
            foot=_FOOT,
            number=number,
            count=len(sheets),
        )
        for number, (title, of, items) in enumerate(sheets, 1)
    )


def _instructions(paper: Paper) -> list[Item]:
    left, room = paper.left_mm, paper.room_mm
    items: list[Item] = []
    y = paper.top_mm
    for number, step in enumerate(STEPS, 1):
        block, y = _step(paper, number, step, y)
        items += block
    items += _caution(left, y + 1.0, room)
    return items


def _step(paper: Paper, number: int, step: KitStep, top: float) -> tuple[list[Item], float]:
    left, right = paper.left_mm, paper.right_mm
    items: list[Item] = list(tick_box(left, top + 0.6, 6.4))
    items.append(Text(left + 9.0, top + 5.8, f"{number}. {step.name}", 5.0, bold=True))
    items.append(Text(right, top + 5.6, f"{step.minutes} min", 4.0, Anchor.END, Tone.SOFT))
    y = top + 7.4
    for words in step.does:
        block, y = words_block(left + 9.0, y, paper.room_mm - 9.0, words, 4.0, lines=3)
        items += block
    return items, y + 3.0


def _caution(left: float, top: float, room: float) -> list[Item]:
    """Return the caution about blades and lamps, told apart by its hatched edge."""
    items: list[Item] = []
    y = top + 2.6
    items.append(Text(left + 9.0, y + 3.2, "CAUTION, blades and lamps", 3.6, bold=True))
    y += 4.8
    for words in (CAUTION_BLADE, CAUTION_LAMP, DEFER):
        block, y = words_block(
            left + 9.0, y, room - 12.0, words, 3.3, lines=3, tone=Tone.SOFT if words == DEFER else Tone.INK
        )
        items += block
    height = y + 2.0 - top
    stripes = hatch(left, top, 5.0, height, Pen(0.7), 2.4)
    frame: list[Item] = [
        Rect(left, top, room, height, Pen(0.6)),
        Line(left + 5.0, top, left + 5.0, top + height, Pen(0.6)),
    ]
    return [*frame, *([stripes] if stripes is not None else []), *items]


def _scale(paper: Paper) -> list[Item]:
    """Return bars of 100 mm both ways, and a stair of lines at each edge."""
    items: list[Item] = []
    middle = paper.width_mm / 2
    words = (
        "Bars: both must be 100.0 mm by a steel rule. Where they are not, the print dialogue has scaled the page: turn "
        "that off and print again."
    )
    block, y = words_block(paper.left_mm + 8.0, paper.top_mm + 3.0, paper.room_mm - 16.0, words, 3.8, lines=4)
    items += block
    items += scale_bar(middle - 50.0, y + 14.0, along=False)
    items += scale_bar(middle, y + 32.0, along=True)
    words = (
        "Edges: at each edge find the smallest number whose line was printed whole. So many millimetres the printer "
        "leaves bare there."
    )
    block, _ = words_block(paper.left_mm + 8.0, y + 144.0, paper.room_mm - 16.0, words, 3.8, lines=4)
    items += block
    for edge in ("head", "foot", "left", "right"):
        items += edge_stairs(paper, edge)
    return items


def _cutting(paper: Paper) -> list[Item]:
    words = (
        "Cut along the four long lines from edge to edge, with the rule and the knife that the book will be cut with. "
        "At both ends of each cut read how far it lies from its line: the strokes are half a millimetre apart."
    )
    block, y = words_block(paper.left_mm, paper.top_mm + 3.0, paper.room_mm, words, 3.8, lines=4)
    return [*block, *cut_test(paper, y + 4.0)]


def _form(paper: Paper) -> list[Item]:
    left, right = paper.left_mm, paper.right_mm
    third = paper.room_mm / 3
    y = paper.top_mm + 7.0
    items: list[Item] = []
    for number, label in enumerate(("Printer", "Stock", "Date")):
        items += writing_line(left + number * third, left + (number + 1) * third - 4.0, y, label, 3.6)
    y += 3.6
    figures = sum(len(step.fields) for step in STEPS)
    row = min(11.5, (paper.bottom_mm - y - _STEP_MM * len(STEPS)) / figures)
    for step in STEPS:
        items.append(Line(left, y, right, y, Pen(0.4)))
        items.append(Text(left, y + 5.0, step.name, 4.2, bold=True))
        y += _STEP_MM
        for one in step.fields:
            items += _form_row(paper, one, y)
            y += row
    return items


def _form_row(paper: Paper, one: KitField, y: float) -> list[Item]:
    """Return one figure: what it is, lines to write on, and where it goes."""
    left, right = paper.left_mm, paper.right_mm
    column = left + 0.36 * paper.room_mm
    items: list[Item] = [Text(left, y + 4.4, shorten(one.words, 3.4, column - left - 2.0), 3.4)]
    count = min(one.times, 8)
    unit = one.unit
    room = right - column - (text_width_mm(unit, 3.4) + 2.0 if unit else 0.0)
    wide = room / count
    for number in range(count):
        x = column + number * wide
        items.append(Line(x, y + 4.8, x + wide - 2.5, y + 4.8, Pen(0.25)))
    if unit:
        items.append(Text(right, y + 4.4, unit, 3.4, Anchor.END, Tone.SOFT))
    where = f"{one.note}: {one.field}" if one.note else one.field
    items.append(Text(column, y + 8.0, shorten(where, 2.7, right - column), 2.7, tone=Tone.SOFT))
    return items
