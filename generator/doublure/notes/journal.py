"""All notes of a journal to a Replica, and every problem in them in one run.

In: the texts of the notes, and what could not be read as text. Out: Replica and problems.
Never: reading files.
"""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from doublure.model.notes import Note, ReplicaNote
from doublure.model.replica import FOLDER_KINDS, Replica
from doublure.model.source import FileFault, SourceText
from doublure.notes.decode import Decoded, decode_note
from doublure.notes.fieldtypes import parse_day
from doublure.notes.links import (
    NoteIndex,
    apply_names,
    check_body_links,
    check_circles,
    check_references,
    pair_crossovers,
)
from doublure.notes.schema import KINDS
from doublure.problem_codes import CODES
from doublure.problems import Problem, Span, nearest_name, sort_problems

_ENDINGS = (".md", ".yml", ".yaml")
_TOP_KINDS = ("replica", "book")
#: Folders that hold no notes; what lies in private/ is never looked at.
_NOT_NOTES = ("private", "revisions", "pictures", "artwork")
_IDENTIFIER = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
#: Words that stand for something else where a name is wanted.
_RESERVED = {"blank": "an empty page or side"}
#: Files that Windows keeps for its devices, whatever their ending (Microsoft, "Naming Files, Paths, and
#: Namespaces", from memory).
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))}
)


@dataclass(frozen=True, slots=True)
class _Address:
    """Which note a file is: its kind and identifier."""

    kind: str
    id: str


def decode_journal(
    sources: Sequence[SourceText], faults: Sequence[FileFault] = ()
) -> tuple[Replica | None, tuple[Problem, ...]]:
    """Decode every note.

    A note with a mistake in one field is kept without that field; a note that cannot be read as fields at all
    is left out, and names of it elsewhere are not called wrong.

    Args:
        sources: The notes as text; files that are no notes are told as warnings.
        faults: Notes that could not be read as text; names of them elsewhere are not called wrong either.
            What is wrong with them, checks.describe_note_faults says.

    Returns:
        The replica, its picture facts still empty; None where there is no replica note that can be read. And
        every problem, in the order of file, line and column.
    """
    problems: list[Problem] = []
    failed = {address for fault in faults if (address := _address_of_fault(fault)) is not None}
    addressed: list[tuple[_Address, SourceText]] = []
    seen: dict[_Address, SourceText] = {}
    for source in sorted(sources, key=lambda one: (not one.path.startswith("replica."), one.path)):
        address = _find_address(source, problems)
        if address is None:
            continue
        if (other := seen.get(address)) is not None:
            problems.append(
                _file_problem(
                    "F109",
                    source.file,
                    f'"{address.id}" is the name of two files',
                    f"keep this one or {other.file}",
                )
            )
            continue
        seen[address] = source
        addressed.append((address, source))

    decoded: list[Decoded] = []
    money = ""
    for address, source in addressed:
        one = decode_note(source, address.kind, address.id, money)
        problems.extend(one.problems)
        if isinstance(one.note, ReplicaNote):
            money = one.note.money
        named_badly = _check_name(address, source, problems)
        if one.note is None or named_badly:
            failed.update((address, _Address(address.kind, suggest_name(address.id))))
        if not named_badly:
            decoded.append(one)

    notes, link_problems = _link(decoded, frozenset((one.kind, one.id) for one in failed))
    problems.extend(link_problems)
    replica = _assemble(notes)
    if replica is None and not any(address.kind == "replica" for address in (*seen, *failed)):
        problems.append(
            _file_problem(
                "F108",
                "journal/replica.yml",
                "there is no replica note",
                "write one with at least title: and a title",
            )
        )
    return replica, sort_problems(problems)


def named_pictures(replica: Replica) -> tuple[tuple[str, Span], ...]:
    """Return every picture file that a note names, relative to the journal, with its place.

    In the order of the notes, photographs of targets last; a file that is named twice comes twice.
    """
    shown = [
        (picture.file, note.origin.span("pictures", place))
        for note in replica.notes()
        for place, picture in enumerate(note.pictures)
    ]
    read = [(note.photo, note.origin.span("photo")) for note in replica.register.values() if note.photo]
    return (*shown, *read)


def named_artwork(replica: Replica) -> tuple[tuple[str, Span], ...]:
    """Return every artwork file that a master names, relative to the journal, with its place."""
    return tuple(
        (master.artwork, master.origin.span("artwork"))
        for master in replica.masters.values()
        if master.artwork
    )


