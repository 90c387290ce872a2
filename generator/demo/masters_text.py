"""Pages of the field book that are mostly writing: title, owner, signs, day's logs, registers, reckonings.

In: a Sheet of page size. Out: ink on it. Never: files, other pages.
"""

from __future__ import annotations

import math

from sheet import Sheet


def form_head(sheet: Sheet, title: str, number: str, rule_to: float = 98.0) -> None:
    """Print the head of one of the office's forms."""
    sheet.text("OSTREY HAVEN TIDAL OFFICE", 7, 9.4, 2.0, "roman", spacing=0.25)
    sheet.text(f"Form {number}", 98, 9.4, 2.0, "italic", anchor="r")
    sheet.line((7, 11), (rule_to, 11), 0.35)
    sheet.line((7, 11.8), (rule_to, 11.8), 0.12)
    sheet.text(title, 52.5, 18, 4.2, "bold", anchor="m", spacing=0.5)


def rules(
    sheet: Sheet, top: float, bottom: float, pitch: float, left: float = 7.0, right: float = 98.0
) -> None:
    """Print feint lines, broken as feint ink breaks."""
    y = top
    while y <= bottom:
        x = left
        while x < right:
            run = sheet.rng.uniform(3, 11)
            sheet.line((x, y), (min(right, x + run), y), 0.09)
            x += run + 0.35
        y += pitch


def blot(sheet: Sheet, x: float, y: float, r: float) -> None:
    """Let a drop of ink fall."""
    rng = sheet.rng
    points = []
    for index in range(26):
        angle = index / 26 * 2 * math.pi
        reach = r * (1 + 0.16 * math.sin(3 * angle + x) + rng.gauss(0, 0.05))
        points.append((x + reach * math.cos(angle), y + reach * 0.9 * math.sin(angle)))
    sheet.polygon(points)
    for _ in range(5):
        angle, far = rng.uniform(0, 6.28), r * rng.uniform(1.4, 2.8)
        sheet.circle(
            x + far * math.cos(angle), y + far * math.sin(angle), r * rng.uniform(0.06, 0.18), fill=255
        )


def title_page(s: Sheet) -> None:
    """Printed title with the number of the book filled in by hand."""
    s.rect(6, 6, 93, 153, 0.5)
    s.rect(7.4, 7.4, 90.2, 150.2, 0.14)
    for x, y in ((6.0, 6.0), (99.0, 6.0), (6.0, 159.0), (99.0, 159.0)):
        s.circle(x, y, 2.6, 0.2, fill=0)
        s.circle(x, y, 1.2, 0.2, fill=255)
    s.text_arc("OSTREY HAVEN", 52.5, 86, 62, 9.0, "didone", spacing=0.9)
    s.text("TIDAL OFFICE", 52.5, 42, 4.4, "roman", anchor="m", spacing=1.1)
    s.line((36, 46), (69, 46), 0.3)
    s.text("FIELD BOOK", 52.5, 58, 9.4, "gothic", anchor="m", spacing=1.2)
    s.text("of Soundings, Marks and Tides", 52.5, 66, 4.4, "italic", anchor="m")
    for index in range(7):
        y = 76 + index * 1.9
        s.pen([(30 + step * 1.5, y + 0.9 * math.sin(step * 0.85 + index)) for step in range(31)], 0.24, 0.03)
    s.polygon([(52.5, 92.6), (50.6, 98), (54.4, 98)])
    s.line((52.5, 98), (52.5, 106), 0.5)
    s.circle(52.5, 108.4, 2.4, 0.4)
    s.pen([(43.6, 103), (45, 109.6), (52.5, 114), (60, 109.6), (61.4, 103)], 0.7, 0.02)
    s.text("BOOK No.", 26, 128, 3.4, "roman", spacing=0.3)
    s.write("Nine", 47, 128, 2.6)
    s.line((45, 129), (80, 129), 0.12)
    s.text("BEGUN", 26, 138, 3.4, "roman", spacing=0.3)
    s.write("at the equinox", 47, 137.6, 2.0)
    s.line((45, 139), (80, 139), 0.12)
    s.text("CLOSED", 26, 148, 3.4, "roman", spacing=0.3)
    s.line((45, 149), (80, 149), 0.12)
    s.text("To be kept dry.", 52.5, 155.4, 2.4, "italic", anchor="m")


