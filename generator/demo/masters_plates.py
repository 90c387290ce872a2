"""Pages of the field book that are mostly drawing: tide curves, bearings, traverses, gauges, views.

In: a Sheet of page size. Out: ink on it. Never: files, other pages.
"""

from __future__ import annotations

import math

from chartwork import rose, rough_coast, scale_bar, stipple, tide_height
from masters_text import form_head
from sheet import Point, Sheet


def tides_page(s: Sheet) -> None:
    """Four days of tide, drawn against the hours."""
    springs = s.name.endswith("springs")
    form_head(s, "TIDE CURVE", "6")
    s.write("springs" if springs else "neaps", 80, 18.6, 1.9)
    for row in range(4):
        top, height = 26 + row * 33, 26.0
        for index in range(25):
            x = 14 + index * 3.4
            s.line((x, top), (x, top + height), 0.22 if index % 6 == 0 else 0.07)
            if index % 3 == 0:
                s.text(str(index), x, top + height + 2.4, 1.7, "roman", anchor="m")
        for index in range(9):
            y = top + index * height / 8
            s.line((14, y), (95.6, y), 0.22 if index % 4 == 0 else 0.07)
            if index % 2 == 0:
                s.text(str(16 - index * 2), 12.6, y + 0.6, 1.7, "roman", anchor="r")
        middle = top + height / 2
        points: list[Point] = []
        for step in range(99):
            hour = step * 24 / 98
            tide = tide_height(hour, spring=1.1 if springs else 0.62, phase=row * 0.8)
            if springs and row == 2 and 14.6 < hour < 17.4:
                tide = tide_height(14.6, spring=1.1, phase=row * 0.8)
            points.append((14 + hour * 3.4, middle - tide * height * 0.42))
        s.pen(points, 0.36, 0.05)
        for x, y in points[:: 7 if springs else 9]:
            s.circle(x + s.rng.gauss(0, 0.15), y + s.rng.gauss(0, 0.3), 0.42, 0.16)
        s.write(("Tues", "Wed", "Thurs", "Fri")[row], 7.2, top - 1.2, 1.4)
        if springs and row == 2:
            s.write("stands!", 66, top + 4.4, 1.9, turn=-0.1)
            s.pen([(69, top + 5.6), (68.4, top + 9)], 0.24, 0.05)


def bearings_page(s: Sheet) -> None:
    """A rose with the bearings taken from the Stairs."""
    form_head(s, "BEARINGS", "8")
    s.write("from the Stairs, small needle", 24, 26, 1.7)
    rose(s, 52.5, 72, 31)
    marks = [("Lamp Rock", 42), ("Anvil", 71), ("1st perch", 151), ("2nd perch", 196), ("Tide House", 287)]
    for _, degrees in marks:
        angle = math.radians(degrees)
        start = (52.5 + 8 * math.sin(angle), 72 - 8 * math.cos(angle))
        end = (52.5 + 38 * math.sin(angle), 72 - 38 * math.cos(angle))
        s.pen([start, end], 0.24, 0.05)
        s.circle(*end, 0.7, fill=255)
    for index, (name, degrees) in enumerate(marks):
        y = 124 + index * 7.2
        s.write(name, 14, y, 1.7)
        s.write(f"{degrees}° {s.rng.choice((10, 20, 30, 40))}'", 54, y, 1.7)
        s.write("twice" if index % 2 else "once", 80, y, 1.5)
        s.dashes([(38, y - 0.4), (53, y - 0.4)], 0.12, 0.4, 1.2)


