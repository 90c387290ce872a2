"""Which printer the book is printed on, and what of it matters to the press.

In: a Replica. Out: PrinterSpec. Never: how the pile is laid in (trade/press/run.py), display text.
"""

from __future__ import annotations

from doublure.model.notes import PrinterNote
from doublure.model.origin import Origin
from doublure.model.replica import Replica
from doublure.trade.press.run import is_last_on_top
from doublure.trade.press.run_records import PrinterSpec

#: What an ordinary printer leaves bare at each edge, mm (common practice, no published source).
ORDINARY_REACH_MM = 5.0
_STAND_IN = PrinterNote(id="", title="", origin=Origin(""))


def find_printer(replica: Replica) -> PrinterNote | None:
    """Return the printer of the book: the one that it names, or the only one; None where that is open."""
    if replica.book is not None and replica.book.press.printer:
        return replica.printers.get(replica.book.press.printer)
    return next(iter(replica.printers.values())) if len(replica.printers) == 1 else None


def work_printer(note: PrinterNote | None, is_lying: bool) -> PrinterSpec:
    """Return a printer as the press needs it, or the stand-in for one that nobody has described.

    What is not said is taken as usual on a desk: short edge first, the upper side printed, print coming out
    face down, turned by hand like a leaf of the page that it carries, the pile laid in as it lies.

    Args:
        note: The printer; None for the stand-in.
        is_lying: True where the sheet is wider than high with the heads of its pages up.
    """
    note = note or _STAND_IN
    prints_upper = note.prints != "lower side"
    lands_face_up = note.lands == "face up"
    reach = (note.reach_leading_mm, note.reach_trailing_mm, note.reach_sides_mm)
    leading, trailing, sides = (ORDINARY_REACH_MM if one is None else one for one in reach)
    last_on_top = is_last_on_top(prints_upper, lands_face_up)
    return PrinterSpec(
        name=note.id,
        reach_mm=(leading, trailing, sides),
        feeds_short_edge=note.feeds != "long edge",
        prints_upper=prints_upper,
        lands_face_up=lands_face_up,
        # About the edges that run from head to tail: a back printed so has its head where the front has it.
        turns_short_edge=note.turn == "short edge" if note.turn else is_lying,
        last_on_top=note.pile == "last on top" if note.pile else last_on_top,
        by_machine=note.both_sides == "by machine",
        holds=note.holds or 0,
        is_described=bool(note.id),
    )
