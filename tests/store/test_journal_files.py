"""Reading a journal's notes as text: what is read, what is passed over, what is a fault and where."""

from __future__ import annotations

import os
from pathlib import Path, PurePosixPath

import pytest

from doublure.errors import UsageError
from doublure.model.replica import FOLDER_KINDS
from doublure.model.source import FileFault, SourceText
from doublure.store.journal_files import (
    MAX_NOTE_BYTES,
    find_project,
    journal_exists,
    known_notes,
    read_sources,
)
from doublure.store.journal_paths import NOTE_FOLDERS


@pytest.fixture
def root(tmp_path: Path) -> Path:
    for folder in ("inserts", "private", "revisions", "pictures", "artwork", "log/2031"):
        (tmp_path / "journal" / folder).mkdir(parents=True)
    return tmp_path


def write(root: Path, path: str, content: str | bytes = "title: T\n") -> Path:
    file = root / "journal" / path
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(content if isinstance(content, bytes) else content.encode())
    return file


def test_notes_are_read_in_order_with_plain_line_ends(root: Path) -> None:
    write(root, "inserts/b.md", "---\r\ntitle: B\r\n---\rbody")
    write(root, "inserts/a.yaml")
    write(root, "replica.yml")
    write(root, "log/2031/2031-03-14-x.MD")
    texts, faults = read_sources(root)
    assert faults == ()
    paths = [text.path for text in texts]
    assert paths == ["inserts/a.yaml", "inserts/b.md", "log/2031/2031-03-14-x.md", "replica.yml"]
    assert texts[2].file == "journal/log/2031/2031-03-14-x.MD"
    assert texts[1] == SourceText("journal/inserts/b.md", "inserts/b.md", "---\ntitle: B\n---\nbody")


def test_a_byte_order_mark_is_dropped(root: Path) -> None:
    write(root, "replica.yml", b"\xef\xbb\xbftitle: T\n")
    assert read_sources(root)[0][0].text == "title: T\n"


@pytest.mark.parametrize(
    "path",
    [
        "private/copies.md", "Private/copies.md", "inserts/private/a.md", "revisions/1.yml", "pictures/p.md",
        "artwork/a.yml", "inserts/.a.md", "inserts/a.md~", ".schema/a.yml", "inserts/a.css", "inserts/~a.md",
    ],
)  # fmt: skip
def test_what_is_no_note_is_passed_over(root: Path, path: str) -> None:
    write(root, path)
    assert read_sources(root) == ((), ())
    assert known_notes(root) == ()


@pytest.mark.parametrize(
    ("content", "line", "column"),
    [
        (b"title: M\xe4rz\n", 1, 9),
        ("title: T\r\nnote: grün ".encode() + b"\xff\n", 2, 12),
        (b"a\rb\rc \xc3", 3, 3),
        (b"\xef\xbb\xbfab\xff", 1, 3),
    ],
)
def test_bad_bytes_are_a_fault_with_their_place(root: Path, content: bytes, line: int, column: int) -> None:
    write(root, "inserts/a.md", content)
    texts, (fault,) = read_sources(root)
    assert texts == ()
    assert (fault.file, fault.reason) == ("journal/inserts/a.md", "encoding")
    assert (fault.line, fault.column) == (line, column)
    assert fault.detail.startswith("byte 0x")


def test_utf_16_is_named(root: Path) -> None:
    write(root, "replica.yml", "title: T".encode("utf-16"))
    (fault,) = read_sources(root)[1]
    assert fault.reason == "encoding"
    assert "UTF-16" in fault.detail


def test_the_size_of_a_note_is_limited_to_the_byte(root: Path) -> None:
    write(root, "inserts/full.md", b"a" * MAX_NOTE_BYTES)
    write(root, "inserts/more.md", b"a" * (MAX_NOTE_BYTES + 1))
    texts, (fault,) = read_sources(root)
    assert [text.path for text in texts] == ["inserts/full.md"]
    assert (fault.file, fault.reason) == ("journal/inserts/more.md", "too long")


def test_links_out_of_the_journal_are_faults(root: Path) -> None:
    (root / "elsewhere.md").write_text("secret")
    (root / "other").mkdir()
    (root / "other" / "o.md").write_text("secret")
    (root / "journal/inserts/out.md").symlink_to(root / "elsewhere.md")
    (root / "journal/stocks").symlink_to(root / "other")
    texts, faults = read_sources(root)
    assert texts == ()
    assert [(fault.file, fault.reason) for fault in faults] == [
        ("journal/inserts/out.md", "outside"),
        ("journal/stocks", "outside"),
    ]


def test_links_into_private_are_faults(root: Path) -> None:
    write(root, "private/copies.md", "who has which copy")
    (root / "journal/inserts/peep.md").symlink_to(root / "journal/private/copies.md")
    (root / "journal/masters").symlink_to(root / "journal/private")
    texts, faults = read_sources(root)
    assert texts == ()
    assert [fault.reason for fault in faults] == ["outside", "outside"]
    assert "private/" in faults[0].detail


