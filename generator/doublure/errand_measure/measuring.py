"""Sizes from one photograph: its points, what is known in it, what is wanted, the formats that fit.

In: a picture, Asked. Out: Measurement. Never: formulas, printing, writing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from doublure.errand_measure.asking import Asked, Point
from doublure.errand_measure.known_sizes import KnownSize, parsed, read_known_length, read_known_size
from doublure.errors import UsageError
from doublure.measured import Measured
from doublure.quantities import parse_length, parse_share
from doublure.trade.imaging import plane_fit, plane_lengths, plane_ratio, plane_scale
from doublure.trade.imaging.plane_draws import draw_measurements
from doublure.trade.imaging.plane_edges import EdgeFit, fit_edges
from doublure.trade.imaging.plane_fit import ENOUGH_FREEDOM, KnownPoints, PlaneFit, Points, points_of
from doublure.trade.imaging.plane_lengths import Lengths
from doublure.trade.imaging.plane_lens import AnyLens, BrownLens, unknown_lens
from doublure.trade.imaging.plane_propagation import Drawn
from doublure.trade.imaging.plane_ratio import SideRatio
from doublure.trade.paper.formats import FormatMatch, KnownFormat, match_formats

MOST_FORMATS = 8
#: Ratio of sides that still counts for a format, in standard uncertainties of the difference.
_RATIO_FITS = 2.0


@dataclass(frozen=True, slots=True)
class Photo:
    """A photograph as far as measuring asks: its name, its size, its focal length where its file states it."""

    path: Path
    width_px: int
    height_px: int
    focal_px: float | None


@dataclass(frozen=True, slots=True)
class Above:
    """A thing that lies above the known plane: how far, and by what share sizes are too large at the most."""

    above_mm: float
    share: float
    camera_mm: float


@dataclass(frozen=True, slots=True)
class Measurement:
    """What a photograph says of the size of a thing.

    Attributes:
        photo: The photograph.
        method: "corners", "pattern", "length", "coin" or "ratio": what was known.
        lens: "published", "edges", "pattern", "unknown", "uncorrected" or "scan": what is known of the lens.
        names: "width", "height" or "length", in the order of lengths.
        lengths: None for the ratio of sides alone.
        sides_mm: Head, right, foot, left of the wanted figure; () for a length.
        ratio: Where nothing but the ratio can be had.
        known: The known size with its note; None for coins, patterns, lengths and ratios.
        u_pick_px: Standard uncertainty of a pick.
        picking: "stated", "from the points" or "assumed".
        fit: The plane; None without one.
        edges: What straight edges said; None without any.
        above: The bias of a thing above the plane; None where not said.
        formats: Known formats that fit, best first; by size, or by the ratio of sides.
        ratio_formats: The same for a ratio: formats with how many standard uncertainties they lie off.
        drawn: The check by drawing lots; None where not asked for.
        size_exact: True where the known size states no uncertainty.
    """

    photo: Photo
    method: str
    lens: str
    names: tuple[str, ...]
    lengths: Lengths | None
    sides_mm: tuple[float, ...]
    ratio: SideRatio | None
    known: KnownSize | None
    u_pick_px: float
    picking: str
    fit: PlaneFit | None
    edges: EdgeFit | None
    above: Above | None
    formats: tuple[FormatMatch, ...]
    ratio_formats: tuple[tuple[KnownFormat, float], ...]
    drawn: Drawn | None
    size_exact: bool


@dataclass(frozen=True, slots=True)
class _Plane:
    """A fitted plane, the fit that knows the lens where it was left uncorrected, and what it was made of."""

    fit: PlaneFit
    reference: PlaneFit | None
    known: KnownPoints
    lens: AnyLens
    with_lens: bool


def open_photo(path: Path) -> Photo:
    """Return size and focal length of a photograph.

    Raises:
        UsageError: It cannot be read; the message begins with its path.
    """
    from doublure.store.flat_pixels import read_size

    try:
        return Photo(path, *read_size(path))
    except UsageError as error:
        raise UsageError(f"{path}: {error}") from error


def measure_photo(
    path: Path, asked: Asked, start: Path, draws: int | None = None, seed: int = 1
) -> Measurement:
    """Measure.

    Args:
        path: The photograph.
        asked: What is known and wanted.
        start: The folder one stands in, for names of the notes.
        draws: How many lots to draw for a check; None for no check.
        seed: Of the lots.

    Raises:
        UsageError: Something asked cannot be used.
        DomainError: The points give no size.
        JournalRejected: A size of the notes is asked for, and the notes cannot be used.
    """
    photo = open_photo(path)
    check_inside(photo, asked)
    wanted = check_wanted(asked.wanted_at)
    lens, lens_word, edges = find_lens(photo, asked)
    stated = asked.picking_px
    assumed_px = stated if stated is not None else plane_fit.USUAL_PICK_PX
    corners = len(asked.wanted_at) == 4
    formula = plane_lengths.width_and_height if corners else plane_lengths.distance
    names = ("width", "height") if corners else ("length",)
    base = Measurement(
        photo, "", lens_word, names, None, (), None, None, assumed_px,
        "stated" if stated is not None else "assumed", None, edges, None, (), (), None, False,
    )  # fmt: skip
    if not asked.known and not asked.coin and not asked.pattern:
        return _measure_ratio(base, wanted, lens, corners)
    if asked.pattern or (asked.known and len(asked.known_at) == 4):
        plane, known, exact = find_plane(photo, asked, start, lens)
        lengths = plane_lengths.measure_lengths(plane.fit, wanted, formula, plane.reference)
        sides = plane_lengths.sides_of(plane.fit.to_mm(wanted)) if corners else ()
        source = plane.reference or plane.fit
        done = replace(
            base,
            method="pattern" if asked.pattern else "corners",
            lens=_lens_word(lens_word, plane, asked),
            lengths=lengths,
            sides_mm=tuple(float(side) for side in sides),
            known=known,
            u_pick_px=source.u_pick_px,
            picking="stated"
            if stated is not None
            else "assumed"
            if math.isinf(source.freedom)
            else "from the points",
            fit=plane.fit,
            above=_above(photo, asked, plane.fit),
            size_exact=exact,
        )
        if draws is not None:
            drawn = draw_measurements(
                plane.known, plane.lens, source.u_pick_px, wanted, formula, draws, seed, plane.with_lens
            )
            done = replace(done, drawn=drawn)
    else:
        if asked.above:
            raise UsageError("above: how far the camera was cannot be told without four corners or a pattern")
        if draws is not None:
            raise UsageError("draws: lots are drawn where four corners or a pattern are known")
        done = _measure_scale(base, asked, photo, wanted, lens)
    return _with_formats(done)


def find_lens(photo: Photo, asked: Asked) -> tuple[AnyLens, str, EdgeFit | None]:
    """Return the lens, a word for where it comes from, and what straight edges said."""
    if asked.lens is not None:
        given = asked.lens
        return (
            BrownLens(given.focal_px, given.centre_px, (given.k1, given.k2, given.k3), (given.p1, given.p2)),
            "published",
            None,
        )
    if asked.scan:
        if asked.edges:
            raise UsageError("edges: a flat scan has no lens whose bend edges could show")
        return unknown_lens(photo.width_px, photo.height_px, 0.0), "scan", None
    lens = (
        unknown_lens(photo.width_px, photo.height_px)
        if asked.lens_doubt is None
        else unknown_lens(photo.width_px, photo.height_px, asked.lens_doubt)
    )
    if not asked.edges or not asked.correct:
        return lens, "unknown" if asked.correct else "uncorrected", None
    edges = fit_edges([points_of(edge) for edge in asked.edges], lens, asked.picking_px)
    return edges.lens, "edges", edges


def find_plane(
    photo: Photo, asked: Asked, start: Path, lens: AnyLens
) -> tuple[_Plane, KnownSize | None, bool]:
    """Return the plane, the known size, and whether that was given as exact.

    Raises:
        UsageError: What is known cannot be used.
        DomainError: The points carry no plane.
    """
    known_size: KnownSize | None = None
    if asked.pattern:
        if asked.known or asked.known_at or asked.coin:
            raise UsageError("pattern: name either a pattern or another thing of known size, not both")
        doubt = (
            float(parsed("pattern_doubt", asked.pattern_doubt, parse_share)) if asked.pattern_doubt else 0.0
        )
        known = KnownPoints(
            points_of([row[:2] for row in asked.pattern]),
            points_of([row[2:] for row in asked.pattern]),
            (doubt, doubt),
            1.0,
        )
    else:
        known_size = read_known_size(asked.known, start)
        check_turn(asked.known_at, "known_at")
        width, height = known_size.width, known_size.height
        places = points_of([(0, 0), (width.value, 0), (width.value, height.value), (0, height.value)])
        u = tuple((side.u or 0.0) / side.value for side in (width, height))
        known = KnownPoints(places, points_of(asked.known_at), (u[0], u[1]))
    exact = known.u_relative == (0.0, 0.0)
    spare = 2 * len(known.points_px) - 8 >= ENOUGH_FREEDOM + 4
    doubted = bool(lens.covariance_of_numbers.any())
    shown = spare and doubted and not asked.edges
    if shown and not asked.correct:
        fit = plane_fit.fit_plane(known, lens, asked.picking_px)
        reference = plane_fit.fit_plane(known, lens, asked.picking_px, with_lens=True)
        return _Plane(fit, reference, known, lens, True), known_size, exact
    fit = plane_fit.fit_plane(known, lens, asked.picking_px, with_lens=shown)
    return _Plane(fit, None, known, lens, shown), known_size, exact


def check_wanted(points: Sequence[Point]) -> Points:
    """Return the wanted points.

    Raises:
        UsageError: They are neither four corners in turn nor two ends.
    """
    if len(points) not in (2, 4):
        raise UsageError(
            f"wanted: four corners in turn, or two ends of a length, are wanted; here are {len(points)} points"
        )
    if len(points) == 4:
        check_turn(points, "wanted")
    elif math.dist(points[0], points[1]) < 2:
        raise UsageError("wanted: the two ends lie on one spot")
    return points_of(points)


def check_turn(points: Sequence[Point], name: str) -> None:
    """Refuse four corners that are not in turn: head left, head right, foot right, foot left."""
    turns = []
    for number in range(4):
        (ax, ay), (bx, by), (cx, cy) = (points[(number + step) % 4] for step in range(3))
        turns.append((bx - ax) * (cy - by) - (by - ay) * (cx - bx))
    if not (all(turn > 0 for turn in turns) or all(turn < 0 for turn in turns)):
        raise UsageError(
            f"{name}: the corners are not in turn; go round: head left, head right, foot right, foot left"
        )


def check_inside(photo: Photo, asked: Asked) -> None:
    """Refuse points that lie far outside the picture: they were picked in another one, or in another size of it."""
    pattern = tuple((row[2], row[3]) for row in asked.pattern)
    for name, points in (
        ("known", asked.known_at), ("pattern", pattern), ("wanted", asked.wanted_at),
        *(("edges", edge) for edge in asked.edges),
    ):  # fmt: skip
        for x, y in points:
            if not (-0.05 * photo.width_px <= x <= 1.05 * photo.width_px) or not (
                -0.05 * photo.height_px <= y <= 1.05 * photo.height_px
            ):
                raise UsageError(
                    f"{name}: {x:g},{y:g} lies outside the picture, which has {photo.width_px} x "
                    f"{photo.height_px} pixels when it stands upright"
                )


def _measure_ratio(base: Measurement, wanted: Points, lens: AnyLens, corners: bool) -> Measurement:
    if not corners:
        raise UsageError(
            "nothing of known size is named; with four corners wanted, the ratio of sides can be told"
        )
    photo = base.photo
    ratio = plane_ratio.measure_ratio(
        wanted, photo.width_px, photo.height_px, lens, base.u_pick_px, photo.focal_px
    )
    return replace(base, method="ratio", ratio=ratio, ratio_formats=_formats_by_ratio(ratio))


def _measure_scale(
    base: Measurement, asked: Asked, photo: Photo, wanted: Points, lens: AnyLens
) -> Measurement:
    formula = plane_lengths.width_and_height if len(base.names) == 2 else plane_lengths.distance
    points = points_of(asked.known_at)
    if asked.coin:
        if asked.known:
            raise UsageError("coin: name either a coin or another thing of known size, not both")
        size = read_known_length(asked.coin, "coin")
        focal = plane_ratio.shortest_focal(photo.width_px, photo.height_px, photo.focal_px)
        lengths = plane_scale.measure_by_coin(
            points, size.value, size.u or 0.0, wanted, formula, lens, base.u_pick_px, focal
        )
    else:
        if len(points) != 2:
            raise UsageError(
                f"known: four corners of a size, or two ends of a length, are wanted; here are {len(points)} points"
            )
        size = read_known_length(asked.known)
        lengths = plane_scale.measure_by_length(
            points, size.value, size.u or 0.0, wanted, formula, lens, base.u_pick_px
        )
    return replace(
        base, method="coin" if asked.coin else "length", lengths=lengths, size_exact=size.u is None
    )


def _lens_word(word: str, plane: _Plane, asked: Asked) -> str:
    if word != "unknown" or not plane.with_lens:
        return word
    return "pattern"


def _above(photo: Photo, asked: Asked, fit: PlaneFit) -> Above | None:
    if not asked.above:
        return None
    height = parsed("above", asked.above, lambda words: parse_length(words, positive=False)).value
    share, camera_mm = plane_ratio.bound_bias(
        fit.homography, photo.width_px, photo.height_px, height, photo.focal_px
    )
    return Above(height, share, camera_mm)


def _with_formats(done: Measurement) -> Measurement:
    from doublure.pipeline import read_reference

    if done.lengths is None or len(done.names) != 2:
        return done
    sides = [Measured(value, u) for value, u in zip(done.lengths.values_mm, done.lengths.u_mm, strict=True)]
    found = match_formats(sides[0], sides[1], read_reference().formats, most=MOST_FORMATS)
    return replace(done, formats=found)


def _formats_by_ratio(ratio: SideRatio) -> tuple[tuple[KnownFormat, float], ...]:
    """Return known formats whose ratio of sides fits, nearest first, whichever way round."""
    from doublure.pipeline import read_reference
    from doublure.trade.paper.formats import CUTTING_TOLERANCE_MM, UNSTATED_TOLERANCE_MM

    seen = max(ratio.ratio, 1 / ratio.ratio)
    u_seen = ratio.u / ratio.ratio * seen
    found = []
    for known in read_reference().formats:
        goal = known.long_mm / known.short_mm
        short, long = known.tolerance_mm or (UNSTATED_TOLERANCE_MM,) * 2
        cut = CUTTING_TOLERANCE_MM**2
        share2 = (short**2 + cut) / 3 / known.short_mm**2 + (long**2 + cut) / 3 / known.long_mm**2
        off = abs(seen - goal) / math.sqrt(u_seen**2 + share2 * goal**2)
        if off <= _RATIO_FITS:
            found.append((off, known.id, known))
    return tuple((known, off) for off, _, known in sorted(found, key=lambda one: one[:2])[:MOST_FORMATS])
