"""Folding: which page lies where, which way up, on a sheet that is folded once, twice or three times.

In: printed sheets per gathering, folding, reading direction. Out: FoldPattern, ImposedForme. Never: masters, mm.
Nothing here is a table: a folded, nested sheet is opened again fold by fold, and what then lies where is read off.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cache

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Half, Side
from doublure.trade.book.limits import MAX_PAGES, check_gatherings
from doublure.trade.press.records import Folding


class FoldKind(Enum):
    """What edge of the leaves a fold makes."""

    SPINE = "spine"
    HEAD = "head"
    FORE_EDGE = "fore-edge"


@dataclass(frozen=True, slots=True)
class FoldLine:
    """A fold, straight across the whole flat sheet.

    Attributes:
        kind: Edge of the leaves that it makes.
        is_upright: True where it runs from the head to the tail of the flat sheet.
        after: How many columns (upright) or rows (level) lie before it, from the left or from the head.
    """

    kind: FoldKind
    is_upright: bool
    after: int


@dataclass(frozen=True, slots=True)
class JoinedLeaves:
    """Two leaves that hang together at a head or fore-edge until the fold is slit.

    Attributes:
        kind: HEAD or FORE_EDGE.
        leaves: The two, from 1, by their place in the folded sheet; the lower number first.
    """

    kind: FoldKind
    leaves: tuple[int, int]


@dataclass(frozen=True, slots=True)
class PatternCell:
    """One page on a side of a flat sheet, the side's lowest row upright.

    Attributes:
        row: From 0, from the head of the sheet.
        column: From 0, from the left.
        leaf: From 1, by its place in the folded sheet.
        is_recto: True for the first page of its leaf.
        turned: True where its head points to the tail of the sheet.
        spine: Left or right edge of the cell, as it lies here, at which its spine fold is.
    """

    row: int
    column: int
    leaf: int
    is_recto: bool
    turned: bool
    spine: Half


@dataclass(frozen=True, slots=True)
class FoldPattern:
    """How one sheet is folded.

    Attributes:
        folding: How often.
        rtl: True for a book read from right to left.
        rows, columns: Of pages, on either side.
        front, back: The pages, row by row from the head, left to right. The front is the side that lies
            outermost when the sheet is folded; the back is seen from the back.
        folds: In the order in which they are made, the first fold first. Folds that are made at once, through
            several layers, are one after the other. Places are those on the front.
        joined: Leaves that must be slit apart: at the head, then at the fore-edge, each in the order of the
            leaves; () for a folio.
        grain_along: Which way the grain must run on the flat sheet, so that it runs along the spine: "height",
            since every spine fold is upright.
    """

    folding: Folding
    rtl: bool
    rows: int
    columns: int
    front: tuple[PatternCell, ...]
    back: tuple[PatternCell, ...]
    folds: tuple[FoldLine, ...]
    joined: tuple[JoinedLeaves, ...]
    grain_along: str

    @property
    def page_sum(self) -> int:
        """Sum of any two pages that face each other across a spine fold of a single sheet: pages plus 1."""
        return self.rows * self.columns * 2 + 1

    def side(self, side: Side) -> tuple[PatternCell, ...]:
        """Return the pages of one side."""
        return self.front if side is Side.FRONT else self.back

    def slits(self, kind: FoldKind) -> int:
        """Return how many folded edges of that kind are to be slit on one folded sheet."""
        return sum(joined.kind is kind for joined in self.joined)


@dataclass(frozen=True, slots=True)
class FormeCell:
    """One page on a side of a printed sheet.

    Attributes:
        row: From 0, from the head of the sheet.
        column: From 0, from the left.
        position: Counts the pages of all folded sheets of the book in reading order, from 1.
        turned: True where its head points to the tail of the sheet.
        spine: Left or right edge of the cell, as it lies on the plate, at which its spine fold is.
        pair: Leaf pair to which its leaf belongs, from 1, the outermost of its gathering.
    """

    row: int
    column: int
    position: int
    turned: bool
    spine: Half
    pair: int


@dataclass(frozen=True, slots=True)
class ImposedForme:
    """One side of one printed sheet.

    Attributes:
        gathering: From 1, in sewing order.
        sheet: Printed sheet of its gathering, from 1, the outermost.
        side: The front is the side that lies outermost when the sheet is folded.
        rows, columns: Of pages.
        cells: Row by row from the head, left to right.
    """

    gathering: int
    sheet: int
    side: Side
    rows: int
    columns: int
    cells: tuple[FormeCell, ...]


@dataclass(frozen=True, slots=True)
class _Layer:
    """One leaf as it lies: which of its pages looks up, where its head points, at which edge its spine is."""

    leaf: int
    is_recto: bool
    turned: bool
    spine: Half

    def swung_sideways(self) -> _Layer:
        """Return it turned over about an upright axis."""
        return _Layer(self.leaf, not self.is_recto, self.turned, self.spine.other)

    def swung_upwards(self) -> _Layer:
        """Return it turned over about a level axis."""
        return _Layer(self.leaf, not self.is_recto, not self.turned, self.spine)


_Pile = tuple[_Layer, ...]
_Grid = tuple[tuple[_Pile, ...], ...]


@cache
def describe_folding(folding: Folding, rtl: bool = False) -> FoldPattern:
    """Return where each page of a single sheet lies when it is flat, and what its folds are.

    The folded sheet lies with its first page up, the spine at the left (at the right for a book read from right
    to left). It is opened at the spine, then at the head, then at the fore-edge, as many of these as there are
    folds; each time the upper half of every pile swings over. What looks up then is the back.

    Args:
        folding: How often the sheet is folded.
        rtl: True for a book read from right to left.

    Source:
        Follows from the folding. That facing pages make one more than the pages of the sheet: a printers'
        dictionary, by its wording W. Savage, 1841, p. 329.

    Examples:
        >>> octavo = describe_folding(Folding.OCTAVO)
        >>> [2 * c.leaf - c.is_recto for c in octavo.front]
        [5, 12, 9, 8, 4, 13, 16, 1]
        >>> octavo.slits(FoldKind.HEAD), octavo.slits(FoldKind.FORE_EDGE), octavo.page_sum
        (4, 2, 17)
    """
    spine = Half.RIGHT if rtl else Half.LEFT
    openings = (FoldKind.SPINE, FoldKind.HEAD, FoldKind.FORE_EDGE)[: folding.pairs.bit_length()]
    pile = tuple(_Layer(leaf, True, False, spine) for leaf in range(1, 2 * folding.pairs + 1))
    grid: _Grid = ((pile,),)
    lines: list[FoldLine] = []
    for kind in openings:
        if kind is FoldKind.HEAD:
            lines = [FoldLine(kind, False, len(grid)), *lines]
            grid = _open_upwards(grid)
        else:
            hinge = spine if kind is FoldKind.SPINE else spine.other
            columns = len(grid[0])
            # The halves of what was folded before lie on both sides of the new fold, as in a mirror.
            upright = [line for line in lines if line.is_upright]
            doubled = [
                FoldLine(line.kind, True, after)
                for line in upright
                for after in sorted((line.after, 2 * columns - line.after))
            ]
            lines = [
                FoldLine(kind, True, columns),
                *(line for line in lines if not line.is_upright),
                *doubled,
            ]
            grid = _open_sideways(grid, hinge)
    back = _read_off(grid)
    front = _read_off(tuple(tuple(_turned_pile(p) for p in reversed(row)) for row in grid))
    return FoldPattern(
        folding=folding,
        rtl=rtl,
        rows=len(grid),
        columns=len(grid[0]),
        front=front,
        back=back,
        folds=tuple(lines),
        joined=_find_joined(front, tuple(lines)),
        grain_along="height" if all(x.is_upright for x in lines if x.kind is FoldKind.SPINE) else "width",
    )


def fold_sheets(
    sheets_in_gatherings: Sequence[int], folding: Folding, rtl: bool = False
) -> tuple[ImposedForme, ...]:
    """Return both sides of every printed sheet of a book, with the page that lies in each cell.

    Each sheet is folded by itself; then the folded sheets of a gathering are put one into the other, the first
    outermost. With m leaf pairs on a sheet, sheet s holds the leaf pairs (s - 1)m + 1 to sm of its gathering;
    leaf pair p of a gathering of n pairs consists of its leaves p and 2n + 1 - p.

    Args:
        sheets_in_gatherings: Printed sheets in each gathering, each at least 1.
        folding: How often each sheet is folded.
        rtl: True for a book read from right to left.

    Returns:
        Front, then back, of each sheet, in sewing order.

    Raises:
        DomainError: There is no gathering, one has less than one sheet, or all hold more than MAX_PAGES.

    Source:
        As describe_folding. Quired sheets: Cowie's Printer's Pocket-book and Manual, p. 31.

    Examples:
        >>> front, back = fold_sheets((1,), Folding.QUARTO)
        >>> [c.position for c in front.cells], [c.position for c in back.cells]
        ([5, 4, 8, 1], [3, 6, 2, 7])
    """
    gatherings = check_gatherings(sheets_in_gatherings)
    pairs = folding.pairs
    if 4 * pairs * sum(gatherings) > MAX_PAGES:
        raise DomainError(
            f"gatherings: folded so often they hold {4 * pairs * sum(gatherings)} pages; at most {MAX_PAGES}"
            " can be worked out",
            "sheets_in_gatherings",
        )
    pattern = describe_folding(folding, rtl)
    formes: list[ImposedForme] = []
    before = 0
    for gathering, sheets in enumerate(gatherings, 1):
        leaves = 2 * pairs * sheets
        for sheet in range(1, sheets + 1):
            for side in Side:
                cells: list[FormeCell] = []
                for cell in pattern.side(side):
                    leaf = _leaf_in_gathering(cell.leaf, pairs, sheet, leaves)
                    position = before + 2 * leaf - cell.is_recto
                    pair = min(leaf, leaves + 1 - leaf)
                    cells.append(FormeCell(cell.row, cell.column, position, cell.turned, cell.spine, pair))
                rows, columns = pattern.rows, pattern.columns
                formes.append(ImposedForme(gathering, sheet, side, rows, columns, tuple(cells)))
        before += 2 * leaves
    return tuple(formes)


def _leaf_in_gathering(leaf: int, pairs: int, sheet: int, leaves: int) -> int:
    """Return the leaf of the gathering that is a leaf of its sheet: outer sheets embrace inner ones."""
    outside = (sheet - 1) * pairs
    return outside + leaf if leaf <= pairs else leaves - outside - (2 * pairs - leaf)


def _turned_pile(pile: _Pile) -> _Pile:
    return tuple(layer.swung_sideways() for layer in reversed(pile))


def _open_sideways(grid: _Grid, hinge: Half) -> _Grid:
    """Swing the upper half of every pile over the left or the right edge of all."""
    opened: list[tuple[_Pile, ...]] = []
    for row in grid:
        resting = tuple(pile[len(pile) // 2 :] for pile in row)
        swung = tuple(_turned_pile(pile[: len(pile) // 2]) for pile in reversed(row))
        opened.append(swung + resting if hinge is Half.LEFT else resting + swung)
    return tuple(opened)


def _open_upwards(grid: _Grid) -> _Grid:
    """Swing the upper half of every pile over the edge at the head of all."""
    resting = tuple(tuple(pile[len(pile) // 2 :] for pile in row) for row in grid)
    swung = tuple(
        tuple(tuple(layer.swung_upwards() for layer in reversed(pile[: len(pile) // 2])) for pile in row)
        for row in reversed(grid)
    )
    return swung + resting


def _read_off(grid: _Grid) -> tuple[PatternCell, ...]:
    """Return what looks up, where a single leaf lies in each place."""
    return tuple(
        PatternCell(row, column, layer.leaf, layer.is_recto, layer.turned, layer.spine)
        for row, piles in enumerate(grid)
        for column, (layer,) in enumerate(piles)
    )


def _find_joined(front: tuple[PatternCell, ...], folds: tuple[FoldLine, ...]) -> tuple[JoinedLeaves, ...]:
    """Return the leaves that lie on both sides of each fold at a head or fore-edge."""
    at = {(cell.row, cell.column): cell.leaf for cell in front}
    found: set[tuple[bool, tuple[int, int]]] = set()
    for fold in folds:
        if fold.kind is FoldKind.SPINE:
            continue
        for cell in front:
            if (cell.column if fold.is_upright else cell.row) != fold.after:
                continue
            beside = (cell.row, cell.column - 1) if fold.is_upright else (cell.row - 1, cell.column)
            low, high = sorted((at[beside], cell.leaf))
            found.add((fold.kind is FoldKind.FORE_EDGE, (low, high)))
    kinds = (FoldKind.HEAD, FoldKind.FORE_EDGE)
    return tuple(JoinedLeaves(kinds[is_fore_edge], leaves) for is_fore_edge, leaves in sorted(found))
