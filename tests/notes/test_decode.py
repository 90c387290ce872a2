"""Notes to records: every kind, every field, both forms, and where each value came from."""

from __future__ import annotations

from dataclasses import fields
from datetime import date
from decimal import Decimal

import pytest

from doublure.measured import Measured
from doublure.model.book import BlankPages, Creep, MasterPage, Run, TippedLeaf
from doublure.model.insert import Face, Fold, Held, Place, Varying
from doublure.model.parts import Pack, Picture, Question, Rights, Spares
from doublure.model.source import SourceText
from doublure.notes.decode import decode_note
from doublure.notes.records import record_attributes
from doublure.notes.schema import KINDS
from journal_samples import GOOD, decode, decode_well, note, where


def test_good_journal_has_every_value() -> None:
    replica = decode_well(GOOD)
    assert replica.replica.edition == 6
    assert replica.replica.spares == Spares(share=0.5)
    assert replica.replica.next_steps == ("Print the tide tables",)
    assert replica.replica.questions == (Question("How many leaves had it?", ("edition",)),)
    assert not replica.replica.publish.print_files
    frame = replica.evidence["frame-12"]
    assert (frame.kind, frame.stem, frame.seen) == ("frame", "second-act", date(2031, 2, 3))
    assert frame.rights == Rights("The company", "By kindness of the company", "ask")
    assert frame.shows == ("tide-pass", "page-12")
    assert frame.body == "Held up for a moment."
    laid = replica.stocks["thin-laid"]
    assert laid.caliper_mm == Measured(0.11, None, "0.11 mm")
    assert (laid.price, laid.pack, laid.on_hand) == (Decimal("12.50"), Pack(sheets=100), Decimal(37))
    assert laid.sheet is not None
    assert (laid.sheet.width_mm.value, laid.sheet.height_mm.value) == (420, 297)
    assert (laid.stack_mm, laid.stack_sheets) == (Measured(55.0, None, "55 mm"), 500)
    assert replica.finishes["tea-wash"].drying_minutes == 720
    trial = replica.trials["two-washes"]
    assert (trial.beside, trial.verdict, trial.approves) == (
        ("frame-12",),
        "approved",
        ("tide-pass", "gathering-2"),
    )


def test_good_insert_has_every_value() -> None:
    insert = decode_well(GOOD).inserts["tide-pass"]
    assert insert.pictures == (
        Picture("pictures/tide-pass.jpg", "Front", "The maker"),
        Picture("pictures/back.jpg"),
    )
    read = [(one.source, one.attribute, one.words, one.stated) for one in insert.readings]
    assert read == [
        ("frame-12", "width", "", True),
        ("frame-12", "height", "", True),
        ("frame-12", "paper", "thin buff card", True),
        ("poster", "width", "", False),
        ("poster", "front", "printed heading, two lines", False),
    ]
    assert insert.readings[0].number == Measured(64.0, 1.0, "64 ± 1 mm")
    assert insert.readings[0].remark == "against the rule"
    assert insert.front == Face("tide-pass-front", False, "laser", "heading and number")
    assert insert.back == Face(blank=True)
    assert insert.folds == (Fold("height", Measured(32.0, None, "32 mm"), "in"),)
    assert insert.place == Place((12, 13), None, "", 1, "upright", False, Measured(6.0, None, "6 mm"), "head")
    assert insert.held == Held("tipped", "left", "wheat paste")
    assert insert.wording_front == "TIDE PASS No. [12]3\nh(arbour) m(aster) [...]"
    assert insert.varying == (Varying("serial number", "", "0417", "0422", "front"),)
    assert insert.finishes == ("tea-wash",)
    assert insert.assumed == (("back", "such passes were not printed on the back"),)
    assert insert.same == (("buff", "sand-coloured"),)
    assert insert.spares == Spares(count=4)
    assert insert.questions[1] == Question("Was it folded?", ("folds", "folded_width"))
    assert insert.cautions == ("A blade cuts towards the body",)


def test_good_book_has_every_value() -> None:
    book = decode_well(GOOD).book
    assert book is not None
    at = ("sequence",)
    assert book.sequence == (
        MasterPage("title-page", 1, (*at, 0)),
        BlankPages(1, (*at, 1)),
        Run(
            (
                MasterPage("ruled", 1, (*at, 2, "run", 0)),
                MasterPage("grid", 2, (*at, 2, "run", 1)),
                BlankPages(1, (*at, 2, "run", 2)),
            ),
            3,
            (*at, 2),
        ),
        TippedLeaf("chart-left", "", "buff-card", (*at, 3, "tipped")),
        BlankPages(2, (*at, 4)),
    )
    assert book.gathering_sheets == (2, 2)
    assert book.creep == Creep("one caliper", step_mm=0.1)


