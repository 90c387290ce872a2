"""Which artwork there is: every master of the book and both sides of every insert, by identifier.

In: identifiers. Out: drawn Sheets, finished artwork, inserts on their own paper. Never: scenes, files.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass

import inserts_large as large
import inserts_picture as picture
import inserts_small as small
import masters_log as log
import masters_plates as plates
import masters_text as text
import numpy as np
from masters_spreads import SPREADS
from papers import ink_on, paper
from PIL import Image, ImageDraw, ImageFilter
from sheet import Sheet, hash_name

Drawer = Callable[[Sheet], None]

PAGES: dict[str, Drawer] = {
    "title-page": text.title_page,
    "owner-page": text.owner_page,
    "signs-page": text.signs_page,
    "day-log-a": log.day_log,
    "day-log-b": log.day_log,
    "day-log-c": log.day_log,
    "register-page": text.register_page,
    "ruled-form": text.ruled_form,
    "moon-table": text.moon_table,
    "soundings-a": text.soundings_page,
    "soundings-b": text.soundings_page,
    "reckoning-page": log.reckoning_page,
    "last-page": log.last_page,
    "tides-springs": plates.tides_page,
    "tides-neaps": plates.tides_page,
    "bearings-page": plates.bearings_page,
    "traverse-page": plates.traverse_page,
    "gauge-page": plates.gauge_page,
    "lead-line-page": plates.lead_line_page,
    "coast-views": plates.coast_views_page,
    "bar-section": plates.bar_section_page,
    "lamp-page": plates.lamp_page,
}
#: Masters that are one half of a spread.
HALVES: dict[str, tuple[str, str]] = {
    f"{name}-{side}": (name, side) for name in SPREADS for side in ("left", "right")
}


@dataclass(frozen=True, slots=True)
class Insert:
    """An insert to draw.

    Attributes:
        size_mm: Width and height, flat.
        material: Kind of paper, a key of papers.GROUNDS.
        front: What is on the front.
        back: What is on the back, or None.
        ppi: Resolution of the artwork.
        outline: rectangle, tag, notched, torn or pocket.
        photo: The front is a picture in half tones.
    """

    size_mm: tuple[float, float]
    material: str
    front: Drawer
    back: Drawer | None = None
    ppi: int = 200
    outline: str = "rectangle"
    photo: bool = False


INSERTS: dict[str, Insert] = {
    "bookplate": Insert((72, 46), "gummed-white", small.label_front, None, 300),
    "ferry-ticket": Insert((57, 31), "pasteboard", small.ferry_ticket_front, small.ferry_ticket_back, 300),
    "cutting": Insert((62, 148), "news", large.cutting_front, large.cutting_back, 240),
    "tide-card": Insert((89, 127), "ivory-board", small.tide_card_front, small.tide_card_back),
    "overlay": Insert((100, 160), "waxed", large.overlay_front),
    "harbour-chart": Insert((380, 270), "tracing", large.harbour_chart_front, None, 110),
    "signal-form": Insert((200, 125), "buff-form", large.signal_form_front, large.signal_form_back, 150),
    "seaweed-card": Insert((90, 140), "ivory-board", picture.seaweed_front, None),
    "blotter": Insert((92, 148), "blotting", large.blotter_front),
    "receipt": Insert((140, 82), "bank-thin", small.receipt_front, None, 200, "torn"),
    "specimen-tag": Insert(
        (60, 121), "manila-tag", small.specimen_tag_front, small.specimen_tag_back, 200, "tag"
    ),
    "envelope": Insert((114, 89), "laid-cream", large.envelope_front, large.envelope_back, 180),
    "letter": Insert((125, 200), "laid-cream", large.letter_front, large.letter_back, 150),
    "photo-print": Insert((108, 82), "photo-card", picture.photo_front, picture.photo_back, 220, photo=True),
    "gauge-card": Insert((152, 60), "drab-cover", small.gauge_card_front, None, 200, "notched"),
    "calling-card": Insert((76, 38), "coated", small.calling_card_front, small.calling_card_back, 300),
    "back-pocket": Insert((119, 82), "drab-cover", small.blank, None, 100, "pocket"),
    "ribbon": Insert((6, 240), "coated", small.ribbon_front, None, 150),
}
INSERTS["gauge-card"] = Insert((152, 60), "buff-form", small.gauge_card_front, None, 200, "notched")


#: Pages whose artwork the maker has not drawn finely enough for print yet.
COARSE_PAGES = ("coast-views", "lamp-page")


def page_ppi(name: str) -> int:
    """Return the resolution at which the artwork of a page is kept."""
    return 300 if name in COARSE_PAGES else 600


@functools.lru_cache(maxsize=64)
def draw_spread(name: str, ppi: int = 300) -> Image.Image:
    """Return a spread's artwork in black and white."""
    sheet = Sheet(name, 210, 165, ppi)
    SPREADS[name](sheet)
    return sheet.bilevel(0.12)


