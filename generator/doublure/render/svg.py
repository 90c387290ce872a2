"""Scene -> inline SVG text, the same bytes for the same scene.

In: a Scene and a prefix for its ids. Out: one <svg> element as str, without blank lines.
Never: a colour of its own: tones become dw-* classes (theme/assets/drawing.css) over currentColor.
"""

from __future__ import annotations

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
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


#: What XML 1.0 (section 2.2, Char) leaves out; white space becomes a space, so that no line is ever blank.
_NOT_XML = re.compile("[^\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def _clean(text: str) -> str:
    """Return the text escaped for XML and HTML, in attributes and between tags."""
    return escape(_NOT_XML.sub("\ufffd", re.sub(r"[\t\n\r]", " ", text)), quote=True)


def _attributes(pairs: list[tuple[str, str]]) -> str:
    return "".join(f' {name}="{value}"' for name, value in pairs if value != "")


def _style(pen: Pen | None, fill: Tone | None) -> list[tuple[str, str]]:
    """Return class and fallback attributes; strokes come from the root's stroke="currentColor"."""
    classes = []
    pairs = []
    if fill is not None:
        classes.append(f"dw-fill-{fill.value}")
        if fill not in _PALE:
            pairs.append(("fill", "currentColor"))
    if pen is None:
        pairs.append(("stroke", "none"))
    else:
        classes.append(_STROKE_CLASS[pen.tone])
        pairs.append(("stroke-width", _number(pen.width_mm)))
        pairs.append(("stroke-dasharray", " ".join(_number(d) for d in pen.dash_mm)))
        if pen.round_ends:
            pairs += [("stroke-linecap", "round"), ("stroke-linejoin", "round")]
    return [("class", " ".join(classes)), *pairs]


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
    pairs = [
        ("class", _TEXT_CLASS.get(item.tone, "dw-text-soft")),
        ("x", _number(item.x_mm)),
        ("y", _number(item.y_mm)),
        ("font-size", _number(item.size_mm)),
        ("text-anchor", "" if item.anchor is Anchor.START else item.anchor.value),
        ("font-weight", "700" if item.bold else ""),
        ("font-style", "italic" if item.italic else ""),
        ("fill", "currentColor"),
        ("stroke", "none"),
    ]
    if item.turn_deg:
        pairs.append(
            ("transform", f"rotate({_number(item.turn_deg)} {_number(item.x_mm)} {_number(item.y_mm)})")
        )
    return f"<text{_attributes(pairs)}>{_clean(item.content)}</text>"


def _group(item: Group) -> list[str]:
    classes = [f"dw-standing-{item.standing}"] if item.standing else []
    classes += [f"dw-{item.role}"] if item.role else []
    title = f"<title>{_clean(item.title)}</title>" if item.title else ""
    if item.href:
        # Its title names it (SVG Accessibility API Mappings 1.0, from memory). An aria-label would have to repeat
        # every number and word drawn inside (WCAG 2.2, 2.5.3).
        pairs = [("class", " ".join(["dw-link", *classes])), ("href", _clean(item.href))]
        tag = "a"
    else:
        pairs, tag = [("class", " ".join(classes))], "g"
    lines = [f"<{tag}{_attributes(pairs)}>{title}"]
    for inner in item.items:
        lines += _item(inner)
    lines.append(f"</{tag}>")
    return lines


def _item(item: Item) -> list[str]:
    """Return the lines of SVG that draw one item."""
    pairs: list[tuple[str, str]]
    match item:
        case Group():
            return _group(item)
        case Text():
            return [_text(item)]
        case Image():
            fit = "xMidYMid slice" if item.fit is Fit.COVER else "xMidYMid meet"
            pairs = [("href", _clean(item.href)), ("preserveAspectRatio", fit), ("aria-hidden", "true")]
            return [f"<image{_attributes(_frame(item) + pairs)}/>"]
        case Line():
            ends = ("x1", item.x1_mm), ("y1", item.y1_mm), ("x2", item.x2_mm), ("y2", item.y2_mm)
            pairs = [(name, _number(value)) for name, value in ends]
            return [f"<line{_attributes(_style(item.pen, None) + pairs)}/>"]
        case Polyline():
            tag = "polygon" if item.closed else "polyline"
            pairs = [*_style(item.pen, item.fill), ("points", _points(item.points_mm))]
            return [f"<{tag}{_attributes(pairs)}/>"]
        case Path():
            return [f"<path{_attributes([*_style(item.pen, item.fill), ('d', _steps(item))])}/>"]
        case Rect():
            pairs = [*_style(item.pen, item.fill), *_frame(item)]
            pairs.append(("rx", _number(item.radius_mm) if item.radius_mm else ""))
            return [f"<rect{_attributes(pairs)}/>"]
        case Circle():
            place = ("cx", item.x_mm), ("cy", item.y_mm), ("r", item.radius_mm)
            pairs = [*_style(item.pen, item.fill), *((name, _number(value)) for name, value in place)]
            return [f"<circle{_attributes(pairs)}/>"]


def _frame(item: Rect | Image) -> list[tuple[str, str]]:
    numbers = ("x", item.x_mm), ("y", item.y_mm), ("width", item.width_mm), ("height", item.height_mm)
    return [(name, _number(value)) for name, value in numbers]


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
    pairs = [
        ("class", f"dw {css_class}".strip()),
        ("xmlns", "http://www.w3.org/2000/svg"),
        ("viewBox", f"0 0 {_number(scene.width_mm)} {_number(scene.height_mm)}"),
        ("width", f"{_number(scene.width_mm)}mm"),
        ("height", f"{_number(scene.height_mm)}mm"),
        ("fill", "none"),
        ("stroke", "currentColor"),
    ]
    if hidden:
        pairs.append(("aria-hidden", "true"))
        lines = [f"<svg{_attributes(pairs)}>"]
    else:
        pairs += [("role", "group" if linked else "img"), ("aria-labelledby", title_id)]
        pairs.append(("aria-describedby", desc_id if scene.description else ""))
        lines = [f"<svg{_attributes(pairs)}>", f'<title id="{title_id}">{_clean(scene.title)}</title>']
        if scene.description:
            lines.append(f'<desc id="{desc_id}">{_clean(scene.description)}</desc>')
    for item in scene.items:
        lines += _item(item)
    lines.append("</svg>")
    return "\n".join(lines)
