"""The exceptions of doublure. What an author wrote wrongly is never an exception but a Problem (problems.py).

    DoublureError
    ├── DomainError      a sum of the trade was asked for something it has no answer to
    ├── JournalRejected  the notes hold errors; carries every Problem
    └── UsageError       a command was given something that it cannot use (exit status 1)

In: nothing. Out: exception classes. Never: printing, exit codes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from doublure.problems import Problem


class DoublureError(Exception):
    """Base of everything raised on purpose."""


class DomainError(DoublureError):
    """An argument lies outside what the formula is defined for.

    Attributes:
        argument: Name of the offending argument, or "" where several share the blame.
        message: What is wrong and what would be right, in words for the maker.
    """

    def __init__(self, message: str, argument: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.argument = argument


class JournalRejected(DoublureError):
    """The notes hold at least one error; nothing was written.

    Attributes:
        problems: Every problem found, in the order of file, line and column.
    """

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        count = sum(p.is_error for p in problems)
        super().__init__(f"{count} error{'' if count == 1 else 's'} in the notes")
        self.problems = problems


class UsageError(DoublureError):
    """What the user gave a command cannot be used; the message says what would be right."""
