"""Gatherings, stacks, plates and pages named by number, held against a book of three sheets."""

from __future__ import annotations

import pytest

from doublure.checks import check_replica
from journal_samples import decode_well, note

BOOK = "title: B\nsequence: [{master: ruled, times: 12}]\ngatherings: [1, 2]\n"


def found(about: str, book: str = BOOK) -> list[tuple[str, str, str]]:
    """Return code, message and hint of what is found for a log entry about something."""
    files = {"book.yml": book, "masters/ruled.md": note(), "log/2031-03-14.md": note(about=about)}
    return [(one.code, one.message, one.hint) for one in check_replica(decode_well(files), (), {})]


@pytest.mark.parametrize(
    "name",
    [
        "gathering-2", "page-12", "pages-11-12", "plate-6", "stack-3", "Stack 3 front", "stack-3-backs",
        "stacks-1-3", "stacks 2–3 front",
    ],
)  # fmt: skip
def test_what_the_book_has_is_let_pass(name: str) -> None:
    assert found(name) == []


@pytest.mark.parametrize(
    ("name", "message", "hint"),
    [
        ("gathering-3", '"gathering-3": the book has 2 gatherings', "the last one is gathering-2"),
        ("page-13", '"page-13": the book has 12 pages', "the last one is page-12"),
        ("pages-3-13", '"pages-3-13": the book has 12 pages', "the last one is page-12"),
        ("stack-4-back", '"stack-4-back": the book has no such stack', "a book of 3 sheets has 3 at most"),
        ("stacks-2-4", '"stacks-2-4": the book has no such stack', "a book of 3 sheets has 3 at most"),
        ("plate-7", '"plate-7": the book has no such plate', "a book of 3 sheets has 6 at most"),
    ],
)
def test_what_the_book_does_not_have_is_told(name: str, message: str, hint: str) -> None:
    assert found(name) == [("B109", message, hint)]


def test_nothing_is_said_where_nobody_knows_how_many_there_are() -> None:
    without = BOOK.replace("gatherings: [1, 2]\n", "")
    assert found("[stack-400, plate-900, gathering-70]", without) == []
    assert [code for code, _, _ in found("page-13", without)] == ["B109"]
