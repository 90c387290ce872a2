"""What is asked of a photograph: options and the points file, as one record of plain values.

In: text of options, text of a points file. Out: Asked. Never: pictures, notes.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path

from doublure.errors import UsageError
from doublure.notes.frontmatter import part_note
from doublure.notes.manuscript import Findings, Manuscript
from doublure.notes.nodes import ListNode, MapNode, Node, ScalarNode
from doublure.notes.yamltree import parse_tree

Point = tuple[float, float]
_PAIR = re.compile(r"\s*([-+]?\d+(?:\.\d+)?)\s*,\s*([-+]?\d+(?:\.\d+)?)\s*")
_MOST_POINTS = 2000
_FIELDS = (
    "known", "known_at", "coin", "pattern", "pattern_doubt", "wanted_at", "edges", "lens", "lens_doubt", "scan",
    "picking", "above", "correct",
)  # fmt: skip
_LENS_FIELDS = ("focal", "centre", "k1", "k2", "k3", "p1", "p2")


@dataclass(frozen=True, slots=True)
class PublishedLens:
    """A lens in Brown's model, as somebody published it: px, and numbers without unit."""

    focal_px: float
    centre_px: Point
    k1: float = 0.0
    k2: float = 0.0
    k3: float = 0.0
    p1: float = 0.0
    p2: float = 0.0


@dataclass(frozen=True, slots=True)
class Asked:
    """What is known in a photograph, and what is wanted.

    Attributes:
        known: Size, length, or the name of what in the notes has a size; "" for none.
        coin: Diameter of a coin, text; "" for none.
        known_at: Corners in turn, ends, or points of a coin's rim, px.
        pattern: Points of known place: mm, mm, px, px.
        pattern_doubt: Relative standard uncertainty of the pattern's size, text; "" for none.
        wanted_at: Four corners in turn, or two ends, px.
        edges: Points along each straight edge, px.
        lens: A published lens; None where none is given.
        lens_doubt: Standard deviation of what an unknown lens does in the corner; None for the usual.
        scan: True for a flat scan, with no lens to doubt.
        picking_px: Standard uncertainty of a pick; None where not stated.
        above: Height of the thing above the plane, text; "" for none.
        correct: False to leave the lens uncorrected, its bias in the interval.
    """

    known: str = ""
    coin: str = ""
    known_at: tuple[Point, ...] = ()
    pattern: tuple[tuple[float, float, float, float], ...] = ()
    pattern_doubt: str = ""
    wanted_at: tuple[Point, ...] = ()
    edges: tuple[tuple[Point, ...], ...] = ()
    lens: PublishedLens | None = None
    lens_doubt: float | None = None
    scan: bool = False
    picking_px: float | None = None
    above: str = ""
    correct: bool = True


def read_points(texts: Sequence[str], name: str) -> tuple[Point, ...]:
    """Return points, such as "120,80 640,92" or several of them.

    Raises:
        UsageError: Something is no point.
    """
    points: list[Point] = []
    for word in " ".join(texts).replace(";", " ").split():
        found = _PAIR.fullmatch(word)
        if found is None:
            raise UsageError(f'{name}: "{word}" is no point; write x,y in pixels, such as 120,80')
        points.append((float(found[1]), float(found[2])))
    if len(points) > _MOST_POINTS:
        raise UsageError(f"{name}: {len(points)} points are too many; at most {_MOST_POINTS} are taken")
    return tuple(points)


def read_file(path: Path) -> Asked:
    """Return what a points file says.

    Raises:
        UsageError: It cannot be read.
    """
    from doublure.store.readings_writer import read_points_text

    return read_points_file(read_points_text(path), str(path))


def finish(asked: Asked, file: Asked | None) -> Asked:
    """Return what options and points file say together; options win.

    Raises:
        UsageError: A number is out of range.
    """
    whole = asked if file is None else _join(asked, file)
    if whole.picking_px is not None and not (
        math.isfinite(whole.picking_px) and 0 < whole.picking_px <= 1000
    ):
        raise UsageError("picking: how sure a point is lies above 0 px")
    if whole.lens_doubt is not None and not 0 <= whole.lens_doubt <= 0.5:
        raise UsageError("lens-doubt: what a lens may bend lies between 0 and 0.5")
    return whole


def _join(asked: Asked, file: Asked) -> Asked:
    nothing = Asked()
    given = {
        field.name: getattr(asked, field.name)
        for field in fields(Asked)
        if getattr(asked, field.name) != getattr(nothing, field.name)
    }
    return replace(file, **given)


def read_points_file(text: str, name: str) -> Asked:
    """Return what a points file says. It is YAML (JSON is YAML too) with the fields of the handbook.

    Raises:
        UsageError: It cannot be read, or a field says what it cannot.
    """
    parts = part_note(text, True)
    findings = Findings(Manuscript(name, parts.text))
    tree = parse_tree(parts.text, parts.yaml_start, parts.yaml_end, findings)
    if parts.faults or findings.problems or tree is None:
        words = findings.problems[0].format() if findings.problems else f"{name}: it holds no fields"
        raise UsageError(words)
    return _Reader(name).read(tree)


