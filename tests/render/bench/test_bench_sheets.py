"""The sheets for the bench: nothing cut off, no words on words, every stack once, legible at arm's length."""

from __future__ import annotations

import dataclasses
import io
from itertools import combinations

import pikepdf
import pytest

from doublure.model.replica import ImageFact
from doublure.render.bench.kit_sheets import kit_scenes
from doublure.render.bench.paper import A4, LETTER, Paper, paper_for, shifted
from doublure.render.bench.plan_sheets import plan_scenes
from doublure.render.draw.plate import draw_stack
from doublure.render.extent import extent, extent_of, text_box, walk
from doublure.render.kit_words import STEPS
from doublure.render.pdf.scene import render_scenes
from doublure.render.scene import Box, Group, Line, Rect, Scene, Text
from doublure.trade.press.run_records import Joining, RunPlan, StackRun
from doublure.workings.all import Workings, work_up
from doublure.workings.reference import Reference
from journal_samples import decode_well
from press_samples import JOURNAL, RUN, press, side, stack_spec

#: Figures of 5 mm capitals are read at arm's length by most (common practice, no published source).
LEAST_MM = 2.5
FIGURE_MM = 7.0


def work(units: str = "mm", tried: bool = True) -> Workings:
    """Return the workings of the tide book with the press made by hand."""
    files = {**JOURNAL, "replica.yml": JOURNAL["replica.yml"].replace("units: mm", f"units: {units}")}
    facts: dict[str, ImageFact] = {}
    return dataclasses.replace(work_up(decode_well(files), facts, Reference()), press=press(tried))


def long_run(stacks: int) -> Workings:
    """Return workings with very many stacks, numbers of four figures, and many fillings of the tray."""
    found = work()
    many = []
    for i in range(stacks):
        plates = (1 + 2 * (i % 4), 2 + 2 * (i % 4))
        many.append(
            StackRun(
                990 + i,
                *plates,
                ((1, 1),),
                1000,
                200,
                1 + i,
                stacks - i,
                side(1200),
                side(1200, 3, 1),
                400.0,
            )
        )
    run: RunPlan = dataclasses.replace(RUN, stacks=tuple(many))
    return dataclasses.replace(found, press=dataclasses.replace(found.press, run=run))


def troubled() -> Workings:
    """Return workings with late fronts, pairs printed anew, artwork that cannot be used, and no marks."""
    found = work()
    one, two, three, four = RUN.stacks
    late = dataclasses.replace(side(8, 6, 1), joining=Joining.BETWEEN)
    waits = dataclasses.replace(side(8), waits=True)
    run = dataclasses.replace(
        RUN,
        stacks=(
            dataclasses.replace(one, fronts=late, backs=side(8)),
            dataclasses.replace(
                two, fronts=dataclasses.replace(late, joining=Joining.APART), backs=side(8, 3, 3, lying=1)
            ),
            dataclasses.replace(three, fronts=waits, backs=waits, front_page=0),
            dataclasses.replace(four, back_page=0, backs=waits),
        ),
    )
    assert found.press.plan is not None
    layout = dataclasses.replace(found.press.plan.layout, lines=(), crosses=())
    plan = dataclasses.replace(found.press.plan, layout=layout)
    return dataclasses.replace(found, press=dataclasses.replace(found.press, run=run, plan=plan))


SHEETS = {
    "plan": lambda: plan_scenes(work()),
    "plan on Letter": lambda: plan_scenes(work("in")),
    "plan of an undescribed printer": lambda: plan_scenes(work(tried=False)),
    "plan of many stacks": lambda: plan_scenes(long_run(30)),
    "plan of a troubled run": lambda: plan_scenes(troubled()),
    "kit": lambda: kit_scenes(work()),
    "kit on Letter": lambda: kit_scenes(work("in")),
}
every_sheet = pytest.mark.parametrize("name", SHEETS)


def texts(scene: Scene) -> list[Text]:
    return [item for item in walk(scene.items) if isinstance(item, Text)]


