"""The page of a maker's PDF: its boxes, and the page on its own, upright, ready to be placed.

In: bytes. Out: sizes in mm, and a PDF with one form XObject. Never: annotations, metadata, other pages.
The form is drawn with its trim's lower left corner at the origin, the right way up, at true size, and shows
nothing beyond the bleed. Pages of the maker's keep their own colours and fonts.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Page, Pdf, Stream

from doublure.store.artwork_pixels import UnfitError

VERSION = pikepdf.__version__
_MM = 25.4 / 72
_TORN = "the PDF is damaged or cut short"
#: What a page or a picture may carry beside what it shows.
_UNSEEN = ("/Metadata", "/PieceInfo", "/LastModified", "/StructParents", "/StructParent", "/Thumb", "/OPI")
Rectangle = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class PageFacts:
    """Trim of a page and its bleed beyond: left, top, right, bottom; upright, mm."""

    width_mm: float
    height_mm: float
    bleed_mm: tuple[float, float, float, float]


def inspect_page(content: bytes) -> PageFacts:
    """Check a PDF and return the sizes of its first page.

    Raises:
        UnfitError: "encrypted", "torn", "no page", "several", or "unreadable" for layers that are switched off.
    """
    with _open(content) as pdf:
        for problem in pdf.check_pdf_syntax():
            raise UnfitError("torn", f"{_TORN}: {problem}"[:200])
        if (count := len(pdf.pages)) > 1:
            raise UnfitError("several", f"{count} pages")
        _check_layers(pdf)
        trim, bleed, turn, unit = _boxes(pdf.pages[0])
        spare = [trim[0] - bleed[0], bleed[3] - trim[3], bleed[2] - trim[2], trim[1] - bleed[1]]
        # A page turned clockwise by a quarter has its left side on top.
        quarter = turn // 90
        around = spare[-quarter:] + spare[:-quarter] if quarter else spare
        around = [side * unit * _MM for side in around]
        width, height = (trim[2] - trim[0]) * unit * _MM, (trim[3] - trim[1]) * unit * _MM
        if quarter % 2:
            width, height = height, width
        return PageFacts(width, height, (around[0], around[1], around[2], around[3]))


def extract_page(content: bytes) -> bytes:
    """Return a PDF whose only page shows the first page of another, through the form XObject /Artwork.

    Raises:
        UnfitError: As inspect_page.
    """
    with _open(content) as source, Pdf.new() as target:
        page = source.pages[0]
        trim, bleed, turn, unit = _boxes(page)
        page.contents_coalesce()
        form = Stream(source, page.Contents.read_bytes() if "/Contents" in page.obj else b"")
        form.Type, form.Subtype = Name.XObject, Name.Form
        form.BBox = Array(list(bleed))
        form.Matrix = Array([round(value, 9) for value in _upright(trim, turn, unit)])
        form.Resources = page.resources if page.resources is not None else Dictionary()
        if "/Group" in page.obj:
            form.Group = page.obj.Group
        copied = target.copy_foreign(source.make_indirect(form))
        _strip(target)
        width, height = (trim[2] - trim[0]) * unit, (trim[3] - trim[1]) * unit
        sheet = target.add_blank_page(page_size=(height, width) if turn % 180 else (width, height))
        sheet.Resources = Dictionary(XObject=Dictionary(Artwork=copied))
        sheet.Contents = target.make_stream(b"/Artwork Do")
        out = io.BytesIO()
        target.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
        return out.getvalue()


@contextmanager
def _open(content: bytes) -> Iterator[Pdf]:
    try:
        # Readers guess at what a damaged file may have held; a print file had better not.
        pdf = Pdf.open(io.BytesIO(content), suppress_warnings=True, attempt_recovery=False)
    except pikepdf.PasswordError as error:
        raise UnfitError("encrypted", "save it without a password") from error
    except Exception as error:  # a damaged file drives the reader into anything
        raise UnfitError("torn", _TORN) from error
    with pdf:
        if pdf.is_encrypted:
            raise UnfitError("encrypted", "save it without protection")
        try:
            if len(pdf.pages) == 0:
                raise UnfitError("no page", "the PDF holds no page")
            yield pdf
        except UnfitError:
            raise
        except Exception as error:  # as above
            raise UnfitError("torn", _TORN) from error


def _check_layers(pdf: Pdf) -> None:
    layers = pdf.Root.get("/OCProperties")
    default = layers.get("/D") if layers is not None else None
    if default is not None and (len(default.get("/OFF", Array())) or default.get("/BaseState") == Name.OFF):
        raise UnfitError(
            "unreadable", "it has layers that are switched off; save it with what is to be printed alone"
        )


def _boxes(page: Page) -> tuple[Rectangle, Rectangle, int, float]:
    """Return trim and bleed in the page's own units, its turn in degrees clockwise, and its unit in pt.

    Source:
        ISO 32000-1:2008, 14.11.2 (page boundaries), table 30 (Rotate, UserUnit); from memory. What is not
        given is the crop box; nothing reaches beyond the media box.
    """
    media = _rectangle(page.mediabox)
    crop = _within(_rectangle(page.cropbox), media)
    trim = _within(_rectangle(page.trimbox), media)
    given = page.obj.get("/BleedBox")
    bleed = _within(_rectangle(given), media) if given is not None else crop
    if trim[2] - trim[0] <= 0 or trim[3] - trim[1] <= 0:
        raise UnfitError("unreadable", "its trim box is empty or lies outside the page")
    # The bleed is at least the trim.
    bleed = (min(bleed[0], trim[0]), min(bleed[1], trim[1]), max(bleed[2], trim[2]), max(bleed[3], trim[3]))
    node: Object | None = page.obj
    turn = 0
    while node is not None:
        if "/Rotate" in node:
            turn = int(node["/Rotate"])
            break
        node = node.get("/Parent")
    if turn % 90:
        raise UnfitError("unreadable", f"its page is turned by {turn} degrees; save it upright")
    return trim, bleed, turn % 360, float(page.obj.get("/UserUnit", 1))


def _rectangle(box: Object) -> Rectangle:
    x1, y1, x2, y2 = (float(side) for side in box.as_list())
    return (min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))


def _within(inner: Rectangle, outer: Rectangle) -> Rectangle:
    return (
        max(inner[0], outer[0]),
        max(inner[1], outer[1]),
        min(inner[2], outer[2]),
        min(inner[3], outer[3]),
    )


def _upright(trim: Rectangle, turn: int, unit: float) -> tuple[float, float, float, float, float, float]:
    """Return the matrix that lays the trim upright with its lower left corner at the origin."""
    left, low, right, top = (side * unit for side in trim)
    return {
        0: (unit, 0.0, 0.0, unit, -left, -low),
        90: (0.0, -unit, unit, 0.0, -low, right),
        180: (-unit, 0.0, 0.0, -unit, right, top),
        270: (0.0, unit, -unit, 0.0, top, -left),
    }[turn]


def _strip(pdf: Pdf) -> None:
    """Take from every object what is not seen."""
    for item in pdf.objects:
        if isinstance(item, (Dictionary, Stream)):
            for key in _UNSEEN:
                if key in item:
                    del item[key]
