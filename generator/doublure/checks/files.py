"""What the disk had to say of notes and pictures, as problems at the places that name them.

In: FileFault from store/. Out: problems. Never: reading files.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from doublure.model.replica import Replica
from doublure.model.source import FileFault
from doublure.problem_codes import CODES
from doublure.problems import Problem, Span

_NOTES = {
    "encoding": ("F101", "it is not UTF-8", "save it as UTF-8"),
    "too long": ("F111", "it is too long for a note", "part it into several notes"),
    "other ending": ("F104", "it is not read, for a note ends in .md or .yml", "call it NAME.md"),
    "outside": ("F105", "it cannot be read", "copy the file itself into the journal"),
}
_NOTE_CLOSED = ("F105", "it cannot be read", "see whether it opens in an editor")
_PICTURES = {
    "missing": ("P101", "is not there", "put the file there, or correct the path"),
    "outside": ("P102", "is not in the journal", "copy it into the journal and name it from there"),
    "unreadable": ("P103", "cannot be opened", "see whether it opens elsewhere"),
    "not a picture": ("P104", "is no picture that can be read", "save it anew as PNG or JPEG"),
    "too large": ("P105", "is too large", "save it smaller"),
    "too long": ("P105", "is too large", "save it smaller"),
}


def describe_note_faults(faults: Sequence[FileFault]) -> tuple[Problem, ...]:
    """Return a problem for each note that could not be read as text."""
    return tuple(_describe(fault) for fault in faults)


def _describe(fault: FileFault) -> Problem:
    span = Span(fault.file, fault.line, fault.column)
    code, words, hint = _NOTES.get(fault.reason, _NOTE_CLOSED)
    if fault.reason == "other ending":
        return Problem(code, words, span, fault.detail or hint, CODES[code].severity)
    return _problem(code, words, hint, fault, span)


def _problem(code: str, words: str, hint: str, fault: FileFault, span: Span) -> Problem:
    said = f"{words}: {fault.detail}" if fault.detail else words
    return Problem(code, said, span, hint, CODES[code].severity)


def check_pictures(replica: Replica, faults: Sequence[FileFault]) -> Iterator[Problem]:
    """Yield a problem wherever a note names a picture that cannot be used.

    Artwork of masters is another matter (artwork.py), also where its master shows it as a picture.
    """
    by_file = {fault.file: fault for fault in faults}
    if not by_file:
        return
    for file, field, span in _named_files(replica):
        fault = by_file.get(file)
        if fault is not None:
            code, words, hint = _PICTURES.get(fault.reason, _PICTURES["unreadable"])
            if fault.detail.startswith("did you mean"):
                yield Problem(code, f'{field}: "{file}" {words}', span, fault.detail, CODES[code].severity)
            else:
                yield _problem(code, f'{field}: "{file}" {words}', hint, fault, span)


def _named_files(replica: Replica) -> Iterator[tuple[str, str, Span]]:
    for note in replica.notes():
        for place, picture in enumerate(note.pictures):
            if picture.file != getattr(note, "artwork", None):
                yield picture.file, "pictures", note.origin.span("pictures", place)
    for reading in replica.register.values():
        if reading.photo:
            yield reading.photo, "photo", reading.origin.span("photo")
