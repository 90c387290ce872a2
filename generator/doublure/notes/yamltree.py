"""YAML to nodes that know where they stand, every scalar a string.

In: the text of a note and the part of it that is YAML. Out: nodes with offsets, and faults in plain words.
Never: tags, anchors, types guessed from the look of a value, recursion.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from doublure.notes.frontmatter import PRIVATE_MARK, Fault
from doublure.notes.manuscript import FILLER, Findings, Manuscript, drop_filler
from doublure.notes.nodes import BrokenNode, ListNode, MapNode, Node, ScalarNode
from doublure.notes.yaml_words import explain_yaml_error

#: The C loader where there is one; both give the same events.
LOADER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)

MAX_DEPTH = 12
MAX_VALUES = 20_000
_PRIVATE_KEY = "_private"
_PRIVATE_FIELD = re.compile(r"_private[\"']?[ \t]*:", re.IGNORECASE)
_CLOSES = {"[": "]", "{": "}", "'": "'", '"': '"'}
_COMMENT = re.compile(r"[ \t]*#[^\n]*")
_TOP_KEY = re.compile(r"^[^\s#\-\[\]{},&*!|>'\"%@`:?][^\n:]*:(?=[ \t\n]|$)", re.MULTILINE)


@dataclass(slots=True)
class _Open:
    """A list or mapping whose end has not been met."""

    is_map: bool
    start: int
    children: list[Node]


class _Refused(Exception):  # noqa: N818 (it never leaves this module)
    """The note cannot be read any further; the problem has been reported."""


def parse_tree(text: str, start: int, end: int, findings: Findings) -> MapNode | None:
    """Parse text[start:end].

    Args:
        text: The whole text of a note, private passages replaced by fillers.
        start, end: The part that is YAML.
        findings: Takes the problems; afterwards its manuscript hides the fields that end in _private as well.

    Returns:
        The fields of the note. Where the YAML is broken, those fields that can be read nevertheless.
        None where they are no mapping, or too many or too deep.
    """
    reader = _Reader(text, findings)
    try:
        root = reader.read(start, end)
    except _Refused:
        findings.manuscript = _hide_roughly(findings.manuscript)
        reader.tell()
        return None
    except yaml.YAMLError as error:
        findings.manuscript = _hide_roughly(findings.manuscript)
        # What was hidden is not parsed again, so that no piece of it can pass for a field.
        return _recover(findings.manuscript.text, start, end, findings, error)
    reader.tell()
    if isinstance(root, MapNode) or root is None:
        return root if root is not None else MapNode((), start, start)
    if isinstance(root, BrokenNode) or (isinstance(root, ScalarNode) and root.is_empty):
        return MapNode((), start, start)
    findings.add(
        "Y108", "a note is made of fields, and this is none", root.start, root.end, "write title: and a title"
    )
    return None


class _Reader:
    """Builds nodes from the events of one YAML text."""

    def __init__(self, text: str, findings: Findings) -> None:
        self._text = text
        self._findings = findings
        self._has_escapes = "\\" in text
        self._private: list[tuple[int, int]] = []
        # Told only when everything private is known and hidden, since a problem quotes its line.
        self._untold: list[tuple[Fault, ScalarNode | None]] = []
        self._told: set[str] = set()

    def tell(self) -> None:
        """Hide the private fields from whoever quotes the note, then add the problems that were met."""
        findings = self._findings
        if self._private:
            findings.manuscript = findings.manuscript.without(self._private)
        for fault, first in self._untold:
            related = (
                ()
                if first is None
                else ((findings.manuscript.span(first.start, first.end), "the first one"),)
            )
            findings.add(fault.code, fault.message, fault.start, fault.end, fault.hint, related)

    def _add(
        self, code: str, message: str, start: int, end: int, hint: str, first: ScalarNode | None = None
    ) -> None:
        self._untold.append((Fault(code, message, start, end, hint), first))

    def read(self, start: int, end: int) -> Node | None:
        """Return the root node of text[start:end], or None where there is none.

        Raises:
            yaml.YAMLError: The text is no YAML.
            _Refused: The text is more than we read.
        """
        # A lone newline at the end lets the parser see the end of the last line.
        loader = LOADER(self._text[start:end] + "\n")
        try:
            return self._build(loader, start)
        finally:
            loader.dispose()

    def _build(self, loader: Any, base: int) -> Node | None:
        stack: list[_Open] = []
        root: Node | None = None
        documents = values = 0
        next_event = loader.get_event
        while (event := next_event()) is not None:
            kind = type(event)
            node: Node
            if kind is yaml.ScalarEvent:
                node = self._scalar(event, base)
            elif kind is yaml.MappingStartEvent or kind is yaml.SequenceStartEvent:
                self._refuse_marks(event, base)
                stack.append(_Open(kind is yaml.MappingStartEvent, base + event.start_mark.index, []))
                if len(stack) > MAX_DEPTH:
                    at = base + event.start_mark.index
                    self._add(
                        "Y104",
                        f"values lie in each other more than {MAX_DEPTH} deep",
                        at,
                        at + 1,
                        "write it flatter",
                    )
                    raise _Refused
                continue
            elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
                node = self._close(stack.pop(), event, base)
            elif kind is yaml.AliasEvent:
                node = self._alias(event, base)
            elif kind is yaml.DocumentStartEvent:
                documents += 1
                if documents > 1:
                    at = base + event.start_mark.index
                    self._add(
                        "Y107", "a second YAML document begins here", at, at + 3, "keep one note in a file"
                    )
                    break
                continue
            else:
                continue
            values += 1
            if values > MAX_VALUES:
                at = node.start
                self._add(
                    "Y105",
                    f"the note holds more than {MAX_VALUES} values",
                    at,
                    at + 1,
                    "part it into several notes",
                )
                raise _Refused
            if stack:
                stack[-1].children.append(node)
            else:
                root = node
        return root

    def _scalar(self, event: Any, base: int) -> Node:
        start, end = base + event.start_mark.index, base + event.end_mark.index
        if event.anchor is not None or event.tag is not None:
            self._refuse_marks(event, base)
        value = event.value
        if FILLER in value:
            value = drop_filler(value)
        # An escape can spell a private mark that the raw text does not show.
        if self._has_escapes and PRIVATE_MARK.search(value):
            self._private.append((start, end))
            self._add(
                "F110",
                "a private mark is spelt with escapes here",
                start,
                end,
                "write {private} and {/private} as they are",
            )
            return BrokenNode(start, end)
        return ScalarNode(value, start, end, event.style or "")

    def _close(self, opened: _Open, event: Any, base: int) -> Node:
        end = base + event.end_mark.index
        if not opened.is_map:
            last = opened.children[-1].end if opened.children else end
            return ListNode(tuple(opened.children), opened.start, max(last, _flow_end(self._text, last, end)))
        entries: list[tuple[ScalarNode, Node]] = []
        seen: dict[str, ScalarNode] = {}
        children = opened.children
        for place in range(0, len(children) - 1, 2):
            key, value = children[place], children[place + 1]
            if not isinstance(key, ScalarNode):
                if not isinstance(key, BrokenNode):
                    self._add(
                        "Y110",
                        "a key is one plain word",
                        key.start,
                        key.start + 1,
                        "write it without brackets",
                    )
                continue
            if key.value.strip().casefold().endswith(_PRIVATE_KEY):
                self._private.append((value.start, self._past_comment(value.end)))
                continue
            first = seen.get(key.value)
            if first is not None:
                self._add(
                    "Y102",
                    f'"{key.value}" is written twice',
                    key.start,
                    key.end,
                    "keep one of the two",
                    first,
                )
                continue
            seen[key.value] = key
            entries.append((key, value))
        last = children[-1].end if children else end
        return MapNode(tuple(entries), opened.start, max(last, _flow_end(self._text, last, end)))

    def _past_comment(self, end: int) -> int:
        found = _COMMENT.match(self._text, end)
        return found.end() if found else end

    def _alias(self, event: Any, base: int) -> BrokenNode:
        start, end = base + event.start_mark.index, base + event.end_mark.index
        self._tell_once("Y103", "an alias repeats another value here", start, end, "write the value out")
        return BrokenNode(start, end)

    def _refuse_marks(self, event: Any, base: int) -> None:
        start = base + event.start_mark.index
        if event.anchor is not None:
            start, end = self._mark_at(start, "&")
            self._tell_once(
                "Y103", f'the anchor "&{event.anchor}"', start, end, "notes know no anchors: take it away"
            )
        if event.tag is not None:
            start, end = self._mark_at(base + event.start_mark.index, "!")
            self._tell_once(
                "Y106", "a YAML tag stands before the value", start, end, "notes know no tags: take it away"
            )

    def _mark_at(self, start: int, sign: str) -> tuple[int, int]:
        """Return where an anchor or a tag stands before its value; either may come first."""
        found = re.compile(rf"(?:[&!]\S*\s+)??({sign}\S*)").match(self._text, start)
        return found.span(1) if found else (start, start + 1)

    def _tell_once(self, code: str, message: str, start: int, end: int, hint: str) -> None:
        """An alias bomb has thousands of these; one line about it will do."""
        if code not in self._told:
            self._told.add(code)
            self._add(code, message, start, end, hint)


def _flow_end(text: str, last: int, end: int) -> int:
    """Where a bracket closes the list or mapping its end is exact; else YAML ends it at the next thing."""
    return end if text[end - 1 : end] in ("]", "}") else last


def _hide_roughly(manuscript: Manuscript) -> Manuscript:
    """Hide what belongs to a key in _private where the YAML around it is broken: its line, and what is
    indented below it; everything below it where a bracket or quotes stay open."""
    text = manuscript.text
    if _PRIVATE_KEY not in text.casefold():
        return manuscript
    ranges: list[tuple[int, int]] = []
    at = 0
    indent = -1
    for line in text.split("\n"):
        own = len(line) - len(line.lstrip())
        found = _PRIVATE_FIELD.search(line)
        if found:
            value = line[found.end() :].strip()
            ends = _CLOSES.get(value[:1])
            if ends and (len(value) == 1 or not value.endswith(ends)):
                return manuscript.without([*ranges, (at + found.end(), len(text))])
            ranges.append((at + found.end(), at + len(line)))
            indent = own
        elif indent >= 0 and (own > indent or not line.strip()):
            ranges.append((at, at + len(line)))
        else:
            indent = -1
        at += len(line) + 1
    return manuscript.without(ranges)


def _recover(text: str, start: int, end: int, findings: Findings, error: yaml.YAMLError) -> MapNode | None:
    """Report where the YAML is broken, then read field by field what can be read.

    Each field that begins at the margin is parsed for itself, so that one broken field does not hide the
    mistakes in the others.
    """
    first = explain_yaml_error(error, text, start, end)
    findings.add(first.code, first.message, first.start, first.end, first.hint)
    if first.code != "Y101":
        return None
    entries: list[tuple[ScalarNode, Node]] = []
    seen: set[str] = set()
    for piece_start, piece_end in _pieces(text, start, end):
        reader = _Reader(text, findings)
        try:
            root = reader.read(piece_start, piece_end)
        except _Refused:
            reader.tell()
            continue
        except yaml.YAMLError as other:
            fault = explain_yaml_error(other, text, piece_start, piece_end)
            if not piece_start <= first.start < piece_end and fault.start != first.start:
                findings.add(fault.code, fault.message, fault.start, fault.end, fault.hint)
            root = MapNode(tuple(_broken_key(text, piece_start)), piece_start, piece_end)
        reader.tell()
        for key, value in root.entries if isinstance(root, MapNode) else ():
            if key.value in seen:
                words = f'"{key.value}" is written twice'
                findings.add("Y102", words, key.start, key.end, "keep one of the two")
            else:
                seen.add(key.value)
                entries.append((key, value))
    return MapNode(tuple(entries), start, end)


def _pieces(text: str, start: int, end: int) -> Iterator[tuple[int, int]]:
    """Yield where each field at the margin begins and ends."""
    begins = [start + found.start() for found in _TOP_KEY.finditer(text[start:end])]
    for place, begin in enumerate(begins):
        yield begin, begins[place + 1] if place + 1 < len(begins) else end


def _broken_key(text: str, start: int) -> Iterator[tuple[ScalarNode, Node]]:
    """Keep the key of a broken field, so that nobody calls it missing."""
    found = _TOP_KEY.match(text, start)
    if found:
        key = found.group().removesuffix(":").strip()
        yield ScalarNode(key, start, start + len(key)), BrokenNode(start, found.end())
