"""Looks at the artwork files of masters, and makes of each the one stream that print files embed.

In: the project's folder and paths as notes write them. Out: ArtworkFact, ArtworkFault, ArtworkStream.
Never: changing a maker's file, writing into the journal, loss, metadata of the file in what is printed.
A PDF of several pages, or a TIFF of several pictures, is refused. What becomes of colours: artwork_pixels.py.
"""

from __future__ import annotations

import contextlib
import dataclasses
import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Literal, overload

from doublure.errors import DoublureError
from doublure.model.artwork import ArtworkFact, ArtworkFault, ArtworkStream
from doublure.model.source import FileFault
from doublure.store.artwork_encode import copy_stream, encode_stream
from doublure.store.artwork_pixels import (
    LIBRARIES,
    UnfitError,
    count_pixels,
    decode_artwork,
    find_ink,
    open_artwork,
    spare_memory,
)
from doublure.store.artwork_processes import count_cores, work_ahead
from doublure.store.cache import Cache, Json, hash_bytes, make_key
from doublure.store.file_stamps import FileStamp, stamp_file
from doublure.store.journal_paths import JOURNAL, locate

MAX_ARTWORK_BYTES = 600_000_000
FACT_VERSION = 2
STREAM_VERSION = 1
#: Told of each thing done: how many of how many.
Progress = Callable[[int, int], None]


class UnusableArtworkError(DoublureError):
    """A stream could not be made of a file.

    Attributes:
        fault: Why.
    """

    def __init__(self, fault: ArtworkFault) -> None:
        super().__init__(f"{fault.file}: {fault.reason} {fault.detail}".rstrip())
        self.fault = fault


#: Hash of a file as it was found in this process, so that a live preview does not read all artwork at every
#: save. Nothing of it outlives the process: what is kept on disk goes by content alone.
_hashes: dict[Path, tuple[FileStamp, str]] = {}


def inspect_artwork(
    root: Path, files: Iterable[str], cache: Cache, journal: str = JOURNAL, *, with_streams: bool = False
) -> tuple[dict[str, ArtworkFact], tuple[ArtworkFault, ...]]:
    """Look at artwork files, each decoded to its last pixel once and then known by its content.

    Args:
        root: The project's folder.
        files: Paths relative to the journal as the notes write them; twice is no harm.
        cache: Where what was found is kept, by the content of the file.
        journal: The journal's folder within the project.
        with_streams: True to keep the stream of each picture that has to be decoded as well, for load_stream:
            it takes longer now, and spares decoding the picture once more.

    Returns:
        Facts by path; and a fault for every other file, in the order of the paths.
    """
    names = sorted(set(files))
    place = _Place(root, journal, cache, with_streams)
    with ThreadPoolExecutor(max_workers=count_cores()) as pool:
        found = dict(zip(names, pool.map(lambda name: _inspect(place, name, True), names), strict=True))
        new = {name: one.pixels for name, one in found.items() if isinstance(one, _Unknown)}
        work_ahead(root, journal, cache, new, with_streams)
        found.update(zip(new, pool.map(lambda name: _inspect(place, name, False), new), strict=True))
    facts = {name: item for name, item in found.items() if isinstance(item, ArtworkFact)}
    return facts, tuple(item for item in found.values() if isinstance(item, ArtworkFault))


def fill_cache(root: Path, file: str, cache: Cache, journal: str, with_stream: bool) -> None:
    """Leave in the cache what is to be known of a file, and its stream; nothing where it is no picture to print."""
    found = _inspect(_Place(root, journal, cache, with_stream), file, False)
    if with_stream and isinstance(found, ArtworkFact):
        with contextlib.suppress(UnusableArtworkError):  # whoever needs it is told
            load_stream(root, found, cache, journal)


def load_stream(root: Path, fact: ArtworkFact, cache: Cache, journal: str = JOURNAL) -> ArtworkStream:
    """Return the pixels of a picture, or a page, as PDF takes it; made once, then kept by content.

    Args:
        root: The project's folder.
        fact: As inspect_artwork found it.
        cache: Where it is kept.
        journal: The journal's folder within the project.

    Raises:
        UnusableArtworkError: The file has gone, or is another one since it was looked at.
    """
    kept = _unpack(cache.get_bytes(_stream_key(fact.sha256)), fact)
    if kept is not None:
        return kept
    try:
        content = _read(_locate(root, fact.file, journal), fact.file)
        if hash_bytes(content) != fact.sha256:
            raise UnfitError("unreadable", "it was changed while the print files were being made")
        made = _encode(content, fact.sha256)
    except UnfitError as error:
        raise UnusableArtworkError(ArtworkFault(fact.file, error.reason, error.detail)) from error
    cache.put_bytes(_stream_key(fact.sha256), _pack(made))
    return made


