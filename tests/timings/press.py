"""Measures the print files of a long book against plain pikepdf: `make timings`, or this script alone.

The book has 208 A6 pages, each a bilevel master of its own at 600 ppi, folded as folios in gatherings of four.
Ours is a process that reads the notes, checks, works up and writes every print file. Two baselines, each a
process too: *copy* puts the same image streams, ready made, into a PDF, one a page, with pikepdf and nothing
else; *encode* makes the streams as well, from the same picture files, with Pillow, on one core. Masters come as
PNG, which must be encoded, and as TIFF in Group 4, whose streams are taken as they are. Runs take turns; what
counts are ratios of medians, printed with the machine. No test depends on the figures.
"""

from __future__ import annotations

import argparse
import io
import json
import random
import shutil
import sys
import tempfile
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from statistics import median

from PIL import Image, ImageDraw, ImageFont

PAGES, PPI = 208, 600
SIZE_PX = (2480, 3496)
MM_PT = 72 / 25.4


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Measure the print files of 208 pages against plain pikepdf.")
    parser.add_argument("--rounds", type=int, default=3, help="runs of each")
    parser.add_argument("--json", type=Path, help="write the figures there, too")
    parser.add_argument("--do", nargs=3, metavar=("WHAT", "FROM", "TO"), help=argparse.SUPPRESS)
    arguments = parser.parse_args()
    if arguments.do:
        what, source, target = arguments.do
        {"ours": print_book, "copy": copy_streams, "encode": encode_pages}[what](Path(source), Path(target))
        return
    if arguments.rounds < 1:
        parser.error("--rounds must be 1 or more")
    from run import describe_machine

    machine = describe_machine()
    print("\n".join(f"{name}: {value}" for name, value in machine.items()), flush=True)
    results = {ending: measure(ending, arguments.rounds) for ending in ("png", "tif")}
    if arguments.json:
        arguments.json.write_text(json.dumps({"machine": machine, "results": results}, indent=2) + "\n")


def measure(ending: str, rounds: int) -> dict[str, object]:
    """Measure one kind of master and print its figures."""
    with tempfile.TemporaryDirectory(prefix="doublure-press-") as folder:
        root, streams = Path(folder, "book"), Path(folder, "streams")
        write_book(root, ending)
        extract_streams(root / "journal/artwork", streams)
        shelf = Path(folder, "out.pdf")
        runs: dict[str, list[object]] = {}
        for turn in range(rounds):
            shutil.rmtree(root / ".doublure", ignore_errors=True)
            shutil.rmtree(root / "print", ignore_errors=True)
            jobs: list[tuple[str, str, Path, Path]] = [
                ("first", "ours", root, shelf),
                ("copy", "copy", streams, shelf),
                ("encode", "encode", root / "journal/artwork", shelf),
            ]
            for name, what, source, target in jobs[turn % 3 :] + jobs[: turn % 3]:
                runs.setdefault(name, []).append(_run(what, source, target))
            runs.setdefault("again", []).append(_run("ours", root, shelf))
            draw_page(root / "journal/artwork/p104", ending, 1000 + turn)
            runs.setdefault("one changed", []).append(_run("ours", root, shelf))
        printed = {path.name: path.stat().st_size for path in (root / "print").rglob("*.pdf")}
        plates = printed["fronts.pdf"] + printed["backs.pdf"]
        whole = sum(path.stat().st_size for path in streams.iterdir())
    costs = {
        name: (
            median(one.wall_s for one in found),  # type: ignore[attr-defined]
            median(one.cpu_s for one in found),  # type: ignore[attr-defined]
            max(one.peak_mb for one in found),  # type: ignore[attr-defined]
        )
        for name, found in runs.items()
    }
    print(f"\n{PAGES} masters as {ending}, {whole / 1e6:.2f} MB as streams, median of {rounds}")
    for name, (wall, cpu, peak) in costs.items():
        print(f"  {name:12} {wall:6.2f} s wall {cpu:6.2f} s CPU {peak:5.0f} MB")
    sides = PAGES // 2
    excess = (plates - whole * 1.05) / sides
    print(f"  fronts and backs {plates / 1e6:.2f} MB: {plates / whole:.3f} of the streams, "
          f"{excess / 1000:+.2f} kB a plate beyond 1.05 of them (goal: at most +2)")  # fmt: skip
    for base in ("copy", "encode"):
        wall, cpu, peak = (ours / plain for ours, plain in zip(costs["first"], costs[base], strict=True))
        print(f"  first run over {base}: wall {wall:.2f}, CPU {cpu:.2f}, peak memory {peak:.2f}")
    for name in ("again", "one changed"):
        ratio = costs[name][0] / costs["first"][0]
        print(f"  {name} over first run: wall {ratio:.3f} (goal for one changed: under 0.1)", flush=True)
    return {"costs": costs, "stream_bytes": whole, "plate_bytes": plates}


def _run(what: str, source: Path, target: Path) -> object:
    from run import run

    return run([sys.executable, __file__, "--do", what, str(source), str(target)], source)


