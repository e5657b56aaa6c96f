"""Deaths at the adopter's: the adoption stays as it was, and the animal's history tells of it."""

import uuid
from collections.abc import Collection
from datetime import date
from typing import Self

from django.db import models, transaction
from django.utils.translation import gettext as _

from habitats.adoptions.models.adoptions import AdoptedAnimal, Adoption, AdoptionState
from habitats.adoptions.models.follow_ups import plan_follow_ups
from habitats.adoptions.models.steps import AdoptionStep
from habitats.animals.models.animals import Animal
from habitats.animals.models.joining import discharge
from habitats.common.days import in_full
from habitats.common.happened import AppendOnly, Elsewhere
from habitats.common.idempotency import get_or_make, made_before
from habitats.people.models.people import Person

LONGEST_DEATH_NOTE = 300
AWAY = (AdoptionState.TRIAL, AdoptionState.ADOPTED)


class AdopterDeathQuerySet(models.QuerySet["AdopterDeath"]):
    def standing(self) -> Self:
        """Those that nobody marked as wrong."""
        return self.filter(strike__isnull=True)

    def of(self, animals: Collection[int]) -> dict[int, "AdopterDeath"]:
        """By animal, for those that died with an adopter: one query."""
        found = self.standing().filter(adopted__animal__in=animals)
        return {one.adopted.animal_id: one for one in found.select_related("adopted__adoption")}


class AdopterDeath(AppendOnly):
    """An animal of an adoption died on this day, with its adopter."""

    adopted = models.ForeignKey(AdoptedAnimal, on_delete=models.PROTECT, related_name="deaths")
    on = models.DateField()
    note = models.CharField(max_length=LONGEST_DEATH_NOTE, blank=True)

    objects = AdopterDeathQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.adopted} died on {self.on}"


class AdopterDeathStrike(AppendOnly):
    """It was told wrongly: the animal lives, or died on another day. Both rows stay."""

    death = models.OneToOneField(AdopterDeath, on_delete=models.PROTECT, related_name="strike")

    def __str__(self) -> str:
        return f"death {self.death_id} marked as wrong"


def record_death(
    adoption: Adoption, animal: Animal, step: AdoptionStep, ask_on: date | None = None
) -> AdopterDeath:
    """No follow-up is due for it any more; ``ask_on``: one for those that are left.

    Raises ``Elsewhere`` for an animal that is not with the adopter, and for an impossible day.
    """
    with transaction.atomic():
        Adoption.objects.select_for_update(no_key=True).get(pk=adoption.pk)
        known = made_before(AdopterDeath.objects, step.key)
        if known:
            return known
        adopted = adoption.animals.open().filter(animal=animal).select_related("animal").first()
        if adopted is None or adoption.state_now() not in AWAY:
            raise Elsewhere(
                _("%(animal)s is not with this adopter. Open the page of the adoption again.")
                % {"animal": animal}
            )
        _refuse_before(went_on(adoption), step.on, animal)
        if adopted.animal.is_here:
            discharge(adopted.animal, step.on, Animal.Leaving.DIED, by=step.by)
        adoption.animals.filter(pk=adopted.pk).update(ended_on=step.on)
        if ask_on and adoption.animals.open().exists():
            plan_follow_ups(adoption, [ask_on], by=step.by, key=step.key)
        return AdopterDeath.objects.create(
            adopted=adopted,
            on=step.on,
            note=step.note,
            made_by=step.by,
            idempotency_key=step.key,
        )


def strike_death(death: AdopterDeath, *, by: Person) -> None:
    """It is with its adopter again, as before. One that died on trial was ours: it is readmitted
    on its own page, so this raises ``Elsewhere``."""
    with transaction.atomic():
        adopted = AdoptedAnimal.objects.select_for_update(no_key=True).get(pk=death.adopted_id)
        if adopted.animal.left_why != Animal.Leaving.ADOPTED:
            raise Elsewhere(
                _("%(animal)s died on trial. Readmit it on its own page instead.")
                % {"animal": adopted.animal}
            )
        key = uuid.uuid5(death.idempotency_key, "strike")
        get_or_make(AdopterDeathStrike.objects, key, death=death, made_by=by)
        if not adopted.deaths.filter(strike__isnull=True).exists():
            AdoptedAnimal.objects.filter(pk=adopted.pk).update(ended_on=None)


def went_on(adoption: Adoption) -> date | None:
    """The day on which the animals went to the adopter."""
    gone: date | None = adoption.events.filter(state__in=AWAY).aggregate(on=models.Min("on"))["on"]
    return gone


def _refuse_before(went: date | None, on: date, animal: Animal) -> None:
    if went and on < went:
        raise Elsewhere(
            _("%(animal)s went there on %(day)s. Enter that day or a later one.")
            % {"animal": animal, "day": in_full(went)}
        )
