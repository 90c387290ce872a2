"""Pieces of HTML: inert text, safe addresses, balanced tags, whole within Markdown."""

from __future__ import annotations

import doctest
from html.parser import HTMLParser

import markdown
import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.render import html as pieces
from doublure.render.gallery import MOST_BOXES, Card, Choice, Filter, render_cards, render_gallery
from doublure.render.html import (
    Fact,
    Html,
    Link,
    Question,
    escape_href,
    escape_source,
    escape_text,
    join_html,
    render_answer,
    render_caution,
    render_drawing,
    render_facts,
    render_link,
    render_pager,
    render_parts,
    render_place,
    render_questions,
    render_rows,
    render_standing,
    render_state,
    render_working,
    slug,
)
from doublure.render.logcards import LogCard, render_log
from doublure.render.pictures import Picture, Thumbnail, render_image, render_picture, render_pictures

VOID = {"img", "input", "br", "hr", "path"}
NASTY = "</p><script>alert(\"1\")</script> & *bold* _it_ `code` [a](b) \\ 'x'"
SWATCH = Html('<svg viewBox="0 0 9 2"><path d="M0 1h9"/></svg>')
PICTURE = Picture(
    "A pass", Thumbnail("../pictures/a-480.webp", 480, 320), Thumbnail("../pictures/a-1400.webp", 1400, 933)
)


