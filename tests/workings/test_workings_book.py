"""From the book's note to pages, plates, creep, crossovers and thickness."""

from __future__ import annotations

import pytest

from doublure.measured import Measured
from doublure.trade.book.crossovers import CrossoverKind
from doublure.workings.all import find_wish_problems
from doublure.workings.book import BookWorking, work_book
from journal_samples import decode_well, note

MASTERS = {f"masters/{name}.md": note() for name in ("one", "two", "three")}


def work(book: str, calipers: dict[str, Measured] | None = None, **more: str) -> BookWorking | None:
    """Work out a book with three masters and a laid stock."""
    replica = decode_well(
        {**MASTERS, "stocks/laid.md": note(), "stocks/card.md": note(), "book.yml": book, **more}
    )
    return work_book(replica, calipers if calipers is not None else {"laid": Measured(0.1, 0.002)})


BOOK = "title: B\nleaf: 100 x 150 mm\nstock: laid\nsequence: [{run: [one, two], times: 8}]\ngatherings: 4 sheets\n"


def test_sixteen_pages_make_one_gathering_of_four_sheets() -> None:
    book = work(BOOK)
    assert book is not None
    assert (book.pages, book.folded_sheets, book.leaves) == (16, 4, 8)
    assert book.imposition is not None
    assert book.imposition.sheets[0].front == (16, 1)
    assert book.places == {"one": tuple(range(1, 16, 2)), "two": tuple(range(2, 17, 2))}


def test_repeats_stay_one_plate_until_creep_tells_them_apart() -> None:
    plain = work(BOOK)
    assert plain is not None
    assert plain.counts is not None
    # Left pages of fronts are even and right ones odd, and the other way on the backs: two and one on all of them.
    assert (plain.counts.plates, plain.counts.stacks) == (1, 1)
    fine = work(BOOK + "creep: {rule: one caliper, step: 0.1 mm}\n")
    coarse = work(BOOK + "creep: {rule: one caliper, step: 0.2 mm}\n")
    assert fine is not None
    assert coarse is not None
    assert fine.plates is not None
    assert coarse.plates is not None
    assert {use.plate.creep_step for use in fine.plates.plates} == {0, 1, 2, 3}
    assert {use.plate.creep_step for use in coarse.plates.plates} == {0, 1, 2}


def test_a_crossover_is_found_where_its_halves_face_each_other() -> None:
    more = {"masters/one.md": note(crossover="two")}
    book = work(
        "title: B\nleaf: 100 x 150 mm\nsequence: [{blank: 7}, one, two, {blank: 7}]\ngatherings: 4 sheets\n",
        **more,
    )
    assert book is not None
    assert [(c.left_master, c.right_master, c.place.kind) for c in book.crossovers] == [
        ("one", "two", CrossoverKind.ONE_SHEET)
    ]


def test_a_crossover_reads_the_other_way_in_a_book_from_right_to_left() -> None:
    more = {"masters/one.md": note(crossover="two")}
    book = work(
        "title: B\nleaf: 100 x 150 mm\nreading: right to left\nsequence: [{blank: 7}, one, two, {blank: 7}]\n"
        "gatherings: 4 sheets\n",
        **more,
    )
    assert book is not None
    assert [(c.left_master, c.right_master) for c in book.crossovers] == [("two", "one")]
    assert book.imposition is not None
    assert book.imposition.sheets[0].front == (1, 16)


def test_a_leaf_tipped_in_counts_pages_but_no_sheet() -> None:
    book = work(
        "title: B\nleaf: 100 x 150 mm\nstock: laid\n"
        "sequence: [{blank: 2}, {tipped: {first: one, second: two, stock: card}}, {blank: 2}]\ngatherings: 1 sheet\n",
        {"laid": Measured(0.1), "card": Measured(0.3)},
    )
    assert book is not None
    assert (book.pages, book.folded_sheets, book.leaves) == (6, 1, 3)
    assert book.page_map.find(3).is_tipped
    assert book.tipped_stocks == {"card": 1}
    assert book.thickness is not None
    assert book.thickness.leaves.thickness_mm.value == pytest.approx(2 * 0.1 + 0.3)


def test_creep_by_a_measured_dummy() -> None:
    book = work(BOOK + "creep: {rule: measured, push_out: 0.42 mm, dummy: 4}\n")
    assert book is not None
    assert book.creep is not None
    assert book.creep.gatherings[4].total_mm.value == pytest.approx(0.42)
    assert book.creep.flat[4].total_mm.value == pytest.approx(0.3)
    assert book.creep.trimmed[4][3].width_mm.value == pytest.approx(100 - 0.42)


