"""The colours of the look against the contrast that WCAG demands.

Sources, seen when this was written (2026):
    W3C, "MathML version of the relative luminance definition" (WCAG 2.2): relative luminance of an sRGB colour.
    wcag.eu, knowledge base, "Use enough contrast for text": 4.5:1 for text; #777777 on white has 4.47:1.
From memory: WCAG 2.2, 1.4.3 and 1.4.11: 4.5:1 for text, 3:1 for parts of controls; contrast ratio
    (L1 + 0.05) / (L2 + 0.05).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import doublure

ASSETS = Path(doublure.__file__).resolve().parent / "theme" / "assets"
BLOCK = re.compile(r"(?P<head>[^{}]*)\{(?P<body>[^{}]*)\}")
TOKEN = re.compile(r"--db-([a-z0-9-]+):\s*(#[0-9a-f]{6}|#[0-9a-f]{3});")


def luminance(colour: str) -> float:
    """Return the relative luminance of "#rrggbb" or "#rgb", from 0 for black to 1 for white."""
    digits = colour.removeprefix("#")
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def schemes(sheet: str) -> list[dict[str, str]]:
    """Return the colours of every block of a style sheet that sets them."""
    found = [
        dict(TOKEN.findall(match["body"])) for match in BLOCK.finditer((ASSETS / sheet).read_text("utf-8"))
    ]
    return [colours for colours in found if "paper" in colours]


SCREEN = schemes("tokens.css")
PRINT = schemes("print.css")
#: Text on its ground, and parts of controls on theirs.
TEXT = [
    ("ink", "paper"), ("ink", "paper-2"), ("ink-soft", "paper"), ("ink-soft", "paper-2"),
    ("accent", "paper"), ("accent", "paper-2"), ("ink", "mark"), ("paper", "ink"),
]  # fmt: skip
CONTROLS = [("edge", "paper"), ("accent", "paper")]


def test_the_formula_gives_published_ratios() -> None:
    assert contrast("#000", "#fff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.47, abs=0.01)


def test_both_schemes_and_print_are_there() -> None:
    assert len(SCREEN) == 3
    assert len(PRINT) == 1


def test_dark_by_wish_is_dark_by_choice() -> None:
    # The scheme that the system wishes for and the one chosen by the button are written down twice.
    light, wished, chosen = SCREEN
    assert wished == chosen
    assert luminance(light["paper"]) > luminance(light["ink"])
    assert luminance(chosen["paper"]) < luminance(chosen["ink"])


@pytest.mark.parametrize("colours", [*SCREEN, *PRINT], ids=["light", "dark", "dark chosen", "print"])
def test_contrast_is_enough(colours: dict[str, str]) -> None:
    for fore, ground in TEXT:
        assert contrast(colours[fore], colours[ground]) >= 4.5, f"{fore} on {ground}"
    for fore, ground in CONTROLS:
        assert contrast(colours[fore], colours[ground]) >= 3.0, f"{fore} on {ground}"
