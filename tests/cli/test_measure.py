"""measure and flatten: sizes, formats, readings in notes, pieces; plain words for what will not do."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image

from doublure.cli import run
from doublure.trade.imaging.plane_fit import points_of, project

Capture = pytest.CaptureFixture[str]
VIEW = np.array([[6.0, 0.6, 200], [-0.4, 5.5, 180], [0.0006, 0.0012, 1]])
SHEET = [(0, 0), (89, 0), (89, 127), (0, 127)]
CARD = [(100, 10), (164, 10), (164, 131), (100, 131)]
NOTE = """---
title: Card   # as it is called
readings:
  # seen first
  - {from: drawing, paper: buff}

place: {between: [8, 9]}   # where it lay
---
Its words stay.\r
"""


def at(places: list[tuple[float, float]]) -> str:
    """Return where places on the plane show, as typed."""
    return " ".join(f"{x:.3f},{y:.3f}" for x, y in project(VIEW, points_of(places)))


KNOWN = ["--known", "89 ± 0.2 x 127 ± 0.2 mm", "--known-at", at(SHEET)]
WANTED = ["--wanted-at", at(CARD)]


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    """A drawn photograph of a sheet and a card with bars."""
    pixels = np.full((1200, 1600, 3), 90, np.uint8)
    for places, colour in [
        (SHEET, (240, 240, 240)),
        (CARD, (200, 220, 250)),
        *(([(105, y), (155, y), (155, y + 4), (105, y + 4)], (20, 20, 20)) for y in range(20, 120, 12)),
    ]:
        corners = np.round(project(VIEW, points_of(places)) * 16).astype(np.int32)
        cv2.fillPoly(pixels, [corners], colour, cv2.LINE_AA, 4)
    path = tmp_path / "photo.png"
    cv2.imwrite(str(path), pixels)
    return path


@pytest.fixture
def project_folder(tmp_path: Path, photo: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    root = tmp_path / "book"
    for place, text in (
        ("replica.yml", "title: The tide book\n"),
        ("book.yml", "title: The book\nleaf: 89 x 127 mm\n"),
        ("evidence/drawing.md", "---\ntitle: A drawing\nkind: copy\n---\n"),
        ("evidence/frame.md", "---\ntitle: A frame\nkind: frame\npicture: pictures/frame.png\n---\n"),
        ("inserts/card.md", NOTE),
        (
            "inserts/ticket.md",
            "---\ntitle: Ticket\nreadings:\n  - {from: drawing, size: 89 x 127 mm, stated: yes}\n---\n",
        ),
        ("inserts/flow.md", "---\ntitle: Flow\nreadings: [{from: drawing, paper: buff}]\n---\n"),
        ("inserts/bare.md", "---\ntitle: Bare\n---\n"),
        ("inserts/none.md", "Only words.\n"),
    ):
        path = root / "journal" / place
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode())
    (root / "journal" / "pictures").mkdir()
    (root / "journal" / "pictures" / "frame.png").write_bytes(photo.read_bytes())
    monkeypatch.chdir(root)
    return root


def data(arguments: list[str], capsys: Capture) -> Any:
    assert run([*arguments, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def refuse(arguments: list[str], capsys: Capture, status: int = 1) -> str:
    assert run(arguments) == status
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "Traceback" not in printed.err
    return printed.err


def test_a_card_beside_a_sheet(photo: Path, capsys: Capture) -> None:
    found = data(["measure", str(photo), *KNOWN, *WANTED, "--picking", "0.5", "--lens-doubt", "0.01"], capsys)
    assert found["width_mm"] == pytest.approx(64, abs=0.01)
    assert found["height_mm"] == pytest.approx(121, abs=0.01)
    assert 0.1 < found["u_width_mm"] < 1
    assert found["half_95_height_mm"] == pytest.approx(1.96 * found["u_height_mm"], rel=1e-3)
    assert found["warnings"] == []
    assert found["lens"]["by"] == "unknown"
    wide = data(["measure", str(photo), *KNOWN, *WANTED, "--picking", "0.5"], capsys)
    assert wide["u_width_mm"] > 1.5 * found["u_width_mm"]
    scan = data(["measure", str(photo), *KNOWN, *WANTED, "--picking", "0.5", "--scan"], capsys)
    assert scan["u_width_mm"] < found["u_width_mm"]


def test_what_is_printed_names_what_it_rests_on(photo: Path, capsys: Capture) -> None:
    assert (
        run(
            [
                "measure",
                str(photo),
                *KNOWN[:1],
                "89 x 127 mm",
                *KNOWN[2:],
                *WANTED,
                "--above",
                "2 mm",
                "--draws",
                "100",
            ]
        )
        == 0
    )
    printed = capsys.readouterr()
    for words in (
        "Width ",
        "95 % within",
        "Correlation",
        "Opposite sides",
        "assumed",
        "too large by up to",
        "100 draws",
    ):
        assert words in printed.out
    assert "Not yet tried on paper" in printed.out
    assert "taken for exact" in printed.err


def test_formats_that_fit_are_named(photo: Path, capsys: Capture) -> None:
    """The sheet measured by the card is a print of 3 1/2 x 5 in."""
    arguments = [
        "measure",
        str(photo),
        "--known",
        "64 ± 0.1 x 121 ± 0.1 mm",
        "--known-at",
        at(CARD),
        "--wanted-at",
        at(SHEET),
    ]
    found = data([*arguments, "--picking", "0.5", "--scan"], capsys)
    assert found["width_mm"] == pytest.approx(89, abs=0.01)
    assert any(abs(one["short_mm"] - 88.9) < 1 and abs(one["long_mm"] - 127) < 1 for one in found["formats"])


def test_a_points_file_says_the_same_as_options(photo: Path, tmp_path: Path, capsys: Capture) -> None:
    direct = data(
        ["measure", str(photo), *KNOWN, *WANTED, "--picking", "0.5", "--lens-doubt", "0.01"], capsys
    )
    points = tmp_path / "points.yml"
    wanted = [list(map(float, pair.split(","))) for pair in at(CARD).split()]
    points.write_text(
        f'known: 89 ± 0.2 x 127 ± 0.2 mm\nknown_at: "{at(SHEET)}"\nwanted_at: {wanted}\n'
        "picking: 0.5\nlens_doubt: 0.01\n",
        "utf-8",
    )
    assert data(["measure", str(photo), "--points", str(points)], capsys) == direct


def test_a_pattern_and_a_published_lens(photo: Path, tmp_path: Path, capsys: Capture) -> None:
    places = [(float(x), float(y)) for x in (0, 30, 60, 89) for y in (0, 40, 80, 127)]
    rows = [
        [*place, *map(float, px.split(","))] for place, px in zip(places, at(places).split(), strict=True)
    ]
    points = tmp_path / "points.json"
    points.write_text(json.dumps({"pattern": rows, "pattern_doubt": "0.2 %", "wanted_at": at(CARD)}), "utf-8")
    found = data(["measure", str(photo), "--points", str(points)], capsys)
    assert (found["method"], found["lens"]["by"]) == ("pattern", "pattern")
    assert found["width_mm"] == pytest.approx(64, abs=found["half_95_width_mm"])
    assert found["picking_by"] == "from the points"
    uncorrected = data(["measure", str(photo), "--points", str(points), "--uncorrected"], capsys)
    assert uncorrected["lens"]["by"] == "uncorrected"
    points.write_text(
        json.dumps(
            {"pattern": rows, "wanted_at": at(CARD), "lens": {"focal": 1500, "centre": [800, 600], "k1": 0}}
        ),
        "utf-8",
    )
    published = data(["measure", str(photo), "--points", str(points)], capsys)
    assert published["lens"]["by"] == "published"
    assert published["width_mm"] == pytest.approx(64, abs=0.01)
    rows[5][2] += 9
    points.write_text(json.dumps({"pattern": rows, "wanted_at": at(CARD)}), "utf-8")
    assert "fit far worse" in " ".join(
        data(["measure", str(photo), "--points", str(points)], capsys)["warnings"]
    )


def test_edges_a_length_a_coin_and_the_ratio_alone(photo: Path, capsys: Capture) -> None:
    edge = [
        "--edge",
        at([(x, 0) for x in range(0, 90, 10)]),
        "--edge",
        at([(0, y) for y in range(0, 121, 10)]),
    ]
    by_edges = data(["measure", str(photo), *KNOWN, *WANTED, *edge, "--picking", "0.3"], capsys)
    without = data(["measure", str(photo), *KNOWN, *WANTED, "--picking", "0.3"], capsys)
    assert by_edges["lens"]["by"] == "edges"
    assert by_edges["u_width_mm"] < without["u_width_mm"]
    length = data(
        [
            "measure",
            str(photo),
            "--known",
            "89 mm",
            "--known-at",
            at(SHEET[:2]),
            "--wanted-at",
            at(CARD[:2]),
            "--scan",
        ],
        capsys,
    )
    assert length["length_mm"] == pytest.approx(64, rel=0.12)
    angles = np.linspace(0, 2 * np.pi, 9)[:-1]
    rim = at([(45 + 12 * float(np.cos(a)), 60 + 12 * float(np.sin(a))) for a in angles])
    coin = data(
        [
            "measure",
            str(photo),
            "--coin",
            "24 mm",
            "--known-at",
            rim,
            "--wanted-at",
            at([(30, 40), (60, 40)]),
        ],
        capsys,
    )
    assert coin["length_mm"] == pytest.approx(30, abs=coin["half_95_length_mm"])
    ratio = data(["measure", str(photo), *WANTED, "--lens-doubt", "0.02"], capsys)
    assert ratio["method"] == "ratio"
    assert "width_mm" not in ratio
    assert 0.3 < ratio["ratio"] < 0.9
    assert ratio["formats"]


def test_a_reading_goes_into_the_note_and_nothing_else_changes(project_folder: Path, capsys: Capture) -> None:
    picture = "journal/pictures/frame.png"
    note = project_folder / "journal" / "inserts" / "card.md"
    os.chmod(note, 0o640)
    found = data(
        ["measure", picture, *KNOWN, *WANTED, "--scan", "--picking", "0.5", "--into", "card"], capsys
    )
    assert found["note"] == "journal/inserts/card.md"
    lines, before = note.read_bytes().decode().split("\n"), NOTE.split("\n")
    added = [line for line in lines if line not in before]
    assert len(added) == 1
    assert added[0].startswith("  - {from: frame, size: 64")
    assert [line for line in lines if line in before] == before
    assert lines.index(added[0]) == before.index("  - {from: drawing, paper: buff}") + 1
    assert note.stat().st_mode & 0o777 == 0o640
    (project_folder / "journal" / "inserts" / "none.md").unlink()
    assert run(["check"]) == 0
    capsys.readouterr()
    assert (
        run(
            [
                "measure",
                picture,
                *KNOWN,
                "--wanted-at",
                at(CARD[:2]),
                "--scan",
                "--into",
                "bare",
                "--as",
                "width",
            ]
        )
        == 0
    )
    assert "- {from: frame, width: 64" in (project_folder / "journal" / "inserts" / "bare.md").read_text(
        "utf-8"
    )
    assert not list((project_folder / "journal" / "inserts").glob(".*"))


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--into", "crad"], "did you mean card"),
        (["--into", "card", "--from", "farme"], "did you mean frame"),
        (["--into", "flow"], "one line"),
        (["--into", "none"], "no fields"),
        (["--from", "frame"], "go with --into"),
        (["--into", "card", "--as", "depth"], "as width or as height"),
    ],
)
def test_readings_that_cannot_be_added(
    project_folder: Path, arguments: list[str], words: str, capsys: Capture
) -> None:
    inserts = project_folder / "journal" / "inserts"
    before = {path.name: path.read_bytes() for path in inserts.iterdir()}
    assert words in refuse(
        ["measure", "journal/pictures/frame.png", *KNOWN, *WANTED, "--scan", *arguments], capsys
    )
    assert {path.name: path.read_bytes() for path in inserts.iterdir()} == before


def test_a_picture_of_no_evidence_and_a_length_without_its_side(
    project_folder: Path, photo: Path, capsys: Capture
) -> None:
    assert "no evidence has this picture" in refuse(
        ["measure", str(photo), *KNOWN, *WANTED, "--into", "card"], capsys
    )
    arguments = [
        "measure",
        str(photo),
        *KNOWN,
        "--wanted-at",
        at(CARD[:2]),
        "--into",
        "card",
        "--from",
        "frame",
    ]
    assert "--as" in refuse(arguments, capsys)
    ratio = ["measure", str(photo), *WANTED, "--into", "card", "--from", "frame"]
    assert "no size" in refuse(ratio, capsys)


def test_sizes_from_the_notes(project_folder: Path, capsys: Capture) -> None:
    picture = "journal/pictures/frame.png"
    leaf = data(["measure", picture, "--known", "leaf", *KNOWN[2:], *WANTED, "--scan"], capsys)
    assert leaf["width_mm"] == pytest.approx(64, abs=0.01)
    words = refuse(["measure", picture, "--known", "ticket", *KNOWN[2:], *WANTED, "--scan"], capsys)
    assert "not settled" in words
    path = project_folder / "journal" / "inserts" / "ticket.md"
    both = "  - {from: frame, size: 89.1 ± 0.3 x 127.1 ± 0.3 mm, stated: yes}\n"
    path.write_text(path.read_text("utf-8").replace("stated: yes}\n", "stated: yes}\n" + both, 1), "utf-8")
    settled = data(["measure", picture, "--known", "ticket", *KNOWN[2:], *WANTED, "--scan"], capsys)
    assert settled["width_mm"] == pytest.approx(64, abs=0.3)
    assert settled["u_width_mm"] > leaf["u_width_mm"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([*KNOWN], "four corners in turn, or two ends"),
        ([*WANTED, "--known", "89 mm", *KNOWN[2:]], "known"),
        ([*WANTED, "--known", "A4", "--known-at", "1,1 2,2 3,3"], "four corners of a size, or two ends"),
        ([*WANTED, "--known", "A4", "--known-at", "10,10 500,500 500,10 10,500"], "not in turn"),
        ([*WANTED, "--known", "A4", "--known-at", "10,10 500,10 9000,500 10,500"], "outside the picture"),
        ([*WANTED, "--known", "A4", "--known-at", "ten,10"], "is no point"),
        ([*KNOWN, "--wanted-at", "5,5 5.5,5"], "on one spot"),
        ([*KNOWN, *WANTED, "--picking", "0"], "above 0"),
        ([*KNOWN, *WANTED, "--lens-doubt", "2"], "between 0 and 0.5"),
        ([*KNOWN, *WANTED, "--draws", "3"], "100"),
        ([*KNOWN, *WANTED, "--above", "9 m"], "camera"),
        ([*KNOWN, *WANTED, "--coin", "20 mm", "--known-at", "1,1"], "coin"),
        ([*KNOWN, *WANTED, "--scan", "--edge", "1,1 5,5 9,9"], "no lens"),
        ([*KNOWN, *WANTED, "--edge", "1,1 5,5"], "from three"),
        (["--wanted-at", "10,10 400,10"], "nothing of known size"),
        ([*WANTED, "--points", "nowhere.yml"], "nowhere.yml"),
    ],
)
def test_what_cannot_be_used_is_said_plainly(
    photo: Path, arguments: list[str], words: str, capsys: Capture
) -> None:
    assert words in refuse(["measure", str(photo), *arguments], capsys)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("known: [1]\n", "one value"),
        ("sheet: A4\n", "no such field"),
        ("pattern: [[1, 2, 3]]\n", "4 numbers"),
        ("lens: {focal: -1, centre: [1, 2]}\n", "above nought"),
        ("lens: {k1: 1}\n", "focal and centre"),
        ("scan: perhaps\n", "yes or no"),
        ("picking: soon\n", "no number"),
        ("edges: 1,1\n", "list"),
        ("- a\n", "fields"),
        ("known: {\n", "error"),
        ("\udcff", "UTF-8"),
    ],
)
def test_points_files_that_cannot_be_read(
    photo: Path, tmp_path: Path, text: str, words: str, capsys: Capture
) -> None:
    points = tmp_path / "points.yml"
    points.write_bytes(text.encode("utf-8", "surrogateescape"))
    assert words in refuse(["measure", str(photo), "--points", str(points)], capsys)


@pytest.mark.parametrize("content", [b"", b"no picture", b"\x89PNG\r\n\x1a\n broken", b"%PDF-1.4"])
def test_pictures_that_cannot_be_read(tmp_path: Path, content: bytes, capsys: Capture) -> None:
    photo, piece = tmp_path / "x.png", tmp_path / "piece.png"
    photo.write_bytes(content)
    assert refuse(["measure", str(photo), *KNOWN, *WANTED], capsys).startswith(f"doublure: {photo}")
    assert refuse(["flatten", str(photo), *KNOWN, *WANTED, "-o", str(piece)], capsys).startswith(
        f"doublure: {photo}"
    )
    assert sorted(path.name for path in tmp_path.iterdir()) == ["x.png"]


def test_pictures_of_all_sorts_measure_alike(photo: Path, tmp_path: Path, capsys: Capture) -> None:
    """Turned by its tag, in CMYK, of 16 bits, moving: the same size."""
    picture = Image.open(photo)
    tagged = Image.Exif()
    tagged[0x0112] = 3
    picture.rotate(180).save(tmp_path / "turned.jpg", exif=tagged, quality=95)
    picture.convert("CMYK").save(tmp_path / "cmyk.jpg", quality=95)
    Image.fromarray(np.asarray(picture.convert("L")).astype(np.uint16) * 257).save(tmp_path / "deep.png")
    picture.convert("P").save(tmp_path / "moving.gif", save_all=True, append_images=[picture.convert("P")])
    for name in ("turned.jpg", "cmyk.jpg", "deep.png", "moving.gif"):
        found = data(["measure", str(tmp_path / name), *KNOWN, *WANTED, "--scan"], capsys)
        assert found["width_mm"] == pytest.approx(64, abs=0.01), name
        piece = tmp_path / f"{name}.piece.png"
        data(
            ["flatten", str(tmp_path / name), *KNOWN, *WANTED, "--scan", "--ppi", "100", "-o", str(piece)],
            capsys,
        )
        grey = np.asarray(Image.open(piece).convert("L")).astype(int)
        assert grey[round(22 - 10) * 100 // 25, 100] < 90, name
        assert grey[10, 10] > 150, name


def test_a_piece_is_to_scale_and_says_what_it_has(photo: Path, tmp_path: Path, capsys: Capture) -> None:
    piece = tmp_path / "piece.png"
    arguments = ["flatten", str(photo), *KNOWN, *WANTED, "--scan", "-o", str(piece)]
    found = data([*arguments, "--ppi", "300", "--margin", "2 mm"], capsys)
    with Image.open(piece) as picture:
        assert (
            picture.size
            == (found["width_px"], found["height_px"])
            == (round(68 / 25.4 * 300), round(125 / 25.4 * 300))
        )
        assert picture.info["dpi"] == pytest.approx((300, 300), abs=0.1)
    assert found["present_ppi_least"] < 150
    assert "no more detail" in found["warnings"][0]
    before = piece.read_bytes()
    assert "is there already" in refuse(arguments, capsys)
    assert piece.read_bytes() == before
    plain = data([*arguments, "--replace"], capsys)
    assert plain["ppi"] == pytest.approx(plain["present_ppi_median"])
    assert run([*arguments, "--replace"]) == 0
    assert "pixels an inch of it" in capsys.readouterr().out


def test_large_pictures_are_measured_in_their_own_pixels(
    photo: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Points are picked in the picture as it is, also where it is read smaller."""
    before = data(["measure", str(photo), *KNOWN, *WANTED], capsys)
    monkeypatch.setattr("doublure.store.photo_pixels.MAX_GREY_PIXELS", 50_000)
    assert data(["measure", str(photo), *KNOWN, *WANTED], capsys) == before


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([*KNOWN, "--wanted-at", at(CARD[::-1]), "-o", "piece.png"], "wrong way"),
        ([*KNOWN, *WANTED, "-o", "piece.bmp"], "written as"),
        ([*KNOWN, *WANTED, "-o", "nowhere/piece.png"], "no folder"),
        ([*KNOWN, *WANTED, "-o", "photo.png", "--replace"], "never written over"),
        ([*KNOWN, "--wanted-at", "1,1 5,5", "-o", "piece.png"], "four corners in turn"),
        ([*WANTED, "--known", "89 mm", "--known-at", "1,1 5,5", "-o", "piece.png"], "true scale"),
        ([*KNOWN, *WANTED, "-o", "piece.png", "--ppi", "9"], "10 to 4800"),
        ([*KNOWN, *WANTED, "-o", "piece.png", "--ppi", "fine"], "ppi"),
        ([*KNOWN, *WANTED, "-o", "piece.png", "--margin", "4 m", "--ppi", "600"], "fewer pixels"),
    ],
)
def test_pieces_that_cannot_be_made(
    photo: Path, arguments: list[str], words: str, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(photo.parent)
    before = photo.read_bytes()
    assert words in refuse(["flatten", str(photo), *arguments], capsys)
    assert photo.read_bytes() == before
    assert [path.name for path in photo.parent.iterdir()] == ["photo.png"]
