"""Artwork that cannot be printed: a warning for its master, once, and what would be right."""

from __future__ import annotations

import pytest

from doublure.checks import check_artwork, check_replica
from doublure.checks.finding import show_mm
from doublure.model.artwork import ArtworkFact, ArtworkFault
from doublure.model.source import FileFault
from doublure.problems import Problem, Severity
from journal_samples import decode_well, note

BOOK = "title: B\nleaf: 105 x 165 mm\nsequence: [{run: [m, blank], times: 2}, {tipped: {first: t}}]\n"


def check(fact: ArtworkFact | None, fault: ArtworkFault | None = None, **fields: str) -> list[Problem]:
    """Check one master "m" whose artwork is a.png, on a page of a book unless the fields say otherwise."""
    files = {
        "book.yml": BOOK, "masters/t.md": note(),
        "masters/m.md": note(**{"artwork": "a.png", **fields}),
    }  # fmt: skip
    facts = {} if fact is None else {fact.file: fact}
    return list(check_artwork(decode_well(files), facts, () if fault is None else (fault,)))


def picture(width_px: int, height_px: int) -> ArtworkFact:
    """Return the fact of a grey picture."""
    return ArtworkFact("a.png", "", "grey", width_px, height_px)


def page(width_mm: float, height_mm: float, bleed_mm: float = 0.0) -> ArtworkFact:
    """Return the fact of a PDF page."""
    return ArtworkFact("a.png", "", "vector", 0, 0, width_mm, height_mm, (bleed_mm,) * 4)


@pytest.mark.parametrize(
    ("reason", "code"),
    [
        ("missing", "A101"), ("outside", "A101"), ("unreadable", "A101"), ("torn", "A102"), ("cmyk", "A103"),
        ("16 bit", "A103"), ("empty", "A102"), ("several", "A105"), ("encrypted", "A104"), ("no page", "A104"),
        ("animated", "A105"), ("svg", "A105"),
        ("not a picture", "A105"), ("too large", "A105"),
    ],
)  # fmt: skip
def test_each_fault_is_a_warning_at_the_artwork(reason: str, code: str) -> None:
    (problem,) = check(None, ArtworkFault("a.png", reason, "some detail"))
    assert (problem.code, problem.severity) == (code, Severity.WARNING)
    assert (problem.span.file, problem.span.line, problem.span.column) == ("journal/masters/m.md", 3, 10)
    assert problem.message.startswith('artwork: "a.png" ')
    assert problem.message.endswith(": some detail")
    assert problem.hint


def test_a_file_with_nearly_the_name_is_proposed() -> None:
    (problem,) = check(None, ArtworkFault("a.png", "missing", "did you mean b.png?"))
    assert problem.message == 'artwork: "a.png" is not there'
    assert problem.hint == "did you mean b.png?"


def test_advice_is_a_hint() -> None:
    (problem,) = check(None, ArtworkFault("a.png", "cmyk", "save it as grey or RGB"))
    assert problem.message == 'artwork: "a.png" is in four process colours (CMYK)'
    assert problem.hint == "save it as grey or RGB"


def test_missing_artwork_stops_nothing_and_is_told_once() -> None:
    files = {"masters/m.md": note(picture="a.png", artwork="a.png"), "masters/n.md": note(artwork="a.png")}
    replica = decode_well(files)
    assert check_replica(replica, (FileFault("a.png", "missing"),), {}) == ()
    problems = list(check_artwork(replica, {}, (ArtworkFault("a.png", "missing"),)))
    assert [(one.code, one.span.file, one.span.line) for one in problems] == [
        ("A101", "journal/masters/m.md", 4),
        ("A101", "journal/masters/n.md", 3),
    ]
    assert not any(one.is_error for one in problems)


def test_a_picture_of_another_note_stays_an_error() -> None:
    files = {"masters/m.md": note(artwork="a.png"), "inserts/i.md": note(picture="a.png")}
    problems = check_replica(decode_well(files), (FileFault("a.png", "missing"),), {})
    assert [(one.code, one.is_error) for one in problems] == [("P101", True)]


