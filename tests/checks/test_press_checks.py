"""The press: foldings, leaf pairs, sheets, printers and grain that do not go together; wishes; register."""

from __future__ import annotations

import pytest

from doublure.checks import check_replica
from doublure.problems import Problem
from doublure.trade.press.target import design_target
from journal_samples import decode_well, note

ARTWORK = {
    "masters/a.md": note(), "masters/left.md": note(crossover="right"), "masters/right.md": note(),
}  # fmt: skip


def check(files: dict[str, str]) -> list[Problem]:
    """Return what is found in a journal without mistakes in its form."""
    return list(check_replica(decode_well({**ARTWORK, **files}), (), {}))


def book(pages: int = 16, **fields: str) -> dict[str, str]:
    """Return a book of so many pages on sheets of 297 x 210 mm, short grain."""
    usual = {
        "leaf": "105 x 148 mm", "stock": "laid", "sequence": f"[{{master: a, times: {pages}}}]",
        "gatherings": "1 sheet", **fields,
    }  # fmt: skip
    lines = "".join(f"{name}: {value}\n" for name, value in usual.items())
    stock = note(sheet="297 x 210 mm", grain="short")
    return {"book.yml": f"title: B\n{lines}", "stocks/laid.md": stock}


def found(files: dict[str, str]) -> list[tuple[str, str]]:
    """Return code and what stands over the caret of each problem."""
    spans = [(one.code, one.span) for one in check(files)]
    return [(code, span.text[span.column - 1 : span.column - 1 + span.length]) for code, span in spans]


# --- folding, leaf pairs, sheet, grain


@pytest.mark.parametrize(
    ("files", "expected"),
    [
        (book(), []),
        (book(press="{folding: quarto, sheet: 297 x 420 mm}"), [("B112", "297 x 420 mm")]),
        # Two leaf pairs of 210 x 148 take 210 x 296, so the sheet must stand, with its grain across.
        (book(press="{pairs: 2}"), [("B114", "press")]),
        (book(press="{pairs: 2, grain: long}"), []),
        (book(press="{pairs: 3, grain: long}"), [("B112", "3")]),
        (book(press="{pairs: 2, folding: octavo}", pages="16"), [("B111", "2")]),
        (book(press="{sheet: 210 x 148 mm}"), []),
        (book(press="{sheet: 200 x 148 mm}"), [("B112", "200 x 148 mm")]),
        # The grain: short on 297 x 210 runs along 210, which is the height of a leaf pair of 210 x 148.
        # Turned, the sheet would be as wide as its pages are, and nothing were left for their bleed.
        (book(press="{grain: long}"), [("B114", "long")]),
        (book(leaf="120 x 195 mm", press="{grain: short}"), []),
        (book(leaf="120 x 195 mm", press="{grain: long}"), [("B114", "long")]),
        (book(leaf="120 x 195 mm", press="{grain: none}"), []),
        (book(leaf="120 x 195 mm", press="{sheet: 280 x 209 mm}"), []),
        (book(leaf="120 x 195 mm", press="{sheet: 280 x 209 mm, grain: long}"), [("B114", "long")]),
    ],
)
def test_folding_and_sheet(files: dict[str, str], expected: list[tuple[str, str]]) -> None:
    assert found(files) == expected


