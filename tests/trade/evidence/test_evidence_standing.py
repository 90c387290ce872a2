"""The rule of standing, clause by clause, for attributes and for inserts."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.evidence.assess import (
    AttributeStanding,
    BasisKind,
    BasisSpec,
    Clause,
    Contradiction,
    DecidedSpec,
    ReadingSpec,
    assess_attribute,
)
from doublure.trade.evidence.power import DifferenceFrom
from doublure.trade.evidence.standing import (
    OPEN,
    SCALE,
    Open,
    Standing,
    assess_insert,
    compute_strength,
    find_weakest,
)

ASSUMED = BasisSpec(BasisKind.ASSUMED, "such passes were on card")
CHOSEN = BasisSpec(BasisKind.CHOSEN, "it fits the pocket")


def _number(
    source: str,
    stem: str,
    value: float = 100.0,
    u: float | None = 1.0,
    *,
    to_scale: bool = False,
    original: bool = False,
) -> ReadingSpec:
    return ReadingSpec(source, stem, to_scale, original, value, u)


def _outcome(found: AttributeStanding) -> tuple[Standing | Open, Clause]:
    return found.standing, found.clause


@pytest.mark.parametrize(
    ("readings", "standing", "clause"),
    [
        ([], OPEN, Clause.NOTHING),
        ([_number("a", "A")], Standing.THIN, Clause.ONE_UNSCALED),
        ([_number("a", "A"), _number("b", "A")], Standing.THIN, Clause.ONE_UNSCALED),
        ([_number("a", "A"), _number("b", "B")], Standing.SUPPORTED, Clause.TWO_UNSCALED),
        ([_number("a", "A", to_scale=True)], Standing.SUPPORTED, Clause.ONE_TO_SCALE),
        (
            [_number("a", "A", to_scale=True), _number("b", "A", to_scale=True)],
            Standing.SUPPORTED,
            Clause.ONE_TO_SCALE,
        ),
        ([_number("a", "A", to_scale=True), _number("b", "B")], Standing.SUPPORTED, Clause.ONE_TO_SCALE),
        (
            [_number("a", "A", to_scale=True), _number("b", "B", to_scale=True)],
            Standing.SETTLED,
            Clause.TWO_TO_SCALE,
        ),
        ([_number("a", "A", original=True)], Standing.SETTLED, Clause.ORIGINAL_IN_HAND),
        ([_number("a", "A"), _number("b", "B", original=True)], Standing.SETTLED, Clause.ORIGINAL_IN_HAND),
    ],
)
def test_each_clause_that_looks_at_witnesses(
    readings: list[ReadingSpec], standing: Standing | Open, clause: Clause
) -> None:
    """For numbers, and the same for pictures that merely show the attribute."""
    assert _outcome(assess_attribute(readings)) == (standing, clause)
    shown = [replace(reading, value=None, u=None) for reading in readings]
    assert _outcome(assess_attribute(shown)) == (standing, clause)
    worded = [replace(reading, words="cream laid") for reading in shown]
    assert _outcome(assess_attribute(worded)) == (standing, clause)


def test_numbers_in_dispute_override_everything_and_name_both() -> None:
    found = assess_attribute(
        [_number("a", "A", 100.0, original=True), _number("b", "B", 110.0, to_scale=True)],
        DecidedSpec(value=100.0),
        CHOSEN,
    )
    assert _outcome(found) == (Standing.DISPUTED, Clause.NUMBERS_DIFFER)
    assert found.odd is None
    assert found.named == ("A", "B")
    assert found.power is not None
    assert found.power.difference_from is DifferenceFrom.TWO_COMBINED_U


def test_the_odd_one_is_named_from_three_witnesses_on() -> None:
    found = assess_attribute([_number("a", "A", 100.0), _number("b", "B", 100.5), _number("c", "C", 120.0)])
    assert found.standing is Standing.DISPUTED
    assert found.odd == "C"
    assert found.named == ("C",)


def test_where_two_of_three_are_equally_odd_both_are_named() -> None:
    found = assess_attribute([_number("a", "A", 90.0), _number("b", "B", 100.0), _number("c", "C", 110.0)])
    assert found.standing is Standing.DISPUTED
    assert found.odd is None
    assert found.named == ("A", "C")


def test_scatter_on_one_stem_is_no_dispute_but_widens_it() -> None:
    found = assess_attribute([_number("a", "A", 100.0), _number("b", "A", 110.0)])
    assert found.standing is Standing.THIN
    assert found.combined is not None
    assert found.combined.u == pytest.approx(5.0)
    assert found.power is None


def test_the_power_goes_with_two_witnesses_at_the_tolerance() -> None:
    found = assess_attribute([_number("a", "A"), _number("b", "B")], tolerance=5.0)
    assert found.power is not None
    assert found.power.difference == 5.0
    assert found.power.difference_from is DifferenceFrom.STATED
    assert found.power.least == pytest.approx(0.831, abs=5e-4)


@pytest.mark.parametrize(
    ("decided", "standing", "clause", "agrees"),
    [
        (100.0, Standing.SUPPORTED, Clause.ONE_TO_SCALE, True),
        (101.95, Standing.SUPPORTED, Clause.ONE_TO_SCALE, True),
        (101.97, Standing.CHOSEN, Clause.DECIDED_OUTSIDE, False),
        (98.0, Standing.CHOSEN, Clause.DECIDED_OUTSIDE, False),
    ],
)
def test_a_decided_value_outside_the_interval_is_chosen(
    decided: float, standing: Standing, clause: Clause, agrees: bool
) -> None:
    """100 ± 1: the interval of 95 % ends 1.96 away."""
    found = assess_attribute([_number("a", "A", to_scale=True)], DecidedSpec(value=decided))
    assert _outcome(found) == (standing, clause)
    assert found.decided_agrees is agrees
    assert found.from_readings is Standing.SUPPORTED


def test_a_decided_wording_that_no_reading_agrees_with_is_chosen() -> None:
    readings = [ReadingSpec("a", "A", words="cream paper"), ReadingSpec("b", "B", words="laid cream paper")]
    agreed = assess_attribute(readings, DecidedSpec(words="cream laid paper, 90 g/m²"))
    assert _outcome(agreed) == (Standing.SUPPORTED, Clause.TWO_UNSCALED)
    assert agreed.decided_agrees is True
    against = assess_attribute(readings, DecidedSpec(words="buff card"))
    assert _outcome(against) == (Standing.CHOSEN, Clause.DECIDED_AGAINST)
    assert against.decided_agrees is False
    listed = assess_attribute(
        readings, DecidedSpec(words="buff card"), same_wordings=[("buff card", "cream paper")]
    )
    assert listed.standing is Standing.SUPPORTED


def test_a_decision_in_another_kind_is_not_compared() -> None:
    words = assess_attribute([ReadingSpec("a", "A", words="like a postcard")], DecidedSpec(value=140.0))
    assert (words.standing, words.decided_agrees) == (Standing.THIN, None)
    number = assess_attribute([_number("a", "A")], DecidedSpec(words="like a postcard"))
    assert (number.standing, number.decided_agrees) == (Standing.THIN, None)


@pytest.mark.parametrize(
    ("decided", "basis", "standing", "clause"),
    [
        (None, ASSUMED, Standing.ASSUMED, Clause.PERIOD_PRACTICE),
        (DecidedSpec(value=90.0), ASSUMED, Standing.ASSUMED, Clause.PERIOD_PRACTICE),
        (None, CHOSEN, Standing.CHOSEN, Clause.OWN_CHOICE),
        (DecidedSpec(words="buff card"), CHOSEN, Standing.CHOSEN, Clause.OWN_CHOICE),
        (DecidedSpec(value=90.0), None, Standing.CHOSEN, Clause.DECIDED_ALONE),
        (DecidedSpec(words="buff card"), None, Standing.CHOSEN, Clause.DECIDED_ALONE),
        (DecidedSpec(), None, OPEN, Clause.NOTHING),
    ],
)
def test_without_readings(
    decided: DecidedSpec | None, basis: BasisSpec | None, standing: Standing | Open, clause: Clause
) -> None:
    found = assess_attribute([], decided, basis)
    assert _outcome(found) == (standing, clause)
    assert found.from_readings is OPEN
    assert found.is_open is (standing is OPEN)
    assert (found.decided, found.basis) == (decided, basis)


def test_a_stated_basis_caps_what_the_readings_give() -> None:
    readings = [_number("a", "A", original=True)]
    assumed = assess_attribute(readings, DecidedSpec(value=100.0), ASSUMED)
    assert _outcome(assumed) == (Standing.ASSUMED, Clause.PERIOD_PRACTICE)
    assert assumed.from_readings is Standing.SETTLED
    chosen = assess_attribute(readings, DecidedSpec(value=100.0), CHOSEN)
    assert _outcome(chosen) == (Standing.CHOSEN, Clause.OWN_CHOICE)
    # Outside the interval it is chosen, whatever practice was.
    outside = assess_attribute(readings, DecidedSpec(value=200.0), ASSUMED)
    assert _outcome(outside) == (Standing.CHOSEN, Clause.DECIDED_OUTSIDE)


def test_contradicting_words_are_a_dispute_that_names_both() -> None:
    found = assess_attribute([ReadingSpec("a", "A", words="cream"), ReadingSpec("b", "B", words="buff")])
    assert _outcome(found) == (Standing.DISPUTED, Clause.WORDS_CONTRADICT)
    assert found.contradictions == (Contradiction("a", "b", on_one_stem=False),)
    assert found.odd is None
    assert found.named == ("A", "B")


def test_the_odd_wording_of_three() -> None:
    found = assess_attribute(
        [
            ReadingSpec("a", "A", words="cream"),
            ReadingSpec("b", "B", words="buff"),
            ReadingSpec("c", "C", words="cream laid"),
        ]
    )
    assert found.odd == "B"
    assert found.named == ("B",)
    vague = assess_attribute(
        [
            ReadingSpec("a", "A", words="cream paper"),
            ReadingSpec("b", "B", words="buff paper"),
            ReadingSpec("c", "C", words="paper"),
        ]
    )
    assert vague.odd is None
    assert vague.named == ("A", "B")


def test_words_that_contradict_on_one_stem_are_said_to_be_on_one_stem() -> None:
    found = assess_attribute([ReadingSpec("a", "A", words="cream"), ReadingSpec("b", "A", words="buff")])
    assert found.standing is Standing.DISPUTED
    assert found.contradictions == (Contradiction("a", "b", on_one_stem=True),)
    assert found.named == ("A",)
    assert found.odd is None


def test_wordings_taken_as_the_same_end_a_dispute() -> None:
    readings = [ReadingSpec("a", "A", words="manila"), ReadingSpec("b", "B", words="buff")]
    assert assess_attribute(readings, same_wordings=[("buff", "manila")]).standing is Standing.SUPPORTED


def test_words_beside_numbers_are_set_aside_and_count_for_nothing() -> None:
    found = assess_attribute([_number("a", "A"), ReadingSpec("b", "B", words="like a postcard")])
    assert _outcome(found) == (Standing.THIN, Clause.ONE_UNSCALED)
    assert found.set_aside == ("b",)
    assert [witness.stem for witness in found.witnesses] == ["A"]


def test_an_unstated_uncertainty_is_taken_from_the_maker_and_said() -> None:
    found = assess_attribute([_number("a", "A", u=None), _number("b", "B", u=1.0)], unstated_u=2.0)
    assert found.unstated == ("a",)
    assert found.combined is not None
    assert [witness.u for witness in found.combined.witnesses] == [2.0, 1.0]


def test_a_number_without_any_uncertainty_is_refused() -> None:
    with pytest.raises(DomainError, match="from a needs a standard uncertainty") as caught:
        assess_attribute([_number("a", "A", u=None)])
    assert caught.value.argument == "u"
    with pytest.raises(DomainError):
        assess_attribute([_number("a", "A", u=0.0)])


def test_one_source_cannot_be_on_two_stems() -> None:
    with pytest.raises(DomainError, match="two stems"):
        assess_attribute([_number("a", "A"), _number("a", "B")])


def test_the_witnesses_are_listed_with_what_they_are() -> None:
    found = assess_attribute(
        [_number("b", "A", to_scale=True), _number("a", "A"), _number("c", "B", original=True)]
    )
    assert [(w.stem, w.sources, w.to_scale, w.original) for w in found.witnesses] == [
        ("A", ("a", "b"), True, False),
        ("B", ("c",), False, True),
    ]


_READINGS = st.lists(
    st.builds(
        lambda stem, i, value, u, to_scale, original: ReadingSpec(
            f"{stem}{i}", stem, to_scale=to_scale, original=original, value=value, u=u
        ),
        st.sampled_from("ABC"),
        st.integers(0, 3),
        st.floats(90.0, 110.0),
        st.floats(0.5, 5.0),
        st.booleans(),
        st.booleans(),
    ),
    max_size=6,
)


@settings(deadline=None)
@given(_READINGS, st.randoms(use_true_random=False))
def test_the_order_of_the_readings_does_not_matter(readings: list[ReadingSpec], random: Random) -> None:
    shuffled = list(readings)
    random.shuffle(shuffled)
    assert assess_attribute(shuffled) == assess_attribute(readings)


@settings(deadline=None)
@given(_READINGS.filter(bool), st.data())
def test_a_further_copy_on_a_stem_never_lifts_the_standing(
    readings: list[ReadingSpec], data: st.DataObject
) -> None:
    copied = replace(data.draw(st.sampled_from(readings)), source="a further copy")
    before, after = assess_attribute(readings), assess_attribute([*readings, copied])
    assert after.standing is before.standing
    assert after.clause is before.clause
    assert len(after.witnesses) == len(before.witnesses)


@settings(deadline=None)
@given(_READINGS, st.none() | st.floats(80.0, 120.0))
def test_the_clause_belongs_to_the_standing(readings: list[ReadingSpec], decided: float | None) -> None:
    found = assess_attribute(readings, None if decided is None else DecidedSpec(value=decided))
    belongs = {
        Standing.SETTLED: {Clause.ORIGINAL_IN_HAND, Clause.TWO_TO_SCALE},
        Standing.SUPPORTED: {Clause.ONE_TO_SCALE, Clause.TWO_UNSCALED},
        Standing.THIN: {Clause.ONE_UNSCALED},
        Standing.CHOSEN: {Clause.DECIDED_OUTSIDE, Clause.DECIDED_ALONE},
        Standing.DISPUTED: {Clause.NUMBERS_DIFFER},
        OPEN: {Clause.NOTHING},
    }
    assert found.clause in belongs[found.standing]
    assert (found.standing is Standing.DISPUTED) is bool(found.named)


def test_the_scale_runs_from_settled_to_chosen() -> None:
    assert [standing.value for standing in SCALE] == ["settled", "supported", "thin", "assumed", "chosen"]
    assert [compute_strength(standing) for standing in SCALE] == [5, 4, 3, 2, 1]
    assert compute_strength(Standing.DISPUTED) == compute_strength(OPEN) == 0


def test_the_weakest_with_disputed_over_open_over_the_scale() -> None:
    assert find_weakest([Standing.SETTLED, Standing.ASSUMED, Standing.THIN]) is Standing.ASSUMED
    assert find_weakest([Standing.CHOSEN, OPEN]) is OPEN
    assert find_weakest([OPEN, Standing.DISPUTED, Standing.CHOSEN]) is Standing.DISPUTED
    with pytest.raises(DomainError):
        find_weakest([])


def test_an_insert_stands_as_the_weakest_of_what_is_required() -> None:
    standings: dict[str, Standing | Open] = {
        "width": Standing.SETTLED,
        "paper": Standing.THIN,
        "place": Standing.THIN,
        "finish": OPEN,
    }
    found = assess_insert(["width", "paper", "place"], standings)
    assert found.standing is Standing.THIN
    assert found.deciding == ("paper", "place")
    assert (found.disputed, found.open) == ((), ())


def test_an_insert_with_a_required_attribute_missing_is_open() -> None:
    found = assess_insert(["width", "height"], {"width": Standing.SETTLED})
    assert found.standing is OPEN
    assert found.deciding == found.open == ("height",)


def test_a_dispute_overrides_what_is_open_and_both_are_listed() -> None:
    found = assess_insert(
        ["height", "paper", "width"], {"width": Standing.DISPUTED, "paper": Standing.SETTLED}
    )
    assert found.standing is Standing.DISPUTED
    assert found.deciding == found.disputed == ("width",)
    assert found.open == ("height",)


def test_an_insert_needs_something_required() -> None:
    with pytest.raises(DomainError) as caught:
        assess_insert([], {})
    assert caught.value.argument == "required"
