"""Checks of a replica: what each finds, what it lets pass, and where it points."""

from __future__ import annotations

import pytest

from doublure.checks import check_replica, describe_note_faults
from doublure.checks.pages import write_out_pages
from doublure.model.book import TippedLeaf
from doublure.model.replica import ImageFact
from doublure.model.source import FileFault
from doublure.problem_codes import CODES
from doublure.problems import Problem
from journal_samples import GOOD, decode, decode_well, note


def check(files: dict[str, str], faults: tuple[FileFault, ...] = (), **hashes: str) -> list[Problem]:
    """Decode a journal without mistakes in its form, and check it."""
    facts = {f"{name}.png": ImageFact(f"{name}.png", 100, 100, sha) for name, sha in hashes.items()}
    return list(check_replica(decode_well(files), faults, facts))


def codes(files: dict[str, str], faults: tuple[FileFault, ...] = (), **hashes: str) -> list[str]:
    """Return the codes of what is found."""
    return [problem.code for problem in check(files, faults, **hashes)]


def shown(problem: Problem) -> str:
    """Return what stands over the caret."""
    span = problem.span
    return span.text[span.column - 1 : span.column - 1 + span.length]


def test_good_journal_checks_clean() -> None:
    assert check(GOOD) == []


def test_an_empty_journal_checks_clean() -> None:
    assert check({}) == []


def test_problems_have_the_severity_of_their_code_and_a_hint() -> None:
    files = {
        **GOOD,
        "stocks/thin-laid.md": note(grammage="90 g/m²", caliper="1 mm", sheet="10 x 10 mm", grain="long"),
    }
    problems = check(files)
    assert {problem.code for problem in problems} == {"S101", "S104", "S109"}
    for problem in problems:
        assert problem.severity is CODES[problem.code].severity
        assert problem.hint
        assert problem.span.line


# --- stocks


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"grammage": "90 g/m²", "caliper": "0.11 mm"}, []),
        ({"grammage": "90 g/m²", "caliper": "0.011 mm"}, ["S101"]),
        ({"grammage": "90 g/m²", "caliper": "4 thou"}, []),
        ({"grammage": "90 g/m²", "caliper": "4 mm"}, ["S101"]),
        ({"grammage": "9 g/m²", "caliper": "0.11 mm"}, ["S101"]),
        ({"grammage": "90 g/m²", "caliper": "0.22 mm"}, ["S108"]),
        ({"grammage": "90 g/m²", "caliper": "0.22 ± 0.03 mm"}, []),
        ({"grammage": "90 g/m²", "stack": "{height: 47 mm, sheets: 5}"}, ["S101"]),
        ({"grammage": "90 g/m²", "caliper": "4 mm", "kind": "leather"}, []),
        ({"grammage": "20 lb bond", "caliper": "0.1 mm"}, []),
        ({"caliper": "0.11 mm", "stack": "{height: 55 mm, sheets: 500}"}, []),
        ({"caliper": "0.11 mm", "stack": "{height: 57 mm, sheets: 500}"}, []),
        ({"caliper": "0.11 mm", "stack": "{height: 57 mm, sheets: 250}"}, ["S102"]),
        ({"caliper": "0.110 ± 0.001 mm", "stack": "{height: 60 ± 0.5 mm, sheets: 500}"}, ["S102"]),
        ({"sheet": "300 x 300 mm", "grain": "short"}, ["S109"]),
        ({"sheet": "300 x 300 mm", "grain": "none"}, []),
        ({"sheet": "300 x 301 mm", "grain": "short"}, []),
    ],
)
def test_stocks(fields: dict[str, str], expected: list[str]) -> None:
    assert codes({"stocks/a.md": note(**fields)}) == expected


def test_a_bulk_that_cannot_be_says_what_is_usual() -> None:
    (problem,) = check({"stocks/a.md": note(grammage="100 g/m²", caliper="1 mm")})
    assert shown(problem) == "1 mm"
    assert "bulk of 10 cm³/g" in problem.message
    assert problem.hint == "paper of 100 g/m² is usually 0.09 to 0.22 mm thick"
    assert problem.related[0][0].line == 3


