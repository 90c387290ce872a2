"""The inserts, their attributes and readings as tables for the data files.

In: SiteContext. Out: Table. Never: computing.
"""

from __future__ import annotations

from doublure.model.insert import NUMBER_ATTRIBUTES
from doublure.render.plan import page_path
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.wordings import CLAUSE_WORDS, place_words
from doublure.render.table import Cell, Column, Row, Table


def insert_table(ctx: SiteContext, frame: PageFrame) -> Table:
    """Return one row for each insert."""
    rows: list[Row] = []
    for one in ctx.work.inserts:
        size = one.note.size
        rows.append(
            (
                Cell(one.note.id, one.note.title, frame.href(page_path("inserts", one.note.id))),
                one.number,
                one.note.title,
                one.standing.overall.standing.value,
                one.state.value,
                size.width_mm.value if size else None,
                size.height_mm.value if size else None,
                one.note.stock,
                place_words(one.note.place),
                one.plan.to_make if one.plan is not None else None,
                one.made,
                one.spoiled,
            )
        )
    return Table(
        name="inserts",
        caption="Every insert",
        columns=(
            Column("insert", "Insert"),
            Column("number", "Number", numeric=True),
            Column("title", "Title"),
            Column("standing", "Standing"),
            Column("state", "State of work"),
            Column("width_mm", "Width", "mm", numeric=True, decimals=2),
            Column("height_mm", "Height", "mm", numeric=True, decimals=2),
            Column("stock", "Stock"),
            Column("place", "Place"),
            Column("to_make", "To make", numeric=True),
            Column("made", "Made", numeric=True),
            Column("spoiled", "Spoiled", numeric=True),
        ),
        rows=tuple(rows),
    )


def attribute_table(ctx: SiteContext) -> Table:
    """Return one row for each attribute of each insert, with its combined value in its own unit."""
    rows: list[Row] = []
    for one in ctx.work.inserts:
        for attribute in one.standing.attributes:
            combined = attribute.status.combined
            unit = ""
            if attribute.attribute in NUMBER_ATTRIBUTES:
                unit = "g/m2" if attribute.attribute == "grammage" else "mm"
            rows.append(
                (
                    one.note.id,
                    attribute.attribute,
                    attribute.required,
                    attribute.status.standing.value,
                    CLAUSE_WORDS[attribute.status.clause],
                    len(attribute.status.witnesses),
                    attribute.decided.value if attribute.decided is not None else None,
                    combined.value if combined is not None else None,
                    combined.u if combined is not None else None,
                    combined.p if combined is not None else None,
                    combined.birge_ratio if combined is not None else None,
                    unit,
                )
            )
    return Table(
        name="standing",
        caption="How well every attribute is known",
        columns=(
            Column("insert", "Insert"),
            Column("attribute", "Attribute"),
            Column("required", "Required"),
            Column("standing", "Standing"),
            Column("why", "Why"),
            Column("witnesses", "Independent witnesses", numeric=True),
            Column("decided_in_unit", "Decided", numeric=True, decimals=3),
            Column("combined_in_unit", "Combined", numeric=True, decimals=3),
            Column("standard_uncertainty_in_unit", "Standard uncertainty", numeric=True, decimals=3),
            Column("p", "p", numeric=True, decimals=5),
            Column("birge_ratio", "Birge ratio", numeric=True, decimals=3),
            Column("unit", "Unit"),
        ),
        rows=tuple(rows),
        row_heads=False,
    )


def reading_table(ctx: SiteContext) -> Table:
    """Return one row for each reading."""
    stems = ctx.stem_of
    rows: list[Row] = []
    for one in ctx.work.inserts:
        for reading in one.note.readings:
            unit = ""
            if reading.number is not None:
                unit = "g/m2" if reading.attribute == "grammage" else "mm"
            rows.append(
                (
                    one.note.id,
                    reading.attribute,
                    reading.source,
                    stems.get(reading.source, ""),
                    reading.number.value if reading.number is not None else None,
                    reading.number.u if reading.number is not None else None,
                    unit,
                    reading.words,
                    reading.stated,
                )
            )
    return Table(
        name="readings",
        caption="Every reading",
        columns=(
            Column("insert", "Insert"),
            Column("attribute", "Attribute"),
            Column("evidence", "Evidence"),
            Column("stem", "Stem"),
            Column("value_in_unit", "Value", numeric=True, decimals=3),
            Column("standard_uncertainty_in_unit", "Standard uncertainty", numeric=True, decimals=3),
            Column("unit", "Unit"),
            Column("words", "Words"),
            Column("stated", "Stated by the source"),
        ),
        rows=tuple(rows),
        row_heads=False,
    )
