"""The pages about the press, from plates, a run and a register made by hand, and from notes."""

from __future__ import annotations

import csv
import dataclasses
import html
import io
import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.model.replica import ImageFact
from doublure.render.draw.register_map import FACTORS, RegisterMapSpec, choose_factor
from doublure.render.plan import Download, SitePlan
from doublure.render.run_words import (
    amount_words,
    backing_pages,
    backs_order,
    check_words,
    file_words,
    joining_words,
    laying_specs,
    pages_by_stack,
    state_words,
)
from doublure.render.site import plan_site
from doublure.render.site.press_crossovers import offset_at_95
from doublure.render.site.press_downloads import file_size
from doublure.render.site.press_words import fine_mm, scale_words, turn_words, way_words
from doublure.trade.press.affine import Affine
from doublure.trade.press.plan import plan_press
from doublure.trade.press.records import Folding
from doublure.trade.press.register.records import CrossoverMisfit
from doublure.trade.press.run_records import Joining, SideState
from doublure.trade.press.sheet_way import WayChoice, WayReason
from doublure.workings.all import Workings, work_up
from doublure.workings.press_records import PressWorking
from doublure.workings.reference import Reference
from journal_samples import GOOD, decode_well, note
from press_samples import JOURNAL, PLAN, RUN, crossover, misfits, press, press_spec, side

ARTWORK = tuple(
    f"artwork/{name}.png" for name in ("title", "rule", "haven-left", "haven-right", "shore-left")
)
PRESS_PAGES = (
    "book/plates.md", "book/crossovers.md", "book/register.md", "book/run.md", "book/paper-kit.md",
    "printers/slip-laser.md", "register/slip-laser-1.md",
)  # fmt: skip


def work(found: PressWorking | None, more: dict[str, str] | None = None) -> Workings:
    """Return workings of the tide book with a press made by hand, or with that of its notes for None."""
    facts = {file: ImageFact(file, 2480, 3898, file) for file in ARTWORK}
    worked = work_up(decode_well({**JOURNAL, **(more or {})}), facts, Reference())
    return worked if found is None else dataclasses.replace(worked, press=found)


def site(found: PressWorking | None = None, more: dict[str, str] | None = None, **kwargs: object) -> SitePlan:
    return plan_site(work(found, more), **kwargs)  # type: ignore[arg-type]


def page(plan: SitePlan, path: str) -> str:
    return next(one.text for one in plan.pages if one.path == path)


def plain(text: str) -> str:
    """Return a page without tags and drawings, its narrow spaces as plain ones."""
    text = re.sub(r"<svg .*?</svg>", " ", text, flags=re.DOTALL)
    words = html.unescape(re.sub(r"<[^>]+>", " ", text)).replace("\u202f", " ").replace("’", "'")
    return re.sub(r"\s+([.,;:])", r"\1", re.sub(r"\s+", " ", words))


def rows(plan: SitePlan, name: str) -> list[dict[str, str]]:
    text = next(item.text for item in plan.files if item.path == f"data/{name}.csv")
    return list(csv.DictReader(io.StringIO(text)))


TRIED, UNTRIED = press(), press(tried=False)


@pytest.mark.parametrize("found", [TRIED, UNTRIED, None], ids=["tried", "untried", "from notes"])
def test_every_page_is_there_and_every_link_leads_somewhere(found: PressWorking | None) -> None:
    import posixpath

    plan = site(found)
    paths = {one.path for one in plan.pages}
    assert set(PRESS_PAGES) <= paths
    known = {re.sub(r"\.md$", ".html", path) for path in paths}
    known |= {item.path for item in plan.files} | {picture.path for picture in plan.pictures}
    anchors = {
        re.sub(r"\.md$", ".html", one.path): set(re.findall(r'id="([^"]+)"|\{#([^}]+)\}', one.text))
        for one in plan.pages
    }
    for one in plan.pages:
        here = re.sub(r"\.md$", ".html", one.path)
        for address in re.findall(r'(?:href|src)="([^"]+)"', one.text):
            path, _, anchor = address.partition("#")
            target = posixpath.normpath(posixpath.join(posixpath.dirname(here), path)) if path else here
            if target.startswith("handbook/"):
                continue
            assert target in known, (one.path, address)
            if anchor:
                assert anchor in {a or b for a, b in anchors[target]}, (one.path, address)


