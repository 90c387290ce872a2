"""Writes a cleaned master with its record and its strip: each file whole or not at all, never over anything else.

In: pixels, a record. Out: NAME.png, NAME.cleaning.json, NAME.cleaning.webp. Never: writing over a scan, or over a
file that no record beside it says was made here.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import secrets
from collections.abc import Iterable, Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from doublure.errors import UsageError

RECORD, STRIP = ".cleaning.json", ".cleaning.webp"
ENDING = ".png"


def plan_masters(scans: Iterable[Path], output: Path | None) -> tuple[tuple[Path, Path], ...]:
    """Return each scan with the master that it will become.

    Args:
        scans: Files.
        output: A file that ends in .png, for one scan; else a folder, made if need be.

    Raises:
        UsageError: Two scans would become one master, a master is a scan, or one is there that was not made here.
    """
    given = tuple(scans)
    if output is not None and output.suffix.lower() == ENDING and not output.is_dir():
        if len(given) > 1:
            raise UsageError(f"{output}: {len(given)} scans do not fit into one master; name a folder")
        pairs = tuple((scan, output) for scan in given)
    elif output is not None and output.suffix and not output.is_dir():
        raise UsageError(f"{output}: a master is a PNG; let its name end in .png, or name a folder")
    else:
        folder = output if output is not None else Path("masters")
        pairs = tuple((scan, folder / f"{scan.stem}{ENDING}") for scan in given)
    seen: dict[str, Path] = {}
    real_scans = {os.path.realpath(scan) for scan in given}
    for scan, master in pairs:
        real = os.path.realpath(master)
        if real in seen:
            raise UsageError(
                f"{scan} and {seen[real]} would both become {master}; clean them into two folders"
            )
        seen[real] = scan
        if real in real_scans:
            raise UsageError(
                f"{master}: is a scan itself, and scans are never written over; name another folder"
            )
        if os.path.lexists(master) and not _is_ours(master):
            raise UsageError(f"{master}: is there and was not made here; name another file, or move it away")
    return pairs


def _is_ours(master: Path) -> bool:
    try:
        said = json.loads(record_of(master).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return isinstance(said, dict) and said.get("master") == master.name


def record_of(master: Path) -> Path:
    """Return where the record of a master lies."""
    return master.with_name(master.stem + RECORD)


def strip_of(master: Path) -> Path:
    """Return where the strip of a master lies."""
    return master.with_name(master.stem + STRIP)


def write_master(
    master: Path,
    pixels: NDArray[np.uint8] | NDArray[np.bool_],
    ppi: float,
    strip: NDArray[np.uint8],
    record: Mapping[str, object],
) -> int:
    """Write the three files; return how many bytes the master has.

    Args:
        master: File to write; its folder is made.
        pixels: True for black, for a bilevel master; else grey, or RGB.
        ppi: Resolution to state in it.
        strip: Grey or RGB.
        record: What was done; it is given the master's name.

    Raises:
        UsageError: A file cannot be written; then none of the three is changed.
    """
    said = {"master": master.name, **record}
    contents = {
        strip_of(master): _encode_strip(strip),
        record_of(master): (json.dumps(said, indent=2, ensure_ascii=False) + "\n").encode(),
        master: encode_master(pixels, ppi),
    }
    fresh: list[tuple[Path, Path]] = []
    try:
        master.parent.mkdir(parents=True, exist_ok=True)
        for path, content in contents.items():
            draft = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
            fresh.append((draft, path))
            with draft.open("xb") as stream:
                stream.write(content)
                stream.flush()
                os.fsync(stream.fileno())
        for draft, path in fresh:
            draft.replace(path)
    except OSError as error:
        words = error.strerror or "cannot be written"
        raise UsageError(f"{master}: {words[:1].lower() + words[1:]}") from error
    finally:
        for draft, _ in fresh:
            with contextlib.suppress(OSError):
                draft.unlink()
    return len(contents[master])


def encode_master(pixels: NDArray[np.uint8] | NDArray[np.bool_], ppi: float) -> bytes:
    """Return a PNG: bilevel on a clear ground, so that a print file keeps it bilevel; or grey, or RGB.

    Source:
        ISO/IEC 15948, 11.3.2.1 (tRNS), 11.3.5.3 (pHYs); from memory.
    """
    out = io.BytesIO()
    if pixels.dtype == np.bool_:
        packed = np.packbits(~pixels, axis=1)
        image = Image.frombytes("1", (pixels.shape[1], pixels.shape[0]), packed.tobytes())
        image.save(out, "PNG", dpi=(ppi, ppi), transparency=1, compress_level=6)
    else:
        Image.fromarray(np.asarray(pixels, np.uint8)).save(out, "PNG", dpi=(ppi, ppi), compress_level=6)
    return out.getvalue()


def _encode_strip(strip: NDArray[np.uint8]) -> bytes:
    out = io.BytesIO()
    Image.fromarray(strip).save(out, "WEBP", quality=80, method=4)
    return out.getvalue()
