"""The plan of the site: its pages, tables and pictures, from small journals."""

from __future__ import annotations

import csv
import io
import json
import re
from xml.etree import ElementTree

import pytest

from doublure.model.replica import ImageFact
from doublure.render.plan import SitePlan, relative_href
from doublure.render.site import plan_site
from doublure.render.site.frame import PageFrame, clean_bodies
from doublure.render.site.log_cards import entry_title, note_html, plain_text
from doublure.workings.all import work_up
from doublure.workings.reference import Reference
from journal_samples import GOOD, decode_well, note

PICTURES = ("pictures/tide-pass.jpg", "pictures/back.jpg", "pictures/press.jpg")


def plan(files: dict[str, str], pictures: tuple[str, ...] = ()) -> SitePlan:
    """Return the plan of a journal whose pictures have 800 by 600 pixels, each its own content."""
    facts = {file: ImageFact(file, 800, 600, file) for file in pictures}
    return plan_site(work_up(decode_well(files), facts, Reference()))


def pages_of(found: SitePlan) -> dict[str, str]:
    """Return the text of each page by its path."""
    return {page.path: page.text for page in found.pages}


def test_a_title_is_enough_for_a_whole_site() -> None:
    found = pages_of(plan({"replica.yml": "title: A\n"}))
    assert {
        "index.md",
        "inserts/index.md",
        "evidence/index.md",
        "bill.md",
        "log/index.md",
        "book/index.md",
    } <= set(found)
    assert "no page sequence yet" in found["book/index.md"]


def test_every_link_between_pages_leads_to_a_page_or_file() -> None:
    found = plan(GOOD, PICTURES)
    known = {re.sub(r"\.md$", ".html", page.path) for page in found.pages}
    known |= {item.path for item in found.files} | {picture.path for picture in found.pictures}
    missing = []
    for page in found.pages:
        for address in re.findall(r'(?:href|src)="([^"#]+)', page.text):
            target = relative_target(page.path, address)
            if target not in known and not target.startswith("handbook/"):
                missing.append((page.path, address))
    assert missing == []


def relative_target(path: str, address: str) -> str:
    """Return the path under the site that an address leads to from a page."""
    import posixpath

    return posixpath.normpath(posixpath.join(posixpath.dirname(path), address))


def test_the_page_of_an_insert_shows_what_its_note_says() -> None:
    text = pages_of(plan(GOOD, PICTURES))["inserts/tide-pass.md"]
    plain = re.sub(r"<[^>]+>", " ", text).replace("\u202f", " ")
    for words in (
        "between pages 12 and 13",
        "Buff card",
        "wheat paste",
        "Is the back printed?",
        "such passes were not",
        "a wide grotesque",
        "0417 to 0422",
        "Tea wash",
        "identity paper",
        "Carried in the second act",
    ):
        assert words in plain, words
    assert "<h1" not in text


def test_tables_come_as_csv_and_json_with_the_same_numbers() -> None:
    files = {item.path: item.text for item in plan(GOOD, PICTURES).files}
    rows = list(csv.DictReader(io.StringIO(files["data/inserts.csv"])))
    assert rows[0]["insert"] == "tide-pass"
    assert float(rows[0]["width_mm"]) == 64.0
    loaded = json.loads(files["data/inserts.json"])
    listed = loaded["rows"] if isinstance(loaded, dict) else loaded
    assert len(listed) == len(rows)


def test_the_imposition_table_names_master_and_page() -> None:
    files = {item.path: item.text for item in plan(GOOD, PICTURES).files}
    first = next(csv.DictReader(io.StringIO(files["data/imposition.csv"])))
    assert (first["front_right_page"], first["front_right_master"]) == ("1", "title-page")


def test_a_picture_that_may_not_be_shown_is_shown_nowhere() -> None:
    shot = "pictures/shot.jpg"
    files = {
        "evidence/frame.md": note(picture=shot, rights="{publish: no}"),
        "inserts/pass.md": note(picture=shot),
        "masters/form.md": note(picture=shot),
        "log/2031-01-01-a.md": note(photos=shot),
    }
    found = plan(files, (shot,))
    assert found.pictures == ()
    assert all("shot.jpg" not in page.text for page in found.pages)
    free = plan({**files, "evidence/frame.md": note(picture=shot, rights="{publish: yes}")}, (shot,))
    assert {picture.file for picture in free.pictures} == {shot}


