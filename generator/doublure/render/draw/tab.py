"""The tab of an insert: its number in a small box that wears the line of its standing.

In: a key, a standing word, a place in mm. Out: scene items. Never: names, links.
"""

from __future__ import annotations

from collections.abc import Iterable

from doublure.render.draw.standing_line import rect_points, standing_outline
from doublure.render.lettering import centred_baseline_mm, text_width_mm
from doublure.render.scene import Anchor, Item, Rect, Text, Tone

#: Height of a tab and its least width, and the room between two, mm: together 24 px, a fingertip's least.
TAB_MM = 5.4
TAB_GAP_MM = 1.0

_KEY_MM = 2.9


def tab_width_mm(keys: Iterable[str]) -> float:
    """Return the width that holds the longest of some keys, mm."""
    return max([TAB_MM, *(text_width_mm(key, _KEY_MM) + 1.4 for key in keys)])


def tab_items(centre_mm: float, top_mm: float, width_mm: float, key: str, standing: str) -> tuple[Item, ...]:
    """Draw a tab.

    Args:
        centre_mm, top_mm: Middle of its upper edge.
        width_mm: Its width.
        key: What stands in it.
        standing: Whose line its edge wears.

    Returns:
        Items within TAB_MM below top_mm (the line reaches a little over).
    """
    left = centre_mm - width_mm / 2
    baseline = centred_baseline_mm(top_mm + TAB_MM / 2, _KEY_MM)
    return (
        Rect(left, top_mm, width_mm, TAB_MM, None, Tone.PAPER),
        *standing_outline(rect_points(left, top_mm, width_mm, TAB_MM), standing, 0.5),
        Text(centre_mm, baseline, key, _KEY_MM, Anchor.MIDDLE),
    )
