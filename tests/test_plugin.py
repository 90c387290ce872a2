"""The plugin in a whole build: drawings are set aside while MkDocs works on a page, and come back once only."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from doublure import errands, pipeline
from doublure.cli import describe_commands

COMMANDS = tuple(pipeline.CommandPage(*row) for row in describe_commands())
FORGED = '<svg data-db-drawing="0"></svg>'


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a new project, built, one of whose notes tries to call up a drawing."""
    root = tmp_path_factory.mktemp("plugin") / "project"
    errands.start_project(root, "A notebook")
    note = min((root / "journal/inserts").glob("*.md"))
    note.write_text(f"{note.read_text('utf-8').rstrip()}\n\nA line {FORGED} of words.\n", "utf-8")
    pipeline.build_site(root, commands=COMMANDS)
    return root


def test_every_drawing_of_the_plan_is_in_the_built_page_once(project: Path) -> None:
    found = 0
    for page in pipeline.prepare_site(project, commands=COMMANDS).plan.pages:
        built = (project / "site" / page.path).with_suffix(".html").read_text("utf-8")
        assert "data-db-drawing" not in built
        for begin, end in page.drawings:
            drawing = page.text[begin:end]
            assert drawing.startswith("<svg ")
            assert drawing.endswith("</svg>")
            assert built.count(drawing) == page.text.count(drawing)
            found += 1
    assert found > 10


def test_a_note_cannot_call_up_a_drawing(project: Path) -> None:
    page = min((project / "journal/inserts").glob("*.md")).stem
    built = (project / f"site/inserts/{page}.html").read_text("utf-8")
    assert re.search(r"A line\s+of words\.", built)


def test_the_search_lists_no_words_of_drawings(project: Path) -> None:
    index = json.loads((project / "site/search/search_index.json").read_text("utf-8"))
    texts = " ".join(entry["text"] for entry in index["docs"])
    drawn = re.compile(r'<desc id="[^"]*">([^<]+)</desc>')
    described = {
        words
        for page in (project / "site").rglob("*.html")
        for words in drawn.findall(page.read_text("utf-8"))
    }
    assert described
    assert not [words for words in described if words in texts]
