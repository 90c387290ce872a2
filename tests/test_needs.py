"""A missing tool is a skip that says why, and a failure where nothing may skip."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from needs import find_tool, missing_reason, needs

HERE = Path(__file__).parent
SAMPLE = """
import pytest
from needs import needs

@needs("axe")
def test_needs_axe(): pass

@pytest.mark.xfail
def test_expected_to_fail(): assert False

def test_plain(): pass
"""
WHOLE_FILE = "import pytest\npytest.skip('not here', allow_module_level=True)\n"


def run(folder: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    for name in ("conftest.py", "needs.py"):
        shutil.copy(HERE / name, folder)
    (folder / "pytest.ini").write_text("[pytest]\npythonpath = .\naddopts = -p no:cacheprovider\n")
    clean = {key: value for key, value in os.environ.items() if not key.startswith("DOUBLURE_")}
    return subprocess.run(
        [sys.executable, "-m", "pytest", "-rs"],
        cwd=folder, env={**clean, **environment}, capture_output=True, text=True, check=False,
    )  # fmt: skip


def test_a_missing_tool_is_seen(tmp_path: Path) -> None:
    (tmp_path / "test_sample.py").write_text(SAMPLE)
    done = run(tmp_path)
    assert done.returncode == 0, done.stdout
    assert "1 passed, 1 skipped, 1 xfailed" in done.stdout
    assert "axe-core is not there" in done.stdout


def test_a_missing_tool_fails_where_all_is_required(tmp_path: Path) -> None:
    (tmp_path / "test_sample.py").write_text(SAMPLE)
    done = run(tmp_path, DOUBLURE_REQUIRE_ALL="1")
    assert done.returncode == 1, done.stdout
    assert "1 passed, 1 xfailed, 1 error" in done.stdout
    assert "but skipped: " in done.stdout


def test_a_tool_that_is_there_is_used(tmp_path: Path) -> None:
    (tmp_path / "test_sample.py").write_text(SAMPLE)
    script = tmp_path / "axe.min.js"
    script.write_text("")
    done = run(tmp_path, DOUBLURE_AXE=str(script), DOUBLURE_REQUIRE_ALL="1")
    assert done.returncode == 0, done.stdout
    assert "2 passed, 1 xfailed" in done.stdout


@pytest.mark.parametrize(("required", "code"), [("0", 5), ("1", 2)])
def test_a_whole_file_that_skips(tmp_path: Path, required: str, code: int) -> None:
    (tmp_path / "test_sample.py").write_text(WHOLE_FILE)
    done = run(tmp_path, DOUBLURE_REQUIRE_ALL=required)
    assert done.returncode == code, done.stdout
    assert "not here" in done.stdout


def test_tools_are_found(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("DOUBLURE_LINKCHECKER", raising=False)
    assert find_tool("linkchecker") is not None  # it is installed with the tests' own needs
    monkeypatch.setenv("DOUBLURE_LINKCHECKER", str(tmp_path / "none"))
    assert missing_reason("linkchecker") == "linkchecker is not installed in this environment"
    with pytest.raises(ValueError, match="unknown tools: hammer"):
        needs("hammer")
