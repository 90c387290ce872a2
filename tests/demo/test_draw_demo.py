"""The pictures of the demo replica: drawn alike twice over, complete, small, and nothing but pixels."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

ROOT = Path(__file__).parents[2]
SCRIPT = ROOT / "generator" / "demo" / "draw_demo.py"
JOURNAL = ROOT / "journal"
LIMIT_BYTES = 6_000_000
#: One of each kind, of those that are quick to draw.
SAMPLE = (
    "masters/lamp-page,inserts/bookplate-front,inserts/specimen-tag-back,mockups/ferry-ticket,"
    "evidence/leaf-verso,log/two-cards,trials/ink-lines"
)
PNG_PIXELS = {b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND"}
WEBP_PIXELS = {b"VP8 ", b"VP8L", b"VP8X", b"ALPH"}
PAIRS = ("harbour-plan", "channel-chart", "panorama")


def _run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, str(SCRIPT), *arguments], capture_output=True, text=True, check=False, timeout=600
    )


def _committed() -> list[Path]:
    return sorted(
        path
        for folder in ("artwork", "pictures")
        for path in (JOURNAL / folder).rglob("*")
        if path.suffix in (".png", ".webp")
    )


def _chunks(path: Path) -> set[bytes]:
    """Return the types of chunks in a PNG or WebP file, read without a picture library."""
    data = path.read_bytes()
    found: set[bytes] = set()
    if path.suffix == ".png":
        assert data[:8] == b"\x89PNG\r\n\x1a\n"
        at = 8
        while at < len(data):
            length = int.from_bytes(data[at : at + 4], "big")
            found.add(data[at + 4 : at + 8])
            at += 12 + length
        return found
    assert data[:4] == b"RIFF"
    assert data[8:12] == b"WEBP"
    at = 12
    while at < len(data):
        length = int.from_bytes(data[at + 4 : at + 8], "little")
        found.add(data[at : at + 4])
        at += 8 + length + length % 2
    return found


def test_one_of_each_kind_comes_out_alike_twice(tmp_path: Path) -> None:
    drawn = []
    for name in ("first", "second"):
        out = tmp_path / name
        result = _run("--out", str(out), "--only", SAMPLE, "--jobs", "2")
        assert result.returncode == 0, result.stderr
        drawn.append({p.relative_to(out).as_posix(): p.read_bytes() for p in out.rglob("*") if p.is_file()})
    assert len(drawn[0]) == SAMPLE.count(",") + 1
    assert drawn[0] == drawn[1]
    for name in drawn[0]:
        with Image.open(tmp_path / "first" / name) as image:
            low, high = image.convert("L").getextrema()
            assert high - low > 100, f"{name} is empty"


def test_an_unknown_name_is_refused_in_words(tmp_path: Path) -> None:
    result = _run("--out", str(tmp_path), "--only", "masters/kraken")
    assert result.returncode == 1
    assert "masters/kraken" in result.stderr
    assert "Traceback" not in result.stderr
    assert not list(tmp_path.iterdir())


def test_the_journal_holds_each_picture_and_no_other() -> None:
    result = _run("--list")
    assert result.returncode == 0
    planned = {line.split(" ", 1)[1] for line in result.stdout.splitlines()}
    assert {path.relative_to(JOURNAL).as_posix() for path in _committed()} == planned


def test_the_pictures_together_stay_small() -> None:
    sizes = {path.name: path.stat().st_size for path in _committed()}
    assert sum(sizes.values()) < LIMIT_BYTES
    assert max(sizes.values()) < 200_000


def test_the_pictures_hold_nothing_but_pixels() -> None:
    for path in _committed():
        allowed = PNG_PIXELS if path.suffix == ".png" else WEBP_PIXELS
        assert _chunks(path) <= allowed, path.name
        with Image.open(path) as image:
            image.load()
            assert max(image.size) <= 3898, path.name
            assert not image.getexif(), path.name


def test_page_masters_are_bilevel_and_of_the_size_of_the_leaf() -> None:
    pages = sorted((JOURNAL / "artwork" / "masters").glob("*.png"))
    assert len(pages) == 28
    for path in pages:
        with Image.open(path) as image:
            assert image.mode == "1", path.name
            # 105 x 165 mm at 600 pixels an inch of 25.4 mm, and two that are still coarse.
            coarse = path.stem in ("coast-views", "lamp-page")
            assert image.size == ((1240, 1949) if coarse else (2480, 3898)), path.name


@pytest.mark.parametrize("name", PAIRS)
def test_artwork_goes_on_across_the_gutter(name: str) -> None:
    columns = []
    for side, edge in (("left", -1), ("right", 0)):
        with Image.open(JOURNAL / "artwork" / "masters" / f"{name}-{side}.png") as image:
            x = edge % image.width
            pixels = image.convert("L").crop((x, 0, x + 1, image.height)).tobytes()
        columns.append({row for row, value in enumerate(pixels) if value < 128})
    left, right = columns
    assert len(left) > 40
    met = sum(any(row + shift in right for shift in range(-3, 4)) for row in left)
    assert met > 0.85 * len(left)
