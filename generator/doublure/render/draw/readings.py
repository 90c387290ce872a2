"""The readings of one attribute on one axis: each with its bar, by stem, and what they come to together.

In: ReadingsSpec (values already combined). Out: a Scene. Never: combining readings or judging them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.draw.figures import counted, plain
from doublure.render.draw.standing_line import check_standing, standing_stroke
from doublure.render.lettering import centred_baseline_mm, shorten, text_width_mm
from doublure.render.scene import (
    FINE,
    HAIR,
    LINE,
    Anchor,
    Circle,
    Group,
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


@dataclass(frozen=True, slots=True)
class ReadingPoint:
    """One reading.

    Attributes:
        source: Name of the evidence.
        value: What was read, in the unit of the spec.
        u: Its standard uncertainty, or None where none is stated.
        href: Address of the evidence; "" for none.
        odd: True where it is the one that the others speak against.
    """

    source: str
    value: float
    u: float | None = None
    href: str = ""
    odd: bool = False


@dataclass(frozen=True, slots=True)
class StemReadings:
    """The readings of one stem, and what they come to as one witness where that was worked out."""

    stem: str
    readings: tuple[ReadingPoint, ...]
    value: float | None = None
    u: float | None = None
    href: str = ""
    odd: bool = False


@dataclass(frozen=True, slots=True)
class ReadingsSpec:
    """All readings of one attribute.

    Attributes:
        attribute: Its name ("width").
        unit: Unit of every value ("mm").
        stems: Readings by stem.
        combined: Combined value and its standard uncertainty, or None.
        interval: Ends of the combined interval, shown as a band; None leaves the band out.
        interval_words: What the interval is ("95 % interval").
        decided: The decided value, or None.
        standing: Standing of the attribute.
    """

    attribute: str
    unit: str
    stems: tuple[StemReadings, ...]
    combined: tuple[float, float] | None = None
    interval: tuple[float, float] | None = None
    interval_words: str = "combined interval"
    decided: float | None = None
    standing: str = "open"


_NAME_MM = 3.1
_SMALL_MM = 2.8
_STEPS = (1.0, 2.0, 5.0)


@dataclass(frozen=True, slots=True)
class _Axis:
    """Where values lie on the drawing."""

    low: float
    high: float
    left: float
    right: float

    def x(self, value: float) -> float:
        return self.left + (value - self.low) / (self.high - self.low) * (self.right - self.left)


def _step(span: float, most: int) -> float:
    """Return the smallest step of 1, 2 or 5 times a power of ten that gives at most so many ticks."""
    power = 0.0001
    while True:
        for base in _STEPS:
            if span / (base * power) <= most:
                return base * power
        power *= 10


def _axis(spec: ReadingsSpec, left: float, right: float) -> _Axis:
    values = [v for s in spec.stems for r in s.readings for v in (r.value - (r.u or 0), r.value + (r.u or 0))]
    values += [
        v for s in spec.stems if s.value is not None for v in (s.value - (s.u or 0), s.value + (s.u or 0))
    ]
    values += spec.interval or ()
    values += (spec.combined[0],) if spec.combined else ()
    values += (spec.decided,) if spec.decided is not None else ()
    low, high = min(values), max(values)
    # One value alone, or equal ones, still need an axis.
    margin = 0.09 * (high - low) if high - low > 1e-6 else max(0.02 * abs(high), 0.5)
    return _Axis(low - margin, high + margin, left, right)


def _amount(value: float, u: float | None, unit: str = "") -> str:
    """Return a value with its uncertainty, which fixes the decimals: two figures of it, fewer where it has
    fewer."""
    if u is None:
        text = plain(value, 2)
    else:
        decimals = min(4, max(0, 1 - math.floor(math.log10(u)))) if u > 0 else 2
        while decimals and float(f"{u:.{decimals}f}") == float(f"{u:.{decimals - 1}f}"):
            decimals -= 1
        text = f"{value:.{decimals}f} ± {u:.{decimals}f}"
    return f"{text} {unit}".rstrip()


def _mark(axis: _Axis, value: float, u: float | None, y: float, tone: Tone, filled: bool) -> list[Item]:
    """Return a point with its bar; where no uncertainty is stated the bar is two loose ends."""
    pen = Pen(0.3, tone)
    x = axis.x(value)
    items: list[Item] = []
    if u is None:
        items += [Line(x + s * 1.6, y, x + s * 2.8, y, Pen(0.3, tone, (0.4, 0.4))) for s in (-1, 1)]
    elif u > 0:
        a, b = axis.x(value - u), axis.x(value + u)
        items.append(Line(a, y, b, y, pen))
        items += [Line(e, y - 1.0, e, y + 1.0, pen) for e in (a, b)]
    items.append(Circle(x, y, 0.85, pen, tone if filled else Tone.PAPER))
    return items


def _reading_row(
    reading: ReadingPoint, axis: _Axis, y: float, name_y: float, room: float, width: float, unit: str
) -> Item:
    tone = Tone.ACCENT if reading.odd else Tone.INK
    items = _mark(axis, reading.value, reading.u, y, tone, True)
    amount = _amount(reading.value, reading.u)
    items.append(Text(width - 0.6, name_y, amount, _NAME_MM, Anchor.END, tone))
    name = reading.source
    if reading.odd:
        pointed = _odd_one(axis, reading.value, reading.u, y)
        items += pointed
        name = name if len(pointed) > 1 else f"the odd one: {name}"
    items.append(Text(3.6, name_y, shorten(name, _NAME_MM, room - 3.6), _NAME_MM, tone=tone))
    stated = "" if reading.u is not None else ", uncertainty not stated"
    odd = ", the odd one" if reading.odd else ""
    title = f"{reading.source}: {_amount(reading.value, reading.u, unit)}{stated}{odd}"
    target = Rect(0.6, min(y, name_y) - 3.2, width - 1.2, max(y, name_y) - min(y, name_y) + 5.0)
    return Group((target, *items), title, reading.href)


def _odd_one(axis: _Axis, value: float, u: float | None, y: float) -> list[Item]:
    """Return a ring about the odd one, and words on the side of its bar that has room, if either has."""
    words = "the odd one"
    a, b = axis.x(value - (u or 0)), axis.x(value + (u or 0))
    left, right = min(a, axis.x(value) - 2.8) - 1.2, max(b, axis.x(value) + 2.8) + 1.2
    room = text_width_mm(words, _SMALL_MM)
    items: list[Item] = [Circle(axis.x(value), y, 2.1, Pen(0.3, Tone.ACCENT))]
    baseline = centred_baseline_mm(y, _SMALL_MM)
    if right + room <= axis.right:
        items.append(Text(right, baseline, words, _SMALL_MM, tone=Tone.ACCENT, italic=True))
    elif left - room >= axis.left:
        items.append(Text(left, baseline, words, _SMALL_MM, Anchor.END, Tone.ACCENT, italic=True))
    return items


def _scale(axis: _Axis, y: float, unit: str) -> list[Item]:
    """Return the axis: ticks like those of a rule, figures below."""
    span = axis.high - axis.low
    decimals_room = text_width_mm("8888.8", _SMALL_MM) + 3.0
    big = _step(span, max(2, int((axis.right - axis.left) / decimals_room)))
    small = _step(span, max(4, int((axis.right - axis.left) / 1.4)))
    ticks: list[Step] = []
    items: list[Item] = [Line(axis.left, y, axis.right, y, LINE)]
    first = int(axis.low / small) - 1
    for i in range(first, int(axis.high / small) + 2):
        value = i * small
        if not axis.low <= value <= axis.high:
            continue
        long = abs(value / big - round(value / big)) < 1e-6
        ticks += [Move(axis.x(value), y), Straight(axis.x(value), y + (2.4 if long else 1.2))]
        if long and axis.left + 3 < axis.x(value) < axis.right - 9:
            items.append(Text(axis.x(value), y + 5.6, plain(value, 3), _SMALL_MM, Anchor.MIDDLE, Tone.SOFT))
    items.append(Path(tuple(ticks), FINE))
    items.append(Text(axis.right, y + 5.6, unit, _SMALL_MM, Anchor.END, Tone.SOFT, italic=True))
    return items


def _note(axis: _Axis, x: float, y: float, words: str, tone: Tone, left: float) -> Text:
    """Return words centred on x, moved to stay between the left edge and the end of the axis."""
    half = text_width_mm(words, _NAME_MM) / 2
    at = min(max(x, left + half), max(left + half, axis.right - half))
    return Text(at, y, words, _NAME_MM, Anchor.MIDDLE, tone)


def _levels(spec: ReadingsSpec, axis: _Axis, zones: list[tuple[float, float]]) -> list[Item]:
    """Return the combined interval and value behind the bars; zones are the heights that hold no words."""
    items: list[Item] = []
    for top, bottom in zones:
        if spec.interval:
            a, b = axis.x(spec.interval[0]), axis.x(spec.interval[1])
            items.append(Rect(a, top, b - a, bottom - top, None, Tone.PAPER2))
            items += [Line(e, top, e, bottom, HAIR) for e in (a, b)]
        if spec.combined:
            x = axis.x(spec.combined[0])
            items.append(Line(x, top, x, bottom, Pen(0.22, Tone.SOFT, (1.8, 0.8))))
    return items


def _decided(spec: ReadingsSpec, axis: _Axis, zones: list[tuple[float, float]], top: float) -> Item:
    """Return the decided value: a line in its standing through the bars, a wedge and words above."""
    value = spec.decided or 0.0
    x = axis.x(value)
    words = f"decided {plain(value, 2)} {spec.unit}, {spec.standing}"
    items: list[Item] = []
    for begin, end in zones:
        items += standing_stroke(((x, begin), (x, end)), spec.standing, 0.8)
    items.append(Polyline(((x - 1.3, top - 3.6), (x + 1.3, top - 3.6), (x, top - 1.0)), None, Tone.INK, True))
    items.append(_note(axis, x, 3.4, words, Tone.INK, 0.6))
    return Group(tuple(items), words, standing=spec.standing)


def draw_readings(spec: ReadingsSpec, width_px: float = 900) -> Scene:
    """Draw the readings of one attribute.

    Args:
        spec: The readings; at least one.
        width_px: Width in CSS px, >= 280; from 640 px on, names stand beside their bars, below that above.

    Returns:
        The scene, width_px wide: bars of one standard uncertainty, an open bar where none is stated, a ring
        for what a whole stem comes to, the combined interval as a band, the decided value as a line in its
        standing.

    Raises:
        DomainError: No reading, a word that is no standing, a negative uncertainty, or a width under 280 px.
    """
    check_standing(spec.standing)
    readings = [r for s in spec.stems for r in s.readings]
    if not readings:
        raise DomainError("There are no readings to draw", "stems")
    if any(r.u is not None and r.u < 0 for r in readings):
        raise DomainError("A standard uncertainty cannot be negative", "u")
    if width_px < 280:
        raise DomainError("Readings need a width of at least 280 px", "width_px")
    width = px_to_mm(width_px)
    beside = width_px >= 640
    amount_room = max(text_width_mm(_amount(r.value, r.u), _NAME_MM) for r in readings) + 3.0
    name_room = min(62.0, 0.3 * width) if beside else width - amount_room - 1.2
    axis = _axis(
        spec, name_room + 3.0 if beside else 1.2, width - amount_room - 1.5 if beside else width - 1.2
    )
    top = 8.2 if spec.decided is not None else 1.0
    y = top
    rows: list[Item] = []
    zones: list[tuple[float, float]] = []
    for number, stem in enumerate(spec.stems):
        if number:
            rows.append(Line(0.6, y, width - 0.6, y, HAIR))
        y += 5.0
        tone = Tone.ACCENT if stem.odd else Tone.INK
        name = shorten(stem.stem, _NAME_MM, name_room, bold=True)
        stem_items: list[Item] = [Text(0.6, y, name, _NAME_MM, tone=tone, bold=True)]
        says = f"Stem {stem.stem}"
        if stem.value is not None and len(stem.readings) > 1:
            at = y - 1.1 if beside else y + 3.4
            stem_items += _mark(axis, stem.value, stem.u, at, tone, False)
            stem_items.append(
                Text(width - 0.6, y, _amount(stem.value, stem.u), _NAME_MM, Anchor.END, tone, bold=True)
            )
            says += f" together: {_amount(stem.value, stem.u, spec.unit)}"
            zones.append((at - 2.3, at + 2.3))
            if stem.odd:
                stem_items += _odd_one(axis, stem.value, stem.u, at)
                says += ", the odd one"
            y += 0.0 if beside else 4.6
        rows.append(Group(tuple(stem_items), says, stem.href))
        for reading in stem.readings:
            y += 6.6 if beside else 5.6
            at = y - 1.1 if beside else y + 3.6
            zones.append((at - 2.3, at + 2.3))
            rows.append(_reading_row(reading, axis, at, y, name_room, width, spec.unit))
            y += 0.0 if beside else 4.8
        y += 3.6
    y += 1.0
    if beside:
        zones = [(top, y)]
    back = _levels(spec, axis, zones)
    front: list[Item] = _scale(axis, y, spec.unit)
    height = y + 7.0
    if spec.combined:
        words = f"together {_amount(*spec.combined, spec.unit)}"
        front.append(_note(axis, axis.x(spec.combined[0]), y + 10.4, words, Tone.INK, 0.6))
        height = y + 11.8
    if spec.decided is not None:
        front.append(_decided(spec, axis, zones, top))
    words = f"{counted(len(readings), 'reading')} on {counted(len(spec.stems), 'stem')}"
    words += f"; together {_amount(*spec.combined, spec.unit)}" if spec.combined else ""
    if spec.interval:
        ends = " to ".join(plain(end, 2) for end in spec.interval)
        words += f"; band: {spec.interval_words}, {ends} {spec.unit}"
    words += f"; decided {plain(spec.decided, 2)} {spec.unit}" if spec.decided is not None else ""
    words += f"; {spec.standing}. Bars are one standard uncertainty each way."
    return Scene(width, height, f"Readings of the {spec.attribute}", words, (*back, *rows, *front))
