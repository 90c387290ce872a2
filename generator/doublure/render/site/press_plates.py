"""The page of the plates: each stack drawn as it will print, what the sheet is, what is wrong with artwork.

In: SiteContext, PressWorking. Out: SitePage. Never: computing.
"""

from __future__ import annotations

from doublure.render.draw.plate import PlacedPicture, PlatePage, PlateSide, StackSpec, draw_stack
from doublure.render.html import (
    Html,
    Link,
    escape_text,
    render_answer,
    render_caution,
    render_link,
    render_rows,
    render_working,
)
from doublure.render.plan import SitePage, page_path
from doublure.render.run_words import own_pages, sheet_way_words
from doublure.render.site.context import SiteContext
from doublure.render.site.drawings import NARROW_PX, fore_edge_html
from doublure.render.site.frame import PageFrame
from doublure.render.site.press_downloads import add_downloads
from doublure.render.site.press_tables import findings_table, plates_table, stacks_table
from doublure.render.site.press_words import (
    LACKING_WORDS,
    METHOD,
    fault_words,
    fine_mm,
    folding_words,
    per_copy_words,
    sheet_words,
)
from doublure.render.site.wordings import count_words
from doublure.render.svg import render_svg
from doublure.render.table import render_table_html
from doublure.trade.press.folding import FoldKind, describe_folding
from doublure.trade.press.records import Box, Lacking, PlacedPage, PressPlan, PressPlate, SheetLayout
from doublure.trade.press.room import advise_room
from doublure.trade.press.sheet_way import WayReason
from doublure.workings.press_records import PressWorking

PATH = "book/plates.md"
#: Stacks beyond these are left to the table.
MOST_DRAWN = 60
STACK_PX = 640
LEGEND = (
    "As the sheets will print, the back as one sees it from the back. Short strokes: where to cut; dashed: where to "
    "fold; dashed and dotted: a fold to slit. Crosses lie on each other against the light. The wedge in each page "
    "points to its head, the numbers are the pages that it serves."
)


def lacking_answer(press: PressWorking | None) -> Html:
    """Return what is missing for the plates, as the answer of a page."""
    if press is None or not press.lacking:
        return render_answer(
            "There are no plates yet: the book has no page sequence that fits its gatherings."
        )
    said = [LACKING_WORDS[word] for word in press.lacking if word in LACKING_WORDS]
    words = f"There are no plates yet. Missing: {'; '.join(said)}." if said else "There are no plates yet."
    if press.lacking_words:
        words += f" {press.lacking_words[:1].upper()}{press.lacking_words[1:].rstrip('.')}."
    return render_answer(words)


def plates_page(ctx: SiteContext, press: PressWorking | None) -> SitePage:
    """Return the page of the plates."""
    frame = PageFrame(PATH, "Plates", kind="plates")
    if press is None or press.plan is None:
        frame.add(lacking_answer(press))
        frame.add(fore_edge_html(ctx, frame))
        return frame.finish()
    plan = press.plan
    printed = sum(not plate.is_blank for plate in plan.plates)
    words = (
        f"{count_words(printed, 'plate')} to print in {count_words(len(plan.stacks), 'stack')}, on sheets of "
        f"{_sheet_size(ctx, plan.layout)}, {folding_words(plan)}."
    )
    if press.unprintable:
        words += (
            f" {count_words(len(press.unprintable), 'plate')} left out: artwork is missing or cannot be used."
        )
    frame.add(render_answer(words))
    frame.add(fore_edge_html(ctx, frame))
    if press.findings:
        masters = len({one.master for one in press.findings})
        link = render_link(Link("to look at", "#artwork"))
        frame.add(
            f"<p>The artwork of {count_words(masters, 'master')} has something {link} before printing.</p>"
        )
    _faults(ctx, frame, press)
    _room(ctx, frame, plan)
    frame.heading("Stack by stack", "stacks")
    frame.add(_stacks(ctx, frame, press, plan))
    _findings(ctx, frame, press)
    _sheet(ctx, frame, press, plan)
    _collation(frame, plan)
    frame.heading("The table", "table")
    for table in (plates_table(ctx, frame, press, plan), stacks_table(frame, plan, press.run)):
        csv, json = frame.href(f"data/{table.name}.csv"), frame.href(f"data/{table.name}.json")
        frame.add(render_table_html(table, csv_href=csv, json_href=json, wide=True))
    add_downloads(ctx, frame, "run")
    return frame.finish()


