"""What all our PDF files share: true size, title, no dates, the same bytes for the same input.

In: a filled pikepdf.Pdf. Out: bytes. Never: the clock, names of persons or programs, what a page shows.
"""

from __future__ import annotations

import io
from typing import BinaryIO

import pikepdf
from pikepdf import Dictionary, Name, Pdf

from doublure.render.pdf.typefaces import pdf_text

#: Points in a millimetre (ISO 32000-1, 8.3.2.3: the unit of default user space is 1/72 in).
PT = 72 / 25.4


def number(value: float) -> str:
    """Return a number of a content stream: six decimals at most, never an exponent, never "-0"."""
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def numbers(*values: float) -> str:
    """Return several numbers with spaces between."""
    return " ".join(number(value) for value in values)


def new_pdf(title: str, duplex: str = "") -> Pdf:
    """Return an empty PDF that names itself in the window's title and asks to be printed at true size.

    Args:
        title: Shown by readers.
        duplex: "" to say nothing, "simplex", "long edge" or "short edge": how the print dialogue is to begin.
    """
    pdf = Pdf.new()
    wishes = Dictionary(DisplayDocTitle=True, PrintScaling=Name("/None"))
    if duplex:
        words = {
            "simplex": "/Simplex",
            "long edge": "/DuplexFlipLongEdge",
            "short edge": "/DuplexFlipShortEdge",
        }
        wishes.Duplex = Name(words[duplex])
    pdf.Root.ViewerPreferences = wishes
    pdf.docinfo["/Title"] = pdf_text(title)
    return pdf


def save_pdf(pdf: Pdf) -> bytes:
    """Return the finished file; the same objects give the same bytes."""
    out = io.BytesIO()
    save_pdf_to(pdf, out)
    return out.getvalue()


def save_pdf_to(pdf: Pdf, stream: BinaryIO) -> None:
    """Write the finished file to a stream."""
    pdf.save(
        stream,
        deterministic_id=True,
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
        compress_streams=True,
        stream_decode_level=pikepdf.StreamDecodeLevel.none,
        recompress_flate=False,
        min_version="1.7",
    )
