"""The handbook's pages that are made from the program itself: fields, commands, problems.

In: field tables, commands and codes as plain rows. Out: SitePage values. Never: reading the handbook's files.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from doublure.problem_codes import CODES, GROUPS
from doublure.render.html import Html, escape_text, render_answer, render_rows
from doublure.render.plan import SitePage
from doublure.render.site.frame import PageFrame
from doublure.render.table import Cell, Column, Row, Table, render_table_html


@dataclass(frozen=True, slots=True)
class CommandPage:
    """One command: its name, how it is used, what it does, and its options with their help."""

    name: str
    usage: str
    help: str
    options: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class FieldRow:
    """One field: its name, what it takes, what it is for, an example, and whether it must be there."""

    name: str
    takes: str
    help: str
    example: str
    required: bool


@dataclass(frozen=True, slots=True)
class KindTable:
    """One kind of note with its fields and the groups of fields inside them."""

    name: str
    noun: str
    help: str
    place: str
    fields: tuple[FieldRow, ...]
    groups: tuple[tuple[str, tuple[FieldRow, ...]], ...]


def pages(commands: Sequence[CommandPage], kinds: Sequence[KindTable]) -> list[SitePage]:
    """Return the generated pages of the handbook; the page of commands only where commands are given."""
    found = [_fields(kinds), _problems()]
    if commands:
        found.append(_commands(commands))
    return found


def _frame(path: str, title: str) -> PageFrame:
    return PageFrame(path, title, kind="handbook", hide=())


def _fields(kinds: Sequence[KindTable]) -> SitePage:
    frame = _frame("handbook/fields.md", "Fields of the notes")
    frame.add(render_answer("Every field of every kind of note. Only a title is ever required."))
    for kind in kinds:
        frame.heading(kind.name.capitalize(), kind.name)
        frame.add(f"<p>{escape_text(kind.help)} <code>{escape_text(kind.place)}</code></p>")
        frame.add(_field_table(kind.name, f"Fields of {kind.noun}", kind.fields))
        alike: dict[tuple[FieldRow, ...], list[str]] = {}
        for title, rows in kind.groups:
            alike.setdefault(rows, []).append(title)
        for rows, titles in alike.items():
            frame.add(_field_table(f"{kind.name}-{titles[0]}", f"Inside {' and '.join(titles)}", rows))
    return frame.finish()


def _field_table(name: str, caption: str, fields: Sequence[FieldRow]) -> Html:
    rows: list[Row] = [
        (
            Cell(
                field.name, Html(f"<code>{escape_text(field.name)}</code>" + (" (required)" * field.required))
            ),
            field.takes,
            field.help,
            Cell(field.example, Html(f"<code>{escape_text(field.example)}</code>") if field.example else ""),
        )
        for field in fields
    ]
    return render_table_html(
        Table(
            name=f"fields-{name.lower().replace(' ', '-')}",
            caption=caption,
            columns=(
                Column("field", "Field"),
                Column("takes", "Takes"),
                Column("what_for", "What for"),
                Column("example", "Example"),
            ),
            rows=tuple(rows),
        )
    )


def _problems() -> SitePage:
    frame = _frame("handbook/problems.md", "Problems")
    frame.add(
        render_answer(
            "Every code that a check can give, what it means and what to do. An error stops the build and leaves the "
            "last good site; a warning does not."
        )
    )
    for letter, title in GROUPS.items():
        frame.heading(title, f"group-{letter.lower()}")
        for code in CODES.values():
            if code.code.startswith(letter):
                frame.heading(f"{code.code} {code.title}", code.code.lower(), level=3)
                frame.add(
                    f"<p>{escape_text(code.explanation)}</p>"
                    + render_rows([("Kind", code.severity.value), ("What to do", code.remedy)])
                )
    return frame.finish()


def _commands(commands: Sequence[CommandPage]) -> SitePage:
    frame = _frame("handbook/commands.md", "Commands")
    frame.add(
        render_answer(
            "Exit status 0: done. 1: what you gave is wrong, said plainly. 2: wrong usage. 3: a fault of the program."
        )
    )
    for command in commands:
        frame.heading(f"doublure {command.name}", command.name.replace(" ", "-"))
        text = "".join(f"<p>{escape_text(part)}</p>" for part in command.help.split("\n\n"))
        rows = [(Html(f"<code>{escape_text(option)}</code>"), text_) for option, text_ in command.options]
        frame.add(f"<pre><code>{escape_text(command.usage)}</code></pre>{text}{render_rows(rows)}")
    return frame.finish()
