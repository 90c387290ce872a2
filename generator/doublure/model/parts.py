"""Parts that several kinds of note share.

In: values decoded by notes/. Out: frozen records. Never: computing.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from doublure.measured import Measured


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture file of the journal.

    Attributes:
        file: Path relative to the journal folder, forward slashes.
        caption: What it shows, in the maker's words; "" where not said.
        credit: Whom to name beside it; "" where nobody.
    """

    file: str
    caption: str = ""
    credit: str = ""


@dataclass(frozen=True, slots=True)
class SizeMm:
    """Width and height as one sees the thing the right way up, mm."""

    width_mm: Measured
    height_mm: Measured


@dataclass(frozen=True, slots=True)
class Spares:
    """The maker's rule for spares: a fixed count, or a share of what is wanted (0.5 is half again).

    Exactly one of the two is given.
    """

    count: int | None = None
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Pack:
    """What a stock is sold in: so many sheets, or so many metres, or single pieces; one is given."""

    sheets: int | None = None
    metres: Decimal | None = None
    pieces: int | None = None


@dataclass(frozen=True, slots=True)
class Rights:
    """Whose a source is and what may be done with its picture.

    Attributes:
        holder: Whose it is.
        credit: How to name them.
        publish: "yes", "ask" or "no"; the picture is published only for "yes". None where not said:
            then the picture is published, and asking is an open question.
    """

    holder: str = ""
    credit: str = ""
    publish: str | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """An open question in the maker's words, with the attributes that an answer would settle."""

    text: str
    about: tuple[str, ...] = ()
