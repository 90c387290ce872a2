"""clean: masters whole or not at all, scans never written over, one plain line for what cannot be cleaned."""

from __future__ import annotations

import hashlib
import io
import json
import struct
import zlib
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image

from doublure.cli import run
from picture_samples import opened

Capture = pytest.CaptureFixture[str]
WIDE, HIGH = 420, 300


def page(size: tuple[int, int] = (WIDE, HIGH)) -> Image.Image:
    """Lines of words on blotchy paper, a stain on the left."""
    wide, high = size
    v, u = np.mgrid[0:high, 0:wide]
    paper = 225 - 25 * u / wide - 60 * (np.hypot(u - wide * 0.2, v - high * 0.6) < high * 0.2)
    pixels = np.clip(paper, 0, 255).astype(np.uint8)
    for y in range(40, high - 20, 36):
        cv2.putText(
            pixels, "slack water. at noon", (24, y), cv2.FONT_HERSHEY_SIMPLEX, 0.8, 30, 2, cv2.LINE_AA
        )
    return Image.fromarray(pixels)


def save(path: Path, image: Image.Image, **options: Any) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    image.save(path, **options)
    return path


def load(path: Path | str) -> Image.Image:
    return opened(Path(path).read_bytes())


def hash_of(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def clean_as_json(capsys: Capture, *arguments: object, status: int = 0) -> dict[str, Any]:
    assert run(["clean", *map(str, arguments), "--json"]) == status
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def chunks(png: bytes) -> list[tuple[bytes, bytes]]:
    found, at = [], 8
    while at < len(png):
        (length,) = struct.unpack(">I", png[at : at + 4])
        kind, data = png[at + 4 : at + 8], png[at + 8 : at + 8 + length]
        assert zlib.crc32(kind + data) == struct.unpack(">I", png[at + 8 + length : at + 12 + length])[0]
        found.append((kind, data))
        at += 12 + length
    return found


def test_a_master_is_bilevel_on_a_clear_ground_at_its_ppi(tmp_path: Path, capsys: Capture) -> None:
    scan = save(tmp_path / "scan.png", page(), dpi=(300, 300))
    before = hash_of(scan)
    master = tmp_path / "master.png"
    said = clean_as_json(capsys, scan, "-o", master)["masters"][0]
    assert hash_of(scan) == before
    inside = dict(chunks(master.read_bytes()))
    width, height, depth, colour = struct.unpack(">IIBB", inside[b"IHDR"][:10])
    assert (depth, colour) == (1, 0)
    assert inside[b"tRNS"] == b"\0\1"  # white, the one of two, is clear
    assert struct.unpack(">IIB", inside[b"pHYs"]) == (23622, 23622, 1)
    assert (width, height) == (said["width_px"], said["height_px"])
    assert said["ppi"] == 600
    assert said["enlargement"] == 2
    assert said["scan_ppi_is"] == "in the file"
    image = opened(master.read_bytes())
    alpha = np.asarray(image.convert("RGBA"))[..., 3]
    assert 0.02 < np.mean(alpha > 0) < 0.3


def test_the_record_and_the_strip_lie_beside_the_master(tmp_path: Path, capsys: Capture) -> None:
    scan = save(tmp_path / "scan.tif", page(), dpi=(300, 300))
    clean_as_json(capsys, scan, "-o", tmp_path / "out" / "m.png")
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "m.cleaning.json", "m.cleaning.webp", "m.png",
    ]  # fmt: skip
    record = json.loads((tmp_path / "out" / "m.cleaning.json").read_text(encoding="utf-8"))
    assert record["master"] == "m.png"
    assert record["scan"] == "scan.tif"
    assert record["scan_sha256"] == hash_of(scan)
    assert len(record["removed_percent_by_cell"]) == 8
    assert load(tmp_path / "out" / "m.cleaning.webp").height == 900


def test_many_at_once_go_to_a_folder(tmp_path: Path, capsys: Capture) -> None:
    scans = [save(tmp_path / f"s{k}.jpg", page(), dpi=(300, 300), quality=90) for k in range(3)]
    found = clean_as_json(capsys, *scans, "-o", tmp_path / "masters", "--ppi", 300, "--jobs", 2)
    assert [Path(one["file"]).name for one in found["masters"]] == ["s0.png", "s1.png", "s2.png"]
    contents = {(tmp_path / "masters" / f"s{k}.png").read_bytes() for k in range(3)}
    assert len(contents) == 1  # the same page, however many are cleaned at once


