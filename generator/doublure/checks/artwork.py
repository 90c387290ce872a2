"""Artwork that cannot be printed, or has other proportions than its page: warnings at the master that names it.

In: a Replica, what was found of its artwork files. Out: problems, all warnings. Never: reading files.
A plate whose artwork cannot be used is left out; every other plate is made.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from doublure.checks.finding import find, show_mm, show_size
from doublure.model.artwork import ArtworkFact, ArtworkFault
from doublure.model.insert import InsertNote
from doublure.model.notes import MasterNote
from doublure.model.parts import SizeMm
from doublure.model.replica import Replica
from doublure.problems import Problem

#: Proportions that differ by less than this are taken for the same.
_SAME = 0.01
#: Very few pixels, such as a single one, have proportions all the same.
_MOST_SLACK = 0.1
#: Bleed that a file may well have without the note saying so, mm.
_LIKELY_BLEED_MM = (1.0, 10.0)
#: With fewer pixels than this along a side nothing is left to crop.
_FEW_PIXELS = 10
#: A detail that says what to do, and nothing more of what is wrong.
_ADVICE = ("did you mean", "save ")
#: By reason of a fault: code, what is wrong, what would be right.
_FAULTS = {
    "missing": ("A101", "is not there", "put the file there, or correct the path"),
    "outside": ("A101", "is not in the journal", "copy it into the journal and name it from there"),
    "unreadable": ("A101", "cannot be opened", "see whether it opens elsewhere"),
    "empty": ("A102", "is empty", "save or copy it anew"),
    "torn": ("A102", "is torn", "save or copy it anew"),
    "cmyk": ("A103", "is in four process colours (CMYK)", "save it as black and white, as grey, or as RGB"),
    "16 bit": ("A103", "has more than 8 bits a colour", "save it with 8 bits a colour"),
    "encrypted": ("A104", "is encrypted", "save it without a password"),
    "no page": ("A104", "has no page", "save the page anew as a PDF"),
    "several": ("A105", "holds more than one", "save the one that is meant by itself"),
    "animated": ("A105", "is a moving picture", "save the one picture that is meant"),
    "svg": ("A105", "is an SVG, which is not taken onto plates", "save it as a PDF page of the right size"),
    "not a picture": ("A105", "is neither a picture nor a PDF", "save it as PNG, TIFF, JPEG, WebP or PDF"),
    "too large": ("A105", "is larger than can be handled safely", "save it smaller"),
}  # fmt: skip


def check_artwork(
    replica: Replica, facts: Mapping[str, ArtworkFact], faults: Sequence[ArtworkFault]
) -> Iterator[Problem]:
    """Yield a warning for every master whose artwork cannot be printed as it is.

    Args:
        replica: The notes.
        facts: What was found of the files that can be printed, by path relative to the journal.
        faults: Why the others cannot be.
    """
    by_file = {fault.file: fault for fault in faults}
    on_pages = _list_masters_on_pages(replica)
    for master in replica.masters.values():
        if not master.artwork:
            continue
        if (fault := by_file.get(master.artwork)) is not None:
            yield _describe(master, fault)
        elif (fact := facts.get(master.artwork)) is not None:
            yield from _check_proportions(replica, master, fact, on_pages)


def _describe(master: MasterNote, fault: ArtworkFault) -> Problem:
    code, words, hint = _FAULTS.get(fault.reason, _FAULTS["unreadable"])
    span = master.origin.span("artwork")
    if fault.detail.startswith(_ADVICE):
        return find(code, f'artwork: "{master.artwork}" {words}', span, fault.detail)
    said = f"{words}: {fault.detail}" if fault.detail else words
    return find(code, f'artwork: "{master.artwork}" {said}', span, hint)


def _check_proportions(
    replica: Replica, master: MasterNote, fact: ArtworkFact, on_pages: frozenset[str]
) -> Iterator[Problem]:
    found = _printed_size(replica, master, on_pages)
    if found is None:
        return
    size, what = found
    if fact.kind == "vector":
        yield from _check_trim(master, fact, size, what)
    elif fact.width_px > 0 and fact.height_px > 0:
        yield from _check_pixels(master, fact, size, what)


def _printed_size(
    replica: Replica, master: MasterNote, on_pages: frozenset[str]
) -> tuple[SizeMm, str] | None:
    """Return the size at which a master is printed, and what has it; None where that is open."""
    if master.size is not None:
        return master.size, "its size"
    book = replica.book
    if book is not None and book.leaf is not None and master.id in on_pages:
        return book.leaf, "its page"
    for insert in replica.inserts.values():
        if insert.size is not None and _carries(insert, master.id):
            return insert.size, f'the insert "{insert.id}"'
    return None


def _list_masters_on_pages(replica: Replica) -> frozenset[str]:
    """Return the masters that the book's sequence names."""
    found: set[str] = set()
    waiting = list(replica.book.sequence) if replica.book is not None else []
    while waiting:
        item = waiting.pop()
        found |= {getattr(item, name, "") for name in ("master", "first", "second")}
        waiting.extend(getattr(item, "items", ()))
    return frozenset(found)


