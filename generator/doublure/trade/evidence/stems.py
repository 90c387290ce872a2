"""Which sources go back to the same thing: the stem of each, and the tree to draw.

In: sources with what each was copied from. Out: StemTree, with circles and disagreements as data.
Never: judging what is wrong with a note; counting readings (combine.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from doublure.errors import DomainError


@dataclass(frozen=True, slots=True)
class SourceSpec:
    """One source as the stems see it.

    Attributes:
        identifier: Its identifier, unique.
        copied_from: Identifier of the source that it was copied from; None for a root.
        stem: Name of its stem where the maker gives one. A name that is another source's identifier says
            the same as copied_from.
    """

    identifier: str
    copied_from: str | None = None
    stem: str | None = None


@dataclass(frozen=True, slots=True)
class PlacedSource:
    """A source in its place in the tree.

    Attributes:
        identifier: The source.
        parent: The source it was copied from, if that one is drawn above it; None at the top. In a circle
            the first identifier by the alphabet stands at the top, so that the drawing always ends.
        depth: Copies between it and the top, from 0.
    """

    identifier: str
    parent: str | None
    depth: int


@dataclass(frozen=True, slots=True)
class Stem:
    """One stem: all its sources are one witness.

    Attributes:
        name: The name of the root's stem, else the root's identifier.
        sources: Each below what it was copied from, brothers and sisters by the alphabet.
    """

    name: str
    sources: tuple[PlacedSource, ...]


@dataclass(frozen=True, slots=True)
class StemDisagreement:
    """A source that names one stem and is copied from a source on another.

    Attributes:
        source: The source.
        named: The stem that it names.
        resolved: The stem that following the copies leads to, which is the one used.
    """

    source: str
    named: str
    resolved: str


@dataclass(frozen=True, slots=True)
class StemTree:
    """Every source with its stem.

    Attributes:
        stems: By name.
        circles: Each circle of copies, beginning with its first identifier by the alphabet, in the
            direction from copy to what it was copied from.
        disagreements: By source.
        unknown: (source, copied_from) where no source has that identifier. The unknown one is taken as the
            root, so that two copies of it still count as one witness.
    """

    stems: tuple[Stem, ...]
    circles: tuple[tuple[str, ...], ...] = ()
    disagreements: tuple[StemDisagreement, ...] = ()
    unknown: tuple[tuple[str, str], ...] = ()

    def by_source(self) -> dict[str, str]:
        """Return the name of the stem of each source."""
        return {placed.identifier: stem.name for stem in self.stems for placed in stem.sources}

    @property
    def is_sound(self) -> bool:
        """True where there is no circle, no disagreement and nothing unknown."""
        return not (self.circles or self.disagreements or self.unknown)


def resolve_stems(sources: Iterable[SourceSpec]) -> StemTree:
    """Follow every source to its root and gather the sources by stem.

    Args:
        sources: All sources, in any order.

    Returns:
        The tree; the same for every order of the sources.

    Raises:
        DomainError: Two sources have one identifier.

    Source:
        The rule of stems, docs/handbook/methods/evidence.md: sources on one stem are one witness.

    Examples:
        >>> tree = resolve_stems([SourceSpec("frame"), SourceSpec("poster", copied_from="frame")])
        >>> tree.by_source()
        {'frame': 'frame', 'poster': 'frame'}
    """
    by_id: dict[str, SourceSpec] = {}
    for source in sources:
        if source.identifier in by_id:
            raise DomainError(f"two sources are called {source.identifier!r}", "sources")
        by_id[source.identifier] = source
    links = {identifier: _find_link(by_id[identifier], by_id) for identifier in sorted(by_id)}
    circles = _find_circles(links)
    unknown = {identifier: link for identifier, link in links.items() if link and link not in by_id}
    # Cut each circle at its first member, and each link into the unknown: what is left is a forest.
    heads = {circle[0] for circle in circles}
    parents = {
        identifier: None if identifier in heads or identifier in unknown else link
        for identifier, link in links.items()
    }
    children: dict[str, list[str]] = {}
    for child, parent in parents.items():
        if parent is not None:
            children.setdefault(parent, []).append(child)
    stems: dict[str, list[PlacedSource]] = {}
    disagreements = []
    for root in (identifier for identifier, parent in parents.items() if parent is None):
        name = unknown.get(root) or _name_root(by_id[root], by_id)
        placed = _place_below(root, children)
        stems.setdefault(name, []).extend(placed)
        for identifier in (entry.identifier for entry in placed):
            named = by_id[identifier].stem
            if named and named != name and named not in _climb(identifier, parents):
                disagreements.append(StemDisagreement(identifier, named, name))
    return StemTree(
        stems=tuple(Stem(name, tuple(placed)) for name, placed in sorted(stems.items())),
        circles=circles,
        disagreements=tuple(sorted(disagreements, key=lambda d: d.source)),
        unknown=tuple(unknown.items()),
    )


def _find_link(source: SourceSpec, by_id: Mapping[str, SourceSpec]) -> str | None:
    """Return what the source was copied from, said outright or by a stem that is itself a source."""
    if source.copied_from:
        return source.copied_from
    if source.stem and source.stem != source.identifier and source.stem in by_id:
        return source.stem
    return None


def _find_circles(links: Mapping[str, str | None]) -> tuple[tuple[str, ...], ...]:
    circles = []
    done: set[str] = set()
    for start in links:
        path: list[str] = []
        at: str | None = start
        while at is not None and at in links and at not in done and at not in path:
            path.append(at)
            at = links[at]
        if at is not None and at in path:
            circle = path[path.index(at) :]
            turn = circle.index(min(circle))
            circles.append(tuple(circle[turn:] + circle[:turn]))
        done.update(path)
    return tuple(sorted(circles))


def _name_root(root: SourceSpec, by_id: Mapping[str, SourceSpec]) -> str:
    # The head of a circle may name a stem that is a source of that very circle; then its own name serves.
    if root.stem and root.stem not in by_id:
        return root.stem
    return root.identifier


def _place_below(root: str, children: Mapping[str, list[str]]) -> list[PlacedSource]:
    placed = []
    waiting = [PlacedSource(root, None, 0)]
    while waiting:
        entry = waiting.pop()
        placed.append(entry)
        below = children.get(entry.identifier, [])
        waiting.extend(PlacedSource(child, entry.identifier, entry.depth + 1) for child in reversed(below))
    return placed


def _climb(identifier: str, parents: Mapping[str, str | None]) -> list[str]:
    path = [identifier]
    # Links that closed a circle are already cut, so this ends.
    while (parent := parents[path[-1]]) is not None:
        path.append(parent)
    return path
