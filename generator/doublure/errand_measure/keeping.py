"""Puts a measured size into the note of an insert, as one reading more.

In: Measurement, the insert, the evidence. Out: the changed note. Never: formulas, printing.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from doublure.errand_measure.known_sizes import read_replica
from doublure.errand_measure.measuring import Measurement
from doublure.errors import UsageError
from doublure.measured import Measured
from doublure.model.source import SourceText
from doublure.notes.decode import Decoded, decode_note
from doublure.problems import nearest_name
from doublure.quantities import format_length_mm
from doublure.store.journal_paths import JOURNAL
from doublure.store.readings_writer import (
    ChangedNote,
    ReadingDraft,
    draft_note,
    inside_journal,
    write_changed,
)

_BY = {
    "corners": "four corners of something known",
    "pattern": "a pattern of known points",
    "length": "one known length, the plane taken for parallel to the picture",
    "coin": "a coin",
}
_LENS = {
    "published": "lens published",
    "edges": "lens by straight edges",
    "pattern": "lens by the pattern",
    "unknown": "lens not known, its doubt included",
    "uncorrected": "lens not corrected, its bias included",
    "scan": "a flat scan",
}


@dataclass(frozen=True, slots=True)
class Place:
    """Where a reading goes: the project, the insert and the evidence, all there."""

    root: Path
    insert: str
    source: str


def find_place(start: Path, insert: str, source: str, photo: Path, as_length: str) -> Place:
    """Return where a reading goes, before anything is measured.

    Args:
        start: A folder within the project.
        insert: Identifier of the insert.
        source: Identifier of the evidence; "" to find the evidence whose picture this is.
        photo: The picture.
        as_length: "width" or "height", for a length; "" for corners.

    Raises:
        UsageError: There is no project, insert or evidence of the name, or no evidence has this picture.
        JournalRejected: The notes hold no replica that can be used.
    """
    from doublure.errands import find_project

    if as_length not in ("", "width", "height"):
        raise UsageError("as: a length is read as width or as height")
    root = find_project(start)
    replica = read_replica(root)
    name = insert.strip().removeprefix("inserts/")
    if name not in replica.inserts:
        near = nearest_name(name, list(replica.inserts))
        raise UsageError(f'into: there is no insert "{name}"' + (f"; did you mean {near}?" if near else ""))
    wanted = source.strip().removeprefix("evidence/")
    if wanted:
        if wanted not in replica.evidence:
            near = nearest_name(wanted, list(replica.evidence))
            raise UsageError(
                f'from: there is no evidence "{wanted}"' + (f"; did you mean {near}?" if near else "")
            )
        return Place(root, name, wanted)
    file = inside_journal(root, photo)
    found = [note.id for note in replica.evidence.values() if any(one.file == file for one in note.pictures)]
    if len(found) != 1:
        words = (
            "no evidence has this picture" if not found else f"this picture belongs to {' and '.join(found)}"
        )
        raise UsageError(f"into: {words}; name the evidence with --from")
    return Place(root, name, found[0])


def keep_reading(place: Place, done: Measurement, as_length: str) -> str:
    """Write the reading into the note and return the note's path.

    Raises:
        UsageError: The measurement is no size, or the note is written so that none can be added; it is as it was.
        OSError: The disk refused; the note is as it was.
    """
    draft = _compose(place, done, as_length)
    note = draft_note(place.root, place.insert, draft)
    _hold_against(note, place.insert)
    write_changed(place.root, note)
    return note.file


def _compose(place: Place, done: Measurement, as_length: str) -> ReadingDraft:
    if done.lengths is None:
        raise UsageError("into: a ratio of sides is no size; nothing was written")
    if done.fit is not None and not done.fit.fits:
        raise UsageError(
            "into: the known points do not fit one plane, so nothing was written; look at them, and measure once more"
        )
    shown = [
        format_length_mm(Measured(value, max(u, 0.001))).replace("\u00a0", " ").replace("\u202f", " ")
        for value, u in zip(done.lengths.values_mm, done.lengths.u_mm, strict=True)
    ]
    remark = f"measured in the picture by {_BY[done.method]}; {_LENS[done.lens]}"
    if done.above is not None:
        remark += f"; {done.above.above_mm:g} mm above the plane, up to {abs(done.above.share) * 100:.2g} % too large"
    if len(shown) == 2:
        return ReadingDraft(place.source, "size", f"{shown[0].removesuffix(' mm')} x {shown[1]}", remark)
    if not as_length:
        raise UsageError("into: say with --as whether the length is the width or the height")
    return ReadingDraft(place.source, as_length, shown[0], remark)


def _hold_against(note: ChangedNote, insert: str) -> None:
    """Refuse a change after which the note says anything else than before, but for the new reading."""
    before, after = (_decode(note.file, text, insert) for text in (note.before, note.after))
    if any(problem.is_error for problem in before.problems):
        raise UsageError(f"{note.file}: it holds errors; `doublure check` names them. Nothing was written")
    old, new = getattr(before.note, "readings", ()), getattr(after.note, "readings", ())
    safe = (
        len(after.problems) == len(before.problems)
        and len(new) > len(old)
        and [(one.source, one.attribute, one.number, one.words) for one in new[: len(old)]]
        == [(one.source, one.attribute, one.number, one.words) for one in old]
    )
    if not safe:
        raise UsageError(
            f"{note.file}: its readings are written so that none can be added safely; nothing was written"
        )


def _decode(file: str, text: str, insert: str) -> Decoded:
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    return decode_note(SourceText(file, file.removeprefix(f"{JOURNAL}/"), plain), "inserts", insert)
