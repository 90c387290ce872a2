"""Prints the plates of a plan, cuts, folds and binds them on the bench of sheet_folder.py.

In: a PressPlan. Out: what is read on every page of the bound book. Never: sums of imposition; where a page goes is
found by folding alone.
"""

from __future__ import annotations

from collections.abc import Iterator

from doublure.trade.press.records import Box, Folding, Pairing, PressPlan, PressPlate
from sheet_folder import Piece, Printed, Read, Rect, bind_gathering, cut_out, lay_down, read_gathering

FOLDS = {Folding.FOLIO: 1, Folding.QUARTO: 2, Folding.OCTAVO: 3}


def rect_of(box: Box) -> Rect:
    """Return a box as a rectangle."""
    return Rect(box.left_mm, box.top_mm, box.right_mm, box.bottom_mm)


def printed_of(plate: PressPlate) -> Iterator[Printed]:
    """Yield trim, artwork and clip of every page of a plate, blanks included."""
    for page in plate.pages:
        for role, box in (("trim", page.trim), ("artwork", page.artwork), ("clip", page.clip)):
            yield Printed((role, page.master), rect_of(box), page.turned)


def print_sheet(plan: PressPlan, front: int, back: int, sheet: int) -> Piece:
    """Return a sheet printed with two plates."""
    layout = plan.layout
    return lay_down(
        sheet,
        layout.sheet_width_mm,
        layout.sheet_height_mm,
        printed_of(plan.plate(front)),
        printed_of(plan.plate(back)),
    )


def take_sheets(plan: PressPlan, pairing: Pairing, copy: int = 0) -> dict[tuple[int, int], Piece]:
    """Return the folded sheets of one copy of the book, cut where a sheet carries several leaf pairs.

    Args:
        plan: The plan.
        pairing: What a sheet with several leaf pairs carries.
        copy: Of which of its places each leaf pair is taken, from 0, where it has several.
    """
    found: dict[tuple[int, int], Piece] = {}
    pairs = plan.layout.pairs
    for stack in plan.stacks:
        step = pairs if pairing is Pairing.IN_TURN else 1
        for start in range(0, len(stack.sheets), step):
            gives = stack.sheets[start : start + step]
            for number, place in enumerate(gives):
                piece = print_sheet(plan, stack.front, stack.back, place[1])
                if pairs > 1:
                    times = pairs // len(gives)
                    unit = number + copy % times * len(gives)
                    piece = cut_unit(plan, piece, unit)
                assert place not in found, f"{place} comes twice"
                found[place] = piece
    return found


def cut_unit(plan: PressPlan, piece: Piece, unit: int) -> Piece:
    """Cut a leaf pair out of a sheet along its trims."""
    pages = plan.plates[0].pages[2 * unit : 2 * unit + 2]
    left, right = (rect_of(page.trim) for page in pages)
    (cut,) = cut_out([piece], Rect(left.left, left.top, right.right, right.bottom))
    return cut


def bind_plan(
    plan: PressPlan, rtl: bool, pairing: Pairing = Pairing.ALIKE, copy: int = 0
) -> list[dict[str, Read]]:
    """Return what is read on every page of one copy: trim, artwork and clip, by role."""
    sheets = take_sheets(plan, pairing, copy)
    pages: list[dict[str, Read]] = []
    for gathering in sorted({gathering for gathering, _ in sheets}):
        own = [sheets[place] for place in sorted(sheets) if place[0] == gathering]
        bound = bind_gathering(own, FOLDS[plan.layout.folding], rtl)
        for found in read_gathering(bound):
            pages.append({read.what[0]: read for read in found})
            assert len(found) == 3, f"page {len(pages)}: {len(found)} things printed"
    return pages
