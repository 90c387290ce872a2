"""Kinds of paper: found by name, and what is usual for them."""

from __future__ import annotations

import math

import pytest

from doublure.errors import DomainError
from doublure.store.data_files import read_rows
from doublure.trade.paper.kinds import Usual, compare_grammage, find_kind
from doublure.trade.paper.records import decode_kinds

KINDS = decode_kinds(read_rows("paper_kinds"))


def test_found_by_any_name() -> None:
    """A kind answers to its name and its further names, and to no other."""
    assert find_kind("Onionskin", KINDS) is find_kind(" onionskin ", KINDS) is not None
    text = find_kind("text", KINDS)
    assert text is not None
    assert text.kind == "book"
    assert find_kind("parchment skin", KINDS) is None
    names = [name for kind in KINDS for name in (kind.kind, *kind.other_names)]
    assert len(set(names)) == len(names)
    assert all(name == name.lower() for name in names)


def test_usual_grammages() -> None:
    """Onionskin is usually 25 to 39 g/m², give or take five per cent."""
    kind = find_kind("onionskin", KINDS)
    assert kind is not None
    assert compare_grammage(23.8, kind) is Usual.WITHIN
    assert compare_grammage(23.7, kind) is Usual.LIGHTER
    assert compare_grammage(40.9, kind) is Usual.WITHIN
    assert compare_grammage(41, kind) is Usual.HEAVIER
    assert compare_grammage(39.5, kind, slack=0) is Usual.HEAVIER
    for bad in (0.0, math.nan):
        with pytest.raises(DomainError):
            compare_grammage(bad, kind)
    with pytest.raises(DomainError):
        compare_grammage(30, kind, slack=-0.1)
