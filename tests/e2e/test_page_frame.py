"""The frame of a page in a browser: search, drawer, filters, pictures, schemes, print; from a folder and a server.

Built by plain MkDocs from a few pages of its own, so that a fault here is a fault of the look.
"""

from __future__ import annotations

import functools
import http.server
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from doublure.render.gallery import Card, Choice, Filter, render_gallery
from doublure.render.html import (
    Html,
    Link,
    Question,
    render_answer,
    render_caution,
    render_questions,
    render_rows,
    render_working,
)
from doublure.render.logcards import LogCard, render_log
from doublure.render.pictures import Picture, Thumbnail, render_pictures
from doublure.render.table import Cell, Column, Table, render_table_html
from doublure.store.look import site_look
from needs import find_tool, needs

pytestmark = needs("chromium")

PAGES = ("index.html", "inserts/index.html", "inserts/tide-pass.html", "handbook/standing.html")
SWATCH = Html(
    '<svg viewBox="0 0 28 10" width="28" height="10" stroke="currentColor"><path d="M0 5h28"/></svg>'
)
SERIOUS = ("serious", "critical")


def picture(up: str, name: str) -> Picture:
    """Return one of the pictures that the small site holds."""
    small = Thumbnail(f"{up}pictures/{name}-480.png", 48, 32)
    return Picture(
        f"Picture {name}", small, Thumbnail(f"{up}pictures/{name}-1400.png", 140, 93), f"Caption {name}"
    )


