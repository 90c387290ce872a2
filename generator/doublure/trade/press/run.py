"""The run: stacks with their spares, pages of the print files, how the pile is laid in, time, where to go on.

In: a PressPlan, copies, a printer, figures of the log. Out: RunPlan, Laying. Never: notes, sentences.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.trade.making.spares import SpareRule, compute_spares
from doublure.trade.press.records import PressPlan, PressStack
from doublure.trade.press.run_records import Joining, Laying, PrinterSpec, RunPlan, StackRun
from doublure.trade.press.run_tally import BACKS, FRONTS, PrintedFigure, Tally

#: A share of a sheet that is left by adding fractions must not become a sheet.
_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class SideTime:
    """Time of one printed side.

    Attributes:
        minutes: Minutes a side.
        u: Standard uncertainty, minutes; None where one entry alone tells.
        sides: Printed sides that it rests on.
    """

    minutes: float
    u: float | None
    sides: int


def turns_over(prints_upper: bool, lands_face_up: bool) -> bool:
    """Return whether the pile, as it lies in the output, must be turned over to be printed on its other side.

    A pile that lies print up has its blank sides down. It must be laid in with the blank side up where the
    upper side is printed, down where the lower one is: turned over where "print up" and "upper side is
    printed" are both so or both not.
    """
    return prints_upper == lands_face_up


def is_last_on_top(prints_upper: bool, lands_face_up: bool) -> bool:
    """Return whether the last sheet printed lies on top when the pile is laid in again as a whole.

    Sheets come to lie one on the other, the last on top; turning the pile over puts the first on top.
    """
    return not turns_over(prints_upper, lands_face_up)


def same_edge_first(printer: PrinterSpec) -> bool:
    """Return whether the edge that went in first for the fronts does so for the backs.

    As lay_pile: turning about an edge that runs the way the sheets go leaves the leading edge in front.
    """
    return printer.turns_short_edge != printer.feeds_short_edge


def lay_pile(printer: PrinterSpec, sheet_width_mm: float, sheet_height_mm: float) -> tuple[Laying, Laying]:
    """Return how the pile is laid in for the fronts and for the backs.

    Geometry. One stands before the tray and looks the way that the sheets go: "in" is ahead, "out" behind.
    A machine prints the same face of what lies in the tray (upper or lower) in every pass, and puts the head
    of a page to the same side of the tray, since both files have pages of one size. So the sheet as laid in
    for its back is the sheet as laid in for its front, turned over about one of the two directions of its
    edges; `printer.turns_short_edge` says about which.

    - Which edge leads: a turn about an edge that runs the way the sheets go keeps the leading edge, a turn
      about the other puts the last edge first. Sheets fed short edge first have their long edges along the
      way. Hence the same edge leads where the edge that feeds and the edge of the turn are not the same kind.
    - Where the head of the fronts points: in the first case "in" and "out" stay and "left" and "right" change
      places, in the second the other way about.
    - Half round: turned about the direction from head to tail, head stays head, and the back is right as it
      is in the file; turned about the other direction, head and tail change places, and the page in the file
      must be turned half round. On a sheet that is higher than wide the edges from head to tail are the long
      ones, else the short ones (a square counts as higher).

    Where the head points in the first place is the business of the printer's driver. Taken here: where the
    head edge or the tail edge leads, the head goes in first (common practice, no published source); where a
    side edge leads, the page is turned a quarter anticlockwise, seen on the printed face, from that. A
    driver that does it the other way swaps "in" and "out", "left" and "right" for both passes alike, which
    changes neither `page_turned` nor what same_edge_first() and turns_over() say.

    Args:
        printer: The printer. One that prints both sides by itself turns the sheet inside; the same holds.
        sheet_width_mm, sheet_height_mm: The sheet with the heads of its pages up, mm, > 0.

    Returns:
        Laying for the fronts and for the backs. For the backs `head_towards` is where the head of the
        fronts, which are printed already, points.

    Raises:
        DomainError: A side of the sheet is not finite and positive.

    Source:
        Rigid turns of a card. The quarter turn of a page across the sheet: RFC 8011, 5.2.10,
        "orientation-requested" (from memory).

    Examples:
        >>> desk = PrinterSpec("", (5, 5, 5), True, True, False, False, True, False, 0, False)
        >>> fronts, backs = lay_pile(desk, 297, 210)
        >>> fronts.head_towards, backs.head_towards, backs.page_turned
        ('left', 'right', True)
    """
    for name, value in (("sheet_width_mm", sheet_width_mm), ("sheet_height_mm", sheet_height_mm)):
        if not (math.isfinite(value) and value > 0):
            raise DomainError(f"the sheet must be more than 0 mm each way, not {value:g}", name)
    is_upright = sheet_height_mm >= sheet_width_mm
    head_leads = is_upright == printer.feeds_short_edge
    quarter = "left" if printer.prints_upper else "right"
    first = "in" if head_leads else quarter
    keeps = ("in", "out") if same_edge_first(printer) else ("left", "right")
    opposite = {"in": "out", "out": "in", "left": "right", "right": "left"}
    then = first if first in keeps else opposite[first]
    turned = printer.turns_short_edge == is_upright
    up = printer.prints_upper
    return Laying(up, True, first, False), Laying(up, False, then, turned)


def time_side(figures: Sequence[PrintedFigure], sides: Sequence[int]) -> SideTime | None:
    """Return the time of one printed side; None where no entry tells both time and sheets.

    The sum of the minutes over the sum of the sides; its uncertainty from how the entries scatter about it:
    u² = n/(n - 1) · Σ(minutes - ratio · sides)² / (Σ sides)².

    Args:
        figures: Entries of the log.
        sides: Printed sides of each of them.

    Source:
        Ratio estimator: W. G. Cochran, Sampling Techniques, 3rd ed. 1977, chapter 6 (from memory).

    Examples:
        >>> one = PrintedFigure((), 30, minutes=60)
        >>> time_side([one], [60]).minutes
        1.0
    """
    pairs = [
        (one.minutes, count)
        for one, count in zip(figures, sides, strict=True)
        if one.minutes is not None and count > 0
    ]
    if not pairs:
        return None
    total = sum(count for _, count in pairs)
    ratio = sum(minutes for minutes, _ in pairs) / total
    number = len(pairs)
    if number < 2:
        return SideTime(ratio, None, total)
    scatter = sum((minutes - ratio * count) ** 2 for minutes, count in pairs)
    return SideTime(ratio, math.sqrt(number / (number - 1) * scatter) / total, total)


def count_wanted(per_copy: float, copies: int) -> int:
    """Return the printed sheets for so many copies, rounded up once."""
    return math.ceil(per_copy * copies - _SLACK)


def plan_run(
    plan: PressPlan,
    copies: int,
    printer: PrinterSpec,
    *,
    spare_rule: SpareRule | None = None,
    failing: Mapping[int, float] | None = None,
    unprintable: Collection[int] = (),
    printed: Sequence[PrintedFigure] = (),
) -> RunPlan:
    """Return the run of a book on one printer.

    Spares of a stack: what the maker's rule gives, or the sheets that are expected to fail at crossovers,
    rounded up, whichever is more. Spoiled sheets come out of the pile and out of the spares (Tally.states), so the
    backs are as many as good fronts lie there; sheets that are spoiled at their backs need their fronts again.

    Order: all fronts by the number of the stack, then the backs, the last stack first where the last sheet
    printed lies on top of the pile. A machine that prints both sides takes stack after stack.

    Args:
        plan: Plates and stacks.
        copies: Copies of the book, ≥ 0.
        printer: The printer.
        spare_rule: The maker's rule; None for no spares.
        failing: By stack, the share of its sheets that is expected to fail at a crossover, 0 to 1.
        unprintable: Numbers of plates whose artwork cannot be used.
        printed: Entries of the log on printing, oldest first. Where one names several stacks, its good sheets
            fill them in order, what is over goes to the last, and its spoiled ones are those of the last that
            was filled.

    Raises:
        DomainError: Copies below 0, a share outside 0 to 1, an entry on a stack that there is not, or as
            compute_spares and lay_pile.
    """
    if copies < 0:
        raise DomainError(f"the copies must be 0 or more, not {copies}", "copies")
    shares = failing or {}
    for number, share in shares.items():
        if not 0 <= share <= 1:
            raise DomainError(f"the failing share of stack {number} must be between 0 and 1", "failing")
    blank = {plate.number for plate in plan.plates if plate.is_blank}
    wanted = {stack.number: count_wanted(stack.per_copy, copies) for stack in plan.stacks}
    spares = {
        number: max(compute_spares(count, spare_rule), math.ceil(count * shares.get(number, 0.0) - _SLACK))
        for number, count in wanted.items()
    }
    tally = Tally(plan, {number: wanted[number] + spares[number] for number in wanted}, blank)
    sides = [tally.add(figure) for figure in printed]
    time = time_side(printed, sides)
    front_pages, back_pages = number_pages(plan, printer, unprintable)
    stacks = []
    for stack in plan.stacks:
        number = stack.number
        waits = find_waiting(stack, printer, unprintable)
        fronts, backs = tally.states(stack, wanted[number], waits)
        stacks.append(
            StackRun(
                number=number,
                front=stack.front,
                back=stack.back,
                sheets=stack.sheets,
                wanted=wanted[number],
                spares=spares[number],
                front_page=front_pages.get(number, 0),
                back_page=back_pages.get(number, 0),
                fronts=fronts,
                backs=backs,
                minutes=None if time is None else time.minutes * (fronts.ready + backs.ready),
            )
        )
    ready = sum(one.fronts.ready + one.backs.ready for one in stacks)
    laying = lay_pile(printer, plan.layout.sheet_width_mm, plan.layout.sheet_height_mm)
    return RunPlan(
        printer=printer,
        stacks=tuple(stacks),
        fronts=laying[0],
        backs=laying[1],
        minutes_per_side=None if time is None else time.minutes,
        minutes_u=None if time is None else time.u,
        timed_sides=0 if time is None else time.sides,
        minutes=None if time is None else sum(one.minutes or 0.0 for one in stacks),
        resume=find_resume(stacks, printer),
        copies=copies,
        unassigned=sum(not figure.targets for figure in printed),
        turned_over=turns_over(printer.prints_upper, printer.lands_face_up),
        same_edge_first=same_edge_first(printer),
        minutes_left_u=None if time is None or time.u is None else time.u * ready,
    )


def order_backs(stacks: Sequence[StackRun], printer: PrinterSpec) -> tuple[StackRun, ...]:
    """Return the stacks in the order in which their backs are printed."""
    is_reversed = printer.last_on_top and not printer.by_machine
    return tuple(reversed(stacks)) if is_reversed else tuple(stacks)


def find_waiting(
    stack: PressStack, printer: PrinterSpec, unprintable: Collection[int] = ()
) -> tuple[bool, bool]:
    """Return for the fronts and the backs of a stack whether they cannot be printed yet.

    By hand a side waits for its own artwork, and the backs for that of their fronts. A machine prints both sides
    in one go, so that both wait where either does.
    """
    front, back = stack.front in unprintable, stack.back in unprintable
    either = front or back
    return (either, either) if printer.by_machine else (front, either)


def find_resume(stacks: Sequence[StackRun], printer: PrinterSpec) -> tuple[int, str] | None:
    """Return the stack and side to go on with; None where all is printed, or where the rest waits for artwork.

    By hand: the fronts, the backs of what lies there, and last the sheets that are printed anew by themselves.
    """
    if printer.by_machine:
        for one in stacks:
            if one.fronts.ready or one.backs.ready:
                return one.number, FRONTS if one.fronts.ready else BACKS
        return None
    for one in stacks:
        if one.fronts.ready and one.fronts.joining is not Joining.APART:
            return one.number, FRONTS
    for one in order_backs(stacks, printer):
        if one.backs.ready and one.backs.lying:
            return one.number, BACKS
    for one in stacks:
        if one.fronts.ready:
            return one.number, FRONTS
    return None


def count_fillings(sheets: int, printer: PrinterSpec) -> int:
    """Return how often the tray is filled for so many sheets; once where nobody said what it holds."""
    return -(-sheets // printer.holds) if printer.holds else min(1, sheets)


def number_pages(
    plan: PressPlan, printer: PrinterSpec, unprintable: Collection[int] = ()
) -> tuple[dict[int, int], dict[int, int]]:
    """Return the page of each stack in the fronts file and in the backs file, without those left out.

    The backs come in the order in which the pile is fed, the last stack first where its last sheet lies on top.
    In the one file of a machine that prints both sides every stack that prints anything has two pages, its
    front and its back, of which one may be empty.

    Args:
        plan: Plates and stacks.
        printer: The printer.
        unprintable: Numbers of plates whose artwork cannot be used.
    """
    left_out = {plate.number for plate in plan.plates if plate.is_blank} | set(unprintable)

    def is_printed(plate: int) -> bool:
        return plate not in left_out

    fronts = [stack.number for stack in plan.stacks if is_printed(stack.front)]
    backs = [stack.number for stack in plan.stacks if is_printed(stack.back)]
    if printer.by_machine:
        either = sorted({*fronts, *backs})
        place = {number: index for index, number in enumerate(either)}
        return (
            {number: 2 * place[number] + 1 for number in fronts},
            {number: 2 * place[number] + 2 for number in backs},
        )
    if printer.last_on_top:
        backs.reverse()
    return (
        {number: index for index, number in enumerate(fronts, 1)},
        {number: index for index, number in enumerate(backs, 1)},
    )
