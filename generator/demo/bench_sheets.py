"""The bench while sheets are printed, folded, sewn and cased.

In: nothing. Out: pictures of the log. Never: files, the making of inserts (bench.py).
"""

from __future__ import annotations

import numpy as np
from artwork import page_on_paper
from bench_setting import CREAM, SIZE, imposed, mat, note, shown, table
from openbook import closed_book
from papers import stained, wood
from PIL import Image
from props import bone_folder, brush, pencil, pile, ruler, swatch, thread
from scene import Scene, film_look, place_corners, to_image


def stack_weighed() -> Image.Image:
    """A stack of text paper on the balance, the rule standing against it."""
    scene = table(300, 420, 25, 60)
    scene.box((-90, -70, 0), (190, 140, 22), (0.72, 0.73, 0.72), -3)
    pile(scene, swatch("text-wove", (160, 112), "", 9), (4, -2), (160, 112), -3, 48, CREAM, 3, 30)
    scene.lay(ruler(110), (30, 96), (120, 26), 2, 1.0)
    scene.lay(
        note(["100 sheets, 13.1 mm", "so 0.131 each; call it 0.13"], 104, 32), (104, 108), (104, 32), -5, 0.5
    )
    return shown(scene, 2)


def page_proofs() -> Image.Image:
    """The first page proofs laid out in reading order."""
    scene = table(480, 330, 27)
    names = ["title-page", "owner-page", "signs-page", "day-log-a", "tides-springs", "soundings-a"]
    for index, name in enumerate(names):
        row, column = divmod(index, 3)
        scene.lay(
            page_on_paper(name, 110, index, 0.0).convert("RGBA"),
            (-128 + column * 122 + 4 * row, -88 + row * 176),
            (105, 165),
            -1 + index * 0.7,
            0.4,
        )
    scene.lay(pencil(), (190, 30), (150, 7), 82, 3.5)
    return shown(scene, 4)


def printed_piles() -> Image.Image:
    """The printed sheets in seven piles, each with its slip."""
    scene = mat((1000, 700), 500, 420, 13)
    fronts = [
        ("title-page", "owner-page"),
        ("tides-springs", "soundings-a"),
        ("panorama-left", "panorama-right"),
        ("day-log-a", "ruled-form"),
        ("bearings-page", "moon-table"),
        ("gauge-page", "lamp-page"),
        ("reckoning-page", "last-page"),
    ]
    for index, (left, right) in enumerate(fronts):
        row, column = divmod(index, 4)
        spot = (-192 + column * 128 + 62 * row, -82 + row * 138)
        sheet = imposed(left, right, False, 60).crop((118, 58, 640, 476))
        pile(scene, sheet, spot, (112, 90), -2 + index, 5 + 2 * (index % 3), CREAM, index, 8)
        scene.lay(
            note([f"{index + 1}"], 16, 16, 3.0), (spot[0] + 50, spot[1] + 36), (16, 16), 6, 12, shadow=0.2
        )
    return shown(scene, 13, (-60, -50, 480))


def gatherings() -> Image.Image:
    """Seven folded gatherings stacked, the folder beside them."""
    scene = table(290, 400, 37, 50)
    for index in range(7):
        base = index * 3.4
        for leaf in range(6):
            z = base + leaf * 0.5
            tone = 0.9 - 0.09 * (leaf % 2)
            corners = place_corners((-20 + (index % 2) * 0.8, 0), (105, 165), -4 + 0.4 * (index % 3), z)
            scene.polygon(corners, (CREAM[0] * tone, CREAM[1] * tone, CREAM[2] * tone))
            scene.path([corners[3], corners[2], corners[1]], 0.3, (0.58, 0.52, 0.42))
    scene.lay(
        page_on_paper("title-page", 170, 1, 0.0).convert("RGBA"), (-19, 0), (105, 165), -3.6, 24.2, shadow=0.0
    )
    scene.lay(bone_folder(), (84, 36), (150, 20), 72, 1.6)
    thread(scene, [(60, 90), (92, 70), (120, 84), (136, 60)], 0.8, 0.8)
    return shown(scene, 14)


