"""A new project: what is written, that nothing is overwritten, that Git and editors are told."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import jsonschema
import pytest
import yaml

from doublure.errors import UsageError
from doublure.notes.json_schema import json_schemas
from doublure.store.journal_paths import NOTE_FOLDERS, find_project
from doublure.store.starter import TEMPLATES, write_project, write_schemas
from needs import needs

SCHEMAS = {f"{kind}.json": json.dumps(schema) for kind, schema in json_schemas().items()}


def snapshot(root: Path) -> dict[str, bytes]:
    return {
        path.relative_to(root).as_posix(): path.read_bytes() for path in root.rglob("*") if path.is_file()
    }


def test_a_new_folder(tmp_path: Path) -> None:
    root = tmp_path / "far" / "down"
    started = write_project(root, "The notebook", SCHEMAS)
    files = snapshot(root)
    assert set(started.written) == set(files)
    assert started.kept == ()
    assert {
        ".gitignore", ".vscode/settings.json", "docs/about.md", "mkdocs.yml", "journal/replica.yml",
        "journal/book.yml", "journal/inserts/ferry-ticket.md", "journal/evidence/drawer-photograph.md",
        "journal/private/.gitignore", "journal/.schema/inserts.json",
    } <= set(files)  # fmt: skip
    assert not [name for name, content in files.items() if b"@" in content]
    for name in (*NOTE_FOLDERS, "pictures", "artwork"):
        assert (root / "journal" / name).is_dir()
    assert find_project(root / "journal" / "inserts") == root


@pytest.mark.parametrize("title", ["Plain", 'A "quoted": title # 1', "no", "- @SCHEMAS@", "Été: \\ '"])
def test_any_title_reads_back(tmp_path: Path, title: str) -> None:
    write_project(tmp_path, title, SCHEMAS)
    assert yaml.load((tmp_path / "journal/replica.yml").read_text(), yaml.BaseLoader)["title"] == title
    assert yaml.load((tmp_path / "mkdocs.yml").read_text(), yaml.BaseLoader)["site_name"] == title


def test_what_is_there_stays(tmp_path: Path) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs/about.md").write_text("mine")
    (tmp_path / ".gitignore").write_text("*.bak\n")
    before = snapshot(tmp_path)
    started = write_project(tmp_path, "T", SCHEMAS)
    assert started.kept == (".gitignore", "docs/about.md")
    after = snapshot(tmp_path)
    assert {name: after[name] for name in before} == before


@needs("git")
@pytest.mark.parametrize("own_rules", [None, "*.bak\n"])
def test_git_ignores_what_is_private(tmp_path: Path, own_rules: str | None) -> None:
    if own_rules is not None:
        (tmp_path / ".gitignore").write_text(own_rules)
    write_project(tmp_path, "T", SCHEMAS)
    (tmp_path / "journal/private/copies.md").write_text("who has which")
    subprocess.run(["git", "init", "-q", "."], cwd=tmp_path, check=True)
    subprocess.run(["git", "add", "-A"], cwd=tmp_path, check=True)
    done = subprocess.run(["git", "ls-files"], cwd=tmp_path, capture_output=True, text=True, check=True)
    names = done.stdout.splitlines()
    assert "journal/replica.yml" in names
    assert not [name for name in names if "private" in name]


def test_editors_hold_the_notes_against_the_schemas(tmp_path: Path) -> None:
    write_project(tmp_path, "T", SCHEMAS)
    text = (tmp_path / ".vscode/settings.json").read_text()
    settings = json.loads("\n".join(line for line in text.splitlines() if not line.startswith("//")))
    places = settings["yaml.schemas"]
    assert len(places) == len(SCHEMAS)
    for schema in places:
        assert json.loads((tmp_path / schema).read_text())
    assert places["journal/.schema/inserts.json"] == ["journal/inserts/*.yml", "journal/inserts/*.yaml"]
    assert places["journal/.schema/book.json"] == ["journal/book.yml", "journal/book.yaml"]
    # The modeline says the same to editors that know only it.
    for name in ("replica", "book"):
        first = (tmp_path / f"journal/{name}.yml").read_text().splitlines()[0]
        assert first == f"# yaml-language-server: $schema=.schema/{name}.json"
        assert (tmp_path / f"journal/.schema/{name}.json").is_file()


def test_the_examples_keep_to_the_schemas(tmp_path: Path) -> None:
    write_project(tmp_path, "T", SCHEMAS)
    for kind, path in (
        ("replica", "replica.yml"),
        ("book", "book.yml"),
        ("inserts", "inserts/ferry-ticket.md"),
        ("evidence", "evidence/drawer-photograph.md"),
    ):
        text = (tmp_path / "journal" / path).read_text()
        fields = yaml.safe_load(text.split("---\n")[1] if text.startswith("---") else text)
        jsonschema.validate(fields, json.loads(SCHEMAS[f"{kind}.json"]))


def test_another_site_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mkdocs.yml").write_text("site_name: Mine\nplugins: [search]\n")
    before = snapshot(tmp_path)
    with pytest.raises(UsageError, match="does not name doublure"):
        write_project(tmp_path, "T", SCHEMAS)
    assert snapshot(tmp_path) == before
    (tmp_path / "mkdocs.yml").write_text("site_name: Mine\nplugins: [search, doublure]\n")
    assert write_project(tmp_path, "T", SCHEMAS).kept == ("mkdocs.yml",)


def test_a_project_is_not_begun_twice(tmp_path: Path) -> None:
    write_project(tmp_path, "T", SCHEMAS)
    before = snapshot(tmp_path)
    with pytest.raises(UsageError, match="holds a project already"):
        write_project(tmp_path, "Another", SCHEMAS)
    assert snapshot(tmp_path) == before


@pytest.mark.parametrize("name", ["journal", "docs", "journal/inserts"])
def test_a_file_in_the_way(tmp_path: Path, name: str) -> None:
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).write_text("x")
    with pytest.raises(UsageError, match="in the way"):
        write_project(tmp_path, "T", SCHEMAS)


def test_schemas_are_written_anew(tmp_path: Path) -> None:
    assert write_schemas(tmp_path, {"a.json": "1"}) == ("journal/.schema/a.json",)
    write_schemas(tmp_path, {"a.json": "2"})
    assert (tmp_path / "journal/.schema/a.json").read_text() == "2"


def test_the_templates_are_part_of_the_package() -> None:
    # Names that a packaging tool leaves out, or obeys, must not be among them.
    names = [path.name for path in TEMPLATES.rglob("*") if path.is_file()]
    assert names
    assert not [name for name in names if name.startswith(".") or name == "private"]


def test_a_journal_that_lacks_the_rest_gets_the_rest_and_no_examples(tmp_path: Path) -> None:
    (tmp_path / "journal").mkdir()
    (tmp_path / "journal/replica.yml").write_text("title: Mine\n", encoding="utf-8")
    done = write_project(tmp_path, "Mine", {})
    assert "mkdocs.yml" in done.written
    assert not [name for name in done.written if name.startswith("journal/inserts")]
    assert (tmp_path / "journal/replica.yml").read_text(encoding="utf-8") == "title: Mine\n"
    assert (tmp_path / "journal/private/.gitignore").is_file()
