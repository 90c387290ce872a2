"""Thickness of the text block: sums by hand, overlaps against a grid of points, uncertainty, refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.trade.book.thickness import ExtraPiece, compute_block_thickness

LAID = {"laid": Measured(0.1, 0.002), "card": Measured(0.3, 0.01), "onion": Measured(0.03)}
# Whole millimetres, so that a point half a millimetre inside every field of the grid sees everything there
# is.
pieces = st.lists(
    st.builds(
        ExtraPiece,
        name=st.text("abcdefgh", min_size=1, max_size=4),
        stock=st.sampled_from(sorted(LAID)),
        layers=st.integers(1, 4),
        from_spine_mm=st.integers(0, 8).map(float),
        from_head_mm=st.integers(-3, 8).map(float),
        width_mm=st.integers(1, 6).map(float),
        height_mm=st.integers(1, 6).map(float),
    ),
    max_size=7,
)


def lies_at(piece: ExtraPiece, x: float, y: float) -> bool:
    """True where a needle pushed through the block at this point goes through the piece."""
    across = piece.from_spine_mm < x < piece.from_spine_mm + piece.width_mm
    return across and piece.from_head_mm < y < piece.from_head_mm + piece.height_mm


@settings(deadline=None)
@given(pieces)
def test_the_thickest_place_is_where_a_needle_goes_through_most(found: list[ExtraPiece]) -> None:
    """A needle pushed through every square millimetre meets no more than was said, and meets it there."""
    block = compute_block_thickness({"laid": 50}, LAID, found)
    needles = {
        (x, y): math.fsum(p.layers * LAID[p.stock].value for p in found if lies_at(p, x + 0.5, y + 0.5))
        for x in range(15)
        for y in range(-4, 15)
    }
    most = max(needles.values())
    assert block.leaves.thickness_mm.value == pytest.approx(5.0)
    assert block.thickest.thickness.thickness_mm.value == pytest.approx(5.0 + most)
    along_spine = max(mm for (x, _), mm in needles.items() if x < 3)
    assert block.spine.thickness.thickness_mm.value == pytest.approx(5.0 + along_spine)
    for pile, limit_mm in ((block.thickest, 15), (block.spine, 3)):
        if pile.from_spine_mm is None:
            assert pile.pieces == ()
            continue
        assert pile.from_head_mm is not None
        assert pile.width_mm is not None
        assert pile.height_mm is not None
        assert pile.from_spine_mm + pile.width_mm <= limit_mm
        middle = pile.from_spine_mm + pile.width_mm / 2, pile.from_head_mm + pile.height_mm / 2
        here = [p for p in found if lies_at(p, *middle)]
        assert pile.pieces == tuple(p.name for p in here)
        added = math.fsum(p.layers * LAID[p.stock].value for p in here)
        assert pile.thickness.thickness_mm.value == pytest.approx(5.0 + added)


def test_a_notebook_by_hand() -> None:
    """56 leaves, a folded chart against the spine and a card lying over its outer part."""
    chart = ExtraPiece("chart", "laid", 4, from_spine_mm=2, from_head_mm=10, width_mm=60, height_mm=100)
    card = ExtraPiece("card", "card", 1, from_spine_mm=30, from_head_mm=-5, width_mm=50, height_mm=40)
    block = compute_block_thickness({"laid": 56}, LAID, [chart, card])
    assert block.leaves.thickness_mm.value == pytest.approx(5.6)
    assert block.spine.thickness.thickness_mm.value == pytest.approx(6.0)
    assert block.spine.pieces == ("chart",)
    assert block.thickest.thickness.thickness_mm.value == pytest.approx(6.3)
    assert block.thickest.pieces == ("chart", "card")
    area = block.thickest
    assert (area.from_spine_mm, area.from_head_mm, area.width_mm, area.height_mm) == (30, 10, 32, 25)
    assert block.thickest.thickness.layers == (("card", 1), ("laid", 60))


def test_uncertainty_adds_within_a_stock_and_not_across_stocks() -> None:
    """56 leaves of a caliper known to 0.002 mm are known to 0.112 mm, not to 0.015; stocks add as squares."""
    leaves = compute_block_thickness({"laid": 56}, LAID).leaves
    assert leaves.thickness_mm.u == pytest.approx(0.112)
    mixed = compute_block_thickness({"laid": 30, "card": 8}, LAID)
    assert mixed.leaves.thickness_mm.value == pytest.approx(5.4)
    assert mixed.leaves.thickness_mm.u == pytest.approx(math.sqrt(0.06**2 + 0.08**2))
    assert mixed.spine.thickness == mixed.leaves
    assert mixed.thickest.thickness == mixed.leaves
    # A piece of the block's own stock shares the caliper of its leaves.
    guard = ExtraPiece("guard", "laid", 2, from_spine_mm=0, from_head_mm=0, width_mm=10, height_mm=100)
    assert compute_block_thickness(
        {"laid": 56}, LAID, [guard]
    ).spine.thickness.thickness_mm.u == pytest.approx(0.116)


def test_an_unknown_uncertainty_is_said() -> None:
    """Where one caliper came without an uncertainty, so does the sum, and the stock is named."""
    slip = ExtraPiece("slip", "onion", 1, from_spine_mm=20, from_head_mm=0, width_mm=10, height_mm=10)
    block = compute_block_thickness({"laid": 10}, LAID, [slip])
    assert block.spine.thickness.thickness_mm.u == pytest.approx(0.02)
    assert block.spine.thickness.without_uncertainty == ()
    assert block.thickest.thickness.thickness_mm.value == pytest.approx(1.03)
    assert block.thickest.thickness.thickness_mm.u is None
    assert block.thickest.thickness.without_uncertainty == ("onion",)


def test_pieces_that_only_touch_do_not_add_up() -> None:
    """Two slips edge to edge lie beside each other; the one nearer to the spine is named."""
    near = ExtraPiece("near", "card", 1, from_spine_mm=10, from_head_mm=0, width_mm=20, height_mm=50)
    far = ExtraPiece("far", "card", 1, from_spine_mm=30, from_head_mm=0, width_mm=20, height_mm=50)
    block = compute_block_thickness({"laid": 10}, LAID, [far, near])
    assert block.thickest.thickness.thickness_mm.value == pytest.approx(1.3)
    assert block.thickest.pieces == ("near",)
    assert block.spine.pieces == ()


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("layers", 0, "layers of slip"),
        ("width_mm", 0.0, "width of slip"),
        ("height_mm", -1.0, "height of slip"),
        ("height_mm", math.inf, "height of slip"),
        ("from_spine_mm", -0.5, "from the spine"),
        ("from_spine_mm", math.nan, "from the spine"),
        ("from_head_mm", math.inf, "from the head"),
        ("stock", "vellum", "vellum has no caliper"),
    ],
)
def test_pieces_that_cannot_be(field: str, value: object, said: str) -> None:
    """What is wrong with which piece is said."""
    fields: dict[str, object] = {
        "name": "slip",
        "stock": "laid",
        "layers": 1,
        "from_spine_mm": 1.0,
        "from_head_mm": 1.0,
        "width_mm": 1.0,
        "height_mm": 1.0,
    }
    fields[field] = value
    with pytest.raises(DomainError, match=said):
        compute_block_thickness({"laid": 10}, LAID, [ExtraPiece(**fields)])  # type: ignore[arg-type]


def test_blocks_that_cannot_be() -> None:
    """No leaves, none of a stock, a stock without caliper, an impossible caliper or strip."""
    with pytest.raises(DomainError, match="no leaves"):
        compute_block_thickness({}, LAID)
    with pytest.raises(DomainError, match="leaves of laid"):
        compute_block_thickness({"laid": 0}, LAID)
    with pytest.raises(DomainError, match="wove has no caliper"):
        compute_block_thickness({"wove": 10}, LAID)
    with pytest.raises(DomainError, match="caliper of laid"):
        compute_block_thickness({"laid": 10}, {"laid": Measured(-0.1)})
    with pytest.raises(DomainError, match="strip along the spine"):
        compute_block_thickness({"laid": 10}, LAID, spine_strip_mm=0)
