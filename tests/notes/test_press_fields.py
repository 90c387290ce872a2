"""Printers, readings of register, and what the book says of the press and of gatherings to be chosen."""

from __future__ import annotations

import math
from datetime import date

import pytest

from doublure.model.book import GatheringWish, Press
from doublure.model.notes import MarkOffset
from journal_samples import GOOD, decode, decode_well, note, where

CHART = {"masters/left.md": note(crossover="right"), "masters/right.md": note()}


def book(text: str) -> dict[str, str]:
    """Return a journal with a book of one more field."""
    return {**CHART, "book.yml": f"title: B\n{text}\n", "printers/bench-laser.md": note()}


def test_the_press_of_a_good_journal() -> None:
    found = decode_well(GOOD).book
    assert found is not None
    assert found.press.sheet is not None
    assert (found.press.sheet.width_mm.value, found.press.sheet.height_mm.value) == (297, 420)
    assert found.press == Press(
        pairs=2, pairing="in turn", sheet=found.press.sheet, grain="long", printer="bench-laser", bleed_mm=2.0,
        collation=True,
    )  # fmt: skip
    assert found.choose == GatheringWish(2, 3, "gatherings", 4, ((6, 7),), (), 40)


def test_what_is_not_said_is_as_usual() -> None:
    plain = decode_well(book("leaf: 105 x 165 mm")).book
    assert plain is not None
    assert (plain.press, plain.choose) == (Press(), None)
    some = decode_well(book("press: {folding: quarto, bleed: 0}")).book
    assert some is not None
    assert some.press == Press(folding="quarto", bleed_mm=0.0)


@pytest.mark.parametrize(
    ("text", "wish"),
    [
        ("{sheets: 4}", GatheringWish(4, 4)),
        ("{sheets: 3 to 5 sheets}", GatheringWish(3, 5)),
        ("{sheets: 3-5, blanks: anywhere}", GatheringWish(3, 5, "anywhere")),
        ("{sheets: 3–5, most_blanks: 0}", GatheringWish(3, 5, most_blanks=0)),
        ("{sheets: 4, fixed: [9, 8]}", GatheringWish(4, 4, fixed=((8, 9),))),
        ("{sheets: 4, fixed: [[8, 9], [40, 41]]}", GatheringWish(4, 4, fixed=((8, 9), (40, 41)))),
        ("{sheets: 4, weights: {left: 2.5, masters/right: 0}}",
         GatheringWish(4, 4, weights=(("left", 2.5), ("right", 0.0)))),
        ("{sheets: 4, plates: 30}", GatheringWish(4, 4, most_plates=30)),
    ],
)  # fmt: skip
def test_wishes(text: str, wish: GatheringWish) -> None:
    found = decode_well(book(f"choose: {text}")).book
    assert found is not None
    assert found.choose == wish


@pytest.mark.parametrize(
    ("text", "problem", "hint"),
    [
        ("choose: {blanks: end}", ("K102", 2, 9, "{"), "add sheets: 3 to 5"),
        ("choose: {sheets: 5 to 3}", ("Q101", 2, 18, "5 to 3"), "write 3 to 5"),
        ("choose: {sheets: some}", ("Q101", 2, 18, "some"), "write such as 3 to 5, or 4"),
        ("choose: {sheets: 0 to 3}", ("Q101", 2, 18, "0"), "write 1 or more"),
        ("choose: {sheets: 4, blanks: front}", ("K104", 2, 29, "front"), "write one of: end, gatherings, anywhere"),
        ("choose: {sheets: 4, fixed: 8}", ("K103", 2, 28, "8"), "write both page numbers, such as [22, 23]"),
        ("choose: {sheets: 4, weights: left}", ("K103", 2, 30, "left"), "write one line for each, such as chart-left: 3"),
        ("choose: {sheets: 4, weights: {left: heavy}}", ("Q101", 2, 37, "heavy"), "write a number such as 3, or 0.5"),
        ("choose: {sheets: 4, weights: {lefft: 3}}", ("R101", 2, 31, "lefft"), "did you mean left?"),
        ("press: {printer: bench-lasr}", ("R101", 2, 18, "bench-lasr"), "did you mean bench-laser?"),
        ("press: {folding: duodecimo}", ("K104", 2, 18, "duodecimo"), "write one of: folio, quarto, octavo"),
        ("press: laser", ("K103", 2, 8, "laser"), "write fields: folding, pairs, pairing, sheet, grain, printer"),
        ("press: {bleed: 3}", ("Q102", 2, 16, "3"), "write a length, such as 3 mm"),
    ],
)
def test_what_is_wrong_in_the_book(text: str, problem: tuple[str, int, int, str], hint: str) -> None:
    _, problems = decode(book(text))
    assert [where(one) for one in problems] == [problem]
    assert problems[0].hint.startswith(hint)


