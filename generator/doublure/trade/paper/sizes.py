"""Named sizes of paper: by name, and near a measured size.

In: the records of named sizes. Out: records, or (width, height) in mm by name for the parser.
Never: text with units (quantities.parse_size takes the names from here), matching with uncertainty
(formats.py).
"""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from doublure.trade.paper.limits import check_folds, check_not_negative, check_positive
from doublure.trade.paper.records import PaperSize

# Lists in use today, whose plain names mean these sizes: Letter is 8 1/2 x 11 in although a list of 1908
# differs.
CURRENT_FAMILIES = (
    "iso216-a",
    "iso216-b",
    "iso269-c",
    "iso217-ra",
    "iso217-sra",
    "us-cut",
    "us-arch",
    "us-envelope",
)
# Two lists agree on a name where their sides differ by no more than the trimming of a sheet.
_AGREE_MM = 1.0


@dataclass(frozen=True, slots=True)
class NearSize:
    """A named size near a measured one.

    Attributes:
        size: The named size.
        turned: True where its long side lies along the measured width.
        difference_mm: Measured less named, width and height, mm.
    """

    size: PaperSize
    turned: bool
    difference_mm: tuple[float, float]


def find_sizes(name: str, sizes: Iterable[PaperSize]) -> tuple[PaperSize, ...]:
    """Return every size of a name, whatever list it stands in; empty where there is none.

    Letter case, hyphens and spaces do not matter. The title of a list after the name, with or without
    brackets, asks for that list: "foolscap (UK writing 1911)". Half, double and quad are part of the name.

    Args:
        name: Name as written.
        sizes: The named sizes.
    """
    wanted = _fold(name)
    found = []
    for size in sizes:
        title = _fold(size.family.title)
        names = [_fold(own) for own in (size.name, *size.other_names)]
        if wanted in names or wanted in [f"{own} {title}" for own in names]:
            found.append(size)
    return tuple(found)


def name_sizes(sizes: Sequence[PaperSize]) -> dict[str, tuple[float, float]]:
    """Return the sizes by name for quantities.parse_size: (short, long) in mm.

    A name that lists in use today give means that size. Another name stands alone only where all lists agree
    on it to a millimetre; else, and always in addition, it carries the title of its list: "Foolscap (UK
    writing 1911)".
    """
    by_name: dict[str, list[PaperSize]] = defaultdict(list)
    named: dict[str, tuple[float, float]] = {}
    for size in sizes:
        for own in (size.name, *size.other_names):
            by_name[_fold(own)].append(size)
            named[f"{own} ({size.family.title})"] = (size.short_mm, size.long_mm)
    spelled = {_fold(own): own for size in sizes for own in (size.name, *size.other_names)}
    for folded, group in by_name.items():
        current = [size for size in group if size.family.family in CURRENT_FAMILIES]
        chosen = current or group
        if _agree(chosen):
            named[spelled[folded]] = (chosen[0].short_mm, chosen[0].long_mm)
    return named


def find_near_sizes(
    width_mm: float, height_mm: float, sizes: Iterable[PaperSize], within_mm: float = 5.0
) -> tuple[NearSize, ...]:
    """Return the named sizes whose sides both lie within a distance of a measured size, nearest first.

    Args:
        width_mm: Measured width, mm, > 0.
        height_mm: Measured height, mm, > 0.
        sizes: The named sizes.
        within_mm: Greatest difference of either side, mm, >= 0.

    Raises:
        DomainError: A side is not finite and positive, or the distance is negative.
    """
    check_positive(width_mm, "width_mm")
    check_positive(height_mm, "height_mm")
    check_not_negative(within_mm, "within_mm")
    turned = width_mm > height_mm
    near = []
    for size in sizes:
        across, upright = (size.long_mm, size.short_mm) if turned else (size.short_mm, size.long_mm)
        difference = (width_mm - across, height_mm - upright)
        if max(map(abs, difference)) <= within_mm:
            near.append(NearSize(size, turned, difference))
    return tuple(sorted(near, key=lambda found: (math.hypot(*found.difference_mm), found.size.id)))


def fold_sheet(short_mm: float, long_mm: float, folds: int) -> tuple[float, float]:
    """Return (short, long) of a sheet folded in half so many times, each time across its longer side.

    One fold gives the folio, two the quarto, three the octavo.

    Args:
        short_mm: Short side of the sheet, mm, > 0.
        long_mm: Long side, mm, > 0.
        folds: Times folded, 0 to 8.

    Raises:
        DomainError: A side is not finite and positive, or the number of folds is out of range.

    Source:
        Zaehnsdorf, The Art of Bookbinding, pp. 4-5, seen: royal 20 x 25 in folds to 10 x 6 1/4 in octavo.

    Examples:
        >>> fold_sheet(508.0, 635.0, 3)
        (158.75, 254.0)
    """
    check_positive(short_mm, "short_mm")
    check_positive(long_mm, "long_mm")
    check_folds(folds, "folds")
    short, long = sorted((short_mm, long_mm))
    for _ in range(folds):
        short, long = sorted((short, long / 2))
    return short, long


def _agree(group: Sequence[PaperSize]) -> bool:
    return all(
        max(side) - min(side) <= _AGREE_MM
        for side in ([size.short_mm for size in group], [size.long_mm for size in group])
    )


def _fold(name: str) -> str:
    return " ".join(re.sub(r"[()\-]", " ", name.lower()).split())
