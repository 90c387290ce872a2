"""Scans that become masters, several at once.

In: files, where to, what is wished. Out: Cleaned and Uncleaned, and the files of each master. Never: printing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from doublure.errors import DomainError, UsageError
from doublure.trade.imaging import cleaning, cleaning_tone
from doublure.trade.imaging.cleaning_strip import draw_strip
from doublure.trade.imaging.cleaning_views import as_grey, as_pixels, as_scanned

if TYPE_CHECKING:
    from doublure.store.scan_pixels import Scan

LINES, GREYS, COLOURS = "lines", "greys", "colours"
LINES_PPI = 600.0
#: Taken where neither the file nor the maker says anything.
USUAL_SCAN_PPI = 300.0
_LEAST_PPI, _MOST_PPI = 20.0, 10_000.0
_MM = 25.4
_ROWS, _COLUMNS = ("head", "middle", "foot"), ("left", "middle", "right")


@dataclass(frozen=True, slots=True)
class CleanWish:
    """What is wished of masters.

    Attributes:
        kind: LINES, GREYS or COLOURS.
        ppi: Least resolution of the master; None for 600 of lines and the scan's of the others.
        scanned_at: Resolution of the scans; None for what their files state.
        specks, faint, strokes: As in LineWish.
        straighten, trim: As in LineWish.
        without_screen: Take the halftone screen out of greys and colours.
    """

    kind: str = LINES
    ppi: float | None = None
    scanned_at: float | None = None
    specks: str = "usual"
    faint: str = "usual"
    strokes: str = "as they are"
    straighten: bool = True
    trim: bool = True
    without_screen: bool = False


@dataclass(frozen=True, slots=True)
class Cleaned:
    """A scan that became a master.

    Attributes:
        scan, master: Files.
        record: What was done, as it stands in the record beside the master.
    """

    scan: Path
    master: Path
    record: dict[str, object]


@dataclass(frozen=True, slots=True)
class Uncleaned:
    """A scan that could not be cleaned, and why."""

    scan: Path
    words: str


def clean_scans(
    scans: Sequence[Path], output: Path | None, wish: CleanWish, jobs: int
) -> Iterator[Cleaned | Uncleaned]:
    """Clean scans, several at once, and yield each as it is done.

    Args:
        scans: Files; none of them is ever written over.
        output: A file, or a folder; None for the folder "masters".
        wish: What is wished.
        jobs: How many at once.

    Raises:
        UsageError: The wish makes no sense, or a master would lie where something else is.
    """
    from doublure.store.master_writer import plan_masters

    _check(wish)
    pairs = plan_masters(scans, output)
    with ThreadPoolExecutor(max(1, min(jobs, len(pairs)))) as pool:
        tasks = [pool.submit(_clean_one, scan, master, wish) for scan, master in pairs]
        try:
            for task in as_completed(tasks):
                yield task.result()
        finally:
            for task in tasks:
                task.cancel()


def _check(wish: CleanWish) -> None:
    for value, name in ((wish.ppi, "--ppi"), (wish.scanned_at, "--scanned-at")):
        if value is not None and not (math.isfinite(value) and _LEAST_PPI <= value <= _MOST_PPI):
            raise UsageError(f"{name}: {value:g} ppi is no resolution; {_LEAST_PPI:g} to {_MOST_PPI:g} are")
    if wish.without_screen and wish.kind == LINES:
        raise UsageError("a master of lines has no greys to keep a screen out of: make it greys or colours")


def _clean_one(scan: Path, master: Path, wish: CleanWish) -> Cleaned | Uncleaned:
    from doublure.store.master_writer import write_master
    from doublure.store.scan_pixels import read_scan

    try:
        read = read_scan(scan)
    except UsageError as error:
        return Uncleaned(scan, str(error))
    ppi = wish.scanned_at or read.ppi or USUAL_SCAN_PPI
    stated = "given" if wish.scanned_at else "in the file" if read.ppi else "assumed"
    try:
        if wish.kind == LINES:
            return _clean_lines(scan, master, wish, read, ppi, stated)
        pixels = read.pixels if wish.kind == COLOURS else as_grey(read.pixels)
        toned = cleaning_tone.clean_tones(
            pixels, ppi, cleaning_tone.ToneWish(wish.ppi, wish.without_screen, wish.straighten, wish.trim)
        )
        record = _describe(scan, read, ppi, stated, wish, cleaning_tone.METHOD, toned)
        record |= {
            "picture_percent": _percent(toned.picture_share),
            "screen_lpi": None if toned.screen is None else round(toned.screen.ruling_lpi, 1),
            "screen_angle_deg": None
            if toned.screen is None
            else round(math.degrees(toned.screen.angle_rad), 1),
            "screen_removed": toned.screen_removed,
        }
        before = as_scanned(pixels, toned.skew_rad, toned.page)
        write_master(master, toned.pixels, toned.ppi, draw_strip(before, toned.pixels, ()), record)
    except (UsageError, DomainError) as error:
        return Uncleaned(scan, str(error))
    except MemoryError:
        return Uncleaned(scan, "is too large for this computer's memory")
    return Cleaned(scan, master, record)


def _clean_lines(scan: Path, master: Path, wish: CleanWish, read: Scan, ppi: float, stated: str) -> Cleaned:
    from doublure.store.master_writer import write_master

    made = cleaning.clean_lines(
        as_grey(read.pixels),
        ppi,
        cleaning.LineWish(
            wish.ppi or LINES_PPI, wish.specks, wish.faint, wish.strokes, wish.straighten, wish.trim
        ),
    )
    record = _describe(scan, read, ppi, stated, wish, cleaning.METHOD, made)
    rows, columns = cleaning.GRID
    record |= {
        "specks": wish.specks,
        "faint": wish.faint,
        "strokes": wish.strokes,
        "ink_percent": _percent(made.ink_share),
        "removed_percent": _percent(made.removed_share),
        "removed_where": _name_place(made.removed_by_cell, rows, columns),
        "removed_percent_by_cell": [
            [_percent(share) for share in made.removed_by_cell[row * columns : (row + 1) * columns]]
            for row in range(rows)
        ],
        "pieces_dropped": made.specks,
        "in_doubt": [
            {
                "rank": rank,
                "left_mm": round(doubt.left * _MM / made.ppi, 1),
                "top_mm": round(doubt.top * _MM / made.ppi, 1),
                "width_mm": round((doubt.right - doubt.left) * _MM / made.ppi, 1),
                "height_mm": round((doubt.bottom - doubt.top) * _MM / made.ppi, 1),
                "kept_percent": _percent(doubt.kept),
            }
            for rank, doubt in enumerate(made.doubts, start=1)
        ],
    }
    before = as_scanned(read.pixels, made.skew_rad, made.page)
    write_master(master, made.ink, made.ppi, draw_strip(before, as_pixels(made.ink), made.doubts), record)
    return Cleaned(scan, master, record)


def _describe(
    scan: Path,
    read: Scan,
    ppi: float,
    stated: str,
    wish: CleanWish,
    method: str,
    made: cleaning.LineMaster | cleaning_tone.ToneMaster,
) -> dict[str, object]:
    """Return what both kinds of masters tell."""
    top, left, bottom, right = made.page
    wide, high = round((right - left) * made.enlargement), round((bottom - top) * made.enlargement)
    return {
        "scan": scan.name,
        "scan_sha256": read.sha256,
        "scan_width_px": read.pixels.shape[1],
        "scan_height_px": read.pixels.shape[0],
        "scan_ppi": ppi,
        "scan_ppi_is": stated,
        "method": method,
        "kind": wish.kind,
        "ppi": round(made.ppi, 3),
        "width_px": wide,
        "height_px": high,
        "width_mm": round(wide * _MM / made.ppi, 2),
        "height_mm": round(high * _MM / made.ppi, 2),
        "enlargement": round(made.enlargement, 4),
        "skew_deg": round(math.degrees(made.skew_rad), 3),
        "skew_found": made.skew_is_clear,
        "trimmed": made.trimmed,
        "page_in_scan_px": {"left": left, "top": top, "width": right - left, "height": bottom - top},
        "stroke_mm": round(made.survey.stroke_px * _MM / ppi, 3),
        "edge_blur_mm": round(made.survey.blur_px * _MM / ppi, 3),
        "ink_contrast_percent": _percent(made.survey.contrast),
        "blotches_percent": _percent(made.blotch_share),
        "blank": made.survey.blank,
    }


def _percent(share: float) -> float:
    return round(100 * share, 2)


def _name_place(shares: Sequence[float], rows: int, columns: int) -> str:
    """Return where most was removed, in words; "" where it was little."""
    worst = max(range(len(shares)), key=lambda cell: shares[cell])
    if shares[worst] < 0.005:
        return ""
    row, column = divmod(worst, columns)
    words = _ROWS[row * 3 // rows], _COLUMNS[column * 3 // columns]
    return "middle" if words == ("middle", "middle") else " ".join(word for word in words if word != "middle")
