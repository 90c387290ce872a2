"""Larger inserts: chart, form, letter, envelope, cutting, blotter, overlay, photograph, pressed weed.

In: a Sheet of the insert's size. Out: ink on it, both sides apart. Never: paper, files.
"""

from __future__ import annotations

import math

import numpy as np
from chartwork import (
    distance_to,
    graduated_border,
    hachures,
    land_mask,
    rose,
    rough_coast,
    scale_bar,
    shore_line,
    soundings,
    stipple,
    water_lines,
)
from inserts_small import PENCIL
from masters_text import blot
from papers import clouds
from PIL import Image, ImageOps
from scipy import ndimage
from sheet import BLACK, BLUE, RED, SEPIA, Point, Sheet, hash_name

STRIP = (64, 60, 66)


def harbour_chart_front(s: Sheet) -> None:
    """The folded chart: coloured, printed, with the surveyor's corrections in red."""
    w, h = s.size_mm
    west = rough_coast(
        [(-10, 150), (40, 138), (70, 150), (96, 118), (84, 84), (120, 66), (150, 40), (146, 12), (160, -10)],
        s.rng,
        0.13,
        7,
    )
    east = rough_coast(
        [
            (260, 280),
            (266, 240),
            (300, 226),
            (318, 180),
            (346, 170),
            (352, 120),
            (330, 92),
            (356, 60),
            (390, 50),
        ],
        s.rng,
        0.13,
        7,
    )
    isle = rough_coast([(210, 92), (222, 82), (236, 90), (234, 104), (218, 108), (210, 92)], s.rng, 0.17, 6)
    rock = rough_coast([(176, 196), (184, 190), (190, 198), (182, 204), (176, 196)], s.rng, 0.18, 5)
    lands = [[*west, (-12, -12), (-12, 150)], [*east, (400, 40), (400, 290), (250, 290)], isle, rock]
    land = land_mask(s, lands)
    away = distance_to(land, s)
    s.stamp(np.maximum(shore_line(land, s, 0.34), water_lines(away, 9, 0.7, 1.24, 0.14)))
    s.wash(ndimage.gaussian_filter(np.exp(-away / 5.0) * ~land, 2) * 0.42, (120, 178, 196))
    s.wash(land * (0.34 + 0.05 * np.sin(np.arange(land.shape[1]) / 90)), (228, 206, 150))
    for outline, inward in ((west, -1), (east, 1), (isle, -1), (rock, -1)):
        hachures(s, outline, 3.2, 1.0, inward)

    def on_bar(point: Point) -> bool:
        return ((point[0] - 214) / 62) ** 2 + ((point[1] - 150 - 0.1 * (point[0] - 214)) / 10) ** 2 < 1

    stipple(s, on_bar, (150, 130, 280, 170), 1.3, 0.15)
    soundings(
        s,
        away,
        (12, 12, w - 12, h - 12),
        gap=11.5,
        size=3.0,
        slope=0.34,
        clear=[
            (60, 46, 52),
            (64, 215, 34),
            (112, 226, 20),
            (214, 150, 24),
            (190, 150, 18),
            (240, 153, 18),
            (290, 34, 26),
            (224, 116, 10),
            (185, 212, 12),
        ],
    )
    rose(s, 64, 214, 24)
    for index in range(16):
        angle = index * math.pi / 8 + 0.1
        s.dashes(
            [
                (64 + 30 * math.cos(angle), 214 + 30 * math.sin(angle)),
                (64 + 330 * math.cos(angle), 214 + 330 * math.sin(angle)),
            ],
            0.07,
            9,
            5,
        )
    s.fill_rect(14, 14, 92, 62, 0)
    s.rect(16, 16, 86, 58, 0.4)
    s.rect(17.4, 17.4, 83.2, 55.2, 0.14)
    s.text("OSTREY HAVEN", 59, 31, 8.4, "didone", anchor="m", spacing=0.9)
    s.text("and the Approaches", 59, 38.6, 4.8, "italic", anchor="m")
    s.text("with MORROW BAR as found", 59, 46, 3.9, "roman", anchor="m", spacing=0.4)
    s.text("Surveyed for the Tidal Office", 59, 54, 3.6, "italic", anchor="m")
    s.text("SOUNDINGS IN FEET", 59, 61.6, 3.0, "roman", anchor="m", spacing=0.6)
    s.text("reduced to the lowest tide that has been seen", 59, 67.4, 3.1, "italic", anchor="m")
    for name, x, y, size in (
        ("SALLOW HUNDRED", 60, 110, 4.6),
        ("KESSAN", 346, 214, 6.0),
        ("Lamp Rock", 224, 116, 3.4),
        ("The Anvil", 184, 212, 3.4),
        ("MORROW BAR", 214, 151, 4.4),
    ):
        s.text(
            name,
            x,
            y,
            size,
            "italic" if name[1].islower() else "roman",
            anchor="m",
            spacing=0.0 if name[1].islower() else 0.9,
        )
    graduated_border(s, 6, step=8, gap=2.2)
    scale_bar(s, 258, 22, 12, 6, "cables")
    s.ink(RED)
    s.dashes([(150, 262), (172, 226), (196, 176), (206, 150), (226, 120), (262, 70), (300, 8)], 0.4, 5, 2.6)
    s.write("leading line, by me", 236, 84, 2.6, turn=-0.95)
    s.pen(
        [(160, 138), (200, 130), (268, 142), (284, 160), (240, 172), (170, 164), (156, 146), (164, 136)],
        0.4,
        0.4,
    )
    s.write("moved. see p. 22", 250, 182, 3.0, turn=0.05)
    s.write("nothing here at the ninth", 128, 246, 2.6, turn=-0.04)


