"""Print files, from notes to print/: what is made, kept, left out, published; what never gets into one."""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import sys
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Literal

import pikepdf
import pypdfium2 as pdfium
import pytest
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import Files
from PIL import Image, ImageDraw

from doublure import pipeline
from doublure.cli import run
from doublure.errors import JournalRejected
from doublure.plugin import DoublurePlugin
from doublure.printing import list_print_files, publish_files, write_files
from doublure.problems import Problem
from doublure.store.cache import Cache
from doublure.store.print_files import PrintReport
from doublure.workings.all import Workings, work_up
from doublure.workings.reference import Reference

Capture = pytest.CaptureFixture[str]
LEAF_PX = (1050, 1650)
NAMES = ("title", "chart", "table", "log")
#: Eight pages on two sheets: 8 1 / 2 7 and 6 3 / 4 5. The title and the log are on fronts, chart and table on backs.
FILES = {
    "mkdocs.yml": "site_name: The tide book\nstrict: true\ntheme: {name: material, font: false}\nplugins: [doublure]\n"
    "markdown_extensions: [attr_list, md_in_html, tables]\n",
    "docs/about.md": "# About\n\nA book for tests.\n",
    "journal/replica.yml": "title: The tide book\nobject: A pocket book of tides.\nedition: 3\n",
    "journal/book.yml": "title: The book\nleaf: 105 x 165 mm\nstock: laid\ngatherings: 2 sheets\n"
    "sequence: [title, chart, log, table, table, log, chart, title]\n",
    "journal/stocks/laid.md": "---\ntitle: Laid\nkind: paper\nsheet: 297 x 210 mm\ngrain: short\n---\n",
    **{
        f"journal/masters/{name}.md": f"---\ntitle: Master {name}\nstate: final\nartwork: artwork/{name}.png\n---\n"
        for name in NAMES
    },
}
LINE_OF_ARTWORK = 4


def draw(name: str, words: str = "") -> Image.Image:
    """Return a bilevel page with its name on it."""
    page = Image.new("1", LEAF_PX, 1)
    pen = ImageDraw.Draw(page)
    pen.rectangle((100, 100, 950, 1550), outline=0, width=6)
    pen.text((300, 700), f"{name} {words}", fill=0, font_size=90)
    return page


def save(root: Path, name: str, words: str = "") -> None:
    path = root / f"journal/artwork/{name}.png"
    path.parent.mkdir(parents=True, exist_ok=True)
    draw(name, words).save(path)


def write(root: Path, name: str, text: str) -> None:
    path = root / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


@pytest.fixture
def project(tmp_path: Path) -> Path:
    root = tmp_path / "tides"
    for name, text in FILES.items():
        write(root, name, text)
    for name in NAMES:
        save(root, name)
    return root


def work(root: Path) -> tuple[Workings, tuple[Problem, ...]]:
    report = pipeline.check_journal(root)
    assert report.replica is not None
    return work_up(report.replica, report.facts, Reference(), report.artwork), report.problems


def make(root: Path) -> PrintReport:
    """Make the print files as a build does, without the site."""
    files = list_print_files(root, work(root)[0])
    return write_files(root, files, Cache.of_project(root), lambda words: None)


PLATES = ("any-printer/fronts.pdf", "any-printer/backs.pdf")
REST = ("any-printer/plan.pdf", "any-printer/target.pdf", "paper-kit.pdf")


def made(root: Path) -> set[str]:
    return {
        path.relative_to(root / "print").as_posix()
        for path in (root / "print").rglob("*")
        if path.is_file() and not path.name.startswith(".")
    }


def page_words(path: Path) -> list[str]:
    document = pdfium.PdfDocument(path)
    try:
        return [page.get_textpage().get_text_bounded() for page in document]
    finally:
        document.close()


# What is made.


def test_every_file_is_made_once_and_then_kept(project: Path) -> None:
    first = make(project)
    assert first.made == (*PLATES, *REST)
    assert (first.kept, first.removed, first.failed) == ((), (), ())
    assert made(project) == {*PLATES, *REST}
    before = {name: (project / "print" / name).read_bytes() for name in made(project)}
    second = make(project)
    assert (second.made, second.kept) == ((), (*PLATES, *REST))
    shutil.rmtree(project / ".doublure")
    shutil.rmtree(project / "print")
    make(project)
    # Without a cache and from nothing: the same bytes.
    assert {name: (project / "print" / name).read_bytes() for name in made(project)} == before


