"""The fore-edge: the book as a strip of leaves seen from the head, what lies in it standing out.

In: ForeEdgeSpec (gatherings of leaves, inserts, crossovers, where one is). Out: a Scene for one width.
Never: planning the book; a leaf more or less than the book has.
"""

from __future__ import annotations

from doublure.render.draw.figures import counted
from doublure.render.draw.fore_edge_rows import BookRow, between_mm, lay_rows
from doublure.render.draw.fore_edge_spec import (
    BoundGathering,
    BoundLeaf,
    CrossoverArc,
    ForeEdgeSpec,
    Here,
    InsertTab,
    check_book,
    page_label,
)
from doublure.render.draw.leaf_curves import (
    LeafLine,
    between,
    conjugates,
    fan_leaves,
    leaf_path,
    leaf_points,
    sheet_path,
    spread,
)
from doublure.render.draw.standing_line import standing_stroke
from doublure.render.draw.tab import TAB_GAP_MM, TAB_MM, tab_items, tab_width_mm
from doublure.render.lettering import centred_baseline_mm, shorten, text_width_mm
from doublure.render.scene import (
    FINE,
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
    Text,
    Tone,
    half_ellipse,
    px_to_mm,
)

__all__ = [
    "BoundGathering",
    "BoundLeaf",
    "CrossoverArc",
    "ForeEdgeSpec",
    "Here",
    "InsertTab",
    "draw_fore_edge",
    "page_label",
]

_LEAF_MM = 20.0
_LABEL_MM = 3.0
_STAND_OUT_MM = 3.4
_LEAD_MM = 4.0
_CURRENT = Pen(0.5, Tone.ACCENT)


