"""What one page of a print file of plates is made from; apart, since pikepdf loads only where a file is written.

In: a plate and how it lies. Out: a frozen record. Never: PDF.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.trade.book.gatherings import Side
from doublure.trade.press.affine import IDENTITY, Affine
from doublure.trade.press.records import PressPlate, SheetLayout


@dataclass(frozen=True, slots=True)
class PdfPlate:
    """One page of a print file.

    Attributes:
        layout: What the plates of the book share.
        plate: What is on it.
        side: FRONT, or BACK as seen from the back.
        correction: What everything on the page is moved by, in register coordinates: mm from the middle of the
            sheet, y down, seen from the front.
        turned: True where the page is turned half round in the file, after the correction.
        label: What is printed beside the pages, within the layout's place for it.
        page_label: What readers call the page.
    """

    layout: SheetLayout
    plate: PressPlate
    side: Side
    correction: Affine = IDENTITY
    turned: bool = False
    label: str = ""
    page_label: str = ""
