"""One gathering: its sheets nested at the fold, its pages in reading order, what lies in it and crosses it.

In: GatheringSpec. Out: a Scene. Never: deciding which page falls on which sheet (conjugate leaves follow from
the order of the leaves).
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.draw.figures import counted
from doublure.render.draw.leaf_curves import conjugates
from doublure.render.draw.standing_line import check_standing, standing_stroke
from doublure.render.draw.tab import TAB_MM, tab_items, tab_width_mm
from doublure.render.lettering import centred_baseline_mm, shorten, text_width_mm
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
    Point,
    Polyline,
    Rect,
    Scene,
    Step,
    Straight,
    Text,
    Tone,
    half_ellipse,
    px_to_mm,
)


@dataclass(frozen=True, slots=True)
class PageWords:
    """One page: its number as printed or planned ("" for none), what is on it, the address of its master."""

    number: str
    words: str = ""
    href: str = ""


@dataclass(frozen=True, slots=True)
class GatheringLeaf:
    """One leaf: its two pages, and whether it is a single leaf tipped in."""

    recto: PageWords
    verso: PageWords
    tipped: bool = False


@dataclass(frozen=True, slots=True)
class GatheringInsert:
    """An insert in this gathering; page counts the pages of the spec from 1 (0: before the first)."""

    key: str
    title: str
    standing: str
    page: int
    href: str = ""
    fixed: bool = False


@dataclass(frozen=True, slots=True)
class GatheringSpec:
    """One gathering: its name, its leaves in reading order, inserts, and the even pages from which artwork
    crosses to the next (pages counted from 1 over the leaves of the spec)."""

    name: str
    leaves: tuple[GatheringLeaf, ...]
    inserts: tuple[GatheringInsert, ...] = ()
    crossovers: tuple[int, ...] = ()


_PAGE_MM = 3.2
_SMALL_MM = 2.7
_LEAF_ROW_MM = 10.6
_INSERT_ROW_MM = 7.4
_CENTRE_ROW_MM = 5.0
_FOLD_X_MM = 9.0
_PINCH_MM = 0.55


@dataclass(frozen=True, slots=True)
class _Plan:
    """Heights of leaves and inserts, and where columns begin, mm."""

    leaf_y: tuple[float, ...]
    insert_y: tuple[tuple[GatheringInsert, float], ...]
    centre_y: float | None
    height: float
    fan_x: float
    words_x: float
    end_x: float


def _plan(spec: GatheringSpec, pairs: tuple[tuple[int, int], ...], width: float) -> _Plan:
    # Above a leaf there is room for the words of its first page, below for those of its second.
    y = 0.8
    leaf_y: list[float] = []
    insert_y: list[tuple[GatheringInsert, float]] = []
    centre_y = None
    for gap in range(len(spec.leaves) + 1):
        if pairs and gap == pairs[-1][1]:
            centre_y = y + _CENTRE_ROW_MM / 2
            y += _CENTRE_ROW_MM
        for insert in spec.inserts:
            if insert.page // 2 == gap:
                insert_y.append((insert, y + _INSERT_ROW_MM / 2))
                y += _INSERT_ROW_MM
        if gap < len(spec.leaves):
            leaf_y.append(y + _LEAF_ROW_MM / 2)
            y += _LEAF_ROW_MM
    fan = 34.0 if width > 150 else 22.0
    number = max(
        text_width_mm(p.number, _PAGE_MM, bold=True) for f in spec.leaves for p in (f.recto, f.verso)
    )
    words_x = _FOLD_X_MM + fan + text_width_mm("sheet 88", _SMALL_MM) + 3.0 + number
    # Leaves are as long as their words need, so that a wide page does not stretch them.
    shown = [text_width_mm(p.words, _PAGE_MM) for f in spec.leaves for p in (f.recto, f.verso)]
    shown += [text_width_mm(insert.title, _PAGE_MM) + 1.0 for insert in spec.inserts]
    end_x = min(width - 6.0, words_x + max(60.0, max(shown) + 8.0))
    return _Plan(tuple(leaf_y), tuple(insert_y), centre_y, y + 0.8, _FOLD_X_MM + fan, words_x, end_x)


def _fan(fold: Point, to: Point) -> Curve:
    reach = to[0] - fold[0]
    return Curve(fold[0] + 0.5 * reach, fold[1], to[0] - 0.55 * reach, to[1], *to)


def _sheet_item(plan: _Plan, outer: int, inner: int, rank: float, middle: float) -> Item:
    """Return one folded sheet: along its first leaf to the fold, round it, and along its second."""
    above, below = middle - rank * _PINCH_MM, middle + rank * _PINCH_MM
    first, second = (plan.fan_x, plan.leaf_y[outer]), (plan.fan_x, plan.leaf_y[inner])
    out = _fan((_FOLD_X_MM, above), first)
    back = Curve(out.c2x_mm, out.c2y_mm, out.c1x_mm, out.c1y_mm, _FOLD_X_MM, above)
    depth = below - above
    k = 0.5523
    steps: tuple[Step, ...] = (
        Move(plan.end_x, first[1]),
        Straight(*first),
        back,
        Curve(
            _FOLD_X_MM - k * depth / 2,
            above,
            _FOLD_X_MM - depth / 2,
            middle - k * depth / 2,
            _FOLD_X_MM - depth / 2,
            middle,
        ),
        Curve(
            _FOLD_X_MM - depth / 2,
            middle + k * depth / 2,
            _FOLD_X_MM - k * depth / 2,
            below,
            _FOLD_X_MM,
            below,
        ),
        _fan((_FOLD_X_MM, below), second),
        Straight(plan.end_x, second[1]),
    )
    return Path(steps, Pen(0.24))


def _tipped_item(plan: _Plan, leaf: int) -> tuple[Item, ...]:
    """Return a single leaf, its foot pasted to the leaf before it (after it, where it is the first)."""
    near = plan.leaf_y[leaf - 1] if leaf else plan.leaf_y[min(1, len(plan.leaf_y) - 1)]
    y, x = plan.leaf_y[leaf], plan.fan_x
    bend = Path((Move(x - 1.0, near), Curve(x - 4.5, near, x - 4.5, y, x - 1.0, y)), Pen(0.3))
    along = Line(x - 1.0, y, plan.end_x, y, Pen(0.3, dash_mm=(3.4, 0.8, 0.7, 0.8)))
    return bend, along, Circle(x - 1.0, near, 0.55, None, Tone.INK)


def _margin_words(plan: _Plan, leaf: int, words: str) -> Item:
    return Text(plan.fan_x + 1.0, plan.leaf_y[leaf] - 1.0, words, _SMALL_MM, tone=Tone.SOFT, italic=True)


def _page_items(plan: _Plan, page: PageWords, baseline: float) -> Item:
    room = plan.end_x - plan.words_x - 2.5
    words = shorten(page.words, _PAGE_MM, room)
    number = Text(plan.words_x - 1.2, baseline, page.number, _PAGE_MM, Anchor.END, bold=True)
    items: list[Item] = [number] if page.number else []
    if words:
        items.append(Text(plan.words_x, baseline, words, _PAGE_MM, tone=Tone.SOFT))
    title = f"Page {page.number or 'without a number'}" + (f": {page.words}" if page.words else "")
    target = Rect(plan.words_x - 9.0, baseline - 3.6, room + 9.0, 4.6)
    return Group((target, *items), title, page.href)


def _insert_item(plan: _Plan, insert: GatheringInsert, y: float, tab: float) -> Item:
    start = plan.fan_x + (0.0 if insert.fixed else 4.0)
    tab_x = plan.words_x - 1.2 - tab / 2
    items: list[Item] = list(standing_stroke(((start, y), (tab_x - tab / 2, y)), insert.standing, 0.8))
    if insert.fixed:
        near = plan.leaf_y[max(0, (insert.page + 1) // 2 - 1)]
        items.append(Path((Move(start, near), Curve(start - 3.0, near, start - 3.0, y, start, y)), Pen(0.24)))
        items.append(Circle(start, near, 0.55, None, Tone.INK))
    items += tab_items(tab_x, y - TAB_MM / 2, tab, insert.key, insert.standing)
    baseline = centred_baseline_mm(y, _PAGE_MM)
    name = shorten(insert.title, _PAGE_MM, plan.end_x - plan.words_x - 3.0)
    if name:
        items.append(Text(plan.words_x + 1.0, baseline, name, _PAGE_MM, italic=True))
    held = "fixed" if insert.fixed else "loose"
    words = f"{insert.title}, {held}, {insert.standing}, number {insert.key}"
    return Group(tuple(items), words, insert.href, insert.standing)


def _crossover_item(plan: _Plan, page: int, spec: GatheringSpec) -> Item:
    """Return an arc at the free ends of the two leaves that one picture crosses."""
    leaf = page // 2
    top, bottom = plan.leaf_y[leaf - 1] + 2.4, plan.leaf_y[leaf] - 2.4
    x = plan.end_x + 0.8
    # A half ellipse lying on its side: the standing one turned by exchanging x and y.
    steps: list[Step] = [Move(x, top)]
    for c in half_ellipse((top, x), bottom - top, min(4.2, 0.35 * (bottom - top))):
        steps.append(Curve(c.c1y_mm, c.c1x_mm, c.c2y_mm, c.c2x_mm, c.y_mm, c.x_mm))
    feet = tuple(Circle(x, y, 0.55, None, Tone.ACCENT) for y in (top, bottom))
    numbers = (spec.leaves[leaf - 1].verso.number, spec.leaves[leaf].recto.number)
    arc = Path(tuple(steps), Pen(0.4, Tone.ACCENT))
    return Group((arc, *feet), f"Crossover from page {numbers[0]} to {numbers[1]}")


def _check(spec: GatheringSpec, width_px: float) -> None:
    if width_px < 280:
        raise DomainError("The gathering needs a width of at least 280 px", "width_px")
    if not spec.leaves:
        raise DomainError("A gathering needs leaves", "leaves")
    pages = 2 * len(spec.leaves)
    for insert in spec.inserts:
        check_standing(insert.standing)
        if not 0 <= insert.page <= pages:
            raise DomainError(
                f"{insert.title}: no page {insert.page} in this gathering, only 1 to {pages}", "page"
            )
    for page in spec.crossovers:
        if page % 2 or not 0 < page < pages:
            raise DomainError(f"A crossover within a gathering begins on an even page, not on {page}", "page")


def draw_gathering(spec: GatheringSpec, width_px: float = 760) -> Scene:
    """Draw one gathering, its fold at the left, its pages downwards in reading order.

    Args:
        spec: The gathering.
        width_px: Width in CSS px, >= 280.

    Returns:
        The scene, width_px wide. The words of a page stand on its side of its leaf.

    Raises:
        DomainError: No leaves, an odd number of folded leaves, a page that is not there, a word that is no
            standing, or a width under 280 px.
    """
    _check(spec, width_px)
    pairs = conjugates([leaf.tipped for leaf in spec.leaves])
    width = px_to_mm(width_px)
    plan = _plan(spec, pairs, width)
    folded = [plan.leaf_y[i] for pair in pairs for i in pair]
    middle = plan.centre_y if plan.centre_y is not None else sum(plan.leaf_y) / len(plan.leaf_y)
    items: list[Item] = []
    for n, (a, b) in enumerate(pairs):
        items.append(_sheet_item(plan, a, b, len(pairs) - n - 0.5, middle))
        items += [_margin_words(plan, i, f"sheet {n + 1}") for i in (a, b)]
    for i, leaf in enumerate(spec.leaves):
        if leaf.tipped:
            items += _tipped_item(plan, i)
            items.append(_margin_words(plan, i, "tipped in"))
        items.append(_page_items(plan, leaf.recto, plan.leaf_y[i] - 1.2))
        items.append(_page_items(plan, leaf.verso, plan.leaf_y[i] + 3.9))
    tab = tab_width_mm(i.key for i in spec.inserts)
    items += [_insert_item(plan, insert, y, tab) for insert, y in plan.insert_y]
    items += [_crossover_item(plan, page, spec) for page in spec.crossovers]
    if folded and plan.centre_y is not None:
        # The thread goes through every fold into the middle of the gathering.
        items.append(Line(1.0, middle, _FOLD_X_MM + 3.0, middle, Pen(0.35, Tone.ACCENT, (1.6, 0.7))))
        tip = _FOLD_X_MM + 3.0
        items.append(
            Polyline(((tip, middle - 0.7), (tip + 1.6, middle), (tip, middle + 0.7)), None, Tone.ACCENT, True)
        )
        baseline = centred_baseline_mm(middle, _SMALL_MM)
        items.append(Text(plan.words_x, baseline, "centre spread", _SMALL_MM, tone=Tone.ACCENT, italic=True))
        items.append(
            Line(plan.fan_x - 6.0, middle, plan.words_x - 1.5, middle, Pen(0.2, Tone.ACCENT, (0.6, 0.9)))
        )
    words = f"{counted(len(pairs), 'folded sheet')}, {counted(2 * len(spec.leaves), 'page')}"
    tipped = sum(leaf.tipped for leaf in spec.leaves)
    words += f", {counted(tipped, 'leaf', 'leaves')} tipped in" if tipped else ""
    words += f", {counted(len(spec.inserts), 'insert')}" if spec.inserts else ""
    words += f", {counted(len(spec.crossovers), 'crossover')}" if spec.crossovers else ""
    return Scene(width, plan.height, f"Gathering {spec.name}", words + ".", tuple(items))