def _sheet_size(ctx: SiteContext, layout: SheetLayout) -> str:
    return f"{ctx.length(layout.sheet_width_mm)} × {ctx.length(layout.sheet_height_mm)}"


def _faults(ctx: SiteContext, frame: PageFrame, press: PressWorking) -> None:
    """Add the artwork that keeps plates back, and how much else there is to look at."""
    rows = []
    for ident, fault in press.faults.items():
        words = fault_words(fault, ctx.name_of(f"masters/{ident}"))
        rows.append(f"<li>{render_link(Link(words, frame.href(page_path('masters', ident))))}</li>")
    if rows:
        frame.heading("Artwork that cannot be printed", "faults")
        frame.add(f'<ul class="db-warnings">{"".join(rows)}</ul>')


def _findings(ctx: SiteContext, frame: PageFrame, press: PressWorking) -> None:
    """Add what is to be looked at in the artwork of the plates, with its numbers."""
    if not press.findings:
        return
    frame.heading("Artwork to look at", "artwork")
    table = findings_table(ctx, frame, press)
    csv, json = frame.href(f"data/{table.name}.csv"), frame.href(f"data/{table.name}.json")
    frame.add(render_table_html(table, csv_href=csv, json_href=json, wide=True))


def placed_picture(ctx: SiteContext, frame: PageFrame, page: PlacedPage) -> PlacedPicture | None:
    """Return the artwork of a page in its place on the sheet; None where it may or can not be shown."""
    note = ctx.work.replica.masters.get(page.master or "")
    if note is None:
        return None
    shown = ctx.artwork(frame, note, note.title)
    if shown is None:
        return None
    bleed, art = note.bleed_mm, page.artwork
    whole = Box(art.left_mm - bleed, art.top_mm - bleed, art.width_mm + 2 * bleed, art.height_mm + 2 * bleed)
    return PlacedPicture(shown.small.href, whole, _meet(whole, page.clip))


def _meet(one: Box, other: Box) -> Box:
    left, top = max(one.left_mm, other.left_mm), max(one.top_mm, other.top_mm)
    right, bottom = min(one.right_mm, other.right_mm), min(one.bottom_mm, other.bottom_mm)
    return Box(left, top, max(right - left, 0.0), max(bottom - top, 0.0))


def plate_side(
    ctx: SiteContext,
    frame: PageFrame,
    press: PressWorking,
    plate: PressPlate,
    side: str,
    *,
    pictures: bool = True,
    own: frozenset[int] | None = None,
) -> PlateSide:
    """Return one side of a stack as it is drawn.

    Args:
        ctx: The context.
        frame: The page that holds the drawing.
        press: The working.
        plate: The plate.
        side: "front" or "back".
        pictures: True for artwork in place, False for the names of the masters.
        own: Pages to name, where not all that the plate serves are meant.
    """
    pages = []
    for page in plate.pages:
        ident = page.master or ""
        picture = placed_picture(ctx, frame, page) if pictures and ident else None
        pages.append(
            PlatePage(
                words=ctx.name_of(f"masters/{ident}") if ident else "blank",
                pages=own_pages(page.pages, own),
                trim=page.trim,
                turned=page.turned,
                picture=picture,
                href=frame.href(page_path("masters", ident)) if ident and pictures else "",
            )
        )
    instead = ""
    if plate.number in press.unprintable:
        bad = [ctx.name_of(f"masters/{ident}") for ident in plate.masters if ident in press.faults]
        instead = f"left out: {', '.join(bad) or 'artwork is missing'}"
    elif plate.is_blank:
        instead = "blank, nothing to print"
    return PlateSide(f"{side}: plate {plate.number}", tuple(pages), instead, plate.collation_marks)


