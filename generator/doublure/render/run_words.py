"""Words and drawings of the run that its page and its bench sheets share.

In: RunPlan, PressPlan. Out: words, LayingSpec values. Never: computing, HTML.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from doublure.quantities import format_length_mm
from doublure.render.draw.laying import LayingSpec
from doublure.trade.press.records import MarkKind, PressPlan, SheetLayout
from doublure.trade.press.run import count_fillings, order_backs
from doublure.trade.press.run_records import Joining, Laying, PrinterSpec, RunPlan, SideState, StackRun
from doublure.trade.press.sheet_way import WayChoice, WayReason
from doublure.workings.book import BookWorking
from doublure.workings.press_places import locate_pages

FRONTS_FILE, BACKS_FILE, BOTH_FILE = "fronts.pdf", "backs.pdf", "both-sides.pdf"
#: Which way to go through the list for the backs.
UP, DOWN = "up", "down"


def counted(count: int, one: str, many: str = "") -> str:
    """Return a count with its noun."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def print_folder(printer: PrinterSpec) -> str:
    """Return the folder of the print files of a printer.

    Examples:
        >>> spec = PrinterSpec("", (5, 5, 5), True, True, False, False, True, False, 0, False)
        >>> print_folder(spec)
        'print/any-printer'
    """
    return f"print/{printer.name or 'any-printer'}"


def backs_order(run: RunPlan) -> str:
    """Return which way one goes through the list of stacks for the backs: UP where the last comes first."""
    ordered = order_backs(run.stacks, run.printer)
    return UP if len(ordered) > 1 and ordered[0].number != run.stacks[0].number else DOWN


def order_words(run: RunPlan) -> str:
    """Return in which order the stacks are printed, as sentences."""
    if run.printer.by_machine:
        return "The printer turns each sheet by itself: one file, one stack after the other."
    if backs_order(run) == UP:
        return (
            "First all fronts, down the list. Then all backs, up the list: the sheets printed last lie on top, so "
            "the last stack comes first."
        )
    return "First all fronts, down the list. Then all backs, down the list again."


def sheet_way_words(way: WayChoice | None) -> str:
    """Return how the sheet lies against the way in which it is written, and why; "" where there is nothing to say."""
    if way is None:
        return ""
    return {
        WayReason.AS_GIVEN: "",
        WayReason.ROOM: "turned from the way in which it is written, since its pages fit only so",
        WayReason.GRAIN: "turned from the way in which it is written, so that the fold runs with the grain",
        WayReason.KEPT: "as it is written, against the grain: turned, marks or bleed would find less room",
    }[way.reason]


def edge_words(printer: PrinterSpec) -> str:
    """Return which edge goes in first."""
    return f"{'Short' if printer.feeds_short_edge else 'Long'} edge first."


def pile_words(run: RunPlan) -> str:
    """Return what is done with the pile between the fronts and the backs, as sentences."""
    over = "Turn the whole pile over" if run.turned_over else "Take the pile as it lies, not turned over"
    edge = "goes in first again" if run.same_edge_first else "goes in last now"
    words = f"{over}; the edge that went in first {edge}."
    if run.backs.page_turned:
        words += " The pages of the backs file are turned half round for it."
    if run.backs.print_up:
        words += " The head is that of the fronts, which lie below."
    return words


def laying_specs(run: RunPlan, layout: SheetLayout) -> tuple[LayingSpec, ...]:
    """Return how the pile is laid in for each pass; one pass for a printer that turns sheets by itself."""
    if run.printer.by_machine:
        edge = "short" if run.printer.turns_short_edge else "long"
        words = f"{edge_words(run.printer)} In the print dialogue: both sides, turned about the {edge} edge."
        return (_laying(run, layout, run.fronts, "Both sides", words, "blank"),)
    shown = "blank" if run.backs.print_up else "printed"
    return (
        _laying(run, layout, run.fronts, "Fronts", edge_words(run.printer), "blank"),
        _laying(run, layout, run.backs, "Backs", f"{edge_words(run.printer)} {pile_words(run)}", shown),
    )


