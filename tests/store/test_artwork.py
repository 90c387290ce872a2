"""Artwork files: what is found of them, what is refused, and that no pixel is lost on the way into a PDF."""

from __future__ import annotations

import io
import os
import subprocess
from pathlib import Path

import numpy as np
import pikepdf
import pytest
from PIL import Image, ImageCms

import artwork_samples as samples
from doublure.model.artwork import ArtworkFact, ArtworkFault, ArtworkStream
from doublure.render.pdf.images import add_stream
from doublure.store import artwork
from doublure.store.artwork import (
    StreamShelf,
    UnusableArtworkError,
    encode_picture,
    inspect_artwork,
    load_stream,
    prepare_streams,
)
from doublure.store.artwork_tiff import decode_loudly
from doublure.store.cache import Cache
from needs import find_tool, needs


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "journal/artwork").mkdir(parents=True)
    return tmp_path


@pytest.fixture
def cache(root: Path) -> Cache:
    return Cache.of_project(root)


def put(root: Path, name: str, content: bytes) -> str:
    (root / "journal/artwork" / name).write_bytes(content)
    return f"artwork/{name}"


def fact_of(root: Path, content: bytes, name: str = "page") -> ArtworkFact:
    file = put(root, name, content)
    facts, faults = inspect_artwork(root, [file], Cache(None))
    assert faults == ()
    return facts[file]


def fault_of(root: Path, content: bytes, name: str = "page") -> ArtworkFault:
    file = put(root, name, content)
    facts, faults = inspect_artwork(root, [file], Cache(None))
    assert facts == {}
    return faults[0]


def extract(stream: ArtworkStream, folder: Path) -> Image.Image:
    """Put a stream into a PDF, and take the picture out again by poppler."""
    pdf = pikepdf.Pdf.new()
    page = pdf.add_blank_page(page_size=(100, 100))
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(A=add_stream(pdf, stream)))
    page.Contents = pdf.make_stream(b"q 100 0 0 100 0 0 cm /A Do Q")
    path = folder / "extract.pdf"
    pdf.save(path)
    program = find_tool("poppler")
    assert program is not None
    tool = program.with_name("pdfimages")
    subprocess.run([str(tool), "-png", str(path), str(folder / "out")], check=True, capture_output=True)
    with Image.open(folder / "out-000.png") as image:
        image.load()
        return image.copy()


BILEVEL, GREY, COLOUR = samples.bilevel(), samples.grey(), samples.colour()
DARK = (samples.bilevel(241, 77), samples.bilevel(240, 360).crop((60, 40, 69, 90)), samples.bilevel(1000, 60))


def two_colours(first: tuple[int, int, int], second: tuple[int, int, int]) -> Image.Image:
    image = Image.frombytes("P", BILEVEL.size, BILEVEL.convert("L").point([0] * 255 + [1]).tobytes())
    image.putpalette([*first, *second])
    return image


def grey_palette() -> Image.Image:
    image = Image.frombytes("P", GREY.size, GREY.tobytes())
    image.putpalette([255 - i for i in range(256) for _ in range(3)])
    return image


def with_alpha(image: Image.Image, veil: Image.Image) -> Image.Image:
    veiled = image.copy()
    veiled.putalpha(veil)
    return veiled


SOLID = Image.new("L", GREY.size, 255)

