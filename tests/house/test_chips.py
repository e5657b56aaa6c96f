"""Chip numbers as ISO 11784 has them, told by the slides of a register that quote its fields:
ten bits for a country or a maker (Germany: 276), 38 for the animal, 274 877 906 944 numbers."""

import pytest

from habitats.chips import NoChip, chip_number, in_groups


@pytest.mark.parametrize(
    "typed", ["276098100021417", " 276 0981 0002 1417 ", "276.098100021417", "276-0981-0002-1417"]
)
def test_a_number_is_read_however_it_is_grouped(typed):
    assert chip_number(typed) == "276098100021417"


@pytest.mark.parametrize("typed", ["001000000000000", "998274877906943"])
def test_bounds_are_allowed(typed):
    assert chip_number(typed) == typed


@pytest.mark.parametrize(
    "typed",
    [
        "27609810002141",  # fourteen digits
        "2760981000214170",  # sixteen
        "000098100021417",  # no country
        "999098100021417",  # for trials
        "276274877906944",  # more than 38 bits hold
        "27609810002141A",
        "٢٧٦٠٩٨١٠٠٠٢١٤١٧",  # digits of another script
    ],
)
def test_what_no_chip_can_say_is_refused(typed):
    with pytest.raises(NoChip):
        chip_number(typed)


def test_nothing_is_no_number():
    assert chip_number("  ") == ""


def test_people_read_it_in_groups():
    assert in_groups("276098100021417") == "276 0981 0002 1417"
