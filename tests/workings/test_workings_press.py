"""From notes to the press: what is missing, which sheet, printer, stacks, what the log counts for."""

from __future__ import annotations

import math

import pytest

from doublure.model.artwork import ArtworkFact, ArtworkFault
from doublure.trade.book.gatherings import Side
from doublure.trade.making.bill import BookNeed
from doublure.trade.press.records import Folding
from doublure.trade.press.register.records import CrossoverMisfit, SeatReading
from doublure.workings.all import Workings, work_up
from doublure.workings.press_failing import FailingWorking, work_failing
from doublure.workings.press_places import locate_pages
from doublure.workings.reference import Reference
from journal_samples import decode_well, note

MASTERS = {
    f"masters/{name}.md": note(artwork=f"artwork/{name}.png") for name in ("one", "two", "three", "four")
}
ARTWORK: dict[str, ArtworkFact | ArtworkFault] = {
    f"artwork/{name}.png": ArtworkFact(f"artwork/{name}.png", name * 4, "bilevel", 2480, 3508)
    for name in ("one", "two", "three", "four")
}
SEQUENCE = "sequence: [one, two, {blank: 3}, three, {blank: 2}]\n"
BOOK = f"title: B\nleaf: 105 x 165 mm\nstock: laid\n{SEQUENCE}gatherings: 2 sheets\n"
LAID = note(sheet="297 x 210 mm", caliper="0.1 mm", grain="short")
REPLICA = "title: R\nedition: 6\n"


def work(
    book: str = BOOK,
    artwork: dict[str, ArtworkFact | ArtworkFault] = ARTWORK,
    replica: str = REPLICA,
    laid: str = LAID,
    **more: str,
) -> Workings:
    files = {"replica.yml": replica, "stocks/laid.md": laid, **MASTERS, **more}
    if book:
        files["book.yml"] = book
    return work_up(decode_well(files), {}, Reference(), artwork)


@pytest.mark.parametrize(
    ("book", "lacking"),
    [
        ("", ("book",)),
        ("title: B\n", ("book",)),
        (BOOK.replace("leaf: 105 x 165 mm\n", ""), ("leaf",)),
        (BOOK.replace("stock: laid\n", ""), ("stock", "sheet")),
        (BOOK.replace("leaf: 105 x 165 mm\nstock: laid\n", ""), ("leaf", "stock", "sheet")),
        (BOOK + "press: {sheet: 100 x 100 mm}\n", ("room",)),
    ],
)
def test_what_is_missing_is_named(book: str, lacking: tuple[str, ...]) -> None:
    found = work(book).press
    assert (found.plan, found.run, found.lacking) == (None, None, lacking)
    assert bool(found.lacking_words) == (lacking == ("room",))


def test_a_stock_without_a_sheet_lacks_the_sheet_alone() -> None:
    assert work(laid=note()).press.lacking == ("sheet",)
    # A sheet of its own is enough, whatever the stock.
    assert work(BOOK + "press: {sheet: 297 x 210 mm}\n", laid=note()).press.plan is not None


def test_pages_lie_on_plates_as_they_are_folded() -> None:
    plan = work().press.plan
    assert plan is not None
    # By hand: two nested sheets of eight pages: 8 1 / 2 7 and 6 3 / 4 5; three stands on page 6.
    fronts = [plan.plate(stack.front) for stack in plan.stacks]
    assert [[page.master for page in plate.pages] for plate in fronts] == [[None, "one"], ["three", None]]
    assert [[page.pages for page in plate.pages] for plate in fronts] == [[(8,), (1,)], [(6,), (3,)]]
    first_back = plan.plate(plan.stacks[0].back)
    assert [page.master for page in first_back.pages] == ["two", None]
    assert plan.plate(plan.stacks[1].back).is_blank
    assert {place.side for place in first_back.places} == {Side.BACK}


