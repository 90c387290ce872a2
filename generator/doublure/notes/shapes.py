"""The types that hold other types: lists, groups of fields, a short form or a group, reasons by attribute.

In: a node and the state of decoding. Out: tuples and what the builders make of groups; None after a problem.
Never: the fields themselves (schema.py) and the records (builders.py).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from doublure.notes.decoding import Decoding, Path, Values, describe_node
from doublure.notes.examples import example_value
from doublure.notes.fieldtypes import FieldType, Schema, take_scalar
from doublure.notes.nodes import BrokenNode, ListNode, MapNode, Node, ScalarNode
from doublure.problems import nearest_name


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a note or of a group in it.

    Attributes:
        name: The key in the note.
        type: What its value may be.
        help: One sentence for the handbook and the editor.
        example: A value as one writes it in YAML.
        required: True where a note or group without it says nothing.
        unit: Unit that the value is kept in, "" for none.
    """

    name: str
    type: FieldType
    help: str
    example: str
    required: bool = False
    unit: str = ""


@dataclass(frozen=True)
class Record(FieldType):
    """A group of fields.

    Attributes:
        noun: What it is, with its article.
        fields: Its fields.
        build: Makes the value from the fields that were read; gets them, the node, the path and the state.
            Returns None after adding a problem.
    """

    noun: str
    fields: tuple[Field, ...]
    build: Callable[[Values, MapNode, Path, Decoding], Any]
    by_name: Mapping[str, Field] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_name", {one.name: one for one in self.fields})

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> Any:
        """Return what the builder makes of the fields."""
        if not isinstance(node, MapNode):
            if not isinstance(node, BrokenNode):
                names = ", ".join(self.by_name)
                ctx.add(
                    "K103",
                    f"{key}: {describe_node(node)} stands where {self.noun} should",
                    node,
                    f"write fields: {names}" if len(names) < 80 else f"write {self.noun}",
                )
            return None
        values, complete = decode_fields(self.by_name, node, path, ctx, self.noun)
        return self.build(values, node, path, ctx) if complete else None

    def words(self) -> str:
        """Return the noun."""
        return self.noun

    def schema(self) -> Schema:
        """An object with these properties and no others."""
        return object_schema(self.fields)


_COLON = re.compile(r"\s*:")


def _suggest(key: ScalarNode, near: str | None, by_name: Mapping[str, Field], ctx: Decoding) -> str:
    if near is None and not _COLON.match(ctx.findings.manuscript.text, key.end):
        # {paper: thin, cream} is two fields to YAML, the second one without a value.
        return "a comma in { } begins another field: put the words with the comma in quotes"
    return f"did you mean {near}?" if near else f"the fields are {', '.join(by_name)}"


def decode_fields(
    by_name: Mapping[str, Field], node: MapNode, path: Path, ctx: Decoding, noun: str
) -> tuple[Values, bool]:
    """Decode every known field of a mapping.

    Returns:
        The values by key, and whether every required field was read.
    """
    values: Values = {}
    missing = {name for name, one in by_name.items() if one.required}
    meant: set[str] = set()
    complete = True
    for key_node, value in node.entries:
        key = key_node.value
        one = by_name.get(key)
        if one is None:
            near = nearest_name(key.casefold(), by_name)
            ctx.add(
                "K101", f'"{key}" is not a field of {noun}', key_node, _suggest(key_node, near, by_name, ctx)
            )
            if near is not None:
                meant.add(near)
            continue
        missing.discard(key)
        if isinstance(value, ScalarNode) and value.is_empty:
            if one.required:
                ctx.add("K102", f"{key}: nothing is written here", key_node, f"write {key}: {one.example}")
                complete = False
            continue
        ctx.example = (key, one.example)
        got = one.type.decode(value, key, (*path, key), ctx)
        if got is not None:
            values[key] = got
        elif one.required:
            complete = False
    # One slip of the pen is one problem: what was meant is not missing as well.
    for name in sorted(missing - meant):
        ctx.findings.add(
            "K102",
            f"{name}: it is missing in {noun}",
            node.start,
            node.start + 1,
            f"add {name}: {by_name[name].example}",
        )
    return values, complete and not missing


@dataclass(frozen=True, slots=True)
class Many(FieldType):
    """A list; a single value counts as a list of one.

    Attributes:
        item: Type of each entry.
        noun: What the entries are, in the plural, "" to say "a list of …".
        whole: True where the list is of no use with an entry missing.
        tell_paths: True where the entries themselves hold their paths, so that none need be kept.
    """

    item: FieldType
    noun: str = ""
    whole: bool = False
    tell_paths: bool = False

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> tuple[Any, ...] | None:
        """Return the entries that could be read."""
        if not isinstance(node, ListNode):
            got = self.item.decode(node, key, path, ctx)
            if not self.tell_paths:
                ctx.moved[*path, 0] = path
            return None if got is None else (got,)
        found: list[Any] = []
        lost = False
        for place, entry in enumerate(node.items):
            if isinstance(entry, ScalarNode) and entry.is_empty:
                ctx.add(
                    "K103",
                    f"{key}: an entry of the list is empty",
                    entry,
                    f"write {self.item.words()}, or delete it",
                )
                got = None
            else:
                got = self.item.decode(entry, key, (*path, place), ctx)
            if got is not None:
                if len(found) != place and not self.tell_paths:
                    # Entries before it failed: the third of the record is the fourth of the note.
                    ctx.moved[*path, len(found)] = (*path, place)
                found.append(got)
            elif self.whole:
                lost = True
        return None if lost else tuple(found)

    def words(self) -> str:
        """Return "a list of …"."""
        return self.noun or f"a list, each: {self.item.words()}"

    def schema(self) -> Schema:
        """An array, or one entry."""
        one = self.item.schema()
        return {"anyOf": [one, {"type": "array", "items": one}]}


