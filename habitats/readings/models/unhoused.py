"""Animals in our care that live in no enclosure, and what is due for them on a day.

Like a reading: worked out when it is asked for, forgotten at every change that touches it.
"""

from collections.abc import Collection, Iterator
from datetime import date
from typing import Any, NamedTuple, Self

from django.db import models, transaction
from django.dispatch import Signal

from habitats.adoptions.models.adoptions import AdoptedAnimal, AdoptionState
from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.animals.models.companions import companions_of, with_facts
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group, Membership
from habitats.common.written import given, written
from habitats.readings.models.due_rows import DueRow, row_of
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import dues_of

# Sent when they were found, inside the transaction that keeps them: a receiver adds what else is
# due for them. Gives ``animals``.
unhoused_kept = Signal()


class _Together(NamedTuple):
    """Animals of one group, or one in none."""

    group: int | None
    animals: list[Animal]


class UnhousedQuerySet(models.QuerySet["Unhoused"]):
    def fresh(self, today: date) -> Self:
        """All of them, as they stand today; those that are missing are made."""
        self.make_missing(today)
        return self.filter(day=today)

    def make_missing(self, today: date) -> None:
        while not _SEARCHED(day=today):
            self._make_missing(today)

    def _make_missing(self, today: date) -> None:
        """Nothing is kept if anything changed since: then all are looked through once more."""
        before = UnhousedSearch.objects.times_forgotten()
        missing = without_enclosure(today).exclude(unhoused__day=today)
        keys = list(missing.order_by("pk").values_list("pk", flat=True))
        rows, dues = _read_off(list(_together(keys, today)), today) if keys else ([], [])
        with transaction.atomic():
            # Locked: who changes something now waits, and then forgets what is written here.
            locked = UnhousedSearch.objects.select_for_update(no_key=True).order_by("pk")
            if locked.times_forgotten() == before:
                _write(rows, dues)
                UnhousedSearch.objects.update(day=today)

    def forget(self) -> None:
        self.update(day=date.min)
        DueRow.objects.filter(animal__isnull=False).delete()
        UnhousedSearch.objects.forget()

    def forget_animal(self, animal: int) -> None:
        """The animal and those of its groups."""
        self.forget_those(Unhoused.with_animal(animal))

    def forget_animals(self, animals: "models.QuerySet[Any, Any]") -> None:
        """``animals``: a query of their keys."""
        self.forget_those(models.Q(animal__in=animals))

    def forget_those(self, which: models.Q) -> None:
        UnhousedSearch.objects.forget()
        keys = list(self.filter(which).values_list("animal", flat=True))
        if keys:
            self.filter(animal__in=keys).update(day=date.min)
            DueRow.objects.filter(animal__in=keys).delete()


class Unhoused(models.Model):
    """An animal without an enclosure on one day, ``since`` when it came, came back from an
    adopter, or left its last one.

    ``group`` None: it is in no group either.
    """

    animal = models.OneToOneField(Animal, on_delete=models.CASCADE, related_name="unhoused")
    day = models.DateField(db_index=True)
    group = models.ForeignKey(Group, on_delete=models.CASCADE, null=True, related_name="unhoused")
    since = models.DateField()

    objects = UnhousedQuerySet.as_manager()

    def __str__(self) -> str:
        return f"animal {self.animal_id} in no enclosure on {self.day}"

    @staticmethod
    def with_animal(animal: int) -> models.Q:
        """It, and those of its groups."""
        groups = Membership.objects.filter(animal=animal).values("group")
        return models.Q(animal=animal) | models.Q(group__in=groups)

    @staticmethod
    def with_group(group: int) -> models.Q:
        """Those of the group, now and before."""
        members = Membership.objects.filter(group=group).values("animal")
        return models.Q(group=group) | models.Q(animal__in=members)