# --- inserts


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"size": "64 x 121 mm", "folded": "32 x 121 mm"}, []),
        ({"size": "64 x 121 mm", "folded": "121 x 32 mm"}, []),
        ({"size": "64 x 121 mm", "folded": "64 x 122 mm"}, ["S103"]),
        ({"size": "64 x 121 ± 1 mm", "folded": "64 x 122 mm"}, []),
        ({"size": "64 x 121 mm", "folds": "{along: width, at: 100 mm}"}, []),
        ({"size": "64 x 121 mm", "folds": "{along: height, at: 100 mm}"}, ["S106"]),
        ({"size": "64 x 121 mm", "folds": "{along: height, at: 64 mm}"}, ["S106"]),
        ({"size": "210 x 297 mm", "stock": "s"}, []),
        ({"size": "297 x 420 mm", "stock": "s"}, []),
        ({"size": "300 x 300 mm", "stock": "s"}, ["S104"]),
        ({"size": "60 x 60 mm", "front": "m"}, []),
        ({"size": "64 x 60 mm", "front": "m"}, ["S110"]),
        ({"size": "64 x 60 mm", "front": "m", "back": "m"}, ["S110", "S110"]),
        ({"assumed": "{paper: x}", "chosen": "{colour: x}"}, []),
        ({"assumed": "{paper: x}", "chosen": "{paper: x}"}, ["E104"]),
        ({"readings": "[{from: e, paper: x}, {from: f, paper: x}]"}, []),
        ({"readings": "[{from: e, paper: x}, {from: e, colour: x}]"}, []),
        ({"readings": "[{from: e, paper: x}, {from: e, paper: x}]"}, ["E101"]),
        ({"readings": "[{from: e, size: 4 x 4 mm, width: 4 mm}]"}, ["E101"]),
        ({"varying": "{kind: serial number, first: A 017, last: A 022}"}, []),
        ({"varying": "{kind: serial number, first: A 017, last: A 021}"}, ["S107"]),
        ({"varying": "{kind: serial number, first: A 017, last: A 016}"}, ["S107"]),
        ({"varying": "{kind: serial number, first: A 017, last: A 022}", "per_copy": "2"}, ["S107"]),
        ({"varying": "{kind: strike, first: A 017, last: A 016}"}, []),
        ({"finish": "wash", "front": "{printing: Laser, both passes}".replace(", both", " both")}, []),
        ({"finish": "wash", "front": "{printing: inkjet}"}, ["M101"]),
        ({"finish": "wash", "front": "m"}, ["M101"]),
        ({"finish": "wash", "front": "blank"}, []),
        ({"finish": "[dry, wash]", "front": "{printing: inkjet}", "back": "{printing: inkjet}"}, ["M101"]),
    ],
)
def test_inserts(fields: dict[str, str], expected: list[str]) -> None:
    files = {
        "replica.yml": "title: A\nedition: 6\n",
        "stocks/s.md": note(sheet="A3"),
        "masters/m.md": note(size="60 x 60 mm", process="inkjet"),
        "evidence/e.md": note(),
        "evidence/f.md": note(),
        "finishes/wash.md": note(survives="[laser]"),
        "finishes/dry.md": note(),
        "inserts/a.md": note(**fields),
    }
    assert codes(files) == expected


# --- places


def place(number: str, text: str, **fields: str) -> dict[str, str]:
    """Return an insert in a place."""
    return {f"inserts/{number}.md": note(place=text, **fields)}


BOOK = {
    "book.yml": "title: B\nleaf: 100 x 160 mm\nsequence: {blank: 16}\ngatherings: 4\n",
}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("{between: [2, 3]}", []),
        ("{between: [3, 2]}", []),
        ("{between: [14, 15]}", []),
        ("{between: [1, 2]}", ["B104"]),
        ("{between: [2, 5]}", ["B104"]),
        ("{between: [4, 4]}", ["B104"]),
        ("{between: [16, 17]}", ["B103"]),
        ("{on: 16}", []),
        ("{on: 17}", ["B103"]),
        ("{pocket: back pocket}", []),
        ("{way_up: upright}", []),
    ],
)
def test_pages_of_places(text: str, expected: list[str]) -> None:
    assert codes({**BOOK, **place("a", text)}) == expected


