"""Marks beside the pages: where to cut, fold and slit, register crosses, and the place of the label.

In: a SheetGrid. Out: SheetLayout. Never: drawing, display text. No mark touches a trim with its bleed; what finds no
room is left out and listed. Sizes of marks are ours; common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterator

from doublure.trade.press.layout import TOLERANCE_MM, SheetGrid
from doublure.trade.press.records import (
    Box,
    Folding,
    Lacking,
    MarkKind,
    MarkLine,
    MarkName,
    Point,
    SheetLayout,
)

CLEAR_MM = 1.0
"""Between a mark and the bleed, or another mark, at least."""

MARK_MM = 4.0
"""Length of a cut, fold or slit mark where there is room."""

LEAST_MARK_MM = 2.0
"""A shorter mark is left out."""

CROSS_ARM_MM = 2.5
"""From the middle of a register cross to the end of its arms."""

LABEL_HEIGHT_MM = 10.0
"""Height of the label where there is room."""

EDGE_MM = 5.0
"""What an ordinary printer leaves bare at the edge of a sheet, for a label that may be elsewhere."""

LEAST_LABEL_MM = (30.0, 2.5)
"""Least width and height of a label above or below the pages."""

LEAST_SIDE_LABEL_MM = (20.0, 12.0)
"""Least width and height of a label beside the pages."""

_NAMES = {MarkKind.CUT: MarkName.CUT, MarkKind.FOLD: MarkName.FOLD, MarkKind.SLIT: MarkName.SLIT}


def lay_out_sheet(grid: SheetGrid, pairs: int, fold_grain_ok: bool | None) -> SheetLayout:
    """Return what all plates of a book share: marks, boxes, room.

    Args:
        grid: Where the pages lie.
        pairs: Leaf pairs that the sheet is cut into before it is folded.
        fold_grain_ok: False where the spine fold runs against the grain; None where the grain is open.
    """
    lines, short = _place_lines(grid)
    crosses, no_cross = _place_crosses(grid)
    label, no_label = _place_label(grid, lines, crosses)
    x, y = grid.margin_x_mm, grid.margin_y_mm
    return SheetLayout(
        sheet_width_mm=grid.sheet_width_mm,
        sheet_height_mm=grid.sheet_height_mm,
        folding=grid.folding,
        pairs=pairs,
        bleed_mm=grid.bleed_mm,
        lines=lines,
        crosses=crosses,
        label=label,
        trim_box=grid.trim_box,
        bleed_box=grid.bleed_box,
        fold_grain_ok=fold_grain_ok,
        room_mm=(x, y, x, y),
        lacking=(*grid.list_short_bleeds(), *short, *no_cross, *no_label),
        rows=grid.rows,
        columns=grid.columns,
    )


def _upright_places(grid: SheetGrid) -> dict[float, MarkKind]:
    """Return what is done along each upright line across the sheet. A slit counts before a cut at one place."""
    places: dict[float, MarkKind] = {}
    if grid.folding is Folding.OCTAVO:
        places[grid.sheet_width_mm / 2] = MarkKind.SLIT
    for pair in range(grid.across):
        places[grid.fold_x_mm(pair)] = MarkKind.FOLD
    for column in range(grid.columns):
        trim = grid.trim(0, column)
        _add(places, trim.right_mm if column % 2 else trim.left_mm, MarkKind.CUT)
    return places


def _level_places(grid: SheetGrid) -> dict[float, MarkKind]:
    """Return the same for each level line."""
    places: dict[float, MarkKind] = {}
    if grid.folding is not Folding.FOLIO:
        places[grid.sheet_height_mm / 2] = MarkKind.SLIT
    for row in range(grid.rows):
        trim = grid.trim(row, 0)
        _add(places, trim.top_mm, MarkKind.CUT)
        _add(places, trim.bottom_mm, MarkKind.CUT)
    return places


def _add(places: dict[float, MarkKind], at_mm: float, kind: MarkKind) -> None:
    if all(abs(at_mm - other) > TOLERANCE_MM for other in places):
        places[at_mm] = kind


def _place_lines(grid: SheetGrid) -> tuple[tuple[MarkLine, ...], tuple[Lacking, ...]]:
    bleed = grid.bleed_box
    lines: list[MarkLine] = []
    lacking: list[Lacking] = []
    sides = (
        ("top", _upright_places(grid), bleed.top_mm, -1.0),
        ("bottom", _upright_places(grid), bleed.bottom_mm, 1.0),
        ("left", _level_places(grid), bleed.left_mm, -1.0),
        ("right", _level_places(grid), bleed.right_mm, 1.0),
    )
    for edge, places, from_mm, outwards in sides:
        is_upright = edge in ("top", "bottom")
        # The work is in the middle, so the room is the same on both sides.
        room = bleed.top_mm if is_upright else bleed.left_mm
        length = min(MARK_MM, room - CLEAR_MM)
        if length < LEAST_MARK_MM:
            wants = CLEAR_MM + LEAST_MARK_MM
            kinds = dict.fromkeys(_NAMES[kind] for kind in places.values())
            lacking += [Lacking(kind, edge, max(0.0, room), wants) for kind in kinds]
            continue
        near, far = from_mm + outwards * CLEAR_MM, from_mm + outwards * (CLEAR_MM + length)
        for at, kind in sorted(places.items()):
            start, end = ((at, near), (at, far)) if is_upright else ((near, at), (far, at))
            lines.append(MarkLine(kind, start, end))
    return tuple(lines), tuple(lacking)


def _place_crosses(grid: SheetGrid) -> tuple[tuple[Point, ...], tuple[Lacking, ...]]:
    """Return places that are the same seen through: each has its mirror image on the same level.

    They lie at the corners of the work where there is room at both edges, else along the edges that have room,
    a quarter of a page from its corner.
    """
    bleed, trim = grid.bleed_box, grid.trim_box
    wants = CLEAR_MM + 2 * CROSS_ARM_MM
    out = CLEAR_MM + CROSS_ARM_MM
    beside, above = (room >= wants - TOLERANCE_MM for room in (bleed.left_mm, bleed.top_mm))
    left, right = bleed.left_mm - out, bleed.right_mm + out
    top, bottom = bleed.top_mm - out, bleed.bottom_mm + out
    if not beside:
        left, right = trim.left_mm + grid.leaf_width_mm / 4, trim.right_mm - grid.leaf_width_mm / 4
    if not above:
        top, bottom = trim.top_mm + grid.leaf_height_mm / 4, trim.bottom_mm - grid.leaf_height_mm / 4
    along_mm = grid.leaf_height_mm / 4 if beside else grid.leaf_width_mm / 4
    if not (beside or above) or (not (beside and above) and along_mm < out):
        return (), (Lacking(MarkName.CROSS, "", max(0.0, bleed.left_mm, bleed.top_mm), wants),)
    return ((left, top), (right, top), (left, bottom), (right, bottom)), ()


def _place_label(
    grid: SheetGrid, lines: tuple[MarkLine, ...], crosses: tuple[Point, ...]
) -> tuple[Box | None, tuple[Lacking, ...]]:
    """Return a strip below all marks where there is room for that, else the widest free stretch between the marks
    below the pages, else above, else beside them.
    """
    bleed, trim = grid.bleed_box, grid.trim_box
    room_y, room_x = bleed.top_mm - CLEAR_MM, bleed.left_mm - CLEAR_MM
    below_marks = max(MARK_MM, 2 * CROSS_ARM_MM) + CLEAR_MM
    deep = min(LABEL_HEIGHT_MM, room_y - below_marks - EDGE_MM)
    if deep >= LABEL_HEIGHT_MM / 2 and trim.width_mm >= LEAST_LABEL_MM[0]:
        return Box(trim.left_mm, bleed.bottom_mm + CLEAR_MM + below_marks, trim.width_mm, deep), ()
    taken = [*_boxes_of(lines), *(_box_of_cross(x, y) for x, y in crosses)]
    if room_y >= LEAST_LABEL_MM[1]:
        height = min(LABEL_HEIGHT_MM, room_y)
        for top in (bleed.bottom_mm + CLEAR_MM, bleed.top_mm - CLEAR_MM - height):
            strip = Box(trim.left_mm, top, trim.width_mm, height)
            left, right = _widest(_free(strip, taken, along_x=True))
            if right - left >= LEAST_LABEL_MM[0]:
                return Box(left, top, right - left, height), ()
    if room_x >= LEAST_SIDE_LABEL_MM[0]:
        strip = Box(bleed.right_mm + CLEAR_MM, trim.top_mm, min(room_x, grid.leaf_width_mm), trim.height_mm)
        above, below = _widest(_free(strip, taken, along_x=False))
        if below - above >= LEAST_SIDE_LABEL_MM[1]:
            return Box(strip.left_mm, above, strip.width_mm, below - above), ()
    has, wants = max(0.0, bleed.top_mm), CLEAR_MM + LEAST_LABEL_MM[1]
    return None, (Lacking(MarkName.LABEL, "", has, wants),)


def _boxes_of(lines: tuple[MarkLine, ...]) -> Iterator[Box]:
    for line in lines:
        left, right = sorted((line.start[0], line.end[0]))
        top, bottom = sorted((line.start[1], line.end[1]))
        yield Box(left, top, right - left, bottom - top)


def _box_of_cross(x_mm: float, y_mm: float) -> Box:
    return Box(x_mm - CROSS_ARM_MM, y_mm - CROSS_ARM_MM, 2 * CROSS_ARM_MM, 2 * CROSS_ARM_MM)


def _free(strip: Box, taken: list[Box], along_x: bool) -> Iterator[tuple[float, float]]:
    """Yield the stretches of a strip that keep clear of what is taken."""
    begin, end = (strip.left_mm, strip.right_mm) if along_x else (strip.top_mm, strip.bottom_mm)
    spans: list[tuple[float, float]] = []
    for box in taken:
        beside = (
            (box.left_mm, box.right_mm, box.top_mm, box.bottom_mm, strip.top_mm, strip.bottom_mm)
            if along_x
            else (box.top_mm, box.bottom_mm, box.left_mm, box.right_mm, strip.left_mm, strip.right_mm)
        )
        if beside[2] < beside[5] + CLEAR_MM and beside[3] > beside[4] - CLEAR_MM:
            spans.append((beside[0] - CLEAR_MM, beside[1] + CLEAR_MM))
    for low, high in sorted(spans):
        if low > begin:
            yield begin, min(low, end)
        begin = max(begin, high)
    if begin < end:
        yield begin, end


def _widest(stretches: Iterator[tuple[float, float]]) -> tuple[float, float]:
    # Of stretches that differ by rounding alone the first is taken.
    return max(stretches, key=lambda s: round(s[1] - s[0], 6), default=(0.0, 0.0))
