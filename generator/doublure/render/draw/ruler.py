"""A ruler to the scale of what lies along it: inches on its upper edge, millimetres on its lower.

In: place and length on the drawing, and how many drawn mm make a real one. Out: scene items.
Never: anything that is measured against it.
"""

from __future__ import annotations

from doublure.render.draw.figures import MM_PER_INCH
from doublure.render.lettering import text_width_mm
from doublure.render.scene import (
    FINE,
    HAIR,
    LINE,
    Anchor,
    Item,
    Line,
    Move,
    Path,
    Rect,
    Step,
    Straight,
    Text,
    Tone,
)

#: Height of the ruler's body on the drawing, mm.
RULER_MM = 8.4

_FIGURE_MM = 2.5
_MM_STEPS = (1.0, 5.0, 10.0, 50.0, 100.0, 500.0)
_MM_FIGURES = (10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
_INCH_STEPS = (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0, 2.0, 10.0)
_INCH_FIGURES = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0)


def _first_at_least(choices: tuple[float, ...], unit_mm: float, least_mm: float) -> float:
    return next((c for c in choices if c * unit_mm >= least_mm), choices[-1])


def _edge(
    x: float, y: float, length: float, unit_mm: float, fine: float, figures: float, down: float
) -> list[Item]:
    """Return the ticks and figures along one edge; ``down`` is 1 from the upper edge, -1 from the lower."""
    ticks: list[Step] = []
    words: list[Item] = []
    count = int(length / (fine * unit_mm) + 1e-6)
    per_figure = max(1, round(figures / fine))
    half = per_figure // 2 if per_figure % 2 == 0 else 0
    for i in range(count + 1):
        at = x + i * fine * unit_mm
        if i % per_figure == 0 and at < x + length - 7.0:
            reach = 3.5
            text = f"{round(i * fine)}"
            room = text_width_mm(text, _FIGURE_MM) + 1.2
            if i and at + room <= x + length - 7.0:
                baseline = y + (3.4 if down > 0 else -1.55)
                words.append(Text(at + 0.6, baseline, text, _FIGURE_MM, tone=Tone.SOFT))
        else:
            # Where the name of the unit stands, at the end, all ticks are short.
            reach = 1.6 if half and i % half == 0 and at < x + length - 7.0 else 1.0
        ticks += [Move(at, y), Straight(at, y + down * reach)]
    return [Path(tuple(ticks), FINE), *words]


def draw_ruler(x_mm: float, y_mm: float, length_mm: float, scale: float) -> tuple[Item, ...]:
    """Draw a ruler whose upper edge is a baseline for things to stand on.

    Args:
        x_mm, y_mm: Left end of the upper edge, drawn mm; both zeros are there.
        length_mm: Drawn length, mm, > 0.
        scale: Drawn mm for one real mm, > 0.

    Returns:
        Items within RULER_MM below y_mm. Ticks are as fine as can be told apart (0.85 mm on the drawing),
        figures as close as can be read.
    """
    inch = MM_PER_INCH * scale
    mm_fine = _first_at_least(_MM_STEPS, scale, 0.85)
    mm_figures = max(mm_fine, _first_at_least(_MM_FIGURES, scale, 15.0))
    inch_fine = _first_at_least(_INCH_STEPS, inch, 0.85)
    inch_figures = max(inch_fine, _first_at_least(_INCH_FIGURES, inch, 12.0))
    bottom = y_mm + RULER_MM
    right = x_mm + length_mm
    return (
        Rect(x_mm, y_mm, length_mm, RULER_MM, None, Tone.PAPER2),
        Line(x_mm, y_mm + RULER_MM / 2, right, y_mm + RULER_MM / 2, HAIR),
        *_edge(x_mm, y_mm, length_mm, inch, inch_fine, inch_figures, 1.0),
        *_edge(x_mm, bottom, length_mm, scale, mm_fine, mm_figures, -1.0),
        Line(x_mm, y_mm, right, y_mm, LINE),
        Line(x_mm, bottom, right, bottom, FINE),
        Text(right - 0.8, y_mm + 3.4, "in", _FIGURE_MM, Anchor.END, Tone.SOFT, italic=True),
        Text(right - 0.8, bottom - 1.55, "mm", _FIGURE_MM, Anchor.END, Tone.SOFT, italic=True),
    )
