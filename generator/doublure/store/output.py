"""Puts a finished folder in the place of the old one, whole or not at all.

In: the project's folder. Out: a fresh folder to build into, swapped in when the build went well.
Never: leaving the place empty because a build failed, two builds at once, touching what is no site.
"""

from __future__ import annotations

import contextlib
import glob
import os
import secrets
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

from doublure.errors import UsageError

LOCK_FILE = Path(".doublure") / "build.lock"


@contextlib.contextmanager
def replace_site(root: Path, site: Path | None = None) -> Iterator[Path]:
    """Give a fresh folder to build into; when the block ends well, it becomes the site.

    The fresh folder lies beside the site and is made visible by two renames. When the block raises, or
    the process dies, the old site stays; leftovers of a dead build are put right by the next one. Hidden
    files at the top of the old site (a .git, a .nojekyll) are carried over.

    Args:
        root: The project's folder, where the lock is held.
        site: Folder of the site; None for root/"site".

    Yields:
        The fresh folder, which exists and is empty.

    Raises:
        UsageError: Another build is running here, or the site's folder holds something that is no site.
    """
    # A link to where the site is served from stays a link: what it leads to is replaced.
    target = Path(os.path.realpath(site if site is not None else root / "site"))
    with hold_lock(root):
        _put_right(target)
        _refuse_strangers(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        fresh = target.with_name(f"{target.name}.new-{secrets.token_hex(4)}")
        fresh.mkdir()
        try:
            yield fresh
            _swap(fresh, target)
        except BaseException:
            shutil.rmtree(fresh, ignore_errors=True)
            raise


@contextlib.contextmanager
def hold_lock(root: Path, file: Path = LOCK_FILE) -> Iterator[None]:
    """Hold the project's build lock, or another; the system lets go of it when the process dies.

    Raises:
        UsageError: Another process holds it.
    """
    path = root / file
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("a+b") as stream:
        if not _lock(stream.fileno()):
            raise UsageError(f"another build is running in {root}; wait until it has ended")
        yield


def _lock(descriptor: int) -> bool:
    """Take an exclusive lock without waiting; False where another process holds it."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _swap(fresh: Path, target: Path) -> None:
    if not target.exists():
        os.rename(fresh, target)
        return
    old = target.with_name(f"{target.name}.old-{secrets.token_hex(4)}")
    os.rename(target, old)
    try:
        os.rename(fresh, target)
    except BaseException:
        os.rename(old, target)
        raise
    _carry_hidden(old, target)
    shutil.rmtree(old, ignore_errors=True)


def _put_right(target: Path) -> None:
    """Undo what a dead build left behind: restore a site caught between the two renames, drop the rest."""
    name = glob.escape(target.name)
    set_aside = sorted(target.parent.glob(f"{name}.old-????????"))
    if set_aside and not target.exists():
        os.rename(set_aside.pop(), target)
    for old in set_aside:
        _carry_hidden(old, target)
    for leftover in (*set_aside, *target.parent.glob(f"{name}.new-????????")):
        shutil.rmtree(leftover, ignore_errors=True)


def _carry_hidden(old: Path, target: Path) -> None:
    for entry in sorted(old.iterdir()):
        if entry.name.startswith(".") and not (target / entry.name).exists():
            os.rename(entry, target / entry.name)


def _refuse_strangers(target: Path) -> None:
    if not target.exists():
        return
    if not target.is_dir():
        raise UsageError(f"{target} is in the way of the site: it is no folder")
    names = [entry.name for entry in target.iterdir() if not entry.name.startswith(".")]
    if names and "index.html" not in names:
        raise UsageError(
            f"{target} holds files but no index.html, so it is no site that may be replaced; "
            "move it away first"
        )


def count_pages(site: Path) -> int:
    """Return how many pages a built site has."""
    return sum(1 for _ in site.rglob("*.html"))