def test_a_leaf_tipped_in_is_on_no_plate() -> None:
    book = BOOK.replace("{blank: 3}", "{tipped: {first: four, second: four}}, {blank: 3}")
    plan = work(book).press.plan
    assert plan is not None
    assert sorted({m for plate in plan.plates for m in plate.masters}) == ["one", "three", "two"]
    assert plan.plate(plan.stacks[1].front).pages[0].pages == (8,)


@pytest.mark.parametrize(
    ("press", "folding", "grid", "stacks"),
    [
        ("", Folding.FOLIO, (1, 2), 2),
        ("press: {folding: quarto, sheet: 297 x 420 mm}\n", Folding.QUARTO, (2, 2), 1),
        ("press: {folding: octavo, sheet: 594 x 420 mm}\n", Folding.OCTAVO, (2, 4), 1),
    ],
)
def test_a_sheet_may_be_folded_more_often(
    press: str, folding: Folding, grid: tuple[int, int], stacks: int
) -> None:
    sheets = "1 sheet" if press else "2 sheets"
    plan = work(BOOK.replace("2 sheets", sheets) + press).press.plan
    assert plan is not None
    assert (plan.layout.folding, (plan.layout.rows, plan.layout.columns)) == (folding, grid)
    assert len(plan.stacks) == stacks


@pytest.mark.parametrize(
    ("sold", "grain", "press", "ok", "width"),
    [
        ("297 x 210 mm", "short", "", True, 297),
        # Only one way fits, whatever the grain.
        ("297 x 205 mm", "long", "", False, 297),
        ("210 x 297 mm", "short", "", True, 297),
        ("297 x 210 mm", "none", "", None, 297),
        # Both ways fit: the sheet lies so that the fold runs with the grain.
        ("297 x 420 mm", "long", "", True, 297),
        ("297 x 420 mm", "short", "", True, 420),
        # Cut out of the stock, it may have been cut either way.
        ("297 x 420 mm", "long", "press: {sheet: 297 x 210 mm}\n", None, 297),
        ("297 x 420 mm", "long", "press: {sheet: 297 x 210 mm, grain: short}\n", True, 297),
        ("297 x 420 mm", "long", "press: {sheet: 420 x 297 mm}\n", True, 297),
    ],
)
def test_the_grain_of_the_printed_sheet(
    sold: str, grain: str, press: str, ok: bool | None, width: float
) -> None:
    plan = work(BOOK + press, laid=note(sheet=sold, grain=grain)).press.plan
    assert plan is not None
    assert (plan.layout.fold_grain_ok, plan.layout.sheet_width_mm) == (ok, width)


def test_creep_makes_plates_differ_by_whole_steps() -> None:
    book = BOOK.replace(SEQUENCE, "sequence: [{master: one, times: 8}]\n")
    plain = work(book).press.plan
    assert plain is not None
    assert (len(plain.plates), plain.creep_step_mm, plain.stacks[0].per_copy) == (1, 0, 2)
    stepped = work(book + "creep: {rule: one caliper, step: 0.1 mm}\n").press.plan
    assert stepped is not None
    assert [page.creep_shift_mm for plate in stepped.plates for page in plate.pages] == [0, 0, 0.1, 0.1]


def test_several_leaf_pairs_on_a_sheet() -> None:
    book = BOOK + "press: {sheet: 297 x 420 mm, pairs: 2}\n"
    found = work(book)
    assert found.press.plan is not None
    assert [stack.per_copy for stack in found.press.plan.stacks] == [0.5, 0.5]
    assert found.press.run is not None
    assert [one.wanted for one in found.press.run.stacks] == [3, 3]
    # The bill counts the large sheets: six copies take three of each.
    assert found.bill.bill is not None
    assert found.bill.bill.stocks[0].lines[0].need.pieces == 6  # type: ignore[union-attr]


# The printer.


def test_without_a_printer_a_stand_in_turns_sheets_like_leaves() -> None:
    printer = work().press.printer
    assert (printer.name, printer.is_described, printer.reach_mm) == ("", False, (5, 5, 5))
    # The sheet lies, so its edges from head to tail are the short ones.
    assert printer.turns_short_edge
    run = work().press.run
    assert run is not None
    assert not run.backs.page_turned


