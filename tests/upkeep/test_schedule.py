"""When something is checked next, and when parts have served."""

from datetime import date, timedelta

import pytest

from habitats.upkeep.schedule import LIFE_YEARS, next_check, replace_by


def test_it_counts_from_the_last_check():
    assert next_check(date(2027, 3, 1), date(2025, 1, 1), 30) == date(2027, 3, 31)


def test_what_was_never_checked_counts_from_when_it_stood():
    assert next_check(None, date(2027, 1, 1), 30) == date(2027, 1, 31)


def test_nothing_is_due_of_what_is_not_known_to_stand():
    assert next_check(None, None, 30) is None


@pytest.mark.parametrize("days", [6, 181, 0, -1])
def test_days_that_are_no_interval_are_refused(days):
    with pytest.raises(ValueError, match="allowed are 7 to 180"):
        next_check(None, None, days)


def test_ties_are_replaced_after_years_and_panels_when_they_fail():
    fitted = date(2025, 6, 1)

    assert replace_by("tie", fitted) == date(2025 + LIFE_YEARS["tie"], 6, 1)
    assert replace_by("panel", fitted) is None
    assert replace_by("tie", None) is None


def test_parts_fitted_on_a_leap_day_have_served_the_day_after_the_28th():
    fitted = date(2024, 2, 29)

    # The day before the anniversary's March is the last of February in a common year.
    assert replace_by("tie", fitted) == date(2027, 2, 28) + timedelta(days=1)
