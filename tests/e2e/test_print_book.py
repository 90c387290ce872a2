"""A book of 208 pages from its notes to printed, folded, sewn pages: the print files are rendered by poppler,
folded as pictures by tests/printed_book.py, and read.

Folios, quartos and octavos, from left to right and from right to left. Every page must come in order, upright,
within 0.05 mm of its place, with 600-ppi bilevel masters. That a quired sheet carries pages in this order is
also held against Cowie and Savage in tests/outside/test_press_published.py.
"""

from __future__ import annotations

import math
import re
import shutil
import subprocess
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pikepdf
import pytest

from doublure.cli.app import run
from needs import find_tool, needs
from printed_book import (
    LEAF_MM,
    FoundPage,
    Layer,
    Picture,
    draw_master,
    fold_left_over_right,
    fold_right_over_left,
    fold_top_over_bottom,
    lay_down,
    read_page,
)

PAGES = 208
PPI = 600
PPMM = PPI / 25.4
WITHIN_MM = 0.05
#: Poppler stretches a picture to whole pixels at both of its edges, so that single spots move by up to a pixel
#: against the page as a whole.
STRETCH_MM = 1.2 / PPMM
#: By folding: the printed sheet, mm; the leaf pairs of one sheet; sheets in a gathering. The sizes are such that
#: the folds fall on whole pixels.
FOLDINGS = {
    "folio": ((254, 165.1), 1, 4),
    "quarto": ((254, 330.2), 2, 2),
    "octavo": ((482.6, 330.2), 4, 1),
}