def write_pages(docs: Path) -> None:
    """Write one page of each kind."""
    sheet = "---\ntitle: {}\nkind: sample\nhide: [navigation, toc]\n---\n\n"
    cards = [
        Card(Link(name, "tide-pass.html"), filed_under={"standing": (standing,), "state": (state,)})
        for name, standing, state in (
            ("Tide pass", "settled", "printed"),
            ("Harbour ticket", "disputed", "trial"),
            ("Letter", "thin", "printed"),
        )
    ]
    filters = [
        Filter("standing", "Standing", tuple(Choice(w, w, SWATCH) for w in ("settled", "thin", "disputed"))),
        Filter("state", "State of work", (Choice("printed", "printed"), Choice("trial", "trial"))),
    ]
    columns = (Column("source", "Source"), Column("width_mm", "Width", "mm", numeric=True, decimals=1))
    table = Table("w", "Readings", columns, ((Cell("Frame", "Frame", "#x"), 63.2),), method="Weighted mean.")
    blocks: dict[str, list[str]] = {
        "index.md": [
            render_answer("A notebook with three inserts."),
            "## Open",
            render_questions(
                [Question("How wide?", (Link("Ticket", "inserts/tide-pass.html"),), "The cut.")]
            ),
            "## Pictures",
            render_pictures([picture("", "a"), picture("", "b")]),
        ],
        "inserts/index.md": [render_answer("Three inserts."), render_gallery(cards, filters)],
        "inserts/tide-pass.md": [
            render_answer("A card tipped in."),
            render_rows([("Stock", "buff card"), ("Standing", "settled")]),
            "## Size",
            render_table_html(table, csv_href="../data/w.csv"),
            render_working(["Weighted by the inverse of the variance."], inputs=[("Frame", "63.2 mm")]),
            "## Cautions",
            render_caution(["Blades cut."], title="Cutting", defer="Local rules come first."),
            "## Log",
            render_log([LogCard("2031-03-09", "9 March", "Printed on cartridge.", ident="a")]),
        ],
    }
    for path, parts in blocks.items():
        (docs / path).parent.mkdir(parents=True, exist_ok=True)
        (docs / path).write_text(sheet.format(path) + "\n\n".join(parts) + "\n", "utf-8")
    (docs / "handbook").mkdir()
    wide = "| " + " | ".join(["circumnavigation"] * 7) + " |\n" + "|---" * 7 + "|\n" + "| x " * 7 + "|\n"
    (docs / "handbook" / "standing.md").write_text(
        f"# Standing\n\nOn one stem.\n\n## A\n\n{wide}\n## B\n\n`y`\n", "utf-8"
    )
    (docs / "handbook" / "index.md").write_text("# Handbook\n\nBegin.\n", "utf-8")
    (docs / "data").mkdir()
    (docs / "data" / "w.csv").write_text("source,width_mm\n", "utf-8")
    (docs / "pictures").mkdir()
    for name in "ab":
        for width, size in ((480, (48, 32)), (1400, (140, 93))):
            Image.new("RGB", size, (200, 180, 150)).save(docs / "pictures" / f"{name}-{width}.png")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small site in the look."""
    project = tmp_path_factory.mktemp("look")
    look = site_look()
    write_pages(project / "docs")
    (project / "mkdocs.yml").write_text(
        "site_name: The small notebook\nstrict: true\n"
        f"theme: {{name: material, custom_dir: '{look.templates}', font: false}}\n"
        "plugins: [search, offline]\n"
        f"extra: {{polyfills: ['{look.polyfill}']}}\n"
        f"extra_css: {list(look.styles)}\nextra_javascript: {list(look.scripts)}\n"
        "markdown_extensions: [attr_list, md_in_html, tables]\n"
        "nav: [{First page: index.md}, {Inserts: inserts/index.md},"
        " {Handbook: [handbook/index.md, handbook/standing.md]}]\n",
        "utf-8",
    )
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "-q"],
        cwd=project, env=os.environ | {"NO_MKDOCS_2_WARNING": "1"}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    return project / "site"


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        """Say nothing."""


@pytest.fixture(scope="module", params=["folder", "server"])
def base(request: pytest.FixtureRequest, site: Path) -> Iterator[str]:
    """Address of the site, opened from its folder or from a web server."""
    if request.param == "folder":
        yield site.as_uri() + "/"
        return
    handler = functools.partial(_Quiet, directory=str(site))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()
        thread.join()


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """A headless browser."""
    sync_api = pytest.importorskip("playwright.sync_api")
    with sync_api.sync_playwright() as playwright:
        opened = playwright.chromium.launch(
            executable_path=str(find_tool("chromium")),
            args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
        )
        yield opened
        opened.close()


@pytest.fixture
def open_page(browser: Any, base: str) -> Iterator[Any]:
    """A function that opens a page; at the end no request has left the site and the console is empty."""
    contexts: list[Any] = []
    complaints: list[str] = []

    def opener(path: str, width: int = 1440, scheme: str = "light", **more: Any) -> Any:
        context = browser.new_context(viewport={"width": width, "height": 844}, color_scheme=scheme, **more)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda m: complaints.append(m.text) if m.type in ("error", "warning") else None)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        inside = (base, "data:", "about:")
        page.on("request", lambda r: None if r.url.startswith(inside) else complaints.append(r.url))
        page.goto(base + path)
        page.wait_for_function("document.documentElement.classList.contains('js')")
        return page

    yield opener
    for context in contexts:
        context.close()
    assert complaints == []


@pytest.mark.parametrize("width", [1440, 390])
def test_search_finds_a_word_and_leads_there(open_page: Any, width: int) -> None:
    page = open_page("index.html", width)
    page.click("[data-db-search]")
    assert page.get_attribute("[data-db-search]", "aria-expanded") == "true"
    page.keyboard.type("cartridge")
    first = page.locator(".md-search-result__link").first
    first.wait_for()
    assert first.get_attribute("href").endswith("inserts/tide-pass.html")
    assert "1 matching" in page.inner_text(".db-search__count")
    page.keyboard.press("ArrowDown")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert "inserts/tide-pass.html" in page.url


def test_search_opens_and_closes_by_keyboard(open_page: Any) -> None:
    page = open_page("index.html")
    page.keyboard.press("/")
    assert page.evaluate("document.activeElement.name") == "query"
    page.keyboard.press("Tab")
    assert page.is_visible("#db-search")
    page.keyboard.press("Escape")
    assert not page.is_visible("#db-search")
    assert page.evaluate("document.activeElement.hasAttribute('data-db-search')")


def test_drawer_by_keyboard_and_touch(open_page: Any) -> None:
    page = open_page("handbook/standing.html", 390, has_touch=True)
    assert not page.is_visible("#db-places")
    page.focus("[data-db-drawer]")
    page.keyboard.press("Enter")
    assert page.is_visible("#db-places")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "First page"
    page.keyboard.press("Escape")
    assert not page.is_visible("#db-places")
    assert page.evaluate("document.activeElement.hasAttribute('data-db-drawer')")
    page.tap("[data-db-drawer]")
    assert page.is_visible("#db-places")
    page.touchscreen.tap(200, 830)
    assert not page.is_visible("#db-places")


def test_band_marks_where_a_page_outside_the_navigation_lies(open_page: Any) -> None:
    page = open_page("inserts/tide-pass.html")
    assert page.locator(".db-places [aria-current]").all_inner_texts() == ["Inserts"]
    assert page.locator(".db-trail a").all_inner_texts() == ["Inserts"]
    assert page.locator(".db-contents").count() == 0


def test_handbook_keeps_its_contents_beside_the_page(open_page: Any) -> None:
    page = open_page("handbook/standing.html")
    assert page.is_visible(".db-contents")
    assert page.locator(".db-contents a").all_inner_texts() == ["Handbook", "Standing", "A", "B"]
    narrow = open_page("handbook/standing.html", 390)
    assert not narrow.is_visible(".db-contents a")
    narrow.click(".db-contents summary")
    assert narrow.is_visible(".db-contents a >> nth=0")


def test_filters_count_what_they_leave(open_page: Any) -> None:
    page = open_page("inserts/index.html?state=printed")

    def shown() -> tuple[str, int]:
        return page.inner_text("output"), page.locator(".db-card:visible").count()

    assert shown() == ("2 of 3 inserts", 2)
    page.check("input[value=settled]")
    assert shown() == ("1 of 3 inserts", 1)
    page.check("input[value=thin]")
    assert shown() == ("2 of 3 inserts", 2)
    page.click("button[type=reset] >> text=Show all")
    page.wait_for_function("document.querySelectorAll('.db-card[hidden]').length === 0")
    assert shown() == ("3 inserts", 3)


def test_cards_are_a_plain_list_without_scripts(open_page: Any, browser: Any, base: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(base + "inserts/index.html")
    assert page.locator(".db-card:visible").count() == 3
    assert not page.is_visible(".db-filters")
    assert not page.is_visible("[data-db-search]")
    assert page.is_visible("#db-places a >> nth=0")
    context.close()


def test_pictures_open_large_and_give_the_focus_back(open_page: Any) -> None:
    page = open_page("index.html")
    page.focus("[data-db-large] >> nth=0")
    page.keyboard.press("Enter")
    assert page.inner_text(".db-large__count") == "Picture 1 of 2"
    page.keyboard.press("ArrowRight")
    assert page.inner_text(".db-large__words") == "Caption b"
    page.keyboard.press("Escape")
    page.wait_for_function("!document.querySelector('dialog[open]')")
    # The dialog is closed first, and tells of it a moment later: only then is the focus put back.
    page.wait_for_function("document.activeElement.getAttribute('href') === 'pictures/b-1400.png'")


def test_scheme_follows_the_system_until_chosen(open_page: Any) -> None:
    page = open_page("index.html", scheme="dark")
    ground = "getComputedStyle(document.body).backgroundColor"
    dark = page.evaluate(ground)
    page.click("[data-db-scheme-toggle]")
    light = page.evaluate(ground)
    assert light != dark
    page.reload()
    assert page.evaluate(ground) == light
    page.click("[data-db-scheme-toggle]")
    assert page.evaluate(ground) == dark
    assert page.evaluate("localStorage.getItem('doublure.scheme')") is None


def test_print_unfolds_workings_and_leaves_the_frame_out(open_page: Any) -> None:
    page = open_page("inserts/tide-pass.html", scheme="dark")
    assert not page.is_visible(".db-working__body")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    assert page.is_visible(".db-working__body")
    assert page.is_visible(".db-caution")
    for part in ("#db-places", ".db-label__tools", "#db-search"):
        assert not page.is_visible(part)
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"


@pytest.mark.parametrize("width", [768, 320])
def test_nothing_sticks_out(open_page: Any, width: int) -> None:
    for path in PAGES:
        page = open_page(path, width)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path


@needs("axe")
@pytest.mark.parametrize(("scheme", "width"), [("light", 1440), ("dark", 390)])
def test_nothing_serious_bars_the_way(open_page: Any, scheme: str, width: int) -> None:
    script = find_tool("axe")
    assert script is not None
    axe = script.read_text("utf-8")
    for path in PAGES:
        page = open_page(path, width, scheme)
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true })")
        page.evaluate(axe)
        # Without `preload` it fetches the style sheets again, which a page opened from a folder may not.
        found = page.evaluate("axe.run({preload: false}).then((result) => result.violations)")
        assert [one["id"] for one in found if one["impact"] in SERIOUS] == [], path
