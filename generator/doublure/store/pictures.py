"""Looks at the picture files of a journal, and makes publishable pictures from them.

In: the project's folder and paths as notes write them. Out: ImageFact, FileFault, WebP or JPEG or PNG bytes.
Never: changing a maker's file, reading private/, metadata in what comes out.
"""

from __future__ import annotations

import io
import os
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from doublure.errors import DoublureError, UsageError
from doublure.model.replica import ImageFact
from doublure.model.source import FileFault
from doublure.store.cache import Cache, hash_bytes, make_key
from doublure.store.file_stamps import FileStamp, stamp_file
from doublure.store.journal_paths import JOURNAL, locate
from doublure.store.picture_pixels import LIBRARIES, MAX_PIXELS, PictureError, decode, read_header

__all__ = [
    "MAX_PIXELS",
    "CleanPicture",
    "UnusablePictureError",
    "inspect_pictures",
    "make_thumbnail",
    "make_thumbnails",
    "strip_picture",
]

MAX_PICTURE_BYTES = 600_000_000
THUMBNAIL_VERSION = 2
WEBP_QUALITY = 82
#: Half the time of the usual 4, for files about a twentieth larger.
WEBP_METHOD = 2
JPEG_QUALITY = 90
#: What masters may be beside pictures; they have no pixels.
_DRAWN_ARTWORK = (".pdf", ".svg")


class UnusablePictureError(DoublureError):
    """A picture could not be made from a file.

    Attributes:
        fault: What the disk or the decoder had to say.
    """

    def __init__(self, fault: FileFault) -> None:
        super().__init__(f"{fault.file}: {fault.reason} {fault.detail}".rstrip())
        self.fault = fault


@dataclass(frozen=True, slots=True)
class CleanPicture:
    """A picture without anything but its pixels.

    Attributes:
        content: The file.
        ending: ".jpg" or ".png".
    """

    content: bytes
    ending: str


#: What was found of a file in this process, so that a live preview does not hash every picture at every
#: save. Nothing of it outlives the process: what is kept on disk goes by content alone.
_found: dict[Path, tuple[FileStamp, ImageFact]] = {}


def inspect_pictures(
    root: Path, files: Iterable[str], cache: Cache, artwork: Iterable[str] = (), journal: str = JOURNAL
) -> tuple[dict[str, ImageFact], tuple[FileFault, ...]]:
    """Look at picture files by their headers.

    Args:
        root: The project's folder.
        files: Pictures, by paths relative to the journal as the notes write them; twice is no harm.
        cache: Not asked for facts, since finding them costs no more than reading them back.
        artwork: Files of masters, which may also be PDF or SVG: those need only be there and be what their
            names say, and give no fact.
        journal: The journal's folder within the project.

    Returns:
        Facts by path, sizes as one sees the picture upright; and a fault, of reason "missing", "outside",
        "unreadable", "not a picture" or "too large", for every other file, in the order of the paths.
    """
    drawn = frozenset(artwork)
    names = sorted({*files, *drawn})
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        found = list(pool.map(lambda name: _inspect(root, journal, name, name in drawn), names))
    facts = {fact.file: fact for fact in found if isinstance(fact, ImageFact)}
    return facts, tuple(fault for fault in found if isinstance(fault, FileFault))


def _inspect(root: Path, journal: str, file: str, is_artwork: bool) -> ImageFact | FileFault | None:
    real = locate(root, file, journal)
    if isinstance(real, FileFault):
        return real
    try:
        stamp = stamp_file(real.stat())
        known = _found.get(real)
        if known is not None and known[0] == stamp:
            fact = known[1]
            return ImageFact(file, fact.width_px, fact.height_px, fact.sha256)
        content = _read(real, file)
    except OSError as error:
        return FileFault(file, "unreadable", error.strerror or "")
    except UnusablePictureError as error:
        return error.fault
    if is_artwork and file.lower().endswith(_DRAWN_ARTWORK):
        return _check_drawn(file, content)
    try:
        header = read_header(content)
    except PictureError as error:
        return FileFault(file, error.reason, error.detail)
    fact = ImageFact(file, header.width_px, header.height_px, hash_bytes(content))
    if stamp.is_settled:
        _found[real] = (stamp, fact)
    return fact


def _check_drawn(file: str, content: bytes) -> FileFault | None:
    is_pdf = file.lower().endswith(".pdf")
    # Readers accept a PDF whose head stands within its first 1024 bytes.
    if (b"%PDF-" if is_pdf else b"<svg") in content[: 1024 if is_pdf else 100_000]:
        return None
    return FileFault(file, "not a picture", f"named as {'a PDF' if is_pdf else 'an SVG'} but is none")


def _read(real: Path, file: str) -> bytes:
    with real.open("rb") as stream:
        size = os.fstat(stream.fileno()).st_size
        if size > MAX_PICTURE_BYTES:
            detail = f"{size / 1e6:.0f} MB; at most {MAX_PICTURE_BYTES // 1_000_000} MB are read"
            raise UnusablePictureError(FileFault(file, "too large", detail))
        return stream.read()