#: name -> (file, kind, filter, what it must be to the last pixel)
SAME = {
    "1-bit png": (samples.encode(BILEVEL, "PNG"), "bilevel", "CCITTFaxDecode", BILEVEL),
    "odd widths": (samples.encode(DARK[0], "PNG"), "bilevel", "CCITTFaxDecode", DARK[0]),
    "narrow": (samples.encode(DARK[1], "PNG"), "bilevel", "CCITTFaxDecode", DARK[1]),
    "wide": (samples.encode(DARK[2], "PNG"), "bilevel", "CCITTFaxDecode", DARK[2]),
    "8-bit black and white": (samples.encode(BILEVEL.convert("L"), "PNG"), "bilevel", "CCITTFaxDecode", BILEVEL),
    "rgb black and white": (samples.encode(BILEVEL.convert("RGB"), "PNG"), "bilevel", "CCITTFaxDecode", BILEVEL),
    "palette black and white": (
        samples.encode(two_colours((0, 0, 0), (255, 255, 255)), "PNG"), "bilevel", "CCITTFaxDecode", BILEVEL,
    ),
    "palette white and black": (
        samples.encode(two_colours((255, 255, 255), (0, 0, 0)), "PNG"),
        "bilevel", "CCITTFaxDecode", BILEVEL.convert("L").point(lambda level: 255 - level).convert("1"),
    ),
    "palette of two colours": (
        samples.encode(two_colours((60, 20, 0), (250, 240, 220)), "PNG"),
        "colour", "FlateDecode", two_colours((60, 20, 0), (250, 240, 220)).convert("RGB"),
    ),
    "grey palette": (samples.encode(grey_palette(), "PNG"), "grey", "FlateDecode", grey_palette().convert("L")),
    "gif": (samples.encode(grey_palette(), "GIF"), "grey", "FlateDecode", grey_palette().convert("L")),
    "one group 4 strip": (samples.g4_tiff(BILEVEL), "bilevel", "CCITTFaxDecode", BILEVEL),
    "several strips": (
        samples.encode(BILEVEL, "TIFF", compression="group4", tiffinfo={278: 16}), "bilevel", "CCITTFaxDecode", BILEVEL,
    ),
    "group 3": (samples.encode(BILEVEL, "TIFF", compression="group3"), "bilevel", "CCITTFaxDecode", BILEVEL),
    "packed tiff": (samples.encode(BILEVEL, "TIFF", compression="packbits"), "bilevel", "CCITTFaxDecode", BILEVEL),
    "grey tiff": (samples.encode(GREY, "TIFF", compression="tiff_lzw"), "grey", "FlateDecode", GREY),
    "rgb tiff": (samples.encode(COLOUR, "TIFF"), "colour", "FlateDecode", COLOUR),
    "grey png": (samples.encode(GREY, "PNG"), "grey", "FlateDecode", GREY),
    "rgb png": (samples.encode(COLOUR, "PNG"), "colour", "FlateDecode", COLOUR),
    "grey as rgb": (samples.encode(GREY.convert("RGB"), "PNG"), "grey", "FlateDecode", GREY),
    "lossless webp": (samples.encode(COLOUR, "WEBP", lossless=True), "colour", "FlateDecode", COLOUR),
    "portable bitmap": (samples.encode(BILEVEL, "PPM"), "bilevel", "CCITTFaxDecode", BILEVEL),
    "solid alpha": (samples.encode(with_alpha(COLOUR, SOLID), "PNG"), "colour", "FlateDecode", COLOUR),
    "grey and solid alpha": (samples.encode(with_alpha(GREY, SOLID), "PNG"), "grey", "FlateDecode", GREY),
    "clear white, 1 bit": (samples.encode(BILEVEL, "PNG", transparency=1), "bilevel", "CCITTFaxDecode", BILEVEL),
    "clear black, 1 bit": (
        samples.encode(BILEVEL, "PNG", transparency=0),
        "bilevel", "CCITTFaxDecode", Image.new("1", BILEVEL.size, 1),
    ),
    "clear palette, 1 bit": (
        samples.encode(two_colours((0, 0, 0), (9, 9, 9)), "PNG", transparency=1), "bilevel", "CCITTFaxDecode", BILEVEL,
    ),
    "clear level of grey": (
        samples.encode(GREY, "PNG", transparency=40),
        "grey", "FlateDecode", GREY.point([255 if level == 40 else level for level in range(256)]),
    ),
}  # fmt: skip


@needs("poppler")
@pytest.mark.parametrize("name", SAME)
def test_every_pixel_comes_out_as_it_went_in(name: str, root: Path, cache: Cache, tmp_path: Path) -> None:
    content, kind, filter_name, expected = SAME[name]
    file = put(root, "page", content)
    facts, faults = inspect_artwork(root, [file], cache)
    assert faults == ()
    fact = facts[file]
    assert (fact.kind, fact.width_px, fact.height_px) == (kind, *expected.size)
    for _ in range(2):  # made, and then found again
        stream = load_stream(root, fact, cache)
        assert (stream.kind, stream.filter) == (kind, filter_name)
        taken = extract(stream, tmp_path)
        assert taken.convert(expected.mode).tobytes() == expected.tobytes()


