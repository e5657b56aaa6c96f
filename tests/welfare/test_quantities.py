"""Conversions of the units that standards are written in, against pint."""

import math
from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.welfare.quantities import UNITS, age_days, area_mm2, length_mm, mass_g

READERS = {
    "area": (area_mm2, "mm**2"),
    "length": (length_mm, "mm"),
    "mass": (mass_g, "g"),
    "age": (age_days, "day"),
}
PINT_NAMES = {"cm2": "cm**2", "m2": "m**2", "in2": "inch**2", "ft2": "ft**2", "in": "inch"}
registry = pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize("unit", UNITS)
@given(number=st.decimals(Decimal("0.01"), 9999, places=2))
def test_conversions_agree_with_pint(unit, number):
    read, base = READERS[UNITS[unit].dimension]

    exact = registry.Quantity(Fraction(number), PINT_NAMES.get(unit, unit)).to(base).magnitude

    assert read(f"{number} {unit}") == math.ceil(exact)


@pytest.mark.parametrize(
    "text",
    ["", "60", "60in2", "-1 in2", "60 in", "1e3 in2", "60 In2", "6½ in2", "60 in2 ", "1 yd2"],
)
def test_what_is_no_area_is_refused(text):
    with pytest.raises(ValueError, match="is not area"):
        area_mm2(text)
