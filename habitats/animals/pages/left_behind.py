"""What comes next where an animal left: who is alone now, and what may have been the cause."""

from datetime import date, timedelta
from typing import NamedTuple

from habitats.animals.models.animals import NEVER_CAME, Animal
from habitats.animals.models.groups import Group
from habitats.welfare.values import Species
from habitats.welfare.words import MANY

# So long the page of one that left tells what comes next.
TOLD_DAYS = 14


class LeftBehind(NamedTuple):
    """``alone``: the only one that is left of the group, None for none or for several; ``kind``
    is its species in the plural. ``died``, ``escaped``: what happened to the one that left."""

    group: Group
    alone: Animal | None
    kind: str
    died: bool
    escaped: bool


def left_behind(animal: Animal, today: date) -> LeftBehind | None:
    """Of one that left lately; None where there is nothing to do next."""
    if animal.left_on is None or animal.left_why in NEVER_CAME:
        return None
    if animal.left_on < today - timedelta(days=TOLD_DAYS):
        return None
    last = animal.memberships.filter(until=animal.left_on).select_related("group").last()
    if last is None:
        return None
    still = Animal.objects.filter(memberships__group=last.group, memberships__until__isnull=True)
    found = list(still.by_name()[:2])
    why = Animal.Leaving
    told = LeftBehind(
        last.group,
        found[0] if len(found) == 1 else None,
        str(MANY[Species(animal.species)]),
        animal.left_why == why.DIED,
        animal.left_why == why.MISSING,
    )
    return told if told.alone or told.died or told.escaped else None
