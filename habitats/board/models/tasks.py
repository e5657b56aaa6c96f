"""Tasks: what is to be done in enclosures, by which day, as Today and the calendar tell it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.people.models.people import Person
from habitats.readings.models.readings import CAN_WAIT, LOOK, Reading, ReadingQuerySet
from habitats.stored_wording import from_json
from habitats.welfare.ahead import DueKind

AHEAD_DAYS = 28
MOST_NAMES = 6
_Asked = tuple[Reading, list[str]]  # and the names of those whom it concerns


class DayTask(NamedTuple):
    """Something to do by a day. Not ``is_of_one``: in several of the home's enclosures.

    ``key`` tells it apart from others of its day, in every language. ``can_wait``: it is asked for
    regularly, and comes after what is due at the same day.
    """

    day: date
    until: date | None
    sentence: str
    reading: Reading
    is_of_one: bool
    key: str
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
                continue  # too far ahead; or told already, as what needs action now
            if due["kind"] in CAN_WAIT:
                names = _names(reading, due["animals"])
                together[due["kind"], reading.home_id, max(on, day)].append((reading, names))
            else:
                until = date.fromisoformat(due["until"]) if due["until"] else None
                sentence = from_json(due["sentence"])
                key = str.__str__(sentence)  # in English, whoever reads
                yield DayTask(on, until, sentence, reading, True, key)
    for (kind, _home, on), found in together.items():
        yield _look(on, found) if kind == LOOK else _weighing(on, found)


def _weighing(on: date, found: list[_Asked]) -> DayTask:
    names = sorted(name for _reading, names in found for name in names)
    values = {"animals": ", ".join(names[:MOST_NAMES]), "more": len(names) - MOST_NAMES}
    sentence = _("Weigh %(animals)s.") % values
    if len(names) > MOST_NAMES:
        sentence = _("Weigh %(animals)s and %(more)d more.") % values
    is_of_one = len({one.pk for one, _names in found}) == 1
    key = f"weigh {' '.join(names)}"
    return DayTask(on, None, sentence, found[0][0], is_of_one, key, can_wait=True)


def _look(on: date, found: list[_Asked]) -> DayTask:
    sentence = ngettext("Safety check.", "Safety check of %(number)d enclosures.", len(found)) % {
        "number": len(found)
    }
    is_of_one = len(found) == 1
    reading = found[0][0]
    return DayTask(on, None, sentence, reading, is_of_one, LOOK, can_wait=True, is_look=is_of_one)


def _names(reading: Reading, refs: list[str]) -> list[str]:
    known = {code: name for code, name, _share in reading.residents}
    return [known.get(ref, ref) for ref in refs]
