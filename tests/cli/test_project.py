"""start, check, build, schema against the real pipeline; serve against what it is handed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from doublure import pipeline
from doublure.cli import run

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def here(tiny: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tiny)
    return tiny


def spoil(root: Path) -> None:
    path = root / "journal/stocks/laid.md"
    path.write_text(path.read_text().replace("grammage: 90 g/m²", "grammage: 90\ncaptoin: x"))


def test_start_then_check_then_build(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["start", "mine", "--title", "The ferry book"]) == 0
    printed = capsys.readouterr()
    assert "wrote mine/journal/replica.yml" in printed.out.splitlines()
    assert "cd mine && doublure build" in printed.err
    monkeypatch.chdir(tmp_path / "mine")
    assert run(["check"]) == 0
    printed = capsys.readouterr()
    assert (printed.out, printed.err) == ("", "no errors, no warnings\n")
    assert run(["build"]) == 0
    assert capsys.readouterr().out.startswith(str(tmp_path / "mine/site/index.html"))
    first = (tmp_path / "mine/site/index.html").read_text()
    assert "The ferry book" in first
    assert (tmp_path / "mine/site/inserts/ferry-ticket.html").is_file()
    assert (tmp_path / "mine/site/about.html").is_file()


def test_start_in_place_says_what_it_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    monkeypatch.chdir(tmp_path)
    Path(".gitignore").write_text("x")
    assert run(["start"]) == 0
    err = capsys.readouterr().err
    assert "kept .gitignore, which was there" in err
    assert "Build it with: doublure build" in err
    assert run(["start"]) == 1
    assert "holds a project already" in capsys.readouterr().err


@pytest.mark.parametrize("title", ["", "two\nlines"])
def test_a_title_is_one_line(tmp_path: Path, title: str) -> None:
    assert run(["start", str(tmp_path / "p"), "--title", title]) == 1
    assert not (tmp_path / "p").exists()


def test_check_prints_every_problem(here: Path, capsys: Capture) -> None:
    spoil(here)
    assert run(["check"]) == 1
    printed = capsys.readouterr()
    assert "journal/stocks/laid.md:4:11: error[" in printed.out
    assert "journal/stocks/laid.md:5:1: " in printed.out
    assert "  5 | captoin: x\n" in printed.out
    assert "errors" in printed.err or "1 error" in printed.err


def test_check_as_json(here: Path, capsys: Capture) -> None:
    assert run(["check", "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert report["errors"] == 0
    spoil(here)
    assert run(["check", "--json"]) == 1
    printed = capsys.readouterr()
    assert printed.err == ""
    report = json.loads(printed.out)
    assert report["errors"] == sum(one["severity"] == "error" for one in report["problems"]) >= 1
    assert report["warnings"] == sum(one["severity"] == "warning" for one in report["problems"])
    first = next(one for one in report["problems"] if one["line"] == 4)
    assert (first["file"], first["line"], first["column"]) == ("journal/stocks/laid.md", 4, 11)
    assert first["code"]
    assert "unit" in first["message"]
    assert first["hint"]


def test_a_rejected_build_leaves_the_old_site(here: Path, capsys: Capture) -> None:
    assert run(["build"]) == 0
    before = {p.relative_to(here): p.read_bytes() for p in (here / "site").rglob("*") if p.is_file()}
    spoil(here)
    capsys.readouterr()
    assert run(["build"]) == 1
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "journal/stocks/laid.md:4:11: error[" in printed.err
    assert "an earlier one is as it was" in printed.err
    assert {p.relative_to(here): p.read_bytes() for p in (here / "site").rglob("*") if p.is_file()} == before
    assert sorted(p.name for p in here.iterdir() if p.name.startswith("site")) == ["site"]


def test_build_as_json(here: Path, capsys: Capture) -> None:
    assert run(["build", "--json"]) == 0
    printed = capsys.readouterr()
    report = json.loads(printed.out)
    assert (report["site"], report["errors"]) == (str(here / "site"), 0)
    assert report["pages"] == len(list((here / "site").rglob("*.html")))
    spoil(here)
    assert run(["build", "--json"]) == 1
    report = json.loads(capsys.readouterr().out)
    assert report["site"] is None
    assert report["errors"] >= 1


def test_what_mkdocs_refuses_is_said_in_words(here: Path, capsys: Capture) -> None:
    (here / "docs/about.md").write_text("[nowhere](missing.md)\n")
    assert run(["build"]) == 1
    err = capsys.readouterr().err
    assert "missing.md" in err
    assert "Traceback" not in err
    (here / "mkdocs.yml").write_text("site_name: [unclosed\nplugins: [doublure]\n")
    assert run(["build"]) == 1
    assert "Traceback" not in capsys.readouterr().err


@pytest.mark.parametrize("command", ["check", "build", "serve", "schema"])
def test_without_a_project(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture, command: str
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run([command]) == 1
    assert "doublure start" in capsys.readouterr().err


def test_serve_hands_on_where(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[Path, str, int]] = []
    monkeypatch.setattr(pipeline, "serve", lambda root, host, port: asked.append((root, host, port)))
    assert run(["serve"]) == 0
    assert run(["serve", "--host", "0.0.0.0", "--port", "9000"]) == 0
    assert asked == [(here, "127.0.0.1", 8000), (here, "0.0.0.0", 9000)]
    assert run(["serve", "--port", "0"]) == 2


def test_schema(here: Path, capsys: Capture) -> None:
    assert run(["schema"]) == 0
    assert "wrote journal/.schema/inserts.json" in capsys.readouterr().out.splitlines()
    assert run(["schema", "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed["inserts"] == json.loads((here / "journal/.schema/inserts.json").read_text())
