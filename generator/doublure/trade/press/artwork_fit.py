"""How the artwork of the masters fits its plates: resolution, proportions, bleed, creep, reach of the printer.

In: a PressPlan and one ArtworkSpec a master. Out: ArtworkIssue values, with numbers. Never: files, display text.
Edges are those of the page, read upright. What is not known of an artwork (the ink of a PDF page) raises no issue.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from doublure.trade.book.gatherings import Half, Side
from doublure.trade.press.records import Box, PlacedPage, PressPlan, PressPlate

WANTED_PPI: Mapping[str, float] = {"bilevel": 600.0, "grey": 300.0, "colour": 300.0}
"""Effective resolution by kind of artwork. Grey and colour: twice a screen of 150 lines an inch. Bilevel: at least
600, usually 800 to 1200 (from memory)."""

SAME_PROPORTION = 0.005
"""Proportions that differ by no more than this are the same: half a millimetre on 100."""

AT_TRIM_MM = 0.25
"""Ink that ends so near the trim is meant to reach it."""

LEAST_MM = 0.05
"""What is lost by less than this is not told."""

EDGES = ("left", "right", "head", "tail")


@dataclass(frozen=True, slots=True)
class ArtworkSpec:
    """What of a master's artwork matters here.

    Attributes:
        kind: "bilevel", "grey", "colour" or "vector".
        width_px, height_px: Pixels of the whole picture; 0 for "vector".
        width_mm, height_mm: Trim size of a PDF page; 0 for a picture.
        print_width_mm, print_height_mm: Size at which the trimmed area is printed; None for that of the leaf.
        bleed_mm: How far the artwork runs beyond its trimmed area: left, right, head, tail. Of a picture at the
            size at which it is printed, of a PDF page at its own size.
        ink: Box of everything that is not white: left, top, right, bottom, as shares of the whole picture; None
            where nothing is known, or where there is nothing on it.
    """

    kind: str
    width_px: int = 0
    height_px: int = 0
    width_mm: float = 0.0
    height_mm: float = 0.0
    print_width_mm: float | None = None
    print_height_mm: float | None = None
    bleed_mm: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    ink: tuple[float, float, float, float] | None = None


@dataclass(frozen=True, slots=True)
class SheetReach:
    """What the printer cannot print, by side: mm from the left, top, right and bottom edge of the sheet, each side
    as one looks at it with the heads of its lowest row up.
    """

    front: tuple[float, float, float, float]
    back: tuple[float, float, float, float]

    def on(self, side: Side) -> tuple[float, float, float, float]:
        """Return it for one side."""
        return self.front if side is Side.FRONT else self.back


@dataclass(frozen=True, slots=True)
class ArtworkIssue:
    """One thing to know of a master's artwork before it is printed.

    Attributes:
        master: Identifier.
        kind: What it is about; `value` and `wanted` are then
            "resolution": effective pixels an inch, the lesser of both directions; what its kind needs.
            "size": width over height of the artwork, divided by that of the page; 1.
            "bleed": how far ink runs beyond the trim, or may run on the sheet, mm; the bleed wanted, mm.
            "creep": width of ink lost at the fold or at the trimmed fore-edge, mm; 0.
            "reach": distance of the ink from the edge of the sheet, mm (below 0 never); the reach, mm.
        value, wanted: As above.
        edge: Edge of the page, read upright: "left", "right", "head" or "tail"; "" where it is about none.
        plates: Numbers of the plates that it concerns, ascending.
    """

    master: str
    kind: str
    value: float
    wanted: float
    edge: str = ""
    plates: tuple[int, ...] = ()


def find_artwork(
    plan: PressPlan,
    artwork: Mapping[str, ArtworkSpec],
    reach: SheetReach | None = None,
    push_out_mm: Mapping[int, float] | None = None,
) -> tuple[ArtworkIssue, ...]:
    """Return what is wanting in the artwork of each master, the worst of all its placements.

    Args:
        plan: The plates.
        artwork: By master. Masters that are not in it are passed over.
        reach: What the printer cannot print; None where that is unknown.
        push_out_mm: By page of the book, how far its leaf stands out before it is trimmed, mm; pages that are
            not in it count as standing out by their creep shift.

    Returns:
        In the order in which the masters come on the plates; for each by kind, then by edge.

    Source:
        Twice the screen ruling for grey and colour: facweb.cs.depaul.edu/sgrais and sidekickgraphics.com, seen.
        Bilevel: from memory. The rest follows from the layout; thresholds are ours.

    Examples:
        >>> from doublure.trade.press.plan import PressSpec, plan_press
        >>> plan = plan_press(PressSpec(105, 148, 297, 210, (1,), {1: "title"}, (1,)))
        >>> [(i.kind, round(i.value)) for i in find_artwork(plan, {"title": ArtworkSpec("grey", 827, 1165)})]
        [('resolution', 200)]
    """
    finder = _Finder(plan, artwork, reach, push_out_mm or {})
    for plate in plan.plates:
        for page in plate.pages:
            if page.master is not None and page.master in artwork:
                finder.look_at(plate, page, page.master)
    return finder.list_issues()


def place_artwork(page: PlacedPage, spec: ArtworkSpec) -> Box:
    """Return where the whole artwork, bleed included, comes to lie on its plate.

    Where its proportions are those that are wanted (SAME_PROPORTION), it fills the area exactly, so that artwork
    that ends at the fold or the trim does so on paper. Else it keeps its proportions, is made as large as it can
    be without leaving the area that it is meant for, and lies in the middle of that.

    Examples:
        >>> page = PlacedPage("a", Box(100, 50, 105, 148), Box(100, 50, 105, 148), Box(100, 47, 108, 154), False,
        ...     Half.LEFT, 0.0, (1,))
        >>> box = place_artwork(page, ArtworkSpec("grey", 1110, 1540, bleed_mm=(3, 3, 3, 3)))
        >>> [round(x, 6) for x in (box.left_mm, box.top_mm, box.width_mm, box.height_mm)]
        [97.0, 47.0, 111.0, 154.0]
    """
    area = page.artwork
    width, height = spec.print_width_mm or area.width_mm, spec.print_height_mm or area.height_mm
    left, right, head, tail = spec.bleed_mm
    if spec.kind == "vector":
        scale_x, scale_y = _scales(width / spec.width_mm, height / spec.height_mm)
        trim_width, trim_height = scale_x * spec.width_mm, scale_y * spec.height_mm
        left, right, head, tail = scale_x * left, scale_x * right, scale_y * head, scale_y * tail
    else:
        full_width, full_height = width + left + right, height + head + tail
        scale_x, scale_y = _scales(full_width / spec.width_px, full_height / spec.height_px)
        trim_width = scale_x * spec.width_px - left - right
        trim_height = scale_y * spec.height_px - head - tail
    if page.turned:
        left, right, head, tail = right, left, tail, head
    middle_x, middle_y = area.left_mm + area.width_mm / 2, area.top_mm + area.height_mm / 2
    return Box(
        middle_x - trim_width / 2 - left,
        middle_y - trim_height / 2 - head,
        trim_width + left + right,
        trim_height + head + tail,
    )


def _scales(across: float, down: float) -> tuple[float, float]:
    """Return the two where they are as good as one, else the lesser for both."""
    if abs(down / across - 1) <= SAME_PROPORTION:
        return across, down
    return min(across, down), min(across, down)


def reach_on_side(
    reach_mm: tuple[float, float, float], print_up: bool, head_towards: str
) -> tuple[float, float, float, float]:
    """Return what a printer leaves bare at the left, top, right and bottom of a side that it prints.

    Args:
        reach_mm: What it cannot print at the leading edge, the trailing edge and each side, mm.
        print_up: True where the side to be printed lies upwards in the tray.
        head_towards: Where the head of the pages points: "in", "out", "left" or "right", as one stands before
            the tray and looks the way that the sheets go.

    Source:
        Follows from how the sheet lies: with the head to the left and the print up, its right edge goes in first;
        with the print down one looks at it from the other side.

    Examples:
        >>> reach_on_side((4, 6, 5), print_up=True, head_towards="left")
        (6, 5, 4, 5)
    """
    leading, trailing, beside = reach_mm
    if head_towards == "in":
        return beside, leading, beside, trailing
    if head_towards == "out":
        return beside, trailing, beside, leading
    right_leads = (head_towards == "left") == print_up
    return (trailing, beside, leading, beside) if right_leads else (leading, beside, trailing, beside)


@dataclass(slots=True)
class _Worst:
    """The worst of one kind at one edge, with the plates that have it."""

    value: float
    wanted: float
    plates: set[int] = field(default_factory=set)


_KINDS = ("resolution", "size", "bleed", "creep", "reach")


class _Finder:
    """Looks at placement after placement and keeps the worst."""

    def __init__(
        self,
        plan: PressPlan,
        artwork: Mapping[str, ArtworkSpec],
        reach: SheetReach | None,
        push_out_mm: Mapping[int, float],
    ) -> None:
        """Begin with nothing found."""
        self._plan = plan
        self._artwork = artwork
        self._reach = reach
        self._push_out_mm = push_out_mm
        self._found: dict[str, dict[tuple[str, str], _Worst]] = {}

    def look_at(self, plate: PressPlate, page: PlacedPage, master: str) -> None:
        """Note what is wanting where a master lies on a plate."""
        spec = self._artwork[master]
        found = self._found.setdefault(master, {})
        box = place_artwork(page, spec)
        issues = [*_resolution(spec, box), *_size(spec, page), *self._by_ink(plate, page, spec, box)]
        for kind, edge, value, wanted in issues:
            worst = found.setdefault((kind, edge), _Worst(value, wanted))
            worst.plates.add(plate.number)
            # The worst is what is farthest from what it should be.
            if abs(value - wanted) > abs(worst.value - worst.wanted):
                worst.value, worst.wanted = value, wanted

    def list_issues(self) -> tuple[ArtworkIssue, ...]:
        """Return what was found."""
        return tuple(
            ArtworkIssue(master, kind, worst.value, worst.wanted, edge, tuple(sorted(worst.plates)))
            for master, found in self._found.items()
            for (kind, edge), worst in sorted(
                found.items(), key=lambda item: (_KINDS.index(item[0][0]), ("", *EDGES).index(item[0][1]))
            )
        )

    def _by_ink(
        self, plate: PressPlate, page: PlacedPage, spec: ArtworkSpec, box: Box
    ) -> Iterator[tuple[str, str, float, float]]:
        if spec.ink is None:
            return
        ink = _ink_on_plate(spec.ink, box, page.turned)
        yield from self._bleed(page, ink)
        yield from self._creep(page, ink)
        if self._reach is not None:
            for side in sorted({place.side for place in plate.places}, key=lambda side: side.value):
                yield from self._short_reach(page, ink, self._reach.on(side))

    def _bleed(self, page: PlacedPage, ink: Box) -> Iterator[tuple[str, str, float, float]]:
        """Ink that ends at the trim, or runs beyond it by less than the bleed, at any edge but the fold."""
        wanted = self._plan.layout.bleed_mm
        for edge, beyond, room in _beyond(ink, page.artwork, page.clip, page.trim):
            if _is_fold(edge, page) or beyond < -AT_TRIM_MM:
                continue
            # The trimmed fore-edge of an inner leaf moves with its artwork, so the creep changes nothing here.
            has = max(0.0, min(beyond, room))
            if has < wanted - AT_TRIM_MM:
                yield "bleed", _upright(edge, page.turned), has, wanted

    def _creep(self, page: PlacedPage, ink: Box) -> Iterator[tuple[str, str, float, float]]:
        """Ink that is pushed across the fold, and ink inside the trim that is cut off with what stands out."""
        shift = page.creep_shift_mm
        pushed = max((self._push_out_mm.get(number, shift) for number in page.pages), default=shift)
        fore_edge = "left" if page.spine is Half.RIGHT else "right"
        for edge, beyond, _ in _beyond(ink, page.artwork, page.clip, page.trim):
            # Beyond the trimmed area of the artwork, where ink is not meant to be kept.
            if _is_fold(edge, page):
                lost = min(shift, beyond + shift)
            elif edge == fore_edge and beyond < -AT_TRIM_MM:
                lost = beyond + pushed - shift
            else:
                continue
            if lost > LEAST_MM:
                yield "creep", _upright(edge, page.turned), lost, 0.0

    def _short_reach(
        self, page: PlacedPage, ink: Box, reach: tuple[float, float, float, float]
    ) -> Iterator[tuple[str, str, float, float]]:
        """Ink that shows on the trimmed page and lies where the printer does not print."""
        layout = self._plan.layout
        seen = _common(ink, page.trim)
        if seen is None:
            return
        left, top, right, bottom = reach
        for edge, distance, wanted in (
            ("left", seen.left_mm, left),
            ("right", layout.sheet_width_mm - seen.right_mm, right),
            ("head", seen.top_mm, top),
            ("tail", layout.sheet_height_mm - seen.bottom_mm, bottom),
        ):
            if distance < wanted - LEAST_MM:
                yield "reach", _upright(edge, page.turned), max(0.0, distance), wanted


def _resolution(spec: ArtworkSpec, box: Box) -> Iterator[tuple[str, str, float, float]]:
    wanted = WANTED_PPI.get(spec.kind)
    if wanted is None:
        return
    ppi = min(spec.width_px / box.width_mm, spec.height_px / box.height_mm) * 25.4
    # What is stretched by so little to fill the page is not short of pixels.
    if ppi < wanted * (1 - SAME_PROPORTION):
        yield "resolution", "", ppi, wanted


def _size(spec: ArtworkSpec, page: PlacedPage) -> Iterator[tuple[str, str, float, float]]:
    width, height = spec.print_width_mm or page.trim.width_mm, spec.print_height_mm or page.trim.height_mm
    left, right, head, tail = spec.bleed_mm
    if spec.kind == "vector":
        ratio = spec.width_mm / spec.height_mm / (width / height)
    else:
        ratio = spec.width_px / spec.height_px / ((width + left + right) / (height + head + tail))
    if abs(ratio - 1) > SAME_PROPORTION:
        yield "size", "", ratio, 1.0


def _ink_on_plate(ink: tuple[float, float, float, float], box: Box, turned: bool) -> Box:
    left, top, right, bottom = ink
    if turned:
        left, top, right, bottom = 1 - right, 1 - bottom, 1 - left, 1 - top
    width, height = (right - left) * box.width_mm, (bottom - top) * box.height_mm
    return Box(box.left_mm + left * box.width_mm, box.top_mm + top * box.height_mm, width, height)


def _beyond(ink: Box, area: Box, clip: Box, trim: Box) -> Iterator[tuple[str, float, float]]:
    """Yield, edge by edge as they lie on the plate, how far ink runs beyond the trimmed area of its artwork, and
    how far the sheet lets it run beyond the trim.
    """
    yield "left", area.left_mm - ink.left_mm, trim.left_mm - clip.left_mm
    yield "right", ink.right_mm - area.right_mm, clip.right_mm - trim.right_mm
    yield "head", area.top_mm - ink.top_mm, trim.top_mm - clip.top_mm
    yield "tail", ink.bottom_mm - area.bottom_mm, clip.bottom_mm - trim.bottom_mm


def _common(one: Box, other: Box) -> Box | None:
    left, top = max(one.left_mm, other.left_mm), max(one.top_mm, other.top_mm)
    right, bottom = min(one.right_mm, other.right_mm), min(one.bottom_mm, other.bottom_mm)
    return Box(left, top, right - left, bottom - top) if right > left and bottom > top else None


def _is_fold(edge: str, page: PlacedPage) -> bool:
    return edge == page.spine.value


def _upright(edge: str, turned: bool) -> str:
    """Return what an edge on the plate is when the page is read."""
    opposite = {"left": "right", "right": "left", "head": "tail", "tail": "head"}
    return opposite[edge] if turned else edge
