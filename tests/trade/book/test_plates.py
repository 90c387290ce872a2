"""Plates and stacks: printed, folded and read they give the sequence back, nothing twice or forgotten."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.book.gatherings import Side
from doublure.trade.book.imposition import impose, lay_pages
from doublure.trade.book.plates import Plate, PlateCounts, PlatePlace, count_plates, plan_plates
from fold_simulator import bind, read

masters = st.sampled_from(["a", "b", "c", None])


@st.composite
def books(draw: st.DrawFn) -> tuple[tuple[str | None, ...], tuple[int, ...], bool]:
    """Return the entry of each page, the gatherings, and the reading direction."""
    gatherings = tuple(draw(st.lists(st.integers(1, 4), min_size=1, max_size=5)))
    held = 4 * sum(gatherings)
    entries = draw(st.lists(masters, min_size=1, max_size=held))
    return tuple(entries), gatherings, draw(st.booleans())


@settings(deadline=None)
@given(books(), st.booleans())
def test_stacks_put_together_read_as_the_sequence(
    book: tuple[tuple[str | None, ...], tuple[int, ...], bool], creep: bool
) -> None:
    """Sheets taken from their stacks, folded and sewn, show the masters in the order of the page sequence."""
    entries, gatherings, rtl = book
    imposition = impose(range(1, len(entries) + 1), gatherings, rtl)
    plan = plan_plates(imposition, dict(enumerate(entries, 1)), creep)
    sheets = [
        {
            "gathering": gathering,
            "sheet": sheet,
            "front": [stack.front.left, stack.front.right],
            "back": [stack.back.left, stack.back.right],
        }
        for stack in plan.stacks
        for gathering, sheet in stack.sheets
    ]
    assert read(bind(sheets, rtl), rtl) == [*entries, *[None] * imposition.blanks]


@settings(deadline=None)
@given(books(), st.booleans())
def test_every_side_is_served_by_one_plate(
    book: tuple[tuple[str | None, ...], tuple[int, ...], bool], creep: bool
) -> None:
    """Places are shared out among the plates without gap or overlap; the plates agree with the stacks."""
    entries, gatherings, rtl = book
    plan = plan_plates(
        impose(range(1, len(entries) + 1), gatherings, rtl), dict(enumerate(entries, 1)), creep
    )
    served = [place for use in plan.plates for place in use.places]
    sides = [(g, s, side) for g, n in enumerate(gatherings, 1) for s in range(1, n + 1) for side in Side]
    assert sorted((p.gathering, p.sheet, p.side.value) for p in served) == sorted(
        (g, s, side.value) for g, s, side in sides
    )
    plates = [use.plate for use in plan.plates]
    assert len(set(plates)) == len(plates)
    assert len({(s.front, s.back) for s in plan.stacks}) == len(plan.stacks)
    printed: Counter[Plate] = Counter()
    for stack in plan.stacks:
        printed[stack.front] += stack.count
        printed[stack.back] += stack.count
    assert printed == {use.plate: use.prints for use in plan.plates}
    for use in plan.plates:
        steps = {place.sheet - 1 for place in use.places}
        assert use.plate.is_blank or not creep or steps == {use.plate.creep_step}
        assert creep or use.plate.creep_step == 0


@settings(deadline=None)
@given(books())
def test_creep_never_saves_a_plate(book: tuple[tuple[str | None, ...], tuple[int, ...], bool]) -> None:
    """Telling creep steps apart can only part plates and stacks; leaving the steps out joins them again."""
    entries, gatherings, rtl = book
    imposition, of_page = impose(range(1, len(entries) + 1), gatherings, rtl), dict(enumerate(entries, 1))
    off, on = plan_plates(imposition, of_page, creep=False), plan_plates(imposition, of_page, creep=True)
    counts = count_plates(imposition, of_page)
    assert counts.plates == len({(u.plate.left, u.plate.right) for u in on.printed_plates})
    assert counts.plates <= counts.plates_with_creep <= 2 * sum(gatherings)
    assert counts.stacks <= counts.stacks_with_creep <= sum(gatherings)
    assert counts == PlateCounts(
        len(off.printed_plates), len(off.stacks), len(on.printed_plates), len(on.stacks)
    )


def test_a_notebook_of_four_masters_by_hand() -> None:
    """Two gatherings of two sheets, every leaf ruled in front and tabled behind: counted by hand."""
    imposition = lay_pages(16, 2)
    of_page: dict[int, str | None] = {page: ("ruled" if page % 2 else "table") for page in range(1, 17)}
    off = plan_plates(imposition, of_page, creep=False)
    assert [(use.plate, use.prints) for use in off.plates] == [(Plate("table", "ruled", 0), 8)]
    assert [(stack.count, stack.sheets) for stack in off.stacks] == [(4, ((1, 1), (1, 2), (2, 1), (2, 2)))]
    on = plan_plates(imposition, of_page, creep=True)
    assert [(use.plate.creep_step, use.prints) for use in on.plates] == [(0, 4), (1, 4)]
    assert on.plates[1].places == (
        PlatePlace(1, 2, Side.FRONT),
        PlatePlace(1, 2, Side.BACK),
        PlatePlace(2, 2, Side.FRONT),
        PlatePlace(2, 2, Side.BACK),
    )
    assert count_plates(imposition, of_page) == PlateCounts(1, 1, 2, 2)


def test_blank_sides_print_nothing_and_have_no_creep() -> None:
    """A page blank on purpose, and sides that are blank altogether: one blank plate, whatever the sheet."""
    of_page: dict[int, str | None] = {1: "title", 2: None, **dict.fromkeys(range(3, 8), None)}
    plan = plan_plates(lay_pages(7, 2), of_page, creep=True)
    assert [use.plate for use in plan.printed_plates] == [Plate(None, "title", 0)]
    blank = next(use for use in plan.plates if use.plate.is_blank)
    assert (blank.plate.creep_step, blank.prints) == (0, 3)
    assert [stack.count for stack in plan.stacks] == [1, 1]
    half = plan_plates(lay_pages(8, 2), {**of_page, 3: "plan", 8: None}, creep=True)
    assert Plate(None, "plan", 1) in [use.plate for use in half.printed_plates]


def test_a_page_that_nobody_filled_is_refused() -> None:
    """A page without an entry is a slip; masters of pages on tipped leaves may stand among the rest."""
    with pytest.raises(DomainError, match="page 4 has neither") as caught:
        plan_plates(lay_pages(4, 1), {1: "a", 2: "b", 3: None}, creep=False)
    assert caught.value.argument == "masters"
    plan = plan_plates(impose([1, 2, 5, 6], [1]), dict(enumerate("abcdef", 1)), creep=False)
    assert [(use.plate.left, use.plate.right) for use in plan.plates] == [("f", "a"), ("b", "e")]
