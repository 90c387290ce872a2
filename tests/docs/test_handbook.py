"""The handbook: its anchors, its links, what every method must say, and what it shows of the program."""

from __future__ import annotations

import posixpath
import re
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from doublure import cli
from doublure.checks import check_replica
from doublure.model.source import SourceText
from doublure.notes.journal import decode_journal
from doublure.notes.packs import (
    parse_amount,
    parse_minutes,
    parse_pack,
    parse_sheets,
    parse_size_mm,
    parse_spares,
)
from doublure.notes.schema import KINDS
from doublure.problem_codes import CODES, GROUPS
from doublure.problems import sort_problems
from doublure.quantities import (
    QuantityError,
    parse_duration,
    parse_grammage,
    parse_length,
    parse_money,
    parse_offset,
    parse_sideways,
    parse_turn,
)
from doublure.render.draw.standing_line import LINE_WORDS
from doublure.store.data_files import list_tables, read_rows
from handbook_pages import DOCS, HANDBOOK, ROOT, Page, list_pages, read_page

METHODS = {
    "evidence": ("stems", "the-rule-of-standing", "wordings", "combining-readings", "open-questions"),
    "wording": ("signs",),
    "book": ("gatherings", "imposition", "plates", "crossovers", "creep", "thickness"),
    "press": ("folding", "plates", "marks", "artwork"),
    "run": ("stacks", "pile", "time"),
    "register": ("fit", "prediction", "correction", "crossovers"),
    "planning": ("wishes", "weight", "fewest-plates", "no-plan"),
    "target": ("printing-it", "by-eye", "against-the-light", "from-the-picture", "oblique", "seat", "how-well"),
    "measuring": ("plane", "intervals", "lens", "one-length", "coin", "ratio", "above", "flat-piece"),
    "paper": ("weights", "bulk", "matching-formats", "named-sizes"),
    "cleaning": ("lines", "lie", "tones"),
    "materials": ("pieces-from-a-sheet", "spares", "the-bill", "sums-of-the-log", "resolution"),
}
OTHERS = {
    "index": ("the-idea", "the-key"),
    "first-site": ("install", "begin", "first-picture", "first-note", "check", "build", "serve"),
    "notes": ("quantities", "uncertainty", "readings", "decided", "same", "place", "printing", "choose", "printer",
              "register-notes", "private", "rights", "editor"),
    "bench": ("log", "made-and-spoiled", "stacks", "photographs", "feed", "publishing", "cautions"),
    "cautions": ("blades", "adhesives", "solvents", "dyes", "mould", "heat", "laser", "toner", "money", "stamps",
                 "identity-papers", "rights"),
    "sources": ("methods", "tables-of-paper"),
}  # fmt: skip
SECTIONS = [(f"methods/{name}", anchor) for name, anchors in METHODS.items() for anchor in anchors]
#: Made from the program when the site is built: no files here.
GENERATED = {
    "handbook/fields.md": {kind for kind in KINDS},
    "handbook/problems.md": {code.lower() for code in CODES} | {f"group-{letter.lower()}" for letter in GROUPS},
    "handbook/commands.md": {name for name, *_ in cli.describe_commands()},
}


def read(name: str) -> Page:
    """Return a page of the handbook by its name."""
    return read_page(f"handbook/{name}.md")


@pytest.mark.parametrize(
    ("name", "anchor"),
    SECTIONS + [(name, anchor) for name, anchors in OTHERS.items() for anchor in anchors],
)
def test_anchors_that_pages_link_to_are_there(name: str, anchor: str) -> None:
    """Every anchor is an anchor of a heading, and stands once."""
    page = read(name)
    assert page.ids.count(anchor) == 1
    assert anchor in page.sections


@pytest.mark.parametrize("path", list_pages())
def test_links_lead_somewhere(path: str) -> None:
    """Every link is relative, to a page by hand or a generated one, and its anchor is there."""
    page = read_page(path)
    for address in page.addresses:
        parts = urlsplit(address)
        assert not parts.scheme, f"{path} links to another host: {address}"
        assert not parts.netloc, f"{path} links to another host: {address}"
        target = posixpath.normpath(posixpath.join(posixpath.dirname(path), parts.path)) if parts.path else path
        if target in GENERATED:
            assert not parts.fragment or parts.fragment in GENERATED[target], f"{path}: {address}"
            continue
        assert (DOCS / target).is_file(), f"{path}: {address} leads nowhere"
        if parts.fragment:
            assert parts.fragment in read_page(target).ids, f"{path}: {address} has no such anchor"


