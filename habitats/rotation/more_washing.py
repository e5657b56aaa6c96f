"""What one more wash day a week would change."""

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from habitats.rotation.par import par_levels
from habitats.rotation.planning import WORK, plan_loads
from habitats.rotation.values import ForecastInputs


class MoreWashing(NamedTuple):
    """With this day of the week too: par by size, and how many shortages there still are."""

    weekday: int
    par: Mapping[str, int]
    shortages: int


def with_wash_day(
    inputs: ForecastInputs, shortages: int, work: int = WORK // 10
) -> tuple[MoreWashing, ...]:
    """What each day of the week that is no wash day yet would change, the best first.

    ``shortages`` are those without it: never more come with it, since nothing need be washed then.
    Best is what leaves the fewest shortages, then what needs the fewest linens.
    """
    unused = sorted(frozenset(range(7)) - inputs.laundry.wash_weekdays)
    found = [_with(inputs, weekday, shortages, work) for weekday in unused]
    return tuple(sorted(found, key=lambda one: (one.shortages, sum(one.par.values()))))


def best_wash_day(
    inputs: ForecastInputs, shortages: int, work: int = WORK // 10
) -> MoreWashing | None:
    """The one more day of the week with which the fewest linens are enough; None if none is left.

    Loads are planned with that day alone, so that it is quickly told.
    """
    unused = frozenset(range(7)) - inputs.laundry.wash_weekdays
    if not unused:
        return None
    best = min(sorted(unused), key=lambda one: sum(par_levels(_more(inputs, one)).values()))
    return _with(inputs, best, shortages, work)


def _with(inputs: ForecastInputs, weekday: int, shortages: int, work: int) -> MoreWashing:
    more = _more(inputs, weekday)
    left = min(shortages, plan_loads(more, work).shortages) if shortages else 0
    return MoreWashing(weekday, par_levels(more), left)


def _more(inputs: ForecastInputs, weekday: int) -> ForecastInputs:
    weekdays = inputs.laundry.wash_weekdays | {weekday}
    return replace(inputs, laundry=replace(inputs.laundry, wash_weekdays=weekdays))
