"""The bench: what lay on it on the days of the log, and the trials.

In: the name of a picture. Out: it. Never: files, evidence.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from artwork import INSERTS, on_paper, page_on_paper
from bench_setting import mat, note, shown, table
from bench_sheets import cases, edge_rubbing, gatherings, page_proofs, printed_piles, sewing, stack_weighed
from openbook import OpenBook
from papers import wood
from PIL import Image
from props import bone_folder, brush, dividers, pile, ruler, swatch, thread
from scene import Scene, film_look, to_image


def stocks_arrive() -> Image.Image:
    """Swatches of the stocks, fanned and labelled."""
    scene = table(360)
    kinds = [
        ("text-wove", "text wove"),
        ("bank-thin", "bank"),
        ("tracing", "tracing"),
        ("blotting", "blotting"),
        ("pasteboard", "pasteboard"),
        ("manila-tag", "manila"),
        ("ivory-board", "ivory bd."),
        ("laid-cream", "laid"),
        ("news", "news"),
        ("buff-form", "buff"),
        ("gummed-white", "gummed"),
        ("drab-cover", "drab"),
    ]
    for index, (kind, label) in enumerate(kinds):
        angle = -54 + index * 9.8
        x = 150 * math.sin(math.radians(angle))
        y = 96 - 150 * math.cos(math.radians(angle))
        scene.lay(
            swatch(kind, (58, 112), label, 300 + index),
            (x, y + 18),
            (58, 112),
            angle,
            0.4 + index * 0.35,
            shadow=0.36,
        )
    scene.lay(bone_folder(), (96, 92), (150, 20), -16, 1.6)
    return shown(scene, 1)


def tags_cut() -> Image.Image:
    """Manila tags, some threaded, the offcuts beside them."""
    scene = mat(view=320, seed=5)
    pile(scene, on_paper("specimen-tag", 150, age=0.1), (-84, -6), (60, 121), -6, 5, (0.8, 0.66, 0.44), 4, 8)
    for index in range(4):
        spot = (0 + index * 46, -34 + (index % 2) * 44)
        scene.lay(
            on_paper("specimen-tag", 150, "front" if index % 2 else "back", 0.1),
            spot,
            (60, 121),
            8 + index * 9,
            0.5,
        )
        end = (spot[0] + 12 - index * 3, spot[1] - 66)
        thread(
            scene,
            [(spot[0] + 7 + index, spot[1] - 49), end, (end[0] + 16, end[1] + 12), (end[0] + 4, end[1] + 30)],
            1.0,
            0.8,
            (0.8, 0.72, 0.5),
        )
    for index in range(7):
        x, y = -150 + index * 11, 88 + 5 * (index % 3)
        scene.polygon([(x, y, 0.3), (x + 13, y + 2, 0.3), (x + 3, y + 13, 0.3)], (0.8, 0.67, 0.44))
    scene.lay(ruler(150), (60, 96), (160, 26), -2, 1.0)
    return shown(scene, 5)


def two_cards() -> Image.Image:
    """Two gauge cards of the two disputed lengths, one over the other, against the rule."""
    scene = mat(view=232, tilt=260, seed=8)
    scene.lay(on_paper("gauge-card", 200, age=0.1), (0.0, -52), (158.6, 62.6), 0, 0.4)
    scene.lay(on_paper("gauge-card", 200, age=0.1), (-3.3, 16), (152, 60), 0, 0.9)
    scene.lay(ruler(170), (5.7, 66), (180, 26), 0, 1.0)
    return shown(scene, 8)


def tickets() -> Image.Image:
    """Ferry tickets: the uncut sheet, a pile, the numbered row."""
    scene = mat(view=330, seed=10)
    sheet = Image.new("RGBA", (1150, 760), (206, 176, 122, 255))
    one = on_paper("ferry-ticket", 110, age=0.0)
    for row in range(4):
        for column in range(4):
            sheet.paste(one, (44 + column * 272, 44 + row * 172), one)
    scene.lay(sheet, (-66, -24), (258, 170), -2, 0.8)
    for index in range(6):
        scene.lay(
            on_paper("ferry-ticket", 150, "back" if index == 4 else "front", 0.1),
            (100 + 20 * (index % 2), -80 + index * 33),
            (57, 31),
            -10 + index * 6,
            0.8,
        )
    scene.lay(ruler(150), (-60, 96), (160, 26), 1, 1.0)
    return shown(scene, 10)


def chart_folding() -> Image.Image:
    """The chart, half folded, its creases catching the light."""
    scene = table(460, 330, 33)
    chart = np.asarray(on_paper("harbour-chart", 110).convert("RGB"), dtype=np.float64) / 255
    width = chart.shape[1]
    shade = np.ones((chart.shape[0], width))
    for index in range(4):
        a, b = width * index // 4, width * (index + 1) // 4
        ramp = np.linspace(0, 1, b - a)
        shade[:, a:b] *= 0.93 + (0.11 * ramp if index % 2 else 0.11 * (1 - ramp))[None, :]
        shade[:, max(0, a - 1) : a + 2] *= 0.8
    middle = chart.shape[0] // 2
    shade[middle - 1 : middle + 2] *= 0.78
    shade[:middle] *= np.linspace(1.05, 0.94, middle)[:, None]
    scene.lay(to_image(chart * shade[..., None]).convert("RGBA"), (-10, -8), (380, 270), 3, 1.2)
    scene.lay(bone_folder(), (120, 96), (150, 20), 28, 2.2)
    return shown(scene, 11, (-80, -60, 420))


def receipts() -> Image.Image:
    """Receipts with their torn edges, and the stubs."""
    scene = mat(view=330, seed=16)
    pile(scene, on_paper("receipt", 150, age=0.0), (-66, -44), (140, 82), -4, 3, (0.9, 0.88, 0.82), 2, 6)
    scene.lay(on_paper("receipt", 150, age=0.1), (60, 26), (140, 82), 6, 0.5)
    stub = on_paper("receipt", 150, age=0.0).crop((0, 0, 200, 484))
    scene.lay(stub, (-128, 62), (34, 82), -8, 0.5)
    scene.lay(dividers(), (108, -70), (60, 120), 64, 1.5)
    return shown(scene, 16)


def weed_card() -> Image.Image:
    """The weed cards drying between blotters, one lifted out."""
    scene = table(320, 320, 41)
    for index in range(3):
        scene.lay(
            swatch("blotting", (120, 160), "", 60 + index),
            (-72 + index * 5, -4 + index * 3),
            (120, 160),
            -6 + index * 3,
            0.5 + index,
        )
    scene.lay(on_paper("seaweed-card", 150, age=0.1), (-66, 2), (90, 140), -2, 3.4)
    scene.lay(on_paper("seaweed-card", 150, age=0.1), (74, -8), (90, 140), 9, 0.6)
    scene.lay(brush(), (84, 90), (190, 14), -4, 5)
    return shown(scene, 17)


def forms_stamped() -> Image.Image:
    """Signal forms, struck with the stamp; the pad and the stamp's block."""
    scene = table(400, 320, 43)
    pile(
        scene, on_paper("signal-form", 110, age=0.0), (-70, -26), (200, 125), -3, 3, (0.88, 0.77, 0.56), 2, 6
    )
    scene.lay(on_paper("signal-form", 110, age=0.0), (88, 34), (200, 125), 7, 0.5)
    scene.box((-150, 70, 0), (76, 52, 9), (0.2, 0.2, 0.22), -4)
    scene.box((-140, 78, 9), (56, 36, 1), (0.42, 0.1, 0.08), -4, 0.1)
    scene.box((-44, 74, 0), (34, 34, 40), (0.5, 0.32, 0.2), 10)
    return shown(scene, 18, (-60, -50, 400))


