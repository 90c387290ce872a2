"""The writing frame of a page: collects blocks of HTML and Markdown and hands over a SitePage.

In: blocks from the page modules. Out: SitePage. Never: computing, deciding what a page says.
"""

from __future__ import annotations

import json
import re
from html import escape

import nh3

from doublure.render.plan import SitePage, relative_href

#: A drawing of ours; drawings do not nest.
_DRAWING = re.compile("<svg .*?</svg>", re.DOTALL)
#: Marks around a note's own Markdown; what stands between them is cleaned after conversion.
BODY_BEGINS = "<!--db-note-begins-->"
BODY_ENDS = "<!--db-note-ends-->"


class PageFrame:
    """One page in the making.

    Attributes:
        path: Source path of the page, such as "inserts/tide-pass.md".
        title: Its title.

    `section` names the page of the navigation that it lies under, where its own folder has none.
    """

    def __init__(
        self,
        path: str,
        title: str,
        *,
        kind: str,
        hide: tuple[str, ...] = ("navigation", "toc"),
        search: bool = True,
        description: str = "",
        section: str = "",
    ) -> None:
        self.path = path
        self.title = title
        self._kind = kind
        self._hide = hide
        self._search = search
        self._description = description
        self._section = section
        self._blocks: list[str] = []
        #: Numbers of the blocks that are our HTML; a note's own words never are.
        self._ours: set[int] = set()

    def href(self, to: str) -> str:
        """Return the address of another page or file as seen from this one."""
        return relative_href(self.path, to)

    def link(self, to: str, text: str, css_class: str = "") -> str:
        """Return an HTML link to another page of the site."""
        attribute = f' class="{css_class}"' if css_class else ""
        return f'<a{attribute} href="{escape(self.href(to))}">{escape(text)}</a>'

    def add(self, html: str) -> None:
        """Add a block of HTML. Blank lines inside are closed up: Markdown would read them as its own."""
        closed = re.sub(r"\n\s*\n+", "\n", html.strip())
        if closed:
            self._ours.add(len(self._blocks))
            self._blocks.append(closed)

    def heading(self, text: str, ident: str, level: int = 2) -> None:
        """Add a heading with a fixed anchor."""
        safe = escape(text).replace("\n", " ")
        self._blocks.append(f"{'#' * level} {_inert(safe)} {{#{ident}}}")

    def body(self, markdown: str) -> None:
        """Add a note's own Markdown, marked off so that its HTML is cleaned after conversion."""
        text = markdown.strip()
        if not text:
            return
        text = text.replace("<!--db-", "<!-- db-")
        self._blocks.append(f"{BODY_BEGINS}\n\n{text}\n\n{BODY_ENDS}")

    def source(self, file: str) -> None:
        """Say from which note the page comes."""
        self._blocks.append(f'<p class="db-source">From <code>{escape(file)}</code></p>')

    def finish(self) -> SitePage:
        """Return the page."""
        front = ["---", f"title: {json.dumps(self.title, ensure_ascii=False)}", f"kind: {self._kind}"]
        if self._description:
            front.append(f"description: {json.dumps(self._description, ensure_ascii=False)}")
        if self._section:
            front.append(f"section: {self._section}")
        if self._hide:
            front.append("hide:")
            front.extend(f"  - {name}" for name in self._hide)
        if not self._search:
            front.append("search:\n  exclude: true")
        front.append("---")
        head = "\n".join(front) + "\n\n"
        drawings: list[tuple[int, int]] = []
        begin = len(head)
        for number, block in enumerate(self._blocks):
            if number in self._ours:
                found = _DRAWING.finditer(block)
                drawings.extend((begin + one.start(), begin + one.end()) for one in found)
            begin += len(block) + 2
        text = head + "\n\n".join(self._blocks) + "\n"
        return SitePage(self.path, self.title, text, tuple(drawings))


_BODY = re.compile(re.escape(BODY_BEGINS) + "(.*?)" + re.escape(BODY_ENDS), re.DOTALL)
_ATTRIBUTES = {
    **nh3.ALLOWED_ATTRIBUTES,
    **{f"h{level}": {"id"} for level in range(1, 7)},
}


#: Pictures come by the fields of a note (problem P106), never by its text; nothing else loads by itself.
_TAGS = nh3.ALLOWED_TAGS - {"img", "map", "area"}


def clean_bodies(html: str) -> str:
    """Return HTML in which what came from notes' own Markdown holds nothing that could run or load.

    Args:
        html: A page after conversion, with the marks that PageFrame.body put around a note's text.
    """
    if BODY_BEGINS not in html:
        return html
    return _BODY.sub(lambda found: clean_note_html(found.group(1)), html)


def clean_note_html(html: str) -> str:
    """Return HTML from a note's Markdown without what could run, or make a page ask another host."""
    return nh3.clean(html, attributes=_ATTRIBUTES, tags=_TAGS)


def _inert(text: str) -> str:
    """Return text in which Markdown sees no marks of its own."""
    return re.sub(r"([\\`*_{}\[\]()#+!|~^])", r"\\\1", text)
