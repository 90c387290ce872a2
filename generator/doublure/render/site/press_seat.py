"""What is said of the seat of the print: where the fronts lie on fold and sheet, and how far both sides are moved.

In: RegisterWorking. Out: HTML for the pages of the register and of the crossovers. Never: computing.
"""

from __future__ import annotations

from collections.abc import Callable

from doublure.render.html import Html, Link, escape_text, render_link, render_rows
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.press_words import METHOD_REGISTER, angle_words, fine_mm, turn_words, way_words
from doublure.render.site.wordings import count_words
from doublure.trade.press.affine import Affine
from doublure.trade.press.register.parts import split_map
from doublure.trade.press.register.seats import SeatMean, SeatMeans
from doublure.workings.press_records import PressWorking, RegisterWorking


def add_seat(ctx: SiteContext, frame: PageFrame, register: RegisterWorking) -> None:
    """Add the section on the seat of the print; nothing where no seat was read."""
    seats = register.seats
    if seats is None or not any(one.count for one in (seats.across, seats.along, seats.turn)):
        return
    frame.heading("Where the print sits", "seat")
    inches = ctx.inches_first
    against = "the fold" if seats.from_fold else "the middle of the sheet"
    rows = [
        (f"Across, against {against}", _length(seats.across, "to the right", "to the left", inches)),
        ("Along, on the sheet", _length(seats.along, "down", "up", inches)),
        ("Turn on the sheet", _turn(seats.turn)),
    ]
    frame.add(render_rows(rows))
    link = render_link(Link("the handbook", frame.href(f"{METHOD_REGISTER}#seat")))
    frame.add(
        f"<p>{escape_text(_say_done(register, inches) + _say_fold(register, seats))} "
        f"What is not told from nothing is not corrected; see {link}.</p>"
    )


def say_seat(ctx: SiteContext, press: PressWorking) -> Html:
    """Return a paragraph for the page of the crossovers; nothing where no seat was read."""
    register = press.register
    if register is None or register.seats is None or not register.seats.across.count:
        return Html("")
    seats, front, inches = register.seats, register.front_correction, ctx.inches_first
    if seats.follows_print:
        words = "The fold goes by the print, so that no shift of the print would bring it nearer."
    elif _moves_across(front):
        words = f"Both sides are printed {say_move(front, inches)}, so that their fold line lies on the fold."
    elif register.without_room == "all":
        words = "There is no room on the sheet to move the print onto the fold."
    else:
        words = (
            "Across the fold the print is left where it is: it lies "
            f"{_length(seats.across, 'to the right', 'to the left', inches)}."
        )
        if not front.is_identity:
            words += f" Along it both sides are moved {say_move(front, inches)}, which only the margins need."
    return Html(f"<p>{escape_text(words)}</p>")


def say_move(front: Affine, inches: bool = False) -> str:
    """Return how far both sides are moved, seen from the front."""
    parts = split_map(front)
    words = []
    if (way := way_words(parts.shift_x_mm, parts.shift_y_mm, inches=inches)) != "nowhere":
        words.append(way)
    if not (turn := turn_words(parts.rotation_rad)).startswith("not"):
        words.append(f"turned {turn}")
    return ", ".join(words)


def _moves_across(front: Affine) -> bool:
    return front.x_mm != 0 or front.xy != 0


def _say_done(register: RegisterWorking, inches: bool) -> str:
    lacking = {
        "": "",
        "along": " There is no room on the sheet to move it along the fold as well.",
        "all": " There is no room on the sheet to move it.",
    }[register.without_room]
    if register.front_correction.is_identity:
        return f"Fronts and backs are printed where they are.{lacking}"
    move = say_move(register.front_correction, inches)
    return f"Fronts and backs alike are moved {move}, seen from the front, before they are printed.{lacking}"


def _say_fold(register: RegisterWorking, seats: SeatMeans) -> str:
    if seats.follows_print:
        return (
            " The readings tell that the fold goes by the print and not by the edges of the sheet: it comes along "
            "wherever the print is moved, so nothing is moved across."
        )
    if not _moves_across(register.front_correction):
        return ""
    return (
        " This brings the print onto the fold of sheets that are folded edge to edge. Who folds by the printed marks "
        "takes the fold along with the print: then it changes nothing at the gutter."
    )


def _length(figure: SeatMean, more: str, less: str, inches: bool) -> str:
    return _figure(
        figure,
        lambda value: f"{fine_mm(abs(value), figure.u, inches=inches)} {more if value >= 0 else less}",
        lambda value: fine_mm(value, inches=inches),
    )


def _turn(figure: SeatMean) -> str:
    return _figure(figure, lambda value: turn_words(value, figure.u), angle_words)


def _figure(figure: SeatMean, say: Callable[[float], str], plain: Callable[[float], str]) -> str:
    if not figure.count:
        return "not read"
    words = f"{say(figure.mean)}, {count_words(figure.count, 'sheet')}"
    if figure.limit is None:
        return f"{words}: one sheet does not tell of the next"
    told = "told" if figure.is_told else "not told"
    return f"{words}: {told} from nothing (more than {plain(figure.limit)} would be)"
