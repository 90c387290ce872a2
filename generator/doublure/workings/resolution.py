"""The resolution of each master's artwork at the size at which it is printed.

In: a Replica, facts of its pictures. Out: ResolutionWorking. Never: opening a picture.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from doublure.model.notes import MasterNote
from doublure.model.parts import SizeMm
from doublure.model.replica import ImageFact, Replica

_INCH_MM = 25.4


@dataclass(frozen=True, slots=True)
class ResolutionWorking:
    """Pixels of a master over its printed size.

    Attributes:
        width_px, height_px: The picture.
        size: The printed size.
        ppi: Pixels an inch on the coarser side.
    """

    width_px: int
    height_px: int
    size: SizeMm
    ppi: float


def work_resolutions(replica: Replica, pictures: Mapping[str, ImageFact]) -> dict[str, ResolutionWorking]:
    """Return the resolution of each master whose artwork is a picture and whose printed size is known.

    Pixels over inches on each side, the coarser of the two; the size is the master's own, else that of the
    insert or of the leaf that it is printed on.
    """
    sizes: dict[str, SizeMm] = {}
    for insert in replica.inserts.values():
        for face in (insert.front, insert.back):
            if face is not None and face.master and insert.size is not None:
                sizes.setdefault(face.master, insert.size)
    found = {}
    for note in replica.masters.values():
        size = note.size or sizes.get(note.id) or _leaf(replica, note)
        fact = pictures.get(note.artwork)
        if size is None or fact is None or fact.width_px < 1:
            continue
        ppi = min(
            fact.width_px / (size.width_mm.value / _INCH_MM),
            fact.height_px / (size.height_mm.value / _INCH_MM),
        )
        found[note.id] = ResolutionWorking(fact.width_px, fact.height_px, size, ppi)
    return found


def _leaf(replica: Replica, note: MasterNote) -> SizeMm | None:
    return replica.book.leaf if replica.book is not None else None
