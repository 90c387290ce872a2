"""Measures `doublure build` against plain MkDocs, and `doublure note`: `make timings`.

The baseline is MkDocs with the same theme, templates, extensions and plugins but ours, building the very
pages, tables and pictures that ours would add, written out as files beforehand. Every run is a process of its
own; what is printed are ratios, with the machine they were taken on. No test depends on them.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from statistics import median
from typing import Any

import yaml
from synthetic import write_journal

ROOT = Path(__file__).resolve().parents[2]
GOAL = 1.3


@dataclass(frozen=True)
class Cost:
    """What a process took: wall and processor seconds, peak memory in MB."""

    wall_s: float
    cpu_s: float
    peak_mb: float


@dataclass(frozen=True)
class Comparison:
    """One journal, built by both."""

    name: str
    notes: int
    pages: int
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
    parser.add_argument("--repeat", type=int, default=3, help="runs of each; the median counts")
    parser.add_argument("--json", type=Path, help="write the figures there, too")
    arguments = parser.parse_args()
    machine = describe_machine()
    print("\n".join(f"{name}: {value}" for name, value in machine.items()), flush=True)
    results: list[Comparison] = []
    if not arguments.no_demo:
        results.append(measure("demo", copy_demo, arguments.repeat))
    for size in arguments.sizes:
        results.append(
            measure(f"{size} notes", lambda root, n=size: write_journal(root, n), arguments.repeat)
        )
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
        "load before": f"{load:.1f}",
    }


def measure(name: str, fill: Callable[[Path], None], repeat: int) -> Comparison:
    """Measure one journal and print its figures at once, since the largest take their time."""
    with tempfile.TemporaryDirectory(prefix="doublure-timings-") as folder:
        project, baseline = Path(folder, "ours"), Path(folder, "plain")
        project.mkdir()
        fill(project)
        notes = sum(1 for path in (project / "journal").rglob("*") if path.suffix in (".md", ".yml"))
        ours = [sys.executable, "-m", "doublure", "build"]
        plain = [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet", "--site-dir", "out"]
        write_baseline(project, baseline)

        # By turns, so that a machine that is busy for a while is busy for both.
        runs: dict[str, list[Cost]] = {
            name: [] for name in ("cold", "cold plain", "changed", "changed plain", "note")
        }
        for turn in range(repeat):
            shutil.rmtree(project / ".doublure", ignore_errors=True)
            runs["cold"].append(run(ours, project))
            runs["cold plain"].append(run(plain, baseline))
            touch(next(iter(sorted((project / "journal/inserts").glob("*.md")))), turn)
            runs["changed"].append(run(ours, project))
            touch(next(iter(sorted((baseline / "docs/inserts").glob("*.md")))), turn)
            runs["changed plain"].append(run(plain, baseline))
        pages = sum(1 for _ in (project / "site").rglob("*.html"))
        thing = next(iter(sorted((project / "journal/inserts").glob("*.md")))).stem
        command = [
            sys.executable,
            "-m",
            "doublure",
            "note",
            "Cut and pressed",
            "--about",
            thing,
            "--minutes",
            "40",
        ]
        for _ in range(max(5, repeat)):
            runs["note"].append(run(command, project))
        middle = {key: _middle(costs) for key, costs in runs.items()}
        result = Comparison(
            name, notes, pages, middle["cold"], middle["cold plain"], middle["changed"],
            middle["changed plain"], middle["note"],
        )  # fmt: skip
    print_result(result)
    return result


def _middle(costs: Sequence[Cost]) -> Cost:
    return Cost(
        median(cost.wall_s for cost in costs),
        median(cost.cpu_s for cost in costs),
        max(c.peak_mb for c in costs),
    )


def print_result(result: Comparison) -> None:
    """Print the figures of one journal."""
    print(f"\n{result.name}: {result.notes} notes, {result.pages} pages")
    for words, cost, plain in (
        ("cold", result.cold, result.cold_baseline),
        ("after one changed note", result.changed, result.changed_baseline),
    ):
        wall, processor = cost.wall_s / plain.wall_s, cost.cpu_s / plain.cpu_s
        print(
            f"  {words:22}  {cost.wall_s:7.1f} s, plain {plain.wall_s:7.1f} s: "
            f"ratio {wall:.2f} (processor time {processor:.2f}; goal under {GOAL}); "
            f"peak {cost.peak_mb:.0f} MB, plain {plain.peak_mb:.0f} MB"
        )
    wall, processor = result.note.wall_s, result.note.cpu_s
    print(f"  {'note':22}  {wall:7.2f} s (processor {processor:.2f} s; goal under 0.5)", flush=True)


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
    path.write_text(f"{path.read_text('utf-8').rstrip()}\n\nLooked at it again, time {turn + 1}.\n", "utf-8")


def write_baseline(project: Path, baseline: Path) -> None:
    """Write out as plain files what the plugin adds in memory, and a configuration without the plugin."""
    from mkdocs.config import load_config
    from mkdocs.structure.files import get_files

    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    config = load_config(config_file=str(project / "mkdocs.yml"))
    config.plugins.on_startup(command="build", dirty=False)
    plugin = config.plugins["doublure"]
    plugin.on_config(config)
    for file in plugin.on_files(get_files(config), config):
        target = baseline / "docs" / file.src_uri
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(file.content_bytes)
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