def _stacks(ctx: SiteContext, frame: PageFrame, press: PressWorking, plan: PressPlan) -> Html:
    drawn = ""
    for stack in plan.stacks[:MOST_DRAWN]:
        sides = [
            plate_side(ctx, frame, press, plan.plate(number), side)
            for number, side in ((stack.front, "front"), (stack.back, "back"))
        ]
        spec = StackSpec("", plan.layout, sides[0], sides[1])
        drawing = "".join(
            render_svg(draw_stack(spec, width), f"stack-{name[0]}-{stack.number}", f"dw-{name}")
            for width, name in ((STACK_PX, "broad"), (NARROW_PX, "narrow"))
        )
        shift = max(
            (
                page.creep_shift_mm
                for number in (stack.front, stack.back)
                for page in plan.plate(number).pages
            ),
            default=0.0,
        )
        facts = [per_copy_words(stack.per_copy), sheet_words(stack.sheets)]
        if shift:
            facts.append(f"artwork moved {fine_mm(shift)} to the fold for creep")
        drawn += (
            f'<section><h3 id="stack-{stack.number}">Stack {stack.number}</h3>'
            f'<p class="db-stacks__facts">{escape_text("; ".join(facts))}</p>{drawing}</section>'
        )
    legend = f'<p class="db-stacks__legend">{LEGEND}</p>'
    rest = len(plan.stacks) - MOST_DRAWN
    more = f"<p>{count_words(rest, 'more stack')} are in the table below.</p>" if rest > 0 else ""
    return Html(f'<div class="db-wide">{legend}<div class="db-stacks">{drawn}</div>{more}</div>')


_MARK_WORDS = {
    "bleed": "bleed",
    "cut": "marks for cutting",
    "fold": "marks for folding",
    "slit": "marks for slitting",
    "cross": "register crosses",
    "label": "the label",
}


def _lacking(lacking: Lacking) -> str:
    name = _MARK_WORDS[lacking.what.value]
    where = (
        f" {'between pages' if lacking.edge == 'between' else 'at the ' + lacking.edge}"
        if lacking.edge
        else ""
    )
    return f"{name}{where} ({fine_mm(lacking.has_mm)} of the {fine_mm(lacking.wants_mm)} that it takes)"


#: What the maker has to do where a mark is not printed, in the order in which it is said.
_INSTEAD = {
    "label": "Nothing on the plates tells one stack from another: write its number on each pile as it comes out.",
    "fold": "Not every fold is marked: fold edge to edge, and hold one sheet against the light before the rest.",
    "slit": "Not every fold to slit is marked.",
    "cut": "Not every cut is marked: measure from the fold.",
    "cross": "No crosses tell whether the back lies on the front: hold the pages themselves against the light.",
    "bleed": "Ink that runs to the trim is cut short there: cut exactly, or a white edge is left.",
}


def _room(ctx: SiteContext, frame: PageFrame, plan: PressPlan) -> None:
    """Say what found no room on the sheet, what it means at the bench, and what would help."""
    layout = plan.layout
    if not layout.lacking or not plan.plates:
        return
    names = {one.what.value for one in layout.lacking}
    trim = plan.plates[0].pages[0].trim
    said = [words for name, words in _INSTEAD.items() if name in names]
    advice = advise_room(
        (layout.sheet_width_mm, layout.sheet_height_mm),
        (trim.width_mm, trim.height_mm),
        layout.folding,
        layout.pairs,
        layout.bleed_mm,
    )
    helps = []
    if advice.sheet_mm is not None:
        width, height = advice.sheet_mm
        helps.append(f"A sheet of {ctx.length(width)} × {ctx.length(height)} or more has room for all of it.")
    if advice.bare is not None:
        left = list(dict.fromkeys(_MARK_WORDS[one.what.value] for one in advice.bare))
        but = f" but {', '.join(left)}" if left else ""
        helps.append(f"Where no artwork runs to the trim, bleed: 0 leaves room for all marks{but}.")
    lacks = [
        "all of the bleed" if name == "bleed" else words
        for name, words in _MARK_WORDS.items()
        if name in names
    ]
    listed = " and ".join(filter(None, (", ".join(lacks[:-1]), lacks[-1])))
    frame.add(
        render_caution(
            [f"There is no room for {listed}.", " ".join(said), " ".join(helps) or "Use a larger sheet."],
            title="room on the sheet",
        )
    )


