"""The Leiden conventions: runs of letters with what is said of them, and brackets that are wrong."""

from __future__ import annotations

import re
import unicodedata

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from doublure.leiden import (
    LOST,
    RESOLVED,
    RESTORED,
    STATES,
    STRUCK_OUT,
    SUPPLIED,
    UNCERTAIN,
    WordingRun,
    parse_wording,
)


def runs(text: str) -> list[tuple[str, tuple[str, ...]]]:
    """Return text and states of each run of a transcription without faults."""
    found, faults = parse_wording(text)
    assert faults == ()
    return [(run.text, run.states) for run in found]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("plain", [("plain", ())]),
        ("", []),
        ("a[bc]d", [("a", ()), ("bc", (RESTORED,)), ("d", ())]),
        ("h(arbour)", [("h", ()), ("arbour", (RESOLVED,))]),
        ("aft<er>", [("aft", ()), ("er", (SUPPLIED,))]),
        ("aft‹er›", [("aft", ()), ("er", (SUPPLIED,))]),
        ("⟦void⟧", [("void", (STRUCK_OUT,))]),
        ("[[void]]", [("void", (STRUCK_OUT,))]),
        ("a\u0323b", [("a", (UNCERTAIN,)), ("b", ())]),
        ("\u1ea1b", [("a", (UNCERTAIN,)), ("b", ())]),
        ("\u1edd\u0323", [("\u1edd", (UNCERTAIN,))]),
        ("[a(b)c]", [("a", (RESTORED,)), ("b", (RESTORED, RESOLVED)), ("c", (RESTORED,))]),
        ("[a\u0323b]", [("a", (RESTORED, UNCERTAIN)), ("b", (RESTORED,))]),
        ("[a⟦b⟧]", [("a", (RESTORED,)), ("b", (RESTORED, STRUCK_OUT))]),
        ("[a\nb]", [("a\nb", (RESTORED,))]),
        (r"\(see over\) \[x\] \\ C:\dir", [(r"(see over) [x] \ C:\dir", ())]),
    ],
)
def test_states(text: str, expected: list[tuple[str, tuple[str, ...]]]) -> None:
    assert runs(text) == expected


@pytest.mark.parametrize(
    ("text", "lost"),
    [
        ("[...]", 3),
        ("[.]", 1),
        ("[ . . . . ]", 4),
        ("[…]", 3),
        ("[---]", None),
        ("[- - -]", None),
        ("[—]", None),
    ],
)
def test_gaps(text: str, lost: int | None) -> None:
    found, faults = parse_wording(f"ab{text}c")
    assert faults == ()
    assert found == (WordingRun("ab"), WordingRun("", (LOST,), lost), WordingRun("c"))
    assert [run.is_gap for run in found] == [False, True, False]


def test_gap_inside_another_bracket() -> None:
    found, _ = parse_wording("⟦ab[..]⟧")
    assert found[1] == WordingRun("", (STRUCK_OUT, LOST), 2)


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("a[b", [("W101", 1, 1)]),
        ("a]b", [("W101", 1, 1)]),
        ("[[b", [("W101", 0, 2)]),
        ("b]]", [("W101", 1, 1), ("W101", 2, 1)]),
        ("[a(b]c", [("W101", 4, 1)]),
        ("[a(b]c)", [("W101", 4, 1), ("W101", 6, 1)]),
        ("a[]b", [("W102", 1, 2)]),
        ("a( )b", [("W102", 1, 3)]),
        ("\u0323a", [("W102", 0, 1)]),
        (" \u0323a", [("W102", 0, 1)]),
        ("[a⟦]", [("W101", 3, 1)]),
    ],
)
def test_faults_and_their_places(text: str, faults: list[tuple[str, int, int]]) -> None:
    _, found = parse_wording(text)
    assert [(fault.code, fault.offset, fault.length) for fault in found] == faults
    assert all(fault.hint for fault in found)


@given(st.text(alphabet="ab .-?c4[]()<>‹›⟦⟧⟨〛\\\n\u0323\u1ea1…", max_size=30))
def test_any_text_is_read(text: str) -> None:
    found, faults = parse_wording(text)
    assert all(set(run.states) <= set(STATES) for run in found)
    assert all(fault.offset >= 0 and fault.offset + fault.length <= len(text) for fault in faults)
    # No letter is lost or added, whatever the brackets say.
    letters = [c for c in unicodedata.normalize("NFD", "".join(run.text for run in found)) if c in "ab"]
    assert letters == [c for c in unicodedata.normalize("NFD", text) if c in "ab"]


@given(
    st.recursive(
        st.text(alphabet="abc ", min_size=1, max_size=4).filter(str.strip),
        lambda inner: st.builds(
            lambda pair, text: pair[0] + text + pair[1],
            st.sampled_from([("[", "]"), ("(", ")"), ("‹", "›"), ("⟦", "⟧")]),
            st.lists(inner, min_size=1, max_size=3).map("".join),
        ),
        max_leaves=8,
    )
)
@example("[[[a]]]")
def test_whatever_balances_has_no_faults(text: str) -> None:
    # Two square brackets side by side are the ASCII form of striking out.
    apart = re.sub(r"\](?=\])", "]a", re.sub(r"\[(?=\[)", "[a", text))
    assert parse_wording(apart)[1] == ()


def test_three_square_brackets_are_one_restored_letter_struck_out() -> None:
    found, faults = parse_wording("[[[a]]]")
    assert [(run.text, run.states) for run in found] == [("a", (STRUCK_OUT, RESTORED))]
    assert faults == ()