def make_thumbnail(
    root: Path, file: str, width_px: int, cache: Cache, sha256: str = "", journal: str = JOURNAL
) -> bytes:
    """Make a WebP picture of at most a given width: upright, sRGB, alpha kept, nothing but pixels.

    Args:
        root: The project's folder.
        file: Path relative to the journal.
        width_px: Widest that the result may be, > 0; a smaller picture keeps its size.
        cache: Where it is kept, by the content of the file.
        sha256: The hash of the file where an ImageFact gives it, so that a kept result is found without
            reading the file.
        journal: The journal's folder within the project.

    Raises:
        UnusablePictureError: The file cannot be used.
    """
    if sha256 and (kept := cache.get_bytes(_thumbnail_key(sha256, width_px))) is not None:
        return kept
    return _ensure_thumbnail(root, file, width_px, cache, journal)[1]


def _ensure_thumbnail(root: Path, file: str, width_px: int, cache: Cache, journal: str) -> tuple[str, bytes]:
    """Return the key and the content of a thumbnail, made from what the file holds now."""
    real = locate(root, file, journal)
    if isinstance(real, FileFault):
        raise UnusablePictureError(real)
    try:
        content = _read(real, file)
    except OSError as error:
        raise UnusablePictureError(FileFault(file, "unreadable", error.strerror or "")) from error
    # Kept under the hash of what was read, whatever the file held when its fact was found.
    key = _thumbnail_key(hash_bytes(content), width_px)
    try:
        return key, cache.fetch_bytes(key, lambda: _encode_thumbnail(content, width_px))
    except PictureError as error:
        raise UnusablePictureError(FileFault(file, error.reason, error.detail)) from error


def make_thumbnails(
    root: Path, jobs: Iterable[tuple[ImageFact, int]], cache: Cache, workers: int = 0, journal: str = JOURNAL
) -> tuple[dict[tuple[str, int], Path], tuple[FileFault, ...]]:
    """Make many thumbnails at once, as files of the cache.

    Args:
        root: The project's folder.
        jobs: Each a picture's fact and a width in px.
        cache: As for make_thumbnail; it must have a folder.
        workers: Threads (Pillow lets go of the interpreter while it works); 0 for one a processor.
        journal: The journal's folder within the project.

    Returns:
        Files that hold the pictures, by path and width, good until the cache is pruned by another process;
        and the fault of each file that could not be used, once.

    Raises:
        UsageError: The cache cannot be written.
    """
    wanted = sorted({(fact.file, width_px, fact.sha256) for fact, width_px in jobs})

    def make(job: tuple[str, int, str]) -> Path | FileFault:
        file, width_px, sha256 = job
        if (kept := cache.get_path(_thumbnail_key(sha256, width_px))) is not None:
            return kept
        try:
            key = _ensure_thumbnail(root, file, width_px, cache, journal)[0]
        except UnusablePictureError as error:
            return error.fault
        if (made := cache.get_path(key)) is None:
            raise UsageError(f"cannot write {cache.folder}, where made pictures are kept")
        return made

    with ThreadPoolExecutor(max_workers=workers or os.cpu_count() or 1) as pool:
        made = list(pool.map(make, wanted))
    pictures: dict[tuple[str, int], Path] = {}
    faults: dict[FileFault, None] = {}
    for (file, width_px, _), result in zip(wanted, made, strict=True):
        if isinstance(result, Path):
            pictures[file, width_px] = result
        else:
            faults[result] = None
    return pictures, tuple(faults)


def _thumbnail_key(sha256: str, width_px: int) -> str:
    return make_key("thumbnail", THUMBNAIL_VERSION, sha256, width_px, WEBP_QUALITY, LIBRARIES)


def _encode_thumbnail(content: bytes, width_px: int) -> bytes:
    out = io.BytesIO()
    decode(content, width_px).save(out, "WEBP", quality=WEBP_QUALITY, method=WEBP_METHOD)
    return out.getvalue()


def strip_picture(content: bytes) -> CleanPicture:
    """Return a photograph upright and with nothing left of where, when and with what it was taken.

    A JPEG stays one (quality 90), anything else becomes a PNG.

    Raises:
        UsageError: The file is no picture that can be read; the message says what would be right.
    """
    try:
        is_jpeg = read_header(content).format in ("JPEG", "MPO")
        pixels = decode(content)
    except PictureError as error:
        words = {"not a picture": "it is no picture that can be read"}.get(error.reason, error.reason)
        raise UsageError(f"{words}: {error.detail}" if error.detail else words) from error
    out = io.BytesIO()
    if is_jpeg:
        pixels.save(out, "JPEG", quality=JPEG_QUALITY)
    else:
        pixels.save(out, "PNG", optimize=False)
    return CleanPicture(out.getvalue(), ".jpg" if is_jpeg else ".png")
