"""Measures `doublure build` against plain MkDocs, and `doublure note`: `make timings`.

The baseline is MkDocs with the same theme, templates, extensions and plugins but ours, building the very
pages, tables and pictures that ours would add, written out as files beforehand. Every run is a process of its
own; the two take turns, who is first as well. What counts are ratios of medians, printed with the machine
they were taken on; where others use the machine, the ratio of processor time is the steadier one. Cold is
without the cache of doublure and without a built site; Python's own compiled modules are there for both.
No test depends on the figures.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import platform
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from importlib.metadata import version
from pathlib import Path
from statistics import median
from typing import Any

import yaml
from synthetic import write_journal

ROOT = Path(__file__).resolve().parents[2]
GOAL = 1.3
#: Where doublure cleans what a note holds; plain MkDocs leaves the marks in the page.
MARKS = re.compile(rb"<!--db-note-(?:begins|ends)-->")
OURS = (sys.executable, "-m", "doublure", "build")
PLAIN = (sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet", "--site-dir", "out")


@dataclass(frozen=True)
class Cost:
    """What a process took: wall and processor seconds, peak memory in MB."""

    wall_s: float
    cpu_s: float
    peak_mb: float


@dataclass(frozen=True)
class Comparison:
    """One journal, built by both.

    Attributes:
        name: The journal.
        notes, pages: How many it has, and its site.
        rounds: Runs of each; the costs are medians, the memory is the most of all.
        alike: Pages that are the same to the byte from both.
        cold, cold_baseline: Without a cache, by doublure and by plain MkDocs.
        changed, changed_baseline: After some words were added to one note, likewise.
        note: Writing a log entry.
    """

    name: str
    notes: int
    pages: int
    rounds: int
    alike: int
    cold: Cost
    cold_baseline: Cost
    changed: Cost
    changed_baseline: Cost
    note: Cost


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Measure doublure build and note against plain MkDocs.")
    parser.add_argument(
        "--sizes", type=int, nargs="*", default=[100, 1000, 3000], help="notes of each journal"
    )
    parser.add_argument("--no-demo", action="store_true", help="leave the demo out")
    parser.add_argument(
        "--rounds", type=int, help="runs of each; else 3, and 1 for a journal of more than 1000 notes"
    )
    parser.add_argument("--json", type=Path, help="write the figures there, too")
    parser.add_argument("--baseline", type=Path, nargs=2, help=argparse.SUPPRESS)
    arguments = parser.parse_args()
    if arguments.baseline:
        write_baseline(*arguments.baseline)
        return
    if arguments.rounds is not None and arguments.rounds < 1:
        parser.error("--rounds must be 1 or more")
    if any(size < 20 for size in arguments.sizes):
        parser.error("--sizes must be 20 or more")
    machine = describe_machine()
    print("\n".join(f"{name}: {value}" for name, value in machine.items()), flush=True)
    results: list[Comparison] = []
    if not arguments.no_demo:
        results.append(measure("demo", copy_demo, arguments.rounds or 3))
    for size in arguments.sizes:
        rounds = arguments.rounds or (3 if size <= 1000 else 1)
        results.append(measure(f"{size} notes", lambda root, n=size: write_journal(root, n), rounds))
    print_summary(results)
    if arguments.json:
        figures = {"machine": machine, "results": [asdict(result) for result in results]}
        arguments.json.write_text(json.dumps(figures, indent=2) + "\n")


def describe_machine() -> dict[str, str]:
    """Return what the figures were taken on."""
    processor = platform.processor() or platform.machine()
    cpuinfo = Path("/proc/cpuinfo")
    if cpuinfo.is_file():
        names = [line for line in cpuinfo.read_text().splitlines() if line.startswith("model name")]
        processor = names[0].partition(":")[2].strip() if names else processor
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    return {
        "processor": processor,
        "cores": str(os.cpu_count()),
        "system": f"{platform.system()} {platform.release()}",
        "Python": platform.python_version(),
        "MkDocs": f"{version('mkdocs')}, theme {version('mkdocs-material')}",
        "load before": f"{load:.1f}",
    }


def measure(name: str, fill: Callable[[Path], None], rounds: int) -> Comparison:
    """Measure one journal and print its figures at once, since the largest take their time.

    Raises:
        SystemExit: A build failed, or the two sites are not of the same pages, or a change did not show.
    """
    with tempfile.TemporaryDirectory(prefix="doublure-timings-") as folder:
        project, baseline = Path(folder, "ours"), Path(folder, "plain")
        project.mkdir()
        fill(project)
        notes = sum(1 for path in (project / "journal").rglob("*") if path.suffix in (".md", ".yml"))
        # In a process of its own: what a process takes at its peak counts from what began it.
        run([sys.executable, __file__, "--baseline", str(project), str(baseline)], project)
        # Writing the baseline has filled the cache.
        ours, plain = _Builder(project, OURS, "site"), _Builder(baseline, PLAIN, "out")
        thing = min((project / "journal/inserts").glob("*.md")).stem
        runs: dict[str, list[Cost]] = {}
        alike = pages = 0
        for turn in range(rounds):
            both = (("", ours), (" plain", plain)) if turn % 2 == 0 else ((" plain", plain), ("", ours))
            for words, builder in both:
                shutil.rmtree(builder.folder / builder.site, ignore_errors=True)
                shutil.rmtree(builder.folder / ".doublure", ignore_errors=True)
                runs.setdefault(f"cold{words}", []).append(run(builder.command, builder.folder))
            if turn == 0:
                alike, pages = count_alike(ours, plain)
            touch(project / f"journal/inserts/{thing}.md", turn)
            touch(baseline / f"docs/inserts/{thing}.md", turn)
            for words, builder in both:
                runs.setdefault(f"changed{words}", []).append(run(builder.command, builder.folder))
                page = builder.folder / builder.site / f"inserts/{thing}.html"
                if _touched(turn) not in page.read_text("utf-8"):
                    sys.exit(f"{page} does not show what was changed")
        about = ["--about", thing, "--minutes", "40"]
        command = [sys.executable, "-m", "doublure", "note", "Cut and pressed", *about]
        runs["note"] = [run(command, project) for _ in range(max(5, rounds))]
    middle = {key: _middle(costs) for key, costs in runs.items()}
    result = Comparison(
        name, notes, pages, rounds, alike, middle["cold"], middle["cold plain"], middle["changed"],
        middle["changed plain"], middle["note"],
    )  # fmt: skip
    print_result(result)
    return result


@dataclass(frozen=True)
class _Builder:
    folder: Path
    command: Sequence[str]
    site: str

    def hash_pages(self) -> dict[str, str]:
        """Return the hash of each page, less the marks around a note's own words, by its path in the site."""
        root = self.folder / self.site
        return {
            path.relative_to(root).as_posix(): hashlib.sha256(MARKS.sub(b"", path.read_bytes())).hexdigest()
            for path in root.rglob("*.html")
        }


