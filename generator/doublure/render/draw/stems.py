"""The stems of the evidence: each a stalk from the ground, its sources as leaves in the order of copying.

In: StemsSpec. Out: a Scene. Never: deciding what is one witness: a stalk is one, and that is all it says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.draw.figures import counted
from doublure.render.lettering import shorten, text_width_mm, wrap_or_shorten
from doublure.render.scene import (
    FINE,
    Circle,
    Curve,
    Group,
    Item,
    Line,
    Move,
    Path,
    Pen,
    Rect,
    Scene,
    Step,
    Straight,
    Text,
    Tone,
    px_to_mm,
)


@dataclass(frozen=True, slots=True)
class StemSource:
    """One source.

    Attributes:
        ident: Its identifier, unique among all stems.
        title: Its name.
        kind: What it is, in a word or two ("film frame"); "" for nothing.
        copied_from: Identifier of the source that it was copied from, on the same stem; "" for the first.
        to_scale: True where it gives sizes to scale.
        href: Address of its page; "" for none.
    """

    ident: str
    title: str
    kind: str = ""
    copied_from: str = ""
    to_scale: bool = False
    href: str = ""


@dataclass(frozen=True, slots=True)
class StemGrowth:
    """One stem: its name, its sources in any order, its address; ``note`` says more below its name."""

    name: str
    sources: tuple[StemSource, ...]
    href: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class StemsSpec:
    """All stems, in the order in which they are to stand."""

    stems: tuple[StemGrowth, ...]
    title: str = "Where the evidence comes from"


_ROW_MM = 11.0
_INDENT_MM = 5.0
_TITLE_MM = 3.2
_KIND_MM = 2.8
_NAME_MM = 3.6
_STALK_X_MM = 4.0
_LEAF_MM = 7.0


@dataclass(frozen=True, slots=True)
class _Grown:
    """A source with its height in rows above the ground and how far out it branches."""

    source: StemSource
    row: int
    depth: int
    parent: int | None


def _grow(stem: StemGrowth) -> tuple[_Grown, ...]:
    """Return the sources from the ground upwards, each above what it was copied from."""
    known = {source.ident for source in stem.sources}
    children: dict[str, list[StemSource]] = {}
    for source in stem.sources:
        if source.copied_from and source.copied_from not in known:
            raise DomainError(
                f"{source.title}: copied from {source.copied_from}, which is not on its stem", "copied_from"
            )
        children.setdefault(source.copied_from, []).append(source)
    grown: list[_Grown] = []

    def climb(source: StemSource, depth: int, parent: int | None) -> Iterator[_Grown]:
        here = len(grown)
        yield _Grown(source, here, depth, parent)
        for child in children.get(source.ident, ()):
            yield from climb(child, depth + 1, here)

    for root in children.get("", ()):
        for one in climb(root, 0, None):
            grown.append(one)
    if len(grown) != len(stem.sources):
        raise DomainError(f"{stem.name}: some sources are copied from each other in a circle", "copied_from")
    return tuple(grown)


def _leaf(x: float, y: float, to_scale: bool) -> tuple[Item, ...]:
    """Return a leaf on a short stalk rising to the right from (x, y); ticks on its rib mean "to scale"."""
    tip = (x + _LEAF_MM, y - 2.6)
    base = (x + 1.6, y - 0.6)
    blade = Path(
        (
            Move(*base),
            Curve(base[0] + 0.9, base[1] - 2.6, tip[0] - 2.4, tip[1] - 1.1, *tip),
            Curve(tip[0] - 0.9, tip[1] + 2.3, base[0] + 2.2, base[1] + 1.6, *base),
        ),
        Pen(0.26),
        Tone.PAPER2,
    )
    rib = Line(x, y, tip[0] - 1.0, tip[1] + 0.4, FINE)
    if not to_scale:
        return blade, rib
    # Ticks square to the rib, like those of a ruler.
    ux, uy = 0.947, -0.32
    ticks: list[Step] = []
    for i in range(4):
        at = 2.5 + i * 0.95
        px, py = x + ux * at, y + uy * at
        ticks += [Move(px, py), Straight(px - uy * 0.75, py + ux * 0.75)]
    return blade, rib, Path(tuple(ticks), FINE)


def _node_x(depth: int) -> float:
    return _STALK_X_MM + min(depth, 5) * _INDENT_MM


@dataclass(frozen=True, slots=True)
class _Plot:
    """The piece of ground that one stem grows on, mm: left end, height, width, and how much room each source
    takes above its node, from the ground upwards."""

    x: float
    ground: float
    width: float
    rooms: tuple[float, ...] = ()

    def at(self, row: int) -> float:
        """Return the height of the node of a source so many rows above the ground."""
        return self.ground - 5.0 - sum(self.rooms[:row])

    def words_x(self, depth: int) -> float:
        """Return where the words of a source begin."""
        return self.x + _node_x(depth) + _LEAF_MM + 1.6

    def room(self, depth: int) -> float:
        """Return the room for the words of a source."""
        return self.x + self.width - self.words_x(depth) - 4.0


def _source_item(one: _Grown, plot: _Plot, below: str) -> Item:
    """Return one source: its leaf and its words."""
    node, y = plot.x + _node_x(one.depth), plot.at(one.row)
    kind = one.source.kind
    lines = list(wrap_or_shorten(one.source.title, _TITLE_MM, plot.room(one.depth), 2))
    # The words stand about the height of the leaf; there is room for three lines only where a title needs it.
    top = y - 1.4 - 2.0 * (len(lines) - 1) - (1.8 if kind else 0.0)
    items: list[Item] = [*_leaf(node, y, one.source.to_scale), Circle(node, y, 0.55, None, Tone.INK)]
    for n, line in enumerate(lines):
        items.append(Text(plot.words_x(one.depth), top + n * 4.0, line, _TITLE_MM))
    if kind:
        small = wrap_or_shorten(kind, _KIND_MM, plot.room(one.depth), 1)[0]
        low = top + (len(lines) - 1) * 4.0 + 3.7
        items.append(Text(plot.words_x(one.depth), low, small, _KIND_MM, tone=Tone.SOFT))
    says = [one.source.title]
    says += [kind] if kind else []
    says += ["to scale"] if one.source.to_scale else []
    says += [f"copied from {below}"] if below else []
    tall = plot.rooms[one.row]
    target = Rect(node, y + 3.6 - tall, plot.x + plot.width - node - 3.0, tall - 1.0)
    return Group((target, *items), ", ".join(says), one.source.href)


def _stalks(grown: tuple[_Grown, ...], plot: _Plot) -> tuple[Item, ...]:
    """Return the stalk from the ground to the last source copied from nothing, and the branches off it."""
    trunk = max((one.row for one in grown if one.parent is None), default=0)
    foot, ground = plot.x + _STALK_X_MM, plot.ground
    rise = Curve(foot, ground - 1.5, foot, ground - 3.0, foot, plot.at(0))
    items: list[Item] = [Path((Move(foot - 0.9, ground), rise, Straight(foot, plot.at(trunk))), Pen(0.5))]
    for one in grown:
        if one.parent is None:
            continue
        below = grown[one.parent]
        x0, y0 = plot.x + _node_x(below.depth), plot.at(below.row)
        x1, y1 = plot.x + _node_x(one.depth), plot.at(one.row)
        # A branch leaves above the leaf that grows from the same node.
        leave = y0 - 3.4
        turn = max(y1, leave - 5.0)
        bend = Curve(x0, leave - 3.0, x1, turn + 3.0, x1, turn)
        items.append(Path((Move(x0, y0), Straight(x0, leave), bend, Straight(x1, y1)), Pen(0.34)))
    return tuple(items)


def _ground(x: float, y: float, width: float) -> tuple[Item, ...]:
    """Return the ground: a line, and short slanting strokes below it."""
    ticks: list[Step] = []
    for i in range(int(width / 1.8)):
        at = x + 1.6 + i * 1.8
        ticks += [Move(at, y), Straight(at - 1.3, y + 1.5)]
    return Line(x, y, x + width, y, Pen(0.4)), Path(tuple(ticks), Pen(0.16, Tone.SOFT))


def _stem_item(stem: StemGrowth, grown: tuple[_Grown, ...], plot: _Plot) -> Item:
    titles = [one.source.title for one in grown]
    width = plot.width - 5.0
    items: list[Item] = [*_ground(plot.x, plot.ground, width)]
    items += _stalks(grown, plot) if grown else ()
    for one in grown:
        items.append(_source_item(one, plot, titles[one.parent] if one.parent is not None else ""))
    count = f"{counted(len(grown), 'source')}, one witness" if grown else "no source yet"
    name = shorten(stem.name, _NAME_MM, width, bold=True)
    note = shorten(stem.note or count, _KIND_MM, width)
    label = (
        Rect(plot.x, plot.ground + 2.2, width, 8.8),
        Text(plot.x, plot.ground + 6.0, name, _NAME_MM, bold=True),
        Text(plot.x, plot.ground + 10.2, note, _KIND_MM, tone=Tone.SOFT),
    )
    return Group((*items, Group(label, f"Stem {stem.name}: {count}", stem.href)))


def _rooms(grown: tuple[_Grown, ...], width: float) -> tuple[float, ...]:
    """Return how much room each source takes: more where its title needs two lines."""
    plot = _Plot(0.0, 0.0, width)
    fits = (text_width_mm(one.source.title, _TITLE_MM) <= plot.room(one.depth) for one in grown)
    return tuple(_ROW_MM if fit else _ROW_MM + 3.6 for fit in fits)


def draw_stems(spec: StemsSpec, width_px: float = 1200) -> Scene:
    """Draw the stems, as many beside each other as the width has room for, on common ground.

    Args:
        spec: The stems; at least one.
        width_px: Width in CSS px, >= 260.

    Returns:
        The scene, width_px wide. As many stalks stand on the ground as there are independent witnesses.

    Raises:
        DomainError: No stems, a copy of something that is not on its stem, copies in a circle, or a width
            under 260 px.
    """
    if not spec.stems:
        raise DomainError("There are no stems to draw", "stems")
    if width_px < 260:
        raise DomainError("The stems need a width of at least 260 px", "width_px")
    width = px_to_mm(width_px)
    inner = width - 1.2
    grown = [_grow(stem) for stem in spec.stems]
    columns = max(1, min(len(spec.stems), int(inner / 66)))
    column = inner / columns
    rooms = [_rooms(stem, column) for stem in grown]
    items: list[Item] = []
    y = 0.6
    for start in range(0, len(spec.stems), columns):
        row = range(start, min(start + columns, len(spec.stems)))
        ground = y + 3.0 + max(sum(rooms[i]) for i in row)
        for n, i in enumerate(row):
            plot = _Plot(0.6 + n * column, ground, column, rooms[i])
            items.append(_stem_item(spec.stems[i], grown[i], plot))
        y = ground + 11.2 + 5.0
    bottom = y - 5.0
    if any(source.to_scale for stem in spec.stems for source in stem.sources):
        y = bottom + 7.0
        key = "a ticked leaf gives sizes to scale"
        items += [*_leaf(0.6, y, True), Text(10.0, y - 0.6, key, _KIND_MM, tone=Tone.SOFT, italic=True)]
        bottom = y + 1.4
    total = sum(len(stem.sources) for stem in spec.stems)
    witnesses = sum(1 for stem in spec.stems if stem.sources)
    said = counted(witnesses, "independent witness", "independent witnesses")
    words = f"{counted(total, 'source')} on {counted(len(spec.stems), 'stem')}: {said}."
    return Scene(width, bottom + 0.6, spec.title, words, tuple(items))
