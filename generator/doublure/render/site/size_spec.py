"""An insert's size drawing: its outline with folds and grain, and its place on the page.

In: SiteContext, InsertWorking. Out: SizeSpec. Never: computing.
"""

from __future__ import annotations

from doublure.render.draw.size import FoldLine, PlaceOnPage, SizeSpec
from doublure.render.site.context import SiteContext
from doublure.trade.evidence.standing import find_weakest
from doublure.workings.inserts import InsertWorking


def size_spec(ctx: SiteContext, one: InsertWorking) -> SizeSpec | None:
    """Return what the size drawing shows; None where the size is open."""
    note = one.note
    if note.size is None:
        return None
    sides = [
        work.status.standing for work in one.standing.attributes if work.attribute in ("width", "height")
    ]
    width, height = note.size.width_mm.value, note.size.height_mm.value
    folds = tuple(
        FoldLine(fold.along, fold.at_mm.value, fold.way)
        for fold in note.folds
        if fold.at_mm is not None and 0 < fold.at_mm.value < (width if fold.along == "height" else height)
    )
    return SizeSpec(
        title=note.title,
        width_mm=width,
        height_mm=height,
        standing=find_weakest(sides).value if sides else "open",
        folds=folds,
        grain=note.grain,
        place=_place(ctx, one),
    )


def _place(ctx: SiteContext, one: InsertWorking) -> PlaceOnPage | None:
    note, book = one.note, ctx.work.book
    place = note.place
    if place is None or book is None or book.note.leaf is None or note.size is None:
        return None
    page = place.on if place.on is not None else max(place.between) if place.between is not None else None
    if page is None or not 1 <= page <= book.pages:
        return None
    lies = note.folded or note.size
    width, height = lies.width_mm.value, lies.height_mm.value
    if place.way_up in ("turned left", "turned right"):
        width, height = height, width
    leaf = book.note.leaf
    half = book.page_map.find(page).half.value
    return PlaceOnPage(
        page=f"page {page}",
        page_width_mm=leaf.width_mm.value,
        page_height_mm=leaf.height_mm.value,
        gutter="left" if half == "right" else "right",
        width_mm=width,
        height_mm=height,
        from_gutter_mm=place.from_gutter_mm.value if place.from_gutter_mm is not None else None,
        from_head_mm=place.from_head_mm.value if place.from_head_mm is not None else None,
    )