def count_alike(ours: _Builder, plain: _Builder) -> tuple[int, int]:
    """Return how many pages are the same to the byte in both sites, and how many there are.

    Raises:
        SystemExit: One has pages that the other does not have.
    """
    mine, theirs = ours.hash_pages(), plain.hash_pages()
    if mine.keys() != theirs.keys():
        sys.exit(f"the two sites are not of the same pages: {sorted(mine.keys() ^ theirs.keys())[:5]}")
    return sum(mine[path] == theirs[path] for path in mine), len(mine)


def _middle(costs: Sequence[Cost]) -> Cost:
    return Cost(
        median(cost.wall_s for cost in costs),
        median(cost.cpu_s for cost in costs),
        max(cost.peak_mb for cost in costs),
    )


def print_result(result: Comparison) -> None:
    """Print the figures of one journal."""
    print(
        f"\n{result.name}: {result.notes} notes, {result.pages} pages ({result.alike} the same to the byte), "
        f"median of {result.rounds}\n"
        f"  {'':23} {'doublure':>24}  {'plain MkDocs':>24}\n"
        f"  {'':23} {'wall':>7} {'CPU':>7} {'peak':>8}  {'wall':>7} {'CPU':>7} {'peak':>8}"
    )
    for words, cost, plain in (
        ("cold", result.cold, result.cold_baseline),
        ("after one changed note", result.changed, result.changed_baseline),
    ):
        print(f"  {words:23} {_columns(cost)}  {_columns(plain)}")
    print(f"  {'note':23} {_columns(result.note)}", flush=True)


