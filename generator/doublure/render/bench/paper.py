"""What bench sheets share: the paper, head and foot of a page, blocks of words, drawings put in their place.

In: words, scene items. Out: scene items in mm of the sheet. Never: what a sheet says.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from doublure.render.lettering import shorten, text_width_mm, wrap_or_shorten
from doublure.render.scene import (
    FINE,
    Anchor,
    Circle,
    Close,
    Curve,
    Group,
    Image,
    Item,
    Line,
    Move,
    Path,
    Pen,
    Polyline,
    Rect,
    Scene,
    Step,
    Straight,
    Text,
    Tone,
    px_to_mm,
)

#: Every desk printer reaches so far.
MARGIN_MM = 14.0
#: Below the head of a page, and above its foot.
HEAD_MM, FOOT_MM = 17.0, 9.0
_RULE = Pen(0.3)


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper that a bench sheet is printed on, upright, mm."""

    width_mm: float
    height_mm: float
    name: str

    @property
    def left_mm(self) -> float:
        """Where words begin."""
        return MARGIN_MM

    @property
    def right_mm(self) -> float:
        """Where words end."""
        return self.width_mm - MARGIN_MM

    @property
    def room_mm(self) -> float:
        """Width between the margins."""
        return self.width_mm - 2 * MARGIN_MM

    @property
    def top_mm(self) -> float:
        """Where the body begins, below the head of the page."""
        return MARGIN_MM + HEAD_MM

    @property
    def bottom_mm(self) -> float:
        """Where the body ends, above the foot."""
        return self.height_mm - MARGIN_MM - FOOT_MM


A4 = Paper(210.0, 297.0, "A4")
LETTER = Paper(215.9, 279.4, "Letter")


def paper_for(units: str) -> Paper:
    """Return the paper of a replica by the units it is made in: Letter for inches, A4 else."""
    return LETTER if units == "in" else A4


def page_scene(
    paper: Paper, items: Iterable[Item], *, title: str, name: str, of: str, foot: str, number: int, count: int
) -> Scene:
    """Return a page with its head and foot.

    Args:
        paper: The sheet.
        items: The body.
        title: What this sheet is, in a few words.
        name: Title of the replica.
        of: What more there is to say in the head, such as the printer.
        foot: What is to be said on every page.
        number, count: Page so many of so many.
    """
    left, right, top = paper.left_mm, paper.right_mm, MARGIN_MM
    pages = f"page {number} of {count}"
    room = paper.room_mm - text_width_mm(pages, 4.0, True) - 6.0
    head: list[Item] = [
        Text(left, top + 5.0, shorten(title, 6.4, room, bold=True), 6.4, bold=True),
        Text(right, top + 5.0, pages, 4.0, Anchor.END, bold=True),
        Text(
            left,
            top + 10.6,
            shorten(f"{name}. {of}" if of else name, 3.4, paper.room_mm),
            3.4,
            tone=Tone.SOFT,
        ),
        Line(left, top + 13.2, right, top + 13.2, _RULE),
    ]
    base = paper.height_mm - MARGIN_MM
    low: list[Item] = [Line(left, base - 5.0, right, base - 5.0, FINE)]
    low.append(Text(left, base - 0.8, shorten(foot, 3.0, paper.room_mm), 3.0, tone=Tone.SOFT))
    return Scene(
        paper.width_mm,
        paper.height_mm,
        f"{title}, page {number} of {count}" if count > 1 else title,
        f"{title}. {name}.",
        (*head, *items, *low),
    )


def words_block(
    x_mm: float,
    y_mm: float,
    width_mm: float,
    words: str,
    size_mm: float,
    *,
    lines: int = 12,
    tone: Tone = Tone.INK,
    bold: bool = False,
) -> tuple[list[Item], float]:
    """Return words broken into lines, and where the next block may begin.

    Args:
        x_mm, y_mm: Upper left corner.
        width_mm: Room for a line.
        words: What to say.
        size_mm: Height of the em.
        lines: At most so many.
        tone: What it is set in.
        bold: Style.
    """
    items: list[Item] = []
    y = y_mm
    for line in wrap_or_shorten(words, size_mm, width_mm, lines, bold):
        items.append(Text(x_mm, y + size_mm, line, size_mm, tone=tone, bold=bold))
        y += 1.32 * size_mm
    return items, y


def tick_box(x_mm: float, y_mm: float, size_mm: float, done: bool = False) -> list[Item]:
    """Return a box to tick; ticked already where it is done."""
    items: list[Item] = [Rect(x_mm, y_mm, size_mm, size_mm, Pen(0.5))]
    if done:
        s = size_mm
        points = (
            (x_mm + 0.2 * s, y_mm + 0.55 * s),
            (x_mm + 0.42 * s, y_mm + 0.8 * s),
            (x_mm + 0.84 * s, y_mm + 0.2 * s),
        )
        items.append(Polyline(points, Pen(0.7)))
    return items


def writing_line(
    x1_mm: float, x2_mm: float, y_mm: float, label: str = "", size_mm: float = 3.0
) -> list[Item]:
    """Return a line to write on, its label before it."""
    items: list[Item] = []
    start = x1_mm
    if label:
        items.append(Text(x1_mm, y_mm - 0.8, label, size_mm, tone=Tone.SOFT))
        start += text_width_mm(label, size_mm) + 1.0
    items.append(Line(min(start, x2_mm), y_mm, x2_mm, y_mm, Pen(0.25)))
    return items


def shifted(items: Iterable[Item], dx_mm: float, dy_mm: float) -> tuple[Item, ...]:
    """Return items moved."""
    return tuple(_shift(item, dx_mm, dy_mm) for item in items)


def _shift(item: Item, dx: float, dy: float) -> Item:
    match item:
        case Line():
            return Line(item.x1_mm + dx, item.y1_mm + dy, item.x2_mm + dx, item.y2_mm + dy, item.pen)
        case Polyline():
            return replace(item, points_mm=tuple((x + dx, y + dy) for x, y in item.points_mm))
        case Path():
            return replace(item, steps=tuple(_shift_step(step, dx, dy) for step in item.steps))
        case Rect() | Circle() | Text() | Image():
            return replace(item, x_mm=item.x_mm + dx, y_mm=item.y_mm + dy)
        case Group():
            window, about = item.window_mm, item.turned_about_mm
            return replace(
                item,
                items=shifted(item.items, dx, dy),
                window_mm=None if window is None else (window[0] + dx, window[1] + dy, *window[2:]),
                turned_about_mm=None if about is None else (about[0] + dx, about[1] + dy),
            )


def _shift_step(step: Step, dx: float, dy: float) -> Step:
    match step:
        case Move() | Straight():
            return type(step)(step.x_mm + dx, step.y_mm + dy)
        case Curve():
            return Curve(
                step.c1x_mm + dx,
                step.c1y_mm + dy,
                step.c2x_mm + dx,
                step.c2y_mm + dy,
                step.x_mm + dx,
                step.y_mm + dy,
            )
        case Close():
            return step


def px_for_mm(width_mm: float) -> float:
    """Return the width in CSS px at which a drawing comes out so wide.

    Examples:
        >>> px_for_mm(25.4)
        96.0
    """
    return width_mm / px_to_mm(1.0)