@pytest.mark.parametrize(
    ("fact", "fields", "hint"),
    [
        # 105 x 165 mm at 600 ppi, and within half a pixel and one part in a hundred of it.
        (picture(2480, 3898), {}, None),
        (picture(2500, 3898), {}, None),
        (picture(21, 33), {}, None),
        (picture(2480, 3508), {}, "crop or draw it to 2232 x 3508 pixels"),
        (picture(2480, 4200), {}, "crop or draw it to 2480 x 3897 pixels"),
        (picture(3898, 2480), {}, "turn it by a quarter"),
        # 111 x 171 mm: three millimetres of bleed.
        (picture(2622, 4039), {}, "write bleed: 3 mm, if so much lies beyond the trim; else crop it"),
        (picture(2622, 4039), {"bleed": "3 mm"}, None),
        (picture(2480, 3898), {"bleed": "3 mm"}, "crop or draw it to 2480 x 3821 pixels"),
        (picture(1000, 1000), {"size": "105 x 105 mm"}, None),
        (picture(1000, 1500), {"size": "105 x 105 mm"}, "crop or draw it to 1000 x 1000 pixels"),
        (page(105, 165), {}, None),
        (page(105, 165, 3), {}, None),
        (page(105.8, 165.5, 3), {}, None),
        (page(111, 171), {"bleed": "3 mm"}, None),
        (page(111, 171), {}, "save the page with a TrimBox of 105 x 165 mm"),
        (page(111, 171, 3), {"bleed": "3 mm"}, "save the page with a TrimBox of 105 x 165 mm"),
        (page(210, 330), {}, "save the page with a TrimBox of 105 x 165 mm"),
        (page(165, 105), {}, "turn it by a quarter"),
    ],
)
def test_proportions(fact: ArtworkFact, fields: dict[str, str], hint: str | None) -> None:
    problems = check(fact, **fields)
    assert [(one.code, one.hint) for one in problems] == ([] if hint is None else [("A106", hint)])


def test_proportions_say_what_was_found_and_what_is_wanted() -> None:
    (problem,) = check(picture(2480, 3508), bleed="3 mm")
    assert problem.message == (
        'artwork: "a.png" has 2480 x 3508 pixels: other proportions than its page, 105 x 165 mm with 3 mm of bleed'
    )


def test_the_side_of_an_insert_has_the_size_of_the_insert() -> None:
    files = {
        "inserts/tide-pass.md": note(size="64 x 121 mm", back="m"),
        "masters/m.md": note(artwork="a.png"),
        "masters/unused.md": note(artwork="b.png"),
    }
    facts = {
        "a.png": picture(1000, 1000),
        "b.png": ArtworkFact("b.png", "", "grey", 1000, 1000),
    }
    (problem,) = check_artwork(decode_well(files), facts, ())
    assert problem.message.endswith('other proportions than the insert "tide-pass", 64 x 121 mm')


def test_a_leaf_tipped_in_is_a_page() -> None:
    files = {"book.yml": BOOK, "masters/t.md": note(artwork="t.png"), "masters/m.md": note()}
    facts = {"t.png": ArtworkFact("t.png", "", "bilevel", 1000, 1000)}
    assert [one.code for one in check_artwork(decode_well(files), facts, ())] == ["A106"]


def test_a_single_pixel_has_proportions() -> None:
    (problem,) = check(picture(1, 1))
    assert problem.code == "A106"
    assert problem.hint == "put artwork there that has the pixels to print"


def test_figures_are_written_out() -> None:
    assert show_mm(100_000) == "100000 mm"
    assert show_mm(0.00002) == "0.00002 mm"
    assert (show_mm(64), show_mm(0.1104), show_mm(0)) == ("64 mm", "0.1104 mm", "0 mm")
