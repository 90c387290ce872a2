"""From readings in notes to the standing of attributes and inserts."""

from __future__ import annotations

from doublure.trade.evidence.assess import Clause
from doublure.trade.evidence.standing import OPEN, Standing
from doublure.workings.standing import InsertStandingWorking, work_standing
from journal_samples import decode_well, note

FILM = note(kind="frame", stem="film", scale="a rule")
OTHER_FRAME = note(kind="frame", copied_from="frame")
PHOTO = note(kind="photograph", scale="a rule")
UNSCALED = note(kind="description")
LEAF = note(kind="original")


def work(insert: str, **more: str) -> InsertStandingWorking:
    """Work out one insert beside five sources."""
    replica = decode_well(
        {
            "evidence/frame.md": FILM,
            "evidence/frame-two.md": OTHER_FRAME,
            "evidence/photo.md": PHOTO,
            "evidence/letter.md": UNSCALED,
            "evidence/leaf.md": LEAF,
            "stocks/laid.md": note(title="Blue laid", kind="paper", surface="laid"),
            "inserts/pass.md": insert,
            **more,
        }
    )
    return work_standing(replica).inserts["pass"]


def standing_of(found: InsertStandingWorking, attribute: str) -> Standing | None:
    """Return the standing of one attribute, None where it is open."""
    one = found.find(attribute)
    assert one is not None
    return None if one.status.standing is OPEN else one.status.standing  # type: ignore[return-value]


def test_two_frames_of_one_film_are_one_witness() -> None:
    found = work(
        note(
            readings="[{from: frame, width: 64(1) mm}, {from: frame-two, width: 65(1) mm}]", size="64 x 90 mm"
        )
    )
    width = found.find("width")
    assert width is not None
    assert len(width.status.witnesses) == 1
    assert width.status.standing is Standing.SUPPORTED


def test_two_independent_witnesses_to_scale_settle() -> None:
    found = work(note(readings="[{from: frame, width: 64(1) mm}, {from: photo, width: 65(1) mm}]"))
    assert standing_of(found, "width") is Standing.SETTLED


def test_the_original_in_hand_settles_alone() -> None:
    assert standing_of(work(note(readings="[{from: leaf, width: 64(1) mm}]")), "width") is Standing.SETTLED


def test_a_measurement_that_the_source_states_is_to_scale() -> None:
    thin = work(note(readings="[{from: letter, width: 64 mm}]"))
    stated = work(note(readings="[{from: letter, width: 64 mm, stated: yes}]"))
    assert (standing_of(thin, "width"), standing_of(stated, "width")) == (Standing.THIN, Standing.SUPPORTED)


def test_numbers_that_differ_too_much_are_disputed_and_both_are_named() -> None:
    found = work(note(readings="[{from: frame, width: 64(1) mm}, {from: photo, width: 75(1) mm}]"))
    width = found.find("width")
    assert width is not None
    assert width.status.standing is Standing.DISPUTED
    assert width.status.odd is None
    assert set(width.status.named) == {"film", "photo"}
    assert found.overall.standing is Standing.DISPUTED


def test_a_decision_outside_the_interval_is_the_makers_own() -> None:
    found = work(note(readings="[{from: frame, width: 64(1) mm}]", size="80 x 90 mm"))
    width = found.find("width")
    assert width is not None
    assert (width.status.standing, width.status.clause) == (Standing.CHOSEN, Clause.DECIDED_OUTSIDE)


def test_paper_is_held_against_what_the_stock_says_of_itself() -> None:
    agrees = work(note(readings="[{from: photo, paper: blue laid}]", stock="laid"))
    against = work(note(readings="[{from: photo, paper: cream wove}]", stock="laid"))
    assert standing_of(agrees, "paper") is Standing.SUPPORTED
    assert standing_of(against, "paper") is Standing.CHOSEN


def test_a_place_agrees_by_its_page_numbers() -> None:
    book = {"book.yml": "title: B\nleaf: 90 x 120 mm\nsequence: [{blank: 8}]\ngatherings: 2 sheets\n"}
    found = work(note(readings="[{from: photo, place: between 4 and 5}]", place="{between: [4, 5]}"), **book)
    assert standing_of(found, "place") is Standing.SUPPORTED
    moved = work(note(readings="[{from: photo, place: between 6 and 7}]", place="{between: [4, 5]}"), **book)
    assert standing_of(moved, "place") is Standing.CHOSEN


def test_a_basis_with_wordings_caps_what_they_give() -> None:
    """The reason for an assumption is no wording to hold readings against."""
    found = work(note(readings="[{from: photo, colour: buff}]", assumed="{colour: passes were buff}"))
    assert standing_of(found, "colour") is Standing.ASSUMED


def test_a_master_that_says_nothing_of_itself_is_not_held_against_readings() -> None:
    found = work(
        note(readings="[{from: photo, front: a printed form}]", front="form"), **{"masters/form.md": note()}
    )
    assert standing_of(found, "front") is Standing.SUPPORTED
    alone = work(note(front="form"), **{"masters/form.md": note()})
    front = alone.find("front")
    assert front is not None
    assert front.status.clause is Clause.DECIDED_ALONE


def test_a_required_attribute_without_anything_leaves_the_insert_open() -> None:
    found = work(note(size="64 x 90 mm"))
    assert found.overall.standing is OPEN
    assert "paper" in found.overall.open


def test_grammage_has_an_uncertainty_of_its_own_where_none_is_stated() -> None:
    grammage = work(note(readings="[{from: letter, grammage: 90 g/m2}]")).find("grammage")
    assert grammage is not None
    assert grammage.status.combined is not None
    assert grammage.status.combined.u == 5.0
