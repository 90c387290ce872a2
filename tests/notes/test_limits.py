"""Lengths that cannot be meant, and notes in which nothing stands."""

from __future__ import annotations

import pytest

from journal_samples import decode, decode_well, note

BOOK = "title: B\nsequence: [{master: ruled, times: 8}]\ngatherings: 2 sheets\n"


def found(files: dict[str, str]) -> list[tuple[str, str]]:
    """Return code and message of what is wrong."""
    replica, problems = decode({"replica.yml": "title: T\n", "masters/ruled.md": note(), **files})
    assert replica is not None
    return [(one.code, one.message) for one in problems]


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("press: {bleed: 300 mm}", '"300 mm" is no bleed'),
        ("creep: {rule: one caliper, step: 0.0000001 mm}", '"0.0000001 mm" is finer than any printer prints'),
    ],
)
def test_what_no_printer_does_is_told(field: str, words: str) -> None:
    ((code, message),) = found({"book.yml": f"{BOOK}{field}\n"})
    assert code == "Q101"
    assert words in message


@pytest.mark.parametrize(
    "field",
    ["press: {bleed: 25 mm}", "press: {bleed: 0}", "press: {bleed: 1 in}", "creep: {rule: one caliper, step: 0.01 mm}",
     "creep: {rule: one caliper, step: 0}"],
)  # fmt: skip
def test_what_may_be_is_let_pass(field: str) -> None:
    wanted = [] if "1 in" not in field else ["Q101"]
    assert [code for code, _ in found({"book.yml": f"{BOOK}{field}\n"})] == wanted


@pytest.mark.parametrize("name", ["register/empty.yml", "register/empty.md", "log/2031-03-14.md", "log/2031-03-14.yml"])
@pytest.mark.parametrize("text", ["", " \n\n", "\ufeff"])
def test_an_empty_note_is_told(name: str, text: str) -> None:
    assert found({name: text}) == [("Y108", "the note is empty")]


def test_where_a_title_must_be_its_lack_is_told_once() -> None:
    assert [code for code, _ in found({"stocks/laid.md": ""})] == ["K102"]


def test_a_log_entry_without_fields_is_an_entry() -> None:
    assert decode_well({"log/2031-03-14.md": "Dried flat.\n"}).log
