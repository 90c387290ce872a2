"""The journals that speed is measured with are right and of the size that they are said to be."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from doublure.pipeline import check_journal
from doublure.store.journal_files import known_notes

SPEC = importlib.util.spec_from_file_location("synthetic_journal", Path(__file__).with_name("synthetic.py"))
assert SPEC is not None
assert SPEC.loader is not None
synthetic = importlib.util.module_from_spec(SPEC)
SPEC.loader.exec_module(synthetic)


@pytest.mark.parametrize("notes", [20, 150])
def test_a_synthetic_journal(tmp_path: Path, notes: int) -> None:
    first, second = tmp_path / "a", tmp_path / "b"
    for root in (first, second):
        root.mkdir()
        synthetic.write_journal(root, notes)
    assert abs(len(known_notes(first)) - notes) <= 3
    assert check_journal(first).problems == ()
    for path in first.rglob("*"):
        if path.is_file():
            assert path.read_bytes() == (second / path.relative_to(first)).read_bytes()
