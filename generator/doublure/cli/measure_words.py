"""What measure and flatten print.

In: records of errand_measure. Out: text on standard output, plain data for JSON. Never: computing.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import click

from doublure.cli.app import say
from doublure.cli.printing import print_table

if TYPE_CHECKING:
    from doublure.errand_measure.flattening import Flattened
    from doublure.errand_measure.measuring import Measurement

_NOT_TRIED = "Not yet tried on paper, by us: measure a thing in hand this way once before you trust it."
_LENS = {
    "published": "The lens is as published, and taken for exact.",
    "edges": "The lens is corrected by straight edges; what they leave open is in the interval.",
    "pattern": "The lens is corrected by the pattern itself; what it leaves open is in the interval.",
    "unknown": "Nothing shows what the lens does: it is not corrected, and its doubt is in the interval. "
    "Points along straight edges (--edge) make it narrower.",
    "uncorrected": "The lens is left uncorrected; what that may cost is in the interval.",
    "scan": "A flat scan: there is no lens to doubt.",
}
_PICKING = {"stated": "as stated", "from the points": "by how well the points fit", "assumed": "assumed"}
_FEW_PPI = 300.0


def measurement_as_json(done: Measurement) -> dict[str, Any]:
    """Return a measurement as plain data; uncertainties are standard ones."""
    found: dict[str, Any] = {"photo": str(done.photo.path), "method": done.method}
    lengths = done.lengths
    if lengths is not None:
        for at, name in enumerate(done.names):
            found[f"{name}_mm"] = lengths.values_mm[at]
            found[f"u_{name}_mm"] = lengths.u_mm[at]
            found[f"half_95_{name}_mm"] = lengths.half_mm[at]
            found[f"bias_{name}_mm"] = lengths.biases_mm[at]
        if len(done.names) == 2:
            found["correlation"] = lengths.correlation()
            found["sides_mm"] = list(done.sides_mm)
        found["variance_mm2"] = [
            {"picking": one[0], "size_and_lens": one[1], "bias": one[2]} for one in lengths.shares
        ]
    if done.ratio is not None:
        found.update(
            ratio=done.ratio.ratio,
            u_ratio=done.ratio.u,
            half_95_ratio=done.ratio.half,
            focal_px=done.ratio.focal_px,
        )
    found["lens"] = {"by": done.lens, **_lens_numbers(done)}
    found["picking_px"], found["picking_by"] = done.u_pick_px, done.picking
    if done.fit is not None:
        found["fit"] = {
            "residual_px": done.fit.spread_px,
            "fits": done.fit.fits,
            "misfits": [number + 1 for number in done.fit.misfits],
            "chance": done.fit.chance,
        }
    if done.above is not None:
        found["above"] = {
            "above_mm": done.above.above_mm,
            "too_large_share_at_most": done.above.share,
            "camera_mm_at_least": done.above.camera_mm,
        }
    if done.drawn is not None:
        found["drawn"] = {
            "draws": done.drawn.draws,
            "lost": done.drawn.lost,
            "mean_mm": list(done.drawn.mean),
            "u_mm": list(done.drawn.u),
            "low_95_mm": list(done.drawn.low),
            "high_95_mm": list(done.drawn.high),
        }
    found["formats"] = [
        {
            "id": one.format.id,
            "name": one.format.name,
            "category": one.format.category,
            "short_mm": one.format.short_mm,
            "long_mm": one.format.long_mm,
            "turned": one.turned,
            "p": one.p,
        }
        for one in done.formats
    ] + [
        {
            "id": known.id,
            "name": known.name,
            "category": known.category,
            "short_mm": known.short_mm,
            "long_mm": known.long_mm,
            "standard_uncertainties_off": off,
        }
        for known, off in done.ratio_formats
    ]
    found["warnings"] = _warnings(done)
    return found


def print_measurement(done: Measurement) -> None:
    """Print a measurement: its values with their intervals first, then what they rest on."""
    lengths = done.lengths
    if lengths is not None:
        for at, name in enumerate(done.names):
            value, u, half = lengths.values_mm[at], lengths.u_mm[at], lengths.half_mm[at]
            digits = _digits(u)
            shown = f"{value:.{digits}f} mm, standard uncertainty {u:.{digits}f} mm"
            click.echo(f"{name.capitalize():7} {shown}; 95 % within ± {half:.{digits}f} mm")
        if len(done.names) == 2:
            click.echo(f"Correlation of the two: {lengths.correlation():.2f}")
            head, right, foot, left = done.sides_mm or (math.nan,) * 4
            if done.sides_mm:
                click.echo(
                    f"Opposite sides: head {head:.2f}, foot {foot:.2f}, {abs(head - foot):.2f} mm apart; "
                    f"left {left:.2f}, right {right:.2f}, {abs(left - right):.2f} mm apart"
                )
    if done.ratio is not None:
        ratio = done.ratio
        digits = _digits(ratio.u)
        click.echo(
            f"Width over height: {ratio.ratio:.{digits}f}, standard uncertainty {ratio.u:.{digits}f}; "
            f"95 % within ± {ratio.half:.{digits}f}"
        )
        click.echo("A ratio tells formats apart, and is no size.")
    if done.drawn is not None:
        for name, mean, u, low, high in zip(
            done.names, done.drawn.mean, done.drawn.u, done.drawn.low, done.drawn.high, strict=True
        ):
            click.echo(
                f"{done.drawn.draws} draws, {name}: {mean:.3f} mm, standard deviation {u:.3f}, "
                f"95 % from {low:.3f} to {high:.3f} mm"
            )
    if done.method == "length":
        click.echo("By one length: this holds only where the plane lies parallel to the picture.")
    if done.method == "coin":
        click.echo(
            "By a coin: what perspective changes between coin and thing is in the interval, not corrected."
        )
    click.echo(_LENS[done.lens])
    click.echo(f"Points are sure to {done.u_pick_px:.2f} px, {_PICKING[done.picking]}.")
    if done.fit is not None and len(done.fit.points_px) > 4:
        click.echo(f"Known points lie {done.fit.spread_px:.2f} px off the plane (root mean square).")
    if done.above is not None:
        way = "large" if done.above.share >= 0 else "small"
        click.echo(
            f"A thing {abs(done.above.above_mm):g} mm off the plane comes out too {way} by up to "
            f"{abs(done.above.share) * 100:.2g} %, which is in no interval."
        )
    _print_formats(done)
    click.echo(_NOT_TRIED)
    for words in _warnings(done):
        say(f"doublure: {words}")


def flattened_as_json(done: Flattened) -> dict[str, Any]:
    """Return a written piece as plain data."""
    return {
        "photo": str(done.photo),
        "file": str(done.output),
        "width_mm": done.lengths.values_mm[0],
        "height_mm": done.lengths.values_mm[1],
        "u_width_mm": done.lengths.u_mm[0],
        "u_height_mm": done.lengths.u_mm[1],
        "width_px": done.width_px,
        "height_px": done.height_px,
        "ppi": done.ppi,
        "present_ppi_least": done.present_ppi[0],
        "present_ppi_median": done.present_ppi[1],
        "outside_share": done.outside_share,
        "warnings": _flat_warnings(done),
    }


def print_flattened(done: Flattened) -> None:
    """Print what was written."""
    (width, height), (u_width, u_height) = done.lengths.values_mm, done.lengths.u_mm
    click.echo(f"{done.output}: {done.width_px} x {done.height_px} pixels at {done.ppi:.0f} ppi")
    click.echo(
        f"The thing is {width:.2f} x {height:.2f} mm, standard uncertainties {u_width:.2f} and {u_height:.2f} mm"
    )
    least, median = done.present_ppi
    click.echo(f"The picture has {median:.0f} pixels an inch of it, {least:.0f} where it has least")
    for words in _flat_warnings(done):
        say(f"doublure: {words}")


def _flat_warnings(done: Flattened) -> list[str]:
    least = done.present_ppi[0]
    found = []
    if done.ppi > least * 1.05:
        found.append(
            f"{done.ppi:.0f} ppi are asked for, and the picture has {least:.0f} where it has least: "
            "more pixels bring no more detail"
        )
    if least < _FEW_PPI:
        found.append(
            f"{least:.0f} pixels an inch are few to print from; fine lines will be soft at this size"
        )
    if done.outside_share > 0:
        found.append(f"{done.outside_share * 100:.1f} % of the piece lies outside the picture and is white")
    if not done.fits:
        found.append("the known points do not fit one plane; look at them, and pick them once more")
    return found


def _warnings(done: Measurement) -> list[str]:
    found = []
    fit = done.fit
    if fit is not None and fit.misfits:
        numbers = ", ".join(str(number + 1) for number in fit.misfits)
        found.append(f"known points {numbers} fit far worse than the others; look at how they were picked")
    elif fit is not None and not fit.fits:
        found.append(
            f"the known points lie {fit.spread_px:.2f} px off one plane, more than picking to "
            f"{fit.u_pick_px:.2f} px explains; they were picked wrong, or the thing is not flat"
        )
    if done.size_exact and done.lengths is not None:
        found.append(
            "the known size states no uncertainty and is taken for exact; write such as 89 ± 0.5 x 127 ± 0.5 mm"
        )
    if done.lengths is not None and done.sides_mm:
        for name, first, second, u in (
            ("head and foot", done.sides_mm[0], done.sides_mm[2], done.lengths.u_mm[0]),
            ("left and right", done.sides_mm[3], done.sides_mm[1], done.lengths.u_mm[1]),
        ):
            if abs(first - second) > 6 * u:
                found.append(
                    f"{name} differ by {abs(first - second):.2f} mm, more than the uncertainty explains; "
                    "is the thing a rectangle, flat, and in the plane?"
                )
    if done.lengths is not None and any(
        half > 0.2 * value for half, value in zip(done.lengths.half_mm, done.lengths.values_mm, strict=True)
    ):
        found.append(
            "the interval is wide; known things that are larger, or nearer to what is wanted, say more"
        )
    return found


def _lens_numbers(done: Measurement) -> dict[str, Any]:
    from_fit = done.fit.lens if done.fit is not None else done.edges.lens if done.edges is not None else None
    if from_fit is None or not hasattr(from_fit, "corner_shift"):
        return {}
    found: dict[str, Any] = {"corner_shift": from_fit.corner_shift}
    if done.edges is not None:
        found["u_corner_shift"] = done.edges.lens.u_corner_shift
        found["edges_residual_px"] = done.edges.spread_px
    return found


def _print_formats(done: Measurement) -> None:
    if done.formats:
        click.echo("Formats that fit:")
        print_table(
            ("format", "mm", "p"),
            [
                (one.format.name, f"{one.format.short_mm:.1f} x {one.format.long_mm:.1f}", f"{one.p:.2f}")
                for one in done.formats
            ],
            (False, True, True),
        )
    elif done.ratio_formats:
        click.echo("Formats of such a ratio:")
        print_table(
            ("format", "mm", "off"),
            [
                (known.name, f"{known.short_mm:.1f} x {known.long_mm:.1f}", f"{off:.1f} u")
                for known, off in done.ratio_formats
            ],
            (False, True, True),
        )
    elif len(done.names) == 2:
        click.echo("No known format fits.")


def _digits(u: float) -> int:
    """Return decimals so that an uncertainty shows two digits."""
    return max(0, min(6, 1 - math.floor(math.log10(u)))) if u > 0 else 3
