"""The commands of backs: a target to print, its reading, and what they tell of a printer.

In: arguments. Out: printed tables or JSON. Never: computing, importing what is slow before it is wanted.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from doublure.cli.app import DONE, WRONG_INPUT, NamingGroup, say
from doublure.cli.backs_words import (
    fit_as_json,
    made_as_json,
    print_fit,
    print_made,
    print_sheet,
    sheet_as_json,
    unread_as_json,
)
from doublure.cli.printing import print_json
from doublure.errors import UsageError

_JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
_SHEET_HELP = 'Size of the sheet, its head up: A4, "A4 landscape", "210 x 297 mm".'


@click.group(cls=NamingGroup)
def backs() -> None:
    """Find out how backs land on their fronts, for one printer and one stock.

    Print the target on both sides of some sheets, photograph each against the light or read its scales by
    eye, and fit the printer. What it takes is described in the handbook, under "The register target".
    """


@backs.command()
@click.option("--sheet", required=True, metavar="SIZE", help=_SHEET_HELP)
@click.option(
    "--turn",
    type=click.Choice(["long edge", "short edge", "long", "short"]),
    metavar="EDGE",
    help="Edge about which the sheet is turned for its back: long edge or short edge.",
)
@click.option(
    "-o",
    "--output",
    default="target.pdf",
    show_default=True,
    type=click.Path(path_type=Path),
    help="File to write.",
)
@_JSON
def target(sheet: str, turn: str | None, output: Path, as_json: bool) -> int:
    """Write the two-sided target for a sheet as a PDF of two pages.

    Print it at its own size, with no fitting to the page, on the sheet as it will lie for the book.
    """
    from doublure.errand_backs import targets

    edge = "" if turn is None else turn if turn.endswith("edge") else f"{turn} edge"
    made = targets.make_target(sheet, edge, output)
    if as_json:
        print_json(made_as_json(made))
    else:
        print_made(made)
    return DONE


@backs.command()
@click.argument("photos", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--printer", default="", metavar="PRINTER", help="Note of the printer; with --stock, notes are written."
)
@click.option("--stock", default="", metavar="STOCK", help="Note of the stock that the sheets are of.")
@click.option("--sheet", metavar="SIZE", help=f"{_SHEET_HELP} Where not said, the usual sheets are tried.")
@click.option("--caliper", metavar="LENGTH", help="Thickness of the paper; 0.1 mm where not said.")
@click.option(
    "--scan", is_flag=True, help="The pictures come from a flat scanner with its light behind the sheet."
)
@click.option("--on", metavar="DATE", help="The day of printing, such as 2031-03-14; today where not said.")
@_JSON
def read(
    photos: tuple[Path, ...],
    printer: str,
    stock: str,
    sheet: str | None,
    caliper: str | None,
    scan: bool,
    on: str | None,
    as_json: bool,
) -> int:  # fmt: skip
    """Read targets from photographs or scans against the light, one sheet each.

    With --printer and --stock, in a project, one note a sheet goes to journal/register/.
    """
    from doublure.errand_backs import readings

    keep = readings.find_place(Path.cwd(), printer, stock, on or date.today().isoformat())
    sheets, unread = [], []
    for one in readings.read_photos(photos, sheet, caliper, scan, keep):
        if isinstance(one, readings.UnreadSheet):
            unread.append(one)
            say(f"doublure: {one.name}: {one.words}")
        else:
            sheets.append(one)
            if not as_json:
                print_sheet(one)
    if as_json:
        print_json({"sheets": [sheet_as_json(one) for one in sheets], "unread": unread_as_json(unread)})
    return WRONG_INPUT if unread else DONE


@backs.command(context_settings={"ignore_unknown_options": True})
@click.argument("offsets", nargs=-1, required=True)
@click.option(
    "--printer", default="", metavar="PRINTER", help="Note of the printer; with --stock, a note is written."
)
@click.option("--stock", default="", metavar="STOCK", help="Note of the stock that the sheet is of.")
@click.option("--sheet", required=True, metavar="SIZE", help=_SHEET_HELP)
@click.option(
    "--uncertainty", metavar="LENGTH", help="How sure each offset is, one standard deviation; 0.1 mm."
)
@click.option(
    "--front", metavar="OFFSET", help='How far the front sits off on its sheet: "0.8 mm right, 0.4 mm up".'
)
@click.option(
    "--front-turn", metavar="ANGLE", help='How far the front is turned on its sheet: "0.1° clockwise".'
)
@click.option("--fold", metavar="OFFSET", help='How far the fold lies off its printed line: "0.3 mm left".')
@click.option("--on", metavar="DATE", help="The day of printing, such as 2031-03-14; today where not said.")
@_JSON
def enter(
    offsets: tuple[str, ...],
    printer: str,
    stock: str,
    sheet: str,
    uncertainty: str | None,
    front: str | None,
    front_turn: str | None,
    fold: str | None,
    on: str | None,
    as_json: bool,
) -> int:  # fmt: skip
    """Take offsets of one sheet that you read off its scales by eye.

    Each of OFFSETS is such as "A1 +0.3 -0.2": the mark, mm to the right, mm downwards, seen from the front.
    """
    from doublure.errand_backs import readings

    keep = readings.find_place(Path.cwd(), printer, stock, on or date.today().isoformat())
    one = readings.enter_offsets(offsets, sheet, uncertainty, front, front_turn, fold, keep)
    if as_json:
        print_json({"sheets": [sheet_as_json(one)], "unread": []})
    else:
        print_sheet(one)
    return DONE


@backs.command()
@click.argument("files", nargs=-1, type=click.Path(path_type=Path))
@click.option("--printer", default="", metavar="PRINTER", help="Note of the printer, in a project.")
@click.option("--stock", default="", metavar="STOCK", help="Note of the stock.")
@click.option("--sheet", metavar="SIZE", help="Only readings of this size of sheet.")
@_JSON
def fit(files: tuple[Path, ...], printer: str, stock: str, sheet: str | None, as_json: bool) -> int:
    """Say what a printer does to its backs, and the misfit to expect before and after the correction.

    FILES hold what "read --json" or "enter --json" printed; or name --printer and --stock in a project.
    """
    from doublure.errand_backs import fits

    if files and (printer or stock):
        raise UsageError("name files of readings, or --printer and --stock, not both")
    found = fits.fit_files(files, sheet) if files else fits.fit_project(Path.cwd(), printer, stock, sheet)
    if as_json:
        print_json(fit_as_json(found))
    else:
        print_fit(found)
    return DONE
