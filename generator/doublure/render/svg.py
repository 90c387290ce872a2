"""Scene -> inline SVG text, the same bytes for the same scene.

In: a Scene and a prefix for its ids. Out: one <svg> element as str, without blank lines.
Never: a colour of its own: tones become dw-* classes (theme/assets/drawing.css) over currentColor.
"""

from __future__ import annotations

import functools
import re
from html import escape

from doublure.errors import DomainError
from doublure.render.extent import walk
from doublure.render.scene import (
    Anchor,
    Circle,
    Close,
    Curve,
    Fit,
    Group,
    Image,
    Item,
    Line,
    Move,
    Path,
    Pen,
    Point,
    Polyline,
    Rect,
    Scene,
    Straight,
    Text,
    Tone,
)

_STROKE_CLASS = {
    Tone.INK: "dw-line",
    Tone.SOFT: "dw-soft",
    Tone.LINE: "dw-hair",
    Tone.ACCENT: "dw-accent",
    Tone.PAPER: "dw-paper",
    Tone.PAPER2: "dw-paper2",
}
_TEXT_CLASS = {
    Tone.INK: "dw-text",
    Tone.SOFT: "dw-text-soft",
    Tone.ACCENT: "dw-text-accent",
    Tone.PAPER: "dw-text-paper",
}
#: Fills that stay empty without the stylesheet, so that ink drawn on them is seen anyway.
_PALE = (Tone.PAPER, Tone.PAPER2)


def _number(value: float) -> str:
    """Return a length with two decimals at most, without needless zeros, never "-0"."""
    text = f"{value:.2f}"
    if text[-1] == "0":
        text = text[:-3] if text[-2] == "0" else text[:-1]
    return "0" if text == "-0" else text


