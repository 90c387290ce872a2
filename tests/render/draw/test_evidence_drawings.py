"""Stems, readings and size: as many stalks as witnesses, values true on their axis, folds where they are."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.render.draw.readings import ReadingPoint, ReadingsSpec, StemReadings, draw_readings
from doublure.render.draw.size import FoldLine, PlaceOnPage, SizeSpec, draw_size
from doublure.render.draw.stems import StemGrowth, StemSource, StemsSpec, draw_stems
from doublure.render.extent import walk
from doublure.render.scene import (
    Circle,
    Line,
    Path,
    Rect,
    Scene,
    Text,
    Tone,
)
from drawing_reading import groups, inside, words
from drawing_samples import CHART, PASS, READINGS, STEMS


def test_as_many_stalks_as_witnesses() -> None:
    scene = draw_stems(STEMS, 1200)
    stalks = [
        i for i in walk(scene.items) if isinstance(i, Path) and i.pen is not None and i.pen.width_mm == 0.5
    ]
    assert len(stalks) == 2
    assert scene.description == "8 sources on 3 stems: 2 independent witnesses."
    assert (
        "Newspaper cut of the plate in the programme of the revival, halftone, copied from Programme plate IV"
        in [g.title for g in groups(scene)]
    )


def test_copies_stand_above_what_they_were_copied_from() -> None:
    scene = draw_stems(STEMS, 1200)
    node = {}
    for group in groups(scene):
        dots = [i for i in group.items if isinstance(i, Circle)]
        if dots:
            node[group.title.split(",")[0]] = (dots[0].x_mm, dots[0].y_mm)
    for copy, first in (
        ("Programme plate IV", "Prompt book photograph"),
        ("Newspaper cut of the plate in the programme of the revival", "Programme plate IV"),
        ("Contact print held by the wardrobe", "Prompt book photograph"),
    ):
        assert node[copy][1] < node[first][1]
        assert node[copy][0] > node[first][0]


def test_stems_refuse_circles_and_strangers() -> None:
    a, b = StemSource("a", "First", copied_from="b"), StemSource("b", "Second", copied_from="a")
    with pytest.raises(DomainError, match="in a circle"):
        draw_stems(StemsSpec((StemGrowth("x", (a, b)),)))
    with pytest.raises(DomainError, match="copied from z, which is not on its stem"):
        draw_stems(StemsSpec((StemGrowth("x", (StemSource("a", "First", copied_from="z"),)),)))
    with pytest.raises(DomainError, match="no stems"):
        draw_stems(StemsSpec(()))


@settings(max_examples=30, deadline=None)
@given(st.lists(st.integers(0, 30), min_size=1, max_size=24), st.sampled_from([260, 390, 1200]))
def test_any_tree_of_copies_fits(parents: list[int], width_px: float) -> None:
    sources = tuple(
        StemSource(
            str(i), f"Source {i} of the harbour", "print", str(p % i) if i and p % 5 else "", p % 2 == 0
        )
        for i, p in enumerate(parents)
    )
    assert inside(draw_stems(StemsSpec((StemGrowth("x", sources), StemGrowth("y", ()))), width_px))


@pytest.mark.parametrize("width_px", [390, 900])
def test_readings_lie_true_on_their_axis(width_px: float) -> None:
    scene = draw_readings(READINGS, width_px)
    points = {}
    for group in groups(scene):
        dots = [i for i in group.items if isinstance(i, Circle) and i.fill is not None]
        if dots and ": " in group.title and not group.title.startswith("Stem"):
            points[group.title.split(":")[0]] = dots[0].x_mm
    values = {r.source: r.value for s in READINGS.stems for r in s.readings}
    assert set(points) == set(values)
    low, high = "Programme plate IV", "Lot 41, stated size"
    scale = (points[high] - points[low]) / (values[high] - values[low])
    for source, value in values.items():
        assert points[source] == pytest.approx(points[low] + (value - values[low]) * scale)
    figures = [t for t in walk(scene.items) if isinstance(t, Text) and t.content.isdigit()]
    for figure in figures:
        assert figure.x_mm == pytest.approx(points[low] + (int(figure.content) - values[low]) * scale)


def test_readings_point_out_the_odd_one_and_what_is_not_stated() -> None:
    scene = draw_readings(READINGS, 900)
    titles = [g.title for g in groups(scene)]
    assert "Lot 41, stated size: 69.8 ± 0.7 mm, the odd one" in titles
    assert "Programme plate IV: 62.9 mm, uncertainty not stated" in titles
    assert "decided 64 mm, disputed" in titles
    assert words(scene).count("the odd one") == 1
    assert "together 64.10 ± 0.55 mm" in words(scene)
    assert "63.5 ± 0.9" in words(scene)


@pytest.mark.parametrize(
    ("value", "u", "shown"),
    [(63.456, 1.5, "63.5 ± 1.5"), (63.456, 0.95, "63.46 ± 0.95"), (104.2, 12, "104 ± 12"), (5, 2, "5 ± 2"),
     (0.1123, 0.003, "0.112 ± 0.003"), (99.96, 0.10, "100.0 ± 0.1")],
)  # fmt: skip
def test_uncertainty_fixes_the_decimals(value: float, u: float, shown: str) -> None:
    # JCGM 100:2008, 7.2.6: two figures of the uncertainty usually suffice, the value is rounded to match.
    spec = ReadingsSpec("width", "mm", (StemReadings("a", (ReadingPoint("b", value, u),)),))
    assert shown in words(draw_readings(spec, 900))


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(1, 400), st.none() | st.floats(0, 30)), min_size=1, max_size=8),
    st.sampled_from([280, 390, 900]),
    st.none() | st.floats(1, 400),
)
def test_any_readings_fit(
    read: list[tuple[float, float | None]], width_px: float, decided: float | None
) -> None:
    points = tuple(ReadingPoint(f"Photograph {i}", v, u, odd=i == 2) for i, (v, u) in enumerate(read))
    spec = ReadingsSpec(
        "width", "mm", (StemReadings("Stem", points, read[0][0], 1.0),), (read[0][0], 0.5),
        (read[0][0] - 1, read[0][0] + 1), "95 % interval", decided, "thin",
    )  # fmt: skip
    assert inside(draw_readings(spec, width_px))


def test_readings_that_cannot_be_drawn() -> None:
    with pytest.raises(DomainError, match="no readings"):
        draw_readings(ReadingsSpec("width", "mm", ()))
    bad = ReadingsSpec("width", "mm", (StemReadings("a", (ReadingPoint("b", 5, -1),)),))
    with pytest.raises(DomainError, match="cannot be negative"):
        draw_readings(bad)


def paper(scene: Scene, tone: Tone) -> list[Rect]:
    return [i for i in walk(scene.items) if isinstance(i, Rect) and i.fill is tone]


@pytest.mark.parametrize("width_px", [390, 760])
@pytest.mark.parametrize("spec", [PASS, CHART], ids=["pass", "chart"])
def test_piece_and_page_are_to_one_scale(spec: SizeSpec, width_px: float) -> None:
    scene = draw_size(spec, width_px)
    flat, laid = paper(scene, Tone.PAPER2)
    page = paper(scene, Tone.PAPER)[0]
    scale = flat.width_mm / spec.width_mm
    assert flat.height_mm == pytest.approx(spec.height_mm * scale)
    assert spec.place is not None
    assert (laid.width_mm, laid.height_mm) == pytest.approx(
        (spec.place.width_mm * scale, spec.place.height_mm * scale)
    )
    assert (page.width_mm, page.height_mm) == pytest.approx((98 * scale, 158 * scale))
    if spec is PASS:
        # On a verso the gutter is at the right: 8 mm from it, 12 mm above the head.
        assert page.x_mm + page.width_mm - laid.x_mm - laid.width_mm == pytest.approx(8 * scale)
        assert page.y_mm - laid.y_mm == pytest.approx(12 * scale)


def test_size_in_both_units() -> None:
    shown = words(draw_size(PASS, 760))
    # 64 mm / 25.4 = 2.5197 in, 121 mm / 25.4 = 4.7638 in.
    for text in ("64 mm", "2.52 in", "121 mm", "4.76 in", "8 mm", "12 mm", "60.5 mm", "grain"):
        assert text in shown


def test_only_what_is_known_to_stand_out_is_hatched() -> None:
    def hatched(spec: SizeSpec) -> int:
        return sum(
            isinstance(i, Path) and i.pen is not None and i.pen.tone is Tone.ACCENT
            for i in walk(draw_size(spec, 760).items)
        )

    assert hatched(PASS) == 1
    assert hatched(CHART) == 0
    assert any("place open in part" in text for text in words(draw_size(CHART, 760)))


def test_folds_lie_where_they_are() -> None:
    scene = draw_size(CHART, 760)
    flat = paper(scene, Tone.PAPER2)[0]
    scale = flat.width_mm / 297
    folds = {g.title: g.items[0] for g in groups(scene) if g.title.startswith("Fold")}
    assert sorted(folds) == [
        "Fold 198 mm from the left edge, away from the reader", "Fold 99 mm from the left edge, towards the reader",
    ]  # fmt: skip
    for title, line in folds.items():
        assert isinstance(line, Line)
        assert line.x1_mm - flat.x_mm == pytest.approx((99 if " 99 " in title else 198) * scale)
    dashes = {line.pen.dash_mm for line in folds.values() if isinstance(line, Line)}
    assert len(dashes) == 2


@settings(max_examples=60, deadline=None)
@given(
    st.floats(4, 1200), st.floats(4, 1200), st.floats(-60, 120), st.none() | st.floats(-60, 120),
    st.sampled_from(["left", "right"]), st.sampled_from([240, 390, 760]), st.sampled_from(["", "width", "height"]),
)  # fmt: skip
def test_any_size_fits(
    width: float, height: float, gap: float, head: float | None, gutter: str, width_px: float, grain: str
) -> None:
    place = PlaceOnPage("page 7", 98, 158, gutter, min(width, 300), min(height, 300), gap, head)
    folds = (FoldLine("height", width / 3, "in"), FoldLine("width", height / 2, "out"))
    assert inside(draw_size(SizeSpec("Pass", width, height, "assumed", folds, grain, place), width_px))
    assert inside(draw_size(SizeSpec("Pass", width, height, "disputed"), width_px))


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"width_mm": 0.0}, "must be more than 0 mm"),
        ({"grain": "long"}, "Grain runs along"),
        ({"folds": (FoldLine("height", 64.0),)}, "a fold at 64 mm misses the piece"),
        ({"folds": (FoldLine("across", 3.0),)}, "A fold runs along"),
        ({"standing": "sure"}, "is no standing"),
        ({"place": PlaceOnPage("p", 98, 158, "top", 5, 5)}, "The gutter is at"),
        ({"place": PlaceOnPage("p", 98, 0, "left", 5, 5)}, "more than 0 mm wide and high"),
    ],
)
def test_sizes_that_cannot_be_drawn(change: dict[str, object], text: str) -> None:
    with pytest.raises(DomainError, match=text):
        draw_size(dataclasses.replace(PASS, **change))  # type: ignore[arg-type]
