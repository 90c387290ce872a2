"""The page of the register: what the printer does to the backs, the correction, what is left.

In: SiteContext, PressWorking. Out: SitePage. Never: fitting, predicting.
"""

from __future__ import annotations

from doublure.errors import DomainError
from doublure.render.draw.register_map import RegisterMapSpec, choose_factor, draw_register_map
from doublure.render.html import (
    Html,
    Link,
    escape_text,
    join_html,
    render_answer,
    render_link,
    render_rows,
    render_working,
)
from doublure.render.plan import SitePage, page_path
from doublure.render.site.context import SiteContext
from doublure.render.site.drawings import draw_both
from doublure.render.site.frame import PageFrame
from doublure.render.site.press_commands import NOT_KEPT, backs_commands, say_stand_in
from doublure.render.site.press_downloads import download_list
from doublure.render.site.press_seat import add_seat
from doublure.render.site.press_tables import register_sheets_table, register_table
from doublure.render.site.press_words import (
    METHOD_REGISTER,
    UNTRIED,
    angle_words,
    fine_mm,
    parts_rows,
    say_spread,
    turn_words,
    way_words,
)
from doublure.render.site.wordings import count_words, target_title
from doublure.render.table import render_table_html
from doublure.trade.press.affine import Affine
from doublure.trade.press.register.records import MachineFit
from doublure.workings.press_records import PressWorking, RegisterWorking

PATH = "book/register.md"


def register_page(ctx: SiteContext, press: PressWorking | None) -> SitePage:
    """Return the page of the register."""
    frame = PageFrame(PATH, "Register", kind="register")
    register = press.register if press is not None else None
    if press is None or register is None:
        frame.add(
            render_answer(
                "Nothing is known of the register yet: neither the sheet is known nor has a target been read. "
                f"{UNTRIED}"
            )
        )
        _how_to_read(ctx, frame, press)
        return frame.finish()
    frame.add(render_answer(_answer(ctx, register)))
    _map(frame, press, register)
    if register.trouble:
        frame.add(f"<p>The readings give no fit: {escape_text(register.trouble.rstrip('.'))}.</p>")
    _who(ctx, frame, register)
    if register.fit is not None:
        _fit(ctx, frame, register, register.fit)
    else:
        _assumed(frame)
    add_seat(ctx, frame, register)
    _numbers_in_files(frame, register)
    frame.heading("At each point", "points")
    table = register_table(frame, register)
    csv, json = frame.href(f"data/{table.name}.csv"), frame.href(f"data/{table.name}.json")
    frame.add(render_table_html(table, csv_href=csv, json_href=json, wide=True))
    _how_to_read(ctx, frame, press)
    return frame.finish()


def _answer(ctx: SiteContext, register: RegisterWorking) -> str:
    inches = ctx.inches_first
    fit = register.fit
    worst_before = max((one.p95_mm for one in register.before), default=0.0)
    if fit is None:
        return (
            "No target of this printer on this stock has been read. Taken instead: what is usual, "
            f"{fine_mm(worst_before, inches=inches)} at the corners in 95 of 100 sheets. {UNTRIED}"
        )
    parts = fit.parts
    worst_after = max((one.p95_mm for one in register.after), default=0.0)
    turn = turn_words(parts.rotation_rad)
    turn = turn if turn.startswith("not") else f"turned {turn}"
    way = way_words(parts.shift_x_mm, parts.shift_y_mm, inches=inches)
    before, after = (fine_mm(length, inches=inches) for length in (worst_before, worst_after))
    lie = "lie on the fronts in the mean" if way == "nowhere" else f"miss the fronts by {way}"
    return (
        f"The backs {lie}, {turn}. Corrected, 95 of 100 sheets stay within {after} at the worst place; uncorrected, "
        f"{before}."
    )


