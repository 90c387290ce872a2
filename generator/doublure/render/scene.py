"""Drawing primitives in millimetres, from which any back end can draw.

In: numbers and words from render/draw/. Out: frozen Scene values, y growing downwards, origin at top left.
Never: a colour (only tones, which the back end maps), SVG or PDF syntax, text measuring (lettering.py).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum


def px_to_mm(px: float) -> float:
    """Return a length in CSS pixels as mm: 96 px are 1 in.

    Source:
        W3C CSS Values and Units Level 3, 6.2; from memory.

    Examples:
        >>> px_to_mm(96)
        25.4
    """
    return px / 96 * 25.4


class Tone(Enum):
    """What a stroke or a fill is made of. The back end gives each its colour."""

    INK = "ink"
    SOFT = "soft"
    LINE = "line"
    ACCENT = "accent"
    PAPER = "paper"
    PAPER2 = "paper2"


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn.

    Attributes:
        width_mm: Width of the line, mm, > 0.
        tone: What it is drawn in.
        dash_mm: Lengths of dashes and gaps in turn, mm; () for an unbroken line. A dash of 0 with round
            ends is a dot.
        round_ends: True for round ends and joins, False for cut ends and mitred joins.
    """

    width_mm: float
    tone: Tone = Tone.INK
    dash_mm: tuple[float, ...] = ()
    round_ends: bool = False


#: The pens of the house, from fine to heavy.
HAIR = Pen(0.18, Tone.LINE)
FINE = Pen(0.18)
LINE = Pen(0.28)
HEAVY = Pen(0.62)
ACCENT = Pen(0.35, Tone.ACCENT)

Point = tuple[float, float]


class Anchor(Enum):
    """Which part of a text stands at its x."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Fit(Enum):
    """How an image fills its frame: cut to cover it, or whole within it."""

    COVER = "cover"
    WITHIN = "within"


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    x1_mm: float
    y1_mm: float
    x2_mm: float
    y2_mm: float
    pen: Pen


@dataclass(frozen=True, slots=True)
class Polyline:
    """Straight lines from point to point, closed where asked. Points are (x, y) in mm."""

    points_mm: tuple[Point, ...]
    pen: Pen | None = None
    fill: Tone | None = None
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Move:
    """Begin a stretch of a path at a point."""

    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Straight:
    """Go straight to a point."""

    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Curve:
    """Go to (x, y) along a cubic Bézier curve with two control points."""

    c1x_mm: float
    c1y_mm: float
    c2x_mm: float
    c2y_mm: float
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Close:
    """Go straight back to where this stretch began."""


Step = Move | Straight | Curve | Close


@dataclass(frozen=True, slots=True)
class Path:
    """Straight and curved stretches."""

    steps: tuple[Step, ...]
    pen: Pen | None = None
    fill: Tone | None = None


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle, its corners rounded by radius_mm."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    pen: Pen | None = None
    fill: Tone | None = None
    radius_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle."""

    x_mm: float
    y_mm: float
    radius_mm: float
    pen: Pen | None = None
    fill: Tone | None = None


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text.

    Attributes:
        x_mm, y_mm: Where its anchor stands, y on the baseline.
        content: The words.
        size_mm: Height of the em, mm.
        anchor: Which part stands at x_mm.
        tone: INK, SOFT, ACCENT or PAPER.
        bold, italic: Style.
        turn_deg: Turned about (x_mm, y_mm), clockwise.
    """

    x_mm: float
    y_mm: float
    content: str
    size_mm: float
    anchor: Anchor = Anchor.START
    tone: Tone = Tone.INK
    bold: bool = False
    italic: bool = False
    turn_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Image:
    """A picture in a frame; href is an address relative to the page that shows it."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    href: str
    fit: Fit = Fit.COVER