def test_a_copy_of_such_a_picture_under_another_name_is_held_back_too() -> None:
    files = {
        "evidence/frame.md": note(picture="pictures/a.jpg", rights="{publish: ask}"),
        "inserts/pass.md": note(picture="pictures/b.jpg"),
    }
    replica = decode_well(files)
    facts = {name: ImageFact(name, 80, 60, "same bytes") for name in ("pictures/a.jpg", "pictures/b.jpg")}
    assert plan_site(work_up(replica, facts, Reference())).pictures == ()


def test_prices_are_left_out_where_they_are_not_published() -> None:
    files = {**GOOD, "replica.yml": GOOD["replica.yml"].replace("prices: yes", "prices: no")}
    found = plan(files, PICTURES)
    everything = "".join(page.text for page in found.pages) + "".join(item.text for item in found.files)
    assert "12.50" not in everything
    assert "3.20" not in everything


def test_the_feed_holds_each_entry_once() -> None:
    feed = next(item.text for item in plan(GOOD, PICTURES).files if item.path == "feed.xml")
    root = ElementTree.fromstring(feed)
    titles = [
        entry.findtext("{http://www.w3.org/2005/Atom}title")
        for entry in root.iter("{http://www.w3.org/2005/Atom}entry")
    ]
    assert len(titles) == 2


def test_two_plans_of_one_journal_are_equal() -> None:
    assert plan(GOOD, PICTURES) == plan(GOOD, PICTURES)


@pytest.mark.parametrize(
    ("bad", "kept"),
    [
        ("<script>alert(1)</script> after", "after"),
        ('<img src=x onerror="alert(1)"> after', "after"),
        ('<a href="javascript:alert(1)">word</a>', "word"),
        ('<iframe src="https://elsewhere.example/"></iframe>after', "after"),
        ("<!-- never closed after", ""),
        ("<style>body{display:none}</style>after", "after"),
    ],
)
def test_a_notes_own_html_can_neither_run_nor_load(bad: str, kept: str) -> None:
    frame = PageFrame("inserts/a.md", "A", kind="insert")
    frame.body(bad)
    text = frame.finish().text
    cleaned = clean_bodies(text)
    for sign in ("<script", "onerror", "javascript:", "<iframe", "<style"):
        assert sign not in cleaned
    assert kept in cleaned


def test_a_note_cannot_end_its_own_cleaning() -> None:
    frame = PageFrame("inserts/a.md", "A", kind="insert")
    frame.body("<!--db-note-ends--> <script>alert(1)</script>")
    assert "<script" not in clean_bodies(frame.finish().text)


def test_headings_show_marks_of_markdown_as_they_stand() -> None:
    frame = PageFrame("a.md", "A", kind="insert")
    frame.heading("A *b* [c](d) {#e}", "real")
    last = frame.finish().text.strip().splitlines()[-1]
    assert last.endswith("{#real}")
    assert r"\*b\*" in last


def test_a_log_entry_is_not_told_twice() -> None:
    replica = decode_well({"log/2031-01-01-a.md": "Cut both cards. They are not the same card.\n"})
    entry = replica.log["2031-01-01-a"]
    title = entry_title(entry)
    files = {"log/2031-01-01-a.md": "Cut both cards. They are not the same card.\n"}
    page = pages_of(plan(files))["log/2031-01.md"]
    assert page.count(title) == 1


def test_links_between_notes_become_links_between_pages() -> None:
    assert 'href="../inserts/pass.html#top"' in note_html("See [it](../inserts/pass.md#top).")
    assert 'href="https://elsewhere.example/a.md"' in note_html("[out](https://elsewhere.example/a.md)")
    assert plain_text("See [it](../a.md) and **that**") == "See it and that"


def test_addresses_are_relative_to_the_page() -> None:
    assert relative_href("book/pages.md", "index.md") == "../index.html"
    assert relative_href("book/pages.md", "book/gatherings.md#gathering-2") == "gatherings.html#gathering-2"


def test_a_strip_of_very_many_inserts_shows_the_first_and_says_so() -> None:
    files = dict(GOOD)
    for number in range(230):
        files[f"inserts/slip-{number}.md"] = f"---\ntitle: Slip {number}\nsize: 40 x 50 mm\n---\n"
    found = pages_of(plan(files))
    count = len(decode_well(files).inserts)
    for path, shown in (("index.md", 60), ("inserts/index.md", 200)):
        strip = re.search(r'<title id="strip-w-title">.*?</svg>', found[path], re.DOTALL)
        assert strip is not None
        assert len(re.findall(r", number \d+</title>", strip[0])) == shown
        assert f"The first {shown} of {count} inserts" in found[path]
    assert found["inserts/index.md"].count("Slip ") >= 230
    assert " of 1 inserts" not in pages_of(plan(GOOD))["index.md"]
