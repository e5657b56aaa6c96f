"""Routine checks by the rescue's own rhythm; 30 and 42 days are common practice, no source."""

from datetime import date, timedelta

import pytest

from habitats.welfare.checks import NAILS_DAYS, TEETH_DAYS, next_check

CAME, KEPT, CHECKED = date(2027, 1, 1), date(2027, 2, 1), date(2027, 3, 1)


@pytest.mark.parametrize("days", [1, TEETH_DAYS, NAILS_DAYS, 365])
def test_the_next_check_is_so_many_days_after_the_last(days):
    assert next_check(CHECKED, CAME, None, days) == CHECKED + timedelta(days=days)


def test_without_a_check_it_counts_from_the_day_the_rhythm_is_kept_or_she_came():
    assert next_check(None, CAME, KEPT, 30) == date(2027, 3, 3)
    assert next_check(None, CHECKED, KEPT, 30) == date(2027, 3, 31)


def test_nothing_is_due_of_a_rescue_that_keeps_no_rhythm():
    assert next_check(None, CAME, None, 30) is None
    assert next_check(CHECKED, CAME, KEPT, 0) is None


@pytest.mark.parametrize("days", [-1, 366])
def test_what_is_no_rhythm_is_refused(days):
    with pytest.raises(ValueError, match="allowed are 0 to 365"):
        next_check(CHECKED, CAME, KEPT, days)