def test_what_a_printer_says_of_itself_is_taken() -> None:
    desk = note(
        reach="{leading: 4 mm, sides: 3 mm}",
        feeds="long edge",
        prints="lower side",
        lands="face up",
        turn="long edge",
        both_sides="by machine",
        holds="50 sheets",
    )
    printer = work(**{"printers/desk.md": desk}).press.printer
    assert (printer.name, printer.is_described, printer.reach_mm) == ("desk", True, (4, 5, 3))
    assert not any((printer.feeds_short_edge, printer.prints_upper, printer.turns_short_edge))
    assert printer.lands_face_up
    assert (printer.by_machine, printer.holds) == (True, 50)
    # Print up out of the machine, print up into it: laid in as it lies, the last on top.
    assert printer.last_on_top


def test_of_two_printers_the_book_must_name_one() -> None:
    two = {"printers/desk.md": note(), "printers/hall.md": note(pile="first on top")}
    assert work(**two).press.printer.name == ""
    chosen = work(BOOK + "press: {printer: hall}\n", **two).press.printer
    assert (chosen.name, chosen.last_on_top) == ("hall", False)


# Artwork.


def test_plates_without_artwork_are_left_out_and_the_others_are_made() -> None:
    artwork = {
        **ARTWORK,
        "artwork/two.png": ArtworkFault("artwork/two.png", "torn"),
        "artwork/three.png": ArtworkFault("artwork/three.png", "missing"),
    }
    found = work(artwork=artwork).press
    assert found.plan is not None
    assert found.run is not None
    assert set(found.artwork) == {"one", "four"}
    assert {name: fault.reason for name, fault in found.faults.items()} == {"two": "torn", "three": "missing"}
    left_out = [found.plan.plate(number).masters for number in found.unprintable]
    assert left_out == [("two",), ("three",)]
    assert [(one.front_page, one.back_page) for one in found.run.stacks] == [(1, 0), (0, 0)]


def test_a_master_without_an_artwork_field_is_no_fault() -> None:
    found = work(**{"masters/two.md": note()}).press
    assert "two" not in found.artwork
    assert "two" not in found.faults
    assert len(found.unprintable) == 1


# The run and the log.


def test_without_an_edition_there_is_no_run() -> None:
    found = work(replica="title: R\n").press
    assert found.plan is not None
    assert found.run is None


def test_the_rule_for_spares_holds_for_stacks() -> None:
    run = work(replica=REPLICA + "spares: half again\n").press.run
    assert run is not None
    assert [(one.wanted, one.spares) for one in run.stacks] == [(6, 3), (6, 3)]


@pytest.mark.parametrize(
    ("fields", "fronts", "backs", "sides", "unassigned"),
    [
        ({"about": "stack-1-front", "made": "5", "spoiled": "1", "minutes": "12"}, 5, 0, 6, 0),
        ({"about": "stack-1-back", "made": "4", "minutes": "8"}, 0, 4, 4, 0),
        ({"about": "stack-1", "step": "printing", "made": "3", "minutes": "9"}, 3, 3, 6, 0),
        ({"about": "stack-1", "step": "printing fronts", "made": "3", "minutes": "9"}, 3, 0, 3, 0),
        ({"about": "stack-1", "step": "backs", "made": "3", "minutes": "9"}, 0, 3, 3, 0),
        ({"about": "plate-1", "made": "6", "minutes": "9"}, 6, 0, 6, 0),
        ({"about": "plate-2", "made": "6", "minutes": "9"}, 0, 6, 6, 0),
        ({"about": "gathering-1", "step": "printing", "made": "12", "minutes": "30"}, 0, 0, 24, 1),
        ({"about": "gathering-1", "step": "printing the backs", "made": "12", "minutes": "30"}, 0, 0, 12, 1),
        # Folding a gathering, or drying a stack, is no printing.
        ({"about": "gathering-1", "step": "folding", "made": "12", "minutes": "30"}, 0, 0, 0, 0),
        ({"about": "stack-1", "step": "drying", "made": "6", "minutes": "30"}, 0, 0, 0, 0),
        ({"about": "stack-1", "minutes": "30"}, 0, 0, 0, 0),
    ],
)
def test_what_the_log_counts_for(
    fields: dict[str, str], fronts: int, backs: int, sides: int, unassigned: int
) -> None:
    run = work(**{"log/2031-03-01-press.md": note(**fields)}).press.run
    assert run is not None
    one = run.stacks[0]
    assert (one.fronts.made, one.backs.made, run.timed_sides, run.unassigned) == (
        fronts,
        backs,
        sides,
        unassigned,
    )
    if sides:
        assert run.minutes_per_side == pytest.approx(float(fields["minutes"]) / sides)
    else:
        assert run.minutes_per_side is None


