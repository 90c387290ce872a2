"""Open questions: which are asked, which follow from the notes, and in what order."""

from __future__ import annotations

from doublure.model.replica import ImageFact
from doublure.workings.all import work_up
from doublure.workings.inserts import WorkState
from doublure.workings.reference import Reference
from journal_samples import decode_well, note


def test_a_note_with_a_title_alone_becomes_questions() -> None:
    found = work_up(decode_well({"inserts/pass.md": note(title="Pass")}), {}, Reference())
    asked = {(one.about, one.attribute, one.reason) for one in found.questions}
    for attribute in ("width", "height", "paper", "front", "back", "place"):
        assert ("inserts/pass", attribute, "open") in asked
    assert ("replica", "edition", "missing") in asked
    assert found.inserts[0].state is WorkState.RESEARCH


def test_what_is_nothing_is_no_question() -> None:
    """A printer that prints to the edge, and a stock that cost nothing, are known."""
    files = {
        "printers/bench.md": note(reach="0", prints="upper side", lands="face down"),
        "stocks/card.md": note(price="0", grammage="200 g/m²", caliper="0.2 mm", sheet="A4", grain="long"),
    }
    found = work_up(decode_well(files), {}, Reference()).questions
    asked = [(one.about, one.attribute) for one in found if one.reason == "missing"]
    assert sorted(asked) == [("printers/bench", "turn"), ("replica", "edition")]


def test_what_holds_up_the_making_comes_first() -> None:
    replica = decode_well(
        {
            "replica.yml": "title: R\nedition: 6\n",
            "stocks/card.md": note(),
            "evidence/a.md": note(scale="a rule"),
            "inserts/pass.md": note(open="[{question: How wide was it?, about: width}]", stock="card"),
        }
    )
    found = work_up(replica, {}, Reference()).questions
    bearings = [one.ranked.bearing for one in found]
    assert bearings == sorted(bearings)
    assert found[0].about == "inserts/pass"
    # The maker's own question stands for the attribute; the program does not ask the same again.
    own = [one for one in found if one.attribute == "width"]
    assert [one.text for one in own] == ["How wide was it?"]


def test_artwork_decides_whether_an_insert_is_ready() -> None:
    def state(artwork: str) -> WorkState:
        replica = decode_well(
            {
                "stocks/card.md": note(),
                "masters/form.md": note(artwork=artwork, state="final") if artwork else note(state="wanted"),
                "book.yml": "title: B\nleaf: 90 x 120 mm\nsequence: [{blank: 8}]\ngatherings: 2 sheets\n",
                "inserts/pass.md": note(
                    size="64 x 90 mm", stock="card", front="form", back="blank", place="{between: [4, 5]}"
                ),
            }
        )
        facts = {artwork: ImageFact(artwork, 10, 10, "0")} if artwork else {}
        return work_up(replica, facts, Reference()).inserts[0].state

    assert (state(""), state("artwork/form.png")) == (WorkState.ARTWORK, WorkState.READY)