@functools.lru_cache(maxsize=64)
def draw_page(name: str, ppi: int = 300) -> Image.Image:
    """Return the artwork of a page, black and white, 105 x 165 mm."""
    if name in HALVES:
        spread, side = HALVES[name]
        whole = draw_spread(spread, ppi)
        width = round(105 * ppi / 25.4)
        left = 0 if side == "left" else whole.width - width
        return whole.crop((left, 0, left + width, whole.height))
    sheet = Sheet(name, 105, 165, ppi)
    PAGES[name](sheet)
    return sheet.bilevel(0.12)


@functools.lru_cache(maxsize=64)
def draw_insert(name: str, side: str = "front", ppi: int = 0) -> Image.Image:
    """Return the artwork of one side of an insert, in colour on white."""
    spec = INSERTS[name]
    sheet = Sheet(f"{name}-{side}", *spec.size_mm, ppi or spec.ppi)
    drawer = spec.front if side == "front" else spec.back
    if drawer is not None:
        drawer(sheet)
    return sheet.colour()


def outline_mask(name: str, size: tuple[int, int]) -> Image.Image:
    """Return the shape of an insert as a mask: clipped corners, punched holes, torn edges."""
    spec = INSERTS[name]
    scale = 3
    big = (size[0] * scale, size[1] * scale)
    k = big[0] / spec.size_mm[0]
    w, h = spec.size_mm
    mask = Image.new("L", big, 255)
    draw = ImageDraw.Draw(mask)

    def cut(points: list[tuple[float, float]]) -> None:
        draw.polygon([(x * k, y * k) for x, y in points], fill=0)

    def hole(x: float, y: float, r: float) -> None:
        draw.ellipse(((x - r) * k, (y - r) * k, (x + r) * k, (y + r) * k), fill=0)

    if spec.outline == "tag":
        cut([(0, 0), (15, 0), (0, 15)])
        cut([(w, 0), (w - 15, 0), (w, 15)])
        hole(w / 2, 11, 2.2)
    elif spec.outline == "notched":
        cut([(w, 0), (w - 9, 0), (w, 6)])
        for x, y, r in small.gauge_card_holes(w, h):
            hole(x, y, r)
    elif spec.outline == "torn":
        for index in range(int(h / 1.6) + 1):
            hole(0, index * 1.6, 0.42)
    elif spec.outline == "pocket":
        cut([(0, 0), (12, 0), (12, 2), (0, 8)])
        cut([(w, 0), (w - 12, 0), (w - 12, 2), (w, 8)])
        cut([(0, h), (0, 64), (12, 70), (18, h)])
        cut([(w, h), (w, 64), (w - 12, 70), (w - 18, h)])
    if name == "ferry-ticket":
        cut([(w - 8, h), (w - 5, h - 4.6), (w - 2, h)])
    return mask.resize(size, Image.Resampling.BOX)


def on_paper(name: str, ppi: int, side: str = "front", age: float = 0.5) -> Image.Image:
    """Return an insert as it looks: its artwork on its own paper, cut to its outline (RGBA)."""
    spec = INSERTS[name]
    art = draw_insert(name, side, ppi)
    k = ppi / 25.4
    seed = hash_name(name + side)
    if spec.photo and side == "front":
        base = np.asarray(art, dtype=np.float64) / 255
    else:
        ground = paper(spec.material, art.size, k, seed, age)
        base = ink_on(ground, np.asarray(art, dtype=np.float64) / 255)
    image = Image.fromarray((np.clip(base, 0, 1) * 255).astype(np.uint8)).convert("RGBA")
    image.putalpha(outline_mask(name, image.size))
    return image


def page_on_paper(name: str | None, ppi: int, number: int, age: float = 0.5) -> Image.Image:
    """Return a page of the book on its paper (RGB); `number` makes each leaf a little different."""
    k = ppi / 25.4
    size = (round(105 * k), round(165 * k))
    ground = paper("text-wove", size, k, 900 + number, age)
    if name is not None:
        art = (
            draw_page(name)
            .convert("L")
            .filter(ImageFilter.GaussianBlur(0.6))
            .resize(size, Image.Resampling.LANCZOS)
        )
        grey = np.asarray(art, dtype=np.float64)[..., None] / 255
        ink = np.array([0.17, 0.14, 0.15])
        ground = ink_on(ground, ink + (1 - ink) * grey)
    return Image.fromarray((np.clip(ground, 0, 1) * 255).astype(np.uint8))
