"""The fields of the book that nest: the page sequence, the gatherings, a pair of facing pages.

In: nodes. Out: records of model/book.py. Never: expanding or counting pages.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from doublure.model.book import BlankPages, Creep, MasterPage, Run, TippedLeaf
from doublure.notes.decoding import Decoding, Path, Values, describe_node
from doublure.notes.fieldtypes import FieldType, Name, Quantity, Schema
from doublure.notes.nodes import BrokenNode, ListNode, MapNode, Node, ScalarNode
from doublure.notes.packs import parse_sheets, parse_some
from doublure.notes.shapes import Field, Many, Record, object_schema

COUNT = Quantity("a whole number", parse_some, "", r"^\s*[1-9][0-9]*\s*$", bare="integer", least=1)
_PAGE = Quantity("the number of a page", parse_some, "", r"^\s*[1-9][0-9]*\s*$", bare="integer", least=1)
_SHEETS = Quantity(
    "a number of sheets",
    parse_sheets,
    "sheets",
    r"^\s*[1-9][0-9]*\s*([Ss]heets?)?\s*$",
    bare="integer",
    least=1,
)
MASTER = Name(("masters",), "a master")
_PAGE_MASTER = Name(("masters",), "a master, or blank", blank=True)


@dataclass(frozen=True, slots=True)
class SequenceEntry(FieldType):
    """One entry of the page sequence."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> Any:
        """Return the entry as a SequenceItem."""
        if isinstance(node, ScalarNode):
            master = _PAGE_MASTER.decode(node, key, path, ctx)
            if master is None:
                return None
            return MasterPage(master, 1, path) if master else BlankPages(1, path)
        return SEQUENCE_RECORD.decode(node, key, path, ctx)

    def words(self) -> str:
        """Return the forms of an entry."""
        return "a master, or one of master, blank, run, tipped"

    def schema(self) -> Schema:
        """A reference: runs hold entries."""
        return {"$ref": "#/$defs/sequence_entry"}


def sequence_entry_schema() -> Schema:
    """Return the JSON Schema of an entry, for the $defs of the book."""
    return {"anyOf": [{"type": ["string", "integer"]}, object_schema(SEQUENCE_RECORD.fields)]}


def _build_entry(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Any:
    kinds = [name for name in ("master", "blank", "run", "tipped") if name in values]
    named = [key.value for key, _ in node.entries]
    if len(kinds) > 1:
        ctx.add("K105", f"sequence: {' and '.join(kinds)} in one entry", node, "begin a new entry with -")
        return None
    if not kinds:
        if not set(named) - {"times"}:
            ctx.add(
                "K105", "sequence: an entry without pages", node, "write master:, blank:, run: or tipped:"
            )
        return None
    times = values.get("times", 1)
    if "times" in named and "times" not in values:
        return None
    if "times" in values and kinds[0] in ("blank", "tipped"):
        ctx.add("K105", f"sequence: times does not go with {kinds[0]}", node, "put it into a run:")
        return None
    if kinds[0] == "master":
        return MasterPage(values["master"], times, path)
    if kinds[0] == "blank":
        return BlankPages(values["blank"], path)
    if kinds[0] == "run":
        return Run(values["run"], times, path)
    tipped: TippedLeaf = values["tipped"]
    return tipped


def _build_tipped(values: Values, node: MapNode, path: Path, ctx: Decoding) -> TippedLeaf:
    return TippedLeaf(values["first"], values.get("second", ""), values.get("stock", ""), path)


_TIPPED = Record(
    "a leaf tipped in",
    (
        Field("first", _PAGE_MASTER, "What is on its first page.", "tide-table", required=True),
        Field("second", _PAGE_MASTER, "What is on its second page; blank where not said.", "blank"),
        Field(
            "stock", Name(("stocks",), "a stock"), "Its stock; that of the book where not said.", "thin-laid"
        ),
    ),
    _build_tipped,
)
SEQUENCE_RECORD = Record(
    "an entry of the sequence",
    (
        Field("master", MASTER, "A page that carries this master.", "ruled"),
        Field("blank", COUNT, "So many blank pages.", "2"),
        Field(
            "run", Many(SequenceEntry(), "entries in a row", whole=True), "Entries in a row.", "[ruled, grid]"
        ),
        Field("times", COUNT, "How many times a master or a run comes; once where not said.", "6"),
        Field("tipped", _TIPPED, "A single leaf tipped in, two pages.", "{first: tide-table, second: blank}"),
    ),
    _build_entry,
)


@dataclass(frozen=True, slots=True)
class Gatherings(FieldType):
    """Sheets in each gathering: one number where they are equal, else a list."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> int | tuple[int, ...] | None:
        """Return a number, or a tuple of numbers."""
        if isinstance(node, ListNode):
            listed: tuple[int, ...] | None = Many(_SHEETS, whole=True).decode(node, key, path, ctx)
            if listed == ():
                ctx.add(
                    "K103",
                    f"{key}: the list is empty",
                    node,
                    "write the sheets of each, such as [4, 4, 3, 4]",
                )
                return None
            return listed
        equal: int | None = _SHEETS.decode(node, key, path, ctx)
        return equal

    def words(self) -> str:
        """Return both forms."""
        return "sheets in every gathering, or a list of sheets in each"

    def schema(self) -> Schema:
        """A number with or without its word, or a list of numbers."""
        one = _SHEETS.schema()
        return {"anyOf": [one, {"type": "array", "items": one, "minItems": 1}]}


@dataclass(frozen=True, slots=True)
class FacingPages(FieldType):
    """Two page numbers."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> tuple[int, int] | None:
        """Return them, the smaller first."""
        if isinstance(node, ListNode) and len(node.items) == 2:
            one = _PAGE.decode(node.items[0], key, (*path, 0), ctx)
            two = _PAGE.decode(node.items[1], key, (*path, 1), ctx)
            return None if one is None or two is None else (min(one, two), max(one, two))
        if not isinstance(node, BrokenNode):
            ctx.add(
                "K103",
                f"{key}: {describe_node(node)} stands where two facing pages should",
                node,
                "write both page numbers, such as [22, 23]",
            )
        return None

    def words(self) -> str:
        """Return the words for it."""
        return "two facing pages, such as [22, 23]"

    def schema(self) -> Schema:
        """An array of two numbers."""
        return {"type": ["array", "null"], "items": _PAGE.schema(), "minItems": 2, "maxItems": 2}


def build_creep(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Creep | None:
    """Return how creep is reckoned."""
    rule = values.get("rule", "measured" if "push_out" in values else Creep().rule)
    if rule == "measured" and not {"push_out", "dummy"} <= {key.value for key, _ in node.entries}:
        ctx.add(
            "K105",
            "creep: measured, but on what?",
            node,
            "add push_out: and dummy:, such as push_out: 0.9 mm and dummy: 4 sheets",
        )
        return None
    return Creep(rule, values.get("push_out"), values.get("dummy"), values.get("step", 0.0))


def lengthen_creep(rule: str, path: Path) -> Creep:
    """Return the rule alone, without correction of plates."""
    return Creep(rule)
