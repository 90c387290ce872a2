"""What the pages of the press say of readings: commands that run as printed, words for nothing, room, the menu."""

from __future__ import annotations

import dataclasses
import html
import math
import re
import shlex
from pathlib import Path

import cv2
import pytest

from doublure.cli import run
from doublure.errand_backs.targets import make_target
from doublure.render.plan import SitePlan
from doublure.render.plate_labels import say_correction, say_seat_correction
from doublure.render.site import plan_site
from doublure.render.site.navigation import HANDBOOK
from doublure.render.site.press_tables import ADDING, name_points
from doublure.render.site.press_words import angle_words, fine_mm, parts_rows, say_spread, way_words
from doublure.trade.press.affine import Affine
from doublure.trade.press.folding import describe_folding
from doublure.trade.press.records import Folding, PressPlan
from doublure.trade.press.register.parts import split_map
from doublure.trade.press.register.records import MapParts
from doublure.trade.press.run import lay_pile
from doublure.trade.press.target import design_target
from doublure.workings.all import Workings, work_up
from doublure.workings.press_records import PressWorking, RegisterWorking
from doublure.workings.reference import Reference
from handbook_pages import HANDBOOK as HANDBOOK_FOLDER
from journal_samples import decode_well
from press_samples import FIT, JOURNAL, PLAN, crossover, press
from target_photographs import Printed, Shot, photograph

#: The book of press_samples on a sheet that is quick to photograph.
SMALL = {
    **{path: text for path, text in JOURNAL.items() if not path.startswith("register/")},
    "book.yml": "title: B\nleaf: 65 x 100 mm\nstock: thin-laid\nsequence: [{master: rule, times: 4}]\n"
    "gatherings: 1 sheet\npress: {sheet: 148 x 105 mm, grain: none, bleed: 0}\n",
}


def work(found: PressWorking | None = None, files: dict[str, str] | None = None) -> Workings:
    worked = work_up(decode_well(files or JOURNAL), {}, Reference())
    return worked if found is None else dataclasses.replace(worked, press=found)


def page(plan: SitePlan, path: str) -> str:
    return next(one.text for one in plan.pages if one.path == path)


def plain(text: str) -> str:
    text = re.sub(r"<svg .*?</svg>", " ", text, flags=re.DOTALL)
    words = html.unescape(re.sub(r"<[^>]+>", " ", text)).replace("\u202f", " ")
    return re.sub(r"\s+([.,;:])", r"\1", re.sub(r"\s+", " ", words))


def commands(text: str) -> dict[str, list[str]]:
    """Return the arguments of every command of backs on a page, as a shell would part them."""
    found = [html.unescape(one) for one in re.findall(r"<code>(doublure backs [^<]+)</code>", text)]
    return {shlex.split(one)[2]: shlex.split(one)[1:] for one in found}


