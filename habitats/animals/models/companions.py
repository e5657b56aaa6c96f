"""Animals as the pure rules see them, and who lives with whom."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any, NamedTuple

from django.db import models

from habitats.animals.models.animals import Animal, Weighing
from habitats.animals.models.births import Birth
from habitats.animals.models.bonding import bonding_until, deciding_attempts, refusals_of
from habitats.animals.models.living_together import (
    days_of_contact,
    lived_with,
    load_males,
    shared_spans,
    together_with_males,
)
from habitats.animals.models.quarantines import Quarantine
from habitats.common.written import given, given_keys, written
from habitats.welfare import companion as pure
from habitats.welfare.contacts import contacts_of
from habitats.welfare.values import Sex, Species

# Weighings that far back from the last one: enough to see a fall, and how it grows. One whose last
# weighing is older than that is known by this alone.
RECENT_DAYS = 42


def with_facts(animals: "models.QuerySet[Animal]", day: date) -> "models.QuerySet[Animal]":
    """The animals with all that ``companion_of`` asks for, as it stood on that day."""
    weighings = _recent_weighings(day, day - timedelta(days=2 * RECENT_DAYS))
    births, quarantines = Birth.objects.filter(on__lte=day).order_by("-on"), _quarantines()
    return (
        _with_last_weight(animals, day)
        .annotate(as_of=models.Value(day, output_field=models.DateField()))
        .prefetch_related(
            together_with_males(day),
            *bonding_until(day),
            models.Prefetch("weighings", weighings, to_attr="recent_weighings"),
            models.Prefetch("births", births, to_attr="last_births"),
            models.Prefetch("quarantines", quarantines, to_attr="last_quarantines"),
        )
    )


class _Weighed(NamedTuple):
    """A weighing, as much as is asked of it: a hundred animals have some hundreds."""

    animal_id: int
    on: date
    grams: int


def load_with_facts(animals: Collection[int], day: date) -> list[Animal]:
    """The same of these keys, by name, by questions that are written once: many pages ask them."""
    found = _ANIMALS(animals=animals, day=day)
    if not found:
        return []
    asked = {"animals": [one.pk for one in found], "day": day}
    shared = _SHARED(**asked, **days_of_contact(day))
    load_males(shared, day)
    weighings = _RECENT_WEIGHINGS(**asked, since=day - timedelta(days=2 * RECENT_DAYS))
    _hang(found, "shared", "animal_id", shared)
    _hang(found, "refused_as_one", "one_id", _REFUSED_AS_ONE(**asked))
    _hang(found, "refused_as_other", "other_id", _REFUSED_AS_OTHER(**asked))
    _hang(found, "recent_weighings", "animal_id", [_Weighed(*one) for one in weighings])
    _hang(found, "last_births", "mother_id", _LAST_BIRTHS(**asked))
    _hang(found, "last_quarantines", "animal_id", _LAST_QUARANTINES(animals=asked["animals"]))
    for one in found:
        vars(one)["as_of"] = day
    return found


def _hang(animals: Sequence[Animal], name: str, key: str, rows: Iterable[Any]) -> None:
    """Each animal gets its rows under the name that ``with_facts`` has them by; ``key`` tells
    whose a row is."""
    of_each: dict[int, list[Any]] = defaultdict(list)
    for row in rows:
        of_each[getattr(row, key)].append(row)
    for one in animals:
        setattr(one, name, of_each[one.pk])


def _with_last_weight(animals: "models.QuerySet[Animal]", day: date) -> "models.QuerySet[Animal]":
    last = Weighing.objects.standing().filter(animal=models.OuterRef("pk"), on__lte=day)
    return animals.select_related("mother").annotate(
        grams=models.Subquery(last.latest_first().values("grams")[:1]),
        weighed_on=models.Subquery(last.latest_first().values("on")[:1]),
    )


def _recent_weighings(day: date, since: date) -> "models.QuerySet[Weighing]":
    # Tens of thousands of them, when all is worked out: only what is asked is read.
    standing = Weighing.objects.standing().filter(on__lte=day, on__gt=since)
    return standing.in_time().only("animal", "on", "grams")


def _quarantines() -> "models.QuerySet[Quarantine]":
    return Quarantine.objects.order_by("-pk")


_KEYS, _DAY = given_keys("animals"), given("day", date)
_ANIMALS = written(
    lambda: _with_last_weight(Animal.objects.filter(pk__in=_KEYS), _DAY).order_by("name", "pk")
)
_SHARED = written(
    lambda: shared_spans(_DAY, given("last_contact", date), given("long_castrated", date)).filter(
        animal__in=_KEYS
    )
)
_REFUSED_AS_ONE = written(
    lambda: deciding_attempts(_DAY).filter(one__in=_KEYS).select_related("other")
)
_REFUSED_AS_OTHER = written(
    lambda: deciding_attempts(_DAY).filter(other__in=_KEYS).select_related("one")
)
_RECENT_WEIGHINGS = written(
    lambda: (
        _recent_weighings(_DAY, given("since", date))
        .filter(animal__in=_KEYS)
        .values_list("animal", "on", "grams")
    )
)
_LAST_BIRTHS = written(lambda: Birth.objects.filter(on__lte=_DAY, mother__in=_KEYS).order_by("-on"))
_LAST_QUARANTINES = written(lambda: _quarantines().filter(animal__in=_KEYS))


def companion_of(animal: Animal) -> pure.Companion:
    """One animal, loaded ``with_facts``. Its ``ref`` is its code."""
    facts: dict[str, list[models.Model]] = vars(animal)
    births, quarantines = facts["last_births"], facts["last_quarantines"]
    companion = pure.Companion(
        ref=animal.code,
        name=animal.name,
        species=Species(animal.species),
        sex=Sex(animal.sex) if animal.sex else None,
        born=_born(animal),
        weighings=_weighings(animal),
        adult_weight_g=animal.adult_grams,
        castration=pure.Castration(animal.castrated_on, animal.castrated_before_maturity)
        if animal.is_castrated
        else None,
        contact=pure.MaleContact(animal.with_male_since, animal.with_male_last)
        if animal.may_be_pregnant
        else None,
        gave_birth_on=_day_of(births),
        mother=animal.mother.code if animal.mother else None,
        quarantine=_quarantine(quarantines),
        rhd_exposed_on=animal.rhd_exposed_on,
        rhd_negative_on=animal.rhd_negative_on,
        refusals=refusals_of(animal),
    )
    return replace(companion, lived_with=contacts_of(companion, lived_with(animal)))


def companions_of(animals: Iterable[Animal]) -> tuple[pure.Companion, ...]:
    return tuple(companion_of(animal) for animal in animals)


def _born(animal: Animal) -> pure.BirthSpan | None:
    if animal.born is None:
        return None
    return pure.BirthSpan.about(animal.born, animal.born_margin_days)


def _weighings(animal: Animal) -> tuple[pure.DatedWeight, ...]:
    """The same from day to day until the last one is too old."""
    facts, recent = vars(animal), timedelta(days=RECENT_DAYS)
    last = facts["weighed_on"]
    if last is None:
        return ()
    if last <= facts["as_of"] - recent:
        return (pure.DatedWeight(last, facts["grams"]),)
    return tuple(
        pure.DatedWeight(one.on, one.grams)
        for one in facts["recent_weighings"]
        if one.on > last - recent
    )


def _day_of(births: list[models.Model]) -> date | None:
    return births[0].on if births and isinstance(births[0], Birth) else None


def _quarantine(rows: list[models.Model]) -> pure.QuarantineSpan | None:
    last = rows[0] if rows else None
    if not isinstance(last, Quarantine):
        return None
    return pure.QuarantineSpan(
        last.since, last.until, pure.Isolation(last.why), last.note, last.together
    )
