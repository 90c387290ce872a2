"""Crossovers as they will meet: where each half is printed, and what the printer and the folding do to it.

In: the book, the plates, the register. Out: CrossoverMisfit values. Never: the sums (trade/press/register).
"""

from __future__ import annotations

import functools
from collections.abc import Mapping

from doublure.errors import DomainError
from doublure.trade.book.crossovers import CrossoverKind
from doublure.trade.book.gatherings import Side
from doublure.trade.book.page_map import MappedPage
from doublure.trade.press.affine import IDENTITY
from doublure.trade.press.records import Folding, PressPlan
from doublure.trade.press.register.crossovers import (
    CrossoverHalf,
    CrossoverSpec,
    locate_gutter,
    predict_crossover,
)
from doublure.trade.press.register.records import CrossoverMisfit
from doublure.workings.book import BookWorking
from doublure.workings.press_places import PrintedPage
from doublure.workings.press_records import RegisterWorking


def work_crossovers(
    book: BookWorking,
    plan: PressPlan,
    places: Mapping[int, PrintedPage],
    register: RegisterWorking | None,
    tolerance_mm: float,
    corrected: bool,
) -> tuple[CrossoverMisfit, ...]:
    """Predict every crossover of the book, in the order of its pages.

    Args:
        book: The book.
        plan: The plates.
        places: Where each page is printed.
        register: Of the printer on the stock of the book.
        tolerance_mm: What the maker accepts.
        corrected: True where both sides are printed with their corrections.
    """
    found = []
    for one in book.crossovers:
        left, right = one.place.left, one.place.right
        halves = [_half(page, book, plan, places) for page in (left, right)]
        printed = [places.get(page.page) for page in (left, right)]
        spec = CrossoverSpec(
            kind=one.place.kind,
            left=halves[0],
            right=halves[1],
            fit=register.fit if register is not None else None,
            sheets=register.readings if register is not None else (),
            corrected=corrected,
            same_sheet=one.place.kind is CrossoverKind.TWO_SHEETS and _is_same_sheet(printed),
            head_is_folded=plan.layout.folding is not Folding.FOLIO,
            tolerance_mm=tolerance_mm,
            front=register.front_correction if register is not None and corrected else IDENTITY,
        )
        try:
            found.append(_predict(spec))
        except DomainError:
            # A tolerance of nothing, or figures beyond all measure, have no prediction.
            continue
    return tuple(found)


@functools.lru_cache(maxsize=512)
def _predict(spec: CrossoverSpec) -> CrossoverMisfit:
    """Predict one crossover; kept, since a live preview asks again and again for the same."""
    return predict_crossover(spec)


def _half(
    page: MappedPage, book: BookWorking, plan: PressPlan, places: Mapping[int, PrintedPage]
) -> CrossoverHalf:
    placed = places.get(page.page)
    if placed is None:
        # A leaf tipped in is printed by itself; it is taken to lie in the middle of its sheet.
        half_height = plan.plates[0].pages[0].trim.height_mm / 2
        side = Side.FRONT if page.is_recto else Side.BACK
        return CrossoverHalf(page.page, side, (0.0, -half_height), (0.0, half_height), is_tipped=True)
    trim = placed.trim
    head, tail = locate_gutter(
        placed.side,
        placed.fold_x_mm,
        trim.top_mm,
        trim.bottom_mm,
        placed.placed.turned,
        plan.layout.sheet_width_mm,
        plan.layout.sheet_height_mm,
    )
    push_out = push_out_u = 0.0
    if book.creep is not None:
        sheets = book.page_map.sheets_in_gatherings[placed.gathering - 1]
        measured = book.creep.gatherings[sheets].sheets[placed.pair - 1].push_out_mm
        push_out, push_out_u = measured.value, measured.u or 0.0
    return CrossoverHalf(
        page=page.page,
        side=placed.side,
        head_mm=head,
        tail_mm=tail,
        push_out_mm=push_out,
        push_out_u_mm=push_out_u,
        shift_mm=placed.placed.creep_shift_mm,
    )


def _is_same_sheet(printed: list[PrintedPage | None]) -> bool:
    one, other = printed
    return (
        one is not None
        and other is not None
        and ((one.gathering, one.sheet) == (other.gathering, other.sheet))
    )
