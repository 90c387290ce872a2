"""The journal as a whole: which file is which note, and that no input whatever is a traceback."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from doublure.model.source import SourceText
from doublure.notes.journal import decode_journal, named_artwork, named_pictures, suggest_name
from doublure.problem_codes import CODES
from journal_samples import GOOD, decode, decode_well, make_sources, note, where

TEN_MISTAKES = """\
---
title: Tide pass
titel: Tide pass
size: 64 x 121
stock: buf-card
grain: along
place: {between: [22, 23], on: 24}
readings:
  - from: frame-12
    width: 63.5 mn
    hieght: 121 mm
wording:
  front: No. [123
per_copy: many
size: 64 x 121 mm
held: glued: down
---
"""


def test_ten_mistakes_in_one_note_are_ten_problems_in_one_run() -> None:
    files = {
        "inserts/tide-pass.md": TEN_MISTAKES,
        "evidence/frame-12.md": note(),
        "stocks/buff-card.md": note(),
    }
    replica, problems = decode(files)
    assert [where(one) for one in problems] == [
        ("K101", 3, 1, "titel"),
        ("Q102", 4, 12, "121"),
        ("R101", 5, 8, "buf-card"),
        ("K104", 6, 8, "along"),
        ("K105", 7, 8, "{between: [22, 23], on: 24}"),
        ("Q101", 10, 17, "mn"),
        ("K101", 11, 5, "hieght"),
        ("W101", 13, 14, "["),
        ("Q101", 14, 11, "many"),
        ("Y102", 15, 1, "size"),
        ("Y101", 16, 12, ":"),
    ]
    assert all(one.hint for one in problems)
    # What is right in it was read all the same, so that checks can go on.
    assert replica is not None
    assert replica.inserts["tide-pass"].title == "Tide pass"


def test_form_of_a_problem() -> None:
    _, problems = decode(
        {"stocks/laid.md": "---\ntitle: Thin laid\n\ncolour: cream\nsurface: laid\ncaliper: 0.11\n---\n"}
    )
    assert [one.format() for one in problems] == [
        'journal/stocks/laid.md:6:10: error[Q102] caliper: "0.11" has no unit\n'
        "  6 | caliper: 0.11\n"
        "    |          ^^^^ write a length, such as 0.11 mm"
    ]


@pytest.mark.parametrize(
    ("path", "code", "hint"),
    [
        ("insert/a.md", "F103", "did you mean inserts/?"),
        ("Stocks/a.md", "F103", "did you mean stocks/?"),
        ("photographs/a.md", "F103", "the folders of notes are"),
        ("inserts/old/a.md", "F104", "move it to inserts/a.md"),
        ("bok.yml", "F104", "did you mean book.yml?"),
        ("ideas.md", "F104", "move it into one of the folders of notes"),
        ("inserts/Tide Pass.md", "F102", "call the file tide-pass.md"),
        ("inserts/tide--pass.md", "F102", "call the file tide-pass.md"),
        ("inserts/-.md", "F102", "call the file note.md"),
        ("masters/blank.md", "F102", "call the file something else"),
        ("inserts/index.md", "F102", "call the file something else"),
        ("stocks/index.md", "F102", "call the file something else"),
        ("inserts/con.md", "F102", "call the file something else"),
        ("evidence/lpt1.md", "F102", "call the file something else"),
        ("log/press.md", "F107", "call the file YEAR-MONTH-DAY-what.md"),
        ("log/2031-3-4-press.md", "F107", "call the file YEAR-MONTH-DAY-what.md"),
        ("log/2031-03-145.md", "F107", "call the file YEAR-MONTH-DAY-what.md"),
    ],
)
def test_files_that_are_no_notes(path: str, code: str, hint: str) -> None:
    replica, problems = decode({path: note()})
    assert [(one.code, one.span.line) for one in problems] == [(code, 0)]
    assert problems[0].hint.startswith(hint)
    assert replica is not None
    assert len(list(replica.notes())) == 1


@pytest.mark.parametrize(
    "path", ["README.md", "pictures/a.md", "artwork/b.yml", "private/c.md", "inserts/a.txt"]
)
def test_files_that_nobody_means_as_notes(path: str) -> None:
    assert decode({path: "a: ["})[1] == ()


def test_without_a_replica_note_there_is_no_replica() -> None:
    replica, problems = decode_journal(make_sources({"stocks/a.yml": "titel: A\n"}))
    assert replica is None
    assert [one.code for one in problems] == ["F108", "K101"]
    replica, problems = decode_journal(make_sources({"replica.yml": "- A\n"}))
    assert replica is None
    assert [one.code for one in problems] == ["Y108"]


def test_a_replica_note_with_a_mistake_is_kept() -> None:
    replica, problems = decode({"replica.yml": "title: A\nedition: some\n"})
    assert [one.code for one in problems] == ["Q101"]
    assert replica is not None
    assert replica.replica.edition is None


def test_two_files_of_one_name() -> None:
    replica, problems = decode({"book.md": note(), "book.yml": "title: B\n"})
    assert [(one.code, one.span.file) for one in problems] == [("F109", "journal/book.yml")]
    assert replica is not None
    assert replica.book is not None
    assert replica.book.title == "A note"


def test_money_is_known_whatever_the_order_of_the_files() -> None:
    replica = decode_well(
        {
            "evidence/a.md": note(),
            "log/2031-03-14.md": note(spent="3.20 marks"),
            "replica.yml": "title: A\nmoney: marks\n",
        }
    )
    assert str(replica.log["2031-03-14"].spent) == "3.20"
    _, problems = decode(
        {"log/2031-03-14.md": note(spent="3.20 crowns"), "replica.yml": "title: A\nmoney: marks\n"}
    )
    assert [where(one) for one in problems] == [("Q101", 3, 13, "crowns")]


def test_notes_are_in_the_order_of_their_names() -> None:
    sources = make_sources(GOOD)
    one, _ = decode_journal(sources)
    other, _ = decode_journal(tuple(reversed(sources)))
    assert one == other
    assert one is not None
    assert list(one.masters) == sorted(one.masters)
    assert list(one.log) == ["2031-03-14-press", "2031-03-15"]


def test_pictures_and_artwork_are_named_with_their_places() -> None:
    replica = decode_well(GOOD)
    found = [(file, span.file, span.line) for file, span in named_pictures(replica)]
    assert found == [
        ("pictures/tide-pass.jpg", "journal/inserts/tide-pass.md", 3),
        ("pictures/back.jpg", "journal/inserts/tide-pass.md", 4),
        ("pictures/press.jpg", "journal/log/2031-03-14-press.md", 8),
        ("pictures/target.jpg", "journal/register/first-target.yml", 6),
    ]
    assert [(file, span.line, span.column) for file, span in named_artwork(replica)] == [
        ("artwork/title.svg", 4, 10)
    ]


@given(st.text(max_size=12))
@example("NUL")
@example("Index")
def test_suggested_names_are_names(name: str) -> None:
    assert decode({f"inserts/{suggest_name(name)}.md": note()})[1] == ()


PATHS = st.sampled_from([*GOOD, "stocks/a.yml", "inserts/b.md", "log/2031-03-14.md", "x/y.md", "book.md", ""])
PIECES = st.sampled_from(
    [
        *(
            "---\n",
            "...\n",
            "title: A\n",
            "\n",
            ": ",
            "- ",
            "  ",
            "\t",
            "[",
            "]",
            "{",
            "}",
            "'",
            '"',
            "|",
            ">",
            "#",
            "&a ",
            "*a",
        ),
        *(
            "!!x ",
            "? ",
            "{private}",
            "{/private}",
            "a_private: ",
            "readings:\n",
            "sequence: ",
            "from: ",
            "size: 1 x 2 mm\n",
        ),
        *(
            "place: {",
            "between: [1, 2]",
            "gatherings: ",
            "wording: ",
            "front: ",
            "[...]",
            "\ufeff",
            "\r",
            "\0",
            "é𝔸",
            "\u2028",
        ),
    ]
)


@settings(max_examples=300, deadline=None)
@given(
    st.dictionaries(
        PATHS, st.one_of(st.text(max_size=60), st.lists(PIECES, max_size=30).map("".join)), max_size=4
    )
)
def test_no_text_is_a_traceback(files: dict[str, str]) -> None:
    check_places(files)


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=80), PATHS)
def test_no_bytes_are_a_traceback(content: bytes, path: str) -> None:
    check_places({path: content.decode("utf-8", "replace")})
    check_places({path: content.decode("latin-1")})


@settings(max_examples=150, deadline=None)
@given(st.sampled_from([*GOOD]), st.data())
def test_no_damage_to_a_good_note_is_a_traceback(path: str, data: st.DataObject) -> None:
    text = GOOD[path]
    at = data.draw(st.integers(0, len(text)))
    gone = data.draw(st.integers(0, 12))
    files = {**GOOD, path: text[:at] + data.draw(PIECES) + text[at + gone :]}
    check_places(files)


def check_places(files: dict[str, str]) -> None:
    """Decode, and check that every problem has a registered code and a place that is there."""
    sources = tuple(SourceText(f"journal/{path}", path, text) for path, text in files.items())
    replica, problems = decode_journal(sources)
    if replica is not None:
        for one in replica.notes():
            assert len(dict(one.origin.spans)) == len(one.origin.spans)
    for problem in problems:
        assert problem.severity is CODES[problem.code].severity
        assert problem.format()
        span = problem.span
        if not span.line:
            continue
        text = files[span.file.removeprefix("journal/")].removeprefix("\ufeff")
        lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
        assert 1 <= span.line <= len(lines)
        assert 1 <= span.column <= len(lines[span.line - 1]) + 1
