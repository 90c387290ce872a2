"""Register of the printer on the book's stock: from readings in the notes to a fit, a correction, predictions.

In: a Replica, its printer, the plates. Out: RegisterWorking. Never: the sums (trade/press/register).
"""

from __future__ import annotations

from collections.abc import Sequence

from doublure.errors import DomainError
from doublure.model.notes import RegisterNote
from doublure.model.replica import Replica
from doublure.trade.press.affine import IDENTITY, Affine
from doublure.trade.press.records import PressPlan
from doublure.trade.press.register.correct import correction_of, join_back, keeps_inside, seat_correction_of
from doublure.trade.press.register.fit import fit_machine
from doublure.trade.press.register.parts import split_map
from doublure.trade.press.register.readings import find_twins, state_reading
from doublure.trade.press.register.records import (
    MachineFit,
    MarkReading,
    SeatReading,
    SheetReadings,
)
from doublure.trade.press.register.seats import SeatMeans, mean_seats
from doublure.trade.press.target import Target, design_target
from doublure.workings.press_misfits import PredictedMisfits
from doublure.workings.press_records import RegisterWorking

#: A target made for a sheet that differs by more, mm, is another target.
_SAME_MM = 0.5


def work_register(replica: Replica, printer: str, plan: PressPlan | None = None) -> RegisterWorking | None:
    """Work out the register of a printer on the stock of the book.

    Readings count where they are of this printer, of the book's stock (a profile is for a printer and a stock,
    since heat shrinks paper between the passes) and of a target made for the sheet as it lies on the press: of
    one that lies the other way nobody knows which way its driver turned it.

    Args:
        replica: The notes.
        printer: Identifier of the printer; "" where none is described.
        plan: The plates; None where they are not planned yet, so that the sheet of the newest readings is taken.

    Returns:
        The register; None where there is neither a sheet nor readings.
    """
    stock = replica.book.stock if replica.book is not None else ""
    notes = [note for note in replica.register.values() if _is_of(note, printer, stock)]
    notes.sort(key=lambda note: (note.date is None, note.date, note.id))
    sheet_mm = _sheet_of(plan)
    if sheet_mm is None:
        sizes = [size for note in notes if (size := _size_of(note)) is not None]
        if not sizes:
            return None
        sheet_mm = sizes[-1]
    try:
        target = design_target(*sheet_mm)
    except DomainError:
        return RegisterWorking(printer, stock, (), None, other_sheets=tuple(notes))
    places = {mark.name: (mark.x_mm, mark.y_mm) for mark in target.marks}
    used = [note for note in notes if _is_for(note, sheet_mm)]
    sheets = {note.id: _readings_of(note, places) for note in used}
    # One sheet that is given twice says nothing twice over (U105 names it).
    for twin in find_twins(tuple(sheets.values()), {note.id: note.photo for note in used}):
        del sheets[twin]
    used = [note for note in used if note.id in sheets]
    fit, words = _fit([one for one in sheets.values() if one.marks])
    correction = IDENTITY
    if fit is not None:
        try:
            correction = correction_of(fit)
        except DomainError as error:
            fit, words = None, error.message
    points = _points_of(target)
    seats = mean_seats(tuple(sheets.values())) if sheets and not words else None
    front, without_room = _correct_seat(seats, correction, plan)
    return RegisterWorking(
        printer=printer,
        stock=stock,
        notes=tuple(used),
        fit=fit,
        correction=correction,
        before=PredictedMisfits(fit, points, False),
        after=PredictedMisfits(fit, points, True),
        is_tried=fit is not None,
        readings=tuple(sheets.values()),
        other_sheets=tuple(note for note in notes if not _is_for(note, sheet_mm)),
        correction_parts=split_map(correction) if fit is not None else None,
        trouble=words,
        front_correction=front,
        seats=seats,
        without_room=without_room,
    )


def _sheet_of(plan: PressPlan | None) -> tuple[float, float] | None:
    return None if plan is None else (plan.layout.sheet_width_mm, plan.layout.sheet_height_mm)


def _correct_seat(seats: SeatMeans | None, correction: Affine, plan: PressPlan | None) -> tuple[Affine, str]:
    """Return the correction of the fronts, and what of it would move pages off their sheet and is left out."""
    if seats is None:
        return IDENTITY, ""
    left_out = ""
    for along, next_left in ((True, "along"), (False, "all")):
        front = seat_correction_of(seats, along)
        if front.is_identity or plan is None or _keeps_pages(front, correction, plan):
            return front, left_out
        left_out = next_left
    return IDENTITY, left_out


def _keeps_pages(front: Affine, correction: Affine, plan: PressPlan) -> bool:
    layout = plan.layout
    width, height = layout.sheet_width_mm, layout.sheet_height_mm
    box = layout.trim_box
    half_width = max(width / 2 - box.left_mm, box.right_mm - width / 2)
    half_height = max(height / 2 - box.top_mm, box.bottom_mm - height / 2)
    return all(
        keeps_inside(move, half_width, half_height, (width, height))
        for move in (front, join_back(correction, front))
    )


def _is_of(note: RegisterNote, printer: str, stock: str) -> bool:
    return bool(printer) and note.printer == printer and note.stock == stock


def _size_of(note: RegisterNote) -> tuple[float, float] | None:
    return None if note.sheet is None else (note.sheet.width_mm.value, note.sheet.height_mm.value)


def _is_for(note: RegisterNote, sheet_mm: tuple[float, float]) -> bool:
    size = _size_of(note)
    return size is None or all(abs(a - b) < _SAME_MM for a, b in zip(size, sheet_mm, strict=True))


def _readings_of(note: RegisterNote, places: dict[str, tuple[float, float]]) -> SheetReadings:
    """Return the readings of one sheet, at the places of its marks on the target."""
    u_mm = state_reading(note.u_mm, note.method == "by eye")
    return SheetReadings(
        name=note.id,
        marks=tuple(
            MarkReading(one.mark, *places[one.mark], one.right_mm, one.down_mm, u_mm)
            for one in note.offsets
            if one.mark in places
        ),
        front=SeatReading(note.front_right_mm, note.front_down_mm, note.front_turn_rad, note.fold_right_mm),
    )


def _fit(sheets: Sequence[SheetReadings]) -> tuple[MachineFit | None, str]:
    """Return the fit, or what the trade said against it."""
    if not sheets:
        return None, ""
    try:
        return fit_machine(sheets), ""
    except DomainError as error:
        return None, error.message


def _points_of(target: Target) -> tuple[tuple[float, float], ...]:
    """Return the places of the marks, then the corners of the sheet."""
    half_width, half_height = target.sheet_width_mm / 2, target.sheet_height_mm / 2
    corners = [(x, y) for y in (-half_height, half_height) for x in (-half_width, half_width)]
    return (*((mark.x_mm, mark.y_mm) for mark in target.marks), *corners)