@pytest.mark.parametrize(
    ("fields", "place", "said", "hint"),
    [
        # Between a leaf pair of 240 x 200 and the edges of 297 x 206 there are 28.5 mm beside, 3 mm above.
        (
            {"leaf": "120 x 200 mm", "press": "{sheet: 297 x 206 mm}"},
            "297 x 206 mm",
            "sheet: 297 x 206 mm has no room for fold marks and cut marks",
            "a sheet of 297 x 212 mm has room for all of it; bleed: 0 leaves room for all marks, where no artwork",
        ),
        # Two leaf pairs and grain along the height: the sheet of the stock is laid the other way.
        (
            {"leaf": "100 x 140 mm", "press": "{pairs: 2, grain: long}"},
            "laid",
            "stock: 210 x 297 mm has no room for fold marks, cut marks, register crosses and the label",
            # 200 mm and 3 + 1 + 2 mm at each side; 280 mm, 6 mm between, and 3 + 1 + 5 mm above and below.
            "a sheet of 212 x 304 mm has room for all of it",
        ),
        ({"leaf": "120 x 195 mm"}, "", "", ""),
        # Nothing is trimmed there, so that nothing round the pages is looked for.
        ({"press": "{sheet: 210 x 148 mm}"}, "", "", ""),
    ],
)
def test_marks_without_room_are_told_with_a_sheet_that_has_it(
    fields: dict[str, str], place: str, said: str, hint: str
) -> None:
    told = [one for one in check(book(**fields)) if one.code == "B116"]
    assert len(told) == bool(place)
    for one in told:
        print(one.format())
        line = one.span.text
        assert line[one.span.column - 1 : one.span.column - 1 + one.span.length] == place
        assert one.message.startswith(said)
        assert one.hint.startswith(hint)


def test_a_sheet_that_would_lose_marks_is_not_turned_for_the_grain() -> None:
    # A leaf pair of 210 x 148 on 210 x 297 leaves nothing beside it; on 297 x 210 there is room all round.
    (problem,) = check(book(press="{sheet: 297 x 210 mm, grain: long}"))
    assert problem.code == "B114"
    assert (
        "; turned, the sheet of 297 x 210 mm has no room for all of the bleed and cut marks"
        in problem.message
    )
    assert problem.hint.endswith("or a larger sheet")


def test_the_grain_of_the_stock_counts_where_its_whole_sheet_is_printed() -> None:
    files = book(leaf="120 x 195 mm")
    files["stocks/laid.md"] = note(sheet="297 x 210 mm", grain="long")
    (problem,) = check(files)
    assert problem.code == "B114"
    assert problem.hint.startswith("use a sheet whose grain runs along its shorter side")
    files["stocks/laid.md"] = note(sheet="210 x 297 mm", grain="long")
    assert [one.code for one in check(files)] == ["B114"]
    # With twice the room either way will do.
    files["stocks/laid.md"] = note(sheet="450 x 440 mm", grain="long")
    assert check(files) == []


def big(pages: int, folding: str, **fields: str) -> dict[str, str]:
    """Return a book on sheets that have room for any folding."""
    press = f"{{folding: {folding}}}"
    return {**book(pages, press=press, **fields), "stocks/laid.md": note(sheet="640 x 450 mm")}


@pytest.mark.parametrize(
    ("files", "expected"),
    [
        (big(64, "octavo", gatherings="1 sheet"), []),
        (big(64, "quarto", gatherings="2 sheets"), []),
        (big(96, "octavo", gatherings="[3, 3]"), []),
        (big(128, "octavo", gatherings="4 sheets"), ["B110"]),
        (big(64, "folio", gatherings="16 sheets"), []),
        # Pages are counted by the folding: 8 or 16 to a sheet.
        (big(60, "octavo", gatherings="1 sheet"), ["B101"]),
        (big(68, "octavo", gatherings="[1, 1, 1, 1]"), ["B102"]),
        (big(12, "quarto", gatherings="[1, 1]"), ["B101"]),
    ],
)
def test_gatherings_of_sheets_folded_oftener(files: dict[str, str], expected: list[str]) -> None:
    assert [one.code for one in check(files)] == expected


def test_a_gathering_too_thick_says_how_many_sheets_are_enough() -> None:
    (problem,) = check(big(128, "octavo", gatherings="4 sheets"))
    assert problem.message == "folding: 4 sheets folded as octavo make a gathering of 32 leaves, 64 pages"
    assert problem.hint == "write gatherings: 3 sheets, since a sheet has 16 pages now"


