"""Adds a reading to the note of an insert, keeping all else in it byte for byte; whole or not at all.

In: a note's file, a reading as one line of YAML. Out: the file with one line more. Never: judging the reading.
"""

from __future__ import annotations

import contextlib
import os
import re
from dataclasses import dataclass
from pathlib import Path

from doublure.errors import UsageError
from doublure.model.source import FileFault
from doublure.store.journal_paths import JOURNAL, locate
from doublure.store.log_writer import quote_scalar

_FENCE = re.compile(r"---[ \t]*")
_CLOSING = re.compile(r"(?:---|\.\.\.)[ \t]*")
_READINGS = re.compile(r"readings[ \t]*:(?P<rest>.*)")
_ENTRY = re.compile(r"(?P<indent>[ \t]*)-(?:[ \t]|$)")
_ENDINGS = (".md", ".yml", ".yaml")


@dataclass(frozen=True, slots=True)
class ReadingDraft:
    """A reading as it goes into a note.

    Attributes:
        source: Identifier of the evidence.
        field: "size", "width" or "height".
        value: Such as "61.4 ± 1.3 x 147.2 ± 2.0 mm".
        remark: How it was measured.
    """

    source: str
    field: str
    value: str
    remark: str


@dataclass(frozen=True, slots=True)
class ChangedNote:
    """A note before and after: its path relative to the project and its text, line ends as in the file."""

    file: str
    before: str
    after: str


def draft_note(root: Path, insert: str, draft: ReadingDraft) -> ChangedNote:
    """Return what the note of an insert would be with one reading more; nothing is written.

    Raises:
        UsageError: There is no such note, or its readings are written so that none can be added safely.
    """
    file, real = _find(root, insert)
    text = _read(file, real)
    return ChangedNote(file, text, add_reading(text, draft, pure_yaml=not file.endswith(".md"), file=file))


def write_changed(root: Path, note: ChangedNote) -> None:
    """Put the changed note in the place of the old one.

    Raises:
        UsageError: The note was changed meanwhile; nothing was written.
        OSError: The disk refused; the note is as it was.
    """
    real = _locate(root, note.file)
    if _read(note.file, real) != note.before:
        raise UsageError(f"{note.file}: it was changed meanwhile; nothing was written, do it once more")
    fresh = real.with_name(f".{os.urandom(6).hex()}.new")
    try:
        with fresh.open("xb") as stream:
            stream.write(note.after.encode("utf-8"))
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(fresh, real.stat().st_mode & 0o7777)
        os.replace(fresh, real)
    finally:
        with contextlib.suppress(OSError):
            fresh.unlink(missing_ok=True)


def add_reading(text: str, draft: ReadingDraft, pure_yaml: bool, file: str) -> str:
    """Return the text of a note with one reading more, all other lines as they were.

    Raises:
        UsageError: The readings are not written one a line, or the note has no fields at its head.
    """
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    lines = text.removeprefix("\ufeff").splitlines(keepends=True)
    plain = [line.rstrip("\r\n") for line in lines]
    end_of_line = "\r\n" if lines and lines[0].endswith("\r\n") else "\n"
    start, end = _fields(plain, pure_yaml, file)
    at = [number for number in range(start, end) if _READINGS.fullmatch(plain[number])]
    if len(at) > 1:
        raise UsageError(f"{file}: readings stands there twice; make one list of them first")
    if not at:
        new = [f"readings:{end_of_line}", f"  - {_compose(draft)}{end_of_line}"]
        place = end
    else:
        place, indent = _after_entries(plain, at[0], end, file)
        new = [f"{indent}- {_compose(draft)}{end_of_line}"]
    if place > 0 and not lines[place - 1].endswith(("\n", "\r")):
        new[0] = end_of_line + new[0]
        new[-1] = new[-1].removesuffix(end_of_line)
    return mark + "".join([*lines[:place], *new, *lines[place:]])


