"""What the log says of printing: which stacks, which sides, how many sheets, how long.

In: the log and the plates. Out: PrintedFigure values. Never: adding them up (trade/press/run.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from doublure.model.loose_names import read_plate, read_stacks
from doublure.model.notes import LogNote
from doublure.trade.press.records import PressPlan
from doublure.trade.press.run_tally import BACKS, BOTH, FRONTS, PrintedFigure
from doublure.workings.log import LogWorking

_GATHERING = re.compile(r"gathering[- ][1-9][0-9]{0,3}", re.IGNORECASE)
_FRONT_STEP = re.compile(r"\bfronts?\b", re.IGNORECASE)
_BACK_STEP = re.compile(r"\bbacks?\b", re.IGNORECASE)
_PRINTING = re.compile(r"\bprint", re.IGNORECASE)


def work_printed(log: LogWorking, plan: PressPlan) -> tuple[PrintedFigure, ...]:
    """Return the entries of the log on printing sheets of the book, oldest first.

    An entry counts where it says how many sheets were made or spoiled and its step is printing, fronts or
    backs; one that names a stack or plate also where it says no step. Its stacks are those that it names
    (stack-7, stack-7-front, stack-7-back, stacks-7-9) and those that carry a plate that it names (plate-12). Where a
    stack's side is in neither its name nor the step, both sides are meant. An entry that names gatherings
    tells of time alone.
    """
    found = []
    for note in reversed(log.newest_first):
        figure = _read_entry(note, log.things[note.id], plan)
        if figure is not None:
            found.append(figure)
    return tuple(found)


def _read_entry(note: LogNote, things: Iterable[str], plan: PressPlan) -> PrintedFigure | None:
    side = _side_of(note.step)
    is_printing = any(words.search(note.step) for words in (_PRINTING, _FRONT_STEP, _BACK_STEP))
    if not (note.made or note.spoiled) or (note.step and not is_printing):
        return None
    targets: dict[tuple[int, str], None] = {}
    names_press = names_gathering = False
    for thing in things:
        if (stacks := read_stacks(thing)) is not None:
            names_press = True
            known = [number for number in stacks[0] if number <= len(plan.stacks)]
            targets.update(
                dict.fromkeys((number, f"{stacks[1]}s" if stacks[1] else side) for number in known)
            )
        elif (plate := read_plate(thing)) is not None:
            names_press = True
            targets.update(dict.fromkeys(_sides_with(plate, plan)))
        elif _GATHERING.fullmatch(thing):
            names_gathering = True
    if not names_press and not (names_gathering and is_printing):
        return None
    return PrintedFigure(
        targets=tuple(targets),
        made=note.made or 0,
        spoiled=note.spoiled or 0,
        minutes=note.minutes,
        sides=2 if side == BOTH else 1,
    )


def _side_of(step: str) -> str:
    """Return the side that a step names; both where it names neither or each."""
    front, back = _FRONT_STEP.search(step) is not None, _BACK_STEP.search(step) is not None
    if front == back:
        return BOTH
    return FRONTS if front else BACKS


def _sides_with(plate: int, plan: PressPlan) -> Iterable[tuple[int, str]]:
    for stack in plan.stacks:
        if stack.front == plate:
            yield stack.number, FRONTS
        if stack.back == plate:
            yield stack.number, BACKS