class _Reader:
    """Reads the fields of a points file."""

    def __init__(self, name: str) -> None:
        self.name = name

    def read(self, tree: MapNode) -> Asked:
        found = {key.value: node for key, node in tree.entries}
        for key in found:
            if key not in _FIELDS:
                raise self.wrong(key, f"there is no such field; there are {', '.join(_FIELDS)}")
        edges = found.get("edges")
        if edges is not None and not isinstance(edges, ListNode):
            raise self.wrong("edges", "write a list, each entry the points of one edge")
        return Asked(
            known=self.text(found, "known"),
            coin=self.text(found, "coin"),
            known_at=self.points(found.get("known_at"), "known_at"),
            pattern=self.pattern(found.get("pattern")),
            pattern_doubt=self.text(found, "pattern_doubt"),
            wanted_at=self.points(found.get("wanted_at"), "wanted_at"),
            edges=tuple(self.points(edge, "edges") for edge in edges.items) if edges else (),
            lens=self.lens(found.get("lens")),
            lens_doubt=self.number(found, "lens_doubt"),
            scan=self.yes(found, "scan", False),
            picking_px=self.number(found, "picking"),
            above=self.text(found, "above"),
            correct=self.yes(found, "correct", True),
        )

    def wrong(self, field: str, words: str) -> UsageError:
        return UsageError(f"{self.name}: {field}: {words}")

    def text(self, found: dict[str, Node], field: str) -> str:
        node = found.get(field)
        if node is None:
            return ""
        if not isinstance(node, ScalarNode):
            raise self.wrong(field, "one value is wanted")
        return "" if node.is_empty else node.value.strip()

    def number(self, found: dict[str, Node], field: str) -> float | None:
        text = self.text(found, field).removesuffix("px").strip()
        return self.decimal(field, text) if text else None

    def decimal(self, field: str, text: str) -> float:
        try:
            value = float(text)
        except ValueError:
            raise self.wrong(field, f'"{text}" is no number') from None
        if not math.isfinite(value):
            raise self.wrong(field, f'"{text}" is no number that can be used')
        return value

    def yes(self, found: dict[str, Node], field: str, usual: bool) -> bool:
        text = self.text(found, field).lower()
        if text not in ("", "yes", "no", "true", "false"):
            raise self.wrong(field, "write yes or no")
        return text in ("yes", "true") if text else usual

    def points(self, node: Node | None, field: str) -> tuple[Point, ...]:
        if node is None:
            return ()
        if isinstance(node, ScalarNode):
            return read_points([node.value], f"{self.name}: {field}")
        if not isinstance(node, ListNode):
            raise self.wrong(field, 'write points as "x,y x,y" or [[x, y], [x, y]]')
        points: list[Point] = []
        for item in node.items:
            if isinstance(item, ScalarNode):
                points += read_points([item.value], f"{self.name}: {field}")
            else:
                x, y = self.numbers(item, field, 2)
                points.append((x, y))
        return tuple(points)

    def numbers(self, node: Node, field: str, count: int) -> tuple[float, ...]:
        if isinstance(node, ScalarNode):
            words = node.value.replace(",", " ").split()
        elif isinstance(node, ListNode):
            words = [item.value if isinstance(item, ScalarNode) else "" for item in node.items]
        else:
            words = []
        if len(words) != count:
            raise self.wrong(field, f"{count} numbers are wanted for each")
        return tuple(self.decimal(field, word) for word in words)

    def pattern(self, node: Node | None) -> tuple[tuple[float, float, float, float], ...]:
        if node is None:
            return ()
        if not isinstance(node, ListNode):
            raise self.wrong("pattern", "write a list of [x mm, y mm, x px, y px]")
        if len(node.items) > _MOST_POINTS:
            raise self.wrong("pattern", f"at most {_MOST_POINTS} points are taken")
        return tuple(self.numbers(item, "pattern", 4) for item in node.items)  # type: ignore[misc]

    def lens(self, node: Node | None) -> PublishedLens | None:
        if node is None:
            return None
        if not isinstance(node, MapNode):
            raise self.wrong("lens", "write fields: focal, centre, k1, k2, k3, p1, p2")
        found = {key.value: value for key, value in node.entries}
        for key in found:
            if key not in _LENS_FIELDS:
                raise self.wrong("lens", f"there is no {key}; there are {', '.join(_LENS_FIELDS)}")
        if "focal" not in found or "centre" not in found:
            raise self.wrong("lens", "focal and centre are wanted, in pixels")
        x, y = self.numbers(found["centre"], "lens: centre", 2)
        terms = {key: self.number(found, key) or 0.0 for key in _LENS_FIELDS[2:]}
        focal = self.number(found, "focal") or 0.0
        if focal <= 0:
            raise self.wrong("lens", "focal is above nought, in pixels")
        return PublishedLens(focal, (x, y), **terms)