def sewing() -> Image.Image:
    """The sewing frame: base, uprights, bar, three cords, gatherings half sewn."""
    scene = Scene(SIZE, (110, 470, 300), (0, 0, 80), 450)
    scene.surface(wood((1200, 900), 39, (120, 92, 64), 140), 2.0, (-320, -330))
    scene.backdrop(-230, ((0.12, 0.12, 0.05, (0.5, 0.46, 0.4)), (0.85, 0.08, 0.07, (0.5, 0.46, 0.4))))
    pale = (0.74, 0.58, 0.4)
    scene.box((-165, -60, 0), (330, 150, 16), pale, 0)
    for x in (-150.0, 136.0):
        scene.box((x, 56, 16), (14, 14, 190), pale, 0, 0.2)
    for layer in range(15):
        z = 17 + layer * 1.5
        tone = 0.92 - 0.12 * (layer % 2)
        scene.polygon(
            [(-84, -58, z), (84, -58, z), (84, 56, z), (-84, 56, z)],
            (CREAM[0] * tone, CREAM[1] * tone, CREAM[2] * tone),
        )
        scene.path([(-84, 56, z), (84, 56, z)], 0.7, (0.62, 0.55, 0.44))
    scene.box((-160, 52, 196), (322, 20, 12), (0.68, 0.52, 0.35), 0, 0.0)
    for x in (-48.0, 0.0, 48.0):
        scene.path([(x, 58, 18), (x, 60, 197)], 2.6, (0.88, 0.83, 0.7))
        scene.path([(x + 0.7, 58, 18), (x + 0.7, 60, 197)], 0.6, (0.6, 0.54, 0.42))
    for layer in range(4):
        z = 19 + layer * 5.4
        scene.path(
            [
                (-76, 57.4, z),
                (-50, 57.6, z + 0.3),
                (-46, 58.6, z),
                (0, 57.6, z + 0.3),
                (46, 58.4, z),
                (76, 57.4, z),
            ],
            0.7,
            (0.9, 0.87, 0.8),
        )
    scene.path([(76, 57.4, 36), (104, 70, 42), (132, 96, 18), (150, 108, 17)], 0.7, (0.9, 0.87, 0.8))
    scene.light((-20, -10), 330, 0.34, (1.0, 0.97, 0.9))
    return to_image(film_look(scene.finish(), 15, noise=0.008, vignette=0.35, gain=(1.05, 1.02, 0.96)))


def cases() -> Image.Image:
    """Two cased books and a case still open and drying."""
    scene = table(430, 360, 45)
    scene.box((-190, -86, 0), (112, 172, 2.4), (0.24, 0.3, 0.33), -3)
    scene.box((-74, -92, 0), (16, 172, 1.0), (0.38, 0.25, 0.18), -3)
    scene.box((-56, -92, 0), (112, 172, 2.4), (0.24, 0.3, 0.33), -3)
    closed_book(scene, (130, -6), 0.0)
    scene.lay(brush(), (10, 108), (190, 14), -3, 5)
    return shown(scene, 19, (-40, -50, 400))


def edge_rubbing() -> Image.Image:
    """Edges rubbed and a corner waxed, beside an untouched text block."""
    scene = table(280, 340, 51)
    for index, (x, worn) in enumerate(((-70, 0.0), (56, 1.0))):
        page = np.asarray(page_on_paper("register-page", 150, 30 + index, worn * 1.2), dtype=np.float64) / 255
        if worn:
            page = stained(page, (120, 860), 130, 3, 0.25)
        pile(scene, to_image(page).convert("RGBA"), (x, -4), (105, 165), -3 + 5 * index, 8, CREAM, index, 10)
    scene.box((112, 62, 0), (24, 36, 14), (0.74, 0.66, 0.5), 12)
    return shown(scene, 22)
