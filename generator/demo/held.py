"""Evidence that somebody holds: the owner's photographs and letter, the leaf in hand.

In: the name of a source. Out: its picture. Never: files, what was printed or typed (printed.py).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from artwork import INSERTS, on_paper, page_on_paper
from openbook import OpenBook
from papers import slate, stained, wood
from PIL import Image, ImageFilter
from printed import printed_on
from props import pencil, ruler, thread
from scene import Scene, film_look, to_image
from sheet import BLACK, Sheet


def owner_inserts() -> Image.Image:
    """The owner's photograph: tag, gauge card, ticket and receipt with a steel rule."""
    scene = Scene((1100, 840), (6, 130, 640), (0, 4, 0), 288)
    scene.surface(slate((700, 560), 51, (92, 44, 44)), 2.2, (-160, -130))
    scene.lay(ruler(200), (0, 90), (210, 26), 0.6, 0.8)
    for name, centre, turn in (
        ("gauge-card", (-36, 40), -0.8),
        ("specimen-tag", (88, -18), 1.5),
        ("ferry-ticket", (-86, -80), -2),
        ("receipt", (-34, -26), 1.0),
    ):
        scene.lay(on_paper(name, 190), centre, INSERTS[name].size_mm, turn, 0.5)
    scene.light((-40, -30), 260, 0.55, (1.0, 0.96, 0.88))
    return to_image(film_look(scene.finish(), 91, noise=0.012, vignette=0.35, gain=(1.03, 1.0, 0.95)))


def owner_spread() -> Image.Image:
    """The owner's second photograph: a spread with the cutting, the rule along the tail."""
    scene = Scene((1100, 840), (-8, 170, 560), (0, 12, 0), 300)
    scene.surface(slate((700, 560), 52, (92, 44, 44)), 2.2, (-160, -130))
    book = OpenBook(scene, (0, -8), -1.5, 40)
    book.draw(page_on_paper("panorama-left", 180, 40, 0.8), page_on_paper("panorama-right", 180, 41, 0.8))
    book.insert(on_paper("cutting", 180), -1, (54, 84), INSERTS["cutting"].size_mm, -1)
    scene.lay(ruler(200), (2, 96), (210, 26), -1.2, 0.8)
    scene.light((-40, -30), 260, 0.55, (1.0, 0.96, 0.88))
    return to_image(film_look(scene.finish(), 92, noise=0.012, vignette=0.35, gain=(1.03, 1.0, 0.95)))


def owner_tag() -> Image.Image:
    """The owner's third photograph: the spread with the overlay in its place and the tag turned over."""
    scene = Scene((1100, 840), (8, 170, 560), (0, 12, 0), 300)
    scene.surface(slate((700, 560), 53, (92, 44, 44)), 2.2, (-160, -130))
    book = OpenBook(scene, (0, -8), 1.2, 22)
    book.draw(
        page_on_paper("channel-chart-left", 180, 22, 0.8), page_on_paper("channel-chart-right", 180, 23, 0.8)
    )
    book.insert(on_paper("overlay", 180), -1, (51, 83), INSERTS["overlay"].size_mm, 0.6)
    book.insert(on_paper("specimen-tag", 180, "back"), 1, (70, 84), INSERTS["specimen-tag"].size_mm, -3)
    scene.lay(ruler(200), (2, 96), (210, 26), 0.8, 0.8)
    scene.light((-40, -30), 260, 0.55, (1.0, 0.96, 0.88))
    return to_image(film_look(scene.finish(), 94, noise=0.012, vignette=0.35, gain=(1.03, 1.0, 0.95)))


def owner_letter() -> Image.Image:
    """The owner's letter with the measurements."""
    letter = Sheet("owner-letter", 148, 210, 130)
    letter.ink((36, 44, 92))
    letter.write_lines(
        [
            "You ask about the paper. I held the",
            "letter to the window: no lines in it,",
            "wove, I should call it, and tired.",
            "",
            "Leaf 105 by 165, near enough.",
            "Receipt 140 by 82, edge and all.",
            "Envelope 114 across, 89 high.",
            "The pocket is 95 wide at the mouth.",
            "Ribbon faded; hangs out 4 cm or so.",
            "",
            "I have not unfolded the chart. It",
            "has asked me not to.",
        ],
        16,
        38,
        12.6,
        2.5,
        slant=0.24,
        contrast=0.35,
        pen=0.13,
    )
    flat = printed_on(letter, "bank-thin", 93, age=0.2)
    scene = Scene((900, 1200), (0, 80, 560), (0, 2, 0), 178)
    scene.surface(wood((600, 700), 14, (120, 92, 66)), 2.4, (-130, -150))
    scene.lay(flat.convert("RGBA"), (0, 0), (148, 210), 2, 0.4)
    scene.lay(pencil(), (58, 78), (150, 7), -58, 3.5)
    scene.light((-20, -30), 220, 0.55)
    return to_image(film_look(scene.finish(), 93, noise=0.01, vignette=0.3))