def _map(frame: PageFrame, press: PressWorking, register: RegisterWorking) -> None:
    if not register.before:
        return
    width = 2 * max(abs(one.x_mm) for one in register.before)
    height = 2 * max(abs(one.y_mm) for one in register.before)
    if press.plan is not None:
        width, height = press.plan.layout.sheet_width_mm, press.plan.layout.sheet_height_mm
    spec = RegisterMapSpec(
        width,
        height,
        tuple(register.before),
        tuple(register.after) if register.is_tried else (),
        "as read" if register.is_tried else "as assumed",
    )
    caption = (
        f"The sheet from the front, its head up. An arrow goes from where the front lies to where the back comes to "
        f"lie, {choose_factor(spec)} times too large; a broken box holds 95 of 100 sheets."
    )
    if not register.is_tried:
        caption += f" {UNTRIED}"
    frame.add(
        draw_both(lambda px: draw_register_map(spec, px), "register-map", caption=caption, wide_px=1000)
    )


def _who(ctx: SiteContext, frame: PageFrame, register: RegisterWorking) -> None:
    printer: Html | str = "not described (journal/printers/)"
    if register.printer in ctx.work.replica.printers:
        printer = render_link(ctx.thing_link(frame, f"printers/{register.printer}"))
    stock: Html | str = "open"
    if register.stock:
        stock = render_link(ctx.thing_link(frame, f"stocks/{register.stock}"))
    readings = ctx.links(frame, [f"register/{note.id}" for note in register.notes])
    others = ctx.links(frame, [f"register/{note.id}" for note in register.other_sheets])
    rows: list[tuple[str, Html | str]] = [
        ("Printer", printer),
        ("Stock", stock),
        ("Targets read", readings or "none"),
    ]
    if others:
        rows.append(("Of another sheet, not used", others))
    frame.heading("What it is of", "of")
    frame.add(render_rows(rows))


def _fit(ctx: SiteContext, frame: PageFrame, register: RegisterWorking, fit: MachineFit) -> None:
    frame.heading("What the printer does", "does")
    inches = ctx.inches_first
    rows: list[tuple[str, str]] = parts_rows(fit.parts, fit.parts_u, fit.shear_carried, inches=inches)
    if fit.random is not None:
        rows.append(
            (
                "From sheet to sheet",
                f"shift varies by {say_spread(fit.random.shift_x_mm, inches=inches)} across and "
                f"{say_spread(fit.random.shift_y_mm, inches=inches)} along, "
                f"rotation by {angle_words(fit.random.rotation_rad)}",
            )
        )
    if fit.sigma_mm is not None:
        # Not less than was stated: what the marks do not show of that, they may share.
        error_mm = (fit.sigma_mm**2 + fit.unseen_mm**2) ** 0.5
        rows.append(("Error of one reading", say_spread(error_mm, inches=inches)))
    frame.add(render_rows(rows))
    frame.add(
        f"<p>Fitted to {count_words(len(fit.sheets), 'target')}: {fit.model.value}. Each figure stands with its standard "
        "uncertainty; seen from the front, the back through the sheet.</p>"
    )
    table = register_sheets_table(ctx, frame, register)
    csv, json = frame.href(f"data/{table.name}.csv"), frame.href(f"data/{table.name}.json")
    frame.add(render_table_html(table, csv_href=csv, json_href=json, wide=True))
    if fit.left_out:
        names = ctx.links(frame, [f"register/{name}" for name in fit.left_out])
        frame.add(f"<p>Too few marks to be fitted, in no figure: {names}.</p>")
    _correction(ctx, frame, register)


def _numbers(one: Affine) -> str:
    """Return a map as its two sums."""
    one = Affine(*(round(number, 6) + 0.0 for number in (one.xx, one.xy, one.yx, one.yy, one.x_mm, one.y_mm)))
    return (
        f"x′ = {one.xx:.6f} x {one.xy:+.6f} y {one.x_mm:+.4f} mm; "
        f"y′ = {one.yx:+.6f} x {one.yy:+.6f} y {one.y_mm:+.4f} mm"
    ).replace("-", "−")