def test_ids_are_unique_on_each_page() -> None:
    for one in site(TRIED).pages:
        ids = re.findall(r'\bid="([^"]+)"', one.text)
        assert len(ids) == len(set(ids)), one.path


def test_without_a_book_or_a_sheet_the_pages_say_what_is_missing() -> None:
    empty = plan_site(work_up(decode_well({"replica.yml": "title: A\n"}), {}, Reference()))
    for path in ("book/plates.md", "book/run.md"):
        assert "page sequence" in page(empty, path)
    bare = site(
        None,
        {"stocks/thin-laid.md": note(), "book.yml": JOURNAL["book.yml"].replace("sheet: 297 x 210 mm, ", "")},
    )
    assert "size of the sheet" in page(bare, "book/plates.md")
    small = site(None, {"book.yml": JOURNAL["book.yml"].replace("297 x 210", "100 x 150")})
    assert "There are no plates yet" in page(small, "book/plates.md")
    assert "sheet" in plain(page(small, "book/plates.md"))


def test_plates_are_drawn_stack_by_stack_with_their_artwork_in_place() -> None:
    text = page(site(TRIED), "book/plates.md")
    for stack in PLAN.stacks:
        assert text.count(f'<h3 id="stack-{stack.number}">') == 1
    assert text.count("<image") == 2 * sum(
        one.master in {"title", "rule", "haven-left", "haven-right", "shore-left"}
        for plate in PLAN.plates
        if plate.number != 7
        for one in plate.pages
    )
    assert "left out: The shore, right half" in text
    assert "blank, nothing to print" in text


def test_the_answer_counts_plates_stacks_and_the_sheet() -> None:
    said = plain(page(site(TRIED), "book/plates.md"))
    assert (
        "7 plates to print in 4 stacks, on sheets of 297 mm (11.69 in) × 210 mm (8.27 in), folio, folded once"
        in said
    )
    assert "1 plate left out" in said
    assert "shore-right.png is torn: it ends too early (ends after 2 kB)" in said
    assert "against the fold at the spine" in said


def test_what_is_wrong_with_artwork_stands_with_its_numbers() -> None:
    found = rows(site(TRIED), "artwork")
    assert [(row["master"], row["kind"], row["found"], row["wanted"], row["plates"]) for row in found] == [
        ("title", "resolution", "287.00", "600.00", "1"),
        ("haven-left", "bleed", "0.00", "3.00", "4"),
        ("rule", "reach", "2.10", "4.00", "2; 3"),
    ]


def test_the_choice_of_collation_marks_says_what_it_costs() -> None:
    dear = dataclasses.replace(TRIED, plan=dataclasses.replace(PLAN, stacks_plain=4, stacks_collated=9))
    said = plain(page(site(dear), "book/plates.md"))
    assert "Without them the book is printed in 4 stacks, with them in 9: 5 more" in said
    assert "no more" in plain(page(site(TRIED), "book/plates.md"))


@pytest.mark.parametrize(
    ("folding", "page_sum", "slits"),
    [
        (Folding.FOLIO, "add up to 5", "Folds to slit none"),
        (Folding.QUARTO, "add up to 9", "2 pairs of leaves at the head"),
        (Folding.OCTAVO, "add up to 17", "4 pairs of leaves at the head, 2 at the fore-edge"),
    ],
)
def test_folds_to_slit_and_the_sum_rule_are_stated(folding: Folding, page_sum: str, slits: str) -> None:
    """Facing pages of one sheet make 5, 9 and 17: a printers' dictionary, by its wording W. Savage, 1841, p. 329."""
    found = dataclasses.replace(
        TRIED, plan=plan_press(press_spec(folding)), run=None, unprintable=(), findings=()
    )
    said = plain(page(site(found), "book/plates.md"))
    assert page_sum in said
    assert slits in said


