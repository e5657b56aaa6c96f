"""Lengths, areas and masses as people read them; as they type them: ``typed_measures.py``.

Inside, every length is a whole number of millimetres and every area of square millimetres.
Metric or inches is the reader's choice, made here, at the very edge, and nowhere else.
One inch is 25.4 mm exactly (international yard and pound agreement, 1959), so all of it is done
in whole numbers and fractions: no float rounds a dimension.

    >>> length(1420), length(354, "inches")
    ('1\\xa0420\\xa0mm', '13\\xa015/16\\xa0in')
    >>> area(1_100_000), area(49_950), area_needed(49_950)
    ('1.10\\xa0m²', '499\\xa0cm²', '500\\xa0cm²')
    >>> size((700, 1400)), size((700, 1400), lengths_in("inches"))
    ('700\\xa0mm × 1\\xa0400\\xa0mm', '27\\xa09/16\\xa0in × 55\\xa01/8\\xa0in')
    >>> amount(4, "m"), amount(4, "m", "inches"), amount(4)
    ('4\\xa0m', '4\\xa0m (13\\xa0ft)', '4')
"""

import math
import re
from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from habitats.decimals import (
    MINUS,
    NO_BREAK,
    fixed,
    grouped,
    nearest,
    tenths,
    trimmed,
    trimmed_tenths,
)
from habitats.wording import joined

METRIC = "metric"
INCHES = "inches"
METRES = "m"  # the unit of what is counted off a roll

MM_PER_INCH = Fraction(254, 10)
MM2_PER_CM2 = 100
MM2_PER_FOOT2 = (12 * MM_PER_INCH) ** 2
_MILLIMETRES = re.compile(r"(?<![\d.,])(\d{1,9}) mm\b")
_SHEET_SIZE = re.compile(r"\b(\d{1,9}) × (\d{1,9}) × (\d{1,3}(?:\.\d)?) mm$")
_THOUSANDS = re.compile(r"(?<![\d.,])(\d{4,9}) mm\b")
SQUARE_METRES_FROM_MM2 = 100_000  # what is smaller is told in cm² or in²
KEPT = 4096  # areas: a page of hundreds of animals tells the same few again and again
METRES_FROM_MM = 2000
SMALLEST_INCH = 16  # a tape measure's finest line: sixteenths


def length(mm: int, units: str = METRIC) -> str:
    """A length for reading: whole millimetres, or inches to the nearest sixteenth."""
    if mm < 0:
        return MINUS + length(-mm, units)
    if units != INCHES:
        return f"{grouped(mm)}{NO_BREAK}mm"
    return f"{_inches(mm)}{NO_BREAK}in"


def short_length(mm: Fraction, units: str = METRIC) -> str:
    """A length that has tenths of a millimetre, as labels have; in inches like any other."""
    if units == INCHES:
        return with_unit(_inches(mm), "in")
    return with_unit(trimmed_tenths(mm), "mm")


Lengths = Callable[[int], str]


def lengths_in(units: str) -> Lengths:
    """How lengths are written for this reader."""
    return lambda mm: length(mm, units)


def size(sides_mm: Iterable[int], lengths: Lengths = length) -> str:
    """Two or three sides, each with its unit (ISO 80000-1, 7.1.4)."""
    return joined(" × ", [lengths(mm) for mm in sides_mm])


def thickness(mm: Decimal) -> str:
    """Of a sheet, in tenths of a millimetre where it has them; it is sold so everywhere."""
    return with_unit(trimmed_tenths(mm), "mm")


def degrees(angle: float) -> str:
    """A slope, to the nearest tenth of a degree."""
    return joined("", [tenths(angle), "°"])


def distance(mm: int, units: str = METRIC) -> str:
    """A length in a list, where nobody sets a blade by it: metres from 2 m up, exactly; else as
    `length`. Readers of inches get feet and inches.
    """
    return length(mm, units) if mm < METRES_FROM_MM else _far(mm, units)


