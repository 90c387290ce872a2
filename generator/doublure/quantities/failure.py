"""The error that says which part of a text is no quantity, and what would be right.

In: words and a place within the text. Out: QuantityError.
Never: files and lines (whoever holds the note turns the offset into a place in a file).
"""

from __future__ import annotations

from doublure.errors import DoublureError


class QuantityError(DoublureError):
    """A text cannot be read as the quantity that is wanted.

    Attributes:
        message: What is wrong, quoting the offending part.
        hint: What would be right, such as "write a length, such as 0.11 mm".
        offset: Where the offending part begins in the text, in characters from 0.
        length: How many characters it has, at least 1.
    """

    def __init__(self, message: str, hint: str = "", offset: int = 0, length: int = 1) -> None:
        super().__init__(f"{message}; {hint}" if hint else message)
        self.message = message
        self.hint = hint
        self.offset = offset
        self.length = max(1, length)

    def moved(self, by: int) -> QuantityError:
        """Return the same error for a text that begins `by` characters earlier."""
        return QuantityError(self.message, self.hint, self.offset + by, self.length)
