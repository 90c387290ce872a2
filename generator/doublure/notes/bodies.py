"""Pictures and links in the Markdown of a note, as far as they must lead to something of the journal.

In: the text of a note. Out: BodyTarget values with their places. Never: converting Markdown.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator
from dataclasses import dataclass

#: What is shown as it stands: fenced blocks and code within a line.
_CODE = re.compile(
    r"^(?P<fence>`{3,}|~{3,}).*?^(?P=fence)[ \t]*$|(?P<tick>`+)[^\n]+?(?P=tick)", re.MULTILINE | re.DOTALL
)
_MARKDOWN = re.compile(r"(?P<picture>!?)\[[^\]\n]*\]\(\s*<?(?P<target>[^)\s>]+)>?[^)\n]*\)")
_REFERENCE = re.compile(r"^ {0,3}\[[^\]\n]+\]:\s*<?(?P<target>[^\s>]+)", re.MULTILINE)
_TAG = re.compile(
    r"<(?P<tag>[a-z]+)\b[^>]*?\b(?P<name>src|srcset|href|poster|data)\s*=\s*[\"']?(?P<target>[^\"'\s>]+)",
    re.IGNORECASE,
)
_SCHEME = re.compile(r"[a-z][a-z0-9+.-]*:", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class BodyTarget:
    """What a picture or a link in a body leads to.

    Attributes:
        target: As written.
        is_picture: True for what a page would load, False for what a reader would follow.
        start, end: Where the target stands in the text.
    """

    target: str
    is_picture: bool
    start: int
    end: int

    @property
    def is_elsewhere(self) -> bool:
        """True where it names a scheme or another host."""
        return bool(_SCHEME.match(self.target)) or self.target.startswith(("//", "\\\\", "/\\"))


def find_body_targets(text: str, start: int) -> Iterator[BodyTarget]:
    """Yield every picture and link from an offset on, code left out, in no particular order."""
    plain = _CODE.sub(lambda found: re.sub(r"[^\n]", " ", found.group()), text[start:])
    for found in _MARKDOWN.finditer(plain):
        yield _target(found, bool(found["picture"]), start)
    for found in _REFERENCE.finditer(plain):
        yield _target(found, False, start)
    for found in _TAG.finditer(plain):
        yield _target(found, found["name"].lower() != "href", start)


def _target(found: re.Match[str], is_picture: bool, start: int) -> BodyTarget:
    return BodyTarget(found["target"], is_picture, start + found.start("target"), start + found.end("target"))


def resolve_link(target: str, folder: str) -> str:
    """Return what a relative link leads to, seen from the journal: "inserts/pass.md".

    Args:
        target: As written, with or without "#part".
        folder: Folder of the note in the journal, "" at its top.
    """
    return posixpath.normpath(posixpath.join(folder, target.partition("#")[0]))