def footprint(sides_mm: Sequence[int], units: str = METRIC) -> str:
    """The sides of what stands on a floor, to read beside others: in metres, or feet and inches,
    all of them if one is 2 m or longer; else as `length`.
    """
    is_far = max(sides_mm) >= METRES_FROM_MM
    return size(sides_mm, lambda mm: (_far if is_far else length)(mm, units))


def _far(mm: int, units: str) -> str:
    if units != INCHES:
        return with_unit(trimmed(mm, 3, least=2), "m")
    feet, sixteenths = divmod(nearest(SMALLEST_INCH * mm / MM_PER_INCH), 12 * SMALLEST_INCH)
    told = [with_unit(grouped(feet), "ft")] if feet else []
    if sixteenths or not feet:
        told.append(with_unit(_sixteenths(sixteenths), "in"))
    return NO_BREAK.join(told)


def amount(count: int, unit: str = "", units: str = METRIC) -> str:
    """So many, as they are counted: ``12``, ``3 rolls``, ``4 m``.

    What comes off a roll is counted in metres by all, since the store keeps whole ones; readers of
    inches are told the nearest whole feet beside them.
    """
    if not unit:
        return str(count)
    told = with_unit(str(count), unit)
    if unit != METRES or units != INCHES or not count:
        return told
    feet = nearest(abs(count) * 1000 / (12 * MM_PER_INCH))
    return joined(" ", [told, f"({grouped(feet)}{NO_BREAK}ft)"])


class _Step(NamedTuple):
    """What areas are told in: so many mm² are one of the last decimal."""

    mm2: Fraction
    decimals: int
    unit: str


_LARGE = {
    METRIC: _Step(Fraction(10_000), 2, "m²"),
    INCHES: _Step(MM2_PER_FOOT2 / 10, 1, "ft²"),
}
_SMALL = {
    METRIC: _Step(Fraction(MM2_PER_CM2), 0, "cm²"),
    INCHES: _Step(MM_PER_INCH**2, 0, "in²"),
}
# Two areas may differ by less: whole mm² are told exactly, square inches to a hundredth.
_FINE = {
    METRIC: _Step(Fraction(1), 2, "cm²"),
    INCHES: _Step(MM_PER_INCH**2 / 100, 2, "in²"),
}
_IN_A_FIELD = {
    METRIC: _Step(Fraction(1), 6, "m²"),
    INCHES: _Step(MM2_PER_FOOT2 / 10_000, 4, "ft²"),
}
_Steps = tuple[int, _Step]


@lru_cache(maxsize=KEPT)
def area(mm2: int, units: str = METRIC) -> str:
    """Floor that is there, for reading: rounded down.

    What is there is rounded down, and what is needed or lacking up (`area_needed`): so rounding
    never makes too small a floor look large enough, and no lack is ever told as nothing.
    """
    return _minus(area_needed(-mm2, units)) if mm2 < 0 else _words(_available(mm2, units))


@lru_cache(maxsize=KEPT)
def area_needed(mm2: int, units: str = METRIC) -> str:
    """Floor that is asked for, or that is lacking, for reading: rounded up."""
    return _minus(area(-mm2, units)) if mm2 < 0 else _words(_needed(mm2, units))


def areas_compared(needed_mm2: int, given_mm2: int, units: str = METRIC) -> tuple[str, str]:
    """What is needed and what is given, to stand beside each other: larger, smaller or equal
    as they are.

    Too little always looks too little, by how areas are rounded. Where enough would look too
    little as well, both are told in finer steps.
    """
    order = _sign(needed_mm2 - given_mm2)
    needed, given = _needed(needed_mm2, units), _available(given_mm2, units)
    for finer in (_SMALL, _FINE):
        if _sign(_mm2(needed) - _mm2(given)) == order:
            return _words(needed), _words(given)
        needed, given = _up(needed_mm2, finer[units]), _down(given_mm2, finer[units])
    if _sign(_mm2(needed) - _mm2(given)) != order:  # closer than a hundredth of a square inch
        needed = _down(needed_mm2, _FINE[units])
    return _words(needed), _words(given)


