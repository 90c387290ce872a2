"""What is printed beside the pages of a plate, and what its page of a print file is called.

In: the workings of the press. Out: words. Never: where they stand (render/pdf), computing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from doublure.quantities import format_offset, format_turn
from doublure.trade.book.gatherings import Side
from doublure.trade.press.records import PressPlace, PressPlate, PressStack
from doublure.trade.press.register.parts import split_map
from doublure.trade.press.register.records import MapParts
from doublure.workings.press_records import RegisterWorking


def list_numbers(numbers: Iterable[int]) -> str:
    """Return numbers in order, those that follow each other as a range.

    Examples:
        >>> list_numbers([1, 2, 3, 5, 9, 8])
        '1–3, 5, 8–9'
    """
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(first) if first == last else f"{first}–{last}" for first, last in runs)


def list_places(places: Sequence[PressPlace]) -> str:
    """Return every place that a plate serves, as short as it can be said.

    Examples:
        >>> list_places([PressPlace(g, 1, Side.FRONT) for g in (1, 2, 3)] + [PressPlace(2, 4, Side.BACK)])
        'fronts of sheet 1 in gatherings 1–3; back of sheet 4 in gathering 2'
    """
    gatherings: dict[tuple[Side, int], list[int]] = {}
    for place in places:
        gatherings.setdefault((place.side, place.sheet), []).append(place.gathering)
    sheets: dict[tuple[Side, tuple[int, ...]], list[int]] = {}
    for (side, sheet), found in gatherings.items():
        sheets.setdefault((side, tuple(found)), []).append(sheet)
    parts = []
    for (side, within), numbers in sheets.items():
        many = "s" if len(numbers) * len(within) > 1 else ""
        parts.append(f"{side.value}{many} of {_counted('sheet', numbers)} in {_counted('gathering', within)}")
    return "; ".join(parts)


def label_plate(plate: PressPlate, stack: PressStack, side: Side) -> str:
    """Return the label of a page of a print file: stack, side, plate, every place that the plate serves."""
    return f"Stack {stack.number}, {side.value}. Plate {plate.number}: {list_places(plate.places)}"


def label_page(stack: PressStack, side: Side) -> str:
    """Return what a page of a print file is called.

    Examples:
        >>> label_page(PressStack(7, 1, 2, ((1, 1),), 1.0), Side.BACK)
        'stack 7 back'
    """
    return f"stack {stack.number} {side.value}"


def say_correction(register: RegisterWorking | None) -> str:
    """Return by how much the backs are moved, seen from the front, for their labels; that nothing was read, where
    it was not.
    """
    if register is None or register.correction_parts is None:
        return "Back not corrected: no register readings"
    moves = _list_moves(register.correction_parts)
    return (
        f"Back {', '.join(moves)}, seen from the front"
        if moves
        else "Back not moved: it lies on the front as read"
    )


def say_seat_correction(register: RegisterWorking) -> tuple[str, ...]:
    """Return by how much both sides are moved, seen from the front, for the labels of both; () where they are not."""
    moves = _list_moves(split_map(register.front_correction))
    return (f"Front and back alike {', '.join(moves)}, seen from the front",) if moves else ()


def _list_moves(parts: MapParts) -> list[str]:
    """Return what a map does, part by part, without the parts that are nothing as far as they are printed."""
    ways = format_offset(parts.shift_x_mm, parts.shift_y_mm).split(", ")
    moves = [way for way in ways if not way.startswith("0 ")]
    if moves:
        moves[0] = f"moved {moves[0]}"
    scales = [f"{scale:.5f}" for scale in (parts.scale_x, parts.scale_y)]
    turned, sheared = (format_turn(angle) for angle in (parts.rotation_rad, parts.shear_rad))
    if not turned.startswith("0°"):
        moves.append(f"turned {turned}")
    if scales != ["1.00000"] * 2:
        moves.append(f"{' × '.join(scales)} in size")
    if not sheared.startswith("0°"):
        moves.append(f"sheared {sheared}")
    return moves


def _counted(noun: str, numbers: Sequence[int]) -> str:
    return f"{noun}{'s' if len(set(numbers)) > 1 else ''} {list_numbers(numbers)}"