def test_entries_are_taken_in_the_order_of_their_days() -> None:
    # plate-1 is the front of the first stack alone; the later entry goes on where the first one ended.
    run = work(
        **{
            "log/2031-03-02-more.md": note(about="[stack-1-front, stack-2-front]", made="7"),
            "log/2031-03-01-first.md": note(about="stack-1-front", made="4"),
        }
    ).press.run
    assert run is not None
    assert [one.fronts.made for one in run.stacks] == [6, 5]
    assert run.resume == (2, "fronts")


# Crossovers that are expected to fail.


def misfit(left: int, right: int, share: float) -> CrossoverMisfit:
    return CrossoverMisfit(left, right, (), 0, 0, 1, 1, 1, 2, share, 1.6, False, 0)


def fail(found: Workings, misfits: list[CrossoverMisfit]) -> FailingWorking:
    assert found.book is not None
    assert found.press.plan is not None
    return work_failing(found.press.plan, locate_pages(found.book, found.press.plan), misfits)


@pytest.mark.parametrize(
    ("misfits", "by_stack"),
    [
        # By hand, two gatherings of two sheets: page 2 is on the back of sheet 1, page 3 on the front of sheet 2;
        # pages 4 and 5 are both on the back of sheet 2; 8 and 9 on the fronts of the outermost sheets.
        ([misfit(2, 3, 0.5)], {1: 0.5}),
        ([misfit(4, 5, 0.25)], {2: 0.25}),
        ([misfit(8, 9, 0.25)], {3: 0.25}),
        ([misfit(6, 7, 0.1)], {1: 0.1}),
        # Pages 2 and 7 are on one back: it is good where both are.
        ([misfit(2, 3, 0.5), misfit(6, 7, 0.1)], {1: 1 - 0.5 * 0.9}),
        ([misfit(2, 3, 0.0)], {}),
        ([], {}),
    ],
)
def test_a_crossover_that_fails_costs_the_sheet_with_its_back(
    misfits: list[CrossoverMisfit], by_stack: dict[int, float]
) -> None:
    masters = "[one, two, three, four, one, three, two, two, four, one, one, two, three, three, four, four]"
    found = work(BOOK.replace(SEQUENCE, f"sequence: {masters}\n"))
    assert found.press.plan is not None
    assert [stack.sheets for stack in found.press.plan.stacks] == [((g, s),) for g in (1, 2) for s in (1, 2)]
    failing = fail(found, misfits)
    assert failing.by_stack == pytest.approx(by_stack)
    assert failing.per_copy == pytest.approx(sum(by_stack.values()))


def test_sheets_of_one_stack_share_what_fails_among_them() -> None:
    found = work(BOOK.replace(SEQUENCE, "sequence: [{master: one, times: 8}]\n"))
    failing = fail(found, [misfit(2, 3, 0.5)])
    # Both sheets of the copy are of one stack, and one of them fails every other time.
    assert (failing.by_stack, failing.per_copy) == ({1: 0.25}, 0.5)


def test_in_a_quarto_two_leaf_pairs_are_one_sheet() -> None:
    book = BOOK.replace("2 sheets", "1 sheet") + "press: {folding: quarto, sheet: 297 x 420 mm}\n"
    found = work(book)
    assert fail(found, [misfit(2, 3, 0.5)]).by_stack == {1: 0.5}