def _laying(
    run: RunPlan, layout: SheetLayout, laying: Laying, title: str, words: str, upper: str
) -> LayingSpec:
    short, long = sorted((layout.sheet_width_mm, layout.sheet_height_mm))
    across, along = (short, long) if run.printer.feeds_short_edge else (long, short)
    return LayingSpec(title, across, along, laying.head_towards, upper, laying.print_up, words)


def file_words(one: StackRun, side: str, printer: PrinterSpec) -> str:
    """Return which page of which file, how often; what is instead where there is nothing to print.

    Args:
        one: The stack.
        side: "front" or "back".
        printer: The printer.
    """
    state, page = _side_of(one, side)
    if state.is_blank:
        return _blank_words(one, side, printer)
    if not page:
        return f"left out: its artwork cannot be used{_aside_words(one, side, printer)}"
    words = f"page {page} of {file_of(side, printer)}"
    if state.waits:
        first = "the other side" if printer.by_machine else "the front"
        return f"{words}, not yet: {first} is left out, since its artwork cannot be used"
    amount = amount_words(one, side, printer)
    return f"{words}, {amount}" if amount else words


def file_of(side: str, printer: PrinterSpec) -> str:
    """Return the file that has a side."""
    return BOTH_FILE if printer.by_machine else FRONTS_FILE if side == "front" else BACKS_FILE


def _side_of(one: StackRun, side: str) -> tuple[SideState, int]:
    return (one.fronts, one.front_page) if side == "front" else (one.backs, one.back_page)


def _blank_words(one: StackRun, side: str, printer: PrinterSpec) -> str:
    """Return what a blank side means for the pile."""
    words = "blank, nothing to print"
    if printer.by_machine or (one.fronts.is_blank and one.backs.is_blank):
        return words
    if side == "front":
        return (
            f"{words}; lay {counted(one.backs.lying, 'sheet')} on the pile as they are"
            if one.backs.left
            else words
        )
    return f"{words}; take these sheets out of the pile"


def _aside_words(one: StackRun, side: str, printer: PrinterSpec) -> str:
    """Return what becomes of the sheets of a side that is left out."""
    other = _side_of(one, "back" if side == "front" else "front")
    if side == "front" or printer.by_machine:
        return "; leave these sheets unprinted until it is there"
    if other[0].waits or other[0].is_blank:
        return "; lay these sheets aside until it is there"
    return "; take these sheets out of the pile and lay them aside until it is there"


def is_amount_open(one: StackRun, side: str, printer: PrinterSpec) -> bool:
    """Return whether the number of the backs is not known yet, since fronts are still to be printed."""
    if side == "front" or printer.by_machine or one.fronts.is_blank:
        return False
    return one.fronts.left > 0 and one.fronts.joining is not Joining.APART


def amount_words(one: StackRun, side: str, printer: PrinterSpec) -> str:
    """Return how many sheets are left of a side; "" for none."""
    state = _side_of(one, side)[0]
    if not state.left:
        return ""
    if is_amount_open(one, side, printer):
        return f"as many sheets as good fronts lie there ({state.left} if none spoils)"
    if side == "front" or printer.by_machine or one.fronts.is_blank:
        return _sheets(state.left, printer) + (" more" if state.is_begun else "")
    parts = []
    if state.lying:
        parts.append(f"{_sheets(state.lying, printer)}, one on each good front that lies there")
    if state.left > state.lying:
        parts.append(f"{counted(state.left - state.lying, 'sheet')} more, front and back by themselves")
    return "; ".join(parts)


def _sheets(count: int, printer: PrinterSpec) -> str:
    fillings = count_fillings(count, printer)
    return counted(count, "sheet") + (f" in {fillings} fillings" if fillings > 1 else "")


def joining_words(run: RunPlan, one: StackRun) -> str:
    """Return where in the pile fronts go that come late, as a sentence; "" where they go on top as ever."""
    if run.printer.by_machine or not one.fronts.left or one.fronts.waits:
        return ""
    if one.fronts.joining is Joining.APART:
        return (
            "Backs of this stack are through: print front and back of these by themselves, when the pile is "
            "done, and lay them to the finished sheets."
        )
    if one.fronts.joining is Joining.ON_TOP:
        return ""
    begun = [other.number for other in run.stacks if other.fronts.is_begun]
    before = max((number for number in begun if number < one.number), default=0)
    after = min(number for number in begun if number > one.number)
    where = f"between stack {before} and stack {after}" if before else f"at the end, next to stack {after}"
    return f"Not on top of the pile: lay them with the sheets of their stack, {where}."


