"""Plates as PDF: every page in its place, upright and unmirrored, embedded once, boxes, labels, corrections.

What a plate shows is read off pictures that pdfium and poppler draw of it, and held against the master's own
pixels. Boxes: ISO 32000-1:2008, 14.11.2 (from memory), as poppler reads them.
"""

from __future__ import annotations

import dataclasses
import hashlib
import math
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pytest
from PIL import Image

import artwork_samples as samples
from doublure.errors import DomainError
from doublure.model.artwork import ArtworkStream
from doublure.render.pdf.plates import PdfPlate, page_matrix, render_plates
from doublure.store.artwork import encode_picture
from doublure.trade.book.gatherings import Half, Side
from doublure.trade.press.affine import IDENTITY, Affine
from doublure.trade.press.artwork_fit import ArtworkSpec
from doublure.trade.press.plan import PressSpec, plan_press
from doublure.trade.press.records import (
    Box,
    Folding,
    MarkKind,
    MarkLine,
    PlacedPage,
    PressPlace,
    PressPlate,
    SheetLayout,
)
from needs import needs
from pdf_reading import (
    Grey,
    assert_sound,
    draw_page,
    draw_with_poppler,
    list_fonts,
    list_images,
    read_boxes,
    read_info,
    read_text,
)

PPI = 600
PX = PPI / 25.4
PT = 72 / 25.4
SHEET = (120.0, 90.0)
#: A leaf of 40 mm by 60 mm at 600 pixels an inch.
LEAF = (40.0, 60.0)
LEFT_TRIM, RIGHT_TRIM = Box(20, 15, *LEAF), Box(60, 15, *LEAF)


def master(seed: int, ppi: int = 600, bleed_mm: float = 0.0) -> Image.Image:
    size = [round((side + 2 * bleed_mm) * ppi / 25.4) for side in LEAF]
    return samples.bilevel(size[0], size[1], seed)


def stream_of(image: Image.Image) -> ArtworkStream:
    return encode_picture(samples.encode(image, "PNG"))


MASTERS = {name: master(seed) for seed, name in enumerate(("one", "two", "three"), 1)}
STREAMS = {name: stream_of(image) for name, image in MASTERS.items()}
SPECS = {name: ArtworkSpec("bilevel", *image.size) for name, image in MASTERS.items()}


def layout(**changes: object) -> SheetLayout:
    base = SheetLayout(
        *SHEET,
        folding=Folding.FOLIO,
        pairs=1,
        bleed_mm=3.0,
        lines=(
            MarkLine(MarkKind.CUT, (20, 11), (20, 7)),
            MarkLine(MarkKind.FOLD, (60, 11), (60, 7)),
            MarkLine(MarkKind.SLIT, (14, 45), (10, 45)),
        ),
        crosses=((60.0, 83.0),),
        label=Box(22, 79, 34, 9),
        trim_box=Box(20, 15, 80, 60),
        bleed_box=Box(17, 12, 86, 66),
        fold_grain_ok=None,
        room_mm=(20, 15, 20, 15),
    )
    return dataclasses.replace(base, **changes)  # type: ignore[arg-type]


def placed(name: str | None, on_right: bool = False, turned: bool = False, shift: float = 0.0) -> PlacedPage:
    trim = RIGHT_TRIM if on_right else LEFT_TRIM
    art = dataclasses.replace(trim, left_mm=trim.left_mm - shift if on_right else trim.left_mm + shift)
    clip = Box(trim.left_mm - (0 if on_right else 3), trim.top_mm - 3, trim.width_mm + 3, trim.height_mm + 6)
    return PlacedPage(name, trim, art, clip, turned, Half.LEFT if on_right else Half.RIGHT, shift, (1,))


def plate(*pages: PlacedPage, collation: Box | None = None) -> PressPlate:
    return PressPlate(1, pages, (PressPlace(1, 1, Side.FRONT),), 1 if collation else 0, collation)


def front(*pages: PlacedPage, **changes: Any) -> PdfPlate:
    bare = changes.pop("layout", layout(lines=(), crosses=(), label=None))
    return PdfPlate(bare, plate(*pages), changes.pop("side", Side.FRONT), **changes)


