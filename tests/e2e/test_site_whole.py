"""The demo site as files: links, data, feed, and that both ways to build it give the same pages."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

from e2e.conftest import copy_demo, run_doublure
from e2e.site_links import find_bad_links
from needs import find_tool, needs

#: Every kind of page that the site is made of, as pages say it of themselves.
KINDS = {
    "first", "gallery", "insert", "evidence-index", "evidence", "book", "page-map", "gatherings", "imposition",
    "crossovers", "creep", "masters", "master", "stocks", "stock", "finishes", "finish", "trials", "trial", "bill",
    "log", "log-things", "pictures", "questions", "data", "handbook", "plates", "register", "run", "paper-kit",
    "printer", "reading",
}  # fmt: skip


def read_tree(folder: Path) -> dict[str, str]:
    """Return the hash of every file of a folder by its path."""
    return {
        file.relative_to(folder).as_posix(): hashlib.sha256(file.read_bytes()).hexdigest()
        for file in sorted(folder.rglob("*"))
        if file.is_file()
    }


def pages_by_kind(site: Path) -> dict[str, Path]:
    """Return one page of each kind, the largest, so that it is one with something on it."""
    found: dict[str, Path] = {}
    for file in sorted(site.rglob("*.html")):
        text = file.read_text(encoding="utf-8")
        at = text.find('data-kind="')
        if at >= 0:
            kind = text[at + 11 : text.index('"', at + 11)]
            if kind not in found or file.stat().st_size > found[kind].stat().st_size:
                found[kind] = file
    return found


def test_the_demo_has_a_page_of_every_kind(demo_site: Path) -> None:
    assert set(pages_by_kind(demo_site)) >= KINDS


def test_every_link_and_anchor_leads_somewhere(demo_site: Path) -> None:
    broken, elsewhere, count = find_bad_links(demo_site)
    assert broken == []
    assert elsewhere == []
    assert count > 3000


@needs("linkchecker")
def test_linkchecker_finds_no_error(demo_project: Path) -> None:
    demo_site = demo_project / "site"
    settings = demo_project / "linkcheckerrc"
    settings.write_text("[checking]\nthreads=4\n[AnchorCheck]\n[output]\nwarnings=1\n", encoding="utf-8")
    os.chmod(settings, 0o644)
    done = subprocess.run(
        [str(find_tool("linkchecker")), "-f", str(settings), "--no-status", str(demo_site / "index.html")],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "HOME": str(demo_project)},
    )
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-1000:]
    assert "0 errors found" in done.stdout


def test_every_table_is_there_as_csv_and_json_with_units_in_the_names(demo_site: Path) -> None:
    names = {file.stem for file in (demo_site / "data").glob("*.csv")}
    assert {"inserts", "standing", "readings", "page_map", "imposition", "plates", "crossovers", "stocks", "bill",
            "needs", "log_by_thing", "stacks", "register", "register_sheets", "register_readings",
            "crossover_parts"} <= names
    for name in names:
        rows = list(csv.DictReader(io.StringIO((demo_site / f"data/{name}.csv").read_text(encoding="utf-8"))))
        loaded = json.loads((demo_site / f"data/{name}.json").read_text(encoding="utf-8"))
        listed = loaded["rows"] if isinstance(loaded, dict) else loaded
        assert rows
        assert len(rows) == len(listed)
    inserts = list(csv.DictReader(io.StringIO((demo_site / "data/inserts.csv").read_text(encoding="utf-8"))))
    assert {"width_mm", "height_mm"} <= set(inserts[0])


def test_the_imposition_file_agrees_with_the_page_map(demo_site: Path) -> None:
    """Two tables of the same book, computed on two ways: each page stands on the side that the map says."""
    sides = {}
    for row in csv.DictReader(io.StringIO((demo_site / "data/imposition.csv").read_text(encoding="utf-8"))):
        for side in ("front", "back"):
            for half in ("left", "right"):
                sides[row[f"{side}_{half}_page"]] = (row["gathering"], row["sheet"], side, half)
    pages = list(csv.DictReader(io.StringIO((demo_site / "data/page_map.csv").read_text(encoding="utf-8"))))
    folded = [row for row in pages if row["side"] in ("front", "back")]
    assert len(folded) >= 100
    for row in folded:
        assert sides[row["page"]] == (row["gathering"], row["sheet"], row["side"], row["half"])


def test_the_feed_is_atom(demo_site: Path) -> None:
    """RFC 4287, 4.1.1 and 4.1.2: a feed and each entry have exactly one id, one title and one updated."""
    atom = "{http://www.w3.org/2005/Atom}"
    feed = ElementTree.parse(demo_site / "feed.xml").getroot()
    assert feed.tag == f"{atom}feed"
    entries = feed.findall(f"{atom}entry")
    assert len(entries) >= 20
    for element in (feed, *entries):
        for name in ("id", "title", "updated"):
            assert len(element.findall(f"{atom}{name}")) == 1
    identifiers = [entry.findtext(f"{atom}id") for entry in entries]
    assert len(set(identifiers)) == len(identifiers)


def test_plain_mkdocs_builds_the_same_pages(demo_project: Path, tmp_path: Path) -> None:
    project = tmp_path / "plain"
    project.mkdir()
    copy_demo(project, demo_project)
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet"],
        cwd=project,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
    )
    assert done.returncode == 0, done.stderr
    ours, plain = read_tree(demo_project / "site"), read_tree(project / "site")
    # The site map carries the day of the build and nothing else of its own.
    for tree in (ours, plain):
        tree.pop("sitemap.xml", None)
        tree.pop("sitemap.xml.gz", None)
    assert ours == plain


BAD_NOTE = """\
---
titel: Tide pass
readings:
  - {from: no-such-source, width: 63.5}
  - {form: reel}
size: 64 x 121
stock: no-such-stock
per_copy: two
folds: {along: diagonal}
place: {betwen: [3, 4]}
reproduces: coins
reproduces: money
---
"""


def test_a_bad_note_is_told_in_full_and_leaves_the_site_as_it_was(demo_project: Path, tmp_path: Path) -> None:
    project = tmp_path / "bad"
    shutil.copytree(demo_project, project, ignore=shutil.ignore_patterns(".doublure"))
    before = read_tree(project / "site")
    (project / "journal/inserts/bad-one.md").write_text(BAD_NOTE, encoding="utf-8")
    done = run_doublure(project, "build")
    assert done.returncode == 1
    told = done.stdout + done.stderr
    assert "Traceback" not in told
    assert told.count("journal/inserts/bad-one.md:") >= 10
    assert read_tree(project / "site") == before
