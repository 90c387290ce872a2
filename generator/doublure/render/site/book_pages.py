"""The pages about the book: overview, page map, gatherings, crossovers, creep.

In: SiteContext. Out: SitePage values. Never: computing.
"""

from __future__ import annotations

from doublure.quantities import format_length_mm
from doublure.render.draw.block import BlockSpec, draw_block
from doublure.render.draw.gathering import (
    GatheringInsert,
    GatheringLeaf,
    GatheringSpec,
    PageWords,
    draw_gathering,
)
from doublure.render.html import (
    Html,
    Link,
    join_html,
    render_answer,
    render_link,
    render_rows,
    render_working,
)
from doublure.render.pictures import render_pictures
from doublure.render.plan import SitePage, page_path
from doublure.render.site.book_block import block_spec
from doublure.render.site.book_tables import (
    creep_table,
    page_table,
    thickness_inputs,
)
from doublure.render.site.context import SiteContext, log_entry_path
from doublure.render.site.drawings import draw_both, fore_edge_html
from doublure.render.site.frame import PageFrame
from doublure.render.site.log_cards import show_date
from doublure.render.site.note_parts import add_cautions, add_log, add_notes_questions
from doublure.render.site.press_crossovers import crossovers_page
from doublure.render.site.proposal import add_proposal
from doublure.render.site.wordings import count_words
from doublure.render.table import Table, render_table_html
from doublure.workings.book import BookWorking

METHOD = "handbook/methods/book.md"
#: Two gatherings stand side by side on a wide screen.
GATHERING_PX = 640
NO_BOOK = "The book has no page sequence yet. It goes into journal/book.yml, under sequence: and gatherings:."


def data_links(frame: PageFrame, table: Table) -> tuple[str, str]:
    """Return the addresses of a table's CSV and JSON files as seen from a page."""
    return frame.href(f"data/{table.name}.csv"), frame.href(f"data/{table.name}.json")


def pages(ctx: SiteContext) -> list[SitePage]:
    """Return the pages about the book."""
    book = ctx.work.book
    titles = (
        ("book/index.md", "The book"),
        ("book/pages.md", "Page map"),
        ("book/gatherings.md", "Gatherings"),
        ("book/crossovers.md", "Crossovers"),
        ("book/creep.md", "Creep"),
    )
    if book is None:
        found = []
        for path, title in titles:
            frame = PageFrame(path, title, kind="book")
            frame.add(render_answer(NO_BOOK))
            if path == "book/gatherings.md":
                add_proposal(ctx, frame)
            found.append(frame.finish())
        return found
    return [
        _overview(ctx, book),
        _page_map(ctx, book),
        _gatherings(ctx, book),
        crossovers_page(ctx, book, ctx.work.press),
        _creep(ctx, book),
    ]


def _overview(ctx: SiteContext, book: BookWorking) -> SitePage:
    note = book.note
    frame = PageFrame("book/index.md", note.title, kind="book")
    gatherings = book.page_map.sheets_in_gatherings
    sheets = f"of {count_words(gatherings[0], 'sheet')}" if len(set(gatherings)) == 1 else "of unequal size"
    size = f", leaves {ctx.size(note.leaf)}" if note.leaf else ""
    frame.add(
        render_answer(f"{book.pages} pages in {count_words(len(gatherings), 'gathering')} {sheets}{size}.")
    )
    frame.add(
        fore_edge_html(
            ctx,
            frame,
            caption="From the head; inserts where they lie, arcs where artwork crosses the gutter.",
        )
    )
    if book.page_map.blanks:
        frame.add(
            f"<p>{count_words(book.page_map.blanks, 'blank')} would fill the last gathering. "
            "They are proposed and not added: write them into the sequence to accept them.</p>"
        )
    frame.add(render_pictures(ctx.pictures_of(frame, "book")))
    frame.body(note.body)
    frame.heading("What it takes", "takes")
    counts = book.counts
    plates = ""
    if counts is not None:
        plates = f"{counts.plates} in {count_words(counts.stacks, 'stack')} without creep, "
        plates += f"{counts.plates_with_creep} in {count_words(counts.stacks_with_creep, 'stack')} with it"
    shown_plates: str | Html = plates
    if ctx.work.press.plan is not None:
        link = render_link(Link("as they will print", frame.href("book/plates.md")))
        shown_plates = join_html([plates, ", ", link])
    frame.add(
        render_rows(
            [
                ("Leaf", ctx.size(note.leaf)),
                (
                    "Stock",
                    render_link(ctx.thing_link(frame, f"stocks/{note.stock}")) if note.stock else "open",
                ),
                ("Read", "from right to left" if book.page_map.rtl else "from left to right"),
                ("Folded sheets", str(book.folded_sheets)),
                ("Leaves", str(book.leaves)),
                ("Masters used", str(len(book.places))),
                ("Distinct plates", shown_plates),
                ("Printing", note.printing),
                ("Sewing", note.sewing),
                ("Case", note.case),
            ]
        )
    )
    _thickness(ctx, frame, book)
    add_cautions(frame, note.cautions)
    add_notes_questions(ctx, frame, "book")
    add_log(ctx, frame, "book")
    frame.source(note.origin.file)
    return frame.finish()


