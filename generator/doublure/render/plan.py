"""What the site is made of, before MkDocs writes it.

In: pages and tables from render/site. Out: SitePlan. Never: reading or writing files.
"""

from __future__ import annotations

import functools
import posixpath
from dataclasses import dataclass

#: Widths in pixels in which every picture is published: for cards and phones, and for looking closely.
PICTURE_WIDTHS_PX = (480, 1400)


@dataclass(frozen=True, slots=True)
class SitePage:
    """One page as Markdown.

    Attributes:
        path: Path under the site's source, such as "inserts/tide-pass.md".
        title: Title as it stands in the navigation and the window.
        text: The whole Markdown, front matter included.
        drawings: Where each drawing in the text begins and ends. Nothing in a drawing is Markdown, so that
            whoever converts the text may set them aside meanwhile.
    """

    path: str
    title: str
    text: str
    drawings: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class SiteFile:
    """A text file of the site, such as "data/imposition.csv"."""

    path: str
    text: str


@dataclass(frozen=True, slots=True)
class SitePicture:
    """A picture to be published, upright and without its metadata, in one width.

    Attributes:
        file: Path relative to the journal folder.
        width_px: Width not to be exceeded.
        path: Path under the site, such as "pictures/evidence/reel-480.webp".
    """

    file: str
    width_px: int
    path: str


@dataclass(frozen=True, slots=True)
class Download:
    """A print file that lies in the site, offered on the pages about the press.

    Attributes:
        path: Path under the site, such as "print/office-laser/fronts.pdf".
        title: What it is called on a page, such as "Fronts".
        about: What it is for: "run" (plates to print, and the hand-feed plan), "register" (the target) or
            "kit" (the paper kit).
        pages: Pages of the PDF; 0 where not known.
        size_bytes: Its size; 0 where not known.
        note: A few more words, such as "corrected backs"; "" for none.
    """

    path: str
    title: str
    about: str
    pages: int = 0
    size_bytes: int = 0
    note: str = ""


@dataclass(frozen=True, slots=True)
class NavSection:
    """A heading of the navigation with its pages as (title, path) pairs; title "" for a page alone."""

    title: str
    pages: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class SitePlan:
    """Everything the plugin adds to the site; `label` fills the title block as (key, value) pairs."""

    pages: tuple[SitePage, ...]
    files: tuple[SiteFile, ...]
    pictures: tuple[SitePicture, ...]
    navigation: tuple[NavSection, ...]
    label: tuple[tuple[str, str], ...] = ()


def picture_path(file: str, width_px: int) -> str:
    """Return the path under the site of a picture of the journal in one width.

    Examples:
        >>> picture_path("pictures/evidence/reel.jpg", 480)
        'pictures/evidence/reel.jpg-480.webp'
    """
    stem = file if file.startswith("pictures/") else f"pictures/{file}"
    return f"{stem}-{width_px}.webp"


def page_path(kind: str, ident: str) -> str:
    """Return the source path of a note's own page.

    Examples:
        >>> page_path("inserts", "tide-pass")
        'inserts/tide-pass.md'
    """
    return f"{kind}/{ident}.md"


def relative_href(from_page: str, to: str) -> str:
    """Return the address of a page or file of the site as seen from a page; ".md" becomes ".html".

    Args:
        from_page: Source path of the page that holds the link, such as "inserts/tide-pass.md".
        to: Source path of a page, or path of a file, under the site; "#part" may follow.

    Examples:
        >>> relative_href("inserts/tide-pass.md", "evidence/reel.md#scale")
        '../evidence/reel.html#scale'
        >>> relative_href("index.md", "data/bill.csv")
        'data/bill.csv'
    """
    path, mark, part = to.partition("#")
    if path.endswith(".md"):
        path = path[:-3] + ".html"
    here, _, _ = from_page.rpartition("/")
    return _relative(here, path) + mark + part


@functools.lru_cache(maxsize=65536)
def _relative(folder: str, path: str) -> str:
    return posixpath.relpath(path, folder or ".")
