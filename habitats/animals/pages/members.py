"""Who is in a group, and where it lives."""

from collections.abc import Sequence
from datetime import date

from django.shortcuts import get_object_or_404
from django.utils import timezone

from habitats.animals.models.animals import Animal
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group
from habitats.animals.models.places import AnimalPlace
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.models.people import Person
from habitats.structure.structure import Structure
from habitats.wording import listed


def group_seen_by(person: Person, code: str) -> Group:
    """The group, if the person may see it today; else there is no such page."""
    seen = Group.objects.visible_to(person, timezone.localdate())
    return get_object_or_404(seen, code=code.upper())


def members_of(group: Group, day: date) -> list[Animal]:
    """Who belongs to it on that day, by name, loaded ``with_facts``."""
    return animals_by_group([group.pk], day).get(group.pk, [])


def called(group: Group, names: Sequence[str]) -> str:
    """Its name, or those of its animals."""
    return group.name or (listed(names) if names else str(group))


def structure_in(place: AnimalPlace) -> Structure | None:
    """What stands where the group is; None if it is nowhere."""
    if place.enclosure is None:
        return None
    return Enclosure.objects.with_shape().get(pk=place.enclosure.pk).structure()
