"""The command clean: scans become masters.

In: arguments. Out: printed lines or JSON, progress on standard error. Never: computing.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import click

from doublure.cli.app import DONE, WRONG_INPUT, say
from doublure.cli.printing import count_things, print_json

_MOST_NAMED = 3


@click.command()
@click.argument("scans", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    metavar="MASTER|FOLDER",
    type=click.Path(path_type=Path),
    help="Master to write, ending in .png, or a folder for many; the folder masters where not said.",
)
@click.option(
    "--as",
    "kind",
    type=click.Choice(["lines", "greys", "colours"]),
    default="lines",
    show_default=True,
    help="What the master is to hold: black on a clear ground, or greys or colours, which keep pictures.",
)
@click.option("--ppi", type=float, metavar="PPI", help="Resolution of the master at least; 600 for lines.")
@click.option(
    "--scanned-at",
    type=float,
    metavar="PPI",
    help="Resolution of the scans, where their files state none or a wrong one.",
)
@click.option(
    "--specks",
    type=click.Choice(["keep", "usual", "drop"]),
    default="usual",
    show_default=True,
    help="Specks that may be dots: keep more of them, or drop more.",
)
@click.option(
    "--faint",
    type=click.Choice(["keep", "usual", "drop"]),
    default="usual",
    show_default=True,
    help="Faint strokes, which may show through from behind: keep more of them, or drop more.",
)
@click.option(
    "--strokes",
    type=click.Choice(["thinner", "as they are", "bolder"]),
    default="as they are",
    show_default=True,
    help="Make strokes a little thinner or bolder than they are.",
)
@click.option("--leave-askew", is_flag=True, help="Do not set the page straight.")
@click.option("--leave-edges", is_flag=True, help="Do not cut off what lies beyond the page.")
@click.option("--screen-out", is_flag=True, help="Take the halftone screen out of greys or colours.")
@click.option("--jobs", type=click.IntRange(1, 64), help="How many at once; as many as there are processors.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def clean(
    scans: tuple[Path, ...],
    output: Path | None,
    kind: str,
    ppi: float | None,
    scanned_at: float | None,
    specks: str,
    faint: str,
    strokes: str,
    leave_askew: bool,
    leave_edges: bool,
    screen_out: bool,
    jobs: int | None,
    as_json: bool,
) -> int:  # fmt: skip
    """Make clean masters of scans: no blotches, no show-through, no specks, set straight, fine enough to print.

    SCANS stay as they are. Beside each master lie a record of what was done and a strip that shows before and
    after, with the places to look at. What the methods do and cannot do is in the handbook, under "Cleaning".
    """
    from doublure.errand_clean.scans import CleanWish, Uncleaned, clean_scans

    wish = CleanWish(
        kind, ppi, scanned_at, specks, faint, strokes, not leave_askew, not leave_edges, screen_out
    )
    cleaned: dict[Path, dict[str, Any]] = {}
    masters: dict[Path, Path] = {}
    failed: dict[Path, str] = {}
    done = clean_scans(scans, output, wish, jobs or os.cpu_count() or 1)
    for number, one in enumerate(done, start=1):
        counted = f"{number}/{len(scans)}  " if len(scans) > 1 else ""
        if isinstance(one, Uncleaned):
            failed[one.scan] = one.words
            say(f"doublure: {one.scan}: {one.words}")
            continue
        cleaned[one.scan], masters[one.scan] = one.record, one.master
        if not as_json:
            _print_master(counted, one.scan, one.master, one.record)
        elif counted:
            say(f"{counted}{one.scan}")
    if as_json:
        print_json(
            {
                "masters": [
                    {"file": str(masters[scan]), "from": str(scan), **cleaned[scan]}
                    for scan in scans
                    if scan in cleaned
                ],
                "not_cleaned": [
                    {"from": str(scan), "reason": failed[scan]} for scan in scans if scan in failed
                ],
            }
        )
    return WRONG_INPUT if failed else DONE


def _print_master(counted: str, scan: Path, master: Path, said: dict[str, Any]) -> None:
    """Print what became of a scan, in a few lines."""
    click.echo(f"{counted}{scan} -> {master}")
    click.echo(
        f"  {said['width_mm']:g} x {said['height_mm']:g} mm at {said['ppi']:g} ppi, "
        f"from {said['scan_ppi']:g} ppi{_doubt_of_ppi(said)}"
    )
    if said["blank"]:
        click.echo("  nothing on it stands out as ink")
    if said["skew_deg"]:
        click.echo(f"  set straight by {abs(said['skew_deg']):.2f}°")
    elif not said["skew_found"]:
        click.echo("  left as it lies: its rows tell no direction")
    if said["trimmed"]:
        click.echo("  cut at the edges of the page")
    if said["kind"] == "lines":
        where = f", most at the {said['removed_where']}" if said["removed_where"] else ""
        click.echo(
            f"  removed {said['removed_percent']:.1f} % of the page{where}; "
            f"{count_things(said['pieces_dropped'], 'speck')} dropped; {said['ink_percent']:.1f} % is ink"
        )
        for doubt in said["in_doubt"][:_MOST_NAMED]:
            what = "kept" if doubt["kept_percent"] >= 50 else "dropped"
            click.echo(
                f"  look at {doubt['rank']}: {doubt['left_mm']:g} mm from the left, {doubt['top_mm']:g} mm from the "
                f"head, {doubt['width_mm']:g} x {doubt['height_mm']:g} mm, mostly {what}"
            )
    elif said["screen_lpi"]:
        removed = "taken out" if said["screen_removed"] else "left in"
        click.echo(
            f"  halftone screen of {said['screen_lpi']:g} lines an inch at {said['screen_angle_deg']:g}°, {removed}"
        )


def _doubt_of_ppi(said: dict[str, Any]) -> str:
    return ", which is only assumed: say --scanned-at" if said["scan_ppi_is"] == "assumed" else ""
