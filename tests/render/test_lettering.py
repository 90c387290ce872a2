"""Estimated widths of words, against fonts that systems really fall back to, where they are installed."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from doublure.render.lettering import shorten, text_width_mm, wrap_or_shorten, wrap_words

_FOLDER = Path("/usr/share/fonts/truetype")
_FONTS = {
    "DejaVu Sans": "dejavu/DejaVuSans",
    "Liberation Sans": "liberation/LiberationSans",
}
_SAMPLES = (
    "Tide table for the spring quarter",
    "MAP OF THE WESTERN SOUND",
    "63.5 ± 1.5 mm × 2 ½ in",
    "illicit jottings, fitfully filed",
    "Größe, çédille, Øresund, Łódź",
    "“quoted” — and 33–48 (°C) @ 7/8″",
)


@pytest.mark.parametrize("font", sorted(_FONTS))
@pytest.mark.parametrize("bold", [False, True])
def test_no_common_font_is_wider_than_the_estimate(font: str, bold: bool) -> None:
    weights = ("-Bold",) if bold else ("", "-Regular")
    found = [p for w in weights if (p := _FOLDER / f"{_FONTS[font]}{w}.ttf").is_file()]
    if not found:
        pytest.skip(f"{font} is not installed")
    face = ImageFont.truetype(str(found[0]), 1000)
    for text in _SAMPLES:
        measured = face.getlength(text) / 1000
        estimated = text_width_mm(text, 1.0, bold)
        assert measured <= estimated * 1.005, text
        # Generous, but not so that labels are left out for nothing.
        assert estimated <= measured * 1.6, text


def test_marks_that_take_no_room() -> None:
    assert text_width_mm("e\u0301", 2.0) == text_width_mm("é", 2.0) == text_width_mm("e", 2.0)
    assert text_width_mm("a\u200bb", 2.0) == text_width_mm("ab", 2.0)
    assert text_width_mm("漢", 1.0) == pytest.approx(1.1)


_WORDS = st.lists(st.text("abimwTW-é3", min_size=1, max_size=9), min_size=1, max_size=7).map(" ".join)


@given(_WORDS, st.floats(5, 60), st.floats(0, 8))
def test_wrapped_lines_fit_and_lose_nothing(text: str, width: float, indent: float) -> None:
    lines = wrap_words(text, 3.0, width, indent)
    if lines is None:
        assert max(text_width_mm(word, 3.0) for word in text.split()) > width
        return
    assert " ".join(line for line in lines if line) == text
    for i, line in enumerate(lines):
        assert text_width_mm(line, 3.0) <= width - (indent if i == 0 else 0) + 1e-5 or line == ""


@given(_WORDS, st.floats(1, 60), st.booleans())
def test_shortened_text_fits(text: str, width: float, bold: bool) -> None:
    short = shorten(text, 3.0, width, bold)
    assert text_width_mm(short, 3.0, bold) <= width
    assert short in (text, "") or (short.endswith("…") and text.startswith(short[:-1]))


@given(_WORDS, st.floats(4, 60), st.integers(1, 4), st.booleans())
def test_wrapped_or_shortened_lines_fit(text: str, width: float, count: int, bold: bool) -> None:
    lines = wrap_or_shorten(text, 3.0, width, count, bold)
    assert 1 <= len(lines) <= count
    assert all(text_width_mm(line, 3.0, bold) <= width + 1e-9 for line in lines)


def test_an_indent_can_push_the_first_word_down() -> None:
    assert wrap_words("Photograph of it", 3.0, 19.0, 6.0) == ("", "Photograph", "of it")
    assert wrap_words("Photograph of it", 3.0, 19.0) == ("Photograph", "of it")
