"""Plans of the gatherings one below the other: leaves from the head, and how each crossover meets.

In: PlanStrip values. Out: a Scene for one width. Never: planning; a leaf more or less than a plan has.
How a crossover meets is a shape: a closed arch with a plumb line to the fold lies in the middle of a gathering, a
closed arch on open feet on one side of one sheet, a broken arch on open feet on two sheets.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from doublure.errors import DomainError
from doublure.render.draw.figures import counted
from doublure.render.draw.fore_edge_rows import BookRow, between_mm, lay_rows
from doublure.render.draw.fore_edge_spec import BoundGathering, BoundLeaf, ForeEdgeSpec
from doublure.render.draw.leaf_curves import LeafLine, conjugates, fan_leaves, sheet_path
from doublure.render.lettering import text_width_mm
from doublure.render.scene import (
    Anchor,
    Circle,
    Curve,
    Group,
    Item,
    Line,
    Move,
    Path,
    Pen,
    Polyline,
    Rect,
    Scene,
    Text,
    Tone,
    half_ellipse,
    px_to_mm,
)


class Arch(Enum):
    """How a crossover is drawn."""

    CENTRE = "in the middle"
    ONE_SIDE = "on one side of one sheet"
    APART = "on two sheets"


@dataclass(frozen=True, slots=True)
class PlanArch:
    """A crossover from one leaf to the next; leaves count from 0 over all folded leaves of the plan."""

    leaf: int
    arch: Arch
    title: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class PlanGathering:
    """One gathering: its printed sheets, and the pages on its leaves in reading order, 0 for a blank put in."""

    sheets: int
    pages: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class PlanStrip:
    """One plan: its name ("Now"), what it comes to in a few words, its gatherings and crossovers."""

    name: str
    words: str
    gatherings: tuple[PlanGathering, ...]
    arches: tuple[PlanArch, ...] = ()


_LEAF_MM = 13.0
_ARCH_MM = 2.6
_NAME_MM = 3.6
_LABEL_MM = 3.0
_PAGES_MM = 2.7
_MARGIN_MM = 0.6
_BLANK_MM = 0.9
_CLOSED = Pen(0.4, Tone.ACCENT)
_BROKEN = Pen(0.4, Tone.ACCENT, (0.9, 0.7))
_PLUMB = Pen(0.3, Tone.ACCENT, (0.5, 0.6))


class _Strip:
    """Draws one plan from a height downwards."""

    def __init__(self, strip: PlanStrip, width_mm: float, right_to_left: bool) -> None:
        self.strip = strip
        self.width = width_mm
        self.right_to_left = right_to_left
        gatherings = tuple(
            BoundGathering(str(number), (BoundLeaf("", ""),) * (len(one.pages) // 2))
            for number, one in enumerate(strip.gatherings, 1)
        )
        self.rows = lay_rows(ForeEdgeSpec(gatherings), width_mm - 2 * _MARGIN_MM, 1.0)
        self.first_leaf = [0]
        for one in strip.gatherings:
            self.first_leaf.append(self.first_leaf[-1] + len(one.pages) // 2)

    def x(self, at_mm: float) -> float:
        """Return where something lies from the left; mirrored in books read from right to left."""
        return self.width - _MARGIN_MM - at_mm if self.right_to_left else _MARGIN_MM + at_mm

    def draw(self, top_mm: float) -> tuple[tuple[Item, ...], float]:
        """Return the strip and the height at which it ends."""
        baseline = top_mm + _NAME_MM
        name = Text(_MARGIN_MM, baseline, self.strip.name, _NAME_MM, bold=True)
        items: list[Item] = [name]
        indent = _MARGIN_MM + text_width_mm(self.strip.name, _NAME_MM, bold=True) + 2.5
        if indent + text_width_mm(self.strip.words, _LABEL_MM) <= self.width - _MARGIN_MM:
            items.append(Text(indent, baseline, self.strip.words, _LABEL_MM, tone=Tone.SOFT))
            y = baseline + 2.0
        else:
            y = baseline + 1.4 + _LABEL_MM
            items.append(Text(_MARGIN_MM, y, self.strip.words, _LABEL_MM, tone=Tone.SOFT))
            y += 1.6
        for row in self.rows:
            ends = y + _ARCH_MM + 1.6
            folds = ends + _LEAF_MM
            lines = self.leaves(row, folds, ends)
            for index in row.indices:
                items.append(self.gathering(index, row, lines, folds + 5.6))
            for arch in self.strip.arches:
                drawn = self.arch(arch, lines, folds)
                if drawn is not None:
                    items.append(drawn)
            y = folds + 5.6 + 3.7 + 2.2
        return tuple(items), y

    def leaves(self, row: BookRow, fold_y: float, end_y: float) -> dict[int, LeafLine]:
        """Return the lines of a row by leaf, from 0 over the whole plan."""
        lines = {}
        for index, centre in zip(row.indices, row.centres_mm, strict=True):
            count = len(self.strip.gatherings[index].pages) // 2
            for number, line in enumerate(fan_leaves(centre, fold_y, end_y, count, row.pitch_mm)):
                lines[self.first_leaf[index] + number] = LeafLine(
                    self.x(line.fold_x_mm), line.fold_y_mm, self.x(line.end_x_mm), line.end_y_mm
                )
        return lines

    def gathering(self, index: int, row: BookRow, lines: dict[int, LeafLine], label_y: float) -> Item:
        """Return one gathering: its sheets, its blanks, how many sheets, and its pages."""
        one = self.strip.gatherings[index]
        first, count = self.first_leaf[index], len(one.pages) // 2
        items: list[Item] = []
        for a, b in conjugates([False] * count):
            left, right = lines[first + a], lines[first + b]
            items.append(sheet_path(*((right, left) if self.right_to_left else (left, right)), Pen(0.2)))
        for number, page in enumerate(one.pages):
            if page == 0:
                items.append(self.blank(lines[first + number // 2], number % 2 == 0, row.pitch_mm))
        ends = [lines[first + number].end_x_mm for number in range(count)]
        centre = (ends[0] + ends[-1]) / 2
        room = abs(ends[-1] - ends[0]) + between_mm(row.pitch_mm) - 0.8
        room = min(room, 2 * centre, 2 * (self.width - centre))
        words = counted(one.sheets, "sheet")
        shown = words if text_width_mm(words, _LABEL_MM, bold=True) <= room else str(one.sheets)
        items.append(Text(centre, label_y, shown, _LABEL_MM, Anchor.MIDDLE, bold=True))
        pages = [page for page in one.pages if page]
        span = f"{pages[0]}–{pages[-1]}" if len(pages) > 1 else "".join(map(str, pages))
        if text_width_mm(span, _PAGES_MM) <= room:
            items.append(Text(centre, label_y + 3.5, span, _PAGES_MM, Anchor.MIDDLE, Tone.SOFT))
        blanks = one.pages.count(0)
        title = f"Gathering {index + 1}: {words}, pages {span}"
        title += f", {counted(blanks, 'blank')} put in" if blanks else ""
        top = min(line.end_y_mm for line in lines.values())
        target = Rect(min(ends) - 0.6, top, abs(ends[-1] - ends[0]) + 1.2, label_y + 4.0 - top)
        return Group((target, *items), title)

    def blank(self, line: LeafLine, is_recto: bool, pitch_mm: float) -> Item:
        """Return the sign of a blank put in: a hollow square at the free end, on that side of the leaf."""
        aside = 0.24 * pitch_mm * (-1 if is_recto != self.right_to_left else 1)
        x, y = line.end_x_mm + aside, line.end_y_mm + 0.4
        half = _BLANK_MM / 2
        return Rect(x - half, y, _BLANK_MM, 1.6 * _BLANK_MM, Pen(0.2), Tone.PAPER)

    def arch(self, arch: PlanArch, lines: dict[int, LeafLine], fold_y: float) -> Item | None:
        """Return one crossover over the free ends of its two leaves; a stub where these lie in two rows."""
        a, b = lines.get(arch.leaf), lines.get(arch.leaf + 1)
        if a is None and b is None:
            return None
        outwards = (
            -between_mm(self.rows[0].pitch_mm) if self.right_to_left else between_mm(self.rows[0].pitch_mm)
        )
        start = a.end_x_mm if a is not None else (b.end_x_mm - outwards if b is not None else 0.0)
        end = b.end_x_mm if b is not None else start + outwards
        left, right = sorted((start, end))
        left, right = max(0.6, left), min(self.width - 0.6, right)
        y = next(iter(lines.values())).end_y_mm - 0.5
        rise = min(_ARCH_MM, 0.5 * (right - left) + 0.9)
        pen = _BROKEN if arch.arch is Arch.APART else _CLOSED
        steps: tuple[Move | Curve, ...] = (Move(left, y), *half_ellipse((left, y), right - left, -rise))
        items: list[Item] = [Rect(left - 0.6, y - rise, right - left + 1.2, rise + 0.6), Path(steps, pen)]
        is_centre = arch.arch is Arch.CENTRE
        feet = [line.end_x_mm for line in (a, b) if line is not None]
        items += [
            Circle(
                x,
                y,
                0.52,
                None if is_centre else Pen(0.25, Tone.ACCENT),
                Tone.ACCENT if is_centre else Tone.PAPER,
            )
            for x in feet
        ]
        if is_centre:
            middle = (left + right) / 2
            foot = fold_y + 1.3
            items.append(Line(middle, y - rise + 0.3, middle, foot, _PLUMB))
            # The thread goes through this fold: a lozenge where it does.
            points = ((middle, foot - 0.9), (middle + 0.8, foot), (middle, foot + 0.9), (middle - 0.8, foot))
            items.append(Polyline(points, None, Tone.ACCENT, closed=True))
        return Group(tuple(items), f"{arch.title}: {arch.arch.value}", arch.href)


def draw_plan_strips(
    strips: tuple[PlanStrip, ...], width_px: float = 1400, right_to_left: bool = False
) -> Scene:
    """Draw plans one below the other.

    Args:
        strips: The plans, at least one.
        width_px: Width in CSS px, >= 240.
        right_to_left: True for books read from right to left.

    Returns:
        The scene, width_px wide; each plan in as many rows as its leaves need to be told apart.

    Raises:
        DomainError: No plan, a plan without gatherings, a gathering whose pages make no whole sheets, a crossover
            at a leaf that is not there, or a width under 240 px.
    """
    if width_px < 240:
        raise DomainError("Plans of gatherings need a width of at least 240 px", "width_px")
    if not strips or any(not strip.gatherings for strip in strips):
        raise DomainError("Plans of gatherings need at least one plan, and gatherings in each", "strips")
    width = px_to_mm(width_px)
    items: list[Item] = []
    said = []
    y = 0.6
    for strip in strips:
        if any(not one.pages or len(one.pages) % 4 for one in strip.gatherings):
            raise DomainError("Four pages make a leaf pair: a gathering has a multiple of four", "gatherings")
        leaves = sum(len(one.pages) // 2 for one in strip.gatherings)
        for arch in strip.arches:
            if not 0 <= arch.leaf < leaves - 1:
                raise DomainError(f"A crossover begins on leaf {arch.leaf}; there are {leaves}", "leaf")
        drawn, y = _Strip(strip, width, right_to_left).draw(y)
        items += drawn
        y += 2.4
        sheets = ", ".join(str(one.sheets) for one in strip.gatherings)
        centred = sum(arch.arch is Arch.CENTRE for arch in strip.arches)
        said.append(
            f"{strip.name}: {counted(len(strip.gatherings), 'gathering')} of {sheets} sheets,"
            f" {centred} of {counted(len(strip.arches), 'crossover')} in the middle of one"
        )
    return Scene(width, y - 2.0, "Plans of the gatherings", "; ".join(said) + ".", tuple(items))