def traverse_page(s: Sheet) -> None:
    """Squared paper with a traverse of the north shore plotted on it."""
    for index in range(22):
        x = 7 + index * 4.35
        s.line((x, 7), (x, 155), 0.2 if index % 5 == 0 else 0.06)
    for index in range(35):
        y = 7 + index * 4.35
        s.line((7, y), (98.3, y), 0.2 if index % 5 == 0 else 0.06)
    stations = [(20, 138), (27, 118), (22, 98), (38, 82), (34, 62), (52, 48), (70, 42), (80, 26)]
    for a, b in zip(stations, stations[1:], strict=False):
        s.pen([a, b], 0.28, 0.05)
        s.write(
            str(s.rng.randint(212, 598)),
            (a[0] + b[0]) / 2 + 2.4,
            (a[1] + b[1]) / 2 + 1,
            1.4,
            turn=s.rng.gauss(0, 0.05),
        )
    for index, (x, y) in enumerate(stations):
        s.pen(
            [(x - 1.6, y + 1.2), (x, y - 1.8), (x + 1.6, y + 1.2), (x - 1.6, y + 1.2)],
            0.3,
            0.02,
            smooth=False,
        )
        s.write(chr(65 + index), x - 5.6, y + 0.6, 1.7)
    coast = rough_coast(
        [(12, 150), (34, 124), (31, 100), (46, 88), (42, 66), (60, 54), (76, 50), (96, 32)], s.rng, 0.1, 4
    )
    s.pen(coast, 0.4, 0.0, smooth=False)
    for offset in (1.2, 2.8, 5.0):
        s.dashes([(x + offset, y + offset * 0.8) for x, y in coast[::5]], 0.14, 4, 1.5)
    s.write("North shore,", 54, 112, 2.1)
    s.write("by chain & needle", 54, 120, 1.7)
    s.write("closes to 3 links", 54, 127, 1.5)
    scale_bar(s, 52, 140, 7, 5, "hundred links")


def gauge_page(s: Sheet) -> None:
    """The tide gauge in section: float, pulley, pencil, drum."""
    s.write("The gauge at the Stairs", 10, 16, 2.2)
    s.pen([(10, 18.4), (40, 19), (66, 18)], 0.22, 0.1)
    for x in (30.0, 52.0):
        s.pen([(x, 56), (x + 0.4, 100), (x, 146)], 0.4, 0.06)
        for index in range(22):
            y = 58.0 + index * 4
            side = -1 if x < 40 else 1
            s.pen([(x, y), (x + side * 4, y + 3)], 0.16, 0.08, smooth=False)
    for index in range(6):
        y = 118 + index * 4.2
        s.dashes([(31, y), (41, y + 0.5), (51, y)], 0.18, 5, 2)
    s.pen([(33, 112), (49, 112), (49, 119), (33, 119), (33, 112)], 0.4, 0.05, smooth=False)
    for index in range(7):
        s.line((34 + index * 2.2, 112.3), (33.2 + index * 2.2, 118.8), 0.12)
    s.pen([(41, 112), (41, 46)], 0.22, 0.03)
    s.circle(47, 46, 6, 0.4)
    s.circle(47, 46, 0.8, 0.2, fill=255)
    for index in range(6):
        angle = index * math.pi / 3 + 0.3
        s.line(
            (47 + 0.9 * math.cos(angle), 46 + 0.9 * math.sin(angle)),
            (47 + 5.6 * math.cos(angle), 46 + 5.6 * math.sin(angle)),
            0.2,
        )
    s.pen([(53, 46), (53, 72)], 0.22, 0.03)
    s.pen([(51.6, 72), (54.4, 72), (54, 78), (52, 78), (51.6, 72)], 0.4, 0.03, smooth=False)
    s.pen([(47, 40), (62, 34), (72, 38)], 0.3, 0.04)
    s.pen([(72, 30), (90, 30), (90, 50), (72, 50), (72, 30)], 0.4, 0.04, smooth=False)
    for x in (72.0, 90.0):
        s.pen([(x, 30), (x - 1.6, 33), (x - 1.6, 47), (x, 50)], 0.3, 0.04)
    s.pen([(72 + step * 1.2, 40 + 5 * math.sin(step * 0.62)) for step in range(16)], 0.26, 0.02)
    for index in range(5):
        s.line((75 + index * 3, 30.4), (75 + index * 3, 49.6), 0.07)
    s.pen([(24, 56), (64, 56)], 0.5, 0.06)
    notes = [
        ("drum, one turn a day", 62, 62, (80, 51), (76, 59)),
        ("float, copper", 60, 110, (50, 115), (59, 110)),
        ("well, 9 in. bore", 60, 132, (52, 130), (59, 131)),
        ("weight", 60, 77, (55, 75), (59, 76)),
        ("wheel", 22, 40, (41, 44), (33, 40)),
    ]
    for text, x, y, a, b in notes:
        s.write(text, x, y, 1.6)
        s.pen([b, a], 0.16, 0.05)
    s.write("pencil sticks at the ninth; I have", 10, 154, 1.6)
    s.write("oiled it. It is not the pencil.", 10, 160.4, 1.6)


