"""How far and which way: what is read, what is sent back, and that what the program writes reads back."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.quantities import (
    QuantityError,
    format_offset,
    format_sideways,
    format_turn,
    parse_offset,
    parse_sideways,
    parse_signed,
    parse_turn,
)

MM = st.floats(-50, 50, allow_nan=False)


@pytest.mark.parametrize(
    ("text", "right", "down"),
    [
        ("0.31 mm right, 0.12 mm up", 0.31, -0.12),
        ("0.12 mm down, 0.31 mm left", -0.31, 0.12),
        ("0.31 right, 0.12 mm up", 0.31, -0.12),
        ("0.31 mm right; 0.12 up", 0.31, -0.12),
        ("0,31 mm Right, 0,12 mm UP", 0.31, -0.12),
        ("0.01 in up", 0.0, -0.254),
        ("120 µm left", -0.12, 0.0),
        ("0 mm right, 0.2 mm down", 0.0, 0.2),
        (" 0 ", 0.0, 0.0),
    ],
)
def test_offsets(text: str, right: float, down: float) -> None:
    found = parse_offset(text)
    assert found == pytest.approx((right, down), abs=1e-12)
    # A zero has no sign, so that equal readings compare as equal.
    assert all(math.copysign(1, value) > 0 for value in found if value == 0)


@pytest.mark.parametrize(
    ("text", "underlined", "message", "hint"),
    [
        ("0.31 mm", "0.31 mm", "does not say which way", "0.31 mm right, 0.12 mm up"),
        ("0.31 mm right, 0.12 mm", "0.12 mm", "does not say which way", "0.31 mm right, 0.12 mm up"),
        ("0.31 mm rihgt", "0.31 mm rihgt", "does not say which way", "did you mean right?"),
        ("right", "right", "says no length", "0.31 mm right"),
        ("0.31 right", "0.31", "has no unit", "0.31 mm"),
        ("0.31 mm right, 0.2 mm left", "0.2 mm", "names two ways along one line", "0.31 mm right"),
        ("-0.31 mm right", "-0.31 mm", "has a sign and a direction", "leave the sign out"),
        ("0.31 mm up, -0.1 mm right", "-0.1 mm", "has a sign and a direction", "leave the sign out"),
        ("0.31 px right", "px", "px", "pixels have no length"),
        ("1,500 mm right", "1,500", "could mean thousands", "1.500"),
        ("", "", "nothing is written here", "0.31 mm right"),
        (",", ",", "nothing is written here", "0.31 mm right"),
    ],
)
def test_what_is_no_offset(text: str, underlined: str, message: str, hint: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_offset(text)
    error = caught.value
    assert text[error.offset : error.offset + error.length].strip() == underlined
    assert message in error.message
    assert hint in error.hint


@pytest.mark.parametrize(
    ("text", "value"),
    [("0.3 mm right", 0.3), ("0.3 mm left", -0.3), ("-0.3 mm", -0.3), ("0.3 mm", 0.3), ("0", 0.0), ("0 mm left", 0.0)],
)
def test_sideways(text: str, value: float) -> None:
    assert parse_sideways(text) == pytest.approx(value)


@pytest.mark.parametrize("text", ["0.3 mm up", "0.3", "left", "0.3 mm right, 0.2 mm down"])
def test_what_is_not_to_the_side(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_sideways(text)


def test_lengths_with_a_sign() -> None:
    assert parse_signed("-0.4 mm") == pytest.approx(-0.4)
    assert parse_signed("−0.4 mm") == pytest.approx(-0.4)
    assert parse_signed("0") == 0
    with pytest.raises(QuantityError):
        parse_signed("0.4")


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("0.12°", 0.12), ("0.12° clockwise", 0.12), ("0.12 deg anticlockwise", -0.12), ("-0.12°", -0.12),
        ("0.12° counterclockwise", -0.12), ("2 mrad clockwise", math.degrees(0.002)), ("0", 0.0),
    ],
)  # fmt: skip
def test_turns(text: str, degrees: float) -> None:
    assert parse_turn(text) == pytest.approx(math.radians(degrees))


@pytest.mark.parametrize("text", ["0.12", "-0.12° clockwise", "0.12° sideways", "clockwise"])
def test_what_is_no_turn(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_turn(text)


@given(MM, MM)
def test_offsets_read_back(right: float, down: float) -> None:
    written = format_offset(right, down)
    assert parse_offset(written) == pytest.approx((right, down), abs=0.00051)
    assert format_offset(*parse_offset(written)) == written


@given(MM)
def test_sideways_and_turns_read_back(value: float) -> None:
    assert parse_sideways(format_sideways(value)) == pytest.approx(value, abs=0.00051)
    turn = math.radians(value)
    assert math.degrees(parse_turn(format_turn(turn))) == pytest.approx(value, abs=0.000051)
