"""Pages of the field book that tell: the day's log, reckonings, the last page.

In: a Sheet of page size. Out: ink on it. Never: files, other pages.
"""

from __future__ import annotations

import math

from masters_text import blot, form_head, rules
from sheet import Sheet

LOGS: dict[str, tuple[str, list[str]]] = {
    "day-log-a": (
        "Tuesday, wind S W by W",
        [
            "Gauge set at the Stairs, zero cut in",
            "the third step. Low water at 6.41,",
            "four minutes before the table.",
            "Tull says the table is right and the",
            "sea is early. Let him say so.",
            "",
            "Lead at the Anvil: mud & shell at 4,",
            "then nothing to 9. Cast again. Nine.",
            "Marked it twice.",
            "",
            "Slack lasted nineteen minutes by the",
            "office watch, nineteen by mine.",
            "It ought to be eleven.",
        ],
    ),
    "day-log-b": (
        "Friday, calm, glass high",
        [
            "Walked the bar from perch to perch",
            "at low water, dry shod. 412 paces.",
            "In the spring it was 380.",
            "",
            "Cutting from the paper put in here",
            "so that I need not argue with it.",
            "",
            "Second reading taken by lamp. Pell",
            "will not sign for a tide read by lamp.",
            "I have signed for him.",
            "",
            "Ebb set N E past the Anvil, two knots",
            "and a half. Log line wet through.",
        ],
    ),
    "day-log-c": (
        "Sunday, fog after six",
        [
            "No coast. No lamp. Bearings none.",
            "Heard the bell on Lamp Rock, thirty",
            "strokes, then not again.",
            "",
            "The ninth tide of the set came in at",
            "its hour and did not go out. I sat",
            "on the Stairs with the pole between",
            "my boots and it stood at 7.2 for an",
            "hour less one minute.",
            "",
            "I have put the hour down in pencil",
            "so it can be given back.",
        ],
    ),
}


def day_log(s: Sheet) -> None:
    """A page of the day's log."""
    head, lines = LOGS[s.name]
    form_head(s, "LOG OF THE DAY", "2")
    rules(s, 26, 156, 8.2)
    s.write(head, 9, 25.0, 2.0)
    y = 41.6
    for line in lines:
        if line:
            s.write(line, 9 + s.rng.gauss(0, 0.4), y - 0.8, 2.0, turn=s.rng.gauss(-0.005, 0.003))
        y += 8.2
    s.write("I.M.", 84, 154, 2.2)
    if s.name == "day-log-b":
        s.pen([(9, 64.4), (30, 65.2), (62, 64.2)], 0.25, 0.15)
        blot(s, 88, 92, 1.1)
    if s.name == "day-log-c":
        s.pen([(12, 120), (40, 121.2), (66, 119.8)], 0.28, 0.1)
        s.pen([(12, 121.2), (40, 122.2), (64, 121)], 0.2, 0.1)


def reckoning_page(s: Sheet) -> None:
    """Sums in columns, crossed through and begun again."""
    s.write("What is owed", 10, 16, 2.0)
    s.pen([(10, 18), (34, 18.6), (52, 17.6)], 0.25, 0.1)
    for block, (x, y) in enumerate(((12, 30), (60, 30), (12, 84), (60, 92))):
        total = 0
        for row in range(5 - block % 2):
            value = s.rng.randint(4, 59)
            total += value
            s.write(f"{value // 10 if value > 9 else ' '} {value % 10}", x + 10, y + row * 7, 2.1)
        last = y + (5 - block % 2) * 7
        s.pen([(x + 7, last - 4.6), (x + 24, last - 4.2)], 0.25, 0.06)
        s.write(f"{total // 60} h {total % 60} m", x + 2, last + 1.6, 2.0)
        if block == 1:
            s.pen([(x, y - 4), (x + 14, y + 16), (x + 30, y + 38)], 0.4, 0.4)
            s.pen([(x + 30, y - 5), (x + 15, y + 15), (x - 1, y + 37)], 0.35, 0.4)
    s.pen([(56, 120), (74, 117.6), (92, 121), (90, 127.4), (70, 129.4), (56, 126), (57, 119.6)], 0.3, 0.2)
    s.write_lines(
        ["nineteen less eleven is eight;", "eight by nine is an hour & twelve.", "It has been keeping them."],
        10,
        141,
        7.8,
        1.85,
    )
    blot(s, 50, 60, 0.8)


def last_page(s: Sheet) -> None:
    """The last page: the writing slopes and sinks with the tide."""
    lines = [
        "Ninth tide. No wind at all.",
        "Came to the fifth step at 6.41",
        "and the sixth at 6.41.",
        "The pole is under. I read it",
        "through the water, and it is",
        "quite clear: nought.",
    ]
    for index, line in enumerate(lines):
        s.write(
            line,
            12 + index * 1.2,
            24 + index * (10.5 + index * 0.5),
            1.8 + index * 0.1,
            turn=0.006 + index * 0.014,
        )
    s.write("it is going out", 30, 106, 2.7, turn=0.11)
    for index in range(17):
        y = 116 + index * 2.6
        points = [
            (4 + step * 4, y + (1.1 + 0.02 * index) * math.sin(step * 0.62 + index * 0.8))
            for step in range(25)
        ]
        if index % 3 == 1:
            s.dashes(points, 0.2, 9, 3)
        else:
            s.pen(points, 0.18 + 0.012 * index, 0.08)
    s.pen([(80, 88), (80.6, 132)], 0.5, 0.06)
    for index in range(8):
        s.line((80.2, 92 + index * 4), (83 if index % 2 else 85, 92 + index * 4), 0.25)
