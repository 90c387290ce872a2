"""The pages about the press, together: plates, register, the run, the paper kit, printers, targets.

In: SiteContext. Out: SitePage values. Never: computing.
"""

from __future__ import annotations

from doublure.render.plan import SitePage
from doublure.render.site import press_notes
from doublure.render.site.context import SiteContext
from doublure.render.site.press_kit import kit_page
from doublure.render.site.press_plates import plates_page
from doublure.render.site.press_register import register_page
from doublure.render.site.press_run import run_page


def pages(ctx: SiteContext) -> list[SitePage]:
    """Return the pages about the press; that of the crossovers is among those of the book."""
    press = ctx.work.press
    return [
        plates_page(ctx, press),
        register_page(ctx, press),
        run_page(ctx, press),
        kit_page(ctx, press),
        *press_notes.pages(ctx),
    ]
