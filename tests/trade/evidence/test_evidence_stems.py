"""Stems: chains, names, circles, disagreements, the unknown; the tree for drawing."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.evidence.stems import (
    PlacedSource,
    SourceSpec,
    StemDisagreement,
    resolve_stems,
)


def test_a_chain_leads_to_its_root() -> None:
    tree = resolve_stems(
        [
            SourceSpec("scan", "print"),
            SourceSpec("print", "negative"),
            SourceSpec("negative"),
            SourceSpec("other"),
        ]
    )
    assert tree.by_source() == {
        "scan": "negative",
        "print": "negative",
        "negative": "negative",
        "other": "other",
    }
    assert tree.stems[0].sources == (
        PlacedSource("negative", None, 0),
        PlacedSource("print", "negative", 1),
        PlacedSource("scan", "print", 2),
    )
    assert tree.is_sound


def test_the_roots_stem_name_goes_before_its_identifier() -> None:
    tree = resolve_stems(
        [
            SourceSpec("frame-1", stem="film"),
            SourceSpec("frame-2", stem="film"),
            SourceSpec("card", "frame-2"),
        ]
    )
    assert [stem.name for stem in tree.stems] == ["film"]
    assert tree.by_source()["card"] == "film"
    assert [(placed.identifier, placed.depth) for placed in tree.stems[0].sources] == [
        ("frame-1", 0),
        ("frame-2", 0),
        ("card", 1),
    ]


def test_a_stem_named_after_a_source_is_that_source() -> None:
    """Otherwise the frame and what its film was copied from would pass for two witnesses."""
    tree = resolve_stems(
        [SourceSpec("frame", stem="film"), SourceSpec("film", "stage-plan"), SourceSpec("stage-plan")]
    )
    assert set(tree.by_source().values()) == {"stage-plan"}
    assert tree.is_sound


def test_a_source_may_name_itself_as_stem() -> None:
    tree = resolve_stems([SourceSpec("film", stem="film")])
    assert tree.by_source() == {"film": "film"}
    assert tree.is_sound


def test_a_circle_is_reported_and_is_one_stem() -> None:
    tree = resolve_stems(
        [
            SourceSpec("c", "b"),
            SourceSpec("b", "a"),
            SourceSpec("a", "c"),
            SourceSpec("tail", "b"),
            SourceSpec("free"),
        ]
    )
    assert tree.circles == (("a", "c", "b"),)
    assert tree.by_source() == {"a": "a", "b": "a", "c": "a", "tail": "a", "free": "free"}
    assert tree.stems[0].sources[0] == PlacedSource("a", None, 0)
    assert not tree.is_sound


def test_a_copy_of_itself_is_a_circle_of_one() -> None:
    tree = resolve_stems([SourceSpec("a", "a")])
    assert tree.circles == (("a",),)
    assert tree.by_source() == {"a": "a"}


def test_two_sources_naming_each_other_as_stem_are_a_circle() -> None:
    tree = resolve_stems([SourceSpec("a", stem="b"), SourceSpec("b", stem="a")])
    assert tree.circles == (("a", "b"),)
    assert tree.by_source() == {"a": "a", "b": "a"}


def test_two_circles_are_both_reported() -> None:
    tree = resolve_stems(
        [SourceSpec("d", "c"), SourceSpec("c", "d"), SourceSpec("b", "a"), SourceSpec("a", "b")]
    )
    assert tree.circles == (("a", "b"), ("c", "d"))


def test_disagreeing_stems_are_reported_and_the_copy_decides() -> None:
    tree = resolve_stems([SourceSpec("copy", "root", stem="postcard"), SourceSpec("root", stem="poster")])
    assert tree.disagreements == (StemDisagreement("copy", "postcard", "poster"),)
    assert tree.by_source() == {"copy": "poster", "root": "poster"}
    assert not tree.is_sound


@pytest.mark.parametrize("name", ["poster", "root", "middle", "copy"])
def test_naming_the_stem_or_anything_on_the_way_to_it_is_no_disagreement(name: str) -> None:
    tree = resolve_stems(
        [
            SourceSpec("copy", "middle", stem=name),
            SourceSpec("middle", "root"),
            SourceSpec("root", stem="poster"),
        ]
    )
    assert tree.disagreements == ()


def test_an_unknown_origin_is_reported_and_joins_its_copies() -> None:
    tree = resolve_stems([SourceSpec("one", "lost"), SourceSpec("two", "lost"), SourceSpec("three", "two")])
    assert tree.unknown == (("one", "lost"), ("two", "lost"))
    assert set(tree.by_source().values()) == {"lost"}
    assert not tree.is_sound


def test_a_name_given_twice_is_refused() -> None:
    with pytest.raises(DomainError, match="'a'"):
        resolve_stems([SourceSpec("a"), SourceSpec("a", "b")])


def test_nothing_gives_nothing() -> None:
    assert resolve_stems([]).stems == ()


_NAMES = st.sampled_from("abcdef")
_SOURCES = st.lists(
    st.builds(
        SourceSpec,
        _NAMES,
        st.none() | st.sampled_from("abcdefz"),
        st.none() | st.sampled_from(["a", "d", "film", "plan"]),
    ),
    unique_by=lambda source: source.identifier,
)


@settings(deadline=None)
@given(_SOURCES, st.randoms(use_true_random=False))
def test_every_source_is_placed_once_below_its_parent_in_any_order(
    sources: list[SourceSpec], random: Random
) -> None:
    tree = resolve_stems(sources)
    shuffled = list(sources)
    random.shuffle(shuffled)
    assert resolve_stems(shuffled) == tree
    placed = [entry for stem in tree.stems for entry in stem.sources]
    assert sorted(entry.identifier for entry in placed) == sorted(source.identifier for source in sources)
    for stem in tree.stems:
        depth = {entry.identifier: entry.depth for entry in stem.sources}
        before: set[str] = set()
        for entry in stem.sources:
            if entry.parent is None:
                assert entry.depth == 0
            else:
                assert entry.parent in before
                assert entry.depth == depth[entry.parent] + 1
            before.add(entry.identifier)


@settings(deadline=None)
@given(_SOURCES)
def test_a_copy_is_never_a_witness_of_its_own(sources: list[SourceSpec]) -> None:
    stems = resolve_stems(sources).by_source()
    for source in sources:
        if source.copied_from in stems:
            assert stems[source.identifier] == stems[source.copied_from]


@settings(deadline=None)
@given(_SOURCES)
def test_circles_are_closed_by_their_links(sources: list[SourceSpec]) -> None:
    links = {
        source.identifier: source.copied_from or (source.stem if source.stem != source.identifier else None)
        for source in sources
    }
    for circle in resolve_stems(sources).circles:
        assert circle[0] == min(circle)
        for one, following in zip(circle, circle[1:] + circle[:1], strict=True):
            assert links[one] == following
