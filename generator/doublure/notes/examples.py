"""Examples of the field table, as an editor's JSON Schema wants them.

In: a value as written in YAML. Out: the same as JSON. Never: real notes.
"""

from __future__ import annotations

import re
from typing import Any

from doublure.notes.manuscript import Findings, Manuscript
from doublure.notes.nodes import ListNode, MapNode, Node, ScalarNode
from doublure.notes.yamltree import parse_tree

_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?")


def example_value(example: str) -> Any:
    """Return a YAML value as JSON: numbers as numbers, everything else as text, as YAML 1.2 has it."""
    text = f"example: {example}" if "\n" not in example else f"example:\n{example}"
    tree = parse_tree(text, 0, len(text), Findings(Manuscript("example", text)))
    if tree is None:
        raise ValueError(f"no YAML: {example}")
    return plain_value(tree.entries[0][1])


def plain_value(node: Node) -> Any:
    """Return a node as JSON."""
    if isinstance(node, MapNode):
        return {key.value: plain_value(value) for key, value in node.entries}
    if isinstance(node, ListNode):
        return [plain_value(item) for item in node.items]
    if not isinstance(node, ScalarNode) or (not node.style and node.is_empty):
        return None
    if not node.style and _NUMBER.fullmatch(node.value):
        return float(node.value) if "." in node.value else int(node.value)
    return {"true": True, "false": False}.get(node.value, node.value) if not node.style else node.value
