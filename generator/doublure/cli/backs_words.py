"""What the commands of backs print.

In: records of errand_backs. Out: text on standard output, plain data for JSON. Never: computing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import click

from doublure.cli.app import say
from doublure.cli.printing import count_things, print_table

if TYPE_CHECKING:
    from doublure.errand_backs.fits import BacksFit
    from doublure.errand_backs.readings import ReadSheet, UnreadSheet
    from doublure.errand_backs.targets import MadeTarget

_NOT_TRIED = "This way of reading is not yet tried on paper: hold it once against the scales read by eye."
_WARNINGS = {
    "from behind": "the picture was taken from the back, or is mirrored; the readings are put right",
    "few marks": "marks are missing; look whether the whole sheet is in the picture, and evenly lit",
    "coarse": "the picture is coarse; go nearer, or take more pixels",
    "oblique": "the picture was taken from far aside; the paper's thickness makes the readings less sure",
    "bent": "the sheet was not flat; its bend is taken out as well as can be",
    "uneven front": "the front's own marks do not lie even; press the sheet flat",
}


def made_as_json(made: MadeTarget) -> dict[str, Any]:
    """Return a written target as plain data."""
    target = made.target
    return {
        "file": str(made.path),
        "sheet_mm": [target.sheet_width_mm, target.sheet_height_mm],
        "turn": made.turn,
        "back_turned": made.back_turned,
        "marks": [
            {"name": m.name, "x_mm": m.x_mm, "y_mm": m.y_mm, "front_x_mm": m.front_x_mm, "front_y_mm": m.front_y_mm}
            for m in target.marks
        ],
    }  # fmt: skip


def print_made(made: MadeTarget) -> None:
    """Print what was written, and how to print it."""
    target = made.target
    click.echo(
        f"wrote {made.path}: {count_things(len(target.marks), 'mark')} on a sheet of "
        f"{target.sheet_width_mm:g} x {target.sheet_height_mm:g} mm"
    )
    way = "turned half round" if made.back_turned else "head up"
    say(f"Turn the sheet about its {made.turn} for the back, which is {way}. Print at 100 %, several sheets.")


def sheet_as_json(sheet: ReadSheet) -> dict[str, Any]:
    """Return a read sheet as plain data."""
    reading, seat = sheet.reading, sheet.readings.front
    data: dict[str, Any] = {
        "name": sheet.name,
        "sheet_mm": [sheet.target.sheet_width_mm, sheet.target.sheet_height_mm],
        "note": sheet.note or None,
        "marks": [
            {
                "name": mark.name,
                "x_mm": mark.x_mm,
                "y_mm": mark.y_mm,
                "dx_mm": round(mark.dx_mm, 5),
                "dy_mm": round(mark.dy_mm, 5),
                "u_mm": None if mark.u_mm is None else round(mark.u_mm, 5),
            }
            for mark in sheet.readings.marks
        ],
        "front": {
            "dx_mm": seat.dx_mm,
            "dy_mm": seat.dy_mm,
            "turn_rad": seat.turn_rad,
            "fold_dx_mm": seat.fold_dx_mm,
        },
    }
    if reading is not None:
        data["picture"] = {
            "found_share": reading.found_share,
            "missing": list(reading.missing),
            "front_rms_mm": reading.front_rms_mm,
            "px_per_mm": reading.px_per_mm,
            "tilt_rad": reading.tilt_rad,
            "lens": reading.lens,
            "oblique_mm": reading.oblique_mm,
            "warnings": [_WARNINGS[warning.value] for warning in reading.warnings],
        }
    return data


def unread_as_json(unread: Iterable[UnreadSheet]) -> list[dict[str, str]]:
    """Return what could not be read as plain data."""
    return [{"name": one.name, "why": one.words} for one in unread]


def print_sheet(sheet: ReadSheet) -> None:
    """Print the readings of a sheet."""
    target, reading = sheet.target, sheet.reading
    marks = sheet.readings.marks
    click.echo(
        f"{sheet.name}: {len(marks)} of {len(target.marks)} marks, sheet of "
        f"{target.sheet_width_mm:g} x {target.sheet_height_mm:g} mm"
    )
    rows = [
        (
            mark.name,
            f"{mark.dx_mm:+.3f}",
            f"{mark.dy_mm:+.3f}",
            "" if mark.u_mm is None else f"{mark.u_mm:.3f}",
        )
        for mark in marks
    ]
    print_table(("mark", "right mm", "down mm", "u mm"), rows, (False, True, True, True))
    for line in _seat_lines(sheet):
        click.echo(line)
    if reading is not None:
        for warning in reading.warnings:
            say(f"{sheet.name}: {_WARNINGS[warning.value]}")
    if sheet.note:
        click.echo(f"wrote {sheet.note}")


def _seat_lines(sheet: ReadSheet) -> list[str]:
    seat = sheet.readings.front
    said = []
    if seat.dx_mm is not None:
        said.append(f"{seat.dx_mm:+.2f} mm to the right")
    if seat.dy_mm is not None:
        said.append(f"{seat.dy_mm:+.2f} mm downwards")
    if seat.turn_rad is not None:
        said.append(f"turned {math.degrees(seat.turn_rad):+.3f}° clockwise")
    lines = [f"the front sits {', '.join(said)} on its sheet"] if said else []
    if seat.fold_dx_mm is not None:
        lines.append(f"the fold lies {seat.fold_dx_mm:+.2f} mm right of where it is printed")
    return lines


def fit_as_json(found: BacksFit) -> dict[str, Any]:
    """Return a fit as plain data."""
    fit = found.fit
    names = ("shift_x_mm", "shift_y_mm", "rotation_rad", "scale_x", "scale_y", "shear_rad")
    return {
        "sheet_mm": list(found.sheet_mm),
        "sheets": len(fit.sheets),
        "left_out": list(fit.left_out),
        "given_twice": [list(pair) for pair in found.twins],
        "model": fit.model.value,
        **{name: getattr(fit.parts, name) for name in names},
        "uncertainty": {name: getattr(fit.parts_u, name) for name in names},
        "shear_carried": fit.shear_carried,
        "sigma_mm": fit.sigma_mm,
        "unseen_mm": fit.unseen_mm,
        "misfit": [
            {
                "place": corner.name,
                "x_mm": corner.before.x_mm,
                "y_mm": corner.before.y_mm,
                "mean_dx_mm": corner.before.mean_dx_mm,
                "mean_dy_mm": corner.before.mean_dy_mm,
                "before_p95_mm": corner.before.p95_mm,
                "after_p95_mm": corner.after.p95_mm,
            }
            for corner in found.corners
        ],
    }


def print_fit(found: BacksFit) -> None:
    """Print what a printer does, and the misfit to expect."""
    fit, parts, doubt = found.fit, found.fit.parts, found.fit.parts_u
    click.echo(
        f"{count_things(len(fit.sheets), 'sheet')}, fitted by {fit.model.value}; the back against the front:"
    )
    rows = [
        ("shift to the right", f"{parts.shift_x_mm:+.3f}", f"{doubt.shift_x_mm:.3f}", "mm"),
        ("shift downwards", f"{parts.shift_y_mm:+.3f}", f"{doubt.shift_y_mm:.3f}", "mm"),
        (
            "turn clockwise",
            f"{math.degrees(parts.rotation_rad):+.4f}",
            f"{math.degrees(doubt.rotation_rad):.4f}",
            "°",
        ),
        ("scale across", f"{100 * parts.scale_x:.3f}", f"{100 * doubt.scale_x:.3f}", "%"),
        ("scale along", f"{100 * parts.scale_y:.3f}", f"{100 * doubt.scale_y:.3f}", "%"),
    ]
    if fit.shear_carried:
        rows.append(
            ("shear", f"{math.degrees(parts.shear_rad):+.4f}", f"{math.degrees(doubt.shear_rad):.4f}", "°")
        )
    print_table(("", "value", "u", ""), rows, (False, True, True, False))
    click.echo("misfit that 95 % of new sheets stay below, mm:")
    misfits = [
        (
            corner.name,
            f"{corner.before.mean_dx_mm:+.2f}",
            f"{corner.before.mean_dy_mm:+.2f}",
            f"{corner.before.p95_mm:.2f}",
            f"{corner.after.p95_mm:.2f}",
        )
        for corner in found.corners
    ]
    print_table(("place", "right", "down", "as it is", "corrected"), misfits, (False, True, True, True, True))
    for twin, first in found.twins:
        say(f"{twin} has the readings of {first}: it is the same sheet, and is counted once")
    if fit.left_out:
        say(f"too few marks, left out: {', '.join(fit.left_out)}")
    if len(fit.sheets) < 2:
        say("One sheet does not tell how sheets differ: common figures stand in for that. Read several.")
    say(_NOT_TRIED)