def _columns(cost: Cost) -> str:
    return f"{cost.wall_s:5.2f} s {cost.cpu_s:5.2f} s {cost.peak_mb:5.0f} MB"


def print_summary(results: Sequence[Comparison]) -> None:
    """Print the ratios of all journals below one another."""
    print(f"\nTime of doublure build over that of plain MkDocs (goal: under {GOAL})")
    print(f"  {'':12} {'cold':>14}  {'one changed':>14}  {'peak memory':>11}  {'note':>7}")
    print(f"  {'':12} {'wall':>6} {'CPU':>7}  {'wall':>6} {'CPU':>7}  {'cold':>11}  {'wall':>7}")
    for one in results:
        pairs = (one.cold, one.cold_baseline), (one.changed, one.changed_baseline)
        ratios = "  ".join(f"{a.wall_s / b.wall_s:6.2f} {a.cpu_s / b.cpu_s:7.2f}" for a, b in pairs)
        memory = one.cold.peak_mb / one.cold_baseline.peak_mb
        print(f"  {one.name:12} {ratios}  {memory:11.2f}  {one.note.wall_s:5.2f} s")
    print(f"load after: {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "")


def run(command: Sequence[str], folder: Path) -> Cost:
    """Run a process to its end.

    Raises:
        SystemExit: It failed; what it said is printed.
    """
    with tempfile.TemporaryFile() as said:
        before = time.perf_counter()
        process = subprocess.Popen(command, cwd=folder, stdout=said, stderr=said, env=_environment())
        _, status, usage = os.wait4(process.pid, 0)
        wall = time.perf_counter() - before
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode:
            said.seek(0)
            sys.exit(f"{' '.join(command)} failed:\n{said.read().decode(errors='replace')}")
    kilobyte = 1024 if platform.system() == "Darwin" else 1
    return Cost(wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / kilobyte / 1024)


def _environment() -> dict[str, str]:
    return {**os.environ, "NO_MKDOCS_2_WARNING": "1", "PYTHONDONTWRITEBYTECODE": ""}


def copy_demo(root: Path) -> None:
    """Copy the demo's sources into an empty folder."""
    shutil.copy(ROOT / "mkdocs.yml", root)
    for name in ("docs", "journal"):
        shutil.copytree(ROOT / name, root / name, ignore=shutil.ignore_patterns("private"))


def touch(path: Path, turn: int) -> None:
    """Change a note or a page by some words."""
    path.write_text(f"{path.read_text('utf-8').rstrip()}\n\n{_touched(turn)}\n", "utf-8")


def _touched(turn: int) -> str:
    return f"Looked at it again, time {turn + 1}."


def write_baseline(project: Path, baseline: Path) -> None:
    """Write out as plain files what the plugin adds in memory, and a configuration without the plugin."""
    from mkdocs.config import load_config
    from mkdocs.structure.files import get_files

    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    config = load_config(config_file=str(project / "mkdocs.yml"))
    config.plugins.on_startup(command="build", dirty=False)
    plugin = config.plugins["doublure"]
    plugin.on_config(config)
    files = plugin.on_files(get_files(config), config)
    # The plugin sets the drawings of a page aside; plain MkDocs has to be given whole pages.
    whole = {page.path: page.text.encode() for page in plugin.whole_pages()}
    for file in files:
        target = baseline / "docs" / file.src_uri
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(whole.get(file.src_uri, file.content_bytes))
    settings: dict[str, Any] = yaml.safe_load((project / "mkdocs.yml").read_text("utf-8"))
    settings["plugins"] = [name for name in settings["plugins"] if name != "doublure"]
    theme = settings["theme"]
    settings["theme"] = {
        **(theme if isinstance(theme, dict) else {"name": theme}),
        "custom_dir": config.theme.dirs[0],
    }
    settings.update(
        extra_css=[str(item) for item in config.extra_css],
        extra_javascript=[str(item) for item in config.extra_javascript],
        extra={key: value for key, value in config.extra.items()},
        nav=config.nav,
        not_in_nav="/**",
        use_directory_urls=config.use_directory_urls,
    )
    (baseline / "mkdocs.yml").write_text(yaml.safe_dump(settings, sort_keys=False), "utf-8")


if __name__ == "__main__":
    main()
