"""Lengths, areas and masses as people type them, in any unit and with any keyboard.

>>> parse_length("13 15/16 in"), parse_area("0.75 m²"), parse_kilograms("7.5")
(354, 750000, 7500)
"""

import re
import unicodedata
from fractions import Fraction

from habitats.decimals import (
    nearest,
)
from habitats.measures import INCHES, METRIC, MM2_PER_CM2, MM2_PER_FOOT2, MM_PER_INCH
from habitats.wording import joined, message

MM_IN_UNIT = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "ft": 12 * MM_PER_INCH,
    "foot": 12 * MM_PER_INCH,
    "feet": 12 * MM_PER_INCH,
    "'": 12 * MM_PER_INCH,
}
MM2_IN_UNIT = {
    "mm2": Fraction(1),
    "cm2": Fraction(MM2_PER_CM2),
    "m2": Fraction(1_000_000),
    "in2": MM_PER_INCH**2,
    "ft2": MM2_PER_FOOT2,
}
GRAMS_IN_UNIT = {
    "g": Fraction(1),
    "kg": Fraction(1000),
    "oz": Fraction("28.349523125"),
    "lb": Fraction("453.59237"),  # exact, by the same agreement
}
LONGEST_TEXT = 40
HOW_TO_WRITE_LENGTHS = {
    METRIC: message(
        "Write a number, and mm, cm, m, in or ft after it, such as 355, 35.5 cm or 14 in."
    ),
    INCHES: message(
        "Write a number, and mm, cm, m, in or ft after it, such as 14, 13 15/16 in or 35.5 cm."
    ),
}
HOW_TO_WRITE_AREAS = {
    METRIC: message(
        "Write a number, and cm², m², in² or ft² after it, such as 0.75, 0.75 m² or 7500 cm²."
    ),
    INCHES: message("Write a number, and cm², m², in² or ft² after it, such as 10.5 or 10.5 ft²."),
}

NUMBER = r"[0-9]+(?: [0-9]{3})*(?:[.][0-9]+)?|[.][0-9]+"
A_NUMBER = re.compile(rf"[-+]?(?:{NUMBER})[.]?")
FRACTION = r"[0-9]+ */ *[0-9]+"
AMOUNT = rf"(?:(?P<number>{NUMBER})(?:[ -]+(?P<rest>{FRACTION}))?|(?P<fraction>{FRACTION}))"
LENGTH = re.compile(rf"{AMOUNT} *(?P<unit>[a-z]+|[\"'])?")
AREA = re.compile(rf"{AMOUNT} *(?P<square>sq\.? *)?(?P<unit>[a-z]+)?(?P<power>2)?")
FEET_AND_INCHES = re.compile(
    r"(?P<feet>[0-9]+) *(?:ft|foot|feet|') *(?P<inches>[0-9][^a-z\"']*)(?:in|inch|inches|\")?"
)


class NotALength(ValueError):
    """What was typed is no length; `str()` of it is the sentence for the person who typed it."""


class NotAnArea(ValueError):
    """What was typed is no area; `str()` of it is the sentence for the person who typed it."""


class NotAMass(ValueError):
    """What was typed is no mass; `str()` of it is the sentence for the person who typed it."""


def parse_length(text: str, units: str = METRIC) -> int:
    """Millimetres, to the nearest whole one, from what a person typed.

    A number without a unit is millimetres, or inches for a reader of `units` inches.
    Raises NotALength, with one sentence, for all else.
    """
    plain = _plain(text)
    try:
        return nearest(_millimetres(plain, units))
    except (NotALength, ZeroDivisionError):
        sentence = message("“%(text)s” is not a length.", text=_short(text))
        raise NotALength(joined(" ", [sentence, HOW_TO_WRITE_LENGTHS[units]])) from None


def parse_area(text: str, units: str = METRIC) -> int:
    """Square millimetres, to the nearest whole one, from what a person typed.

    A number without a unit is square metres, or square feet for a reader of `units` inches, as
    fields show them.
    Raises NotAnArea, with one sentence, for all else.
    """
    try:
        return nearest(_square_millimetres(_plain(text), units))
    except (NotAnArea, ZeroDivisionError):
        sentence = message("“%(text)s” is not an area.", text=_short(text))
        raise NotAnArea(joined(" ", [sentence, HOW_TO_WRITE_AREAS[units]])) from None


def parse_kilograms(text: str, units: str = METRIC) -> int:
    """Whole grams from what a person typed; a number without a unit is kilograms.

    Raises NotAMass, with one sentence, for all else.
    """
    found = LENGTH.fullmatch(_plain(text))
    try:
        if found is None:
            raise NotAMass
        return nearest(_amount(found) * GRAMS_IN_UNIT[found["unit"] or "kg"])
    except (NotAMass, KeyError, ZeroDivisionError):
        raise NotAMass(
            message(
                "“%(text)s” is not a mass. Write a number, and kg, g or lb after it, such as 8 or "
                "7.5 kg.",
                text=_short(text),
            )
        ) from None


def plain_number(text: str) -> str:
    """A number as programs read it, whatever the keyboard made of it; what is none stays as it is.

    >>> plain_number("2,5"), plain_number("1 234,50"), plain_number("−3"), plain_number("two")
    ('2.5', '1234.50', '-3', 'two')
    """
    plain = _plain(text).replace("\N{MINUS SIGN}", "-")
    return plain.replace(" ", "") if A_NUMBER.fullmatch(plain) else text


def _short(text: str) -> str:
    return text.strip()[:LONGEST_TEXT]


def _plain(text: str) -> str:
    """Lower case with plain spaces, quotes, slashes and points, whatever the keyboard made."""
    if len(text) > LONGEST_TEXT:
        return ""
    apart = re.sub(r"([¼½¾⅛⅜⅝⅞])", r" \1", text)  # 13½ must not become 131/2
    plain = unicodedata.normalize("NFKC", apart).lower()
    for fancy, usual in (("⁄", "/"), ("′′", '"'), ("”", '"'), ("′", "'"), ("’", "'")):
        plain = plain.replace(fancy, usual)
    # A comma is a decimal one, unless it may as well group thousands: then it stays, and fails.
    plain = re.sub(r",(?![0-9]{3}(?![0-9]))", ".", plain)
    return " ".join(plain.split())


def _millimetres(plain: str, units: str) -> Fraction:
    if both := FEET_AND_INCHES.fullmatch(plain):
        return int(both["feet"]) * MM_IN_UNIT["ft"] + _millimetres(both["inches"].strip(), INCHES)
    found = LENGTH.fullmatch(plain)
    if not found:
        raise NotALength
    unit = found["unit"] or ("in" if units == INCHES else "mm")
    if unit not in MM_IN_UNIT:
        raise NotALength
    return _amount(found) * MM_IN_UNIT[unit]


def _square_millimetres(plain: str, units: str) -> Fraction:
    found = AREA.fullmatch(plain)
    if not found:
        raise NotAnArea
    if not found["unit"]:
        if found["square"] or found["power"]:
            raise NotAnArea
        return _amount(found) * MM2_IN_UNIT["ft2" if units == INCHES else "m2"]
    # Either "sq ft" or "ft2": a plain "ft" is a length, and somebody's slip.
    if bool(found["square"]) == bool(found["power"]) or f"{found['unit']}2" not in MM2_IN_UNIT:
        raise NotAnArea
    return _amount(found) * MM2_IN_UNIT[f"{found['unit']}2"]


def _amount(found: re.Match[str]) -> Fraction:
    parts = (found["number"], found["rest"], found["fraction"])
    return sum((Fraction(part.replace(" ", "")) for part in parts if part), Fraction(0))
