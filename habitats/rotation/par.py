"""Par: how many linens of a size there must be, those in use included, so that none lacks.

Reckoned from one linen in each enclosure and the rest clean, with the wash days as they are, and as
if the size had all loads to itself. Without a shortage every change comes on its day, so it is
known beforehand how many linens will have been wanted and soiled by any day, and how many were
washed and are back if each wash takes all it can. What was wanted beyond those back must have been
clean at the start: the most of that on any day, and one for each enclosure, is par, exactly.
"""

from collections import Counter
from collections.abc import Mapping

from habitats.rotation.calendar import Calendar, calendar_of
from habitats.rotation.lane import SizeLane, lanes_of
from habitats.rotation.values import ForecastInputs, LinenNeed


def par_levels(inputs: ForecastInputs) -> Mapping[str, int]:
    """By size: the least number with which there is no shortage. 0 for one no enclosure wants."""
    calendar = calendar_of(inputs.start, inputs.days, inputs.laundry)
    return {
        lane.size: len(lane.intervals)
        + _most_missing(_wanted(inputs, lane), calendar, lane.room_in(inputs.laundry))
        for lane in lanes_of(inputs)
    }


def to_buy(inputs: ForecastInputs) -> Mapping[str, int]:
    """By size: how many linens there must be more than there are."""
    have = Counter(piece.size for piece in inputs.pieces)
    return {size: max(0, par - have[size]) for size, par in par_levels(inputs).items()}


def _wanted(inputs: ForecastInputs, lane: SizeLane) -> Counter[int]:
    """Changes wanted by day, if none ever waits."""
    wanted: Counter[int] = Counter()
    for need in inputs.needs:
        if need.size == lane.size:
            wanted.update(_days_of(need, inputs))
    return wanted


def _days_of(need: LinenNeed, inputs: ForecastInputs) -> range:
    due = (need.last_changed - inputs.start).days + need.interval_days
    return range(max(due, 0), inputs.days, need.interval_days)


def _most_missing(wanted: Counter[int], calendar: Calendar, room: int) -> int:
    """The most linens wanted by any day beyond those that are back by then."""
    soiled, balance, most = 0, 0, 0
    back: Counter[int] = Counter()
    wash_days = frozenset(calendar.wash_days)
    for day in range(calendar.days):
        balance += wanted[day] - back[day]
        most = max(most, balance)
        soiled += wanted[day]
        if day in wash_days:
            gone = min(room, soiled)
            soiled -= gone
            back[day + calendar.back_after] += gone
    return most
