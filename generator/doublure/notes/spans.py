"""The spans of a note's values, looked up in its tree only when somebody asks.

In: the nodes and the text of a note. Out: Origin. Never: decoding.
A journal has hundreds of thousands of values, and few of their places are ever shown.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from doublure.model.origin import Origin
from doublure.notes.decoding import Path
from doublure.notes.manuscript import Manuscript
from doublure.notes.nodes import ListNode, MapNode, Node, ScalarNode
from doublure.problems import Span


class TreeSpans(Mapping[Path, Span]):
    """Spans by path, of the values or of the keys of a note.

    Args:
        manuscript: The text of the note.
        root: Its fields.
        keys: True for the spans of keys.
        moved: Paths of the record whose value stands at another path of the note.
        extra: Places that are no YAML, such as the body: offsets by path.
    """

    __slots__ = ("_extra", "_keys", "_manuscript", "_moved", "_root")

    def __init__(
        self,
        manuscript: Manuscript,
        root: MapNode,
        keys: bool = False,
        moved: Mapping[Path, Path] | None = None,
        extra: Mapping[Path, tuple[int, int]] | None = None,
    ) -> None:
        self._manuscript = manuscript
        self._root = root
        self._keys = keys
        self._moved = moved or {}
        self._extra = extra or {}

    def __getitem__(self, path: Path) -> Span:
        """Return the span of a value; KeyError where the note has none there."""
        place = self._extra.get(path)
        if place is None:
            found = _find(self._root, self._follow(path), self._keys) or _find(self._root, path, self._keys)
            if found is None:
                raise KeyError(path)
            place = found
        return self._manuscript.span(*place)

    def _follow(self, path: Path) -> Path:
        """Return where in the note a path of the record leads."""
        if self._moved:
            for end in range(len(path), 0, -1):
                moved = self._moved.get(path[:end])
                if moved is not None:
                    return (*moved, *path[end:])
        return path

    def __iter__(self) -> Iterator[Path]:
        yield from self._extra
        yield from _walk(self._root, (), self._keys)

    def __len__(self) -> int:
        return sum(1 for _ in self)


def _find(root: MapNode, path: Path, keys: bool) -> tuple[int, int] | None:
    node: Node = root
    key: ScalarNode | None = None
    for step in path:
        key = None
        if isinstance(node, MapNode):
            for key_node, value in node.entries:
                if key_node.value == step:
                    key, node = key_node, value
                    break
            else:
                return None
        elif isinstance(node, ListNode) and isinstance(step, int) and 0 <= step < len(node.items):
            node = node.items[step]
        else:
            return None
    if keys:
        return None if key is None else (key.start, key.end)
    # A value left empty has no width, and the top of a note is no place that anybody means.
    return (node.start, node.end) if path else None


def _walk(node: Node, path: Path, keys: bool) -> Iterator[Path]:
    if isinstance(node, MapNode):
        for key, value in node.entries:
            yield (*path, key.value)
            yield from _walk(value, (*path, key.value), keys)
    elif isinstance(node, ListNode):
        for place, item in enumerate(node.items):
            if not keys:
                yield (*path, place)
            yield from _walk(item, (*path, place), keys)


def make_origin(
    manuscript: Manuscript,
    root: MapNode,
    moved: Mapping[Path, Path],
    extra: Mapping[Path, tuple[int, int]],
) -> Origin:
    """Return the origin of a note."""
    return Origin(
        manuscript.file,
        TreeSpans(manuscript, root, moved=moved, extra=extra),
        TreeSpans(manuscript, root, keys=True, moved=moved),
    )
