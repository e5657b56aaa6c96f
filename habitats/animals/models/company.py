"""Animals that live together, by group."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from django.db import models

from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import with_facts
from habitats.animals.models.groups import Membership


def animals_by_group(groups: Iterable[int], day: date) -> dict[int, list[Animal]]:
    """By group, who belonged to it on that day, by name, loaded ``with_facts``: four queries."""
    memberships = (
        Membership.objects.on(day)
        .filter(group__in=groups)
        .order_by("animal__name", "animal")
        .prefetch_related(models.Prefetch("animal", with_facts(Animal.objects.all(), day)))
    )
    found: dict[int, list[Animal]] = defaultdict(list)
    for membership in memberships:
        found[membership.group_id].append(membership.animal)
    return found
