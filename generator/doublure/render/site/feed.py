"""The feed of the log, as Atom (RFC 4287).

In: SiteContext. Out: SiteFile. Never: the clock; a feed's date is that of its newest entry.
"""

from __future__ import annotations

import hashlib
from datetime import date
from xml.etree import ElementTree as ET

from doublure.render.plan import SiteFile, relative_href
from doublure.render.site.context import SiteContext, log_entry_path
from doublure.render.site.log_cards import plain_text

ATOM = "http://www.w3.org/2005/Atom"
MOST_ENTRIES = 50


def feed_file(ctx: SiteContext) -> SiteFile:
    """Return the feed of the newest entries."""
    ET.register_namespace("", ATOM)
    replica = ctx.work.replica.replica
    entries = ctx.work.log.newest_first[:MOST_ENTRIES]
    feed = ET.Element(f"{{{ATOM}}}feed")
    _child(feed, "title", f"{replica.title}: log")
    _child(feed, "id", _identifier(replica.title))
    _child(feed, "updated", _moment(entries[0].date if entries else date(1970, 1, 1)))
    author = ET.SubElement(feed, f"{{{ATOM}}}author")
    _child(author, "name", replica.maker or replica.title)
    ET.SubElement(
        feed, f"{{{ATOM}}}link", {"href": "log/index.html", "rel": "alternate", "type": "text/html"}
    )
    for note in entries:
        entry = ET.SubElement(feed, f"{{{ATOM}}}entry")
        _child(entry, "title", note.title)
        _child(entry, "id", _identifier(replica.title, note.id))
        _child(entry, "updated", _moment(note.date))
        href = relative_href("index.md", log_entry_path(ctx.work, note.id))
        ET.SubElement(entry, f"{{{ATOM}}}link", {"href": href, "rel": "alternate", "type": "text/html"})
        _child(entry, "summary", plain_text(note.body) or note.title)
    ET.indent(feed)
    text = ET.tostring(feed, encoding="unicode", xml_declaration=False)
    return SiteFile("feed.xml", f'<?xml version="1.0" encoding="utf-8"?>\n{text}\n')


def _child(parent: ET.Element, name: str, text: str) -> None:
    ET.SubElement(parent, f"{{{ATOM}}}{name}").text = _printable(text)


def _printable(text: str) -> str:
    """Return text without the control characters that XML 1.0 forbids."""
    return "".join(c for c in text if c >= " " or c in "\n\t")


def _moment(day: date) -> str:
    return f"{day.isoformat()}T12:00:00Z"


def _identifier(*parts: str) -> str:
    """Return an identifier that stays the same for the same entry wherever the site is put (RFC 4151 is not
    used, since it needs a name of the host)."""
    digest = hashlib.sha256("\n".join(parts).encode()).hexdigest()
    return f"urn:uuid:{digest[:8]}-{digest[8:12]}-8{digest[13:16]}-8{digest[17:20]}-{digest[20:32]}"