def signal_form_front(s: Sheet) -> None:
    """A message form of the coast signals, strips pasted, stamped."""
    w, h = s.size_mm
    s.text("COAST SIGNALS", 10, 14, 8.2, "gothic", spacing=0.8)
    s.text("OSTREY HAVEN STATION", 10, 19.6, 3.0, "roman", spacing=0.5)
    s.text("Form S 4", w - 10, 9, 2.6, "italic", anchor="r")
    s.line((8, 23), (w - 8, 23), 0.6)
    s.line((8, 24.2), (w - 8, 24.2), 0.15)
    for index, label in enumerate(("Handed in", "Received", "Words", "By")):
        x = 8 + index * 46
        s.text(label, x + 1.5, 29, 2.5, "italic")
        s.line((x + 46, 24.2), (x + 46, 36), 0.15) if index < 3 else None
    s.line((8, 36), (w - 8, 36), 0.15)
    s.text("To", 10, 46, 3.4, "italic")
    s.dashes([(18, 47), (w - 10, 47)], 0.14, 0.3, 0.8)
    for index in range(4):
        s.dashes([(10, 62 + index * 13), (w - 10, 62 + index * 13)], 0.12, 0.3, 0.8)
    s.text("No answer is paid for unless the tide allows.", w / 2, h - 5, 2.6, "italic", anchor="m")
    s.ink(STRIP)
    for index, text in enumerate(("6.41", "6.41", "19", "lamp")):
        s.text(text, 14 + index * 46, 34.6, 4.0, "typewriter")
    s.text("MARRABLE  THE STAIRS  OSTREY HAVEN", 20, 45.6, 4.5, "typewriter")
    for index, line in enumerate(
        (
            "TABLE STANDS AS PRINTED STOP DO NOT READ",
            "BY LAMP STOP NINTH TIDE NOT ON THE LIST",
            "STOP THERE ARE EIGHT STOP COME IN",
        )
    ):
        s.text(line, 13 + index * 1.3, 60.6 + index * 13, 4.7, "typewriter")
    s.text("PELL", 150, 99.6, 4.7, "typewriter")
    s.ink(RED)
    s.circle(164, 82, 15, 0.6)
    s.circle(164, 82, 10.6, 0.3)
    s.text_arc("COAST SIGNALS", 164, 82, 11.4, 3.1, "sans", spacing=0.5)
    s.text_arc("OSTREY", 164, 82, 14.0, 3.1, "sans", middle=270, spacing=0.6, inside=True)
    s.text_turned("19 . 9", 164, 82, 5.2, "typewriter", 9)


def signal_form_back(s: Sheet) -> None:
    """The answer, never sent."""
    s.ink(SEPIA)
    s.write_lines(
        ["Nine. I have counted them", "on both hands and had one over.", "", "Not sent."], 22, 40, 16, 3.2
    )


def envelope_front(s: Sheet) -> None:
    """The envelope's face: addressed, struck, carried on tidal service."""
    w, h = s.size_mm
    s.text("ON TIDAL SERVICE", 8, 11, 3.6, "roman", spacing=0.6)
    s.line((8, 13), (52, 13), 0.2)
    s.ink(BLUE)
    for index, line in enumerate(("Miss I. Marrable,", "at the Stairs,", "Ostrey Haven.")):
        s.write(line, 26 + index * 8, 46 + index * 13, 3.2)
    s.pen([(52, 76.4), (72, 77.4), (90, 76)], 0.3, 0.1, taper=True)
    s.ink(BLACK)
    s.circle(w - 24, 22, 11, 0.45)
    s.circle(w - 24, 22, 7.4, 0.25)
    s.text_arc("OSTREY HAVEN", w - 24, 22, 8.2, 2.4, "sans", spacing=0.25)
    s.text("5 PM", w - 24, 21.6, 2.7, "typewriter", anchor="m")
    s.text("18 . 9", w - 24, 25.0, 2.7, "typewriter", anchor="m")
    for index in range(5):
        s.pen(
            [(w - 62 + step * 4.2, 15 + index * 3.2 + 0.9 * math.sin(step)) for step in range(7)], 0.4, 0.08
        )