def test_pages_that_do_not_face_each_other_are_told_with_those_that_do() -> None:
    (problem,) = check({**BOOK, **place("a", "{between: [3, 4]}")})
    assert problem.hint == "write the two pages of one opening, such as 2 and 3 or 4 and 5"
    (problem,) = check({**BOOK, **place("a", "{between: [1, 2]}")})
    assert problem.hint == "write the two pages of one opening, such as 2 and 3"
    (problem,) = check({**BOOK, **place("a", "{between: [4, 9]}")})
    assert problem.hint == "write the two pages of one opening, such as 4 and 5"


@pytest.mark.parametrize(
    ("one", "other", "clash"),
    [
        ("{on: 4}", "{on: 5}", False),
        ("{on: 4}", "{on: 4}", True),
        ("{on: 4, order: 1}", "{on: 4, order: 2}", False),
        ("{on: 4, order: 1}", "{on: 4, order: 1}", True),
        ("{on: 4, order: 1}", "{on: 4}", True),
        ("{between: [4, 5]}", "{between: [5, 4]}", True),
        ("{between: [4, 5]}", "{on: 4}", False),
        ("{pocket: back}", "{pocket: Back}", True),
        ("{pocket: back}", "{pocket: front}", False),
        (
            "{on: 4, from_gutter: 5 mm, from_head: 5 mm}",
            "{on: 4, from_gutter: 5 mm, from_head: 60 mm}",
            False,
        ),
        ("{on: 4, from_gutter: 5 mm, from_head: 5 mm}", "{on: 4, from_gutter: 9 mm, from_head: 50 mm}", True),
        ("{on: 4, from_gutter: 5 mm, from_head: 5 mm}", "{on: 4}", True),
    ],
)
def test_two_in_one_place(one: str, other: str, clash: bool) -> None:
    files = {**BOOK, **place("a", one, size="30 x 50 mm"), **place("b", other, size="30 x 50 mm")}
    problems = check(files)
    assert [problem.code for problem in problems] == ["B105"] * clash
    if clash:
        assert problems[0].span.file == "journal/inserts/b.md"
        assert shown(problems[0]) == "place"
        assert problems[0].related[0][0].file == "journal/inserts/a.md"


def test_many_in_one_place_are_one_problem() -> None:
    files = {**BOOK, **place("a", "{on: 4}"), **place("b", "{on: 4}"), **place("c", "{on: 4}")}
    assert codes(files) == ["B105"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("{sticks_out: 6 mm, sticks_out_at: head}", []),
        ("{sticks_out: 6 mm}", []),
        ("{sticks_out: 6 mm, sticks_out_at: head, from_head: 4 mm}", ["S105"]),
        ("{sticks_out: 80 mm, sticks_out_at: fore-edge}", ["S105"]),
        ("{sticks_out: 80 mm, sticks_out_at: head}", []),
        ("{sticks_out: 80 mm, sticks_out_at: fore-edge, way_up: turned left}", []),
        ("{sticks_out: 6 mm, sticks_out_at: fore-edge, from_gutter: 42 mm}", []),
        ("{sticks_out: 6 mm, sticks_out_at: fore-edge, from_gutter: 40 mm}", []),
        ("{sticks_out: 6 mm, sticks_out_at: fore-edge, from_gutter: 20 mm}", ["S105"]),
        ("{sticks_out: 6 mm, sticks_out_at: fore-edge, from_gutter: 80 mm}", ["S105"]),
        ("{sticks_out: 6 mm, sticks_out_at: tail, from_head: 45 mm}", []),
        ("{sticks_out: 16 mm, sticks_out_at: tail, from_head: 45 mm}", ["S105"]),
    ],
)
def test_standing_out(text: str, expected: list[str]) -> None:
    assert codes({**BOOK, **place("a", text, size="64 x 121 mm")}) == expected


