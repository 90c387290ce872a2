"""Evidence that was printed or typed, and evidence on the scanner: programme, card, notice, list, catalogue, leaf.

In: the name of a source. Out: its picture. Never: files, the reel (reel.py), the bench (bench.py).
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from artwork import INSERTS, on_paper, page_on_paper
from inserts_large import justified
from openbook import OpenBook
from papers import ink_on, paper, slate, stained, wood
from PIL import Image
from props import halftone
from scene import Scene, film_look, to_image
from sheet import RED, Sheet

PLAY = "THE LOW WATER CLERK"


def printed_on(
    sheet: Sheet,
    kind: str,
    seed: int,
    picture: Image.Image | None = None,
    at_mm: tuple[float, float] = (0, 0),
    age: float = 0.4,
) -> Image.Image:
    """Return a printed sheet on its paper, with a halftone picture let in."""
    art = sheet.colour()
    if picture is not None:
        k = sheet.out_px[0] / sheet.size_mm[0]
        art.paste(picture, (round(at_mm[0] * k), round(at_mm[1] * k)))
    base = ink_on(
        paper(kind, art.size, art.width / sheet.size_mm[0], seed, age),
        np.asarray(art, dtype=np.float64) / 255,
    )
    return to_image(base)


def studio_still(size: tuple[int, int]) -> Image.Image:
    """Return the publicity still: the book with tag, form, card and ticket laid out under a plain light."""
    scene = Scene(size, (0, 120, 520), (0, 4, 0), 372, 2)
    scene.surface(slate((500, 400), 12, (150, 146, 138)), 1.0, (-250, -200))
    scene.lay(on_paper("harbour-chart", 60), (-60, -60), (300, 213), -7, 0.4)
    book = OpenBook(scene, (10, 14), 3, 22)
    book.draw(page_on_paper("channel-chart-left", 130, 22), page_on_paper("channel-chart-right", 130, 23))
    for name, centre, turn in (
        ("specimen-tag", (146, 60), 12),
        ("ferry-ticket", (-134, 86), -14),
        ("tide-card", (-138, -10), -5),
        ("gauge-card", (82, -98), 4),
    ):
        scene.lay(on_paper(name, 120), centre, INSERTS[name].size_mm, turn, 0.6)
    scene.light((-20, 0), 260, 0.45, (1.0, 0.98, 0.94))
    return to_image(scene.finish())


def programme_spread() -> Image.Image:
    """The spread of the programme book, open on a table, the still printed across the left page."""
    k_ppi = 130
    left = Sheet("programme-left", 150, 210, k_ppi)
    left.text(PLAY, 75, 20, 6.2, "gothic", anchor="m", spacing=0.9)
    left.text("The book that the whole house leans forward to read", 75, 136, 4.0, "italic", anchor="m")
    justified(
        left,
        "It lies on the surveyor's table from the first scene and is never once explained. Those in the front "
        "rows have counted eighteen things in it. The designer counts them again every night, at the interval, "
        "and puts back the ticket.",
        16,
        147,
        118,
        4.1,
        5.6,
        200,
    )
    left.text("14", 16, 203, 3.4, "roman")
    right = Sheet("programme-right", 150, 210, k_ppi)
    right.text("ACT TWO", 75, 26, 8.4, "didone", anchor="m", spacing=1.4)
    right.text("The Stairs, at the ninth tide", 75, 35, 4.8, "italic", anchor="m")
    right.line((56, 40), (94, 40), 0.3)
    cast = [
        ("Ida Marrable, clerk of low water", "the third chair"),
        ("Aubrin Pell, clerk of the table", "the tall one"),
        ("Tull, a boatman", "the sleeper"),
        ("Mistress Garrow, chandler", "as herself"),
        ("The Keeper of Lamp Rock", "a light"),
    ]
    for index, (part, player) in enumerate(cast):
        right.text(part, 18, 56 + index * 8, 4.0, "roman")
        right.text(player, 132, 56 + index * 8, 4.0, "italic", anchor="r")
        right.dashes(
            [
                (18 + right.text(part, 18, -60, 4.0) + 3, 56 + index * 8),
                (132 - right.text(player, 0, -60, 4.0, "italic") - 3, 56 + index * 8),
            ],
            0.16,
            0.3,
            1.6,
        )
    for index in range(12):
        right.pen(
            [
                (
                    18 + step * 3.8,
                    110 + index * 3.0 + (1.0 + index * 0.12) * math.sin(step * 0.6 + index * 0.7),
                )
                for step in range(31)
            ],
            0.22 + index * 0.03,
            0.03,
        )
    right.text("There will be one interval, of eleven minutes.", 75, 166, 3.8, "italic", anchor="m")
    right.text("The audience is asked not to set its watches.", 75, 173, 3.8, "italic", anchor="m")
    right.text("15", 134, 203, 3.4, "roman", anchor="r")
    still = halftone(studio_still((604, 508)), 3.4)
    pages = [printed_on(left, "coated", 61, still, (16, 27)), printed_on(right, "coated", 62)]
    scene = Scene((1200, 860), (-24, 190, 480), (0, 4, 0), 336)
    scene.surface(wood((900, 800), 9, (146, 112, 80), 150), 1.8, (-250, -220))
    for side, page in ((-1, pages[0]), (1, pages[1])):
        pixels = np.asarray(page, dtype=np.float64)
        along = np.linspace(1, 0, page.width) if side < 0 else np.linspace(0, 1, page.width)
        shade = 1 - 0.34 * np.exp(-along / 0.05) + 0.03 * np.exp(-(((along - 0.16) / 0.06) ** 2))
        curved = Image.fromarray(np.clip(pixels * shade[None, :, None], 0, 255).astype(np.uint8)).convert(
            "RGBA"
        )
        scene.lay(curved, (side * 75, 0), (150, 210), 0, 1.2, shadow=0.5)
    scene.light((-30, -10), 300, 0.5, (1.0, 0.97, 0.92))
    return to_image(film_look(scene.finish(), 61, noise=0.008, vignette=0.28))


def programme_postcard() -> Image.Image:
    """A card sold in the foyer, printed from the same block, more coarsely cropped."""
    card = Sheet("postcard", 140, 90, 200)
    card.text(PLAY, 70, 84, 5.4, "gothic", anchor="m", spacing=1.0)
    still = studio_still((1030, 590)).resize((1030, 590))
    flat = printed_on(card, "ivory-board", 71, halftone(still, 4.4, tint=(40, 52, 66)), (4.6, 4.6), 0.8)
    scene = Scene((960, 680), (0, 90, 420), (0, 2, 0), 176)
    scene.surface(slate((700, 500), 31, (86, 74, 66)), 3.0, (-110, -90))
    scene.lay(flat.convert("RGBA"), (0, 0), (140, 90), -3, 0.4)
    scene.light((-20, -10), 170, 0.5, (1.0, 0.97, 0.9))
    return to_image(film_look(scene.finish(), 71, noise=0.008, vignette=0.3))


def programme_notice() -> Image.Image:
    """A notice in a newspaper, the same still through a screen that one can count."""
    notice = Sheet("notice", 92, 150, 180)
    notice.text("AT THE PLAY", 46, 12, 7.6, "gothic", anchor="m", spacing=0.8)
    notice.line((6, 15), (86, 15), 0.5)
    notice.text("A book that is not let out of sight", 46, 86, 4.0, "italic", anchor="m")
    justified(
        notice,
        "Our picture shows the field book used in the play, with its chart of an unlikely harbour. The form in "
        "the foreground is buff, we are told, and the card is punched by hand at every performance, which may "
        "account for the noise before the second act. It is worth the stairs.",
        6,
        94,
        80,
        3.7,
        4.5,
        146,
    )
    still = halftone(studio_still((567, 432)), 6.2)
    flat = printed_on(notice, "news", 81, still, (6, 20), 1.0)
    scene = Scene((720, 990), (0, 50, 420), (0, 0, 0), 116)
    scene.surface(slate((500, 600), 41, (120, 112, 100)), 3.0, (-90, -110))
    scene.lay(flat.convert("RGBA"), (0, 0), (92, 150), 2, 0.3)
    scene.light((-10, -20), 150, 0.6, (1.0, 0.98, 0.93))
    return to_image(film_look(scene.finish(), 81, noise=0.008, vignette=0.25))


LIST = [
    "BOOK, SURVEYOR'S. 112 pp. cloth, leather back.",
    "  Leaves 4 1/8 x 6 1/2, cream.",
    "TAG, manila, clipped, eyelet. 2 3/8 x 4 3/4.",
    "FORM, signals, GREEN. Folded once.",
    "LETTER, two sides, LAID, in env.",
    "RECEIPT, perf. left. 5 1/2 x 3 1/4.",
    "CARD, gauge. Punch fresh each perf.",
    "CHART, folds to fit bk. Bank or tracing.",
    "CUTTING, pasted p. 38. Real news stock!",
    "PHOTO, qtr plate, loose.",
    "WEED, pressed. Do NOT let actors touch.",
    "BLOTTER, pink.  TICKET, card.",
    "OVERLAY, waxed, hinged p. 22",
    "  with paste, NOT tape.",
    "POCKET in back, holds visiting card.",
    "RIBBON, crimson, a hand longer than book.",
]


def prop_list() -> Image.Image:
    """The prop master's typed list, on a clip, with pencil ticks."""
    sheet = Sheet("prop-list", 203, 254, 110)
    sheet.ink((46, 44, 58))
    sheet.text(f"{PLAY}  -  PROPERTIES, ACT II TABLE", 16, 24, 4.8, "typewriter")
    for index, line in enumerate(LIST):
        sheet.text(line, 16, 40 + index * 12.6, 4.9, "typewriter")
    sheet.ink((90, 88, 96))
    for index in (0, 2, 4, 5, 8, 9, 14):
        sheet.pen([(8, 38 + index * 12.6), (10, 41 + index * 12.6), (13.5, 35 + index * 12.6)], 0.6, 0.1)
    sheet.ink(RED)
    sheet.pen([(15, 205), (60, 204), (120, 206)], 0.5, 0.2)
    flat = printed_on(sheet, "bank-thin", 101, age=0.8)
    scene = Scene((1000, 1240), (0, 120, 620), (0, 4, 0), 232)
    scene.surface(wood((700, 800), 17, (92, 66, 44), 0), 2.2, (-160, -180))
    scene.lay(flat.convert("RGBA"), (0, 4), (203, 254), -1.4, 0.6)
    scene.box((-34, -140, 0), (62, 22, 9), (0.34, 0.35, 0.36), -1.4)
    scene.light((-30, -40), 300, 0.5)
    return to_image(film_look(scene.finish(), 101, noise=0.01, vignette=0.35))


