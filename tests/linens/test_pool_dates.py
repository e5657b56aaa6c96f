"""What is foreseen of pools is kept, and is never another than a forecast made now."""

import pytest

from habitats.enclosures.models.standing import stand
from habitats.linens.models import pool_dates
from habitats.linens.models.changes import change
from habitats.linens.models.forecasts import pool_forecast
from habitats.linens.models.pool_dates import PoolDates
from habitats.linens.models.pools import Pool
from habitats.linens.models.spots import ChangePlan
from habitats.rotation.states import State

pytestmark = pytest.mark.django_db


@pytest.fixture
def pools(make_home, make_pool):
    return [make_pool(name, home=make_home(name)) for name in ("Barn", "Attic")]


@pytest.fixture
def enclosure(pools, make_enclosure, make_group, make_animal, make_linen, day, coordinator):
    """In the home of the first pool, changed two days ago, with a spare linen for each place."""
    found = make_enclosure(home=pools[0].home)
    make_group(make_animal("Pip"), make_animal("Dot"), enclosure=found, since=day(-9))
    ChangePlan.objects.create(enclosure=found, interval_days=5)
    for spot in found.spots.all():
        change(spot, make_linen(pools[0], spot.size), day(-2), by=coordinator)
        make_linen(pools[0], spot.size)
    return found


def _told(pool, row):
    return pool.name, row.runs_out_on, row.is_drawn_from, row.washes()


def _kept(pools, today):
    found = PoolDates.objects.foreseen(pools, today)
    return [_told(pool, found[pool.pk]) for pool in pools]


def _made_now(pools, today):
    pools = list(Pool.objects.in_bulk([one.pk for one in pools]).values())
    rows = [PoolDates.told_by(one, pool_forecast(one, today), today) for one in pools]
    return sorted(_told(one, row) for one, row in zip(pools, rows, strict=True))


def move_away(enclosure, pools, day, coordinator):
    stand(enclosure, pools[1].home, day(0), by=coordinator)


def change_more_often(enclosure, pools, day, coordinator):
    ChangePlan.objects.update_or_create(enclosure=enclosure, defaults={"interval_days": 1})


def lose_the_spare_ones(enclosure, pools, day, coordinator):
    for linen in pools[0].linens.filter(state=State.CLEAN):
        linen.set_state(State.LOST, day(0), by=coordinator)


def end_the_stay(enclosure, pools, day, coordinator):
    enclosure.stays.get().end(day(0), coordinator)


def wash_on_sundays_alone(enclosure, pools, day, coordinator):
    pools[0].weekdays = 0b1000000
    pools[0].save()


def draw_from_the_other(enclosure, pools, day, coordinator):
    home = pools[0].home
    home.pool = pools[1]
    home.save()


@pytest.mark.parametrize(
    "act",
    [
        move_away,
        change_more_often,
        lose_the_spare_ones,
        end_the_stay,
        wash_on_sundays_alone,
        draw_from_the_other,
    ],
)
def test_after_each_act_that_touches_it_what_is_kept_is_made_again(
    act, enclosure, pools, today, day, coordinator
):
    before = _kept(pools, today)

    act(enclosure, pools, day, coordinator)

    after = _kept(pools, today)
    assert after != before
    assert sorted(after) == _made_now(pools, today)


def test_a_forecast_is_not_kept_if_something_changed_while_it_was_made(
    enclosure, pools, today, monkeypatch
):
    make = pool_dates.pool_forecasts

    def while_a_linen_is_lost(*asked):
        found = make(*asked)
        PoolDates.objects.forget()
        return found

    monkeypatch.setattr(pool_dates, "pool_forecasts", while_a_linen_is_lost)
    PoolDates.objects.foreseen(pools, today)

    assert not PoolDates.objects.filter(as_of=today).exists()


def test_what_is_kept_is_not_forecast_again(enclosure, pools, today, monkeypatch):
    before = _kept(pools, today)
    monkeypatch.setattr(pool_dates, "pool_forecasts", None)

    assert _kept(pools, today) == before
