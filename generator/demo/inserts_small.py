"""Small printed things: ticket, tags, cards, labels, receipt, pocket, ribbon.

In: a Sheet of the insert's size. Out: ink on it, both sides apart. Never: paper, files.
"""

from __future__ import annotations

import math

from masters_text import blot
from sheet import BLACK, BLUE, RED, SEPIA, Sheet

GREEN = (38, 76, 60)
PENCIL = (92, 90, 92)


def ferry_ticket_front(s: Sheet) -> None:
    """A card ticket for the steam ferry."""
    w, h = s.size_mm
    s.ink((196, 78, 52))
    s.text("R", w / 2, h - 5.6, 30, "gothic", anchor="m")
    s.mask.paste(s.mask.point(lambda v: v // 3))
    s.ink(BLACK)
    s.text("OSTREY STEAM FERRY", w / 2, 6.0, 3.9, "gothic", anchor="m", spacing=0.35)
    s.line((4, 7.6), (w - 4, 7.6), 0.25)
    s.text("THE STAIRS", 5, 13.2, 3.2, "bold")
    s.text("to", w / 2, 13.0, 2.8, "italic", anchor="m")
    s.text("LAMP ROCK", w - 5, 13.2, 3.2, "bold", anchor="r")
    s.text("and back by the same tide", w / 2, 18.0, 2.6, "italic", anchor="m")
    s.line((4, 19.8), (w - 4, 19.8), 0.12)
    s.text("Third deck", 5, 23.6, 2.3, "roman")
    s.text("Not transferable", w - 5, 23.6, 2.0, "roman", anchor="r")
    s.text("0417", 5, 29.0, 4.2, "typewriter", spacing=0.3)
    s.text("0417", w - 5, 29.0, 4.2, "typewriter", anchor="r", spacing=0.3)


def ferry_ticket_back(s: Sheet) -> None:
    """The ticket's back: conditions and a date stamp."""
    w, h = s.size_mm
    for index, line in enumerate(
        ["Issued subject to the tide.", "Void at the ninth.", "Show when asked, and when not."]
    ):
        s.text(line, w / 2, 8 + index * 4.2, 2.6, "roman", anchor="m")
    s.ink((70, 58, 120))
    s.circle(w / 2 + 8, h - 10, 7.4, 0.4)
    s.circle(w / 2 + 8, h - 10, 5.0, 0.25)
    s.text_arc("OSTREY HAVEN", w / 2 + 8, h - 10, 5.5, 1.8, "sans", spacing=0.1)
    s.text("19 · 9", w / 2 + 8, h - 9.2, 2.8, "typewriter", anchor="m")


def specimen_tag_front(s: Sheet) -> None:
    """A luggage tag pressed into service for specimens."""
    w, h = s.size_mm
    s.circle(w / 2, 11, 5.4, 0.4)
    s.circle(w / 2, 11, 2.3, 0.3)
    s.text("OSTREY HAVEN", w / 2, 25, 3.2, "roman", anchor="m", spacing=0.5)
    s.text("TIDAL OFFICE", w / 2, 29.4, 2.5, "roman", anchor="m", spacing=0.5)
    s.text("SPECIMEN", w / 2, 39, 7.6, "gothic", anchor="m", spacing=0.9)
    for index, (label, filled) in enumerate(
        [
            ("No.", "19"),
            ("Where", "the Stairs, 5th"),
            ("Depth", "7.2 ft & falling"),
            ("Tide", "the ninth"),
            ("By", "I. Marrable"),
        ]
    ):
        y = 51 + index * 11
        s.ink(BLACK)
        s.text(label, 6, y, 3.0, "italic")
        s.dashes([(17, y + 0.6), (w - 6, y + 0.6)], 0.14, 0.3, 0.7)
        s.ink(BLUE)
        s.write(filled, 18, y - 0.2, 1.9)
    s.ink(BLACK)
    s.text("Tie, do not pin.", w / 2, h - 7, 2.5, "italic", anchor="m")


def specimen_tag_back(s: Sheet) -> None:
    """The tag's back."""
    s.circle(s.size_mm[0] / 2, 11, 5.4, 0.4)
    s.ink(BLUE)
    s.write_lines(
        ["dry when taken.", "", "wet again each", "ninth tide, in the", "drawer, by itself."], 7, 42, 9.4, 2.1
    )
    blot(s, 44, 104, 1.5)


def tide_card_front(s: Sheet) -> None:
    """A pressed card of tides for a month."""
    w, h = s.size_mm
    s.ink(BLUE)
    s.rect(3, 3, w - 6, h - 6, 0.7)
    s.rect(4.4, 4.4, w - 8.8, h - 8.8, 0.15)
    s.text_arc("TABLE OF TIDES", w / 2, 52, 41, 7.0, "didone", spacing=0.5)
    s.text("for the Haven of Ostrey", w / 2, 20.6, 3.6, "italic", anchor="m")
    s.ink(BLACK)
    s.text("Day", 11, 28, 2.3, "italic", anchor="m")
    for index, head in enumerate(("Morning", "Feet", "Evening", "Feet")):
        s.text(head, 25 + index * 16.5, 28, 2.3, "italic", anchor="m")
    s.line((6, 29.4), (w - 6, 29.4), 0.25)
    for day in range(28):
        y = 32.6 + day * 3.05
        spring = math.cos(2 * math.pi * (day - 2) / 14.7)
        minutes = 361 + day * 50
        s.text(str(day + 1), 11, y, 2.35, "roman", anchor="m")
        for half in range(2):
            at = (minutes + half * 745) % 720
            s.text(f"{at // 60 or 12}.{at % 60:02d}", 28.5 + half * 33, y, 2.35, "roman", anchor="r")
            s.text(f"{12.6 + 2.7 * spring + 0.4 * half:.1f}", 44.4 + half * 33, y, 2.35, "roman", anchor="r")
    for x in (16.5, 33.5, 49.5, 66.5):
        s.line((x, 25), (x, h - 7.4), 0.12)
    s.ink(RED)
    s.pen(
        [(7, 55.4), (20, 54.2), (50, 54.6), (82, 55.8), (82, 58.8), (40, 59.4), (8, 58.4), (6.6, 55)],
        0.35,
        0.15,
    )


def tide_card_back(s: Sheet) -> None:
    """The card's back: a chandler's notice."""
    w, h = s.size_mm
    s.ink(BLUE)
    s.rect(3, 3, w - 6, h - 6, 0.7)
    s.text("THE CHANDLERY", w / 2, 26, 9.6, "gothic", anchor="m", spacing=0.6)
    s.text("at the Stairs", w / 2, 33, 4.4, "italic", anchor="m")
    for index in range(9):
        s.pen(
            [
                (12 + step * 2.2, 41 + index * 0.9 + 1.2 * math.sin(step * 0.7 + index * 0.3))
                for step in range(31)
            ],
            0.15,
            0.0,
        )
    s.ink(BLACK)
    for index, line in enumerate(
        [
            "Lead lines, marked and unmarked",
            "Lamps to burn under water",
            "Oil for same",
            "Watches regulated to the Office",
            "Cork in all sizes",
            "Blotting",
        ]
    ):
        s.text(line, w / 2, 60 + index * 6.6, 3.7, "roman", anchor="m")
    s.text("OPEN AT LOW WATER", w / 2, h - 16, 4.8, "gothic", anchor="m", spacing=0.9)
    s.text("Closed without notice at the ninth", w / 2, h - 10, 2.9, "italic", anchor="m")


def receipt_front(s: Sheet) -> None:
    """The chandler's receipt, torn from its book along a perforation."""
    w, h = s.size_mm
    s.ink(BLUE)
    s.text("The Chandlery at the Stairs", 44, 12, 5.0, "italic")
    s.text("OSTREY HAVEN", 44, 17, 2.6, "roman", spacing=0.7)
    s.text("No.", w - 33, 12, 3.2, "italic")
    for index in range(7):
        s.line((8, 27 + index * 6.6), (w - 6, 27 + index * 6.6), 0.1)
    s.line((w - 32, 21), (w - 32, 66.6), 0.2)
    s.line((w - 18, 21), (w - 18, 66.6), 0.12)
    s.text("tallies", w - 25, 25, 2.3, "italic", anchor="m")
    s.text("bits", w - 11.5, 25, 2.3, "italic", anchor="m")
    s.text_turned("TIDE PAID", 13, 20, 4.0, "gothic", 12)
    s.ink(RED)
    s.text("3306", w - 26, 12.4, 4.6, "typewriter")
    s.ink(SEPIA)
    total = 0
    for index, (item, price) in enumerate(
        [
            ("1 lead, 7 lb, cup full", 44),
            ("20 fm. line, marked", 31),
            ("lamp oil, dark", 12),
            ("cork, sundry", 5),
            ("blotting, pink", 2),
        ]
    ):
        y = 32.2 + index * 6.6
        s.write(item, 11, y, 1.7)
        s.write(str(price // 8), w - 27, y, 1.7)
        s.write(str(price % 8), w - 13, y, 1.7)
        total += price
    s.write("settled", 72, 71.4, 1.9)
    s.write(str(total // 8), w - 28, 71.6, 1.9)
    s.write(str(total % 8), w - 13, 71.6, 1.9)
    s.pen([(w - 31, 73.4), (w - 8, 73.0)], 0.3, 0.06)
    s.write("M. Garrow", 12, 77.4, 2.2)


def label_front(s: Sheet) -> None:
    """The label inside the front board."""
    w, h = s.size_mm
    s.ink(GREEN)
    s.rect(2.2, 2.2, w - 4.4, h - 4.4, 0.8)
    s.rect(3.8, 3.8, w - 7.6, h - 7.6, 0.16)
    for x, y in ((5.6, 5.6), (w - 5.6, 5.6), (5.6, h - 5.6), (w - 5.6, h - 5.6)):
        for index in range(8):
            angle = index * math.pi / 4
            s.line((x, y), (x + 1.6 * math.cos(angle), y + 1.6 * math.sin(angle)), 0.2)
    s.text("OSTREY HAVEN", w / 2, 12, 5.0, "didone", anchor="m", spacing=0.6)
    s.text("TIDAL OFFICE", w / 2, 17.4, 3.2, "roman", anchor="m", spacing=0.8)
    s.line((w / 2 - 12, 19.6), (w / 2 + 12, 19.6), 0.25)
    s.text("This book belongs to the tide", w / 2, 25, 3.0, "italic", anchor="m")
    s.text("and is lent to", w / 2, 29, 3.0, "italic", anchor="m")
    s.dashes([(12, 36), (w - 12, 36)], 0.16, 0.3, 0.7)
    s.ink(BLUE)
    s.write("I. Marrable", w / 2 - 16, 35.4, 2.5)
    s.ink(GREEN)
    s.text("No. 9", w / 2, 42.2, 3.0, "roman", anchor="m")


def calling_card_front(s: Sheet) -> None:
    """The clerk's calling card."""
    w, h = s.size_mm
    s.text("Mr. Aubrin Pell", w / 2, h / 2 - 0.4, 5.4, "italic", anchor="m", spacing=0.15)
    s.text("CLERK OF THE TABLE", w / 2, h / 2 + 5.2, 2.2, "roman", anchor="m", spacing=0.5)
    s.text("Tide House", 5, h - 4, 2.2, "italic")
    s.text("Ostrey Haven", w - 5, h - 4, 2.2, "italic", anchor="r")


def calling_card_back(s: Sheet) -> None:
    """What somebody pencilled on the card."""
    s.ink(PENCIL)
    s.write_lines(["eleven, I said eleven", "A.P."], 9, 17, 9, 2.0, contrast=0.15, pen=0.13)


def gauge_card_front(s: Sheet) -> None:
    """A card punched by the gauge, ten columns, one for each hour."""
    w, h = s.size_mm
    s.ink(GREEN)
    s.rect(3, 8, w - 6, h - 13, 0.25)
    s.text("TIDE GAUGE — THE STAIRS", 6, 6.2, 3.0, "gothic", spacing=0.45)
    s.text("Keep from damp", w - 18, 6.2, 2.3, "italic", anchor="r")
    for column in range(20):
        x = 10.4 + column * 7.0
        for row in range(9):
            s.text(str(9 - row), x, 14.6 + row * 5.0, 2.3, "sans", anchor="m")
        s.text(str(column + 4), x, h - 1.8, 2.2, "roman", anchor="m")
        s.line((x + 3.5, 8), (x + 3.5, h - 5), 0.07)
    s.ink(PENCIL)
    s.write("the ninth", 92, 13.6, 1.8, contrast=0.1, pen=0.12, turn=-0.05)


def gauge_card_holes(width: float, height: float) -> list[tuple[float, float, float]]:
    """Return the punched holes: x, y, radius in mm."""
    holes = []
    for column in range(20):
        level = 4.4 + 3.6 * math.cos(2 * math.pi * (column - 3) / 12.4)
        row = round(9 - min(9.0, max(1.0, 3 if 13 <= column <= 16 else level)))
        holes.append((10.4 + column * 7.0, 13.8 + row * 5.0, 1.5))
    return [(x, y, r) for x, y, r in holes if x < width and y < height]


def ribbon_front(s: Sheet) -> None:
    """The marker ribbon: ribs across, nothing printed."""
    s.ink((120, 40, 44))
    for index in range(int(s.size_mm[1] / 0.7)):
        s.line((0, index * 0.7), (s.size_mm[0], index * 0.7 + 0.06), 0.22)


def blank(_: Sheet) -> None:
    """Nothing is printed on this side."""
