"""Writes readings of register as notes, and a drawing of the target to a file: whole or not at all.

In: readings in mm and rad, a project. Out: new files under journal/register/, never over another; a PDF where
the maker wants it. Never: reading photographs, judging readings.
"""

from __future__ import annotations

import contextlib
import os
import re
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from doublure.errors import UsageError
from doublure.model.notes import MarkOffset
from doublure.quantities import format_offset, format_sideways, format_turn
from doublure.store.journal_paths import JOURNAL, is_private

REGISTER = "register"
_MOST_NOTES = 100_000


@dataclass(frozen=True, slots=True)
class RegisterDraft:
    """What a note of register is to say.

    Attributes:
        day: When it was printed.
        printer, stock: Identifiers.
        sheet: Size, such as "297 x 210 mm".
        method: "against the light", "scan" or "by eye".
        photo: The picture it was read from; named in the note only where it lies in the journal.
        offsets: Of each mark.
        u_mm: Standard uncertainty of each offset; None where not known.
        front_right_mm, front_down_mm, front_turn_rad, fold_right_mm: As in RegisterNote.
    """

    day: date
    printer: str
    stock: str
    sheet: str
    method: str
    photo: Path | None
    offsets: tuple[MarkOffset, ...]
    u_mm: float | None = None
    front_right_mm: float | None = None
    front_down_mm: float | None = None
    front_turn_rad: float | None = None
    fold_right_mm: float | None = None


def write_register_note(root: Path, draft: RegisterDraft) -> str:
    """Write a note under the first free number of its day, printer and stock.

    Returns:
        Its path, relative to the project.

    Raises:
        OSError: The disk refused; nothing was written.
    """
    folder = root / JOURNAL / REGISTER
    folder.mkdir(parents=True, exist_ok=True)
    stem = f"{draft.day.isoformat()}-{draft.printer}-{draft.stock}"
    content = compose_note(draft, _photo_in_journal(root, draft.photo)).encode("utf-8")
    fresh = folder / f".{os.urandom(6).hex()}.new"
    try:
        with fresh.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        for number in range(1, _MOST_NOTES):
            path = folder / f"{stem}-{number}.yml"
            if path.with_suffix(".md").exists() or path.with_suffix(".yaml").exists():
                continue  # the same identifier under another ending
            if _give_name(fresh, path, content):
                return f"{JOURNAL}/{REGISTER}/{path.name}"
    finally:
        fresh.unlink(missing_ok=True)
    raise UsageError(f"{JOURNAL}/{REGISTER}/ holds too many notes of {stem}")


def _give_name(fresh: Path, path: Path, content: bytes) -> bool:
    """Give a written file its name; False where the name is taken."""
    try:
        os.link(fresh, path)  # fails where the name is taken, and is complete where it works
        return True
    except FileExistsError:
        return False
    except OSError:  # a disk without hard links
        try:
            stream = path.open("xb")
        except FileExistsError:
            return False
        try:
            with stream:
                stream.write(content)
        except OSError:
            path.unlink(missing_ok=True)
            raise
        return True


def compose_note(draft: RegisterDraft, photo: str = "") -> str:
    """Return the note as YAML."""
    lines = [
        f"printer: {draft.printer}",
        f"stock: {draft.stock}",
        f"date: {draft.day.isoformat()}",
        f"sheet: {draft.sheet}",
        f"method: {draft.method}",
    ]
    if photo:
        lines.append(f"photo: {photo}")
    if draft.u_mm is not None:
        lines.append(f"uncertainty: {max(draft.u_mm, 0.001):.3f} mm")
    front = []
    if draft.front_right_mm is not None:
        front.append(f"right: {_signed(draft.front_right_mm)}")
    if draft.front_down_mm is not None:
        front.append(f"down: {_signed(draft.front_down_mm)}")
    if draft.front_turn_rad is not None:
        front.append(f"turn: {format_turn(draft.front_turn_rad)}")
    if front:
        lines += ["front:", *(f"  {line}" for line in front)]
    if draft.fold_right_mm is not None:
        lines.append(f"fold: {format_sideways(draft.fold_right_mm)}")
    lines.append("offsets:")
    lines += [f"  {one.mark}: {format_offset(one.right_mm, one.down_mm)}" for one in draft.offsets]
    return "\n".join(lines) + "\n"


def _signed(value_mm: float) -> str:
    shown = f"{value_mm:.3f}".rstrip("0").rstrip(".")
    return f"{'0' if shown == '-0' else shown} mm"


def _photo_in_journal(root: Path, photo: Path | None) -> str:
    """Return the path of a picture relative to the journal; "" where a note must not or cannot name it."""
    if photo is None:
        return ""
    journal = Path(os.path.realpath(root / JOURNAL))
    real = Path(os.path.realpath(photo))
    if not real.is_relative_to(journal):
        return ""
    inside = real.relative_to(journal)
    # Only names that need no quoting are written; a reading is whole without its picture.
    if is_private(inside.parts) or not re.fullmatch(r"[A-Za-z0-9][\w./-]*", inside.as_posix()):
        return ""
    return inside.as_posix()


def write_target(path: Path, content: bytes) -> None:
    """Write the target's PDF, in place of an earlier one.

    Raises:
        UsageError: The name is that of a folder, or its folder is not there.
        OSError: The disk refused; an earlier file is as it was.
    """
    if path.is_dir():
        raise UsageError(f"{path} is a folder; name a file in it, such as {path / 'target.pdf'}")
    if not path.parent.is_dir():
        raise UsageError(f"there is no folder {path.parent}")
    fresh = path.with_name(f".{os.urandom(6).hex()}.new")
    try:
        with fresh.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(fresh, path)
    finally:
        with contextlib.suppress(OSError):
            fresh.unlink(missing_ok=True)


def read_readings(path: Path) -> str:
    """Return the text of a file of readings.

    Raises:
        UsageError: It cannot be read, or is no text.
    """
    try:
        if path.stat().st_size > 50_000_000:
            raise UsageError(f"{path}: no file of readings is so large")
        return path.read_text("utf-8")
    except OSError as error:
        words = error.strerror or "cannot be read"
        raise UsageError(f"{path}: {words[:1].lower()}{words[1:]}") from error
    except ValueError as error:
        raise UsageError(f"{path}: not a text in UTF-8") from error
