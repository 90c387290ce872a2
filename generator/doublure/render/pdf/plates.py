"""Plates as pages of a PDF: artwork at true size, marks, label, correction; every artwork embedded once a file.

In: plates as the press laid them out, where the artwork goes, its streams, words. Out: bytes, the same for the
same input. Never: a pixel encoded anew, scaling, anything of a file but what it shows, wording of its own.
Coordinates of a side (mm, y down) become points (y up) here and nowhere else.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping, Sequence
from typing import BinaryIO

from pikepdf import Array, Dictionary, Name, NumberTree, Object, Page, Pdf, Stream

from doublure.errors import DomainError
from doublure.model.artwork import ArtworkStream
from doublure.render.pdf.images import add_stream
from doublure.render.pdf.plate_page import PdfPlate
from doublure.render.pdf.typefaces import FontBook, fill_box, pdf_text
from doublure.render.pdf.writing import PT, new_pdf, number, numbers, save_pdf_to
from doublure.trade.book.gatherings import Side
from doublure.trade.press.artwork_fit import ArtworkSpec, place_artwork
from doublure.trade.press.marks import CROSS_ARM_MM
from doublure.trade.press.records import Box, MarkKind, PlacedPage, SheetLayout

#: Width of every mark, mm: two to three pixels at 600 an inch.
MARK_WIDTH_MM = 0.1
#: Dashes of a mark by what it is for, mm.
_DASHES = {MarkKind.CUT: (), MarkKind.FOLD: (0.8, 0.5), MarkKind.SLIT: (1.4, 0.4, 0.2, 0.4)}
#: Size of the label's letters, mm: as large as there is room for, down to what can still be read.
_LABEL_MM = (2.3, 1.2)
Progress = Callable[[int, int], None]

__all__ = ["PdfPlate", "render_plates", "write_plates"]


def render_plates(
    pages: Sequence[PdfPlate],
    streams: Mapping[str, ArtworkStream],
    specs: Mapping[str, ArtworkSpec],
    title: str,
    duplex: str = "",
    progress: Progress = lambda done, of: None,
) -> bytes:
    """Return the print file of some plates; see write_plates."""
    out = io.BytesIO()
    write_plates(out, pages, streams, specs, title, duplex, progress)
    return out.getvalue()


def write_plates(
    out: BinaryIO,
    pages: Sequence[PdfPlate],
    streams: Mapping[str, ArtworkStream],
    specs: Mapping[str, ArtworkSpec],
    title: str,
    duplex: str = "",
    progress: Progress = lambda done, of: None,
) -> None:
    """Write the print file of some plates, one page each, in their order.

    The media box is the sheet. Trim and bleed box are those of the layout, upright: they say where the sheet
    will be cut, so they turn with a turned page, but a correction, which only makes up for what the printer
    does, leaves them where they are. Artwork is cut off where its place says so (bleed, fold, neighbours).
    Marks, crosses, step marks and the label are black alone, and move with the correction.

    Args:
        out: Where to; binary, with seek.
        pages: At least one.
        streams: By master; asked for once each, so that it need not hold them all in memory.
        specs: How each master's artwork is placed, by master.
        title: Of the document.
        duplex: What the print dialogue is to begin with: "", "simplex", "long edge" or "short edge".
        progress: Told of every page laid out.

    Raises:
        DomainError: No page, a page with a master that has no stream or spec, or a correction that cannot be
            undone.

    Source:
        ISO 32000-1:2008, 8.3 (coordinates), 8.10 (form XObjects), 12.4.2 (page labels), 14.11.2 (boxes); from
        memory.
    """
    if not pages:
        raise DomainError("a print file needs at least one plate", "pages")
    pdf = new_pdf(title, duplex)
    press = _Press(pdf, streams, specs)
    for done, page in enumerate(pages, 1):
        press.add(page)
        progress(done, len(pages))
    press.fonts.finish()
    labels = NumberTree.new(pdf)
    for index, page in enumerate(pages):
        labels[index] = Dictionary(P=pdf_text(page.page_label)) if page.page_label else Dictionary(S=Name.D)
    pdf.Root.PageLabels = labels.obj
    save_pdf_to(pdf, out)


def page_matrix(page: PdfPlate) -> tuple[float, float, float, float, float, float]:
    """Return the matrix, in points, by which a page's drawing is moved: its correction, then its turn.

    Register coordinates are seen from the front with y down. A side's own PDF coordinates are y up, and for a
    back left and right change places as well: both together are a half turn, which leaves the linear part as
    it is and turns the shift about.
    """
    fix = page.correction
    fix.inverse()  # raises where nobody could make up for it
    flip = 1.0 if page.side is Side.BACK else -1.0
    across = -1.0 if page.side is Side.BACK else 1.0
    a, c = fix.xx, flip * fix.xy
    b, d = flip * fix.yx, fix.yy
    dx, dy = across * fix.x_mm, -fix.y_mm
    if page.turned:
        a, b, c, d, dx, dy = -a, -b, -c, -d, -dx, -dy
    # About the middle of the sheet.
    mx, my = page.layout.sheet_width_mm / 2, page.layout.sheet_height_mm / 2
    e, f = mx + dx - a * mx - c * my, my + dy - b * mx - d * my
    return (a, b, c, d, e * PT, f * PT)


class _Press:
    """Adds pages to a PDF and keeps what they share."""

    def __init__(
        self, pdf: Pdf, streams: Mapping[str, ArtworkStream], specs: Mapping[str, ArtworkSpec]
    ) -> None:
        self.fonts = FontBook(pdf)
        self._pdf = pdf
        self._streams = streams
        self._specs = specs
        self._artwork: dict[str, tuple[str, Object]] = {}
        self._by_content: dict[str, tuple[str, Object]] = {}
        self._sizes: dict[str, tuple[float, float]] = {}
        self._marks: dict[SheetLayout, Object] = {}
        #: Pages are copied when the file is saved; until then where they come from must stay.
        self._sources: list[Pdf] = []

    def add(self, page: PdfPlate) -> None:
        layout = page.layout
        height = layout.sheet_height_mm
        used: dict[str, Object] = {"Marks": self._marks_of(layout)}
        words = ["0 g"]
        for placed in page.plate.pages:
            if placed.master is not None:
                name, art = self._artwork_of(placed.master)
                used[name] = art
                words.append(self._place(placed, placed.master, name, height))
        for mark in page.plate.collation_marks:
            words.append(f"{_rectangle(mark, height)} f")
        words.append("/Marks Do")
        if layout.label is not None and page.label.strip():
            words += self._label(page.label, layout.label, height)
        matrix = page_matrix(page)
        if page.turned or not page.correction.is_identity:
            words = [f"q {numbers(*matrix)} cm", *words, "Q"]
        sheet = self._pdf.add_blank_page(page_size=(layout.sheet_width_mm * PT, height * PT))
        self._set_boxes(sheet, page)
        sheet.obj.Contents = self._pdf.make_stream("\n".join(words).encode("ascii"))
        sheet.obj.Resources = Dictionary(
            XObject=Dictionary({f"/{name}": obj for name, obj in used.items()}), Font=self.fonts.resources()
        )

    def _set_boxes(self, sheet: Page, page: PdfPlate) -> None:
        layout = page.layout
        for name, box in (("/TrimBox", layout.trim_box), ("/BleedBox", layout.bleed_box)):
            left, right = box.left_mm, box.right_mm
            low, top = layout.sheet_height_mm - box.bottom_mm, layout.sheet_height_mm - box.top_mm
            if page.turned:
                left, right = layout.sheet_width_mm - right, layout.sheet_width_mm - left
                low, top = layout.sheet_height_mm - top, layout.sheet_height_mm - low
            sheet.obj[name] = Array([round(side * PT, 6) for side in (left, low, right, top)])

    def _artwork_of(self, master: str) -> tuple[str, Object]:
        """Return name and object of a master's artwork, embedded when it is first asked for."""
        if master in self._artwork:
            return self._artwork[master]
        if master not in self._streams or master not in self._specs:
            raise DomainError(f"there is no artwork for the master {master}", "streams")
        stream = self._streams[master]
        if stream.sha256 in self._by_content:
            found = self._by_content[stream.sha256]
        else:
            name = f"A{len(self._by_content) + 1}"
            found = (
                name,
                self._add_page(name, stream) if stream.kind == "vector" else add_stream(self._pdf, stream),
            )
            self._by_content[stream.sha256] = found
        self._artwork[master] = found
        return found

    def _add_page(self, name: str, stream: ArtworkStream) -> Object:
        source = Pdf.open(io.BytesIO(stream.data))
        self._sources.append(source)
        page = source.pages[0]
        _, _, width, height = (float(side) for side in page.mediabox.as_list())
        self._sizes[name] = (width / PT, height / PT)
        return self._pdf.copy_foreign(page.obj.Resources.XObject.Artwork)

    def _place(self, placed: PlacedPage, master: str, name: str, height: float) -> str:
        spec = self._specs[master]
        box = place_artwork(placed, spec)
        # Where the lower left corner of the artwork lies, and the size of a unit of it.
        x, y = box.left_mm, height - box.bottom_mm
        if name in self._sizes:
            left, right, head, tail = spec.bleed_mm
            wide, high = spec.width_mm + left + right, spec.height_mm + head + tail
            unit_x, unit_y = box.width_mm / wide / PT, box.height_mm / high / PT
            # The form's origin is the corner of the trim that its file names; what is taken as the trimmed area
            # lies in its middle.
            form_wide, form_high = self._sizes[name]
            from_left = left - (form_wide - spec.width_mm) / 2
            from_low = tail - (form_high - spec.height_mm) / 2
            x_in, y_in = from_left * box.width_mm / wide, from_low * box.height_mm / high
        else:
            unit_x, unit_y, x_in, y_in = box.width_mm, box.height_mm, 0.0, 0.0
        if placed.turned:
            matrix = (-unit_x, 0, 0, -unit_y, x + box.width_mm - x_in, y + box.height_mm - y_in)
        else:
            matrix = (unit_x, 0, 0, unit_y, x + x_in, y + y_in)
        return f"q {_rectangle(placed.clip, height)} W n {numbers(*(v * PT for v in matrix))} cm /{name} Do Q"

    def _marks_of(self, layout: SheetLayout) -> Object:
        if layout not in self._marks:
            form = Stream(self._pdf, _marks(layout))
            form.Type, form.Subtype = Name.XObject, Name.Form
            form.BBox = Array(
                [0, 0, *(round(s * PT, 6) for s in (layout.sheet_width_mm, layout.sheet_height_mm))]
            )
            form.Resources = Dictionary()
            self._marks[layout] = self._pdf.make_indirect(form)
        return self._marks[layout]

    def _label(self, text: str, box: Box, height: float) -> list[str]:
        size, lines = fill_box(text, box.width_mm, box.height_mm, *_LABEL_MM)
        words = []
        for index, line in enumerate(lines):
            # The first baseline lies one em below the top; lines follow at 1.2 em.
            x, y = box.left_mm, height - box.top_mm - size * (1 + 1.2 * index)
            words.append(
                f"BT {self.fonts.name_of()} {number(size * PT)} Tf {numbers(1, 0, 0, 1, x * PT, y * PT)} Tm "
                f"{self.fonts.encode(line)} Tj ET"
            )
        return words