def envelope_back(s: Sheet) -> None:
    """The envelope's back: the edge of the flap and a note."""
    w, h = s.size_mm
    s.ink((168, 150, 118))
    s.pen(
        [(0, 0), (w / 2 - 6, h * 0.56), (w / 2, h * 0.6), (w / 2 + 6, h * 0.56), (w, 0)],
        0.18,
        0.0,
        smooth=False,
    )
    s.pen([(0, h), (w / 2 - 4, h * 0.5)], 0.14, 0.0)
    s.pen([(w, h), (w / 2 + 4, h * 0.5)], 0.14, 0.0)
    s.ink(RED)
    s.circle(w / 2, h * 0.57, 6.4, 0.5, fill=235)
    s.ink(PENCIL)
    s.write("opened at slack", 12, h - 8, 1.9, contrast=0.1, pen=0.12)


LETTER = [
    "Dear Marrable,",
    "I have your ninth readings and I am",
    "sending them back. The table has",
    "eight tides in the set. It has had eight",
    "since there was a table. You will see",
    "that there is no column.",
    "Kindly do not sign for me again. I was",
    "not at the Stairs & I have never held",
    "the pole. If the water stood as long as",
    "you say, somebody in the town would",
    "have remarked it, and nobody has, ex-",
    "cept the boy Tull, who was fast asleep.",
]
LETTER_BACK = [
    "I enclose a photograph. It was taken at",
    "the hour that you give. You will observe",
    "that the steps are dry and that there is",
    "no one standing on them, though you",
    "have written that you were.",
    "",
    "Come in when the tide serves.",
    "",
    "I remain, at eleven minutes,",
]


def letter_front(s: Sheet) -> None:
    """Pell's letter, first side."""
    s.text("TIDE HOUSE, OSTREY HAVEN", 118, 12, 2.9, "roman", anchor="r", spacing=0.4)
    s.line((70, 14), (118, 14), 0.15)
    s.ink(SEPIA)
    s.write("Eve of the equinox", 72, 25, 2.0, slant=0.3)
    s.write_lines(LETTER, 12, 42, 12.6, 2.25, slant=0.3, pen=0.14)


def letter_back(s: Sheet) -> None:
    """Pell's letter, second side."""
    s.ink(SEPIA)
    y = s.write_lines(LETTER_BACK, 12, 24, 12.6, 2.25, slant=0.3, pen=0.14)
    s.write("Aubrin Pell", 58, y + 6, 3.4, slant=0.3, pen=0.13)
    s.pen([(56, y + 9), (80, y + 10.4), (112, y + 7)], 0.3, 0.1, taper=True)


CUTTING = (
    "Persons who keep watches are again advised to set them by the Office and not by the water. On the "
    "evening of the eighteenth the ebb at the Stairs is said to have waited, and various figures are in "
    "circulation, none of them signed. The Clerk of the Table has shown this paper his table, which is "
    "complete. A boatman who asks not to be named was named Tull. He states that he saw a lady on the "
    "fifth step holding up a pole, that the sea came to it, and that it did not then go away in the "
    "manner to which he is accustomed. He put the interval at three pipes. Our own correspondent, "
    "reaching the Stairs at once, found them dry, swept, and in good repair. The ferry will run."
)
CUTTING_BACK = (
    "WANTED by a quiet household, a barometer that falls. FOUND on the north mole, one boot, filled; apply "
    "with its fellow. The Chandlery begs to say that it has lamp oil. LOST between the second perch and "
    "the first, thirty-two paces; finder kindly leave where they are. To LET, upper room with view of "
    "the bar when there is one. The Haven Choir meets at low water, weather and floor permitting."
)


def justified(
    s: Sheet, text: str, x: float, y: float, width: float, size: float, pitch: float, bottom: float
) -> float:
    """Set a column of justified type; return the y reached."""
    space = s.text(" ", x, -50, size) or size * 0.25
    line: list[tuple[str, float]] = []
    for word in [*text.split(), ""]:
        reach = s.text(word, x, -50, size) if word else 0.0
        used = sum(w for _, w in line) + space * len(line)
        if (line and used + reach > width) or not word:
            gap = (width - sum(w for _, w in line)) / max(1, len(line) - 1) if word else space
            at = x
            for shown, w in line:
                s.text(shown, at, y, size)
                at += w + gap
            y += pitch
            line = []
            if y > bottom:
                break
        if word:
            line.append((word, reach))
    return y