@pytest.mark.parametrize("reading", ["left to right", "right to left"])
@pytest.mark.parametrize("folding", ["folio", "quarto", "octavo"])
def test_every_page_is_found_where_it_is_printed(folding: str, reading: str) -> None:
    book = (
        f"title: B\nleaf: 70 x 100 mm\nstock: laid\nreading: {reading}\n"
        "sequence: [{run: [one, two, three, four], times: 8}]\ngatherings: 1 sheet\n"
        f"press: {{folding: {folding}, sheet: 297 x 420 mm}}\n"
    )
    found = work(book)
    assert found.book is not None
    assert found.press.plan is not None
    places = locate_pages(found.book, found.press.plan)
    assert sorted(places) == list(range(1, 33))
    masters = {entry.page: entry.master for entry in found.book.entries}
    for page, place in places.items():
        assert place.placed.master == masters[page]
        assert page in place.placed.pages
        mapped = found.book.page_map.find(page)
        # The spine is at the left of an upright page that stands at the right of the gutter.
        assert (place.placed.spine.value == "left") == ((mapped.half.value == "right") != place.placed.turned)
        assert (mapped.gathering, mapped.sheet) == (place.gathering, place.pair)
    # Two pages of one leaf lie back to back: seen through, their folds are one line.
    width = found.press.plan.layout.sheet_width_mm
    for recto in range(1, 33, 2):
        front, back = sorted((places[recto], places[recto + 1]), key=lambda one: one.side.value, reverse=True)
        assert {front.side, back.side} == {Side.FRONT, Side.BACK}
        assert front.fold_x_mm == pytest.approx(width - back.fold_x_mm)


# Register.

READ = """\
printer: desk
stock: laid
sheet: 297 x 210 mm
offsets:
  A1: 0.40 mm right, 0.30 mm down
  A2: 0.40 mm right, 0.30 mm down
  B1: 0.40 mm right, 0.30 mm down
  B2: 0.40 mm right, 0.30 mm down
  C1: 0.40 mm right, 0.30 mm down
"""
DESK = {"printers/desk.md": note()}


def with_readings(**changed: str) -> Workings:
    """Work up a book whose printer has two sheets of readings, the second 0.1 mm further right."""
    first = f"title: First sheet\ndate: 2031-03-01\n{READ}"
    second = f"title: Second sheet\ndate: 2031-03-02\n{READ.replace('0.40', '0.50')}"
    files = {**DESK, "register/one.yml": first, "register/two.yml": second, **changed}
    return work(**files)


def test_without_readings_the_register_is_assumed_and_nothing_is_corrected() -> None:
    register = work(**DESK).press.register
    assert register is not None
    assert (register.printer, register.stock, register.fit, register.is_tried) == (
        "desk",
        "laid",
        None,
        False,
    )
    assert register.correction.is_identity
    assert len(register.before) == len(register.after) > 12
    assert all(point.degrees == 0 and point.p95_mm > 0 for point in register.after)


def test_the_correction_undoes_what_was_read() -> None:
    register = with_readings().press.register
    assert register is not None
    assert register.is_tried
    assert [one.id for one in register.notes] == ["one", "two"]
    # By hand: the mean of 0.4 and 0.5 to the right, 0.3 down, all over the sheet.
    for x, y in ((0, 0), (100, -60), (-140, 100)):
        assert register.correction.apply(x, y) == pytest.approx((x - 0.45, y - 0.3), abs=1e-9)
    assert all(point.mean_dx_mm == pytest.approx(0.45) for point in register.before)
    assert all(point.mean_dx_mm == 0 for point in register.after)
    assert register.correction_parts is not None
    assert register.correction_parts.shift_x_mm == pytest.approx(-0.45)
    # The last four are the corners of the sheet.
    assert {(point.x_mm, point.y_mm) for point in register.after[-4:]} == {
        (x, y) for x in (-148.5, 148.5) for y in (-105.0, 105.0)
    }


