"""Reads the handbook as a browser would: what each page says, section by section, where its links lead.

In: the Markdown under docs/. Out: Page; expect() holds figures against a section. Never: computing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import markdown

ROOT = Path(__file__).resolve().parents[1]
DOCS = ROOT / "docs"
HANDBOOK = DOCS / "handbook"
#: Those of mkdocs.yml, and the one for code between fences, which MkDocs adds to every project.
EXTENSIONS = ("attr_list", "md_in_html", "tables", "footnotes", "sane_lists", "toc", "fenced_code")
_HEADINGS = ("h1", "h2", "h3", "h4")
_BREAKS = ("p", "li", "td", "th", "tr", "pre", *_HEADINGS)


@dataclass(frozen=True, slots=True)
class Page:
    """One page.

    Attributes:
        path: Relative to docs/, with forward slashes.
        ids: Every anchor, in order.
        addresses: What href and src say, in order.
        text: All text, with single spaces.
        sections: Text from each heading with an anchor up to the next heading of its level or above.
    """

    path: str
    ids: tuple[str, ...]
    addresses: tuple[str, ...]
    text: str
    sections: dict[str, str]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.ids: list[str] = []
        self.addresses: list[str] = []
        self.words: list[str] = []
        #: Level of each heading, its anchor, and how many pieces of text come before it.
        self.heads: list[tuple[int, str, int]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        if said.get("id"):
            self.ids.append(said["id"] or "")
        self.addresses.extend(value for name, value in attrs if name in ("href", "src") and value)
        if tag in _HEADINGS:
            self.heads.append((int(tag[1]), said.get("id") or "", len(self.words)))
        self._break(tag)

    def handle_endtag(self, tag: str) -> None:
        self._break(tag)

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    def _break(self, tag: str) -> None:
        if tag in _BREAKS:
            self.words.append(" ")


def list_pages() -> tuple[str, ...]:
    """Return the paths of all pages that are written by hand, relative to docs/."""
    return tuple(sorted(path.relative_to(DOCS).as_posix() for path in DOCS.rglob("*.md")))


@cache
def read_page(path: str) -> Page:
    """Return one page, by its path relative to docs/."""
    source = (DOCS / path).read_text(encoding="utf-8")
    reader = _Reader()
    reader.feed(markdown.markdown(source, extensions=list(EXTENSIONS)))
    reader.close()
    sections: dict[str, str] = {}
    for number, (level, anchor, start) in enumerate(reader.heads):
        ends = (at for depth, _, at in reader.heads[number + 1 :] if depth <= level)
        sections[anchor] = _close_up(reader.words[start : next(ends, len(reader.words))])
    return Page(path, tuple(reader.ids), tuple(reader.addresses), _close_up(reader.words), sections)


def _close_up(words: list[str]) -> str:
    return re.sub(r"\s+", " ", "".join(words)).strip()


def expect(name: str, anchor: str, *figures: str) -> None:
    """Hold figures against what a section of a method prints."""
    text = read_page(f"handbook/methods/{name}.md").sections[anchor]
    for figure in figures:
        assert figure in text, f"{name}#{anchor} does not print {figure!r}"


def row(*cells: object) -> str:
    """Return a row of a table as its text reads, empty cells left out."""
    return " ".join(str(cell) for cell in cells if str(cell))