def test_a_scan_is_never_written_over(tmp_path: Path, capsys: Capture) -> None:
    scan = save(tmp_path / "scan.png", page(), dpi=(300, 300))
    link = tmp_path / "link.png"
    link.symlink_to(scan)
    before = hash_of(scan)
    for output in (scan, tmp_path, link):
        assert run(["clean", str(scan), "-o", str(output)]) == 1
        assert "never written over" in capsys.readouterr().err
    assert hash_of(scan) == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link.png", "scan.png"]


def test_what_was_not_made_here_stays(tmp_path: Path, capsys: Capture) -> None:
    scan = save(tmp_path / "scan.png", page(), dpi=(300, 300))
    other = save(tmp_path / "other.png", page((50, 50)))
    before = hash_of(other)
    assert run(["clean", str(scan), "-o", str(other)]) == 1
    assert "was not made here" in capsys.readouterr().err
    assert hash_of(other) == before
    master = tmp_path / "m.png"
    assert run(["clean", str(scan), "-o", str(master), "--ppi", "300"]) == 0
    assert run(["clean", str(scan), "-o", str(master)]) == 0  # its own it may make anew
    capsys.readouterr()
    assert load(master).width == 2 * WIDE


def test_two_scans_of_one_name_are_refused(tmp_path: Path, capsys: Capture) -> None:
    scans = [save(tmp_path / name / "a.png", page()) for name in ("one", "two")]
    assert run(["clean", *map(str, scans), "-o", str(tmp_path / "out")]) == 1
    assert "would both become" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def heic() -> bytes:
    return b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0" * 64


def huge() -> bytes:
    head = struct.pack(">IIBBBBB", 40_000, 40_000, 8, 0, 0, 0, 0)
    parts = [(b"IHDR", head), (b"IDAT", zlib.compress(b"\0" * 100)), (b"IEND", b"")]
    coded = [struct.pack(">I", len(d)) + k + d + struct.pack(">I", zlib.crc32(k + d)) for k, d in parts]
    return b"\x89PNG\r\n\x1a\n" + b"".join(coded)


def cut_short() -> bytes:
    out = io.BytesIO()
    page().save(out, "PNG")
    return out.getvalue()[:-900]


def moving() -> bytes:
    out = io.BytesIO()
    page().save(out, "GIF", save_all=True, append_images=[page().rotate(90)])
    return out.getvalue()


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("empty.png", b"", "the file is empty"),
        ("words.txt", b"no picture at all", "is not a picture that can be read"),
        ("photo.heic", heic(), "HEIC"),
        ("huge.png", huge(), "40000 x 40000 pixels"),
        ("torn.png", cut_short(), "damaged or cut short"),
        ("moving.gif", moving(), "holds 2 pictures"),
    ],
)
def test_bad_pictures_get_one_plain_line(
    tmp_path: Path, capsys: Capture, name: str, content: bytes, words: str
) -> None:
    (tmp_path / name).write_bytes(content)
    good = save(tmp_path / "good.png", page(), dpi=(600, 600))
    assert run(["clean", str(tmp_path / name), str(good), "-o", str(tmp_path / "out")]) == 1
    err = capsys.readouterr().err.strip()
    assert words in err
    assert len(err.splitlines()) == 1
    # The good one was cleaned all the same, and nothing half is left.
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "good.cleaning.json", "good.cleaning.webp", "good.png",
    ]  # fmt: skip


def test_a_folder_and_what_is_not_there(tmp_path: Path, capsys: Capture) -> None:
    (tmp_path / "scans").mkdir()
    found = clean_as_json(capsys, tmp_path / "scans", tmp_path / "none.png", "-o", tmp_path / "out", status=1)
    reasons = [one["reason"] for one in found["not_cleaned"]]
    assert reasons == ["is a folder; name the scans in it", "no such file or directory"]


