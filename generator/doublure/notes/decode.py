"""One note: its text to its record, with every problem in it.

In: SourceText and its kind. Out: Decoded. Never: other notes (links.py holds their names together).
After a mistake in one field the others are decoded all the same.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from doublure.model.notes import Note
from doublure.model.parts import Picture
from doublure.model.source import SourceText
from doublure.notes.bodies import BodyTarget, find_body_targets
from doublure.notes.decoding import Decoding, Path, Reference, Values
from doublure.notes.fieldtypes import parse_day
from doublure.notes.frontmatter import part_note
from doublure.notes.manuscript import FILLER, Findings, Manuscript
from doublure.notes.nodes import MapNode, Node
from doublure.notes.records import Head, build_note
from doublure.notes.schema import KINDS
from doublure.notes.shapes import decode_fields
from doublure.notes.spans import make_origin
from doublure.notes.yamltree import parse_tree
from doublure.problems import Problem

_PICTURE_FIELDS = ("picture", "pictures", "photos")
_HEADING = re.compile(r"#{1,6}\s+|[*_]{1,2}(?=\S)")
_LONGEST_TITLE = 80
#: What neither YAML nor a page may hold.
_CONTROL = re.compile("[^\t\n\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True, slots=True)
class Decoded:
    """What came of one note.

    Attributes:
        kind, id: Its kind and its identifier.
        note: Its record; None where its text could not be read at all.
        problems: What is wrong with it.
        references: The names of other notes in it.
        manuscript: Its text, as problems may quote it.
        links: Links in its Markdown that must lead to a page of ours.
    """

    kind: str
    id: str
    note: Note | None
    problems: tuple[Problem, ...]
    references: tuple[Reference, ...]
    manuscript: Manuscript
    links: tuple[BodyTarget, ...] = ()


def decode_note(source: SourceText, kind: str, ident: str, money: str = "") -> Decoded:
    """Decode one note.

    Args:
        source: Its text.
        kind: A key of schema.KINDS.
        ident: Its identifier; for a log entry it begins with a date.
        money: Name of the journal's money, which may stand beside an amount.
    """
    text = source.text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    # No text has a use for our own filler; told as a sign that cannot be.
    text = text.replace(FILLER, "\ufffe")
    parts = part_note(text, not source.path.lower().endswith(".md"))
    findings = Findings(Manuscript(source.file, parts.text))
    for fault in parts.faults:
        findings.add(fault.code, fault.message, fault.start, fault.end, fault.hint)
    if parts.faults:
        return Decoded(kind, ident, None, tuple(findings.problems), (), findings.manuscript)
    tree = parse_tree(_CONTROL.sub("\ufffd", parts.text), parts.yaml_start, parts.yaml_end, findings)
    # Only now, since the problem quotes its line, and private fields are hidden from here on.
    _tell_controls(parts.text, findings)
    ctx = Decoding(findings, source.path, money=money)
    if tree is None:
        return Decoded(kind, ident, None, tuple(findings.problems), (), findings.manuscript)
    body = _CONTROL.sub("", parts.body)
    if not source.text.strip("\ufeff \t\r\n") and not KINDS[kind].by_name["title"].required:
        # Where a title must be, its lack is told.
        findings.add("Y108", "the note is empty", 0, 0, "write its fields, or delete the file")
    values, _ = decode_fields(KINDS[kind].by_name, tree, (), ctx, KINDS[kind].noun)
    _gather_pictures(values, tree, ctx)
    _agree(kind, values, tree, ctx)
    day = None
    if kind == "log":
        found = parse_day(ident[:10])
        day = found if isinstance(found, date) else None
    readable = kind != "log" or day is not None
    note: Note | None = None
    if readable:
        title = values.get("title") or (_title_of(body, ident) if kind == "log" else ident)
        body_end = parts.body_start + len(body)
        extra: dict[Path, tuple[int, int]] = {("body",): (parts.body_start, body_end)} if body else {}
        origin = make_origin(findings.manuscript, tree, ctx.moved, extra)
        note = build_note(kind, values, Head(ident, title, body, origin, day))
    links = tuple(_check_targets(findings, parts.body_start)) if body else ()
    problems = tuple(findings.problems)
    return Decoded(kind, ident, note, problems, tuple(ctx.references), findings.manuscript, links)


def _check_targets(findings: Findings, body_start: int) -> Iterator[BodyTarget]:
    """Report every picture in the Markdown; yield the links that must lead to a page of ours."""
    for one in find_body_targets(findings.manuscript.text, body_start):
        if one.is_picture:
            elsewhere = "at another host, which the pages never ask" if one.is_elsewhere else "in the text"
            findings.add(
                "P106",
                f"a picture {elsewhere}",
                one.start,
                one.end,
                "copy it into journal/pictures and name it under pictures:",
            )
        elif not one.is_elsewhere and not one.target.startswith("#"):
            yield one


def _tell_controls(text: str, findings: Findings) -> None:
    """Report the first sign that no text needs."""
    found = _CONTROL.search(text)
    if found is None:
        return
    findings.add(
        "Y109",
        f"a control character (U+{ord(found.group()):04X}) that no text needs",
        found.start(),
        found.end(),
        "delete it and write the line anew",
    )


def _gather_pictures(values: Values, tree: MapNode, ctx: Decoding) -> None:
    """Put the pictures of all their fields into one tuple, and remember where each file is named."""
    gathered: list[tuple[Picture, Path]] = []
    for name in _PICTURE_FIELDS:
        got = values.pop(name, None)
        if got is None:
            continue
        gathered.extend([got] if name == "picture" else got)
    if gathered:
        values["pictures"] = tuple(picture for picture, _ in gathered)
        for place, (_, path) in enumerate(gathered):
            ctx.moved["pictures", place] = path
            ctx.moved["pictures", place, "file"] = path


def _agree(kind: str, values: Values, tree: MapNode, ctx: Decoding) -> None:
    """Hold against each other the fields of one note that say what they are counted in."""
    if kind != "stocks":
        return
    pack, on_hand = values.get("pack"), values.get("on_hand")
    if pack is None or on_hand is None or not on_hand[1]:
        return
    counted = "sheets" if pack.sheets is not None else "metres" if pack.metres is not None else "pieces"
    if on_hand[1] != counted:
        node = _value_of(tree, "on_hand")
        ctx.add(
            "K105", f"on_hand: in {on_hand[1]}, but the pack is in {counted}", node, f"write it in {counted}"
        )
        del values["on_hand"]


def _value_of(tree: MapNode, name: str) -> Node:
    return next(value for key, value in tree.entries if key.value == name)


def _title_of(body: str, ident: str) -> str:
    """Return the first line of a log entry, or words from its file name where it says nothing."""
    for line in body.split("\n"):
        title = " ".join(_HEADING.sub("", line, count=1).rstrip("#*_ ").split())
        if title:
            if len(title) <= _LONGEST_TITLE:
                return title
            return title[:_LONGEST_TITLE].rsplit(" ", 1)[0] + " …"
    words = ident[10:].strip("-").replace("-", " ")
    return words or ident
