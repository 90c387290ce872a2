"""The comparison with golden files: it fails where it should, and only `make golden` writes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

Compare = Callable[[str, str | bytes], None]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, golden: Compare) -> Path:
    # The function's own module holds the folder, under whatever name pytest imported it.
    monkeypatch.setitem(golden.__globals__, "GOLDEN", tmp_path)
    monkeypatch.delenv("DOUBLURE_WRITE_GOLDEN", raising=False)
    return tmp_path


def test_missing_different_and_equal(folder: Path, golden: Compare) -> None:
    with pytest.raises(AssertionError, match="make golden"):
        golden("case/a.txt", "one\n")
    assert not (folder / "case").exists()
    (folder / "a.txt").write_bytes(b"one\n")
    golden("a.txt", "one\n")
    golden("a.txt", b"one\n")
    for wrong in ("two\n", "one\r\n", b"one"):
        with pytest.raises(AssertionError):
            golden("a.txt", wrong)
    assert (folder / "a.txt").read_bytes() == b"one\n"


def test_writing(folder: Path, golden: Compare, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DOUBLURE_WRITE_GOLDEN", "1")
    golden("case/a.txt", "é\n")
    monkeypatch.delenv("DOUBLURE_WRITE_GOLDEN")
    golden("case/a.txt", "é\n")
    assert (folder / "case/a.txt").read_bytes() == "é\n".encode()