def assembled() -> Image.Image:
    """The first copy, open, with everything that goes into it laid round about."""
    scene = Scene((1200, 800), (0, 330, 560), (0, 4, 0), 660)
    scene.surface(wood((1400, 1000), 47, (138, 106, 74), 150), 2.0, (-360, -290))
    scene.lay(on_paper("harbour-chart", 60), (-150, -118), (380, 270), -4, 0.5)
    book = OpenBook(scene, (14, 12), 2, 40)
    book.draw(page_on_paper("panorama-left", 130, 40), page_on_paper("panorama-right", 130, 41))
    places = [
        ("letter", (212, -92), 9),
        ("signal-form", (176, 124), -7),
        ("blotter", (-168, 70), 6),
        ("seaweed-card", (-246, 34), -9),
        ("photo-print", (258, 24), -12),
        ("specimen-tag", (-110, 122), -14),
        ("gauge-card", (-16, 144), 3),
        ("cutting", (128, -80), -4),
        ("tide-card", (-222, -86), 7),
        ("envelope", (262, 92), 13),
        ("receipt", (-210, 148), 4),
        ("ferry-ticket", (62, -124), -9),
        ("calling-card", (108, 170), 6),
        ("bookplate", (6, -142), 3),
    ]
    for name, centre, turn in places:
        scene.lay(on_paper(name, 100), centre, INSERTS[name].size_mm, turn, 0.6)
    scene.light((-40, -40), 420, 0.42, (1.0, 0.97, 0.9))
    return to_image(film_look(scene.finish(), 20, noise=0.007, vignette=0.32, gain=(1.05, 1.02, 0.96)))


def frames_measured() -> Image.Image:
    """Prints of the frames with the dividers set on one of them."""
    from reel import take

    scene = table(400, 340, 49)
    for index, name in enumerate(("frame-0655", "frame-1702", "frame-2214")):
        scene.lay(
            take(name, (640, 360)).convert("RGBA"),
            (-110 + index * 104, -46 + index * 34),
            (178, 100),
            -5 + index * 4,
            0.5 + index * 0.3,
        )
    scene.lay(dividers(), (-52, 72), (60, 120), -52, 2.0)
    scene.lay(
        note(["leaf = 105, so 1 px = 0.21 mm", "card 158 to 160!"], 110, 30), (-120, 88), (110, 30), -3, 0.5
    )
    return shown(scene, 21)


LOG: dict[str, Callable[[], Image.Image]] = {
    "frames-measured": frames_measured,
    "stocks-arrive": stocks_arrive,
    "stack-weighed": stack_weighed,
    "page-proofs": page_proofs,
    "tags-cut": tags_cut,
    "two-cards": two_cards,
    "tickets": tickets,
    "chart-folding": chart_folding,
    "printed-piles": printed_piles,
    "gatherings": gatherings,
    "sewing": sewing,
    "receipts": receipts,
    "weed-card": weed_card,
    "forms-stamped": forms_stamped,
    "cases": cases,
    "assembled": assembled,
    "edges-rubbed": edge_rubbing,
}
