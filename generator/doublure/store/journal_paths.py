"""Where things are in a project, and which paths of a journal may be read for publication.

In: the project's folder and paths as notes write them. Out: real paths, or a FileFault that says why not.
Never: opening a file.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

from doublure.errors import UsageError
from doublure.model.source import FileFault
from doublure.problems import nearest_name

JOURNAL = "journal"
#: Folders of the journal that hold no notes; the first is never read for anything that is published.
PRIVATE = "private"
NOT_NOTES = (PRIVATE, "revisions", "pictures", "artwork")
#: As model.replica.FOLDER_KINDS (a test holds the two together), without the time that its import takes.
NOTE_FOLDERS = (
    "inserts", "evidence", "masters", "stocks", "finishes", "trials", "printers", "register", "log",
)  # fmt: skip
#: A folder named journal may be anybody's diary; one that holds any of these is ours.
_SIGNS = ("replica.yml", "replica.yaml", "replica.md", *NOTE_FOLDERS)
_PLUGIN_LINE = re.compile(r"^[^#\n]*\bdoublure\b", re.MULTILINE)


def find_project(start: Path) -> Path:
    """Return the project's folder: start itself, or the nearest folder above it.

    A project holds a mkdocs.yml that names the doublure plugin, or a journal/ with a replica note or with
    at least one folder of notes. In start itself any journal/ will do.

    Raises:
        UsageError: There is none.
    """
    here = Path(os.path.abspath(start))
    if not here.is_dir():
        raise UsageError(f"{start} is not a folder")
    if (here / JOURNAL).is_dir():
        return here
    for folder in (here, *here.parents):
        if _is_project(folder):
            return folder
    raise UsageError(
        f"no project here: neither {here} nor any folder above it holds a journal/. "
        "Begin one with: doublure start"
    )


def _is_project(folder: Path) -> bool:
    journal = folder / JOURNAL
    if any((journal / name).exists() for name in _SIGNS):
        return True
    return names_plugin(folder / "mkdocs.yml")


def names_plugin(config: Path) -> bool:
    """True where a configuration of MkDocs is there and names the plugin, outside a comment."""
    try:
        text = config.read_text("utf-8", errors="replace")
    except OSError:
        return False
    return _PLUGIN_LINE.search(text) is not None


def journal_exists(root: Path, journal: str = JOURNAL) -> bool:
    """True where the project has a journal folder."""
    return (root / journal).is_dir()


def config_exists(root: Path) -> bool:
    """True where the project has a mkdocs.yml."""
    return (root / "mkdocs.yml").is_file()


def is_private(parts: tuple[str, ...]) -> bool:
    """True where a path inside the journal passes through a private/ folder, however it is spelt.

    Some file systems take "Private" for "private", so letters' case must not open a way in.
    """
    return any(part.casefold() == PRIVATE for part in parts)


def locate(root: Path, file: str, journal: str = JOURNAL) -> Path | FileFault:
    """Return the real path of a file that a note names, or why it may not be used.

    Args:
        root: The project's folder.
        file: Path relative to the journal, as the note writes it.
        journal: The journal's folder within the project.

    Returns:
        The resolved path of an existing regular file inside the journal and outside private/; else a
        FileFault with reason "outside", "missing" or "unreadable".
    """
    if not file or "\0" in file:
        return FileFault(file, "missing", "no file is named")
    if "\\" in file:
        return FileFault(file, "missing", "folders are written with /")
    if file.startswith(("/", "~")) or re.match(r"[A-Za-z]:", file) or "://" in file:
        return FileFault(file, "outside", "write the path inside the journal, such as pictures/front.jpg")
    inside = Path(os.path.realpath(root / journal))
    try:
        real = Path(os.path.realpath(inside / file, strict=True))
    except FileNotFoundError:
        lexical = Path(os.path.normpath(inside / file))
        if not lexical.is_relative_to(inside):
            return FileFault(file, "outside", "the path leads out of the journal folder")
        return FileFault(file, "missing", _neighbour(lexical, file))
    except (OSError, ValueError) as error:  # loops of links, names too long, folders that are files
        return FileFault(file, "unreadable", _strerror(error))
    if fault := leaves_journal(inside, real, file):
        return fault
    if not real.is_file():
        return FileFault(file, "unreadable", "a folder, not a file" if real.is_dir() else "not a file")
    return real


def leaves_journal(journal: Path, real: Path, file: str) -> FileFault | None:
    """Return the fault of a resolved path that lies outside the resolved journal or in private/, or None."""
    if not real.is_relative_to(journal):
        return FileFault(file, "outside", "it leads out of the journal folder")
    if is_private(real.relative_to(journal).parts):
        return FileFault(file, "outside", "it lies in private/, which is never published")
    return None


def _neighbour(lexical: Path, file: str) -> str:
    """Say which file of the same folder has nearly the missing name."""
    try:
        names = sorted(os.listdir(lexical.parent))
    except OSError:
        return ""
    same_but_case = [name for name in names if name.casefold() == lexical.name.casefold()]
    near = same_but_case[0] if same_but_case else nearest_name(lexical.name, names)
    folder, slash, _ = file.rpartition("/")
    return f"did you mean {folder}{slash}{near}?" if near else ""


def _strerror(error: OSError | ValueError) -> str:
    return (error.strerror or "") if isinstance(error, OSError) else str(error)
