"""The worked examples on the press, recomputed: the package gives every figure printed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from doublure.trade.book.gatherings import Side
from doublure.trade.press.artwork_fit import ArtworkSpec, find_artwork
from doublure.trade.press.folding import FoldKind, describe_folding, fold_sheets
from doublure.trade.press.layout import arrange_pages, count_steps
from doublure.trade.press.plan import PressSpec, plan_press
from doublure.trade.press.records import Folding, MarkName, Pairing
from handbook_pages import expect, row

BOOK = PressSpec(
    leaf_width_mm=105,
    leaf_height_mm=148,
    sheet_width_mm=297,
    sheet_height_mm=210,
    leaf_pairs_in_gatherings=(4, 4),
    masters={1: "title", 2: None, **{page: "ruled" if page % 2 else "grid" for page in range(3, 33)}},
    page_numbers=tuple(range(1, 33)),
    creep_steps={1: 0, 2: 1, 3: 2, 4: 3},
)


def test_the_table_of_foldings() -> None:
    """Leaf pairs, sums and slits of each folding."""
    patterns = [describe_folding(folding) for folding in Folding]
    expect("press", "folding", row("Leaf pairs of a sheet", *(f.pairs for f in Folding)))
    expect("press", "folding", row("Facing pages of one sheet add up to", *(p.page_sum for p in patterns)))
    for pattern in patterns:
        assert pattern.grain_along == "height"
        for kind in (FoldKind.HEAD, FoldKind.FORE_EDGE):
            joined = [j.leaves for j in pattern.joined if j.kind is kind]
            if joined:
                leaves = ", ".join(f"{one}–{two}" for one, two in joined)
                expect("press", "folding", f"{pattern.slits(kind)} folds: leaves {leaves}")
    expect("press", "folding", row("Folds", "spine", *(
        ", then ".join(fold.kind.value for fold in p.folds[: len(set(f.kind for f in p.folds))])
        for p in patterns[1:]
    )))  # fmt: skip


def test_folding() -> None:
    """An octavo, and two quarto sheets one in the other."""
    front, back = fold_sheets((1,), Folding.OCTAVO)
    for side, forme in (("Front", front), ("Back", back)):
        for number, name in enumerate(("upper", "lower")):
            cells = [cell for cell in forme.cells if cell.row == number]
            assert {cell.turned for cell in cells} == {name == "upper"}
            expect("press", "folding", row(side, name, *(cell.position for cell in cells)))
    outer, inner = (
        [c.position for c in f.cells] for f in fold_sheets((2,), Folding.QUARTO) if f.side is Side.FRONT
    )
    expect(
        "press",
        "folding",
        f"The front of the outer one carries {outer[0]}, {outer[1]} in the upper row and {outer[2]}, {outer[3]} in the"
        f" lower; that of the inner one {inner[0]}, {inner[1]} and {inner[2]}, {inner[3]}",
    )
    assert {a + b for a, b in (outer[:2], outer[2:], inner[:2], inner[2:])} == {17}
    expect("press", "folding", "a gathering of 16 pages, and facing pages add up to 17")


def test_plates() -> None:
    """Plates, stacks and sheets of the book of 32 pages in several ways."""
    large = {"sheet_width_mm": 450.0, "sheet_height_mm": 320.0}
    ways = {
        "Folio, no creep": BOOK,
        "Folio, no creep, collation marks": replace(BOOK, collation=True),
        "Folio, creep in steps of 0.12 mm": replace(BOOK, creep_step_mm=0.12),
        "Four leaf pairs a sheet, alike": replace(BOOK, pairs=4, pairing=Pairing.ALIKE, **large),
        "Quarto": replace(BOOK, folding=Folding.QUARTO, sheet_height_mm=420),
        "Octavo": replace(BOOK, folding=Folding.OCTAVO, **large),
    }
    for name, spec in ways.items():
        plan = plan_press(spec)
        printed = sum(not plate.is_blank for plate in plan.plates)
        sheets = sum(stack.per_copy for stack in plan.stacks)
        expect("press", "plates", row(name, printed, len(plan.stacks), f"{sheets:g}"))
    both = plan_press(BOOK)
    assert (both.stacks_plain, both.stacks_collated) == (2, 3)
    shift = max(page.creep_shift_mm for plate in plan_press(replace(BOOK, creep_step_mm=0.12)).plates
                for page in plate.pages)  # fmt: skip
    expect(
        "press",
        "plates",
        f"leaf pair 4 is moved {shift:.2f} mm",
        f"room for {count_steps(148)} collation steps",
    )


@pytest.mark.parametrize(
    ("width", "height", "folding"),
    [
        (297, 210, Folding.FOLIO),
        (297, 420, Folding.QUARTO),
        (450, 320, Folding.OCTAVO),
        (210, 148, Folding.FOLIO),
    ],
)
def test_marks(width: float, height: float, folding: Folding) -> None:
    """Room beside and above the pages, the gap at the head, and what finds no room."""
    spec = replace(BOOK, sheet_width_mm=width, sheet_height_mm=height, folding=folding)
    layout = plan_press(spec).layout
    grid = arrange_pages((width, height), (105, 148), folding, 1, 3)
    words = {"bleed": "bleed", "cut": "cut", "fold": "fold marks", "cross": "crosses", "label": "label"}
    found = {lack.what for lack in layout.lacking}
    names = [name.value for name in MarkName if name in found]
    lacking = ", ".join(words[name] for name in names).replace("cut, fold", "cut and fold") or "nothing"
    gap = f"{grid.gap_y_mm:g} mm" if grid.down > 1 else "none"
    expect("press", "marks", row(f"{width} × {height} mm", folding.value, f"{layout.room_mm[0]:g} mm",
                                 f"{layout.room_mm[1]:g} mm", gap, lacking))  # fmt: skip
    if folding is Folding.OCTAVO:
        expect("press", "marks", f"folded at {width / 2:g} mm, at {height / 2:g} mm from the head, and at"
               f" {grid.fold_x_mm(0):g} mm from either edge")  # fmt: skip
        assert grid.fold_x_mm(1) == pytest.approx(width - grid.fold_x_mm(0))


def test_artwork() -> None:
    """A picture with too few pixels and no bleed, on an inner leaf pair."""
    spec = replace(
        BOOK, masters={page: "plan" if page == 7 else None for page in range(1, 33)}, creep_step_mm=0.12
    )
    issues = find_artwork(plan_press(spec), {"plan": ArtworkSpec("bilevel", 1240, 1748, ink=(0, 0, 1, 1))})
    found = {(issue.kind, issue.edge): issue for issue in issues}
    assert set(found) == {
        ("resolution", ""),
        ("bleed", "right"),
        ("bleed", "head"),
        ("bleed", "tail"),
        ("creep", "left"),
    }
    resolution = found["resolution", ""]
    expect(
        "press", "artwork", f"{resolution.value:.0f} pixels an inch, where {resolution.wanted:g} are wanted"
    )
    for edge in ("right", "head", "tail"):
        bleed = found["bleed", edge]
        expect("press", "artwork", f"{bleed.value:g} mm of {bleed.wanted:g} mm at head, tail and fore-edge")
    expect("press", "artwork", f"it loses {found['creep', 'left'].value:.2f} mm at the fold")