def _thickness(ctx: SiteContext, frame: PageFrame, book: BookWorking) -> None:
    frame.heading("Thickness", "thickness")
    if book.thickness is None:
        names = ", ".join(
            ctx.name_of(f"stocks/{ident}") if ident else "the undecided stock" for ident in book.open_calipers
        )
        frame.add(f"<p>Not known: the caliper of {names} is open.</p>")
        return
    spec: BlockSpec = block_spec(ctx, book)
    frame.add(draw_both(lambda width: draw_block(spec, width), "block", wide_px=1000))
    method = Link("Thickness of the text block", frame.href(f"{METHOD}#thickness"))
    frame.add(
        render_working(
            [
                "Layers of each stock times its caliper; the uncertainty of one stock’s caliper counts once for every "
                "layer. Sewing thread, paste and air are not in it."
            ],
            inputs=thickness_inputs(ctx, book),
            method=method,
        )
    )


def _page_map(ctx: SiteContext, book: BookWorking) -> SitePage:
    frame = PageFrame("book/pages.md", "Page map", kind="page-map")
    blanks = sum(not entry.master for entry in book.entries)
    frame.add(
        render_answer(
            f"{book.pages} pages from {count_words(len(book.places), 'master')}, "
            f"{count_words(blanks, 'page')} blank."
        )
    )
    frame.add(fore_edge_html(ctx, frame))
    table = page_table(ctx, frame, book)
    csv, json = data_links(frame, table)
    frame.add(render_table_html(table, csv_href=csv, json_href=json))
    return frame.finish()


def _gatherings(ctx: SiteContext, book: BookWorking) -> SitePage:
    frame = PageFrame("book/gatherings.md", "Gatherings", kind="gatherings", hide=("navigation", "toc"))
    sheets = book.page_map.sheets_in_gatherings
    frame.add(
        render_answer(
            f"{count_words(len(sheets), 'gathering')}, {count_words(sum(sheets), 'folded sheet')}. "
            "Only the middle spread of each is printed on one side of one sheet."
        )
    )
    frame.add(fore_edge_html(ctx, frame))
    drawn = "".join(_gathering(ctx, frame, book, number) for number in range(1, len(sheets) + 1))
    if ctx.work.proposal is not None:
        link = render_link(Link("what the wishes would make of them", "#proposal"))
        frame.add(f"<p>Below: {link}.</p>")
    frame.add(f'<div class="db-gatherings db-wide">{drawn}</div>')
    add_proposal(ctx, frame)
    return frame.finish()


def _gathering(ctx: SiteContext, frame: PageFrame, book: BookWorking, number: int) -> Html:
    """Return one gathering: its name, its leaves drawn, what the log says of it."""
    spec = _gathering_spec(ctx, frame, book, number)
    drawing = draw_both(
        lambda width: draw_gathering(spec, width), f"gathering-{number}", wide_px=GATHERING_PX
    )
    done = [
        join_html(
            [
                entry.step or "worked on",
                " ",
                render_link(Link(show_date(entry.date), frame.href(log_entry_path(ctx.work, entry.id)))),
            ]
        )
        for entry in sorted(ctx.work.log.by_thing.get(f"gathering-{number}", ()), key=lambda note: note.date)
    ]
    log = f'<p class="db-gatherings__log">{join_html(done, ", ")}</p>' if done else ""
    return Html(f'<section><h2 id="gathering-{number}">Gathering {number}</h2>{drawing}{log}</section>')