@pytest.mark.parametrize("path", ["book/register.md", "book/paper-kit.md"])
def test_the_commands_do_as_printed_what_is_said_beside_them(
    path: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The sheet lies as the book's does, and what is read and typed counts for the book."""
    for place, content in SMALL.items():
        file = tmp_path / "journal" / place
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(content, "utf-8")
    monkeypatch.chdir(tmp_path)
    printed = commands(page(plan_site(work(files=SMALL)), path))
    assert set(printed) == {"target", "read", "enter", "fit"}
    assert run(printed["target"]) == 0
    assert "about its short edge" in capsys.readouterr().err  # As a sheet that lies is turned on a desk.
    assert (tmp_path / "target.pdf").exists()
    shot = Shot(error=Affine(1.0, 0.0, 0.0, 1.0, 0.4, -0.2), ppi=150, tilt_deg=0, margin=1.25)
    picture = photograph(Printed(design_target(148, 105)), shot, 1)
    cv2.imwrite("photo.png", picture.pixels)
    assert run(["photo.png" if one == "PHOTO" else one for one in printed["read"]]) == 0
    assert run(printed["enter"]) == 0
    assert run(printed["fit"]) == 0
    assert len(list((tmp_path / "journal" / "register").iterdir())) == 2
    notes = {
        f"register/{one.name}": one.read_text("utf-8") for one in (tmp_path / "journal/register").iterdir()
    }
    register = work(files={**SMALL, **notes}).press.register
    assert register is not None
    assert len(register.notes) == 2
    assert register.other_sheets == ()


@pytest.mark.parametrize("path", ["book/register.md", "book/paper-kit.md"])
def test_the_target_of_the_build_is_named_and_that_nothing_is_kept_without_printer_and_stock(
    path: str,
) -> None:
    said = plain(page(plan_site(work(press())), path))
    assert "print/slip-laser/target.pdf" in said
    assert "Without printer and stock the readings are only shown: no note is written" in said
    assert 'backs read --printer slip-laser --stock thin-laid --sheet "297 x 210 mm" PHOTO' in said
    assert "stands for one that the notes do not name" not in said


def test_what_the_notes_leave_open_stands_in_capitals_and_is_explained() -> None:
    said = plain(page(plan_site(work(files={"replica.yml": "title: B\n"})), "book/register.md"))
    assert "--printer PRINTER --stock STOCK --sheet SHEET PHOTO" in said
    for name, where in (
        ("PRINTER", "journal/printers/"),
        ("STOCK", "journal/stocks/"),
        ("SHEET", "press: sheet:"),
    ):
        assert f"{name} stands for one that the notes do not name yet ({where}" in said
    assert "target.pdf" not in said


def test_the_menu_has_every_page_of_the_methods_once_under_its_own_name() -> None:
    pages = [path for _, path in HANDBOOK]
    names = [name for name, _ in HANDBOOK]
    assert len(set(pages)) == len(pages)
    assert len(set(names)) == len(names)
    titles = {
        f"handbook/methods/{file.name}": file.read_text("utf-8").splitlines()[0].removeprefix("# ")
        for file in (HANDBOOK_FOLDER / "methods").glob("*.md")
    }
    assert {path: name for name, path in HANDBOOK if path.startswith("handbook/methods/")} == titles


def test_nothing_is_said_of_what_is_nothing() -> None:
    still = MapParts(0.0, 0.0, 0.0, 1.0, 1.0, 0.0)
    doubts = MapParts(0.05, 0.001, math.radians(0.002), 0.0003, 0.0, 0.0)
    told = {name: words.replace("\u202f", " ") for name, words in parts_rows(still, doubts, False)}
    assert told == {
        "Shift across": "none, 0.00 ± 0.05 mm",
        "Shift along": "none, 0.00 ± less than 0.01 mm",
        "Rotation": "none, 0.000 ± 0.002°",
        "Scale across": "true to size, 0.000 ± 0.030 %",
        "Scale along": "true to size, 0.000 ± less than 0.001 %",
    }
    assert angle_words(0.0) == "less than 0.001°"
    assert say_spread(0.0).replace("\u202f", " ") == "less than 0.01 mm"


def test_a_right_angle_is_wide_or_narrow_and_no_turn() -> None:
    """A shear opens the right angle at the upper left: the way down is turned clockwise, to the left."""
    down = (-0.001, 1.0)
    parts = split_map(Affine(1.0, down[0], 0.0, down[1], 0.0, 0.0))
    opened = math.degrees(math.atan2(down[1], down[0])) - 90
    words = dict(parts_rows(parts, parts, True))["Right angle"]
    assert opened > 0
    assert words.startswith(f"{opened:.3f}")
    assert words.endswith("too wide, upper left")


def test_a_replica_in_inches_reads_its_register_in_inches_first() -> None:
    assert fine_mm(0.508, 0.0254, inches=True).replace("\u202f", " ") == "0.020 ± 0.001 in (0.51 ± 0.03 mm)"
    assert way_words(-0.254, 0.0, inches=True).replace("\u202f", " ") == "0.010 in (0.25 mm) to the left"
    files = {**JOURNAL, "replica.yml": JOURNAL["replica.yml"].replace("units: mm", "units: in")}
    said = plain(page(plan_site(work(press(), files)), "book/register.md"))
    assert "by 0.024 in (0.62 mm) to the right and 0.012 in (0.31 mm) up" in said
    assert "0.024 ± 0.002 in (0.62 ± 0.05 mm) to the right" in said


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ((0.0, 0.72, 0.0, 1.0, 1.0, 0.0), "Back moved 0.72 mm down, seen from the front"),
        (
            (-0.4, 0.0, 0.002, 1.0, 0.9991, 0.0),
            "Back moved 0.4 mm left, turned 0.1146° clockwise, 1.00000 × 0.99910 in size, seen from the front",
        ),
        ((0.0, 0.0, 0.0, 1.0, 1.0, -0.001), "Back sheared 0.0573° anticlockwise, seen from the front"),
        ((1e-5, -1e-5, 1e-8, 1.0, 1.0, 0.0), "Back not moved: it lies on the front as read"),
        (None, "Back not corrected: no register readings"),
    ],
)
def test_the_label_leaves_out_what_is_nothing(parts: tuple[float, ...] | None, words: str) -> None:
    register = RegisterWorking("", "", (), FIT, correction_parts=MapParts(*parts) if parts else None)
    assert say_correction(register) == words
    assert say_seat_correction(register) == ()


def test_the_corners_of_the_sheet_are_told_from_the_marks() -> None:
    target = design_target(210, 297)
    corners = [(x, y) for y in (-148.5, 148.5) for x in (-105.0, 105.0)]
    names = name_points([*((mark.x_mm, mark.y_mm) for mark in target.marks), *corners, (1.0, 2.0)])
    assert names[: len(target.marks)] == [mark.name for mark in target.marks]
    assert names[-5:] == [
        "upper left", "upper right", "lower left", "lower right", "",
    ]  # fmt: skip


