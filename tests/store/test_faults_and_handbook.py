"""Saved faults quote nothing of the notes; the handbook is found."""

from __future__ import annotations

from pathlib import Path

import pytest

from doublure.errors import DoublureError
from doublure.store import faults, handbook
from doublure.store.faults import describe_fault, save_fault


def raised() -> BaseException:
    secret = "copy 3 went to the lighthouse"
    try:
        try:
            {}[secret]
        except KeyError as error:
            raise ValueError(f"cannot read {secret}") from error
    except ValueError as error:
        return error


def test_a_fault_says_where_and_not_what(tmp_path: Path) -> None:
    path = save_fault(raised(), "build", tmp_path)
    assert path is not None
    assert path.parent == tmp_path / ".doublure"
    assert path.name.startswith("fault-")
    text = path.read_text()
    assert "command build" in text
    assert "builtins.ValueError" in text
    assert "after builtins.KeyError" in text
    assert "test_faults_and_handbook.py:" in text
    assert "in raised" in text
    assert "lighthouse" not in text


def test_nothing_names_the_user(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.path", [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])])
    text = describe_fault(raised(), "build")
    assert "  store/test_faults_and_handbook.py:" in text
    assert str(Path(__file__).parent) not in text
    monkeypatch.setattr("sys.path", [])
    assert "  test_faults_and_handbook.py:" in describe_fault(raised(), "build")


def test_the_systems_error_number_is_kept() -> None:
    text = describe_fault(OSError(28, "No space", "/home/anna/x"), "note")
    assert "builtins.OSError (system error 28)" in text
    assert "anna" not in text


def test_causes_that_go_in_a_circle_end() -> None:
    first, second = ValueError("a"), KeyError("b")
    first.__cause__, second.__cause__ = second, first
    assert describe_fault(first, "x").count("KeyError") == 1


def test_two_faults_in_one_second(tmp_path: Path) -> None:
    assert len({save_fault(raised(), "build", tmp_path) for _ in range(3)}) == 3


def test_without_a_project_or_where_it_cannot_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(faults.tempfile, "gettempdir", lambda: str(tmp_path / "t"))
    path = save_fault(raised(), "lay")
    assert path is not None
    assert path.parent == tmp_path / "t"
    (tmp_path / "project").mkdir()
    (tmp_path / "project/.doublure").write_text("in the way")
    path = save_fault(raised(), "lay", tmp_path / "project")
    assert path is not None
    assert path.parent == tmp_path / "t"
    monkeypatch.setattr(faults.tempfile, "gettempdir", lambda: str(tmp_path / "project/.doublure"))
    assert save_fault(raised(), "lay", tmp_path / "project") is None


def test_the_handbook_is_found_in_order(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert handbook.handbook_folder().name == "handbook"
    monkeypatch.setattr(handbook, "_PLACES", (tmp_path / "none", tmp_path / "book"))
    for name in ("b.md", "a/c.md", ".hidden", "a/.x/d.md"):
        (tmp_path / "book" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "book" / name).write_text(name)
    assert list(handbook.handbook_files()) == [("a/c.md", b"a/c.md"), ("b.md", b"b.md")]


def test_a_missing_handbook_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(handbook, "_PLACES", (tmp_path / "none",))
    with pytest.raises(DoublureError, match="install it again"):
        list(handbook.handbook_files())
