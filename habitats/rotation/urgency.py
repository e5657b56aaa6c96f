"""Which soiled linens to wash first, where not all fit: rules of thumb that a search starts from.

Each rule puts the linens of a day into an order; loads are then filled in that order, and what does
not fit any more is passed over for what does.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from habitats.rotation.lane import ORDINARY, Key, LaneState, SizeLane
from habitats.rotation.packing import Load
from habitats.rotation.values import Laundry

AHEAD_DAYS = 21  # further ahead a day says little of which linen to wash today


class Some(NamedTuple):
    """So many linens of a key that will be missed from the same day on."""

    missed: int
    key: Key
    number: int


def missed_from(lane: SizeLane, at: int, standing: LaneState, today: int) -> list[Some]:
    """A lane's soiled linens by the day on which each will be missed, if no change ever waits."""
    wanted = _wanted(lane, standing, today)
    left = {kind: number for kind, number in enumerate(standing.soiled) if number}
    some = []
    for day, number in _missing(standing, today, wanted):
        for kind in list(left):
            taken = min(number, left[kind])
            if taken:
                some.append(Some(day, Key(at, kind), taken))
                left[kind] -= taken
                number -= taken
    never = today + AHEAD_DAYS
    return some + [Some(never, Key(at, kind), number) for kind, number in left.items() if number]


def _wanted(lane: SizeLane, standing: LaneState, today: int) -> Counter[int]:
    wanted: Counter[int] = Counter()
    for due, interval in zip(standing.due, lane.intervals, strict=True):
        for day in range(max(due, today + 1), today + AHEAD_DAYS, interval):
            wanted[day] += 1
    return wanted


def _missing(
    standing: LaneState, today: int, wanted: Mapping[int, int]
) -> Iterator[tuple[int, int]]:
    """Days, and how many linens more are missed from each on."""
    back = Counter({today + 1: sum(standing.clean)})
    for one in standing.washing:
        back[max(one.day, today + 1)] += one.number
    left = 0
    for day in range(today + 1, today + AHEAD_DAYS):
        left += back[day] - wanted.get(day, 0)
        if left < 0:
            yield day, -left
            left = 0


def by_day(lanes: Sequence[SizeLane], some: Iterable[Some]) -> list[Some]:
    """What is missed first goes first; of one day, what keeps an enclosure dry longest a gram."""
    return sorted(some, key=lambda one: (one.missed, -_worth(lanes, one), one.key))


def by_worth(lanes: Sequence[SizeLane], some: Iterable[Some]) -> list[Some]:
    """What is missed at all goes first by days kept dry a gram; then the rest."""
    some = list(some)
    never = max((one.missed for one in some), default=0)
    return sorted(
        some, key=lambda one: (one.missed == never, -_worth(lanes, one), one.missed, one.key)
    )


def lane_first(first: int, some: Sequence[Some]) -> list[Some]:
    """The same order, with one lane before all others."""
    return [one for one in some if one.key.lane == first] + [
        one for one in some if one.key.lane != first
    ]


def _worth(lanes: Sequence[SizeLane], one: Some) -> float:
    lane = lanes[one.key.lane]
    return sum(lane.intervals) / max(1, len(lane.intervals)) / lane.grams


def filled(order: Iterable[Some], grams: Mapping[Key, int], laundry: Laundry) -> tuple[Load, ...]:
    """Loads filled in this order; those set aside have loads of their own."""
    made: list[Counter[Key]] = []
    free: list[int] = []
    apart: list[bool] = []
    for _, key, number in order:
        mass, set_aside = grams[key], key.kind != ORDINARY
        for at, room in enumerate(free):
            if apart[at] is set_aside and (fit := min(number, room // mass)):
                made[at][key] += fit
                free[at] -= fit * mass
                number -= fit
        while number and len(made) < laundry.loads_per_day and mass <= laundry.load_g:
            fit = min(number, laundry.load_g // mass)
            made.append(Counter({key: fit}))
            free.append(laundry.load_g - fit * mass)
            apart.append(set_aside)
            number -= fit
    return tuple(made)
