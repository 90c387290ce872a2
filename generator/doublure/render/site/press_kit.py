"""The page of the paper kit: one hour on paper, and where each figure goes.

In: SiteContext. Out: SitePage. Never: computing.
"""

from __future__ import annotations

from doublure.render.html import (
    Html,
    Link,
    escape_text,
    join_html,
    render_answer,
    render_caution,
    render_link,
)
from doublure.render.kit_words import CAUTION_BLADE, CAUTION_LAMP, STEPS, KitStep, total_minutes
from doublure.render.plan import SitePage
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.press_commands import NOT_KEPT, backs_commands, say_stand_in
from doublure.render.site.press_downloads import download_list
from doublure.render.site.press_words import UNTRIED
from doublure.render.site.wordings import DEFER_WORK, count_words
from doublure.render.table import Column, Table, render_table_html
from doublure.workings.press_records import PressWorking

PATH = "book/paper-kit.md"


def kit_page(ctx: SiteContext, press: PressWorking | None) -> SitePage:
    """Return the page of the paper kit."""
    frame = PageFrame(PATH, "Paper kit", kind="paper-kit")
    frame.add(
        render_answer(
            f"About {total_minutes()} minutes with the printer, a rule and a knife, and every figure on the pages of the "
            "press rests on your own paper."
        )
    )
    frame.add(f"<p>{_stands(press)}</p>")
    commands = backs_commands(ctx, press)
    frame.heading("Print these", "files")
    listed = download_list(ctx, frame, "kit", "register")
    if listed:
        frame.add(listed)
    target = f" and the target, {_code(commands.file)}," if commands.file else ""
    made = "" if target else f" The target makes {_code(commands.target)}."
    frame.add(
        f"<p><code>doublure build</code> puts {_code('print/paper-kit.pdf')}{target} beside the site. The target is for "
        f"{'the sheet and the printer of this book' if target else 'one sheet and one printer'}.{made}</p>"
    )
    frame.add(render_caution([CAUTION_BLADE, CAUTION_LAMP], title="blades and lamps", defer=DEFER_WORK))
    frame.heading("Step by step", "steps")
    frame.add(f'<ol class="db-kit">{"".join(_step(step) for step in STEPS)}</ol>')
    frame.heading("Where the figures go", "figures")
    frame.add(render_table_html(_fields()))
    frame.heading("Commands", "commands")
    listed_commands = (
        (
            commands.target,
            "makes the same two-sided target once more" if commands.file else "makes the two-sided target",
        ),
        (commands.read, "finds the marks in photographs or scans and writes a note for each"),
        (commands.enter, "writes a note of readings that you type"),
        (commands.fit, "says what the printer does to the backs"),
    )
    items = "".join(f"<li>{_code(name)} {words}</li>" for name, words in listed_commands)
    frame.add(f"<ul>{items}</ul>")
    frame.add(
        f"<p>Typed in the folder of the project. {escape_text(f'{NOT_KEPT} {say_stand_in(commands)}')}</p>"
    )
    register = render_link(Link("Register", frame.href("book/register.md")))
    creep = render_link(Link("Creep", frame.href("book/creep.md")))
    frame.add(join_html([Html("<p>"), "What came of it: ", register, ", ", creep, Html(".</p>")]))
    return frame.finish()


def _code(words: str) -> str:
    return f"<code>{escape_text(words)}</code>"


def _stands(press: PressWorking | None) -> str:
    register = press.register if press is not None else None
    if register is not None and register.is_tried:
        return f"{count_words(len(register.notes), 'target')} of this printer on this stock read so far."
    return f"{UNTRIED} The steps and their times are thought out at a desk."


def _step(step: KitStep) -> str:
    does = " ".join(escape_text(words) for words in step.does)
    gives = ", ".join(escape_text(one.words.lower()) for one in step.fields)
    return (
        f'<li><p class="db-kit__name"><span class="db-tick" aria-hidden="true"></span><strong>{escape_text(step.name)}'
        f'</strong> <span class="db-kit__minutes">{step.minutes} min</span></p><p>{does}</p>'
        f'<p class="db-kit__gives">Gives: {gives}.</p></li>'
    )


def _fields() -> Table:
    rows = [
        (step.name, one.words, one.unit, one.times, one.note or "none: print again at 100 %", one.field)
        for step in STEPS
        for one in step.fields
    ]
    return Table(
        name="paper_kit",
        caption="What is measured, and the field that takes it",
        columns=(
            Column("step", "Step"),
            Column("figure", "Figure"),
            Column("measured_in", "In"),
            Column("times", "Times", numeric=True),
            Column("note", "Note"),
            Column("field", "Written as"),
        ),
        rows=tuple(rows),
        grouped_by="step",
    )