def test_standing_out_of_a_piece_larger_than_the_page() -> None:
    text = "{sticks_out: 6 mm, sticks_out_at: head}"
    assert codes({**BOOK, **place("a", text, size="64 x 200 mm")}) == ["S105"]
    assert codes({**BOOK, **place("a", text, size="64 x 200 mm", folded="64 x 100 mm")}) == []


# --- the book


def book(sequence: str, gatherings: str = "", **fields: str) -> dict[str, str]:
    """Return a book with two masters at hand."""
    more = "".join(f"{name}: {value}\n" for name, value in fields.items())
    given = f"gatherings: {gatherings}\n" if gatherings else ""
    return {
        "book.yml": f"title: B\nsequence: {sequence}\n{given}{more}",
        "masters/a.md": note(),
        "masters/b.md": note(),
    }


@pytest.mark.parametrize(
    ("pages", "gatherings", "code", "hint"),
    [
        (16, "4", "", ""),
        (32, "4 sheets", "", ""),
        (32, "[4, 4]", "", ""),
        (30, "[4, 4]", "B101", "add - blank: 2"),
        (33, "[4, 4]", "B102", "add 1 to the sheets, or take 1 pages out"),
        (30, "4", "B101", "add - blank: 2"),
        (36, "4", "B101", "add - blank: 12, or write gatherings: [4, 4, 1]"),
        (35, "4", "B101", "add - blank: 13, or write gatherings: [4, 4, 1] with add - blank: 1"),
        (35, "", "", ""),
        (4, "[2000]", "B108", "write the sheets of a gathering, not its pages"),
    ],
)
def test_gatherings(pages: int, gatherings: str, code: str, hint: str) -> None:
    problems = check(book(f"{{master: a, times: {pages}}}", gatherings))
    assert [(one.code, one.hint) for one in problems] == ([(code, hint)] if code else [])


def test_tipped_leaves_are_no_folded_pages() -> None:
    assert codes(book("[{blank: 2}, {tipped: {first: a}}, {blank: 2}]", "1")) == []
    (problem,) = check(book("[a, {tipped: {first: a}}, {blank: 3}]", "1"))
    assert problem.code == "B107"
    assert "page 2" in problem.message


def test_a_sequence_without_end() -> None:
    run = "a"
    for _ in range(5):
        run = f"[{{run: {run}, times: 1000}}]"
    (problem,) = check(book(run, "4"))
    assert problem.code == "B107"
    assert shown(problem) == "sequence"


@pytest.mark.parametrize(
    ("sequence", "clash"),
    [
        ("[blank, a, b, blank]", False),
        ("[blank, b, a, blank]", False),
        ("[a, b, blank, blank]", True),
        ("[blank, a, blank, b]", True),
        ("[blank, a, b, a]", True),
        ("[blank, blank]", False),
        ("[b, blank]", True),
    ],
)
def test_crossovers(sequence: str, clash: bool) -> None:
    problems = check({**book(sequence), "masters/a.md": note(crossover="b")})
    assert [one.code for one in problems] == ["B106"] * clash
    if clash:
        assert shown(problems[0]) == "b"
        assert problems[0].span.file == "journal/masters/a.md"


def test_crossovers_told_by_both_are_one_problem() -> None:
    files = {**book("[a, b]"), "masters/a.md": note(crossover="b"), "masters/b.md": note(crossover="a")}
    assert codes(files) == ["B106"]


def test_the_leaf_against_its_stock_and_artwork() -> None:
    files = {**book("a", leaf="105 x 165 mm", stock="s"), "stocks/s.md": note(sheet="297 x 210 mm")}
    assert codes(files) == []
    assert codes({**files, "stocks/s.md": note(sheet="200 x 160 mm")}) == ["S104"]
    assert codes({**files, "stocks/s.md": note(sheet="165 x 210 mm")}) == []
    assert codes({**files, "masters/a.md": note(size="100 x 165 mm")}) == ["S110"]
    assert codes({**files, "masters/a.md": note(size="111 x 171 mm")}) == []
    assert codes({**files, "masters/b.md": note(size="100 x 165 mm")}) == []


