"""What the readings of a day say of the homes that the enclosures stand in."""

from datetime import date

from django.db import models

from habitats.homes.models.homes import HomeQuerySet
from habitats.readings.models.readings import free_floor


def as_read(homes: HomeQuerySet, day: date, wanted: models.Q, *, every: bool) -> HomeQuerySet:
    """Adds what the day's readings say of each home: ``urgency``, ``due``, ``free`` floor.

    Only ``wanted`` readings are looked at, given as a condition on ``readings__…``. Homes
    without one are left out, unless ``every`` open home is asked for.
    """
    today = models.Q(readings__day=day) & wanted
    read = homes.annotate(
        read=models.FilteredRelation("readings", condition=today),
    ).annotate(
        urgency=models.Max("read__urgency"),
        due=models.Min("read__next_due"),
        free=models.Sum(free_floor("read__")),
        shown=models.Count("read"),
    )
    some = models.Q(shown__gt=0)
    return read.filter(some | models.Q(closed_on__isnull=True) if every else some)
