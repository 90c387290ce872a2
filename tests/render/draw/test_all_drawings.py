"""What holds for every drawing: nothing cut off, no words on words, every link named, the same bytes as before."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import combinations
from xml.etree import ElementTree

import pytest

from doublure.render.draw.standing_line import STANDINGS
from doublure.render.extent import extent, text_box, walk
from doublure.render.scene import Box, Group, Item, Scene, Text, px_to_mm
from doublure.render.svg import render_svg
from drawing_samples import LARGE, SMALL, Sample

CASES = [(s, w) for s in (*SMALL, *LARGE) for w in sorted({s.wide, s.narrow})]
IDS = [f"{s.name}-{w:.0f}" for s, w in CASES]
every_drawing = pytest.mark.parametrize(("sample", "width_px"), CASES, ids=IDS)


@every_drawing
def test_everything_lies_inside(sample: Sample, width_px: float) -> None:
    scene = sample.draw(width_px)
    assert scene.width_mm == pytest.approx(px_to_mm(width_px))
    for item in _seen(scene.items):
        box = extent(item)
        if box is not None:
            assert box.left_mm >= -1e-9, item
            assert box.top_mm >= -1e-9, item
            assert box.right_mm <= scene.width_mm + 1e-9, item
            assert box.bottom_mm <= scene.height_mm + 1e-9, item


def _seen(items: Iterable[Item]) -> Iterator[Item]:
    """Yield every item; of a group that is seen through a window, the group alone."""
    for item in items:
        yield item
        if isinstance(item, Group) and item.window_mm is None:
            yield from _seen(item.items)


@every_drawing
def test_no_words_run_into_words(sample: Sample, width_px: float) -> None:
    texts = [item for item in walk(sample.draw(width_px).items) if isinstance(item, Text)]
    # Lines of one label may be set as close as their letters allow: the room for accents may be shared.
    boxes = [(t.content, _tight(t)) for t in texts]
    for (words, box), (other, other_box) in combinations(boxes, 2):
        assert not box.overlaps(other_box), f"{words!r} runs into {other!r}"


def _tight(text: Text) -> Box:
    """Return the room of a text from its tails to the top of its capitals."""
    box = text_box(text)
    slack = 0.2 * text.size_mm
    if text.turn_deg:
        return Box(box.left_mm + slack, box.top_mm, box.right_mm, box.bottom_mm)
    return Box(box.left_mm, box.top_mm + slack, box.right_mm, box.bottom_mm)


@every_drawing
def test_words_are_large_enough(sample: Sample, width_px: float) -> None:
    sizes = [item.size_mm for item in walk(sample.draw(width_px).items) if isinstance(item, Text)]
    # Nothing under 9 px, names and figures mostly at 11 px and more.
    assert min(sizes, default=9.0) >= px_to_mm(9)


@every_drawing
def test_links_and_standings_are_named(sample: Sample, width_px: float) -> None:
    scene = sample.draw(width_px)
    assert scene.title
    for item in walk(scene.items):
        if isinstance(item, Group) and item.href:
            assert item.title
        if isinstance(item, Group) and item.standing and not sample.name.startswith("swatch"):
            assert item.standing in STANDINGS
            if item.title and " as it lies on " not in item.title:
                assert item.standing in item.title


@every_drawing
def test_it_renders_to_well_formed_svg(sample: Sample, width_px: float) -> None:
    text = render_svg(sample.draw(width_px), "fig")
    root = ElementTree.fromstring(text)
    assert root.get("aria-labelledby") == "fig-title"
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    assert text == render_svg(sample.draw(width_px), "fig")


@pytest.mark.parametrize("sample", SMALL, ids=[s.name for s in SMALL])
def test_golden(sample: Sample, golden: Callable[[str, str | bytes], None]) -> None:
    golden(f"draw/{sample.name}/expected.svg", render_svg(sample.draw(sample.wide), "fig") + "\n")


@pytest.mark.parametrize("sample", SMALL[:2], ids=[s.name for s in SMALL[:2]])
def test_golden_on_a_phone(sample: Sample, golden: Callable[[str, str | bytes], None]) -> None:
    golden(f"draw/{sample.name}_phone/expected.svg", render_svg(sample.draw(sample.narrow), "fig") + "\n")


def test_scenes_are_values() -> None:
    first: Scene = SMALL[0].draw(1400)
    assert first == SMALL[0].draw(1400)
    assert hash(first) == hash(SMALL[0].draw(1400))
