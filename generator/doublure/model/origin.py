"""Where each value of a note came from.

In: spans found by notes/. Out: Origin, held by every record, left out of equality and repr.
Never: reading files.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from doublure.problems import Span

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Origin:
    """The file of a note and the span of each value in it.

    Attributes:
        file: Path relative to the project, forward slashes, such as "journal/inserts/tide-pass.md".
        spans: Span of each value by its path of keys and indexes, such as ("readings", 0, "width").
        key_spans: Span of each key, by the same paths.
    """

    file: str
    spans: Mapping[Path, Span] = field(default_factory=dict)
    key_spans: Mapping[Path, Span] = field(default_factory=dict)

    def span(self, *path: str | int) -> Span:
        """Return the span of the value at path, or of its nearest parent, or of the whole file."""
        for end in range(len(path), 0, -1):
            found = self.spans.get(path[:end])
            if found is not None:
                return found
        return self.spans.get((), Span(self.file))

    def key_span(self, *path: str | int) -> Span:
        """Return the span of the key at path, or what span() gives where there is none."""
        found = self.key_spans.get(path)
        return found if found is not None else self.span(*path)
