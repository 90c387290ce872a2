"""One table, three ways: HTML for the page, CSV and JSON for site/data.

In: columns and rows of finished values. Out: Html, CSV text, JSON text; the same numbers in each, rounded
once, by the column. Never: computing, sorting, adding up.
"""

from __future__ import annotations

import csv
import io
import json
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal, localcontext
from itertools import groupby
from typing import Literal

from doublure.render.html import Html, Link, Shown, escape_href, escape_text, render_link, slug

#: What a cell may hold. A tuple is a list of words or numbers; None is "not known" or "does not apply".
Value = str | int | float | Decimal | bool | None | tuple[str | int, ...]

_KEY = re.compile(r"[a-z][a-z0-9]*(?:_[a-z0-9]+)*")
#: Units whose name in a column key cannot be read off the sign.
_UNIT_NAMES = {"g/m²": "gsm", "°": "deg", "%": "pct", "µm": "um", "″": "in"}
_NOT_KNOWN = "–"
_NARROW_SPACE = "\u202f"
_MINUS = "\u2212"


def unit_suffix(unit: str) -> str:
    """Return how a unit is written at the end of a column key.

    Examples:
        >>> unit_suffix("g/m²"), unit_suffix("cm³/g"), unit_suffix("mm")
        ('gsm', 'cm3_per_g', 'mm')
    """
    if unit in _UNIT_NAMES:
        return _UNIT_NAMES[unit]
    plain = unit.replace("²", "2").replace("³", "3").replace("µ", "u").replace("/", " per ").lower()
    return re.sub(r"[^a-z0-9]+", "_", plain).strip("_")


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Attributes:
        key: Its name in CSV and JSON; ends in the unit where there is one, such as "width_mm".
        title: Its name on the page, without the unit.
        unit: The unit as it stands in the head.
        numeric: Holds numbers only; right-aligned.
        decimals: Places after the point for numbers, 0 to 9.
        align: "start", "end" or "centre"; "" for the usual side.
        group: Name over several neighbouring columns, such as "Front".
    """

    key: str
    title: str
    unit: str = ""
    numeric: bool = False
    decimals: int = 0
    align: Literal["", "start", "end", "centre"] = ""
    group: str = ""

    def __post_init__(self) -> None:
        """Refuse a key that says nothing of the unit.

        Raises:
            ValueError: The key is no plain name, lacks the unit, or the decimals make no sense.
        """
        if not _KEY.fullmatch(self.key):
            raise ValueError(f"column key {self.key!r} must be lower-case words joined by underscores")
        if self.unit and not f"_{self.key}".endswith("_" + unit_suffix(self.unit)):
            raise ValueError(f"column key {self.key!r} must end in _{unit_suffix(self.unit)}, its unit")
        if not 0 <= self.decimals <= 9:
            raise ValueError(f"column {self.key!r}: decimals must be 0 to 9, not {self.decimals}")


@dataclass(frozen=True, slots=True)
class Cell:
    """A value that is shown otherwise than it is stored.

    Attributes:
        value: What CSV and JSON hold.
        shown: What the page shows, such as a standing with its line.
        href: Where it leads.
    """

    value: Value
    shown: Shown = ""
    href: str = ""


Row = tuple[Value | Cell, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table.

    Attributes:
        name: Name of its data files, such as "bill".
        caption: What it shows.
        columns: At least one; keys differ.
        rows: Cells in the order of the columns.
        foot: Rows below the line, such as a total; on the page only, so that data can be added up.
        row_ids: Anchor of each row; empty for none at all.
        method: The sentence that names the formula.
        method_link: The page of the handbook that gives it.
        row_heads: True where the first column names the row.
        grouped_by: Key of the column whose changes part the rows into groups; "" for none.
        narrow: On a phone "cards" (each row a card) or "scroll" (the first column stays in sight).
    """

    name: str
    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    foot: tuple[Row, ...] = ()
    row_ids: tuple[str, ...] = ()
    method: Shown = ""
    method_link: Link | None = None
    row_heads: bool = True
    grouped_by: str = ""
    narrow: Literal["cards", "scroll"] = "cards"

    def __post_init__(self) -> None:
        """Check that rows and columns fit.

        Raises:
            ValueError: No columns, a key twice, a row too long or too short, ids that do not match the rows,
                or a cell that its column cannot hold.
        """
        keys = [column.key for column in self.columns]
        if not keys:
            raise ValueError(f"table {self.name!r} has no columns")
        if len(set(keys)) != len(keys):
            raise ValueError(f"table {self.name!r} uses a column key twice")
        if self.grouped_by and self.grouped_by not in keys:
            raise ValueError(f"table {self.name!r} has no column {self.grouped_by!r} to group by")
        if self.row_ids and len(self.row_ids) != len(self.rows):
            raise ValueError(f"table {self.name!r} has {len(self.rows)} rows and {len(self.row_ids)} ids")
        for number, row in enumerate(self.rows + self.foot, 1):
            if len(row) != len(keys):
                raise ValueError(
                    f"table {self.name!r}, row {number}: {len(row)} cells for {len(keys)} columns"
                )
        for row in self.rows:
            for column, cell in zip(self.columns, row, strict=True):
                _check_cell(self.name, column, _value(cell))