def _leaf(name: str, number: int, size: tuple[int, int]) -> Image.Image:
    page = page_on_paper(name, 150, number, 1.0)
    marked = stained(np.asarray(page, dtype=np.float64) / 255, (430, 800), 210, 9, 0.34)
    return to_image(marked).resize(size, Image.Resampling.LANCZOS)


def leaf_recto() -> Image.Image:
    """The original leaf on the scanner, recto, a rule beside it."""
    k = 6.0
    bed = Image.new("RGB", (round(170 * k), round(188 * k)), (22, 22, 24))
    bed.paste(
        _leaf("channel-chart-right", 23, (round(105 * k), round(165 * k))), (round(10 * k), round(12 * k))
    )
    edge = ruler(170, 26, k).rotate(90, expand=True)
    bed.paste(edge, (round(128 * k), round(4 * k)), edge)
    return bed


def leaf_verso() -> Image.Image:
    """The same leaf, verso."""
    k = 6.0
    bed = Image.new("RGB", (round(170 * k), round(188 * k)), (22, 22, 24))
    bed.paste(_leaf("soundings-a", 24, (round(105 * k), round(165 * k))), (round(10 * k), round(12 * k)))
    edge = ruler(170, 26, k).rotate(90, expand=True)
    bed.paste(edge, (round(128 * k), round(4 * k)), edge)
    return bed


def leaf_raking() -> Image.Image:
    """A corner of the leaf in raking light: the tooth of the paper and the sewing hole's pull."""
    size = (1100, 780)
    page = page_on_paper("channel-chart-right", 420, 23, 1.0).crop((0, 1400, 1100, 2180))
    relief = np.asarray(page.convert("L").filter(ImageFilter.GaussianBlur(1.2)), dtype=np.float64)
    bump = np.random.default_rng(5).normal(0, 1, (size[1], size[0]))
    bump = np.asarray(
        Image.fromarray((np.clip(bump * 30 + 128, 0, 255)).astype(np.uint8)).filter(
            ImageFilter.GaussianBlur(2.2)
        ),
        dtype=np.float64,
    )
    slope = np.gradient(bump + 0.05 * relief, axis=1) * 0.11 + np.gradient(bump, axis=0) * 0.05
    fall = np.linspace(1.12, 0.42, size[0])[None, :]
    shaded = np.asarray(page, dtype=np.float64) / 255 * (fall * (1 + slope))[..., None]
    shaded[:, :26] *= np.linspace(0.3, 1, 26)[None, :, None]
    return to_image(film_look(shaded, 131, noise=0.006, vignette=0.4, gain=(1.06, 1.0, 0.88)))


def leaf_micrometer() -> Image.Image:
    """The leaf weighed and gauged: leaf on the bench with the pan of a balance and a note."""
    scene = Scene((1200, 800), (20, 220, 380), (0, 0, 0), 290)
    scene.surface(slate((600, 460), 71, (66, 74, 72)), 2.0, (-150, -120))
    scene.lay(_leaf("channel-chart-right", 23, (620, 974)).convert("RGBA"), (-70, 4), (105, 165), -5, 0.3)
    scene.box((38, -64, 0), (98, 84, 16), (0.76, 0.77, 0.76), 3)
    scene.box((52, -58, 16), (70, 52, 4), (0.62, 0.63, 0.64), 3, 0.3)
    note = Sheet("leaf-note", 84, 40, 200)
    note.ink(BLACK)
    note.write_lines(
        ["0.13 mm, five places", "1.57 g, leaf of 105 x 165", "so 90.6 g to the metre sq."], 5, 11, 10.5, 2.1
    )
    scene.lay(printed_on(note, "bank-thin", 72, age=0.1).convert("RGBA"), (90, 62), (84, 40), 4, 0.4)
    thread(scene, [(20, 90), (40, 70), (32, 40), (36, 10)], 0.6, 0.6)
    scene.light((-40, -20), 230, 0.4)
    return to_image(film_look(scene.finish(), 132, noise=0.01, vignette=0.35))


SOURCES: dict[str, Callable[[], Image.Image]] = {
    "owner-inserts": owner_inserts,
    "owner-spread": owner_spread,
    "owner-tag": owner_tag,
    "owner-letter": owner_letter,
    "leaf-recto": leaf_recto,
    "leaf-verso": leaf_verso,
    "leaf-raking": leaf_raking,
    "leaf-weighed": leaf_micrometer,
}
