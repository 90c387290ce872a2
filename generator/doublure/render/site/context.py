"""What every page needs to know: names, numbers, links, pictures, units as this replica shows them.

In: Workings. Out: display pieces. Never: computing anything that a reader could doubt.
"""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from functools import cached_property

from doublure.measured import Measured
from doublure.model import parts
from doublure.model.insert import Reading
from doublure.model.loose_names import read_plate, read_stacks
from doublure.model.notes import MasterNote, Note, RegisterNote
from doublure.model.replica import KINDS_WITHOUT_PAGE, ImageFact
from doublure.quantities import (
    format_length_in,
    format_length_mm,
    format_money,
    format_size,
)
from doublure.quantities.numbers import NARROW_SPACE as NS
from doublure.render.draw.figures import MM_PER_INCH
from doublure.render.draw.standing_key import draw_swatch
from doublure.render.html import Html, Link, Shown, join_html, render_link, render_standing
from doublure.render.pictures import Picture, Thumbnail
from doublure.render.plan import PICTURE_WIDTHS_PX, Download, page_path, picture_path
from doublure.render.site.frame import PageFrame
from doublure.render.site.wordings import MISSING_WORDS, attribute_word, target_title
from doublure.render.svg import render_svg
from doublure.trade.evidence.standing import Open, Standing
from doublure.workings.all import Workings
from doublure.workings.inserts import InsertWorking
from doublure.workings.questions import QuestionWorking

#: How names begin that are no notes.
LOOSE_STARTS = ("gathering-", "stack-", "stacks-", "plate-", "page-", "pages-")
_RANGE = re.compile(r"(?<=[0-9])-(?=[0-9])")
#: Below this, mm, a hundredth of an inch would hide what matters: calipers.
HUNDREDTHS_MM = 3.0

KIND_WORDS = {
    "inserts": "insert",
    "evidence": "evidence",
    "masters": "master",
    "stocks": "stock",
    "finishes": "finish",
    "trials": "trial",
    "log": "log entry",
    "printers": "printer",
    "register": "register reading",
}


