"""The map of register: where backs land against their fronts, exaggerated, with the room that 95 % need.

In: RegisterMapSpec. Out: a Scene. Never: fitting or predicting.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.lettering import shorten, text_width_mm, wrap_or_shorten
from doublure.render.scene import (
    FINE,
    LINE,
    Circle,
    Group,
    Item,
    Line,
    Pen,
    Polyline,
    Rect,
    Scene,
    Text,
    Tone,
    px_to_mm,
)
from doublure.trade.press.register.records import Misfit

#: From this width on the two maps stand beside each other.
BESIDE_PX = 560
#: Exaggerations to choose from.
FACTORS = (5, 10, 20, 30, 50, 100, 200, 500)
_WORDS_MM = 2.8
_TITLE_MM = 3.2
_GAP_MM = 6.0
_BOX = Pen(0.18, Tone.SOFT, (0.9, 0.6))
_ARROW = Pen(0.45, Tone.ACCENT)


@dataclass(frozen=True, slots=True)
class RegisterMapSpec:
    """The map.

    Attributes:
        sheet_width_mm, sheet_height_mm: The sheet.
        before, after: Misfit at points of the sheet, as it is and after the correction; `after` may be ().
        before_title, after_title: Headings of the two.
    """

    sheet_width_mm: float
    sheet_height_mm: float
    before: tuple[Misfit, ...]
    after: tuple[Misfit, ...] = ()
    before_title: str = "as the printer does it"
    after_title: str = "after the correction"


def choose_factor(spec: RegisterMapSpec) -> int:
    """Return the largest exaggeration at which nothing reaches further than a sixth of the sheet's short side.

    Examples:
        >>> one = Misfit(0, 0, 0.5, 0, 0.1, 0.2, 0.2, 0.8, 10)
        >>> choose_factor(RegisterMapSpec(297, 210, (one,)))
        50
    """
    reach = max(
        (abs(mean) + half for one in (*spec.before, *spec.after)
         for mean, half in ((one.mean_dx_mm, one.half_dx_mm), (one.mean_dy_mm, one.half_dy_mm))),
        default=0.0,
    )  # fmt: skip
    room = min(spec.sheet_width_mm, spec.sheet_height_mm) / 6
    fitting = [factor for factor in FACTORS if factor * reach <= room]
    return fitting[-1] if fitting else FACTORS[0]


def _overhang_mm(spec: RegisterMapSpec, factor: int) -> float:
    """Return how far, in mm of the sheet, anything that is drawn reaches over its edges."""
    far = 0.0
    for one in (*spec.before, *spec.after):
        across = abs(one.x_mm) + factor * (abs(one.mean_dx_mm) + one.half_dx_mm) - spec.sheet_width_mm / 2
        along = abs(one.y_mm) + factor * (abs(one.mean_dy_mm) + one.half_dy_mm) - spec.sheet_height_mm / 2
        far = max(far, across, along)
    return far


def _arrow(x: float, y: float, dx: float, dy: float) -> list[Item]:
    """Return an arrow from where the front's mark is to where the back's comes to lie."""
    length = math.hypot(dx, dy)
    if length < 0.35:
        return [Circle(x, y, 0.55, None, Tone.ACCENT)]
    ux, uy = dx / length, dy / length
    head = min(1.9, 0.6 * length)
    bx, by = x + dx - ux * head, y + dy - uy * head
    wing = 0.36 * head
    tip = ((x + dx, y + dy), (bx - uy * wing, by + ux * wing), (bx + uy * wing, by - ux * wing))
    return [Line(x, y, bx, by, _ARROW), Polyline(tip, None, Tone.ACCENT, True)]


def _point(one: Misfit, x: float, y: float, factor: float) -> Item:
    dx, dy = one.mean_dx_mm * factor, one.mean_dy_mm * factor
    wide, high = one.half_dx_mm * factor, one.half_dy_mm * factor
    items: list[Item] = []
    if max(wide, high) > 0.2:
        items.append(Rect(x + dx - wide, y + dy - high, 2 * wide, 2 * high, _BOX))
    cross = 0.9
    items += [Line(x - cross, y, x + cross, y, FINE), Line(x, y - cross, x, y + cross, FINE)]
    items += _arrow(x, y, dx, dy)
    words = (
        f"At {one.x_mm:.0f}, {one.y_mm:.0f} mm from the middle: {one.mean_dx_mm:+.2f} mm across, "
        f"{one.mean_dy_mm:+.2f} mm down; 95 of 100 sheets within {one.p95_mm:.2f} mm"
    )
    return Group(tuple(items), words.replace("-", "−"))


def _map(
    title: str,
    points: tuple[Misfit, ...],
    spec: RegisterMapSpec,
    left: float,
    top: float,
    width: float,
    factor: int,
) -> list[Item]:
    over = _overhang_mm(spec, factor)
    scale = width / (spec.sheet_width_mm + 2 * over)
    y = top + 5.0 + over * scale
    items: list[Item] = [
        Text(left, top + 3.2, shorten(title, _TITLE_MM, width, bold=True), _TITLE_MM, bold=True),
        Rect(left + over * scale, y, spec.sheet_width_mm * scale, spec.sheet_height_mm * scale, LINE, Tone.PAPER2),
        # The head of the sheet, so that nobody holds it the wrong way up.
        Polyline(
            ((left + width / 2 - 1.3, y + 2.6), (left + width / 2 + 1.3, y + 2.6), (left + width / 2, y + 0.8)),
            None, Tone.SOFT, True,
        ),
    ]  # fmt: skip
    for one in points:
        at = (left + width / 2 + one.x_mm * scale, y + (spec.sheet_height_mm / 2 + one.y_mm) * scale)
        items.append(_point(one, *at, factor * scale))
    return items


def _scale_bar(x: float, y: float, scale: float, factor: int) -> list[Item]:
    """Return the length of 1 mm (or less, where that is long) as the arrows are drawn."""
    length_mm = next((one for one in (1.0, 0.5, 0.2, 0.1) if one * factor * scale <= 24), 0.1)
    long = length_mm * factor * scale
    words = f"{length_mm:g} mm"
    return [
        Line(x, y, x + long, y, _ARROW),
        *(Line(at, y - 1.0, at, y + 1.0, _ARROW) for at in (x, x + long)),
        Text(x + long + 1.6, y + 1.0, words, _WORDS_MM),
    ]


def draw_register_map(spec: RegisterMapSpec, width_px: float = 1000) -> Scene:
    """Draw the map before and after the correction, with its scale.

    Args:
        spec: The points.
        width_px: Width in CSS px, >= 280; from BESIDE_PX on the maps stand beside each other.

    Returns:
        The scene, width_px wide, the sheet in true proportion, arrows and boxes exaggerated by choose_factor.

    Raises:
        DomainError: No point, a sheet without size, or a width under 280 px.
    """
    if width_px < 280:
        raise DomainError("A map needs a width of at least 280 px", "width_px")
    if not spec.before:
        raise DomainError("A map needs at least one point", "before")
    if spec.sheet_width_mm <= 0 or spec.sheet_height_mm <= 0:
        raise DomainError("A sheet must be wider and higher than 0 mm", "sheet_width_mm")
    width = px_to_mm(width_px)
    inner = width - 1.2
    factor = choose_factor(spec)
    beside = width_px >= BESIDE_PX
    one = (inner - _GAP_MM) / 2 if beside else inner
    over = _overhang_mm(spec, factor)
    scale = one / (spec.sheet_width_mm + 2 * over)
    high = 5.0 + (spec.sheet_height_mm + 2 * over) * scale + 0.4
    items = _map(spec.before_title, spec.before, spec, 0.6, 0.0, one, factor)
    bottom = high
    if spec.after:
        left, top = (0.6 + one + _GAP_MM, 0.0) if beside else (0.6, high + 3.0)
        items += _map(spec.after_title, spec.after, spec, left, top, one, factor)
        bottom = max(high, top + high)
    y = bottom + 4.0
    bar = _scale_bar(0.8, y, scale, factor)
    items += bar
    last = bar[-1]
    start = 0.8
    if isinstance(last, Text):
        start = last.x_mm + text_width_mm(last.content, _WORDS_MM) + 4.0
    words = f"{factor} times too large. Broken box: where 95 of 100 sheets lie."
    room = inner - start
    if text_width_mm(words, _WORDS_MM) <= room:
        items.append(Text(start, y + 1.0, words, _WORDS_MM, tone=Tone.SOFT))
        total = y + 2.6
    else:
        total = y + 2.0
        for line in wrap_or_shorten(words, _WORDS_MM, inner, 3):
            total += 3.8
            items.append(Text(0.6, total, line, _WORDS_MM, tone=Tone.SOFT))
        total += 1.2
    most = max(one.p95_mm for one in spec.before)
    said = f"Misfit of the back against the front, seen from the front, drawn {factor} times too large. "
    said += f"{spec.before_title}: at most {most:.2f} mm in 95 of 100 sheets"
    if spec.after:
        said += f"; {spec.after_title}: {max(one.p95_mm for one in spec.after):.2f} mm"
    return Scene(width, total, "Map of the register", said + ".", tuple(items))
