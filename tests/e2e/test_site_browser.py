"""The demo site in a browser, opened from a folder: one page of each kind, light and dark, wide and narrow."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from e2e.test_site_whole import pages_by_kind
from needs import find_tool, needs

SCHEMES = ("light", "dark")


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """A headless browser."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        started = playwright.chromium.launch(
            executable_path=str(find_tool("chromium")),
            args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
        )
        yield started
        started.close()


class Watched:
    """A page of the browser with what it asked other hosts for, and what it complained of."""

    def __init__(self, browser: Any, scheme: str, width: int) -> None:
        self.context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)
        self.page = self.context.new_page()
        self.foreign: list[str] = []
        self.errors: list[str] = []
        self.page.on("request", self._request)
        self.page.on("console", self._console)
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))

    def _request(self, request: Any) -> None:
        if not request.url.startswith(("file:", "data:", "blob:", "about:")):
            self.foreign.append(request.url)

    def _console(self, message: Any) -> None:
        if message.type == "error":
            self.errors.append(message.text)

    def open(self, file: Path) -> Any:
        """Open a page of the site from its folder."""
        self.page.goto(file.as_uri())
        return self.page


@needs("chromium")
@pytest.mark.parametrize("scheme", SCHEMES)
def test_no_page_asks_another_host_or_complains(browser: Any, demo_site: Path, scheme: str) -> None:
    watched = Watched(browser, scheme, 1440)
    for file in pages_by_kind(demo_site).values():
        watched.open(file)
    watched.context.close()
    assert watched.foreign == []
    assert watched.errors == []


@needs("chromium", "axe")
@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("width", [1440, 390])
def test_no_serious_barrier_on_any_kind_of_page(browser: Any, demo_site: Path, scheme: str, width: int) -> None:
    script = Path(str(find_tool("axe"))).read_text(encoding="utf-8")
    watched = Watched(browser, scheme, width)
    barriers = []
    for kind, file in pages_by_kind(demo_site).items():
        page = watched.open(file)
        page.evaluate(script)
        found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
        barriers.extend(
            f"{kind}: {one['id']} ({one['impact']}): {one['nodes'][0]['html'][:200]}"
            for one in found["violations"]
            if one["impact"] in ("serious", "critical")
        )
    watched.context.close()
    assert barriers == []


@needs("chromium")
def test_no_page_is_wider_than_a_phone(browser: Any, demo_site: Path) -> None:
    watched = Watched(browser, "light", 390)
    too_wide = []
    for kind, file in pages_by_kind(demo_site).items():
        page = watched.open(file)
        over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if over > 0:
            too_wide.append((kind, over))
    watched.context.close()
    assert too_wide == []


@needs("chromium")
def test_search_finds_an_insert_from_a_folder(browser: Any, demo_site: Path) -> None:
    watched = Watched(browser, "light", 1440)
    page = watched.open(demo_site / "index.html")
    page.locator("[data-db-search]").click()
    page.keyboard.type("ferry")
    page.wait_for_function("document.querySelectorAll('.md-search-result__item').length > 0", timeout=20000)
    found = page.locator(".md-search-result__item a").evaluate_all("links => links.map(link => link.href)")
    watched.context.close()
    assert any("inserts/ferry-ticket.html" in address for address in found)
    assert watched.foreign == []
    assert watched.errors == []


@needs("chromium")
def test_drawn_links_have_their_titles_as_names(browser: Any, demo_site: Path) -> None:
    watched = Watched(browser, "light", 1440)
    page = watched.open(demo_site / "index.html")
    named = page.get_by_role("link", name="Gauge card").count()
    watched.context.close()
    assert named >= 1


@needs("chromium")
def test_the_gallery_is_filtered_by_keyboard(browser: Any, demo_site: Path) -> None:
    watched = Watched(browser, "light", 1440)
    page = watched.open(demo_site / "inserts/index.html")
    shown = "[...document.querySelectorAll('.db-gallery .db-card')].filter(c => c.offsetParent !== null).length"
    before = page.evaluate(shown)
    page.locator(".db-filters input[type=checkbox]").first.focus()
    page.keyboard.press("Space")
    after = page.evaluate(shown)
    said = page.locator(".db-filters output").inner_text()
    watched.context.close()
    assert before >= 18
    assert 0 < after < before
    assert str(after) in said
