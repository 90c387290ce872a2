"""The computed tables of the book, for pages and for data files alike.

In: SiteContext, BookWorking. Out: Table. Never: computing.
"""

from __future__ import annotations

from doublure.quantities import format_length_mm
from doublure.render.html import Link
from doublure.render.plan import page_path
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.table import Cell, Column, Table
from doublure.trade.book.gatherings import Side
from doublure.trade.book.plates import Plate
from doublure.workings.book import BookWorking

METHOD = "handbook/methods/book.md"

CROSSOVER_WORDS = {
    "one_sheet": "one side of one sheet",
    "two_sheets": "two sheets of one gathering",
    "two_gatherings": "two gatherings",
    "one_tipped": "a folded sheet and a leaf tipped in",
    "both_tipped": "two leaves tipped in",
}


def master_cell(ctx: SiteContext, frame: PageFrame, ident: str | None) -> Cell:
    if not ident:
        return Cell("", "blank")
    return Cell(ident, ctx.name_of(f"masters/{ident}"), frame.href(page_path("masters", ident)))


def page_table(ctx: SiteContext, frame: PageFrame, book: BookWorking) -> Table:
    """Return the page map: every page with its leaf, sheet and master."""
    inserts: dict[int, list[str]] = {}
    for one in ctx.work.inserts:
        place = one.note.place
        if place is not None:
            for number in place.between or (() if place.on is None else (place.on,)):
                inserts.setdefault(number, []).append(one.note.title)
    rows = []
    for entry, page in zip(book.entries, book.page_map.pages, strict=True):
        rows.append(
            (
                page.page,
                "recto" if page.is_recto else "verso",
                page.half.value,
                page.leaf,
                page.gathering,
                page.sheet,
                "tipped in" if page.side is None else page.side.value,
                master_cell(ctx, frame, entry.master),
                "; ".join(inserts.get(page.page, ())),
            )
        )
    return Table(
        name="page_map",
        caption="Every page, where it lies, and what it carries",
        columns=(
            Column("page", "Page", numeric=True),
            Column("leaf_side", "Recto or verso"),
            Column("half", "Half"),
            Column("leaf", "Leaf", numeric=True),
            Column("gathering", "Gathering", numeric=True),
            Column("sheet", "Sheet", numeric=True),
            Column("side", "Side"),
            Column("master", "Master"),
            Column("inserts", "Inserts here"),
        ),
        rows=tuple(rows),
        row_ids=tuple(f"page-{entry.page}" for entry in book.entries),
        method="Pages follow from the sequence and the folding.",
        method_link=Link("Folding and gatherings", frame.href(f"{METHOD}#gatherings")),
        narrow="scroll",
    )


def imposition_table(ctx: SiteContext, frame: PageFrame, book: BookWorking) -> Table:
    """Return the imposition table: each sheet with the pages and masters of its two sides."""
    masters = {entry.page: entry.master for entry in book.entries}
    rows = []
    sheets = book.imposition.sheets if book.imposition is not None else ()
    for sheet in sheets:
        cells: list[object] = []
        for side in (Side.FRONT, Side.BACK):
            pages = sheet.side(side)
            for page in pages:
                cells.extend((page, master_cell(ctx, frame, masters.get(page or 0, ""))))
        rows.append((Cell(f"{sheet.gathering}.{sheet.sheet}"), sheet.gathering, sheet.sheet, *cells))
    columns = [
        Column("sheet_name", "Sheet"),
        Column("gathering", "Gathering", numeric=True),
        Column("sheet", "Sheet in it", numeric=True),
    ]
    for name in ("front", "back"):
        for half in ("left", "right"):
            group = name.capitalize()
            columns.append(
                Column(f"{name}_{half}_page", f"{half.capitalize()} page", numeric=True, group=group)
            )
            columns.append(Column(f"{name}_{half}_master", "Master", group=group))
    return Table(
        name="imposition",
        caption="Each folded sheet, flat: sheet 1 is the outermost, the front is the side that lies outermost",
        columns=tuple(columns),
        rows=tuple(rows),  # type: ignore[arg-type]
        method="In a gathering of n pages, two pages side by side add up to n + 1.",
        method_link=Link("Imposition", frame.href(f"{METHOD}#imposition")),
        narrow="scroll",
    )


