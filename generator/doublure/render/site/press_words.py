"""Words of the press: how far and which way, foldings, sheets of a stack, what is lacking.

In: numbers and codes. Out: words for the maker. Never: computing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from doublure.model.artwork import ArtworkFault, artwork_name
from doublure.quantities.numbers import NARROW_SPACE as NS
from doublure.trade.press.records import Folding, PressPlace, PressPlan
from doublure.trade.press.register.records import MapParts
from doublure.workings.press_records import ArtworkFinding

METHOD = "handbook/methods/press.md"
METHOD_REGISTER = "handbook/methods/register.md"

UNTRIED = "Not yet tried on paper."
#: Below this, mm, two places are the same to anybody with a lens.
_SAME_MM = 0.005

LACKING_WORDS = {
    "book": "the page sequence and the gatherings (sequence: and gatherings: in journal/book.yml)",
    "leaf": "the size of the leaf (leaf: in journal/book.yml)",
    "stock": "the stock of the leaves (stock: in journal/book.yml)",
    "sheet": "the size of the sheet that is fed (press: sheet: in journal/book.yml, or sheet: in the note of the stock)",
}

FOLDING_WORDS = {
    Folding.FOLIO: "folded once",
    Folding.QUARTO: "folded twice",
    Folding.OCTAVO: "folded three times",
}

FAULT_WORDS = {
    "missing": "is not there",
    "outside": "lies outside the journal",
    "unreadable": "cannot be read",
    "empty": "is empty",
    "torn": "is torn: it ends too early",
    "not a picture": "is no picture and no PDF",
    "too large": "is too large to open",
    "cmyk": "is in four printing colours, which the plates do not take",
    "16 bit": "has more than 8 bits a colour, which the plates do not take",
    "encrypted": "is locked by a password",
    "no page": "has no page",
    "animated": "has several pictures in one file",
    "several": "has several pages or pictures in one file",
    "svg": "is an SVG; save it as PDF",
}


def fine_mm(value: float, u: float | None = None, *, inches: bool = False) -> str:
    """Return a length to a hundredth of a millimetre, its uncertainty beside it.

    Args:
        value: mm.
        u: Standard uncertainty, mm; None for none. What is less than can be shown is never shown as nothing.
        inches: True for a replica in inches: these go first, to a thousandth.

    Examples:
        >>> fine_mm(0.624), fine_mm(-0.31, 0.05)
        ('0.62\u202fmm', '−0.31\u202f±\u202f0.05\u202fmm')
        >>> fine_mm(0.508, inches=True)
        '0.020\u202fin (0.51\u202fmm)'
    """
    words = _with_u(value, u, 2, f"{NS}mm")
    if not inches:
        return words
    return f"{_with_u(value / 25.4, None if u is None else u / 25.4, 3, f'{NS}in')} ({words})"


def say_spread(value_mm: float, *, inches: bool = False) -> str:
    """Return a standard deviation; one that is less than can be shown is not shown as nothing.

    Examples:
        >>> say_spread(0.04), say_spread(0.002)
        ('0.04\u202fmm', 'less than 0.01\u202fmm')
    """
    if value_mm >= _SAME_MM:
        return fine_mm(value_mm, inches=inches)
    return f"less than {fine_mm(0.01)}"


def _with_u(value: float, u: float | None, decimals: int, unit: str) -> str:
    shown = f"{value:.{decimals}f}"
    shown = f"{0:.{decimals}f}" if not float(shown) else shown.replace("-", "−")
    return f"{shown}{unit}" if u is None else f"{shown}{NS}±{NS}{_say_u(u, decimals)}{unit}"


def _say_u(u: float, decimals: int) -> str:
    """Return an uncertainty; in words where it is less than its last place shows."""
    least = 10.0**-decimals
    return f"{u:.{decimals}f}" if u >= least / 2 else f"less than {least:.{decimals}f}"


def way_words(dx_mm: float, dy_mm: float, *, inches: bool = False) -> str:
    """Return a shift as a person would show it: how far right or left, how far down or up.

    Examples:
        >>> way_words(0.62, -0.31), way_words(0.0, 0.0)
        ('0.62\u202fmm to the right and 0.31\u202fmm up', 'nowhere')
    """
    parts = []
    if abs(dx_mm) >= _SAME_MM:
        parts.append(f"{fine_mm(abs(dx_mm), inches=inches)} to the {'right' if dx_mm > 0 else 'left'}")
    if abs(dy_mm) >= _SAME_MM:
        parts.append(f"{fine_mm(abs(dy_mm), inches=inches)} {'down' if dy_mm > 0 else 'up'}")
    return " and ".join(parts) or "nowhere"


def angle_words(angle_rad: float, u_rad: float | None = None) -> str:
    """Return how large an angle is, in degrees, whichever way it goes.

    Examples:
        >>> angle_words(-0.0014), angle_words(0.0)
        ('0.080°', 'less than 0.001°')
    """
    degrees = abs(math.degrees(angle_rad))
    if u_rad is None:
        return f"{degrees:.3f}°" if degrees >= 0.0005 else "less than 0.001°"
    return _with_u(degrees, math.degrees(u_rad), 3, "°")


def turn_words(angle_rad: float, u_rad: float | None = None) -> str:
    """Return a turn in degrees, as seen from the front.

    Examples:
        >>> turn_words(0.0014)
        '0.080° clockwise'
    """
    if abs(math.degrees(angle_rad)) < 0.0005:
        return "not turned" if u_rad is None else f"none, {angle_words(0.0, u_rad)}"
    return f"{angle_words(angle_rad, u_rad)} {'clockwise' if angle_rad > 0 else 'anticlockwise'}"


def scale_words(factor: float, u: float | None = None) -> str:
    """Return a scale as per cent too large or too small.

    Examples:
        >>> scale_words(1.0008), scale_words(0.9988, 0.0003)
        ('0.080\u202f% larger', '0.120\u202f±\u202f0.030\u202f% smaller')
    """
    percent = (factor - 1.0) * 100
    if abs(percent) < 0.0005:
        return "true to size" if u is None else f"true to size, {_with_u(0.0, u * 100, 3, f'{NS}%')}"
    shown = _with_u(abs(percent), None if u is None else u * 100, 3, f"{NS}%")
    return f"{shown} {'larger' if percent > 0 else 'smaller'}"


def _shift_words(value_mm: float, u_mm: float, ways: tuple[str, str], inches: bool) -> str:
    if abs(value_mm) < _SAME_MM:
        return f"none, {fine_mm(0.0, u_mm, inches=inches)}"
    return f"{fine_mm(abs(value_mm), u_mm, inches=inches)} {ways[value_mm < 0]}"


def parts_rows(
    parts: MapParts, u: MapParts, shear_carried: bool, *, inches: bool = False
) -> list[tuple[str, str]]:
    """Return a register map as label and value."""
    rows = [
        (
            "Shift across",
            _shift_words(parts.shift_x_mm, u.shift_x_mm, ("to the right", "to the left"), inches),
        ),
        ("Shift along", _shift_words(parts.shift_y_mm, u.shift_y_mm, ("down", "up"), inches)),
        ("Rotation", turn_words(parts.rotation_rad, u.rotation_rad)),
        ("Scale across", scale_words(parts.scale_x, u.scale_x)),
        ("Scale along", scale_words(parts.scale_y, u.scale_y)),
    ]
    if shear_carried:
        # The shear is the turn of the way down less that of the way across, clockwise: more than nothing opens
        # the right angle at the upper left corner.
        wider = "wide" if parts.shear_rad > 0 else "narrow"
        rows.append(("Right angle", f"{angle_words(parts.shear_rad, u.shear_rad)} too {wider}, upper left"))
    return rows


def sheet_words(sheets: Sequence[tuple[int, int]]) -> str:
    """Return the folded sheets that a stack gives in each copy, gathering and sheet.

    Examples:
        >>> sheet_words(((1, 2),)), sheet_words(((1, 2), (3, 2)))
        ('gathering 1, sheet 2', 'gathering 1, sheet 2; gathering 3, sheet 2')
    """
    return "; ".join(f"gathering {gathering}, sheet {sheet}" for gathering, sheet in sheets)


def short_sheets(sheets: Sequence[tuple[int, int]], most: int = 12) -> str:
    """Return the same in short, "1.2, 3.2", cut off after so many."""
    words = ", ".join(f"{gathering}.{sheet}" for gathering, sheet in sheets[:most])
    return words + (f" and {len(sheets) - most} more" if len(sheets) > most else "")


def place_words(place: PressPlace) -> str:
    """Return a place of a plate in short: gathering, sheet and side."""
    return f"{place.gathering}.{place.sheet} {place.side.value}"


def per_copy_words(per_copy: float) -> str:
    """Return the printed sheets that one copy takes; a fraction where a sheet serves several copies.

    Examples:
        >>> per_copy_words(1.0), per_copy_words(6.0), per_copy_words(0.5)
        ('1 sheet in each copy', '6 sheets in each copy', '1 sheet for 2 copies')
    """
    if per_copy >= 1 or per_copy <= 0:
        shown = f"{per_copy:g}"
        return f"{shown} {'sheet' if per_copy == 1 else 'sheets'} in each copy"
    return f"1 sheet for {1 / per_copy:g} copies"


#: What a finding is about, and the unit of its numbers.
FINDING_KINDS = {
    "resolution": ("resolution", "pixels an inch"),
    "bleed": ("bleed", "mm"),
    "creep": ("creep", "mm"),
    "reach": ("reach of the printer", "mm"),
    "size": ("proportions", "width to height"),
    "unusable": ("file", ""),
}


def finding_words(finding: ArtworkFinding) -> str:
    """Return what a finding about artwork means for the print."""
    match finding.kind:
        case "resolution":
            return "its strokes will show steps: scan or draw it finer"
        case "bleed":
            return "ink runs to the trim, and a cut a little outside leaves a white edge"
        case "creep":
            return "ink lies where the creep moves it across the fold or the trim"
        case "reach":
            return "ink lies where the printer leaves the sheet bare"
        case "size":
            return "it fills the page only in one direction"
    return "its file cannot be used"


def fault_words(fault: ArtworkFault, title: str) -> str:
    """Return why a master cannot be printed, as a sentence."""
    detail = f" ({fault.detail})" if fault.detail else ""
    return f"{title}: {artwork_name(fault.file)} {FAULT_WORDS.get(fault.reason, 'cannot be used')}{detail}."


def folding_words(plan: PressPlan) -> str:
    """Return how a sheet is folded, with what it is cut into before."""
    layout = plan.layout
    words = f"{layout.folding.value}, {FOLDING_WORDS[layout.folding]}"
    return f"cut into {layout.pairs}, then {words}" if layout.pairs > 1 else words