@pytest.mark.parametrize(
    ("change", "used", "other"),
    [
        (("stock: laid", "stock: card"), ["two"], []),
        (("printer: desk", "printer: hall"), ["two"], []),
        (("297 x 210 mm", "210 x 297 mm"), ["two"], ["one"]),
        (("297 x 210 mm", "420 x 297 mm"), ["two"], ["one"]),
        (("sheet: 297 x 210 mm\n", ""), ["one", "two"], []),
    ],
)
def test_readings_of_another_printer_stock_or_sheet_do_not_count(
    change: tuple[str, str], used: list[str], other: list[str]
) -> None:
    first = f"title: First sheet\ndate: 2031-03-01\n{READ}".replace(*change)
    more = {"stocks/card.md": note(), "printers/hall.md": note()}
    more |= {"book.yml": BOOK + "press: {printer: desk}\n", "register/one.yml": first}
    found = work_up(
        decode_well(
            {
                "replica.yml": REPLICA,
                "stocks/laid.md": LAID,
                **MASTERS,
                **DESK,
                **more,
                "register/two.yml": f"title: Second\ndate: 2031-03-02\n{READ}",
            }
        ),
        {},
        Reference(),
        ARTWORK,
    )
    register = found.press.register
    assert register is not None
    assert [one.id for one in register.notes] == used
    assert [one.id for one in register.other_sheets] == other


def test_where_the_front_sits_is_kept() -> None:
    sits = f"title: First sheet\n{READ}front: {{right: 0.8 mm, down: -0.4 mm}}\nfold: 0.3 mm left\n"
    register = with_readings(**{"register/one.yml": sits}).press.register
    assert register is not None
    fronts = {one.name: one.front for one in register.readings}
    assert fronts == {"one": SeatReading(0.8, -0.4, None, -0.3), "two": SeatReading()}


def test_a_register_needs_no_book() -> None:
    sheets = {"register/one.yml": f"title: First sheet\n{READ}".replace("stock: laid\n", "")}
    register = work("", **DESK, **sheets).press.register
    assert register is not None
    assert register.is_tried
    assert work("", **DESK).press.register is None


# Crossovers.

CROSSING = {**MASTERS, "masters/one.md": note(artwork="artwork/one.png", crossover="two")}


def crossing(at: int, more: str = "", **files: str) -> Workings:
    """Work up 16 pages in one gathering, with artwork across the gutter from an even page to the next."""
    book = BOOK.replace(SEQUENCE, f"sequence: [{{blank: {at - 1}}}, one, two, {{blank: {15 - at}}}]\n")
    return work(book.replace("2 sheets", "4 sheets") + more, **{**CROSSING, **files})


def test_a_spread_in_the_middle_always_meets() -> None:
    found = crossing(8)
    (one,) = found.press.crossovers
    assert (one.left_page, one.right_page, one.tolerance_mm) == (8, 9, 1.6)
    assert (one.mean_dx_mm, one.mean_dy_mm, one.failing_share) == (0, 0, 0)
    assert found.press.failing_sheets == 0


def test_artwork_across_the_gutter_is_not_moved_for_the_creep() -> None:
    found = crossing(8, "creep: {rule: one caliper, step: 0.1 mm}\n")
    assert found.press.plan is not None
    shifts = {page.master: page.creep_shift_mm for plate in found.press.plan.plates for page in plate.pages}
    assert (shifts["one"], shifts["two"]) == (0, 0)
    assert found.press.crossovers[0].mean_dx_mm == 0


def test_a_spread_on_two_sheets_fails_now_and_then_and_costs_spares() -> None:
    found = crossing(6, replica=REPLICA.replace("6", "40"))
    (one,) = found.press.crossovers
    (before,) = found.press.crossovers_before
    assert not one.is_tried
    assert 0 < one.failing_share < 1
    # A printer that nobody has read has no correction to make it better or worse.
    assert before.p95_mm == one.p95_mm
    assert found.press.failing_sheets == pytest.approx(one.failing_share)
    run = found.press.run
    assert run is not None
    expected = math.ceil(40 * one.failing_share)
    # Page 6 is on the back of the third sheet, so that sheet is printed again, and the bill buys it.
    assert {stack.sheets: stack.spares for stack in run.stacks} == {
        ((1, 1), (1, 2)): 0,
        ((1, 3),): expected,
        ((1, 4),): 0,
    }
    assert (found.bill.failing_sheets, found.bill.sheets_on_top, found.bill.failing_tried) == (
        expected,
        expected,
        False,
    )
    assert found.bill.bill is not None
    assert found.bill.bill.stocks[0].lines[0].need == BookNeed(
        "book", "laid", 4, 40, 0, 1, expected, 160 + expected
    )


