"""The forecast of a pool is made once for the same inputs, and anew when something happened."""

import pytest

from habitats.linens.models import forecasts as module
from habitats.linens.models.forecasts import more_washing, pool_forecast
from habitats.linens.models.spots import ChangePlan
from habitats.rotation.forecast import forecast

pytestmark = pytest.mark.django_db


@pytest.fixture
def counted(monkeypatch):
    """How often a forecast was made."""
    from django.core.cache import cache

    cache.clear()
    asked = []
    monkeypatch.setattr(module, "forecast", lambda *inputs: asked.append(1) or forecast(*inputs))
    return asked


@pytest.fixture
def pool(make_home, make_pool, make_enclosure, make_group, make_animal, day):
    pool = make_pool(home=make_home())
    enclosure = make_enclosure(home=pool.home, plan=["##"])
    make_group(make_animal("Pip"), make_animal("Dot"), enclosure=enclosure, since=day(-9))
    ChangePlan.objects.create(enclosure=enclosure, interval_days=2)
    return pool


def test_it_is_forecast_once_while_nothing_happens(pool, today, counted):
    assert pool_forecast(pool, today) == pool_forecast(pool, today)
    assert len(counted) == 1


def test_it_is_forecast_anew_once_something_happened(pool, today, make_linen, counted):
    before = pool_forecast(pool, today)
    make_linen(pool, pool.home.standings.get().enclosure.spots.first().size)

    assert pool_forecast(pool, today).ahead.shortages != before.ahead.shortages
    assert len(counted) == 2


def test_without_a_linen_it_is_dry_today(pool, today):
    forecast = pool_forecast(pool, today)

    assert forecast.first_dry == today
    assert next(iter(forecast.shortages_by_day())) == today


def test_one_more_wash_day_never_asks_for_more_linens(pool, today, make_linen):
    for _ in range(2):
        make_linen(pool, pool.home.standings.get().enclosure.spots.first().size)
    forecast = pool_forecast(pool, today)
    more = more_washing(forecast)

    assert more.weekday not in pool.wash_weekdays
    assert sum(more.par.values()) <= sum(forecast.par.values())
    assert more.shortages <= len(forecast.ahead.shortages)


def test_where_every_day_is_a_wash_day_there_is_none_more(pool, today):
    pool.weekdays = 127
    assert more_washing(pool_forecast(pool, today)) is None
