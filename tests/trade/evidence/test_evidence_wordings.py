"""Wordings: which words count, which wordings agree, and which do not."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.trade.evidence.wordings import (
    NEGATIONS,
    STOP_WORDS,
    do_wordings_agree,
    extract_significant_words,
    find_contradictions,
)


@pytest.mark.parametrize(
    ("wording", "words"),
    [
        ("", set()),
        ("It is the", set()),
        ("The paper is CREAM, laid.", {"paper", "cream", "laid"}),
        ("blue-green / buff", {"blue", "green", "buff"}),
        ("the surveyor's mark", {"surveyors", "mark"}),
        ("the surveyor’s mark", {"surveyors", "mark"}),
        ("90 g/m²", {"90", "g", "m2"}),
        ("0,5 mm or 0.5 mm", {"0.5", "mm"}),
        ("size A4", {"size", "a4"}),
        ("STRASSE straße", {"strasse"}),
        ("ﬁne line", {"fine", "line"}),
        ("under_score", {"under", "score"}),
        ("no watermark", {"¬watermark"}),
        ("no visible watermark, cream", {"¬visible", "¬watermark", "cream"}),
        ("not laid but wove", {"¬laid", "wove"}),
        ("without chain lines and cream", {"¬chain", "¬lines", "cream"}),
        ("isn't ruled", {"¬ruled"}),
        ("neither cream nor white", {"¬cream", "¬white"}),
        ("not laid – cream", {"¬laid", "cream"}),
        ("Table No 4", {"table", "4"}),
        ("Table No. 4", {"table", "4"}),
        ("Table no", {"table"}),
        ("no", set()),
    ],
)
def test_significant_words(wording: str, words: set[str]) -> None:
    assert extract_significant_words(wording) == words


@pytest.mark.parametrize(
    ("one", "other", "agree"),
    [
        ("cream", "cream", True),
        ("cream paper", "Paper, cream!", True),
        ("paper", "cream laid paper", True),
        ("", "cream laid paper", True),
        ("cream", "buff", False),
        ("cream paper", "buff paper", False),
        ("cream laid", "cream wove", False),
        ("watermark", "no watermark", False),
        ("laid paper", "laid paper, no watermark", True),
        ("laid paper with watermark", "laid paper without watermark", False),
        ("watermark", "no visible watermark", False),
        ("Tide table No 4", "tide table no. 4", True),
        ("Tide table No 4", "Tide table No 5", False),
        ("between pages 12 and 13", "on page 12", False),
    ],
)
def test_the_vaguer_wording_agrees_and_another_contradicts(one: str, other: str, agree: bool) -> None:
    assert do_wordings_agree(one, other) is agree
    assert do_wordings_agree(other, one) is agree


def test_wordings_listed_as_the_same_agree() -> None:
    same = [("buff", "manila"), ("tan", "manila")]
    assert do_wordings_agree("Buff", "MANILA", same)
    assert do_wordings_agree("buff card", "manila card", same)
    assert do_wordings_agree("buff", "tan", same)
    assert do_wordings_agree("buff", "glossy manila", same)
    assert not do_wordings_agree("buff card", "manila paper", same)
    assert not do_wordings_agree("buff", "cream", same)


def test_a_group_of_several_words_counts_only_whole() -> None:
    same = [("cream laid", "ivory wove")]
    assert do_wordings_agree("cream laid paper", "ivory wove paper", same)
    assert do_wordings_agree("cream", "ivory wove", same)
    assert not do_wordings_agree("cream paper", "ivory paper", same)


def test_a_group_with_an_empty_wording_makes_nothing_the_same() -> None:
    assert not do_wordings_agree("cream", "buff", [("the", "buff")])


def test_an_opposite_listed_as_the_same_still_contradicts_the_plain_word() -> None:
    same = [("wove", "not laid")]
    assert not do_wordings_agree("wove", "laid", same)
    assert do_wordings_agree("wove", "not laid", same)


def test_contradictions_are_pairs_of_places() -> None:
    assert find_contradictions(["cream", "paper, cream", "buff", ""]) == ((0, 2), (1, 2))
    assert find_contradictions(["cream", "buff"], [("cream", "buff")]) == ()
    assert find_contradictions([]) == ()


def test_no_word_is_both_left_out_and_a_negation() -> None:
    assert not STOP_WORDS & NEGATIONS


_WORDINGS = st.lists(
    st.sampled_from(["cream", "laid", "wove", "not", "no", "watermark", ",", "and", "the", "4", "buff"]),
    max_size=7,
).map(" ".join)
_SAME = st.lists(st.lists(_WORDINGS, min_size=2, max_size=3), max_size=2)


@settings(deadline=None)
@given(_WORDINGS, _SAME)
def test_every_wording_agrees_with_itself(wording: str, same: list[list[str]]) -> None:
    assert do_wordings_agree(wording, wording, same)
    assert do_wordings_agree(wording, f"The {wording.upper()}", same)


@settings(deadline=None)
@given(_WORDINGS, _WORDINGS, _SAME)
def test_agreement_has_no_direction(one: str, other: str, same: list[list[str]]) -> None:
    assert do_wordings_agree(one, other, same) is do_wordings_agree(other, one, same)


@settings(deadline=None)
@given(st.text(max_size=40))
def test_any_text_can_be_read(text: str) -> None:
    for word in extract_significant_words(text):
        assert word.strip()
        assert word not in STOP_WORDS
