"""How a pile of sheets is laid into the tray: seen from above, sheets going in at the top.

In: LayingSpec. Out: a small Scene. Never: working out what a printer turns.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.lettering import shorten, text_width_mm, wrap_or_shorten
from doublure.render.scene import (
    FINE,
    HEAVY,
    LINE,
    Anchor,
    Item,
    Line,
    Pen,
    Point,
    Polyline,
    Rect,
    Scene,
    Text,
    Tone,
    px_to_mm,
)

#: Where the head points, as a step on the drawing: the sheets go in upwards.
_TOWARDS = {"in": (0.0, -1.0), "out": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}


@dataclass(frozen=True, slots=True)
class LayingSpec:
    """One pass.

    Attributes:
        title: Such as "Fronts".
        across_mm, along_mm: The sheet as it lies: across the way that it goes, and along it.
        head_towards: "in", "out", "left" or "right" (trade/press/run_records.py).
        upper: What the upper side shows: "blank" or "printed".
        prints_upper: True where the upper side is the one that is printed now.
        words: What else is to be said, below.
    """

    title: str
    across_mm: float
    along_mm: float
    head_towards: str
    upper: str
    prints_upper: bool
    words: str = ""


_WORDS_MM = 2.9
_TITLE_MM = 3.8
_SHEET_MM = 44.0


def _wedge(at: Point, towards: Point, size: float) -> Polyline:
    (x, y), (ux, uy) = at, towards
    base = (x - ux * size, y - uy * size)
    wing = 0.55 * size
    points = (at, (base[0] - uy * wing, base[1] + ux * wing), (base[0] + uy * wing, base[1] - ux * wing))
    return Polyline(points, None, Tone.INK, True)


def _arrow(x: float, bottom: float, top: float) -> list[Item]:
    """Return the way that the sheets go."""
    return [Line(x, bottom, x, top + 2.4, HEAVY), _wedge((x, top), (0.0, -1.0), 3.2)]


def _print_lines(left: float, top: float, width: float, height: float, towards: Point) -> list[Item]:
    """Return strokes like lines of a page, the short last one telling where its foot is."""
    items: list[Item] = []
    across = towards[0] == 0
    long, deep = (width, height) if across else (height, width)
    count = max(3, int(deep / 3.4))
    for i in range(2, count):
        share = i / (count + 1)
        length = (0.38 if i == count - 1 else 0.8) * long
        start = 0.1 * long
        down = share * deep
        if towards == (0.0, -1.0):
            ends = (left + start, top + down, left + start + length, top + down)
        elif towards == (0.0, 1.0):
            ends = (
                left + width - start,
                top + height - down,
                left + width - start - length,
                top + height - down,
            )
        elif towards == (-1.0, 0.0):
            ends = (left + down, top + height - start, left + down, top + height - start - length)
        else:
            ends = (left + width - down, top + start, left + width - down, top + start + length)
        items.append(Line(*ends, Pen(0.7, Tone.LINE)))
    return items


def draw_laying(spec: LayingSpec, width_px: float = 320) -> Scene:
    """Draw a pile in its tray.

    Args:
        spec: The pass.
        width_px: Width in CSS px, >= 240.

    Returns:
        The scene, width_px wide: the printer at the top, the tray below it, the upper side of the pile with
        its head marked, an arrow the way that the sheets go.

    Raises:
        DomainError: A sheet without size, a head that points nowhere known, or a width under 240 px.
    """
    if width_px < 240:
        raise DomainError("A tray needs a width of at least 240 px", "width_px")
    if min(spec.across_mm, spec.along_mm) <= 0:
        raise DomainError("A sheet must be wider and longer than 0 mm", "across_mm")
    if spec.head_towards not in _TOWARDS:
        raise DomainError(
            f'the head cannot point "{spec.head_towards}": in, out, left or right', "head_towards"
        )
    width = px_to_mm(width_px)
    inner = width - 1.2
    scale = min(_SHEET_MM / spec.along_mm, (inner - 22.0) / spec.across_mm)
    wide, long = spec.across_mm * scale, spec.along_mm * scale
    middle = 0.6 + inner / 2
    items: list[Item] = [
        Text(0.6, 4.0, shorten(spec.title, _TITLE_MM, inner, bold=True), _TITLE_MM, bold=True)
    ]
    printer = 6.4
    items.append(Rect(middle - wide / 2 - 7.0, printer, wide + 14.0, 8.4, LINE, Tone.PAPER2, 1.0))
    items.append(Text(middle, printer + 5.2, "printer", _WORDS_MM, Anchor.MIDDLE, Tone.SOFT))
    top = printer + 8.4 + 3.0
    left = middle - wide / 2
    # The tray: two guides and a slot.
    items += [
        Line(left - 1.6, printer + 8.4, left - 1.6, top + long + 2.0, FINE),
        Line(left + wide + 1.6, printer + 8.4, left + wide + 1.6, top + long + 2.0, FINE),
    ]
    for back in (1.4, 0.7):
        items.append(Rect(left + back, top + back, wide, long, Pen(0.2, Tone.SOFT), Tone.PAPER))
    items.append(Rect(left, top, wide, long, LINE, Tone.PAPER))
    towards = _TOWARDS[spec.head_towards]
    if spec.upper == "printed":
        items += _print_lines(left, top, wide, long, towards)
    centre = (left + wide / 2, top + long / 2)
    edge = (centre[0] + towards[0] * (wide / 2 - 1.0), centre[1] + towards[1] * (long / 2 - 1.0))
    items.append(_wedge(edge, towards, 3.4))
    room = text_width_mm("head", _WORDS_MM) / 2 + 1.0
    head = (edge[0] - towards[0] * (4.4 + room), edge[1] - towards[1] * 6.4)
    items.append(Rect(head[0] - room, head[1] - 2.2, 2 * room, 4.4, None, Tone.PAPER))
    items.append(Text(head[0], head[1] + 1.0, "head", _WORDS_MM, Anchor.MIDDLE))
    upper = "printed side up" if spec.upper == "printed" else "blank side up"
    if spec.head_towards in ("in", "out") or wide > 40:
        at = centre[1] + (4.0 if spec.head_towards == "in" else -1.0)
        half = text_width_mm(upper, _WORDS_MM) / 2 + 0.8
        if 2 * half < wide:
            items.append(Rect(centre[0] - half, at - 3.0, 2 * half, 4.4, None, Tone.PAPER))
            items.append(Text(centre[0], at, upper, _WORDS_MM, Anchor.MIDDLE))
    items += _arrow(left + wide + 6.0, top + long, printer + 9.4)
    y = top + long + 4.0
    said = f"{upper.capitalize()}; the print comes on the {'upper' if spec.prints_upper else 'lower'} side."
    for line in wrap_or_shorten(said, _WORDS_MM, inner, 2):
        y += 3.8
        items.append(Text(0.6, y, line, _WORDS_MM))
    for line in wrap_or_shorten(spec.words, _WORDS_MM, inner, 4) if spec.words else ():
        y += 3.8
        items.append(Text(0.6, y, line, _WORDS_MM, tone=Tone.SOFT))
    towards_words = {
        "in": "the head goes in first",
        "out": "the head goes in last",
        "left": "the head points to the left",
        "right": "the head points to the right",
    }[spec.head_towards]
    return Scene(
        width,
        y + 1.4,
        f"{spec.title}: how to lay the pile in",
        f"{towards_words}. {said}".capitalize(),
        tuple(items),
    )
