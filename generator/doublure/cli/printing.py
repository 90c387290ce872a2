"""Forms in which commands print: JSON, problems, plain tables.

In: values. Out: text on standard output. Never: computing, colours.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

import click

from doublure.problems import Problem, Span

if TYPE_CHECKING:
    from doublure.pipeline import PrintReport

#: More numbers than this say nothing to anybody.
_MOST_PLATES = 12


def print_json(value: object) -> None:
    """Print a value as JSON on standard output."""
    click.echo(json.dumps(value, indent=2, ensure_ascii=False))


def problems_as_json(problems: Iterable[Problem]) -> dict[str, Any]:
    """Return problems as plain data, with how many errors and warnings there are."""
    listed = list(problems)
    errors = sum(problem.is_error for problem in listed)
    return {
        "errors": errors,
        "warnings": len(listed) - errors,
        "problems": [
            {
                "code": problem.code,
                "severity": problem.severity.value,
                "message": problem.message,
                "hint": problem.hint,
                **_place(problem.span),
                "related": [{"message": words, **_place(span)} for span, words in problem.related],
            }
            for problem in listed
        ],
    }


def _place(span: Span) -> dict[str, str | int]:
    return {"file": span.file, "line": span.line, "column": span.column, "length": span.length}


def count_problems(problems: Iterable[Problem]) -> str:
    """Return how many errors and warnings there are, in words."""
    listed = list(problems)
    errors = sum(problem.is_error for problem in listed)
    return f"{_count(errors, 'error')}, {_count(len(listed) - errors, 'warning')}"


def _count(number: int, noun: str) -> str:
    return f"{number or 'no'} {noun}{'' if number == 1 else 's'}"


def printed_as_json(printed: PrintReport | None, left_out: Sequence[int]) -> dict[str, Any] | None:
    """Return what became of the print files as plain data; None where none were asked for."""
    if printed is None:
        return None
    return {
        "made": list(printed.made),
        "kept": list(printed.kept),
        "removed": list(printed.removed),
        "failed": [{"path": fault.path, "message": fault.words} for fault in printed.failed],
        "plates_left_out": list(left_out),
    }


def describe_printed(printed: PrintReport | None, left_out: Sequence[int]) -> list[str]:
    """Return what became of the print files, a line for each thing; nothing where none were asked for."""
    if printed is None:
        return []
    lines = [f"print/{fault.path} was not made: {fault.words}" for fault in printed.failed]
    lines += [f"removed print/{path}, which is no longer made" for path in printed.removed]
    if left_out:
        numbers = ", ".join(map(str, left_out[:_MOST_PLATES]))
        more = f" and {len(left_out) - _MOST_PLATES} more" if len(left_out) > _MOST_PLATES else ""
        lines.append(
            f"left out {count_things(len(left_out), 'plate')} without artwork that can be used: {numbers}{more}"
        )
    if printed.made or printed.kept:
        made, kept = len(printed.made), len(printed.kept)
        lines.append(f"print/: {count_things(made, 'file')} made, {count_things(kept, 'file')} as before")
    return lines


def count_things(number: int, noun: str, plural: str = "") -> str:
    """Return a number with its noun, such as "1 sheet", "no blanks"."""
    return f"{number or 'no'} {noun if number == 1 else plural or noun + 's'}"


def print_table(head: Sequence[str], rows: Sequence[Sequence[str]], right: Sequence[bool]) -> None:
    """Print a table in columns.

    Args:
        head: Heads of the columns.
        rows: Cells, as many in each row as there are heads.
        right: True for each column that stands at the right.
    """
    widths = [max(len(row[column]) for row in (head, *rows)) for column in range(len(head))]
    for row in (head, *rows):
        cells = (
            cell.rjust(width) if at_right else cell.ljust(width)
            for cell, width, at_right in zip(row, widths, right, strict=True)
        )
        click.echo("  ".join(cells).rstrip())
