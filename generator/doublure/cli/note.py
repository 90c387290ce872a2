"""The command note: writes down what was done.

In: arguments. Out: the path of the new entry. Never: importing anything slow.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from doublure import errands
from doublure.cli.app import DONE
from doublure.errors import UsageError


def _complete_thing(ctx: click.Context, parameter: click.Parameter, incomplete: str) -> list[str]:
    """Return the names that begin with what was typed so far, for the shell."""
    try:
        known = errands.known_things(errands.find_project(Path.cwd()))
    except (UsageError, OSError):
        return []
    return sorted(name for name in known if name.startswith(incomplete))


@click.command()
@click.argument("text")
@click.option(
    "--about",
    "-a",
    multiple=True,
    metavar="THING",
    shell_complete=_complete_thing,
    help="What it is about: a note, gathering-3, stack-7-front, a page. May come again.",
)
@click.option("--minutes", metavar="MINUTES", help="How long it took: 40, or 1h20min.")
@click.option("--spent", metavar="AMOUNT", help="What it cost.")
@click.option(
    "--photo",
    multiple=True,
    type=click.Path(path_type=Path),
    help="A photograph to copy in, without its place and device. May come again.",
)
@click.option("--made", type=click.IntRange(min=0), help="Pieces that came out good.")
@click.option("--spoiled", type=click.IntRange(min=0), help="Pieces that came out bad.")
@click.option("--step", default="", metavar="STEP", help="The step of the work, such as printing.")
@click.option("--on", metavar="DATE", help="The day, such as 2031-03-14; today where not said.")
def note(
    text: str,
    about: tuple[str, ...],
    minutes: str | None,
    spent: str | None,
    photo: tuple[Path, ...],
    made: int | None,
    spoiled: int | None,
    step: str,
    on: str | None,
) -> int:  # fmt: skip
    """Write down what was done, as a new entry of the log.

    The first line of TEXT serves as its title. Photographs are copied in upright, and without what a camera
    says of place and device.
    """
    doing = errands.Doing(
        text, on or date.today().isoformat(), about, step, minutes, spent, made, spoiled, photo
    )
    written = errands.write_note(errands.find_project(Path.cwd()), doing)
    for path in (written.note, *written.photos):
        click.echo(path)
    return DONE