class SiteContext:
    """The workings with everything that pages look up in them.

    Attributes:
        work: The workings.
        published: Pictures that some page shows, by path relative to the journal; filled as pages are made.
        downloads: Print files that lie in the site.
    """

    def __init__(self, work: Workings, downloads: tuple[Download, ...] = ()) -> None:
        self.work = work
        self.downloads = downloads
        self.published: dict[str, None] = {}
        self._swatches: dict[str, Html] = {}

    @cached_property
    def inserts(self) -> dict[str, InsertWorking]:
        """The inserts by identifier, in the order of the book."""
        return {one.note.id: one for one in self.work.inserts}

    @cached_property
    def stem_of(self) -> dict[str, str]:
        """The stem of each source, by identifier."""
        return self.work.standing.stems.by_source()

    @cached_property
    def read_from(self) -> dict[str, list[tuple[InsertWorking, Reading]]]:
        """Every reading with its insert, by the identifier of its source."""
        found: dict[str, list[tuple[InsertWorking, Reading]]] = {}
        for one in self.work.inserts:
            for reading in one.note.readings:
                found.setdefault(reading.source, []).append((one, reading))
        return found

    @cached_property
    def masters_from(self) -> dict[str, list[str]]:
        """Masters drawn from each source, as "masters/identifier", by the identifier of the source."""
        found: dict[str, list[str]] = {}
        for note in self.work.replica.masters.values():
            for source in note.evidence:
                found.setdefault(source, []).append(f"masters/{note.id}")
        return found

    @cached_property
    def copies_of(self) -> dict[str, list[str]]:
        """Sources copied from each source, as "evidence/identifier", by its identifier."""
        found: dict[str, list[str]] = {}
        for note in self.work.replica.evidence.values():
            if note.copied_from:
                found.setdefault(note.copied_from, []).append(f"evidence/{note.id}")
        return found

    @cached_property
    def questions_of(self) -> dict[str, list[QuestionWorking]]:
        """Open questions in rank, by what they are about."""
        found: dict[str, list[QuestionWorking]] = {}
        for question in self.work.questions:
            found.setdefault(question.about, []).append(question)
        return found

    @property
    def inches_first(self) -> bool:
        """True where inches come first."""
        return self.work.replica.replica.units == "in"

    def standing(self, standing: Standing | Open) -> Html:
        """Return a standing word with its line."""
        return render_standing(standing.value, self.swatch(standing.value))

    def swatch(self, word: str) -> Html:
        """Return the line of a standing word, small; the word stands beside it."""
        if word not in self._swatches:
            self._swatches[word] = Html(render_svg(draw_swatch(word), "swatch", hidden=True))
        return self._swatches[word]

    def length(self, length: Measured | float | None) -> str:
        """Return a length in both units, the replica's own first; "" for None."""
        if length is None:
            return ""
        mm, inches = format_length_mm(length), format_length_in(length)
        if not self.inches_first and _is_exact(length) and "." in inches and _in_mm(length) > HUNDREDTHS_MM:
            inches = f"{_hundredths(length)}{NS}in"
        first, second = (inches, mm) if self.inches_first else (mm, inches)
        return f"{first} ({second})"

    def size(self, size: parts.SizeMm | None) -> str:
        """Return a size in both units; "" for None."""
        if size is None:
            return ""
        sides = (size.width_mm, size.height_mm)
        if not self.inches_first and all(map(_is_exact, sides)) and "." in format_size(*sides, inches=True):
            width, height = map(_hundredths, sides)
            return f"{format_size(*sides)} ({width}{NS}×{NS}{height}{NS}in)"
        both = [
            format_size(size.width_mm, size.height_mm, inches=inches)
            for inches in ((True, False) if self.inches_first else (False, True))
        ]
        return f"{both[0]} ({both[1]})"

    @property
    def shows_prices(self) -> bool:
        """True where the replica publishes prices and spending."""
        return self.work.replica.replica.publish.prices

    def money(self, amount: Decimal | None) -> str:
        """Return an amount of the replica's money; "not known" for None."""
        return "not known" if amount is None else format_money(amount, self.work.replica.replica.money)

    def name_of(self, thing: str) -> str:
        """Return the title of a note by "kind/identifier", or the thing as it stands."""
        note = self.note_of(thing)
        if note is not None:
            return target_title(note) if isinstance(note, RegisterNote) else note.title
        return _RANGE.sub("–", thing).replace("-", " ") if thing.startswith(LOOSE_STARTS) else thing

    def note_of(self, thing: str) -> Note | None:
        """Return a note by "kind/identifier", or the one called "replica" or "book"."""
        if thing == "replica":
            return self.work.replica.replica
        if thing == "book":
            return self.work.replica.book
        found = self.work.replica.find(thing) if "/" in thing else None
        return found[1] if found is not None else None

    def thing_link(self, frame: PageFrame, thing: str) -> Link:
        """Return a link to the page of a note by "kind/identifier", or the words alone."""
        if thing in ("replica", "book"):
            return Link(
                "the book" if thing == "book" else "the replica",
                frame.href("book/index.md" if thing == "book" else "index.md"),
            )
        kind, _, ident = thing.partition("/")
        if self.note_of(thing) is None:
            if thing.startswith("gathering-") and self.work.book is not None:
                return Link(self.name_of(thing), frame.href(f"book/gatherings.md#{thing}"))
            if thing.startswith("page-") and self.work.book is not None:
                return Link(self.name_of(thing), frame.href(f"book/pages.md#{thing}"))
            return Link(self.name_of(thing), self._press_href(frame, thing))
        if kind == "log":
            return Link(self.name_of(thing), frame.href(log_entry_path(self.work, ident)))
        if kind in KINDS_WITHOUT_PAGE:
            return Link(self.name_of(thing))
        return Link(self.name_of(thing), frame.href(page_path(kind, ident)))

    def _press_href(self, frame: PageFrame, thing: str) -> str:
        """Return the address of a stack or a plate; "" for anything else, and for one that there is not."""
        plan = self.work.press.plan
        if plan is None:
            return ""
        stacks, plate = read_stacks(thing), read_plate(thing)
        if stacks is not None and stacks[0].start <= len(plan.stacks):
            page = "plates" if self.work.press.run is None else "run"
            return frame.href(f"book/{page}.md#stack-{stacks[0].start}")
        if plate is not None and plate <= len(plan.plates):
            return frame.href(f"book/plates.md#plate-{plate}")
        return ""

    def links(self, frame: PageFrame, things: list[str]) -> Html:
        """Return links to several things, a comma between."""
        return join_html([render_link(self.thing_link(frame, thing)) for thing in things], ", ")

    @cached_property
    def withheld(self) -> frozenset[str]:
        """Picture files that the rights of some source keep back, whatever other note shows them too.

        The file counts, and so do copies of it byte for byte under another name.
        """
        files = {
            picture.file
            for note in self.work.replica.evidence.values()
            if note.rights.publish not in (None, "yes")
            for picture in note.pictures
        }
        hashes = {self.work.pictures[file].sha256 for file in files if file in self.work.pictures}
        return frozenset(file for file, fact in self.work.pictures.items() if fact.sha256 in hashes) | files

    def fact(self, file: str) -> ImageFact | None:
        """Return what was found of a picture that may be published; None for one kept back, and for no picture."""
        fact = self.work.pictures.get(file)
        if fact is None or fact.width_px < 1 or fact.height_px < 1 or file in self.withheld:
            return None
        return fact

    def picture(self, frame: PageFrame, picture: parts.Picture, alt: str = "") -> Picture | None:
        """Return a picture of the notes as pages show it, and remember to publish it.

        None where it may not be published, or the file is no picture (a PDF).
        """
        fact = self.fact(picture.file)
        if fact is None:
            return None
        self.published[picture.file] = None
        sizes = []
        for limit in PICTURE_WIDTHS_PX:
            width = min(limit, fact.width_px)
            height = max(1, round(fact.height_px * width / fact.width_px))
            sizes.append(Thumbnail(frame.href(picture_path(picture.file, limit)), width, height))
        caption: Shown = picture.caption
        return Picture(alt or picture.caption, sizes[0], sizes[1], caption, picture.credit)

    def may_show(self, thing: str) -> bool:
        """Return whether the pictures of a note may be published: evidence only as its rights say."""
        kind, _, ident = thing.partition("/")
        source = self.work.replica.evidence.get(ident) if kind == "evidence" else None
        return source is None or source.rights.publish in (None, "yes")

    def pictures_of(self, frame: PageFrame, thing: str) -> tuple[Picture, ...]:
        """Return all pictures of a note that may be published."""
        note = self.note_of(thing)
        if note is None or not self.may_show(thing):
            return ()
        found = (self.picture(frame, picture, picture.caption or note.title) for picture in note.pictures)
        return tuple(picture for picture in found if picture is not None)

    def evidence_picture(self, frame: PageFrame, ident: str) -> Picture | None:
        """Return the first picture of a source, captioned with the link to its page."""
        shown = self.pictures_of(frame, f"evidence/{ident}")[:1]
        if not shown:
            return None
        link = render_link(self.thing_link(frame, f"evidence/{ident}"))
        caption = join_html([link, ": ", shown[0].caption]) if shown[0].caption else link
        return replace(shown[0], caption=caption)

    def artwork(self, frame: PageFrame, master: MasterNote, caption: str) -> Picture | None:
        """Return the artwork of a master as a picture; None where there is none, or it is no picture."""
        if not master.artwork:
            return None
        return self.picture(frame, parts.Picture(master.artwork, caption))

    def question_text(self, question: QuestionWorking) -> str:
        """Return an open question in words: the maker's own, or what the notes leave open."""
        if question.text:
            return question.text
        word = attribute_word(question.attribute)
        match question.reason:
            case "open":
                return f"Nothing is known of its {word}."
            case "disputed":
                return f"The sources dispute its {word}."
            case "thin":
                return f"Its {word} rests on one source that is not to scale."
        return MISSING_WORDS.get(question.attribute, f"What is its {word}?")


def _is_exact(length: Measured | float) -> bool:
    return not isinstance(length, Measured) or length.u is None


def _hundredths(length: Measured | float) -> str:
    """Return a decided length in hundredths of an inch: a finer one nobody cuts to, where millimetres come first."""
    return f"{_in_mm(length) / MM_PER_INCH:.2f}"


def _in_mm(length: Measured | float) -> float:
    return length.value if isinstance(length, Measured) else length


def log_entry_path(work: Workings, ident: str) -> str:
    """Return the address of a log entry: its month's page, at its anchor."""
    note = work.replica.log[ident]
    return f"log/{note.date:%Y-%m}.md#{ident}"
