"""Doses by day, against a second plain reckoning: a walk over every minute that UTC has.

The zones and the days on which their clocks change are those of the IANA time zone database.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.welfare.doses import CAN_BE_TICKED, DosePlan, DoseState, DueDose, state_of

DUBLIN = ZoneInfo("Europe/Dublin")
ZONES = [DUBLIN, ZoneInfo("Australia/Lord_Howe"), ZoneInfo("America/St_Johns"), ZoneInfo("UTC")]
# Clocks go forward and back in Dublin on these days, in Lord Howe (by half an hour) a week later.
SPRING, AUTUMN = date(2027, 3, 28), date(2027, 10, 31)
MORNING, EVENING = time(8), time(20)
MINUTE = timedelta(minutes=1)
DAY = timedelta(days=1)


def state_at(now, dose, zone=DUBLIN, *, times=None, is_given=None, answers=None):
    """Of a dose that comes every day at these times; its own alone if not said."""
    plan = DosePlan(dose.day - DAY, times or (dose.time,))
    (planned,) = [one for one in plan.planned(dose.day, dose.day, zone) if one.due == dose]
    return state_of(planned, answers or {dose: is_given}, now, zone)


def minutes_about(day):
    """Every minute of UTC from the day before to the day after."""
    start = datetime(day.year, day.month, day.day, tzinfo=UTC) - timedelta(days=1)
    return [start + n * MINUTE for n in range(3 * 24 * 60)]


def first_minute_of(dose, zone):
    """The first minute at which the clock on the wall shows day and time; None: it skips them."""
    for minute in minutes_about(dose.day):
        wall = minute.astimezone(zone)
        if (wall.date(), wall.hour, wall.minute) == (dose.day, dose.time.hour, dose.time.minute):
            return minute
    return None


times_of_day = st.builds(time, st.integers(0, 23), st.sampled_from([0, 15, 30, 59]))
days_near_a_change = st.one_of(
    st.dates(SPRING - timedelta(days=3), SPRING + timedelta(days=10)),
    st.dates(AUTUMN - timedelta(days=30), AUTUMN + timedelta(days=10)),
)


@given(days_near_a_change, times_of_day, st.sampled_from(ZONES))
def test_a_dose_is_due_when_the_clock_on_the_wall_first_shows_its_time(day, at, zone):
    dose = DueDose(day, at)
    shown = first_minute_of(dose, zone)

    if shown is not None:
        assert dose.moment(zone) == shown


def test_a_time_that_the_clock_skips_is_due_as_long_after_the_change():
    dose = DueDose(SPRING, time(1, 30))

    assert first_minute_of(dose, DUBLIN) is None
    assert dose.moment(DUBLIN) == datetime(2027, 3, 28, 1, 30, tzinfo=UTC)  # 2:30 on the wall


@given(
    days_near_a_change,
    st.lists(times_of_day, min_size=1, max_size=4),
    st.integers(0, 20) | st.none(),
    st.integers(1, 5),
    times_of_day | st.none(),
    st.integers(0, 20 * 24 * 60) | st.none(),
    st.integers(0, 20) | st.none(),
    st.tuples(st.integers(0, 20), st.integers(0, 9)),
    st.tuples(st.integers(-5, 25), st.integers(0, 20)),
    st.sampled_from(ZONES),
)
def test_doses_are_those_of_a_plain_walk_over_the_days(
    first, times, lasts, every, first_from, stopped_after, gone_after, away, asked, zone
):
    plan = DosePlan(
        first,
        tuple(times),
        None if lasts is None else first + timedelta(days=lasts),
        first_from,
        every,
        None
        if stopped_after is None
        else datetime(first.year, first.month, first.day, tzinfo=UTC) + stopped_after * MINUTE,
        None if gone_after is None else first + timedelta(days=gone_after),
        ((first + timedelta(days=away[0]), first + timedelta(days=sum(away))),),
    )
    since = first + timedelta(days=asked[0])
    until = since + timedelta(days=asked[1])

    expected = []
    for number in range(60):
        day = first + timedelta(days=number)
        if number % every or not since <= day <= until:
            continue
        if number in range(away[0], sum(away)):
            continue
        if (plan.last and day > plan.last) or (plan.gone_on and day >= plan.gone_on):
            continue
        for at in sorted(set(times)):
            if number == 0 and first_from and at < first_from:
                continue
            if plan.stopped and DueDose(day, at).moment(zone) >= plan.stopped:
                continue
            expected.append(DueDose(day, at))

    assert list(plan.due(since, until, zone)) == expected


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("day", [SPRING, AUTUMN])
def test_no_dose_is_lost_or_doubled_where_the_clock_changes(day, zone):
    plan = DosePlan(day - timedelta(days=3), (time(1, 30), time(2, 30), MORNING, EVENING))

    found = list(plan.due(day - timedelta(days=1), day + timedelta(days=1), zone))

    assert len(found) == len(set(found)) == 12
    assert len({one.moment(zone) for one in found}) >= 11  # two may fall on one moment


@pytest.mark.parametrize(
    ("hour", "minute", "state"),
    [
        (6, 59, DoseState.COMING),
        (7, 0, DoseState.DUE),
        (9, 0, DoseState.DUE),
        (9, 1, DoseState.LATE),
        (23, 59, DoseState.LATE),
    ],
)
def test_a_dose_of_eight_is_due_from_an_hour_before_and_late_an_hour_after(hour, minute, state):
    # Common practice, no source: an hour either way.
    now = datetime(2027, 3, 27, hour, minute, tzinfo=DUBLIN)

    assert state_at(now, DueDose(date(2027, 3, 27), MORNING)) is state


def test_a_dose_just_before_midnight_is_due_until_an_hour_after_its_time():
    dose = DueDose(date(2027, 3, 26), time(23, 30))

    def at(hour, minute):
        now = datetime(2027, 3, 27, hour, minute, tzinfo=DUBLIN)
        return state_at(now, dose)

    assert at(0, 30) is DoseState.DUE
    assert at(0, 31) is DoseState.NO_ENTRY


def test_a_dose_of_a_day_that_is_over_has_no_entry_until_somebody_records_it():
    dose, now = DueDose(SPRING, EVENING), datetime(2027, 3, 29, 0, 0, tzinfo=DUBLIN)

    assert state_at(now, dose) is DoseState.NO_ENTRY
    assert state_at(now, dose, is_given=True) is DoseState.GIVEN
    assert state_at(now, dose, is_given=False) is DoseState.NOT_GIVEN


@pytest.mark.parametrize(
    ("hour", "minute", "state"),
    [
        (18, 59, DoseState.LATE),
        (19, 0, DoseState.TOO_LATE),
        (23, 59, DoseState.TOO_LATE),
    ],
)
def test_a_dose_is_too_late_once_the_next_one_is_due(hour, minute, state):
    now = datetime(2027, 3, 27, hour, minute, tzinfo=DUBLIN)
    dose = DueDose(date(2027, 3, 27), MORNING)

    assert state_at(now, dose, times=(MORNING, EVENING)) is state


def test_a_dose_is_too_late_once_the_next_one_was_given():
    morning, evening = DueDose(SPRING, MORNING), DueDose(SPRING, EVENING)
    now = datetime(2027, 3, 28, 12, 0, tzinfo=DUBLIN)

    state = state_at(now, morning, times=(MORNING, EVENING), answers={evening: True})

    assert state is DoseState.TOO_LATE


@given(
    days_near_a_change,
    st.lists(times_of_day, min_size=1, max_size=8),
    st.integers(1, 3),
    st.sampled_from(ZONES),
    st.integers(0, 3 * 24 * 60),
)
def test_at_no_moment_can_two_doses_of_a_treatment_be_tapped(day, times, every, zone, minutes):
    plan = DosePlan(day - 2 * DAY, tuple(times), every_days=every)
    now = datetime(day.year, day.month, day.day, tzinfo=UTC) - DAY + minutes * MINUTE

    states = [
        state_of(one, {}, now, zone) for one in plan.planned(day - 2 * DAY, day + 3 * DAY, zone)
    ]

    assert sum(state in CAN_BE_TICKED for state in states) <= 1


@given(days_near_a_change, st.lists(times_of_day, min_size=1, max_size=8), st.sampled_from(ZONES))
def test_each_dose_can_be_tapped_at_its_very_time(day, times, zone):
    plan = DosePlan(day - DAY, tuple(times))
    found = list(plan.planned(day, day, zone))
    moments = [one.due.moment(zone) for one in found]

    for one, moment in zip(found, moments, strict=True):
        if moments.count(moment) == 1:  # a change of the clock may lay two on one moment
            assert state_of(one, {}, moment, zone) is DoseState.DUE
