"""The demo site, built once for all end-to-end tests, from a copy of the project's own files."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def run_doublure(project: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the command in a project, as a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "doublure", *arguments], cwd=project, capture_output=True, text=True, check=False
    )


@pytest.fixture(scope="session")
def demo_project() -> Iterator[Path]:
    """A copy of mkdocs.yml, docs/ and journal/, with a built site/ beside them; not to be changed."""
    with tempfile.TemporaryDirectory(prefix="doublure-demo-") as folder:
        project = Path(folder)
        # linkchecker gives up its rights when it is run as root, and must still be able to read.
        project.chmod(0o755)
        copy_demo(project)
        done = run_doublure(project, "build")
        assert done.returncode == 0, done.stdout + done.stderr
        yield project


def copy_demo(project: Path, source: Path = ROOT) -> None:
    """Copy the demo's own files into a folder."""
    shutil.copy(source / "mkdocs.yml", project)
    for name in ("docs", "journal"):
        shutil.copytree(source / name, project / name, ignore=shutil.ignore_patterns("private"), dirs_exist_ok=True)


@pytest.fixture(scope="session")
def demo_site(demo_project: Path) -> Path:
    """The built site of the demo."""
    return demo_project / "site"
