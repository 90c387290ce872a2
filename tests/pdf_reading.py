"""Reads PDF files back with programs and libraries that had no part in writing them.

qpdf checks the syntax; poppler tells boxes, fonts and pictures; pdfium and poppler draw the pages.
"""

from __future__ import annotations

import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2

from needs import find_tool

Grey = np.ndarray[Any, np.dtype[np.uint8]]


def _run(tool: str, program: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    found = find_tool(tool)
    assert found is not None
    path = found if found.name == program else found.with_name(program)
    return subprocess.run([str(path), *arguments], capture_output=True, text=True, check=False)


def assert_sound(path: Path) -> None:
    """Fail where qpdf finds an error, or so much as a warning (its exit status is then 2 or 3)."""
    result = _run("qpdf", "qpdf", "--check", str(path))
    assert result.returncode == 0, result.stdout + result.stderr


@dataclass(frozen=True, slots=True)
class FontRow:
    """One line of pdffonts."""

    name: str
    embedded: bool
    subset: bool
    unicode: bool


def list_fonts(path: Path) -> tuple[FontRow, ...]:
    """Return every font of a file as poppler lists it."""
    lines = _run("poppler", "pdffonts", str(path)).stdout.splitlines()[2:]
    rows = []
    for line in lines:
        words = line.split()
        # The name first; from the end: object, generation, uni, sub, emb.
        rows.append(FontRow(words[0], words[-5] == "yes", words[-4] == "yes", words[-3] == "yes"))
    return tuple(rows)


def list_images(path: Path) -> tuple[dict[str, str], ...]:
    """Return every picture that pages show as poppler lists them, forms opened."""
    head, _, *lines = _run("poppler", "pdfimages", "-list", str(path)).stdout.splitlines()
    names = head.split()
    # "object ID" is one column of two words in the head, and two numbers below.
    rows = []
    for line in lines:
        rows.append(dict(zip(names, line.split(), strict=True)))
    return tuple(rows)


def read_boxes(path: Path, page: int = 1) -> dict[str, tuple[float, ...]]:
    """Return MediaBox, CropBox, BleedBox, TrimBox of a page as poppler tells them, pt."""
    lines = _run(
        "poppler", "pdfinfo", "-box", "-f", str(page), "-l", str(page), str(path)
    ).stdout.splitlines()
    boxes = {}
    for line in lines:
        if "Box:" in line:
            words = line.split()
            boxes[words[-5].removesuffix(":")] = tuple(float(word) for word in words[-4:])
    return boxes


def read_info(path: Path) -> dict[str, str]:
    """Return what pdfinfo says of a file."""
    lines = _run("poppler", "pdfinfo", str(path)).stdout.splitlines()
    return {key.strip(): value.strip() for key, _, value in (line.partition(":") for line in lines)}


def read_text(path: Path, page: int = 1) -> str:
    """Return the words of a page as poppler finds them."""
    return _run("poppler", "pdftotext", "-layout", "-f", str(page), "-l", str(page), str(path), "-").stdout


def draw_page(content: bytes, page: int = 1, ppi: float = 300) -> Grey:
    """Return a page as pdfium draws it, greys without smoothing of pictures, row by row."""
    document = pypdfium2.PdfDocument(content)
    try:
        sheet = document[page - 1]
        picture = sheet.render(scale=ppi / 72, grayscale=True)
        return np.array(picture.to_numpy()).reshape(picture.height, picture.width).astype(np.uint8)
    finally:
        document.close()


def draw_with_poppler(path: Path, folder: Path, page: int = 1, ppi: int = 300) -> Grey:
    """Return a page as poppler draws it, greys, row by row."""
    from PIL import Image

    stem = folder / f"drawn-{page}-{ppi}"
    _run(
        "poppler", "pdftoppm", "-gray", "-r", str(ppi), "-f", str(page), "-l", str(page), "-singlefile",
        str(path), str(stem),
    )  # fmt: skip
    with Image.open(stem.with_suffix(".pgm")) as image:
        return np.asarray(image.convert("L"))


def dark_box_mm(picture: Grey, ppi: float, below: int = 128) -> tuple[float, float, float, float]:
    """Return left, top, right, bottom of everything darker than a grey, mm."""
    rows, columns = np.nonzero(picture < below)
    scale = 25.4 / ppi
    return (
        float(columns.min()) * scale,
        float(rows.min()) * scale,
        float(columns.max() + 1) * scale,
        float(rows.max() + 1) * scale,
    )
