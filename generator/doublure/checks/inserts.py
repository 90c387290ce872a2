"""Inserts in themselves: readings, folds, sizes, sheets, artwork, numbers, finishes.

In: a Replica. Out: problems. Never: where an insert lies in the book (places.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from doublure.checks.finding import find, least, most, show_mm, show_size
from doublure.model.insert import InsertNote, Reading
from doublure.model.parts import SizeMm
from doublure.model.replica import Replica
from doublure.problems import Problem

#: A hair's breadth: sizes from inches must not miss for the sake of a rounded digit.
_SLACK_MM = 0.05
#: Artwork may be this much smaller than its piece before it is worth a word.
_TRIM_MM = 0.5
_LAST_DIGITS = re.compile(r"[0-9]{1,9}(?=[^0-9]*$)")


def check_inserts(replica: Replica) -> Iterator[Problem]:
    """Yield what cannot be in the notes of inserts."""
    for insert in replica.inserts.values():
        yield from _check_readings(insert)
        yield from _check_reasons(insert)
        yield from _check_folds(insert)
        yield from _check_sheet(insert, replica)
        yield from _check_artwork(insert, replica)
        yield from _check_numbers(insert, replica)
        yield from _check_finishes(insert, replica)


def _check_readings(insert: InsertNote) -> Iterator[Problem]:
    seen: dict[tuple[str, str], Reading] = {}
    for reading in insert.readings:
        key = (reading.source, reading.attribute)
        first = seen.setdefault(key, reading)
        if first is not reading:
            yield find(
                "E101",
                f'{reading.attribute}: read from "{reading.source}" a second time',
                insert.origin.span(*reading.path),
                "keep the better reading",
                ((insert.origin.span(*first.path), "the first reading"),),
            )


def _check_reasons(insert: InsertNote) -> Iterator[Problem]:
    assumed = {name for name, _ in insert.assumed}
    for name, _ in insert.chosen:
        if name in assumed:
            yield find(
                "E104",
                f"{name}: assumed and chosen at once",
                insert.origin.key_span("chosen", name),
                "keep one of the two",
                ((insert.origin.key_span("assumed", name), "assumed here"),),
            )


def _check_folds(insert: InsertNote) -> Iterator[Problem]:
    if insert.size is None:
        return
    flat = insert.size
    if insert.folded is not None:
        folded = sorted((least(insert.folded.width_mm), least(insert.folded.height_mm)))
        room = sorted((most(flat.width_mm), most(flat.height_mm)))
        if any(side > limit + _SLACK_MM for side, limit in zip(folded, room, strict=True)):
            yield find(
                "S103",
                f"folded: {show_size(insert.folded)} is larger than the flat piece, {show_size(flat)}",
                insert.origin.span("folded"),
                "correct one of the two",
                ((insert.origin.span("size"), "the flat size"),),
            )
    for number, fold in enumerate(insert.folds):
        side = flat.width_mm if fold.along == "height" else flat.height_mm
        if fold.at_mm is not None and least(fold.at_mm) > most(side) - _SLACK_MM:
            across = "wide" if fold.along == "height" else "high"
            yield find(
                "S106",
                f"at: a fold at {show_mm(fold.at_mm.value)} lies outside a piece "
                f"{show_mm(side.value)} {across}",
                insert.origin.span("folds", number, "at"),
                f"write a length below {show_mm(side.value)}",
            )


def fits(piece: SizeMm, sheet: SizeMm) -> bool:
    """True where a piece may well come out of a sheet, upright or turned."""
    width, height = least(piece.width_mm), least(piece.height_mm)
    room_width, room_height = most(sheet.width_mm) + _SLACK_MM, most(sheet.height_mm) + _SLACK_MM
    upright = width <= room_width and height <= room_height
    return upright or (height <= room_width and width <= room_height)


def _check_sheet(insert: InsertNote, replica: Replica) -> Iterator[Problem]:
    stock = replica.stocks.get(insert.stock)
    if insert.size is None or stock is None or stock.sheet is None or fits(insert.size, stock.sheet):
        return
    yield find(
        "S104",
        f"size: {show_size(insert.size)} does not come out of a sheet of {stock.id}, "
        f"{show_size(stock.sheet)}",
        insert.origin.span("size"),
        "correct one of the two, or choose another stock",
        ((stock.origin.span("sheet"), "the sheet as sold"),),
    )


def _check_artwork(insert: InsertNote, replica: Replica) -> Iterator[Problem]:
    if insert.size is None:
        return
    for side, face in (("front", insert.front), ("back", insert.back)):
        master = replica.masters.get(face.master) if face is not None else None
        if master is None or master.size is None:
            continue
        if is_smaller(master.size, insert.size):
            yield find(
                "S110",
                f"{side}: the artwork {master.id} is printed {show_size(master.size)}, "
                f"smaller than the piece, {show_size(insert.size)}",
                insert.origin.span(side),
                "correct one of the two sizes",
                ((master.origin.span("size"), "the size of the artwork"),),
            )


def is_smaller(artwork: SizeMm, piece: SizeMm) -> bool:
    """True where artwork certainly leaves an edge of its piece bare."""
    return (
        most(artwork.width_mm) < least(piece.width_mm) - _TRIM_MM
        or most(artwork.height_mm) < least(piece.height_mm) - _TRIM_MM
    )


def _check_numbers(insert: InsertNote, replica: Replica) -> Iterator[Problem]:
    for place, varying in enumerate(insert.varying):
        first, last = _LAST_DIGITS.search(varying.first), _LAST_DIGITS.search(varying.last)
        if varying.kind != "serial number" or first is None or last is None:
            continue
        count = int(last.group()) - int(first.group()) + 1
        span = insert.origin.span("varying", place, "last")
        if count < 1:
            yield find(
                "S107", f"last: {varying.last} comes before {varying.first}", span, "change the two round"
            )
        elif replica.replica.edition is not None and count < replica.replica.edition * insert.per_copy:
            wanted = replica.replica.edition * insert.per_copy
            yield find(
                "S107",
                f"last: {varying.first} to {varying.last} are {count} numbers for {wanted} pieces",
                span,
                "correct the last number, or the edition",
            )


def _check_finishes(insert: InsertNote, replica: Replica) -> Iterator[Problem]:
    printed = {}
    for side, face in (("front", insert.front), ("back", insert.back)):
        if face is None or face.blank:
            continue
        master = replica.masters.get(face.master)
        process = face.printing or (master.process if master is not None else "")
        if process:
            printed[side] = process
    for place, name in enumerate(insert.finishes):
        finish = replica.finishes.get(name)
        if finish is None or not finish.survives:
            continue
        for side, process in printed.items():
            if not any(one.casefold() in process.casefold() for one in finish.survives):
                yield find(
                    "M101",
                    f"finish: {name} is survived by {', '.join(finish.survives)}, "
                    f"and the {side} is printed by {process}",
                    insert.origin.span("finish", place),
                    "try it on a spoiled piece, or print it otherwise",
                    ((finish.origin.span("survives"), "what stands it"),),
                )
                break