def plate_words(ctx: SiteContext, plate: Plate) -> str:
    """Return a plate in words: its two masters and its creep step."""
    halves = [ctx.name_of(f"masters/{half}") if half else "blank" for half in (plate.left, plate.right)]
    return f"{halves[0]} | {halves[1]}" + (f", step {plate.creep_step}" if plate.creep_step else "")


def plate_table(ctx: SiteContext, frame: PageFrame, book: BookWorking) -> Table:
    """Return the distinct plates with how often each prints, and every place that it serves."""
    uses = book.plates.plates if book.plates is not None else ()
    edition = ctx.work.replica.replica.edition
    rows = []
    for number, use in enumerate(uses, 1):
        places = ", ".join(f"{place.gathering}.{place.sheet} {place.side.value}" for place in use.places)
        rows.append(
            (
                Cell("blank" if use.plate.is_blank else f"plate-{number}", f"{number}"),
                master_cell(ctx, frame, use.plate.left),
                master_cell(ctx, frame, use.plate.right),
                use.plate.creep_step,
                use.prints,
                use.prints * edition if edition is not None else None,
                places,
            )
        )
    return Table(
        name="plates",
        caption="The distinct plates, and where each is printed (gathering.sheet side)",
        columns=(
            Column("plate", "Plate"),
            Column("left_master", "Left"),
            Column("right_master", "Right"),
            Column("creep_step", "Creep step", numeric=True),
            Column("prints_per_copy", "Prints, one copy", numeric=True),
            Column("prints_in_edition", "Prints, edition", numeric=True),
            Column("places", "Places"),
        ),
        rows=tuple(rows),
        method="A plate is one side of one sheet: two masters and a creep step.",
        method_link=Link("Plates and stacks", frame.href(f"{METHOD}#plates")),
        narrow="scroll",
    )


def creep_table(book: BookWorking, size: int) -> Table:
    """Return the push-out of each sheet of a gathering of so many sheets, by the chosen rule and by both bounds."""
    creep = book.creep
    assert creep is not None
    rows = []
    trimmed = creep.trimmed.get(size, ())
    for index, sheet in enumerate(creep.gatherings[size].sheets):
        rows.append(
            (
                sheet.sheet,
                f"{sheet.sheet} and {2 * size - sheet.sheet + 1}",
                sheet.push_out_mm.value,
                creep.flat[size].sheets[index].push_out_mm.value,
                creep.rounded[size].sheets[index].push_out_mm.value,
                trimmed[index].width_mm.value if trimmed else None,
            )
        )
    return Table(
        name=f"creep_{size}",
        caption=f"A gathering of {size} sheets: how far each stands out beyond the outermost",
        columns=(
            Column("sheet", "Sheet", numeric=True),
            Column("leaves", "Leaves of the gathering"),
            Column("push_out_mm", "By the rule chosen", "mm", numeric=True, decimals=3),
            Column("one_caliper_mm", "One caliper a sheet", "mm", numeric=True, decimals=3),
            Column("rounded_fold_mm", "Rounded fold", "mm", numeric=True, decimals=3),
            Column("trimmed_width_mm", "Leaf after trimming", "mm", numeric=True, decimals=2),
        ),
        rows=tuple(rows),
        narrow="scroll",
    )


def thickness_inputs(ctx: SiteContext, book: BookWorking) -> list[tuple[str, str]]:
    """Return the layers at the thickest place, and the sums at three places."""
    assert book.thickness is not None
    rows = [
        ("Leaves alone", format_length_mm(book.thickness.leaves.thickness_mm)),
        ("At the spine", format_length_mm(book.thickness.spine.thickness.thickness_mm)),
        ("At its thickest", format_length_mm(book.thickness.thickest.thickness.thickness_mm)),
    ]
    for stock, layers in book.thickness.thickest.thickness.layers:
        caliper = ctx.work.stocks[stock].caliper if stock in ctx.work.stocks else None
        shown = f"{layers} × {format_length_mm(caliper)}" if caliper is not None else str(layers)
        rows.append((ctx.name_of(f"stocks/{stock}"), shown))
    if book.centred:
        names = ", ".join(ctx.name_of(f"inserts/{ident}") for ident in book.centred)
        rows.append(("Place on the page not said, taken from how it is held or as centred", names))
    return rows
