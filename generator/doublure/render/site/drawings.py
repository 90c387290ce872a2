"""The drawings that head pages: the strip and the fore-edge, for wide screens, for paper and for phones.

In: SiteContext. Out: Html. Never: geometry (render/draw).
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable

from doublure.model.replica import ImageFact
from doublure.render.draw.fore_edge import draw_fore_edge
from doublure.render.draw.fore_edge_spec import (
    BoundGathering,
    BoundLeaf,
    CrossoverArc,
    ForeEdgeSpec,
    Here,
    InsertTab,
)
from doublure.render.draw.strip import StripBook, StripItem, StripSpec, Thumbnail, draw_strip
from doublure.render.html import Html, Shown, render_drawing
from doublure.render.plan import PICTURE_WIDTHS_PX, page_path, picture_path
from doublure.render.scene import Scene
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.svg import render_svg
from doublure.workings.book import BookWorking
from doublure.workings.inserts import InsertWorking

WIDE_PX = 1360
#: What a sheet of A4 or Letter has room for between its margins, and a tablet upright.
MID_PX = 680
NARROW_PX = 358


def draw_both(
    draw: Callable[[float], Scene], prefix: str, *, caption: Shown = "", wide_px: float = WIDE_PX
) -> Html:
    """Return one drawing made for wide screens, for paper and for phones; the style sheet shows one of them."""
    widths = ((wide_px, "wide"), (MID_PX, "mid"), (NARROW_PX, "narrow"))
    drawn = (render_svg(draw(width), f"{prefix}-{name[0]}", f"dw-{name}") for width, name in widths)
    return render_drawing(Html("".join(drawn)), caption=caption)


def face_picture(ctx: SiteContext, one: InsertWorking) -> ImageFact | None:
    """Return the picture that stands for an insert: its own first one, else the artwork of its front."""
    for picture in one.note.pictures:
        fact = ctx.fact(picture.file)
        if fact is not None:
            return fact
    if one.note.front is not None and one.note.front.master:
        master = ctx.work.replica.masters.get(one.note.front.master)
        if master is not None:
            for file in (master.artwork, *(picture.file for picture in master.pictures)):
                fact = ctx.fact(file)
                if fact is not None:
                    return fact
    return None


def _thumbnail(ctx: SiteContext, frame: PageFrame, one: InsertWorking) -> Thumbnail | None:
    fact = face_picture(ctx, one)
    return _thumb(ctx, frame, fact) if fact is not None else None


def _thumb(ctx: SiteContext, frame: PageFrame, fact: ImageFact) -> Thumbnail:
    ctx.published[fact.file] = None
    width = min(PICTURE_WIDTHS_PX[0], fact.width_px)
    height = max(1, round(fact.height_px * width / fact.width_px))
    return Thumbnail(frame.href(picture_path(fact.file, PICTURE_WIDTHS_PX[0])), width, height)


def strip_html(ctx: SiteContext, frame: PageFrame, inserts: Iterable[InsertWorking], caption: Shown) -> Html:
    """Return the strip of the book and its inserts; "" where there is nothing to draw."""
    items = []
    for one in inserts:
        size = one.note.size
        items.append(
            StripItem(
                key=str(one.number),
                title=one.note.title,
                standing=one.standing.overall.standing.value,
                href=frame.href(page_path("inserts", one.note.id)),
                width_mm=size.width_mm.value if size else None,
                height_mm=size.height_mm.value if size else None,
                thumbnail=_thumbnail(ctx, frame, one) if size else None,
            )
        )
    spec = StripSpec(tuple(items), _strip_book(ctx, frame))
    if not spec.items and spec.book is None:
        return Html("")
    return draw_both(lambda width: draw_strip(spec, width), "strip", caption=caption)


def _strip_book(ctx: SiteContext, frame: PageFrame) -> StripBook | None:
    book = ctx.work.replica.book
    if book is None or book.leaf is None:
        return None
    thickness = 8.0
    if ctx.work.book is not None and ctx.work.book.thickness is not None:
        thickness = ctx.work.book.thickness.thickest.thickness.thickness_mm.value
    return StripBook(
        title=book.title,
        width_mm=book.leaf.width_mm.value,
        height_mm=book.leaf.height_mm.value,
        thickness_mm=thickness,
        standing="chosen" if book.leaf.width_mm.u is None else "supported",
        href=frame.href("book/index.md"),
        thumbnail=_cover(ctx, frame),
        right_to_left=book.right_to_left,
    )


def _cover(ctx: SiteContext, frame: PageFrame) -> Thumbnail | None:
    """Return the picture of the cover, where the book's note says which it is: the one captioned as such."""
    book = ctx.work.replica.book
    for picture in book.pictures if book is not None else ():
        fact = ctx.fact(picture.file)
        if fact is not None and picture.caption.casefold().startswith(("cover", "the cover", "front cover")):
            return _thumb(ctx, frame, fact)
    return None


