"""What is typed after `doublure backs`: sizes, thicknesses, offsets, as numbers.

In: text. Out: numbers in mm. Never: notes, files.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeVar

from doublure.errors import UsageError
from doublure.quantities import QuantityError, parse_length, parse_size

_Value = TypeVar("_Value")


def read_sheet(text: str) -> tuple[float, float]:
    """Return width and height of a sheet, mm.

    Raises:
        UsageError: The text is no size; the message points at what is wrong in it.
    """
    from doublure.notes.packs import NAMED_SIZES

    width, height = parsed("sheet", text, lambda words: parse_size(words, named=NAMED_SIZES))
    return width.value, height.value


def read_caliper(text: str) -> float:
    """Return a thickness of paper, mm.

    Raises:
        UsageError: The text is no length.
    """
    return parsed("caliper", text, lambda words: parse_length(words).value)


def parsed(name: str, text: str, parse: Callable[[str], _Value]) -> _Value:
    """Return what a text of an option means.

    Raises:
        UsageError: It cannot be read; the message names the option and points at what is wrong.
    """
    try:
        return parse(text)
    except QuantityError as error:
        shown = text.replace("\n", " ").replace("\t", " ")
        caret = " " * error.offset + "^" * max(1, error.length)
        raise UsageError(f"{name}: {error.message}\n  {shown}\n  {caret} {error.hint}".rstrip()) from error


def plain_numbers(text: str) -> tuple[float, float] | None:
    """Return two signed numbers in mm, None where the text is anything else."""
    parts = text.replace("−", "-").split()
    try:
        across, down = (float(part.rstrip(",;").replace(",", ".")) for part in parts)
    except ValueError:
        return None
    return (across, down) if math.isfinite(across) and math.isfinite(down) else None
