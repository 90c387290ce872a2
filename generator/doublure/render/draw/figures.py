"""Lengths as words beside a drawing: how many decimals, which unit.

In: mm. Out: short texts. Never: parsing, tables (table.py prints those).
"""

from __future__ import annotations

MM_PER_INCH = 25.4


def plain(value: float, decimals: int = 1) -> str:
    """Return a number with at most so many decimals, without needless zeros.

    Examples:
        >>> plain(64.0), plain(63.46), plain(-0.01), plain(0.115, 2)
        ('64', '63.5', '0', '0.12')
    """
    # A hair is added so that a half, which binary floats may hold just below, is rounded away from zero.
    text = f"{value + (1e-9 if value >= 0 else -1e-9):.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text.replace("-", "−")


def mm_words(value_mm: float, decimals: int = 1) -> str:
    """Return a length such as "63.5 mm"."""
    return f"{plain(value_mm, decimals)} mm"


def inch_words(value_mm: float) -> str:
    """Return a length in inches with two decimals.

    Examples:
        >>> inch_words(63.5)
        '2.50 in'
    """
    return f"{value_mm / MM_PER_INCH:.2f} in"


def size_words(width_mm: float | None, height_mm: float | None) -> str:
    """Return a size such as "64 × 121 mm"; "size open" where neither side is known.

    Examples:
        >>> size_words(64, 121), size_words(64, None), size_words(None, None)
        ('64 × 121 mm', '64 × ? mm', 'size open')
    """
    if width_mm is None and height_mm is None:
        return "size open"
    sides = ("?" if side is None else plain(side) for side in (width_mm, height_mm))
    return f"{' × '.join(sides)} mm"


def counted(count: int, one: str, many: str = "") -> str:
    """Return a count with its noun.

    Examples:
        >>> counted(1, "witness", "witnesses"), counted(3, "stem")
        ('1 witness', '3 stems')
    """
    return f"{count} {one if count == 1 else many or one + 's'}"