def test_an_open_caliper_leaves_thickness_and_creep_unknown_and_says_whose_it_is() -> None:
    book = work(BOOK, {})
    assert book is not None
    assert (book.creep, book.thickness, book.open_calipers) == (None, None, ("laid",))


def test_an_insert_thickens_the_book_folded_as_it_lies() -> None:
    insert = note(
        size="80 x 100 mm",
        folded="80 x 50 mm",
        stock="card",
        place="{between: [4, 5], from_gutter: 5 mm, from_head: 10 mm}",
    )
    book = work(BOOK, {"laid": Measured(0.1), "card": Measured(0.25)}, **{"inserts/map.md": insert})
    assert book is not None
    assert book.thickness is not None
    assert book.thickness.thickest.thickness.thickness_mm.value == pytest.approx(8 * 0.1 + 2 * 0.25)
    assert book.thickness.spine.thickness.thickness_mm.value == pytest.approx(8 * 0.1)
    assert [(layer.insert, layer.gathering) for layer in book.layers if layer.insert] == [("map", 1)]
    assert book.centred == ()


def test_no_sequence_no_book() -> None:
    assert work("title: B\nleaf: 100 x 150 mm\n") is None


def test_blanks_are_proposed_and_not_added() -> None:
    replica_problems_are_warnings = (
        "title: B\nleaf: 100 x 150 mm\nsequence: [{blank: 6}]\ngatherings: 4 sheets\n"
    )
    book = work(replica_problems_are_warnings)
    assert book is not None
    assert (book.pages, book.page_map.blanks) == (6, 2)


@pytest.mark.parametrize(
    ("folding", "sheets", "pairs", "blanks"),
    [("folio", 4, 4, 0), ("quarto", 2, 4, 0), ("octavo", 1, 4, 0), ("octavo", 2, 4, 0), ("quarto", 3, 4, 0)],
)
def test_a_sheet_folded_more_often_gives_more_leaf_pairs(
    folding: str, sheets: int, pairs: int, blanks: int
) -> None:
    book = work(BOOK.replace("4 sheets", f"{sheets} sheets") + f"press: {{folding: {folding}}}\n")
    assert book is not None
    # By hand: 16 pages are 4 leaf pairs: four folio sheets, two quarto sheets, one octavo sheet.
    assert (book.leaf_pairs, book.leaves, book.page_map.blanks) == (pairs, 8, blanks)
    assert book.folded_sheets == pairs // {"folio": 1, "quarto": 2, "octavo": 4}[folding]


def test_the_last_gathering_is_filled_up_to_whole_sheets() -> None:
    book = work(
        BOOK.replace("times: 8", "times: 9").replace("4 sheets", "1 sheet") + "press: {folding: octavo}\n"
    )
    assert book is not None
    # By hand: an octavo sheet has 16 pages; the 18 take two sheets, and 14 pages of the second are not given.
    assert (book.folded_sheets, book.page_map.sheets_in_gatherings, book.page_map.blanks) == (2, (4, 4), 14)
    listed = work(BOOK.replace("4 sheets", "[1, 1]") + "press: {folding: quarto}\n")
    assert listed is not None
    assert listed.page_map.sheets_in_gatherings == (2, 2)


def test_wishes_alone_give_the_gatherings() -> None:
    more = {"masters/one.md": note(crossover="two")}
    wished = "title: B\nleaf: 100 x 150 mm\nsequence: [{blank: 11}, one, two, {blank: 11}]\nchoose: {sheets: 1 to 6}\n"
    book = work(wished, **more)
    assert book is not None
    # By hand: 24 pages are six sheets; pages 12 and 13 are in a middle with one gathering of six, three of two, ...
    # and not with two of three.
    assert [c.place.kind for c in book.crossovers] == [CrossoverKind.ONE_SHEET]
    assert sum(book.page_map.sheets_in_gatherings) == 6
    written = work(wished + "gatherings: 3 sheets\n", **more)
    assert written is not None
    assert written.page_map.sheets_in_gatherings == (3, 3)


def test_wishes_that_no_plan_meets_are_found_by_the_search() -> None:
    def find(wishes: str) -> list[str]:
        sequence = ", ".join(["one", "two", "three", "{blank: 1}"] * 4)
        book = f"title: B\nsequence: [{sequence}]\ngatherings: 2 sheets\n{wishes}"
        return [problem.code for problem in find_wish_problems(decode_well({**MASTERS, "book.yml": book}))]

    assert find("") == []
    assert find("choose: {sheets: 1 to 4}\n") == []
    # Three masters take more than one plate, whatever the gatherings.
    assert find("choose: {sheets: 1 to 4, plates: 1}\n") == ["B115"]
