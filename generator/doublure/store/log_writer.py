"""Writes an entry of the log, with its photographs: all of it or nothing, and never over another file.

In: what was done, checked by the caller. Out: new files under journal/log/ and journal/pictures/log/.
Never: importing anything slow unless there is a photograph, reading other notes.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
import unicodedata
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from doublure.errors import UsageError
from doublure.store.journal_paths import JOURNAL

LOG = "log"
PHOTOS = "pictures/log"
_SLUG_WORDS, _SLUG_LENGTH = 6, 40
#: Scalars that every reader of YAML takes as the text that they are.
_PLAIN = re.compile(r"[a-z][a-z0-9]*(?:[-/.][a-z0-9]+)*|\d{1,9}(?:\.\d{1,9})?")
_NOT_PLAIN = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false", "null"})
#: What YAML 1.2 does not call printable (5.1), and the line breaks of YAML 1.1, go in as escapes.
_ESCAPED = re.compile("[\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")


@dataclass(frozen=True, slots=True)
class LogDraft:
    """What an entry is to say.

    Attributes:
        day: The day it is about.
        text: What was done, Markdown; its first line serves as the title.
        about: Identifiers, gatherings, plates.
        step: Step of the work; "" where not said.
        minutes, spent, made, spoiled: As in LogNote; None where not said.
        photos: Photographs to copy in.
        named_after: Words for the names of the files; None for those of the text.
    """

    day: date
    text: str
    about: tuple[str, ...] = ()
    step: str = ""
    minutes: Decimal | None = None
    spent: Decimal | None = None
    made: int | None = None
    spoiled: int | None = None
    photos: tuple[Path, ...] = ()
    named_after: str | None = None


@dataclass(frozen=True, slots=True)
class WrittenEntry:
    """Where an entry was written: the note and its photographs, relative to the project."""

    note: str
    photos: tuple[str, ...]


def write_log_entry(root: Path, draft: LogDraft) -> WrittenEntry:
    """Write an entry, photographs first, each file complete and flushed before it gets its name.

    Args:
        root: The project's folder.
        draft: The entry.

    Returns:
        The files, all new.

    Raises:
        UsageError: There is nothing to write, or a photograph cannot be used; nothing was written.
        OSError: The disk refused; what had been written was taken back.
    """
    text = _tidy(draft.text)
    stem = f"{draft.day.isoformat()}-{make_slug(text if draft.named_after is None else draft.named_after)}"
    # Every photograph is read and cleaned before the first file is written.
    cleaned = [_read_photo(path) for path in draft.photos]
    written: list[Path] = []
    try:
        for content, ending in cleaned:
            written.append(_write_new(root / JOURNAL / PHOTOS, stem, ending, content))
        photos = tuple(f"{PHOTOS}/{path.name}" for path in written)
        entry = compose_entry(draft, text, photos).encode("utf-8")
        note = _write_new(root / JOURNAL / LOG, stem, ".md", entry)
    except BaseException:
        for path in written:
            with contextlib.suppress(OSError):
                path.unlink()
        raise
    return WrittenEntry(f"{JOURNAL}/{LOG}/{note.name}", tuple(f"{JOURNAL}/{photo}" for photo in photos))


def make_slug(text: str) -> str:
    """Return the first words of the text as lower-case letters, digits and hyphens, never empty.

    Examples:
        >>> make_slug("Cut the 3 Fährscheine, then pressed them overnight")
        'cut-the-3-fahrscheine-then-pressed'
    """
    plain = unicodedata.normalize("NFKD", text.strip().split("\n", 1)[0]).encode("ascii", "ignore").decode()
    words = re.findall(r"[a-z0-9]+", plain.lower().replace("'", ""))[:_SLUG_WORDS]
    slug = ""
    for word in words:
        if slug and len(slug) + 1 + len(word) > _SLUG_LENGTH:
            break
        slug = f"{slug}-{word}" if slug else word[:_SLUG_LENGTH]
    return slug or "entry"


def compose_entry(draft: LogDraft, text: str, photos: tuple[str, ...]) -> str:
    """Return the entry as a note: front matter of what was said, then the text."""
    fields: list[str] = []
    if draft.about:
        fields.append(f"about: {_flow(draft.about)}")
    if draft.step:
        fields.append(f"step: {quote_scalar(draft.step)}")
    for name, value in (("minutes", draft.minutes), ("spent", draft.spent), ("made", draft.made),
                        ("spoiled", draft.spoiled)):  # fmt: skip
        if value is not None:
            fields.append(f"{name}: {value:f}" if isinstance(value, Decimal) else f"{name}: {value}")
    if photos:
        fields.append(f"photos: {_flow(photos)}")
    # Without fields a text that opens with a rule would be taken for front matter.
    if not fields and not text.startswith("---"):
        return text
    return "\n".join(["---", *fields, "---", "", text])


def quote_scalar(text: str) -> str:
    """Return text as one YAML scalar that stands on one line and reads back as the same text.

    Examples:
        >>> quote_scalar("tide-pass"), quote_scalar("no"), quote_scalar("a: #1")
        ('tide-pass', '"no"', '"a: #1"')
    """
    if _PLAIN.fullmatch(text) and text not in _NOT_PLAIN:
        return text
    # A JSON string is a double-quoted scalar of YAML, but for the characters that YAML wants escaped.
    return _ESCAPED.sub(lambda found: f"\\u{ord(found.group()):04x}", json.dumps(text, ensure_ascii=False))


def _flow(values: tuple[str, ...]) -> str:
    return f"[{', '.join(quote_scalar(value) for value in values)}]"


def _tidy(text: str) -> str:
    """Return the text with plain line ends, without control characters, ending in one line end."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        raise UsageError("the text is not UTF-8") from None
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    kept = "".join(c for c in lines if c in "\n\t" or unicodedata.category(c) != "Cc").strip()
    if not kept:
        raise UsageError("there is no text to write down")
    return kept + "\n"