@dataclass(frozen=True, slots=True)
class Group:
    """Things that belong together.

    Attributes:
        items: What it holds, drawn in this order.
        title: Its accessible name, shown on pointing; "" for none.
        href: Where it leads, relative to the page; "" for nowhere.
        standing: One of the standing words, so that colour may support the line; "" for none.
        role: A further word for the back end to hang a style on, such as "current"; "" for none.
        window_mm: Left, top, width and height of the only part of it that is seen; None for all of it.
        turned_about_mm: The point about which its items are turned half round, words and pictures with them;
            None where they are not turned.
    """

    items: tuple[Item, ...]
    title: str = ""
    href: str = ""
    standing: str = ""
    role: str = ""
    window_mm: tuple[float, float, float, float] | None = None
    turned_about_mm: Point | None = None


Item = Line | Polyline | Path | Rect | Circle | Text | Image | Group


@dataclass(frozen=True, slots=True)
class Scene:
    """A whole drawing.

    Attributes:
        width_mm, height_mm: Its extent; everything lies between 0 and these.
        title: Its name, in a few words.
        description: What it shows, for whoever cannot see it.
        items: What is drawn, in this order.
    """

    width_mm: float
    height_mm: float
    title: str
    description: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle given by its edges, mm."""

    left_mm: float
    top_mm: float
    right_mm: float
    bottom_mm: float

    def grown(self, by_mm: float) -> Box:
        """Return the box with every edge moved outwards."""
        return Box(self.left_mm - by_mm, self.top_mm - by_mm, self.right_mm + by_mm, self.bottom_mm + by_mm)

    def joined(self, other: Box) -> Box:
        """Return the smallest box that holds both."""
        return Box(
            min(self.left_mm, other.left_mm),
            min(self.top_mm, other.top_mm),
            max(self.right_mm, other.right_mm),
            max(self.bottom_mm, other.bottom_mm),
        )

    def overlaps(self, other: Box) -> bool:
        """Return True where the two share an area."""
        return (
            self.left_mm < other.right_mm
            and other.left_mm < self.right_mm
            and self.top_mm < other.bottom_mm
            and other.top_mm < self.bottom_mm
        )


def curve_points(start: Point, curve: Curve, steps: int = 16) -> tuple[Point, ...]:
    """Return points along a cubic curve, the start excluded, the end included.

    Args:
        start: Where the curve begins, mm.
        curve: The curve.
        steps: Number of points, >= 1.

    Returns:
        ``steps`` points, mm, evenly spaced in the parameter.

    Source:
        Bernstein form of the cubic Bézier curve; common practice, no published source.

    Examples:
        >>> curve_points((0.0, 0.0), Curve(0, 1, 1, 2, 1, 3), 1)
        ((1.0, 3.0),)
    """
    points = []
    for i in range(1, steps + 1):
        t = i / steps
        a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
        points.append(
            (
                a * start[0] + b * curve.c1x_mm + c * curve.c2x_mm + d * curve.x_mm,
                a * start[1] + b * curve.c1y_mm + c * curve.c2y_mm + d * curve.y_mm,
            )
        )
    return tuple(points)


def half_ellipse(left: Point, width_mm: float, depth_mm: float) -> tuple[Curve, Curve]:
    """Return two curves from a point to the one width_mm to its right, sagging by depth_mm.

    Args:
        left: Where it begins, mm.
        width_mm: How far to the right it ends, mm; negative goes to the left.
        depth_mm: How deep it sags, mm; negative arches upwards.

    Returns:
        Two quarter ellipses as cubic curves; the error in the radius is below 0.03 %.

    Source:
        The control length 4/3·(√2 − 1) of a quarter circle; common practice, no published source.
    """
    k = 4 / 3 * (math.sqrt(2) - 1)
    x, y = left
    r = width_mm / 2
    return (
        Curve(x, y + k * depth_mm, x + r - k * r, y + depth_mm, x + r, y + depth_mm),
        Curve(x + r + k * r, y + depth_mm, x + width_mm, y + k * depth_mm, x + width_mm, y),
    )
