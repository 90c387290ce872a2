"""Keeps the files of print/ as they should be: makes what changed, leaves the rest, takes away what is no longer made.

In: the project's folder and jobs, each a path, a key of all that shapes it, and what makes it. Out: a report.
Never: half a file under its name, a file that somebody else put there, print/private/, the journal.
Which files are ours is kept in print/.made.json, so that it goes where they go.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import secrets
import shutil
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import BinaryIO

from doublure.errors import DoublureError, UsageError
from doublure.store.journal_paths import is_private
from doublure.store.output import hold_lock

PRINT_FOLDER = "print"
LOCK_FILE = Path(".doublure") / "print.lock"
_MANIFEST = ".made.json"
#: Where files grow until they are whole.
_DRAFTS = ".new"
_VERSION = 1
#: Told of each file that is made: its path, how many are done, of how many.
Progress = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class PrintJob:
    """A file to be.

    Attributes:
        path: Below print/, with /, such as "any-printer/fronts.pdf".
        inputs: Key of everything that shapes it, versions included (store.cache.make_key makes one).
        make: Returns its bytes, or writes them to the stream that it is given (binary, with seek) and returns
            None. It may run beside others, on another thread.
    """

    path: str
    inputs: str
    make: Callable[[BinaryIO], bytes | None]


@dataclass(frozen=True, slots=True)
class PrintFault:
    """A file that could not be made, and why; what was there before is still there."""

    path: str
    words: str


@dataclass(frozen=True, slots=True)
class PrintReport:
    """What became of the files, by their paths: in the order of the jobs, removed ones in their own.

    Attributes:
        made: New or changed.
        kept: As they were, since nothing that shapes them has changed.
        removed: No longer wanted.
        failed: Not made.
    """

    made: tuple[str, ...]
    kept: tuple[str, ...]
    removed: tuple[str, ...]
    failed: tuple[PrintFault, ...]


@dataclass(frozen=True, slots=True)
class _Entry:
    """What was made under a path: the key of its inputs and the hash of its bytes."""

    inputs: str
    sha256: str


def write_print_files(
    root: Path, jobs: Iterable[PrintJob], progress: Progress = lambda path, done, of: None
) -> PrintReport:
    """Bring print/ up to date.

    A job is done where its inputs are others than last time, or its file is missing or was altered; on all
    cores at once. Each file is put in its place whole. A file of ours that no job asks for is removed, with the
    folders that this leaves empty, unless somebody altered it.

    Args:
        root: The project's folder.
        jobs: Every file that is to be there, paths all different.
        progress: Told after each job that was done, on the caller's thread.

    Raises:
        UsageError: Another process is at it, or print/ cannot be written.
        ValueError: A path that leads out of print/ or into print/private/, or two jobs for one.
    """
    listed = list(jobs)
    _check_paths([job.path for job in listed])
    with hold_lock(root, LOCK_FILE):
        folder = root / PRINT_FOLDER
        if not listed and not folder.is_dir():
            return PrintReport((), (), (), ())
        try:
            folder.mkdir(parents=True, exist_ok=True)
            shelf = _Shelf(folder)
            with shelf.drafts():
                return _work(shelf, listed, progress)
        except OSError as error:
            raise UsageError(f"cannot write {folder}: {error.strerror or error}") from error


def _work(shelf: _Shelf, jobs: list[PrintJob], progress: Progress) -> PrintReport:
    due = [job for job in jobs if not shelf.is_current(job)]
    outcome: dict[str, PrintFault | bool] = {}
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        running = {pool.submit(shelf.make, job): job for job in due}
        try:
            for done, future in enumerate(as_completed(running), 1):
                job = running[future]
                outcome[job.path] = future.result()
                progress(job.path, done, len(due))
        except BaseException:
            for future in running:
                future.cancel()
            raise
    removed = shelf.remove_all_but({job.path for job in jobs})
    results = [(job.path, outcome.get(job.path, False)) for job in jobs]
    return PrintReport(
        made=tuple(path for path, result in results if result is True),
        kept=tuple(path for path, result in results if result is False),
        removed=removed,
        failed=tuple(result for _, result in results if isinstance(result, PrintFault)),
    )


class _Shelf:
    """The folder and the list of what in it is ours."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._real = Path(os.path.realpath(folder))
        self._entries = _read_manifest(folder / _MANIFEST)
        self._one_writer = threading.Lock()

    @contextlib.contextmanager
    def drafts(self) -> Iterator[None]:
        """Hold a fresh folder for files that are not whole yet; what a dead build left there goes."""
        place = self._folder / _DRAFTS
        shutil.rmtree(place, ignore_errors=True)
        place.mkdir()
        try:
            yield
        finally:
            shutil.rmtree(place, ignore_errors=True)

    def is_current(self, job: PrintJob) -> bool:
        """True where the file is what these inputs gave last time."""
        entry = self._entries.get(job.path)
        return entry is not None and entry.inputs == job.inputs and self._hash(job.path) == entry.sha256

    def make(self, job: PrintJob) -> PrintFault | bool:
        """Make one file; True where it was put in its place, False where it was there already."""
        draft = self._folder / _DRAFTS / secrets.token_hex(8)
        try:
            with draft.open("w+b") as stream:
                content = job.make(stream)
                if content is not None:
                    stream.write(content)
                stream.flush()
                os.fsync(stream.fileno())
            return self._put(job, draft)
        except DoublureError as error:
            return PrintFault(job.path, str(error))
        except OSError as error:
            return PrintFault(job.path, error.strerror or str(error))
        finally:
            with contextlib.suppress(OSError):
                draft.unlink(missing_ok=True)

    def _put(self, job: PrintJob, draft: Path) -> PrintFault | bool:
        target = self._folder / job.path
        if not Path(os.path.realpath(target.parent)).is_relative_to(self._real):
            return PrintFault(job.path, "a link leads out of print/")
        made = _hash_file(draft)
        present = self._hash(job.path)
        if job.path not in self._entries and (target.exists() or target.is_symlink()):
            if present != made:
                return PrintFault(job.path, "a file of another's is in the way; move it elsewhere")
            self._note(job.path, _Entry(job.inputs, made))
            return False
        target.parent.mkdir(parents=True, exist_ok=True)
        # First the note, then the file: a build that dies between the two makes the file again, and one that
        # dies earlier never finds a file of its own strange.
        self._note(job.path, _Entry(job.inputs, made))
        os.replace(draft, target)
        return True

    def remove_all_but(self, wanted: set[str]) -> tuple[str, ...]:
        """Take away what is ours and no longer wanted; what was altered since is left, and ours no more."""
        removed = []
        for path in sorted(set(self._entries) - wanted):
            target = self._folder / path
            if self._hash(path) == self._entries[path].sha256:
                try:
                    target.unlink()
                except OSError:
                    continue  # it stays ours, and goes the next time
                removed.append(path)
                self._drop_empty(target.parent)
            del self._entries[path]
            self._write()
        return tuple(removed)

    def _drop_empty(self, folder: Path) -> None:
        while folder != self._folder and folder.is_relative_to(self._folder):
            try:
                folder.rmdir()
            except OSError:
                return
            folder = folder.parent

    def _hash(self, path: str) -> str | None:
        """Return the hash of a regular file of ours, None where there is none that can be read."""
        target = self._folder / path
        if target.is_symlink() or not target.is_file():
            return None
        try:
            return _hash_file(target)
        except OSError:
            return None

    def _note(self, path: str, entry: _Entry) -> None:
        with self._one_writer:
            self._entries[path] = entry
            self._write()

    def _write(self) -> None:
        files = {
            path: {"inputs": entry.inputs, "sha256": entry.sha256} for path, entry in self._entries.items()
        }
        text = json.dumps({"version": _VERSION, "files": files}, indent=1, sort_keys=True, ensure_ascii=False)
        draft = self._folder / _DRAFTS / f"list-{secrets.token_hex(4)}"
        draft.write_text(text + "\n", encoding="utf-8")
        os.replace(draft, self._folder / _MANIFEST)


def _read_manifest(path: Path) -> dict[str, _Entry]:
    """Return what is ours; nothing where the list is missing, damaged or of another version."""
    try:
        read = json.loads(path.read_text("utf-8"))
        if read["version"] != _VERSION:
            return {}
        entries = {
            str(name): _Entry(str(entry["inputs"]), str(entry["sha256"]))
            for name, entry in read["files"].items()
        }
        _check_paths(entries)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}
    return entries


def _check_paths(paths: Iterable[str]) -> None:
    seen: set[str] = set()
    for path in paths:
        parts = PurePosixPath(path).parts
        if (
            not parts
            or path.startswith("/")
            or "\\" in path
            or ".." in parts
            or any(part.startswith(".") for part in parts)
            or is_private(parts)
        ):
            raise ValueError(f"{path} is no place for a print file")
        if path.casefold() in seen:
            raise ValueError(f"two print files are called {path}")
        seen.add(path.casefold())


def _hash_file(path: Path) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