@needs("poppler")
@pytest.mark.parametrize("settings", [{}, {"progressive": True}, {"subsampling": 0, "optimize": True}])
@pytest.mark.parametrize("image", [GREY, COLOUR])
def test_a_jpeg_keeps_its_picture_data(
    image: Image.Image, settings: dict[str, object], root: Path, tmp_path: Path
) -> None:
    exif = Image.Exif()
    exif[0x010F] = "PLANTED-CAMERA"
    plain = samples.encode(image, "JPEG", **settings)
    talkative = samples.encode(image, "JPEG", exif=exif, comment=b"PLANTED-COMMENT", **settings)
    assert b"PLANTED-CAMERA" in talkative
    assert b"PLANTED-COMMENT" in talkative
    fact = fact_of(root, talkative)
    stream = load_stream(root, fact, Cache(None))
    assert stream.filter == "DCTDecode"
    assert stream.kind == ("grey" if image.mode == "L" else "colour")
    assert stream.data == plain
    decoded = Image.open(io.BytesIO(talkative))
    taken = extract(stream, tmp_path)
    # Decoders of JPEG may differ by a level or two.
    difference = np.abs(np.asarray(taken.convert(image.mode), int) - np.asarray(decoded, int))
    assert difference.max() <= 2


def test_what_follows_a_jpeg_stays_behind() -> None:
    stream = encode_picture(samples.encode(GREY, "JPEG") + b"PLANTED-TRAILER\xff\xd9")
    assert stream.data == samples.encode(GREY, "JPEG")


