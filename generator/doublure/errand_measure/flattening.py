"""The flat piece out of a photograph, written at true scale.

In: a picture, Asked, a resolution, a file. Out: the file, Flattened. Never: formulas, printing.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from doublure.errand_measure.asking import Asked
from doublure.errand_measure.known_sizes import parsed
from doublure.errand_measure.measuring import check_inside, check_wanted, find_lens, find_plane, open_photo
from doublure.errors import UsageError
from doublure.quantities import parse_length, parse_resolution
from doublure.trade.imaging.plane_flat import FlatPiece, flatten, frame_of, resolution
from doublure.trade.imaging.plane_lengths import Lengths, measure_lengths, width_and_height

#: A piece asked for without a resolution has what the picture has, but no more than this.
_MOST_USUAL_PPI = 1200.0


@dataclass(frozen=True, slots=True)
class Flattened:
    """A written piece.

    Attributes:
        photo, output: The picture and the piece.
        lengths: Width and height of the thing wanted.
        width_px, height_px: Size of the piece.
        ppi: Its resolution.
        present_ppi: What the picture has of it: least, median.
        outside_share: Share of it that is not in the picture.
        fits: False where the known points do not fit one plane.
    """

    photo: Path
    output: Path
    lengths: Lengths
    width_px: int
    height_px: int
    ppi: float
    present_ppi: tuple[float, float]
    outside_share: float
    fits: bool


def flatten_photo(
    path: Path, asked: Asked, start: Path, output: Path, ppi: str | None, margin: str | None, replace: bool
) -> Flattened:
    """Flatten the piece between four corners and write it.

    Args:
        path: The photograph.
        asked: What is known and wanted.
        start: The folder one stands in, for names of the notes.
        output: File to write.
        ppi: Resolution, text; None for what the picture has.
        margin: What to keep around the piece, text; None for nothing.
        replace: True to write over an earlier piece.

    Raises:
        UsageError: Something asked cannot be used; nothing was written.
        DomainError: The points give no piece; nothing was written.
    """
    from doublure.store.flat_pixels import check_output, read_colour, write_piece

    check_output(output, path, replace)
    if len(asked.wanted_at) != 4:
        raise UsageError("wanted: a piece takes four corners in turn")
    if not asked.pattern and len(asked.known_at) != 4:
        raise UsageError("known: a piece at true scale takes four corners of a known size, or a pattern")
    photo = open_photo(path)
    check_inside(photo, asked)
    wanted = check_wanted(asked.wanted_at)
    lens, _, _ = find_lens(photo, asked)
    plane, _, _ = find_plane(photo, asked, start, lens)
    lengths = measure_lengths(plane.fit, wanted, width_and_height, plane.reference)
    margin_mm = (
        0.0
        if margin is None
        else parsed("margin", margin, lambda text: parse_length(text, positive=False)).value
    )
    frame = frame_of(plane.fit.to_mm(wanted), margin_mm)
    asked_ppi = min(_MOST_USUAL_PPI, resolution(plane.fit, frame)[1]) if ppi is None else _read_ppi(ppi)
    try:
        pixels = read_colour(path)
    except UsageError as error:
        raise UsageError(f"{path}: {error}") from error
    if pixels.shape[:2] != (photo.height_px, photo.width_px):
        raise UsageError(
            f"{path}: has too many pixels to be flattened; make it smaller, and pick its points again"
        )
    piece: FlatPiece = flatten(pixels, plane.fit, frame, asked_ppi)
    write_piece(output, piece.pixels, piece.ppi)
    return Flattened(
        path, output, lengths, piece.pixels.shape[1], piece.pixels.shape[0], piece.ppi, piece.present_ppi,
        piece.outside_share, plane.fit.fits,
    )  # fmt: skip


def _read_ppi(text: str) -> float:
    plain = text.strip()
    words = f"{plain} ppi" if plain.replace(".", "", 1).isdigit() else plain
    value = parsed("ppi", words, parse_resolution).value
    if not 10 <= value <= 4800:
        raise UsageError("ppi: 10 to 4800 pixels an inch are written")
    return value