def test_artwork_that_is_kept_back_is_shown_on_no_page_of_the_press() -> None:
    kept = {
        "evidence/frame.md": note(picture="artwork/haven-left.png", rights="{publish: no}"),
    }
    plan = site(TRIED, kept)
    assert all(one.file != "artwork/haven-left.png" for one in plan.pictures)
    assert all("haven-left.png-" not in one.text for one in plan.pages)
    assert any(one.file == "artwork/haven-right.png" for one in plan.pictures)


def test_crossovers_are_foretold_on_two_sheets_and_not_on_one() -> None:
    said = plain(page(site(TRIED), "book/crossovers.md"))
    assert "2 crossovers: 1 on one side of one sheet, 1 on two" in said
    assert "pages 10 and 11, is expected to miss by 0.71 mm and stays within 1.31 mm in 95 of 100" in said
    assert "One sheet, one side: nothing to misfit." in said
    assert "1.2 % of them are expected to fail, 31 % without the correction" in said
    assert "Not yet tried on paper" not in said
    assert "Not yet tried on paper" in plain(page(site(UNTRIED), "book/crossovers.md"))
    text = page(site(TRIED), "book/crossovers.md")
    assert text.count('<h3 id="pages-') == 1
    assert "back against front" in text


def test_lines_stand_in_for_artwork_that_is_not_shown() -> None:
    # The file of shore-right is torn, so that nobody has its pixels.
    said = plain(page(site(TRIED), "book/crossovers.md"))
    assert "Lines stand in for artwork that is not shown" in said


@given(st.floats(-2, 2), st.floats(-2, 2), st.floats(0.01, 2), st.floats(0.01, 2), st.floats(0.0, 6.0))
def test_the_offset_that_is_drawn_is_as_long_as_95_of_100(
    dx: float, dy: float, sx: float, sy: float, more: float
) -> None:
    p95 = math.hypot(dx, dy) + more
    one = CrossoverMisfit(10, 11, (), dx, dy, sx, sy, 0.0, p95, 0.0, 1.6, True, 80.0)
    assert math.hypot(*offset_at_95(one)) == pytest.approx(p95, abs=1e-9)


def test_the_crossover_table_holds_the_records_numbers() -> None:
    found = {row["pages"]: row for row in rows(site(TRIED), "crossovers")}
    want = crossover(10, (0.21, -0.35), 1.31, 0.012, True)
    row = found["10–11"]
    assert (float(row["gap_mm"]), float(row["step_mm"]), float(row["p95_mm"])) == (0.21, -0.35, 1.31)
    assert float(row["misfit_mm"]) == pytest.approx(want.expected_mm, abs=0.005)
    assert float(row["failing_pct"]) == 1.2
    assert float(row["uncorrected_p95_mm"]) == 2.05
    assert row["rests_on"] == "readings"
    assert found["4–5"]["p95_mm"] == "0.00"
    causes = rows(site(TRIED), "crossover_parts")
    assert {one["cause"] for one in causes if one["pages"] == "10–11"} == {part.name for part in want.parts}


def test_the_register_says_what_the_printer_does_and_what_undoes_it() -> None:
    text = page(site(TRIED), "book/register.md")
    said = plain(text)
    assert "The backs miss the fronts by 0.62 mm to the right and 0.31 mm up, turned 0.080° clockwise" in said
    assert "0.62 ± 0.05 mm to the right" in said
    assert "0.120 ± 0.030 % smaller" in said
    assert "Not yet tried" not in said
    maps = re.findall(r"x′ = (\S+) x (\S+) y (\S+) mm; y′ = (\S+) x (\S+) y (\S+) mm", said.replace("−", "-"))
    assert len(maps) == 2
    first, second = (
        Affine(float(a), float(b), float(d), float(e), float(c), float(f)) for a, b, c, d, e, f in maps
    )
    for x, y in ((0.0, 0.0), (148.5, 105.0), (-148.5, 105.0)):
        assert second.apply(*first.apply(x, y)) == pytest.approx((x, y), abs=0.001)


