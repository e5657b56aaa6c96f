"""Litters: who bore how many, and when."""

from django.core.validators import MaxValueValidator
from django.db import models

from habitats.animals.models.animals import Animal
from habitats.common.happened import AppendOnly


class Birth(AppendOnly):
    """A litter: ``young`` born alive. Those that are kept as animals name their mother."""

    mother = models.ForeignKey(Animal, on_delete=models.PROTECT, related_name="births")
    on = models.DateField()
    young = models.PositiveSmallIntegerField(validators=[MaxValueValidator(20)])
    stillborn = models.PositiveSmallIntegerField(default=0, validators=[MaxValueValidator(20)])
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(name="litter_is_sane", condition=models.Q(young__lte=20)),
            models.CheckConstraint(
                name="stillborn_are_sane", condition=models.Q(stillborn__lte=20)
            ),
        ]

    def __str__(self) -> str:
        return f"{self.young} born on {self.on}"