def format_number(value: int | float | Decimal, decimals: int) -> str:
    """Return a number with a fixed count of decimals, rounded half to even; never "-0".

    A float is rounded as the shortest decimal that denotes it, so that 0.125 to two places is 0.12 and 2.675
    is 2.68: the way it is read, not the way it is stored.

    Raises:
        ValueError: The number is not finite.

    Examples:
        >>> format_number(12, 2), format_number(2.675, 2), format_number(-0.004, 2)
        ('12.00', '2.68', '0.00')
    """
    exact = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
    if not exact.is_finite():
        raise ValueError(f"a table cannot hold {value}")
    with localcontext() as context:
        context.prec = max(28, exact.adjusted() + decimals + 3)
        rounded = exact.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_EVEN)
    return f"{rounded.copy_abs() if rounded.is_zero() else rounded:f}"


def render_table_csv(table: Table) -> str:
    """Return the rows as CSV (RFC 4180 quoting, lines end in a bare line feed), keys in the first line."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([column.key for column in table.columns])
    for row in table.rows:
        writer.writerow([_csv_value(c, _value(cell)) for c, cell in zip(table.columns, row, strict=True)])
    return out.getvalue()


def render_table_json(table: Table) -> str:
    """Return the table as JSON: what it is, its columns, and one object a row, one row a line."""
    columns = [
        json.dumps({"key": c.key, "title": c.title, "unit": c.unit}, ensure_ascii=False)
        for c in table.columns
    ]
    rows = [
        "{"
        + ", ".join(
            f"{json.dumps(c.key)}: {_json_value(c, _value(cell))}"
            for c, cell in zip(table.columns, row, strict=True)
        )
        + "}"
        for row in table.rows
    ]
    return (
        "{\n"
        f'  "name": {json.dumps(table.name, ensure_ascii=False)},\n'
        f'  "caption": {json.dumps(table.caption, ensure_ascii=False)},\n'
        f'  "columns": {_lines(columns)},\n'
        f'  "rows": {_lines(rows)}\n'
        "}\n"
    )


def render_table_html(table: Table, *, csv_href: str = "", json_href: str = "", wide: bool = False) -> Html:
    """Return the table for a page, with its method and its data below it.

    Args:
        table: The table.
        csv_href: Address of its CSV; "" leaves the link out.
        json_href: Address of its JSON; likewise.
        wide: Take the full width of the sheet.
    """
    scroll = table.narrow == "scroll"
    # Cards break rows out of the table's layout; without the roles some browsers forget what they are.
    roles = not scroll
    head = _head(table, roles)
    body = _body(table, roles)
    group = ' role="rowgroup"' if roles else ""
    foot = ""
    if table.foot:
        foot = (
            f"<tfoot{group}>{''.join(_row(table, row, '', roles, foot=True) for row in table.foot)}</tfoot>"
        )
    role = " role=table" if roles else ""
    caption = escape_text(table.caption)
    inner = (
        f'<table class="db-table db-table--{table.narrow}"{role}><caption>{caption}</caption>'
        f"{head}{body}{foot}</table>"
    )
    window = f' tabindex="0" role="region" aria-label="{caption}"' if scroll else ""
    block = "db-table-block db-wide" if wide else "db-table-block"
    below = _below(table, csv_href, json_href)
    return Html(f'<div class="{block}"><div class="db-table-window"{window}>{inner}</div>{below}</div>')


def _head(table: Table, roles: bool) -> str:
    row_role = ' role="row"' if roles else ""
    cell_role = ' role="columnheader"' if roles else ""
    group_role = ' role="rowgroup"' if roles else ""
    grouped = any(column.group for column in table.columns)
    first, second = "", ""
    for name, members in groupby(table.columns, key=lambda column: column.group):
        columns = list(members)
        if name:
            first += f'<th scope="colgroup"{cell_role} colspan="{len(columns)}">{escape_text(name)}</th>'
        for column in columns:
            unit = f' <span class="db-unit">{escape_text(column.unit)}</span>' if column.unit else ""
            span = ' rowspan="2"' if grouped and not name else ""
            cell = f'<th scope="col"{cell_role}{span}{_side(column)}>{escape_text(column.title)}{unit}</th>'
            if grouped and name:
                second += cell
            else:
                first += cell
    below = f"<tr{row_role}>{second}</tr>" if second else ""
    return f"<thead{group_role}><tr{row_role}>{first}</tr>{below}</thead>"


def _body(table: Table, roles: bool) -> str:
    ids = table.row_ids or ("",) * len(table.rows)
    at = [column.key for column in table.columns].index(table.grouped_by) if table.grouped_by else None
    group = ' role="rowgroup"' if roles else ""
    parts = []
    for _, members in groupby(
        zip(table.rows, ids, strict=True), key=lambda pair: None if at is None else _value(pair[0][at])
    ):
        rows = "".join(_row(table, row, ident, roles) for row, ident in members)
        parts.append(f"<tbody{group}>{rows}</tbody>")
    return "".join(parts)


def _row(table: Table, row: Row, ident: str, roles: bool, foot: bool = False) -> str:
    cells = []
    for number, (column, cell) in enumerate(zip(table.columns, row, strict=True)):
        shown = _show(column, cell) if not foot or _value(cell) is not None else Html("")
        if number == 0 and table.row_heads:
            role = ' role="rowheader"' if roles else ""
            cells.append(f'<th scope="row"{role}{_side(column)}>{shown}</th>')
            continue
        label = f"{column.group}, {column.title.lower()}" if column.group else column.title
        if column.unit:
            label += f" ({column.unit})"
        role = f' role="cell" data-label="{escape_text(label)}"' if roles else ""
        cells.append(f"<td{role}{_side(column)}>{shown}</td>")
    anchor = f' id="{slug(ident)}"' if ident else ""
    return f"<tr{anchor}{' role=row' if roles else ''}>{' '.join(cells)}</tr>"


def _side(column: Column) -> str:
    names = ["db-num"] if column.numeric else []
    if column.align:
        names.append(f"db-{column.align}")
    return f' class="{" ".join(names)}"' if names else ""


def _show(column: Column, cell: Value | Cell) -> Html:
    value = _value(cell)
    shown = escape_text(cell.shown) if isinstance(cell, Cell) and cell.shown else Html("")
    if not shown:
        shown = escape_text(_plain(column, value))
    if isinstance(cell, Cell) and cell.href:
        return render_link(Link(shown, cell.href))
    return shown


def _plain(column: Column, value: Value) -> str:
    if value is None or value == "" or value == ():
        return _NOT_KNOWN
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    if isinstance(value, tuple):
        return ", ".join(str(item) for item in value)
    return _grouped(format_number(value, column.decimals))


def _grouped(number: str) -> str:
    whole, point, places = number.removeprefix("-").partition(".")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", _NARROW_SPACE)
    return (_MINUS if number.startswith("-") else "") + whole + point + places


def _below(table: Table, csv_href: str, json_href: str) -> str:
    parts = []
    if table.method:
        parts.append(f'<span class="db-table__method">{escape_text(table.method)}</span>')
    if table.method_link is not None:
        parts.append(str(render_link(table.method_link)))
    data = [
        f'<a href="{escape_href(href)}" download aria-label="{kind}: {escape_text(table.caption)}">{kind}</a>'
        for href, kind in ((csv_href, "CSV"), (json_href, "JSON"))
        if href
    ]
    if data:
        parts.append(f'<span class="db-table__data db-noprint">Data: {", ".join(data)}</span>')
    return f'<p class="db-table__below">{" ".join(parts)}</p>' if parts else ""


def _value(cell: Value | Cell) -> Value:
    return cell.value if isinstance(cell, Cell) else cell


def _check_cell(name: str, column: Column, value: Value) -> None:
    if value is None:
        return
    number = isinstance(value, int | float | Decimal) and not isinstance(value, bool)
    if column.numeric and not number:
        raise ValueError(f"table {name!r}: column {column.key!r} holds numbers, not {value!r}")
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError(f"table {name!r}: column {column.key!r} cannot hold {value}")


def _csv_value(column: Column, value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return value
    if isinstance(value, tuple):
        return "; ".join(str(item) for item in value)
    return format_number(value, column.decimals)


def _json_value(column: Column, value: Value) -> str:
    if value is None or isinstance(value, bool | str | tuple):
        return json.dumps(value, ensure_ascii=False)
    return format_number(value, column.decimals)


def _lines(items: Sequence[str]) -> str:
    if not items:
        return "[]"
    return "[\n    " + ",\n    ".join(items) + "\n  ]"
