"""The tables of the package are found, read whole, and refused where they are damaged."""

from __future__ import annotations

from pathlib import Path

import pytest

from doublure.store import data_files
from doublure.store.data_files import list_tables, read_rows


def test_every_table_reads() -> None:
    """Each table has rows, and no cell carries stray blanks."""
    assert "paper_sizes" in list_tables()
    for name in list_tables():
        rows = read_rows(name)
        assert rows
        for row in rows:
            assert all(cell == cell.strip() for cell in row.values()), row


def test_unknown_table() -> None:
    """A name that is no table is refused, and cannot lead out of the folder."""
    for name in ("nonsense", "../errors", "README"):
        with pytest.raises(LookupError, match="no table"):
            read_rows(name)


@pytest.mark.parametrize("text", ["a,b\n1\n", "a,b\n1,2,3\n"])
def test_a_damaged_table(text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A row with too few or too many cells is a fault, not a shorter record."""
    (tmp_path / "data").mkdir()
    (tmp_path / "data" / "bad.csv").write_text(text, encoding="utf-8")
    monkeypatch.setattr(data_files.resources, "files", lambda package: tmp_path)
    with pytest.raises(ValueError, match="number of cells"):
        read_rows("bad")
