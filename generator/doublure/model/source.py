"""The text of a note before it is decoded, and what the disk had to say about a file that could not be read.

In: what store/ found. Out: SourceText, FileFault. Never: reading files.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SourceText:
    """One note as text.

    Attributes:
        file: Path relative to the project, forward slashes, such as "journal/inserts/tide-pass.md".
        path: Path relative to the journal folder, such as "inserts/tide-pass.md".
        text: The whole text, decoded from UTF-8, line endings as "\\n".
    """

    file: str
    path: str
    text: str


@dataclass(frozen=True, slots=True)
class FileFault:
    """A file that could not be used.

    Attributes:
        file: As in SourceText.file for a note; relative to the journal folder for a picture.
        reason: "encoding", "missing", "outside", "unreadable", "not a picture", "too large", "too long"
            or "other ending".
        detail: A few words for the maker, such as "byte 0xe4 in line 3" or "20000 x 20000 pixels".
        line: Line of the fault where known, else 0.
        column: Column of the fault where known, else 0.
    """

    file: str
    reason: str
    detail: str = ""
    line: int = 0
    column: int = 0
