"""How the gatherings of a book are shared out among rows, and how far apart their leaves are drawn.

In: a ForeEdgeSpec and the room in mm. Out: rows. Never: drawing.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.render.draw.fore_edge_spec import ForeEdgeSpec
from doublure.render.draw.leaf_curves import split_evenly

#: Room for a board at each end of a row, mm.
BOARD_MM = 4.2

_LEAST_PITCH_MM = 1.5
_MOST_PITCH_MM = 6.0


@dataclass(frozen=True, slots=True)
class BookRow:
    """One row of gatherings, everything in drawn mm, always from left to right in reading order."""

    indices: tuple[int, ...]
    centres_mm: tuple[float, ...]
    pitch_mm: float


def between_mm(pitch_mm: float) -> float:
    """Return the room between the free ends of neighbouring gatherings."""
    return 2.0 * pitch_mm + 2.6


def _pitch_mm(counts: list[int], inner_mm: float) -> float:
    """Return the room from leaf to leaf where gatherings of so many leaves fill a row."""
    gaps = len(counts) - 1
    steps = sum(count - 1 for count in counts) + 2.0 * gaps
    return (inner_mm - 2 * BOARD_MM - 2.6 * gaps) / max(1.0, steps)


def lay_rows(spec: ForeEdgeSpec, inner_mm: float, apart_mm: float) -> tuple[BookRow, ...]:
    """Choose the fewest rows whose leaves and tabs can be told apart."""
    counts = [len(g.leaves) for g in spec.gatherings]
    tabs = _tabs_of_gatherings(spec)
    # A gathering weighs its leaf steps and the room after it.
    weights = [c + 1.0 + 2.6 / 2.0 for c in counts]
    chosen: tuple[tuple[int, ...], ...] = ()
    pitch = 0.0
    for rows in range(1, len(counts) + 1):
        chosen = split_evenly(weights, rows)
        pitch = min(_pitch_mm([counts[i] for i in row], inner_mm) for row in chosen)
        crowded = any(sum(tabs[i] for i in row) * apart_mm > inner_mm for row in chosen)
        if pitch >= _LEAST_PITCH_MM and not crowded:
            break
    pitch = min(_MOST_PITCH_MM, pitch)
    out = []
    for row in chosen:
        widths = [(counts[i] - 1) * pitch for i in row]
        total = sum(widths) + between_mm(pitch) * (len(row) - 1)
        x = (inner_mm - total) / 2 if len(chosen) == 1 else BOARD_MM
        centres = []
        for width in widths:
            centres.append(x + width / 2)
            x += width + between_mm(pitch)
        out.append(BookRow(row, tuple(centres), pitch))
    return tuple(out)


def _tabs_of_gatherings(spec: ForeEdgeSpec) -> list[int]:
    """Return how many tabs stand over each gathering."""
    ends = []
    pages = 0
    for gathering in spec.gatherings:
        pages += 2 * len(gathering.leaves)
        ends.append(pages)
    tabs = [0] * len(ends)
    for insert in spec.inserts:
        if insert.page is not None:
            tabs[_gathering_of(insert.page, ends)] += 1
    return tabs


def _gathering_of(page: int, ends: list[int]) -> int:
    return next((i for i, end in enumerate(ends) if page <= end), len(ends) - 1)
