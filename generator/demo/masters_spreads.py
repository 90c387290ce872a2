"""Artwork that runs across the gutter: drawn as one spread and parted down the middle.

In: a Sheet of two pages' width. Out: ink on it. Never: files, cutting (artwork.py does that).
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
from sheet import Point, Sheet


def harbour_plan(s: Sheet) -> None:
    """Plan of the haven: two moles, the Stairs, the creek; the channel crosses the gutter."""
    north = rough_coast(
        [(-8, 34), (24, 38), (48, 24), (78, 34), (98, 30), (120, 44), (128, 40), (136, 20), (160, -8)],
        s.rng,
        0.13,
        6,
    )
    south = rough_coast(
        [
            (-8, 128),
            (20, 118),
            (40, 132),
            (66, 124),
            (84, 138),
            (112, 128),
            (124, 136),
            (140, 124),
            (168, 132),
            (190, 150),
            (196, 173),
        ],
        s.rng,
        0.13,
        6,
    )
    mole_n: list[Point] = [(122, 42), (148, 66), (150, 63.6), (126, 40)]
    mole_s: list[Point] = [(136, 127), (152, 92), (155, 93.2), (140, 128)]
    isle = rough_coast([(172, 60), (182, 54), (190, 62), (184, 72), (174, 70), (172, 60)], s.rng, 0.16, 5)
    lands = [[*north, (160, -10), (-10, -10)], [*south, (196, 176), (-10, 176)], mole_n, mole_s, isle]
    land = land_mask(s, lands)
    away = distance_to(land, s)
    s.stamp(np.maximum(shore_line(land, s), water_lines(away, 6, 0.55, 1.3, 0.13)))
    for outline, inward in ((north, -1), (south, 1), (isle, 1)):
        hachures(s, outline, 2.6, 0.85, inward)
    soundings(
        s,
        away,
        (9, 46, 201, 150),
        gap=8.0,
        size=2.3,
        slope=0.36,
        clear=[
            (36, 84, 17),
            (168, 88, 9),
            (181, 88, 9),
            (182, 79, 9),
            (146, 51, 7),
            (158, 109, 7),
            (105, 84, 5),
        ],
    )
    rose(s, 36, 84, 13.5)
    s.dashes([(205, 88), (176, 84), (152, 79), (120, 82), (92, 84), (66, 90)], 0.26, 3, 1.4)
    s.pen([(152, 79), (142, 80.6)], 0.3, 0.05)
    s.write("leading line", 157, 87.4, 1.6, turn=0.12)
    s.write("OSTREY HAVEN", 14, 19, 3.0, pen=0.14, spacing=0.5)
    s.write("from the sea gate inward", 52, 154, 1.6)
    s.write("the Stairs", 84, 24, 1.5)
    for index in range(5):
        s.line((96 + index * 0.9, 31 + index * 1.1), (101 + index * 0.9, 30.2 + index * 1.1), 0.22)
    s.write("north mole", 139, 45, 1.5, turn=0.72)
    s.write("south mole", 155, 118, 1.5, turn=-1.1)
    s.write("Lamp Rock", 174, 80, 1.5)
    s.write("Sallow Creek", 14, 144, 1.7, turn=-0.2)
    s.write("Tide House", 60, 142, 1.6)
    s.fill_rect(66, 131.4, 4.4, 2.8)
    for x, y in ((116, 30), (106, 24), (112, 20), (84, 150), (96, 150), (104, 146), (128, 146)):
        s.fill_rect(x, y, s.rng.uniform(2.4, 4.6), s.rng.uniform(1.6, 2.8))
        s.line((x - 0.6, y + 3.4), (x + 5, y + 3.4), 0.1)
    graduated_border(s, 4.0)
    scale_bar(s, 140, 152, 7, 5, "cables")


def channel_chart(s: Sheet) -> None:
    """The channel over the bar, with the lines of soundings run across it."""
    west = rough_coast(
        [(-8, 150), (18, 138), (30, 112), (20, 84), (34, 58), (22, 30), (34, -8)], s.rng, 0.12, 6
    )
    east = rough_coast(
        [(160, 176), (170, 146), (186, 128), (176, 98), (192, 70), (180, 40), (190, -8)], s.rng, 0.12, 6
    )
    lands = [[*west, (-10, -10), (-10, 150)], [*east, (220, -10), (220, 176)]]
    land = land_mask(s, lands)
    away = distance_to(land, s)
    s.stamp(np.maximum(shore_line(land, s), water_lines(away, 5, 0.6, 1.35, 0.13)))
    hachures(s, west, 2.4, 0.9, -1)
    hachures(s, east, 2.4, 0.9, 1)

    def on_bar(point: Point) -> bool:
        x, y = point
        middle = 88 + 9 * math.sin(x * 0.045) - (x - 105) * 0.12
        half = 13 * math.exp(-(((x - 108) / 46) ** 2)) + 2
        return abs(y - middle) < half and 46 < x < 168

    stipple(s, on_bar, (44, 64, 170, 116), 1.05, 0.13)
    for line in range(6):
        x0 = 44 + line * 4
        y0 = 30 + line * 21
        points = [
            (x0 + step * 9.0, y0 + step * (1.6 - line * 0.5) + 2 * math.sin(step * 0.7)) for step in range(14)
        ]
        s.dashes(points, 0.12, 1.0, 1.6)
        for x, y in points:
            if not on_bar((x, y)) and 40 < x < 168:
                depth = max(1, round(3 + 0.16 * abs(y - 88) + s.rng.gauss(0, 0.8)))
                s.write(str(depth), x - 1, y - 0.8, 1.45)
            elif 40 < x < 168:
                s.write("½", x - 1, y - 0.8, 1.3)
    for x, y in ((58.0, 80.0), (154.0, 92.0)):
        s.pen([(x, y + 4), (x, y - 6)], 0.4, 0.03)
        s.pen([(x - 2, y - 6), (x, y - 9), (x + 2, y - 6), (x - 2, y - 6)], 0.3, 0.02, smooth=False)
    s.write("1st perch", 44, 68, 1.5)
    s.write("2nd perch", 148, 79.5, 1.5)
    s.write("Morrow Bar", 82, 107, 3.0, pen=0.15, turn=-0.06)
    for x, y, turn in ((74, 128, -0.5), (110, 134, -0.6), (136, 124, -0.5)):
        s.pen([(x, y), (x + 10 * math.cos(turn), y + 10 * math.sin(turn))], 0.3, 0.06)
        tip = (x + 10 * math.cos(turn), y + 10 * math.sin(turn))
        for side in (2.7, -2.7):
            s.pen(
                [tip, (tip[0] + 2.6 * math.cos(turn + side), tip[1] + 2.6 * math.sin(turn + side))],
                0.28,
                0.02,
            )
        s.write("2½", x + 9, y + 2, 1.5)
    s.write("Channel over the bar,", 52, 16, 2.3)
    s.write("by the lead, nine lines run", 54, 23.4, 1.7)
    rose(s, 150, 30, 11.5)
    graduated_border(s, 4.0)
    scale_bar(s, 56, 152, 8, 4, "cables")


def panorama(s: Sheet) -> None:
    """The whole shore from the Anvil, drawn across both pages."""
    horizon = 92.0
    for index, (height, width, seed_rough) in enumerate(
        ((34, 0.14, 0.06), (24, 0.24, 0.08), (14, 0.38, 0.1))
    ):
        base = horizon - 1.5 + index * 1.5
        anchors = [(-4.0, base - height * 0.5)]
        for step in range(1, 9):
            swell = math.sin(step * 1.7 + index * 2.1) * 0.5 + 0.6
            anchors.append((step * 24.0 - 4, base - height * swell * (1 - 0.06 * step * (index == 2))))
        anchors.append((214.0, base - height * 0.3))
        ridge = rough_coast(anchors, s.rng, seed_rough, 5)
        s.polygon([*ridge, (214, horizon), (-4, horizon)], 0)
        s.pen(ridge, width, 0.0, smooth=False)
        if index:
            for a in ridge[:: 4 - index]:
                if s.rng.random() < 0.75:
                    drop = s.rng.uniform(2, 4 + 4 * index)
                    s.pen(
                        [a, (a[0] - drop * 0.35, min(horizon, a[1] + drop))],
                        0.13,
                        0.05,
                        smooth=False,
                        taper=True,
                    )
    s.pen([(0, horizon), (60, horizon + 0.3), (150, horizon - 0.2), (210, horizon + 0.1)], 0.3, 0.04)
    for line in range(15):
        y = horizon + 2 + line * 1.4 + line * line * 0.13
        for _ in range(max(3, 10 - line // 2)):
            x = s.rng.uniform(-6, 200)
            reach = s.rng.uniform(5, 20 + line)
            s.pen(
                [
                    (x, y),
                    (x + reach * 0.3, y - 0.25 - line * 0.03),
                    (x + reach * 0.7, y + 0.2),
                    (x + reach, y),
                ],
                0.13 + line * 0.012,
                0.03,
                taper=True,
            )
    x = 106.0
    s.polygon([(x - 3, horizon), (x - 1.9, 52), (x + 1.9, 52), (x + 3, horizon)], 0)
    s.pen([(x - 3, horizon), (x - 1.9, 52), (x + 1.9, 52), (x + 3, horizon)], 0.4, 0.02, smooth=False)
    for index in range(10):
        s.line((x - 2.0 - index * 0.1, 55 + index * 3.8), (x + 2.0 + index * 0.1, 55 + index * 3.8), 0.14)
    s.fill_rect(x - 1.7, 47, 3.4, 4.6)
    s.pen([(x - 2.4, 47), (x, 43.6), (x + 2.4, 47)], 0.4, 0.02, smooth=False)
    for angle in (-2.9, -2.7, -0.4, -0.2, -2.5, 0.0, 3.1):
        s.pen(
            [
                (x + 4 * math.cos(angle), 49 + 4 * math.sin(angle)),
                (x + 22 * math.cos(angle), 49 + 22 * math.sin(angle)),
            ],
            0.13,
            0.04,
        )
    for bx, size in ((40.0, 1.0), (160.0, 1.5)):
        y = horizon + 9 * size
        s.polygon(
            [
                (bx - 6 * size, y),
                (bx + 7 * size, y),
                (bx + 5 * size, y + 2.4 * size),
                (bx - 4.6 * size, y + 2.4 * size),
            ]
        )
        s.pen([(bx, y), (bx + 0.3, y - 13 * size)], 0.34, 0.03)
        s.pen(
            [(bx + 0.6, y - 12.6 * size), (bx + 6.4 * size, y - 2 * size), (bx + 0.6, y - 1.4 * size)],
            0.3,
            0.05,
        )
        s.pen(
            [(bx - 0.6, y - 11 * size), (bx - 5 * size, y - 2 * size), (bx - 0.6, y - 1.8 * size)], 0.26, 0.05
        )
        s.dashes([(bx - 5 * size, y + 3.4 * size), (bx + 6 * size, y + 3.6 * size)], 0.2, 2, 1.2)
    for bx, by in ((72, 30), (78, 27), (130, 24), (137, 28), (143, 25), (60, 36)):
        s.pen(
            [(bx - 2, by - 0.8), (bx - 0.8, by - 1.4), (bx, by), (bx + 0.9, by - 1.5), (bx + 2.2, by - 0.9)],
            0.22,
            0.05,
        )
    names = [
        ("Kessan Point", 14, 42),
        ("Sallow Creek", 54, 52),
        ("Lamp Rock", 98, 37),
        ("the Stairs", 140, 54),
        ("the Anvil", 176, 46),
    ]
    for name, nx, ny in names:
        s.write(name, nx, ny, 1.6)
        s.pen([(nx + 6, ny + 2), (nx + 6.4, ny + 9)], 0.14, 0.05)
    s.write("The shore as seen from the Anvil, last of the ebb", 26, 150, 2.0)
    s.write("drawn twice, the second time in the dark", 110, 158, 1.6)


SPREADS = {"harbour-plan": harbour_plan, "channel-chart": channel_chart, "panorama": panorama}