def test_log_takes_its_title_and_day_from_where_they_are() -> None:
    replica = decode_well({**GOOD, "log/2031-03-16-glue-again.yml": "minutes: 1 h 20 min\n"})
    assert list(replica.log) == ["2031-03-14-press", "2031-03-15", "2031-03-16-glue-again"]
    first, second, third = replica.log.values()
    assert (first.title, first.date, first.minutes) == ("Printed the tide passes", date(2031, 3, 14), 40)
    assert first.pictures == (Picture("pictures/press.jpg"),)
    assert second.title == "Washed them all."
    assert (third.title, third.minutes) == ("glue again", 80)


def test_log_title_is_short() -> None:
    replica = decode_well({"log/2031-03-15-a.md": "word " * 60})
    assert len(replica.log["2031-03-15-a"].title) <= 82
    assert replica.log["2031-03-15-a"].title.endswith("word …")


@pytest.mark.parametrize("kind", KINDS)
def test_each_field_takes_its_own_example(kind: str) -> None:
    for field in KINDS[kind].fields:
        title = "" if field.name == "title" else "title: T\n"
        text = f"{title}{field.name}: {field.example}\n"
        decoded = decode_note(SourceText("j/x.yml", "x.yml", text), kind, "2031-03-14-x", "marks")
        assert decoded.problems == (), f"{kind}.{field.name}: {decoded.problems[0].format()}"
        plain = decode_note(SourceText("j/x.yml", "x.yml", title or "title: U\n"), kind, "2031-03-14-x")
        usual = {"units", "tolerances", "required", "publish", "reading", "per_copy"}
        assert (decoded.note == plain.note) == (field.name in usual), field.name


@pytest.mark.parametrize("kind", KINDS)
def test_every_attribute_of_a_record_has_a_field(kind: str) -> None:
    text = "".join(f"{one.name}: {one.example}\n" for one in KINDS[kind].fields)
    decoded = decode_note(SourceText("j/x.yml", "x.yml", text), kind, "2031-03-14-x", "marks")
    assert decoded.problems == ()
    assert decoded.note is not None
    changed = {one.name for one in fields(type(decoded.note)) if getattr(decoded.note, one.name, None)}
    # Those whose example is the default, or which exclude another.
    lacking = record_attributes(kind) - changed
    assert lacking <= {"body", "right_to_left", "sheets_per_gathering", "gathering_sheets", "wording_back"}


def test_front_matter_and_pure_yaml_are_the_same() -> None:
    yaml = "title: Thin laid\ncaliper: 0.11 mm\n"
    one = decode_well({"stocks/laid.md": f"---\n{yaml}---\n"})
    for path, text in {
        "stocks/laid.yml": yaml,
        "stocks/laid.yaml": f"---\n{yaml}...\n",
        "stocks/laid.md": f"\ufeff\r\n---  \r\n{yaml}...\r\n".replace("\n", "\r\n"),
    }.items():
        assert decode_well({path: text}).stocks == one.stocks


def test_top_notes_may_be_markdown() -> None:
    replica = decode_well(
        {"replica.yml": "title: X\n"} | {"book.md": "---\ntitle: The notebook\n---\nSewn.\n"}
    )
    assert replica.book is not None
    assert replica.book.body == "Sewn."


def test_values_know_their_places() -> None:
    insert = decode_well(GOOD).inserts["tide-pass"]
    text = GOOD["inserts/tide-pass.md"].split("\n")

    def shown(*path: str | int) -> str:
        span = insert.origin.span(*path)
        assert span.text == text[span.line - 1]
        return str(span.text[span.column - 1 : span.column - 1 + span.length])

    assert shown("size") == "64 x 121 mm"
    assert shown(*insert.readings[0].path) == "64 ± 1 x 121 ± 2 mm"
    assert shown(*insert.readings[3].path) == "2 1/2 in"
    assert shown("pictures", 0) == "pictures/tide-pass.jpg"
    assert shown("pictures", 1) == "pictures/back.jpg"
    assert shown("finish", 0) == "tea-wash"
    assert shown("varying", 0, "last") == '"0422"'
    assert shown("place", "sticks_out") == "6 mm"
    assert shown("body") == "Carried in the second act."
    key = insert.origin.key_span("place", "sticks_out")
    assert key.text[key.column - 1 : key.column - 1 + key.length] == "sticks_out"
    # What the note does not say leads to the nearest thing that it does, at last to the file.
    assert insert.origin.span("place", "from_head") == insert.origin.span("place")
    assert insert.origin.span("surface").line == 0
    assert ("size",) in insert.origin.spans
    assert len(insert.origin.spans) == sum(1 for _ in insert.origin.spans)


