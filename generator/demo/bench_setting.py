"""The bench itself: its tops, its light, notes and proofs that lie on it.

In: sizes, words. Out: Scenes to lay things in, RGBA pieces. Never: the pictures of a day (bench.py), files.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from artwork import draw_page
from papers import cutting_mat, paper, wood
from PIL import Image, ImageFilter
from scene import Scene, film_look, to_image
from sheet import Sheet

SIZE = (1000, 700)


CREAM = (0.93, 0.87, 0.75)


def mat(size: tuple[int, int] = SIZE, view: float = 330, tilt: float = 300, seed: int = 1) -> Scene:
    scene = Scene(size, (0, tilt, 430), (0, 6, 0), view)
    scene.surface(cutting_mat((1400, 1100), 3.0, seed), 3.0, (-235, -200))
    return scene


def table(view: float = 330, tilt: float = 300, seed: int = 23, eye_x: float = 0.0) -> Scene:
    scene = Scene(SIZE, (eye_x, tilt, 400), (0, 0, 0), view)
    scene.surface(wood((1200, 900), seed, (150, 118, 82), 140), 2.0, (-320, -260))
    return scene


def shown(scene: Scene, seed: int, light: tuple[float, float, float] = (-60, -50, 330)) -> Image.Image:
    scene.light(light[:2], light[2], 0.5, (1.0, 0.98, 0.94))
    return to_image(film_look(scene.finish(), seed, noise=0.007, vignette=0.26, gain=(1.06, 1.04, 1.0)))


def note(text: Sequence[str], width: float, height: float, x_height: float = 2.4) -> Image.Image:
    sheet = Sheet("note " + text[0], width, height, 180, 1)
    sheet.ink((48, 46, 60))
    sheet.write_lines(text, 5, 10, x_height * 4.6, x_height, contrast=0.2, pen=0.13)
    ground = paper("bank-thin", sheet.out_px, sheet.k, 5, 0.05)
    return to_image(ground * np.asarray(sheet.colour(), dtype=np.float64) / 255).convert("RGBA")


def imposed(left: str, right: str, marks: bool = True, ppi: int = 150) -> Image.Image:
    """Return a printed sheet with two pages and cutting marks, 320 x 225 mm."""
    k = ppi / 25.4
    sheet = Sheet(f"plate {left}", 320, 225, ppi, 1)
    x0, y0 = 55.0, 30.0
    if marks:
        for x in (x0, x0 + 105, x0 + 210):
            for y in (y0 - 8, y0 + 167):
                sheet.line((x, y), (x, y + 6), 0.2)
        for y in (y0, y0 + 165):
            for x in (x0 - 8, x0 + 212):
                sheet.line((x, y), (x + 6, y), 0.2)
        for x, y in ((x0 - 14, 112), (x0 + 224, 112)):
            sheet.circle(x, y, 2.2, 0.2)
            sheet.line((x - 4, y), (x + 4, y), 0.15)
            sheet.line((x, y - 4), (x, y + 4), 0.15)
    art = sheet.colour()
    for index, name in enumerate((left, right)):
        if not name:
            continue
        page = (
            draw_page(name)
            .convert("L")
            .filter(ImageFilter.GaussianBlur(0.7))
            .resize((round(105 * k), round(165 * k)))
        )
        art.paste(Image.merge("RGB", (page,) * 3), (round((x0 + 105 * index) * k), round(y0 * k)))
    ground = paper("text-wove", art.size, k, 31, 0.0)
    return to_image(ground * np.asarray(art, dtype=np.float64) / 255).convert("RGBA")