def test_without_readings_the_register_says_so_and_how_to_read() -> None:
    said = plain(page(site(UNTRIED), "book/register.md"))
    assert "No target of this printer on this stock has been read" in said
    assert "Not yet tried on paper" in said
    for command in ("backs target", "backs read", "backs enter", "backs fit"):
        assert f"doublure {command}" in said
    assert "The correction" not in said


def test_the_register_table_pairs_before_and_after() -> None:
    found = rows(site(TRIED), "register")
    register = TRIED.register
    assert register is not None
    assert len(found) == len(register.before)
    for row, before, after in zip(found, register.before, register.after, strict=True):
        assert float(row["before_right_mm"]) == pytest.approx(before.mean_dx_mm, abs=5e-4)
        assert float(row["before_p95_mm"]) == pytest.approx(before.p95_mm, abs=5e-4)
        assert float(row["after_p95_mm"]) == pytest.approx(after.p95_mm, abs=5e-4)


def test_the_map_is_exaggerated_as_far_as_there_is_room() -> None:
    small, large = misfits(0.05, 0.0, 0.0, 0.02), misfits(3.0, 3.0, 0.0, 1.0)
    assert choose_factor(RegisterMapSpec(297, 210, small)) > choose_factor(RegisterMapSpec(297, 210, large))
    assert choose_factor(RegisterMapSpec(297, 210, misfits(0, 0, 0, 400))) == FACTORS[0]


def test_the_run_says_where_to_go_on_and_how_long_it_takes() -> None:
    text = page(site(TRIED), "book/run.md")
    said = plain(text)
    assert "4 stacks, 32 sheets with spares, for 6 copies. 1 of them is done" in said
    assert "go on with the backs of stack 2" in said
    assert "About 15 min" in said or "About 14 min" in said
    assert "0.50 ± 0.06 min" in said
    for stack in RUN.stacks:
        assert f'<li id="stack-{stack.number}"' in text
    assert text.count("go on here") == 1
    assert "3 good, 1 spoiled: 4 left" in said
    # Of the eight fronts four lie there, though four backs went through; of stack 3 nobody knows yet.
    assert "page 2 of backs.pdf, 4 sheets, one on each good front that lies there" in said
    assert "page 3 of backs.pdf, as many sheets as good fronts lie there (8 if none spoils)" in said
    assert "1 log entry on printing name" in said
    # A box for each side that prints: stack 4 has a blank back.
    assert text.count('class="db-tick"') == 2 * len(RUN.stacks) - 1


def test_backs_are_taken_from_the_last_stack_where_it_lies_on_top() -> None:
    assert backs_order(RUN) == "up"
    flat = dataclasses.replace(RUN, printer=dataclasses.replace(RUN.printer, last_on_top=False))
    assert backs_order(flat) == "down"
    assert "down the list again" in plain(page(site(dataclasses.replace(TRIED, run=flat)), "book/run.md"))


def test_a_printer_that_turns_sheets_itself_has_one_pass_and_one_file() -> None:
    machine = dataclasses.replace(RUN, printer=dataclasses.replace(RUN.printer, by_machine=True))
    assert len(laying_specs(machine, PLAN.layout)) == 1
    said = plain(page(site(dataclasses.replace(TRIED, run=machine)), "book/run.md"))
    assert "both-sides.pdf" in said
    assert "fronts.pdf" not in said


def test_the_sheet_lies_in_the_tray_as_the_printer_takes_it() -> None:
    fronts, backs = laying_specs(RUN, PLAN.layout)
    assert (fronts.across_mm, fronts.along_mm) == (210, 297)
    assert (fronts.upper, backs.upper) == ("blank", "printed")
    long = dataclasses.replace(RUN, printer=dataclasses.replace(RUN.printer, feeds_short_edge=False))
    assert (laying_specs(long, PLAN.layout)[0].across_mm, laying_specs(long, PLAN.layout)[0].along_mm) == (
        297,
        210,
    )


