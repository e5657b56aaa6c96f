"""The forecast of a pool, made once and kept at hand.

A forecast hangs on nothing but its inputs, so it is kept under all that they say: whatever happens
to a linen makes other inputs, and nothing kept is ever stale.
"""

import hashlib
from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

from django.core.cache import cache

from habitats.linens.models.pools import Pool
from habitats.linens.models.rotations import DAYS_AHEAD, forecast_inputs_by_pool
from habitats.rotation.forecast import forecast
from habitats.rotation.more_washing import MoreWashing, best_wash_day
from habitats.rotation.par import par_levels
from habitats.rotation.values import Forecast, ForecastInputs, LinenShortage

# A page may not wait for the best of all plans; the answer says how far it is from it at most.
WORK_AT_ONCE = 400_000
KEPT_SECONDS = 24 * 60 * 60


class PoolForecast(NamedTuple):
    """What comes of a pool: the inputs, the forecast made of them, and par by size."""

    inputs: ForecastInputs
    ahead: Forecast
    par: Mapping[str, int]

    @property
    def first_dry(self) -> date | None:
        """The first day on which some enclosure finds no clean linen; None if none does."""
        return min((day for day in self.ahead.runs_dry.values() if day), default=None)

    @property
    def last_day(self) -> date:
        return date.fromordinal(self.inputs.start.toordinal() + self.inputs.days - 1)

    def shortages_by_day(self) -> dict[date, list[LinenShortage]]:
        """Days with a shortage, in order."""
        found: dict[date, list[LinenShortage]] = {}
        for one in self.ahead.shortages:
            found.setdefault(one.date, []).append(one)
        return found


def cached_forecast(inputs: ForecastInputs) -> Forecast:
    """The forecast of these inputs, as every page tells it, so that all tell the same plan."""
    key = f"forecast/{_mark(inputs)}"
    found: Forecast | None = cache.get(key)
    if found is None:
        found = forecast(inputs, WORK_AT_ONCE)
        cache.set(key, found, KEPT_SECONDS)
    return found


def pool_forecasts(
    pools: Sequence[Pool], today: date, days: int = DAYS_AHEAD
) -> dict[int, PoolForecast]:
    """The forecasts of these pools by their keys, with as many queries as for one."""
    return {
        key: PoolForecast(inputs, cached_forecast(inputs), par_levels(inputs))
        for key, inputs in forecast_inputs_by_pool(pools, today, days).items()
    }


def pool_forecast(pool: Pool, today: date, days: int = DAYS_AHEAD) -> PoolForecast:
    return pool_forecasts([pool], today, days)[pool.pk]


def more_washing(forecast: PoolForecast) -> MoreWashing | None:
    """What one more wash day a week would change; None if every day is one."""
    key = f"more-washing/{_mark(forecast.inputs)}"
    found: tuple[MoreWashing | None] | None = cache.get(key)
    if found is None:
        shortages = len(forecast.ahead.shortages)
        found = (best_wash_day(forecast.inputs, shortages, WORK_AT_ONCE // 10),)
        cache.set(key, found, KEPT_SECONDS)
    return found[0]


def _mark(inputs: ForecastInputs) -> str:
    """All that the inputs say, in short."""
    return hashlib.sha256(repr(inputs).encode()).hexdigest()