pytestmark = needs("poppler")


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project of 208 masters, each of which says its own number."""
    root = tmp_path_factory.mktemp("book")
    journal = root / "journal"
    for folder in ("stocks", "masters", "artwork"):
        (journal / folder).mkdir(parents=True)
    (root / "docs").mkdir()
    (root / "mkdocs.yml").write_text(
        "site_name: Book\ntheme:\n  name: material\n  font: false\nplugins: [search, offline, doublure]\n"
        "markdown_extensions: [attr_list, md_in_html, tables, sane_lists]\n"
    )
    (journal / "replica.yml").write_text("title: The long notebook\nedition: 3\n")

    def write(number: int) -> None:
        draw_master(number, PPI).save(journal / f"artwork/p{number:03}.png")
        (journal / f"masters/p{number:03}.md").write_text(
            f"---\ntitle: Page {number}\nstate: final\nartwork: artwork/p{number:03}.png\n---\n"
        )

    with ThreadPoolExecutor() as pool:
        list(pool.map(write, range(1, PAGES + 1)))
    return root


def _write_book(root: Path, folding: str, way: str, more: str = "") -> None:
    sheet, _, sheets = FOLDINGS[folding]
    width, height = LEAF_MM
    (root / "journal/stocks/wove.md").write_text(
        f"---\ntitle: Wove\nkind: paper\ncaliper: 0.1 mm\nsheet: {sheet[0]} x {sheet[1]} mm\n---\n"
    )
    masters = "\n".join(f"  - p{number:03}" for number in range(1, PAGES + 1))
    (root / "journal/book.yml").write_text(
        f"title: The book\nleaf: {width:g} x {height:g} mm\nstock: wove\nreading: {way}\n"
        f"gatherings: {sheets} sheets\npress: {{folding: {folding}, bleed: 3 mm}}\n{more}sequence:\n{masters}\n"
    )


def _build(root: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(root)
    shutil.rmtree(root / "print", ignore_errors=True)
    assert run(["build"]) == 0
    (folder,) = (path.parent for path in (root / "print").glob("*/fronts.pdf"))
    return folder


def _render(file: Path, page: int, into: Path) -> Picture:
    tool = find_tool("poppler")
    assert tool is not None
    stem = into / f"{file.stem}-{page}"
    subprocess.run(
        [tool, "-mono", "-r", str(PPI), "-f", str(page), "-l", str(page), "-singlefile", file, stem],
        check=True,
    )
    content = stem.with_suffix(".pbm").read_bytes()
    stem.with_suffix(".pbm").unlink()
    # A bitmap of the plainest kind: "P4", width and height, rows of whole bytes, 1 for ink.
    kind, width, height = content[:64].split(maxsplit=3)[:3]
    assert kind == b"P4"
    row = (int(width) + 7) // 8
    bits = np.frombuffer(content, np.uint8)[-row * int(height) :].reshape(int(height), row)
    return np.unpackbits(bits, axis=1, count=int(width)).view(np.bool_)


def _sheets_in_order(folder: Path, folding: str, into: Path) -> Iterator[tuple[Picture, Picture]]:
    """Yield front and back of every sheet in sewing order.

    All masters differ, so that every stack is one sheet of the book, and the stacks are in sewing order: what is
    printed says whether that holds.
    """
    fronts, backs = folder / "fronts.pdf", folder / "backs.pdf"
    with pikepdf.open(fronts) as one, pikepdf.open(backs) as other:
        count = len(one.pages)
        assert count == len(other.pages) == PAGES // (4 * FOLDINGS[folding][1])
    # The pile comes to lie as it was printed or the other way round; the labels of the pages say it.
    labels = [_stacks(fronts), _stacks(backs)]
    with ThreadPoolExecutor() as pool:
        for stack in range(1, count + 1):
            pages = [named.index(stack) + 1 for named in labels]
            yield tuple(pool.map(_render, (fronts, backs), pages, (into, into)))  # type: ignore[misc]


def _stacks(file: Path) -> list[int]:
    with pikepdf.open(file) as pdf:
        return [int(re.findall(r"\d+", page.label)[0]) for page in pdf.pages]


def _fold_gathering(
    sheets: list[tuple[Picture, Picture]], folding: str, rtl: bool, fore_edge_mm: float
) -> list[Layer]:
    """Return the leaves of a gathering, the lowest first, its sheets given from the outermost inwards."""
    first, last = (fold_right_over_left, fold_left_over_right)
    if rtl:
        first, last = last, first
    pile: list[Layer] = []
    spine = 0
    for front, back in sheets:
        folded = [lay_down(front, back)]
        height, width = front.shape
        spine = width // 2
        if folding == "octavo":
            folded = first(folded, width // 2)
            at = round((fore_edge_mm + LEAF_MM[0]) * PPMM)
            spine = at if not rtl else width - at - width // 2
        if folding != "folio":
            folded = fold_top_over_bottom(folded, height // 2)
        pile += folded
    return last(pile, spine)


@pytest.mark.parametrize("way", ["left to right", "right to left"])
@pytest.mark.parametrize("folding", FOLDINGS)
def test_the_printed_book_reads_in_order(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, folding: str, way: str
) -> None:
    """Every page in order, upright, within 0.05 mm of its place."""
    rtl = way == "right to left"
    _write_book(project, folding, way)
    found = _read(_build(project, monkeypatch), tmp_path, folding, rtl)
    assert [page.number for page in found] == list(range(1, PAGES + 1))
    assert max(math.hypot(*page.place_mm) for page in found) <= WITHIN_MM
    assert max(page.bent_mm for page in found) <= STRETCH_MM


def test_creep_moves_pages_towards_the_fold(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Sheet s of a gathering is moved by (s - 1) steps; nothing moves up or down."""
    _write_book(
        project,
        "folio",
        "left to right",
        "creep: {rule: measured, push_out: 0.9 mm, dummy: 4 sheets, step: 0.3 mm}\n",
    )
    found = _read(_build(project, monkeypatch), tmp_path, "folio", False)
    assert [page.number for page in found] == list(range(1, PAGES + 1))
    for page in found:
        leaf = (page.number - 1) // 2 % 8
        steps = min(leaf, 7 - leaf)
        towards = -0.3 * steps if page.number % 2 else 0.3 * steps
        across, down = page.place_mm
        assert math.hypot(across - towards, down) <= WITHIN_MM
        assert page.bent_mm <= STRETCH_MM


def _read(folder: Path, into: Path, folding: str, rtl: bool) -> list[FoundPage]:
    with pikepdf.open(folder / "fronts.pdf") as pdf:
        trim = [float(edge) for edge in pdf.pages[0].TrimBox]
        media = [float(edge) for edge in pdf.pages[0].MediaBox]
    mm = 25.4 / 72
    # The lower row stands on the tail of the trim; after the head fold it lies at the top of the folded piece.
    tail = (media[3] - trim[1]) * mm
    head = tail - LEAF_MM[1] - (0 if folding == "folio" else media[3] * mm / 2)
    found: list[FoundPage] = []
    waiting: list[tuple[Picture, Picture]] = []
    sheets = PAGES // (4 * FOLDINGS[folding][1])
    for number, sheet in enumerate(_sheets_in_order(folder, folding, into), 1):
        waiting.append(sheet)
        # 26 sheets of quarto fill 13 gatherings of two; whatever is over is a short last one.
        if len(waiting) < FOLDINGS[folding][2] and number < sheets:
            continue
        for leaf in reversed(_fold_gathering(waiting, folding, rtl, trim[0] * mm)):
            for page, spine_left in ((leaf.above, not rtl), (leaf.below[:, ::-1], rtl)):
                left = 0.0 if spine_left else page.shape[1] / PPMM - LEAF_MM[0]
                one = read_page(page, left, head, PPMM)
                assert one is not None, "a page is blank"
                found.append(one)
        waiting = []
    return found
