"""The commands that read a target, whole: with the sheet, the printer and the stock of this book.

In: SiteContext, PressWorking. Out: BacksCommands. Never: running them, HTML.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.run_words import print_folder
from doublure.render.site.context import SiteContext
from doublure.trade.press.records import SheetLayout
from doublure.trade.press.target import design_target
from doublure.workings.press_records import PressWorking

NOT_KEPT = (
    "Without printer and stock the readings are only shown: no note is written, and nothing of them comes onto "
    "these pages."
)
_NO_PRINTER, _NO_STOCK, _NO_SHEET = "PRINTER", "STOCK", "SHEET"
#: Offsets that stand for those of the maker, for as many marks.
_OFFSETS = ("+0.3 -0.2", "+0.2 -0.2", "+0.4 -0.1", "+0.3 -0.1")


@dataclass(frozen=True, slots=True)
class BacksCommands:
    """Commands as they are typed within the project.

    Attributes:
        target: Writes the target.
        read: Reads pictures; PHOTO stands for their files.
        enter: Takes readings by eye, of marks that the target has.
        fit: Says what the readings tell.
        file: Where `doublure build` puts the target; "" while the sheet of the book is open.
        stand_in: Words that stand for what is open in the notes, such as "PRINTER", and the folder of its notes.
    """

    target: str
    read: str
    enter: str
    fit: str
    file: str
    stand_in: tuple[tuple[str, str], ...]


def backs_commands(ctx: SiteContext, press: PressWorking | None) -> BacksCommands:
    """Return the commands for the book's own printer, stock and sheet."""
    replica = ctx.work.replica
    printer = press.printer.name if press is not None else ""
    stock = replica.book.stock if replica.book is not None else ""
    layout = press.plan.layout if press is not None and press.plan is not None else None
    named = (
        (printer if printer in replica.printers else _NO_PRINTER, _NO_PRINTER, "journal/printers/"),
        (stock if stock in replica.stocks else _NO_STOCK, _NO_STOCK, "journal/stocks/"),
    )
    # Double quotes, which every shell takes.
    sheet = (
        f'"{layout.sheet_width_mm:g} x {layout.sheet_height_mm:g} mm"' if layout is not None else _NO_SHEET
    )
    who = f"--printer {named[0][0]} --stock {named[1][0]} --sheet {sheet}"
    target = f"doublure backs target --sheet {sheet}"
    if press is not None and layout is not None:
        target += f' --turn "{"short" if press.printer.turns_short_edge else "long"} edge"'
    stand_in = tuple((word, folder) for one, word, folder in named if one == word)
    if layout is None:
        stand_in += ((_NO_SHEET, "press: sheet: in journal/book.yml"),)
    names = _mark_names(layout)
    marks = " ".join(f'"{name} {offset}"' for name, offset in zip(names, _OFFSETS, strict=False))
    return BacksCommands(
        target=target,
        read=f"doublure backs read {who} PHOTO",
        enter=f"doublure backs enter {who} {marks}",
        fit=f"doublure backs fit {who}",
        file=f"{print_folder(press.printer)}/target.pdf"
        if press is not None and layout is not None and names
        else "",
        stand_in=stand_in,
    )


def say_stand_in(commands: BacksCommands) -> str:
    """Return what the words in capital letters stand for, as sentences."""
    words = "PHOTO stands for your pictures, the offsets for yours."
    for name, where in commands.stand_in:
        words += f" {name} stands for one that the notes do not name yet ({where})."
    return words


def _mark_names(layout: SheetLayout | None) -> tuple[str, ...]:
    """Return the marks at the corners of the target for a sheet."""
    try:
        target = design_target(
            *((layout.sheet_width_mm, layout.sheet_height_mm) if layout else (210.0, 297.0))
        )
    except DomainError:
        return ()
    last_row, last_column = (
        max(places) for places in zip(*((m.row, m.column) for m in target.marks), strict=True)
    )
    return tuple(
        mark.name for mark in target.marks if mark.row in (0, last_row) and mark.column in (0, last_column)
    )