@every_sheet
def test_nothing_is_cut_off(name: str) -> None:
    for scene in SHEETS[name]():
        for item in walk(scene.items):
            box = extent(item)
            if box is not None:
                assert box.left_mm >= 0, item
                assert box.top_mm >= 0, item
                assert box.right_mm <= scene.width_mm, item
                assert box.bottom_mm <= scene.height_mm, item


@every_sheet
def test_no_words_run_into_words(name: str) -> None:
    for scene in SHEETS[name]():
        boxes = []
        for text in texts(scene):
            box, slack = text_box(text), 0.2 * text.size_mm
            boxes.append(
                (
                    text.content,
                    Box(box.left_mm, box.top_mm + slack, box.right_mm, box.bottom_mm - 0.1 * text.size_mm),
                )
            )
        for (words, box), (other, other_box) in combinations(boxes, 2):
            assert not box.overlaps(other_box), f"{words!r} runs into {other!r}"


@every_sheet
def test_words_are_large_enough_and_pages_are_counted(name: str) -> None:
    scenes = SHEETS[name]()
    for number, scene in enumerate(scenes, 1):
        assert min(text.size_mm for text in texts(scene)) >= LEAST_MM
        assert f"page {number} of {len(scenes)}" in [text.content for text in texts(scene)]


@every_sheet
def test_they_come_out_as_pdf_pages_of_the_paper(name: str) -> None:
    scenes = SHEETS[name]()
    with pikepdf.open(io.BytesIO(render_scenes(scenes))) as pdf:
        assert len(pdf.pages) == len(scenes)
        for page, scene in zip(pdf.pages, scenes, strict=True):
            width, height = (float(page.mediabox[at]) / 72 * 25.4 for at in (2, 3))
            assert (width, height) == pytest.approx((scene.width_mm, scene.height_mm), abs=0.01)


def test_the_paper_follows_the_units() -> None:
    assert paper_for("mm") is A4
    assert paper_for("in") is LETTER
    # ISO 216: A4 is 210 by 297 mm. ANSI/ASME Y14.1: A is 8.5 by 11 in. Both from memory.
    assert (A4.width_mm, A4.height_mm) == (210, 297)
    assert (LETTER.width_mm, LETTER.height_mm) == pytest.approx((8.5 * 25.4, 11 * 25.4))


def test_every_stack_has_one_row_with_its_pages_in_large_figures() -> None:
    found = work()
    run = found.press.run
    assert run is not None
    shown = [text for scene in plan_scenes(found) for text in texts(scene)]
    numbers = [text.content for text in shown if text.size_mm >= 8 and text.bold]
    assert numbers == [str(one.number) for one in run.stacks]
    pages = [text.content for text in shown if text.content.startswith("p. ")]
    wanted = [f"p. {page}" for one in run.stacks for page in (one.front_page, one.back_page) if page]
    assert pages == wanted
    assert all(text.size_mm >= FIGURE_MM for text in shown if text.content.startswith("p. "))


def boxes(found: Workings) -> list[Rect]:
    """Return the boxes to tick."""
    return [
        item
        for scene in plan_scenes(found)
        for item in walk(scene.items)
        if isinstance(item, Rect) and item.width_mm == item.height_mm == 7.4
    ]


def test_a_box_for_each_side_that_prints_and_none_for_a_blank_one() -> None:
    found = work()
    run = found.press.run
    assert run is not None
    assert len(boxes(found)) == sum((one.front_page > 0) + (one.back_page > 0) for one in run.stacks)
    said = [text.content for scene in plan_scenes(found) for text in texts(scene)]
    assert any("blank, nothing" in words for words in said)


def test_the_plan_tells_each_side_what_is_left_of_it() -> None:
    def said(found: Workings) -> str:
        return " ".join(text.content for scene in plan_scenes(found) for text in texts(scene))

    words = said(work())
    # Stack 2: four backs of eight are through. Stack 3: nobody knows yet how many fronts will be good.
    assert "4 sheets, one on each good front that lies there" in words
    assert words.count("as many backs as good fronts lie there: ____") == 1
    trouble = said(troubled())
    for part in (
        "1 sheet more",
        "Not on top of the pile",
        "print front and back of these by themselves",
        "leave these sheets unprinted",
        "not yet: the front is left out",
        "take these sheets out of the pile and lay them aside",
        "the sheet not scaled",
    ):
        assert part in trouble, part
    assert "inside the cut marks" not in trouble
    # Stack 3 has no box at all, stack 4 none for its back.
    assert len(boxes(troubled())) == 5


