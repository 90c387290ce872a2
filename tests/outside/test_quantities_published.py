"""Quantities against published notations and constants.

Sources:
    NIST, "Examples of uncertainty statements" (The NIST Reference on Constants, Units, and Uncertainty): the
    mass standard of 100.021 47 g with a combined standard uncertainty of 0.35 mg; seen, read 2026-11-25. The
    same example in brackets, 100.021 47(35) g, is JCGM 100:2008, 7.2.2, from memory.
    CODATA 2018 and 2022 in the bracket notation, from memory; checked against the
    values in scipy.constants (BSD).
    Exact definitions of inch, foot, yard, mil, pound, degree: scipy.constants.
    Rectangular distribution, JCGM 100:2008, 4.3.7 (from memory): scipy.stats.uniform.
"""

from __future__ import annotations

import pytest
from scipy import constants, stats

from doublure.quantities import (
    format_length_mm,
    parse_angle,
    parse_grammage,
    parse_length,
    parse_resolution,
)


@pytest.mark.parametrize(
    "text",
    ["100.021 47(35) mm", "100.021 47(0.000 35) mm", "(100.021 47 ± 0.000 35) mm", "100.02147 mm ± 0.35 µm"],
)
def test_mass_standard_notations(text: str) -> None:
    """The four ways of stating one result agree (mm stands in for g, µm for mg)."""
    got = parse_length(text)
    assert got.value == 100.02147
    assert got.u == pytest.approx(0.35e-3, rel=1e-12)


@pytest.mark.parametrize(
    ("texts", "name", "power"),
    [
        (("6.674 30(15) m",), "Newtonian constant of gravitation", 1e-11),
        (("9.109 383 7015(28) m", "9.109 383 7139(28) m"), "electron mass", 1e-31),
        (("5.291 772 109 03(80) m", "5.291 772 105 44(82) m"), "Bohr radius", 1e-11),
    ],
)
def test_codata_brackets(texts: tuple[str, ...], name: str, power: float) -> None:
    """Constants printed with brackets, the power of ten set aside: one of the two adjustments is scipy's."""
    value, _, u = constants.physical_constants[name]
    read = [(got.value / 1000 * power, (got.u or 0) / 1000 * power) for got in map(parse_length, texts)]
    assert any(pair == (pytest.approx(value, rel=1e-14), pytest.approx(u, rel=1e-9)) for pair in read), read


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("1 in", constants.inch),
        ("1 ft", constants.foot),
        ("1 yd", constants.yard),
        ("1 mil", constants.mil),
        ("1 thou", constants.mil),
        ("1 µm", constants.micron),
        ("1 cm", constants.centi),
    ],
)
def test_length_units(text: str, metres: float) -> None:
    """The units of length are those of scipy.constants."""
    assert parse_length(text).value == pytest.approx(metres * 1000, rel=1e-15)


def test_point_of_type_in_the_hint() -> None:
    """1 point is 1/72 in (scipy.constants.point): the millimetres that the refusal offers for type."""
    with pytest.raises(Exception, match=f"{12 * constants.point * 1000:.2f} mm"):
        parse_length("12 pt")


def test_pound_and_degree() -> None:
    """Pound, inch and degree of scipy.constants give the same grammage, angle and resolution."""
    area_m2 = 17 * 22 * constants.inch**2
    assert parse_grammage("20 lb bond").value == pytest.approx(
        20 * constants.lb * 1000 / 500 / area_m2, rel=1e-14
    )
    assert parse_angle("1°").value == pytest.approx(constants.degree, rel=1e-15)
    assert parse_resolution("1 px/mm").value == pytest.approx(constants.inch * 1000, rel=1e-15)


@pytest.mark.parametrize(("low", "high"), [(3, 5), (62, 65), (0.1, 0.13)])
def test_range_is_rectangular(low: float, high: float) -> None:
    """Mean and standard deviation of a range are those of scipy's uniform distribution."""
    reference = stats.uniform(loc=low, scale=high - low)
    got = parse_length(f"{low}–{high} mm")
    assert got.value == pytest.approx(reference.mean(), rel=1e-14)
    assert got.u == pytest.approx(reference.std(), rel=1e-14)


def test_rounding_of_a_published_result() -> None:
    """JCGM 100:2008, 7.2.6 (from memory): 10.057 62 ohm with u = 27 milliohm is rounded to 10.058."""
    assert format_length_mm(10.05762, 0.027).replace("\u202f", " ") == "10.058 ± 0.027 mm"
