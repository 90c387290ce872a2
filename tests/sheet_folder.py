"""A bench of plain geometry: sheets of paper as rectangles that are cut, folded, put into each other and read.

It knows no imposition. A piece of paper lies on the table somewhere, either face up, either way round; folding
lifts what is beyond a line and lays it down on top, mirrored at the line and in reverse order, as a hand does.
In: sheets with rectangles on both faces. Out: what is read in the bound book, where, which way up.
Never: imports from the package under test.

The physical facts used (common practice, no published source):
  1. The back of a sheet is printed as it is seen when the sheet is turned like the leaf of a book.
  2. The front is the outside of the folded sheet, so a sheet lies with its back up to be folded inwards.
  3. Folded sheets are put one into the other, the first outermost: before their last fold they lie in a pile, backs
     up, the first lowest.
  4. A book read from left to right has its spine at the left when its first page looks up, one read from right to
     left has it at the right; for the latter the bench is seen in a mirror: right is left.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple


class Rect(NamedTuple):
    """Left, top, right, bottom, in mm; y downwards."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True)
class Printed:
    """Something printed on a face, as one looks at that face: what, where, and whether it stands on its head."""

    what: Any
    rect: Rect
    on_its_head: bool = False


@dataclass(frozen=True)
class Piece:
    """A piece of one sheet.

    Its material is a rectangle of the sheet as one looks at its front. On the table it lies mirrored in x, in y, in
    both or not at all, and moved: place = sign * material + shift. Mirrored once, it shows its back.
    """

    sheet: int
    width: float
    material: Rect
    front: tuple[Printed, ...]
    back: tuple[Printed, ...]
    sx: int = 1
    sy: int = 1
    tx: float = 0.0
    ty: float = 0.0

    @property
    def front_up(self) -> bool:
        """True where its front looks up."""
        return self.sx * self.sy > 0

    def to_table(self, rect: Rect) -> Rect:
        """Return where a rectangle of its material lies on the table."""
        x = sorted((self.sx * rect.left + self.tx, self.sx * rect.right + self.tx))
        y = sorted((self.sy * rect.top + self.ty, self.sy * rect.bottom + self.ty))
        return Rect(x[0], y[0], x[1], y[1])

    def from_table(self, rect: Rect) -> Rect:
        """Return the rectangle of its material that lies in a place of the table."""
        x = sorted((self.sx * (rect.left - self.tx), self.sx * (rect.right - self.tx)))
        y = sorted((self.sy * (rect.top - self.ty), self.sy * (rect.bottom - self.ty)))
        return Rect(x[0], y[0], x[1], y[1])

    @property
    def lies(self) -> Rect:
        """Where it lies."""
        return self.to_table(self.material)

    def mirrored_x(self, at: float) -> Piece:
        """Return it turned over about an upright line."""
        return replace(self, sx=-self.sx, tx=2 * at - self.tx)

    def mirrored_y(self, at: float) -> Piece:
        """Return it turned over about a level line."""
        return replace(self, sy=-self.sy, ty=2 * at - self.ty)

    def part(self, window: Rect) -> Piece | None:
        """Return what of it lies within a window of the table; None where nothing does."""
        lies = self.lies
        cut = Rect(
            max(lies.left, window.left),
            max(lies.top, window.top),
            min(lies.right, window.right),
            min(lies.bottom, window.bottom),
        )
        if cut.right - cut.left < 1e-9 or cut.bottom - cut.top < 1e-9:
            return None
        return replace(self, material=self.from_table(cut))


Pile = list[Piece]
"""Pieces on the table, the lowest first."""

_FAR = 1e9


def lay_down(
    sheet: int, width: float, height: float, front: Iterable[Printed], back: Iterable[Printed]
) -> Piece:
    """Lay a printed sheet on the table, its front up, its upper left corner at the origin."""
    return Piece(sheet, width, Rect(0, 0, width, height), tuple(front), tuple(back))


def turn_over(pile: Pile) -> Pile:
    """Turn a pile like the leaf of a book, about its upright middle."""
    box = extent(pile)
    return [piece.mirrored_x((box.left + box.right) / 2) for piece in reversed(pile)]


def extent(pile: Pile) -> Rect:
    """Return the smallest rectangle that holds a pile."""
    lying = [piece.lies for piece in pile]
    return Rect(
        min(r.left for r in lying),
        min(r.top for r in lying),
        max(r.right for r in lying),
        max(r.bottom for r in lying),
    )


def fold_right_over(pile: Pile, at: float) -> Pile:
    """Lift what lies right of an upright line and lay it down at its left."""
    resting = [part for piece in pile if (part := piece.part(Rect(-_FAR, -_FAR, at, _FAR)))]
    lifted = [part for piece in pile if (part := piece.part(Rect(at, -_FAR, _FAR, _FAR)))]
    return resting + [piece.mirrored_x(at) for piece in reversed(lifted)]


def fold_left_over(pile: Pile, at: float) -> Pile:
    """Lift what lies left of an upright line and lay it down at its right."""
    resting = [part for piece in pile if (part := piece.part(Rect(at, -_FAR, _FAR, _FAR)))]
    lifted = [part for piece in pile if (part := piece.part(Rect(-_FAR, -_FAR, at, _FAR)))]
    return resting + [piece.mirrored_x(at) for piece in reversed(lifted)]