@pytest.mark.parametrize(("master", "file"), [("title", PLATES[0]), ("table", PLATES[1])])
def test_a_changed_master_makes_only_what_carries_it(project: Path, master: str, file: str) -> None:
    make(project)
    save(project, master, "drawn anew")
    assert make(project).made == (file,)


def test_what_does_not_show_in_a_file_does_not_make_it_anew(project: Path) -> None:
    make(project)
    write(project, "journal/masters/title.md", FILES["journal/masters/title.md"] + "A remark.\n")
    write(project, "journal/log/2031-03-01-cards.md", "---\nminutes: 10\n---\nCut the cards.\n")
    assert make(project).made == ()
    # Copies are chosen in the print dialogue; only the plan that one prints by has them.
    write(project, "journal/replica.yml", FILES["journal/replica.yml"].replace("3", "5"))
    assert make(project).made == (REST[0],)
    write(project, "journal/book.yml", FILES["journal/book.yml"].replace("105 x 165", "104 x 165"))
    assert set(PLATES) <= set(make(project).made)


def test_a_page_for_each_stack_at_the_size_of_the_sheet(project: Path) -> None:
    make(project)
    for name, order in zip(PLATES, ((1, 2), (2, 1)), strict=True):
        with pikepdf.open(project / "print" / name) as pdf:
            assert not pdf.check_pdf_syntax()
            sizes = {tuple(round(float(side) / 72 * 25.4, 2) for side in page.mediabox) for page in pdf.pages}
            assert sizes == {(0, 0, 297, 210)}
            labels = [page.label for page in pdf.pages]
        side = "front" if name == PLATES[0] else "back"
        # The last sheet printed lies on top, so its stack comes first for the backs.
        assert labels == [f"stack {number} {side}" for number in order]
        for number, words in zip(order, page_words(project / "print" / name), strict=True):
            assert f"Stack {number}, {side}. Plate" in words
            assert ("no register readings" in words) == (side == "back")


def test_a_machine_that_prints_both_sides_has_one_file(project: Path) -> None:
    make(project)
    write(
        project,
        "journal/printers/hall.md",
        "---\ntitle: The hall\nboth_sides: by machine\nturn: long edge\n---\n",
    )
    report = make(project)
    assert "hall/both-sides.pdf" in report.made
    assert set(report.removed) == {*PLATES, *REST[:2]}
    assert not (project / "print/any-printer").exists()
    with pikepdf.open(project / "print/hall/both-sides.pdf") as pdf:
        assert [page.label for page in pdf.pages] == [
            f"stack {number} {side}" for number in (1, 2) for side in ("front", "back")
        ]
        assert pdf.Root.ViewerPreferences.Duplex == "/DuplexFlipLongEdge"
        # The sheet lies, so that turning it about its long edge puts the backs on their heads.
        assert "-1" in pdf.pages[1].Contents.read_bytes().decode("ascii").splitlines()[0]


def test_readings_move_the_backs_and_say_so(project: Path) -> None:
    write(project, "journal/printers/desk.md", "---\ntitle: The desk\n---\n")
    make(project)
    fronts = (project / "print/desk/fronts.pdf").read_bytes()
    marks = "".join(f"  {mark}: 0.4 mm right, 0.2 mm down\n" for mark in ("A1", "A2", "B1", "B2"))
    reading = f"title: One\nprinter: desk\nstock: laid\nsheet: 297 x 210 mm\noffsets:\n{marks}"
    write(project, "journal/register/one.yml", reading)
    report = make(project)
    assert "desk/backs.pdf" in report.made
    assert (project / "print/desk/fronts.pdf").read_bytes() == fronts
    for words in page_words(project / "print/desk/backs.pdf"):
        assert "Back moved 0.4 mm left, 0.2 mm up" in " ".join(words.split())


SEAT = "front: {{right: 0.3 mm, down: {0} mm, turn: {1}°}}\nfold: {2} mm\n"


def write_readings(project: Path, seats: list[str]) -> None:
    """Write the readings of as many sheets as there are seats; "" is a sheet whose seat nobody read."""
    marks = "".join(f"  {mark}: 0.4 mm right, 0.2 mm down\n" for mark in ("A1", "A2", "B1", "B2"))
    for number, seat in enumerate(seats):
        reading = f"title: T\nprinter: desk\nstock: laid\nsheet: 297 x 210 mm\noffsets:\n{marks}{seat}"
        write(project, f"journal/register/sheet-{number}.yml", reading)