def prop_drawing() -> Image.Image:
    """The prop master's sketch of the pocket and of how the chart folds."""
    s = Sheet("prop-drawing", 210, 148, 140)
    s.ink((78, 76, 82))
    s.pen([(20, 30), (90, 30), (90, 82), (20, 82), (20, 30)], 0.45, 0.15, smooth=False)
    s.dashes([(20, 42), (90, 42)], 0.3, 2.4, 1.6)
    for side in (20.0, 90.0):
        out = -9 if side < 50 else 9
        s.pen([(side, 43), (side + out, 46), (side + out, 78), (side, 81)], 0.35, 0.12, smooth=False)
    s.pen([(20, 82), (26, 98), (84, 98), (90, 82)], 0.35, 0.12, smooth=False)
    for y, text in ((24, '3 3/4"'), (108, "glue flaps, 3 sides")):
        s.write(text, 40, y, 2.6, contrast=0.15, pen=0.13)
    s.pen([(20, 26), (90, 26)], 0.2, 0.05)
    s.pen([(120, 30), (196, 30), (196, 84), (120, 84), (120, 30)], 0.45, 0.15, smooth=False)
    for index in range(1, 4):
        s.dashes([(120 + index * 19, 30), (120 + index * 19, 84)], 0.3, 2.4, 1.6)
    s.dashes([(120, 57), (196, 57)], 0.3, 1, 1)
    s.write('15 x 10 1/2"', 138, 24, 2.6, contrast=0.15, pen=0.13)
    s.write("in half, then 4 across, zigzag", 118, 94, 2.4, contrast=0.15, pen=0.13)
    s.write("title must come outside", 122, 102, 2.4, contrast=0.15, pen=0.13)
    s.write("bk. pocket & chart, for the binder", 20, 132, 3.0, contrast=0.15, pen=0.13)
    flat = stained(
        np.asarray(printed_on(s, "receipt-blue", 111, age=0.6), dtype=np.float64) / 255,
        (820, 620),
        180,
        4,
        0.4,
    )
    scene = Scene((1200, 860), (0, 60, 560), (0, 0, 0), 236)
    scene.surface(wood((700, 600), 18, (100, 76, 52)), 2.2, (-150, -130))
    scene.lay(to_image(flat).convert("RGBA"), (0, 0), (210, 148), 1.2, 0.4)
    scene.light((-30, -30), 260, 0.5)
    return to_image(film_look(scene.finish(), 111, noise=0.01, vignette=0.3))