def suggest_name(name: str) -> str:
    """Return a file name, without its ending, that may be an identifier.

    Examples:
        >>> suggest_name("Tide Pass_2")
        'tide-pass-2'
        >>> suggest_name("Index")
        'note-index'
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    suggested = "-".join(re.findall(r"[a-z0-9]+", plain)) or "note"
    return f"note-{suggested}" if suggested in _DEVICES or suggested in ("index", *_RESERVED) else suggested


def _find_address(source: SourceText, problems: list[Problem]) -> _Address | None:
    """Return which note a file is; None, usually with a warning, where it is none."""
    folder, _, name = source.path.rpartition("/")
    stem, ending = _split_ending(name)
    if not ending or folder.split("/")[0] in _NOT_NOTES:
        return None
    if folder in FOLDER_KINDS:
        return _Address(folder, stem)
    if not folder:
        if stem in _TOP_KINDS:
            return _Address(stem, stem)
        if stem.casefold() == "readme":
            return None
        near = nearest_name(stem.casefold(), _TOP_KINDS)
        hint = f"did you mean {near}.yml?" if near else "move it into one of the folders of notes"
        problems.append(_file_problem("F104", source.file, f'"{name}" is no note that is read', hint))
        return None
    top = folder.split("/")[0]
    if top in FOLDER_KINDS:
        hint = f"move it to {top}/{name}"
        problems.append(
            _file_problem("F104", source.file, f"notes in a folder inside {top}/ are not read", hint)
        )
        return None
    near = nearest_name(top.casefold(), FOLDER_KINDS)
    hint = f"did you mean {near}/?" if near else f"the folders of notes are {', '.join(FOLDER_KINDS)}"
    problems.append(
        _file_problem("F103", source.file, f'"{top}" is no folder of notes, so this is not read', hint)
    )
    return None


def _split_ending(name: str) -> tuple[str, str]:
    for ending in _ENDINGS:
        if name.lower().endswith(ending):
            return name[: -len(ending)], ending
    return name, ""


def _check_name(address: _Address, source: SourceText, problems: list[Problem]) -> bool:
    """Add what is wrong with the name of a file; return True where something is."""
    if address.kind in _TOP_KINDS:
        return False
    if not _IDENTIFIER.fullmatch(address.id):
        problems.append(
            _file_problem(
                "F102",
                source.file,
                f'"{address.id}" cannot be a name: only a to z, 0 to 9 and single hyphens between them',
                f"call the file {suggest_name(address.id)}.md",
            )
        )
        return True
    meaning = _RESERVED.get(address.id) if address.kind == "masters" else None
    if address.id == "index":
        # Its page would take the place of the page of all notes of the kind.
        meaning = "the page that lists the whole folder"
    elif address.id in _DEVICES:
        meaning = "a device to Windows, where no file can be called so"
    if meaning:
        problems.append(
            _file_problem(
                "F102", source.file, f'"{address.id}" means {meaning}', "call the file something else"
            )
        )
        return True
    if address.kind == "log":
        day = parse_day(address.id[:10])
        if isinstance(day, str) or address.id[10:11] not in ("", "-"):
            wrong = day if isinstance(day, str) else "is not a date"
            problems.append(
                _file_problem(
                    "F107",
                    source.file,
                    f'the name of a log entry begins with its date, and "{address.id[:10]}" {wrong}',
                    "call the file YEAR-MONTH-DAY-what.md, such as 2031-03-14-press.md",
                )
            )
            return True
    return False


def _file_problem(code: str, file: str, message: str, hint: str) -> Problem:
    return Problem(code, message, Span(file), hint, CODES[code].severity)


def _address_of_fault(fault: FileFault) -> _Address | None:
    parts = fault.file.split("/")
    stem, ending = _split_ending(parts[-1])
    if not ending:
        return None
    if len(parts) > 1 and parts[-2] in FOLDER_KINDS:
        return _Address(parts[-2], stem)
    return _Address(stem, stem) if stem in _TOP_KINDS else None


def _link(
    decoded: Sequence[Decoded], failed: frozenset[tuple[str, str]]
) -> tuple[dict[str, dict[str, Note]], list[Problem]]:
    """Check names across notes; return the notes by kind and identifier, and the problems."""
    ids: dict[str, set[str]] = defaultdict(set)
    for one in decoded:
        if one.note is not None:
            ids[one.kind].add(one.id)
    index = NoteIndex({kind: frozenset(ids[kind]) for kind in KINDS}, failed)
    problems: list[Problem] = []
    notes: dict[str, dict[str, Note]] = {kind: {} for kind in KINDS}
    for one in sorted(decoded, key=lambda each: each.id):
        found, renamed = check_references(one, index)
        problems.extend(found)
        problems.extend(check_body_links(one, index))
        if one.note is not None:
            notes[one.kind][one.id] = apply_names(one.note, renamed)
    evidence: Mapping[str, Any] = notes["evidence"]
    problems.extend(check_circles(evidence))
    masters: Mapping[str, Any] = notes["masters"]
    paired, crossed = pair_crossovers(masters)
    notes["masters"] = dict(paired)
    problems.extend(crossed)
    return notes, problems


def _assemble(notes: Mapping[str, Mapping[str, Any]]) -> Replica | None:
    replica = notes["replica"].get("replica")
    if replica is None:
        return None
    folders: dict[str, Any] = {kind: notes[kind] for kind in FOLDER_KINDS}
    return Replica(replica, notes["book"].get("book"), **folders)
