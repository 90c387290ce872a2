"""The order of the steps for what needs no worked-up replica: start, note, schema and the quick sums.

In: what a command was given. Out: what it has to print. Never: formulas, printing, deciding.
Everything is imported where it is used, so that `note` is there at once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from doublure.errors import UsageError
from doublure.model.loose_names import LOOSE_EXAMPLES, LOOSE_NAMES
from doublure.problems import nearest_name

if TYPE_CHECKING:
    from doublure.measured import Measured
    from doublure.store.log_writer import WrittenEntry
    from doublure.store.starter import StartedProject
    from doublure.trade.book.imposition import Imposition
    from doublure.trade.paper.weights import PaperWeights


@dataclass(frozen=True, slots=True)
class Doing:
    """What was done, as it was typed.

    Attributes:
        text: What was done, in Markdown.
        about: Names of notes, gatherings, stacks, plates, pages.
        step: Step of the work; "" where not said.
        minutes: "40" or "1 h 20 min"; None where not said.
        spent: "3.20"; None where not said.
        made, spoiled: Pieces; None where not said.
        photos: Files to copy in.
        on: "2031-03-14".
    """

    text: str
    on: str
    about: tuple[str, ...] = ()
    step: str = ""
    minutes: str | None = None
    spent: str | None = None
    made: int | None = None
    spoiled: int | None = None
    photos: tuple[Path, ...] = ()


def find_project(start: Path) -> Path:
    """Return the folder of the project that start lies in.

    Raises:
        UsageError: There is none.
    """
    from doublure.store.journal_paths import find_project as find

    return find(start)


def start_project(folder: Path, title: str) -> StartedProject:
    """Write a new project that builds as it is.

    Raises:
        UsageError: The folder cannot take one, or the title is not one line.
    """
    from doublure import pipeline
    from doublure.store.starter import write_project

    plain = title.strip()
    if not plain or "\n" in plain:
        raise UsageError("a title is one line of words")
    return write_project(folder, plain, dict(pipeline.schema_files()))


def write_schemas(root: Path) -> tuple[str, ...]:
    """Write the JSON Schemas of the notes into the project and return their paths."""
    from doublure import pipeline
    from doublure.store.starter import write_schemas as write

    return write(root, dict(pipeline.schema_files()))


def write_note(root: Path, doing: Doing) -> WrittenEntry:
    """Write a log entry.

    Raises:
        UsageError: Something given cannot be used; nothing was written.
    """
    from doublure.store.log_writer import LogDraft, write_log_entry

    draft = LogDraft(
        day=read_day(doing.on),
        text=doing.text,
        about=check_about(root, doing.about),
        step=" ".join(doing.step.split()),
        minutes=None if doing.minutes is None else _read_minutes(doing.minutes),
        spent=None if doing.spent is None else _read_money(doing.spent),
        made=doing.made,
        spoiled=doing.spoiled,
        photos=doing.photos,
        named_after=_leave_out_private(doing.text),
    )
    return write_log_entry(root, draft)


def known_things(root: Path) -> dict[str, tuple[str, ...]]:
    """Return the names of all notes, each with the folders in which there is one; no note is read."""
    from doublure.store.journal_files import known_notes
    from doublure.store.journal_paths import NOTE_FOLDERS

    folders: dict[str, list[str]] = {}
    for path in known_notes(root):
        if len(path.parts) == 2 and path.parts[0] in NOTE_FOLDERS:
            folders.setdefault(path.stem, []).append(path.parts[0])
    return {name: tuple(dict.fromkeys(places)) for name, places in folders.items()}


def check_about(root: Path, names: Iterable[str]) -> tuple[str, ...]:
    """Return the names if each is known: a note (alone or with its folder), a gathering, a stack, a plate, a page.

    Raises:
        UsageError: One is not; the message has the nearest known name.
    """
    wanted = tuple(dict.fromkeys(name.strip() for name in names))
    if not wanted:
        return ()
    known = known_things(root)
    wrong: list[str] = []
    for name in wanted:
        folder, _, plain = name.rpartition("/")
        if folder and folder in known.get(plain, ()):
            continue
        if not folder and len(known.get(name, ())) == 1:
            continue
        if any(pattern.fullmatch(name) for pattern in LOOSE_NAMES.values()):
            continue
        if not folder and name in known:
            choices = " or ".join(f"{place}/{name}" for place in known[name])
            wrong.append(f'about: "{name}" is the name of {len(known[name])} notes; write {choices}')
            continue
        near = nearest_name(plain.casefold(), [*known, *LOOSE_EXAMPLES.values()])
        if near is not None and near not in known:
            # The number that was typed, not that of the example; there is none below 1.
            digits = re.search("[1-9][0-9]{0,3}", plain)
            near = f"{near.partition('-')[0]}-{digits[0] if digits else 1}"
        hint = f"; did you mean {near}?" if near else ""
        wrong.append(f'about: there is no note, gathering, stack, plate or page "{name}"{hint}')
    wrong += _find_beyond(root, [name for name in wanted if name not in known])
    if wrong:
        raise UsageError("\n".join(wrong))
    return wanted


def _find_beyond(root: Path, names: Iterable[str]) -> list[str]:
    """Return what is wrong with numbers of gatherings, stacks, plates and pages that the book does not have.

    Only where such a number is given are the notes read. Where they hold no book that can be used, every number
    passes: what was done must be written down all the same.
    """
    numbered = [name for name in names if any(one.fullmatch(name) for one in LOOSE_NAMES.values())]
    if not numbered:
        return []
    from doublure.checks.loose_names import count_numbered, explain_beyond
    from doublure.notes.journal import decode_journal
    from doublure.store.journal_files import read_sources
    from doublure.workings.all import count_stacks

    replica, _ = decode_journal(*read_sources(root))
    counted = None if replica is None else count_numbered(replica, count_stacks(replica))
    found = [explain_beyond(name, counted) for name in numbered] if counted is not None else []
    return [f"about: {one[0]}; {one[1]}" for one in found if one is not None]


def read_day(text: str) -> date:
    """Return a day as it was typed, such as "2031-03-14".

    Raises:
        UsageError: It is none.
    """
    try:
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text.strip()):
            return date.fromisoformat(text.strip())
    except ValueError:
        pass
    raise UsageError(f'on: "{text}" is no day; write it as 2031-03-14')


def _read_minutes(text: str) -> Decimal:
    from doublure.quantities import QuantityError, parse_duration

    plain = text.strip()
    if re.fullmatch(r"\d{1,6}([.,]\d{1,3})?", plain):
        return Decimal(plain.replace(",", "."))
    try:
        return Decimal(str(round(parse_duration(plain), 3))).normalize()
    except QuantityError as error:
        raise UsageError(f"minutes: {error}") from error


def _read_money(text: str) -> Decimal:
    from doublure.quantities import QuantityError, parse_money

    try:
        return parse_money(text)
    except QuantityError as error:
        raise UsageError(f"spent: {error}") from error


def _leave_out_private(text: str) -> str:
    """Return the text without its private passages, whose words must not get into the name of a file."""
    if "private" not in text.lower():
        return text
    from doublure.notes.frontmatter import hide_private
    from doublure.notes.manuscript import drop_filler

    hidden = hide_private(text)
    for fault in hidden.faults:
        raise UsageError(f"{fault.message}; {fault.hint}")
    return drop_filler(hidden.text)


def lay_pages(pages: int, sheets: int, rtl: bool) -> Imposition:
    """Return which pages lie side by side on each sheet.

    Raises:
        DomainError: There is no such book.
    """
    from doublure.trade.book import imposition

    return imposition.lay_pages(pages, sheets, rtl)


def weigh_paper(text: str) -> PaperWeights:
    """Return a paper's weight in g/m² and in every pound grade.

    Raises:
        UsageError: The text is no weight of paper; the message points at what is wrong in it.
    """
    from doublure.quantities import QuantityError, parse_grammage
    from doublure.trade.paper.weights import compute_weights

    try:
        grammage: Measured = parse_grammage(text)
    except QuantityError as error:
        shown = text.replace("\n", " ").replace("\t", " ")
        caret = " " * error.offset + "^" * error.length
        raise UsageError(f"{error.message}\n  {shown}\n  {caret} {error.hint}".rstrip()) from error
    return compute_weights(grammage)


def save_fault(error: BaseException, command: str, start: Path) -> Path | None:
    """Save an internal fault and return its file; None where nothing can be written."""
    from doublure.store.faults import save_fault as save

    try:
        root: Path | None = find_project(start)
    except (UsageError, OSError):
        root = None
    return save(error, command, root)
