"""The tables that come with the package.

In: the name of a table under data/. Out: its rows as they stand in the file, text to text.
Never: what a table means (trade/ turns rows into records), tables of the maker's own.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from importlib import resources


def list_tables() -> tuple[str, ...]:
    """Return the names of the tables that come with the package, in order."""
    folder = resources.files("doublure") / "data"
    names = (entry.name for entry in folder.iterdir())
    return tuple(sorted(name.removesuffix(".csv") for name in names if name.endswith(".csv")))


def read_rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Return the rows of one table, each by its column names.

    Args:
        name: Name of the table without ".csv", such as "paper_sizes".

    Raises:
        LookupError: No table of that name comes with the package.
        ValueError: A row of the table has more or fewer cells than its head.
    """
    if name not in list_tables():
        raise LookupError(f'no table "{name}" comes with doublure')
    text = (resources.files("doublure") / "data" / f"{name}.csv").read_text(encoding="utf-8")
    rows = []
    for row in csv.DictReader(io.StringIO(text, newline=""), strict=True):
        if None in row or None in row.values():
            raise ValueError(f"{name}.csv: a row has another number of cells than the head: {row}")
        rows.append(row)
    return tuple(rows)
