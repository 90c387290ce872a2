"""The text block in cross-section: gatherings and inserts lying on each other, as thick as they are.

In: BlockSpec (thicknesses in mm). Out: a Scene. Never: computing a thickness.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.draw.dimension import upright
from doublure.render.draw.figures import counted, inch_words, mm_words, plain
from doublure.render.draw.hatch import hatch
from doublure.render.draw.leaf_curves import spread
from doublure.render.draw.standing_line import check_standing
from doublure.render.lettering import centred_baseline_mm, shorten, text_width_mm
from doublure.render.scene import (
    FINE,
    Anchor,
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
    Step,
    Straight,
    Text,
    Tone,
    half_ellipse,
    px_to_mm,
)


@dataclass(frozen=True, slots=True)
class BlockLayer:
    """One layer, from the front board to the back.

    Attributes:
        name: "Gathering 3", or the name of an insert.
        thickness_mm: How thick it is, >= 0.
        sheets: Folded sheets in it, for a gathering; 0 for an insert.
        standing: Standing of an insert; unused for a gathering.
        href: Address of its page; "" for none.
    """

    name: str
    thickness_mm: float
    sheets: int = 0
    standing: str = "supported"
    href: str = ""


@dataclass(frozen=True, slots=True)
class BlockSpec:
    """The whole block: its layers from front to back, and the thickness of a board (0: drawn without)."""

    layers: tuple[BlockLayer, ...]
    board_mm: float = 0.0
    title: str = "The text block in section"


_LABEL_MM = 3.0
_ROW_MM = 4.3
_TOTAL_ROOM_MM = 15.0
_LEAD_MM = 12.0


def _fold(x: float, y: float, right: float, thick: float, layer: BlockLayer) -> list[Item]:
    """Return a gathering: its outer sheet, and as many nested folds as can be told apart."""
    items: list[Item] = []
    lines = min(layer.sheets, max(1, int(thick / 0.5)))
    for i in range(lines):
        inset = thick / 2 * i / lines
        depth = thick - 2 * inset
        r = depth / 2
        top, bottom, start = y + inset, y + thick - inset, x + thick / 2
        round_back: list[Step] = []
        # Half an ellipse on its side: x and y of a hanging one exchanged, bulging to the left.
        for c in half_ellipse((top, start), depth, -min(r, 5.0)):
            round_back.append(Curve(c.c1y_mm, c.c1x_mm, c.c2y_mm, c.c2x_mm, c.y_mm, c.x_mm))
        steps = (Move(right, top), Straight(start, top), *round_back, Straight(right, bottom))
        items.append(
            Path(steps, Pen(0.24) if i == 0 else Pen(0.14, Tone.SOFT), Tone.PAPER2 if i == 0 else None)
        )
    return items


def _insert(x: float, y: float, right: float, thick: float) -> list[Item]:
    """Return an insert: a sheet of its own, a mere line where it is thinner than one."""
    start, end = x + 6.0, right - 4.0
    if thick < 0.7:
        return [Line(start, y + thick / 2, end, y + thick / 2, Pen(max(0.25, thick), Tone.ACCENT))]
    return [Rect(start, y + 0.1, end - start, thick - 0.2, Pen(0.22, Tone.ACCENT), Tone.PAPER)]


def _board(x: float, y: float, right: float, thick: float) -> list[Item]:
    """Return a board, hatched as cut, open where the drawing breaks off."""
    edge = Polyline(((right, y), (x, y), (x, y + thick), (right, y + thick)), Pen(0.3), Tone.PAPER)
    strokes = hatch(x, y, right - x, thick, Pen(0.14, Tone.SOFT), 2.2)
    return [edge, strokes] if strokes else [edge]


def _break(x: float, top: float, bottom: float) -> Item:
    """Return the break line: what lies beyond it is left out."""
    middle = (top + bottom) / 2
    jog = ((x, middle - 1.8), (x + 1.5, middle - 0.6), (x - 1.5, middle + 0.6), (x, middle + 1.8))
    return Polyline(((x, top - 1.8), *jog, (x, bottom + 1.8)), FINE)


def draw_block(spec: BlockSpec, width_px: float = 760) -> Scene:
    """Draw the text block in section near its spine, the book lying on its back board.

    Args:
        spec: The block; at least one layer.
        width_px: Width in CSS px, >= 280.

    Returns:
        The scene, width_px wide, all thicknesses to one scale, given below it.

    Raises:
        DomainError: No layers, a negative thickness, nothing thick at all, a word that is no standing, or a
            width under 280 px.
    """
    if not spec.layers:
        raise DomainError("The block needs at least one layer", "layers")
    if width_px < 280:
        raise DomainError("The block needs a width of at least 280 px", "width_px")
    if spec.board_mm < 0 or any(layer.thickness_mm < 0 for layer in spec.layers):
        raise DomainError("A thickness cannot be negative", "thickness_mm")
    for layer in spec.layers:
        check_standing(layer.standing)
    block = sum(layer.thickness_mm for layer in spec.layers)
    if block <= 0:
        raise DomainError("The layers have no thickness at all", "thickness_mm")
    width = px_to_mm(width_px)
    whole = block + 2 * spec.board_mm
    labels = len(spec.layers) + (2 if spec.board_mm else 0)
    tall = max(60.0, min(130.0, labels * _ROW_MM))
    scale = min(8.0, tall / whole)
    tall_labels = labels * _ROW_MM
    height = max(whole * scale, tall_labels, 10.0)
    top = 2.6 + (height - whole * scale) / 2
    left = max(
        _TOTAL_ROOM_MM,
        9.0 + max(text_width_mm(t, _LABEL_MM) for t in (mm_words(block, 2), inch_words(block))),
    )
    right = left + min(0.42 * (width - left), 90.0)
    items: list[Item] = []
    marks: list[tuple[float, str, str, str]] = []
    y = top
    if spec.board_mm:
        items += _board(left, y, right, spec.board_mm * scale)
        marks.append((y + spec.board_mm * scale / 2, "Front board", mm_words(spec.board_mm, 2), ""))
        y += spec.board_mm * scale
    block_top = y
    for layer in spec.layers:
        thick = layer.thickness_mm * scale
        drawn = _fold(left, y, right, thick, layer) if layer.sheets else _insert(left, y, right, thick)
        told = f"{layer.name}, {mm_words(layer.thickness_mm, 2)} thick"
        items.append(Group(tuple(drawn), told if layer.sheets else f"{told}, {layer.standing}", layer.href))
        marks.append(
            (y + thick / 2, layer.name, mm_words(layer.thickness_mm, 2), "" if layer.sheets else "insert")
        )
        y += thick
    block_bottom = y
    if spec.board_mm:
        items += _board(left, y, right, spec.board_mm * scale)
        marks.append((y + spec.board_mm * scale / 2, "Back board", mm_words(spec.board_mm, 2), ""))
        y += spec.board_mm * scale
    items.append(_break(right, top, y))
    items += upright(block_top, block_bottom, left - 6.0, left, mm_words(block, 2), inch_words(block))
    items += _labels(marks, right, width, 2.6, 2.6 + height)
    told = f"{counted(sum(1 for la in spec.layers if la.sheets), 'gathering')} and "
    told += (
        f"{counted(sum(1 for la in spec.layers if not la.sheets), 'insert')}, {mm_words(block, 2)} together"
    )
    told += f", between boards of {mm_words(spec.board_mm, 2)}" if spec.board_mm else ""
    caption = f"drawn {plain(scale)} times as thick as it is"
    items.append(Text(left, 2.6 + height + 6.4, caption, 2.8, tone=Tone.SOFT, italic=True))
    return Scene(width, 2.6 + height + 8.0, spec.title, told + ".", tuple(items))


def _labels(
    marks: list[tuple[float, str, str, str]], right: float, width: float, low: float, high: float
) -> list[Item]:
    """Return names and thicknesses beside the layers, moved apart, each with a fine line to its layer."""
    amounts = max(text_width_mm(m[2], _LABEL_MM) for m in marks)
    names = max(text_width_mm(m[1], _LABEL_MM) for m in marks)
    at = spread([m[0] for m in marks], _ROW_MM, low + _ROW_MM / 2, high - _ROW_MM / 2)
    items: list[Item] = []
    x = right + _LEAD_MM
    end = min(width - 0.6, x + names + 8.0 + amounts)
    room = end - amounts - 2.0 - x
    for (y, name, amount, kind), label_y in zip(marks, at, strict=True):
        baseline = centred_baseline_mm(label_y, _LABEL_MM)
        lead = ((right - 0.5, y), (right + 3.0, y), (right + _LEAD_MM - 3.0, label_y), (x - 0.8, label_y))
        items.append(Polyline(lead, Pen(0.16, Tone.ACCENT if kind else Tone.LINE)))
        items.append(Text(end, baseline, amount, _LABEL_MM, Anchor.END))
        items.append(
            Text(
                x,
                baseline,
                shorten(name, _LABEL_MM, room),
                _LABEL_MM,
                tone=Tone.INK if not kind else Tone.SOFT,
            )
        )
    return items
