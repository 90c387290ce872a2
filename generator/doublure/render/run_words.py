"""Words and drawings of the run that its page and its bench sheets share.

In: RunPlan, PressPlan. Out: words, LayingSpec values. Never: computing, HTML.
"""

from __future__ import annotations

from collections.abc import Iterable

from doublure.render.draw.laying import LayingSpec
from doublure.trade.press.records import PressPlan, SheetLayout
from doublure.trade.press.run import order_backs
from doublure.trade.press.run_records import Laying, PrinterSpec, RunPlan, SideState, StackRun
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


def file_words(one: StackRun, side: str, by_machine: bool) -> str:
    """Return which page of which file, how often; what is instead where there is nothing to print.

    Args:
        one: The stack.
        side: "front" or "back".
        by_machine: True where both sides are in one file.
    """
    state, page = (one.fronts, one.front_page) if side == "front" else (one.backs, one.back_page)
    if state.is_blank:
        return "blank, nothing to print"
    if not page:
        return "left out: its artwork cannot be used"
    file = BOTH_FILE if by_machine else FRONTS_FILE if side == "front" else BACKS_FILE
    words = f"page {page} of {file}, {counted(one.total, 'sheet')}"
    if one.feeds > 1:
        words += f" in {one.feeds} fillings"
    return words


def state_words(state: SideState) -> str:
    """Return where a side stands by the log."""
    if state.is_blank:
        return "nothing to do"
    if not state.made and not state.spoiled:
        return "not begun"
    done = "done" if not state.left else f"{state.left} left"
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


def check_words(plan: PressPlan, one: StackRun, side: str, own: frozenset[int] | None = None) -> str:
    """Return what to look at on the first sheet of a stack.

    Args:
        plan: The plates.
        one: The stack.
        side: "front" or "back".
        own: Pages that the stack's sheets carry; None where nobody knows.
    """
    if side == "front":
        pages = _printed_pages(plan, one.front, own)
        shown = ", ".join(map(str, pages[:4])) + (" …" if len(pages) > 4 else "")
        return (
            f"{'page' if len(pages) == 1 else 'pages'} {shown} whole inside the cut marks"
            if shown
            else "clean"
        )
    pair = backing_pages(plan, one, own)
    crosses = "crosses on each other against the light" if plan.layout.crosses else "trims on each other"
    return f"page {pair[1]} behind page {pair[0]}, {crosses}" if pair is not None else crosses
