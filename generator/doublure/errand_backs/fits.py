"""The fit of a printer to readings, from files or from the notes.

In: files of readings, or printer and stock. Out: BacksFit. Never: formulas, printing.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from doublure.errand_backs.readings import find_place
from doublure.errand_backs.typed import read_sheet
from doublure.errors import UsageError
from doublure.model.replica import Replica
from doublure.trade.press.register.fit import fit_machine
from doublure.trade.press.register.predict import predict_misfit
from doublure.trade.press.register.readings import find_twins, state_reading
from doublure.trade.press.register.records import MachineFit, MarkReading, Misfit, SheetReadings
from doublure.trade.press.target import design_target


@dataclass(frozen=True, slots=True)
class CornerMisfit:
    """The misfit at a corner of the sheet, as it is and after the correction; seen from the front."""

    name: str
    before: Misfit
    after: Misfit


@dataclass(frozen=True, slots=True)
class BacksFit:
    """What a printer does to its backs.

    Attributes:
        fit: The fit.
        sheet_mm: Size of the sheet.
        corners: Misfit at its middle and its four corners.
        twins: Sheets that are another one given again, and which; they are not counted.
    """

    fit: MachineFit
    sheet_mm: tuple[float, float]
    corners: tuple[CornerMisfit, ...]
    twins: tuple[tuple[str, str], ...] = ()


def fit_files(files: Sequence[Path], sheet: str | None = None) -> BacksFit:
    """Fit a printer to readings that `read --json` or `enter --json` printed.

    Args:
        files: What the commands printed.
        sheet: Size of the sheet whose readings are used; None where there is only one.

    Raises:
        UsageError: A file holds no readings.
        DomainError: The readings are too few.
    """
    from doublure.store.register_writer import read_readings

    wanted = None if sheet is None else read_sheet(sheet)
    sheets: list[SheetReadings] = []
    sizes: list[tuple[float, float]] = []
    for file in files:
        for size, one in _decode_readings(read_readings(file), str(file)):
            if wanted is None or _same(size, wanted):
                sizes.append(size)
                sheets.append(SheetReadings(f"{one.name} ({len(sheets) + 1})", one.marks, one.front))
    return _fit(sheets, sizes)


def fit_project(start: Path, printer: str, stock: str, sheet: str | None) -> BacksFit:
    """Fit a printer on a stock to the readings in the notes.

    Args:
        start: A folder within the project.
        printer, stock: Identifiers.
        sheet: Size of the sheet whose readings are used; None where there is only one.

    Raises:
        UsageError: There are no such readings, or of several sheets.
        JournalRejected: The notes hold no replica that can be used.
        DomainError: The readings are too few.
    """
    keep = find_place(start, printer, stock, "2000-01-01")
    if keep is None:
        raise UsageError("name files of readings, or --printer and --stock in a project")
    replica = _read_replica(keep.root)
    wanted = None if sheet is None else read_sheet(sheet)
    sheets, sizes, photos = [], [], {}
    for note in replica.register.values():
        if note.printer != printer or note.stock != stock or note.sheet is None or not note.offsets:
            continue
        size = (note.sheet.width_mm.value, note.sheet.height_mm.value)
        if wanted is not None and not _same(size, wanted):
            continue
        target = design_target(*size)
        placed = [(target.mark(one.mark), one) for one in note.offsets]
        u_mm = state_reading(note.u_mm, note.method == "by eye")
        photos[note.id] = note.photo
        marks = tuple(
            MarkReading(mark.name, mark.x_mm, mark.y_mm, one.right_mm, one.down_mm, u_mm)
            for mark, one in placed
            if mark is not None
        )
        sheets.append(SheetReadings(note.id, marks))
        sizes.append(size)
    if not sheets:
        raise UsageError(f"there are no readings of {printer} on {stock}; make some with: doublure backs read")
    return _fit(sheets, sizes, photos)


def _read_replica(root: Path) -> Replica:
    from doublure.errors import JournalRejected
    from doublure.notes.journal import decode_journal
    from doublure.store.journal_files import read_sources

    sources, faults = read_sources(root)
    replica, problems = decode_journal(sources, faults)
    if replica is None:
        raise JournalRejected(tuple(problems))
    return replica


def _same(size: tuple[float, float], other: tuple[float, float]) -> bool:
    return all(abs(a - b) < 0.5 for a, b in zip(size, other, strict=True))


def _fit(
    sheets: Sequence[SheetReadings], sizes: Sequence[tuple[float, float]], photos: Mapping[str, str] | None = None
) -> BacksFit:
    if not sheets:
        raise UsageError("there are no readings in these files")
    if any(not _same(size, sizes[0]) for size in sizes):
        shown = sorted({f"{width:g} x {height:g} mm" for width, height in sizes})
        raise UsageError(f"the readings are of different sheets, {' and '.join(shown)}; say which with --sheet")
    twins = find_twins(sheets, photos)
    fit = fit_machine([sheet for sheet in sheets if sheet.name not in twins])
    half_width, half_height = sizes[0][0] / 2, sizes[0][1] / 2
    places = [("middle", 0.0, 0.0)] + [
        (f"{'head' if y < 0 else 'foot'} {'left' if x < 0 else 'right'}", x, y)
        for y in (-half_height, half_height)
        for x in (-half_width, half_width)
    ]
    corners = tuple(
        CornerMisfit(name, predict_misfit(fit, x, y, False), predict_misfit(fit, x, y, True))
        for name, x, y in places
    )
    return BacksFit(fit, sizes[0], corners, tuple(twins.items()))


def _decode_readings(text: str, file: str) -> Iterator[tuple[tuple[float, float], SheetReadings]]:
    """Yield size and readings of each sheet in a file."""
    wrong = UsageError(f"{file}: holds no readings as `doublure backs read --json` prints them")
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        raise wrong from None
    listed = found.get("sheets") if isinstance(found, dict) else None
    if not isinstance(listed, list):
        raise wrong
    for one in listed:
        try:
            width, height = (_finite(side) for side in one["sheet_mm"])
            marks = tuple(_decode_mark(mark) for mark in one["marks"])
            name = str(one.get("name", "sheet"))
        except (KeyError, TypeError, ValueError, AttributeError):
            raise wrong from None
        yield (width, height), SheetReadings(name, marks)


def _decode_mark(mark: dict[str, object]) -> MarkReading:
    x, y, dx, dy = (_finite(mark[key]) for key in ("x_mm", "y_mm", "dx_mm", "dy_mm"))
    u = mark.get("u_mm")
    return MarkReading(str(mark["name"]), x, y, dx, dy, None if u is None else _finite(u))


def _finite(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError("no number")
    return float(value)