def first_matrix(path: Path, page: int = 0) -> list[float] | None:
    """Return the matrix that a page begins with; None where it begins with none."""
    with pikepdf.open(path) as pdf:
        line = pdf.pages[page].Contents.read_bytes().decode("ascii").splitlines()[0]
    return [float(word) for word in line.split()[1:7]] if line.endswith(" cm") else None


def test_seats_that_are_told_move_both_sides_and_say_so(project: Path) -> None:
    write(project, "journal/printers/desk.md", "---\ntitle: The desk\n---\n")
    write_readings(
        project, [SEAT.format(down, 0, fold) for down, fold in ((-0.5, -0.9), (-0.6, -1.0), (-0.7, -1.1))]
    )
    make(project)
    mm = 72 / 25.4
    # The print goes 1 mm to the left and 0.6 mm down: in points, y up; a back is looked at from behind.
    assert first_matrix(project / "print/desk/fronts.pdf") == pytest.approx(
        [1, 0, 0, 1, -mm, -0.6 * mm], abs=1e-3
    )
    # Besides, the backs go 0.4 mm to the left and 0.2 mm up, as seen from the front.
    back = first_matrix(project / "print/desk/backs.pdf")
    assert back is not None
    way = back[0]
    assert abs(way) == pytest.approx(1)
    across, along = way * 1.4 * mm, -way * 0.4 * mm
    middle_x, middle_y = 297 / 2 * mm, 210 / 2 * mm
    assert back == pytest.approx(
        [way, 0, 0, way, middle_x * (1 - way) + across, middle_y * (1 - way) + along], abs=1e-3
    )
    for name in ("fronts", "backs"):
        for words in page_words(project / f"print/desk/{name}.pdf"):
            said = " ".join(words.split())
            assert "Front and back alike moved 1 mm left, 0.6 mm down, seen from the front" in said
            assert ("Back moved 0.4 mm left, 0.2 mm up" in said) == (name == "backs")


@pytest.mark.parametrize(
    "seats",
    [
        [""] * 3,
        [SEAT.format(-0.6, 0.1, -1.0), "", ""],
        [
            SEAT.format(down, turn, fold)
            for down, turn, fold in ((-0.6, 0.1, -0.9), (0.5, -0.2, 0.8), (0.2, 0, 0.1))
        ],
    ],
    ids=["not read", "one sheet", "not told from nothing"],
)
def test_seats_that_are_not_told_leave_the_fronts_byte_for_byte(project: Path, seats: list[str]) -> None:
    write(project, "journal/printers/desk.md", "---\ntitle: The desk\n---\n")
    make(project)
    fronts = (project / "print/desk/fronts.pdf").read_bytes()
    assert first_matrix(project / "print/desk/fronts.pdf") is None
    write_readings(project, seats)
    report = make(project)
    assert "desk/backs.pdf" in report.made
    assert "desk/fronts.pdf" in report.kept
    shutil.rmtree(project / "print")
    make(project)
    assert (project / "print/desk/fronts.pdf").read_bytes() == fronts


# What is missing or wrong.


def test_without_a_book_there_is_nothing_to_print(project: Path) -> None:
    (project / "journal/book.yml").unlink()
    assert make(project) == PrintReport((), (), (), ())
    assert not (project / "print").exists()


@pytest.mark.parametrize("line", ["leaf: 105 x 165 mm\n", "stock: laid\n"])
def test_without_leaf_or_sheet_only_the_target_and_the_kit_are_made(project: Path, line: str) -> None:
    write(project, "journal/book.yml", FILES["journal/book.yml"].replace(line, ""))
    assert make(project).made == REST[1:]


def _torn(root: Path, path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-200])


def _missing(root: Path, path: Path) -> None:
    path.unlink()


def _cmyk(root: Path, path: Path) -> None:
    content = io.BytesIO()
    Image.new("CMYK", LEAF_PX).save(content, "TIFF")
    path.write_bytes(content.getvalue())


def _sixteen_bit(root: Path, path: Path) -> None:
    content = io.BytesIO()
    Image.new("I;16", LEAF_PX).save(content, "PNG")
    path.write_bytes(content.getvalue())


def _encrypted(root: Path, path: Path) -> None:
    with pikepdf.new() as pdf:
        pdf.add_blank_page(page_size=(105 / 25.4 * 72, 165 / 25.4 * 72))
        content = io.BytesIO()
        pdf.save(content, encryption=pikepdf.Encryption(user="tide", owner="tide"))
    path.write_bytes(content.getvalue())


