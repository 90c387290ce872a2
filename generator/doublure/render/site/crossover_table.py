"""The table of the crossovers, with how far their halves are expected to miss each other.

In: SiteContext, BookWorking, PressWorking. Out: Table. Never: predicting.
"""

from __future__ import annotations

from doublure.render.html import Link
from doublure.render.site.book_tables import CROSSOVER_WORDS, METHOD, master_cell
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.press_tables import misfit_of
from doublure.render.table import Cell, Column, Row, Table
from doublure.trade.book.gatherings import Side
from doublure.trade.press.register.records import CrossoverMisfit
from doublure.workings.book import BookWorking
from doublure.workings.press_records import PressWorking


def crossover_table(
    ctx: SiteContext, frame: PageFrame, book: BookWorking, press: PressWorking | None = None
) -> Table:
    """Return every crossover with where its halves are printed and how far they are expected to miss."""
    found = misfit_of(press)
    rows: list[Row] = []
    for one in book.crossovers:
        place = one.place
        now, before = found.get(place.left.page, (None, None))
        rows.append(
            (
                Cell(f"{min(place.left.page, place.right.page)}–{max(place.left.page, place.right.page)}"),
                master_cell(ctx, frame, one.left_master),
                master_cell(ctx, frame, one.right_master),
                Cell(place.kind.value, CROSSOVER_WORDS[place.kind.value]),
                _half(place.left.gathering, place.left.sheet, place.left.side),
                _half(place.right.gathering, place.right.sheet, place.right.side),
                *_misfit(now, place.kind.value == "one_sheet"),
                before.p95_mm if before is not None and place.kind.value != "one_sheet" else None,
            )
        )
    tolerance = ctx.work.replica.replica.tolerances.crossover_mm
    return Table(
        name="crossovers",
        caption="Artwork across the gutter",
        columns=(
            Column("pages", "Pages"),
            Column("left_master", "Left half"),
            Column("right_master", "Right half"),
            Column("printed_on", "Printed on"),
            Column("left_side", "Left printed on"),
            Column("right_side", "Right printed on"),
            Column("gap_mm", "Gap", "mm", numeric=True, decimals=2, group="Expected"),
            Column("step_mm", "Step", "mm", numeric=True, decimals=2, group="Expected"),
            Column("misfit_mm", "Misfit", "mm", numeric=True, decimals=2, group="Expected"),
            Column("p95_mm", "95 of 100 within", "mm", numeric=True, decimals=2),
            Column("failing_pct", "Fail", "%", numeric=True, decimals=1),
            Column("rests_on", "Rests on"),
            Column(
                "uncorrected_p95_mm",
                "Without the correction, 95 of 100 within",
                "mm",
                numeric=True,
                decimals=2,
            ),
        ),
        rows=tuple(rows),
        method=f"Where the halves lie follows from the folding; they should meet within {tolerance:g} mm.",
        method_link=Link("Crossovers", frame.href(f"{METHOD}#crossovers")),
        narrow="scroll",
    )


def _misfit(one: CrossoverMisfit | None, one_sheet: bool) -> tuple[float | str | None, ...]:
    if one_sheet:
        return 0.0, 0.0, 0.0, 0.0, 0.0, None
    if one is None:
        return None, None, None, None, None, None
    # Readings of the printer, not of this crossover: that nobody has seen in print.
    basis = "readings" if one.is_tried else "assumed"
    return one.mean_dx_mm, one.mean_dy_mm, one.expected_mm, one.p95_mm, 100 * one.failing_share, basis


def _half(gathering: int | None, sheet: int | None, side: Side | None) -> str:
    if gathering is None or sheet is None or side is None:
        return "leaf tipped in"
    return f"gathering {gathering}, sheet {sheet}, {side.value}"