def owner_page(s: Sheet) -> None:
    """Whose book it is, and what the finder is asked to do."""
    s.write("This book is the work of", 14, 28, 2.0)
    s.write("Ida Marrable", 18, 45, 4.6, pen=0.15)
    s.pen([(22, 50), (50, 51.4), (80, 49.4)], 0.3, 0.1, taper=True)
    s.write("Clerk of low water, Ostrey Haven.", 14, 60, 1.9)
    s.write_lines(
        [
            "If it is found on the shore",
            "it was not lost; leave it.",
            "If it is found anywhere else,",
            "carry it to the Tide House",
            "and ask for nobody by name.",
        ],
        16,
        74,
        8.0,
        1.9,
    )
    s.pen([(14, 127), (34, 125.6), (58, 127.4), (94, 126)], 0.35, 0.1)
    s.pen([(76, 126), (76.6, 100), (81.4, 100), (82, 126)], 0.3, 0.06, smooth=False)
    for index in range(12):
        s.line((76.6, 102 + index * 2), (79.2 if index % 5 else 81.4, 102 + index * 2), 0.2)
    s.pen([(58, 119), (75, 118)], 0.2, 0.05)
    s.write("here it stood", 40, 118.6, 1.3)
    for index in range(5):
        y = 130 + index * 2.4
        s.dashes([(16 + index * 3, y), (50, y + 0.5), (90 - index * 4, y - 0.3)], 0.18, 6, 3)
    s.write("9th book of nine", 62, 155, 1.5)
    blot(s, 22, 150, 1.6)


def signs_page(s: Sheet) -> None:
    """The abbreviations and signs of the book."""
    form_head(s, "SIGNS USED", "1")
    signs = [
        ("H.W.", "high water, as seen"),
        ("L.W.", "low water, as seen"),
        ("L.W. (t)", "low water, from the table"),
        ("sl.", "slack: no drift on the log"),
        ("m. s. sh.", "mud, sand, shell"),
        ("wd.", "weed on the lead"),
        ("Bk.", "beacon or perch"),
        ("brg.", "bearing, by the small needle"),
    ]
    for index, (short, meaning) in enumerate(signs):
        y = 29 + index * 8.4
        s.write(short, 10, y, 1.9)
        s.write(meaning, 33, y, 1.75)
    y = 101.0
    s.circle(14, y, 2, 0.3)
    s.circle(14, y, 0.4, fill=255)
    s.write("gauge, read from the Stairs", 24, y + 1, 1.65)
    y += 10
    s.pen([(12, y + 2), (14, y - 3), (16, y + 2), (12, y + 2)], 0.3, 0.03, smooth=False)
    s.write("station of the theodolite", 24, y + 1, 1.65)
    y += 10
    for side in (-2.4, 2.4):
        s.pen([(14 - side, y - 2), (14 + side, y + 2)], 0.35, 0.03, smooth=False)
    s.write("rock that covers & uncovers", 24, y + 1, 1.65)
    y += 10
    s.dashes([(10, y), (14, y - 1), (19, y + 0.4)], 0.3, 1.4, 1.0)
    s.write("edge of the bar, by sounding", 24, y + 1, 1.65)
    y += 10
    s.pen([(10, y), (18, y), (16.4, y - 1.2)], 0.3, 0.03, smooth=False)
    s.pen([(18, y), (16.4, y + 1.2)], 0.3, 0.03, smooth=False)
    s.write("set of the ebb, knots above it", 24, y + 1, 1.65)
    s.write("No sign is made for what is not seen.", 10, 157, 1.6)


def register_page(s: Sheet) -> None:
    """Ten days of wind and weather in columns."""
    form_head(s, "REGISTER", "5")
    columns = [7, 17, 34, 49, 63, 98]
    heads = ["Day", "Wind", "Force", "Glass", "Weather and remarks"]
    s.line((7, 22), (98, 22), 0.3)
    s.line((7, 29), (98, 29), 0.2)
    for x in columns:
        s.line((x, 22), (x, 156), 0.14)
    for head, a, b in zip(heads, columns, columns[1:], strict=False):
        s.text(head, (a + b) / 2, 27, 2.5, "italic", anchor="m")
    winds = ["SW", "SW by W", "W", "WNW", "N W", "calm", "S E", "S", "S by W", "fog", "SW"]
    remarks = [
        "cloud low over bar",
        "rain, clearing",
        "squalls",
        "fine, cold",
        "fine",
        "glass like oil",
        "haze",
        "swell from nowhere",
        "rain before noon",
        "no horizon",
        "as yesterday",
    ]
    for index, (wind, remark) in enumerate(zip(winds, remarks, strict=True)):
        y = 40.5 + index * 11.3
        s.line((7, y + 2.6), (98, y + 2.6), 0.09)
        s.write(str(index + 11), 9.5, y, 1.8)
        s.write(wind, 18.4, y, 1.55)
        s.write(str(s.rng.randint(0, 7)), 40, y, 1.8)
        s.write(f"29.{s.rng.randint(40, 99)}", 50.4, y, 1.6)
        s.write(remark, 64.2, y, 1.5)


