"""Names that are no notes but may stand where one is asked for: gatherings, stacks, plates, pages.

In: nothing. Out: patterns and an example of each, and what the name of a stack or plate says.
Never: whether the book has it (checks/loose_names.py).
"""

from __future__ import annotations

import re
from collections.abc import Mapping

_NUMBER = "[1-9][0-9]{0,3}"
_STACK = re.compile(rf"stack[- ](?P<number>{_NUMBER})(?:[- ](?P<side>front|back)s?)?", re.IGNORECASE)
_PLATE = re.compile(rf"plate[- ](?P<number>{_NUMBER})", re.IGNORECASE)

#: By what may stand for them. Stacks and plates have the numbers that the program prints beside them.
LOOSE_NAMES: Mapping[str, re.Pattern[str]] = {
    "gathering": re.compile(rf"gathering[- ]{_NUMBER}", re.IGNORECASE),
    "stack": _STACK,
    "plate": _PLATE,
    "page": re.compile(rf"pages?[- ]{_NUMBER}(?:[-–]{_NUMBER})?", re.IGNORECASE),
}
LOOSE_EXAMPLES: Mapping[str, str] = {
    "gathering": "gathering-3",
    "stack": "stack-7",
    "plate": "plate-12",
    "page": "page-12",
}


def read_stack(name: str) -> tuple[int, str] | None:
    """Return the number of a stack, and "front", "back" or "" for both sides; None for any other name.

    Examples:
        >>> read_stack("stack-7-front"), read_stack("stack 7"), read_stack("plate-7")
        ((7, 'front'), (7, ''), None)
    """
    found = _STACK.fullmatch(name)
    return None if found is None else (int(found["number"]), (found["side"] or "").lower())


def read_plate(name: str) -> int | None:
    """Return the number of a plate; None for any other name.

    Examples:
        >>> read_plate("plate-12"), read_plate("stack-7")
        (12, None)
    """
    found = _PLATE.fullmatch(name)
    return None if found is None else int(found["number"])