class _Drawing:
    """Draws the rows of one spec; holds only what was measured once."""

    def __init__(self, spec: ForeEdgeSpec, width_mm: float) -> None:
        self.spec = spec
        self.margin = 0.6
        self.inner = width_mm - 2 * self.margin
        self.width = width_mm
        self.tab = tab_width_mm(i.key for i in spec.inserts)
        self.rows = lay_rows(spec, self.inner, self.tab / 2 + 0.5)
        self.first_leaf = [0]
        for gathering in spec.gatherings:
            self.first_leaf.append(self.first_leaf[-1] + len(gathering.leaves))

    def x(self, at_mm: float) -> float:
        """Return where something lies from the left, in books read from right to left mirrored."""
        return self.width - self.margin - at_mm if self.spec.right_to_left else self.margin + at_mm

    def leaves(self, row: BookRow, fold_y: float, end_y: float) -> dict[int, LeafLine]:
        """Return the lines of a row by leaf number over the whole book, from 0."""
        lines = {}
        for index, centre in zip(row.indices, row.centres_mm, strict=True):
            count = len(self.spec.gatherings[index].leaves)
            fan = fan_leaves(centre, fold_y, end_y, count, row.pitch_mm)
            for i, line in enumerate(fan):
                lines[self.first_leaf[index] + i] = LeafLine(
                    self.x(line.fold_x_mm), line.fold_y_mm, self.x(line.end_x_mm), line.end_y_mm
                )
        return lines

    def is_here(self, leaf: int) -> bool:
        """Return True where one of the two pages of a leaf is where one is."""
        here = self.spec.here
        return here is not None and here.first_page <= 2 * leaf + 2 and here.last_page >= 2 * leaf + 1

    def gathering(self, index: int, lines: dict[int, LeafLine], label_y: float) -> Item:
        """Return one gathering with its name and pages below it."""
        gathering = self.spec.gatherings[index]
        first = self.first_leaf[index]
        items: list[Item] = []
        for a, b in conjugates([leaf.tipped for leaf in gathering.leaves]):
            la, lb = lines[first + a], lines[first + b]
            left, right = (lb, la) if self.spec.right_to_left else (la, lb)
            items.append(sheet_path(left, right, Pen(0.2)))
        for i, leaf in enumerate(gathering.leaves):
            line = lines[first + i]
            if leaf.tipped:
                neighbour = lines.get(first + i - 1, line)
                items += self.tipped_leaf(
                    line, neighbour, Tone.ACCENT if self.is_here(first + i) else Tone.INK
                )
            elif self.is_here(first + i):
                items.append(leaf_path(line, _CURRENT))
        here = any(self.is_here(first + i) for i in range(len(gathering.leaves)))
        pages = [p for leaf in gathering.leaves for p in (leaf.recto, leaf.verso) if p]
        span = f"{pages[0]}–{pages[-1]}" if len(pages) > 1 else "".join(pages)
        centre = (lines[first].fold_x_mm + lines[first + len(gathering.leaves) - 1].fold_x_mm) / 2
        ends = [lines[first + i].end_x_mm for i in range(len(gathering.leaves))]
        room = max(ends) - min(ends) + between_mm(self.rows[0].pitch_mm) - 1.0
        tone = Tone.ACCENT if here else Tone.INK
        name = shorten(gathering.name, _LABEL_MM, room, bold=True)
        items.append(Text(centre, label_y, name, _LABEL_MM, Anchor.MIDDLE, tone, bold=True))
        if text_width_mm(span, 2.7) <= room:
            soft = Tone.ACCENT if here else Tone.SOFT
            items.append(Text(centre, label_y + 3.7, span, 2.7, Anchor.MIDDLE, soft))
        if here:
            tip = label_y - _LABEL_MM * 0.8 - 0.4
            points = ((centre, tip - 1.5), (centre - 1.1, tip), (centre + 1.1, tip))
            items.append(Polyline(points, None, Tone.ACCENT, closed=True))
        words = f"Gathering {gathering.name}" + (f", pages {span}" if span else "")
        words += ", where you are" if here else ""
        top = min(line.end_y_mm for line in lines.values())
        target = Rect(min(ends) - 0.8, top, max(ends) - min(ends) + 1.6, label_y + 4.4 - top)
        return Group((target, *items), words, gathering.href, role="current" if here else "")

    def tipped_leaf(self, line: LeafLine, neighbour: LeafLine, tone: Tone) -> tuple[Item, ...]:
        """Return a single leaf: it has no partner, but a foot pasted to the leaf before it."""
        points = leaf_points(line)[4:]
        foot = points[0]
        near = leaf_points(neighbour)[4]
        return (
            Polyline((near, *points), Pen(0.3, tone, (2.2, 0.5, 0.5, 0.5))),
            Circle(foot[0], foot[1], 0.42, None, tone),
        )

    def boards(self, number: int, fold_y: float, end_y: float) -> tuple[Item, ...]:
        """Return the case round a row: the spine below, a board at each end of the book."""
        spine = fold_y + 3.6
        pen = Pen(0.9, Tone.SOFT)
        rows = len(self.rows)
        row = self.rows[number]
        counts = [len(self.spec.gatherings[i].leaves) for i in row.indices]
        start = row.centres_mm[0] - (counts[0] - 1) / 2 * row.pitch_mm - 2.6
        end = row.centres_mm[-1] + (counts[-1] - 1) / 2 * row.pitch_mm + 2.6
        left = start if number == 0 else 0.0
        right = end if number == rows - 1 else self.inner
        items: list[Item] = [Line(self.x(left), spine, self.x(right), spine, pen)]
        if number == 0:
            items.append(Line(self.x(start), spine + 0.45, self.x(start), end_y - 1.0, pen))
        if number == rows - 1:
            items.append(Line(self.x(end), spine + 0.45, self.x(end), end_y - 1.0, pen))
        return tuple(items)

    def crossover(self, arc: CrossoverArc, lines: dict[int, LeafLine]) -> Item | None:
        """Return an arch over the free ends of the two leaves that one picture crosses."""
        a, b = lines.get(arc.page // 2 - 1), lines.get(arc.page // 2)
        if a is None or b is None:
            return None
        left, right = sorted((a.end_x_mm, b.end_x_mm))
        rise = min(2.4, 0.5 * (right - left) + 0.6)
        y = a.end_y_mm - 0.3
        arch = Path((Move(left, y), *half_ellipse((left, y), right - left, -rise)), Pen(0.35, Tone.ACCENT))
        feet = tuple(Circle(x, y, 0.5, None, Tone.ACCENT) for x in (left, right))
        title = arc.title or f"Crossover from page {arc.page} to {arc.page + 1}"
        target = Rect(left - 0.5, y - rise, right - left + 1.0, rise + 0.5)
        return Group((target, arch, *feet), title, arc.href)

    def stem_line(self, insert: InsertTab, lines: dict[int, LeafLine], part: float) -> LeafLine:
        """Return where an insert lies: between its leaf and the next, nearer to its leaf where fixed."""
        page = insert.page or 0
        gap = page // 2
        before, after = lines.get(gap - 1), lines.get(gap)
        reach = -2.0 if self.spec.right_to_left else 2.0
        if before is None and after is not None:
            before = LeafLine(
                after.fold_x_mm - reach / 2, after.fold_y_mm, after.end_x_mm - reach, after.end_y_mm
            )
        elif after is None and before is not None:
            after = LeafLine(
                before.fold_x_mm + reach / 2, before.fold_y_mm, before.end_x_mm + reach, before.end_y_mm
            )
        assert before is not None
        assert after is not None
        if insert.fixed:
            part = 0.7 + 0.25 * part if page % 2 else 0.3 * part
        return between(before, after, part)

    def inserts_in(self, row: BookRow) -> list[InsertTab]:
        """Return the inserts that lie in a row, in the order of their pages."""
        low, high = self.first_leaf[row.indices[0]], self.first_leaf[row.indices[-1] + 1]
        last = high == self.first_leaf[-1]
        placed = [
            i
            for i in self.spec.inserts
            if i.page is not None and low <= i.page // 2 and (i.page // 2 < high or last)
        ]
        return sorted(placed, key=lambda i: i.page or 0)

    def levels(self, tabs: int) -> int:
        """Return on how many levels so many tabs must hang, 1 or 2."""
        return 1 if tabs * (self.tab + TAB_GAP_MM) <= self.inner else 2

    def tabs(self, row: BookRow, lines: dict[int, LeafLine], end_y: float) -> tuple[Item, ...]:
        """Return the inserts of a row, each standing out of the leaves to a tab with its number."""
        by_gap: dict[int, list[InsertTab]] = {}
        for insert in self.inserts_in(row):
            by_gap.setdefault((insert.page or 0) // 2, []).append(insert)
        stems = []
        for there in by_gap.values():
            for n, insert in enumerate(there):
                stems.append((insert, self.stem_line(insert, lines, (n + 1) / (len(there) + 1))))
        stems.sort(key=lambda s: s[1].end_x_mm)
        return self.hang_tabs(stems, end_y)

    def hang_tabs(self, stems: list[tuple[InsertTab, LeafLine]], end_y: float) -> tuple[Item, ...]:
        """Return stems with their tabs spread so that none covers another."""
        levels = self.levels(len(stems))
        apart = self.tab + TAB_GAP_MM if levels == 1 else self.tab / 2 + 0.5
        edge = self.margin + self.tab / 2
        at = spread([line.end_x_mm for _, line in stems], apart, edge, self.width - edge)
        items = []
        for n, ((insert, line), x) in enumerate(zip(stems, at, strict=True)):
            foot = end_y - _STAND_OUT_MM - _LEAD_MM - (n % levels) * (TAB_MM + TAB_GAP_MM)
            items.append(self.tab_group(insert, line, x, foot, end_y))
        return tuple(items)

    def tab_group(self, insert: InsertTab, line: LeafLine, x: float, foot: float, end_y: float) -> Item:
        """Return one insert: its line between the leaves, out of them, and the tab at its end."""
        inside = leaf_points(line)[4 if insert.fixed else 6 :]
        out = (line.end_x_mm, end_y - _STAND_OUT_MM)
        items: list[Item] = list(standing_stroke((*inside, out), insert.standing, 0.6))
        # Beyond the leaves a fine line leads to the tab: tabs are moved apart, what they stand for is not.
        turn = (x, out[1] - _LEAD_MM)
        lead = (out, turn, (x, foot)) if foot < turn[1] else (out, turn)
        items.append(Polyline(lead, FINE))
        if insert.fixed:
            items.append(Circle(inside[0][0], inside[0][1], 0.45, None, Tone.INK))
        items += tab_items(x, foot - TAB_MM, self.tab, insert.key, insert.standing)
        page = insert.page or 0
        label = page_label(self.spec, page) if page else ""
        place = "before the first page"
        if page:
            place = f"at page {label}" if label else "at a page without a number"
        held = "fixed" if insert.fixed else "loose"
        words = f"{insert.title}, {held} {place}, {insert.standing}, number {insert.key}"
        return Group(tuple(items), words, insert.href, insert.standing)

    def apart(self, top: float) -> tuple[tuple[Item, ...], float]:
        """Return the inserts that lie at no page, as tabs in a line of their own, and their height."""
        items: list[Item] = []
        y = top
        for word, pocket in (("in a pocket", True), ("place open", False)):
            there = [i for i in self.spec.inserts if i.page is None and i.pocket is pocket]
            if not there:
                continue
            lead = text_width_mm(word, _LABEL_MM) + 2.0
            x = self.margin
            baseline = centred_baseline_mm(y + TAB_MM / 2, _LABEL_MM)
            items.append(Text(x, baseline, word, _LABEL_MM, tone=Tone.SOFT, italic=True))
            x += lead
            for insert in there:
                if x + self.tab > self.width - self.margin:
                    x = self.margin + lead
                    y += TAB_MM + 1.6
                tab = tab_items(x + self.tab / 2, y, self.tab, insert.key, insert.standing)
                words = f"{insert.title}, {word}, {insert.standing}, number {insert.key}"
                items.append(Group(tab, words, insert.href, insert.standing))
                x += self.tab + 1.2
            y += TAB_MM + 1.8
        return tuple(items), y - top


def draw_fore_edge(spec: ForeEdgeSpec, width_px: float = 1400) -> Scene:
    """Draw the fore-edge for one width.

    Args:
        spec: The book.
        width_px: Width in CSS px, >= 240.

    Returns:
        The scene, width_px wide; in as many rows as leaves and tabs need to be told apart.

    Raises:
        DomainError: No gatherings, an odd number of folded leaves, a page that the book does not have, a word
            that is no standing, or a width under 240 px.
    """
    check_book(spec, width_px)
    drawing = _Drawing(spec, px_to_mm(width_px))
    items: list[Item] = []
    y = 0.6
    for number, row in enumerate(drawing.rows):
        tabs = len(drawing.inserts_in(row))
        high = drawing.levels(tabs) * (TAB_MM + TAB_GAP_MM)
        above = _STAND_OUT_MM + _LEAD_MM + high if tabs else 3.4
        end_y = y + above
        fold_y = end_y + _LEAF_MM
        label_y = fold_y + 9.6
        lines = drawing.leaves(row, fold_y, end_y)
        items += drawing.boards(number, fold_y, end_y)
        items += [drawing.gathering(i, lines, label_y) for i in row.indices]
        arcs = (drawing.crossover(arc, lines) for arc in spec.crossovers)
        items += [arc for arc in arcs if arc is not None]
        items += drawing.tabs(row, lines, end_y)
        y = label_y + 3.7 + 3.4
    apart, height = drawing.apart(y)
    items += apart
    y += height - (0 if apart else 2.0)
    leaves = sum(len(g.leaves) for g in spec.gatherings)
    words = [f"{counted(leaves, 'leaf', 'leaves')} in {counted(len(spec.gatherings), 'gathering')}"]
    words.append(
        counted(len(spec.inserts), "insert") + " standing out where they lie"
        if spec.inserts
        else "no inserts"
    )
    if spec.crossovers:
        words.append(f"{counted(len(spec.crossovers), 'crossover')} bridging the gutter")
    if spec.here and spec.here.words:
        words.append(f"you are at {spec.here.words}")
    return Scene(drawing.width, y + 0.6, spec.title, "; ".join(words) + ".", tuple(items))
