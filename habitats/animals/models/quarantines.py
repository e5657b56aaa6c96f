"""Animals that are kept apart, after they came or for an illness."""

from datetime import date, timedelta
from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy

from habitats.common.happened import AppendOnly
from habitats.structure.design import Species
from habitats.welfare.limits import WelfareLimits


class QuarantineQuerySet(models.QuerySet["Quarantine"]):
    def in_force(self) -> Self:
        """What was last decided for each animal; an earlier row is history."""
        later = Quarantine.objects.filter(
            animal=models.OuterRef("animal"), pk__gt=models.OuterRef("pk")
        )
        return self.filter(~models.Exists(later))

    def on(self, day: date, limits: WelfareLimits) -> Self:
        """In force, and the animal is still apart on this day: at intake as long as is advised."""
        lasts = models.Q(until__gt=day)
        lasts |= models.Q(until__isnull=True, why=Quarantine.Why.ILLNESS)
        for species in Species:
            days = timedelta(days=limits.quarantine_advised_days(species))
            of_species = models.Q(animal__species=species.value, since__gt=day - days)
            lasts |= of_species & models.Q(why=Quarantine.Why.INTAKE)
        return self.in_force().filter(lasts, since__lte=day)


class Quarantine(AppendOnly):
    """Apart from the others from ``since`` on; ``until`` is the first day it is over.

    ``until`` None: left open. The last row of an animal counts: to shorten or lengthen a
    quarantine, append another. Animals with the same ``together`` (not empty) are apart from
    others, but not from each other. ``note`` is the recorded reason.
    """

    class Why(models.TextChoices):
        INTAKE = "intake", gettext_lazy("New intake")
        ILLNESS = "illness", gettext_lazy("Illness, or suspected illness")

    animal = models.ForeignKey(
        "habitats.Animal", on_delete=models.PROTECT, related_name="quarantines"
    )
    since = models.DateField()
    until = models.DateField(null=True, blank=True)
    why = models.CharField(max_length=10, choices=Why, default=Why.INTAKE)
    note = models.CharField(max_length=200, blank=True)
    together = models.CharField(max_length=40, blank=True)

    objects = QuarantineQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["animal", "-id"], name="quarantine_latest")]
        constraints = [
            models.CheckConstraint(
                name="quarantine_ends_after_it_begins",
                condition=models.Q(until__isnull=True) | models.Q(until__gte=models.F("since")),
            ),
            models.CheckConstraint(
                name="quarantine_has_a_reason", condition=models.Q(why__in=["intake", "illness"])
            ),
        ]

    def __str__(self) -> str:
        return f"quarantine of animal {self.animal_id} since {self.since}"
