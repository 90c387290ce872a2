"""A stack as it prints: both sides of the sheet with trims, marks, artwork in place, heads as they point.

In: StackSpec. Out: a Scene. Never: laying out (trade/press), choosing pictures.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.lettering import centred_baseline_mm, shorten, text_width_mm, wrap_or_shorten
from doublure.render.scene import (
    FINE,
    LINE,
    Anchor,
    Circle,
    Fit,
    Group,
    Image,
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
    px_to_mm,
)
from doublure.trade.press.records import Box, MarkKind, SheetLayout


@dataclass(frozen=True, slots=True)
class PlacedPicture:
    """Artwork on a plate: the address of its picture, the frame of the whole file, and what of it shows."""

    href: str
    frame: Box
    seen: Box


@dataclass(frozen=True, slots=True)
class PlatePage:
    """One page on a plate.

    Attributes:
        words: Name of its master, or what it is instead ("blank").
        pages: Pages of the book that it serves.
        trim: Its leaf on the sheet.
        turned: True where its head points down.
        picture: Its artwork; None where none may or can be shown.
        href: Address of the master's page.
    """

    words: str
    pages: tuple[int, ...]
    trim: Box
    turned: bool = False
    picture: PlacedPicture | None = None
    href: str = ""


@dataclass(frozen=True, slots=True)
class PlateSide:
    """One side of a stack: its caption ("front: plate 3"), its pages, what stands there instead of a print."""

    caption: str
    pages: tuple[PlatePage, ...]
    instead: str = ""
    collation: tuple[Box, ...] = ()


@dataclass(frozen=True, slots=True)
class StackSpec:
    """Both sides of a stack. `title` heads the drawing; "" where the page has said it already."""

    title: str
    layout: SheetLayout
    front: PlateSide
    back: PlateSide


#: From this width on both sides stand beside each other.
BESIDE_PX = 460
_WORDS_MM = 2.7
_TITLE_MM = 3.4
_GAP_MM = 5.0
_TAG_MM = 4.0
_TRIM = Pen(0.2, Tone.SOFT)
_PENS = {
    MarkKind.CUT: Pen(0.22),
    MarkKind.FOLD: Pen(0.25, Tone.INK, (1.5, 0.7)),
    MarkKind.SLIT: Pen(0.25, Tone.INK, (2.2, 0.6, 0.4, 0.6)),
}


@dataclass(frozen=True, slots=True)
class _Ground:
    """Where a sheet lies on the drawing and how large."""

    left: float
    top: float
    scale: float

    def box(self, box: Box) -> tuple[float, float, float, float]:
        return (
            self.left + box.left_mm * self.scale,
            self.top + box.top_mm * self.scale,
            box.width_mm * self.scale,
            box.height_mm * self.scale,
        )

    def point(self, point: tuple[float, float]) -> tuple[float, float]:
        return self.left + point[0] * self.scale, self.top + point[1] * self.scale


def page_numbers(pages: Sequence[int], size_mm: float, room_mm: float) -> str:
    """Return pages as a list that fits, the last ones as a count where they do not.

    Examples:
        >>> page_numbers((5, 21, 37), 2.7, 40.0), page_numbers((5, 21, 37), 2.7, 9.5)
        ('5, 21, 37', '5 +2')
    """
    for shown in range(len(pages), 0, -1):
        words = ", ".join(map(str, pages[:shown]))
        if shown < len(pages):
            words += f" +{len(pages) - shown}"
        if text_width_mm(words, size_mm) <= room_mm:
            return words
    return str(pages[0]) if pages else ""


def _tag(page: PlatePage, ground: _Ground) -> list[Item]:
    """Return the numbers of the pages that it serves, at its foot, beside a wedge that points to its head."""
    left, top, width, height = ground.box(page.trim)
    words = page_numbers(page.pages, _WORDS_MM, width - 6.5)
    wide = min(width - 1.0, text_width_mm(words, _WORDS_MM) + 4.6) if words else 3.4
    x = left + (width - wide) / 2
    y = top + 1.2 if page.turned else top + height - 1.2 - _TAG_MM
    middle = y + _TAG_MM / 2
    up = 1.0 if page.turned else -1.0
    at = x + 1.8
    wedge = ((at - 0.95, middle - up * 0.9), (at + 0.95, middle - up * 0.9), (at, middle + up * 0.9))
    items: list[Item] = [
        Rect(x, y, wide, _TAG_MM, Pen(0.15, Tone.SOFT), Tone.PAPER, 0.6),
        Polyline(wedge, None, Tone.INK, True),
    ]
    if words:
        items.append(Text(x + 3.3, centred_baseline_mm(middle, _WORDS_MM), words, _WORDS_MM))
    return items


def _page(page: PlatePage, ground: _Ground) -> Item:
    left, top, width, height = ground.box(page.trim)
    items: list[Item] = [Rect(left, top, width, height, None, Tone.PAPER)]
    if page.picture is not None:
        # A file turned on its plate is turned about the middle of its frame, its window is not.
        frame = ground.box(page.picture.frame)
        about = (frame[0] + frame[2] / 2, frame[1] + frame[3] / 2) if page.turned else None
        image = Image(*frame, page.picture.href, Fit.COVER)
        items.append(Group((image,), window_mm=ground.box(page.picture.seen), turned_about_mm=about))
    else:
        # Between the head of the page and the tag at its foot.
        room = height - _TAG_MM - 3.0
        most = min(3, int(room / 3.5))
        lines = wrap_or_shorten(page.words, _WORDS_MM, width - 1.6, most) if page.words and most else ()
        if page.pages and " ".join(lines) != " ".join(page.words.split()):
            # A name that is cut off says less than the number of the page, which stands in the tag.
            lines = ()
        at = top + room / 2 - len(lines) * 1.75 + (_TAG_MM + 2.2 if page.turned else 0.0)
        for line in lines:
            at += 3.5
            items.append(Text(left + width / 2, at, line, _WORDS_MM, Anchor.MIDDLE, Tone.SOFT))
    items.append(Rect(left, top, width, height, _TRIM))
    items += _tag(page, ground)
    served = f"page {page.pages[0]}" if len(page.pages) == 1 else "pages " + ", ".join(map(str, page.pages))
    name = f"{page.words}, {served}" if page.pages else page.words
    return Group(tuple(items), name + (", its head downwards" if page.turned else ""), page.href)


def _marks(layout: SheetLayout, ground: _Ground) -> list[Item]:
    steps: dict[MarkKind, list[Step]] = {}
    for line in layout.lines:
        start, end = ground.point(line.start), ground.point(line.end)
        steps.setdefault(line.kind, []).extend((Move(*start), Straight(*end)))
    items: list[Item] = [Path(tuple(found), _PENS[kind]) for kind, found in steps.items()]
    arm = max(0.8, 2.5 * ground.scale)
    for cross in layout.crosses:
        x, y = ground.point(cross)
        items.append(
            Path((Move(x - arm, y), Straight(x + arm, y), Move(x, y - arm), Straight(x, y + arm)), FINE)
        )
        items.append(Circle(x, y, arm * 0.6, FINE))
    return items


def _label(layout: SheetLayout, ground: _Ground) -> list[Item]:
    """Return the place of the label: a stroke for its line of words, which is too small to read here."""
    if layout.label is None:
        return []
    left, top, width, height = ground.box(layout.label)
    if width >= height:
        return [
            Line(
                left,
                top + height / 2,
                left + width,
                top + height / 2,
                Pen(0.5, Tone.SOFT, (2.2, 0.7, 1.2, 0.7)),
            )
        ]
    return [
        Line(left + width / 2, top, left + width / 2, top + height, Pen(0.5, Tone.SOFT, (2.2, 0.7, 1.2, 0.7)))
    ]


def _side(side: PlateSide, layout: SheetLayout, left: float, top: float, width: float) -> Group:
    scale = width / layout.sheet_width_mm
    height = layout.sheet_height_mm * scale
    ground = _Ground(left, top + 4.6, scale)
    caption = shorten(side.caption, _WORDS_MM, width)
    items: list[Item] = [
        Text(left, top + 3.0, caption, _WORDS_MM, tone=Tone.SOFT, italic=True),
        Rect(left, ground.top, width, height, LINE, Tone.PAPER2),
    ]
    if side.instead:
        lines = wrap_or_shorten(side.instead, _WORDS_MM, width - 4.0, 3)
        at = ground.top + height / 2 - len(lines) * 1.9
        for line in lines:
            at += 3.6
            items.append(Text(left + width / 2, at, line, _WORDS_MM, Anchor.MIDDLE, Tone.SOFT))
        return Group(tuple(items))
    items += _marks(layout, ground)
    items += _label(layout, ground)
    items += [_page(page, ground) for page in side.pages]
    for mark in side.collation:
        box = ground.box(mark)
        items.append(Rect(box[0], box[1], max(box[2], 0.7), max(box[3], 0.9), None, Tone.INK))
    return Group(tuple(items))


def _said(side: PlateSide) -> str:
    if side.instead:
        return f"{side.caption}, {side.instead}"
    pages = "; ".join(
        f"{page.words}{' on page ' + page_numbers(page.pages, 1.0, 30.0) if page.pages else ''}"
        f"{' (head down)' if page.turned else ''}"
        for page in side.pages
    )
    return f"{side.caption}, row by row: {pages}"


def draw_stack(spec: StackSpec, width_px: float = 640, *, beside: bool | None = None) -> Scene:
    """Draw both sides of a stack, beside each other, or below each other where it is narrow.

    Args:
        spec: The stack.
        width_px: Width in CSS px, >= 200.
        beside: True for the sides beside each other; None for so from BESIDE_PX on.

    Returns:
        The scene, width_px wide, the sheet in true proportion; the back as seen from the back.

    Raises:
        DomainError: A sheet that is not wider and higher than 0 mm, or a width under 200 px.
    """
    layout = spec.layout
    if width_px < 200:
        raise DomainError("A stack needs a width of at least 200 px", "width_px")
    if layout.sheet_width_mm <= 0 or layout.sheet_height_mm <= 0:
        raise DomainError("A sheet must be wider and higher than 0 mm", "layout")
    width = px_to_mm(width_px)
    inner = width - 1.2
    top = 0.0
    items: list[Item] = []
    if spec.title:
        items.append(Text(0.6, 3.8, shorten(spec.title, _TITLE_MM, inner, bold=True), _TITLE_MM, bold=True))
        top = 5.4
    if beside is None:
        beside = width_px >= BESIDE_PX
    side = (inner - _GAP_MM) / 2 if beside else inner
    height = 4.6 + side * layout.sheet_height_mm / layout.sheet_width_mm
    items.append(_side(spec.front, layout, 0.6, top, side))
    if beside:
        items.append(_side(spec.back, layout, 0.6 + side + _GAP_MM, top, side))
        total = top + height + 0.6
    else:
        items.append(_side(spec.back, layout, 0.6, top + height + 2.4, side))
        total = top + 2 * height + 3.0
    words = f"{_said(spec.front)}. {_said(spec.back)}. A wedge points to the head of each page."
    return Scene(width, total, spec.title or "A stack, both sides", words, tuple(items))
