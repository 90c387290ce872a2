"""A stock's own page, and the table of all stocks.

In: SiteContext, StockWorking. Out: SitePage, Table. Never: computing.
"""

from __future__ import annotations

from doublure.model.notes import StockNote
from doublure.quantities import format_grammage, format_length_mm
from doublure.render.html import Html, Link, render_answer, render_link, render_rows
from doublure.render.pictures import render_pictures
from doublure.render.plan import SitePage, page_path
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.note_parts import add_cautions, add_log, add_notes_questions
from doublure.render.site.wordings import count_words
from doublure.render.table import Cell, Column, Row, Table, render_table_html
from doublure.workings.stocks import CaliperFrom, StockWorking

METHOD = "handbook/methods/paper.md"


def stock_table(ctx: SiteContext, frame: PageFrame) -> Table:
    """Return every stock with its weight, caliper, bulk and sheet."""
    rows: list[Row] = []
    for ident, one in ctx.work.stocks.items():
        note = one.note
        bond = one.weights.in_grade("bond").pounds if one.weights is not None else None
        sheet = note.sheet
        rows.append(
            (
                Cell(ident, note.title, frame.href(page_path("stocks", ident))),
                note.kind,
                note.grammage_gsm.value if note.grammage_gsm is not None else None,
                bond,
                one.caliper.value if one.caliper is not None else None,
                one.bulk.bulk.value if one.bulk is not None else None,
                sheet.width_mm.value if sheet is not None else None,
                sheet.height_mm.value if sheet is not None else None,
                note.grain,
                "; ".join(ctx.name_of(f"inserts/{name}") for name in one.inserts)
                + ("the book" if one.in_book and not one.inserts else "; the book" if one.in_book else ""),
            )
        )
    return Table(
        name="stocks",
        caption="Every stock",
        columns=(
            Column("stock", "Stock"),
            Column("kind", "Kind"),
            Column("grammage_gsm", "Grammage", "g/m²", numeric=True, decimals=0),
            Column("bond_lb", "As bond", "lb", numeric=True, decimals=1),
            Column("caliper_mm", "Caliper", "mm", numeric=True, decimals=3),
            Column("bulk_cm3_per_g", "Bulk", "cm³/g", numeric=True, decimals=2),
            Column("sheet_width_mm", "Sheet width", "mm", numeric=True, decimals=0),
            Column("sheet_height_mm", "Sheet height", "mm", numeric=True, decimals=0),
            Column("grain", "Grain"),
            Column("used_for", "Used for"),
        ),
        rows=tuple(rows),
        method="Bulk is caliper over grammage; pounds follow from each grade’s basic size.",
        method_link=Link("Weights and bulk", frame.href(f"{METHOD}#weights")),
        narrow="scroll",
    )


def stock_page(ctx: SiteContext, one: StockWorking) -> SitePage:
    """Return the page of one stock."""
    note = one.note
    frame = PageFrame(page_path("stocks", note.id), note.title, kind="stock")
    known = [] if note.kind == "other" else [note.kind or "kind not said"]
    if note.grammage_gsm is not None:
        known.append(format_grammage(note.grammage_gsm))
    if one.caliper is not None:
        known.append(f"{format_length_mm(one.caliper)} thick")
    if note.colour:
        known.append(note.colour)
    words = ", ".join(known) or "kind not said"
    frame.add(render_answer(f"{words[0].upper()}{words[1:]}."))
    frame.add(render_pictures(ctx.pictures_of(frame, f"stocks/{note.id}")))
    add_cautions(frame, note.cautions)
    frame.body(note.body)
    frame.heading("What it is", "what")
    frame.add(render_rows(_rows(ctx, frame, one)))
    if one.weights is not None:
        frame.heading("What it weighs in pounds", "weights")
        frame.add(_weights(frame, one))
    add_notes_questions(ctx, frame, f"stocks/{note.id}")
    add_log(ctx, frame, f"stocks/{note.id}")
    frame.source(note.origin.file)
    return frame.finish()


def _rows(ctx: SiteContext, frame: PageFrame, one: StockWorking) -> list[tuple[str, str | Html]]:
    note = one.note
    caliper = ""
    if one.caliper is not None:
        how = (
            "stated"
            if one.caliper_from is CaliperFrom.STATED
            else f"from a stack of {note.stack_sheets} sheets"
        )
        caliper = f"{ctx.length(one.caliper)}, {how}"
    bulk = ""
    if one.bulk is not None:
        bulk = f"{one.bulk.bulk.value:.2f} cm³/g"
        if one.bulk.verdict.value != "usual":
            bulk += f", {one.bulk.verdict.value} for paper: measure again"
    pack = ""
    if note.pack is not None:
        if note.pack.sheets is not None:
            pack = count_words(note.pack.sheets, "sheet")
        elif note.pack.pieces is not None:
            pack = count_words(note.pack.pieces, "piece")
        elif note.pack.metres is not None:
            pack = f"{note.pack.metres:f} m"
    used = [f"inserts/{ident}" for ident in one.inserts]
    fits = [
        f"{ctx.name_of(f'inserts/{ident}')}: {fit.pieces}, {fit.waste:.0%} of the sheet in no piece"
        for ident, fit in ctx.work.bill.fits.items()
        if ident in one.inserts
    ]
    return [
        ("Kind", note.kind),
        ("Caliper", caliper),
        ("Bulk", bulk),
        ("Sheet", ctx.size(note.sheet)),
        ("Grain", f"along its {note.grain} side" if note.grain in ("long", "short") else note.grain),
        ("Colour", note.colour),
        ("Surface", note.surface),
        ("Sold in", pack),
        (
            "Price of a pack" if pack else "Price of one",
            ctx.money(note.price) if note.price is not None and ctx.shows_prices else "",
        ),
        ("On hand", _on_hand(note)),
        ("Supplier", note.supplier),
        ("A ream of 500", f"{one.ream_kg:.2f} kg" if one.ream_kg is not None else ""),
        ("Pieces from one sheet", "; ".join(fits)),
        ("Inserts on it", ctx.links(frame, used)),
        (
            "Used for",
            render_link(Link("the leaves of the book", frame.href("book/index.md"))) if one.in_book else "",
        ),
    ]


def _on_hand(note: StockNote) -> str:
    if note.on_hand is None:
        return ""
    if note.pack is not None and note.pack.metres is not None:
        return f"{note.on_hand:f} m"
    return count_words(int(note.on_hand), "piece" if note.pack is not None and note.pack.pieces else "sheet")


def _weights(frame: PageFrame, one: StockWorking) -> Html:
    assert one.weights is not None
    rows: list[Row] = []
    for weight in one.weights.pounds:
        grade = weight.grade
        rows.append((grade.name, float(grade.short_in), float(grade.long_in), grade.sheets, weight.pounds))
    table = Table(
        name=f"weights-{one.note.id}",
        caption=f"{format_grammage(one.weights.grammage)} in every pound grade",
        columns=(
            Column("grade", "Grade"),
            Column("basic_short_in", "Basic size, short", "in", numeric=True, decimals=2),
            Column("basic_long_in", "Basic size, long", "in", numeric=True, decimals=2),
            Column("sheets", "Sheets in its ream", numeric=True),
            Column("weight_lb", "Weight of its ream", "lb", numeric=True, decimals=1),
        ),
        rows=tuple(rows),
        method="Pounds a ream of the grade’s basic size.",
        method_link=Link("Weights", frame.href(f"{METHOD}#weights")),
    )
    return render_table_html(table)
