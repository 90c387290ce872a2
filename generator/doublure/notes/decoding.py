"""What is gathered while one note is decoded: problems, references to other notes, where things moved.

In: nodes and words from the field types. Out: problems with places, references for links.py.
Never: deciding what is right (fieldtypes.py and shapes.py do).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from doublure.notes.manuscript import FILLER, Findings
from doublure.notes.nodes import BrokenNode, ListNode, MapNode, Node, ScalarNode

Path = tuple[str | int, ...]
#: Values of the fields of a record by key; those that failed or were left empty are missing.
Values = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Reference:
    """A name that a note says of another.

    Attributes:
        name: As written.
        folders: Folders in which it may lie.
        loose: Names that are no notes but allowed as well: "page", "gathering", "stack", "plate".
        key: The field.
        start, end: Where it is written.
        path: Path of the value in the note.
    """

    name: str
    folders: tuple[str, ...]
    loose: tuple[str, ...]
    key: str
    start: int
    end: int
    path: Path


@dataclass(slots=True)
class Decoding:
    """The state of decoding one note.

    Attributes:
        findings: Takes the problems.
        journal_file: Path of the note relative to the journal.
        references: Names of other notes met so far.
        moved: Paths of the record whose value stands at another path of the note.
        money: Name of the journal's money, which may stand beside an amount.
        example: The field that is being decoded, and its example, as the table of fields has them.
    """

    findings: Findings
    journal_file: str
    references: list[Reference] = field(default_factory=list)
    moved: dict[Path, Path] = field(default_factory=dict)
    money: str = ""
    example: tuple[str, str] = ("", "")

    def suggest(self, key: str, wanted: str) -> str:
        """Return what to write in a field: its example, where it is the one being decoded."""
        return f"write {key}: {self.example[1]}" if self.example[0] == key else f"write {wanted}"

    def add(self, code: str, message: str, node: Node, hint: str = "") -> None:
        """Add a problem about a whole node."""
        start, end = node.start, node.end
        if isinstance(node, ScalarNode) and node.style in ("|", ">"):
            start, end = self.locate(node, 0, max(1, len(node.value)))
        self.findings.add(code, message, start, end, hint)

    def add_within(
        self, code: str, message: str, node: ScalarNode, offset: int, length: int, hint: str = ""
    ) -> None:
        """Add a problem about part of a value, by its place in the value."""
        start, end = self.locate(node, offset, length)
        self.findings.add(code, message, start, end, hint)

    def locate(self, node: ScalarNode, offset: int, length: int) -> tuple[int, int]:
        """Return where value[offset:offset + length] stands in the text of the note.

        YAML may fold lines and drop indentation, but it keeps every character that is no space; so those are
        counted. Where escapes change them too, the whole value is the place.
        """
        text = self.findings.manuscript.text
        start, end = node.start, node.end
        if node.style == '"' and "\\" in text[start:end]:
            return start, end
        if node.style in ("|", ">"):
            line_end = text.find("\n", start)
            start = end if line_end < 0 else line_end + 1
        elif node.style:
            start, end = start + 1, end - 1
        begin = _advance(text, start, end, node.value, offset, node.style == "'")
        if begin >= end:
            return node.start, node.end
        finish = begin + max(1, length)
        if "\n" in node.value[offset : offset + length]:
            finish = begin + 1
        return begin, min(finish, max(end, begin + 1))


def _advance(text: str, start: int, end: int, value: str, offset: int, quoted: bool) -> int:
    """Return the place in text[start:end] of the character value[offset]."""
    wanted = sum(1 for c in value[:offset] if not c.isspace())
    at = start
    while at < end:
        character = text[at]
        if character.isspace() or character == FILLER:
            at += 1
            continue
        if wanted == 0:
            return at
        wanted -= 1
        at += 2 if quoted and character == "'" and text[at + 1 : at + 2] == "'" else 1
    return at


def describe_node(node: Node) -> str:
    """Return in words what a node is."""
    if isinstance(node, ListNode):
        return "a list"
    if isinstance(node, MapNode):
        return "a group of fields"
    if isinstance(node, BrokenNode):
        return "nothing that can be read"
    return "nothing" if node.is_empty else f'"{shorten(node.value)}"'


def shorten(text: str, longest: int = 60) -> str:
    """Return a value on one line and short enough for a message."""
    line = " ".join(text.split())
    return line if len(line) <= longest else line[: longest - 1] + "…"