def render(*pages: PdfPlate, **settings: Any) -> bytes:
    streams = settings.pop("streams", STREAMS)
    specs = settings.pop("specs", SPECS)
    return render_plates(pages, streams, specs, settings.pop("title", "Plates"), **settings)


def cut(picture: Grey, box: Box, margin_mm: float = 0.0) -> Grey:
    left, top = round((box.left_mm - margin_mm) * PX), round((box.top_mm - margin_mm) * PX)
    right, low = round((box.right_mm + margin_mm) * PX), round((box.bottom_mm + margin_mm) * PX)
    return picture[top:low, left:right]


def offset_mm(shown: Grey, image: Image.Image) -> tuple[float, float]:
    """Return how far a master stands from the upper left corner of a cut-out, by correlating both."""
    wanted = np.asarray(image.convert("L"), float)
    wanted = 255 - wanted
    seen = 255 - shown.astype(float)
    shape = (max(seen.shape[0], wanted.shape[0]), max(seen.shape[1], wanted.shape[1]))
    product = np.fft.irfft2(np.fft.rfft2(seen, shape) * np.conj(np.fft.rfft2(wanted, shape)), shape)
    row, column = np.unravel_index(int(product.argmax()), shape)
    best = product.max() / math.sqrt(float((seen**2).sum()) * float((wanted**2).sum()))
    assert best > 0.9, f"the master is not there as it is: {best:.3f}"
    dy = row if row < shape[0] / 2 else row - shape[0]
    dx = column if column < shape[1] / 2 else column - shape[1]
    return float(dx) / PX, float(dy) / PX


def assert_at(picture: Grey, image: Image.Image, box: Box) -> None:
    """Fail where a master does not lie within 0.05 mm of its box, as it is."""
    dx, dy = offset_mm(cut(picture, box, 2.0), image)
    assert (dx, dy) == pytest.approx((2.0, 2.0), abs=0.05)


def test_pages_lie_in_their_places_at_true_size(tmp_path: Path) -> None:
    content = render(front(placed("one"), placed("two", on_right=True)))
    drawn = draw_page(content, ppi=PPI)
    assert drawn.shape == pytest.approx((round(SHEET[1] * PX), round(SHEET[0] * PX)), abs=1)
    assert_at(drawn, MASTERS["one"], LEFT_TRIM)
    assert_at(drawn, MASTERS["two"], RIGHT_TRIM)
    with pytest.raises(AssertionError, match="not there"):
        assert_at(drawn, MASTERS["two"], LEFT_TRIM)


@needs("poppler")
def test_poppler_draws_the_same(tmp_path: Path) -> None:
    path = tmp_path / "plate.pdf"
    path.write_bytes(render(front(placed("one"), placed("two", on_right=True, turned=True))))
    drawn = draw_with_poppler(path, tmp_path, ppi=PPI)
    assert_at(drawn, MASTERS["one"], LEFT_TRIM)
    assert_at(drawn, MASTERS["two"].rotate(180), RIGHT_TRIM)


def test_turned_pages_stand_on_their_heads() -> None:
    drawn = draw_page(render(front(placed("one", turned=True), placed("two", on_right=True))), ppi=PPI)
    assert_at(drawn, MASTERS["one"].rotate(180), LEFT_TRIM)
    assert_at(drawn, MASTERS["two"], RIGHT_TRIM)
    with pytest.raises(AssertionError, match="not there"):
        assert_at(drawn, MASTERS["one"].transpose(Image.Transpose.FLIP_LEFT_RIGHT), LEFT_TRIM)


def test_creep_moves_artwork_towards_the_fold_and_cuts_it_there() -> None:
    drawn = draw_page(
        render(front(placed("one", shift=1.0), placed("two", on_right=True, shift=1.0))), ppi=PPI
    )
    # A millimetre of the edge at the fold is cut off; what is left lies a millimetre nearer.
    gone = round(PX)
    left = MASTERS["one"].crop((0, 0, MASTERS["one"].width - gone, MASTERS["one"].height))
    assert_at(drawn, left, dataclasses.replace(LEFT_TRIM, left_mm=21.0))
    right = MASTERS["two"].crop((gone, 0, MASTERS["two"].width, MASTERS["two"].height))
    assert_at(drawn, right, RIGHT_TRIM)


