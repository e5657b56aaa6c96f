"""What an inspector asks of animals: who was apart, what stood against it, who allowed it all the
same, and who lived in no enclosure."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from django.db import models

from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of, load_with_facts
from habitats.animals.models.groups import Membership, Override
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import Stay
from habitats.common.written import given, written
from habitats.enclosures.models.standing import Standing
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of, objections_to
from habitats.welfare.companion import Companion, Isolation, QuarantineSpan
from habitats.welfare.objection import Objection, Severity
from habitats.welfare.quarantine import in_quarantine

AT_ONCE = 300


class DayObjection(NamedTuple):
    """``override``: who allowed it in spite of it, up to that day."""

    objection: Objection
    override: Override | None

    @property
    def is_block(self) -> bool:
        return self.objection.severity is Severity.BLOCK


class DayGroup(NamedTuple):
    """Animals that lived together; ``apart`` are those in quarantine, by the animal's code."""

    animals: tuple[Animal, ...]
    companions: tuple[Companion, ...]
    apart: dict[str, QuarantineSpan]
    objections: tuple[DayObjection, ...]


NOBODY = DayGroup((), (), {}, ())


def groups_on(animals: dict[int, list[Animal]], day: date, rescue: Rescue) -> dict[int, DayGroup]:
    """By group, loaded ``with_facts``: three queries, however many there are."""
    keys = [one.pk for some in animals.values() for one in some]
    spans = _quarantines(keys, day)
    overrides: dict[int, dict[str, Override]] = {}
    for one in Override.objects.holding(list(animals), day):
        overrides.setdefault(one.group_id, {})[one.key] = one
    return {
        group: _group(some, spans, overrides.get(group, {}), day, rescue)
        for group, some in animals.items()
    }


def unhoused_on(day: date, rescue: Rescue) -> list[DayGroup]:
    """Those in care that lived in no enclosure of a home, group by group, then one by one."""
    group_of: dict[int, int | None] = dict(_UNHOUSED(day=day))
    animals: dict[int, list[Animal]] = {}
    for one in load_with_facts(group_of, day):
        # Who is in no group is told by itself: its key, negative, is no group's.
        animals.setdefault(group_of[one.pk] or -one.pk, []).append(one)
    return list(groups_on(animals, day, rescue).values())


def _unhoused() -> "models.QuerySet[Animal, tuple[int, int | None]]":
    """Their keys, each with that of its group."""
    standing = Standing.objects.on(_DAY).values("enclosure")
    housed = Stay.objects.on(_DAY).filter(enclosure__in=standing).values("group")
    belonging = Membership.objects.on(_DAY)
    here = models.Q(left_on__isnull=True) | models.Q(left_on__gt=_DAY)
    group = belonging.filter(animal=models.OuterRef("pk")).values("group")[:1]
    return (
        Animal.objects.filter(here, came_on__lte=_DAY)
        .exclude(pk__in=belonging.filter(group__in=housed).values("animal"))
        .values_list("pk", models.Subquery(group))
    )


_DAY = given("day", date)
_UNHOUSED = written(_unhoused)


def _group(
    animals: Sequence[Animal],
    spans: dict[int, QuarantineSpan],
    overrides: dict[str, Override],
    day: date,
    rescue: Rescue,
) -> DayGroup:
    companions = tuple(
        replace(companion, quarantine=spans.get(animal.pk))
        for animal, companion in zip(animals, companions_of(animals), strict=True)
    )
    limits = limits_of(rescue)
    apart = {
        one.ref: one.quarantine
        for one in companions
        if one.quarantine and in_quarantine(one, day, limits)
    }
    against = objections_to(companions, day, rescue)
    told = tuple(DayObjection(one, overrides.get(one.key)) for one in against)
    return DayGroup(tuple(animals), companions, apart, told)


def _quarantines(animals: Collection[int], day: date) -> dict[int, QuarantineSpan]:
    """What was last decided for each up to that day."""
    found: dict[int, QuarantineSpan] = {}
    keys = list(animals)
    for start in range(0, len(keys), AT_ONCE):
        rows: Iterable[Quarantine] = Quarantine.objects.filter(
            animal__in=keys[start : start + AT_ONCE], since__lte=day
        ).order_by("pk")
        for one in rows:
            found[one.animal_id] = QuarantineSpan(
                one.since, one.until, Isolation(one.why), one.note, one.together
            )
    return found
