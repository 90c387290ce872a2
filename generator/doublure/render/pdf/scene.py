"""Scenes as pages of a PDF in true size, in black and greys, lettering embedded.

In: Scene values, the size of the page, where wanted the pixels of the pictures they name. Out: bytes, the same
for the same input. Never: scaling, colour, links, a page that cuts off what is drawn.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterable, Sequence

from pikepdf import Dictionary, Object, Pdf

from doublure.errors import DomainError
from doublure.model.artwork import ArtworkStream
from doublure.render.pdf.images import add_stream
from doublure.render.pdf.typefaces import FontBook, set_width_mm
from doublure.render.pdf.writing import PT, new_pdf, number, numbers, save_pdf
from doublure.render.scene import (
    Anchor,
    Circle,
    Close,
    Curve,
    Fit,
    Group,
    Image,
    Item,
    Line,
    Move,
    Path,
    Pen,
    Point,
    Polyline,
    Rect,
    Scene,
    Straight,
    Text,
    Tone,
    half_ellipse,
)

#: Grey of each tone, 0 black to 1 white. One ink: what is printed grey is dots to a printer, so fine lines and
#: small letters stay dark.
_GREY = {
    Tone.INK: 0.0,
    Tone.SOFT: 0.25,
    Tone.LINE: 0.45,
    Tone.ACCENT: 0.0,
    Tone.PAPER: 1.0,
    Tone.PAPER2: 0.92,
}
#: Pictures by the address that a scene gives them.
Pictures = Callable[[str], ArtworkStream | None]
_SLACK_MM = 0.01


def render_scenes(
    scenes: Sequence[Scene],
    page_width_mm: float | None = None,
    page_height_mm: float | None = None,
    title: str = "",
    pictures: Pictures | None = None,
) -> bytes:
    """Return a PDF with one page a scene, everything in true size (1 mm is 72/25.4 pt).

    Args:
        scenes: At least one.
        page_width_mm, page_height_mm: Size of every page; None for that of each scene. A smaller scene
            stands in the middle of its page.
        title: Name of the document; "" for that of the first scene.
        pictures: Gives the pixels of a picture that a scene names (store.artwork.encode_picture makes them of
            any picture file), or None for one that is not to be had, which is then left out.

    Returns:
        The file. It asks the print dialogue for no scaling, holds no date, and embeds its letters.

    Raises:
        DomainError: No scene, or one that is larger than its page.
    """
    if not scenes:
        raise DomainError("a PDF needs at least one page to draw", "scenes")
    pdf = new_pdf(title or scenes[0].title)
    fonts = FontBook(pdf)
    drawn: dict[str, Object | None] = {}
    for scene in scenes:
        width = scene.width_mm if page_width_mm is None else page_width_mm
        height = scene.height_mm if page_height_mm is None else page_height_mm
        if scene.width_mm > width + _SLACK_MM or scene.height_mm > height + _SLACK_MM:
            raise DomainError(
                f"the drawing is {scene.width_mm:g} x {scene.height_mm:g} mm and the page only "
                f"{width:g} x {height:g} mm",
                "page_width_mm",
            )
        left, top = (width - scene.width_mm) / 2, (height - scene.height_mm) / 2
        pen = _Drawing(pdf, fonts, left, height - top, pictures, drawn)
        pen.draw(scene.items)
        page = pdf.add_blank_page(page_size=(width * PT, height * PT))
        page.obj.Contents = pdf.make_stream(pen.content())
        page.obj.Resources = pen.resources()
    fonts.finish()
    if len(scenes) > 1:
        _add_outline(pdf, scenes)
    return save_pdf(pdf)


def _add_outline(pdf: Pdf, scenes: Sequence[Scene]) -> None:
    """Let readers list the pages by their names, each name at its first page."""
    from pikepdf import OutlineItem

    with pdf.open_outline() as outline:
        before = ""
        for index, scene in enumerate(scenes):
            if scene.title and scene.title != before:
                outline.root.append(OutlineItem(scene.title, index))
            before = scene.title


class _Drawing:
    """Content stream of one page."""

    def __init__(
        self,
        pdf: Pdf,
        fonts: FontBook,
        left_mm: float,
        base_mm: float,
        pictures: Pictures | None,
        drawn: dict[str, Object | None],
    ) -> None:
        self._pdf = pdf
        self._fonts = fonts
        self._left = left_mm
        self._base = base_mm
        self._pictures = pictures
        self._drawn = drawn
        self._words: list[str] = []
        self._used: dict[str, Object] = {}
        self._state: tuple[Pen | None, Tone | None] = (None, None)

    def content(self) -> bytes:
        return "\n".join(self._words).encode("ascii")

    def resources(self) -> Dictionary:
        found = Dictionary(Font=self._fonts.resources())
        if self._used:
            found.XObject = Dictionary({f"/{name}": obj for name, obj in self._used.items()})
        return found

    def draw(self, items: Iterable[Item]) -> None:
        for item in items:
            match item:
                case Group():
                    self._group(item)
                case Text():
                    self._text(item)
                case Image():
                    self._image(item)
                case Line():
                    self._paint(self._points(((item.x1_mm, item.y1_mm), (item.x2_mm, item.y2_mm))), item.pen)
                case Polyline():
                    if item.points_mm:
                        close = " h" if item.closed else ""
                        self._paint(self._points(item.points_mm) + close, item.pen, item.fill)
                case Path():
                    self._paint(self._steps(item), item.pen, item.fill)
                case Rect():
                    self._paint(self._rect(item), item.pen, item.fill)
                case Circle():
                    x, y, r = item.x_mm, item.y_mm, item.radius_mm
                    ring = (Move(x - r, y), *half_ellipse((x - r, y), 2 * r, -r))
                    back = half_ellipse((x + r, y), -2 * r, r)
                    self._paint(self._steps(Path((*ring, *back, Close()))), item.pen, item.fill)

    def _group(self, item: Group) -> None:
        if item.window_mm is None and item.turned_about_mm is None:
            self.draw(item.items)
            return
        state = self._state
        self._words.append("q")
        if item.window_mm is not None:
            self._words.append(f"{self._rect(Rect(*item.window_mm))} W n")
        if item.turned_about_mm is not None:
            x, y = item.turned_about_mm
            middle = (2 * (self._left + x) * PT, 2 * (self._base - y) * PT)
            self._words.append(f"{numbers(-1, 0, 0, -1, *middle)} cm")
        self.draw(item.items)
        self._words.append("Q")
        self._state = state

    def _at(self, x_mm: float, y_mm: float) -> str:
        return numbers((self._left + x_mm) * PT, (self._base - y_mm) * PT)

    def _points(self, points: tuple[Point, ...]) -> str:
        first, *rest = points
        return " ".join([f"{self._at(*first)} m", *(f"{self._at(*point)} l" for point in rest)])

    def _steps(self, path: Path) -> str:
        words = []
        for step in path.steps:
            match step:
                case Move():
                    words.append(f"{self._at(step.x_mm, step.y_mm)} m")
                case Straight():
                    words.append(f"{self._at(step.x_mm, step.y_mm)} l")
                case Curve():
                    controls = f"{self._at(step.c1x_mm, step.c1y_mm)} {self._at(step.c2x_mm, step.c2y_mm)}"
                    words.append(f"{controls} {self._at(step.x_mm, step.y_mm)} c")
                case Close():
                    words.append("h")
        return " ".join(words)

    def _rect(self, item: Rect) -> str:
        x, y, w, h = item.x_mm, item.y_mm, item.width_mm, item.height_mm
        r = min(item.radius_mm, w / 2, h / 2)
        if r <= 0:
            return f"{self._at(x, y + h)} {numbers(w * PT, h * PT)} re"
        k = r * (1 - 4 / 3 * (2**0.5 - 1))
        right, low = x + w, y + h
        return self._steps(
            Path(
                (
                    Move(x + r, y),
                    Straight(right - r, y),
                    Curve(right - k, y, right, y + k, right, y + r),
                    Straight(right, low - r),
                    Curve(right, low - k, right - k, low, right - r, low),
                    Straight(x + r, low),
                    Curve(x + k, low, x, low - k, x, low - r),
                    Straight(x, y + r),
                    Curve(x, y + k, x + k, y, x + r, y),
                    Close(),
                )
            )
        )

    def _paint(self, path: str, pen: Pen | None, fill: Tone | None = None) -> None:
        if not path or (pen is None and fill is None):
            return
        known_pen, known_fill = self._state
        if pen is not None and pen != known_pen:
            self._words.append(_pen_words(pen))
            known_pen = pen
        if fill is not None and fill is not known_fill:
            self._words.append(f"{number(_GREY[fill])} g")
            known_fill = fill
        self._state = (known_pen, known_fill)
        # Fills by the non-zero rule, as in SVG.
        self._words.append(f"{path} {'S' if fill is None else 'f' if pen is None else 'B'}")

    def _text(self, item: Text) -> None:
        if not item.content.strip():
            return
        size = item.size_mm
        width = set_width_mm(item.content, size, item.bold, item.italic)
        back = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[item.anchor]
        cos, sin = _turn(item.turn_deg)
        x = (self._left + item.x_mm - back * cos) * PT
        y = (self._base - item.y_mm - back * sin) * PT
        if item.tone is not self._state[1]:
            self._words.append(f"{number(_GREY[item.tone])} g")
            self._state = (self._state[0], item.tone)
        shown = self._fonts.encode(item.content, item.bold, item.italic)
        name = self._fonts.name_of(item.bold, item.italic)
        matrix = numbers(cos, sin, -sin, cos, x, y)
        self._words.append(f"BT {name} {number(size * PT)} Tf {matrix} Tm {shown} Tj ET")

    def _image(self, item: Image) -> None:
        if item.href not in self._drawn:
            pixels = self._pictures(item.href) if self._pictures is not None else None
            self._drawn[item.href] = add_stream(self._pdf, pixels) if pixels is not None else None
        picture = self._drawn[item.href]
        if picture is None:
            return
        name = next((name for name, known in self._used.items() if known.objgen == picture.objgen), "")
        if not name:
            name = f"P{len(self._used) + 1}"
            self._used[name] = picture
        wide, high = int(picture.Width), int(picture.Height)
        scales = (item.width_mm / wide, item.height_mm / high)
        scale = max(scales) if item.fit is Fit.COVER else min(scales)
        w, h = wide * scale, high * scale
        x, y = item.x_mm + (item.width_mm - w) / 2, item.y_mm + (item.height_mm - h) / 2
        frame = self._rect(Rect(item.x_mm, item.y_mm, item.width_mm, item.height_mm))
        place = f"{numbers(w * PT, 0, 0, h * PT)} {self._at(x, y + h)} cm"
        self._words.append(f"q {frame} W n {place} /{name} Do Q")


def _turn(turn_deg: float) -> tuple[float, float]:
    """Return cosine and sine of a turn in PDF's upward y, exact for quarter turns."""
    quarter = {0.0: (1.0, 0.0), 90.0: (0.0, -1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, 1.0)}
    if (exact := quarter.get(turn_deg % 360)) is not None:
        return exact
    angle = -math.radians(turn_deg)
    return math.cos(angle), math.sin(angle)


@functools.lru_cache(maxsize=256)
def _pen_words(pen: Pen) -> str:
    """Return the operators that set a pen: grey, width, dashes, ends and joins, mitre limit as in SVG."""
    ends = 1 if pen.round_ends else 0
    dash = numbers(*(length * PT for length in pen.dash_mm))
    grey = number(_GREY[pen.tone])
    return f"{grey} G {number(pen.width_mm * PT)} w {ends} J {ends} j 4 M [{dash}] 0 d"
