"""The simulator must itself be trusted: it is tried on layouts known by hand, and must reject wrong ones."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from fold_simulator import NOTHING, bind, find_faults, openings, read, tip_in

# One gathering of 12 pages, by hand: 12-1, 2-11, 10-3, 4-9, 8-5, 6-7 (common practice, no published source).
TWELVE: dict[str, Any] = {
    "pages": 12,
    "blanks": 0,
    "sheets": [
        {"gathering": 1, "sheet": 1, "front": [12, 1], "back": [2, 11]},
        {"gathering": 1, "sheet": 2, "front": [10, 3], "back": [4, 9]},
        {"gathering": 1, "sheet": 3, "front": [8, 5], "back": [6, 7]},
    ],
}
# Two gatherings, the last short, with two blanks; by hand.
TEN: dict[str, Any] = {
    "pages": 10,
    "blanks": 2,
    "sheets": [
        {"gathering": 1, "sheet": 1, "front": [8, 1], "back": [2, 7]},
        {"gathering": 1, "sheet": 2, "front": [6, 3], "back": [4, 5]},
        {"gathering": 2, "sheet": 1, "front": [None, 9], "back": [10, None]},
    ],
}


def mirrored(record: dict[str, Any]) -> dict[str, Any]:
    """Return the layout with left and right exchanged everywhere."""
    turned = copy.deepcopy(record)
    for sheet in turned["sheets"]:
        sheet["front"].reverse()
        sheet["back"].reverse()
    return turned


@pytest.mark.parametrize("record", [TWELVE, TEN])
def test_a_right_layout_has_no_faults(record: dict[str, Any]) -> None:
    """A layout written by hand reads through, and its mirror image reads through from right to left."""
    assert find_faults(record, rtl=False) == []
    assert find_faults(mirrored(record), rtl=True) == []


@pytest.mark.parametrize("record", [TWELVE, TEN])
def test_the_reading_direction_matters(record: dict[str, Any]) -> None:
    """Bound at the wrong side the same sheets read wrongly."""
    assert find_faults(record, rtl=True)
    assert find_faults(mirrored(record), rtl=False)


@pytest.mark.parametrize("record", [TWELVE, TEN])
@pytest.mark.parametrize("index", [0, 1, 2])
@pytest.mark.parametrize("fault", ["front", "back", "sides", "upside_out"])
def test_one_wrong_sheet_is_noticed(record: dict[str, Any], index: int, fault: str) -> None:
    """Exchanging the two pages of one side, or the two sides, of any single sheet is a fault."""
    wrong = copy.deepcopy(record)
    sheet = wrong["sheets"][index]
    if fault in ("front", "back"):
        sheet[fault].reverse()
    elif fault == "sides":
        sheet["front"], sheet["back"] = sheet["back"], sheet["front"]
    else:
        sheet["front"].reverse()
        sheet["back"].reverse()
    assert find_faults(wrong, rtl=False)


def test_wrong_nesting_order_and_numbering_are_noticed() -> None:
    """Sheets exchanged, a doubled place, a gap in the numbering, a missing sheet, miscounted blanks."""
    exchanged = copy.deepcopy(TWELVE)
    exchanged["sheets"][0]["sheet"], exchanged["sheets"][1]["sheet"] = 2, 1
    doubled = copy.deepcopy(TWELVE)
    doubled["sheets"][2]["sheet"] = 2
    gap = copy.deepcopy(TEN)
    gap["sheets"][2]["gathering"] = 3
    unnested = copy.deepcopy(TWELVE)
    unnested["sheets"][2]["sheet"] = 4
    missing = copy.deepcopy(TWELVE)
    del missing["sheets"][1]
    miscounted = {**TEN, "blanks": 3}
    for wrong in (exchanged, doubled, gap, unnested, missing, miscounted):
        assert find_faults(wrong, rtl=False)


def test_gatherings_of_a_wrong_size_are_noticed() -> None:
    """The number of sheets asked for is checked: full gatherings first, one short one last."""
    assert find_faults(TEN, rtl=False, sheets_per_gathering=2) == []
    assert find_faults(TEN, rtl=False, sheets_per_gathering=3)
    assert find_faults(TEN, rtl=False, sheets_per_gathering=1)


def test_what_is_seen_when_turning_the_leaves() -> None:
    """The first and the last page stand alone; a tipped-in leaf is seen where it was put."""
    book = bind(TEN["sheets"], spine_at_right=False)
    assert openings(book, spine_at_right=False)[:2] == [(NOTHING, 1), (2, 3)]
    assert openings(book, spine_at_right=False)[-1] == (None, NOTHING)
    tipped = tip_in(book, 2, 100, 101)
    assert read(tipped, spine_at_right=False) == [1, 2, 3, 4, 100, 101, *range(5, 11), None, None]
    assert (4, 100) in openings(tipped, spine_at_right=False)
    assert (101, 5) in openings(tipped, spine_at_right=False)