@pytest.mark.parametrize(
    "kind", ["cmyk.tif", "sixteen.png", "turned.jpg", "clear.png", "palette.png", "bilevel.png"]
)
def test_unusual_pictures_give_the_same_page(tmp_path: Path, capsys: Capture, kind: str) -> None:
    plain = page()
    path = tmp_path / kind
    if kind == "cmyk.tif":
        save(path, plain.convert("RGB").convert("CMYK"), dpi=(600, 600))
    elif kind == "sixteen.png":
        deep = Image.fromarray(np.asarray(plain).astype(np.uint16) * 257)
        save(path, deep, dpi=(600, 600))
    elif kind == "turned.jpg":
        tags = Image.Exif()
        tags[0x0112] = 6
        save(path, plain.transpose(Image.Transpose.ROTATE_90), exif=tags, dpi=(600, 600), quality=95)
    elif kind == "clear.png":
        veiled = plain.convert("RGBA")
        veiled.putalpha(Image.fromarray(np.where(np.asarray(plain) < 130, 255, 0).astype(np.uint8)))
        save(path, veiled, dpi=(600, 600))
    elif kind == "palette.png":
        save(path, plain.convert("P"), dpi=(600, 600))
    else:
        save(path, plain.point(lambda value: 255 * (value > 130)).convert("1"), dpi=(600, 600))
    straight = ["--leave-askew", "--leave-edges"]
    reference = save(tmp_path / "plain.png", plain, dpi=(600, 600))
    found = clean_as_json(capsys, path, reference, "-o", tmp_path / "out", *straight)
    one, other = (np.asarray(load(entry["file"]).convert("L")) < 128 for entry in found["masters"])
    assert one.shape == other.shape == (HIGH, WIDE)
    assert np.count_nonzero(one & other) > 0.7 * np.count_nonzero(one | other)


def test_greys_and_colours(tmp_path: Path, capsys: Capture) -> None:
    pixels = np.dstack([np.asarray(page())] * 3)
    pixels[20:60, 300:400] = (200, 40, 40)  # a red bar
    scan = save(tmp_path / "scan.png", Image.fromarray(pixels), dpi=(300, 300))
    found = clean_as_json(capsys, scan, "-o", tmp_path / "c.png", "--as", "colours", "--leave-askew")
    image = load(tmp_path / "c.png")
    assert (image.mode, found["masters"][0]["ppi"]) == ("RGB", 300)
    red = np.asarray(image)[40, 350].astype(int)
    assert red[0] > red[1] + 80
    assert np.asarray(image)[270, 400].min() >= 250  # paper is white
    clean_as_json(capsys, scan, "-o", tmp_path / "g.png", "--as", "greys")
    assert load(tmp_path / "g.png").mode == "L"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--ppi", "nan"], "is no resolution"),
        (["--ppi", "3"], "is no resolution"),
        (["--screen-out"], "no greys to keep a screen out of"),
        (["--ppi", "9000"], "only looks sharp"),
    ],
)
def test_wishes_that_make_no_sense(tmp_path: Path, capsys: Capture, arguments: list[str], words: str) -> None:
    scan = save(tmp_path / "scan.png", page(), dpi=(300, 300))
    assert run(["clean", str(scan), "-o", str(tmp_path / "m.png"), *arguments]) == 1
    assert words in capsys.readouterr().err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["scan.png"]


def test_a_resolution_that_no_file_states_is_said_to_be_assumed(tmp_path: Path, capsys: Capture) -> None:
    scan = save(tmp_path / "scan.png", page(), dpi=(72, 72))
    assert run(["clean", str(scan), "-o", str(tmp_path / "m.png")]) == 0
    assert "only assumed: say --scanned-at" in capsys.readouterr().out
    said = clean_as_json(capsys, scan, "-o", tmp_path / "m.png", "--scanned-at", 600)
    assert (said["masters"][0]["scan_ppi"], said["masters"][0]["scan_ppi_is"]) == (600, "given")


def test_blank_paper_becomes_a_blank_master(tmp_path: Path, capsys: Capture) -> None:
    scan = save(tmp_path / "scan.png", Image.new("L", (300, 200), 215), dpi=(600, 600))
    assert run(["clean", str(scan), "-o", str(tmp_path / "m.png")]) == 0
    assert "nothing on it stands out as ink" in capsys.readouterr().out
    assert np.asarray(load(tmp_path / "m.png")).all()
