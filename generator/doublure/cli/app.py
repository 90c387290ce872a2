"""The command `doublure` itself: finds its commands when they are wanted, puts what they raise into words.

In: arguments. Out: exit status. Never: importing a command that was not asked for.
"""

from __future__ import annotations

import errno
import importlib
import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

import click

import doublure
from doublure.errors import DomainError, JournalRejected, UsageError
from doublure.problems import nearest_name

DONE, WRONG_INPUT, WRONG_USAGE, INTERNAL_FAULT, INTERRUPTED = 0, 1, 2, 3, 130

#: Where each command is, in the order of the help.
_COMMANDS = {
    "start": "project",
    "note": "note",
    "check": "project",
    "build": "project",
    "serve": "project",
    "schema": "project",
    "lay": "sums",
    "weigh": "sums",
    "clean": "clean",
    "measure": "measure",
    "flatten": "measure",
    "backs": "backs",
}
#: What the system says when it, and not the program, cannot go on.
_SYSTEM_REFUSES = frozenset(
    {errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOSPC, errno.EADDRINUSE, errno.EADDRNOTAVAIL}
)


class NamingGroup(click.Group):
    """A group that keeps its commands in their order, and names the nearest where there is none of a name."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the commands in the order of the help."""
        return list(self.commands)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Name the nearest command where there is none of a name."""
        name, known = args[0], self.list_commands(ctx)
        if name not in known and not name.startswith("-") and not ctx.resilient_parsing:
            near = nearest_name(name, known)
            hint = f"did you mean {near}?" if near else f"there are {', '.join(known)}."
            raise click.UsageError(f'There is no command "{name}"; {hint}', ctx)
        return super().resolve_command(ctx, args)


class LazyGroup(NamingGroup):
    """A group whose commands are imported when they are asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the commands in the order of the help."""
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return one command, or None where there is none of this name."""
        module = _COMMANDS.get(cmd_name)
        if module is None:
            return None
        command = getattr(importlib.import_module(f"doublure.cli.{module}"), cmd_name)
        assert isinstance(command, click.Command)
        return command


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(doublure.__version__, prog_name="doublure", message="%(prog)s %(version)s")
def app() -> None:
    """Turn the notes on a replica of a paper artefact into a site with every computed table."""


def main() -> None:
    """Run the command line and end the process."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit status; whatever goes wrong is said on standard error."""
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")  # the theme's notice says nothing to a maker
    try:
        result = app.main(args=list(arguments), prog_name="doublure", standalone_mode=False)
    except click.UsageError as error:
        error.show()
        return WRONG_USAGE
    except click.ClickException as error:
        error.show()
        return WRONG_INPUT
    except JournalRejected as rejected:
        for problem in rejected.problems:
            say(problem.format())
        return WRONG_INPUT
    except (UsageError, DomainError) as error:
        say(f"doublure: {error}")
        return WRONG_INPUT
    except (click.Abort, KeyboardInterrupt):
        return INTERRUPTED
    except BrokenPipeError:
        # Whoever read the output has seen enough. Nothing may be flushed into the closed pipe at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return WRONG_INPUT
    except Exception as error:
        if isinstance(error, OSError) and error.errno in _SYSTEM_REFUSES:
            named = f"{error.filename}: " if error.filename else ""
            say(f"doublure: {named}{error.strerror}")
            return WRONG_INPUT
        return _admit(error, arguments)
    return result if isinstance(result, int) else DONE


def say(words: str) -> None:
    """Print a message on standard error."""
    click.echo(words, err=True)


def _admit(error: Exception, arguments: Sequence[str]) -> int:
    """Save an internal fault and say in one line where."""
    from doublure import errands

    # The name alone: what else was typed may be private.
    command = next((word for word in arguments if word in _COMMANDS), "doublure")
    saved = errands.save_fault(error, command, Path.cwd())
    where = f"it is saved in {saved}" if saved else "it could not be saved"
    say(f"doublure: an internal fault in {command} ({type(error).__name__}), not your doing; {where}")
    return INTERNAL_FAULT


def describe_commands() -> tuple[tuple[str, str, str, tuple[tuple[str, str], ...]], ...]:
    """Describe every command for the handbook.

    Returns:
        For each its name, how it is used, what it does, and its options and arguments with their help. The
        commands of a group follow it, under both names.
    """
    rows: list[tuple[str, str, str, tuple[tuple[str, str], ...]]] = []
    # The settings of the group come with it only this way; without them the help options differ by caller.
    root = click.Context(app, info_name="doublure", **app.context_settings)
    for name in app.list_commands(root):
        command = app.get_command(root, name)
        assert command is not None
        rows.extend(_describe_command(command, name, name, root))
    return tuple(rows)


def _describe_command(
    command: click.Command, name: str, full_name: str, parent: click.Context
) -> Iterator[tuple[str, str, str, tuple[tuple[str, str], ...]]]:
    ctx = click.Context(command, info_name=name, parent=parent)
    usage = " ".join([ctx.command_path, *command.collect_usage_pieces(ctx)])
    options = tuple(
        record
        for parameter in command.get_params(ctx)
        if (record := _describe_parameter(parameter, ctx)) is not None
    )
    yield full_name, usage, _unwrap(command.help or ""), options
    if isinstance(command, click.Group):
        for inner in command.list_commands(ctx):
            found = command.get_command(ctx, inner)
            assert found is not None
            yield from _describe_command(found, inner, f"{full_name} {inner}", ctx)


def _describe_parameter(parameter: click.Parameter, ctx: click.Context) -> tuple[str, str] | None:
    record = parameter.get_help_record(ctx)
    # An argument without help of its own is explained by the text of its command.
    return None if record is None or not record[1] else (record[0], " ".join(record[1].split()))


def _unwrap(text: str) -> str:
    """Return help as paragraphs of one line each."""
    return "\n\n".join(" ".join(paragraph.split()) for paragraph in text.strip().split("\n\n"))
