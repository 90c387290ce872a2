"""Takes private passages out of the text of a note and parts it into front matter and body.

In: the text of a file. Out: the same text with fillers, and where its parts lie. Never: YAML.
Line numbers and columns of what stays are those of the file.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from doublure.notes.manuscript import FILLER, drop_filler

#: An opening or closing private mark. Spaces and capitals are let through: a slip must not publish.
PRIVATE_MARK = re.compile(r"\{\s*(/?)\s*private\s*\}", re.IGNORECASE)
_FENCE = re.compile(r"---[ \t]*")
_CLOSING = re.compile(r"(?:---|\.\.\.)[ \t]*")


@dataclass(frozen=True, slots=True)
class Fault:
    """Something wrong with the text: a code, words, and a place in it."""

    code: str
    message: str
    start: int
    end: int
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Parts:
    """A note in its parts.

    Attributes:
        text: The whole text, private passages replaced by fillers.
        yaml_start, yaml_end: Where the YAML lies in it; equal where there is none.
        body: Markdown after the front matter, without private passages and without blank ends.
        body_start: Where the body begins in the text.
        faults: What is wrong with the marks and the fences.
        shown: The text that the offsets of the faults mean, with the faulty marks to be seen.
    """

    text: str
    yaml_start: int
    yaml_end: int
    body: str
    body_start: int
    faults: tuple[Fault, ...] = ()
    shown: str = ""

    @property
    def is_parted(self) -> bool:
        """True where one can say where the fields end."""
        return not any(fault.code == "F106" for fault in self.faults)


def hide_private(text: str) -> tuple[str, tuple[Fault, ...]]:
    """Replace private passages with their marks by fillers.

    What follows an opening mark that is never closed is hidden to the end: in doubt, private.

    Returns:
        The text, character by character as long as before, and the faults of unbalanced marks.
    """
    marks = list(PRIVATE_MARK.finditer(text))
    if not marks:
        return text, ()
    faults: list[Fault] = []
    pieces: list[str] = []
    done = depth = opened = 0
    first = marks[0]
    for mark in marks:
        if not mark[1]:
            if depth == 0:
                pieces.append(text[done : mark.start()])
                opened, first = mark.start(), mark
            depth += 1
        elif depth == 0:
            faults.append(
                Fault(
                    "F110",
                    "a private passage ends here, but none has begun",
                    mark.start(),
                    mark.end(),
                    "write {private} where it begins",
                )
            )
        else:
            depth -= 1
            if depth == 0:
                pieces.append(_fill(text[opened : mark.end()]))
                done = mark.end()
    if depth:
        pieces.append(_fill(text[opened:]))
        done = len(text)
        faults.append(
            Fault(
                "F110",
                "a private passage begins here and is never closed",
                first.start(),
                first.end(),
                "write {/private} where it ends",
            )
        )
    pieces.append(text[done:])
    return "".join(pieces), tuple(faults)


def _fill(passage: str) -> str:
    return re.sub(r"[^\n]", FILLER, passage)


def part_note(text: str, pure_yaml: bool) -> Parts:
    """Part a note into front matter and body.

    Args:
        text: The whole text, line endings as "\\n".
        pure_yaml: True for a file that is YAML as a whole.
    """
    hidden, faults = hide_private(text)
    shown = hidden
    for fault in faults:
        shown = shown[: fault.start] + text[fault.start : fault.end] + shown[fault.end :]
    if pure_yaml:
        hidden = _blank_private_lines(hidden, 0, len(hidden))
        return Parts(hidden, 0, len(hidden), "", len(hidden), faults, shown)
    opening = _first_line(hidden)
    start, end = opening
    if not _FENCE.fullmatch(hidden[start:end].replace(FILLER, "")):
        return Parts(hidden, 0, 0, tidy_body(hidden), 0, faults, shown)
    at = min(end + 1, len(hidden))
    yaml_start = at
    while at < len(hidden):
        finish = hidden.find("\n", at)
        finish = len(hidden) if finish < 0 else finish
        if _CLOSING.fullmatch(hidden[at:finish].replace(FILLER, "")):
            body_start = min(finish + 1, len(hidden))
            head = _blank_private_lines(hidden, yaml_start, at)
            moved = len(head) - len(hidden)
            body = hidden[body_start:]
            return Parts(head, yaml_start, at + moved, tidy_body(body), body_start + moved, faults, shown)
        at = finish + 1
    unclosed = Fault(
        "F106",
        'the front matter begins here, but no line "---" ends it',
        start,
        start + 3,
        "write a line of --- after the last field",
    )
    return Parts(hidden, 0, 0, "", len(hidden), (*faults, unclosed), shown)


def _first_line(text: str) -> tuple[int, int]:
    """Return where the first line begins and ends that holds anything but spaces and private passages."""
    at = 0
    while at < len(text):
        finish = text.find("\n", at)
        finish = len(text) if finish < 0 else finish
        if text[at:finish].replace(FILLER, "").strip():
            return at, finish
        at = finish + 1
    return 0, 0


def _blank_private_lines(text: str, start: int, end: int) -> str:
    """Empty the lines of YAML on which only a comment stands beside a private passage.

    YAML would take the fillers for a value. Nothing else on such a line needs its column.
    """
    head = text[start:end]
    if FILLER not in head:
        return text
    lines = head.split("\n")
    for number, line in enumerate(lines):
        if FILLER in line:
            kept = line.replace(FILLER, "").lstrip()
            if not kept or kept.startswith("#"):
                lines[number] = ""
    return text[:start] + "\n".join(lines) + text[end:]


def tidy_body(text: str) -> str:
    """Return Markdown without fillers and without blank lines at its ends."""
    return drop_filler(text).strip("\n").rstrip()