#: What XML 1.0 (section 2.2, Char) leaves out; white space becomes a space, so that no line is ever blank.
_SPACE = re.compile(r"[\t\n\r]")
_NOT_XML = re.compile("[^\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def _clean(text: str) -> str:
    """Return the text escaped for XML and HTML, in attributes and between tags."""
    return escape(_NOT_XML.sub("\ufffd", _SPACE.sub(" ", text)), quote=True)


@functools.lru_cache(maxsize=1024)
def _style(pen: Pen | None, fill: Tone | None) -> str:
    """Return class and fallback attributes; strokes come from the root's stroke="currentColor"."""
    classes = []
    rest = ""
    if fill is not None:
        classes.append(f"dw-fill-{fill.value}")
        if fill not in _PALE:
            rest += ' fill="currentColor"'
    if pen is None:
        rest += ' stroke="none"'
    else:
        classes.append(_STROKE_CLASS[pen.tone])
        rest += f' stroke-width="{_number(pen.width_mm)}"'
        if pen.dash_mm:
            rest += f' stroke-dasharray="{" ".join(_number(d) for d in pen.dash_mm)}"'
        if pen.round_ends:
            rest += ' stroke-linecap="round" stroke-linejoin="round"'
    return (f' class="{" ".join(classes)}"' if classes else "") + rest


def _points(points: tuple[Point, ...]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _steps(path: Path) -> str:
    """Return the d attribute; level and upright steps in their short form, since ticks are many."""
    words = []
    x = y = ""
    for step in path.steps:
        if isinstance(step, Close):
            words.append("Z")
            x = y = ""
            continue
        to_x, to_y = _number(step.x_mm), _number(step.y_mm)
        match step:
            case Move():
                words.append(f"M{to_x} {to_y}")
            case Straight():
                words.append(f"V{to_y}" if to_x == x else f"H{to_x}" if to_y == y else f"L{to_x} {to_y}")
            case Curve():
                numbers = (step.c1x_mm, step.c1y_mm, step.c2x_mm, step.c2y_mm)
                words.append(f"C{' '.join(_number(n) for n in numbers)} {to_x} {to_y}")
        x, y = to_x, to_y
    return "".join(words)


def _text(item: Text) -> str:
    x, y = _number(item.x_mm), _number(item.y_mm)
    style = "" if item.anchor is Anchor.START else f' text-anchor="{item.anchor.value}"'
    if item.bold:
        style += ' font-weight="700"'
    if item.italic:
        style += ' font-style="italic"'
    turn = f' transform="rotate({_number(item.turn_deg)} {x} {y})"' if item.turn_deg else ""
    return (
        f'<text class="{_TEXT_CLASS.get(item.tone, "dw-text-soft")}" x="{x}" y="{y}" '
        f'font-size="{_number(item.size_mm)}"{style} fill="currentColor" stroke="none"{turn}>'
        f"{_clean(item.content)}</text>"
    )


class _Windows:
    """Numbers the windows of one drawing, whose ids begin with its prefix."""

    def __init__(self, prefix: str) -> None:
        self._prefix = prefix
        self._count = 0

    def next_id(self) -> str:
        """Return an id that no other window of the page has."""
        self._count += 1
        return f"{self._prefix}-window-{self._count}"


def _group(item: Group, windows: _Windows) -> list[str]:
    lines = _bare_group(item, windows)
    if item.window_mm is None:
        return lines
    ident = windows.next_id()
    x, y, width, height = map(_number, item.window_mm)
    window = f'<clipPath id="{ident}"><rect x="{x}" y="{y}" width="{width}" height="{height}"/></clipPath>'
    return [window, f'<g clip-path="url(#{ident})">', *lines, "</g>"]


def _bare_group(item: Group, windows: _Windows) -> list[str]:
    classes = [f"dw-standing-{item.standing}"] if item.standing else []
    classes += [f"dw-{item.role}"] if item.role else []
    title = f"<title>{_clean(item.title)}</title>" if item.title else ""
    if item.href:
        # Its title names it (SVG Accessibility API Mappings 1.0, from memory). An aria-label would have to repeat
        # every number and word drawn inside (WCAG 2.2, 2.5.3).
        lines, tag = [f'<a class="{" ".join(["dw-link", *classes])}" href="{_clean(item.href)}">{title}'], "a"
    else:
        lines, tag = [f'<g class="{" ".join(classes)}">{title}' if classes else f"<g>{title}"], "g"
    if item.turned_about_mm is not None:
        x, y = map(_number, item.turned_about_mm)
        lines.append(f'<g transform="rotate(180 {x} {y})">')
    for inner in item.items:
        lines += _item(inner, windows)
    if item.turned_about_mm is not None:
        lines.append("</g>")
    lines.append(f"</{tag}>")
    return lines


def _item(item: Item, windows: _Windows) -> list[str]:
    """Return the lines of SVG that draw one item."""
    match item:
        case Line():
            x1, y1, x2, y2 = (_number(n) for n in (item.x1_mm, item.y1_mm, item.x2_mm, item.y2_mm))
            return [f'<line{_style(item.pen, None)} x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"/>']
        case Text():
            return [_text(item)]
        case Group():
            return _group(item, windows)
        case Polyline():
            tag = "polygon" if item.closed else "polyline"
            return [f'<{tag}{_style(item.pen, item.fill)} points="{_points(item.points_mm)}"/>']
        case Path():
            return [f'<path{_style(item.pen, item.fill)} d="{_steps(item)}"/>']
        case Rect():
            radius = f' rx="{_number(item.radius_mm)}"' if item.radius_mm else ""
            return [f"<rect{_style(item.pen, item.fill)}{_frame(item)}{radius}/>"]
        case Circle():
            x, y, r = _number(item.x_mm), _number(item.y_mm), _number(item.radius_mm)
            return [f'<circle{_style(item.pen, item.fill)} cx="{x}" cy="{y}" r="{r}"/>']
        case Image():
            fit = "xMidYMid slice" if item.fit is Fit.COVER else "xMidYMid meet"
            href = _clean(item.href)
            return [f'<image{_frame(item)} href="{href}" preserveAspectRatio="{fit}" aria-hidden="true"/>']


def _frame(item: Rect | Image) -> str:
    x, y = _number(item.x_mm), _number(item.y_mm)
    return f' x="{x}" y="{y}" width="{_number(item.width_mm)}" height="{_number(item.height_mm)}"'


def render_svg(scene: Scene, prefix: str, css_class: str = "", hidden: bool = False) -> str:
    """Return a scene as inline SVG.

    Args:
        scene: The drawing.
        prefix: Begins the ids of its title and description; unique on the page, an ASCII letter first, then
            letters, digits, "-" or "_".
        css_class: Further classes for the <svg>, separated by spaces.
        hidden: True for a drawing that only repeats the word beside it: kept from assistive software, without
            title and ids. It may hold no links then.

    Returns:
        One <svg> element without blank lines, its natural size in mm. A drawing that holds links is a group
        to assistive software, since the parts of an image cannot be reached; any other is an image.

    Raises:
        DomainError: The prefix cannot begin an id, the scene has no title, or a hidden drawing holds a link.

    Source:
        W3C SVG 2; WAI-ARIA 1.2 (the children of role img are presentational); from memory.
    """
    if not (prefix[:1].isalpha() and prefix.isascii() and prefix.replace("-", "").replace("_", "").isalnum()):
        raise DomainError(
            f'"{prefix}" cannot begin an id: use a letter, then letters, digits, - or _', "prefix"
        )
    if not scene.title.strip():
        raise DomainError("A drawing needs a title, which is its text alternative", "title")
    linked = any(isinstance(item, Group) and item.href for item in walk(scene.items))
    if hidden and linked:
        raise DomainError("A drawing with links cannot be hidden", "hidden")
    title_id, desc_id = f"{prefix}-title", f"{prefix}-desc"
    width, height = _number(scene.width_mm), _number(scene.height_mm)
    root = (
        f'<svg class="{f"dw {css_class}".strip()}" xmlns="http://www.w3.org/2000/svg" '
        f'viewBox="0 0 {width} {height}" width="{width}mm" height="{height}mm" '
        'fill="none" stroke="currentColor"'
    )
    if hidden:
        lines = [f'{root} aria-hidden="true">']
    else:
        root += f' role="{"group" if linked else "img"}" aria-labelledby="{title_id}"'
        root += f' aria-describedby="{desc_id}"' if scene.description else ""
        lines = [f"{root}>", f'<title id="{title_id}">{_clean(scene.title)}</title>']
        if scene.description:
            lines.append(f'<desc id="{desc_id}">{_clean(scene.description)}</desc>')
    windows = _Windows(prefix)
    for item in scene.items:
        lines += _item(item, windows)
    lines.append("</svg>")
    return "\n".join(lines)