@pytest.mark.parametrize("path", list_pages())
def test_pages_ask_no_host_and_load_no_script(path: str) -> None:
    """No page names an address that a browser would ask, or brings a script."""
    source = (DOCS / path).read_text("utf-8")
    assert set(re.findall(r"https?://[^\s`]*", source)) <= {"http://127.0.0.1:8000/"}
    assert "<script" not in source.lower()


def test_every_page_can_be_reached_from_the_first() -> None:
    """Following links from the index one comes to every page of the handbook."""
    waiting, seen = ["handbook/index.md"], {"handbook/index.md"}
    while waiting:
        path = waiting.pop()
        for address in read_page(path).addresses:
            target = posixpath.normpath(posixpath.join(posixpath.dirname(path), urlsplit(address).path))
            if target.endswith(".md") and (DOCS / target).is_file() and target not in seen:
                seen.add(target)
                waiting.append(target)
    assert seen >= {path.relative_to(DOCS).as_posix() for path in HANDBOOK.rglob("*.md")}


@pytest.mark.parametrize(("name", "anchor"), SECTIONS)
def test_every_method_has_its_formula_its_source_and_an_example(name: str, anchor: str) -> None:
    """Each section of a method has the three marks, in this order."""
    text = read(name).sections[anchor]
    marks = [re.search(mark, text) for mark in (r"(Formula|Rule)\.", r"Source\.", r"Worked example\.")]
    assert all(marks), f"{name}#{anchor} lacks a formula, a source or a worked example"
    places = [mark.start() for mark in marks if mark]
    assert places == sorted(places)


def test_the_methods_named_in_docstrings_are_there() -> None:
    """Every page that a docstring of the package names is a file."""
    package = ROOT / "generator" / "doublure"
    named = {
        found
        for path in package.rglob("*.py")
        for found in re.findall(r"docs/[\w/.-]+\.md", path.read_text("utf-8"))
    }
    assert named, "no docstring names a page of the handbook"
    for path in named:
        assert (ROOT / path).is_file(), path


def test_methods_that_pages_link_to_are_there() -> None:
    """Every address of the handbook that a renderer writes has its page and its anchor."""
    render = ROOT / "generator" / "doublure" / "render"
    for path in render.rglob("*.py"):
        source = path.read_text("utf-8")
        base = re.search(r'METHOD = "(handbook/methods/\w+\.md)"', source)
        whole = re.findall(r'"(handbook/[\w/-]+\.md)(?:#([\w-]+))?"', source)
        own = [(base[1], anchor) for anchor in re.findall(r"\{METHOD\}#([\w-]+)", source)] if base else []
        for page, anchor in [*whole, *own]:
            if page in GENERATED:
                continue
            assert (DOCS / page).is_file(), f"{path.name}: {page}"
            assert not anchor or anchor in read_page(page).ids, f"{path.name}: {page}#{anchor}"


@pytest.mark.parametrize("word", sorted(LINE_WORDS))
def test_the_key_in_words_is_that_of_the_drawings(word: str) -> None:
    """The handbook says of each line what the drawings do."""
    assert f"{word} {LINE_WORDS[word]}" in read("index").sections["the-key"]


def test_the_limits_of_this_version_are_named_alike() -> None:
    """README, index and changelog leave out the same things."""
    for text in (
        read("index").text,
        (ROOT / "README.md").read_text("utf-8"),
        (ROOT / "CHANGELOG.md").read_text("utf-8"),
    ):
        for missing in ("picking points on a picture", "cutting layouts", "revisions"):
            assert missing in text


def test_the_readme_is_short_and_its_pages_are_there() -> None:
    """At most 120 lines; every document that it links to is there."""
    text = (ROOT / "README.md").read_text("utf-8")
    assert len(text.splitlines()) < 120
    linked = [target for target in re.findall(r"\]\(([^)#]+)\)", text) if not target.endswith(".webp")]
    assert linked
    for target in linked:
        assert (ROOT / target).is_file(), target


def test_predictions_about_paper_say_that_nobody_tried_them() -> None:
    """Creep, thickness and the bill say so in their own section."""
    for anchor in ("creep", "thickness"):
        assert "not yet tried on paper" in read("methods/book").sections[anchor].lower()
    for name in ("methods/press", "methods/run", "methods/register"):
        assert "not yet tried on paper" in read(name).text.lower()
    assert "not yet tried on paper" in read("methods/materials").sections["the-bill"].lower()


def test_cautions_defer_and_promise_nothing() -> None:
    """The page defers before anything else, and never calls a thing lawful."""
    text = read("cautions").text
    for words in ("local rules", "data sheet", "trained and licensed"):
        assert words in text[:700]
    assert not re.search(r"\b(is|are) (legal|lawful|allowed|permitted)\b", text)


