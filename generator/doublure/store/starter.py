"""Begins a project: a small journal that builds, and what an editor needs to know of it.

In: a folder, a title, the schemas of the notes. Out: new files. Never: overwriting a file.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from doublure.errors import UsageError
from doublure.store.journal_paths import JOURNAL, NOTE_FOLDERS, names_plugin
from doublure.store.log_writer import quote_scalar

TEMPLATES = Path(__file__).resolve().parent / "new_project"
SCHEMA_FOLDER = f"{JOURNAL}/.schema"
#: Templates whose names in a project the package itself must not have, since tools would obey them here.
_RENAMED = {"gitignore": ".gitignore", "editor-settings.json": ".vscode/settings.json"}
_MARK = re.compile("@TITLE@|@SCHEMAS@")
#: Git ignores this folder by its own word, even in a project that has a .gitignore of its own already.
_PRIVATE = {f"{JOURNAL}/private/.gitignore": "*\n"}
#: Folders that hold nothing yet and say where things go.
_EMPTY = (*(f"{JOURNAL}/{kind}" for kind in NOTE_FOLDERS), f"{JOURNAL}/pictures", f"{JOURNAL}/artwork")


@dataclass(frozen=True, slots=True)
class StartedProject:
    """A begun project.

    Attributes:
        root: Its folder.
        written: New files, relative to it.
        kept: Files that were there and stay as they were.
    """

    root: Path
    written: tuple[str, ...]
    kept: tuple[str, ...]


def write_project(root: Path, title: str, schemas: Mapping[str, str]) -> StartedProject:
    """Write a new project into a folder, which may exist and hold other things.

    A journal that lacks only the rest of a project gets the rest.

    Args:
        root: The folder.
        title: Title of the replica, one line.
        schemas: JSON Schema of each kind of note, by file name.

    Raises:
        UsageError: The folder holds another site's mkdocs.yml, or a file is where a folder must be.
        OSError: The disk refused.
    """
    config = root / "mkdocs.yml"
    if config.exists() and not names_plugin(config):
        raise UsageError(
            f"{config} is there and does not name doublure; add it to the plugins in that file, "
            "or begin in another folder"
        )
    has_notes = (root / JOURNAL / "replica.yml").exists()
    if has_notes and config.exists():
        raise UsageError(f"{root} holds a project already")
    written: list[str] = []
    kept: list[str] = []
    texts = {**_read_templates(title, schemas), **_PRIVATE}
    if has_notes:
        # Notes without the rest, as when only the journal was copied: the examples would be strangers in it.
        texts = {name: text for name, text in texts.items() if not name.startswith(f"{JOURNAL}/")} | _PRIVATE
    for name, text in texts.items():
        (written if _write_new(root, name, text) else kept).append(name)
    for name in _EMPTY:
        _make_folder(root / name)
    written.extend(write_schemas(root, schemas))
    return StartedProject(root, tuple(sorted(written)), tuple(sorted(kept)))


def write_schemas(root: Path, schemas: Mapping[str, str]) -> tuple[str, ...]:
    """Write the schemas, which are the program's own files, over those of an earlier version.

    Returns:
        Paths relative to the project.
    """
    folder = root / SCHEMA_FOLDER
    _make_folder(folder)
    for name, text in schemas.items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
    return tuple(f"{SCHEMA_FOLDER}/{name}" for name in sorted(schemas))


def _read_templates(title: str, schemas: Iterable[str]) -> dict[str, str]:
    """Return the text of each file of a new project by its path in it."""
    words = {"@TITLE@": quote_scalar(title), "@SCHEMAS@": _editor_schemas(schemas)}
    texts: dict[str, str] = {}
    for path in sorted(TEMPLATES.rglob("*")):
        if path.is_file():
            name = path.relative_to(TEMPLATES).as_posix()
            text = path.read_text("utf-8")
            # In one pass, so that a title with a mark in it stays what it is.
            texts[_RENAMED.get(name, name)] = _MARK.sub(lambda found: words[found.group()], text)
    return texts


def _editor_schemas(schemas: Iterable[str]) -> str:
    """Return which schema an editor is to hold which files against."""
    places: dict[str, list[str]] = {}
    for schema in sorted(schemas):
        kind = schema.removesuffix(".json")
        stem = f"{JOURNAL}/{kind}/*" if kind in NOTE_FOLDERS else f"{JOURNAL}/{kind}"
        places[f"{SCHEMA_FOLDER}/{schema}"] = [f"{stem}.yml", f"{stem}.yaml"]
    return json.dumps(places, indent=2).replace("\n", "\n  ")


def _write_new(root: Path, name: str, text: str) -> bool:
    """Write a file; False where there is one."""
    path = root / name
    _make_folder(path.parent)
    try:
        with path.open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
    except FileExistsError:
        return False
    return True


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (FileExistsError, NotADirectoryError):
        raise UsageError(f"{folder} cannot be made: a file is in the way") from None
