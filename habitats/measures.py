"""Lengths, areas and masses as people read and type them.

Inside, every length is a whole number of millimetres and every area of square millimetres.
Metric or inches is the reader's choice, made here, at the very edge, and nowhere else.
One inch is 25.4 mm exactly (international yard and pound agreement, 1959), so all of it is done
in whole numbers and fractions: no float rounds a dimension.

    >>> length(1420), length(354, "inches")
    ('1\\xa0420\\xa0mm', '13\\xa015/16\\xa0in')
    >>> parse_length("13 15/16 in")
    354
"""

import math
import re
import unicodedata
from fractions import Fraction

METRIC = "metric"
INCHES = "inches"

# Figures and their unit stay on one line.
NO_BREAK = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"

MM_PER_INCH = Fraction(254, 10)
MM2_PER_CM2 = 100
MM2_PER_FOOT2 = (12 * MM_PER_INCH) ** 2
_MILLIMETRES = re.compile(r"(?<![\d.,])(\d{1,9}) mm\b")
SMALLEST_INCH = 16  # a tape measure's finest line: sixteenths

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

NUMBER = r"[0-9]+(?: [0-9]{3})*(?:[.][0-9]+)?|[.][0-9]+"
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


def length(mm: int, units: str = METRIC) -> str:
    """A length for reading: whole millimetres, or inches to the nearest sixteenth."""
    if mm < 0:
        return MINUS + length(-mm, units)
    if units != INCHES:
        return f"{_grouped(mm)}{NO_BREAK}mm"
    return f"{_inches(mm)}{NO_BREAK}in"


def area(mm2: int, units: str = METRIC) -> str:
    """An area for reading: whole square centimetres, or square feet to a tenth."""
    if mm2 < 0:
        return MINUS + area(-mm2, units)
    if units != INCHES:
        return f"{_grouped(_nearest(Fraction(mm2, MM2_PER_CM2)))}{NO_BREAK}cm²"
    feet, tenths = divmod(_nearest(10 * mm2 / MM2_PER_FOOT2), 10)
    return f"{_grouped(feet)}.{tenths}{NO_BREAK}ft²"


def convert_lengths(sentence: str, units: str = METRIC) -> str:
    """A sentence that names millimetres, for the reader: in metric as it is."""
    if units != INCHES:
        return sentence
    return _MILLIMETRES.sub(lambda match: length(int(match[1]), units), sentence)


def grams(mass_g: int) -> str:
    """A mass for reading, thousands apart; readers of inches are told grams too."""
    return f"{_grouped(mass_g)}{NO_BREAK}g"


def kilograms(mass_g: int, units: str = METRIC) -> str:
    """A mass for reading, in kilograms with as many decimals as its grams need.

    Machines are rated in kilograms everywhere, so both readers are told the same.
    """
    return f"{mass_g / 1000:,.3f}".rstrip("0").rstrip(".").replace(",", NO_BREAK) + f"{NO_BREAK}kg"


def parse_length(text: str, units: str = METRIC) -> int:
    """Millimetres, to the nearest whole one, from what a person typed.

    A number without a unit is millimetres, or inches for a reader of `units` inches.
    Raises NotALength, with one sentence, for all else.
    """
    plain = _plain(text)
    try:
        return _nearest(_millimetres(plain, units))
    except (NotALength, ZeroDivisionError):
        example = "14, 13 15/16 in or 35.5 cm" if units == INCHES else "355, 35.5 cm or 14 in"
        raise NotALength(
            f"“{text.strip()[:LONGEST_TEXT]}” is not a length. "
            f"Write a number, and mm, cm, m, in or ft after it, such as {example}."
        ) from None


def parse_area(text: str, units: str = METRIC) -> int:
    """Square millimetres, to the nearest whole one, from what a person typed.

    A number without a unit is square centimetres, or square feet for a reader of `units` inches.
    Raises NotAnArea, with one sentence, for all else.
    """
    try:
        return _nearest(_square_millimetres(_plain(text), units))
    except (NotAnArea, ZeroDivisionError):
        example = "10.5 or 10.5 ft²" if units == INCHES else "7500, 7500 cm² or 0.75 m²"
        raise NotAnArea(
            f"“{text.strip()[:LONGEST_TEXT]}” is not an area. "
            f"Write a number, and cm², m², in² or ft² after it, such as {example}."
        ) from None


def parse_kilograms(text: str, units: str = METRIC) -> int:
    """Whole grams from what a person typed; a number without a unit is kilograms.

    Raises NotAMass, with one sentence, for all else.
    """
    found = LENGTH.fullmatch(_plain(text))
    try:
        if found is None:
            raise NotAMass
        return _nearest(_amount(found) * GRAMS_IN_UNIT[found["unit"] or "kg"])
    except (NotAMass, KeyError, ZeroDivisionError):
        raise NotAMass(
            f"“{text.strip()[:LONGEST_TEXT]}” is not a mass. "
            "Write a number, and kg, g or lb after it, such as 8 or 7.5 kg."
        ) from None


def _grouped(number: int) -> str:
    return f"{number:,}".replace(",", NO_BREAK)


def _nearest(exact: Fraction) -> int:
    """The nearest whole number; a half goes up, as on paper, not to the even neighbour."""
    return math.floor(exact + Fraction(1, 2))


def _inches(mm: int) -> str:
    # No length is half-way between two sixteenths: 160 mm / 254 never ends in one half.
    whole, sixteenths = divmod(_nearest(SMALLEST_INCH * mm / MM_PER_INCH), SMALLEST_INCH)
    rest = Fraction(sixteenths, SMALLEST_INCH)
    if not rest:
        return _grouped(whole)
    return f"{_grouped(whole)}{NO_BREAK}{rest}" if whole else str(rest)


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
        return _amount(found) * MM2_IN_UNIT["ft2" if units == INCHES else "cm2"]
    # Either "sq ft" or "ft2": a plain "ft" is a length, and somebody's slip.
    if bool(found["square"]) == bool(found["power"]) or f"{found['unit']}2" not in MM2_IN_UNIT:
        raise NotAnArea
    return _amount(found) * MM2_IN_UNIT[f"{found['unit']}2"]


def _amount(found: re.Match[str]) -> Fraction:
    parts = (found["number"], found["rest"], found["fraction"])
    return sum((Fraction(part.replace(" ", "")) for part in parts if part), Fraction(0))
