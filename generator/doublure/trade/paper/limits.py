"""What every sum about paper asks of its arguments.

In: a number and the name of its argument. Out: nothing, or DomainError in the maker's words.
Never: what is usual (only what has no answer at all).
"""

from __future__ import annotations

import math

from doublure.errors import DomainError


def check_positive(value: float, argument: str) -> None:
    """Refuse a number that is not finite and above zero.

    Raises:
        DomainError: It is not.
    """
    if not (math.isfinite(value) and value > 0):
        raise DomainError(f"{argument} must be more than zero, not {value:g}", argument)


def check_not_negative(value: float, argument: str) -> None:
    """Refuse a number that is not finite or below zero.

    Raises:
        DomainError: It is.
    """
    if not (math.isfinite(value) and value >= 0):
        raise DomainError(f"{argument} must not be negative, not {value:g}", argument)


def check_sheets(sheets: int) -> None:
    """Refuse a stack of no sheets.

    Raises:
        DomainError: There is none.
    """
    if sheets < 1:
        raise DomainError(f"there must be at least one sheet, not {sheets}", "sheets")


def check_folds(folds: int, argument: str) -> None:
    """Refuse to fold a sheet less than never or more than eight times.

    Raises:
        DomainError: The number of folds is out of range.
    """
    if not 0 <= folds <= 8:
        raise DomainError(f"a sheet folds 0 to 8 times, not {folds}", argument)
