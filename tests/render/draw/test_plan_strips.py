"""Plans of gatherings drawn: every leaf once, what lies in a middle told by its shape, nothing over the edge."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.render.draw.plan_strips import Arch, PlanArch, PlanGathering, PlanStrip, draw_plan_strips
from doublure.render.extent import walk
from doublure.render.scene import Circle, Group, Line, Path, Polyline, Rect, Scene, Tone
from drawing_reading import groups, inside, words


def strip(sheets: tuple[int, ...], pairs: int = 1, arches: tuple[PlanArch, ...] = ()) -> PlanStrip:
    """Return a plan whose pages are numbered through."""
    gatherings = []
    page = 0
    for one in sheets:
        count = 4 * one * pairs
        gatherings.append(PlanGathering(one, tuple(range(page + 1, page + count + 1))))
        page += count
    return PlanStrip("Now", f"{len(sheets)} gatherings", tuple(gatherings), arches)


ARCHES = (
    PlanArch(3, Arch.CENTRE, "Haven, pages 8 and 9", "crossovers.html"),
    PlanArch(5, Arch.APART, "Chart, pages 12 and 13"),
    PlanArch(7, Arch.ONE_SIDE, "Shore, pages 16 and 17"),
)


def shapes(scene: Scene, title: str) -> tuple[int, int, int, bool]:
    """Return of the crossover so titled: full feet, open feet, plumb lines with lozenge, and whether it is broken."""
    group = next(g for g in groups(scene) if g.title.startswith(title))
    items = list(walk(group.items))
    feet = [item for item in items if isinstance(item, Circle)]
    path = next(item for item in items if isinstance(item, Path))
    assert path.pen is not None
    plumbs = sum(isinstance(item, Line) for item in items)
    assert plumbs == sum(isinstance(item, Polyline) for item in items)
    full = sum(foot.fill is Tone.ACCENT for foot in feet)
    return full, len(feet) - full, plumbs, bool(path.pen.dash_mm)


def test_how_a_crossover_meets_is_a_shape() -> None:
    """Feet, plumb line and stroke differ, so that nothing depends on colour; the words say it, too."""
    scene = draw_plan_strips((strip((4, 3), arches=ARCHES),), 1360)
    assert shapes(scene, "Haven") == (2, 0, 1, False)
    assert shapes(scene, "Chart") == (0, 2, 0, True)
    assert shapes(scene, "Shore") == (0, 2, 0, False)
    titles = [g.title for g in groups(scene)]
    assert "Haven, pages 8 and 9: in the middle" in titles
    assert "Chart, pages 12 and 13: on two sheets" in titles
    assert next(g for g in groups(scene) if g.title.startswith("Haven")).href == "crossovers.html"
    assert scene.description == "Now: 2 gatherings of 4, 3 sheets, 1 of 3 crossovers in the middle of one."


def test_every_sheet_is_drawn_once_and_named() -> None:
    """As many folded sheets as leaf pairs; under each gathering its sheets and pages."""
    scene = draw_plan_strips((strip((2, 1), pairs=2), strip((3,))), 1360)
    sheets = [item for item in walk(scene.items) if isinstance(item, Path)]
    assert len(sheets) == 4 + 2 + 3
    for said in ("2 sheets", "1 sheet", "3 sheets", "1–16", "17–24", "1–12"):
        assert said in words(scene)
    assert [g.title for g in groups(scene)][0] == "Gathering 1: 2 sheets, pages 1–16"


def test_blanks_put_in_are_squares_on_their_side_of_the_leaf() -> None:
    """One hollow square for each, left of a leaf's end for its first page and right of it for its second."""
    pages = (0, 1, 2, 3, 4, 5, 6, 0)
    plan = PlanStrip("Proposed", "", (PlanGathering(2, pages),))
    for right_to_left in (False, True):
        scene = draw_plan_strips((plan,), 700, right_to_left)
        group = next(g for g in groups(scene) if g.title.startswith("Gathering"))
        assert group.title == "Gathering 1: 2 sheets, pages 1–6, 2 blanks put in"
        squares = [item for item in group.items if isinstance(item, Rect) and item.pen is not None]
        ends = [step.x_mm for path in walk(group.items) if isinstance(path, Path) for step in path.steps[:1]]
        assert len(squares) == 2
        centres = [square.x_mm + square.width_mm / 2 for square in squares]
        # Page 1 of the leaf that is read first looks outwards, and so does the last page of the last leaf.
        outer = (min(ends), None) if not right_to_left else (max(ends), None)
        assert outer[0] is not None
        assert (centres[0] < outer[0]) is not right_to_left
        assert (centres[0] < centres[1]) is not right_to_left


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.integers(1, 6), min_size=1, max_size=26),
    st.sampled_from([300, 358, 680, 1360]),
    st.booleans(),
    st.data(),
)
def test_nothing_stands_over_the_edge(
    sheets: list[int], width_px: int, right_to_left: bool, data: st.DataObject
) -> None:
    """Whatever the plan and the width: all is inside, and every crossover is drawn."""
    leaves = 2 * sum(sheets)
    chosen = data.draw(st.lists(st.integers(0, leaves - 2), unique=True, max_size=6))
    arches = tuple(
        PlanArch(leaf, data.draw(st.sampled_from(list(Arch))), f"Artwork {leaf}") for leaf in chosen
    )
    scene = draw_plan_strips((strip(tuple(sheets), arches=arches),) * 2, width_px, right_to_left)
    assert inside(scene)
    assert scene.width_mm == pytest.approx(width_px / 96 * 25.4)
    drawn = {g.title.partition(":")[0] for g in groups(scene) if g.title.startswith("Artwork")}
    assert drawn == {f"Artwork {leaf}" for leaf in chosen}
    assert sum(isinstance(g, Group) and g.title.startswith("Gathering") for g in groups(scene)) == 2 * len(
        sheets
    )


def test_plans_that_are_none_are_refused() -> None:
    """Too narrow, no plan, no gathering, half a sheet, a crossover at a leaf that is not there."""
    good = strip((2, 2))
    with pytest.raises(DomainError, match="240 px"):
        draw_plan_strips((good,), 200)
    with pytest.raises(DomainError, match="at least one plan"):
        draw_plan_strips(())
    with pytest.raises(DomainError, match="gatherings in each"):
        draw_plan_strips((good, dataclasses.replace(good, gatherings=())))
    with pytest.raises(DomainError, match="multiple of four"):
        draw_plan_strips((dataclasses.replace(good, gatherings=(PlanGathering(1, (1, 2)),)),))
    with pytest.raises(DomainError, match="there are 8"):
        draw_plan_strips((dataclasses.replace(good, arches=(PlanArch(7, Arch.CENTRE, "Haven"),)),))