def fore_edge_spec(
    ctx: SiteContext,
    frame: PageFrame,
    book: BookWorking,
    *,
    here: tuple[int, int, str] | None = None,
    inserts: Iterable[InsertWorking] | None = None,
) -> ForeEdgeSpec:
    """Return the fore-edge of the book as seen from a page.

    Args:
        ctx: The context.
        frame: The page that holds it.
        book: The book.
        here: First and last page to mark, with the words for it.
        inserts: Those to draw; None for all.
    """
    gatherings, counted = _bound_gatherings(frame, book)
    tabs = []
    for one in ctx.work.inserts if inserts is None else inserts:
        place = one.note.place
        if place is None:
            continue
        page = place.on
        if place.between is not None:
            page = min(place.between)
        if page is not None and page not in counted and page != 0:
            continue
        if page is None and not place.pocket:
            continue
        held = one.note.held.by if one.note.held is not None else ""
        tabs.append(
            InsertTab(
                key=str(one.number),
                title=one.note.title,
                standing=one.standing.overall.standing.value,
                href=frame.href(page_path("inserts", one.note.id)),
                page=counted.get(page, 0) if page is not None else None,
                fixed=held in ("tipped", "pasted", "corners", "sewn"),
                pocket=bool(place.pocket),
            )
        )
    arcs = []
    for crossover in book.crossovers:
        first = min(crossover.place.left.page, crossover.place.right.page)
        if counted[first] % 2 == 0:
            title = f"{ctx.name_of(f'masters/{crossover.left_master}')}, pages {first} and {first + 1}"
            arcs.append(CrossoverArc(counted[first], title, frame.href("book/crossovers.md")))
    mark = None
    if here is not None:
        mark = Here(counted[here[0]], counted[here[1]], here[2])
    return ForeEdgeSpec(
        gatherings=gatherings,
        inserts=tuple(tabs),
        crossovers=tuple(arcs),
        here=mark,
        right_to_left=book.page_map.rtl,
    )


def _bound_gatherings(
    frame: PageFrame, book: BookWorking
) -> tuple[tuple[BoundGathering, ...], dict[int, int]]:
    """Return the gatherings with their leaves, and where each page stands counted over all leaves."""
    by_gathering: dict[int, list[BoundLeaf]] = {
        number: [] for number in range(1, len(book.page_map.sheets_in_gatherings) + 1)
    }
    pages = book.page_map.pages
    at = 1
    for first in pages[::2]:
        # A leaf tipped in between two gatherings is drawn with the one before it.
        at = first.gathering or at
        verso = str(first.page + 1) if first.page < len(pages) else ""
        by_gathering[at].append(BoundLeaf(str(first.page), verso, first.is_tipped))
    # Proposed blanks close the last gathering: its leaves exist although no page of them is given.
    for number, sheets in enumerate(book.page_map.sheets_in_gatherings, 1):
        folded = sum(not leaf.tipped for leaf in by_gathering[number])
        by_gathering[number].extend(BoundLeaf("", "") for _ in range(sheets * 2 - folded))
    # Pages count on in the order of the leaves, so that given pages keep their numbers unless blanks lie between.
    counted: dict[int, int] = {}
    position = 0
    for number in by_gathering:
        for leaf in by_gathering[number]:
            for label in (leaf.recto, leaf.verso):
                position += 1
                if label:
                    counted[int(label)] = position
    gatherings = tuple(
        BoundGathering(str(number), tuple(leaves), frame.href(f"book/gatherings.md#gathering-{number}"))
        for number, leaves in by_gathering.items()
    )
    return gatherings, counted


def fore_edge_html(
    ctx: SiteContext,
    frame: PageFrame,
    *,
    here: tuple[int, int, str] | None = None,
    inserts: Iterable[InsertWorking] | None = None,
    caption: Shown = "",
) -> Html:
    """Return the fore-edge as a drawing; "" where the book is not worked out."""
    book = ctx.work.book
    if book is None:
        return Html("")
    spec = fore_edge_spec(ctx, frame, book, here=here, inserts=inserts)
    return render_drawing(Html(_draw_fore_edge(spec)), caption=caption)


@functools.lru_cache(maxsize=256)
def _draw_fore_edge(spec: ForeEdgeSpec) -> str:
    """Return the fore-edge for every width; many pages of one folder share one."""
    widths = ((WIDE_PX, "wide"), (MID_PX, "mid"), (NARROW_PX, "narrow"))
    return "".join(
        render_svg(draw_fore_edge(spec, width), f"fore-edge-{name[0]}", f"dw-{name}")
        for width, name in widths
    )