def _sheet(ctx: SiteContext, frame: PageFrame, press: PressWorking, plan: PressPlan) -> None:
    layout = plan.layout
    rtl = ctx.work.book is not None and ctx.work.book.page_map.rtl
    pattern = describe_folding(layout.folding, rtl)
    head, fore_edge = pattern.slits(FoldKind.HEAD), pattern.slits(FoldKind.FORE_EDGE)
    slits = "none"
    if head or fore_edge:
        slits = f"{count_words(head, 'pair')} of leaves at the head"
        if fore_edge:
            slits += f", {fore_edge} at the fore-edge"
        slits += ", before or after sewing"
    grain = {
        True: "with the fold at the spine",
        False: "against the fold at the spine, which cracks then and keeps the leaves from lying flat",
        None: "open: the grain of the sheet is not known",
    }[layout.fold_grain_ok]
    left, top, right, bottom = layout.room_mm
    frame.heading("The sheet", "sheet")
    frame.add(
        render_rows(
            [
                ("Sheet", "; ".join(filter(None, (_sheet_size(ctx, layout), sheet_way_words(press.way))))),
                ("Folding", folding_words(plan)),
                ("Folds to slit", slits),
                (
                    "Sum rule",
                    f"on one sheet by itself, two pages side by side across the spine fold add up to {pattern.page_sum}",
                ),
                ("Grain", grain),
                (
                    "Room round the trims",
                    f"{fine_mm(left)} left, {fine_mm(right)} right, {fine_mm(top)} above, {fine_mm(bottom)} below",
                ),
                ("Bleed", fine_mm(layout.bleed_mm) if layout.bleed_mm else "none"),
                ("No room for", "; ".join(_lacking(one) for one in layout.lacking)),
                (
                    "Creep",
                    f"corrected in steps of {fine_mm(plan.creep_step_mm)}"
                    if plan.creep_step_mm
                    else "not corrected (creep: step: in journal/book.yml)",
                ),
            ]
        )
    )
    if layout.fold_grain_ok is False:
        lies = layout.sheet_width_mm > layout.sheet_height_mm
        other = "shorter" if lies == (pattern.grain_along == "height") else "longer"
        kept = press.way is not None and press.way.reason is WayReason.KEPT
        why = "; turned, marks or bleed would find less room" if kept else ", whichever way the sheet is laid"
        instead = "take a larger one" if kept else "fold it another way"
        frame.add(
            render_caution(
                [
                    f"The spine fold runs against the grain{why}. Use a sheet whose grain runs along its {other} side, "
                    f"or {instead}."
                ],
                title="grain",
            )
        )
    frame.add(
        render_working(
            [
                "A plate is the masters of its pages and their creep steps; plates that are alike are one, wherever "
                "they serve. Sheets that carry the same two plates are one stack."
            ],
            method=Link("Folding, plates, marks", frame.href(METHOD)),
            source="a printers’ dictionary, by its wording W. Savage, 1841, p. 329, for the sum of facing pages",
        )
    )


def _collation(frame: PageFrame, plan: PressPlan) -> None:
    frame.heading("Collation marks", "collation")
    state = "On" if plan.collation else "Off"
    change = plan.stacks_collated - plan.stacks_plain
    words = (
        f"{state}. Without them the book is printed in {count_words(plan.stacks_plain, 'stack')}, with them in "
        f"{plan.stacks_collated}"
    )
    words += (
        f": {change} more, because the outermost sheets of no two gatherings are alike then."
        if change
        else ": no more."
    )
    frame.add(
        f"<p>{words} The steps run down the spine fold of the folded gatherings, so that a missing or turned one shows. "
        "The choice is <code>press: collation:</code> in <code>journal/book.yml</code>.</p>"
    )


__all__ = ["lacking_answer", "placed_picture", "plate_side", "plates_page"]
