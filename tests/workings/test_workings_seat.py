"""From readings of the seat to what both sides are moved by, on plates, in files and on pages."""

from __future__ import annotations

import html
import re

import pytest

from doublure.model.artwork import ArtworkFact, ArtworkFault
from doublure.render.plate_labels import say_seat_correction
from doublure.render.press_files import list_plate_files
from doublure.render.site import plan_site
from doublure.trade.press.affine import IDENTITY
from doublure.workings.all import Workings, work_up
from doublure.workings.press_records import RegisterWorking
from doublure.workings.reference import Reference
from journal_samples import decode_well, note

MASTERS = {f"masters/{name}.md": note(artwork=f"artwork/{name}.png") for name in ("one", "two")}
BOOK = (
    "title: B\nleaf: 105 x 165 mm\nstock: laid\nsequence: [{blank: 5}, one, two, {blank: 1}]\n"
    "gatherings: 2 sheets\n"
)
CROSSING = {
    "masters/one.md": note(artwork="artwork/one.png", crossover="two"),
    "masters/two.md": note(artwork="artwork/two.png", crossover="one"),
}
ARTWORK: dict[str, ArtworkFact | ArtworkFault] = {
    f"artwork/{name}.png": ArtworkFact(f"artwork/{name}.png", name * 4, "bilevel", 2480, 3508)
    for name in ("one", "two")
}
LAID = note(sheet="297 x 210 mm", grain="short")
MARKS = "".join(f"  {mark}: 0.4 mm right, 0.2 mm up\n" for mark in ("A1", "A2", "B1", "B2", "C1"))
#: Right, down, turn in degrees clockwise, fold right of where it is printed.
TOLD = ((0.8, -0.5, 0.10, -0.9), (0.9, -0.6, 0.12, -1.0), (1.0, -0.7, 0.14, -1.1))
NOT_TOLD = ((0.8, -0.6, 0.10, -0.9), (-0.4, 0.5, -0.20, 0.7), (0.1, 0.2, 0.05, -0.1))


def reading(right: float, down: float, turn: float, fold: float) -> str:
    """Return a note of one sheet."""
    return (
        f"title: T\nprinter: desk\nstock: laid\nsheet: 297 x 210 mm\noffsets:\n{MARKS}"
        f"front: {{right: {right} mm, down: {down} mm, turn: {turn}°}}\nfold: {fold} mm\n"
    )


def work(seats: tuple[tuple[float, float, float, float], ...], book: str = BOOK) -> Workings:
    """Work up a book of a crossover whose printer has so many sheets of readings."""
    files = {f"register/{n}.yml": reading(*one) for n, one in enumerate(seats)}
    notes = {"replica.yml": "title: R\nedition: 6\n", "stocks/laid.md": LAID, "printers/desk.md": note()}
    return work_up(
        decode_well({**notes, **MASTERS, **CROSSING, "book.yml": book, **files}), {}, Reference(), ARTWORK
    )


def register_of(found: Workings) -> RegisterWorking:
    assert found.press.register is not None
    return found.press.register


def plain(found: Workings, path: str) -> str:
    """Return a page without tags and drawings."""
    text = next(one.text for one in plan_site(found).pages if one.path == path)
    text = re.sub(r"<svg .*?</svg>", " ", text, flags=re.DOTALL)
    words = html.unescape(re.sub(r"<[^>]+>", " ", text)).replace("\u202f", " ")
    return re.sub(r"\s+([.,;:])", r"\1", re.sub(r"\s+", " ", words))


def test_what_is_told_moves_both_sides_and_the_backs_besides() -> None:
    register = register_of(work(TOLD))
    assert register.seats is not None
    front, back = register.front_correction, register.back_correction
    # By hand: the fold lies 1.0 mm left of where it is printed, the print 0.6 mm too high, turned by 0.12°.
    assert front.apply(0.0, 0.0) == pytest.approx((-1.0, 0.6), abs=0.003)
    assert front.yx == pytest.approx(-0.0020944, abs=1e-6)
    assert (register.seats.across.is_told, register.seats.along.is_told, register.seats.turn.is_told) == (
        True,
        True,
        True,
    )
    # The backs lie 0.4 mm right of the fronts and 0.2 mm above them.
    at_x, at_y = front.apply(60.0, -40.0)
    assert back.apply(60.0, -40.0) == pytest.approx((at_x - 0.4, at_y + 0.2), abs=1e-9)


def test_crossovers_are_predicted_with_it() -> None:
    found = work(TOLD).press
    untouched = work(NOT_TOLD).press
    assert found.crossovers, "the book has a crossover on two sheets"
    for before, after in zip(found.crossovers_before, found.crossovers, strict=True):
        assert abs(before.mean_dx_mm) > 1.5
        assert abs(after.mean_dx_mm) < 0.01
        assert after.failing_share < before.failing_share
    # What is not told stays in the mean.
    assert any(abs(one.mean_dx_mm) > 0.05 for one in untouched.crossovers)


