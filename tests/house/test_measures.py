"""Lengths and areas, against exact fractions.

Source of the inch: international yard and pound agreement, 1959: one yard is 0.9144 m exactly, so
one inch is 25.4 mm and one square foot is 929.0304 cm².
"""

import math
import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats import measures, typed_measures
from habitats.measures import (
    area,
    area_in_a_field,
    area_needed,
    areas_compared,
    convert_lengths,
    distance,
    length,
)
from habitats.typed_measures import NotALength, NotAnArea, parse_area, parse_length

INCH = Fraction(9144, 10) / 36
FOOT2 = (12 * INCH) ** 2

lengths = st.integers(min_value=0, max_value=20_000)


def read_back(text: str) -> Fraction:
    """The number that a measure prints, read by a second way: word by word."""
    in_one = re.sub("\N{NO-BREAK SPACE}(?=[0-9]{3})", "", text)  # thousands are grouped
    *numbers, _unit = in_one.split("\N{NO-BREAK SPACE}")
    return sum((Fraction(number) for number in numbers), Fraction(0))


@pytest.mark.parametrize(
    ("mm", "printed"), [(0, "0 mm"), (355, "355 mm"), (1420, "1 420 mm"), (-5, "−5 mm")]
)
def test_millimetres_are_whole_and_grouped(mm, printed):
    assert length(mm) == printed.replace(" ", "\N{NO-BREAK SPACE}")


@pytest.mark.parametrize(
    ("mm", "printed"),
    # 354 / 25.4 = 13.937, 15/16 = 0.9375; 355 / 25.4 = 13.976, nearer to 14 than to 13 15/16.
    [(0, "0 in"), (2, "1/16 in"), (13, "1/2 in"), (354, "13 15/16 in"), (355, "14 in")],
)
def test_inches_are_printed_as_a_tape_shows_them(mm, printed):
    assert length(mm, "inches") == printed.replace(" ", "\N{NO-BREAK SPACE}")


@pytest.mark.parametrize(
    ("mm2", "units", "there", "needed"),
    # From 0.1 m² up in m² with two decimals or ft² with one; smaller ones in cm² or in².
    [
        (1_100_000, "metric", "1.10 m²", "1.10 m²"),
        (950_800, "metric", "0.95 m²", "0.96 m²"),
        (100_000, "metric", "0.10 m²", "0.10 m²"),
        (99_999, "metric", "999 cm²", "0.10 m²"),
        (99_900, "metric", "999 cm²", "999 cm²"),
        (38_750, "metric", "387 cm²", "388 cm²"),
        (40, "metric", "0 cm²", "1 cm²"),  # no lack is told as nothing
        (0, "metric", "0 cm²", "0 cm²"),
        (12_345_678_900, "metric", "12 345.67 m²", "12 345.68 m²"),
        (950_800, "inches", "10.2 ft²", "10.3 ft²"),  # 9508 / 929.0304 = 10.234
        (92_903, "inches", "143 in²", "144 in²"),  # one square foot is 92 903.04 mm²
        (-1_100_000, "metric", "−1.10 m²", "−1.10 m²"),
    ],
)
def test_areas_are_printed_for_people(mm2, units, there, needed):
    assert area(mm2, units) == there.replace(" ", "\N{NO-BREAK SPACE}")
    assert area_needed(mm2, units) == needed.replace(" ", "\N{NO-BREAK SPACE}")


@pytest.mark.parametrize("feet", [Fraction(15, 2), Fraction(21, 2), Fraction(13), Fraction(16)])
def test_a_figure_in_square_feet_is_told_as_it_was_published(feet):
    inside = math.ceil(feet * FOOT2)  # whole mm², rounded up

    assert read_back(area_needed(inside, "inches")) == feet


UNITS = st.sampled_from(["metric", "inches"])
MM2_IN = {
    "m²": Fraction(1_000_000),
    "cm²": Fraction(100),
    "ft²": FOOT2,
    "in²": INCH**2,
}


def mm2_told(text: str) -> Fraction:
    return read_back(text) * MM2_IN[text.split("\N{NO-BREAK SPACE}")[-1]]


@given(st.integers(0, 10**9), UNITS)
def test_no_floor_is_told_larger_and_no_need_smaller_than_it_is(mm2, units):
    there, needed = mm2_told(area(mm2, units)), mm2_told(area_needed(mm2, units))
    coarsest = max(FOOT2 / 10, Fraction(10_000))

    assert mm2 - coarsest < there <= mm2
    assert mm2 - 1 < needed < mm2 + coarsest


@given(st.integers(1, 10**9), UNITS)
def test_a_lack_is_never_told_as_nothing(mm2, units):
    assert mm2_told(area_needed(mm2, units)) > 0


@st.composite
def close_areas(draw):
    """Two areas, mostly closer to each other than two decimals can tell."""
    one = draw(st.integers(0, 10**8))
    return one, max(0, one + draw(st.integers(-20_000, 20_000) | st.integers(-3, 3)))