def lead_line_page(s: Sheet) -> None:
    """The lead, its arming, and the marks on the line."""
    s.write("Marks on the line", 10, 16, 2.2)
    path = [(24 + 6 * math.sin(step * 0.5), 26 + step * 4.6) for step in range(24)]
    s.pen(path, 0.5, 0.1)
    for index in range(0, len(path) * 3 - 3):
        t = index / 3
        a, b = path[int(t)], path[min(int(t) + 1, len(path) - 1)]
        x, y = a[0] + (b[0] - a[0]) * (t % 1), a[1] + (b[1] - a[1]) * (t % 1)
        s.pen([(x - 0.5, y - 0.3), (x + 0.5, y + 0.4)], 0.12, 0.02, smooth=False)
    x, y = path[-1]
    s.polygon([(x - 1.4, y), (x + 1.4, y), (x + 3.2, y + 18), (x - 3.2, y + 18)])
    s.pen([(x - 1.0, y + 2), (x - 2.4, y + 17)], 0.3, 0.02, ink=0)
    s.circle(x, y - 0.6, 1.1, 0.3)
    s.write("tallow in the cup", x + 7, y + 17, 1.6)
    marks = [
        ("2", "two strips of leather"),
        ("3", "three strips"),
        ("5", "white calico"),
        ("7", "red bunting"),
        ("10", "leather with a hole"),
        ("13", "blue serge"),
        ("15", "calico again"),
        ("17", "red again"),
        ("20", "cord, two knots"),
    ]
    for index, (depth, cloth) in enumerate(marks):
        px, py = path[2 + index * 2]
        s.write(depth, 40, py + 0.8, 1.9)
        s.write(cloth, 50, py + 0.8, 1.7)
        s.pen(
            [(px, py), (px + 4, py - 0.8), (px + 5, py + 0.6), (px + 4, py + 1.6), (px, py + 0.6)], 0.28, 0.05
        )
        if "red" in cloth or "blue" in cloth:
            for step in range(5):
                s.line((px + 0.8 + step * 0.8, py - 0.4), (px + 0.6 + step * 0.8, py + 1.2), 0.12)
        s.dashes([(px + 6, py), (39, py)], 0.12, 0.4, 1.1)
    s.write("21  no mark. Do not trust it.", 40, path[21][1] + 1, 1.7)


