"""JSON Schemas of the notes, so that an ordinary editor completes and checks the fields while one writes.

In: the table of fields. Out: schemas as plain data. Never: what only the whole journal tells.
"""

from __future__ import annotations

from typing import Any

from doublure.notes.book_fields import sequence_entry_schema
from doublure.notes.schema import KINDS
from doublure.notes.shapes import object_schema

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schemas() -> dict[str, dict[str, Any]]:
    """Return the JSON Schema of the fields of each kind of note, by the names of schema.KINDS."""
    schemas: dict[str, dict[str, Any]] = {}
    for name, kind in KINDS.items():
        schema: dict[str, Any] = {
            "$schema": DIALECT,
            "title": kind.noun.split(" ", 1)[1].capitalize(),
            "description": kind.help,
            **object_schema(kind.fields),
        }
        if name == "book":
            schema["$defs"] = {"sequence_entry": sequence_entry_schema()}
        schemas[name] = schema
    return schemas
