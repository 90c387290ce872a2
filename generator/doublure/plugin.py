"""The MkDocs plugin: adds the journal's pages, pictures and data files in memory.

In: the configuration of MkDocs. Out: files for MkDocs to write. Never: computing or judging;
pipeline.py does the work, so that pages are the same by `mkdocs build` and by `doublure build`.
"""

from __future__ import annotations

import logging
import re
from pathlib import Path
from typing import Any, Literal

from mkdocs.config import config_options as option
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page

from doublure import pipeline
from doublure.errors import JournalRejected, UsageError

log = logging.getLogger("mkdocs.plugins.doublure")

#: Stands in a page for a drawing while MkDocs and its search work on the page. Notes cannot forge it: it is
#: looked for in the pages of ours alone, and whatever of it came out of a note has been cleaned away.
_STAND_IN = '<svg data-db-drawing="{}"></svg>'
_STAND_INS = re.compile(re.escape(_STAND_IN).replace(r"\{\}", "([0-9]+)"))


class PluginSettings(Config):  # type: ignore[no-untyped-call]
    """Settings under `plugins: doublure` in mkdocs.yml."""

    journal = option.Type(str, default="journal")


class DoublurePlugin(BasePlugin[PluginSettings]):  # type: ignore[no-untyped-call]
    """Adds what the notes of a journal make to a MkDocs site."""

    def __init__(self) -> None:
        self.root = Path()
        #: The prepared site where `doublure build` has made it already; used once.
        self.prepared: pipeline.PreparedSite | None = None
        #: What was shown last, for `serve` to go on showing while a note is wrong.
        self._last: pipeline.PreparedSite | None = None
        self._serving = False
        #: By source path: the pages whose drawings are set aside until the page is written.
        self._drawn: dict[str, pipeline.SitePage] = {}

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Defined so that MkDocs keeps this instance between the rebuilds of `serve`."""
        self._serving = command == "serve"

    @event_priority(50)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Take the project's place from its mkdocs.yml and bring the look with us."""
        self.root = Path(config.config_file_path or "mkdocs.yml").resolve().parent
        journal = self.root / self.config.journal
        look = pipeline.site_look()
        config.theme.dirs.insert(0, str(look.templates))
        config.extra_css[:0] = list(look.styles)
        config.extra_javascript[:0] = list(look.scripts)
        config.extra.setdefault("generator", False)
        config.extra.setdefault("polyfills", []).append(look.polyfill)
        config.extra.setdefault("doublure", {}).setdefault("feed", "feed.xml")
        for name in ("site_name", "site_description", "site_author", "copyright"):
            if isinstance(words := config.get(name), str):
                config[name] = _without_private(words, f"mkdocs.yml, {name}")
        # A site must open from a folder, where "page/" does not lead to "page/index.html".
        config.use_directory_urls = False
        if journal.is_dir() and str(journal) not in config.watch:
            config.watch.append(str(journal))
        return config

    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        """Add every page, picture and table to what MkDocs writes.

        Raises:
            PluginError: The notes hold errors; every one has been logged before.
        """
        try:
            site, self.prepared = self.prepared, None
            if site is None:
                # Print files take their time, and nobody looks at them between two saves.
                site = pipeline.prepare_site(
                    self.root, self.config.journal, commands=_commands(), with_print=not self._serving
                )
        except JournalRejected as rejected:
            last = self._last if self._serving else None
            for problem in rejected.problems:
                # A server that answers nothing until the note is mended looks dead, and an error makes it so.
                tell = log.info if last is not None else log.error if problem.is_error else log.warning
                tell("%s", problem.format())
            if last is None:
                raise PluginError(str(rejected)) from None
            log.info("%s: the pages stay as they were until the notes are mended", rejected)
            site = last
        self._last = site
        for problem in site.problems:
            # A warning of ours is the maker's to weigh; it must not make --strict refuse the site.
            log.info("%s", problem.format())
        own = {file.src_uri for file in files}
        for file in files.documentation_pages():
            # The handbook is the program's own, and shows the marks as they are written.
            if not file.src_uri.startswith("handbook/"):
                _hide_private(file)
        self._drawn = {}
        for page in site.plan.pages:
            if page.path not in own:
                _add(files, config, page.path, _set_drawings_aside(page))
                self._drawn[page.path] = page
        for item in site.plan.files:
            _add(files, config, item.path, item.text)
        for path, content in site.handbook:
            # A project may keep a handbook of its own, as the demo does.
            if path not in own:
                _add(files, config, path, content)
        for path, source in site.pictures:
            files.append(File.generated(config, path, abs_src_path=str(source)))
        for path, held in site.downloads:
            if isinstance(held, Path):
                files.append(File.generated(config, path, abs_src_path=str(held)))
            else:
                _add(files, config, path, held)
        look = config.extra.setdefault("doublure", {})
        look.setdefault("data", "data/index.html")
        look["cells"] = [{"key": key, "value": value} for key, value in site.plan.label]
        if config.nav is None:
            known = {file.src_uri for file in files}
            made = {page.path for page in site.plan.pages} | {path for path, _ in site.handbook}
            by_hand = sorted(
                uri for uri in own - made if uri.endswith(".md") and not uri.startswith("handbook/")
            )
            config.nav = _navigation(site.plan, known, by_hand)
        return files

    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        """Clean what came from the notes' own Markdown."""
        return pipeline.clean_page(html)

    def whole_pages(self) -> tuple[pipeline.SitePage, ...]:
        """Return the pages that were added last, drawings and all."""
        return tuple(self._drawn.values())

    @event_priority(50)
    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:
        """Put the drawings back."""
        drawn = self._drawn.get(page.file.src_uri)
        if drawn is None:
            return output

        def drawing(found: re.Match[str]) -> str:
            begin, end = drawn.drawings[int(found[1])]
            return drawn.text[begin:end]

        return _STAND_INS.sub(drawing, output)


def _set_drawings_aside(page: pipeline.SitePage) -> str:
    """Return the text of a page with a stand-in for each drawing, which are most of the page.

    Markdown and the search would parse every stroke, to no end; the search would list every dimension.
    """
    parts, done = [], 0
    for number, (begin, end) in enumerate(page.drawings):
        parts += [page.text[done:begin], _STAND_IN.format(number)]
        done = end
    return "".join([*parts, page.text[done:]])


def _hide_private(file: File) -> None:
    """Take private passages out of a page that the maker keeps in docs/."""
    text = file.content_string
    clean = _without_private(text, f"docs/{file.src_uri}")
    if clean != text:
        file.content_string = clean


def _without_private(text: str, where: str) -> str:
    try:
        return pipeline.without_private(text, where)
    except UsageError as error:
        raise PluginError(str(error)) from None


def _add(files: Files, config: MkDocsConfig, path: str, content: str | bytes) -> None:
    added = File.generated(config, path, content=content, inclusion=InclusionLevel.NOT_IN_NAV)
    added.edit_uri = None
    files.append(added)


def _navigation(plan: pipeline.SitePlan, known: set[str], by_hand: list[str]) -> list[Any]:
    """Return the nav of MkDocs: the plan's sections, then what the maker keeps in docs/ by hand."""
    nav: list[Any] = []
    for section in plan.navigation:
        pages = [{title: path} for title, path in section.pages if path in known]
        if section.title and pages:
            nav.append({section.title: pages})
        else:
            nav.extend(pages)
    return [*nav, *by_hand]


def _commands() -> tuple[pipeline.CommandPage, ...]:
    """Describe the commands for the handbook, from the command line's own definitions."""
    from doublure import cli

    return tuple(pipeline.CommandPage(*row) for row in cli.describe_commands())
