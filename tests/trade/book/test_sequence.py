"""Page sequences: runs and repeats written out page by page, and absurd ones refused at once."""

from __future__ import annotations

from typing import cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.book.limits import MAX_PAGES
from doublure.trade.book.sequence import (
    MAX_NESTING,
    BlankPages,
    MasterPage,
    Run,
    SequenceItem,
    count_sequence_pages,
    expand_sequence,
)

A, B = MasterPage("a"), MasterPage("b")

leaves: st.SearchStrategy[SequenceItem] = st.one_of(
    st.sampled_from("abcd").map(MasterPage), st.integers(1, 3).map(BlankPages)
)
items = st.recursive(
    leaves,
    lambda inner: st.builds(Run, st.lists(inner, min_size=1, max_size=3).map(tuple), st.integers(1, 4)),
    max_leaves=8,
)


def read_aloud(item: SequenceItem) -> list[str | None]:
    """Write one item out in the plainest way: go through a run once for each time."""
    if isinstance(item, MasterPage):
        return [item.master]
    if isinstance(item, BlankPages):
        return [None for _ in range(item.count)]
    return [page for _ in range(item.times) for inner in item.items for page in read_aloud(inner)]


@settings(deadline=None)
@given(st.lists(items, min_size=1, max_size=4))
def test_a_sequence_is_its_items_one_after_the_other(sequence: list[SequenceItem]) -> None:
    """The pages are those of each item in turn, and as many as were counted."""
    wanted = [page for item in sequence for page in read_aloud(item)]
    if len(wanted) > MAX_PAGES:
        with pytest.raises(DomainError):
            expand_sequence(sequence)
    else:
        assert expand_sequence(sequence) == tuple(wanted)
        assert count_sequence_pages(sequence) == len(wanted)


def test_a_notebook_written_out_by_hand() -> None:
    """A title and its blank back, then twice: two ruled pages with their backs, and a plan."""
    sequence: list[SequenceItem] = [
        MasterPage("title"),
        BlankPages(),
        Run((Run((A, B), times=2), MasterPage("plan")), times=2),
    ]
    assert expand_sequence(sequence) == (
        "title",
        None,
        "a",
        "b",
        "a",
        "b",
        "plan",
        "a",
        "b",
        "a",
        "b",
        "plan",
    )


def test_the_largest_book_is_accepted_and_one_page_more_is_not() -> None:
    """The limit itself is allowed."""
    assert len(expand_sequence([Run((A,), times=MAX_PAGES)])) == MAX_PAGES
    with pytest.raises(DomainError, match="more than 5000 pages"):
        expand_sequence([Run((A,), times=MAX_PAGES), B])


def test_repeats_of_repeats_are_refused_without_writing_them_out() -> None:
    """A sequence that would make 10 to the 120th pages is refused; so is a billion blanks."""
    item: SequenceItem = A
    for _ in range(12):
        item = Run((item,), times=10**10)
    with pytest.raises(DomainError, match="repeat within a repeat"):
        expand_sequence([item])
    with pytest.raises(DomainError, match="more than"):
        expand_sequence([BlankPages(10**9)])


def test_runs_shared_within_runs_are_refused() -> None:
    """A run that holds another twice, which holds another twice and so on, is refused early."""
    item: SequenceItem = A
    for _ in range(MAX_NESTING):
        item = Run((item, item))
    with pytest.raises(DomainError, match="more than 5000 pages"):
        expand_sequence([item])


def test_runs_nested_too_deep_are_refused() -> None:
    """As deep as the limit is allowed, one more is not."""
    item: SequenceItem = A
    for _ in range(MAX_NESTING):
        item = Run((item,))
    assert expand_sequence([item]) == ("a",)
    with pytest.raises(DomainError, match="nested deeper"):
        expand_sequence([Run((item,))])


@pytest.mark.parametrize(
    ("sequence", "argument"),
    [
        ([], "items"),
        ([Run(())], "items"),
        ([Run((A,), times=0)], "times"),
        ([Run((A,), times=-1)], "times"),
        ([BlankPages(0)], "count"),
        ([A, Run((B, BlankPages(-2)), times=2)], "count"),
        ([BlankPages(cast(int, 1.5))], "count"),
    ],
)
def test_sequences_that_mean_nothing(sequence: list[SequenceItem], argument: str) -> None:
    """Empty runs and counts below one are refused, and the argument at fault is named."""
    with pytest.raises(DomainError) as caught:
        expand_sequence(sequence)
    assert caught.value.argument == argument
