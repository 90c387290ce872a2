"""The commands measure and flatten: a size, or the flat piece, from a photograph.

In: arguments. Out: printed lines or JSON, a piece, a reading in a note. Never: computing.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from doublure.cli.app import DONE, say
from doublure.cli.printing import print_json
from doublure.errors import UsageError

if TYPE_CHECKING:
    from doublure.errand_measure.asking import Asked

_Command = TypeVar("_Command", bound=Callable[..., Any])
_JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
_PLANE = (
    click.option(
        "--known",
        default="",
        metavar="SIZE",
        help='What is known: "89 x 127 mm", A4, "150 ± 0.2 mm" for a length; leaf, or an insert of settled size.',
    ),
    click.option(
        "--known-at",
        multiple=True,
        metavar="POINTS",
        help='Where it shows, px: "x,y x,y x,y x,y", from the head\'s left corner round by its right; two ends.',
    ),
    click.option(
        "--wanted-at", multiple=True, metavar="POINTS", help="Corners of the thing wanted, or two ends."
    ),
    click.option(
        "--edge",
        "edges",
        multiple=True,
        metavar="POINTS",
        help="Points along an edge straight in truth; repeat it.",
    ),
    click.option(
        "--points", metavar="FILE", type=click.Path(path_type=Path), help="File with all this; YAML or JSON."
    ),
    click.option(
        "--picking", type=float, metavar="PX", help="How sure a point is, one standard deviation; 1 px."
    ),
    click.option(
        "--lens-doubt",
        type=float,
        metavar="SHARE",
        help="What an unknown lens may bend; 0.12, phones about 0.02.",
    ),
    click.option(
        "--scan", is_flag=True, help="The picture comes from a flat scanner: there is no lens to doubt."
    ),
)


def _with(options: tuple[Callable[[Any], Any], ...]) -> Callable[[_Command], _Command]:
    """Return what gives a command several options, in their order."""

    def decorate(command: _Command) -> _Command:
        for option in reversed(options):
            command = option(command)
        return command

    return decorate


@click.command()
@click.argument("photo", type=click.Path(path_type=Path))
@_with(_PLANE)
@click.option(
    "--coin", default="", metavar="DIAMETER", help="A coin is known: five or more points of its rim."
)
@click.option("--above", default="", metavar="LENGTH", help="How far the thing lies above the known plane.")
@click.option(
    "--uncorrected", is_flag=True, help="Leave the lens uncorrected; what it costs is in the interval."
)
@click.option("--draws", type=int, metavar="N", help="Check the uncertainty by drawing N lots.")
@click.option("--seed", type=int, default=1, show_default=True, metavar="N", help="Of the lots.")
@click.option("--into", default="", metavar="INSERT", help="Write the size into the note of this insert.")
@click.option(
    "--from", "source", default="", metavar="EVIDENCE", help="The evidence that the picture belongs to."
)
@click.option(
    "--as", "as_length", default="", metavar="SIDE", help="Whether a length is the width or the height."
)
@_JSON
def measure(photo: Path, into: str, source: str, as_length: str, as_json: bool, **given: Any) -> int:
    """Measure a thing in a photograph by something of known size beside it.

    With four corners wanted and nothing known, the ratio of sides alone is told. The handbook says what the
    uncertainty holds, under "Measuring".
    """
    from doublure.cli.measure_words import measurement_as_json, print_measurement
    from doublure.errand_measure import keeping, measuring

    here = Path.cwd()
    if not into and (source or as_length):
        raise UsageError("--from and --as go with --into")
    draws, seed = given.pop("draws"), given.pop("seed")
    asked = _asked(**given)
    place = keeping.find_place(here, into, source, photo, as_length) if into else None
    done = measuring.measure_photo(photo, asked, here, draws, seed)
    written = keeping.keep_reading(place, done, as_length) if place is not None else ""
    if as_json:
        print_json({**measurement_as_json(done), "note": written})
    else:
        print_measurement(done)
        if written:
            say(f"doublure: the reading is in {written}")
    return DONE


@click.command()
@click.argument("photo", type=click.Path(path_type=Path))
@_with(_PLANE)
@click.option(
    "-o", "--output", required=True, type=click.Path(path_type=Path), help="File to write: .png, .tif, .jpg."
)
@click.option("--ppi", metavar="PPI", help="Pixels an inch; as many as the picture has where not said.")
@click.option("--margin", metavar="LENGTH", help="What to keep around the piece.")
@click.option("--replace", is_flag=True, help="Write over an earlier piece.")
@_JSON
def flatten(
    photo: Path, output: Path, ppi: str | None, margin: str | None, replace: bool, as_json: bool, **given: Any
) -> int:
    """Write the piece between four corners flat and at true scale, with the resolution that it has."""
    from doublure.cli.measure_words import flattened_as_json, print_flattened
    from doublure.errand_measure import flattening

    asked = _asked(**given)
    done = flattening.flatten_photo(photo, asked, Path.cwd(), output, ppi, margin, replace)
    if as_json:
        print_json(flattened_as_json(done))
    else:
        print_flattened(done)
    return DONE


def _asked(
    known: str,
    known_at: tuple[str, ...],
    wanted_at: tuple[str, ...],
    edges: tuple[str, ...],
    points: Path | None,
    picking: float | None,
    lens_doubt: float | None,
    scan: bool,
    coin: str = "",
    above: str = "",
    uncorrected: bool = False,
) -> Asked:
    """Return what the options ask, together with the points file."""
    from doublure.errand_measure import asking

    typed = asking.Asked(
        known=known.strip(),
        coin=coin.strip(),
        known_at=asking.read_points(known_at, "known-at"),
        wanted_at=asking.read_points(wanted_at, "wanted-at"),
        edges=tuple(asking.read_points([edge], "edge") for edge in edges),
        lens_doubt=lens_doubt,
        scan=scan,
        picking_px=picking,
        above=above.strip(),
        correct=not uncorrected,
    )
    return asking.finish(typed, None if points is None else asking.read_file(points))