def test_bleed_shows_as_far_as_the_clip_lets_it() -> None:
    black = Image.new("1", tuple(round((side + 10) * PX) for side in LEAF), 0)  # type: ignore[arg-type]
    spec = ArtworkSpec("bilevel", *black.size, bleed_mm=(5, 5, 5, 5))
    content = render(
        front(placed("black"), placed("black", on_right=True, turned=True)),
        streams={"black": stream_of(black)},
        specs={"black": spec},
    )
    rows, columns = np.nonzero(draw_page(content, ppi=PPI) < 128)
    found = [float(value) / PX for value in (columns.min(), rows.min(), columns.max() + 1, rows.max() + 1)]
    # Three millimetres of the five, and none across the fold.
    assert found == pytest.approx([17, 12, 103, 78], abs=0.1)


def test_uneven_bleed_turns_with_its_page() -> None:
    image = samples.bilevel(round(45 * PX), round(63 * PX), 9)
    spec = ArtworkSpec("bilevel", *image.size, bleed_mm=(2, 3, 1, 2))  # left, right, head, tail
    streams, specs = {"a": stream_of(image)}, {"a": spec}
    open_clip = Box(0, 0, 60, 90)
    upright = dataclasses.replace(placed("a"), clip=open_clip)
    drawn = draw_page(render(front(upright), streams=streams, specs=specs), ppi=PPI)
    assert_at(drawn, image, Box(18, 14, 45, 63))
    turned = dataclasses.replace(placed("a", turned=True), clip=Box(0, 0, 90, 90))
    drawn = draw_page(render(front(turned), streams=streams, specs=specs), ppi=PPI)
    assert_at(drawn, image.rotate(180), Box(17, 13, 45, 63))


class TestPdfPages:
    """Masters that are PDF pages: a trim of 40 x 60 mm that lies 5 mm within its page, with a bleed of 3 mm."""

    def make(self, turn: int = 0) -> bytes:
        shape = [(9, 39, 4, 22), (9, 57, 20, 4), (2, 2, 3, 3)]
        content = "0 g " + " ".join(f"{' '.join(f'{v * PT:.4f}' for v in box)} re f" for box in shape)
        boxes = {
            "TrimBox": pikepdf.Array([v * PT for v in (5, 5, 45, 65)]),
            "BleedBox": pikepdf.Array([v * PT for v in (2, 2, 48, 68)]),
        }
        return samples.vector_pdf(content, (0, 0, 50 * PT, 70 * PT), Rotate=turn, **boxes)

    def as_picture(self) -> Image.Image:
        """The bleed's area at 600 ppi."""
        page = np.full((round(66 * PX), round(46 * PX)), 255, np.uint8)
        for x, y, w, h in [(9, 39, 4, 22), (9, 57, 20, 4), (2, 2, 3, 3)]:
            left, top = x - 2, 68 - y - h
            page[round(top * PX) : round((top + h) * PX), round(left * PX) : round((left + w) * PX)] = 0
        return Image.fromarray(page)

    def test_trim_and_bleed_come_to_lie_where_they_belong(self) -> None:
        streams = {"page": encode_picture(self.make())}
        specs = {"page": ArtworkSpec("vector", width_mm=40, height_mm=60, bleed_mm=(3, 3, 3, 3))}
        upright = dataclasses.replace(placed("page"), clip=Box(0, 0, 120, 90))
        drawn = draw_page(render(front(upright), streams=streams, specs=specs), ppi=PPI)
        assert_at(drawn, self.as_picture(), Box(17, 12, 46, 66))
        turned = dataclasses.replace(upright, turned=True)
        drawn = draw_page(render(front(turned), streams=streams, specs=specs), ppi=PPI)
        assert_at(drawn, self.as_picture().rotate(180), Box(17, 12, 46, 66))

    def test_a_bleed_that_only_the_note_tells(self) -> None:
        # The page's trim is all of it, 40 x 60 mm, of which 2 mm all round are bleed; printed at 36 x 56 mm.
        streams = {"page": encode_picture(self.make())}
        spec = ArtworkSpec(
            "vector", width_mm=36, height_mm=56, print_width_mm=36, print_height_mm=56, bleed_mm=(2, 2, 2, 2)
        )
        upright = dataclasses.replace(placed("page"), clip=Box(0, 0, 120, 90))
        drawn = draw_page(render(front(upright), streams=streams, specs={"page": spec}), ppi=PPI)
        assert_at(drawn, self.as_picture(), Box(17, 12, 46, 66))

    def test_it_is_scaled_to_its_size(self) -> None:
        streams = {"page": encode_picture(self.make())}
        spec = ArtworkSpec(
            "vector", width_mm=40, height_mm=60, print_width_mm=20, print_height_mm=30, bleed_mm=(3, 3, 3, 3)
        )
        upright = dataclasses.replace(placed("page"), clip=Box(0, 0, 120, 90))
        drawn = draw_page(render(front(upright), streams=streams, specs={"page": spec}), ppi=PPI)
        half = self.as_picture().resize((round(23 * PX), round(33 * PX)))
        assert_at(drawn, half, Box(28.5, 28.5, 23, 33))


