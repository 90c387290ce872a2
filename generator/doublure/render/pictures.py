"""Pictures with their captions and credits, opened large in a dialog (theme/assets/pictures.js).

In: addresses and sizes of thumbnails already made. Out: Html. Never: opening a picture.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from doublure.render.html import Html, Shown, escape_source, escape_text


@dataclass(frozen=True, slots=True)
class Thumbnail:
    """One published width of a picture.

    Attributes:
        href: Address as seen from the page.
        width_px: Width in pixels, at least 1.
        height_px: Height in pixels, at least 1.
    """

    href: str
    width_px: int
    height_px: int


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture to be shown.

    Attributes:
        alt: What it shows, for those who cannot see it; "" where the caption says all of it.
        small: The width for phones and cards.
        large: The width for looking closely.
        caption: What stands below it.
        credit: Whose it is and on what terms.
    """

    alt: str
    small: Thumbnail
    large: Thumbnail
    caption: Shown = ""
    credit: Shown = ""


def render_image(picture: Picture, sizes: str, *, lazy: bool = True) -> Html:
    """Return the bare image with both widths to choose from.

    Args:
        picture: The picture.
        sizes: Width it takes on the page, as the HTML attribute `sizes` has it.
        lazy: False for the picture that a page opens with.

    Raises:
        ValueError: A width or height below 1.
    """
    small, large = picture.small, picture.large
    if min(small.width_px, small.height_px, large.width_px, large.height_px) < 1:
        raise ValueError("a picture must be at least one pixel wide and high")
    both = f"{escape_source(small.href)} {small.width_px}w"
    if (large.href, large.width_px) != (small.href, small.width_px):
        both += f", {escape_source(large.href)} {large.width_px}w"
    wait = ' loading="lazy"' if lazy else ""
    return Html(
        f'<img src="{escape_source(small.href)}" srcset="{both}" sizes="{escape_text(sizes)}" '
        f'width="{small.width_px}" height="{small.height_px}" alt="{escape_text(picture.alt)}"{wait} '
        'decoding="async">'
    )


def render_picture(
    picture: Picture, *, sizes: str = "(min-width: 62em) 640px, 92vw", lazy: bool = True
) -> Html:
    """Return a picture with caption and credit; a click or Enter opens it large."""
    words = ""
    if picture.caption:
        words += f'<span class="db-picture__caption">{escape_text(picture.caption)}</span>'
    if picture.credit:
        words += f' <span class="db-picture__credit">{escape_text(picture.credit)}</span>'
    below = f"<figcaption>{words}</figcaption>" if words else ""
    name = picture.alt or "picture"
    return Html(
        f'<figure class="db-picture"><a class="db-picture__open" href="{escape_source(picture.large.href)}" '
        f'data-db-large aria-label="Open large: {escape_text(name)}">'
        f"{render_image(picture, sizes, lazy=lazy)}</a>{below}</figure>"
    )


def render_pictures(pictures: Sequence[Picture]) -> Html:
    """Return several pictures side by side, all of one height; "" for none."""
    if not pictures:
        return Html("")
    one = "".join(render_picture(picture, sizes="(min-width: 62em) 320px, 46vw") for picture in pictures)
    return Html(f'<div class="db-pictures">{one}</div>')
