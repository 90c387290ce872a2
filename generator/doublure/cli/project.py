"""Commands for a project: start, check, build, serve, schema.

In: arguments. Out: printed reports. Never: computing.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

import click

from doublure import errands
from doublure.cli.app import DONE, WRONG_INPUT, describe_commands, say
from doublure.cli.printing import (
    count_problems,
    describe_printed,
    print_json,
    printed_as_json,
    problems_as_json,
)
from doublure.errors import JournalRejected
from doublure.problems import Problem


@click.command()
@click.argument("folder", default=".", type=click.Path(path_type=Path))
@click.option("--title", default="My replica", show_default=True, help="Title of the replica.")
def start(folder: Path, title: str) -> int:
    """Begin a project in FOLDER.

    It is a small journal to write over, which builds as it is, with what Git and an editor need to know.
    No file that is there already is changed.
    """
    begun = errands.start_project(folder, title)
    for name in begun.written:
        click.echo(f"wrote {folder / name}")
    for name in begun.kept:
        say(f"kept {folder / name}, which was there")
    there = "" if folder == Path() else f"cd {folder} && "
    say(f"Build it with: {there}doublure build")
    return DONE


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def check(as_json: bool) -> int:
    """Read every note and print all that is wrong.

    Each problem comes with its place, the line as you wrote it, and what would be right.
    """
    from doublure import pipeline

    report = pipeline.check_journal(errands.find_project(Path.cwd()))
    if as_json:
        print_json(problems_as_json(report.problems))
    else:
        for problem in report.problems:
            click.echo(problem.format())
        say(count_problems(report.problems))
    return WRONG_INPUT if report.has_errors else DONE


@click.command()
@click.option("--no-print", "no_print", is_flag=True, help="Make no print files.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def build(no_print: bool, as_json: bool) -> int:
    """Check the notes, build the site and make the print files.

    The new site takes the place of the old one only when it is whole. Print files go to print/, and only those
    are made anew whose notes or artwork have changed. A plate whose artwork cannot be used is left out; the
    others are made, and the exit status is 1.
    """
    from doublure import pipeline

    root = errands.find_project(Path.cwd())
    try:
        commands = tuple(pipeline.CommandPage(*row) for row in describe_commands())
        progress = _be_silent if as_json else say
        report = pipeline.build_site(root, commands=commands, progress=progress, with_print=not no_print)
    except JournalRejected as rejected:
        if as_json:
            print_json({"site": None, "pages": 0, **problems_as_json(rejected.problems)})
            return WRONG_INPUT
        _say_problems(rejected.problems)
        say("the site was not built; an earlier one is as it was")
        return WRONG_INPUT
    if as_json:
        printed = {"print": printed_as_json(report.printed, report.left_out)}
        site = {"site": str(report.site), "pages": report.pages}
        print_json({**site, **printed, **problems_as_json(report.problems)})
    else:
        _say_problems(report.problems)
        for line in describe_printed(report.printed, report.left_out):
            say(line)
        click.echo(f"{report.site / 'index.html'} ({report.pages} pages)")
    return DONE if report.is_whole else WRONG_INPUT


def _say_problems(problems: Iterable[Problem]) -> None:
    listed = tuple(problems)
    for problem in listed:
        say(problem.format())
    if listed:
        say(count_problems(listed))


def _be_silent(words: str) -> None:
    """Take a word on the progress where nobody reads it."""


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to serve at.")
@click.option("--port", default=8000, show_default=True, type=click.IntRange(1, 65535), help="Port there.")
def serve(host: str, port: int) -> int:
    """Show the site while you write.

    It is built again whenever a note is saved, and open pages reload.
    """
    import logging

    from doublure import pipeline

    root = errands.find_project(Path.cwd())
    logging.basicConfig(level=logging.INFO, format="%(message)s", stream=sys.stderr)
    pipeline.serve(root, host, port)
    return DONE


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print the schemas, and write none.")
def schema(as_json: bool) -> int:
    """Write the JSON Schemas of the notes.

    They go to journal/.schema/, where editors that complete and check YAML find them.
    """
    import json

    from doublure import pipeline

    if as_json:
        print_json({name.removesuffix(".json"): json.loads(text) for name, text in pipeline.schema_files()})
        return DONE
    for path in errands.write_schemas(errands.find_project(Path.cwd())):
        click.echo(f"wrote {path}")
    return DONE