def _read_photo(path: Path) -> tuple[bytes, str]:
    from doublure.store.pictures import MAX_PICTURE_BYTES, strip_picture  # slow, and seldom wanted

    try:
        if path.stat().st_size > MAX_PICTURE_BYTES:
            raise UsageError(f"photo {path}: at most {MAX_PICTURE_BYTES // 1_000_000} MB are read")
        content = path.read_bytes()
    except OSError as error:
        raise UsageError(f"photo {path}: {_lower_first(error.strerror or 'cannot be read')}") from error
    try:
        clean = strip_picture(content)
    except UsageError as error:
        raise UsageError(f"photo {path}: {error}") from error
    return clean.content, clean.ending


def _lower_first(words: str) -> str:
    return words[:1].lower() + words[1:]


def _write_new(folder: Path, stem: str, ending: str, content: bytes) -> Path:
    """Write a file under the first free of the names STEM, STEM-2, STEM-3 …"""
    folder.mkdir(parents=True, exist_ok=True)
    # Its own name begins with a dot, so that a reader who looks in meanwhile passes it over.
    draft = folder / f".{os.urandom(6).hex()}.new"
    try:
        with draft.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        return _give_name(draft, folder, stem, ending, content)
    finally:
        draft.unlink(missing_ok=True)
        _sync_folder(folder)


def _give_name(draft: Path, folder: Path, stem: str, ending: str, content: bytes) -> Path:
    number = 1
    while True:
        path = folder / (f"{stem}{ending}" if number == 1 else f"{stem}-{number}{ending}")
        try:
            os.link(draft, path)  # fails where the name is taken, and is complete where it works
            return path
        except FileExistsError:
            number += 1
        except OSError:  # a disk without hard links
            try:
                with path.open("xb") as stream:
                    stream.write(content)
                    stream.flush()
                    os.fsync(stream.fileno())
                return path
            except FileExistsError:
                number += 1
            except OSError:
                path.unlink(missing_ok=True)
                raise


def _sync_folder(folder: Path) -> None:
    """Make the new names last, where the system can do that for a folder."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