def test_the_messages_shown_are_those_of_the_program() -> None:
    """The page of the first site shows what `check` really says of the note that it shows."""
    source = (HANDBOOK / "first-site.md").read_text("utf-8")
    blocks = re.findall(r"^```\n(.*?)^```$", source, re.MULTILINE | re.DOTALL)
    note = next(block for block in blocks if "stok" in block and block.startswith("---"))
    shown = next(block for block in blocks if "error[" in block)
    begun = ROOT / "generator" / "doublure" / "store" / "new_project" / "journal"
    notes = {
        path.relative_to(begun).as_posix(): path.read_text("utf-8").replace("@TITLE@", "My replica")
        for path in sorted(begun.rglob("*"))
        if path.suffix in (".md", ".yml")
    }
    notes["inserts/tide-pass.md"] = note
    replica, problems = decode_journal(
        tuple(SourceText(f"journal/{name}", name, text) for name, text in sorted(notes.items()))
    )
    assert replica is not None
    found = sort_problems([*problems, *check_replica(replica, (), {})])
    assert "\n".join(problem.format() for problem in found) == shown.rstrip("\n")


def _rows(name: str, anchor: str) -> list[list[str]]:
    """Return the cells of the tables below a heading, as they stand in the source."""
    source = (HANDBOOK / f"{name}.md").read_text("utf-8")
    part = source.split(f"{{#{anchor}}}", 1)[1].split("\n## ", 1)[0].split("\n### ", 1)[0]
    lines = [line for line in part.splitlines() if line.startswith("|") and "---" not in line]
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in lines]


def _show(text: str) -> str:
    """Return how the page puts what a length or a size is read as."""
    try:
        one = parse_length(text)
        return f"{one.value:g} mm" if one.u is None else f"{one.value:g} mm, u = {one.u:.3g} mm"
    except QuantityError:
        size = parse_size_mm(text)
    shown = f"{size.width_mm.value:g} × {size.height_mm.value:g} mm"
    if size.width_mm.u is not None and size.height_mm.u is not None:
        shown += f", u = {size.width_mm.u:g} and {size.height_mm.u:g} mm"
    return shown


def test_quantities_are_read_as_the_table_says() -> None:
    """Every spelling of a length or size in the tables is read as it says there."""
    rows = [row for row in _rows("notes", "quantities") if row[0].startswith("`") and "mm" in row[1]]
    assert len(rows) == 25
    for spelling, read_as in rows:
        assert _show(spelling.strip("`")) == read_as


def test_other_quantities_are_accepted_as_the_table_says() -> None:
    """Every example of the other fields is read without complaint."""
    parsers = {
        "grammage": parse_grammage,
        "minutes": parse_minutes,
        "drying": parse_duration,
        "spares": parse_spares,
        "pack": parse_pack,
        "on hand": parse_amount,
        "money": parse_money,
        "gatherings": parse_sheets,
    }
    rows = {row[0]: row[1] for row in _rows("notes", "quantities") if row[0] in parsers}
    assert set(rows) == set(parsers)
    for field, examples in rows.items():
        for example in re.findall(r"`([^`\[]+)`", examples):
            parsers[field](example)


@pytest.mark.parametrize(
    ("text", "parse"),
    [("64", parse_length), ("1,500 mm", parse_length), ("12 pt", parse_length), ("ca. 63 mm", parse_length),
     ("~63 mm", parse_length), ("20 lb", parse_grammage), ("1:20", parse_minutes)],
)  # fmt: skip
def test_what_the_page_says_is_sent_back_is(text: str, parse: object) -> None:
    """Every spelling in the table of trouble is refused."""
    assert f"`{text}`" in (HANDBOOK / "notes.md").read_text("utf-8")
    with pytest.raises(QuantityError):
        parse(text)  # type: ignore[operator]


@pytest.mark.parametrize("path", sorted(HANDBOOK.rglob("*.md")), ids=lambda path: path.stem)
def test_notes_shown_are_notes(path: Path) -> None:
    """Every whole note in the handbook decodes: unknown names may be missing, its fields may not be wrong."""
    for block in re.findall(r"^```\n(---\n.*?)^```$", path.read_text("utf-8"), re.MULTILINE | re.DOTALL):
        if "stok" in block:
            continue  # the one that shows mistakes
        kind = next(kind for kind, sign in _SIGNS if sign in block)
        name = f"{kind}/2031-03-14-shown.md" if kind == "log" else f"{kind}/shown.md"
        sources = [SourceText("journal/replica.yml", "replica.yml", "title: My replica\n")]
        sources.append(SourceText(f"journal/{name}", name, block))
        _, problems = decode_journal(tuple(sources))
        assert [p.format() for p in problems if not p.code.startswith("R")] == []


