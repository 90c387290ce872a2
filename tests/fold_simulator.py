"""A bench in code: prints flat sheets on both sides, nests, folds and sews them, turns the leaves and reads.

It knows nothing of page sums or imposition formulas, only what paper does when it is turned and folded.
In: sheets as printed (front and back as looked at). Out: what a reader sees, and what is wrong with it.
Never: imports from the package under test.

The physical facts used (common practice, no published source):
  1. A sheet is turned from its front to its back like the leaf of a book, about its upright axis: heads stay
     up, and what was at the left is then at the right.
  2. The front is the outside of the folded sheet, so sheets are nested and folded with their backs inside.
  3. Sheet 1 lies outermost, so it lies lowest when the open sheets are piled, backs up.
  4. A book read from left to right has its spine at the left when its first page looks up; one read from
     right to left has it at the right.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

NOTHING = "nothing"
"""What is seen beside the first and the last page: no leaf at all, which is not the same as a blank page."""

Seen = int | str | None


class Panel(NamedTuple):
    """Half a sheet, or a single leaf, lying on the bench: what is printed on its upper side, and below."""

    up: Seen
    down: Seen
    gathering: int
    sheet: int


class FlatSheet(NamedTuple):
    """An open sheet lying on the bench, as it is looked at from above."""

    left: Panel
    right: Panel


def turn_panel(panel: Panel) -> Panel:
    """Turn one panel face down."""
    return Panel(panel.down, panel.up, panel.gathering, panel.sheet)


def turn_over(sheet: FlatSheet) -> FlatSheet:
    """Turn an open sheet over about its upright axis: the panel at the left goes to the right, face down."""
    return FlatSheet(left=turn_panel(sheet.right), right=turn_panel(sheet.left))


def print_side(sheet: FlatSheet, left: Seen, right: Seen) -> FlatSheet:
    """Print the side that looks up."""
    _, left_down, gathering, number = sheet.left
    _, right_down, _, _ = sheet.right
    return FlatSheet(Panel(left, left_down, gathering, number), Panel(right, right_down, gathering, number))


def print_sheet(front: Sequence[Seen], back: Sequence[Seen], gathering: int, sheet: int) -> FlatSheet:
    """Print the front, turn the sheet over, print the back; it is left lying with its back up."""
    bare = Panel(None, None, gathering, sheet)
    printed = print_side(FlatSheet(bare, bare), front[0], front[1])
    return print_side(turn_over(printed), back[0], back[1])


def fold_gathering(backs_up: Sequence[FlatSheet], spine_at_right: bool) -> list[Panel]:
    """Pile the open sheets, the first lowest, fold the pile, and return its leaves from the top down.

    With the spine at the left, the left half of the pile is lifted over onto the right half, all at once:
    what was lowest at the left comes to lie on top, and every panel that was lifted now looks the other way.
    """
    downwards = list(reversed(backs_up))
    if spine_at_right:
        lifted, resting = [s.right for s in downwards], [s.left for s in downwards]
    else:
        lifted, resting = [s.left for s in downwards], [s.right for s in downwards]
    return [turn_panel(panel) for panel in reversed(lifted)] + resting


def bind(sheets: Iterable[Mapping[str, Any]], spine_at_right: bool) -> list[Panel]:
    """Print, nest, fold and sew; return the leaves of the book from the first, each with its first page up.

    Args:
        sheets: Each with `gathering`, `sheet`, `front` and `back`, as the imposition table lists them.
            Gatherings are sewn in the order of their number, sheets nested in the order of theirs.
        spine_at_right: True for a book read from right to left.
    """
    ordered = sorted(sheets, key=lambda s: (s["gathering"], s["sheet"]))
    gatherings: dict[int, list[FlatSheet]] = {}
    for s in ordered:
        printed = print_sheet(s["front"], s["back"], s["gathering"], s["sheet"])
        gatherings.setdefault(s["gathering"], []).append(printed)
    return [leaf for pile in gatherings.values() for leaf in fold_gathering(pile, spine_at_right)]


def tip_in(book: Sequence[Panel], after_leaf: int, first: Seen, second: Seen) -> list[Panel]:
    """Put a single leaf behind the so-many-th leaf of the book (0: in front of all)."""
    return [*book[:after_leaf], Panel(first, second, 0, 0), *book[after_leaf:]]


def openings(book: Sequence[Panel], spine_at_right: bool) -> list[tuple[Seen, Seen]]:
    """Turn leaf after leaf and return what is seen at each opening, as (left, right).

    The book lies with its first page up. Leaves not yet turned lie on one side of the spine, turned ones,
    looking the other way, on the other.
    """
    seen: list[tuple[Seen, Seen]] = []
    for turned in range(len(book) + 1):
        over = book[turned - 1].down if turned else NOTHING
        still = book[turned].up if turned < len(book) else NOTHING
        seen.append((still, over) if spine_at_right else (over, still))
    return seen


def read(book: Sequence[Panel], spine_at_right: bool) -> list[Seen]:
    """Read the book through, opening after opening, in the direction in which it is read."""
    text: list[Seen] = []
    for left, right in openings(book, spine_at_right):
        text.extend(page for page in ((right, left) if spine_at_right else (left, right)) if page != NOTHING)
    return text


def find_faults(record: Mapping[str, Any], rtl: bool, sheets_per_gathering: int | None = None) -> list[str]:
    """Bind what an imposition table says and return what a reader would complain of; empty where all is well.

    Args:
        record: `pages`, `blanks` and `sheets`, as `lay` gives them.
        rtl: True for a book read from right to left.
        sheets_per_gathering: Where given, all gatherings must have this many, the last at most.
    """
    faults: list[str] = []
    sheets = list(record["sheets"])
    numbers = [(s["gathering"], s["sheet"]) for s in sheets]
    if len(set(numbers)) != len(numbers):
        faults.append("two sheets claim one place")
    counts: dict[int, int] = {}
    for gathering, _ in numbers:
        counts[gathering] = counts.get(gathering, 0) + 1
    if sorted(counts) != list(range(1, len(counts) + 1)):
        faults.append(f"gatherings are numbered {sorted(counts)}")
    if not {(g, s) for g, n in counts.items() for s in range(1, n + 1)} <= set(numbers):
        faults.append("sheets of a gathering are not numbered from 1 on")
    if sheets_per_gathering is not None:
        sizes = [counts[g] for g in sorted(counts)]
        wanted_last = range(1, sheets_per_gathering + 1)
        if any(size != sheets_per_gathering for size in sizes[:-1]) or sizes[-1] not in wanted_last:
            faults.append(f"gatherings of {sizes} sheets where {sheets_per_gathering} were asked for")
        if not 0 <= record["blanks"] <= 3:
            faults.append(f"{record['blanks']} blanks, though a sheet has only four pages")
    text = read(bind(sheets, rtl), rtl)
    wanted = [*range(1, record["pages"] + 1), *[None] * record["blanks"]]
    if text != wanted:
        same = (a == b for a, b in zip(text, wanted, strict=False))
        at = next((i for i, equal in enumerate(same) if not equal), min(len(text), len(wanted)))
        faults.append(f"at place {at + 1}: reads {text[at : at + 4]}, not {wanted[at : at + 4]}")
    return faults
