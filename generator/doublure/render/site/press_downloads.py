"""Print files offered for download, and what is said where they are not in the site.

In: SiteContext. Out: blocks for a page. Never: deciding what may be published (the caller of plan_site does).
"""

from __future__ import annotations

from doublure.quantities.numbers import NARROW_SPACE as NS
from doublure.render.html import Html, escape_href, escape_text
from doublure.render.plan import Download
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.wordings import count_words

#: Where `doublure build` puts them, whether or not they are published.
PRINT_FOLDER = "print/"


def file_size(size_bytes: int) -> str:
    """Return a size as people read it.

    Examples:
        >>> file_size(812), file_size(48_200), file_size(3_140_000)
        ('812\u202fB', '48\u202fkB', '3.1\u202fMB')
    """
    if size_bytes < 1000:
        return f"{size_bytes}{NS}B"
    if size_bytes < 999_500:
        return f"{size_bytes / 1000:.0f}{NS}kB"
    return f"{size_bytes / 1e6:.1f}{NS}MB"


def download_list(ctx: SiteContext, frame: PageFrame, *about: str) -> Html:
    """Return the print files of some kinds as a list; "" where none lies in the site.

    Args:
        ctx: The context.
        frame: The page that holds it.
        about: Kinds, as Download.about has them.
    """
    found = [one for kind in about for one in ctx.downloads if one.about == kind]
    if not found:
        return Html("")
    return Html(f'<ul class="db-downloads">{"".join(_item(frame, one) for one in found)}</ul>')


def _item(frame: PageFrame, one: Download) -> str:
    facts = ["PDF" if one.path.endswith(".pdf") else one.path.rpartition(".")[2].upper()]
    if one.pages:
        facts.append(count_words(one.pages, "page"))
    if one.size_bytes:
        facts.append(file_size(one.size_bytes))
    if one.note:
        facts.append(one.note)
    return (
        f'<li><a href="{escape_href(frame.href(one.path))}" download>{escape_text(one.title)}</a> '
        f'<span class="db-downloads__facts">{escape_text(", ".join(facts))}</span></li>'
    )


def add_downloads(ctx: SiteContext, frame: PageFrame, *about: str, heading: str = "Print files") -> None:
    """Add the print files, or where the maker finds them and why they are not here."""
    frame.heading(heading, "files")
    listed = download_list(ctx, frame, *about)
    if listed:
        frame.add(listed)
        return
    kept = "The replica keeps its print files to itself"
    if ctx.work.replica.replica.publish.print_files:
        kept = "They are not in this site: none was made, or the rights in a source keep them back"
    frame.add(
        f"<p>{kept}. <code>doublure build</code> puts them into <code>{PRINT_FOLDER}</code> beside the site.</p>"
    )
