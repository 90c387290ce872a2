"""Problems with the severity that their code is registered with, and figures as messages show them.

In: code, words, span; numbers. Out: Problem; text. Never: checking.
"""

from __future__ import annotations

from doublure.measured import Measured
from doublure.model.parts import SizeMm
from doublure.problem_codes import CODES
from doublure.problems import Problem, Span


def find(
    code: str, message: str, span: Span, hint: str = "", related: tuple[tuple[Span, str], ...] = ()
) -> Problem:
    """Return a problem of a registered code."""
    return Problem(code, message, span, hint, CODES[code].severity, related)


def show_mm(value_mm: float) -> str:
    """Return a length for a message: "64 mm", "0.11 mm"."""
    return f"{_plain(value_mm)} mm"


def show_size(size: SizeMm) -> str:
    """Return a size for a message: "64 x 121 mm"."""
    return f"{_plain(size.width_mm.value)} x {_plain(size.height_mm.value)} mm"


def _plain(value: float) -> str:
    """Return four figures of a number, written out and without powers of ten."""
    return f"{value:.4g}" if 1e-4 <= abs(value) < 9999.5 or value == 0 else f"{value:.6f}".rstrip("0").rstrip(".")


def least(quantity: Measured) -> float:
    """Return the least that a quantity may well be: two standard uncertainties below its value."""
    return quantity.value - 2 * (quantity.u or 0.0)


def most(quantity: Measured) -> float:
    """Return the most that a quantity may well be: two standard uncertainties above its value."""
    return quantity.value + 2 * (quantity.u or 0.0)
