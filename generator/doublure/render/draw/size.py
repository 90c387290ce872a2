"""The size of one insert as a dimensioned drawing, and its place on the page that it lies on.

In: SizeSpec (lengths in mm). Out: a Scene. Never: deciding a size, or a dimension that nobody gave.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from doublure.errors import DomainError
from doublure.render.draw.dimension import across, upright
from doublure.render.draw.figures import counted, inch_words, mm_words, size_words
from doublure.render.draw.size_place import DIM_MM, Lie, PlaceOnPage, lie_on_page, page_items
from doublure.render.draw.standing_line import check_standing, rect_points, standing_outline
from doublure.render.extent import extent_of, text_box
from doublure.render.lettering import centred_baseline_mm, text_width_mm
from doublure.render.scene import (
    Anchor,
    Box,
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

__all__ = ["FoldLine", "PlaceOnPage", "SizeSpec", "draw_size"]


@dataclass(frozen=True, slots=True)
class FoldLine:
    """One fold: parallel to the "height" or the "width" of the flat piece, so far from its left or head edge,
    towards the reader ("in"), away ("out") or unknown ("")."""

    along: str
    at_mm: float
    way: str = ""


@dataclass(frozen=True, slots=True)
class SizeSpec:
    """One insert.

    Attributes:
        title: Its name.
        width_mm, height_mm: Its flat size.
        standing: Standing of its size.
        folds: Its folds.
        grain: Direction of the grain, parallel to its "height" or "width", or "" where open.
        place: Where it lies, or None where open.
    """

    title: str
    width_mm: float
    height_mm: float
    standing: str
    folds: tuple[FoldLine, ...] = ()
    grain: str = ""
    place: PlaceOnPage | None = None


_CAPTION_MM = 3.1
_SMALL_MM = 2.8
_MARGIN_MM = 0.8


def _check(spec: SizeSpec, width_px: float) -> None:
    check_standing(spec.standing)
    if width_px < 240:
        raise DomainError("The size needs a width of at least 240 px", "width_px")
    if min(spec.width_mm, spec.height_mm) <= 0:
        raise DomainError(f"{spec.title}: a size must be more than 0 mm", "width_mm")
    for fold in spec.folds:
        if fold.along not in ("height", "width"):
            raise DomainError('A fold runs along the "height" or the "width"', "along")
        if not 0 < fold.at_mm < (spec.width_mm if fold.along == "height" else spec.height_mm):
            raise DomainError(f"{spec.title}: a fold at {mm_words(fold.at_mm)} misses the piece", "at_mm")
    if spec.grain not in ("", "height", "width"):
        raise DomainError('Grain runs along the "height" or the "width"', "grain")
    place = spec.place
    if place and place.gutter not in ("left", "right"):
        raise DomainError('The gutter is at the "left" or the "right" of a page', "gutter")
    if place and min(place.page_width_mm, place.page_height_mm, place.width_mm, place.height_mm) <= 0:
        raise DomainError("A page and what lies on it must be more than 0 mm wide and high", "page_width_mm")


def _grain_arrow(spec: SizeSpec, x: float, y: float, width: float, height: float) -> list[Item]:
    """Return a double arrow along the grain with its word, in the lower right of the piece."""
    if not spec.grain:
        return []
    reach = min(9.0, 0.3 * (height if spec.grain == "height" else width))
    room = text_width_mm("grain", _SMALL_MM) + 2.4
    if min(width, height) < 6 or width < (6 if spec.grain == "height" else room):
        return []
    if spec.grain == "height":
        cx, bottom = x + width - 3.0, y + height - 3.0
        ends = ((cx, bottom - reach), (cx, bottom))
        word = Text(
            cx - 1.4, bottom - reach / 2, "grain", _SMALL_MM, Anchor.MIDDLE, Tone.SOFT, False, True, -90
        )
    else:
        right, cy = x + width - 3.0, y + height - 3.0
        ends = ((right - reach, cy), (right, cy))
        word = Text(right - reach / 2, cy - 1.4, "grain", _SMALL_MM, Anchor.MIDDLE, Tone.SOFT, False, True)
    (x1, y1), (x2, y2) = ends
    ux, uy = (0.0, 1.0) if spec.grain == "height" else (1.0, 0.0)
    steps: list[Step] = [Move(x1, y1), Straight(x2, y2)]
    for px, py, sign in ((x1, y1, 1.0), (x2, y2, -1.0)):
        back = (px + sign * ux * 1.5, py + sign * uy * 1.5)
        steps += [Move(back[0] - uy * 0.7, back[1] + ux * 0.7), Straight(px, py)]
        steps.append(Straight(back[0] + uy * 0.7, back[1] - ux * 0.7))
    return [Path(tuple(steps), Pen(0.22, Tone.SOFT)), word]


def _fold_items(spec: SizeSpec, x: float, y: float, scale: float) -> list[Item]:
    """Return fold lines with their distances: dashes towards the reader, dash and dots away."""
    items: list[Item] = []
    width, height = spec.width_mm * scale, spec.height_mm * scale
    taken: dict[str, float] = {}
    for fold in sorted(spec.folds, key=lambda f: f.at_mm):
        at = fold.at_mm * scale
        dash = (2.6, 0.7, 0.3, 0.6, 0.3, 0.7) if fold.way == "out" else (2.0, 1.0)
        pen = Pen(0.22, Tone.INK, dash)
        words = mm_words(fold.at_mm)
        if fold.along == "height":
            line = Line(x + at, y - 1.8, x + at, y + height + 1.8, pen)
            label = Text(x + at, y - 2.9, words, _SMALL_MM, Anchor.MIDDLE, Tone.SOFT)
            room = text_width_mm(words, _SMALL_MM) + 1.0
        else:
            line = Line(x - 1.8, y + at, x + width + 1.8, y + at, pen)
            baseline = centred_baseline_mm(y + at, _SMALL_MM)
            label = Text(x - 2.6, baseline, words, _SMALL_MM, Anchor.END, Tone.SOFT)
            room = 1.35 * _SMALL_MM
        way = {"in": "towards the reader", "out": "away from the reader"}.get(fold.way, "direction open")
        edge = "left edge" if fold.along == "height" else "head"
        # A distance that would run into the one before it is told by its name only.
        shown: tuple[Item, ...] = (line,)
        if at - taken.get(fold.along, -room) >= room:
            shown = (line, label)
            taken[fold.along] = at
        items.append(Group(shown, f"Fold {words} from the {edge}, {way}"))
    return items


def _piece(spec: SizeSpec, x: float, y: float, scale: float) -> list[Item]:
    """Return the flat piece with its dimensions below and at the right; x, y is its top left."""
    width, height = spec.width_mm * scale, spec.height_mm * scale
    outline = standing_outline(rect_points(x, y, width, height), spec.standing)
    items: list[Item] = [Rect(x, y, width, height, None, Tone.PAPER2)]
    items += _fold_items(spec, x, y, scale)
    items += _grain_arrow(spec, x, y, width, height)
    items.append(
        Group(
            outline, f"{size_words(spec.width_mm, spec.height_mm)}, {spec.standing}", standing=spec.standing
        )
    )
    below, beside = y + height + DIM_MM, x + width + DIM_MM
    items += across(x, x + width, below, y + height, mm_words(spec.width_mm), inch_words(spec.width_mm))
    items += upright(y, y + height, beside, x + width, mm_words(spec.height_mm), inch_words(spec.height_mm))
    return items


def _caption(words: str, x: float, y: float) -> Text:
    return Text(x, y + 3.0, words, _CAPTION_MM, tone=Tone.SOFT, italic=True)


def _place_at(
    draw: Callable[[float, float], list[Item]], left: float, top: float, *, only_room: bool = False
) -> tuple[list[Item], Box]:
    """Return what a function draws about a corner, moved so that all of it begins at (left, top).

    With `only_room` nothing is drawn a second time: just the box counts.
    """
    first = draw(0.0, 0.0)
    box = extent_of(first) or Box(0, 0, 0, 0)
    moved = Box(left, top, left + box.right_mm - box.left_mm, top + box.bottom_mm - box.top_mm)
    return (first if only_room else draw(left - box.left_mm, top - box.top_mm)), moved


def _arrange(
    spec: SizeSpec, lie: Lie | None, beside: bool, scale: float, *, only_room: bool = False
) -> tuple[tuple[Item, ...], float, float]:
    """Return both views at a scale, the height that they take, and how far to the right they reach."""
    items: list[Item] = [_caption("flat", _MARGIN_MM, _MARGIN_MM)]
    piece, box = _place_at(
        lambda x, y: _piece(spec, x, y, scale), _MARGIN_MM, _MARGIN_MM + 5.6, only_room=only_room
    )
    items += piece
    bottom, right = box.bottom_mm, box.right_mm
    if lie:
        there = lie
        known = there.place.from_gutter_mm is not None and there.place.from_head_mm is not None
        left = right + 9.0 if beside else _MARGIN_MM
        top = _MARGIN_MM if beside else bottom + 5.0
        caption = _caption(f"on {there.place.page}" + ("" if known else ", place open in part"), left, top)
        page, page_box = _place_at(
            lambda x, y: page_items(spec.title, spec.standing, there, x, y, scale),
            left,
            top + 5.6,
            only_room=only_room,
        )
        items += [caption, *page]
        words = text_box(caption).right_mm
        bottom, right = max(bottom, page_box.bottom_mm), max(right, page_box.right_mm, words)
    if any(fold.way for fold in spec.folds):
        words_of = {"in": "dashes: a fold towards the reader", "out": "dash and dots: a fold away"}
        for way in sorted({fold.way for fold in spec.folds if fold.way}):
            items.append(_caption(words_of[way], _MARGIN_MM, bottom + 2.0))
            bottom += 6.0
    return tuple(items), bottom, right


#: Scales are 1.5 and so on down by 3 %, to 0.0046: a metre on a narrow phone.
_LAST_STEP = 190


def _scale(step: int) -> float:
    return 1.5 * 0.97**step


def _fit_step(spec: SizeSpec, lie: Lie | None, beside: bool, width_mm: float, height_mm: float) -> int:
    """Return a step of scale at which both views are about to fit, seldom one too large.

    What they take grows in a straight line with the scale, but for dimensions, which keep their size; two
    scales therefore tell where the line meets the room there is. A plain outline will do for that.
    """
    plain = replace(spec, standing="supported")
    at, taken = (0.3, 1.1), []
    for scale in at:
        _, bottom, right = _arrange(plain, lie, beside, scale, only_room=True)
        taken.append((right + _MARGIN_MM, bottom))
    best = _scale(0)
    for room, small, large in zip((width_mm, height_mm), taken[0], taken[1], strict=True):
        slope = (large - small) / (at[1] - at[0])
        if slope > 0:
            best = min(best, at[0] + (room - small) / slope)
    if best <= _scale(_LAST_STEP):
        return _LAST_STEP
    # A step too large is mended by the caller, which looks at what was really drawn.
    return max(0, math.floor(math.log(best / 1.5, 0.97)))


def draw_size(spec: SizeSpec, width_px: float = 760) -> Scene:
    """Draw the size of an insert, and its place where that is known, both to one scale.

    Args:
        spec: The insert.
        width_px: Width in CSS px, >= 240; from 560 px on piece and page stand beside each other, below that
            one above the other.

    Returns:
        The scene, width_px wide. What stands out of the page is hatched.

    Raises:
        DomainError: A size that is not positive, a fold beside the piece, a word that is not known, or a
            width under 240 px.
    """
    _check(spec, width_px)
    width = px_to_mm(width_px)
    lie = lie_on_page(spec.place) if spec.place else None
    beside = lie is not None and width_px >= 560
    height = px_to_mm(460 if beside or not lie else 1000)
    step = _fit_step(spec, lie, beside, width, height)
    items, bottom, right = _arrange(spec, lie, beside, _scale(step))
    # The true outline may reach a hair further than the plain one that the step was found with.
    while step < _LAST_STEP and (right > width - _MARGIN_MM or bottom > height):
        step += 1
        items, bottom, right = _arrange(spec, lie, beside, _scale(step))
    inches = f"{inch_words(spec.width_mm)} × {inch_words(spec.height_mm)}"
    told = f"{spec.title}: {size_words(spec.width_mm, spec.height_mm)} ({inches}), {spec.standing}"
    told += f"; {counted(len(spec.folds), 'fold')}" if spec.folds else ""
    told += f"; grain along the {spec.grain}" if spec.grain else ""
    told += f"; lies on {lie.place.page}" if lie else ""
    return Scene(width, bottom + _MARGIN_MM, f"Size of {spec.title}", told + ".", items)