@pytest.mark.parametrize(
    ("folding", "before", "expected"),
    [
        # Two quartos, 16 pages: leaves 1 and 2 hang together at the head, and 3 and 4, and so on.
        ("quarto", 2, ["head"]), ("quarto", 4, []), ("quarto", 6, ["head"]), ("quarto", 8, []),
        ("folio", 2, []), ("folio", 6, []),
        # An octavo: leaves 1 and 4 hang together at the head around 2 and 3, which do as well; in the second half
        # 5 and 6, and 7 and 8, at the fore-edge too.
        ("octavo", 2, ["head"]), ("octavo", 4, ["head"]), ("octavo", 6, ["head"]), ("octavo", 8, []),
        ("octavo", 10, ["fore-edge"]), ("octavo", 12, ["head"]), ("octavo", 14, ["fore-edge"]),
    ],
)  # fmt: skip
def test_leaves_tipped_in_between_joined_leaves(folding: str, before: int, expected: list[str]) -> None:
    pages = {"folio": 8, "quarto": 16, "octavo": 16}[folding]
    sequence = (
        f"[{{master: a, times: {before}}}, {{tipped: {{first: a}}}}, {{master: a, times: {pages - before}}}]"
    )
    problems = [one for one in check(big(0, folding, sequence=sequence)) if one.code == "B110"]
    edges = [one.message.split("closed at its ")[1].split(" until")[0] for one in problems]
    assert edges == expected


def test_several_printers_and_none_named() -> None:
    two = {"printers/bench.md": note(), "printers/office.md": note()}
    assert found({**book(), "printers/bench.md": note()}) == []
    assert found({**book(), **two}) == [("B113", "title")]
    assert found({**book(press="{bleed: 2 mm}"), **two}) == [("B113", "press")]
    assert found({**book(press="{printer: office}"), **two}) == []


# --- wishes


def wish(pages: int = 64, sequence: str = "", **fields: str) -> dict[str, str]:
    """Return a book with wishes for its gatherings; without other fields 2 to 4 sheets each."""
    wishes = ", ".join(f"{name}: {value}" for name, value in {"sheets": "2 to 4", **fields}.items())
    whole = sequence or f"[{{master: a, times: {pages}}}]"
    return book(gatherings=f"{-(-pages // 4)} sheets", choose=f"{{{wishes}}}", sequence=whole)


@pytest.mark.parametrize(
    ("files", "expected"),
    [
        (wish(), []),
        (wish(fixed="[8, 9]"), []),
        (wish(fixed="[[8, 9], [24, 25], [56, 57]]"), []),
        (wish(fixed="[[8, 10]]"), [("B104", "[8, 10]")]),
        (wish(fixed="[[9, 10]]"), [("B104", "[9, 10]")]),
        (wish(fixed="[[64, 65]]"), [("B103", "[64, 65]")]),
        (wish(fixed="[[2, 3]]"), [("B115", "[2, 3]")]),
        (wish(fixed="[[2, 3]]", blanks="anywhere", most_blanks="4"), []),
        (wish(fixed="[[2, 3]]", blanks="anywhere", most_blanks="1"), [("B115", "[2, 3]")]),
        (wish(fixed="[[8, 9], [14, 15]]"), [("B115", "[14, 15]")]),
        (wish(fixed="[[8, 9], [14, 15]]", blanks="gatherings", most_blanks="8"), []),
        (wish(fixed="[[62, 63]]", most_blanks="1"), [("B115", "[62, 63]")]),
        (wish(fixed="[[62, 63]]", blanks="gatherings", most_blanks="4"), []),
        (wish(sheets="5", most_blanks="15"), [("B115", "5")]),
        (wish(sheets="5", most_blanks="16"), []),
        (wish(sheets="8"), []),
        (wish(sheets="6 to 7"), [("B115", "6 to 7")]),
        (wish(pages=61, most_blanks="2"), [("B101", "sequence"), ("B115", "2")]),
        (wish(sheets="4", fixed="[[8, 9], [24, 25]]"), []),
        (wish(weights="{left: 2}"), []),
        (wish(weights="{left: 2, right: 2}"), []),
        (wish(weights="{left: 2, right: 3}"), [("B115", "right")]),
        (wish(weights="{a: 2}"), [("B115", "a")]),
    ],
)
def test_wishes(files: dict[str, str], expected: list[tuple[str, str]]) -> None:
    # Sorted by their place, and the wishes stand behind the sequence.
    assert found(files) == expected


