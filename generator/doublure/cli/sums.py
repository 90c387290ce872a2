"""Quick sums that need no project: lay, weigh.

In: arguments. Out: printed tables or JSON. Never: computing.
"""

from __future__ import annotations

import click

from doublure import errands
from doublure.cli.app import DONE
from doublure.cli.printing import count_things, print_json, print_table


@click.command()
@click.option("--pages", required=True, type=int, help="Pages of the book.")
@click.option("--sheets", required=True, type=int, help="Sheets in a full gathering.")
@click.option("--rtl", is_flag=True, help="For a book that is read from right to left.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def lay(pages: int, sheets: int, rtl: bool, as_json: bool) -> int:
    """Say which pages lie side by side on each sheet.

    Sheet 1 is the outermost of its gathering, the front is outside when it is folded. A short last gathering
    is used; blanks at the end only fill its last sheet.
    """
    laid = errands.lay_pages(pages, sheets, rtl)
    if as_json:
        print_json(laid.as_record())
        return DONE
    gatherings = len(laid.sheets_in_gatherings)
    click.echo(
        f"{count_things(laid.pages, 'page')}, {count_things(laid.blanks, 'blank')}, "
        f"{count_things(len(laid.sheets), 'sheet')} in {count_things(gatherings, 'gathering')}"
    )
    rows = [
        (str(sheet.gathering), str(sheet.sheet), side, str(left or "blank"), str(right or "blank"))
        for sheet in laid.sheets
        for side, (left, right) in (("front", sheet.front), ("back", sheet.back))
    ]
    print_table(("gathering", "sheet", "side", "left", "right"), rows, (True, True, False, True, True))
    return DONE


@click.command()
@click.argument("weight")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def weigh(weight: str, as_json: bool) -> int:
    """Say what a paper weighs, in g/m² and pounds.

    WEIGHT is such as "20 lb bond" or "75 g/m2"; every pound grade is given.
    """
    weights = errands.weigh_paper(weight)
    gsm = weights.grammage.value
    if as_json:
        grades = [
            {
                "grade": pound.grade.name,
                "also": pound.grade.others,
                "basic_size_in": [float(pound.grade.short_in), float(pound.grade.long_in)],
                "ream_sheets": pound.grade.sheets,
                "weight_lb": round(pound.pounds, 4),
            }
            for pound in weights.pounds
        ]
        by_name = {
            name: round(pound.pounds, 4)
            for pound in weights.pounds
            for name in (pound.grade.name, *pound.grade.others)
        }
        print_json({"given": weight, "grammage_gsm": round(gsm, 4), "pounds_lb": by_name, "grades": grades})
        return DONE
    click.echo(f"{gsm:.1f} g/m²")
    rows = [
        (
            f"{pound.pounds:.1f}",
            pound.grade.name,
            f"{float(pound.grade.short_in):g} x {float(pound.grade.long_in):g} in",
            str(pound.grade.sheets),
        )
        for pound in weights.pounds
    ]
    print_table(("lb", "grade", "basic size", "sheets"), rows, (True, False, False, True))
    return DONE
