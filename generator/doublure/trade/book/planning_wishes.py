"""The wishes for the gatherings: wrong in themselves, or not to be met all at once, said in the maker's words.

In: PlanningSpec. Out: DomainError, words. Never: searching plates.
"""

from __future__ import annotations

import math
from dataclasses import replace

from doublure.errors import DomainError
from doublure.trade.book.limits import MAX_PAGES, check_count
from doublure.trade.book.planning_graph import gathering_sizes, weigh_plans
from doublure.trade.book.planning_records import BlankRule, PlanningSpec
from doublure.trade.book.planning_steps import BookPath

MOST_SHEETS = 64
"""Printed sheets in a gathering, at most."""

MOST_BLANKS = {BlankRule.END: 32, BlankRule.GATHERINGS: 12, BlankRule.ANYWHERE: 12}
"""Blanks that can be asked for, at most: the more places they may take, the more plans there are."""


def check_spec(spec: PlanningSpec) -> None:
    """Make sure that every wish is right in itself.

    Raises:
        DomainError: A number lies outside its limits, a spread outside the book, or two spreads share a page.
    """
    pages = check_count(len(spec.masters), "masters", "pages", most=MAX_PAGES)
    check_count(spec.fewest_sheets, "fewest_sheets", "sheets in a gathering, from")
    check_count(spec.most_sheets, "most_sheets", "sheets in a gathering, to", most=MOST_SHEETS)
    if spec.fewest_sheets > spec.most_sheets:
        raise DomainError(
            f"sheets in a gathering: from {spec.fewest_sheets} to {spec.most_sheets} is the wrong way round",
            "fewest_sheets",
        )
    check_count(spec.most_blanks, "most_blanks", "blanks", most=MOST_BLANKS[spec.blanks], least=0)
    if spec.most_plates is not None:
        check_count(spec.most_plates, "most_plates", "different plates")
    pairs = spec.most_sheets * spec.folding.pairs
    if spec.creep_steps and len(spec.creep_steps) < pairs:
        raise DomainError(
            f"creep: steps are given for {len(spec.creep_steps)} leaf pairs, and {pairs} are wanted",
            "creep_steps",
        )
    for one in spec.crossovers:
        if not math.isfinite(one.weight) or one.weight < 0:
            raise DomainError(
                f"weight of the crossover at page {one.page}: {one.weight!r} cannot be; 0 or more is right",
                "crossovers",
            )
    for name, firsts in (("crossovers", [one.page for one in spec.crossovers]), ("fixed", list(spec.fixed))):
        for page in firsts:
            if not 1 <= page < pages:
                raise DomainError(
                    f"{name}: there is no spread {page}–{page + 1} in a book of {pages} pages", name
                )
            if firsts.count(page) > 1:
                raise DomainError(f"{name}: the spread {page}–{page + 1} is listed twice", name)
    opened = {one.page for one in spec.crossovers} | set(spec.fixed)
    for page in sorted(opened):
        if page + 1 in opened:
            raise DomainError(
                f"page {page + 1} cannot face both page {page} and page {page + 2}; take one of the two spreads"
                " out",
                "crossovers",
            )


def has_plan(spec: PlanningSpec) -> bool:
    """True where some plan meets every wish but that for the plates."""
    return weigh_plans(spec, BookPath(spec)).is_feasible


def explain_no_plan(spec: PlanningSpec) -> str:
    """Return which wish no plan meets, and what would do.

    Args:
        spec: Wishes that no plan meets.
    """
    remedies = [*_drop_fixed(spec), *_add_blanks(spec), *_move_blanks(spec), *_change_sheets(spec)]
    if remedies:
        advice = "One of these would do: " + "; or ".join(remedies)
    else:
        advice = (
            "No single change of a wish would do; take back several, such as fixed and the limits of sheets"
        )
    return f"{_reason(spec)}. {advice}"


def _reason(spec: PlanningSpec) -> str:
    folded = len(spec.masters) - 2 * len(spec.tipped_at)
    sheets = _sheets(spec.fewest_sheets, spec.most_sheets)
    if not _fills(spec, folded):
        most = f"and at most {_count(spec.most_blanks, 'blank')}" if spec.most_blanks else "without blanks"
        return f"{_count(folded, 'page')} {most} do not fill gatherings of {sheets}"
    if spec.fixed and has_plan(replace(spec, fixed=())):
        if len(spec.fixed) == 1:
            return f"the spread {_spread(spec.fixed[0])} cannot lie in the middle of a gathering of {sheets}"
        listed = ", ".join(_spread(page) for page in sorted(spec.fixed))
        return f"the spreads {listed} cannot all lie in the middle of gatherings of {sheets}"
    odd = [one.page for one in spec.crossovers if one.page % 2]
    if odd:
        return (
            f"pages {min(odd)} and {min(odd) + 1} are the two sides of one leaf, and no blanks that are allowed make"
            " them face each other"
        )
    return f"no plan of gatherings of {sheets} meets every wish"


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _sheets(fewest: int, most: int) -> str:
    return _count(most, "sheet") if fewest == most else f"{fewest} to {most} sheets"


def _spread(page: int) -> str:
    return f"{page}–{page + 1}"


def _fills(spec: PlanningSpec, folded: int) -> bool:
    """True where so many pages, with blanks, make whole gatherings, whatever lies on them."""
    can = {0}
    most = (folded + spec.most_blanks) // 4
    for total in range(1, most + 1):
        if any(total - size in can for size in gathering_sizes(spec)):
            can.add(total)
    return any(folded <= 4 * total <= folded + spec.most_blanks for total in can)


def _drop_fixed(spec: PlanningSpec) -> list[str]:
    return [
        f"fixed: without {_spread(page)}"
        for page in sorted(spec.fixed)
        if has_plan(replace(spec, fixed=tuple(other for other in spec.fixed if other != page)))
    ]


def _add_blanks(spec: PlanningSpec) -> list[str]:
    more = min(MOST_BLANKS[spec.blanks], spec.most_blanks + 4 * spec.folding.pairs * spec.fewest_sheets)
    if more <= spec.most_blanks:
        return []
    wider = replace(spec, most_blanks=more)
    path = BookPath(wider)
    weights = weigh_plans(wider, path)
    ends = [place[1] for place in weights.arcs if path.is_end(place)]
    return [f"blanks: {min(ends)}"] if weights.is_feasible else []


def _move_blanks(spec: PlanningSpec) -> list[str]:
    if not spec.most_blanks:
        return []
    rules = (BlankRule.END, BlankRule.GATHERINGS, BlankRule.ANYWHERE)
    freer = rules[rules.index(spec.blanks) + 1 :]
    for rule in freer:
        if spec.most_blanks <= MOST_BLANKS[rule] and has_plan(replace(spec, blanks=rule)):
            return [f"blanks put in {'anywhere' if rule is BlankRule.ANYWHERE else 'between gatherings'}"]
    return []


def _change_sheets(spec: PlanningSpec) -> list[str]:
    free = replace(spec, creep_steps=())
    for fewest in range(spec.fewest_sheets - 1, 0, -1):
        if has_plan(replace(free, fewest_sheets=fewest)):
            return [f"gatherings of {_sheets(fewest, spec.most_sheets)}"]
    for most in range(spec.most_sheets + 1, min(MOST_SHEETS, spec.most_sheets + 4) + 1):
        if has_plan(replace(free, most_sheets=most)):
            return [f"gatherings of {_sheets(spec.fewest_sheets, most)}"]
    return []
