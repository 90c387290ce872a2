"""Finds the handbook, which is part of the program, beside its source or inside the installed package.

In: nothing. Out: paths and contents. Never: the maker's own pages.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import doublure
from doublure.errors import DoublureError

_PACKAGE = Path(doublure.__file__).resolve().parent
#: Package data of a wheel; docs/handbook of a source tree (the package is generator/doublure there).
_PLACES = (_PACKAGE / "handbook", _PACKAGE.parents[1] / "docs" / "handbook")


def handbook_folder() -> Path:
    """Return the folder of the handbook.

    Raises:
        DoublureError: It was not installed with the program.
    """
    for place in _PLACES:
        if place.is_dir():
            return place
    raise DoublureError("the handbook is missing from this installation of doublure; install it again")


def handbook_files() -> Iterator[tuple[str, bytes]]:
    """Yield the path within the handbook, with forward slashes, and the content of each file, in order.

    Raises:
        DoublureError: It was not installed with the program.
    """
    folder = handbook_folder()
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder)
        if path.is_file() and not any(part.startswith(".") for part in name.parts):
            yield name.as_posix(), path.read_bytes()
