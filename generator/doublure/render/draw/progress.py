"""How much is settled: one small sheet for each insert (or attribute), sorted by standing, each in its line.

In: ProgressSpec. Out: a Scene. Never: a percentage.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.draw.figures import counted
from doublure.render.draw.standing_line import STANDINGS, check_standing, rect_points, standing_outline
from doublure.render.lettering import centred_baseline_mm, text_width_mm
from doublure.render.scene import Anchor, Group, Item, Rect, Scene, Text, Tone, px_to_mm


@dataclass(frozen=True, slots=True)
class ProgressItem:
    """One insert or attribute: its name, standing, number ("" for none), address ("" for none)."""

    title: str
    standing: str
    key: str = ""
    href: str = ""


@dataclass(frozen=True, slots=True)
class ProgressSpec:
    """What is counted, in the order in which equals are to stand; ``noun`` names one of them."""

    items: tuple[ProgressItem, ...]
    noun: str = "insert"
    title: str = "How much is settled"


_SHEET_MM = (5.8, 7.8)
_GAP_MM = 1.2
_GROUP_GAP_MM = 5.5
_KEY_MM = 2.7
_LABEL_MM = 3.2


def _sheet(item: ProgressItem, x: float, y: float, width: float) -> Group:
    height = _SHEET_MM[1]
    parts: list[Item] = [Rect(x, y, width, height, None, None if item.standing == "open" else Tone.PAPER2)]
    parts += standing_outline(rect_points(x, y, width, height), item.standing, 0.55)
    if item.key:
        baseline = centred_baseline_mm(y + height / 2, _KEY_MM)
        parts.append(Text(x + width / 2, baseline, item.key, _KEY_MM, Anchor.MIDDLE, Tone.SOFT))
    number = f", number {item.key}" if item.key else ""
    return Group(tuple(parts), f"{item.title}, {item.standing}{number}", item.href, item.standing)


def draw_progress(spec: ProgressSpec, width_px: float = 900) -> Scene:
    """Draw how much is settled.

    Args:
        spec: What is counted; at least one item.
        width_px: Width in CSS px, >= 200.

    Returns:
        The scene, width_px wide: groups in the order of STANDINGS, each with its count and word below; a
        group that is too long runs on in further lines.

    Raises:
        DomainError: No items, a word that is no standing, or a width under 200 px.
    """
    if not spec.items:
        raise DomainError("There is nothing to count", "items")
    if width_px < 200:
        raise DomainError("The drawing needs a width of at least 200 px", "width_px")
    for item in spec.items:
        check_standing(item.standing)
    width = px_to_mm(width_px)
    sheet = max([_SHEET_MM[0], *(text_width_mm(i.key, _KEY_MM) + 1.6 for i in spec.items)])
    step = sheet + _GAP_MM
    most = max(1, int((width - 1.2 + _GAP_MM) / step))
    x, y = 0.6, 0.6
    row_height = 0.0
    items: list[Item] = []
    tally = []
    for standing in STANDINGS:
        group = [item for item in spec.items if item.standing == standing]
        if not group:
            continue
        label = f"{len(group)} {standing}"
        tally.append(label)
        across = min(most, len(group))
        room = max(across * step - _GAP_MM, text_width_mm(label, _LABEL_MM))
        if x > 0.6 and x + room > width - 0.6:
            x, y, row_height = 0.6, y + row_height + 4.0, 0.0
        for n, item in enumerate(group):
            items.append(
                _sheet(item, x + n % across * step, y + n // across * (_SHEET_MM[1] + _GAP_MM), sheet)
            )
        lines = -(-len(group) // across)
        below = lines * (_SHEET_MM[1] + _GAP_MM) - _GAP_MM
        items.append(Text(x, y + below + 4.2, label, _LABEL_MM, tone=Tone.SOFT))
        row_height = max(row_height, below + 4.2 + 1.0)
        x += room + _GROUP_GAP_MM
    words = f"{counted(len(spec.items), spec.noun)}: {', '.join(tally)}."
    return Scene(width, y + row_height + 0.6, spec.title, words, tuple(items))
