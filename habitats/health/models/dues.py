"""What is due for an animal's health by a day: re-checks, vaccinations, checks of teeth and nails.

A row each beside what is due in its enclosure, or for the animal where it lives in none; doses,
which have hours, are asked for by themselves (``seen.py``).
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Membership
from habitats.common.happened import SpanQuerySet
from habitats.common.written import given, given_keys, written
from habitats.health.models.entries import EntryKind, HealthEntry, last_checks
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import (
    NAILS,
    RECHECK,
    REPORTED,
    TEETH,
    VACCINATION,
    DueRow,
    DueRowQuerySet,
)
from habitats.readings.models.readings import Reading
from habitats.readings.models.unhoused import Unhoused
from habitats.rescue.models.rescue import Rescue
from habitats.stored_wording import to_json
from habitats.welfare.checks import next_check
from habitats.welfare.words import day_words
from habitats.wording import Message, message

CHECK_SOON = timedelta(days=7)
CHECKS = {TEETH: EntryKind.TEETH, NAILS: EntryKind.NAILS}
# The key of the entry that named the day, in what only its kind has.
ENTRY = "entry"


class _Resident(NamedTuple):
    key: int
    code: str
    name: str
    came_on: date
    enclosure: int | None


def keep_rows_of_residents(readings: Sequence[Reading], today: date, **_: object) -> None:
    """For ``readings_kept``: with each reading, what is due for the health of who lives there."""
    homes = {one.enclosure_id: one.home_id for one in readings}
    residents = [_Resident(*row) for row in _LIVING(enclosures=homes, day=today)]
    DueRow.objects.bulk_create(
        _row(due, enclosure_id=due.of.enclosure, home_id=homes[due.of.enclosure or 0])
        for due in _dues(residents)
    )


def keep_rows_of_unhoused(animals: Sequence[Animal], **_: object) -> None:
    """For ``unhoused_kept``: the same of animals that live in no enclosure."""
    residents = [_Resident(one.pk, one.code, one.name, one.came_on, None) for one in animals]
    DueRow.objects.bulk_create(_row(due, animal_id=due.of.key) for due in _dues(residents))


class _Due(NamedTuple):
    of: _Resident
    kind: str
    day: date
    sentence: Message
    more: dict[str, Any]


def _row(due: _Due, **owner: object) -> DueRow:
    return DueRow(
        kind=due.kind,
        day=due.day,
        animals=[[due.of.code, due.of.name]],
        sentence_json=to_json(due.sentence),
        more=due.more,
        **owner,
    )


def _dues(residents: Iterable[_Resident]) -> Iterator[_Due]:
    """Three queries, however many animals."""
    by_key = {one.key: one for one in residents}
    if not by_key:
        return
    for entry in _TO_FOLLOW(animals=by_key):
        yield _to_follow(by_key[entry.animal_id], entry)
    last, rescue = last_checks(list(by_key)), Rescue.ours()
    for kind, days in ((TEETH, rescue.teeth_check_days), (NAILS, rescue.nail_check_days)):
        for key, one in by_key.items():
            checked = last.get((key, CHECKS[kind].value))
            day = next_check(checked, one.came_on, rescue.checks_since, days)
            if day:
                yield _Due(one, kind, day, _CHECK[kind].filled(name=one.name), {})


_LIVING = written(
    lambda: (
        Membership.objects.on(given("day", date))
        .filter(
            SpanQuerySet.covers(given("day", date), "group__stays__"),
            group__stays__enclosure__in=given_keys("enclosures"),
            animal__left_on__isnull=True,
        )
        .values_list(
            "animal", "animal__code", "animal__name", "animal__came_on", "group__stays__enclosure"
        )
    )
)
_TO_FOLLOW = written(
    lambda: (
        HealthEntry.objects.to_follow()
        .filter(animal__in=given_keys("animals"))
        .order_by("pk")
        .only("animal", "kind", "again_on")
    )
)
_CHECK = {
    TEETH: message("Check the teeth of %(name)s."),
    NAILS: message("Check the nails of %(name)s."),
}


_REPORTED = {
    EntryKind.ILL: message("Reported: %(name)s is ill or hurt"),
    EntryKind.MISSING: message("Reported: %(name)s has escaped or is missing"),
    EntryKind.DIED: message("Reported: %(name)s died"),
    EntryKind.BORN: message("Reported: %(name)s has young"),
}


def _to_follow(one: _Resident, entry: HealthEntry) -> _Due:
    assert entry.again_on is not None, "only those that name a day"
    if entry.is_report:
        words = _REPORTED[EntryKind(entry.kind)].filled(name=one.name)
        more = {ENTRY: entry.pk, "kind": entry.kind}
        return _Due(one, REPORTED, entry.again_on, words, more)
    if entry.is_vaccination:
        kind = VACCINATION
        words = message("A vaccination of %(name)s is due on %(day)s, as your vet said.")
    else:
        kind, words = RECHECK, message("%(name)s: re-check, as your vet said")
    sentence = words.filled(name=one.name, day=day_words(entry.again_on))
    more = {ENTRY: entry.pk, "kind": entry.kind}
    return _Due(one, kind, entry.again_on, sentence, more)


def checks_due(person: Person, today: date) -> DueRowQuerySet:
    """Of teeth and nails, in a week, of the animals that the person sees."""
    Reading.objects.fresh(today)
    if person.is_coordinator:
        Unhoused.objects.fresh(today)
    rows = DueRow.objects.visible_to(person).filter(kind__in=CHECKS, day__lte=today + CHECK_SOON)
    return rows.by_day()
