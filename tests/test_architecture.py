"""The layers of the package: imports go one way, only store/ and the shells reach the outside world."""

from __future__ import annotations

from pathlib import Path

import pytest

from architecture_rules import ALLOWED, MAX_LINES, check_module, part_of

PACKAGE = Path(__file__).resolve().parents[1] / "generator" / "doublure"
FILES = sorted(path.relative_to(PACKAGE).as_posix() for path in PACKAGE.rglob("*.py"))


def test_the_package_was_found() -> None:
    assert {"errors.py", "model/replica.py", "store/cache.py", "trade/book/imposition.py"} <= set(FILES)


@pytest.mark.parametrize("file", FILES)
def test_every_module_keeps_to_its_layer(file: str) -> None:
    violations = check_module(file, (PACKAGE / file).read_text("utf-8"))
    assert not violations, "\n" + "\n".join(map(str, violations))


def test_every_layer_is_named_after_something_there_or_planned() -> None:
    planned = {"changes", "local"}
    assert set(ALLOWED) - planned <= {part_of(file) for file in FILES}


def test_the_layers_have_no_circle() -> None:
    def below(part: str, seen: frozenset[str]) -> frozenset[str]:
        for lower in ALLOWED[part] - seen - {part}:
            seen = below(lower, seen | {lower})
        return seen

    for upper, lower in (
        ("store", "trade"), ("store", "notes"), ("trade", "model"), ("model", "trade"), ("render", "notes"),
        ("render", "store"), ("notes", "trade"), ("checks", "render"), ("workings", "store"),
        ("pipeline", "cli"), ("errors", "model"),
    ):  # fmt: skip
        assert lower not in below(upper, frozenset()), f"{upper} reaches {lower}"


PLANTED = [
    # imports that go up or sideways
    ("errors.py", "from doublure.model import notes", "imports model"),
    ("trade/book/creep.py", "from doublure.model.notes import Note", "imports model"),
    ("trade/book/creep.py", "from doublure import notes", "imports notes"),
    ("trade/book/creep.py", "from ...notes import schema", "imports notes"),
    ("trade/book/creep.py", "from ... import store", "imports store"),
    ("trade/book/creep.py", "import doublure.store.cache as c", "imports store"),
    ("model/notes.py", "from doublure.trade import paper", "imports trade"),
    ("notes/links.py", "from doublure.checks import places", "imports checks"),
    ("checks/places.py", "from doublure.render import table", "imports render"),
    ("workings/book.py", "from doublure.notes import schema", "imports notes"),
    ("workings/book.py", "def f():\n    from doublure.store import cache", "imports store"),
    ("render/svg.py", "from doublure.store.cache import Cache", "imports store"),
    ("render/svg.py", "if TYPE_CHECKING:\n    from doublure.pipeline import x", "imports pipeline"),
    ("store/cache.py", "from doublure.trade.paper import sizes", "imports trade"),
    ("store/cache.py", "from doublure.notes import schema", "imports notes"),
    ("pipeline.py", "from doublure.cli import main", "imports cli"),
    ("cli/note.py", "from doublure.store import log_writer", "imports store"),
    ("plugin.py", "from doublure.workings import book", "imports workings"),
    ("model/x.py", "import importlib\nimportlib.import_module('doublure.store')", "imports store"),
    ("__init__.py", "from doublure.model import replica", "imports model"),
    ("newpart/x.py", "x = 1", "belongs to no layer"),
    # libraries
    ("render/svg.py", "from PIL import Image", "not its business"),
    ("pipeline.py", "import click", "not its business"),
    ("store/cache.py", "import yaml", "not its business"),
    ("cli/note.py", "from mkdocs.config import load_config", "not its business"),
    # the outside world
    ("trade/x.py", "f = open('a')", "calls open()"),
    ("render/x.py", "print('a')", "calls print()"),
    ("workings/x.py", "def f():\n    return input()", "calls input()"),
    ("trade/x.py", "eval('1')", "calls eval()"),
    ("trade/x.py", "import os", "outside world by os"),
    ("trade/x.py", "from os.path import join", "outside world by os"),
    ("trade/x.py", "import os.path as p", "outside world by os"),
    ("notes/x.py", "from pathlib import Path", "outside world by pathlib"),
    ("notes/x.py", "import pathlib", "outside world by pathlib"),
    ("notes/x.py", "from io import open", "outside world by io.open"),
    ("checks/x.py", "import urllib.request", "outside world by urllib.request"),
    ("checks/x.py", "from urllib import request", "outside world by urllib.request"),
    ("checks/x.py", "from importlib import resources", "outside world by importlib.resources"),
    ("render/x.py", "import time", "outside world by time"),
    ("render/x.py", "from datetime import date\ndate.today()", "asks the clock"),
    ("render/x.py", "import datetime\ndatetime.datetime.now()", "asks the clock"),
    ("pipeline.py", "from datetime import date\ndate.today()", "asks the clock"),
    ("pipeline.py", "from pathlib import Path\nPath('a').read_text()", "disk by .read_text()"),
    ("pipeline.py", "import os\nos.environ['A']", "outside world by os"),
    ("render/x.py", "def f(p):\n    return p.exists()", "disk by .exists()"),
    ("trade/x.py", "import random\nrandom.random()", "random.random has no seed"),
    ("trade/x.py", "from random import shuffle", "random.shuffle has no seed"),
    ("trade/x.py", "import random\nrandom.Random()", "no seed"),
    ("trade/x.py", "from random import Random\nRandom()", "no seed"),
    ("trade/x.py", "import secrets", "outside world by secrets"),
    ("render/x.py", "import sys\nsys.stdout.write('a')", "sys.stdout"),
    # size and name
    ("trade/x.py", "x = 1\n" * (MAX_LINES + 1), f"at most {MAX_LINES}"),
    ("render/utils.py", "x = 1", "named utils.py"),
    ("trade/common/x.py", "x = 1", "named common"),
    ("notes/helpers.py", "x = 1", "named helpers.py"),
    ("store/misc.py", "x = 1", "named misc.py"),
]


@pytest.mark.parametrize(("file", "source", "words"), PLANTED)
def test_a_planted_violation_is_found(file: str, source: str, words: str) -> None:
    violations = check_module(file, source)
    assert any(words in str(violation) for violation in violations), violations


@pytest.mark.parametrize(
    ("file", "source"),
    [
        ("trade/book/creep.py", "from doublure.errors import DomainError\nfrom doublure.trade import paper"),
        ("trade/book/creep.py", "from . import limits\nfrom .limits import x\nfrom ..paper import sizes"),
        ("render/svg.py", "from pathlib import PurePosixPath\nimport posixpath\nfrom datetime import date"),
        ("trade/x.py", "import random\nr = random.Random(7)\nr.shuffle([])"),
        ("trade/x.py", "import re\nx = re.compile('a')"),
        ("pipeline.py", "from pathlib import Path\nfrom doublure import notes, store"),
        ("store/cache.py", "import os, time\nfrom pathlib import Path\nPath('a').read_text()\nopen('b')"),
        ("store/cache.py", "import doublure\nfrom doublure import __version__"),
        ("cli/note.py", "import os, datetime\nprint(date.today())\nfrom doublure import errands"),
        ("trade/x.py", "x = 1\n" * MAX_LINES),
    ],
)
def test_what_is_right_passes(file: str, source: str) -> None:
    assert check_module(file, source) == ()