def test_links_within_the_journal_are_followed_and_circles_end(root: Path) -> None:
    write(root, "inserts/a.md")
    (root / "journal/inserts/b.md").symlink_to("a.md")
    (root / "journal/inserts/round").symlink_to(root / "journal")
    (root / "journal/inserts/gone.md").symlink_to("nowhere.md")
    (root / "journal/inserts/self.md").symlink_to("self.md")
    texts, faults = read_sources(root)
    assert [text.path for text in texts] == ["inserts/a.md", "inserts/b.md"]
    assert [(fault.file, fault.reason) for fault in faults] == [
        ("journal/inserts/gone.md", "missing"),
        ("journal/inserts/self.md", "unreadable"),
    ]


def test_what_only_looks_like_a_note_is_a_fault(root: Path) -> None:
    (root / "journal/inserts/folder.md").mkdir()
    os.mkfifo(root / "journal/inserts/pipe.md")
    assert read_sources(root) == (
        (),
        (
            FileFault("journal/inserts/folder.md", "unreadable", "a folder, not a file"),
            FileFault("journal/inserts/pipe.md", "unreadable", "not a file"),
        ),
    )


def test_a_name_that_is_not_utf_8_is_a_fault_that_can_be_printed(root: Path) -> None:
    (root / "journal/inserts" / os.fsdecode(b"caf\xe9.md")).write_text("title: T")
    texts, (fault,) = read_sources(root)
    assert texts == ()
    assert fault.reason == "encoding"
    assert fault.file.encode("utf-8")


def test_a_note_that_may_not_be_read_is_a_fault(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(root, "inserts/a.md")

    def refuse(self: Path, mode: str) -> None:  # the superuser may read whatever the mode of a file is
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert read_sources(root) == ((), (FileFault("journal/inserts/a.md", "unreadable", "Permission denied"),))


def test_a_missing_journal_is_said(tmp_path: Path) -> None:
    assert not journal_exists(tmp_path)
    assert known_notes(tmp_path) == ()
    assert read_sources(tmp_path) == ((), (FileFault("journal", "missing", "there is no folder of notes"),))


def test_a_journal_may_have_another_name(tmp_path: Path) -> None:
    (tmp_path / "notes/inserts").mkdir(parents=True)
    (tmp_path / "notes/inserts/a.md").write_text("x")
    assert journal_exists(tmp_path, "notes")
    assert read_sources(tmp_path, "notes")[0][0].file == "notes/inserts/a.md"
    assert known_notes(tmp_path, "notes") == (PurePosixPath("inserts/a.md"),)


def test_the_folders_of_notes_are_those_of_the_records() -> None:
    assert NOTE_FOLDERS == FOLDER_KINDS


class TestFindProject:
    def test_from_inside(self, root: Path) -> None:
        write(root, "replica.yml")
        assert find_project(root) == root
        assert find_project(root / "journal" / "inserts") == root

    def test_by_mkdocs_yml(self, tmp_path: Path) -> None:
        (tmp_path / "mkdocs.yml").write_text("site_name: X\nplugins:\n  - search\n  - doublure\n")
        (tmp_path / "docs").mkdir()
        assert find_project(tmp_path / "docs") == tmp_path

    def test_another_site_is_no_project(self, tmp_path: Path) -> None:
        (tmp_path / "mkdocs.yml").write_text("site_name: X  # not doublure\nplugins: [search]\n")
        with pytest.raises(UsageError, match="doublure start"):
            find_project(tmp_path)

    def test_a_diary_further_up_is_no_project(self, tmp_path: Path) -> None:
        (tmp_path / "journal").mkdir()
        (tmp_path / "journal" / "monday.md").write_text("rain")
        (tmp_path / "work").mkdir()
        with pytest.raises(UsageError):
            find_project(tmp_path / "work")

    def test_in_the_folder_itself_any_journal_will_do(self, tmp_path: Path) -> None:
        (tmp_path / "journal").mkdir()
        assert find_project(tmp_path) == tmp_path

    def test_no_folder(self, tmp_path: Path) -> None:
        with pytest.raises(UsageError, match="not a folder"):
            find_project(tmp_path / "nowhere")


def test_a_note_under_another_ending_is_not_lost_without_a_word(tmp_path: Path) -> None:
    folder = tmp_path / "journal/inserts"
    folder.mkdir(parents=True)
    for name in ("a.txt", "b.md.txt", "c.markdown", "picture.jpg"):
        (folder / name).write_text("title: A\n", encoding="utf-8")
    _, faults = read_sources(tmp_path)
    assert {(fault.file, fault.detail) for fault in faults if fault.reason == "other ending"} == {
        ("journal/inserts/a.txt", "call it a.md"),
        ("journal/inserts/b.md.txt", "call it b.md"),
        ("journal/inserts/c.markdown", "call it c.md"),
    }
