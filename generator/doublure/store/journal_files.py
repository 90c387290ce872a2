"""Reads the notes of a journal as text.

In: the project's folder. Out: SourceText for every note that could be read, FileFault for every other.
Never: reading private/, following a link out of the journal, knowing what a note says.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from doublure.model.source import FileFault, SourceText
from doublure.store.journal_paths import (
    JOURNAL,
    NOT_NOTES,
    find_project,
    is_private,
    journal_exists,
    leaves_journal,
)

__all__ = ["find_project", "journal_exists", "known_notes", "read_sources"]

ENDINGS = (".md", ".yml", ".yaml")
#: A note of a megabyte is a mistake, such as a picture pasted in as text.
MAX_NOTE_BYTES = 1_000_000
_WIDE_MARKS = (b"\xff\xfe", b"\xfe\xff")

#: Endings under which text is saved that was meant as a note.
NEAR_ENDINGS = (".txt", ".text", ".markdown", ".mdown", ".mkd", ".rtf", ".doc", ".docx", ".odt")


def read_sources(root: Path, journal: str = JOURNAL) -> tuple[tuple[SourceText, ...], tuple[FileFault, ...]]:
    """Read every note of the project's journal.

    Args:
        root: The project's folder.
        journal: The journal's folder within it.

    Returns:
        The notes in the order of their paths, and what could not be read, likewise ordered. A journal
        that is not there gives one fault, of reason "missing", for the folder itself.
    """
    if not journal_exists(root, journal):
        return (), (FileFault(journal, "missing", "there is no folder of notes"),)
    texts: list[SourceText] = []
    faults: list[FileFault] = []
    for file, path, real in _walk(root, journal):
        if isinstance(real, FileFault):
            faults.append(real)
            continue
        found = _read_note(file, path, real)
        (texts if isinstance(found, SourceText) else faults).append(found)  # type: ignore[arg-type]
    texts.sort(key=lambda text: text.path)
    return tuple(texts), tuple(sorted(faults, key=lambda fault: (fault.file, fault.line, fault.column)))


def known_notes(root: Path, journal: str = JOURNAL) -> tuple[PurePosixPath, ...]:
    """Return the paths of all notes relative to the journal, without reading any."""
    if not journal_exists(root, journal):
        return ()
    found = (PurePosixPath(path) for _, path, real in _walk(root, journal) if isinstance(real, Path))
    return tuple(sorted(found))


def _walk(root: Path, journal: str) -> Iterator[tuple[str, str, Path | FileFault]]:
    """Yield every note's path relative to the project and to the journal, and its real path or its fault."""
    real_journal = Path(os.path.realpath(root / journal))
    seen = {real_journal}
    waiting: list[tuple[str, Path]] = [("", real_journal)]
    while waiting:
        prefix, folder = waiting.pop()
        try:
            entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
        except OSError as error:
            file = f"{journal}/{prefix}".rstrip("/")
            yield file, prefix, FileFault(file, "unreadable", error.strerror or "")
            continue
        for entry in entries:
            if entry.name.startswith((".", "~")) or entry.name.endswith("~"):
                continue  # what editors and systems leave behind
            path = prefix + _lower_ending(_readable(entry.name))
            if (not prefix and entry.name.casefold() in NOT_NOTES) or is_private((entry.name,)):
                continue
            file = f"{journal}/{prefix}{_readable(entry.name)}"
            yield from _enter(file, path, entry, real_journal, seen, waiting)


def _as_note(name: str) -> str:
    stem = _readable(name)
    while stem.lower().endswith((*NEAR_ENDINGS, *ENDINGS)):
        stem = stem.rpartition(".")[0]
    return f"{stem}.md"


def _enter(
    file: str,
    path: str,
    entry: os.DirEntry[str],
    real_journal: Path,
    seen: set[Path],
    waiting: list[tuple[str, Path]],
) -> Iterator[tuple[str, str, Path | FileFault]]:
    is_note = entry.name.lower().endswith(ENDINGS)
    try:
        real = Path(os.path.realpath(entry.path, strict=True))
        mode = real.stat().st_mode
    except OSError as error:
        if is_note:
            gone = isinstance(error, FileNotFoundError)
            detail = "a link that leads nowhere" if gone else error.strerror or ""
            yield file, path, FileFault(file, "missing" if gone else "unreadable", detail)
        return
    if not (is_note or stat.S_ISDIR(mode)):
        # Phones and plain editors write these; a note must not be lost without a word.
        if entry.name.lower().endswith(NEAR_ENDINGS):
            yield file, path, FileFault(file, "other ending", f"call it {_as_note(entry.name)}")
        return
    # Only a link can lead away, into private/, or round in a circle.
    if entry.is_symlink() and (fault := leaves_journal(real_journal, real, file)):
        yield file, path, fault
    elif stat.S_ISDIR(mode):
        if is_note:
            yield file, path, FileFault(file, "unreadable", "a folder, not a file")
        elif real not in seen:
            seen.add(real)
            waiting.append((f"{path}/", real))
    elif not stat.S_ISREG(mode):
        yield file, path, FileFault(file, "unreadable", "not a file")
    elif _readable(entry.name) != entry.name:
        yield file, path, FileFault(file, "encoding", "the name of the file is not UTF-8")
    else:
        yield file, path, real


def _readable(name: str) -> str:
    """Return a name that can be printed: bytes that are no UTF-8 come from the system as lone surrogates."""
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _lower_ending(name: str) -> str:
    """Return the name of a note with its ending in small letters: .MD is as good as .md."""
    ending = next((ending for ending in ENDINGS if name.lower().endswith(ending)), "")
    return name[: len(name) - len(ending)] + ending


def _read_note(file: str, path: str, real: Path) -> SourceText | FileFault:
    try:
        with real.open("rb") as stream:
            content = stream.read(MAX_NOTE_BYTES + 1)
            size = os.fstat(stream.fileno()).st_size
    except OSError as error:
        return FileFault(file, "unreadable", error.strerror or "")
    if len(content) > MAX_NOTE_BYTES:
        detail = f"{size / 1e6:.1f} MB; a note may have {MAX_NOTE_BYTES / 1e6:.0f} MB"
        return FileFault(file, "too long", detail)
    if content.startswith(_WIDE_MARKS):
        return FileFault(file, "encoding", "it is UTF-16; save it as UTF-8", 1, 1)
    if content.startswith(b"\xef\xbb\xbf"):
        content = content[3:]
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        before = content[: error.start].replace(b"\r\n", b"\n").replace(b"\r", b"\n").decode("utf-8")
        line = before.count("\n") + 1
        column = len(before) - (before.rfind("\n") + 1) + 1
        return FileFault(file, "encoding", f"byte 0x{content[error.start]:02x} in line {line}", line, column)
    return SourceText(file, path, text.replace("\r\n", "\n").replace("\r", "\n"))