def fold_head_over(pile: Pile, at: float) -> Pile:
    """Lift what lies above a level line and lay it down below."""
    resting = [part for piece in pile if (part := piece.part(Rect(-_FAR, at, _FAR, _FAR)))]
    lifted = [part for piece in pile if (part := piece.part(Rect(-_FAR, -_FAR, _FAR, at)))]
    return resting + [piece.mirrored_y(at) for piece in reversed(lifted)]


def cut_out(pile: Pile, window: Rect) -> Pile:
    """Return what of a pile lies within a window."""
    return [part for piece in pile if (part := piece.part(window))]


@dataclass(frozen=True)
class Bound:
    """A gathering as it is bound: leaves from the first, its first page up; where its spine is on the table."""

    leaves: tuple[Piece, ...]
    spine: float


def bind_gathering(sheets: Sequence[Piece], folds: int, spine_at_right: bool) -> Bound:
    """Fold the sheets of a gathering so many times, each half over half, and put them into each other.

    Args:
        sheets: As laid down, the outermost first.
        folds: 1 across the spine; 2 before that at the head; 3 before that at the fore-edge.
        spine_at_right: True for a book read from right to left.
    """
    upright, head = (fold_left_over, fold_head_over) if spine_at_right else (fold_right_over, fold_head_over)
    pile: Pile = []
    for sheet in sheets:
        packet = turn_over([sheet])
        if folds == 3:
            box = extent(packet)
            packet = upright(packet, (box.left + box.right) / 2)
        if folds >= 2:
            box = extent(packet)
            packet = head(packet, (box.top + box.bottom) / 2)
        box = extent(packet)
        # Every packet is moved so that its middle lies on that of the others.
        middle, tail = (box.left + box.right) / 2, box.bottom
        pile += [replace(p, tx=p.tx - middle, ty=p.ty - tail) for p in packet]
    # The last fold is across the spine; then the gathering is turned over, so that its first page looks up.
    folded = [piece.mirrored_x(0.0) for piece in reversed(upright(pile, 0.0))]
    return Bound(tuple(reversed(folded)), 0.0)


@dataclass(frozen=True)
class Read:
    """What is read on a page: what, where (from the spine outwards, below the top of the table), which way up."""

    what: Any
    near: float
    far: float
    top: float
    bottom: float
    upright: bool


def read_gathering(bound: Bound) -> list[list[Read]]:
    """Turn leaf after leaf and return what is printed on every page, in reading order."""
    pages: list[list[Read]] = []
    for leaf in bound.leaves:
        faces = (leaf.front, leaf.back) if leaf.front_up else (leaf.back, leaf.front)
        for face in faces:
            found = []
            for printed in face:
                rect = printed.rect
                if face is leaf.back:
                    rect = Rect(leaf.width - rect.right, rect.top, leaf.width - rect.left, rect.bottom)
                middle = ((rect.left + rect.right) / 2, (rect.top + rect.bottom) / 2)
                box = leaf.material
                if box.left < middle[0] < box.right and box.top < middle[1] < box.bottom:
                    lies = leaf.to_table(rect)
                    near, far = sorted((abs(lies.left - bound.spine), abs(lies.right - bound.spine)))
                    # Turning over sideways leaves heads where they are; only a fold at the head turns them.
                    found.append(
                        Read(
                            printed.what,
                            near,
                            far,
                            lies.top,
                            lies.bottom,
                            (leaf.sy > 0) != printed.on_its_head,
                        )
                    )
            pages.append(found)
    return pages


def find_joined(bound: Bound) -> dict[str, set[tuple[int, int]]]:
    """Return which leaves of a gathering hang together, by edge: "spine", "head" or "fore-edge".

    Two leaves hang together where their material is one piece of paper; the fold is where that edge lies.
    """
    joined: dict[str, set[tuple[int, int]]] = {"spine": set(), "head": set(), "fore-edge": set()}
    leaves = bound.leaves
    for one in range(len(leaves)):
        for two in range(one + 1, len(leaves)):
            a, b = leaves[one], leaves[two]
            if a.sheet != b.sheet:
                continue
            edge = _shared_edge(a.material, b.material)
            if edge is None:
                continue
            lies, box = a.to_table(edge), a.lies
            if lies.top == lies.bottom:
                kind = "head" if abs(lies.top - box.top) < 1e-6 else "tail"
            else:
                kind = "spine" if abs(lies.left - bound.spine) < 1e-6 else "fore-edge"
            joined[kind].add((one + 1, two + 1))
    return joined


def _shared_edge(a: Rect, b: Rect) -> Rect | None:
    left, right = max(a.left, b.left), min(a.right, b.right)
    top, bottom = max(a.top, b.top), min(a.bottom, b.bottom)
    if abs(right - left) < 1e-9 and bottom - top > 1e-6:
        return Rect(left, top, left, bottom)
    if abs(bottom - top) < 1e-9 and right - left > 1e-6:
        return Rect(left, top, right, top)
    return None
