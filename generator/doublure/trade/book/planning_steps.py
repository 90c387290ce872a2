"""Page by page through a book that is being gathered: where a blank may go, what must face what.

In: PlanningSpec. Out: BookPath with its places, and every way to fill a gathering. Never: weights, plates.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.trade.book.planning_records import BlankRule, PlanningSpec
from doublure.trade.book.tipped import split_tipped_leaves

Place = tuple[int, int, int]
"""How far one is: tokens passed, blanks put in, phase of the gathering (of use with GATHERINGS alone)."""

Filling = tuple[int, ...]
"""The pages that lie on the folded leaves in reading order. A blank put in is less than 0: -1 before the first token,
-2 behind it, and so on; BookPath.page_before tells behind which page it goes."""

BEGIN, PAGES, BEHIND = 0, 1, 2
"""Phases of a gathering: before its first page, among its pages, behind its last page."""

_TIP = 0


@dataclass(frozen=True, slots=True)
class Arc:
    """One gathering from place to place, blanks within it not yet laid.

    Attributes:
        start, middle, end: Places before it, at its middle opening, and behind it.
        pairs: Its leaf pairs.
    """

    start: Place
    middle: Place
    end: Place
    pairs: int


class BookPath:
    """A book as tokens (folded pages, and leaves tipped in between them), with the rules of going through it.

    A place is a number of tokens passed and of blanks put in. A page or a blank takes one position on the folded
    leaves; a leaf tipped in takes none, but stands only between two leaves, where the number of positions is even.
    The middle of a crossover is an opening only where that number is even, too; no blank is put in there.
    """

    def __init__(self, spec: PlanningSpec) -> None:
        split = split_tipped_leaves(len(spec.masters), spec.tipped_at)
        tipped = {leaf.recto_page for leaf in split.tipped_leaves}
        versos = {leaf.verso_page for leaf in split.tipped_leaves}
        self.spec = spec
        self.tokens: list[int] = []
        gap_after: dict[int, int] = {}
        for page in range(1, len(spec.masters) + 1):
            if page not in versos:
                self.tokens.append(_TIP if page in tipped else page)
            gap_after[page] = len(self.tokens)
        self.folded = len(split.folded_pages)
        if not self.folded:
            raise DomainError("pages: every leaf is tipped in, so there is nothing to gather", "tipped_at")
        passed = [0]
        for token in self.tokens:
            passed.append(passed[-1] + (token != _TIP))
        self._passed = passed
        #: Last page of the tokens before each gap; a leaf tipped in ends with its second page.
        self._last_of = [0] * (len(self.tokens) + 1)
        for page, gap in gap_after.items():
            self._last_of[gap] = page
        self._last_page = max(i for i, token in enumerate(self.tokens) if token != _TIP) + 1
        folded = set(split.folded_pages)
        #: The gap within each spread that must stay one opening, by its lower page.
        self.gap_of: dict[int, int] = {}
        for page in (*(one.page for one in spec.crossovers), *spec.fixed):
            if page in tipped:
                raise DomainError(
                    f"pages {page} and {page + 1} are the two sides of one leaf tipped in and cannot face"
                    " each other",
                    "crossovers",
                )
            self.gap_of[page] = gap_after[page]
        self.joined = frozenset(self.gap_of.values())
        #: Lower page of each crossover or fixed spread whose halves both lie on folded leaves, by its gap.
        self.spread_at = {gap: page for page, gap in self.gap_of.items() if {page, page + 1} <= folded}
        self.fixed = frozenset(self.gap_of[page] for page in spec.fixed)
        for page in spec.fixed:
            if self.gap_of[page] not in self.spread_at:
                raise DomainError(
                    f"fixed: a page of the spread {page}–{page + 1} is on a leaf tipped in, which never lies in the"
                    " middle of a gathering; take the spread out of fixed, or the leaf out of tipped",
                    "fixed",
                )
        self._reach: dict[Place, list[frozenset[Place]]] = {}
        self._steps: dict[Place, tuple[tuple[Place, int], ...]] = {}

    def position(self, place: Place) -> int:
        """Return how many positions of the folded leaves lie before a place."""
        return self._passed[place[0]] + place[1]

    def page_before(self, blank: int) -> int:
        """Return the page behind which a blank of a filling goes, 0 for before the first."""
        gap = ~blank
        return self._last_of[gap]

    def is_end(self, place: Place) -> bool:
        """True where nothing but leaves tipped in is left."""
        return place[0] >= self._last_page

    def steps(self, place: Place) -> tuple[tuple[Place, int], ...]:
        """Return the places after one more position, each with what is on it, as in a Filling."""
        if place not in self._steps:
            self._steps[place] = tuple(self._step(place))
        return self._steps[place]

    def _step(self, place: Place) -> Iterator[tuple[Place, int]]:
        at, blanks, phase = place
        position = self.position(place)
        while True:
            if blanks < self.spec.most_blanks and at not in self.joined and self._may_blank(at, phase):
                behind = self.spec.blanks is BlankRule.GATHERINGS and phase != BEGIN
                yield (at, blanks + 1, BEHIND if behind else phase), ~at
            if at == len(self.tokens):
                return
            if self.tokens[at] != _TIP:
                break
            if position % 2:
                return
            at += 1
        if phase == BEHIND or (at + 1 in self.joined and position % 2 == 0):
            return
        among = PAGES if self.spec.blanks is BlankRule.GATHERINGS else BEGIN
        yield (at + 1, blanks, among), self.tokens[at]

    def _may_blank(self, at: int, phase: int) -> bool:
        if self.spec.blanks is BlankRule.END:
            return at == len(self.tokens)
        # Blanks before the first page of a gathering want a page to stand before.
        return self.spec.blanks is BlankRule.ANYWHERE or phase != BEGIN or at < self._last_page

    def reach(self, place: Place, positions: int) -> frozenset[Place]:
        """Return the places after so many positions, no fixed spread having been opened on the way."""
        layers = self._reach.setdefault(place, [frozenset((place,))])
        while len(layers) <= positions:
            layers.append(
                frozenset(
                    after for one in layers[-1] for after, _ in self.steps(one) if after[0] not in self.fixed
                )
            )
        return layers[positions]

    def middles(self, place: Place, positions: int) -> frozenset[Place]:
        """As reach, but the last opening may be a fixed spread."""
        fixed = (
            after
            for one in self.reach(place, positions - 1)
            for after, _ in self.steps(one)
            if after[0] in self.fixed
        )
        return self.reach(place, positions).union(fixed)

    def arcs(self, start: Place, sizes: tuple[int, ...]) -> Iterator[Arc]:
        """Yield every gathering that can begin at a place, of each of the sizes (in leaf pairs), in order."""
        for pairs in sizes:
            for middle in sorted(self.middles(start, 2 * pairs)):
                for end in sorted({(at, blanks) for at, blanks, _ in self.reach(middle, 2 * pairs)}):
                    # A gathering of nothing but blanks could be left out.
                    if end[0] > start[0]:
                        yield Arc(start, middle, (*end, BEGIN), pairs)

    def count_fillings(self, start: Place, end: Place, positions: int) -> int:
        """Return in how many ways one comes from place to place, leaving the phase of the end open."""
        ways = {start: 1}
        for left in range(positions, 0, -1):
            after: dict[Place, int] = {}
            for place, count in ways.items():
                for one, _ in self.steps(place):
                    if one[1] <= end[1] and (left == 1 or one[0] not in self.fixed):
                        after[one] = after.get(one, 0) + count
            ways = after
        return sum(count for place, count in ways.items() if place[:2] == end[:2])

    def fillings(self, start: Place, end: Place, positions: int, phase: int | None = None) -> list[Filling]:
        """Return every way from place to place, no fixed spread opened before the end, in order.

        Args:
            start, end: The places.
            positions: Between them.
            phase: Phase in which to end; None for any.
        """
        found: list[tuple[Place, Filling]] = [(start, ())]
        for left in range(positions, 0, -1):
            found = [
                (after, (*filling, page))
                for place, filling in found
                for after, page in self.steps(place)
                if after[1] <= end[1] and after[0] <= end[0] and (left == 1 or after[0] not in self.fixed)
            ]
        return [f for place, f in found if place[:2] == end[:2] and phase in (None, place[2])]
