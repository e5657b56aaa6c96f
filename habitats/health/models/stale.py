"""What makes stale when something is due for an animal's health."""

from typing import Any

from django.db import models
from django.db.models.signals import post_delete, post_save

from habitats.health.models.dues import keep_rows_of_residents, keep_rows_of_unhoused
from habitats.health.models.entries import HealthEntry
from habitats.readings.models.readings import Reading, readings_kept
from habitats.readings.models.unhoused import Unhoused, unhoused_kept


def forget_who_it_is_about(sender: type[models.Model], instance: HealthEntry, **_: Any) -> None:
    """For ``post_save`` and ``post_delete``."""
    Reading.objects.forget(stays__group__memberships__animal=instance.animal_id)
    Unhoused.objects.forget_animal(instance.animal_id)


def listen() -> None:
    for signal in (post_save, post_delete):
        signal.connect(
            forget_who_it_is_about, sender=HealthEntry, dispatch_uid="forget_health_dues"
        )
    readings_kept.connect(keep_rows_of_residents, dispatch_uid="keep_health_rows")
    unhoused_kept.connect(keep_rows_of_unhoused, dispatch_uid="keep_health_rows_of_unhoused")