def coast_views_page(s: Sheet) -> None:
    """Three views of the land as it is seen from the sea."""
    titles = [
        ("The Haven, bearing N E, 2 miles", 40),
        ("Lamp Rock, N by E, 6 cables", 88),
        ("The Anvil at half ebb", 136),
    ]
    for index, (title, base) in enumerate(titles):
        left, right = 8.0, 97.0
        ridge = rough_coast(
            [
                (left, base - 3),
                (26, base - 9 - 4 * (index == 0)),
                (44, base - 5),
                (60, base - 12 + 4 * index),
                (78, base - 6),
                (right, base - 1.5),
            ],
            s.rng,
            0.12,
            5,
        )
        far = rough_coast(
            [(left, base - 8), (40, base - 14), (70, base - 10), (right, base - 5)], s.rng, 0.05, 4
        )
        s.pen(far, 0.12, 0.0, smooth=False)
        s.polygon([*ridge, (right, base), (left, base)], 0)
        s.pen(ridge, 0.34, 0.0, smooth=False)
        for a, b in zip(ridge[::3], ridge[3::3], strict=False):
            if s.rng.random() < 0.72 and a[1] < base - 2:
                drop = min(base - 0.6, a[1] + s.rng.uniform(2, 6.5))
                s.pen([a, ((a[0] + b[0]) / 2 - 0.7, drop)], 0.13, 0.05, smooth=False, taper=True)
        s.pen([(left, base), (40, base + 0.3), (right, base - 0.1)], 0.26, 0.05)
        for line in range(4):
            y = base + 1.6 + line * 1.5
            s.dashes([(left + line * 5, y), (50, y + 0.3), (right - line * 7, y)], 0.13, 5, 4)
        s.write(title, 10, base + 12, 1.75)
    x = 60.0
    s.pen([(x - 1.6, 80.4), (x - 1, 68), (x + 1, 68), (x + 1.6, 80.4)], 0.4, 0.03, smooth=False)
    s.fill_rect(x - 1.3, 65.4, 2.6, 2.6)
    s.pen([(x - 1.8, 65.4), (x, 63.4), (x + 1.8, 65.4)], 0.3, 0.02, smooth=False)
    for angle in (-0.5, -0.2, 0.15, 0.45):
        s.pen(
            [
                (x + 2.4 * math.cos(angle), 66.4 + 2.4 * math.sin(angle)),
                (x + 9 * math.cos(angle), 66.4 + 9 * math.sin(angle)),
            ],
            0.14,
            0.03,
        )
    s.pen([(30, 35.6), (30.4, 26), (30.4, 24.4)], 0.2, 0.03)
    s.pen([(12, 134), (15, 131.6), (21, 131.4), (24, 134), (12, 134)], 0.3, 0.05)
    s.pen([(18, 131), (18.2, 123)], 0.24, 0.03)
    s.pen([(18.4, 123.6), (23, 129.6), (18.4, 130)], 0.22, 0.05)
    s.write("Views", 10, 16, 2.4)


def bar_section_page(s: Sheet) -> None:
    """A section across the bar, by the lead, with the tide levels."""
    s.write("Section of Morrow Bar", 10, 16, 2.2)
    s.write("perch to perch, 412 paces", 10, 23, 1.6)
    base = 100.0
    ground = [
        (
            8 + step * 3.2,
            base
            - 26 * math.exp(-(((step - 14) / 6.5) ** 2))
            + 1.6 * math.sin(step * 0.9)
            + s.rng.gauss(0, 0.3),
        )
        for step in range(28)
    ]
    s.pen(ground, 0.42, 0.05)

    def below(point: Point) -> bool:
        index = min(len(ground) - 1, max(0, int((point[0] - 8) / 3.2)))
        return point[1] > ground[index][1] + 0.6

    stipple(s, below, (8, 70, 95, 114), 1.15, 0.13)
    for level, name in ((52.0, "H.W. springs"), (61.0, "H.W. neaps"), (74.5, "the ninth"), (84.0, "L.W.")):
        s.dashes([(8, level), (50, level + 0.2), (95, level)], 0.18, 3, 1.5)
        s.write(name, 17, level - 1.0, 1.5)
    for index in range(10):
        x = 12.0 + index * 9
        y = ground[min(27, int((x - 8) / 3.2))][1]
        s.line((x, 46), (x, y), 0.07)
        s.write(f"{(y - 52) / 2.6:.0f}", x - 1.2, 44.6, 1.5)
    for x in (14.0, 90.0):
        s.pen([(x, 34), (x + 0.2, base)], 0.5, 0.05)
        s.pen([(x - 2.6, 38), (x + 2.6, 38)], 0.3, 0.05)
        s.pen([(x - 2, 34), (x, 31), (x + 2, 34), (x - 2, 34)], 0.3, 0.03, smooth=False)
    s.write_lines(
        [
            "In the spring of the year before it",
            "was 380 paces and had no name on",
            "the north side. It has walked",
            "toward the Stairs.",
        ],
        10,
        128,
        8.0,
        1.85,
    )


