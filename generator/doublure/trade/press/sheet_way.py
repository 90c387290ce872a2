"""Which way a sheet is printed: as it is given, or turned a quarter, so that pages fit or the fold follows the grain.

In: sizes of sheet and leaf, folding, grain. Out: WayChoice. Never: masters, stacks, display text.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from doublure.errors import DomainError
from doublure.trade.press.folding import describe_folding
from doublure.trade.press.layout import arrange_pages
from doublure.trade.press.marks import lay_out_sheet
from doublure.trade.press.records import Folding, Lacking, Point


class WayReason(Enum):
    """Why a sheet lies as it does.

    Attributes:
        AS_GIVEN: Nothing speaks for turning it, or neither way fits.
        ROOM: Turned, since its pages fit only so.
        GRAIN: Turned, so that the spine fold runs with the grain; marks and bleed lose nothing.
        KEPT: As given, although the spine fold would run with the grain if it were turned: marks or bleed would
            find less room.
    """

    AS_GIVEN = "as given"
    ROOM = "room"
    GRAIN = "grain"
    KEPT = "kept"

    @property
    def is_turned(self) -> bool:
        """True where the sheet is printed turned a quarter."""
        return self in (WayReason.ROOM, WayReason.GRAIN)


@dataclass(frozen=True, slots=True)
class WayChoice:
    """The way that a sheet is printed.

    Attributes:
        reason: Why.
        costs: With KEPT, what would find no room, or less of it, if the sheet were turned.
    """

    reason: WayReason
    costs: tuple[Lacking, ...] = ()


def choose_way(
    sheet_mm: Point, leaf_mm: Point, folding: Folding, pairs: int, bleed_mm: float, grain_along: str
) -> WayChoice:
    """Return which way a sheet is printed.

    It stays as given unless its pages fit only the other way, or the spine fold runs with the grain only the other
    way and no more marks and bleeds lack room there than as given.

    Args:
        sheet_mm: Width and height as given, mm.
        leaf_mm: Width and height of a trimmed leaf, mm.
        folding: How often it is folded.
        pairs: Leaf pairs that it is cut into before.
        bleed_mm: Bleed that is wanted, mm, >= 0.
        grain_along: Grain of the sheet as given: "width", "height", or "" where it is open.

    Source:
        Our own rule. The fold with the grain: common practice, no published source.

    Examples:
        >>> choose_way((210, 297), (120, 148), Folding.FOLIO, 1, 3, "").reason.value
        'room'
        >>> choose_way((297, 420), (105, 148), Folding.FOLIO, 2, 3, "width").reason.value
        'kept'
    """
    given = _find_lacking(sheet_mm, leaf_mm, folding, pairs, bleed_mm)
    turned = _find_lacking((sheet_mm[1], sheet_mm[0]), leaf_mm, folding, pairs, bleed_mm)
    if turned is None:
        return WayChoice(WayReason.AS_GIVEN)
    if given is None:
        return WayChoice(WayReason.ROOM)
    # The spine folds stand upright on the sheet whichever way it is read.
    along = describe_folding(folding, False).grain_along
    if not grain_along or grain_along == along:
        return WayChoice(WayReason.AS_GIVEN)
    if len(turned) > len(given):
        return WayChoice(WayReason.KEPT, turned)
    return WayChoice(WayReason.GRAIN)


def _find_lacking(
    sheet_mm: Point, leaf_mm: Point, folding: Folding, pairs: int, bleed_mm: float
) -> tuple[Lacking, ...] | None:
    """Return what finds no room, None where the pages themselves do not."""
    try:
        grid = arrange_pages(sheet_mm, leaf_mm, folding, pairs, bleed_mm)
    except DomainError:
        return None
    return lay_out_sheet(grid, pairs, None).lacking
