"""Follow-ups of an adoption: days on which somebody asks how the animals get on."""

import uuid
from collections.abc import Collection
from datetime import date
from typing import Self

from django.db import models

from habitats.adoptions.models.adoptions import AdoptedAnimal, Adoption
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import get_or_make
from habitats.people.models.people import Person

LONGEST_ANSWER = 1000


class AdoptionFollowUpQuerySet(models.QuerySet["AdoptionFollowUp"]):
    def open(self) -> Self:
        """Those that nobody did yet, while an animal of it still is with the adopter."""
        there = AdoptedAnimal.objects.open().filter(adoption=models.OuterRef("adoption"))
        return self.filter(models.Exists(there), done__isnull=True)

    def soonest_first(self) -> Self:
        return self.order_by("on", "pk")


class AdoptionFollowUp(AppendOnly):
    """To ask on this day."""

    adoption = models.ForeignKey(Adoption, on_delete=models.PROTECT, related_name="follow_ups")
    on = models.DateField()

    objects = AdoptionFollowUpQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["adoption", "on"], name="one_adoption_follow_up_a_day")
        ]

    def __str__(self) -> str:
        return f"follow-up of adoption {self.adoption_id} on {self.on}"

    def answer(self, on: date, note: str, *, by: Person, key: uuid.UUID) -> "AdoptionFollowUpDone":
        """Somebody asked; said again, the first word stays."""
        done, _is_new = AdoptionFollowUpDone.objects.get_or_create(
            follow_up=self,
            defaults={"on": on, "note": note, "made_by": by, "idempotency_key": key},
        )
        return done


class AdoptionFollowUpDone(AppendOnly):
    """Somebody asked, and this is what they heard."""

    follow_up = models.OneToOneField(
        AdoptionFollowUp, on_delete=models.PROTECT, related_name="done"
    )
    on = models.DateField()
    note = models.CharField(max_length=LONGEST_ANSWER, blank=True)

    def __str__(self) -> str:
        return f"follow-up {self.follow_up_id} done on {self.on}"


def plan_follow_ups(
    adoption: Adoption, days: Collection[date], *, by: Person, key: uuid.UUID
) -> None:
    """One for each of these days, once; none more where one is planned on that day already."""
    planned = set(adoption.follow_ups.filter(on__in=days).values_list("on", flat=True))
    for day in sorted(set(days) - planned):
        name = uuid.uuid5(key, f"follow-up {day}")
        get_or_make(adoption.follow_ups, name, on=day, made_by=by)
