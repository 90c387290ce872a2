"""The pages of the site, one module for each kind, and the plan that brings them together.

In: Workings. Out: SitePlan. Never: computing, files.
"""

from __future__ import annotations

from collections.abc import Sequence

from doublure.render.plan import PICTURE_WIDTHS_PX, Download, SitePicture, SitePlan, picture_path
from doublure.render.site.context import SiteContext
from doublure.render.site.handbook import CommandPage, KindTable
from doublure.workings.all import Workings

__all__ = ["plan_site"]


def plan_site(
    work: Workings,
    commands: Sequence[CommandPage] = (),
    kinds: Sequence[KindTable] = (),
    downloads: Sequence[Download] = (),
) -> SitePlan:
    """Return every page, text file and picture of the site.

    Args:
        work: Everything computed.
        commands: What the command line says of itself, for the handbook.
        kinds: The field tables, for the handbook.
        downloads: Print files that will lie in the site; the caller puts them there, and leaves out what
            the replica or the rights of a source keep back.
    """
    # The pages are most of the package, and print files and checks do without them.
    from doublure.render.site import (
        bill_page,
        book_pages,
        data_page,
        evidence_pages,
        feed,
        first_page,
        handbook,
        insert_page,
        log_pages,
        material_pages,
        press_pages,
        question_page,
        sheet_pages,
    )
    from doublure.render.site.navigation import navigation, title_block

    ctx = SiteContext(work, tuple(downloads))
    pages = [first_page.first_page(ctx), first_page.gallery_page(ctx)]
    pages.extend(insert_page.insert_page(ctx, one) for one in work.inserts)
    pages.extend(evidence_pages.pages(ctx))
    pages.extend(book_pages.pages(ctx))
    pages.extend(sheet_pages.pages(ctx))
    pages.extend(press_pages.pages(ctx))
    pages.extend(material_pages.pages(ctx))
    pages.extend(bill_page.pages(ctx))
    pages.extend(log_pages.pages(ctx))
    pages.extend(question_page.pages(ctx))
    pages.extend(handbook.pages(commands, kinds))
    tables = data_page.tables(ctx)
    files = [*data_page.data_files(tables), feed.feed_file(ctx)]
    pages.append(data_page.page(tables))
    pictures = tuple(
        SitePicture(file, width, picture_path(file, width))
        for file in ctx.published
        for width in PICTURE_WIDTHS_PX
    )
    return SitePlan(tuple(pages), tuple(files), pictures, navigation(ctx), title_block(ctx))
