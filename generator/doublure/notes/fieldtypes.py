"""The types of single values: words, quantities, choices, names of other notes, paths, dates.

In: a node and the state of decoding. Out: the value, or None after a problem was added. Never: records,
lists. Each type also says in words what it takes, and as JSON Schema, so that one table serves all three.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any

from doublure.leiden import parse_wording
from doublure.notes.decoding import Decoding, Path, Reference, describe_node, shorten
from doublure.notes.nodes import BrokenNode, MapNode, Node, ScalarNode
from doublure.problems import nearest_name
from doublure.quantities import QuantityError, parse_money

Schema = dict[str, Any]


class FieldType:
    """What a value may be. Subclasses are frozen dataclasses."""

    __slots__ = ()

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> Any:
        """Return the value, or None after a problem was added."""
        raise NotImplementedError

    def words(self) -> str:
        """Return in words what is wanted, such as "a length"."""
        raise NotImplementedError

    def schema(self) -> Schema:
        """Return the JSON Schema of the value as YAML gives it to an editor."""
        raise NotImplementedError


def take_scalar(node: Node, key: str, wanted: str, ctx: Decoding) -> ScalarNode | None:
    """Return the node where it is a single value that is not empty, else add a problem."""
    if isinstance(node, ScalarNode) and not node.is_empty:
        return node
    if not isinstance(node, BrokenNode):
        hint = ctx.suggest(key, wanted)
        if isinstance(node, MapNode) and not ctx.findings.manuscript.text.startswith("{", node.start):
            # "- Take care: it is sharp" is a field called "Take care" to YAML.
            hint = 'a ": " makes a field of it: put the whole text in quotes'
        ctx.add("K103", f"{key}: {describe_node(node)} stands where {wanted} should", node, hint)
    return None


@dataclass(frozen=True, slots=True)
class Text(FieldType):
    """Words.

    Attributes:
        one_line: Fold them into one line.
    """

    one_line: bool = False

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> str | None:
        """Return the words without blank ends."""
        scalar = node if isinstance(node, ScalarNode) else take_scalar(node, key, "words", ctx)
        if scalar is None:
            return None
        return " ".join(scalar.value.split()) if self.one_line else scalar.value.strip()

    def words(self) -> str:
        """Return "words"."""
        return "words"

    def schema(self) -> Schema:
        """Accept what YAML may take for a number, since it is words to us."""
        return {"type": ["string", "number", "boolean", "null"]}


@dataclass(frozen=True, slots=True)
class Wording(FieldType):
    """A transcription in the Leiden conventions, kept as written once its brackets are found to balance."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> str | None:
        """Return the transcription."""
        scalar = take_scalar(node, key, self.words(), ctx)
        if scalar is None:
            return None
        _, faults = parse_wording(scalar.value)
        for fault in faults:
            ctx.add_within(
                fault.code, f"{key}: {fault.message}", scalar, fault.offset, fault.length, fault.hint
            )
        return scalar.value.strip("\n").rstrip() if not faults else None

    def words(self) -> str:
        """Return the words for it."""
        return "a transcription in the Leiden conventions"

    def schema(self) -> Schema:
        """Any text: its brackets are beyond a pattern."""
        return {"type": ["string", "number", "null"]}


@dataclass(frozen=True, slots=True)
class Quantity(FieldType):
    """A quantity, read by one of the parsers of quantities/.

    Attributes:
        noun: What it is, with its article.
        parse: Text to value; raises QuantityError.
        unit: Unit that the record holds, for the handbook.
        pattern: What an editor may check of it without knowing the units.
        bare: What a number without a unit may be, so that YAML calls it a number: "number", "integer",
            "zero", or "" for nothing.
        least: Least number without a unit.
    """

    noun: str
    parse: Callable[[str], Any]
    unit: str
    pattern: str
    bare: str = ""
    least: int = 0

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> Any:
        """Return what the parser makes of it."""
        scalar = take_scalar(node, key, self.noun, ctx)
        if scalar is None:
            return None
        try:
            return _parse(self.parse, scalar.value)
        except QuantityError as error:
            code = "Q102" if error.message.endswith("has no unit") else "Q101"
            ctx.add_within(code, f"{key}: {error.message}", scalar, error.offset, error.length, error.hint)
            return None

    def words(self) -> str:
        """Return the noun."""
        return self.noun

    def schema(self) -> Schema:
        """A pattern: a number and a unit, or a bare number."""
        if self.bare == "zero":
            return {"anyOf": [{"const": 0}, {"type": ["string", "null"], "pattern": self.pattern}]}
        if not self.bare:
            return {"type": ["string", "null"], "pattern": self.pattern}
        return {"type": ["string", self.bare, "null"], "minimum": self.least, "pattern": self.pattern}


@lru_cache(maxsize=8192)
def _parse(parse: Callable[[str], Any], text: str) -> Any:
    # The same sizes come again and again in a journal; the parsers are pure.
    return parse(text)


