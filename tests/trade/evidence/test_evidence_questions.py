"""Open questions: every key of the order, and that the order is one."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.evidence.questions import (
    AffectedInsert,
    Bearing,
    QuestionSpec,
    rank_questions,
)
from doublure.trade.evidence.standing import OPEN, Standing

BASE = QuestionSpec("middle", (AffectedInsert("pass", 6),), required=True, standing=Standing.THIN)


@pytest.mark.parametrize(
    "better",
    [
        replace(BASE, standing=OPEN),
        replace(BASE, standing=Standing.DISPUTED),
        replace(BASE, affects=(AffectedInsert("pass", 7),)),
        replace(BASE, affects=(AffectedInsert("pass", 4), AffectedInsert("chart", 3))),
        replace(BASE, standing=Standing.ASSUMED),
        replace(BASE, money=Decimal("0.50")),
        replace(BASE, sheets=1),
        replace(BASE, affects=(AffectedInsert("pass", 3), AffectedInsert("chart", 3))),
        replace(BASE, identifier="a"),
    ],
)
def test_each_key_lifts_a_question_over_an_equal_one(better: QuestionSpec) -> None:
    if better.identifier == BASE.identifier:
        better = replace(better, identifier="zz")
    assert [ranked.question for ranked in rank_questions([BASE, better])] == [better, BASE]


@pytest.mark.parametrize(
    "worse",
    [
        replace(BASE, required=False, standing=OPEN, affects=(AffectedInsert("pass", 900),)),
        replace(BASE, reachable=Standing.SUPPORTED, money=Decimal(1000)),
        replace(BASE, standing=None, sheets=1000),
    ],
)
def test_a_later_key_never_outweighs_an_earlier_one(worse: QuestionSpec) -> None:
    worse = replace(worse, identifier="aa")
    assert [ranked.question for ranked in rank_questions([worse, BASE])] == [BASE, worse]


def test_unknown_money_comes_after_known_even_if_it_is_nothing() -> None:
    known, unknown = replace(BASE, identifier="z", money=Decimal(0)), replace(BASE, identifier="a")
    assert [ranked.question.identifier for ranked in rank_questions([unknown, known])] == ["z", "a"]


def test_the_keys_are_said_with_the_rank() -> None:
    (ranked,) = rank_questions([replace(BASE, standing=Standing.DISPUTED, reachable=Standing.SUPPORTED)])
    assert (ranked.rank, ranked.bearing, ranked.pieces, ranked.lift) == (1, Bearing.BLOCKING, 6, 4)
    (free,) = rank_questions([QuestionSpec("why")])
    assert (free.bearing, free.pieces, free.lift) == (Bearing.FURTHER, 0, 0)
    (done,) = rank_questions([replace(BASE, standing=Standing.SETTLED, reachable=Standing.THIN)])
    assert (done.bearing, done.lift) == (Bearing.REQUIRED, 0)


@pytest.mark.parametrize(
    "questions",
    [
        [BASE, BASE],
        [replace(BASE, affects=(AffectedInsert("pass"), AffectedInsert("pass")))],
        [replace(BASE, affects=(AffectedInsert("pass", -1),))],
        [replace(BASE, money=Decimal(-1))],
        [replace(BASE, money=Decimal("NaN"))],
        [replace(BASE, sheets=-1)],
    ],
)
def test_what_makes_no_sense_is_refused(questions: list[QuestionSpec]) -> None:
    with pytest.raises(DomainError):
        rank_questions(questions)


_QUESTIONS = st.lists(
    st.builds(
        QuestionSpec,
        st.text("abcdef", min_size=1, max_size=4),
        st.lists(
            st.builds(AffectedInsert, st.sampled_from("xyz"), st.integers(0, 9)),
            max_size=3,
            unique_by=lambda affected: affected.identifier,
        ).map(tuple),
        st.booleans(),
        st.sampled_from([None, OPEN, *Standing]),
        st.sampled_from(list(Standing)),
        st.none() | st.decimals(0, 100, places=2),
        st.none() | st.integers(0, 100),
    ),
    unique_by=lambda question: question.identifier,
)


@settings(deadline=None)
@given(_QUESTIONS, st.randoms(use_true_random=False))
def test_one_order_whatever_the_order_given(questions: list[QuestionSpec], random: Random) -> None:
    ranked = rank_questions(questions)
    shuffled = list(questions)
    random.shuffle(shuffled)
    assert rank_questions(shuffled) == ranked
    assert [entry.rank for entry in ranked] == list(range(1, len(questions) + 1))
    for before, after in pairwise(ranked):
        assert before.bearing <= after.bearing
        if before.bearing == after.bearing:
            assert before.pieces >= after.pieces
            if before.pieces == after.pieces:
                assert before.lift >= after.lift
