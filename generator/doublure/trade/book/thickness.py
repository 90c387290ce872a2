"""Thickness of a text block: its leaves, and what else lies between them.

In: leaves by stock, calipers, pieces with the area that they cover. Out: BlockThickness. Never: boards.
It is the sum of calipers, as if pressed like the paper when its caliper was measured: an unpressed block is
thicker, and the swell of the thread comes on top at the spine.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.trade.book.limits import check_count, check_measured, check_positive


@dataclass(frozen=True, slots=True)
class ExtraPiece:
    """Something that lies between the leaves: an insert, an envelope, a guard.

    The area is given as it lies in the closed book, folded as it is kept.

    Attributes:
        name: Its identifier.
        stock: Stock of which it is made.
        layers: How many thicknesses of that stock lie on each other: 1 for a flat sheet, 2 folded once.
        from_spine_mm: Distance of its nearer edge from the spine, mm, 0 or more.
        from_head_mm: Distance of its upper edge from the head of the leaf, mm; negative where it sticks out.
        width_mm: Extent away from the spine, mm, > 0.
        height_mm: Extent along the spine, mm, > 0.
    """

    name: str
    stock: str
    layers: int
    from_spine_mm: float
    from_head_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Thickness:
    """Thickness at one place of the block.

    Attributes:
        thickness_mm: Sum of the calipers, mm; its uncertainty is None where that of any caliper is not known.
        layers: Stock and how many layers of it lie there, by the name of the stock.
        without_uncertainty: Stocks there whose caliper came without an uncertainty.
    """

    thickness_mm: Measured
    layers: tuple[tuple[str, int], ...]
    without_uncertainty: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Pile:
    """Where the most lies on each other.

    Attributes:
        thickness: Thickness there, leaves and pieces together.
        pieces: Names of the pieces that lie there; none where no piece adds anything.
        from_spine_mm: Where that area begins, mm from the spine; None where no piece lies there.
        from_head_mm: Where that area begins, mm from the head; None likewise.
        width_mm: Its extent away from the spine, mm; None likewise.
        height_mm: Its extent along the spine, mm; None likewise.
    """

    thickness: Thickness
    pieces: tuple[str, ...] = ()
    from_spine_mm: float | None = None
    from_head_mm: float | None = None
    width_mm: float | None = None
    height_mm: float | None = None


@dataclass(frozen=True, slots=True)
class BlockThickness:
    """Thickness of a text block.

    Attributes:
        leaves: Its leaves alone.
        spine: The thickest place along the spine.
        thickest: The thickest place anywhere.
    """

    leaves: Thickness
    spine: Pile
    thickest: Pile


def compute_block_thickness(
    leaves_by_stock: Mapping[str, int],
    caliper_by_stock_mm: Mapping[str, Measured],
    pieces: Sequence[ExtraPiece] = (),
    spine_strip_mm: float = 3.0,
) -> BlockThickness:
    """Return the thickness of a text block, at the spine and at its thickest place.

    All layers of one stock share one measured caliper, so its uncertainty counts once for each layer, in
    full; those of different stocks are taken as independent.

    Args:
        leaves_by_stock: How many leaves (not pages) are of each stock; each at least 1.
        caliper_by_stock_mm: Thickness of one sheet of each stock, mm, > 0.
        pieces: What lies between the leaves. Pieces add up only where the areas that they cover overlap.
        spine_strip_mm: Width, mm, > 0, of the strip along the spine that counts as the spine: a piece that
            reaches into it adds to the thickness there. Tipped pieces are pasted along about 3 mm.

    Raises:
        DomainError: There are no leaves; a number lies outside its limits; a stock has no caliper.

    Source:
        Leaves times caliper: bulk of a book, common to all handbooks. Paste width 3 mm: Public Works and
        Government Services Canada, Quality Levels for Binding, 3.6. Correlated uncertainties add linearly:
        JCGM 100:2008, 5.2.2, Note 1 (clause from memory).

    Examples:
        >>> block = compute_block_thickness({"laid": 56}, {"laid": Measured(0.11, 0.002)})
        >>> block.leaves.layers, round(block.leaves.thickness_mm.value, 3)
        ((('laid', 56),), 6.16)
    """
    if not leaves_by_stock:
        raise DomainError("text block: there are no leaves", "leaves_by_stock")
    check_positive(spine_strip_mm, "spine_strip_mm", "strip along the spine")
    for stock, leaves in leaves_by_stock.items():
        check_count(leaves, "leaves_by_stock", f"leaves of {stock}")
    for piece in pieces:
        _check_piece(piece)
    for stock in (*leaves_by_stock, *(piece.stock for piece in pieces)):
        if stock not in caliper_by_stock_mm:
            raise DomainError(f"text block: {stock} has no caliper", "caliper_by_stock_mm")
        check_measured(caliper_by_stock_mm[stock], "caliper_by_stock_mm", f"caliper of {stock}")
    bare = Counter(dict(leaves_by_stock))
    at_spine = [piece for piece in pieces if piece.from_spine_mm < spine_strip_mm]
    return BlockThickness(
        leaves=_add_layers(bare, caliper_by_stock_mm),
        spine=_find_pile(bare, caliper_by_stock_mm, at_spine, spine_strip_mm),
        thickest=_find_pile(bare, caliper_by_stock_mm, pieces, math.inf),
    )


def _check_piece(piece: ExtraPiece) -> None:
    check_count(piece.layers, "pieces", f"layers of {piece.name}")
    check_positive(piece.width_mm, "pieces", f"width of {piece.name}")
    check_positive(piece.height_mm, "pieces", f"height of {piece.name}")
    if not math.isfinite(piece.from_spine_mm) or piece.from_spine_mm < 0:
        raise DomainError(
            f"{piece.name}: {piece.from_spine_mm!r} mm from the spine cannot be; 0 or more is right",
            "pieces",
        )
    if not math.isfinite(piece.from_head_mm):
        raise DomainError(f"{piece.name}: {piece.from_head_mm!r} mm from the head cannot be", "pieces")


def _add_layers(layers: Mapping[str, int], calipers_mm: Mapping[str, Measured]) -> Thickness:
    stocks = sorted(layers)
    value = math.fsum(layers[stock] * calipers_mm[stock].value for stock in stocks)
    unknown = tuple(stock for stock in stocks if calipers_mm[stock].u is None)
    u = None if unknown else math.hypot(*(layers[stock] * (calipers_mm[stock].u or 0.0) for stock in stocks))
    return Thickness(Measured(value, u), tuple((stock, layers[stock]) for stock in stocks), unknown)


def _find_pile(
    bare: Counter[str], calipers_mm: Mapping[str, Measured], pieces: Sequence[ExtraPiece], limit_mm: float
) -> Pile:
    """Return the area, up to a distance from the spine, on which pieces lie the thickest.

    A line is moved away from the spine from edge to edge; beside it stands what lies on each stretch between
    two neighbouring edges along the spine. Nothing begins or ends within such a field, so nothing is missed.
    """
    areas = [
        (
            p.from_spine_mm,
            min(p.from_spine_mm + p.width_mm, limit_mm),
            p.from_head_mm,
            p.from_head_mm + p.height_mm,
        )
        for p in pieces
    ]
    added_mm = [p.layers * calipers_mm[p.stock].value for p in pieces]
    tops = sorted({y for area in areas for y in area[2:]})
    row = {y: number for number, y in enumerate(tops)}
    piled_mm = [0.0] * (len(tops) - 1)
    begins: defaultdict[float, list[int]] = defaultdict(list)
    ends: defaultdict[float, list[int]] = defaultdict(list)
    for number, (near, far, _, _) in enumerate(areas):
        begins[near].append(number)
        ends[far].append(number)
    highest_mm = 0.0
    field: tuple[float, float, float, float] | None = None
    for near, far in pairwise(sorted({*begins, *ends})):
        for numbers, sign in ((ends[near], -1), (begins[near], 1)):
            for number in numbers:
                for y in range(row[areas[number][2]], row[areas[number][3]]):
                    piled_mm[y] += sign * added_mm[number]
        # A difference this small is rounding: of equal piles the one nearest to spine and head is named.
        if begins[near] and max(piled_mm) > highest_mm + 1e-9:
            highest_mm = max(piled_mm)
            y = next(y for y, mm in enumerate(piled_mm) if mm > highest_mm - 1e-9)
            field = near, far, tops[y], tops[y + 1]
    if field is None:
        return Pile(_add_layers(bare, calipers_mm))
    near, far, top, foot = field
    layers, names = bare.copy(), []
    for piece, area in zip(pieces, areas, strict=True):
        if area[0] <= near and far <= area[1] and area[2] <= top and foot <= area[3]:
            layers[piece.stock] += piece.layers
            names.append(piece.name)
    return Pile(_add_layers(layers, calipers_mm), tuple(names), near, top, far - near, foot - top)
