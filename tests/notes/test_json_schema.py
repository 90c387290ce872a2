"""The JSON Schemas: good notes are valid, bad ones are not, and an editor finds help in them.

The validator is the jsonschema library, by the draft 2020-12 that it ships.
"""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest

from doublure.notes.examples import example_value, plain_value
from doublure.notes.json_schema import json_schemas
from doublure.notes.manuscript import Findings, Manuscript
from doublure.notes.schema import KINDS
from doublure.notes.yamltree import parse_tree
from journal_samples import GOOD

SCHEMAS = json_schemas()


def as_json(text: str) -> Any:
    """Return the fields of a note as an editor's YAML 1.2 makes JSON of them."""
    if text.startswith("---"):
        text = text.split("---\n")[1]
    tree = parse_tree(text, 0, len(text), Findings(Manuscript("a.yml", text)))
    assert tree is not None
    return plain_value(tree)


def is_valid(kind: str, text: str) -> bool:
    """True where the schema of a kind has nothing to say against a note."""
    return bool(jsonschema.Draft202012Validator(SCHEMAS[kind]).is_valid(as_json(text)))


@pytest.mark.parametrize("kind", KINDS)
def test_schema_is_a_schema(kind: str) -> None:
    schema = SCHEMAS[kind]
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)
    assert json.loads(json.dumps(schema)) == schema
    assert schema["description"]
    assert ("title" in schema.get("required", [])) == (kind not in ("log", "register"))


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_has_a_description_and_a_valid_example(kind: str) -> None:
    def walk(schema: Any) -> None:
        if isinstance(schema, dict):
            for name, field in schema.get("properties", {}).items():
                if "description" in field:
                    assert field["description"].endswith((".", "?")), name
                    whole = {**field, "$defs": SCHEMAS[kind].get("$defs", {})}
                    for example in field["examples"]:
                        jsonschema.validate(example, whole, cls=jsonschema.Draft202012Validator)
            for value in schema.values():
                walk(value)
        elif isinstance(schema, list):
            for value in schema:
                walk(value)

    assert set(SCHEMAS[kind]["properties"]) == {field.name for field in KINDS[kind].fields}
    walk(SCHEMAS[kind])


@pytest.mark.parametrize(
    "path", [path for path, text in GOOD.items() if "title:" in text or "about:" in text]
)
def test_good_notes_are_valid(path: str) -> None:
    kind = path.split("/")[0].split(".")[0]
    validator = jsonschema.Draft202012Validator(SCHEMAS[kind])
    assert [error.message for error in validator.iter_errors(as_json(GOOD[path]))] == []


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("stocks", "colour: cream\n"),
        ("stocks", "title: A\ncalliper: 0.11 mm\n"),
        ("stocks", "title: A\ncaliper: 0.11\n"),
        ("stocks", "title: A\ncaliper: '0.11'\n"),
        ("stocks", "title: A\ngrammage: 90\n"),
        ("stocks", "title: A\ncaliper: [0.11 mm]\n"),
        ("stocks", "title: A\ngrain: along\n"),
        ("stocks", "title: A\npack: 100\n"),
        ("stocks", "title: A\nsheet: 420 mm\n"),
        ("stocks", "title: A\nstack: {height: 4 mm}\n"),
        ("stocks", "title: A\nprice: free\n"),
        ("evidence", "title: A\nseen: 3 February 2031\n"),
        ("evidence", "title: A\nkind: drawing\n"),
        ("evidence", "title: A\nrights: {publish: maybe}\n"),
        ("masters", "title: A\nartwork: /home/me/a.svg\n"),
        ("masters", "title: A\nartwork: https://example.org/a.svg\n"),
        ("inserts", "title: A\nreadings: [{width: 4 mm}]\n"),
        ("inserts", "title: A\nplace: {between: [22]}\n"),
        ("inserts", "title: A\nplace: {on: front}\n"),
        ("inserts", "title: A\nassumed: {papper: x}\n"),
        ("inserts", "title: A\nheld: glued\n"),
        ("book", "title: A\nsequence: [{mastr: a}]\n"),
        ("book", "title: A\nsequence: [{run: [{blank: none}]}]\n"),
        ("book", "title: A\ngatherings: some\n"),
        ("book", "title: A\npress: {folding: twice}\n"),
        ("book", "title: A\npress: {printr: a}\n"),
        ("book", "title: A\nchoose: {blanks: end}\n"),
        ("book", "title: A\nchoose: {sheets: three}\n"),
        ("book", "title: A\nchoose: {sheets: 3, weights: {left: heavy}}\n"),
        ("printers", "title: A\nreach: 4\n"),
        ("printers", "title: A\nfeeds: edge\n"),
        ("register", "offsets: {corner: 0.1 mm up}\n"),
        ("register", "offsets: {A1: 0.1 mm}\n"),
        ("register", "fold: 3\n"),
        ("replica", "title: A\nedition: six\n"),
        ("replica", "title: A\nrequired: [widht]\n"),
        ("log", "made: -1\n"),
        ("log", "photos: [{caption: x}]\n"),
        ("replica", "- A\n"),
    ],
)
def test_bad_notes_are_not_valid(kind: str, text: str) -> None:
    if text.startswith("- "):
        assert not jsonschema.Draft202012Validator(SCHEMAS[kind]).is_valid(["A"])
        return
    assert not is_valid(kind, text)


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("stocks", "title: 1984\nseller_private: {a: [b]}\n"),
        ("stocks", "title: A\ncaliper: 4 thou\ngrammage: 20 lb bond\nsheet: 17 × 22 in\n"),
        ("stocks", "title: A\ncaliper:\nsheet: ~\n"),
        ("stocks", 'title: A\nstack: {height: 2½", sheets: 500, who_private: x}\n'),
        ("log", "about: tide-pass\nminutes: 40\nspent: 3\n"),
        ("inserts", "title: A\nfront: blank\nback: {blank: true}\nspares: {count: 0}\n"),
        ("inserts", "title: A\nplace: {from_gutter: 0}\nsame: [a, b]\n"),
        ("book", "title: A\ngatherings: 4\ncreep: none\nsequence: a\n"),
        ("book", "title: A\nchoose: {sheets: 4, fixed: [8, 9], weights: {left: 0.5, why_private: x}}\n"),
        ("printers", "title: A\nreach: 0\nholds: 100\n"),
        ("register", "offsets: {A1: 0, b12: 0.1 in left}\nfront: {right: -0.2 mm, turn: 0}\nfold: 0.1 mm left\n"),
    ],
)
def test_other_ways_of_writing_are_valid(kind: str, text: str) -> None:
    assert is_valid(kind, text)


def test_examples_are_read_as_yaml_1_2() -> None:
    assert example_value("12.50") == 12.5
    assert example_value("{a: [1, yes, 'x', ~]}") == {"a": [1, "yes", "x", None]}
    assert example_value("true") is True
    with pytest.raises(ValueError):
        example_value("[" * 2000)
