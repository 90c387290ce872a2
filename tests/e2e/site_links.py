"""A strict reading of a built site's links: every local address must exist, and every anchor too.

Written for the tests alone; faster than a crawler, so that it can look at every page on every run.
"""

from __future__ import annotations

import posixpath
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

_ADDRESSES = {"a": "href", "link": "href", "img": "src", "script": "src", "image": "href", "source": "srcset"}


@dataclass
class PageLinks(HTMLParser):
    """Collects what a page links to and which anchors it offers."""

    links: list[str] = field(default_factory=list)
    anchors: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take the addresses and identifiers of one tag."""
        values = {name: value or "" for name, value in attrs}
        for name in ("id", "name"):
            if values.get(name):
                self.anchors.add(values[name])
        wanted = _ADDRESSES.get(tag)
        if wanted and values.get(wanted):
            found = values[wanted]
            self.links.extend(_split_srcset(found) if wanted == "srcset" else [found])
        if values.get("srcset") and wanted != "srcset":
            self.links.extend(_split_srcset(values["srcset"]))
        for name, value in values.items():
            if name in ("data-large", "data-src") and value:
                self.links.append(value)


def _split_srcset(text: str) -> list[str]:
    return [part.split()[0] for part in text.split(",") if part.strip()]


def find_bad_links(site: Path) -> tuple[list[str], list[str], int]:
    """Return (broken links, links to other hosts that are loaded or followed, number of links checked).

    Args:
        site: Folder of the built site.
    """
    pages: dict[str, PageLinks] = {}
    for file in sorted(site.rglob("*.html")):
        parser = PageLinks()
        parser.feed(file.read_text(encoding="utf-8"))
        pages[file.relative_to(site).as_posix()] = parser
    files = {file.relative_to(site).as_posix() for file in site.rglob("*") if file.is_file()}
    broken: list[str] = []
    elsewhere: list[str] = []
    count = 0
    for name, page in pages.items():
        # The page for a missing address is served from anywhere, so its addresses start at the root.
        if name == "404.html":
            continue
        for link in page.links:
            count += 1
            parts = urlsplit(link)
            if parts.scheme in ("data", "mailto"):
                continue
            if parts.scheme or parts.netloc:
                elsewhere.append(f"{name}: {link}")
                continue
            path = unquote(parts.path)
            target = posixpath.normpath(posixpath.join(posixpath.dirname(name), path)) if path else name
            if target.startswith("../") or target not in files:
                broken.append(f"{name}: {link} (no such file)")
            elif parts.fragment and target in pages and unquote(parts.fragment) not in pages[target].anchors:
                broken.append(f"{name}: {link} (no such anchor)")
    return broken, elsewhere, count
