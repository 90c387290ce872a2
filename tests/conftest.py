"""What all tests share: skips that are seen, golden files, and small journals."""

from __future__ import annotations

import os
from collections.abc import Callable, Generator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from PIL import Image

from needs import COLLECTION_ABSENT, missing_reason, nothing_may_skip

# Nothing here may depend on how fast, or how busy, a machine is. Where nothing may skip, nothing may fail by
# chance either: there the same examples are tried every time, elsewhere new ones, which are what finds faults.
settings.register_profile(
    "doublure",
    deadline=None,
    derandomize=nothing_may_skip(),
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("doublure")


def pytest_configure(config: pytest.Config) -> None:
    """Register our marks."""
    config.addinivalue_line("markers", "needs(*tools): skip, with the reason, where a tool is missing")
    config.addinivalue_line("markers", "golden: compares with files of tests/golden")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what `make golden` has to run."""
    for item in items:
        if "golden" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.golden)


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip a test that needs what is not there."""
    for mark in item.iter_markers("needs"):
        for tool in mark.args:
            if reason := missing_reason(tool):
                pytest.skip(reason)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Make a skip a failure where nothing may skip."""
    report = yield
    if (
        report.skipped
        and not hasattr(report, "wasxfail")
        and nothing_may_skip()
        and COLLECTION_ABSENT not in _words(report.longrepr)
    ):
        report.outcome = "failed"
        report.longrepr = f"DOUBLURE_REQUIRE_ALL=1, but skipped: {_words(report.longrepr)}"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(
    collector: pytest.Collector,
) -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """Likewise for a whole file that skips."""
    report = yield
    if report.outcome == "skipped" and nothing_may_skip():
        report.outcome = "failed"
        report.longrepr = f"DOUBLURE_REQUIRE_ALL=1, but skipped: {_words(report.longrepr)}"
    return report


def _words(longrepr: object) -> str:
    return str(longrepr[2]) if isinstance(longrepr, tuple) else str(longrepr)


GOLDEN = Path(__file__).resolve().parent / "golden"


@pytest.fixture
def golden() -> Callable[[str, str | bytes], None]:
    """A function that holds a text or bytes against tests/golden/NAME.

    `make golden` writes the files anew; nothing else does. Review the difference before it is committed.
    """

    def compare(name: str, actual: str | bytes) -> None:
        path = GOLDEN / name
        content = actual.encode("utf-8") if isinstance(actual, str) else actual
        if os.environ.get("DOUBLURE_WRITE_GOLDEN") == "1":
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
            return
        assert path.is_file(), f"tests/golden/{name} is not there; `make golden` writes it"
        expected = path.read_bytes()
        if isinstance(actual, str):
            assert actual == expected.decode("utf-8")
        assert content == expected

    return compare


_TINY = {
    "mkdocs.yml": """\
site_name: Tiny
strict: true
theme:
  name: material
  font: false
plugins:
  - search
  - offline
  - doublure
markdown_extensions: [attr_list, md_in_html, tables, sane_lists]
""",
    "docs/about.md": "# About\n\nA replica for tests.\n",
    "journal/replica.yml": """\
title: The tide notebook
object: A pocket notebook with one loose pass.
edition: 2
""",
    "journal/book.yml": """\
title: The book
leaf: 105 x 165 mm
stock: laid
gatherings: 2 sheets
sequence:
  - ruled
  - {master: ruled, times: 6}
  - blank: 1
""",
    "journal/stocks/laid.md": (
        "---\ntitle: Laid paper\nkind: paper\ngrammage: 90 g/m²\nsheet: 420 x 297 mm\n---\n"
    ),
    "journal/masters/ruled.md": "---\ntitle: Ruled page\nstate: wanted\n---\n",
    "journal/evidence/reel.md": (
        "---\ntitle: The reel\nkind: frame\npicture: pictures/reel.jpg\nscale: a 150 mm rule\n---\n"
    ),
    "journal/inserts/tide-pass.md": """\
---
title: Tide pass
readings:
  - {from: reel, width: 64 ± 1 mm, height: 121 ± 1 mm}
size: 64 x 121 mm
stock: laid
place: {between: [4, 5]}
---
Loose between the pages.
""",
}


@pytest.fixture
def make_tiny() -> Callable[[Path], Path]:
    """A function that fills a folder with a small project whose notes are right."""

    def make(root: Path) -> Path:
        for name, text in _TINY.items():
            path = root / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        (root / "journal/pictures").mkdir(exist_ok=True)
        Image.new("RGB", (60, 40), "teal").save(root / "journal/pictures/reel.jpg", "JPEG")
        return root

    return make


@pytest.fixture
def tiny(tmp_path: Path, make_tiny: Callable[[Path], Path]) -> Path:
    """The folder of a small project whose notes are right."""
    return make_tiny(tmp_path / "tiny")