def state_words(state: SideState) -> str:
    """Return where a side stands by the log."""
    if state.is_blank:
        return "nothing to do"
    waits = "waits for the artwork" if state.waits and state.left else ""
    if not state.is_begun:
        return waits or "not begun"
    done = waits or ("done" if not state.left else f"{state.left} left")
    spoiled = f", {state.spoiled} spoiled" if state.spoiled else ""
    return f"{state.made} good{spoiled}: {done}"


def is_done(one: StackRun) -> bool:
    """Return whether nothing of a stack is left to print."""
    return not one.fronts.left and not one.backs.left


def pages_by_stack(book: BookWorking | None, plan: PressPlan) -> dict[int, frozenset[int]]:
    """Return the pages of the book that the sheets of each stack carry, by the number of the stack.

    A plate may serve other stacks too, whose pages are then none of this one's.
    """
    found: dict[int, set[int]] = {}
    if book is not None:
        for one in locate_pages(book, plan).values():
            found.setdefault(one.stack, set()).add(one.page)
    return {number: frozenset(pages) for number, pages in found.items()}


def own_pages(pages: Iterable[int], own: frozenset[int] | None) -> tuple[int, ...]:
    """Return those pages that are a stack's own; all where nobody knows which are."""
    return tuple(page for page in pages if own is None or page in own)


def backing_pages(
    plan: PressPlan, one: StackRun, own: frozenset[int] | None = None
) -> tuple[int, int] | None:
    """Return a page of the front and the page on the back of its leaf; None where a side has none.

    Two pages of one leaf follow each other, the odd one first.
    """
    fronts, backs = (_printed_pages(plan, number, own) for number in (one.front, one.back))
    for page in fronts:
        behind = page + 1 if page % 2 else page - 1
        if behind in backs:
            return page, behind
    return None


def _printed_pages(plan: PressPlan, plate: int, own: frozenset[int] | None) -> list[int]:
    pages = (page for placed in plan.plate(plate).pages if placed.master for page in placed.pages)
    return sorted(own_pages(pages, own))


def check_words(
    plan: PressPlan,
    one: StackRun,
    side: str,
    own: frozenset[int] | None = None,
    show: Callable[[float], str] = format_length_mm,
) -> str:
    """Return what to look at on the first sheet of a stack; only marks that are printed are named.

    Args:
        plan: The plates.
        one: The stack.
        side: "front" or "back".
        own: Pages that the stack's sheets carry; None where nobody knows.
        show: Writes a length in mm with its unit.
    """
    if side == "front":
        pages = _printed_pages(plan, one.front, own)
        shown = ", ".join(map(str, pages[:4])) + (" …" if len(pages) > 4 else "")
        if not shown:
            return "clean"
        return f"{'page' if len(pages) == 1 else 'pages'} {shown} {_whole_words(plan, one, show)}"
    pair = backing_pages(plan, one, own)
    if plan.layout.crosses:
        meeting = "crosses on each other against the light"
    elif _has_cuts(plan.layout):
        meeting = "trims on each other"
    else:
        meeting = "the artwork of both sides in its place against the light"
    return f"page {pair[1]} behind page {pair[0]}, {meeting}" if pair is not None else meeting


def _has_cuts(layout: SheetLayout) -> bool:
    return any(line.kind is MarkKind.CUT for line in layout.lines)


def _whole_words(plan: PressPlan, one: StackRun, show: Callable[[float], str]) -> str:
    """Return how one sees that pages are whole and not scaled, with the marks that there are."""
    if _has_cuts(plan.layout):
        return "whole inside the cut marks"
    trim = plan.plate(one.front).pages[0].trim
    return (
        "whole, and the sheet not scaled: no cut marks fit, so measure the artwork; a page is "
        f"{show(trim.width_mm)} × {show(trim.height_mm)}"
    )
