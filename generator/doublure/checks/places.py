"""Where inserts lie: pages that the book has, pages that face each other, two in one place, standing out.

In: a Replica and its pages. Out: problems. Never: moving anything.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from doublure.checks.finding import find, least, most, show_mm
from doublure.checks.pages import Pages
from doublure.measured import Measured
from doublure.model.insert import InsertNote, Place
from doublure.model.parts import SizeMm
from doublure.model.replica import Replica
from doublure.problems import Problem

#: What a place on a page is good for, where no uncertainty is stated.
_UNSTATED_U_MM = 1.0


def check_places(replica: Replica, pages: Pages | None) -> Iterator[Problem]:
    """Yield what cannot be in the places of inserts."""
    placed = [insert for insert in replica.inserts.values() if insert.place is not None]
    for insert in placed:
        yield from _check_pages(insert, pages)
        yield from _check_standing_out(insert, replica)
    yield from _check_shared(placed)


def _check_pages(insert: InsertNote, pages: Pages | None) -> Iterator[Problem]:
    place = insert.place
    assert place is not None
    field = "between" if place.between is not None else "on"
    named = place.between or ((place.on,) if place.on is not None else ())
    if not named:
        return
    span = insert.origin.span("place", field)
    count = len(pages.masters) if pages is not None and not pages.fault else None
    beyond = [page for page in named if count is not None and page > count]
    if beyond:
        yield find(
            "B103",
            f"{field}: the book has no page {beyond[0]}",
            span,
            f"its pages are 1 to {count}",
        )
    elif place.between is not None:
        low, high = place.between
        if low % 2 or high != low + 1:
            even = low if low % 2 == 0 else low - 1
            openings = [f"{one} and {one + 1}" for one in (even, even + 2) if one > 0 and low % 2]
            hint = "write the two pages of one opening, such as " + (
                " or ".join(openings) if openings else f"{low} and {low + 1}"
            )
            yield find("B104", f"between: pages {low} and {high} do not face each other", span, hint)


def _check_shared(placed: list[InsertNote]) -> Iterator[Problem]:
    by_place: dict[tuple[str, object], list[InsertNote]] = defaultdict(list)
    for insert in placed:
        place = insert.place
        assert place is not None
        if place.between is not None:
            by_place["between pages", place.between].append(insert)
        elif place.pocket:
            by_place["in the pocket", place.pocket.casefold()].append(insert)
        elif place.on is not None:
            by_place["on page", place.on].append(insert)
    for (where, what), inserts in by_place.items():
        told = f"{what[0]} and {what[1]}" if isinstance(what, tuple) else f"{what}"
        for number, insert in enumerate(inserts):
            clash = next((one for one in inserts[:number] if _clash(one, insert)), None)
            if clash is None:
                continue
            order = insert.place.order if insert.place is not None else None
            said = "without an order" if order is None else f"both with order {order}"
            if order is not None and clash.place is not None and clash.place.order is None:
                said = f'of which "{clash.id}" has no order'
            yield find(
                "B105",
                f'place: "{clash.id}" lies {where} {told} as well, {said}',
                insert.origin.key_span("place"),
                "give each an order: 1 for the one that a reader meets first",
                ((clash.origin.key_span("place"), "the other one"),),
            )
            break


def _clash(one: InsertNote, other: InsertNote) -> bool:
    """True where two inserts in one place have no order, or the same, and do not lie beside each other."""
    first, second = one.place, other.place
    assert first is not None
    assert second is not None
    if first.order is not None and second.order is not None:
        return first.order == second.order
    return not _apart(one, other)


def _apart(one: InsertNote, other: InsertNote) -> bool:
    """True where both say where on the page they lie, and do not cover each other."""
    boxes = []
    for insert in (one, other):
        place, size = insert.place, insert.folded or insert.size
        if place is None or size is None or place.from_gutter_mm is None or place.from_head_mm is None:
            return False
        width, height = _as_it_lies(size, place)
        left, top = place.from_gutter_mm.value, place.from_head_mm.value
        boxes.append((left, top, left + width.value, top + height.value))
    (left, top, right, bottom), (other_left, other_top, other_right, other_bottom) = boxes
    return right <= other_left or other_right <= left or bottom <= other_top or other_bottom <= top


def _as_it_lies(size: SizeMm, place: Place) -> tuple[Measured, Measured]:
    if place.way_up in ("turned left", "turned right"):
        return size.height_mm, size.width_mm
    return size.width_mm, size.height_mm


def _check_standing_out(insert: InsertNote, replica: Replica) -> Iterator[Problem]:
    place, size = insert.place, insert.folded or insert.size
    assert place is not None
    out, at = place.sticks_out_mm, place.sticks_out_at
    if out is None or not at:
        return
    span = insert.origin.span("place", "sticks_out")
    if at == "head" and place.from_head_mm is not None:
        yield find(
            "S105",
            "sticks_out: above the head, and yet from_head puts it below the head",
            span,
            "keep one of the two",
            ((insert.origin.span("place", "from_head"), "below the head"),),
        )
        return
    if size is None:
        return
    width, height = _as_it_lies(size, place)
    length, noun = (width, "width") if at == "fore-edge" else (height, "height")
    if least(out) >= most(length):
        yield find(
            "S105",
            f"sticks_out: {show_mm(out.value)} is more than its whole {noun}, {show_mm(length.value)}",
            span,
            "write how much of it can be seen from outside",
        )
        return
    leaf = replica.book.leaf if replica.book is not None else None
    if leaf is None:
        return
    page = leaf.width_mm if at == "fore-edge" else leaf.height_mm
    start = place.from_gutter_mm if at == "fore-edge" else place.from_head_mm
    if start is not None:
        expected = start.value + length.value - page.value
        doubt = 3 * sum(_u(one) ** 2 for one in (start, length, out)) ** 0.5
        if abs(expected - out.value) > doubt:
            seen = f"stands out {show_mm(expected)}" if expected > 0 else "does not stand out"
            yield find(
                "S105",
                f"sticks_out: by its {noun} and place it {seen}, not {show_mm(out.value)}",
                span,
                f"{show_mm(start.value)} and {show_mm(length.value)} on a page of {show_mm(page.value)}",
            )
    elif least(length) - most(out) > most(page) + _UNSTATED_U_MM:
        yield find(
            "S105",
            f"sticks_out: {show_mm(length.value - out.value)} of it would lie "
            f"on a page of {show_mm(page.value)}",
            span,
            "it stands out further, or at both ends, or is folded",
        )


def _u(quantity: Measured) -> float:
    return _UNSTATED_U_MM if quantity.u is None else quantity.u