class Reader(HTMLParser):
    """Reads a piece: its tags with their attributes, and its text; complains of tags left open."""

    def __init__(self, piece: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.open: list[str] = []
        self.feed(piece)
        self.close()
        assert self.open == [], f"left open: {self.open} in {piece}"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        assert len(set(names)) == len(names), f"an attribute twice in <{tag}>"
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    @property
    def text(self) -> str:
        return "".join(self.words)

    def attributes(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.tags if name == tag]


def every_piece(text: str) -> dict[str, str]:
    """Return each piece with the same text wherever text may stand."""
    link = Link(text, "../a.html#b")
    picture = Picture(text, PICTURE.small, PICTURE.large, text, text)
    return {
        "answer": render_answer(text),
        "drawing": render_drawing(SWATCH, caption=text, label=text, scroll=bool(text)),
        "facts": render_facts([Fact(text, text, text, "a.html"), Fact(text, text)], text),
        "rows": render_rows([(text, text), (text, Html("<b>x</b>"))]),
        "standing": render_standing(text, SWATCH),
        "state": render_state(text),
        "place": render_place(link),
        "caution": render_caution([text, text], title=text, defer=text),
        "questions": render_questions([Question(text, (link, link), text), Question(text)]),
        "working": render_working([text], summary=text, inputs=[(text, text)], method=link, source=text),
        "pager": render_pager(link, link, text),
        "parts": render_parts([link, link], text),
        "picture": render_picture(picture),
        "pictures": render_pictures([picture, picture]),
        "gallery": render_gallery(
            [Card(link, SWATCH, (render_state(text),), (text,), {"stock": ("a",)})],
            [Filter("stock", text, (Choice("a", text, SWATCH), Choice("b", text)))],
            noun=text,
        ),
        "cards": render_cards([Card(link)]),
        "log": render_log(
            [LogCard("2031-03-09", text, text, link, (link, Link(text)), (text,), (picture,), "e1")]
        ),
    }


def test_examples_in_docstrings() -> None:
    result = doctest.testmod(pieces)
    assert result.attempted > 0
    assert result.failed == 0


@pytest.mark.parametrize("name", sorted(every_piece("x")))
def test_text_is_inert_everywhere(name: str) -> None:
    piece = every_piece(NASTY)[name]
    read = Reader(piece)
    assert "script" not in [tag for tag, _ in read.tags]
    assert NASTY in read.text or any(value == NASTY for _, found in read.tags for value in found.values())


@pytest.mark.parametrize("name", sorted(every_piece("x")))
@pytest.mark.parametrize("extensions", [[], ["attr_list", "md_in_html", "tables", "sane_lists"]])
def test_pieces_pass_through_markdown_unchanged(name: str, extensions: list[str]) -> None:
    piece = every_piece(NASTY + "\r\n\r\n\n    # not a heading")[name]
    inline = name in ("standing", "state", "place")
    source = f"Before {piece} after.\n" if inline else f"Before\n\n{piece}\n\nAfter\n"
    out = markdown.markdown(source, extensions=extensions)
    assert piece in out
    assert "<h1" not in out
    assert "<em>" not in out


@given(st.text())
def test_escaped_text_reads_as_written(text: str) -> None:
    shown = escape_text(text)
    read = Reader(f'<p title="{shown}">{shown}</p>')
    plain = read.text.split()
    assert plain == [
        word
        for word in "".join(" " if ord(c) < 32 or c in "\x7f\x85\u2028\u2029" else c for c in text).split()
    ]
    assert len(read.tags) == 1
    assert "\n" not in shown
    assert "\r" not in shown


def test_html_is_not_escaped_twice() -> None:
    assert escape_text(escape_text("a & b")) == "a &amp; b"
    assert join_html(["<", Html("<b>x</b>")], " & ") == "&lt; &amp; <b>x</b>"


@pytest.mark.parametrize(
    "href",
    [
        "a.html",
        "../a/b.html#c",
        "#c",
        "/x",
        "",
        "https://example.org/?a=b&c",
        "mailto:a@example.org",
        "a?b=c:d",
    ],
)
def test_addresses_that_may_be_linked(href: str) -> None:
    assert Reader(f'<a href="{escape_href(href)}">x</a>').attributes("a") == [{"href": href}]


@pytest.mark.parametrize(
    "href",
    ["javascript:alert(1)", " JavaScript:x", "data:text/html,x", "vbscript:x", "java\nscript:x", "\x01a:b"],
)
def test_addresses_that_may_not(href: str) -> None:
    with pytest.raises(ValueError, match="cannot be linked"):
        escape_href(href)


@pytest.mark.parametrize(
    "href", ["https://example.org/a.png", "//example.org/a.png", "HTTP://a", "data:image/png,x"]
)
def test_pages_load_nothing_from_elsewhere(href: str) -> None:
    with pytest.raises(ValueError, match="elsewhere"):
        escape_source(href)
    with pytest.raises(ValueError, match="elsewhere"):
        render_image(Picture("", Thumbnail(href, 1, 1), PICTURE.large), "1px")


def test_slug_is_never_empty() -> None:
    assert slug("Not begun") == "not-begun"
    assert slug("§") == "x"


def test_link_without_address_is_words_alone() -> None:
    assert render_link(Link("a & b")) == "a &amp; b"
    assert render_place(Link("pocket")) == '<span class="db-place">pocket</span>'


def test_standing_says_its_word_and_hides_its_line() -> None:
    read = Reader(render_standing("disputed", SWATCH))
    assert read.text == "disputed"
    assert read.attributes("span")[1]["aria-hidden"] == "true"


def test_caution_begins_with_the_word() -> None:
    read = Reader(render_caution(["Blades cut."], title="Cutting", defer="Local rules come first."))
    assert read.text == "Caution CuttingBlades cut.Local rules come first."


def test_a_moving_drawing_can_be_reached_and_is_named() -> None:
    window = Reader(render_drawing(SWATCH, label="The strip", scroll=True)).attributes("div")[0]
    assert (window["tabindex"], window["aria-label"]) == ("0", "The strip")
    with pytest.raises(ValueError, match="label"):
        render_drawing(SWATCH, scroll=True)


def test_nothing_makes_nothing() -> None:
    for empty in (
        render_rows([]),
        render_rows([("Size", "")]),
        render_questions([]),
        render_pager(None, None),
    ):
        assert empty == ""
    assert render_parts([Link("one", "#one")]) == ""
    assert render_pictures([]) == ""
    assert render_log([]) == ""


def test_working_is_folded_and_keeps_blocks_whole() -> None:
    piece = render_working([Html("<pre>a = b</pre>"), "Text."], method=Link("The method", "m.html"))
    read = Reader(piece)
    assert read.attributes("details") == [{"class": "db-working"}]
    assert "<p><pre>" not in piece
    assert "<p>Text.</p>" in piece


def test_pager_says_which_way() -> None:
    links = Reader(render_pager(Link("One", "1.html"), Link("Three", "3.html"))).attributes("a")
    assert [(link["rel"], link["href"]) for link in links] == [("prev", "1.html"), ("next", "3.html")]


def test_picture_offers_both_widths_and_opens_large() -> None:
    read = Reader(render_picture(PICTURE))
    image = read.attributes("img")[0]
    assert image["srcset"] == "../pictures/a-480.webp 480w, ../pictures/a-1400.webp 1400w"
    assert (image["width"], image["height"], image["alt"]) == ("480", "320", "A pass")
    assert image["loading"] == "lazy"
    link = read.attributes("a")[0]
    assert link["href"] == "../pictures/a-1400.webp"
    assert "data-db-large" in link
    assert link["aria-label"] == "Open large: A pass"
    assert "loading" not in Reader(render_image(PICTURE, "1px", lazy=False)).attributes("img")[0]


def test_a_small_picture_is_offered_once() -> None:
    same = Picture("", PICTURE.small, PICTURE.small)
    assert Reader(render_image(same, "1px")).attributes("img")[0]["srcset"] == "../pictures/a-480.webp 480w"


def test_picture_without_extent_is_refused() -> None:
    with pytest.raises(ValueError, match="one pixel"):
        render_image(Picture("", Thumbnail("a", 0, 1), PICTURE.large), "1px")


def test_gallery_without_a_script_is_a_plain_list() -> None:
    cards = [
        Card(Link(name, f"{name}.html"), filed_under={"state": (name, "any|"[:3])}) for name in ("a", "b")
    ]
    read = Reader(render_gallery(cards, [Filter("state", "State", (Choice("a", "a"), Choice("b", "b")))]))
    assert "hidden" in read.attributes("form")[0]
    assert [card["data-filed-state"] for card in read.attributes("li")] == ["a|any", "b|any"]
    assert all("hidden" not in card for card in read.attributes("li"))
    assert read.attributes("output")[0]["aria-live"] == "polite"


def test_many_choices_make_a_list_few_make_boxes() -> None:
    def choices(count: int) -> tuple[Choice, ...]:
        return tuple(Choice(str(n), str(n)) for n in range(count))

    few = Reader(render_gallery([], [Filter("stock", "Stock", choices(MOST_BOXES))]))
    many = Reader(render_gallery([], [Filter("stock", "Stock", choices(MOST_BOXES + 1))]))
    assert len(few.attributes("input")) == MOST_BOXES
    assert few.attributes("select") == []
    assert len(many.attributes("option")) == MOST_BOXES + 2
    assert many.attributes("input") == []
    assert len(many.attributes("fieldset")) == len(few.attributes("fieldset")) == 1


def test_a_filter_with_one_choice_is_left_out() -> None:
    assert "<form" not in render_gallery([], [Filter("stock", "Stock", (Choice("a", "a"),))])


def test_a_key_that_would_be_torn_apart_is_refused() -> None:
    with pytest.raises(ValueError, match="filter key"):
        render_gallery([], [Filter("stock", "Stock", (Choice("a|b", "a"), Choice("b", "b")))])


def test_log_entry_carries_a_date_for_machines() -> None:
    read = Reader(render_log([LogCard("2031-03-09", "9 March", "Cut the card.", ident="2031-03-09-a")]))
    assert read.attributes("time")[0]["datetime"] == "2031-03-09"
    assert read.attributes("li")[0]["id"] == "2031-03-09-a"
    assert read.text == "9 March Cut the card."