class TestCorrection:
    """Register coordinates: from the middle of the sheet, y down, seen from the front."""

    fix = Affine(1.004, 0.003, -0.002, 0.997, 0.8, -0.5)

    @pytest.mark.parametrize("side", list(Side))
    @pytest.mark.parametrize("turned", [False, True])
    def test_every_point_goes_where_the_map_says(self, side: Side, turned: bool) -> None:
        # Nine dots of 1 mm, in places that are their own mirror images nowhere.
        dots = [
            (8.0, 6.0),
            (55.0, 9.0),
            (111.0, 12.0),
            (14.0, 40.0),
            (63.0, 47.0),
            (105.0, 52.0),
            (9.0, 81.0),
        ]
        marks = tuple(Box(x - 0.5, y - 0.5, 1, 1) for x, y in dots)
        dotted = PressPlate(1, (), (), 1, marks[0], marks[1:])
        page = PdfPlate(
            layout(lines=(), crosses=(), label=None), dotted, side, correction=self.fix, turned=turned
        )
        drawn = draw_page(render(page), ppi=PPI)
        for x, y in dots:
            # From the side's own view to the front's, mapped, and back again.
            mirror = -1 if side is Side.BACK else 1
            u, v = self.fix.apply(mirror * (x - SHEET[0] / 2), y - SHEET[1] / 2)
            to_x, to_y = mirror * u + SHEET[0] / 2, v + SHEET[1] / 2
            if turned:
                to_x, to_y = SHEET[0] - to_x, SHEET[1] - to_y
            window = cut(drawn, Box(to_x - 1.5, to_y - 1.5, 3, 3))
            rows, columns = np.nonzero(window < 128)
            origin = (round((to_x - 1.5) * PX), round((to_y - 1.5) * PX))
            found = ((columns.mean() + 0.5 + origin[0]) / PX, (rows.mean() + 0.5 + origin[1]) / PX)
            assert found == pytest.approx((to_x, to_y), abs=0.05)

    def test_no_correction_leaves_the_page_alone(self) -> None:
        for side in Side:
            page = front(placed("one"), side=side)
            assert page_matrix(page) == (1, 0, 0, 1, 0, 0)
            assert b" cm /Marks" not in render(page)
        assert page_matrix(front(turned=True)) == pytest.approx((-1, 0, 0, -1, SHEET[0] * PT, SHEET[1] * PT))

    def test_it_can_be_undone_exactly(self) -> None:
        there = np.array(page_matrix(front(side=Side.BACK, correction=self.fix))).reshape(3, 2)
        back = np.array(page_matrix(front(side=Side.BACK, correction=self.fix.inverse()))).reshape(3, 2)
        product = np.c_[there, [0, 0, 1]] @ np.c_[back, [0, 0, 1]]
        assert product == pytest.approx(np.eye(3), abs=1e-9)

    def test_a_map_that_flattens_is_refused(self) -> None:
        with pytest.raises(DomainError, match="cannot be undone"):
            render(front(placed("one"), correction=Affine(0, 0, 0, 0)))

    @needs("poppler")
    def test_boxes_stay_and_turn(self, tmp_path: Path) -> None:
        lopsided = layout(
            lines=(), crosses=(), label=None, trim_box=Box(10, 20, 80, 60), bleed_box=Box(8, 17, 85, 66)
        )
        path = tmp_path / "plates.pdf"
        path.write_bytes(
            render(
                front(layout=lopsided),
                front(layout=lopsided, side=Side.BACK, correction=self.fix),
                front(layout=lopsided, side=Side.BACK, turned=True),
            )
        )
        sheet = [v * PT for v in (0, 0, 120, 90)]
        for number, trim, bleed in (
            (1, (10, 10, 90, 70), (8, 7, 93, 73)),
            (2, (10, 10, 90, 70), (8, 7, 93, 73)),
            (3, (30, 20, 110, 80), (27, 17, 112, 83)),
        ):
            boxes = read_boxes(path, number)
            assert boxes["MediaBox"] == pytest.approx(sheet, abs=0.01)
            assert boxes["CropBox"] == pytest.approx(sheet, abs=0.01)
            assert boxes["TrimBox"] == pytest.approx([v * PT for v in trim], abs=0.01)
            assert boxes["BleedBox"] == pytest.approx([v * PT for v in bleed], abs=0.01)


