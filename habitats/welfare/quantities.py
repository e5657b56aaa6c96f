"""Quantities as rule sets print them: "60 in2", "0.5 m2", "7 in", "3 kg", "10 weeks".

A standard is kept in the units it was written in and converted here, exactly, in fractions.
Only the result is whole, and rounded up: what is asked for never shrinks by rounding.
One inch is 25.4 mm exactly (international yard and pound agreement, 1959).
"""

import math
import re
from fractions import Fraction
from typing import NamedTuple

from habitats.measures import MM2_PER_CM2, MM2_PER_FOOT2, MM_PER_INCH


class _Unit(NamedTuple):
    dimension: str
    size: Fraction


UNITS = {
    "mm": _Unit("length", Fraction(1)),
    "cm": _Unit("length", Fraction(10)),
    "m": _Unit("length", Fraction(1000)),
    "in": _Unit("length", MM_PER_INCH),
    "cm2": _Unit("area", Fraction(MM2_PER_CM2)),
    "m2": _Unit("area", Fraction(1_000_000)),
    "in2": _Unit("area", MM_PER_INCH**2),
    "ft2": _Unit("area", MM2_PER_FOOT2),
    "g": _Unit("mass", Fraction(1)),
    "kg": _Unit("mass", Fraction(1000)),
    "days": _Unit("age", Fraction(1)),
    "weeks": _Unit("age", Fraction(7)),
}

QUANTITY = re.compile(r"(?P<number>[0-9]+(?:[.][0-9]+)?) (?P<unit>[a-z]+2?)")


def area_mm2(text: str) -> int:
    """
    >>> area_mm2("60 in2")  # 38 709.6
    38710
    """
    return _whole(text, "area")


def length_mm(text: str) -> int:
    return _whole(text, "length")


def mass_g(text: str) -> int:
    return _whole(text, "mass")


def age_days(text: str) -> int:
    return _whole(text, "age")


def _whole(text: str, dimension: str) -> int:
    """The quantity in mm, mm², g or days, up to the next whole one. Raises ValueError."""
    found = QUANTITY.fullmatch(text)
    unit = UNITS.get(found["unit"]) if found else None
    if found is None or unit is None or unit.dimension != dimension:
        raise ValueError(f"{text!r} is not {dimension}, such as those in {', '.join(UNITS)}.")
    return math.ceil(Fraction(found["number"]) * unit.size)
