"""One minimal journal for each problem code, each with exactly one thing wrong.

tests/bad_notes/CODE/ holds the journal, and in `expected` the place and what stands over the caret:
file, or file:line:column, then a bar and the underlined text.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from doublure.checks import check_artwork, check_replica, describe_note_faults
from doublure.notes.journal import decode_journal, named_artwork, named_pictures
from doublure.problem_codes import CODES, GROUPS
from doublure.problems import Problem, Severity, sort_problems
from doublure.store.artwork import inspect_artwork
from doublure.store.cache import Cache
from doublure.store.journal_files import read_sources
from doublure.store.pictures import inspect_pictures

HERE = Path(__file__).parent
PACKAGE = HERE.parents[1] / "generator" / "doublure"
CASES = sorted(folder.name for folder in HERE.iterdir() if (folder / "expected").is_file())


def _write_long_note(journal: Path) -> None:
    (journal / "stocks").mkdir()
    (journal / "stocks" / "laid.md").write_text("---\ntitle: Thin laid\n---\n" + "Pasted in. " * 100_000)


def _write_note_of_many_values(journal: Path) -> None:
    (journal / "finishes").mkdir()
    fields = "---\ntitle: Wash\ncontains:\n" + "- a\n" * 20_005
    (journal / "finishes" / "wash.md").write_text(fields + "---\n")


def _write_note_in_another_encoding(journal: Path) -> None:
    (journal / "stocks").mkdir()
    (journal / "stocks" / "laid.md").write_bytes("---\ntitle: Thin vélin\n---\n".encode("latin-1"))


#: What is too large to keep, or would break tools that read every text file, is written when it is needed.
WRITTEN: dict[str, Callable[[Path], None]] = {
    "F101": _write_note_in_another_encoding,
    "F111": _write_long_note,
    "Y105": _write_note_of_many_values,
}


def find_problems(root: Path, cache: Path) -> tuple[Problem, ...]:
    """Read, decode and check a journal as the program does."""
    sources, faults = read_sources(root)
    replica, problems = decode_journal(sources, faults)
    found = [*describe_note_faults(faults), *problems]
    if replica is not None:
        facts, picture_faults = inspect_pictures(
            root,
            [file for file, _ in named_pictures(replica)],
            Cache(cache),
            artwork=[file for file, _ in named_artwork(replica)],
        )
        found.extend(check_replica(replica, picture_faults, facts))
        files = sorted({file for file, _ in named_artwork(replica)})
        found.extend(check_artwork(replica, *inspect_artwork(root, files, Cache(cache), "journal")))
    return sort_problems(found)


@pytest.mark.parametrize("code", CASES)
def test_minimal_journal_gives_exactly_this_problem(code: str, tmp_path: Path) -> None:
    root = tmp_path / "project"
    shutil.copytree(HERE / code, root)
    if code in WRITTEN:
        WRITTEN[code](root / "journal")
    problems = find_problems(root, tmp_path / "cache")
    print("\n".join(problem.format() for problem in problems))
    assert [problem.code for problem in problems] == [code]
    (problem,) = problems
    place, _, underlined = (root / "expected").read_text().rstrip("\n").partition(" |")
    span = problem.span
    assert (f"{span.file}:{span.line}:{span.column}" if span.line else span.file) == place
    if span.text:
        assert span.text[span.column - 1 : span.column - 1 + span.length] == underlined.removeprefix(" ")
    else:
        assert underlined == ""
    assert problem.severity is CODES[code].severity
    assert problem.hint
    assert len(problem.message) > 10


def test_every_code_has_a_case() -> None:
    assert sorted(CODES) == CASES


def test_every_code_raised_is_registered_and_the_other_way_round() -> None:
    raised: set[str] = set()
    modules = [PACKAGE / "leiden.py", *(PACKAGE / "notes").rglob("*.py"), *(PACKAGE / "checks").rglob("*.py")]
    for module in modules:
        raised.update(re.findall(r'"([A-Z]1[0-9]{2})"', module.read_text("utf-8")))
    assert raised == set(CODES)


def test_codes_are_written_for_the_handbook() -> None:
    assert {code[0] for code in CODES} == set(GROUPS)
    titles = [entry.title for entry in CODES.values()]
    assert len(set(titles)) == len(titles)
    for entry in CODES.values():
        assert isinstance(entry.severity, Severity)
        assert not entry.title.endswith(".")
        assert entry.explanation.endswith(".")
        assert len(entry.explanation) > 40
        assert entry.remedy.endswith((".", ":"))