def test_marks_are_thin_black_and_where_the_layout_has_them() -> None:
    drawn = draw_page(render(PdfPlate(layout(), plate(collation=Box(59, 20, 2, 8)), Side.FRONT)), ppi=1200)
    px = 1200 / 25.4
    cut_mark = drawn[round(7 * px) : round(11 * px), round(19 * px) : round(21 * px)]
    columns = np.nonzero((cut_mark < 128).any(axis=0))[0]
    assert (columns.mean() + 0.5) / px + 19 == pytest.approx(20, abs=0.03)
    assert 0.06 < len(columns) / px < 0.15
    # A cut mark is unbroken, a fold mark is dashed.
    assert (cut_mark[5:-5] < 128).any(axis=1).all()
    fold = drawn[round(7 * px) : round(11 * px), round(59 * px) : round(61 * px)]
    assert not (fold[5:-5] < 128).any(axis=1).all()
    slit = drawn[round(44 * px) : round(46 * px), round(10 * px) : round(14 * px)]
    assert (slit < 128).any()
    cross = drawn[round(80.5 * px) : round(85.5 * px), round(57.5 * px) : round(62.5 * px)]
    rows, columns = np.nonzero(cross < 128)
    assert ((columns.max() - columns.min()) / px, (rows.max() - rows.min()) / px) == pytest.approx(
        (5, 5), abs=0.1
    )
    step = drawn[round(20 * px) : round(28 * px), round(59 * px) : round(61 * px)]
    assert float((step < 10).mean()) > 0.97