def _correction(ctx: SiteContext, frame: PageFrame, register: RegisterWorking) -> None:
    frame.heading("The correction", "correction")
    correction = register.correction
    if correction.is_identity:
        frame.add("<p>The backs are printed as they are: nothing is corrected.</p>")
        return
    way = way_words(correction.x_mm, correction.y_mm, inches=ctx.inches_first)
    moved = "left in its place" if way == "nowhere" else f"moved {way}"
    frame.add(
        f"<p>Every page of the backs is {escape_text(moved)} at its middle, "
        "turned and scaled the other way round from what the printer does, marks and all, seen from the front. "
        "What is random from sheet to sheet stays.</p>"
    )


def _numbers_in_files(frame: PageFrame, register: RegisterWorking) -> None:
    front, back = register.front_correction, register.back_correction
    sides = [(name, moved) for name, moved in (("fronts", front), ("backs", back)) if not moved.is_identity]
    if not sides:
        return
    rows: list[tuple[str, str]] = []
    for name, moved in sides:
        try:
            undone = _numbers(moved.inverse())
        except DomainError:
            undone = ""
        rows += [(f"Correction of the {name}", _numbers(moved)), ("Undone by", undone)]
    both = " That of the backs is done after that of the fronts, in one." if len(sides) > 1 else ""
    frame.add(
        render_working(
            [
                f"Each correction is the inverse of a mean map.{both} It is one matrix at the head of each page of the "
                "file and nothing else is changed, so that the second matrix undoes it exactly.",
                render_rows(rows),
            ],
            summary="The numbers in the files",
            method=Link("Correction", frame.href(f"{METHOD_REGISTER}#correction")),
        )
    )


def _assumed(frame: PageFrame) -> None:
    link = render_link(Link("the handbook", frame.href(f"{METHOD_REGISTER}#assumed")))
    frame.add(
        f"<p>The figures that stand in are listed with their sources in {link}. They are careful on purpose: reading "
        "one target replaces them by this printer’s own, and the backs are corrected from then on.</p>"
    )


def _code(words: str) -> str:
    return f"<code>{escape_text(words)}</code>"


def _how_to_read(ctx: SiteContext, frame: PageFrame, press: PressWorking | None) -> None:
    frame.heading("Reading a target", "read")
    listed = download_list(ctx, frame, "register")
    if listed:
        frame.add(listed)
    commands = backs_commands(ctx, press)
    target = _code(commands.target)
    if commands.file:
        target = f"{_code(commands.file)}, which {_code('doublure build')} makes for this sheet (or {target})"
    else:
        target = f"what {target} makes"
    steps: list[Html] = [
        Html(
            f"Print {target}, on both sides of the stock itself, five sheets or more, by the same way through the "
            "printer as the book, at 100 %."
        ),
        Html(
            "Photograph or scan each against the light, front towards you, and type in the folder of the project: "
            f"{_code(commands.read)}. It finds the marks and writes a note for each picture into "
            "<code>journal/register/</code>."
        ),
        Html(
            f"Where no light comes through, read the scales by eye and type what they say: {_code(commands.enter)}."
        ),
        Html(f"{_code(commands.fit)} says what the printer does; this page shows it at the next build."),
    ]
    frame.add(f"<ol>{''.join(f'<li>{step}</li>' for step in steps)}</ol>")
    frame.add(f"<p>{escape_text(f'{NOT_KEPT} {say_stand_in(commands)}')}</p>")
    kit = render_link(Link("the paper kit", frame.href("book/paper-kit.md")))
    method = render_link(Link("how it is read", frame.href("handbook/methods/target.md")))
    frame.add(
        join_html(
            [Html("<p>"), "One hour for all of it: ", kit, ". In the handbook: ", method, Html(".</p>")]
        )
    )
    notes = list(ctx.work.replica.register.values())
    if notes:
        items = "".join(
            f"<li>{render_link(Link(target_title(note), frame.href(page_path('register', note.id))))}, "
            f"{count_words(len(note.offsets), 'mark')}</li>"
            for note in notes
        )
        frame.heading("All targets that were read", "targets")
        frame.add(f'<ul class="db-downloads">{items}</ul>')
