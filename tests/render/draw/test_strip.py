"""The strip: one scale for everything, the ruler included; everything on the baseline; names that fit."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.render.draw.ruler import RULER_MM, draw_ruler
from doublure.render.draw.standing_line import STANDINGS
from doublure.render.draw.strip import (
    PLACEHOLDER_MM,
    StripBook,
    StripItem,
    StripSpec,
    Thumbnail,
    draw_strip,
)
from doublure.render.extent import extent, text_box, walk
from doublure.render.scene import Fit, Group, Image, Line, Path, Polyline, Rect, Scene, Text, Tone
from drawing_samples import strip


def sheets(scene: Scene) -> dict[str, Rect]:
    """Return the filled sheet of each piece of known size, by title of its group."""
    found = {}
    for item in scene.items:
        if isinstance(item, Group):
            for inner in item.items:
                if isinstance(inner, Rect) and inner.fill in (Tone.PAPER, Tone.PAPER2):
                    found[item.title] = inner
                    break
    return found


@pytest.mark.parametrize("width_px", [390, 820, 1400])
def test_true_proportion(width_px: float) -> None:
    scene = draw_strip(strip(18, book=False), width_px)
    scales = set()
    for item in strip(18).items:
        if item.width_mm and item.height_mm:
            sheet = next(s for title, s in sheets(scene).items() if title.startswith(f"{item.title},"))
            scales |= {round(sheet.width_mm / item.width_mm, 9), round(sheet.height_mm / item.height_mm, 9)}
    assert len(scales) == 1


def test_baseline_is_the_edge_of_a_ruler() -> None:
    scene = draw_strip(strip(18, book=False), 1400)
    edges = {item.y1_mm for item in scene.items if isinstance(item, Line) and item.y1_mm == item.y2_mm}
    for sheet in sheets(scene).values():
        assert any(abs(sheet.y_mm + sheet.height_mm - edge) < 1e-9 for edge in edges)


@pytest.mark.parametrize("scale", [2.0, 1.0, 0.5, 1 / 3, 0.2, 0.1, 0.05, 0.01])
def test_ruler_measures(scale: float) -> None:
    items = draw_ruler(10.0, 20.0, 350.0, scale)
    labels = [i for i in items if isinstance(i, Text) and i.content.isdigit()]
    # A figure stands 0.6 mm right of its tick; the upper row is inches, 25.4 mm each by definition.
    for label in labels:
        unit = 25.4 if label.y_mm < 20.0 + RULER_MM / 2 else 1.0
        assert label.x_mm - 0.6 - 10.0 == pytest.approx(int(label.content) * unit * scale)
    assert sum(label.y_mm > 20.0 + RULER_MM / 2 for label in labels) >= 1
    for item in items:
        box = extent(item)
        assert box is not None
        assert box.top_mm >= 20.0 - 0.2
        assert box.bottom_mm <= 20.0 + RULER_MM + 0.2
        if isinstance(item, Path):
            xs = sorted({step.x_mm for step in item.steps if hasattr(step, "x_mm")})
            assert min(b - a for a, b in zip(xs, xs[1:], strict=False)) > 0.8


def test_accessible_names() -> None:
    titles = [item.title for item in draw_strip(strip(12), 1400).items if isinstance(item, Group)]
    assert titles[0] == "Field notebook, the closed book, 98 × 158 mm, 14 mm thick, supported"
    assert titles[1] == "Harbour pass, 64 × 121 mm, supported, number 1"
    assert titles[-1] == "Ration slip, size open, open, number 12"


def test_unknown_size_is_ticks_without_paper() -> None:
    scene = draw_strip(StripSpec((StripItem("1", "Slip", "thin"),)), 1400)
    group = next(item for item in scene.items if isinstance(item, Group))
    assert not any(isinstance(i, Rect) and i.fill for i in group.items)
    ticks = [i for i in group.items if isinstance(i, Line)]
    assert len(ticks) == 8
    xs = [x for t in ticks for x in (t.x1_mm, t.x2_mm)]
    ys = [y for t in ticks for y in (t.y1_mm, t.y2_mm)]
    assert (max(xs) - min(xs)) / (max(ys) - min(ys)) == pytest.approx(PLACEHOLDER_MM[0] / PLACEHOLDER_MM[1])
    assert any(isinstance(i, Text) and i.content == "?" for i in group.items)


def test_thumbnails_are_cut_only_where_they_nearly_fit() -> None:
    def fit(width: int, height: int) -> Fit:
        item = StripItem("1", "Pass", "thin", "", 60, 120, Thumbnail("a.webp", width, height))
        images = [i for i in walk(draw_strip(StripSpec((item,)), 800).items) if isinstance(i, Image)]
        assert len(images) == 1
        return images[0].fit

    assert fit(600, 1200) is Fit.COVER
    assert fit(630, 1200) is Fit.COVER
    assert fit(1200, 600) is Fit.WITHIN


def test_other_outlines_are_drawn_as_they_are() -> None:
    corners = ((0.0, 0.0), (50.0, 0.0), (50.0, 30.0), (25.0, 40.0), (0.0, 30.0))
    item = StripItem("1", "Label", "supported", "", 50, 40, None, corners)
    scene = draw_strip(StripSpec((item,)), 1400)
    lines = [i for i in walk(scene.items) if isinstance(i, Polyline) and i.fill is None]
    assert [len(line.points_mm) for line in lines] == [5]


def test_spine_of_a_right_to_left_book_is_at_the_right() -> None:
    for rtl in (False, True):
        book = StripBook("Book", 100, 150, 20, "settled", right_to_left=rtl)
        group = next(i for i in draw_strip(StripSpec((), book), 800).items if isinstance(i, Group))
        spine = next(i for i in group.items if isinstance(i, Rect) and i.fill is Tone.SOFT)
        front = next(i for i in group.items if isinstance(i, Rect) and i.fill is Tone.PAPER2)
        assert (spine.x_mm > front.x_mm) is rtl
        assert spine.width_mm / front.width_mm == pytest.approx(0.2)


pieces = st.builds(
    StripItem,
    key=st.integers(1, 999).map(str),
    title=st.lists(
        st.sampled_from(["Pass", "of", "Harbour", "W", "Disestablishmentarianism", "ink"]), min_size=1
    ).map(" ".join),
    standing=st.sampled_from(STANDINGS),
    href=st.just("x.html"),
    width_mm=st.none() | st.floats(3, 900),
    height_mm=st.none() | st.floats(3, 900),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(pieces, min_size=1, max_size=25), st.sampled_from([240, 390, 700, 1400]), st.booleans())
def test_any_strip_fits_and_collides_nowhere(items: list[StripItem], width_px: int, book: bool) -> None:
    shown = StripBook("Book", 120, 180, 25, "thin", "b.html") if book else None
    scene = draw_strip(StripSpec(tuple(items), shown), width_px)
    for item in walk(scene.items):
        box = extent(item)
        assert box is None or (box.left_mm >= -1e-9 and box.right_mm <= scene.width_mm + 1e-9)
        assert box is None or (box.top_mm >= -1e-9 and box.bottom_mm <= scene.height_mm + 1e-9)
    names = [text_box(t) for g in scene.items if isinstance(g, Group) for t in g.items
             if isinstance(t, Text) and t.content != "?"]  # fmt: skip
    for i, one in enumerate(names):
        shrunk = [other for other in names[i + 1 :] if one.grown(-0.4).overlaps(other.grown(-0.4))]
        assert not shrunk
    assert sum(isinstance(g, Group) for g in scene.items) == len(items) + book


@pytest.mark.parametrize(
    ("spec", "width_px", "words"),
    [
        (StripSpec(()), 1400, "at least one insert"),
        (strip(2), 200, "at least 240 px"),
        (StripSpec((StripItem("1", "Pass", "known", "", 5, 5),)), 1400, "is no standing"),
        (StripSpec((StripItem("1", "Pass", "thin", "", 0, 5),)), 1400, "Pass: a size must be more than 0 mm"),
    ],
)
def test_what_cannot_be_drawn(spec: StripSpec, width_px: float, words: str) -> None:
    with pytest.raises(DomainError, match=words):
        draw_strip(spec, width_px)
