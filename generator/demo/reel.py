"""Frames of the filmed performance: the notebook under stage light, seen across the surveyor's table.

In: the name of a frame. Out: its picture. Never: files, pictures of other sources.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from artwork import INSERTS, on_paper, page_on_paper
from openbook import OpenBook, closed_book
from papers import wood
from PIL import Image
from props import bottle_top, dividers, pencil
from scene import Scene, Vector, film_look, to_image

AMBER: Vector = (0.86, 0.56, 0.26)
STEEL: Vector = (0.36, 0.46, 0.66)


@dataclass(frozen=True, slots=True)
class Lying:
    """An insert lying on a page: which, on which side, where (mm from gutter and head), how turned."""

    name: str
    side: int
    centre: tuple[float, float]
    turn: float = 0.0
    face: str = "front"
    scale: float = 1.0


@dataclass(frozen=True, slots=True)
class Frame:
    """How one frame is taken."""

    pages: tuple[str, str, int]
    eye: Vector
    target: Vector
    view: float
    turn: float = 0.0
    inserts: tuple[Lying, ...] = ()
    light: tuple[float, float, float] = (0.0, 0.0, 170.0)
    ambient: float = 0.12
    gain: Vector = (1.03, 1.0, 0.9)
    far_y: float | None = None
    lamps: tuple[tuple[float, float, float, Vector], ...] = ()
    props: tuple[str, ...] = field(default=())


LAMPS = (
    (0.16, 0.1, 0.034, AMBER),
    (0.78, 0.13, 0.022, STEEL),
    (0.88, 0.07, 0.04, AMBER),
    (0.42, 0.05, 0.016, AMBER),
)

FRAMES: dict[str, Frame] = {
    "frame-0412": Frame(
        ("harbour-plan-left", "harbour-plan-right", 8),
        (-60, 330, 190),
        (0, -12, 4),
        318,
        4,
        (Lying("ferry-ticket", -1, (52, 118), -17), Lying("tide-card", 1, (58, 88), 8)),
        far_y=-160,
        lamps=LAMPS,
        props=("bottle",),
    ),
    "frame-0655": Frame(
        ("channel-chart-left", "channel-chart-right", 22),
        (20, 300, 300),
        (0, 6, 4),
        300,
        -5,
        (Lying("overlay", -1, (53, 83), 0.5), Lying("specimen-tag", 1, (58, 100), 13)),
        (20, 10, 150),
    ),
    "frame-0658": Frame(
        ("channel-chart-left", "channel-chart-right", 22),
        (90, 240, 190),
        (50, 8, 6),
        170,
        -5,
        (Lying("specimen-tag", 1, (56, 88), -6, "back"),),
        (60, 0, 90),
        0.08,
    ),
    "frame-1130": Frame(
        ("channel-chart-left", "channel-chart-right", 56),
        (-30, 340, 240),
        (-6, 0, 4),
        330,
        3,
        (Lying("signal-form", -1, (2, 92), -4), Lying("envelope", 1, (84, 122), 21)),
        (-20, 0, 150),
        gain=(0.96, 1.0, 1.0),
        far_y=-170,
        lamps=LAMPS[:2],
    ),
    "frame-1702": Frame(
        ("tides-springs", "moon-table", 66),
        (10, 250, 290),
        (0, 8, 4),
        262,
        2,
        (Lying("gauge-card", 1, (20, 82), -9, "front", 158.6 / 152),),
        (10, 0, 135),
        0.14,
        props=("pencil",),
    ),
    "frame-2214": Frame(
        ("panorama-left", "panorama-right", 78),
        (-40, 280, 260),
        (-4, 4, 4),
        292,
        -3,
        (Lying("seaweed-card", -1, (56, 86), -7),),
        (-10, 0, 150),
        0.13,
    ),
    "frame-2618": Frame(
        ("", "", 0),
        (60, 400, 150),
        (0, -20, 6),
        330,
        0,
        (),
        (0, -10, 140),
        0.07,
        (1.05, 0.98, 0.84),
        -130,
        ((0.24, 0.16, 0.06, AMBER), (0.7, 0.1, 0.03, STEEL), (0.83, 0.2, 0.022, AMBER)),
        ("bottle", "dividers"),
    ),
    "frame-2744": Frame(
        ("day-log-b", "bar-section", 38),
        (0, 310, 290),
        (0, 6, 4),
        300,
        3,
        (Lying("cutting", -1, (56, 84), 2), Lying("photo-print", 1, (58, 70), -8)),
        (0, 0, 150),
        0.14,
    ),
    "frame-3001": Frame(
        ("reckoning-page", "last-page", 110),
        (0, 270, 260),
        (18, 10, 4),
        250,
        0,
        (),
        (40, 10, 110),
        0.06,
        (0.9, 0.98, 1.08),
    ),
}


def _focus(near: float, far: float, slope: float = 3.2) -> Callable[[np.ndarray, np.ndarray], np.ndarray]:
    middle, half = (near + far) / 2, (far - near) / 2

    def sharp(_: np.ndarray, v: np.ndarray) -> np.ndarray:
        return 1 - np.clip(np.abs(v - middle) - half, 0, 1) * slope

    return sharp


def take(name: str, size: tuple[int, int] = (1200, 675)) -> Image.Image:
    """Return a frame of the film, 16:9."""
    frame = FRAMES[name]
    seed = int(name[-4:])
    scene = Scene(size, frame.eye, frame.target, frame.view)
    scene.surface(wood((1100, 800), 3, (104, 70, 44), 110), 1.5, (-360, -300))
    ppi = int(min(260.0, max(130.0, size[0] / frame.view * 25.4 * 1.9)))
    if "bottle" in frame.props:
        scene.box((150, -110, 0), (40, 40, 34), (0.1, 0.13, 0.15), 8)
        scene.lay(bottle_top(24), (172, -88), (46, 46), 0, 38)
    if "dividers" in frame.props:
        scene.lay(dividers(), (118, 24), (60, 120), 38, 1.5)
    if frame.pages[0]:
        book = OpenBook(scene, (0, 0), frame.turn, frame.pages[2])
        left, right, number = frame.pages
        book.draw(page_on_paper(left, ppi, number), page_on_paper(right, ppi, number + 1))
        for lying in frame.inserts:
            width, height = INSERTS[lying.name].size_mm
            book.insert(
                on_paper(lying.name, ppi, lying.face),
                lying.side,
                lying.centre,
                (width * lying.scale, height * lying.scale),
                lying.turn + frame.turn * 0.0,
            )
    else:
        closed_book(scene, (0, 0), 0.0)
        ribbon = [(14.0 + 0.03 * t * t, 88 + t * 5.0, max(0.5, 11 - t * 1.6)) for t in range(12)]
        scene.path([(x + 2, y + 2, 0) for x, y, _ in ribbon], 7, (0, 0, 0), 0.4, 6)
        scene.path(ribbon, 6, (0.5, 0.13, 0.15))
    if "pencil" in frame.props:
        scene.lay(pencil(), (-118, 60), (150, 7), -64, 3.5)
    scene.light(frame.light[:2], frame.light[2], frame.ambient)
    if frame.far_y is not None:
        scene.backdrop(frame.far_y, frame.lamps)
    close = frame.view < 200
    return to_image(
        film_look(
            scene.finish(),
            seed,
            noise=0.016,
            vignette=0.55,
            gain=frame.gain,
            focus=_focus(0.3, 0.74) if not close else _focus(0.2, 0.85, 2.4),
            blur=5.5,
        )
    )
