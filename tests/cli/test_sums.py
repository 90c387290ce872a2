"""lay and weigh: JSON as agreed, tables that say the same, plain words for wrong input."""

from __future__ import annotations

import json

import pytest

from doublure.cli import run

Capture = pytest.CaptureFixture[str]


def read_json(arguments: list[str], capsys: Capture) -> object:
    assert run([*arguments, "--json"]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    return json.loads(printed.out)


def test_a_gathering_of_twelve(capsys: Capture) -> None:
    assert read_json(["lay", "--pages", "12", "--sheets", "3"], capsys) == {
        "pages": 12,
        "blanks": 0,
        "sheets": [
            {"gathering": 1, "sheet": 1, "front": [12, 1], "back": [2, 11]},
            {"gathering": 1, "sheet": 2, "front": [10, 3], "back": [4, 9]},
            {"gathering": 1, "sheet": 3, "front": [8, 5], "back": [6, 7]},
        ],
    }


def test_blanks_and_a_short_last_gathering(capsys: Capture) -> None:
    laid = read_json(["lay", "--pages", "9", "--sheets", "2"], capsys)
    assert laid == {
        "pages": 9,
        "blanks": 3,
        "sheets": [
            {"gathering": 1, "sheet": 1, "front": [8, 1], "back": [2, 7]},
            {"gathering": 1, "sheet": 2, "front": [6, 3], "back": [4, 5]},
            {"gathering": 2, "sheet": 1, "front": [None, 9], "back": [None, None]},
        ],
    }


def test_right_to_left(capsys: Capture) -> None:
    laid = read_json(["lay", "--pages", "4", "--sheets", "1", "--rtl"], capsys)
    assert laid == {
        "pages": 4,
        "blanks": 0,
        "sheets": [{"gathering": 1, "sheet": 1, "front": [1, 4], "back": [3, 2]}],
    }


def test_the_table_says_what_the_json_says(capsys: Capture) -> None:
    assert run(["lay", "--pages", "9", "--sheets", "2"]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    assert printed.out.splitlines() == [
        "9 pages, 3 blanks, 3 sheets in 2 gatherings",
        "gathering  sheet  side    left  right",
        "        1      1  front      8      1",
        "        1      1  back       2      7",
        "        1      2  front      6      3",
        "        1      2  back       4      5",
        "        2      1  front  blank      9",
        "        2      1  back   blank  blank",
    ]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--pages", "0", "--sheets", "2"], "0 is too few"),
        (["--pages", "-4", "--sheets", "2"], "too few"),
        (["--pages", "8", "--sheets", "0"], "0 is too few"),
        (["--pages", "100000000", "--sheets", "2"], "too many"),
    ],
)
def test_books_that_cannot_be(arguments: list[str], words: str, capsys: Capture) -> None:
    assert run(["lay", *arguments]) == 1
    printed = capsys.readouterr()
    assert printed.out == ""
    assert words in printed.err


@pytest.mark.parametrize("weight", ["20 lb bond", "20# bond", "20 lb writing"])
def test_twenty_pound_bond(weight: str, capsys: Capture) -> None:
    weighed = read_json(["weigh", weight], capsys)
    assert isinstance(weighed, dict)
    # By definition: 20 lb of 453.59237 g in 500 sheets of 17 x 22 in of 25.4 mm.
    assert weighed["grammage_gsm"] == pytest.approx(20 * 453.59237 / (500 * 17 * 22 * 0.0254**2), abs=5e-5)
    assert weighed["pounds_lb"]["bond"] == 20
    assert weighed["given"] == weight
    bond = weighed["grades"][0]
    assert bond["grade"] == "bond"
    assert (bond["basic_size_in"], bond["ream_sheets"], bond["weight_lb"]) == ([17, 22], 500, 20)
    for grade in weighed["grades"]:
        for name in (grade["grade"], *grade["also"]):
            assert weighed["pounds_lb"][name] == grade["weight_lb"]


@pytest.mark.parametrize("weight", ["75 g/m2", "75 g/m²", "75 gsm"])
def test_metric(weight: str, capsys: Capture) -> None:
    weighed = read_json(["weigh", weight], capsys)
    assert isinstance(weighed, dict)
    assert weighed["grammage_gsm"] == 75
    assert weighed["pounds_lb"]["bond"] == pytest.approx(19.948, abs=5e-4)


def test_the_table_of_weights(capsys: Capture) -> None:
    assert run(["weigh", "20 lb bond"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "75.2 g/m²"
    assert lines[1].split() == ["lb", "grade", "basic", "size", "sheets"]
    assert lines[2].split() == ["20.0", "bond", "17", "x", "22", "in", "500"]


def test_what_is_no_weight_is_pointed_at(capsys: Capture) -> None:
    assert run(["weigh", "20 lb bnod"]) == 1
    err = capsys.readouterr().err.splitlines()
    assert err[0] == 'doublure: "bnod" is not a known grade'
    assert err[1] == "  20 lb bnod"
    assert err[2].startswith("        ^^^^ did you mean bond?")
    assert run(["weigh", "heavy"]) == 1
    assert run(["weigh", ""]) == 1
    assert run(["weigh", "0 g/m2"]) == 1
