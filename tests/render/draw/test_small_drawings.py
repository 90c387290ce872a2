"""Key, swatches, progress, figures and hatching: every standing named and counted."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.render.draw.figures import counted, inch_words, plain, size_words
from doublure.render.draw.hatch import hatch
from doublure.render.draw.progress import ProgressItem, ProgressSpec, draw_progress
from doublure.render.draw.standing_key import MEANINGS, draw_standing_key, draw_swatch
from doublure.render.draw.standing_line import STANDINGS
from doublure.render.extent import extent
from doublure.render.scene import (
    FINE,
    Rect,
    px_to_mm,
)
from drawing_reading import groups, inside, words
from drawing_samples import PIECES, PROGRESS


def test_key_names_every_standing_and_its_line() -> None:
    scene = draw_standing_key(700)
    assert set(STANDINGS) == set(MEANINGS) <= set(words(scene))
    assert [g.title.split(":")[0] for g in groups(scene)] == list(STANDINGS)
    for width_px in (220, 390, 1400):
        assert inside(draw_standing_key(width_px))


def test_swatches_are_26_by_8_px() -> None:
    for word in STANDINGS:
        scene = draw_swatch(word)
        assert (scene.width_mm, scene.height_mm) == (px_to_mm(26), px_to_mm(8))
        assert scene.title == word
    with pytest.raises(DomainError, match="is no standing"):
        draw_swatch("known")


def test_progress_counts_and_orders() -> None:
    scene = draw_progress(PROGRESS, 900)
    shown = [g.standing for g in groups(scene)]
    assert shown == sorted(shown, key=STANDINGS.index)
    assert len(shown) == len(PIECES)
    tally = {word: sum(p[1] == word for p in PIECES) for word in STANDINGS}
    for word, count in tally.items():
        assert f"{count} {word}" in words(scene)
    assert "%" not in "".join(words(scene)) + scene.description


@settings(max_examples=40, deadline=None)
@given(st.lists(st.sampled_from(STANDINGS), min_size=1, max_size=150), st.sampled_from([200, 390, 900]))
def test_any_progress_fits(standings: list[str], width_px: float) -> None:
    items = tuple(ProgressItem(f"Piece {i}", s, str(i)) for i, s in enumerate(standings))
    scene = draw_progress(ProgressSpec(items), width_px)
    assert inside(scene)
    boxes = [extent(i) for g in groups(scene) for i in g.items if isinstance(i, Rect)]
    for i, one in enumerate(boxes):
        assert one is not None
        assert not any(other is not None and one.overlaps(other) for other in boxes[i + 1 :])


def test_progress_needs_something_to_count() -> None:
    with pytest.raises(DomainError, match="nothing to count"):
        draw_progress(ProgressSpec(()))


def test_figures() -> None:
    assert [plain(v) for v in (64.0, 63.45, 63.44, -2.5, 0.0)] == ["64", "63.5", "63.4", "−2.5", "0"]
    # 1 in = 25.4 mm: 210 × 297 mm (ISO 216, A4) is 8.27 × 11.69 in.
    assert (inch_words(210), inch_words(297)) == ("8.27 in", "11.69 in")
    assert size_words(None, 20) == "? × 20 mm"
    assert (counted(0, "leaf", "leaves"), counted(1, "leaf", "leaves")) == ("0 leaves", "1 leaf")


@given(st.floats(0, 80), st.floats(0, 80))
def test_hatching_stays_inside(width: float, height: float) -> None:
    strokes = hatch(10, 10, width, height, FINE)
    if strokes is None:
        assert width + height < 1.3 + 1e-6 or min(width, height) < 1e-6
        return
    for step in strokes.steps:
        assert not hasattr(step, "x_mm") or 10 - 1e-9 <= step.x_mm <= 10 + width + 1e-9
        assert not hasattr(step, "y_mm") or 10 - 1e-9 <= step.y_mm <= 10 + height + 1e-9
