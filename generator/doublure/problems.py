"""What is wrong with a note, where, and what would be right.

In: spans and words from notes/ and checks/. Out: Problem values and their printed form.
Never: reading files, deciding whether to go on.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import Enum


class Severity(Enum):
    """How bad a problem is: an error stops the build, a warning does not."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A place in a file of the journal.

    Attributes:
        file: Path as the maker knows it, relative to the project, with forward slashes.
        line: From 1; 0 where only the file as a whole can be named.
        column: From 1, in characters; 0 likewise.
        length: Characters to underline, at least 1.
        text: The author's own line, without its line ending; "" where there is none.
    """

    file: str
    line: int = 0
    column: int = 0
    length: int = 1
    text: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with the notes.

    Attributes:
        code: Registered code, such as "Q102"; see problem_codes.py.
        message: The field, what was found, and what is wrong with it.
        span: Where.
        hint: What would be right, shown under the caret; "" where nothing can be said.
        severity: ERROR or WARNING.
        related: Further places that have to do with it, with a word on each.
    """

    code: str
    message: str
    span: Span
    hint: str = ""
    severity: Severity = Severity.ERROR
    related: tuple[tuple[Span, str], ...] = ()

    @property
    def is_error(self) -> bool:
        """True where the build must not go on."""
        return self.severity is Severity.ERROR

    def format(self) -> str:
        """Return the printed form: place, code, message, the author's line and a caret with the hint."""
        place = self.span.file
        if self.span.line:
            place += f":{self.span.line}:{max(1, self.span.column)}"
        lines = [f"{place}: {self.severity.value}[{self.code}] {self.message}"]
        if self.span.line:
            number = str(self.span.line)
            # A tab in the author's line must move the caret exactly as it moves the text.
            lead = "".join("\t" if c == "\t" else " " for c in self.span.text[: max(0, self.span.column - 1)])
            lines.append(f"  {number} | {self.span.text}")
            caret = "^" * max(1, self.span.length)
            lines.append(f"  {' ' * len(number)} | {lead}{caret} {self.hint}".rstrip())
        elif self.hint:
            lines.append(f"    {self.hint}")
        for span, words in self.related:
            lines.append(f"    see {span.file}:{span.line}:{max(1, span.column)}: {words}")
        return "\n".join(lines)


def sort_problems(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return the problems in the order of file, line, column and code, each once."""
    return tuple(sorted(set(problems), key=lambda p: (p.span, p.code, p.message)))


def nearest_name(wanted: str, known: Iterable[str]) -> str | None:
    """Return the known name that is most like the wanted one, or None where none is near.

    Examples:
        >>> nearest_name("captoin", ["caption", "caliper"])
        'caption'
        >>> nearest_name("xyz", ["caption"]) is None
        True
    """
    found = difflib.get_close_matches(wanted, list(known), n=1, cutoff=0.6)
    return found[0] if found else None