def ruled_form(s: Sheet) -> None:
    """The empty form: used where the surveyor had not got to it."""
    form_head(s, "OBSERVATIONS", "4")
    rules(s, 26, 156, 6.5)
    s.line((24, 22), (24, 157), 0.12)
    s.line((82, 22), (82, 157), 0.12)
    s.text("Hour", 15.5, 24.4, 2.2, "italic", anchor="m")
    s.text("Feet", 90, 24.4, 2.2, "italic", anchor="m")
    for index in range(20):
        y = 32.5 + index * 6.5
        if s.rng.random() < 0.32:
            s.pen([(91, y - 1.4), (92, y - 0.4), (94, y - 3.2)], 0.3, 0.08)


def moon_table(s: Sheet) -> None:
    """The ages of the moon with the tides that answer to them."""
    form_head(s, "MOON AND TIDE", "7")
    for index in range(28):
        row, column = divmod(index, 4)
        x, y = 18 + column * 23, 33 + row * 17
        phase = index / 28
        r = 5.0
        s.circle(x, y, r, 0.22)
        bulge = math.cos(2 * math.pi * phase)
        side = 1 if phase < 0.5 else -1
        inner = [
            (x + side * bulge * r * math.sin(t), y - r * math.cos(t))
            for t in (math.pi * step / 24 for step in range(25))
        ]
        left, right, gap = x - r, x + r, 0.55
        steps = int((right - left) / gap)
        for step in range(1, steps):
            px = left + step * gap
            chord = math.sqrt(max(0.0, r * r - (px - x) ** 2))
            offset = (px - x) / r
            for part in range(-10, 10):
                height = (part + 0.5) / 10
                if chord > 0.4 and not _is_lit(offset, height * chord / r, phase):
                    s.line((px, y + part / 10 * chord), (px, y + (part + 1) / 10 * chord), 0.13)
        if 0.02 < phase < 0.98:
            s.pen(inner, 0.16, 0.0)
        s.write(str(index + 1), x + 5.4, y + 6, 1.2)
        s.write(f"{11.0 + 2.9 * math.cos(4 * math.pi * phase):.1f}", x - 3.8, y + 9.2, 1.4)
    s.write("ninth: does not answer", 40, 157, 1.7)
    s.pen([(11.2, 66.4), (18, 60.6), (25, 67), (19, 75.6), (11.6, 72), (11.8, 65)], 0.3, 0.15)


def _is_lit(across: float, down: float, phase: float) -> bool:
    """Tell whether a point of the moon's disc (radius 1) is lit."""
    terminator = math.cos(2 * math.pi * phase) * math.sqrt(max(0.0, 1 - down * down))
    return across > terminator if phase < 0.5 else across < -terminator


def soundings_page(s: Sheet) -> None:
    """A page of casts of the lead, in columns."""
    second = s.name.endswith("b")
    form_head(s, "CASTS OF THE LEAD", "3")
    columns = [7, 20, 40, 56, 98]
    for x in columns:
        s.line((x, 22), (x, 157), 0.14)
    s.line((7, 22), (98, 22), 0.3)
    s.line((7, 28.4), (98, 28.4), 0.2)
    for head, a, b in zip(["No.", "Hour", "Feet", "Ground and mark"], columns, columns[1:], strict=False):
        s.text(head, (a + b) / 2, 26.6, 2.4, "italic", anchor="m")
    ground = [
        "mud",
        "mud & shell",
        "fine sand",
        "shell",
        "stones",
        "weed",
        "nothing on the lead",
        "as before",
        "hard",
        "sand, off the Anvil",
        "mud, foul",
        "by the second perch",
    ]
    for index in range(19):
        y = 35 + index * 6.5
        s.line((7, y + 1.5), (98, y + 1.5), 0.08)
        s.write(str(index + 1 + 40 * second), 9.6, y, 1.6)
        s.write(f"{6 + index // 8}.{(index * 7 + 3 * second) % 60:02d}", 22.4, y, 1.6)
        depth = 9 + 8 * math.sin(index * 0.31 + second) + s.rng.gauss(0, 0.8)
        s.write(f"{abs(depth):.1f}" if index % 5 else f"{abs(depth):.0f}½", 42.6, y, 1.6)
        s.write(s.rng.choice(ground), 58, y, 1.5)
    if second:
        s.pen([(41, 100), (54, 99.4)], 0.35, 0.1)
        s.write("cast again", 80, 100, 1.3, turn=-0.1)