def test_a_name_without_room_is_left_out_of_a_small_page() -> None:
    long = "Hydrographic observations of the outer roads"
    spec = stack_spec()
    pages = tuple(dataclasses.replace(page, words=long, picture=None) for page in spec.front.pages)
    drawn = draw_stack(
        dataclasses.replace(spec, front=dataclasses.replace(spec.front, pages=pages)), 250, beside=True
    )
    said = [text.content for text in texts(drawn)]
    assert not any(part in words for words in said for part in ("Hydro", "…"))
    assert all(str(page.pages[0]) in " ".join(said) for page in pages if page.pages)


def test_no_plan_without_plates_or_edition() -> None:
    found = work()
    for lacking in ({"plan": None, "run": None}, {"run": None}):
        assert (
            plan_scenes(dataclasses.replace(found, press=dataclasses.replace(found.press, **lacking))) == ()
        )


def test_it_says_that_nobody_has_tried_it_until_a_target_was_read() -> None:
    def foot(tried: bool) -> str:
        return " ".join(text.content for text in texts(plan_scenes(work(tried=tried))[0]))

    assert "Not yet tried on paper" in foot(False)
    assert "Not yet tried on paper" not in foot(True)
    assert all(
        any("Not yet tried on paper" in text.content for text in texts(scene)) for scene in kit_scenes(work())
    )


def test_the_bars_are_100_mm_both_ways() -> None:
    scale = kit_scenes(work())[1]
    lines = [item for item in walk(scale.items) if isinstance(item, Line)]
    lengths = {(round(abs(one.x2_mm - one.x1_mm), 6), round(abs(one.y2_mm - one.y1_mm), 6)) for one in lines}
    assert {(100.0, 0.0), (0.0, 100.0)} <= lengths


@pytest.mark.parametrize("paper", [A4, LETTER], ids=["A4", "Letter"])
def test_the_stairs_count_millimetres_from_each_edge(paper: Paper) -> None:
    scene = kit_scenes(work("in" if paper is LETTER else "mm"))[1]
    lines = [item for item in walk(scene.items) if isinstance(item, Line)]
    for step in range(1, 11):
        for far in (step, paper.height_mm - step):
            assert any(one.y1_mm == one.y2_mm == pytest.approx(far) for one in lines), (step, far)
        for far in (step, paper.width_mm - step):
            assert any(one.x1_mm == one.x2_mm == pytest.approx(far) for one in lines), (step, far)


def test_the_fold_of_the_dummy_lies_in_the_middle() -> None:
    scene = kit_scenes(work())[2]
    folds = [
        item
        for item in walk(scene.items)
        if isinstance(item, Line) and item.pen.dash_mm and item.y1_mm == item.y2_mm
    ]
    assert [one.y1_mm for one in folds] == [scene.height_mm / 2]


def test_the_form_asks_for_every_figure_and_says_where_it_goes() -> None:
    said = [text.content for text in texts(kit_scenes(work())[-1])]
    for step in STEPS:
        assert step.name in said
        for one in step.fields:
            assert one.words in said
            if one.note:
                assert any(words.startswith(f"{one.note}: ") and not words.endswith("…") for words in said)


def test_shifting_moves_all_of_a_drawing() -> None:
    scene = draw_stack(stack_spec("a.webp"), 400)
    moved = shifted(scene.items, 30.0, 40.0)
    before, after = extent_of(scene.items), extent_of(moved)
    assert before is not None
    assert after is not None
    assert (after.left_mm - before.left_mm, after.bottom_mm - before.bottom_mm) == pytest.approx((30, 40))
    windows = [one.window_mm for one in walk(moved) if isinstance(one, Group) and one.window_mm]
    assert windows
