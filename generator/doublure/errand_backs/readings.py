"""Readings of printed targets: from pictures, or typed; kept in the notes where there is a place for them.

In: pictures, typed offsets, printer and stock. Out: ReadSheet and UnreadSheet, new notes. Never: printing.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from doublure.errand_backs.typed import parsed, plain_numbers, read_caliper, read_sheet
from doublure.errors import DomainError, UsageError
from doublure.trade.press.register.records import MarkReading, SeatReading, SheetReadings
from doublure.trade.press.target import Target, design_target

if TYPE_CHECKING:
    from doublure.trade.imaging.target_reading import TargetReading

#: Sheets that a picture is held against where nobody says which it shows; each lies either way.
_USUAL_SHEETS = ("A4", "Letter", "A5", "A3", "Legal", "Ledger", "A6", "B5", "B4")
#: Standard uncertainty of an offset read by eye: about half a step of the scale.
BY_EYE_MM = 0.1
_MOST_MM = 10.0
_LIGHT, _SCAN, _EYE = "against the light", "scan", "by eye"


@dataclass(frozen=True, slots=True)
class Keep:
    """Where readings are kept: the project, the printer and the stock, and the day of printing."""

    root: Path
    printer: str
    stock: str
    day: str


@dataclass(frozen=True, slots=True)
class ReadSheet:
    """A sheet that was read.

    Attributes:
        name: File of the picture, or words for readings by eye.
        target: The target.
        readings: Of its marks, and where its front sits.
        reading: All that was found in a picture; None for readings by eye.
        note: Path of the note that was written; "" where none was.
    """

    name: str
    target: Target
    readings: SheetReadings
    reading: TargetReading | None
    note: str = ""


@dataclass(frozen=True, slots=True)
class UnreadSheet:
    """A picture that could not be read, and why."""

    name: str
    words: str


def find_place(start: Path, printer: str, stock: str, day: str) -> Keep | None:
    """Return where readings go: nowhere, unless printer and stock are named.

    Raises:
        UsageError: Only one of the two is named, there is no project here, or it has no such note.
    """
    from doublure.errands import find_project, known_things, read_day
    from doublure.problems import nearest_name

    if not printer and not stock:
        return None
    if not printer or not stock:
        raise UsageError("readings are of one printer and one stock: give both --printer and --stock, or neither")
    root = find_project(start)
    known = known_things(root)
    for name, folder, noun in ((printer, "printers", "printer"), (stock, "stocks", "stock")):
        if folder not in known.get(name, ()):
            near = nearest_name(name, [each for each, places in known.items() if folder in places])
            hint = f"; did you mean {near}?" if near else f"; describe it in journal/{folder}/{noun}.md first"
            raise UsageError(f'{noun}: there is no note "{name}" in journal/{folder}/{hint}')
    return Keep(root, printer, stock, read_day(day).isoformat())


def read_photos(
    photos: Iterable[Path], sheet: str | None, caliper: str | None, is_scan: bool, keep: Keep | None
) -> Iterator[ReadSheet | UnreadSheet]:
    """Read each picture in turn, and write its note where there is a place for it.

    Args:
        photos: Files.
        sheet: Size of the sheet, as for make_target; None to find out which of the usual sheets it is.
        caliper: Thickness of the paper, such as "0.1 mm"; None for a tenth of a millimetre.
        is_scan: True for scans, which see every mark from straight above.
        keep: Where to write notes; None for nowhere.

    Raises:
        UsageError: The size or the caliper is none.
        DomainError: The sheet is too small for a target.
    """
    caliper_mm = 0.1 if caliper is None else read_caliper(caliper)
    targets = _usual_targets() if sheet is None else (design_target(*read_sheet(sheet)),)
    for photo in photos:
        yield _read_photo(photo, targets, 0.0 if is_scan else caliper_mm, is_scan, keep)


def _usual_targets() -> tuple[Target, ...]:
    from doublure.notes.packs import NAMED_SIZES

    sizes = [NAMED_SIZES[name] for name in _USUAL_SHEETS]
    return tuple(design_target(*size) for short, long in sizes for size in ((short, long), (long, short)))


def _read_photo(
    photo: Path, targets: Sequence[Target], caliper_mm: float, is_scan: bool, keep: Keep | None
) -> ReadSheet | UnreadSheet:
    from doublure.store.photo_pixels import read_grey
    from doublure.trade.imaging.target_reading import read_target

    try:
        grey = read_grey(photo)
        reading = read_target(grey.pixels, targets, caliper_mm, grey.focal_px)
    except (UsageError, DomainError) as error:
        return UnreadSheet(str(photo), str(error))
    readings = SheetReadings(photo.name, reading.marks, reading.seat)
    note = "" if keep is None else _write(keep, reading.target, readings, _SCAN if is_scan else _LIGHT, photo)
    return ReadSheet(str(photo), reading.target, readings, reading, note)


def enter_offsets(
    offsets: Sequence[str],
    sheet: str,
    uncertainty: str | None,
    front: str | None,
    turn: str | None,
    fold: str | None,
    keep: Keep | None,
) -> ReadSheet:
    """Take offsets that were read by eye.

    Args:
        offsets: Each such as "A1 +0.3 -0.2" (mm to the right and downwards, the back against the front, seen
            from the front) or "A1 0.3 mm right, 0.2 mm up".
        sheet: Size of the sheet that the target was made for.
        uncertainty: Standard uncertainty of each offset; None for BY_EYE_MM.
        front: How far the front sits off on its sheet, such as "0.8 mm right, 0.4 mm up"; None where not read.
        turn: How far it is turned, such as "0.1° clockwise"; None where not read.
        fold: How far the fold lies from where it is printed, such as "0.3 mm left"; None where not read.
        keep: Where to write the note; None for nowhere.

    Raises:
        UsageError: Something cannot be read; nothing was written.
    """
    from doublure.quantities import parse_offset, parse_sideways, parse_turn

    target = design_target(*read_sheet(sheet))
    u_mm = BY_EYE_MM if uncertainty is None else _read_uncertainty(uncertainty)
    marks: dict[str, MarkReading] = {}
    wrong: list[str] = []
    for text in offsets:
        try:
            mark = _enter_offset(target, text, u_mm)
            if mark.name in marks:
                raise UsageError(f"{mark.name} is given twice")
        except UsageError as error:
            wrong.append(str(error))
            continue
        marks[mark.name] = mark
    if wrong:
        raise UsageError("\n".join(wrong))
    if not marks:
        raise UsageError('no offsets are given; write each such as "A1 +0.3 -0.2"')
    front_right, front_down = (None, None) if front is None else parsed("front", front, parse_offset)
    seat = SeatReading(
        front_right,
        front_down,
        None if turn is None else parsed("turn", turn, parse_turn),
        None if fold is None else parsed("fold", fold, parse_sideways),
    )
    ordered = tuple(marks[mark.name] for mark in target.marks if mark.name in marks)
    readings = SheetReadings("read by eye", ordered, seat)
    note = "" if keep is None else _write(keep, target, readings, _EYE, None)
    return ReadSheet("read by eye", target, readings, None, note)


def _read_uncertainty(text: str) -> float:
    from doublure.quantities import parse_length

    if re.fullmatch(r"\s*0+([.,]0*)?\s*\D*", text):
        shown = text.strip()
        raise UsageError(f"uncertainty: no eye is as sure as {shown}; write how sure each offset is, such as 0.1 mm")
    return parsed("uncertainty", text, lambda words: parse_length(words).value)


def _enter_offset(target: Target, text: str, u_mm: float) -> MarkReading:
    """Return the reading of one mark, such as "A1 +0.3 -0.2".

    Raises:
        UsageError: It cannot be read, or the target has no such mark.
    """
    from doublure.quantities import parse_offset

    name, _, rest = text.strip().partition(" ")
    mark = target.mark(name)
    if mark is None:
        names = f"{target.marks[0].name} to {target.marks[-1].name}"
        raise UsageError(f'"{text}": the target for this sheet has no mark "{name}"; it has {names}')
    numbers = plain_numbers(rest)
    if numbers is None and not any(letter.isalpha() for letter in rest):
        raise UsageError(
            f'"{text}": two numbers follow the mark, mm to the right and mm downwards: "{mark.name} +0.3 -0.2"'
        )
    across, down = numbers if numbers is not None else parsed(mark.name, rest, parse_offset)
    if max(abs(across), abs(down)) > _MOST_MM:
        raise UsageError(f"{mark.name}: {across:g} and {down:g} mm is too far; at most {_MOST_MM:g} mm are read")
    return MarkReading(mark.name, mark.x_mm, mark.y_mm, across, down, u_mm)


def _write(keep: Keep, target: Target, readings: SheetReadings, method: str, photo: Path | None) -> str:
    from doublure.errands import read_day
    from doublure.model.notes import MarkOffset
    from doublure.store.register_writer import RegisterDraft, write_register_note

    doubts = [mark.u_mm for mark in readings.marks if mark.u_mm is not None]
    seat = readings.front
    draft = RegisterDraft(
        day=read_day(keep.day),
        printer=keep.printer,
        stock=keep.stock,
        sheet=f"{target.sheet_width_mm:g} x {target.sheet_height_mm:g} mm",
        method=method,
        photo=photo,
        offsets=tuple(MarkOffset(mark.name, mark.dx_mm, mark.dy_mm) for mark in readings.marks),
        u_mm=math.sqrt(sum(u * u for u in doubts) / len(doubts)) if doubts else None,
        front_right_mm=seat.dx_mm,
        front_down_mm=seat.dy_mm,
        front_turn_rad=seat.turn_rad,
        fold_right_mm=seat.fold_dx_mm,
    )
    return write_register_note(keep.root, draft)
