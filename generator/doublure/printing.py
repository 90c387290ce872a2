"""The order of the steps from workings to print files: which there are, which may be published, what is made anew.

In: the project's folder, workings. Out: PrintFile, published files, PrintReport. Never: formulas, PDF, wording.
What is heavy is imported where it is used, so that a live preview never waits for it.
"""

from __future__ import annotations

import functools
import threading
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from doublure.errors import DoublureError
from doublure.model.artwork import ArtworkFact
from doublure.render.plan import Download
from doublure.render.run_words import print_folder
from doublure.store.cache import Cache, hash_bytes, make_key
from doublure.workings.all import Workings

if TYPE_CHECKING:
    from doublure.render.press_files import PlateFile, SceneFile
    from doublure.store.print_files import PrintReport

#: Raised whenever the same inputs would give another file.
VERSION = 1
_LIBRARIES = ("pikepdf", "reportlab")
Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class PrintFile:
    """A print file that can be made.

    Attributes:
        download: What it is, with its path under the project and, where it is published, under the site:
            "print/desk/fronts.pdf". Its size is not known yet.
        may_publish: True where it may lie in the site.
        key: Changes with whatever the file is made from.
        write: Writes it to a stream, or returns its bytes.
    """

    download: Download
    may_publish: bool
    key: str
    write: Callable[[BinaryIO], bytes | None]


@dataclass(frozen=True, slots=True)
class PublishedFile:
    """A print file in the site: what it is, and its content or a file that holds it."""

    download: Download
    content: bytes | Path


def list_print_files(root: Path, work: Workings, journal: str = "journal") -> tuple[PrintFile, ...]:
    """Return every print file of a project that can be made from what is there; none where there is no book.

    Plates and the hand-feed plan may be published where the replica publishes print files and the rights of
    every source of their masters allow it; the target and the paper kit always.

    Args:
        root: The project's folder.
        work: The workings.
        journal: Name of the journal's folder.
    """
    from doublure.render import press_files

    if work.replica.book is None:
        return ()
    folder = print_folder(work.press.printer)
    streams = _Streams(root, journal, work.press.artwork)
    plates = press_files.list_plate_files(work)
    open_to_all = _rights_allow(work, (master for file in plates for master in file.masters))
    files = [_plate_file(work, streams, folder, one, open_to_all) for one in plates]
    files += [_scene_file(folder, one, open_to_all) for one in press_files.list_plan_files(work)]
    files += [_scene_file(folder, one, True) for one in press_files.list_target_files(work)]
    return (*files, *(_scene_file("print", one, True) for one in press_files.list_kit_files(work)))


def publish_files(files: Iterable[PrintFile], cache: Cache) -> tuple[PublishedFile, ...]:
    """Make those print files that lie in the site, or take them from the cache.

    One that cannot be made is not in the site; write_files says why.
    """
    published = []
    for file in files:
        if file.may_publish:
            try:
                content = cache.fetch_bytes(file.key, partial(_make_bytes, file))
            except DoublureError:
                continue
            download = replace(file.download, size_bytes=len(content))
            published.append(PublishedFile(download, cache.get_path(file.key) or content))
    return tuple(published)


def write_files(root: Path, files: Sequence[PrintFile], cache: Cache, progress: Progress) -> PrintReport:
    """Bring the folder print/ up to date.

    Raises:
        UsageError: Another process is at it, or the folder cannot be written.
    """
    from doublure.store.print_files import PrintJob, write_print_files

    def make(file: PrintFile, stream: BinaryIO) -> bytes | None:
        kept = cache.get_bytes(file.key) if file.may_publish else None
        return file.write(stream) if kept is None else kept

    jobs = [
        PrintJob(file.download.path.removeprefix("print/"), file.key, partial(make, file)) for file in files
    ]
    return write_print_files(
        root, jobs, lambda path, done, of: progress(f"made print/{path} ({done} of {of})")
    )


class _Streams:
    """Makes the streams of masters on all cores, each once, whichever file asks first."""

    def __init__(self, root: Path, journal: str, facts: Mapping[str, ArtworkFact]) -> None:
        self.root, self.journal, self.facts = root, journal, facts
        self.cache = Cache.of_project(root)
        self._ready: set[str] = set()
        self._one_at_a_time = threading.Lock()

    def prepare(self, masters: Iterable[str]) -> None:
        """See to it that the streams of some masters lie in the cache.

        Raises:
            UnusableArtworkError: One cannot be made any more.
        """
        from doublure.store.artwork import UnusableArtworkError, prepare_streams

        with self._one_at_a_time:
            wanted = {master for master in masters if master in self.facts} - self._ready
            for fault in prepare_streams(
                self.root, (self.facts[master] for master in sorted(wanted)), self.cache, self.journal
            ):
                raise UnusableArtworkError(fault)
            self._ready |= wanted


def _plate_file(
    work: Workings, streams: _Streams, folder: str, file: PlateFile, may_publish: bool
) -> PrintFile:
    specs = {master: work.press.specs[master] for master in file.masters}
    hashes = tuple(streams.facts[master].sha256 for master in file.masters)

    def write(stream: BinaryIO) -> None:
        from doublure.render.pdf.plates import write_plates
        from doublure.store.artwork import StreamShelf

        streams.prepare(file.masters)
        shelf = StreamShelf(streams.root, streams.facts, streams.cache, streams.journal)
        write_plates(stream, file.pages, shelf, specs, file.document, file.duplex)

    download = Download(f"{folder}/{file.name}.pdf", file.title, "run", len(file.pages), note=file.note)
    key = _key("plates", repr((file.pages, specs, file.document, file.duplex)), hashes)
    return PrintFile(download, may_publish, key, write)


def _scene_file(folder: str, file: SceneFile, may_publish: bool) -> PrintFile:
    def write(stream: BinaryIO) -> bytes:
        from doublure.render.pdf.scene import render_scenes

        return render_scenes(file.scenes, title=file.document)

    download = Download(f"{folder}/{file.name}.pdf", file.title, file.about, len(file.scenes))
    return PrintFile(download, may_publish, _key("scenes", repr((file.scenes, file.document)), ()), write)


def _make_bytes(file: PrintFile) -> bytes:
    import io

    stream = io.BytesIO()
    content = file.write(stream)
    return stream.getvalue() if content is None else content


def _key(kind: str, what: str, hashes: tuple[str, ...]) -> str:
    return make_key(
        f"print file of {kind}", VERSION, _library_versions(), hash_bytes(what.encode("utf-8")), hashes
    )


@functools.cache
def _library_versions() -> tuple[str, ...]:
    return tuple(f"{name} {version(name)}" for name in _LIBRARIES)


def _rights_allow(work: Workings, masters: Iterable[str]) -> bool:
    """True where the replica publishes print files and no source of the masters keeps them back."""
    if not work.replica.replica.publish.print_files:
        return False
    from doublure.render.site.context import SiteContext

    ctx = SiteContext(work)
    notes = [work.replica.masters[master] for master in set(masters)]
    return all(
        note.artwork not in ctx.withheld
        and all(ctx.may_show(f"evidence/{source}") for source in note.evidence)
        for note in notes
    )