@needs("poppler", "qpdf")
def test_a_whole_file_is_sound_and_small(tmp_path: Path) -> None:
    pages = [
        PdfPlate(
            layout(),
            plate(placed("one"), placed("two", on_right=True), collation=Box(59, 20, 2, 8)),
            Side.FRONT,
            label="Plate 1, stack 1: front of sheet 1 in gathering 1",
            page_label="stack 1 front",
        ),
        PdfPlate(
            layout(),
            plate(placed("one", turned=True), placed("three", on_right=True)),
            Side.BACK,
            Affine(1.0004, 0.001, -0.001, 1.0, 0.4, -0.2),
            label="Plate 2 — backs, moved ½ mm",
            page_label="stack 1 back",
        ),
        *[PdfPlate(layout(), plate(placed("one"), placed("one", on_right=True)), Side.FRONT)] * 18,
    ]
    told: list[tuple[int, int]] = []
    content = render(
        *pages, title="Tide notebook: fronts", duplex="short edge", progress=lambda *at: told.append(at)
    )
    assert told == [(n, 20) for n in range(1, 21)]
    path = tmp_path / "plates.pdf"
    path.write_bytes(content)
    assert_sound(path)
    fonts = list_fonts(path)
    assert len(fonts) == 1
    assert fonts[0].embedded
    assert fonts[0].subset
    rows = list_images(path)
    assert len({row["object"] for row in rows}) == 3
    assert {row["enc"] for row in rows} == {"ccitt"}
    assert {row["bpc"] for row in rows} == {"1"}
    assert all(599 <= int(row["x-ppi"]) <= 601 for row in rows if row["page"] != "2")
    assert len(content) <= 1.05 * sum(len(stream.data) for stream in STREAMS.values()) + 2000 * len(pages)
    info = read_info(path)
    assert info["Title"] == "Tide notebook: fronts"
    assert not {"Creator", "Producer", "Author", "CreationDate", "ModDate"} & set(info)
    assert "Plate 1, stack 1" in read_text(path)
    with pikepdf.open(path) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert [page.label for page in list(pdf.pages)[:3]] == ["stack 1 front", "stack 1 back", "1"]
        wishes = pdf.Root.ViewerPreferences
        assert (wishes.PrintScaling, wishes.Duplex) == (
            pikepdf.Name("/None"),
            pikepdf.Name.DuplexFlipShortEdge,
        )
        forms = {page.Resources.XObject.Marks.objgen for page in pdf.pages}
        assert len(forms) == 1


@needs("poppler")
def test_pixels_come_out_as_they_went_in(tmp_path: Path) -> None:
    grey, colour = samples.grey(300, 450), samples.colour(300, 450)
    images = {"one": MASTERS["one"], "grey": grey, "colour": colour}
    kinds = {"one": "bilevel", "grey": "grey", "colour": "colour"}
    streams = {name: stream_of(image) for name, image in images.items()}
    specs = {name: ArtworkSpec(kinds[name], *image.size) for name, image in images.items()}
    pages = [front(placed(name), placed(name, on_right=True)) for name in images]
    path = tmp_path / "plates.pdf"
    path.write_bytes(render(*pages, streams=streams, specs=specs))
    with pikepdf.open(path) as pdf:
        for page, image in zip(pdf.pages, images.values(), strict=True):
            (found,) = [obj for name, obj in page.Resources.XObject.items() if name != "/Marks"]
            taken = pikepdf.PdfImage(found).as_pil_image()
            assert taken.convert(image.mode).tobytes() == image.tobytes()


def test_two_masters_with_one_file_are_embedded_once() -> None:
    streams = {"one": STREAMS["one"], "again": STREAMS["one"]}
    specs = {"one": SPECS["one"], "again": SPECS["one"]}
    content = render(front(placed("one"), placed("again", on_right=True)), streams=streams, specs=specs)
    assert content.count(b"/CCITTFaxDecode") <= 1
    assert len(content) < len(STREAMS["one"].data) + 2000


def test_what_is_missing_is_said() -> None:
    with pytest.raises(DomainError, match="no artwork for the master four"):
        render(front(placed("four")))
    with pytest.raises(DomainError, match="at least one plate"):
        render_plates([], STREAMS, SPECS, "x")


def test_blanks_are_blank() -> None:
    assert (draw_page(render(front(placed(None), placed(None, on_right=True)))) == 255).all()


