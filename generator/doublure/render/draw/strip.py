"""The strip: the closed book and every insert as outlines to one scale, standing on a ruler.

In: StripSpec (sizes in mm, standing, addresses). Out: a Scene for one width of screen or paper.
Never: an outline out of proportion; an unknown size drawn as if it were known.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.draw.book_shape import book_items
from doublure.render.draw.figures import mm_words, size_words
from doublure.render.draw.ruler import RULER_MM, draw_ruler
from doublure.render.draw.standing_line import check_standing, rect_points, standing_outline
from doublure.render.lettering import centred_baseline_mm, shorten, text_width_mm, wrap_words
from doublure.render.scene import (
    Anchor,
    Fit,
    Group,
    Image,
    Item,
    Point,
    Polyline,
    Rect,
    Scene,
    Text,
    Tone,
    px_to_mm,
)


@dataclass(frozen=True, slots=True)
class Thumbnail:
    """A small picture: its address relative to the page, and its size in px (for its proportion)."""

    href: str
    width_px: int
    height_px: int


@dataclass(frozen=True, slots=True)
class StripItem:
    """One insert.

    Attributes:
        key: Its number in the strip, such as "7"; used wherever the insert is drawn.
        title: Its name.
        standing: Its standing word.
        href: Address of its page; "" for none.
        width_mm, height_mm: Its size, upright as a reader meets it; None where open.
        thumbnail: Its picture, or None.
        outline_mm: Its outline within its size, from its top left, where it is no rectangle; else ().
    """

    key: str
    title: str
    standing: str
    href: str = ""
    width_mm: float | None = None
    height_mm: float | None = None
    thumbnail: Thumbnail | None = None
    outline_mm: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class StripBook:
    """The closed book, seen from its front, its spine beside it.

    Attributes:
        title: Its name.
        width_mm, height_mm: Size of a board.
        thickness_mm: Of the closed book.
        standing: Standing of its size.
        href: Address of its page; "" for none.
        thumbnail: Picture of its front, or None.
        right_to_left: True where the spine is at the right.
    """

    title: str
    width_mm: float
    height_mm: float
    thickness_mm: float
    standing: str
    href: str = ""
    thumbnail: Thumbnail | None = None
    right_to_left: bool = False


@dataclass(frozen=True, slots=True)
class StripSpec:
    """What the strip shows: the inserts in order, the book before them where it is known."""

    items: tuple[StripItem, ...]
    book: StripBook | None = None
    title: str = "Every piece, to one scale"


#: What stands in for an unknown size, mm: small, so that it claims nothing.
PLACEHOLDER_MM = (45.0, 62.0)

#: Scales to choose from: one drawn mm stands for so many real ones.
RATIOS = (
    1.0,
    1.25,
    1.5,
    2.0,
    2.5,
    3.0,
    3.5,
    4.0,
    5.0,
    6.0,
    7.0,
    8.0,
    10.0,
    12.0,
    15.0,
    20.0,
    30.0,
    50.0,
    100.0,
)

_NAME_MM = 3.2
_LEAD_MM = 4.1
_GAP_MM = 5.0
_NAME_WIDTH_MM = 24.0
_NAME_LINES = 3
_ROW_GAP_MM = 5.0
_SIDE_MM = 0.8


@dataclass(frozen=True, slots=True)
class _Placed:
    """One thing of the strip, measured for drawing at a scale."""

    entry: StripItem | StripBook
    width_mm: float
    height_mm: float
    room_mm: float
    lines: tuple[str, ...]


def _size(entry: StripItem | StripBook) -> tuple[float, float]:
    """Return the real width and height that the drawing takes, placeholders included."""
    if isinstance(entry, StripBook):
        return entry.width_mm + entry.thickness_mm, entry.height_mm
    if entry.width_mm is None and entry.height_mm is None:
        return PLACEHOLDER_MM
    # With one side known, the other is taken in the placeholder's proportion.
    width, height = entry.width_mm, entry.height_mm
    if width is None:
        width = (height or 0) * PLACEHOLDER_MM[0] / PLACEHOLDER_MM[1]
    if height is None:
        height = width * PLACEHOLDER_MM[1] / PLACEHOLDER_MM[0]
    return width, height


def _sized(entry: StripItem) -> bool:
    return entry.width_mm is not None and entry.height_mm is not None


def _place(entry: StripItem | StripBook, scale: float) -> _Placed:
    real = _size(entry)
    width, height = real[0] * scale, real[1] * scale
    key = "" if isinstance(entry, StripBook) else entry.key
    indent = text_width_mm(key, _NAME_MM, bold=True) + 1.2 if key else 0.0
    words = entry.title.split()
    longest = max((text_width_mm(word, _NAME_MM) for word in words), default=0.0)
    wanted = max(longest, indent + (text_width_mm(words[0], _NAME_MM) if words else 0.0))
    # Room is made for a name of ordinary words, so that a narrow piece need not go without.
    fitting = next((w for w in (wanted, longest) if w <= _NAME_WIDTH_MM), 0.0)
    room = max(width, indent, fitting)
    lines = wrap_words(entry.title, _NAME_MM, room, indent) or ()
    if len(lines) > _NAME_LINES:
        rest = " ".join(lines[_NAME_LINES - 1 :])
        lines = (*lines[: _NAME_LINES - 1], shorten(rest, _NAME_MM, room))
    return _Placed(entry, width, height, room, lines)


def _rows(placed: tuple[_Placed, ...], width_mm: float) -> tuple[tuple[_Placed, ...], ...]:
    """Fill rows in order, as full as they go."""
    rows: list[list[_Placed]] = []
    used = 0.0
    for one in placed:
        if rows and used + _GAP_MM + one.room_mm <= width_mm:
            rows[-1].append(one)
            used += _GAP_MM + one.room_mm
        else:
            rows.append([one])
            used = one.room_mm
    return tuple(tuple(row) for row in rows)


def _even_rows(placed: tuple[_Placed, ...], width_mm: float) -> tuple[tuple[_Placed, ...], ...]:
    """Fill as few rows as the width allows, then narrow them as long as their number stays the same."""
    best = _rows(placed, width_mm)
    widest = max(one.room_mm for one in placed)
    for part in range(1, 40):
        narrower = width_mm - (width_mm - widest) * part / 40
        rows = _rows(placed, narrower)
        if len(rows) > len(best):
            break
        best = rows
    return best


def _row_height(row: tuple[_Placed, ...]) -> float:
    names = max(max(1, len(one.lines)) for one in row) * _LEAD_MM
    return max(one.height_mm for one in row) + RULER_MM + 1.0 + names


def _layout(spec: StripSpec, ratio: float, width_mm: float) -> tuple[tuple[tuple[_Placed, ...], ...], float]:
    entries = ((spec.book,) if spec.book else ()) + spec.items
    placed = tuple(_place(entry, 1 / ratio) for entry in entries)
    rows = _even_rows(placed, width_mm)
    height = sum(_row_height(row) for row in rows) + _ROW_GAP_MM * (len(rows) - 1)
    return rows, height


def _label(entry: StripItem | StripBook) -> str:
    """Return the accessible name of one thing."""
    if isinstance(entry, StripBook):
        size = f"{size_words(entry.width_mm, entry.height_mm)}, {mm_words(entry.thickness_mm)} thick"
        return f"{entry.title}, the closed book, {size}, {entry.standing}"
    return (
        f"{entry.title}, {size_words(entry.width_mm, entry.height_mm)}, {entry.standing}, number {entry.key}"
    )


def _picture(thumbnail: Thumbnail, x: float, y: float, width: float, height: float) -> tuple[Item, ...]:
    """Return a picture mounted a little inside an outline; none where the outline is too small for it."""
    mount = 0.9
    w, h = width - 2 * mount, height - 2 * mount
    if w < 2 or h < 2:
        return ()
    ratio = (thumbnail.width_px / thumbnail.height_px) / (w / h)
    fit = Fit.COVER if 0.85 < ratio < 1.18 else Fit.WITHIN
    return (Image(x + mount, y + mount, w, h, thumbnail.href, fit),)


def _insert_items(item: StripItem, one: _Placed, x: float, y: float) -> tuple[Item, ...]:
    size = min(1.0, max(0.6, min(one.width_mm, one.height_mm) / 14))
    if not _sized(item):
        ticks = standing_outline(rect_points(x, y, one.width_mm, one.height_mm), "open", size)
        middle = centred_baseline_mm(y + one.height_mm / 2, 4.0)
        words = Text(x + one.width_mm / 2, middle, "?", 4.0, Anchor.MIDDLE, Tone.SOFT, italic=True)
        return (*ticks, words) if one.height_mm > 7 and one.width_mm > 4 else ticks
    picture = _picture(item.thumbnail, x, y, one.width_mm, one.height_mm) if item.thumbnail else ()
    if item.outline_mm and item.width_mm:
        scale = one.width_mm / item.width_mm
        points = tuple((x + px * scale, y + py * scale) for px, py in item.outline_mm)
        return (
            Polyline(points, None, Tone.PAPER2, closed=True),
            *picture,
            *standing_outline(points, item.standing, size),
        )
    sheet = Rect(x, y, one.width_mm, one.height_mm, None, Tone.PAPER if picture else Tone.PAPER2)
    edge = standing_outline(rect_points(x, y, one.width_mm, one.height_mm), item.standing, size)
    return (sheet, *picture, *edge)


def _entry_group(one: _Placed, x: float, baseline: float, scale: float) -> Group:
    """Return one thing standing on the ruler, with its number and name below, as a link to its page."""
    entry = one.entry
    top = baseline - one.height_mm
    name_y = baseline + RULER_MM + 1.0 + _NAME_MM
    items: list[Item] = []
    indent = 0.0
    if isinstance(entry, StripBook):
        picture = None
        if entry.thumbnail:
            front_x = x if entry.right_to_left else x + entry.thickness_mm * scale
            picture = _picture(entry.thumbnail, front_x, top, entry.width_mm * scale, one.height_mm)
        items += book_items(
            x,
            top,
            entry.width_mm * scale,
            one.height_mm,
            entry.thickness_mm * scale,
            entry.standing,
            entry.right_to_left,
            picture or (),
        )
    else:
        items += _insert_items(entry, one, x, top)
        items.append(Text(x, name_y, entry.key, _NAME_MM, bold=True))
        indent = text_width_mm(entry.key, _NAME_MM, bold=True) + 1.2
    for i, line in enumerate(one.lines):
        if line:
            items.append(Text(x + (indent if i == 0 else 0), name_y + i * _LEAD_MM, line, _NAME_MM))
    # An unseen sheet over piece and name, so that all of it can be pointed at.
    words = max(1, len(one.lines)) * _LEAD_MM
    target = Rect(x, top, one.room_mm, one.height_mm + RULER_MM + 1.0 + words)
    return Group((target, *items), _label(entry), entry.href, entry.standing)


def _usual_height_px(width_px: float, count: int) -> float:
    """Return a good height for so many pieces: on a phone it grows with each, on a desktop from twenty on."""
    return 560 + 12 * max(0, count - 20) if width_px >= 800 else 480 + 43 * count


def draw_strip(spec: StripSpec, width_px: float = 1400, height_px: float | None = None) -> Scene:
    """Draw the strip for one width.

    Args:
        spec: What it shows; at least one item or the book.
        width_px: Width in CSS px (96 to the inch), >= 240.
        height_px: The largest scale is chosen that keeps within this height; by default, for some twenty
            pieces, a good part of a desktop screen or some two screens of a phone, and more for more.

    Returns:
        The scene, width_px wide; rows are as many as the scale needs, each with its own ruler from 0.

    Raises:
        DomainError: Nothing to show, a size that is not positive, a word that is no standing, or a width
            under 240 px.
    """
    entries = ((spec.book,) if spec.book else ()) + spec.items
    if not entries:
        raise DomainError("The strip needs the book or at least one insert", "items")
    if width_px < 240:
        raise DomainError("The strip needs a width of at least 240 px", "width_px")
    for entry in entries:
        check_standing(entry.standing)
        if min(_size(entry)) <= 0:
            raise DomainError(f"{entry.title}: a size must be more than 0 mm", "width_mm")
    width = px_to_mm(width_px)
    inner = width - 2 * _SIDE_MM
    tall = px_to_mm(height_px if height_px is not None else _usual_height_px(width_px, len(entries)))
    widest = max(_size(entry)[0] for entry in entries)
    ratio = RATIOS[-1]
    for ratio in RATIOS:
        if widest / ratio <= inner and _layout(spec, ratio, inner)[1] <= tall:
            break
    rows, _ = _layout(spec, ratio, inner)
    items: list[Item] = []
    y = _SIDE_MM
    for row in rows:
        baseline = y + max(one.height_mm for one in row)
        items += draw_ruler(_SIDE_MM, baseline, inner, 1 / ratio)
        spare = inner - sum(one.room_mm for one in row) - _GAP_MM * (len(row) - 1)
        gap = _GAP_MM + min(7.0, spare / max(1, len(row) - 1))
        x = _SIDE_MM
        for one in row:
            items.append(_entry_group(one, x, baseline, 1 / ratio))
            x += one.room_mm + gap
        y += _row_height(row) + _ROW_GAP_MM
    count = len(spec.items)
    words = f"{count} insert{'s' if count != 1 else ''}" + (" and the closed book" if spec.book else "")
    description = (
        f"{words} as outlines to one scale, standing on a ruler with inches above and millimetres below. "
        "Each leads to its page; the line of an outline is its standing."
    )
    return Scene(width, y - _ROW_GAP_MM + _SIDE_MM, spec.title, description, tuple(items))
