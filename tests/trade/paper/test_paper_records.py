"""The tables of paper facts: each decodes, is whole, and agrees with the exact table of grades."""

from __future__ import annotations

import pytest

from doublure.quantities import POUND_GRADES
from doublure.store.data_files import read_rows
from doublure.trade.paper.records import (
    Source,
    decode_calipers,
    decode_equivalence,
    decode_formats,
    decode_grades,
    decode_kinds,
    decode_sizes,
)

QUALITIES = {
    "standard", "government", "handbook", "encyclopaedia", "library", "trade", "web-weak", "memory",
}  # fmt: skip


def check_source(source: Source) -> None:
    """A source has a text and a known quality, and what was not seen says so."""
    assert source.text
    assert source.quality in QUALITIES
    assert source.seen == ("from memory" not in source.text)


def test_grades_agree_with_the_exact_table() -> None:
    """The table with the sources and the table of units hold the same grades, sizes and reams."""
    records = decode_grades(read_rows("paper_grades"))
    exact = [(grade.name, grade.short_in, grade.long_in, grade.sheets) for grade in POUND_GRADES]
    assert [(record.grade, record.short_in, record.long_in, record.sheets) for record in records] == exact
    for record in records:
        check_source(record.source)


def test_sizes() -> None:
    """Every size is upright, has its family, and is exact where it is defined in inches."""
    sizes = decode_sizes(read_rows("paper_sizes"), read_rows("paper_families"))
    assert len({size.id for size in sizes}) == len(sizes) > 250
    for size in sizes:
        assert 0 < size.short_mm <= size.long_mm
        check_source(size.source)
    by_id = {size.id: size for size in sizes}
    assert by_id["us-envelope:no-6-3-4"].short_mm == 92.075
    assert by_id["iso216-a:a4"].tolerance_mm == (2.0, 2.0)
    assert by_id["us-cut:tabloid-ledger"].other_names == ("Ledger",)
    assert by_id["uk-writing-1911:foolscap"].family.listed_year == 1911


def test_a_size_without_family() -> None:
    """A size of an unlisted family is a fault of the table and does not pass."""
    with pytest.raises(KeyError):
        decode_sizes(read_rows("paper_sizes"), ())


def test_formats() -> None:
    """Every period format is upright, its years run forward, and its source is named."""
    formats = decode_formats(read_rows("period_formats"))
    assert len({known.id for known in formats}) == len(formats) == 90
    for known in formats:
        assert 0 < known.short_mm <= known.long_mm
        assert known.from_year is None or known.to_year is None or known.from_year <= known.to_year
        check_source(known.source)
    by_id = {known.id: known for known in formats}
    assert by_id["f047"].years_approximate
    assert by_id["f047"].thickness_mm == 0.79
    assert by_id["f021"].tolerance_mm == 2.0


def test_calipers_kinds_and_equivalence() -> None:
    """The other tables decode, with the blanks as None."""
    calipers = decode_calipers(read_rows("paper_calipers"))
    for fact in calipers:
        assert fact.thickness_mm > 0
        check_source(fact.source)
    assert next(fact for fact in calipers if fact.id == "c028").grammage_gsm is None
    kinds = decode_kinds(read_rows("paper_kinds"))
    for kind in kinds:
        assert kind.usual_gsm[0] <= kind.usual_gsm[1]
        assert kind.definition
        assert kind.grammage_seen in {"yes", "partly", "derived", "no"}
        check_source(kind.source)
    rows = decode_equivalence(read_rows("paper_equivalence"))
    assert [row.grammage_gsm for row in rows] == sorted(row.grammage_gsm for row in rows)
    assert dict(rows[0].pounds)["bond"] == 16
