"""The parts an enclosure is made of, and when each was looked at."""

import uuid
from datetime import date
from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from habitats.common.happened import AppendOnly
from habitats.common.idempotency import get_or_make
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.models.people import Person
from habitats.structure.structure import Structure


class ComponentKind(models.TextChoices):
    """Kinds of parts whose condition is looked after."""

    PANEL = "panel", _("Panels")
    CONNECTOR = "connector", _("Connectors")
    RAMP = "ramp", _("Ramps")
    TRAY = "tray", _("Trays")
    TIE = "tie", _("Ties")


class ComponentQuerySet(models.QuerySet["Component"]):
    def with_condition(self) -> Self:
        """Adds ``condition`` and ``checked_on`` of the last check; None if never checked."""
        last = ComponentCheck.objects.filter(component=models.OuterRef("pk")).order_by("-pk")
        return self.annotate(
            condition=models.Subquery(last.values("condition")[:1]),
            checked_on=models.Subquery(last.values("on")[:1]),
        )


class Component(models.Model):
    """All parts of one kind in an enclosure. ``fitted_on`` None: not known."""

    enclosure = models.ForeignKey(Enclosure, on_delete=models.CASCADE, related_name="components")
    kind = models.CharField(max_length=10, choices=ComponentKind)
    count = models.PositiveIntegerField()
    fitted_on = models.DateField(null=True, blank=True)

    objects = ComponentQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["enclosure", "kind"], name="one_component_a_kind"),
            models.CheckConstraint(
                name="component_kind_is_known",
                condition=models.Q(kind__in=[one.value for one in ComponentKind]),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.count} {self.kind}"

    def found_to_be(
        self,
        condition: str,
        *,
        on: date,
        by: Person,
        note: str = "",
        idempotency_key: uuid.UUID | None = None,
    ) -> "ComponentCheck":
        """Append what somebody saw. The same key again changes nothing."""
        return get_or_make(
            ComponentCheck.objects,
            idempotency_key,
            component=self,
            condition=condition,
            on=on,
            note=note,
            made_by=by,
        )


class ComponentCheck(AppendOnly):
    """Somebody looked at parts and said what condition they are in."""

    class Condition(models.TextChoices):
        GOOD = "good", _("Good")
        WORN = "worn", _("Worn")
        DAMAGED = "damaged", _("Damaged")
        UNSAFE = "unsafe", _("Unsafe")

    component = models.ForeignKey(Component, on_delete=models.PROTECT, related_name="checks")
    condition = models.CharField(max_length=10, choices=Condition)
    on = models.DateField()
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        indexes = [models.Index(fields=["component", "-id"], name="component_check_latest")]
        constraints = [
            models.CheckConstraint(
                name="condition_is_known",
                condition=models.Q(condition__in=["good", "worn", "damaged", "unsafe"]),
            ),
        ]

    def __str__(self) -> str:
        return f"component {self.component_id} {self.condition}"


def components_of(structure: Structure) -> dict[str, int]:
    """How many of each kind of part that is looked after; kinds it does not have are left out."""
    ramp_panels = sum(ramp.panels for ramp in structure.ramps)
    counts = {
        ComponentKind.PANEL: len(structure.panels) + ramp_panels,
        ComponentKind.CONNECTOR: len(structure.joints),
        ComponentKind.RAMP: len(structure.ramps),
        ComponentKind.TRAY: len(structure.trays),
        ComponentKind.TIE: len({joint for joint, _place in structure.unheld}),
    }
    return {kind.value: count for kind, count in counts.items() if count}