@given(close_areas(), UNITS)
def test_two_areas_beside_each_other_compare_as_they_do(pair, units):
    needed, given = areas_compared(*pair, units)
    told_needed, told_given = mm2_told(needed), mm2_told(given)

    if pair[0] > pair[1]:
        assert told_needed > told_given
    else:
        assert told_needed <= told_given
    if units == "metric":
        assert (told_needed == told_given) is (pair[0] == pair[1])
    # Even where nobody lays them side to side, too little looks like too little.
    if pair[0] > pair[1]:
        assert mm2_told(area_needed(pair[0], units)) > mm2_told(area(pair[1], units))


@pytest.mark.parametrize(
    ("needed", "given", "told"),
    [
        (700_000, 504_100, ("0.70 m²", "0.50 m²")),
        (500_000, 500_000, ("0.50 m²", "0.50 m²")),
        # 0.70 of 0.69 m² would look too little, and is not.
        (696_773, 698_000, ("6 968 cm²", "6 980 cm²")),
        (696_773, 696_773, ("6 967.73 cm²", "6 967.73 cm²")),
    ],
)
def test_areas_are_told_finer_where_two_decimals_would_hide_what_they_are(needed, given, told):
    assert tuple(one.replace("\xa0", " ") for one in areas_compared(needed, given)) == told


@given(lengths)
def test_printed_inches_are_the_nearest_sixteenth(mm):
    off = abs(read_back(length(mm, "inches")) - mm / INCH)

    assert off <= Fraction(1, 32)


@given(lengths)
def test_printed_millimetres_read_back_as_themselves(mm):
    assert parse_length(length(mm)) == mm


@given(lengths)
def test_printed_inches_read_back_within_half_a_sixteenth(mm):
    assert abs(parse_length(length(mm, "inches")) - mm) <= INCH / 32 + Fraction(1, 2)


@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        ("355", 355),
        (" 355 mm ", 355),
        ("1 420", 1420),
        ("35.5 cm", 355),
        ("35,5cm", 355),
        (".5 m", 500),
        ("14 in", 356),  # 355.6
        ('14"', 356),
        ("13 15/16 in", 354),  # 354.0125
        ("13-15/16 inches", 354),
        ("13½ in", 343),  # 342.9
        ("3/8 in", 10),  # 9.525
        ("1 ft 2 in", 356),
        ("1′ 2″", 356),
        ("1' 2", 356),
        ("2 feet", 610),  # 609.6
    ],
)
def test_what_people_type_becomes_whole_millimetres(typed, mm):
    assert parse_length(typed) == mm


def test_a_bare_number_is_inches_to_a_reader_of_inches():
    assert parse_length("14", "inches") == 356


@pytest.mark.parametrize(
    "typed",
    ["", "wide", "-5", "1/0", "5 6", "1,420 mm", "1e5", "12 miles", "1 ft 2 cm", "٣٥٥", "9" * 5000],
)
def test_what_is_no_length_is_answered_with_one_sentence(typed):
    with pytest.raises(NotALength, match=r"^“.*” is not a length\. Write .*35\.5 cm.*\.$") as fault:
        parse_length(typed)

    assert len(str(fault.value)) < 200


@given(st.text(max_size=60))
def test_any_text_is_a_length_or_a_sentence(text):
    try:
        mm = parse_length(text)
    except NotALength:
        return
    assert mm >= 0


@pytest.mark.parametrize(
    ("typed", "mm2"),
    [
        # NIST SP 811, appendix B.8: 1 ft² = 0.092 903 04 m², 1 in² = 6.4516 cm²
        ("1 ft²", 92_903),
        ("100 in²", 64_516),
        ("10,5 sq ft", 975_482),
        ("0.75", 750_000),
        ("7500 cm2", 750_000),
        ("6 968 cm²", 696_800),
        ("0.75 m2", 750_000),
        ("½ m²", 500_000),
    ],
)
def test_what_people_type_becomes_whole_square_millimetres(typed, mm2):
    assert parse_area(typed) == mm2


@given(st.integers(10, 10**4), UNITS)
def test_a_bare_number_is_in_the_unit_that_a_large_area_is_shown_in(tenths, units):
    unit = "ft²" if units == "inches" else "m²"
    number = f"{tenths // 10}.{tenths % 10}"

    assert parse_area(number, units) == parse_area(f"{number} {unit}", units)


@pytest.mark.parametrize(
    "typed", ["", "much", "10 ft", "-3 m²", "1/0 m²", "3 sq", "3 sq ft2", "2" * 60]
)
def test_what_is_no_area_is_answered_with_one_sentence(typed):
    with pytest.raises(NotAnArea, match="is not an area") as fault:
        parse_area(typed)
    assert len(str(fault.value)) < 200


@given(st.integers(1, 10**9), UNITS)
def test_an_area_in_a_field_reads_back_as_itself(mm2, units):
    read = parse_area(area_in_a_field(mm2, units), units)

    assert read == mm2 if units == "metric" else abs(read - mm2) <= 5


