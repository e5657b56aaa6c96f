"""Tasks: what is to be done in enclosures, by which day, as Today and the calendar tell it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import NamedTuple

from habitats.people.models.people import Person
from habitats.readings.models.readings import CAN_WAIT, LOOK, Reading, ReadingQuerySet
from habitats.welfare.ahead import DueKind

AHEAD_DAYS = 28
MOST_NAMES = 6
_Asked = tuple[Reading, list[str]]  # and the names of those whom it concerns


class DayTask(NamedTuple):
    """Something to do by a day. Not ``is_of_one``: in several of the home's enclosures.

    ``can_wait``: it is asked for regularly, and comes after what is due at the same day.
    """

    day: date
    until: date | None
    sentence: str
    reading: Reading
    is_of_one: bool
    can_wait: bool = False
    is_look: bool = False


def readings_seen_by(person: Person, day: date) -> ReadingQuerySet:
    """A coordinator sees the enclosures of all homes, others those of their own."""
    readings = Reading.objects.fresh(day)
    return readings if person.is_coordinator else readings.filter(home__people=person)


def tasks_of(readings: ReadingQuerySet, day: date) -> list[DayTask]:
    """What is due in four weeks, soonest first; what can wait is one task a home and day.

    The enclosures and homes of the readings are not loaded yet.
    """
    due = readings.filter(next_due__lte=day + timedelta(days=AHEAD_DAYS))
    found = _tasks(due.only("home", "enclosure", "dues", "residents"), day)
    return sorted(found, key=lambda one: (one.day, one.can_wait, one.reading.pk))


def _tasks(readings: Iterable[Reading], day: date) -> Iterator[DayTask]:
    last = day + timedelta(days=AHEAD_DAYS)
    together: dict[tuple[str, int | None, date], list[_Asked]] = defaultdict(list)
    for reading in readings:
        for due in reading.dues:
            on = date.fromisoformat(due["day"])
            if on > last or (due["kind"] == DueKind.OUTGROWN and on <= day):
                continue  # too far ahead; or told already, as not as it must be
            if due["kind"] in CAN_WAIT:
                names = _names(reading, due["animals"])
                together[due["kind"], reading.home_id, max(on, day)].append((reading, names))
            else:
                until = date.fromisoformat(due["until"]) if due["until"] else None
                yield DayTask(on, until, due["sentence"], reading, True)
    for (kind, _home, on), found in together.items():
        yield _look(on, found) if kind == LOOK else _weighing(on, found)


def _weighing(on: date, found: list[_Asked]) -> DayTask:
    names = sorted(name for _reading, names in found for name in names)
    more = f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
    sentence = f"Weigh {', '.join(names[:MOST_NAMES])}{more}."
    is_of_one = len({one.pk for one, _names in found}) == 1
    return DayTask(on, None, sentence, found[0][0], is_of_one, can_wait=True)


def _look(on: date, found: list[_Asked]) -> DayTask:
    sentence = "Look it over." if len(found) == 1 else f"Look over {len(found)} enclosures."
    is_of_one = len(found) == 1
    return DayTask(on, None, sentence, found[0][0], is_of_one, can_wait=True, is_look=is_of_one)


def _names(reading: Reading, refs: list[str]) -> list[str]:
    known = {code: name for code, name, _share in reading.residents}
    return [known.get(ref, ref) for ref in refs]
