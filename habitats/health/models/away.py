"""Days on which an animal was not ours: doses of those days were given by others, or by nobody."""

from collections import defaultdict
from collections.abc import Collection
from datetime import date

from django.db import models

from habitats.animals.models.acts import Act
from habitats.animals.models.groups import Membership
from habitats.common.written import given_keys, written

_DEPARTURES = written(
    lambda: (
        Act.objects.standing()
        .filter(kind=Act.Kind.DEPARTURE, animal__in=given_keys("animals"))
        .order_by("pk")
        .values_list("animal", "on")
    )
)


def days_away(animals: Collection[int], today: date) -> dict[int, tuple[tuple[date, date], ...]]:
    """By animal, from each departure until it lived in a group again; two queries at most.

    No day of return is written down but that of its group. Without one since, it is back today.
    """
    departures = _DEPARTURES(animals=animals)
    if not departures:
        return {}
    spans: dict[int, list[tuple[date, date]]] = defaultdict(list)
    lived = Membership.objects.filter(animal__in={animal for animal, _on in departures})
    # Begun and ended on one day it is a slip.
    for animal, since, until in lived.exclude(until=models.F("since")).values_list(
        "animal", "since", "until"
    ):
        spans[animal].append((since, until or date.max))
    found: dict[int, list[tuple[date, date]]] = defaultdict(list)
    for animal, on in departures:
        back = min((since for since, until in spans[animal] if until > on), default=today)
        if on < back:
            found[animal].append((on, back))
    return {animal: tuple(some) for animal, some in found.items()}