def prepare_streams(
    root: Path,
    facts: Iterable[ArtworkFact],
    cache: Cache,
    journal: str = JOURNAL,
    progress: Progress = lambda done, of: None,
) -> tuple[ArtworkFault, ...]:
    """Make the streams of many files on all cores and keep them, so that load_stream only reads them.

    Returns:
        The fault of each file of which none can be made, in the order of the paths.
    """
    wanted = sorted({fact.sha256: fact for fact in facts}.values(), key=lambda fact: fact.file)

    known = {fact.sha256 for fact in wanted if cache.get_path(_stream_key(fact.sha256)) is not None}
    new = {fact.file: fact.width_px * fact.height_px for fact in wanted if fact.sha256 not in known}
    work_ahead(root, journal, cache, new, True)

    def make(fact: ArtworkFact) -> ArtworkFault | None:
        if fact.sha256 not in known:
            try:
                load_stream(root, fact, cache, journal)
            except UnusableArtworkError as error:
                return error.fault
        return None

    faults = []
    with ThreadPoolExecutor(max_workers=count_cores()) as pool:
        for done, fault in enumerate(pool.map(make, wanted), 1):
            progress(done, len(wanted))
            if fault is not None:
                faults.append(fault)
    return tuple(faults)


class StreamShelf(Mapping[str, ArtworkStream]):
    """Streams by master, each read when it is asked for and not kept in memory."""

    def __init__(
        self, root: Path, facts: Mapping[str, ArtworkFact], cache: Cache, journal: str = JOURNAL
    ) -> None:
        self._root = root
        self._facts = dict(facts)
        self._cache = cache
        self._journal = journal

    def __getitem__(self, master: str) -> ArtworkStream:
        return load_stream(self._root, self._facts[master], self._cache, self._journal)

    def __contains__(self, master: object) -> bool:
        return master in self._facts  # without reading it

    def __iter__(self) -> Iterator[str]:
        return iter(self._facts)

    def __len__(self) -> int:
        return len(self._facts)


def encode_picture(content: bytes) -> ArtworkStream:
    """Return the pixels of any picture file that masters may be, or a page of a PDF, as PDF takes it.

    Raises:
        UnusableArtworkError: It cannot be printed; the fault names no file.
    """
    try:
        return _encode(content, hash_bytes(content))
    except UnfitError as error:
        raise UnusableArtworkError(ArtworkFault("", error.reason, error.detail)) from error


@dataclasses.dataclass(frozen=True, slots=True)
class _Place:
    """Where files lie, where what is found is kept, and whether streams are."""

    root: Path
    journal: str
    cache: Cache
    with_streams: bool


@dataclasses.dataclass(frozen=True, slots=True)
class _Unknown:
    """A file of which nothing is known yet but how many pixels its header promises; 0 for what has none."""

    pixels: int


@overload
def _inspect(place: _Place, file: str, known_only: Literal[False]) -> ArtworkFact | ArtworkFault: ...


@overload
def _inspect(place: _Place, file: str, known_only: bool) -> ArtworkFact | ArtworkFault | _Unknown: ...


def _inspect(place: _Place, file: str, known_only: bool) -> ArtworkFact | ArtworkFault | _Unknown:
    content: bytes | None = None
    cache = place.cache
    try:
        real = _locate(place.root, file, place.journal)
        stamp = stamp_file(real.stat())
        known = _hashes.get(real)
        if known is not None and known[0] == stamp:
            sha256 = known[1]
        else:
            content = _read(real, file)
            sha256 = hash_bytes(content)
            if stamp.is_settled:
                _hashes[real] = (stamp, sha256)
        key = make_key("artwork fact", FACT_VERSION, sha256, LIBRARIES)
        found = _restore(cache.get_json(key), file)
        if found is None:
            content = _read(real, file) if content is None else content
            if known_only:
                return _Unknown(0 if _is_pdf(content) else count_pixels(content))
            if hash_bytes(content) != sha256:
                raise UnfitError("unreadable", "it is being written to; try again")
            found = _examine(content, file, sha256, _keeper(cache) if place.with_streams else None)
            if isinstance(found, ArtworkFact) or found.reason != "too large":
                cache.put_json(key, _dump(found))
    except OSError as error:
        return ArtworkFault(file, "unreadable", error.strerror or "")
    except UnfitError as error:
        return ArtworkFault(file, error.reason, error.detail)
    return found


