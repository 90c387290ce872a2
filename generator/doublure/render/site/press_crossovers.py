"""The page of the crossovers: how the halves of each will meet, beside what is accepted.

In: SiteContext, PressWorking. Out: SitePage, Table. Never: predicting.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from doublure.quantities import format_share
from doublure.render.draw.crossover import MeetingSpec, Reach, draw_meeting
from doublure.render.draw.plate import PlacedPicture
from doublure.render.html import (
    Html,
    Link,
    escape_href,
    escape_text,
    join_html,
    render_answer,
    render_link,
    render_working,
)
from doublure.render.pictures import render_image
from doublure.render.plan import SitePage, page_path
from doublure.render.site.book_tables import CROSSOVER_WORDS
from doublure.render.site.context import SiteContext
from doublure.render.site.crossover_table import crossover_table
from doublure.render.site.drawings import NARROW_PX, fore_edge_html
from doublure.render.site.frame import PageFrame
from doublure.render.site.press_seat import say_seat
from doublure.render.site.press_tables import ADDING, misfit_of, rests_on
from doublure.render.site.press_words import METHOD_REGISTER, UNTRIED, fine_mm
from doublure.render.site.wordings import count_words
from doublure.render.svg import render_svg
from doublure.render.table import Column, Row, Table, render_table_html
from doublure.trade.press.records import Box
from doublure.trade.press.register.records import CrossoverMisfit
from doublure.workings.book import BookWorking, CrossoverWorking
from doublure.workings.press_records import PressWorking

PATH = "book/crossovers.md"
#: Crossovers beyond these are left to the table.
MOST_DRAWN = 60
MEETING_PX = 640
_ONE_SHEET = "one_sheet"


def crossovers_page(ctx: SiteContext, book: BookWorking, press: PressWorking | None) -> SitePage:
    """Return the page of the crossovers."""
    frame = PageFrame(PATH, "Crossovers", kind="crossovers")
    if not book.crossovers:
        frame.add(render_answer("No artwork runs across the gutter."))
        frame.add(fore_edge_html(ctx, frame))
        return frame.finish()
    found = misfit_of(press)
    frame.add(render_answer(_answer(ctx, book, [one for one, _ in found.values()])))
    frame.add(fore_edge_html(ctx, frame))
    apart = [one for one in book.crossovers if one.place.kind.value != _ONE_SHEET]
    foretold = [one for one in apart if one.place.left.page in found]
    if press is not None and foretold:
        frame.heading("On two sheets", "two-sheets")
        frame.add(say_seat(ctx, press))
        if press.failing_sheets:
            frame.add(
                f"<p>Of one copy’s sheets {press.failing_sheets:.2f} are expected to fail at a crossover; the "
                f"{render_link(Link('bill', frame.href('bill.md')))} takes them as spoilage.</p>"
            )
        drawn = "".join(
            _meeting(ctx, frame, book, one, *found[one.place.left.page]) for one in foretold[:MOST_DRAWN]
        )
        frame.add(f'<div class="db-meetings db-wide">{drawn}</div>')
        if len(foretold) > MOST_DRAWN:
            frame.add(
                f"<p>{count_words(len(foretold) - MOST_DRAWN, 'more crossover')} are in the table below.</p>"
            )
    rest = [one for one in apart if one.place.left.page not in found]
    if rest:
        frame.heading("Misfit not worked out", "open")
        frame.add(
            "<p>The plates are lacking, or one half is on a leaf tipped in, which is pasted as it fits.</p>"
        )
        frame.add(_joined(ctx, frame, rest))
    together = [one for one in book.crossovers if one.place.kind.value == _ONE_SHEET]
    if together:
        frame.heading("On one side of one sheet", "one-sheet")
        frame.add("<p>One sheet, one side: nothing to misfit.</p>")
        frame.add(_joined(ctx, frame, together))
    frame.heading("The table", "table")
    table = crossover_table(ctx, frame, book, press)
    csv, json = frame.href(f"data/{table.name}.csv"), frame.href(f"data/{table.name}.json")
    frame.add(render_table_html(table, csv_href=csv, json_href=json, wide=True))
    return frame.finish()


def _answer(ctx: SiteContext, book: BookWorking, found: Sequence[CrossoverMisfit]) -> str:
    total = len(book.crossovers)
    together = sum(one.place.kind.value == _ONE_SHEET for one in book.crossovers)
    words = (
        f"{count_words(total, 'crossover')}: {together} on one side of one sheet, {total - together} on two."
    )
    apart = [one for one in found if one.p95_mm > 0]
    if apart:
        worst = max(apart, key=lambda one: one.p95_mm)
        low, high = sorted((worst.left_page, worst.right_page))
        tolerance = ctx.length(worst.tolerance_mm)
        words += (
            f" The hardest, pages {low} and {high}, is expected to miss by {fine_mm(worst.expected_mm)} and stays within "
            f"{fine_mm(worst.p95_mm)} in 95 of 100; {tolerance} is accepted."
        )
        words += " This is worked out from readings of the printer." if worst.is_tried else f" {UNTRIED}"
    elif total > together:
        words += " There the halves meet only as well as the sheets are printed, folded and sewn."
    return words


def offset_at_95(one: CrossoverMisfit) -> tuple[float, float]:
    """Return a gap and step as long as 95 of 100 stay below, from the mean the way that it is most uncertain.

    Only one of many ways that the halves may miss each other; it is what is drawn.
    """
    dx, dy = one.mean_dx_mm, one.mean_dy_mm
    sx, sy = math.copysign(one.sd_dx_mm, dx), math.copysign(one.sd_dy_mm, dy)
    a, b, c = sx * sx + sy * sy, 2 * (dx * sx + dy * sy), dx * dx + dy * dy - one.p95_mm**2
    if a <= 0 or c > 0:
        length = math.hypot(dx, dy)
        return (dx * one.p95_mm / length, dy * one.p95_mm / length) if length else (0.0, 0.0)
    k = (-b + math.sqrt(b * b - 4 * a * c)) / (2 * a)
    return dx + k * sx, dy + k * sy


def _pages(one: CrossoverWorking) -> tuple[int, int]:
    left, right = one.place.left.page, one.place.right.page
    return min(left, right), max(left, right)


def _half_picture(
    ctx: SiteContext, frame: PageFrame, ident: str, width: float, height: float
) -> PlacedPicture | None:
    note = ctx.work.replica.masters.get(ident)
    shown = ctx.artwork(frame, note, note.title) if note is not None else None
    if note is None or shown is None:
        return None
    bleed = note.bleed_mm
    whole = Box(-bleed, -bleed, width + 2 * bleed, height + 2 * bleed)
    return PlacedPicture(shown.large.href, whole, Box(0.0, 0.0, width, height))


def _meeting(
    ctx: SiteContext,
    frame: PageFrame,
    book: BookWorking,
    one: CrossoverWorking,
    misfit: CrossoverMisfit,
    before: CrossoverMisfit | None,
) -> str:
    """Return one crossover: how it will meet, its share of failures, what it comes from."""
    first, second = _pages(one)
    leaf = book.note.leaf
    assert leaf is not None
    width, height = leaf.width_mm.value, leaf.height_mm.value
    halves = [
        _half_picture(ctx, frame, ident, width, height) for ident in (one.left_master, one.right_master)
    ]
    differs = before is not None and abs(before.p95_mm - misfit.p95_mm) >= 0.005
    now = "with the correction" if differs else "as assumed" if not misfit.is_tried else "from readings"
    spec = MeetingSpec(
        title="",
        leaf_width_mm=width,
        leaf_height_mm=height,
        left=halves[0],
        right=halves[1],
        expected=(misfit.mean_dx_mm, misfit.mean_dy_mm),
        at_95=offset_at_95(misfit),
        now=Reach(now, misfit.expected_mm, misfit.p95_mm),
        before=Reach("without it", before.expected_mm, before.p95_mm)
        if before is not None and differs
        else None,
        tolerance_mm=misfit.tolerance_mm,
        worst_y_mm=misfit.worst_y_mm,
    )
    drawing = "".join(
        render_svg(draw_meeting(spec, px), f"meeting-{name[0]}-{first}", f"dw-{name}")
        for px, name in ((MEETING_PX, "broad"), (NARROW_PX, "narrow"))
    )
    share = f"{format_share(misfit.failing_share)} of them are expected to fail"
    if before is not None and differs:
        share += f", {format_share(before.failing_share)} without the correction"
    stood_in = "" if all(halves) else " Lines stand in for artwork that is not shown."
    verdict = "At least" if misfit.p95_mm <= misfit.tolerance_mm else "Fewer than"
    if before is not None and differs and before.p95_mm < misfit.p95_mm:
        share += "; before it, errors of fronts and backs happened to make up for each other here"
    tried = "" if misfit.is_tried else f" {UNTRIED}"
    names = ctx.links(frame, [f"masters/{one.left_master}", f"masters/{one.right_master}"])
    where = join_html([names, f"; on {CROSSOVER_WORDS[one.place.kind.value]}"])
    words = (
        f"{verdict} 95 of 100 stay within the tolerance; {share}. It is worst {_say_worst(misfit)}."
        f"{tried}{stood_in}"
    )
    return (
        f'<section><h3 id="pages-{first}">Pages {first} and {second}</h3>'
        f'<p class="db-meetings__where">{where}</p>{drawing}'
        f"<p>{escape_text(words)}</p>{_causes(frame, misfit)}</section>"
    )


def _say_worst(misfit: CrossoverMisfit) -> str:
    return f"{misfit.worst_y_mm:.0f} mm below the head" if misfit.worst_y_mm >= 0.5 else "at the head"


def _causes(frame: PageFrame, misfit: CrossoverMisfit) -> Html:
    rows: list[Row] = [
        (
            part.name,
            part.mean_dx_mm,
            part.mean_dy_mm,
            part.sd_dx_mm,
            part.sd_dy_mm,
            rests_on(part),
        )
        for part in misfit.parts
    ]
    rows.append(
        (
            "all together",
            misfit.mean_dx_mm,
            misfit.mean_dy_mm,
            misfit.sd_dx_mm,
            misfit.sd_dy_mm,
            "",
        )
    )
    table = Table(
        name=f"causes-{misfit.left_page}",
        caption="By cause, mm",
        columns=(
            Column("cause", "Cause"),
            Column("gap_mm", "Gap", "mm", numeric=True, decimals=2),
            Column("step_mm", "Step", "mm", numeric=True, decimals=2),
            Column("gap_sd_mm", "Gap varies by", "mm", numeric=True, decimals=2),
            Column("step_sd_mm", "Step varies by", "mm", numeric=True, decimals=2),
            Column("rests_on", "Figure"),
        ),
        rows=tuple(rows),
        narrow="scroll",
    )
    return render_working(
        [
            render_table_html(table),
            "The gap is across the gutter (negative: an overlap), the step lowers the right half. What is certain adds "
            f"up. {ADDING}",
        ],
        summary="What it comes from",
        method=Link("Crossovers", frame.href(f"{METHOD_REGISTER}#crossovers")),
    )


def _joined(ctx: SiteContext, frame: PageFrame, crossovers: Sequence[CrossoverWorking]) -> Html:
    """Return each artwork that crosses the gutter once, its two halves side by side as the open book has them."""
    pages: dict[tuple[str, str], list[tuple[int, int]]] = {}
    for one in crossovers:
        pages.setdefault((one.left_master, one.right_master), []).append(_pages(one))
    figures = ""
    for (left, right), spreads in pages.items():
        halves = "".join(_half(ctx, frame, ident) for ident in (left, right))
        places = ", ".join(f"{first}–{second}" for first, second in spreads)
        names = " and ".join(ctx.name_of(f"masters/{ident}") for ident in (left, right))
        picture = (
            f'<div class="db-spread__halves">{halves}</div>' if halves else f"<p>{escape_text(names)}</p>"
        )
        figures += f'<figure class="db-spread">{picture}<figcaption>Pages {places}</figcaption></figure>'
    return Html(f'<div class="db-spreads db-wide">{figures}</div>' if figures else "")


def _half(ctx: SiteContext, frame: PageFrame, ident: str) -> Html:
    note = ctx.work.replica.masters.get(ident)
    shown = ctx.artwork(frame, note, note.title) if note is not None else None
    if note is None or shown is None:
        return Html("")
    image = render_image(shown, "(min-width: 62em) 220px, 44vw")
    return Html(f'<a href="{escape_href(frame.href(page_path("masters", ident)))}">{image}</a>')
