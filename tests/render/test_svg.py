"""Scene to SVG: well formed, escaped, named, free of colours, the same bytes every time."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.render.extent import extent
from doublure.render.scene import (
    FINE,
    HAIR,
    Anchor,
    Box,
    Circle,
    Close,
    Curve,
    Fit,
    Group,
    Image,
    Item,
    Line,
    Move,
    Path,
    Pen,
    Polyline,
    Rect,
    Scene,
    Straight,
    Text,
    Tone,
)
from doublure.render.svg import render_svg

SVG = "{http://www.w3.org/2000/svg}"


def scene(*items: Item, title: str = "A drawing", description: str = "What it shows") -> Scene:
    return Scene(40.0, 30.0, title, description, items)


def parse(text: str) -> ElementTree.Element:
    return ElementTree.fromstring(text)


def test_root_names_itself() -> None:
    root = parse(render_svg(scene(Line(0, 0, 1, 1, FINE)), "fig-1", "dw-wide"))
    assert root.get("role") == "img"
    assert root.get("class") == "dw dw-wide"
    assert root.get("viewBox") == "0 0 40 30"
    assert (root.get("width"), root.get("height")) == ("40mm", "30mm")
    ids = {e.get("id"): e.text for e in root.iter() if e.get("id")}
    assert ids == {"fig-1-title": "A drawing", "fig-1-desc": "What it shows"}
    assert root.get("aria-labelledby") == "fig-1-title"
    assert root.get("aria-describedby") == "fig-1-desc"


def test_a_drawing_with_links_is_no_image_to_assistive_software() -> None:
    # WAI-ARIA 1.2: what is inside role img is presentational, so links there could not be reached; from memory.
    link = Group((Rect(0, 0, 5, 5, FINE),), "Pass, 5 × 5 mm, thin", "pass.html", "thin")
    root = parse(render_svg(scene(link), "a"))
    assert root.get("role") == "group"
    anchor = root.find(f"{SVG}a")
    assert anchor is not None
    assert anchor.get("href") == "pass.html"
    assert anchor.get("aria-label") is None
    assert anchor.get("class") == "dw-link dw-standing-thin"
    assert anchor.findtext(f"{SVG}title") == "Pass, 5 × 5 mm, thin"


def test_hidden_drawings_have_no_name_and_no_ids() -> None:
    root = parse(render_svg(scene(Line(0, 0, 1, 1, FINE)), "a", hidden=True))
    assert root.get("aria-hidden") == "true"
    assert root.get("role") is None
    assert root.find(f"{SVG}title") is None
    assert not any(e.get("id") for e in root.iter())
    with pytest.raises(DomainError, match="cannot be hidden"):
        render_svg(scene(Group((), "x", "x.html")), "a", hidden=True)


@pytest.mark.parametrize("prefix", ["", "1a", "a b", "a.b", "é", "-a", 'a"'])
def test_prefixes_that_begin_no_id(prefix: str) -> None:
    with pytest.raises(DomainError, match="cannot begin an id"):
        render_svg(scene(), prefix)


def test_a_drawing_needs_a_title() -> None:
    with pytest.raises(DomainError, match="needs a title"):
        render_svg(scene(title=" "), "a")


NASTY = "<b>&amp; \"quoted\" 'single' \x00\x0b\nend"


@given(st.text(max_size=40))
def test_any_words_survive(words: str) -> None:
    texts = scene(
        Text(1, 1, words, 3.0), Group((), words, "x.html?a=1&b=2"), title=f"T{words}", description=words
    )
    root = parse(render_svg(texts, "a"))
    kept = (root.findtext(f"{SVG}title") or "")[1:]
    assert len(kept) == len(words)
    # White space becomes a space, what XML has no room for the replacement character; all else stays.
    assert all(
        a == b or (b in "\t\n\r" and a == " ") or a == "\ufffd" for a, b in zip(kept, words, strict=True)
    )
    assert "\ufffd" not in kept or any(ord(c) < 32 or c in "\ufffd\ufffe\uffff" for c in words)
    anchor = root.find(f"{SVG}a")
    assert anchor is not None
    assert anchor.get("href") == "x.html?a=1&b=2"


def test_markup_in_words_stays_words() -> None:
    text = render_svg(scene(Text(1, 1, NASTY, 3.0), title=NASTY), "a")
    assert "<b>" not in text
    assert "\x00" not in text
    assert (parse(text).findtext(f"{SVG}text") or "").startswith("<b>&amp; \"quoted\" 'single' ")


EVERYTHING = scene(
    Line(0, 0, 10, 10, HAIR),
    Polyline(((0, 0), (1, 2.005), (3, 4)), FINE, Tone.PAPER),
    Polyline(((0, 0), (1, 2), (3, 4)), None, Tone.ACCENT, closed=True),
    Path(
        (Move(0, 0), Straight(1, 1), Curve(1, 2, 3, 4, 5, 6), Close()), Pen(0.3, Tone.SOFT, (0.0, 0.9), True)
    ),
    Rect(1, 1, 5, 5, Pen(0.3, Tone.ACCENT), Tone.PAPER2, 0.5),
    Rect(1, 1, 5, 5),
    Circle(5, 5, 1, None, Tone.INK),
    Text(5, 5, "x", 3, Anchor.MIDDLE, Tone.PAPER, True, True, 45),
    Image(1, 1, 4, 4, "a.webp", Fit.WITHIN),
    Image(1, 1, 4, 4, "a.webp"),
    Group((Line(-0.001, 0, 1 / 3, 1e6, FINE),), role="current"),
)


def test_every_primitive() -> None:
    root = parse(render_svg(EVERYTHING, "a"))
    tags = [e.tag.removeprefix(SVG) for e in root]
    assert tags == [
        "title", "desc", "line", "polyline", "polygon", "path", "rect", "rect", "circle", "text", "image", "image", "g",
    ]  # fmt: skip
    line, polyline, polygon, path, rect, bare, circle, text, within, cover, group = list(root)[2:]
    assert (line.get("class"), line.get("stroke-width")) == ("dw-hair", "0.18")
    assert polyline.get("class") == "dw-fill-paper dw-line"
    assert (polygon.get("fill"), polygon.get("stroke")) == ("currentColor", "none")
    assert path.get("d") == "M0 0L1 1C1 2 3 4 5 6Z"
    assert (path.get("stroke-dasharray"), path.get("stroke-linecap")) == ("0 0.9", "round")
    assert (rect.get("rx"), rect.get("fill")) == ("0.5", None)
    assert (bare.get("stroke"), bare.get("class")) == ("none", None)
    assert circle.get("fill") == "currentColor"
    assert (text.get("transform"), text.get("font-weight")) == ("rotate(45 5 5)", "700")
    assert (text.get("class"), text.get("text-anchor")) == ("dw-text-paper", "middle")
    assert within.get("preserveAspectRatio") == "xMidYMid meet"
    assert cover.get("preserveAspectRatio") == "xMidYMid slice"
    assert cover.get("aria-hidden") == "true"
    assert group.get("class") == "dw-current"
    assert (group[0].get("x1"), group[0].get("x2"), group[0].get("y2")) == ("0", "0.33", "1000000")


def test_ticks_are_short() -> None:
    ticks = Path((Move(1, 2), Straight(1, 5), Straight(4, 5), Close(), Straight(4, 9), Straight(6, 8)), FINE)
    text = render_svg(scene(ticks), "a")
    assert 'd="M1 2V5H4ZL4 9L6 8"' in text


def test_bytes_are_stable_and_lean() -> None:
    text = render_svg(EVERYTHING, "a")
    assert text == render_svg(EVERYTHING, "a")
    assert "\n\n" not in text
    assert not re.search(r"\d\.\d{3}", text)
    assert "-0" not in text.replace("xlink", "")


def test_no_colour_of_its_own() -> None:
    text = render_svg(EVERYTHING, "a")
    assert not re.search(r"#[0-9a-fA-F]{3,8}\b|rgba?\(|hsla?\(| style=", text)
    assert set(re.findall(r'(?:fill|stroke)="([^"]*)"', text)) == {"none", "currentColor"}


def test_a_window_shows_a_part_and_a_half_turn_turns_it() -> None:
    picture = Image(0, 0, 30, 20, "a.webp")
    turned = Group((picture,), "Seen in part", window_mm=(10, 5, 8, 4), turned_about_mm=(15, 10))
    text = render_svg(scene(turned, Group((picture,), window_mm=(0, 0, 1, 1))), "fig")
    root = parse(text)
    ids = [e.get("id") for e in root.iter(f"{SVG}clipPath")]
    assert ids == ["fig-window-1", "fig-window-2"]
    first = root.find(f"{SVG}clipPath/{SVG}rect")
    assert first is not None
    assert [first.get(name) for name in ("x", "y", "width", "height")] == ["10", "5", "8", "4"]
    assert 'clip-path="url(#fig-window-1)"' in text
    assert 'transform="rotate(180 15 10)"' in text
    assert extent(turned) == Box(10, 5, 18, 9)
    beyond = Group((picture,), window_mm=(40, 40, 2, 2))
    assert extent(beyond) is None