def test_paths_hold_when_an_entry_before_fails() -> None:
    folds = "\nfolds:\n  - {along: heigth}\n  - {along: width, at: 90 mm}\n"
    replica, problems = decode({"inserts/a.md": f"---\ntitle: A\n{folds}---\n"})
    assert [problem.code for problem in problems] == ["K104"]
    assert replica is not None
    insert = replica.inserts["a"]
    assert [fold.along for fold in insert.folds] == ["width"]
    span = insert.origin.span("folds", 0, "at")
    assert span.text[span.column - 1 :].startswith("90 mm")


def test_columns_count_characters_not_bytes() -> None:
    line = "supplier: {𝔸é: 1}"
    _, problems = decode({"stocks/a.yml": f"title: ”Ägir𝔸 𝔸\n{line}\nrights: {{é𝔸: x, ö: y}}\n"})
    assert [where(one)[:3] for one in problems] == [("K103", 2, 11), ("K101", 3, 1)]
    _, problems = decode({"inserts/a.yml": "title: ”\nheld: {adhesive: ”𝔸, by: glud}\n"})
    assert where(problems[0]) == ("K104", 2, 26, "glud")


@pytest.mark.parametrize(
    ("wording", "line", "column"),
    [
        ("  front: No. [12\n", 4, 14),
        ("  front: 'it''s [12'\n", 4, 17),
        ('  front: "No. [12"\n', 4, 15),
        ("  front: |\n    PASS\n\n      No. [12\n", 7, 11),
        ("  front: >-\n    PASS\n    No. [12\n", 6, 9),
        ("  front: PASS\n    No. [12\n", 5, 9),
        ("  front: 'PASS\n\n    No. [12'\n", 6, 9),
        ('  front: "PASS \\\n    No. [12"\n', 4, 10),
    ],
)
def test_place_within_a_value(wording: str, line: int, column: int) -> None:
    _, problems = decode({"inserts/a.md": f"---\ntitle: A\nwording:\n{wording}---\n"})
    assert [(one.code, one.span.line, one.span.column) for one in problems] == [("W101", line, column)]


def test_empty_fields_are_left_open() -> None:
    replica = decode_well(
        {"stocks/a.md": note(caliper="", grammage="~", colour="null", supplier='""', sheet=" # later")}
    )
    stock = replica.stocks["a"]
    assert (stock.caliper_mm, stock.grammage_gsm, stock.colour, stock.supplier) == (None, None, "", "")


def test_an_empty_title_is_missing() -> None:
    _, problems = decode({"stocks/a.yml": "title:\n"})
    assert where(problems[0]) == ("K102", 1, 1, "title")


def test_yes_no_and_choices_forgive_capitals() -> None:
    replica = decode_well(
        {"inserts/a.md": note(place="{face_down: YES, way_up: Turned  Left}", back="Blank")}
    )
    insert = replica.inserts["a"]
    assert insert.place is not None
    assert (insert.place.face_down, insert.place.way_up) == (True, "turned left")
    assert insert.back == Face(blank=True)


def test_one_slip_of_the_pen_is_one_problem() -> None:
    _, problems = decode(
        {"stocks/a.yml": "titel: Thin laid\n", "stocks/b.yml": "title: B\nstack: {hieght: 4 mm, sheets: 4}\n"}
    )
    assert [where(one) for one in problems] == [("K101", 1, 1, "titel"), ("K101", 2, 9, "hieght")]
    assert problems[0].hint == "did you mean title?"


@pytest.mark.parametrize(
    ("text", "place", "hint"),
    [
        ("cautions:\n  - Take care: it is sharp\n", (3, 5), 'a ": " makes a field of it'),
        ("colour: [red, green]\n", (2, 9), "write colour: cream"),
        ("caliper: {mm: 4}\n", (2, 10), "write caliper: 0.11 mm"),
        ("stack: 4 mm\n", (2, 8), "write fields: height, sheets"),
        ("open: [[a, b]]\n", (2, 8), "write "),
        ("open: [a, '']\n", (2, 11), "write "),
        ("pictures: [{caption: x}]\n", (2, 12), "add file: pictures/tide-pass.jpg"),
    ],
)
def test_wrong_forms_say_what_to_write(text: str, place: tuple[int, int], hint: str) -> None:
    _, problems = decode({"stocks/a.yml": f"title: A\n{text}"})
    (problem,) = problems
    assert problem.code in ("K102", "K103")
    assert (problem.span.line, problem.span.column) == place
    assert problem.hint.startswith(hint)
