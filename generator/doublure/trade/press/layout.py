"""The layout of a sheet: where its pages, bleeds and folds lie, at true size, the work in the middle of the sheet.

In: sizes, folding, leaf pairs on a sheet, bleed. Out: SheetGrid, boxes of pages, arrangement. Never: masters, marks
(marks.py), display text. Coordinates as in records.py.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Half
from doublure.trade.press.records import Box, Folding, Lacking, MarkName, Point

TOLERANCE_MM = 1e-6
"""A sheet that is smaller than its pages by no more than this is taken as just large enough."""

STEP_WIDTH_MM = 6 * 25.4 / 72
"""Width of a collation mark: 6 points."""

STEP_HEIGHT_MM = 24 * 25.4 / 72
"""Height of a collation mark, and how far each lies below the one before: 24 points."""


@dataclass(frozen=True, slots=True)
class SheetGrid:
    """Where the pages lie on either side of a sheet.

    Two pages beside each other with their spine fold between them are a leaf pair lying open. Leaf pairs lie
    `across` times side by side and `down` times one below the other.

    Attributes:
        sheet_width_mm, sheet_height_mm: The sheet.
        leaf_width_mm, leaf_height_mm: A trimmed leaf of an outermost sheet.
        folding: How the sheet, or what is cut from it, is folded.
        across, down: Open leaf pairs side by side, and one below the other.
        margin_x_mm, margin_y_mm: Between the outermost trims and the edge of the sheet.
        gap_x_mm, gap_y_mm: Between the trims of neighbouring leaf pairs; 0 where there is only one.
        bleed_mm: Bleed that is wanted.
    """

    sheet_width_mm: float
    sheet_height_mm: float
    leaf_width_mm: float
    leaf_height_mm: float
    folding: Folding
    across: int
    down: int
    margin_x_mm: float
    margin_y_mm: float
    gap_x_mm: float
    gap_y_mm: float
    bleed_mm: float

    @property
    def rows(self) -> int:
        """Pages from head to tail."""
        return self.down

    @property
    def columns(self) -> int:
        """Pages from left to right."""
        return 2 * self.across

    def trim(self, row: int, column: int) -> Box:
        """Return the trim of a page."""
        left = self.fold_x_mm(column // 2) - (0.0 if column % 2 else self.leaf_width_mm)
        top = self.margin_y_mm + row * (self.leaf_height_mm + self.gap_y_mm)
        return Box(left, top, self.leaf_width_mm, self.leaf_height_mm)

    def fold_x_mm(self, pair_column: int) -> float:
        """Return where the spine fold of a column of leaf pairs is, from 0 at the left."""
        return self.margin_x_mm + self.leaf_width_mm + pair_column * (2 * self.leaf_width_mm + self.gap_x_mm)

    def spine(self, column: int) -> Half:
        """Return the edge of a page of that column at which its fold is."""
        return Half.LEFT if column % 2 else Half.RIGHT

    def clip(self, row: int, column: int) -> Box:
        """Return the trim grown by the bleed, as far as fold, neighbour and sheet leave room."""
        trim = self.trim(row, column)
        last_row = self.rows - 1
        beside = self.margin_x_mm if column in (0, self.columns - 1) else self.gap_x_mm / 2
        above = self.margin_y_mm if row == 0 else self.gap_y_mm / 2
        below = self.margin_y_mm if row == last_row else self.gap_y_mm / 2
        out, up, down = (max(0.0, min(self.bleed_mm, room)) for room in (beside, above, below))
        left = trim.left_mm - (out if self.spine(column) is Half.RIGHT else 0.0)
        return Box(left, trim.top_mm - up, trim.width_mm + out, trim.height_mm + up + down)

    def artwork(self, row: int, column: int, shift_mm: float) -> Box:
        """Return where the trimmed area of the artwork goes, moved towards the fold by `shift_mm`."""
        trim = self.trim(row, column)
        towards_right = self.spine(column) is Half.RIGHT
        left = trim.left_mm + (shift_mm if towards_right else -shift_mm)
        return Box(left, trim.top_mm, trim.width_mm, trim.height_mm)

    @property
    def trim_box(self) -> Box:
        """The smallest box that holds every trim."""
        return _grown(
            Box(0.0, 0.0, self.sheet_width_mm, self.sheet_height_mm), -self.margin_x_mm, -self.margin_y_mm
        )

    @property
    def bleed_box(self) -> Box:
        """The smallest box that holds every trim with the bleed that it has."""
        x, y = (max(0.0, min(self.bleed_mm, margin)) for margin in (self.margin_x_mm, self.margin_y_mm))
        return _grown(self.trim_box, x, y)

    def list_short_bleeds(self) -> tuple[Lacking, ...]:
        """Return where there is less room for a bleed than is wanted."""
        found: list[Lacking] = []
        places = (
            (("left", "right"), self.margin_x_mm),
            (("top", "bottom"), self.margin_y_mm),
            (("between",) if self.across > 1 else (), self.gap_x_mm / 2),
            (("between",) if self.down > 1 else (), self.gap_y_mm / 2),
        )
        for edges, room in places:
            if room < self.bleed_mm - TOLERANCE_MM:
                found += [Lacking(MarkName.BLEED, edge, max(0.0, room), self.bleed_mm) for edge in edges]
        return tuple(dict.fromkeys(found))


def _grown(box: Box, x_mm: float, y_mm: float) -> Box:
    return Box(box.left_mm - x_mm, box.top_mm - y_mm, box.width_mm + 2 * x_mm, box.height_mm + 2 * y_mm)


def arrange_pages(
    sheet_mm: Point, leaf_mm: Point, folding: Folding, pairs: int, bleed_mm: float
) -> SheetGrid:
    """Return where the pages lie on a sheet of a given size, the work in its middle.

    The spine folds stand upright. What a sheet is longer or wider than its pages is shared out evenly to every
    trim, and between neighbours no more than twice the bleed, so that the edges of the sheet get the rest. The
    upright folds of an octavo are the exception: there the whole rest is shared out evenly, since only then
    every fold is made edge to edge. Of the ways to arrange several leaf pairs the one is taken that leaves the most
    room at the trim where there is the least; of equals the one with fewer beside each other.

    Args:
        sheet_mm: Width and height of the sheet, mm, as it is printed.
        leaf_mm: Width (spine to fore-edge) and height of a trimmed leaf, mm.
        folding: How often it is folded.
        pairs: Leaf pairs that it is cut into before it is folded; only for FOLIO more than 1.
        bleed_mm: Bleed that is wanted, mm, >= 0.

    Raises:
        DomainError: The sheet is too small ("sheet"; says what would do).

    Source:
        Follows from the folding. No published source.

    Examples:
        >>> grid = arrange_pages((297, 210), (105, 148), Folding.FOLIO, 1, 3)
        >>> grid.margin_x_mm, grid.margin_y_mm, grid.trim(0, 1).left_mm
        (43.5, 31.0, 148.5)
        >>> grid = arrange_pages((297, 420), (105, 148), Folding.FOLIO, 2, 3)
        >>> grid.across, grid.down, grid.gap_y_mm, grid.margin_y_mm
        (1, 2, 6, 59.0)
    """
    width, height = leaf_mm
    ways = _list_ways(folding, pairs)
    fitting = [
        (across, down)
        for across, down in ways
        if sheet_mm[0] >= 2 * across * width - TOLERANCE_MM and sheet_mm[1] >= down * height - TOLERANCE_MM
    ]
    if not fitting:
        raise DomainError(_explain_too_small(sheet_mm, leaf_mm, ways, pairs), "sheet")

    def room(way: tuple[int, int]) -> tuple[float, float]:
        across, down = way
        return (sheet_mm[0] / (2 * across) - width, sheet_mm[1] / (2 * down) - height / 2)

    across, down = max(fitting, key=lambda way: (min(room(way)), -way[0]))
    share_x, share_y = (max(0.0, share) for share in room((across, down)))
    gap_x = 0.0 if across == 1 else 2 * (share_x if folding is Folding.OCTAVO else min(share_x, bleed_mm))
    gap_y = 0.0 if down == 1 else 2 * min(share_y, bleed_mm)
    return SheetGrid(
        *sheet_mm,
        *leaf_mm,
        folding,
        across,
        down,
        margin_x_mm=(sheet_mm[0] - 2 * across * width - (across - 1) * gap_x) / 2,
        margin_y_mm=(sheet_mm[1] - down * height - (down - 1) * gap_y) / 2,
        gap_x_mm=gap_x,
        gap_y_mm=gap_y,
        bleed_mm=bleed_mm,
    )


def _list_ways(folding: Folding, pairs: int) -> list[tuple[int, int]]:
    if folding is Folding.FOLIO:
        return [(across, pairs // across) for across in range(1, pairs + 1) if pairs % across == 0]
    return [(1, 2)] if folding is Folding.QUARTO else [(2, 2)]


def _explain_too_small(sheet_mm: Point, leaf_mm: Point, ways: list[tuple[int, int]], pairs: int) -> str:
    sizes = [(2 * across * leaf_mm[0], down * leaf_mm[1]) for across, down in ways]
    turned = any(
        sheet_mm[1] >= width - TOLERANCE_MM and sheet_mm[0] >= height - TOLERANCE_MM
        for width, height in sizes
    )
    wanted = " or ".join(f"{width:g} x {height:g} mm" for width, height in sizes)
    what = "its pages take" if pairs == 1 else f"{pairs} leaf pairs take"
    return (
        f"the sheet of {sheet_mm[0]:g} x {sheet_mm[1]:g} mm is too small: {what} {wanted} (width x height)"
        + ("; laid the other way it is large enough" if turned else "")
    )


def step_mark(grid: SheetGrid, row: int, pair_column: int, turned: bool, step: int) -> Box:
    """Return the collation mark of a step on a spine fold.

    Args:
        grid: The sheet.
        row, pair_column: The leaf pair, from 0.
        turned: True where its pages lie head down.
        step: From 1, the nearest to the head, to count_steps.

    Source:
        A mark of about 6 by 24 points, each about 24 points lower than the one before: Roberts and Etherington,
        Bookbinding and the Conservation of Books, 1982, "black step". That the first begins one step below the
        head is ours.
    """
    trim = grid.trim(row, 2 * pair_column)
    height = min(STEP_HEIGHT_MM, trim.height_mm)
    below_head = (
        step * STEP_HEIGHT_MM if trim.height_mm >= 3 * STEP_HEIGHT_MM else (trim.height_mm - height) / 2
    )
    top = trim.bottom_mm - below_head - height if turned else trim.top_mm + below_head
    return Box(grid.fold_x_mm(pair_column) - STEP_WIDTH_MM / 2, top, STEP_WIDTH_MM, height)


def count_steps(leaf_height_mm: float) -> int:
    """Return how many steps there are on a spine before they begin at the head again.

    One step is kept clear at the head, and at least one at the tail.

    Examples:
        >>> count_steps(148)
        15
    """
    return max(1, int((leaf_height_mm + TOLERANCE_MM) / STEP_HEIGHT_MM) - 2)
