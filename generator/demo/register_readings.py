"""Invent the readings of register of the demo: five targets that one printer prints with one error of its own.

In: a folder (journal/ by default). Out: notes in register/, written as the program writes them.
Never: a real machine. The numbers are drawn with a seed, so that two runs give the same notes.
"""

from __future__ import annotations

import argparse
import math
from datetime import date
from pathlib import Path

import numpy as np

from doublure.model.notes import MarkOffset
from doublure.store.register_writer import RegisterDraft, compose_note
from doublure.trade.press.target import design_target

DAY = date(2026, 3, 23)
PRINTER, STOCK = "bench-laser", "text-wove"
SHEET_MM = (297.0, 210.0)
SHEETS = 5
SEED = 1912
#: The error that all sheets share: shift, turn, and how much larger the backs come out than the fronts, since the
#: paper has lost its water in the first pass.
SHIFT_MM = np.array([0.9, -0.6])
TURN_RAD = math.radians(0.12)
SCALE = 1.0012
#: From sheet to sheet: shift and turn; and what a reading against the light is good for.
SHEET_SHIFT_MM, SHEET_TURN_RAD = 0.15, math.radians(0.03)
READING_MM = 0.03
#: Where the fronts sit on their sheets.
SEAT_MM, SEAT_SPREAD_MM, SEAT_TURN_RAD = np.array([0.4, -0.7]), 0.22, math.radians(0.05)
FOLD_SPREAD_MM = 0.25


def invent(chance: np.random.Generator) -> RegisterDraft:
    """Return the readings of one sheet."""
    turn = TURN_RAD + chance.normal(0, SHEET_TURN_RAD)
    shift = SHIFT_MM + chance.normal(0, SHEET_SHIFT_MM, 2)
    turned = SCALE * np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    offsets = []
    for mark in design_target(*SHEET_MM).marks:
        at = np.array([mark.x_mm, mark.y_mm])
        right, down = turned @ at - at + shift + chance.normal(0, READING_MM, 2)
        offsets.append(MarkOffset(mark.name, float(right), float(down)))
    seat = SEAT_MM + chance.normal(0, SEAT_SPREAD_MM, 2)
    return RegisterDraft(
        day=DAY,
        printer=PRINTER,
        stock=STOCK,
        sheet=f"{SHEET_MM[0]:g} x {SHEET_MM[1]:g} mm",
        method="against the light",
        photo=None,
        offsets=tuple(offsets),
        u_mm=READING_MM,
        front_right_mm=round(float(seat[0]), 2),
        front_down_mm=round(float(seat[1]), 2),
        front_turn_rad=float(chance.normal(0, SEAT_TURN_RAD)),
        fold_right_mm=round(float(chance.normal(0, FOLD_SPREAD_MM)), 2),
    )


def main(arguments: list[str] | None = None) -> int:
    """Write the notes, over those of an earlier run."""
    parser = argparse.ArgumentParser(description="Invent the readings of register of the demo.")
    parser.add_argument("--out", type=Path, default=Path("journal"), help="folder that gets register/")
    chosen = parser.parse_args(arguments)
    folder = chosen.out / "register"
    folder.mkdir(parents=True, exist_ok=True)
    chance = np.random.default_rng(SEED)
    for number in range(1, SHEETS + 1):
        path = folder / f"{DAY.isoformat()}-{PRINTER}-{STOCK}-{number}.yml"
        path.write_text(compose_note(invent(chance)), encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
