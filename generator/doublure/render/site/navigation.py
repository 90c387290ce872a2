"""The navigation: a few places, each with the pages that list things. Pages of single notes are not in it.

In: SiteContext. Out: NavSection values. Never: more entries than a band can hold.
"""

from __future__ import annotations

from doublure.render.plan import NavSection
from doublure.render.site.context import SiteContext
from doublure.render.site.wordings import count_words

HANDBOOK = (
    ("Handbook", "handbook/index.md"),
    ("First site in ten minutes", "handbook/first-site.md"),
    ("Writing notes", "handbook/notes.md"),
    ("At the bench", "handbook/bench.md"),
    ("Fields of the notes", "handbook/fields.md"),
    ("Commands", "handbook/commands.md"),
    ("Problems", "handbook/problems.md"),
    ("Evidence and standing", "handbook/methods/evidence.md"),
    ("Wording", "handbook/methods/wording.md"),
    ("The book", "handbook/methods/book.md"),
    ("Planning gatherings", "handbook/methods/planning.md"),
    ("The press", "handbook/methods/press.md"),
    ("The run", "handbook/methods/run.md"),
    ("Register", "handbook/methods/register.md"),
    ("The register target", "handbook/methods/target.md"),
    ("Measuring", "handbook/methods/measuring.md"),
    ("Paper", "handbook/methods/paper.md"),
    ("Materials and log", "handbook/methods/materials.md"),
    ("Cleaning", "handbook/methods/cleaning.md"),
    ("Cautions", "handbook/cautions.md"),
    ("Sources", "handbook/sources.md"),
)


def navigation(ctx: SiteContext) -> tuple[NavSection, ...]:
    """Return the navigation of the site."""
    sections = [
        NavSection("", (("The replica", "index.md"),)),
        NavSection("", (("Inserts", "inserts/index.md"),)),
        NavSection(
            "The book",
            (
                ("The book", "book/index.md"),
                ("Page map", "book/pages.md"),
                ("Gatherings", "book/gatherings.md"),
                ("Imposition", "book/imposition.md"),
                ("Creep", "book/creep.md"),
                ("Masters", "masters/index.md"),
            ),
        ),
        NavSection(
            "The press",
            (
                ("Plates", "book/plates.md"),
                ("Crossovers", "book/crossovers.md"),
                ("Register", "book/register.md"),
                ("The run", "book/run.md"),
                ("Paper kit", "book/paper-kit.md"),
            ),
        ),
        NavSection(
            "Evidence",
            (
                ("Evidence", "evidence/index.md"),
                ("Open questions", "questions.md"),
                ("Trials", "trials/index.md"),
            ),
        ),
        NavSection(
            "Materials",
            (("Bill", "bill.md"), ("Stocks", "stocks/index.md"), ("Finishes", "finishes/index.md")),
        ),
        NavSection(
            "Log",
            (("Log", "log/index.md"), ("By thing", "log/things.md"), ("Pictures", "log/pictures.md")),
        ),
        NavSection("Handbook", HANDBOOK),
        NavSection("", (("Data", "data/index.md"),)),
    ]
    return tuple(section for section in sections if section.pages)


def title_block(ctx: SiteContext) -> tuple[tuple[str, str], ...]:
    """Return what the title block of every page says beside the name."""
    work = ctx.work
    cells = []
    if work.book is not None:
        gatherings = len(work.book.page_map.sheets_in_gatherings)
        cells.append(("Book", f"{work.book.pages} pages, {count_words(gatherings, 'gathering')}"))
    if work.inserts:
        cells.append(("Inserts", str(len(work.inserts))))
    if work.replica.replica.edition is not None:
        cells.append(("Edition", count_words(work.replica.replica.edition, "copy", "copies")))
    return tuple(cells)