def _compose(draft: ReadingDraft) -> str:
    remark = f", remark: {quote_scalar(draft.remark)}" if draft.remark else ""
    return f"{{from: {draft.source}, {draft.field}: {draft.value}{remark}}}"


def _fields(plain: list[str], pure_yaml: bool, file: str) -> tuple[int, int]:
    """Return the lines between which the fields of a note stand."""
    if pure_yaml:
        start = 1 if plain and _FENCE.fullmatch(plain[0]) else 0
        for number in range(start, len(plain)):
            if _CLOSING.fullmatch(plain[number]):
                return start, number
        return start, len(plain)
    if not plain or not _FENCE.fullmatch(plain[0]):
        raise UsageError(
            f"{file}: it has no fields between two lines of --- at its head; give it a title there first"
        )
    for number in range(1, len(plain)):
        if _CLOSING.fullmatch(plain[number]):
            return 1, number
    raise UsageError(f"{file}: the --- after its fields is missing")


def _after_entries(plain: list[str], at: int, end: int, file: str) -> tuple[int, str]:
    """Return where a further entry goes, and how far it is indented."""
    found = _READINGS.fullmatch(plain[at])
    rest = found["rest"].strip() if found else ""
    if rest and not rest.startswith("#"):
        raise UsageError(
            f"{file}: its readings stand on one line; write them one below the other, each after a hyphen, "
            "and measure once more"
        )
    indent: str | None = None
    last = at
    for number in range(at + 1, end):
        line = plain[number]
        entry = _ENTRY.match(line)
        if entry and (indent is None or entry["indent"] == indent):
            indent, last = entry["indent"], number
        elif not line.strip() or line.lstrip().startswith("#"):
            continue
        elif indent is not None and line[: len(indent) + 1].strip() == "":
            last = number
        elif line[:1] in (" ", "\t"):
            raise UsageError(
                f"{file}: line {number + 1} of its readings is indented so that none can be added safely"
            )
        else:
            break
    return last + 1, "  " if indent is None else indent


def _find(root: Path, insert: str) -> tuple[str, Path]:
    for ending in _ENDINGS:
        file = f"inserts/{insert}{ending}"
        real = locate(root, file)
        if not isinstance(real, FileFault):
            return f"{JOURNAL}/{file}", real
        if real.reason != "missing":
            raise UsageError(f"{JOURNAL}/{file}: {real.detail}")
    raise UsageError(f"there is no note {JOURNAL}/inserts/{insert}.md")


def _locate(root: Path, file: str) -> Path:
    real = locate(root, file.removeprefix(f"{JOURNAL}/"))
    if isinstance(real, FileFault):
        raise UsageError(f"{file}: it was moved meanwhile; nothing was written")
    return real


def _read(file: str, real: Path) -> str:
    try:
        return real.read_bytes().decode("utf-8")
    except OSError as error:
        words = error.strerror or "cannot be read"
        raise UsageError(f"{file}: {words[:1].lower()}{words[1:]}") from error
    except UnicodeDecodeError as error:
        raise UsageError(f"{file}: not a text in UTF-8; save it as UTF-8 first") from error


def inside_journal(root: Path, photo: Path) -> str:
    """Return the path of a picture relative to the journal, as notes write it; "" where it lies elsewhere."""
    journal = Path(os.path.realpath(root / JOURNAL))
    real = Path(os.path.realpath(photo))
    return real.relative_to(journal).as_posix() if real.is_relative_to(journal) else ""


def read_points_text(path: Path) -> str:
    """Return the text of a points file.

    Raises:
        UsageError: It cannot be read, is too long, or is no text.
    """
    try:
        if path.is_dir():
            raise UsageError(f"{path} is a folder; name a points file")
        if path.stat().st_size > 1_000_000:
            raise UsageError(f"{path}: no points file is so large")
        return path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except OSError as error:
        words = error.strerror or "cannot be read"
        raise UsageError(f"{path}: {words[:1].lower()}{words[1:]}") from error
    except ValueError as error:
        raise UsageError(f"{path}: not a text in UTF-8") from error
