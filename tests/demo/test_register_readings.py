"""The readings of register of the demo: those that its script invents, on the marks of the program's own target."""

from __future__ import annotations

import math
import subprocess
import sys
from pathlib import Path
from statistics import mean, stdev

import pytest

from doublure.model.notes import RegisterNote
from doublure.model.source import SourceText
from doublure.notes.decode import decode_note
from doublure.trade.press.target import design_target

ROOT = Path(__file__).parents[2]
SCRIPT = ROOT / "generator" / "demo" / "register_readings.py"
NOTES = sorted((ROOT / "journal" / "register").glob("*.yml"))


def read(path: Path) -> RegisterNote:
    """Decode one note, in which nothing may be wrong."""
    decoded = decode_note(SourceText(path.name, path.name, path.read_text("utf-8")), "register", path.stem)
    assert decoded.problems == ()
    assert isinstance(decoded.note, RegisterNote)
    return decoded.note


def test_the_notes_are_what_the_script_writes(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, str(SCRIPT), "--out", str(tmp_path)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    written = sorted((tmp_path / "register").iterdir())
    assert [path.name for path in written] == [path.name for path in NOTES]
    assert [path.read_text("utf-8") for path in written] == [path.read_text("utf-8") for path in NOTES]


def test_every_mark_of_the_target_is_read_on_every_sheet() -> None:
    names = [mark.name for mark in design_target(297, 210).marks]
    notes = [read(path) for path in NOTES]
    assert len(notes) == 5
    for note in notes:
        assert [one.mark for one in note.offsets] == names


def test_the_sheets_share_the_error_that_the_script_states() -> None:
    """The mean offset is the shift at the middle of the marks; the difference of two rows is turn and scale."""
    target = {mark.name: mark for mark in design_target(297, 210).marks}
    middle_x = mean(mark.x_mm for mark in target.values())
    middle_y = mean(mark.y_mm for mark in target.values())
    turn, grown = math.radians(0.12), 0.0012
    notes = [read(path) for path in NOTES]
    across = [mean(one.right_mm for one in note.offsets) for note in notes]
    along = [mean(one.down_mm for one in note.offsets) for note in notes]
    # Five sheets that differ by 0.15 mm: the mean is good for 0.15 / sqrt(5), taken three times.
    assert mean(across) == pytest.approx(0.9 - turn * middle_y + grown * middle_x, abs=3 * 0.15 / math.sqrt(5))
    assert mean(along) == pytest.approx(-0.6 + turn * middle_x + grown * middle_y, abs=3 * 0.15 / math.sqrt(5))
    assert 0.05 < stdev(across) < 0.35
    assert 0.05 < stdev(along) < 0.35
