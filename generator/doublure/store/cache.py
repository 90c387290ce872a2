"""Keeps what is slow to make, by the content of what it is made from.

In: a key made of canonical inputs, settings and versions. Out: bytes or JSON as they were put in, or None.
Never: modification times, pickle, trusting an entry that does not match its own checksum.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import secrets
from collections.abc import Callable
from pathlib import Path

#: What a key may be made of.
Part = str | int | float | bool | None | tuple["Part", ...]
#: What may be kept as JSON.
Json = str | int | float | bool | None | list["Json"] | dict[str, "Json"]

CACHE_FOLDER = Path(".doublure") / "cache"
MAX_CACHE_BYTES = 1_000_000_000
_SUM = ".sum"


class Cache:
    """A folder of entries, each named by its key, with its checksum in a file beside it.

    An entry that is damaged, unreadable or missing is a miss; an entry that cannot be written is not kept.
    So the cache can be deleted, or its disk be full, at any time.

    Attributes:
        folder: Where the entries are, or None for a cache that keeps nothing.
    """

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder
        self._used: set[str] = set()

    @classmethod
    def of_project(cls, root: Path) -> Cache:
        """Return the cache of a project."""
        return cls(root / CACHE_FOLDER)

    def get_bytes(self, key: str) -> bytes | None:
        """Return what was kept under the key, or None."""
        path = self._path(key)
        if path is None:
            return None
        try:
            content = path.read_bytes()
            if path.with_suffix(_SUM).read_text("ascii") != hash_bytes(content):
                return None
        except (OSError, ValueError):
            return None
        self._used.add(key)
        return content

    def get_path(self, key: str) -> Path | None:
        """Return the file that holds exactly what was kept under the key, or None."""
        return self._path(key) if self.get_bytes(key) is not None else None

    def put_bytes(self, key: str, content: bytes) -> None:
        """Keep content under the key; readers see the old entry or the new one, never half of one."""
        path = self._path(key)
        if path is None:
            return
        self._used.add(key)
        with contextlib.suppress(OSError):
            path.parent.mkdir(parents=True, exist_ok=True)
            _replace(path, content)
            _replace(path.with_suffix(_SUM), hash_bytes(content).encode("ascii"))

    def fetch_bytes(self, key: str, make: Callable[[], bytes]) -> bytes:
        """Return what is kept under the key, making and keeping it first where nothing is."""
        kept = self.get_bytes(key)
        if kept is None:
            kept = make()
            self.put_bytes(key, kept)
        return kept

    def get_json(self, key: str) -> Json:
        """Return the JSON value kept under the key, or None."""
        content = self.get_bytes(key)
        if content is None:
            return None
        try:
            value: Json = json.loads(content)
        except ValueError:  # kept as bytes under the same key
            return None
        return value

    def put_json(self, key: str, value: Json) -> None:
        """Keep a JSON value under the key.

        Raises:
            ValueError: A number in it is not finite.
        """
        self.put_bytes(key, _canonical(value))

    def prune(self, max_bytes: int = MAX_CACHE_BYTES) -> int:
        """Delete entries that were not used since this cache was opened, until the rest is small enough.

        Which of the unused ones go first is of no weight: any of them can be made again.

        Returns:
            Bytes freed.
        """
        if self.folder is None or not self.folder.is_dir():
            return 0
        sizes = {path: path.stat().st_size for path in sorted(self.folder.glob("*/*")) if path.is_file()}
        total, freed = sum(sizes.values()), 0
        for path, size in sizes.items():
            if total - freed <= max_bytes:
                break
            if path.stem not in self._used:
                path.unlink(missing_ok=True)
                freed += size
        return freed

    def _path(self, key: str) -> Path | None:
        return None if self.folder is None else self.folder / key[:2] / key


def make_key(method: str, version: int, *parts: Part) -> str:
    """Return the key of a result: 64 hexadecimal digits.

    Args:
        method: Name of what is done to the inputs.
        version: Raised whenever the method would give another result for the same inputs.
        parts: Every input and setting, and the versions of libraries that shape the result. Bytes enter
            as their hash_bytes().

    Raises:
        ValueError: A number among the parts is not finite.
    """
    return hash_bytes(_canonical([method, version, parts]))


def hash_bytes(content: bytes) -> str:
    """Return the SHA-256 of content in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def _replace(path: Path, content: bytes) -> None:
    draft = path.with_name(f"{path.name}.{secrets.token_hex(6)}.new")
    try:
        draft.write_bytes(content)
        os.replace(draft, path)
    except OSError:
        with contextlib.suppress(OSError):
            draft.unlink()
        raise


def _canonical(value: object) -> bytes:
    return json.dumps(
        value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    ).encode("utf-8", "surrogatepass")