def test_what_a_crossover_rests_on_is_named_and_its_causes_are_not_said_to_add_up() -> None:
    plan = plan_site(work(press()))
    text = page(plan, "book/crossovers.md")
    said = plain(text)
    assert "Tried on paper" not in said
    assert "This is worked out from readings of the printer." in said
    assert ADDING in said
    assert "variances add up" not in said
    assert "It is worst 148 mm below the head." in said
    totals = re.search(r"all together.*?</tr>", text, re.DOTALL)
    assert totals is not None
    assert re.findall(r"−?\d\.\d\d", totals.group())[-4:] == ["0.21", "−0.35", "0.44", "0.37"]
    at_head = dataclasses.replace(crossover(10, (0.21, -0.35), 1.31, 0.012, True), worst_y_mm=0.2)
    found = dataclasses.replace(press(), crossovers=(at_head,))
    assert "It is worst at the head." in plain(page(plan_site(work(found)), "book/crossovers.md"))


def lay(sheet: str, leaf: str = "105 x 165 mm", more: str = "") -> str:
    book = JOURNAL["book.yml"].replace("sheet: 297 x 210 mm", f"sheet: {sheet}{more}")
    files = {**JOURNAL, "book.yml": book.replace("leaf: 105 x 165 mm", f"leaf: {leaf}")}
    return plain(page(plan_site(work(files=files)), "book/plates.md"))


def test_what_finds_no_room_is_said_with_what_it_means_and_a_sheet_that_would_do() -> None:
    said = lay("230 x 170 mm")
    assert (
        "There is no room for all of the bleed, marks for cutting, marks for folding and the label." in said
    )
    assert "write its number on each pile" in said
    assert "fold edge to edge" in said
    found = re.search(
        r"A sheet of 230 mm \(\S+ in\) × (\d+) mm \(\S+ in\) or more has room for all of it", said
    )
    assert found is not None
    assert "There is no room" not in lay(f"230 x {found.group(1)} mm")
    assert "There is no room" in lay(f"230 x {int(found.group(1)) - 1} mm")


def test_bleed_0_is_named_where_it_gives_the_marks_room() -> None:
    said = lay("297 x 171 mm")
    assert "Where no artwork runs to the trim, bleed: 0 leaves room for all marks" in said
    assert "There is no room" not in lay("297 x 210 mm")


@pytest.mark.parametrize(("sheet", "side"), [((297.0, 210.0), "shorter"), ((230.0, 330.0), "longer")])
def test_grain_that_no_way_of_laying_helps_is_not_said_to_be_helped_by_turning(
    sheet: tuple[float, float], side: str
) -> None:
    layout = dataclasses.replace(PLAN.layout, sheet_width_mm=sheet[0], sheet_height_mm=sheet[1])
    plan: PressPlan = dataclasses.replace(PLAN, layout=layout)
    assert layout.fold_grain_ok is False
    assert describe_folding(Folding.FOLIO, False).grain_along == "height"
    said = plain(page(plan_site(work(dataclasses.replace(press(), plan=plan))), "book/plates.md"))
    assert (
        f"whichever way the sheet is laid. Use a sheet whose grain runs along its {side} side"
        in said
    )
    assert "Turn the work" not in said


@pytest.mark.parametrize("turns_short_edge", [True, False])
@pytest.mark.parametrize("sheet", [(297.0, 210.0), (210.0, 297.0), (200.0, 200.0)])
def test_the_command_makes_the_target_that_the_build_makes(
    sheet: tuple[float, float], turns_short_edge: bool, tmp_path: Path
) -> None:
    """Its back is turned half round for the printer of the book as that of print/slip-laser/target.pdf is."""
    found = press()
    printer = dataclasses.replace(found.printer, turns_short_edge=turns_short_edge)
    layout = dataclasses.replace(PLAN.layout, sheet_width_mm=sheet[0], sheet_height_mm=sheet[1])
    found = dataclasses.replace(found, printer=printer, plan=dataclasses.replace(PLAN, layout=layout))
    text = page(plan_site(work(found)), "book/register.md")
    arguments = commands(text)["target"]
    asked = arguments[arguments.index("--sheet") + 1], arguments[arguments.index("--turn") + 1]
    made = make_target(*asked, tmp_path / "target.pdf")
    assert (made.target.sheet_width_mm, made.target.sheet_height_mm) == sheet
    assert made.back_turned == lay_pile(printer, *sheet)[1].page_turned


def test_a_sheet_that_was_kept_or_turned_says_so_beside_its_grain() -> None:
    """A leaf pair is 210 wide: on 210 x 297 there is nothing beside it for bleed and marks, on 297 x 210 there is."""
    kept = lay("297 x 210 mm", more=", grain: long")
    assert "as it is written, against the grain: turned, marks or bleed would find less room" in kept
    assert (
        "against the grain; turned, marks or bleed would find less room. Use a sheet whose grain runs" in kept
    )
    turned = lay("297 x 250 mm", more=", grain: long")
    assert "turned from the way in which it is written, so that the fold runs with the grain" in turned
    assert "runs against the grain" not in turned
