"""One table, three ways: the same numbers in HTML, CSV and JSON."""

from __future__ import annotations

import csv
import doctest
import io
import json
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st

from doublure.render import table as module
from doublure.render.html import Html, Link
from doublure.render.table import (
    Cell,
    Column,
    Table,
    format_number,
    render_table_csv,
    render_table_html,
    render_table_json,
    unit_suffix,
)

COLUMNS = (
    Column("stock", "Stock"),
    Column("width_mm", "Width", "mm", numeric=True, decimals=1),
    Column("grammage_gsm", "Grammage", "g/m²", numeric=True),
    Column("cost_marks", "Cost", "marks", numeric=True, decimals=2),
    Column("used", "Used"),
)
ROWS = (
    (Cell("buff-card", "Buff card", "stocks/buff.html"), 63.04, 240, Decimal("12.5"), True),
    ('Laid, "old"', None, 90, Decimal("12345.678"), ("a", 3)),
    ("Two\nlines & <b>", -0.01, 0, Decimal("-3"), None),
)
TABLE = Table(
    "bill",
    "What <to> buy",
    COLUMNS,
    ROWS,
    foot=((Cell("Total"), None, None, Decimal("12355.18"), None),),
    row_ids=("buff", "laid", "two"),
    method="Rounded up.",
    method_link=Link("The method", "handbook/bill.html"),
)


def parsed(table: Table) -> Any:
    """Return the HTML of a table, read by a parser that is not ours."""
    return BeautifulSoup(render_table_html(table), "html.parser")


def test_examples_in_docstrings() -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0


def test_csv_is_stable_and_reads_back() -> None:
    text = render_table_csv(TABLE)
    assert text == (
        "stock,width_mm,grammage_gsm,cost_marks,used\n"
        "buff-card,63.0,240,12.50,true\n"
        '"Laid, ""old""",,90,12345.68,a; 3\n'
        '"Two\nlines & <b>",0.0,0,-3.00,\n'
    )
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert rows[2] == ['Laid, "old"', "", "90", "12345.68", "a; 3"]


def test_json_is_stable_and_reads_back() -> None:
    text = render_table_json(TABLE)
    data = json.loads(text)
    assert data["name"] == "bill"
    assert data["columns"][2] == {"key": "grammage_gsm", "title": "Grammage", "unit": "g/m²"}
    assert data["rows"][0] == {
        "stock": "buff-card", "width_mm": 63.0, "grammage_gsm": 240, "cost_marks": 12.5, "used": True,
    }  # fmt: skip
    assert data["rows"][1]["used"] == ["a", 3]
    assert data["rows"][2]["width_mm"] == 0
    assert '"cost_marks": 12.50,' in text
    assert text.count("\n") == 4 + 2 + len(COLUMNS) + 1 + len(ROWS) + 1
    assert render_table_json(Table("none", "None", COLUMNS, ())).endswith('"rows": []\n}\n')


def test_csv_and_json_hold_the_same_numbers() -> None:
    from_csv = list(csv.DictReader(io.StringIO(render_table_csv(TABLE), newline="")))
    from_json = json.loads(render_table_json(TABLE), parse_float=Decimal)["rows"]
    for one, other in zip(from_csv, from_json, strict=True):
        for column in COLUMNS:
            if column.numeric and other[column.key] is not None:
                assert Decimal(one[column.key]) == Decimal(other[column.key])


@given(
    st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**12), max_value=10**12, places=6),
    st.integers(0, 5),
)
def test_rounding_is_half_to_even(value: Decimal, decimals: int) -> None:
    # Python's own exact rational rounding is the judge.
    expected = round(Fraction(value), decimals)
    assert Fraction(format_number(value, decimals)) == expected


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e15, max_value=1e15), st.integers(0, 9))
def test_a_float_is_rounded_as_it_is_written(value: float, decimals: int) -> None:
    shown = format_number(value, decimals)
    assert Fraction(shown) == round(Fraction(repr(value)), decimals)
    assert not (Fraction(shown) == 0 and shown.startswith("-"))
    assert len(shown.partition(".")[2]) == decimals


@given(st.integers(-(10**30), 10**30))
def test_long_integers_keep_every_digit(value: int) -> None:
    assert format_number(value, 0) == str(value)


def test_html_names_its_parts() -> None:
    soup = parsed(TABLE)
    assert soup.table.caption.string == "What <to> buy"
    assert [head.get_text() for head in soup.thead.find_all("th")][1] == "Width mm"
    assert all(head["scope"] == "col" for head in soup.thead.find_all("th"))
    first = soup.tbody.tr
    assert first["id"] == "buff"
    assert first.th["scope"] == "row"
    assert first.th.a["href"] == "stocks/buff.html"
    assert [cell.get_text() for cell in first.find_all("td")] == ["63.0", "240", "12.50", "yes"]
    assert [cell["data-label"] for cell in first.find_all("td")][0] == "Width (mm)"
    assert "db-num" in first.find_all("td")[0]["class"]
    assert "class" not in first.find_all("td")[3].attrs