@pytest.mark.parametrize(
    ("mm2", "units", "shown"),
    [
        (750_000, "metric", "0.75 m²"),
        (755_550, "metric", "0.75555 m²"),
        (2_000_000, "metric", "2.00 m²"),
        (38_710, "metric", "387.1 cm²"),
        (975_482, "inches", "10.5 ft²"),
    ],
)
def test_an_area_in_a_field_has_the_decimals_it_needs(mm2, units, shown):
    assert area_in_a_field(mm2, units).replace("\xa0", " ") == shown


def test_a_sentence_names_its_lengths_in_the_readers_units():
    said = "The ramp runs 748 mm; only 635 mm are free. A mesh of 38.1 mm stays."

    assert convert_lengths(said) == said
    assert convert_lengths("A sheet of 1220 mm × 990 mm.") == "A sheet of 1\xa0220\xa0mm × 990 mm."
    assert convert_lengths(said, "inches").replace("\xa0", " ") == (
        "The ramp runs 29 7/16 in; only 25 in are free. A mesh of 38.1 mm stays."
    )


@pytest.mark.parametrize(
    ("asked", "shown"),
    [
        ((12,), "12"),
        ((3, "rolls", "inches"), "3 rolls"),
        ((4, "m"), "4 m"),
        ((4, "m", "inches"), "4 m (13 ft)"),
        ((0, "m", "inches"), "0 m"),
    ],
)
def test_what_comes_off_a_roll_is_told_in_feet_too(asked, shown):
    """4 m are 4 / 0.3048 = 13.1 ft (international yard and pound agreement, 1959)."""
    assert measures.amount(*asked).replace("\xa0", " ") == shown


@pytest.mark.parametrize(
    ("typed", "grams"),
    [("8", 8000), ("7.5 kg", 7500), ("7,5", 7500), ("800 g", 800), ("1 lb", 454), ("½", 500)],
)
def test_a_mass_is_read_as_it_is_typed(typed, grams):
    """One pound is 0.453 592 37 kg exactly (international yard and pound agreement, 1959)."""
    assert typed_measures.parse_kilograms(typed) == grams


@pytest.mark.parametrize("typed", ["", "heavy", "8 mm", "1/0", "-3"])
def test_what_is_no_mass_is_told_in_a_sentence(typed):
    with pytest.raises(typed_measures.NotAMass, match=r"is not a mass\. Write a number"):
        typed_measures.parse_kilograms(typed)


def test_a_mass_has_as_many_decimals_as_it_needs():
    assert measures.kilograms(8000) == "8\xa0kg"
    assert measures.kilograms(777) == "0.777\xa0kg"
    assert measures.kilograms(1_250_500) == "1\xa0250.5\xa0kg"


# --- Lengths in lists ---


@pytest.mark.parametrize(
    ("mm", "metric", "inches"),
    [
        (1999, "1 999 mm", "78 11/16 in"),
        (2000, "2.00 m", "6 ft 6 3/4 in"),
        (2440, "2.44 m", "8 ft 1/16 in"),
        (2445, "2.445 m", "8 ft 1/4 in"),
        (3048, "3.048 m", "10 ft"),
    ],
)
def test_a_list_tells_metres_or_feet_from_two_metres_up(mm, metric, inches):
    assert distance(mm).replace("\N{NO-BREAK SPACE}", " ") == metric
    assert distance(mm, "inches").replace("\N{NO-BREAK SPACE}", " ") == inches


@given(st.integers(min_value=2000, max_value=200_000))
def test_a_distance_in_metres_is_the_exact_length(mm):
    assert read_back(distance(mm)) * 1000 == mm


@given(st.integers(min_value=2000, max_value=200_000))
def test_a_distance_in_feet_is_within_half_a_sixteenth_of_an_inch(mm):
    feet, _, inches = distance(mm, "inches").partition("\N{NO-BREAK SPACE}ft")
    told = 12 * read_back(f"{feet}\N{NO-BREAK SPACE}ft")
    told += read_back(inches.lstrip("\N{NO-BREAK SPACE}")) if inches else 0
    assert abs(told * INCH - mm) <= INCH / 32


@pytest.mark.parametrize(
    ("sides_mm", "units", "told"),
    [
        ((1500, 1000), measures.METRIC, "1 500 mm × 1 000 mm"),
        ((3200, 1500), measures.METRIC, "3.20 m × 1.50 m"),
        ((704, 2001), measures.METRIC, "0.704 m × 2.001 m"),
        ((3200, 1500), measures.INCHES, "10 ft 6 in × 4 ft 11 1/16 in"),
        ((3048, 254), measures.INCHES, "10 ft × 10 in"),
    ],
)
def test_both_sides_of_a_footprint_are_in_one_unit(sides_mm, units, told):
    assert measures.footprint(sides_mm, units).replace("\u00a0", " ") == told