def _carries(insert: InsertNote, ident: str) -> bool:
    return any(face is not None and face.master == ident for face in (insert.front, insert.back))


def _check_pixels(master: MasterNote, fact: ArtworkFact, size: SizeMm, what: str) -> Iterator[Problem]:
    bleed = master.bleed_mm
    width, height = size.width_mm.value + 2 * bleed, size.height_mm.value + 2 * bleed
    is_ratio = fact.width_px / fact.height_px
    # Half a pixel either way is no other proportion, however few there are.
    slack = _SAME + min(0.5 / fact.width_px + 0.5 / fact.height_px, _MOST_SLACK)
    if _is_near(is_ratio, width / height, slack):
        return
    with_bleed = f" with {show_mm(bleed)} of bleed" if bleed else ""
    yield find(
        "A106",
        f'artwork: "{master.artwork}" has {fact.width_px} x {fact.height_px} pixels: other '
        f"proportions than {what}, {show_size(size)}{with_bleed}",
        master.origin.span("artwork"),
        _advise(fact, size, width / height, is_ratio, slack),
    )


def _advise(fact: ArtworkFact, size: SizeMm, wanted: float, is_ratio: float, slack: float) -> str:
    """Return what would be right: turned, with its bleed stated, or with so many pixels."""
    if _is_near(1 / is_ratio, wanted, slack):
        return "turn it by a quarter"
    width, height = size.width_mm.value, size.height_mm.value
    if abs(is_ratio - 1) > _SAME:
        # Bleed b all round makes width + 2b by height + 2b.
        bleed = (width - is_ratio * height) / (2 * (is_ratio - 1))
        rounded = round(2 * bleed) / 2
        near = rounded > 0 and _is_near(is_ratio, (width + 2 * rounded) / (height + 2 * rounded), slack / 2)
        if _LIKELY_BLEED_MM[0] <= bleed <= _LIKELY_BLEED_MM[1] and near:
            return f"write bleed: {show_mm(rounded)}, if so much lies beyond the trim; else crop it"
    if min(fact.width_px, fact.height_px) < _FEW_PIXELS:
        return "put artwork there that has the pixels to print"
    if is_ratio > wanted:
        return f"crop or draw it to {round(fact.height_px * wanted)} x {fact.height_px} pixels"
    return f"crop or draw it to {fact.width_px} x {round(fact.width_px / wanted)} pixels"


def _check_trim(master: MasterNote, fact: ArtworkFact, size: SizeMm, what: str) -> Iterator[Problem]:
    """A PDF page has a size of its own: its trim is that of the page, or, where it has none, with the bleed."""
    if fact.width_mm <= 0 or fact.height_mm <= 0:
        return
    own_bleed = any(fact.bleed_mm)
    for bleed in (0.0, 0.0 if own_bleed else master.bleed_mm):
        wanted = (size.width_mm.value + 2 * bleed, size.height_mm.value + 2 * bleed)
        if _is_near(fact.width_mm, wanted[0], _SAME) and _is_near(fact.height_mm, wanted[1], _SAME):
            return
    width, height = size.width_mm.value, size.height_mm.value
    turned = _is_near(fact.width_mm, height, _SAME) and _is_near(fact.height_mm, width, _SAME)
    yield find(
        "A106",
        f'artwork: the page of "{master.artwork}" is {fact.width_mm:.4g} x {fact.height_mm:.4g} mm '
        f"when trimmed, other than {what}, {show_size(size)}",
        master.origin.span("artwork"),
        "turn it by a quarter" if turned else f"save the page with a TrimBox of {show_size(size)}",
    )


def _is_near(value: float, wanted: float, slack: float) -> bool:
    return abs(value / wanted - 1) <= slack
