"""The fewest shortages that a lane can have from a wash day on, whatever the others do.

A lane may have all loads to itself here, so the sum over lanes is a bound of every plan of loads.

Where all enclosures of a lane are changed equally often, and nothing is set aside, washing as much
as there is gives the fewest (``Lane.alike``), so the bound is what that gives. Else, for any last
day: an enclosure that is first due on day d and changed k times, every i days at the earliest,
waits on at least (last day + 1) - d - k × i days; changes together are at most the clean linens
there can be; and the changes that save most are the best ones.
"""

from collections import Counter
from collections.abc import Iterator

from habitats.rotation.calendar import Calendar
from habitats.rotation.lane import Lane, Standing, passed, washed


def is_plain(lane: Lane, standing: Standing) -> bool:
    """Whether the more is washed the better it is for the lane."""
    set_aside = (
        any(standing.soiled[1:])
        or standing.clean[1]
        or any(kind > 0 for kind in standing.lies)
        or any(one.kind for one in standing.washing)
    )
    return lane.alike and not set_aside


def washing_all(lane: Lane, standing: Standing, calendar: Calendar, number: int, room: int) -> int:
    """Shortages after a wash day if from it on all is washed that the loads hold, for the lane."""
    shortages = 0
    for wash in range(number, len(calendar.wash_days)):
        counts = (min(room, standing.soiled[0]), *([0] * (len(standing.soiled) - 1)))
        standing = washed(standing, counts, calendar.back(wash))
        standing, more = passed(lane, standing, calendar.until_wash(wash + 1))
        shortages += more
    return shortages


def at_least(lane: Lane, standing: Standing, calendar: Calendar, number: int, room: int) -> int:
    """A number of shortages after a wash day that no plan from it on can go below."""
    today = calendar.wash_days[number]
    changes = _most_changes(lane, standing, calendar, number, room)
    ends = {calendar.back(wash) for wash in range(number, len(calendar.wash_days))}
    ends = {end for end in ends if end < calendar.days} | {calendar.days}
    return max(_saved_by_the_best(lane, standing, today, end, changes[end - 1]) for end in ends)


def _most_changes(
    lane: Lane, standing: Standing, calendar: Calendar, number: int, room: int
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


def _wanted(lane: Lane, standing: Standing, today: int, days: int) -> Iterator[int]:
    """The days after today on which changes are wanted, if none ever waits."""
    for due, interval in zip(standing.due, lane.intervals, strict=True):
        yield from range(max(due, today + 1), days, interval)


def _saved_by_the_best(lane: Lane, standing: Standing, today: int, end: int, changes: int) -> int:
    """Shortages before the end, if the changes there are go where they save most."""
    waits = 0
    saved: Counter[int] = Counter()
    for due, interval in zip(standing.due, lane.intervals, strict=True):
        open_days = end - max(due, today + 1)
        if open_days > 0:
            waits += open_days
            saved[interval] += open_days // interval
            saved[open_days % interval] += 1
    for days in sorted(saved, reverse=True):
        number = min(changes, saved[days])
        waits -= days * number
        changes -= number
    return waits
