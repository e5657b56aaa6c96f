"""Errands: what is to be done in enclosures, by which day, as Today and the calendar tell it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import NamedTuple

from habitats.models.people import Person
from habitats.models.readings import Reading, ReadingQuerySet
from habitats.welfare.ahead import DueKind

AHEAD_DAYS = 28
MOST_NAMES = 6


class Errand(NamedTuple):
    """Something to do by a day. Not ``is_of_one``: in several of the home's enclosures."""

    day: date
    until: date | None
    sentence: str
    reading: Reading
    is_of_one: bool
    is_weighing: bool


def readings_seen_by(person: Person, day: date) -> ReadingQuerySet:
    """A coordinator sees the enclosures of all homes, others those of their own."""
    readings = Reading.objects.fresh(day)
    return readings if person.is_coordinator else readings.filter(home__people=person)


def errands_of(readings: ReadingQuerySet, day: date) -> list[Errand]:
    """What is due in four weeks, soonest first; weighing is one errand a home and day.

    The enclosures and homes of the readings are not loaded yet.
    """
    due = readings.filter(next_due__lte=day + timedelta(days=AHEAD_DAYS))
    found = _errands(due.only("home", "enclosure", "dues", "residents"), day)
    return sorted(found, key=lambda one: (one.day, one.is_weighing, one.reading.pk))


def _errands(readings: Iterable[Reading], day: date) -> Iterator[Errand]:
    last = day + timedelta(days=AHEAD_DAYS)
    weighing: dict[tuple[int | None, date], list[tuple[Reading, list[str]]]] = defaultdict(list)
    for reading in readings:
        for due in reading.dues:
            on = date.fromisoformat(due["day"])
            if on > last or (due["kind"] == DueKind.OUTGROWN and on <= day):
                continue  # too far ahead; or told already, as not as it must be
            if due["kind"] == DueKind.WEIGH:
                names = _names(reading, due["animals"])
                weighing[reading.home_id, max(on, day)].append((reading, names))
            else:
                until = date.fromisoformat(due["until"]) if due["until"] else None
                yield Errand(on, until, due["sentence"], reading, True, is_weighing=False)
    for (_home, on), found in weighing.items():
        yield _weighing(on, found)


def _weighing(on: date, found: list[tuple[Reading, list[str]]]) -> Errand:
    names = sorted(name for _reading, names in found for name in names)
    more = f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
    sentence = f"Weigh {', '.join(names[:MOST_NAMES])}{more}."
    is_of_one = len({one.pk for one, _names in found}) == 1
    return Errand(on, None, sentence, found[0][0], is_of_one, is_weighing=True)


def _names(reading: Reading, refs: list[str]) -> list[str]:
    known = {code: name for code, name, _share in reading.residents}
    return [known.get(ref, ref) for ref in refs]
