"""A forecast as JSON: days as YYYY-MM-DD, masses in kilograms.

Beside what comes and what to wash there is what to do about it: how many to buy or sew, and what
one more wash day a week would change. `bound` is a number of shortages that no plan of loads can
go below; `proved` says that this plan is as good.
"""

from collections.abc import Mapping
from typing import Any

from habitats.rotation.forecast import forecast
from habitats.rotation.more_washing import MoreWashing, with_wash_day
from habitats.rotation.par import par_levels, to_buy
from habitats.rotation.planning import thorough
from habitats.rotation.values import Forecast, ForecastInputs, LinenShortage, PlannedLoad, WashStage

Document = Mapping[str, Any]

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def rotation_document(inputs: ForecastInputs) -> Document:
    """The forecast from these inputs, par of their sizes, and what would change it."""
    found = forecast(inputs, thorough(inputs))
    more = with_wash_day(inputs, len(found.shortages))
    return {
        "shortages": [_shortage(one) for one in found.shortages],
        "loads": [_load(one) for one in found.loads],
        "par": dict(par_levels(inputs)),
        "runs_dry": {size: day and day.isoformat() for size, day in found.runs_dry.items()},
        "to_buy": dict(to_buy(inputs)),
        "overloaded": [day.isoformat() for day in found.overloaded],
        "one_more_wash_day": [_more_washing(one) for one in more],
        "bound": found.bound,
        "proved": found.proved,
        "days": _days(found),
        "warnings": _warnings(inputs),
    }


def _shortage(one: LinenShortage) -> Document:
    return {"date": one.date.isoformat(), "size": one.size, "enclosure": one.enclosure}


def _load(one: PlannedLoad) -> Document:
    return {
        "date": one.date.isoformat(),
        "linens": list(one.linens),
        "kg": one.grams / 1000,
        "programme": one.programme,
    }


def _more_washing(one: MoreWashing) -> Document:
    return {
        "weekday": one.weekday,
        "name": WEEKDAYS[one.weekday],
        "par": dict(one.par),
        "shortages": one.shortages,
    }


def _days(found: Forecast) -> Document:
    """By size and state: how many linens at the end of each day, the first day first."""
    return {
        size: {str(at): [getattr(counts, at.name.lower()) for counts in days] for at in WashStage}
        for size, days in found.days.items()
    }


def _warnings(inputs: ForecastInputs) -> list[str]:
    """What is reckoned as it is said, and should be looked at."""
    return [
        f"{piece.id} is set aside and counted as clean. "
        "If it was not washed since, say soiled as its state."
        for piece in inputs.pieces
        if piece.set_aside and piece.at is WashStage.CLEAN
    ]