def _keeper(cache: Cache) -> Callable[[ArtworkStream], None]:
    return lambda stream: cache.put_bytes(_stream_key(stream.sha256), _pack(stream))


def _locate(root: Path, file: str, journal: str) -> Path:
    real = locate(root, file, journal)
    if isinstance(real, FileFault):
        raise UnfitError(real.reason, real.detail)
    return real


def _read(real: Path, file: str) -> bytes:
    try:
        with real.open("rb") as stream:
            size = os.fstat(stream.fileno()).st_size
            if size > MAX_ARTWORK_BYTES:
                limit = MAX_ARTWORK_BYTES // 1_000_000
                raise UnfitError("too large", f"{size / 1e6:.0f} MB; at most {limit} MB are read")
            return stream.read()
    except OSError as error:
        raise UnfitError("unreadable", error.strerror or "") from error


def _examine(
    content: bytes, file: str, sha256: str, keep: Callable[[ArtworkStream], None] | None = None
) -> ArtworkFact | ArtworkFault:
    """Look at a file; with `keep`, hand it the stream of a picture, made of the same pixels."""
    try:
        if _is_pdf(content):
            from doublure.store.artwork_pdf import inspect_page

            page = inspect_page(content)
            return ArtworkFact(file, sha256, "vector", 0, 0, page.width_mm, page.height_mm, page.bleed_mm)
        with open_artwork(content) as image:
            stream = copy_stream(content, sha256, image)
            with spare_memory(image):
                pixels = decode_artwork(content, image, stream is not None)
                ink, edges = find_ink(pixels)
                kind = {"1": "bilevel", "L": "grey", "RGB": "colour"}[pixels.mode]
                if keep is not None:
                    keep(encode_stream(content, sha256, image, pixels) if stream is None else stream)
                return ArtworkFact(file, sha256, kind, *pixels.size, ink=ink, edge_ink=edges)
    except UnfitError as error:
        return ArtworkFault(file, error.reason, error.detail)


def _encode(content: bytes, sha256: str) -> ArtworkStream:
    if _is_pdf(content):
        from doublure.store.artwork_pdf import extract_page

        return ArtworkStream(sha256, "vector", 0, 0, "", 0, 0, False, 0, extract_page(content))
    with open_artwork(content) as image:
        copied = copy_stream(content, sha256, image)
        if copied is not None:
            return copied
        with spare_memory(image):
            return encode_stream(content, sha256, image, decode_artwork(content, image))


def _is_pdf(content: bytes) -> bool:
    """True where a file begins as a PDF; readers accept a head within the first 1024 bytes."""
    return b"%PDF-" in content[:1024]


def _stream_key(sha256: str) -> str:
    return make_key("artwork stream", STREAM_VERSION, sha256, LIBRARIES)


def _pack(stream: ArtworkStream) -> bytes:
    head = {name: value for name, value in _fields(stream).items() if name not in ("data", "sha256")}
    return json.dumps(head, sort_keys=True).encode("ascii") + b"\n" + stream.data


def _unpack(kept: bytes | None, fact: ArtworkFact) -> ArtworkStream | None:
    """Return what was packed; None where it is not what the fact promises."""
    if kept is None:
        return None
    head, _, data = kept.partition(b"\n")
    try:
        stream = ArtworkStream(sha256=fact.sha256, data=data, **json.loads(head))
    except (ValueError, TypeError):
        return None
    return stream if stream.kind == fact.kind else None


def _fields(record: ArtworkFact | ArtworkFault | ArtworkStream) -> dict[str, object]:
    return {field.name: getattr(record, field.name) for field in dataclasses.fields(record)}


def _dump(found: ArtworkFact | ArtworkFault) -> Json:
    fields = {name: value for name, value in _fields(found).items() if name != "file"}
    value: Json = json.loads(json.dumps(fields))
    return value


def _restore(kept: Json, file: str) -> ArtworkFact | ArtworkFault | None:
    if not isinstance(kept, dict):
        return None
    fields = {name: tuple(value) if isinstance(value, list) else value for name, value in kept.items()}
    try:
        if "reason" in fields:
            return ArtworkFault(file, **fields)  # type: ignore[arg-type]
        return ArtworkFact(file, **fields)  # type: ignore[arg-type]
    except TypeError:
        return None
