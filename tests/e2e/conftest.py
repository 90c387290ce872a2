"""The demo site, built once for all end-to-end tests, from a copy of the project's own files."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def demo_project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of mkdocs.yml, docs/ and journal/, with a built site/ beside them."""
    project = tmp_path_factory.mktemp("demo")
    # linkchecker gives up its rights when run as root, and must still be able to read.
    for folder in (project, *project.parents):
        if folder.name.startswith("pytest-") or folder == project:
            os.chmod(folder, 0o755)
    shutil.copy(ROOT / "mkdocs.yml", project)
    for name in ("docs", "journal"):
        shutil.copytree(ROOT / name, project / name, ignore=shutil.ignore_patterns("private"))
    done = subprocess.run(
        [sys.executable, "-m", "doublure", "build"], cwd=project, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return project


@pytest.fixture(scope="session")
def demo_site(demo_project: Path) -> Path:
    """The built site of the demo."""
    return demo_project / "site"
