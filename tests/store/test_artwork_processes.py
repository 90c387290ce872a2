"""Processes that work on artwork ahead: they leave what the caller would make, and are missed by nobody."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import artwork_samples as samples
from doublure.model.artwork import ArtworkFault
from doublure.store import artwork, artwork_processes
from doublure.store.artwork import inspect_artwork, load_stream, prepare_streams
from doublure.store.artwork_pixels import LARGE_PX
from doublure.store.artwork_processes import work_ahead
from doublure.store.cache import Cache


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "journal/artwork").mkdir(parents=True)
    return tmp_path


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two processes for however little there is to do."""
    monkeypatch.setattr(artwork_processes, "PIXELS_EACH", 1)
    monkeypatch.setattr(artwork_processes, "count_cores", lambda: 2)


def put_all(root: Path) -> list[str]:
    pages = {f"{n}.png": samples.encode(samples.bilevel(seed=n), "PNG") for n in range(5)}
    pages["fax.tif"] = samples.encode(
        samples.bilevel(seed=9), "TIFF", compression="group4", tiffinfo={278: samples.bilevel(seed=9).height}
    )
    pages["torn.png"] = pages["1.png"][:-40]
    pages["words.png"] = b"no picture"
    pages["page.pdf"] = samples.vector_pdf("0 0 10 10 re f")
    for name, content in pages.items():
        (root / "journal/artwork" / name).write_bytes(content)
    return [f"artwork/{name}" for name in (*pages, "missing.png")]


def entries(cache: Cache) -> dict[str, bytes]:
    assert cache.folder is not None
    return {path.name: path.read_bytes() for path in cache.folder.rglob("*") if path.is_file()}


def refuse(*_: object, **__: object) -> None:
    raise AssertionError("made by the caller")


@pytest.mark.usefixtures("small")
def test_processes_leave_the_entries_that_the_caller_would_make(root: Path) -> None:
    files = put_all(root)
    ahead, alone = Cache(root / "ahead"), Cache(root / "alone")
    assert work_ahead(root, "journal", ahead, dict.fromkeys(files, 10), True) == 2
    facts, faults = inspect_artwork(root, files, Cache(None))
    made = inspect_artwork(root, files, alone, with_streams=True)
    assert made == (facts, faults)
    assert prepare_streams(root, facts.values(), alone) == ()
    assert [fault.file for fault in faults] == [
        "artwork/missing.png",
        "artwork/torn.png",
        "artwork/words.png",
    ]
    assert len(facts) == 7
    assert entries(ahead) == entries(alone)


@pytest.mark.usefixtures("small")
def test_the_caller_decodes_nothing_again(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = Cache.of_project(root)
    files = [file for file in put_all(root) if file.endswith(("g", "tif")) and file[8] not in "mtw"]
    assert len(files) == 6
    monkeypatch.setattr(artwork, "_examine", refuse)
    monkeypatch.setattr(artwork, "_encode", refuse)
    facts, faults = inspect_artwork(root, files, cache, with_streams=True)
    assert faults == ()
    assert prepare_streams(root, facts.values(), cache) == ()
    for fact in facts.values():
        assert load_stream(root, fact, cache).data


@pytest.mark.usefixtures("small")
def test_streams_of_known_pictures_are_made_ahead(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = Cache.of_project(root)
    facts, _ = inspect_artwork(root, put_all(root), cache)
    pictures = [fact for fact in facts.values() if fact.width_px]
    monkeypatch.setattr(artwork, "_encode", refuse)
    assert prepare_streams(root, pictures, cache) == ()


def test_one_pass_gives_the_streams_that_a_second_would(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files = put_all(root)
    cache = Cache.of_project(root)
    facts, _ = inspect_artwork(root, files, cache, with_streams=True)
    plain = {file: load_stream(root, fact, Cache(None)) for file, fact in facts.items()}
    del facts["artwork/page.pdf"]
    monkeypatch.setattr(artwork, "_encode", refuse)
    assert {file: load_stream(root, fact, cache) for file, fact in facts.items()} == {
        file: stream for file, stream in plain.items() if file in facts
    }


@pytest.mark.parametrize("name", ["", "/opt/notes/publisher"])
def test_a_program_that_is_no_interpreter_is_not_started(
    root: Path, monkeypatch: pytest.MonkeyPatch, small: None, name: str
) -> None:
    monkeypatch.setattr(sys, "executable", name)
    monkeypatch.setattr(subprocess, "Popen", refuse)
    assert work_ahead(root, "journal", Cache.of_project(root), {"a.png": 10, "b.png": 10}, True) == 0


@pytest.mark.usefixtures("small")
def test_large_pictures_and_caches_that_keep_nothing_start_nothing(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(subprocess, "Popen", refuse)
    pixels = {"a.png": LARGE_PX + 1, "b.png": LARGE_PX + 1, "c.png": 0}
    assert work_ahead(root, "journal", Cache.of_project(root), pixels, True) == 0
    assert work_ahead(root, "journal", Cache(None), {"a.png": 10, "b.png": 10}, True) == 0


def test_little_to_do_starts_nothing(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(subprocess, "Popen", refuse)
    monkeypatch.setattr(artwork_processes, "count_cores", lambda: 8)
    assert work_ahead(root, "journal", Cache.of_project(root), {"a.png": 10_000_000}, True) == 0


@pytest.mark.usefixtures("small")
@pytest.mark.parametrize("module", ["doublure.no_such_part", "doublure.store.cache"])
def test_processes_that_do_nothing_are_made_up_for(
    root: Path, monkeypatch: pytest.MonkeyPatch, module: str
) -> None:
    monkeypatch.setattr(artwork_processes, "_MODULE", module)
    facts, faults = inspect_artwork(root, put_all(root), Cache.of_project(root), with_streams=True)
    assert (len(facts), len(faults)) == (7, 3)


@pytest.mark.usefixtures("small")
def test_where_no_process_can_be_had_the_caller_does_it(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object, **__: object) -> None:
        raise OSError("no more processes")

    monkeypatch.setattr(subprocess, "Popen", fail)
    facts, faults = inspect_artwork(root, put_all(root), Cache.of_project(root))
    assert len(facts) == 7
    assert ArtworkFault("artwork/missing.png", "missing") in faults


def test_shares_are_even() -> None:
    pixels = {f"{n}": 10 + n for n in range(9)}
    shares = artwork_processes._share_out(pixels, 3)
    assert sorted(file for share in shares for file in share) == sorted(pixels)
    totals = [sum(pixels[file] for file in share) for share in shares]
    assert max(totals) - min(totals) <= 10