def _no_picture(root: Path, path: Path) -> None:
    path.write_text("These are words.")


def _outside(root: Path, path: Path) -> None:
    note = root / "journal/masters/chart.md"
    note.write_text(note.read_text().replace("artwork/chart.png", "../chart.png"))


@pytest.mark.parametrize(
    ("spoil", "code"),
    [
        (_missing, "A101"),
        (_outside, "A101"),
        (_torn, "A102"),
        (_cmyk, "A103"),
        (_sixteen_bit, "A103"),
        (_encrypted, "A104"),
        (_no_picture, "A105"),
    ],
)
def test_wrong_artwork_is_a_problem_and_the_other_plates_are_made(
    project: Path, spoil: Callable[[Path, Path], None], code: str
) -> None:
    spoil(project, project / "journal/artwork/chart.png")
    found, problems = work(project)
    (problem,) = [one for one in problems if one.code.startswith("A")]
    assert (problem.code, problem.is_error) == (code, False)
    assert (problem.span.file, problem.span.line) == ("journal/masters/chart.md", LINE_OF_ARTWORK)
    assert found.press.plan is not None
    # The chart is on the back of the first sheet alone: pages 2 and 7.
    assert [found.press.plan.plate(number).masters for number in found.press.unprintable] == [("chart",)]
    assert make(project).failed == ()
    assert len(page_words(project / "print" / PLATES[0])) == 2
    (back,) = page_words(project / "print" / PLATES[1])
    assert "Stack 2, back" in back


def test_a_machine_leaves_the_side_empty_whose_artwork_cannot_be_used(project: Path) -> None:
    write(project, "journal/printers/hall.md", "---\ntitle: The hall\nboth_sides: by machine\n---\n")
    _missing(project, project / "journal/artwork/chart.png")
    make(project)
    pages = page_words(project / "print/hall/both-sides.pdf")
    # Front and back of both stacks keep their places; the back of the first is empty and says so.
    assert ["Left out, its artwork cannot be used: chart" in " ".join(words.split()) for words in pages] == [
        False,
        True,
        False,
        False,
    ]
    with pikepdf.open(project / "print/hall/both-sides.pdf") as pdf:
        drawn = [len([name for name in page.Resources.XObject if name != "/Marks"]) for page in pdf.pages]
    assert drawn == [1, 0, 1, 1]


def test_artwork_of_another_size_is_a_problem_and_is_printed(project: Path) -> None:
    Image.new("1", (1650, 1650), 1).save(project / "journal/artwork/chart.png")
    found, problems = work(project)
    assert [(one.code, one.span.line) for one in problems if one.code.startswith("A")] == [
        ("A106", LINE_OF_ARTWORK)
    ]
    assert found.press.unprintable == ()
    assert [(one.master, one.kind) for one in found.press.findings if one.kind == "size"] == [
        ("chart", "size")
    ]


def test_a_page_of_a_pdf_is_printed(project: Path) -> None:
    path = project / "journal/artwork/chart.pdf"
    with pikepdf.new() as pdf:
        pdf.add_blank_page(page_size=(105 / 25.4 * 72, 165 / 25.4 * 72))
        pdf.pages[0].Contents = pdf.make_stream(b"20 20 100 200 re f")
        pdf.save(path)
    note = project / "journal/masters/chart.md"
    note.write_text(note.read_text().replace("chart.png", "chart.pdf"))
    found, problems = work(project)
    assert [one for one in problems if one.code.startswith("A")] == []
    assert found.press.unprintable == ()
    assert make(project).failed == ()


def test_a_stranger_s_file_is_left_alone_and_said(project: Path) -> None:
    write(project, "print/any-printer/fronts.pdf", "mine")
    write(project, "print/private/copy-1.txt", "for a friend")
    report = make(project)
    assert [fault.path for fault in report.failed] == [PLATES[0]]
    assert (project / "print/any-printer/fronts.pdf").read_text() == "mine"
    assert (project / "print/private/copy-1.txt").read_text() == "for a friend"
    assert PLATES[1] in report.made


# What stays private.

CANARY = "heronsgate"


