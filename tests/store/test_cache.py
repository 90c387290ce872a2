"""The cache: cold equals warm, and whatever is wrong with an entry is a miss."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.store.cache import Cache, make_key

KEY = make_key("test", 1, "a")


@pytest.fixture
def cache(tmp_path: Path) -> Cache:
    return Cache.of_project(tmp_path)


def entry_file(cache: Cache, key: str = KEY) -> Path:
    assert cache.folder is not None
    return cache.folder / key[:2] / key


def test_cold_equals_warm_and_makes_once(cache: Cache) -> None:
    calls: list[int] = []

    def make() -> bytes:
        calls.append(1)
        return b"\x00picture\n"

    assert cache.fetch_bytes(KEY, make) == cache.fetch_bytes(KEY, make) == b"\x00picture\n"
    assert Cache(cache.folder).get_bytes(KEY) == b"\x00picture\n"
    assert len(calls) == 1


def test_the_file_of_an_entry_holds_just_the_content(cache: Cache) -> None:
    assert cache.get_path(KEY) is None
    cache.put_bytes(KEY, b"abc")
    path = cache.get_path(KEY)
    assert path is not None
    assert path.read_bytes() == b"abc"


def test_an_empty_entry_is_an_entry(cache: Cache) -> None:
    cache.put_bytes(KEY, b"")
    assert cache.get_bytes(KEY) == b""


def _cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-1])


def _flip(path: Path) -> None:
    content = bytearray(path.read_bytes())
    content[3] ^= 1
    path.write_bytes(content)


def _lose_sum(path: Path) -> None:
    path.with_suffix(".sum").unlink()


def _spoil_sum(path: Path) -> None:
    path.with_suffix(".sum").write_bytes(b"\xff\xfe")


def _make_folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


@pytest.mark.parametrize("damage", [_cut, _flip, _lose_sum, _spoil_sum, _make_folder])
def test_a_damaged_entry_is_a_miss(cache: Cache, damage: Callable[[Path], None]) -> None:
    cache.put_bytes(KEY, b"something")
    damage(entry_file(cache))
    assert cache.get_bytes(KEY) is None
    assert cache.get_path(KEY) is None
    assert cache.fetch_bytes(KEY, lambda: b"again") == b"again"


def test_json_comes_back_as_it_went_in(cache: Cache) -> None:
    value = {"b": [1, 2.5, None, True], "a": {"ß": "x"}}
    cache.put_json(KEY, value)
    assert cache.get_json(KEY) == value
    with pytest.raises(ValueError):
        cache.put_json(KEY, float("nan"))


def test_bytes_asked_for_as_json_are_a_miss(cache: Cache) -> None:
    cache.put_bytes(KEY, b"\xffnot json")
    assert cache.get_json(KEY) is None


def test_a_cache_without_a_folder_keeps_nothing() -> None:
    cache = Cache(None)
    cache.put_bytes(KEY, b"x")
    assert cache.get_bytes(KEY) is None
    assert cache.prune(0) == 0


def test_a_cache_that_cannot_be_written_is_no_error(tmp_path: Path) -> None:
    (tmp_path / ".doublure").write_text("in the way")
    cache = Cache.of_project(tmp_path)
    assert cache.fetch_bytes(KEY, lambda: b"made") == b"made"
    assert cache.get_bytes(KEY) is None


def test_no_drafts_are_left(cache: Cache) -> None:
    cache.put_bytes(KEY, b"x")
    cache.put_bytes(KEY, b"y")
    assert cache.folder is not None
    assert sorted(p.suffix for p in cache.folder.rglob("*") if p.is_file()) == ["", ".sum"]
    assert cache.get_bytes(KEY) == b"y"


def test_pruning_keeps_what_was_used(cache: Cache) -> None:
    old, used = make_key("test", 1, "old"), make_key("test", 1, "used")
    cache.put_bytes(old, b"o" * 1000)
    cache.put_bytes(used, b"u" * 1000)
    again = Cache(cache.folder)
    assert again.get_bytes(used) is not None
    assert again.prune(10_000) == 0
    assert again.prune(1500) >= 1000
    assert again.get_bytes(used) is not None
    assert again.get_bytes(old) is None


def test_keys_tell_their_parts_apart() -> None:
    keys = [
        make_key("a", 1), make_key("a", 2), make_key("b", 1), make_key("a", 1, "x"),
        make_key("a", 1, "x", "y"), make_key("a", 1, "xy"),
        make_key("a", 1, ("x", "y")), make_key("a", 1, 1), make_key("a", 1, "1"),
        make_key("a", 1, 1.0), make_key("a", 1, True), make_key("a", 1, None),
    ]  # fmt: skip
    assert len(set(keys)) == len(keys)


parts = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=4).map(tuple),
    max_leaves=8,
)


@given(parts)
def test_a_key_is_a_file_name_and_stays_the_same(part: object) -> None:
    key = make_key("m", 1, part)  # type: ignore[arg-type]
    assert key == make_key("m", 1, part)  # type: ignore[arg-type]
    assert len(key) == 64
    assert set(key) <= set("0123456789abcdef")


def test_numbers_that_are_none_are_refused() -> None:
    with pytest.raises(ValueError):
        make_key("m", 1, float("inf"))
