"""Names of other notes: dangling, of the wrong kind, ambiguous, in a circle; and no follow-up noise."""

from __future__ import annotations

import pytest

from doublure.model.source import FileFault
from doublure.notes.journal import decode_journal
from journal_samples import decode, decode_well, make_sources, note, where


@pytest.mark.parametrize(
    ("files", "found", "hint"),
    [
        (
            {"stocks/buff-card.md": note(), "inserts/a.md": note(stock="buff-crd")},
            "R101",
            "did you mean buff-card?",
        ),
        ({"stocks/buff-card.md": note(), "inserts/a.md": note(stock="xyz")}, "R101", "there are buff-card"),
        ({"inserts/a.md": note(stock="xyz")}, "R101", "there is none yet: write a note stocks/NAME.md"),
        ({"inserts/a.md": note(stock="a")}, "R102", "there is none yet: write a note stocks/NAME.md"),
        ({"inserts/a.md": note(stock="inserts/a")}, "R102", "there is none yet: write a note stocks/NAME.md"),
        (
            {"evidence/e.md": note(shows="gathering-3")},
            "R101",
            "there is none yet: write a note inserts/NAME.md",
        ),
        ({"evidence/e.md": note(shows="pge-3")}, "R101", "did you mean page-12?"),
        ({"log/2031-03-14.md": note(about="gathering-0")}, "R101", "did you mean gathering-3?"),
    ],
)
def test_names_that_lead_nowhere(files: dict[str, str], found: str, hint: str) -> None:
    _, problems = decode(files)
    assert [(one.code, one.hint) for one in problems] == [(found, hint)]


@pytest.mark.parametrize(
    "about",
    ["a", "inserts/a", "stocks/b", "gathering-3", "gathering 12", "plate-3", "Plate 12", "page-4", "stack-7",
     "stack-7-front", "stack-7-back", "stack 7 backs", "stacks-7-9", "printers/bench", "bench", "register/first-target"],
)
def test_what_work_may_be_about(about: str) -> None:
    files = {
        "inserts/a.md": note(), "stocks/b.md": note(), "printers/bench.md": note(),
        "register/first-target.yml": "fold: 0\n", "log/2031-03-14.md": note(about=about),
    }  # fmt: skip
    assert decode_well(files).log["2031-03-14"].about == (about,)


def test_a_folder_may_be_named_where_only_one_is_meant() -> None:
    files = {"stocks/b.md": note(), "inserts/a.md": note(stock="stocks/b")}
    assert decode_well(files).inserts["a"].stock == "b"


def test_ambiguous_names_need_their_folder() -> None:
    files = {"inserts/a.md": note(), "masters/a.md": note(), "evidence/e.md": note(shows="[a, masters/a]")}
    _, problems = decode(files)
    assert [where(one) for one in problems] == [("R103", 3, 9, "a")]
    assert problems[0].hint == "write inserts/a or masters/a"


def test_a_name_made_certain_by_its_field_can_be_found() -> None:
    files = {"inserts/a.md": note(), "stocks/a.md": note(), "evidence/e.md": note(shows="a")}
    replica = decode_well(files)
    (name,) = replica.evidence["e"].shows
    assert name == "inserts/a"
    assert replica.find(name) == ("inserts", replica.inserts["a"])


def test_names_of_notes_that_failed_are_no_further_problem() -> None:
    files = {
        "stocks/b.yml": "- not a note\n",
        "stocks/Thick Card.md": note(),
        "inserts/a.md": note(stock="b"),
        "inserts/c.md": note(stock="thick-card"),
        "inserts/d.md": note(stock="gone"),
        "log/2031-03-14.md": note(about="stocks/b"),
    }
    faults = [FileFault("journal/stocks/gone.md", "encoding")]
    replica, problems = decode_journal(make_sources({"replica.yml": "title: X\n", **files}), faults)
    assert [one.code for one in problems] == ["F102", "Y108"]
    assert replica is not None
    assert not replica.stocks
    assert set(replica.inserts) == {"a", "c", "d"}


def test_circles_are_told_once_each() -> None:
    files = {
        "evidence/a.md": note(copied_from="b"),
        "evidence/b.md": note(copied_from="c"),
        "evidence/c.md": note(copied_from="a"),
        "evidence/d.md": note(copied_from="a"),
        "evidence/e.md": note(copied_from="e"),
    }
    _, problems = decode(files)
    assert [(one.code, one.span.file, len(one.related)) for one in problems] == [
        ("R104", "journal/evidence/a.md", 2),
        ("R104", "journal/evidence/e.md", 0),
    ]
    assert '"a" from "b" from "c" from "a"' in problems[0].message


def test_crossover_partners_name_each_other_in_the_end() -> None:
    replica = decode_well({"masters/a.md": note(crossover="b"), "masters/b.md": note()})
    assert (replica.masters["a"].crossover, replica.masters["b"].crossover) == ("b", "a")
    both = decode_well({"masters/a.md": note(crossover="b"), "masters/b.md": note(crossover="a")})
    assert both.masters == replica.masters


def test_crossover_partners_that_do_not_agree() -> None:
    files = {"masters/a.md": note(crossover="b"), "masters/b.md": note(crossover="c"), "masters/c.md": note()}
    _, problems = decode(files)
    assert [(one.code, one.span.file) for one in problems] == [("R105", "journal/masters/a.md")] or [
        (one.code, one.span.file) for one in problems
    ] == [("R105", "journal/masters/b.md")]
