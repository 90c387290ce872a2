"""Names that are no notes but may stand where one is asked for: gatherings, stacks, plates, pages.

In: nothing. Out: patterns and an example of each, and what the name of a stack or plate says.
Never: whether the book has it (checks/loose_names.py).
"""

from __future__ import annotations

import re
from collections.abc import Mapping

_NUMBER = "[1-9][0-9]{0,3}"
_STACK = re.compile(
    rf"stacks?[- ](?P<first>{_NUMBER})(?:[-–](?P<last>{_NUMBER}))?(?:[- ](?P<side>front|back)s?)?", re.IGNORECASE
)
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


def read_stacks(name: str) -> tuple[range, str] | None:
    """Return the numbers of the stacks that a name stands for, and "front", "back" or "" for both sides; None for
    any other name.

    Examples:
        >>> read_stacks("stack-7-front"), read_stacks("stacks 7-9"), read_stacks("plate-7")
        ((range(7, 8), 'front'), (range(7, 10), ''), None)
    """
    found = _STACK.fullmatch(name)
    if found is None:
        return None
    first, last = sorted((int(found["first"]), int(found["last"] or found["first"])))
    return range(first, last + 1), (found["side"] or "").lower()


def read_plate(name: str) -> int | None:
    """Return the number of a plate; None for any other name.

    Examples:
        >>> read_plate("plate-12"), read_plate("stack-12")
        (12, None)
    """
    found = _PLATE.fullmatch(name)
    return None if found is None else int(found["number"])