@pytest.mark.parametrize(
    ("spares", "entries", "needed"),
    [
        # Two stacks of 6 sheets each.
        ("", [], 12),
        # One in a hundred of twelve is one spare, but each stack is rounded up to one by itself.
        ("spares: 1 %\n", [], 14),
        # By hand: 6 good and 1 spoiled went through; 2 spoiled at their backs, so 2 more: 9 and 6.
        ("", [("stack-1-front", "6", "1"), ("stack-1-back", "4", "2")], 15),
        # What spoils within the spares costs nothing.
        ("spares: 2\n", [("stack-1-front", "7", "1"), ("stack-1-back", "6", "1")], 16),
    ],
)
def test_the_bill_has_the_paper_that_the_run_takes(
    spares: str, entries: list[tuple[str, str, str]], needed: int
) -> None:
    log = {
        f"log/2031-03-0{day}-a.md": note(about=about, made=made, spoiled=spoiled)
        for day, (about, made, spoiled) in enumerate(entries, 1)
    }
    found = work(replica=REPLICA + spares, **log)
    run = found.press.run
    assert run is not None
    assert found.bill.bill is not None
    assert sum(one.paper for one in run.stacks) == needed
    assert found.bill.bill.stocks[0].needed == needed
    assert found.bill.sheets_on_top == needed - 12


def test_the_maker_s_own_tolerance_is_held_against() -> None:
    strict = crossing(6, replica=REPLICA + "tolerances: {crossover: 0.8 mm}\n").press.crossovers[0]
    usual = crossing(6).press.crossovers[0]
    assert (strict.tolerance_mm, usual.tolerance_mm) == (0.8, 1.6)
    assert strict.failing_share > usual.failing_share


def test_the_correction_takes_away_what_the_printer_does_to_the_backs() -> None:
    # The back lies 0.9 mm too low, and only one half of the spread is on a back.
    read = READ.replace("0.40 mm right, 0.30 mm down", "0 mm right, 0.90 mm down")
    sheets = {f"register/{name}.yml": f"title: {name}\n{read}" for name in ("one", "two", "three")}
    found = crossing(6, **DESK, **sheets).press
    (before,), (after,) = found.crossovers_before, found.crossovers
    assert abs(before.mean_dy_mm) == pytest.approx(0.9)
    assert after.mean_dy_mm == pytest.approx(0, abs=1e-9)
    assert after.failing_share < before.failing_share


def test_two_leaf_pairs_of_one_quarto_sheet_are_knocked_up_as_one() -> None:
    quarto = "press: {folding: quarto, sheet: 297 x 420 mm}\n"
    folio = BOOK.replace(SEQUENCE, "sequence: [blank, one, two, {blank: 5}]\n")
    (apart,) = work(folio, **CROSSING).press.crossovers
    (once,) = work(folio.replace("2 sheets", "1 sheet") + quarto, **CROSSING).press.crossovers
    # Pages 2 and 3 of a quarto are on one sheet, and of a folio on two.
    assert "knock-up" in {part.name for part in apart.parts}
    assert "knock-up" not in {part.name for part in once.parts}


def test_a_half_on_a_leaf_tipped_in_is_predicted_too() -> None:
    book = BOOK.replace(
        SEQUENCE, "sequence: [blank, one, {tipped: {first: two, second: blank}}, {blank: 6}]\n"
    )
    (one,) = work(book, **CROSSING).press.crossovers
    assert (one.left_page, one.right_page) == (2, 3)
    assert one.p95_mm > 0
