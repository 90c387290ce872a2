"""backs: a target, readings from pictures and by hand, notes, a fit; plain words for what will not do."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import cv2
import pytest

from doublure.cli import run
from doublure.trade.press.affine import Affine
from doublure.trade.press.target import design_target
from target_photographs import Printed, Shot, photograph

Capture = pytest.CaptureFixture[str]
ERROR = Affine(1.0008, -0.0021, 0.0024, 0.9991, 0.42, -0.57)


@pytest.fixture(scope="module")
def photos(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Two photographs of A6 targets."""
    folder = tmp_path_factory.mktemp("photos")
    printed = Printed(design_target(105, 148))
    paths = []
    for seed in (1, 2):
        shot = Shot(error=ERROR, ppi=150, tilt_deg=5 * seed, spin_deg=180 * (seed - 1), margin=1.25)
        paths.append(folder / f"target-{seed}.png")
        cv2.imwrite(str(paths[-1]), photograph(printed, shot, seed).pixels)
    return paths[0], paths[1]


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for place, text in (
        ("replica.yml", "title: The tide book\n"),
        ("printers/bench-laser.md", "---\ntitle: Laser printer on the bench\n---\n"),
        ("stocks/text-wove.md", "---\ntitle: Wove\nkind: paper\n---\n"),
    ):
        path = tmp_path / "journal" / place
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def data(arguments: list[str], capsys: Capture, status: int = 0) -> Any:
    assert run([*arguments, "--json"]) == status
    return json.loads(capsys.readouterr().out)


def refuse(arguments: list[str], capsys: Capture, status: int = 1) -> str:
    assert run(arguments) == status
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "Traceback" not in printed.err
    return printed.err


