"""Records of artwork files as the press needs them: what they are, and their pixels as PDF takes them.

In: values found by store/. Out: frozen records. Never: reading files, PDF syntax.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePosixPath


@dataclass(frozen=True, slots=True)
class ArtworkFact:
    """What was found of an artwork file that can be printed.

    Attributes:
        file: Path relative to the journal.
        sha256: Of its bytes.
        kind: "bilevel", "grey", "colour" or "vector" (a PDF page).
        width_px, height_px: Pixels; 0 for a PDF.
        width_mm, height_mm: Trim size of a PDF page (its TrimBox, else its CropBox); 0 for a picture.
        bleed_mm: Bleed of a PDF page beyond its trim: left, top, right, bottom; all 0 for a picture.
        ink: Box of everything that is not white, as shares of width and height from the upper left corner
            (left, top, right, bottom), bleed of the file included; None for an empty page and for a PDF.
        edge_ink: Share of each edge of the file (left, top, right, bottom) along which there is ink; zeros for
            a PDF.
    """

    file: str
    sha256: str
    kind: str
    width_px: int
    height_px: int
    width_mm: float = 0.0
    height_mm: float = 0.0
    bleed_mm: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    ink: tuple[float, float, float, float] | None = None
    edge_ink: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class ArtworkFault:
    """Why an artwork file cannot be printed.

    Attributes:
        file: Path relative to the journal.
        reason: "missing", "outside", "unreadable", "empty", "torn", "not a picture", "too large", "cmyk", "16 bit",
            "encrypted", "no page", "several", "animated" or "svg".
        detail: What more is known.
    """

    file: str
    reason: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class ArtworkStream:
    """The pixels of a picture as a PDF image stream, or a PDF page on its own.

    Attributes:
        sha256: Of the artwork file.
        kind: As ArtworkFact.kind.
        width_px, height_px: Pixels; 0 for "vector".
        filter: "CCITTFaxDecode", "FlateDecode" or "DCTDecode"; "" for "vector".
        bits: Bits a component.
        components: 1 or 3.
        black_is_1: For "CCITTFaxDecode".
        predictor_columns: For "FlateDecode" with PNG predictors: the width; 0 for none.
        data: The stream, or the bytes of a PDF of one page for "vector".
    """

    sha256: str
    kind: str
    width_px: int
    height_px: int
    filter: str
    bits: int
    components: int
    black_is_1: bool
    predictor_columns: int
    data: bytes


def artwork_name(file: str) -> str:
    """Return the name of an artwork file without its folder, for messages.

    Examples:
        >>> artwork_name("artwork/masters/title.png")
        'title.png'
    """
    return PurePosixPath(file).name
