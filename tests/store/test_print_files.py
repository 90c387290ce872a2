"""Files of print/: only what changed is made, whole or not at all, and nothing of anybody else's is touched."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import textwrap
import threading
from pathlib import Path
from typing import BinaryIO

import pytest

from doublure.errors import DomainError, UsageError
from doublure.store import print_files
from doublure.store.output import hold_lock
from doublure.store.print_files import PrintFault, PrintJob, PrintReport, write_print_files


def job(path: str, content: bytes, inputs: str = "") -> PrintJob:
    return PrintJob(path, inputs or f"key of {content!r}", lambda stream: content)


def forbidden(path: str, inputs: str) -> PrintJob:
    def refuse(stream: BinaryIO) -> bytes:
        raise AssertionError(f"{path} was made again")

    return PrintJob(path, inputs, refuse)


def files(root: Path) -> dict[str, bytes]:
    """Everything below print/ but the list."""
    folder = root / "print"
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != ".made.json"
    }


FRONTS, BACKS, KIT = "ink/fronts.pdf", "ink/backs.pdf", "paper-kit.pdf"


def test_everything_is_made_once_and_then_kept(tmp_path: Path) -> None:
    told: list[tuple[str, int, int]] = []
    first = write_print_files(
        tmp_path,
        [job(FRONTS, b"fronts"), job(BACKS, b"backs"), job(KIT, b"kit")],
        lambda *at: told.append(at),
    )
    assert first == PrintReport((FRONTS, BACKS, KIT), (), (), ())
    assert files(tmp_path) == {FRONTS: b"fronts", BACKS: b"backs", KIT: b"kit"}
    assert sorted(path for path, _, _ in told) == sorted((FRONTS, BACKS, KIT))
    assert [at[1:] for at in told] == [(1, 3), (2, 3), (3, 3)]
    again = write_print_files(
        tmp_path, [forbidden(path, f"key of {content!r}") for path, content in files(tmp_path).items()]
    )
    assert (again.made, set(again.kept)) == ((), {FRONTS, BACKS, KIT})


def test_a_job_may_write_by_itself(tmp_path: Path) -> None:
    def make(stream: BinaryIO) -> None:
        stream.write(b"xxxx")
        stream.seek(0)
        stream.write(b"whole")

    write_print_files(tmp_path, [PrintJob(KIT, "k", make)])
    assert files(tmp_path) == {KIT: b"whole"}


def test_only_what_changed_is_made_again(tmp_path: Path) -> None:
    write_print_files(tmp_path, [job(FRONTS, b"fronts", "1"), job(BACKS, b"backs", "1")])
    report = write_print_files(tmp_path, [forbidden(FRONTS, "1"), job(BACKS, b"other backs", "2")])
    assert report == PrintReport((BACKS,), (FRONTS,), (), ())
    assert files(tmp_path) == {FRONTS: b"fronts", BACKS: b"other backs"}


@pytest.mark.parametrize("harm", ["missing", "altered", "cut short", "a link"])
def test_what_is_not_as_it_was_is_made_again(harm: str, tmp_path: Path) -> None:
    write_print_files(tmp_path, [job(FRONTS, b"fronts")])
    path = tmp_path / "print" / FRONTS
    if harm == "missing":
        path.unlink()
    elif harm == "a link":
        (tmp_path / "elsewhere.pdf").write_bytes(b"fronts")
        path.unlink()
        path.symlink_to(tmp_path / "elsewhere.pdf")
    else:
        path.write_bytes(b"frunts" if harm == "altered" else b"fro")
    report = write_print_files(tmp_path, [job(FRONTS, b"fronts")])
    assert report.made == (FRONTS,)
    assert path.read_bytes() == b"fronts"
    assert not path.is_symlink()
    if harm == "a link":
        assert (tmp_path / "elsewhere.pdf").read_bytes() == b"fronts"


def test_what_is_no_longer_made_goes_with_its_folder(tmp_path: Path) -> None:
    write_print_files(
        tmp_path, [job("old/deep/fronts.pdf", b"a"), job("old/note.pdf", b"b"), job(KIT, b"kit")]
    )
    report = write_print_files(tmp_path, [job(KIT, b"kit")])
    assert report == PrintReport((), (KIT,), ("old/deep/fronts.pdf", "old/note.pdf"), ())
    assert not (tmp_path / "print/old").exists()
    assert write_print_files(tmp_path, []).removed == (KIT,)
    assert files(tmp_path) == {}


class TestStrangers:
    """What somebody else put there, or changed, is theirs."""

    def test_their_files_and_private_ones_stay(self, tmp_path: Path) -> None:
        theirs = {
            "ink/mine.txt": b"x",
            "private/copy-1.pdf": b"y",
            "other/fronts.pdf": b"z",
            "ink/.keep": b"",
        }
        for name, content in theirs.items():
            path = tmp_path / "print" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        write_print_files(tmp_path, [job(FRONTS, b"fronts")])
        write_print_files(tmp_path, [])
        assert files(tmp_path) == theirs

    def test_a_file_in_the_way_is_left_and_named(self, tmp_path: Path) -> None:
        path = tmp_path / "print" / FRONTS
        path.parent.mkdir(parents=True)
        path.write_bytes(b"theirs")
        report = write_print_files(tmp_path, [job(FRONTS, b"fronts"), job(KIT, b"kit")])
        assert report.made == (KIT,)
        assert report.failed == (PrintFault(FRONTS, "a file of another's is in the way; move it elsewhere"),)
        assert path.read_bytes() == b"theirs"
        assert write_print_files(tmp_path, []).removed == (KIT,)
        assert path.read_bytes() == b"theirs"

    def test_a_file_that_is_just_what_would_be_made_becomes_ours(self, tmp_path: Path) -> None:
        write_print_files(tmp_path, [job(FRONTS, b"fronts")])
        (tmp_path / "print/.made.json").unlink()
        assert write_print_files(tmp_path, [job(FRONTS, b"fronts")]).kept == (FRONTS,)
        assert write_print_files(tmp_path, [forbidden(FRONTS, "key of b'fronts'")]).kept == (FRONTS,)

    def test_what_somebody_altered_is_not_removed(self, tmp_path: Path) -> None:
        write_print_files(tmp_path, [job(FRONTS, b"fronts")])
        (tmp_path / "print" / FRONTS).write_bytes(b"with notes of mine")
        assert write_print_files(tmp_path, []).removed == ()
        assert files(tmp_path) == {FRONTS: b"with notes of mine"}

    def test_a_folder_that_leads_out_is_not_followed(self, tmp_path: Path) -> None:
        outside = tmp_path / "outside"
        outside.mkdir()
        root = tmp_path / "project"
        (root / "print").mkdir(parents=True)
        (root / "print/ink").symlink_to(outside)
        report = write_print_files(root, [job(FRONTS, b"fronts")])
        assert report.failed == (PrintFault(FRONTS, "a link leads out of print/"),)
        assert list(outside.iterdir()) == []

    @pytest.mark.parametrize(
        "text",
        ["", "{", "[]", '{"version": 99, "files": {}}', '{"version": 1, "files": {"../journal/a.md": {"inputs": "", '
         '"sha256": ""}}}', '{"version": 1, "files": {"private/a.pdf": {"inputs": "", "sha256": ""}}}'],
    )  # fmt: skip
    def test_a_damaged_list_makes_nothing_ours(self, text: str, tmp_path: Path) -> None:
        write_print_files(tmp_path, [job(FRONTS, b"fronts")])
        (tmp_path / "print/.made.json").write_text(text)
        assert write_print_files(tmp_path, []).removed == ()
        assert files(tmp_path) == {FRONTS: b"fronts"}


class TestPaths:
    """Where a print file may be."""

    @pytest.mark.parametrize(
        "path",
        ["", "/etc/x.pdf", "../x.pdf", "a/../../x.pdf", "private/x.pdf", "a/Private/x.pdf", "a\\b.pdf", ".made.json",
         ".new/x"],
    )  # fmt: skip
    def test_no_place_for_a_print_file(self, path: str, tmp_path: Path) -> None:
        with pytest.raises(ValueError, match="no place"):
            write_print_files(tmp_path, [job(path, b"x")])

    def test_two_of_one_name(self, tmp_path: Path) -> None:
        with pytest.raises(ValueError, match="two print files"):
            write_print_files(tmp_path, [job("a.pdf", b"x"), job("A.pdf", b"y")])


class TestFailures:
    """What goes wrong with one file is said, and the others are made."""

    def test_the_old_file_stays(self, tmp_path: Path) -> None:
        write_print_files(tmp_path, [job(FRONTS, b"old", "1")])

        def fail(stream: BinaryIO) -> bytes:
            stream.write(b"half of")
            raise DomainError("there is no artwork for the master x")

        report = write_print_files(tmp_path, [PrintJob(FRONTS, "2", fail), job(KIT, b"kit")])
        assert report.failed == (PrintFault(FRONTS, "there is no artwork for the master x"),)
        assert report.made == (KIT,)
        assert files(tmp_path) == {FRONTS: b"old", KIT: b"kit"}
        # It is tried again, even where nothing changed.
        assert write_print_files(tmp_path, [job(FRONTS, b"new", "2"), job(KIT, b"kit")]).made == (FRONTS,)

    def test_a_full_disk(self, tmp_path: Path) -> None:
        def fail(stream: BinaryIO) -> bytes:
            raise OSError(28, "No space left on device")

        report = write_print_files(tmp_path, [PrintJob(FRONTS, "2", fail)])
        assert report.failed == (PrintFault(FRONTS, "No space left on device"),)
        assert files(tmp_path) == {}

    def test_a_fault_of_ours_is_not_hidden(self, tmp_path: Path) -> None:
        def fail(stream: BinaryIO) -> bytes:
            raise RuntimeError("ours")

        with pytest.raises(RuntimeError, match="ours"):
            write_print_files(tmp_path, [PrintJob(FRONTS, "2", fail), job(KIT, b"kit")])
        assert set(files(tmp_path)) <= {KIT}

    def test_print_is_a_file(self, tmp_path: Path) -> None:
        (tmp_path / "print").write_text("in the way")
        with pytest.raises(UsageError, match="cannot write"):
            write_print_files(tmp_path, [job(KIT, b"kit")])

    def test_one_at_a_time(self, tmp_path: Path) -> None:
        with hold_lock(tmp_path, print_files.LOCK_FILE), pytest.raises(UsageError, match="another build"):
            write_print_files(tmp_path, [job(KIT, b"kit")])
        # The lock of the site is another one: print files may be made while it is held.
        with hold_lock(tmp_path):
            assert write_print_files(tmp_path, [job(KIT, b"kit")]).made == (KIT,)


def test_jobs_run_side_by_side(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    meeting = threading.Barrier(2, timeout=30)

    def make(stream: BinaryIO) -> bytes:
        meeting.wait()  # breaks where nobody else comes
        return b"met"

    report = write_print_files(tmp_path, [PrintJob(name, "1", make) for name in ("a.pdf", "b.pdf")])
    assert report.made == ("a.pdf", "b.pdf")


def test_nothing_to_do_makes_no_folder(tmp_path: Path) -> None:
    assert write_print_files(tmp_path, []) == PrintReport((), (), (), ())
    assert not (tmp_path / "print").exists()


def test_a_killed_build_leaves_whole_files_and_the_next_one_puts_all_right(tmp_path: Path) -> None:
    old = {f"ink/{n}.pdf": f"old {n} ".encode() * 100_000 for n in range(6)}
    write_print_files(tmp_path, [job(name, content, "old") for name, content in old.items()])
    script = textwrap.dedent(
        """
        import os, pathlib, sys, threading
        os.cpu_count = lambda: 2
        from doublure.store.print_files import PrintJob, write_print_files
        started = threading.Semaphore(0)
        def make(n):
            def write(stream):
                if n == 9:
                    # Half a file, and word that it is so; then for ever at work.
                    stream.write(b"half of nine"); stream.flush()
                    for _ in range(2): started.acquire(timeout=30)
                    print("now", flush=True)
                    threading.Event().wait(60)
                stream.write(f"new {n} ".encode() * 100_000)
            return write
        jobs = [PrintJob(f"ink/{n}.pdf", "new", make(n)) for n in (9, 0, 1, 2, 3)]
        write_print_files(pathlib.Path(sys.argv[1]), jobs, lambda *at: started.release())
        """
    )
    process = subprocess.Popen(
        [sys.executable, "-c", script, str(tmp_path)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "now\n"
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdout.close()
    whole = {name: content for name, content in files(tmp_path).items() if not name.startswith(".new/")}
    new = {f"ink/{n}.pdf": f"new {n} ".encode() * 100_000 for n in range(10)}
    assert "ink/9.pdf" not in whole
    assert all(content in (old.get(name), new[name]) for name, content in whole.items())
    assert sum(content == new[name] for name, content in whole.items()) >= 2
    assert set(old) <= set(whole)
    wanted = {name: new[name] for name in ("ink/9.pdf", "ink/0.pdf", "ink/1.pdf")}
    report = write_print_files(tmp_path, [job(name, content, "new") for name, content in wanted.items()])
    assert report.failed == ()
    assert files(tmp_path) == wanted
    assert not (tmp_path / "print/.new").exists()


def test_a_build_that_dies_between_note_and_file_is_made_good(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_print_files(tmp_path, [job(FRONTS, b"old", "1")])
    real = os.replace

    def die(source: Path, target: Path) -> None:
        if str(target).endswith(".pdf"):
            raise KeyboardInterrupt
        real(source, target)

    monkeypatch.setattr(os, "replace", die)
    with pytest.raises(KeyboardInterrupt):
        write_print_files(tmp_path, [job(FRONTS, b"new", "2"), job(KIT, b"kit")])
    monkeypatch.undo()
    listed = json.loads((tmp_path / "print/.made.json").read_text())["files"]
    assert listed[FRONTS]["inputs"] == "2"
    assert files(tmp_path) == {FRONTS: b"old"}
    report = write_print_files(tmp_path, [job(FRONTS, b"new", "2"), job(KIT, b"kit")])
    assert report.made == (FRONTS, KIT)
