"""The order of the steps: read, decode, check, work up, render. Decides nothing else.

In: the project's folder. Out: reports, the prepared site, the built site. Never: formulas, wording.
"""

from __future__ import annotations

import functools
import json
import logging
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from doublure.checks import check_artwork, check_replica, check_stacks, describe_note_faults, names_stacks
from doublure.errors import JournalRejected, UsageError
from doublure.model.artwork import ArtworkFact, ArtworkFault
from doublure.model.replica import ImageFact, Replica
from doublure.notes.field_rows import list_kinds
from doublure.notes.frontmatter import hide_private
from doublure.notes.journal import decode_journal, named_artwork, named_pictures
from doublure.notes.json_schema import json_schemas
from doublure.notes.manuscript import drop_filler
from doublure.printing import PrintFile, list_print_files, publish_files, write_files
from doublure.problems import Problem, sort_problems
from doublure.render.plan import SitePage, SitePlan
from doublure.render.site import plan_site
from doublure.render.site.frame import clean_bodies
from doublure.render.site.handbook import CommandPage, FieldRow, KindTable
from doublure.store import artwork, data_files, handbook, journal_files, journal_paths, look, output, pictures
from doublure.store import cache as cache_store
from doublure.store.journal_paths import config_exists
from doublure.store.print_files import PrintReport
from doublure.workings.all import count_stacks, find_wish_problems, work_up
from doublure.workings.reference import Reference, gather_reference

