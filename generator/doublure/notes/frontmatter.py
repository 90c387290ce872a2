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
#: The further lines of a passage begin with what indents them.
_VISIBLE = re.compile(r"((?:(?<=\n)[ \t]*)?)([^\n]+)")
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
        faults: What is wrong with the marks and the fences; the rest then holds nothing to be read.
    """

    text: str
    yaml_start: int
    yaml_end: int
    body: str
    body_start: int
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Hidden:
    """A text without its private passages.

    Attributes:
        text: Passages replaced by fillers, character by character as long as before.
        passages: Where they begin and end.
        faults: Marks that have no partner.
    """

    text: str
    passages: tuple[tuple[int, int], ...] = ()
    faults: tuple[Fault, ...] = ()


def hide_private(text: str) -> Hidden:
    """Replace private passages with their marks by fillers.

    Where a mark has no partner, everything up to it or from it on is hidden as well: in doubt, private.
    """
    faults: list[Fault] = []
    passages: list[tuple[int, int]] = []
    opened: list[re.Match[str]] = []
    for mark in PRIVATE_MARK.finditer(text):
        if not mark[1]:
            opened.append(mark)
        elif not opened:
            passages = [(0, mark.end())]
            faults.append(_unpaired(mark, "ends here, but none has begun", "write {private} where it begins"))
        else:
            first = opened.pop()
            if not opened:
                passages.append((first.start(), mark.end()))
    if opened:
        passages.append((opened[0].start(), len(text)))
        faults += [
            _unpaired(mark, "begins here and is never closed", "write {/private} where it ends")
            for mark in opened[:1]
        ]
    pieces: list[str] = []
    done = 0
    for start, end in passages:
        pieces += [text[done:start], _fill(text[start:end])]
        done = end
    pieces.append(text[done:])
    return Hidden("".join(pieces), tuple(passages), tuple(faults))


def _unpaired(mark: re.Match[str], words: str, hint: str) -> Fault:
    return Fault("F110", f"a private passage {words}", mark.start(), mark.end(), hint)


def _fill(passage: str) -> str:
    """Fill a passage, but keep how far its further lines are indented: what follows on them counts on it."""
    return _VISIBLE.sub(lambda found: found[1] + FILLER * len(found[2]), passage)


def part_note(text: str, pure_yaml: bool) -> Parts:
    """Part a note into front matter and body.

    Args:
        text: The whole text, line endings as "\\n".
        pure_yaml: True for a file that is YAML as a whole.
    """
    hidden = hide_private(text)
    if hidden.faults:
        # Nobody can say what is private, so nothing but the marks may be seen, and nothing is read.
        shown = _fill(text)
        for fault in hidden.faults:
            shown = shown[: fault.start] + text[fault.start : fault.end] + shown[fault.end :]
        return Parts(shown, 0, 0, "", len(shown), hidden.faults)
    clean = hidden.text
    if pure_yaml:
        clean = _blank_private_lines(text, clean, 0, len(clean))
        return Parts(clean, 0, len(clean), "", len(clean))
    start, end = _first_line(clean)
    if not _FENCE.fullmatch(clean[start:end].replace(FILLER, "")):
        return Parts(clean, 0, 0, _tidy_body(text, hidden, 0), 0)
    yaml_start = at = min(end + 1, len(clean))
    while at < len(clean):
        finish = clean.find("\n", at)
        finish = len(clean) if finish < 0 else finish
        if _CLOSING.fullmatch(clean[at:finish].replace(FILLER, "")):
            body_start = min(finish + 1, len(clean))
            blanked = _blank_private_lines(text, clean, yaml_start, at)
            moved = len(blanked) - len(clean)
            return Parts(
                blanked, yaml_start, at + moved, _tidy_body(text, hidden, body_start), body_start + moved
            )
        at = finish + 1
    unclosed = Fault(
        "F106",
        'the front matter begins here, but no line "---" ends it',
        start,
        start + 3,
        "write a line of --- after the last field",
    )
    return Parts(clean, 0, 0, "", len(clean), (unclosed,))


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


def _blank_private_lines(original: str, clean: str, start: int, end: int) -> str:
    """Empty the lines of YAML on which only a comment stands beside a private passage.

    YAML would take the fillers for a value. Nothing else on such a line needs its column.
    """
    head = clean[start:end]
    if FILLER not in head:
        return clean
    lines = head.split("\n")
    at = start
    for number, line in enumerate(lines):
        if FILLER in line:
            kept = line.replace(FILLER, "").lstrip()
            was_comment = original[at : at + len(line)].lstrip().startswith("#")
            if not kept or kept.startswith("#") or was_comment:
                lines[number] = ""
        at += len(line) + 1
    return clean[:start] + "\n".join(lines) + clean[end:]


def _tidy_body(text: str, hidden: Hidden, start: int) -> str:
    """Return Markdown without private passages and without blank lines at its ends."""
    pieces: list[str] = []
    done = start
    for begin, end in hidden.passages:
        if end > start:
            pieces += [text[done : max(done, begin)], FILLER]
            done = end
    pieces.append(text[done:])
    return drop_filler("".join(pieces)).strip("\n").rstrip()