@dataclass(frozen=True, slots=True)
class Money(FieldType):
    """An amount in the journal's money, whose name may stand beside it."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> Decimal | None:
        """Return the amount."""
        scalar = take_scalar(node, key, self.words(), ctx)
        if scalar is None:
            return None
        try:
            return parse_money(scalar.value, ctx.money)
        except QuantityError as error:
            ctx.add_within("Q101", f"{key}: {error.message}", scalar, error.offset, error.length, error.hint)
            return None

    def words(self) -> str:
        """Return the words for it."""
        return "an amount of money"

    def schema(self) -> Schema:
        """A number, or text with one in it."""
        return {"type": ["number", "string", "null"], "minimum": 0, "pattern": "[0-9]"}


@dataclass(frozen=True, slots=True)
class Choice(FieldType):
    """One of a few words."""

    options: tuple[str, ...]

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> str | None:
        """Return the option, spelt as in the table."""
        scalar = take_scalar(node, key, self.words(), ctx)
        if scalar is None:
            return None
        wanted = " ".join(scalar.value.split())
        if wanted in self.options:
            return wanted
        folded = wanted.casefold()
        if folded in self.options:
            return folded
        near = nearest_name(folded, self.options)
        hint = f'did you mean "{near}"?' if near else f"write one of: {', '.join(self.options)}"
        ctx.add("K104", f'{key}: "{shorten(wanted)}" is none of: {", ".join(self.options)}', scalar, hint)
        return None

    def words(self) -> str:
        """Return the options."""
        return "one of: " + ", ".join(self.options)

    def schema(self) -> Schema:
        """An enumeration."""
        return {"enum": [*self.options, None]}


@dataclass(frozen=True, slots=True)
class YesNo(FieldType):
    """yes or no."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> bool | None:
        """Return True for yes."""
        scalar = take_scalar(node, key, "yes or no", ctx)
        if scalar is None:
            return None
        said = scalar.value.strip().casefold()
        if said in ("yes", "true"):
            return True
        if said in ("no", "false"):
            return False
        ctx.add("K104", f'{key}: "{shorten(scalar.value)}" is neither yes nor no', scalar, "write yes or no")
        return None

    def words(self) -> str:
        """Return "yes or no"."""
        return "yes or no"

    def schema(self) -> Schema:
        """yes and no, which some editors read as true and false."""
        return {"enum": ["yes", "no", True, False, None]}


@dataclass(frozen=True, slots=True)
class Day(FieldType):
    """A day, such as 2031-03-14."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> date | None:
        """Return the day."""
        scalar = take_scalar(node, key, self.words(), ctx)
        if scalar is None:
            return None
        found = parse_day(scalar.value.strip())
        if isinstance(found, date):
            return found
        ctx.add(
            "Q103",
            f'{key}: "{shorten(scalar.value)}" {found}',
            scalar,
            "write year-month-day, such as 2031-03-14",
        )
        return None

    def words(self) -> str:
        """Return the words for it."""
        return "a date, such as 2031-03-14"

    def schema(self) -> Schema:
        """The pattern of a date."""
        return {"type": ["string", "null"], "pattern": r"^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}\s*$"}


_DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})", re.ASCII)


def parse_day(text: str) -> date | str:
    """Return the day, or what is wrong with the text."""
    found = _DAY.fullmatch(text)
    if not found:
        return "is not a date"
    try:
        return date(int(found[1]), int(found[2]), int(found[3]))
    except ValueError:
        return "is no day of the calendar"


@dataclass(frozen=True, slots=True)
class Name(FieldType):
    """The name of another note, plain or with its folder.

    Attributes:
        folders: Where it may lie. With one folder the record holds the plain identifier.
        noun: What is wanted, with its article.
        loose: Names that are no notes but allowed as well: "page", "gathering", "stack", "plate".
        blank: True where the word "blank" says that there is nothing; the value is then "".
    """

    folders: tuple[str, ...]
    noun: str
    loose: tuple[str, ...] = ()
    blank: bool = False

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> str | None:
        """Return the name; links.py checks it when all notes are known."""
        scalar = take_scalar(node, key, self.words(), ctx)
        if scalar is None:
            return None
        name = scalar.value.strip()
        if self.blank and name.casefold() == "blank":
            return ""
        ctx.references.append(Reference(name, self.folders, self.loose, key, scalar.start, scalar.end, path))
        if len(self.folders) == 1:
            return name.removeprefix(self.folders[0] + "/")
        return name

    def words(self) -> str:
        """Return the noun."""
        return self.noun

    def schema(self) -> Schema:
        """Any name; which notes there are is beyond a schema."""
        return {"type": ["string", "integer", "null"]}


@dataclass(frozen=True, slots=True)
class File(FieldType):
    """The path of a picture or of artwork, from the journal folder."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> str | None:
        """Return the path."""
        scalar = take_scalar(node, key, self.words(), ctx)
        return scalar.value.strip() if scalar is not None else None

    def words(self) -> str:
        """Return the words for it."""
        return "a path from the journal folder, such as pictures/front.jpg"

    def schema(self) -> Schema:
        """No absolute paths, no other hosts, no backslashes."""
        return {"type": ["string", "null"], "pattern": r"^(?!/|~|[A-Za-z]:|.*\\|.*://)"}