def area_in_a_field(mm2: int, units: str = METRIC) -> str:
    """An area that can be typed over: exactly, or to a ten-thousandth of a square foot."""
    large, usual = _IN_A_FIELD[units], _LARGE[units]
    if mm2 < SQUARE_METRES_FROM_MM2:
        large, usual = _FINE[units], _SMALL[units]
    steps = nearest(mm2 / large.mm2)
    return with_unit(trimmed(steps, large.decimals, least=usual.decimals), large.unit)


def _available(mm2: int, units: str) -> _Steps:
    return _down(mm2, (_LARGE if mm2 >= SQUARE_METRES_FROM_MM2 else _SMALL)[units])


def _needed(mm2: int, units: str) -> _Steps:
    small = _up(mm2, _SMALL[units])
    # What small steps round up to 0.1 m² is told as that, and not as 1 000 cm².
    is_large = mm2 >= SQUARE_METRES_FROM_MM2 or _mm2(small) >= SQUARE_METRES_FROM_MM2
    return _up(mm2, _LARGE[units]) if is_large else small


def _down(mm2: int, step: _Step) -> _Steps:
    return math.floor(mm2 / step.mm2), step


def _up(mm2: int, step: _Step) -> _Steps:
    """The least steps that are more than the whole mm² below: 7.5 ft² asked for are 696 773 mm²
    inside, rounded up, and 7.5 ft² again here.
    """
    return math.floor((mm2 - 1) / step.mm2) + 1, step


def _mm2(amount: _Steps) -> Fraction:
    return amount[0] * amount[1].mm2


def _words(amount: _Steps) -> str:
    steps, step = amount
    return with_unit(fixed(steps, step.decimals), step.unit)


def with_unit(figures: str, unit: str) -> str:
    """Figures and their unit, never parted at the end of a line."""
    return joined(NO_BREAK, [figures, unit])


def _minus(amount: str) -> str:
    return joined("", [MINUS, amount])


def _sign(difference: Fraction | int) -> int:
    return (difference > 0) - (difference < 0)


def convert_lengths(sentence: str, units: str = METRIC) -> str:
    """A sentence that names plain millimetres, for the reader: thousands apart, or in inches."""
    pattern = _MILLIMETRES if units == INCHES else _THOUSANDS
    return pattern.sub(lambda match: length(int(match[1]), units), str(sentence))


def sheet_name(stored: str) -> str:
    """The name of a sheet that ends in its size in plain figures, written as sizes are everywhere.

    >>> sheet_name("Full sheet, 1220 × 2440 × 4 mm")
    'Full sheet, 1\xa0220\xa0mm × 2\xa0440\xa0mm × 4\xa0mm'
    """
    return _SHEET_SIZE.sub(_sheet_size, stored)


def _sheet_size(told: re.Match[str]) -> str:
    return f"{size((int(told[1]), int(told[2])))} × {thickness(Decimal(told[3]))}"


def grams(mass_g: int) -> str:
    """A mass for reading, thousands apart; readers of inches are told grams too."""
    return f"{grouped(mass_g)}{NO_BREAK}g"


def kilograms(mass_g: int, units: str = METRIC) -> str:
    """A mass for reading, in kilograms with as many decimals as its grams need.

    Machines are rated in kilograms everywhere, so both readers are told the same.
    """
    return with_unit(trimmed(mass_g, 3), "kg")


def _inches(mm: int | Fraction) -> str:
    # No length is half-way between two sixteenths: 160 mm / 254 never ends in one half.
    return _sixteenths(nearest(SMALLEST_INCH * mm / MM_PER_INCH))


def _sixteenths(count: int) -> str:
    """So many sixteenths of an inch, in inches."""
    whole, over = divmod(count, SMALLEST_INCH)
    rest = Fraction(over, SMALLEST_INCH)
    if not rest:
        return grouped(whole)
    return f"{grouped(whole)}{NO_BREAK}{rest}" if whole else str(rest)
