"""Published pictures: upright, in sRGB, and nothing in them but pixels."""

from __future__ import annotations

import struct
from pathlib import Path

import pytest
from PIL import Image, ImageCms
from PIL.PngImagePlugin import PngInfo

from doublure.errors import UsageError
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
from picture_samples import MARKER, UPRIGHT, XMP, corner_names, encode, exif, opened, put, sketch


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "journal/pictures").mkdir(parents=True)
    return tmp_path


@pytest.fixture
def cache(root: Path) -> Cache:
    return Cache.of_project(root)


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
            stored = stored.transpose(picture_pixels.TURNS[backwards[orientation]])
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
