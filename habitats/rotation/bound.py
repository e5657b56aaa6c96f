"""The fewest shortages that a lane can have from a wash day on, whatever the others do.

A lane may have all loads to itself here, so the sum over lanes is a bound of every plan of loads.

Where all enclosures of a lane are changed equally often, and nothing is set aside, washing as much
as there is gives the fewest (``SizeLane.alike``), so the bound is what that gives. Else, for any
last day: an enclosure that is first due on day d and changed k times, every i days at the earliest,
waits on at least (last day + 1) - d - k × i days; changes together are at most the clean linens
there can be; and the changes that save most are the best ones.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from habitats.rotation.calendar import Calendar
from habitats.rotation.lane import LaneState, SizeLane


def is_plain(lane: SizeLane, standing: LaneState) -> bool:
    """Whether the more is washed the better it is for the lane."""
    set_aside = (
        any(standing.soiled[1:])
        or standing.clean[1]
        or any(kind > 0 for kind in standing.lies)
        or any(one.kind for one in standing.washing)
    )
    return lane.alike and not set_aside


MOST_ENDS = 6  # last days that are looked at beside the end


class Prospect(NamedTuple):
    """What a lane can come to before one last day, seen from a wash day.

    ``waits`` are the shortages if nothing were changed any more; ``savings`` how many of them a
    change saves at most, and how many changes save so many, most first. ``changes`` there are at
    most, the first ``clean`` of them with linens that need no wash; for the others there are so
    many ``washes``, wash days that are back in time.
    """

    waits: int
    savings: tuple[tuple[int, int], ...]
    changes: int
    clean: int
    washes: int


def prospects(
    lane: SizeLane, standing: LaneState, calendar: Calendar, number: int, room: int
) -> Iterator[Prospect]:
    """What a lane can come to before each day on which a wash is back, and before the end."""
    today = calendar.wash_days[number]
    changes = _most_changes(lane, standing, calendar, number, room)
    backs = [calendar.back(wash) for wash in range(number, len(calendar.wash_days))]
    for end in _ends(backs, calendar.days):
        waits, savings = _savings(lane, standing, today, end)
        coming = sum(one.number for one in standing.washing if one.day < end)
        clean = sum(standing.clean) + coming
        yield Prospect(waits, savings, changes[end - 1], clean, sum(back < end for back in backs))


def _ends(backs: Sequence[int], days: int) -> list[int]:
    """Some of the days on which a wash is back, and the end, which says most."""
    before = [back for back in backs if back < days]
    return [*before[:: -(-len(before) // MOST_ENDS) or 1], days]


def at_least(lane: Iterable[Prospect]) -> int:
    """A number of shortages that still come in a lane that has all loads to itself."""
    return max(_with_the_best_changes(one) for one in lane)


def _most_changes(
    lane: SizeLane, standing: LaneState, calendar: Calendar, number: int, room: int
) -> dict[int, int]:
    """By day: how many changes there can have been since the wash day, if all goes well."""
    today = calendar.wash_days[number]
    wanted = Counter(_wanted(lane, standing, today, calendar.days))
    back = Counter({today: sum(standing.clean)})
    for one in standing.washing:
        back[max(one.day, today + 1)] += one.number
    wash_days = set(calendar.wash_days[number:])
    had, demand, soiled, changed = 0, 0, sum(standing.soiled), 0
    most = {}
    for day in range(today, calendar.days):
        had += back[day]
        demand += wanted[day]
        soiled += min(had, demand) - changed
        changed = most[day] = min(had, demand)
        if day in wash_days:
            back[day + calendar.back_after] += min(room, soiled)
            soiled -= min(room, soiled)
    return most


def _wanted(lane: SizeLane, standing: LaneState, today: int, days: int) -> Iterator[int]:
    """The days after today on which changes are wanted, if none ever waits."""
    for due, interval in zip(standing.due, lane.intervals, strict=True):
        yield from range(max(due, today + 1), days, interval)


def _savings(
    lane: SizeLane, standing: LaneState, today: int, end: int
) -> tuple[int, tuple[tuple[int, int], ...]]:
    waits = 0
    savings: Counter[int] = Counter()
    for due, interval in zip(standing.due, lane.intervals, strict=True):
        open_days = end - max(due, today + 1)
        if open_days > 0:
            waits += open_days
            savings[interval] += open_days // interval
            savings[open_days % interval] += 1
    return waits, tuple((days, savings[days]) for days in sorted(savings, reverse=True) if days)


def _with_the_best_changes(one: Prospect) -> int:
    waits, changes = one.waits, one.changes
    for days, number in one.savings:
        waits -= days * min(changes, number)
        changes -= min(changes, number)
    return waits