def cutting_front(s: Sheet) -> None:
    """A cutting from the town's paper."""
    w, h = s.size_mm
    s.line((4, 6), (w - 4, 6), 0.5)
    s.text("THE SEA", w / 2, 18, 10.5, "gothic", anchor="m", spacing=0.4)
    s.text("SAID TO HAVE WAITED", w / 2, 25.4, 5.3, "gothic", anchor="m", spacing=0.25)
    s.line((w / 2 - 8, 28), (w / 2 + 8, 28), 0.25)
    s.text("NOTHING IN IT, SAYS OFFICE", w / 2, 33, 2.9, "roman", anchor="m", spacing=0.2)
    y = justified(s, CUTTING, 4.5, 39.5, w - 9, 3.55, 4.0, h - 6)
    s.line((w / 2 - 6, min(y, h - 5)), (w / 2 + 6, min(y, h - 5)), 0.25)
    s.ink(BLUE)
    s.pen([(3.4, 74), (3, 82), (3.6, 90)], 0.4, 0.1)
    s.write("dry!", 44, 33, 2.8, turn=-0.16)


def cutting_back(s: Sheet) -> None:
    """What happened to stand on the other side of the cutting."""
    w, h = s.size_mm
    s.text("NOTICES", w / 2 + 9, 12, 7.5, "gothic", anchor="m", spacing=0.6)
    justified(s, " ".join([CUTTING_BACK] * 3), -9, 20, w - 2, 3.55, 4.0, h - 1)


def blotter_front(s: Sheet) -> None:
    """Pink blotting paper with the day's writing the wrong way round."""
    rng = s.rng
    for colour in (BLUE, SEPIA, BLACK):
        s.ink(colour)
        for _ in range(4):
            s.write(
                rng.choice(
                    [
                        "six forty one",
                        "it stood at 7.2",
                        "Marrable",
                        "signed for him",
                        "nineteen",
                        "the ninth tide",
                    ]
                ),
                rng.uniform(8, 40),
                rng.uniform(16, 138),
                rng.uniform(1.9, 2.7),
                turn=rng.gauss(0, 0.25),
                ink=rng.randint(90, 220),
            )
        mirrored = ImageOps.mirror(s.mask)
        broken = clouds((s.px[1], s.px[0]), hash_name(s.name) + colour[0], 60, 4) > -0.2
        s.mask.paste(Image.fromarray((np.asarray(mirrored) * broken).astype(np.uint8)))
        for _ in range(2):
            blot(s, rng.uniform(12, 80), rng.uniform(14, 136), rng.uniform(0.8, 2.4))


def overlay_front(s: Sheet) -> None:
    """The waxed overlay: this year's bar in red over last year's in ink."""
    w, h = s.size_mm
    s.ink(RED)
    s.pen([(10, 92), (26, 74), (48, 66), (70, 72), (92, 60)], 0.4, 0.15)
    s.pen([(10, 108), (30, 96), (52, 92), (74, 96), (92, 84)], 0.4, 0.15)
    for index in range(18):
        x = 14 + index * 4.4
        y = 92 - 22 * math.sin(index / 17 * 2.6) - 2
        s.pen([(x, y), (x - 2.4, y + 15)], 0.16, 0.1, smooth=False)
    s.write("as it is", 60, 58, 2.3, turn=-0.1)
    s.write("(over p. 22, pins at a & b)", 16, 150, 1.9)
    for x, y, name in ((14, 20, "a"), (86, 140, "b")):
        s.circle(x, y, 1.2, 0.35)
        s.line((x - 2.4, y), (x + 2.4, y), 0.2)
        s.line((x, y - 2.4), (x, y + 2.4), 0.2)
        s.write(name, x + 3, y - 1, 1.9)
    s.ink(BLUE)
    s.dashes([(10, 120), (30, 110), (54, 108), (76, 112), (92, 102)], 0.3, 3, 1.6)
    s.write("as it was", 20, 127, 2.1)
    for x, y, turn in ((30, 44, 0.6), (56, 40, 0.5), (78, 36, 0.4)):
        s.pen([(x, y), (x + 8 * math.cos(turn), y + 8 * math.sin(turn))], 0.3, 0.05)
        s.pen(
            [
                (x + 5 * math.cos(turn + 0.2), y + 5 * math.sin(turn + 0.2)),
                (x + 8 * math.cos(turn), y + 8 * math.sin(turn)),
                (x + 5 * math.cos(turn - 0.2), y + 5 * math.sin(turn - 0.2)),
            ],
            0.26,
            0.02,
            smooth=False,
        )
