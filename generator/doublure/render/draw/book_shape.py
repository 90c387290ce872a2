"""The closed book as a shape: its spine seen square on, its front beside it.

In: drawn sizes in mm. Out: scene items. Never: naming or linking it.
"""

from __future__ import annotations

from doublure.render.draw.standing_line import rect_points, standing_outline
from doublure.render.scene import FINE, Item, Line, Pen, Rect, Tone


def book_items(
    x_mm: float,
    y_mm: float,
    board_width_mm: float,
    height_mm: float,
    thickness_mm: float,
    standing: str,
    right_to_left: bool = False,
    picture: tuple[Item, ...] = (),
) -> tuple[Item, ...]:
    """Draw a closed book: spine and front board side by side.

    Args:
        x_mm, y_mm: Top left of both together, drawn mm.
        board_width_mm, height_mm: Drawn size of the front board, mm.
        thickness_mm: Drawn width of the spine, mm.
        standing: Whose line the outer edge wears.
        right_to_left: True puts the spine at the right.
        picture: Laid on the front under its lines.

    Returns:
        Items within the two rectangles (standing lines reach a little over).
    """
    front = x_mm if right_to_left else x_mm + thickness_mm
    spine = x_mm + board_width_mm if right_to_left else x_mm
    joint = front + board_width_mm if right_to_left else front
    inward = -1.0 if right_to_left else 1.0
    bottom = y_mm + height_mm
    groove = min(2.2, board_width_mm * 0.07)
    items: list[Item] = [
        Rect(spine, y_mm, thickness_mm, height_mm, None, Tone.SOFT),
        Rect(front, y_mm, board_width_mm, height_mm, None, Tone.PAPER2),
        *picture,
        Line(joint, y_mm, joint, bottom, FINE),
        # The joint where the board hinges, pressed in beside the spine.
        Line(joint + inward * groove, y_mm, joint + inward * groove, bottom, Pen(0.18, Tone.SOFT)),
        Line(
            joint + inward * groove * 1.35, y_mm, joint + inward * groove * 1.35, bottom, Pen(0.18, Tone.SOFT)
        ),
    ]
    # Head and tail bands of the spine.
    for part in (0.08, 0.1, 0.9, 0.92):
        level = y_mm + part * height_mm
        items.append(Line(spine, level, spine + thickness_mm, level, Pen(0.22, Tone.PAPER)))
    whole = rect_points(x_mm, y_mm, board_width_mm + thickness_mm, height_mm)
    return (*items, *standing_outline(whole, standing))
