"""An imposed sheet, both sides: which page and master lies where, where heads point, where it folds.

In: SheetSpec. Out: a small Scene. Never: imposing.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.draw.strip import Thumbnail
from doublure.render.lettering import shorten, wrap_or_shorten
from doublure.render.scene import (
    LINE,
    Anchor,
    Fit,
    Group,
    Image,
    Item,
    Line,
    Pen,
    Polyline,
    Rect,
    Scene,
    Text,
    Tone,
    px_to_mm,
)


@dataclass(frozen=True, slots=True)
class SheetPage:
    """One page on a sheet.

    Attributes:
        number: Its number, "" where it has none.
        words: Name of its master, or "blank".
        href: Address of the master's page; "" for none.
        thumbnail: Picture of the master, or None.
        head_down: True where it lies upside down on the sheet.
    """

    number: str
    words: str = ""
    href: str = ""
    thumbnail: Thumbnail | None = None
    head_down: bool = False


@dataclass(frozen=True, slots=True)
class SheetSpec:
    """One sheet: its name ("Gathering 3, sheet 2"), the pages left and right on its two sides, the size of a
    page, its address. The front is the side that lies outermost when folded."""

    title: str
    front: tuple[SheetPage, SheetPage]
    back: tuple[SheetPage, SheetPage]
    page_width_mm: float
    page_height_mm: float
    href: str = ""


_NUMBER_MM = 5.0
_WORDS_MM = 2.8
_CAPTION_MM = 2.9
_CAPTION_ROOM_MM = 5.0
_GAP_MM = 6.0
_TITLE_MM = 3.2
_TITLE_ROOM_MM = 5.2


def _page(page: SheetPage, x: float, y: float, width: float, height: float) -> Item:
    """Return one page of a side: number, words, and a small wedge at its head."""
    items: list[Item] = []
    middle = x + width / 2
    head = y + height if page.head_down else y
    inward = -1.0 if page.head_down else 1.0
    wedge = (
        (middle - 1.1, head + inward * 2.2),
        (middle + 1.1, head + inward * 2.2),
        (middle, head + inward * 0.6),
    )
    items.append(Polyline(wedge, None, Tone.SOFT, True))
    # A picture is not turned over; a page that lies head down is told by its words.
    if page.thumbnail and not page.head_down:
        foot = 6.6 if page.number else 1.6
        frame = (x + 1.6, y + 3.2, width - 3.2, height - 3.2 - foot)
        items.append(Image(*frame, page.thumbnail.href, Fit.WITHIN))
        if page.number:
            items.append(Text(middle, y + height - 2.2, page.number, 3.8, Anchor.MIDDLE))
    else:
        lines = wrap_or_shorten(page.words, _WORDS_MM, width - 2.4, 3) if page.words else ()
        block = (_NUMBER_MM * 0.75 if page.number else 0.0) + len(lines) * 3.5
        at = y + height / 2 - block / 2
        if page.number:
            at += _NUMBER_MM * 0.75
            size = _NUMBER_MM if len(page.number) < 4 else 3.8
            items.append(Text(middle, at, page.number, size, Anchor.MIDDLE))
        for line in lines:
            at += 3.5
            items.append(Text(middle, at, line, _WORDS_MM, Anchor.MIDDLE, Tone.SOFT))
    name = f"Page {page.number}" if page.number else "A page without a number"
    turned = ", its head downwards" if page.head_down else ""
    title = f"{name}{': ' + page.words if page.words else ''}{turned}"
    return Group((Rect(x, y, width, height), *items), title, page.href)


def _side(
    caption: str, pages: tuple[SheetPage, SheetPage], x: float, y: float, width: float, height: float
) -> Item:
    """Return one side of the sheet with its caption above it."""
    top = y + _CAPTION_ROOM_MM
    fold = x + width
    items: list[Item] = [
        Text(x, y + 3.0, shorten(caption, _CAPTION_MM, 2 * width), _CAPTION_MM, tone=Tone.SOFT, italic=True),
        Rect(x, top, 2 * width, height, LINE, Tone.PAPER2),
        # The fold, as a thin broken line that runs a little over the edges.
        Line(fold, top - 1.2, fold, top + height + 1.2, Pen(0.2, Tone.INK, (2.4, 0.7, 0.5, 0.7))),
        _page(pages[0], x, top, width, height),
        _page(pages[1], fold, top, width, height),
    ]
    return Group(tuple(items))


def draw_sheet(spec: SheetSpec, width_px: float = 340) -> Scene:
    """Draw a sheet, its two sides beside each other, or below each other where it is narrow.

    Args:
        spec: The sheet.
        width_px: Width in CSS px, >= 160; from 300 px on the sides stand beside each other.

    Returns:
        The scene, width_px wide, pages in true proportion.

    Raises:
        DomainError: A page size that is not positive, or a width under 160 px.
    """
    if width_px < 160:
        raise DomainError("A sheet needs a width of at least 160 px", "width_px")
    if spec.page_width_mm <= 0 or spec.page_height_mm <= 0:
        raise DomainError("A page must be wider and higher than 0 mm", "page_width_mm")
    width = px_to_mm(width_px)
    inner = width - 1.2
    beside = width_px >= 300
    page = (inner - _GAP_MM) / 4 if beside else inner / 2
    height = page * spec.page_height_mm / spec.page_width_mm
    side = _CAPTION_ROOM_MM + height + 1.4
    name = shorten(spec.title, _TITLE_MM, inner, bold=True)
    items: list[Item] = [Text(0.6, 3.6, name, _TITLE_MM, bold=True)]
    items.append(_side("front, outer side", spec.front, 0.6, _TITLE_ROOM_MM, page, height))
    if beside:
        left = 0.6 + 2 * page + _GAP_MM
        items.append(_side("back, inner side", spec.back, left, _TITLE_ROOM_MM, page, height))
        total = _TITLE_ROOM_MM + side + 0.4
    else:
        second = _TITLE_ROOM_MM + side + 2.0
        items.append(_side("back, inner side", spec.back, 0.6, second, page, height))
        total = second + side + 0.4

    def said(pages: tuple[SheetPage, SheetPage]) -> str:
        return " and ".join(p.number or p.words or "a blank page" for p in pages)

    words = (
        f"Front: {said(spec.front)}. Back: {said(spec.back)}. The wedge shows where the head of a page is."
    )
    whole: tuple[Item, ...] = tuple(items)
    linked = any(p.href for p in (*spec.front, *spec.back))
    if spec.href and not linked:
        whole = (Group(whole, spec.title, spec.href),)
    return Scene(width, total, spec.title, words, whole)
