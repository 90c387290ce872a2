"""PDF pages as artwork: sizes by their boxes, faults, and a page on its own that draws the same."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pikepdf
import pytest

import artwork_samples as samples
from doublure.model.artwork import ArtworkFact, ArtworkFault
from doublure.store.artwork import encode_picture, inspect_artwork
from doublure.store.cache import Cache
from pdf_reading import dark_box_mm, draw_page

#: An L of 60 pt by 100 pt with its corner at (50, 100), and a dot to its right.
SHAPE = "0 g 50 100 20 100 re f 50 100 60 20 re f 90 180 10 10 re f"
PT = 72 / 25.4


def look(folder: Path, content: bytes) -> ArtworkFact | ArtworkFault:
    (folder / "journal").mkdir(exist_ok=True)
    (folder / "journal/page.pdf").write_bytes(content)
    facts, faults = inspect_artwork(folder, ["page.pdf"], Cache(None))
    return facts["page.pdf"] if facts else faults[0]


def fact(folder: Path, content: bytes) -> ArtworkFact:
    found = look(folder, content)
    assert isinstance(found, ArtworkFact), found
    return found


def fault(folder: Path, content: bytes) -> ArtworkFault:
    found = look(folder, content)
    assert isinstance(found, ArtworkFault), found
    return found


def mm(*points: float) -> object:
    return pytest.approx(tuple(value / PT for value in points))


def test_the_trim_is_the_trim_box_and_the_bleed_lies_beyond(tmp_path: Path) -> None:
    content = samples.vector_pdf(
        SHAPE, TrimBox=pikepdf.Array([20, 30, 280, 400]), BleedBox=pikepdf.Array([12, 24, 282, 410])
    )
    found = fact(tmp_path, content)
    assert (found.kind, found.width_px, found.height_px, found.ink) == ("vector", 0, 0, None)
    assert (found.width_mm, found.height_mm) == mm(260, 370)
    assert found.bleed_mm == mm(8, 10, 2, 6)  # left, top, right, bottom


def test_what_is_not_given_is_the_crop_box(tmp_path: Path) -> None:
    plain = fact(tmp_path, samples.vector_pdf(SHAPE))
    assert (plain.width_mm, plain.height_mm) == mm(300, 420)
    assert plain.bleed_mm == (0, 0, 0, 0)
    cropped = fact(tmp_path, samples.vector_pdf(SHAPE, CropBox=pikepdf.Array([10, 20, 290, 400])))
    assert (cropped.width_mm, cropped.height_mm) == mm(280, 380)
    # ISO 32000-1, 14.11.2: the bleed box, too, is the crop box where it is not given.
    boxes = {"CropBox": pikepdf.Array([10, 20, 290, 400]), "TrimBox": pikepdf.Array([20, 30, 280, 390])}
    assert fact(tmp_path, samples.vector_pdf(SHAPE, **boxes)).bleed_mm == mm(10, 10, 10, 10)


def test_boxes_reach_no_further_than_the_page_and_may_stand_on_their_head(tmp_path: Path) -> None:
    content = samples.vector_pdf(
        SHAPE, TrimBox=pikepdf.Array([280, 400, 20, 30]), BleedBox=pikepdf.Array([-50, -50, 900, 900])
    )
    assert fact(tmp_path, content).bleed_mm == mm(20, 20, 20, 30)
    outside = samples.vector_pdf(SHAPE, TrimBox=pikepdf.Array([400, 30, 500, 300]))
    assert fault(tmp_path, outside).reason == "unreadable"


@pytest.mark.parametrize(
    ("turn", "size", "bleed"),
    [
        (0, (260, 370), (8, 10, 2, 6)),
        (90, (370, 260), (6, 8, 10, 2)),
        (180, (260, 370), (2, 6, 8, 10)),
        (-90, (370, 260), (10, 2, 6, 8)),
    ],
)
def test_turned_pages_are_measured_as_one_sees_them(
    turn: int, size: tuple[float, float], bleed: tuple[float, ...], tmp_path: Path
) -> None:
    content = samples.vector_pdf(
        SHAPE,
        TrimBox=pikepdf.Array([20, 30, 280, 400]),
        BleedBox=pikepdf.Array([12, 24, 282, 410]),
        Rotate=turn,
    )
    found = fact(tmp_path, content)
    assert (found.width_mm, found.height_mm) == mm(*size)
    assert found.bleed_mm == mm(*bleed)


def test_a_user_unit_is_obeyed(tmp_path: Path) -> None:
    found = fact(tmp_path, samples.vector_pdf(SHAPE, UserUnit=2))
    assert (found.width_mm, found.height_mm) == mm(600, 840)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("unit", [1, 1.5])
def test_the_page_on_its_own_draws_the_same(turn: int, unit: float) -> None:
    trim = [20.0, 30.0, 280.0, 400.0]
    content = samples.vector_pdf(
        SHAPE, CropBox=pikepdf.Array(trim), TrimBox=pikepdf.Array(trim), Rotate=turn, UserUnit=unit
    )
    stream = encode_picture(content)
    assert (stream.kind, stream.filter) == ("vector", "")
    # pdfium draws the crop box, turned, without the user unit; which ours, in points, has to make up for.
    theirs = draw_page(content, ppi=150)
    ours = draw_page(stream.data, ppi=150 / unit)
    assert ours.shape == theirs.shape
    assert np.mean(np.abs(ours.astype(int) - theirs)) < 0.5
    with pikepdf.open(io.BytesIO(stream.data)) as pdf:
        assert pdf.check_pdf_syntax() == []
        width, height = (float(side) for side in pdf.pages[0].mediabox.as_list()[2:])
        expected = (260 * unit, 370 * unit) if turn % 180 == 0 else (370 * unit, 260 * unit)
        assert (width, height) == pytest.approx(expected)


def test_nothing_shows_beyond_the_bleed() -> None:
    content = samples.vector_pdf(
        "0 g 0 0 300 420 re f",
        TrimBox=pikepdf.Array([100, 100, 200, 200]),
        BleedBox=pikepdf.Array([90, 95, 203, 204]),
    )
    stream = encode_picture(content)
    with pikepdf.open(io.BytesIO(stream.data)) as pdf:
        page = pdf.pages[0]
        page.MediaBox = pikepdf.Array([-50, -50, 150, 150])
        out = io.BytesIO()
        pdf.save(out)
    left, top, right, low = dark_box_mm(draw_page(out.getvalue(), ppi=288), 288)
    assert (left, right) == pytest.approx((40 / PT, 153 / PT), abs=0.1)
    assert (top, low) == pytest.approx((46 / PT, 155 / PT), abs=0.1)


def test_several_pages_are_refused(tmp_path: Path) -> None:
    """Nobody knows which one is meant."""
    first = pikepdf.open(io.BytesIO(samples.vector_pdf(SHAPE)))
    other = pikepdf.open(io.BytesIO(samples.vector_pdf("0 g 0 0 300 420 re f")))
    first.pages.append(other.pages[0])
    out = io.BytesIO()
    first.save(out)
    found = fault(tmp_path, out.getvalue())
    assert (found.reason, found.detail) == ("several", "2 pages")


def test_what_is_not_seen_stays_behind() -> None:
    pdf = pikepdf.open(io.BytesIO(samples.vector_pdf(SHAPE)))
    page = pdf.pages[0]
    pdf.docinfo["/Author"] = "PLANTED-AUTHOR"
    page.Metadata = pdf.make_stream(b"PLANTED-XMP")
    page.PieceInfo = pikepdf.Dictionary(Maker=pikepdf.String("PLANTED-PIECE"))
    note = pikepdf.Dictionary(
        Type=pikepdf.Name.Annot,
        Subtype=pikepdf.Name.Text,
        Rect=[0, 0, 9, 9],
        Contents=pikepdf.String("PLANTED-NOTE"),
    )
    page.Annots = pikepdf.Array([pdf.make_indirect(note)])
    inner = pdf.make_stream(b"")
    inner.Type, inner.Subtype, inner.BBox = (
        pikepdf.Name.XObject,
        pikepdf.Name.Form,
        pikepdf.Array([0, 0, 1, 1]),
    )
    inner.Metadata = pdf.make_stream(b"PLANTED-INNER")
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(F=inner))
    out = io.BytesIO()
    pdf.save(out, compress_streams=False, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    assert out.getvalue().count(b"PLANTED") == 5
    kept = pikepdf.open(io.BytesIO(encode_picture(out.getvalue()).data))
    plain = io.BytesIO()
    kept.save(
        plain,
        compress_streams=False,
        stream_decode_level=pikepdf.StreamDecodeLevel.generalized,
        object_stream_mode=pikepdf.ObjectStreamMode.disable,
    )
    assert b"PLANTED" not in plain.getvalue()


def test_the_same_page_gives_the_same_bytes() -> None:
    content = samples.vector_pdf(SHAPE)
    assert encode_picture(content).data == encode_picture(content).data


class TestFaults:
    """PDFs that cannot be printed."""

    def test_with_a_password(self, tmp_path: Path) -> None:
        locked = samples.vector_pdf(SHAPE, encryption=pikepdf.Encryption(owner="o", user="u"))
        assert fault(tmp_path, locked) == ArtworkFault("page.pdf", "encrypted", "save it without a password")
        barred = samples.vector_pdf(SHAPE, encryption=pikepdf.Encryption(owner="o", user=""))
        assert fault(tmp_path, barred).reason == "encrypted"

    @pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
    def test_cut_short(self, share: float, tmp_path: Path) -> None:
        content = samples.vector_pdf(SHAPE)
        assert fault(tmp_path, content[: int(len(content) * share)]).reason == "torn"

    def test_a_damaged_stream(self, tmp_path: Path) -> None:
        content = bytearray(samples.vector_pdf(SHAPE))
        at = content.index(b"stream\n") + 12
        content[at : at + 6] = b"\xff\x00\xff\x00\xff\x00"
        assert fault(tmp_path, bytes(content)).reason == "torn"

    def test_no_page(self, tmp_path: Path) -> None:
        out = io.BytesIO()
        pikepdf.Pdf.new().save(out)
        assert fault(tmp_path, out.getvalue()).reason == "no page"

    def test_hidden_layers(self, tmp_path: Path) -> None:
        pdf = pikepdf.open(io.BytesIO(samples.vector_pdf(SHAPE)))
        layer = pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name=pikepdf.String("x")))
        pdf.Root.OCProperties = pikepdf.Dictionary(
            OCGs=pikepdf.Array([layer]), D=pikepdf.Dictionary(OFF=pikepdf.Array([layer]))
        )
        out = io.BytesIO()
        pdf.save(out)
        assert "layers" in fault(tmp_path, out.getvalue()).detail

    def test_turned_askew(self, tmp_path: Path) -> None:
        assert "45 degrees" in fault(tmp_path, samples.vector_pdf(SHAPE, Rotate=45)).detail