def test_every_page_of_the_files_carries_it_with_its_words() -> None:
    found = work(TOLD)
    register = register_of(found)
    files = {file.name: file for file in list_plate_files(found)}
    assert set(files) == {"fronts", "backs"}
    for name, moved in (("fronts", register.front_correction), ("backs", register.back_correction)):
        for page in files[name].pages:
            assert page.correction == moved
            assert (
                "Front and back alike moved 0.999 mm left, 0.602 mm down, turned 0.12° anticlockwise"
                in page.label
            )
            assert ("Back moved 0.4 mm left, 0.2 mm down" in page.label) == (name == "backs")
    assert files["fronts"].note == "moved on the sheet"
    assert "both sides moved on the sheet" in files["backs"].note


def test_what_is_not_told_leaves_the_fronts_as_they_are() -> None:
    """The pages of the fronts are the same records as with no seat read, and those of the backs too."""
    bare = list_plate_files(work_without_seats())
    found = work(NOT_TOLD)
    assert register_of(found).front_correction == IDENTITY
    assert say_seat_correction(register_of(found)) == ()
    assert [file.pages for file in list_plate_files(found)] == [file.pages for file in bare]
    assert repr(list_plate_files(found)) == repr(bare)


def work_without_seats() -> Workings:
    """Return the same book and marks with no seat read."""
    files = {f"register/{n}.yml": reading(*one).split("front:")[0] for n, one in enumerate(NOT_TOLD)}
    notes = {"replica.yml": "title: R\nedition: 6\n", "stocks/laid.md": LAID, "printers/desk.md": note()}
    return work_up(
        decode_well({**notes, **MASTERS, **CROSSING, "book.yml": BOOK, **files}), {}, Reference(), ARTWORK
    )


@pytest.mark.parametrize(
    ("leaf", "without", "along"),
    [("105 x 165 mm", "", True), ("105 x 209 mm", "along", False), ("148.4 x 165 mm", "all", False)],
    ids=["room", "none along", "none across"],
)
def test_pages_are_never_moved_off_their_sheet(leaf: str, without: str, along: bool) -> None:
    straight = tuple((right, down, 0.0, fold) for right, down, _, fold in TOLD)
    found = work(straight, BOOK.replace("105 x 165 mm", leaf))
    register = register_of(found)
    assert register.without_room == without
    assert (register.front_correction.y_mm != 0) == along
    assert register.front_correction.is_identity == (without == "all")
    if without == "along":
        assert register.front_correction.x_mm == pytest.approx(-1.0)
    said = plain(found, "book/register.md")
    assert ("There is no room on the sheet to move it along" in said) == (without == "along")
    assert ("There is no room on the sheet to move it." in said) == (without == "all")


def test_the_pages_say_what_is_moved_and_why() -> None:
    register, crossovers = (plain(work(TOLD), f"book/{name}.md") for name in ("register", "crossovers"))
    assert "Across, against the fold 1.00 ± 0.06 mm to the right, 3 sheets: told from nothing" in register
    assert "(more than 0.25 mm would be)" in register
    assert "Fronts and backs alike are moved 1.00 mm to the left and 0.60 mm down, turned" in register
    assert "folded edge to edge" in register
    assert "so that their fold line lies on the fold" in crossovers
    maps = re.findall(r"Correction of the (fronts|backs) x′", register)
    assert maps == ["fronts", "backs"]


def test_a_shift_along_alone_is_said_to_be_for_the_margins() -> None:
    only_along = tuple(
        (right, down, 0.0, fold) for (_, down, _, _), (right, _, _, fold) in zip(TOLD, NOT_TOLD, strict=True)
    )
    found = work(only_along)
    assert say_seat_correction(register_of(found)) == (
        "Front and back alike moved 0.6 mm down, seen from the front",
    )
    assert "Along it both sides are moved 0.60 mm down, which only the margins need" in plain(
        found, "book/crossovers.md"
    )
    assert "folded edge to edge" not in plain(found, "book/register.md")


def test_the_pages_say_what_is_not_told() -> None:
    register, crossovers = (plain(work(NOT_TOLD), f"book/{name}.md") for name in ("register", "crossovers"))
    assert "not told from nothing" in register
    assert "Fronts and backs are printed where they are." in register
    assert "Across the fold the print is left where it is: it lies" in crossovers
    assert "Correction of the fronts" not in register
    one = plain(work(TOLD[:1]), "book/register.md")
    assert "one sheet does not tell of the next" in one
    assert "Where the print sits" not in plain(work_without_seats(), "book/register.md")


def test_a_fold_that_goes_by_the_print_is_said() -> None:
    by_marks = tuple((right, -0.6, 0.0, 0.3) for right in (0.2, 0.9, 1.5, 0.6))
    found = work(by_marks)
    assert register_of(found).front_correction.x_mm == 0
    assert "the fold goes by the print and not by the edges" in plain(found, "book/register.md")
    assert "The fold goes by the print" in plain(found, "book/crossovers.md")
