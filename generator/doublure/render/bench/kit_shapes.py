"""What the sheets of the paper kit measure with: bars, stairs at the edges, a fold, cut lines with their scales.

In: a Paper and places on it. Out: scene items in mm of the sheet, true size. Never: what to do with them.
"""

from __future__ import annotations

from doublure.render.bench.paper import Paper, words_block, writing_line
from doublure.render.lettering import CAP
from doublure.render.scene import (
    Anchor,
    Item,
    Line,
    Move,
    Path,
    Pen,
    Polyline,
    Rect,
    Step,
    Straight,
    Text,
    Tone,
)

BAR_MM = 100.0
_BAR = Pen(0.35)
_THIN = Pen(0.15)
_CUT = Pen(0.2)
#: Steps of a stair, mm from the edge, and how far one step lies beside the next.
STAIR_STEPS = 10
_STAIR_WIDE_MM = 5.0
#: Half the reach of a scale across a fold or a cut, and how far its strokes lie apart.
_SCALE_REACH_MM = 4.0
_SCALE_STEP_MM = 0.5


def scale_bar(x_mm: float, y_mm: float, *, along: bool) -> list[Item]:
    """Return a bar of 100 mm with ticks each 10 mm, across from (x, y), or along below it."""
    steps: list[Step] = []
    items: list[Item] = []
    for i in range(11):
        tick = 4.0 if i in (0, 5, 10) else 2.0
        at = i * BAR_MM / 10
        if along:
            steps += [Move(x_mm - tick / 2, y_mm + at), Straight(x_mm + tick / 2, y_mm + at)]
        else:
            steps += [Move(x_mm + at, y_mm - tick / 2), Straight(x_mm + at, y_mm + tick / 2)]
    end = (x_mm, y_mm + BAR_MM) if along else (x_mm + BAR_MM, y_mm)
    items.append(Line(x_mm, y_mm, *end, _BAR))
    items.append(Path(tuple(steps), _BAR))
    words = f"{BAR_MM:g} mm"
    if along:
        items.append(Text(x_mm + 4.5, y_mm + BAR_MM / 2 + 1.4, words, 4.0))
    else:
        items.append(Text(x_mm + BAR_MM / 2, y_mm - 3.6, words, 4.0, Anchor.MIDDLE))
    return items


def edge_stairs(paper: Paper, edge: str) -> list[Item]:
    """Return lines 1, 2, 3 … mm from an edge, each beside the one before, its number on the inner side.

    Args:
        paper: The sheet.
        edge: "head", "foot", "left" or "right".
    """
    items: list[Item] = []
    is_level = edge in ("head", "foot")
    length = STAIR_STEPS * _STAIR_WIDE_MM
    start = ((paper.width_mm if is_level else paper.height_mm) - length) / 2
    for step in range(1, STAIR_STEPS + 1):
        a = start + (step - 1) * _STAIR_WIDE_MM
        b = a + _STAIR_WIDE_MM - 0.6
        middle = (a + b) / 2
        if edge == "head":
            items.append(Line(a, step, b, step, Pen(0.2)))
            items.append(Text(middle, step + 3.2, str(step), 2.7, Anchor.MIDDLE))
        elif edge == "foot":
            y = paper.height_mm - step
            items.append(Line(a, y, b, y, Pen(0.2)))
            items.append(Text(middle, y - 1.0, str(step), 2.7, Anchor.MIDDLE))
        else:
            x = float(step) if edge == "left" else paper.width_mm - step
            beside = x + 1.2 if edge == "left" else x - 1.2
            items.append(Line(x, a, x, b, Pen(0.2)))
            anchor = Anchor.START if edge == "left" else Anchor.END
            items.append(Text(beside, middle + CAP * 2.7 / 2, str(step), 2.7, anchor))
    return items