def test_the_first_sheet_is_checked_by_a_page_and_the_page_behind_it() -> None:
    for stack in RUN.stacks[:3]:
        pair = backing_pages(PLAN, stack)
        assert pair is not None
        assert {pair[0] - 1, pair[1] - 1} == {2 * ((min(pair) - 1) // 2), 2 * ((min(pair) - 1) // 2) + 1}
        assert f"page {pair[1]} behind page {pair[0]}" in check_words(PLAN, stack, "back")
    assert backing_pages(PLAN, RUN.stacks[3]) is None


def test_what_a_side_needs_is_said_in_words() -> None:
    one, small = RUN.stacks[2], dataclasses.replace(RUN.printer, holds=3)
    assert file_words(one, "front", small) == "page 3 of fronts.pdf, 8 sheets in 3 fillings"
    assert file_words(RUN.stacks[0], "front", small) == "page 1 of fronts.pdf"
    begun = dataclasses.replace(one, fronts=side(8, 5, 1))
    assert file_words(begun, "front", RUN.printer) == "page 3 of fronts.pdf, 2 sheets more"
    assert "as many sheets as good fronts" in file_words(begun, "back", RUN.printer)
    machine = dataclasses.replace(RUN.printer, by_machine=True)
    assert file_words(one, "back", machine) == "page 3 of both-sides.pdf, 8 sheets"
    assert state_words(side(8)) == "not begun"
    assert state_words(side(8, 8)) == "8 good: done"
    assert state_words(side(8, 5, 1)) == "5 good, 1 spoiled: 2 left"


def test_a_blank_side_says_what_becomes_of_its_sheets_in_the_pile() -> None:
    last = RUN.stacks[3]
    assert (
        file_words(last, "back", RUN.printer) == "blank, nothing to print; take these sheets out of the pile"
    )
    turned = dataclasses.replace(last, fronts=last.backs, backs=side(8, lying=8))
    assert file_words(turned, "front", RUN.printer).endswith("lay 8 sheets on the pile as they are")
    assert file_words(dataclasses.replace(turned, back_page=4), "back", RUN.printer).endswith(
        "backs.pdf, 8 sheets"
    )
    machine = dataclasses.replace(RUN.printer, by_machine=True)
    assert file_words(last, "back", machine) == "blank, nothing to print"


def waiting(state: SideState) -> SideState:
    """Return a side that waits for artwork."""
    return dataclasses.replace(state, waits=True)


def test_where_artwork_cannot_be_used_nobody_is_sent_there() -> None:
    first, *others = RUN.stacks
    no_front = dataclasses.replace(first, front_page=0, fronts=waiting(side(8)), backs=waiting(side(8)))
    assert file_words(no_front, "front", RUN.printer).endswith(
        "leave these sheets unprinted until it is there"
    )
    assert file_words(no_front, "back", RUN.printer) == (
        "page 1 of backs.pdf, not yet: the front is left out, since its artwork cannot be used"
    )
    no_back = dataclasses.replace(first, back_page=0, fronts=side(8), backs=waiting(side(8)))
    assert "take these sheets out of the pile and lay them aside" in file_words(no_back, "back", RUN.printer)
    run = dataclasses.replace(RUN, stacks=(no_front, *others))
    text = page(site(dataclasses.replace(TRIED, run=run)), "book/run.md")
    said = plain(text)
    assert "16 sides wait for artwork that cannot be used" in said
    assert "waits for the artwork" in said
    row = plain(text[text.index('<li id="stack-1"') : text.index('<li id="stack-2"')])
    assert "First sheet" not in row
    assert "go on here" not in row
    held = dataclasses.replace(run, resume=None)
    answer = plain(page(site(dataclasses.replace(TRIED, run=held)), "book/run.md"))
    assert "Nothing more can be printed now" in answer
    assert "All of it is printed" not in answer


def test_fronts_that_come_late_are_told_their_place() -> None:
    one, two, three, four = RUN.stacks
    assert joining_words(RUN, one) == ""
    late = dataclasses.replace(side(8, 6, 1), joining=Joining.BETWEEN)
    run = dataclasses.replace(RUN, stacks=(one, dataclasses.replace(two, fronts=late), three, four))
    run = dataclasses.replace(
        run, stacks=(*run.stacks[:2], dataclasses.replace(three, fronts=side(8, 8)), run.stacks[3])
    )
    assert joining_words(run, run.stacks[1]).endswith("between stack 1 and stack 3.")
    assert "Not on top of the pile" in plain(page(site(dataclasses.replace(TRIED, run=run)), "book/run.md"))
    start = dataclasses.replace(run, stacks=(dataclasses.replace(one, fronts=late), *run.stacks[1:]))
    assert joining_words(start, start.stacks[0]).endswith("at the end, next to stack 2.")
    apart = dataclasses.replace(
        two, fronts=dataclasses.replace(late, joining=Joining.APART), backs=side(8, 3, 3, lying=1)
    )
    assert joining_words(run, apart).startswith("Backs of this stack are through")
    assert amount_words(apart, "back", RUN.printer) == (
        "1 sheet, one on each good front that lies there; 1 sheet more, front and back by themselves"
    )
    machine = dataclasses.replace(run, printer=dataclasses.replace(run.printer, by_machine=True))
    assert joining_words(machine, apart) == ""


@pytest.mark.parametrize(
    ("reason", "said"),
    [
        (WayReason.GRAIN, "turned from the way in which it is written, so that the fold runs with the grain"),
        (WayReason.ROOM, "since its pages fit only so"),
        (WayReason.KEPT, "against the grain: turned, marks or bleed would find less room"),
    ],
)
def test_a_sheet_that_lies_otherwise_than_it_is_written_is_told(reason: WayReason, said: str) -> None:
    told = site(dataclasses.replace(TRIED, way=WayChoice(reason)))
    silent = site(dataclasses.replace(TRIED, way=WayChoice(WayReason.AS_GIVEN)))
    for path in ("book/run.md", "book/plates.md"):
        assert said in plain(page(told, path))
        assert said not in plain(page(silent, path))
    # The fold of that plan runs against its grain.
    is_kept = reason is WayReason.KEPT
    assert ("whichever way the sheet is laid" in plain(page(told, "book/plates.md"))) != is_kept


def test_only_marks_that_are_printed_are_to_be_looked_at() -> None:
    bare = dataclasses.replace(PLAN, layout=dataclasses.replace(PLAN.layout, lines=(), crosses=()))
    front, back = (check_words(bare, RUN.stacks[1], name) for name in ("front", "back"))
    assert "cut marks fit" in front
    assert "the sheet not scaled" in front
    assert "105" in front
    assert "165" in front
    assert "trims" not in back
    assert "crosses" not in back
    assert "inside the cut marks" in check_words(PLAN, RUN.stacks[1], "front")
    said = plain(page(site(dataclasses.replace(TRIED, plan=bare)), "book/run.md"))
    assert "inside the cut marks" not in said


def test_the_kit_names_every_command_and_field_with_its_cautions() -> None:
    said = plain(page(site(UNTRIED), "book/paper-kit.md"))
    for words in (
        "doublure backs read", "push_out: … mm, dummy: 4 sheets", "tolerances: {cut: … mm}", "Caution",
        "Cut away from the hand", "Never look at the sun", "Not yet tried on paper",
    ):  # fmt: skip
        assert words in said, words


def test_downloads_are_offered_where_they_lie_in_the_site_and_not_else() -> None:
    files = (
        Download("print/slip-laser/fronts.pdf", "Fronts", "run", 3, 48_200),
        Download("print/paper-kit.pdf", "Paper kit", "kit", 5, 20_000),
        Download("print/target-a4.pdf", "Target for A4", "register", 2, 9_000, "both sides"),
    )
    plan = site(TRIED, downloads=files)
    assert 'href="../print/slip-laser/fronts.pdf"' in page(plan, "book/run.md")
    assert "PDF, 3 pages, 48 kB" in plain(page(plan, "book/plates.md"))
    assert "PDF, 2 pages, 9 kB, both sides" in plain(page(plan, "book/register.md"))
    kit = page(plan, "book/paper-kit.md")
    assert 'href="../print/paper-kit.pdf"' in kit
    assert "fronts.pdf" not in kit
    without = site(TRIED)
    assert all('href="../print/' not in one.text for one in without.pages)
    assert "keeps its print files to itself" in plain(page(without, "book/run.md"))
    asked = site(TRIED, {"replica.yml": JOURNAL["replica.yml"] + "publish: {print_files: yes}\n"})
    assert "rights in a source keep them back" in plain(page(asked, "book/run.md"))


def test_printers_and_targets_have_pages_that_lead_to_each_other() -> None:
    plan = site(TRIED)
    printer, reading = page(plan, "printers/slip-laser.md"), page(plan, "register/slip-laser-1.md")
    assert 'href="../register/slip-laser-1.html"' in printer
    assert 'href="../printers/slip-laser.html"' in reading
    assert "section: book/run.md" in printer
    assert "section: book/register.md" in reading
    assert "2 marks read from a photograph against the light" in plain(reading)
    assert "0.310" in reading
    found = rows(plan, "register_readings")
    assert (found[0]["mark"], found[0]["right_mm"], found[0]["down_mm"]) == ("A1", "0.310", "-0.120")


def test_the_photograph_of_a_target_is_never_published() -> None:
    target = JOURNAL["register/slip-laser-1.yml"] + "photo: pictures/target.jpg\n"
    plan = site(TRIED, {"register/slip-laser-1.yml": target})
    assert all("target.jpg" not in one.text for one in plan.pages)


def test_a_target_without_a_title_has_its_number_and_its_day() -> None:
    bare = re.sub("title: .*\n", "", JOURNAL["register/slip-laser-2.yml"])
    plan = site(TRIED, {"register/slip-laser-2.yml": bare})
    assert (
        next(one.title for one in plan.pages if one.path == "register/slip-laser-2.md")
        == "Target 2 of 12 March 2031"
    )
    assert "Target 2 of 12 March 2031" in page(plan, "book/register.md")


def test_log_entries_lead_to_their_stacks_and_plates() -> None:
    entry = {
        "log/2031-03-20-a.md": "---\nabout: [stack-2-front, plate-3, stack-99]\nmade: 3\nstep: printing\n---\nDone.\n"
    }
    text = page(site(TRIED, entry), "log/2031-03.md")
    assert 'href="../book/run.html#stack-2"' in text
    assert 'href="../book/plates.html#plate-3"' in text
    assert "#stack-99" not in text


def test_a_replica_without_inserts_or_printers_has_the_pages_too() -> None:
    plan = plan_site(work_up(decode_well(GOOD), {}, Reference()))
    assert {"book/plates.md", "book/run.md", "book/register.md", "book/paper-kit.md"} <= {
        one.path for one in plan.pages
    }


def test_words_of_directions() -> None:
    assert fine_mm(-0.004).replace("\u202f", " ") == "0.00 mm"
    assert way_words(-0.5, 0.0).replace("\u202f", " ") == "0.50 mm to the left"
    assert turn_words(-math.radians(0.25)).endswith("anticlockwise")
    assert scale_words(1.0) == "true to size"
    assert file_size(999_600).replace("\u202f", " ") == "1.0 MB"


def test_a_stack_names_its_own_pages_where_its_plate_serves_others_too() -> None:
    """Both gatherings carry the same masters on their outermost sheets: one plate, whose stacks differ by the back."""
    book = re.sub(
        r"sequence: \[[^\]]+\]", "sequence: [{master: rule, times: 8}, {master: rule, times: 6}, title, rule]",
        JOURNAL["book.yml"],
    )  # fmt: skip
    worked = work(None, {"book.yml": book})
    plan, run = worked.press.plan, worked.press.run
    assert plan is not None
    assert run is not None
    own = pages_by_stack(worked.book, plan)
    assert sorted(page for pages in own.values() for page in pages) == list(range(1, 17))
    used = [number for stack in plan.stacks for number in {stack.front, stack.back}]
    shared = {number for number in used if used.count(number) > 1}
    assert shared
    for stack in run.stacks:
        words = check_words(plan, stack, "front", own[stack.number])
        assert set(map(int, re.findall(r"\d+", words.partition("whole")[0]))) <= own[stack.number]
