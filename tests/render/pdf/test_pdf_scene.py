"""Scenes as PDF: true size, embedded letters, the tones, the same bytes; read back by qpdf, poppler and pdfium."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import zlib
from pathlib import Path

import numpy as np
import pytest

from doublure.errors import DomainError
from doublure.model.artwork import ArtworkStream
from doublure.render.pdf.scene import render_scenes
from doublure.render.pdf.typefaces import set_width_mm, spell
from doublure.render.scene import (
    HAIR,
    HEAVY,
    LINE,
    Anchor,
    Circle,
    Close,
    Curve,
    Fit,
    Group,
    Image,
    Item,
    Line,
    Move,
    Pen,
    Polyline,
    Rect,
    Scene,
    Straight,
    Text,
    Tone,
)
from doublure.render.scene import (
    Path as ScenePath,
)
from needs import needs
from pdf_reading import (
    assert_sound,
    dark_box_mm,
    draw_page,
    draw_with_poppler,
    list_fonts,
    list_images,
    read_boxes,
    read_info,
    read_text,
)

PPI = 600


def scene(*items: Item, width: float = 60.0, height: float = 40.0, title: str = "A sheet") -> Scene:
    return Scene(width, height, title, "", items)


def box(*items: Item) -> tuple[float, float, float, float]:
    return dark_box_mm(draw_page(render_scenes([scene(*items)]), ppi=PPI), PPI)


def near(*values: float) -> object:
    """Within a pixel and a half of the drawing at 600 ppi."""
    return pytest.approx(values, abs=0.065)


GREYS = ArtworkStream(
    "0" * 64, "grey", 4, 2, "FlateDecode", 8, 1, False, 0, zlib.compress(bytes([0, 9, 9, 9, 9, 9, 9, 9]))
)
EVERYTHING = (
    Rect(1, 1, 58, 38, HAIR, Tone.PAPER2, 3),
    Line(5, 5, 20, 5, LINE),
    Polyline(((5, 10), (10, 15), (5, 20)), HEAVY, Tone.SOFT, True),
    ScenePath((Move(20, 10), Curve(25, 0, 30, 20, 35, 10), Straight(35, 20), Close()), LINE, Tone.LINE),
    Circle(45, 15, 5, Pen(0.5, Tone.INK, (0, 1.2), True), Tone.PAPER),
    Group((Text(10, 30, "Größe 4⅓″", 4, bold=True), Text(50, 30, "turned", 3, Anchor.END, turn_deg=20))),
    Group((Image(40, 25, 10, 5, "a"),), window_mm=(40, 25, 5, 5), turned_about_mm=(45, 27)),
)


def test_everything_is_drawn_at_its_place_in_true_size() -> None:
    assert box(Rect(10, 5, 30, 20, None, Tone.INK)) == near(10, 5, 40, 25)
    assert box(Line(10, 10, 50, 10, Pen(1.0))) == near(10, 9.5, 50, 10.5)
    assert box(Line(10, 10, 50, 10, Pen(1.0, round_ends=True))) == near(9.5, 9.5, 50.5, 10.5)
    assert box(Circle(30, 20, 7, None, Tone.ACCENT)) == near(23, 13, 37, 27)
    assert box(Polyline(((10, 10), (20, 10), (10, 30)), None, Tone.INK)) == near(10, 10, 20, 30)
    arc = ScenePath((Move(10, 20), Curve(10, 10, 20, 10, 20, 20), Close()), None, Tone.INK)
    # The curve's own top, at half its parameter: 1/8·20 + 3/8·10 + 3/8·10 + 1/8·20.
    assert box(arc) == near(10, 12.5, 20, 20)
    assert box(Rect(10, 5, 30, 20, Pen(0.5), None, 4)) == near(9.75, 4.75, 40.25, 25.25)


def test_rounded_corners_are_cut_and_square_ones_are_not() -> None:
    drawn = draw_page(render_scenes([scene(Rect(10, 10, 20, 20, None, Tone.INK, 5))]), ppi=PPI)
    pixel = PPI / 25.4
    # A corner of radius r is r·(√2 − 1)/√2 away from its circle, measured along each axis.
    gone, kept = 5 * (1 - 2**-0.5) - 0.1, 5 * (1 - 2**-0.5) + 0.1
    for x, y in ((10, 10), (30, 10), (10, 30), (30, 30)):
        to_x, to_y = (1 if x == 10 else -1), (1 if y == 10 else -1)
        at = [
            drawn[int((y + to_y * depth) * pixel), int((x + to_x * depth) * pixel)] for depth in (gone, kept)
        ]
        assert at[0] > 200
        assert at[1] < 50


def test_a_smaller_scene_stands_in_the_middle_of_a_larger_page() -> None:
    content = render_scenes([scene(Rect(0, 0, 60, 40, None, Tone.INK))], 100, 80)
    assert dark_box_mm(draw_page(content, ppi=PPI), PPI) == near(20, 20, 80, 60)


def test_a_scene_that_is_too_large_is_refused() -> None:
    with pytest.raises(DomainError, match="60 x 40 mm and the page only 50 x 50 mm"):
        render_scenes([scene()], 50, 50)
    with pytest.raises(DomainError, match="at least one page"):
        render_scenes([])


@pytest.mark.parametrize(
    ("tone", "grey"), [(Tone.INK, 0), (Tone.ACCENT, 0), (Tone.PAPER, 255), (Tone.SOFT, 64)]
)
def test_tones_become_black_and_greys(tone: Tone, grey: int) -> None:
    drawn = draw_page(render_scenes([scene(Rect(0, 0, 60, 40, None, tone))]), ppi=72)
    assert abs(int(drawn[20, 20]) - grey) <= 1


def test_text_stands_at_its_anchor_and_turns_about_it() -> None:
    width = set_width_mm("HHHH", 5)
    # The strokes of an H of Vera begin 0.098 em beside its place, and capitals are 0.729 em high (read off the
    # font's own tables: lsb 201 and cap height 1493 of 2048).
    side, cap = 201 / 2048 * 5, 1493 / 2048 * 5
    assert box(Text(10, 20, "HHHH", 5)) == near(10 + side, 20 - cap, 10 + width - side, 20)
    end = box(Text(50, 20, "HHHH", 5, Anchor.END))
    assert end == near(50 - width + side, 20 - cap, 50 - side, 20)
    middle = box(Text(30, 20, "HHHH", 5, Anchor.MIDDLE))
    assert middle == near(30 - width / 2 + side, 20 - cap, 30 + width / 2 - side, 20)
    # Clockwise by a quarter: it runs downwards, and stands to the right of its baseline's left side.
    turned = box(Text(30, 10, "HHHH", 5, turn_deg=90))
    assert turned == near(30, 10 + side, 30 + cap, 10 + width - side)
    upside = box(Text(30, 20, "HHHH", 5, turn_deg=180))
    assert upside == near(30 - width + side, 20, 30 - side, 20 + cap)


def test_groups_can_be_seen_through_a_window_or_turned_half_round() -> None:
    block = Rect(10, 10, 20, 5, None, Tone.INK)
    assert box(Group((block,), window_mm=(25, 0, 30, 30))) == near(25, 10, 30, 15)
    assert box(Group((block,), turned_about_mm=(30, 20))) == near(30, 25, 50, 30)
    assert box(Group((block,), window_mm=(0, 0, 40, 40), turned_about_mm=(30, 20))) == near(30, 25, 40, 30)
    # What comes after is neither cut nor turned, and has its own ink again.
    after = (Group((Rect(1, 1, 1, 1, None, Tone.PAPER),), window_mm=(0, 0, 1, 1)), block)
    assert box(*after) == near(10, 10, 30, 15)


@pytest.mark.parametrize(("fit", "expected"), [(Fit.COVER, (10, 5, 14, 13)), (Fit.WITHIN, (10, 8, 14, 10))])
def test_pictures_fill_or_fit_their_frame(fit: Fit, expected: tuple[float, ...]) -> None:
    dark = ArtworkStream("0" * 64, "grey", 4, 2, "FlateDecode", 8, 1, False, 0, zlib.compress(bytes(8)))
    content = render_scenes([scene(Image(10, 5, 4, 8, "a", fit))], pictures=lambda _: dark)
    assert dark_box_mm(draw_page(content, ppi=PPI), PPI) == near(*expected)


def test_a_picture_that_is_not_to_be_had_is_left_out() -> None:
    content = render_scenes([scene(Image(10, 5, 4, 8, "a"))], pictures=lambda _: None)
    assert (draw_page(content) == 255).all()
    assert (draw_page(render_scenes([scene(Image(10, 5, 4, 8, "a"))])) == 255).all()


@pytest.mark.parametrize(
    ("words", "spelt"),
    [
        ("Größe, naïve, ½", "Größe, naïve, ½"),
        ("4⅓″ × 6′", "4 1/3\" × 6'"),
        ("⅔", "2/3"),
        ("10⁻³ and m²", "10^−3 and m²"),
        ("m⁴", "m^4"),
        ("a\u2009b\u202fc", "a b c"),
        ("ášő", "ášo"),
        ("☐ done → next", "[ ] done -> next"),
        ("non‑breaking soft\u00adhyphen", "non-breaking softhyphen"),
        ("line\nbreak\ttab", "line break tab"),
        ("мор", "???"),
        ("e\u0301", "é"),
        ("x\u0000\u200by", "xy"),
    ],
)
def test_letters_that_the_face_lacks_are_replaced(words: str, spelt: str) -> None:
    assert spell(words) == spelt


@needs("poppler", "qpdf")
def test_other_programs_find_a_sound_file(tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    pages = [scene(*EVERYTHING, title="Front"), scene(*EVERYTHING, title="Back")]
    path.write_bytes(render_scenes(pages, 70, 50, "The backs’ target", lambda _: GREYS))
    assert_sound(path)
    fonts = list_fonts(path)
    assert len(fonts) == 2
    assert all(font.embedded and font.subset and font.unicode for font in fonts)
    info = read_info(path)
    assert info["Title"] == "The backs’ target"
    assert info["Pages"] == "2"
    assert not {"Creator", "Producer", "Author", "CreationDate", "ModDate"} & set(info)
    assert read_boxes(path)["MediaBox"] == pytest.approx((0, 0, 70 / 25.4 * 72, 50 / 25.4 * 72), abs=0.01)
    # The picture is there once, whatever shows it.
    assert len({row["object"] for row in list_images(path)}) == 1
    assert 'Größe 4 1/3"' in read_text(path)


@needs("poppler")
def test_poppler_draws_it_at_the_same_place(tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    path.write_bytes(render_scenes([scene(Rect(10, 5, 30, 20, None, Tone.INK))]))
    assert dark_box_mm(draw_with_poppler(path, tmp_path, ppi=PPI), PPI) == near(10, 5, 40, 25)


def test_letters_can_number_more_than_a_byte_holds() -> None:
    letters = "".join(chr(code) for code in range(0x20, 0x180))
    lines = [Text(1, 2 + i, letters[i * 30 : i * 30 + 30], 1) for i in range(12)]
    drawn = draw_page(render_scenes([scene(*lines)]))
    assert int(np.count_nonzero(drawn < 128)) > 1000


def test_the_same_scenes_give_the_same_bytes_whatever_the_hash_seed() -> None:
    code = (
        "import sys, hashlib; sys.path[:0] = sys.argv[1].split(';'); import test_pdf_scene as t; "
        "print(hashlib.sha256(t.render_scenes([t.scene(*t.EVERYTHING)], 70, 50, '', lambda _: t.GREYS)).hexdigest())"
    )
    here = Path(__file__).resolve()
    places = f"{here.parent};{here.parents[2]}"
    found = set()
    for seed in ("0", "1", "77"):
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        result = subprocess.run(
            [sys.executable, "-c", code, places], capture_output=True, text=True, env=environment, check=True
        )
        found.add(result.stdout.strip())
    own = hashlib.sha256(render_scenes([scene(*EVERYTHING)], 70, 50, "", lambda _: GREYS)).hexdigest()
    assert found == {own}
