"""Plates and stacks: what must be printed, and how often, so that a book's sheets come out.

In: an imposition and the master of each page. Out: PlatePlan, PlateCounts. Never: copies, press order.
A plate is one side of one imposed sheet: the masters of its two pages and a creep step. Sheets that carry the
same two plates make one stack.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Side
from doublure.trade.book.imposition import ImposedSheet, Imposition


@dataclass(frozen=True, slots=True)
class Plate:
    """One side of an imposed sheet, ready to print.

    Attributes:
        left: Master at the left; None for a blank.
        right: Master at the right; None for a blank.
        creep_step: How many sheets of its gathering lie outside the sheet; 0 for the outermost, where creep
            is off, and for a blank plate, on which there is nothing to shift.
    """

    left: str | None
    right: str | None
    creep_step: int

    @property
    def is_blank(self) -> bool:
        """True where neither half carries a master, so that nothing is printed."""
        return self.left is None and self.right is None


@dataclass(frozen=True, slots=True)
class PlatePlace:
    """One side of one sheet of the book.

    Attributes:
        gathering: From 1, in sewing order.
        sheet: From 1, the outermost of its gathering.
        side: Side of the sheet.
    """

    gathering: int
    sheet: int
    side: Side


@dataclass(frozen=True, slots=True)
class PlateUse:
    """A plate with every place that it serves.

    Attributes:
        plate: The plate.
        places: Where it is printed, in sewing order, fronts before backs.
    """

    plate: Plate
    places: tuple[PlatePlace, ...]

    @property
    def prints(self) -> int:
        """How often it is printed for one copy of the book."""
        return len(self.places)


@dataclass(frozen=True, slots=True)
class Stack:
    """Sheets that are printed alike on both sides.

    Attributes:
        front: Plate of the front.
        back: Plate of the back.
        sheets: Gathering and sheet of each, in sewing order.
    """

    front: Plate
    back: Plate
    sheets: tuple[tuple[int, int], ...]

    @property
    def count(self) -> int:
        """How many such sheets one copy of the book takes."""
        return len(self.sheets)


@dataclass(frozen=True, slots=True)
class PlatePlan:
    """Everything that is printed for one copy of a book.

    Attributes:
        creep: True where plates of different creep steps are told apart.
        plates: The distinct plates in the order of their first place, a blank one included.
        stacks: The distinct sheets in the order of their first place.
    """

    creep: bool
    plates: tuple[PlateUse, ...]
    stacks: tuple[Stack, ...]

    @property
    def printed_plates(self) -> tuple[PlateUse, ...]:
        """The plates that print something."""
        return tuple(use for use in self.plates if not use.plate.is_blank)


@dataclass(frozen=True, slots=True)
class PlateCounts:
    """How many plates and stacks a book takes, without creep and with it.

    Attributes:
        plates: Distinct plates that print something, creep off.
        stacks: Distinct sheets, creep off.
        plates_with_creep: Distinct plates that print something, creep on.
        stacks_with_creep: Distinct sheets, creep on.
    """

    plates: int
    stacks: int
    plates_with_creep: int
    stacks_with_creep: int


def plan_plates(
    imposition: Imposition,
    masters: Mapping[int, str | None],
    creep: bool,
    steps: Mapping[int, int] | None = None,
) -> PlatePlan:
    """Return the distinct plates and stacks of an imposed book.

    Args:
        imposition: The book.
        masters: For each page number of the imposition its master, or None where the page is blank. Further
            pages (on tipped leaves) may be among them.
        creep: True where each sheet's artwork is shifted by its place in the gathering, so that the same two
            masters on an outer and on an inner sheet need two plates.

    Raises:
        DomainError: A page of the imposition has no entry among the masters.

    Examples:
        >>> from doublure.trade.book.imposition import lay_pages
        >>> plan = plan_plates(lay_pages(16, 2), {page: "ruled" for page in range(1, 17)}, creep=True)
        >>> [(use.plate.creep_step, use.prints) for use in plan.plates], [s.count for s in plan.stacks]
        ([(0, 4), (1, 4)], [2, 2])
    """

    def master_of(page: int | None) -> str | None:
        if page is None:
            return None
        if page not in masters:
            raise DomainError(f"page {page} has neither a master nor a blank", "masters")
        return masters[page]

    def plate_of(sheet: ImposedSheet, side: Side) -> Plate:
        left, right = (master_of(page) for page in sheet.side(side))
        is_blank = left is None and right is None
        return Plate(left, right, step_of(sheet.sheet) if creep and not is_blank else 0)

    def step_of(sheet: int) -> int:
        if steps is None:
            return sheet - 1
        if sheet not in steps:
            raise DomainError(f"sheet {sheet} of a gathering has no creep step", "steps")
        return steps[sheet]

    places: dict[Plate, list[PlatePlace]] = {}
    stacks: dict[tuple[Plate, Plate], list[tuple[int, int]]] = {}
    for sheet in imposition.sheets:
        plates = {side: plate_of(sheet, side) for side in (Side.FRONT, Side.BACK)}
        for side, plate in plates.items():
            places.setdefault(plate, []).append(PlatePlace(sheet.gathering, sheet.sheet, side))
        pair = plates[Side.FRONT], plates[Side.BACK]
        stacks.setdefault(pair, []).append((sheet.gathering, sheet.sheet))
    return PlatePlan(
        creep=creep,
        plates=tuple(PlateUse(plate, tuple(used)) for plate, used in places.items()),
        stacks=tuple(Stack(front, back, tuple(used)) for (front, back), used in stacks.items()),
    )


def count_plates(
    imposition: Imposition, masters: Mapping[int, str | None], steps: Mapping[int, int] | None = None
) -> PlateCounts:
    """Return how many plates and stacks a book takes, without creep and with it.

    Args:
        imposition: The book.
        masters, steps: As plan_plates.

    Raises:
        DomainError: As plan_plates.
    """
    off, on = (plan_plates(imposition, masters, creep, steps) for creep in (False, True))
    return PlateCounts(len(off.printed_plates), len(off.stacks), len(on.printed_plates), len(on.stacks))
