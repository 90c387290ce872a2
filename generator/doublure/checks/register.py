"""Readings of register: marks that the target does not have, too few of them, offsets beyond belief.

In: a Replica. Out: problems. Never: fitting (trade/press/register).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from doublure.checks.finding import find, show_mm, show_size
from doublure.errors import DomainError
from doublure.model.notes import RegisterNote
from doublure.model.replica import Replica
from doublure.problems import Problem, nearest_name
from doublure.trade.press.register.readings import find_twins
from doublure.trade.press.register.records import MarkReading, SheetReadings
from doublure.trade.press.target import Target, design_target

#: A back further off than this, mm, is a slip of the pen or a sheet laid in the wrong way, and no machine's error.
_MOST_MM = 10.0
#: Marks that a shift, a turn and a scale need, with one over that shows how well they fit.
_FEWEST_MARKS = 3
#: With more marks than this, a list of them is no help.
_FEW = 6


def check_register(replica: Replica) -> Iterator[Problem]:
    """Yield what cannot be in the readings of register, or makes them useless."""
    yield from _check_twins(replica)
    for note in replica.register.values():
        yield from _check_whole(note)
        target = _design(note)
        if isinstance(target, Problem):
            yield target
        elif target is not None:
            yield from _check_marks(note, target)
        for number, one in enumerate(note.offsets):
            if max(abs(one.right_mm), abs(one.down_mm)) > _MOST_MM:
                far = max(abs(one.right_mm), abs(one.down_mm))
                yield find(
                    "U103",
                    f"offsets: {one.mark} lies {show_mm(far)} off, and no back that was fed the right way does",
                    note.origin.span("offsets", number),
                    "look at the decimal point, and at which way the sheet lay",
                )
        for field, name, value in (
            ("right", "front", note.front_right_mm), ("down", "front", note.front_down_mm),
            ("", "fold", note.fold_right_mm),
        ):  # fmt: skip
            if value is not None and abs(value) > _MOST_MM:
                yield find(
                    "U103",
                    f"{name}: {show_mm(abs(value))} off is more than any sheet is fed askew",
                    note.origin.span(name, field) if field else note.origin.span(name),
                    "look at the decimal point, and at which edge it was measured from",
                )


def _check_twins(replica: Replica) -> Iterator[Problem]:
    """Yield sheets that are given twice; of those the workings count the first by date, as they do here."""
    notes = sorted(replica.register.values(), key=lambda note: (note.date is None, note.date, note.id))
    by_machine: dict[tuple[str, str], list[RegisterNote]] = defaultdict(list)
    for note in notes:
        if note.printer and note.stock:
            by_machine[note.printer, note.stock].append(note)
    for group in by_machine.values():
        sheets = [
            SheetReadings(
                note.id, tuple(MarkReading(one.mark, 0.0, 0.0, one.right_mm, one.down_mm) for one in note.offsets)
            )
            for note in group
        ]
        named = {note.id: note for note in group}
        for twin, first in find_twins(sheets, {note.id: note.photo for note in group}).items():
            same = "photo" if named[twin].photo and named[twin].photo == named[first].photo else "offsets"
            what = "of the same picture as" if same == "photo" else "the same, to the last digit, as in"
            yield find(
                "U105",
                f'{same}: {what} "{first}", so that this sheet is counted once',
                named[twin].origin.key_span(same),
                "take one of the two notes out, or read another sheet",
                ((named[first].origin.key_span(same), "the other one"),),
            )


def _check_whole(note: RegisterNote) -> Iterator[Problem]:
    lacking = [field for field in ("printer", "stock") if not getattr(note, field)]
    # A name that leads nowhere, or a size that cannot be read, has been told already.
    lacking = [field for field in lacking if (field,) not in note.origin.key_spans]
    if not note.offsets and ("offsets",) not in note.origin.key_spans:
        return
    if lacking:
        words = " and no ".join(lacking)
        yield find(
            "U104",
            f"offsets: there is no {words}, so that they say nothing of any machine",
            note.origin.key_span("offsets"),
            f"add {' and '.join(f'{field}: …' for field in lacking)}",
        )
    if len(note.offsets) < _FEWEST_MARKS:
        count = len(note.offsets)
        yield find(
            "U102",
            f"offsets: {count} mark{'' if count == 1 else 's'}, and a shift, a turn and a scale take {_FEWEST_MARKS}",
            note.origin.key_span("offsets"),
            "read more marks, best those in the corners and in the middle",
        )


def _design(note: RegisterNote) -> Target | Problem | None:
    if note.sheet is None or not note.offsets:
        return None
    try:
        return design_target(note.sheet.width_mm.value, note.sheet.height_mm.value)
    except DomainError as error:
        message, _, hint = error.message.partition("; ")
        return find("U101", f"sheet: {message}", note.origin.span("sheet"), hint or "correct the size of the sheet")


def _check_marks(note: RegisterNote, target: Target) -> Iterator[Problem]:
    assert note.sheet is not None
    names = [mark.name for mark in target.marks]
    wrong = [(number, one.mark) for number, one in enumerate(note.offsets) if target.mark(one.mark) is None]
    if not wrong:
        return
    turned = design_target(note.sheet.height_mm.value, note.sheet.width_mm.value)
    if all(turned.mark(one.mark) is not None for one in note.offsets) and len(wrong) > 1:
        yield find(
            "U101",
            f"sheet: the target of {show_size(note.sheet)} has no {wrong[0][1]}, but that of the sheet turned has",
            note.origin.span("sheet"),
            f"write sheet: {note.sheet.height_mm.value:g} x {note.sheet.width_mm.value:g} mm, "
            "as the sheet lay with the target's arrow up",
        )
        return
    for number, name in wrong[:_FEW]:
        near = nearest_name(name, names)
        yield find(
            "U101",
            f"offsets: the target of {show_size(note.sheet)} has no mark {name}",
            note.origin.key_span("offsets", number),
            f"did you mean {near}?" if near else f"its marks are {names[0]} to {names[-1]}",
        )
