"""Par by hand, against Little's law, and by having one linen less."""

from dataclasses import replace

import pytest
from hypothesis import given

from habitats.rotation.forecast import forecast
from habitats.rotation.more_washing import with_wash_day
from habitats.rotation.par import par_levels, to_buy
from habitats.rotation.values import LinenToday, WashStage
from tests.support.linen_rounds import make_laundry, make_round, small_rounds


def stocked(inputs, size, number):
    """The inputs with so many linens of one size alone: one in each enclosure, the rest clean."""
    needs = tuple(need for need in inputs.needs if need.size == size)
    pieces = tuple(
        LinenToday(
            f"L{n}",
            size,
            WashStage.IN_USE if n < len(needs) else WashStage.CLEAN,
            needs[n].id if n < len(needs) else None,
        )
        for n in range(number)
    )
    return replace(inputs, needs=needs, pieces=pieces, sizes={size: inputs.sizes[size]})


@given(small_rounds(most_days=20))
def test_with_par_there_is_no_shortage_and_with_one_less_there_is(inputs):
    for size, par in par_levels(inputs).items():
        wanted = sum(need.size == size for need in inputs.needs)
        assert forecast(stocked(inputs, size, par)).shortages == ()
        if par > wanted:
            assert forecast(stocked(inputs, size, par - 1)).shortages != ()


@given(small_rounds(most_days=20))
def test_par_is_no_less_than_littles_law(inputs):
    # Little, Operations Research 1961;9:383: the mean number that is out is the rate at which
    # linens go out times the mean time they are out: until the wash after, and back.
    for size, par in par_levels(inputs).items():
        full = stocked(inputs, size, par)
        days = forecast(full).days[size]
        changes = [
            day for need in full.needs for day in range(inputs.days) if is_change(need, inputs, day)
        ]
        out = sum(shortest_absence(inputs, day) for day in changes)

        assert par * len(days) >= len(full.needs) * len(days) + out


def is_change(need, inputs, day):
    """Whether a need that never waits is changed on a day."""
    due = max((need.last_changed - inputs.start).days + need.interval_days, 0)
    return day >= due and (day - due) % need.interval_days == 0


def shortest_absence(inputs, day):
    """Whole days that a linen taken out on a day is away from the cupboard, within the horizon."""
    laundry = inputs.laundry
    wash = day
    while (inputs.start.weekday() + wash) % 7 not in laundry.wash_weekdays:
        wash += 1
    return min(wash + max(1, laundry.days_to_clean), inputs.days) - day


@pytest.mark.parametrize(
    ("weekdays", "par"),
    [
        # Two enclosures each changed every day, washed the same day and back on the next.
        ((0, 1, 2, 3, 4, 5, 6), 4),
        # Washed on Mondays, back on Tuesdays: Tuesday to Monday, 7 days, take 14, and 2 lie there.
        ((0,), 16),
        # Never washed: 13 days of changes, and those that lie there.
        ((), 28),
    ],
)
def test_par_hangs_on_the_wash_days(weekdays, par):
    inputs = make_round([("E", 1, 0), ("F", 1, 0)], [], make_laundry(*weekdays), days=14)

    assert par_levels(inputs) == {"A": par}


def test_par_is_limited_by_the_loads_as_if_they_were_the_sizes_own():
    # One linen of 600 g a load and a day, two are soiled each day: one more is missed every day.
    laundry = make_laundry(0, 1, 2, 3, 4, 5, 6, loads=1, load_g=1000)
    inputs = make_round([("E", 1, 0), ("F", 1, 0)], [], laundry, days=5, A=600)

    # Days 1 to 4 want 8, days 2 to 4 bring 3 back: 5 clean ones, and 2 that lie there.
    assert par_levels(inputs) == {"A": 7}


def test_a_size_that_no_enclosure_wants_needs_none():
    inputs = make_round([], [("L", "clean")], make_laundry(0))

    assert par_levels(inputs) == {"A": 0}


def test_what_is_missing_up_to_par_is_to_buy():
    inputs = make_round([("E", 1, 0)], [("L", "soiled")], make_laundry(), days=3)

    # One lies there and two changes come.
    assert to_buy(inputs) == {"A": 2}


def test_the_best_further_wash_day_comes_first():
    # One linen lies, one is clean, changed each day, washed on Sundays only.
    pieces = [("L", "in_use", "E"), ("M", "clean")]
    inputs = make_round([("E", 1, 0)], pieces, make_laundry(6), days=14)
    short = len(forecast(inputs).shortages)

    found = with_wash_day(inputs, short)

    assert {one.weekday: one.shortages for one in found} == {
        weekday: shortages_with(inputs, weekday) for weekday in range(6)
    }
    assert [one.shortages for one in found] == sorted(one.shortages for one in found)
    assert found[0].shortages < short


def shortages_with(inputs, weekday):
    weekdays = inputs.laundry.wash_weekdays | {weekday}
    laundry = replace(inputs.laundry, wash_weekdays=weekdays)
    return len(forecast(replace(inputs, laundry=laundry)).shortages)
