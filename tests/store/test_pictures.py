"""Pictures: what is found of them, what is refused and why, and that nothing but pixels is published."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image, ImageCms, ImageDraw
from PIL.PngImagePlugin import PngInfo

from doublure.errors import UsageError
from doublure.model.replica import ImageFact
from doublure.model.source import FileFault
from doublure.store import picture_pixels, pictures
from doublure.store.cache import Cache, hash_bytes
from doublure.store.pictures import (
    UnusablePictureError,
    inspect_pictures,
    make_thumbnail,
    make_thumbnails,
    strip_picture,
)

MARKER = b"LEFT-BEHIND-7153"
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/">' + MARKER + b"</x:xmpmeta>"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "journal/pictures").mkdir(parents=True)
    return tmp_path


@pytest.fixture
def cache(root: Path) -> Cache:
    return Cache.of_project(root)


def sketch(mode: str = "RGB", size: tuple[int, int] = (64, 40)) -> Image.Image:
    """A picture whose corners tell which way up it is: red, green, blue, black from top left clockwise."""
    image = Image.new("RGB", size, "white")
    draw = ImageDraw.Draw(image)
    w, h = size
    for box, colour in (
        ((0, 0, w // 4, h // 4), "red"),
        ((w - w // 4, 0, w, h // 4), "lime"),
        ((w - w // 4, h - h // 4, w, h), "blue"),
        ((0, h - h // 4, w // 4, h), "black"),
    ):
        draw.rectangle(box, fill=colour)
    return image.convert(mode)


def encode(image: Image.Image, form: str, **options: object) -> bytes:
    out = io.BytesIO()
    image.save(out, form, **options)  # type: ignore[arg-type]
    return out.getvalue()


def put(root: Path, file: str, content: bytes) -> str:
    path = root / "journal" / file
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    return file


def exif(orientation: int = 1) -> Image.Exif:
    tags = Image.Exif()
    tags[0x0112] = orientation
    tags[0x010F] = MARKER.decode()  # maker of the camera
    tags[0x9286] = MARKER  # comment
    place = tags.get_ifd(0x8825)
    place[1], place[2] = "N", (47.0, 8.0, 1.0)
    place[29] = MARKER.decode()
    return tags


def opened(content: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(content))
    image.load()
    return image


def corner_names(image: Image.Image) -> list[str]:
    rgb = image.convert("RGB")
    w, h = rgb.size
    names = []
    for x, y in ((w // 10, h // 10), (w - 1 - w // 10, h // 10), (w - 1 - w // 10, h - 1 - h // 10),
                 (w // 10, h - 1 - h // 10)):  # fmt: skip
        pixel = rgb.getpixel((x, y))
        assert isinstance(pixel, tuple)
        strong = [channel > 128 for channel in pixel]
        names.append({(1, 0, 0): "red", (0, 1, 0): "green", (0, 0, 1): "blue"}.get(tuple(strong), "black"))  # type: ignore[call-overload]
    return names


UPRIGHT = ["red", "green", "blue", "black"]


class TestInspecting:
    def test_facts(self, root: Path, cache: Cache) -> None:
        content = encode(sketch(), "PNG")
        put(root, "pictures/a.png", content)
        facts, faults = inspect_pictures(root, ["pictures/a.png", "pictures/a.png"], cache)
        assert faults == ()
        assert facts == {"pictures/a.png": ImageFact("pictures/a.png", 64, 40, hash_bytes(content))}

    def test_the_size_is_that_of_the_upright_picture(self, root: Path, cache: Cache) -> None:
        files = [
            put(root, "pictures/a.jpg", encode(sketch(), "JPEG", exif=exif(6))),
            put(root, "pictures/b.png", encode(sketch(), "PNG", exif=exif(8))),
            put(root, "pictures/c.webp", encode(sketch(), "WEBP", exif=exif(5))),
            put(root, "pictures/d.tif", encode(sketch(), "TIFF", exif=exif(6))),
            put(root, "pictures/e.jpg", encode(sketch(), "JPEG", exif=exif(3))),
        ]
        facts, faults = inspect_pictures(root, files, cache)
        assert faults == ()
        assert [(fact.width_px, fact.height_px) for fact in facts.values()] == [(40, 64)] * 4 + [(64, 40)]

    def test_faults(self, root: Path, cache: Cache) -> None:
        put(root, "private/x.png", encode(sketch(), "PNG"))
        put(root, "pictures/Sheet.png", encode(sketch(), "PNG"))
        put(root, "pictures/words.jpg", b"not a picture at all")
        put(root, "pictures/empty.png", b"")
        put(root, "pictures/page.pdf", b"%PDF-1.7 ...")
        put(root, "pictures/phone.jpg", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic")
        put(root, "pictures/plan.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>")
        put(root, "pictures/far.png", b"version https://git-lfs.github.com/spec/v1\noid sha256:0\n")
        (root / "outside.png").write_bytes(encode(sketch(), "PNG"))
        (root / "journal/pictures/link.png").symlink_to(root / "outside.png")
        (root / "journal/pictures/folder.png").mkdir()
        (root / "journal/pictures/self.png").symlink_to("self.png")
        expected = {
            "../outside.png": ("outside", "leads out"),
            "../nowhere.png": ("outside", "leads out"),
            "/etc/hostname": ("outside", "inside the journal"),
            "C:/a.png": ("outside", "inside the journal"),
            "https://example.org/a.png": ("outside", "inside the journal"),
            "pictures/../../outside.png": ("outside", "leads out"),
            "pictures/link.png": ("outside", "leads out"),
            "private/x.png": ("outside", "private/"),
            "pictures/../private/x.png": ("outside", "private/"),
            "pictures/none.png": ("missing", ""),
            "pictures/sheet.png": ("missing", "did you mean pictures/Sheet.png?"),
            "pictures/Sheat.png": ("missing", "did you mean pictures/Sheet.png?"),
            "pictures\\Sheet.png": ("missing", "written with /"),
            "nofolder/a.png": ("missing", ""),
            "": ("missing", "no file"),
            "pictures/a\0.png": ("missing", "no file"),
            "pictures/folder.png": ("unreadable", "folder"),
            "pictures/self.png": ("unreadable", ""),
            "pictures/Sheet.png/x.png": ("unreadable", ""),
            "pictures/words.jpg": ("not a picture", ""),
            "pictures/empty.png": ("not a picture", "empty"),
            "pictures/page.pdf": ("not a picture", "PDF"),
            "pictures/phone.jpg": ("not a picture", "HEIC"),
            "pictures/plan.svg": ("not a picture", "SVG"),
            "pictures/far.png": ("not a picture", "Git"),
        }
        facts, faults = inspect_pictures(root, expected, cache)
        assert facts == {}
        assert [fault.file for fault in faults] == sorted(expected)
        for fault in faults:
            reason, words = expected[fault.file]
            assert (fault.reason, words in fault.detail) == (reason, True), fault

    def test_a_huge_picture_is_refused_by_its_header(self, root: Path, cache: Cache) -> None:
        def chunk(name: bytes, data: bytes) -> bytes:
            return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

        header = struct.pack(">IIBBBBB", 20_000, 20_000, 8, 2, 0, 0, 0)
        bomb = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(bytes(100_000)))
        put(root, "pictures/bomb.png", bomb)
        _, (fault,) = inspect_pictures(root, ["pictures/bomb.png"], cache)
        assert fault == FileFault(
            "pictures/bomb.png", "too large", "20000 x 20000 pixels; at most 150 million are read"
        )
        with pytest.raises(UnusablePictureError) as caught:
            make_thumbnail(root, "pictures/bomb.png", 100, cache)
        assert caught.value.fault == fault

    def test_the_limits_to_the_pixel_and_the_byte(
        self, root: Path, cache: Cache, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        content = encode(sketch(), "PNG")
        put(root, "pictures/a.png", content)
        monkeypatch.setattr(picture_pixels, "MAX_PIXELS", 64 * 40)
        monkeypatch.setattr(pictures, "MAX_PICTURE_BYTES", len(content))
        assert inspect_pictures(root, ["pictures/a.png"], cache)[1] == ()
        monkeypatch.setattr(picture_pixels, "MAX_PIXELS", 64 * 40 - 1)
        assert inspect_pictures(root, ["pictures/a.png"], cache)[1][0].reason == "too large"
        monkeypatch.setattr(picture_pixels, "MAX_PIXELS", 64 * 40)
        monkeypatch.setattr(pictures, "MAX_PICTURE_BYTES", len(content) - 1)
        assert inspect_pictures(root, ["pictures/a.png"], cache)[1][0].reason == "too large"

    def test_artwork_may_be_drawn(self, root: Path, cache: Cache) -> None:
        files = [
            put(root, "artwork/a.pdf", b"%PDF-1.7\n"),
            put(root, "artwork/b.svg", b"<?xml version='1.0'?><svg/>"),
            put(root, "artwork/c.pdf", b"words"),
            put(root, "artwork/d.png", encode(sketch(), "PNG")),
            put(root, "artwork/e.svg", b"words"),
        ]
        facts, faults = inspect_pictures(root, [], cache, artwork=files)
        assert list(facts) == ["artwork/d.png"]
        assert [(fault.file, fault.reason) for fault in faults] == [
            ("artwork/c.pdf", "not a picture"),
            ("artwork/e.svg", "not a picture"),
        ]

    def test_a_changed_file_is_seen_in_the_same_process(
        self, root: Path, cache: Cache, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(pictures, "_SETTLED_NS", -1)  # remember at once
        file = put(root, "pictures/a.png", encode(sketch(), "PNG"))
        first = inspect_pictures(root, [file], cache)[0][file]
        assert inspect_pictures(root, [file], cache)[0][file] == first
        content = encode(sketch(size=(10, 20)), "PNG")
        put(root, file, content)
        assert inspect_pictures(root, [file], cache)[0][file] == ImageFact(file, 10, 20, hash_bytes(content))

    def test_a_file_just_written_is_not_remembered(self, root: Path, cache: Cache) -> None:
        file = put(root, "pictures/new.png", encode(sketch(), "PNG"))
        inspect_pictures(root, [file], cache)
        assert (root / "journal" / file).resolve() not in pictures._found


def with_everything(form: str) -> bytes:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    planted = profile[:-16] + MARKER
    image = sketch()
    match form:
        case "JPEG":
            return encode(image, form, exif=exif(), xmp=XMP, comment=MARKER, icc_profile=planted)
        case "PNG":
            notes = PngInfo()
            notes.add_text("Comment", MARKER.decode())
            notes.add_itxt("XML:com.adobe.xmp", XMP.decode())
            return encode(image, form, exif=exif(), pnginfo=notes, icc_profile=planted)
        case "WEBP":
            return encode(image, form, exif=exif().tobytes(), xmp=XMP, icc_profile=planted)
        case "GIF":
            return encode(image.convert("P"), form, comment=MARKER)
        case "TIFF":
            tags = {700: XMP, 270: MARKER.decode()}
            return encode(image, form, exif=exif(), tiffinfo=tags, icc_profile=planted)
        case _:
            return encode(image, form, exif=exif(), xmp=XMP, icc_profile=planted)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "GIF", "TIFF", "AVIF"])
class TestNothingButPixels:
    def test_thumbnail(self, root: Path, cache: Cache, form: str) -> None:
        content = with_everything(form)
        if form not in ("PNG", "AVIF", "WEBP"):  # these pack their metadata
            assert MARKER in content
        for width_px in (30, 640):  # scaled, and in its own size
            made = make_thumbnail(root, put(root, "pictures/a.x", content), width_px, cache)
            self.check(made, "WEBP")

    def test_photo(self, form: str, root: Path) -> None:
        clean = strip_picture(with_everything(form))
        assert clean.ending == (".jpg" if form == "JPEG" else ".png")
        self.check(clean.content, "JPEG" if form == "JPEG" else "PNG")

    @staticmethod
    def check(content: bytes, form: str) -> None:
        assert MARKER not in content
        image = opened(content)
        assert image.format == form
        assert dict(image.getexif()) == {}
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density", "loop", "background",
                                   "timestamp", "duration"}  # fmt: skip
        assert corner_names(image) == UPRIGHT


class TestThumbnails:
    @pytest.mark.parametrize("orientation", range(1, 9))
    @pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "TIFF"])
    def test_upright(self, root: Path, cache: Cache, form: str, orientation: int) -> None:
        backwards = {2: 2, 3: 3, 4: 4, 5: 5, 6: 8, 7: 7, 8: 6}
        stored = sketch(size=(400, 240))
        if orientation > 1:
            stored = stored.transpose(picture_pixels._TURNS[backwards[orientation]])
        file = put(root, "pictures/a.x", encode(stored, form, exif=exif(orientation)))
        fact = inspect_pictures(root, [file], cache)[0][file]
        assert (fact.width_px, fact.height_px) == (400, 240)
        image = opened(make_thumbnail(root, file, 100, cache))
        assert image.size == (100, 60)
        assert corner_names(image) == UPRIGHT

    def test_a_small_picture_keeps_its_size(self, root: Path, cache: Cache) -> None:
        file = put(root, "pictures/a.png", encode(sketch(), "PNG"))
        assert opened(make_thumbnail(root, file, 1000, cache)).size == (64, 40)

    def test_a_thin_strip_stays_within_what_webp_holds(self, root: Path, cache: Cache) -> None:
        file = put(root, "pictures/a.png", encode(Image.new("L", (20, 40_000)), "PNG"))
        assert opened(make_thumbnail(root, file, 1000, cache)).size == (8, 16_383)
        file = put(root, "pictures/b.png", encode(Image.new("L", (40_000, 1)), "PNG"))
        assert opened(make_thumbnail(root, file, 100, cache)).size == (100, 1)

    @pytest.mark.parametrize(
        "mode", ["1", "L", "LA", "P", "RGB", "RGBA", "CMYK", "I;16", "I", "F", "LAB", "PA"]
    )
    def test_every_mode(self, root: Path, cache: Cache, mode: str) -> None:
        image = sketch("L").convert("I").point(lambda v: v * 257) if mode.startswith("I") else sketch("RGB")
        if mode == "LAB":
            image = ImageCms.profileToProfile(
                image, ImageCms.createProfile("sRGB"), ImageCms.createProfile("LAB"), outputMode="LAB"
            ) or image  # fmt: skip
        elif mode == "F":
            image = sketch("L").convert("F")
        elif mode in ("I;16", "PA"):
            image = image.convert(mode if mode == "I;16" else "LA")
        else:
            image = image.convert(mode)
        form = "TIFF" if mode in ("CMYK", "F", "LAB", "I") else "PNG"
        file = put(root, "pictures/a.x", encode(image, form))
        small = opened(make_thumbnail(root, file, 32, cache)).convert("L")
        assert small.size == (32, 20)
        low, high = small.getextrema()
        assert isinstance(low, int)
        assert isinstance(high, int)
        assert low < 40
        assert high > 220

    def test_sixteen_bits_keep_their_tones(self, root: Path, cache: Cache) -> None:
        image = Image.new("I;16", (8, 8), 0x8000)
        file = put(root, "pictures/a.png", encode(image, "PNG"))
        grey = opened(make_thumbnail(root, file, 8, cache)).convert("L").getpixel((4, 4))
        assert isinstance(grey, int)
        assert abs(grey - 0x80) <= 2

    def test_alpha_is_kept_where_there_is_any(self, root: Path, cache: Cache) -> None:
        image = sketch("RGBA")
        file = put(root, "pictures/full.png", encode(image, "PNG"))
        assert opened(make_thumbnail(root, file, 32, cache)).mode == "RGB"
        image.putpixel((32, 20), (0, 0, 0, 0))
        image.paste((9, 9, 9, 0), (20, 10, 44, 30))
        file = put(root, "pictures/hole.png", encode(image, "PNG"))
        made = opened(make_thumbnail(root, file, 32, cache))
        assert made.mode == "RGBA"
        assert made.getchannel("A").getpixel((16, 10)) == 0
        assert made.getchannel("A").getpixel((1, 1)) == 255

    def test_one_transparent_colour_of_a_palette(self, root: Path, cache: Cache) -> None:
        image = Image.new("P", (8, 8), 1)
        image.putpalette([255, 0, 0, 0, 0, 255])
        image.paste(0, (0, 0, 4, 8))
        file = put(root, "pictures/a.gif", encode(image, "GIF", transparency=0))
        alpha = opened(make_thumbnail(root, file, 8, cache)).getchannel("A")
        assert (alpha.getpixel((1, 4)), alpha.getpixel((6, 4))) == (0, 255)

    def test_colours_are_brought_to_srgb(self, root: Path, cache: Cache) -> None:
        # A profile that holds red and green the wrong way round shows whether it was obeyed.
        lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
        content = bytearray(lab.tobytes())
        tags = {}
        for index in range(struct.unpack_from(">I", content, 128)[0]):
            name, offset, size = struct.unpack_from(">4sII", content, 132 + 12 * index)
            tags[name] = (132 + 12 * index, offset, size)
        red, green = tags[b"rXYZ"], tags[b"gXYZ"]
        struct.pack_into(">II", content, red[0] + 4, green[1], green[2])
        struct.pack_into(">II", content, green[0] + 4, red[1], red[2])
        # The description must not say sRGB, or it is taken at its word.
        swapped = bytes(content).replace("sRGB".encode("utf-16-be"), "swap".encode("utf-16-be"))
        image = Image.new("RGB", (16, 16), (255, 0, 0))
        file = put(root, "pictures/a.png", encode(image, "PNG", icc_profile=swapped))
        pixel = opened(make_thumbnail(root, file, 16, cache)).convert("RGB").getpixel((8, 8))
        assert isinstance(pixel, tuple)
        assert pixel[1] > 240
        assert max(pixel[0], pixel[2]) < 30

    def test_a_profile_that_does_not_fit_is_left_aside(self, root: Path, cache: Cache) -> None:
        for name, profile in (("a", b"no profile at all"), ("b", b"")):
            content = encode(sketch(), "PNG", icc_profile=profile)
            made = make_thumbnail(root, put(root, f"pictures/{name}.png", content), 32, cache)
            assert corner_names(opened(made)) == UPRIGHT

    def test_cold_warm_and_without_a_cache_are_the_same(self, root: Path, cache: Cache) -> None:
        content = encode(sketch(size=(800, 500)), "JPEG")
        file = put(root, "pictures/a.jpg", content)
        cold = make_thumbnail(root, file, 200, cache)
        assert make_thumbnail(root, file, 200, cache) == cold
        assert make_thumbnail(root, file, 200, Cache(None)) == cold
        (root / "journal" / file).unlink()
        assert make_thumbnail(root, file, 200, cache, sha256=hash_bytes(content)) == cold

    def test_what_is_kept_is_used_and_goes_by_content(
        self, root: Path, cache: Cache, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        file = put(root, "pictures/a.png", encode(sketch(), "PNG"))
        red = make_thumbnail(root, file, 32, cache)
        put(root, file, encode(Image.new("RGB", (64, 40), "red"), "PNG"))
        assert make_thumbnail(root, file, 32, cache) != red
        put(root, "pictures/b.png", encode(sketch(), "PNG"))

        def fail(content: bytes, width_px: int) -> bytes:
            raise AssertionError("made again")

        monkeypatch.setattr(pictures, "_encode_thumbnail", fail)
        assert make_thumbnail(root, "pictures/b.png", 32, cache) == red

    def test_a_stale_hash_never_spoils_the_cache(self, root: Path, cache: Cache) -> None:
        old, new = encode(sketch(), "PNG"), encode(Image.new("RGB", (64, 40), "red"), "PNG")
        file = put(root, "pictures/a.png", new)  # changed since its fact was found
        make_thumbnail(root, file, 32, cache, sha256=hash_bytes(old))
        put(root, file, old)
        assert corner_names(opened(make_thumbnail(root, file, 32, cache))) == UPRIGHT

    def test_a_damaged_picture(self, root: Path, cache: Cache) -> None:
        content = encode(sketch(size=(300, 300)), "PNG")
        file = put(root, "pictures/a.png", content[: len(content) // 2])
        with pytest.raises(UnusablePictureError) as caught:
            make_thumbnail(root, file, 32, cache)
        assert caught.value.fault == FileFault(file, "unreadable", "the picture is damaged or cut short")

    def test_a_missing_picture(self, root: Path, cache: Cache) -> None:
        with pytest.raises(UnusablePictureError, match=r"pictures/a\.png: missing"):
            make_thumbnail(root, "pictures/a.png", 32, cache)

    def test_many_at_once(self, root: Path, cache: Cache) -> None:
        sketches = [encode(sketch(size=(300 + n, 200)), "JPEG") for n in range(8)]
        files = [put(root, f"pictures/{n}.jpg", content) for n, content in enumerate(sketches)]
        put(root, "pictures/bad.png", encode(sketch(), "PNG")[:60])
        files.append("pictures/bad.png")
        facts, faults = inspect_pictures(root, files, cache)
        assert faults == ()
        jobs = [(fact, width) for fact in facts.values() for width in (50, 100)]
        made, (fault,) = make_thumbnails(root, [*jobs, *jobs], cache, workers=3)
        assert fault.file == "pictures/bad.png"
        assert len(made) == 16
        for (file, width_px), path in made.items():
            assert path.read_bytes() == make_thumbnail(root, file, width_px, Cache(None))
        again, _ = make_thumbnails(root, jobs, Cache.of_project(root))
        assert again == made

    def test_many_need_a_cache_that_can_be_written(self, root: Path) -> None:
        file = put(root, "pictures/a.png", encode(sketch(), "PNG"))
        (root / ".doublure").write_text("in the way")
        cache = Cache.of_project(root)
        facts, _ = inspect_pictures(root, [file], cache)
        with pytest.raises(UsageError, match="cannot write"):
            make_thumbnails(root, [(facts[file], 32)], cache)


class TestPhotos:
    def test_upright_and_as_good_as_it_was(self) -> None:
        stored = sketch(size=(400, 240)).transpose(Image.Transpose.ROTATE_90)
        clean = strip_picture(encode(stored, "JPEG", exif=exif(6)))
        image = opened(clean.content)
        assert image.size == (400, 240)
        assert corner_names(image) == UPRIGHT

    def test_png_stays_exact(self) -> None:
        clean = strip_picture(encode(sketch("RGBA"), "PNG"))
        assert clean.ending == ".png"
        assert opened(clean.content).convert("RGB").tobytes() == sketch().tobytes()

    @pytest.mark.parametrize(
        ("content", "words"),
        [
            (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "HEIC.*JPEG"),
            (b"hello", "no picture"),
            (encode(sketch(size=(300, 300)), "JPEG")[:800], "damaged or cut short"),
        ],
    )
    def test_what_cannot_be_used(self, content: bytes, words: str) -> None:
        with pytest.raises(UsageError, match=words):
            strip_picture(content)


@pytest.mark.parametrize("make", [lambda content: strip_picture(content).content])
def test_the_same_input_gives_the_same_bytes(make: Callable[[bytes], bytes]) -> None:
    content = encode(sketch(size=(500, 300)), "JPEG", exif=exif(8))
    assert make(content) == make(content)