def test_a_printer() -> None:
    found = decode_well(GOOD).printers["bench-laser"]
    assert (found.reach_leading_mm, found.reach_trailing_mm, found.reach_sides_mm) == (4.2, 5.0, 4.0)
    assert (found.process, found.feeds, found.prints, found.lands) == (
        "laser", "short edge", "upper side", "face down",
    )  # fmt: skip
    assert (found.turn, found.pile, found.both_sides, found.holds) == (
        "long edge", "first on top", "by hand", 100,
    )  # fmt: skip
    one = decode_well({"printers/a.md": note(reach="4 mm")}).printers["a"]
    assert (one.reach_leading_mm, one.reach_trailing_mm, one.reach_sides_mm) == (4.0, 4.0, 4.0)
    some = decode_well({"printers/a.md": note(reach="{sides: 0}")}).printers["a"]
    assert (some.reach_leading_mm, some.reach_trailing_mm, some.reach_sides_mm) == (None, None, 0.0)


def test_a_reading_of_register() -> None:
    found = decode_well(GOOD).register["first-target"]
    assert found.title == "first-target"
    assert (found.printer, found.stock, found.date) == ("bench-laser", "thin-laid", date(2031, 3, 10))
    assert (found.method, found.photo, found.u_mm) == ("against the light", "pictures/target.jpg", 0.05)
    assert found.sheet is not None
    assert (found.sheet.width_mm.value, found.sheet.height_mm.value) == (297, 210)
    assert [one.mark for one in found.offsets] == ["A1", "A2", "B1", "B2"]
    assert found.offsets[:3] == (
        MarkOffset("A1", 0.31, -0.12), MarkOffset("A2", 0.28, 0.1), MarkOffset("B1", 0.0, 0.0),
    )  # fmt: skip
    assert found.offsets[3].right_mm == pytest.approx(-0.508)
    assert (found.front_right_mm, found.front_down_mm, found.fold_right_mm) == (0.8, -0.4, -0.3)
    assert found.front_turn_rad == pytest.approx(math.radians(-0.1))
    # A problem about an offset stands at its mark, spelt as the note has it.
    span = found.origin.key_span("offsets", 1)
    assert span.text[span.column - 1 : span.column - 1 + span.length] == "a2"


def test_a_front_in_words_has_no_turn() -> None:
    found = decode_well({"register/a.yml": "front: 0.8 mm right, 0.4 mm up\n"}).register["a"]
    assert (found.front_right_mm, found.front_down_mm, found.front_turn_rad) == (0.8, -0.4, None)
    assert decode_well({"register/b.yml": "front: {turn: 0}\n"}).register["b"].front_right_mm is None


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("offsets: {A1: 0.3 mm}", ("Q101", 1, 15, "0.3 mm")),
        ("offsets: {A1: '0.3 right'}", ("Q102", 1, 16, "0.3")),
        ("offsets: {corner: 0.3 mm right}", ("U101", 1, 11, "corner")),
        ("offsets: {A1: 0.3 mm right, a1: 0}", ("Y102", 1, 29, "a1")),
        ("offsets: 0.3 mm right", ("K103", 1, 10, "0.3 mm right")),
        # To YAML a comma in { } begins another field.
        ("offsets: {A1: 0.3 mm right, 0.1 mm up}", ("U101", 1, 29, "0.1 mm up")),
        ("method: by touch", ("K104", 1, 9, "by touch")),
        ("stock: laid", ("R101", 1, 8, "laid")),
        ("fold: 0.3 mm up", ("Q101", 1, 7, "0.3 mm up")),
        ("front: {turn: 0.1}", ("Q102", 1, 15, "0.1")),
    ],
)
def test_what_is_wrong_in_a_reading(text: str, problem: tuple[str, int, int, str]) -> None:
    _, problems = decode({"register/a.yml": f"{text}\n"})
    assert [where(one) for one in problems] == [problem]
    assert problems[0].hint


def test_a_private_field_may_stand_among_marks_and_weights() -> None:
    files = {**book("choose: {sheets: 4, weights: {left: 2, why_private: x}}"),
             "register/a.yml": "offsets: {A1: 0.3 mm right, who_private: x}\n"}  # fmt: skip
    replica = decode_well(files)
    assert [one.mark for one in replica.register["a"].offsets] == ["A1"]
    assert replica.book is not None
    assert replica.book.choose is not None
    assert replica.book.choose.weights == (("left", 2.0),)


def test_a_bleed_of_a_master() -> None:
    assert decode_well({"masters/a.md": note(bleed="1/8 in")}).masters["a"].bleed_mm == pytest.approx(3.175)
    assert decode_well({"masters/a.md": note()}).masters["a"].bleed_mm == 0
