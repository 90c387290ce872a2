"""What numbers the sums of the book accept, checked in one place.

In: arguments of the other modules. Out: the same values, or a DomainError that says what would be right.
Never: a formula.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from doublure.errors import DomainError
from doublure.measured import Measured

MAX_PAGES = 5000
"""A book of more pages is refused: it can only be a slip of the pen, such as a repeat of a repeat."""


def check_count(value: int, argument: str, what: str, most: int | None = None, least: int = 1) -> int:
    """Return a whole number that lies within its limits.

    Args:
        value: The number.
        argument: Name of the argument, for the error.
        what: What is counted, in the maker's words, such as "pages".
        most: Largest allowed; None for no limit.
        least: Smallest allowed.

    Raises:
        DomainError: The value is not a whole number, or lies outside the limits.
    """
    if isinstance(value, bool) or not isinstance(value, int):
        raise DomainError(f"{what}: a whole number is wanted, not {value!r}", argument)
    if value < least:
        raise DomainError(f"{what}: {value} is too few; at least {least} is needed", argument)
    if most is not None and value > most:
        raise DomainError(f"{what}: {value} is too many; at most {most} can be worked out", argument)
    return value


def check_gatherings(sheets_in_gatherings: Sequence[int]) -> tuple[int, ...]:
    """Return the numbers of sheets of each gathering, as a tuple.

    Args:
        sheets_in_gatherings: Folded sheets in each gathering, the first gathering first.

    Raises:
        DomainError: There is no gathering, one has less than one sheet, or all hold more than MAX_PAGES.
    """
    gatherings = tuple(sheets_in_gatherings)
    if not gatherings:
        raise DomainError("gatherings: there must be at least one", "sheets_in_gatherings")
    for number, sheets in enumerate(gatherings, 1):
        check_count(sheets, "sheets_in_gatherings", f"sheets in gathering {number}")
    held = 4 * sum(gatherings)
    if held > MAX_PAGES:
        raise DomainError(
            f"gatherings: they hold {held} pages; at most {MAX_PAGES} can be worked out",
            "sheets_in_gatherings",
        )
    return gatherings


def check_positive(value: float, argument: str, what: str) -> float:
    """Return a finite number greater than zero.

    Raises:
        DomainError: The value is zero, negative, infinite or not a number.
    """
    if not math.isfinite(value) or value <= 0:
        raise DomainError(f"{what}: {value!r} cannot be; it must be greater than 0", argument)
    return value


def check_measured(quantity: Measured, argument: str, what: str) -> Measured:
    """Return a measured quantity that is greater than zero, its uncertainty, if stated, not negative.

    Raises:
        DomainError: The value is not finite and positive, or the uncertainty is negative or not finite.
    """
    check_positive(quantity.value, argument, what)
    if quantity.u is not None and (not math.isfinite(quantity.u) or quantity.u < 0):
        raise DomainError(f"{what}: an uncertainty of {quantity.u!r} cannot be; 0 or more is right", argument)
    return quantity