@dataclass(frozen=True, slots=True)
class Either(FieldType):
    """A short form for the usual case, or a group of fields.

    Attributes:
        short: Type of a single value.
        long: The group.
        lengthen: Makes of the short value what the group's builder makes.
    """

    short: FieldType
    long: Record
    lengthen: Callable[[Any, Path], Any]

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> Any:
        """Return the value, whichever form it has."""
        if isinstance(node, MapNode):
            return self.long.decode(node, key, path, ctx)
        if isinstance(node, ListNode):
            ctx.add(
                "K103", f"{key}: a list stands where {self.words()} should", node, f"write {self.words()}"
            )
            return None
        got = self.short.decode(node, key, path, ctx)
        return None if got is None else self.lengthen(got, path)

    def words(self) -> str:
        """Return both forms."""
        return f"{self.short.words()}, or {self.long.words()}"

    def schema(self) -> Schema:
        """Either of the two."""
        return {"anyOf": [self.short.schema(), self.long.schema()]}


@dataclass(frozen=True, slots=True)
class Reasons(FieldType):
    """Reasons by attribute.

    Attributes:
        attributes: The attributes that may stand as keys.
    """

    attributes: tuple[str, ...]

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> tuple[tuple[str, str], ...] | None:
        """Return (attribute, reason) pairs in the order of the note."""
        if not isinstance(node, MapNode):
            if not isinstance(node, BrokenNode):
                ctx.add(
                    "K103",
                    f"{key}: {describe_node(node)} stands where attributes with reasons should",
                    node,
                    "write one line for each, such as paper: what offices used then",
                )
            return None
        pairs = []
        for key_node, value in node.entries:
            name = key_node.value
            if name not in self.attributes:
                add_unknown_attribute(name, key, key_node, self.attributes, ctx)
                continue
            if isinstance(value, ScalarNode) and value.is_empty:
                pairs.append((name, ""))
            elif (scalar := take_scalar(value, name, "a reason in words", ctx)) is not None:
                pairs.append((name, " ".join(scalar.value.split())))
        return tuple(pairs)

    def words(self) -> str:
        """Return the words for it."""
        return "attributes, each with the reason"

    def schema(self) -> Schema:
        """An object of words."""
        return {
            "type": ["object", "null"],
            "properties": {name: {"type": ["string", "number", "null"]} for name in self.attributes},
            "patternProperties": {"_private$": {}},
            "additionalProperties": False,
        }


@dataclass(frozen=True, slots=True)
class Attribute(FieldType):
    """The name of an attribute."""

    attributes: tuple[str, ...]

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> str | None:
        """Return the name."""
        scalar = take_scalar(node, key, "the name of an attribute", ctx)
        if scalar is None:
            return None
        name = scalar.value.strip()
        if name in self.attributes:
            return name
        add_unknown_attribute(name, key, scalar, self.attributes, ctx)
        return None

    def words(self) -> str:
        """Return the words for it."""
        return "an attribute: " + ", ".join(self.attributes)

    def schema(self) -> Schema:
        """An enumeration."""
        return {"enum": list(self.attributes)}


def add_unknown_attribute(
    name: str, key: str, node: ScalarNode, attributes: tuple[str, ...], ctx: Decoding
) -> None:
    """Add the problem of a name that is no attribute."""
    near = nearest_name(name.casefold(), attributes)
    hint = f"did you mean {near}?" if near else f"the attributes are {', '.join(attributes)}"
    ctx.add("K106", f'{key}: "{name}" is not an attribute', node, hint)


@dataclass(frozen=True, slots=True)
class Groups(FieldType):
    """Groups of wordings; a plain list of wordings is one group."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> tuple[tuple[str, ...], ...] | None:
        """Return the groups."""
        if isinstance(node, BrokenNode):
            return None
        entries = node.items if isinstance(node, ListNode) else (node,)
        groups: list[ListNode] = [one for one in entries if isinstance(one, ListNode)]
        if isinstance(node, ListNode) and not groups:
            groups = [node]
        elif len(groups) < len(entries):
            odd = next(one for one in entries if not isinstance(one, ListNode))
            ctx.add("K103", f"{key}: {describe_node(odd)} stands where a group of wordings should", odd,
                    "write [[one wording, the other], …]")  # fmt: skip
        found = []
        for group in groups:
            words = [take_scalar(one, key, "a wording", ctx) for one in group.items]
            kept = tuple(" ".join(word.value.split()) for word in words if word is not None)
            if len(words) < 2:
                ctx.add("K103", f"{key}: a group needs at least two wordings", group, "add the other one")
            elif len(kept) == len(words):
                found.append(kept)
        return tuple(found)

    def words(self) -> str:
        """Return the words for it."""
        return "groups of wordings"

    def schema(self) -> Schema:
        """One group, or a list of groups."""
        words: Schema = {"type": "array", "items": {"type": ["string", "number"]}, "minItems": 2}
        return {"anyOf": [words, {"type": "array", "items": words}, {"type": "null"}]}


def object_schema(fields: tuple[Field, ...]) -> Schema:
    """Return the JSON Schema of a group of fields."""
    schema: Schema = {
        "type": "object",
        "properties": {one.name: field_schema(one) for one in fields},
        "patternProperties": {"_private$": {"description": "Private: dropped when the note is read."}},
        "additionalProperties": False,
    }
    required = [one.name for one in fields if one.required]
    if required:
        schema["required"] = required
    return schema


def field_schema(one: Field) -> Schema:
    """Return the JSON Schema of one field, with its description and example."""
    return {"description": one.help, **one.type.schema(), "examples": [example_value(one.example)]}