def test_no_private_word_gets_into_a_print_file(project: Path) -> None:
    private = f"{{private}}{CANARY}{{/private}}"
    for name, text in list(FILES.items()):
        if name.startswith("journal/"):
            changed = re.sub(r"^(title: .*)$", rf"\1 {private}", text, count=1, flags=re.MULTILINE)
            changed = (
                changed.replace("---\n", f"---\nremark_private: {CANARY}\n", 1)
                if name.endswith(".md")
                else changed
            )
            write(
                project,
                name,
                changed + (f"\n{private}\n" if name.endswith(".md") else f"owner_private: {CANARY}\n"),
            )
    write(project, "journal/printers/desk.md", f"---\ntitle: The desk {private}\n---\n{private}\n")
    write(project, "journal/private/copies.md", f"---\ntitle: {CANARY}\n---\n")
    log = f"---\nabout: stack-1\nstep: printing {private}\nmade: 3\nminutes: 9\n---\nDone {private}\n"
    write(project, "journal/log/2031-03-01-press.md", log)
    picture = draw("title")
    picture.save(project / "journal/artwork/title.png", pnginfo=_text_chunk(), dpi=(254, 254))
    report = make(project)
    assert len(report.made) == 5
    for name in made(project):
        content = (project / "print" / name).read_bytes()
        with pikepdf.open(project / "print" / name) as pdf:
            streams = [
                one.read_bytes() for one in pdf.objects if isinstance(one, pikepdf.Stream) and _is_plain(one)
            ]
            rest = [str(one) for one in pdf.objects]
        for held in (content, *streams, *(one.encode() for one in rest)):
            assert CANARY.encode() not in held.lower(), name
        assert CANARY not in " ".join(page_words(project / "print" / name)).lower()


def _text_chunk() -> object:
    from PIL.PngImagePlugin import PngInfo

    info = PngInfo()
    info.add_text("Author", CANARY)
    return info


def _is_plain(stream: pikepdf.Stream) -> bool:
    return str(stream.get("/Filter")) not in ("/CCITTFaxDecode", "/DCTDecode")


def test_the_canary_would_be_seen(project: Path) -> None:
    # The same journal with the word in the open: it is in the plan, or the test above proves nothing.
    write(
        project,
        "journal/replica.yml",
        FILES["journal/replica.yml"].replace("The tide book", f"The {CANARY} book"),
    )
    make(project)
    assert any(CANARY in " ".join(page_words(project / "print" / name)).lower() for name in made(project))


# The build.


def build(root: Path, monkeypatch: pytest.MonkeyPatch, *options: str) -> int:
    monkeypatch.chdir(root)
    return run(["build", *options])


def site_files(root: Path) -> dict[str, bytes]:
    return {
        path.relative_to(root / "site").as_posix(): path.read_bytes()
        for path in (root / "site").rglob("*")
        if path.is_file() and path.name not in ("sitemap.xml.gz", "sitemap.xml")
    }


