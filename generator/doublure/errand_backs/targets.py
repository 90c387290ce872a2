"""A register target to print.

In: a sheet, which edge it is turned about, a file. Out: the PDF, MadeTarget. Never: laying out, drawing.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from doublure.errand_backs.typed import read_sheet
from doublure.trade.press.target import Target, design_target

LONG_EDGE, SHORT_EDGE = "long edge", "short edge"


@dataclass(frozen=True, slots=True)
class MadeTarget:
    """A target that was written.

    Attributes:
        path: The file.
        target: What it shows.
        turn: Edge about which the sheet is to be turned for its back.
        back_turned: True where the back's page is turned half round for that.
    """

    path: Path
    target: Target
    turn: str
    back_turned: bool


def make_target(sheet: str, turn: str, path: Path) -> MadeTarget:
    """Write a target of two pages, front and back.

    Args:
        sheet: Size of the sheet as it lies with its head up, such as "A4 landscape" or "210 x 297 mm".
        turn: LONG_EDGE or SHORT_EDGE; "" for the one that leaves the back's page upright.
        path: File to write.

    Raises:
        UsageError: The size is none, or the file cannot be written.
        DomainError: The sheet is too small.
    """
    from doublure.render.bench.target_sheet import target_scenes
    from doublure.render.pdf.scene import render_scenes
    from doublure.store.register_writer import write_target

    width, height = read_sheet(sheet)
    target = design_target(width, height)
    # Turned about its upright edges the head stays up.
    upright = LONG_EDGE if height >= width else SHORT_EDGE
    turned = bool(turn) and turn != upright
    title = f"{width:g} × {height:g} mm"
    if sheet.strip()[:1].isalpha():
        title = f"{sheet.strip()}, {title}"
    front, back = target_scenes(target, title, turned)
    write_target(path, render_scenes((front, back), title=f"Register target, {title}"))
    return MadeTarget(path, target, turn or upright, turned)
