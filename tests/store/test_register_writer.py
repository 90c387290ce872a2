"""Notes of register: whole, new, read back as what was written; the target's file."""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from doublure.errors import UsageError
from doublure.model.notes import MarkOffset
from doublure.notes.journal import decode_journal
from doublure.store import register_writer
from doublure.store.journal_files import read_sources
from doublure.store.register_writer import RegisterDraft, read_readings, write_register_note, write_target

DRAFT = RegisterDraft(
    day=date(2031, 4, 2), printer="bench-laser", stock="text-wove", sheet="297 x 210 mm", method="against the light",
    photo=None,
    offsets=(MarkOffset("A1", 0.3124, -0.1207), MarkOffset("D6", -0.05, 0.0)), u_mm=0.0213, front_right_mm=0.84,
    front_down_mm=-0.4, front_turn_rad=0.002, fold_right_mm=-0.3,
)  # fmt: skip


def project(folder: Path) -> Path:
    for place, text in (
        ("replica.yml", "title: The tide book\n"),
        ("printers/bench-laser.md", "---\ntitle: Laser printer on the bench\n---\n"),
        ("stocks/text-wove.md", "---\ntitle: Wove\nkind: paper\n---\n"),
    ):
        path = folder / "journal" / place
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    return folder


def test_a_note_reads_back_as_what_was_written(tmp_path: Path) -> None:
    root = project(tmp_path)
    assert write_register_note(root, DRAFT) == "journal/register/2031-04-02-bench-laser-text-wove-1.yml"
    replica, problems = decode_journal(*read_sources(root))
    assert not [problem for problem in problems if "register" in problem.span.file]
    assert replica is not None
    note = replica.register["2031-04-02-bench-laser-text-wove-1"]
    assert (note.printer, note.stock, note.date, note.method) == (
        "bench-laser",
        "text-wove",
        date(2031, 4, 2),
        DRAFT.method,
    )
    assert note.sheet is not None
    assert (note.sheet.width_mm.value, note.sheet.height_mm.value) == (297, 210)
    assert [(one.mark, one.right_mm, one.down_mm) for one in note.offsets] == [
        ("A1", pytest.approx(0.312), pytest.approx(-0.121)),
        ("D6", pytest.approx(-0.05), pytest.approx(0.0)),
    ]
    assert note.u_mm == pytest.approx(0.021)
    assert (note.front_right_mm, note.front_down_mm, note.fold_right_mm) == pytest.approx((0.84, -0.4, -0.3))
    assert note.front_turn_rad == pytest.approx(0.002, abs=2e-6)


def test_what_was_not_read_is_left_out(tmp_path: Path) -> None:
    root = project(tmp_path)
    bare = replace(
        DRAFT, u_mm=None, front_right_mm=None, front_down_mm=None, front_turn_rad=None, fold_right_mm=None
    )
    text = (root / write_register_note(root, bare)).read_text("utf-8")
    assert not any(word in text for word in ("front", "fold", "uncertainty", "photo"))


@pytest.mark.parametrize("has_links", [True, False])
def test_no_note_is_written_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, has_links: bool) -> None:
    root = project(tmp_path)
    if not has_links:

        def refuse(*_: object) -> None:
            raise PermissionError("no links here")

        monkeypatch.setattr(os, "link", refuse)
    names = [Path(write_register_note(root, DRAFT)).stem for _ in range(3)]
    (root / "journal/register/2031-04-02-bench-laser-text-wove-4.md").write_text("---\n---\n", "utf-8")
    names.append(Path(write_register_note(root, DRAFT)).stem)
    assert names == [f"2031-04-02-bench-laser-text-wove-{n}" for n in (1, 2, 3, 5)]
    assert not [path for path in (root / "journal/register").iterdir() if path.name.startswith(".")]


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = project(tmp_path)

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(register_writer.os, "fsync", refuse)
    with pytest.raises(OSError, match="No space"):
        write_register_note(root, DRAFT)
    assert not list((root / "journal/register").iterdir())


def test_only_a_picture_in_the_journal_is_named(tmp_path: Path) -> None:
    root = project(tmp_path)
    pictures = root / "journal/pictures"
    (pictures / "private").mkdir(parents=True)
    cases = {
        pictures / "target-1.jpg": "photo: pictures/target-1.jpg",
        pictures / "private/target.jpg": "",
        pictures / "odd: name.jpg": "",
        tmp_path / "elsewhere.jpg": "",
    }
    for photo, line in cases.items():
        photo.write_bytes(b"x")
        text = (root / write_register_note(root, replace(DRAFT, photo=photo))).read_text("utf-8")
        assert (line in text) if line else ("photo" not in text)


def test_a_target_takes_the_place_of_an_earlier_one_only_when_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "target.pdf"
    write_target(path, b"one")
    write_target(path, b"two")
    assert path.read_bytes() == b"two"

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(register_writer.os, "fsync", refuse)
    with pytest.raises(OSError, match="No space"):
        write_target(path, b"three")
    assert path.read_bytes() == b"two"
    assert [each.name for each in tmp_path.iterdir()] == ["target.pdf"]


def test_places_that_cannot_take_a_target_are_named(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="is a folder"):
        write_target(tmp_path, b"one")
    with pytest.raises(UsageError, match="no folder"):
        write_target(tmp_path / "a/b.pdf", b"one")


def test_readings_are_read_as_text(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"\xff\xfe")
    with pytest.raises(UsageError, match="UTF-8"):
        read_readings(tmp_path / "a")
    with pytest.raises(UsageError, match="no such file"):
        read_readings(tmp_path / "b")