def test_pages_written_out() -> None:
    replica = decode_well(
        book(
            "[a, {run: [b, {blank: 1}], times: 2}, {master: a, times: 2}, {tipped: {first: blank, second: b}}]"
        )
    )
    pages = write_out_pages(replica.book)
    assert pages is not None
    assert pages.masters == ("a", "b", "", "b", "", "a", "a", "", "b")
    assert pages.tipped == ((8, TippedLeaf("", "b", "", ("sequence", 3, "tipped"))),)
    assert pages.folded == 7
    assert write_out_pages(None) is None


# --- evidence, trials, pictures


def test_stems() -> None:
    files = {"evidence/a.md": note(stem="film"), "evidence/b.md": note(copied_from="a")}
    assert codes(files) == []
    assert codes({**files, "evidence/b.md": note(copied_from="a", stem="film")}) == []
    assert codes({**files, "evidence/b.md": note(copied_from="a", stem="play")}) == ["E103"]


def test_one_picture_as_two_witnesses() -> None:
    files = {"evidence/a.md": note(picture="one.png"), "evidence/b.md": note(picture="two.png")}
    assert codes(files, one="x", two="y") == []
    assert codes(files, one="x", two="x") == ["E105"]
    files["evidence/b.md"] = note(picture="two.png", copied_from="a")
    assert codes(files, one="x", two="x") == []


@pytest.mark.parametrize(
    ("verdict", "expected"), [("approved", []), ("rejected", ["E102"]), ("undecided", ["E102"])]
)
def test_approvals(verdict: str, expected: list[str]) -> None:
    files = {"stocks/a.md": note(), "trials/t.md": note(verdict=verdict, approves="a")}
    assert codes(files) == expected


@pytest.mark.parametrize(
    ("reason", "code"),
    [
        ("missing", "P101"),
        ("outside", "P102"),
        ("unreadable", "P103"),
        ("not a picture", "P104"),
        ("too large", "P105"),
        ("struck by lightning", "P103"),
    ],
)
def test_pictures_are_told_wherever_they_are_named(reason: str, code: str) -> None:
    files = {
        "inserts/a.md": note(pictures="[one.png, two.png]"),
        "register/first-target.yml": "photo: two.png\n",
        "masters/m.md": note(picture="two.png"),
        "log/2031-03-14.md": note(photos="{file: two.png}"),
    }
    problems = check(files, (FileFault("two.png", reason, "some detail"),))
    assert [(one.code, one.span.file, shown(one)) for one in problems] == [
        (code, "journal/inserts/a.md", "two.png"),
        (code, "journal/log/2031-03-14.md", "two.png"),
        (code, "journal/masters/m.md", "two.png"),
        (code, "journal/register/first-target.yml", "two.png"),
    ]
    assert "some detail" in problems[0].message


def test_a_picture_with_nearly_the_name_is_proposed() -> None:
    (problem,) = check(
        {"inserts/a.md": note(picture="a.png")}, (FileFault("a.png", "missing", "did you mean b.png?"),)
    )
    assert problem.hint == "did you mean b.png?"


@pytest.mark.parametrize(
    ("reason", "code"),
    [
        ("encoding", "F101"),
        ("too long", "F111"),
        ("missing", "F105"),
        ("unreadable", "F105"),
        ("outside", "F105"),
    ],
)
def test_notes_that_could_not_be_read(reason: str, code: str) -> None:
    (problem,) = describe_note_faults([FileFault("journal/stocks/a.md", reason, "a word", 3, 4)])
    assert (problem.code, problem.span.line, problem.span.column) == (code, 3, 4)
    assert problem.message.endswith(": a word")


def test_checks_stand_notes_with_mistakes() -> None:
    """After mistakes in the form the rest is checked, without problems that only follow from them."""
    files = {
        "book.yml": "title: B\nsequence: [a, nope, {blank: x}]\ngatherings: [1]\n",
        "inserts/a.md": note(size="64", folded="70 x 121 mm", place="{on: x}", stock="nope"),
        "masters/a.md": note(crossover="nope"),
    }
    replica, problems = decode(files)
    assert sorted(one.code for one in problems) == ["Q101", "Q101", "Q101", "R101", "R101", "R101"]
    assert replica is not None
    assert check_replica(replica, (), {}) == ()
