"""Invented specs for the drawings: a tidal surveyor's notebook from a play that was never written.

SMALL holds what the golden files are drawn from; LARGE what layouts must stand up to.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from doublure.render.draw.block import BlockLayer, BlockSpec, draw_block
from doublure.render.draw.crossover import draw_meeting
from doublure.render.draw.fore_edge import (
    BoundGathering,
    BoundLeaf,
    CrossoverArc,
    ForeEdgeSpec,
    Here,
    InsertTab,
    draw_fore_edge,
)
from doublure.render.draw.gathering import (
    GatheringInsert,
    GatheringLeaf,
    GatheringSpec,
    PageWords,
    draw_gathering,
)
from doublure.render.draw.laying import draw_laying
from doublure.render.draw.plate import draw_stack
from doublure.render.draw.progress import ProgressItem, ProgressSpec, draw_progress
from doublure.render.draw.readings import ReadingPoint, ReadingsSpec, StemReadings, draw_readings
from doublure.render.draw.register_map import draw_register_map
from doublure.render.draw.sheet import SheetPage, SheetSpec, draw_sheet
from doublure.render.draw.size import FoldLine, PlaceOnPage, SizeSpec, draw_size
from doublure.render.draw.standing_key import draw_standing_key, draw_swatch
from doublure.render.draw.standing_line import STANDINGS
from doublure.render.draw.stems import StemGrowth, StemSource, StemsSpec, draw_stems
from doublure.render.draw.strip import StripBook, StripItem, StripSpec, Thumbnail, draw_strip
from doublure.render.scene import Scene
from press_samples import LAYING, REGISTER_MAP, meeting, octavo_spec, stack_spec

#: Name, standing, width and height in mm (None: open).
PIECES: tuple[tuple[str, str, float | None, float | None], ...] = (
    ("Harbour pass", "supported", 64, 121),
    ("Tide table for the spring quarter", "settled", 148, 210),
    ("Luggage label", "thin", 62, 110),
    ("Telegram", "disputed", 203, 127),
    ("Chart of the sound, folded in three", "supported", 297, 210),
    ("Ferry ticket", "assumed", 38, 70),
    ("Calling card", "settled", 89, 51),
    ("Seaweed mount", "chosen", 95, 140),
    ("Letter to the board", "disputed", 176, 225),
    ("Blotter", "assumed", 90, 150),
    ("Photograph of the gauge", "supported", 82, 57),
    ("Ration slip", "open", None, None),
    ("Sounding line card", "thin", 76, 127),
    ("Map tracing", "thin", 180, 140),
    ("Receipt", "supported", 74, 160),
    ("Envelope", "settled", 162, 114),
    ("Stamp", "chosen", 24, 29),
    ("Antidisestablishmentarian's bookplate", "supported", 70, None),
)

BOOK = StripBook("Field notebook", 98, 158, 14, "supported", "../book/index.html")


def strip(count: int, book: bool = True) -> StripSpec:
    """Return a strip of so many pieces, every fourth with a thumbnail."""
    items = []
    for i in range(count):
        title, standing, width, height = PIECES[i % len(PIECES)]
        picture = Thumbnail(f"../img/{i}.webp", 320, 420) if i % 4 == 1 else None
        items.append(
            StripItem(str(i + 1), title, standing, f"../inserts/{i + 1}.html", width, height, picture)
        )
    return StripSpec(tuple(items), BOOK if book else None)


def fore_edge(
    gatherings: int, sheets: int, inserts: int, here: Here | None, rtl: bool = False
) -> ForeEdgeSpec:
    """Return a book of equal gatherings with a leaf tipped into the second, inserts all over it."""
    page = 1
    bound = []
    for g in range(gatherings):
        leaves = []
        for i in range(2 * sheets):
            leaves.append(BoundLeaf(str(page), str(page + 1)))
            page += 2
            if g == 1 and i == 2:
                leaves.append(BoundLeaf("", "", tipped=True))
        bound.append(BoundGathering(str(g + 1), tuple(leaves), f"../gatherings/{g + 1}.html"))
    pages = 2 * sum(len(g.leaves) for g in bound)
    tabs = []
    for i in range(inserts):
        title, standing = PIECES[i % len(PIECES)][:2]
        # 37 is prime to most page counts, so places scatter; every fifth insert joins the one before it.
        place = (37 * (i - (i % 5 == 4)) + 5) % (pages + 1)
        tabs.append(
            InsertTab(
                str(i + 1),
                title,
                standing,
                f"../inserts/{i + 1}.html",
                page=None if i % 9 == 8 else place,
                fixed=i % 2 == 0,
                pocket=i % 18 == 8,
            )
        )
    crossovers = tuple(CrossoverArc(p) for p in (4 * sheets, 2 * sheets, 8) if p < pages)
    return ForeEdgeSpec(tuple(bound), tuple(tabs), crossovers, here, rtl)


_ON_PAGES = (
    "tide table",
    "blank",
    "soundings, left",
    "soundings, right",
    "weather",
    "notes taken at the gauge",
)


def gathering(sheets: int) -> GatheringSpec:
    """Return a gathering of so many sheets with a leaf tipped in, three inserts and two crossovers."""
    leaves = []
    for i in range(2 * sheets):
        a, b = 33 + 2 * i, 34 + 2 * i
        first = PageWords(str(a), _ON_PAGES[a % 6], "../masters/a.html")
        leaves.append(GatheringLeaf(first, PageWords(str(b), _ON_PAGES[b % 6])))
        if i == 0:
            leaves.append(
                GatheringLeaf(PageWords("", "graph of the gauge"), PageWords("", "blank"), tipped=True)
            )
    inserts = (
        GatheringInsert("4", "Telegram", "disputed", 2, "../inserts/4.html"),
        GatheringInsert("7", "Calling card", "settled", 5, "../inserts/7.html", fixed=True),
        GatheringInsert("12", "Ration slip", "open", 0),
    )
    return GatheringSpec("3", tuple(leaves), inserts, (2 * sheets, 4 * sheets))


SHEET = SheetSpec(
    "Gathering 3, sheet 1",
    (SheetPage("48", "tide table", "../masters/tide.html"), SheetPage("33", "soundings, right")),
    (
        SheetPage("34", "weather", thumbnail=Thumbnail("../img/weather.webp", 300, 480)),
        SheetPage("47", "notes taken at the gauge on the harbour wall", head_down=True),
    ),
    98,
    158,
)

STEMS = StemsSpec(
    (
        StemGrowth(
            "Hand prop, act two",
            (
                StemSource("a", "Prompt book photograph", "photograph", "", True, "../evidence/a.html"),
                StemSource("b", "Programme plate IV", "halftone", "a", href="../evidence/b.html"),
                StemSource(
                    "c", "Newspaper cut of the plate in the programme of the revival", "halftone", "b"
                ),
                StemSource("d", "Contact print held by the wardrobe", "photograph", "a", True),
            ),
            "../evidence/index.html#hand-prop",
        ),
        StemGrowth("Film of the revival", tuple(StemSource(f"f{i}", f"Frame {24 * i}") for i in range(1, 5))),
        StemGrowth("Lost letter", (), note="spoken of, never seen"),
    )
)

READINGS = ReadingsSpec(
    "width",
    "mm",
    (
        StemReadings(
            "Hand prop, act two",
            (
                ReadingPoint("Prompt book photograph", 63.2, 1.1, "../evidence/a.html"),
                ReadingPoint("Contact print held by the wardrobe", 64.0, 1.4),
                ReadingPoint("Programme plate IV", 62.9, None),
            ),
            63.5,
            0.9,
        ),
        StemReadings("Film of the revival", (ReadingPoint("Frame 72", 64.4, 0.8),)),
        StemReadings("Auction list", (ReadingPoint("Lot 41, stated size", 69.8, 0.7, odd=True),)),
    ),
    (64.1, 0.55),
    (62.9, 65.3),
    "95 % interval",
    64.0,
    "disputed",
)

PASS = SizeSpec(
    "Harbour pass",
    64,
    121,
    "supported",
    (FoldLine("width", 60.5, "in"),),
    "height",
    PlaceOnPage("page 34", 98, 158, "right", 64, 121, 8, -12),
)
CHART = SizeSpec(
    "Chart of the sound",
    297,
    210,
    "disputed",
    (FoldLine("height", 99, "in"), FoldLine("height", 198, "out")),
    "width",
    PlaceOnPage("page 35", 98, 158, "left", 99, 210),
)

BLOCK = BlockSpec(
    (
        BlockLayer("Gathering 1", 0.86, 4, href="../gatherings/1.html"),
        BlockLayer("Harbour pass", 0.22, href="../inserts/1.html"),
        BlockLayer("Chart of the sound, folded in three", 0.45),
        BlockLayer("Gathering 2", 0.86, 4),
        BlockLayer("Stamp", 0.09, standing="chosen"),
        BlockLayer("Gathering 3", 0.43, 2),
    ),
    2.0,
)

PROGRESS = ProgressSpec(
    tuple(ProgressItem(p[0], p[1], str(i + 1), f"../inserts/{i + 1}.html") for i, p in enumerate(PIECES))
)


@dataclass(frozen=True, slots=True)
class Sample:
    """One drawing: its name, and how it is drawn at a width in px."""

    name: str
    draw: Callable[[float], Scene]
    wide: float
    narrow: float = 390


SMALL = (
    Sample("strip", lambda w: draw_strip(strip(6), w), 1400),
    Sample("fore_edge", lambda w: draw_fore_edge(fore_edge(3, 2, 6, Here(9, 12, "pages 9–12")), w), 1400),
    Sample("gathering", lambda w: draw_gathering(gathering(2), w), 760),
    Sample("sheet", lambda w: draw_sheet(SHEET, w), 340, 180),
    Sample("stems", lambda w: draw_stems(STEMS, w), 1200),
    Sample("readings", lambda w: draw_readings(READINGS, w), 900),
    Sample("size", lambda w: draw_size(PASS, w), 760),
    Sample("standing_key", lambda w: draw_standing_key(w), 1000),
    Sample("progress", lambda w: draw_progress(PROGRESS, w), 900),
    Sample("block", lambda w: draw_block(BLOCK, w), 760),
    Sample("stack", lambda w: draw_stack(stack_spec(), w), 640, 358),
    Sample("register_map", lambda w: draw_register_map(REGISTER_MAP, w), 1000, 358),
    Sample("meeting", lambda w: draw_meeting(meeting(), w), 640, 358),
    Sample("laying", lambda w: draw_laying(LAYING, w), 320, 320),
    *(Sample(f"swatch_{word}", lambda w, word=word: draw_swatch(word), 26, 26) for word in STANDINGS),
)

LARGE = (
    Sample("strip of 18", lambda w: draw_strip(strip(18), w), 1400),
    Sample("strip of 60 without the book", lambda w: draw_strip(strip(60, book=False), w), 1400),
    Sample("strip of one", lambda w: draw_strip(strip(1, book=False), w), 1400),
    Sample("112 pages in 7 gatherings", lambda w: draw_fore_edge(fore_edge(7, 4, 18, Here(17, 34)), w), 1400),
    Sample("304 pages in 19 gatherings", lambda w: draw_fore_edge(fore_edge(19, 4, 40, None), w), 1400),
    Sample("read from the right", lambda w: draw_fore_edge(fore_edge(3, 6, 9, Here(1, 1), True), w), 1400),
    Sample("one thick gathering", lambda w: draw_fore_edge(fore_edge(1, 24, 30, None), w), 1400),
    Sample("gathering of 8 sheets", lambda w: draw_gathering(gathering(8), w), 760),
    Sample("chart on its page", lambda w: draw_size(CHART, w), 760),
    Sample("stack of an octavo", lambda w: draw_stack(octavo_spec(), w), 640, 358),
    Sample("stack with a blank side", lambda w: draw_stack(stack_spec(stack=4), w), 640, 358),
    Sample("crossover that is not shown", lambda w: draw_meeting(meeting(False), w), 640, 358),
    Sample("crossover with a tight tolerance", lambda w: draw_meeting(meeting(True, 0.1), w), 640, 358),
)
