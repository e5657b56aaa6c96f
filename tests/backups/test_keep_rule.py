"""Which backups stay: counted by hand on a calendar. The rule is common practice, no source."""

from datetime import datetime, timedelta

from habitats.backups.models.keep_rule import kept

# A Monday. One backup each night at three, the newest on this day.
TODAY = datetime(2026, 11, 30, 3)


def nightly(nights: int) -> list[datetime]:
    return [TODAY - timedelta(days=back) for back in range(nights)]


def test_all_of_the_first_week_stay():
    assert kept(nightly(7)) == set(nightly(7))


def test_of_two_on_one_day_the_later_stays():
    noon = TODAY.replace(hour=12)

    assert kept([TODAY, noon]) == {noon}


def test_after_two_years_there_are_days_weeks_and_months():
    days = {f"2026-11-{day}" for day in (24, 25, 26, 27, 28, 29, 30)}
    # Sundays, the last of their weeks; that of 29 November is among the days.
    weeks = {"2026-11-22", "2026-11-15"}
    months = {"2026-10-31", "2026-09-30", "2026-08-31", "2026-07-31", "2026-06-30", "2026-05-31"}
    months |= {"2026-04-30", "2026-03-31", "2026-02-28", "2026-01-31", "2025-12-31"}

    assert {one.date().isoformat() for one in kept(nightly(730))} == days | weeks | months


def test_night_by_night_the_same_stay_as_at_once():
    there: set[datetime] = set()
    for night in reversed(nightly(200)):
        there = kept([*there, night])

    assert there == kept(nightly(200))


def test_after_a_year_without_one_the_old_ones_are_still_there():
    old = [one - timedelta(days=400) for one in nightly(7)]

    assert kept([TODAY, *old]) >= {TODAY, *old[:6]}


def test_of_none_none_stay():
    assert kept([]) == set()
