"""The text of one note, and the way from an offset in it to a line and a column.

In: text without private passages (frontmatter.py), offsets in characters. Out: spans, problems.
Never: the text of a private passage, not even in the line that a problem quotes.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from doublure.problem_codes import CODES
from doublure.problems import Problem, Span

#: Stands for each character of a private passage, so that columns stay. A noncharacter of Unicode, which no
#: text has a use for.
FILLER = "\ufdd0"
#: What the maker sees in the place of a private passage where a problem quotes the line.
_SHOWN = "·"
#: Lines longer than this are quoted in part.
_LONGEST_QUOTE = 400


@dataclass(frozen=True, slots=True)
class Manuscript:
    """The text of a note as problems may quote it.

    Attributes:
        file: Path relative to the project.
        text: The whole text, private passages replaced by FILLER, line by line as in the file.
    """

    file: str
    text: str

    def span(self, start: int, end: int) -> Span:
        """Return the span of text[start:end]; what goes beyond the line's end is cut off."""
        text = self.text
        start = min(max(start, 0), len(text))
        begin = text.rfind("\n", 0, start) + 1
        finish = text.find("\n", start)
        finish = len(text) if finish < 0 else finish
        line = text.count("\n", 0, start) + 1
        length = max(1, min(end, finish) - start)
        if finish - begin > _LONGEST_QUOTE:
            finish = max(min(finish, begin + _LONGEST_QUOTE), min(finish, start + length))
        quoted = text[begin:finish].replace(FILLER, _SHOWN)
        return Span(self.file, line, start - begin + 1, length, quoted)

    def without(self, ranges: list[tuple[int, int]]) -> Manuscript:
        """Return the same text with further passages made private."""
        text = self.text
        for start, end in ranges:
            hidden = "".join(c if c.isspace() else FILLER for c in text[start:end])
            text = text[:start] + hidden + text[end:]
        return Manuscript(self.file, text)


def drop_filler(text: str) -> str:
    """Return a value without the fillers of private passages and the spaces that these leave behind."""
    if FILLER not in text:
        return text
    lines = []
    for line in text.split("\n"):
        if FILLER not in line:
            lines.append(line)
            continue
        kept = _close_up(line)
        if kept.strip():
            lines.append(kept)
    return "\n".join(lines)


def _close_up(line: str) -> str:
    """Take the fillers out of one line; of two spaces left beside each other keep one."""
    parts = [part for part in line.split(FILLER) if part]
    kept = ""
    for part in parts:
        kept += part.lstrip(" \t") if kept.strip() and kept[-1] in " \t" else part
    return kept.rstrip(" \t")


@dataclass(slots=True)
class Findings:
    """Collects the problems of one note.

    Attributes:
        manuscript: The note.
        problems: What was found so far.
    """

    manuscript: Manuscript
    problems: list[Problem] = field(default_factory=list)

    def add(
        self,
        code: str,
        message: str,
        start: int,
        end: int,
        hint: str = "",
        related: tuple[tuple[Span, str], ...] = (),
    ) -> None:
        """Add a problem at text[start:end]."""
        span = self.manuscript.span(start, end)
        self.problems.append(Problem(code, message, span, hint, CODES[code].severity, related))
