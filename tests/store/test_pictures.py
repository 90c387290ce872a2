"""Pictures: what is found of them, what is refused and why, and photographs cleaned for the log."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from doublure.errors import UsageError
from doublure.model.replica import ImageFact
from doublure.model.source import FileFault
from doublure.store import picture_pixels, pictures
from doublure.store.cache import Cache, hash_bytes
from doublure.store.pictures import UnusablePictureError, inspect_pictures, make_thumbnail, strip_picture
from picture_samples import UPRIGHT, corner_names, encode, exif, opened, put, sketch


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "journal/pictures").mkdir(parents=True)
    return tmp_path


@pytest.fixture
def cache(root: Path) -> Cache:
    return Cache.of_project(root)


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
        monkeypatch.setattr("doublure.store.file_stamps.SETTLED_NS", -1)  # remember at once
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
