"""The rows of the handbook's page of fields."""

from __future__ import annotations

from doublure.notes.field_rows import list_kinds
from doublure.notes.schema import KINDS


def test_every_field_of_every_kind_has_its_row() -> None:
    rows = {kind.name: {row[0] for row in kind.fields} for kind in list_kinds()}
    assert rows == {name: set(kind.by_name) for name, kind in KINDS.items()}


def test_the_fields_of_an_entry_of_the_sequence_are_told_once() -> None:
    book = next(kind for kind in list_kinds() if kind.name == "book")
    groups = [name for name, _ in book.groups]
    assert groups.count("sequence") == 1
    fields = dict(book.groups)["sequence"]
    assert {row[0] for row in fields} == {"master", "blank", "run", "times", "tipped"}
    assert "sequence tipped" in groups


def test_no_group_is_told_twice() -> None:
    for kind in list_kinds():
        names = [name for name, _ in kind.groups]
        assert len(names) == len(set(names))
        assert sum(name in ("picture", "pictures", "photos") for name in names) == 1


def test_every_row_says_what_it_takes_and_gives_an_example() -> None:
    for kind in list_kinds():
        for name, takes, words, example, _ in kind.fields:
            assert takes, name
            assert words.endswith("."), name
            assert example, name
