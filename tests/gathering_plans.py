"""Every plan of a small book, one after the other, with its figures worked out by other parts of the package.

Written for the tests of planning: nothing here shares a line with the solver. Blanks are put into every gap that
the wish allows, every row of gatherings is tried, and each plan is judged by the page map, the imposition and the
plates of a book with those blanks written into its sequence.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from doublure.trade.book.crossovers import CrossoverKind, classify_crossover
from doublure.trade.book.imposition import impose
from doublure.trade.book.page_map import build_page_map
from doublure.trade.book.planning_records import BlankRule, PlanningSpec
from doublure.trade.book.plates import plan_plates
from doublure.trade.press.folding import fold_sheets
from doublure.trade.press.records import Folding


@dataclass(frozen=True, slots=True, order=True)
class Judged:
    """A plan: the smaller, the better."""

    weight_turned: Fraction
    plates: int
    blanks: int
    spread: int


def _units(spec: PlanningSpec) -> list[tuple[int, ...]]:
    """Return the pages as units that nothing comes between: single folded pages, and both of a tipped leaf."""
    versos = {first + 1 for first in spec.tipped_at}
    return [
        (page, page + 1) if page in spec.tipped_at else (page,)
        for page in range(1, len(spec.masters) + 1)
        if page not in versos
    ]


def _compositions(total: int, sizes: range) -> Iterator[tuple[int, ...]]:
    if total == 0:
        yield ()
    for size in sizes:
        if size <= total:
            for rest in _compositions(total - size, sizes):
                yield (size, *rest)


def _shares(gaps: list[int], blanks: int) -> Iterator[dict[int, int]]:
    """Yield every way to put so many blanks into the gaps."""
    if not gaps:
        if blanks == 0:
            yield {}
        return
    for here in range(blanks + 1):
        for rest in _shares(gaps[1:], blanks - here):
            yield {gaps[0]: here, **rest}


def list_plans(spec: PlanningSpec) -> Iterator[Judged]:
    """Yield every plan that meets the wishes."""
    units = _units(spec)
    firsts = {one.page for one in spec.crossovers} | set(spec.fixed)
    closed = {number for number, unit in enumerate(units, 1) if unit[-1] in firsts}
    gaps = [gap for gap in range(len(units) + 1) if gap not in closed]
    if spec.blanks is BlankRule.END:
        gaps = [len(units)]
    folded = len(spec.masters) - 2 * len(spec.tipped_at)
    each = spec.folding.pairs
    for blanks in range(spec.most_blanks + 1):
        total, left = divmod(folded + blanks, 4 * each)
        if left:
            continue
        for shares in _shares(gaps, blanks):
            pages: list[int] = []
            for gap in range(len(units) + 1):
                pages += [0] * shares.get(gap, 0)
                if gap < len(units):
                    pages += units[gap]
            for sizes in _compositions(total, range(spec.fewest_sheets, spec.most_sheets + 1)):
                judged = _judge(spec, pages, tuple(size * each for size in sizes))
                if judged is not None:
                    yield judged


def _judge(spec: PlanningSpec, pages: list[int], pairs: tuple[int, ...]) -> Judged | None:
    """Judge one plan; None where it breaks a wish. Pages are those given, 0 for each blank put in."""
    number = {page: at for at, page in enumerate(pages, 1) if page}
    tipped_at = [number[page] for page in spec.tipped_at]
    if any(page % 2 == 0 for page in tipped_at):
        return None
    page_map = build_page_map(len(pages), pairs, tipped_at)
    if not _blanks_are_allowed(spec, [pages[page - 1] for page in page_map.split.folded_pages], pairs):
        return None
    weight = Fraction(0)
    for one in spec.crossovers:
        at = number[one.page]
        if at % 2 or number[one.page + 1] != at + 1:
            return None
        if classify_crossover(page_map, at, at + 1).kind is CrossoverKind.ONE_SHEET:
            weight += Fraction(repr(float(one.weight)))
    for page in spec.fixed:
        at = number[page]
        if at % 2 or classify_crossover(page_map, at, at + 1).kind is not CrossoverKind.ONE_SHEET:
            return None
    masters = {at: spec.masters[page - 1] if page else None for at, page in enumerate(pages, 1)}
    plates = count_distinct_plates(spec, page_map.split.folded_pages, masters, pairs)
    if spec.most_plates is not None and plates > spec.most_plates:
        return None
    return Judged(-weight, plates, pages.count(0), max(pairs) - min(pairs))


def count_distinct_plates(
    spec: PlanningSpec, folded: tuple[int, ...], masters: dict[int, str | None], pairs: tuple[int, ...]
) -> int:
    """Return the distinct plates: by plan_plates for folios, by the folded sheets otherwise."""
    steps = dict(enumerate(spec.creep_steps, 1)) if spec.creep_steps else None
    if spec.folding is Folding.FOLIO:
        plan = plan_plates(impose(folded, pairs), masters, steps is not None, steps)
        return len(plan.printed_plates)
    found = set()
    for forme in fold_sheets([one // spec.folding.pairs for one in pairs], spec.folding):
        cells = []
        for cell in forme.cells:
            master = masters[folded[cell.position - 1]] if cell.position <= len(folded) else None
            step = steps[cell.pair] if steps is not None and master is not None else 0
            cells.append((master, step))
        if any(master is not None for master, _ in cells):
            found.add(tuple(cells))
    return len(found)


def _blanks_are_allowed(spec: PlanningSpec, folded: list[int], pairs: tuple[int, ...]) -> bool:
    """Look at the blanks of each gathering; a gathering of nothing else is none."""
    at = 0
    for one in pairs:
        inside = [page != 0 for page in folded[at : at + 4 * one]]
        at += 4 * one
        if not any(inside):
            return False
        first, last = inside.index(True), len(inside) - inside[::-1].index(True)
        if spec.blanks is BlankRule.GATHERINGS and not all(inside[first:last]):
            return False
    return True


def best_plan(spec: PlanningSpec) -> Judged | None:
    """Return the best of all plans; None where there is none."""
    return min(list_plans(spec), default=None)
