"""The enclosure at the adopter's, as it was told: measured, drawn, or a kit of ours."""

from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy

from habitats.adoptions.models.adoptions import Adoption
from habitats.common.happened import AppendOnly
from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import structure_of_standing
from habitats.structure.structure import Structure
from habitats.welfare.rooms import room_of
from habitats.welfare.values import Room

SIDE_MM = (100, 20_000)
HEIGHT_MM = (100, 5_000)


class HomeCheckQuerySet(models.QuerySet["HomeCheck"]):
    def newest_first(self) -> Self:
        return self.select_related("revision__design").order_by("-pk")


class HomeCheck(AppendOnly):
    """The last of an adoption counts. What is measured is the floor inside, wall to wall.

    ``upper_mm2``: all upper floors together. Of a design or kit the revision tells all measures.
    """

    class Kind(models.TextChoices):
        MEASURED = "measured", gettext_lazy("Measures of their own enclosure")
        DRAWN = "drawn", gettext_lazy("One of our designs")
        KIT = "kit", gettext_lazy("A kit of ours")

    adoption = models.ForeignKey(Adoption, on_delete=models.PROTECT, related_name="home_checks")
    kind = models.CharField(max_length=8, choices=Kind)
    on = models.DateField()
    width_mm = models.PositiveIntegerField(null=True)
    depth_mm = models.PositiveIntegerField(null=True)
    height_mm = models.PositiveIntegerField(null=True)
    upper_mm2 = models.PositiveBigIntegerField(null=True)
    revision = models.ForeignKey(
        DesignRevision, on_delete=models.PROTECT, null=True, related_name="home_checks"
    )
    note = models.CharField(max_length=200, blank=True)

    objects = HomeCheckQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["adoption", "-id"], name="home_check_latest")]
        constraints = [
            models.CheckConstraint(
                name="a_home_is_measured_or_drawn",
                condition=models.Q(
                    kind="measured", revision__isnull=True, width_mm__gt=0, depth_mm__gt=0
                )
                | models.Q(
                    kind__in=["drawn", "kit"],
                    revision__isnull=False,
                    width_mm__isnull=True,
                    depth_mm__isnull=True,
                    height_mm__isnull=True,
                    upper_mm2__isnull=True,
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} home of adoption {self.adoption_id}"

    def structure(self) -> Structure | None:
        """What is drawn; None for measures, and for what cannot be raised."""
        return structure_of_standing(self.revision.shape()) if self.revision else None

    def room(self) -> Room | None:
        """As the space rules see it; None for a design that cannot be raised."""
        if self.revision:
            structure = self.structure()
            return room_of(structure) if structure else None
        width, depth = self.width_mm or 0, self.depth_mm or 0
        return Room(
            ground_mm2=width * depth,
            upper_mm2=self.upper_mm2 or 0,
            height_mm=self.height_mm,
            tall_share=None if self.height_mm is None else 1.0,
            longest_side_mm=max(width, depth),
            shortest_side_mm=min(width, depth),
            raised_mm2=self.upper_mm2,
        )