def sale_catalogue() -> Image.Image:
    """An entry in a sale catalogue, worded after the prop master's list."""
    s = Sheet("sale", 140, 200, 150)
    s.text("PROPERTIES OF THE STAGE", 70, 16, 3.4, "roman", anchor="m", spacing=0.9)
    s.line((16, 19), (124, 19), 0.3)
    s.text("112", 16, 36, 11.0, "didone")
    s.text("A SURVEYOR'S BOOK", 38, 33, 5.6, "roman", spacing=0.5)
    s.text("from the second act", 38, 39, 4.2, "italic")
    y = justified(
        s,
        "Of 112 pp., cloth, leather back, the leaves 4 1/8 by 6 1/2 inches, cream; containing a tag of manila, "
        "clipped, eyelet, 2 3/8 by 4 3/4; a form, signals, GREEN, folded once; a letter, two sides, LAID, in env.; "
        "a receipt, perf. left, 5 1/2 by 3 1/4; a gauge card, punch fresh each perf.; a chart, folding to fit; "
        "a cutting; a photograph, quarter plate; weed, pressed; a blotter, pink; and in the pocket a visiting card.",
        16,
        50,
        108,
        4.3,
        5.9,
        150,
    )
    s.text("The actors have touched the weed.", 16, y + 6, 4.0, "italic")
    s.line((52, y + 14), (88, y + 14), 0.3)
    s.text("Sold not subject to return, or to the tide.", 70, 188, 3.4, "italic", anchor="m")
    flat = printed_on(s, "ivory-board", 121, age=0.3)
    scene = Scene((900, 1220), (10, 120, 520), (0, 4, 0), 172)
    scene.surface(slate((500, 700), 61, (48, 58, 70)), 2.4, (-110, -150))
    scene.lay(flat.convert("RGBA"), (0, 0), (140, 200), -2, 0.8)
    scene.light((-30, -40), 210, 0.5)
    return to_image(film_look(scene.finish(), 121, noise=0.01, vignette=0.35))


SOURCES: dict[str, Callable[[], Image.Image]] = {
    "programme-spread": programme_spread,
    "programme-card": programme_postcard,
    "newspaper-notice": programme_notice,
    "prop-list": prop_list,
    "prop-drawing": prop_drawing,
    "sale-catalogue": sale_catalogue,
}
