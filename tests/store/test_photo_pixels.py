"""Photographs as grey pixels: upright, bounded, refused in plain words."""

from __future__ import annotations

import io
import math
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from doublure.errors import UsageError
from doublure.store import photo_pixels
from doublure.store.photo_pixels import read_grey

RAMP = np.linspace(20, 230, 60 * 40).reshape(40, 60).astype(np.uint8)


def save(folder: Path, image: Image.Image, name: str = "photo.png", **options: object) -> Path:
    image.save(folder / name, **options)
    return folder / name


def test_a_plain_picture_comes_as_it_is(tmp_path: Path) -> None:
    photo = read_grey(save(tmp_path, Image.fromarray(RAMP)))
    assert (photo.pixels == RAMP).all()
    assert photo.focal_px is None


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "P", "CMYK", "1"])
def test_other_kinds_of_pixels_become_grey(tmp_path: Path, mode: str) -> None:
    name = "photo.tif" if mode == "CMYK" else "photo.png"
    photo = read_grey(save(tmp_path, Image.fromarray(RAMP).convert(mode), name))
    assert photo.pixels.shape == RAMP.shape
    if mode != "1":
        assert np.abs(photo.pixels.astype(int) - RAMP).max() <= 4


def test_sixteen_bits_become_eight(tmp_path: Path) -> None:
    photo = read_grey(save(tmp_path, Image.fromarray(RAMP.astype(np.uint16) * 257)))
    assert np.abs(photo.pixels.astype(int) - RAMP).max() <= 1


def test_what_is_clear_counts_as_light(tmp_path: Path) -> None:
    clear = Image.new("RGBA", (30, 20), (0, 0, 0, 0))
    assert (read_grey(save(tmp_path, clear)).pixels == 255).all()


def tagged(
    size: tuple[int, int], turn: int = 1, focal: int = 0, said: tuple[int, int] | None = None
) -> bytes:
    image = Image.new("L", size, 90)
    image.paste(200, (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[0x0112] = turn
    inner = exif.get_ifd(0x8769)
    if focal:
        inner[0xA405] = focal
    if said:
        inner[0xA002], inner[0xA003] = said
    stream = io.BytesIO()
    image.save(stream, "JPEG", exif=exif, quality=95)
    return stream.getvalue()


def test_the_camera_s_turn_is_obeyed(tmp_path: Path) -> None:
    (tmp_path / "turned.jpg").write_bytes(tagged((60, 40), turn=6))
    pixels = read_grey(tmp_path / "turned.jpg").pixels
    assert pixels.shape == (60, 40)
    assert pixels[5, 20] > 180 > 120 > pixels[55, 20]


def test_the_focal_length_is_taken_where_the_picture_is_whole(tmp_path: Path) -> None:
    for said, expected in (
        ((600, 400), 26 / math.hypot(36, 24) * math.hypot(600, 400)),
        ((1200, 800), None),
        (None, None),
    ):
        (tmp_path / "photo.jpg").write_bytes(tagged((600, 400), focal=26, said=said))
        found = read_grey(tmp_path / "photo.jpg").focal_px
        assert found == (None if expected is None else pytest.approx(expected))


def test_large_pictures_are_made_smaller(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photo_pixels, "MAX_GREY_PIXELS", 600)
    photo = read_grey(save(tmp_path, Image.fromarray(RAMP)))
    assert photo.pixels.size <= 620
    assert photo.pixels.shape[1] / photo.pixels.shape[0] == pytest.approx(1.5, abs=0.1)


def refused(path: Path) -> str:
    with pytest.raises(UsageError) as caught:
        read_grey(path)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def test_what_is_no_picture_is_refused_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a").write_bytes(b"\0\0\0\x18ftypheic" + bytes(100))
    assert "HEIC" in refused(tmp_path / "a")
    (tmp_path / "b").write_bytes(b"%PDF-1.7")
    assert "a PDF" in refused(tmp_path / "b")
    (tmp_path / "c").write_bytes(b"")
    assert "empty" in refused(tmp_path / "c")
    (tmp_path / "d").write_bytes(tagged((600, 400))[:3000])
    assert "damaged" in refused(tmp_path / "d")
    (tmp_path / "e").write_bytes(b"words")
    assert "not a picture" in refused(tmp_path / "e")
    assert "no such file" in refused(tmp_path / "nowhere.jpg")
    assert "folder" in refused(tmp_path)
    assert "no name of a file" in refused(Path("a\0b"))
    monkeypatch.setattr(photo_pixels, "MAX_BYTES", 10)
    assert "MB" in refused(tmp_path / "d")