def test_a_leaf_tipped_in_is_no_middle_and_counts_for_none() -> None:
    sequence = "[{master: a, times: 4}, {tipped: {first: a}}, {master: a, times: 60}]"
    assert found(wish(sequence=sequence, fixed="[[4, 5]]")) == [("B115", "[4, 5]")]
    # Pages 10 and 11 are the folded pages 8 and 9.
    assert found(wish(sequence=sequence, fixed="[[10, 11]]", sheets="4")) == []
    assert found(wish(sequence=sequence, fixed="[[8, 9]]", sheets="4")) == [("B115", "[8, 9]")]


# --- register


def reading(**fields: str) -> dict[str, str]:
    """Return a reading of three marks on one printer and stock."""
    usual = {
        "printer": "bench", "stock": "laid", "sheet": "297 x 210 mm",
        "offsets": "{A1: '0.3 mm right', A2: '0.2 mm right, 0.1 mm up', B1: '0.4 mm right'}", **fields,
    }  # fmt: skip
    lines = "".join(f"{name}: {value}\n" for name, value in usual.items() if value)
    return {"printers/bench.md": note(), "stocks/laid.md": note(), "register/one.yml": lines}


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({}, []),
        ({"printer": ""}, [("U104", "offsets")]),
        ({"stock": "", "sheet": ""}, [("U104", "offsets")]),
        ({"sheet": ""}, []),
        ({"offsets": "{A1: '0.3 mm right', A2: '0.2 mm right'}"}, [("U102", "offsets")]),
        (
            {"offsets": "{A1: '0.3 mm right', A2: '0.2 mm up', B1: '31 mm right'}"},
            [("U103", "'31 mm right'")],
        ),
        ({"offsets": "{A1: '0.3 mm right', A2: '0.2 mm up', B1: '1 cm up'}"}, []),
        ({"offsets": "{A1: '0.3 mm right', A2: '0.2 mm up', Z1: '0.1 mm up'}"}, [("U101", "Z1")]),
        ({"front": "{right: 12 mm}"}, [("U103", "12 mm")]),
        ({"front": "1 mm right, 11 mm down"}, [("U103", "1 mm right, 11 mm down")]),
        ({"fold": "2 in left"}, [("U103", "2 in left")]),
        ({"sheet": "60 x 60 mm"}, [("U101", "60 x 60 mm")]),
        ({"offsets": "", "printer": ""}, []),
    ],
)
def test_register(fields: dict[str, str], expected: list[tuple[str, str]]) -> None:
    assert found(reading(**fields)) == expected


def test_a_sheet_turned_is_told_once() -> None:
    lying = {mark.name for mark in design_target(297, 210).marks}
    upright = [mark.name for mark in design_target(210, 297).marks]
    alone = [name for name in upright if name not in lying]
    assert len(alone) > 1
    offsets = ", ".join(f"{name}: '0.1 mm up'" for name in ["A1", "A2", *alone])
    (problem,) = check(reading(offsets=f"{{{offsets}}}"))
    assert problem.hint == "write sheet: 210 x 297 mm, as the sheet lay with the target's arrow up"


def test_one_sheet_given_twice_is_told_at_the_later_note() -> None:
    one = reading(offsets="{A1: '0.31 mm right', A2: '0.2 mm up', B1: '0.4 mm right'}", date="2031-03-14")
    again = one["register/one.yml"].replace("2031-03-14", "2031-03-15")
    assert found({**one, "register/again.yml": again}) == [("U105", "offsets")]
    # Read on another stock it is no reading of the same machine.
    other = again.replace("stock: laid", "stock: wove")
    assert found({**one, "stocks/wove.md": note(), "register/again.yml": other}) == []


def test_what_an_eye_reads_may_repeat() -> None:
    one = reading()
    assert found({**one, "register/two.yml": one["register/one.yml"]}) == []


def test_one_picture_is_one_sheet() -> None:
    one = reading(photo="register/one.jpg")
    two = reading(photo="register/one.jpg", offsets="{A1: '0.1 mm up', A2: '0.3 mm up', B1: '0.2 mm up'}")
    assert found({**one, "register/two.yml": two["register/one.yml"]}) == [("U105", "photo")]