class TestLabel:
    """The label stays in its box and says all it can."""

    def drawn(self, text: str, box: Box) -> Grey:
        page = PdfPlate(layout(lines=(), crosses=(), label=box), plate(), Side.FRONT, label=text)
        return draw_page(render(page), ppi=PPI)

    @pytest.mark.parametrize("box", [Box(10, 80, 60, 4), Box(10, 80, 100, 8), Box(3, 20, 16, 50)])
    @pytest.mark.parametrize("words", [3, 30, 200])
    def test_nothing_leaves_the_box(self, box: Box, words: int) -> None:
        drawn = self.drawn(" ".join(f"gathering{n % 7}" for n in range(words)), box)
        rows, columns = np.nonzero(drawn < 128)
        assert rows.min() / PX >= box.top_mm - 0.1
        assert (rows.max() + 1) / PX <= box.bottom_mm + 0.1
        assert columns.min() / PX >= box.left_mm - 0.1
        assert (columns.max() + 1) / PX <= box.right_mm + 0.1

    def test_no_place_no_label(self) -> None:
        page = PdfPlate(layout(lines=(), crosses=(), label=None), plate(), Side.FRONT, label="unseen")
        content = render(page)
        assert (draw_page(content) == 255).all()
        assert b"FontFile2" not in content


def test_a_book_of_plates_reads_as_planned() -> None:
    # One gathering of two sheets: the outer sheet carries 8|1 and 2|7, the inner one 6|3 and 4|5.
    names = {number: f"p{number}" for number in range(1, 9)}
    images = {name: master(number + 40, ppi=300) for number, name in names.items()}
    streams = {name: stream_of(image) for name, image in images.items()}
    specs = {name: ArtworkSpec("bilevel", *image.size) for name, image in images.items()}
    plan = plan_press(PressSpec(*LEAF, *SHEET, (2,), names, tuple(range(1, 9))))
    pages = [PdfPlate(plan.layout, one, one.places[0].side) for one in plan.plates]
    content = render_plates(pages, streams, specs, "Book")
    seen = {}
    for number, one in enumerate(plan.plates, 1):
        drawn = draw_page(content, number, PPI)
        place = one.places[0]
        for page in one.pages:
            shown = cut(drawn, page.trim)
            match = min(images, key=lambda name: _difference(images[name], shown))
            assert_at(drawn, images[match].resize(MASTERS["one"].size), page.trim)
            seen[place.sheet, place.side.value, page.spine is Half.LEFT] = match
    assert seen == {
        (1, "front", False): "p8", (1, "front", True): "p1", (1, "back", False): "p2", (1, "back", True): "p7",
        (2, "front", False): "p6", (2, "front", True): "p3", (2, "back", False): "p4", (2, "back", True): "p5",
    }  # fmt: skip


def _difference(image: Image.Image, shown: Grey) -> float:
    """Return how much a picture differs from what is shown, both made small."""
    size = (80, 120)
    one, other = (
        np.asarray(each.resize(size), float) for each in (image.convert("L"), Image.fromarray(shown))
    )
    return float(np.abs(one - other).mean())


def test_the_same_plates_give_the_same_bytes_whatever_the_hash_seed() -> None:
    code = (
        "import sys, hashlib; sys.path[:0] = sys.argv[1].split(';'); import test_pdf_plates as t; "
        "print(t.fingerprint())"
    )
    here = Path(__file__).resolve()
    found = set()
    for seed in ("0", "1", "77"):
        result = subprocess.run(
            [sys.executable, "-c", code, f"{here.parent};{here.parents[2]}"],
            capture_output=True, text=True, env={**os.environ, "PYTHONHASHSEED": seed}, check=True,
        )  # fmt: skip
        found.add(result.stdout.strip())
    assert found == {fingerprint()}


def fingerprint() -> str:
    page = TestPdfPages().make()
    streams = {**STREAMS, "page": encode_picture(page)}
    specs = {**SPECS, "page": ArtworkSpec("vector", width_mm=40, height_mm=60, bleed_mm=(3, 3, 3, 3))}
    pages = [
        PdfPlate(
            layout(), plate(placed("one"), placed("page", True)), Side.FRONT, IDENTITY, False, "Größe", "a"
        ),
        PdfPlate(
            layout(),
            plate(placed("page"), placed("two", True)),
            Side.BACK,
            TestCorrection.fix,
            True,
            "½",
            "b",
        ),
    ]
    return hashlib.sha256(render_plates(pages, streams, specs, "Seeds")).hexdigest()