def write_book(root: Path, ending: str) -> None:
    """Write the project: a book in folios with a master for each page."""
    journal = root / "journal"
    for folder in ("masters", "stocks", "artwork"):
        (journal / folder).mkdir(parents=True)
    (journal / "replica.yml").write_text("title: The long notebook\nedition: 4\n")
    (journal / "stocks/wove.md").write_text(
        "---\ntitle: Wove\nkind: paper\ncaliper: 0.1 mm\nsheet: 297 x 210 mm\ngrain: short\n---\n"
    )
    names = [f"p{number:03}" for number in range(1, PAGES + 1)]
    for name in names:
        (journal / f"masters/{name}.md").write_text(
            f"---\ntitle: Page {name}\nstate: final\nartwork: artwork/{name}.{ending}\n---\n"
        )
    (journal / "book.yml").write_text(
        "title: The book\nleaf: 105 x 148 mm\nstock: wove\ngatherings: 4 sheets\nsequence:\n"
        + "".join(f"  - {name}\n" for name in names)
    )
    with ProcessPoolExecutor() as pool:
        paths = [journal / "artwork" / name for name in names]
        list(pool.map(draw_page, paths, [ending] * PAGES, range(PAGES)))


def draw_page(path: Path, ending: str, seed: int) -> None:
    """Draw a page of writing and rules, as a cleaned scan is: about 45 kB in Group 4."""
    chance = random.Random(seed)
    picture = Image.new("1", SIZE_PX, 1)
    pen = ImageDraw.Draw(picture)
    face = ImageFont.load_default(size=78)
    for line in range(30):
        y = 230 + line * 104
        pen.line([(150, y + 96), (2330, y + 96 + chance.randint(-1, 1))], fill=0, width=3)
        words = " ".join(
            "".join(chance.choices("abcdefghiklmnoprstuvw", k=chance.randint(2, 9))) for _ in range(9)
        )
        pen.text((160 + chance.randint(0, 30), y), words[:52], font=face, fill=0)
    if ending == "png":
        picture.save(path.with_suffix(".png"))
    else:
        picture.save(path.with_suffix(".tif"), compression="group4", tiffinfo={278: picture.height})


def _encode(path: Path) -> bytes:
    """Return a picture as one strip of Group 4."""
    with Image.open(path) as picture:
        out = io.BytesIO()
        picture.save(out, "TIFF", compression="group4", tiffinfo={278: picture.height})
    out.seek(0)
    with Image.open(out) as coded:
        start, count = coded.tag_v2[273][0], coded.tag_v2[279][0]  # type: ignore[attr-defined]
    return out.getvalue()[start : start + count]


def extract_streams(artwork: Path, streams: Path) -> None:
    """Write each master's stream to a file of its own."""
    streams.mkdir()
    for path in sorted(artwork.iterdir()):
        (streams / path.stem).write_bytes(_encode(path))


def copy_streams(streams: Path, target: Path) -> None:
    """Put ready streams into a PDF, one a page."""
    _write_pdf([path.read_bytes() for path in sorted(streams.iterdir())], target)


def encode_pages(artwork: Path, target: Path) -> None:
    """Make the streams from the pictures, one after the other, and put them into a PDF."""
    _write_pdf([_encode(path) for path in sorted(artwork.iterdir())], target)


def _write_pdf(streams: Sequence[bytes], target: Path) -> None:
    import pikepdf

    pdf = pikepdf.new()
    width, height = 105 * MM_PT, 148 * MM_PT
    for data in streams:
        page = pdf.add_blank_page(page_size=(width, height))
        image = pikepdf.Stream(
            pdf,
            data,
            Type=pikepdf.Name.XObject,
            Subtype=pikepdf.Name.Image,
            Width=SIZE_PX[0],
            Height=SIZE_PX[1],
            BitsPerComponent=1,
            ColorSpace=pikepdf.Name.DeviceGray,
            Filter=pikepdf.Name.CCITTFaxDecode,
            DecodeParms=pikepdf.Dictionary(K=-1, Columns=SIZE_PX[0], Rows=SIZE_PX[1]),
        )
        page.add_resource(image, pikepdf.Name.XObject, pikepdf.Name("/I"))
        page.Contents = pdf.make_stream(f"{width:.4f} 0 0 {height:.4f} 0 0 cm /I Do".encode())
    pdf.save(target)


def print_book(root: Path, _target: Path) -> None:
    """Read the notes, work them up, write every print file."""
    from doublure.pipeline import check_journal, read_reference
    from doublure.printing import list_print_files, write_files
    from doublure.store.cache import Cache
    from doublure.workings.all import work_up

    report = check_journal(root, with_streams=True)
    assert report.replica is not None
    work = work_up(report.replica, report.facts, read_reference(), report.artwork)
    cache = Cache.of_project(root)
    printed = write_files(root, list_print_files(root, work), cache, lambda words: None)
    assert not printed.failed, printed


if __name__ == "__main__":
    main()