def test_a_target_is_written_with_no_project(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["backs", "target", "--sheet", "A4", "-o", "target.pdf"]) == 0
    printed = capsys.readouterr()
    assert printed.out == "wrote target.pdf: 24 marks on a sheet of 210 x 297 mm\n"
    assert "about its long edge" in printed.err
    assert (tmp_path / "target.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("sheet", "turn", "turned"),
    [
        ("A4", None, False),
        ("A4", "long", False),
        ("A4", "short edge", True),
        ("A4 landscape", None, False),
        ("A4 landscape", "long edge", True),
        ("A4 landscape", "short", False),
    ],
)
def test_the_back_comes_out_right_for_either_turn(
    sheet: str,
    turn: str | None,
    turned: bool,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: Capture,
) -> None:
    monkeypatch.chdir(tmp_path)
    arguments = ["backs", "target", "--sheet", sheet, *(["--turn", turn] if turn else [])]
    made = data(arguments, capsys)
    assert made["back_turned"] is turned
    assert len(made["marks"]) == 24
    assert (tmp_path / "target.pdf").exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--sheet", "80 x 90 mm"], "at least 102 x 99 mm"),
        (["--sheet", "Q9"], '"Q9" is not a known size'),
        (["--sheet", "210 x 297"], "has no unit"),
        (["--sheet", "A4", "-o", "nowhere/t.pdf"], "there is no folder nowhere"),
        (["--sheet", "A4", "-o", "."], "is a folder"),
    ],
)
def test_a_target_that_cannot_be_made(
    arguments: list[str], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    monkeypatch.chdir(tmp_path)
    assert words in refuse(["backs", "target", *arguments], capsys)
    assert not list(tmp_path.iterdir())


def test_photographs_are_read_and_one_that_cannot_be_costs_only_itself(
    photos: tuple[Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "words.jpg").write_text("words", "utf-8")
    assert run(["backs", "read", str(photos[0]), "words.jpg", "nowhere.jpg", str(photos[1]), "--json"]) == 1
    printed = capsys.readouterr()
    assert printed.err.splitlines() == [
        "doublure: words.jpg: is not a picture that can be read; save it as JPEG or PNG",
        "doublure: nowhere.jpg: no such file or directory",
    ]
    found = json.loads(printed.out)
    assert [one["name"] for one in found["unread"]] == ["words.jpg", "nowhere.jpg"]
    assert len(found["sheets"]) == 2
    for sheet in found["sheets"]:
        assert sheet["sheet_mm"] == [105, 148]
        assert sheet["note"] is None
        for mark in sheet["marks"]:
            x, y = ERROR.apply(mark["x_mm"], mark["y_mm"])
            assert math.hypot(mark["x_mm"] + mark["dx_mm"] - x, mark["y_mm"] + mark["dy_mm"] - y) < 0.07
            assert 0 < mark["u_mm"] < 0.06


def test_the_table_says_what_the_json_says(photos: tuple[Path, Path], capsys: Capture) -> None:
    assert run(["backs", "read", str(photos[0]), "--sheet", "A6", "--caliper", "0.1 mm"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].endswith("15 of 15 marks, sheet of 105 x 148 mm")
    assert lines[1].split() == ["mark", "right", "mm", "down", "mm", "u", "mm"]
    assert len([line for line in lines if line[:1] in "ABCDE" and line[1:2].isdigit()]) == 15
    assert lines[-1].startswith("the front sits ")


def test_in_a_project_each_sheet_becomes_a_note(
    photos: tuple[Path, Path], project: Path, capsys: Capture
) -> None:
    said = ["--printer", "bench-laser", "--stock", "text-wove", "--on", "2031-04-02"]
    assert run(["backs", "read", *map(str, photos), "--sheet", "A6", *said]) == 0
    names = [f"journal/register/2031-04-02-bench-laser-text-wove-{n}.yml" for n in (1, 2)]
    out = capsys.readouterr().out.splitlines()
    assert [line for line in out if line.startswith("wrote ")] == [f"wrote {name}" for name in names]
    entered = ["A1 +0.3 -0.2", "A3 0.4 mm right, 0.1 mm up", "E1 0,5 −0.6", "e3 0.5 -0.3", "C2 0.4 -0.5"]
    more = [
        "--sheet",
        "A6",
        "--front",
        "0.5 mm left, 0.2 mm down",
        "--front-turn",
        "0.1° clockwise",
        "--fold",
        "0.3 mm left",
    ]
    kept = data(["backs", "enter", *entered, *more, *said], capsys)["sheets"][0]
    assert kept["note"] == "journal/register/2031-04-02-bench-laser-text-wove-3.yml"
    text = (project / kept["note"]).read_text("utf-8")
    assert "method: by eye\nuncertainty: 0.100 mm" in text
    assert "E1: 0.5 mm right, 0.6 mm up" in text
    assert "fold: 0.3 mm left" in text
    found = data(["backs", "fit", *said[:4]], capsys)
    assert found["sheets"] + len(found["left_out"]) == 3
    assert found["shift_x_mm"] == pytest.approx(0.42, abs=0.05)
    assert found["shift_y_mm"] == pytest.approx(-0.57, abs=0.12)
    assert {place["place"] for place in found["misfit"]} == {
        "middle", "head left", "head right", "foot left", "foot right",
    }  # fmt: skip
    assert run(["backs", "fit", *said[:4], "--sheet", "A6"]) == 0
    printed = capsys.readouterr()
    assert "shift to the right" in printed.out
    assert "not yet tried on paper" in printed.err
    assert "no readings" in refuse(["backs", "fit", *said[:4], "--sheet", "A4"], capsys)


def test_files_of_readings_are_fitted_with_no_project(
    photos: tuple[Path, Path], tmp_path: Path, capsys: Capture
) -> None:
    files = []
    for photo in photos:
        assert run(["backs", "read", str(photo), "--sheet", "A6", "--json"]) == 0
        files.append(tmp_path / f"{photo.stem}.json")
        files[-1].write_text(capsys.readouterr().out, "utf-8")
    found = data(["backs", "fit", *map(str, files)], capsys)
    assert found["sheets"] == 2
    assert found["rotation_rad"] == pytest.approx((ERROR.yx - ERROR.xy) / 2, abs=0.0002)
    assert run(["backs", "fit", str(files[0])]) == 0
    assert "One sheet does not tell how sheets differ" in capsys.readouterr().err
    other = json.loads(files[0].read_text())
    other["sheets"][0]["sheet_mm"] = [210, 297]
    (tmp_path / "other.json").write_text(json.dumps(other), "utf-8")
    words = refuse(["backs", "fit", str(files[0]), str(tmp_path / "other.json")], capsys)
    assert "different sheets, 105 x 148 mm and 210 x 297 mm" in words


@pytest.mark.parametrize(
    "text",
    [
        "", "[]", "words", "{}", '{"sheets": 3}', '{"sheets": [3]}',
        '{"sheets": [{"sheet_mm": [1, 2], "marks": [{}]}]}',
        '{"sheets": [{"sheet_mm": [105, 148],'
        ' "marks": [{"name": "A1", "x_mm": NaN, "y_mm": 1, "dx_mm": 1, "dy_mm": 1}]}]}',
        '{"sheets": [{"sheet_mm": "A4", "marks": []}]}', "[" * 5000,
    ],
)  # fmt: skip
def test_files_that_hold_no_readings(text: str, tmp_path: Path, capsys: Capture) -> None:
    (tmp_path / "r.json").write_text(text, "utf-8")
    assert "holds no readings" in refuse(["backs", "fit", str(tmp_path / "r.json")], capsys)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["enter", "Z9 1 2", "--sheet", "A4"], 'no mark "Z9"; it has A1 to F4'),
        (["enter", "A1 1 2", "a1 1 2", "--sheet", "A4"], "A1 is given twice"),
        (["enter", "Z9 1 2", "q", "A1 +0.1 +0.1", "--sheet", "A4"], '"q": the target for this sheet has no mark'),
        (["enter", "A1 0.2", "--sheet", "A4"], '"A1 +0.3 -0.2"'),
        (["enter", "A1 1 1", "--sheet", "A4", "--uncertainty", "0"], "no eye is as sure as 0; write how sure"),
        (["enter", "A1 1 1", "--sheet", "A4", "--uncertainty", "0.0mm"], "such as 0.1 mm"),
        (["enter", "A1", "--sheet", "A4"], "A1"),
        (["enter", "A1 one two", "--sheet", "A4"], "A1"),
        (["enter", "A1 1", "--sheet", "A4"], "A1"),
        (["enter", "A1 nan 1", "--sheet", "A4"], "A1"),
        (["enter", "A1 30 1", "--sheet", "A4"], "at most 10 mm"),
        (["enter", "A1 1 1", "--sheet", "A4", "--uncertainty", "much"], "uncertainty"),
        (["enter", "A1 1 1", "--sheet", "A4", "--front", "there"], "front"),
        (["enter", "A1 1 1", "--sheet", "A4", "--front-turn", "some"], "turn"),
        (["enter", "A1 1 1", "--sheet", "A4", "--fold", "some"], "fold"),
        (["enter", "A1 1 1", "--sheet", "A4", "--printer", "bench-laser"], "both --printer and --stock"),
        (["read", "x.jpg", "--caliper", "thick"], "caliper"),
        (["read", "x.jpg", "--sheet", "50 x 60 mm"], "at least"),
        (["read", "x.jpg", "--printer", "bench-lazer", "--stock", "text-wove"], "did you mean bench-laser?"),
        (["read", "x.jpg", "--printer", "bench-laser", "--stock", "zzz"], 'stock: there is no note "zzz"'),
        (["read", "x.jpg", "--printer", "bench-laser", "--stock", "text-wove", "--on", "May"], "is no day"),
        (["fit"], "name files of readings"),
        (["fit", "--printer", "bench-laser", "--stock", "text-wove"], "there are no readings"),
        (["fit", "x.json", "--printer", "bench-laser"], "not both"),
        (["fit", "x.json"], "no such file"),
    ],
)
def test_wrong_input_is_refused_in_words(
    arguments: list[str], words: str, project: Path, capsys: Capture
) -> None:
    assert words in refuse(["backs", *arguments], capsys)
    assert not (project / "journal/register").exists()


def test_wrong_usage(capsys: Capture) -> None:
    assert "did you mean target?" in refuse(["backs", "targt"], capsys, status=2)
    assert "--sheet" in refuse(["backs", "target"], capsys, status=2)
    assert "PHOTOS" in refuse(["backs", "read"], capsys, status=2)
    refuse(["backs", "target", "--sheet", "A4", "--turn", "corner"], capsys, status=2)


def test_outside_a_project_notes_have_no_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    monkeypatch.chdir(tmp_path)
    words = refuse(["backs", "read", "x.jpg", "--printer", "a", "--stock", "b"], capsys)
    assert "no project here" in words