def _comb(x_mm: float, y_mm: float, *, level: bool) -> list[Item]:
    """Return strokes each half millimetre to both sides of a line through (x, y); longer at each millimetre.

    Args:
        x_mm, y_mm: A point of the line.
        level: True where the line runs from left to right.
    """
    steps: list[Step] = []
    items: list[Item] = []
    count = round(_SCALE_REACH_MM / _SCALE_STEP_MM)
    for i in range(-count, count + 1):
        off = i * _SCALE_STEP_MM
        half = 3.2 if i % 4 == 0 else 2.2 if i % 2 == 0 else 1.2
        if level:
            steps += [Move(x_mm - half, y_mm + off), Straight(x_mm + half, y_mm + off)]
        else:
            steps += [Move(x_mm + off, y_mm - half), Straight(x_mm + off, y_mm + half)]
        if i % 4 == 0 and i:
            # Twos on one side of the scale and fours on the other: figures are higher than 2 mm.
            number = str(abs(i) // 2)
            side = -1.0 if number == "2" else 1.0
            if level:
                anchor = Anchor.END if side < 0 else Anchor.START
                items.append(Text(x_mm + side * 4.0, y_mm + off + CAP * 2.7 / 2, number, 2.7, anchor))
            else:
                low = y_mm - 4.0 if side < 0 else y_mm + 4.0 + CAP * 2.7
                items.append(Text(x_mm + off, low, number, 2.7, Anchor.MIDDLE))
    return [Path(tuple(steps), _THIN), *items]


def fold_dummy(paper: Paper) -> list[Item]:
    """Return the dummy: a fold across the sheet with scales, room for readings, the number of its place.

    It is folded once, print outside, so that the fold lies across the longer way, as that of a folio.
    """
    left, right, middle = paper.left_mm, paper.right_mm, paper.height_mm / 2
    centre = paper.width_mm / 2
    items: list[Item] = [
        Line(left, middle, right, middle, Pen(0.2, Tone.INK, (3.0, 2.0))),
        *(item for x in (left + 10.0, centre, right - 14.0) for item in _comb(x, middle, level=True)),
    ]
    words = (
        "Print four of these, mark them 1 to 4, fold each along the broken line with the print outside, press the fold "
        "flat. Nest them, 1 outermost, and knock them up at the fold."
    )
    block, y = words_block(left, paper.top_mm + 3.0, paper.room_mm, words, 4.0, lines=4)
    items += block
    items.append(Text(left, y + 8.0, "This sheet is number", 4.0))
    for number in range(1, 5):
        x = left + 46.0 + 14.0 * number
        items.append(Rect(x - 5.0, y + 1.4, 10.0, 10.0, Pen(0.4)))
        items.append(Text(x, y + 8.4, str(number), 5.4, Anchor.MIDDLE))
    y += 20.0
    items.append(Text(left, y, "Fold lies off its line, towards this heading", 4.0, bold=True))
    block, y = words_block(
        left,
        y + 1.6,
        paper.room_mm,
        "Open it and read at the three scales; to the other side with a minus.",
        3.6,
        lines=2,
    )
    items += block
    third = paper.room_mm / 3
    for number, label in enumerate(("left", "middle", "right")):
        items += writing_line(left + number * third, left + (number + 1) * third - 10.0, y + 9.0, label, 3.4)
        items.append(Text(left + (number + 1) * third - 8.6, y + 8.2, "mm", 3.4, tone=Tone.SOFT))
    items += _measure_here(paper)
    return items


def _measure_here(paper: Paper) -> list[Item]:
    """Return the three places at the fore-edge where the creep is measured, on the lower half of the sheet."""
    left, room = paper.left_mm, paper.room_mm
    y = paper.height_mm / 2 + 16.0
    items: list[Item] = [Text(left, y, "Innermost stands out beyond the outermost", 4.0, bold=True)]
    words = (
        "On sheet 1 alone: with all four nested and the fold against a flat edge, measure at the three arrows from the "
        "edge of this sheet to the edge of the innermost."
    )
    block, y = words_block(left, y + 1.6, room, words, 3.6, lines=3)
    items += block
    third = room / 3
    base = paper.bottom_mm - 2.0
    for number in range(3):
        x = left + (number + 0.5) * third
        items.append(Line(x, base - 26.0, x, base - 3.0, Pen(0.5)))
        items.append(
            Polyline(((x, base), (x - 1.6, base - 4.0), (x + 1.6, base - 4.0)), None, Tone.INK, True)
        )
        items.append(Text(x + 3.0, base - 12.0, str(number + 1), 6.0, bold=True))
        items += writing_line(x - 20.0, x + 14.0, y + 12.0, str(number + 1), 3.6)
        items.append(Text(x + 15.4, y + 11.2, "mm", 3.4, tone=Tone.SOFT))
    return items


def cut_test(paper: Paper, top_mm: float) -> list[Item]:
    """Return four lines to cut along, a scale at both ends of each, and room for the readings in the middle.

    Args:
        paper: The sheet.
        top_mm: Where the space for it begins.
    """
    left, right = paper.left_mm + 20.0, paper.right_mm - 20.0
    top, bottom = top_mm + 16.0, paper.bottom_mm - 16.0
    items: list[Item] = []
    for y in (top, bottom):
        items.append(Line(paper.left_mm, y, paper.right_mm, y, _CUT))
        for x in (left + 16.0, right - 16.0):
            items += _comb(x, y, level=True)
    for x in (left, right):
        items.append(Line(x, top_mm, x, paper.bottom_mm, _CUT))
        for y in (top + 22.0, bottom - 22.0):
            items += _comb(x, y, level=False)
    column = left + 12.0
    y = top + 40.0
    items.append(Text(column, y, "Cut lies off its line", 4.4, bold=True))
    ends = (("upper line", "left end", "right end"), ("lower line", "left end", "right end"),
            ("left line", "upper end", "lower end"), ("right line", "upper end", "lower end"))  # fmt: skip
    room = right - 12.0 - column
    for name, one, other in ends:
        y += 16.0
        items.append(Text(column, y - 0.8, name, 3.8))
        for number, label in enumerate((one, other)):
            x = column + 0.28 * room + number * 0.37 * room
            items += writing_line(x, x + 0.27 * room, y, label, 3.2)
            items.append(Text(x + 0.28 * room, y - 0.8, "mm", 3.2, tone=Tone.SOFT))
    block, _ = words_block(
        column,
        y + 8.0,
        room,
        "Inwards with a minus. The largest of the eight goes into replica.yml.",
        3.4,
        lines=3,
    )
    return items + block
