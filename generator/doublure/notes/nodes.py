"""The nodes of a note: single values, lists and groups of fields, each with its place.

In: what yamltree.py found. Out: nodes. Never: types of values.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

_EMPTY_WORDS = frozenset({"~", "null", "Null", "NULL"})


@dataclass(frozen=True, slots=True)
class ScalarNode:
    """One value, as a string.

    Attributes:
        value: What YAML makes of it, without private passages.
        start, end: Offsets in the text of the note.
        style: "" plain, else the first character of its YAML form: ', ", | or >.
    """

    value: str
    start: int
    end: int
    style: str = ""

    @property
    def is_empty(self) -> bool:
        """True where nothing is written, or YAML's word for nothing."""
        return not self.value.strip() or (not self.style and self.value in _EMPTY_WORDS)


@dataclass(frozen=True, slots=True)
class ListNode:
    """Values in a row."""

    items: tuple[Node, ...]
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class MapNode:
    """Keys and values, in the order of the note, each key once."""

    entries: tuple[tuple[ScalarNode, Node], ...]
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class BrokenNode:
    """What was reported already, such as an alias: whoever meets it says no more."""

    start: int
    end: int


Node: TypeAlias = ScalarNode | ListNode | MapNode | BrokenNode