#: What tells the kind of a note shown.
_SIGNS = (("log", "minutes:"), ("evidence", "kind:"), ("printers", "feeds:"), ("inserts", "title:"))


@pytest.mark.parametrize(
    ("sign", "path"), [("press:", "book.yml"), ("choose:", "book.yml"), ("printer:", "register/a.yml")]
)
def test_fields_of_the_press_shown_are_fields(sign: str, path: str) -> None:
    """The blocks on the press decode and check clean: names may be missing, nothing else may be wrong."""
    source = (HANDBOOK / "notes.md").read_text("utf-8")
    (block,) = re.findall(rf"^```\n({sign}.*?)^```$", source, re.MULTILINE | re.DOTALL)
    text = block if "/" in path else f"title: The notebook\nleaf: 105 x 165 mm\nsequence: [{{blank: 48}}]\n{block}"
    texts = {"replica.yml": "title: My replica\n", path: text}
    replica, problems = decode_journal(
        tuple(SourceText(f"journal/{name}", name, text) for name, text in texts.items())
    )
    assert replica is not None
    found = [*problems, *check_replica(replica, (), {})]
    assert [problem.format() for problem in found if problem.code != "R101"] == []


def test_directions_are_read_as_the_table_says() -> None:
    """Every example of an offset, a fold and a turn is read without complaint."""
    parsers = {"offsets, front": parse_offset, "fold": parse_sideways, "turn": parse_turn}
    rows = {row[0]: row[1] for row in _rows("notes", "quantities") if row[0] in parsers}
    assert set(rows) == set(parsers)
    for field, examples in rows.items():
        for example in re.findall(r"`([^`]+)`", examples):
            parsers[field](example)


def test_every_source_of_the_tables_is_listed() -> None:
    """Each row of the package's tables names a work that the page of sources lists."""
    listed = [cell for row in _source_cells() for cell in row]
    for table in list_tables():
        for row in read_rows(table):
            said = row.get("source") or row.get("years_source")
            if not said:
                continue
            assert any(key in said.casefold() for key in listed), f"{table}: {said}"


def test_every_work_listed_for_the_tables_is_used() -> None:
    """No row of the page of sources is left over from a table that changed."""
    said = {
        row.get(column, "").casefold()
        for table in list_tables()
        for row in read_rows(table)
        for column in ("source", "years_source", "published_source")
    }
    for keys in _source_cells():
        assert any(key in text for text in said for key in keys), keys


def _source_cells() -> list[list[str]]:
    """Return for each row of the tables of paper on the page of sources how the data say its name, folded."""
    source = (HANDBOOK / "sources.md").read_text("utf-8")
    part = source.split("{#tables-of-paper}", 1)[1].split("\n## ", 1)[0]
    cells = [line.split(" | ")[0].strip("| ") for line in part.splitlines() if line.startswith("| ")]
    rows = [[key.casefold() for key in _list_keys(cell)] for cell in cells if cell != "Source"]
    return [*rows, ["from memory"]]


def _list_keys(cell: str) -> list[str]:
    """Return the names in a cell as the data have them."""
    for sign, key in _KEYS.items():
        if cell.startswith(sign):
            return [key]
    if cell.startswith("Wikipedia: "):
        return re.findall(r'"[^"]+"', cell)
    first, *others = cell.split(", ")
    return [first] if " " in first else [first, *others]  # a list of sites, or a work and its place


#: Rows whose words the data put otherwise.
_KEYS = {
    "ISO 269": "ISO 269",
    "DIN 476": "DIN 476",
    "J. W. Zaehnsdorf": "J. W. Zaehnsdorf",
    "D. Cockerell": "D. Cockerell",
    "R. Rowlett": "R. Rowlett",
    "Encyclopaedia Britannica": "Encyclopaedia Britannica",
    "User guide": "user guide of an office laser printer",
    "Government Paper": "Government Paper Specification Standards No. 11",
    "M. Roberts": "M. Roberts & D. Etherington, Bookbinding and the Conservation of Books (1982)",
    "Clapperton": "Clapperton & Henderson, Modern Paper-Making",
    "papersize": "papersize 1.6.1",
    "Household": "Household Discoveries",
    "Engineer": "Engineer's and Mechanic's Encyclopaedia",
    "Century": "Century Dictionary",
}
