"""Days between changes: common practice, no source; so it is checked that it is told as such.

“At least twice a week where several animals live” is also what the care sheet says.
"""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.making.care import care_sheet
from habitats.rotation.intervals import (
    LONGEST_DAYS,
    TABLE,
    USUAL,
    change_interval,
    days_fault,
    suggested_days,
)
from habitats.source import PRACTICE, Known
from habitats.structure.design import Species

GUINEA_PIG, RABBIT = Species.GUINEA_PIG, Species.RABBIT

species = st.sampled_from(Species)
floors = st.integers(1, 20_000_000)
several = st.integers(2, 20)


def cm2(area):
    return area * 100


@given(species, several, floors)
def test_where_several_animals_live_it_is_at_least_twice_in_any_week(kind, animals, floor):
    days = suggested_days(kind, animals, floor)

    assert 7 // days >= 2


@given(species, st.integers(1, 20), floors, floors)
def test_more_floor_never_asks_for_sooner_changes(kind, animals, one, other):
    less, more = sorted((one, other))

    assert suggested_days(kind, animals, less) <= suggested_days(kind, animals, more)


@given(species, st.integers(1, 20), floors)
def test_one_animal_more_never_lets_linens_lie_longer(kind, animals, floor):
    assert suggested_days(kind, animals + 1, floor) <= suggested_days(kind, animals, floor)


@given(st.integers(1, 20), floors)
def test_rabbits_on_the_same_floor_are_changed_no_later_than_guinea_pigs(animals, floor):
    assert suggested_days(RABBIT, animals, floor) <= suggested_days(GUINEA_PIG, animals, floor)


def test_a_bound_of_the_table_belongs_to_the_longer_interval():
    for kind, steps in TABLE.items():
        for before, step in pairwise(steps):
            assert suggested_days(kind, 1, cm2(step.from_cm2_each)) == step.days
            assert suggested_days(kind, 1, cm2(step.from_cm2_each) - 1) == before.days


def test_a_suggestion_says_why_and_that_it_has_no_source():
    interval = change_interval(GUINEA_PIG, 4, cm2(14_000))

    assert interval.days == 3
    assert interval.source == PRACTICE
    assert interval.sentence.replace("\N{NO-BREAK SPACE}", " ") == (
        "4 animals, 0.35 m² of floor for each: change every 3 days. "
        "Sooner when it is damp or smells, and in warm weather."
    )


def test_a_suggestion_speaks_in_the_readers_units():
    assert "ft²" in change_interval(GUINEA_PIG, 2, cm2(14_000), units="inches").sentence


def test_what_was_set_by_hand_comes_first():
    interval = change_interval(GUINEA_PIG, 4, cm2(14_000), by_hand=1)

    assert (interval.days, interval.source.known) == (1, Known.OWN)
    assert interval.sentence == "Set by hand: change every day."


def test_where_nobody_lives_nothing_is_due_unless_it_was_set_by_hand():
    assert change_interval(GUINEA_PIG, 0, cm2(14_000)) is None
    assert change_interval(GUINEA_PIG, 0, cm2(14_000), by_hand=7).days == 7


@pytest.mark.parametrize(("animals", "floor"), [(-1, 100), (2, 0), (2, -5)])
def test_animals_and_floors_that_cannot_be_are_refused(animals, floor):
    with pytest.raises(ValueError, match="cannot be"):
        change_interval(GUINEA_PIG, animals, floor)


@pytest.mark.parametrize("days", [-1, 0, LONGEST_DAYS + 1])
def test_days_that_cannot_be_are_told_in_a_sentence(days):
    assert days_fault(days).startswith(
        f"{days} days between changes are not allowed. Enter 1 to 60"
    )
    with pytest.raises(ValueError, match="1 to 60 whole days"):
        change_interval(GUINEA_PIG, 2, cm2(14_000), by_hand=days)


def test_the_care_sheet_asks_for_the_same():
    (change,) = [one for one in care_sheet() if one.code == "change"]

    assert USUAL in change.sentence
