"""What some tests need beside Python: where it is on this machine, and what to say where it is not.

A test that needs a tool is marked `@needs("chromium")`. Without the tool it skips and says why; where
DOUBLURE_REQUIRE_ALL=1 (as under .ci/run) nothing may skip, and it fails.
"""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
#: Where `make axe` puts it.
AXE = ROOT / ".doublure" / "npm" / "node_modules" / "axe-core" / "axe.min.js"

_PROGRAMS = {
    "chromium": ("chromium", "chromium-browser"),
    "git": ("git",),
    "linkchecker": ("linkchecker",),
    "poppler": ("pdftoppm",),
    "qpdf": ("qpdf",),
}
#: The one reason for which a test may skip everywhere: pictures and data files of others that lie beside some
#: checkouts may not be part of the project. The figures that matter are quoted in the tests.
COLLECTION_ABSENT = "the collection of reference figures is not beside this project"
_HINTS = {
    "axe": "axe-core is not there: `make axe` fetches it by npm, or DOUBLURE_AXE names axe.min.js",
    "chromium": "chromium is not installed, nor named by DOUBLURE_CHROMIUM",
    "git": "git is not installed",
    "linkchecker": "linkchecker is not installed in this environment",
    "poppler": "poppler-utils (pdftoppm) is not installed",
    "qpdf": "qpdf is not installed",
}


def needs(*tools: str) -> pytest.MarkDecorator:
    """Return the mark of a test that needs tools: "axe", "chromium", "git", "linkchecker", "poppler", "qpdf"."""
    if unknown := set(tools) - set(_HINTS):
        raise ValueError(f"unknown tools: {', '.join(sorted(unknown))}")
    return pytest.mark.needs(*tools)


def find_tool(tool: str) -> Path | None:
    """Return where a tool is: the program, or for "axe" its script; None where it is not."""
    if named := os.environ.get(f"DOUBLURE_{tool.upper()}"):
        return Path(named) if Path(named).is_file() else None
    if tool == "axe":
        return AXE if AXE.is_file() else None
    for name in _PROGRAMS[tool]:
        # Programs of this environment come first, also where nobody activated it.
        if found := shutil.which(name, path=str(Path(sys.executable).parent)) or shutil.which(name):
            return Path(found)
    return None


def missing_reason(tool: str) -> str | None:
    """Return why tests that need the tool cannot run; None where they can."""
    return None if find_tool(tool) is not None else _HINTS[tool]


def nothing_may_skip() -> bool:
    """True where a skipped test is a failure."""
    return os.environ.get("DOUBLURE_REQUIRE_ALL") == "1"