__all__ = [
    "BuildReport",
    "CheckReport",
    "CommandPage",
    "PreparedSite",
    "PrintReport",
    "SitePage",
    "SitePlan",
]

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What reading and checking a journal gave.

    Attributes:
        replica: Every note that could be decoded; None where there is no usable replica note.
        problems: In the order of file and line.
        facts: What was found of the pictures.
        artwork: What was found of the masters' artwork as something to print, by path relative to the journal.
    """

    replica: Replica | None
    problems: tuple[Problem, ...]
    facts: dict[str, ImageFact]
    artwork: dict[str, ArtworkFact | ArtworkFault] = field(default_factory=dict)

    @property
    def has_errors(self) -> bool:
        """True where the site must not be built."""
        return self.replica is None or any(problem.is_error for problem in self.problems)


@dataclass(frozen=True, slots=True)
class PreparedSite:
    """The site before MkDocs writes it.

    Attributes:
        plan: Pages and text files.
        problems: Warnings of the notes.
        pictures: Path under the site of each published picture, and the file that holds it.
        handbook: Path under the site's source of each file of the handbook, and its content.
        downloads: Path under the site of each published print file, and its content or the file that holds it.
        print_files: Every print file that can be made, published or not; () where none was asked for.
        left_out: Plates that cannot be printed, because artwork is missing or cannot be used.
    """

    plan: SitePlan
    problems: tuple[Problem, ...]
    pictures: tuple[tuple[str, Path], ...]
    handbook: tuple[tuple[str, bytes], ...]
    downloads: tuple[tuple[str, bytes | Path], ...] = ()
    print_files: tuple[PrintFile, ...] = ()
    left_out: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class BuildReport:
    """A built site.

    Attributes:
        site: Its folder.
        pages: How many pages it has.
        problems: The warnings of the notes.
        printed: What became of the print files beside it; None where none were asked for.
        left_out: Plates that are in no print file, because artwork is missing or cannot be used.
    """

    site: Path
    pages: int
    problems: tuple[Problem, ...]
    printed: PrintReport | None = None
    left_out: tuple[int, ...] = ()

    @property
    def is_whole(self) -> bool:
        """False where artwork is wrong (and not merely not there yet), or a print file could not be made."""
        is_wrong = any(problem.code.startswith("A1") for problem in self.problems)
        return not is_wrong and not (self.printed is not None and self.printed.failed)


def check_journal(root: Path, journal: str = "journal", *, with_streams: bool = False) -> CheckReport:
    """Read, decode and check every note of a project.

    Args:
        root: The project's folder.
        journal: Name of the journal's folder in it.
        with_streams: True where print files will be made: artwork that has to be decoded is made ready for them.

    Raises:
        UsageError: There is no journal.
    """
    if not journal_paths.journal_exists(root, journal):
        raise UsageError(f"there is no folder {journal}/ here; `doublure start` makes one")
    sources, note_faults = journal_files.read_sources(root, journal)
    replica, found = decode_journal(sources, note_faults)
    problems = [*describe_note_faults(note_faults), *found]
    facts: dict[str, ImageFact] = {}
    found_artwork: dict[str, ArtworkFact | ArtworkFault] = {}
    if replica is not None:
        cache = cache_store.Cache.of_project(root)
        shown = {file for file, _ in named_pictures(replica)}
        printed = {file for file, _ in named_artwork(replica)}
        facts, faults = pictures.inspect_pictures(root, shown, cache, artwork=printed, journal=journal)
        # What is wrong with artwork is said of it as something to print, not as a picture.
        faults = tuple(fault for fault in faults if fault.file in shown or fault.file not in printed)
        problems.extend(check_replica(replica, faults, facts))
        fit, unfit = artwork.inspect_artwork(
            root, printed, cache, journal, with_streams=with_streams and replica.book is not None
        )
        problems.extend(check_artwork(replica, fit, unfit))
        if not any(problem.code == "B115" for problem in problems):
            problems.extend(find_wish_problems(replica))
        if names_stacks(replica) and (planned := count_stacks(replica)) is not None:
            problems.extend(check_stacks(replica, planned))
        found_artwork = {**fit, **{fault.file: fault for fault in unfit}}
    return CheckReport(replica, sort_problems(problems), facts, found_artwork)


def prepare_site(
    root: Path,
    journal: str = "journal",
    *,
    commands: Sequence[CommandPage] = (),
    with_print: bool = True,
    with_streams: bool = False,
) -> PreparedSite:
    """Do everything up to the point where MkDocs takes over.

    Args:
        root: The project's folder.
        journal: Name of the journal's folder in it.
        commands: What the command line says of itself, for the handbook.
        with_print: False to make no print files, not even those that lie in the site, so that it is quick.
        with_streams: True where every print file will be made, so that no artwork is decoded twice.

    Raises:
        JournalRejected: The notes hold errors.
        UsageError: There is no journal.
    """
    report = check_journal(root, journal, with_streams=with_streams)
    if report.replica is None or report.has_errors:
        raise JournalRejected(report.problems)
    workings = work_up(report.replica, report.facts, read_reference(), report.artwork)
    cache = cache_store.Cache.of_project(root)
    print_files = list_print_files(root, workings, journal) if with_print else ()
    files = publish_files(print_files, cache)
    plan = plan_site(workings, commands, _field_tables(), [file.download for file in files])
    jobs = [
        (report.facts[picture.file], picture.width_px)
        for picture in plan.pictures
        if picture.file in report.facts
    ]
    made, _ = pictures.make_thumbnails(root, jobs, cache, journal=journal)
    published = tuple(
        (picture.path, made[picture.file, picture.width_px])
        for picture in plan.pictures
        if (picture.file, picture.width_px) in made
    )
    own = tuple((f"handbook/{name}", content) for name, content in handbook.handbook_files())
    return PreparedSite(
        plan=plan,
        problems=report.problems,
        pictures=published,
        handbook=own,
        downloads=tuple((file.download.path, file.content) for file in files),
        print_files=print_files,
        left_out=workings.press.unprintable,
    )


@functools.cache
def read_reference() -> Reference:
    """Read the reference facts that ship with the package."""
    return gather_reference(
        data_files.read_rows("period_formats"),
        data_files.read_rows("paper_sizes"),
        data_files.read_rows("paper_families"),
        data_files.read_rows("paper_equivalence"),
    )


@functools.cache
def _field_tables() -> tuple[KindTable, ...]:
    return tuple(
        KindTable(
            kind.name,
            kind.noun,
            kind.help,
            kind.place,
            tuple(FieldRow(*row) for row in kind.fields),
            tuple((name, tuple(FieldRow(*row) for row in rows)) for name, rows in kind.groups),
        )
        for kind in list_kinds()
    )


def clean_page(html: str) -> str:
    """Return a page's HTML with what came from a note's own text cleaned."""
    return clean_bodies(html)


def without_private(text: str, where: str) -> str:
    """Return a text of the project's own, such as a page of docs/, without its private passages.

    Args:
        text: The text.
        where: What to call it in a message.

    Raises:
        UsageError: A private mark has no partner, so that nobody can say what is private.
    """
    hidden = hide_private(text)
    if hidden.faults:
        line = text.count("\n", 0, hidden.faults[0].start) + 1
        raise UsageError(f"{where}:{line}: {hidden.faults[0].message}; {hidden.faults[0].hint}")
    return drop_filler(hidden.text)


def site_look() -> look.SiteLook:
    """Return where the look of the site lies, for the plugin to register."""
    return look.site_look()


def build_site(
    root: Path,
    *,
    commands: Sequence[CommandPage] = (),
    progress: Progress = lambda words: None,
    with_print: bool = True,
) -> BuildReport:
    """Check the notes, build the site beside the old one, make the print files, and swap the site in.

    The print files are made while the new site waits beside the old one: what fails on the way leaves both as
    they were, but for print files that are whole already.

    Args:
        root: The project's folder.
        commands: What the command line says of itself, for the handbook.
        progress: Told what is done next.
        with_print: False to leave the folder print/ alone. The site is the same.

    Raises:
        JournalRejected: The notes hold errors; the old site is as it was.
        UsageError: MkDocs refused the project; the old site is as it was.
    """
    from mkdocs.commands.build import build
    from mkdocs.config import load_config
    from mkdocs.exceptions import Abort, BuildError, ConfigurationError

    if not config_exists(root):
        raise UsageError("there is no mkdocs.yml here; `doublure start .` writes one beside your notes")
    # MkDocs would log every line of its own progress; what matters to the maker are warnings and errors.
    lines = _LineCollector()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(lines)
    logger.setLevel(logging.WARNING)
    logger.propagate = False
    try:
        config = load_config(config_file=str(root / "mkdocs.yml"), strict=True)
        plugin = config.plugins.get("doublure")
        if plugin is None:
            raise UsageError("mkdocs.yml does not name the plugin: add doublure under plugins:")
        progress("checking the notes")
        prepared = prepare_site(root, plugin.config["journal"], commands=commands, with_streams=with_print)
        progress("building the site")
        target = Path(config.site_dir)
        with output.replace_site(root, target) as fresh:
            config.site_dir = str(fresh)
            # The plugin would do all of it once more; what is ready it takes from here.
            plugin.prepared = prepared
            config.plugins.on_startup(command="build", dirty=False)
            try:
                build(config)
            finally:
                config.plugins.on_shutdown()
            pages = output.count_pages(fresh)
            printed = None
            if with_print:
                cache = cache_store.Cache.of_project(root)
                printed = write_files(root, prepared.print_files, cache, progress)
    except (Abort, BuildError, ConfigurationError) as error:
        words = "; ".join(lines.lines) or str(error)
        raise UsageError(f"the site was not built, the old one is as it was: {words}") from None
    finally:
        logger.removeHandler(lines)
    return BuildReport(target, pages, prepared.problems, printed, prepared.left_out)


def serve(root: Path, host: str = "127.0.0.1", port: int = 8000) -> None:
    """Serve the site and build it again whenever a note is saved."""
    from mkdocs.commands.serve import serve as mkdocs_serve

    mkdocs_serve(config_file=str(root / "mkdocs.yml"), dev_addr=f"{host}:{port}", livereload=True)


def schema_files() -> tuple[tuple[str, str], ...]:
    """Return (file name, text) of the JSON Schema of each kind of note."""
    return tuple(
        (f"{kind}.json", json.dumps(schema, indent=2, ensure_ascii=False) + "\n")
        for kind, schema in json_schemas().items()
    )


def list_problems(problems: Iterable[Problem]) -> str:
    """Return all problems in print, one below the other."""
    return "\n".join(problem.format() for problem in problems)


class _LineCollector(logging.Handler):
    """Keeps warnings and errors as lines, each once."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one record."""
        line = record.getMessage()
        if line not in self.lines:
            self.lines.append(line)