def lamp_page(s: Sheet) -> None:
    """Elevation and plan of the tower on Lamp Rock."""
    s.write("Lamp Rock", 10, 16, 2.4)
    c = 48.0
    s.pen([(c - 12, 120), (c - 7, 54), (c + 7, 54), (c + 12, 120)], 0.4, 0.06, smooth=False)
    for index in range(15):
        y = 58 + index * 4.3
        half = 7 + (y - 54) * 5 / 66
        s.pen([(c - half, y), (c, y + 0.9), (c + half, y)], 0.16, 0.05)
        for brick in range(3):
            x = c - half + (brick + 0.5 * (index % 2) + 0.4) * half * 0.66
            s.line((x, y + 0.5), (x, y + 4.4), 0.12)
    for index in range(26):
        y = 56 + index * 2.5
        half = 7 + (y - 54) * 5 / 66
        s.pen([(c + half * 0.45, y), (c + half - 0.3, y + 1.4)], 0.14, 0.06, smooth=False)
    s.pen([(c - 9.5, 54), (c + 9.5, 54)], 0.6, 0.04)
    s.pen([(c - 9.5, 50), (c + 9.5, 50)], 0.2, 0.04)
    for index in range(10):
        s.line((c - 9 + index * 2, 50), (c - 9 + index * 2, 54), 0.15)
    s.pen([(c - 5, 50), (c - 5, 38), (c + 5, 38), (c + 5, 50)], 0.35, 0.04, smooth=False)
    for index in range(5):
        s.line((c - 5 + index * 2.5, 38), (c - 5 + index * 2.5, 50), 0.16)
    s.pen([(c - 6, 38), (c - 3, 32), (c, 30), (c + 3, 32), (c + 6, 38)], 0.45, 0.04)
    s.circle(c, 28.6, 1.0, fill=255)
    s.circle(c, 45, 2.2, 0.3)
    for index in range(8):
        angle = index * math.pi / 4
        s.line(
            (c + 2.8 * math.cos(angle), 45 + 2.8 * math.sin(angle)),
            (c + 4.2 * math.cos(angle), 45 + 4.2 * math.sin(angle)),
            0.16,
        )
    s.polygon([(c - 2, 120), (c - 2, 111), (c, 108.6), (c + 2, 111), (c + 2, 120)])
    rock = rough_coast([(8, 132), (24, 122), (38, 120), (62, 120), (78, 125), (96, 133)], s.rng, 0.1, 5)
    s.pen(rock, 0.4, 0.0, smooth=False)
    for a in rock[::3]:
        s.pen([a, (a[0] - 1.5, a[1] + s.rng.uniform(2, 7))], 0.15, 0.1, smooth=False, taper=True)
    for y in (56.0, 120.0):
        s.line((66, y), (76, y), 0.12)
    s.pen([(73, 57), (73, 119)], 0.16, 0.03)
    s.write("61 ft", 76, 88, 1.8)
    s.circle(82, 36, 9, 0.3)
    s.circle(82, 36, 6, 0.2)
    s.pen([(82, 36), (88, 30)], 0.2, 0.02)
    s.write("plan", 78, 52, 1.5)
    s.write("Keeper says lit at dusk. I saw", 10, 148, 1.8)
    s.write("no dusk, and it was lit.", 10, 156, 1.8)