def _gathering_spec(ctx: SiteContext, frame: PageFrame, book: BookWorking, number: int) -> GatheringSpec:
    leaves: list[GatheringLeaf] = []
    counted: dict[int, int] = {}
    at = 0
    pages = book.page_map.pages
    for first in pages[::2]:
        at = first.gathering or at or 1
        if at != number:
            continue
        second = first.page + 1 if first.page < len(pages) else None
        leaves.append(
            GatheringLeaf(
                _page_words(ctx, frame, book, first.page),
                _page_words(ctx, frame, book, second),
                first.is_tipped,
            )
        )
        counted[first.page] = 2 * len(leaves) - 1
        if second is not None:
            counted[second] = 2 * len(leaves)
    folded = sum(not leaf.tipped for leaf in leaves)
    missing = book.page_map.sheets_in_gatherings[number - 1] * 2 - folded
    proposed = PageWords("", "proposed blank")
    leaves.extend(GatheringLeaf(proposed, proposed) for _ in range(missing))
    inserts = []
    for one in ctx.work.inserts:
        place = one.note.place
        page = None
        if place is not None:
            page = min(place.between) if place.between is not None else place.on
        if page is not None and page in counted:
            held = one.note.held.by if one.note.held is not None else ""
            inserts.append(
                GatheringInsert(
                    str(one.number),
                    one.note.title,
                    one.standing.overall.standing.value,
                    counted[page],
                    frame.href(page_path("inserts", one.note.id)),
                    held in ("tipped", "pasted", "corners", "sewn"),
                )
            )
    firsts = [min(one.place.left.page, one.place.right.page) for one in book.crossovers]
    arcs = tuple(counted[page] for page in firsts if page in counted and page + 1 in counted)
    return GatheringSpec(f"Gathering {number}", tuple(leaves), tuple(inserts), arcs)


def _page_words(ctx: SiteContext, frame: PageFrame, book: BookWorking, page: int | None) -> PageWords:
    if page is None:
        return PageWords("", "proposed blank")
    master = book.entries[page - 1].master
    if not master:
        return PageWords(str(page), "blank")
    return PageWords(str(page), ctx.name_of(f"masters/{master}"), frame.href(page_path("masters", master)))


def _creep(ctx: SiteContext, book: BookWorking) -> SitePage:
    frame = PageFrame("book/creep.md", "Creep", kind="creep")
    creep = book.creep
    if creep is None:
        why = "creep is switched off in book.yml" if book.note.creep.rule == "none" else "the caliper is open"
        frame.add(render_answer(f"Not worked out: {why}."))
        frame.add(fore_edge_html(ctx, frame))
        return frame.finish()
    most = max(creep.gatherings)
    total = creep.gatherings[most].total_mm
    frame.add(
        render_answer(
            f"The innermost leaves of a gathering of {count_words(most, 'sheet')} stand out "
            f"{format_length_mm(total)} before trimming. Not yet tried on paper."
        )
    )
    frame.add(fore_edge_html(ctx, frame))
    for size in sorted(creep.gatherings):
        table = creep_table(book, size)
        csv, json = data_links(frame, table)
        frame.add(render_table_html(table, csv_href=csv, json_href=json))
    factor = creep.step.factor.value
    body: list[str | Html] = [
        f"Each sheet stands out {format_length_mm(creep.step.step_mm)} beyond the one around it: "
        f"{factor:.3f} of its caliper."
    ]
    if not creep.step.is_usual:
        body.append("That lies outside 1 to 1.571 calipers, between which folded paper stays: measure again.")
    frame.add(
        render_working(
            body,
            inputs=[("Rule", book.note.creep.rule)],
            method=Link("Creep", frame.href(f"{METHOD}#creep")),
        )
    )
    return frame.finish()