@needs("poppler")
def test_a_turned_jpeg_is_decoded_and_set_upright(root: Path, tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # its top lies to the right: turn by a quarter, clockwise
    content = samples.encode(COLOUR, "JPEG", exif=exif)
    fact = fact_of(root, content)
    assert (fact.width_px, fact.height_px) == COLOUR.size[::-1]
    stream = load_stream(root, fact, Cache(None))
    assert stream.filter == "FlateDecode"
    expected = Image.open(io.BytesIO(content)).convert("RGB").rotate(-90, expand=True)
    assert extract(stream, tmp_path).tobytes() == expected.tobytes()


def test_jpegs_whose_colours_readers_might_guess_are_decoded() -> None:
    content = samples.encode(COLOUR, "JPEG", keep_rgb=True)
    assert encode_picture(content).filter == "FlateDecode"


def test_a_strip_of_group_4_is_copied_to_the_byte(root: Path) -> None:
    content = samples.g4_tiff(BILEVEL)
    stream = load_stream(root, fact_of(root, content), Cache(None))
    tags = Image.open(io.BytesIO(content)).tag_v2  # type: ignore[attr-defined]
    assert stream.data == content[tags[273][0] : tags[273][0] + tags[279][0]]


@needs("poppler")
@pytest.mark.parametrize(
    ("tags", "mirror_bits", "expected"),
    [
        ([], False, BILEVEL),
        ([(266, 2)], True, BILEVEL),  # FillOrder: the first pixel is the lowest bit
        (
            [(274, 3)],
            False,
            BILEVEL.rotate(180),
        ),  # Orientation: the first row is at the bottom, from the right
        ([(274, 6)], False, BILEVEL.rotate(-90, expand=True)),
        ([(274, 2)], False, BILEVEL.transpose(Image.Transpose.FLIP_LEFT_RIGHT)),
    ],
)
def test_strips_that_lie_otherwise_are_encoded_anew(
    tags: list[tuple[int, int]], mirror_bits: bool, expected: Image.Image, root: Path, tmp_path: Path
) -> None:
    content = samples.tagged_tiff(BILEVEL, *tags, mirror_bits=mirror_bits)
    fact = fact_of(root, content)
    assert (fact.width_px, fact.height_px) == expected.size
    stream = load_stream(root, fact, Cache(None))
    assert (stream.data in content) is (not tags)
    assert extract(stream, tmp_path).convert("1").tobytes() == expected.tobytes()


@needs("poppler")
def test_a_strip_that_says_black_is_white_is_believed(root: Path, tmp_path: Path) -> None:
    content = samples.g4_tiff(BILEVEL)
    tags = Image.open(io.BytesIO(content)).tag_v2  # type: ignore[attr-defined]
    entry = content.index((262).to_bytes(2, "little") + (3).to_bytes(2, "little"))
    other = bytearray(content)
    other[entry + 8] = 1 - tags[262]
    inverted = BILEVEL.convert("L").point(lambda level: 255 - level).convert("1")
    stream = load_stream(root, fact_of(root, bytes(other)), Cache(None))
    assert stream.black_is_1 is (tags[262] == 0)
    assert extract(stream, tmp_path).convert("1").tobytes() == inverted.tobytes()


def test_a_png_of_rows_is_copied_to_the_byte(root: Path) -> None:
    content = samples.encode(COLOUR, "PNG", pnginfo=None)
    stream = load_stream(root, fact_of(root, content), Cache(None))
    assert stream.data in content
    assert stream.predictor_columns == COLOUR.width


@needs("poppler")
def test_interlaced_and_4_bit_pngs_are_encoded_anew(root: Path, tmp_path: Path) -> None:
    # A PNG of 2 x 2 greys of 4 bits: 0, 5, 10, 15 become 0, 85, 170, 255.
    content = samples.png((2, 2, 4, 0, 0), b"\0\x05\0\xaf")
    stream = load_stream(root, fact_of(root, content), Cache(None))
    assert extract(stream, tmp_path).convert("L").tobytes() == bytes((0, 85, 170, 255))
    # Adam7 (ISO/IEC 15948, 8.2) of 2 x 2: pass 1 has pixel (0,0), pass 6 (1,0), pass 7 the second row.
    content = samples.png((2, 2, 8, 0, 0), b"\0\x0a" + b"\0\x14" + b"\0\x1e\x28", interlace=1)
    stream = load_stream(root, fact_of(root, content), Cache(None))
    assert extract(stream, tmp_path).convert("L").tobytes() == bytes((10, 20, 30, 40))


@needs("poppler")
def test_what_shows_through_lies_on_white(root: Path, tmp_path: Path) -> None:
    half = with_alpha(
        Image.new("RGB", (3, 1), (200, 100, 0)), Image.frombytes("L", (3, 1), bytes((0, 51, 255)))
    )
    stream = load_stream(root, fact_of(root, samples.encode(half, "PNG")), Cache(None))
    # c·a + 255·(1 − a) with a = 0, 0.2, 1.
    expected = bytes((255, 255, 255, 244, 224, 204, 200, 100, 0))
    assert extract(stream, tmp_path).tobytes() == expected


class TestColours:
    """Greys and black on white stay; other colours are brought to sRGB."""

    profile = samples.swapped_profile()

    @pytest.mark.parametrize("image", [BILEVEL.convert("RGB"), GREY.convert("RGB"), GREY])
    def test_no_profile_touches_black_and_white_or_greys(self, image: Image.Image) -> None:
        plain = encode_picture(samples.encode(image, "PNG"))
        named = encode_picture(samples.encode(image, "PNG", icc_profile=self.profile))
        assert (plain.kind, plain.data) == (named.kind, named.data)

    @needs("poppler")
    def test_colours_of_another_space_are_converted(self, tmp_path: Path) -> None:
        image = Image.new("RGB", (16, 16), (255, 0, 0))
        taken = extract(encode_picture(samples.encode(image, "PNG", icc_profile=self.profile)), tmp_path)
        pixel = taken.getpixel((8, 8))
        assert isinstance(pixel, tuple)
        assert pixel[1] > 240
        assert max(pixel[0], pixel[2]) < 30
        jpeg = encode_picture(samples.encode(image, "JPEG", icc_profile=self.profile))
        assert jpeg.filter == "FlateDecode"

    def test_a_profile_that_does_not_fit_is_left_aside(self) -> None:
        plain = encode_picture(samples.encode(COLOUR, "PNG"))
        assert (
            encode_picture(samples.encode(COLOUR, "PNG", icc_profile=b"no profile at all")).data == plain.data
        )

    def test_srgb_stays_as_it_is(self) -> None:
        srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
        stream = encode_picture(samples.encode(COLOUR, "PNG", icc_profile=srgb))
        assert stream.data == encode_picture(samples.encode(COLOUR, "PNG")).data
        assert encode_picture(samples.encode(COLOUR, "JPEG", icc_profile=srgb)).filter == "DCTDecode"


class TestInk:
    """Where there is something to print."""

    def test_box_and_edges(self, root: Path) -> None:
        image = Image.new("1", (200, 100), 1)
        image.paste(0, (20, 0, 120, 50))
        fact = fact_of(root, samples.encode(image, "PNG"))
        assert fact.ink == pytest.approx((0.1, 0.0, 0.6, 0.5))
        assert fact.edge_ink == pytest.approx((0.0, 0.5, 0.0, 0.0))

    @pytest.mark.parametrize("mode", ["1", "L", "RGB"])
    def test_an_empty_page(self, mode: str, root: Path) -> None:
        fact = fact_of(root, samples.encode(Image.new(mode, (20, 30), "white"), "PNG"))
        assert fact.ink is None
        assert fact.edge_ink == (0, 0, 0, 0)

    def test_any_dark_channel_counts_and_traces_in_the_white_do_not(self, root: Path) -> None:
        image = Image.new("RGB", (10, 10), (255, 255, 251))
        image.putpixel((2, 3), (255, 255, 0))
        image.putpixel((9, 9), (0, 255, 255))
        fact = fact_of(root, samples.encode(image, "PNG"))
        assert fact.ink == pytest.approx((0.2, 0.3, 1.0, 1.0))
        assert fact.edge_ink == pytest.approx((0.0, 0.0, 0.1, 0.1))


class TestFaults:
    """What cannot be printed, and why."""

    def test_missing_outside_and_folders(self, root: Path, cache: Cache) -> None:
        put(root, "seal.png", samples.encode(BILEVEL, "PNG"))
        files = ["artwork/sael.png", "../escape.png", "artwork"]
        facts, faults = inspect_artwork(root, files, cache)
        assert facts == {}
        assert [(fault.file, fault.reason) for fault in faults] == [
            ("../escape.png", "outside"),
            ("artwork", "unreadable"),
            ("artwork/sael.png", "missing"),
        ]
        assert "seal.png" in faults[2].detail

    def test_nothing_private_is_read(self, root: Path, cache: Cache) -> None:
        (root / "journal/private").mkdir()
        (root / "journal/private/mark.png").write_bytes(samples.encode(BILEVEL, "PNG"))
        _, faults = inspect_artwork(root, ["private/mark.png"], cache)
        assert faults[0].reason == "outside"

    def test_empty(self, root: Path) -> None:
        assert fault_of(root, b"") == ArtworkFault("artwork/page", "empty")

    @pytest.mark.parametrize("name", ["1-bit png", "rgb png", "one group 4 strip", "several strips", "group 3",
                                      "grey tiff", "rgb tiff", "lossless webp", "portable bitmap"])  # fmt: skip
    @pytest.mark.parametrize("share", [0.3, 0.7, 0.95])
    def test_cut_short(self, name: str, share: float, root: Path) -> None:
        content = SAME[name][0]
        assert fault_of(root, content[: int(len(content) * share)]).reason == "torn"

    def test_a_jpeg_cut_short(self, root: Path) -> None:
        content = samples.encode(COLOUR, "JPEG")
        assert fault_of(root, content[: len(content) // 2]).reason == "torn"

    @pytest.mark.parametrize("at", range(30, 90, 5))
    def test_one_wrong_bit_in_a_png(self, at: int, root: Path) -> None:
        content = bytearray(SAME["rgb png"][0])
        content[len(content) * at // 100] ^= 4
        assert fault_of(root, bytes(content)).reason == "torn"

    def test_damaged_fax_codes(self, root: Path, capfd: pytest.CaptureFixture[str]) -> None:
        content = bytearray(samples.g4_tiff(samples.bilevel(1200, 1800)))
        for at in range(2000, 2040):
            content[at] ^= 0x5A
        fault = fault_of(root, bytes(content))
        assert fault.reason == "torn"
        assert capfd.readouterr() == ("", "")

    @pytest.mark.parametrize("compression", ["tiff_lzw", "tiff_adobe_deflate"])
    def test_damaged_data_of_other_codings(
        self, compression: str, root: Path, capfd: pytest.CaptureFixture[str]
    ) -> None:
        content = bytearray(samples.encode(COLOUR, "TIFF", compression=compression))
        for at in range(400, 430):
            content[at] ^= 0xFF
        assert fault_of(root, bytes(content)).reason == "torn"
        assert capfd.readouterr() == ("", "")

    def test_what_others_say_meanwhile_is_passed_on(self, capfd: pytest.CaptureFixture[str]) -> None:
        content = samples.g4_tiff(BILEVEL)
        image = Image.open(io.BytesIO(content))
        image.load = lambda: os.write(2, b"word of another\n")  # type: ignore[method-assign,assignment,return-value]
        decode_loudly(image, content)
        assert capfd.readouterr().err == "word of another\n"

    def test_cmyk(self, root: Path) -> None:
        image = Image.new("CMYK", (10, 10), (1, 2, 3, 4))
        for format in ("JPEG", "TIFF"):
            fault = fault_of(root, samples.encode(image, format))
            assert (fault.reason, fault.detail) == ("cmyk", "save it as grey or RGB")

    def test_sixteen_bits(self, root: Path) -> None:
        deep = Image.frombytes("I;16", (4, 1), bytes(range(8)))
        assert fault_of(root, samples.encode(deep, "PNG")).reason == "16 bit"
        assert fault_of(root, samples.encode(deep, "TIFF")).reason == "16 bit"
        # Pillow would read these as 8 bits without a word.
        rgb = samples.png((1, 1, 16, 2, 0), b"\0" + bytes(6))
        assert fault_of(root, rgb).reason == "16 bit"
        assert fault_of(root, b"P6\n# deep\n1 1\n65535\n" + bytes(6)).reason == "16 bit"
        assert fault_of(root, samples.encode(Image.new("F", (2, 2)), "TIFF")).reason == "16 bit"

    def test_animated(self, root: Path) -> None:
        frames = [GREY, GREY.transpose(Image.Transpose.ROTATE_180)]
        for format in ("GIF", "WEBP", "PNG"):
            content = samples.encode(frames[0], format, save_all=True, append_images=frames[1:])
            assert fault_of(root, content).reason == "animated"

    def test_several_pictures(self, root: Path) -> None:
        other = GREY.transpose(Image.Transpose.ROTATE_180)
        content = samples.encode(GREY, "TIFF", save_all=True, append_images=[other])
        assert fault_of(root, content) == ArtworkFault("artwork/page", "several", "2 pictures")

    def test_a_smaller_copy_in_the_file_is_no_second_picture(self, root: Path) -> None:
        # Tag 254, NewSubfileType, bit 0: a reduced version of another picture in the file (TIFF 6.0, section 8).
        small = GREY.resize((4, 4))
        small.encoderinfo = {"tiffinfo": {254: 1}}
        content = samples.encode(GREY, "TIFF", save_all=True, append_images=[small])
        assert fact_of(root, content).kind == "grey"

    def test_svg_and_strangers(self, root: Path) -> None:
        assert fault_of(root, b"<svg xmlns='x'/>") == ArtworkFault("artwork/page", "svg", "save it as PDF")
        assert fault_of(root, b"plain words").reason == "not a picture"
        assert "Git" in fault_of(root, b"version https://git-lfs.example/spec/v1\n").detail
        avif = fault_of(root, samples.encode(COLOUR, "AVIF"))
        assert (avif.reason, "PNG or TIFF" in avif.detail) == ("not a picture", True)

    def test_too_large(self, root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr("doublure.store.artwork_pixels.MAX_PIXELS", 1000)
        assert fault_of(root, samples.encode(GREY, "PNG")).reason == "too large"
        monkeypatch.setattr("doublure.store.artwork.MAX_ARTWORK_BYTES", 10)
        assert fault_of(root, samples.encode(GREY, "PNG")).reason == "too large"


class TestKeeping:
    """What was found is known by content; nothing is trusted that does not match."""

    def test_a_second_look_decodes_nothing(
        self, root: Path, cache: Cache, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        good = put(root, "good.png", samples.encode(GREY, "PNG"))
        bad = put(root, "bad.png", samples.encode(GREY, "PNG")[:200])
        first = inspect_artwork(root, [good, bad, good], cache)
        stream = load_stream(root, first[0][good], cache)

        def refuse(*_: object, **__: object) -> None:
            raise AssertionError("decoded again")

        monkeypatch.setattr(artwork, "_examine", refuse)
        monkeypatch.setattr(artwork, "_encode", refuse)
        assert inspect_artwork(root, [good, bad], Cache.of_project(root)) == first
        assert load_stream(root, first[0][good], Cache.of_project(root)) == stream

    def test_damaged_entries_are_made_again(self, root: Path, cache: Cache) -> None:
        file = put(root, "page.png", samples.encode(GREY, "PNG"))
        facts, _ = inspect_artwork(root, [file], cache)
        stream = load_stream(root, facts[file], cache)
        assert cache.folder is not None
        entries = [path for path in cache.folder.rglob("*") if path.is_file()]
        assert len(entries) == 4
        for path in entries:
            path.write_bytes(path.read_bytes()[:-3] + b"xyz")
        assert inspect_artwork(root, [file], cache)[0] == facts
        assert load_stream(root, facts[file], cache) == stream

    def test_a_file_that_changes_is_seen(self, root: Path, cache: Cache) -> None:
        file = put(root, "page.png", samples.encode(GREY, "PNG"))
        facts, _ = inspect_artwork(root, [file], cache)
        put(root, "page.png", samples.encode(COLOUR, "PNG"))
        with pytest.raises(UnusableArtworkError, match="changed while"):
            load_stream(root, facts[file], cache)
        assert inspect_artwork(root, [file], cache)[0][file].kind == "colour"
        (root / "journal" / file).unlink()
        with pytest.raises(UnusableArtworkError, match="missing"):
            load_stream(root, facts[file], cache)

    def test_an_old_file_is_not_read_again_while_the_program_runs(
        self, root: Path, cache: Cache, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        file = put(root, "page.png", samples.encode(GREY, "PNG"))
        path = root / "journal" / file
        monkeypatch.setattr("doublure.store.file_stamps.SETTLED_NS", -1)
        first = inspect_artwork(root, [file], cache)
        reads = []
        real_read = artwork._read
        monkeypatch.setattr(artwork, "_read", lambda *a: (reads.append(a), real_read(*a))[1])
        assert inspect_artwork(root, [file], cache) == first
        assert reads == []
        os.utime(path, ns=(1, 1))
        assert inspect_artwork(root, [file], cache) == first
        assert len(reads) == 1

    def test_many_are_prepared_at_once(self, root: Path, cache: Cache) -> None:
        files = [put(root, f"{n}.png", samples.encode(samples.bilevel(seed=n), "PNG")) for n in range(8)]
        facts, _ = inspect_artwork(root, files, cache)
        (root / "journal" / files[3]).unlink()
        told: list[tuple[int, int]] = []
        faults = prepare_streams(root, facts.values(), cache, progress=lambda *at: told.append(at))
        assert [(fault.file, fault.reason) for fault in faults] == [(files[3], "missing")]
        assert told == [(n, 8) for n in range(1, 9)]
        shelf = StreamShelf(root, {f"m{n}": facts[file] for n, file in enumerate(files)}, cache)
        assert len(shelf) == 8
        assert list(shelf)[:2] == ["m0", "m1"]
        assert ("m3" in shelf, "m9" in shelf) == (True, False)
        assert shelf["m1"] == load_stream(root, facts[files[1]], cache)

    def test_the_journal_is_left_as_it_was(self, root: Path, cache: Cache) -> None:
        file = put(root, "page.png", samples.encode(GREY, "PNG"))
        facts, _ = inspect_artwork(root, [file], cache)
        load_stream(root, facts[file], cache)
        assert [path.name for path in (root / "journal").rglob("*") if path.is_file()] == ["page.png"]
