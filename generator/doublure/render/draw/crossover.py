"""How the two halves of a crossover meet: the spread, the place where it is worst, and the tolerance to scale.

In: MeetingSpec. Out: a Scene. Never: predicting, choosing pictures.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.draw.plate import PlacedPicture
from doublure.render.lettering import shorten, text_width_mm, wrap_or_shorten
from doublure.render.scene import (
    FINE,
    LINE,
    Anchor,
    Circle,
    Fit,
    Group,
    Image,
    Item,
    Line,
    Pen,
    Rect,
    Scene,
    Text,
    Tone,
    px_to_mm,
)


@dataclass(frozen=True, slots=True)
class Reach:
    """How far the halves miss each other: expected, and the length that 95 of 100 spreads stay below, mm."""

    words: str
    expected_mm: float
    p95_mm: float


@dataclass(frozen=True, slots=True)
class MeetingSpec:
    """A crossover.

    Attributes:
        title: Such as "Pages 22 and 23".
        leaf_width_mm, leaf_height_mm: A leaf.
        left, right: Artwork of the halves, in mm from the upper left corner of each leaf; None where none may
            or can be shown.
        expected: Gap across the gutter (negative: overlap) and step down of the right half, mm.
        at_95: The same where the misfit is as large as 95 of 100 stay below.
        now: How far they miss, corrected as the backs are.
        before: The same without the correction; None where there is none.
        tolerance_mm: What is accepted.
        worst_y_mm: Where along the gutter it is worst, from the head of the leaf.
    """

    title: str
    leaf_width_mm: float
    leaf_height_mm: float
    left: PlacedPicture | None
    right: PlacedPicture | None
    expected: tuple[float, float]
    at_95: tuple[float, float]
    now: Reach
    before: Reach | None
    tolerance_mm: float
    worst_y_mm: float


_WORDS_MM = 2.8
_TITLE_MM = 3.3
_GAP_MM = 4.0
_HEIGHT_MM = 58.0
#: So much of each leaf beside the gutter is shown, and round the worst place, mm of the book.
_BESIDE_MM = 32.0
_ROUND_MM = 8.5
_GUTTER = Pen(0.2, Tone.SOFT, (1.2, 0.8))


@dataclass(frozen=True, slots=True)
class _View:
    """A window on the open book: its place on the drawing, and what it shows. x counts from the gutter."""

    left: float
    top: float
    width: float
    height: float
    x_mm: float
    y_mm: float
    scale: float

    def at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        return self.left + (x_mm - self.x_mm) * self.scale, self.top + (y_mm - self.y_mm) * self.scale

    def cut(self, x1: float, y1: float, x2: float, y2: float) -> tuple[float, float, float, float]:
        """Return the part of a box of the book that the window shows, on the drawing."""
        left, top = self.at(x1, y1)
        right, bottom = self.at(x2, y2)
        left, top = max(left, self.left), max(top, self.top)
        right, bottom = min(right, self.left + self.width), min(bottom, self.top + self.height)
        return left, top, max(right - left, 0.01), max(bottom - top, 0.01)


def _stand_in(spec: MeetingSpec, view: _View, sign: int, dx: float, dy: float) -> list[Item]:
    """Return level lines and a slanting one, which show a misfit as artwork would."""
    apart = 4.0 if view.scale > 1 else 12.0
    far = sign * spec.leaf_width_mm
    items: list[Item] = []
    count = int(spec.leaf_height_mm / apart) + 1
    for i in range(count):
        y = (i + 0.5) * apart
        items.append(Line(*view.at(dx, y + dy), *view.at(far + dx, y + dy), Pen(0.25)))
    middle = spec.worst_y_mm
    slant = 0.6 * far
    items.append(Line(*view.at(dx, middle + dy), *view.at(far + dx, middle + slant + dy), Pen(0.5)))
    return items


def _half(spec: MeetingSpec, view: _View, sign: int, shift: tuple[float, float]) -> list[Item]:
    """Return a leaf and what is printed on it, shifted; sign -1 for the left of the gutter, 1 for the right."""
    dx, dy = shift
    edge = sign * spec.leaf_width_mm
    leaf = view.cut(min(0.0, edge), 0.0, max(0.0, edge), spec.leaf_height_mm)
    items: list[Item] = [Rect(*leaf, None, Tone.PAPER)]
    picture = spec.left if sign < 0 else spec.right
    inside: list[Item]
    if picture is None:
        inside = _stand_in(spec, view, sign, dx, dy)
        near, far = sorted((0.0 if dx * sign < 0 else dx, edge))
        window = view.cut(near, 0.0, far, spec.leaf_height_mm)
    else:
        # The frame counts from the leaf's own left edge, which for the left leaf is its fore-edge.
        base = -spec.leaf_width_mm if sign < 0 else 0.0
        frame, seen = picture.frame, picture.seen
        x, y = view.at(base + frame.left_mm + dx, frame.top_mm + dy)
        inside = [
            Image(x, y, frame.width_mm * view.scale, frame.height_mm * view.scale, picture.href, Fit.COVER)
        ]
        x1, x2 = base + seen.left_mm + dx, base + seen.right_mm + dx
        # What lies beyond the fold is on the other side of the sheet.
        x1, x2 = (x1, min(x2, 0.0)) if sign < 0 else (max(x1, 0.0), x2)
        y1, y2 = max(seen.top_mm + dy, 0.0), min(seen.bottom_mm + dy, spec.leaf_height_mm)
        window = view.cut(x1, y1, x2, y2)
    items.append(Group(tuple(inside), window_mm=window))
    return items


def _window(
    spec: MeetingSpec, view: _View, shift: tuple[float, float], caption: str, below: str
) -> list[Item]:
    items: list[Item] = [Rect(view.left, view.top, view.width, view.height, None, Tone.PAPER2)]
    items += _half(spec, view, -1, (0.0, 0.0))
    items += _half(spec, view, 1, shift)
    x, _ = view.at(0.0, 0.0)
    items.append(Line(x, view.top, x, view.top + view.height, _GUTTER))
    items.append(Rect(view.left, view.top, view.width, view.height, LINE))
    middle = view.left + view.width / 2
    for number, words in enumerate((caption, below)):
        if words:
            shown = shorten(words, _WORDS_MM, view.width + _GAP_MM - 0.6)
            y = view.top + view.height + 3.6 + 3.7 * number
            items.append(
                Text(middle, y, shown, _WORDS_MM, Anchor.MIDDLE, Tone.INK if number == 0 else Tone.SOFT)
            )
    return items


def _aim(spec: MeetingSpec, view: _View, shift: tuple[float, float]) -> list[Item]:
    """Return the ring of the tolerance about where the halves should meet, and a dot where they do."""
    x, y = view.at(0.0, spec.worst_y_mm)
    radius = spec.tolerance_mm * view.scale
    if radius > view.width / 2:
        radius = 0.0
    hit = view.at(shift[0], spec.worst_y_mm + shift[1])
    items: list[Item] = []
    if radius:
        items += [Circle(x, y, radius, Pen(1.1, Tone.PAPER)), Circle(x, y, radius, Pen(0.4, Tone.ACCENT))]
    items += [
        Circle(x, y, 0.9, Pen(0.9, Tone.PAPER)),
        Circle(x, y, 0.9, Pen(0.3, Tone.ACCENT)),
        Circle(*hit, 1.0, Pen(0.4, Tone.PAPER), Tone.ACCENT),
    ]
    return items


def _rows(spec: MeetingSpec, top: float, inner: float) -> tuple[list[Item], float]:
    """Return the lengths as bars along a rule, the tolerance as a line across them."""
    rows = [row for row in (spec.before, spec.now) if row is not None]
    most = max(spec.tolerance_mm * 1.35, *(row.p95_mm * 1.08 for row in rows))
    left, right = 1.6, inner - 1.0
    scale = (right - left) / most
    items: list[Item] = []
    y = top
    tolerance = left + spec.tolerance_mm * scale
    for row in rows:
        words = f"{row.words}: expected {row.expected_mm:.2f} mm, 95 of 100 within {row.p95_mm:.2f} mm"
        lines = wrap_or_shorten(words, _WORDS_MM, inner, 2)
        for line in lines:
            items.append(Text(0.6, y + 3.2, line, _WORDS_MM))
            y += 3.8
        tone = Tone.INK if row is spec.now else Tone.SOFT
        y += 2.2
        items.append(Line(left, y, left + row.p95_mm * scale, y, Pen(0.5, tone)))
        items.append(Line(left, y, left + max(row.expected_mm, 0.01) * scale, y, Pen(1.8, tone)))
        end = left + row.p95_mm * scale
        items.append(Line(end, y - 1.4, end, y + 1.4, Pen(0.5, tone)))
        items.append(Line(tolerance, y - 2.0, tolerance, y + 2.0, Pen(0.5, Tone.ACCENT)))
        y += 3.4
    items.append(Line(left, y, right, y, FINE))
    step = next((one for one in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0) if one * scale >= 9.0), 10.0)
    words = f"tolerance {spec.tolerance_mm:g} mm"
    half = text_width_mm(words, _WORDS_MM) / 2
    at = min(max(tolerance, half + 0.6), inner - half)
    for i in range(int(most / step) + 1):
        x = left + i * step * scale
        items.append(Line(x, y, x, y + 1.4, FINE))
        label = f"{i * step:g}"
        room = text_width_mm(label, _WORDS_MM) / 2
        # The tolerance has its own words, and the unit its place.
        if x + room > inner - 8.0 or abs(x - tolerance) < room + 0.8:
            continue
        anchor = Anchor.START if i == 0 else Anchor.MIDDLE
        items.append(Text(x - (0.4 if i == 0 else 0.0), y + 4.6, label, _WORDS_MM, anchor, Tone.SOFT))
    items.append(Text(inner, y + 4.6, "mm", _WORDS_MM, Anchor.END, Tone.SOFT))
    items.append(Line(tolerance, y, tolerance, y + 5.6, Pen(0.3, Tone.ACCENT)))
    items.append(Text(at, y + 8.6, words, _WORDS_MM, Anchor.MIDDLE, Tone.ACCENT))
    return items, y + 9.6


def draw_meeting(spec: MeetingSpec, width_px: float = 640) -> Scene:
    """Draw how the halves meet, as expected and at the length that 95 of 100 spreads stay below.

    Args:
        spec: The crossover.
        width_px: Width in CSS px, >= 320.

    Returns:
        The scene, width_px wide: the spread beside its gutter in true proportion, the place where the misfit
        is worst enlarged twice, the tolerance as a ring there and as a line across the lengths below.

    Raises:
        DomainError: A leaf without size, a tolerance that is not above 0, or a width under 320 px.
    """
    if width_px < 320:
        raise DomainError("A crossover needs a width of at least 320 px", "width_px")
    if min(spec.leaf_width_mm, spec.leaf_height_mm, spec.tolerance_mm) <= 0:
        raise DomainError("Leaf and tolerance must be larger than 0 mm", "leaf_width_mm")
    width = px_to_mm(width_px)
    inner = width - 1.2
    items: list[Item] = []
    top = 0.6
    if spec.title:
        items.append(Text(0.6, 3.6, shorten(spec.title, _TITLE_MM, inner, bold=True), _TITLE_MM, bold=True))
        top = 5.6
    beside = min(_BESIDE_MM, spec.leaf_width_mm)
    scale = min(_HEIGHT_MM / spec.leaf_height_mm, 0.24 * inner / (2 * beside))
    high = spec.leaf_height_mm * scale
    whole = _View(0.6, top, 2 * beside * scale, high, -beside, 0.0, scale)
    items += _window(spec, whole, spec.expected, "to scale", "")
    around = max(_ROUND_MM, 1.35 * spec.tolerance_mm, 1.35 * spec.now.p95_mm)
    # The worst place is often at the head or the tail: the window keeps to the leaf, but for the ring.
    over = 1.15 * spec.tolerance_mm + 1.0
    upper = min(max(spec.worst_y_mm - around, -over), spec.leaf_height_mm + over - 2 * around)
    side = min((inner - whole.width - 2 * _GAP_MM) / 2, _HEIGHT_MM)
    close = side / (2 * around)
    left = whole.left + whole.width + _GAP_MM
    for number, (shift, caption, length) in enumerate(
        (
            (spec.expected, "as expected", f"{spec.now.expected_mm:.2f} mm"),
            (spec.at_95, "95 of 100 are better", f"{spec.now.p95_mm:.2f} mm"),
        )
    ):
        view = _View(left + number * (side + _GAP_MM), top, side, side, -around, upper, close)
        items += _window(spec, view, shift, caption, length)
        items += _aim(spec, view, shift)
    # What is enlarged, on the spread.
    x, y = whole.at(-around, upper)
    frame = 2 * around * scale
    y = min(max(y, whole.top), whole.top + high - frame)
    items.append(Rect(x, y, frame, frame, Pen(0.3, Tone.ACCENT)))
    below = top + max(high + 4.4, side + 8.2) + 1.6
    rows, total = _rows(spec, below, inner)
    items += rows
    words = (
        f"The halves are expected to miss each other by {spec.now.expected_mm:.2f} mm, gap {spec.expected[0]:+.2f} mm, "
        f"step {spec.expected[1]:+.2f} mm; 95 of 100 stay within {spec.now.p95_mm:.2f} mm; the tolerance is "
        f"{spec.tolerance_mm:g} mm."
    ).replace("-", "−")
    return Scene(width, total, spec.title or "How the halves meet", words, tuple(items))