def test_html_shows_what_is_not_known_and_groups_digits() -> None:
    rows = parsed(TABLE).tbody.find_all("tr")
    assert [cell.get_text() for cell in rows[1].find_all("td")] == ["–", "90", "12\u202f345.68", "a, 3"]
    assert [cell.get_text() for cell in rows[2].find_all("td")] == ["0.0", "0", "\u22123.00", "–"]
    assert rows[2].th.get_text() == "Two lines & <b>"


def test_foot_stays_on_the_page() -> None:
    foot = parsed(TABLE).tfoot
    assert [cell.get_text() for cell in foot.find_all(["th", "td"])] == [
        "Total",
        "",
        "",
        "12\u202f355.18",
        "",
    ]
    assert "12355.18" not in render_table_csv(TABLE) + render_table_json(TABLE)


def test_data_and_method_stand_below() -> None:
    html = render_table_html(TABLE, csv_href="data/bill.csv", json_href="data/bill.json")
    for part in (
        'href="data/bill.csv" download',
        'href="data/bill.json"',
        "Rounded up.",
        "handbook/bill.html",
    ):
        assert part in html
    assert "Data:" not in render_table_html(TABLE)


def test_neighbours_share_a_head() -> None:
    sides = [
        (f"{side.lower()}_{hand.lower()}", side, hand)
        for side in ("Front", "Back")
        for hand in ("Left", "Right")
    ]
    table = Table(
        "imposition",
        "Sheets",
        (
            Column("gathering", "Gathering", numeric=True),
            *(Column(key, hand, numeric=True, group=side) for key, side, hand in sides),
        ),
        ((1, 12, 1, 2, 11), (1, 10, 3, 4, 9), (2, 24, 13, 14, 23)),
        grouped_by="gathering",
        narrow="scroll",
    )
    soup = parsed(table)
    first, second = soup.thead.find_all("tr")
    assert [(h.get_text(), h.get("colspan"), h.get("rowspan")) for h in first.find_all("th")] == [
        ("Gathering", None, "2"), ("Front", "2", None), ("Back", "2", None),
    ]  # fmt: skip
    assert [h.get_text() for h in second.find_all("th")] == ["Left", "Right", "Left", "Right"]
    assert [len(body.find_all("tr")) for body in soup.find_all("tbody")] == [2, 1]
    window = soup.find("div", class_="db-table-window")
    assert (window["tabindex"], window["aria-label"]) == ("0", "Sheets")
    assert soup.find(attrs={"role": "cell"}) is None


def test_cards_keep_their_roles() -> None:
    # Without them, some browsers no longer tell a screen reader of a table whose rows are laid out as cards.
    soup = parsed(TABLE)
    assert soup.table["role"] == "table"
    assert {part["role"] for part in soup.find_all(["tbody", "thead", "tfoot"])} == {"rowgroup"}
    assert {part["role"] for part in soup.find_all("tr")} == {"row"}
    assert {part["role"] for part in soup.tbody.find_all("th")} == {"rowheader"}


def test_shown_html_does_not_reach_the_data() -> None:
    table = Table("t", "T", (Column("standing", "Standing"),), ((Cell("thin", Html("<b>thin</b>")),),))
    assert "<b>thin</b>" in render_table_html(table)
    assert render_table_csv(table) == "standing\nthin\n"


@pytest.mark.parametrize(
    ("unit", "suffix"),
    [
        ("mm", "mm"),
        ("g/m²", "gsm"),
        ("m²", "m2"),
        ("cm³/g", "cm3_per_g"),
        ("%", "pct"),
        ("µm", "um"),
        ("°", "deg"),
    ],
)
def test_units_in_keys(unit: str, suffix: str) -> None:
    assert unit_suffix(unit) == suffix
    Column(f"x_{suffix}", "X", unit)
    Column(suffix, "X", unit)


@pytest.mark.parametrize(
    "arguments",
    [
        {"key": "width", "title": "Width", "unit": "mm"},
        {"key": "widthmm", "title": "Width", "unit": "mm"},
        {"key": "Width_mm", "title": "Width"},
        {"key": "", "title": "Width"},
        {"key": "w", "title": "Width", "decimals": 10},
    ],
)
def test_columns_that_make_no_sense_are_refused(arguments: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="column"):
        Column(**arguments)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"columns": ()}, "no columns"),
        ({"columns": (COLUMNS[0], COLUMNS[0])}, "twice"),
        ({"rows": (("a",),)}, "1 cells for 5"),
        ({"row_ids": ("a",)}, "1 ids"),
        ({"grouped_by": "nothing"}, "to group by"),
        ({"rows": (("a", "b", 1, 1, 1),)}, "holds numbers"),
        ({"rows": (("a", True, 1, 1, 1),)}, "holds numbers"),
        ({"rows": (("a", float("nan"), 1, 1, 1),)}, "cannot hold"),
    ],
)
def test_tables_that_do_not_fit_are_refused(changes: dict[str, object], words: str) -> None:
    given_: dict[str, object] = {"name": "t", "caption": "T", "columns": COLUMNS, "rows": ()}
    with pytest.raises(ValueError, match=words):
        Table(**(given_ | changes))  # type: ignore[arg-type]


def test_infinite_decimals_are_refused() -> None:
    with pytest.raises(ValueError, match="cannot hold"):
        format_number(Decimal("Infinity"), 2)


def test_a_table_is_one_line_and_so_one_block_of_markdown() -> None:
    assert "\n" not in render_table_html(TABLE)
