"""Animals as the pure rules see them, and who lives with whom."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

from django.db import models

from habitats.animals.models.animals import Animal, Birth, Weighing
from habitats.animals.models.bonding import bonding_until, refusals_of
from habitats.animals.models.living_together import lived_with, together_with_males
from habitats.animals.models.quarantines import Quarantine
from habitats.welfare import companion as pure
from habitats.welfare.contacts import contacts_of
from habitats.welfare.values import Sex, Species

# Weighings that far back from the last one: enough to see a fall, and how it grows. One whose last
# weighing is older than that is known by this alone.
RECENT_DAYS = 42


def with_facts(animals: "models.QuerySet[Animal]", day: date) -> "models.QuerySet[Animal]":
    """The animals with all that ``companion_of`` asks for, as it stood on that day."""
    # Tens of thousands of them, when all is reckoned anew: only what is asked is read.
    weighings = (
        Weighing.objects.standing()
        .filter(on__lte=day, on__gt=day - timedelta(days=2 * RECENT_DAYS))
        .in_time()
        .only("animal", "on", "grams")
    )
    last = Weighing.objects.standing().filter(animal=models.OuterRef("pk"), on__lte=day)
    return (
        animals.select_related("mother")
        .annotate(
            grams=models.Subquery(last.latest_first().values("grams")[:1]),
            weighed_on=models.Subquery(last.latest_first().values("on")[:1]),
            as_of=models.Value(day, output_field=models.DateField()),
        )
        .prefetch_related(
            together_with_males(day),
            *bonding_until(day),
            models.Prefetch("weighings", weighings, to_attr="recent_weighings"),
            models.Prefetch(
                "births", Birth.objects.filter(on__lte=day).order_by("-on"), to_attr="last_births"
            ),
            models.Prefetch(
                "quarantines", Quarantine.objects.order_by("-pk"), to_attr="last_quarantines"
            ),
        )
    )


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