class UnhousedSearchQuerySet(models.QuerySet["UnhousedSearch"]):
    def times_forgotten(self) -> int:
        found = self.values_list("times_forgotten", flat=True).first()
        if found is None:
            self._make()
            return self.times_forgotten()
        return found

    def forget(self) -> None:
        """The row is there from then on: who is just searching sees by it that something moved."""
        while not self.update(day=date.min, times_forgotten=models.F("times_forgotten") + 1):
            self._make()

    def _make(self) -> None:
        none = UnhousedSearch(pk=1, day=date.min)
        UnhousedSearch.objects.bulk_create([none], ignore_conflicts=True)


class UnhousedSearch(models.Model):
    """One row: the day on which all animals were looked through, if nothing moved since.

    ``times_forgotten`` tells who is looking through them whether something moved meanwhile.
    """

    day = models.DateField()
    times_forgotten = models.PositiveIntegerField(default=0)

    objects = UnhousedSearchQuerySet.as_manager()

    def __str__(self) -> str:
        return f"searched on {self.day}"


_SEARCHED = written(lambda: UnhousedSearch.objects.filter(day=given("day", date)).values_list("pk"))


def without_enclosure(today: date) -> AnimalQuerySet:
    found = Animal.objects.all().here().without_enclosure(today)
    # Those on trial live at their adopter's.
    return found.exclude(pk__in=AdoptedAnimal.objects.on_trial().values("animal"))


def _together(keys: Collection[int], today: date) -> Iterator[_Together]:
    """With all of their groups, since what is due may be due for several."""
    group_of = dict(
        Membership.objects.on(today).filter(animal__in=keys).values_list("animal", "group")
    )
    for group, animals in animals_by_group(set(group_of.values()), today).items():
        yield _Together(group, animals)
    alone = [key for key in keys if key not in group_of]
    for animal in with_facts(Animal.objects.filter(pk__in=alone).order_by("pk"), today):
        yield _Together(None, [animal])


def _read_off(found: list[_Together], today: date) -> tuple[list[Unhoused], list[DueRow]]:
    rescue = Rescue.ours()
    keys = [one.pk for some in found for one in some.animals]
    left, returned = _left_on(keys, today), _returned_on(keys)
    rows = [
        Unhoused(
            animal=animal,
            day=today,
            group_id=some.group,
            since=max(left.get(animal.pk) or animal.came_on, returned.get(animal.pk, date.min)),
        )
        for some in found
        for animal in some.animals
    ]
    return rows, [row for some in found for row in _due_rows(some.animals, today, rescue)]


def _write(rows: list[Unhoused], dues: list[DueRow]) -> None:
    Unhoused.objects.bulk_create(
        sorted(rows, key=lambda one: one.animal_id),
        update_conflicts=True,
        unique_fields=["animal"],
        update_fields=["day", "group", "since"],
    )
    DueRow.objects.rewrite(dues, animal=[one.animal_id for one in rows])
    unhoused_kept.send(Unhoused, animals=[one.animal for one in rows])


def _due_rows(animals: list[Animal], today: date, rescue: Rescue) -> Iterator[DueRow]:
    by_code = {one.code: one for one in animals}
    names = {one.code: one.name for one in animals}
    for due in dues_of(companions_of(animals), today, rescue):
        yield row_of(due, names, animal=by_code[due.animals[0]])


def _returned_on(keys: Collection[int]) -> dict[int, date]:
    """By animal, the last day on which it came back from an adopter's home."""
    went = (AdoptionState.TRIAL, AdoptionState.ADOPTED)
    ended = AdoptedAnimal.objects.filter(
        animal__in=keys, ended_on__isnull=False, adoption__events__state__in=went
    )
    rows = ended.order_by("ended_on").values_list("animal", "ended_on")
    return {animal: day for animal, day in rows if day}


def _left_on(keys: Collection[int], today: date) -> dict[int, date]:
    """By animal, the last day on which it came out of an enclosure: it left, or its group did."""
    spans = Membership.objects.filter(animal__in=keys, group__stays__isnull=False).order_by()
    found: dict[int, date] = {}
    for animal, joined, parted, moved_in, moved_out in spans.values_list(
        "animal", "since", "until", "group__stays__since", "group__stays__until"
    ):
        begun, out = max(joined, moved_in), min(parted or date.max, moved_out or date.max)
        if begun < out <= today:
            found[animal] = max(out, found.get(animal, out))
    return found