def test_a_build_makes_site_and_print_files_and_says_so(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    assert build(project, monkeypatch) == 0
    printed = capsys.readouterr()
    assert "made print/any-printer/fronts.pdf (" in printed.err
    assert "print/: 5 files made, no files as before" in printed.err
    assert build(project, monkeypatch) == 0
    assert "print/: no files made, 5 files as before" in capsys.readouterr().err
    # Not published: the target and the kit alone are in the site.
    assert sorted(name for name in site_files(project) if name.endswith(".pdf")) == [
        "print/any-printer/target.pdf",
        "print/paper-kit.pdf",
    ]
    assert (project / "site/print/paper-kit.pdf").read_bytes() == (
        project / "print/paper-kit.pdf"
    ).read_bytes()


def test_wrong_artwork_builds_and_ends_with_status_1(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    _torn(project, project / "journal/artwork/chart.png")
    assert build(project, monkeypatch) == 1
    err = capsys.readouterr().err
    assert f"journal/masters/chart.md:{LINE_OF_ARTWORK}:" in err
    assert "left out 1 plate without artwork that can be used" in err
    assert (project / "site/index.html").is_file()
    assert {*PLATES} <= made(project)


def test_artwork_that_is_not_there_yet_is_no_fault(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    write(project, "journal/masters/chart.md", "---\ntitle: Chart\nstate: wanted\n---\n")
    assert build(project, monkeypatch, "--json") == 0
    import json

    report = json.loads(capsys.readouterr().out)
    assert len(report["print"]["plates_left_out"]) == 1
    assert report["print"]["made"] == [*PLATES, *REST]


def test_no_print_leaves_the_folder_alone_and_the_site_the_same(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1900000000")
    assert build(project, monkeypatch, "--no-print") == 0
    assert not (project / "print").exists()
    assert "print/" not in capsys.readouterr().err
    without = site_files(project)
    assert build(project, monkeypatch) == 0
    assert site_files(project) == without


def test_print_files_are_published_where_the_replica_says_so(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1900000000")
    write(project, "journal/replica.yml", FILES["journal/replica.yml"] + "publish: {print_files: yes}\n")
    assert build(project, monkeypatch) == 0
    whole = site_files(project)
    for name in (*PLATES, *REST):
        assert whole[f"print/{name}"] == (project / "print" / name).read_bytes()
    assert b"print/any-printer/fronts.pdf" in b"".join(
        text for name, text in whole.items() if name.endswith(".html")
    )
    # Plain MkDocs gives the same site, and makes no file beside it.
    shutil.rmtree(project / "site")
    shutil.rmtree(project / "print")
    subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--quiet"],
        cwd=project,
        check=True,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
    )
    assert site_files(project) == whole
    assert not (project / "print").exists()


@pytest.mark.parametrize("rights", ["no", "ask"])
def test_rights_of_one_source_keep_the_plates_out_of_the_site(
    project: Path, monkeypatch: pytest.MonkeyPatch, rights: str
) -> None:
    write(project, "journal/replica.yml", FILES["journal/replica.yml"] + "publish: {print_files: yes}\n")
    write(
        project,
        "journal/evidence/reel.md",
        f"---\ntitle: Reel\nkind: frame\nrights: {{publish: {rights}}}\n---\n",
    )
    note = FILES["journal/masters/chart.md"].replace("state: final", "state: final\nevidence: reel")
    write(project, "journal/masters/chart.md", note)
    assert build(project, monkeypatch) == 0
    names = [name for name in site_files(project) if name.endswith(".pdf")]
    assert sorted(names) == ["print/any-printer/target.pdf", "print/paper-kit.pdf"]
    assert {*PLATES} <= made(project)


def test_a_failed_build_leaves_print_files_as_they_were(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert build(project, monkeypatch) == 0
    before = {name: (project / "print" / name).read_bytes() for name in made(project)}
    save(project, "title", "drawn anew")
    write(project, "docs/about.md", "[nowhere](missing.md)\n")
    assert build(project, monkeypatch) == 1
    assert {name: (project / "print" / name).read_bytes() for name in made(project)} == before
    write(project, "docs/about.md", FILES["docs/about.md"])
    assert build(project, monkeypatch) == 0
    assert (project / "print" / PLATES[0]).read_bytes() != before[PLATES[0]]


def test_without_print_files_nothing_is_made(project: Path) -> None:
    prepared = pipeline.prepare_site(project, with_print=False)
    assert (prepared.downloads, prepared.print_files) == ((), ())
    assert not (project / "print").exists()


@pytest.mark.parametrize(("command", "with_print"), [("serve", False), ("build", True)])
def test_serving_makes_no_print_files(
    project: Path, monkeypatch: pytest.MonkeyPatch, command: Literal["serve", "build"], with_print: bool
) -> None:
    asked: list[bool] = []

    def prepare(*_: object, with_print: bool = True, **__: object) -> pipeline.PreparedSite:
        asked.append(with_print)
        raise JournalRejected(())

    monkeypatch.setattr(pipeline, "prepare_site", prepare)
    plugin = DoublurePlugin()
    plugin.load_config({})
    plugin.root = project
    plugin.on_startup(command=command, dirty=False)
    with pytest.raises(PluginError):
        plugin.on_files(Files([]), MkDocsConfig())
    assert asked == [with_print]


def test_a_damaged_cache_gives_the_same_files(project: Path) -> None:
    make(project)
    before = {name: (project / "print" / name).read_bytes() for name in made(project)}
    for path in (project / ".doublure/cache").rglob("*"):
        if path.is_file():
            path.write_bytes(zlib.compress(b"spoiled"))
    shutil.rmtree(project / "print")
    make(project)
    assert {name: (project / "print" / name).read_bytes() for name in made(project)} == before


def test_artwork_that_changes_while_it_is_printed_leaves_its_file_out_and_says_so(project: Path) -> None:
    write(project, "journal/replica.yml", FILES["journal/replica.yml"] + "publish: {print_files: yes}\n")
    files = list_print_files(project, work(project)[0])
    save(project, "title", "changed meanwhile")
    cache = Cache.of_project(project)
    published = [file.download.path for file in publish_files(files, cache)]
    assert published == [f"print/{name}" for name in (PLATES[1], *REST)]
    report = write_files(project, files, cache, lambda words: None)
    (fault,) = report.failed
    assert fault.path == PLATES[0]
    assert "artwork/title.png" in fault.words
    assert make(project).made == (PLATES[0],)
