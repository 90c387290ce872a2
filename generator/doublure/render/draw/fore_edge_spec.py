"""What the fore-edge is drawn from: gatherings of leaves, what lies in them, what crosses, where one is.

In: numbers and words from results. Out: frozen specs, checked. Never: drawing.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.render.draw.standing_line import check_standing


@dataclass(frozen=True, slots=True)
class BoundLeaf:
    """One leaf: how its first and second page are numbered ("" for none), and whether it is tipped in."""

    recto: str
    verso: str
    tipped: bool = False


@dataclass(frozen=True, slots=True)
class BoundGathering:
    """One gathering: its name ("3"), its leaves in reading order, the address of its page."""

    name: str
    leaves: tuple[BoundLeaf, ...]
    href: str = ""


@dataclass(frozen=True, slots=True)
class InsertTab:
    """An insert where it lies.

    Attributes:
        key: Its number in the strip.
        title: Its name.
        standing: Standing of the insert.
        href: Address of its page; "" for none.
        page: The page that it faces, counted from 1 over all leaves of the spec in order (tipped ones too),
            or 0 for before the first; None where it lies at no page.
        fixed: True where it is fixed to that page (tipped, pasted, in corners), False where it lies loose.
        pocket: True where it lies in a pocket; used where page is None.
    """

    key: str
    title: str
    standing: str
    href: str = ""
    page: int | None = None
    fixed: bool = False
    pocket: bool = False


@dataclass(frozen=True, slots=True)
class CrossoverArc:
    """Artwork across the gutter from a page (even, counted as for InsertTab) to the next one."""

    page: int
    title: str = ""
    href: str = ""


@dataclass(frozen=True, slots=True)
class Here:
    """Where one is: pages from first to last (counted as for InsertTab), and its words ("pages 33–48")."""

    first_page: int
    last_page: int
    words: str = ""


@dataclass(frozen=True, slots=True)
class ForeEdgeSpec:
    """The whole book: gatherings in reading order, what lies in it, what crosses, where one is."""

    gatherings: tuple[BoundGathering, ...]
    inserts: tuple[InsertTab, ...] = ()
    crossovers: tuple[CrossoverArc, ...] = ()
    here: Here | None = None
    right_to_left: bool = False
    title: str = "The book from its head"


def page_label(spec: ForeEdgeSpec, page: int) -> str:
    """Return how a page, counted over all leaves from 1, is numbered in the book; "" where it is not."""
    leaves = [leaf for gathering in spec.gatherings for leaf in gathering.leaves]
    leaf = leaves[(page - 1) // 2]
    return leaf.recto if page % 2 else leaf.verso


def check_book(spec: ForeEdgeSpec, width_px: float) -> None:
    """Make sure that a spec can be drawn.

    Args:
        spec: The book.
        width_px: Width asked for, CSS px.

    Raises:
        DomainError: See draw_fore_edge.
    """
    if width_px < 240:
        raise DomainError("The fore-edge needs a width of at least 240 px", "width_px")
    if not spec.gatherings or any(not g.leaves for g in spec.gatherings):
        raise DomainError("The fore-edge needs at least one gathering, and leaves in each", "gatherings")
    pages = 2 * sum(len(g.leaves) for g in spec.gatherings)
    for insert in spec.inserts:
        check_standing(insert.standing)
        if insert.page is not None and not 0 <= insert.page <= pages:
            raise DomainError(
                f"{insert.title}: the book has no page {insert.page}, only 1 to {pages}", "page"
            )
    for arc in spec.crossovers:
        if arc.page % 2 or not 0 < arc.page < pages:
            raise DomainError(
                f"A crossover begins on an even page before the last, not on {arc.page}", "page"
            )