def _rectangle(box: Box, height: float) -> str:
    sides = (box.left_mm, height - box.bottom_mm, box.width_mm, box.height_mm)
    return f"{numbers(*(side * PT for side in sides))} re"


def _marks(layout: SheetLayout) -> bytes:
    """Return what draws the marks that all plates of a layout share."""
    height = layout.sheet_height_mm

    def at(x: float, y: float) -> str:
        return numbers(x * PT, (height - y) * PT)

    words = [f"0 G {number(MARK_WIDTH_MM * PT)} w 0 J"]
    for kind, dashes in _DASHES.items():
        lines = [line for line in layout.lines if line.kind is kind]
        if lines:
            words.append(f"[{numbers(*(dash * PT for dash in dashes))}] 0 d")
            words += [f"{at(*line.start)} m {at(*line.end)} l S" for line in lines]
    words.append("[] 0 d")
    for x, y in layout.crosses:
        arm = CROSS_ARM_MM
        words.append(f"{at(x - arm, y)} m {at(x + arm, y)} l {at(x, y - arm)} m {at(x, y + arm)} l S")
        words.append(f"{_ring(x * PT, (height - y) * PT, arm / 2 * PT)} S")
    return "\n".join(words).encode("ascii")


def _ring(x: float, y: float, r: float) -> str:
    """Return a circle as four cubic curves; control length 4/3·(√2 − 1)·r, common practice."""
    k = 4 / 3 * (2**0.5 - 1) * r
    return " ".join(
        (
            f"{numbers(x + r, y)} m",
            f"{numbers(x + r, y + k, x + k, y + r, x, y + r)} c",
            f"{numbers(x - k, y + r, x - r, y + k, x - r, y)} c",
            f"{numbers(x - r, y - k, x - k, y - r, x, y - r)} c",
            f"{numbers(x + k, y - r, x + r, y - k, x + r, y)} c h",
        )
    )
